/* Partial schedules are extended by one task at a time, in the order of starts, each task as early
 * as it then fits: some schedule that is as good as any is made like that. A state is left out
 * where
 *  - another of the same tasks is not later in anything that still counts: what follows the one
 *    can follow the other, and ends all the same;
 *  - some task fits between the last start and the new one, and ends by then: it may as well run
 *    there, which is another state's child;
 *  - what has to end by some deadline does not fit before it any more, even in pieces.
 * Project and mirrored project are looked at in turns, whichever has fewer states. */
#include "engine/partial_schedules.h"

#include <assert.h>
#include <string.h>

enum {
    LANES = BK_PARTIAL_LANES,
    FIRST_STATES = 1024,
    FIRST_HEADS = 1 << 12,
    MOST_LAYER = 1 << 17,  /* states of one, in mid-search: the direction is given up */
    MOST_STATES = 1 << 20, /* of all */
    LARGEST = 96,          /* states of the largest layer, as foreseen, times the cube of the tasks:
                              their binary logarithm, in thirds */
    TELLING = 256,         /* states, to foresee it */
    LOOKS = 128            /* at other states: as much as to extend one */
};

#define DROPPED UINT64_MAX

/* ------------------------------------------------------------------ layers */

static void widen(bk_solver *solver, const struct bk_partials *p, bk_layer *layer)
{
    size_t had = (size_t)layer->room, room = had ? 2 * had : FIRST_STATES;
    size_t words = (size_t)p->stride;
    layer->states =
        bk_memory_resize(&solver->memory, layer->states, had, room, sizeof *layer->states);
    layer->ends = bk_memory_resize(&solver->memory, layer->ends, had * words, room * words,
                                   sizeof *layer->ends);
    layer->room = (int32_t)room;
}

static void release_layer(bk_solver *solver, bk_layer *layer)
{
    bk_memory_release(&solver->memory, layer->states);
    bk_memory_release(&solver->memory, layer->ends);
    *layer = (bk_layer){0};
}

static void release_direction(bk_solver *solver, bk_direction *d)
{
    release_layer(solver, &d->now);
    release_layer(solver, &d->next);
    bk_memory_release(&solver->memory, d->head);
    d->head = NULL;
    d->heads = 0;
}

static int16_t *ends_of(const struct bk_partials *p, const bk_layer *layer, int32_t state)
{
    return layer->ends + (size_t)state * (size_t)p->stride;
}

static int32_t *head_of(const bk_direction *d, uint64_t set)
{
    uint32_t hash = (uint32_t)(set * UINT64_C(0x9e3779b97f4a7c15) >> 32);
    return &d->head[hash & ((uint32_t)d->heads - 1)];
}

static void empty_heads(bk_solver *solver, bk_direction *d, int32_t heads)
{
    if (heads != d->heads) {
        bk_memory_release(&solver->memory, d->head);
        d->head = bk_memory_new(&solver->memory, (size_t)heads, sizeof *d->head);
        d->heads = heads;
    }
    for (int32_t i = 0; i < heads; i++)
        d->head[i] = -1;
}

/* Room for one more state, in a table that is not too full. */
static void next_room(bk_solver *solver, const struct bk_partials *p, bk_direction *d)
{
    if (d->next.count == d->next.room)
        widen(solver, p, &d->next);
    if (d->next.count < d->heads)
        return;
    empty_heads(solver, d, 4 * d->heads);
    for (int32_t i = 0; i < d->next.count; i++) {
        bk_partial_state *state = &d->next.states[i];
        if (state->set == DROPPED)
            continue;
        int32_t *at = head_of(d, state->set);
        while (*at >= 0 && d->next.states[*at].sum <= state->sum)
            at = &d->next.states[*at].after;
        state->after = *at;
        *at = i;
    }
}

/* Does everything of `a` end no later than it does in `b`, or than what is still to come can
 * start after `b`? */
static bool no_later(const int16_t *a, const int16_t *b, int16_t time, int32_t words)
{
    int16_t later = 0;
    for (int32_t i = 0; i < words; i++)
        later |= (int16_t)((a[i] > b[i] ? -1 : 0) & (a[i] > time ? -1 : 0));
    return later == 0;
}

/* Takes in the state at the end of the next layer, unless another is as good; those that are no
 * better than it go. As good ones have no larger sums. */
