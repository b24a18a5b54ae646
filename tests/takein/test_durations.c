/* How long an act takes where its words tell more than one time, or tell it by the piece; and where
 * sentences put it. Plain English and common practice, no source. */
#include "examples.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void test_durations(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Fish", "oil,fish",
         "Fry the fish for 3 minutes on the first side and 2 minutes on the other.", "fry A 5 min"},
        {"Fish", "oil,fish",
         "Fry the fish for 3 minutes on the skin side, then 2 minutes on the other side.",
         "fry A 5 min"},
        {"Rotis", "dough", "Divide the dough into 6 balls.|Cook one at a time, 1 minute each side.",
         "divide A; cook A 12 min"},
        {"Biscuits", "dough",
         "Roll out the dough and lay on two sheets.|Bake one sheet at a time at 180C for 10 "
         "minutes.",
         "roll A; bake P 20 min 180 C"},
        {"Rolls", "dough", "Divide into 6 balls.|Bake at 180C for 10 minutes.",
         "divide A; bake P 10 min 180 C"},
        {"Stew", "beef,carrots",
         "Simmer the beef for 2 hours.|Chop the carrots while it simmers and add them for the last "
         "half hour.",
         "simmer P 2 h; chop A <; simmer-2 P 30 min"},
        {"Crumble", "custard",
         "Bake at 180C for 35 minutes.|Warm the custard for the last five minutes.",
         "bake P 35 min 180 C; warm A 5 min <"},
        {"Potatoes", "potatoes",
         "Roast the potatoes alongside the duck at 200C for the last 40 minutes.",
         "roast P 40 min 200 C"},
        {"Pork", "pork",
         "Roast at 150C for 4 hours.|Turn the oven up to 220C and give it a final 15 minutes.",
         "roast P 4 h 150 C; bake P 15 min 220 C < roast!15"},
        {"Tart", "pastry", "Bake blind at 180C with beans for 15 minutes, then without for 7.",
         "bake P 15 min 180 C; bake-2 P 7 min 180 C"},
        {"Cake", "eggs", "Cool for 15 minutes in the tin, then out of it for another 2 hours.",
         "cool P 15 min; cool-2 P 2 h"},
        {"Dish", "noodles", "Bake at 180C, covered, for 30 min.|Uncover, 15-20 more till crusty.",
         "bake P 30 min 180 C; bake-2 P 15-20 min 180 C"},
        {"Fruit", "raisins", "Soak the raisins for 2 hours or more, up to two days.",
         "soak P 2-48 h"},
        {"Dressing", "onion,stock",
         "Bake the dressing for 30 minutes at 180C.|Remove it and put it back for 10 minutes to "
         "brown.",
         "bake P 30 min 180 C; bake-2 P 10 min 180 C"},
    };
    CHECK(examples);
}

static void test_sentences(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Apples", "apples", "Oil them & roast cut side down at 200C for 30 minutes.",
         "roast P 30 min 200 C"},
        {"Posset", "cream,lemons",
         "Boil the cream for 3 minutes.|Straight off the heat stir in the lemons.",
         "boil A 3 min; stir A < boil!"},
        {"Goose", "goose", "Roast at 160C for 3 hours.|Then out, under a towel for 25 minutes.",
         "roast P 3 h 160 C; rest P 25 min"},
        {"Rolls", "dough",
         "Cover and let rise for 40 minutes while the oven heats to 190C.|Bake for 15 minutes.",
         "rise P 40 min; bake P 15 min 190 C"},
        {"Cake", "sugar,cream",
         "Bake at 180C for 30 minutes.|For the sauce, let the cream and sugar bubble in a pan for "
         "5 minutes while the cake is in the oven.",
         "bake P 30 min 180 C; bubble A 5 min <"},
        {"Bread", "flour",
         "Leave at room temperature for 1 hour, or in the fridge for up to 16 hours.",
         "rest P 1 h"},
        {"Ice", "ice cream", "Let it soften in the fridge for 15 minutes.", "chill P 15 min"},
        {"Cake", "dates", "Pour boiling water over the dates.|Leave for 15 minutes to soften.",
         "pour A; soak P 15 min"},
        {"Seeds", "seeds", "Toast the seeds under the grill for 5 minutes, stirring every minute.",
         "toast A 5 min"},
        {"Cake", "eggs", "Bake for 40 minutes at 180C until risen and firm in the centre.",
         "bake P 40 min 180 C"},
        {"Broth", "barley",
         "Simmer for 2 hours.|Stir more often towards the end.|Top up the water if it gets "
         "low.|Blend.",
         "simmer P 2 h; blend A"},
        {"Dal", "lentils", "Simmer for 1 hour. (Pressure cooker: 20 minutes.)|Blend.",
         "simmer P 1 h; blend A"},
        {"Loaf", "flour", "Bake at 180C for 1 hour.|Can I freeze it for a day?|Cool.",
         "bake P 1 h 180 C; cool P"},
        {"Steaks", "steaks,oil", "Season the steaks. Brown them in the oil for 4 minutes.",
         "brown A 4 min"},
        {"Soup", "leeks,stock", "Put the leeks in a pan. Simmer for 20 minutes.",
         "simmer P 20 min"},
        {"Pie", "pie", "Position a rack in the oven and heat to 180C.|Bake for 30 minutes.",
         "bake P 30 min 180 C"},
        {"Cake", "cake", "Spread on a tray to cool, then break into pieces.", "cool P; break A"},
        {"Pie", "beef", "Prep 30 min|Cook 2 hours|Fry the beef for 10 minutes.", "fry A 10 min"},
        {"Bread", "dough", "Wrap in a tea towel for 10 minutes.", "rest P 10 min"},
        {"Eggs", "eggs", "3 Boil the eggs for 9 minutes.", "boil P 9 min"},
    };
    CHECK(examples);
}

