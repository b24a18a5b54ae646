/* A passive time that is computed from what cools, and where. */
#include "heat/heat.h"
#include "plan/reader.h"

#include <string.h>

/* A room's air where the plan does not say (common practice, no source). */
static const double ROOM_C = 20.0;

static const char *const COOLING_MEND = "write {\"shape\": \"round\", \"across\": \"20 cm\", "
                                        "\"deep\": \"6 cm\", \"food\": \"custard\", "
                                        "\"from\": \"15 C\", \"to\": \"6 C\", \"in\": \"fridge\"}";
static const char *const WHOSE = "\"cooling\"";

void bk_cooling_question(const bk_cooling *cooling, struct bk_heat_question *question)
{
    static const enum bk_heat_shape shapes[] = {BK_HEAT_ROUND, BK_HEAT_SLAB, BK_HEAT_BALL};
    static const enum bk_heat_tin tins[] = {BK_HEAT_TIN_METAL, BK_HEAT_TIN_GLASS,
                                            BK_HEAT_TIN_CERAMIC, BK_HEAT_TIN_NONE};
    const double *part = cooling->fraction;
    *question = (bk_heat_question){
        .shape = shapes[cooling->shape],
        .across = cooling->across_m,
        .deep = cooling->deep_m,
        .composition = {.water = part[0],
                        .protein = part[1],
                        .fat = part[2],
                        .carbohydrate = part[3],
                        .fibre = part[4],
                        .ash = part[5],
                        .air = cooling->air,
                        .milk_fat = cooling->milk_fat},
        .liquid = cooling->food != NULL ? bk_food_liquid(cooling->food) : BK_HEAT_SOLID,
        .from_c = cooling->from_c,
        .to_c = cooling->to_c,
        .air_c = cooling->place_c,
        .place = bk_heat_place_of(cooling->in_room, cooling->place_c, cooling->place_fan),
        .tin = tins[cooling->tin],
        .base_insulated = cooling->base_insulated,
    };
}

/* ------------------------------------------------------------------ values */

/* A length; leaves the result alone after reporting, or when it may be missing. */
static bool read_length(bk_reader *reader, bk_json *object, const char *key, bool needed,
                        double *metres)
{
    bk_json *json = bk_json_get(object, key);
    const char *name = bk_format(reader->arena, "\"%s\"", key);
    const char *mend = "write it as \"20 cm\", \"60 mm\" or \"8 in\"";
    if (json == NULL) {
        if (needed) {
            bk_missing(reader, object, WHOSE, key, mend);
        }
        return !needed;
    }
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, name, "a length", mend);
        return false;
    }
    if (!bk_read_length(json->string, metres, &mend)) {
        bk_problem(reader, "length", bk_json_place(json), mend, "%s is not a length: %s", name,
                   bk_quoted(reader->arena, json->string));
        return false;
    }
    return true;
}

static bool read_temperature(bk_reader *reader, bk_json *object, const char *key, double *celsius)
{
    bk_json *json = bk_json_get(object, key);
    if (json == NULL) {
        bk_missing(reader, object, WHOSE, key, "write it as \"15 C\"");
        return false;
    }
    return bk_temperature_value(reader, json, bk_format(reader->arena, "\"%s\"", key),
                                BK_HEAT_COLDEST, BK_HEAT_HOTTEST, celsius);
}

/* One of the words, or the default where the key is missing. */
static bool read_word(bk_reader *reader, bk_json *object, const char *key, const char *const *words,
                      int *index)
{
    return bk_json_get(object, key) == NULL || bk_get_word(reader, object, key, words, index);
}

static bool read_composition(bk_reader *reader, bk_json *json, bk_cooling *cooling)
{
    static const char *const known[] = {"water", "protein", "fat", "carbohydrate",
                                        "fibre", "ash",     "air", NULL};
    bool good = true;
    bk_check_keys(reader, json, "a composition", known);
    for (int i = 0; known[i] != NULL; i++) {
        bk_json *part = bk_json_get(json, known[i]);
        if (part == NULL) {
            continue;
        }
        if (part->type != BK_JSON_NUMBER) {
            bk_wrong_type(reader, part, bk_format(reader->arena, "\"%s\"", known[i]), "a number",
                          "write a fraction such as 0.25");
            good = false;
            continue;
        }
        *(i < 6 ? &cooling->fraction[i] : &cooling->air) = part->number;
    }
    return good;
}

