#include "write/picture/stand.h"

#include <string.h>

/* Marks in `seen` what the stages on `stack` lead to, themselves too; `followers` NULL: along
 * their links, backwards. Every stage enters the stack once. */
static void mark(const bk_plan *plan, const bk_followers *followers, size_t *stack, size_t depth,
                 bool *seen)
{
    for (size_t i = 0; i < depth; i++)
        seen[stack[i]] = true;
    while (depth > 0) {
        size_t at = stack[--depth];
        size_t count = followers ? followers->first[at + 1] - followers->first[at]
                                 : plan->stages[at].link_count;
        for (size_t i = 0; i < count; i++) {
            size_t next = followers ? followers->stage[followers->first[at] + i]
                                    : plan->stages[at].links[i].stage;
            if (!seen[next]) {
                seen[next] = true;
                stack[depth++] = next;
            }
        }
    }
}

static bool stands_in(const bk_stage *stage, bool holds, enum bk_equipment_kind kind)
{
    if (kind == BK_COLD)
        return stage->attention != BK_HANDS && !(stage->cooling && stage->cooling->in_room);
    return kind == BK_HOB && holds;
}

/* What one hold is around. */
static void look_around(bk_stand *stand, size_t holder, const bk_hold *hold, const bool *inside)
{
    const bk_plan *plan = stand->plan;
    const bk_dish *dish = &plan->dishes[plan->stages[holder].dish];
    enum bk_equipment_kind kind = plan->kitchen.equipment[hold->equipment].kind;
    for (size_t s = dish->first_stage; s < dish->first_stage + dish->stage_count; s++) {
        const bk_stage *stage = &plan->stages[s];
        if (!inside[s])
            continue;
        for (size_t u = 0; u < stage->need_count; u++)
            if (stage->needs[u].equipment == hold->equipment)
                stand->held[s][u] += hold->amount;
        if (stand->place[s] == SIZE_MAX && stands_in(stage, s == holder, kind))
            stand->place[s] = hold->equipment;
    }
}

static size_t used_place(const bk_plan *plan, const bk_stage *stage)
{
    if (stage->in_oven)
        return stage->oven.equipment;
    for (enum bk_equipment_kind kind = BK_HOB; kind <= BK_COLD; kind++)
        for (size_t u = 0; u < stage->need_count; u++)
            if (plan->kitchen.equipment[stage->needs[u].equipment].kind == kind)
                return stage->needs[u].equipment;
    return SIZE_MAX;
}

struct bk_stand_marks {
    const bk_plan *plan;
    bk_followers followers;
    bool *after, *inside;
    size_t *stack;
};

static bk_stand_marks *marks_of(bk_arena *arena, const bk_plan *plan)
{
    size_t n = plan->stage_count;
    bk_stand_marks *m = BK_NEW(arena, bk_stand_marks, 1);
    *m = (bk_stand_marks){.plan = plan,
                          .followers = bk_followers_of(arena, plan),
                          .after = BK_NEW(arena, bool, n),
                          .inside = BK_NEW(arena, bool, n),
                          .stack = BK_NEW(arena, size_t, n)};
    return m;
}

static void mark_inside(bk_stand_marks *m, size_t holder, const bk_hold *hold)
{
    size_t n = m->plan->stage_count;
    memset(m->after, 0, n * sizeof *m->after);
    memset(m->inside, 0, n * sizeof *m->inside);
    m->stack[0] = holder;
    mark(m->plan, &m->followers, m->stack, 1, m->after);
    for (size_t k = 0; k <= hold->before; k++)
        m->stack[k] = hold->until - k * hold->step;
    for (size_t k = 0; k <= hold->before; k++)
        m->after[m->stack[k]] = true; /* it lasts until then, linked or not */
    mark(m->plan, NULL, m->stack, hold->before + 1, m->inside);
    m->inside[holder] = true;
    for (size_t s = 0; s < n; s++)
        m->inside[s] = m->inside[s] && m->after[s];
}

const bool *bk_stand_inside(const bk_stand *stand, size_t holder, const bk_hold *hold)
{
    mark_inside(stand->marks, holder, hold);
    return stand->marks->inside;
}

bk_stand bk_stand_of(bk_arena *arena, const bk_plan *plan)
{
    size_t n = plan->stage_count;
    bk_stand stand = {.plan = plan,
                      .place = BK_NEW(arena, size_t, n),
                      .held = BK_NEW(arena, int64_t *, n),
                      .marks = marks_of(arena, plan)};
    for (size_t s = 0; s < n; s++) {
        stand.held[s] = BK_NEW(arena, int64_t, plan->stages[s].need_count);
        stand.place[s] = used_place(plan, &plan->stages[s]);
    }
    for (size_t h = 0; h < n; h++)
        for (size_t i = 0; i < plan->stages[h].hold_count; i++) {
            const bk_hold *hold = &plan->stages[h].holds[i];
            look_around(&stand, h, hold, bk_stand_inside(&stand, h, hold));
        }
    return stand;
}
