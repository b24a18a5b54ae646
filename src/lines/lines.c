/* A file of one JSON object a line that is only ever added to. */
#include "lines/lines.h"

#include "quantity/quantity.h"

#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------ the file */

static bool load(bk_arena *arena, const bk_files *files, const char *path, const char *what,
                 bk_lines *lines, bk_report *report)
{
    const char *text = NULL, *problem = NULL;
    size_t length = 0;
    lines->there =
        files->load(files->context, arena, path, BK_MOST_BYTES, &text, &length, &problem);
    if (!lines->there) {
        if (strcmp(problem, BK_NO_SUCH_FILE) == 0)
            return true;
        report->machine_failed = report->machine_failed || bk_file_machine_failed(problem);
        bk_error(report, "file", (bk_place){0}, NULL, "cannot read %s %s: %s", what, path, problem);
        return false;
    }
    bk_source *source = BK_NEW(arena, bk_source, 1);
    *source = (bk_source){bk_copy_string(arena, path), text, length};
    lines->source = source;
    return true;
}

/* Nothing but blanks in [from, to). */
static bool is_blank(const char *text, size_t from, size_t to)
{
    while (from < to && strchr(" \t\r", text[from]) && text[from] != '\0')
        from++;
    return from == to;
}

/* A whole JSON object and nothing else: no shorter beginning of one is. */
static bool is_whole_object(bk_arena *arena, const bk_source *source, size_t from, size_t to)
{
    bk_mark mark = bk_arena_mark(arena);
    bk_report unheard = bk_report_new(arena);
    size_t values = 0;
    const bk_json *json = bk_json_read_line(arena, source, from, to, &values, &unheard);
    bool whole = json && json->type == BK_JSON_OBJECT && unheard.errors == 0;
    bk_arena_release(arena, mark);
    return whole;
}

/* Behind the last end of line. */
static size_t last_line(const char *text, size_t length)
{
    while (length > 0 && text[length - 1] != '\n')
        length--;
    return length;
}

/* Where what was left half written begins; the length when nothing was. */
static size_t torn_from(bk_arena *arena, const bk_source *source)
{
    const char *text = source->text;
    for (const char *zero = text;
         (zero = memchr(zero, '\0', source->length - (size_t)(zero - text))); zero++)
        if (zero == text || zero[-1] == '\n')
            return (size_t)(zero - text);
    size_t from = last_line(text, source->length);
    bool whole = is_blank(text, from, source->length) ||
                 is_whole_object(arena, source, from, source->length);
    return whole ? source->length : from;
}

bool bk_lines_read(bk_arena *arena, const bk_files *files, const char *path, const char *what,
                   bk_line_reader each, void *context, bk_lines *lines, bk_report *report)
{
    size_t before = report->errors, values = 0;
    bool good = true;
    *lines = (bk_lines){0};
    if (!load(arena, files, path, what, lines, report))
        return false;
    if (!lines->there)
        return true;
    const bk_source *source = lines->source;
    lines->length = lines->torn_at = torn_from(arena, source);
    lines->torn_length = source->length - lines->length;
    bk_arena *passing = bk_arena_within(arena); /* what all values take is many times the file */
    const bk_mark empty = bk_arena_mark(passing);
    for (size_t from = 0, to; from < lines->length; from = to + 1) {
        const char *end = memchr(source->text + from, '\n', lines->length - from);
        to = end ? (size_t)(end - source->text) : lines->length;
        if (is_blank(source->text, from, to))
            continue;
        if (lines->count == BK_MOST_LINES) {
            bk_error(report, "limit", (bk_place){source, from}, NULL, "%s has more than %d lines",
                     what, (int)BK_MOST_LINES);
            good = false;
            break;
        }
        const bk_json *json = bk_json_read_line(passing, source, from, to, &values, report);
        if (json && json->type != BK_JSON_OBJECT)
            bk_error(report, "type", bk_json_place(json), "write a line as {...}",
                     "a line of %s must be an object, not %s", what, bk_json_type_name(json));
        if (json && json->type == BK_JSON_OBJECT) {
            lines->count++;
            good = each(context, json, report) && good;
        }
        bk_arena_release(passing, empty);
        if (report->errors - before > BK_MOST_ERRORS)
            break; /* those are not kept: the rest would only take time */
    }
    bk_arena_free(passing);
    return good && report->errors == before;
}

