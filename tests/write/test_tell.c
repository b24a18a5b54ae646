/* Which dish a step speaks of, by its own words. */
#include "expect.h"
#include "write/words/tell.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

typedef struct kitchen {
    bk_plan plan;
    bk_dish dishes[40];
    bk_stage stages[3];
    bk_ingredient items[1];
} kitchen;

/* 0 torte, 1 gratin, 2 salad; each has one step. */
static kitchen three(void)
{
    kitchen k = {.dishes = {{.name = "Blackcurrant mousse torte"},
                            {.name = "Potato and leek gratin"},
                            {.name = "Green salad"}},
                 .stages = {{.dish = 0, .text = "Whisk the eggs"},
                            {.dish = 1, .text = "Slice the potatoes"},
                            {.dish = 2, .text = "Wash it"}}};
    return k;
}

static bool tells(bk_arena *arena, kitchen *k, size_t dish, const char *text)
{
    k->plan.dishes = k->dishes;
    k->plan.dish_count = k->plan.dish_count ? k->plan.dish_count : 3;
    k->plan.stages = k->stages;
    k->plan.stage_count = 3;
    bk_telling telling = bk_telling_of(arena, &k->plan);
    return bk_tells_dish(&telling, dish, text);
}

static void a_word_of_its_name_tells_a_dish(void **state)
{
    kitchen k = three();
    assert_true(tells(*state, &k, 0, "Slide the torte onto its plate"));
    assert_false(tells(*state, &k, 1, "Slide the torte onto its plate"));
    assert_true(tells(*state, &k, 2, "SALAD: dress it"));
    assert_false(tells(*state, &k, 0, "Whisk the eggs"));
    assert_false(tells(*state, &k, 0, ""));
}

static void a_plural_is_the_same_word(void **state)
{
    kitchen k = three();
    assert_true(tells(*state, &k, 1, "Soften the leeks"));
    assert_true(tells(*state, &k, 1, "Peel the potatoes"));
    assert_true(tells(*state, &k, 0, "Warm the blackcurrants, slowly"));
    assert_false(tells(*state, &k, 1, "Soften the leekish"));
    assert_false(tells(*state, &k, 1, "A lee"));
}

static void a_word_of_another_dish_tells_nothing(void **state)
{
    kitchen k = three();
    k.stages[2].text = "Leave the potatoes out of it";
    assert_false(tells(*state, &k, 1, "Peel the potatoes"));
    assert_true(tells(*state, &k, 1, "Soften the leeks"));
    k.items[0] = (bk_ingredient){.item = "two leeks"};
    k.dishes[2].ingredients = k.items;
    k.dishes[2].ingredient_count = 1;
    assert_false(tells(*state, &k, 1, "Soften the leeks"));
    k.dishes[2].name = "Salad of torte crumbs";
    assert_false(tells(*state, &k, 0, "Slide the torte onto its plate"));
}

static void a_short_word_tells_nothing(void **state)
{
    kitchen k = three();
    assert_false(tells(*state, &k, 1, "Salt and pepper"));
}

static void letters_beyond_ascii_are_of_the_word(void **state)
{
    kitchen k = three();
    k.dishes[2].name = "Cr\xc3\xa8me";
    assert_true(tells(*state, &k, 2, "Cool the cr\xc3\xa8me"));
    assert_false(tells(*state, &k, 2, "Cool the cr me"));
}

/* Comparing each with all others would take too long. */
static void many_dishes_are_always_named(void **state)
{
    kitchen k = three();
    for (size_t i = 3; i < 40; i++)
        k.dishes[i].name = "Rolls";
    k.plan.dish_count = 40;
    assert_false(tells(*state, &k, 0, "Slide the torte onto its plate"));
    k.plan.dish_count = 30;
    assert_true(tells(*state, &k, 0, "Slide the torte onto its plate"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(a_word_of_its_name_tells_a_dish),      TEST(a_plural_is_the_same_word),
        TEST(a_word_of_another_dish_tells_nothing), TEST(a_short_word_tells_nothing),
        TEST(letters_beyond_ascii_are_of_the_word), TEST(many_dishes_are_always_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
