/* What equipment a stage uses and holds, and a finished dish stands in. */
#include "plan/reader.h"

#include <string.h>

/* The equipment that a member's key names; SIZE_MAX after reporting, or when its
 * own description was at fault, which was reported there. */
static size_t find_equipment(bk_reader *reader, bk_json *member)
{
    size_t found = bk_names_find(&reader->equipment, member->key);
    if (found != SIZE_MAX)
        return reader->equipment_broken[found] ? SIZE_MAX : found;
    if (!reader->kitchen_failed) {
        const char *mend = bk_suggestion(reader, member->key, reader->equipment.listed, "it");
        bk_problem_fix(
            reader, "unknown-equipment", bk_json_key_place(member),
            bk_fix_name(reader, bk_json_key_place(member), member->key, reader->equipment.listed),
            mend ? mend : "add it to the kitchen's \"equipment\"", "the kitchen has no %s",
            bk_quoted(reader->arena, member->key));
    }
    return SIZE_MAX;
}

static const char *equipment_words(bk_reader *reader, const bk_equipment *equipment)
{
    return bk_quoted(reader->arena, equipment->name);
}

/* An amount of a pool, checked against the pool's size. */
static bool read_amount(bk_reader *reader, bk_json *json, const bk_equipment *equipment,
                        int64_t *amount)
{
    const char *name =
        bk_format(reader->arena, "the amount of %s", equipment_words(reader, equipment));
    if (!bk_count_value(reader, json, name, BK_MOST_AMOUNT, amount))
        return false;
    if (*amount > equipment->pool) {
        bk_problem(reader, "over-size", bk_json_place(json), "ask for less, or add to the kitchen",
                   "%s has room for %lld, not %lld", equipment_words(reader, equipment),
                   (long long)equipment->pool, (long long)*amount);
        return false;
    }
    return true;
}

/* -------------------------------------------------------------------- uses */

static void read_oven_need(bk_reader *reader, size_t index, bk_json *json, size_t found)
{
    static const char *const mend = "write {\"at\": \"180 C\"}";
    bk_stage *stage = &reader->plan->stages[index];
    const bk_equipment *oven = &reader->plan->kitchen.equipment[found];
    const char *whose =
        bk_format(reader->arena, "the use of the oven %s", equipment_words(reader, oven));
    if (stage->in_oven) {
        bk_problem(reader, "two-ovens", bk_json_key_place(json), "make two stages of it",
                   "%s uses two ovens", bk_stage_words(reader, index));
        return;
    }
    stage->in_oven = true;
    stage->oven = (bk_need){.equipment = found, .amount = 1, .place = bk_json_key_place(json)};
    if (!bk_is_object(reader, json, whose, mend))
        return;
    bk_check_keys(reader, json, whose, bk_oven_use_keys);
    bk_json *at = bk_json_get(json, "at"), *shelves = bk_json_get(json, "shelves");
    const char *problem = NULL;
    if (!at) {
        bk_missing(reader, json, whose, "at", mend);
    } else if (at->type != BK_JSON_STRING) {
        bk_wrong_type(reader, at, "\"at\"", "a temperature",
                      "write \"180 C\", \"350 F\" or \"gas 4\"");
    } else if (strcmp(at->string, "off") == 0) {
        stage->oven_off = true;
        stage->oven.at.written = "off";
    } else if (!bk_read_oven_temperature(at->string, &stage->oven.at, &problem)) {
        bk_problem(reader, "temperature", bk_json_place(at), problem,
                   "\"at\" is not an oven's temperature: %s", bk_quoted(reader->arena, at->string));
    } else {
        stage->oven.at.written = bk_copy_string(reader->arena, at->string);
    }
    if (shelves &&
        bk_count_value(reader, shelves, "\"shelves\"", BK_MOST_AMOUNT, &stage->oven.amount) &&
        stage->oven.amount > oven->shelves) {
        bk_problem(reader, "over-size", bk_json_place(shelves),
                   "ask for fewer, or add \"shelves\" to the oven",
                   "the oven %s has %d %s, not %lld", equipment_words(reader, oven), oven->shelves,
                   oven->shelves == 1 ? "shelf" : "shelves", (long long)stage->oven.amount);
    }
}

