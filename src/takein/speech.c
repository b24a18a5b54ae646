/* What a stage says of the threads: which it speaks of, whether it joins one, whether it begins
 * one. */
#include "takein/speech.h"
#include "takein/reading.h"

#include <string.h>
#include <strings.h>

bool bk_is_vessel(const bk_token *t)
{
    return bk_among(
        t, " bowl pan saucepan pot mixer oven fridge freezer tin tins dish processor blender heat "
           "hob jug "
           "basin tray sheet moulds ramekins top base sides same frying large small clean roasting "
           "baking back middle centre cold jar jars glasses water boil room side other "
           "dark warm bottom rest lid wire surface board rack plate "
           "casserole wok table springform ramekin terrine kettle colander sieve whisk fork spoon "
           "knife "
           "hands "
           "paddle hook peeler grater blender ");
}

static bool has_stem_of(const char *const *stems, size_t count, const char *word)
{
    char stem[24];
    bk_stem(word, stem, sizeof stem);
    for (size_t n = 0; n < count; n++)
        if (strcmp(stems[n], stem) == 0)
            return true;
    return false;
}

bool bk_is_called(const bk_thread *one, const char *word)
{
    return has_stem_of(one->names, one->name_count, word);
}

/* ------------------------------------------------------------- what is spoken of */

/* "make a syrup", "for the icing", "to a soft dough": what comes about here. */
static bool comes_about(const bk_token *t, size_t from, size_t at)
{
    for (size_t back = 1; back <= 4 && at >= from + back; back++) {
        const bk_token *before = &t[at - back];
        if (bk_among(before, " little few each of "))
            return false; /* "a quarter of the pastry" */
        if (bk_among(before, " make making prepare a an "))
            return true;
        if (bk_is(before, "for") && !(back == 1))
            return true;
        if (before->kind != BK_TOKEN_WORD || bk_among(before, " in into over with on onto and "))
            return false;
    }
    return false;
}

bool bk_has_spoken_of(const bk_thread *one, const char *word)
{
    return has_stem_of(one->told, one->told_count, word);
}

/* The thread that a noun speaks of: the one so called, else one that may have made such a thing,
 * rather one that has spoken of it, rather the latest; SIZE_MAX: none. */
static size_t thread_of_word(const bk_weave *w, const char *word)
{
    bk_products kind = bk_product_of_word(word);
    size_t best = SIZE_MAX;
    int best_rank = 0;
    for (size_t k = 0; k < w->count; k++) {
        const bk_thread *one = &w->threads[k];
        bool may_be = (one->may_be & kind) != 0;
        int rank = bk_is_called(one, word)                 ? 4
                   : (one->is & kind) != 0                 ? 3
                   : may_be && bk_has_spoken_of(one, word) ? 2
                                                           : may_be;
        if (!one->open || one->last == SIZE_MAX || rank == 0)
            continue;
        if (rank > best_rank || (rank == best_rank && one->last > w->threads[best].last)) {
            best = k;
            best_rank = rank;
        }
    }
    return best;
}

/* "the herring", of "8 herring fillets": where no other ingredient has that word; SIZE_MAX: none.
 */
static size_t thread_of_other_word(const bk_weave *w, const bk_token *t)
{
    enum { SHORTEST = 4 };
    size_t found = SIZE_MAX;
    char stem[24];
    bk_stem(t->word, stem, sizeof stem);
    for (size_t k = 0; k < w->taken->recipe->ingredient_count && strlen(stem) >= SHORTEST; k++) {
        bool has = false;
        for (size_t n = 0; n < w->all[k].count; n++)
            has |= strcmp(w->all[k].words[n], stem) == 0;
        if (has && found != SIZE_MAX)
            return SIZE_MAX;
        found = has ? k : found;
    }
    bool used = found != SIZE_MAX && bk_mask_has(&w->used, found) && !w->all[found].staple;
    return used ? bk_thread_of_food(w, found) : SIZE_MAX;
}