static bool read_food(bk_reader *reader, bk_json *object, bk_cooling *cooling)
{
    bk_json *json = bk_json_get(object, "food");
    const char *mend = "write a name such as \"custard\", or {\"water\": 0.6, \"fat\": 0.2, …}";
    if (json == NULL) {
        bk_missing(reader, object, WHOSE, "food", mend);
        return false;
    }
    if (json->type == BK_JSON_OBJECT) {
        return read_composition(reader, json, cooling);
    }
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, "\"food\"", "a name or a composition", mend);
        return false;
    }
    const bk_food *food = bk_food_find(json->string);
    if (food == NULL) {
        const char *nearest = bk_suggestion(reader, json->string, bk_food_names(), NULL);
        bk_problem(reader, "unknown-food", bk_json_place(json),
                   nearest != NULL ? nearest : "write its composition: {\"water\": 0.6, …}",
                   "no food is known as %s", bk_quoted(reader->arena, json->string));
        return false;
    }
    const bk_composition *c = &food->composition;
    const double part[6] = {c->water, c->protein, c->fat, c->carbohydrate, c->fibre, c->ash};
    memcpy(cooling->fraction, part, sizeof part);
    cooling->air = c->air;
    cooling->milk_fat = c->milk_fat;
    cooling->food = food->name;
    return true;
}

/* Where it stands: "room" or a cold place of the kitchen. */
static bool read_where(bk_reader *reader, bk_json *object, bk_cooling *cooling)
{
    bk_json *json = bk_json_get(object, "in"), *air = bk_json_get(object, "air");
    const char *mend = "name a cold place of the kitchen, or \"room\"";
    if (json == NULL) {
        bk_missing(reader, object, WHOSE, "in", mend);
        return false;
    }
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, "\"in\"", "a name", mend);
        return false;
    }
    size_t found = bk_names_find(&reader->equipment, json->string);
    if (found != SIZE_MAX) {
        const bk_equipment *equipment = &reader->plan->kitchen.equipment[found];
        if (reader->equipment_broken[found]) {
            return false;
        }
        if (equipment->kind != BK_COLD) {
            bk_problem(reader, "not-cold", bk_json_place(json), mend,
                       "%s is not a cold place: nothing is known of its air",
                       bk_quoted(reader->arena, equipment->name));
            return false;
        }
        cooling->equipment = found;
        cooling->place_c = equipment->at_c;
        cooling->place_fan = equipment->air_fan;
    } else if (strcmp(json->string, "room") == 0) {
        cooling->in_room = true;
        cooling->equipment = SIZE_MAX;
        cooling->place_c = ROOM_C;
    } else {
        if (!reader->kitchen_failed) {
            const char *near = bk_suggestion(reader, json->string, reader->equipment.listed, NULL);
            bk_problem(reader, "unknown-equipment", bk_json_place(json), near != NULL ? near : mend,
                       "the kitchen has no %s", bk_quoted(reader->arena, json->string));
        }
        return false;
    }
    return air == NULL || bk_temperature_value(reader, air, "\"air\"", BK_HEAT_COLDEST,
                                               BK_HEAT_HOTTEST, &cooling->place_c);
}

/* ------------------------------------------------------------------- whole */

