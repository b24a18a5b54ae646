/* Stages of acts: what the words before said of them, their names, and the notes that what became
 * no stage leaves. */
#include "takein/reading.h"

#include <string.h>

const char *bk_words_of(const bk_reading *r, size_t from, size_t end)
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

void bk_leave_out(bk_reading *r, size_t from, size_t end)
{
    bk_taken *taken = r->taken;
    bool tin = bk_places_named(r->t, from, end) & BK_IN_TIN;
    r->tin_ready |= tin || (r->oven && bk_among(&r->t[end > from ? end - 1 : from], " pan "));
    if (end > from) {
        *BK_PUSH(taken->arena, taken->left, taken->left_count, taken->left_room) =
            (bk_left){bk_words_of(r, from, end), taken->count};
    }
}

/* -------------------------------------------------------------------- stages */

/* What the sentence before said of this stage. */
static void take_pending(bk_reading *r, bk_act *act)
{
    if (r->pending.step == r->step) {
        act->lent = r->pending.lent && r->pending.meanwhile && !act->meanwhile;
        act->meanwhile |= r->pending.meanwhile;
        act->at_once |= r->pending.at_once;
        act->apart |= r->pending.apart;
        if (act->label_end == act->label_from && r->pending.label_end > r->pending.label_from) {
            act->label_from = r->pending.label_from;
            act->label_end = r->pending.label_end;
        }
    }
    r->pending.step = SIZE_MAX;
    r->pending.lent = r->pending.at_once = false;
}

/* Is the stage before what a note says goes in ("parsnips + stock in"), or a baking that has
 * its time only now ("Bake at once. 10 min at 250"), so that the act is the same stage? */
static bool takes_up(const bk_reading *r, const bk_taken_stage *before, const bk_act *act)
{
    const bk_token *t = r->t;
    const bk_act *b = &before->act;
    if (before->step != r->step || b->spell.found || !b->verb || act->meanwhile)
        return false;
    bool next = act->from <= b->end + 1;
    if (next && act->group == BK_POUR && strcmp(b->verb->word, "prick") == 0)
        return true; /* "Prick the cake all over. Pour this on ..." */
    if (next && act->hot_work && strcmp(b->verb->word, "drain") == 0 && b->end <= b->from + 4)
        return true; /* "Drain. Dress with the oil while warm" */
    if (act->verb && bk_is(&(bk_token){.word = act->verb->word}, "fold") && b->group == BK_MIX &&
        bk_act_has(act, t, " rest remaining remainder others ") &&
        bk_act_has(b, t, " spoonful third quarter ladleful spoonfuls little some dollop "))
        return true; /* "Stir a spoonful into the base. Fold in the rest." */
    if (act->at_once)
        return false;
    bool noted = bk_is(&(bk_token){.word = b->verb->word}, "add") &&
                 !bk_is(&t[b->verb_at], "add") && !(b->where & BK_IN_TIN);
    bool elided =
        act->verb && act->verb_at + 1 < act->end &&
        (t[act->verb_at + 1].kind == BK_TOKEN_NUMBER || bk_is_adverb(&t[act->verb_at + 1]) ||
         bk_among(&t[act->verb_at + 1], " hard till until for with to on in over up , "));
    if (noted && elided && act->from == b->end &&
        (act->group == BK_MIX || act->group == BK_HEAT || act->group == BK_SIMMER ||
         act->group == BK_MACHINE))
        return true;
    return b->group == BK_BAKE && act->group == BK_BAKE && act->spell.found &&
           !bk_verb_find(t[act->verb_at].word);
}

/* Nobody works so long: "salt it, uncovered in the fridge overnight" goes on by itself there; "eat
 * within a week" is no time that it takes. */
static void stop_working(bk_act *act)
{
    if (act->where & (BK_IN_FRIDGE | BK_IN_FREEZER | BK_IN_COOL_PLACE)) {
        act->passive = true;
        act->why = "nobody works so long";
    } else {
        act->spell = (bk_spell){0};
    }
}

