/* What would spoil by waiting though no word says so, and what would not. Common practice, no
 * source. */
#include "examples.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void test_foam_and_batter(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Jam cake", "self-raising flour,eggs,butter,sugar",
         "Cream the butter and sugar.|Beat in the eggs.|Fold in the flour.|Scrape into the "
         "tin.|Bake for 40 minutes at 180C.",
         "cream A; beat A; fold A; scrape A < fold!; bake P 40 min 180 C < scrape!"},
        {"Loaf", "flour,yeast,eggs,baking powder",
         "Mix the flour and eggs.|Scrape into the tin.|Bake for 40 minutes at 180C.",
         "mix A; scrape A; bake P 40 min 180 C"},
        {"Scones", "flour,baking powder,milk,butter",
         "Rub the butter into the flour and baking powder.|Stir in the milk.|Shape into a "
         "round.|Chill for 30 minutes.|Bake for 15 minutes.",
         "rub A; stir A; shape A < stir!; chill P 30 min; bake P 15 min"},
        {"Pav", "egg whites,nuts",
         "Whisk the egg whites until stiff.|Fold in the nuts.|Spread it in the tin.|Scatter the "
         "nuts over.|Bake for 20 minutes at 160C.",
         "whisk A; fold A < whisk!; spread A < fold!; scatter A < spread!; bake P 20 min 160 C < "
         "scatter!"},
        {"Fool", "cream,fruit", "Whip the cream.|Fold in the fruit.", "whip A; fold A < whip!"},
    };
    CHECK(examples);
}

static void test_fat_sugar_and_heat(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Sauce", "butter,flour,milk", "Melt the butter.|Stir in the flour and cook for 2 minutes.",
         "melt A; cook A 2 min < melt!"},
        {"Soup", "onions,butter",
         "Melt the butter in a pan.|Add the onions and sweat with the lid on for 10 minutes.",
         "melt A; sweat P 10 min < melt!"},
        {"Cake", "butter,eggs", "Melt the butter.|Leave to cool.|Whisk the eggs.",
         "melt A; cool P; whisk A <"},
        {"Dal", "oil,cumin,lentils",
         "Heat the oil in a pan until shimmering.|Add the cumin and let it sizzle for 30 "
         "seconds.|Pour it over the lentils immediately.",
         "heat A; sizzle A 30 s < heat!; pour A < sizzle!"},
        {"Steaks", "steaks",
         "Fry the steaks for 4 minutes.|Turn them and give them 2 minutes more.",
         "fry A 4 min; fry-2 A 2 min < fry!"},
        {"Fritters", "batter",
         "Fry for 3 minutes, turning once.|Lift out onto kitchen paper towels.",
         "fry A 3 min; lift A < fry!"},
        {"Flatbreads", "dough",
         "Cook in a hot frying pan, 2 minutes each side.|Wrap in a tea towel.",
         "cook A 4 min; wrap A < cook!"},
        {"Marmalade", "oranges,sugar",
         "Add the sugar and stir over a low heat until dissolved.|Boil hard for 15 minutes until "
         "it reaches setting point.|Skim off the scum.",
         "stir A; boil A 15 min < stir!; skim A < boil!"},
        {"Custard", "milk,yolks", "Heat the milk until steaming.|Gradually whisk in the hot milk.",
         "heat A; whisk A < heat!"},
        {"Rolls", "milk,yeast,flour", "Warm the milk.|Stir in the yeast.",
         "warm A; stir A < warm!"},
        {"Tart", "golden syrup,crumbs", "Warm the syrup until runny.|Stir in the crumbs.",
         "warm A; stir A < warm!"},
        {"Sauce", "stock,butter", "Warm the sauce.|Beat in the butter off the heat.",
         "warm A; beat A < warm!"},
    };
    CHECK(examples);
}

static void test_drained_churned_and_filled(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Mash", "potatoes,butter",
         "Boil the potatoes for 20 minutes.|Drain.|Mash with the butter.",
         "boil P 20 min; drain A < boil!; mash A < drain!"},
        {"Mash", "potatoes,butter",
         "Boil the potatoes for 20 minutes.|Drain.|Leave to steam dry for 3 minutes.|Mash with the "
         "butter.",
         "boil P 20 min; drain A < boil!; steam P 3 min < drain!; mash A < steam!"},
        {"Pasta", "spaghetti,sauce", "Cook the spaghetti for 8 minutes.|Toss with the sauce.",
         "cook A 8 min; toss A < cook!"},
        {"Beans", "beans,oil", "Boil the beans for 20 minutes.|Drain.|Freeze for 2 hours.",
         "boil P 20 min; drain A; freeze P 2 h"},
        {"Ice", "cream", "Churn for 25 minutes.|Scrape into a tub.|Freeze for 3 hours.",
         "churn P 25 min; scrape A < churn!; freeze P 3 h < scrape!"},
        {"Cream", "panna cotta", "Dip the moulds in hot water.|Turn out.", "dip A; turn A < dip!"},
        {"Cake", "sugar,lemons",
         "Bake for 40 minutes at 180C.|Boil the sugar and juice to a syrup.|Brush the hot syrup "
         "over the cake as soon as it comes out.",
         "bake P 40 min 180 C; boil A <; brush A < bake! boil!"},
        {"Ribs", "ribs",
         "Cover with foil and bake for 2 hours at 150C, then uncover and bake for 30 minutes.",
         "bake P 2 h 150 C; bake-2 P 30 min 150 C < bake!"},
        {"Chutney", "apples", "Simmer for 2 hours.|Lift out the bag. Pot while hot into jars.",
         "simmer P 2 h; lift A < simmer!; pot A < lift!"},
        {"Pudding", "suet",
         "Tie down with string and get it straight into a pan of simmering water.|Steam for 2 "
         "hours.",
         "tie A; get A < tie!; steam P 2 h < get!"},
    };
    CHECK(examples);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_foam_and_batter),
                                       cmocka_unit_test(test_fat_sugar_and_heat),
                                       cmocka_unit_test(test_drained_churned_and_filled)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
