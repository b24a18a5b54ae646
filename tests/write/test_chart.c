/* The picture in characters. */
#include "write/write.h"

#include "expect.h"
#include "fixture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static const char *chart_of(bk_arena *arena, const bk_timeline *timeline, int width, bool ascii)
{
    bk_text out = bk_text_new(arena);
    bk_write_chart(timeline, &(bk_chart_style){.width = width, .ascii = ascii}, &out);
    return out.data;
}

/* The line that begins with `name`, or `below` lines below it. */
static const char *line_of(bk_arena *arena, const char *chart, const char *name, size_t below)
{
    const char *at = strstr(chart, bk_format(arena, "\n%s ", name));
    if (!at)
        fail_msg("no line %s in\n%s", name, chart);
    for (at++; below > 0; below--)
        at = strchr(at, '\n') + 1;
    return bk_copy(arena, at, strcspn(at, "\n"));
}

static size_t column_of(const char *line, const char *what)
{
    const char *at = strstr(line, what);
    if (!at)
        fail_msg("no %s in %s", what, line);
    return (size_t)(at - line);
}

static void no_line_is_too_long(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    supper->plan->stages[0].text =
        "\xe7\x84\xbc\xe3\x81\x8f\xe7\x84\xbc\xe3\x81\x8f e\xcc\x81t\xc3\xa9";
    supper->plan->dishes[1].name = "\xf0\x9f\xa5\xa9\xf0\x9f\xa5\xa9 beef";
    bk_timeline *timelines[] = {supper, fixture_long(*state, 1), fixture_long(*state, 200)};
    for (int width = 60; width <= 210; width += 30)
        for (size_t i = 0; i < 6; i++) {
            const char *at = chart_of(*state, timelines[i / 2], width, i % 2);
            size_t most = width < 80 ? 80 : width > 200 ? 200 : (size_t)width;
            for (size_t length; *at; at += length + 1) {
                length = strcspn(at, "\n");
                const char *line = bk_copy(*state, at, length);
                if (bk_columns(line) > most)
                    fail_msg("%zu columns of %zu: %s", bk_columns(line), most, line);
                assert_true(length == 0 || at[length - 1] != ' ');
            }
        }
}

static void ascii_is_ascii(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    supper->plan->dishes[0].name = "Cr\xc3\xa8me br\xc3\xbbl\xc3\xa9"
                                   "e \xe2\x80\x93 \xe2\x80\x9c\xe6\xb3\xa1\xe2\x80\x9d";
    const char *chart = chart_of(*state, supper, 100, true);
    for (const char *c = chart; *c; c++)
        assert_true((unsigned char)*c < 0x80);
    expect(chart, "Creme brulee - \"?\"");
    supper->plan->dishes[0].name = "1\xc2\xbd Ka\xc3\x9fler";
    expect(chart_of(*state, supper, 200, true), "1 1/2 Kassler");
    expect(chart_of(*state, supper, 200, true), "180 C");
    expect(chart_of(*state, supper, 200, false), "180 \xc2\xb0"
                                                 "C");
}

static void stands_under_its_hour(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    const char *chart = chart_of(*state, supper, 80, true);
    const char *hours = line_of(*state, chart, "", 0);
    while (!strstr(hours, "|18:00")) {
        chart = strstr(chart, hours) + strlen(hours);
        hours = line_of(*state, chart, "", 0);
    }
    /* The sponge at 18:00, the mousse at 19:40: two thirds of an hour on. */
    size_t at = column_of(hours, "|18:00"), hour = column_of(hours, "|19:00") - at;
    assert_int_equal(column_of(line_of(*state, chart, "Hands", 0), "#"), at);
    size_t mousse = column_of(line_of(*state, chart, "Hands", 1), "#");
    assert_in_range(mousse, at + hour * 5 / 3 - 1, at + hour * 5 / 3 + 1);
    expect(line_of(*state, chart, "Hands", 1), "# 19:40 Make the mousse and pour it");
}

static void a_place_has_a_line(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    supper->plan->stages[13].needs[0].amount = 2;
    const char *chart = chart_of(*state, supper, 80, true);
    expect(line_of(*state, chart, "fridge", 0), "Blackcurrant mouss");
    expect(line_of(*state, chart, "3 places", 0), "[-] Panna cotta");
    expect(line_of(*state, chart, "3 places", 1), "[-]  ");
    /* From the glaze on it is ready, and kept. */
    expect(line_of(*state, chart, "fridge", 0), "....");
    expect(chart, ". ready, kept until served");
    expect_not(chart, "its place is kept"); /* no such thing in this one */
}

static void a_kept_place_is_hatched(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    supper->plan->stages[3].holds[0] = (bk_hold){.equipment = 1, .until = 4, .amount = 1};
    supper->plan->stages[4].need_count = 0;
    const char *chart = chart_of(*state, supper, 80, true);
    expect(line_of(*state, chart, "fridge", 0), "[///");
    expect(chart, "/ its place is kept, it is elsewhere");
}

static void what_is_cut_says_so(void **state)
{
    bk_timeline *many = fixture_long(*state, 200);
    many->plan->stages[0].holds = BK_NEW((bk_arena *)*state, bk_hold, 1);
    many->plan->stages[0].hold_count = 1;
    many->plan->stages[0].holds[0] = (bk_hold){.equipment = 4, .until = 199, .amount = 1};
    const char *chart = chart_of(*state, many, 80, true);
    expect(line_of(*state, chart, "cake ring", 0), "->");
    expect(line_of(*state, strstr(chart, "->"), "cake ring", 0), "<");
    expect(chart, "> goes on");
}

static void words_are_whole_or_say_that_they_are_cut(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    char text[128] = "END";
    for (size_t length = 1; length < 90; length++) {
        memmove(text + 1, text, strlen(text) + 1);
        text[0] = 'x';
        supper->plan->stages[0].text = text;
        const char *line = line_of(*state, chart_of(*state, supper, 80, true), "Hands", 0);
        assert_true(strstr(line, "xEND") || strstr(line, "x..."));
    }
}

static void tells_of_clock_changes(void **state)
{
    expect_not(chart_of(*state, fixture_supper(*state), 80, true), "clocks");
    expect(chart_of(*state, fixture_clock_change(*state), 80, true), "clocks back 1 h");
}

static void gives_the_same_bytes(void **state)
{
    assert_string_equal(chart_of(*state, fixture_supper(*state), 90, false),
                        chart_of(*state, fixture_supper(*state), 90, false));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(no_line_is_too_long),
        TEST(ascii_is_ascii),
        TEST(stands_under_its_hour),
        TEST(a_place_has_a_line),
        TEST(a_kept_place_is_hatched),
        TEST(what_is_cut_says_so),
        TEST(words_are_whole_or_say_that_they_are_cut),
        TEST(tells_of_clock_changes),
        TEST(gives_the_same_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