/* "the meat", "the bird", "the fish": the thread that such a thing went into last; SIZE_MAX: none.
 */
static size_t thread_of_class(const bk_weave *w, const char *word)
{
    static const char *const classes[][2] = {
        {" meat ",
         " chicken lamb beef pork veal duck turkey goose venison shin cheek thigh shoulder "
         "rabbit ham gammon pheasant oxtail neck shank leg brisket belly hock mutton rib "},
        {" bird birds ", " chicken duck turkey goose pheasant partridge "},
        {" fish ", " cod haddock salmon trout hake mackerel bream bass pollock halibut monkfish "
                   "plaice sole skate fillet "},
        {" beans pulses ", " bean chickpea lentil haricot pea "}};
    for (size_t c = 0; c < sizeof classes / sizeof *classes; c++) {
        size_t best = SIZE_MAX;
        if (!bk_among(&(bk_token){.word = word}, classes[c][0]))
            continue;
        for (size_t k = 0; k < w->taken->recipe->ingredient_count; k++) {
            bool one = false;
            for (size_t n = 0; n < w->all[k].count; n++)
                one |= bk_among(&(bk_token){.word = w->all[k].words[n]}, classes[c][1]) &&
                       !bk_among(&(bk_token){.word = w->all[k].words[w->all[k].count - 1]},
                                 " stock broth fat sauce bone skin ");
            size_t thread = one && bk_mask_has(&w->used, k) ? bk_thread_of_food(w, k) : SIZE_MAX;
            if (thread != SIZE_MAX &&
                (best == SIZE_MAX || w->threads[thread].last > w->threads[best].last))
                best = thread;
        }
        return best;
    }
    return SIZE_MAX;
}

/* May a word say by itself which thread is meant, when one alone has spoken of it? */
bool bk_tells_apart(const bk_token *t)
{
    return t->kind == BK_TOKEN_WORD && (strlen(t->word) > 3 || bk_among(t, " bag pie bun jam ")) &&
           !bk_is_vessel(t) && !bk_is_adverb(t) && !bk_opens_subordinate(t) &&
           !bk_among(t,
                     " skin skins bone bones mixture rest time paper foil edge edges half "
                     "remaining minutes minute hour "
                     "hours ends more them they each place into onto over third thirds film "
                     "hand hands spoon fork knife stick whisk cloth bits well with from again "
                     "board rack surface length pieces until night evening morning ounces ounce "
                     "pint pints litre litres grams gram pound pounds inch inches spoonful "
                     "spoonfuls tablespoons teaspoon tablespoon teaspoons cups cup handful pinch "
                     "salt pepper ");
}

/* The one open thread that has spoken of such a thing; SIZE_MAX: none, or several. */
static size_t thread_that_told(const bk_weave *w, const bk_token *t)
{
    size_t found = SIZE_MAX;
    bk_mask every = {{UINT64_MAX, UINT64_MAX}};
    if (bk_names_ingredient(w->taken, w->all, t, every))
        return SIZE_MAX; /* it may have gone into several */
    for (size_t k = 0; k < w->count && bk_tells_apart(t); k++) {
        const bk_thread *one = &w->threads[k];
        bool told = one->open && one->last != SIZE_MAX && bk_has_spoken_of(one, t->word);
        if (told && found != SIZE_MAX)
            return SIZE_MAX;
        found = told ? k : found;
    }
    return found;
}

void bk_keep_told(bk_weave *w, bk_thread *into, const char *stem)
{
    for (size_t n = 0; n < into->told_count; n++)
        if (strcmp(into->told[n], stem) == 0)
            return;
    if (into->told_count < BK_MOST_TOLD)
        into->told[into->told_count++] = bk_copy_string(w->taken->arena, stem);
}

size_t bk_thread_of_food(const bk_weave *w, size_t food)
{
    size_t best = SIZE_MAX;
    for (size_t k = 0; k < w->count; k++)
        if (w->threads[k].open && w->threads[k].last != SIZE_MAX &&
            bk_mask_has(&w->threads[k].made_of, food) &&
            (best == SIZE_MAX || w->threads[k].last > w->threads[best].last))
            best = k;
    return best;
}

