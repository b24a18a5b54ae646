/* What an act comes to: by hand or by itself, where, how long, how hot. */
#include "takein/reading.h"

#include <string.h>

bool bk_act_has(const bk_act *act, const bk_token *t, const char *words)
{
    for (size_t i = act->from; i < act->end; i++)
        if (bk_among(&t[i], words))
            return true;
    return false;
}

/* Two words one behind the other. */
bool bk_act_has_pair(const bk_act *act, const bk_token *t, const char *first, const char *second)
{
    for (size_t i = act->from; i + 1 < act->end; i++)
        if (bk_among(&t[i], first) && bk_among(&t[i + 1], second))
            return true;
    return false;
}

/* "let it cool", "leave to rise": the deed that a word of the act names. */
const bk_verb *bk_named_deed(const bk_act *act, const bk_token *t)
{
    for (size_t i = act->from + 1; i < act->end; i++) {
        const bk_verb *verb = t[i].kind == BK_TOKEN_WORD ? bk_verb_find(t[i].word) : NULL;
        if (bk_is(&t[i], "set") && !(i + 1 < act->end && bk_is(&t[i + 1], "aside")))
            return bk_verb_find("firm");
        if (bk_is(&t[i], "draw") && bk_among(&t[i - 1], " to must let should and "))
            return bk_verb_find("steep"); /* "leave it to draw" */
        if (bk_is(&t[i], "cold") &&
            bk_among(&t[i - 1], " go goes get gone become until till stone quite "
                                "completely totally really "))
            return bk_verb_find("cool"); /* "leave to go cold", "set aside until cold" */
        bool cold = (i + 1 < act->end && bk_is(&t[i + 1], "cold")) ||
                    (i + 2 < act->end && bk_is(&t[i + 2], "cold"));
        if (bk_among(&t[i], " before until till or so because ") && !cold)
            break;
        if (!verb || bk_is_food_word(verb->word) || bk_is(&t[i], "wait") ||
            (i > 0 && bk_among(&t[i - 1], " the a ")))
            continue;
        if (verb->passive && verb->group != BK_LET &&
            !(verb->group == BK_REST && bk_among(&t[i], " dry cool double ") && i + 1 < act->end &&
              bk_among(&t[i + 1], " place bowl room towel cloth larder ")))
            return verb;
    }
    return NULL;
}

/* "toast for 8 minutes" on a tray in the oven: its word stays. */
static void bakes_as(bk_act *act)
{
    bool toasts = act->verb && strcmp(act->verb->word, "toast") == 0;
    act->verb = toasts ? act->verb : bk_verb_find("bake");
    act->group = BK_BAKE;
    act->passive = true;
    act->where = (act->where | BK_IN_OVEN) & ~(unsigned)BK_ON_HOB;
}

void bk_act_becomes(bk_act *act, const char *word)
{
    act->verb = bk_verb_find(word);
    act->group = act->verb->group;
    act->passive = true;
    act->where |= act->verb->where;
}

static bool is_timed(const bk_act *act)
{
    return act->spell.found || act->rate.by_weight;
}

