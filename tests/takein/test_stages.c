/* From the words of the steps to stages and what comes after what. What each sentence means to
 * a cook is English and common practice, no source. */
#include "examples.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void test_notes_without_verbs(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Cake", "flour,eggs", "Mark 3, 50 mins.", "bake P 50 min gas 3"},
        {"Cake", "flour,eggs", "Oven 200 (180 fan).|Into the tin. 25 mins.", "bake P 25 min 200 C"},
        {"Roast", "venison", "220°, 20 min; then 160°, about 1 hr - 55° inside.",
         "bake P 20 min 220 C; bake-2 P 1 h 160 C < bake!15"},
        {"Duck", "duck breasts,shallot,wine",
         "Shallot in the duck fat 3 min, wine in, bubble 5 min.", "fry A 3 min; bubble A 5 min"},
        /* what goes in is of the cooking behind it */
        {"Soup", "parsnips,stock", "Parsnips + stock in. Simmer 25 min.", "simmer P 25 min"},
        {"Ice", "sugar,bicarb", "Off the heat, bicarb in, whisk 5 sec.", "whisk A 5 s"},
        /* abbreviated, and the next thing behind it */
        {"Tart", "crumbs,cherries", "350F 10 min. Cool on a rack. Fridge overnight.",
         "bake P 10 min 350 F; cool P; chill P 8-12 h"},
        {"Jelly", "plums", "Boil hard, wrinkles = done.|Stand 2 hrs.", "boil A; stand P 2 h"},
        {"Onions", "shallots,salt", "Shallots peeled, salt over, o/n.", "peel A; rest P 8-12 h"},
        {"Soup", "leeks", "Soften 10, covered.", "soften P 10 min"},
        {"Loaf", "flour", "Knock back, shape, second rise 40 min.", "shape A; rise P 40 min"},
        {"Pie", "pastry", "Roll it out. Back in the fridge for 20.", "roll A; chill P 20 min"},
        {"Ice", "milk", "Stir it. Then into the fridge for at least 6 hours - overnight is better.",
         "stir A; chill P 6-12 h"},
        {"Cake", "semolina", "Pour it over.|Now it must draw minimum 3 hours.",
         "pour A; steep P 3 h"},
        {"Soup", "celeriac,pears", "Simmer the celeriac for 20 minutes.|Pears in, 5 more.",
         "simmer P 20 min; simmer-2 P 5 min"},
        {"Soup", "hazelnuts", "Meanwhile hazelnuts in oven 170C, 8 min, rub off skins while hot.",
         "bake P 8 min 170 C; rub A < bake!"},
        {"Tart", "pastry", "Prick, back in fridge 15 mins.", "prick A; chill P 15 min"},
        {"Beans", "beans", "Cut into 12.", "cut A"},
        {"Jam", "plums,sugar", "Pot into hot jars, lids on immediately.", "pot A; seal A < pot!"},
        {"Loaf", "flour", "Take out and cool, cold place, 2 hrs.", "cool P 2 h"},
    };
    CHECK(examples);
}

static void test_passive_voice(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Pie", "lard,water,flour",
         "The lard and water are boiled together and poured on the flour.",
         "boil A; pour A < boil!"},
        {"Pie", "onions", "The onions are fried gently in butter.", "fry A"},
        {"Bird", "chicken", "It is cooked when the juices run clear.|Carve.", "carve A"},
    };
    CHECK(examples);
}

