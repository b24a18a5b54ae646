/* The journal of a day as a file: read whole, added to, a torn end set aside. */
#include "day/journal.h"

#include "day/entry.h"
#include "lines/lines.h"

#include <string.h>

static const char what[] = "the journal";

const char *bk_journal_path(bk_arena *arena, const char *plan_path)
{
    static const char ending[] = ".json";
    size_t length = strlen(plan_path), end = sizeof ending - 1;
    bool plain = length > end && strcmp(plan_path + length - end, ending) == 0;
    return bk_format(arena, "%.*s.day.jsonl", (int)(plain ? length - end : length), plan_path);
}

typedef struct reading {
    bk_arena *arena;
    bk_journal *journal;
    size_t room;
    bk_day_entry planned; /* the last that tells starts */
    bool foreign;         /* the first line is of something else: so are those behind it */
} reading;

static bool read_line(void *context, const bk_json *line, bk_report *report)
{
    reading *r = context;
    bk_journal *journal = r->journal;
    if (r->foreign)
        return false;
    if (journal->there) {
        bk_day_entry entry;
        bool good = bk_entry_read(r->arena, line, &r->planned, &entry, report);
        if (entry.start_count > 0)
            r->planned = entry;
        *BK_PUSH(r->arena, journal->entries, journal->count, r->room) = entry;
        return good;
    }
    journal->there = bk_first_line_read(r->arena, line, journal, report);
    r->foreign = !journal->there;
    return journal->there;
}

bool bk_journal_read(bk_arena *arena, const bk_files *files, const char *path, bk_journal *journal,
                     bk_report *report)
{
    bk_lines lines;
    *journal = (bk_journal){0};
    reading r = {.arena = arena, .journal = journal};
    bool good = bk_lines_read(arena, files, path, what, read_line, &r, &lines, report);
    journal->length = lines.length;
    journal->torn_at = lines.torn_at;
    journal->torn_length = lines.torn_length;
    return good;
}

bk_journal_lock *bk_journal_hold(const char *path, bk_report *report)
{
    return bk_lines_hold(path, what, report);
}

void bk_journal_release(bk_journal_lock *lock)
{
    bk_file_let_go(lock);
}

const char *bk_journal_set_aside(bk_arena *arena, bk_journal_lock *lock, const bk_journal *journal,
                                 bk_report *report)
{
    return bk_lines_set_aside(arena, lock, what, journal->torn_at, report);
}

/* What is written must be readable again: a line that is not would be in the way of every
 * command from then on. */
static bool reads_again(bk_arena *arena, const bk_text *text, bool has_first, bk_report *report)
{
    bk_source *source = BK_NEW(arena, bk_source, 1);
    *source = (bk_source){"a new entry of the journal", text->data, text->length};
    bk_journal journal = {0};
    bk_day_entry entry;
    size_t values = 0, before = report->errors;
    for (size_t from = 0; from < text->length;) {
        const char *end = memchr(text->data + from, '\n', text->length - from);
        size_t to = (size_t)(end - text->data);
        const bk_json *line = bk_json_read_line(arena, source, from, to, &values, report);
        if (!line)
            return false;
        if (has_first && from == 0)
            bk_first_line_read(arena, line, &journal, report);
        else
            bk_entry_read(arena, line, NULL, &entry, report);
        from = to + 1;
    }
    return report->errors == before;
}

bool bk_journal_append(bk_arena *arena, bk_journal_lock *lock, const bk_zone *zone,
                       bk_instant begun, const char *occasion, const bk_day_entry *entries,
                       size_t count, bk_report *report)
{
    bk_lines_end end;
    if (!bk_lines_look(arena, lock, what, &end, report))
        return false;
    bk_text text = bk_text_new(arena);
    if (end.empty)
        bk_first_line_write(zone, begun, occasion, &text);
    for (size_t i = 0; i < count; i++)
        bk_entry_write(zone, &entries[i], &text);
    return text.length == 0 || (reads_again(arena, &text, end.empty, report) &&
                                bk_lines_add(lock, what, &end, text.data, text.length, report));
}
