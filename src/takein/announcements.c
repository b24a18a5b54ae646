/* Sentences that do nothing themselves, and say something of what stands beside them: "Now the
 * sauce.", "While it steams you make the custard.", "Do this while the buns bake.", "Mine takes
 * 7 minutes.". */
#include "takein/reading.h"

#include <string.h>

static bool is_maker(const bk_token *t)
{
    return bk_among(t, " make making start starting begin prepare do ");
}

/* "the sauce for the fish": the token behind "sauce". */
size_t bk_noun_end(const bk_token *t, size_t from, size_t end)
{
    size_t i = from;
    while (i < end && t[i].kind == BK_TOKEN_WORD &&
           !bk_among(&t[i], " for with while in by and from to as until "))
        i++;
    return i;
}

/* What follows is a part of its own, so called. */
static void announce(bk_reading *r, size_t from, size_t end, bool meanwhile)
{
    r->pending.step = r->step;
    r->pending.apart = true;
    r->pending.meanwhile = meanwhile;
    r->pending.lent = false;
    r->pending.at_once = false;
    r->pending.label_from = from;
    r->pending.label_end = end;
}

/* "Custard when the crumble's nearly there.", "Custard, do this in the last quarter of an hour." */
static bool names_what_comes_then(bk_reading *r, size_t from, size_t end)
{
    enum { MOST_WORDS = 3 };
    const bk_token *t = r->t;
    size_t noun = from, i;
    while (noun < end && noun <= from + MOST_WORDS && t[noun].kind == BK_TOKEN_WORD &&
           !bk_among(&t[noun], " when while whilst during in once do "))
        noun++;
    if (noun == from || noun > from + MOST_WORDS || noun + 2 >= end || !t[from].capital ||
        bk_verb_find(t[from].word))
        return false;
    i = noun + bk_among(&t[noun], " , - ");
    bool do_this = bk_is(&t[i], "do") && bk_among(&t[i + 1], " this it ");
    bool beside = bk_among(&t[i], " while whilst during ") && !do_this;
    for (size_t j = i; j < end; j++) {
        beside |= do_this && bk_among(&t[j], " last final while whilst during ");
        beside |= bk_among(&t[i], " when once in ") && j > i + 1 &&
                  bk_among(&t[j - 1], " nearly almost the ") &&
                  bk_among(&t[j], " there done ready meantime last ");
    }
    if (beside)
        announce(r, from, noun, true);
    return beside;
}

/* "The marmalade can be done any time they're chilling.", "Scones to be made while it simmers." */
static bool may_be_made_beside(bk_reading *r, size_t from, size_t end)
{
    enum { MOST_WORDS = 3 };
    const bk_token *t = r->t;
    size_t first = from + bk_among(&t[from], " the your "), noun = first;
    while (noun < end && noun <= first + MOST_WORDS && t[noun].kind == BK_TOKEN_WORD &&
           !bk_among(&t[noun], " can may to is are should could "))
        noun++;
    if (noun == first || noun > first + MOST_WORDS || noun + 3 >= end)
        return false;
    size_t i = noun + bk_among(&t[noun], " can may to should could ");
    if (i >= end || !bk_among(&t[i], " be is are ") || !bk_among(&t[i + 1], " made done prepared "))
        return false;
    for (size_t j = i + 2; j < end; j++)
        if (bk_among(&t[j], " while whilst meanwhile during ") ||
            (bk_is(&t[j], "any") && j + 1 < end && bk_is(&t[j + 1], "time"))) {
            announce(r, first, noun, true);
            return true;
        }
    return false;
}

/* "Now the sauce.", "Now for the filling.", "Meantime the filling." */
static bool names_what_comes(bk_reading *r, size_t from, size_t end)
{
    enum { MOST_WORDS = 4 };
    const bk_token *t = r->t;
    size_t i = from;
    while (i < end &&
           bk_among(&t[i], " now next then and so meanwhile meantime first , on to for "))
        i++;
    if (i == from || i + 1 >= end || !bk_among(&t[i], " the a your "))
        return false;
    size_t noun = bk_noun_end(t, i + 1, end);
    bool only = noun == end || bk_among(&t[noun], " . ! : ");
    if (!only || noun == i + 1 || noun > i + 1 + MOST_WORDS || bk_spell_find(t, from, end).found)
        return false;
    announce(r, i + 1, noun, bk_among(&t[from], " meanwhile meantime "));
    return true;
}

