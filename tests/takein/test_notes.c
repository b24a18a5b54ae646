/* The lines of notes and mails: which are ingredients, which steps, which headings, and which are
 * one line that something broke. How people write is English and habit, no source. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "takein/parts.h"

static bk_arena *arena;

/* What the lines (parted by "|") come to: "I" ingredient, "H" heading of the step behind it,
 * "S" step; parted by "|". */
static const char *sorted(const char *text)
{
    char *lines[64], *words = bk_copy_string(arena, text);
    size_t count = 0;
    for (char *at = words, *bar; at && count < 64; at = bar) {
        bar = strchr(at, '|');
        if (bar)
            *bar++ = '\0';
        lines[count++] = at;
    }
    bk_taken_recipe recipe = {0};
    bk_notes_read(arena, lines, count, &recipe);
    bk_text out = bk_text_new(arena);
    for (size_t i = 0; i < recipe.ingredient_count; i++)
        bk_text_addf(&out, "%sI %s", out.length > 0 ? "|" : "", recipe.ingredients[i]);
    const char *heading = NULL;
    for (size_t i = 0; i < recipe.step_count; i++) {
        const char *now = recipe.steps[i].heading;
        if (now && (!heading || strcmp(now, heading) != 0))
            bk_text_addf(&out, "%sH %s", out.length > 0 ? "|" : "", now);
        heading = now;
        bk_text_addf(&out, "%sS %s", out.length > 0 ? "|" : "", recipe.steps[i].text);
    }
    return out.data;
}

static void check(const char *text, const char *expected)
{
    const char *found = sorted(text);
    if (strcmp(found, expected) != 0)
        fail_msg("\"%s\" is\n  %s, not\n  %s", text, found, expected);
}

static void test_what_is_no_ingredient(void **state)
{
    (void)state;
    check("Hotpot|2lb lamb|1 pt stock|Oven 200 (180 fan)|Bake.",
          "I 2lb lamb|I 1 pt stock|S Oven 200 (180 fan)|S Bake.");
    check("Cake|200 g flour|2 eggs|180C 25 mins", "I 200 g flour|I 2 eggs|S 180C 25 mins");
    check("Pie|500 g spuds|1 egg|Layer it.|rest 10", "I 500 g spuds|I 1 egg|S Layer it.|S rest 10");
    check("Ice|4 yolks|1 l milk|Freeze it.|15 min out of the freezer",
          "I 4 yolks|I 1 l milk|S Freeze it.|S 15 min out of the freezer");
    check("Tart|200 g flour|1 egg|pastry: rub in, rest 30",
          "I 200 g flour|I 1 egg|S pastry: rub in, rest 30");
    check("Truffles|200 g choc|cocoa||choc chopped in a bowl",
          "I 200 g choc|I cocoa|S choc chopped in a bowl");
    /* lines that are numbered, though no sign says so; amounts are not counted on */
    check(
        "Crumpets|225 g flour / 7 g yeast||1 flour, yeast: beat hard|2 cover, leave 1 hr|3 bicarb, "
        "beat in|4 heat the rings",
        "I 225 g flour|I 7 g yeast|S flour, yeast: beat hard|S cover, leave 1 hr|S bicarb, beat "
        "in|S heat the rings");
    check(
        "Tart|225 g flour / 7 g salt||1 the flour and the salt well mixed, then water|2 a rest of "
        "half an hour, covered, on the side|3 out of the bowl and into the tin with it, 20 min",
        "I 225 g flour|I 7 g salt|S the flour and the salt well mixed, then water|S a rest of half "
        "an hour, covered, on the side|S out of the bowl and into the tin with it, 20 min");
    check("Broth|1 onion|2 carrots|3 leeks|Boil them.",
          "I 1 onion|I 2 carrots|I 3 leeks|S Boil them.");
    check("Pork|2 kg pork|1 onion|0930 Pork in, 230C 30 min.|9.30 am: Baste it.",
          "I 2 kg pork|I 1 onion|S 0930 Pork in, 230C 30 min.|S 9.30 am: Baste it.");
    /* A comma alone was read beyond its end: AddressSanitizer sees it. */
    check("Stew|,|500 g beef|1 onion|Stir it.", "I 500 g beef|I 1 onion|S Stir it.");
}

