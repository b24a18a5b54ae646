/* Timetable edge finding: in any window the amount times duration that must fall there has to fit
 * (Vilim, "Timetable edge finding filtering algorithm for discrete
 * cumulative resources", CPAIOR 2011), explained after Schutt, Feydt, Stuckey ("Explaining
 * timetable edge finding propagation for the cumulative resource constraint",
 * CPAIOR 2013): a task is named with no more of its overlap than the proof needs.
 *
 * The search runs in one direction and finds later starts; a second pass over
 * the mirrored tasks finds earlier ends. Holes that all tasks of the resource
 * keep clear of count as full. */
#include "engine/solver.h"

void bk_edge_finding_room(bk_solver *solver, int32_t tasks)
{
    bk_edge_finding *e = &solver->edges;
    if (tasks <= e->room)
        return;
    int32_t **arrays[] = {&e->task, &e->first_start, &e->last_start, &e->first_end, &e->last_end,
                          &e->open, &e->by_start,    &e->by_end,     &e->spare};
    size_t had = (size_t)e->room, room = (size_t)tasks;
    for (size_t i = 0; i < sizeof arrays / sizeof *arrays; i++)
        *arrays[i] = bk_memory_resize(&solver->memory, *arrays[i], had, room, sizeof **arrays[i]);
    e->sure_at_start =
        bk_memory_resize(&solver->memory, e->sure_at_start, had, room, sizeof *e->sure_at_start);
    e->sure_at_end =
        bk_memory_resize(&solver->memory, e->sure_at_end, had, room, sizeof *e->sure_at_end);
    e->loss = bk_memory_resize(&solver->memory, e->loss, had, room, sizeof *e->loss);
    e->room = tasks;
}

/* The task as seen in one direction: side to push, and start = side + plus. */
static int32_t seen_side(const bk_task *task, bool back)
{
    return back ? task->to ^ 1 : task->from;
}

static int32_t seen_plus(const bk_task *task, bool back)
{
    return back ? -task->to_plus : task->from_plus;
}

static int32_t length_of(const bk_task *task)
{
    return task->to_plus - task->from_plus;
}

static bool fixed_length(const bk_task *task)
{
    return task->from == task->to;
}

/* Time in [from, to) that holes of the resource take, in true time. */
static int64_t hole_time(const bk_solver *solver, const bk_cumulative *cumulative, int32_t from,
                         int32_t to)
{
    if (cumulative->table < 0)
        return 0;
    const bk_hole_table *table = &solver->holes.tables.at[cumulative->table];
    int32_t low = bk_first_hole_beyond(solver, table, from), end = table->first + table->count;
    int64_t sum = 0;
    int32_t done = from;
    for (int32_t h = low; h < end && solver->holes.from.at[h] < to; h++) {
        if (!bk_is_true(solver, solver->holes.fact.at[h]))
            continue;
        int32_t a = solver->holes.from.at[h] > done ? solver->holes.from.at[h] : done;
        int32_t b = solver->holes.to.at[h] < to ? solver->holes.to.at[h] : to;
        if (b > a) {
            sum += b - a;
            done = b;
        }
    }
    return sum;
}

/* Least time that a task spends in the window [a, b) of true time, by the bounds
 * before the event. */
static int32_t overlap(const bk_solver *solver, const bk_task *task, int32_t a, int32_t b,
                       int32_t event)
{
    if (!bk_is_true(solver, task->present) ||
        (task->present.side >= 0 &&
         bk_lb_before(solver, task->present.side, event) < task->present.value))
        return 0;
    int32_t last = -bk_lb_before(solver, task->from ^ 1, event) + task->from_plus;
    int32_t first = bk_lb_before(solver, task->to, event) + task->to_plus;
    if (last >= b || first <= a)
        return 0;
    if (!fixed_length(task)) {
        int32_t from = last > a ? last : a, to = first < b ? first : b;
        return to > from ? to - from : 0;
    }
    int32_t least = length_of(task);
    if (b - a < least)
        least = b - a;
    if (first - a < least)
        least = first - a;
    if (b - last < least)
        least = b - last;
    return least;
}

