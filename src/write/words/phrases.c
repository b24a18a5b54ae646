#include "write/words/phrases.h"
#include "write/words/rows.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

/* Marks that turn the direction of text, and the byte order mark: invisible, and
 * able to make a line read as what it is not. */
static bool is_unwanted(uint32_t code)
{
    return code < 0x20 || (code >= 0x7f && code < 0xa0) || code == 0x61c ||
           (code >= 0x202a && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069) ||
           code == 0x200e || code == 0x200f || code == 0xfeff || (code & 0xfffe) == 0xfffe;
}

char *bk_words_clean(bk_arena *arena, const char *text)
{
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    size_t left = text ? strlen(text) : 0;
    bool blank = false;
    while (left > 0) {
        uint32_t code = 0;
        size_t length = bk_utf8_next(text, left, &code);
        size_t step = length ? length : 1;
        if (length == 1 && (code == ' ' || (code >= '\t' && code <= '\r'))) {
            blank = out.length > 0;
        } else if (length == 0 || !is_unwanted(code)) {
            if (blank)
                bk_text_add(&out, " ");
            blank = false;
            if (length)
                bk_text_add_bytes(&out, text, length);
            else
                bk_text_add(&out, "\xef\xbf\xbd");
        }
        text += step;
        left -= step;
    }
    return out.data;
}

char *bk_words_oven(bk_arena *arena, const bk_plan *plan, size_t equipment, int number)
{
    const bk_equipment *oven = &plan->kitchen.equipment[equipment];
    char *name = bk_words_clean(arena, oven->name);
    return oven->count > 1 ? bk_format(arena, "%s %d", name, number) : name;
}

double bk_words_dial(const bk_plan *plan, size_t equipment, double celsius)
{
    return plan->kitchen.equipment[equipment].fan ? celsius - 20 : celsius;
}

static int rounded(double value)
{
    return (int)(value < 0 ? value - 0.5 : value + 0.5);
}

int bk_words_dial_f(const bk_plan *plan, size_t equipment, double celsius)
{
    return rounded(bk_words_dial(plan, equipment, celsius) * 9 / 5 + 32);
}

char *bk_words_heat(bk_arena *arena, const bk_plan *plan, size_t equipment, double celsius)
{
    double dial = bk_words_dial(plan, equipment, celsius);
    const char *fan = plan->kitchen.equipment[equipment].fan ? " fan" : "";
    if (plan->kitchen.equipment[equipment].fahrenheit)
        return bk_format(arena, "%d °F%s (%d °C)", bk_words_dial_f(plan, equipment, celsius), fan,
                         rounded(dial));
    return bk_format(arena, "%d °C%s", rounded(dial), fan);
}

const char *bk_words_turn(const bk_timeline *timeline, size_t run)
{
    const bk_oven_run *at = &timeline->ovens[run];
    if (at->from_cold)
        return "on,";
    if (run == 0)
        return "over";
    return at->temperature_c < at[-1].temperature_c ? "down" : "up";
}

char *bk_words_range(bk_arena *arena, bk_range range)
{
    if (range.least == range.most)
        return bk_minutes(arena, range.most);
    if (range.most < 60)
        return bk_format(arena, "%" PRId64 "-%" PRId64 " min", range.least, range.most);
    return bk_format(arena, "%s to %s", bk_minutes(arena, range.least),
                     bk_minutes(arena, range.most));
}

char *bk_words_remedy(bk_arena *arena, const bk_timeline *timeline, const bk_remedy *remedy)
{
    char *text = bk_words_clean(arena, remedy->message);
    if (!remedy->has_first_start)
        return text;
    size_t length = strlen(text);
    bool sentence = length > 0 && text[length - 1] == '.';
    if (sentence)
        text[length - 1] = '\0';
    return bk_format(arena, "%s; start by %s%s", text,
                     bk_moment(arena, timeline->plan->zone, remedy->first_start),
                     sentence ? "." : "");
}

