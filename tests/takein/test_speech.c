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

/* What is told of its place in the day, and which of two things is meant; found in recipes of
 * others. */
static void test_beside_and_which(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Hotpot", "lamb,potatoes",
         "Braise the lamb for 3 hours.|When the meat has had about an hour, slice the potatoes.",
         "braise P 3 h; slice A <"},
        {"Duck", "duck,potatoes",
         "Roast the duck for 2 hours.|After the first hour, peel the potatoes and boil for 8 "
         "minutes.",
         "roast P 2 h; peel A <; boil P 8 min"},
        {"Creme", "milk,bay,sugar,eggs",
         "Heat the milk with the bay. Leave to infuse for 30 minutes.|Do the caramel in the "
         "meantime.|Boil the sugar hard for 5 minutes.",
         "heat A; infuse P 30 min; boil A 5 min <"},
        {"Lentils", "lentils,parsley,oil",
         "Simmer the lentils for 25 minutes.|Salsa, during the lentils: chop the parsley and stir "
         "in the oil.",
         "simmer P 25 min; chop A <; stir A"},
        {"Pasta", "ricotta,spinach,butter",
         "Mix the ricotta and spinach. Chill for 30 minutes.|Bring a wide pan of salted water to a "
         "tremble.|Boil the parcels for 3 minutes.",
         "mix A; chill P 30 min; bring A <; boil A 3 min"},
        {"Cake", "cider,flour,eggs",
         "Boil the cider for 20 minutes. Leave to cool.|Whisk the dry ingredients together.|Beat "
         "the eggs for 3 minutes.",
         "boil P 20 min; cool P; whisk A <; beat A 3 min <"},
        {"Salad", "4 tbsp walnut oil,50g walnuts,grapes",
         "Roast the grapes in the walnut oil for 12 minutes.|Toast the walnuts in a dry pan for 4 "
         "minutes.",
         "roast P 12 min; toast A 4 min <"},
        {"Mackerel", "beetroot,vinegar,cream,horseradish",
         "Pour the vinegar over the beetroot. Leave for 2 hours.|Whip the cream to soft peaks and "
         "fold the horseradish through.",
         "pour A; rest P 2 h; whip A <; fold A < whip!"},
        {"Pie", "chicken thighs,flour,butter",
         "Poach the chicken thighs for 30 minutes. Leave to cool.|While they cool, rub the butter "
         "into the flour. Chill for 45 minutes.|Pull the meat off the bones.",
         "poach P 30 min; cool P; rub A <; chill P 45 min; pull A < cool"},
        {"Ravioli", "flour,eggs,chard",
         "Knead the flour and eggs. Rest for 30 minutes.|At the same time, blanch the chard for 2 "
         "minutes.",
         "knead A; rest P 30 min; blanch P 2 min <"},
        {"Custard", "yolks,cream,pudding",
         "Steam the pudding for 2 hours.|Meanwhile heat the cream.|Whisk the yolks in a bowl over "
         "hot water, then off the heat for 5 minutes.",
         "steam P 2 h; heat A <; whisk A <; whisk-2 A 5 min"},
        {"Custard", "yolks,cream,pudding",
         "Steam the pudding for 2 hours.|Meanwhile heat the cream. Pour the cream on the yolks and "
         "cook it over the lowest heat for 8 minutes.",
         "steam P 2 h; heat A <; pour A < heat!; cook A 8 min"},
        {"Meatballs", "veal,bread,passata",
         "Simmer the passata for 40 minutes.|Soak the bread in milk for 10 minutes. Mix with "
         "everything else.",
         "simmer P 40 min; soak P 10 min <; mix A"},
        {"Aubergine", "apricots,cream,sugar",
         "Whisk the cream. Freeze for 8 hours.|Lay the apricots in a dish with the sugar. Bake for "
         "20 minutes at 200C.",
         "whisk A; freeze P 8 h; lay A <; bake P 20 min 200 C"},
        {"Ripple", "cream,blackcurrants,yolks",
         "Whisk the cream and yolks. Chill overnight.|Cook the blackcurrants for 8 minutes. Chill "
         "thoroughly: it must be cold or it will melt the ice cream.",
         "whisk A; chill P 8-12 h; cook A 8 min <; chill-2 P"},
        {"Rolls", "beef,cabbage leaves",
         "Roll the beef in the cabbage leaves. Bake at 160C for 2 hours.|In the last half hour "
         "boil the potatoes for 20 minutes.",
         "roll A; bake P 2 h 160 C; boil P 20 min <"},
        {"Duck", "duck legs,cherries",
         "Roast the duck legs for 2 hours.|With ten minutes of roasting to go, slice the bread.",
         "roast P 2 h; slice A <"},
        {"Sorbet", "blackcurrants,sugar",
         "Churn the blackcurrants with the sugar for 25 minutes.|When it is nearly there, whisk "
         "the white to a soft foam.",
         "churn P 25 min; whisk A <"},
        {"Crumble", "rhubarb,flour",
         "Bake the rhubarb for 45 minutes.|Salsa when it is nearly there. Chop the herbs.",
         "bake P 45 min; chop A <"},
        {"Pudding", "flour,sugar",
         "Steam the pudding for 2 hours.|Custard, do this in the last quarter hour. Heat the milk "
         "until steaming.",
         "steam P 2 h; heat A <"},
        {"Pate", "livers,butter",
         "Blend the livers with the butter. Chill for 4 hours.|The marmalade can be done any time "
         "they're chilling. Slice the onions.",
         "blend A; chill P 4 h; slice A <"},
        {"Roulade", "275g caster sugar,60g sugar,5 egg whites,4 passion fruit",
         "Cook the passion fruit with the 60g of sugar for 10 minutes. Chill for an hour.|Whisk "
         "the egg whites. Add the caster sugar, whisking.",
         "cook P 10 min; chill P 1 h; whisk A <; add A < whisk!"},
        {"Salad", "8 herring fillets,salt,beetroot",
         "Lay the fillets in a dish with the salt for 2 hours.|Meanwhile bake the beetroot for 1 "
         "hour. Dice.|Rinse the herring.",
         "lay A 2 h; bake P 1 h <; dice A; rinse A < lay"},
        /* of the pork, also where its fat is spoken of beside it */
        {"Roast", "pork,flour",
         "Roast the pork at 180C for 1 hour.|Lift the pork onto a board and leave it to rest for "
         "20 minutes.|While it rests, pour off the fat from the roasting tin. When the pork is "
         "done, stir in the flour.",
         "roast P 1 h 180 C; rest P 20 min; pour A < roast; stir A < rest pour"},
    };
    CHECK(examples);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_is_named),
        cmocka_unit_test(test_what_begins_apart),
        cmocka_unit_test(test_beside_and_which),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
