/* A passive time that is computed from what cools, and where. */
#include "heat/heat.h"
#include "plan/cooling_keys.h"
#include "plan/reader.h"

#include <string.h>

static const char *const COOLING_MEND = "write {\"shape\": \"round\", \"across\": \"20 cm\", "
                                        "\"deep\": \"6 cm\", \"food\": \"custard\", "
                                        "\"from\": \"15 C\", \"to\": \"6 C\", \"in\": \"fridge\"}";
static const char *const WHOSE = "\"cooling\"";
static const char *const ONTO = "\"onto\"";
static const char *const FOOD_MEND =
    "write a name such as \"custard\", or {\"water\": 0.6, \"fat\": 0.2, …}";
static const char *const LENGTH_MEND = "write it as \"20 cm\", \"60 mm\" or \"8 in\"";

void bk_cooling_question(const bk_cooling *cooling, struct bk_heat_question *question)
{
    *question = *cooling->question;
}

/* ------------------------------------------------------------------ values */

/* A length; leaves the result alone after reporting, or when it may be missing. */
bool bk_get_length(bk_reader *reader, bk_json *object, const char *key, const char *whose,
                   bool needed, double *metres)
{
    bk_json *json = bk_json_get(object, key);
    const char *name = bk_format(reader->arena, "\"%s\"", key);
    const char *mend = LENGTH_MEND;
    if (!json) {
        if (needed)
            bk_missing(reader, object, whose, key, mend);
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

static bool read_composition(bk_reader *reader, bk_json *json, bk_composition *composition)
{
    bool good = true;
    bk_check_keys(reader, json, "a composition", bk_composition_keys);
    for (size_t i = 0; bk_cooling_parts[i]; i++) {
        bk_json *part = bk_json_get(json, bk_cooling_parts[i]);
        if (!part)
            continue;
        if (part->type != BK_JSON_NUMBER) {
            bk_wrong_type(reader, part, bk_format(reader->arena, "\"%s\"", bk_cooling_parts[i]),
                          "a number", "write a fraction such as 0.25");
            good = false;
            continue;
        }
        *bk_cooling_part(composition, i) = part->number;
    }
    return good;
}

/* A food: a name of the table, found, or a composition. */
static bool read_food(bk_reader *reader, bk_json *json, bk_composition *composition,
                      const bk_food **food)
{
    if (json->type == BK_JSON_OBJECT)
        return read_composition(reader, json, composition);
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, "\"food\"", "a name or a composition", FOOD_MEND);
        return false;
    }
    *food = bk_food_find(json->string);
    if (!*food) {
        const char *nearest = bk_suggestion(reader, json->string, bk_food_names(), NULL);
        bk_problem_fix(reader, "unknown-food", bk_json_place(json),
                       bk_fix_name(reader, bk_json_place(json), json->string, bk_food_names()),
                       nearest ? nearest : "write its composition: {\"water\": 0.6, …}",
                       "no food is known as %s", bk_quoted(reader->arena, json->string));
        return false;
    }
    *composition = (*food)->composition;
    return true;
}

/* A place where food stands. */
typedef struct bk_where {
    enum bk_heat_place place;
    double air_c;
    size_t equipment; /* SIZE_MAX: no cold place of the kitchen */
} bk_where;

