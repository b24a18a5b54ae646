/* Two watched literals a clause. A watch stands on the side whose rise makes its literal false. */
#include "engine/solver.h"

#include <assert.h>
#include <string.h>

/* The first threshold of the side above `value`. Which half it is in cannot be foreseen: no branch
 * is taken on it. */
static int32_t threshold_above(const bk_thresholds *list, int32_t value)
{
    int32_t low = 0, count = list->count;
    while (count > 0) {
        int32_t half = (count + 1) / 2;
        low += half * (list->value[low + half - 1] <= value);
        count -= half;
    }
    return low;
}

/* A new threshold at its place. */
static void insert_threshold(bk_solver *solver, bk_thresholds *list, int32_t at, int32_t value)
{
    if (list->count == list->room) {
        size_t had = (size_t)list->room, room = had < 4 ? 4 : had + had / 2;
        list->value =
            bk_memory_resize(&solver->memory, list->value, had, room, sizeof *list->value);
        list->watches =
            bk_memory_resize(&solver->memory, list->watches, had, room, sizeof *list->watches);
        list->room = (int32_t)room;
    }
    size_t behind = (size_t)(list->count++ - at);
    memmove(&list->value[at + 1], &list->value[at], behind * sizeof *list->value);
    memmove(&list->watches[at + 1], &list->watches[at], behind * sizeof *list->watches);
    list->value[at] = value;
    list->watches[at] = (bk_watches){NULL, 0, 0};
}

static void watch(bk_solver *solver, bk_literal literal, int32_t clause, bk_literal blocker)
{
    bk_thresholds *list = &solver->clauses.watched[literal.side ^ 1];
    int32_t value = 1 - literal.value, at = threshold_above(list, value - 1);
    if (at == list->count || list->value[at] > value)
        insert_threshold(solver, list, at, value);
    *BK_ADD(solver, list->watches[at]) = (bk_watch){clause, blocker};
}

static int32_t store(bk_solver *solver, const bk_literal *literals, int32_t count, bool learned,
                     int32_t lbd)
{
    int32_t clause = solver->clauses.words.count;
    *BK_ADD(solver, solver->clauses.words) = count;
    *BK_ADD(solver, solver->clauses.words) = learned;
    *BK_ADD(solver, solver->clauses.words) = lbd;
    *BK_ADD(solver, solver->clauses.words) = 0;
    for (int32_t i = 0; i < count; i++) {
        *BK_ADD(solver, solver->clauses.words) = literals[i].side;
        *BK_ADD(solver, solver->clauses.words) = literals[i].value;
    }
    watch(solver, literals[0], clause, literals[1]);
    watch(solver, literals[1], clause, literals[0]);
    return clause;
}

bool bk_clause_given(bk_solver *solver, const bk_literal *literals, int32_t count)
{
    solver->analysis.clause.count = 0;
    for (int32_t i = 0; i < count; i++) {
        bk_literal literal = literals[i];
        if (bk_is_true(solver, literal))
            return true;
        if (bk_is_false(solver, literal))
            continue;
        int32_t k = 0;
        while (k < solver->analysis.clause.count &&
               solver->analysis.clause.at[k].side != literal.side)
            k++;
        if (k == solver->analysis.clause.count)
            *BK_ADD(solver, solver->analysis.clause) = literal;
        else if (solver->analysis.clause.at[k].value > literal.value)
            solver->analysis.clause.at[k].value =
                literal.value; /* the weaker of the two: their union */
    }
    if (solver->analysis.clause.count == 0)
        return false;
    if (solver->analysis.clause.count == 1)
        return bk_raise(solver, solver->analysis.clause.at[0], (bk_reason){BK_BY_DECISION, 0, 0});
    store(solver, solver->analysis.clause.at, solver->analysis.clause.count, false, 0);
    return true;
}

bool bk_clause_learned(bk_solver *solver, int32_t lbd)
{
    bk_literal asserted = solver->analysis.clause.at[0];
    if (solver->analysis.clause.count == 1)
        return bk_raise(solver, asserted, (bk_reason){BK_BY_DECISION, 0, 0});
    for (int32_t i = 1; i < solver->analysis.clause.count; i++)
        assert(bk_is_false(solver, solver->analysis.clause.at[i]));
    int32_t clause =
        store(solver, solver->analysis.clause.at, solver->analysis.clause.count, true, lbd);
    *BK_ADD(solver, solver->clauses.learned) = clause;
    bk_clause_begin(solver, clause);
    return bk_raise(solver, asserted, (bk_reason){BK_BY_CLAUSE, clause, 0});
}

