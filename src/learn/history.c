/* The history beside a recipe: how long its stages really took. */
#include "learn/learn.h"

#include "lines/lines.h"

#include <stdio.h>
#include <string.h>

static const char what[] = "the history";

const char *bk_history_path(bk_arena *arena, const char *file)
{
    static const char ending[] = ".json";
    size_t length = strlen(file), end = sizeof ending - 1;
    if (length == 0 || file[0] == '<')
        return NULL;
    bool plain = length > end && strcmp(file + length - end, ending) == 0;
    return bk_format(arena, "%.*s.history.jsonl", (int)(plain ? length - end : length), file);
}

/* ------------------------------------------------------------------ reading */

/* A number that may lack; false after reporting one that is out of bounds. */
static bool number(const bk_json *line, const char *key, double least, double most, double *value,
                   bk_report *report)
{
    const bk_json *json = bk_json_get(line, key);
    if (!json || json->type == BK_JSON_NULL)
        return true;
    if (json->type != BK_JSON_NUMBER || !(json->number >= least && json->number <= most)) {
        bk_error(report, "number", bk_json_place(json), NULL,
                 "\"%s\" must be a number from %g to %g", key, least, most);
        return false;
    }
    *value = json->number;
    return true;
}

static bool read_time(bk_arena *arena, const bk_json *line, bk_real_time *time, bk_report *report)
{
    double batch = 0.0;
    int64_t planned = 0;
    *time = (bk_real_time){.times = 1.0};
    bool good = bk_line_instant(line, "at", &time->at, report);
    if (bk_json_get(line, "oven")) {
        good = bk_line_text(arena, line, "oven", false, &time->oven, report) && good;
    } else {
        good = bk_line_text(arena, line, "dish", false, &time->dish, report) && good;
        good = bk_line_text(arena, line, "stage", false, &time->stage, report) && good;
    }
    good = bk_line_minutes(line, "minutes", 0, BK_MOST_REAL, &time->minutes, report) && good;
    if (bk_json_get(line, "planned"))
        good = bk_line_minutes(line, "planned", 0, INT32_MAX, &planned, report) && good;
    good = number(line, "batch", 0.0, 1e6, &batch, report) && good;
    good = number(line, "times", 1e-3, 1e3, &time->times, report) && good;
    time->batch = (int)batch;
    time->planned = planned;
    return good;
}

typedef struct taking {
    bk_arena *arena;
    bk_history *history;
    size_t room;
} taking;

static bool take(void *context, const bk_json *line, bk_report *report)
{
    taking *t = context;
    return read_time(t->arena, line,
                     BK_PUSH(t->arena, t->history->items, t->history->count, t->room), report);
}

static bool read_all(bk_arena *arena, const bk_files *files, const char *path, bk_lines *lines,
                     bk_history *history, bk_report *report)
{
    taking t = {.arena = arena, .history = history};
    *history = (bk_history){0};
    return bk_lines_read(arena, files, path, what, take, &t, lines, report);
}

bool bk_history_read(bk_arena *arena, const bk_files *files, const char *path, bk_history *history,
                     bk_report *report)
{
    bk_lines lines;
    if (!read_all(arena, files, path, &lines, history, report))
        return false;
    if (lines.torn_length > 0)
        bk_warning(report, "torn", (bk_place){lines.source, lines.torn_at}, NULL,
                   "the last %zu bytes were left half written and are passed over",
                   lines.torn_length);
    return true;
}

/* ------------------------------------------------------------------ writing */

static void write_line(const bk_zone *zone, const bk_real_time *time, bk_text *out)
{
    bk_put put = bk_put_line_to(out);
    bk_put_open(&put, NULL, "{");
    bk_put_text(&put, "at", bk_instant_rfc3339(out->arena, zone, time->at));
    if (time->oven) {
        bk_put_text(&put, "oven", time->oven);
    } else {
        bk_put_text(&put, "dish", time->dish);
        bk_put_text(&put, "stage", time->stage);
    }
    if (time->batch > 0)
        bk_put_integer(&put, "batch", time->batch);
    bk_put_integer(&put, "minutes", time->minutes);
    if (time->planned > 0)
        bk_put_integer(&put, "planned", time->planned);
    if (time->times != 1.0)
        bk_put_number(&put, "times", time->times);
    bk_put_close(&put, "}");
    bk_text_add(out, "\n");
}

