/* What goes wrong in a kitchen, and what the day makes of it: worked out by hand from the plan
 * format's section 11, beside each. One cook, an oven that takes 15 min to heat and is left on
 * for 30.
 *
 *     Cream   whip 15 min of hands, chill 2 h           16:45-17:00, 17:00-19:00
 *     Roast   prep 20 min of hands, roast 60 min at     17:15-17:35, 17:35-18:35,
 *             180 C, rest 15 min, carve 10 min of hands  18:35-18:50, 18:50-19:00
 *
 * Served at 19:00; the roast keeps 20 min. */
#include "day/day.h"
#include "day/journal.h"
#include "support/plan_text.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static const char supper[] =
    "{\"occasion\": \"Supper\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 19:00\","
    " \"kitchen\": {\"equipment\": {\"oven\": {\"kind\": \"oven\", \"shelves\": 1}}},"
    " \"dishes\": ["
    "  {\"dish\": \"Cream\", \"stages\": ["
    "   {\"id\": \"whip\", \"do\": \"Whip\", \"active\": \"15 min\"},"
    "   {\"id\": \"chill\", \"do\": \"Chill\", \"passive\": \"2 h\"}]},"
    "  {\"dish\": \"Roast\", \"keeps\": \"20 min\", \"stages\": ["
    "   {\"id\": \"prep\", \"do\": \"Prepare\", \"active\": \"20 min\"},"
    "   {\"id\": \"roast\", \"do\": \"Roast\", \"passive\": \"60 min\","
    "    \"uses\": {\"oven\": {\"at\": \"180 C\"}}},"
    "   {\"id\": \"rest\", \"do\": \"Rest\", \"passive\": \"15 min\"},"
    "   {\"id\": \"carve\", \"do\": \"Carve\", \"active\": \"10 min\"}]}]}";

enum { WHIP, CHILL, PREP, ROAST, REST, CARVE, CREAM = 0, ROAST_DISH = 1 };

typedef struct scene {
    bk_arena *arena;
    const char *text;
    bk_timeline *first;
    bk_instant midnight;
    bk_day_entry entries[8];
    size_t count;
    const char *serve; /* as "later" moved it */
    bk_day *day;
} scene;

static void set_scene(scene *s, const char *text)
{
    memset(s, 0, sizeof *s);
    s->arena = bk_arena_new(NULL);
    s->text = text;
    s->first = schedule_plan_text(s->arena, text, &(bk_schedule_options){0});
    s->midnight = bk_day_start(s->first->plan->zone, s->first->plan->last_serve);
}

static bk_instant clock_of(const scene *s, int hour, int minute)
{
    return s->midnight + hour * 60 + minute;
}

static bk_day_entry *say(scene *s, enum bk_day_what what, size_t stage, int hour, int minute)
{
    const bk_plan *plan = s->first->plan;
    bk_day_entry *entry = &s->entries[s->count++];
    *entry = (bk_day_entry){.what = what, .at = clock_of(s, hour, minute), .temperature_c = NAN};
    if (stage < plan->stage_count) {
        entry->dish = plan->dishes[plan->stages[stage].dish].name;
        entry->stage = plan->stages[stage].id;
    }
    return entry;
}

static void make(scene *s, int hour, int minute)
{
    bk_report report = bk_report_new(s->arena);
    bk_plan *plan = read_plan_text(s->arena, s->text, &(bk_read_options){.serve = s->serve});
    bk_journal journal = {.there = true, .entries = s->entries, .count = s->count};
    s->day = bk_day_make(s->arena, plan, &journal, s->first, clock_of(s, hour, minute), true, 0,
                         NULL, &report);
    if (!s->day)
        fail_msg("%s", report.count > 0 ? report.messages[0].text : "no day");
    assert_int_equal(s->day->timeline->status, BK_TIMELINE_OPTIMAL);
}

