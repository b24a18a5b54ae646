/* FORMAT section 8. The tests read the result back with a JSON library. */
#include "json/json.h"
#include "write/words/words.h"
#include "write/write.h"

typedef struct json {
    const bk_timeline *timeline;
    bk_arena *arena;
    bk_put put;
    int curves; /* written so far */
} json;

static void instant(json *j, const char *key, bk_instant at)
{
    bk_put_text(&j->put, key, bk_instant_rfc3339(j->arena, j->timeline->plan->zone, at));
}

static void oven_name(json *j, const char *key, size_t equipment, int number)
{
    bk_put_text(
        &j->put, key,
        bk_format(j->arena, "%s#%d", j->timeline->plan->kitchen.equipment[equipment].name, number));
}

static void heat(json *j, size_t equipment, double celsius)
{
    bk_put_number(&j->put, "temperature_c", celsius);
    if (j->timeline->plan->kitchen.equipment[equipment].fan)
        bk_put_number(&j->put, "dial_c", bk_words_dial(j->timeline->plan, equipment, celsius));
    if (j->timeline->plan->kitchen.equipment[equipment].fahrenheit)
        bk_put_integer(&j->put, "dial_f", bk_words_dial_f(j->timeline->plan, equipment, celsius));
}

static void objective(json *j)
{
    const bk_timeline *t = j->timeline;
    bool placed = t->stage_count > 0;
    bk_put_open(&j->put, "objective", "{");
    if (placed) {
        instant(j, "first_start", t->start);
        bk_put_integer(&j->put, "interruptions", t->interruptions);
        bk_put_integer(&j->put, "waiting_minutes", t->waiting);
        bk_put_integer(&j->put, "hands_on_serving_day_minutes", t->hands_on_serving_day);
        bk_put_integer(&j->put, "hands_on_busiest_other_day_minutes", t->busiest_other_day);
    } else {
        bk_put_null(&j->put, "first_start");
        bk_put_null(&j->put, "interruptions");
        bk_put_null(&j->put, "waiting_minutes");
        bk_put_null(&j->put, "hands_on_serving_day_minutes");
        bk_put_null(&j->put, "hands_on_busiest_other_day_minutes");
    }
    if (placed && bk_words_known(t->bound_start))
        instant(j, "bound_first_start", t->bound_start);
    else
        bk_put_null(&j->put, "bound_first_start");
    if (placed && bk_words_known(t->bound_interruptions))
        bk_put_integer(&j->put, "bound_interruptions", t->bound_interruptions);
    else
        bk_put_null(&j->put, "bound_interruptions");
    if (placed && bk_words_known(t->bound_waiting))
        bk_put_integer(&j->put, "bound_waiting_minutes", t->bound_waiting);
    else
        bk_put_null(&j->put, "bound_waiting_minutes");
    if (placed && t->plan->style != BK_FRESH && bk_words_known(t->bound_hands))
        bk_put_integer(&j->put, "bound_hands_on_serving_day_minutes", t->bound_hands);
    else
        bk_put_null(&j->put, "bound_hands_on_serving_day_minutes");
    if (placed && t->plan->style == BK_SPREAD && bk_words_known(t->bound_busiest))
        bk_put_integer(&j->put, "bound_hands_on_busiest_other_day_minutes", t->bound_busiest);
    else
        bk_put_null(&j->put, "bound_hands_on_busiest_other_day_minutes");
    bk_put_close(&j->put, "}");
}

static const char *const fact_words[] = {
    [BK_FACT_STAGE_TIME] = "stage-time",
    [BK_FACT_WAIT] = "wait",
    [BK_FACT_WITHIN] = "within",
    [BK_FACT_WINDOW] = "busy", /* the window's own kind when it is known */
    [BK_FACT_HANDS] = "hands",
    [BK_FACT_POOL] = "pool",
    [BK_FACT_SHELVES] = "shelves",
    [BK_FACT_OVEN_TEMPERATURE] = "oven-temperature",
    [BK_FACT_OVEN_OFF] = "oven-off",
    [BK_FACT_BATCH] = "batch",
    [BK_FACT_SERVE] = "serve",
    [BK_FACT_MARGIN] = "margin",
    [BK_FACT_KEEPS] = "keeps",
    [BK_FACT_EARLIEST] = "earliest",
    [BK_FACT_NOW] = "now",
    [BK_FACT_CHECK] = "check",
    [BK_FACT_BEGINS] = "begins",
    [BK_FACT_AT_TABLE] = "at_table",
    [BK_FACT_WHEN] = "when",
    [BK_FACT_COOK] = "cook",
};

