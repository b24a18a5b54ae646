/* The parts of the day. Private to src/day. */
#ifndef BK_DAY_PARTS_H
#define BK_DAY_PARTS_H

#include "day/day.h"
#include "day/journal.h"

/* When each stage was to start, as the cook was told last, by index in plan.stages. */
typedef struct bk_told {
    bool *has;
    bk_instant *start;
    int *oven_number; /* 0: not said */
} bk_told;

/* What each stage has come to, by index in plan.stages. */
typedef struct bk_stage_state {
    enum bk_progress progress;
    bk_instant start, end; /* of one that has begun; RUNNING: when it is to end */
    bool assumed;          /* nobody said so */
    bool overdue;          /* it should have ended at `due`, and nobody said so: its end is now */
    bk_instant due;
    int oven_number;
} bk_stage_state;

typedef struct bk_state {
    const bk_plan *plan;
    bk_instant now;
    bk_stage_state *stages;
    bool *dish_out, *dish_served; /* by dish: dropped; on the table */
    bk_instant *out_at, *served_at;
} bk_state;

/* The entries that count, of those up to `now`: undone ones, what was planned by them, and
 * undos are left out. */
const bk_day_entry **bk_day_effective(bk_arena *arena, const bk_journal *journal, bk_instant now,
                                      size_t *count);

/* Whether PLANNED entries tell what the cook was told. */
bool bk_day_tells(const bk_day_entry *const *entries, size_t count);

/* Serves as the journal moved them: lines for bk_read_options.serve, or NULL. */
const char *bk_day_serves(bk_arena *arena, const bk_journal *journal, bk_instant now);

/* The stage (index in plan.stages) that an entry names; SIZE_MAX: the plan has it not. */
size_t bk_day_stage(const bk_plan *plan, const char *dish, const char *stage);
size_t bk_day_dish(const bk_plan *plan, const char *dish);

/* What the cook was told last: by the last PLANNED entries, for stages that none speaks of by
 * `first`, the timeline of the plan as it was before the day began (NULL: none). */
bk_told bk_day_told(bk_arena *arena, const bk_plan *plan, const bk_day_entry *const *entries,
                    size_t count, const bk_timeline *first);

/* What has become of each stage: by what was said, and else as it was told. */
bk_state bk_day_state(bk_arena *arena, const bk_plan *plan, const bk_day_entry *const *entries,
                      size_t count, const bk_told *told, bk_instant now);

/* Fills day->moved: what is at another time than was told. */
void bk_day_find_moved(bk_arena *arena, bk_day *day, const bk_told *told);

/* The plan as it is now. Fills day->broken. */
bk_plan *bk_day_rest(bk_arena *arena, const bk_state *state, const bk_told *told,
                     const bk_day_entry *const *entries, size_t count, bk_day *day);

/* An hour ("19:10", the last one, or the next where `ahead`) or an instant. False: it is none. */
bool bk_day_instant(const bk_zone *zone, const char *text, bk_instant now, bool ahead,
                    bk_instant *instant);

/* An entry from words ("done", "bake", NULL); of a stage or a dish so much of its name as is
 * unique. `at`: when it happened, or NULL. False after reporting; where a name may be several
 * stages they are the choices. */
bool bk_day_say(bk_arena *arena, const bk_plan *plan, const bk_state *state, const bk_told *told,
                const char *const *words, const char *at, bk_instant now, bk_day_entry *entry,
                bk_day_choices *choices, bk_report *report);

/* The oven of an entry: "oven", or "oven#2". False: the plan has it not. */
bool bk_day_oven(const bk_plan *plan, const char *name, size_t *equipment, int *number);

/* Adds the real times of the stages of which somebody said that they were done to the histories
 * beside the files they are written in, and how long ovens took to be hot. `as_written`: the plan
 * before it was changed by the day, with the same stages. False after reporting. */
bool bk_day_remember(bk_arena *arena, const bk_plan *as_written, const bk_plan *rest,
                     const bk_told *told, const bk_day_entry *const *entries, size_t entry_count,
                     size_t *remembered, bk_report *report);

/* A rule that can't be kept any more. */
void bk_day_broke(bk_arena *arena, bk_day *day, bk_broken_rule broken);

#endif