/* "in" and "air" of an object: a cold place of the kitchen, or one outside it. */
static bool read_where(bk_reader *reader, bk_json *object, const char *whose, bk_where *where)
{
    bk_json *json = bk_json_get(object, "in"), *air = bk_json_get(object, "air");
    const char *mend = "name a cold place of the kitchen, or \"room\"";
    bool fan = false;
    where->equipment = SIZE_MAX;
    if (!json) {
        bk_missing(reader, object, whose, "in", mend);
        return false;
    }
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, "\"in\"", "a name", mend);
        return false;
    }
    size_t found = bk_names_find(&reader->equipment, json->string);
    const bk_cooling_place *outside =
        found == SIZE_MAX ? bk_cooling_place_find(json->string) : NULL;
    if (found != SIZE_MAX) {
        const bk_equipment *equipment = &reader->plan->kitchen.equipment[found];
        if (reader->equipment_broken[found])
            return false;
        if (equipment->kind != BK_COLD) {
            bk_problem(reader, "not-cold", bk_json_place(json), mend,
                       "%s is not a cold place: nothing is known of its air",
                       bk_quoted(reader->arena, equipment->name));
            return false;
        }
        where->equipment = found;
        where->air_c = equipment->at_c;
        fan = equipment->air_fan;
    } else if (outside) {
        where->air_c =
            outside->place == BK_HEAT_ROOM ? reader->plan->kitchen.room_c : outside->air_c;
        if (isnan(outside->air_c) && !air)
            bk_missing(reader, object, "a water bath", "air",
                       "write the water's temperature, such as \"15 C\"");
    } else {
        if (!reader->kitchen_failed) {
            const char *near = bk_suggestion(reader, json->string, reader->equipment.listed, NULL);
            bk_problem_fix(
                reader, "unknown-equipment", bk_json_place(json),
                bk_fix_name(reader, bk_json_place(json), json->string, reader->equipment.listed),
                near ? near : mend, "the kitchen has no %s",
                bk_quoted(reader->arena, json->string));
        }
        return false;
    }
    if (air && !bk_temperature_value(reader, air, "\"air\"", BK_HEAT_COLDEST, BK_HEAT_HOTTEST,
                                     &where->air_c))
        return false;
    where->place = outside ? outside->place : bk_heat_place_of(false, where->air_c, fan);
    return !isnan(where->air_c);
}

/* ------------------------------------------------------------------ places */

/* The last of the places in a question, and what of it the plan keeps. */
static void stay(const bk_where *at, bk_heat_question *q, bk_cooling *cooling)
{
    q->place = at->place;
    q->air_c = at->air_c;
    cooling->equipment = at->equipment;
    cooling->in_room = at->equipment == SIZE_MAX;
    cooling->place_c = at->air_c;
}

static void add_leg(bk_reader *reader, bk_heat_question *q, bk_heat_leg leg)
{
    bk_heat_leg *legs = BK_NEW(reader->arena, bk_heat_leg, q->leg_count + 1);
    if (q->leg_count > 0)
        memcpy(legs, q->legs, q->leg_count * sizeof *legs);
    legs[q->leg_count++] = leg;
    q->legs = legs;
}

/* Unless the stage says how much of a cold place it uses, it uses 1. */
static void imply_place(bk_stage *stage, size_t equipment, bk_place place)
{
    for (size_t i = 0; i < stage->need_count; i++)
        if (stage->needs[i].equipment == equipment)
            return;
    stage->needs[stage->need_count++] =
        (bk_need){.equipment = equipment, .amount = 1, .place = place};
}

/* One of "places"; the last may leave out how long. */
static bool read_stop(bk_reader *reader, bk_stage *stage, bk_json *json, bk_heat_question *q,
                      bk_cooling *cooling)
{
    const char *whose = "a place of \"cooling\"";
    bk_where at = {0};
    if (!bk_is_object(reader, json, whose, "write {\"in\": \"room\", \"for\": \"30 min\"}"))
        return false;
    bk_check_keys(reader, json, whose, bk_stop_keys);
    bool good = read_where(reader, json, whose, &at);
    if (good && at.equipment != SIZE_MAX)
        imply_place(stage, at.equipment, bk_json_place(json));
    int64_t minutes = 0;
    bk_json *lasts = bk_json_get(json, "for");
    if (!json->next) {
        if (lasts)
            bk_problem(reader, "last-place", bk_json_key_place(lasts),
                       "leave it out: it stands there until it is at \"to\"",
                       "the last place of \"cooling\" has no \"for\"");
        if (good)
            stay(&at, q, cooling);
        return good && !lasts;
    }
    if (!lasts) {
        bk_missing(reader, json, whose, "for", "say how long it stands there, as \"30 min\"");
        return false;
    }
    good = bk_get_duration(reader, json, "for", &minutes) && good;
    if (good && minutes < 1) {
        bk_problem(reader, "duration", bk_json_place(lasts), "leave the place out",
                   "it stands there for no time");
        return false;
    }
    if (good)
        add_leg(reader, q, (bk_heat_leg){(double)minutes, at.air_c, at.place});
    return good;
}

