/* A day by trial of everything, for small plans: what has happened by the journal, and the
 * best of all ways to go on. Written from the plan format's section 11 (and the rules it
 * leaves standing) alone, minute by minute; shares nothing with src/day, src/compile or
 * src/verify but the types of a plan and of a journal.
 *
 * Where the format is silent, this reading is taken:
 *   - of what was said of a stage the last word counts; a stage begun anew begins a new story;
 *   - of one that was only said to be done, the start is the one told, where that is no later
 *     than the end, else its time before the end; no sooner than what it follows allowed;
 *   - "longer" counts from the end that was thought of, or from when it was said, whichever is
 *     later; said of a stage that was told to have begun, it says that it has;
 *   - of what nobody spoke of: what should have begun before now went as told, or as soon as what
 *     it follows let it, if that was before now. What follows has begun: then what it follows was
 * over by then, and all of a dish that is served;
 *   - a stage left out is over from then on, and holds nothing; what waits for it waits for what
 *     it waited for. A dish of which all is left out is dropped. A dropped dish: what has begun of
 * it ends there and then, the rest is left out; it is not served, nobody sits at table for it;
 *   - a rule that facts alone break is not asked of them; what is to come finds what they
 *     leave: at a minute where facts use all there is, or more, nothing more is used;
 *   - a check of a running stage is asked for as long as its time is not over;
 *   - an oven's last word counts: a stage in it (hot as long as that lasts, then for `idle` where
 *     the next was told for then), a stage in it switched off, or "hot". Without a word since, one
 *     that was to be warming up by now for a stage, or to be turned over to it, is, is ready when
 *     that was told to start, and waits for it as long as `idle`;
 *   - a late dish is served that much later; lateness comes before the margin; then what was to
 *     have begun already begins as soon as it can.
 */
#ifndef BK_DAY_ORACLE_H
#define BK_DAY_ORACLE_H

#include "day/journal.h"
#include "plan/plan.h"

enum {
    TRIAL_STAGES = 8,
    TRIAL_LINKS = 16,
    TRIAL_CHECKS = 3,
    TRIAL_DISHES = 4,
    TRIAL_EQUIPMENT = 6,
    TRIAL_OVENS = 3,
    TRIAL_COOKS = 3,
    TRIAL_SPAN = 512,
    TRIAL_LATE = 60 /* minutes of lateness in all that are tried */
};

enum trial_progress { TRIAL_TO_COME, TRIAL_RUNS, TRIAL_OVER, TRIAL_LEFT_OUT };

typedef struct trial_fact {
    enum trial_progress is;
    bk_instant start, end;
    int oven; /* 1.. */
} trial_fact;

/* What a stage to come waits for, once what is left out is bridged. */
typedef struct trial_link {
    size_t stage;
    bool from_start, has_within;
    int64_t wait, within;
} trial_link;

typedef struct trial_day {
    const bk_plan *plan; /* with the serves as they are now */
    const bk_journal *journal;
    bk_instant now;
    /* by the timeline before the day; day_oracle_read goes on to what the journal told since */
    bool told[TRIAL_STAGES];
    bk_instant told_start[TRIAL_STAGES];
    int told_oven[TRIAL_STAGES];
    /* what else is not asked for, to be set between day_oracle_read and day_oracle_solve */
    bool without_within[TRIAL_STAGES][TRIAL_LINKS], without_when[TRIAL_STAGES],
        without_checks[TRIAL_STAGES];
    /* by day_oracle_read */
    trial_fact fact[TRIAL_STAGES];
    bool run_out[TRIAL_STAGES]; /* a most wait was over before it began; test_oracle adds those it
                                   lets go */
    bool out[TRIAL_DISHES], served[TRIAL_DISHES], keeps[TRIAL_DISHES];
    bk_instant serve[TRIAL_DISHES], leaves[TRIAL_COOKS];
    trial_link link[TRIAL_STAGES][TRIAL_LINKS];
    size_t link_count[TRIAL_STAGES];
    bool hot[TRIAL_EQUIPMENT][TRIAL_OVENS + 1];
    double hot_c[TRIAL_EQUIPMENT][TRIAL_OVENS + 1];
    bk_instant last_word[TRIAL_EQUIPMENT][TRIAL_OVENS + 1]; /* of an oven, when said */
} trial_day;

typedef struct trial_placing {
    bk_instant start[TRIAL_STAGES];
    int oven[TRIAL_STAGES];
    bk_instant check[TRIAL_STAGES][TRIAL_CHECKS];
    int64_t late[TRIAL_DISHES]; /* by so much the dish is served later */
} trial_placing;

typedef struct trial_figures {
    int64_t late, margin, overdue, moved; /* minutes, minutes, minutes, stages */
    int64_t hands, busiest; /* of styles ahead and spread; of what is to come, and of both */
    bk_instant first;
    int64_t interruptions, waiting;
} trial_figures;

typedef struct trial_answer {
    bool possible;
    bool gave_up; /* too many placings, or later than TRIAL_LATE: no answer */
    trial_placing best;
    trial_figures figures;
    uint64_t tried;
} trial_answer;

/* Can it be tried? */
bool day_oracle_can(const trial_day *day);

/* What has happened: from plan, journal, now and what was told. */
void day_oracle_read(trial_day *day);

/* Does a placing keep every rule that is asked of what is to come? Facts stand in it too. */
bool day_oracle_valid(const trial_day *day, const trial_placing *placing);

trial_figures day_oracle_reckon(const trial_day *day, const trial_placing *placing);

/* By the order of section 11; negative: a is better. */
int day_oracle_compare(const bk_plan *plan, trial_figures a, trial_figures b);

trial_answer day_oracle_solve(const trial_day *day, uint64_t most);

#endif
