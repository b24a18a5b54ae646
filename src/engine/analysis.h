/* Conflict analysis to the first unique implication point (Marques-Silva and Sakallah, "GRASP",
 * 1999; Zhang, Madigan, Moskewicz, Malik, ICCAD 2001), with the learned clause minimised
 * (Soerensson and Biere, "Minimizing learned clauses", SAT 2009). */
#ifndef BK_ENGINE_ANALYSIS_H
#define BK_ENGINE_ANALYSIS_H

#include "engine/trail.h"

typedef struct bk_analysis {
    bk_literals conflict;             /* literals that are true and cannot be so together */
    bk_literals premises;             /* what bk_explain adds to */
    bk_literals named;                /* scratch of explanations */
    int32_t *need_value, *need_event; /* by side; event -1: not needed */
    int32_t *need_lock;               /* by side: stamp of the minimisation that must keep it */
    bk_ints needed;                   /* sides */
    bk_literals clause;               /* the learned clause, asserting literal first */
    bk_literals core;                 /* assumptions that failed together */
    bk_ints memo_stamp, memo_good,
        memo_bad; /* by event: largest value proved redundant, least failed */
    int32_t stamp;
    bk_ints level_stamp;
    int32_t level_now;
    bool expand_assumption; /* one assumption only: express level 1 by it alone */
} bk_analysis;

/* Learns from analysis.conflict: fills analysis.clause (asserting literal first), sets *back to
 * the level to return to and *lbd to the number of levels. False when the conflict rests on
 * level 0 and 1 alone; then analysis.core holds the assumptions. */
bool bk_analyze(bk_solver *solver, int32_t *back, int32_t *lbd);
/* The assumptions that make a false assumption false, into analysis.core. */
void bk_analyze_assumption(bk_solver *solver, bk_literal failed);
/* The level at which a needed side got what is needed of it. */
int32_t bk_level_needed(const bk_solver *solver, int32_t side);
/* The premises are the conflict. */
void bk_conflict_is_premises(bk_solver *solver);

/* ------------------------------------------------- clause_minimisation.c */

/* Drops needed literals that the others imply, but for the one on side `asserting`. */
void bk_minimise_clause(bk_solver *solver, int32_t asserting);

#endif
