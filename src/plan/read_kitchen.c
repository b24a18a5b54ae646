/* The kitchen: its people, rules and equipment. Its hours are read by windows.c. */
#include "plan/cooling_keys.h"
#include "plan/reader.h"

#include <string.h>

enum { DEFAULT_RINGS = 4, DEFAULT_PREHEAT = 15, DEFAULT_CHANGE = 10, DEFAULT_IDLE = 30 };
static const double DEFAULT_COLD = 4.0;
static const double COLDEST_ROOM = 0.0, HOTTEST_ROOM = 50.0;

/* The keys that each kind of equipment has besides "kind" and "count". */
static const bk_key *keys_of(enum bk_equipment_kind kind)
{
    switch (kind) {
    case BK_OVEN:
        return bk_oven_keys;
    case BK_HOB:
        return bk_hob_keys;
    case BK_COLD:
        return bk_cold_keys;
    case BK_TOOL:
        break;
    }
    return bk_tool_keys;
}

static const char *kind_name(enum bk_equipment_kind kind)
{
    switch (kind) {
    case BK_OVEN:
        return "an oven";
    case BK_HOB:
        return "a hob";
    case BK_COLD:
        return "a cold place";
    case BK_TOOL:
        break;
    }
    return "a tool";
}

static bool has_key(enum bk_equipment_kind kind, const char *key)
{
    for (const bk_key *known = keys_of(kind); known->name; known++)
        if (strcmp(known->name, key) == 0)
            return true;
    return false;
}

/* "rings" on an oven is a slip about kinds, not about spelling: say whose it is. */
static void check_equipment_keys(bk_reader *reader, bk_json *json, const bk_equipment *equipment,
                                 const char *whose)
{
    static const enum bk_equipment_kind kinds[] = {BK_OVEN, BK_HOB, BK_COLD};
    bool misplaced = false;
    for (bk_json *member = json->first; member; member = member->next) {
        if (has_key(equipment->kind, member->key))
            continue;
        for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
            if (!has_key(kinds[i], member->key))
                continue;
            misplaced = true;
            bk_problem(reader, "unknown-key", bk_json_key_place(member),
                       !bk_json_get(json, "kind") ? "without a \"kind\" it is a tool: add one"
                                                  : "leave it out, or change the \"kind\"",
                       "\"%s\" belongs to %s, but %s is %s", member->key, kind_name(kinds[i]),
                       whose, kind_name(equipment->kind));
            break;
        }
    }
    if (!misplaced)
        bk_check_keys(reader, json, whose, keys_of(equipment->kind));
}

/* A rate such as "12 C/min". */
static bool read_rate(bk_reader *reader, bk_json *json, const char *key, double *rate)
{
    bk_json *value = bk_json_get(json, key);
    const char *mend = "write it as \"12 C/min\"";
    if (!value)
        return false;
    if (value->type != BK_JSON_STRING) {
        bk_wrong_type(reader, value, bk_format(reader->arena, "\"%s\"", key), "a rate", mend);
    } else if (!bk_read_heating_rate(value->string, rate, &mend)) {
        bk_problem(reader, "rate", bk_json_place(value), mend, "\"%s\" is not a rate: %s", key,
                   bk_quoted(reader->arena, value->string));
    } else {
        return true;
    }
    return false;
}

/* The fixed times that the rates stand in place of. */
static void check_rates(bk_reader *reader, bk_json *json)
{
    bk_json *preheat = bk_json_get(json, "preheat"), *change = bk_json_get(json, "change");
    bool warms = bk_json_get(json, "warms"), cools = bk_json_get(json, "cools");
    if (warms && preheat) {
        bk_problem(reader, "two-times", bk_json_key_place(preheat), "leave one of them out",
                   "\"preheat\" and \"warms\" both say how long the oven takes to get hot");
    }
    if (warms && cools && change) {
        bk_problem(reader, "two-times", bk_json_key_place(change), "leave it out",
                   "\"warms\" and \"cools\" already say how long a change takes");
    }
}

static void read_oven(bk_reader *reader, bk_json *json, bk_equipment *oven)
{
    int64_t shelves = 1;
    oven->preheat = DEFAULT_PREHEAT;
    oven->change = DEFAULT_CHANGE;
    oven->idle = DEFAULT_IDLE;
    bk_get_boolean(reader, json, "fan", &oven->fan);
    bk_get_count(reader, json, "shelves", BK_MOST_OVENS, &shelves);
    bk_get_duration(reader, json, "preheat", &oven->preheat);
    bk_get_duration(reader, json, "change", &oven->change);
    bk_get_duration(reader, json, "idle", &oven->idle);
    oven->shelves = (int)shelves;
    read_rate(reader, json, "warms", &oven->warms);
    read_rate(reader, json, "cools", &oven->cools);
    check_rates(reader, json);
}

static void read_cold(bk_reader *reader, bk_json *json, bk_equipment *cold)
{
    int air = 0;
    int64_t places = 0;
    cold->at_c = DEFAULT_COLD;
    bk_json *at = bk_json_get(json, "at");
    if (at)
        cold->fahrenheit = bk_temperature_value(reader, at, "\"at\"", -60.0, 30.0, &cold->at_c) &&
                           bk_is_fahrenheit(at->string);
    if (bk_get_word(reader, json, "air", bk_air_words, &air))
        cold->air_fan = air == 1;
    cold->pool = bk_get_count(reader, json, "places", BK_MOST_AMOUNT, &places)
                     ? cold->count * places
                     : INT64_MAX;
}