/* let, leave, put, set ...: by the deed that is named, by the place, by the time. */
static void resolve_let(bk_act *act, const bk_token *t, bool last)
{
    const bk_verb *deed = bk_is(&t[act->from], "turn") ? NULL : bk_named_deed(act, t);
    const char *word = act->verb->word;
    bool puts = !act->verb->passive;
    if (strcmp(word, "turn") == 0) {
        act->group = bk_act_has(act, t, " out over upside ")                  ? BK_PREP
                     : bk_act_has(act, t, " into ") && act->where & BK_IN_TIN ? BK_POUR
                     : act->spell.found                                       ? BK_HEAT
                                                                              : BK_LIGHT;
        act->where |= act->group == BK_HEAT ? BK_ON_HOB : 0u;
        return;
    }
    if (strcmp(word, "keep") == 0 && bk_act_has(act, t, " beating whisking ") &&
        !(act->where & BK_ON_HOB)) {
        act->verb = bk_verb_find(bk_act_has(act, t, " whisking ") ? "whisk" : "beat");
        act->group = BK_MIX;
        return;
    }
    if (strcmp(word, "keep") == 0 &&
        bk_act_has(act, t, " moving stirring swirling whisking turning tossing beating ")) {
        act->group = act->spell.found ? BK_HEAT : BK_LIGHT; /* "keep it moving for 3 minutes" */
        act->verb = act->spell.found ? bk_verb_find("stir") : act->verb;
        return;
    }
    const bk_verb *heated = NULL; /* "let it bubble for 2 minutes" */
    bool cold = (act->where & (BK_IN_FRIDGE | BK_IN_FREEZER)) != 0;
    for (size_t i = act->from + 1; i < act->end && !deed && !heated && !cold; i++)
        if (bk_among(&t[i], " bubble caramelise caramelize thicken wilt melt brown soften sizzle "))
            heated = bk_verb_find(t[i].word);
    bool softens = heated && bk_among(&(bk_token){.word = heated->word}, " soften ") &&
                   act->spell.found && !bk_act_has(act, t, " heat pan hob flame butter ") &&
                   (bk_act_has(act, t, " water milk ") || strcmp(word, "leave") == 0);
    if (softens) {
        bk_act_becomes(act, "soak"); /* "leave 15 minutes to soften" */
        act->where &= ~(unsigned)BK_ON_HOB;
        return;
    }
    if (heated && !puts) {
        act->verb = heated;
        act->group = heated->group;
    } else if (deed) {
        bk_act_becomes(act, deed->word);
    } else if (act->where & (BK_IN_FRIDGE | BK_IN_FREEZER)) {
        if (!act->spell.found && puts && !last)
            act->group = BK_LIGHT;
        else
            bk_act_becomes(act, act->where & BK_IN_FREEZER ? "freeze" : "chill");
    } else if (act->where & BK_IN_OVEN) {
        if (is_timed(act) || last)
            bk_act_becomes(act, "bake");
        else
            act->group = BK_LIGHT;
    } else if (act->where & (BK_IN_SLOW_COOKER | BK_IN_MACHINE | BK_IN_MICROWAVE) &&
               act->spell.found) {
        bk_act_becomes(act, "cook");
        act->where &= ~(unsigned)BK_ON_HOB;
    } else if (act->where & BK_IN_GRILL && act->spell.found) {
        bk_act_becomes(act, "grill");
    } else if (act->where & BK_ON_HOB && act->spell.found &&
               !bk_act_has(act, t, " counter worktop side table windowsill ")) {
        bk_act_becomes(act, "simmer");
    } else if (act->where & BK_IN_COOL_PLACE ||
               (act->spell.found && (!puts || act->spell.least >= 1200))) {
        bk_act_becomes(act, "rest");
    } else if (strcmp(word, "leave") == 0 && !bk_act_has(act, t, " aside side ") && last) {
        bk_act_becomes(act, "rest");
    } else if (puts && act->where & BK_IN_TIN) {
        act->group = BK_POUR;
    } else {
        act->group = BK_LIGHT;
    }
}

/* Stirring all the time, but not "stirring now and then". */
static bool stirs_throughout(const bk_act *act, const bk_token *t)
{
    for (size_t i = act->from; i < act->end; i++) {
        if (!bk_among(
                &t[i],
                " stirring whisking turning shaking beating swirling tossing watching scraping "))
            continue;
        if (i + 2 < act->end && bk_is(&t[i + 1], "every") && bk_among(&t[i + 2], " minute 30 "))
            return true;
        for (size_t j = i + 1; j < i + 5 && j < act->end; j++)
            if (bk_among(&t[j], " occasionally once now if every halfway time twice half sometimes "
                                "whenever ") ||
                (bk_is(&t[j], "in") && bk_is(&t[i], "stirring")))
                return false;
        return !(i > act->from && bk_among(&t[i - 1], " without occasionally "));
    }
    return bk_act_has_pair(act, t, " stir ", " constantly continuously often ") ||
           bk_act_has(act, t, " constantly continuously ");
}

enum { SHORT_COOKING = 8 * 60, SHORT_BOILING = 3 * 60, LONG_SWEATING = 8 * 60 };

