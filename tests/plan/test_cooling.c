/* "cooling" in a plan: what it means, and what is said of a bad one. */
#include "corpus.h"
#include "heat/heat.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

/* A plan of one stage with that cooling (and more keys behind it). */
static bk_plan *read_plan(bk_arena *arena, const char *cooling, const char *more, bk_report *report)
{
    char *text = bk_format(
        arena,
        "{\"occasion\": \"Test\", \"timezone\": \"UTC\", \"serve\": \"2026-12-01 12:00\", "
        "\"kitchen\": {\"equipment\": {\"fridge\": {\"kind\": \"cold\", \"at\": \"4 C\", "
        "\"places\": 3}, "
        "\"fan fridge\": {\"kind\": \"cold\", \"at\": \"3 C\", \"air\": \"fan\"}, "
        "\"freezer\": {\"kind\": \"cold\", \"at\": \"-18 C\"}, \"oven\": {\"kind\": \"oven\"}}}, "
        "\"dishes\": [{\"dish\": \"A\", \"stages\": [{\"id\": \"a\", \"do\": \"x\", \"cooling\": "
        "%s%s}]}]}",
        cooling, more);
    return corpus_read(arena, (const char *const[]){"plan.json", text, NULL}, NULL, report);
}

#define ROUND "\"shape\": \"round\", \"across\": \"20 cm\", \"deep\": \"6 cm\", "

static void fills_the_range(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_report report;
    bk_plan *plan = read_plan(
        arena,
        "{" ROUND "\"food\": \"Soft-cheese filling\", \"from\": \"15 C\", \"to\": \"6 C\", "
        "\"in\": \"fridge\", \"base\": \"insulated\", \"tin\": \"none\"}",
        "", &report);
    assert_non_null(plan);
    assert_int_equal(report.count, 0);
    const bk_stage *stage = &plan->stages[0];
    bk_heat_question q = {.shape = BK_HEAT_ROUND,
                          .across = 0.2,
                          .deep = 0.06,
                          .composition = bk_food_find("soft cheese")->composition,
                          .from_c = 15.0,
                          .to_c = 6.0,
                          .air_c = 4.0,
                          .place = BK_HEAT_FRIDGE,
                          .tin = BK_HEAT_TIN_NONE,
                          .base_insulated = true};
    bk_heat_answer answer = bk_heat_estimate(arena, &q);
    assert_int_equal(stage->range.least, answer.least_minutes);
    assert_int_equal(stage->range.likely, answer.likely_minutes);
    assert_int_equal(stage->range.most, answer.most_minutes);
    assert_int_equal(stage->planned, answer.most_minutes);
    assert_int_equal(stage->attention, BK_NONE);
    assert_string_equal(stage->cooling->food, "soft cheese");
    /* its fridge is implied */
    assert_int_equal(stage->need_count, 1);
    assert_int_equal(stage->needs[0].amount, 1);
    assert_string_equal(plan->kitchen.equipment[stage->needs[0].equipment].name, "fridge");
    bk_arena_free(arena);
}

static void own_use_of_the_place_stays(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_report report;
    bk_plan *plan = read_plan(
        arena,
        "{" ROUND "\"food\": \"custard\", \"from\": \"15 C\", \"to\": \"6 C\", \"in\": \"fridge\"}",
        ", \"uses\": {\"fridge\": 2}", &report);
    assert_non_null(plan);
    assert_int_equal(plan->stages[0].need_count, 1);
    assert_int_equal(plan->stages[0].needs[0].amount, 2);
    bk_arena_free(arena);
}

static void defaults_and_other_forms(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_report report;
    bk_heat_question q;
    /* a room is at 20 C, warming is meant, a ball needs no depth */
    bk_plan *plan = read_plan(
        arena,
        "{\"shape\": \"ball\", \"across\": \"10 cm\", \"food\": {\"water\": 0.5, \"fat\": 0.3, "
        "\"protein\": 0.2, \"air\": 0.1}, \"from\": \"4 C\", \"to\": \"15 C\", \"in\": \"room\"}",
        "", &report);
    assert_non_null(plan);
    assert_int_equal(report.count, 0);
    assert_int_equal(plan->stages[0].need_count, 0);
    bk_cooling_question(plan->stages[0].cooling, &q);
    assert_int_equal(q.place, BK_HEAT_ROOM);
    assert_true(q.air_c == 20.0 && q.composition.air == 0.1 && q.composition.protein == 0.2);
    assert_int_equal(q.tin, BK_HEAT_TIN_METAL);
    assert_false(q.base_insulated);
    /* a slab without a width, a fan, a room that is not at 20 C */
    plan = read_plan(
        arena,
        "{\"shape\": \"slab\", \"deep\": \"8 mm\", \"food\": \"fruit jelly\", \"from\": \"60 C\", "
        "\"to\": \"15 C\", \"in\": \"fan fridge\"}",
        "", &report);
    assert_non_null(plan);
    assert_int_equal(report.count, 0);
    bk_cooling_question(plan->stages[0].cooling, &q);
    assert_int_equal(q.place, BK_HEAT_FRIDGE_FAN);
    assert_true(isinf(q.across) && q.air_c == 3.0);
    plan = read_plan(
        arena,
        "{\"shape\": \"slab\", \"deep\": \"8 mm\", \"food\": \"fruit jelly\", \"from\": \"60 C\", "
        "\"to\": \"25 C\", \"in\": \"room\", \"air\": \"18 C\"}",
        "", &report);
    assert_non_null(plan);
    assert_true(plan->stages[0].cooling->place_c == 18.0);
    assert_int_equal(report.count, 0);
    /* a freezer as a fast fridge is warned of */
    plan = read_plan(
        arena,
        "{" ROUND
        "\"food\": \"custard\", \"from\": \"15 C\", \"to\": \"4 C\", \"in\": \"freezer\"}",
        "", &report);
    assert_non_null(plan);
    assert_int_equal(report.count, 1);
    assert_string_equal(report.messages[0].code, "may-freeze");
    bk_arena_free(arena);
}

