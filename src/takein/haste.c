/* What must follow at once: because the words say so, or because it would set, fall or cool. */
#include "takein/speech.h"

#include <string.h>

static bool is_hot(const bk_taken_stage *stage)
{
    return (stage->act.where & (BK_ON_HOB | BK_IN_OVEN | BK_IN_MICROWAVE)) != 0;
}

static bool has_word(const bk_taken_stage *stage, const char *words)
{
    for (size_t i = stage->act.from; i < stage->act.end; i++)
        if (bk_among(&stage->tokens[i], words))
            return true;
    return false;
}

static bool has_words_pair(const bk_taken_stage *stage, const char *first, const char *second)
{
    for (size_t i = stage->act.from; i + 1 < stage->act.end; i++)
        if (bk_among(&stage->tokens[i], first) && bk_among(&stage->tokens[i + 1], second))
            return true;
    return false;
}

bool bk_stage_does(const bk_taken_stage *stage, const char *verbs)
{
    return stage->act.verb && bk_among(&(bk_token){.word = stage->act.verb->word}, verbs);
}

/* Whisked whites, which fall: until they are baked or chilled. */
static bool is_foam(const bk_taken *taken, const bk_taken_stage *stage)
{
    if (stage->act.passive || has_word(stage, " cream "))
        return false;
    if ((bk_stage_does(stage, " whisk whip beat ") ||
         (bk_stage_does(stage, " add ") && has_word(stage, " stiff peaks "))) &&
        (has_word(stage, " whites meringue peaks ") || has_words_pair(stage, " egg ", " white ")))
        return true;
    bool goes_on = false;
    for (size_t a = 0; a < stage->after_count; a++)
        goes_on |= taken->stages[stage->after[a]].foam;
    return goes_on && (stage->act.group == BK_MIX || bk_stage_does(stage, " add "));
}

/* What whisked whites were folded into was put into its tin: not a meringue, which stands. */
static bool falls(const bk_taken *taken, const bk_taken_stage *made)
{
    if (made->act.passive || made->after_count != 1)
        return bk_stage_does(made, " fold ") && made->foam;
    const bk_taken_stage *folded =
        made->act.group == BK_POUR ? &taken->stages[made->after[0]] : made;
    return folded->foam && bk_stage_does(folded, " fold ") &&
           !has_word(folded, " vinegar cornflour ");
}

/* Sugar boiled or melted to a point that it leaves in a minute: by its name, by what it looks
 * like, by the confectioner's words for it. */
static bool is_caramel(const bk_taken *taken, const bk_taken_stage *stage)
{
    bool vessel = bk_stage_does(stage, " warm heat ") &&
                  has_word(stage, " dish mould moulds tin plate bowl ramekins basin ");
    if (bk_stage_does(stage, " skim ") || !is_hot(stage) || vessel)
        return false;
    bool sugar = has_word(stage, " sugar ") ||
                 (stage->after_count == 1 && has_word(&taken->stages[stage->after[0]], " sugar ") &&
                  bk_stage_does(&taken->stages[stage->after[0]], " dissolve melt heat "));
    bool thins = has_word(stage, " butter milk cream syrup fruit juice ");
    return has_word(stage, " amber caramel caramelise caramelize thermometer toffee ") ||
           (bk_stage_does(stage, " melt ") && has_word(stage, " sugar ") &&
            !has_word(stage, " butter milk cream ")) ||
           has_words_pair(stage, " soft hard ", " ball crack ") ||
           (bk_stage_does(stage, " boil cook heat melt bubble ") && sugar && !thins &&
            has_word(stage, " brown mahogany copper conker golden straw toffee "));
}

/* Hot milk on to yolks, hot stock in through the lid, vinegar over what is pickled; not what is
 * filled into a tin. */
static bool is_poured_hot(const bk_taken_stage *made, const bk_taken_stage *stage)
{
    if (!bk_stage_does(made, " bring heat warm scald boil ") || !is_hot(made) ||
        has_word(made, " chocolate ") || has_words_pair(made, " wide ", " pan "))
        return false;
    if (bk_stage_does(stage, " whisk beat temper trickle stir ") && !stage->act.passive)
        return has_word(stage, " yolks yolk eggs egg ") && has_word(made, " milk cream ") &&
               has_word(stage, " milk cream onto on into "); /* "whisk the milk into the yolks" */
    return bk_stage_does(stage, " pour ") &&
           !has_word(stage, " cold cool cooled tin tins casserole dish jar jars bottles ");
}