char *bk_words_together(bk_arena *arena, const bk_timeline *timeline)
{
    bk_text text = bk_text_new(arena);
    for (size_t i = 0; i < timeline->together_count; i++)
        bk_text_addf(&text, "%s%s",
                     i == 0                              ? ""
                     : i + 1 == timeline->together_count ? ", and "
                                                         : ", ",
                     bk_words_clean(arena, timeline->together[i].message));
    bk_text_addf(&text, "; start by %s",
                 bk_moment(arena, timeline->plan->zone, timeline->together_start));
    return text.data;
}

const char *bk_words_no_remedy(void)
{
    return "Nothing that was tried makes it possible: serving up to a day later, or one change of "
           "a "
           "wait, the kitchen, the hours or the dishes.";
}

char *bk_words_fact(bk_arena *arena, const bk_fact *fact)
{
    char *text = bk_words_clean(arena, fact->message);
    char *source = bk_words_source(arena, fact->place);
    if (!source && fact->kind == BK_FACT_EARLIEST)
        return bk_format(arena,
                         "%s (14 days before the first dish is served, as the plan has no "
                         "\"earliest\": write an earlier one)",
                         text);
    return source ? bk_format(arena, "%s (%s)", text, bk_words_clean(arena, source)) : text;
}

/* "in the fridge (2 places)"; a second tool goes on from the first: "with the mixer
 * and the tin". `tool`: the piece before was one. */
static void add_place(bk_text *out, const bk_plan *plan, size_t equipment, int64_t amount,
                      bool *tool)
{
    const bk_equipment *e = &plan->kitchen.equipment[equipment];
    const char *where = "with", *units = "of them";
    if (e->kind == BK_COLD) {
        where = "in";
        units = "places";
    } else if (e->kind == BK_HOB) {
        where = "on";
        units = "rings";
    }
    bool another = *tool && e->kind != BK_COLD && e->kind != BK_HOB;
    if (out->length > 0)
        bk_text_add(out, another ? " " : ", ");
    bk_text_addf(out, "%s the %s", another ? "and" : where, bk_words_clean(out->arena, e->name));
    if (amount > 1)
        bk_text_addf(out, " (%" PRId64 " %s)", amount, units);
    *tool = e->kind != BK_COLD && e->kind != BK_HOB;
}

char *bk_words_place(bk_arena *arena, const bk_plan *plan, const bk_stage *stage)
{
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    bool tool = false;
    for (size_t i = 0; i < stage->need_count; i++)
        add_place(&out, plan, stage->needs[i].equipment, stage->needs[i].amount, &tool);
    for (size_t i = 0; i < stage->hold_count; i++) {
        bool named = false;
        for (size_t k = 0; k < stage->need_count; k++)
            named |= stage->needs[k].equipment == stage->holds[i].equipment;
        if (!named)
            add_place(&out, plan, stage->holds[i].equipment, stage->holds[i].amount, &tool);
    }
    return out.data;
}

char *bk_words_by(bk_arena *arena, const bk_plan *plan, const size_t *by, size_t count)
{
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    for (size_t i = 0; i < count; i++)
        bk_text_addf(&out, "%s%s",
                     i == 0           ? " by "
                     : i + 1 == count ? " and "
                                      : ", ",
                     bk_words_clean(arena, plan->kitchen.people[by[i]].name));
    return out.data;
}

static bool uses(const bk_stage *stage, size_t equipment)
{
    for (size_t k = 0; k < stage->need_count; k++)
        if (stage->needs[k].equipment == equipment)
            return true;
    return false;
}

