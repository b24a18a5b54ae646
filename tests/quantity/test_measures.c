/* Temperatures and lengths: every form, and every slip. */
#include "plan/plan.h"

#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

static bool near(double a, double b)
{
    return fabs(a - b) < 1e-9;
}

/* Gas marks: common practice, no source (mark 4 is 180 C). Fahrenheit: by
 * definition C = (F - 32) / 1.8. */
static void reads_oven_temperatures(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double low, nominal, high;
    } good[] = {
        {"180 C", 176, 180, 184},
        {"180C", 176, 180, 184},
        {"180 c", 176, 180, 184},
        {"180 \u00B0C", 176, 180, 184},
        {"180\u00B0C", 176, 180, 184},
        {"180 \u00B0 C", 176, 180, 184},
        {"180\u00A0\u00B0C", 176, 180, 184},
        {" 180 C ", 176, 180, 184},
        {"182.5 C", 178.5, 182.5, 186.5},
        {"350 F", 350 / 1.8 - 32 / 1.8 - 4, 350 / 1.8 - 32 / 1.8, 350 / 1.8 - 32 / 1.8 + 4},
        {"350 \u00B0F", 350 / 1.8 - 32 / 1.8 - 4, 350 / 1.8 - 32 / 1.8, 350 / 1.8 - 32 / 1.8 + 4},
        {"212 F", 96, 100, 104},
        {"170-190 C", 170, 180, 190},
        {"170 - 190 \u00B0C", 170, 180, 190},
        {"170 C - 190 C", 170, 180, 190},
        {"170\u2013190 C", 170, 180, 190},
        {"212 F - 120 C", 100, 110, 120},
        {"180-180 C", 180, 180, 180},
        {"160 C fan", 176, 180, 184},
        {"160 \u00B0C fan", 176, 180, 184},
        {"150-170 C fan", 170, 180, 190},
        {"212 F fan", 116, 120, 124},
        {"gas 1/4", 106, 110, 114},
        {"gas \u00BC", 106, 110, 114},
        {"gas 0.25", 106, 110, 114},
        {"gas 1/2", 126, 130, 134},
        {"gas \u00BD", 126, 130, 134},
        {"gas 1", 136, 140, 144},
        {"gas 2", 146, 150, 154},
        {"gas 3", 156, 160, 164},
        {"gas 4", 176, 180, 184},
        {"gas mark 4", 176, 180, 184},
        {"Gas 4", 176, 180, 184},
        {"gas4", 176, 180, 184},
        {"gas 5", 186, 190, 194},
        {"gas 6", 196, 200, 204},
        {"gas 7", 216, 220, 224},
        {"gas 8", 226, 230, 234},
        {"gas 9", 236, 240, 244},
        {"gas 4-5", 180, 185, 190},
        {"gas 1/2-1", 130, 135, 140},
        {"20 C", 16, 20, 24},
        {"550 C", 546, 550, 554},
    };
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        bk_temperature at = {0};
        const char *mend = NULL;
        if (!bk_read_oven_temperature(good[i].text, &at, &mend))
            fail_msg("\"%s\" is refused: %s", good[i].text, mend);
        if (!near(at.low, good[i].low) || !near(at.nominal, good[i].nominal) ||
            !near(at.high, good[i].high))
            fail_msg("\"%s\" is %g, %g, %g", good[i].text, at.low, at.nominal, at.high);
    }
}

/* The reason for the tolerance: what one recipe calls 350 F and another 180 C is
 * one setting. 180 C and 190 C are two. */
static void settings_meet(void **state)
{
    (void)state;
    static const struct {
        const char *one, *other;
        bool meet;
    } pairs[] = {
        {"350 F", "180 C", true},  {"gas 4", "350 F", true},      {"160 C fan", "gas 4", true},
        {"180 C", "188 C", true},  {"180 C", "190 C", false},     {"375 F", "190 C", true},
        {"400 F", "gas 6", true},  {"170-190 C", "200 C", false}, {"170-190 C", "194 C", true},
        {"gas 3", "gas 4", false},
    };
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        bk_temperature one, other;
        const char *mend = NULL;
        assert_true(bk_read_oven_temperature(pairs[i].one, &one, &mend));
        assert_true(bk_read_oven_temperature(pairs[i].other, &other, &mend));
        if ((one.low <= other.high && other.low <= one.high) != pairs[i].meet)
            fail_msg("\"%s\" and \"%s\"", pairs[i].one, pairs[i].other);
    }
}

typedef struct refusal {
    const char *text, *mend;
} refusal;