static void fact(json *j, const bk_fact *f)
{
    const bk_plan *plan = j->timeline->plan;
    const bk_window *window =
        f->window < plan->kitchen.window_count ? &plan->kitchen.windows[f->window] : NULL;
    const bk_stage *stage = f->stage < plan->stage_count ? &plan->stages[f->stage] : NULL;
    size_t dish = f->dish < plan->dish_count ? f->dish : stage ? stage->dish : SIZE_MAX;

    bk_put_open(&j->put, NULL, "{");
    bk_put_text(&j->put, "fact", window ? bk_window_key(window->kind) : fact_words[f->kind]);
    bk_put_text(&j->put, "dish", dish < plan->dish_count ? plan->dishes[dish].name : NULL);
    bk_put_text(&j->put, "stage", stage ? stage->id : NULL);
    if (f->other < plan->stage_count) {
        bk_put_open(&j->put, "other", "{");
        bk_put_text(&j->put, "dish", plan->dishes[plan->stages[f->other].dish].name);
        bk_put_text(&j->put, "stage", plan->stages[f->other].id);
        bk_put_close(&j->put, "}");
    }
    if (f->equipment < plan->kitchen.equipment_count)
        bk_put_text(&j->put, "equipment", plan->kitchen.equipment[f->equipment].name);
    if (window) {
        instant(j, "from", window->from);
        instant(j, "to", window->to);
    }
    if (f->cook < plan->kitchen.people_count)
        bk_put_text(&j->put, "cook", plan->kitchen.people[f->cook].name);
    if (f->from < f->to) {
        instant(j, "from", f->from);
        instant(j, "to", f->to);
    }
    if (stage && f->check < stage->check_count)
        bk_put_text(&j->put, "check", stage->checks[f->check].text);
    bk_put_text(&j->put, "message", f->message);
    bk_put_text(&j->put, "source", bk_words_source(j->arena, f->place));
    bk_put_close(&j->put, "}");
}

static void facts(json *j, const char *key, const bk_fact *items, size_t count)
{
    bk_put_open(&j->put, key, "[");
    for (size_t i = 0; i < count; i++)
        fact(j, &items[i]);
    bk_put_close(&j->put, "]");
}

/* Whose hands; only where the cooks have names. */
static void by(json *j, const size_t *cooks, size_t count)
{
    const bk_kitchen *kitchen = &j->timeline->plan->kitchen;
    if (kitchen->people_count == 0)
        return;
    bk_put_open(&j->put, "by", "[");
    for (size_t i = 0; i < count; i++)
        bk_put_text(&j->put, NULL, kitchen->people[cooks[i]].name);
    bk_put_close(&j->put, "]");
}