static const bk_placed *placed(const scene *s, size_t stage)
{
    const bk_timeline *timeline = s->day->timeline;
    for (size_t i = 0; i < timeline->stage_count; i++)
        if (timeline->stages[i].stage == stage)
            return &timeline->stages[i];
    fail_msg("stage %zu is not in the timeline", stage);
    return NULL;
}

static void starts(const scene *s, size_t stage, int hour, int minute)
{
    assert_int_equal(placed(s, stage)->start - s->midnight, hour * 60 + minute);
}

static void ends(const scene *s, size_t stage, int hour, int minute)
{
    assert_int_equal(placed(s, stage)->end - s->midnight, hour * 60 + minute);
}

#define SCENE(text)                                                                                \
    (void)state;                                                                                   \
    scene s;                                                                                       \
    set_scene(&s, (text))

static void as_the_plan_has_it(void **state)
{
    SCENE(supper);
    make(&s, 17, 20);
    starts(&s, WHIP, 16, 45);
    starts(&s, PREP, 17, 15);
    starts(&s, ROAST, 17, 35);
    starts(&s, CARVE, 18, 50);
    assert_int_equal(s.day->moved_count, 0);
    bk_arena_free(s.arena);
}

/* Prepared by 18:00 and not 17:35. The oven is hot since 17:35 and was left on: the roast goes
 * in at once, comes out at 19:00, rests till 19:15, is carved by 19:25. Cream is on time. */
static void late_by_25_minutes(void **state)
{
    SCENE(supper);
    say(&s, BK_DAY_DONE, PREP, 18, 0);
    make(&s, 18, 0);
    starts(&s, PREP, 17, 15);
    starts(&s, ROAST, 18, 0);
    starts(&s, REST, 19, 0);
    starts(&s, CARVE, 19, 15);
    assert_int_equal(s.day->late[ROAST_DISH], 25);
    assert_int_equal(s.day->late[CREAM], 0);
    assert_true(s.day->late_proved);
    assert_int_equal(s.day->moved_count, 3);
    bk_arena_free(s.arena);
}

/* Told at 18:35, when it should be done: 10 min more. */
static void the_middle_is_soft_at_the_hour(void **state)
{
    SCENE(supper);
    say(&s, BK_DAY_LONGER, ROAST, 18, 35)->minutes = 10;
    make(&s, 18, 35);
    starts(&s, ROAST, 17, 35);
    ends(&s, ROAST, 18, 45);
    starts(&s, REST, 18, 45);
    starts(&s, CARVE, 19, 0);
    assert_int_equal(s.day->late[ROAST_DISH], 10);
    assert_int_equal(s.day->moved_count, 2);
    bk_arena_free(s.arena);
}

/* It went in when the oven was hot at last, at 17:55. */
static void the_oven_is_20_minutes_slow(void **state)
{
    SCENE(supper);
    say(&s, BK_DAY_DONE, PREP, 17, 35);
    say(&s, BK_DAY_BEGUN, ROAST, 17, 55);
    make(&s, 17, 56);
    ends(&s, ROAST, 18, 55);
    starts(&s, REST, 18, 55);
    starts(&s, CARVE, 19, 10);
    assert_int_equal(s.day->late[ROAST_DISH], 20);
    bk_arena_free(s.arena);
}

/* What has chilled since 17:00 has; it ends there, and is not late. The roast stands. */
static void a_dish_is_dropped(void **state)
{
    SCENE(supper);
    say(&s, BK_DAY_OUT, SIZE_MAX, 17, 30)->dish = "Cream";
    make(&s, 17, 30);
    starts(&s, WHIP, 16, 45);
    starts(&s, CHILL, 17, 0);
    ends(&s, CHILL, 17, 30);
    starts(&s, ROAST, 17, 35);
    starts(&s, CARVE, 18, 50);
    assert_true(s.day->plan->dishes[CREAM].out);
    assert_int_equal(s.day->late[CREAM] + s.day->late[ROAST_DISH], 0);
    assert_int_equal(s.day->moved_count, 0);
    bk_arena_free(s.arena);
}

