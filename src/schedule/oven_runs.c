/* Oven runs: when each oven is turned on, over to another temperature, and off. */
#include "schedule/place.h"

typedef struct sweep {
    bk_arena *arena;
    bk_timeline *timeline;
    const bk_equipment *oven;
    size_t equipment;
    int number;
    size_t room;
    /* the run that is being built */
    bool open, from_cold;
    bk_instant on, ready, end; /* end: last end of a stage in it */
    bk_instant emptied;        /* not from cold: not on before this */
    double low, high;          /* temperatures every stage in it accepts */
    size_t first; /* index in timeline.stages of its first stage: those of this oven from
                     there on that start at `ready` or later are of the run */
} sweep;

static const bk_need *need_of(const sweep *s, size_t index)
{
    const bk_placed *placed = &s->timeline->stages[index];
    return &s->timeline->plan->stages[placed->stage].oven;
}

/* A stage of no length takes no part: no oven has to be on for it. */
static bool in_this_oven(const sweep *s, size_t index)
{
    const bk_placed *placed = &s->timeline->stages[index];
    const bk_stage *stage = &s->timeline->plan->stages[placed->stage];
    return bk_is_heated(stage) && placed->end > placed->start &&
           stage->oven.equipment == s->equipment && placed->oven_number == s->number;
}

/* What is in it meanwhile has come out by then. */
static bool stands_switched_off(const sweep *s, size_t index)
{
    const bk_placed *placed = &s->timeline->stages[index];
    const bk_stage *stage = &s->timeline->plan->stages[placed->stage];
    return stage->oven_off && stage->oven.equipment == s->equipment &&
           placed->oven_number == s->number;
}

static bool of_run(const sweep *s, size_t index)
{
    return in_this_oven(s, index) && s->timeline->stages[index].start >= s->ready;
}

/* What a cook would set: what the plan wrote for the first stage that all others go
 * with, else the roundest number in the middle of what all accept. */
static double setting(const sweep *s, size_t past)
{
    bk_dial dial = bk_dial_of(s->oven);
    for (size_t i = s->first; i < past; i++) {
        if (!of_run(s, i) || !need_of(s, i)->at.exact)
            continue;
        double wanted = bk_dial_wanted(dial, &need_of(s, i)->at);
        if (wanted >= s->low - 1e-6 && wanted <= s->high + 1e-6)
            return wanted;
    }
    return bk_dial_nearest(dial, s->low, s->high, (s->low + s->high) / 2);
}

static void close_run(sweep *s, size_t past, bk_instant off)
{
    if (!s->open)
        return;
    double temperature = setting(s, past);
    s->on = s->ready - bk_oven_preheat(s->oven, temperature);
    if (!s->from_cold) {
        bk_oven_run *before = &s->timeline->ovens[s->timeline->oven_count - 1];
        s->on = s->ready - bk_oven_change(s->oven, before->temperature_c, temperature);
        if (s->on < s->emptied)
            s->on = s->emptied;
        before->off = s->on;
    }
    for (size_t i = s->first; i < past; i++)
        if (of_run(s, i))
            s->timeline->stages[i].temperature_c = temperature;
    *BK_PUSH(s->arena, s->timeline->ovens, s->timeline->oven_count, s->room) =
        (bk_oven_run){.equipment = s->equipment,
                      .number = s->number,
                      .on = s->on,
                      .ready = s->ready,
                      .off = off,
                      .temperature_c = temperature,
                      .from_cold = s->from_cold};
    s->open = false;
}

static double least(double a, double b)
{
    return a < b ? a : b;
}

static double greatest(double a, double b)
{
    return a > b ? a : b;
}

/* A new run for the stage at `index`, at what it and those still inside accept.
 * Those of them that came in after `emptied` are of the new run too. */
