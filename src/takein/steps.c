/* The sentences of a step, act by act: which acts are stages, which are told with the next, what is
 * none. */
#include "takein/reading.h"

#include <string.h>
#include <strings.h>

/* "squeeze out the gelatine", or "squeeze out" by itself. */
static bool is_soaked(const bk_token *t, const bk_act *squeezed)
{
    enum { FEW_WORDS = 3 };
    for (size_t i = squeezed->from; i < squeezed->end; i++)
        if (bk_among(&t[i], " gelatine gelatin leaves leaf "))
            return true;
    return squeezed->end <= squeezed->from + FEW_WORDS;
}

static bool merges(const bk_taken_stage *before, const bk_act *act)
{
    const bk_act *b = &before->act;
    const bk_token *t = before->tokens;
    if (b->passive || act->passive || b->spell.found || act->spell.found)
        return false;
    if (b->verb && strcmp(b->verb->word, "squeeze") == 0 && is_soaked(t, b) &&
        (act->group == BK_MIX ||
         bk_among(&(bk_token){.word = act->verb ? act->verb->word : ""}, " melt drop ")))
        return true; /* "squeeze out the gelatine and stir it in" */
    bool mixed = act->group == b->group && act->group == BK_MIX;
    if (act->at_once && !act->hot_work && !mixed)
        return false;
    if (act->hot_work && b->at_once == act->still_hot && !mixed)
        return false; /* "prick it and spoon the syrup over while it is hot" is one */
    bool bowl = b->group == BK_POUR && act->group == BK_MIX && !(b->where & BK_IN_TIN);
    bool same = b->group == act->group && act->group != BK_HEAT;
    if (act->group == BK_MIX && b->group == BK_MIX && act->verb_at + 1 < act->end &&
        b->verb_at + 3 < b->end && act->mixes_in)
        return false;
    bool whipped = b->verb && act->verb && strcmp(act->verb->word, "fold") == 0 &&
                   bk_among(&(bk_token){.word = b->verb->word}, " whisk whip beat cream ");
    bool hand = b->group == BK_PREP && act->group == BK_PREP;
    bool hands = (b->group == BK_PREP || b->group == BK_POUR) &&
                 (act->group == BK_PREP || act->group == BK_POUR);
    bool parts = b->verb && bk_among(&(bk_token){.word = b->verb->word}, " turn unmould ");
    return (same || bowl || hand || hands) && !whipped && !parts && b->where == act->where;
}

static void extend(bk_reading *r, bk_taken_stage *stage, size_t end)
{
    stage->act.end = end;
    stage->text = bk_words_of(r, stage->act.from, end);
}

/* A light move that is a stage when nothing follows it. */
static bool stands_alone(const bk_act *act)
{
    const char *word = act->verb ? act->verb->word : "";
    return !bk_among(
        &(bk_token){.word = word},
        " cover take remove set keep leave let allow discard continue repeat use make start begin "
        "finish reserve baste uncover open put give wrap flip smooth level turn prepare store get "
        "lower fit tent clamp ");
}

/* "Add the eggs one by one, and fold in the flour": what is added first is in by then. */
static bool stands_by_itself(const bk_act *light, const bk_act *next, const bk_token *t)
{
    return bk_is(&t[light->from], "add") && next->verb_at + 1 < next->end &&
           bk_is(&t[next->verb_at + 1], "in") && next->group != BK_LIGHT;
}

/* "Take it from the oven, brush with the syrup": it is hot. */
static bool takes_from_the_oven(const bk_token *t, const bk_act *light)
{
    return bk_among(&t[light->from], " take remove bring get lift ") &&
           bk_act_has_pair(light, t, " from of ", " the ") && bk_act_has(light, t, " oven ");
}

/* "Stir in the flour and cook for 2 minutes", "tip in the flour and beat over the heat for a
 * minute": what goes in is of the stage that has the time. */
static bool goes_in_before(const bk_token *t, const bk_act *act, size_t next, size_t end)
{
    bool hands = act->group == BK_MIX || act->group == BK_POUR || act->group == BK_PREP;
    return hands && !act->spell.found && act->verb_at + 1 < act->end &&
           bk_among(&t[act->verb_at], " stir tip sprinkle beat dust scatter whisk shoot add ") &&
           bk_among(&t[act->verb_at + 1], " in over on ") &&
           bk_among(&t[next], " cook fry beat stir whisk keep let ") &&
           bk_spell_find(t, next, end).found;
}

