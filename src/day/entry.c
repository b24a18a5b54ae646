/* One line of the journal: an entry as JSON, and back. */
#include "day/entry.h"

#include "lines/lines.h"
#include "quantity/quantity.h"

#include <math.h>
#include <string.h>

static const char format[] = "bakeset-day-1";

/* In the order of enum bk_day_what. */
static const char *const whats[] = {"begun",    "done",    "longer", "skipped", "hot",
                                    "served",   "out",     "later",  "cook",    "undo",
                                    "finished", "planned", NULL};

/* ------------------------------------------------------------------ reading */

static bool read_what(bk_arena *arena, const bk_json *line, enum bk_day_what *what,
                      bk_report *report)
{
    const char *word = NULL;
    if (!bk_line_text(arena, line, "what", false, &word, report))
        return false;
    for (size_t i = 0; whats[i]; i++)
        if (strcmp(whats[i], word) == 0) {
            *what = (enum bk_day_what)i;
            return true;
        }
    const char *nearest = bk_nearest(word, whats);
    bk_error(report, "unknown-word", bk_json_place(bk_json_get(line, "what")),
             nearest ? bk_format(report->arena, "did you mean \"%s\"?", nearest)
                     : "write what happened, as \"begun\" or \"done\"",
             "a journal knows no %s", bk_quoted(report->arena, word));
    return false;
}

static bool read_stage(bk_arena *arena, const bk_json *line, const char **dish, const char **stage,
                       bk_report *report)
{
    bool has_dish = bk_line_text(arena, line, "dish", false, dish, report);
    return bk_line_text(arena, line, "stage", false, stage, report) && has_dish;
}

/* A text with its unit; a bare number is degrees Celsius. */
static bool read_temperature(const bk_json *line, double *celsius, bk_report *report)
{
    const bk_json *json = bk_json_get(line, "temperature");
    const char *mend = "write it as \"180 C\" or \"350 F\"";
    bk_temperature temperature = {0};
    if (!json || json->type == BK_JSON_NULL)
        return true;
    const char *text = json->type == BK_JSON_STRING ? json->string
                       : json->type == BK_JSON_NUMBER
                           ? bk_format(report->arena, "%.0f C", json->number)
                           : NULL;
    if (!text || !bk_read_oven_temperature(text, &temperature, &mend)) {
        bk_error(report, "temperature", bk_json_place(json), mend,
                 "\"temperature\" is not an oven's temperature%s%s", text ? ": " : "",
                 text ? bk_quoted(report->arena, text) : "");
        return false;
    }
    *celsius = temperature.nominal;
    return true;
}

/* A text of a start; that of the start before where it is the same, as mostly it is: a journal
 * tells the same stages again and again. */
static bool read_word(bk_arena *arena, const bk_json *item, const char *key, bool may_lack,
                      const char *before, const char **word, bk_report *report)
{
    const bk_json *json = bk_json_get(item, key);
    if (before && json && json->type == BK_JSON_STRING && strcmp(json->string, before) == 0) {
        *word = before;
        return true;
    }
    return bk_line_text(arena, item, key, may_lack, word, report);
}

static bool read_start(bk_arena *arena, const bk_json *item, const bk_planned_start *before,
                       bk_planned_start *start, bk_report *report)
{
    if (item->type != BK_JSON_OBJECT) {
        bk_error(report, "type", bk_json_place(item), NULL,
                 "each of \"starts\" must be an object, not %s", bk_json_type_name(item));
        return false;
    }
    bool good = read_word(arena, item, "dish", false, before->dish, &start->dish, report);
    good = read_word(arena, item, "stage", false, before->stage, &start->stage, report) && good;
    good = bk_line_instant(item, "start", &start->start, report) && good;
    return read_word(arena, item, "oven", true, before->oven, &start->oven, report) && good;
}

static bool read_starts(bk_arena *arena, const bk_json *line, const bk_day_entry *before,
                        bk_day_entry *entry, bk_report *report)
{
    static const bk_planned_start none;
    const bk_json *list = bk_json_get(line, "starts");
    if (!list || list->type != BK_JSON_LIST) {
        bk_error(report, "type", list ? bk_json_place(list) : bk_json_place(line), NULL,
                 list ? "\"starts\" must be a list" : "\"starts\" is missing");
        return false;
    }
    bool good = true;
    entry->starts = BK_NEW(arena, bk_planned_start, list->count);
    for (const bk_json *item = list->first; item; item = item->next) {
        size_t i = entry->start_count++;
        const bk_planned_start *was =
            before && i < before->start_count ? &before->starts[i] : &none;
        good = read_start(arena, item, was, &entry->starts[i], report) && good;
    }
    return good;
}

