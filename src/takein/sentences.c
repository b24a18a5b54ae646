/* Where the acts of a sentence begin: the verbs that tell the cook to do something, and what
 * notes tell as done. */
#include "takein/reading.h"

#include <string.h>

static const char determiners[] =
    " the it them all each a an in into on onto with over for until "
    "till to well together up down out off through "
    "gently this these remaining both half your thinly finely "
    "roughly lightly under at by again very briefly "
    "everything some most any two about quickly slowly just uncovered covered flat hard without "
    "further another aside ";

/* ---------------------------------------------------------------- sentences */

/* "min.", "wh.", "pdr.": a word that is cut short, often without a vowel. */
static bool is_abbreviation(const bk_token *t)
{
    return (t->kind == BK_TOKEN_WORD && strcspn(t->word, "aeiouy") == strlen(t->word)) ||
           bk_among(t, " min mins approx oz ca no eg ie e i deg sec secs reg ");
}

/* "10 min. cool in the tin", "2 hrs. fridge overnight": what stands behind is told anew. */
static bool begins_anew(const bk_token *t, size_t i)
{
    if (i > 2 && bk_among(&t[i - 2], " f c ") && t[i - 3].kind == BK_TOKEN_NUMBER)
        return true; /* "oven 375F. roll each piece" */
    return bk_among(&t[i - 2], " min mins h hr hrs sec secs ") &&
           (bk_among(&t[i], " fridge freezer then off out into back ") ||
            (bk_verb_find(t[i].word) && !bk_is_food_word(t[i].word)));
}

/* "110 deg. C" */
static bool is_of_scale(const bk_token *t, size_t from, size_t i)
{
    return i > from && bk_among(&t[i - 1], " deg degs ") && bk_among(&t[i + 1], " c f ");
}

/* The token behind the sentence that begins at `from`. */
/* Behind "(" and before ")". */
static bool is_in_brackets(const bk_token *t, size_t from, size_t at, size_t count)
{
    enum { FAR = 16 };
    bool open = false;
    for (size_t i = at; i > from && i + FAR > at && !open && !bk_is(&t[i], ")"); i--)
        open = bk_is(&t[i - 1], "(");
    for (size_t i = at + 1; open && i < count && i < at + FAR && !bk_is(&t[i], "("); i++)
        if (bk_is(&t[i], ")"))
            return true;
    return false;
}

size_t bk_sentence_end(const bk_token *t, size_t from, size_t count)
{
    for (size_t i = from; i < count; i++) {
        if (!bk_among(&t[i], " . ! ? "))
            continue;
        if (bk_is(&t[i], "?") && is_in_brackets(t, from, i, count))
            continue; /* "Cool for 5 minutes (why? discuss)." */
        bool last = i + 1 >= count;
        if (last || (t[i + 1].spaced && !is_of_scale(t, from, i) &&
                     !(bk_is(&t[i], ".") && i > from && is_abbreviation(&t[i - 1]) &&
                       !t[i].spaced && !t[i + 1].capital && !begins_anew(t, i + 1))))
            return i + 1;
    }
    return count;
}

bool bk_is_adverb(const bk_token *t)
{
    size_t n = strlen(t->word);
    return (n > 4 && strcmp(t->word + n - 2, "ly") == 0 && !bk_among(t, " jelly curly ")) ||
           bk_among(t, " then now just again also next first finally straight meanwhile once "
                       "immediately please "
                       "lastly well thoroughly blind ");
}

bool bk_opens_subordinate(const bk_token *t)
{
    return bk_among(
        t, " while whilst when once until till before after as if because so which that where "
           "unless who since without to for ");
}

