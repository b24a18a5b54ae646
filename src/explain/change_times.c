/* Changes of when things are: served later, links, keeps, margin, the time that a stage takes, time
 * at table, a stage's own window. */
#include "explain/change.h"

enum { LONGEST_DELAY = BK_DAY, WHEN_LIKE = 120, NOT_FAR = 120, LONG_WAIT = 180 };

/* What no cook would take: a dish that is good for half an hour, sixteen hours later. */
static bool far_beyond(int64_t written, int64_t more)
{
    return more > NOT_FAR && more > 2 * written;
}

/* ------------------------------------------------------------- serve later */

static bk_instant days_later(const bk_zone *zone, bk_instant instant, int64_t days)
{
    enum bk_civil_kind kind;
    int64_t minutes = bk_civil_minutes(bk_civil_at(zone, instant)) + days * BK_DAY;
    return bk_instant_of_minutes(zone, minutes, &kind);
}

/* "The evening before" goes with the serve, by whole days. */
static void move_when(bk_arena *arena, const bk_plan *plan, bk_stage *stage, int64_t minutes)
{
    bk_instant serve = plan->dishes[stage->dish].serve;
    int64_t days = bk_day_of(plan->zone, serve + minutes) - bk_day_of(plan->zone, serve);
    if (!stage->when_by_serve || days == 0)
        return;
    stage->when = bk_copy_of(arena, stage->when, stage->when_count * sizeof *stage->when);
    for (size_t i = 0; i < stage->when_count; i++) {
        stage->when[i].from = days_later(plan->zone, stage->when[i].from, days);
        stage->when[i].to = days_later(plan->zone, stage->when[i].to, days);
    }
}

static bk_plan *serve_later(bk_arena *arena, const bk_plan *old, void *context, int64_t minutes)
{
    (void)context;
    bk_plan *plan = bk_plan_copy(arena, old);
    plan->stages = bk_copy_of(arena, plan->stages, plan->stage_count * sizeof *plan->stages);
    for (size_t i = 0; i < plan->stage_count; i++)
        move_when(arena, old, &plan->stages[i], minutes);
    plan->dishes = bk_copy_of(arena, plan->dishes, plan->dish_count * sizeof *plan->dishes);
    for (size_t d = 0; d < plan->dish_count; d++)
        plan->dishes[d].serve += minutes;
    plan->first_serve += minutes;
    plan->last_serve += minutes;
    return plan;
}

/* "; Torte is then served while everyone is asleep", of those that were not. NULL when
 * every dish is served when somebody is up and at home, or is as it was. */
static const char *served_to_nobody(bk_trying *s, int64_t minutes)
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
static void write_serves(bk_trying *s, bk_attempt *kept, int64_t minutes)
{
    bk_edit_set edits = bk_edits_of(s);
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
    bk_written_as(kept, &edits);
}

void bk_try_serving_later(bk_trying *s)
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
    bk_attempt *kept = bk_keep_change(s, serve_later, NULL, minutes, "serve", minutes, words);
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
    bk_plan *plan = bk_plan_copy(arena, old);
    plan->stages = bk_copy_of(arena, plan->stages, plan->stage_count * sizeof *plan->stages);
    bk_stage *stage = &plan->stages[fact->stage];
    stage->links = bk_copy_of(arena, stage->links, stage->link_count * sizeof *stage->links);
    bk_link *link = &stage->links[fact->link];
    if (fact->kind == BK_FACT_WAIT)
        link->wait -= minutes;
    else
        link->within += minutes;
    return plan;
}

void bk_try_link(bk_trying *s, bk_fact *fact)
{
    const bk_link *link = &s->plan->stages[fact->stage].links[fact->link];
    bool wait = fact->kind == BK_FACT_WAIT;
    int64_t minutes = bk_least_change(s, wait ? link->wait : LONGEST_DELAY, ease_link, fact);
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
    bk_attempt *kept =
        bk_keep_change(s, ease_link, fact, minutes, wait ? "wait" : "within", minutes, words);
    bk_replaces(s, kept, wait ? link->wait_place : link->within_place, span);
    if (kept) {
        kept->eased = s->plan->stages[fact->stage].dish;
        kept->far = !wait && far_beyond(link->within, minutes);
    }
}

/* ------------------------------------------------------- keeps, margin, ranges */

static bk_plan *keep_longer(bk_arena *arena, const bk_plan *old, void *context, int64_t minutes)
{
    const bk_fact *fact = context;
    bk_plan *plan = bk_plan_copy(arena, old);
    plan->dishes = bk_copy_of(arena, plan->dishes, plan->dish_count * sizeof *plan->dishes);
    plan->dishes[fact->dish].keeps += minutes;
    return plan;
}

void bk_try_keeping(bk_trying *s, bk_fact *fact)
{
    const bk_dish *dish = &s->plan->dishes[fact->dish];
    int64_t minutes = bk_least_change(s, LONGEST_DELAY, keep_longer, fact);
    if (minutes == 0)
        return;
    const char *span = bk_minutes(s->arena, dish->keeps + minutes);
    bk_attempt *kept = bk_keep_change(
        s, keep_longer, fact, minutes, "keeps", minutes,
        bk_format(s->arena, "let %s be ready up to %s before it is %s, not %s (\"keeps\": \"%s\")",
                  dish->name, span, dish->part ? "last used" : "served",
                  bk_minutes(s->arena, dish->keeps), span));
    bk_replaces(s, kept, dish->keeps_place, span);
    if (kept) {
        kept->eased = fact->dish;
        kept->far = far_beyond(dish->keeps, minutes);
    }
}

