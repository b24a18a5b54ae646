/* The picture. */
#include "write/picture/axis.h"
#include "write/picture/lanes.h"
#include "write/words/markup.h"
#include "write/write.h"

#include "expect.h"
#include "fixture.h"
#include "markup_check.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static const char *svg_of(bk_arena *arena, const bk_timeline *timeline)
{
    bk_text out = bk_text_new(arena);
    bk_write_svg(timeline, &out);
    return out.data;
}

/* ------------------------------------------------------------------- axis */

enum { WIDE = 4700 };

static void axis_maps_time_in_order(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_axis axis = bk_axis_of(*state, supper, WIDE);
    assert_in_range(axis.count, 1, 3);
    assert_true(axis.strips[0].from <= supper->start);
    assert_true(axis.strips[axis.count - 1].to == supper->plan->last_serve);
    for (size_t i = 0; i < axis.count; i++) {
        const bk_strip *strip = &axis.strips[i];
        assert_int_equal(strip->width, WIDE); /* all of it is used */
        assert_true(strip->scale >= BK_LEAST_SCALE);
        assert_int_equal(bk_axis_x(strip, strip->from), 0);
        assert_int_equal(bk_axis_x(strip, strip->to), strip->width);
        for (bk_instant at = strip->from; at < strip->to; at++)
            assert_true(bk_axis_x(strip, at) <= bk_axis_x(strip, at + 1));
        /* Each goes on where the one before ends. */
        if (i > 0)
            assert_true(strip->from == axis.strips[i - 1].to);
    }
}

static void axis_draws_quiet_time_short(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_axis axis = bk_axis_of(*state, supper, WIDE);
    /* From the panna cotta in the fridge to the glaze nobody does anything. */
    const bk_strip *strip = &axis.strips[0];
    bk_instant from = fixture_at(supper, 17, 20, 35), to = fixture_at(supper, 18, 8, 10);
    assert_true(bk_axis_quiet(strip, fixture_at(supper, 18, 3, 0)));
    assert_int_equal(bk_axis_x(strip, to) - bk_axis_x(strip, from), BK_QUIET_WIDTH);
    /* An hour of work is to scale. */
    from = fixture_at(supper, 17, 19, 0);
    assert_false(bk_axis_quiet(strip, from));
    int hour = bk_axis_x(strip, from + 60) - bk_axis_x(strip, from);
    assert_in_range(hour, strip->scale * 60 / 100 - 2, strip->scale * 60 / 100 + 2);
}

static void axis_cuts_long_work_at_full_hours(void **state)
{
    bk_timeline *many = fixture_long(*state, 300);
    bk_axis axis = bk_axis_of(*state, many, WIDE);
    assert_true(axis.count > 1);
    for (size_t i = 1; i < axis.count; i++) {
        assert_true(axis.strips[i].from == axis.strips[i - 1].to);
        assert_int_equal(bk_civil_at(many->plan->zone, axis.strips[i].from).minute, 0);
    }
}

static void axis_cuts_a_strip(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_axis axis = bk_axis_of(*state, supper, WIDE);
    bk_strip halves[2];
    assert_true(bk_axis_cut(*state, supper->plan->zone, &axis.strips[0], 2, halves));
    assert_true(halves[0].from == axis.strips[0].from && halves[1].to == axis.strips[0].to);
    /* In the night, though that is not half of the work. */
    assert_true(halves[0].to == fixture_at(supper, 18, 8, 10));
    assert_true(halves[1].from == halves[0].to);
    assert_int_equal(halves[0].width, WIDE);
    assert_int_equal(halves[1].width, WIDE);
    assert_true(halves[0].scale > axis.strips[0].scale);
    /* An hour is too little for three. */
    bk_strip parts[3];
    bk_strip hour = {.width = WIDE, .from = 0, .to = 60};
    *BK_PUSH((bk_arena *)*state, hour.pieces, hour.count, hour.room) =
        (bk_piece){0, 60, 0, 0, WIDE};
    assert_false(bk_axis_cut(*state, supper->plan->zone, &hour, 3, parts));
}

static void axis_takes_all_on_one_strip_where_it_fits(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_axis axis = bk_axis_whole(*state, supper, 2 * WIDE);
    assert_int_equal(axis.count, 1);
    assert_true(axis.strips[0].from == supper->start);
    assert_true(axis.strips[0].to == supper->plan->last_serve);
    assert_int_equal(axis.strips[0].width, 2 * WIDE);
    assert_true(axis.strips[0].scale >= BK_LEAST_SCALE);
    assert_int_equal(bk_axis_whole(*state, fixture_long(*state, 300), WIDE).count, 0);
}

