/* What each stage has come to: by what was said of it, and, of what nothing was said, as
 * the cook was told it would go. */
#include "day/parts.h"

#include <string.h>

size_t bk_day_dish(const bk_plan *plan, const char *dish)
{
    for (size_t d = 0; dish && d < plan->dish_count; d++)
        if (strcmp(plan->dishes[d].name, dish) == 0)
            return d;
    return SIZE_MAX;
}

size_t bk_day_stage(const bk_plan *plan, const char *dish, const char *stage)
{
    size_t d = bk_day_dish(plan, dish);
    if (d == SIZE_MAX || !stage)
        return SIZE_MAX;
    const bk_dish *of = &plan->dishes[d];
    for (size_t i = of->first_stage; i < of->first_stage + of->stage_count; i++)
        if (strcmp(plan->stages[i].id, stage) == 0)
            return i;
    return SIZE_MAX;
}

const bk_day_entry **bk_day_effective(bk_arena *arena, const bk_journal *journal, bk_instant now,
                                      size_t *count)
{
    const bk_day_entry **entries = BK_NEW(arena, const bk_day_entry *, journal->count);
    *count = 0;
    for (size_t i = 0; i < journal->count; i++) {
        const bk_day_entry *entry = &journal->entries[i];
        if (entry->what != BK_DAY_UNDO) {
            if (entry->at <= now || entry->what == BK_DAY_PLANNED)
                entries[(*count)++] = entry;
            continue;
        }
        size_t last = *count;
        while (last > 0 && entries[last - 1]->what == BK_DAY_PLANNED)
            last--;
        if (last > 0) /* and what was planned by it */
            *count = last - 1;
    }
    return entries;
}

const char *bk_day_serves(bk_arena *arena, const bk_journal *journal, bk_instant now)
{
    size_t count;
    const bk_day_entry **entries = bk_day_effective(arena, journal, now, &count);
    bk_text lines = bk_text_new(arena);
    for (size_t i = 0; i < count; i++)
        if (entries[i]->what == BK_DAY_LATER && entries[i]->serve)
            bk_text_addf(&lines, "%s%s%s%s", lines.length > 0 ? "\n" : "",
                         entries[i]->dish ? entries[i]->dish : "", entries[i]->dish ? "=" : "",
                         entries[i]->serve);
    return lines.length > 0 ? lines.data : NULL;
}

/* ------------------------------------------------------------------ what was told */

bool bk_day_tells(const bk_day_entry *const *entries, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (entries[i]->what == BK_DAY_PLANNED)
            return true;
    return false;
}

/* "oven#2" -> 2 */
static int number_of(const char *oven)
{
    const char *hash = oven ? strrchr(oven, '#') : NULL;
    int number = 0;
    for (const char *at = hash ? hash + 1 : ""; *at >= '0' && *at <= '9' && number < 1000; at++)
        number = number * 10 + (*at - '0');
    return number;
}

bk_told bk_day_told(bk_arena *arena, const bk_plan *plan, const bk_day_entry *const *entries,
                    size_t count, const bk_timeline *first)
{
    bk_told told = {BK_NEW(arena, bool, plan->stage_count),
                    BK_NEW(arena, bk_instant, plan->stage_count),
                    BK_NEW(arena, int, plan->stage_count)};
    for (size_t i = 0; first && i < first->stage_count; i++) {
        const bk_placed *placed = &first->stages[i];
        told.has[placed->stage] = true;
        told.start[placed->stage] = placed->start;
        told.oven_number[placed->stage] = placed->oven_number;
    }
    for (size_t i = 0; i < count; i++) {
        if (entries[i]->what != BK_DAY_PLANNED)
            continue;
        for (size_t k = 0; k < entries[i]->start_count; k++) {
            const bk_planned_start *start = &entries[i]->starts[k];
            size_t stage = bk_day_stage(plan, start->dish, start->stage);
            if (stage == SIZE_MAX)
                continue;
            told.has[stage] = true;
            told.start[stage] = start->start;
            told.oven_number[stage] = number_of(start->oven);
        }
    }
    return told;
}

/* ------------------------------------------------------------------ what was said */

typedef struct words {
    bool begun, done, skipped, longer;
    bk_instant begun_at, done_at, skipped_at;
} words;

typedef struct deriving {
    const bk_plan *plan;
    const bk_day_entry *const *entries;
    size_t count;
    const bk_told *told;
    bk_state *state;
    words *said;         /* by stage */
    bk_instant *done_by; /* by stage: what follows it has begun then; INT64_MAX: nothing has */
    size_t *order;       /* the stages, each after those it is linked to */
} deriving;