/* "in", or "places" in its stead. */
static bool read_places(bk_reader *reader, bk_stage *stage, bk_json *json, bk_heat_question *q,
                        bk_cooling *cooling)
{
    bk_json *places = bk_json_get(json, "places"), *in = bk_json_get(json, "in");
    if (!places) {
        bk_where at = {0};
        if (!read_where(reader, json, WHOSE, &at))
            return false;
        if (at.equipment != SIZE_MAX)
            imply_place(stage, at.equipment, cooling->place);
        stay(&at, q, cooling);
        return true;
    }
    if (in || bk_json_get(json, "air")) {
        bk_problem(reader, "two-places", bk_json_key_place(places),
                   "write each place in \"places\", with its \"air\"",
                   "\"cooling\" has both \"%s\" and \"places\"", in ? "in" : "air");
        return false;
    }
    if (places->type != BK_JSON_LIST || places->count == 0 || places->count > BK_MOST_PLACES) {
        bk_problem(reader, "places", bk_json_place(places),
                   "write [{\"in\": \"room\", \"for\": \"30 min\"}, {\"in\": \"fridge\"}]",
                   "\"places\" must be a list of 1 to %d places", BK_MOST_PLACES);
        return false;
    }
    bool good = true;
    for (bk_json *place = places->first; place; place = place->next)
        good &= read_stop(reader, stage, place, q, cooling);
    return good;
}

/* -------------------------------------------------------------- as it was */

static bool is_as_it_was(const bk_json *from)
{
    return from && from->type == BK_JSON_STRING && strcmp(from->string, "as it was") == 0;
}

/* The body of the stage above, with all that it has been through when that one ends. */
static bool go_on(bk_reader *reader, size_t index, bk_json *json, bk_heat_question *q,
                  bk_cooling *cooling)
{
    static const char *const of_body[] = {"shape", "across", "deep", "food", "onto", NULL};
    const bk_stage *stage = &reader->plan->stages[index];
    bk_json *from = bk_json_get(json, "from");
    const bk_stage *above = index > 0 ? stage - 1 : NULL;
    if (!above || above->dish != stage->dish || !above->cooling) {
        bk_problem(reader, "as-it-was", bk_json_place(from),
                   "write the temperature it starts from, or give the stage above \"cooling\"",
                   "the stage above %s has no \"cooling\" to go on from",
                   bk_stage_words(reader, index));
        return false;
    }
    for (int i = 0; of_body[i]; i++) {
        bk_json *own = bk_json_get(json, of_body[i]);
        if (own) {
            bk_problem(reader, "as-it-was", bk_json_key_place(own),
                       "leave it out, or write the temperature it starts from",
                       "\"%s\" is that of the stage above, as it was", of_body[i]);
            return false;
        }
    }
    const bk_cooling *last = above->cooling;
    *q = *last->question;
    double end = q->before + (double)above->planned, sum = 0.0;
    size_t count = q->leg_count;
    bk_heat_leg at_last = {0.0, q->air_c, q->place};
    const bk_heat_leg *legs = q->legs;
    q->leg_count = 0;
    q->legs = NULL;
    for (size_t i = 0; i < count && sum < end; i++) {
        bk_heat_leg leg = legs[i];
        leg.minutes = fmin(leg.minutes, end - sum);
        sum += leg.minutes;
        add_leg(reader, q, leg);
    }
    if (end > sum) {
        at_last.minutes = end - sum;
        add_leg(reader, q, at_last);
    }
    q->before = end;
    q->to_c = NAN;
    for (int i = 0; i < 3; i++)
        q->surface[i] = 0.0;
    cooling->food = last->food;
    memcpy(cooling->fraction, last->fraction, sizeof cooling->fraction);
    cooling->below = last->below;
    cooling->melts_c = last->melts_c;
    cooling->goes_on = true;
    return true;
}

/* ------------------------------------------------------------------- whole */

/* A stage's "cooling", as it is read: where the values come from. */
typedef struct values_of {
    bk_reader *reader;
    bk_json *json, *onto;
    size_t stage;
    bool goes_on; /* "from": "as it was" */
    bk_heat_question *question;
} values_of;