/* "Stir more often towards the end", "top up the water if it gets low": what is done to what goes
 * on. */
static bool is_a_remark(const bk_act *act, const bk_token *t)
{
    if (act->spell.found || !act->sentence)
        return false;
    if (bk_is(&t[act->from], "top") && act->from + 1 < act->end && bk_is(&t[act->from + 1], "up"))
        return true;
    return bk_among(&t[act->from], " stir skim baste shake turn check ") &&
           (bk_act_has(act, t, " often occasionally sometimes whenever ") ||
            bk_act_has_pair(act, t, " from now ", " time and "));
}

/* What was to be told with what follows is told by itself. */
static void leave_out_carried(bk_reading *r, size_t end)
{
    if (r->carried != SIZE_MAX)
        bk_leave_out(r, r->carried, end);
    r->carried = SIZE_MAX;
}

/* "If they go hard, put the sheet back in the oven": only where something goes wrong. */
static bool is_a_rescue(const bk_token *t, size_t from, size_t end)
{
    enum { FAR = 7 };
    if (!bk_is(&t[from], "if") || !bk_among(&t[from + 1], " it they the any your that "))
        return false;
    for (size_t i = from + 2; i < end && i < from + FAR && !bk_is(&t[i], ","); i++)
        if (bk_among(&t[i], " go goes gone splits split curdle curdles cracks crack stick sticks "
                            "harden hardens sink sinks threatens threaten stiffens seizes seize "
                            "catches burns burn tear tears "))
            return true;
    return false;
}

/* "Alternatively, let it rise overnight", "Time: about 5 hours", "If it colours too fast, lay foil
 * over it": no part of the work. */
static bool says_something_else(const bk_reading *r, size_t from, size_t end)
{
    const bk_token *t = r->t;
    const bk_taken *taken = r->taken;
    const bk_taken_stage *last = taken->count > 0 ? &taken->stages[taken->count - 1] : NULL;
    /* "Allow it to cool. Time: 10 minutes." */
    bool waits_for_time = last && last->step == r->step && !last->act.spell.found;
    if (from + 1 >= end)
        return false;
    bk_act all = {.from = from, .end = end};
    return bk_among(&t[from], " alternatively nb ") || is_a_rescue(t, from, end) ||
           (bk_is(&t[from], "total") && bk_among(&t[from + 1], " : time ")) ||
           (bk_is(&t[from], "time") && bk_is(&t[from + 1], ":") && !waits_for_time) ||
           (bk_is(&t[from], "if") && bk_act_has(&all, t, " foil tent ") &&
            bk_act_has(&all, t,
                       " fast quickly much brown browns browning dark colours colour top "));
}

