/* From the words of the steps to stages and what comes after what. What each sentence means to
 * a cook is English and common practice, no source. Of each stage is written: its id; "P" where
 * it goes on by itself, "A" where it takes hands; its time and oven where the words give them;
 * "<" and what it comes after, "!" where at once, unless that is the stage above. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "takein/parts.h"

static bk_arena *arena;

/* What the stages come to of `steps` (parted by "|"; "#Sauce" is a heading) with `ingredients`
 * (parted by ",") in a recipe of this name. */
static const char *taken_in(const char *title, const char *ingredients, const char *steps)
{
    bk_taken_recipe recipe = {.title = title};
    char *list = bk_copy_string(arena, ingredients), *words = bk_copy_string(arena, steps);
    const char *heading = NULL;
    for (char *at = list, *comma; at && *at != '\0'; at = comma) {
        comma = strchr(at, ',');
        if (comma)
            *comma++ = '\0';
        bk_ingredient_add(arena, &recipe, at, SIZE_MAX);
    }
    for (char *at = words, *bar; at; at = bar) {
        bar = strchr(at, '|');
        if (bar)
            *bar++ = '\0';
        if (*at == '#')
            heading = at + 1;
        else
            *BK_PUSH(arena, recipe.steps, recipe.step_count, recipe.step_room) =
                (bk_step){at, heading};
    }
    bk_taken taken = {.arena = arena, .recipe = &recipe};
    bk_stages_find(&taken);
    bk_threads_tie(&taken);
    bk_text out = bk_text_new(arena);
    for (size_t i = 0; i < taken.count; i++) {
        const bk_taken_stage *stage = &taken.stages[i];
        bk_text_addf(&out, "%s%s %c", i > 0 ? "; " : "", stage->id, stage->act.passive ? 'P' : 'A');
        if (stage->act.spell.found)
            bk_text_addf(&out, " %s", bk_spell_words(arena, &stage->act.spell));
        if (stage->oven && !stage->oven_in_words)
            bk_text_addf(&out, " %s", stage->oven);
        bool above = stage->after_count == 1 && stage->after[0] + 1 == i;
        if (i > 0 && (!above || stage->within[0]))
            bk_text_add(&out, " <");
        for (size_t a = 0; a < stage->after_count && (!above || stage->within[0]); a++)
            bk_text_addf(&out, " %s%s", taken.stages[stage->after[a]].id,
                         stage->within[a] ? "!" : "");
    }
    return out.data;
}

typedef struct example {
    const char *title, *ingredients, *steps, *stages;
} example;

static void check_examples(const example *examples, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const example *e = &examples[i];
        const char *stages = taken_in(e->title, e->ingredients, e->steps);
        if (strcmp(stages, e->stages) != 0)
            fail_msg("\"%s\" is\n  %s, not\n  %s", e->steps, stages, e->stages);
    }
}
#define CHECK(examples) check_examples(examples, sizeof(examples) / sizeof *(examples))

static void test_notes_without_verbs(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Cake", "flour,eggs", "Mark 3, 50 mins.", "bake P 50 min gas 3"},
        {"Cake", "flour,eggs", "Oven 200 (180 fan).|Into the tin. 25 mins.", "bake P 25 min 200 C"},
        {"Roast", "venison", "220°, 20 min; then 160°, about 1 hr - 55° inside.",
         "bake P 20 min 220 C; bake-2 P 1 h 160 C < bake!"},
        {"Duck", "duck breasts,shallot,wine",
         "Shallot in the duck fat 3 min, wine in, bubble 5 min.",
         "fry A 3 min; add A; bubble A 5 min"},
        {"Onions", "shallots,salt", "Shallots peeled, salt over, o/n.", "peel A; rest P 8-12 h"},
        {"Soup", "leeks", "Soften 10, covered.", "soften A 10 min"},
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
        /* turned down: two bakings, the second at once */
        {"Pork", "pork",
         "Heat the oven to 240C. Roast for 30 minutes, then turn down to 180C and "
         "roast for 1 hour.",
         "roast P 30 min 240 C; roast-2 P 1 h 180 C < roast!"},
        {"Pork", "pork", "Roast 20 minutes at 220C and a further hour at 180C.",
         "roast P 20 min 220 C; roast-2 P 1 h 180 C < roast!"},
        {"Pork", "pork",
         "Roast at 200C for 1 hour. Turn the oven up to 230C for the last 10 minutes.",
         "roast P 1 h 200 C; bake P 10 min 230 C < roast!"},
        /* of the food, not of the oven */
        {"Loaf", "dough",
         "Preheat oven to 375°F.|Bake for 35 minutes, or until the internal "
         "temperature is 195°F.",
         "bake P 35 min 375 F"},
        {"Ribs", "ribs", "Brown the ribs in a large Dutch oven.", "brown A"},
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
         "rub A; chill P 1 h; toast A <; roll A < chill; spread A < roll toast"},
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

static void test_at_once(void **state)
{
    (void)state;
    static const example examples[] = {
        {"Meringue", "egg whites,sugar",
         "Whisk the egg whites until stiff.|Fold in the sugar.|Spoon onto a tray.",
         "whisk A; fold A < whisk!; spoon A < fold!"},
        {"Flan", "sugar,cream", "Melt the sugar until amber.|Pour in the cream.",
         "melt A; pour A < melt!"},
        {"Custard", "milk,yolks", "Bring the milk to the boil.|Pour it onto the yolks.",
         "bring A; pour A < bring!"},
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
                                       cmocka_unit_test(test_heat), cmocka_unit_test(test_threads),
                                       cmocka_unit_test(test_at_once)};
    arena = bk_arena_new(NULL);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    bk_arena_free(arena);
    return failed;
}
