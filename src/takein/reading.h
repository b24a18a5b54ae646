/* Private to takein: the words of the steps on their way to acts and stages.
 *
 *   sentences.c  where the acts of a sentence begin
 *   acts.c       what an act comes to
 *   durations.c  and how long it takes
 *   order.c      what its words say of its place among the others
 *   hurry.c      and of haste
 *   jottings.c   notes in which no verb says what is done
 *   announcements.c  sentences that only say something of those beside them
 *   oven.c       heat that is set for what bakes next
 *   steps.c      a step's sentences, act by act
 *   stages.c     acts put together into stages
 */
#ifndef BK_TAKEIN_READING_H
#define BK_TAKEIN_READING_H

#include "takein/parts.h"

enum { BK_MOST_ACTS = 40 }; /* in a sentence */

enum { BK_LONGEST_AT_WORK = 8 * 3600 }; /* seconds: longer is no work of the hands */

/* What one step says reaches the next: the oven's heat. */
typedef struct bk_reading {
    bk_taken *taken;
    const char *text; /* of the step */
    const bk_token *t;
    size_t count, step;
    const char *oven, *oven_words;             /* heat that was last said */
    bool oven_in_words;                        /* without a number */
    const char *first_oven, *first_oven_words; /* the first heat with a number */
    bool oven_waits;                           /* heated, and nothing baked since */
    bool oven_off;                             /* switched off by the words before */
    bool oven_changed;                         /* turned down or up since the last baking */
    bool tin_ready; /* "grease and line a tin": what bakes next is in it */
    int64_t number; /* by which the last step was counted */
    size_t light;   /* where the light moves before the act begin, or SIZE_MAX */
    size_t baking;  /* stage that baked last, or SIZE_MAX */
    size_t carried; /* where words that are told with the stage that follows begin, or SIZE_MAX */
    struct {
        bool meanwhile, apart, at_once;
        bool lent; /* `meanwhile` is of an act that is no stage */
        size_t label_from, label_end, step;
    } pending; /* "Meanwhile, make the sauce.": said of the stage that follows */
} bk_reading;

/* ----------------------------------------------------------- sentences.c */

/* The token behind the sentence that begins at `from`. */
size_t bk_sentence_end(const bk_token *t, size_t from, size_t count);

/* Words that may stand before a verb; that open a clause of their own; verbs that name a food,
 * too; words that chat begins with. */
bool bk_is_adverb(const bk_token *t);

/* "Do not ...", "never ...": the words of what is not to be done. */
bool bk_forbids(const bk_token *t, size_t from, size_t end);
bool bk_opens_subordinate(const bk_token *t);
bool bk_is_food_word(const char *word);
bool bk_is_pronoun(const bk_token *t);

/* "then straight into the oven": the token that says where to, or `at`: no such move. */
size_t bk_moves_without_verb(const bk_token *t, size_t at, size_t end);

/* Where the acts of a sentence begin: the verb of each in `at`, the words that lead to it in
 * `leads`, both with room for BK_MOST_ACTS; gives their number. */
size_t bk_acts_begin(const bk_token *t, size_t from, size_t end, size_t *at, size_t *leads);

/* ---------------------------------------------------------------- acts.c */

/* Has the act one of these words; two of them one behind the other? */
bool bk_act_has(const bk_act *act, const bk_token *t, const char *words);
bool bk_act_has_pair(const bk_act *act, const bk_token *t, const char *first, const char *second);

/* "let it cool": the deed that a word of the act names, or NULL. */
const bk_verb *bk_named_deed(const bk_act *act, const bk_token *t);

/* Makes the act one that goes on by itself, by this verb. */
void bk_act_becomes(bk_act *act, const char *word);

/* By hand or by itself, and where, once its verb and its words are known. */
void bk_decide_kind(bk_act *act, const bk_token *t);
void bk_decide_where(bk_act *act, const bk_token *t);

/* What the act comes to: its time, heat, place, kind and order. `lead`: where the words that
 * lead to it begin; `sentence`: where its sentence does; `last`: no act follows in it. */
void bk_act_complete(bk_reading *r, bk_act *act, size_t lead, size_t sentence, bool last);

/* ---------------------------------------------------------- durations.c */

/* Sets the act's time; `lead`: where the words that lead to it begin. */
void bk_time_act(const bk_reading *r, bk_act *act, size_t lead);

/* "Add the parsnips for the final 40 minutes": what goes on beside them goes on with them. */
void bk_go_in_for_the_last(const bk_reading *r, bk_act *act);