/* Soaked gelatine into what is just hot enough to melt it. */
static bool gelatine_melts(const bk_taken *taken, const bk_taken_stage *made,
                           const bk_taken_stage *stage)
{
    bool strained = made->act.group == BK_STRAIN && made->after_count == 1 &&
                    is_hot(&taken->stages[made->after[0]]) && has_word(stage, " hot warm ");
    return !stage->act.passive &&
           (has_word(stage, " gelatine gelatin ") ||
            has_words_pair(stage, " the soaked squeezed drained ", " leaves leaf ")) &&
           bk_stage_does(stage, " squeeze stir whisk add dissolve beat melt drop lift drain ") &&
           made->act.group != BK_COLD && made->act.group != BK_REST &&
           !bk_stage_does(made, " soak squeeze ") && (is_hot(made) || strained);
}

/* Batter in the smoking fat, a loaf in the pot that was heated for it. */
static bool is_in_a_hot_tin(const bk_taken_stage *made)
{
    return !made->act.passive && ((bk_stage_does(made, " pour tip spoon ladle ") &&
                                   (has_word(made, " sizzling spitting smoking fat skillet ") ||
                                    (made->act.at_once && has_word(made, " batter ")))) ||
                                  has_words_pair(made, " hot heated ", " pot casserole case "));
}

/* What won't wait though no word says so. Common practice, no source. */
static bool cannot_wait(const bk_taken *taken, size_t before, size_t i)
{
    const bk_taken_stage *made = &taken->stages[before], *stage = &taken->stages[i];
    bool hands = !stage->act.passive;
    if (bk_stage_does(stage, " fold ") && bk_stage_does(made, " whisk whip ") &&
        !has_word(made, " cream ") &&
        !(has_word(made, " yolks yolk ") && !has_word(made, " whites white eggs ")))
        return before + 1 == i || made->foam;
    if (hands && before + 1 == i && made->foam &&
        (stage->act.group == BK_MIX || stage->act.group == BK_POUR || stage->act.group == BK_PREP))
        return true;
    if (bk_stage_does(stage, " fold sift sieve ") && before + 1 == i &&
        bk_stage_does(made, " whisk whip beat ") && has_word(made, " eggs egg ") &&
        has_word(stage, " flour flours cocoa almonds ") &&
        (made->act.spell.found || has_word(made, " thick pale ribbon trebled tripled mousse "
                                                 "doubled volume trail fluffy ")) &&
        !has_word(made, " butter "))
        return true; /* a sponge's air */
    if (stage->act.group == BK_BAKE && before + 1 == i && falls(taken, made))
        return true;
    if (hands && is_caramel(taken, made) && made->act.group != BK_BAKE)
        return true; /* it sets */
    if (bk_stage_does(made, " bring heat warm scald boil ") && is_hot(made) &&
        before + 1 >= i - 1 && bk_stage_does(stage, " pour tip ") && has_word(stage, " chocolate "))
        return true; /* melts it while it is hot */
    if (is_poured_hot(made, stage) || gelatine_melts(taken, made, stage))
        return true;
    if (bk_stage_does(made, " steam ") && bk_stage_does(stage, " turn unmould invert "))
        return true; /* else it sticks, or sweats */
    if (before + 1 == i && stage->act.passive && stage->act.group != BK_REST &&
        stage->act.group != BK_COLD && is_in_a_hot_tin(made))
        return true;
    if (bk_stage_does(made, " bring heat warm boil ") && has_word(made, " lard ") && hands &&
        has_word(stage, " flour "))
        return true; /* hot-water paste */
    if (hands && before + 1 == i && bk_stage_does(stage, " pour tip add ") &&
        has_word(made, " fat dripping lard oil butter ") &&
        has_word(made, " smoking sizzling spitting "))
        return true; /* into the smoking fat */
    if (hands && before + 1 == i && bk_stage_does(stage, " pour tip ladle ") &&
        has_word(stage, " batter ") && is_hot(made) &&
        has_word(made, " fat dripping lard oil butter tin "))
        return true; /* into the tin that was heated for it */
    if (hands && made->act.group == BK_SIMMER &&
        (bk_stage_does(stage, " plunge refresh shock ") ||
         has_words_pair(stage, " cold ice iced running ", " water tap bath ") ||
         has_words_pair(stage, " the ", " tap ") || has_words_pair(stage, " of ", " ice ")) &&
        !has_word(stage, " add "))
        return true; /* stops its cooking */
    if ((bk_stage_does(stage, " pot bottle ") ||
         (bk_stage_does(stage, " ladle pour spoon fill ") && has_word(stage, " jars "))) &&
        is_hot(made) && stage->step <= made->step + 1 && !has_word(stage, " cold cool cooled "))
        return true;
    if (bk_stage_does(stage, " cover seal ") &&
        (bk_stage_does(made, " pot bottle ") ||
         (bk_stage_does(made, " ladle pour spoon fill ") && has_word(made, " jars jar bottles "))))
        return true;
    if (made->act.group == BK_BAKE && stage->act.group == BK_REST &&
        !has_word(stage, " rack tin ") &&
        (has_word(stage, " inside ") || stage->act.where & BK_IN_OVEN))
        return true; /* in the oven, switched off */
    return false;
}

