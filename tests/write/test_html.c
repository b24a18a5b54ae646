/* The page. */
#include "write/write.h"

#include "expect.h"
#include "fixture.h"
#include "markup_check.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static const char *html_of(bk_arena *arena, const bk_timeline *timeline)
{
    bk_text out = bk_text_new(arena);
    bk_write_html(timeline, &out);
    return out.data;
}

static size_t count_of(const char *text, const char *part)
{
    size_t count = 0;
    for (; (text = strstr(text, part)) != NULL; text += strlen(part))
        count++;
    return count;
}

static void is_well_formed(void **state)
{
    bk_timeline *timelines[] = {fixture_supper(*state), fixture_impossible(*state),
                                fixture_long(*state, 120)};
    for (size_t i = 0; i < 3; i++) {
        const char *fault = markup_fault(html_of(*state, timelines[i]), true);
        if (fault)
            fail_msg("timeline %zu: %s", i, fault);
    }
}

static void stands_alone(void **state)
{
    const char *html = html_of(*state, fixture_supper(*state));
    expect(html, "<html lang=\"en\">");
    expect(html, "<meta charset=\"utf-8\">");
    expect(html, "name=\"viewport\" content=\"width=device-width, initial-scale=1\"");
    expect(html, "prefers-color-scheme:dark");
    expect(html, "@media print");
    expect_not(html, "<link");
    expect_not(html, " src=");
    expect_not(html, "@import");
    assert_int_equal(count_of(html, "url("), count_of(html, "url(#"));
    expect_not(html, "fetch(");
    /* The one address is the name of the picture's language. */
    assert_int_equal(count_of(html, "http:") + count_of(html, "https:"), 1);
    expect(html, "xmlns=\"http://www.w3.org/2000/svg\"");
    expect_not(html, "<?xml");
}

static void starts_with_the_start(void **state)
{
    const char *html = html_of(*state, fixture_supper(*state));
    const char *start = strstr(html, "<span>Start by</span> <strong>Thursday 17 December, 18:00");
    assert_non_null(start);
    /* On paper what to buy comes before the steps, the picture behind them. */
    const char *buy = strstr(start, "<h3>Blackcurrant mousse torte, for 8</h3>");
    assert_non_null(buy);
    expect(buy, "<li>400\xc2\xa0g blackcurrants</li>");
    expect(buy, "<li>leaf gelatine,<span class=\"seen\"> for</span> 19:40</li>");
    expect(buy, "<h3>Tins and tools</h3>\n<ul role=\"list\">\n<li>stand mixer</li>");
    const char *steps = strstr(buy, "<h2 id=\"steps-heading\">Steps</h2>");
    assert_non_null(steps);
    expect(steps, "<h3 id=\"day-2026-12-17\">Thursday 17 December 2026</h3>");
    expect(strstr(steps, "<h3 id=\"day-2026-12-17\""),
           "<h3 id=\"day-2026-12-18\">Friday 18 December 2026</h3>");
    expect(steps, "<section id=\"picture\"");
    expect(steps, "food-safety");
    expect(html, "<a href=\"#day-2026-12-18\">Fri 18 Dec</a>");
}

static void gives_each_movement_a_box_to_tick(void **state)
{
    const char *html = html_of(*state, fixture_supper(*state));
    /* 15 starts, 2 checks, 3 times out of the oven, 3 settings of it, off twice and once to the
     * table; less off twice and two dishes left to themselves as they come out. */
    assert_int_equal(count_of(html, "<input type=\"checkbox\" autocomplete=\"off\">"),
                     15 + 2 + 3 + 3 + 2 + 1 - 2 - 2);
    expect(html, "<time datetime=\"2026-12-17T18:00:00+00:00\"><span class=\"day\">Thu "
                 "</span>18:00</time>");
    expect(html, "<div class=\"still\"><time datetime=\"2026-12-17T22:30:00+00:00\">");
    expect(html, "<strong>Caution:</strong> Raw egg white");
    expect(html, "<span class=\"more dish\">Roast beef (ready since 18:55)</span>");
}

static void tells_its_script_what_runs_until_when(void **state)
{
    const char *html = html_of(*state, fixture_supper(*state));
    const char *bake = strstr(html, "<time datetime=\"2026-12-17T18:15:00+00:00\"");
    assert_non_null(bake);
    while (strncmp(bake, "<li ", 4) != 0)
        bake--;
    expect(bk_copy(*state, bake, strcspn(bake, ">")),
           "class=\"acts\" data-until=\"2026-12-17T18:40:00+00:00\" data-ends=\"step-2\" "
           "data-runs=\"\"");
}

