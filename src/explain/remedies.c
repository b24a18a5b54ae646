/* What would make an impossible plan possible: single changes, each found by the
 * solver, the least of its kind, and verified as a whole timeline. */
#include "explain/remedies.h"
#include "explain/edits.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_REMEDIES = 6,
    ENOUGH = 3,   /* then those that no cook would take are not said */
    LITTLE = 180, /* minutes, or their like */
    MOST_CANDIDATES = 60,
    LONGEST_DELAY = BK_DAY,
    MOST_EXTRA = 4 /* cooks, ovens, places or tools */
};

typedef struct search {
    bk_arena *arena;
    bk_timeline *timeline;
    const bk_plan *plan;
    int64_t effort; /* conflicts for each attempt */
    bk_onlooker *onlooker;
    bk_reschedule *reschedule;
    bk_attempt *found;
    size_t count, room;
    size_t tried;
    bool small;           /* one that was found asks for little */
    const bk_fact *facts; /* of the conflict that is looked at */
    size_t fact_count;
    const bk_fact *aside; /* of other conflicts: taken as met; a change that is found is then not
                             scheduled */
    size_t aside_count;
    bk_file_trees trees;
} search;

static bk_edit_set edits_of(search *s)
{
    return (bk_edit_set){.arena = s->arena, .trees = &s->trees};
}

/* How a change that was kept, or NULL, is made in the plan's files. */
static void written_as(bk_attempt *kept, const bk_edit_set *edits)
{
    if (!kept)
        return;
    kept->remedy.edits = edits->items;
    kept->remedy.edit_count = edits->count;
}

/* The same of one value. */
static void replaces(search *s, bk_attempt *kept, bk_place place, const char *text)
{
    bk_edit_set edits = edits_of(s);
    if (kept)
        bk_edit_replace(&edits, place, bk_value_text(s->arena, text));
    written_as(kept, &edits);
}

/* What a thing that is not time asks, in minutes, for the order alone: a cook finds
 * an hour sooner than another fridge place, that sooner than an oven. */
enum { TOOL_LIKE = 90, PLACE_LIKE = 120, COOK_LIKE = 240, OVEN_LIKE = 720, DISH_LIKE = 2880 };

static bk_plan *copy_plan(bk_arena *arena, const bk_plan *old)
{
    bk_plan *plan = BK_NEW(arena, bk_plan, 1);
    *plan = *old;
    return plan;
}

static void *copy_of(bk_arena *arena, const void *items, size_t bytes)
{
    void *copy = bk_alloc(arena, bytes, 1);
    if (bytes > 0)
        memcpy(copy, items, bytes);
    return copy;
}

static bool fits(search *s, const bk_plan *plan)
{
    bk_mark mark = bk_arena_mark(s->arena);
    bool loose = s->aside_count > 0;
    bk_compiled *compiled =
        bk_compile(s->arena, plan, &(bk_compile_options){.no_objective = true, .droppable = loose});
    bool *dropped = loose ? bk_facts_aside(s->arena, compiled, s->aside, s->aside_count) : NULL;
    bk_result result = bk_solve(s->arena, compiled->problem,
                                &(bk_solve_options){.dropped = dropped,
                                                    .conflicts = s->effort,
                                                    .work = s->effort * BK_WORK_A_CONFLICT,
                                                    .facts = compiled->fact_count,
                                                    .first_only = true,
                                                    .onlooker = s->onlooker});
    bool found = result.value;
    s->timeline->wrong = s->timeline->wrong || result.status == BK_WRONG;
    bk_arena_release(s->arena, mark);
    return found;
}

/* A stage of a changed plan, as the plan itself counts it: dishes may be missing in the
 * changed one, and those that are there have their names. */
static size_t stage_as_read(const bk_plan *plan, const bk_plan *changed, size_t stage)
{
    const bk_dish *dish = &changed->dishes[changed->stages[stage].dish];
    for (size_t i = 0; i < plan->dish_count; i++)
        if (strcmp(plan->dishes[i].name, dish->name) == 0)
            return plan->dishes[i].first_stage + (stage - dish->first_stage);
    return SIZE_MAX;
}

static void note_harms(const bk_plan *plan, const bk_timeline *timeline, bk_attempt *candidate)
{
    for (size_t i = 0; i < timeline->warning_count && candidate->harm_count < BK_MOST_HARMS; i++) {
        const bk_message *warning = &timeline->warnings[i];
        if (warning->about.concern != BK_FOOD_SAFETY || warning->about.stage == SIZE_MAX)
            continue;
        size_t stage = stage_as_read(plan, timeline->plan, warning->about.stage);
        if (stage != SIZE_MAX)
            candidate->harms[candidate->harm_count++] = (bk_warned){warning->code, stage};
    }
}

/* Takes up a change whose plan was found to fit: schedules it for real, so that the
 * remedy is a verified timeline with a start. */
static bk_attempt *keep(search *s, bk_plan_change *make, void *context, int64_t amount,
                        const char *change, int64_t size, const char *message)
{
    bk_mark mark = bk_arena_mark(s->arena);
    bk_attempt kept = {.change = make,
                       .context = context,
                       .amount = amount,
                       .size = size,
                       .eased = SIZE_MAX,
                       .left_out = SIZE_MAX,
                       .target = SIZE_MAX};
    if (s->aside_count > 0) {
        kept.remedy = (bk_remedy){.change = change, .message = message};
        bk_attempt *settles = BK_PUSH(s->arena, s->found, s->count, s->room);
        *settles = kept;
        return settles;
    }
    const bk_timeline *timeline =
        s->reschedule(s->arena, make(s->arena, s->plan, context, amount), s->effort, s->onlooker);
    s->timeline->wrong = s->timeline->wrong || !timeline;
    bool placed = timeline && timeline->stage_count > 0;
    kept.remedy = (bk_remedy){.change = change,
                              .message = message,
                              .has_first_start = true,
                              .first_start = placed ? timeline->start : 0};
    if (placed)
        note_harms(s->plan, timeline, &kept);
    bk_arena_release(s->arena, mark);
    if (!placed)
        return NULL;
    bk_attempt *candidate = BK_PUSH(s->arena, s->found, s->count, s->room);
    *candidate = kept;
    return candidate;
}