void bk_decide_kind(bk_act *act, const bk_token *t)
{
    const char *word = act->verb ? act->verb->word : "";
    act->passive = act->verb ? act->verb->passive : act->passive;
    act->why = act->passive ? "it goes on by itself" : "it is done by hand";
    if (act->group == BK_BAKE) {
        act->passive = true;
        act->why = "it goes on by itself";
    } else if (act->group == BK_HEAT && act->passive &&
               (!act->spell.found || bk_act_has(act, t, " watching "))) {
        act->passive = false;
        act->why = "it is watched";
    } else if (act->group == BK_HEAT && act->spell.found && act->spell.least >= LONG_SWEATING &&
               bk_act_has(act, t, " lid covered ") && !stirs_throughout(act, t)) {
        act->passive = true;
        act->why = "it goes on under its lid";
    } else if (act->group == BK_HEAT && act->spell.found &&
               bk_act_has_pair(act, t, " without ", " moving turning stirring touching ")) {
        act->passive = true;
        act->why = "it is left alone";
    } else if (act->group == BK_REST && !act->spell.found &&
               (bk_among(&t[act->from], " salt cure brine weight ") ||
                (bk_is(&t[act->from], "dry") && act->from + 1 < act->end &&
                 bk_among(&t[act->from + 1], " the it them each ")))) {
        act->passive = false;
        act->group = BK_PREP;
        act->why = "it is done by hand";
    } else if (act->group == BK_SIMMER) {
        bool boil = strcmp(word, "boil") == 0, cook = strcmp(word, "cook") == 0;
        bool stirred = strcmp(word, "cook") == 0 && act->spell.most <= 15 * 60 &&
                       bk_act_has(act, t, " stirring turning ");
        bool reheat = strcmp(word, "reheat") == 0 && !act->spell.found;
        bool by_piece = bk_act_has_pair(act, t, " one ", " at by ") && !(act->where & BK_IN_OVEN);
        bool watched = by_piece || bk_act_has_pair(act, t, " look ", " away ") ||
                       bk_act_has(act, t, " watching watch ");
        if (stirred || watched || reheat || stirs_throughout(act, t)) {
            act->passive = false;
            act->why = "it is stirred";
        } else if ((boil && (!act->spell.found || act->spell.most <= SHORT_BOILING ||
                             bk_act_has(act, t, " hard rapidly fast "))) ||
                   (cook && (!act->spell.found || act->spell.most <= SHORT_COOKING) &&
                    !(act->where & (BK_IN_OVEN | BK_IN_SLOW_COOKER)) &&
                    !bk_act_has(act, t, " covered lid "))) {
            act->passive = false;
            act->why = "it is short and watched";
        }
    } else if (act->group == BK_HEAT && act->verb && act->spell.found &&
               (act->where & (BK_IN_OVEN | BK_IN_MICROWAVE | BK_IN_GRILL) ||
                strcmp(word, "microwave") == 0) &&
               !stirs_throughout(act, t)) {
        act->passive = true;
        act->why = "it goes on by itself";
    } else if (act->group == BK_STRAIN && act->spell.found && act->spell.least >= 600) {
        act->passive = true;
        act->why = "it drips by itself";
    }
}

void bk_decide_where(bk_act *act, const bk_token *t)
{
    unsigned of_verb = act->verb ? act->verb->where : 0;
    unsigned instead =
        BK_IN_OVEN | BK_IN_SLOW_COOKER | BK_IN_MICROWAVE | BK_IN_MACHINE | BK_IN_GRILL;
    if ((of_verb == BK_ON_HOB && act->where & instead) ||
        (of_verb == BK_IN_OVEN && act->where & (instead & ~(unsigned)BK_IN_OVEN)) ||
        (of_verb == BK_IN_FRIDGE && act->where & (BK_IN_FREEZER | BK_IN_COOL_PLACE))) {
        of_verb = 0;
        act->where &= ~(unsigned)BK_ON_HOB;
    }
    if (act->group == BK_BAKE || act->group == BK_COLD) {
        if (act->where & BK_ON_HOB && act->group == BK_BAKE)
            act->where |= BK_IN_TIN; /* a pan that bakes is a tin */
        act->where &= ~(unsigned)BK_ON_HOB;
    }
    if ((act->group == BK_POUR || act->group == BK_PREP) && act->where & BK_ON_HOB) {
        bool pan = bk_act_has(act, t, " pan ") && act->group == BK_POUR;
        act->where &= ~(unsigned)BK_ON_HOB;
        act->where |= pan ? BK_IN_TIN : 0u;
    }
    if (act->group == BK_REST && !bk_act_has(act, t, " hob stove heat flame "))
        act->where &= ~(unsigned)BK_ON_HOB;
    act->where |= of_verb;
    if (bk_act_has_pair(act, t, " the a ", " boil simmer ") ||
        (act->group == BK_HEAT && act->verb && strcmp(act->verb->word, "bring") == 0))
        act->where |= act->where & (BK_IN_OVEN | BK_IN_MICROWAVE) ? 0u : BK_ON_HOB;
}

