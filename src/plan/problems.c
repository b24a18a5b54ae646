/* Reporting problems of a plan: once each, with what to write instead. */
#include "plan/reader.h"

#include <stdlib.h>
#include <string.h>

bool bk_problem_is_kept(const bk_reader *reader)
{
    return reader->report->errors < BK_MOST_ERRORS;
}

static bool said_before(const bk_report *report, bk_place place, const char *text)
{
    for (size_t i = 0; i < report->count; i++) {
        const bk_message *message = &report->messages[i];
        if (message->place.source == place.source && message->place.offset == place.offset &&
            strcmp(message->text, text) == 0)
            return true;
    }
    return false;
}

static void problem(bk_reader *reader, const char *code, bk_place place, bk_fix fix,
                    const char *mend, const char *format, va_list arguments)
{
    if (!bk_problem_is_kept(reader)) {
        bk_error(reader->report, code, place, NULL, "and more");
        return;
    }
    char *text = bk_vformat(reader->arena, format, arguments);
    if (!said_before(reader->report, place, text))
        bk_error_fix(reader->report, code, place, fix, mend, "%s", text);
}

void bk_problem(bk_reader *reader, const char *code, bk_place place, const char *mend,
                const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    problem(reader, code, place, (bk_fix){0}, mend, format, arguments);
    va_end(arguments);
}

void bk_problem_fix(bk_reader *reader, const char *code, bk_place place, bk_fix fix,
                    const char *mend, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    problem(reader, code, place, fix, mend, format, arguments);
    va_end(arguments);
}

void bk_remark(bk_reader *reader, const char *code, bk_place place, const char *mend,
               const char *format, ...)
{
    if (reader->warnings >= BK_MOST_WARNINGS)
        return;
    va_list arguments;
    va_start(arguments, format);
    char *text = bk_vformat(reader->arena, format, arguments);
    va_end(arguments);
    if (!said_before(reader->report, place, text)) {
        bk_warning(reader->report, code, place, mend, "%s", text);
        reader->warnings++;
    }
}

/* Letters that two words have in common, each as often as both have it. */
static size_t letters_in_common(const char *a, const char *b)
{
    unsigned char counts[256] = {0};
    size_t common = 0;
    for (; *a != '\0'; a++)
        counts[(unsigned char)*a]++;
    for (; *b != '\0'; b++) {
        if (counts[(unsigned char)*b] > 0) {
            counts[(unsigned char)*b]--;
            common++;
        }
    }
    return common;
}

const char *bk_meant(bk_reader *reader, const char *word, const char *const *names)
{
    enum { MOST_NAMES = 2000 };
    if (!bk_problem_is_kept(reader))
        return NULL;
    size_t count = 0;
    while (names[count])
        count++;
    const char *nearest = count <= MOST_NAMES ? bk_nearest(word, names) : NULL;
    if (!nearest)
        return NULL;
    size_t longer = strlen(word) > strlen(nearest) ? strlen(word) : strlen(nearest);
    return 3 * letters_in_common(word, nearest) >= 2 * longer ? nearest : NULL;
}

/* The bytes of a text as written, quotes and all; 0 when none begins there. */
static size_t written_length(const bk_source *source, size_t from)
{
    size_t at = from;
    if (at >= source->length || source->text[at] != '"')
        return 0;
    for (at++; at < source->length && source->text[at] != '"'; at++)
        at += source->text[at] == '\\';
    return at < source->length ? at + 1 - from : 0;
}

bk_fix bk_fix_text(bk_reader *reader, bk_place place, const char *text)
{
    size_t length = place.source && text ? written_length(place.source, place.offset) : 0;
    if (length == 0)
        return (bk_fix){0};
    bk_text out = bk_text_new(reader->arena);
    bk_put put = bk_put_to(&out);
    bk_put_text(&put, NULL, text);
    return (bk_fix){place.offset, length, out.data};
}