/* The sponge: whisked in step 2, in the oven in 3, looked at in 4, out and left to cool in 5. */
static void tells_its_script_what_ends_what(void **state)
{
    const char *html = html_of(*state, fixture_supper(*state));
    expect(html, "<li id=\"step-3\" class=\"acts\" data-until=\"2026-12-17T18:40:00+00:00\" "
                 "data-ends=\"step-2\" data-runs=\"\">");
    expect(html, "<li id=\"step-5\" class=\"acts\" data-until=\"2026-12-17T19:40:00+00:00\" "
                 "data-ends=\"step-3\" data-runs=\"\">");
    expect(html, "<li id=\"step-6\" class=\"acts\" data-until=\"2026-12-17T20:20:00+00:00\" "
                 "data-ends=\"step-5\">");
}

/* What is kept in a browser is kept for these steps and no others. */
static void tells_versions_apart(void **state)
{
    const char *one = strstr(html_of(*state, fixture_supper(*state)), "<body ");
    assert_non_null(one);
    size_t length = strcspn(one, ">");
    bk_timeline *later = fixture_supper(*state);
    later->stages[8].start++; /* to season the joint, and nothing else */
    const char *other = strstr(html_of(*state, later), "<body ");
    assert_non_null(other);
    size_t plan = strcspn(one, " ") + strlen(" data-plan=\"0123456789abcdef\"");
    assert_memory_equal(one, other, plan);
    assert_memory_not_equal(one, other, length);
}

static void marks_exceptions_only(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    expect_not(html_of(*state, supper), "\xe2\x97\x86");
    for (size_t i = 0; i < supper->stage_count; i++)
        supper->stages[i].slack = i == 3 ? 0 : 5;
    const char *html = html_of(*state, supper);
    /* Glued to the word before it, and told in words. */
    assert_int_equal(count_of(html, "<span class=\"sign\">\xc2\xa0<span role=\"img\" "
                                    "aria-label=\"can't start later\""),
                     1);
    expect(html, "Steps marked \xe2\x97\x86 can&#39;t start later");
}

static void escapes_what_the_cook_wrote(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    fixture_plan(supper)->occasion = "</title><script>alert(1)</script> & more";
    supper->plan->stages[0].text = "<img src=x onerror=alert(1)>";
    supper->plan->stages[3].caution = "\"hot\" <b>sugar</b>\x1b";
    supper->plan->dishes[0].ingredients[0].item = "<i>currants</i>";
    supper->plan->kitchen.windows[2].label = "<work>";
    bk_message warning = {.code = "x", .text = "a < b & c", .mend = "<u>"};
    supper->warnings = &warning;
    supper->warning_count = 1;
    const char *html = html_of(*state, supper);
    const char *fault = markup_fault(html, true);
    if (fault)
        fail_msg("%s", fault);
    assert_int_equal(count_of(html, "<script"), 1);
    expect_not(html, "alert(1)<");
    expect(html, "content:\"\\3C \\2F title\\3E \\3C script\\3E alert\\28 1\\29 ");
    expect_not(html, "<img");
    expect_not(html, "<b>");
    expect_not(html, "<i>");
    expect_not(html, "<u>");
    expect_not(html, "<work>");
    expect(html, "a &lt; b &amp; c; &lt;u&gt;");
}

static void shows_warnings_and_the_way_to_them(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    expect_not(html_of(*state, supper), "id=\"warnings");
    bk_message warning = {.code = "x", .text = "The cream stands too long"};
    supper->warnings = &warning;
    supper->warning_count = 1;
    const char *html = html_of(*state, supper);
    expect(html, "<a href=\"#warnings\">Warnings (1)</a>");
    assert_int_equal(count_of(html, "The cream stands too long"), 1);
}

static void tells_what_does_not_fit(void **state)
{
    const char *html = html_of(*state, fixture_impossible(*state));
    expect(html, "This plan can&#39;t be met.");
    expect(html, "<li>Blackcurrant mousse torte: set (6 h)</li>");
    expect(html, "<li>Leave the torte out.</li>");
    expect_not(html, "type=\"checkbox\"");
    expect_not(html, "<script");
    expect_not(html, "<svg");
}

static void gives_the_same_bytes(void **state)
{
    assert_string_equal(html_of(*state, fixture_supper(*state)),
                        html_of(*state, fixture_supper(*state)));
}

