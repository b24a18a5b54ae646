/* Hours given up: of sleep, of being away or busy; and a stage that nobody can begin. */
#include "explain/change.h"

#include <string.h>

enum { MOST_OF_ONE_TIME = 4, ITSELF_LIKE = 30, MUCH_SLEEP = 180 };

/* ----------------------------------------------------------------- windows */

/* Hours of one kind from `from` to `to`, in one window or in several that overlap. */
typedef struct window_change {
    size_t cook; /* whose; SIZE_MAX: the kitchen's */
    enum bk_window_kind kind;
    bk_instant from, to;
    bool from_the_end; /* give up their last minutes, not their first */
} window_change;

/* What is left of a window that lies in those hours. */
static bk_window cut(const bk_window *window, const window_change *change, int64_t minutes)
{
    bk_window left = *window;
    if (change->from_the_end && left.to > change->to - minutes)
        left.to = change->to - minutes;
    if (!change->from_the_end && left.from < change->from + minutes)
        left.from = change->from + minutes;
    return left;
}

static bool is_in(const bk_window *window, const window_change *change)
{
    return window->kind == change->kind && !window->derived && window->from >= change->from &&
           window->to <= change->to;
}

static bk_plan *give_up(bk_arena *arena, const bk_plan *old, void *context, int64_t minutes)
{
    const window_change *change = context;
    bk_plan *plan = bk_plan_copy(arena, old);
    bk_kitchen *kitchen = &plan->kitchen;
    bk_window **windows = &kitchen->windows;
    size_t *count = &kitchen->window_count, left = 0;
    if (change->cook != SIZE_MAX) {
        kitchen->people =
            bk_copy_of(arena, kitchen->people, kitchen->people_count * sizeof *kitchen->people);
        windows = &kitchen->people[change->cook].windows;
        count = &kitchen->people[change->cook].window_count;
    }
    *windows = bk_copy_of(arena, *windows, *count * sizeof **windows);
    for (size_t w = 0; w < *count; w++) {
        bk_window window = (*windows)[w];
        if (is_in(&window, change))
            window = cut(&window, change, minutes);
        if (window.from < window.to) /* an empty window would still part two */
            (*windows)[left++] = window;
    }
    *count = left;
    if (change->cook != SIZE_MAX)
        bk_kitchen_gather(arena, kitchen);
    return plan;
}

/* The windows of a cook, or with SIZE_MAX of the kitchen. */
static const bk_window *windows_of(const bk_plan *plan, size_t cook, size_t *count)
{
    const bk_kitchen *kitchen = &plan->kitchen;
    *count = cook == SIZE_MAX ? kitchen->window_count : kitchen->people[cook].window_count;
    return cook == SIZE_MAX ? kitchen->windows : kitchen->people[cook].windows;
}

/* The date of the night that an hour of sleep is in: from its noon to the next. */
static const char *night_of(bk_trying *s, bk_instant from)
{
    enum { NOON = 12 };
    bk_civil at = bk_civil_at(s->plan->zone, from);
    if (at.hour < NOON)
        at = bk_civil_at(s->plan->zone, from - BK_DAY / 2);
    return bk_format(s->arena, "%04d-%02d-%02d", at.year, at.month, at.day);
}

/* What is left of one night, in place of the hours that come every night. */
static void write_night(bk_trying *s, bk_edit_set *edits, const bk_window *window, bk_instant from,
                        bk_instant to, const bk_window *all, size_t count)
{
    bk_arena *arena = s->arena;
    const char *night = night_of(s, window->from);
    const char *time = bk_format(arena, "%s-%s", bk_clock(arena, s->plan->zone, from),
                                 bk_clock(arena, s->plan->zone, to));
    const bk_json *written = bk_edit_find(edits, window->place);
    if (written && written->type == BK_JSON_OBJECT && bk_json_get(written, "date")) {
        bk_edit_add(edits, window->place, "time", bk_value_text(arena, time));
        return;
    }
    for (size_t w = 0; w < count; w++) /* an entry with a date stands for all of its night */
        if (&all[w] != window && all[w].kind == BK_ASLEEP && !all[w].derived &&
            strcmp(night_of(s, all[w].from), night) == 0)
            bk_edit_fail(edits);
    bk_edit_add_like(
        edits, window->place,
        bk_value_object(arena, (const char *const[]){"date", night, "time", time, NULL}));
}

