/* From the words of the steps to acts, and from acts to stages: a step with two acts is
 * parted, and moves of the hand go with the act that they belong to. */
#include "takein/parts.h"

#include <string.h>

enum { MOST_ACTS = 40 };

/* What one step says reaches the next: the oven's heat. */
typedef struct reading {
    bk_taken *taken;
    const char *text; /* of the step */
    const bk_token *t;
    size_t count, step;
    const char *oven, *oven_words; /* heat that was last said */
    bool oven_in_words;            /* without a number */
    const char *first_oven, *first_oven_words; /* the first heat with a number */
    bool oven_changed;             /* turned down or up since the last baking */
    bool tin_ready;                /* "grease and line a tin": what bakes next is in it */
    size_t baking;                 /* stage that baked last, or SIZE_MAX */
    struct {
        bool meanwhile, apart, at_once;
        size_t label_from, label_end, step;
    } pending; /* "Meanwhile, make the sauce.": said of the stage that follows */
} reading;

static const char determiners[] = " the it them all each a an in into on onto with over for until "
                                  "till to well together up down out off through "
                                  "gently this these remaining both half your thinly finely "
                                  "roughly lightly under at by again very briefly "
                                  "everything some most any two about quickly slowly just uncovered covered ";

/* ---------------------------------------------------------------- sentences */

static bool is_abbreviation(const bk_token *t)
{
    return bk_among(
        t,
        " min mins approx tbsp tsp oz lb ca no hr hrs c f cm st vs eg ie e g i deg sec secs pt w v th reg ");
}

/* The token behind the sentence that begins at `from`. */
static size_t sentence_end(const bk_token *t, size_t from, size_t count)
{
    for (size_t i = from; i < count; i++) {
        if (!bk_among(&t[i], " . ! ? "))
            continue;
        bool last = i + 1 >= count;
        if (last ||
            (t[i + 1].spaced && !(bk_is(&t[i], ".") && i > from && is_abbreviation(&t[i - 1]) &&
                                  !t[i].spaced && !t[i + 1].capital)))
            return i + 1;
    }
    return count;
}

static bool is_adverb(const bk_token *t)
{
    size_t n = strlen(t->word);
    return (n > 4 && strcmp(t->word + n - 2, "ly") == 0 && !bk_among(t, " jelly curly ")) ||
           bk_among(t, " then now just again also next first finally straight meanwhile once "
                       "immediately please "
                       "lastly well thoroughly blind ");
}

static bool opens_subordinate(const bk_token *t)
{
    return bk_among(
        t, " while whilst when once until till before after as if because so which that where "
           "unless who since without to for ");
}

static bool is_food_word(const char *word)
{
    bk_token token = {.word = word};
    return bk_among(
        &token, " cream butter flour oil salt ice core zest stone joint bone pot line stock pit "
                "sponge thread quarter bottle pipe light weight note mark mince lard skewer slip "
                "dot pile heap pound flake strip marinade ");
}

static bool is_ambiguous(const char *word)
{
    bk_token token = {.word = word};
    return bk_among(
        &token,
        " top cover rest dry slice dice mash roll steam cut press pack cool warm boil hang seal "
        "set shape stew brown dress toast grill steep roast firm crisp drain double char use "
        "place open split form process sandwich layer finish start work drop tip score freeze "
        "glaze frost puree purée fill cook thin smooth level separate turn spread sear bake ");
}

/* ------------------------------------------------------------ where acts begin */

/* Is the token a verb that tells the cook to do something? `led`: it stands where such a
 * verb may stand; `strict`: only with an object behind it. */
static const bk_verb *verb_here(const bk_token *t, size_t i, size_t end, bool first, bool strict)
{
    const bk_verb *verb = t[i].kind == BK_TOKEN_WORD ? bk_verb_find(t[i].word) : NULL;
    if (!verb || (bk_is(&t[i], "rest") && i + 1 < end && bk_is(&t[i + 1], "of")))
        return NULL;
    bool more = i + 1 < end;
    if (more && bk_among(&t[i + 1], " of if "))
        return NULL; /* "spoon of dripping", "stir if you think of it" */
    bool object = more && (bk_among(&t[i + 1], determiners) || t[i + 1].kind == BK_TOKEN_NUMBER);
    bool food_alone = verb->group == BK_NO_ACT || bk_among(&t[i], " salt marinade cream mince lard ");
    if (food_alone && more && bk_among(&t[i + 1], " in into on onto over with for together "))
        object = object && bk_is(&t[i], "cream") && bk_is(&t[i + 1], "together");
    if (bk_is(&t[i], "mark") && more && t[i + 1].kind == BK_TOKEN_NUMBER)
        return NULL; /* "Mark 4" */
    if (is_food_word(t[i].word) && object && more && t[i + 1].kind != BK_TOKEN_NUMBER)
        object = bk_among(&t[i + 1], " the it them all each a an both your this these half some any "
                                     "off out up together remaining ") ||
                 (bk_among(&t[i + 1], " in into onto with over ") &&
                  bk_among(&t[i], " pot pipe bottle line mark thread slip dot pile heap "));
    object |= first && more && is_adverb(&t[i + 1]); /* "Pot straight into hot jars" */
    if (is_food_word(t[i].word))
        return object && !bk_among(&t[i + 1], " to for with and ") ? verb : NULL;
    if (first)
        return verb;
    if (!is_ambiguous(t[i].word))
        return !strict || more ? verb : NULL;
    bool ends = !more || bk_among(&t[i + 1], " , . ; ) and ");
    return object || (ends && !strict) || (more && is_adverb(&t[i + 1]) && !strict) ? verb : NULL;
}

static bool is_pronoun(const bk_token *t)
{
    return bk_among(
        t, " i i'm i've i'll we we've you you'll you're you've it it's this that these they "
           "they're my "
           "our he she there here his her what who don't never these's your nobody everyone no not "
           "mine ours people some my can should may best ");
}

/* "we then bake": a verb behind the pronoun, that no noun can be. */
static bool tells(const bk_token *t, size_t at, size_t end)
{
    size_t i = at + 1;
    while (i < end &&
           (is_adverb(&t[i]) || bk_among(&t[i], " always usually generally never mostly ") ||
            (i + 1 < end && bk_among(&t[i], " need have want like ") && bk_is(&t[i + 1], "to")) ||
            (bk_is(&t[i], "to") && bk_among(&t[i - 1], " need have want like ")) ||
            bk_among(&t[i], " must should ")))
        i++;
    return i < end && verb_here(t, i, end, false, true) &&
           !bk_among(&t[i],
                     " make use get keep start try begin eat serve freeze store cook prepare ");
}

/* "it bakes for an hour" */
static bool goes_on_by_itself(const bk_token *t, size_t at, size_t end)
{
    const bk_verb *verb = at + 1 < end ? bk_verb_of_form(t[at + 1].word) : NULL;
    return verb && verb->passive && verb->group > BK_LET && bk_spell_find(t, at, end).found;
}

/* A time before the next comma, after "at", "for" or a number. */
static bool takes_time(const bk_token *t, size_t from, size_t end)
{
    size_t i = from;
    while (i < end && !bk_among(&t[i], " , ; . "))
        i++;
    return (t[from].kind == BK_TOKEN_NUMBER || bk_among(&t[from], " at for another on a ")) &&
           bk_spell_find(t, from, i).found;
}

/* "a further hour at 180 C" */
static bool is_at_a_heat(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i + 1 < end && !bk_among(&t[i], " , ; . "); i++)
        if (bk_is(&t[i], "at") && t[i + 1].kind == BK_TOKEN_NUMBER &&
            t[i + 1].millionths >= 100 * (int64_t)1000000)
            return true;
    return false;
}

static bool comma_free(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i < end && i < from + 6; i++)
        if (bk_among(&t[i], " , : "))
            return false;
    return true;
}

/* "peeled", "beaten" */
static bool is_done(const bk_token *t)
{
    size_t n = strlen(t->word);
    return (n > 4 && strcmp(t->word + n - 2, "ed") == 0) ||
           bk_among(t, " beaten frozen shaken torn broken ");
}

/* "are boiled together and poured at once on it": the participle of a chain that "is" or
 * "are" began, of a verb that the cook does. */
