/* Facts of a plan in words a cook understands. */
#include "timeline/timeline.h"

#include <inttypes.h>

bk_fact bk_fact_new(enum bk_fact_kind kind, bk_place place)
{
    return (bk_fact){.kind = kind,
                     .stage = SIZE_MAX,
                     .other = SIZE_MAX,
                     .dish = SIZE_MAX,
                     .equipment = SIZE_MAX,
                     .cook = SIZE_MAX,
                     .window = SIZE_MAX,
                     .link = SIZE_MAX,
                     .check = SIZE_MAX,
                     .place = place};
}

int bk_fact_order(const bk_fact *a, const bk_fact *b)
{
#define ORDER(part)                                                                                \
    if (a->part != b->part)                                                                        \
    return a->part < b->part ? -1 : 1
    ORDER(kind);
    ORDER(stage);
    ORDER(other);
    ORDER(dish);
    ORDER(equipment);
    ORDER(window);
    ORDER(link);
    ORDER(check);
    ORDER(from);
    ORDER(cook);
#undef ORDER
    return 0;
}

bool bk_fact_same(const bk_fact *a, const bk_fact *b)
{
    return bk_fact_order(a, b) == 0;
}

static const char *name(bk_arena *arena, const bk_plan *plan, size_t stage)
{
    return stage == SIZE_MAX ? "a stage" : bk_stage_name(arena, plan, stage);
}

const char *bk_window_words(bk_arena *arena, const bk_plan *plan, const bk_window *window)
{
    static const char *const kinds[] = {"everyone is asleep", "nobody is at home",
                                        "hands are busy"};
    const char *kind = kinds[window->kind];
    if (window->label)
        kind = bk_format(arena, "%s (%s)", kind, window->label);
    return bk_format(arena, "%s from %s to %s", kind,
                     bk_moment_short(arena, plan->zone, window->from),
                     bk_moment_short(arena, plan->zone, window->to));
}

static const char *link_sentence(bk_arena *arena, const bk_plan *plan, const bk_fact *fact)
{
    const bk_link *link = &plan->stages[fact->stage].links[fact->link];
    const char *stage = name(arena, plan, fact->stage), *other = name(arena, plan, fact->other);
    const char *edge = link->from_start ? "starts" : "ends";
    if (fact->kind == BK_FACT_WITHIN)
        return bk_format(arena, "%s has to start within %s after %s %s", stage,
                         bk_minutes(arena, link->within), other, edge);
    if (link->wait == 0)
        return bk_format(arena, "%s cannot start before %s %s", stage, other, edge);
    return bk_format(arena, "%s has to wait %s after %s %s", stage, bk_minutes(arena, link->wait),
                     other, edge);
}

static const char *competitor(bk_arena *arena, const bk_plan *plan, const bk_fact *fact)
{
    if (fact->other == SIZE_MAX)
        return "";
    return bk_format(arena, "; %s needs %s then", name(arena, plan, fact->other),
                     fact->kind == BK_FACT_HANDS ? "hands" : "it");
}

static const char *capacity_sentence(bk_arena *arena, const bk_plan *plan, const bk_fact *fact)
{
    const char *rival = competitor(arena, plan, fact);
    if (fact->kind == BK_FACT_HANDS)
        return plan->kitchen.cooks == 1
                   ? bk_format(arena, "there is one pair of hands%s", rival)
                   : bk_format(arena, "there are %d pairs of hands%s", plan->kitchen.cooks, rival);
    const bk_equipment *equipment = &plan->kitchen.equipment[fact->equipment];
    if (fact->kind == BK_FACT_SHELVES)
        return bk_format(arena, "%s has %d %s%s", equipment->name, equipment->shelves,
                         equipment->shelves == 1 ? "shelf" : "shelves", rival);
    const char *what = equipment->kind == BK_HOB    ? (equipment->pool == 1 ? "ring" : "rings")
                       : equipment->kind == BK_COLD ? (equipment->pool == 1 ? "place" : "places")
                                                    : "at a time";
    return bk_format(arena, "%s: %" PRId64 " %s%s", equipment->name, equipment->pool, what, rival);
}

