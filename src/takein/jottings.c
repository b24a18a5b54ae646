/* Notes in which no verb says what is done: "oven 180, 25 min", "shallots in butter 5 min". */
#include "takein/reading.h"

#include <string.h>

/* Mentions an ingredient: "Cheese and crumbs on top." */
static bool names_food(const bk_reading *r, size_t from, size_t end)
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
static bool is_in_a_tin(const bk_reading *r)
{
    enum { BACK = 5, STEPS = 3 };
    const bk_taken *taken = r->taken;
    for (size_t b = 1; b <= BACK && b <= taken->count; b++) {
        const bk_taken_stage *stage = &taken->stages[taken->count - b];
        if (stage->step + STEPS <= r->step)
            return false;
        if (stage->act.where & (BK_IN_OVEN | BK_IN_TIN))
            return true;
    }
    return false;
}

/* "180 (160 fan) 35-40": the minutes stand behind the heat. */
bk_spell bk_guess_behind_setting(const bk_token *t, const bk_act *act)
{
    size_t i = act->setting.behind;
    while (i < act->end &&
           bk_among(&t[i], " ) ( , ; : - / for fan convection about another c f gas "))
        i++;
    if (i < act->end && t[i].kind == BK_TOKEN_NUMBER && t[i].millionths > 90 * (int64_t)1000000)
        for (i++; i < act->end && bk_among(&t[i], " c f fan deg ) , ; "); i++) {
        }
    return i > act->from && i < act->end && t[i].kind == BK_TOKEN_NUMBER
               ? bk_spell_guess(t, i - 1, act->end)
               : (bk_spell){0};
}

/* "pears in, 5 more": what was on the hob goes on there; its verb, or NULL. */
static const bk_verb *goes_on_for_more(const bk_reading *r, size_t from, size_t end, bk_act *act)
{
    const bk_taken *taken = r->taken;
    const bk_token *t = r->t;
    const bk_taken_stage *last = taken->count > 0 ? &taken->stages[taken->count - 1] : NULL;
    if (act->spell.found || !last || !(last->act.where & BK_ON_HOB) || last->step + 1 < r->step)
        return NULL;
    for (size_t i = from + 1; i + 1 < end && !act->spell.found; i++)
        if (t[i].kind == BK_TOKEN_NUMBER && bk_among(&t[i + 1], " more longer "))
            act->spell = bk_spell_guess(t, i - 1, end);
    return act->spell.found ? last->act.verb : NULL;
}

/* A sentence in which no word tells to do anything: notes in a notebook. */
/* "It is better the next day"; but "fridge 5 h, overnight better" is how long. */
static bool is_better_for_it(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i < end; i++)
        if (bk_is(&t[i], "better") &&
            !(i > from && bk_among(&t[i - 1], " overnight night longer ")) &&
            !(i > from + 1 && bk_is(&t[i - 1], "is") && bk_among(&t[i - 2], " overnight longer ")))
            return true;
    return false;
}