static bool told_in_passive(const bk_token *t, size_t i, size_t end, bool chain)
{
    const bk_verb *verb = t[i].kind == BK_TOKEN_WORD && is_done(&t[i]) ? bk_verb_of_form(t[i].word)
                                                                       : NULL;
    if (!verb || verb->group >= BK_NO_ACT || verb->group == BK_LET || verb->group == BK_LIGHT)
        return false;
    size_t b = i;
    while (b > 0 && is_adverb(&t[b - 1]) && !bk_is(&t[b - 1], "then"))
        b--;
    if (b == 0)
        return false;
    bool is = bk_among(&t[b - 1], " is are be ") &&
              !(b > 1 && bk_among(&t[b - 2], " it this that these they which to "));
    bool goes_on = chain && bk_among(&t[b - 1], " and then , ");
    for (size_t k = i + 1; k < end && k < i + 3; k++)
        if (bk_among(&t[k], " when if enough by "))
            return false; /* "is cooked when the juices run clear" */
    return is || goes_on;
}

/* "shallots peeled, salt over": what a note says is done. Not "chopped onions", nor what is
 * said to be so. */
static bool told_as_done(const bk_token *t, size_t lead, size_t i, size_t end)
{
    if (i <= lead || t[i].kind != BK_TOKEN_WORD || !is_done(&t[i]))
        return false;
    const bk_verb *verb = bk_verb_of_form(t[i].word);
    if (!verb || verb->group == BK_NO_ACT || verb->group == BK_LET || verb->group == BK_LIGHT)
        return false;
    for (size_t b = lead; b < i; b++)
        if (opens_subordinate(&t[b]) ||
            bk_among(&t[b], " is are was were be been being has have had if and with than the "
                            "a you we they it not well just "))
            return false;
    size_t next = i + 1;
    while (next < end && (is_adverb(&t[next]) || bk_among(&t[next], " v very small up off ")))
        next++;
    return t[i - 1].kind == BK_TOKEN_WORD &&
           (next >= end || t[next].kind != BK_TOKEN_WORD ||
            bk_among(&t[next], " and in into on onto over for with until till to then under from pale fine "
                           "smooth stiff soft dry thick thin together small "));
}

/* "In a large bowl combine ...", "Using a fork mix ...". */
static bool is_behind_vessel(const bk_token *t, size_t from, size_t at)
{
    return bk_among(&t[from], " in using with on ") &&
           bk_among(&t[at - 1], " bowl pan saucepan pot mixer processor jug skillet casserole dish "
                                "blender hook attachment fork whisk spoon board surface ");
}

/* "with the motor running": its last token, or `at`. */
static size_t runs_on(const bk_token *t, size_t at, size_t end)
{
    for (size_t i = at + 1; bk_is(&t[at], "with") && i < end && i < at + 5; i++)
        if (bk_is(&t[i], "running"))
            return i;
    return at;
}

/* Finds where acts begin in a sentence: the verb of each, and the words that lead to it.
 * Gives their number. */
static size_t find_verbs(const bk_token *t, size_t from, size_t end, size_t *at, size_t *leads)
{
    size_t n = 0, opened = SIZE_MAX;
    bool chain = false; /* "are boiled and poured" */
    bool chat = is_pronoun(&t[from]);
    bool subordinate = opens_subordinate(&t[from]) ||
                       bk_among(&t[from], " in with on at by during from using working after ");
    bool led = !chat && !subordinate;
    size_t lead = from;  /* where the words before the verb begin */
    size_t foods = from; /* where a note's list of foods begins: "potatoes + onion grated" */
    for (size_t i = from; i < end && n < MOST_ACTS; i++) {
        const bk_token *token = &t[i];
        if (bk_among(token, " : ; , then ") || (n > 0 && at[n - 1] >= foods &&
                                                bk_among(token, " + and & - ")))
            foods = i + 1;
        if (bk_among(token, " : ; + ") || (bk_among(token, " - ") && token->spaced &&
                                           t[i + 1].spaced && t[i + 1].kind == BK_TOKEN_WORD)) {
            chat = subordinate = chain = false;
            led = true;
            lead = i + 1;
        } else if (bk_is(token, ",") || bk_is(token, "then") || bk_is(token, ")")) {
            subordinate = false;
            led = !chat || bk_is(token, "then");
            /* "as soon as they are out, turn them": the clause belongs to what follows it */
            lead = opened != SIZE_MAX && bk_is(token, ",") ? opened : i + 1;
            opened = SIZE_MAX;
        } else if (bk_among(token, " and & or but ")) {
            led = !chat && !(bk_is(token, "or"));
            lead = i + 1;
        } else if (bk_is(token, "(")) {
            while (i + 1 < end && !bk_is(&t[i], ")"))
                i++;
            led = false;
        } else if (led && subordinate && n == 0 && i == from + 2 && bk_is(&t[from], "for") &&
                   bk_among(&t[from + 1], " the a ") && i + 1 < end && bk_verb_find(t[i + 1].word)) {
            continue; /* "For the mash boil ..." */
        } else if (led && verb_here(t, i, end, i == from || lead == from || (i == lead && bk_among(&t[i - 1], " : ; ")),
                                    subordinate)) {
            leads[n] = lead;
            at[n++] = i;
            led = subordinate = false;
            opened = SIZE_MAX;
        } else if (!chat && !subordinate && told_in_passive(t, i, end, chain)) {
            leads[n] = n == 0 || !chain ? lead : i;
            at[n++] = i;
            chain = true;
            led = false;
        } else if (!chat && !subordinate && (n == 0 || at[n - 1] < foods) &&
                   told_as_done(t, foods, i, end)) {
            leads[n] = foods;
            at[n++] = i;
            led = false;
        } else if (led && i + 2 < end &&
                   bk_among(token, " hard soft deep par pan stir slow pot oven ") &&
                   bk_is(&t[i + 1], "-") && !t[i + 1].spaced) {
            i++; /* "hard-boil" */
        } else if (led && n > 0 &&
                   bk_among(token, " turning reducing lowering increasing raising ") && i + 1 < end &&
                   bk_among(&t[i + 1], " the oven heat temperature it down up to ")) {
            leads[n] = i; /* "bake for an hour, turning the oven down to 160 C after ..." */
            at[n++] = i;
            led = false;
        } else if (led && n > 0 && bk_is(&t[i - 1], "and") && takes_time(t, i, end) &&
                   is_at_a_heat(t, i, end)) {
            leads[n] = i; /* "20 minutes at 220 C and a further hour at 180 C" */
            at[n++] = i;
            led = false;
        } else if (led && n > 0 && bk_among(&t[i - 1], " then ; ") && takes_time(t, i, end)) {
            leads[n] = i;
            at[n++] = i; /* "then at 160 C for an hour" */
            led = false;
        } else if (n == 0 && subordinate && i > from && is_behind_vessel(t, from, i) &&
                   verb_here(t, i, end, true, true)) {
            leads[n] = lead; /* "In a large bowl combine the flours" */
            at[n++] = i;
            led = subordinate = false;
        } else if (led && runs_on(t, i, end) > i) {
            i = runs_on(t, i, end); /* "with the motor running pour in the butter" */
        } else if (opens_subordinate(token)) {
            subordinate = true;
            opened = i == lead && n > 0 ? i : opened;
            led = i == from && bk_is(token, "for") && comma_free(t, from, end);
        } else if (led && subordinate && lead == from && n == 0 && bk_is(&t[from], "for")) {
            continue; /* "For the meringue whisk" */
        } else if (led && i > from && bk_is(token, "away") && bk_is(&t[i - 1], "straight")) {
            continue;
        } else if (led && i + 1 < end && bk_is(token, "at") && bk_is(&t[i + 1], "once")) {
            i++;
        } else if (!is_adverb(token) &&
                   !(lead == from && i == from && bk_among(token, " evening morning "))) {
            led = false;
        }
        bool phrase = n == 0 && i < from + 8 &&
                      !bk_among(&t[from], " when if while whilst until till as because once unless "
                                          "since where which so ");
        if (!chat && i > from && bk_among(token, " i we you ") &&
            (phrase || bk_among(&t[i - 1], " , and then first so ; ")) && tells(t, i, end)) {
            led = true; /* "For the last 20 minutes I turn the oven up" */
            lead = phrase ? from : lead;
            subordinate = false;
        } else if ((led || bk_among(&t[i > from ? i - 1 : i], " , and then ; ")) &&
                   bk_among(token, " it they ") && goes_on_by_itself(t, i, end) && n < MOST_ACTS &&
                   i > from) {
            leads[n] = i + 1;
            at[n++] = i + 1; /* "and it bakes for an hour" */
            led = subordinate = false;
        }
        if (chat && i < from + 3 && bk_among(token, " i we you ") && tells(t, i, end)) {
            chat = false; /* "I bake it for an hour" */
            led = true;
        }
        if (i == from && bk_among(token, " meanwhile next now then finally first "))
            led = true;
        if (i == from && i + 2 < end && bk_among(token, " in at ") && bk_is(&t[i + 1], "the") &&
            (bk_is(&t[i + 2], "meantime") || (bk_is(&t[i + 2], "same") && i + 3 < end))) {
            i += bk_is(&t[i + 2], "same") ? 3u : 2u; /* "In the meantime toast the almonds" */
            led = true;
            subordinate = false;
            lead = from;
        }
    }
    return n;
}

