/* Messages: collected where the fault is seen, shown with line, caret and mend. */
#include "base/base.h"

#include <string.h>

bk_report bk_report_new(bk_arena *arena)
{
    return (bk_report){.arena = arena};
}

static const bk_about nothing = {BK_OTHER_CONCERN, SIZE_MAX};
static const bk_fix unsure = {0, 0, NULL};

static void add(bk_report *report, enum bk_severity severity, bk_about about, const char *code,
                bk_place place, bk_fix fix, const char *mend, const char *format, va_list arguments)
{
    if (severity == BK_ERROR && report->errors++ >= BK_MOST_ERRORS)
        return;
    /* Whole before it is in the list: an arena without memory jumps. */
    bk_message message = {.severity = severity,
                          .about = about,
                          .code = code,
                          .place = place,
                          .text = bk_vformat(report->arena, format, arguments),
                          .mend = mend ? bk_copy_string(report->arena, mend) : NULL,
                          .fix = fix};
    if (fix.text)
        message.fix.text = bk_copy_string(report->arena, fix.text);
    *BK_PUSH(report->arena, report->messages, report->count, report->room) = message;
}

void bk_error(bk_report *report, const char *code, bk_place place, const char *mend,
              const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add(report, BK_ERROR, nothing, code, place, unsure, mend, format, arguments);
    va_end(arguments);
}

void bk_error_fix(bk_report *report, const char *code, bk_place place, bk_fix fix, const char *mend,
                  const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add(report, BK_ERROR, nothing, code, place, fix, mend, format, arguments);
    va_end(arguments);
}

void bk_warning(bk_report *report, const char *code, bk_place place, const char *mend,
                const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add(report, BK_WARNING, nothing, code, place, unsure, mend, format, arguments);
    va_end(arguments);
}

void bk_warning_about(bk_report *report, bk_about about, const char *code, bk_place place,
                      const char *mend, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    add(report, BK_WARNING, about, code, place, unsure, mend, format, arguments);
    va_end(arguments);
}

/* Start of the line that holds `offset`. */
static size_t line_start(const bk_source *source, size_t offset)
{
    while (offset > 0 && source->text[offset - 1] != '\n')
        offset--;
    return offset;
}

static size_t within(bk_place place)
{
    return place.offset < place.source->length ? place.offset : place.source->length;
}

/* Eight bytes at once: a large plan is located stage by stage. */
static bool is_ascii(const char *text)
{
    uint64_t word;
    memcpy(&word, text, sizeof word);
    return (word & UINT64_C(0x8080808080808080)) == 0;
}

/* Characters in [from, to); an invalid byte counts as one. */
static size_t characters(const char *from, const char *to)
{
    size_t count = 0;
    while (from < to) {
        while (to - from >= 8 && is_ascii(from)) {
            from += 8;
            count += 8;
        }
        if (from == to)
            break;
        size_t length = bk_utf8_next(from, (size_t)(to - from), NULL);
        from += length ? length : 1;
        count++;
    }
    return count;
}

void bk_place_locate(bk_place place, size_t *line, size_t *column)
{
    *line = *column = 1;
    if (!place.source)
        return;
    size_t offset = within(place);
    const char *text = place.source->text;
    const char *start = text, *end = text + offset, *at;
    while ((at = memchr(start, '\n', (size_t)(end - start)))) {
        start = at + 1;
        ++*line;
    }
    *column = characters(start, end) + 1;
}

bool bk_commands_terminal(uint32_t code)
{
    return code < 0x20 || (code >= 0x7F && code < 0xA0) || code == 0x61C || code == 0x200E ||
           code == 0x200F || (code >= 0x2028 && code <= 0x202E) ||
           (code >= 0x2066 && code <= 0x2069);
}

char *bk_showable(bk_arena *arena, const char *text, size_t length)
{
    bk_text out = bk_text_new(arena);
    size_t taken = 0; /* what is shown as it is goes over in one piece */
    for (size_t i = 0; i < length;) {
        uint32_t code = 0;
        size_t step = bk_utf8_next(text + i, length - i, &code);
        if (step == 0 || bk_commands_terminal(code)) {
            bk_text_add_bytes(&out, text + taken, i - taken);
            bk_text_add(&out, step && code == '\t' ? " " : "?");
            taken = i + (step ? step : 1);
        }
        i += step ? step : 1;
    }
    bk_text_add_bytes(&out, text + taken, length - taken);
    return out.data;
}

/* The character before `at`, which is behind `limit`. */
static const char *before(const char *at, const char *limit)
{
    at--;
    while (at > limit && ((unsigned char)*at & 0xC0) == 0x80)
        at--;
    return at;
}

static const char *behind(const char *at, const char *limit)
{
    size_t length = bk_utf8_next(at, (size_t)(limit - at), NULL);
    return at + (length ? length : 1);
}

