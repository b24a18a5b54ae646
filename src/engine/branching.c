/* Which way to go next. */
#include "engine/solver.h"

void bk_branch_as(bk_solver *solver, int32_t variable, enum bk_branch_kind kind)
{
    bk_ints *from = &solver->branching.open[solver->branching.kind[variable]];
    int32_t i = 0;
    while (from->at[i] != variable)
        i++;
    from->at[i] = from->at[--from->count];
    solver->branching.open_count[solver->branching.kind[variable]] = from->count;
    solver->branching.kind[variable] = (unsigned char)kind;
    *BK_ADD(solver, solver->branching.open[kind]) = variable;
    solver->branching.open_count[kind] = solver->branching.open[kind].count;
}

/* The literal or its negation, as the saved phase has it. */
static bk_literal towards_phase(const bk_solver *solver, const bk_atom *atom)
{
    bk_literal literal = {atom->side, atom->value};
    return solver->branching.phase[atom->side / 2] >= atom->value ? literal : bk_not(literal);
}

static bool fixed(const bk_solver *solver, int32_t variable)
{
    return solver->trail.lb[2 * variable] == -solver->trail.lb[2 * variable + 1];
}

static void close_at(bk_solver *solver, int kind, int32_t place)
{
    int32_t *open = solver->branching.open[kind].at, last = --solver->branching.open_count[kind];
    int32_t variable = open[place];
    open[place] = open[last];
    open[last] = variable;
}

/* The variable that says when this start, or choice, is. */
static int32_t time_of(const bk_solver *solver, int32_t variable)
{
    int32_t owner = solver->branching.owner[variable];
    return owner ? owner : variable;
}

static bk_start start_of(const bk_solver *solver, int32_t variable)
{
    int32_t time = time_of(solver, variable);
    return (bk_start){.variable = variable,
                      .least = solver->trail.lb[2 * time],
                      .most = -solver->trail.lb[2 * time + 1],
                      .rate = solver->branching.by_rate ? solver->branching.rate[time] : 0};
}

static bool comes_before(const bk_start *a, const bk_start *b)
{
    if (a->least != b->least)
        return a->least < b->least;
    if (a->rate != b->rate)
        return a->rate > b->rate;
    if (a->most != b->most)
        return a->most < b->most;
    return a->variable < b->variable;
}

/* A choice counts as its owner's start, once that is fixed. */
static void take_first(const bk_solver *solver, bk_start *first, int32_t variable)
{
    int32_t time = time_of(solver, variable);
    if (time != variable && !fixed(solver, time))
        return;
    bk_start start = start_of(solver, variable);
    if (first->variable < 0 || comes_before(&start, first))
        *first = start;
}

enum {
    FEW_STARTS = 128,  /* are soon looked at */
    NEXT_STARTS = 64,  /* so many are kept */
    MOST_STARTS = 256, /* with what was added: then all are looked at again */
    LOOKED_AT_A_STEP = 4
};

static const bk_start NO_START = {-1, INT32_MAX, INT32_MAX, 0};

/* Puts a start into the heap of the next ones: at the end, or at the top for the last. */
static void sift(bk_next_starts *next, int32_t place, bk_start start)
{
    bk_start *heap = next->list.at;
    for (; place > 0 && comes_before(&heap[(place - 1) / 2], &start); place = (place - 1) / 2)
        heap[place] = heap[(place - 1) / 2];
    for (int32_t below; (below = 2 * place + 1) < next->list.count; place = below) {
        if (below + 1 < next->list.count && comes_before(&heap[below], &heap[below + 1]))
            below++;
        if (!comes_before(&start, &heap[below]))
            break;
        heap[place] = heap[below];
    }
    heap[place] = start;
}

static void gather(bk_solver *solver, int32_t variable)
{
    bk_next_starts *next = &solver->branching.next;
    bk_start start = start_of(solver, variable);
    if (time_of(solver, variable) != variable)
        start.most = INT32_MIN; /* nobody follows its owner's */
    if (next->list.count < NEXT_STARTS) {
        *BK_ADD(solver, next->list) = start;
        sift(next, next->list.count - 1, start);
        return;
    }
    bk_start out = next->list.at[0];
    if (comes_before(&start, &out))
        sift(next, 0, start);
    else
        out = start;
    if (comes_before(&out, &next->beyond))
        next->beyond = out;
}