/* --------------------------------------------------------- what an act comes to */

static bool has(const bk_act *act, const bk_token *t, const char *words)
{
    for (size_t i = act->from; i < act->end; i++)
        if (bk_among(&t[i], words))
            return true;
    return false;
}

/* Two words one behind the other. */
static bool has_pair(const bk_act *act, const bk_token *t, const char *first, const char *second)
{
    for (size_t i = act->from; i + 1 < act->end; i++)
        if (bk_among(&t[i], first) && bk_among(&t[i + 1], second))
            return true;
    return false;
}

/* "let it cool", "leave to rise": the deed that a word of the act names. */
static const bk_verb *named_deed(const bk_act *act, const bk_token *t)
{
    for (size_t i = act->from + 1; i < act->end; i++) {
        const bk_verb *verb = t[i].kind == BK_TOKEN_WORD ? bk_verb_find(t[i].word) : NULL;
        if (bk_is(&t[i], "set") && !(i + 1 < act->end && bk_is(&t[i + 1], "aside")))
            return bk_verb_find("firm");
        if (bk_among(&t[i], " before until till "))
            break;
        if (!verb || is_food_word(verb->word) || (i > 0 && bk_among(&t[i - 1], " the a ")))
            continue;
        if (verb->passive && verb->group != BK_LET &&
            !(verb->group == BK_REST && bk_among(&t[i], " dry cool double ") && i + 1 < act->end &&
              bk_among(&t[i + 1], " place bowl room towel cloth larder ")))
            return verb;
    }
    return NULL;
}

static void rest_here(bk_act *act, const char *word)
{
    act->verb = bk_verb_find(word);
    act->group = act->verb->group;
    act->passive = true;
    act->where |= act->verb->where;
}

/* let, leave, put, set ...: by the deed that is named, by the place, by the time. */
static void resolve_let(bk_act *act, const bk_token *t, bool last)
{
    const bk_verb *deed = bk_is(&t[act->from], "turn") ? NULL : named_deed(act, t);
    const char *word = act->verb->word;
    bool puts = !act->verb->passive;
    if (strcmp(word, "turn") == 0) {
        act->group = has(act, t, " out over upside ") ? BK_PREP
                     : act->spell.found               ? BK_HEAT
                                                      : BK_LIGHT;
        act->where |= act->group == BK_HEAT ? BK_ON_HOB : 0u;
        return;
    }
    if (deed) {
        rest_here(act, deed->word);
    } else if (act->where & (BK_IN_FRIDGE | BK_IN_FREEZER)) {
        if (!act->spell.found && puts && !last)
            act->group = BK_LIGHT;
        else
            rest_here(act, act->where & BK_IN_FREEZER ? "freeze" : "chill");
    } else if (act->where & BK_IN_OVEN) {
        if (act->spell.found || last)
            rest_here(act, "bake");
        else
            act->group = BK_LIGHT;
    } else if (act->where & (BK_IN_SLOW_COOKER | BK_IN_MACHINE | BK_IN_MICROWAVE) &&
               act->spell.found) {
        rest_here(act, "cook");
        act->where &= ~(unsigned)BK_ON_HOB;
    } else if (act->where & BK_ON_HOB && act->spell.found) {
        rest_here(act, "simmer");
    } else if (act->where & BK_IN_COOL_PLACE ||
               (act->spell.found && (!puts || act->spell.least >= 1200))) {
        rest_here(act, "rest");
    } else if (strcmp(word, "leave") == 0 && !has(act, t, " aside side ") && last) {
        rest_here(act, "rest");
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
        for (size_t j = i + 1; j < i + 5 && j < act->end; j++)
            if (bk_among(&t[j],
                         " occasionally once now if every halfway time twice half sometimes ") ||
                (bk_is(&t[j], "in") && bk_is(&t[i], "stirring")))
                return false;
        return !(i > act->from && bk_among(&t[i - 1], " without occasionally "));
    }
    return has_pair(act, t, " stir ", " constantly continuously often ") ||
           has(act, t, " constantly continuously ");
}

enum { SHORT_COOKING = 8 * 60, SHORT_BOILING = 3 * 60 };

static void decide_kind(bk_act *act, const bk_token *t)
{
    const char *word = act->verb ? act->verb->word : "";
    act->passive = act->verb ? act->verb->passive : act->passive;
    act->why = act->passive ? "it goes on by itself" : "it is done by hand";
    if (act->group == BK_BAKE) {
        act->passive = true;
        act->why = "it goes on by itself";
    } else if (act->group == BK_HEAT && act->passive &&
               (!act->spell.found || has(act, t, " watching "))) {
        act->passive = false;
        act->why = "it is watched";
    } else if (act->group == BK_HEAT && act->spell.found &&
               has_pair(act, t, " without ", " moving turning stirring touching ")) {
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
                       has(act, t, " stirring turning ");
        bool reheat = strcmp(word, "reheat") == 0 && !act->spell.found;
        if (stirred || reheat || stirs_throughout(act, t)) {
            act->passive = false;
            act->why = "it is stirred";
        } else if ((boil && (!act->spell.found || act->spell.most <= SHORT_BOILING ||
                             has(act, t, " hard rapidly fast "))) ||
                   (cook && (!act->spell.found || act->spell.most <= SHORT_COOKING) &&
                    !(act->where & (BK_IN_OVEN | BK_IN_SLOW_COOKER)) &&
                    !has(act, t, " covered lid "))) {
            act->passive = false;
            act->why = "it is short and watched";
        }
    } else if (act->group == BK_HEAT && act->verb && act->spell.found &&
               (act->where & (BK_IN_OVEN | BK_IN_MICROWAVE | BK_IN_GRILL) || strcmp(word, "microwave") == 0)) {
        act->passive = true;
        act->why = "it goes on by itself";
    } else if (act->group == BK_STRAIN && act->spell.found && act->spell.least >= 600) {
        act->passive = true;
        act->why = "it drips by itself";
    }
}

static void decide_where(bk_act *act, const bk_token *t)
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
        bool pan = has(act, t, " pan ") && act->group == BK_POUR;
        act->where &= ~(unsigned)BK_ON_HOB;
        act->where |= pan ? BK_IN_TIN : 0u;
    }
    if (act->group == BK_REST && !has(act, t, " hob stove heat flame "))
        act->where &= ~(unsigned)BK_ON_HOB;
    act->where |= of_verb;
    if (has_pair(act, t, " the a ", " boil simmer ") ||
        (act->group == BK_HEAT && act->verb && strcmp(act->verb->word, "bring") == 0))
        act->where |= act->where & (BK_IN_OVEN | BK_IN_MICROWAVE) ? 0u : BK_ON_HOB;
}

/* "while it rests", and not "while still warm" nor "while stirring". */
static bool is_while_it_goes_on(const bk_token *t, size_t at, size_t end)
{
    if (!bk_among(&t[at], " while whilst ") || at + 1 >= end ||
        !bk_among(&t[at + 1], " the it they that this these those your you "))
        return false;
    for (size_t i = at + 1; i < end && i < at + 7 && !bk_is(&t[i], ","); i++)
        if (bk_among(&t[i], " hot warm still running motor machine mixer whisking stirring "))
            return false;
    return true;
}

/* "About half an hour before the stew is ready", "when the rice is nearly done". */
static bool is_before_the_end(const bk_token *t, size_t from, size_t end)
{
    bool near = false;
    for (size_t i = from; i < end && !bk_is(&t[i], ","); i++) {
        near |= bk_among(&t[i], " before nearly almost minutes' ");
        if (near && bk_among(&t[i], " ready done out end cooked finished ") &&
            bk_among(&t[i - 1], " is are comes come the nearly almost be "))
            return true;
    }
    return false;
}

/* "Meanwhile ...", "Gravy: while the turkey rests ...", "... while you finish the sauce: ...",
 * "At the same time ...", "... meantime". */