static bool fits_changed(search *s, bk_plan_change *change, void *context, int64_t amount)
{
    bk_mark mark = bk_arena_mark(s->arena);
    bool found = fits(s, change(s->arena, s->plan, context, amount));
    bk_arena_release(s->arena, mark);
    return found;
}

/* The least amount in 1..most for which the changed plan fits; 0 when not even
 * `most` does. More of a change never makes less possible, so halving is exact. */
static int64_t least(search *s, int64_t most, bk_plan_change *change, void *context)
{
    if (most <= 0 || !fits_changed(s, change, context, most))
        return 0;
    int64_t low = 0, high = most;
    while (high - low > 1) {
        int64_t middle = low + (high - low) / 2;
        if (fits_changed(s, change, context, middle))
            high = middle;
        else
            low = middle;
    }
    return high;
}

/* What no cook would take: a dish that is good for half an hour, sixteen hours later. */
enum { NOT_FAR = 120, LONG_WAIT = 180, MUCH_SLEEP = 180 };

static bool far_beyond(int64_t written, int64_t more)
{
    return more > NOT_FAR && more > 2 * written;
}

/* ------------------------------------------------------------- serve later */

static bk_plan *serve_later(bk_arena *arena, const bk_plan *old, void *context, int64_t minutes)
{
    (void)context;
    bk_plan *plan = copy_plan(arena, old);
    plan->dishes = copy_of(arena, plan->dishes, plan->dish_count * sizeof *plan->dishes);
    for (size_t d = 0; d < plan->dish_count; d++)
        plan->dishes[d].serve += minutes;
    plan->first_serve += minutes;
    plan->last_serve += minutes;
    return plan;
}

/* "; Torte is then served while everyone is asleep", of those that were not. NULL when
 * every dish is served when somebody is up and at home, or is as it was. */
static const char *served_to_nobody(search *s, int64_t minutes)
{
    static const char *const kinds[] = {
        [BK_ASLEEP] = "everyone is asleep", [BK_AWAY] = "nobody is at home", [BK_BUSY] = ""};
    const bk_plan *plan = s->plan;
    size_t count = 0, first = 0;
    const char *kind = "";
    for (size_t d = 0; d < plan->dish_count; d++) {
        bk_instant was = plan->dishes[d].serve, then = was + minutes;
        const bk_window *found = NULL;
        bool before = false;
        for (size_t w = 0; w < plan->kitchen.window_count; w++) {
            const bk_window *window = &plan->kitchen.windows[w];
            if (window->kind == BK_BUSY)
                continue;
            before = before || (was >= window->from && was < window->to);
            if (!found && then >= window->from && then < window->to)
                found = window;
        }
        if (!found || before || plan->dishes[d].part)
            continue;
        if (count++ == 0) {
            first = d;
            kind = kinds[found->kind];
        }
    }
    if (count == 0)
        return NULL;
    return bk_format(s->arena, "; %s then served while %s",
                     plan->dish_count == 1 ? "it is"
                     : count == 1          ? bk_format(s->arena, "%s is", plan->dishes[first].name)
                     : count == plan->dish_count ? "all of it is"
                                                 : bk_format(s->arena, "%zu dishes are", count),
                     kind);
}

/* Each serve of the plan's files; those of a command line stand in none. */
static void write_serves(search *s, bk_attempt *kept, int64_t minutes)
{
    bk_edit_set edits = edits_of(s);
    for (size_t d = 0; d < s->plan->dish_count; d++) {
        const bk_dish *dish = &s->plan->dishes[d];
        bool again = dish->part;
        for (size_t i = 0; i < d && !again; i++) {
            const bk_dish *other = &s->plan->dishes[i];
            again = !other->part && other->serve_place.source == dish->serve_place.source &&
                    other->serve_place.offset == dish->serve_place.offset;
        }
        if (!again)
            bk_edit_replace(&edits, dish->serve_place,
                            bk_value_text(s->arena, bk_instant_written(s->arena, s->plan->zone,
                                                                       dish->serve + minutes)));
    }
    written_as(kept, &edits);
}

static void try_serving_later(search *s)
{
    bk_compiled *compiled =
        bk_compile(s->arena, s->plan, &(bk_compile_options){.delay_most = LONGEST_DELAY});
    bk_result result = bk_solve(s->arena, compiled->problem,
                                &(bk_solve_options){.conflicts = s->effort,
                                                    .work = s->effort * BK_WORK_A_CONFLICT,
                                                    .facts = compiled->fact_count,
                                                    .onlooker = s->onlooker});
    s->timeline->wrong = s->timeline->wrong || result.status == BK_WRONG;
    if (!result.value)
        return;
    int64_t minutes = -result.value[compiled->put_off[0]];
    const char *until = bk_moment_short(s->arena, s->plan->zone, s->plan->last_serve + minutes);
    const char *words =
        s->plan->dish_count == 1
            ? bk_format(s->arena, "serve %s later, on %s (--serve \"+%s\")",
                        bk_minutes(s->arena, minutes), until, bk_minutes(s->arena, minutes))
            : bk_format(s->arena,
                        "serve everything %s later (the last dish on %s; --serve \"+%s\")",
                        bk_minutes(s->arena, minutes), until, bk_minutes(s->arena, minutes));
    const char *nobody = served_to_nobody(s, minutes);
    if (nobody)
        words = bk_format(s->arena, "%s%s", words, nobody);
    bk_attempt *kept = keep(s, serve_later, NULL, minutes, "serve", minutes, words);
    if (kept) {
        write_serves(s, kept, minutes);
        kept->drawback = nobody;
        kept->far = minutes > LONG_WAIT;
    }
}

/* ------------------------------------------------------------------- links */

