/* What the words of an act say of haste: that it is done at once, or while something is hot or
 * soft that is not so for long. */
#include "takein/reading.h"

#include <string.h>

bool bk_is_soon_over(const bk_token *t)
{
    return bk_among(t, " hot warm boiling soft pliable molten runny tacky crisp wet sticky bendy "
                       "liquid pourable supple spitting sizzling smoking piping foaming fresh ");
}

/* "at once", and not "all the flour at once" */
static bool says_at_once(const bk_act *words, const bk_token *t)
{
    enum { BACK = 5 };
    for (size_t i = words->from; i + 1 < words->end; i++) {
        if (!bk_is(&t[i], "at") || !bk_is(&t[i + 1], "once"))
            continue;
        bool all = false;
        for (size_t b = 1; b <= BACK && i >= words->from + b && !bk_is(&t[i - b], ","); b++)
            all |= bk_is(&t[i - b], "all");
        if (!all)
            return true;
    }
    return false;
}

/* "before it has time to set", "before it goes hard": the change that is meant. */
static bool says_what_becomes(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 4 };
    for (size_t i = from + 1; i < end && i < from + FAR; i++)
        if (bk_among(&t[i], " set harden hard firm stiff cold brown flat soggy soft limp cool fall "
                            "sink off tough brittle thick "))
            return true;
    return false;
}

/* "before it sets", "before the crust has cooled" */
static bool is_before_it_sets(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 6 };
    for (size_t i = from; i + 2 < end; i++)
        for (size_t j = i + 2; bk_is(&t[i], "before") && j < i + FAR && j < end; j++) {
            if (t[j].kind != BK_TOKEN_WORD || bk_among(&t[i + 1], " you serving "))
                break;
            if (bk_among(&t[j],
                         " set sets hardens harden hardened cool cools cooled melts melt "
                         "crusts stiffens stiffen seizes seize falls fall collapses "
                         "collapse deflates deflate sinks sink firms chance stick sticks "
                         "toughens toughen dries discolours brown browns wilts weeps "
                         "separates goes grips thickens thicken spreads spread time gets get too "))
                return !bk_among(&t[j], " time goes gets get too ") || says_what_becomes(t, j, end);
        }
    return false;
}

/* "as fast as you can", "as quickly as possible" */
static bool is_as_fast_as_can_be(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i + 2 < end; i++)
        if (bk_is(&t[i], "as") && bk_among(&t[i + 1], " fast quickly quick swiftly ") &&
            bk_is(&t[i + 2], "as"))
            return true;
    return false;
}

/* "as long as it is hot", "while it still flows", "as hot as you can bear" */
static bool lasts_while_hot(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 6 };
    for (size_t i = from; i + 2 < end; i++) {
        bool as_long = bk_is(&t[i], "long") && bk_is(&t[i + 1], "as");
        for (size_t j = i + 2; as_long && j < i + FAR && j < end; j++)
            if (bk_is_soon_over(&t[j]))
                return true;
        if (bk_is(&t[i], "hot") && bk_is(&t[i + 1], "as") && bk_among(&t[i + 2], " you your "))
            return true;
        bool still = bk_among(&t[i], " while whilst ") && bk_among(&t[i + 1], " it they ") &&
                     bk_is(&t[i + 2], "still");
        if (still && i + 3 < end &&
            bk_among(&t[i + 3], " flows runs moves gives bends pours spreads bubbles foams "
                                "steams sizzles has have will "))
            return true;
    }
    return false;
}

/* "hot from the oven", "fresh from the pan", "warm out of the tin", "slice them warm into" */
static bool is_fresh_from_heat(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i + 1 < end; i++)
        if (bk_among(&t[i], " hot fresh warm ") &&
            !(i > 0 && bk_among(&t[i - 1], " the a in of ")) &&
            (bk_among(&t[i + 1], " from ") ||
             (bk_is(&t[i + 1], "out") && i + 2 < end && bk_is(&t[i + 2], "of"))))
            return true;
    return false;
}

/* Two words, one behind the other, that ask for haste: of the first list one, of the second
 * another. */
static const char *const hurried_pairs[][2] = {
    {" straight ", " away into onto from in out on back over off under down through "},
    {" right ", " away into onto from in out on back over off then "},
    {" directly ", " out from off into onto , . ; "},
    {" from ", " frozen "},
    {" no not can't cannot don't mustn't doesn't ", " wait waiting dawdle "},
    {" soon ", " as "},
    {" the very ", " moment instant minute "},
    {" second ", " it they each the "},
    {" without no ", " delay waiting pausing pause dawdling stopping further lingering dallying "
                     "hesitation loitering loss "},
    {" hang lingering hanging standing wait ", " about around "},
    {" be ", " quick swift "},
    {" over off sets hardens stiffens cools browns freezer oven fridge in ", " fast quickly "},
    {" lose losing waste wasting ", " no "},
    {" before it they ", " sets set hardens harden cools melts crusts stiffens seizes falls "
                         "collapses deflates sinks firms "},
    {" it they ", " sets hardens stiffens seizes "},
    {" hardly barely scarcely just newly ", " out drained boiled "},
    {" no ", " sooner "},
    {" losing wasting ", " a "}};

/* "or they set flat", "otherwise it goes solid": what comes of waiting. */
static bool threatens(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 7 };
    for (size_t i = from; i < end; i++) {
        if (!bk_among(&t[i], " or else otherwise because since "))
            continue;
        for (size_t j = i + 1; j < i + FAR && j < end; j++) {
            if (bk_among(&t[j], " until till for . ; "))
                break;
            if (bk_among(&t[j], " set sets seize seizes harden hardens stiffen stiffens collapse "
                                "collapses sink sinks deflate deflates weep weeps discolour "
                                "discolours ") ||
                (bk_among(&t[j], " go goes turn turns ") && j + 1 < end &&
                 bk_among(&t[j + 1], " hard solid stiff flat brittle brown soft soggy limp cold ")))
                return bk_among(&t[i + 1], " it they the it'll they'll ") ||
                       bk_among(&t[i], " else otherwise ");
        }
    }
    return false;
}