/* The clause is false: its negated literals are the conflict. */
static void conflict_of(bk_solver *solver, int32_t clause)
{
    solver->analysis.conflict.count = 0;
    bk_clause_bump(solver, clause);
    const int32_t *words = solver->clauses.words.at + clause;
    for (int32_t i = 0; i < words[BK_CLAUSE_SIZE]; i++)
        *BK_ADD(solver, solver->analysis.conflict) = bk_not(bk_clause_literal(words, i));
}

/* The side has reached one of its thresholds: clauses there look for another
 * literal to watch. */
static bool reach(bk_solver *solver, int32_t side, int32_t at)
{
    bk_thresholds *list = &solver->clauses.watched[side];
    bk_literal mine = {side ^ 1, 1 - list->value[at]};
    bk_watches *reached = &list->watches[at];
    const int32_t *lb = solver->trail.lb; /* no literal of a clause always holds */
    int32_t kept = 0, i = 0, count = reached->count;
    bool fine = true;
    while (fine && i < count) {
        bk_watch entry = reached->at[i++];
        if (lb[entry.blocker.side] >= entry.blocker.value) {
            reached->at[kept++] = entry;
            continue;
        }
        int32_t *words = solver->clauses.words.at + entry.clause;
        bk_literal first = bk_clause_literal(words, 0);
        if (first.side == mine.side && first.value == mine.value) {
            first = bk_clause_literal(words, 1);
            words[BK_CLAUSE_HEAD] = first.side;
            words[BK_CLAUSE_HEAD + 1] = first.value;
            words[BK_CLAUSE_HEAD + 2] = mine.side;
            words[BK_CLAUSE_HEAD + 3] = mine.value;
        }
        entry.blocker = first;
        if (lb[first.side] >= first.value) {
            reached->at[kept++] = entry;
            continue;
        }
        int32_t size = words[BK_CLAUSE_SIZE], k = 2;
        for (; k < size; k++) {
            bk_literal literal = bk_clause_literal(words, k);
            if (lb[literal.side ^ 1] < 1 - literal.value)
                break;
        }
        if (k < size) {
            bk_literal other = bk_clause_literal(words, k);
            words[BK_CLAUSE_HEAD + 2] = other.side;
            words[BK_CLAUSE_HEAD + 3] = other.value;
            words[BK_CLAUSE_HEAD + 2 * k] = mine.side;
            words[BK_CLAUSE_HEAD + 2 * k + 1] = mine.value;
            watch(solver, other, entry.clause, first);
            reached = &list->watches[at]; /* the other may be of this side, above */
            continue;
        }
        reached->at[kept++] = entry;
        if (bk_is_false(solver, first)) {
            conflict_of(solver, entry.clause);
            fine = false;
        } else {
            fine = bk_raise(solver, first, (bk_reason){BK_BY_CLAUSE, entry.clause, 0});
        }
    }
    while (i < count)
        reached->at[kept++] = reached->at[i++];
    reached->count = kept;
    return fine;
}

bool bk_propagate_clauses(bk_solver *solver, int32_t side, int32_t old)
{
    const bk_thresholds *list = &solver->clauses.watched[side];
    int32_t bound = solver->trail.lb[side];
    if (list->count == 0 || list->value[0] > bound || list->value[list->count - 1] <= old)
        return true;
    for (int32_t at = threshold_above(list, old); at < list->count && list->value[at] <= bound;
         at++)
        if (!reach(solver, side, at))
            return false;
    return true;
}

void bk_explain_clause(bk_solver *solver, bk_literal literal, int32_t clause)
{
    const int32_t *words = solver->clauses.words.at + clause;
    for (int32_t i = 0; i < words[BK_CLAUSE_SIZE]; i++) {
        bk_literal other = bk_clause_literal(words, i);
        if (other.side != literal.side)
            bk_premise(solver, bk_not(other));
    }
}