static void settle_state(const struct bk_partials *p, bk_direction *d)
{
    bk_partial_state *states = d->next.states, *state = &states[d->next.count];
    const int16_t *ends = ends_of(p, &d->next, d->next.count);
    int32_t *at = head_of(d, state->set);
    for (; *at >= 0 && states[*at].sum <= state->sum; at = &states[*at].after, d->looks++)
        if (states[*at].set == state->set && states[*at].time <= state->time &&
            no_later(ends_of(p, &d->next, *at), ends, (int16_t)state->time, p->stride))
            return;
    state->after = *at;
    *at = d->next.count++;
    for (at = &state->after; *at >= 0; d->looks++) {
        bk_partial_state *other = &states[*at];
        if (other->set == state->set && state->time <= other->time &&
            no_later(ends, ends_of(p, &d->next, *at), (int16_t)other->time, p->stride)) {
            other->set = DROPPED;
            *at = other->after;
        } else {
            at = &other->after;
        }
    }
}

/* --------------------------------------------------------------- one state */

/* What one state is extended by. */
typedef struct extending {
    bk_solver *solver;
    struct bk_partials *p;
    bk_direction *d;
    uint64_t set;
    int32_t time, first_deadline;
    const int16_t *ends;
    int32_t running[BK_PARTIAL_TASKS]; /* by end */
    int32_t runs;
} extending;

static void list_running(extending *x)
{
    x->runs = 0;
    for (int32_t i = 0; i < x->p->count; i++) {
        if (x->ends[i] <= x->time)
            continue;
        int32_t at = x->runs++;
        for (; at > 0 && x->ends[x->running[at - 1]] > x->ends[i]; at--)
            x->running[at] = x->running[at - 1];
        x->running[at] = i;
    }
}

/* What the work of all tasks that are not in the set takes before each deadline. */
static void sum_late(const extending *x)
{
    bk_direction *d = x->d;
    const bk_partial_tasks *tasks = &d->tasks;
    int32_t row = tasks->deadlines * tasks->resources;
    if (d->summed == x->set)
        return;
    d->summed = x->set;
    for (int32_t k = 0; k < row; k++)
        d->open[k] = tasks->total[k];
    for (int32_t i = 0; i < tasks->count; i++)
        if (x->set >> i & 1)
            for (int32_t k = 0; k < row; k++)
                d->open[k] -= tasks->late[i * row + k];
}

/* By how much the work that has to fall between the state's time and each deadline is over what
 * fits there: never positive, or the state would not be there. */
static void sum_rest(extending *x)
{
    const bk_partial_tasks *tasks = &x->d->tasks;
    int32_t *rest = x->p->rest, *same = x->p->gap;
    x->first_deadline = 0;
    while (x->first_deadline < tasks->deadlines && tasks->deadline[x->first_deadline] <= x->time)
        x->first_deadline++;
    sum_late(x);
    for (int32_t r = 0; r < tasks->resources; r++)
        same[r] = x->time * tasks->capacity[r];
    for (int32_t i = 0; i < x->runs; i++) {
        int32_t left = x->ends[x->running[i]] - x->time;
        const int32_t *need = tasks->need + x->running[i] * tasks->resources;
        for (int32_t r = 0; r < tasks->resources; r++)
            same[r] += left * need[r];
    }
    for (int32_t k = x->first_deadline; k < tasks->deadlines; k++)
        for (int32_t r = 0; r < tasks->resources; r += LANES)
            for (int32_t lane = r; lane < r + LANES; lane++)
                rest[k * tasks->resources + lane] =
                    x->d->open[k * tasks->resources + lane] + same[lane];
    /* What ends after a deadline does not all fall before it. */
    for (int32_t i = x->runs; i-- > 0;) {
        const int32_t *need = tasks->need + x->running[i] * tasks->resources;
        int32_t end = x->ends[x->running[i]];
        for (int32_t k = x->first_deadline; k < tasks->deadlines && tasks->deadline[k] < end; k++)
            for (int32_t r = 0; r < tasks->resources; r++)
                rest[k * tasks->resources + r] -= (end - tasks->deadline[k]) * need[r];
    }
}

/* The earliest start of a task after those of the state. */
static int32_t earliest(const extending *x, int32_t task)
{
    const bk_partial_tasks *tasks = &x->d->tasks;
    int32_t start = x->time > tasks->least[task] ? x->time : tasks->least[task];
    for (int32_t i = 0; i < x->runs; i++)
        if (tasks->before[task] >> x->running[i] & 1 && x->ends[x->running[i]] > start)
            start = x->ends[x->running[i]];
    /* What runs only becomes less. */
    for (int32_t r = 0; r < tasks->resources; r++) {
        int32_t over = tasks->need[task * tasks->resources + r] - tasks->capacity[r], i = x->runs;
        while (i > 0 && x->ends[x->running[i - 1]] > start) {
            over += tasks->need[x->running[i - 1] * tasks->resources + r];
            if (over > 0) {
                start = x->ends[x->running[i - 1]];
                break;
            }
            i--;
        }
    }
    return start;
}