size_t bk_heated_before(bk_arena *arena, const bk_plan *plan, size_t stage, bool *heated)
{
    size_t oven = plan->stages[stage].oven.equipment, depth = 0, found = 0;
    size_t *stack = BK_NEW(arena, size_t, plan->stage_count);
    bool *seen = BK_NEW(arena, bool, plan->stage_count);
    for (stack[depth++] = stage; depth > 0;) {
        const bk_stage *at = &plan->stages[stack[--depth]];
        for (size_t i = 0; i < at->link_count; i++) {
            size_t before = at->links[i].stage;
            if (seen[before])
                continue;
            seen[before] = true;
            stack[depth++] = before;
            const bk_stage *other = &plan->stages[before];
            heated[before] = bk_is_heated(other) && other->oven.equipment == oven;
            found += heated[before];
        }
    }
    return found;
}

void bk_check_off(bk_reader *reader)
{
    const bk_plan *plan = reader->plan;
    bool *heated = BK_NEW(reader->arena, bool, plan->stage_count);
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        bk_mark mark = bk_arena_mark(reader->arena);
        bool cold = stage->in_oven && stage->oven_off && !reader->dish_unsure[stage->dish] &&
                    bk_heated_before(reader->arena, plan, i, heated) == 0;
        bk_arena_release(reader->arena, mark);
        if (cold) {
            bk_problem(
                reader, "oven-off", stage->oven.place,
                "put it \"after\" the stage that is baked there",
                "%s is in the switched-off oven, and nothing that it comes after was hot there",
                bk_stage_words(reader, i));
        }
    }
}

void bk_check_bakings(bk_reader *reader)
{
    const bk_plan *plan = reader->plan;
    size_t *bakings = BK_NEW(reader->arena, size_t, plan->kitchen.equipment_count);
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (!stage->in_oven || bakings[stage->oven.equipment]++ != BK_MOST_BAKINGS)
            continue;
        bk_problem(reader, "limit", stage->oven.place, "make two plans of it",
                   "more than %d stages in %s", BK_MOST_BAKINGS,
                   equipment_words(reader, &plan->kitchen.equipment[stage->oven.equipment]));
    }
}

static void read_pool_need(bk_reader *reader, size_t index, bk_json *json, size_t found)
{
    bk_stage *stage = &reader->plan->stages[index];
    const bk_equipment *equipment = &reader->plan->kitchen.equipment[found];
    bk_need need = {.equipment = found, .place = bk_json_key_place(json)};
    if (json->type == BK_JSON_OBJECT) {
        bk_wrong_type(
            reader, json,
            bk_format(reader->arena, "the amount of %s", equipment_words(reader, equipment)),
            "a whole number", "only an oven is written with {…}");
    } else if (read_amount(reader, json, equipment, &need.amount)) {
        stage->needs[stage->need_count++] = need;
    }
}

void bk_read_needs(bk_reader *reader, size_t index)
{
    bk_stage *stage = &reader->plan->stages[index];
    bk_json *uses = bk_json_get(reader->stage_json[index], "uses");
    /* More: a cooling stage's own places may be added. */
    stage->needs = BK_NEW(reader->arena, bk_need, (uses ? uses->count : 0) + BK_MOST_PLACES);
    if (!uses || !bk_is_object(reader, uses, "\"uses\"", "write {\"fridge\": 1}"))
        return;
    for (bk_json *member = uses->first; member; member = member->next) {
        size_t found = find_equipment(reader, member);
        if (found == SIZE_MAX) {
            reader->dish_unsure[stage->dish] = true;
            continue;
        }
        if (reader->plan->kitchen.equipment[found].kind == BK_OVEN)
            read_oven_need(reader, index, member, found);
        else
            read_pool_need(reader, index, member, found);
    }
}