void bk_forget_starts(bk_solver *solver)
{
    solver->branching.next.list.count = 0;
    solver->branching.next.looked = false;
}

/* Those that have to start earlier than when all were looked at. */
static void follow_starts(bk_solver *solver)
{
    bk_next_starts *next = &solver->branching.next;
    for (; next->seen < solver->trail.events.count; next->seen++) {
        int32_t side = solver->trail.events.at[next->seen].side, variable = side / 2;
        if (!(side & 1) || solver->branching.kind[variable] != BK_STARTS || fixed(solver, variable))
            continue;
        bk_start start = start_of(solver, variable);
        if (comes_before(&start, &next->beyond) && next->list.count < MOST_STARTS)
            *BK_ADD(solver, next->list) = start;
    }
}

/* The first of those that were next, or -1 where it is not sure that no other comes before it. */
static int32_t next_start(bk_solver *solver)
{
    bk_next_starts *next = &solver->branching.next;
    if (next->list.count == 0)
        return -1;
    follow_starts(solver);
    if (next->list.count >= MOST_STARTS)
        return -1;
    bk_start first = NO_START;
    solver->effort.work += next->list.count / LOOKED_AT_A_STEP;
    for (int32_t i = 0; i < next->list.count;)
        if (fixed(solver, next->list.at[i].variable))
            next->list.at[i] = next->list.at[--next->list.count];
        else
            take_first(solver, &first, next->list.at[i++].variable);
    return comes_before(&first, &next->beyond) ? first.variable : -1;
}

static int32_t earliest_start(bk_solver *solver)
{
    bk_next_starts *next = &solver->branching.next;
    int32_t found = next_start(solver);
    if (found >= 0)
        return found;
    bk_start first = NO_START;
    bool gathering = next->looked && solver->branching.open_count[BK_STARTS] > FEW_STARTS;
    bk_forget_starts(solver);
    next->looked = true;
    next->beyond = NO_START;
    next->seen = solver->trail.events.count;
    solver->effort.work += solver->branching.open_count[BK_STARTS] / LOOKED_AT_A_STEP;
    for (int32_t i = 0; i < solver->branching.open_count[BK_STARTS];) {
        int32_t v = solver->branching.open[BK_STARTS].at[i];
        if (fixed(solver, v)) {
            close_at(solver, BK_STARTS, i);
            continue;
        }
        i++;
        take_first(solver, &first, v);
        if (gathering)
            gather(solver, v);
    }
    return first.variable;
}

/* The last open variable of a kind, or -1. */
static int32_t any_open(bk_solver *solver, int kind)
{
    while (solver->branching.open_count[kind] > 0) {
        int32_t v = solver->branching.open[kind].at[solver->branching.open_count[kind] - 1];
        if (!fixed(solver, v))
            return v;
        solver->branching.open_count[kind]--;
    }
    return -1;
}

bool bk_decide(bk_solver *solver, bk_literal *decision)
{
    while (solver->activity.heap.count > 0 && !solver->branching.by_rate) {
        const bk_atom *atom = &solver->activity.atoms.at[solver->activity.heap.at[0]];
        bk_literal literal = {atom->side, atom->value};
        bool open = !bk_is_true(solver, literal) && !bk_is_false(solver, literal);
        int32_t taken = bk_activity_pop(solver);
        if (open) {
            *decision = towards_phase(solver, &solver->activity.atoms.at[taken]);
            bk_new_level(solver);
            *BK_ADD(solver, solver->activity.popped) = taken;
            return true;
        }
        *BK_ADD(solver, solver->activity.popped) = taken;
    }
    bk_new_level(solver);
    int32_t variable = earliest_start(solver);
    for (int kind = BK_BOOLEANS; variable < 0 && kind < BK_KINDS; kind++)
        variable = any_open(solver, kind);
    if (variable < 0)
        return false;
    if (solver->branching.owner[variable] &&
        (!solver->branching.phases_kept || solver->branching.phase[variable] > 0))
        *decision = (bk_literal){2 * variable, 1};
    else
        *decision = (bk_literal){2 * variable + 1, -solver->trail.lb[2 * variable]};
    return true;
}