static void refuses_oven_temperatures(void **state)
{
    (void)state;
    static const refusal bad[] = {
        {"", "180 C"},
        {"hot", "180 C"},
        {"180", "add the unit"},
        {"180-190", "add the unit"},
        {"180 K", "add the unit"},
        {"180 \u00B0", "180 C"},
        {"190-170 C", "lower temperature first"},
        {"180 C fans", "180 C"},
        {"180 C grill", "180 C"},
        {"-180 C", "180 C"},
        {"10 C", "between 20 and 550"},
        {"551 C", "between 20 and 550"},
        {"1200 F", "between 20 and 550"},
        {"gas", "gas marks are"},
        {"gas 0", "gas marks are"},
        {"gas 10", "gas marks are"},
        {"gas 4.5", "gas marks are"},
        {"gas 4 fan", "gas marks are"},
        {"gas 5-4", "lower temperature first"},
        {"180-190-200 C", "add the unit"},
        {"180 C-", "180 C"},
        {"9999999999 C", "180 C"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        bk_temperature at = {0};
        const char *mend = NULL;
        if (bk_read_oven_temperature(bad[i].text, &at, &mend))
            fail_msg("\"%s\" is taken for %g", bad[i].text, at.nominal);
        assert_non_null(mend);
        if (strstr(mend, bad[i].mend) == NULL)
            fail_msg("\"%s\": \"%s\" is not in \"%s\"", bad[i].text, bad[i].mend, mend);
    }
}

static void reads_temperatures(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double celsius;
    } good[] = {
        {"4 C", 4},
        {"-18 C", -18},
        {"\u2212"
         "18 \u00B0C",
         -18},
        {"0 C", 0},
        {"40 F", 40 / 1.8 - 32 / 1.8},
        {"-40 F", -40},
        {"32 F", 0},
        {"2.5 C", 2.5},
        {"100C", 100},
    };
    static const refusal bad[] = {
        {"", "4 C"},
        {"4", "add the unit"},
        {"cold", "4 C"},
        {"2-6 C", "4 C"},
        {"4 C fan", "4 C"},
        {"-101 C", "between -100 and 550"},
        {"551 C", "between -100 and 550"},
        {"- C", "4 C"},
        {"gas 4", "4 C"},
    };
    const char *mend = NULL;
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        double celsius = NAN;
        if (!bk_read_temperature(good[i].text, &celsius, &mend) || !near(celsius, good[i].celsius))
            fail_msg("\"%s\" is %g", good[i].text, celsius);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        double celsius = NAN;
        if (bk_read_temperature(bad[i].text, &celsius, &mend))
            fail_msg("\"%s\" is taken for %g", bad[i].text, celsius);
        if (strstr(mend, bad[i].mend) == NULL)
            fail_msg("\"%s\": \"%s\" is not in \"%s\"", bad[i].text, bad[i].mend, mend);
    }
}

/* An inch is 25.4 mm exactly (international yard, 1959). */
static void reads_lengths(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double metres;
    } good[] = {
        {"20 cm", 0.2},     {"20cm", 0.2},        {"60 mm", 0.06}, {"8 in", 0.2032},
        {"1 inch", 0.0254}, {"9 inches", 0.2286}, {"0.5 m", 0.5},  {"7.5 cm", 0.075},
        {" 20 CM ", 0.2},   {"10 m", 10},
    };
    static const refusal bad[] = {
        {"", "20 cm"},
        {"20", "20 cm"},
        {"20 km", "20 cm"},
        {"-20 cm", "20 cm"},
        {"0 cm", "more than nothing"},
        {"11 m", "10 m"},
        {"wide", "20 cm"},
        {"20 cm x 5", "20 cm"},
        {"20 centimetres", "20 cm"},
        {"20-24 cm", "20 cm"},
    };
    const char *mend = NULL;
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        double metres = NAN;
        if (!bk_read_length(good[i].text, &metres, &mend) || !near(metres, good[i].metres))
            fail_msg("\"%s\" is %g m", good[i].text, metres);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        double metres = NAN;
        if (bk_read_length(bad[i].text, &metres, &mend))
            fail_msg("\"%s\" is taken for %g m", bad[i].text, metres);
        if (strstr(mend, bad[i].mend) == NULL)
            fail_msg("\"%s\": \"%s\" is not in \"%s\"", bad[i].text, bad[i].mend, mend);
    }
}

static void reads_how_fast_an_oven_heats(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double rate;
    } good[] = {{"12 C/min", 12}, {"12 \u00B0C / min", 12}, {"18 F/min", 10}, {"0.5C/min", 0.5}};
    static const char *const bad[] = {"",        "12",        "12 C",        "12 C/h",  "12 /min",
                                      "0 C/min", "600 C/min", "12 C/minute", "-3 C/min"};
    const char *mend = NULL;
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        double rate = 0;
        assert_true(bk_read_heating_rate(good[i].text, &rate, &mend));
        assert_true(near(rate, good[i].rate));
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        double rate = 0;
        mend = NULL;
        assert_false(bk_read_heating_rate(bad[i], &rate, &mend));
        assert_non_null(mend);
    }
}