char *bk_words_then_cold(bk_arena *arena, const bk_timeline *timeline, const bk_placed *placed)
{
    enum { MOMENT = 15 }; /* minutes: on the way to the table */
    const bk_plan *plan = timeline->plan;
    const bk_stage *stage = &plan->stages[placed->stage];
    const bk_dish *dish = &plan->dishes[stage->dish];
    bk_instant until = bk_timeline_until(timeline, stage->dish);
    for (size_t i = 0; i < timeline->stage_count; i++)
        if (plan->stages[timeline->stages[i].stage].dish == stage->dish &&
            (timeline->stages[i].end > placed->end ||
             (timeline->stages[i].end == placed->end && &timeline->stages[i] > placed)))
            return bk_copy(arena, "", 0);
    for (size_t i = 0; i < dish->stored_count && until > placed->end + MOMENT; i++) {
        const bk_equipment *place = &plan->kitchen.equipment[dish->stored[i].equipment];
        if (place->kind != BK_COLD)
            continue;
        return bk_format(arena, "%s the %s until %s",
                         uses(stage, dish->stored[i].equipment) ? "it stays in" : "then into",
                         bk_words_clean(arena, place->name),
                         bk_clock_seen_from(arena, plan->zone, placed->end, until));
    }
    return bk_copy(arena, "", 0);
}

char *bk_words_course(bk_arena *arena, const bk_timeline *timeline, const bk_placed *placed)
{
    const bk_plan *plan = timeline->plan;
    const bk_stage *stage = &plan->stages[placed->stage];
    const char *place = bk_words_place(arena, plan, stage);
    const char *lasting = bk_words_range(arena, stage->range);
    const char *until = bk_clock_seen_from(arena, plan->zone, placed->start, placed->end);
    const char *oven = "";
    bk_text out = bk_text_new(arena);

    if (stage->oven_off)
        oven = bk_format(arena, "in the %s, switched off,",
                         bk_words_oven(arena, plan, stage->oven.equipment, placed->oven_number));
    else if (stage->in_oven)
        oven = bk_format(arena, "in the %s at %s",
                         bk_words_oven(arena, plan, stage->oven.equipment, placed->oven_number),
                         bk_words_heat(arena, plan, stage->oven.equipment, placed->temperature_c));
    if (stage->attention == BK_HANDS) {
        const char *by = bk_words_by(arena, plan, placed->by, placed->by_count);
        if (stage->cooks > 1 && placed->by_count == 0)
            bk_text_addf(&out, "%s, %d pairs of hands, until %s", lasting, stage->cooks, until);
        else
            bk_text_addf(&out, "%s hands on%s, until %s", lasting, by, until);
        if (oven[0])
            bk_text_addf(&out, ", %s", oven);
        if (place[0])
            bk_text_addf(&out, ", %s", place);
        return out.data;
    }
    if (oven[0])
        bk_text_addf(&out, "%s%s%s", oven, place[0] ? ", " : "", place);
    else
        bk_text_addf(&out, "%s%s%s", stage->attention == BK_WATCH ? "stay near" : "by itself",
                     place[0] ? ", " : "", place);
    bk_text_addf(&out, " for %s, until %s", lasting, until);
    return out.data;
}

char *bk_words_window(bk_arena *arena, const bk_plan *plan, const bk_window *window)
{
    static const char *const what[] = {
        [BK_ASLEEP] = "Asleep", [BK_AWAY] = "Nobody at home", [BK_BUSY] = "Hands not free"};
    char *until = bk_clock_seen_from(arena, plan->zone, window->from, window->to);
    char *label = bk_words_clean(arena, window->label);
    if (label[0])
        return bk_format(arena, "%s until %s (%s)", what[window->kind], until, label);
    return bk_format(arena, "%s until %s", what[window->kind], until);
}

/* The window that a fact holding a stage is about; NULL when it is about none, or
 * another fact before says so. */
static const bk_window *pinning_window(const bk_plan *plan, const bk_placed *placed, size_t fact)
{
    const bk_fact *of = &placed->pinned_by[fact];
    if (of->kind == BK_FACT_WINDOW && of->window < plan->kitchen.window_count)
        return &plan->kitchen.windows[of->window];
    if (of->kind != BK_FACT_BEGINS)
        return NULL;
    for (size_t i = 0; i < placed->pinned_count; i++) {
        const bk_fact *other = &placed->pinned_by[i];
        if (other->kind == BK_FACT_WINDOW && other->window < plan->kitchen.window_count &&
            plan->kitchen.windows[other->window].from == of->from)
            return NULL;
    }
    for (size_t i = 0; i < plan->kitchen.window_count; i++)
        if (plan->kitchen.windows[i].from == of->from)
            return &plan->kitchen.windows[i];
    return NULL;
}