static void test_heat(void **state)
{
    (void)state;
    static const example examples[] = {
        /* on a shelf, at the same temperature, alongside: in the oven that is hot */
        {"Chicken", "chicken,potatoes,fat",
         "Roast the chicken at 190C for 1 hour.|Heat the fat on the shelf above for 10 minutes.",
         "roast P 1 h 190 C; bake P 10 min 190 C"},
        {"Jars", "beans", "Heat the beans on the top shelf of the cupboard.", "heat A"},
        {"Puddings", "dates",
         "Bake at 180C for 20 minutes.|Reheat at the same temperature for 15 minutes.",
         "bake P 20 min 180 C; bake-2 P 15 min 180 C"},
        {"Tart", "rhubarb,pastry",
         "Bake the pastry at 190C for 20 minutes.|Cover the rhubarb and roast alongside the pastry "
         "for 12 minutes.",
         "bake P 20 min 190 C; roast P 12 min 190 C <"},
        /* turned down: two bakings, the second at once */
        {"Pork", "pork",
         "Heat the oven to 240C. Roast for 30 minutes, then turn down to 180C and "
         "roast for 1 hour.",
         "roast P 30 min 240 C; roast-2 P 1 h 180 C < roast!15"},
        {"Pork", "pork", "Roast 20 minutes at 220C and a further hour at 180C.",
         "roast P 20 min 220 C; roast-2 P 1 h 180 C < roast!15"},
        {"Pork", "pork",
         "Roast at 200C for 1 hour. Turn the oven up to 230C for the last 10 minutes.",
         "roast P 1 h 200 C; bake P 10 min 230 C < roast!15"},
        /* of the food, not of the oven */
        {"Loaf", "dough",
         "Preheat oven to 375°F.|Bake for 35 minutes, or until the internal "
         "temperature is 195°F.",
         "bake P 35 min 375 F"},
        {"Ribs", "ribs", "Brown the ribs in a large Dutch oven.", "brown A"},
        {"Toffee", "sugar", "Boil the sugar without stirring to 138 C for 15 minutes.",
         "boil P 15 min"},
        /* before or behind the baking, by another word, of a fan oven */
        {"Loaf", "dough", "Bake at gas 6 for 20 minutes and then gas 3 for 1 hour.",
         "bake P 20 min gas 6; bake-2 P 1 h gas 3 < bake!15"},
        {"Loaf", "dough", "Bake at 230C for 10 minutes, then back down to 180C for 40 minutes.",
         "bake P 10 min 230 C; bake-2 P 40 min 180 C < bake!15"},
        {"Loaf", "dough", "Bake in a fan oven at 160C for 40 minutes.", "bake P 40 min 160 C fan"},
        {"Loaf", "dough", "Bake for 40 minutes. (170C, or 150C with a fan.)",
         "bake P 40 min 170 C"},
        {"Loaf", "dough", "Set the oven to 170C. Bake for 40 minutes, until 94C in the middle.",
         "bake P 40 min 170 C"},
        {"Loaf", "dough", "Bake on the middle shelf at 170C for 40 minutes.",
         "bake P 40 min 170 C"},
        {"Meringues", "meringues", "Dry the meringues at 90C for 2 hours.", "bake P 2 h 90 C"},
        {"Beef", "beef,potatoes",
         "Roast the beef at 160C for 2 hours; an hour before it is ready, put the potatoes in for "
         "50 minutes.",
         "roast P 2 h 160 C; bake P 50 min 160 C <"},
        /* a test is no stage */
        {"Loaf", "dough", "Bake for 40 minutes. Push a skewer into the middle.", "bake P 40 min"},
        {"Loaf", "dough", "Push the sticks into the dough. Bake for 40 minutes.",
         "push A; bake P 40 min"},
        {"Bread", "flour",
         "Preheat oven to 230C with a pot inside, 30 minutes before baking.|Bake for 30 minutes.",
         "bake P 30 min 230 C"},
        {"Bread", "flour", "Oven: 230C, 30 minutes.|Knead the flour.|Bake until brown.",
         "knead A; bake P 230 C"},
        {"Torte", "dough", "Oven 375F. roll the dough and bake for 5 minutes.",
         "roll A; bake P 5 min 375 F"},
        /* heat in the words before the verb, or in the heading */
        {"Bread", "flour", "With the oven at 230C, bake for 35 minutes.", "bake P 35 min 230 C"},
        {"Bread", "flour", "When the oven has come up to 230C, bake for 35 minutes.",
         "bake P 35 min 230 C"},
        {"Bread", "flour",
         "Right, oven to 230C first of all, then mix the flour.|Bake for 35 "
         "minutes.",
         "mix A; bake P 35 min 230 C"},
        {"Cake", "flour,eggs", "#Bake at 180C|Spread in the tin. 25 minutes until golden.",
         "spread A; bake P 25 min 180 C"},
        {"Cake", "flour,eggs", "#Cake (oven 180C)|Mix the flour and eggs.|Bake for 25 minutes.",
         "mix A; bake P 25 min 180 C"},
        /* minutes without their unit, beside the heat */
        {"Lamb", "lamb", "Shove it in at 220 for 15 then turn down to 180 for 40.",
         "bake P 15 min 220 C; bake-2 P 40 min 180 C < bake!15"},
        {"Lamb", "lamb", "Roast it at 220 for 15, then 180 for 40.",
         "roast P 15 min 220 C; roast-2 P 40 min 180 C < roast!15"},
        {"Lamb", "lamb", "Roast it for 15 at 220.", "roast P 15 min 220 C"},
        {"Lamb", "lamb", "Bake for 15 minutes at 230C.|Another 20 at 200C.",
         "bake P 15 min 230 C; bake-2 P 20 min 200 C"},
        {"Lamb", "lamb", "Turn the oven down to 160C; 25 minutes more.", "bake P 25 min 160 C"},
        /* in the oven, though the verb is another */
        {"Roots", "roots,oil",
         "Toss the roots in oil. In oven 200C when the pork comes out, 40 min, turn once.",
         "toss A; bake P 40 min 200 C"},
        {"Roots", "roots,oil", "Roots in oil, tray, 200C, 40 min, turn once.",
         "bake P 40 min 200 C"},
        {"Lamb", "lamb",
         "Roast for an hour at 160C.|Uncover, raise the oven to 220C and return it for 15 minutes.",
         "roast P 1 h 160 C; bake P 15 min 220 C < roast!15"},
        {"Lamb", "lamb",
         "Roast for an hour at 160C.|Turn it up to 230C and give it 10 minutes more.",
         "roast P 1 h 160 C; bake P 10 min 230 C < roast!15"},
        {"Lamb", "lamb", "Set the oven to 150C and leave it in there for 4 hours.",
         "bake P 4 h 150 C"},
        {"Lamb", "lamb", "It gets four hours at 150C.", "bake P 4 h 150 C"},
        {"Lamb", "lamb", "Cooking time 4 hours at 150C.", "bake P 4 h 150 C"},
        {"Pie", "pastry", "Place on a preheated sheet at 190C and bake 35 minutes.",
         "bake P 35 min 190 C"},
        {"Braise", "ribs,broth",
         "Preheat the oven to 325F.|Add the broth, transfer to the oven and braise for 3 hours.",
         "braise P 3 h 325 F"},
        {"Custard", "custard",
         "Warm the moulds in the oven at 150C.|Fill the moulds.|Bake in the oven for 40 minutes.",
         "warm A; fill A; bake P 40 min 150 C"},
        {"Jars", "jars", "Heat them in the oven at 110 deg. C for a quarter of an hour.",
         "heat P 15 min 110 C"},
        {"Tart", "pastry",
         "Heat the oven to 190C.|Bake for 15 minutes, take out the beans and give "
         "it another 5.",
         "bake P 15 min 190 C; bake-2 P 5 min 190 C"},
        {"Bread", "fat",
         "Raise the oven to 425F and put a skillet with the fat inside for 8 minutes.",
         "bake P 8 min 425 F"},
        {"Stew", "parsnips",
         "Roast for 2 hours at 150C.|Add the parsnips for the final 40 minutes.",
         "roast P 2 h 150 C; roast-2 P 40 min 150 C"},
        {"Loaf", "dough", "Heat the oven to 240C.|Slash it, lid on, 25 mins.",
         "slash A; bake P 25 min 240 C"},
        {"Corn bread", "butter",
         "Oven to 425F.|Put the butter in a skillet in there to melt and get hot 5 min.",
         "bake P 5 min 425 F"},
        /* the time of day at the head of a line is no heat */
        {"Pork", "pork", "0930 Pork in, 230C 30 min.|1000 Down to 160C, 1 hr 45.",
         "bake P 30 min 230 C; bake-2 P 1 h 45 min 160 C < bake!15"},
        {"Pork", "pork", "9.30 am: roast the pork at 200C for an hour.", "roast P 1 h 200 C"},
        {"Loaf", "flour", "Mix the flour.|The loaf bakes for 35 minutes.", "mix A; bake P 35 min"},
        /* the oven waits for it */
        {"Ice", "bread",
         "Heat the oven to 180C. Toss the crumbs on a tray and toast for 10 minutes.",
         "toss A; toast P 10 min 180 C"},
        {"Pork", "pork", "Heat the oven to 160C. Cook slowly for 4 hours.", "bake P 4 h 160 C"},
        {"Pork", "pork",
         "Roast at 200C for 1 hour, then lower the heat to 150C and leave it for 2 hours.",
         "roast P 1 h 200 C; bake P 2 h 150 C < roast!15"},
        {"Bread", "dough", "Bake at 240C for 10 minutes, then drop to 200C for 25.",
         "bake P 10 min 240 C; bake-2 P 25 min 200 C < bake!15"},
        {"Fruit", "rhubarb", "Roast at 170C for 15 minutes, then uncovered for 5 more.",
         "roast P 15 min 170 C; roast-2 P 5 min 170 C < roast!"},
        {"Bread", "dough", "Bake at once. 10 min at 250C.", "bake P 10 min 250 C"},
        /* a heat that is said behind the baking */
        {"Cake", "flour", "Bake for 20 minutes.|The oven should be at 190C.",
         "bake P 20 min 190 C"},
    };
    CHECK(examples);
}