static bk_plan *less_margin(bk_arena *arena, const bk_plan *old, void *context, int64_t minutes)
{
    (void)context;
    bk_plan *plan = bk_plan_copy(arena, old);
    plan->margin -= minutes;
    return plan;
}

void bk_try_margin(bk_trying *s)
{
    int64_t minutes = bk_least_change(s, s->plan->margin, less_margin, NULL);
    if (minutes == 0)
        return;
    int64_t left = s->plan->margin - minutes;
    bk_attempt *kept = bk_keep_change(
        s, less_margin, NULL, minutes, "margin", minutes,
        left == 0 ? "plan no margin (\"margin\": \"0 min\")"
                  : bk_format(s->arena, "plan a margin of %s, not %s (\"margin\": \"%s\")",
                              bk_minutes(s->arena, left), bk_minutes(s->arena, s->plan->margin),
                              bk_minutes(s->arena, left)));
    bk_replaces(s, kept, s->plan->margin_place, bk_minutes(s->arena, left));
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
    bk_plan *plan = bk_plan_copy(arena, old);
    plan->stages = bk_copy_of(arena, plan->stages, plan->stage_count * sizeof *plan->stages);
    bk_stage *stage = &plan->stages[change->stage];
    stage->planned = change->planned;
    stage->checks = bk_copy_of(arena, stage->checks, stage->check_count * sizeof *stage->checks);
    size_t count = 0; /* what comes after the end is left out: only a look, and reminders */
    for (size_t k = 0; k < stage->check_count; k++)
        if (stage->checks[k].takes > 0 || stage->checks[k].at < stage->planned)
            stage->checks[count++] = stage->checks[k];
    stage->check_count = count;
    return plan;
}

/* A stage that is given a range, planned on its likely end, or on its short one. */
void bk_try_short_end(bk_trying *s, size_t stage)
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
            !bk_fits_changed(s, plan_short, change, 0))
            continue;
        const char *span = bk_minutes(s->arena, ends[i]);
        const char *how = of->cooling
                              ? ""
                              : bk_format(s->arena, " (\"%s\": \"%s\")",
                                          of->attention == BK_HANDS ? "active" : "passive", span);
        bool as_written = of->attention != BK_HANDS || s->plan->kitchen.pace == 1.0;
        bk_attempt *kept = bk_keep_change(
            s, plan_short, change, of->planned - ends[i], "range", of->planned - ends[i],
            bk_format(s->arena, "plan on the %s end of %s, %s, not %s%s", names[i],
                      bk_stage_name(s->arena, s->plan, stage), span,
                      bk_minutes(s->arena, of->planned), as_written ? how : ""));
        if (!of->cooling && of->times == 1.0)
            bk_replaces(s, kept, of->range_place, span);
        return;
    }
}

/* ---------------------------------------------------------------- at table */

static bk_plan *eat_faster(bk_arena *arena, const bk_plan *old, void *context, int64_t minutes)
{
    (void)context;
    bk_plan *plan = bk_plan_copy(arena, old);
    plan->at_table -= minutes;
    return plan;
}

void bk_try_eating_faster(bk_trying *s)
{
    int64_t minutes = bk_least_change(s, s->plan->at_table, eat_faster, NULL);
    if (minutes == 0)
        return;
    int64_t left = s->plan->at_table - minutes;
    bk_attempt *kept = bk_keep_change(
        s, eat_faster, NULL, minutes, "at_table", minutes,
        bk_format(s->arena, "be at table for %s, not %s: \"at_table\": \"%s\"",
                  left == 0 ? "no time" : bk_minutes(s->arena, left),
                  bk_minutes(s->arena, s->plan->at_table), bk_minutes(s->arena, left)));
    bk_replaces(s, kept, s->plan->at_table_place, bk_minutes(s->arena, left));
    if (kept)
        kept->target = 0;
}

static bk_plan *any_time(bk_arena *arena, const bk_plan *old, void *context, int64_t stage)
{
    (void)context;
    bk_plan *plan = bk_plan_copy(arena, old);
    plan->stages = bk_copy_of(arena, plan->stages, plan->stage_count * sizeof *plan->stages);
    plan->stages[stage].has_when = false;
    return plan;
}

void bk_try_any_time(bk_trying *s, const bk_fact *fact)
{
    int64_t stage = (int64_t)fact->stage;
    if (!bk_fits(s, any_time(s->arena, s->plan, NULL, stage)))
        return;
    bk_edit_set edits = bk_edits_of(s);
    bk_edit_remove(&edits, s->plan->stages[stage].when_place);
    bk_written_as(bk_keep_change(s, any_time, NULL, stage, "when", WHEN_LIKE,
                                 bk_format(s->arena, "let %s be at any time, without its \"when\"",
                                           bk_stage_name(s->arena, s->plan, fact->stage))),
                  &edits);
}