static void test_what_is_no_act_here(void **state)
{
    (void)state;
    static const example examples[] = {
        /* what is not to be done is no stage, nor is its time one */
        {"Cake", "flour",
         "Bake at 180C for 20 minutes. Do not open the oven for the first 15 minutes.",
         "bake P 20 min 180 C"},
        {"Cake", "flour", "Bake at 180C. Do not bake longer than 45 minutes.", "bake P 180 C"},
        {"Cake", "flour", "Bake for 20 minutes. Never open the door in the first 10 minutes.",
         "bake P 20 min"},
        {"Ham", "ham", "Bake for 20 minutes. Don't touch it for 1 hour.",
         "bake P 20 min; rest P 1 h"},
        {"Mousse", "cream", "Fold in the cream.|Fridge 5h min, overnight better.",
         "fold A; chill P 5-12 h"},
        {"Mousse", "cream", "Fold in the cream.|Chill for 4 hours and up to 3 days.",
         "fold A; chill P 4-72 h"},
        {"Bread", "dough",
         "Prove for 45 minutes. Half an hour before baking set the oven to 230C.|Bake for 15 "
         "minutes.",
         "prove P 45 min; bake P 15 min 230 C"},
        {"Bread", "dough", "Cool for 1 hour. Alternatively, let it rise overnight in the fridge.",
         "cool P 1 h"},
        {"Bread", "dough", "Time: about 5 hours.|Knead for 10 minutes.", "knead A 10 min"},
        {"Cake", "eggs",
         "Bake for 45 minutes at 180C; if the top colours too fast, lay a sheet of foil over it.",
         "bake P 45 min 180 C"},
        {"Cake", "sugar,lemons",
         "Bake for 45 minutes at 180C.|While the cake bakes, warm the sugar for 3 minutes.|As soon "
         "as the cake comes out, spoon the syrup over.",
         "bake P 45 min 180 C; warm A 3 min <; spoon A < bake! warm"},
        {"Tart", "custard", "Cool for 2 hours. NOT in the fridge, the pastry goes soggy.",
         "cool P 2 h"},
        {"Tart", "custard",
         "Bake for 20 minutes at 190C. Oven down to 130C.|40 mins, it should wobble.",
         "bake P 20 min 190 C; bake-2 P 40 min 130 C"},
        {"Pasta", "pasta", "Cook the pasta for 1 minute less than it says (9 minutes for mine).",
         "cook P 9 min"},
        {"Ragu", "beef", "Simmer for 1 hour, stirring whenever you pass.", "simmer P 1 h"},
        {"Ragu", "beef", "Simmer for 1 hour, stirring now and then until thick.", "simmer P 1 h"},
        {"Gravy", "flour,tin",
         "Roast at 220C for 30 minutes.|Put the tin over a medium heat, stir in the flour and cook "
         "for 2 minutes.",
         "roast P 30 min 220 C; put A; cook A 2 min"},
        {"Jam", "plums,sugar",
         "Simmer the plums for 30 minutes.|Warm the sugar in the oven alongside for 10 "
         "minutes.|Tip in the sugar and stir.",
         "simmer P 30 min; warm P 10 min <; tip A < simmer warm"},
        {"Case", "pastry", "Chill in the fridge for 20 minutes or in the freezer for 10.",
         "chill P 20 min"},
    };
    CHECK(examples);
}