/* A word of the recipe's name says what the whole is: "the stollen". */
bool bk_is_in_title(const bk_weave *w, const char *word)
{
    const char *title = w->taken->recipe->title;
    size_t n = strlen(word);
    if (n < 4 || bk_among(&(bk_token){.word = word}, " with from over rest same other then that "))
        return false;
    for (const char *at = title; at && *at != '\0';
         at += strcspn(at, " -") > 0 ? strcspn(at, " -") : 1)
        if (strncasecmp(at, word, n - 1) == 0)
            return true;
    return false;
}

/* What a thing is put into and stays in, one word for one and several; or NULL. */
const char *bk_vessel_word(const bk_token *t)
{
    static const char *const vessels[][2] = {
        {"tin", " tin tins "},     {"ramekin", " ramekin ramekins "}, {"mould", " mould moulds "},
        {"dish", " dish dishes "}, {"basin", " basin basins "},       {"glass", " glass glasses "},
        {"jar", " jar jars "},     {"case", " case cases "}};
    for (size_t i = 0; i < sizeof vessels / sizeof *vessels; i++)
        if (bk_among(t, vessels[i][1]))
            return vessels[i][0];
    return NULL;
}

/* "the syrup", "the boiling syrup", "a little custard": a thing that is there. */
static bool is_told(const bk_token *t, size_t from, size_t at)
{
    static const char known[] = " the cold cooled hot warm this these those chilled baked cooked "
                                "whipped stiff risen drained frozen rested two both each little "
                                "some boiling melted browned softened half ";
    return (at > from && bk_among(&t[at - 1], known)) ||
           (at > from + 1 && bk_among(&t[at - 2], " the this these ") &&
            t[at - 1].kind == BK_TOKEN_WORD && !bk_among(&t[at - 1], " and of with in "));
}

/* "the soaking liquor": the thread that soaked last, or SIZE_MAX. */
static size_t thread_of_deed(const bk_weave *w, const bk_token *t)
{
    const bk_verb *verb = bk_verb_of_form(t[0].word);
    size_t n = strlen(t[0].word);
    if (!verb || n < 6 || strcmp(t[0].word + n - 3, "ing") != 0 ||
        !bk_among(&t[1], " liquor liquid water juices juice milk syrup wine "))
        return SIZE_MAX;
    for (size_t k = w->count; k-- > 0;)
        if (w->threads[k].open && w->threads[k].last != SIZE_MAX &&
            w->taken->stages[w->threads[k].last].act.verb == verb)
            return k;
    return SIZE_MAX;
}

/* The ingredients that nothing has named yet. */
static bk_mask unused(const bk_weave *w)
{
    return bk_mask_without((bk_mask){{UINT64_MAX, UINT64_MAX}}, w->used);
}

bool bk_stage_speaks_of(const bk_taken_stage *stage, const char *word)
{
    for (size_t i = stage->act.from; i < stage->act.end; i++)
        if (bk_is(&stage->tokens[i], word))
            return true;
    return false;
}

/* "the sizzling skillet": the thread whose last stage made it hot. */
static bool heats_vessel(const bk_weave *w, size_t k, const char *word)
{
    if (!w->threads[k].open || w->threads[k].last == SIZE_MAX)
        return false;
    const bk_taken_stage *last = &w->taken->stages[w->threads[k].last];
    bool hot = (last->act.where & (BK_IN_OVEN | BK_ON_HOB)) != 0 || last->act.group == BK_HEAT;
    return hot && bk_stage_speaks_of(last, word);
}

