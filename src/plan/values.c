/* One value of a plan at a time: checked for type, form and size. */
#include "plan/reader.h"

#include <math.h>
#include <string.h>

/* The key in quotes, as messages name a value. */
static const char *key_name(bk_reader *reader, const char *key)
{
    return bk_format(reader->arena, "\"%s\"", key);
}

bool bk_is_object(bk_reader *reader, bk_json *json, const char *name, const char *mend)
{
    if (json->type == BK_JSON_OBJECT)
        return true;
    bk_wrong_type(reader, json, name, "an object {…}", mend);
    return false;
}

static bool is_among(const char *word, const bk_key *keys)
{
    for (; keys->name; keys++)
        if (strcmp(keys->name, word) == 0)
            return true;
    return false;
}

/* What a message may propose. */
static const char *const *names_of(bk_arena *arena, const bk_key *keys)
{
    size_t count = 0, kept = 0;
    while (keys[count].name)
        count++;
    const char **names = BK_NEW(arena, const char *, count + 1);
    for (size_t i = 0; i < count; i++)
        if (keys[i].name[0] != '$')
            names[kept++] = keys[i].name;
    return names;
}

void bk_check_keys(bk_reader *reader, bk_json *object, const char *whose, const bk_key *known)
{
    for (bk_json *member = object->first; member; member = member->next) {
        if (is_among(member->key, known))
            continue;
        if (!bk_problem_is_kept(reader)) { /* a million of them cost no words */
            bk_problem(reader, "unknown-key", bk_json_key_place(member), NULL, "one more");
            continue;
        }
        const char *const *names = names_of(reader->arena, known);
        const char *meant = bk_meant(reader, member->key, names);
        const char *mend = meant ? bk_format(reader->arena, "did you mean \"%s\"?", meant)
                                 : bk_format(reader->arena, "its keys are %s",
                                             bk_choices(reader->arena, names, "and"));
        bk_fix fix = meant && !bk_json_get(object, meant)
                         ? bk_fix_name(reader, bk_json_key_place(member), member->key, names)
                         : (bk_fix){0};
        bk_problem_fix(reader, "unknown-key", bk_json_key_place(member), fix, mend,
                       "%s has no key %s", whose, bk_quoted(reader->arena, member->key));
        if (meant && !bk_json_get(object, meant)) {
            /* Read on as if it were spelled right: no echo about a missing key, and
             * what is wrong with its value is found in the same run. */
            member->key = bk_copy_string(reader->arena, meant);
        }
    }
}

void bk_missing(bk_reader *reader, bk_json *object, const char *whose, const char *key,
                const char *mend)
{
    bk_problem(reader, "missing-key", bk_json_place(object), mend, "%s needs \"%s\"", whose, key);
}

bool bk_check_text(bk_reader *reader, bk_place place, const char *text, const char *name,
                   size_t most, bool lines)
{
    size_t length = strlen(text);
    if (strspn(text, " \t\n\r") == length) {
        bk_problem(reader, "empty-text", place, "write something here", "%s is empty", name);
        return false;
    }
    if (length > most) {
        bk_problem(reader, "limit", place, "shorten it", "%s is longer than %zu bytes", name, most);
        return false;
    }
    for (size_t at = 0; at < length;) {
        uint32_t code = 0;
        size_t size = bk_utf8_next(text + at, length - at, &code);
        bool control = code < 0x20 || (code >= 0x7F && code < 0xA0);
        if (size == 0 || (control && !(lines && (code == '\n' || code == '\t')))) {
            bool line = code == '\n' || code == '\r';
            bk_problem(reader, "control-character", place,
                       line ? "write it in one line" : "leave it out", "%s has a %s", name,
                       line ? "line break" : "control character");
            return false;
        }
        at += size;
    }
    return true;
}

const char *bk_text_value(bk_reader *reader, bk_json *json, const char *name, size_t most,
                          bool lines)
{
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, name, "a text", "write it in double quotes");
        return NULL;
    }
    bool good = bk_check_text(reader, bk_json_place(json), json->string, name, most, lines);
    return good ? json->string : NULL;
}