static bk_plan *ease_link(bk_arena *arena, const bk_plan *old, void *context, int64_t minutes)
{
    const bk_fact *fact = context;
    bk_plan *plan = copy_plan(arena, old);
    plan->stages = copy_of(arena, plan->stages, plan->stage_count * sizeof *plan->stages);
    bk_stage *stage = &plan->stages[fact->stage];
    stage->links = copy_of(arena, stage->links, stage->link_count * sizeof *stage->links);
    bk_link *link = &stage->links[fact->link];
    if (fact->kind == BK_FACT_WAIT)
        link->wait -= minutes;
    else
        link->within += minutes;
    return plan;
}

static void try_link(search *s, bk_fact *fact)
{
    const bk_link *link = &s->plan->stages[fact->stage].links[fact->link];
    bool wait = fact->kind == BK_FACT_WAIT;
    int64_t minutes = least(s, wait ? link->wait : LONGEST_DELAY, ease_link, fact);
    if (minutes == 0)
        return;
    const char *stage = bk_stage_name(s->arena, s->plan, fact->stage);
    const char *other = bk_stage_name(s->arena, s->plan, fact->other);
    const char *edge = link->from_start ? "starts" : "ends";
    int64_t left = wait ? link->wait - minutes : link->within + minutes;
    const char *span = bk_minutes(s->arena, left);
    const char *words =
        wait
            ? bk_format(s->arena, "let %s start %s after %s %s, not %s%s (\"wait\": \"%s\")", stage,
                        left ? span : "right", other, edge, bk_minutes(s->arena, link->wait),
                        left ? "" : " later", span)
            : bk_format(s->arena, "let %s start within %s after %s %s, not %s (\"within\": \"%s\")",
                        stage, span, other, edge, bk_minutes(s->arena, link->within), span);
    bk_attempt *kept = keep(s, ease_link, fact, minutes, wait ? "wait" : "within", minutes, words);
    replaces(s, kept, wait ? link->wait_place : link->within_place, span);
    if (kept) {
        kept->eased = s->plan->stages[fact->stage].dish;
        kept->far = !wait && far_beyond(link->within, minutes);
    }
}

/* ------------------------------------------------------- keeps, margin, ranges */

static bk_plan *keep_longer(bk_arena *arena, const bk_plan *old, void *context, int64_t minutes)
{
    const bk_fact *fact = context;
    bk_plan *plan = copy_plan(arena, old);
    plan->dishes = copy_of(arena, plan->dishes, plan->dish_count * sizeof *plan->dishes);
    plan->dishes[fact->dish].keeps += minutes;
    return plan;
}

static void try_keeping(search *s, bk_fact *fact)
{
    const bk_dish *dish = &s->plan->dishes[fact->dish];
    int64_t minutes = least(s, LONGEST_DELAY, keep_longer, fact);
    if (minutes == 0)
        return;
    const char *span = bk_minutes(s->arena, dish->keeps + minutes);
    bk_attempt *kept = keep(
        s, keep_longer, fact, minutes, "keeps", minutes,
        bk_format(s->arena, "let %s be ready up to %s before it is %s, not %s (\"keeps\": \"%s\")",
                  dish->name, span, dish->part ? "last used" : "served",
                  bk_minutes(s->arena, dish->keeps), span));
    replaces(s, kept, dish->keeps_place, span);
    if (kept) {
        kept->eased = fact->dish;
        kept->far = far_beyond(dish->keeps, minutes);
    }
}

static bk_plan *less_margin(bk_arena *arena, const bk_plan *old, void *context, int64_t minutes)
{
    (void)context;
    bk_plan *plan = copy_plan(arena, old);
    plan->margin -= minutes;
    return plan;
}

static void try_margin(search *s)
{
    int64_t minutes = least(s, s->plan->margin, less_margin, NULL);
    if (minutes == 0)
        return;
    int64_t left = s->plan->margin - minutes;
    bk_attempt *kept = keep(
        s, less_margin, NULL, minutes, "margin", minutes,
        left == 0 ? "plan no margin (\"margin\": \"0 min\")"
                  : bk_format(s->arena, "plan a margin of %s, not %s (\"margin\": \"%s\")",
                              bk_minutes(s->arena, left), bk_minutes(s->arena, s->plan->margin),
                              bk_minutes(s->arena, left)));
    replaces(s, kept, s->plan->margin_place, bk_minutes(s->arena, left));
    if (kept)
        kept->target = 0;
}

typedef struct shorter {
    size_t stage;
    int64_t planned;
} shorter;

static bk_plan *plan_short(bk_arena *arena, const bk_plan *old, void *context, int64_t amount)
{
    const shorter *change = context;
    (void)amount;
    bk_plan *plan = copy_plan(arena, old);
    plan->stages = copy_of(arena, plan->stages, plan->stage_count * sizeof *plan->stages);
    bk_stage *stage = &plan->stages[change->stage];
    stage->planned = change->planned;
    stage->checks = copy_of(arena, stage->checks, stage->check_count * sizeof *stage->checks);
    size_t count = 0; /* what comes after the end is left out: only a look, and reminders */
    for (size_t k = 0; k < stage->check_count; k++)
        if (stage->checks[k].takes > 0 || stage->checks[k].at < stage->planned)
            stage->checks[count++] = stage->checks[k];
    stage->check_count = count;
    return plan;
}