static void bad_ones_are_told(void **state)
{
    (void)state;
    static const struct {
        const char *cooling, *at, *words; /* the message points at `at`, and says `words` */
    } table[] = {
        {"\"6 h\"", "\"6 h\"", "must be an object"},
        {"{" ROUND "\"food\": \"custad\", \"from\": \"15 C\", \"to\": \"6 C\", \"in\": \"fridge\"}",
         "\"custad\"", "no food is known as"},
        {"{" ROUND
         "\"food\": \"custard\", \"from\": \"15 C\", \"to\": \"4 C\", \"in\": \"fridge\"}",
         "\"4 C\", \"in\"", "never gets to 4 C"},
        {"{" ROUND "\"food\": \"custard\", \"from\": \"4 C\", \"to\": \"20 C\", \"in\": \"room\"}",
         "\"20 C\"", "never gets to 20 C"},
        {"{" ROUND
         "\"food\": \"custard\", \"from\": \"4 C\", \"to\": \"6 C\", \"in\": \"fan fridge\"}",
         "\"6 C\"", "from the start"},
        {"{" ROUND
         "\"food\": \"custard\", \"from\": \"350 C\", \"to\": \"6 C\", \"in\": \"fridge\"}",
         "\"350 C\"", "out of range"},
        {"{" ROUND "\"food\": {\"water\": 0.5, \"fat\": 0.1}, \"from\": \"15 C\", \"to\": \"6 C\", "
         "\"in\": \"fridge\"}",
         "{\"water\"", "add up to 0.6"},
        {"{" ROUND
         "\"food\": {\"watr\": 1.0}, \"from\": \"15 C\", \"to\": \"6 C\", \"in\": \"fridge\"}",
         "\"watr\"", "has no key"},
        {"{" ROUND "\"food\": \"custard\", \"from\": \"15 C\", \"to\": \"6 C\", \"in\": \"oven\"}",
         "\"oven\"}", "not a cold place"},
        {"{" ROUND "\"food\": \"custard\", \"from\": \"15 C\", \"to\": \"6 C\", \"in\": \"frige\"}",
         "\"frige\"", "the kitchen has no"},
        {"{" ROUND "\"food\": \"custard\", \"from\": \"15 C\", \"to\": \"6 C\", \"in\": "
         "\"fridge\", \"lid\": true}",
         "\"lid\"", "has no key"},
        {"{\"shape\": \"round\", \"across\": \"20 cm\", \"food\": \"custard\", \"from\": \"15 C\", "
         "\"to\": \"6 C\", "
         "\"in\": \"fridge\"}",
         "{\"shape\"", "needs \"deep\""},
        {"{\"shape\": \"round\", \"across\": \"6 m\", \"deep\": \"6 cm\", \"food\": \"custard\", "
         "\"from\": \"15 C\", "
         "\"to\": \"6 C\", \"in\": \"fridge\"}",
         "\"6 m\"", "cannot be computed"},
        {"{\"shape\": \"square\", \"across\": \"20 cm\", \"deep\": \"6 cm\", \"food\": "
         "\"custard\", \"from\": \"15 C\", "
         "\"to\": \"6 C\", \"in\": \"fridge\"}",
         "\"square\"", "must be"},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        bk_report report;
        assert_null(read_plan(arena, table[i].cooling, "", &report));
        if (report.errors != 1 || strstr(report.messages[0].text, table[i].words) == NULL)
            print_error("%s: %zu, %s\n", table[i].cooling, report.errors, report.messages[0].text);
        assert_int_equal(report.errors, 1);
        assert_non_null(strstr(report.messages[0].text, table[i].words));
        const bk_place *place = &report.messages[0].place;
        assert_int_equal(
            strncmp(place->source->text + place->offset, table[i].at, strlen(table[i].at)), 0);
        bk_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fills_the_range),
        cmocka_unit_test(own_use_of_the_place_stays),
        cmocka_unit_test(defaults_and_other_forms),
        cmocka_unit_test(bad_ones_are_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