bool bk_temperature_value(bk_reader *reader, bk_json *json, const char *name, double least,
                          double most, double *celsius)
{
    const char *mend = "write it as \"4 C\" or \"40 F\"";
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, name, "a temperature", mend);
        return false;
    }
    double value = 0.0;
    if (!bk_read_temperature(json->string, &value, &mend)) {
        bk_problem(reader, "temperature", bk_json_place(json), mend, "%s is not a temperature: %s",
                   name, bk_quoted(reader->arena, json->string));
        return false;
    }
    if (value < least || value > most) {
        bk_problem(reader, "temperature", bk_json_place(json),
                   bk_format(reader->arena, "write one from %g C to %g C", least, most),
                   "%s is out of range: %s", name, bk_quoted(reader->arena, json->string));
        return false;
    }
    *celsius = value;
    return true;
}

bool bk_duration_value(bk_reader *reader, bk_json *json, const char *name, int64_t *minutes)
{
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, name, "a duration",
                      "write a duration such as \"90 min\", \"1 h 30 min\" or \"2 d\"");
        return false;
    }
    const char *mend = NULL;
    if (bk_read_duration(json->string, minutes, &mend))
        return true;
    bk_problem(reader, "duration", bk_json_place(json), mend, "%s is not a duration: %s", name,
               bk_quoted(reader->arena, json->string));
    return false;
}

bool bk_get_duration(bk_reader *reader, bk_json *object, const char *key, int64_t *minutes)
{
    bk_json *json = bk_json_get(object, key);
    return json && bk_duration_value(reader, json, key_name(reader, key), minutes);
}

/* The text at a place without its quotes, where it is one of these. */
static bk_fix unquoted(bk_reader *reader, const bk_json *json, bool fits)
{
    bk_fix fix = fits ? bk_fix_text(reader, bk_json_place(json), json->string) : (bk_fix){0};
    if (fix.text)
        fix.text = json->string;
    return fix;
}

static bk_fix count_in_quotes(bk_reader *reader, const bk_json *json)
{
    enum { MOST_DIGITS = 7 };
    size_t digits = json->type == BK_JSON_STRING ? strspn(json->string, "0123456789") : 0;
    return unquoted(reader, json,
                    digits > 0 && digits <= MOST_DIGITS && json->string[digits] == '\0' &&
                        json->string[0] != '0');
}

static bk_fix truth_in_quotes(bk_reader *reader, const bk_json *json)
{
    return unquoted(reader, json,
                    json->type == BK_JSON_STRING &&
                        (strcmp(json->string, "true") == 0 || strcmp(json->string, "false") == 0));
}

bool bk_count_value(bk_reader *reader, bk_json *json, const char *name, int64_t most,
                    int64_t *count)
{
    if (json->type != BK_JSON_NUMBER) {
        bk_problem_fix(reader, "wrong-type", bk_json_place(json), count_in_quotes(reader, json),
                       "write a number without quotes, such as 1",
                       "%s must be a whole number, not %s", name, bk_json_type_name(json));
        return false;
    }
    if (!(json->number >= 1.0) || floor(json->number) != json->number) {
        bk_problem(reader, "count", bk_json_place(json), "write 1 or more",
                   "%s must be a whole number from 1", name);
        return false;
    }
    if (json->number > (double)most) {
        bk_problem(reader, "limit", bk_json_place(json),
                   bk_format(reader->arena, "write %lld or less", (long long)most),
                   "%s is more than %lld", name, (long long)most);
        return false;
    }
    *count = (int64_t)json->number;
    return true;
}

bool bk_get_count(bk_reader *reader, bk_json *object, const char *key, int64_t most, int64_t *count)
{
    bk_json *json = bk_json_get(object, key);
    return json && bk_count_value(reader, json, key_name(reader, key), most, count);
}

bool bk_get_boolean(bk_reader *reader, bk_json *object, const char *key, bool *truth)
{
    bk_json *json = bk_json_get(object, key);
    if (!json)
        return false;
    if (json->type != BK_JSON_BOOLEAN) {
        bk_problem_fix(reader, "wrong-type", bk_json_place(json), truth_in_quotes(reader, json),
                       "write true or false, without quotes",
                       "\"%s\" must be true or false, not %s", key, bk_json_type_name(json));
        return false;
    }
    *truth = json->truth;
    return true;
}

