/* What the words of an act say of its place among the others: meanwhile, at once, apart. */
#include "takein/reading.h"

#include <string.h>

/* "while it rests", and not "while still warm" nor "while stirring". */
static bool is_while_it_goes_on(const bk_token *t, size_t at, size_t end)
{
    if (!bk_among(&t[at], " while whilst ") || at + 1 >= end ||
        !bk_among(&t[at + 1], " the it they that this these those your you "))
        return false;
    for (size_t i = at + 1; i < end && i < at + 7 && !bk_is(&t[i], ","); i++)
        if (bk_among(&t[i], " oven still running motor machine mixer whisking stirring ") ||
            bk_is_soon_over(&t[i]))
            return false;
    return true;
}

/* "while the caramel is liquid," */
static bool is_while_it_is_so(const bk_token *t, size_t at, size_t end)
{
    enum { FAR = 7 };
    for (size_t i = at + 2; i < end && i < at + FAR && !bk_is(&t[i], ","); i++)
        if (bk_among(&t[i - 1], " is are still it's they're ") && bk_is_soon_over(&t[i]) &&
            !bk_among(&t[i], " boiling sizzling smoking foaming "))
            return true;
    return false;
}

/* "With ten minutes of roasting to go" */
static bool has_time_to_go(const bk_token *t, size_t at, size_t end)
{
    enum { FAR = 5 };
    if (!bk_among(&t[at], " minutes mins min hour hours quarter "))
        return false;
    for (size_t i = at + 1; i + 1 < end && i < at + FAR && t[i].kind == BK_TOKEN_WORD; i++)
        if (bk_is(&t[i], "to") && bk_is(&t[i + 1], "go"))
            return true;
    return false;
}

/* "In the last half hour boil the potatoes": something else, and not what bakes. */
static bool is_in_its_last_minutes(const bk_act *act, const bk_token *t, size_t from)
{
    enum { FAR = 5 };
    size_t time = 0;
    if (!bk_among(&t[from], " in for during ") || !bk_is(&t[from + 1], "the") ||
        !bk_among(&t[from + 2], " last final "))
        return false;
    for (size_t i = from + 3; i < act->end && i < from + 3 + FAR; i++)
        time = bk_among(&t[i], " minutes mins min hour quarter ") ? i : time;
    return time > 0 && time + 1 < act->end &&
           bk_among(&t[time + (bk_is(&t[time + 1], ",") ? 2 : 1)],
                    " boil steam cook make fry whisk whip beat peel chop slice toast blanch heat "
                    "warm prepare melt ");
}

/* "About half an hour before the stew is ready", "when the rice is nearly done". */
static bool is_before_the_end(const bk_token *t, size_t from, size_t end)
{
    bool near = false, has = false;
    for (size_t i = from; i < end && !bk_is(&t[i], ","); i++) {
        near |= bk_among(&t[i], " before nearly almost minutes' towards ");
        if (has_time_to_go(t, i, end))
            return true;
        if (i > from + 1 && bk_is(&t[i], "there") && bk_among(&t[i - 1], " nearly almost "))
            return true; /* "when it is nearly there" */
        has |= bk_among(&t[i], " has have with ");
        if (has && i > from + 2 && bk_is(&t[i], "left"))
            return true; /* "when the pork has an hour left" */
        if (near && bk_among(&t[i], " ready done out end cooked finished due ") &&
            bk_among(&t[i - 1], " is are it's they're that's comes come the nearly almost be "))
            return true;
    }
    return false;
}

/* "When the crumble has been in for 20 minutes", "when the meat has had about an hour", "after the
 * first hour": it goes on. */
static bool has_been_going(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 6 };
    bool when = from < end && bk_among(&t[from], " when once after ");
    for (size_t i = from + 1; i + 1 < end && when && !bk_is(&t[i], ","); i++) {
        if (bk_among(&t[i], " has have ") && bk_is(&t[i + 1], "been"))
            return true;
        for (size_t j = i + 2; j < end && j < i + FAR && bk_among(&t[i], " has have ") &&
                               bk_is(&t[i + 1], "had") && !bk_is(&t[j], ",");
             j++)
            if (bk_among(&t[j], " minutes mins hour hours "))
                return true;
    }
    for (size_t i = from + 3; i < end && i < from + FAR && when && bk_is(&t[from], "after") &&
                              bk_is(&t[from + 1], "the") && bk_is(&t[from + 2], "first");
         i++)
        if (bk_among(&t[i], " minutes mins hour hours "))
            return true;
    return false;
}

