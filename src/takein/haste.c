/* What must follow at once: because the words say so, or because it would spoil. */
#include "takein/speech.h"

#include <string.h>

/* "Lift them straight out of the water with a slotted spoon", "out of the fat": from this? */
static bool takes_out_of_pan(const bk_taken_stage *made, const bk_taken_stage *stage)
{
    bool fries = made->act.group == BK_HEAT, simmers = made->act.group == BK_SIMMER;
    if (!bk_stage_is_hot(made) || !(fries || simmers))
        return false;
    bool out = bk_stage_has(stage, " out from ");
    return (simmers && (bk_stage_has_pair(stage, " slotted perforated ", " spoon ") ||
                        (out && bk_stage_has_pair(stage, " the ", " water ")))) ||
           (out && bk_stage_has_pair(stage, " the hot ", " oil fat "));
}

/* "as soon as you have rolled them", "while the fish is still crisp": does the clause speak of
 * what this stage did, or did it to? */
static bool is_named_in_clause(const bk_taken_stage *made, const bk_taken_stage *stage)
{
    enum { SHORTEST = 4 };
    const bk_token *t = stage->tokens;
    bool clause = false;
    for (size_t i = stage->act.from; i + 1 < stage->act.end; i++)
        if (bk_among(&t[i], " while whilst ") && bk_among(&t[i + 1], " they it still "))
            clause = true; /* "the almonds while they are still warm": those */
    for (size_t i = stage->act.from; i < stage->act.end; i++) {
        clause =
            (clause && !bk_is(&t[i], ",")) ||
            bk_among(&t[i], " while whilst before soon moment minute instant once after when ");
        if (!clause || t[i].kind != BK_TOKEN_WORD || strlen(t[i].word) < SHORTEST ||
            !bk_tells_apart(&t[i]))
            continue;
        if (made->act.verb && bk_verb_of_form(t[i].word) == made->act.verb)
            return true;
        char word[24], other[24];
        bk_stem(t[i].word, word, sizeof word);
        for (size_t j = made->act.from; j < made->act.end; j++) {
            bk_stem(made->tokens[j].word, other, sizeof other);
            if (strcmp(word, other) == 0)
                return true;
        }
    }
    return false;
}

/* "into the hot shell", "over the heated tin" */
static bool goes_into_what_is_hot(const bk_taken_stage *stage)
{
    const bk_token *t = stage->tokens;
    for (size_t i = stage->act.from; i + 3 < stage->act.end; i++)
        if (bk_among(&t[i], " in into onto over ") && bk_is(&t[i + 1], "the") &&
            bk_among(&t[i + 2], " hot heated scorching sizzling smoking preheated ") &&
            bk_among(&t[i + 3], " shell case crust tin pan pot casserole dish skillet pastry "))
            return true;
    return false;
}

/* Did it bake, or was something done to what had just baked? */
static bool is_out_of_the_oven(const bk_taken *taken, const bk_taken_stage *made)
{
    return made->act.group == BK_BAKE ||
           (!made->act.passive && !made->act.spell.found && made->after_count > 0 &&
            taken->stages[made->after[0]].act.group == BK_BAKE);
}

/* "whisk it in right before you start frying", "at the last moment": left for what comes next. */
static bool is_left_to_the_last(const bk_taken *taken, const bk_taken_stage *made, size_t i)
{
    enum { FAR = 5 };
    const bk_token *t = made->tokens;
    if (made->act.passive)
        return false;
    if (made->act.group == BK_MIX && bk_stage_has_pair(made, " last ", " moment minute ") &&
        !bk_stage_has(made, " serving table "))
        return true;
    for (size_t k = made->act.from; k + 2 < made->act.end; k++) {
        if (!bk_among(&t[k], " just right immediately directly ") || !bk_is(&t[k + 1], "before"))
            continue;
        for (size_t j = k + 2; j < k + FAR && j < made->act.end; j++) {
            const bk_verb *verb = bk_verb_of_form(t[j].word);
            verb = verb ? verb : bk_verb_find(t[j].word);
            bool next = i + 1 < taken->count && verb == taken->stages[i + 1].act.verb;
            if (verb && verb->group != BK_NO_ACT && (verb == taken->stages[i].act.verb || next))
                return true;
        }
    }
    return false;
}