static void test_threads(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Buns", "flour,cream,chocolate",
         "Bake for 20 minutes. Cool on a rack.|Meanwhile, whip the cream.|Fill the buns with the "
         "cream.",
         "bake P 20 min; cool P; whip A <; fill A < cool whip"},
        /* said of what the next sentence does */
        {"Cake", "flour,icing sugar,butter",
         "Leave to cool.|Meanwhile, make the icing. Beat the butter with the icing sugar.|Ice the "
         "cake.",
         "cool P; beat A <; ice A < cool"},
        {"Tart", "flour,nuts,sugar",
         "Rub in the flour. Chill for 1 hour.|#Filling|Toast the nuts.|#To finish|Roll out the "
         "dough and spread the nuts over.",
         "rub A; chill P 1 h; toast A <; roll A < chill toast"},
        /* a sentence that only says what comes */
        {"Pudding", "suet,yolks,sugar,milk",
         "Steam for 2 hours.|While it steams you make the custard. Warm the milk. Beat the yolks "
         "with the sugar.|Now the sauce.",
         "steam P 2 h; warm A <; beat A <"},
        {"Buns", "flour,icing sugar,juice",
         "Bake for 16 minutes.|Sift the icing sugar and whisk in the juice. Do this while the buns "
         "bake.",
         "bake P 16 min; sift A <; whisk A"},
        {"Rice", "rice,fish", "Cook for 12 minutes.|During the rice: slash the fish.",
         "cook P 12 min; slash A <"},
        {"Pie", "beans,dough",
         "Bean team. Fry the beans.|Bread team. Mix the dough.|Serve the beans with the bread.",
         "fry A; mix A <"},
        {"Loaf", "dough,onions",
         "Leave the dough to rise for an hour.|Use this time to fry the onions for 20 minutes.",
         "rise P 1 h; fry A 20 min <"},
        {"Jelly", "quinces",
         "Simmer the quinces in a bag for an hour.|Wash the jars and warm them.|Fish out the bag.",
         "simmer P 1 h; wash A <; warm A; fish A < simmer"},
        {"Cake", "butter,icing sugar",
         "Leave the cake to cool.|To make the icing, beat the butter.|Spread it over the cold "
         "cake.",
         "cool P; beat A <; spread A < cool beat"},
        {"Stew", "beef,flour,suet",
         "Simmer the beef for 2 hours.|Now get on with the dumplings: mix the flour and suet.",
         "simmer P 2 h; mix A <"},
        {"Snails", "flour,butter",
         "Mix everything except the butter. Chill it for 8 hours.|Beat the "
         "butter flat.",
         "mix A; chill P 8 h; beat A <"},
        /* waiting and cooling that a clause tells */
        {"Toffee", "sugar", "Pour it into the tin. After 10 minutes mark it in squares.",
         "pour A; rest P 10 min; mark A"},
        {"Beans", "hock", "Cook the hock for 3 hours. When it is cool enough to handle, shred it.",
         "cook P 3 h; cool P; shred A"},
        {"Toffee", "sugar", "Boil the sugar. Mine takes 7 minutes.", "boil P 7 min"},
        /* what is done again: the sum */
        {"Puff", "dough", "Chill for 40 minutes. Do this three times in all.", "chill P 2 h"},
        {"Puff", "dough", "Rest for 10 minutes. Repeat twice more.", "rest P 30 min"},
        {"Loaf", "dough", "Fold it in the bowl every half hour, 4 times.", "fold A 2 h"},
        {"Fish", "lentils,bacon", "Lentils: simmer 25 mins.|Bacon: grill 6 mins.",
         "simmer P 25 min; grill P 6 min <"},
        /* what is taken of the roast for the gravy was there before it rests */
        {"Beef", "beef,stock",
         "Roast the beef for 1 hour. Rest for 20 minutes.|While the beef rests, "
         "pour the stock into the juices.",
         "roast P 1 h; rest P 20 min; pour A < roast"},
        {"Stew", "beef,butter,flour",
         "Braise the beef for 2 hours.|About half an hour before the stew "
         "is ready, rub the butter into the flour.",
         "braise P 2 h; rub A <"},
        {"Bread", "flour,seeds",
         "Soak the seeds for 30 minutes.|In a large bowl combine the flour and "
         "water.|Knead in the seeds.",
         "soak P 30 min; combine A <; knead A < soak combine"},
        {"Jelly", "quinces,sugar",
         "Simmer the quinces for 1 hour.|Wash the jars and warm them in the "
         "oven at 120C for 20 minutes.|Meanwhile boil the quinces with the "
         "sugar for 10 minutes.",
         "simmer P 1 h; wash A <; warm P 20 min 120 C; boil P 10 min < simmer"},
        {"Jelly", "quinces,sugar",
         "Drip the quinces for 8 hours.|Warm the jars at 120C for 20 "
         "minutes.|Meanwhile measure the juice.",
         "drip P 8 h; bake P 20 min 120 C <; measure A < drip"},
        /* one thing after the other, in one pan */
        {"Soup", "leeks,stock,cream",
         "Soften the leeks.|Add the stock and simmer for 20 minutes.|Stir "
         "in the cream.",
         "soften A; simmer P 20 min; stir A"},
    };
    CHECK(examples);
}

