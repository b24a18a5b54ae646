#include "write/words/say.h"
#include "write/words/phrases.h"

#include <inttypes.h>
#include <string.h>

static const char *dish_name(bk_arena *arena, const bk_timeline *timeline, size_t dish)
{
    return bk_words_clean(arena, timeline->plan->dishes[dish].name);
}

/* What a step has in hand, both ways, with all others where they are. */
static char *leeway(bk_arena *arena, const bk_timeline *timeline, const bk_placed *placed)
{
    const bk_zone *zone = timeline->plan->zone;
    char *later = placed->slack == 0 ? ""
                                     : bk_format(arena, "Can start up to %s later.",
                                                 bk_minutes(arena, placed->slack));
    if (placed->early <= 0)
        return later;
    char *earlier = placed->early > BK_DAY
                        ? "Any time before will do, too."
                        : bk_format(arena, "Any time from %s.",
                                    bk_clock_seen_from(arena, zone, placed->start,
                                                       placed->start - placed->early));
    return later[0] ? bk_format(arena, "%s %s", earlier, later) : earlier;
}

static bk_said say_start(bk_arena *arena, const bk_timeline *timeline, const bk_row *row)
{
    const bk_placed *placed = &timeline->stages[row->placed];
    const bk_stage *stage = &timeline->plan->stages[placed->stage];
    bk_said said = {.acts = stage->attention == BK_HANDS || stage->in_oven, .dish = stage->dish};
    said.word = stage->attention == BK_HANDS   ? "DO"
                : stage->oven_off              ? "leave"
                : stage->in_oven               ? "IN"
                : stage->attention == BK_WATCH ? "watch"
                                               : "leave";
    said.what = bk_words_clean(arena, stage->text);
    const char *cold = bk_words_then_cold(arena, timeline, placed);
    said.detail = bk_format(arena, "%s: %s%s%s", dish_name(arena, timeline, stage->dish),
                            bk_words_course(arena, timeline, placed), cold[0] ? "; " : "", cold);
    said.slack = leeway(arena, timeline, placed);
    said.windows = bk_words_windows(arena, timeline, placed);
    said.note = bk_words_clean(arena, stage->note);
    said.caution = bk_words_clean(arena, stage->caution);
    return said;
}

static bk_said say_check(bk_arena *arena, const bk_timeline *timeline, const bk_row *row)
{
    const bk_placed *placed = &timeline->stages[row->placed];
    const bk_stage *stage = &timeline->plan->stages[placed->stage];
    const bk_placed_check *check = &placed->checks[row->check];
    bk_said said = {.word = "CHECK", .acts = true, .dish = stage->dish};
    said.what = bk_words_clean(arena, check->check->text);
    said.detail = bk_format(arena, "%s, during: %s", dish_name(arena, timeline, stage->dish),
                            bk_words_clean(arena, stage->text));
    if (check->end > check->start)
        said.detail = bk_format(arena, "%s. Takes %s%s.", said.detail,
                                bk_minutes(arena, check->end - check->start),
                                bk_words_by(arena, timeline->plan, check->by, check->by_count));
    return said;
}

/* Is something else of the same dish in an oven meanwhile, so that the dish's name does not tell
 * what comes out? */
static bool bakes_beside_its_own(const bk_timeline *timeline, size_t which)
{
    const bk_placed *placed = &timeline->stages[which];
    const bk_stage *stages = timeline->plan->stages;
    for (size_t i = 0; i < timeline->stage_count; i++) {
        const bk_placed *other = &timeline->stages[i];
        if (i != which && stages[other->stage].in_oven &&
            stages[other->stage].dish == stages[placed->stage].dish && other->start < placed->end &&
            placed->start < other->end)
            return true;
    }
    return false;
}

static bk_said say_out(bk_arena *arena, const bk_timeline *timeline, const bk_row *row)
{
    const bk_placed *placed = &timeline->stages[row->placed];
    const bk_stage *stage = &timeline->plan->stages[placed->stage];
    bk_said said = {.word = "OUT", .acts = true, .dish = SIZE_MAX};
    said.what =
        bk_format(arena, "%s: out of the %s", dish_name(arena, timeline, stage->dish),
                  bk_words_oven(arena, timeline->plan, stage->oven.equipment, placed->oven_number));
    if (bakes_beside_its_own(timeline, row->placed))
        said.what = bk_format(arena, "%s: %s", said.what, bk_words_clean(arena, stage->text));
    return said;
}

