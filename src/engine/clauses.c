/* Clauses, given and learned: two watched literals each. A watch stands on the
 * side whose rise makes its literal false. */
#include "engine/solver.h"

#include <string.h>

static bk_literal literal_of(const int32_t *words, int32_t i)
{
    return (bk_literal){words[BK_CLAUSE_HEAD + 2 * i], words[BK_CLAUSE_HEAD + 2 * i + 1]};
}

/* The first threshold of the side above `value`. */
static int32_t threshold_above(const bk_thresholds *list, int32_t value)
{
    int32_t low = 0, high = list->count;
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (list->at[middle].value > value)
            high = middle;
        else
            low = middle + 1;
    }
    return low;
}

static void watch(bk_solver *solver, bk_literal literal, int32_t clause, bk_literal blocker)
{
    bk_thresholds *list = &solver->thresholds[literal.side ^ 1];
    int32_t value = 1 - literal.value, at = threshold_above(list, value - 1);
    if (at == list->count || list->at[at].value > value) {
        (void)BK_ADD(solver, *list);
        memmove(&list->at[at + 1], &list->at[at],
                (size_t)(list->count - 1 - at) * sizeof *list->at);
        list->at[at] = (bk_threshold){.value = value};
    }
    *BK_ADD(solver, list->at[at].watches) = (bk_watch){clause, blocker};
}

static float activity_of(const int32_t *words)
{
    float activity;
    memcpy(&activity, &words[3], sizeof activity);
    return activity;
}

static void set_activity(int32_t *words, float activity)
{
    memcpy(&words[3], &activity, sizeof activity);
}

static int32_t store(bk_solver *solver, const bk_literal *literals, int32_t count, bool learned,
                     int32_t distance)
{
    int32_t clause = solver->clauses.count;
    *BK_ADD(solver, solver->clauses) = count;
    *BK_ADD(solver, solver->clauses) = learned;
    *BK_ADD(solver, solver->clauses) = distance;
    *BK_ADD(solver, solver->clauses) = 0;
    for (int32_t i = 0; i < count; i++) {
        *BK_ADD(solver, solver->clauses) = literals[i].side;
        *BK_ADD(solver, solver->clauses) = literals[i].value;
    }
    watch(solver, literals[0], clause, literals[1]);
    watch(solver, literals[1], clause, literals[0]);
    return clause;
}

bool bk_clause_given(bk_solver *solver, const bk_literal *literals, int32_t count)
{
    solver->clause.count = 0;
    for (int32_t i = 0; i < count; i++) {
        bk_literal literal = literals[i];
        if (bk_is_true(solver, literal))
            return true;
        if (bk_is_false(solver, literal))
            continue;
        int32_t k = 0;
        while (k < solver->clause.count && solver->clause.at[k].side != literal.side)
            k++;
        if (k == solver->clause.count)
            *BK_ADD(solver, solver->clause) = literal;
        else if (solver->clause.at[k].value > literal.value)
            solver->clause.at[k].value = literal.value; /* the weaker of the two: their union */
    }
    if (solver->clause.count == 0)
        return false;
    if (solver->clause.count == 1)
        return bk_raise(solver, solver->clause.at[0], (bk_reason){BK_BY_DECISION, 0, 0});
    store(solver, solver->clause.at, solver->clause.count, false, 0);
    return true;
}

bool bk_clause_learned(bk_solver *solver, int32_t distance)
{
    bk_literal asserted = solver->clause.at[0];
    if (solver->clause.count == 1)
        return bk_raise(solver, asserted, (bk_reason){BK_BY_DECISION, 0, 0});
    int32_t clause = store(solver, solver->clause.at, solver->clause.count, true, distance);
    *BK_ADD(solver, solver->learned) = clause;
    set_activity(solver->clauses.at + clause, solver->clause_step);
    return bk_raise(solver, asserted, (bk_reason){BK_BY_CLAUSE, clause, 0});
}

