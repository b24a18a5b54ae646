/* FORMAT section 8.
 *
 * Written straight into the text builder rather than through a JSON library: a
 * tree of library objects lives outside the arena and would be lost when memory
 * runs out half-way (the arena jumps), and the library's allocation hooks are
 * process-wide. The tests read the result back with the library instead. */
#include "write/words.h"
#include "write/write.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct json {
    const bk_timeline *timeline;
    bk_arena *arena;
    bk_text *out;
    size_t depth;
    bool first; /* nothing yet in the innermost object or list */
} json;

static void new_line(json *j)
{
    bk_text_add(j->out, "\n");
    bk_text_add_repeated(j->out, ' ', 2 * j->depth);
}

static void string(json *j, const char *text)
{
    size_t left = text ? strlen(text) : 0;
    if (!text) {
        bk_text_add(j->out, "null");
        return;
    }
    bk_text_add(j->out, "\"");
    while (left > 0) {
        uint32_t code = 0;
        size_t length = bk_utf8_next(text, left, &code);
        if (length == 0) {
            bk_text_add(j->out, "\xef\xbf\xbd");
            length = 1;
        } else if (code == '"' || code == '\\') {
            bk_text_addf(j->out, "\\%c", (int)code);
        } else if (code < 0x20 || code == 0x7f) {
            bk_text_addf(j->out, "\\u%04x", (unsigned)code);
        } else {
            bk_text_add_bytes(j->out, text, length);
        }
        text += length;
        left -= length;
    }
    bk_text_add(j->out, "\"");
}

/* Begins a member of an object; with key NULL, an element of a list. */
static void member(json *j, const char *key)
{
    if (!j->first)
        bk_text_add(j->out, ",");
    j->first = false;
    new_line(j);
    if (key) {
        string(j, key);
        bk_text_add(j->out, ": ");
    }
}

static void open(json *j, const char *key, const char *bracket)
{
    if (j->depth > 0)
        member(j, key);
    bk_text_add(j->out, bracket);
    j->depth++;
    j->first = true;
}

static void close(json *j, const char *bracket)
{
    j->depth--;
    if (!j->first)
        new_line(j);
    bk_text_add(j->out, bracket);
    j->first = false;
}

static void text_member(json *j, const char *key, const char *text)
{
    member(j, key);
    string(j, text);
}

static void integer(json *j, const char *key, int64_t value)
{
    member(j, key);
    bk_text_addf(j->out, "%" PRId64, value);
}

static void boolean(json *j, const char *key, bool value)
{
    member(j, key);
    bk_text_add(j->out, value ? "true" : "false");
}

static void null(json *j, const char *key)
{
    text_member(j, key, NULL);
}

/* A decimal that reads back as the same number; the decimal sign of the host's
 * locale becomes a point. */
static void number(json *j, const char *key, double value)
{
    char digits[40];
    member(j, key);
    if (!isfinite(value)) {
        bk_text_add(j->out, "null");
        return;
    }
    snprintf(digits, sizeof digits, "%.15g", value);
    if (strtod(digits, NULL) != value)
        snprintf(digits, sizeof digits, "%.17g", value);
    for (const char *c = digits; *c;) {
        if (strchr("0123456789+-e", *c)) {
            bk_text_add_bytes(j->out, c++, 1);
        } else {
            bk_text_add(j->out, ".");
            while (*c && !strchr("0123456789+-e", *c))
                c++;
        }
    }
}

static void instant(json *j, const char *key, bk_instant at)
{
    text_member(j, key, bk_instant_rfc3339(j->arena, j->timeline->plan->zone, at));
}

static void oven_name(json *j, const char *key, size_t equipment, int number)
{
    text_member(
        j, key,
        bk_format(j->arena, "%s#%d", j->timeline->plan->kitchen.equipment[equipment].name, number));
}

static void heat(json *j, size_t equipment, double celsius)
{
    number(j, "temperature_c", celsius);
    if (j->timeline->plan->kitchen.equipment[equipment].fan)
        number(j, "dial_c", bk_words_dial(j->timeline->plan, equipment, celsius));
}