static bool guess_without_verb(bk_reading *r, size_t from, size_t end)
{
    static const struct {
        unsigned where;
        const char *verb;
    } by_place[] = {{BK_IN_OVEN, "bake"},
                    {BK_IN_FREEZER, "freeze"},
                    {BK_IN_FRIDGE, "chill"},
                    {BK_ON_HOB, "cook"}};
    bk_act act = {.from = from, .end = end, .sentence = true};
    bk_act_complete(r, &act, from, from, true);
    for (size_t i = from; i < end && !act.spell.found; i++)
        if (bk_among(&r->t[i], " another further "))
            act.spell = bk_spell_guess(r->t, i, end); /* "another 30" */
    for (size_t i = from; i < end && !act.spell.found; i++)
        if (act.where & (BK_IN_FRIDGE | BK_IN_FREEZER) && bk_is(&r->t[i], "for"))
            act.spell = bk_spell_guess(r->t, i, end); /* "back in the fridge for 20" */
    if (!act.spell.found && act.setting.at && from > 0 && from + 1 < end &&
        bk_among(&r->t[from + 1], " more longer "))
        act.spell = bk_spell_guess(r->t, from - 1, end); /* "Then off with the lid. 20 more." */
    if (!act.spell.found && act.setting.at)
        act.spell = bk_guess_behind_setting(r->t, &act);
    bk_act heat = {.from = from, .end = act.setting.at ? act.setting.behind : from};
    bool heading = r->taken->count == 0 && bk_is(&r->t[from], "oven") && act.setting.at &&
                   from + 1 < end && bk_is(&r->t[from + 1], ":");
    heat.setting = act.setting;
    if (bk_sets_the_oven(r, heading ? &heat : &act)) { /* "Oven: 200C, 25 minutes" comes first */
        bk_leave_out(r, from, end);
        return true;
    }
    const bk_verb *went_on = goes_on_for_more(r, from, end, &act);
    if (bk_is_pronoun(&r->t[from]) &&
        !bk_act_has(&act, r->t,
                    " needs need wants want takes gets get goes go went stays stayed rests bakes "
                    "cooks stands chills "
                    "roasts simmers spends has must should ") &&
        !bk_act_has_pair(&act, r->t, " don't ", " cut touch slice "))
        return false;
    if (bk_act_has(&act, r->t, " i i've i'm i'd we we've we're ") && act.where == 0 &&
        !act.setting.at && !went_on)
        return false; /* "we've only got 3 hours" */
    bool placed = act.where & (BK_IN_COOL_PLACE | BK_IN_FRIDGE | BK_IN_FREEZER) ||
                  bk_act_has_pair(&act, r->t, " warm cool ", " place kitchen room spot corner ");
    if ((bk_act_has(&act, r->t, " keeps freezes keep serves can makes leftovers ") ||
         is_better_for_it(r->t, from, end) || (!placed && bk_act_has(&act, r->t, " day days "))) &&
        !bk_is(&r->t[from], "into") &&
        !(bk_is(&r->t[from], "then") && bk_among(&r->t[from + 1], " into in to ")))
        return false;
    const bk_verb *deed = bk_named_deed(&act, r->t);
    deed = deed ? deed : went_on;
    for (size_t i = from; i < end && !deed && act.spell.found; i++) {
        const bk_verb *verb = bk_verb_of_form(r->t[i].word);
        if (verb && verb->group > BK_LET && verb->group < BK_NO_ACT && !bk_is_food_word(verb->word))
            deed = verb; /* "the dough rests for an hour", "is baked" */
    }
    if (deed && deed->group == BK_SIMMER && act.setting.at && !act.setting.in_words)
        deed = bk_verb_find("bake"); /* "cooking time 4 hours at 150 C" */
    for (size_t i = from + 1; i + 1 < end && !deed; i++) {
        const bk_verb *verb = bk_among(&r->t[i], " is are be gets get being ")
                                  ? bk_verb_of_form(r->t[i + 1].word)
                                  : NULL;
        size_t n = strlen(r->t[i + 1].word);
        if (verb && n > 3 && strcmp(r->t[i + 1].word + n - 2, "ed") == 0 &&
            verb->group < BK_LIGHT && names_food(r, from, i)) {
            act.verb = verb; /* "The onions are fried" */
            act.group = verb->group;
            bk_decide_where(&act, r->t);
            bk_decide_kind(&act, r->t);
            return bk_stage_add(r, &act, from);
        }
    }
    if (!deed && names_food(r, from, end) &&
        bk_act_has_pair(&act, r->t, " the a ", " boil simmer ")) {
        act.verb = bk_verb_find("bring"); /* "Milk to just under the boil" */
        act.group = act.verb->group;
        bk_decide_where(&act, r->t);
        bk_decide_kind(&act, r->t);
        return bk_stage_add(r, &act, from);
    }
    if (!deed && act.setting.at && act.spell.found)
        deed = bk_verb_find("bake");
    enum { A_BAKING = 900 };
    if (!deed && act.spell.found &&
        bk_act_has_pair(&act, r->t, " before ",
                        " you cutting slicing serving carving eating turning "))
        deed = bk_verb_find("rest"); /* "15 minutes before you cut" */
    if (!deed && act.spell.found && r->oven_waits && act.where == 0 &&
        act.spell.least >= A_BAKING && act.spell.least < 4 * 3600 &&
        r->t[from].kind == BK_TOKEN_NUMBER)
        deed = bk_verb_find("bake"); /* "Oven down to 130. ... 40 mins, it should wobble" */
    if (!deed && act.spell.found && r->oven_waits && act.where == BK_IN_TIN)
        deed = bk_verb_find("bake"); /* "Beef in its tin, in it goes for 20 minutes" */
    for (size_t i = 0; !deed && act.spell.found && i < sizeof by_place / sizeof *by_place; i++)
        if (act.where & by_place[i].where)
            deed = bk_verb_find(by_place[i].verb);
    if (act.where & (BK_IN_FRIDGE | BK_IN_FREEZER) && !deed)
        deed = bk_verb_find(act.where & BK_IN_FREEZER ? "freeze" : "chill");
    const bk_taken *taken = r->taken;
    bool in_oven =
        r->oven && (r->tin_ready || is_in_a_tin(r) ||
                    (r->baking != SIZE_MAX && taken->stages[r->baking].step + 1 > r->step));
    bool rests = bk_act_has(&act, r->t,
                            " covered cover foil aside wrapped cloth board rack side counter "
                            "worktop towel blanket ") ||
                 placed || bk_act_has_pair(&act, r->t, " of off ", " the ");
    if (!deed && bk_among(&r->t[from], " cold cool ") && bk_act_has(&act, r->t, " in on "))
        deed = bk_verb_find("cool"); /* "Cold in the tin." */
    if (!deed && act.spell.found && rests && !bk_act_has(&act, r->t, " lid "))
        deed = bk_verb_find("rest"); /* "Foil, 20 min, warm place." */
    if (!deed && act.spell.found && names_food(r, from, end) &&
        bk_act_has_pair(&act, r->t, " in the same duck bacon beef goose ",
                        " butter fat oil lard dripping olive ") &&
        act.spell.most <= 1800)
        deed = bk_verb_find("fry"); /* "shallots in butter 5 min" */
    bool off_the_hob = taken->count > 0 && !(taken->stages[taken->count - 1].act.where & BK_ON_HOB);
    bool first_baking = r->oven && r->baking == SIZE_MAX &&
                        (act.spell.least >= 2700 || (act.spell.least >= 600 && off_the_hob));
    enum { A_DAY = 24 * 3600 };
    if (!deed && act.spell.found && (in_oven || first_baking) && act.where == 0 &&
        act.spell.least < A_DAY)
        deed = bk_verb_find("bake"); /* "20-25 mins." */
    if (!deed && act.spell.found && act.spell.least >= 3600)
        deed = bk_verb_find("rest");
    if (!deed && act.spell.found &&
        (!bk_among(&r->t[from], " the a ") || bk_act_has(&act, r->t, " go goes ")))
        deed = bk_verb_find("cook");
    if (!deed || (!act.spell.found && act.where == 0 && deed->group != BK_REST))
        return false;
    act.verb = deed;
    act.group = deed->group;
    act.where = bk_places_named(r->t, from, end);
    bk_decide_where(&act, r->t);
    bk_decide_kind(&act, r->t);
    return bk_stage_add(r, &act, from);
}