/* Served at 20:00 the roast is to be ready at 19:40 at the soonest, as it keeps 20 min: one stage
 * has to move, and one does. The others go as much later as is no move, 5 min: the style. */
static void guests_come_an_hour_late(void **state)
{
    SCENE(supper);
    s.serve = "+60 min";
    say(&s, BK_DAY_LATER, SIZE_MAX, 17, 30)->serve = "+60 min";
    make(&s, 17, 30);
    ends(&s, PREP, 17, 35);
    starts(&s, ROAST, 17, 40);
    starts(&s, REST, 18, 40);
    starts(&s, CARVE, 19, 50);
    assert_int_equal(s.day->moved_count, 1);
    assert_int_equal(s.day->moved_little, 5);
    assert_int_equal(s.day->moved[0].stage, CARVE);
    assert_int_equal(s.day->late[ROAST_DISH], 0);
    bk_arena_free(s.arena);
}

/* Without power from 17:45 to 18:25: as the cook says it, the roast takes 40 min longer. */
static void the_power_is_gone_for_40_minutes(void **state)
{
    SCENE(supper);
    say(&s, BK_DAY_LONGER, ROAST, 18, 25)->minutes = 40;
    make(&s, 18, 25);
    ends(&s, ROAST, 19, 15);
    starts(&s, REST, 19, 15);
    starts(&s, CARVE, 19, 30);
    assert_int_equal(s.day->late[ROAST_DISH], 40);
    assert_int_equal(s.day->late[CREAM], 0);
    bk_arena_free(s.arena);
}

/* Of what runs alone it is known that it is late, before anything else is. */
static void late_by_what_runs(void **state)
{
    SCENE(supper);
    say(&s, BK_DAY_LONGER, CHILL, 18, 30)->minutes = 12;
    make(&s, 18, 30);
    ends(&s, CHILL, 19, 12);
    assert_int_equal(s.day->late[CREAM], 12);
    assert_int_equal(s.day->late[ROAST_DISH], 0);
    assert_int_equal(s.day->moved_count, 0);
    assert_int_equal(s.day->moved_little, 0);
    bk_arena_free(s.arena);
}

static const char a_part[] =
    "{\"occasion\": \"Supper\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 19:00\","
    " \"dishes\": ["
    "  {\"dish\": \"Stock\", \"part\": true, \"stages\": ["
    "   {\"id\": \"boil\", \"do\": \"Boil\", \"passive\": \"20 min\"}]},"
    "  {\"dish\": \"Soup\", \"stages\": ["
    "   {\"id\": \"simmer\", \"do\": \"Simmer\", \"passive\": \"60 min\","
    "    \"after\": \"Stock/boil\"}]}]}";

/* The soup is served 25 min late; nobody is served its stock at 19:00 meanwhile. */
static void nobody_is_served_a_part(void **state)
{
    SCENE(a_part);
    say(&s, BK_DAY_LONGER, 1, 18, 30)->minutes = 25;
    make(&s, 18, 30);
    assert_int_equal(s.day->late[1], 25);
    assert_int_equal(s.day->plan->first_serve, clock_of(&s, 19, 25));
    assert_int_equal(s.day->plan->last_serve, clock_of(&s, 19, 25));
    bk_arena_free(s.arena);
}

/* ------------------------------------------------------------- other kitchens */

static const char two_cooks[] =
    "{\"occasion\": \"Supper\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 19:00\","
    " \"kitchen\": {\"cooks\": [{\"cook\": \"Ann\"}, {\"cook\": \"Bob\"}]},"
    " \"dishes\": ["
    "  {\"dish\": \"Sauce\", \"stages\": ["
    "   {\"id\": \"stir\", \"do\": \"Stir\", \"active\": \"20 min\"}]},"
    "  {\"dish\": \"Roast\", \"stages\": ["
    "   {\"id\": \"rest\", \"do\": \"Rest\", \"passive\": \"30 min\"},"
    "   {\"id\": \"carve\", \"do\": \"Carve\", \"active\": \"10 min\"}]}]}";