bk_taken_stage *bk_stage_add(bk_reading *r, const bk_act *act, size_t lead)
{
    bk_taken *taken = r->taken;
    bool urgent = false;
    if (taken->count >= BK_MOST_TAKEN_STAGES)
        return NULL;
    if (taken->count > 0 && act->group == BK_BAKE && act->spell.found) {
        const bk_taken_stage *before = &taken->stages[taken->count - 1];
        if (before->act.group == BK_BAKE && !before->act.spell.found && before->step == r->step &&
            bk_among(&before->tokens[before->act.verb_at],
                     " put return place transfer slide pop set slip get move ")) {
            lead = before->act.from; /* "Return to the oven. Roast for 30 minutes." */
            urgent = before->act.at_once;
            taken->count--;
        }
    }
    bk_act whole = *act;
    whole.at_once |= urgent;
    if (taken->count > 0 && takes_up(r, &taken->stages[taken->count - 1], act)) {
        const bk_act *before = &taken->stages[--taken->count].act;
        lead = before->from; /* "Parsnips + stock in. Simmer 25 min." */
        whole.sentence |= before->sentence;
        whole.meanwhile |= before->meanwhile;
        whole.at_once |= before->at_once;
        whole.apart |= before->apart;
        whole.joins |= before->joins;
        whole.back_refers |= before->back_refers;
        whole.label_from = before->label_from;
        whole.label_end = before->label_end;
    }
    if ((r->oven_off || bk_turns_oven_off(r->t, lead, act->from)) && act->passive &&
        act->group == BK_REST)
        whole.at_once = true; /* "oven off, leave it in for an hour" */
    r->oven_off = false;
    if (act->group == BK_REST && act->where & BK_IN_OVEN && act->verb &&
        strcmp(act->verb->word, "cool") == 0)
        whole.where &= ~(unsigned)BK_IN_OVEN; /* "let them become cold in the oven" */
    if (!whole.passive && whole.spell.least >= BK_LONGEST_AT_WORK)
        stop_working(&whole);
    act = &whole;
    bk_taken_stage *stage = BK_PUSH(taken->arena, taken->stages, taken->count, taken->room);
    *stage = (bk_taken_stage){.step = r->step, .tokens = r->t, .act = *act};
    stage->text = bk_words_of(r, lead, act->end);
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
        r->oven_changed = r->oven_waits = false;
        r->baking = taken->count - 1;
    } else if (act->where & BK_IN_OVEN && act->setting.at && !act->setting.in_words) {
        r->oven = act->setting.at; /* "warm the moulds in the oven at 150 C" */
        r->oven_in_words = false;
        r->oven_words =
            bk_copy(taken->arena, r->text + act->setting.from, act->setting.to - act->setting.from);
    }
    return stage;
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
    enum { LONGEST_NOTE = 8000 };
    for (size_t i = 0; i < taken->left_count && taken->count > 0; i++) {
        const bk_left *left = &taken->left[i];
        bk_taken_stage *stage = &taken->stages[left->before > 0 ? left->before - 1 : 0];
        if (stage->note && strlen(stage->note) + strlen(left->words) > LONGEST_NOTE)
            continue; /* chat, of which a page may have any amount */
        stage->note = !stage->note ? left->words
                                   : bk_format(taken->arena, "%s / %s", stage->note, left->words);
    }
}

void bk_stages_find(bk_taken *taken)
{
    bk_reading r = {.taken = taken,
                    .light = SIZE_MAX,
                    .baking = SIZE_MAX,
                    .carried = SIZE_MAX,
                    .pending.step = SIZE_MAX};
    for (size_t i = 0; i < taken->recipe->step_count; i++) {
        r.step = i;
        r.text = taken->recipe->steps[i].text;
        r.t = bk_tokens(taken->arena, r.text, &r.count);
        if (i == 0 || taken->recipe->steps[i].heading != taken->recipe->steps[i - 1].heading)
            bk_oven_of_heading(&r, taken->recipe->steps[i].heading);
        bk_step_read(&r);
    }
    bk_find_heat_elsewhere(taken, &r);
    name_stages(taken);
    note_what_is_left(taken);
}