/* ------------------------------------------------------- holds and storage */

/* Equipment that is kept beyond a stage; SIZE_MAX after reporting. */
static size_t find_kept(bk_reader *reader, bk_json *member, const char *how)
{
    size_t found = find_equipment(reader, member);
    if (found != SIZE_MAX && reader->plan->kitchen.equipment[found].kind == BK_OVEN) {
        bk_problem(reader, "oven-kept", bk_json_key_place(member),
                   "write it under \"uses\" with a temperature", "an oven cannot be %s", how);
        return SIZE_MAX;
    }
    return found;
}

/* A hold until what is done once a batch: within a batch until that of its own, else
 * until all are over. */
static void hold_until_batch(const bk_reader *reader, size_t index, bk_hold *hold, size_t batches)
{
    const bk_stage *stage = &reader->plan->stages[index];
    const bk_stage *until = &reader->plan->stages[hold->until];
    hold->step = reader->plan->dishes[until->dish].batch_stages;
    if (batches > 1 && stage->batch > 0 && until->dish == stage->dish) {
        hold->until += (size_t)(stage->batch - 1) * hold->step;
    } else {
        hold->before = batches - 1;
        hold->until += hold->before * hold->step;
    }
}

static void read_hold(bk_reader *reader, size_t index, bk_json *json, size_t found)
{
    bk_stage *stage = &reader->plan->stages[index];
    const bk_equipment *equipment = &reader->plan->kitchen.equipment[found];
    const char *whose =
        bk_format(reader->arena, "the hold of %s", equipment_words(reader, equipment));
    if (!bk_is_object(reader, json, whose, "write {\"until\": \"the id of a stage\"}"))
        return;
    bk_check_keys(reader, json, whose, bk_hold_keys);
    bk_hold hold = {
        .equipment = found, .until = SIZE_MAX, .amount = 1, .place = bk_json_key_place(json)};
    bk_json *until = bk_json_get(json, "until"), *amount = bk_json_get(json, "amount");
    if (!until) {
        bk_missing(reader, json, whose, "until", "name the stage at whose end it is free");
    } else {
        hold.until = bk_find_stage_named(reader, stage->dish, until);
        if (hold.until != SIZE_MAX)
            hold_until_batch(reader, index, &hold, bk_batches_meant(reader, hold.until, until));
    }
    bool fits = !amount || read_amount(reader, amount, equipment, &hold.amount);
    if (fits && hold.until != SIZE_MAX)
        stage->holds[stage->hold_count++] = hold;
}

void bk_read_holds(bk_reader *reader, size_t index)
{
    bk_stage *stage = &reader->plan->stages[index];
    bk_json *holds = bk_json_get(reader->stage_json[index], "holds");
    if (!holds ||
        !bk_is_object(reader, holds, "\"holds\"", "write {\"tin\": {\"until\": \"unmould\"}}"))
        return;
    stage->holds = BK_NEW(reader->arena, bk_hold, holds->count);
    for (bk_json *member = holds->first; member; member = member->next) {
        size_t found = find_kept(reader, member, "held");
        if (found != SIZE_MAX)
            read_hold(reader, index, member, found);
    }
}

void bk_read_stored(bk_reader *reader, size_t dish)
{
    bk_dish *of = &reader->plan->dishes[dish];
    bk_json *stored = bk_json_get(reader->dish_json[dish], "stored");
    if (!stored || !bk_is_object(reader, stored, "\"stored\"", "write {\"fridge\": 1}"))
        return;
    of->stored = BK_NEW(reader->arena, bk_hold, stored->count);
    for (bk_json *member = stored->first; member; member = member->next) {
        size_t found = find_kept(reader, member, "a place to store a dish");
        bk_hold hold = {.equipment = found, .until = SIZE_MAX, .place = bk_json_key_place(member)};
        if (found != SIZE_MAX &&
            read_amount(reader, member, &reader->plan->kitchen.equipment[found], &hold.amount))
            of->stored[of->stored_count++] = hold;
    }
}