/* What is left of a window that stands there once, or of a night; what comes every week, or out of
 * a calendar, has no place for one day. */
static void write_left(bk_trying *s, bk_edit_set *edits, const bk_window *window,
                       const bk_window *left, const bk_window *all, size_t count)
{
    const bk_json *written = bk_edit_find(edits, window->place);
    bool once = written && written->type == BK_JSON_OBJECT && bk_json_get(written, "from");
    bool later = left->from > window->from;
    if (once && left->from >= left->to)
        bk_edit_remove(edits, window->place);
    else if (once)
        bk_edit_add(edits, window->place, later ? "from" : "to",
                    bk_value_text(s->arena, bk_instant_written(s->arena, s->plan->zone,
                                                               later ? left->from : left->to)));
    else if (window->kind == BK_ASLEEP && left->from < left->to)
        write_night(s, edits, window, left->from, left->to, all, count);
    else
        bk_edit_fail(edits);
}

/* The last in the file first: what is taken out moves what stands behind it. */
static void write_window(bk_trying *s, bk_attempt *kept, const window_change *change)
{
    if (!kept)
        return;
    bk_edit_set edits = bk_edits_of(s);
    size_t count, next;
    const bk_window *all = windows_of(s->plan, change->cook, &count);
    bool *done = BK_NEW(s->arena, bool, count);
    do {
        next = SIZE_MAX;
        for (size_t w = 0; w < count; w++)
            if (!done[w] && is_in(&all[w], change) &&
                (next == SIZE_MAX || all[w].place.offset > all[next].place.offset))
                next = w;
        if (next == SIZE_MAX)
            break;
        done[next] = true;
        bk_window left = cut(&all[next], change, kept->amount);
        if (left.from != all[next].from || left.to != all[next].to)
            write_left(s, &edits, &all[next], &left, all, count);
    } while (true);
    bk_written_as(kept, &edits);
}

/* The hours of a window's kind that it is part of, with all that overlap it. */
static window_change whole_of(const bk_plan *plan, size_t cook, const bk_window *window)
{
    size_t count;
    const bk_window *all = windows_of(plan, cook, &count);
    window_change hours = {cook, window->kind, window->from, window->to, false};
    for (size_t w = 0; w < count; w++) {
        const bk_window *other = &all[w];
        if (other->kind != hours.kind || other->derived || other->from >= hours.to ||
            other->to <= hours.from || (other->from >= hours.from && other->to <= hours.to))
            continue;
        hours.from = other->from < hours.from ? other->from : hours.from;
        hours.to = other->to > hours.to ? other->to : hours.to;
        w = SIZE_MAX; /* one before may overlap now */
    }
    return hours;
}

static bool is_found(const bk_trying *s, const char *message)
{
    for (size_t i = 0; i < s->count; i++)
        if (strcmp(s->found[i].remedy.message, message) == 0)
            return true;
    return false;
}