/* "Out of the tin", "off the tray while hot". */
static bool is_taken_out(const bk_token *t, size_t from, size_t end)
{
    if (from + 1 >= end || !bk_among(&t[from], " out off ") ||
        (bk_is(&t[from], "out") && !bk_is(&t[from + 1], "of")))
        return false;
    for (size_t i = from + 1; i < end && i < from + 5; i++)
        if (bk_among(&t[i], " tray tin tins sheet trays sheets mould moulds dish pan "))
            return true;
    return false;
}

/* "Straight into iced water", "from the pan straight under the cold tap": what stops its cooking.
 */
static bool is_cooled_at_once(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 4 };
    for (size_t i = from; i + 2 < end; i++)
        if (bk_among(&t[i], " straight immediately directly ") &&
            bk_among(&t[i + 1], " in into under to "))
            for (size_t j = i + 2; j < i + 2 + FAR && j < end; j++)
                if (bk_among(&t[j], " ice iced ") ||
                    (j + 1 < end && bk_is(&t[j], "cold") && bk_among(&t[j + 1], " water tap ")))
                    return true;
    return false;
}

/* "lids on at once" */
static bool is_lid_put_on(const bk_token *t, size_t from, size_t end)
{
    if (from + 2 >= end || !bk_among(&t[from], " lid lids "))
        return false;
    return (bk_is(&t[from + 1], "on") &&
            bk_among(&t[from + 2], " immediately straight at quickly tight tightly ")) ||
           (bk_is(&t[from + 2], "on") && bk_among(&t[from + 1], " immediately straight quickly "));
}

