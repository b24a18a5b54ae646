/* What the files of the verifier share. Private to this folder; nothing here is
 * known to what makes timelines.
 */
#ifndef BK_VERIFY_PARTS_H
#define BK_VERIFY_PARTS_H

#include "verify/verify.h"

enum { BK_MOST_BREACHES = 100 };

typedef struct bk_verify_state {
    bk_arena *arena;
    const bk_plan *plan;
    const bk_timeline *timeline;
    const bk_placed **placed; /* by index in plan.stages */
    bk_breach *breaches;
    size_t kept, room;
    size_t count; /* all breaches, kept or not */
} bk_verify_state;

/* Notes a broken rule. `stage` may be SIZE_MAX. Only the first BK_MOST_BREACHES
 * are kept; the rest are counted. */
void bk_verify_breach(bk_verify_state *state, int rule, size_t stage, const char *format, ...)
    BK_PRINTF(4, 5);

/* "Thursday 24 December 2026, 19:30" in the plan's zone. */
const char *bk_verify_when(const bk_verify_state *state, bk_instant instant);

/* "dish/stage". */
const char *bk_verify_name(const bk_verify_state *state, size_t stage);

/* An amount of something needed during [from, to). */
typedef struct bk_verify_need {
    bk_instant from, to;
    int64_t amount;
    size_t stage; /* whose it is, or SIZE_MAX */
    bool begun;   /* that of what has begun: a fact */
} bk_verify_need;

typedef struct bk_verify_needs {
    bk_verify_need *items;
    size_t count, room;
} bk_verify_needs;

/* What a stage that has begun did before now: nothing is asked of the past. The later of
 * `from` and now. */
bk_instant bk_verify_from_now(const bk_verify_state *state, size_t stage, bk_instant from);

/* Adds what `stage` itself needs: where it has begun that is a fact, and counts from now. */
void bk_verify_own_need(bk_verify_state *state, bk_verify_needs *needs, bk_instant from,
                        bk_instant to, int64_t amount, size_t stage);

/* Adds a need; an empty one needs nothing. */
void bk_verify_need_add(bk_verify_state *state, bk_verify_needs *needs, bk_instant from,
                        bk_instant to, int64_t amount, size_t stage);

/* Sweeps the needs in time and notes a breach of `rule` each time their sum rises
 * above `size`. `what` names the thing ("hands", "places in the fridge"). */
void bk_verify_sweep(bk_verify_state *state, int rule, const bk_verify_needs *needs, int64_t size,
                     const char *what);

/* Between what two temperatures an oven's warming and cooling for a stage is reckoned:
 * what it is set to for it alone, or the ends of what it accepts where something else
 * that goes into that oven accepts some of the same, and not the same in all. */
typedef struct bk_verify_heat {
    double least, most;
} bk_verify_heat;
bk_verify_heat bk_verify_heat_of(const bk_verify_state *state, size_t stage);

/* Minutes that the oven of a stage takes from cold for it. */
int64_t bk_verify_preheat(const bk_verify_state *state, size_t stage);

/* Minutes that it takes from a temperature the oven is at. */
int64_t bk_verify_reheat(const bk_verify_state *state, size_t stage, double celsius);

/* The rules, one or a few to a function; all stages are placed. */
void bk_verify_times(bk_verify_state *state); /* 1, 9 */
void bk_verify_links(bk_verify_state *state); /* 2 */
void bk_verify_hands(bk_verify_state *state); /* 3 */
/* 3, with named cooks: adds to the needs what hands are not there. */
void bk_verify_people(bk_verify_state *state, bk_verify_needs *hands);

/* How many named cooks are kept in the minutes before and after an instant. */
int64_t bk_verify_kept(const bk_verify_state *state, bk_instant at);

void bk_verify_watch(bk_verify_state *state); /* 4 */
/* Until when a dish is to keep and is stored: its serve; of a part, the latest start of a
 * stage of another dish that is linked to one of its own. */
bk_instant bk_verify_until(const bk_verify_state *state, size_t dish);

void bk_verify_pools(bk_verify_state *state);            /* 5, and stored of 8 */
void bk_verify_ovens(bk_verify_state *state);            /* 6 */
void bk_verify_checks(bk_verify_state *state);           /* 7 */
void bk_verify_dishes(bk_verify_state *state);           /* 8 */
void bk_verify_runs(bk_verify_state *state);             /* the oven runs against the stages */
void bk_verify_begins(bk_verify_state *state);           /* 11 */
int64_t bk_verify_interruptions(bk_verify_state *state); /* 12, counted */
void bk_verify_figures(bk_verify_state *state);          /* start, ready, objective, bounds */

#endif
