/* Civil times in words. */
#include "time/time.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static void the_weekday_says_enough_for_six_days(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_zone *zone = bk_zone_open(arena, "Europe/London");
    bk_instant from = bk_instant_of(zone, (bk_civil){2026, 12, 18, 19, 30}, NULL);
    static const struct {
        int days;
        const char *words;
    } cases[] = {
        {0, "19:30"},      {1, "Sat 19:30"},  {6, "Thu 19:30"},        {7, "Fri 25 Dec 19:30"},
        {-1, "Thu 19:30"}, {-6, "Sat 19:30"}, {-7, "Fri 11 Dec 19:30"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        assert_string_equal(bk_clock_seen_from(arena, zone, from, from + cases[i].days * BK_DAY),
                            cases[i].words);
    bk_arena_free(arena);
}

static void forms_of_a_moment(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const bk_zone *zone = bk_zone_open(arena, "Europe/London");
    bk_instant at = bk_instant_of(zone, (bk_civil){2026, 7, 1, 8, 5}, NULL);
    assert_string_equal(bk_clock(arena, zone, at), "08:05");
    assert_string_equal(bk_moment_short(arena, zone, at), "Wed 1 Jul 08:05");
    assert_string_equal(bk_moment(arena, zone, at), "Wednesday 1 July, 08:05");
    assert_string_equal(bk_moment_long(arena, zone, at), "Wednesday 1 July 2026, 08:05");
    assert_string_equal(bk_hour_on_weekday(arena, zone, at), "08:05 on Wednesday");
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_weekday_says_enough_for_six_days),
        cmocka_unit_test(forms_of_a_moment),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
