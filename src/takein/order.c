/* What the words of an act say of its place among the others: meanwhile, at once, apart. */
#include "takein/reading.h"

#include <string.h>

/* How something is that is not so for long. */
static const char soon_over[] =
    " hot warm boiling soft pliable molten runny tacky crisp wet sticky "
    "bendy liquid pourable supple spitting sizzling smoking piping "
    "foaming fresh ";

/* "while it rests", and not "while still warm" nor "while stirring". */
static bool is_while_it_goes_on(const bk_token *t, size_t at, size_t end)
{
    if (!bk_among(&t[at], " while whilst ") || at + 1 >= end ||
        !bk_among(&t[at + 1], " the it they that this these those your you "))
        return false;
    for (size_t i = at + 1; i < end && i < at + 7 && !bk_is(&t[i], ","); i++)
        if (bk_among(&t[i], " oven still running motor machine mixer whisking stirring ") ||
            bk_among(&t[i], soon_over))
            return false;
    return true;
}

/* "About half an hour before the stew is ready", "when the rice is nearly done". */
static bool is_before_the_end(const bk_token *t, size_t from, size_t end)
{
    bool near = false, has = false;
    for (size_t i = from; i < end && !bk_is(&t[i], ","); i++) {
        near |= bk_among(&t[i], " before nearly almost minutes' towards ");
        if (bk_among(&t[i], " minutes mins min hour hours ") && i + 2 < end &&
            bk_is(&t[i + 1], "to") && bk_is(&t[i + 2], "go"))
            return true;
        has |= bk_among(&t[i], " has have with ");
        if (has && i > from + 2 && bk_is(&t[i], "left"))
            return true; /* "when the pork has an hour left" */
        if (near && bk_among(&t[i], " ready done out end cooked finished due ") &&
            bk_among(&t[i - 1], " is are comes come the nearly almost be "))
            return true;
    }
    return false;
}

/* "When the crumble has been in for 20 minutes" */
static bool has_been_going(const bk_token *t, size_t from, size_t end)
{
    bool when = from < end && bk_among(&t[from], " when once after ");
    for (size_t i = from + 1; i + 1 < end && when && !bk_is(&t[i], ","); i++)
        if (bk_among(&t[i], " has have ") && bk_is(&t[i + 1], "been"))
            return true;
    return false;
}

/* "As soon as that's in", "once the tart is in the oven": what follows goes on beside it. */
static bool is_when_it_is_in(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 8 };
    if (!bk_among(&t[from], " as once when "))
        return false;
    for (size_t i = from + 1; i + 1 < end && i < from + FAR && !bk_is(&t[i], ","); i++)
        if (bk_is(&t[i], "in") &&
            bk_among(&t[i - 1], " is are it's that's they're goes go safely ") &&
            (bk_is(&t[i + 1], ",") ||
             (i + 2 < end && bk_is(&t[i + 1], "the") && bk_is(&t[i + 2], "oven"))))
            return true;
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
    /* "Peel and grate the ginger while the cake bakes": both */
    bool bare = words->sentence && words->from + 2 < sentence_end &&
                words->end <= words->from + 2 && bk_is(&t[words->from + 1], "and");
    size_t end = bare ? sentence_end : words->end;
    for (size_t i = words->from + 1; i < end; i++)
        if (is_while_it_goes_on(t, i, end) &&
            (!bk_is(&t[i + 1], "you") || (i + 2 < words->end && bk_is(&t[i + 2], "wait"))))
            return words->sentence; /* "whip the cream while the cake cools" */
    bool you = false;
    for (size_t i = sentence; i < lead; i++) {
        you |= bk_is(&t[i], "while") && bk_is(&t[i + 1], "you");
        if (you && i + 1 == lead && bk_is(&t[i], ":"))
            return true;
    }
    bk_act all = {.from = sentence, .end = sentence_end};
    return (lead == sentence && bk_act_has(&all, t, " meantime meanwhile ") &&
            !bk_act_has(&all, t, " keeping ")) ||
           (lead == sentence && is_before_the_end(t, sentence, words->from)) ||
           (lead == sentence && bk_act_has_pair(&all, t, " same that this mean ", " time ")) ||
           (lead == sentence && has_been_going(t, sentence, words->from)) ||
           (lead == sentence && is_when_it_is_in(t, sentence, sentence_end)) ||
           (words->sentence && bk_is(&t[sentence], "during")) ||
           (words->sentence && bk_is(&t[sentence], "in") && sentence + 2 < words->from &&
            bk_among(&t[sentence + 1], " that this ") &&
            bk_among(&t[sentence + 2], " time half quarter hour ")) ||
           (bk_is(&t[lead], "as") && !bk_among(&t[lead + 1], " soon each far long well you ") &&
            !(lead + 2 < sentence_end && bk_among(&t[lead + 2], " come comes are ")));
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
    return bk_act_has(words, t, " table serve guests eat ");
}