static bk_said say_oven(bk_arena *arena, const bk_timeline *timeline, const bk_row *row)
{
    const bk_plan *plan = timeline->plan;
    const bk_oven_run *run = &timeline->ovens[row->run];
    const char *oven = bk_words_oven(arena, plan, run->equipment, run->number);
    bk_said said = {.word = "OVEN", .acts = true, .dish = SIZE_MAX};
    if (row->kind == BK_ROW_OVEN_OFF) {
        said.what = bk_format(arena, "Turn the %s off", oven);
        said.brief = bk_format(arena, "%s off", oven);
        return said;
    }
    const char *heat = bk_words_heat(arena, plan, run->equipment, run->temperature_c);
    const char *way = bk_words_turn(timeline, row->run);
    said.what = bk_format(arena, "Turn the %s %s to %s", oven, way, heat);
    said.brief = strcmp(way, "on,") == 0 ? bk_format(arena, "%s on, %s", oven, heat)
                                         : bk_format(arena, "%s %s to %s", oven, way, heat);
    if (run->ready > run->on)
        said.what = bk_format(arena, "%s; %s at %s", said.what,
                              strcmp(way, "down") == 0 ? "cool enough" : "hot",
                              bk_clock_seen_from(arena, plan->zone, run->on, run->ready));
    return said;
}

static bk_said say_serve(bk_arena *arena, const bk_timeline *timeline, const bk_row *row)
{
    const bk_dish *dish = &timeline->plan->dishes[row->dish];
    bk_instant ready = bk_rows_dish_ready(timeline, row->dish);
    bk_said said = {.word = "SERVE", .acts = true, .dish = SIZE_MAX};
    said.what = dish_name(arena, timeline, row->dish);
    if (dish->serves > 0)
        said.what = bk_format(arena, "%s, for %" PRId64, said.what, dish->serves);
    if (ready < row->at)
        said.what = bk_format(arena, "%s (ready since %s)", said.what,
                              bk_clock_seen_from(arena, timeline->plan->zone, row->at, ready));
    if (timeline->plan->at_table > 0)
        said.detail = bk_format(arena, "At table until %s: no hands before then",
                                bk_clock_seen_from(arena, timeline->plan->zone, row->at,
                                                   row->at + timeline->plan->at_table));
    return said;
}

static bk_said say_window(bk_arena *arena, const bk_timeline *timeline, const bk_row *row)
{
    static const char *const words[] = {
        [BK_ASLEEP] = "sleep", [BK_AWAY] = "away", [BK_BUSY] = "busy"};
    const bk_window *window = &timeline->plan->kitchen.windows[row->window];
    return (bk_said){.dish = SIZE_MAX,
                     .word = words[window->kind],
                     .what = bk_words_window(arena, timeline->plan, window)};
}

static bk_said say_clock(bk_arena *arena, const bk_row *row)
{
    int minutes = row->shift < 0 ? -row->shift : row->shift;
    return (bk_said){
        .dish = SIZE_MAX,
        .word = "clock",
        .what = bk_format(arena, "Clocks go %s by %s; all times are as clocks then show them",
                          row->shift < 0 ? "back" : "forward", bk_minutes(arena, minutes))};
}

static bk_said say_kind(bk_arena *arena, const bk_timeline *timeline, const bk_row *row)
{
    switch (row->kind) {
    case BK_ROW_CLOCK:
        return say_clock(arena, row);
    case BK_ROW_OUT:
        return say_out(arena, timeline, row);
    case BK_ROW_OVEN_OFF:
    case BK_ROW_OVEN_ON:
        return say_oven(arena, timeline, row);
    case BK_ROW_CHECK:
        return say_check(arena, timeline, row);
    case BK_ROW_START:
        return say_start(arena, timeline, row);
    case BK_ROW_SERVE:
        return say_serve(arena, timeline, row);
    case BK_ROW_WINDOW:
        break;
    }
    return say_window(arena, timeline, row);
}

