/* What would make a plan possible in which several things are wrong at once: the conflicts, which
 * share no fact or only what is scarce for all of them, and one change for each, verified
 * together. */
#include "explain/remedies.h"

#include <limits.h>
#include <string.h>

enum { MOST_CONFLICTS = 3, MOST_OF_EACH = 3 };

typedef struct settling {
    bk_arena *arena;
    bk_timeline *timeline;
    int64_t effort; /* conflicts of the search for each attempt */
    bk_onlooker *onlooker;
    bk_reschedule *reschedule;
} settling;

static bool has_fact(const bk_conflict *conflict, const bk_fact *fact)
{
    for (size_t k = 0; k < conflict->count; k++)
        if (bk_fact_same(&conflict->facts[k], fact))
            return true;
    return false;
}

/* What several conflicts may have in common: the hours, and what there is of hands and things. The
 * rest is about one stage or dish. */
static bool may_be_shared(const bk_fact *fact)
{
    switch (fact->kind) {
    case BK_FACT_WINDOW:
    case BK_FACT_COOK:
    case BK_FACT_AT_TABLE:
    case BK_FACT_HANDS:
    case BK_FACT_POOL:
    case BK_FACT_SHELVES:
    case BK_FACT_SERVE:
    case BK_FACT_MARGIN:
    case BK_FACT_EARLIEST:
    case BK_FACT_NOW:
        return true;
    default:
        return false;
    }
}

/* Has it facts that no other can have? */
static bool has_own(const bk_conflict *conflict)
{
    for (size_t k = 0; k < conflict->count; k++)
        if (!may_be_shared(&conflict->facts[k]))
            return true;
    return false;
}

/* The facts of all conflicts but one that this one has not: with them put aside it is the only one
 * left. Without those `in_force` that others may have too, where a conflict has more. */
static bk_fact *others_of(bk_arena *arena, const bk_conflict *conflicts, size_t count, size_t but,
                          bool in_force, size_t *others)
{
    bk_fact *facts = NULL;
    size_t room = 0;
    *others = 0;
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; i != but && k < conflicts[i].count; k++)
            if (!has_fact(&conflicts[but], &conflicts[i].facts[k]) &&
                !(in_force && has_own(&conflicts[i]) && may_be_shared(&conflicts[i].facts[k])))
                *BK_PUSH(arena, facts, *others, room) = conflicts[i].facts[k];
    return facts;
}

/* What cannot be met besides those found: with all their facts put aside, or else with those alone
 * that no other can have. Every set of facts without one of each found is another. */
static bk_reasons next_conflict(const settling *s, const bk_conflict *found, size_t count,
                                int64_t effort)
{
    bk_reasons more = {0};
    for (int shared = 0; shared < 2 && (!more.proved || more.count == 0); shared++) {
        bk_fact *aside = NULL;
        size_t aside_count = 0, room = 0;
        for (size_t i = 0; i < count; i++) {
            size_t before = aside_count;
            for (size_t k = 0; k < found[i].count; k++)
                if (!shared || !may_be_shared(&found[i].facts[k]))
                    *BK_PUSH(s->arena, aside, aside_count, room) = found[i].facts[k];
            if (aside_count == before)
                return more; /* it would be found again */
        }
        more =
            bk_reasons_beside(s->arena, s->timeline->plan, aside, aside_count, effort, s->onlooker);
        s->timeline->wrong = s->timeline->wrong || more.wrong;
    }
    return more;
}

/* Dishes are left out at the end, from the last on, as that moves what stands behind them. */
static int turn_of(const bk_attempt *a)
{
    return a->left_out != SIZE_MAX ? (int)a->left_out - INT_MAX : 0;
}

/* Do both change the same thing? Then the greater is enough; of hours, where they hold the other's.
 */
static bool same_target(const bk_attempt *a, const bk_attempt *b)
{
    return a->target != SIZE_MAX && a->change == b->change && a->target == b->target &&
           ((a->from <= b->from && a->to >= b->to) || (b->from <= a->from && b->to >= a->to));
}

/* The changes chosen, of those of one thing the greatest. */
static size_t distinct(const bk_attempt **chosen, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        size_t k = 0;
        while (k < kept && !same_target(chosen[k], chosen[i]))
            k++;
        if (k == kept)
            chosen[kept++] = chosen[i];
        else if (chosen[i]->amount > chosen[k]->amount)
            chosen[k] = chosen[i];
    }
    return kept;
}

