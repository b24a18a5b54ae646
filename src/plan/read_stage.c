/* A stage: its words, its time, who attends to it, and its checks. */
#include "plan/reader.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { DEFAULT_GIVE = 5 };

static const char *read_text(bk_reader *reader, bk_json *object, const char *key, const char *name,
                             bool lines)
{
    bk_json *json = bk_json_get(object, key);
    return json ? bk_text_value(reader, json, name, BK_MOST_TEXT, lines) : NULL;
}

const char *bk_stage_words(bk_reader *reader, size_t stage)
{
    const char *id = reader->plan->stages[stage].id;
    if (id && reader->plan->stages[stage].batch > 0) /* as it was written */
        id = bk_copy(reader->arena, id, (size_t)(strrchr(id, '#') - id));
    return id ? bk_format(reader->arena, "the stage %s", bk_quoted(reader->arena, id)) : "a stage";
}

/* -------------------------------------------------------------------- time */

static bool range_value(bk_reader *reader, bk_json *json, bk_range *range)
{
    const char *name = bk_format(reader->arena, "\"%s\"", json->key);
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, name, "a time",
                      "write a time such as \"20 min\", \"12-15 min\" or \"1 h 30 min - 2 h\"");
        return false;
    }
    const char *mend = NULL;
    if (bk_read_range(json->string, range, &mend))
        return true;
    bk_problem(reader, "duration", bk_json_place(json), mend, "%s is not a time: %s", name,
               bk_quoted(reader->arena, json->string));
    return false;
}

/* The one of "active", "passive" and "cooling" that is there; NULL after reporting
 * none or several. */
static bk_json *time_of(bk_reader *reader, size_t stage, bk_json *json)
{
    static const char *const keys[] = {"active", "passive", "cooling"};
    bk_json *found = NULL, *second = NULL;
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        bk_json *value = bk_json_get(json, keys[i]);
        if (value && found)
            second = second ? second : value;
        else if (value)
            found = value;
    }
    if (!found) {
        bk_problem(reader, "missing-key", reader->plan->stages[stage].place,
                   "add \"active\": \"20 min\" or \"passive\": \"20 min\"", "%s has no time",
                   bk_stage_words(reader, stage));
    } else if (second) {
        bk_problem(reader, "two-times", bk_json_key_place(second),
                   "keep one, or make two stages of it", "%s has both \"%s\" and \"%s\"",
                   bk_stage_words(reader, stage), found->key, second->key);
        return NULL;
    }
    return found;
}

static int64_t planned_of(const bk_plan *plan, const bk_range *range)
{
    switch (plan->plan_on) {
    case BK_PLAN_ON_LEAST:
        return range->least;
    case BK_PLAN_ON_LIKELY:
        return range->likely;
    case BK_PLAN_ON_MOST:
        break;
    }
    return range->most;
}

/* "4-24 h" seldom means that it takes a day when all goes badly: it is ready after 4 h
 * and may then stay. */
static void suspect_wide_range(bk_reader *reader, bk_json *json, const bk_range *range)
{
    enum { WIDE = 3, LEAST = 60 };
    if (reader->plan->plan_on != BK_PLAN_ON_MOST || range->least == 0 || range->most < LEAST ||
        range->most <= WIDE * range->least)
        return;
    bk_remark(reader, "wide-range", bk_json_place(json),
              bk_format(reader->arena,
                        "where %s is enough and it may then stay, write that here, and \"within\": "
                        "\"%s\" in the \"after\" of the next step",
                        bk_minutes(reader->arena, range->least),
                        bk_minutes(reader->arena, range->most - range->least)),
              "%s is a wide range, of which the long end is planned",
              bk_quoted(reader->arena, json->string));
}

/* Minutes times a factor, rounded up; a factor such as 1.1 is not exact in binary, so
 * a hair more than whole is whole. */
static int64_t times(int64_t minutes, double factor)
{
    return (int64_t)ceil((double)minutes * factor - 1e-6);
}

static void at_pace(bk_range *range, double pace)
{
    range->least = times(range->least, pace);
    range->likely = times(range->likely, pace);
    range->most = times(range->most, pace);
}

/* How much longer hands are needed where the dish is made for more, or for fewer. */
static double growth(bk_reader *reader, size_t index, bk_json *json)
{
    double scale = reader->plan->dishes[reader->plan->stages[index].dish].scale;
    bk_json *grows = bk_json_get(json, "grows");
    if (!grows)
        return 1.0;
    if (grows->type != BK_JSON_NUMBER || grows->number < 0.0 || grows->number > 1.0) {
        bk_problem(reader, "grows", bk_json_place(grows), "write 0.5 for half as much longer",
                   "\"grows\" must be a number from 0 to 1");
        return 1.0;
    }
    return scale == 0.0 ? 1.0 : 1.0 + grows->number * (scale - 1.0);
}