static void read_notebook_clause(bk_reading *r, size_t from, size_t end)
{
    if (guess_without_verb(r, from, end))
        return;
    bk_act act = {.from = from,
                  .end = end,
                  .sentence = true,
                  .why = "no word says that it goes on by itself"};
    bk_act_complete(r, &act, from, from, true);
    if (is_taken_out(r->t, from, end)) {
        act.verb = bk_verb_find("unmould");
        act.group = BK_PREP;
        act.passive = false;
        act.out_of_tin = true;
        bk_stage_add(r, &act, from);
        return;
    }
    if (is_cooled_at_once(r->t, from, end) && !act.spell.found) {
        act.verb = bk_verb_find("plunge");
        act.group = BK_PREP;
        act.passive = false;
        act.at_once = true;
        act.where = 0;
        bk_stage_add(r, &act, from);
        return;
    }
    if (is_lid_put_on(r->t, from, end)) {
        act.verb = bk_verb_find("seal");
        act.group = BK_PREP;
        act.passive = false;
        bk_stage_add(r, &act, from);
        return;
    }
    bool goes = bk_act_has_pair(&act, r->t, " go goes went ", " in into on onto over under back ");
    if (bk_act_has_pair(&act, r->t, " can could may ", " be ") ||
        bk_among(&r->t[from], " until till ")) {
        bk_leave_out(r, from, end); /* "All this can be done the day before" */
        return;
    }
    bool chat = (bk_is_adverb(&r->t[from]) && !bk_among(&r->t[from], " then now next finally ")) ||
                bk_among(&r->t[from], " if unless where although while when ");
    bool spoken = !goes && (chat || bk_is_pronoun(&r->t[from]) ||
                            bk_among(&r->t[from], " the a an for freezes keeps good nice "));
    if (!spoken && names_food(r, from, end) &&
        (bk_act_has(&act, r->t, " in on into top over under ") || bk_act_has(&act, r->t, " + "))) {
        act.verb = bk_verb_find("add");
        act.group = act.where & BK_IN_TIN ? BK_POUR : BK_PREP;
        act.passive = false;
        bk_stage_add(r, &act, from);
        return;
    }
    bk_leave_out(r, from, end);
}

/* Words before the first verb that are an act of their own: "shallot in the fat 3 min, wine
 * in, bubble 5 min". */
bool bk_jotting_stands_before(const bk_reading *r, size_t from, size_t lead)
{
    const bk_token *t = r->t;
    while (from < lead && bk_among(&t[from], " meanwhile meantime then now next "))
        from++;
    if (lead > from + 2 && lead < r->count && bk_among(&t[from], " in into ") &&
        bk_places_named(t, from, lead) & BK_IN_OVEN && bk_spell_find(t, from, lead).found &&
        bk_among(&t[lead], " turn shake toss stir baste swap rotate flip "))
        return true; /* "In the oven, 40 min, turn once" */
    if (lead <= from + 1 || bk_opens_subordinate(&t[from]) || bk_is_pronoun(&t[from]) ||
        bk_is_adverb(&t[from]) ||
        bk_among(&t[from], " in with on at by during from using working in about the a "))
        return false;
    bk_act words = {.from = from, .end = lead};
    if (bk_act_has(&words, t, " is are was were be has have before "))
        return false;
    for (size_t i = from; i < lead; i++)
        if (bk_among(&t[i], " another further ") && bk_spell_guess(t, i, lead).found)
            return true;
    return bk_spell_find(t, from, lead).found ||
           (names_food(r, from, lead) && bk_act_has(&words, t, " in into on over + "));
}

/* ", back in the fridge 15 mins", ", crumbs + lemon in": words behind a comma that are an act
 * of their own, though no verb is among them. */
static bool is_a_note(const bk_reading *r, size_t from, size_t end)
{
    enum { MOST_WORDS = 7 };
    const bk_token *t = r->t;
    size_t i = from, stop = from;
    while (stop < end && !bk_among(&t[stop], " , ; . - "))
        stop++;
    while (i < stop && bk_among(&t[i], " back then straight and "))
        i++;
    if (i + 1 < stop && bk_among(&t[i], " first second final last ") &&
        bk_among(&t[i + 1], " rise rising prove proving proof rest ") &&
        bk_spell_find(t, i, stop).found)
        return true; /* ", second rise 40 min" */
    if (i + 1 < stop && bk_among(&t[i], " fridge freezer cellar larder ") &&
        bk_spell_find(t, i, stop).found)
        return true;
    if (i + 1 < stop && bk_among(&t[i], " another further ") &&
        (bk_spell_find(t, i, stop).found || bk_spell_guess(t, i, stop).found))
        return true; /* "turn over, another 10" */
    if (i + 1 < stop && bk_among(&t[i], " in into ")) {
        unsigned where = bk_places_named(t, i, stop);
        return (where & (BK_IN_FRIDGE | BK_IN_FREEZER | BK_IN_COOL_PLACE)) != 0 ||
               (where & BK_IN_OVEN && bk_spell_find(t, i, end).found);
    }
    if (is_lid_put_on(t, from, stop) || is_taken_out(t, from, stop) ||
        (stop <= from + MOST_WORDS && is_cooled_at_once(t, from, stop)))
        return true;
    return stop > from + 1 && stop <= from + MOST_WORDS && !bk_among(&t[from], " until till ") &&
           bk_among(&t[stop - 1], " in over ") && names_food(r, from, stop) &&
           !bk_is_adverb(&t[from]);
}

