/* A scheduler by trial of everything, for small plans: what the real one is
 * compared with. Written from the rules of the plan format alone, minute by
 * minute; shares nothing with src/schedule or src/engine.
 */
#ifndef BK_ORACLE_H
#define BK_ORACLE_H

#include "plan/plan.h"

enum {
    ORACLE_STAGES = 8,
    ORACLE_CHECKS = 3,
    ORACLE_SPAN = 256,
    ORACLE_EQUIPMENT = 6,
    ORACLE_OVENS = 3,
    ORACLE_COOKS = 3,
    ORACLE_PASSES = 1 << 16
};

/* Where everything is; indices as in the plan. */
typedef struct oracle_placing {
    bk_instant start[ORACLE_STAGES];
    int oven[ORACLE_STAGES];                        /* 1.. of the count; 0 when in none */
    bk_instant check[ORACLE_STAGES][ORACLE_CHECKS]; /* start, of checks that take time */
    /* Named cooks: whose hands, a bit each; 0: whoever can; ORACLE_PASSES: from one to another. */
    unsigned by[ORACLE_STAGES], check_by[ORACLE_STAGES][ORACLE_CHECKS];
} oracle_placing;

typedef struct oracle_figures {
    bk_instant first;
    int64_t interruptions, waiting, hands;
    int64_t busiest; /* hands, on another civil date: the most */ /* hands: on the civil date of the
                                                                     last serve */
} oracle_figures;

typedef struct oracle_answer {
    bool possible;
    bool gave_up; /* more than `most` placings tried: no answer */
    oracle_placing best;
    oracle_figures figures;
    uint64_t tried;
} oracle_answer;

/* Does a complete placing keep every rule? */
bool oracle_valid(const bk_plan *plan, const oracle_placing *placing);

/* Named cooks: fills `by` and `check_by` with hands that suffice; false when none do. */
bool oracle_give_hands(const bk_plan *plan, oracle_placing *placing);

/* Is [from, to) free of sleep and absence (and, with `busy`, of busy time)? */
bool oracle_somebody(const bk_plan *plan, bk_instant from, bk_instant to, bool busy);

/* Where the reminder `check` (takes 0) of a stage falls; false
 * when it is dropped. */
bool oracle_reminder(const bk_plan *plan, const oracle_placing *placing, size_t stage, size_t check,
                     bk_instant *at);

oracle_figures oracle_reckon(const bk_plan *plan, const oracle_placing *placing);

/* Is a better than b by the plan's style? */
bool oracle_better(const bk_plan *plan, oracle_figures a, oracle_figures b);

/* The best of all placings. A partial placing that already breaks a rule, or that
 * can be no better than the best so far, is not continued. */
oracle_answer oracle_solve(const bk_plan *plan, uint64_t most);

/* The same by trying every combination and asking oracle_valid: for plans so
 * small that this ends. Guards the shortcuts of oracle_solve. */
oracle_answer oracle_solve_naively(const bk_plan *plan, uint64_t most);

/* False for a plan that is over one of the limits above. */
bool oracle_can(const bk_plan *plan);

#endif
