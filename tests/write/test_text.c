/* The step timeline on a terminal. */
#include "timeline/timeline.h"
#include "write/write.h"

#include "expect.h"
#include "fixture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static const char *text_of(bk_arena *arena, const bk_timeline *timeline, int width)
{
    bk_text out = bk_text_new(arena);
    bk_text_style style = {.width = width};
    bk_write_text(timeline, &style, &out);
    return out.data;
}

/* `first` comes before `second`. */
static void expect_order(const char *text, const char *first, const char *second)
{
    expect(text, first);
    expect(strstr(text, first), second);
}

static void expect_width(bk_arena *arena, const char *text, size_t width)
{
    while (*text) {
        size_t length = strcspn(text, "\n");
        char *line = bk_copy(arena, text, length);
        if (bk_columns(line) > width)
            fail_msg("wider than %zu: %s", width, line);
        if (length > 0 && line[length - 1] == ' ')
            fail_msg("blank at the end: '%s'", line);
        text += length + (text[length] == '\n');
    }
}

static void says_the_start_first(void **state)
{
    const char *text = text_of(*state, fixture_supper(*state), 80);
    expect(text, "START BY  Thursday 17 December, 18:00\n");
    expect(text, "Serve     Friday 18 December, 19:30\n");
    expect(text, "The best possible: none starts later.");
    expect_order(text, "START BY", "Thursday 17 December 2026");
    expect_order(text, "Thursday 17 December 2026", "Friday 18 December 2026");
}

static void gives_rows_their_words(void **state)
{
    const char *text = text_of(*state, fixture_supper(*state), 120);
    expect(text, "  18:00  DO     Whisk eggs");
    expect(text, "12-15 min hands on, until 18:15, with the stand mixer");
    expect(text, "  18:00  OVEN   Turn the oven on, to 180 \xc2\xb0"
                 "C; hot at 18:15");
    expect(text, "  18:15  IN     Bake the sponge");
    expect(text, "in the oven at 180 \xc2\xb0"
                 "C for 20-25 min, until 18:40");
    expect(text, "  18:27  CHECK  Turn the tin round");
    expect(text, "  18:40  OUT    Blackcurrant mousse torte: out of the oven");
    expect(text, "by itself, in the fridge for 4 h to 6 h, until Fri 02:20");
    expect(text, "  22:30  sleep  Asleep until Fri 07:00");
    expect(text, "  08:30  away   Nobody at home until 16:30 (work)");
    expect(text, "It must be before you leave the house (work) at 08:30.");
    expect(text, "  17:45  CHECK  Baste");
    expect(text, "Takes 3 min.");
    expect(text, "  18:25  OVEN   Turn the oven up to 220 \xc2\xb0"
                 "C; hot at 18:35");
    expect(text, "  19:20  watch  Simmer the sauce");
    expect(text, "  19:30  SERVE  Blackcurrant mousse torte, for 8 (ready since 08:30)");
    expect(text, "CAUTION: Raw egg white");
    expect(text, "Note: At 32 \xc2\xb0"
                 "C it runs well");
    /* The night before the first step separates nothing. */
    expect_not(text, "Asleep until 07:00");
}

/* A sign at nearly every step tells nothing. */
static void marks_what_cannot_start_later(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    const char *text = text_of(*state, supper, 80);
    expect(text, "A step can start later only where\n          it says so.");
    expect_not(text, "* ");
    expect(text, "  19:40  DO     Make the mousse");
    expect(text, "Can start up to 25 min later.");

    for (size_t i = 0; i < supper->stage_count; i++)
        supper->stages[i].slack = i < supper->stage_count / 2 ? 0 : 5;
    text = text_of(*state, supper, 80);
    expect(text, "Steps marked * can't start");
    expect(text, "\n* 18:15  IN     Bake the sponge");
    supper->stages[supper->stage_count / 2].slack = 0; /* one more is more than half */
    expect_not(text_of(*state, supper, 80), "* ");

    for (size_t i = 0; i < supper->stage_count; i++)
        supper->stages[i].slack = 0;
    text = text_of(*state, supper, 80);
    expect(text, "These are the latest times");
    expect_not(text, "*");
    expect_not(text, "can start");
}