/* "bake2" is no slip of the pen for "bake1". */
static bool same_digits(const char *a, const char *b)
{
    static const char digits[] = "0123456789";
    for (;; a++, b++) {
        a += strcspn(a, digits);
        b += strcspn(b, digits);
        if (*a != *b || *a == '\0')
            return *a == *b;
    }
}

const char *bk_meant_surely(bk_reader *reader, const char *word, const char *const *names)
{
    const char *meant = bk_meant(reader, word, names);
    if (!meant || !same_digits(word, meant))
        return NULL;
    size_t edits = bk_edits(word, meant), count = 0, kept = 0;
    while (names[count])
        count++;
    const char **others = BK_NEW(reader->arena, const char *, count + 1);
    for (size_t i = 0; i < count; i++)
        if (strcmp(names[i], meant) != 0)
            others[kept++] = names[i];
    const char *other = bk_meant(reader, word, others);
    return !other || (edits == 1 && bk_edits(word, other) > 1) ? meant : NULL;
}

bk_fix bk_fix_name(bk_reader *reader, bk_place place, const char *word, const char *const *names)
{
    return bk_fix_text(reader, place, bk_meant_surely(reader, word, names));
}

const char *bk_suggestion(bk_reader *reader, const char *word, const char *const *names,
                          const char *whose)
{
    enum { MOST_LISTED = 8 };
    const char *nearest = bk_meant(reader, word, names);
    if (nearest)
        return bk_format(reader->arena, "did you mean %s?", bk_quoted(reader->arena, nearest));
    size_t count = 0;
    while (count <= MOST_LISTED && names[count])
        count++;
    if (!whose || count == 0 || count > MOST_LISTED)
        return NULL;
    return bk_format(reader->arena, "%s %s %s", whose, count == 1 ? "has only" : "has",
                     bk_choices(reader->arena, names, "and"));
}

const char *bk_choices(bk_arena *arena, const char *const *words, const char *last)
{
    bk_text out = bk_text_new(arena);
    for (size_t i = 0; words[i]; i++) {
        if (i > 0 && !words[i + 1])
            bk_text_addf(&out, " %s ", last);
        else if (i > 0)
            bk_text_add(&out, ", ");
        bk_text_addf(&out, "\"%s\"", words[i]);
    }
    return out.data;
}

void bk_wrong_type(bk_reader *reader, bk_json *json, const char *name, const char *expected,
                   const char *mend)
{
    bk_problem(reader, "wrong-type", bk_json_place(json), mend, "%s must be %s, not %s", name,
               expected, bk_json_type_name(json));
}

/* ----------------------------------------------------------------- in order */

typedef struct placed {
    bk_message message;
    size_t source; /* in the order in which files were read; 0: no place */
    size_t index;
} placed;

static int by_place(const void *left, const void *right)
{
    const placed *a = left, *b = right;
    if (a->source != b->source)
        return a->source < b->source ? -1 : 1;
    if (a->message.place.offset != b->message.place.offset)
        return a->message.place.offset < b->message.place.offset ? -1 : 1;
    return a->index < b->index ? -1 : 1;
}

void bk_sort_problems(bk_reader *reader, size_t first)
{
    bk_report *report = reader->report;
    size_t count = report->count - first;
    if (count < 2)
        return;
    placed *sorted = BK_NEW(reader->arena, placed, count);
    for (size_t i = 0; i < count; i++) {
        const bk_message *message = &report->messages[first + i];
        sorted[i] = (placed){*message, 0, i};
        for (size_t j = 0; message->place.source && j < reader->plan->source_count; j++) {
            if (reader->plan->sources[j] == message->place.source) {
                sorted[i].source = j + 1;
                break;
            }
        }
    }
    qsort(sorted, count, sizeof *sorted, by_place);
    for (size_t i = 0; i < count; i++)
        report->messages[first + i] = sorted[i].message;
}
