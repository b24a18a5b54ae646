/* What work and waiting usually take, where a recipe does not say. Common practice, no source. */
#include "examples.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#define USUAL(examples) check_usual_times(examples, sizeof(examples) / sizeof *(examples))

static void test_by_hand(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Bread", "flour,seeds", "Mix the flour. Knead.|Shape. Scatter with seeds.",
         "mix 2-4 min; knead 8-10 min; shape 5-8 min; scatter 1-2 min"},
        {"Sauce", "cream,wine",
         "Bring the wine to the boil.|Whip the cream.|Fold in the cream.|Stir in a saucepan.",
         "bring 5-10 min; whip 3-5 min; fold 2-4 min; stir 3-6 min"},
        {"Rolls", "butter", "Dip the rolls in butter.|Bring the dough together.",
         "dip 1-2 min; bring 2-4 min"},
    };
    USUAL(examples);
}

static void test_of_a_lot(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Mash", "1.5 kg potatoes", "Peel the potatoes.|Boil the potatoes.",
         "peel 12-18 min; boil 15-20 min"},
        {"Mash", "300 g potatoes", "Peel the potatoes.", "peel 3-5 min"},
        {"Mash", "3 lb potatoes", "Peel the potatoes.", "peel 10-16 min"},
        {"Mash", "3.5 lb potatoes", "Peel the potatoes.", "peel 12-19 min"},
        {"Mash", "32 oz potatoes", "Peel the potatoes.", "peel 7-10 min"},
        {"Soup", "8 onions,500 ml stock", "Slice the onions. Add the stock.",
         "slice 7-11 min; add 2-3 min"},
        {"Soup", "2 cloves garlic,4 eggs", "Chop the garlic.|Peel the eggs.",
         "chop 3-5 min; peel 3-5 min"},
        {"Fool", "1 kg gooseberries", "Top and tail the gooseberries.", "top 20-30 min"},
        {"Stew", "2 kg beef", "Brown the beef.", "brown 16-24 min"},
        {"Wedding", "50 kg potatoes", "Peel the potatoes.", "peel 4 h"},
        {"Roast", "2.2 kg leg of lamb", "Roast the lamb.", "roast 1 h 28 min - 1 h 50 min"},
        {"Roast", "1.2 kg rib of beef,3 kg potatoes",
         "Roast the beef 20 minutes per kilo plus 20 minutes.", "roast 44 min"},
        {"Roast", "3 lb beef,300 g carrots", "Roast for 20 mins/lb and 20 mins over.",
         "roast 1 h 20 min"},
        {"Ham", "2 kg gammon", "Simmer for 20-25 min per 500g.", "simmer 1 h 20 min - 1 h 40 min"},
        {"Mutton", "1 leg of mutton", "Roast thirty minutes to the pound.", "roast 1 h 39 min"},
        {"Roast", "6 chicken thighs", "Roast the chicken.", "roast 30-40 min"},
        /* nobody reads an amount out of that */
        {"Soup", "99999999999999999 g leeks", "Slice the leeks.", "slice 3-5 min"},
    };
    USUAL(examples);
}

static void test_by_itself(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Tart", "pastry", "Wrap the dough and chill.|Bake blind.|Cool completely.|Chill.",
         "chill 30 min - 1 h; bake 10-15 min; cool 1-2 h; chill-2 2-4 h"},
        {"Cake", "flour", "Bake until golden.|Cool.|Leave until cool enough to handle.",
         "bake 35-45 min; cool 30-45 min; rest 15-20 min"},
        {"Buns", "flour", "Leave to rise.|Leave to prove.|Bake.",
         "rise 1 h - 1 h 30 min; prove 45 min - 1 h; bake 15-20 min"},
        {"Pie", "flour", "Bake.|Leave to stand.", "bake 25-35 min; stand 10-15 min"},
        {"Jelly", "4 leaves gelatine,beans",
         "Soak the gelatine leaves.|Soak the beans.|Soak the sponge.",
         "soak 5-10 min; soak-2 8-12 h; soak-3 20-30 min"},
        {"Lemon sorbet", "syrup", "Freeze.", "freeze 3-4 h"},
        {"Terrine", "liver", "The day before, chill the terrine.", "chill 8-12 h"},
    };
    USUAL(examples);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_by_hand),
        cmocka_unit_test(test_of_a_lot),
        cmocka_unit_test(test_by_itself),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
