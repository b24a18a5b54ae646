/* Which way to go next: the most active statement of the learned clauses, and
 * where they say nothing, the earliest start. */
#include "engine/solver.h"

static uint32_t hash(int32_t side, int32_t value)
{
    uint64_t x = (uint64_t)(uint32_t)side << 32 | (uint32_t)value;
    x ^= x >> 31;
    x *= UINT64_C(0x9e3779b97f4a7c15);
    x ^= x >> 29;
    return (uint32_t)(x >> 16);
}

static bool before(const bk_solver *solver, int32_t a, int32_t b)
{
    double x = solver->atoms.at[a].activity, y = solver->atoms.at[b].activity;
    return x > y || (x >= y && a < b);
}

static void put(bk_solver *solver, int32_t place, int32_t atom)
{
    solver->heap.at[place] = atom;
    solver->atoms.at[atom].heap = place;
}

static void rise(bk_solver *solver, int32_t place)
{
    int32_t atom = solver->heap.at[place];
    while (place > 0 && before(solver, atom, solver->heap.at[(place - 1) / 2])) {
        put(solver, place, solver->heap.at[(place - 1) / 2]);
        place = (place - 1) / 2;
    }
    put(solver, place, atom);
}

static void sink(bk_solver *solver, int32_t place)
{
    int32_t atom = solver->heap.at[place], count = solver->heap.count;
    for (;;) {
        int32_t child = 2 * place + 1;
        if (child >= count)
            break;
        if (child + 1 < count &&
            before(solver, solver->heap.at[child + 1], solver->heap.at[child]))
            child++;
        if (!before(solver, solver->heap.at[child], atom))
            break;
        put(solver, place, solver->heap.at[child]);
        place = child;
    }
    put(solver, place, atom);
}

static void insert(bk_solver *solver, int32_t atom)
{
    if (solver->atoms.at[atom].heap >= 0)
        return;
    *BK_ADD(solver, solver->heap) = atom;
    solver->atoms.at[atom].heap = solver->heap.count - 1;
    rise(solver, solver->heap.count - 1);
}

static int32_t pop(bk_solver *solver)
{
    int32_t atom = solver->heap.at[0];
    int32_t last = solver->heap.at[--solver->heap.count];
    solver->atoms.at[atom].heap = -1;
    if (solver->heap.count > 0) {
        put(solver, 0, last);
        sink(solver, 0);
    }
    return atom;
}

static void table_insert(bk_solver *solver, int32_t atom)
{
    uint32_t mask = (uint32_t)solver->atom_table_size - 1;
    uint32_t at = hash(solver->atoms.at[atom].side, solver->atoms.at[atom].value) & mask;
    while (solver->atom_table[at] != 0)
        at = (at + 1) & mask;
    solver->atom_table[at] = atom + 1;
}

static void table_rebuild(bk_solver *solver, int32_t size)
{
    bk_solver_release(solver, solver->atom_table);
    solver->atom_table = bk_solver_new(solver, (size_t)size, sizeof *solver->atom_table);
    solver->atom_table_size = size;
    for (int32_t i = 0; i < solver->atoms.count; i++)
        table_insert(solver, i);
}

static int32_t find(bk_solver *solver, bk_literal literal, bool make)
{
    if (literal.side & 1)
        literal = bk_not(literal);
    if (solver->atom_table_size == 0) {
        if (!make)
            return -1;
        table_rebuild(solver, 1024);
    }
    uint32_t mask = (uint32_t)solver->atom_table_size - 1;
    uint32_t at = hash(literal.side, literal.value) & mask;
    while (solver->atom_table[at] != 0) {
        const bk_atom *atom = &solver->atoms.at[solver->atom_table[at] - 1];
        if (atom->side == literal.side && atom->value == literal.value)
            return solver->atom_table[at] - 1;
        at = (at + 1) & mask;
    }
    if (!make)
        return -1;
    *BK_ADD(solver, solver->atoms) = (bk_atom){literal.side, literal.value, -1, 0};
    int32_t atom = solver->atoms.count - 1;
    if (2 * solver->atoms.count > solver->atom_table_size)
        table_rebuild(solver, 2 * solver->atom_table_size);
    else
        solver->atom_table[at] = atom + 1;
    insert(solver, atom);
    return atom;
}

void bk_atoms_bump(bk_solver *solver, bk_literal literal, bool make)
{
    int32_t atom = find(solver, literal, make);
    if (atom < 0)
        return;
    solver->atoms.at[atom].activity += solver->atom_step;
    if (solver->atoms.at[atom].activity > 1e100) {
        for (int32_t i = 0; i < solver->atoms.count; i++)
            solver->atoms.at[i].activity *= 1e-100;
        solver->atom_step *= 1e-100;
    }
    if (solver->atoms.at[atom].heap >= 0)
        rise(solver, solver->atoms.at[atom].heap);
}