/* "the juice of the orange", which nothing has named yet: that was not made before. */
static bool is_of_something_new(const bk_weave *w, const bk_mentions *m, const bk_token *t,
                                size_t at)
{
    if (at + 2 >= m->end || !bk_is(&t[at + 1], "of") || !bk_product_of_word(t[at].word))
        return false;
    size_t of = at + 2 + (bk_among(&t[at + 2], " the a an one two half ") ? 1 : 0);
    return of < m->end && bk_names_ingredient(w->taken, w->all, &t[of], unused(w));
}

/* "When the pork is done, lift it out": the thread of the pork; SIZE_MAX: no such clause, or none.
 */
static size_t thread_that_is_done(const bk_weave *w, const bk_taken_stage *stage)
{
    enum { FAR = 8 };
    const bk_token *t = stage->tokens;
    size_t at = stage->act.from, found = SIZE_MAX;
    bool over = false;
    if (!bk_among(&t[at], " when once ") || !bk_is(&t[at + 1], "the"))
        return SIZE_MAX;
    for (size_t i = at + 2; i < stage->act.end && i < at + FAR && !bk_is(&t[i], ","); i++) {
        over |= bk_among(&t[i], " done out ready cooked ") && i > at + 2;
        if (found != SIZE_MAX || t[i].kind != BK_TOKEN_WORD || bk_is_vessel(&t[i]))
            continue;
        found = thread_of_word(w, t[i].word);
        found = found == SIZE_MAX ? thread_that_told(w, &t[i]) : found;
    }
    return over ? found : SIZE_MAX;
}