static bool is_lining_with_paper(const bk_act *act, const bk_token *t)
{
    return act->verb && strcmp(act->verb->word, "line") == 0 &&
           (bk_act_has(act, t, " paper parchment foil baking greaseproof film ") ||
            !bk_act_has(act, t, " with it pastry dough "));
}

/* "continue roasting", "take it out of the fridge an hour before", "lift it out to rest",
 * "cover, half an hour": moves of the hand behind which something goes on by itself. */
static void resolve_light(bk_act *act, const bk_token *t)
{
    for (size_t i = act->from + 1;
         i < act->end && bk_among(&t[act->from], " continue carry keep start begin finish go ");
         i++) {
        size_t n = strlen(t[i].word);
        const bk_verb *verb =
            n > 5 && strcmp(t[i].word + n - 3, "ing") == 0 ? bk_verb_of_form(t[i].word) : NULL;
        if (verb) {
            act->verb = verb;
            act->group = verb->group;
            return;
        }
    }
    bool out = bk_among(&t[act->from], " take remove bring get lift ");
    const bk_verb *deed = bk_named_deed(act, t);
    bool to_deed = deed && deed->group == BK_REST &&
                   bk_act_has_pair(act, t, " to ", " rest cool stand dry steam ");
    if (out && act->spell.found &&
        (to_deed || bk_act_has(act, t, " fridge freezer refrigerator before ahead beforehand ")))
        bk_act_becomes(act, "rest");
    else if (bk_among(&t[act->from], " cover wrap ") && act->spell.found &&
             act->spell.least >=
                 (bk_act_has(act, t, " towel cloth foil blanket lid plate ") ? 300 : 900))
        bk_act_becomes(act, "rest");
}

/* "in a small pan over medium heat", "over a fierce heat": not the oven. */
static bool says_the_hob(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i < end; i++)
        if (bk_among(&t[i], " hob saucepan skillet wok flame burner stovetop ") ||
            (bk_is(&t[i], "pan") && i > from &&
             !bk_among(&t[i - 1], " roasting baking cake loaf springform sheet the ")) ||
            (bk_is(&t[i], "heat") && i > from &&
             bk_among(&t[i - 1], " low high medium gentle lowest highest moderate fierce brisk ")))
            return true;
    return false;
}

enum { LONG_COOKING = 40 * 60 };

/* "Cook at 180 C for an hour"; "cook for an hour" behind what was put into a tin, in a
 * recipe with an oven. */