/* One sentence of a step. */
static void read_sentence(bk_reading *r, size_t from, size_t end)
{
    size_t at[BK_MOST_ACTS + 1], leads[BK_MOST_ACTS + 1];
    const bk_token *t = r->t;
    size_t remark = bk_remark_begins(t, from, end);
    if (remark < end)
        bk_leave_out(r, remark, end);
    end = remark;
    for (size_t i = from + 1; i + 1 < end; i++)
        if (bk_is(&t[i], ":")) {
            from = bk_haste_read(r, from, i + 1) ? i + 1 : from; /* "It won't hold: spoon it ..." */
            break;
        }
    for (size_t i = from; i + 2 < end && bk_is(&t[from], "("); i++)
        if (bk_is(&t[i], ")") && bk_among(&t[i - 1], " . ! ")) {
            bk_leave_out(r, from, i + 1); /* "(They won't soften later.) Pick out the stones" */
            from = i + 1;
        }
    if (says_something_else(r, from, end)) {
        bk_leave_out(r, from, end);
        return;
    }
    if (end > from && bk_is(&t[end - 1], "?")) {
        bk_leave_out(r, from, end); /* "Can I bake it the day before?" */
        return;
    }
    if (bk_repetition_read(r, from, end) || bk_haste_read(r, from, end))
        return;
    if (end > from + 2 && bk_is(&t[from], "(") &&
        !bk_setting_find(r->taken->arena, t, from, end).at &&
        (bk_is(&t[end - 1], ")") || (bk_is(&t[end - 2], ")") && bk_among(&t[end - 1], " . ! ")))) {
        bk_leave_out(r, from, end); /* "(Pressure cooker: 20 minutes.)" */
        return;
    }
    bk_say_when_it_is_done(r, from, end);
    size_t n = bk_acts_begin(t, from, end, at, leads);
    if (n == 0) {
        leave_out_carried(r, from);
        if (!bk_announcement_read(r, from, end))
            bk_jotting_read(r, from, end);
        return;
    }
    bk_wait_before(r, from, leads[0] > from ? leads[0] : at[0]);
    bk_hear_of_the_oven(r, from, at[0]);
    at[n] = leads[n] = end;
    bk_cool_before(r, from, leads[1]);
    size_t label = bk_behind_label(t, from, end);
    bool goes_on = false; /* the sentence has an act already */
    bool lead_in = label <= leads[0] && !bk_spell_find(t, label, leads[0]).found &&
                   !bk_spell_guess(t, label, leads[0]).found;
    if (label <= leads[0] && !lead_in && bk_jotting_stands_before(r, label, leads[0])) {
        bk_jotting_read(r, from, leads[0]);
        from = leads[0];
        goes_on = true;
    }
    size_t first = 0; /* act that is one of the work, and not the oven's */
    size_t light = SIZE_MAX, first_stage = r->taken->count;
    bk_act light_act = {0};
    const bk_verb *last_verb = NULL;
    for (size_t i = 0; i < n; i++) {
        if (i > 0 && says_something_else(r, leads[i], leads[i + 1])) {
            bk_leave_out(r, leads[i], leads[i + 1]); /* "bake; if the top browns, lay foil over" */
            continue;
        }
        const bk_verb *verb = bk_verb_find(t[at[i]].word);
        verb = verb ? verb : bk_verb_of_form(t[at[i]].word);
        if (i > 0 && bk_among(&t[at[i]], " uncovered covered "))
            verb = NULL; /* "then uncovered for 5 more": as before */
        if (!verb && i > 0 && bk_moves_without_verb(t, at[i], leads[i + 1]) > at[i])
            verb = bk_verb_find(bk_places_named(t, at[i], leads[i + 1]) &
                                        (BK_IN_OVEN | BK_IN_FRIDGE | BK_IN_FREEZER)
                                    ? "put"
                                    : "tip");
        bk_act act = {.verb = verb || i == 0 ? verb : last_verb,
                      .from = at[i],
                      .end = leads[i + 1],
                      .sentence = i == first && !goes_on};
        size_t begins = i == 0 ? from : leads[i];
        r->light = light;
        bk_act_complete(r, &act, begins, from, i + 1 == n);
        size_t rest = bk_jotting_behind(r, &act);
        if (rest < act.end) {
            act.end = rest;
            bk_act_complete(r, &act, begins, from, i + 1 == n);
        }
        last_verb = act.verb;
        if (bk_sets_the_oven(r, &act)) {
            if (act.at_once) {
                r->pending.step = r->step; /* "As soon as it is out, raise the oven and ..." */
                r->pending.at_once = true;
                r->pending.meanwhile = r->pending.lent = r->pending.apart = false;
                r->pending.label_from = r->pending.label_end = 0;
            }
            if (act.apart) {
                r->pending.step = r->step; /* "For the apricots, heat the oven to 200 C." */
                r->pending.apart = true;
                r->pending.meanwhile = r->pending.lent = r->pending.at_once = false;
                r->pending.label_from = r->pending.label_end = 0;
            }
            last_verb = bk_verb_find("bake"); /* "turn it down to 160 C; 25 minutes more" */
            first += i == first;
            bk_leave_out(r, i == 0 ? from : leads[i], act.end);
            continue;
        }
        if (bk_is(&t[act.from], "work") && act.from + 1 < act.end &&
            bk_among(&t[act.from + 1], " fast quickly quick ")) {
            bk_leave_out(r, act.from, act.end); /* "Work fast: ..." */
            r->pending.step = r->step;
            r->pending.at_once = true;
            continue;
        }
        if (is_a_remark(&act, t))
            act.group = BK_NO_ACT;
        if (act.group == BK_NO_ACT && bk_is(&t[act.from], "season") && act.from + 1 < act.end &&
            bk_among(&t[act.from + 1], " the your each ") && i == 0) {
            leave_out_carried(r, from);
            r->carried = from; /* "Season the venison. Brown it ..." */
            continue;
        }
        if (act.group == BK_NO_ACT) {
            bk_leave_out(r, i == 0 ? begins : act.from, act.end);
            if (act.meanwhile) {
                r->pending.step = r->step; /* "Meanwhile bring a pan of water to the boil." */
                r->pending.meanwhile = r->pending.lent = true;
            }
            continue;
        }
        size_t start = light != SIZE_MAX ? light : begins;
        if (r->carried != SIZE_MAX) {
            act.sentence = true;
            start = r->carried;
            r->carried = SIZE_MAX;
        }
        if (i + 1 < n && goes_in_before(t, &act, at[i + 1], leads[i + 2]))
            act.group = BK_LIGHT;
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
            act.at_once |= !act.passive && takes_from_the_oven(t, &light_act);
            act.joins |= light_act.joins || strcmp(light_act.verb->word, "add") == 0;
            if (act.group == BK_HEAT && act.spell.least >= 8 * 60 &&
                bk_act_has(&light_act, t, " lid cover ")) {
                act.passive = true; /* "put a lid on and let it wilt" */
                act.why = "it goes on under its lid";
            }
            if (act.group == BK_BAKE && !act.setting.at)
                act.setting = light_act.setting; /* "put it on a hot sheet at 190 C and bake" */
            if (act.group == BK_SIMMER && act.passive && act.spell.found &&
                light_act.where & BK_IN_OVEN) {
                act.group = BK_BAKE; /* "transfer to the oven and braise for 3 hours" */
                act.where &= ~(unsigned)BK_ON_HOB;
            }
            act.where |= light_act.where & (BK_IN_TIN | (act.group == BK_BAKE ? BK_IN_OVEN : 0u));
            act.out_of_tin |= light_act.out_of_tin;
            if (act.group == BK_REST && bk_among(&t[light_act.from], " cover put place ") &&
                strcmp(act.verb->word, "rest") == 0 && bk_act_has(&light_act, t, " water milk ") &&
                !bk_act_has(&light_act, t, " lid cloth towel "))
                act.verb = bk_verb_find("soak"); /* "cover with boiling water and leave" */
        }
        bool urgent_move = light != SIZE_MAX && light_act.at_once && act.passive &&
                           act.group == BK_REST && light_act.verb_at >= light &&
                           bk_among(&t[light_act.from], " take remove get lift bring haul ");
        if (light != SIZE_MAX && (urgent_move || stands_by_itself(&light_act, &act, t))) {
            light_act.group = BK_PREP;
            light_act.why = "it is done by hand";
            light_act.passive = false;
            bk_stage_add(r, &light_act, light);
            light = SIZE_MAX;
            start = begins;
            act.sentence = false;
            act.at_once = act.at_once && !urgent_move;
        }
        if (act.group == BK_LIGHT) {
            if (light == SIZE_MAX)
                light = start;
            light_act = act;
            continue;
        }
        bk_taken_stage *before =
            r->taken->count > first_stage ? &r->taken->stages[r->taken->count - 1] : NULL;
        bool moved = light == SIZE_MAX || act.group != BK_MIX;
        if (before && moved && before->act.end == start && merges(before, &act)) {
            before->act.at_once |= act.at_once;
            before->act.hot_work |= act.hot_work;
            before->act.joins |= act.joins;
            before->act.beside_next |= act.beside_next;
            extend(r, before, act.end);
        } else {
            bk_stage_add(r, &act, start);
        }
        light = SIZE_MAX;
        if (rest < leads[i + 1])
            bk_jotting_read(r, rest, leads[i + 1]);
    }
    if (light == SIZE_MAX)
        return;
    bk_taken_stage *before =
        r->taken->count > first_stage ? &r->taken->stages[r->taken->count - 1] : NULL;
    bool wraps = bk_is(&t[light_act.from], "wrap") && bk_act_has(&light_act, t, " towel cloth ");
    bool urgent = light_act.at_once && r->taken->count > 0 &&
                  !bk_among(&t[light_act.from], " shut close open use keep ");
    if (before && !before->act.passive && !before->act.spell.found && !urgent) {
        extend(r, before, end);
    } else if (urgent || wraps || stands_alone(&light_act) ||
               bk_act_has_pair(&light_act, t, " when once ", " cold cool ") ||
               light_act.where & (BK_IN_TIN) || light_act.out_of_tin) {
        light_act.group = BK_PREP;
        light_act.why = "it is done by hand";
        light_act.passive = false;
        bk_stage_add(r, &light_act, light);
    } else if (end < r->count && bk_among(&t[light_act.from], " put place return ") &&
               !light_act.meanwhile && bk_act_has(&light_act, t, " in into ") &&
               bk_act_has(&light_act, t, " pan saucepan pot casserole skillet bowl ")) {
        r->carried = light; /* "Put the fruit in the pan. Simmer ..." */
    } else {
        bk_leave_out(r, light, end);
        bool makes = bk_among(&t[light_act.from], " make prepare start begin ");
        bool uses = bk_among(&t[light_act.from], " use ");
        if (makes || uses) {
            r->pending.step = r->step;
            r->pending.meanwhile = makes && light_act.meanwhile;
            r->pending.lent = false;
            r->pending.apart = makes;
            r->pending.at_once = light_act.at_once;
            if (uses && light_act.at_once && r->taken->count > 0)
                r->taken->stages[r->taken->count - 1].wont_wait = true; /* "Use it at once." */
            r->pending.label_from = light_act.from + 1;
            r->pending.label_end = makes ? bk_noun_end(t, light_act.from + 1, end) : 0;
        }
    }
}

