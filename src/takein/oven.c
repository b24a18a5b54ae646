/* The oven's heat: what sets it, changes it or switches it off, and what tells it in another
 * place than where it bakes. */
#include "takein/reading.h"

#include <string.h>

/* "Turn the oven up to 220 C for the last 10 minutes", "reduce to 160 C for an hour": it bakes
 * on at that heat. Not "after 10 minutes". */
static bool last_minutes(const bk_reading *r, bk_act *act)
{
    act->spell = bk_spell_find(r->t, act->from, act->end);
    for (size_t i = act->from + 1; i < act->end && !act->spell.found; i++)
        if (bk_among(&r->t[i - 1], " last final "))
            (void)bk_spell_read(r->t, i, act->end, &act->spell);
    for (size_t back = 1; back < 9 && act->from >= back && !act->spell.found; back++)
        if (bk_among(&r->t[act->from - back], " last final "))
            (void)bk_spell_read(r->t, act->from - back + 1, act->from, &act->spell);
    if (!act->spell.found)
        act->spell = bk_guess_behind_setting(r->t, act); /* "drop to 200 C for 25" */
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

/* "turn the oven off", "oven off"; not "in a switched-off oven" */
bool bk_turns_oven_off(const bk_token *t, size_t from, size_t end)
{
    bool oven = false, off = false;
    for (size_t i = from; i < end; i++) {
        oven |= bk_is(&t[i], "oven");
        off |= bk_is(&t[i], "off") && !(i > from && bk_is(&t[i - 1], "-"));
        if (bk_among(&t[i], " in into ") && !off)
            return false;
    }
    return oven && off;
}

/* What bakes next has this heat. `change`: that of what bakes is turned up or down. */
static void keep_heat(bk_reading *r, const bk_setting *setting, const char *words, bool change)
{
    r->oven_in_words = setting->in_words;
    r->oven = setting->at;
    r->oven_words = words;
    r->oven_changed = change;
    r->oven_waits = true;
    if (!r->first_oven && !change && !setting->in_words) {
        r->first_oven = r->oven;
        r->first_oven_words = r->oven_words;
    }
}

void bk_hear_of_the_oven(bk_reading *r, size_t from, size_t end)
{
    const bk_token *t = r->t;
    bool oven = false;
    for (size_t i = from; i < end; i++)
        oven |= bk_among(&t[i], " oven ovens ");
    bk_setting setting = oven ? bk_setting_find(r->taken->arena, t, from, end) : (bk_setting){0};
    if (setting.at && !setting.in_words && !bk_spell_find(t, from, end).found)
        keep_heat(r, &setting,
                  bk_copy(r->taken->arena, r->text + t[from].from, t[end - 1].to - t[from].from),
                  false);
}

void bk_oven_of_heading(bk_reading *r, const char *heading)
{
    size_t count = 0;
    const bk_token *t = heading ? bk_tokens(r->taken->arena, heading, &count) : NULL;
    bool oven = false;
    for (size_t i = 0; i < count; i++)
        oven |= bk_among(&t[i], " oven bake baking roast roasting gas cake bread ");
    bk_setting setting = oven ? bk_setting_find(r->taken->arena, t, 0, count) : (bk_setting){0};
    if (setting.at && !setting.in_words)
        keep_heat(r, &setting, heading, false);
}

/* "Heat the oven to 180 C", "Oven on at 200", "reduce to 160 C". */
/* "set the oven to", "turn up the oven"; not "set them on the oven shelf" */
static bool is_said_of_the_oven(const bk_act *act, const bk_token *t)
{
    enum { FAR = 4 };
    for (size_t i = act->from + 1; i + 1 < act->end && i < act->from + FAR; i++) {
        if (bk_among(&t[i], " the an your ") && bk_among(&t[i + 1], " oven grill broiler "))
            return !(i + 2 < act->end && bk_among(&t[i + 2], " shelf rack floor door "));
        if (!bk_among(&t[i], " on up down off over back again now to "))
            return false;
    }
    return false;
}

bool bk_sets_the_oven(bk_reading *r, bk_act *act)
{
    const bk_token *t = r->t;
    if (!act->setting.at && !act->spell.found && bk_turns_oven_off(t, act->from, act->end)) {
        r->oven_off = true; /* "turn the oven off and leave them in it" */
        return true;
    }
    const char *word = act->verb ? t[act->from].word : "";
    bool change = act->verb && act->setting.at && !act->setting.in_words &&
                  (bk_among(&(bk_token){.word = act->verb->word},
                            " turn reduce lower increase drop raise crank ") ||
                   (strcmp(word, "set") == 0 && bk_act_has_pair(act, t, " it dial ", " to at ")) ||
                   bk_act_has_pair(act, t, " down up ", " to "));
    change = change && !bk_act_has_pair(act, t, " oven ", " on "); /* "turn the oven on to 210" */
    change |= act->setting.at && !act->setting.in_words &&
              bk_among(&t[act->from], " down up back ") && bk_is(&t[act->from + 1], "to");
    bool heats =
        (strcmp(word, "preheat") == 0 ||
         ((strcmp(word, "heat") == 0 || strcmp(word, "set") == 0 || strcmp(word, "put") == 0 ||
           strcmp(word, "turn") == 0 || strcmp(word, "switch") == 0 || strcmp(word, "get") == 0 ||
           strcmp(word, "warm") == 0 || strcmp(word, "bring") == 0 || strcmp(word, "crank") == 0 ||
           strcmp(word, "whack") == 0 || strcmp(word, "start") == 0 || strcmp(word, "light") == 0 ||
           strcmp(word, "have") == 0) &&
          is_said_of_the_oven(act, t) && !bk_act_has_pair(act, t, " in into ", " the "))) ||
        (strcmp(word, "heat") == 0 && act->from + 1 < act->end && bk_is(&t[act->from + 1], "oven"));
    bool rack = false; /* "Position a rack in the oven and heat to 350 F" */
    for (size_t back = 1; back <= 14 && back <= act->from && !bk_is(&t[act->from - back], ".");
         back++)
        rack |= bk_is(&t[act->from - back], "oven");
    heats |= rack && strcmp(word, "heat") == 0 && act->setting.at && !act->setting.in_words &&
             act->from + 1 < act->end && bk_is(&t[act->from + 1], "to");
    /* "Mark 4.", "(170 C, or 150 C with a fan.)" */
    bool short_note = act->end <= act->from + 7 || bk_is(&t[act->from], "(");
    bool bare = !act->verb && act->end > act->from && act->setting.at && !act->spell.found &&
                (short_note || bk_act_has(act, t, " oven preheat "));
    for (size_t i = act->from; i + 2 < act->end && !bk_verb_find(t[act->from].word); i++)
        heats |= bk_among(&t[i], " set heat put turn get switch light ") &&
                 bk_is(&t[i + 1], "the") &&
                 bk_is(&t[i + 2], "oven"); /* "Half an hour before baking set the oven to 230 C" */
    if (!change && !heats && !bare)
        return false;
    if (act->setting.at)
        keep_heat(r, &act->setting,
                  bk_copy(r->taken->arena, r->text + t[act->from].from,
                          t[act->end - 1].to - t[act->from].from),
                  change);
    if (change && last_minutes(r, act))
        return false;
    return true;
}

/* A heat that the recipe tells in another place than where it bakes: behind it, or in a note.
 */
void bk_find_heat_elsewhere(bk_taken *taken, const bk_reading *r)
{
    const char *at = r->first_oven, *words = r->first_oven_words;
    size_t notes = taken->recipe->note_count, left = taken->left_count;
    for (size_t i = 0; i <= notes + left && !at; i++) {
        size_t count = 0;
        bool title = i == notes + left; /* "Scones, gas 7" */
        const char *note = title       ? taken->recipe->title
                           : i < notes ? taken->recipe->notes[i]
                                       : taken->left[i - notes].words;
        const bk_token *t = bk_tokens(taken->arena, note ? note : "", &count);
        bool oven = title;
        bool changes = false;
        for (size_t k = 0; k < count; k++) {
            oven |= bk_among(&t[k], " oven ovens bake baked preheat ");
            changes |= bk_among(&t[k], " raise turn increase lower reduce crank ");
        }
        oven = oven && !(changes && !title && i >= notes);
        bk_setting setting = oven ? bk_setting_find(taken->arena, t, 0, count) : (bk_setting){0};
        if (setting.at && !setting.in_words && !(title && setting.unit_guessed)) {
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