static void go_into_the_oven(const bk_reading *r, bk_act *act)
{
    const bk_taken *taken = r->taken;
    const bk_token *t = r->t;
    bool elsewhere = (act->where & ~(unsigned)(BK_IN_TIN | BK_IN_OVEN)) != 0;
    if (!act->spell.found || elsewhere || act->group == BK_BAKE || act->group == BK_PREP ||
        act->group == BK_MIX || act->group == BK_NO_ACT || act->group == BK_COLD ||
        act->group == BK_MACHINE || act->group == BK_STRAIN)
        return;
    bool follows = false;
    if (taken->count > 0 && r->oven && act->verb &&
        bk_among(&(bk_token){.word = act->verb->word}, " cook crisp braise brown continue ")) {
        unsigned before = taken->stages[taken->count - 1].act.where;
        follows = (before & (BK_IN_TIN | BK_IN_OVEN)) != 0 && !(before & BK_ON_HOB) &&
                  !bk_act_has(&taken->stages[taken->count - 1].act,
                              taken->stages[taken->count - 1].tokens, " heat hob flame ");
    }
    size_t own = r->light < act->from ? r->light : act->from;
    follows = follows && !says_the_hob(t, own, act->end);
    for (size_t b = 1; b <= 3 && b <= taken->count && follows; b++) {
        const bk_taken_stage *before = &taken->stages[taken->count - b];
        follows = before->step != r->step ||
                  !says_the_hob(before->tokens, before->act.from, before->act.end);
    }
    if (r->baking != SIZE_MAX && r->baking + 3 >= taken->count && r->oven && !follows &&
        taken->stages[r->baking].step + 1 >= r->step && act->verb &&
        bk_among(&(bk_token){.word = act->verb->word}, " cook crisp braise brown ") &&
        bk_act_has(act, t, " more again further another ") && !bk_act_has(act, t, " hob heat ")) {
        follows = true; /* "cover again and cook for an hour more" */
        for (size_t i = r->baking + 1; i < taken->count; i++)
            follows = follows && !(taken->stages[i].act.where & BK_ON_HOB);
    }
    bool tray = bk_act_has(act, t, " tray sheet tin roasting ");
    for (size_t b = 1; b <= 2 && b <= taken->count && r->oven_waits && !tray; b++)
        tray = taken->stages[taken->count - b].step == r->step &&
               (taken->stages[taken->count - b].act.where & BK_IN_TIN ||
                bk_act_has(&taken->stages[taken->count - b].act,
                           taken->stages[taken->count - b].tokens, " tray sheet "));
    for (size_t i = r->light; i < act->from; i++)
        tray &=
            !bk_among(&t[i], " pan saucepan skillet pot hob casserole "); /* "put it in a pan" */
    if (taken->count > 0 && taken->stages[taken->count - 1].step == r->step)
        tray &= !bk_act_has(&taken->stages[taken->count - 1].act,
                            taken->stages[taken->count - 1].tokens, " heat hob flame ");
    bool waits = r->oven_waits && tray && act->verb && !bk_act_has(act, t, " hob pan skillet ") &&
                 bk_among(&(bk_token){.word = act->verb->word},
                          " toast crisp dry brown cook warm give heat ");
    waits |= r->oven_waits && tray && bk_is(&t[act->from], "give");
    bool dries = r->oven_waits && act->verb && act->spell.least >= 1800 &&
                 bk_is(&(bk_token){.word = act->verb->word}, "dry");
    bool slow = r->oven_waits && act->verb && act->spell.least >= LONG_COOKING &&
                bk_is(&(bk_token){.word = act->verb->word}, "cook") &&
                !bk_act_has(act, t, " hob heat pan low ") &&
                (taken->count == 0 || !(taken->stages[taken->count - 1].act.where & BK_ON_HOB));
    bool same = bk_act_has_pair(act, t, " same ", " temperature "); /* "reheat at the same ..." */
    bool shelf = (bk_act_has(act, t, " shelf ") &&
                  bk_act_has_pair(act, t, " the top middle bottom lower upper ", " shelf ")) ||
                 bk_act_has_pair(act, t, " top middle bottom lower upper ", " rack ");
    /* "Heat the oven to 180 C. Toast the pecans in it for 8 minutes." */
    bool in_it = r->oven_waits && act->verb && act->spell.found &&
                 bk_among(&(bk_token){.word = act->verb->word}, " toast roast ") &&
                 bk_act_has_pair(act, t, " in ", " it there ");
    if (act->setting.at || follows || waits || dries || slow || in_it ||
        (r->oven && (same || shelf)))
        bakes_as(act);
}

/* "Bring a large pan of salted water to the boil": no stage, as heating an oven is none. */
static bool is_boiling_water(const bk_act *act, const bk_token *t)
{
    if (!bk_among(&t[act->from], " bring boil heat ") || act->spell.found)
        return false;
    bool water = false;
    for (size_t i = act->from + 1; i < act->end; i++) {
        if (bk_among(&t[i], " with and , add plus "))
            return false;
        water |= bk_is(&t[i], "water");
        if (t[i].kind == BK_TOKEN_NUMBER)
            return false;
    }
    return water && bk_act_has(act, t, " pan pot kettle saucepan steamer ");
}

/* "Heat 2 tbsp oil in a large pan": it belongs to what is fried in it. */
static bool is_heating_fat(const bk_act *act, const bk_token *t)
{
    if (!bk_is(&t[act->from], "heat") || act->spell.found)
        return false;
    for (size_t i = act->from + 1; i < act->end && i < act->from + 9; i++) {
        if (bk_among(&t[i], " oil fat dripping lard pan skillet wok griddle ghee "))
            return !bk_act_has(act, t, " water milk boil boils simmer shimmering smoking ");
        if (bk_among(&t[i], " in with and , until to over milk cream stock water sugar "))
            return false;
    }
    return false;
}

