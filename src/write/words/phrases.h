/* The words that more than one writer uses for the same thing.
 *
 * Everything returned lives in the arena and is clean: valid UTF-8 on one line,
 * without control characters. Private to this folder.
 */
#ifndef BK_WRITE_WORDS_PHRASES_H
#define BK_WRITE_WORDS_PHRASES_H

#include "timeline/timeline.h"

/* One line of the cook's text: line breaks, tabs and runs of blanks become one
 * blank, other control characters and those that turn the direction of text are
 * dropped, bytes that are not UTF-8 become U+FFFD. NULL gives "". */
char *bk_words_clean(bk_arena *arena, const char *text);

/* "oven", or "oven 2" when the kitchen has several of that name. */
char *bk_words_oven(bk_arena *arena, const bk_plan *plan, size_t equipment, int number);

/* What the dial of that oven shows for a temperature without fan: "180 °C",
 * "160 °C fan", or "350 °F (177 °C)" in a kitchen that goes by US rules. */
char *bk_words_heat(bk_arena *arena, const bk_plan *plan, size_t equipment, double celsius);

/* How an oven comes to a run's temperature: "on,", "up" or "down". */
const char *bk_words_turn(const bk_timeline *timeline, size_t run);

/* The dial's number in degrees Celsius: 20 less in an oven with a fan. */
double bk_words_dial(const bk_plan *plan, size_t equipment, double celsius);
/* The same in degrees Fahrenheit, whole ones. */
int bk_words_dial_f(const bk_plan *plan, size_t equipment, double celsius);

/* "15 min", "12-15 min", "4 h to 6 h". */
char *bk_words_range(bk_arena *arena, bk_range range);

/* Where a stage is and what it needs, ovens aside: "in the fridge",
 * "on the hob, with the stand mixer and the tin"; "" when it needs nothing. */
char *bk_words_place(bk_arena *arena, const bk_plan *plan, const bk_stage *stage);

/* Whose hands: " by Ada and Ben"; "" of nobody by name. */
char *bk_words_by(bk_arena *arena, const bk_plan *plan, const size_t *by, size_t count);

/* Who has to be there, where, for how long, until when: "12-15 min hands on,
 * until 18:20"; "by itself, in the fridge for 4 h to 6 h, until Fri 14:30". */
char *bk_words_course(bk_arena *arena, const bk_timeline *timeline, const bk_placed *placed);

/* Where the dish is kept from the end of this stage on, which is its last: "then into the fridge
 * until 19:00", "it stays in the fridge until 19:00"; "" when nothing cold is "stored" for it. */
char *bk_words_then_cold(bk_arena *arena, const bk_timeline *timeline, const bk_placed *placed);

/* The windows that a stage is pinned by: "It must be before you
 * go to bed at 22:30."; "" when there are none. */
char *bk_words_windows(bk_arena *arena, const bk_timeline *timeline, const bk_placed *placed);

/* A window as it is met on the way: "Asleep until Fri 07:00". */
char *bk_words_window(bk_arena *arena, const bk_plan *plan, const bk_window *window);

/* False for a bound that the search could not give: the far end of the numbers. */
bool bk_words_known(int64_t bound);

/* How good the timeline is, in one or two sentences. */
char *bk_words_status(bk_arena *arena, const bk_timeline *timeline);

/* A warning or error in one line: what is wrong; the mend (where it stands). */
char *bk_words_message(bk_arena *arena, const bk_message *message);

/* One fact of why a plan can't be met, with its place in the plan. */
char *bk_words_fact(bk_arena *arena, const bk_fact *fact);

/* The gaps that matter to a cook, hot food first, then what spoils, then what stands in a
 * room for two hours or more; the longest first. */
const bk_gap **bk_words_gaps(bk_arena *arena, const bk_timeline *timeline, size_t *count);

/* One of them: what stands where for how long, and the key that would limit it. */
char *bk_words_gap(bk_arena *arena, const bk_timeline *timeline, const bk_gap *gap);

/* What would help, and the first start it would give. */
char *bk_words_remedy(bk_arena *arena, const bk_timeline *timeline, const bk_remedy *remedy);

/* The changes that make it possible together, in one sentence with the first start. */
char *bk_words_together(bk_arena *arena, const bk_timeline *timeline);

/* Said of an impossible plan for which no change was found: what was tried. */
const char *bk_words_no_remedy(void);

/* "file:line:column" of a place, or NULL when it has none. */
char *bk_words_source(bk_arena *arena, bk_place place);

/* Whether a warning tells of allergens: they stand apart from burns and hours. */
bool bk_words_of_allergens(const bk_message *warning);

/* How many warnings there are besides. */
size_t bk_words_warning_count(const bk_timeline *timeline);

/* How many stages cannot start later with all others where they are. */
size_t bk_words_critical_count(const bk_timeline *timeline);

#endif