/* ------------------------------------------------------------------ lanes */

static const bk_lane *lane_named(const bk_lanes *lanes, const char *name)
{
    for (size_t i = 0; i < lanes->count; i++)
        if (strcmp(lanes->items[i].name, name) == 0)
            return &lanes->items[i];
    fail_msg("no lane %s", name);
    return NULL;
}

static void lanes_hold_what_is_scarce(void **state)
{
    bk_lanes lanes = bk_lanes_of(*state, fixture_supper(*state));
    /* Six stages by hand, and one check that needs hands. */
    assert_int_equal(lane_named(&lanes, "Hands")->count, 6 + 1);
    assert_int_equal(lane_named(&lanes, "oven")->count, 3);
    assert_int_equal(lane_named(&lanes, "oven")->rows, 2);
    assert_int_equal(lane_named(&lanes, "hob")->count, 2);
    assert_int_equal(lane_named(&lanes, "hob")->rows, 4);
    assert_int_equal(lane_named(&lanes, "stand mixer")->count, 1);
    /* Two sets, and the torte kept from the glaze to the table. */
    const bk_lane *fridge = lane_named(&lanes, "fridge");
    assert_int_equal(fridge->rows, 3);
    assert_int_equal(fridge->count, 3);
    assert_int_equal(fridge->bars[2].parts[0].kind, BK_PART_STORED);
    const bk_lane *ring = lane_named(&lanes, "cake ring");
    assert_int_equal(ring->count, 1);
    assert_int_equal(ring->bars[0].parts[0].kind, BK_PART_STAYS);
    assert_true(ring->bars[0].to - ring->bars[0].from == 40 + 360);
    assert_int_equal(lane_named(&lanes, "Bench")->count, 3);
}

/* The torte has its place in the fridge from the mousse to the glaze. */
static void hold_fridge(bk_timeline *supper)
{
    supper->plan->stages[3].holds[0] = (bk_hold){.equipment = 1, .until = 5, .amount = 1};
    supper->plan->stages[4].need_count = 0;
}

static void a_held_place_is_kept_while_the_dish_is_elsewhere(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    hold_fridge(supper);
    bk_lanes lanes = bk_lanes_of(*state, supper);
    const bk_lane *fridge = lane_named(&lanes, "fridge");
    /* Mousse by hand, set, a stay over night, glaze by hand, then kept for the table: one
     * thing, one bar. */
    assert_int_equal(fridge->count, 2);
    const bk_bar *torte = &fridge->bars[0];
    static const enum bk_part_kind kinds[] = {BK_PART_RESERVED, BK_PART_STAGE, BK_PART_STAYS,
                                              BK_PART_RESERVED, BK_PART_STORED};
    assert_int_equal(torte->count, 5);
    for (size_t i = 0; i < 5; i++) {
        assert_int_equal(torte->parts[i].kind, kinds[i]);
        assert_true(torte->parts[i].to ==
                    (i < 4 ? torte->parts[i + 1].from : supper->plan->dishes[0].serve));
    }
    assert_true(torte->parts[0].from == fixture_at(supper, 17, 19, 40));
    assert_true(torte->parts[1].from == fixture_at(supper, 17, 20, 20));
    assert_true(torte->parts[3].from == fixture_at(supper, 18, 8, 10));
    /* What cools meanwhile and is linked to none of it is on the bench. */
    supper->stages[2].start = fixture_at(supper, 17, 20, 30);
    supper->stages[2].end = fixture_at(supper, 17, 21, 30);
    lanes = bk_lanes_of(*state, supper);
    assert_int_equal(lane_named(&lanes, "fridge")->bars[0].count, 5);
    assert_int_equal(lane_named(&lanes, "Bench")->bars[0].parts[0].placed, 2);
}

