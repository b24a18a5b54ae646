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

static void axis_maps_time_in_order(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_axis axis = bk_axis_of(*state, supper, 4700, 3, 4000);
    assert_in_range(axis.count, 1, 3);
    assert_true(axis.strips[0].from <= supper->start);
    assert_true(axis.strips[axis.count - 1].to == supper->plan->last_serve);
    for (size_t i = 0; i < axis.count; i++) {
        const bk_strip *strip = &axis.strips[i];
        assert_true(strip->width <= 4700);
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
    bk_axis axis = bk_axis_of(*state, supper, 100000, 1, 4000);
    assert_int_equal(axis.count, 1);
    const bk_strip *strip = &axis.strips[0];
    /* From the panna cotta in the fridge to the glaze nobody does anything. */
    bk_instant from = fixture_at(supper, 17, 20, 35), to = fixture_at(supper, 18, 8, 10);
    assert_true(bk_axis_quiet(strip, fixture_at(supper, 18, 3, 0)));
    assert_int_equal(bk_axis_x(strip, to) - bk_axis_x(strip, from), BK_QUIET_WIDTH);
    /* An hour of work is to scale. */
    from = fixture_at(supper, 18, 17, 0);
    assert_false(bk_axis_quiet(strip, from));
    assert_in_range(bk_axis_x(strip, from + 60) - bk_axis_x(strip, from), 2390, 2410);
}

static void axis_fits_any_number_of_strips(void **state)
{
    bk_timeline *many = fixture_long(*state, 300);
    for (size_t strips = 1; strips <= 6; strips++) {
        bk_axis axis = bk_axis_of(*state, many, 6700, strips, 4000);
        assert_in_range(axis.count, 1, strips);
    }
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
    assert_int_equal(lane_named(&lanes, "hob")->count, 2);
    assert_int_equal(lane_named(&lanes, "stand mixer")->count, 1);
    /* Two sets, and the torte kept from the glaze to the table. */
    const bk_lane *fridge = lane_named(&lanes, "fridge");
    assert_int_equal(fridge->count, 3);
    assert_int_equal(fridge->bars[2].kind, BK_BAR_STORED);
    const bk_lane *ring = lane_named(&lanes, "cake ring");
    assert_int_equal(ring->count, 1);
    assert_int_equal(ring->bars[0].kind, BK_BAR_HOLD);
    assert_true(ring->bars[0].to - ring->bars[0].from == 40 + 360);
    assert_int_equal(lane_named(&lanes, "By itself")->count, 3);
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
    assert_int_equal(first->bars[0].placed, 0);
    assert_int_equal(second->bars[0].placed, 0);
    for (size_t i = 0; i < 2; i++) {
        const bk_lane *cook = i ? second : first;
        for (size_t k = 1; k < cook->count; k++)
            assert_true(cook->bars[k].from >= cook->bars[k - 1].to);
    }
    assert_int_equal(first->count + second->count, 6 + 1 + 1);
}

static void chain_follows_the_pins(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bool *chain = bk_lanes_chain(*state, supper);
    for (size_t i = 0; i < supper->stage_count; i++)
        assert_int_equal(chain[i], supper->stages[i].slack == 0);
    /* When nothing can start later: sponge, bake, cool, mousse, set, glaze. The
     * glaze is pinned by a window, which leads to no other stage. */
    for (size_t i = 0; i < supper->stage_count; i++)
        supper->stages[i].slack = 0;
    chain = bk_lanes_chain(*state, supper);
    size_t count = 0;
    for (size_t i = 0; i < supper->stage_count; i++)
        count += chain[i];
    assert_int_equal(count, 6);
    assert_true(chain[0] && chain[1] && chain[2] && chain[3] && chain[4] && chain[7]);
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
                "C</text>");
    expect(svg, "url(#bakeset-asleep)");
    expect(svg, "url(#bakeset-away)");
    assert_null(strstr(svg, "url(#bakeset-busy)"));
    expect(svg, ">can&#39;t start later</text>");
    expect(svg, "Turn the tin round");
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

static void fits_one_sheet(void **state)
{
    for (size_t count = 1; count < 400; count += 99) {
        const char *svg = svg_of(*state, fixture_long(*state, count));
        int width = 0, height = 0;
        assert_int_equal(
            sscanf(strstr(svg, " width=\""), " width=\"%d.%*dmm\" height=\"%d", &width, &height),
            2);
        assert_in_range(width, 1, 190);
        assert_in_range(height, 1, 250);
    }
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
        TEST(axis_fits_any_number_of_strips),
        TEST(lanes_hold_what_is_scarce),
        TEST(each_cook_has_a_lane),
        TEST(chain_follows_the_pins),
        TEST(is_well_formed),
        TEST(escapes_what_the_cook_wrote),
        TEST(tells_what_it_shows),
        TEST(keeps_texts_apart),
        TEST(fits_one_sheet),
        TEST(gives_the_same_bytes),
        TEST(shortens_to_what_fits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