static bool read_cooling(bk_reader *reader, bk_json *json, bk_cooling *cooling)
{
    static const char *const known[] = {"shape", "across", "deep", "food", "from", "to",
                                        "in",    "air",    "base", "tin",  NULL};
    static const char *const shapes[] = {"round", "slab", "ball", NULL};
    static const char *const bases[] = {"open", "insulated", NULL};
    static const char *const tins[] = {"metal", "glass", "ceramic", "none", NULL};
    int shape = 0, base = 0, tin = 0;
    if (!bk_is_object(reader, json, WHOSE, COOLING_MEND)) {
        return false;
    }
    bk_check_keys(reader, json, WHOSE, known);
    cooling->place = bk_json_place(json);
    bool good = true, shaped = bk_get_word(reader, json, "shape", shapes, &shape);
    if (bk_json_get(json, "shape") == NULL) {
        bk_missing(reader, json, WHOSE, "shape", "write \"round\", \"slab\" or \"ball\"");
    }
    cooling->shape = (enum bk_shape)shape;
    /* A slab without a width is so wide that its edges do not count. */
    cooling->across_m = INFINITY;
    good &= read_length(reader, json, "across", shaped && cooling->shape != BK_SLAB,
                        &cooling->across_m);
    good &=
        read_length(reader, json, "deep", shaped && cooling->shape != BK_BALL, &cooling->deep_m);
    good &= read_food(reader, json, cooling);
    good &= read_temperature(reader, json, "from", &cooling->from_c);
    good &= read_temperature(reader, json, "to", &cooling->to_c);
    good &= read_where(reader, json, cooling);
    good &= read_word(reader, json, "base", bases, &base);
    good &= read_word(reader, json, "tin", tins, &tin);
    cooling->base_insulated = base == 1;
    cooling->tin = (enum bk_tin)tin;
    return good && shaped;
}

/* The value that a fault of the estimate is about. */
static bk_json *fault_at(bk_json *json, enum bk_heat_fault fault, const bk_cooling *cooling)
{
    const char *key = NULL;
    switch (fault) {
    case BK_HEAT_BAD_SIZE:
        /* "across" is looked at first. */
        key = cooling->across_m >= 0.0001 && (cooling->across_m <= 5.0 || isinf(cooling->across_m))
                  ? "deep"
                  : "across";
        break;
    case BK_HEAT_BAD_COMPOSITION:
    case BK_HEAT_BAD_MATERIAL:
        key = "food";
        break;
    case BK_HEAT_BAD_TEMPERATURE:
        key = "in";
        break;
    case BK_HEAT_NEVER:
    case BK_HEAT_ALREADY:
        key = "to";
        break;
    case BK_HEAT_OK:
    case BK_HEAT_TOO_LONG:
        break;
    }
    bk_json *value = key != NULL ? bk_json_get(json, key) : NULL;
    return value != NULL ? value : json;
}

/* Unless the stage says how much of its cold place it uses, it uses 1. */
static void imply_place(bk_stage *stage, const bk_cooling *cooling)
{
    for (size_t i = 0; i < stage->need_count; i++) {
        if (stage->needs[i].equipment == cooling->equipment) {
            return;
        }
    }
    stage->needs[stage->need_count++] =
        (bk_need){.equipment = cooling->equipment, .amount = 1, .place = cooling->place};
}

bool bk_read_cooling_stage(bk_reader *reader, size_t index, bk_json *json)
{
    bk_stage *stage = &reader->plan->stages[index];
    bk_cooling *cooling = BK_NEW(reader->arena, bk_cooling, 1);
    if (!read_cooling(reader, json, cooling)) {
        return false;
    }
    bk_heat_question question;
    bk_cooling_question(cooling, &question);
    bk_heat_answer answer = bk_heat_estimate(reader->arena, &question);
    if (answer.fault != BK_HEAT_OK) {
        bk_problem(reader, bk_heat_fault_code(answer.fault),
                   bk_json_place(fault_at(json, answer.fault, cooling)), answer.mend, "%s",
                   answer.message);
        return false;
    }
    if (answer.may_freeze) {
        bk_remark(reader, "may-freeze", cooling->place,
                  "watch it, or chill it in air above freezing",
                  "in air at %.3g C the outside may freeze before the middle is at %.3g C",
                  cooling->place_c, cooling->to_c);
    }
    stage->range = (bk_range){answer.least_minutes, answer.likely_minutes, answer.most_minutes};
    stage->cooling = cooling;
    if (!cooling->in_room) {
        imply_place(stage, cooling);
    }
    return true;
}
