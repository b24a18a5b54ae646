/* How soon "at once" is: no sooner than one cook with one oven can; and times that are none of a
 * stage's. Common practice, no source. */
#include "examples.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void test_the_oven_changes(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Rolls", "dough",
         "Bake at 220C for 10 minutes. Turn down to 180C and bake for 20 minutes.",
         "bake P 10 min 220 C; bake-2 P 20 min 180 C < bake!15"},
        /* at the heat that is planned where none is said */
        {"Puffs", "choux", "Bake at 200C for 20 minutes.|Slit each one at once in the oven.",
         "bake P 20 min 200 C; slit A < bake!15"},
        {"Cake", "batter", "Bake at 180C for 20 minutes, then for another 10 minutes.",
         "bake P 20 min 180 C; bake-2 P 10 min 180 C"},
    };
    CHECK(examples);
}

static void test_one_pair_of_hands(void **state)
{
    (void)state;
    static const example examples[] = {
        /* whisked first: the eggs wait while the cream is heated, and not the cream */
        {"Custard", "cream,eggs",
         "Heat the cream until steaming.|Whisk the eggs for 12 minutes.|Pour the hot cream onto "
         "the eggs at once.",
         "heat A; whisk A 12 min <; pour A < heat! whisk!13"},
        {"Custard", "cream,eggs",
         "Heat the cream for 3 minutes.|Whisk the eggs for 4 minutes.|Pour the hot cream onto the "
         "eggs at once.",
         "heat A 3 min; whisk A 4 min <; pour A < heat! whisk!"},
        {"Jam", "apples,sugar",
         "Boil the apples and sugar for 10 minutes.|Skim.|Warm the jars in the oven.|Ladle at once "
         "into the hot jars.",
         "boil P 10 min; skim A; warm A <; ladle A < skim!13 warm!"},
    };
    CHECK(examples);
}

static void test_times_of_no_stage(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Pasties", "swede,date chutney",
         "Boil the swede for 20 minutes.|Chutney keeps a month in the fridge.", "boil P 20 min"},
        {"Pork", "pork", "Score the skin, uncovered in the fridge overnight.", "score P 8-12 h"},
        {"Cake", "flour", "Bake for 20 minutes. Keeps the kitchen warm.|Eat within a week.",
         "bake P 20 min"},
        /* it has to cool, though nobody says how long */
        {"Chutney", "pears",
         "Boil the pears for 1 hour. Pot and seal.|When cold, label and put in the cupboard for 6 "
         "weeks.",
         "boil P 1 h; seal A; cool P; label A; rest P 42 d"},
        {"Stew", "beans", "Stir for 10 hours.", "stir A"},
        {"Stew", "beans", "Stir for 2 hours.", "stir A 2 h"},
    };
    CHECK(examples);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_oven_changes),
        cmocka_unit_test(test_one_pair_of_hands),
        cmocka_unit_test(test_times_of_no_stage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