static bk_timeline *made_together(const settling *s, const bk_attempt *const *chosen, size_t count)
{
    const bk_plan *plan = s->timeline->plan;
    const bk_attempt *order[MOST_CONFLICTS];
    for (size_t i = 0; i < count; i++) {
        size_t at = i;
        for (; at > 0 && turn_of(order[at - 1]) < turn_of(chosen[i]); at--)
            order[at] = order[at - 1];
        order[at] = chosen[i];
    }
    for (size_t i = 0; plan && i < count; i++)
        plan = order[i]->change(s->arena, plan, order[i]->context, order[i]->amount);
    bk_timeline *timeline = plan ? s->reschedule(s->arena, plan, s->effort, s->onlooker) : NULL;
    s->timeline->wrong = s->timeline->wrong || (plan && !timeline);
    return timeline;
}

/* Two changes of one value cannot both be written: each has it as it is left by itself. */
static void part_edits(bk_remedy *changes, size_t count)
{
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < i; j++)
            for (size_t a = 0; a < changes[i].edit_count; a++)
                for (size_t b = 0; b < changes[j].edit_count; b++)
                    if (strcmp(changes[i].edits[a].path, changes[j].edits[b].path) == 0 &&
                        strcmp(changes[i].edits[a].file, changes[j].edits[b].file) == 0)
                        changes[i].edit_count = changes[j].edit_count = 0;
}

/* Some dish has to be left, and none is left out twice. */
static bool dishes_left(const bk_plan *plan, const bk_attempt *const *chosen, size_t count)
{
    size_t gone = 0;
    for (size_t i = 0; i < count; i++) {
        if (chosen[i]->left_out == SIZE_MAX)
            continue;
        gone++;
        for (size_t j = 0; j < i; j++)
            if (chosen[j]->left_out == chosen[i]->left_out)
                return false;
    }
    return gone < plan->dish_count;
}

/* One change for each conflict, the small ones first, until a set is found that stands. */
static void find_together(const settling *s, bk_attempt *const *found, const size_t *counts,
                          size_t conflicts)
{
    size_t pick[MOST_CONFLICTS] = {0};
    for (;;) {
        const bk_attempt *chosen[MOST_CONFLICTS];
        for (size_t i = 0; i < conflicts; i++)
            chosen[i] = &found[i][pick[i]];
        size_t count = distinct(chosen, conflicts);
        bk_timeline *stands = count > 1 && dishes_left(s->timeline->plan, chosen, count)
                                  ? made_together(s, chosen, count)
                                  : NULL;
        if (stands && stands->stage_count > 0) {
            s->timeline->together = BK_NEW(s->arena, bk_remedy, count);
            s->timeline->together_count = count;
            s->timeline->together_start = stands->start;
            for (size_t i = 0; i < count; i++)
                s->timeline->together[i] = chosen[i]->remedy;
            part_edits(s->timeline->together, count);
            return;
        }
        if (bk_is_called_off(s->onlooker))
            return;
        size_t i = 0;
        while (i < conflicts && ++pick[i] == counts[i])
            pick[i++] = 0;
        if (i == conflicts)
            return;
    }
}

void bk_more_conflicts(bk_arena *arena, bk_timeline *timeline, int64_t effort,
                       bk_onlooker *onlooker, bk_reschedule *reschedule)
{
    bk_conflict *conflicts = BK_NEW(arena, bk_conflict, MOST_CONFLICTS);
    size_t count = 1;
    settling s = {arena, timeline, bk_effort_of_each(effort), onlooker, reschedule};
    conflicts[0] = (bk_conflict){.facts = timeline->why, .count = timeline->why_count};
    while (count < MOST_CONFLICTS) {
        bk_reasons more = next_conflict(&s, conflicts, count, effort / 4 + 100);
        if (!more.proved || more.count == 0)
            break;
        conflicts[count++] = (bk_conflict){.facts = more.facts, .count = more.count};
    }
    if (count < 2)
        return;
    bk_attempt *found[MOST_CONFLICTS];
    size_t counts[MOST_CONFLICTS];
    bool each = true;
    for (size_t i = 0; i < count; i++) {
        size_t n = 0;
        for (int in_force = 1; in_force >= 0 && n == 0; in_force--) {
            size_t others = 0;
            bk_fact *facts = others_of(arena, conflicts, count, i, in_force, &others);
            n = bk_attempts_of(arena, timeline, &conflicts[i], facts, others, s.effort, onlooker,
                               reschedule, &found[i]);
        }
        counts[i] = n < MOST_OF_EACH ? n : MOST_OF_EACH;
        conflicts[i].remedies = bk_remedies_of(arena, found[i], counts[i]);
        conflicts[i].remedy_count = counts[i];
        each = each && counts[i] > 0;
    }
    timeline->all_conflicts = conflicts;
    timeline->conflict_count = count;
    if (each)
        find_together(&s, found, counts, count);
}