/* "out of the tin", "from its mould", "on a rack", "turn out". */
static bool leaves_the_tin(const bk_act *act, const bk_token *t)
{
    for (size_t i = act->from; i + 2 < act->end; i++)
        if (bk_among(&t[i], " from of off ") && bk_among(&t[i + 1], " the its their ") &&
            bk_among(&t[i + 2], " tin tins tray mould mold moulds pan dish ramekins "))
            return true;
    return bk_act_has_pair(act, t, " turn turned ", " out ") ||
           bk_act_has(act, t, " unmould unmold rack ") ||
           (bk_is(&t[act->from], "turn") && bk_act_has(act, t, " out "));
}

/* "pastry: rub in ...": the token behind the sign, or `from`. */
size_t bk_behind_label(const bk_token *t, size_t from, size_t end)
{
    enum { MOST_WORDS = 8 };
    for (size_t i = from; i < end && i < from + MOST_WORDS; i++) {
        if (bk_is(&t[i], ":"))
            return i > from ? i + 1 : from;
        if (t[i].kind != BK_TOKEN_WORD)
            break;
    }
    return from;
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
                            "sink off tough "))
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
            if (bk_among(&t[j], " set sets hardens harden hardened cool cools cooled melts melt "
                                "crusts stiffens stiffen seizes seize falls fall collapses "
                                "collapse deflates deflate sinks sink firms chance stick sticks "
                                "toughens toughen dries discolours brown browns wilts weeps "
                                "separates goes grips thickens thicken time "))
                return !bk_among(&t[j], " time goes ") || says_what_becomes(t, j, end);
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

/* "immediately", "as soon as they are out", "before it sets", "working quickly". */
static bool asks_for_haste(const bk_act *act, const bk_act *words, const bk_token *t)
{
    bool hands = act->group == BK_POUR || act->group == BK_MIX || act->group == BK_PREP ||
                 act->group == BK_STRAIN || act->group == BK_LIGHT;
    return bk_act_has(words, t, " immediately promptly straightaway instantly ") ||
           says_at_once(words, t) ||
           bk_act_has_pair(words, t, " straight right ",
                           " away into onto from in out on back over ") ||
           bk_act_has_pair(words, t, " directly ", " out from off into onto ") ||
           bk_act_has_pair(words, t, " no not can't cannot don't mustn't doesn't ",
                           " wait waiting dawdle ") ||
           bk_act_has_pair(words, t, " soon ", " as ") ||
           bk_act_has_pair(words, t, " the ", " moment instant minute ") ||
           bk_act_has_pair(words, t, " second ", " it they ") ||
           bk_act_has_pair(words, t, " without ", " delay waiting pausing ") ||
           (bk_act_has_pair(words, t, " without ", " letting ") &&
            bk_act_has(words, t, " stand wait sit ")) ||
           is_before_it_sets(t, words->from, words->end) ||
           is_as_fast_as_can_be(t, words->from, words->end) ||
           (bk_act_has_pair(words, t, " a ", " hurry jiffy flash ") &&
            !bk_act_has_pair(words, t, " you're not if ", " in ")) ||
           bk_act_has_pair(words, t, " hang lingering hanging standing wait ", " about around ") ||
           bk_act_has_pair(words, t, " without ",
                           " lingering dallying hesitation loitering loss ") ||
           (words->from + 1 < words->end &&
            bk_among(&t[words->from], " directly immediately instantly ") &&
            bk_among(&t[words->from + 1], " the it they each that this ")) ||
           bk_act_has_pair(words, t, " be ", " quick swift ") ||
           bk_act_has_pair(words, t, " over off sets hardens stiffens cools browns ",
                           " fast quickly ") ||
           (bk_act_has_pair(words, t, " there ", " and ") &&
            bk_act_has_pair(words, t, " and ", " then ")) ||
           bk_act_has_pair(words, t, " lose losing waste wasting ", " no ") ||
           bk_act_has_pair(words, t, " without no ", " pause delay dawdling stopping further ") ||
           (bk_act_has_pair(words, t, " don't not never ", " let leave ") &&
            bk_act_has(words, t, " stand wait sit ")) ||
           bk_act_has_pair(words, t, " before it they ",
                           " sets set hardens harden cools melts crusts stiffens seizes "
                           "falls collapses deflates sinks firms ") ||
           bk_act_has_pair(words, t, " it they ", " sets hardens stiffens ") ||
           (hands && bk_act_has_pair(words, t, " come comes ", " out off ")) ||
           (hands && bk_act_has(words, t, " quickly quick swiftly ") &&
            !bk_is(&t[act->from], "skim"));
}