/* "As soon as that's in", "once the tart is in the oven": what follows goes on beside it. */
static bool is_when_it_is_in(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 8 };
    if (!bk_among(&t[from], " as once when "))
        return false;
    for (size_t i = from + 1; i + 3 < end && i < from + FAR && !bk_is(&t[i], ","); i++)
        if (bk_among(&t[i], " turn turned ") && bk_is(&t[i + 1], "the") &&
            bk_is(&t[i + 2], "oven") && bk_among(&t[i + 3], " down up "))
            return true; /* "When you turn the oven down, prick the potatoes" */
    for (size_t i = from + 1; i + 1 < end && i < from + FAR && !bk_is(&t[i], ","); i++)
        if (bk_is(&t[i], "in") &&
            bk_among(&t[i - 1], " is are it's that's they're goes go safely ") &&
            (bk_among(&t[i + 1], " , : ; . ") ||
             (i + 2 < end && bk_is(&t[i + 1], "the") && bk_is(&t[i + 2], "oven"))))
            return true;
    return false;
}

/* "Meanwhile ...", "Gravy: while the turkey rests ...", "... while you finish the sauce: ...",
 * "At the same time ...", "... meantime". */
static bool is_meanwhile(const bk_act *words, const bk_act *act, const bk_token *t, size_t lead,
                         size_t sentence, size_t sentence_end)
{
    for (size_t i = lead; i < words->from + 1; i++)
        if (bk_among(&t[i], " meanwhile while whilst alongside ") &&
            (i == lead || bk_among(&t[i - 1], " : ; , and ")) &&
            !is_while_it_is_so(t, i, words->from))
            return true;
    /* "Peel and grate the ginger while the cake bakes": both */
    bool bare = words->sentence && words->from + 2 < sentence_end &&
                words->end <= words->from + 2 && bk_is(&t[words->from + 1], "and");
    size_t end = bare ? sentence_end : words->end;
    for (size_t i = words->from + 1; i < end; i++)
        if (is_while_it_goes_on(t, i, end) &&
            (!bk_is(&t[i + 1], "you") || (i + 2 < words->end && bk_is(&t[i + 2], "wait"))))
            return words->sentence; /* "whip the cream while the cake cools" */
    bool beside = false;
    for (size_t i = sentence; i < words->from; i++) {
        beside |= bk_is(&t[i], "while") && bk_among(&t[i + 1], " you it they the ");
        beside |= bk_is(&t[i], "during") && i > sentence; /* "Salsa, during the lentils: ..." */
        beside |=
            i > sentence && bk_is(&t[i - 1], "same") && bk_among(&t[i], " evening day night ");
        if (beside && i + 1 == words->from && bk_is(&t[i], ":"))
            return true;
    }
    if (bk_is(&t[lead], "use") && lead + 2 < words->from)
        return true; /* "use the rise to roast the plums" */
    for (size_t i = words->from + 2; i + 1 < words->end; i++)
        if (bk_among(&t[i - 1], " in at ") && bk_among(&t[i], " that the ") &&
            (bk_among(&t[i + 1], " time meantime ") ||
             (bk_is(&t[i + 1], "same") && i + 2 < words->end && bk_is(&t[i + 2], "time"))))
            return true; /* "cook the pasta in that time" */
    size_t part = lead;  /* "...; an hour before it is ready, put the potatoes in" */
    while (part > sentence && !bk_is(&t[part - 1], ";"))
        part--;
    part = bk_verb_find(t[part].word) || (part == sentence && lead != sentence) ? lead : part;
    bk_act all = {.from = sentence, .end = sentence_end};
    return (lead == sentence && bk_act_has(&all, t, " meantime meanwhile ") &&
            !bk_act_has(&all, t, " keeping ")) ||
           is_before_the_end(t, part, words->from) || is_in_its_last_minutes(act, t, part) ||
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
            (bk_is(&t[i + 1], "you") || bk_among(&t[i + 1], " making preparing ")) &&
            !(i + 4 < act->end && bk_among(&t[i + 2], " heat preheat ") &&
              bk_is(&t[i + 4], "oven")))
            return true;
    return false;
}

