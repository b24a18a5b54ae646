/* The learned clauses that are kept: the active ones (Een and Soerensson, "An extensible
 * SAT-solver", SAT 2003), and those of an LBD of two at most (Audemard and Simon, IJCAI 2009). */
#include "engine/solver.h"

#include <string.h>

enum { FIRST_REDUCE = 2000, MORE_REDUCE = 300 };

static float activity_of(const int32_t *words)
{
    float activity;
    memcpy(&activity, &words[BK_CLAUSE_ACTIVITY], sizeof activity);
    return activity;
}

static void set_activity(int32_t *words, float activity)
{
    memcpy(&words[BK_CLAUSE_ACTIVITY], &activity, sizeof activity);
}

void bk_clause_begin(bk_solver *solver, int32_t clause)
{
    set_activity(solver->clauses.words.at + clause, solver->clauses.step);
}

void bk_clause_bump(bk_solver *solver, int32_t clause)
{
    int32_t *words = solver->clauses.words.at + clause;
    if (!words[BK_CLAUSE_LEARNED])
        return;
    float activity = activity_of(words) + solver->clauses.step;
    set_activity(words, activity);
    if (activity > 1e20f) {
        for (int32_t i = 0; i < solver->clauses.learned.count; i++) {
            int32_t *other = solver->clauses.words.at + solver->clauses.learned.at[i];
            set_activity(other, activity_of(other) * 1e-20f);
        }
        solver->clauses.step *= 1e-20f;
    }
}

static bool is_reason(const bk_solver *solver, int32_t clause)
{
    for (int i = 0; i < 2; i++) {
        bk_literal literal = bk_clause_literal(solver->clauses.words.at + clause, i);
        for (int32_t e = solver->trail.last[literal.side]; e >= 0;
             e = solver->trail.events.at[e].previous)
            if (solver->trail.events.at[e].reason.kind == BK_BY_CLAUSE &&
                solver->trail.events.at[e].reason.index == clause)
                return true;
    }
    return false;
}

/* The less active goes first, then the older. */
static bool worse(const bk_solver *solver, int32_t a, int32_t b)
{
    const int32_t *x = solver->clauses.words.at + a, *y = solver->clauses.words.at + b;
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
    int32_t *heap = solver->clauses.learned.at, count = solver->clauses.learned.count;
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
    const int32_t *words = solver->clauses.words.at + clause;
    for (int32_t i = 0; i < words[BK_CLAUSE_SIZE]; i++) {
        bk_literal literal = bk_clause_literal(words, i);
        if (bk_is_true(solver, literal) && bk_event_of(solver, literal) < 0)
            return true;
    }
    return false;
}

/* Deletes the worse half of the learned clauses, and those that the root makes true, and closes the
 * gaps. Clauses that are a reason on the trail stay. */
static void delete_half(bk_solver *solver)
{
    sort_learned(solver);
    int32_t half = solver->clauses.learned.count / 2;
    for (int32_t i = 0; i < solver->clauses.learned.count; i++) {
        int32_t clause = solver->clauses.learned.at[i];
        int32_t *words = solver->clauses.words.at + clause;
        if (((i < half && words[BK_CLAUSE_LBD] > 2 && words[BK_CLAUSE_SIZE] > 2) ||
             settled(solver, clause)) &&
            !is_reason(solver, clause))
            words[BK_CLAUSE_LEARNED] = -1;
    }
    int32_t to = 0;
    int32_t *words = solver->clauses.words.at;
    int32_t total = solver->clauses.words.count;
    int32_t *moved = bk_memory_new(&solver->memory, (size_t)(total > 0 ? total : 1), sizeof *moved);
    for (int32_t from = 0; from < total;) {
        int32_t size = BK_CLAUSE_HEAD + 2 * words[from + BK_CLAUSE_SIZE];
        if (words[from + BK_CLAUSE_LEARNED] < 0) {
            moved[from] = -1;
        } else {
            moved[from] = to;
            memmove(words + to, words + from, (size_t)size * sizeof *words);
            to += size;
        }
        from += size;
    }
    solver->clauses.words.count = to;
    for (int32_t side = 0; side < solver->trail.sides; side++) {
        bk_thresholds *list = &solver->clauses.watched[side];
        int32_t used = 0;
        for (int32_t at = 0; at < list->count; at++) {
            bk_watches watches = list->watches[at];
            int32_t kept = 0;
            for (int32_t i = 0; i < watches.count; i++) {
                bk_watch entry = watches.at[i];
                entry.clause = moved[entry.clause];
                if (entry.clause >= 0)
                    watches.at[kept++] = entry;
            }
            watches.count = kept;
            if (kept > 0) {
                list->value[used] = list->value[at];
                list->watches[used++] = watches;
            } else {
                bk_memory_release(&solver->memory, watches.at);
            }
        }
        list->count = used;
    }
    int32_t kept = 0;
    for (int32_t i = 0; i < solver->clauses.learned.count; i++) {
        int32_t clause = moved[solver->clauses.learned.at[i]];
        if (clause >= 0)
            solver->clauses.learned.at[kept++] = clause;
    }
    solver->clauses.learned.count = kept;
    for (int32_t i = 0; i < solver->trail.events.count; i++) {
        bk_reason *reason = &solver->trail.events.at[i].reason;
        if (reason->kind == BK_BY_CLAUSE)
            reason->index = moved[reason->index];
    }
    bk_memory_release(&solver->memory, moved);
}

void bk_clauses_reduce(bk_solver *solver)
{
    if (solver->clauses.reduce_at == 0)
        solver->clauses.reduce_at = FIRST_REDUCE;
    if (solver->clauses.learned.count < solver->clauses.reduce_at)
        return;
    delete_half(solver);
    bk_activity_collect(solver);
    solver->clauses.reduce_at += MORE_REDUCE;
    if (solver->clauses.reduce_at < solver->clauses.learned.count + MORE_REDUCE)
        solver->clauses.reduce_at = solver->clauses.learned.count + MORE_REDUCE;
}