const char *bk_ready_sentence(bk_arena *arena, const bk_plan *plan, size_t dish)
{
    const bk_dish *of = &plan->dishes[dish];
    int64_t margin = bk_margin_of(plan, of);
    const char *when = bk_moment_short(arena, plan->zone, of->serve - margin);
    if (of->part)
        return bk_format(arena, "%s has to be ready at %s, with what it is for", of->name, when);
    if (margin == 0)
        return bk_format(arena, "%s has to be ready at %s", of->name, when);
    return bk_format(arena, "%s has to be ready at %s, %s before it is served", of->name, when,
                     bk_minutes(arena, margin));
}

/* As the plan has it, in its own unit and with its fan. */
static const char *oven_words(bk_arena *arena, const bk_plan *plan, size_t stage)
{
    const bk_temperature *at = &plan->stages[stage].oven.at;
    return at->written ? at->written : bk_format(arena, "%.0f C", at->nominal);
}

/* "asleep, away": the kinds of the windows that a fact's time is made of. */
static const char *kinds_within(bk_arena *arena, const bk_window *windows, size_t count,
                                const bk_fact *fact)
{
    bool seen[3] = {false};
    bk_text kinds = bk_text_new(arena);
    for (size_t i = 0; i < count; i++) {
        const bk_window *window = &windows[i];
        if (window->from < fact->from || window->to > fact->to || seen[window->kind])
            continue;
        bk_text_addf(&kinds, "%s%s", kinds.length > 0 ? ", " : "", bk_window_key(window->kind));
        seen[window->kind] = true;
    }
    return kinds.data;
}

/* "somebody has to begin Torte/chill, and nobody can between Thu 22:30 and Fri 06:30
 * (asleep)". */
static const char *begins_sentence(bk_arena *arena, const bk_plan *plan, const bk_fact *fact)
{
    const char *why = kinds_within(arena, plan->kitchen.windows, plan->kitchen.window_count, fact);
    const bk_stage *stage = fact->stage == SIZE_MAX ? NULL : &plan->stages[fact->stage];
    const char *of = name(arena, plan, fact->stage);
    const char *deed = !stage                 ? "begin each step"
                       : !bk_is_heated(stage) ? bk_format(arena, "begin %s", of)
                       : stage->begins_itself || stage->attention == BK_HANDS
                           ? bk_format(arena, "take %s out", of)
                           : bk_format(arena, "put %s in and take it out", of);
    return bk_format(arena, "somebody has to %s, and nobody can between %s and %s (%s)", deed,
                     bk_moment_short(arena, plan->zone, fact->from),
                     bk_moment_short(arena, plan->zone, fact->to), why);
}

static const char *oven_change_sentence(bk_arena *arena, const bk_plan *plan, const bk_fact *fact)
{
    const bk_equipment *oven = &plan->kitchen.equipment[fact->equipment];
    double one = plan->stages[fact->stage].oven.at.nominal,
           two = plan->stages[fact->other].oven.at.nominal;
    int64_t there = bk_oven_change(oven, one, two), back = bk_oven_change(oven, two, one);
    const char *sentence =
        bk_format(arena, "%s (%s) and %s (%s) share no oven temperature, and %s takes %s to change",
                  name(arena, plan, fact->stage), oven_words(arena, plan, fact->stage),
                  name(arena, plan, fact->other), oven_words(arena, plan, fact->other), oven->name,
                  bk_minutes(arena, there));
    if (there == back)
        return sentence;
    return bk_format(arena, "%s, %s the other way", sentence, bk_minutes(arena, back));
}

static const char *oven_off_sentence(bk_arena *arena, const bk_plan *plan, const bk_fact *fact)
{
    const char *oven = plan->kitchen.equipment[fact->equipment].name;
    const char *stage = name(arena, plan, fact->stage), *other = name(arena, plan, fact->other);
    if (fact->check == 0) /* the one before it */
        return bk_format(arena, "%s stays in the %s that %s was in", stage, oven, other);
    return bk_format(arena, "while %s stands in the %s, it is off, and %s needs it hot", stage,
                     oven, other);
}