/* "while still warm", "prick the hot cake", "into the boiling syrup". */
static bool is_hot_work(const bk_act *act, const bk_act *words, const bk_token *t)
{
    if (act->group <= BK_POUR && act->from + 1 < act->end && bk_verb_find(t[act->from].word) &&
        bk_is(&t[act->from + 1], "hot"))
        return true; /* "mash hot" */
    if (is_fresh_from_heat(t, words->from, words->end))
        return true;
    for (size_t i = words->from; i + 1 < words->end; i++) {
        if (bk_among(&t[i], " while whilst ")) {
            for (size_t j = i + 1; j < i + 8 && j < words->end && !bk_is(&t[j], ","); j++)
                if (bk_among(&t[j], soon_over))
                    return true;
        }
        if (bk_is(&t[i], "still") &&
            bk_among(&t[i + 1], " hot warm boiling piping spitting steaming sizzling bubbling "
                                "smoking foaming molten "))
            return true;
        if ((act->group == BK_POUR || act->group == BK_PREP) &&
            bk_among(&t[i], " hot boiling warm ") &&
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

void bk_decide_order(bk_act *act, const bk_token *t, size_t lead, size_t sentence,
                     size_t sentence_end)
{
    bk_act words = *act;
    words.from = lead;
    bool haste = asks_for_haste(act, &words, t) &&
                 !(lead == sentence && is_when_it_is_in(t, sentence, sentence_end));
    bool hot = is_hot_work(act, &words, t);
    act->at_once = (haste || hot) && !is_for_the_table(&words, t);
    act->hot_work = act->at_once && !haste;
    act->still_hot = act->hot_work &&
                     !bk_among(&t[act->from], " seal cover pot bottle ladle fill put ") &&
                     bk_act_has(&words, t, " while whilst still ");
    act->hot_target = bk_act_has_pair(&words, t, " the ", " hot boiling warm ") &&
                      bk_act_has(&words, t, " into onto over ");
    act->meanwhile =
        is_meanwhile(&(bk_act){.from = act->from, .end = act->end, .sentence = act->sentence}, t,
                     lead, sentence, sentence_end);
    act->apart = bk_act_has(act, t, " separately alongside ") ||
                 (bk_is(&t[lead], "for") && lead == sentence && lead < act->from &&
                  bk_among(&t[lead + 1], " the a ")) ||
                 bk_act_has_pair(&words, t, " another separate second clean ",
                                 " pan bowl saucepan pot jug ");
    act->beside_next = act->passive && leaves_time(act, t);
    act->mixes_in = act->from + 2 < act->end && bk_among(&t[act->from + 1], " in into ") &&
                    bk_is(&t[act->from + 2], "the");
    size_t label = lead == sentence ? bk_behind_label(t, sentence, sentence_end) : lead;
    if (label > lead && (label <= act->from || !act->verb)) {
        act->label_from = lead;
        act->label_end = label - 1;
    }
    if (label == lead && lead == sentence && lead + 3 < act->from && bk_is(&t[lead], "to") &&
        bk_is(&t[lead + 1], "make") && bk_among(&t[lead + 2], " the a your ")) {
        act->label_from = lead + 3; /* "To make the icing, beat ..." */
        act->label_end = bk_noun_end(t, lead + 3, act->from);
        act->apart = true;
    }
    act->back_refers = bk_act_has_pair(&words, t, " the same ", " same pan pot ") ||
                       (bk_act_has_pair(&words, t, " off from ", " the ") &&
                        bk_act_has_pair(&words, t, " the ", " heat hob fire stove ")) ||
                       (bk_among(&t[lead], " as once when after before ") && lead < act->from &&
                        bk_act_has(&(bk_act){.from = lead, .end = act->from}, t, " it they them "));
    act->joins =
        bk_act_has_pair(act, t, " into onto over to through with on ", " the them it this ") ||
        bk_act_has_pair(act, t, " in ", " the ");
    act->out_of_tin = leaves_the_tin(act, t);
}