/* At 18:30 Bob says he leaves at 18:45. The roast rests until 18:50 and Ann has to carve it:
 * she stirs before, from 18:30, and not from 18:40. */
static void a_cook_leaves(void **state)
{
    SCENE(two_cooks);
    bk_day_entry *entry = say(&s, BK_DAY_COOK, SIZE_MAX, 18, 30);
    entry->cook = "Bob";
    entry->until = clock_of(&s, 18, 45);
    make(&s, 18, 30);
    starts(&s, 0, 18, 30);
    starts(&s, 2, 18, 50);
    assert_int_equal(s.day->moved_count, 1);
    assert_int_equal(s.day->late[0] + s.day->late[1], 0);
    bk_arena_free(s.arena);
}

static const char one_bowl[] =
    "{\"occasion\": \"Tea\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 19:00\","
    " \"kitchen\": {\"equipment\": {\"bowl\": {}}},"
    " \"dishes\": ["
    "  {\"dish\": \"Icing\", \"stages\": ["
    "   {\"id\": \"beat\", \"do\": \"Beat\", \"active\": \"10 min\", \"uses\": {\"bowl\": 1}}]},"
    "  {\"dish\": \"Cake\", \"stages\": ["
    "   {\"id\": \"cream\", \"do\": \"Cream\", \"active\": \"10 min\","
    "    \"holds\": {\"bowl\": {\"until\": \"fill\"}}},"
    "   {\"id\": \"fill\", \"do\": \"Fill\", \"active\": \"10 min\","
    "    \"after\": [\"cream\", \"Icing/beat\"]}]}]}";

/* Creamed first, what is in the only bowl waits for icing that is made in it. It is no reason to
 * give up: the bowl has to be had back, which is said. */
static void what_is_held_is_given_back_where_nothing_else_helps(void **state)
{
    SCENE(one_bowl);
    say(&s, BK_DAY_DONE, 1, 18, 10);
    make(&s, 18, 10);
    starts(&s, 0, 18, 35); /* as was told, or 5 min from it */
    starts(&s, 2, 18, 50);
    assert_int_equal(s.day->broken_count, 1);
    assert_string_equal(s.day->broken[0].rule, "holds");
    assert_int_equal(s.day->broken[0].stage, 1);
    bk_arena_free(s.arena);
}

static const char in_time[] =
    "{\"occasion\": \"Tea\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 19:00\","
    " \"dishes\": [{\"dish\": \"Cake\", \"stages\": ["
    "   {\"id\": \"mix\", \"do\": \"Mix\", \"active\": \"10 min\"},"
    "   {\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"30 min\","
    "    \"after\": {\"stage\": \"mix\", \"within\": \"15 min\"}}]}]}";

/* Mixed by 18:00, it is to be baked from 18:15 on at the latest: at 18:15 it still can be. A minute
 * later that is broken. */
static void within_holds_until_its_last_minute(void **state)
{
    SCENE(in_time);
    say(&s, BK_DAY_DONE, 0, 18, 0);
    make(&s, 18, 15);
    starts(&s, 1, 18, 15);
    assert_int_equal(s.day->broken_count, 0);
    make(&s, 18, 16);
    starts(&s, 1, 18, 16); /* and then it is as soon as it can be, wherever it stood before */
    assert_int_equal(s.day->broken_count, 1);
    assert_string_equal(s.day->broken[0].rule, "within");
    bk_arena_free(s.arena);
}