static void objective(json *j)
{
    const bk_timeline *t = j->timeline;
    bool placed = t->stage_count > 0;
    open(j, "objective", "{");
    if (placed) {
        instant(j, "first_start", t->start);
        integer(j, "waiting_minutes", t->waiting);
        integer(j, "hands_on_serving_day_minutes", t->hands_on_serving_day);
    } else {
        null(j, "first_start");
        null(j, "waiting_minutes");
        null(j, "hands_on_serving_day_minutes");
    }
    if (placed && bk_words_known(t->bound_start))
        instant(j, "bound_first_start", t->bound_start);
    else
        null(j, "bound_first_start");
    if (placed && bk_words_known(t->bound_waiting))
        integer(j, "bound_waiting_minutes", t->bound_waiting);
    else
        null(j, "bound_waiting_minutes");
    if (placed && t->plan->style == BK_AHEAD && bk_words_known(t->bound_hands))
        integer(j, "bound_hands_on_serving_day_minutes", t->bound_hands);
    else
        null(j, "bound_hands_on_serving_day_minutes");
    close(j, "}");
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
    [BK_FACT_SERVE] = "serve",
    [BK_FACT_MARGIN] = "margin",
    [BK_FACT_KEEPS] = "keeps",
    [BK_FACT_EARLIEST] = "earliest",
    [BK_FACT_NOW] = "now",
    [BK_FACT_CHECK] = "check",
    [BK_FACT_FIRST_START] = "first-start",
};

static const char *const window_words[] = {
    [BK_ASLEEP] = "asleep", [BK_AWAY] = "away", [BK_BUSY] = "busy"};

static void fact(json *j, const bk_fact *f)
{
    const bk_plan *plan = j->timeline->plan;
    const bk_window *window =
        f->window < plan->kitchen.window_count ? &plan->kitchen.windows[f->window] : NULL;
    const bk_stage *stage = f->stage < plan->stage_count ? &plan->stages[f->stage] : NULL;
    size_t dish = f->dish < plan->dish_count ? f->dish : stage ? stage->dish : SIZE_MAX;

    open(j, NULL, "{");
    text_member(j, "fact", window ? window_words[window->kind] : fact_words[f->kind]);
    text_member(j, "dish", dish < plan->dish_count ? plan->dishes[dish].name : NULL);
    text_member(j, "stage", stage ? stage->id : NULL);
    if (f->other < plan->stage_count) {
        open(j, "other", "{");
        text_member(j, "dish", plan->dishes[plan->stages[f->other].dish].name);
        text_member(j, "stage", plan->stages[f->other].id);
        close(j, "}");
    }
    if (f->equipment < plan->kitchen.equipment_count)
        text_member(j, "equipment", plan->kitchen.equipment[f->equipment].name);
    if (window) {
        instant(j, "from", window->from);
        instant(j, "to", window->to);
    }
    if (stage && f->check < stage->check_count)
        text_member(j, "check", stage->checks[f->check].text);
    text_member(j, "message", f->message);
    text_member(j, "source", bk_words_source(j->arena, f->place));
    close(j, "}");
}

static void facts(json *j, const char *key, const bk_fact *items, size_t count)
{
    open(j, key, "[");
    for (size_t i = 0; i < count; i++)
        fact(j, &items[i]);
    close(j, "]");
}

static void placed_checks(json *j, const bk_placed *placed)
{
    open(j, "checks", "[");
    for (size_t i = 0; i < placed->check_count; i++) {
        const bk_placed_check *check = &placed->checks[i];
        if (check->dropped)
            continue;
        open(j, NULL, "{");
        instant(j, "start", check->start);
        instant(j, "end", check->end);
        text_member(j, "do", check->check->text);
        close(j, "}");
    }
    close(j, "]");
}