/* Relative luminance and contrast as WCAG 2.1 defines them. */
static double channel(int value)
{
    double c = value / 255.0;
    return c <= 0.03928 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4);
}

static double luminance(unsigned colour)
{
    return 0.2126 * channel(colour >> 16 & 255) + 0.7152 * channel(colour >> 8 & 255) +
           0.0722 * channel(colour & 255);
}

static unsigned colour_of(const char *style, const char *name)
{
    const char *at = strstr(style, name);
    assert_non_null(at);
    char *end = NULL;
    unsigned long value = strtoul(at + strlen(name) + 2, &end, 16);
    if (end - (at + strlen(name) + 2) == 3) /* #abc means #aabbcc */
        value = (value >> 8 & 15) * 0x110000 + (value >> 4 & 15) * 0x1100 + (value & 15) * 0x11;
    return (unsigned)value;
}

static void has_contrast(void **state)
{
    static const char *const pairs[][2] = {{"--ink", "--paper"},  {"--soft", "--paper"},
                                           {"--on-act", "--act"}, {"--loud", "--loud-card"},
                                           {"--loud", "--paper"}, {"--act", "--paper"}};
    const char *html = html_of(*state, fixture_supper(*state));
    const char *schemes[] = {strstr(html, ":root{"), strstr(html, "scheme:dark){:root{"),
                             strstr(html, "print{\n:root{")};
    for (size_t s = 0; s < 3; s++)
        for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
            assert_non_null(schemes[s]);
            double a = luminance(colour_of(schemes[s], pairs[i][0]));
            double b = luminance(colour_of(schemes[s], pairs[i][1]));
            double contrast = a > b ? (a + 0.05) / (b + 0.05) : (b + 0.05) / (a + 0.05);
            if (contrast < 4.5)
                fail_msg("scheme %zu: %s on %s is %.2f to 1", s, pairs[i][0], pairs[i][1],
                         contrast);
        }
}

/* What the line says already is for the screen alone (class "seen", which paper hides): that DO
 * takes hands, of which dish a step is that names it, where in a file a warning comes from. */
static void marks_what_paper_leaves_out(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    bk_plan *plan = fixture_plan(supper);
    plan->stages[0].text = "Whisk eggs";
    plan->dishes[plan->stages[0].dish].name = "Torte";
    plan->stages[3].text = "Pour the mousse on the torte";
    const char *page = html_of(*state, supper);
    expect(page, "<span class=\"more\"><span>Torte: </span>");
    expect(page, "min<span class=\"seen\"> hands on</span>, until");
    expect(page, "<span class=\"more\"><span class=\"seen\">Torte: </span>");
    expect(page, "@media print{");
    expect(strstr(page, "@media print{"), ".seen,");
}

/* Of a day under way, what the journal has done is ticked, also without the script. */
static void ticks_what_is_done(void **state)
{
    bk_timeline *supper = fixture_supper(*state);
    expect_not(html_of(*state, supper), "checked=\"");
    bk_plan *plan = fixture_plan(supper);
    const bk_placed *first = &supper->stages[0];
    bk_stage *stage = &plan->stages[first->stage];
    assert_int_equal(stage->attention, BK_HANDS);
    stage->progress = BK_RUNNING;
    plan->under_way = true;
    plan->now = first->end;
    const char *done = bk_format(*state, " class=\"acts done\" data-done=\"%s\"",
                                 bk_instant_rfc3339(*state, plan->zone, first->end));
    size_t before = count_of(html_of(*state, supper), " data-done=\"");
    stage->progress = BK_DONE;
    const char *html = html_of(*state, supper), *row = strstr(html, done);
    assert_int_equal(count_of(html, " data-done=\""), before + 1);
    assert_int_equal(count_of(html, " checked=\"\""), before + 1);
    assert_non_null(row);
    expect(bk_copy(*state, row, strcspn(row, "\n")), stage->text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(is_well_formed),
        TEST(stands_alone),
        TEST(starts_with_the_start),
        TEST(gives_each_movement_a_box_to_tick),
        TEST(tells_its_script_what_runs_until_when),
        TEST(tells_its_script_what_ends_what),
        TEST(tells_versions_apart),
        TEST(marks_exceptions_only),
        TEST(escapes_what_the_cook_wrote),
        TEST(shows_warnings_and_the_way_to_them),
        TEST(tells_what_does_not_fit),
        TEST(gives_the_same_bytes),
        TEST(has_contrast),
        TEST(marks_what_paper_leaves_out),
        TEST(ticks_what_is_done),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