/* What goes on beside what, and what was only said of something that is no stage. */
static void test_beside(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Pork", "pork,cabbage",
         "Roast the pork at 170C for 2 hours.|The cabbage goes on as soon as the pork is in: shred "
         "it "
         "and simmer for 1 hour.",
         "roast P 2 h 170 C; shred A <; simmer P 1 h"},
        /* in a bowl of their own, and folded into what they were beaten beside */
        {"Roulade", "chocolate,eggs,sugar",
         "Melt the chocolate. Leave it to cool for 10 minutes.|Whisk the yolks and the sugar.|Stir "
         "in "
         "the chocolate.",
         "melt A; cool P 10 min; whisk A <; stir A < cool whisk"},
        {"Mousse", "damsons,eggs,cream",
         "Sieve the damsons. Leave the purée to cool.|Whisk the egg whites to soft peaks.|Fold "
         "them "
         "in with a metal spoon.",
         "sieve A; cool P; whisk A <; fold A < cool whisk!"},
        {"Fool", "cream", "Pour the cream into a bowl.|Whip the cream.", "pour A; whip A"},
        {"Rolls", "flour",
         "Knead the flour. Leave it to rise for 1 hour.|Meanwhile line a tray. Shape the dough "
         "into 12 "
         "balls and let them prove for 30 minutes.",
         "knead A; rise P 1 h; shape A; prove P 30 min"},
        {"Pie", "peas,swede",
         "Boil the peas for 30 minutes, and drain.|Meanwhile dice the swede as small as the peas.",
         "boil P 30 min; drain A; dice A <"},
        {"Chowder", "haddock,milk,bacon",
         "Poach the haddock in the milk for 8 minutes. Leave it to stand for 10 minutes.|While the "
         "fish "
         "is poaching, fry the bacon until it gives up its fat.",
         "poach P 8 min; stand P 10 min; fry A <"},
        {"Cake", "butter,sugar",
         "Melt the butter. Bake at 200C for 15 minutes. Reduce the heat to 170C and bake for 30 "
         "minutes.|While it bakes, boil the sugar with the butter for 8 minutes.",
         "melt A; bake P 15 min 200 C; bake-2 P 30 min 170 C < bake!15; boil P 8 min < melt"},
        {"Beets", "beetroot,horseradish",
         "Bake the beetroot for 1 hour.|Peel and grate the horseradish while the beetroot are in "
         "the "
         "oven.",
         "bake P 1 h; peel A <"},
        {"Roast", "beef,milk",
         "Roast the beef for 1 hour.|As soon as that's in, simmer the milk for 30 minutes.",
         "roast P 1 h; simmer P 30 min <"},
        {"Loaf", "seeds,boiling water,flour",
         "Soak the seeds in the boiling water for 30 minutes.|In a bowl combine the flour and the "
         "water.",
         "soak P 30 min; combine A <"},
        {"Creams", "cream,lemon zest,rhubarb,orange",
         "Heat the cream and lemon zest. Chill for 4 hours.|While the creams set, slice the "
         "rhubarb. "
         "Cook with the juice of the orange.",
         "heat A; chill P 4 h; slice A <; cook A"},
        {"Dinner", "beans,onion",
         "Simmer the beans for 15 minutes.|Slice the onion. Toss with a little "
         "salt.",
         "simmer P 15 min; slice A <; toss A"},
        {"Fish", "haddock,milk,flour",
         "Lay the haddock in the milk. Poach it for 8 minutes. Leave it to stand for 10 "
         "minutes.|While "
         "the fish is poaching, thicken the juices with the flour.",
         "lay A; poach P 8 min; stand P 10 min; thicken A < lay"},
        {"Salad", "eggs,spinach", "Boil the eggs for 10 minutes.|Wilt the spinach with the kettle.",
         "boil P 10 min; wilt A <"},
        {"Damsons", "damsons,vinegar,sugar",
         "Prick the damsons.|Vinegar and sugar in the preserving pan, heat slowly until it is "
         "clear.",
         "prick A; heat A <"},
        {"Rise", "flour,plums",
         "Let the dough rise for 2 hours. Use the rise to stew the plums for 20 minutes.",
         "rise P 2 h; stew P 20 min <"},
        {"Rise", "flour,plums",
         "Chill the dough for 1 hour. This gives you time to stew the plums for 20 minutes.",
         "chill P 1 h; stew P 20 min <"},
        {"Eggs", "eggs,bread", "Boil the eggs for 8 minutes while you fry the bread for 4 minutes.",
         "boil P 8 min; fry A 4 min <"},
        {"Eggs", "eggs,bread", "Boil the eggs for 8 minutes while you make the toast.",
         "boil P 8 min"},
        {"Prawns", "rice,prawns",
         "Simmer the rice for 12 minutes; get a pan hot and fry the prawns in that time.",
         "simmer P 12 min; fry A <"},
        {"Pears", "pears,almonds",
         "Poach the pears for 25 minutes. Alongside, toast the almonds for 4 minutes.",
         "poach P 25 min; toast A 4 min <"},
        {"Parfait", "parfait,berries",
         "Freeze the parfait for 6 hours. The sauce can be made while it freezes: simmer the "
         "berries for 5 minutes.",
         "freeze P 6 h; simmer P 5 min <"},
        {"Lamb", "lamb", "Marinate the lamb overnight. Next day roast it for 2 hours at 160C.",
         "marinate P 8-12 h; roast P 2 h 160 C"},
        {"Bagels", "flour,onions",
         "Knead the flour. Chill overnight.|Next morning fry the onions slowly, stirring, for 15 "
         "minutes.",
         "knead A; chill P 8-12 h; fry A 15 min <"},
    };
    CHECK(examples);
}

