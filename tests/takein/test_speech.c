/* Which of the parts that are being made a sentence speaks of, and what begins a part of its own.
 * What each means to a cook is English and common practice, no source. */
#include "examples.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void test_what_is_named(void **state)
{
    (void)state;
    static const example examples[] = {
        /* "it" is the lamb, not the beans above */
        {"Lamb", "lamb shoulder,beans",
         "Roast the lamb for 3 hours.|Boil the beans for 4 minutes.|Drain well.|Move the lamb to a "
         "board and let it rest for 20 minutes.",
         "roast P 3 h; boil P 4 min <; drain A; rest P 20 min < roast"},
        {"Lamb", "lamb shoulder,beans",
         "Roast the lamb for 3 hours.|Boil the beans for 4 minutes.|Drain well.|Move the lamb to a "
         "board and rest it for 20 minutes.",
         "roast P 3 h; boil P 4 min <; drain A; rest P 20 min < roast"},
        /* not the potatoes above; and it is not left in */
        {"Pork", "pork,potatoes",
         "Roast the pork at 170C for 2 hours.|Meanwhile boil the potatoes for 10 minutes and drain "
         "them.|When the pork is done lift it to a warm plate, cover and rest for 25 minutes.",
         "roast P 2 h 170 C; boil P 10 min <; drain A; rest P 25 min < roast!"},
        /* both may have made a bird; the one has spoken of it */
        {"Turkey", "turkey breast,chicken broth,flour",
         "Roast the turkey breast for 2 hours.|Whisk the flour into the broth in a pan and simmer "
         "for 8 minutes.|Carve the turkey.",
         "roast P 2 h; whisk A <; simmer P 8 min; carve A < roast"},
        /* what stands behind "until" joins nothing */
        {"Strudel", "flour,apples,breadcrumbs",
         "Knead the flour to a dough.|Fry the breadcrumbs for 5 minutes.|Stretch the dough on a "
         "cloth until you can see the cloth through it.",
         "knead A; fry A 5 min <; stretch A < knead"},
        {"Tart", "flour,butter,damsons,sugar",
         "Rub the butter into the flour and line the tin. Bake for 20 minutes.|Stew the damsons "
         "with the sugar.|Spread the damsons over the base.",
         "rub A; bake P 20 min; stew P <; spread A < bake stew"},
        {"Pork", "pork,apples",
         "Roast the pork for 2 hours.|Stew the apples until soft.|Carve the pork and take "
         "everything to the table.",
         "roast P 2 h; stew P <; carve A < roast"},
        {"Pudding", "flour,eggs,milk,sugar",
         "Mix the flour and eggs. Steam for 2 hours.|For the sauce, heat the milk and sugar for 5 "
         "minutes.|Let the pudding stand for 5 minutes.",
         "mix A; steam P 2 h; heat A 5 min <; stand P 5 min < steam"},
        {"Pie", "flour,butter,leeks",
         "Pulse the flour and butter. Chill for 1 hour.|Soften the leeks. Leave until cold.|Roll "
         "out the pastry.",
         "pulse A; chill P 1 h; soften A <; cool P; roll A < chill"},
        {"Crumble", "beans,breadcrumbs,parsley",
         "Bake the beans for 1 hour.|Mix the crumbs and parsley.|Scatter over the beans.",
         "bake P 1 h; mix A <; scatter A < bake mix"},
    };
    CHECK(examples);
}

static void test_what_begins_apart(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Tart", "flour,eggs,butter,almonds",
         "Bind the flour with the eggs. Chill for 1 hour.|Beat the butter until soft.|Beat in the "
         "eggs one at a time.",
         "bind A; chill P 1 h; beat A <; beat-2 A"},
        {"Trifle", "cream,custard,sponge",
         "Heat half the cream. Chill for 2 hours.|Whip the rest of the cream to soft peaks.",
         "heat A; chill P 2 h; whip A <"},
        {"Pickle", "vinegar,sugar,mustard",
         "Mix the mustard with a little of the vinegar.|Bring the rest of the vinegar to the boil.",
         "mix A; bring A <"},
        {"Pie", "pork,flour,stock",
         "Bake the pork in its crust for 2 hours. Leave to cool.|Warm the jelly.|Pour it in "
         "through the hole.",
         "bake P 2 h; cool P; warm A <; pour A < cool warm!"},
        {"Rolls", "flour,milk,butter",
         "Knead the flour, milk and butter. Leave to rise for 1 hour.|Heat a little milk and "
         "butter "
         "for 2 minutes.|Shape the dough.",
         "knead A; rise P 1 h; heat A 2 min <; shape A < rise"},
    };
    CHECK(examples);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_is_named),
        cmocka_unit_test(test_what_begins_apart),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