enum {
    LINE_COLUMNS = 79,  /* of a terminal of 80: a full line may begin another */
    FRAME_COLUMNS = 8,  /* two blanks, and dots at both ends */
    CARET_AT_MOST = 50, /* columns before the caret */
    MOST_STEPS = 200    /* characters each way: marks without a column of their own end, too */
};

/* Columns that a character, or what is between two of them and is none, takes as it is shown; of
 * more than a line has, no more are counted. */
static size_t shown_columns(const char *from, const char *to)
{
    size_t columns = 0;
    while (from < to && columns <= LINE_COLUMNS) {
        uint32_t code = 0;
        char one[5] = {0};
        size_t length = bk_utf8_next(from, (size_t)(to - from), &code);
        if (length == 0 || bk_commands_terminal(code)) {
            columns++;
        } else {
            memcpy(one, from, length);
            columns += bk_columns(one);
        }
        from += length ? length : 1;
    }
    return columns;
}

/* The place's line with a caret below it; of a long one, what stands around the caret. */
static void add_caret_line(bk_place place, bk_text *out)
{
    const bk_source *source = place.source;
    bk_arena *arena = out->arena;
    size_t offset = within(place);
    const char *start = source->text + line_start(source, offset);
    const char *caret = source->text + offset;
    const char *end = memchr(caret, '\n', source->length - offset);
    if (!end)
        end = source->text + source->length;
    if (end > caret && end[-1] == '\r')
        end--;
    const char *from = caret, *to = caret;
    size_t columns = 0;
    for (size_t step = 0; from > start && step < MOST_STEPS; step++) {
        const char *next = before(from, start);
        columns += shown_columns(next, from);
        if (columns > CARET_AT_MOST)
            break;
        from = next;
    }
    columns = shown_columns(from, caret);
    for (size_t step = 0; to < end && step < MOST_STEPS; step++) {
        const char *next = behind(to, end);
        columns += shown_columns(to, next);
        if (columns > LINE_COLUMNS - FRAME_COLUMNS)
            break;
        to = next;
    }
    const char *cut = from > start ? "..." : "";
    char *left = bk_showable(arena, from, (size_t)(caret - from));
    char *right = bk_showable(arena, caret, (size_t)(to - caret));
    bk_text_addf(out, "  %s%s%s%s\n  ", cut, left, right, to < end ? "..." : "");
    bk_text_add_repeated(out, ' ', strlen(cut) + bk_columns(left));
    bk_text_add(out, "^\n");
}

void bk_message_write(const bk_message *message, bk_text *out)
{
    const bk_source *source = message->place.source;
    if (source) {
        size_t line, column;
        bk_place_locate(message->place, &line, &column);
        bk_text_addf(out,
                     "%s:%zu:%zu: ", bk_showable(out->arena, source->name, strlen(source->name)),
                     line, column);
    }
    bk_text_addf(out, "%s%s", message->severity == BK_WARNING ? "warning: " : "",
                 bk_showable(out->arena, message->text, strlen(message->text)));
    if (message->mend)
        bk_text_addf(out, "; %s", bk_showable(out->arena, message->mend, strlen(message->mend)));
    bk_text_add(out, "\n");
    if (source && source->length > 0)
        add_caret_line(message->place, out);
}

enum { LONGEST_WORD = 64 };

/* Damerau-Levenshtein distance (adjacent transpositions), restricted form; words
 * longer than LONGEST_WORD are far from everything. */
size_t bk_edits(const char *a, const char *b)
{
    size_t n = strlen(a), m = strlen(b);
    if (n > LONGEST_WORD || m > LONGEST_WORD)
        return SIZE_MAX;
    size_t row[3][LONGEST_WORD + 1];
    for (size_t j = 0; j <= m; j++)
        row[0][j] = j;
    for (size_t i = 1; i <= n; i++) {
        size_t *now = row[i % 3], *above = row[(i + 2) % 3], *two = row[(i + 1) % 3];
        now[0] = i;
        for (size_t j = 1; j <= m; j++) {
            size_t best = above[j - 1] + (a[i - 1] != b[j - 1]);
            if (above[j] + 1 < best)
                best = above[j] + 1;
            if (now[j - 1] + 1 < best)
                best = now[j - 1] + 1;
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] &&
                two[j - 2] + 1 < best)
                best = two[j - 2] + 1;
            now[j] = best;
        }
    }
    return row[n % 3][m];
}

const char *bk_nearest(const char *word, const char *const *names)
{
    const char *best = NULL;
    size_t least = strlen(word) / 3 + 1; /* a slip changes few letters for the word's length */
    for (; *names; names++) {
        size_t d = bk_edits(word, *names);
        if (d < least || (d == least && !best)) {
            least = d;
            best = *names;
        }
    }
    return best;
}