static void test_at_once(void **state)
{
    (void)state;
    static const example examples[] = {
        /* the small moves of the hand on the way are done at once, too */
        {"Jelly", "quinces,sugar",
         "Boil the quinces for 20 minutes.|Lift out the bag.|Pot while still hot into jars.",
         "boil P 20 min; lift A < boil!; pot A < lift!"},
        {"Mash", "potatoes", "Simmer the potatoes for 20 minutes.|Stir once.|Mash at once.",
         "simmer P 20 min; stir A < simmer!; mash A < stir!"},
        {"Loaf", "dough,butter",
         "Bake the loaf for 40 minutes.|Turn the loaf out. Slash the top. Brush with butter while "
         "still hot.",
         "bake P 40 min; turn A < bake!; slash A < turn!; brush A < slash!"},
        {"Meringue", "egg whites,sugar",
         "Whisk the egg whites until stiff.|Fold in the sugar.|Spoon onto a tray.",
         "whisk A; fold A < whisk!; spoon A < fold!"},
        {"Flan", "sugar,cream", "Melt the sugar until amber.|Pour in the cream.",
         "melt A; pour A < melt!"},
        {"Custard", "milk,yolks", "Bring the milk to the boil.|Pour it onto the yolks.",
         "bring A; pour A < bring!"},
        {"Game pie", "stock", "Warm the stock.|Pour it in through the hole of the lid.",
         "warm A; pour A < warm!"},
        {"Soup", "stock", "Heat the stock.|Pour into jars when cold.", "heat A; pour A"},
        {"Jelly", "gelatine,juice",
         "Warm the juice.|Take it off the heat, squeeze out the gelatine and stir in.",
         "warm A; squeeze A < warm!"},
        {"Pudding", "suet", "Steam the pudding for 2 hours.|Turn it out.",
         "steam P 2 h; turn A < steam!"},
        {"Batter pudding", "dripping,batter",
         "Heat the dripping in a tin until smoking.|Pour the batter into the sizzling fat.|Bake "
         "for "
         "30 minutes.",
         "heat A; pour A < heat!; bake P 30 min < pour!"},
        {"Toffee", "almonds,sugar",
         "Boil the sugar for 10 minutes.|Pour it straight over the almonds.",
         "boil P 10 min; pour A < boil!"},
        {"Jelly", "apples,sugar",
         "Boil the apples and sugar for 10 minutes.|Skim.|Warm the jars in the oven.|Ladle at once "
         "into "
         "the hot jars.",
         "boil P 10 min; skim A; warm A <; ladle A < skim!13 warm!"},
        {"Remoulade", "celeriac,lemon juice",
         "Peel the celeriac.|Toss immediately with the lemon juice.", "peel A; toss A < peel!"},
        {"Buns", "flour,icing sugar,orange juice",
         "Bake for 20 minutes.|While they bake, stir the icing sugar with the orange juice.|Brush "
         "it "
         "over as soon as they come out.",
         "bake P 20 min; stir A <; brush A < bake! stir"},
        {"Peppermints", "sugar,peppermints",
         "Stir the sugar with water.|Spread it out before the surface sets.",
         "stir A; spread A < stir!"},
        {"Pancakes", "flour,milk", "Whisk the flour and milk.|Spread it without pause.",
         "whisk A; spread A < whisk!"},
        {"Pancakes", "flour,milk", "Whisk the flour and milk.|Spread it and don't let it stand.",
         "whisk A; spread A < whisk!"},
        {"Pancakes", "flour,milk", "Whisk the flour and milk.|Spread it, losing no time.",
         "whisk A; spread A < whisk!"},
        {"Pickle", "vinegar,onions",
         "Simmer the vinegar for 5 minutes.|Pour it boiling over the jug.",
         "simmer P 5 min; pour A < simmer!"},
        {"Icing", "sugar,buns", "Stir the sugar with water.|Dip the buns before it crusts over.",
         "stir A; dip A < stir!"},
        {"Sauce", "cream,chocolate", "Heat the cream.|Pour it over the chocolate.",
         "heat A; pour A < heat!"},
        {"Cake", "flour,syrup", "Bake for 40 minutes.|Take it from the oven, brush with the syrup.",
         "bake P 40 min; brush A < bake!"},
        {"Cake", "flour,syrup",
         "Bake for 40 minutes.|Prick the cake all over and spoon the syrup on while it is hot.",
         "bake P 40 min; prick A < bake!"},
        {"Lentils", "lentils,oil", "Simmer for 25 minutes.|Drain. Dress with the oil while warm.",
         "simmer P 25 min; dress A < simmer!"},
        {"Buns", "flour", "Beat in the flour all at once.|Pipe it.", "beat A; pipe A"},
        {"Cake", "flour", "Bake for 1 hour. Turn the oven off and leave it for 1 hour.",
         "bake P 1 h; rest P 1 h < bake!"},
        {"Biscuits", "flour", "Bake for 10 minutes.|The second they are done, roll them.",
         "bake P 10 min; roll A < bake!"},
        {"Mash", "potatoes,butter", "Boil the potatoes for 15 minutes.|Mash hot with the butter.",
         "boil P 15 min; mash A < boil!"},
        {"Cake", "flour,syrup", "Bake for 40 minutes.|Prick the hot cake all over.",
         "bake P 40 min; prick A < bake!"},
        {"Tart", "pastry,jelly",
         "Bake the tart for 40 minutes.|Warm the jelly. Brush over the tart "
         "while still hot.",
         "bake P 40 min; warm A <; brush A < bake! warm"},
        {"Greens", "beans", "Blanch the beans for 3 minutes.|Plunge into iced water.",
         "blanch P 3 min; plunge A < blanch!"},
        {"Fudge", "sugar,butter", "Beat for 6 minutes, then immediately pour into the tin.",
         "beat A 6 min; pour A < beat!"},
        /* in a hurry, said in other ways */
        {"Scones", "flour,buttermilk",
         "Stir the buttermilk into the flour.|Be quick now. Cut out rounds.",
         "stir A; cut A < stir!"},
        {"Fudge", "sugar,cream",
         "Boil the sugar for 10 minutes.|Turn into the tin in a hurry as it goes off fast.",
         "boil P 10 min; turn A < boil!"},
        {"Soda bread", "flour,buttermilk",
         "Mix the flour and buttermilk.|Shape into a round without lingering.",
         "mix A; shape A < mix!"},
        {"Buns", "flour,yeast", "Mix the flour.|Shape it as fast as you can.",
         "mix A; shape A < mix!"},
        {"Praline", "sugar,almonds",
         "Stir the almonds with the honey.|Spread on oiled paper before it has time to set.",
         "stir A; spread A < stir!"},
        {"Flapjack", "oats", "Bake for 25 minutes.|Mark into bars hot from the oven.",
         "bake P 25 min; mark A < bake!"},
        {"Shortbread", "flour", "Bake for 35 minutes.|Cut into fingers fresh from the oven.",
         "bake P 35 min; cut A < bake!"},
        {"Tart", "apples", "Bake for 30 minutes.|Invert onto a plate while the juice is runny.",
         "bake P 30 min; invert A < bake!"},
        {"Salad", "potatoes,vinegar", "Boil for 15 minutes.|Slice them warm into the vinegar.",
         "boil P 15 min; slice A < boil!"},
        {"Roulade", "eggs", "Bake for 12 minutes.|Turn out onto paper and roll up immediately.",
         "bake P 12 min; turn A < bake!; roll A < turn!"},
        {"Batter", "dripping,batter",
         "Heat the dripping in the tin in the oven for 10 minutes at 220C.|Pour the batter in "
         "while the fat is spitting.",
         "heat P 10 min 220 C; pour A < heat!"},
        {"Meringue", "whites,sugar", "Whisk the whites.|Pipe without delay.",
         "whisk A; pipe A < whisk!"},
        {"Jam", "plums", "Boil for 10 minutes.|Fill the jars to the brim, lids straight on.",
         "boil P 10 min; fill A < boil!; seal A < fill!"},
        {"Icing", "sugar", "Mix the icing.|Pour it over the cake, as it skins over fast.",
         "mix A; pour A < mix!"},
        {"Eggs", "chocolate", "Temper the chocolate.|Pour into the moulds before it thickens.",
         "temper A; pour A < temper!"},
        {"Pudding", "jelly",
         "Bake for 25 minutes.|Directly the pudding is out, spread the jelly over.",
         "bake P 25 min; spread A < bake!"},
        {"Souffle", "egg whites,cheese sauce",
         "Whisk the egg whites.|Stir a spoonful into the sauce. Fold in the rest straight away.",
         "whisk A; fold A < whisk!"},
        {"Terrine", "cream,gelatine",
         "Soak the gelatine for 5 minutes.|Heat the cream.|Squeeze out the gelatine and melt it in "
         "the hot cream.",
         "soak P 5 min; heat A <; squeeze A < soak heat!"},
        {"Loaf", "dough",
         "Bake for 20 minutes.|Get it out of the pot at once or the crust goes soft and cool on a "
         "rack for 2 hours.",
         "bake P 20 min; get A < bake!; cool P 2 h"},
        {"Jam", "pears",
         "Boil the pears for 5 minutes.|Pour into jars. Screw down the lids immediately.",
         "boil P 5 min; pour A < boil!; screw A < pour!"},
        {"Sauce", "cream,chocolate", "Heat the cream.|Pour it over the chocolate, wait 1 minute.",
         "heat A; pour A < heat!; wait P 1 min"},
        {"Mash", "potatoes",
         "Boil for 20 minutes.|Let them steam for 2 minutes, then mash while hot.",
         "boil P 20 min; steam P 2 min; mash A < steam!"},
        {"Tart", "pastry,lemons",
         "Bake the shell for 20 minutes.|Squeeze the lemons.|Pour the juice into the hot shell.",
         "bake P 20 min; squeeze A <; pour A < bake! squeeze"},
        {"Pancakes", "butter,batter",
         "Whisk the butter into the batter right before you start frying.|Fry for 2 minutes.",
         "whisk A; fry A 2 min < whisk!"},
        {"Cake", "yolks,flour", "Whisk the yolks.|Fold in the flour.", "whisk A; fold A"},
        {"Sauce", "plums", "Cook the plums down for 25 minutes.|Push through a sieve hot.",
         "cook P 25 min; push A < cook!"},
        {"Custard", "sugar",
         "Melt the sugar until it is dark.|Working fast, while the caramel is liquid, pour it into "
         "the moulds.",
         "melt A; pour A < melt!"},
        {"Fish", "potatoes,haddock",
         "Boil the potatoes for 20 minutes.|While they are boiling, lay the haddock in a pan.",
         "boil P 20 min; lay A <"},
        {"Corn bread", "turkey,fat",
         "Roast the turkey for 2 hours.|As soon as it comes out, raise the oven to 425F and put a "
         "skillet with the fat inside for 8 minutes.",
         "roast P 2 h; bake P 8 min 425 F < roast!15"},
        {"Loaf", "flour,syrup",
         "Bake the loaf for 40 minutes.|While it bakes warm the syrup.|Spoon the syrup over the "
         "loaf while both are hot.",
         "bake P 40 min; warm A <; spoon A < bake! warm!"},
        {"Caramel", "sugar,cream",
         "Boil the sugar until amber.|Now act quickly: pour in the cream.",
         "boil A; pour A < boil!"},
        {"Cod", "cod,beer", "Stir the flour into the beer at the last moment.|Dip the cod.",
         "stir A; dip A < stir!"},
        {"Cod", "cod,beer",
         "Mix the beer and flour just before frying.|Dip the cod and fry for 6 minutes.",
         "mix A; dip A < mix!; fry A 6 min"},
        {"Cod", "cod,beer", "Mix the sauce just before serving.|Dip the cod and fry for 6 minutes.",
         "mix A; dip A; fry A 6 min"},
        /* as long as, or else, never */
        {"Cake", "syrup", "Bake for 40 minutes.|Pour the syrup over as long as it is hot.",
         "bake P 40 min; pour A < bake!"},
        {"Curls", "sugar", "Bake for 10 minutes.|Curl them round a spoon, or they set flat.",
         "bake P 10 min; curl A < bake!"},
        {"Curls", "sugar", "Bake for 10 minutes.|Slide off the tray before they get too brittle.",
         "bake P 10 min; slide A < bake!"},
        {"Fudge", "sugar", "Boil for 10 minutes.|Scrape into the tin while it still flows.",
         "boil P 10 min; scrape A < boil!"},
        {"Fudge", "sugar", "Boil for 10 minutes.|Tip it out, otherwise it goes solid in the pan.",
         "boil P 10 min; tip A < boil!"},
        {"Fudge", "sugar", "Boil for 10 minutes.|Tip it out without a moment's delay.",
         "boil P 10 min; tip A < boil!"},
        {"Fudge", "sugar", "Boil for 10 minutes.|Tip it out, and don't let it cool.",
         "boil P 10 min; tip A < boil!"},
        {"Fudge", "sugar", "Boil for 10 minutes.|Tip it out then and there.",
         "boil P 10 min; tip A < boil!"},
        {"Gnocchi", "potatoes",
         "Boil the potatoes for 20 minutes.|Peel them as hot as you can bear.",
         "boil P 20 min; peel A < boil!"},
        {"Eggs", "eggs", "Boil for 6 minutes.|Straight under the cold tap with them.",
         "boil P 6 min; plunge A < boil!"},
        {"Eggs", "eggs", "Boil for 6 minutes.|Turn the heat right down and leave for 5 minutes.",
         "boil P 6 min; rest P 5 min"},
        {"Ice", "custard", "Churn for 20 minutes.|Get it into the freezer fast, 3 hours.",
         "churn P 20 min; freeze P 3 h < churn!"},
        /* what a sentence of its own says cannot wait, does not */
        {"Fritters", "flour,beer",
         "Whisk the flour and beer. The batter must not stand.|Fry for 2 "
         "minutes.",
         "whisk A; fry A 2 min < whisk!"},
        {"Fritters", "flour,beer",
         "Whisk the flour and beer. It loses its bubbles.|Fry for 2 "
         "minutes.",
         "whisk A; fry A 2 min < whisk!"},
        {"Fritters", "flour,beer",
         "Whisk the flour and beer. Use it straight away.|Fry for 2 "
         "minutes.",
         "whisk A; fry A 2 min < whisk!"},
        {"Fritters", "flour,beer",
         "Whisk the flour and beer. It need not stand.|Fry for 2 "
         "minutes.",
         "whisk A; stand P; fry A 2 min"},
        {"Tiles", "sugar", "Stir the sugar.|Spread it out. Work fast.", "stir A; spread A < stir!"},
        {"Tiles", "sugar", "Stir the sugar.|It sets quickly. Spread it out.",
         "stir A; spread A < stir!"},
        /* of several stages before it, the one that the words mean */
        {"Jelly", "juice,gelatine",
         "Soak the gelatine for 5 minutes.|Warm the juice.|Squeeze out the gelatine and stir it "
         "into the juice while it is still warm.",
         "soak P 5 min; warm A <; squeeze A < soak warm!"},
        {"Dumplings", "dumplings,crumbs,butter",
         "Poach the dumplings for 12 minutes.|Meanwhile fry the crumbs in the butter.|Lift the "
         "dumplings straight out of the water into the crumbs.",
         "poach P 12 min; fry A <; lift A < poach! fry"},
        {"Dumplings", "dumplings,crumbs,butter",
         "Poach the dumplings for 12 minutes.|Meanwhile roast the crumbs in the butter.|Lift the "
         "dumplings straight out of the water into the crumbs.",
         "poach P 12 min; roast P <; lift A < poach! roast"},
        {"Stew", "beef,suet",
         "Simmer the beef for 2 hours.|Meanwhile roll the suet into balls.|Drop the suet balls "
         "onto "
         "the beef as soon as you have rolled them.",
         "simmer P 2 h; roll A <; drop A < simmer roll!"},
        {"Tart", "pastry,egg white,lemons",
         "Bake the shell for 20 minutes.|Brush the shell with the egg white.|Squeeze the "
         "lemons.|Pour the juice into the hot shell.",
         "bake P 20 min; brush A; squeeze A <; pour A < brush! squeeze"},
        {"Souffle", "egg whites,cheese",
         "Whites stiff and in peaks.|Fold in the cheese.|Spoon into the dish.|Bake for 25 minutes.",
         "add A; fold A < add!; spoon A < fold!; bake P 25 min < spoon!"},
        {"Jam", "plums", "Boil for 10 minutes.|Ladle into jars.|Seal.",
         "boil P 10 min; ladle A < boil!; seal A < ladle!"},
        {"Greens", "beans", "Boil for 4 minutes.|Drop into a bowl of ice.",
         "boil P 4 min; drop A < boil!"},
        /* a move that no verb tells */
        {"Pie", "pie",
         "Freeze for 10 minutes and then directly into the oven at 200C for 15 minutes.",
         "freeze P 10 min; bake P 15 min 200 C < freeze!"},
        {"Delice", "cream,chocolate",
         "Pour the cream onto the eggs, whisking, then immediately onto the chocolate.",
         "pour A; tip A < pour!"},
        {"Pavlova", "meringue",
         "Pile the meringue onto the paper.|Don't muck about: straight into the oven with it. Turn "
         "it down to 120C and bake for 1 hour.",
         "pile A; bake P 1 h 120 C < pile!"},
        {"Roulade", "chocolate",
         "Fold in the chocolate.|Turn gently into the tin and bake at once.",
         "fold A; turn A < fold!; bake P < turn!"},
        /* of what the words speak of */
        {"Brittle", "almonds,sugar",
         "Roast the almonds for 10 minutes.|Meanwhile melt the sugar to the colour of tea.|Stir in "
         "the "
         "almonds "
         "while they are still warm.",
         "roast P 10 min; melt A <; stir A < roast! melt!"},
        {"Stew", "beef,suet",
         "Simmer the beef for 2 hours.|Meanwhile roll the suet into balls.|Pop them straight on "
         "top "
         "of the beef.",
         "simmer P 2 h; roll A <; pop A < simmer roll!"},
        {"Flan", "sugar,eggs",
         "Warm a dish so that the caramel does not crack it.|Dissolve the sugar over a low heat. "
         "Boil until golden brown. Pour instantly into the dish.",
         "warm A; dissolve A <; boil A; pour A < warm boil!"},
        {"Torte", "dough",
         "Bake the dough for 5 minutes. The second each layer comes out cut it round.",
         "bake P 5 min; cut A < bake!"},
        {"Tart", "pastry,rice",
         "Freeze the case for 20 minutes.|Fill with rice.|Bake straight from the freezer for 15 "
         "minutes.",
         "freeze P 20 min; fill A < freeze!; bake P 15 min < fill!"},
        {"Lamb", "lamb,broth",
         "Heat the oven to 220C. Roast the lamb for 30 minutes. Reduce the heat to 160C, pour in "
         "the "
         "broth and roast for 3 hours.",
         "roast P 30 min 220 C; pour A < roast!; roast-2 P 3 h 160 C < pour!"},
        {"Sponge", "eggs,sugar,flour",
         "Whisk the eggs and sugar for 8 minutes. Sift the flour over and fold in.",
         "whisk A 8 min; sift A < whisk!"},
        {"Dumplings", "potatoes",
         "Boil the potatoes for 30 minutes. Press them through the ricer hot - cold ones turn to "
         "glue.",
         "boil P 30 min; press A < boil!"},
        {"Sabayon", "yolks,fruit",
         "Whisk the yolks for 6 minutes. It won't hold: spoon over the fruit.",
         "whisk A 6 min; spoon A < whisk!"},
        {"Rolls", "flour", "Knead the flour. Shape it without letting it rest.",
         "knead A; shape A < knead!"},
        {"Tart", "pastry", "Freeze the tart for 15 minutes. Bake from frozen for 20 minutes.",
         "freeze P 15 min; bake P 20 min < freeze!"},
        {"Pav", "whites",
         "Bake for 1 hour at 120C.|Turn off the oven and leave it inside until cold. Overnight is "
         "good.",
         "bake P 1 h 120 C; cool P 8-12 h < bake!"},
        /* haste for the table is none between stages */
        {"Soup", "leeks", "Simmer for 20 minutes. Blend and serve at once.",
         "simmer P 20 min; blend A"},
    };
    CHECK(examples);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_notes_without_verbs),
                                       cmocka_unit_test(test_passive_voice),
                                       cmocka_unit_test(test_heat),
                                       cmocka_unit_test(test_threads),
                                       cmocka_unit_test(test_beside),
                                       cmocka_unit_test(test_at_once)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