/* "Do the caramel in the meantime." */
static bool makes_in_the_meantime(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from + 3; i < end; i++)
        if (bk_among(&t[i], " meantime meanwhile ") ||
            (bk_is(&t[i], "time") && bk_among(&t[i - 1], " mean same ")))
            return true;
    return false;
}

/* "While it steams you make the custard.", "When it has an hour left start the sauce." */
static bool says_to_make(bk_reading *r, size_t from, size_t end)
{
    const bk_token *t = r->t;
    bool beside = false;
    for (size_t i = from; i + 2 < end; i++) {
        beside |= bk_among(&t[i], " while whilst meanwhile meantime during left nearly almost ");
        beside |= bk_among(&t[i], " end go ") && bk_among(&t[i - (i > from)], " the to ");
        if ((beside || (i == from && makes_in_the_meantime(t, from, end))) && is_maker(&t[i]) &&
            bk_among(&t[i + 1], " the a your some ") && bk_noun_end(t, i + 2, end) > i + 2) {
            announce(r, i + 2, bk_noun_end(t, i + 2, end), true);
            return true;
        }
    }
    return false;
}

/* "Do this while the buns bake." said of the sentences before it in the step. */
void bk_say_when_it_is_done(bk_reading *r, size_t from, size_t end)
{
    const bk_token *t = r->t;
    if (from + 1 >= end || !bk_among(&t[from], " do "))
        return;
    bool beside = false;
    for (size_t i = from + 1; i < end && i < from + 6; i++)
        beside |= bk_among(&t[i], " while whilst during last ");
    bool this_step = bk_among(&t[from + 1], " this these it that them while ");
    bk_taken *taken = r->taken;
    size_t first = taken->count;
    while (first > 0 && taken->stages[first - 1].step == r->step)
        first--;
    if (beside && this_step && first < taken->count && first > 0)
        taken->stages[first].act.meanwhile = true;
}

/* "Mine takes 7 to 8 minutes.", "Allow a quarter of an hour for this.": the time of the stage
 * before. */
static bool gives_time_to_last(bk_reading *r, size_t from, size_t end)
{
    enum { FAR = 4 };
    const bk_token *t = r->t;
    bk_taken *taken = r->taken;
    bool takes = false;
    for (size_t i = from; i < end && i < from + FAR; i++)
        takes |= bk_among(&t[i], " takes take took allow needs need wants want ") &&
                 (i == from || bk_among(&t[i - 1], " it this that mine which they will may can "
                                                   "should could might it'll they'll that'll "));
    takes |= from + 2 < end && bk_among(&t[from], " it they ") &&
             bk_among(&t[from + 1], " stays stayed stay ") && bk_is(&t[from + 2], "there");
    for (size_t i = from; i + 2 < end; i++)
        takes |= bk_is(&t[i], "it") && bk_among(&t[i + 1], " takes took ") &&
                 bk_among(&t[i + 2], " me us ");
    takes |= bk_is(&t[from], "overnight") && from + 2 < end && bk_among(&t[from + 1], " is ") &&
             bk_among(&t[from + 2], " good fine best ideal better even enough "); /* "is good" */
    size_t time = from + 1 + (from + 1 < end && bk_among(&t[from + 1], " about a only just "));
    bk_spell said;
    takes |=
        bk_among(&t[from], " it's that's ") &&
        (bk_spell_read(t, from + 1, end, &said) > from + 1 ||
         bk_spell_read(t, time, end, &said) > time); /* "It's 10 minutes, whatever they say." */
    takes |= bk_is(&t[from], "time") && bk_is(&t[from + 1], ":");
    bk_spell spell = takes ? bk_spell_find(t, from, end) : (bk_spell){0};
    if (!spell.found || taken->count == 0)
        return false;
    bk_taken_stage *last = &taken->stages[taken->count - 1];
    if (last->step != r->step || last->act.spell.found ||
        (!last->act.passive && spell.least >= BK_LONGEST_AT_WORK))
        return false; /* "Label. It wants a fortnight in the cupboard" */
    last->act.spell = spell;
    bk_decide_kind(&last->act, t);
    last->act.end = end;
    last->text = bk_words_of(r, last->act.from, end);
    return true;
}