/* A stage that is given a range, planned on its likely end, or on its short one. */
static void try_short_end(search *s, size_t stage)
{
    const bk_stage *of = &s->plan->stages[stage];
    const int64_t ends[] = {of->range.likely, of->range.least};
    static const char *const names[] = {"likely", "short"};
    bool goes_on = stage + 1 < s->plan->stage_count && s->plan->stages[stage + 1].cooling &&
                   s->plan->stages[stage + 1].cooling->goes_on;
    if (goes_on) /* what comes then would be another time too */
        return;
    for (size_t i = 0; i < 2; i++) {
        shorter *change = BK_NEW(s->arena, shorter, 1);
        *change = (shorter){stage, ends[i]};
        if (ends[i] >= of->planned || (i == 1 && ends[1] == ends[0]) ||
            !fits_changed(s, plan_short, change, 0))
            continue;
        const char *span = bk_minutes(s->arena, ends[i]);
        const char *how = of->cooling
                              ? ""
                              : bk_format(s->arena, " (\"%s\": \"%s\")",
                                          of->attention == BK_HANDS ? "active" : "passive", span);
        bool as_written = of->attention != BK_HANDS || s->plan->kitchen.pace == 1.0;
        bk_attempt *kept =
            keep(s, plan_short, change, of->planned - ends[i], "range", of->planned - ends[i],
                 bk_format(s->arena, "plan on the %s end of %s, %s, not %s%s", names[i],
                           bk_stage_name(s->arena, s->plan, stage), span,
                           bk_minutes(s->arena, of->planned), as_written ? how : ""));
        if (!of->cooling && of->times == 1.0)
            replaces(s, kept, of->range_place, span);
        return;
    }
}

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
    bk_plan *plan = copy_plan(arena, old);
    bk_kitchen *kitchen = &plan->kitchen;
    bk_window **windows = &kitchen->windows;
    size_t *count = &kitchen->window_count, left = 0;
    if (change->cook != SIZE_MAX) {
        kitchen->people =
            copy_of(arena, kitchen->people, kitchen->people_count * sizeof *kitchen->people);
        windows = &kitchen->people[change->cook].windows;
        count = &kitchen->people[change->cook].window_count;
    }
    *windows = copy_of(arena, *windows, *count * sizeof **windows);
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
static const char *night_of(search *s, bk_instant from)
{
    enum { NOON = 12 };
    bk_civil at = bk_civil_at(s->plan->zone, from);
    if (at.hour < NOON)
        at = bk_civil_at(s->plan->zone, from - BK_DAY / 2);
    return bk_format(s->arena, "%04d-%02d-%02d", at.year, at.month, at.day);
}