/* Names the energy of tasks but `except` in [a, b) so that it exceeds
 * `room`, asking no more than that. */
static void explain_window(bk_solver *solver, const bk_cumulative *cumulative, int32_t a, int32_t b,
                           int32_t except, int64_t room, int32_t event)
{
    int64_t sum = -room - 1 + cumulative->capacity * hole_time(solver, cumulative, a, b);
    int32_t start = solver->analysis.named.count;
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++) {
        if (i == except)
            continue;
        int32_t time = overlap(solver, &solver->resources.tasks.at[i], a, b, event);
        if (time > 0) {
            sum += (int64_t)time * solver->resources.tasks.at[i].amount;
            *BK_ADD(solver, solver->analysis.named) = (bk_literal){i, time};
        }
    }
    /* What is left over lets tasks go, or be asked for less. Two passes: whole tasks, of those
     * that may go the one of the most energy first, then parts. */
    for (;;) {
        int32_t best = -1;
        int64_t most = -1;
        for (int32_t k = start; k < solver->analysis.named.count; k++) {
            bk_literal named = solver->analysis.named.at[k];
            int64_t energy = (int64_t)named.value * solver->resources.tasks.at[named.side].amount;
            if (energy <= sum && energy > most) {
                best = k;
                most = energy;
            }
        }
        if (best < 0)
            break;
        sum -= most;
        solver->analysis.named.at[best] = solver->analysis.named.at[--solver->analysis.named.count];
    }
    for (int32_t k = start; k < solver->analysis.named.count; k++) {
        const bk_task *task = &solver->resources.tasks.at[solver->analysis.named.at[k].side];
        int32_t time = solver->analysis.named.at[k].value;
        if (fixed_length(task)) {
            int32_t less = (int32_t)(sum / task->amount);
            sum -= (int64_t)less * task->amount;
            time -= less;
            bk_premise(solver, (bk_literal){task->from ^ 1, task->from_plus - (b - time)});
            bk_premise(solver, (bk_literal){task->to, a + time - task->to_plus});
        } else {
            int32_t last = -bk_lb_before(solver, task->from ^ 1, event) + task->from_plus;
            int32_t from = last > a ? last : a;
            bk_premise(solver, (bk_literal){task->from ^ 1, task->from_plus - from});
            bk_premise(solver, (bk_literal){task->to, from + time - task->to_plus});
        }
        bk_premise(solver, task->present);
    }
    solver->analysis.named.count = start;
    bk_premise(solver, cumulative->fact);
    if (cumulative->table >= 0) {
        const bk_hole_table *table = &solver->holes.tables.at[cumulative->table];
        for (int32_t h = table->first; h < table->first + table->count; h++)
            if (solver->holes.from.at[h] < b && solver->holes.to.at[h] > a &&
                bk_is_true(solver, solver->holes.fact.at[h]))
                bk_premise(solver, solver->holes.fact.at[h]);
    }
}

void bk_explain_edge_finding(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    bk_literal window = solver->edges.windows.at[reason.aux];
    const bk_task *task = &solver->resources.tasks.at[reason.index];
    const bk_cumulative *cumulative = &solver->resources.cumulatives.at[task->cumulative];
    int32_t a = window.side, b = window.value, length = length_of(task);
    bool back = literal.side & 1;
    int32_t side = seen_side(task, back), plus = seen_plus(task, back);
    /* In the direction of the push the window is [from, to). */
    int32_t from = back ? -b : a, to = back ? -a : b;
    /* Starting before `literal` would overlap by more than `rest`. */
    int32_t rest = to - (literal.value + plus);
    int32_t most = bk_lb_before(solver, side, event) + plus - from - 1 + length;
    if (rest > most)
        rest = most;
    if (rest > length - 1)
        rest = length - 1;
    if (rest > to - from - 1)
        rest = to - from - 1;
    bk_premise(solver, (bk_literal){side, from + rest + 1 - length - plus});
    bk_premise(solver, task->present);
    explain_window(solver, cumulative, a, b, reason.index,
                   (int64_t)cumulative->capacity * (b - a) - (int64_t)task->amount * (rest + 1),
                   event);
}