bool bk_announcement_read(bk_reading *r, size_t from, size_t end)
{
    bool read = gives_time_to_last(r, from, end);
    if (!read && (names_what_comes(r, from, end) || says_to_make(r, from, end) ||
                  names_what_comes_then(r, from, end) || may_be_made_beside(r, from, end))) {
        bk_leave_out(r, from, end);
        return true;
    }
    return read;
}

/* "Do this three times.", "Repeat twice more.": the sum is the time of what went on by itself. */
bool bk_repetition_read(bk_reading *r, size_t from, size_t end)
{
    const bk_token *t = r->t;
    bk_taken *taken = r->taken;
    size_t first = from;
    while (first < end && bk_among(&t[first], " then and "))
        first++;
    bool again = first < end && bk_is(&t[first], "repeat");
    bool done =
        first + 1 < end && bk_is(&t[first], "do") && bk_among(&t[first + 1], " this that it so ");
    enum { MOST_SECONDS = 100 * 24 * 3600 };
    int64_t n = again || done ? bk_times_over(t, first, end) + again : 0;
    if (n < 2 || taken->count == 0 || bk_spell_find(t, from, end).found)
        return false;
    bk_taken_stage *last = &taken->stages[taken->count - 1];
    if (last->step != r->step || !last->act.passive || !last->act.spell.found ||
        last->act.spell.most > MOST_SECONDS / n)
        return false;
    last->act.spell.least *= n;
    last->act.spell.most *= n;
    last->act.spell.times = n;
    bk_leave_out(r, from, end);
    return true;
}

/* "won't wait", "must not be left to stand", "tolerates no waiting", "loses its air" */
static bool says_it_cannot_wait(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 5 };
    bool denied = false;
    size_t at = from;
    for (size_t i = from; i < end; i++) {
        if (bk_among(&t[i], " need needn't needs unless if until "))
            return false;
        if (bk_among(&t[i], " not no never don't won't doesn't can't cannot mustn't shouldn't ")) {
            denied = true;
            at = i;
        }
        if (denied && i < at + FAR &&
            bk_among(&t[i], " wait waiting stand standing linger dawdle "
                            "delay sit hold "))
            return true;
        if (i + 2 < end && bk_among(&t[i], " used using ") &&
            (bk_among(&t[i + 1], " immediately straightaway promptly straight instantly ") ||
             (bk_is(&t[i + 1], "at") && bk_is(&t[i + 2], "once"))))
            return true; /* "is to be used at once" */
        if (i + 2 < end && bk_among(&t[i], " loses lose ") &&
            bk_among(&t[i + 1], " its the their ") &&
            bk_among(&t[i + 2], " air bubbles lift fizz puff "))
            return true;
    }
    return false;
}

/* "work fast", "be quick", "it sets quickly", "don't hang about" */
static bool says_be_quick(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i + 1 < end; i++)
        if ((bk_among(&t[i], " work be move act sets harden hardens cools stiffens ") &&
             bk_among(&t[i + 1], " fast quickly quick swift swiftly ")) ||
            (bk_among(&t[i], " hang hanging ") && bk_among(&t[i + 1], " about around ")) ||
            (bk_is(&t[i], "goes") && bk_is(&t[i + 1], "off") && i + 2 < end &&
             bk_among(&t[i + 2], " fast quickly ")))
            return true;
    return false;
}

/* "Straight into the oven with it." */
static bool sends_to_the_oven(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i < end; i++)
        if (bk_moves_without_verb(t, i, end) > i)
            return bk_places_named(t, i, end) & BK_IN_OVEN;
    return false;
}