char *bk_words_windows(bk_arena *arena, const bk_timeline *timeline, const bk_placed *placed)
{
    static const char *const event[] = {[BK_ASLEEP] = "you go to bed",
                                        [BK_AWAY] = "you leave the house",
                                        [BK_BUSY] = "your hands are needed elsewhere"};
    const bk_plan *plan = timeline->plan;
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    for (size_t i = 0; i < placed->pinned_count; i++) {
        const bk_window *window = pinning_window(timeline->plan, placed, i);
        if (!window)
            continue;
        bool later = window->from >= placed->start;
        char *label = bk_words_clean(arena, window->label);
        bk_text_addf(&out, "%s%s %s", out.length > 0 ? " " : "",
                     later ? "It must be before" : "Waits until after", event[window->kind]);
        if (label[0])
            bk_text_addf(&out, " (%s)", label);
        bk_text_addf(&out, later ? " at %s." : ", %s.",
                     bk_clock_seen_from(arena, plan->zone, placed->start,
                                        later ? window->from : window->to));
    }
    return out.data;
}

bool bk_words_known(int64_t bound)
{
    return bound != INT64_MAX && bound != INT64_MIN;
}

static char *not_proved(bk_arena *arena, const bk_timeline *t)
{
    const char *good = t->given_up ? "The best until the search was given up, not proved the best"
                                   : "Good, but not proved the best";
    if (t->plan->style != BK_FRESH && bk_words_known(t->bound_hands) &&
        t->bound_hands < t->hands_on_serving_day)
        return bk_format(arena, "%s: another may save up to %s of work on the serving day.", good,
                         bk_minutes(arena, t->hands_on_serving_day - t->bound_hands));
    if (bk_words_known(t->bound_start) && t->bound_start > t->start)
        return bk_format(arena, "%s: another may start up to %s later.", good,
                         bk_minutes(arena, t->bound_start - t->start));
    if (bk_words_known(t->bound_start) && bk_words_known(t->bound_interruptions) &&
        t->bound_interruptions < t->interruptions)
        return bk_format(arena,
                         "%s: none starts later, but in another fewer things may want to be seen "
                         "to while hands are full.",
                         good);
    if (bk_words_known(t->bound_start) && bk_words_known(t->bound_waiting) &&
        t->bound_waiting < t->waiting)
        return bk_format(arena,
                         "%s: none starts later, but in another the steps may wait %s less in all.",
                         good, bk_minutes(arena, t->waiting - t->bound_waiting));
    return bk_format(arena, "%s.", good);
}

char *bk_words_status(bk_arena *arena, const bk_timeline *timeline)
{
    switch (timeline->status) {
    case BK_TIMELINE_OPTIMAL:
        if (timeline->plan->style == BK_SPREAD)
            return bk_copy_string(arena, "The best possible: none has less work on the serving "
                                         "day, or spreads the rest more evenly.");
        if (timeline->plan->style == BK_AHEAD)
            return bk_copy_string(arena, "The best possible: none has less work on the serving "
                                         "day, and of those none starts later.");
        /* The switch of an oven is as late as that timeline has it, and not proved to be. */
        return bk_copy_string(arena, bk_rows_first(timeline) < timeline->start
                                         ? "The best possible: no first step starts later."
                                         : "The best possible: none starts later.");
    case BK_TIMELINE_FEASIBLE:
        return not_proved(arena, timeline);
    case BK_TIMELINE_IMPOSSIBLE:
        return bk_copy_string(arena, "This plan can't be met.");
    case BK_TIMELINE_UNKNOWN:
        break;
    }
    if (timeline->given_up)
        return bk_copy_string(arena, "No timeline was found before the search was given up.");
    return bk_copy_string(arena, "No timeline was found before the search limit; a higher --effort "
                                 "may find one.");
}