/* "don't let it cool", "never let them stand", "don't leave it sitting" */
static bool forbids_waiting(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 6 };
    for (size_t i = from; i + 2 < end; i++) {
        bool denied = bk_among(&t[i], " don't not never without ");
        if (!denied || !bk_among(&t[i + 1], " let leave letting leaving allow "))
            continue;
        for (size_t j = i + 2; j < i + FAR && j < end; j++)
            if (bk_among(&t[j], " stand wait sit cool cold set rest sitting standing waiting "
                                "resting cooling linger "))
                return true;
    }
    return false;
}

/* "without a moment's delay" */
static bool is_without_delay(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 5 };
    for (size_t i = from; i + 2 < end; i++)
        for (size_t j = i + 2; bk_among(&t[i], " without ") && j < i + FAR && j < end; j++)
            if (bk_among(&t[j], " delay wait pause hesitation "))
                return true;
    return false;
}

/* "push it through a sieve hot", "press them through the ricer hot - cold ones turn to glue" */
static bool is_done_hot(const bk_act *act, const bk_act *words, const bk_token *t)
{
    bool hands = act->group == BK_PREP || act->group == BK_POUR || act->group == BK_STRAIN;
    for (size_t i = act->from + 2; hands && i < words->end; i++)
        if (bk_among(&t[i], " hot boiling sizzling ") &&
            (i + 1 == words->end || bk_among(&t[i + 1], " , ; . : - ")) &&
            !bk_among(&t[i - 1],
                      " while whilst still until till when if and is are very get gets really "
                      "nice a the to or not stay stays them it keep red piping "))
            return true;
    return false;
}

bool bk_asks_for_haste(const bk_act *act, const bk_act *words, const bk_token *t)
{
    bool hands = act->group == BK_POUR || act->group == BK_MIX || act->group == BK_PREP ||
                 act->group == BK_STRAIN || act->group == BK_LIGHT;
    for (size_t i = 0; i < sizeof hurried_pairs / sizeof *hurried_pairs; i++)
        if (bk_act_has_pair(words, t, hurried_pairs[i][0], hurried_pairs[i][1]))
            return true;
    size_t from = words->from, end = words->end;
    return bk_act_has(words, t,
                      " immediately promptly straightaway instantly pronto asap "
                      "sharpish ") ||
           says_at_once(words, t) || is_before_it_sets(t, from, end) ||
           is_as_fast_as_can_be(t, from, end) || is_without_delay(t, from, end) ||
           forbids_waiting(t, from, end) || is_done_hot(act, words, t) ||
           (hands && threatens(t, from, end)) ||
           (bk_act_has_pair(words, t, " a ", " hurry jiffy flash ") &&
            !bk_act_has_pair(words, t, " you're not if ", " in ")) ||
           (from + 1 < end && bk_among(&t[from], " directly immediately instantly ") &&
            bk_among(&t[from + 1], " the it they each that this ")) ||
           (bk_act_has_pair(words, t, " there then ", " and ") &&
            bk_act_has_pair(words, t, " and ", " then there ")) ||
           (hands && bk_act_has_pair(words, t, " come comes ", " out off ")) ||
           (hands && bk_act_has(words, t, " quickly quick swiftly ") &&
            !bk_is(&t[act->from], "skim"));
}

/* "while still warm", "prick the hot cake", "into the boiling syrup". */
bool bk_is_hot_work(const bk_act *act, const bk_act *words, const bk_token *t)
{
    if (act->group <= BK_POUR && act->from + 1 < act->end && bk_verb_find(t[act->from].word) &&
        bk_is(&t[act->from + 1], "hot"))
        return true; /* "mash hot" */
    if (is_fresh_from_heat(t, words->from, words->end) ||
        lasts_while_hot(t, words->from, words->end))
        return true;
    for (size_t i = words->from; i + 1 < words->end; i++) {
        if (bk_among(&t[i], " while whilst ")) {
            for (size_t j = i + 1; j < i + 8 && j < words->end && !bk_is(&t[j], ","); j++)
                if (bk_is_soon_over(&t[j]))
                    return true;
        }
        if (bk_is(&t[i], "still") &&
            bk_among(&t[i + 1], " hot warm boiling piping spitting steaming sizzling bubbling "
                                "smoking foaming molten "))
            return true;
        if ((act->group == BK_POUR || act->group == BK_PREP) &&
            bk_among(&t[i], " hot boiling warm sizzling spitting bubbling foaming ") &&
            bk_among(&t[i + 1], " over on onto into through ") &&
            (act->group == BK_POUR || !bk_is(&t[i], "hot") || i > act->from) &&
            !(i > 0 && bk_among(&t[i - 1], " until till the when and ")))
            return true; /* "pour it hot over the yolks", "slice them warm into the dressing" */
        bool hot =
            bk_among(&t[i + 1], " hot boiling ") &&
            !(i + 2 < words->end && bk_among(&t[i + 2], " oven water oil heat place tap part milk "
                                                        "cream jars jar pot baking stock coffee "
                                                        "tea tray sheet stone grill "));
        if (hot && bk_is(&t[i], "the") && act->group != BK_MIX &&
            (act->group != BK_PREP || i == act->from + 1))
            return true;
        if (hot && bk_among(&t[i], " into ") && i + 2 < words->end &&
            bk_among(&t[i + 2], " jars jar sterilised sterilized clean dry "))
            return true;
    }
    return false;
}