static bool is_meanwhile(const bk_act *words, const bk_token *t, size_t lead, size_t sentence,
                         size_t sentence_end)
{
    for (size_t i = lead; i < words->from + 1; i++)
        if (bk_among(&t[i], " meanwhile while whilst ") &&
            (i == lead || bk_among(&t[i - 1], " : ; , and ")))
            return true;
    for (size_t i = words->from + 1; i < words->end; i++)
        if (is_while_it_goes_on(t, i, words->end) && !bk_is(&t[i + 1], "you"))
            return words->sentence; /* "whip the cream while the cake cools" */
    bool you = false;
    for (size_t i = sentence; i < lead; i++) {
        you |= bk_is(&t[i], "while") && bk_is(&t[i + 1], "you");
        if (you && i + 1 == lead && bk_is(&t[i], ":"))
            return true;
    }
    bk_act all = {.from = sentence, .end = sentence_end};
    return (lead == sentence && has(&all, t, " meantime meanwhile ") &&
            !has(&all, t, " keeping ")) ||
           (lead == sentence && is_before_the_end(t, sentence, words->from)) ||
           (lead == sentence && has_pair(&all, t, " same that this ", " time ")) ||
           (bk_is(&t[lead], "as") && !bk_is(&t[lead + 1], "soon"));
}

/* "leave to cool while you make the icing" */
static bool leaves_time(const bk_act *act, const bk_token *t)
{
    for (size_t i = act->from + 1; i + 2 < act->end; i++)
        if (bk_among(&t[i], " while whilst ") &&
            (bk_is(&t[i + 1], "you") || bk_among(&t[i + 1], " making preparing ")))
            return true;
    return false;
}

/* "carry it to the table at once": that is no haste between stages. */
static bool is_for_the_table(const bk_act *words, const bk_token *t)
{
    return has(words, t, " table serve guests eat ");
}

/* "out of the tin", "from its mould", "on a rack", "turn out". */
static bool leaves_the_tin(const bk_act *act, const bk_token *t)
{
    for (size_t i = act->from; i + 2 < act->end; i++)
        if (bk_among(&t[i], " from of off ") && bk_among(&t[i + 1], " the its their ") &&
            bk_among(&t[i + 2], " tin tins tray mould mold moulds pan dish ramekins "))
            return true;
    return has_pair(act, t, " turn turned ", " out ") || has(act, t, " unmould unmold rack ") ||
           (bk_is(&t[act->from], "turn") && has(act, t, " out "));
}

/* "pastry: rub in ...": the token behind the sign, or `from`. */
static size_t behind_label(const bk_token *t, size_t from, size_t end)
{
    enum { MOST_WORDS = 6 };
    for (size_t i = from; i < end && i < from + MOST_WORDS; i++) {
        if (bk_is(&t[i], ":"))
            return i > from ? i + 1 : from;
        if (t[i].kind != BK_TOKEN_WORD)
            break;
    }
    return from;
}

/* "immediately", "as soon as they are out", "before it sets", "working quickly". */
static bool asks_for_haste(const bk_act *act, const bk_act *words, const bk_token *t)
{
    bool hands = act->group == BK_POUR || act->group == BK_MIX || act->group == BK_PREP ||
                 act->group == BK_STRAIN || act->group == BK_LIGHT;
    return has(words, t, " immediately promptly straightaway instantly ") ||
           has_pair(words, t, " at ", " once ") ||
           has_pair(words, t, " straight right ", " away into onto from in out on ") ||
           has_pair(words, t, " soon ", " as ") ||
           has_pair(words, t, " the ", " moment instant minute ") ||
           has_pair(words, t, " without ", " delay waiting pausing ") ||
           has_pair(words, t, " before it they ", " sets set hardens harden cools melts ") ||
           has_pair(words, t, " it they ", " sets hardens stiffens ") ||
           (hands && has(words, t, " quickly quick swiftly "));
}

/* "while still warm", "prick the hot cake", "into the boiling syrup". */
static bool is_hot_work(const bk_act *act, const bk_act *words, const bk_token *t)
{
    for (size_t i = words->from; i + 1 < words->end; i++) {
        if (bk_among(&t[i], " while whilst ") && i + 2 < words->end) {
            for (size_t j = i + 1; j < i + 6 && j < words->end && !bk_is(&t[j], ","); j++)
                if (bk_among(&t[j], " hot warm boiling soft pliable molten "))
                    return true;
        }
        if (bk_is(&t[i], "still") && bk_among(&t[i + 1], " hot warm "))
            return true;
        bool hot = bk_among(&t[i + 1], " hot boiling ") &&
                   !(i + 2 < words->end &&
                     bk_among(&t[i + 2], " oven water oil heat place tap part "));
        if (hot && bk_is(&t[i], "the") && (act->group != BK_PREP || i == act->from + 1))
            return true;
        if (hot && bk_among(&t[i], " into ") && i + 2 < words->end &&
            bk_among(&t[i + 2], " jars jar sterilised sterilized clean dry "))
            return true;
    }
    return false;
}

static void decide_order(bk_act *act, const bk_token *t, size_t lead, size_t sentence,
                         size_t sentence_end)
{
    bk_act words = *act;
    words.from = lead;
    act->at_once = (asks_for_haste(act, &words, t) || is_hot_work(act, &words, t)) &&
                   !is_for_the_table(&words, t);
    act->hot_target =
        has_pair(&words, t, " the ", " hot boiling warm ") && has(&words, t, " into onto over ");
    act->meanwhile =
        is_meanwhile(&(bk_act){.from = act->from, .end = act->end, .sentence = act->sentence}, t,
                     lead, sentence, sentence_end);
    act->apart = (bk_is(&t[lead], "for") && lead == sentence && lead < act->from &&
                  bk_among(&t[lead + 1], " the a ")) ||
                 has_pair(&words, t, " another separate second clean ",
                          " pan bowl saucepan pot jug ");
    act->beside_next = act->passive && leaves_time(act, t);
    act->mixes_in = act->from + 2 < act->end && bk_among(&t[act->from + 1], " in into ") &&
                    bk_is(&t[act->from + 2], "the");
    size_t label = lead == sentence ? behind_label(t, sentence, sentence_end) : lead;
    if (label > lead && (label <= act->from || !act->verb)) {
        act->label_from = lead;
        act->label_end = label - 1;
    }
    act->back_refers =
        has_pair(&words, t, " the same ", " same pan pot ") ||
        (bk_among(&t[lead], " as once when after before ") && lead < act->from &&
         has(&(bk_act){.from = lead, .end = act->from}, t, " it they them "));
    act->joins = has_pair(act, t, " into onto over to through with on ", " the them it this ") ||
                 has_pair(act, t, " in ", " the ");
    act->out_of_tin = leaves_the_tin(act, t);
}

/* -------------------------------------------------- sentences that are no stage */

/* "Turn the oven up to 220 C for the last 10 minutes", "reduce to 160 C for an hour": it bakes
 * on at that heat. Not "after 10 minutes". */
static bool last_minutes(const reading *r, bk_act *act)
{
    act->spell = bk_spell_find(r->t, act->from, act->end);
    for (size_t i = act->from + 1; i < act->end && !act->spell.found; i++)
        if (bk_among(&r->t[i - 1], " last final "))
            (void)bk_spell_read(r->t, i, act->end, &act->spell);
    for (size_t back = 1; back < 9 && act->from >= back && !act->spell.found; back++)
        if (bk_among(&r->t[act->from - back], " last final "))
            (void)bk_spell_read(r->t, act->from - back + 1, act->from, &act->spell);
    if (act->spell.found) {
        act->verb = bk_verb_find("bake");
        act->group = BK_BAKE;
        act->passive = true;
        act->why = "it goes on by itself";
        act->where = (act->where | BK_IN_OVEN) & ~(unsigned)BK_ON_HOB;
        act->back_refers = true;
    }
    return act->spell.found;
}

/* "Heat the oven to 180 C", "Oven on at 200", "reduce to 160 C". */
static bool sets_the_oven(reading *r, bk_act *act)
{
    const bk_token *t = r->t;
    const char *word = act->verb ? t[act->from].word : "";
    bool change = act->verb && act->setting.at && !act->setting.in_words &&
                  bk_among(&(bk_token){.word = act->verb->word},
                           " turn reduce lower increase drop raise crank ");
    bool heats =
        (strcmp(word, "preheat") == 0 ||
         ((strcmp(word, "heat") == 0 || strcmp(word, "set") == 0 || strcmp(word, "put") == 0 ||
           strcmp(word, "turn") == 0 || strcmp(word, "switch") == 0 || strcmp(word, "get") == 0 ||
           strcmp(word, "warm") == 0 || strcmp(word, "bring") == 0 ||
           strcmp(word, "crank") == 0 || strcmp(word, "whack") == 0 ||
           strcmp(word, "start") == 0 || strcmp(word, "light") == 0) &&
          has_pair(act, t, " the an your ", " oven ") &&
          !has_pair(act, t, " in into ", " the "))) ||
        (strcmp(word, "heat") == 0 && act->from + 1 < act->end && bk_is(&t[act->from + 1], "oven"));
    bool short_note = act->end <= act->from + 7; /* "Mark 4." */
    bool bare = !act->verb && act->end > act->from && act->setting.at && !act->spell.found &&
                (short_note || has(act, t, " oven preheat "));
    if (!change && !heats && !bare)
        return false;
    if (act->setting.at) {
        r->oven_in_words = act->setting.in_words;
        r->oven = act->setting.at;
        r->oven_words = bk_copy(r->taken->arena, r->text + t[act->from].from,
                                t[act->end - 1].to - t[act->from].from);
        r->oven_changed = change;
        if (!r->first_oven && !change && !act->setting.in_words) {
            r->first_oven = r->oven;
            r->first_oven_words = r->oven_words;
        }
    }
    if (change && last_minutes(r, act))
        return false;
    return true;
}

