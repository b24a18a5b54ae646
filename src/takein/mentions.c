/* Ingredients in the words of the stages. */
#include "takein/weave.h"

#include <string.h>

void bk_mask_set(bk_mask *m, size_t i)
{
    m->bits[i / 64] |= (uint64_t)1 << (i % 64);
}

bool bk_mask_has(const bk_mask *m, size_t i)
{
    return (m->bits[i / 64] >> (i % 64) & 1) != 0;
}

bool bk_mask_any(bk_mask m)
{
    return (m.bits[0] | m.bits[1]) != 0;
}

bk_mask bk_mask_and(bk_mask a, bk_mask b)
{
    return (bk_mask){{a.bits[0] & b.bits[0], a.bits[1] & b.bits[1]}};
}

bk_mask bk_mask_without(bk_mask a, bk_mask b)
{
    return (bk_mask){{a.bits[0] & ~b.bits[0], a.bits[1] & ~b.bits[1]}};
}

bk_mask bk_mask_or(bk_mask a, bk_mask b)
{
    return (bk_mask){{a.bits[0] | b.bits[0], a.bits[1] | b.bits[1]}};
}

static bool says_how_much(const bk_token *t)
{
    return t->kind != BK_TOKEN_WORD || strlen(t->word) < 2 ||
           bk_among(t, " g kg mg ml cl dl l litre litres liter oz lb lbs pound pounds cup cups "
                       "tbsp tsp tablespoon "
                       "tablespoons teaspoon teaspoons pint pints stick sticks handful pinch knob "
                       "leaf leaves sprig "
                       "sprigs bunch clove cloves slice slices tin tins can jar packet sachet "
                       "spoon spoonful glass "
                       "large small medium fresh freshly frozen dried ground good whole plus about "
                       "heaped level soft "
                       "cold warm hot ripe big little few some of the an cm inch piece pieces head "
                       "heads stalk "
                       "splash dash drop drops plenty extra fine finely chopped sliced grated "
                       "cooked raw best "
                       "unsalted softened melted ready thick thin more enough and or half spoons "
                       "cupful bag it them this that ");
}

static void read_ingredient(bk_arena *arena, const char *line, bk_food *into)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, line, &count);
    bool inside = false;
    into->count = 0;
    into->line = line;
    into->amount = count > 0 && t[0].kind == BK_TOKEN_NUMBER ? t[0].millionths : 0;
    for (size_t i = 0; i < count && into->count < WORDS_OF_INGREDIENT; i++) {
        inside = bk_is(&t[i], "(") || (inside && !bk_is(&t[i], ")"));
        if (into->count > 0 &&
            (bk_is(&t[i], ",") ||
             bk_among(&t[i], " for to plus at from cut in or if on with without ") ||
             (bk_is(&t[i], "-") && t[i].spaced)))
            break;
        if (!inside && !says_how_much(&t[i]))
            bk_stem(t[i].word, into->words[into->count++], sizeof into->words[0]);
    }
    /* "garlic cloves", "sage leaves": the name is all there is; "cloves" alone is a spice */
    for (size_t i = 0; into->count == 0 && i < count; i++)
        if (t[i].kind == BK_TOKEN_WORD && strlen(t[i].word) > 2 &&
            !bk_among(&t[i], " the of and tbsp tsp "))
            bk_stem(t[i].word, into->words[into->count++], sizeof into->words[0]);
}

static bool has_stem(const bk_food *one, size_t count, const char *stem)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(one->words[i], stem) == 0)
            return true;
    return false;
}

/* "crumbs" of "breadcrumbs", "currants" of "blackcurrants" */
static bool is_head(const char *head, const char *stem)
{
    enum { LEAST = 5 };
    size_t whole = strlen(head), n = strlen(stem);
    return strcmp(head, stem) == 0 ||
           (n >= LEAST && whole > n + 1 && strcmp(head + whole - n, stem) == 0 &&
            !bk_among(&(bk_token){.word = stem}, " flour sugar cream butter water stock "));
}

/* "the 60 g of sugar": the one ingredient with this head that is listed with this amount. */
static size_t of_amount(const bk_food *all, size_t count, const char *stem, int64_t amount)
{
    size_t found = SIZE_MAX;
    for (size_t i = 0; i < count && amount > 0; i++) {
        if (all[i].count == 0 || !is_head(all[i].words[all[i].count - 1], stem) ||
            all[i].amount != amount)
            continue;
        if (found != SIZE_MAX)
            return SIZE_MAX;
        found = i;
    }
    return found;
}