static const char pair[] =
    "{\"occasion\": \"Tea\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 19:00\","
    " \"dishes\": [{\"dish\": \"Tart\", \"stages\": ["
    "   {\"id\": \"boil\", \"do\": \"Boil\", \"active\": \"10 min\"},"
    "   {\"id\": \"pour\", \"do\": \"Pour\", \"active\": \"5 min\","
    "    \"after\": {\"stage\": \"boil\", \"within\": \"0 min\"}},"
    "   {\"id\": \"set\", \"do\": \"Set\", \"passive\": \"2 h\"}]},"
    "  {\"dish\": \"Salad\", \"stages\": ["
    "   {\"id\": \"wash\", \"do\": \"Wash\", \"active\": \"12 min\"}]}]}";

/* What should have followed at once is not put off to where it stood; nor can it be done by hands
 * that are full. */
static void what_is_too_late_is_done_as_soon_as_it_can(void **state)
{
    SCENE(pair);
    say(&s, BK_DAY_DONE, 0, 16, 40);
    make(&s, 16, 43);
    starts(&s, 1, 16, 43);
    say(&s, BK_DAY_BEGUN, 3, 16, 44);
    make(&s, 16, 44);
    starts(&s, 1, 16, 56);
    bk_arena_free(s.arena);
}

static const char fresh_roast[] =
    "{\"occasion\": \"Supper\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 18:00\","
    " \"dishes\": [{\"dish\": \"Roast\", \"keeps\": \"15 min\", \"stages\": ["
    "   {\"id\": \"roast\", \"do\": \"Roast\", \"passive\": \"60 min\"},"
    "   {\"id\": \"carve\", \"do\": \"Carve\", \"active\": \"10 min\","
    "    \"after\": {\"stage\": \"roast\", \"within\": \"20 min\"}}]}]}";

/* It will stand longer than it keeps, and not longer than it has to. */
static void what_is_ready_too_soon_is_so_as_late_as_it_can(void **state)
{
    SCENE(fresh_roast);
    assert_int_equal(s.first->stages[1].start, clock_of(&s, 17, 50));
    say(&s, BK_DAY_BEGUN, 0, 16, 50);
    s.serve = "+60 min";
    say(&s, BK_DAY_LATER, SIZE_MAX, 17, 0)->serve = "+60 min";
    make(&s, 17, 0);
    starts(&s, 1, 18, 10);
    assert_int_equal(s.day->broken_count, 1);
    assert_string_equal(s.day->broken[0].rule, "keeps");
    assert_int_equal(s.day->timeline->gap_count, 1); /* and what it means for the food is asked */
    assert_int_equal(s.day->timeline->gaps[0].minutes, 40);
    bk_arena_free(s.arena);
}

static const char waits[] =
    "{\"occasion\": \"Tea\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 19:00\","
    " \"dishes\": [{\"dish\": \"Jelly\", \"stages\": ["
    "   {\"id\": \"mix\", \"do\": \"Mix\", \"active\": \"10 min\"},"
    "   {\"id\": \"set\", \"do\": \"Set\", \"passive\": \"30 min\"},"
    "   {\"id\": \"turn\", \"do\": \"Turn out\", \"active\": \"10 min\","
    "    \"after\": {\"stage\": \"set\", \"wait\": \"20 min\"}}]}]}";

/* What is left out is waited for no more. */
static void nothing_waits_for_what_is_left_out(void **state)
{
    SCENE(waits);
    say(&s, BK_DAY_SKIPPED, 1, 18, 35);
    make(&s, 18, 35);
    starts(&s, 2, 18, 50);
    assert_int_equal(s.day->late[0], 0);
    bk_arena_free(s.arena);
}

