/* Timetable filtering: where tasks run whatever is decided (their compulsory parts: Lahrichi 1982),
 * the sum of their amounts must fit, and other tasks move past what is full. Explanations
 * are pointwise and lifted: a task counts at time t because it starts at t or
 * before and ends after t, whatever its bounds at that moment (Schutt, Feydt,
 * Stuckey, Wallace, "Explaining the cumulative propagator", Constraints 2011).
 * A task is kept off time t by: from >= t + 1 or to <= t or not present. */
#include "engine/profile.h"

enum { NEAR = 4 };

/* The first of what is full that ends after `time`. */
static int32_t full_after(const bk_cumulative *cumulative, int32_t time)
{
    int32_t low = 0, high = cumulative->full.count;
    while (low < high) {
        int32_t middle = low + (high - low) / 2;
        if (cumulative->full.at[middle].to <= time)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* The same, looked for first where it was the last time, and near it. */
static int32_t full_near(const bk_cumulative *cumulative, int32_t *guess, int32_t time)
{
    int32_t at = *guess, count = cumulative->full.count;
    const bk_full *full = cumulative->full.at;
    if (at > count)
        at = count;
    for (int near = 0; near < NEAR; near++)
        if (at > 0 && full[at - 1].to > time)
            at--;
        else if (at < count && full[at].to <= time)
            at++;
        else
            return *guess = at;
    return *guess = full_after(cumulative, time);
}

/* Is it too high for the task beside what the task itself puts there? */
static bool too_high(const bk_solver *solver, const bk_cumulative *cumulative, int32_t index,
                     const bk_full *full)
{
    int32_t own = solver->resources.compulsory_from.at[index] <= full->from &&
                          full->from < solver->resources.compulsory_to.at[index]
                      ? solver->resources.tasks.at[index].amount
                      : 0;
    return full->height - own + solver->resources.tasks.at[index].amount > cumulative->capacity;
}

static bool push_start(bk_solver *solver, const bk_cumulative *cumulative, int32_t index)
{
    const bk_task *task = &solver->resources.tasks.at[index];
    int32_t end = bk_earliest_end(solver, task);
    int32_t at = full_near(cumulative, &solver->resources.start_near.at[index],
                           bk_earliest_start(solver, task));
    for (; at < cumulative->full.count && cumulative->full.at[at].from < end; at++) {
        bk_full full = cumulative->full.at[at];
        if (!too_high(solver, cumulative, index, &full))
            continue;
        while (bk_earliest_start(solver, task) < full.to && full.from < end) {
            int32_t time = (full.to < end ? full.to : end) - 1;
            if (time < bk_earliest_start(solver, task))
                break;
            if (!bk_raise(solver, (bk_literal){task->from, time + 1 - task->from_plus},
                          (bk_reason){BK_BY_TIMETABLE, index, time}))
                return false;
            if (task->from != task->to)
                break;
            end = bk_earliest_end(solver, task);
        }
    }
    return true;
}

static bool push_end(bk_solver *solver, const bk_cumulative *cumulative, int32_t index)
{
    const bk_task *task = &solver->resources.tasks.at[index];
    int32_t start = bk_latest_start(solver, task);
    int32_t at = full_near(cumulative, &solver->resources.end_near.at[index],
                           bk_latest_end(solver, task) - 1);
    if (at == cumulative->full.count)
        at--;
    for (; at >= 0 && cumulative->full.at[at].to > start; at--) {
        bk_full full = cumulative->full.at[at];
        if (full.from >= bk_latest_end(solver, task) || !too_high(solver, cumulative, index, &full))
            continue;
        while (bk_latest_end(solver, task) > full.from && full.to > start) {
            int32_t time = full.from > start ? full.from : start;
            if (time >= bk_latest_end(solver, task))
                break;
            if (!bk_raise(solver, (bk_literal){task->to ^ 1, task->to_plus - time},
                          (bk_reason){BK_BY_TIMETABLE, index, time}))
                return false;
            if (task->from != task->to)
                break;
            start = bk_latest_start(solver, task);
        }
    }
    return true;
}

/* A task that may be left out and fits nowhere near its compulsory part stays out. */
static bool leave_out(bk_solver *solver, const bk_cumulative *cumulative, int32_t index)
{
    const bk_task *task = &solver->resources.tasks.at[index];
    int32_t from = bk_latest_start(solver, task), to = bk_earliest_end(solver, task);
    if (from >= to)
        return true;
    int32_t time = -1;
    bool over = task->amount > cumulative->capacity;
    if (over)
        time = from;
    for (int32_t k = full_after(cumulative, from);
         !over && k < cumulative->full.count && cumulative->full.at[k].from < to; k++)
        if (too_high(solver, cumulative, index, &cumulative->full.at[k])) {
            over = true;
            time = cumulative->full.at[k].from > from ? cumulative->full.at[k].from : from;
        }
    return !over ||
           bk_raise(solver, bk_not(task->present), (bk_reason){BK_BY_TIMETABLE, index, time});
}

static void overload(bk_solver *solver, const bk_cumulative *cumulative, int32_t time);

/* Has something got full where a task of these bounds may begin or end? */
static bool touched(const bk_cumulative *cumulative, const bk_task *task, const bk_seen *seen)
{
    int32_t from = cumulative->grown_from, to = cumulative->grown_to;
    return from < to &&
           ((seen->from[0] + task->from_plus < to && seen->to[0] + task->to_plus > from) ||
            (task->from_plus - seen->from[1] < to && task->to_plus - seen->to[1] > from));
}

/* Moves the task off what is full. */
static bool try_task(bk_solver *solver, const bk_cumulative *cumulative, int32_t index)
{
    const bk_task *task = &solver->resources.tasks.at[index];
    if (bk_is_false(solver, task->present))
        return true;
    if (!bk_is_true(solver, task->present))
        return leave_out(solver, cumulative, index);
    if (task->from == task->to && bk_earliest_start(solver, task) == bk_latest_start(solver, task))
        return true;
    return push_start(solver, cumulative, index) && push_end(solver, cumulative, index);
}

bool bk_propagate_timetable(bk_solver *solver, int32_t index)
{
    bk_cumulative *cumulative = &solver->resources.cumulatives.at[index];
    if (cumulative->count == 0 || !bk_is_true(solver, cumulative->fact))
        return true;
    bk_update_profile(solver, cumulative);
    if (cumulative->full.count == 0)
        return true;
    if (cumulative->peak > cumulative->capacity) {
        for (int32_t k = 0;; k++)
            if (cumulative->full.at[k].height > cumulative->capacity) {
                overload(solver, cumulative, cumulative->full.at[k].from);
                return false;
            }
    }
    int32_t begin = solver->trail.events.count;
    for (int32_t i = cumulative->first; i < cumulative->first + cumulative->count; i++) {
        const bk_task *task = &solver->resources.tasks.at[i];
        bk_seen *seen = &solver->resources.seen.at[i];
        int32_t before = solver->trail.events.count;
        /* Tasks may share their bounds: what was pushed may be this one. */
        if (seen->quiet && !touched(cumulative, task, seen) &&
            (before == begin || bk_as_seen(solver, task, seen)))
            continue;
        if (!try_task(solver, cumulative, i))
            return false;
        seen->quiet = solver->trail.events.count == before && bk_as_seen(solver, task, seen);
    }
    cumulative->grown_from = cumulative->grown_to = 0;
    return true;
}

/* Does the task surely run at `time`, as seen before the event? */
static bool ran(const bk_solver *solver, const bk_task *task, int32_t time, int32_t event)
{
    if (bk_latest_start(solver, task) > time || bk_earliest_end(solver, task) <= time ||
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