/* "SAUCE. Melt the butter ...", "Custard. Heat the milk ...": a name, and no sentence. */
static bool is_heading_word(const bk_reading *r, size_t end)
{
    enum { MOST_WORDS = 2 };
    const bk_token *t = r->t;
    if (end >= r->count || end < 2 || end > MOST_WORDS + 1 || !bk_is(&t[end - 1], ".") ||
        bk_spell_find(t, 0, end).found || bk_places_named(t, 0, end) != 0)
        return false; /* "Fridge overnight." */
    const bk_verb *verb = end == 2 ? bk_verb_find(t[0].word) : NULL;
    if (verb && verb->passive && verb->group != BK_COLD && verb->group != BK_LET &&
        !bk_among(&t[0], " rest cool boil bake drain freeze "))
        return true; /* "Confit. Rinse and dry the legs ..." */
    for (size_t i = 0; i + 1 < end; i++) {
        if (t[i].kind != BK_TOKEN_WORD || strlen(t[i].word) < 3)
            return false;
        bool shouted = true;
        for (size_t b = t[i].from; b < t[i].to; b++)
            shouted = shouted && r->text[b] >= 'A' && r->text[b] <= 'Z';
        if (!shouted && (bk_verb_find(t[i].word) || !t[0].capital))
            return false;
    }
    return true;
}