const char *bk_fact_sentence(bk_arena *arena, const bk_plan *plan, const bk_fact *fact)
{
    switch (fact->kind) {
    case BK_FACT_STAGE_TIME:
        return bk_format(arena, "%s takes %s", name(arena, plan, fact->stage),
                         bk_minutes(arena, plan->stages[fact->stage].planned));
    case BK_FACT_WAIT:
    case BK_FACT_WITHIN:
        return link_sentence(arena, plan, fact);
    case BK_FACT_WINDOW:
        return bk_window_words(arena, plan, &plan->kitchen.windows[fact->window]);
    case BK_FACT_HANDS:
    case BK_FACT_POOL:
    case BK_FACT_SHELVES:
        return capacity_sentence(arena, plan, fact);
    case BK_FACT_OVEN_TEMPERATURE:
        return oven_change_sentence(arena, plan, fact);
    case BK_FACT_BATCH:
        return bk_format(arena, "%s does not start before %s", name(arena, plan, fact->stage),
                         name(arena, plan, fact->other));
    case BK_FACT_OVEN_OFF:
        return oven_off_sentence(arena, plan, fact);
    case BK_FACT_SERVE: { /* the margin is a fact of its own */
        const bk_dish *dish = &plan->dishes[fact->dish];
        return bk_format(arena, "%s has to be ready at %s%s", dish->name,
                         bk_moment_short(arena, plan->zone, dish->serve),
                         dish->part ? ", with what it is for" : "");
    }
    case BK_FACT_MARGIN:
        return bk_format(arena, "everything has to be ready %s before it is served",
                         bk_minutes(arena, plan->margin));
    case BK_FACT_KEEPS: {
        const bk_dish *dish = &plan->dishes[fact->dish];
        if (dish->part)
            return bk_format(arena, "%s keeps only %s until it is last used", dish->name,
                             bk_minutes(arena, dish->keeps));
        return bk_format(arena, "%s keeps only %s, so it cannot be finished before %s", dish->name,
                         bk_minutes(arena, dish->keeps),
                         bk_moment_short(arena, plan->zone, dish->serve - dish->keeps));
    }
    case BK_FACT_EARLIEST:
        return bk_format(arena, "nothing starts before %s, preheating included",
                         bk_moment_short(arena, plan->zone, plan->earliest));
    case BK_FACT_NOW:
        return bk_format(arena, "it is already %s",
                         bk_moment_short(arena, plan->zone, plan->earliest));
    case BK_FACT_CHECK: {
        const bk_check *check = &plan->stages[fact->stage].checks[fact->check];
        return bk_format(arena, "%s wants hands for its check \"%s\" %s after it starts",
                         name(arena, plan, fact->stage), check->text, bk_minutes(arena, check->at));
    }
    case BK_FACT_COOK: {
        const bk_cook *cook = &plan->kitchen.people[fact->cook];
        return bk_format(arena, "%s is %s from %s to %s", cook->name,
                         kinds_within(arena, cook->windows, cook->window_count, fact),
                         bk_moment_short(arena, plan->zone, fact->from),
                         bk_moment_short(arena, plan->zone, fact->to));
    }
    case BK_FACT_WHEN: {
        const bk_stage *stage = &plan->stages[fact->stage];
        if (stage->when_count != 1)
            return bk_format(arena, "%s is to be done between %s, on whatever day",
                             name(arena, plan, fact->stage), stage->when_time);
        return bk_format(
            arena, "%s is to be done between %s and %s", name(arena, plan, fact->stage),
            bk_moment_short(arena, plan->zone, stage->when[0].from),
            bk_clock_seen_from(arena, plan->zone, stage->when[0].from, stage->when[0].to));
    }
    case BK_FACT_AT_TABLE:
        return bk_format(arena, "the cooks are at table from %s to %s, once %s is served",
                         bk_moment_short(arena, plan->zone, fact->from),
                         bk_clock_seen_from(arena, plan->zone, fact->from, fact->to),
                         plan->dishes[fact->dish].name);
    case BK_FACT_BEGINS:
        return begins_sentence(arena, plan, fact);
    }
    return "";
}