/* The minute 18:40 as a cook meets it: tin out, oven off, tin left on the rack. */
static void tells_a_movement_as_one(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    const char *text = text_of(*state, supper, 120);
    expect(text, "  18:40  OUT    Blackcurrant mousse torte: out of the oven. Turn the oven off. "
                 "Cool on a rack\n");
    expect_not(text, "OVEN   Turn the oven off");

    /* Left to somebody's hands it is a step of its own. */
    for (size_t i = 0; i < supper->stage_count; i++) {
        bk_stage *stage = &fixture_plan(supper)->stages[supper->stages[i].stage];
        if (strcmp(stage->id, "cool") == 0)
            stage->attention = BK_HANDS;
    }
    text = text_of(*state, supper, 120);
    expect(text, "out of the oven. Turn the oven off\n");
    expect(text, "  18:40  DO     Cool on a rack\n");
}

static void says_the_table_last(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    fixture_plan(supper)->at_table = 60;
    const char *text = text_of(*state, supper, 120);
    expect_order(text, "19:30  SERVE  Blackcurrant",
                 "                Roast beef (ready since 18:55)");
    expect_order(text, "Roast beef (ready since 18:55)", "At table until 20:30");
    assert_null(strstr(strstr(text, "At table until"), "(ready since"));
}

static void says_the_start_again_at_a_long_end(void **state)
{
    const char *text = text_of(*state, fixture_long(*state, 60), 80);
    const char *last = strstr(text, "START BY"),
               *again = last ? strstr(last + 1, "START BY") : NULL;
    assert_non_null(again);
    assert_memory_equal(last, again, strcspn(last, "\n") + 1);
    assert_int_equal(again[strcspn(again, "\n") + 1], '\0');
    text = text_of(*state, fixture_long(*state, 2), 80);
    assert_null(strstr(strstr(text, "START BY") + 1, "START BY"));
}

static void says_how_far_from_the_best(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    supper->status = BK_TIMELINE_FEASIBLE;
    supper->bound_start = supper->start + 35;
    expect(text_of(*state, supper, 120),
           "not proved the best: another may start up to 35 min later.");
    supper->bound_start = supper->start;
    supper->bound_waiting = supper->waiting - 90;
    expect(text_of(*state, supper, 120), "the steps may wait 1 h 30 min less in all.");
    supper->bound_start = INT64_MAX; /* not known */
    supper->bound_waiting = INT64_MIN;
    expect(text_of(*state, supper, 120), "Good, but not proved the best.\n");
}

static void tells_what_does_not_fit(void **state)
{
    const char *text = text_of(*state, fixture_impossible(*state), 80);
    expect(text, "This plan can't be met.");
    expect(text, "  - Blackcurrant mousse torte: set (6 h)\n");
    expect(text, "  - Supper is at 19:30. (supper.json:3:");
    expect(text, "  - Serve at 20:10; start by Thursday 17 December, 18:40.\n");
    expect(text, "  - Leave the torte out.\n");
    expect_not(text, "START BY");

    bk_timeline *bare = fixture_impossible(*state);
    bare->why_count = bare->remedy_count = 0;
    expect_not(text_of(*state, bare, 80), "fit together");
    expect_not(text_of(*state, bare, 80), "tried");
    bare = fixture_impossible(*state);
    bare->remedy_count = 0;
    expect(text_of(*state, bare, 80), "Nothing that was tried makes it possible: serving up to");
    bare->why_count = 0;
    bare->status = BK_TIMELINE_UNKNOWN;
    expect(text_of(*state, bare, 80), "search limit");
}

/* A fact of the fixture's plan that comes from one line of the plan. */
static bk_fact said_at(enum bk_fact_kind kind, const bk_source *source, size_t offset)
{
    bk_fact fact = bk_fact_new(kind, (bk_place){source, offset});
    fact.message = "as it stands";
    return fact;
}

