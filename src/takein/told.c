/* Ingredients that only the steps name: "fry 100 g breadcrumbs in 60 g butter". */
#include "takein/parts.h"

#include <string.h>

static bool is_measure(const bk_token *t)
{
    return bk_among(
        t,
        " g kg ml l cl dl oz lb lbs pint pints cup cups tbsp tsp tablespoon tablespoons teaspoon "
        "teaspoons handful pinch jar tin litre litres knob glass stick sticks spoonful spoon "
        "spoons pt ");
}

/* "Beat five yolks": what is counted, and not weighed. */
static bool is_counted(const bk_token *t)
{
    return bk_among(t, " egg eggs yolk yolks onion onions carrot carrots leek leeks apple apples "
                       "pear pears lemon lemons orange oranges potatoes tomatoes shallots ");
}

static bool ends_name(const bk_token *t)
{
    return t->kind != BK_TOKEN_WORD ||
           bk_among(t, " and in into until till with over on to for at from the then or a an till "
                       "by of about per "
                       "each more is are peeled sliced chopped melted beaten ");
}

static bool is_listed(const bk_taken_recipe *recipe, const char *word)
{
    char stem[24];
    bk_stem(word, stem, sizeof stem);
    for (size_t k = 0; k < recipe->ingredient_count; k++)
        if (strstr(recipe->ingredients[k], stem))
            return true;
    return false;
}

/* The token behind an ingredient with its amount that begins at `at`, or `at`. */
static size_t read_told(const bk_token *t, size_t at, size_t count)
{
    size_t i = at;
    if (t[i].kind != BK_TOKEN_NUMBER && !bk_among(&t[i], " a half "))
        return at;
    i++;
    i += i < count && bk_among(&t[i], " a big small large good ");
    if (i < count && is_counted(&t[i]) && t[at].kind == BK_TOKEN_NUMBER)
        return i + 1;
    if (i >= count || !is_measure(&t[i]))
        return at;
    i++;
    i += i < count && bk_is(&t[i], "of");
    size_t name = i;
    while (i < count && i < name + 3 && !ends_name(&t[i]))
        i++;
    return i > name ? i : at;
}

void bk_told_ingredients(bk_arena *arena, bk_taken_recipe *recipe)
{
    for (size_t s = 0; s < recipe->step_count; s++) {
        size_t count = 0;
        const char *text = recipe->steps[s].text;
        const bk_token *t = bk_tokens(arena, text, &count);
        for (size_t i = 0; i < count; i++) {
            size_t behind = read_told(t, i, count);
            if (behind > i && !is_listed(recipe, t[behind - 1].word) &&
                recipe->ingredient_count < BK_MOST_TAKEN_INGREDIENTS) {
                bk_ingredient_add(arena, recipe,
                                  bk_copy(arena, text + t[i].from, t[behind - 1].to - t[i].from),
                                  s);
            }
        }
    }
}