/* How other people tell times and heat. */
static void test_as_others_tell_it(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Loaf", "flour",
         "Bake at 230C. After 15 minutes reduce to 200C and give it a further 25 minutes.",
         "bake P 15 min 230 C; bake-2 P 25 min 200 C < bake!15"},
        {"Pie", "beef", "Bake at gas 6 for 20 mins, then down to gas 4 & give it a further 25.",
         "bake P 20 min gas 6; bake-2 P 25 min gas 4 < bake!15"},
        {"Loaf", "flour", "Bake at gas 5 for 20 mins, then gas 4, 30 mins more.",
         "bake P 20 min gas 5; bake-2 P 30 min gas 4 < bake!15"},
        {"Pork", "pork,onions",
         "Roast the pork at 230C for 30 minutes. Turn the oven down to 160C, pour a glass of water "
         "round the onions and leave the pork in peace for two and a half hours.",
         "roast P 30 min 230 C; pour A < roast!; bake P 2 h 30 min 160 C < pour!"},
        {"Pie", "leeks",
         "Bake at 200C for 40 minutes. Give it ten minutes on the side before you dig in.",
         "bake P 40 min 200 C; rest P 10 min"},
        {"Focaccia", "flour", "Oven to 230C. Bake for 22 minutes. 15 minutes before you cut.",
         "bake P 22 min 230 C; rest P 15 min"},
        {"Knots", "flour",
         "Leave to rise for 1 hour. Turn the oven on to 210C for the last quarter of an hour. Bake "
         "for 14 minutes.",
         "rise P 1 h; bake P 14 min 210 C"},
        {"Gnocchi", "potatoes",
         "Boil the gnocchi in two batches, 2-3 minutes each, until they bob up.", "boil P 4-6 min"},
        {"Steak", "steak", "Fry the steaks in two batches, 3 minutes each side.", "fry A 6 min"},
        {"Lace", "butter,flour",
         "Bake for 8 minutes at 180C. If they go hard, put the sheet back in the oven for a few "
         "seconds. Leave to cool.",
         "bake P 8 min 180 C; cool P"},
        {"Puree", "celeriac", "Mash the celeriac. NB it holds in a bain marie for 2 h.", "mash A"},
        {"Pudding", "flour,berries,syrup",
         "Bake at 180C for 40 minutes. While it bakes, put the berries and syrup in a small pan "
         "over medium heat and cook for 6 minutes.",
         "bake P 40 min 180 C; cook A 6 min <"},
        {"Lamb", "mince,onion",
         "Heat the oven to 220C. Lay the aubergines on a tray and bake for 25 minutes. Brown the "
         "mince over a fierce heat for 8 minutes.",
         "lay A; bake P 25 min 220 C; brown A 8 min <"},
        {"Stew", "venison,wine,bacon",
         "I drained the venison and kept the wine. I fried the bacon in the casserole for 5 "
         "minutes, then browned the venison in that fat. It went into a slow oven, 150C, for two "
         "and a half hours.",
         "drain A; fry A 5 min <; brown A < drain fry; bake P 2 h 30 min 150 C"},
        {"Stew", "venison", "I baked one like this for my neighbour. I tried it twice.", ""},
        {"Pate", "livers,brandy",
         "Trim the livers and put them in the brandy. They sit for an hr in the fridge.",
         "trim A; sit P 1 h"},
        {"Snaps", "butter", "Bake for 7 minutes at 180C. They stand on the tray for 1 min.",
         "bake P 7 min 180 C; stand P 1 min"},
        {"Cake", "pecans,eggs",
         "Heat the oven to 180C. Toast the pecans in it for 8 minutes. Whisk the eggs.",
         "toast P 8 min 180 C; whisk A <"},
        {"Gnocchi", "squash,walnuts",
         "Roast the squash at 200C for 50 minutes. Toast the walnuts on the bottom rack for the "
         "last 7 minutes.",
         "roast P 50 min 200 C; toast P 7 min 200 C <"},
        {"Bread", "milk,butter", "Warm the milk with the butter. Allow to cool. Time: 10 minutes.",
         "warm A; cool P 10 min"},
        {"Stew", "beef,onions", "Put the beef in the steamer. Cook it. It wants 1 3/4 hrs.",
         "cook P 1 h 45 min"},
        {"Fritters", "eggs", "Fry the onions until soft. It's 10 minutes, whatever they tell you.",
         "fry A 10 min"},
        {"Jam", "plums", "Pot the jam. Label when cold. It wants a fortnight in the cupboard.",
         "pot A; label A; rest P 14 d"},
        {"Paste", "milk,eggs",
         "Boil the milk. Cool for 5 minutes (why? discuss with your partner). Beat in the eggs.",
         "boil A; cool P 5 min; beat A"},
        {"Duck", "duck legs", "Rub the legs with salt. Walk-in 12 hrs.", "rub A; chill P 12 h"},
        {"Dough", "flour",
         "Mix the flour. It stays in the fridge till morning, twelve hours or so.",
         "mix A; chill P 12 h"},
        {"Tart", "flour",
         "Line with paper and beans and bake blind at 190C for 15 minutes, then lift out the paper "
         "and beans and give it another 6 or 7 until the base feels dry.",
         "bake P 15 min 190 C; bake-2 P 6-7 min 190 C"},
        {"Tart", "flour,butter,milk,yolks",
         "Roll the pastry out and line a tin. Put it in the freezer for 15 minutes while you heat "
         "the oven to 190C.|Bake blind for 18 minutes, then take out the beans and give it another "
         "8 minutes. Turn the oven down to 150C.|Whisk the milk and yolks. Pour into the hot case "
         "and bake for 25 minutes.",
         "roll A; line A; freeze P 15 min; bake P 18 min 190 C; bake-2 P 8 min 190 C; whisk A <; "
         "pour A < bake-2! whisk; bake-3 P 25 min 150 C < pour!"},
        {"Roast", "pork,potatoes,flour,cider",
         "Roast the pork at 180C for 1 hour.|Boil the potatoes for 8 minutes. Tip them into a tin "
         "with the fat.|Lift the pork onto a board and leave it to rest for 30 minutes. Turn the "
         "oven up to 220C and let the potatoes go on for another 25 minutes.|While it rests, put "
         "the roasting tin over a medium flame, stir the flour into the fat, cook for 2 "
         "minutes.|Carve.",
         "roast P 1 h 180 C; boil P 8 min <; tip A; rest P 30 min < roast; bake P 25 min 220 C < "
         "tip; put A < roast; stir A; cook A 2 min; carve A < rest cook"},
        {"Pie", "chicken,butter,flour",
         "Poach the chicken for 1 hour. Lift the chicken out and let it cool for 30 minutes. "
         "Strain the stock, and simmer it for 10 minutes.",
         "poach P 1 h; cool P 30 min; strain A < poach; simmer P 10 min"},
        {"Sauce", "sugar,cream",
         "Boil the sugar for 8 minutes and pour in the cream. Can be made up to 3 days ahead; let "
         "it cool to room temperature, 1 hour.",
         "boil P 8 min; pour A < boil!; cool P 1 h"},
        {"Stew", "beef,flour,suet",
         "Put the beef into the oven at 150C. It stayed there for two and a half hours.|I took the "
         "lid off, turned the oven up to 190 and gave it 25 minutes.|For the dumplings I mixed 150 "
         "g flour with 75 g suet.",
         "bake P 2 h 30 min 150 C; bake-2 P 25 min 190 C < bake!15; mix A <"},
        {"Marmalade", "oranges,sugar",
         "Sugar in, stir over low till gone. Then hard boil 15-20.|Stand 15 so the peel doesn't "
         "float.",
         "stir A; boil P 15-20 min; stand P 15 min"},
        /* not back in the oven, though its tin was there */
        {"Roast", "pork,flour",
         "Roast the pork in a tin at 180C for 1 hour.|Put the roasting tin over a medium flame, "
         "stir the flour into the tin, cook for 2 minutes.",
         "roast P 1 h 180 C; put A; stir A; cook A 2 min"},
    };
    CHECK(examples);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_durations), cmocka_unit_test(test_sentences),
        cmocka_unit_test(test_what_is_no_act_here), cmocka_unit_test(test_as_others_tell_it)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