static void tells_many_nights_in_one_line(void **state)
{
    static const bk_source source = {"supper.json", "{\n}\n", 4};
    bk_timeline *none = fixture_impossible(*state);
    bk_window windows[4];
    bk_fact facts[5];
    for (int i = 0; i < 4; i++) {
        windows[i] = (bk_window){.kind = BK_ASLEEP,
                                 .from = fixture_at(none, 16 - i, 22, 30),
                                 .to = fixture_at(none, 17 - i, 7, 0)};
        facts[i] = said_at(BK_FACT_WINDOW, &source, 2);
        facts[i].window = (size_t)i;
    }
    facts[4] = said_at(BK_FACT_SERVE, &source, 0);
    fixture_plan(none)->kitchen.windows = windows;
    fixture_plan(none)->kitchen.window_count = 4;
    none->why = facts;
    none->why_count = 5;
    const char *text = text_of(*state, none, 200);
    expect(text, "  - everyone is asleep 4 times between Sunday 13 December, 22:30 and Thursday "
                 "17 December, 07:00 (supper.json:2:1)\n  - as it stands (supper.json:1:1)\n");

    windows[3].kind = BK_AWAY; /* not one of them, nor are the rest many without it */
    windows[2].kind = BK_AWAY;
    expect_not(text_of(*state, none, 200), "times between");
}

static void tells_a_limit_with_its_link(void **state)
{
    bk_timeline *none = fixture_impossible(*state);
    bk_plan *plan = fixture_plan(none);
    bk_fact facts[] = {said_at(BK_FACT_WAIT, NULL, 0), said_at(BK_FACT_WAIT, NULL, 0),
                       said_at(BK_FACT_WITHIN, NULL, 0), said_at(BK_FACT_WITHIN, NULL, 0)};
    for (size_t i = 0; i < 4; i++) {
        facts[i].stage = 1 + i % 2;
        facts[i].other = i % 2;
        facts[i].link = 0;
        plan->stages[1 + i % 2].links[0].has_within = true;
    }
    plan->stages[2].links[0].within = 30;
    none->why = facts;
    none->why_count = 4;
    expect(text_of(*state, none, 200),
           "  - Blackcurrant mousse torte: sponge (15 min), then at once bake (25 min), then "
           "within 30 min cool (1 h)\n");
    plan->stages[2].links[0].wait = 10;
    expect(text_of(*state, none, 200), "then at once bake (25 min), 10 min to 30 min later cool");
    plan->stages[2].links[0].wait = 30;
    expect(text_of(*state, none, 200), "then at once bake (25 min), just 30 min later cool");

    /* With the first place of the plan that is known. */
    static const bk_source source = {"supper.json", "{\n}\n", 4};
    facts[1].place = (bk_place){&source, 2};
    expect(text_of(*state, none, 200), "just 30 min later cool (1 h) (supper.json:2:1)\n");

    /* Without the link itself the limit stands alone. */
    none->why = facts + 2;
    none->why_count = 1;
    expect(text_of(*state, none, 200), "  - Blackcurrant mousse torte/bake has to start the minute "
                                       "Blackcurrant mousse torte/sponge ends\n");
}

static void says_where_a_default_comes_from(void **state)
{
    bk_timeline *none = fixture_impossible(*state);
    bk_fact fact = said_at(BK_FACT_EARLIEST, NULL, 0);
    none->why = &fact;
    none->why_count = 1;
    expect(text_of(*state, none, 200), "as it stands (14 days before the first dish is served, as "
                                       "the plan has no \"earliest\": write an earlier one)");
}

static void names_units_and_tools(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_stage *first = &fixture_plan(supper)->stages[0];
    bk_hold ring = {.equipment = 4, .until = 4, .amount = 2};
    first->holds = &ring;
    first->hold_count = 1;
    expect(text_of(*state, supper, 200), "with the stand mixer and the cake ring (2 of them)\n");
    first->needs[0] = (bk_need){.equipment = 1, .amount = 2};
    expect(text_of(*state, supper, 200),
           "in the fridge (2 places), with the cake ring (2 of them)\n");
    first->needs[0].equipment = 2;
    expect(text_of(*state, supper, 200), "on the hob (2 rings), with the cake ring");
    first->needs[0].equipment = 4;
    expect(text_of(*state, supper, 200), "until 18:15, with the cake ring (2 of them)\n");
}

