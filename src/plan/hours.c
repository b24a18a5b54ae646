/* Hours of some days: {"days": "mon-fri", "time": "08:00-17:30"}, {"date": …, "time": …},
 * and the window that a stage is to lie in. */
#include "plan/reader.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

enum { MOST_DAYS_AWAY = 800, NOON = 720 };

/* ------------------------------------------------------------------ reading */

static bool take_weekday(const char **text, int *day)
{
    static const char *const names[] = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
    for (int i = 0; i < 7; i++) {
        if (strncmp(*text, names[i], 3) == 0 && !isalpha((unsigned char)(*text)[3])) {
            *text += 3;
            *day = i;
            return true;
        }
    }
    return false;
}

/* "mon-fri", "sat,sun", "fri-mon": bit 0 is Monday. */
static bool read_days(const char *text, unsigned *days)
{
    *days = 0;
    for (;;) {
        int from = 0, to = 0;
        if (!take_weekday(&text, &from))
            return false;
        to = from;
        if (*text == '-' && (text++, !take_weekday(&text, &to)))
            return false;
        for (int day = from;; day = (day + 1) % 7) {
            *days |= 1u << day;
            if (day == to)
                break;
        }
        if (*text == '\0')
            return true;
        if (*text++ != ',')
            return false;
        text += strspn(text, " ");
    }
}

static bool read_time(bk_reader *reader, bk_json *object, const char *whose, bk_hours *hours)
{
    static const char *const mend = "write \"08:00-17:30\"";
    bk_json *json = bk_json_get(object, "time");
    if (!json) {
        bk_missing(reader, object, whose, "time", mend);
        return false;
    }
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, "\"time\"", "a daily window", mend);
        return false;
    }
    if (!bk_daily_read(json->string, &hours->from, &hours->to)) {
        bk_problem(reader, "window", bk_json_place(json), mend, "this is not a daily window: %s",
                   bk_quoted(reader->arena, json->string));
        return false;
    }
    return true;
}

bool bk_is_hours(bk_json *object)
{
    return bk_json_get(object, "days") || bk_json_get(object, "date") ||
           bk_json_get(object, "time");
}

bool bk_read_hours(bk_reader *reader, bk_json *object, bk_hours *hours)
{
    static const char *const whose = "this window";
    bk_json *days = bk_json_get(object, "days"), *date = bk_json_get(object, "date");
    *hours = (bk_hours){.days = 0x7F, .place = bk_json_place(object)};
    bk_check_keys(reader, object, whose, bk_hours_keys);
    bool good = read_time(reader, object, whose, hours);
    if (days && date) {
        bk_problem(reader, "window", bk_json_key_place(date), "keep one of them",
                   "this window has both \"days\" and \"date\"");
        return false;
    }
    if (days && (days->type != BK_JSON_STRING || !read_days(days->string, &hours->days))) {
        bk_problem(reader, "window", bk_json_place(days),
                   "write \"mon-fri\", \"sat,sun\" or \"tue\"",
                   "\"days\" names no days of the week");
        good = false;
    }
    if (date) {
        bk_civil civil;
        hours->has_date = true;
        if (date->type == BK_JSON_STRING && bk_date_read(date->string, &civil)) {
            hours->date = bk_civil_minutes(civil) / BK_DAY;
        } else {
            bk_problem(reader, "window", bk_json_place(date), "write it as \"2026-12-24\"",
                       "\"date\" is no date");
            good = false;
        }
    }
    return good;
}

/* ---------------------------------------------------------------- occurring */

bool bk_hours_occur(const bk_hours *hours, int64_t day)
{
    /* 1970-01-01 was a Thursday. */
    return hours->has_date ? day == hours->date : (hours->days >> ((day + 3) % 7) & 1) != 0;
}

/* --------------------------------------------------------------------- when */

static bool read_day(bk_reader *reader, bk_json *json, int64_t *day)
{
    if (json->type != BK_JSON_NUMBER || floor(json->number) != json->number ||
        fabs(json->number) > MOST_DAYS_AWAY) {
        bk_problem(reader, "window", bk_json_place(json),
                   "write 0 for the day it is served, -1 for the day before",
                   "\"day\" must be a whole number of days");
        return false;
    }
    *day = (int64_t)json->number;
    return true;
}

/* Windows that meet are one. */
static void expand(bk_reader *reader, bk_stage *stage, const bk_hours *hours, int64_t first,
                   int64_t last)
{
    bk_daily daily = {.from = hours->from, .to = hours->to};
    bk_spans spans = bk_spans_new(reader->arena);
    for (int64_t day = first; day <= last; day++) {
        bk_span span = bk_daily_on(reader->plan->zone, &daily, day);
        bk_spans_add(&spans, span.from, span.to, 0);
    }
    bk_spans merged = bk_spans_merged(reader->arena, &spans);
    stage->when = merged.items;
    stage->when_count = merged.count;
}

void bk_read_when(bk_reader *reader, size_t index)
{
    bk_plan *plan = reader->plan;
    bk_stage *stage = &plan->stages[index];
    bk_json *json =
        reader->stage_json[index] ? bk_json_get(reader->stage_json[index], "when") : NULL;
    if (!json ||
        !bk_is_object(reader, json, "\"when\"", "write {\"day\": -1, \"time\": \"18:00-21:30\"}"))
        return;
    bk_check_keys(reader, json, "\"when\"", bk_when_keys);
    bk_hours hours = {.days = 0x7F};
    bk_json *day_json = bk_json_get(json, "day");
    int64_t day = 0;
    bool good = read_time(reader, json, "\"when\"", &hours);
    good = (!day_json || read_day(reader, day_json, &day)) && good;
    if (!good || !reader->has_span || !reader->dish_serve_known[stage->dish])
        return;
    stage->has_when = true;
    stage->when_time = bk_json_get(json, "time")->string;
    stage->when_place = bk_json_place(json);
    stage->when_by_serve = day_json;
    int64_t first = bk_day_of(plan->zone, plan->earliest) - 2,
            last = bk_day_of(plan->zone, plan->last_serve) + 1;
    if (stage->when_by_serve)
        first = last = bk_day_of(plan->zone, plan->dishes[stage->dish].serve) + day;
    expand(reader, stage, &hours, first, last);
}

bool bk_begins_in_night(const bk_hours *hours, int64_t day, int64_t night)
{
    return (hours->from >= NOON ? day : day - 1) == night;
}
