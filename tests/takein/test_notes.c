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
}

static void test_headings(void **state)
{
    (void)state;
    check("Jelly|300 g berries|1 egg|Stir it.|For the custard|Whisk it.",
          "I 300 g berries|I 1 egg|S Stir it.|H For the custard|S Whisk it.");
    check("Jelly|300 g berries|1 egg|Stir it.||Custard|Whisk it.",
          "I 300 g berries|I 1 egg|S Stir it.|H Custard|S Whisk it.");
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
    /* notes that end where the thought ends */
    check("Truffles|1 egg|1 orange||choc in a bowl|cream + zest to the boil, pour over the choc at "
          "once, leave 2 min, stir|butter in|cool|roll",
          "I 1 egg|I 1 orange|S choc in a bowl|S cream + zest to the boil, pour over the choc at "
          "once, leave 2 min, stir|S butter in|S cool|S roll");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_what_is_no_ingredient),
                                       cmocka_unit_test(test_headings),
                                       cmocka_unit_test(test_broken_lines)};
    arena = bk_arena_new(NULL);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    bk_arena_free(arena);
    return failed;
}