static void a_lane_has_a_row_for_each_place(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_plan *plan = fixture_plan(supper);
    hold_fridge(supper);
    plan->stages[13].needs[0].amount = 2; /* the panna cotta in two rows */
    bk_lanes lanes = bk_lanes_of(*state, supper);
    const bk_lane *fridge = lane_named(&lanes, "fridge");
    assert_int_equal(fridge->rows, 3);
    assert_int_equal(fridge->bars[0].row_count, 1);
    assert_int_equal(fridge->bars[1].row_count, 2);
    assert_int_equal(fridge->bars[0].rows[0], 0);
    assert_int_equal(fridge->bars[1].rows[0], 1);
    assert_int_equal(fridge->bars[1].rows[1], 2);
    /* More than there are rows for on paper: bars stand apart, and say how many. */
    plan->kitchen.equipment[1].pool = BK_MOST_ROWS + 1;
    lanes = bk_lanes_of(*state, supper);
    assert_int_equal(lane_named(&lanes, "fridge")->rows, 0);
    /* Without a limit: what is taken at once. */
    plan->kitchen.equipment[1].pool = INT64_MAX;
    lanes = bk_lanes_of(*state, supper);
    assert_int_equal(lane_named(&lanes, "fridge")->rows, 3);
    assert_string_equal(lane_named(&lanes, "fridge")->detail, "");
    plan->kitchen.equipment[1].pool = 1;
    plan->stages[13].needs[0].amount = 1;
    plan->stages[13].need_count = 0;
    lanes = bk_lanes_of(*state, supper);
    assert_string_equal(lane_named(&lanes, "fridge")->detail, "1 place");
}

static void each_cook_has_a_lane(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    fixture_plan(supper)->kitchen.cooks = 2;
    /* The dough at the time of the joint, and a job for two. */
    supper->stages[10].start = supper->stages[8].start;
    supper->stages[10].end = supper->stages[8].start + 15;
    supper->plan->stages[0].cooks = 2;
    bk_lanes lanes = bk_lanes_of(*state, supper);
    const bk_lane *first = lane_named(&lanes, "Cook 1"), *second = lane_named(&lanes, "Cook 2");
    assert_int_equal(first->bars[0].parts[0].placed, 0);
    assert_int_equal(second->bars[0].parts[0].placed, 0);
    for (size_t i = 0; i < 2; i++) {
        const bk_lane *cook = i ? second : first;
        for (size_t k = 1; k < cook->count; k++)
            assert_true(cook->bars[k].from >= cook->bars[k - 1].to);
    }
    assert_int_equal(first->count + second->count, 6 + 1 + 1);
}

/* ---------------------------------------------------------------- picture */

static void is_well_formed(void **state)
{
    bk_timeline *timelines[] = {fixture_supper(*state), fixture_impossible(*state),
                                fixture_long(*state, 1), fixture_long(*state, 200)};
    for (size_t i = 0; i < 4; i++) {
        const char *fault = markup_fault(svg_of(*state, timelines[i]), false);
        if (fault)
            fail_msg("timeline %zu: %s", i, fault);
    }
}

static void escapes_what_the_cook_wrote(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    fixture_plan(supper)->occasion = "Fish & chips <script>\"'\x01\x7f";
    supper->plan->dishes[1].name = "]]> & beef";
    supper->plan->stages[0].text = "</svg><b>Whisk</b> \xff\x0b";
    const char *svg = svg_of(*state, supper);
    const char *fault = markup_fault(svg, false);
    if (fault)
        fail_msg("%s", fault);
    expect(svg, "Fish &amp; chips &lt;script&gt;&quot;&#39;</text>");
    assert_null(strstr(svg, "<script"));
    assert_null(strstr(svg, "<b>"));
}

static void tells_what_it_shows(void **state)
{
    const char *svg = svg_of(*state, fixture_supper(*state));
    expect(svg, "role=\"img\"");
    expect(svg, "<title id=\"bakeset-title\">Timeline: Friday supper</title>");
    expect(svg, ">Start by Thursday 17 December, 18:00</text>");
    expect(svg, ">Serve Friday 18 December, 19:30</text>");
    expect(svg, ">Serve 19:30</text>");
    expect(svg, ">180 \xc2\xb0"
                "C");
    expect(svg, ">asleep</text>");
    expect(svg, ">away</text>"); /* there is no room for more */
    assert_null(strstr(svg, ">hands not free</text>"));
    expect(svg, "@media screen and (prefers-color-scheme:dark)");
    /* Three of fifteen stages can start later: they are the exception, and marked. */
    expect(svg, ">can start later</text>");
    expect(svg, "15 steps of 4 dishes");
    expect(svg, "Turn the tin round");
    expect(svg_of(*state, fixture_long(*state, 1)), "1 step of 1 dish against time");
    expect(svg_of(*state, fixture_impossible(*state)),
           ">1. Blackcurrant mousse torte: set (6 h)</text>");
}