/* How likely it is this stage that the next one follows at once. */
static int urgency(const bk_taken *taken, const bk_taken_stage *stage, size_t before)
{
    const bk_taken_stage *made = &taken->stages[before];
    bool baked = made->act.group == BK_BAKE;
    if (made->tool || bk_stage_does(made, " soak "))
        return 0; /* the jars wait for the jelly */
    bool of_oven = bk_stage_has(
        stage, " oven still bake cake biscuits rolls loaf hot warm tray rack out tart buns pie ");
    if (made->act.group == BK_COLD && bk_stage_has_pair(stage, " the ", " fridge freezer "))
        return 7; /* "straight from the fridge" */
    if (goes_into_what_is_hot(stage) && is_out_of_the_oven(taken, made))
        return 6;
    if (takes_out_of_pan(made, stage))
        return 6;
    bool stirs_in = bk_stage_does(stage, " add stir tip fold beat whisk mix ");
    if (baked && of_oven && !bk_stage_has(stage, " melted ") && !stirs_in)
        return 5;
    if (made->act.group == BK_SIMMER &&
        bk_stage_has(stage, " drain drained mash slotted perforated water "))
        return 5;
    size_t i = (size_t)(stage - taken->stages);
    if (before + 1 == i && stage->act.verb_at + 1 < stage->act.end && !made->act.passive &&
        bk_among(&stage->tokens[stage->act.verb_at + 1], " it them "))
        return 4;
    if (is_named_in_clause(made, stage))
        return 4;
    bool from_oven = made->act.group == BK_REST && made->after_count == 1 &&
                     taken->stages[made->after[0]].act.group == BK_BAKE;
    if (from_oven && of_oven && !stirs_in)
        return 3;
    if (bk_cannot_wait(taken, before, (size_t)(stage - taken->stages)))
        return 3;
    bool kept_hot = (made->act.group == BK_STRAIN || bk_stage_has(made, " sieve ") ||
                     made->act.group == BK_POUR || made->act.group == BK_MIX) &&
                    made->after_count == 1 && bk_stage_is_hot(&taken->stages[made->after[0]]);
    return bk_stage_is_hot(made) || kept_hot || made->act.hot_work ? 2 : 1;
}

/* "Turn out and roll up at once": the move of the hand between the two is done at once, too. */
static void hurry_before(const bk_taken *taken, size_t before)
{
    bk_taken_stage *made = &taken->stages[before];
    if (!made->act.passive && !made->act.spell.found && made->after_count == 1 &&
        bk_stage_does(made, " turn tip invert unmould flip ") &&
        taken->stages[made->after[0]].act.group == BK_BAKE)
        made->within[0] = true;
}

static bool is_light(const bk_taken_stage *move)
{
    return move->act.group == BK_LIGHT ||
           bk_stage_does(move, " stir stand skim turn lift cover slash level wipe strain ");
}

/* "Lift out the bag and pot while hot": the small moves of the hand on the way are done at once,
 * too. */
static void hurry_moves(const bk_taken *taken, const bk_taken_stage *stage, size_t before)
{
    enum { FEW = 3 };
    for (size_t n = 0; n < FEW; n++) {
        bk_taken_stage *move = &taken->stages[before];
        if (move->act.passive || move->act.spell.found || move->after_count != 1 ||
            move->step + (stage->act.hot_work || is_light(move) ? 1 : 0) < stage->step)
            return;
        const bk_taken_stage *below = &taken->stages[move->after[0]];
        bool cooks = move->act.group == BK_HEAT || move->act.group == BK_MACHINE ||
                     move->act.group == BK_SIMMER ||
                     (move->act.group == BK_MIX && !bk_stage_does(move, " stir "));
        if (cooks || (!bk_stage_is_hot(below) && below->act.passive && !stage->act.still_hot))
            return;
        move->within[0] = true;
        before = move->after[0];
    }
}