bool bk_is_food_word(const char *word)
{
    bk_token token = {.word = word};
    return bk_among(
        &token, " cream butter flour oil salt ice core zest stone joint bone pot line stock pit "
                "sponge thread quarter bottle pipe light weight note mark mince lard skewer slip "
                "dot pile heap pound flake strip marinade fish rice batter bread jar juice part "
                "pip plate portion string tail tap wedge segment colour color torch load ");
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
    if (strict && bk_among(&t[i], " firm crisp dry brown smooth set level thin double ") &&
        !(more && bk_among(&t[i + 1], " the it them all for until ")))
        return NULL; /* "until risen and firm in the centre" */
    if (more && bk_among(&t[i], " warm cool ") &&
        bk_among(&t[i + 1], " place kitchen room spot corner larder cupboard "))
        return NULL; /* "Warm kitchen, 3 days" */
    if (more && bk_is(&t[i], "get") && bk_among(&t[i + 1], " hot cold warm thick crisp brown "))
        return NULL; /* "in there to melt and get hot" */
    if (more && bk_among(&t[i + 1], " of if "))
        return NULL; /* "spoon of dripping", "stir if you think of it" */
    bool object = more && (bk_among(&t[i + 1], determiners) || t[i + 1].kind == BK_TOKEN_NUMBER);
    bool food_alone =
        verb->group == BK_NO_ACT || bk_among(&t[i], " salt marinade cream mince lard ");
    object |=
        i + 2 < end && bk_among(&t[i + 2], " side sides ") &&
        bk_among(
            &t[i + 1],
            " cut skin face rind rounded seam breast bone fat flat "); /* "roast cut side down" */
    object |= more && bk_is(&t[i], "steam") && bk_is(&t[i + 1], "dry");
    object |= more && bk_among(&t[i], " roast bake ") &&
              bk_among(&t[i + 1], " alongside beside beneath under underneath below above ");
    if (food_alone && more && bk_among(&t[i + 1], " in into on onto over with for together "))
        object = object && bk_is(&t[i], "cream") && bk_is(&t[i + 1], "together");
    if (bk_is(&t[i], "mark") && more && t[i + 1].kind == BK_TOKEN_NUMBER)
        return NULL; /* "Mark 4" */
    if (bk_is_food_word(t[i].word) && object && more && t[i + 1].kind != BK_TOKEN_NUMBER)
        object =
            bk_among(&t[i + 1], " the it them all each a an both your this these half some any "
                                "two three four most off out up together remaining ") ||
            (bk_among(&t[i + 1], " in into onto on with over ") &&
             bk_among(&t[i], " pot pipe bottle line mark thread slip dot pile heap "));
    object |= first && more &&
              (bk_is_adverb(&t[i + 1]) || bk_among(&t[i + 1], " without while ") ||
               (bk_is(&t[i + 1], "at") && i + 2 < end && bk_is(&t[i + 2], "once")));
    /* "Pot straight into hot jars", "pipe without delay" */
    if (bk_is_food_word(t[i].word))
        return object && !bk_among(&t[i + 1], " to for with and ") ? verb : NULL;
    if (first)
        return verb;
    bool then = i > 0 && bk_is(&t[i - 1], "then") && more &&
                bk_among(&t[i + 1], " while with until till as for straight ");
    if (!is_ambiguous(t[i].word) || then)
        return !strict || more ? verb : NULL;
    bool ends = !more || bk_among(&t[i + 1], " , . ; ) and ");
    return object || (ends && !strict) || (more && bk_is_adverb(&t[i + 1]) && !strict) ? verb
                                                                                       : NULL;
}

bool bk_is_pronoun(const bk_token *t)
{
    return bk_among(
        t, " i i'm i've i'll we we've you you'll you're you've it it's this that these they "
           "they're my "
           "our he she there here his her what who don't never these's your nobody everyone no not "
           "mine ours people some my can should may best ");
}

/* "Do not open the oven for the first 15 minutes": what is not to be done. But "don't cut it for an
 * hour" is a wait, and "don't forget to" do it. */
bool bk_forbids(const bk_token *t, size_t from, size_t end)
{
    size_t i = from + bk_among(&t[from], " please but and just ");
    if (i + 2 < end && bk_is(&t[i], "try") && bk_is(&t[i + 1], "not"))
        return true;
    bool two = i + 1 < end && bk_is(&t[i], "do") && bk_is(&t[i + 1], "not");
    if (!two && !(i < end && bk_among(&t[i], " don't dont never ")))
        return false;
    i += two ? 2 : 1;
    return i < end && !bk_among(&t[i], " forget cut touch slice eat serve unmould disturb worry ");
}