static void expect_texts_apart(const char *svg)
{
    const char *fault = markup_texts_fault(svg);
    if (fault)
        fail_msg("%s", fault);
}

static void keeps_texts_apart(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    expect_texts_apart(svg_of(*state, supper));
    supper->plan->kitchen.equipment[1].name = "the big old refrigerator in the cellar";
    supper->plan->stages[0].text = "\xe7\x84\xbc\xe3\x81\x8f\xe7\x84\xbc\xe3\x81\x8f\xe7\x84\xbc";
    supper->plan->dishes[0].name = "A torte whose name is far too long for any column at all, "
                                   "and then some, because it was never shortened";
    expect_texts_apart(svg_of(*state, supper));
    for (size_t count = 1; count <= 220; count += 31)
        expect_texts_apart(svg_of(*state, fixture_long(*state, count)));
}

static size_t times(const char *text, const char *part)
{
    size_t count = 0;
    for (; (text = strstr(text, part)) != NULL; text++)
        count++;
    return count;
}

/* On A4 paper, one sheet below the other, each with the occasion and its number. */
static void comes_on_sheets_of_paper(void **state)
{
    for (size_t count = 1; count < 400; count += 99) {
        const char *svg = svg_of(*state, fixture_long(*state, count));
        size_t sheets = times(svg, "<g class=\"sheet\">");
        int width = 0, height = 0;
        assert_int_equal(
            sscanf(strstr(svg, " width=\""), " width=\"%d.%*dmm\" height=\"%d", &width, &height),
            2);
        assert_int_equal(width, 210);
        assert_true(sheets > 1 ? height == (int)(297 * sheets) : height <= 297);
        assert_int_equal(times(svg, ">Friday supper</text>"), sheets);
        assert_int_equal(times(svg, ", page "), sheets > 1 ? sheets : 0);
        const char *last = bk_format(*state, ", page %zu of %zu</text>", sheets, sheets);
        assert_int_equal(times(svg, last), sheets > 1);
        assert_true(count == 1 ? sheets == 1 : count < 300 || sheets > 1);
    }
}

static void no_letter_is_smaller_than_nine_points(void **state)
{
    for (size_t count = 1; count < 400; count += 99) {
        const char *at = svg_of(*state, fixture_long(*state, count));
        markup_text text;
        while (markup_next_text(&at, &text))
            assert_true(text.size >= 92); /* tenths of a point at 190 mm; a page prints it at 186 */
    }
}

static void stands_in_a_page(void **state)
{
    bk_text out = bk_text_new(*state);
    bk_svg_in_page(fixture_long(*state, 200), &out);
    size_t sheets = times(out.data, "<svg ");
    assert_true(sheets > 1);
    assert_int_equal(times(out.data, "<style>"), 1);
    assert_int_equal(times(out.data, "role=\"img\""), sheets);
    assert_int_equal(times(out.data, "@page"), 0); /* the page has its own paper */
}

/* A step that names its dish is not told of which it is; a check neither. */
static void names_the_dish_where_the_words_do_not(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_plan *plan = fixture_plan(supper);
    plan->stages[0].text = "Whisk eggs";
    expect(svg_of(*state, supper), "Whisk eggs (");
    plan->dishes[plan->stages[0].dish].name = "Eggs";
    const char *svg = svg_of(*state, supper);
    expect(svg, "Whisk eggs</text>");
    assert_null(strstr(svg, "Whisk eggs ("));
}

/* A name for which there is no room on one line makes its row higher; a place with nothing in it
 * takes little. */
static void rows_are_as_high_as_their_names(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    const char *hob = strstr(svg_of(*state, supper), "data-name=\"hob\"");
    int tops[5];
    const char *at = hob;
    while (strncmp(at, "data-tops=\"", 11) != 0)
        at--;
    assert_int_equal(sscanf(at, "data-tops=\"%d %d %d %d %d\"", &tops[0], &tops[1], &tops[2],
                            &tops[3], &tops[4]),
                     5);
    int one = tops[1] - tops[0], free = tops[4] - tops[3];
    assert_int_equal(tops[0], 0);
    assert_true(one > 100 && free < one / 2 && free > 20);
    bk_plan *plan = fixture_plan(supper);
    size_t named = 0;
    for (size_t i = 0; i < plan->stage_count; i++)
        if (plan->stages[i].need_count > 0 &&
            strcmp(plan->kitchen.equipment[plan->stages[i].needs[0].equipment].name, "hob") == 0) {
            plan->dishes[plan->stages[i].dish].name =
                "A dish of many words, so long that they have "
                "no room on one line beside a bar at all";
            named++;
        }
    assert_true(named > 1);
    expect_texts_apart(svg_of(*state, supper));
    assert_null(strstr(svg_of(*state, supper), "\xe2\x80\xa6</text>"));
}