/* Is there still room before every deadline once the task starts then? */
static bool has_room(const extending *x, int32_t task, int32_t start)
{
    const bk_partial_tasks *tasks = &x->d->tasks;
    int32_t resources = tasks->resources, row = tasks->deadlines * resources, *gap = x->p->gap;
    const int32_t *need = tasks->need + task * resources, *late = tasks->late + task * row;
    for (int32_t r = 0; r < resources; r++)
        gap[r] = tasks->capacity[r] * (start - x->time);
    for (int32_t i = 0; i < x->runs; i++) {
        int32_t until = x->ends[x->running[i]] < start ? x->ends[x->running[i]] : start;
        for (int32_t r = 0; r < resources; r++)
            gap[r] -= (until - x->time) * tasks->need[x->running[i] * resources + r];
    }
    int32_t k = x->first_deadline, end = start + tasks->length[task], over = 0;
    while (k < tasks->deadlines && tasks->deadline[k] <= start)
        k++;
    for (; k < tasks->deadlines && tasks->deadline[k] < end; k++)
        for (int32_t r = 0; r < resources; r++)
            over |= x->p->rest[k * resources + r] + gap[r] +
                        (tasks->deadline[k] - start) * need[r] - late[k * resources + r] >
                    0;
    for (int32_t r = 0; r < resources; r++)
        gap[r] += tasks->length[task] * need[r];
    for (; k < tasks->deadlines && !over; k++)
        for (int32_t r = 0; r < resources; r += LANES)
            for (int32_t lane = r; lane < r + LANES; lane++)
                over |=
                    x->p->rest[k * resources + lane] + gap[lane] - late[k * resources + lane] > 0;
    return !over;
}

static void add_child(extending *x, int32_t task, int32_t start)
{
    bk_direction *d = x->d;
    const bk_partial_tasks *tasks = &d->tasks;
    next_room(x->solver, x->p, d);
    int32_t state = d->next.count, sum = 0;
    int16_t *ends = ends_of(x->p, &d->next, state);
    memcpy(ends, x->ends, (size_t)x->p->stride * sizeof *ends);
    ends[task] = (int16_t)(start + tasks->length[task]);
    for (int32_t i = 0; i < x->p->stride; i++)
        sum += ends[i] > start ? ends[i] : start;
    d->next.states[state] =
        (bk_partial_state){.set = x->set | UINT64_C(1) << task, .time = start, .sum = sum};
    settle_state(x->p, d);
}

static void extend(bk_solver *solver, struct bk_partials *p, bk_direction *d, int32_t state)
{
    const bk_partial_tasks *tasks = &d->tasks;
    extending x = {.solver = solver,
                   .p = p,
                   .d = d,
                   .set = d->now.states[state].set,
                   .time = d->now.states[state].time,
                   .ends = ends_of(p, &d->now, state)};
    int32_t ready[BK_PARTIAL_TASKS], start[BK_PARTIAL_TASKS], count = 0, first_end = INT32_MAX;
    list_running(&x);
    for (int32_t i = 0; i < p->count; i++) {
        if (x.set >> i & 1)
            continue;
        if (tasks->most[i] < x.time)
            return;
        if (tasks->before[i] & ~x.set)
            continue;
        ready[count] = i;
        start[count] = earliest(&x, i);
        if (start[count] > tasks->most[i])
            return;
        if (start[count] + tasks->length[i] < first_end)
            first_end = start[count] + tasks->length[i];
        count++;
    }
    sum_rest(&x);
    for (int32_t i = 0; i < count; i++)
        if (start[i] < first_end && has_room(&x, ready[i], start[i]))
            add_child(&x, ready[i], start[i]);
}

/* ---------------------------------------------------------------- the search */

static void restart(bk_solver *solver, const struct bk_partials *p, bk_direction *d)
{
    release_direction(solver, d);
    d->depth = d->at = 0;
    d->closed = false;
    empty_heads(solver, d, FIRST_HEADS);
    widen(solver, p, &d->now);
    d->now.count = 1;
}

/* A better schedule is asked for. What there is forward is still all that can lead to one: it has
 * been compared with nothing but what ends no later. Of mirrored time the beginning has changed. */
static void aim(bk_solver *solver, struct bk_partials *p, int32_t target)
{
    bool anew = p->target < target || p->given_up;
    p->target = target;
    p->best = p->given_up = false;
    bk_partial_tasks_read(solver, p);
    if (anew || p->direction[0].closed) {
        p->spent = 0;
        restart(solver, p, &p->direction[0]);
    }
    restart(solver, p, &p->direction[1]);
    p->turn = 1;
    for (int i = 0; i < 2; i++)
        p->direction[i].summed = DROPPED;
}

/* What was next is now, those of the same tasks together: what they have in common is then summed
 * up once, and what follows them is looked for where it was the last time. */