/* The time behind which another one follows in the words, and the sign that parts the two:
 * the token behind that sign, or `end`. */
static size_t clause_end(const bk_reading *r, size_t from, size_t end)
{
    const bk_token *t = r->t;
    bk_spell spell = bk_spell_find(t, from, end);
    for (size_t i = from + 1; i < end && spell.found; i++)
        if (t[i].from >= spell.to && bk_is(&t[i - 1], ".") && is_taken_out(t, i, end))
            return i; /* "25 mins. off the tray" */
    for (size_t i = from; i < end && spell.found; i++)
        if (t[i].from >= spell.to && bk_among(&t[i], " , ; then - + . ") &&
            !(bk_is(&t[i], ",") && i + 1 < end && bk_is(&t[i + 1], "then")))
            return bk_spell_find(t, i + 1, end).found || is_a_note(r, i + 1, end) ||
                           (bk_is(&t[i], "then") && i + 1 < end &&
                            t[i + 1].kind == BK_TOKEN_NUMBER &&
                            t[i + 1].millionths >= 100 * (int64_t)1000000)
                       ? i + 1
                       : end; /* "15 min at 200 then 180 for 35" */
    return end;
}

/* "Keeps a month in the fridge": that is no stage, though it has a time and a place. */
static bool says_how_long_it_keeps(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 6 };
    for (size_t i = from; i + 1 < end && i < from + FAR; i++) {
        bool keeps = bk_is(&t[i], "keeps") || (bk_is(&t[i], "keep") && i > from &&
                                               bk_among(&t[i - 1], " will they'll it'll "));
        if (keeps && (t[i + 1].kind == BK_TOKEN_NUMBER || bk_number_word(&t[i + 1]) > 0 ||
                      bk_among(&t[i + 1], " a for up well fine in at till until ")))
            return true;
    }
    return false;
}

/* "220 C, 20 min; 160 C, 1 hr": a part for each time. */
void bk_jotting_read(bk_reading *r, size_t from, size_t end)
{
    if (says_how_long_it_keeps(r->t, from, end) || bk_forbids(r->t, from, end)) {
        bk_leave_out(r, from, end);
        return;
    }
    for (size_t n = 0; from < end && n < BK_MOST_ACTS; n++) {
        size_t part = n + 1 < BK_MOST_ACTS ? clause_end(r, from, end) : end;
        size_t before = r->taken->count;
        read_notebook_clause(r, from, part);
        for (size_t i = before; i < r->taken->count; i++)
            r->taken->stages[i].act.sentence = n == 0;
        from = part;
    }
}

/* "Fill, down to gas 4, 25 minutes"; "prick, back in the fridge 15 mins": where what no verb
 * tells begins behind what the hands do, or the act's end. */
size_t bk_jotting_behind(const bk_reading *r, const bk_act *act)
{
    const bk_token *t = r->t;
    bool hands = act->group == BK_POUR || act->group == BK_PREP || act->group == BK_LIGHT ||
                 act->group == BK_MIX || act->group == BK_HEAT;
    bool mixes = act->group == BK_MIX && !bk_is(&t[act->from], "toss");
    bool bakes = hands && !mixes && act->group != BK_HEAT && act->setting.at && act->spell.found &&
                 !act->setting.in_words;
    for (size_t i = act->from + 1; i < act->end && act->group != BK_NO_ACT; i++) {
        if (!bk_among(&t[i], " , ; "))
            continue;
        if ((bakes && t[i].from < act->setting.from && t[i].from < act->spell.from) ||
            is_a_note(r, i + 1, act->end))
            return i + 1;
        if (act->group == BK_PREP && r->oven && i + 2 < act->end && bk_among(&t[i + 1], " lid ") &&
            bk_among(&t[i + 2], " on ") && bk_spell_find(t, i + 1, act->end).found)
            return i + 1; /* "slash it, lid on, 25 mins" */
    }
    return act->end;
}