static void say(bk_report *report, const char *code, const char *deed, const char *what,
                const char *path, const char *problem)
{
    report->machine_failed = true;
    bk_error(report, code, (bk_place){0}, NULL, "cannot %s %s %s: %s", deed, what, path, problem);
}

bk_held_file *bk_lines_hold(const char *path, const char *what, bk_report *report)
{
    const char *problem = NULL;
    bk_held_file *file = bk_file_hold(path, &problem);
    if (!file)
        say(report, strcmp(problem, BK_FILE_HELD) == 0 ? "held" : "file", "write", what, path,
            problem);
    return file;
}

bool bk_lines_look(bk_arena *arena, const bk_held_file *file, const char *what, bk_lines_end *end,
                   bk_report *report)
{
    const char *problem = NULL;
    size_t length = 0, got = 0;
    bool good = bk_held_length(file, &length, &problem);
    if (good && length > BK_MOST_BYTES) {
        problem = BK_TOO_LONG;
        good = false;
    }
    bk_mark mark = bk_arena_mark(arena);
    char *text = BK_NEW(arena, char, (good ? length : 0) + 1);
    good = good && bk_held_read(file, 0, text, length, &got, &problem);
    const bk_source source = {bk_held_path(file), text, got};
    if (good && torn_from(arena, &source) < got) {
        problem = "what was half written has not been set aside";
        good = false;
    }
    end->empty = true;
    for (size_t i = 0; i < got && end->empty; i++)
        end->empty = text[i] == '\n' || is_blank(text, i, i + 1);
    end->unended = got > 0 && text[got - 1] != '\n';
    bk_arena_release(arena, mark);
    if (!good)
        say(report, "file", "write", what, bk_held_path(file), problem);
    return good;
}

bool bk_lines_add(bk_held_file *file, const char *what, const bk_lines_end *end, const char *bytes,
                  size_t length, bk_report *report)
{
    const char *problem = NULL;
    /* The end of a last line that lacks it is an addition of its own: what comes behind is to
     * begin a line, by which it is known should it be torn. */
    if ((!end->unended || bk_held_add(file, "\n", 1, &problem)) &&
        bk_held_add(file, bytes, length, &problem))
        return true;
    say(report, "file", "write", what, bk_held_path(file), problem);
    return false;
}

const char *bk_lines_set_aside(bk_arena *arena, bk_held_file *file, const char *what,
                               size_t torn_at, bk_report *report)
{
    const char *problem = NULL, *aside = bk_held_set_aside(arena, file, torn_at, &problem);
    if (!aside)
        say(report, "file", "set aside what was half written of", what, bk_held_path(file),
            problem);
    return aside;
}

/* -------------------------------------------------------------------- a line */

/* The value of a key; NULL when there is none, after reporting unless it may lack. */
static const bk_json *value(const bk_json *line, const char *key, bool may_lack, const char *mend,
                            bk_report *report)
{
    const bk_json *json = bk_json_get(line, key);
    if (json && json->type == BK_JSON_NULL && may_lack)
        return NULL;
    if (!json && !may_lack)
        bk_error(report, "missing-key", bk_json_place(line), mend, "\"%s\" is missing", key);
    return json;
}

static void wrong_type(const bk_json *json, const char *key, const char *expected, const char *mend,
                       bk_report *report)
{
    bk_error(report, "type", bk_json_place(json), mend, "\"%s\" must be %s, not %s", key, expected,
             bk_json_type_name(json));
}

bool bk_line_text(bk_arena *arena, const bk_json *line, const char *key, bool may_lack,
                  const char **text, bk_report *report)
{
    const bk_json *json = value(line, key, may_lack, NULL, report);
    if (!json)
        return may_lack;
    if (json->type != BK_JSON_STRING) {
        wrong_type(json, key, "a text", "write it in double quotes", report);
        return false;
    }
    if (json->string[0] == '\0') {
        bk_error(report, "empty", bk_json_place(json), NULL, "\"%s\" is empty", key);
        return false;
    }
    *text = bk_copy_string(arena, json->string);
    return true;
}

/* RFC 3339 has seconds, and may have parts of them, which the minutes' grid has not; its
 * letters may be small. The same without them in `plain`; false when there is no offset or
 * it does not fit. */
