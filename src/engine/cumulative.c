/* Cumulative resources by their timetable: where tasks surely run, the sum of
 * their amounts must fit, and other tasks move past what is full. Explanations
 * are pointwise and lifted: a task counts at time t because it starts at t or
 * before and ends after t, whatever its bounds at that moment (Schutt, Feydt,
 * Stuckey, Wallace, "Explaining the cumulative propagator", Constraints 2011).
 * A task is kept off time t by: from >= t + 1 or to <= t or not present. */
#include "engine/solver.h"

void bk_task_new(bk_solver *solver, bk_task task)
{
    int32_t place = solver->tasks.count;
    *BK_ADD(solver, solver->tasks) = task;
    *BK_ADD(solver, solver->by_start) = place;
    *BK_ADD(solver, solver->by_end) = place;
    *BK_ADD(solver, solver->sure_from) = 0;
    *BK_ADD(solver, solver->sure_to) = 0;
}

static int32_t start_least(const bk_solver *solver, const bk_task *task)
{
    return bk_least(solver, task->from) + task->from_plus;
}

static int32_t start_most(const bk_solver *solver, const bk_task *task)
{
    return bk_most(solver, task->from) + task->from_plus;
}

static int32_t end_least(const bk_solver *solver, const bk_task *task)
{
    return bk_least(solver, task->to) + task->to_plus;
}

static int32_t end_most(const bk_solver *solver, const bk_task *task)
{
    return bk_most(solver, task->to) + task->to_plus;
}

/* Insertion sort: the order hardly changes from one call to the next. */
static void sort_nearly(int32_t *order, int32_t count, const int32_t *key)
{
    for (int32_t i = 1; i < count; i++) {
        int32_t task = order[i], k = i;
        while (k > 0 && key[order[k - 1]] > key[task]) {
            order[k] = order[k - 1];
            k--;
        }
        order[k] = task;
    }
}

/* Builds solver->profile: heights of what surely runs, from each time on.
 * Returns the peak. */
int32_t bk_build_profile(bk_solver *solver, const bk_cumulative *cumulative)
{
    int32_t first = cumulative->first, count = cumulative->count;
    int32_t *from = solver->sure_from.at, *to = solver->sure_to.at;
    for (int32_t i = first; i < first + count; i++) {
        const bk_task *task = &solver->tasks.at[i];
        from[i] = start_most(solver, task);
        to[i] = end_least(solver, task);
        if (from[i] >= to[i] || !bk_is_true(solver, task->present))
            from[i] = to[i] = BK_FAR; /* surely nowhere: sorted behind */
    }
    int32_t *starts = solver->by_start.at + first, *ends = solver->by_end.at + first;
    sort_nearly(starts, count, from);
    sort_nearly(ends, count, to);
    solver->profile.count = 0;
    int32_t height = 0, peak = 0, s = 0, e = 0;
    while (e < count && to[ends[e]] < BK_FAR) {
        int32_t time = to[ends[e]];
        if (s < count && from[starts[s]] < time)
            time = from[starts[s]];
        while (e < count && to[ends[e]] == time)
            height -= solver->tasks.at[ends[e++]].amount;
        while (s < count && from[starts[s]] == time && time < BK_FAR)
            height += solver->tasks.at[starts[s++]].amount;
        if (height > peak)
            peak = height;
        *BK_ADD(solver, solver->profile) = (bk_side_point){time, height};
    }
    return peak;
}

static int32_t segment_end(const bk_solver *solver, int32_t segment)
{
    return segment + 1 < solver->profile.count ? solver->profile.at[segment + 1].side : BK_FAR;
}