static void hear(deriving *d, const bk_day_entry *entry)
{
    size_t dish = bk_day_dish(d->plan, entry->dish);
    size_t stage = bk_day_stage(d->plan, entry->dish, entry->stage);
    if (entry->what == BK_DAY_OUT && dish != SIZE_MAX) {
        d->state->dish_out[dish] = true;
        d->state->out_at[dish] = entry->at;
    }
    if (entry->what == BK_DAY_SERVED && dish != SIZE_MAX) {
        d->state->dish_served[dish] = true;
        d->state->served_at[dish] = entry->at;
    }
    if (stage == SIZE_MAX)
        return;
    words *said = &d->said[stage];
    if (entry->what == BK_DAY_BEGUN) {
        *said = (words){.begun = true, .begun_at = entry->at};
    } else if (entry->what == BK_DAY_DONE) {
        said->done = true;
        said->skipped = false;
        said->done_at = entry->at;
    } else if (entry->what == BK_DAY_SKIPPED) {
        *said = (words){.skipped = true, .skipped_at = entry->at};
    } else if (entry->what == BK_DAY_LONGER) {
        said->longer = true;
        said->done = said->skipped = false; /* what was done, and is not after all */
    }
}

/* Each after what it is linked to; the links have no circle. */
static size_t *in_order(bk_arena *arena, const bk_plan *plan)
{
    size_t n = plan->stage_count, head = 0, tail = 0;
    size_t *order = BK_NEW(arena, size_t, n), *waiting = BK_NEW(arena, size_t, n);
    bk_followers followers = bk_followers_of(arena, plan);
    for (size_t i = 0; i < n; i++) {
        waiting[i] = plan->stages[i].link_count;
        if (waiting[i] == 0)
            order[tail++] = i;
    }
    while (head < tail) {
        size_t i = order[head++];
        for (size_t k = followers.first[i]; k < followers.first[i + 1]; k++)
            if (--waiting[followers.stage[k]] == 0)
                order[tail++] = followers.stage[k];
    }
    return order;
}

/* When a stage certainly had begun, by what was said of it or of what follows it. */
static bool certainly_begun(const deriving *d, size_t i, bk_instant *at)
{
    const words *said = &d->said[i];
    *at = INT64_MAX;
    if (said->skipped)
        return false;
    if (said->begun)
        *at = said->begun_at;
    else if (said->done)
        *at = said->done_at - d->plan->stages[i].planned;
    if (*at == INT64_MAX && d->done_by[i] != INT64_MAX)
        *at = d->done_by[i] - d->plan->stages[i].planned;
    if (said->done && !said->begun && d->told->has[i] && d->told->start[i] <= said->done_at)
        *at = d->told->start[i];
    return *at != INT64_MAX;
}

/* What follows has begun: then what it follows was over, whatever the hour. */
static void conclude(deriving *d)
{
    const bk_plan *plan = d->plan;
    for (size_t i = 0; i < plan->stage_count; i++) {
        size_t dish = plan->stages[i].dish;
        d->done_by[i] = d->state->dish_served[dish] ? d->state->served_at[dish] : INT64_MAX;
    }
    for (size_t k = plan->stage_count; k-- > 0;) {
        size_t i = d->order[k];
        bk_instant begun;
        if (!certainly_begun(d, i, &begun))
            continue;
        for (size_t l = 0; l < plan->stages[i].link_count; l++) {
            const bk_link *link = &plan->stages[i].links[l];
            bk_instant by = begun;
            if (link->from_start)
                by += plan->stages[link->stage].planned;
            if (by < d->done_by[link->stage])
                d->done_by[link->stage] = by;
        }
    }
}

/* ---------------------------------------------------------------- what became of it */

static bk_instant least(bk_instant a, bk_instant b)
{
    return a < b ? a : b;
}

static bk_instant most(bk_instant a, bk_instant b)
{
    return a > b ? a : b;
}

/* Until when a stage that began at `start` was to last: each "longer" counts from the end
 * that was thought of, or from when it was said if that was later. */
static bk_instant end_thought_of(const deriving *d, size_t i, bk_instant start)
{
    const bk_plan *plan = d->plan;
    bk_instant end = start + plan->stages[i].planned;
    for (size_t k = 0; k < d->count; k++) {
        const bk_day_entry *entry = d->entries[k];
        if (entry->what == BK_DAY_LONGER && bk_day_stage(plan, entry->dish, entry->stage) == i &&
            entry->at >= start)
            end = most(end, entry->at) + entry->minutes;
    }
    return end;
}

/* By when all that it is linked after had come so far that it could begin; false when
 * something has not. */