/* True when the stage's range is known. */
static bool read_time(bk_reader *reader, size_t index, bk_json *json)
{
    bk_stage *stage = &reader->plan->stages[index];
    bk_json *time = time_of(reader, index, json);
    stage->attention = BK_NONE;
    stage->range_place = stage->place;
    stage->times = 1.0;
    if (!time)
        return false;
    stage->range_place = bk_json_place(time);
    bool good = false;
    if (time->key[0] == 'c') {
        good = bk_read_cooling_stage(reader, index, time);
    } else {
        good = range_value(reader, time, &stage->range);
        stage->attention = time->key[0] == 'a' ? BK_HANDS : BK_NONE;
        if (stage->attention == BK_HANDS) {
            stage->times = reader->plan->kitchen.pace * growth(reader, index, json);
            at_pace(&stage->range, stage->times);
        }
    }
    stage->planned = planned_of(reader->plan, &stage->range);
    if (good && time->key[0] != 'c')
        suspect_wide_range(reader, time, &stage->range);
    return good;
}

/* --------------------------------------------------------------- attention */

static void read_cooks(bk_reader *reader, size_t index, bk_json *json)
{
    bk_stage *stage = &reader->plan->stages[index];
    bk_json *cooks = bk_json_get(json, "cooks");
    int64_t count = 1;
    bool given = bk_get_count(reader, json, "cooks", BK_MOST_COOKS, &count);
    if (stage->attention != BK_HANDS) {
        if (given) {
            bk_remark(reader, "no-effect", bk_json_key_place(cooks),
                      "write \"active\" where hands are needed",
                      "%s needs no hands, so its \"cooks\" mean nothing",
                      bk_stage_words(reader, index));
        }
        return;
    }
    stage->cooks = (int)count;
    int there = reader->plan->kitchen.cooks;
    if (!reader->kitchen_failed && count > there) {
        bk_problem(reader, "over-size", cooks ? bk_json_place(cooks) : stage->place,
                   "add cooks to the kitchen, or ask for fewer",
                   "%s needs %d cooks, but the kitchen has %d", bk_stage_words(reader, index),
                   stage->cooks, there);
    }
}

static void read_watch(bk_reader *reader, size_t index, bk_json *json)
{
    bk_stage *stage = &reader->plan->stages[index];
    stage->watch = bk_is_heated(stage);
    for (size_t i = 0; i < stage->need_count; i++) {
        size_t equipment = stage->needs[i].equipment;
        if (reader->plan->kitchen.equipment[equipment].kind == BK_HOB)
            stage->watch = true;
    }
    bk_get_boolean(reader, json, "watch", &stage->watch);
    if (stage->attention == BK_NONE && stage->watch)
        stage->attention = BK_WATCH;
}

static void read_begins(bk_reader *reader, size_t index, bk_json *json)
{
    bk_stage *stage = &reader->plan->stages[index];
    int word = 0;
    if (!bk_get_word(reader, json, "begins", bk_begin_words, &word))
        return;
    if (stage->attention == BK_HANDS)
        bk_remark(reader, "no-effect", bk_json_key_place(bk_json_get(json, "begins")),
                  "write \"passive\" where it goes by itself",
                  "%s needs hands throughout, so its \"begins\" means nothing",
                  bk_stage_words(reader, index));
    else
        stage->begins_itself = word == 1;
}

/* ------------------------------------------------------------------ checks */

static void read_check(bk_reader *reader, size_t index, bk_json *json, bool timed)
{
    bk_stage *stage = &reader->plan->stages[index];
    const char *whose = bk_format(reader->arena, "a check of %s", bk_stage_words(reader, index));
    if (!bk_is_object(reader, json, whose, "write {\"at\": \"10 min\", \"do\": \"Turn the tin\"}"))
        return;
    bk_check_keys(reader, json, whose, bk_check_keys_of_stage);
    bk_check check = {.give = DEFAULT_GIVE, .place = bk_json_place(json)};
    bk_json *at = bk_json_get(json, "at");
    check.text = read_text(reader, json, "do", "\"do\"", false);
    if (!bk_json_get(json, "do"))
        bk_missing(reader, json, whose, "do", "say what to do");
    bool known_at = bk_get_duration(reader, json, "at", &check.at);
    if (!at)
        bk_missing(reader, json, whose, "at", "say how long after the stage's start");
    bk_get_duration(reader, json, "takes", &check.takes);
    bk_get_duration(reader, json, "give", &check.give);
    if (check.takes == 0)
        check.give = 0;
    if (known_at && timed) {
        if (check.at - check.give + check.takes > stage->range.most) {
            bk_problem(reader, "check-outside", bk_json_place(at),
                       "make it earlier, or the stage longer",
                       "this check cannot end inside its stage, which lasts %s",
                       bk_minutes(reader->arena, stage->range.most));
        }
    }
    int there = reader->plan->kitchen.cooks;
    if (check.takes > 0 && stage->attention == BK_HANDS && stage->cooks + 1 > there &&
        !reader->kitchen_failed)
        bk_remark(reader, "check-hands", bk_json_place(bk_json_get(json, "takes")),
                  "leave out \"takes\" where whoever works does it in passing",
                  "this check wants a pair of hands while %s has %s, so no timeline has both",
                  bk_stage_words(reader, index),
                  there == 1 ? "the only one" : bk_format(reader->arena, "all %d", there));
    stage->checks[stage->check_count++] = check;
}

