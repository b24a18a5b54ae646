/* Timetable filtering: where tasks run whatever is decided (their compulsory parts: Lahrichi 1982),
 * the sum of their amounts must fit, and other tasks move past what is full. Explanations
 * are pointwise and lifted: a task counts at time t because it starts at t or
 * before and ends after t, whatever its bounds at that moment (Schutt, Feydt,
 * Stuckey, Wallace, "Explaining the cumulative propagator", Constraints 2011).
 * A task is kept off time t by: from >= t + 1 or to <= t or not present. */
#include "engine/solver.h"

enum { NEAR = 4 };

void bk_task_new(bk_solver *solver, bk_task task)
{
    int32_t place = solver->resources.tasks.count;
    *BK_ADD(solver, solver->resources.tasks) = task;
    *BK_ADD(solver, solver->resources.by_start) = place;
    *BK_ADD(solver, solver->resources.by_end) = place;
    *BK_ADD(solver, solver->resources.compulsory_from) = 0;
    *BK_ADD(solver, solver->resources.compulsory_to) = 0;
    *BK_ADD(solver, solver->resources.start_step) = 0;
    *BK_ADD(solver, solver->resources.end_step) = 0;
}

static int32_t earliest_start(const bk_solver *solver, const bk_task *task)
{
    return bk_lb(solver, task->from) + task->from_plus;
}

static int32_t latest_start(const bk_solver *solver, const bk_task *task)
{
    return bk_ub(solver, task->from) + task->from_plus;
}

static int32_t earliest_end(const bk_solver *solver, const bk_task *task)
{
    return bk_lb(solver, task->to) + task->to_plus;
}

static int32_t latest_end(const bk_solver *solver, const bk_task *task)
{
    return bk_ub(solver, task->to) + task->to_plus;
}

void bk_sort_nearly(int32_t *order, int32_t count, const int32_t *key)
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

int32_t bk_build_profile(bk_solver *solver, const bk_cumulative *cumulative)
{
    int32_t first = cumulative->first, count = cumulative->count;
    int32_t *from = solver->resources.compulsory_from.at, *to = solver->resources.compulsory_to.at;
    for (int32_t i = first; i < first + count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        from[i] = latest_start(solver, task);
        to[i] = earliest_end(solver, task);
        if (from[i] >= to[i] || !bk_is_true(solver, task->present))
            from[i] = to[i] = BK_FAR; /* surely nowhere: sorted behind */
    }
    int32_t *starts = solver->resources.by_start.at + first,
            *ends = solver->resources.by_end.at + first;
    bk_sort_nearly(starts, count, from);
    bk_sort_nearly(ends, count, to);
    solver->resources.profile.count = 0;
    int32_t height = 0, peak = 0, s = 0, e = 0;
    while (e < count && to[ends[e]] < BK_FAR) {
        int32_t time = to[ends[e]];
        if (s < count && from[starts[s]] < time)
            time = from[starts[s]];
        while (e < count && to[ends[e]] == time)
            height -= solver->resources.tasks.at[ends[e++]].amount;
        while (s < count && from[starts[s]] == time && time < BK_FAR)
            height += solver->resources.tasks.at[starts[s++]].amount;
        if (height > peak)
            peak = height;
        *BK_ADD(solver, solver->resources.profile) = (bk_step){time, height};
    }
    return peak;
}

static int32_t segment_end(const bk_solver *solver, int32_t segment)
{
    return segment + 1 < solver->resources.profile.count
               ? solver->resources.profile.at[segment + 1].time
               : BK_FAR;
}

/* The segment that holds `time`, or the first. */
static int32_t segment_at(const bk_solver *solver, int32_t time)
{
    int32_t low = 0, high = solver->resources.profile.count;
    while (high - low > 1) {
        int32_t middle = low + (high - low) / 2;
        if (solver->resources.profile.at[middle].time <= time)
            low = middle;
        else
            high = middle;
    }
    return low;
}

/* The same, looked for first where it was the last time, and near it. */
static int32_t segment_near(const bk_solver *solver, int32_t *guess, int32_t time)
{
    int32_t at = *guess, last = solver->resources.profile.count - 1;
    const bk_step *steps = solver->resources.profile.at;
    if (at > last)
        at = last;
    for (int near = 0; near < NEAR; near++)
        if (at > 0 && steps[at].time > time)
            at--;
        else if (at < last && steps[at + 1].time <= time)
            at++;
        else
            return *guess = at;
    return *guess = segment_at(solver, time);
}

