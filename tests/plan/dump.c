/* A plan's model as text, one fact a line: what the expectations of the corpus of
 * valid plans are written in. */
#include "corpus.h"
#include "heat/heat.h"

#include <inttypes.h>

static const char *const attention[] = {"hands", "watch", "none"};

static const char *when(bk_text *out, const bk_plan *plan, bk_instant instant)
{
    return bk_instant_rfc3339(out->arena, plan->zone, instant);
}

static void dump_equipment(bk_text *out, const bk_equipment *equipment)
{
    static const char *const kinds[] = {"tool", "oven", "hob", "cold"};
    bk_text_addf(out, "equipment %s: %s, count %d", equipment->name, kinds[equipment->kind],
                 equipment->count);
    if (equipment->kind == BK_OVEN) {
        bk_text_addf(out,
                     ", shelves %d, preheat %" PRId64 ", change %" PRId64 ", idle %" PRId64 "%s",
                     equipment->shelves, equipment->preheat, equipment->change, equipment->idle,
                     equipment->fan ? ", fan" : "");
    } else if (equipment->pool == INT64_MAX) {
        bk_text_add(out, ", no limit");
    } else {
        bk_text_addf(out, ", pool %" PRId64, equipment->pool);
    }
    if (equipment->kind == BK_COLD) {
        bk_text_addf(out, ", at %.4g C, %s air", equipment->at_c,
                     equipment->air_fan ? "moved" : "still");
    }
    bk_text_add(out, "\n");
}

static void dump_kitchen(bk_text *out, const bk_plan *plan)
{
    static const char *const kinds[] = {"asleep", "away", "busy"};
    const bk_kitchen *kitchen = &plan->kitchen;
    bk_text_addf(out, "cooks %d\n", kitchen->cooks);
    if (kitchen->pace < 1.0 || kitchen->pace > 1.0)
        bk_text_addf(out, "pace %.4g\n", kitchen->pace);
    if (kitchen->room_c < 20.0 || kitchen->room_c > 20.0)
        bk_text_addf(out, "room %.4g C\n", kitchen->room_c);
    if (kitchen->has_rules)
        bk_text_addf(out, "rules %s\n", kitchen->rules == BK_RULES_UK ? "uk" : "us");
    for (size_t i = 0; i < kitchen->equipment_count; i++)
        dump_equipment(out, &kitchen->equipment[i]);
    for (size_t c = 0; c < kitchen->people_count; c++) {
        const bk_cook *cook = &kitchen->people[c];
        bk_text_addf(out, "cook %s\n", cook->name);
        for (size_t i = 0; i < cook->window_count; i++) {
            bk_text_addf(out, "  %s %s to %s\n", kinds[cook->windows[i].kind],
                         when(out, plan, cook->windows[i].from),
                         when(out, plan, cook->windows[i].to));
        }
    }
    for (size_t i = 0; i < kitchen->window_count; i++) {
        const bk_window *window = &kitchen->windows[i];
        bk_text_addf(out, "%s %s to %s%s%s%s\n", kinds[window->kind], when(out, plan, window->from),
                     when(out, plan, window->to), window->label != NULL ? ": " : "",
                     window->label != NULL ? window->label : "",
                     window->derived ? " (all cooks)" : "");
    }
}

static void dump_cooling(bk_text *out, const bk_plan *plan, const bk_cooling *cooling)
{
    static const char *const shapes[] = {"round", "slab", "ball"};
    static const char *const tins[] = {"none", "metal", "glass", "ceramic"};
    const bk_heat_question *q = cooling->question;
    bk_text_addf(out, "    cooling %s, across %.4g m, deep %.4g m, food %s, water %.3g",
                 shapes[q->shape], q->across, q->deep,
                 cooling->food != NULL ? cooling->food : "composed", cooling->fraction[0]);
    bk_text_addf(out, ", from %.4g C to %.4g C in %s at %.4g C, base %s, tin %s\n", cooling->from_c,
                 cooling->to_c,
                 cooling->in_room ? "the room" : plan->kitchen.equipment[cooling->equipment].name,
                 cooling->place_c, q->base_insulated ? "insulated" : "open", tins[q->tin]);
}

static void dump_time(bk_text *out, const bk_stage *stage)
{
    bk_text_addf(out,
                 "    %" PRId64 "-%" PRId64 "-%" PRId64 " min, planned %" PRId64
                 ", attention %s, cooks %d%s\n",
                 stage->range.least, stage->range.likely, stage->range.most, stage->planned,
                 attention[stage->attention], stage->cooks, stage->watch ? ", watched" : "");
}