bool bk_haste_read(bk_reading *r, size_t from, size_t end)
{
    const bk_token *t = r->t;
    bk_taken *taken = r->taken;
    size_t at[BK_MOST_ACTS], leads[BK_MOST_ACTS];
    bool cannot_wait = says_it_cannot_wait(t, from, end), quick = says_be_quick(t, from, end);
    bool sent = end < r->count && sends_to_the_oven(t, from, end) &&
                bk_acts_begin(t, from, end, at, leads) == 0;
    quick |= sent;
    if ((!cannot_wait && !quick) || bk_spell_find(t, from, end).found)
        return false;
    size_t n = bk_acts_begin(t, from, end, at, leads);
    for (size_t i = 0; i < n; i++)
        if (!bk_among(&t[at[i]], " work use stand wait sit let leave set "))
            return false;
    bk_leave_out(r, from, end);
    bk_taken_stage *made = taken->count > 0 ? &taken->stages[taken->count - 1] : NULL;
    bool here = made && made->step == r->step;
    if (made && cannot_wait && made->step + 1 >= r->step && !made->act.passive) {
        made->wont_wait = true;
    } else if (here && !cannot_wait && end >= r->count) {
        made->act.at_once = true;
    } else if (!cannot_wait) {
        r->pending.step = r->step;
        r->pending.at_once = true;
    }
    return true;
}

/* "wrinkles = done": how it looks, and nothing to do. */
size_t bk_remark_begins(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from + 1; i + 1 < end; i++) {
        if (!bk_is(&t[i], "=") || !bk_among(&t[i + 1], " done good ready fine right perfect stop "))
            continue;
        while (i > from && !bk_among(&t[i - 1], " . , ; - ( "))
            i--;
        return i;
    }
    return end;
}

static bool drains(const bk_taken_stage *stage)
{
    return stage->act.group == BK_STRAIN && !stage->act.passive && !stage->act.spell.found;
}

/* The last stage that went on by itself, behind a few that the hands did to what it made. */
static const bk_taken_stage *below_the_hands(const bk_taken *taken, const bk_taken_stage *last)
{
    enum { FEW = 3 };
    for (size_t n = 0; n < FEW && !last->act.passive && last > taken->stages; n++)
        last--;
    return last;
}

/* "When it is cool enough to handle, shred it", "chop them when they've cooled": it cools before
 * that, where no stage says so. */
void bk_cool_before(bk_reading *r, size_t from, size_t end)
{
    enum { FAR = 6 };
    const bk_token *t = r->t;
    bk_taken *taken = r->taken;
    size_t when = from;
    while (when < end && !bk_among(&t[when], " when once "))
        when++;
    bool cools = false;
    size_t behind = when;
    for (size_t i = when + 1; i < end && i < when + FAR && !cools; i++) {
        cools = bk_among(&t[i], " cool cooled handle handled ") ||
                (bk_is(&t[i], "cold") && i + 1 < end && bk_is(&t[i + 1], ","));
        behind = i + 1;
    }
    if (!cools || taken->count == 0)
        return;
    const bk_taken_stage *last = &taken->stages[taken->count - 1];
    if (drains(last) && taken->count > 1)
        last--; /* "Drain, and when you can handle them, peel" */
    if (bk_is(&t[behind - 1], "cold"))
        last = below_the_hands(taken, last); /* "Pot and seal. When cold, label." */
    if (!(last->act.where & (BK_ON_HOB | BK_IN_OVEN | BK_IN_SLOW_COOKER)) || !last->act.passive)
        return;
    bk_act cool = {.from = when, .end = behind, .sentence = true, .why = "it goes on by itself"};
    bk_act_becomes(&cool, "cool");
    bk_stage_add(r, &cool, when);
}

/* "After 30 minutes mark it into squares": until then it stands, where nothing else goes on. */
void bk_wait_before(bk_reading *r, size_t from, size_t end)
{
    const bk_token *t = r->t;
    bk_taken *taken = r->taken;
    size_t i = from + 1;
    i += i < end && bk_among(&t[i], " about another ");
    bk_act wait = {.from = from, .sentence = true, .where = 0};
    size_t behind = i < end ? bk_spell_read(t, i, end, &wait.spell) : i;
    if (!bk_is(&t[from], "after") || behind == i || taken->count == 0)
        return;
    bk_taken_stage *last = &taken->stages[taken->count - 1];
    bool goes_on = last->act.passive || last->act.group == BK_HEAT;
    if (goes_on && !last->act.spell.found && last->act.passive) {
        last->act.spell = wait.spell;
        last->time_words =
            bk_copy(taken->arena, r->text + wait.spell.from, wait.spell.to - wait.spell.from);
    } else if (!goes_on) {
        wait.end = behind;
        bk_act_becomes(&wait, "rest");
        wait.why = "it goes on by itself";
        bk_stage_add(r, &wait, from);
    }
}