/* "Spread out to cool", "turn out on a rack to cool completely" */
static bool is_to_cool(const bk_act *act, const bk_token *t)
{
    if (!bk_among(&t[act->from],
                  " spread turn lay tip spoon scatter arrange put place transfer ") ||
        (act->where & (BK_IN_OVEN | BK_IN_FRIDGE | BK_IN_FREEZER)) != 0)
        return false;
    for (size_t i = act->from + 2; i < act->end; i++)
        if (bk_is(&t[i - 1], "to") && bk_among(&t[i], " cool dry steam ") &&
            (i + 1 >= act->end || bk_among(&t[i + 1], " , . ; completely and a ")))
            return true;
    return false;
}

/* "... while the oven heats to 220 C": where that begins, or the act's end. */
static size_t oven_heats_meanwhile(const bk_act *act, const bk_token *t)
{
    enum { FAR = 5 };
    for (size_t i = act->from + 1; i + 2 < act->end; i++) {
        bool oven = false, heats = false;
        for (size_t j = i + 1; j < i + FAR && j < act->end && bk_among(&t[i], " while whilst as ");
             j++) {
            oven |= bk_is(&t[j], "oven");
            heats |= bk_among(&t[j], " heat preheat "); /* "while you heat the oven to 190 C" */
            if (oven && (heats || bk_among(&t[j], " heats heating warms comes gets preheats "
                                                  "preheating up reaches ")))
                return i;
        }
    }
    return act->end;
}

/* Where the act itself takes place: not "while the cake is in the oven", nor "1 hour at room
 * temperature, or overnight in the fridge". */
static unsigned places_of(const bk_act *act, const bk_token *t)
{
    unsigned where = 0;
    bool own = true, warm = false, cold = false;
    size_t from = act->from;
    for (size_t i = act->from; i < act->end; i++) {
        bool beside = bk_among(&t[i], " while whilst ") && i + 1 < act->end &&
                      bk_among(&t[i + 1], " the your it they ");
        warm |= bk_among(&t[i], " room warm counter worktop ");
        cold |= own && bk_among(&t[i], " fridge freezer refrigerator ");
        bool instead = (warm || cold) && bk_is(&t[i], "or") && i > act->from && act->spell.found &&
                       t[i].from >= act->spell.to;
        if (own && (beside || instead)) {
            where |= bk_places_named(t, from, i);
            own = false;
        } else if (!own && bk_is(&t[i], ",")) {
            own = true;
            from = i + 1;
        }
    }
    return own ? where | bk_places_named(t, from, act->end) : where;
}

/* Nothing was done since the last baking, or one thing that is done to what stays in: "pour a glass
 * of water round the onions". */
static bool bakes_still(const bk_reading *r)
{
    const bk_taken *taken = r->taken;
    if (r->baking + 1 == taken->count)
        return true;
    const bk_taken_stage *last = &taken->stages[taken->count - 1];
    return r->baking + 2 == taken->count && !last->act.passive && !last->act.spell.found &&
           r->oven_waits && last->act.verb &&
           bk_among(&(bk_token){.word = last->act.verb->word},
                    " pour add baste brush scatter tuck ");
}