static void open_run(sweep *s, size_t index, bk_instant emptied, bool from_cold)
{
    const bk_placed *placed = &s->timeline->stages[index];
    s->open = true;
    s->from_cold = from_cold;
    s->ready = placed->start;
    s->end = placed->end;
    s->low = need_of(s, index)->at.low;
    s->high = need_of(s, index)->at.high;
    s->first = index;
    for (size_t i = index; i-- > 0;) {
        const bk_placed *other = &s->timeline->stages[i];
        if (!in_this_oven(s, i) || other->end <= placed->start)
            continue;
        s->low = greatest(s->low, need_of(s, i)->at.low);
        s->high = least(s->high, need_of(s, i)->at.high);
        if (other->end > s->end)
            s->end = other->end;
        if (other->start >= emptied) {
            s->ready = other->start;
            s->first = i;
        }
    }
    s->emptied = emptied;
}

/* Off, it would not have cooled, or could not be heated anew, by then. */
static bool too_soon_from_cold(const sweep *s, const bk_need *need, bk_instant gap)
{
    if (gap <= bk_oven_preheat(s->oven, need->at.high))
        return true;
    return need->at.high < s->low && s->oven->cools > 0 &&
           gap <= bk_oven_change(s->oven, s->high, need->at.low);
}

static void add_stage(sweep *s, size_t index)
{
    const bk_placed *placed = &s->timeline->stages[index];
    const bk_need *need = need_of(s, index);
    /* Left on between uses for `idle`, and where there is no time to heat it anew. */
    bk_instant gap = s->open ? placed->start - s->end : 0;
    bool still_on = s->open && (gap <= s->oven->idle || too_soon_from_cold(s, need, gap));
    if (!still_on) {
        close_run(s, index, s->end);
        open_run(s, index, placed->start, true);
        return;
    }
    double low = greatest(s->low, need->at.low), high = least(s->high, need->at.high);
    if (low <= high + 1e-6) {
        s->low = low;
        s->high = high;
        if (placed->end > s->end)
            s->end = placed->end;
        return;
    }
    /* Turned over when those that cannot stay have left, those from runs before this
     * one too. A stage that stays in through the change accepts both. */
    bk_instant emptied = s->ready;
    for (size_t i = 0; i < index; i++) {
        const bk_placed *other = &s->timeline->stages[i];
        if (in_this_oven(s, i) && other->end <= placed->start && other->end > emptied)
            emptied = other->end;
    }
    sweep old = *s;
    open_run(s, index, emptied, false);
    close_run(&old, index, emptied); /* until the next is known to be on */
    s->room = old.room;
    for (size_t i = s->first; i < index; i++)
        if (of_run(s, i))
            s->timeline->stages[i].temperature_c = 0; /* given when this run closes */
}

/* What has begun need not have kept to what an oven can do: one run after another all the
 * same, the earlier one cut short. */
static void part(bk_oven_run *before, bk_oven_run *after)
{
    if (after->on >= before->off)
        return;
    if (before->off <= after->ready) {
        after->on = before->off;
        return;
    }
    before->off = after->on;
    if (before->ready > before->off)
        before->ready = before->off;
    if (before->on > before->ready)
        before->on = before->ready;
}

void bk_timeline_ovens(bk_arena *arena, bk_timeline *timeline)
{
    const bk_kitchen *kitchen = &timeline->plan->kitchen;
    size_t room = 0;
    for (size_t i = 0; i < timeline->stage_count; i++) {
        bk_placed *placed = &timeline->stages[i];
        placed->temperature_c = timeline->plan->stages[placed->stage].oven.at.nominal;
    }
    for (size_t e = 0; e < kitchen->equipment_count; e++) {
        if (kitchen->equipment[e].kind != BK_OVEN)
            continue;
        for (int number = 1; number <= kitchen->equipment[e].count; number++) {
            sweep s = {.arena = arena,
                       .timeline = timeline,
                       .oven = &kitchen->equipment[e],
                       .equipment = e,
                       .number = number,
                       .room = room};
            size_t first = timeline->oven_count;
            for (size_t i = 0; i < timeline->stage_count; i++)
                if (in_this_oven(&s, i))
                    add_stage(&s, i);
                else if (stands_switched_off(&s, i))
                    close_run(&s, i, s.end);
            close_run(&s, timeline->stage_count, s.end);
            for (size_t r = first + 1; timeline->plan->under_way && r < timeline->oven_count; r++)
                part(&timeline->ovens[r - 1], &timeline->ovens[r]);
            room = s.room;
        }
    }
}