static void placed_stage(json *j, const bk_placed *placed)
{
    static const char *const attention[] = {
        [BK_HANDS] = "hands", [BK_WATCH] = "watch", [BK_NONE] = "none"};
    const bk_plan *plan = j->timeline->plan;
    const bk_stage *stage = &plan->stages[placed->stage];

    open(j, NULL, "{");
    text_member(j, "dish", plan->dishes[stage->dish].name);
    text_member(j, "stage", stage->id);
    text_member(j, "do", stage->text);
    text_member(j, "attention", attention[stage->attention]);
    instant(j, "start", placed->start);
    instant(j, "end", placed->end);
    integer(j, "planned_minutes", stage->planned);
    integer(j, "least_minutes", stage->range.least);
    integer(j, "likely_minutes", stage->range.likely);
    integer(j, "most_minutes", stage->range.most);
    integer(j, "slack_minutes", placed->slack);
    boolean(j, "critical", placed->slack == 0);
    instant(j, "latest_start", placed->start + placed->slack);
    if (stage->in_oven) {
        oven_name(j, "oven", stage->oven.equipment, placed->oven_number);
        heat(j, stage->oven.equipment, placed->temperature_c);
    } else {
        null(j, "oven");
        null(j, "temperature_c");
    }
    placed_checks(j, placed);
    facts(j, "pinned_by", placed->pinned_by, placed->pinned_count);
    if (stage->note)
        text_member(j, "note", stage->note);
    if (stage->caution)
        text_member(j, "caution", stage->caution);
    close(j, "}");
}

static void ovens(json *j)
{
    open(j, "ovens", "[");
    for (size_t i = 0; i < j->timeline->oven_count; i++) {
        const bk_oven_run *run = &j->timeline->ovens[i];
        open(j, NULL, "{");
        oven_name(j, "oven", run->equipment, run->number);
        instant(j, "on", run->on);
        instant(j, "ready", run->ready);
        instant(j, "off", run->off);
        heat(j, run->equipment, run->temperature_c);
        boolean(j, "from_cold", run->from_cold);
        close(j, "}");
    }
    close(j, "]");
}

static void warnings(json *j)
{
    const bk_timeline *t = j->timeline;
    open(j, "warnings", "[");
    for (size_t i = 0; i < t->warning_count; i++) {
        const bk_message *w = &t->warnings[i];
        if (bk_words_repeated(t, i))
            continue;
        open(j, NULL, "{");
        text_member(j, "code", w->code);
        text_member(j, "message",
                    w->mend ? bk_format(j->arena, "%s; %s", w->text, w->mend) : w->text);
        text_member(j, "source", bk_words_source(j->arena, w->place));
        close(j, "}");
    }
    close(j, "]");
}

static void remedies(json *j)
{
    open(j, "remedies", "[");
    for (size_t i = 0; i < j->timeline->remedy_count; i++) {
        const bk_remedy *remedy = &j->timeline->remedies[i];
        open(j, NULL, "{");
        text_member(j, "change", remedy->change);
        text_member(j, "message", remedy->message);
        if (remedy->has_first_start)
            instant(j, "first_start", remedy->first_start);
        else
            null(j, "first_start");
        close(j, "}");
    }
    close(j, "]");
}

void bk_write_json(const bk_timeline *timeline, bk_text *out)
{
    static const char *const status[] = {[BK_TIMELINE_OPTIMAL] = "optimal",
                                         [BK_TIMELINE_FEASIBLE] = "feasible",
                                         [BK_TIMELINE_IMPOSSIBLE] = "impossible",
                                         [BK_TIMELINE_UNKNOWN] = "unknown"};
    json writer = {.timeline = timeline, .arena = out->arena, .out = out, .first = true};
    json *j = &writer;
    bool placed = timeline->stage_count > 0;

    open(j, NULL, "{");
    text_member(j, "format", "bakeset-timeline-1");
    text_member(j, "occasion", timeline->plan->occasion);
    text_member(j, "timezone", bk_zone_name(timeline->plan->zone));
    text_member(j, "status", status[timeline->status]);
    if (placed) {
        instant(j, "start", timeline->start);
        instant(j, "ready", timeline->ready);
    } else {
        null(j, "start");
        null(j, "ready");
    }
    objective(j);
    open(j, "stages", "[");
    for (size_t i = 0; i < timeline->stage_count; i++)
        placed_stage(j, &timeline->stages[i]);
    close(j, "]");
    ovens(j);
    warnings(j);
    if (timeline->status == BK_TIMELINE_IMPOSSIBLE) {
        facts(j, "why", timeline->why, timeline->why_count);
        remedies(j);
    }
    open(j, "search", "{");
    integer(j, "conflicts", timeline->conflicts);
    boolean(j, "complete", timeline->complete);
    close(j, "}");
    close(j, "}");
    bk_text_add(out, "\n");
}