static bool could_begin(const deriving *d, size_t i, bk_instant *from)
{
    const bk_stage *stage = &d->plan->stages[i];
    *from = INT64_MIN;
    for (size_t k = 0; k < stage->link_count; k++) {
        const bk_link *link = &stage->links[k];
        const bk_stage_state *other = &d->state->stages[link->stage];
        if (other->progress == BK_NOT_BEGUN || (other->progress == BK_RUNNING && !link->from_start))
            return false;
        *from = most(*from, (link->from_start ? other->start : other->end) + link->wait);
    }
    return true;
}

static void set(bk_stage_state *at, enum bk_progress progress, bk_instant start, bk_instant end)
{
    at->progress = progress;
    at->start = least(start, end);
    at->end = end;
}

static void derive(deriving *d, size_t i)
{
    const bk_stage *stage = &d->plan->stages[i];
    const words *said = &d->said[i];
    bk_stage_state *at = &d->state->stages[i];
    bk_instant now = d->state->now, told = d->told->has[i] ? d->told->start[i] : INT64_MAX;
    bk_instant from, by = d->done_by[i];
    bool ready = could_begin(d, i, &from);
    if (said->skipped) {
        set(at, BK_LEFT_OUT, said->skipped_at, said->skipped_at);
        return;
    }
    if (said->done) {
        bk_instant start = said->begun             ? said->begun_at
                           : told <= said->done_at ? told
                                                   : said->done_at - stage->planned;
        if (!said->begun && ready)
            start = most(start, from);
        set(at, BK_DONE, start, said->done_at);
        return;
    }
    bool spoken_of = said->begun || (said->longer && told < now);
    if (said->begun && by < said->begun_at)
        by = INT64_MAX; /* what follows it began before: that it began is the word that counts */
    if (spoken_of && by == INT64_MAX) {
        bk_instant start = said->begun ? said->begun_at : told;
        bk_instant end = end_thought_of(d, i, start);
        at->overdue = end <= now;
        at->due = end;
        set(at, BK_RUNNING, start, at->overdue ? now : end);
        return;
    }
    at->assumed = true;
    if (by != INT64_MAX) { /* it must have been over by then */
        bk_instant start = said->begun ? said->begun_at : least(told, by - stage->planned);
        bk_instant end = least(start + stage->planned, by);
        end = spoken_of ? by : end;
        /* of one that had only to have begun it may be that it goes on */
        set(at, end <= now ? BK_DONE : BK_RUNNING, start, end);
        return;
    }
    bool out = d->state->dish_out[stage->dish];
    bk_instant out_at = d->state->out_at[stage->dish];
    if (told < now && ready && most(told, from) < now && (!out || most(told, from) < out_at)) {
        bk_instant start = most(told, from); /* as planned, or as soon as what went before let it */
        bk_instant end = start + stage->planned;
        set(at, end <= now ? BK_DONE : BK_RUNNING, start, end);
        return;
    }
    at->assumed = false;
    if (out)
        set(at, BK_LEFT_OUT, out_at, out_at);
}

/* What runs of a dropped dish ends there and then. */
static void drop(deriving *d, size_t i)
{
    size_t dish = d->plan->stages[i].dish;
    bk_stage_state *at = &d->state->stages[i];
    bk_instant out_at = d->state->out_at[dish];
    if (!d->state->dish_out[dish] || at->progress != BK_RUNNING || at->start > out_at)
        return;
    set(at, BK_DONE, at->start, least(at->end, out_at));
    at->overdue = false;
}

bk_state bk_day_state(bk_arena *arena, const bk_plan *plan, const bk_day_entry *const *entries,
                      size_t count, const bk_told *told, bk_instant now)
{
    size_t n = plan->stage_count;
    bk_state state = {.plan = plan,
                      .now = now,
                      .stages = BK_NEW(arena, bk_stage_state, n),
                      .dish_out = BK_NEW(arena, bool, plan->dish_count),
                      .dish_served = BK_NEW(arena, bool, plan->dish_count),
                      .out_at = BK_NEW(arena, bk_instant, plan->dish_count),
                      .served_at = BK_NEW(arena, bk_instant, plan->dish_count)};
    deriving d = {.plan = plan,
                  .entries = entries,
                  .count = count,
                  .told = told,
                  .state = &state,
                  .said = BK_NEW(arena, words, n),
                  .done_by = BK_NEW(arena, bk_instant, n),
                  .order = in_order(arena, plan)};
    for (size_t i = 0; i < count; i++)
        hear(&d, entries[i]);
    conclude(&d);
    for (size_t k = 0; k < n; k++) {
        derive(&d, d.order[k]);
        drop(&d, d.order[k]);
    }
    for (size_t i = 0; i < n; i++)
        state.stages[i].oven_number = !plan->stages[i].in_oven   ? 0
                                      : told->oven_number[i] > 0 ? told->oven_number[i]
                                                                 : 1;
    return state;
}