/* --------------------------------------------------------------- order.c */

/* "pastry: rub in ...": the token behind the sign, or `from`. */
size_t bk_behind_label(const bk_token *t, size_t from, size_t end);

/* At once, meanwhile, apart: what the words say of its place among the others. */
void bk_decide_order(bk_act *act, const bk_token *t, size_t lead, size_t sentence,
                     size_t sentence_end);

/* --------------------------------------------------------------- hurry.c */

/* "hot", "pliable": how something is that is not so for long. */
bool bk_is_soon_over(const bk_token *t);

/* "immediately", "before it sets", "or they set flat"; `words`: the act with the words that lead
 * to it. */
bool bk_asks_for_haste(const bk_act *act, const bk_act *words, const bk_token *t);

/* "while still warm", "prick the hot cake", "into the boiling syrup". */
bool bk_is_hot_work(const bk_act *act, const bk_act *words, const bk_token *t);

/* ------------------------------------------------------------ jottings.c */

/* Words among which no verb tells to do anything, to stages; "220 C, 20 min; 160 C, 1 hr". */
void bk_jotting_read(bk_reading *r, size_t from, size_t end);

/* "180 (160 fan) 35-40": minutes without their unit behind the act's heat. */
bk_spell bk_guess_behind_setting(const bk_token *t, const bk_act *act);

/* Are the words before the first verb of a sentence an act of their own? */
bool bk_jotting_stands_before(const bk_reading *r, size_t from, size_t lead);

/* Where, behind what the act's hands do, words without a verb are the next act; or its end. */
size_t bk_jotting_behind(const bk_reading *r, const bk_act *act);

/* ------------------------------------------------------- announcements.c */

/* A sentence that does nothing itself, read for what it says of others; false: it is none. */
bool bk_announcement_read(bk_reading *r, size_t from, size_t end);

/* "Do this while the buns bake": what the step told before goes on beside that. */
void bk_say_when_it_is_done(bk_reading *r, size_t from, size_t end);

/* "Do this three times.": read for the stage before; false: it is no such sentence. */
bool bk_repetition_read(bk_reading *r, size_t from, size_t end);

/* "The batter won't wait.": read for what the stage before made; "Work fast, it sets.": for the
 * stage that follows, or for the one before where none follows in the step; false: it is no such
 * sentence. */
bool bk_haste_read(bk_reading *r, size_t from, size_t end);

/* Where "wrinkles = done" begins, or `end`. */
size_t bk_remark_begins(const bk_token *t, size_t from, size_t end);

/* "Chop them when they've cooled": the cooling as a stage of its own. */
void bk_cool_before(bk_reading *r, size_t from, size_t end);

/* "After 30 minutes mark it ...": the waiting as a stage of its own, or as the time of what
 * goes on. */
void bk_wait_before(bk_reading *r, size_t from, size_t end);

/* The token behind the noun that begins at `from`. */
size_t bk_noun_end(const bk_token *t, size_t from, size_t end);

/* ---------------------------------------------------------------- oven.c */

/* Heat that the words set, and that what bakes next has: then they are no stage. */
bool bk_sets_the_oven(bk_reading *r, bk_act *act);

/* "With the oven at 230 C, ...", "When the oven has come up to 200 C, ...": heat in the words
 * before the first verb of a sentence. */
void bk_hear_of_the_oven(bk_reading *r, size_t from, size_t end);

/* "Bake at 180 C", "Cake (oven 180 C)": the heat in the heading that a step begins; or NULL. */
void bk_oven_of_heading(bk_reading *r, const char *heading);

/* "turn the oven off", "oven off"; not "in a switched-off oven" */
bool bk_turns_oven_off(const bk_token *t, size_t from, size_t end);

/* A heat that the recipe tells in another place than where it bakes: behind it, or in a note. */
void bk_find_heat_elsewhere(bk_taken *taken, const bk_reading *r);

/* --------------------------------------------------------------- steps.c */

/* Reads the step that `r` stands at, sentence by sentence. */
void bk_step_read(bk_reading *r);

/* -------------------------------------------------------------- stages.c */

/* The words between two tokens, as they are written. */
const char *bk_words_of(const bk_reading *r, size_t from, size_t end);

/* Keeps words that became no stage. */
void bk_leave_out(bk_reading *r, size_t from, size_t end);

/* Adds a stage whose words begin at `lead`; false when there are too many. */
bk_taken_stage *bk_stage_add(bk_reading *r, const bk_act *act, size_t lead);

#endif