static void dump_stage(bk_text *out, const bk_plan *plan, size_t index)
{
    const bk_stage *stage = &plan->stages[index];
    bk_text_addf(out, "  stage %zu %s: %s\n", index, bk_stage_name(out->arena, plan, index),
                 stage->text);
    if (stage->cooling != NULL) {
        /* The figures are for the tests of heat to pin. */
        bk_text_addf(out, "    computed, attention %s\n", attention[stage->attention]);
        dump_cooling(out, plan, stage->cooling);
    } else {
        dump_time(out, stage);
    }
    for (size_t i = 0; stage->has_when && i < stage->when_count; i++) {
        bk_text_addf(out, "    when %s to %s\n", when(out, plan, stage->when[i].from),
                     when(out, plan, stage->when[i].to));
    }
    if (stage->begins_itself)
        bk_text_add(out, "    begins itself\n");
    for (size_t i = 0; i < stage->link_count; i++) {
        const bk_link *link = &stage->links[i];
        bk_text_addf(out, "    after %s of %s, wait %" PRId64, link->from_start ? "start" : "end",
                     bk_stage_name(out->arena, plan, link->stage), link->wait);
        if (link->has_within)
            bk_text_addf(out, ", within %" PRId64, link->within);
        bk_text_addf(out, "%s\n", link->written ? "" : ", not written");
    }
    if (stage->in_oven) {
        bk_text_addf(out, "    oven %s at %.4g (%.4g to %.4g) C, shelves %" PRId64 "\n",
                     plan->kitchen.equipment[stage->oven.equipment].name, stage->oven.at.nominal,
                     stage->oven.at.low, stage->oven.at.high, stage->oven.amount);
    }
    for (size_t i = 0; i < stage->need_count; i++) {
        bk_text_addf(out, "    uses %s %" PRId64 "\n",
                     plan->kitchen.equipment[stage->needs[i].equipment].name,
                     stage->needs[i].amount);
    }
    for (size_t i = 0; i < stage->hold_count; i++) {
        const bk_hold *hold = &stage->holds[i];
        bk_text_addf(out, "    holds %s %" PRId64 " until %s\n",
                     plan->kitchen.equipment[hold->equipment].name, hold->amount,
                     bk_stage_name(out->arena, plan, hold->until));
    }
    for (size_t i = 0; i < stage->check_count; i++) {
        const bk_check *check = &stage->checks[i];
        bk_text_addf(out, "    check at %" PRId64 " takes %" PRId64 " give %" PRId64 ": %s\n",
                     check->at, check->takes, check->give, check->text);
    }
    if (stage->note != NULL)
        bk_text_addf(out, "    note: %s\n", stage->note);
    if (stage->caution != NULL)
        bk_text_addf(out, "    caution: %s\n", stage->caution);
}

static void dump_dish(bk_text *out, const bk_plan *plan, const bk_dish *dish)
{
    bk_text_addf(out, "dish %s, serve %s", dish->name, when(out, plan, dish->serve));
    if (dish->serves > 0)
        bk_text_addf(out, ", serves %" PRId64, dish->serves);
    if (dish->has_keeps)
        bk_text_addf(out, ", keeps %" PRId64, dish->keeps);
    bk_text_add(out, "\n");
    for (size_t i = 0; i < dish->stored_count; i++) {
        bk_text_addf(out, "  stored %s %" PRId64 "\n",
                     plan->kitchen.equipment[dish->stored[i].equipment].name,
                     dish->stored[i].amount);
    }
    for (size_t i = 0; i < dish->ingredient_count; i++) {
        const bk_ingredient *ingredient = &dish->ingredients[i];
        bk_text_addf(out, "  ingredient %s", ingredient->item);
        if (ingredient->amount != NULL)
            bk_text_addf(out, ", %s", ingredient->amount);
        if (ingredient->stage != SIZE_MAX)
            bk_text_addf(out, ", for %s", bk_stage_name(out->arena, plan, ingredient->stage));
        for (size_t k = 0; bk_is_words[k] != NULL; k++)
            if ((ingredient->is & 1U << k) != 0)
                bk_text_addf(out, ", is %s", bk_is_words[k]);
        bk_text_add(out, "\n");
    }
    for (size_t i = 0; i < dish->stage_count; i++)
        dump_stage(out, plan, dish->first_stage + i);
}

const char *corpus_dump(bk_arena *arena, const bk_plan *plan)
{
    static const char *const ends[] = {"most", "likely", "least"};
    bk_text out = bk_text_new(arena);
    bk_text_addf(&out, "occasion %s in %s\n", plan->occasion, bk_zone_name(plan->zone));
    bk_text_addf(&out, "serve %s to %s, margin %" PRId64 ", plan on %s, style %s\n",
                 when(&out, plan, plan->first_serve), when(&out, plan, plan->last_serve),
                 plan->margin, ends[plan->plan_on],
                 plan->style == BK_SPREAD  ? "spread"
                 : plan->style == BK_AHEAD ? "ahead"
                                           : "fresh");
    bk_text_addf(&out, "earliest %s%s\n", when(&out, plan, plan->earliest),
                 plan->has_now ? ", now known" : "");
    if (plan->at_table > 0)
        bk_text_addf(&out, "at table %" PRId64 "\n", plan->at_table);
    dump_kitchen(&out, plan);
    for (size_t i = 0; i < plan->dish_count; i++)
        dump_dish(&out, plan, &plan->dishes[i]);
    for (size_t i = 0; i < plan->source_count; i++)
        bk_text_addf(&out, "source %s\n", plan->sources[i]->name);
    return out.data;
}