void bk_atoms_decay(bk_solver *solver)
{
    solver->atom_step *= 1 / 0.95;
    solver->clause_step *= 1 / 0.999f;
}

void bk_atoms_restore(bk_solver *solver, int32_t popped)
{
    while (solver->popped.count > popped)
        insert(solver, solver->popped.at[--solver->popped.count]);
}

void bk_atoms_collect(bk_solver *solver)
{
    bk_solver_release(solver, solver->atom_table);
    solver->atom_table = NULL;
    solver->atom_table_size = 0;
    BK_VECTOR(bk_atom) old = {NULL, 0, 0};
    for (int32_t i = 0; i < solver->atoms.count; i++)
        *BK_ADD(solver, old) = solver->atoms.at[i];
    solver->atoms.count = solver->heap.count = solver->popped.count = 0;
    for (int32_t i = 0; i < solver->learned.count; i++) {
        const int32_t *words = solver->clauses.at + solver->learned.at[i];
        for (int32_t k = 0; k < words[0]; k++)
            find(solver, (bk_literal){words[BK_CLAUSE_HEAD + 2 * k],
                                      words[BK_CLAUSE_HEAD + 2 * k + 1]}, true);
    }
    for (int32_t i = 0; i < old.count; i++) {
        int32_t atom = find(solver, (bk_literal){old.at[i].side, old.at[i].value}, false);
        if (atom >= 0) {
            solver->atoms.at[atom].activity = old.at[i].activity;
            rise(solver, solver->atoms.at[atom].heap);
        }
    }
    bk_solver_release(solver, old.at);
}

/* The statement agrees with the value the search leans to. */
static bk_literal lean(const bk_solver *solver, const bk_atom *atom)
{
    bk_literal literal = {atom->side, atom->value};
    return solver->guide[atom->side / 2] >= atom->value ? literal : bk_not(literal);
}

static bool fixed(const bk_solver *solver, int32_t variable)
{
    return solver->bound[2 * variable] == -solver->bound[2 * variable + 1];
}

static void close_at(bk_solver *solver, int kind, int32_t place)
{
    int32_t *open = solver->open[kind].at, last = --solver->open_count[kind];
    int32_t variable = open[place];
    open[place] = open[last];
    open[last] = variable;
}

/* Of the open starts the earliest; then, to dispatch, the one of the highest rate;
 * then the one that must start earliest. A choice counts as its owner's start, once
 * that is fixed. */
static int32_t earliest_start(bk_solver *solver)
{
    int32_t best = -1, best_least = 0, best_most = 0;
    int64_t best_rate = 0;
    for (int32_t i = 0; i < solver->open_count[BK_STARTS];) {
        int32_t v = solver->open[BK_STARTS].at[i], owner = solver->owner[v];
        if (fixed(solver, v)) {
            close_at(solver, BK_STARTS, i);
            continue;
        }
        i++;
        int32_t time = owner ? owner : v;
        if (owner && !fixed(solver, owner))
            continue;
        int32_t least = solver->bound[2 * time], most = -solver->bound[2 * time + 1];
        int64_t rate = solver->dispatch ? solver->rate[time] : 0;
        bool better = best < 0 || least < best_least;
        if (!better && least == best_least)
            better = rate > best_rate ||
                     (rate == best_rate && (most < best_most || (most == best_most && v < best)));
        if (better) {
            best = v;
            best_least = least;
            best_most = most;
            best_rate = rate;
        }
    }
    return best;
}

/* The last open variable of a kind, or -1. */
static int32_t any_open(bk_solver *solver, int kind)
{
    while (solver->open_count[kind] > 0) {
        int32_t v = solver->open[kind].at[solver->open_count[kind] - 1];
        if (!fixed(solver, v))
            return v;
        solver->open_count[kind]--;
    }
    return -1;
}

bool bk_decide(bk_solver *solver, bk_literal *decision)
{
    while (solver->heap.count > 0 && !solver->dispatch) {
        const bk_atom *atom = &solver->atoms.at[solver->heap.at[0]];
        bk_literal literal = {atom->side, atom->value};
        bool open = !bk_is_true(solver, literal) && !bk_is_false(solver, literal);
        int32_t taken = pop(solver);
        if (open) {
            *decision = lean(solver, &solver->atoms.at[taken]);
            bk_new_level(solver);
            *BK_ADD(solver, solver->popped) = taken;
            return true;
        }
        *BK_ADD(solver, solver->popped) = taken;
    }
    bk_new_level(solver);
    int32_t variable = earliest_start(solver);
    for (int kind = BK_BOOLEANS; variable < 0 && kind < BK_KINDS; kind++)
        variable = any_open(solver, kind);
    if (variable < 0)
        return false;
    if (solver->owner[variable] && (!solver->guided || solver->guide[variable] > 0))
        *decision = (bk_literal){2 * variable, 1};
    else
        *decision = (bk_literal){2 * variable + 1, -solver->bound[2 * variable]};
    return true;
}