/* "we then bake": a verb behind the pronoun, that no noun can be. */
static bool tells(const bk_token *t, size_t at, size_t end)
{
    size_t i = at + 1;
    if (at > 0 && bk_is(&t[at - 1], "before") && bk_is(&t[at], "you"))
        return false; /* "Just before you carve, warm the sauce" */
    while (i < end &&
           (bk_is_adverb(&t[i]) || bk_among(&t[i], " always usually generally never mostly ") ||
            (i + 1 < end && bk_among(&t[i], " need have want like ") && bk_is(&t[i + 1], "to")) ||
            (bk_is(&t[i], "to") && bk_among(&t[i - 1], " need have want like ")) ||
            bk_among(&t[i], " must should ")))
        i++;
    return i < end && verb_here(t, i, end, false, true) &&
           !bk_among(
               &t[i],
               " make use get keep start try begin eat serve freeze store cook prepare wait ");
}

/* "They stand on the tray 1 min." */
static bool stands_there(const bk_token *t)
{
    return bk_among(t, " stand stands sit sits rest rests soak soaks ");
}

/* "it bakes for an hour" */
static bool goes_on_by_itself(const bk_token *t, size_t at, size_t end)
{
    const bk_verb *verb = at + 1 < end ? bk_verb_of_form(t[at + 1].word) : NULL;
    if (!verb && at + 1 < end && stands_there(&t[at + 1]))
        verb = bk_verb_find(t[at + 1].word); /* "they stand" */
    return verb && verb->passive && verb->group > BK_LET && bk_spell_find(t, at, end).found;
}

static bool is_a_heat(const bk_token *t)
{
    return bk_among(t, " gas mark ") ||
           (t->kind == BK_TOKEN_NUMBER && t->millionths >= 100 * (int64_t)1000000);
}

/* "Gas 4, 30 mins more" */
static bool bakes_on(const bk_token *t, size_t at, size_t end)
{
    size_t i = at + 1 + (at + 1 < end && bk_is(&t[at + 1], "mark"));
    bk_spell spell;
    if (i + 2 >= end || t[i].kind != BK_TOKEN_NUMBER)
        return false;
    i += bk_among(&t[i + 1], " , for ") ? 2u : 1u;
    return bk_spell_read(t, i, end, &spell) > i;
}

/* A time before the next comma, after "at", "for" or a number. */
static bool takes_time(const bk_token *t, size_t from, size_t end)
{
    enum { CLAUSE = 40 }; /* tokens */
    size_t i = from, at = from;
    for (bool inside = false;
         i < end && i < from + CLAUSE && (inside || !bk_among(&t[i], " , ; . ")); i++)
        inside = bk_is(&t[i], "(") || (inside && !bk_is(&t[i], ")")); /* "170 C (gas 3)" */
    for (size_t k = from; k + 2 < end && k < i; k++)
        if (bk_is(&t[k], "on") && bk_is(&t[k + 1], "the") && bk_among(&t[k + 2], " other second "))
            return false;                                   /* "then 3 minutes on the other side" */
    bool lidless = bk_among(&t[at], " uncovered covered "); /* "then uncovered for 5 more" */
    at += lidless && at + 1 < i;
    enum { FAR = 8 };
    for (size_t k = at + 1;
         k < i && k < at + FAR && bk_among(&t[at], " without out off with under upside cut skin ");
         k++)
        if (bk_among(&t[k], " for another further ") &&
            (bk_spell_find(t, k, i).found || bk_spell_guess(t, k, i).found))
            return true; /* "then without for 7", "then out of it for another 2 hours" */
    if (t[at].kind != BK_TOKEN_NUMBER &&
        !bk_among(&t[at], " at for another on a gas back down up "))
        return false;
    if (t[at].kind == BK_TOKEN_NUMBER && at + 1 < i && t[at].millionths <= 90 * (int64_t)1000000 &&
        bk_among(&t[at + 1], " more without longer uncovered "))
        return true; /* "then 5 without" */
    if (t[at].kind == BK_TOKEN_NUMBER && at + 2 < end &&
        t[at].millionths >= 100 * (int64_t)1000000 && bk_is(&t[at + 1], "for") &&
        bk_spell_guess(t, at, end).found)
        return true;                                      /* "then 180 for 40" */
    bool more = t[at].kind == BK_TOKEN_NUMBER || lidless; /* "then 200 for another 12-15" */
    for (size_t k = at; k < i && more; k++)
        if (bk_among(&t[k], " for another further ") && bk_spell_guess(t, k, i).found)
            return true;
    return bk_spell_find(t, at, i).found;
}

