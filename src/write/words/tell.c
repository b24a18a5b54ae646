#include "write/words/tell.h"

#include <string.h>

enum { LEAST_LETTERS = 4, MOST_DISHES = 30 };

static bool is_letter(unsigned char c)
{
    return c >= 0x80 || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static int lower(char c)
{
    return c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c;
}

/* The next word at or after *at: its beginning, with its length; NULL at the end. */
static const char *next_word(const char **at, size_t *length)
{
    const char *from = *at;
    while (*from && !is_letter((unsigned char)*from))
        from++;
    for (*length = 0; is_letter((unsigned char)from[*length]); ++*length)
        ;
    *at = from + *length;
    return *length > 0 ? from : NULL;
}

static bool same_word(const char *a, size_t a_length, const char *b, size_t b_length)
{
    if (a_length > b_length)
        return same_word(b, b_length, a, a_length);
    for (size_t i = 0; i < a_length; i++)
        if (lower(a[i]) != lower(b[i]))
            return false;
    const char *rest = b + a_length;
    size_t more = b_length - a_length;
    return more == 0 || (more == 1 && lower(rest[0]) == 's') ||
           (more == 2 && lower(rest[0]) == 'e' && lower(rest[1]) == 's');
}

static bool has_word(const char *text, const char *word, size_t length)
{
    const char *at = text ? text : "", *other;
    size_t other_length;
    while ((other = next_word(&at, &other_length)) != NULL)
        if (same_word(word, length, other, other_length))
            return true;
    return false;
}

static bool others_have(const bk_plan *plan, size_t dish, const char *word, size_t length)
{
    for (size_t d = 0; d < plan->dish_count; d++) {
        if (d == dish)
            continue;
        if (has_word(plan->dishes[d].name, word, length))
            return true;
        for (size_t i = 0; i < plan->dishes[d].ingredient_count; i++)
            if (has_word(plan->dishes[d].ingredients[i].item, word, length))
                return true;
    }
    for (size_t s = 0; s < plan->stage_count; s++)
        if (plan->stages[s].dish != dish && has_word(plan->stages[s].text, word, length))
            return true;
    return false;
}

bk_telling bk_telling_of(bk_arena *arena, const bk_plan *plan)
{
    bk_telling telling = {0};
    for (size_t d = 0; d < plan->dish_count && plan->dish_count <= MOST_DISHES; d++) {
        const char *at = plan->dishes[d].name, *word;
        size_t length;
        while ((word = next_word(&at, &length)) != NULL)
            if (length >= LEAST_LETTERS && !others_have(plan, d, word, length))
                *BK_PUSH(arena, telling.items, telling.count, telling.room) =
                    (bk_telling_word){word, length, d};
    }
    return telling;
}

bool bk_tells_dish(const bk_telling *telling, size_t dish, const char *text)
{
    for (size_t i = 0; i < telling->count; i++)
        if (telling->items[i].dish == dish &&
            has_word(text, telling->items[i].word, telling->items[i].length))
            return true;
    return false;
}
