/* A lower bound of a weighted sum of starts on a resource, by its preemptive
 * relaxation: where tasks may be interrupted, and take all of the resource while they
 * run, it is best at each moment to go on with the one of the most weight for its
 * energy, and the mean time at which a task runs, less half its length, is its start
 * when it is not interrupted (Goemans, Queyranne, Schulz, Skutella, Wang, "Single
 * machine scheduling with release dates", SIAM J. Discrete Math. 15, 2002; several
 * places as one fast machine: Eastman, Even, Isaacs, Management Science 11, 1964).
 * Holes that all tasks keep clear of are left out. Time counts in parts of a unit, as
 * many as the resource has places, so that all numbers are whole. */
#include "engine/solver.h"

/* Beyond this there are no holes, so that no sum leaves its range. */
enum { FURTHEST = 1 << 19 };

void bk_completions_room(bk_solver *solver, int32_t parts)
{
    bk_preemptive *r = &solver->completions.scratch;
    if (parts <= r->room)
        return;
    size_t had = (size_t)r->room, room = (size_t)parts;
    int32_t **arrays[] = {&r->least, &r->root, &r->event,  &r->order,
                          &r->open,  &r->left, &r->release};
    for (size_t i = 0; i < sizeof arrays / sizeof *arrays; i++)
        *arrays[i] = bk_memory_resize(&solver->memory, *arrays[i], had, room, sizeof **arrays[i]);
    r->room = parts;
}

static bool goes_first(const bk_part *parts, int32_t a, int32_t b)
{
    return parts[a].rate > parts[b].rate || (parts[a].rate == parts[b].rate && a < b);
}

static void push(const bk_part *parts, int32_t *heap, int32_t count, int32_t part)
{
    while (count > 0 && goes_first(parts, part, heap[(count - 1) / 2])) {
        heap[count] = heap[(count - 1) / 2];
        count = (count - 1) / 2;
    }
    heap[count] = part;
}

static void pop(const bk_part *parts, int32_t *heap, int32_t count)
{
    int32_t moved = heap[count - 1], at = 0;
    count--;
    for (;;) {
        int32_t child = 2 * at + 1;
        if (child >= count)
            break;
        if (child + 1 < count && goes_first(parts, heap[child + 1], heap[child]))
            child++;
        if (!goes_first(parts, heap[child], moved))
            break;
        heap[at] = heap[child];
        at = child;
    }
    heap[at] = moved;
}

/* The first hole that ends after `time`, or -1. */
static int32_t hole_after(const bk_solver *solver, int32_t table, int64_t time)
{
    if (table < 0 || time >= FURTHEST)
        return -1;
    const bk_hole_table *holes = &solver->holes.tables.at[table];
    int32_t low = bk_first_hole_beyond(solver, holes, (int32_t)time);
    int32_t end = holes->first + holes->count;
    while (low < end && solver->holes.to.at[low] <= time)
        low++;
    return low < end ? low : -1;
}

int64_t bk_completions_least(bk_solver *solver, const bk_completions *sum, const bk_part *parts,
                             const int32_t *least)
{
    bk_preemptive *r = &solver->completions.scratch;
    int32_t *order = r->order, *open = r->open, *left = r->left;
    int64_t total = sum->constant;
    solver->effort.work += sum->count;
    int32_t tasks = 0, next = 0, waiting = 0, hole = hole_after(solver, sum->table, 0);
    int64_t places = sum->places, time = 0;
    for (int32_t i = 0; i < sum->count; i++) {
        total += 2 * places * parts[i].weight * least[i];
        if (parts[i].rate == 0)
            continue;
        total -= places * parts[i].rate * parts[i].energy *
                 (2 * (int64_t)parts[i].plus + parts[i].length);
        left[i] = parts[i].energy;
        r->release[i] = least[i] + parts[i].plus;
        order[tasks++] = i;
    }
    bk_sort_nearly(order, tasks, r->release);
    while (next < tasks || waiting > 0) {
        int64_t release = INT64_MAX;
        if (next < tasks)
            release = places * r->release[order[next]];
        if (waiting == 0 && time < release) {
            time = release;
            hole = hole_after(solver, sum->table, time / places);
        }
        if (release <= time) {
            push(parts, open, waiting++, order[next++]);
            continue;
        }
        if (hole >= 0 && places * solver->holes.from.at[hole] <= time) {
            int32_t end = solver->holes.to.at[hole];
            time = places * (end < FURTHEST ? end : FURTHEST);
            hole = hole_after(solver, sum->table, time / places);
            continue;
        }
        int32_t part = open[0];
        int64_t until = time + left[part];
        if (release < until)
            until = release;
        if (hole >= 0 && places * solver->holes.from.at[hole] < until)
            until = places * solver->holes.from.at[hole];
        total += parts[part].rate * (until - time) * (until + time);
        left[part] -= (int32_t)(until - time);
        time = until;
        if (left[part] == 0)
            pop(parts, open, waiting--);
    }
    return total;
}