/* "Prep 30 min", and "Cook 1 hr" behind it: nobody's stage. */
static bool is_summary(const bk_reading *r, size_t step)
{
    enum { MOST_BYTES = 24 };
    const char *text = r->taken->recipe->steps[step].text;
    bool prep = strncasecmp(text, "prep", 4) == 0, cook = strncasecmp(text, "cook", 4) == 0;
    return strlen(text) <= MOST_BYTES && strpbrk(text, "0123456789") &&
           (prep || (cook && step > 0 && is_summary(r, step - 1)));
}

void bk_step_read(bk_reading *r)
{
    if (is_summary(r, r->step)) {
        bk_leave_out(r, 0, r->count);
        return;
    }
    size_t begin = bk_behind_clock(r->t, r->count);
    bool counted = begin == 0 && r->count > 2 && r->t[0].kind == BK_TOKEN_NUMBER &&
                   r->t[1].kind == BK_TOKEN_WORD && r->t[1].capital &&
                   r->t[0].millionths == (r->number + 1) * (int64_t)1000000;
    if (counted) {
        r->number++;
        begin = 1; /* "3 In the meantime make the pasta." */
    }
    bk_leave_out(r, 0, begin);
    for (size_t at = begin; at < r->count;) {
        size_t end = bk_sentence_end(r->t, at, r->count);
        if (at == 0 && is_heading_word(r, end)) {
            bk_leave_out(r, at, end);
            r->pending.step = r->step;
            r->pending.apart = true;
            r->pending.meanwhile = r->pending.at_once = false;
            r->pending.label_from = at;
            r->pending.label_end = end - 1;
            at = end;
            continue;
        }
        bool seasons = r->carried != SIZE_MAX && bk_is(&r->t[r->carried], "season");
        if ((seasons &&
             !bk_among(&r->t[at], " brown sear fry roast then put place sit lay wrap rub "
                                  "tie toss ")) ||
            bk_among(&r->t[at], " meanwhile while in for when ( "))
            leave_out_carried(r, at);
        read_sentence(r, at, end);
        at = end;
    }
    leave_out_carried(r, r->count);
}