/* The number that stands a few words before a token, in millionths; or 0. */
static int64_t amount_before(const bk_taken_stage *stage, size_t from, size_t at)
{
    enum { FAR = 5 };
    const bk_token *t = stage->tokens;
    for (size_t back = 1; back <= FAR && at >= from + back; back++) {
        const bk_token *before = &t[at - back];
        if (before->kind == BK_TOKEN_NUMBER)
            return before->millionths;
        if (before->kind != BK_TOKEN_WORD || bk_among(before, " and with into in on over to the "))
            return 0;
    }
    return 0;
}

/* Of several ingredients with this head ("caster sugar", "icing sugar") the one whose other
 * word stands before it; else, where it is spoken of as known ("the mushroom mixture"), one
 * that was used; else the first that is not used yet. */
static size_t which(const bk_food *all, size_t count, const char *stem, const char *before,
                    const char *before_that, int64_t amount, const bk_mask *used)
{
    size_t first = SIZE_MAX, fresh = SIZE_MAX, known = SIZE_MAX, latest = SIZE_MAX;
    size_t measured = of_amount(all, count, stem, amount);
    if (measured != SIZE_MAX)
        return measured;
    for (size_t i = 0; i < count; i++) {
        size_t words = all[i].count;
        if (words == 0 || !is_head(all[i].words[words - 1], stem))
            continue;
        if (words > 1 &&
            (has_stem(&all[i], words - 1, before) || has_stem(&all[i], words - 1, before_that)))
            return i;
        if (strlen(before) > 3 && strstr(all[i].line, before))
            return i; /* "dried mushrooms", "soft butter" */
        first = first == SIZE_MAX ? i : first;
        fresh = fresh == SIZE_MAX && !bk_mask_has(used, i) ? i : fresh;
        known = bk_mask_has(used, i) ? i : known;
        if (bk_mask_has(used, i) && (latest == SIZE_MAX || all[i].used_at >= all[latest].used_at))
            latest = i;
    }
    bool hot = strcmp(before, "hot") == 0 || strcmp(before, "warm") == 0 ||
               strcmp(before, "cooled") == 0 || strcmp(before, "infused") == 0;
    if (hot && latest != SIZE_MAX)
        return latest; /* "pour on the hot milk": what was heated last */
    bool bare = strcmp(before, "the") == 0 || strcmp(before, "and") == 0;
    if (bare && known != SIZE_MAX && !all[known].staple)
        return known;
    return fresh != SIZE_MAX ? fresh : first;
}

/* "While the cake bakes, make ...": where the words of the stage itself begin. */
static size_t own_words(const bk_taken_stage *stage)
{
    const bk_act *act = &stage->act;
    const bk_token *t = stage->tokens;
    if (!bk_among(&t[act->from], " while whilst when as after before once until in during about "
                                 "shortly just half ") ||
        act->verb_at <= act->from)
        return act->from;
    for (size_t i = act->from; i < act->verb_at; i++)
        if (bk_among(&t[i], " , : "))
            return i + 1;
    return bk_among(&t[act->from], " while whilst ") ? act->verb_at : act->from;
}

/* "... while the cake bakes": where the words of the stage itself end. */
static size_t own_end(const bk_taken_stage *stage, size_t from)
{
    const bk_token *t = stage->tokens;
    for (size_t i = from + 1; i + 1 < stage->act.end; i++)
        if ((bk_among(&t[i], " while whilst ") && bk_among(&t[i + 1], " the it they you that ")) ||
            (bk_is(&t[i], "so") && bk_among(&t[i + 1], " that the it they ")) ||
            (bk_is(&t[i], "or") && bk_among(&t[i + 1], " it they it'll they'll you'll ")) ||
            bk_among(&t[i], " because otherwise "))
            return i;
    return stage->act.end;
}

/* "walnut oil", where walnuts are listed, too; "ice cream": the word says only of which kind. */
static bool is_of_a_compound(const bk_taken_stage *stage, const bk_food *all, size_t count,
                             size_t found, size_t at)
{
    const bk_token *t = stage->tokens;
    char stem[24], next[24];
    if (at > stage->act.from && bk_is(&t[at - 1], "ice") && bk_is(&t[at], "cream"))
        return true;
    if (at + 1 >= stage->act.end || t[at + 1].kind != BK_TOKEN_WORD)
        return false;
    bk_stem(t[at].word, stem, sizeof stem);
    bk_stem(t[at + 1].word, next, sizeof next);
    for (size_t k = 0; k < count; k++)
        if (k != found && all[k].count > 1 && strcmp(all[k].words[all[k].count - 1], next) == 0 &&
            has_stem(&all[k], all[k].count - 1, stem))
            return true;
    return false;
}