static void gives_years_where_dates_hide_them(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_plan *plan = fixture_plan(supper);
    plan->last_serve += 60;
    expect(text_of(*state, supper, 120), "Serve     Friday 18 December, 19:30 to 20:30\n");
    plan->last_serve += 360 * BK_DAY - 60;
    const char *text = text_of(*state, supper, 120);
    expect(text, "START BY  Thursday 17 December 2026, 18:00\n");
    expect(text, "Serve     Friday 18 December 2026, 19:30 to Monday 13 December 2027, 19:30\n");
}

static void fits_every_width(void **state)
{
    bk_timeline *timelines[] = {fixture_supper(*state), fixture_impossible(*state),
                                fixture_long(*state, 60)};
    bk_stage *wide = &timelines[0]->plan->stages[0];
    wide->text =
        "\xe7\x84\xbc\xe3\x81\x8f\xe7\x84\xbc\xe3\x81\x8f\xe7\x84\xbc\xe3\x81\x8f\xe7\x84\xbc"
        "\xe3\x81\x8f\xe7\x84\xbc\xe3\x81\x8f\xe7\x84\xbc\xe3\x81\x8f\xe7\x84\xbc\xe3\x81\x8f"
        "\xe7\x84\xbc\xe3\x81\x8f \xf0\x9f\x8e\x82\xf0\x9f\x8e\x82";
    wide->note = "averylongwordthatdoesnotfitonanylineofanarrowterminalwindowatallandmustbebroken";
    for (size_t i = 0; i < 3; i++)
        for (int width = 40; width <= 200; width++)
            expect_width(*state, text_of(*state, timelines[i], width), (size_t)width);
    expect_width(*state, text_of(*state, timelines[0], 0), 80);
    expect_width(*state, text_of(*state, timelines[0], 1), 40);
}

static void keeps_to_ascii_and_its_width(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    supper->plan->stages[0].text = "Whisk \xc2\xbd cup of cr\xc3\xa8me fra\xc3\xae"
                                   "che \xe2\x80\x94 1\xc2\xbd min \xe7\x84\xbc";
    fixture_plan(supper)->occasion = "D\xc3\xaener \xe2\x80\xa6";
    for (int width = 40; width <= 100; width++) {
        bk_text out = bk_text_new(*state);
        bk_text_style style = {.width = width, .ascii = true};
        bk_write_text(supper, &style, &out);
        expect_width(*state, out.data, (size_t)width);
        for (const char *c = out.data; *c; c++)
            assert_true((unsigned char)*c < 0x80);
        if (width == 100) {
            expect(out.data, "Diner ...\n=========\n");
            expect(out.data, "Whisk 1/2 cup of creme fraiche - 1 1/2 min ?\n");
            expect(out.data, "to 180 C; hot at");
        }
    }
}

static void gives_each_step_a_line(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    for (int width = 0; width <= 200; width++) {
        bk_text out = bk_text_new(*state);
        bk_text_style style = {.width = width};
        bk_write_short(supper, &style, &out);
        expect_width(*state, out.data, width < 40 ? 40 : (size_t)width);
        if (width == 0) {
            expect(out.data, "Friday supper\nSTART BY Thu 17 Dec 18:00\n\nThu 17 Dec\n");
            expect(out.data, "\n18:00 DO     Whisk eggs and sugar to...\n");
            expect(out.data, "\n18:15 IN     Bake the sponge until it...\n");
            expect(out.data, "\n19:40 DO    !Make the mousse and pour...\n");
            expect(
                out.data,
                "\n19:30 SERVE  Blackcurrant mousse...\n             Roast beef (ready since...\n");
            expect(out.data, "\n\n! CAUTION: without --short it says why\n");
            expect_not(out.data, "Warnings");
        }
    }
    bk_message warning = {.code = "x", .text = "The cream stands too long"};
    supper->warnings = &warning;
    supper->warning_count = 1;
    bk_text out = bk_text_new(*state);
    bk_write_short(supper, &(bk_text_style){.width = 60}, &out);
    expect(out.data, "\nWarnings: 1, without --short\n");
}

