/* Clauses, given and learned, with two watched literals each (Moskewicz, Madigan, Zhao, Zhang,
 * Malik, "Chaff", DAC 2001). A watch stands by the bound at which its literal becomes false,
 * so that a side that rises passes only what it touches. */
#ifndef BK_ENGINE_CLAUSES_H
#define BK_ENGINE_CLAUSES_H

#include "engine/trail.h"

typedef struct bk_watch {
    int32_t clause;
    bk_literal blocker; /* true: the clause needs no look (Soerensson and Een, MiniSat 2.1, 2008) */
} bk_watch;

typedef BK_VECTOR(bk_watch) bk_watches;

/* Thresholds of a side, ascending, and by threshold the watched literals that are false once the
 * side reaches it. Apart, so that a search among the values touches little else. */
typedef struct bk_thresholds {
    int32_t *value;
    bk_watches *watches;
    int32_t count, room;
} bk_thresholds;

/* Words of a clause: size, learned flag, LBD, activity, then the literals. A clause is known by
 * the index of its first word. */
enum { BK_CLAUSE_SIZE, BK_CLAUSE_LEARNED, BK_CLAUSE_LBD, BK_CLAUSE_ACTIVITY, BK_CLAUSE_HEAD };

typedef struct bk_clauses {
    bk_ints words;
    bk_ints learned;        /* the clauses that were */
    bk_thresholds *watched; /* by side */
    float step;             /* what a use adds to a clause's activity */
    int64_t reduce_at;      /* learned clauses that call for a reduction */
} bk_clauses;

static inline bk_literal bk_clause_literal(const int32_t *words, int32_t i)
{
    return (bk_literal){words[BK_CLAUSE_HEAD + 2 * i], words[BK_CLAUSE_HEAD + 2 * i + 1]};
}

/* Adds a clause of the problem at level 0. False when it makes it impossible. */
bool bk_clause_given(bk_solver *solver, const bk_literal *literals, int32_t count);
/* Adds analysis.clause as learned and asserts its first literal. LBD: the number of levels it
 * speaks of (Audemard and Simon, "Predicting learnt clauses quality in modern SAT solvers",
 * IJCAI 2009). */
bool bk_clause_learned(bk_solver *solver, int32_t lbd);
bool bk_propagate_clauses(bk_solver *solver, int32_t side, int32_t old);
/* Names all of the clause but the literal of this side, negated. */
void bk_explain_clause(bk_solver *solver, bk_literal literal, int32_t clause);

/* ---------------------------------------------------- clause_database.c */

/* A clause just learned is as active as one use makes it. */
void bk_clause_begin(bk_solver *solver, int32_t clause);
/* Counts a use of a learned clause. */
void bk_clause_bump(bk_solver *solver, int32_t clause);
/* Deletes half of the learned clauses when there are too many; each time more stay. */
void bk_clauses_reduce(bk_solver *solver);

#endif