/* "the rest of the butter": no word on what was made of it before. */
static bool is_the_rest(const bk_token *t, size_t from, size_t at)
{
    for (size_t back = 1; back <= 4 && at >= from + back; back++) {
        if (bk_among(&t[at - back],
                     " rest remaining half other more second third remainder extra "))
            return true;
        if (t[at - back].kind != BK_TOKEN_WORD || bk_among(&t[at - back], " and with into "))
            return false;
    }
    return false;
}

/* "the melted butter"; "strain milk on", where notes leave the article out. */
static bool is_spoken_of_as_made(const bk_taken_stage *stage, size_t from, size_t at)
{
    const bk_token *t = stage->tokens;
    bool behind_verb =
        at == stage->act.verb_at + 1 ||
        (at == stage->act.verb_at + 2 && bk_among(&t[at - 1], " hot warm boiling cold ")) ||
        (at == stage->act.verb_at + 3 && bk_among(&t[at - 2], " in on over ") &&
         bk_is(&t[at - 1], "the"));
    if (bk_is(&t[at], "water"))
        return false; /* it comes from the tap each time */
    if (at + 1 < stage->act.end && bk_among(&t[at + 1], " juice zest rind "))
        return false; /* "the lemon juice", of which the zest went elsewhere */
    if (behind_verb && (stage->act.group == BK_STRAIN || stage->act.group == BK_POUR))
        return true;
    if (bk_among(&t[at], " egg eggs ") &&
        !bk_among(&t[at - (at > from)], " beaten whisked poached boiled separated scrambled "))
        return false; /* "beat in the eggs": those in their shells */
    if (at + 1 < stage->act.end && bk_among(&t[at + 1], " white whites yolk yolks "))
        return false; /* the eggs have been parted */
    for (size_t back = 1; back <= 4 && at >= from + back; back++) {
        const bk_token *before = &t[at - back];
        if (before->kind != BK_TOKEN_WORD || bk_among(before, " and with of into in on over to "))
            return false;
        if (bk_among(before, " the whipped melted cooled beaten browned soaked drained reserved "
                             "toasted this infused strained stiff "))
            return true;
    }
    return false;
}

static bk_mentions mentioned(const bk_taken_stage *stage, const bk_food *all, size_t count,
                             const bk_mask *used)
{
    bk_mentions m = {.first = SIZE_MAX, .first_at = SIZE_MAX};
    m.from = own_words(stage);
    m.end = own_end(stage, m.from);
    char stem[24], before[24] = "", before_that[24] = "";
    bool clause = false, except = false;
    for (size_t i = m.from; i < m.end; i++) {
        const bk_token *t = &stage->tokens[i];
        if (t->kind != BK_TOKEN_WORD) {
            before[0] = '\0';
            except = false;
            continue;
        }
        bk_stem(t->word, stem, sizeof stem);
        size_t found =
            which(all, count, stem, before, before_that, amount_before(stage, m.from, i), used);
        bool but =
            bk_is(t, "but") && i > m.from && bk_among(&stage->tokens[i - 1], " all everything ");
        except = except ? !bk_among(t, " in with for to into ") : but || bk_is(t, "except");
        clause |= bk_among(t, " until till ");
        if (except)
            found = SIZE_MAX; /* "everything except the butter" */
        if (found != SIZE_MAX && is_of_a_compound(stage, all, count, found, i))
            found = SIZE_MAX;
        if (clause && found != SIZE_MAX && strcmp(before, "the") == 0 && !bk_mask_has(used, found))
            found = SIZE_MAX; /* "until the paste drops from the spoon" */
        bool verb =
            found != SIZE_MAX && (i == m.from || i == stage->act.verb_at) && bk_verb_find(t->word);
        if (found != SIZE_MAX && !verb) {
            bk_mask_set(&m.all, found);
            bool as = i > m.from + 1 && bk_is(&stage->tokens[i - 1], "the") &&
                      bk_among(&stage->tokens[i - 2], " as above below beside alongside "
                                                      "underneath "); /* "as small as the peas" */
            bool half = !all[found].staple && i > m.from && bk_mask_has(used, found) &&
                        (bk_is(&stage->tokens[i - 1], "half") ||
                         (i > m.from + 1 && bk_is(&stage->tokens[i - 2], "half")));
            if (!as && (half || !is_the_rest(stage->tokens, m.from, i)) &&
                (!all[found].staple || is_spoken_of_as_made(stage, m.from, i)))
                bk_mask_set(&m.strong, found);
            if (m.first == SIZE_MAX) {
                m.first = found;
                m.first_at = i;
            }
        }
        memcpy(before_that, before, sizeof before);
        memcpy(before, stem, sizeof before);
    }
    return m;
}