static bool read_rest(bk_arena *arena, const bk_json *line, const bk_day_entry *before,
                      bk_day_entry *entry, bk_report *report)
{
    bool good = true;
    switch (entry->what) {
    case BK_DAY_BEGUN:
    case BK_DAY_DONE:
    case BK_DAY_SKIPPED:
        return read_stage(arena, line, &entry->dish, &entry->stage, report);
    case BK_DAY_LONGER:
        good = read_stage(arena, line, &entry->dish, &entry->stage, report);
        return bk_line_minutes(line, "minutes", 1, BK_MOST_LONGER, &entry->minutes, report) && good;
    case BK_DAY_HOT:
        good = bk_line_text(arena, line, "oven", false, &entry->oven, report);
        return read_temperature(line, &entry->temperature_c, report) && good;
    case BK_DAY_SERVED:
    case BK_DAY_OUT:
        return bk_line_text(arena, line, "dish", false, &entry->dish, report);
    case BK_DAY_LATER:
        good = bk_line_text(arena, line, "serve", false, &entry->serve, report);
        return bk_line_text(arena, line, "dish", true, &entry->dish, report) && good;
    case BK_DAY_COOK:
        good = bk_line_text(arena, line, "cook", false, &entry->cook, report);
        return bk_line_instant(line, "until", &entry->until, report) && good;
    case BK_DAY_PLANNED:
        return read_starts(arena, line, before, entry, report);
    case BK_DAY_UNDO:
    case BK_DAY_FINISHED:
        break;
    }
    return true;
}

bool bk_entry_read(bk_arena *arena, const bk_json *line, const bk_day_entry *before,
                   bk_day_entry *entry, bk_report *report)
{
    *entry = (bk_day_entry){.temperature_c = NAN, .place = bk_json_place(line)};
    bool timed = bk_line_instant(line, "at", &entry->at, report);
    if (!bk_line_text(arena, line, "id", true, &entry->id, report))
        return false;
    return read_what(arena, line, &entry->what, report) &&
           read_rest(arena, line, before, entry, report) && timed;
}

bool bk_first_line_read(bk_arena *arena, const bk_json *line, bk_journal *journal,
                        bk_report *report)
{
    static const char *const mend =
        "give that file another name, and bakeset begins a journal, with {\"format\": "
        "\"bakeset-day-1\", \"at\": ...} first";
    const bk_json *json = bk_json_get(line, "format");
    if (!json || json->type != BK_JSON_STRING || strcmp(json->string, format) != 0) {
        const char *known =
            json && json->type == BK_JSON_STRING
                ? bk_format(report->arena, "its format is %s, not \"%s\"",
                            bk_quoted(report->arena, json->string), format)
                : bk_format(report->arena, "its first line has no \"format\": \"%s\"", format);
        bk_error(report, "format", bk_json_place(json ? json : line), mend,
                 "this is no journal of a day: %s", known);
        return false;
    }
    bool timed = bk_line_instant(line, "at", &journal->begun, report);
    return bk_line_text(arena, line, "occasion", true, &journal->occasion, report) && timed;
}

/* ------------------------------------------------------------------ writing */

static void put_instant(bk_put *put, const char *key, const bk_zone *zone, bk_instant instant)
{
    bk_put_text(put, key, bk_instant_rfc3339(put->out->arena, zone, instant));
}

static void put_if_said(bk_put *put, const char *key, const char *text)
{
    if (text)
        bk_put_text(put, key, text);
}

/* To a tenth of a degree, whatever the locale's decimal sign is. */
static void put_temperature(bk_put *put, double celsius)
{
    if (isnan(celsius))
        return;
    long long tenths = llround(celsius * 10.0);
    bk_put_text(put, "temperature",
                tenths % 10 == 0
                    ? bk_format(put->out->arena, "%lld C", tenths / 10)
                    : bk_format(put->out->arena, "%lld.%lld C", tenths / 10, tenths % 10));
}

static void put_starts(bk_put *put, const bk_zone *zone, const bk_day_entry *entry)
{
    bk_put_open(put, "starts", "[");
    for (size_t i = 0; i < entry->start_count; i++) {
        const bk_planned_start *start = &entry->starts[i];
        bk_put_open(put, NULL, "{");
        bk_put_text(put, "dish", start->dish);
        bk_put_text(put, "stage", start->stage);
        put_instant(put, "start", zone, start->start);
        put_if_said(put, "oven", start->oven);
        bk_put_close(put, "}");
    }
    bk_put_close(put, "]");
}

void bk_entry_write(const bk_zone *zone, const bk_day_entry *entry, bk_text *out)
{
    bk_put put = bk_put_line_to(out);
    bk_put_open(&put, NULL, "{");
    put_instant(&put, "at", zone, entry->at);
    bk_put_text(&put, "what", whats[entry->what]);
    put_if_said(&put, "dish", entry->dish);
    put_if_said(&put, "stage", entry->stage);
    if (entry->what == BK_DAY_LONGER)
        bk_put_integer(&put, "minutes", entry->minutes);
    put_if_said(&put, "oven", entry->oven);
    if (entry->what == BK_DAY_HOT)
        put_temperature(&put, entry->temperature_c);
    put_if_said(&put, "serve", entry->serve);
    put_if_said(&put, "cook", entry->cook);
    if (entry->what == BK_DAY_COOK)
        put_instant(&put, "until", zone, entry->until);
    if (entry->what == BK_DAY_PLANNED)
        put_starts(&put, zone, entry);
    put_if_said(&put, "id", entry->id);
    bk_put_close(&put, "}");
    bk_text_add(out, "\n");
}

void bk_first_line_write(const bk_zone *zone, bk_instant begun, const char *occasion, bk_text *out)
{
    bk_put put = bk_put_line_to(out);
    bk_put_open(&put, NULL, "{");
    bk_put_text(&put, "format", format);
    put_instant(&put, "at", zone, begun);
    put_if_said(&put, "occasion", occasion);
    bk_put_close(&put, "}");
    bk_text_add(out, "\n");
}