bool bk_get_word(bk_reader *reader, bk_json *object, const char *key, const char *const *words,
                 int *index)
{
    bk_json *json = bk_json_get(object, key);
    if (!json)
        return false;
    const char *choices = bk_choices(reader->arena, words, "or");
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, key_name(reader, key), choices, "write one of them");
        return false;
    }
    for (int i = 0; words[i]; i++) {
        if (strcmp(words[i], json->string) == 0) {
            *index = i;
            return true;
        }
    }
    bk_problem_fix(reader, "unknown-word", bk_json_place(json),
                   bk_fix_name(reader, bk_json_place(json), json->string, words),
                   bk_suggestion(reader, json->string, words, NULL), "\"%s\" must be %s, not %s",
                   key, choices, bk_quoted(reader->arena, json->string));
    return false;
}

/* "25:00" behind a date that there is is no matter of the calendar. */
static bool is_of_a_real_day(bk_arena *arena, const char *text)
{
    enum { DATE = 10 };
    bk_civil date;
    return strlen(text) > DATE && bk_date_read(bk_copy(arena, text, DATE), &date);
}

/* What may be written in the place of an instant that is none. */
static const char *instant_mend(const char *name)
{
    if (strcmp(name, "--serve") == 0)
        return "write an hour such as \"18:30\", a difference such as \"+25 min\", or both date "
               "and hour: \"2026-12-24 19:30\"";
    if (strcmp(name, "--now") == 0)
        return "write an hour of today such as \"18:30\", or \"2026-12-24 19:30\"";
    return "write it as \"2026-12-24 19:30\"";
}

bool bk_instant_text(bk_reader *reader, bk_place place, const char *name, const char *text,
                     bk_instant *instant)
{
    const bk_zone *zone = reader->plan->zone;
    const char *quoted = bk_quoted(reader->arena, text);
    bool repeated = false;
    switch (bk_instant_read(zone, text, instant, &repeated)) {
    case BK_INSTANT_OK:
        if (repeated) {
            const char *written = bk_instant_rfc3339(reader->arena, zone, *instant);
            bk_remark(reader, "clock-change", place,
                      bk_format(reader->arena, "to choose, add the offset: \"%s%s\"", text,
                                written + strlen(written) - strlen("+00:00")),
                      "%s %s comes twice in %s, where the clocks go back: the first is meant", name,
                      quoted, bk_zone_name(zone));
        }
        return true;
    case BK_INSTANT_FORM:
        bk_problem(reader, "instant", place, instant_mend(name),
                   name[0] == '-' ? "%s is not a time: %s" : "%s is not a date and time: %s", name,
                   quoted);
        return false;
    case BK_INSTANT_DATE:
        if (is_of_a_real_day(reader->arena, text)) {
            bk_problem(reader, "instant", place, "the hours of a day go from 00:00 to 23:59",
                       "%s names a time of day that does not exist: %s", name, quoted);
            return false;
        }
        bk_problem(reader, "instant", place, "look at the calendar",
                   "%s names a date or time of day that does not exist: %s", name, quoted);
        return false;
    case BK_INSTANT_SKIPPED:
        bk_problem(reader, "clock-change", place, "write a time before or after the change",
                   "%s %s does not exist in %s: the clocks go forward over it", name, quoted,
                   bk_zone_name(zone));
        return false;
    case BK_INSTANT_RANGE:
        bk_problem(
            reader, "instant", place,
            bk_format(reader->arena, "write a year from %d to %d", BK_FIRST_YEAR, BK_LAST_YEAR),
            "%s is too far away: %s", name, quoted);
        return false;
    }
    return false;
}

bool bk_get_instant(bk_reader *reader, bk_json *object, const char *key, bk_instant *instant)
{
    bk_json *json = bk_json_get(object, key);
    if (!json)
        return false;
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, key_name(reader, key), "a date and time",
                      "write it as \"2026-12-24 19:30\"");
        return false;
    }
    return bk_instant_text(reader, bk_json_place(json), key_name(reader, key), json->string,
                           instant);
}