/* "Straight from the freezer", "hot out of the oven": what the hands do in between is done at once,
 * too. */
static void hurry_from_place(const bk_taken *taken, const bk_taken_stage *stage, size_t before)
{
    enum { FEW = 2 };
    unsigned place = bk_stage_has_pair(stage, " the ", " freezer ")  ? (unsigned)BK_IN_FREEZER
                     : bk_stage_has_pair(stage, " the ", " fridge ") ? (unsigned)BK_IN_FRIDGE
                                                                     : 0u;
    size_t at = before;
    for (size_t n = 0; n <= FEW && place; n++) {
        bk_taken_stage *made = &taken->stages[at];
        if (made->act.where & place) {
            for (size_t k = before; k != at; k = taken->stages[k].after[0])
                taken->stages[k].within[0] = true;
            return;
        }
        if (made->act.passive || made->after_count != 1)
            return;
        at = made->after[0];
    }
}

/* "Turn the oven down, pour in the stock and roast for 3 hours": the roast is not left out. */
static void hurry_back_into_the_oven(const bk_taken *taken, bk_taken_stage *stage, size_t i)
{
    if (stage->act.group != BK_BAKE || stage->after_count != 1 || i < 2 ||
        stage->after[0] + 1 != i || !stage->oven)
        return;
    bk_taken_stage *hands = &taken->stages[i - 1];
    const bk_taken_stage *baked = &taken->stages[i - 2];
    if (hands->act.passive || hands->act.spell.found || hands->after_count != 1 ||
        hands->after[0] + 2 != i || baked->act.group != BK_BAKE || hands->step != stage->step ||
        !baked->oven)
        return;
    bool pours = bk_stage_does(hands, " pour add pierce prick slit skewer ") &&
                 baked->step + 1 >= stage->step && !bk_stage_has(baked, " blind beans ");
    if (!pours && (baked->step != stage->step || strcmp(baked->oven, stage->oven) == 0))
        return;
    hands->within[0] = stage->within[0] = true;
}

/* "Drain the potatoes well. Mash at once": they don't lie in their water either. */
static void hurry_drained(const bk_taken *taken, const bk_taken_stage *stage)
{
    for (size_t a = 0; a < stage->after_count; a++) {
        bk_taken_stage *drained = &taken->stages[stage->after[a]];
        if (stage->within[a] && bk_stage_does(drained, " drain ") && drained->after_count == 1 &&
            taken->stages[drained->after[0]].act.group == BK_SIMMER)
            drained->within[0] = true;
    }
}

/* Which of the links is the one that won't wait. */
void bk_mark_at_once(const bk_taken *taken, bk_taken_stage *stage, size_t i)
{
    size_t best = 0;
    stage->foam = bk_is_foam(taken, stage);
    bk_see_batter(taken, stage);
    bool told = stage->act.at_once && stage->after_count > 0;
    for (size_t a = 0; a < stage->after_count; a++) {
        stage->within[a] = taken->stages[stage->after[a]].wont_wait ||
                           is_left_to_the_last(taken, &taken->stages[stage->after[a]], i) ||
                           bk_cannot_wait(taken, stage->after[a], i);
        int now = urgency(taken, stage, stage->after[a]),
            than = urgency(taken, stage, stage->after[best]);
        if (now > than || (now == than && stage->after[a] > stage->after[best]))
            best = a;
    }
    stage->asked = told ? best : SIZE_MAX;
    if (told)
        stage->within[best] = true;
    for (size_t a = 0; a < stage->after_count && told && stage->act.hot_work; a++)
        stage->within[a] |=
            bk_stage_has(stage, " both ") && bk_stage_is_hot(&taken->stages[stage->after[a]]);
    if (told)
        hurry_moves(taken, stage, stage->after[best]);
    if (told)
        hurry_before(taken, stage->after[best]);
    if (told)
        hurry_from_place(taken, stage, stage->after[best]);
    hurry_back_into_the_oven(taken, stage, i);
    hurry_drained(taken, stage);
}
