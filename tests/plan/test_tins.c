/* Another tin: what it multiplies and when to look, worked out by hand. */
#include "support/plan_text.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#define PLAN(tins)                                                                                 \
    "{\"occasion\":\"o\",\"timezone\":\"UTC\",\"serve\":\"2026-12-05 19:00\",\"kitchen\":{"        \
    "\"equipment\":{\"oven\":{\"kind\":\"oven\"}}},\"dishes\":[{\"dish\":\"torte\"," tins          \
    "\"stages\":[{\"id\":\"bake\",\"do\":\"d\",\"passive\":\"30-45 min\",\"uses\":{\"oven\":{"     \
    "\"at\":\"180 C\"}},\"caution\":\"Hot.\"}]}]}"

typedef struct tins {
    const char *text;
    double scale;
    int64_t look; /* 0: none */
} tins;

static void amounts_and_looks(void **state)
{
    (void)state;
    static const tins cases[] = {
        {"", 0.0, 30},
        {"\"tin\":{\"across\":\"20 cm\"},", 0.0, 30},
        {"\"tin\":{\"across\":\"20 cm\"},\"into\":{\"across\":\"26 cm\"},", 1.69, 27},
        /* (4.81/0.2)^2 = 578.4, (pi/0.05)^2 = 3947.8, (4.81/0.26)^2 = 342.3: x 1.055 */
        {"\"tin\":{\"across\":\"20 cm\",\"deep\":\"5 cm\"},\"into\":{\"across\":\"26 cm\"},", 1.69,
         32},
        /* (pi/0.03)^2 = 10966.2: 4526.2 / 11308.5 = 0.4002 */
        {"\"tin\":{\"across\":\"20 cm\",\"deep\":\"5 cm\"},"
         "\"into\":{\"across\":\"26 cm\",\"deep\":\"3 cm\"},",
         1.014, 13},
        /* twice as deep: later than the planned end */
        {"\"tin\":{\"across\":\"20 cm\",\"deep\":\"5 cm\"},"
         "\"into\":{\"across\":\"20 cm\",\"deep\":\"10 cm\"},",
         2.0, 0},
        /* a square of 20 cm is 4/pi of the round; 2 (pi/0.2)^2 = 493.5: 4526.2 / 4441.3 */
        {"\"tin\":{\"across\":\"20 cm\",\"deep\":\"5 cm\"},"
         "\"into\":{\"shape\":\"square\",\"across\":\"200 mm\"},",
         4.0 / 3.14159265, 31},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        bk_text text = bk_text_new(arena);
        const char *frame = PLAN("@");
        const char *at = strchr(frame, '@');
        bk_text_addf(&text, "%.*s%s%s", (int)(at - frame), frame, cases[i].text, at + 1);
        const bk_plan *plan = read_plan_text(arena, text.data, &(bk_read_options){0});
        const bk_stage *bake = &plan->stages[0];
        assert_true(fabs(plan->dishes[0].scale - cases[i].scale) < 1e-6);
        assert_int_equal(bake->check_count, cases[i].look > 0);
        if (cases[i].look > 0)
            assert_int_equal(bake->checks[0].at, cases[i].look);
        /* the time itself stays, and the caution says so after the cook's own */
        assert_int_equal(bake->planned, 45);
        assert_int_equal(strcmp(bake->caution, "Hot.") != 0, i >= 2);
        assert_int_equal(strncmp(bake->caution, "Hot.", 4), 0);
        bk_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(amounts_and_looks)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