/* False when not even its kind is known. */
static bool read_equipment(bk_reader *reader, bk_json *json, bk_equipment *equipment)
{
    static const enum bk_equipment_kind kind_of[] = {BK_OVEN, BK_HOB, BK_COLD, BK_TOOL};
    const char *whose = bk_quoted(reader->arena, equipment->name);
    int kind = 3;
    int64_t count = 1, rings = DEFAULT_RINGS;
    equipment->count = 1;
    equipment->pool = INT64_MAX;
    equipment->shelves = 1;
    if (!bk_is_object(reader, json, whose, "write {} for a tool, or {\"kind\": \"oven\"}"))
        return false;
    bool known =
        bk_get_word(reader, json, "kind", bk_kind_words, &kind) || !bk_json_get(json, "kind");
    equipment->kind = kind_of[kind];
    if (!known) {
        /* Which keys and amounts are right depends on the kind. */
        return false;
    }
    check_equipment_keys(reader, json, equipment, whose);
    bk_get_count(reader, json, "count", equipment->kind == BK_OVEN ? BK_MOST_OVENS : BK_MOST_AMOUNT,
                 &count);
    equipment->count = (int)count;
    switch (equipment->kind) {
    case BK_OVEN:
        read_oven(reader, json, equipment);
        break;
    case BK_COLD:
        read_cold(reader, json, equipment);
        break;
    case BK_HOB:
        bk_get_count(reader, json, "rings", BK_MOST_AMOUNT, &rings);
        equipment->pool = count * rings;
        break;
    case BK_TOOL:
        equipment->pool = count;
        break;
    }
    return true;
}

static void read_all_equipment(bk_reader *reader, bk_json *json)
{
    bk_kitchen *kitchen = &reader->plan->kitchen;
    if (!bk_is_object(reader, json, "\"equipment\"", "write {\"oven\": {\"kind\": \"oven\"}}")) {
        reader->kitchen_failed = true;
        return;
    }
    const char **names = BK_NEW(reader->arena, const char *, json->count);
    kitchen->equipment = BK_NEW(reader->arena, bk_equipment, json->count);
    reader->equipment_broken = BK_NEW(reader->arena, bool, json->count);
    for (bk_json *member = json->first; member; member = member->next) {
        bk_equipment *equipment = &kitchen->equipment[kitchen->equipment_count];
        bk_check_text(reader, bk_json_key_place(member), member->key, "the name of equipment",
                      BK_MOST_NAME, false);
        equipment->name = member->key;
        equipment->place = bk_json_key_place(member);
        reader->equipment_broken[kitchen->equipment_count] =
            !read_equipment(reader, member, equipment);
        names[kitchen->equipment_count++] = member->key;
    }
    reader->equipment = bk_names_new(reader->arena, names, kitchen->equipment_count);
}

static void read_pace(bk_reader *reader, bk_json *json)
{
    bk_json *pace = bk_json_get(json, "pace");
    if (!pace)
        return;
    if (pace->type != BK_JSON_NUMBER || pace->number < 0.5 || pace->number > 3.0) {
        bk_problem(reader, "pace", bk_json_place(pace),
                   "write 1 for the times as they are, 1.5 for half as long again",
                   "\"pace\" must be a number from 0.5 to 3");
        return;
    }
    reader->plan->kitchen.pace = pace->number;
}

bk_json *bk_read_kitchen(bk_reader *reader, bk_json *json)
{
    static const bk_reference reference = {"the kitchen", "the kitchen", bk_kitchen_keys, "kitchen",
                                           true};
    bk_kitchen *kitchen = &reader->plan->kitchen;
    static const char *const no_names[] = {NULL};
    kitchen->cooks = 1;
    kitchen->pace = 1.0;
    kitchen->room_c = bk_cooling_place_find("room")->air_c;
    reader->equipment = bk_names_new(reader->arena, no_names, 0);
    if (!json)
        return NULL;
    json = bk_resolve(reader, json, &reference);
    if (!json) {
        reader->kitchen_failed = true;
        return NULL;
    }
    kitchen->place = bk_json_place(json);
    int64_t cooks = 1;
    bk_json *cooks_json = bk_json_get(json, "cooks");
    if (cooks_json && cooks_json->type == BK_JSON_LIST) {
        kitchen->cooks = BK_MOST_COOKS;
        bk_read_cooks(reader, cooks_json);
        reader->plan->cooks_place = bk_json_place(cooks_json);
    } else if (cooks_json) {
        kitchen->cooks =
            bk_get_count(reader, json, "cooks", BK_MOST_COOKS, &cooks) ? (int)cooks : BK_MOST_COOKS;
        reader->plan->cooks_place = bk_json_place(cooks_json);
    }
    read_pace(reader, json);
    bk_json *room = bk_json_get(json, "room");
    if (room)
        bk_temperature_value(reader, room, "\"room\"", COLDEST_ROOM, HOTTEST_ROOM,
                             &kitchen->room_c);
    int rule = 0;
    if (bk_get_word(reader, json, "rules", bk_rule_words, &rule)) {
        kitchen->has_rules = true;
        kitchen->rules = rule == 1 ? BK_RULES_UK : BK_RULES_US;
    }
    bk_json *equipment = bk_json_get(json, "equipment");
    if (equipment)
        read_all_equipment(reader, equipment);
    return json;
}