/* The least whole sum that is no less. */
static int64_t whole(const bk_completions *sum, int64_t total)
{
    int64_t unit = 2 * sum->places * BK_COMPLETION_UNIT;
    return total > 0 ? (total + unit - 1) / unit : total / unit;
}

bool bk_propagate_completions(bk_solver *solver, int32_t index)
{
    const bk_completions *sum = &solver->completions.list.at[index];
    const bk_part *parts = solver->completions.parts.at + sum->first;
    int32_t *least = solver->completions.scratch.least;
    for (int32_t i = 0; i < sum->count; i++)
        least[i] = solver->trail.lb[parts[i].side];
    int64_t value = whole(sum, bk_completions_least(solver, sum, parts, least));
    if (value <= solver->trail.lb[sum->side])
        return true;
    if (value > -solver->trail.lb[sum->side ^ 1])
        value = 1 - (int64_t)solver->trail.lb[sum->side ^ 1];
    return bk_raise(solver, (bk_literal){sum->side, (int32_t)value},
                    (bk_reason){BK_BY_COMPLETIONS, index, 0});
}

/* Names the bounds, and asks less of them where the sum allows it: the latest raised
 * first, back to what it was at the root or some raises before. */
void bk_explain_completions(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    enum { RAISES = 3 };
    const bk_completions *sum = &solver->completions.list.at[reason.index];
    const bk_part *parts = solver->completions.parts.at + sum->first;
    bk_preemptive *r = &solver->completions.scratch;
    int64_t needed = ((int64_t)literal.value - 1) * 2 * sum->places * BK_COMPLETION_UNIT + 1;
    for (int32_t i = 0; i < sum->count; i++) {
        int32_t side = parts[i].side, e = solver->trail.last[side];
        r->least[i] = r->root[i] = solver->trail.lb[side];
        for (; e >= event; e = solver->trail.events.at[e].previous)
            r->least[i] = r->root[i] = solver->trail.events.at[e].old;
        r->event[i] = e;
        for (; e >= 0; e = solver->trail.events.at[e].previous)
            r->root[i] = solver->trail.events.at[e].old;
    }
    for (;;) {
        int32_t latest = -1;
        for (int32_t i = 0; i < sum->count; i++)
            if (r->event[i] >= 0 && (latest < 0 || r->event[i] > r->event[latest]))
                latest = i;
        if (latest < 0)
            break;
        int32_t kept = r->least[latest], e = r->event[latest];
        r->event[latest] = -1;
        r->least[latest] = r->root[latest];
        if (bk_completions_least(solver, sum, parts, r->least) >= needed)
            continue;
        for (int32_t k = 0; k < RAISES && e >= 0; k++, e = solver->trail.events.at[e].previous) {
            r->least[latest] = solver->trail.events.at[e].old;
            if (bk_completions_least(solver, sum, parts, r->least) < needed)
                break;
            kept = r->least[latest];
        }
        r->least[latest] = kept;
        bk_premise(solver, (bk_literal){parts[latest].side, kept});
    }
}