void bk_act_complete(bk_reading *r, bk_act *act, size_t lead, size_t sentence, bool last)
{
    const bk_token *t = r->t;
    act->verb_at = act->from;
    bk_time_act(r, act, lead);
    size_t heats = oven_heats_meanwhile(act, t);
    act->setting = bk_setting_find(r->taken->arena, t, act->from, heats);
    if (heats < act->end)
        bk_hear_of_the_oven(r, heats, act->end);
    for (size_t i = act->from + 1; i < act->end && act->setting.at && !act->spell.found; i++)
        if (bk_among(&t[i - 1], " last final ") && !act->setting.in_words)
            (void)bk_spell_read(t, i, act->end, &act->spell); /* "at 220 C for the last 10 min" */
    bk_act own = *act;
    own.end = heats;
    act->where = places_of(&own, t);
    act->group = act->verb ? act->verb->group : BK_UNKNOWN;
    bool cooks = act->group == BK_HEAT || act->group == BK_SIMMER || act->group == BK_BAKE ||
                 act->group == BK_REST || act->group == BK_COLD || act->group == BK_MIX ||
                 act->group == BK_MACHINE;
    if (!is_timed(act) && cooks)
        act->spell = bk_spell_guess(t, act->from, act->end);
    if (!act->spell.found && act->setting.at && !act->setting.in_words &&
        (act->group == BK_BAKE || act->group == BK_LET))
        act->spell = bk_guess_behind_setting(t, act); /* "shove it in at 220 for 15" */
    if (bk_among(&t[act->from], " sit stand ") && act->from + 1 < act->end && !act->spell.found &&
        bk_among(&t[act->from + 1], " the them it each a ")) {
        act->verb = bk_verb_find("lay"); /* "sit the eggs on the muffins" */
        act->group = BK_POUR;
    }
    const bk_taken *taken = r->taken;
    bool rolled = taken->count > 0 && taken->stages[taken->count - 1].step == r->step &&
                  taken->stages[taken->count - 1].act.verb &&
                  strcmp(taken->stages[taken->count - 1].act.verb->word, "roll") == 0;
    if (is_lining_with_paper(act, t) && !rolled)
        act->group = BK_NO_ACT;
    if (is_boiling_water(act, t))
        act->group = BK_NO_ACT;
    if (is_heating_fat(act, t))
        act->group = BK_LIGHT;
    if (bk_is(&t[act->from], "soften") && bk_act_has(act, t, " gelatine gelatin "))
        bk_act_becomes(act, "soak");
    if (bk_among(&t[act->from], " push stick insert poke slide ") &&
        bk_act_has(act, t, " skewer toothpick tester thermometer needle "))
        act->group = BK_NO_ACT; /* "push a skewer into the middle": is it done? */
    bool days = act->spell.found && act->spell.least >= 24 * 3600;
    bool keeps = bk_among(&t[act->from], " store keep ") &&
                 (bk_act_has(act, t, " airtight container box up ") ||
                  ((bk_is(&t[act->from], "store") || days) &&
                   bk_act_has(act, t, " tin jar freeze fridge "))) &&
                 !bk_act_has(act, t, " before first least ");
    if (keeps)
        act->group = BK_NO_ACT; /* how long it may be kept */
    const bk_taken_stage *fried = taken->count > 0 ? &taken->stages[taken->count - 1] : NULL;
    if (bk_is(&t[act->from], "give") && act->spell.found && fried && fried->step + 1 >= r->step &&
        fried->act.group == BK_HEAT && !bk_named_deed(act, t)) {
        act->verb = fried->act.verb; /* "turn them and give them 2 minutes more" */
        act->group = BK_HEAT;
    }
    if (act->group == BK_LET)
        resolve_let(act, t, last);
    if (bk_is(&t[act->from], "give") && !act->spell.found &&
        bk_act_has(act, t, " another further more "))
        act->spell = bk_spell_guess(t, act->from, act->end); /* "give it another 5" */
    bool turned_up = bk_is(&t[act->from], "give") && is_timed(act) && r->oven_changed &&
                     r->oven_waits && !(act->where & ~(unsigned)(BK_IN_OVEN | BK_IN_TIN));
    bool gives = bk_is(&t[act->from], "give") && is_timed(act) && r->oven &&
                 r->baking != SIZE_MAX && taken->stages[r->baking].step == r->step &&
                 r->baking + 2 >= taken->count &&
                 !bk_act_has(act, t, " side rack table board counter settle rest before ");
    bool on_tray = bk_among(&t[act->from], " toast crisp dry ") && act->spell.found && r->oven &&
                   bk_act_has(act, t, " tray sheet ");
    bool opens = bk_among(&t[act->from], " remove uncover take open lift ") && r->oven;
    for (size_t i = act->from + 1; i < act->end && opens && !act->spell.found; i++)
        if (bk_among(&t[i], " , "))
            act->spell = bk_spell_guess(t, i, act->end); /* "Uncover, 15-20 more" */
    bool longer = opens && act->spell.found &&
                  bk_act_has(act, t, " more another further longer ") && r->baking != SIZE_MAX &&
                  r->baking + 1 == taken->count &&
                  taken->stages[r->baking].step + 1 >= r->step; /* "remove the beans, 5 min more" */
    bool turned = bk_among(&t[act->from], " leave let give continue keep return put slide pop ") &&
                  act->spell.found && r->oven_changed && r->baking != SIZE_MAX && bakes_still(r) &&
                  taken->stages[r->baking].step + 1 >= r->step && !bk_named_deed(act, t) &&
                  !(act->where & (BK_IN_FRIDGE | BK_IN_FREEZER | BK_IN_COOL_PLACE));
    bool in_there = bk_among(&t[act->from], " leave let put ") && act->spell.found &&
                    r->oven_waits &&
                    (bk_act_has_pair(act, t, " in ", " there ") || bk_act_has(act, t, " inside "));
    in_there |= bk_among(&t[act->from], " put pop slide get shove tuck ") && act->spell.found &&
                r->oven && r->baking != SIZE_MAX && r->baking + 2 >= taken->count &&
                taken->stages[r->baking].step == r->step &&
                bk_act_has_pair(act, t, " in ", " for ");
    in_there |= bk_among(&t[act->from], " put return pop slide ") && act->spell.found && r->oven &&
                r->baking != SIZE_MAX && r->baking + 3 >= taken->count &&
                taken->stages[r->baking].step + 1 >= r->step &&
                bk_act_has_pair(act, t, " back ", " for ") &&
                act->where == 0; /* "put it back for 20 minutes to brown" */
    /* "Turn the oven up to 220 C and let the potatoes go on for another 25 minutes" */
    bool goes_on = bk_among(&t[act->from], " let leave give ") && act->spell.found &&
                   r->oven_changed && r->oven_waits && !bk_named_deed(act, t) &&
                   bk_act_has(act, t, " another further more longer ") && act->where == 0;
    if (gives || turned_up || on_tray || longer || turned || in_there || goes_on)
        bakes_as(act); /* "turn it over and give it another hour" */
    if (act->group == BK_HEAT && act->where & BK_IN_OVEN && act->spell.found)
        act->group = BK_BAKE;
    if (bk_is(&t[act->from], "bring") && bk_act_has(act, t, " room "))
        bk_act_becomes(act, "rest"); /* "back to room temperature" */
    else if (bk_is(&t[act->from], "bring") &&
             !bk_act_has(act, t,
                         " boil simmer simmering steaming heat temperature boiling bubble "))
        act->group = BK_MIX;
    bool lifts = bk_is(&t[act->from], "lift") && !bk_act_has(act, t, " off hot warm tray tin ");
    bool drips = bk_is(&t[act->from], "drain") && bk_act_has(act, t, " paper towel towels ");
    if (!last && !act->spell.found && (lifts || drips))
        act->group = BK_LIGHT; /* "lift each and roll it", "drain on paper and dip" */
    bool bare = act->from + 1 >= act->end || bk_among(&t[act->from + 1], " , . ; then and ");
    if (!last && bare && !act->spell.found && bk_is(&t[act->from], "stir"))
        act->group = BK_LIGHT; /* "Stir, then pot" */
    if (act->verb && act->group == BK_LIGHT)
        bk_go_in_for_the_last(r, act);
    if (act->verb && act->group == BK_LIGHT)
        resolve_light(act, t);
    if (act->group == BK_HEAT && bk_act_has(act, t, " alongside ") && taken->count > 0 &&
        taken->stages[taken->count - 1].act.group == BK_BAKE &&
        taken->stages[taken->count - 1].step == r->step)
        bakes_as(act); /* "warm the sugar alongside them" */
    if ((act->group == BK_POUR || act->group == BK_PREP || act->group == BK_LIGHT) &&
        is_to_cool(act, t))
        bk_act_becomes(act, "cool");
    go_into_the_oven(r, act);
    bk_decide_where(act, t);
    if (act->group != BK_LIGHT && act->group != BK_NO_ACT)
        bk_decide_kind(act, t);
    if (act->group == BK_LIGHT && act->spell.found && act->where & BK_ON_HOB &&
        bk_act_has(act, t, " lid covered cover ")) {
        bk_act_becomes(act, "simmer"); /* "cover with water, lid on, lowest heat 12 min" */
        bk_decide_kind(act, t);
    }
    if (act->group == BK_LIGHT && act->spell.found) {
        act->group = act->where & BK_ON_HOB ? BK_HEAT : BK_PREP;
        act->why = "it is done by hand";
    }
    bk_decide_order(act, t, lead, sentence, bk_sentence_end(t, sentence, r->count));
}