bk_speech bk_listen(const bk_weave *w, size_t i)
{
    const bk_mentions *m = &w->found[i];
    const bk_taken_stage *stage = &w->taken->stages[i];
    const bk_token *t = stage->tokens;
    bk_speech says = {.fresh = bk_mask_without(m->all, w->used),
                      .old = bk_mask_and(m->all, w->used),
                      .strong = bk_mask_and(m->strong, w->used),
                      .first = SIZE_MAX};
    size_t first_at = SIZE_MAX;
    bool clause = false;
    size_t done = thread_that_is_done(w, stage);
    if (done != SIZE_MAX) {
        says.of[done] = says.made[done] = says.done = true;
        says.first = done;
        first_at = stage->act.from;
    }
    for (size_t j = m->from; j < m->end; j++) {
        if (t[j].kind != BK_TOKEN_WORD)
            continue;
        size_t soaked = j + 1 < m->end ? thread_of_deed(w, &t[j]) : SIZE_MAX;
        if (soaked != SIZE_MAX)
            says.of[soaked] = true;
        /* not "take everything to the table", nor "return everything to the pan" */
        bool moved =
            bk_is(&t[j], "everything") && j + 1 < m->end && bk_among(&t[j + 1], " to back ");
        bool part = bk_is(&t[j], "everything") && j + 1 < m->end && bk_is(&t[j + 1], "else");
        says.everything |= (bk_is(&t[j], "everything") && j > m->from && !moved && !part &&
                            !bk_among(&t[j - 1], " while until till when once if over ")) ||
                           (bk_is(&t[j], "assemble") && !(j > 0 && bk_is(&t[j - 1], "to")));
        says.everything |=
            j == stage->act.verb_at + 1 && bk_is(&t[j], "both") &&
            (j + 1 >= m->end || bk_among(&t[j + 1], " , . and together in into with mixtures "));
        clause |= j > stage->act.verb_at && bk_among(&t[j], " until till if when so where as ");
        /* "move the lamb to a board and let it rest": the lamb */
        bool same = first_at != SIZE_MAX && j > m->from &&
                    bk_among(&t[j - 1], " let leave cover keep wrap rest ");
        says.back |= !clause && !same && j < m->first_at && bk_among(&t[j], " it them mixture ");
        const char *vessel = bk_vessel_word(&t[j]);
        bool potted = j == stage->act.verb_at && bk_among(&t[j], " pot bottle ");
        vessel = potted ? "jar" : vessel;
        if (vessel && (potted || (j > m->from && bk_among(&t[j - 1], " the your hot ")))) {
            for (size_t k = 0; k < w->count; k++)
                says.of[k] |= k != w->now && w->threads[k].open && w->threads[k].vessel &&
                              strcmp(w->threads[k].vessel, vessel) == 0;
        }
        bool heated = j > m->from && bk_among(&t[j - 1], " hot sizzling smoking heated ");
        heated |= j > m->from + 1 && bk_is(&t[j - 1], "the") &&
                  bk_among(&t[j - 2], " to into in ") &&
                  bk_among(&t[j], " pan saucepan pot casserole skillet wok ");
        heated &= !bk_is(&t[stage->act.from], "return"); /* to where it has just been */
        for (size_t k = 0; k < w->count && heated && bk_is_vessel(&t[j]); k++)
            says.of[k] |= k != w->now && heats_vessel(w, k, t[j].word);
        says.same_vessel |=
            bk_among(&t[j], " juices drippings ") ||
            (bk_is(&t[j], "same") && j + 1 < m->end &&
             !bk_among(&t[j + 1], " time way heat temperature amount ")) ||
            (bk_is(&t[j], "fat") &&
             !(j > m->from &&
               bk_among(&t[j - 1], " its their goose duck beef chicken bacon pork "))) ||
            (bk_among(&t[j], " tin pan ") && j + 3 < m->end && bk_is(&t[j + 1], "on") &&
             bk_is(&t[j + 3], "hob")) ||
            (bk_is(&t[j], "roasting") && j + 1 < m->end && bk_among(&t[j + 1], " tin pan tray ") &&
             !(j > m->from &&
               bk_among(&t[j - 1], " second another large small separate a clean ")));
        bool verb = j == stage->act.verb_at || (j == m->from && bk_verb_find(t[j].word));
        bool is_food = bk_names_food_by_head(w->taken, w->all, &t[j], says.strong);
        bool base = bk_is(&t[j], "base") && j > m->from + 1 && bk_is(&t[j - 1], "the") &&
                    bk_among(&t[j - 2], " over on onto into "); /* of pastry or crumbs */
        if (verb || (bk_is_vessel(&t[j]) && !base) || is_food ||
            bk_names_ingredient(w->taken, w->all, &t[j], says.fresh) || comes_about(t, m->from, j))
            continue;
        size_t k_of = thread_of_word(w, t[j].word);
        size_t beside = w->threads[w->now].beside;
        if (k_of == SIZE_MAX && beside != SIZE_MAX && is_told(t, m->from, j) &&
            w->threads[beside].open &&
            (bk_is_in_title(w, t[j].word) || (bk_among(&t[j], " pudding tart pie torte terrine ") &&
                                              !bk_has_spoken_of(&w->threads[w->now], t[j].word))))
            k_of = beside; /* "brush the stollen", in its recipe */
        bool of_rest = j > m->from && bk_among(&t[j - 1], " remaining rest other last ");
        if (k_of == SIZE_MAX && is_told(t, m->from, j) && !of_rest &&
            !(j > m->from && bk_names_ingredient(w->taken, w->all, &t[j - 1], unused(w))))
            k_of = thread_that_told(w, &t[j]);
        if (k_of == SIZE_MAX && is_told(t, m->from, j))
            k_of = thread_of_class(w, t[j].word);
        if (k_of == SIZE_MAX && j == stage->act.verb_at + 2 && bk_is(&t[j - 1], "the") &&
            stage->act.sentence && stage->act.group != BK_MIX && stage->act.group != BK_POUR)
            k_of = thread_of_other_word(w, &t[j]);
        bool called = k_of != SIZE_MAX && bk_is_called(&w->threads[k_of], t[j].word);
        bool told = is_told(t, m->from, j) || (k_of != SIZE_MAX && j == stage->act.verb_at + 1);
        if (j > m->from + 1 && bk_among(&t[j - 2], " alongside beside under above below as "))
            continue; /* "as small as the peas" */
        if (is_of_something_new(w, m, t, j))
            continue;
        bk_mask every = {{UINT64_MAX, UINT64_MAX}};
        if (j > m->from && bk_among(&t[j], " juice zest rind ") &&
            bk_names_ingredient(w->taken, w->all, &t[j - 1], every))
            continue; /* "the lemon juice" */
        /* "lemon juice" is no juice that was made */
        bool of_fresh = j > m->from && bk_names_ingredient(w->taken, w->all, &t[j - 1], says.fresh);
        says.unknown |= k_of == SIZE_MAX && told && !of_fresh && bk_product_of_word(t[j].word) != 0;
        if (k_of == SIZE_MAX || !(called || told))
            continue;
        says.of[k_of] = says.made[k_of] = true;
        if (first_at == SIZE_MAX) {
            first_at = j;
            says.first = k_of;
        }
    }
    says.everything &=
        !stage->act.meanwhile; /* "meanwhile put everything for the sauce in a pan" */
    for (size_t k = 0; k < w->taken->recipe->ingredient_count; k++) {
        size_t k_of = bk_mask_has(&says.strong, k) ? bk_thread_of_food(w, k) : SIZE_MAX;
        if (k_of != SIZE_MAX) {
            says.of[k_of] = true;
            if (k == m->first && m->first_at < first_at)
                says.first = k_of;
        }
    }
    for (size_t k = 0; k < w->count; k++)
        says.any_other |= says.of[k] && k != w->now;
    return says;
}