/* The segment that holds `time`, or the first. */
static int32_t segment_at(const bk_solver *solver, int32_t time)
{
    int32_t low = 0, high = solver->profile.count;
    while (high - low > 1) {
        int32_t middle = low + (high - low) / 2;
        if (solver->profile.at[middle].side <= time)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* Is the segment too high for the task beside what the task itself puts there? */
static bool too_high(const bk_solver *solver, const bk_cumulative *cumulative, int32_t index,
                     int32_t segment)
{
    bk_side_point at = solver->profile.at[segment];
    int32_t own = solver->sure_from.at[index] <= at.side && at.side < solver->sure_to.at[index]
                      ? solver->tasks.at[index].amount
                      : 0;
    return at.plus - own + solver->tasks.at[index].amount > cumulative->capacity;
}

static bool push_start(bk_solver *solver, const bk_cumulative *cumulative, int32_t index)
{
    const bk_task *task = &solver->tasks.at[index];
    int32_t end = end_least(solver, task);
    int32_t segment = segment_at(solver, start_least(solver, task));
    for (; segment < solver->profile.count && solver->profile.at[segment].side < end; segment++) {
        if (!too_high(solver, cumulative, index, segment))
            continue;
        int32_t stop = segment_end(solver, segment);
        while (start_least(solver, task) < stop && solver->profile.at[segment].side < end) {
            int32_t time = (stop < end ? stop : end) - 1;
            if (time < start_least(solver, task))
                break;
            if (!bk_raise(solver, (bk_literal){task->from, time + 1 - task->from_plus},
                          (bk_reason){BK_BY_CUMULATIVE, index, time}))
                return false;
            if (task->from != task->to)
                break;
            end = end_least(solver, task);
        }
    }
    return true;
}

static bool push_end(bk_solver *solver, const bk_cumulative *cumulative, int32_t index)
{
    const bk_task *task = &solver->tasks.at[index];
    int32_t start = start_most(solver, task);
    int32_t segment = segment_at(solver, end_most(solver, task) - 1);
    for (; segment >= 0 && segment_end(solver, segment) > start; segment--) {
        int32_t from = solver->profile.at[segment].side;
        if (from >= end_most(solver, task) || !too_high(solver, cumulative, index, segment))
            continue;
        while (end_most(solver, task) > from && segment_end(solver, segment) > start) {
            int32_t time = from > start ? from : start;
            if (time >= end_most(solver, task))
                break;
            if (!bk_raise(solver, (bk_literal){task->to ^ 1, task->to_plus - time},
                          (bk_reason){BK_BY_CUMULATIVE, index, time}))
                return false;
            if (task->from != task->to)
                break;
            start = start_most(solver, task);
        }
    }
    return true;
}

/* A task that may be left out and fits nowhere near its sure part stays out. */
static bool leave_out(bk_solver *solver, const bk_cumulative *cumulative, int32_t index)
{
    const bk_task *task = &solver->tasks.at[index];
    int32_t from = start_most(solver, task), to = end_least(solver, task);
    if (from >= to)
        return true;
    int32_t time = -1;
    bool over = task->amount > cumulative->capacity;
    if (over)
        time = from;
    for (int32_t k = segment_at(solver, from);
         !over && k < solver->profile.count && solver->profile.at[k].side < to; k++)
        if (segment_end(solver, k) > from && too_high(solver, cumulative, index, k)) {
            over = true;
            time = solver->profile.at[k].side > from ? solver->profile.at[k].side : from;
        }
    return !over || bk_raise(solver, bk_not(task->present),
                             (bk_reason){BK_BY_CUMULATIVE, index, time});
}

static void overload(bk_solver *solver, const bk_cumulative *cumulative, int32_t time);

bool bk_propagate_cumulative(bk_solver *solver, int32_t index)
{
    bk_cumulative cumulative = solver->cumulatives.at[index];
    if (!bk_is_true(solver, cumulative.fact))
        return true;
    int32_t peak = bk_build_profile(solver, &cumulative);
    if (peak > cumulative.capacity) {
        for (int32_t k = 0;; k++)
            if (solver->profile.at[k].plus > cumulative.capacity) {
                overload(solver, &cumulative, solver->profile.at[k].side);
                return false;
            }
    }
    for (int32_t i = cumulative.first; i < cumulative.first + cumulative.count; i++) {
        const bk_task *task = &solver->tasks.at[i];
        if (peak + task->amount <= cumulative.capacity || bk_is_false(solver, task->present))
            continue;
        if (!bk_is_true(solver, task->present)) {
            if (!leave_out(solver, &cumulative, i))
                return false;
            continue;
        }
        if (solver->profile.count == 0 ||
            (start_least(solver, task) == start_most(solver, task) && task->from == task->to))
            continue;
        if (!push_start(solver, &cumulative, i) || !push_end(solver, &cumulative, i))
            return false;
    }
    return true;
}

static void add_if_moved(bk_solver *solver, bk_literal literal)
{
    if (literal.side >= 0)
        *BK_ADD(solver, solver->why) = literal;
}

/* Does the task surely run at `time`, as seen before the event? */
static bool ran(const bk_solver *solver, const bk_task *task, int32_t time, int32_t event)
{
    if (start_most(solver, task) > time || end_least(solver, task) <= time ||
        !bk_is_true(solver, task->present))
        return false;
    return -bk_bound_before(solver, task->from ^ 1, event) + task->from_plus <= time &&
           bk_bound_before(solver, task->to, event) + task->to_plus > time &&
           (task->present.side < 0 ||
            bk_bound_before(solver, task->present.side, event) >= task->present.value);
}

static int32_t last_event(const bk_solver *solver, const bk_task *task, int32_t time)
{
    int32_t a = bk_event_of(solver, (bk_literal){task->from ^ 1, task->from_plus - time});
    int32_t b = bk_event_of(solver, (bk_literal){task->to, time + 1 - task->to_plus});
    int32_t c = task->present.side < 0 ? -1 : bk_event_of(solver, task->present);
    if (b > a)
        a = b;
    return c > a ? c : a;
}

/* Names enough tasks running at `time`, without `except`, to exceed `room`. */
static bool explain_height(bk_solver *solver, const bk_cumulative *cumulative, int32_t time,
                           int32_t except, int32_t room, int32_t event)
{
    int32_t sum = 0;
    /* The profile is free to use here: it is rebuilt at every run. */
    int32_t start = solver->listed.count;
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++)
        if (i != except && ran(solver, &solver->tasks.at[i], time, event)) {
            sum += solver->tasks.at[i].amount;
            *BK_ADD(solver, solver->listed) =
                (bk_literal){i, last_event(solver, &solver->tasks.at[i], time)};
        }
    if (sum <= room) {
        solver->listed.count = start;
        return false;
    }
    /* Drop what is not needed, the latest placed first. */
    for (;;) {
        int32_t worst = -1;
        for (int32_t k = start; k < solver->listed.count; k++) {
            bk_literal running = solver->listed.at[k];
            if (running.value >= 0 && sum - solver->tasks.at[running.side].amount > room &&
                (worst < 0 || running.value > solver->listed.at[worst].value))
                worst = k;
        }
        if (worst < 0)
            break;
        sum -= solver->tasks.at[solver->listed.at[worst].side].amount;
        solver->listed.at[worst] = solver->listed.at[--solver->listed.count];
    }
    for (int32_t k = start; k < solver->listed.count; k++) {
        const bk_task *task = &solver->tasks.at[solver->listed.at[k].side];
        *BK_ADD(solver, solver->why) = (bk_literal){task->from ^ 1, task->from_plus - time};
        *BK_ADD(solver, solver->why) = (bk_literal){task->to, time + 1 - task->to_plus};
        add_if_moved(solver, task->present);
    }
    solver->listed.count = start;
    return true;
}

static void overload(bk_solver *solver, const bk_cumulative *cumulative, int32_t time)
{
    solver->why.count = 0;
    explain_height(solver, cumulative, time, -1, cumulative->capacity, solver->trail.count);
    add_if_moved(solver, cumulative->fact);
    solver->conflict.count = 0;
    for (int32_t i = 0; i < solver->why.count; i++)
        *BK_ADD(solver, solver->conflict) = solver->why.at[i];
}

void bk_explain_cumulative(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    const bk_task *task = &solver->tasks.at[reason.index];
    const bk_cumulative *cumulative = &solver->cumulatives.at[task->cumulative];
    int32_t room = cumulative->capacity - task->amount, time = reason.aux;
    bool from = literal.side == task->from, to = literal.side == (task->to ^ 1);
    if (!from && !to) {
        explain_height(solver, cumulative, time, reason.index, room, event);
        *BK_ADD(solver, solver->why) = (bk_literal){task->from ^ 1, task->from_plus - time};
        *BK_ADD(solver, solver->why) = (bk_literal){task->to, time + 1 - task->to_plus};
        add_if_moved(solver, cumulative->fact);
        return;
    }
    /* Less may be asked than was pushed: then an earlier full time may do. */
    int32_t wanted = from ? literal.value + task->from_plus - 1 : task->to_plus - literal.value;
    if (wanted == time || !explain_height(solver, cumulative, wanted, reason.index, room, event)) {
        wanted = time;
        explain_height(solver, cumulative, time, reason.index, room, event);
    }
    if (from)
        *BK_ADD(solver, solver->why) = (bk_literal){task->to, wanted + 1 - task->to_plus};
    else
        *BK_ADD(solver, solver->why) = (bk_literal){task->from ^ 1, task->from_plus - wanted};
    add_if_moved(solver, task->present);
    add_if_moved(solver, cumulative->fact);
}