static void next_layer(bk_solver *solver, const struct bk_partials *p, bk_direction *d)
{
    size_t bytes = (size_t)p->stride * sizeof *d->now.ends;
    d->now.count = d->at = 0;
    d->depth++;
    for (int32_t i = 0; i < d->heads; i++) {
        for (; d->head[i] >= 0; d->head[i] = d->next.states[d->head[i]].after) {
            if (d->now.count == d->now.room)
                widen(solver, p, &d->now);
            memcpy(ends_of(p, &d->now, d->now.count), ends_of(p, &d->next, d->head[i]), bytes);
            d->now.states[d->now.count++] = d->next.states[d->head[i]];
        }
    }
    d->next.count = 0;
    d->summed = DROPPED;
}

/* Of the states that have all tasks the one that ends first. */
static const int16_t *shortest_of(const struct bk_partials *p, const bk_direction *d)
{
    const int16_t *ends = NULL;
    int32_t shortest = INT32_MAX;
    for (int32_t state = 0; state < d->now.count; state++) {
        const int16_t *its = ends_of(p, &d->now, state);
        int32_t most = 0;
        for (int32_t i = 0; i < p->count; i++)
            most = its[i] > most ? its[i] : most;
        if (most >= shortest)
            continue;
        shortest = most;
        ends = its;
    }
    return ends;
}

/* All variables, from the ends of all tasks. */
static void take(bk_solver *solver, const struct bk_partials *p, const int16_t *ends, bool mirrored)
{
    for (int32_t v = 0; v < p->lists->n; v++) {
        int32_t task = p->task_of[v];
        solver->found[v] = p->lists->least[v];
        if (task >= 0)
            solver->found[v] = mirrored ? p->end - ends[task] : ends[task] - p->length[v];
    }
    for (bool more = true; more;) {
        more = false;
        for (int32_t v = 0; v < p->lists->n; v++)
            for (int32_t a = solver->lags.first[2 * v]; a < solver->lags.first[2 * v + 1]; a++) {
                bk_arc arc = solver->lags.arcs[a];
                if (arc.to / 2 == 0 || solver->found[arc.to / 2] >= solver->found[v] + arc.weight)
                    continue;
                solver->found[arc.to / 2] = solver->found[v] + arc.weight;
                more = true;
            }
    }
}

/* The binary logarithm, in thirds. */
static int32_t logarithm(int64_t number)
{
    int32_t thirds = 0;
    int64_t cube = number * number * number;
    while (cube >> (thirds + 1) > 0)
        thirds++;
    return thirds;
}

/* Layers first grow and then shrink, most of all in the middle: as an exponential of a parabola,
 * about. Does what this one has show that all together take too long? For each state
 * tasks and deadlines are gone through. */
static bool is_hopeless(const struct bk_partials *p, const bk_direction *d)
{
    int32_t n = p->count, bent = 4 * d->depth * (n - d->depth);
    return d->now.count >= TELLING &&
           logarithm(d->now.count) * n * n > (LARGEST - logarithm((int64_t)n * n * n)) * bent;
}

static void close_direction(bk_solver *solver, bk_direction *d)
{
    release_direction(solver, d);
    d->closed = true;
}

/* The one with fewer states. */
static int32_t choose_direction(const struct bk_partials *p)
{
    const bk_direction *d = p->direction;
    return d[0].closed || (!d[1].closed && d[1].now.count < d[0].now.count);
}

enum bk_outcome bk_partials_search(bk_solver *solver, struct bk_partials *p, int32_t target,
                                   int64_t states)
{
    bk_backtrack(solver, 0);
    assert(bk_ub(solver, 2 * p->lists->sink) <= target);
    if (p->target != target)
        aim(solver, p, target);
    for (int64_t spent = 0; !p->given_up;) {
        bk_direction *d = &p->direction[p->turn];
        if (d->at < d->now.count) {
            if (spent >= states || ((d->at & 63) == 0 && bk_stopped(solver)))
                return BK_LIMIT;
            d->looks = 0;
            extend(solver, p, d, d->at++);
            solver->effort.work += p->count + d->looks;
            spent += 1 + d->looks / LOOKS;
            p->spent += 1 + d->looks / LOOKS;
            if (d->next.count < MOST_LAYER && p->spent < MOST_STATES)
                continue;
            close_direction(solver, d);
        } else {
            next_layer(solver, p, d);
            if (d->now.count == 0)
                return BK_REFUTED;
            if (d->depth == p->count) {
                take(solver, p, shortest_of(p, d), p->turn == 1);
                p->best = p->turn == 0;
                /* What was there before a better one was asked for may end too late. */
                return solver->found[p->lists->sink] > target ? BK_REFUTED : BK_FOUND;
            }
            if (is_hopeless(p, d))
                close_direction(solver, d);
        }
        p->given_up = p->direction[0].closed && p->direction[1].closed;
        p->turn = choose_direction(p);
    }
    return BK_LIMIT;
}