/* A word that has no room anywhere is the last resort: a number, or as much of it as there is room
 * for; the whole name is then in the list below, and always in the bar's title. */
static void what_has_no_room_is_told_below(void **state)
{
    enum { DISHES = 12 };
    bk_timeline *supper = fixture_supper(*state);
    bk_plan *plan = fixture_plan(supper);
    const char *whole = "Donaudampfschifffahrtsgesellschaftskapitaenswitwentorte";
    bk_stage chill = plan->stages[4]; /* in the fridge, a place each */
    plan->dishes = BK_NEW((bk_arena *)*state, bk_dish, DISHES);
    plan->stages = BK_NEW((bk_arena *)*state, bk_stage, DISHES);
    supper->stages = BK_NEW((bk_arena *)*state, bk_placed, DISHES);
    plan->dish_count = plan->stage_count = supper->stage_count = DISHES;
    plan->kitchen.equipment[1].pool = 1;
    supper->oven_count = 0;
    for (size_t i = 0; i < DISHES; i++) {
        plan->dishes[i] = (bk_dish){.name = bk_format(*state, "%zu %s", i, whole),
                                    .serve = fixture_at(supper, 18, 19, 30)};
        plan->stages[i] = chill;
        plan->stages[i].dish = i;
        plan->stages[i].text = bk_format(*state,
                                         "Chill it until %zu is cold, then take it from the "
                                         "fridge and put in the next one in its place, and "
                                         "so on until all of them have been cold once",
                                         i);
        bk_instant start = fixture_at(supper, 18, 17, 0) + 12 * (bk_instant)i;
        supper->stages[i] = (bk_placed){.stage = i, .start = start, .end = start + 12};
    }
    supper->start = supper->stages[0].start;
    bk_timeline_index(*state, supper);
    const char *svg = svg_of(*state, supper);
    expect_texts_apart(svg);
    assert_true(times(svg, "font-weight=\"bold\" text-anchor=\"end\"") > 4);
    for (size_t i = 0; i < DISHES; i++)
        expect(svg, bk_format(*state, "<title>%zu %s: Chill it", i, whole));
    expect(svg, bk_format(*state, "17:12 1 %s: Chill it", whole));
    expect(svg, "so on until all of them have been cold once</text>");
}

/* The width of every text is given with it where it is known, so that another face does not
 * spread it over its neighbour. */
static void texts_have_their_width(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    const char *svg = svg_of(*state, supper);
    assert_int_equal(times(svg, "<text "), times(svg, " textLength=\""));
    fixture_plan(supper)->occasion = "\xe7\x84\xbc supper";
    svg = svg_of(*state, supper);
    assert_int_equal(times(svg, "<text "), times(svg, " textLength=\"") + 1);
    /* "Serve" in Helvetica Bold (its AFM file): 667 + 556 + 389 + 556 + 556. */
    assert_int_equal(bk_markup_fixed_width("Serve", 1000, true), 2724);
    assert_int_equal(bk_markup_fixed_width("\xe7\x84\xbc", 1000, true), 0);
    assert_true(bk_markup_width("\xe7\x84\xbc", 1000, false) >= 1000);
}

static void tells_of_clock_changes(void **state)
{
    assert_null(strstr(svg_of(*state, fixture_supper(*state)), "clocks "));
    expect(svg_of(*state, fixture_clock_change(*state)), ">clocks back 1 h</text>");
}

/* More places than rows are drawn for: the lane and its bars say how many. */
static void many_places_are_told_in_words(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    fixture_plan(supper)->kitchen.equipment[1].pool = BK_MOST_ROWS + 1;
    supper->plan->stages[13].needs[0].amount = 2;
    const char *svg = svg_of(*state, supper);
    expect(svg, ">13 places</text>");
    expect(svg, " Panna cotta (2)</text>");
    expect_texts_apart(svg);
}