/* One that no stage names by its head, by another of its words. */
static void find_by_other_words(bk_taken *taken, const bk_food *all, bk_mentions *found_in)
{
    char stem[24];
    for (size_t k = 0; k < taken->recipe->ingredient_count; k++) {
        bool found = all[k].count < 2;
        for (size_t i = 0; i < taken->count && !found; i++)
            found = bk_mask_has(&found_in[i].all, k);
        for (size_t i = 0; i < taken->count && !found; i++) {
            const bk_act *act = &taken->stages[i].act;
            for (size_t j = act->from; j < act->end && !found; j++) {
                bk_stem(taken->stages[i].tokens[j].word, stem, sizeof stem);
                if (strlen(stem) > 3 && has_stem(&all[k], all[k].count - 1, stem)) {
                    bk_mask_set(&found_in[i].all, k);
                    found = true;
                }
            }
        }
    }
}

/* "Dough: 250 g flour, 2 tbsp oil. Knead it ...": told before a step whose words don't name it. */
static void find_by_step(bk_taken *taken, bk_mentions *found_in)
{
    for (size_t k = 0; k < taken->recipe->ingredient_count; k++) {
        size_t step = taken->recipe->ingredient_step[k], first = SIZE_MAX;
        bool found = step == SIZE_MAX;
        for (size_t i = taken->count; i-- > 0;) {
            found |= bk_mask_has(&found_in[i].all, k);
            first = taken->stages[i].step >= step ? i : first;
        }
        if (!found && first != SIZE_MAX)
            bk_mask_set(&found_in[first].all, k);
    }
}

static bool is_staple(const bk_food *one)
{
    return one->count > 0 && bk_among(&(bk_token){.word = one->words[one->count - 1]},
                                      " sugar butter milk water salt flour oil egg cream pepper "
                                      "stock lemon vanilla wine honey cinnamon yolk ");
}

bk_mentions *bk_mentions_find(bk_taken *taken, bk_food *all)
{
    size_t count = taken->recipe->ingredient_count;
    bk_mentions *found = BK_NEW(taken->arena, bk_mentions, taken->count);
    bk_mask used = {{0, 0}};
    for (size_t k = 0; k < count; k++) {
        read_ingredient(taken->arena, taken->recipe->ingredients[k], &all[k]);
        all[k].staple = is_staple(&all[k]);
        all[k].makes = bk_products_of_food(&all[k]);
    }
    for (size_t i = 0; i < taken->count; i++) {
        found[i] = mentioned(&taken->stages[i], all, count, &used);
        used = bk_mask_or(used, found[i].all);
        for (size_t k = 0; k < count; k++)
            if (bk_mask_has(&found[i].all, k))
                all[k].used_at = i;
    }
    find_by_other_words(taken, all, found);
    find_by_step(taken, found);
    for (size_t k = 0; k < count; k++) {
        taken->ingredient_stage[k] = SIZE_MAX;
        for (size_t i = taken->count; i-- > 0;)
            if (bk_mask_has(&found[i].all, k))
                taken->ingredient_stage[k] = i;
    }
    return found;
}

bool bk_names_ingredient(const bk_taken *taken, const bk_food *all, const bk_token *token,
                         bk_mask which_ones)
{
    char stem[24];
    bk_stem(token->word, stem, sizeof stem);
    for (size_t k = 0; k < taken->recipe->ingredient_count && stem[0] != '\0'; k++)
        if (bk_mask_has(&which_ones, k) &&
            (has_stem(&all[k], all[k].count, stem) ||
             (all[k].count > 0 && is_head(all[k].words[all[k].count - 1], stem))))
            return true;
    return false;
}

bool bk_names_food_by_head(const bk_taken *taken, const bk_food *all, const bk_token *token,
                           bk_mask which_ones)
{
    char stem[24];
    bk_stem(token->word, stem, sizeof stem);
    for (size_t k = 0; k < taken->recipe->ingredient_count; k++)
        if (bk_mask_has(&which_ones, k) && !all[k].staple && all[k].count > 0 &&
            strcmp(all[k].words[all[k].count - 1], stem) == 0)
            return true;
    return false;
}