/* "carry it to the table at once": that is no haste between stages. */
static bool is_for_the_table(const bk_act *words, const bk_token *t)
{
    return bk_act_has(words, t, " table serve guests eat sitting everybody ");
}

/* "out of the tin", "from its mould", "on a rack", "turn out". */
static bool leaves_the_tin(const bk_act *act, const bk_token *t)
{
    for (size_t i = act->from; i + 2 < act->end; i++)
        if (bk_among(&t[i], " from of off ") && bk_among(&t[i + 1], " the its their ") &&
            bk_among(&t[i + 2], " tin tins tray mould mold moulds pan dish ramekins "))
            return true;
    for (size_t i = act->from; i + 2 < act->end && act->group == BK_REST; i++)
        if (bk_is(&t[i], "out") && bk_is(&t[i + 1], "of") && bk_among(&t[i + 2], " it them "))
            return true; /* "then out of it for another 2 hours" */
    return bk_act_has_pair(act, t, " turn turned ", " out ") ||
           bk_act_has(act, t, " unmould unmold rack ") ||
           (bk_is(&t[act->from], "turn") && bk_act_has(act, t, " out "));
}

/* "in the same pan", "to the pan"; not "at the same time". */
static bool says_the_same(const bk_act *words, const bk_token *t)
{
    for (size_t i = words->from; i + 1 < words->end; i++)
        if ((bk_is(&t[i], "the") && bk_among(&t[i + 1], " same pan pot ") &&
             !(i + 2 < words->end && bk_among(&t[i + 2], " time way "))) ||
            (bk_is(&t[i], "same") && bk_among(&t[i + 1], " pan pot ")))
            return true;
    return false;
}

/* "off the heat, stir in ...", "take from the heat": not "whisk in a bowl over water, then off the
 * heat". */
static bool is_taken_off_the_heat(const bk_act *words, const bk_token *t)
{
    enum { FAR = 5 };
    for (size_t i = words->from; i + 2 < words->end && i < words->from + FAR; i++)
        if (bk_among(&t[i], " off from ") && bk_is(&t[i + 1], "the") &&
            bk_among(&t[i + 2], " heat hob fire stove "))
            return true;
    return false;
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

void bk_decide_order(bk_act *act, const bk_token *t, size_t lead, size_t sentence,
                     size_t sentence_end)
{
    bk_act words = *act;
    words.from = lead;
    bool is_in = lead == sentence && is_when_it_is_in(t, sentence, sentence_end);
    for (size_t i = sentence + 1; i < act->verb_at && lead == sentence; i++)
        is_in |= bk_is(&t[i], "as") && bk_is(&t[i + 1], "soon") &&
                 is_when_it_is_in(t, i, sentence_end); /* "it goes on as soon as that is in: ..." */
    bool haste = bk_asks_for_haste(act, &words, t) && !is_in;
    bool hot = bk_is_hot_work(act, &words, t);
    act->at_once = (haste || hot) && !is_for_the_table(&words, t);
    act->hot_work = act->at_once && !haste;
    act->still_hot = act->hot_work &&
                     !bk_among(&t[act->from], " seal cover pot bottle ladle fill put ") &&
                     bk_act_has(&words, t, " while whilst still ");
    act->meanwhile =
        is_meanwhile(&(bk_act){.from = act->from, .end = act->end, .sentence = act->sentence}, act,
                     t, lead, sentence, sentence_end) ||
        is_in;
    act->apart =
        bk_act_has(act, t, " separately alongside ") ||
        (bk_is(&t[lead], "for") && lead == sentence && lead < act->from &&
         bk_among(&t[lead + 1], " the a ")) ||
        bk_act_has_pair(&words, t, " another separate second clean smaller different fresh ",
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
    act->back_refers = says_the_same(&words, t) || is_taken_off_the_heat(&words, t) ||
                       (bk_among(&t[lead], " as once when after before ") && lead < act->from &&
                        bk_act_has(&(bk_act){.from = lead, .end = act->from}, t, " it they them "));
    act->joins =
        bk_act_has_pair(act, t, " into onto over to through with on ", " the them it this ") ||
        bk_act_has_pair(act, t, " in ", " the ");
    act->out_of_tin = leaves_the_tin(act, t);
}