static void overload(bk_solver *solver, const bk_cumulative *cumulative, int32_t a, int32_t b)
{
    solver->analysis.premises.count = 0;
    explain_window(solver, cumulative, a, b, -1, (int64_t)cumulative->capacity * (b - a),
                   solver->trail.events.count);
    bk_conflict_is_premises(solver);
}

/* Task i may not overlap the window by more than the others leave. */
static bool push(bk_solver *solver, const bk_cumulative *cumulative, int32_t i, int32_t a,
                 int32_t b, bool back)
{
    const bk_task *task = &solver->resources.tasks.at[i];
    int64_t left = (int64_t)cumulative->capacity * (b - a) -
                   cumulative->capacity * hole_time(solver, cumulative, a, b);
    for (int32_t k = cumulative->first; k < cumulative->first + cumulative->count; k++)
        if (k != i)
            left -=
                (int64_t)solver->resources.tasks.at[k].amount *
                overlap(solver, &solver->resources.tasks.at[k], a, b, solver->trail.events.count);
    int32_t length = length_of(task);
    if (left < 0) {
        overload(solver, cumulative, a, b);
        return false;
    }
    int32_t rest = (int32_t)(left / task->amount);
    int32_t side = seen_side(task, back), plus = seen_plus(task, back);
    int32_t from = back ? -b : a, to = back ? -a : b;
    int32_t start = solver->trail.lb[side] + plus;
    if (rest >= length || rest >= to - from || start < from + rest + 1 - length ||
        start >= to - rest)
        return true;
    *BK_ADD(solver, solver->edges.windows) = (bk_literal){a, b};
    return bk_raise(solver, (bk_literal){side, to - rest - plus},
                    (bk_reason){BK_BY_EDGE_FINDING, i, solver->edges.windows.count - 1});
}

/* Merges the two sorted halves of `order`, of which the first has `half`. */
static void merge(int32_t *order, int32_t half, int32_t count, const int32_t *key, int32_t *spare)
{
    if (key[order[half - 1]] <= key[order[half]])
        return;
    for (int32_t i = 0; i < half; i++)
        spare[i] = order[i];
    for (int32_t i = 0, a = 0, b = half; a < half; i++)
        order[i] = b < count && key[order[b]] < key[spare[a]] ? order[b++] : spare[a++];
}

/* Stable; `spare` has room for as many. */
static void sort(int32_t *order, int32_t count, const int32_t *key, int32_t *spare)
{
    enum { RUN = 16 };
    for (int32_t at = 0; at < count; at += RUN)
        bk_sort_nearly(order + at, count - at < RUN ? count - at : RUN, key);
    for (int32_t run = RUN; run < count; run *= 2)
        for (int32_t at = 0; at + run < count; at += 2 * run)
            merge(order + at, run, count - at < 2 * run ? count - at : 2 * run, key, spare);
}

/* Energy of compulsory parts and holes before `time`, in true time. */
static int64_t sure_before(const bk_solver *solver, const bk_cumulative *cumulative, int32_t time,
                           int32_t origin)
{
    int32_t low = 0, high = cumulative->profile.count;
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (cumulative->profile.at[middle].time <= time)
            low = middle + 1;
        else
            high = middle;
    }
    int64_t energy = 0;
    if (low > 0)
        energy = solver->edges.profile_energy.at[low - 1] +
                 (int64_t)cumulative->profile.at[low - 1].height *
                     (time - cumulative->profile.at[low - 1].time);
    return energy + cumulative->capacity * hole_time(solver, cumulative, origin, time);
}