/* The fewest minutes of a window, from either end, or of all the hours that it overlaps with. */
void bk_try_window(bk_trying *s, size_t cook, size_t number)
{
    static const char *const kinds[] = {"sleep", "being away", "being busy"};
    size_t count;
    const bk_window *window = &windows_of(s->plan, cook, &count)[number];
    int64_t best = 0;
    window_change *change = BK_NEW(s->arena, window_change, 1);
    if (window->derived)
        return; /* each cook's own hours are tried */
    window_change hours = {cook, window->kind, window->from, window->to, false};
    window_change whole = whole_of(s->plan, cook, window);
    bool alone = whole.from == hours.from && whole.to == hours.to;
    for (int i = 0; i < (alone ? 2 : 4); i++) {
        window_change tried = i < 2 ? hours : whole;
        tried.from_the_end = i % 2 != 0;
        int64_t minutes = bk_least_change(s, tried.to - tried.from, give_up, &tried);
        if (minutes > 0 && (best == 0 || minutes < best)) {
            best = minutes;
            *change = tried;
        }
    }
    if (best == 0)
        return;
    bk_instant from = change->from_the_end ? change->to - best : change->from;
    const char *words = bk_format(
        s->arena, "%s%s%s%s of %s on %s: %s to %s",
        cook == SIZE_MAX ? "give up " : s->plan->kitchen.people[cook].name,
        cook == SIZE_MAX ? "" : ": give up ", best == change->to - change->from ? "all " : "",
        bk_minutes(s->arena, best),
        window->label ? bk_format(s->arena, "%s (%s)", kinds[window->kind], window->label)
                      : kinds[window->kind],
        bk_date_long(s->arena, s->plan->zone, from), bk_clock(s->arena, s->plan->zone, from),
        bk_clock(s->arena, s->plan->zone, from + best));
    if (is_found(s, words))
        return; /* of another that overlaps it */
    bk_attempt *kept = bk_keep_change(s, give_up, change, best, "window", best, words);
    write_window(s, kept, change);
    if (kept) {
        kept->target = 3 * (cook + 1) + window->kind;
        kept->from = from;
        kept->to = from + best;
        kept->far = window->kind == BK_ASLEEP && best > MUCH_SLEEP;
    }
}

/* ------------------------------------------------------------ who begins it */

static bk_plan *begin_itself(bk_arena *arena, const bk_plan *old, void *context, int64_t stage)
{
    (void)context;
    bk_plan *plan = bk_plan_copy(arena, old);
    plan->stages = bk_copy_of(arena, plan->stages, plan->stage_count * sizeof *plan->stages);
    plan->stages[stage].begins_itself = true;
    return plan;
}

/* A stage that nobody can begin: an hour given up of what keeps them, or it goes on by
 * itself where it stands and nobody said so. */
void bk_try_begins(bk_trying *s, const bk_fact *fact, bool *window_seen)
{
    size_t tried = 0;
    for (size_t w = 0; w < s->plan->kitchen.window_count && tried < MOST_OF_ONE_TIME; w++) {
        const bk_window *window = &s->plan->kitchen.windows[w];
        if (window->from < fact->from || window->to > fact->to || window_seen[w])
            continue;
        window_seen[w] = true;
        tried++;
        bk_try_window(s, SIZE_MAX, w);
    }
    for (size_t c = 0; c < s->plan->kitchen.people_count; c++)
        for (size_t w = 0; w < s->plan->kitchen.people[c].window_count; w++) {
            const bk_window *window = &s->plan->kitchen.people[c].windows[w];
            if (window->from < fact->to && window->to > fact->from && tried++ < MOST_OF_ONE_TIME)
                bk_try_window(s, c, w);
        }
    if (fact->stage == SIZE_MAX)
        return;
    const bk_stage *stage = &s->plan->stages[fact->stage];
    if (stage->in_oven || stage->need_count > 0 || stage->hold_count > 0 || stage->link_count == 0)
        return;
    if (!bk_fits(s, begin_itself(s->arena, s->plan, NULL, (int64_t)fact->stage)))
        return;
    bk_edit_set edits = bk_edits_of(s);
    bk_edit_add_beside(&edits, stage->place, "begins", bk_value_text(s->arena, "itself"));
    bk_written_as(
        bk_keep_change(s, begin_itself, NULL, (int64_t)fact->stage, "begins", ITSELF_LIKE,
                       bk_format(s->arena,
                                 "if %s goes on by itself where it stands, say so: \"begins\": "
                                 "\"itself\"",
                                 bk_stage_name(s->arena, s->plan, fact->stage))),
        &edits);
}

/* Hours of one cook's. */
void bk_try_cook(bk_trying *s, const bk_fact *fact)
{
    const bk_cook *cook = &s->plan->kitchen.people[fact->cook];
    size_t tried = 0;
    for (size_t w = 0; w < cook->window_count && tried < MOST_OF_ONE_TIME; w++)
        if (cook->windows[w].from >= fact->from && cook->windows[w].to <= fact->to) {
            tried++;
            bk_try_window(s, fact->cook, w);
        }
}