/* Is the segment too high for the task beside what the task itself puts there? */
static bool too_high(const bk_solver *solver, const bk_cumulative *cumulative, int32_t index,
                     int32_t segment)
{
    bk_step at = solver->resources.profile.at[segment];
    int32_t own = solver->resources.compulsory_from.at[index] <= at.time &&
                          at.time < solver->resources.compulsory_to.at[index]
                      ? solver->resources.tasks.at[index].amount
                      : 0;
    return at.height - own + solver->resources.tasks.at[index].amount > cumulative->capacity;
}

static bool push_start(bk_solver *solver, const bk_cumulative *cumulative, int32_t index)
{
    const bk_task *task = &solver->resources.tasks.at[index];
    int32_t end = earliest_end(solver, task);
    int32_t segment =
        segment_near(solver, &solver->resources.start_step.at[index], earliest_start(solver, task));
    for (; segment < solver->resources.profile.count &&
           solver->resources.profile.at[segment].time < end;
         segment++) {
        if (!too_high(solver, cumulative, index, segment))
            continue;
        int32_t stop = segment_end(solver, segment);
        while (earliest_start(solver, task) < stop &&
               solver->resources.profile.at[segment].time < end) {
            int32_t time = (stop < end ? stop : end) - 1;
            if (time < earliest_start(solver, task))
                break;
            if (!bk_raise(solver, (bk_literal){task->from, time + 1 - task->from_plus},
                          (bk_reason){BK_BY_TIMETABLE, index, time}))
                return false;
            if (task->from != task->to)
                break;
            end = earliest_end(solver, task);
        }
    }
    return true;
}

static bool push_end(bk_solver *solver, const bk_cumulative *cumulative, int32_t index)
{
    const bk_task *task = &solver->resources.tasks.at[index];
    int32_t start = latest_start(solver, task);
    int32_t segment =
        segment_near(solver, &solver->resources.end_step.at[index], latest_end(solver, task) - 1);
    for (; segment >= 0 && segment_end(solver, segment) > start; segment--) {
        int32_t from = solver->resources.profile.at[segment].time;
        if (from >= latest_end(solver, task) || !too_high(solver, cumulative, index, segment))
            continue;
        while (latest_end(solver, task) > from && segment_end(solver, segment) > start) {
            int32_t time = from > start ? from : start;
            if (time >= latest_end(solver, task))
                break;
            if (!bk_raise(solver, (bk_literal){task->to ^ 1, task->to_plus - time},
                          (bk_reason){BK_BY_TIMETABLE, index, time}))
                return false;
            if (task->from != task->to)
                break;
            start = latest_start(solver, task);
        }
    }
    return true;
}

/* A task that may be left out and fits nowhere near its compulsory part stays out. */
static bool leave_out(bk_solver *solver, const bk_cumulative *cumulative, int32_t index)
{
    const bk_task *task = &solver->resources.tasks.at[index];
    int32_t from = latest_start(solver, task), to = earliest_end(solver, task);
    if (from >= to)
        return true;
    int32_t time = -1;
    bool over = task->amount > cumulative->capacity;
    if (over)
        time = from;
    for (int32_t k = segment_at(solver, from);
         !over && k < solver->resources.profile.count && solver->resources.profile.at[k].time < to;
         k++)
        if (segment_end(solver, k) > from && too_high(solver, cumulative, index, k)) {
            over = true;
            time = solver->resources.profile.at[k].time > from
                       ? solver->resources.profile.at[k].time
                       : from;
        }
    return !over ||
           bk_raise(solver, bk_not(task->present), (bk_reason){BK_BY_TIMETABLE, index, time});
}

static void overload(bk_solver *solver, const bk_cumulative *cumulative, int32_t time);

bool bk_propagate_timetable(bk_solver *solver, int32_t index)
{
    bk_cumulative cumulative = solver->resources.cumulatives.at[index];
    if (cumulative.count == 0 || !bk_is_true(solver, cumulative.fact))
        return true;
    int32_t peak = bk_build_profile(solver, &cumulative);
    if (peak > cumulative.capacity) {
        for (int32_t k = 0;; k++)
            if (solver->resources.profile.at[k].height > cumulative.capacity) {
                overload(solver, &cumulative, solver->resources.profile.at[k].time);
                return false;
            }
    }
    for (int32_t i = cumulative.first; i < cumulative.first + cumulative.count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        if (peak + task->amount <= cumulative.capacity || bk_is_false(solver, task->present))
            continue;
        if (!bk_is_true(solver, task->present)) {
            if (!leave_out(solver, &cumulative, i))
                return false;
            continue;
        }
        if (solver->resources.profile.count == 0 ||
            (earliest_start(solver, task) == latest_start(solver, task) && task->from == task->to))
            continue;
        if (!push_start(solver, &cumulative, i) || !push_end(solver, &cumulative, i))
            return false;
    }
    return true;
}