/* What a key is called in its object: a layer below is one of its own. */
static const char *name_of(size_t key)
{
    switch (key) {
    case BK_COOLING_ONTO:
        return "food";
    case BK_COOLING_ONTO_DEEP:
        return "deep";
    case BK_COOLING_ONTO_FROM:
        return "from";
    default:
        return bk_cooling_keys[key].name;
    }
}

static bool is_of_onto(size_t key)
{
    return key >= BK_COOLING_ONTO && key <= BK_COOLING_MELTS;
}

static bk_json *object_of(const values_of *v, size_t key)
{
    return is_of_onto(key) ? v->onto : v->json;
}

static const char *whose_of(size_t key)
{
    return is_of_onto(key) ? ONTO : WHOSE;
}

static bool given(const void *from, size_t key)
{
    const values_of *v = from;
    return !(key == BK_COOLING_FROM && v->goes_on) &&
           bk_json_get(object_of(v, key), name_of(key)) != NULL;
}

static const char *text(const void *from, size_t key)
{
    const values_of *v = from;
    const bk_json *json = bk_json_get(object_of(v, key), name_of(key));
    return json && json->type == BK_JSON_STRING ? json->string : NULL;
}

/* The size of the dish's tin, the one that is used; 0: none is known. */
static double size_of_tin(const values_of *v, size_t key)
{
    const bk_dish *dish = &v->reader->plan->dishes[v->reader->plan->stages[v->stage].dish];
    const bk_tin *tin = dish->into.across > 0.0 ? &dish->into : &dish->tin;
    return key == BK_COOLING_ACROSS ? tin->across : key == BK_COOLING_DEEP ? tin->deep : 0.0;
}

static bool length(const void *from, size_t key, double *metres)
{
    const values_of *v = from;
    bk_reader *reader = v->reader;
    bk_json *object = object_of(v, key);
    if (size_of_tin(v, key) > 0.0 && bk_cooling_needs(key, v->question->shape) &&
        bk_other_tin(&reader->plan->dishes[reader->plan->stages[v->stage].dish]))
        bk_remark(reader, "tin", bk_json_key_place(bk_json_get(object, name_of(key))),
                  "leave it out: it is then that of the tin",
                  "the cooling of %s has a size of its own, whatever tin is used",
                  bk_stage_words(reader, v->stage));
    return bk_get_length(reader, object, name_of(key), whose_of(key), false, metres);
}

static bool temperature(const void *from, size_t key, double *celsius)
{
    const values_of *v = from;
    return bk_temperature_value(v->reader, bk_json_get(object_of(v, key), name_of(key)),
                                bk_format(v->reader->arena, "\"%s\"", name_of(key)),
                                BK_HEAT_COLDEST, BK_HEAT_HOTTEST, celsius);
}

static bool word(const void *from, size_t key, int *index)
{
    const values_of *v = from;
    if (key != BK_COOLING_STIRRED)
        return bk_get_word(v->reader, v->json, name_of(key), bk_cooling_keys[key].words, index);
    bool truth = false;
    bool good = bk_get_boolean(v->reader, v->json, name_of(key), &truth);
    *index = truth;
    return good;
}

static bool stuff(const void *from, size_t key, bk_composition *composition, const bk_food **food)
{
    const values_of *v = from;
    return read_food(v->reader, bk_json_get(object_of(v, key), name_of(key)), composition, food);
}

/* A size that a cooling does not say is as the dish's tin has it. */
static bool lacking(const void *from, size_t key)
{
    const values_of *v = from;
    double size = size_of_tin(v, key);
    if (size > 0.0) {
        bk_cooling_put(v->question, key, size);
        return true;
    }
    const char *mend = bk_cooling_keys[key].missing;
    if (bk_cooling_keys[key].kind == BK_COOLING_STUFF)
        mend = FOOD_MEND;
    else if (key == BK_COOLING_ONTO_DEEP)
        mend = LENGTH_MEND;
    bk_missing(v->reader, object_of(v, key), whose_of(key), name_of(key), mend);
    return false;
}

static bool poured(const void *from, bool before, bool *there)
{
    const values_of *v = from;
    (void)before; /* goes on as it was: then the key is refused */
    *there = v->onto != NULL;
    if (!*there)
        return true;
    if (!bk_is_object(v->reader, v->onto, ONTO,
                      "write {\"food\": \"cheesecake\", \"deep\": \"4 cm\", \"from\": \"5 C\"}"))
        return false;
    bk_check_keys(v->reader, v->onto, ONTO, bk_onto_keys);
    return true;
}