static void drops_what_could_steer_a_terminal(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    supper->plan->stages[0].text = "Whisk\033[2J\n\n now\x07 \xff end\xe2\x80\xae";
    const char *text = text_of(*state, supper, 80);
    expect(text, "Whisk[2J now \xef\xbf\xbd end\n");
    assert_null(strchr(text, '\033'));
    assert_null(strchr(text, '\x07'));
}

static void paints_only_when_asked(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_text out = bk_text_new(*state);
    bk_text_style style = {.width = 80, .colour = true};
    bk_write_text(supper, &style, &out);
    assert_non_null(strstr(out.data, "\033[1m"));
    /* Without the paint it is the plain text, byte for byte. */
    bk_text bare = bk_text_new(*state);
    for (const char *c = out.data; *c;) {
        if (*c == '\033') {
            c += strcspn(c, "m") + 1;
            continue;
        }
        bk_text_add_bytes(&bare, c++, 1);
    }
    assert_string_equal(bare.data, text_of(*state, supper, 80));
}

static void lists_the_warnings(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    expect_not(text_of(*state, supper, 80), "Warnings");
    bk_message first = {.code = "a", .text = "The cream stands 3 h above 5 C", .mend = "chill it"};
    bk_message other = {.code = "b", .text = "A reminder is dropped"};
    bk_message list[] = {first, other};
    supper->warnings = list;
    supper->warning_count = 2;
    const char *text = text_of(*state, supper, 80);
    expect_order(text, "START BY", "\nWarnings  2, below the steps\n");
    expect_order(text, "SERVE", "Warnings\n--------\n");
    expect(text, "  ! The cream stands 3 h above 5 C; chill it\n  ! A reminder is dropped\n");
}

static void shows_what_the_dial_shows(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    supper->plan->kitchen.equipment[0].fan = true;
    expect(text_of(*state, supper, 80), "to 160 \xc2\xb0"
                                        "C fan;");
    supper->plan->kitchen.equipment[0].fan = false;
    fixture_plan(supper)->kitchen.rules = BK_RULES_US;
    fixture_plan(supper)->kitchen.equipment[0].fahrenheit = true; /* the oven's dial */
    fixture_plan(supper)->kitchen.has_rules = true;
    expect(text_of(*state, supper, 80), "to 356 \xc2\xb0"
                                        "F (180 \xc2\xb0"
                                        "C);");
    supper->plan->kitchen.equipment[0].count = 2;
    expect(text_of(*state, supper, 80), "Turn the oven 1 on, to");
}

/* 2026-10-25 02:00 British summer time: clocks go back to 01:00. */
static void says_when_clocks_change(void **state)
{
    bk_timeline *one = fixture_long(*state, 1);
    bk_civil civil = {2026, 10, 24, 23, 0};
    one->stages[0].start = one->start = bk_instant_of(one->plan->zone, civil, NULL);
    one->stages[0].end = one->ready = one->start + 600;
    one->plan->dishes[0].serve = one->ready;
    const char *text = text_of(*state, one, 80);
    expect(text, "  01:00  clock  Clocks go back by 1 h");
    expect(text, "until Sun 08:00");
    expect_order(text, "clock", "SERVE");
}

static void gives_the_same_bytes(void **state)
{
    const char *first = text_of(*state, fixture_supper(*state), 80);
    assert_string_equal(first, text_of(*state, fixture_supper(*state), 80));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(says_the_start_first),
        TEST(gives_rows_their_words),
        TEST(marks_what_cannot_start_later),
        TEST(tells_a_movement_as_one),
        TEST(says_the_table_last),
        TEST(says_the_start_again_at_a_long_end),
        TEST(says_how_far_from_the_best),
        TEST(tells_what_does_not_fit),
        TEST(tells_many_nights_in_one_line),
        TEST(tells_a_limit_with_its_link),
        TEST(says_where_a_default_comes_from),
        TEST(names_units_and_tools),
        TEST(gives_years_where_dates_hide_them),
        TEST(fits_every_width),
        TEST(keeps_to_ascii_and_its_width),
        TEST(gives_each_step_a_line),
        TEST(drops_what_could_steer_a_terminal),
        TEST(paints_only_when_asked),
        TEST(lists_the_warnings),
        TEST(shows_what_the_dial_shows),
        TEST(says_when_clocks_change),
        TEST(gives_the_same_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