static const char two_bakes[] =
    "{\"occasion\": \"Tea\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 19:30\","
    " \"kitchen\": {\"equipment\": {\"oven\": {\"kind\": \"oven\", \"shelves\": 1}}},"
    " \"dishes\": ["
    "  {\"dish\": \"Bread\", \"serve\": \"2026-03-01 18:00\", \"stages\": ["
    "   {\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"30 min\","
    "    \"uses\": {\"oven\": {\"at\": \"180 C\"}}}]},"
    "  {\"dish\": \"Rolls\", \"stages\": ["
    "   {\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"20 min\","
    "    \"uses\": {\"oven\": {\"at\": \"180 C\"}}}]}]}";

/* Hot at 17:20, the oven was hot for the bread, and 45 min after that it is cold: it is left on
 * for 30. The rolls, now wanted for 19:05, go in at 19:00. */
static void an_oven_that_was_hot_long_ago_is_cold(void **state)
{
    SCENE(two_bakes);
    s.serve = "Rolls=19:05";
    bk_day_entry *entry = say(&s, BK_DAY_HOT, SIZE_MAX, 17, 20);
    entry->oven = "oven";
    entry->temperature_c = 180;
    say(&s, BK_DAY_DONE, 0, 18, 0);
    entry = say(&s, BK_DAY_LATER, SIZE_MAX, 18, 45);
    entry->dish = "Rolls";
    entry->serve = "19:05";
    make(&s, 18, 45);
    starts(&s, 1, 19, 0);
    assert_int_equal(s.day->late[1], 15);
    bk_arena_free(s.arena);
}

static const char at_table[] =
    "{\"occasion\": \"Supper\", \"timezone\": \"UTC\", \"serve\": \"2026-03-01 19:00\","
    " \"at_table\": \"20 min\", \"dishes\": ["
    "  {\"dish\": \"Soup\", \"serve\": \"2026-03-01 18:50\", \"stages\": ["
    "   {\"id\": \"heat\", \"do\": \"Heat\", \"active\": \"10 min\"}]},"
    "  {\"dish\": \"Fish\", \"stages\": ["
    "   {\"id\": \"fry\", \"do\": \"Fry\", \"active\": \"5 min\"}]}]}";

/* The soup is on the table since 18:50 and they eat until 19:10, which nothing changes: the fish
 * that was told for 18:56 is fried then, and 15 min late. */
static void what_is_on_the_table_is(void **state)
{
    SCENE(at_table);
    bk_planned_start told = {"Fish", "fry", clock_of(&s, 18, 56), NULL};
    bk_day_entry *entry = say(&s, BK_DAY_SERVED, SIZE_MAX, 18, 50);
    entry->dish = "Soup";
    entry = say(&s, BK_DAY_PLANNED, SIZE_MAX, 18, 50);
    entry->starts = &told;
    entry->start_count = 1;
    make(&s, 18, 55);
    starts(&s, 1, 19, 10);
    assert_int_equal(s.day->late[0], 0);
    assert_int_equal(s.day->late[1], 15);
    bk_arena_free(s.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(as_the_plan_has_it),
        cmocka_unit_test(late_by_25_minutes),
        cmocka_unit_test(the_middle_is_soft_at_the_hour),
        cmocka_unit_test(the_oven_is_20_minutes_slow),
        cmocka_unit_test(a_dish_is_dropped),
        cmocka_unit_test(guests_come_an_hour_late),
        cmocka_unit_test(the_power_is_gone_for_40_minutes),
        cmocka_unit_test(late_by_what_runs),
        cmocka_unit_test(nobody_is_served_a_part),
        cmocka_unit_test(a_cook_leaves),
        cmocka_unit_test(within_holds_until_its_last_minute),
        cmocka_unit_test(what_is_too_late_is_done_as_soon_as_it_can),
        cmocka_unit_test(what_is_ready_too_soon_is_so_as_late_as_it_can),
        cmocka_unit_test(nothing_waits_for_what_is_left_out),
        cmocka_unit_test(an_oven_that_was_hot_long_ago_is_cold),
        cmocka_unit_test(what_is_on_the_table_is),
        cmocka_unit_test(what_is_held_is_given_back_where_nothing_else_helps),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