/* Common practice, no source. */
static void multiplies_amounts_as_a_cook_writes_them(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        double factor;
        const char *made;
    } cases[] = {
        {"500 g", 1.3, "650 g"},
        {"333 g flour", 1.5, "500 g flour"},
        {"7 g", 1.5, "11 g"},
        {"1.5 l", 2, "3 l"},
        {"1 tsp", 0.5, "1/2 tsp"},
        {"1/2 tsp", 3, "1 1/2 tsp"},
        {"1 1/2 tbsp", 1.3, "2 tbsp"},
        {"\u00BD tsp", 0.2, "1/4 tsp"},
        {"2", 1.3, "3 (2.6 by the sum)"},
        {"3 leaves", 2, "6 leaves"},
        {"1 egg", 0.5, "1 (0.5 by the sum) egg"},
        {"100-150 g", 1.3, "130-195 g"},
        {"1\u2153 cups", 2, "2 3/4 cups"},
        {"1 \u2154 cups", 3, "5 cups"},
        {"1/3 cup", 0.375, "1/4 cup"},
        {"1/3 cup", 1.125, "1/2 cup"},
        {"1/8 tsp", 2, "1/4 tsp"},
        {"1 1/8 tsp", 2, "2 1/4 tsp"},
        {"1/20 tsp", 2, "1/20 tsp"},
        {"a pinch", 2, "a pinch"},
        {"", 2, ""},
    };
    bk_arena *arena = bk_arena_new(NULL);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        assert_string_equal(bk_amount_times(arena, cases[i].text, cases[i].factor), cases[i].made);
    bk_arena_free(arena);
}

/* A dial has the tens, a fine one the fives (common practice, no source); in Fahrenheit
 * recipes go by the 25s. 375 F is 190.6 C, 400 F is 204.4 C. */
static void a_dial_has_round_numbers(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bk_dial dial;
        double set;
    } cases[] = {
        {"190-200 C", {false, false}, 190},
        {"190-200 C", {false, true}, 190},
        {"170-190 C", {false, false}, 180},
        {"186-204 C", {false, false}, 190},
        {"182-191 C", {false, false}, 190},
        {"172-178 C", {false, false}, 175},
        {"171-174 C", {false, false}, 172},
        {"171.2-171.6 C", {false, false}, 171.4},
        {"183 C", {false, false}, 183},
        {"165 C fan", {false, true}, 185},
        {"350 F", {false, false}, 180},
        {"350 F", {true, false}, (350 - 32) / 1.8},
        {"360 F", {true, false}, (360 - 32) / 1.8},
        {"180 C", {true, false}, (350 - 32) / 1.8},
        {"375-400 F", {true, false}, (375 - 32) / 1.8},
        {"380-410 F", {true, false}, (400 - 32) / 1.8},
        {"350 F fan", {true, true}, (350 - 32) / 1.8 + 20},
        /* 314 on a fan dial, which has the fives */
        {"350 F", {true, true}, (315 - 32) / 1.8 + 20},
        {"gas 4-5", {false, false}, 180},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bk_temperature at = {0};
        const char *mend = NULL;
        assert_true(bk_read_oven_temperature(cases[i].text, &at, &mend));
        double set = bk_dial_wanted(cases[i].dial, &at);
        if (!near(set, cases[i].set))
            fail_msg("%s is set to %f, not %f", cases[i].text, set, cases[i].set);
    }
}

/* 40 and 135 F: FDA Food Code 2022, 3-501.16, has 5 C and 57 C beside 41 and 135 F. */
static void comes_back_in_its_units(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_units metric = {0}, both = {true, true};
    assert_string_equal(bk_degrees(arena, both, 5.0), "41 F");
    assert_string_equal(bk_degrees(arena, both, 57.0), "135 F");
    assert_string_equal(bk_degrees(arena, both, 21.0), "70 F");
    assert_string_equal(bk_degrees(arena, metric, 7.777), "7.78 C");
    assert_string_equal(bk_degrees_apart(arena, both, 5.0), "9 F");
    assert_string_equal(bk_degrees_apart(arena, metric, 5.0), "5 C");
    assert_string_equal(bk_length(arena, both, 0.0381, true), "1.5 in");
    assert_string_equal(bk_length(arena, both, 0.3048, true), "12 in");
    assert_string_equal(bk_length(arena, metric, 0.0381, true), "38 mm");
    assert_string_equal(bk_length(arena, metric, 0.2, false), "20 cm");
    assert_true(bk_is_fahrenheit("350 F") && !bk_is_fahrenheit("180 C"));
    assert_true(bk_is_inches("8 in") && !bk_is_inches("20 cm"));
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_dial_has_round_numbers),
        cmocka_unit_test(comes_back_in_its_units),
        cmocka_unit_test(multiplies_amounts_as_a_cook_writes_them),
        cmocka_unit_test(reads_how_fast_an_oven_heats),
        cmocka_unit_test(reads_oven_temperatures),
        cmocka_unit_test(settings_meet),
        cmocka_unit_test(refuses_oven_temperatures),
        cmocka_unit_test(reads_temperatures),
        cmocka_unit_test(reads_lengths),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