/* "into the purée", "over the sponge": something made before, and not the vessel nor what
 * is named for the first time. */
bool bk_joins_something(const bk_weave *w, const bk_taken_stage *stage, bk_mask named)
{
    const bk_token *t = stage->tokens;
    bk_mask fresh = bk_mask_or(named, unused(w));
    for (size_t i = stage->act.from; i + 2 < stage->act.end; i++) {
        if (i > stage->act.verb_at && bk_among(&t[i], " until till so because "))
            break; /* "until you can read the paper through it" */
        bool into = bk_among(&t[i], " into onto over through under round around ") ||
                    (bk_among(&t[i], " with to ") && bk_is(&t[i + 1], "the"));
        if (i > stage->act.from && bk_among(&t[i], " it them this ") &&
            bk_among(&t[i + 1], " on over in ") && t[i + 2].kind == BK_TOKEN_SIGN)
            return true; /* "and spread it on." */
        bool heat = bk_is(&t[i + 1], "the") && i + 3 < stage->act.end &&
                    bk_among(&t[i + 3], " heat flame hob ring burner stove "); /* "lowest heat" */
        if (into && bk_among(&t[i + 1], " the them it this ") && !bk_is_vessel(&t[i + 2]) &&
            !heat && !bk_among(&t[i + 2], " remaining rest other half ") &&
            !(bk_is(&t[i + 1], "the") && (bk_names_ingredient(w->taken, w->all, &t[i + 2], fresh) ||
                                          bk_names_ingredient(w->taken, w->all, &t[i + 3], fresh))))
            return true;
    }
    return false;
}

bool bk_adds(const bk_taken_stage *stage)
{
    const bk_token *t = stage->tokens;
    const bk_verb *verb = stage->act.verb;
    if (verb && bk_among(&(bk_token){.word = verb->word}, " add fold return top assemble fill "))
        return true;
    for (size_t i = stage->act.from; i + 1 < stage->act.end; i++) {
        if (bk_among(&t[i], " add fold return top assemble fill layer decorate spread "))
            return true;
        if (bk_is(&t[i], "in") && i > stage->act.from &&
            (bk_among(&t[i + 1], " , . ; then and ") || i + 1 == stage->act.verb_at))
            return true; /* "stock in, simmer" */
        bool verb_here = i == stage->act.verb_at || i == stage->act.from ||
                         bk_among(&t[i], " stir beat whisk mix rub work pour tip ");
        if (verb_here && bk_among(&t[i + 1], " in into on onto over "))
            return true;
    }
    return false;
}