/* "a further hour at 180 C" */
static bool is_at_a_heat(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i + 1 < end && !bk_among(&t[i], " , ; . "); i++)
        if (bk_is(&t[i], "at") && t[i + 1].kind == BK_TOKEN_NUMBER && is_a_heat(&t[i + 1]))
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

/* "I then fried the bacon in it for 5 minutes": the token of the deed, or `at`. */
static size_t did(const bk_token *t, size_t at, size_t end)
{
    size_t i = at + 1;
    while (i < end && bk_is_adverb(&t[i]))
        i++;
    bool past = i + 1 < end && (is_done(&t[i]) || bk_among(&t[i], " took gave brought threw "));
    const bk_verb *verb = past ? bk_verb_of_form(t[i].word) : NULL;
    if (!verb || verb->group == BK_NO_ACT)
        return at;
    bool timed = bk_spell_find(t, i, end).found;
    if (verb->group == BK_LIGHT || verb->group == BK_LET)
        return timed ? i : at;
    return timed || t[i + 1].kind == BK_TOKEN_NUMBER || bk_among(&t[i + 1], " the them every each ")
               ? i
               : at;
}

/* "are boiled together and poured at once on it": the participle of a chain that "is" or
 * "are" began, of a verb that the cook does. */
static bool told_in_passive(const bk_token *t, size_t i, size_t end, bool chain)
{
    const bk_verb *verb =
        t[i].kind == BK_TOKEN_WORD && is_done(&t[i]) ? bk_verb_of_form(t[i].word) : NULL;
    if (!verb || verb->group >= BK_NO_ACT || verb->group == BK_LET || verb->group == BK_LIGHT)
        return false;
    size_t b = i;
    while (b > 0 && bk_is_adverb(&t[b - 1]) && !bk_is(&t[b - 1], "then"))
        b--;
    if (b == 0)
        return false;
    bool is =
        bk_among(&t[b - 1], " is are be ") &&
        !(b > 1 && bk_among(&t[b - 2], " it this that these they which to ")) &&
        !(b > 1 && bk_among(&t[b - 2], " must should can may ") && !bk_spell_find(t, i, end).found);
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
    if (!verb || verb->group == BK_NO_ACT || verb->group == BK_LET || verb->group == BK_LIGHT ||
        bk_among(&t[i - 1], " door lid "))
        return false;
    for (size_t b = lead; b < i; b++)
        if (bk_opens_subordinate(&t[b]) ||
            bk_among(&t[b], " is are was were be been being has have had if and with than the "
                            "a you we they it not well just "))
            return false;
    size_t next = i + 1;
    while (next < end && (bk_is_adverb(&t[next]) || bk_among(&t[next], " v very small up off ")))
        next++;
    return t[i - 1].kind == BK_TOKEN_WORD &&
           (next >= end || t[next].kind != BK_TOKEN_WORD ||
            bk_among(&t[next],
                     " and in into on onto over for with until till to then under from pale fine "
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

/* "the second each layer comes out, cut it": does a clause begin so? */
static bool opens_moment(const bk_token *t, size_t i, size_t end)
{
    return i + 2 < end && bk_is(&t[i], "the") &&
           bk_among(&t[i + 1], " second moment minute instant ") &&
           bk_among(&t[i + 2], " it they each the you your that ");
}

/* "While the last ones are cooling whip half a pint of cream": the verb behind a clause that no
 * comma ends. */
static bool ends_clause(const bk_token *t, size_t from, size_t i, size_t end)
{
    if (i < from + 3 || i + 1 >= end ||
        !(bk_among(&t[from], " while whilst when once as during after ") ||
          opens_moment(t, from, end)) ||
        bk_among(&t[i - 1], " the a an to and or of you i we they it can will may must is are in "
                            "for with not don't be been your its their this that , "))
        return false;
    bool object =
        t[i + 1].kind == BK_TOKEN_NUMBER ||
        bk_among(&t[i + 1], " the half two three some a an your off ") ||
        ((bk_is(&t[from], "after") || bk_is(&t[from], "the")) && bk_among(&t[i + 1], " it them "));
    /* "After 15 minutes reduce to 200 C" */
    object |= bk_is(&t[from], "after") && i + 2 < end && bk_is(&t[i + 1], "to") &&
              (t[i + 2].kind == BK_TOKEN_NUMBER || bk_among(&t[i + 2], " gas mark "));
    object |= t[i + 1].kind == BK_TOKEN_WORD && !is_ambiguous(t[i].word) &&
              !bk_is_food_word(t[i].word) && bk_is(&t[from], "while");
    return object && verb_here(t, i, end, false, true);
}

/* "make the sauce:", "get on with the dumplings:": the token of the sign, or `at`. */
static size_t announces(const bk_token *t, size_t at, size_t end)
{
    enum { FAR = 8 };
    if (!bk_among(&t[at], " make start begin prepare get do "))
        return at;
    for (size_t i = at + 1; i < end && i < at + FAR && t[i].kind == BK_TOKEN_WORD; i++)
        if (i + 1 < end && bk_is(&t[i + 1], ":"))
            return i + 1;
    return at;
}

/* "straight off the heat stir in ...", "out of the oven brush with ...": the last token of the
 * words that say where it comes from, or `at`. */
static size_t leaves_heat(const bk_token *t, size_t at, size_t end)
{
    size_t i = at + bk_among(&t[at], " away out ");
    bool from = i + 3 < end && bk_among(&t[i], " off from of ") &&
                bk_among(&t[i + 1], " the its ") &&
                bk_among(&t[i + 2], " heat hob stove flame fire oven ");
    return from && (i > at || !bk_is(&t[i], "of")) ? i + 2 : at;
}

/* "then straight into the oven", "and back into the pan": a move that no verb tells. The token that
 * says where to, or `at`. */
size_t bk_moves_without_verb(const bk_token *t, size_t at, size_t end)
{
    size_t i = at;
    while (i < end && bk_among(&t[i], " straight directly immediately right back quickly "))
        i++;
    return i > at && i + 1 < end && bk_among(&t[i], " into onto in over under ") &&
                   bk_among(&t[i + 1], " the a an your its hot cold iced boiling ice clean warm ")
               ? i
               : at;
}

/* "use the rise to", "this gives you time to": the token "to" before a verb, or `at`. */
static size_t behind_time_to(const bk_token *t, size_t at, size_t end)
{
    enum { FAR = 7 };
    if (at + 4 < end && bk_is(&t[at], "use") && bk_among(&t[at + 1], " this that the its ") &&
        bk_among(&t[at + 2], " time rise rising wait hour interval pause rest prove chill ") &&
        bk_is(&t[at + 3], "to"))
        return at + 3;
    bool gives = bk_among(&t[at], " this that which ") && at + 1 < end &&
                 bk_among(&t[at + 1], " gives leaves ");
    for (size_t i = at + 2; gives && i + 2 < end && i < at + FAR; i++)
        if (bk_among(&t[i], " time hour ") && bk_is(&t[i + 1], "to"))
            return i + 1;
    return at;
}

/* "while you fry the bread for 4 minutes": a deed of its own, that takes its time. */
static bool goes_on_with(const bk_token *t, size_t at, size_t end)
{
    if (at + 3 >= end || !bk_among(&t[at], " while whilst ") || !bk_among(&t[at + 1], " you we i "))
        return false;
    const bk_verb *verb = verb_here(t, at + 2, end, false, true);
    size_t stop = at + 2;
    while (stop < end && !bk_among(&t[stop], " , ; . and then "))
        stop++;
    return verb && verb->group < BK_NO_ACT && verb->group != BK_LIGHT && verb->group != BK_LET &&
           bk_spell_find(t, at + 2, stop).found;
}

/* Finds where acts begin in a sentence: the verb of each, and the words that lead to it.
 * Gives their number. */
size_t bk_acts_begin(const bk_token *t, size_t from, size_t end, size_t *at, size_t *leads)
{
    size_t n = 0, opened = SIZE_MAX;
    bool chain = false; /* "are boiled and poured" */
    if (bk_forbids(t, from, end))
        return 0;
    bool chat = bk_is_pronoun(&t[from]) && behind_time_to(t, from, end) == from;
    bool subordinate = bk_opens_subordinate(&t[from]) || opens_moment(t, from, end) ||
                       bk_among(&t[from], " in with on at by during from using working after ");
    bool led = !chat && !subordinate;
    size_t lead = from;   /* where the words before the verb begin */
    size_t clause = from; /* where a clause before the first verb begins */
    size_t foods = from;  /* where a note's list of foods begins: "potatoes + onion grated" */
    for (size_t i = from; i < end && n < BK_MOST_ACTS; i++) {
        const bk_token *token = &t[i];
        size_t uses = led ? behind_time_to(t, i, end) : i;
        if (uses > i) {
            i = uses; /* "Use this time to fry the onions" */
            led = true;
            continue;
        }
        if (n == 0 && led && announces(t, i, end) > i) {
            i = announces(t, i, end) - 1; /* "Now get on with the dumplings: ..." */
            continue;
        }
        if (i == from && i + 2 < end && bk_is(&t[i + 1], ":") && bk_verb_find(token->word))
            continue; /* "Fill: whip the cream ..." */
        if (bk_among(token, " : ; , then ") ||
            (n > 0 && at[n - 1] >= foods && bk_among(token, " + and & - ")))
            foods = i + 1;
        if (bk_among(token, " : ; + ") || (bk_among(token, " - ") && token->spaced &&
                                           t[i + 1].spaced && t[i + 1].kind == BK_TOKEN_WORD)) {
            chat = subordinate = chain = false;
            led = true;
            lead = i + 1;
        } else if (i > from + 1 && bk_is(token, "then") && bk_is(&t[i - 1], "and") &&
                   bk_is(&t[i - 2], "now")) {
            led = false; /* "stirring now and then" */
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
                   bk_among(&t[from + 1], " the a ") && i + 1 < end &&
                   bk_verb_find(t[i + 1].word)) {
            continue; /* "For the mash boil ..." */
        } else if (led && verb_here(t, i, end,
                                    i == from || lead == from ||
                                        (i == lead && bk_among(&t[i - 1], " : ; ")) ||
                                        (i == lead && n == 0 && bk_among(&t[i - 1], " , ") &&
                                         bk_among(&t[from], " with in using on to for ")),
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
        } else if (led && i + 1 < end && bk_is(token, "hard") &&
                   bk_among(&t[i + 1], " boil fry roast ")) {
            continue; /* "then hard boil 15-20" */
        } else if (led && n > 0 &&
                   bk_among(token, " turning reducing lowering increasing raising ") &&
                   i + 1 < end &&
                   bk_among(&t[i + 1], " the oven heat temperature it down up to ")) {
            leads[n] = i; /* "bake for an hour, turning the oven down to 160 C after ..." */
            at[n++] = i;
            led = false;
        } else if (led && n > 0 && bk_is(&t[i - 1], "and") && takes_time(t, i, end) &&
                   is_at_a_heat(t, i, end)) {
            leads[n] = i; /* "20 minutes at 220 C and a further hour at 180 C" */
            at[n++] = i;
            led = false;
        } else if (led && n > 0 && i == lead && bk_moves_without_verb(t, i, end) > i) {
            leads[n] = i; /* "freeze for 10 minutes and then directly into the oven" */
            at[n++] = i;
            led = false;
        } else if (led && n > 0 && bk_among(token, " down up back ") && i + 2 < end &&
                   bk_is(&t[i + 1], "to") && is_a_heat(&t[i + 2])) {
            leads[n] = i; /* "20 minutes, then down to Gas 4 and a further 25" */
            at[n++] = i;
            led = false;
        } else if (led && n > 0 && (bk_among(&t[i - 1], " then ; ") || bk_is(&t[i - 1], ",")) &&
                   bk_is(token, "gas") && bakes_on(t, i, end)) {
            leads[n] = i; /* "20 mins, then Gas 4, 30 mins more" */
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
        } else if (subordinate && (n == 0 || opened != SIZE_MAX) &&
                   ends_clause(t, n == 0 ? clause : opened, i, end)) {
            leads[n] = n == 0 ? clause : opened;
            at[n++] = i;
            led = subordinate = false;
        } else if (led && leaves_heat(t, i, end) > i) {
            i = leaves_heat(t, i, end);
        } else if (led && runs_on(t, i, end) > i) {
            i = runs_on(t, i, end); /* "with the motor running pour in the butter" */
        } else if (n > 0 && goes_on_with(t, i, end)) {
            leads[n] = i; /* "boil the eggs while you fry the bread for 4 minutes" */
            at[n++] = i + 2;
            led = subordinate = false;
            i += 2;
        } else if (bk_opens_subordinate(token)) {
            subordinate = true;
            clause = i == lead && n == 0 ? i : clause;
            bool how_long = bk_is(token, "for") && i + 1 < end &&
                            (t[i + 1].kind == BK_TOKEN_NUMBER || bk_number_word(&t[i + 1]) > 0 ||
                             bk_among(&t[i + 1], " about a another an "));
            opened = i == lead && n > 0 && !how_long ? i : opened;
            led = i == from && bk_is(token, "for") && comma_free(t, from, end);
        } else if (led && subordinate && lead == from && n == 0 && bk_is(&t[from], "for") &&
                   !bk_among(token, " i we ")) {
            continue; /* "For the meringue whisk" */
        } else if (led && i > from &&
                   ((bk_is(token, "away") && bk_is(&t[i - 1], "straight")) ||
                    (bk_among(token, " day morning evening night ") && bk_is(&t[i - 1], "next")))) {
            continue;
        } else if (led && i + 1 < end && bk_is(token, "at") && bk_is(&t[i + 1], "once")) {
            i++;
        } else if (!bk_is_adverb(token) &&
                   !(lead == from && i == from &&
                     bk_among(token, " evening morning monday tuesday wednesday thursday friday "
                                     "saturday sunday "))) {
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
        } else if ((led || i == from || bk_among(&t[i - 1], " , and then ; ")) &&
                   bk_among(token, " it they ") && goes_on_by_itself(t, i, end) &&
                   n < BK_MOST_ACTS && (i > from || stands_there(&t[i + 1]))) {
            leads[n] = i + 1;
            at[n++] = i + 1; /* "and it bakes for an hour" */
            led = subordinate = false;
        }
        bool told = phrase || bk_among(&t[from], " when once as ");
        if (bk_among(token, " i we ") &&
            (i == from || (n == 0 && told) || bk_among(&t[i - 1], " , and then : ; ")) &&
            did(t, i, end) > i && n < BK_MOST_ACTS) {
            leads[n] = n == 0 && i < from + 8 ? from : i;
            i = at[n++] = did(t, i, end); /* "I fried the bacon and fished it out" */
            chain = true;
            chat = led = subordinate = false;
            continue;
        }
        if (chat && i < from + 3 && bk_among(token, " i we you ") && tells(t, i, end)) {
            chat = false; /* "I bake it for an hour" */
            led = true;
        }
        if (i == from && bk_among(token, " meanwhile next now then finally first "))
            led = true;
        if (i == from && i + 2 < end && bk_among(token, " in at ") && bk_is(&t[i + 1], "the") &&
            (bk_is(&t[i + 2], "meantime") || (bk_among(&t[i + 2], " same mean ") && i + 3 < end))) {
            i += bk_is(&t[i + 2], "meantime") ? 2u : 3u; /* "In the meantime toast the almonds" */
            led = true;
            subordinate = false;
            lead = from;
        }
    }
    /* Each begins behind the verb of the one before: in words that are none ("bake in a tin be
     * torn") the words that lead to the second may be those that lead to the first. */
    size_t kept = 0;
    for (size_t i = 0; i < n; i++) {
        if (at[i] >= end || (kept > 0 && at[i] <= at[kept - 1]))
            continue;
        leads[kept] = kept > 0 && leads[i] <= at[kept - 1] ? at[i] : leads[i];
        at[kept++] = at[i];
    }
    return kept;
}