/* Lanes that are too many for a sheet go over onto the next, under the same hours. */
static void too_many_lanes_go_over(void **state)
{
    enum { TOOLS = 90 };
    bk_timeline *supper = fixture_supper(*state);
    bk_plan *plan = fixture_plan(supper);
    bk_equipment *all = BK_NEW((bk_arena *)*state, bk_equipment, TOOLS);
    memcpy(all, plan->kitchen.equipment, plan->kitchen.equipment_count * sizeof *all);
    bk_stage *mousse = &plan->stages[3];
    mousse->holds = BK_NEW((bk_arena *)*state, bk_hold, TOOLS);
    mousse->hold_count = 0;
    for (size_t i = plan->kitchen.equipment_count; i < TOOLS; i++) {
        all[i] = (bk_equipment){.name = bk_format(*state, "tin %zu", i), .count = 1, .pool = 1};
        mousse->holds[mousse->hold_count++] = (bk_hold){.equipment = i, .until = 4, .amount = 1};
    }
    plan->kitchen.equipment = all;
    plan->kitchen.equipment_count = TOOLS;
    const char *svg = svg_of(*state, supper);
    assert_true(times(svg, "<g class=\"sheet\">") > 1);
    for (size_t i = 5; i < TOOLS; i++)
        expect(svg, bk_format(*state, ">tin %zu</text>", i));
    int height = 0; /* whole sheets */
    assert_int_equal(sscanf(strstr(svg, " height=\""), " height=\"%d", &height), 1);
    assert_int_equal(height % 297, 0);
    expect_texts_apart(svg);
}

/* A lane's name has up to four lines, and in any case its title. */
static void lanes_have_their_whole_names(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    fixture_plan(supper)->kitchen.equipment[1].name = "the big old refrigerator in the cellar";
    const char *svg = svg_of(*state, supper);
    expect(svg, ">the big old</text>");
    expect(svg, ">refrigerator in</text>");
    expect(svg, ">the cellar</text>");
    supper->plan->kitchen.equipment[1].name =
        "one two three four five six seven eight nine ten eleven "
        "twelve thirteen fourteen fifteen sixteen";
    svg = svg_of(*state, supper);
    assert_null(strstr(svg, ">sixteen</text>"));
    expect(svg, "fifteen sixteen</title>");
    expect_texts_apart(svg);
}

static void ovens_in_fahrenheit_stay_so(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    fixture_plan(supper)->kitchen.equipment[0].fahrenheit = true;
    expect(svg_of(*state, supper), ">356 \xc2\xb0"
                                   "F");
}

static void gives_the_same_bytes(void **state)
{
    assert_string_equal(svg_of(*state, fixture_supper(*state)),
                        svg_of(*state, fixture_supper(*state)));
}

/* --------------------------------------------------------------- measures */

static void shortens_to_what_fits(void **state)
{
    int room = bk_markup_width("Whisk the eggs\xe2\x80\xa6", 110, false);
    assert_string_equal(bk_markup_shorten(*state, "Whisk the eggs and sugar", 110, false, room),
                        "Whisk the eggs\xe2\x80\xa6");
    assert_string_equal(bk_markup_shorten(*state, "Whisk", 110, false, room), "Whisk");
    assert_string_equal(bk_markup_shorten(*state, "Whisk", 110, false, 10), "");
    assert_true(bk_markup_width("Whisk", 110, true) > bk_markup_width("Whisk", 110, false));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(axis_maps_time_in_order),
        TEST(axis_draws_quiet_time_short),
        TEST(axis_cuts_long_work_at_full_hours),
        TEST(axis_cuts_a_strip),
        TEST(axis_takes_all_on_one_strip_where_it_fits),
        TEST(lanes_hold_what_is_scarce),
        TEST(a_held_place_is_kept_while_the_dish_is_elsewhere),
        TEST(a_lane_has_a_row_for_each_place),
        TEST(each_cook_has_a_lane),
        TEST(is_well_formed),
        TEST(escapes_what_the_cook_wrote),
        TEST(tells_what_it_shows),
        TEST(keeps_texts_apart),
        TEST(comes_on_sheets_of_paper),
        TEST(no_letter_is_smaller_than_nine_points),
        TEST(stands_in_a_page),
        TEST(names_the_dish_where_the_words_do_not),
        TEST(rows_are_as_high_as_their_names),
        TEST(what_has_no_room_is_told_below),
        TEST(texts_have_their_width),
        TEST(tells_of_clock_changes),
        TEST(many_places_are_told_in_words),
        TEST(too_many_lanes_go_over),
        TEST(lanes_have_their_whole_names),
        TEST(ovens_in_fahrenheit_stay_so),
        TEST(gives_the_same_bytes),
        TEST(shortens_to_what_fits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