static void placed_checks(json *j, const bk_placed *placed)
{
    bk_put_open(&j->put, "checks", "[");
    for (size_t i = 0; i < placed->check_count; i++) {
        const bk_placed_check *check = &placed->checks[i];
        if (check->dropped)
            continue;
        bk_put_open(&j->put, NULL, "{");
        instant(j, "start", check->start);
        instant(j, "end", check->end);
        bk_put_text(&j->put, "do", check->check->text);
        by(j, check->by, check->by_count);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
}

static void curve(json *j, const bk_placed *placed)
{
    if (!bk_has_curve(j->timeline->plan, placed))
        return;
    if (j->curves++ >= BK_MOST_CURVES) {
        bk_put_null(&j->put, "curve");
        return;
    }
    bk_curve course = bk_curve_of(j->arena, j->timeline->plan, placed);
    bk_put_open(&j->put, "curve", "[");
    for (size_t i = 0; i < course.count; i++) {
        bk_put_open(&j->put, NULL, "{");
        instant(j, "at", course.at[i]);
        bk_put_number(&j->put, "c", round(10.0 * course.celsius[i]) / 10.0);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
}

static void placed_stage(json *j, const bk_placed *placed)
{
    static const char *const attention[] = {
        [BK_HANDS] = "hands", [BK_WATCH] = "watch", [BK_NONE] = "none"};
    const bk_plan *plan = j->timeline->plan;
    const bk_stage *stage = &plan->stages[placed->stage];

    bk_put_open(&j->put, NULL, "{");
    bk_put_text(&j->put, "dish", plan->dishes[stage->dish].name);
    bk_put_text(&j->put, "stage", stage->id);
    bk_put_text(&j->put, "do", stage->text);
    bk_put_text(&j->put, "attention", attention[stage->attention]);
    by(j, placed->by, placed->by_count);
    instant(j, "start", placed->start);
    instant(j, "end", placed->end);
    bk_put_integer(&j->put, "planned_minutes", stage->planned);
    bk_put_integer(&j->put, "least_minutes", stage->range.least);
    bk_put_integer(&j->put, "likely_minutes", stage->range.likely);
    bk_put_integer(&j->put, "most_minutes", stage->range.most);
    bk_put_integer(&j->put, "slack_minutes", placed->slack);
    bk_put_boolean(&j->put, "critical", placed->slack == 0);
    instant(j, "latest_start", placed->start + placed->slack);
    if (placed->early == BK_EARLY_UNKNOWN) {
        bk_put_null(&j->put, "early_minutes");
        bk_put_null(&j->put, "earliest_start");
    } else {
        bk_put_integer(&j->put, "early_minutes", placed->early);
        instant(j, "earliest_start", placed->start - placed->early);
    }
    if (stage->in_oven) {
        oven_name(j, "oven", stage->oven.equipment, placed->oven_number);
        if (stage->oven_off)
            bk_put_null(&j->put, "temperature_c");
        else
            heat(j, stage->oven.equipment, placed->temperature_c);
    } else {
        bk_put_null(&j->put, "oven");
        bk_put_null(&j->put, "temperature_c");
    }
    placed_checks(j, placed);
    facts(j, "pinned_by", placed->pinned_by, placed->pinned_count);
    if (bk_has_begun(stage)) {
        bk_put_boolean(&j->put, "done", stage->progress != BK_RUNNING);
        bk_put_boolean(&j->put, "begun", true);
        bk_put_boolean(&j->put, "assumed", stage->assumed);
        bk_put_boolean(&j->put, "left_out", stage->progress == BK_LEFT_OUT);
    }
    curve(j, placed);
    if (stage->note)
        bk_put_text(&j->put, "note", stage->note);
    if (stage->caution)
        bk_put_text(&j->put, "caution", stage->caution);
    bk_put_close(&j->put, "}");
}

static void ovens(json *j)
{
    bk_put_open(&j->put, "ovens", "[");
    for (size_t i = 0; i < j->timeline->oven_count; i++) {
        const bk_oven_run *run = &j->timeline->ovens[i];
        bk_put_open(&j->put, NULL, "{");
        oven_name(j, "oven", run->equipment, run->number);
        instant(j, "on", run->on);
        instant(j, "ready", run->ready);
        instant(j, "off", run->off);
        heat(j, run->equipment, run->temperature_c);
        bk_put_boolean(&j->put, "from_cold", run->from_cold);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
}

/* The stage that something is about, or nulls. */
static void put_about(json *j, size_t index)
{
    const bk_plan *plan = j->timeline->plan;
    const bk_stage *stage = index < plan->stage_count ? &plan->stages[index] : NULL;
    bk_put_text(&j->put, "dish", stage ? plan->dishes[stage->dish].name : NULL);
    bk_put_text(&j->put, "stage", stage ? stage->id : NULL);
}

static void warnings(json *j)
{
    const bk_timeline *t = j->timeline;
    bk_put_open(&j->put, "warnings", "[");
    for (size_t i = 0; i < t->warning_count; i++) {
        const bk_message *w = &t->warnings[i];
        bk_put_open(&j->put, NULL, "{");
        bk_put_text(&j->put, "code", w->code);
        put_about(j, w->about.stage);
        bk_put_text(&j->put, "message",
                    w->mend ? bk_format(j->arena, "%s; %s", w->text, w->mend) : w->text);
        bk_put_text(&j->put, "source", bk_words_source(j->arena, w->place));
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
}

static void edits(json *j, const bk_remedy *remedy)
{
    bk_put_open(&j->put, "edits", "[");
    for (size_t i = 0; i < remedy->edit_count; i++) {
        const bk_edit *edit = &remedy->edits[i];
        bk_put_open(&j->put, NULL, "{");
        bk_put_text(&j->put, "file", edit->file);
        bk_put_text(&j->put, "op", edit->op);
        bk_put_text(&j->put, "path", edit->path);
        if (edit->value)
            bk_put_value(&j->put, "value", edit->value);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
}

static void remedies(json *j, const char *key, const bk_remedy *items, size_t count)
{
    bk_put_open(&j->put, key, "[");
    for (size_t i = 0; i < count; i++) {
        const bk_remedy *remedy = &items[i];
        bk_put_open(&j->put, NULL, "{");
        bk_put_text(&j->put, "change", remedy->change);
        bk_put_text(&j->put, "message", remedy->message);
        if (remedy->has_first_start)
            instant(j, "first_start", remedy->first_start);
        else
            bk_put_null(&j->put, "first_start");
        edits(j, remedy);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
}

/* Where no single change helps. */
static void conflicts(json *j)
{
    const bk_timeline *t = j->timeline;
    bk_put_open(&j->put, "conflicts", "[");
    for (size_t i = 0; i < t->conflict_count; i++) {
        bk_put_open(&j->put, NULL, "{");
        facts(j, "why", t->all_conflicts[i].facts, t->all_conflicts[i].count);
        remedies(j, "settled_by", t->all_conflicts[i].remedies, t->all_conflicts[i].remedy_count);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
    if (t->together_count == 0) {
        bk_put_null(&j->put, "together");
        return;
    }
    bk_put_open(&j->put, "together", "{");
    remedies(j, "changes", t->together, t->together_count);
    instant(j, "first_start", t->together_start);
    bk_put_close(&j->put, "}");
}

static void notes(json *j)
{
    bk_put_open(&j->put, "notes", "[");
    for (size_t i = 0; i < j->timeline->plan->note_count; i++)
        bk_put_text(&j->put, NULL, j->timeline->plan->notes[i]);
    bk_put_close(&j->put, "]");
}

static void standing(json *j)
{
    const bk_timeline *t = j->timeline;
    bk_put_open(&j->put, "standing", "[");
    for (size_t i = 0; i < t->gap_count; i++) {
        const bk_gap *gap = &t->gaps[i];
        const bk_stage *after = &t->plan->stages[gap->after];
        bk_put_open(&j->put, NULL, "{");
        bk_put_text(&j->put, "dish", t->plan->dishes[gap->dish].name);
        bk_put_text(&j->put, "after", after->id);
        if (gap->before == SIZE_MAX)
            bk_put_null(&j->put, "before");
        else if (t->plan->stages[gap->before].dish == gap->dish)
            bk_put_text(&j->put, "before", t->plan->stages[gap->before].id);
        else
            bk_put_text(&j->put, "before", bk_stage_name(j->arena, t->plan, gap->before));
        bk_put_integer(&j->put, "minutes", gap->minutes);
        bk_put_text(&j->put, "where",
                    gap->cold == SIZE_MAX ? "room" : t->plan->kitchen.equipment[gap->cold].name);
        bk_put_boolean(&j->put, "hot", gap->hot);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
}

/* A stage by name, in an object that goes on. */
static void open_stage(json *j, size_t index)
{
    bk_put_open(&j->put, NULL, "{");
    put_about(j, index);
}

static bool is_ahead(const bk_timeline *t, size_t i, bk_instant now)
{
    return !bk_has_begun(&t->plan->stages[t->stages[i].stage]) && t->stages[i].start >= now;
}

static void running_and_next(json *j, const bk_day *day)
{
    enum { MOST_NEXT = 3 };
    const bk_timeline *t = j->timeline;
    size_t next = 0;
    bk_put_open(&j->put, "running", "[");
    for (size_t i = 0; i < t->stage_count; i++) {
        if (t->plan->stages[t->stages[i].stage].progress != BK_RUNNING)
            continue;
        open_stage(j, t->stages[i].stage);
        instant(j, "until", t->stages[i].end);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
    bk_put_open(&j->put, "next", "[");
    for (size_t i = 0; i < t->stage_count && next < MOST_NEXT; i++) {
        if (!is_ahead(t, i, day->now))
            continue;
        open_stage(j, t->stages[i].stage);
        instant(j, "start", t->stages[i].start);
        bk_put_close(&j->put, "}");
        next++;
    }
    bk_put_close(&j->put, "]");
}

/* Of what more can be said, what was said of it: dishes, cooks, ovens. */
static void what_was_said(json *j, const bk_day *day)
{
    bk_put_open(&j->put, "dishes", "[");
    for (size_t d = 0; d < day->plan->dish_count; d++) {
        const bk_dish *dish = &day->plan->dishes[d];
        if (dish->part)
            continue;
        bk_put_open(&j->put, NULL, "{");
        bk_put_text(&j->put, "dish", dish->name);
        instant(j, "serve", dish->serve);
        bk_put_boolean(&j->put, "served", dish->served);
        bk_put_boolean(&j->put, "out", dish->out);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
    bk_put_open(&j->put, "cooks", "[");
    for (size_t c = 0; c < day->plan->kitchen.people_count; c++) {
        const bk_cook *cook = &day->plan->kitchen.people[c];
        bk_put_open(&j->put, NULL, "{");
        bk_put_text(&j->put, "cook", cook->name);
        if (cook->leaves)
            instant(j, "until", cook->until);
        else
            bk_put_null(&j->put, "until");
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
    bk_put_open(&j->put, "hot", "[");
    for (size_t h = 0; h < day->plan->hot_count; h++) {
        const bk_hot *hot = &day->plan->hot[h];
        if (hot->ready > day->now) /* on its way */
            continue;
        bk_put_open(&j->put, NULL, "{");
        oven_name(j, "oven", hot->equipment, hot->number);
        heat(j, hot->equipment, hot->celsius);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
}

static void day_itself(json *j, const bk_day *day)
{
    bk_put_open(&j->put, "day", "{");
    instant(j, "now", day->now);
    bk_put_boolean(&j->put, "finished", day->finished);
    running_and_next(j, day);
    bk_put_open(&j->put, "changed", "[");
    for (size_t i = 0; i < day->moved_count; i++) {
        open_stage(j, day->moved[i].stage);
        instant(j, "was", day->moved[i].was);
        instant(j, "is", day->moved[i].is);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
    bk_put_open(&j->put, "broken", "[");
    for (size_t i = 0; i < day->broken_count; i++) {
        const bk_broken_rule *broken = &day->broken[i];
        bk_put_open(&j->put, NULL, "{");
        bk_put_text(&j->put, "rule", broken->rule);
        bk_put_text(&j->put, "dish", day->plan->dishes[broken->dish].name);
        bk_put_text(&j->put, "stage",
                    broken->stage == SIZE_MAX ? NULL : day->plan->stages[broken->stage].id);
        instant(j, "since", broken->since);
        bk_put_text(&j->put, "message", broken->message);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
    bk_put_open(&j->put, "late", "[");
    for (size_t d = 0; d < day->plan->dish_count; d++) {
        if (day->late[d] == 0 || day->plan->dishes[d].part)
            continue;
        bk_put_open(&j->put, NULL, "{");
        bk_put_text(&j->put, "dish", day->plan->dishes[d].name);
        bk_put_integer(&j->put, "minutes", day->late[d]);
        instant(j, "serve", day->plan->dishes[d].serve);
        bk_put_close(&j->put, "}");
    }
    bk_put_close(&j->put, "]");
    what_was_said(j, day);
    bk_put_close(&j->put, "}");
}

void bk_write_json(const bk_timeline *timeline, const bk_day *day, bk_text *out)
{
    static const char *const status[] = {[BK_TIMELINE_OPTIMAL] = "optimal",
                                         [BK_TIMELINE_FEASIBLE] = "feasible",
                                         [BK_TIMELINE_IMPOSSIBLE] = "impossible",
                                         [BK_TIMELINE_UNKNOWN] = "unknown"};
    json writer = {.timeline = timeline, .arena = out->arena, .put = bk_put_to(out)};
    json *j = &writer;
    bool placed = timeline->stage_count > 0;

    bk_put_open(&j->put, NULL, "{");
    bk_put_text(&j->put, "format", "bakeset-timeline-1");
    bk_put_text(&j->put, "occasion", timeline->plan->occasion);
    bk_put_text(&j->put, "timezone", bk_zone_name(timeline->plan->zone));
    bk_put_text(&j->put, "status", status[timeline->status]);
    if (placed) {
        instant(j, "start", timeline->start);
        instant(j, "ready", timeline->ready);
    } else {
        bk_put_null(&j->put, "start");
        bk_put_null(&j->put, "ready");
    }
    objective(j);
    bk_put_open(&j->put, "stages", "[");
    for (size_t i = 0; i < timeline->stage_count; i++)
        placed_stage(j, &timeline->stages[i]);
    bk_put_close(&j->put, "]");
    notes(j);
    ovens(j);
    standing(j);
    warnings(j);
    if (timeline->status == BK_TIMELINE_IMPOSSIBLE) {
        facts(j, "why", timeline->why, timeline->why_count);
        remedies(j, "remedies", timeline->remedies, timeline->remedy_count);
        conflicts(j);
    }
    if (day)
        day_itself(j, day);
    bk_put_open(&j->put, "search", "{");
    bk_put_integer(&j->put, "conflicts", timeline->conflicts);
    bk_put_boolean(&j->put, "complete", timeline->complete);
    bk_put_close(&j->put, "}");
    bk_put_close(&j->put, "}");
    bk_text_add(out, "\n");
}