static bool without_seconds(const char *text, char *plain, size_t room)
{
    enum { TO_MINUTES = sizeof "2026-12-24T19:30" - 1 };
    if (strlen(text) < TO_MINUTES)
        return false;
    const char *at = text + TO_MINUTES;
    if (*at == ':') {
        if (strspn(at + 1, "0123456789") != 2 || at[1] > '6' || (at[1] == '6' && at[2] > '0'))
            return false;
        at += 3;
        if (*at == '.' && strspn(at + 1, "0123456789") > 0)
            at += 1 + strspn(at + 1, "0123456789");
    }
    size_t rest = strlen(at);
    if (rest == 0 || !strchr("Zz+-", *at) || TO_MINUTES + rest + 1 > room)
        return false;
    memcpy(plain, text, TO_MINUTES);
    memcpy(plain + TO_MINUTES, at, rest + 1);
    if (plain[10] == 't')
        plain[10] = 'T';
    if (strcmp(plain + TO_MINUTES, "z") == 0)
        plain[TO_MINUTES] = 'Z';
    return true;
}

/* In the years that instants have, whatever zone it is written in. */
static bool is_near(bk_instant instant)
{
    const bk_civil first = {BK_FIRST_YEAR, 1, 3, 0, 0}, last = {BK_LAST_YEAR, 12, 29, 0, 0};
    return instant >= bk_civil_minutes(first) && instant <= bk_civil_minutes(last);
}

bool bk_line_instant(const bk_json *line, const char *key, bk_instant *instant, bk_report *report)
{
    static const char *const mend = "write it as \"2026-12-24T19:30:00+01:00\"";
    const bk_json *json = value(line, key, false, mend, report);
    if (!json)
        return false;
    if (json->type != BK_JSON_STRING) {
        wrong_type(json, key, "a date and time with its offset", mend, report);
        return false;
    }
    const char *quoted = bk_quoted(report->arena, json->string);
    char plain[32];
    /* With an offset no zone is asked. */
    enum bk_instant_error fault = without_seconds(json->string, plain, sizeof plain)
                                      ? bk_instant_read(NULL, plain, instant, NULL)
                                      : BK_INSTANT_FORM;
    if (fault == BK_INSTANT_OK && !is_near(*instant))
        fault = BK_INSTANT_RANGE;
    switch (fault) {
    case BK_INSTANT_OK:
        return true;
    case BK_INSTANT_DATE:
        bk_error(report, "instant", bk_json_place(json), "look at the calendar",
                 "\"%s\" names a date or time of day that does not exist: %s", key, quoted);
        return false;
    case BK_INSTANT_RANGE:
        bk_error(
            report, "instant", bk_json_place(json),
            bk_format(report->arena, "write a year from %d to %d", BK_FIRST_YEAR, BK_LAST_YEAR),
            "\"%s\" is too far away: %s", key, quoted);
        return false;
    case BK_INSTANT_FORM:
    case BK_INSTANT_SKIPPED:
        break;
    }
    bk_error(report, "instant", bk_json_place(json), mend,
             "\"%s\" is not a date and time with its offset: %s", key, quoted);
    return false;
}

bool bk_line_minutes(const bk_json *line, const char *key, int64_t least, int64_t most,
                     int64_t *minutes, bk_report *report)
{
    const bk_json *json = value(line, key, false, "write a number of minutes, such as 20", report);
    const char *mend = NULL;
    if (!json)
        return false;
    if (json->type == BK_JSON_STRING) {
        if (!bk_read_duration(json->string, minutes, &mend)) {
            bk_error(report, "duration", bk_json_place(json), mend, "\"%s\" is not a duration: %s",
                     key, bk_quoted(report->arena, json->string));
            return false;
        }
    } else if (json->type != BK_JSON_NUMBER) {
        wrong_type(json, key, "a number of minutes", "write it without quotes, such as 20", report);
        return false;
    } else if (floor(json->number) != json->number || json->number < (double)least ||
               json->number > (double)most) {
        *minutes = most + 1;
    } else {
        *minutes = (int64_t)json->number;
    }
    if (*minutes >= least && *minutes <= most)
        return true;
    bk_error(report, "minutes", bk_json_place(json), NULL,
             "\"%s\" must be a whole number of minutes from %lld to %lld", key, (long long)least,
             (long long)most);
    return false;
}