/* "Lift them straight out of the water with a slotted spoon", "out of the fat": from this? */
static bool takes_out_of_pan(const bk_taken_stage *made, const bk_taken_stage *stage)
{
    bool fries = made->act.group == BK_HEAT, simmers = made->act.group == BK_SIMMER;
    if (!is_hot(made) || !(fries || simmers))
        return false;
    bool out = has_word(stage, " out from ");
    return (simmers && (has_words_pair(stage, " slotted perforated ", " spoon ") ||
                        (out && has_words_pair(stage, " the ", " water ")))) ||
           (out && has_words_pair(stage, " the hot ", " oil fat "));
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
    if (made->act.group == BK_MIX && has_words_pair(made, " last ", " moment minute ") &&
        !has_word(made, " serving table "))
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
    bool of_oven = has_word(
        stage, " oven still bake cake biscuits rolls loaf hot warm tray rack out tart buns pie ");
    if (made->act.group == BK_COLD && has_words_pair(stage, " the ", " fridge freezer "))
        return 7; /* "straight from the fridge" */
    if (goes_into_what_is_hot(stage) && is_out_of_the_oven(taken, made))
        return 6;
    if (takes_out_of_pan(made, stage))
        return 6;
    bool stirs_in = bk_stage_does(stage, " add stir tip fold beat whisk mix ");
    if (baked && of_oven && !has_word(stage, " melted ") && !stirs_in)
        return 5;
    if (made->act.group == BK_SIMMER &&
        has_word(stage, " drain drained mash slotted perforated water "))
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
    if (cannot_wait(taken, before, (size_t)(stage - taken->stages)))
        return 3;
    bool kept_hot = (made->act.group == BK_STRAIN || has_word(made, " sieve ") ||
                     made->act.group == BK_POUR || made->act.group == BK_MIX) &&
                    made->after_count == 1 && is_hot(&taken->stages[made->after[0]]);
    return is_hot(made) || kept_hot || made->act.hot_work ? 2 : 1;
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

/* "Straight from the freezer", "hot out of the oven": what the hands do in between is done at once,
 * too. */
static void hurry_from_place(const bk_taken *taken, const bk_taken_stage *stage, size_t before)
{
    enum { FEW = 2 };
    unsigned place = has_words_pair(stage, " the ", " freezer ")  ? (unsigned)BK_IN_FREEZER
                     : has_words_pair(stage, " the ", " fridge ") ? (unsigned)BK_IN_FRIDGE
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
        !baked->oven || baked->step != stage->step || strcmp(baked->oven, stage->oven) == 0)
        return;
    hands->within[0] = stage->within[0] = true;
}

/* Which of the links is the one that won't wait. */
void bk_mark_at_once(const bk_taken *taken, bk_taken_stage *stage, size_t i)
{
    size_t best = 0;
    stage->foam = is_foam(taken, stage);
    bool told = stage->act.at_once && stage->after_count > 0;
    for (size_t a = 0; a < stage->after_count; a++) {
        stage->within[a] = taken->stages[stage->after[a]].wont_wait ||
                           is_left_to_the_last(taken, &taken->stages[stage->after[a]], i) ||
                           cannot_wait(taken, stage->after[a], i);
        int now = urgency(taken, stage, stage->after[a]),
            than = urgency(taken, stage, stage->after[best]);
        if (now > than || (now == than && stage->after[a] > stage->after[best]))
            best = a;
    }
    stage->asked = told ? best : SIZE_MAX;
    if (told)
        stage->within[best] = true;
    for (size_t a = 0; a < stage->after_count && told && stage->act.hot_work; a++)
        stage->within[a] |= has_word(stage, " both ") && is_hot(&taken->stages[stage->after[a]]);
    if (told)
        hurry_before(taken, stage->after[best]);
    if (told)
        hurry_from_place(taken, stage, stage->after[best]);
    hurry_back_into_the_oven(taken, stage, i);
}