/* The clause is false: its negated literals are the conflict. */
static void conflict_of(bk_solver *solver, int32_t clause)
{
    solver->conflict.count = 0;
    bk_clause_bump(solver, clause);
    const int32_t *words = solver->clauses.at + clause;
    for (int32_t i = 0; i < words[0]; i++)
        *BK_ADD(solver, solver->conflict) = bk_not(literal_of(words, i));
}

/* The side has reached one of its thresholds: clauses there look for another
 * literal to watch. */
static bool reach(bk_solver *solver, int32_t side, int32_t at)
{
    bk_literal mine = {side ^ 1, 1 - solver->thresholds[side].at[at].value};
    bk_threshold *reached = &solver->thresholds[side].at[at];
    int32_t kept = 0, i = 0, count = reached->watches.count;
    bool fine = true;
    while (fine && i < count) {
        bk_watch entry = reached->watches.at[i++];
        if (bk_is_true(solver, entry.blocker)) {
            reached->watches.at[kept++] = entry;
            continue;
        }
        int32_t *words = solver->clauses.at + entry.clause;
        bk_literal first = literal_of(words, 0);
        if (first.side == mine.side && first.value == mine.value) {
            first = literal_of(words, 1);
            words[BK_CLAUSE_HEAD] = first.side;
            words[BK_CLAUSE_HEAD + 1] = first.value;
            words[BK_CLAUSE_HEAD + 2] = mine.side;
            words[BK_CLAUSE_HEAD + 3] = mine.value;
        }
        entry.blocker = first;
        if (bk_is_true(solver, first)) {
            reached->watches.at[kept++] = entry;
            continue;
        }
        int32_t size = words[0], k = 2;
        while (k < size && bk_is_false(solver, literal_of(words, k)))
            k++;
        if (k < size) {
            bk_literal other = literal_of(words, k);
            words[BK_CLAUSE_HEAD + 2] = other.side;
            words[BK_CLAUSE_HEAD + 3] = other.value;
            words[BK_CLAUSE_HEAD + 2 * k] = mine.side;
            words[BK_CLAUSE_HEAD + 2 * k + 1] = mine.value;
            watch(solver, other, entry.clause, first);
            reached = &solver->thresholds[side].at[at]; /* the other may be of this side, above */
            continue;
        }
        reached->watches.at[kept++] = entry;
        if (bk_is_false(solver, first)) {
            conflict_of(solver, entry.clause);
            fine = false;
        } else {
            fine = bk_raise(solver, first, (bk_reason){BK_BY_CLAUSE, entry.clause, 0});
        }
    }
    while (i < count)
        reached->watches.at[kept++] = reached->watches.at[i++];
    reached->watches.count = kept;
    return fine;
}

bool bk_propagate_clauses(bk_solver *solver, int32_t side, int32_t old)
{
    const bk_thresholds *list = &solver->thresholds[side];
    int32_t bound = solver->bound[side];
    for (int32_t at = threshold_above(list, old); at < list->count && list->at[at].value <= bound;
         at++)
        if (!reach(solver, side, at))
            return false;
    return true;
}

void bk_clause_bump(bk_solver *solver, int32_t clause)
{
    int32_t *words = solver->clauses.at + clause;
    if (!words[1])
        return;
    float activity = activity_of(words) + solver->clause_step;
    set_activity(words, activity);
    if (activity > 1e20f) {
        for (int32_t i = 0; i < solver->learned.count; i++) {
            int32_t *other = solver->clauses.at + solver->learned.at[i];
            set_activity(other, activity_of(other) * 1e-20f);
        }
        solver->clause_step *= 1e-20f;
    }
}

static bool is_reason(const bk_solver *solver, int32_t clause)
{
    bk_literal first = literal_of(solver->clauses.at + clause, 0);
    bk_literal second = literal_of(solver->clauses.at + clause, 1);
    for (int i = 0; i < 2; i++) {
        bk_literal literal = i ? second : first;
        for (int32_t e = solver->last[literal.side]; e >= 0; e = solver->trail.at[e].previous)
            if (solver->trail.at[e].reason.kind == BK_BY_CLAUSE &&
                solver->trail.at[e].reason.index == clause)
                return true;
    }
    return false;
}

