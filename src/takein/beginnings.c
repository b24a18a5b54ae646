/* Which stages begin something of their own: in a bowl apart, of new ingredients, of what was kept
 * back. */
#include "takein/reading.h"
#include "takein/speech.h"

#include <string.h>

/* Is what it names first new? */
static bool names_new_first(const bk_weave *w, size_t i, const bk_speech *says)
{
    const bk_mentions *m = &w->found[i];
    return m->first != SIZE_MAX && bk_mask_has(&says->fresh, m->first);
}

/* By what the hands do: may it be the first of something made apart? */
static bool may_begin(const bk_act *act)
{
    const char *word = act->verb ? act->verb->word : "";
    bool finishes =
        bk_among(&(bk_token){.word = word},
                 " sprinkle scatter top decorate drizzle dust brush glaze coat dip "
                 "stuff carve ice frost sandwich unmould invert dress season thin "
                 "loosen moisten bind incorporate score prick skim glaze crimp seal trim "
                 "flute eggwash ");
    return !finishes && (act->group == BK_HEAT || act->group == BK_MIX || act->group == BK_PREP ||
                         act->group == BK_MACHINE || act->group == BK_SIMMER ||
                         (act->group == BK_REST && strcmp(word, "soak") == 0) ||
                         (act->group == BK_BAKE &&
                          (act->apart || bk_among(&(bk_token){.word = word}, " toast roast "))) ||
                         (act->group == BK_COLD && strcmp(word, "freeze") == 0));
}

bool bk_back_refers(const bk_act *act, const bk_speech *heard)
{
    return !heard->done && (act->back_refers || heard->back);
}

/* "Cook with the sugar", "simmer until tender": what it is done to was named before. */
bool bk_elides_object(const bk_taken_stage *stage)
{
    const bk_token *t = stage->tokens;
    size_t i = stage->act.verb_at + 1;
    if (stage->act.verb_at > stage->act.from && stage->act.verb &&
        strcmp(stage->act.verb->word, t[stage->act.verb_at].word) != 0)
        return false; /* "onions sliced" */
    while (i < stage->act.end && bk_among(&t[i], " gently slowly well then briefly again hot "))
        i++;
    return i >= stage->act.end ||
           bk_among(&t[i], " with in on over for until till to at from , . ; off through back ");
}

/* "Put the sugar and wine in a small pan": what is begun in a vessel of its own. */
static bool takes_a_vessel(const bk_taken_stage *stage)
{
    enum { FAR = 16 };
    const bk_token *t = stage->tokens;
    if (!bk_among(&t[stage->act.from],
                  " put place tip combine mix whisk pour warm heat melt lay arrange toss "))
        return false;
    for (size_t i = stage->act.from + 2; i + 2 < stage->act.end && i < stage->act.from + FAR; i++)
        if (bk_among(&t[i], " in into ") && bk_among(&t[i + 1], " a another "))
            for (size_t k = i + 2; k < i + 6 && k < stage->act.end; k++)
                if (bk_among(&t[k], " bowl pan saucepan jug pot processor blender dish "))
                    return true;
    return false;
}

/* "Then the flour": it goes on. */
static bool says_then(const bk_taken_stage *stage)
{
    const bk_token *t = &stage->tokens[stage->act.from];
    return bk_among(t, " then now finally ") ||
           (bk_is(t, "next") && !bk_among(t + 1, " morning day evening "));
}

/* "Whisk the whites", "whip the rest of the cream": by itself, in a bowl of its own, unless the
 * words before have just spoken of them. */
bool bk_whips_apart(const bk_weave *w, const bk_taken_stage *stage, const bk_speech *says)
{
    const bk_taken_stage *last = &w->taken->stages[w->threads[w->now].last];
    enum { FAR = 7 };
    const bk_token *t = stage->tokens;
    if (!stage->act.sentence || !bk_stage_does(stage, " whisk whip beat ") || says->back ||
        (stage->act.at_once && !stage->act.apart) || bk_joins_something(w, stage, says->fresh))
        return false;
    for (size_t i = stage->act.verb_at + 1; i < stage->act.end && i < stage->act.verb_at + FAR;
         i++) {
        if (t[i].kind == BK_TOKEN_SIGN || bk_among(&t[i], " in into to with and until it them "))
            return false;
        if (bk_among(&t[i], " whites yolks cream "))
            return !bk_stage_speaks_of(last, t[i].word);
    }
    return false;
}

/* "Bring the rest of the vinegar to the boil", "melt the remaining butter": what was kept back. */
static bool heats_the_rest(const bk_taken_stage *stage)
{
    enum { FAR = 4 };
    const bk_token *t = stage->tokens;
    if (!stage->act.sentence ||
        !bk_stage_does(stage, " bring heat warm melt boil dissolve simmer "))
        return false;
    for (size_t i = stage->act.verb_at + 1; i < stage->act.end && i <= stage->act.verb_at + FAR;
         i++) {
        if (t[i].kind != BK_TOKEN_WORD || bk_among(&t[i], " it them and with in into "))
            return false;
        if (bk_among(&t[i], " rest remaining ") ||
            (bk_is(&t[i], "other") && bk_is(&t[i + 1], "half")))
            return true;
    }
    return false;
}