static void test_headings(void **state)
{
    (void)state;
    check("Buns|200 g flour|1 egg|Bake it.||ICING (while the buns cool)|Stir the sugar.",
          "I 200 g flour|I 1 egg|S Bake it.|H ICING (while the buns cool)|S Stir the sugar.");
    check("Jelly|300 g berries|1 egg|Stir it.|For the custard|Whisk it.",
          "I 300 g berries|I 1 egg|S Stir it.|H For the custard|S Whisk it.");
    check("Jelly|300 g berries|1 egg|Stir it.||Custard|Whisk it.",
          "I 300 g berries|I 1 egg|S Stir it.|H Custard|S Whisk it.");
    /* a page called so, and no notes behind the recipe */
    check("Notes from a narrow kitchen|300 g berries|1 egg|Stir it.",
          "I 300 g berries|I 1 egg|S Stir it.");
}

static void test_lists_in_lines(void **state)
{
    (void)state;
    /* the rest of the line stays */
    check(
        "Cabbage|While it stands make the vinegar. You want 1 litre of vinegar, 100 g sugar and a "
        "stick of cinnamon. Heat them together.",
        "I 1 litre of vinegar|I 100 g sugar|I a stick of cinnamon|S While it stands make the "
        "vinegar. Heat them together.");
    check("Pie|For six: 1 kg of fish, 120 g butter, 60 g flour.|Flake it.",
          "I 1 kg of fish|I 120 g butter|I 60 g flour|S Flake it.");
    check("Pudding|1 lb plums; 6 oz sugar; 1 pint milk|Stew them.",
          "I 1 lb plums|I 6 oz sugar|I 1 pint milk|S Stew them.");
    /* no list: it tells to do something, or how long and how hot */
    check("Loaf|200 g flour|1 egg|Mix it.|Add 350 g flour, 200 ml water and 1 egg, and mix 5 mins.",
          "I 200 g flour|I 1 egg|S Mix it.|S Add 350 g flour, 200 ml water and 1 egg, and mix 5 "
          "mins.");
    check(
        "Pie|200 g flour|1 egg|Fill it.|When you want it: 200 C, or 180 in a fan, for 35 minutes.",
        "I 200 g flour|I 1 egg|S Fill it.|S When you want it: 200 C, or 180 in a fan, for 35 "
        "minutes.");
}

static void test_measures(void **state)
{
    (void)state;
    check("Ice|Ingredients: 4 oz. crumbs, 3 oz. sugar, 1 pint cream. Mix the crumbs.|Freeze it.",
          "I 4 oz. crumbs|I 3 oz. sugar|I 1 pint cream|S Mix the crumbs.|S Freeze it.");
    check("Pudding|6 oz / 175g soft butter|3 eggs||Cream the butter.",
          "I 6 oz / 175g soft butter|I 3 eggs|S Cream the butter.");
    check("Hash|2 apples / 1 onion||Fry.", "I 2 apples|I 1 onion|S Fry.");
}

static void test_numbers_without_a_sign(void **state)
{
    (void)state;
    check("Roulade|5 eggs|100 g sugar||1 Whisk the eggs until they are stiff.|2 Chill for an hour.",
          "I 5 eggs|I 100 g sugar|S Whisk the eggs until they are stiff.|S Chill for an hour.");
}

static void test_broken_lines(void **state)
{
    (void)state;
    /* a mailer's right edge */
    check(
        "Soup|1 leek|1 onion||Soften the leek and the onion in the butter over a low heat for ten|"
        "minutes, then add the stock and simmer the lot until all of it is soft|and blend.",
        "I 1 leek|I 1 onion|S Soften the leek and the onion in the butter over a low heat for ten "
        "minutes, then add the stock and simmer the lot until all of it is soft and blend.");
    /* a time that the right edge broke off is no number of a step */
    check("Loaf|700 g flour|14 g salt||1. Rub the butter into the flour and salt. Cover it and let "
          "it rest|"
          "20 minutes; the kneading will be easier.|2. Knead.",
          "I 700 g flour|I 14 g salt|S Rub the butter into the flour and salt. Cover it and let it "
          "rest 20 "
          "minutes; the kneading will be easier.|S Knead.");
    /* notes that end where the thought ends */
    check("Truffles|1 egg|1 orange||choc in a bowl|cream + zest to the boil, pour over the choc at "
          "once, leave 2 min, stir|butter in|cool|roll",
          "I 1 egg|I 1 orange|S choc in a bowl|S cream + zest to the boil, pour over the choc at "
          "once, leave 2 min, stir|S butter in|S cool|S roll");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_is_no_ingredient),  cmocka_unit_test(test_headings),
        cmocka_unit_test(test_lists_in_lines),         cmocka_unit_test(test_measures),
        cmocka_unit_test(test_numbers_without_a_sign), cmocka_unit_test(test_broken_lines)};
    arena = bk_arena_new(NULL);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    bk_arena_free(arena);
    return failed;
}