/* Better kept: few levels, then active. */
static bool worse(const bk_solver *solver, int32_t a, int32_t b)
{
    const int32_t *x = solver->clauses.at + a, *y = solver->clauses.at + b;
    float p = activity_of(x), q = activity_of(y);
    if (p < q)
        return true;
    if (p > q)
        return false;
    return a < b;
}

static void sift(const bk_solver *solver, int32_t *heap, int32_t count, int32_t at)
{
    int32_t moved = heap[at];
    for (;;) {
        int32_t child = 2 * at + 1;
        if (child >= count)
            break;
        if (child + 1 < count && worse(solver, heap[child], heap[child + 1]))
            child++;
        if (!worse(solver, moved, heap[child]))
            break;
        heap[at] = heap[child];
        at = child;
    }
    heap[at] = moved;
}

/* Worst first. */
static void sort_learned(bk_solver *solver)
{
    int32_t *heap = solver->learned.at, count = solver->learned.count;
    for (int32_t i = count / 2; i-- > 0;)
        sift(solver, heap, count, i);
    while (count > 1) {
        int32_t top = heap[0];
        heap[0] = heap[--count];
        heap[count] = top;
        sift(solver, heap, count, 0);
    }
}

/* True whatever the search does. */
static bool settled(const bk_solver *solver, int32_t clause)
{
    const int32_t *words = solver->clauses.at + clause;
    for (int32_t i = 0; i < words[0]; i++) {
        bk_literal literal = literal_of(words, i);
        if (bk_is_true(solver, literal) && bk_event_of(solver, literal) < 0)
            return true;
    }
    return false;
}

/* Deletes the worse half of the learned clauses, and those that the root makes
 * true, and closes the gaps. Clauses
 * that are a reason on the trail stay. */
void bk_clauses_reduce(bk_solver *solver)
{
    sort_learned(solver);
    int32_t half = solver->learned.count / 2;
    for (int32_t i = 0; i < solver->learned.count; i++) {
        int32_t clause = solver->learned.at[i];
        int32_t *words = solver->clauses.at + clause;
        if (((i < half && words[2] > 2 && words[0] > 2) || settled(solver, clause)) &&
            !is_reason(solver, clause))
            words[1] = -1;
    }
    int32_t to = 0;
    int32_t *words = solver->clauses.at;
    int32_t total = solver->clauses.count;
    int32_t *moved = bk_solver_new(solver, (size_t)(total > 0 ? total : 1), sizeof *moved);
    for (int32_t from = 0; from < total;) {
        int32_t size = BK_CLAUSE_HEAD + 2 * words[from];
        if (words[from + 1] < 0) {
            moved[from] = -1;
        } else {
            moved[from] = to;
            memmove(words + to, words + from, (size_t)size * sizeof *words);
            to += size;
        }
        from += size;
    }
    solver->clauses.count = to;
    for (int32_t side = 0; side < solver->sides; side++) {
        bk_thresholds *list = &solver->thresholds[side];
        int32_t used = 0;
        for (int32_t at = 0; at < list->count; at++) {
            bk_threshold threshold = list->at[at];
            int32_t kept = 0;
            for (int32_t i = 0; i < threshold.watches.count; i++) {
                bk_watch entry = threshold.watches.at[i];
                entry.clause = moved[entry.clause];
                if (entry.clause >= 0)
                    threshold.watches.at[kept++] = entry;
            }
            threshold.watches.count = kept;
            if (kept > 0)
                list->at[used++] = threshold;
            else
                bk_solver_release(solver, threshold.watches.at);
        }
        list->count = used;
    }
    int32_t kept = 0;
    for (int32_t i = 0; i < solver->learned.count; i++) {
        int32_t clause = moved[solver->learned.at[i]];
        if (clause >= 0)
            solver->learned.at[kept++] = clause;
    }
    solver->learned.count = kept;
    for (int32_t i = 0; i < solver->trail.count; i++) {
        bk_reason *reason = &solver->trail.at[i].reason;
        if (reason->kind == BK_BY_CLAUSE)
            reason->index = moved[reason->index];
    }
    bk_solver_release(solver, moved);
}