static bool read_cooling(bk_reader *reader, size_t index, bk_json *json, bk_heat_question *q,
                         bk_cooling *cooling)
{
    const bk_dish *dish = &reader->plan->dishes[reader->plan->stages[index].dish];
    if (!bk_is_object(reader, json, WHOSE, COOLING_MEND))
        return false;
    bk_check_keys(reader, json, WHOSE, bk_cooling_value_keys);
    *q = bk_cooling_default();
    cooling->place = bk_json_place(json);
    cooling->melts_c = NAN;
    bool goes_on = is_as_it_was(bk_json_get(json, "from"));
    if (goes_on && !go_on(reader, index, json, q, cooling))
        return false;
    q->units.inches |= dish->into.inches || (dish->tin.inches && dish->into.across == 0.0);
    values_of from = {.reader = reader,
                      .json = json,
                      .onto = bk_json_get(json, "onto"),
                      .stage = index,
                      .goes_on = goes_on,
                      .question = q};
    bk_cooling_values values = {&from, given, text,    length, temperature,
                                word,  stuff, lacking, poured, goes_on};
    bool good = bk_cooling_collect(&values, q, cooling);
    for (size_t i = 0; i < 6; i++)
        cooling->fraction[i] = *bk_cooling_part(&q->composition, i);
    return read_places(reader, &reader->plan->stages[index], json, q, cooling) && good;
}

/* The value that a fault of the estimate is about. */
static bk_json *fault_at(bk_json *json, enum bk_heat_fault fault, const bk_heat_question *q)
{
    const char *key = NULL;
    switch (fault) {
    case BK_HEAT_BAD_SIZE:
        /* "across" is looked at first. */
        key = q->across >= 0.0001 && (q->across <= 5.0 || isinf(q->across)) ? "deep" : "across";
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
    bk_json *value = key ? bk_json_get(json, key) : NULL;
    return value ? value : json;
}

static void warn(bk_reader *reader, const bk_heat_answer *answer, const bk_heat_question *q,
                 const bk_cooling *cooling)
{
    if (answer->may_freeze)
        bk_remark(reader, "may-freeze", cooling->place,
                  "watch it, or chill it in air above freezing",
                  "in air at %s the outside may freeze before the middle is at %s",
                  bk_degrees(reader->arena, q->units, cooling->place_c),
                  bk_degrees(reader->arena, q->units, q->to_c));
    double joint = fmax(answer->joint_c[BK_HEAT_WEAK], answer->joint_c[BK_HEAT_STRONG]);
    bool said = cooling->goes_on && !answer->warming; /* by the stage that pours */
    if (q->below.deep > 0.0 && joint > cooling->melts_c && !said)
        bk_remark(reader, "melts", cooling->place,
                  "pour it cooler or thinner, or have the layer below colder",
                  "what it is poured onto gets to %s at the joint, and softens at %s",
                  bk_degrees(reader->arena, q->units, joint),
                  bk_degrees(reader->arena, q->units, cooling->melts_c));
}

bool bk_read_cooling_stage(bk_reader *reader, size_t index, bk_json *json)
{
    bk_stage *stage = &reader->plan->stages[index];
    bk_cooling *cooling = BK_NEW(reader->arena, bk_cooling, 1);
    bk_heat_question *q = BK_NEW(reader->arena, bk_heat_question, 1);
    if (!read_cooling(reader, index, json, q, cooling))
        return false;
    bk_heat_answer answer = bk_heat_estimate(reader->arena, q);
    if (answer.fault != BK_HEAT_OK) {
        bk_problem(reader, bk_heat_fault_code(answer.fault),
                   bk_json_place(fault_at(json, answer.fault, q)), answer.mend, "%s",
                   answer.message);
        return false;
    }
    warn(reader, &answer, q, cooling);
    cooling->question = q;
    cooling->from_c = answer.start_c;
    cooling->to_c = q->to_c;
    stage->range = (bk_range){answer.least_minutes, answer.likely_minutes, answer.most_minutes};
    stage->cooling = cooling;
    return true;
}