/* The tasks of the resource as they are now, seen in one direction. Returns how many. */
static int32_t gather(bk_solver *solver, const bk_cumulative *cumulative, bool back,
                      int32_t *origin)
{
    bk_edge_finding *e = &solver->edges;
    int32_t n = 0;
    *origin = BK_FAR;
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        if (!fixed_length(task) || !bk_is_true(solver, task->present))
            continue;
        int32_t side = seen_side(task, back), plus = seen_plus(task, back);
        e->task[n] = i;
        e->first_start[n] = solver->trail.lb[side] + plus;
        e->last_end[n] = -solver->trail.lb[side ^ 1] + plus + length_of(task);
        e->last_start[n] = -solver->trail.lb[side ^ 1] + plus;
        e->first_end[n] = solver->trail.lb[side] + plus + length_of(task);
        int32_t sure = e->first_end[n] - e->last_start[n];
        e->open[n] = length_of(task) - (sure > 0 ? sure : 0);
        int32_t least = back ? -e->last_end[n] : e->first_start[n];
        if (least < *origin)
            *origin = least;
        n++;
    }
    return n;
}

/* Orders those of `n` tasks that have energy beside their compulsory part, and looks up what is
 * taken before each. Returns how many. */
static int32_t arrange(bk_solver *solver, const bk_cumulative *cumulative, bool back, int32_t n,
                       int32_t origin)
{
    bk_edge_finding *e = &solver->edges;
    int32_t kept = 0;
    for (int32_t i = 0; i < n; i++)
        if (e->open[i] > 0)
            e->by_start[kept++] = i;
    for (int32_t i = 0; i < kept; i++)
        e->by_end[i] = e->by_start[i];
    sort(e->by_start, kept, e->first_start, e->spare);
    sort(e->by_end, kept, e->last_end, e->spare);
    for (int32_t i = 0; i < kept; i++) {
        int32_t k = e->by_start[i];
        int64_t at =
            sure_before(solver, cumulative, back ? -e->first_start[k] : e->first_start[k], origin);
        e->sure_at_start[k] = back ? -at : at;
        at = sure_before(solver, cumulative, back ? -e->last_end[k] : e->last_end[k], origin);
        e->sure_at_end[k] = back ? -at : at;
    }
    return kept;
}

static int64_t open_energy(const bk_solver *solver, int32_t k)
{
    const bk_edge_finding *e = &solver->edges;
    return (int64_t)solver->resources.tasks.at[e->task[k]].amount * e->open[k];
}

/* By place in by_start: how much less a window can leave that begins there or earlier than the one
 * that begins there, at most: all the energy of the tasks it takes in, less what they are given
 * room for. Returns the largest energy of a task. */
static int64_t bound_losses(bk_solver *solver, int64_t capacity, int32_t kept)
{
    bk_edge_finding *e = &solver->edges;
    int64_t largest = 0;
    for (int32_t x = 0; x < kept; x++) {
        int32_t k = e->by_start[x];
        if (open_energy(solver, k) > largest)
            largest = open_energy(solver, k);
        e->loss[x] = 0;
        if (x == 0)
            continue;
        int32_t before = e->by_start[x - 1];
        int64_t loss = e->loss[x - 1] + open_energy(solver, before) -
                       capacity * (e->first_start[k] - e->first_start[before]) +
                       e->sure_at_start[k] - e->sure_at_start[before];
        e->loss[x] = loss > 0 ? loss : 0;
    }
    return largest;
}

/* Windows that end at one task's last end, ever wider: what has to fall in them, and the task that
 * would bring most more if it started at once. */
typedef struct window {
    const bk_cumulative *cumulative;
    bool back;
    int32_t to;
    int64_t energy, most;
    int32_t candidate; /* -1: none */
} window;

/* Takes task k in, which starts where the window now begins. */
static void widen(const bk_solver *solver, window *w, int32_t k)
{
    const bk_edge_finding *e = &solver->edges;
    int64_t amount = solver->resources.tasks.at[e->task[k]].amount;
    int32_t from = e->first_start[k], to = w->to;
    if (e->last_end[k] <= to) {
        w->energy += amount * e->open[k];
        return;
    }
    /* Pushed to its end, what still falls in the window. */
    int32_t inside = to - (e->first_end[k] > e->last_start[k] ? e->first_end[k] : e->last_start[k]);
    if (inside < 0)
        inside = 0;
    if (inside > e->open[k])
        inside = e->open[k];
    w->energy += amount * inside;
    /* Started at once, how much more. */
    int32_t early = e->first_end[k] < to ? e->first_end[k] - from : to - from;
    int32_t sure = (e->first_end[k] < to ? e->first_end[k] : to) - e->last_start[k];
    int64_t more = amount * (early - (sure > 0 ? sure : 0) - inside);
    if (more > w->most) {
        w->most = more;
        w->candidate = k;
    }
}

