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

void bk_problem(bk_reader *reader, const char *code, bk_place place, const char *mend,
                const char *format, ...)
{
    if (!bk_problem_is_kept(reader)) {
        bk_error(reader->report, code, place, NULL, "and more");
        return;
    }
    va_list arguments;
    va_start(arguments, format);
    char *text = bk_vformat(reader->arena, format, arguments);
    va_end(arguments);
    if (!said_before(reader->report, place, text))
        bk_error(reader->report, code, place, mend, "%s", text);
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