/* Does the task surely run at `time`, as seen before the event? */
static bool ran(const bk_solver *solver, const bk_task *task, int32_t time, int32_t event)
{
    if (latest_start(solver, task) > time || earliest_end(solver, task) <= time ||
        !bk_is_true(solver, task->present))
        return false;
    return -bk_lb_before(solver, task->from ^ 1, event) + task->from_plus <= time &&
           bk_lb_before(solver, task->to, event) + task->to_plus > time &&
           (task->present.side < 0 ||
            bk_lb_before(solver, task->present.side, event) >= task->present.value);
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
    int32_t start = solver->analysis.named.count;
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++)
        if (i != except && ran(solver, &solver->resources.tasks.at[i], time, event)) {
            sum += solver->resources.tasks.at[i].amount;
            *BK_ADD(solver, solver->analysis.named) =
                (bk_literal){i, last_event(solver, &solver->resources.tasks.at[i], time)};
        }
    if (sum <= room) {
        solver->analysis.named.count = start;
        return false;
    }
    /* Drop what is not needed, the latest placed first. */
    for (;;) {
        int32_t worst = -1;
        for (int32_t k = start; k < solver->analysis.named.count; k++) {
            bk_literal running = solver->analysis.named.at[k];
            if (running.value >= 0 &&
                sum - solver->resources.tasks.at[running.side].amount > room &&
                (worst < 0 || running.value > solver->analysis.named.at[worst].value))
                worst = k;
        }
        if (worst < 0)
            break;
        sum -= solver->resources.tasks.at[solver->analysis.named.at[worst].side].amount;
        solver->analysis.named.at[worst] =
            solver->analysis.named.at[--solver->analysis.named.count];
    }
    for (int32_t k = start; k < solver->analysis.named.count; k++) {
        const bk_task *task = &solver->resources.tasks.at[solver->analysis.named.at[k].side];
        bk_premise(solver, (bk_literal){task->from ^ 1, task->from_plus - time});
        bk_premise(solver, (bk_literal){task->to, time + 1 - task->to_plus});
        bk_premise(solver, task->present);
    }
    solver->analysis.named.count = start;
    return true;
}

static void overload(bk_solver *solver, const bk_cumulative *cumulative, int32_t time)
{
    solver->analysis.premises.count = 0;
    explain_height(solver, cumulative, time, -1, cumulative->capacity, solver->trail.events.count);
    bk_premise(solver, cumulative->fact);
    bk_conflict_is_premises(solver);
}

void bk_explain_timetable(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event)
{
    const bk_task *task = &solver->resources.tasks.at[reason.index];
    const bk_cumulative *cumulative = &solver->resources.cumulatives.at[task->cumulative];
    int32_t room = cumulative->capacity - task->amount, time = reason.aux;
    bool from = literal.side == task->from, to = literal.side == (task->to ^ 1);
    if (!from && !to) {
        explain_height(solver, cumulative, time, reason.index, room, event);
        bk_premise(solver, (bk_literal){task->from ^ 1, task->from_plus - time});
        bk_premise(solver, (bk_literal){task->to, time + 1 - task->to_plus});
        bk_premise(solver, cumulative->fact);
        return;
    }
    /* Less may be asked than was pushed: then an earlier full time may do. */
    int32_t wanted = from ? literal.value + task->from_plus - 1 : task->to_plus - literal.value;
    if (wanted == time || !explain_height(solver, cumulative, wanted, reason.index, room, event)) {
        wanted = time;
        explain_height(solver, cumulative, time, reason.index, room, event);
    }
    if (from)
        bk_premise(solver, (bk_literal){task->to, wanted + 1 - task->to_plus});
    else
        bk_premise(solver, (bk_literal){task->from ^ 1, task->from_plus - wanted});
    bk_premise(solver, task->present);
    bk_premise(solver, cumulative->fact);
}