/* What is left of one night, in place of the hours that come every night. */
static void write_night(search *s, bk_edit_set *edits, const bk_window *window, bk_instant from,
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
static void write_left(search *s, bk_edit_set *edits, const bk_window *window,
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
static void write_window(search *s, bk_attempt *kept, const window_change *change)
{
    if (!kept)
        return;
    bk_edit_set edits = edits_of(s);
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
    written_as(kept, &edits);
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

static bool is_found(const search *s, const char *message)
{
    for (size_t i = 0; i < s->count; i++)
        if (strcmp(s->found[i].remedy.message, message) == 0)
            return true;
    return false;
}

/* The fewest minutes of a window, from either end, or of all the hours that it overlaps with. */
static void try_window(search *s, size_t cook, size_t number)
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
        int64_t minutes = least(s, tried.to - tried.from, give_up, &tried);
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
    bk_attempt *kept = keep(s, give_up, change, best, "window", best, words);
    write_window(s, kept, change);
    if (kept) {
        kept->target = 3 * (cook + 1) + window->kind;
        kept->from = from;
        kept->to = from + best;
        kept->far = window->kind == BK_ASLEEP && best > MUCH_SLEEP;
    }
}

/* ------------------------------------------------------------ who begins it */

enum { MOST_OF_ONE_TIME = 4, ITSELF_LIKE = 30, WHEN_LIKE = 120 };

static bk_plan *begin_itself(bk_arena *arena, const bk_plan *old, void *context, int64_t stage)
{
    (void)context;
    bk_plan *plan = copy_plan(arena, old);
    plan->stages = copy_of(arena, plan->stages, plan->stage_count * sizeof *plan->stages);
    plan->stages[stage].begins_itself = true;
    return plan;
}

/* A stage that nobody can begin: an hour given up of what keeps them, or it goes on by
 * itself where it stands and nobody said so. */
static void try_begins(search *s, const bk_fact *fact, bool *window_seen)
{
    size_t tried = 0;
    for (size_t w = 0; w < s->plan->kitchen.window_count && tried < MOST_OF_ONE_TIME; w++) {
        const bk_window *window = &s->plan->kitchen.windows[w];
        if (window->from < fact->from || window->to > fact->to || window_seen[w])
            continue;
        window_seen[w] = true;
        tried++;
        try_window(s, SIZE_MAX, w);
    }
    for (size_t c = 0; c < s->plan->kitchen.people_count; c++)
        for (size_t w = 0; w < s->plan->kitchen.people[c].window_count; w++) {
            const bk_window *window = &s->plan->kitchen.people[c].windows[w];
            if (window->from < fact->to && window->to > fact->from && tried++ < MOST_OF_ONE_TIME)
                try_window(s, c, w);
        }
    if (fact->stage == SIZE_MAX)
        return;
    const bk_stage *stage = &s->plan->stages[fact->stage];
    if (stage->in_oven || stage->need_count > 0 || stage->hold_count > 0 || stage->link_count == 0)
        return;
    if (!fits(s, begin_itself(s->arena, s->plan, NULL, (int64_t)fact->stage)))
        return;
    bk_edit_set edits = edits_of(s);
    bk_edit_add_beside(&edits, stage->place, "begins", bk_value_text(s->arena, "itself"));
    written_as(keep(s, begin_itself, NULL, (int64_t)fact->stage, "begins", ITSELF_LIKE,
                    bk_format(s->arena,
                              "if %s goes on by itself where it stands, say so: \"begins\": "
                              "\"itself\"",
                              bk_stage_name(s->arena, s->plan, fact->stage))),
               &edits);
}

/* ---------------------------------------------------------------- at table */

static bk_plan *eat_faster(bk_arena *arena, const bk_plan *old, void *context, int64_t minutes)
{
    (void)context;
    bk_plan *plan = copy_plan(arena, old);
    plan->at_table -= minutes;
    return plan;
}

static void try_eating_faster(search *s)
{
    int64_t minutes = least(s, s->plan->at_table, eat_faster, NULL);
    if (minutes == 0)
        return;
    int64_t left = s->plan->at_table - minutes;
    bk_attempt *kept =
        keep(s, eat_faster, NULL, minutes, "at_table", minutes,
             bk_format(s->arena, "be at table for %s, not %s: \"at_table\": \"%s\"",
                       left == 0 ? "no time" : bk_minutes(s->arena, left),
                       bk_minutes(s->arena, s->plan->at_table), bk_minutes(s->arena, left)));
    replaces(s, kept, s->plan->at_table_place, bk_minutes(s->arena, left));
    if (kept)
        kept->target = 0;
}

static bk_plan *any_time(bk_arena *arena, const bk_plan *old, void *context, int64_t stage)
{
    (void)context;
    bk_plan *plan = copy_plan(arena, old);
    plan->stages = copy_of(arena, plan->stages, plan->stage_count * sizeof *plan->stages);
    plan->stages[stage].has_when = false;
    return plan;
}

static void try_any_time(search *s, const bk_fact *fact)
{
    int64_t stage = (int64_t)fact->stage;
    if (!fits(s, any_time(s->arena, s->plan, NULL, stage)))
        return;
    bk_edit_set edits = edits_of(s);
    bk_edit_remove(&edits, s->plan->stages[stage].when_place);
    written_as(keep(s, any_time, NULL, stage, "when", WHEN_LIKE,
                    bk_format(s->arena, "let %s be at any time, without its \"when\"",
                              bk_stage_name(s->arena, s->plan, fact->stage))),
               &edits);
}

/* Hours of one cook's. */
static void try_cook(search *s, const bk_fact *fact)
{
    const bk_cook *cook = &s->plan->kitchen.people[fact->cook];
    size_t tried = 0;
    for (size_t w = 0; w < cook->window_count && tried < MOST_OF_ONE_TIME; w++)
        if (cook->windows[w].from >= fact->from && cook->windows[w].to <= fact->to) {
            tried++;
            try_window(s, fact->cook, w);
        }
}

/* ---------------------------------------------------------------- capacity */

static bk_plan *another_cook(bk_arena *arena, const bk_plan *old, void *context, int64_t extra)
{
    (void)context;
    bk_plan *plan = copy_plan(arena, old);
    bk_kitchen *kitchen = &plan->kitchen;
    kitchen->cooks += (int)extra;
    if (kitchen->people_count == 0)
        return plan;
    bk_cook *people = BK_NEW(arena, bk_cook, (size_t)kitchen->cooks);
    memcpy(people, kitchen->people, kitchen->people_count * sizeof *people);
    for (size_t c = kitchen->people_count; c < (size_t)kitchen->cooks; c++)
        people[c].name = "another cook";
    kitchen->people = people;
    kitchen->people_count = (size_t)kitchen->cooks;
    bk_kitchen_gather(arena, kitchen);
    return plan;
}

static void write_cooks(search *s, bk_edit_set *edits, int64_t extra)
{
    const bk_kitchen *kitchen = &s->plan->kitchen;
    for (int64_t i = 0; i < extra && kitchen->people_count > 0; i++)
        bk_edit_add_last(
            edits, s->plan->cooks_place,
            bk_value_object(
                s->arena, (const char *const[]){
                              "cook", bk_format(s->arena, "another cook %" PRId64, i + 1), NULL}));
    if (kitchen->people_count > 0)
        return;
    const bk_json *cooks = bk_value_number(s->arena, kitchen->cooks + extra);
    if (s->plan->cooks_place.source)
        bk_edit_replace(edits, s->plan->cooks_place, cooks);
    else if (kitchen->place.source)
        bk_edit_add(edits, kitchen->place, "cooks", cooks);
    else
        bk_edit_add_beside(edits, s->plan->occasion_place, "kitchen",
                           bk_value_member(s->arena, "cooks", cooks));
}

static void try_cooks(search *s)
{
    int64_t most = MOST_EXTRA;
    if (s->plan->kitchen.people_count > 0)
        most = BK_MOST_NAMED_COOKS - (int64_t)s->plan->kitchen.people_count;
    int64_t extra = least(s, most < MOST_EXTRA ? most : MOST_EXTRA, another_cook, NULL);
    if (extra == 0)
        return;
    const char *words = extra == 1 ? "have one more cook"
                                   : bk_format(s->arena, "have %" PRId64 " more cooks", extra);
    if (s->plan->kitchen.people_count == 0)
        words = bk_format(s->arena, "%s (\"cooks\": %" PRId64 ")", words,
                          s->plan->kitchen.cooks + extra);
    bk_attempt *kept = keep(s, another_cook, NULL, extra, "cook", extra * COOK_LIKE, words);
    bk_edit_set edits = edits_of(s);
    write_cooks(s, &edits, extra);
    written_as(kept, &edits);
    if (kept)
        kept->target = 0;
}

static bk_plan *more_equipment(bk_arena *arena, const bk_plan *old, void *context, int64_t extra)
{
    const bk_fact *fact = context;
    bk_plan *plan = copy_plan(arena, old);
    plan->kitchen.equipment =
        copy_of(arena, plan->kitchen.equipment,
                plan->kitchen.equipment_count * sizeof *plan->kitchen.equipment);
    bk_equipment *equipment = &plan->kitchen.equipment[fact->equipment];
    if (fact->kind == BK_FACT_SHELVES)
        equipment->shelves += (int)extra;
    else if (equipment->kind == BK_OVEN)
        equipment->count += (int)extra;
    else
        equipment->pool += extra;
    return plan;
}

/* How more of it is written; nothing where several units have places or rings of their own,
 * of which each then has as many. */
static const char *as_written(search *s, const bk_equipment *equipment, bool shelf, int64_t extra,
                              bk_edit_set *edits)
{
    bool counted = equipment->kind == BK_TOOL || equipment->kind == BK_OVEN;
    int64_t now = shelf                        ? equipment->shelves
                  : equipment->kind == BK_OVEN ? equipment->count
                                               : equipment->pool;
    if (!counted && equipment->count > 1)
        return "";
    const char *key = shelf                       ? "shelves"
                      : counted                   ? "count"
                      : equipment->kind == BK_HOB ? "rings"
                                                  : "places";
    bk_edit_add(edits, equipment->place, key, bk_value_number(s->arena, now + extra));
    return bk_format(s->arena, " (\"%s\": %" PRId64 ")", key, now + extra);
}

static void try_equipment(search *s, bk_fact *fact)
{
    const bk_equipment *equipment = &s->plan->kitchen.equipment[fact->equipment];
    bool shelf = fact->kind == BK_FACT_SHELVES;
    int64_t extra = least(s, MOST_EXTRA, more_equipment, fact);
    if (extra == 0)
        return;
    const char *unit = shelf                        ? "shelf"
                       : equipment->kind == BK_OVEN ? "oven"
                       : equipment->kind == BK_HOB  ? "ring"
                       : equipment->kind == BK_COLD ? "place"
                                                    : "of it";
    const char *plural = shelf ? "shelves" : bk_format(s->arena, "%ss", unit);
    if (!shelf && equipment->kind == BK_TOOL)
        plural = unit;
    int64_t like = shelf || equipment->kind == BK_COLD || equipment->kind == BK_HOB ? PLACE_LIKE
                   : equipment->kind == BK_OVEN                                     ? OVEN_LIKE
                                                                                    : TOOL_LIKE;
    const char *words =
        extra == 1
            ? bk_format(s->arena, "%s: have one more %s", equipment->name, unit)
            : bk_format(s->arena, "%s: have %" PRId64 " more %s", equipment->name, extra, plural);
    bk_edit_set edits = edits_of(s);
    words = bk_format(s->arena, "%s%s", words, as_written(s, equipment, shelf, extra, &edits));
    bk_attempt *kept = keep(s, more_equipment, fact, extra, "equipment", extra * like, words);
    written_as(kept, &edits);
    if (kept)
        kept->target = 2 * fact->equipment + shelf;
}

/* ------------------------------------------------------------------ dishes */

/* Whether a dish that stays links to this one. */
static bool is_used(const bk_plan *plan, size_t dish, const bool *gone)
{
    for (size_t i = 0; i < plan->stage_count; i++)
        for (size_t k = 0; k < plan->stages[i].link_count; k++)
            if (plan->stages[i].dish != dish && !gone[plan->stages[i].dish] &&
                plan->stages[plan->stages[i].links[k].stage].dish == dish)
                return true;
    return false;
}

/* Does a stage of this dish link to one of those? */
static bool is_made_with(const bk_plan *plan, size_t dish, const bool *gone)
{
    const bk_dish *of = &plan->dishes[dish];
    for (size_t i = of->first_stage; i < of->first_stage + of->stage_count; i++)
        for (size_t k = 0; k < plan->stages[i].link_count; k++) {
            size_t other = plan->stages[plan->stages[i].links[k].stage].dish;
            if (other != dish && gone[other])
                return true;
        }
    return false;
}

/* By dish, what goes with one that is left out: what is made with it, and then the parts that only
 * those were made of. */
static bool *gone_with(bk_arena *arena, const bk_plan *plan, size_t left_out)
{
    bool *gone = BK_NEW(arena, bool, plan->dish_count);
    gone[left_out] = true;
    for (size_t d = 0; d < plan->dish_count; d++) {
        bool goes =
            is_made_with(plan, d, gone) || (plan->dishes[d].part && !is_used(plan, d, gone));
        if (gone[d] || !goes)
            continue;
        gone[d] = true;
        d = SIZE_MAX; /* it may have been all that another part was for */
    }
    return gone;
}

static bk_plan *without_dish(bk_arena *arena, const bk_plan *old, void *context, int64_t number)
{
    const char *name = context; /* the number may have changed with what was left out before */
    size_t left_out = 0;
    (void)number;
    while (left_out < old->dish_count && strcmp(old->dishes[left_out].name, name) != 0)
        left_out++;
    if (left_out == old->dish_count)
        return NULL;
    const bool *gone = gone_with(arena, old, left_out);
    bk_plan *plan = copy_plan(arena, old);
    size_t *now = BK_NEW(arena, size_t, old->stage_count);
    size_t *dish_now = BK_NEW(arena, size_t, old->dish_count), next = 0, dishes = 0;
    for (size_t d = 0; d < old->dish_count; d++)
        dish_now[d] = gone[d] ? SIZE_MAX : dishes++;
    for (size_t i = 0; i < old->stage_count; i++)
        now[i] = gone[old->stages[i].dish] ? SIZE_MAX : next++;
    plan->stages = BK_NEW(arena, bk_stage, next);
    plan->stage_count = next;
    for (size_t i = 0; i < old->stage_count; i++) {
        if (now[i] == SIZE_MAX)
            continue;
        bk_stage *stage = &plan->stages[now[i]];
        *stage = old->stages[i];
        stage->dish = dish_now[stage->dish];
        stage->links = copy_of(arena, stage->links, stage->link_count * sizeof *stage->links);
        for (size_t k = 0; k < stage->link_count; k++) {
            if (now[stage->links[k].stage] == SIZE_MAX)
                return NULL;
            stage->links[k].stage = now[stage->links[k].stage];
        }
        stage->holds = copy_of(arena, stage->holds, stage->hold_count * sizeof *stage->holds);
        for (size_t k = 0; k < stage->hold_count; k++) {
            if (now[stage->holds[k].until] == SIZE_MAX)
                return NULL;
            stage->holds[k].until = now[stage->holds[k].until];
        }
    }
    plan->dishes = BK_NEW(arena, bk_dish, dishes);
    plan->dish_count = dishes;
    for (size_t d = 0; d < old->dish_count; d++) {
        if (gone[d])
            continue;
        bk_dish *dish = &plan->dishes[dish_now[d]];
        *dish = old->dishes[d];
        for (size_t g = 0; g < d; g++)
            dish->first_stage -= gone[g] ? old->dishes[g].stage_count : 0;
        dish->ingredients =
            copy_of(arena, dish->ingredients, dish->ingredient_count * sizeof *dish->ingredients);
        for (size_t k = 0; k < dish->ingredient_count; k++)
            if (dish->ingredients[k].stage != SIZE_MAX)
                dish->ingredients[k].stage = now[dish->ingredients[k].stage];
    }
    bk_span_serves(plan);
    bk_parts_serve(arena, plan);
    return dishes == 0 ? NULL : plan;
}

/* The facts put aside, as they stand in a plan without a dish. Those that speak of what is
 * gone speak of nothing there. */
static bk_fact *aside_without(search *s, size_t dish)
{
    const bool *gone = gone_with(s->arena, s->plan, dish);
    bk_fact *facts = copy_of(s->arena, s->aside, s->aside_count * sizeof *facts);
    for (size_t i = 0; i < s->aside_count; i++) {
        size_t stage = facts[i].stage, other = facts[i].other, of = facts[i].dish;
        for (size_t g = 0; g < s->plan->dish_count; g++) {
            if (!gone[g])
                continue;
            const bk_dish *left = &s->plan->dishes[g];
            if (stage != SIZE_MAX && stage >= left->first_stage + left->stage_count)
                facts[i].stage -= left->stage_count;
            if (other != SIZE_MAX && other >= left->first_stage + left->stage_count)
                facts[i].other -= left->stage_count;
            if (of != SIZE_MAX && of > g)
                facts[i].dish--;
        }
    }
    return facts;
}

/* The dishes of `these`, as "A and B"; how many to *count. */
static const char *listed(search *s, const bool *these, size_t *count)
{
    bk_text out = bk_text_new(s->arena);
    size_t all = 0, number = 0;
    for (size_t d = 0; d < s->plan->dish_count; d++)
        all += these[d];
    for (size_t d = 0; d < s->plan->dish_count; d++)
        if (these[d])
            bk_text_addf(&out, "%s%s",
                         number++ == 0   ? ""
                         : number == all ? " and "
                                         : ", ",
                         s->plan->dishes[d].name);
    *count = all;
    return out.data;
}

/* "Stock, and Soup, which is made with it", "Trifle, and Sponge, which is for it". */
static const char *left_out_words(search *s, size_t dish)
{
    const bool *gone = gone_with(s->arena, s->plan, dish);
    bool *made_with = BK_NEW(s->arena, bool, s->plan->dish_count);
    bool *parts = BK_NEW(s->arena, bool, s->plan->dish_count);
    bool *before = BK_NEW(s->arena, bool, s->plan->dish_count);
    before[dish] = true;
    for (size_t d = 0; d < s->plan->dish_count; d++) {
        if (!gone[d] || before[d] || !is_made_with(s->plan, d, before))
            continue;
        made_with[d] = before[d] = true;
        d = SIZE_MAX;
    }
    for (size_t d = 0; d < s->plan->dish_count; d++)
        parts[d] = gone[d] && !before[d];
    size_t users, for_it;
    const char *with = listed(s, made_with, &users), *of = listed(s, parts, &for_it);
    return bk_format(s->arena, "%s%s%s%s%s%s%s", s->plan->dishes[dish].name,
                     users > 0 ? ", and " : "", with,
                     users == 0   ? ""
                     : users == 1 ? ", which is made with it"
                                  : ", which are made with it",
                     for_it > 0 ? ", and " : "", of,
                     for_it == 0   ? ""
                     : for_it == 1 ? ", which is for it"
                                   : ", which are for it");
}

static void leave_out(search *s, size_t dish)
{
    if (s->plan->dish_count < 2)
        return;
    void *name =
        copy_of(s->arena, s->plan->dishes[dish].name, strlen(s->plan->dishes[dish].name) + 1);
    const bk_plan *plan = without_dish(s->arena, s->plan, name, 0);
    const bk_fact *aside = s->aside;
    if (s->aside_count > 0)
        s->aside = aside_without(s, dish);
    bool helps = plan && fits(s, plan);
    s->aside = aside;
    if (!helps)
        return;
    bk_attempt *kept = keep(s, without_dish, name, 0, "dish", DISH_LIKE,
                            bk_format(s->arena, "leave out %s", left_out_words(s, dish)));
    if (!kept)
        return;
    kept->left_out = dish;
    const bool *gone = gone_with(s->arena, s->plan, dish);
    bk_edit_set edits = edits_of(s);
    for (size_t d = s->plan->dish_count; d-- > 0;) /* the last first: those before stay in place */
        if (gone[d])
            bk_edit_remove(&edits, s->plan->dishes[d].entry_place);
    written_as(kept, &edits);
}

/* A part stays as long as something is made of it: what is made of it is left out. */
static void try_leaving_out(search *s, size_t dish, bool *seen)
{
    if (seen[dish])
        return;
    seen[dish] = true;
    if (!s->plan->dishes[dish].part) {
        leave_out(s, dish);
        return;
    }
    bool *none = BK_NEW(s->arena, bool, s->plan->dish_count);
    for (size_t user = 0; user < s->plan->dish_count; user++)
        none[user] = true;
    for (size_t user = 0; user < s->plan->dish_count; user++) {
        none[user] = false;
        if (user != dish && !seen[user] && !s->plan->dishes[user].part &&
            is_used(s->plan, dish, none)) {
            seen[user] = true;
            leave_out(s, user);
        }
        none[user] = true;
    }
}

/* --------------------------------------------------------------- drawbacks */

static bool has_harm(const bk_plan *plan, const bk_attempt *candidate, const bk_warned *harm)
{
    for (size_t i = 0; i < candidate->harm_count; i++)
        if (strcmp(candidate->harms[i].code, harm->code) == 0 &&
            plan->stages[candidate->harms[i].stage].dish == plan->stages[harm->stage].dish)
            return true;
    return false;
}

/* Whether it is this change that brings the harm: it eases a wait of that dish, or the
 * dish is without harm after another change. */
static bool brings(const search *s, const bk_attempt *candidate, const bk_warned *harm)
{
    size_t dish = s->plan->stages[harm->stage].dish;
    if (candidate->eased == dish)
        return true;
    for (size_t i = 0; i < s->count; i++)
        if (s->found[i].left_out != dish && !has_harm(s->plan, &s->found[i], harm))
            return true;
    return false;
}

static const char *harm_words(const char *code)
{
    static const struct {
        const char *code, *words;
    } known[] = {
        {"safety-room", "stands too long in a room"},
        {"safety-cooling", "cools too slowly"},
        {"safety-storage", "is too long in the fridge"},
    };
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strcmp(known[i].code, code) == 0)
            return known[i].words;
    return NULL;
}

/* Says on a change's line what food-safety rules have against its timeline. */
static void say_harms(search *s, bk_attempt *candidate)
{
    const char *words = NULL;
    size_t stage = SIZE_MAX, more = 0;
    for (size_t i = 0; i < candidate->harm_count; i++) {
        const bk_warned *harm = &candidate->harms[i];
        if (!harm_words(harm->code) || !brings(s, candidate, harm))
            continue;
        more += words != NULL;
        if (!words) {
            words = harm_words(harm->code);
            stage = harm->stage;
        }
    }
    if (!words)
        return;
    candidate->drawback = true;
    candidate->remedy.message =
        bk_format(s->arena, "%s; %s then %s%s", candidate->remedy.message,
                  bk_stage_name(s->arena, s->plan, stage), words,
                  more == 0 ? ""
                            : bk_format(s->arena, " (and %zu more %s)", more,
                                        more == 1 ? "warning" : "warnings"));
}

/* -------------------------------------------------------------- the search */

static int smaller(const void *a, const void *b)
{
    const bk_attempt *x = a, *y = b;
    if (x->far != y->far)
        return x->far ? 1 : -1;
    if (x->drawback != y->drawback)
        return x->drawback ? 1 : -1; /* what it brings is part of what it asks */
    return (x->size > y->size) - (x->size < y->size);
}

/* Any change that helps touches a fact of every core, so those of one are enough
 * to look at. */
static void try_facts(search *s)
{
    bool *dish_seen = BK_NEW(s->arena, bool, s->plan->dish_count);
    bool table_seen = false;
    bool *window_seen = BK_NEW(s->arena, bool, s->plan->kitchen.window_count);
    for (size_t i = 0;
         i < s->fact_count && s->tried < MOST_CANDIDATES && !bk_is_called_off(s->onlooker); i++) {
        bk_fact *fact = copy_of(s->arena, &s->facts[i], sizeof *fact);
        s->tried++;
        switch (fact->kind) {
        case BK_FACT_WAIT:
        case BK_FACT_WITHIN:
            try_link(s, fact);
            break;
        case BK_FACT_WINDOW:
            if (!window_seen[fact->window])
                try_window(s, SIZE_MAX, fact->window);
            window_seen[fact->window] = true;
            break;
        case BK_FACT_COOK:
            try_cook(s, fact);
            break;
        case BK_FACT_BEGINS:
            try_begins(s, fact, window_seen);
            break;
        case BK_FACT_WHEN:
            try_any_time(s, fact);
            break;
        case BK_FACT_KEEPS:
            try_keeping(s, fact);
            break;
        case BK_FACT_MARGIN:
            try_margin(s);
            break;
        case BK_FACT_STAGE_TIME:
            try_short_end(s, fact->stage);
            break;
        case BK_FACT_AT_TABLE:
            if (!table_seen)
                try_eating_faster(s);
            table_seen = true;
            break;
        case BK_FACT_HANDS:
            try_cooks(s);
            break;
        case BK_FACT_POOL:
        case BK_FACT_SHELVES:
            try_equipment(s, fact);
            break;
        case BK_FACT_OVEN_OFF:
        case BK_FACT_OVEN_TEMPERATURE: {
            bool seen = false;
            for (size_t j = 0; j < i; j++)
                seen = seen ||
                       (s->facts[j].kind == fact->kind && s->facts[j].equipment == fact->equipment);
            if (!seen)
                try_equipment(s, fact);
            break;
        }
        default:
            break;
        }
        size_t dish = fact->dish != SIZE_MAX    ? fact->dish
                      : fact->stage != SIZE_MAX ? s->plan->stages[fact->stage].dish
                                                : SIZE_MAX;
        if (dish != SIZE_MAX)
            try_leaving_out(s, dish, dish_seen);
    }
}

/* The smallest first, those with a drawback last. */
static void sort_found(search *s)
{
    for (size_t i = 0; i < s->count; i++)
        say_harms(s, &s->found[i]);
    for (size_t i = 0; i < s->count; i++)
        s->small = s->small || (!s->found[i].far && s->found[i].size <= LITTLE);
    /* Stable: qsort is not, so equal sizes are kept apart by the order found. */
    for (size_t i = 0; i < s->count; i++)
        s->found[i].size = s->found[i].size * MOST_CANDIDATES * 2 + (int64_t)i;
    if (s->count > 1)
        qsort(s->found, s->count, sizeof *s->found, smaller);
    size_t near = 0;
    while (near < s->count && !s->found[near].far)
        near++;
    if (near >= ENOUGH)
        s->count = near;
}

size_t bk_attempts_of(bk_arena *arena, bk_timeline *timeline, const bk_conflict *conflict,
                      const bk_fact *aside, size_t aside_count, int64_t effort,
                      bk_onlooker *onlooker, bk_reschedule *reschedule, bk_attempt **found)
{
    search s = {.arena = arena,
                .timeline = timeline,
                .plan = timeline->plan,
                .facts = conflict->facts,
                .fact_count = conflict->count,
                .aside = aside,
                .aside_count = aside_count,
                .effort = effort,
                .onlooker = onlooker,
                .reschedule = reschedule};
    try_facts(&s);
    sort_found(&s);
    *found = s.found;
    return s.count;
}

bk_remedy *bk_remedies_of(bk_arena *arena, const bk_attempt *attempts, size_t count)
{
    bk_remedy *remedies = BK_NEW(arena, bk_remedy, count);
    for (size_t i = 0; i < count; i++)
        remedies[i] = attempts[i].remedy;
    return remedies;
}

bool bk_remedies(bk_arena *arena, bk_timeline *timeline, int64_t effort, bk_onlooker *onlooker,
                 bk_reschedule *reschedule)
{
    search s = {.arena = arena,
                .timeline = timeline,
                .plan = timeline->plan,
                .facts = timeline->why,
                .fact_count = timeline->why_count,
                .effort = bk_effort_of_each(effort),
                .onlooker = onlooker,
                .reschedule = reschedule};
    try_serving_later(&s);
    try_facts(&s);
    sort_found(&s);
    timeline->remedy_count = s.count < MOST_REMEDIES ? s.count : MOST_REMEDIES;
    timeline->remedies = bk_remedies_of(arena, s.found, timeline->remedy_count);
    return s.small;
}