/* A look at the least end of the range, where that is not the planned end: what stands
 * in a heated oven has one unless the plan says no. */
static void read_look(bk_reader *reader, size_t index, bk_json *json, bool timed)
{
    bk_stage *stage = &reader->plan->stages[index];
    bk_json *look = bk_json_get(json, "look");
    bk_check check = {.text = "May be ready from now",
                      .look = true,
                      .at = stage->range.least,
                      .place = look ? bk_json_place(look) : stage->range_place};
    bool wanted = bk_is_heated(stage) && stage->attention != BK_HANDS;
    if (look && look->type == BK_JSON_BOOLEAN && !look->truth) {
        wanted = false;
    } else if (look && look->type != BK_JSON_STRING) {
        bk_wrong_type(reader, look, "\"look\"", "false, or what to look for",
                      "write \"look\": \"the top springs back\", or leave it out");
    } else if (look) {
        check.text = bk_text_value(reader, look, "\"look\"", BK_MOST_TEXT, false);
        wanted = check.text;
        if (timed && stage->range.least == stage->range.most)
            bk_remark(reader, "look-without-range", bk_json_place(look),
                      "give the time as a range, such as \"30-40 min\"",
                      "there is nothing to look for early: the time of %s is one number",
                      bk_stage_words(reader, index));
    }
    const bk_dish *dish = &reader->plan->dishes[stage->dish];
    if (wanted && bk_is_heated(stage) && bk_other_tin(dish))
        check.at = times(check.at, bk_tin_longer(dish));
    if (timed && wanted && check.at < stage->planned)
        stage->checks[stage->check_count++] = check;
}

static int by_time(const void *left, const void *right)
{
    const bk_check *a = left, *b = right;
    if (a->at != b->at)
        return a->at < b->at ? -1 : 1;
    return (a->place.offset > b->place.offset) - (a->place.offset < b->place.offset);
}

static void read_checks(bk_reader *reader, size_t index, bk_json *json, bool timed)
{
    bk_stage *stage = &reader->plan->stages[index];
    bk_json *list = bk_json_get(json, "checks");
    if (list && list->type != BK_JSON_LIST) {
        bk_wrong_type(reader, list, "\"checks\"", "a list [...]", "put the checks in [ ]");
        list = NULL;
    }
    stage->checks = BK_NEW(reader->arena, bk_check, (list ? list->count : 0) + 1);
    if (list)
        for (bk_json *item = list->first; item; item = item->next)
            read_check(reader, index, item, timed);
    read_look(reader, index, json, timed);
    if (stage->check_count > 1)
        qsort(stage->checks, stage->check_count, sizeof *stage->checks, by_time);
}

/* ------------------------------------------------------------------- whole */

void bk_read_stage(bk_reader *reader, size_t index)
{
    bk_stage *stage = &reader->plan->stages[index];
    bk_json *json = reader->stage_json[index];
    if (!json)
        return;
    if (!bk_json_get(json, "do")) {
        bk_problem(reader, "missing-key", stage->place, "say in one line what to do",
                   "%s needs \"do\"", bk_stage_words(reader, index));
    }
    stage->text = read_text(reader, json, "do", "\"do\"", false);
    if (stage->batch > 0 && stage->text) {
        stage->text = bk_format(reader->arena, "%s (batch %d of %zu)", stage->text, stage->batch,
                                reader->plan->dishes[stage->dish].batches);
    }
    stage->note = read_text(reader, json, "note", "\"note\"", true);
    stage->caution = read_text(reader, json, "caution", "\"caution\"", true);
    bk_read_needs(reader, index);
    bk_read_holds(reader, index);
    bool timed = read_time(reader, index, json);
    read_cooks(reader, index, json);
    read_watch(reader, index, json);
    read_begins(reader, index, json);
    read_checks(reader, index, json, timed);
    if (timed)
        bk_read_tin_caution(reader, index);
    bk_read_links(reader, index);
}