static const char *words_of(const reading *r, size_t from, size_t end)
{
    const bk_token *t = r->t;
    while (end > from + 1 && bk_among(&t[end - 1], " , ; . : and then & - + ! "))
        end--;
    while (from + 1 < end && bk_among(&t[from], " , ; . : and then & - + ) "))
        from++;
    char *words = bk_copy(r->taken->arena, r->text + t[from].from, t[end - 1].to - t[from].from);
    if (words[0] >= 'a' && words[0] <= 'z')
        words[0] = (char)(words[0] - 'a' + 'A');
    return words;
}

static void leave_out(reading *r, size_t from, size_t end)
{
    bk_taken *taken = r->taken;
    bool tin = bk_places_named(r->t, from, end) & BK_IN_TIN;
    r->tin_ready |= tin || (r->oven && bk_among(&r->t[end > from ? end - 1 : from], " pan "));
    if (end > from) {
        *BK_PUSH(taken->arena, taken->left, taken->left_count, taken->left_room) =
            (bk_left){words_of(r, from, end), taken->count};
    }
}

/* -------------------------------------------------------------------- stages */

/* "the sauce for the fish": the token behind "sauce". */
static size_t noun_end(const bk_token *t, size_t from, size_t end)
{
    size_t i = from;
    while (i < end && t[i].kind == BK_TOKEN_WORD &&
           !bk_among(&t[i], " for with while in by as from and to as until "))
        i++;
    return i;
}

/* What the sentence before said of this stage. */
static void take_pending(reading *r, bk_act *act)
{
    if (r->pending.step == r->step) {
        act->meanwhile |= r->pending.meanwhile;
        act->at_once |= r->pending.at_once;
        act->apart |= r->pending.apart;
        if (act->label_end == act->label_from && r->pending.label_end > r->pending.label_from) {
            act->label_from = r->pending.label_from;
            act->label_end = r->pending.label_end;
        }
    }
    r->pending.step = SIZE_MAX;
}

static bk_taken_stage *add_stage(reading *r, const bk_act *act, size_t lead)
{
    bk_taken *taken = r->taken;
    if (taken->count >= BK_MOST_TAKEN_STAGES)
        return NULL;
    if (taken->count > 0 && act->group == BK_BAKE && act->spell.found) {
        const bk_taken_stage *before = &taken->stages[taken->count - 1];
        if (before->act.group == BK_BAKE && !before->act.spell.found && before->step == r->step &&
            bk_among(&before->tokens[before->act.verb_at],
                     " put return place transfer slide pop set slip get move ")) {
            lead = before->act.from; /* "Return to the oven. Roast for 30 minutes." */
            taken->count--;
        }
    }
    bk_taken_stage *stage = BK_PUSH(taken->arena, taken->stages, taken->count, taken->room);
    *stage = (bk_taken_stage){.step = r->step, .tokens = r->t, .act = *act};
    stage->text = words_of(r, lead, act->end);
    stage->act.from = lead;
    take_pending(r, &stage->act);
    if (act->group == BK_BAKE || (act->where & BK_IN_OVEN && act->passive)) {
        if (act->setting.at && !(act->setting.in_words && r->oven)) {
            r->oven_in_words = act->setting.in_words;
            r->oven = act->setting.at;
            r->oven_words = bk_copy(taken->arena, r->text + act->setting.from,
                                    act->setting.to - act->setting.from);
        }
        stage->act.where |= r->tin_ready && act->group == BK_BAKE ? BK_IN_TIN : 0u;
        r->tin_ready = false;
        stage->oven = r->oven;
        stage->oven_words = r->oven_words;
        stage->oven_in_words = r->oven_in_words;
        bool hotter = r->baking == taken->count - 2 && taken->count > 1 &&
                      taken->stages[r->baking].step == r->step && taken->stages[r->baking].oven &&
                      strcmp(taken->stages[r->baking].oven, r->oven ? r->oven : "") != 0;
        stage->act.parts_baking = (r->oven_changed && r->baking == taken->count - 2) || hotter;
        stage->act.at_once |= stage->act.parts_baking;
        r->oven_changed = false;
        r->baking = taken->count - 1;
    }
    return stage;
}

static bool merges(const bk_taken_stage *before, const bk_act *act)
{
    const bk_act *b = &before->act;
    if (b->passive || act->passive || b->spell.found || act->spell.found)
        return false;
    if (act->at_once && !b->at_once && (act->group != b->group || act->group != BK_MIX))
        return false;
    bool bowl = b->group == BK_POUR && act->group == BK_MIX && !(b->where & BK_IN_TIN);
    bool same = b->group == act->group && act->group != BK_HEAT;
    if (act->group == BK_MIX && b->group == BK_MIX && act->verb_at + 1 < act->end &&
        b->verb_at + 3 < b->end && act->mixes_in)
        return false;
    bool whipped = b->verb && act->verb && strcmp(act->verb->word, "fold") == 0 &&
                   bk_among(&(bk_token){.word = b->verb->word}, " whisk whip beat cream ");
    bool hand = b->group == BK_PREP && act->group == BK_PREP;
    return (same || bowl || hand) && !whipped && b->where == act->where;
}

static void extend(reading *r, bk_taken_stage *stage, size_t end)
{
    stage->act.end = end;
    stage->text = words_of(r, stage->act.from, end);
}

/* A light move that is a stage when nothing follows it. */
static bool stands_alone(const bk_act *act)
{
    const char *word = act->verb ? act->verb->word : "";
    return !bk_among(
        &(bk_token){.word = word},
        " cover take remove set keep leave let allow discard continue repeat use make start begin "
        "finish reserve baste uncover open put give wrap flip smooth level turn prepare store get "
        "lower fit ");
}

static bool is_lining_with_paper(const bk_act *act, const bk_token *t)
{
    return act->verb && strcmp(act->verb->word, "line") == 0 &&
           (has(act, t, " paper parchment foil baking greaseproof film ") ||
            !has(act, t, " with it pastry dough "));
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
    const bk_verb *deed = named_deed(act, t);
    bool to_deed =
        deed && deed->group == BK_REST && has_pair(act, t, " to ", " rest cool stand dry steam ");
    if (out && act->spell.found &&
        (to_deed || has(act, t, " fridge freezer refrigerator before ahead beforehand ")))
        rest_here(act, "rest");
    else if (bk_among(&t[act->from], " cover wrap ") && act->spell.found && act->spell.least >= 900)
        rest_here(act, "rest");
}

/* "Cook at 180 C for an hour"; "cook for an hour" behind what was put into a tin, in a
 * recipe with an oven. */
static void go_into_the_oven(const reading *r, bk_act *act)
{
    const bk_taken *taken = r->taken;
    bool elsewhere = (act->where & ~(unsigned)(BK_IN_TIN | BK_IN_OVEN)) != 0;
    if (!act->spell.found || elsewhere || act->group == BK_BAKE || act->group == BK_PREP ||
        act->group == BK_MIX || act->group == BK_NO_ACT || act->group == BK_COLD ||
        act->group == BK_MACHINE || act->group == BK_STRAIN)
        return;
    bool follows = false;
    if (taken->count > 0 && r->oven && act->verb &&
        bk_among(&(bk_token){.word = act->verb->word}, " cook crisp braise brown continue ")) {
        unsigned before = taken->stages[taken->count - 1].act.where;
        follows = (before & (BK_IN_TIN | BK_IN_OVEN)) != 0 && !(before & BK_ON_HOB);
    }
    if (act->setting.at || follows)
        rest_here(act, "bake");
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
    return water && has(act, t, " pan pot kettle saucepan steamer ");
}

