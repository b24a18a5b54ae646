/* Reporting problems of a plan: once each, with what to write instead. */
#include "plan/reader.h"

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
            strcmp(message->text, text) == 0) {
            return true;
        }
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
    if (!said_before(reader->report, place, text)) {
        bk_error(reader->report, code, place, mend, "%s", text);
    }
}

void bk_remark(bk_reader *reader, const char *code, bk_place place, const char *mend,
               const char *format, ...)
{
    if (reader->warnings >= BK_MOST_WARNINGS) {
        return;
    }
    va_list arguments;
    va_start(arguments, format);
    char *text = bk_vformat(reader->arena, format, arguments);
    va_end(arguments);
    if (!said_before(reader->report, place, text)) {
        bk_warning(reader->report, code, place, mend, "%s", text);
        reader->warnings++;
    }
}

const char *bk_suggestion(bk_reader *reader, const char *word, const char *const *names,
                          const char *whose)
{
    enum { MOST_NAMES = 2000, MOST_LISTED = 8 };
    if (!bk_problem_is_kept(reader)) {
        return NULL;
    }
    size_t count = 0;
    while (names[count] != NULL) {
        count++;
    }
    const char *nearest = count <= MOST_NAMES ? bk_nearest(word, names) : NULL;
    if (nearest != NULL) {
        return bk_format(reader->arena, "did you mean %s?", bk_quoted(reader->arena, nearest));
    }
    if (whose == NULL || count == 0 || count > MOST_LISTED) {
        return NULL;
    }
    return bk_format(reader->arena, "%s %s %s", whose, count == 1 ? "has only" : "has",
                     bk_choices(reader->arena, names, "and"));
}

const char *bk_choices(bk_arena *arena, const char *const *words, const char *last)
{
    bk_text out = bk_text_new(arena);
    for (size_t i = 0; words[i] != NULL; i++) {
        if (i > 0 && words[i + 1] == NULL) {
            bk_text_addf(&out, " %s ", last);
        } else if (i > 0) {
            bk_text_add(&out, ", ");
        }
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