static bool same_text(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

static bool is_there(const bk_history *history, const bk_real_time *time)
{
    for (size_t i = 0; i < history->count; i++) {
        const bk_real_time *old = &history->items[i];
        if (old->at == time->at && old->batch == time->batch && same_text(old->oven, time->oven) &&
            (time->oven ||
             (same_text(old->dish, time->dish) && same_text(old->stage, time->stage))))
            return true;
    }
    return false;
}

/* What is written must be readable again. */
static bool reads_again(bk_arena *arena, const bk_text *text, size_t from, bk_report *report)
{
    bk_source *source = BK_NEW(arena, bk_source, 1);
    *source = (bk_source){"a new line of the history", text->data, text->length};
    bk_real_time time;
    size_t values = 0;
    const bk_json *line = bk_json_read_line(arena, source, from, text->length - 1, &values, report);
    return line && read_time(arena, line, &time, report);
}

/* The lines of those times that do not stand there; false after reporting one that cannot be
 * written. */
static bool compose(bk_arena *arena, const bk_zone *zone, const bk_history *history,
                    const bk_real_time *times, size_t count, bk_text *text, bk_report *report)
{
    *text = bk_text_new(arena);
    for (size_t i = 0; i < count; i++) {
        size_t from = text->length;
        if (is_there(history, &times[i]))
            continue;
        write_line(zone, &times[i], text);
        if (!reads_again(arena, text, from, report))
            return false;
    }
    return true;
}

/* What is done while the file is held. */
typedef struct bk_addition {
    const bk_lines *seen; /* the file as it was read, before it was held */
    const bk_text *text;  /* what to add */
    char *aside;          /* room for the name of what is set aside */
    size_t room;
    bool changed; /* somebody added to the file after it was read: nothing was done */
    const char *problem;
} bk_addition;

static bool add(bk_arena *own, bk_held_file *file, bk_addition *addition)
{
    const bk_lines *seen = addition->seen;
    size_t length = 0, was = seen->source ? seen->source->length : 0;
    if (!bk_held_length(file, &length, &addition->problem))
        return false;
    addition->changed = length != was;
    if (addition->changed)
        return false;
    bool unended = was > 0 && seen->source->text[was - 1] != '\n' && seen->torn_length == 0;
    if (seen->torn_length > 0) {
        const char *aside = bk_held_set_aside(own, file, seen->torn_at, &addition->problem);
        if (!aside)
            return false;
        snprintf(addition->aside, addition->room, "%s", aside);
    }
    return (!unended || bk_held_add(file, "\n", 1, &addition->problem)) &&
           bk_held_add(file, addition->text->data, addition->text->length, &addition->problem);
}

/* Memory is asked for in an arena of its own: one without any jumps, and must leave nothing
 * held. */
static bool hold_and_add(bk_arena *arena, const char *path, bk_addition *addition)
{
    jmp_buf no_memory;
    bk_held_file *volatile file = NULL;
    bk_arena *own = bk_arena_new(&no_memory);
    if (!own)
        bk_arena_fail(arena);
    if (setjmp(no_memory)) {
        bk_file_let_go(file);
        bk_arena_free(own);
        bk_arena_fail(arena);
    }
    file = bk_file_hold(path, &addition->problem);
    bool done = file && add(own, file, addition);
    bk_file_let_go(file);
    bk_arena_free(own);
    return done;
}

bool bk_history_append(bk_arena *arena, const char *path, const bk_zone *zone,
                       const bk_real_time *times, size_t count, bk_report *report)
{
    enum { TRIES = 10 };
    bk_files files = bk_files_system();
    for (int i = 0; i < TRIES; i++) {
        bk_lines lines;
        bk_history history;
        bk_text text;
        bk_addition addition = {.seen = &lines, .text = &text, .problem = BK_FILE_HELD};
        if (!read_all(arena, &files, path, &lines, &history, report) ||
            !compose(arena, zone, &history, times, count, &text, report))
            return false;
        if (text.length == 0)
            return true;
        addition.room = strlen(path) + sizeof ".torn-1000";
        addition.aside = BK_NEW(arena, char, addition.room);
        bool done = hold_and_add(arena, path, &addition);
        if (addition.aside[0] != '\0')
            bk_warning(report, "torn", (bk_place){0}, NULL,
                       "the last line of %s was left half written; it stands in %s now", path,
                       addition.aside);
        if (done)
            return true;
        if (addition.changed && i + 1 < TRIES)
            continue; /* somebody else was first: look again at what is there */
        report->machine_failed = true;
        bk_error(report, "file", (bk_place){0}, NULL, "cannot write %s %s: %s", what, path,
                 addition.problem);
        break;
    }
    return false;
}
