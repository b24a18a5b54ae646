/* Activities of literals: a heap, and a table to find them by. */
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
    double x = solver->activity.atoms.at[a].activity, y = solver->activity.atoms.at[b].activity;
    return x > y || (x >= y && a < b);
}

static void put(bk_solver *solver, int32_t place, int32_t atom)
{
    solver->activity.heap.at[place] = atom;
    solver->activity.atoms.at[atom].heap = place;
}

static void rise(bk_solver *solver, int32_t place)
{
    int32_t atom = solver->activity.heap.at[place];
    while (place > 0 && before(solver, atom, solver->activity.heap.at[(place - 1) / 2])) {
        put(solver, place, solver->activity.heap.at[(place - 1) / 2]);
        place = (place - 1) / 2;
    }
    put(solver, place, atom);
}

static void sink(bk_solver *solver, int32_t place)
{
    int32_t atom = solver->activity.heap.at[place], count = solver->activity.heap.count;
    for (;;) {
        int32_t child = 2 * place + 1;
        if (child >= count)
            break;
        if (child + 1 < count &&
            before(solver, solver->activity.heap.at[child + 1], solver->activity.heap.at[child]))
            child++;
        if (!before(solver, solver->activity.heap.at[child], atom))
            break;
        put(solver, place, solver->activity.heap.at[child]);
        place = child;
    }
    put(solver, place, atom);
}

static void insert(bk_solver *solver, int32_t atom)
{
    if (solver->activity.atoms.at[atom].heap >= 0)
        return;
    *BK_ADD(solver, solver->activity.heap) = atom;
    solver->activity.atoms.at[atom].heap = solver->activity.heap.count - 1;
    rise(solver, solver->activity.heap.count - 1);
}

int32_t bk_activity_pop(bk_solver *solver)
{
    int32_t atom = solver->activity.heap.at[0];
    int32_t last = solver->activity.heap.at[--solver->activity.heap.count];
    solver->activity.atoms.at[atom].heap = -1;
    if (solver->activity.heap.count > 0) {
        put(solver, 0, last);
        sink(solver, 0);
    }
    return atom;
}

static void table_insert(bk_solver *solver, int32_t atom)
{
    uint32_t mask = (uint32_t)solver->activity.table_size - 1;
    uint32_t at =
        hash(solver->activity.atoms.at[atom].side, solver->activity.atoms.at[atom].value) & mask;
    while (solver->activity.table[at] != 0)
        at = (at + 1) & mask;
    solver->activity.table[at] = atom + 1;
}

static void table_rebuild(bk_solver *solver, int32_t size)
{
    bk_memory_release(&solver->memory, solver->activity.table);
    solver->activity.table =
        bk_memory_new(&solver->memory, (size_t)size, sizeof *solver->activity.table);
    solver->activity.table_size = size;
    for (int32_t i = 0; i < solver->activity.atoms.count; i++)
        table_insert(solver, i);
}

static int32_t find(bk_solver *solver, bk_literal literal, bool make)
{
    if (literal.side & 1)
        literal = bk_not(literal);
    if (solver->activity.table_size == 0) {
        if (!make)
            return -1;
        table_rebuild(solver, 1024);
    }
    uint32_t mask = (uint32_t)solver->activity.table_size - 1;
    uint32_t at = hash(literal.side, literal.value) & mask;
    while (solver->activity.table[at] != 0) {
        const bk_atom *atom = &solver->activity.atoms.at[solver->activity.table[at] - 1];
        if (atom->side == literal.side && atom->value == literal.value)
            return solver->activity.table[at] - 1;
        at = (at + 1) & mask;
    }
    if (!make)
        return -1;
    *BK_ADD(solver, solver->activity.atoms) = (bk_atom){literal.side, literal.value, -1, 0};
    int32_t atom = solver->activity.atoms.count - 1;
    if (2 * solver->activity.atoms.count > solver->activity.table_size)
        table_rebuild(solver, 2 * solver->activity.table_size);
    else
        solver->activity.table[at] = atom + 1;
    insert(solver, atom);
    return atom;
}

void bk_activity_bump(bk_solver *solver, bk_literal literal, bool make)
{
    int32_t atom = find(solver, literal, make);
    if (atom < 0)
        return;
    solver->activity.atoms.at[atom].activity += solver->activity.step;
    if (solver->activity.atoms.at[atom].activity > 1e100) {
        for (int32_t i = 0; i < solver->activity.atoms.count; i++)
            solver->activity.atoms.at[i].activity *= 1e-100;
        solver->activity.step *= 1e-100;
    }
    if (solver->activity.atoms.at[atom].heap >= 0)
        rise(solver, solver->activity.atoms.at[atom].heap);
}

void bk_activity_decay(bk_solver *solver)
{
    solver->activity.step *= 1 / 0.95;
    solver->clauses.step *= 1 / 0.999f;
}

/* What is still decided would only be popped again: it stays out until its own level goes. */
void bk_activity_restore(bk_solver *solver, int32_t popped)
{
    bk_ints *list = &solver->activity.popped;
    int32_t kept = popped;
    for (int32_t i = popped; i < list->count; i++) {
        const bk_atom *atom = &solver->activity.atoms.at[list->at[i]];
        bk_literal literal = {atom->side, atom->value};
        if (bk_is_true(solver, literal) || bk_is_false(solver, literal))
            list->at[kept++] = list->at[i];
        else
            insert(solver, list->at[i]);
    }
    solver->effort.work += list->count - popped;
    list->count = kept;
}

void bk_activity_collect(bk_solver *solver)
{
    bk_memory_release(&solver->memory, solver->activity.table);
    solver->activity.table = NULL;
    solver->activity.table_size = 0;
    BK_VECTOR(bk_atom) old = {NULL, 0, 0};
    for (int32_t i = 0; i < solver->activity.atoms.count; i++)
        *BK_ADD(solver, old) = solver->activity.atoms.at[i];
    solver->activity.atoms.count = solver->activity.heap.count = solver->activity.popped.count = 0;
    for (int32_t level = 0; level < solver->trail.levels.count; level++)
        solver->trail.levels.at[level].popped = 0;
    for (int32_t i = 0; i < solver->clauses.learned.count; i++) {
        const int32_t *words = solver->clauses.words.at + solver->clauses.learned.at[i];
        for (int32_t k = 0; k < words[BK_CLAUSE_SIZE]; k++)
            find(solver, bk_clause_literal(words, k), true);
    }
    for (int32_t i = 0; i < old.count; i++) {
        int32_t atom = find(solver, (bk_literal){old.at[i].side, old.at[i].value}, false);
        if (atom >= 0) {
            solver->activity.atoms.at[atom].activity = old.at[i].activity;
            rise(solver, solver->activity.atoms.at[atom].heap);
        }
    }
    bk_memory_release(&solver->memory, old.at);
}