/* All windows that end at `to`, which is after the first `begun` starts. They stop widening where
 * none that begins earlier can be full. */
static bool try_windows(bk_solver *solver, window *w, int32_t begun, int64_t sure_to,
                        int64_t largest, bool *found)
{
    const bk_edge_finding *e = &solver->edges;
    int64_t capacity = w->cumulative->capacity;
    for (int32_t x = begun; x-- > 0;) {
        int32_t k = e->by_start[x], from = e->first_start[k];
        int32_t a = w->back ? -w->to : from, b = w->back ? -from : w->to;
        widen(solver, w, k);
        int64_t left = capacity * (w->to - from) - w->energy - (sure_to - e->sure_at_start[k]);
        if (left < 0) {
            *found = true;
            overload(solver, w->cumulative, a, b);
            return false;
        }
        if (w->candidate >= 0 && w->most > left) {
            int32_t before = solver->trail.events.count;
            if (!push(solver, w->cumulative, e->task[w->candidate], a, b, w->back)) {
                *found = true;
                return false;
            }
            if (solver->trail.events.count > before)
                *found = true;
            w->most = 0; /* look for another only as the window widens */
            w->candidate = -1;
        }
        if (left - e->loss[x] >= largest)
            break;
    }
    return true;
}

static bool edge_find(bk_solver *solver, const bk_cumulative *cumulative, bool back, bool *found)
{
    const bk_edge_finding *e = &solver->edges;
    int32_t origin, n = gather(solver, cumulative, back, &origin);
    int32_t kept = arrange(solver, cumulative, back, n, origin);
    int64_t largest = bound_losses(solver, cumulative->capacity, kept);
    for (int32_t y = kept, begun = kept; y-- > 0;) {
        int32_t to = e->last_end[e->by_end[y]];
        if (y + 1 < kept && e->last_end[e->by_end[y + 1]] == to)
            continue;
        while (begun > 0 && e->first_start[e->by_start[begun - 1]] >= to)
            begun--;
        window w = {.cumulative = cumulative, .back = back, .to = to, .candidate = -1};
        if (!try_windows(solver, &w, begun, e->sure_at_end[e->by_end[y]], largest, found))
            return false;
    }
    return true;
}

bool bk_propagate_edge_finding(bk_solver *solver, int32_t index)
{
    bk_cumulative *cumulative = &solver->resources.cumulatives.at[index];
    if (!bk_is_true(solver, cumulative->fact))
        return true;
    /* Fruitless runs are followed by ever longer pauses. */
    if (bk_level_now(solver) > 1 && cumulative->pause > 0) {
        cumulative->pause--;
        return true;
    }
    bool found = false, fine = true;
    for (int back = 0; back < 2 && fine; back++) {
        bk_update_profile(solver, cumulative);
        solver->edges.profile_energy.count = 0;
        int64_t sum = 0;
        for (int32_t k = 0; k < cumulative->profile.count; k++) {
            if (k > 0)
                sum += (int64_t)cumulative->profile.at[k - 1].height *
                       (cumulative->profile.at[k].time - cumulative->profile.at[k - 1].time);
            *BK_ADD(solver, solver->edges.profile_energy) = sum;
        }
        fine = edge_find(solver, cumulative, back == 1, &found);
    }
    if (found)
        cumulative->patience = 0;
    else if (cumulative->patience < 64)
        cumulative->patience = cumulative->patience * 2 + 1;
    cumulative->pause = cumulative->patience;
    return fine;
}