/* "Warm the jelly", while the pie cools: of which the thread at hand has not spoken. */
static bool heats_something_else(const bk_weave *w, size_t i)
{
    enum { FAR = 5 };
    const bk_taken_stage *stage = &w->taken->stages[i];
    const bk_token *t = stage->tokens;
    size_t at = stage->act.verb_at + 1;
    if (i == 0 || !w->taken->stages[i - 1].act.passive || !stage->act.sentence ||
        !bk_stage_does(stage, " warm melt simmer heat reheat ") || !bk_is(&t[at], "the"))
        return false;
    size_t words = 0;
    for (size_t j = at + 1; j < stage->act.end && j < at + FAR && t[j].kind == BK_TOKEN_WORD &&
                            !bk_among(&t[j], " in with for until till to on over and again ");
         j++) {
        words++;
        if (bk_has_spoken_of(&w->threads[w->now], t[j].word) || bk_is_in_title(w, t[j].word) ||
            bk_is_vessel(&t[j]) || bk_among(&t[j], " oven grill mixture soup stew broth "))
            return false;
    }
    return words > 0;
}

/* "Bring a large pan of salted water to the boil", "whisk the dry ingredients together". */
static bool begins_by_its_words(const bk_taken_stage *stage)
{
    enum { FAR = 8 };
    const bk_token *t = stage->tokens;
    size_t at = stage->act.verb_at;
    if (!stage->act.sentence || stage->act.at_once)
        return false;
    if (bk_stage_does(stage, " whisk sift mix stir combine sieve ") && at + 3 < stage->act.end &&
        bk_is(&t[at + 1], "the") && bk_is(&t[at + 2], "dry") && bk_is(&t[at + 3], "ingredients"))
        return true;
    if (!bk_among(&t[at], " bring boil heat set put get fill ") ||
        !bk_among(&t[at + 1], " a some "))
        return false;
    bool vessel = false;
    for (size_t i = at + 2; i < stage->act.end && i < at + FAR; i++) {
        vessel |= bk_among(&t[i], " pan saucepan pot kettle ");
        if (vessel && bk_is(&t[i], "water"))
            return true;
    }
    return false;
}

/* Begins something apart: names new ingredients only, and nothing that was made. */
bool bk_starts_apart(const bk_weave *w, size_t i, const bk_speech *says)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    const bk_act *act = &stage->act;
    /* "For the sauce, put the apples in a pan and cook": what it is done to stands before it */
    bool told_before = w->found[i].first_at < act->verb_at;
    bool elides = bk_elides_object(stage) && !told_before;
    bool named = says->everything || bk_back_refers(act, says);
    for (size_t k = 0; k < w->count; k++)
        named |= says->of[k];
    if (!named && begins_by_its_words(stage))
        return true;
    if (act->sentence && act->apart && !named && !elides && may_begin(act) &&
        (act->group != BK_BAKE || bk_mask_any(says->fresh)))
        return true; /* "In a clean bowl, whisk the whites" */
    if (act->sentence && bk_mask_any(says->fresh) && !bk_mask_any(says->strong) &&
        !bk_back_refers(act, says) && says->first == SIZE_MAX && takes_a_vessel(stage))
        return true;
    if (act->at_once && !act->apart)
        return false; /* "while it is hot": something is there already */
    if (bk_whips_apart(w, stage, says))
        return true;
    if ((heats_the_rest(stage) || heats_something_else(w, i)) && !named && !says_then(stage) &&
        !bk_joins_something(w, stage, says->fresh))
        return true;
    bool passive_before = i > 0 && w->taken->stages[i - 1].act.passive;
    if (passive_before && act->sentence && may_begin(act) && !named && bk_mask_any(says->old) &&
        !bk_mask_any(says->strong) && !elides && !says_then(stage) && !bk_adds(stage) &&
        !bk_joins_something(w, stage, says->fresh))
        return true; /* "Dissolve the rest of the sugar in a little water" */
    /* "Vinegar and sugar in the pan, heat slowly": what it is done to stands before it */
    bool named_before = w->found[i].first_at < act->verb_at && names_new_first(w, i, says) &&
                        stage->act.group == BK_HEAT;
    if (!act->sentence || says_then(stage) ||
        (bk_elides_object(stage) && !act->apart && !named_before) || !bk_mask_any(says->fresh) ||
        bk_back_refers(act, says) || says->everything || says->same_vessel || says->unknown ||
        says->first != SIZE_MAX ||
        (bk_mask_any(says->old) && !act->apart &&
         (!names_new_first(w, i, says) || (bk_mask_any(says->strong) && !passive_before))))
        return false;
    return may_begin(act) && !bk_adds(stage) && !bk_joins_something(w, stage, says->fresh);
}