/* "Heat 2 tbsp oil in a large pan": it belongs to what is fried in it. */
static bool is_heating_fat(const bk_act *act, const bk_token *t)
{
    if (!bk_is(&t[act->from], "heat") || act->spell.found)
        return false;
    for (size_t i = act->from + 1; i < act->end && i < act->from + 9; i++) {
        if (bk_among(&t[i], " oil fat dripping lard pan skillet wok griddle ghee "))
            return true;
        if (bk_among(&t[i], " in with and , until to over milk cream stock water sugar "))
            return false;
    }
    return false;
}

/* "About half an hour before the stew is ready, rub ...": that is when, not how long. */
static bk_spell find_own_spell(const bk_act *act, const bk_token *t, size_t lead)
{
    bk_spell spell = bk_spell_find(t, lead, act->end);
    for (size_t i = lead; i < act->from && spell.found; i++)
        if (t[i].from >= spell.to && bk_is(&t[i], "before"))
            return bk_spell_find(t, act->from, act->end);
    return spell;
}

static void complete_act(reading *r, bk_act *act, size_t lead, size_t sentence, bool last)
{
    const bk_token *t = r->t;
    act->verb_at = act->from;
    act->spell = find_own_spell(act, t, lead);
    act->setting = bk_setting_find(r->taken->arena, t, act->from, act->end);
    for (size_t i = act->from + 1; i < act->end && act->setting.at && !act->spell.found; i++)
        if (bk_among(&t[i - 1], " last final ") && !act->setting.in_words)
            (void)bk_spell_read(t, i, act->end, &act->spell); /* "at 220 C for the last 10 min" */
    act->where = bk_places_named(t, act->from, act->end);
    act->group = act->verb ? act->verb->group : BK_UNKNOWN;
    bool cooks = act->group == BK_HEAT || act->group == BK_SIMMER || act->group == BK_BAKE ||
                 act->group == BK_REST || act->group == BK_COLD || act->group == BK_MIX ||
                 act->group == BK_MACHINE;
    if (!act->spell.found && cooks)
        act->spell = bk_spell_guess(t, act->from, act->end);
    if (bk_is(&t[act->from], "sit") && act->from + 1 < act->end && !act->spell.found &&
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
    if (bk_is(&t[act->from], "soften") && has(act, t, " gelatine gelatin "))
        rest_here(act, "soak");
    bool keeps = bk_among(&t[act->from], " store keep ") &&
                 (has(act, t, " airtight container box up ") ||
                  (bk_is(&t[act->from], "store") && has(act, t, " tin jar "))) &&
                 !has(act, t, " before first least ");
    if (keeps)
        act->group = BK_NO_ACT; /* how long it may be kept */
    if (act->group == BK_LET)
        resolve_let(act, t, last);
    bool gives = bk_is(&t[act->from], "give") && act->spell.found && r->oven &&
                 r->baking != SIZE_MAX && taken->stages[r->baking].step == r->step &&
                 r->baking + 2 >= taken->count;
    bool on_tray = bk_among(&t[act->from], " toast crisp dry ") && act->spell.found && r->oven &&
                   has(act, t, " tray sheet ");
    bool longer = bk_among(&t[act->from], " remove uncover take open ") && act->spell.found &&
                  has(act, t, " more another further longer ") && r->oven &&
                  r->baking != SIZE_MAX && r->baking + 1 == taken->count &&
                  taken->stages[r->baking].step == r->step; /* "remove the beans, 5 min more" */
    if (gives || on_tray || longer)
        rest_here(act, "bake"); /* "turn it over and give it another hour" */
    if (act->group == BK_HEAT && act->where & BK_IN_OVEN && act->spell.found)
        act->group = BK_BAKE;
    if (bk_is(&t[act->from], "bring") &&
        !has(act, t, " boil simmer heat temperature boiling bubble "))
        act->group = has(act, t, " room ") ? BK_REST : BK_MIX;
    if (act->verb && act->group == BK_LIGHT)
        resolve_light(act, t);
    go_into_the_oven(r, act);
    decide_where(act, t);
    if (act->group != BK_LIGHT && act->group != BK_NO_ACT)
        decide_kind(act, t);
    if (act->group == BK_LIGHT && act->spell.found) {
        act->group = act->where & BK_ON_HOB ? BK_HEAT : BK_PREP;
        act->why = "it is done by hand";
    }
    decide_order(act, t, lead, sentence, sentence_end(t, sentence, r->count));
}

/* Mentions an ingredient: "Cheese and crumbs on top." */
static bool names_food(const reading *r, size_t from, size_t end)
{
    const bk_taken_recipe *recipe = r->taken->recipe;
    char stem[48];
    for (size_t i = from; i < end; i++) {
        bk_stem(r->t[i].word, stem, sizeof stem);
        if (r->t[i].kind != BK_TOKEN_WORD || strlen(stem) < 4)
            continue;
        for (size_t k = 0; k < recipe->ingredient_count; k++)
            if (strstr(recipe->ingredients[k], stem))
                return true;
    }
    return false;
}

/* Was it put into a tin not long ago, and not fried since? */
static bool is_in_a_tin(const reading *r)
{
    enum { BACK = 5 };
    const bk_taken *taken = r->taken;
    for (size_t b = 1; b <= BACK && b <= taken->count; b++) {
        const bk_taken_stage *stage = &taken->stages[taken->count - b];
        if (stage->step + 2 <= r->step)
            return false;
        if (stage->act.where & (BK_IN_OVEN | BK_IN_TIN))
            return true;
    }
    return false;
}

/* "180 (160 fan) 35-40": the minutes stand behind the heat. */
static bk_spell guess_behind_setting(const bk_token *t, const bk_act *act)
{
    size_t i = act->setting.behind;
    while (i < act->end && bk_among(&t[i], " ) ( , ; : - / for fan c f gas "))
        i++;
    if (i < act->end && t[i].kind == BK_TOKEN_NUMBER &&
        t[i].millionths > 90 * (int64_t)1000000)
        for (i++; i < act->end && bk_among(&t[i], " c f fan deg ) , ; "); i++) {
        }
    return i > act->from && i < act->end && t[i].kind == BK_TOKEN_NUMBER
               ? bk_spell_guess(t, i - 1, act->end)
               : (bk_spell){0};
}

/* A sentence in which no word tells to do anything: notes in a notebook. */
static bool guess_without_verb(reading *r, size_t from, size_t end)
{
    static const struct {
        unsigned where;
        const char *verb;
    } by_place[] = {{BK_IN_OVEN, "bake"},
                    {BK_IN_FREEZER, "freeze"},
                    {BK_IN_FRIDGE, "chill"},
                    {BK_ON_HOB, "cook"}};
    bk_act act = {.from = from, .end = end, .sentence = true};
    complete_act(r, &act, from, from, true);
    for (size_t i = from; i < end && !act.spell.found; i++)
        if (bk_among(&r->t[i], " another further "))
            act.spell = bk_spell_guess(r->t, i, end); /* "another 30" */
    if (!act.spell.found && act.setting.at)
        act.spell = guess_behind_setting(r->t, &act);
    if (sets_the_oven(r, &act)) {
        leave_out(r, from, end);
        return true;
    }
    if (is_pronoun(&r->t[from]) &&
        !has(&act, r->t, " needs need wants want takes goes go rests bakes cooks stands chills must "
                         "should ") &&
        !has_pair(&act, r->t, " don't ", " cut touch slice "))
        return false;
    if (has(&act, r->t, " keeps freezes keep better day days serves can makes leftovers ") &&
        !bk_is(&r->t[from], "into"))
        return false;
    const bk_verb *deed = named_deed(&act, r->t);
    for (size_t i = from; i < end && !deed && act.spell.found; i++) {
        const bk_verb *verb = bk_verb_of_form(r->t[i].word);
        if (verb && verb->group > BK_LET && verb->group < BK_NO_ACT && !is_food_word(verb->word))
            deed = verb; /* "the dough rests for an hour", "is baked" */
    }
    for (size_t i = from + 1; i + 1 < end && !deed; i++) {
        const bk_verb *verb = bk_among(&r->t[i], " is are be gets get being ")
                                  ? bk_verb_of_form(r->t[i + 1].word)
                                  : NULL;
        size_t n = strlen(r->t[i + 1].word);
        if (verb && n > 3 && strcmp(r->t[i + 1].word + n - 2, "ed") == 0 &&
            verb->group < BK_LIGHT && names_food(r, from, i)) {
            act.verb = verb; /* "The onions are fried" */
            act.group = verb->group;
            decide_where(&act, r->t);
            decide_kind(&act, r->t);
            return add_stage(r, &act, from);
        }
    }
    if (!deed && names_food(r, from, end) && has_pair(&act, r->t, " the a ", " boil simmer ")) {
        act.verb = bk_verb_find("bring"); /* "Milk to just under the boil" */
        act.group = act.verb->group;
        decide_where(&act, r->t);
        decide_kind(&act, r->t);
        return add_stage(r, &act, from);
    }
    if (!deed && act.setting.at && act.spell.found)
        deed = bk_verb_find("bake");
    for (size_t i = 0; !deed && act.spell.found && i < sizeof by_place / sizeof *by_place; i++)
        if (act.where & by_place[i].where)
            deed = bk_verb_find(by_place[i].verb);
    if (act.where & (BK_IN_FRIDGE | BK_IN_FREEZER) && !deed)
        deed = bk_verb_find(act.where & BK_IN_FREEZER ? "freeze" : "chill");
    const bk_taken *taken = r->taken;
    bool in_oven =
        r->oven &&
        (is_in_a_tin(r) ||
         (r->baking != SIZE_MAX && taken->stages[r->baking].step + 1 > r->step));
    bool rests = has(&act, r->t, " covered cover foil aside wrapped cloth board rack ") ||
                 has_pair(&act, r->t, " warm cool cold ", " place spot ") ||
                 has_pair(&act, r->t, " of off ", " the ");
    if (!deed && bk_among(&r->t[from], " cold cool ") && has(&act, r->t, " in on "))
        deed = bk_verb_find("cool"); /* "Cold in the tin." */
    if (!deed && act.spell.found && rests && !has(&act, r->t, " lid "))
        deed = bk_verb_find("rest"); /* "Foil, 20 min, warm place." */
    if (!deed && act.spell.found && names_food(r, from, end) &&
        has_pair(&act, r->t, " in the same duck bacon beef goose ",
                 " butter fat oil lard dripping olive ") &&
        act.spell.most <= 1800)
        deed = bk_verb_find("fry"); /* "shallots in butter 5 min" */
    bool first_baking = r->oven && r->baking == SIZE_MAX && act.spell.least >= 2700;
    if (!deed && act.spell.found && (in_oven || first_baking) && act.where == 0)
        deed = bk_verb_find("bake"); /* "20-25 mins." */
    if (!deed && act.spell.found && act.spell.least >= 3600)
        deed = bk_verb_find("rest");
    if (!deed && act.spell.found &&
        (!bk_among(&r->t[from], " the a ") || has(&act, r->t, " go goes ")))
        deed = bk_verb_find("cook");
    if (!deed || (!act.spell.found && act.where == 0 && deed->group != BK_REST))
        return false;
    act.verb = deed;
    act.group = deed->group;
    act.where = bk_places_named(r->t, from, end);
    decide_where(&act, r->t);
    decide_kind(&act, r->t);
    return add_stage(r, &act, from);
}

/* "lids on at once" */
static bool is_lid_put_on(const bk_token *t, size_t from, size_t end)
{
    return from + 2 < end && bk_among(&t[from], " lid lids ") && bk_is(&t[from + 1], "on") &&
           bk_among(&t[from + 2], " immediately straight at quickly tight tightly ");
}

static void read_notebook_clause(reading *r, size_t from, size_t end)
{
    if (guess_without_verb(r, from, end))
        return;
    bk_act act = {.from = from,
                  .end = end,
                  .sentence = true,
                  .why = "no word says that it goes on by itself"};
    complete_act(r, &act, from, from, true);
    if ((bk_is(&r->t[from], "out") && bk_is(&r->t[from + 1], "of")) ||
        (bk_is(&r->t[from], "off") &&
         has(&act, r->t, " tray tin tins sheet trays sheets mould moulds "))) {
        act.verb = bk_verb_find("unmould");
        act.group = BK_PREP;
        act.passive = false;
        act.out_of_tin = true;
        add_stage(r, &act, from);
        return;
    }
    if (is_lid_put_on(r->t, from, end)) {
        act.verb = bk_verb_find("seal");
        act.group = BK_PREP;
        act.passive = false;
        add_stage(r, &act, from);
        return;
    }
    bool goes = has_pair(&act, r->t, " go goes ", " in into on onto over under back ");
    bool spoken =
        !goes && (is_pronoun(&r->t[from]) || bk_among(&r->t[from], " the a an for freezes keeps good nice "));
    if (!spoken && names_food(r, from, end) &&
        (has(&act, r->t, " in on into top over under ") || has(&act, r->t, " + "))) {
        act.verb = bk_verb_find("add");
        act.group = act.where & BK_IN_TIN ? BK_POUR : BK_PREP;
        act.passive = false;
        add_stage(r, &act, from);
        return;
    }
    leave_out(r, from, end);
}

/* The time behind which another one follows in the words, and the sign that parts the two:
 * the token behind that sign, or `end`. */
static size_t clause_end(const bk_token *t, size_t from, size_t end)
{
    bk_spell spell = bk_spell_find(t, from, end);
    for (size_t i = from; i < end && spell.found; i++)
        if (t[i].from >= spell.to && bk_among(&t[i], " , ; then - + . "))
            return bk_spell_find(t, i + 1, end).found ||
                           (bk_is(&t[i], "then") && i + 1 < end &&
                            t[i + 1].kind == BK_TOKEN_NUMBER &&
                            t[i + 1].millionths >= 100 * (int64_t)1000000)
                       ? i + 1
                       : end; /* "15 min at 200 then 180 for 35" */
    return end;
}

/* "220 C, 20 min; 160 C, 1 hr": a part for each time. */
static void read_notebook_sentence(reading *r, size_t from, size_t end)
{
    for (size_t n = 0; from < end && n < MOST_ACTS; n++) {
        size_t part = n + 1 < MOST_ACTS ? clause_end(r->t, from, end) : end;
        size_t before = r->taken->count;
        read_notebook_clause(r, from, part);
        for (size_t i = before; i < r->taken->count; i++)
            r->taken->stages[i].act.sentence = n == 0;
        from = part;
    }
}

/* Words before the first verb that are an act of their own: "shallot in the fat 3 min, wine
 * in, bubble 5 min". */
static bool stands_before(const reading *r, size_t from, size_t lead)
{
    const bk_token *t = r->t;
    if (lead <= from + 1 || opens_subordinate(&t[from]) || is_pronoun(&t[from]) ||
        is_adverb(&t[from]) ||
        bk_among(&t[from], " in with on at by during from using working in about the a "))
        return false;
    bk_act words = {.from = from, .end = lead};
    if (has(&words, t, " is are was were be has have before "))
        return false;
    for (size_t i = from; i < lead; i++)
        if (bk_among(&t[i], " another further ") && bk_spell_guess(t, i, lead).found)
            return true;
    return bk_spell_find(t, from, lead).found ||
           (names_food(r, from, lead) && has(&words, t, " in into on over + "));
}

/* ", back in the fridge 15 mins", ", crumbs + lemon in": words behind a comma that are an act
 * of their own, though no verb is among them. */
static bool is_a_note(const reading *r, size_t from, size_t end)
{
    enum { MOST_WORDS = 7 };
    const bk_token *t = r->t;
    size_t i = from, stop = from;
    while (stop < end && !bk_among(&t[stop], " , ; . - "))
        stop++;
    i += i < stop && bk_among(&t[i], " back then straight and ");
    if (i + 1 < stop && bk_among(&t[i], " fridge freezer cellar larder ") &&
        bk_spell_find(t, i, stop).found)
        return true;
    if (i + 1 < stop && bk_among(&t[i], " in into ")) {
        unsigned where = bk_places_named(t, i, stop);
        return (where & (BK_IN_FRIDGE | BK_IN_FREEZER | BK_IN_COOL_PLACE)) != 0 ||
               (where & BK_IN_OVEN && bk_spell_find(t, i, stop).found);
    }
    if (is_lid_put_on(t, from, stop))
        return true;
    return stop > from + 1 && stop <= from + MOST_WORDS &&
           bk_among(&t[stop - 1], " in over ") && names_food(r, from, stop) &&
           !is_adverb(&t[from]);
}

/* "Fill, down to gas 4, 25 minutes"; "prick, back in the fridge 15 mins": where what no verb
 * tells begins behind what the hands do, or the act's end. */
static size_t note_behind(const reading *r, const bk_act *act)
{
    const bk_token *t = r->t;
    bool hands = act->group == BK_POUR || act->group == BK_PREP || act->group == BK_LIGHT ||
                 act->group == BK_MIX || act->group == BK_HEAT;
    bool bakes = hands && act->group != BK_MIX && act->group != BK_HEAT && act->setting.at &&
                 act->spell.found && !act->setting.in_words;
    for (size_t i = act->from + 1; i < act->end && act->group != BK_NO_ACT; i++) {
        if (!bk_among(&t[i], " , ; "))
            continue;
        if ((bakes && t[i].from < act->setting.from && t[i].from < act->spell.from) ||
            is_a_note(r, i + 1, act->end))
            return i + 1;
    }
    return act->end;
}

/* "Add the eggs one by one, and fold in the flour": what is added first is in by then. */
static bool stands_by_itself(const bk_act *light, const bk_act *next, const bk_token *t)
{
    return bk_is(&t[light->from], "add") && next->verb_at + 1 < next->end &&
           bk_is(&t[next->verb_at + 1], "in") && next->group != BK_LIGHT;
}

/* One sentence of a step. */
static void read_sentence(reading *r, size_t from, size_t end)
{
    size_t at[MOST_ACTS + 1], leads[MOST_ACTS + 1];
    const bk_token *t = r->t;
    size_t n = find_verbs(t, from, end, at, leads);
    if (n == 0) {
        read_notebook_sentence(r, from, end);
        return;
    }
    at[n] = leads[n] = end;
    size_t label = behind_label(t, from, end);
    bool goes_on = false; /* the sentence has an act already */
    if (label <= leads[0] && stands_before(r, label, leads[0])) {
        read_notebook_sentence(r, from, leads[0]);
        from = leads[0];
        goes_on = true;
    }
    size_t light = SIZE_MAX, first_stage = r->taken->count;
    bk_act light_act = {0};
    const bk_verb *last_verb = NULL;
    for (size_t i = 0; i < n; i++) {
        const bk_verb *verb = bk_verb_find(t[at[i]].word);
        verb = verb ? verb : bk_verb_of_form(t[at[i]].word);
        bk_act act = {.verb = verb || i == 0 ? verb : last_verb,
                      .from = at[i],
                      .end = leads[i + 1],
                      .sentence = i == 0 && !goes_on};
        size_t begins = i == 0 ? from : leads[i];
        complete_act(r, &act, begins, from, i + 1 == n);
        size_t rest = note_behind(r, &act);
        if (rest < act.end) {
            act.end = rest;
            complete_act(r, &act, begins, from, i + 1 == n);
        }
        last_verb = act.verb;
        if (sets_the_oven(r, &act)) {
            if (i == 0)
                leave_out(r, from, act.end);
            continue;
        }
        if (act.group == BK_NO_ACT) {
            leave_out(r, act.from, act.end);
            if (act.meanwhile) {
                r->pending.step = r->step; /* "Meanwhile bring a pan of water to the boil." */
                r->pending.meanwhile = true;
            }
            continue;
        }
        size_t start = light != SIZE_MAX ? light : begins;
        if (act.group == BK_LIGHT && rest < leads[i + 1]) {
            act.group = BK_PREP; /* "Knock back, fridge overnight" */
            act.why = "it is done by hand";
        }
        if (light != SIZE_MAX) {
            act.sentence |= light_act.sentence;
            act.meanwhile |= light_act.meanwhile;
            act.at_once |= light_act.at_once;
            act.apart |= light_act.apart;
            if (light_act.label_end > light_act.label_from) {
                act.label_from = light_act.label_from;
                act.label_end = light_act.label_end;
            }
            act.back_refers |= light_act.back_refers;
            act.joins |= light_act.joins || strcmp(light_act.verb->word, "add") == 0;
            act.where |= light_act.where & (BK_IN_TIN | (act.group == BK_BAKE ? BK_IN_OVEN : 0u));
            act.out_of_tin |= light_act.out_of_tin;
        }
        if (light != SIZE_MAX && stands_by_itself(&light_act, &act, t)) {
            light_act.group = BK_PREP;
            light_act.why = "it is done by hand";
            light_act.passive = false;
            add_stage(r, &light_act, light);
            light = SIZE_MAX;
            start = begins;
            act.sentence = false;
        }
        if (act.group == BK_LIGHT) {
            if (light == SIZE_MAX)
                light = start;
            light_act = act;
            continue;
        }
        bk_taken_stage *before =
            r->taken->count > first_stage ? &r->taken->stages[r->taken->count - 1] : NULL;
        if (before && light == SIZE_MAX && merges(before, &act)) {
            before->act.at_once |= act.at_once;
            before->act.joins |= act.joins;
            before->act.beside_next |= act.beside_next;
            extend(r, before, act.end);
        } else {
            add_stage(r, &act, start);
        }
        light = SIZE_MAX;
        if (rest < leads[i + 1])
            read_notebook_sentence(r, rest, leads[i + 1]);
    }
    if (light == SIZE_MAX)
        return;
    bk_taken_stage *before =
        r->taken->count > first_stage ? &r->taken->stages[r->taken->count - 1] : NULL;
    bool urgent = light_act.at_once && before && !bk_among(&t[light_act.from], " shut close open ");
    if (before && !before->act.passive && !before->act.spell.found && !urgent) {
        extend(r, before, end);
    } else if (urgent || stands_alone(&light_act) || light_act.where & (BK_IN_TIN) || light_act.out_of_tin) {
        light_act.group = BK_PREP;
        light_act.why = "it is done by hand";
        light_act.passive = false;
        add_stage(r, &light_act, light);
    } else {
        leave_out(r, light, end);
        bool makes = bk_among(&t[light_act.from], " make prepare start begin ");
        bool uses = bk_among(&t[light_act.from], " use ");
        if (makes || uses) {
            r->pending.step = r->step;
            r->pending.meanwhile = makes && light_act.meanwhile;
            r->pending.apart = makes;
            r->pending.at_once = light_act.at_once;
            r->pending.label_from = light_act.from + 1;
            r->pending.label_end = makes ? noun_end(t, light_act.from + 1, end) : 0;
        }
    }
}

static void read_step(reading *r)
{
    for (size_t at = 0; at < r->count;) {
        size_t end = sentence_end(r->t, at, r->count);
        read_sentence(r, at, end);
        at = end;
    }
}

/* ids: the verb, with a number where it comes again. */
static void name_stages(bk_taken *taken)
{
    for (size_t i = 0; i < taken->count; i++) {
        const bk_verb *verb = taken->stages[i].act.verb;
        const char *word = verb ? verb->word : "step";
        size_t again = 1;
        for (size_t j = 0; j < i; j++) {
            const bk_verb *other = taken->stages[j].act.verb;
            again += strcmp(other ? other->word : "step", word) == 0;
        }
        taken->stages[i].id = again == 1 ? word : bk_format(taken->arena, "%s-%zu", word, again);
    }
}

/* What is no stage is a note of the stage before it; of the first where there is none. */
static void note_what_is_left(bk_taken *taken)
{
    for (size_t i = 0; i < taken->left_count && taken->count > 0; i++) {
        const bk_left *left = &taken->left[i];
        bk_taken_stage *stage = &taken->stages[left->before > 0 ? left->before - 1 : 0];
        stage->note = !stage->note ? left->words
                                   : bk_format(taken->arena, "%s / %s", stage->note, left->words);
    }
}

/* A heat that the recipe tells in another place than where it bakes: behind it, or in a note.
 */
static void find_heat_elsewhere(bk_taken *taken, const reading *r)
{
    const char *at = r->first_oven, *words = r->first_oven_words;
    for (size_t i = 0; i < taken->recipe->note_count && !at; i++) {
        size_t count = 0;
        const char *note = taken->recipe->notes[i];
        const bk_token *t = bk_tokens(taken->arena, note, &count);
        bool oven = false;
        for (size_t k = 0; k < count; k++)
            oven |= bk_among(&t[k], " oven bake baked preheat ");
        bk_setting setting = oven ? bk_setting_find(taken->arena, t, 0, count) : (bk_setting){0};
        if (setting.at && !setting.in_words) {
            at = setting.at;
            words = bk_copy(taken->arena, note + setting.from, setting.to - setting.from);
        }
    }
    for (size_t i = 0; i < taken->count && at; i++) {
        bk_taken_stage *stage = &taken->stages[i];
        if (stage->act.where & BK_IN_OVEN && !stage->oven) {
            stage->oven = at;
            stage->oven_words = words;
        }
    }
}

void bk_stages_find(bk_taken *taken)
{
    reading r = {.taken = taken, .baking = SIZE_MAX, .pending.step = SIZE_MAX};
    for (size_t i = 0; i < taken->recipe->step_count; i++) {
        r.step = i;
        r.text = taken->recipe->steps[i].text;
        r.t = bk_tokens(taken->arena, r.text, &r.count);
        read_step(&r);
    }
    find_heat_elsewhere(taken, &r);
    name_stages(taken);
    note_what_is_left(taken);
}