char *bk_words_source(bk_arena *arena, bk_place place)
{
    if (!place.source)
        return NULL;
    size_t line = 0, column = 0;
    bk_place_locate(place, &line, &column);
    return bk_format(arena, "%s:%zu:%zu", place.source->name, line, column);
}

char *bk_words_message(bk_arena *arena, const bk_message *message)
{
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, bk_words_clean(arena, message->text));
    if (message->mend)
        bk_text_addf(&out, "; %s", bk_words_clean(arena, message->mend));
    char *source = bk_words_source(arena, message->place);
    if (source)
        bk_text_addf(&out, " (%s)", bk_words_clean(arena, source));
    return out.data;
}

size_t bk_words_critical_count(const bk_timeline *timeline)
{
    size_t count = 0;
    for (size_t i = 0; i < timeline->stage_count; i++)
        count += timeline->stages[i].slack == 0;
    return count;
}

/* ----------------------------------------------------------- what stands */

enum { LONG_IN_ROOM = 120, LEAST_BEYOND = 30 };

/* 0: does not matter. */
static int weight_of(const bk_gap *gap)
{
    if (gap->cold != SIZE_MAX || gap->minutes - gap->asked < LEAST_BEYOND)
        return 0;
    return gap->hot ? 3 : gap->spoils ? 2 : gap->minutes >= LONG_IN_ROOM ? 1 : 0;
}

static int by_weight(const void *left, const void *right)
{
    const bk_gap *a = *(const bk_gap *const *)left, *b = *(const bk_gap *const *)right;
    if (weight_of(a) != weight_of(b))
        return weight_of(b) - weight_of(a);
    if (a->minutes != b->minutes)
        return a->minutes < b->minutes ? 1 : -1;
    return (a > b) - (a < b); /* in the order of the timeline's list */
}

const bk_gap **bk_words_gaps(bk_arena *arena, const bk_timeline *timeline, size_t *count)
{
    const bk_gap **kept = BK_NEW(arena, const bk_gap *, timeline->gap_count);
    *count = 0;
    for (size_t i = 0; i < timeline->gap_count; i++)
        if (weight_of(&timeline->gaps[i]) > 0)
            kept[(*count)++] = &timeline->gaps[i];
    if (*count > 1)
        qsort(kept, *count, sizeof *kept, by_weight);
    return kept;
}

char *bk_words_gap(bk_arena *arena, const bk_timeline *timeline, const bk_gap *gap)
{
    const bk_plan *plan = timeline->plan;
    const char *dish = bk_words_clean(arena, plan->dishes[gap->dish].name);
    const char *after = bk_words_clean(arena, plan->stages[gap->after].text);
    const char *where = gap->hot ? "in the room, hot to begin with" : "in the room";
    if (gap->before == SIZE_MAX)
        return bk_format(arena,
                         "%s stands %s %s, from \"%s\" until it is served: \"keeps\" of the dish "
                         "would limit it",
                         dish, bk_minutes(arena, gap->minutes), where, after);
    return bk_format(arena,
                     "%s stands %s %s, from \"%s\" until \"%s\": \"within\" there would limit it",
                     dish, bk_minutes(arena, gap->minutes), where, after,
                     bk_words_clean(arena, plan->stages[gap->before].text));
}

/* ------------------------------------------------------------- allergens */

bool bk_words_of_allergens(const bk_message *warning)
{
    return strcmp(warning->code, "caution-allergens") == 0;
}

size_t bk_words_warning_count(const bk_timeline *timeline)
{
    size_t count = 0;
    for (size_t i = 0; i < timeline->warning_count; i++)
        count += !bk_words_of_allergens(&timeline->warnings[i]);
    return count;
}