bk_said bk_say(bk_arena *arena, const bk_timeline *timeline, const bk_row *row)
{
    bk_said said = say_kind(arena, timeline, row);
    const char **parts[] = {&said.detail, &said.slack, &said.windows, &said.note, &said.caution};
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
        if (!*parts[i])
            *parts[i] = "";
    said.until = row->until;
    if (row->kind == BK_ROW_START) {
        const bk_placed *placed = &timeline->stages[row->placed];
        said.no_later = placed->slack == 0;
        said.runs = timeline->plan->stages[placed->stage].attention != BK_HANDS;
    }
    return said;
}

bk_said bk_say_movement(bk_arena *arena, const bk_timeline *timeline, const bk_rows *rows,
                        size_t index, size_t *last)
{
    bk_said said = bk_say(arena, timeline, &rows->items[index]);
    size_t room = 0;
    for (*last = index; *last + 1 < rows->count && rows->items[*last + 1].joins; ++*last) {
        bk_said next = bk_say(arena, timeline, &rows->items[*last + 1]);
        if (rows->items[index].kind == BK_ROW_SERVE) {
            *BK_PUSH(arena, said.also, said.also_count, room) = next.what;
            continue;
        }
        bk_said first = said;
        said = next;
        said.word = first.word;
        said.acts = first.acts;
        said.what = bk_format(arena, "%s. %s", first.what, next.what);
        if (next.runs)
            continue;
        said.no_later = first.no_later;
        said.runs = first.runs;
    }
    return said;
}

bool bk_say_marks(const bk_timeline *timeline)
{
    size_t critical = bk_words_critical_count(timeline);
    return critical > 0 && critical <= timeline->stage_count / 2;
}

char *bk_say_in_hand(bk_arena *arena, const bk_timeline *timeline, const char *sign)
{
    int64_t margin = timeline->plan->margin;
    bk_text text = bk_text_new(arena);
    if (margin > 0)
        bk_text_addf(&text, "%s before each dish is served.", bk_minutes(arena, margin));
    else
        bk_text_add(&text, "No margin is planned.");
    bk_text_add(
        &text, " These are the latest times; \"any time from\" says how much earlier a step may be "
               "done.");
    if (bk_say_marks(timeline))
        bk_text_addf(&text, " Steps marked %s can't start later than they stand.", sign);
    else if (bk_words_critical_count(timeline) < timeline->stage_count)
        bk_text_add(&text, " A step can start later only where it says so.");
    return text.data;
}

/* With its year where [from, to] is so long that the date alone would hide a slip of
 * the pen in a year. */
static char *moment(bk_arena *arena, const bk_zone *zone, bk_instant from, bk_instant at,
                    bk_instant to)
{
    enum { NEARLY_A_YEAR = 300 };
    if (to - from < NEARLY_A_YEAR * BK_DAY)
        return bk_moment(arena, zone, at);
    return bk_moment_long(arena, zone, at);
}

char *bk_say_start(bk_arena *arena, const bk_timeline *timeline)
{
    const bk_zone *zone = timeline->plan->zone;
    bk_instant first = bk_rows_first(timeline);
    char *start = moment(arena, zone, first, first, timeline->plan->last_serve);
    if (first == timeline->start)
        return start;
    return bk_format(arena, "%s: turn the oven on; the first step at %s", start,
                     bk_clock_seen_from(arena, zone, first, timeline->start));
}

char *bk_say_serve(bk_arena *arena, const bk_timeline *timeline)
{
    const bk_plan *plan = timeline->plan;
    bk_instant first = plan->first_serve, last = plan->last_serve;
    if (first == last)
        return bk_moment(arena, plan->zone, last);
    return bk_format(arena, "%s to %s", moment(arena, plan->zone, first, first, last),
                     bk_day_start(plan->zone, first) == bk_day_start(plan->zone, last)
                         ? bk_clock(arena, plan->zone, last)
                         : moment(arena, plan->zone, first, last, last));
}
