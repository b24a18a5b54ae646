/* Exact scheduling over integers: what to minimise under lags, cumulative
 * resources, forbidden windows and conditions. No kitchen words here.
 *
 * A problem is built once, then solved; solving does not change it. Everything
 * is minimised, lexicographically over levels, and low values are the natural
 * ones (a caller who wants "as late as possible" mirrors time).
 *
 * Order of calls: bk_problem_new; bk_problem_var and the constraints in any
 * order; levels and costs; then any number of bk_solve.
 *
 * Facts: a constraint carries the number of the fact it comes from, or
 * BK_NO_FACT when it always holds. Facts are what an explanation is made of:
 * they can be dropped (the constraint is then absent) and, with `explain`, a
 * proof that nothing fits names the facts it needed.
 */
#ifndef BK_ENGINE_H
#define BK_ENGINE_H

#include "base/base.h"

typedef int32_t bk_var; /* index of a variable, from 0 */

enum {
    BK_CONSTANT = -1, /* as a var: the constant `plus` alone */
    BK_ALWAYS = -1,   /* as `present`: always there */
    BK_NO_FACT = -1,
    BK_FAR = 1 << 29 /* no value or sum may reach +-BK_FAR */
};

/* var + plus, or the constant plus when var is BK_CONSTANT. */
typedef struct bk_point {
    bk_var var;
    int32_t plus;
} bk_point;

/* var >= value, or var <= value. */
typedef struct bk_bound {
    bk_var var;
    int32_t value;
    bool at_least;
} bk_bound;

/* Amount needed during [from, to); nothing when to <= from, or when `present`
 * (a variable of domain 0..1) is 0. from and to on the same variable make a
 * fixed length, and get the strongest treatment. */
typedef struct bk_use {
    bk_point from, to;
    int32_t amount; /* >= 0 */
    bk_var present; /* or BK_ALWAYS */
} bk_use;

/* [from, to) that an interval may not overlap; holes of one call are sorted by
 * from and may overlap each other. */
typedef struct bk_hole {
    int32_t from, to;
    int fact;
} bk_hole;

typedef struct bk_problem bk_problem;

bk_problem *bk_problem_new(bk_arena *arena);

/* A variable of domain least..most. */
bk_var bk_problem_var(bk_problem *problem, int32_t least, int32_t most);

/* When every bound of `when` holds: to >= from + least. `when` may be NULL with
 * n = 0. from or to may be BK_CONSTANT (value 0). */
void bk_problem_lag(bk_problem *problem, bk_var from, bk_var to, int32_t least,
                    const bk_bound *when, size_t n, int fact);

/* At every time, the amounts of the uses present there sum to at most
 * `capacity`. A use whose amount alone is over the capacity makes the problem
 * infeasible (if it has to be present with a positive length). */
void bk_problem_cumulative(bk_problem *problem, int32_t capacity, const bk_use *uses, size_t n,
                           int fact);

/* The interval [from, to), when not empty, overlaps none of the holes. The hole
 * array is not copied: many intervals may share one; it outlives the problem. */
void bk_problem_holes(bk_problem *problem, bk_point from, bk_point to, const bk_hole *holes,
                      size_t n);

/* bottom = the least of the points. n >= 1. */
void bk_problem_minimum(bk_problem *problem, bk_var bottom, const bk_point *points, size_t n,
                        int fact);

/* At least one of the bounds holds. */
void bk_problem_clause(bk_problem *problem, const bk_bound *bounds, size_t n, int fact);

/* A new objective level, less important than those before it; its sum starts at
 * 0. A problem without levels asks only for feasibility. */
int bk_problem_level(bk_problem *problem);

/* Adds weight * var (weight may be negative), or weight when `bound` holds
 * (weight > 0), to the sum of a level. */
void bk_problem_cost(bk_problem *problem, int level, bk_var var, int32_t weight);
void bk_problem_cost_if(bk_problem *problem, int level, bk_bound bound, int32_t weight);

size_t bk_problem_vars(const bk_problem *problem);

/* --------------------------------------------------------------- checking */

enum bk_broken_kind {
    BK_BROKEN_DOMAIN,
    BK_BROKEN_LAG,
    BK_BROKEN_CUMULATIVE,
    BK_BROKEN_HOLE,
    BK_BROKEN_MINIMUM,
    BK_BROKEN_CLAUSE
};

/* One constraint that an assignment breaks. */
typedef struct bk_broken {
    enum bk_broken_kind kind;
    int fact; /* of the constraint (of the hole, for a hole) */
    bk_var a,
        b;        /* lag: from and to; hole: the interval's variables; domain: a; cumulative: the
                     variables of one use at the overloaded time (one bk_broken for each use there) */
    int32_t time; /* cumulative: the first overloaded time */
} bk_broken;

/* Calls `each` for every constraint that `value` (one for each variable) breaks,
 * in the order the constraints were added; stops when it returns false. Returns
 * true when nothing is broken. Plain evaluation: no solving, no memory. */
bool bk_problem_check(const bk_problem *problem, const int32_t *value,
                      bool (*each)(void *context, const bk_broken *broken), void *context);

/* Which constraints speak of each variable, for bk_problem_check_near. Made from
 * the problem as it is now; lives in the arena. */
typedef struct bk_check_index bk_check_index;
bk_check_index *bk_check_index_new(bk_arena *arena, const bk_problem *problem);

/* bk_problem_check of an assignment that was valid before the `count` variables of
 * `changed` (each once) got new values: looks only at what they can have broken. */
bool bk_problem_check_near(const bk_problem *problem, const bk_check_index *index,
                           const int32_t *value, const bk_var *changed, size_t count,
                           bool (*each)(void *context, const bk_broken *broken), void *context);

/* Sum of a level under an assignment. */
int64_t bk_problem_sum(const bk_problem *problem, int level, const int32_t *value);

/* --------------------------------------------------------------- solving */

enum bk_status {
    BK_OPTIMAL,    /* value is best at every level, proved */
    BK_FEASIBLE,   /* value is valid; the limit came before the proof */
    BK_INFEASIBLE, /* no assignment exists, proved */
    BK_UNKNOWN,    /* the limit came before any answer; or what was found out is only that no answer
                      has a sum below BK_FAR */
    BK_WRONG       /* an internal error: the engine's own check, or the caller's, refused the answer
                      that was found. There is no value, and nothing else of the result means
                      anything */
};

/* How far a solve is. */
typedef struct bk_standing {
    const int32_t *value;    /* the best so far, one for each variable; NULL: there is none yet */
    int level;               /* the objective level that it is at; -1 while there is no value, or
                                the problem has none */
    int64_t best, bound;     /* the sum of that level under value, and what it cannot go below */
    int64_t conflicts, work; /* spent since it was told last */
} bk_standing;

/* Somebody who looks on, at solves one after the other, and may end them all. `look` is called now
 * and then, counted in steps; it says false to end, and is then called no more. */
typedef struct bk_onlooker bk_onlooker;
struct bk_onlooker {
    bool (*look)(bk_onlooker *onlooker, const bk_standing *standing);
    bool over; /* it said so */
};

static inline bool bk_is_called_off(const bk_onlooker *onlooker)
{
    return onlooker && onlooker->over;
}

typedef struct bk_solve_options {
    int64_t conflicts;    /* limit in conflicts over all levels, but for a first answer at least
                             2,000; <= 0: none */
    int64_t work;         /* limit in elementary steps of propagation (a task looked at is one), so
                             that large problems end too, but for a first answer at least
                             100,000,000 and 2,000 a variable; <= 0: none */
    const bool *dropped;  /* by fact: constraints of a dropped fact are absent; NULL: none */
    size_t facts;         /* length of `dropped` (and number of facts, for explain) */
    bool explain;         /* on INFEASIBLE name the facts used; slower */
    int64_t shrink;       /* explain: > 0: shrink the core until no fact of it can be spared, with
                             at most this many conflicts for each attempt */
    const int *patience;  /* explain: by fact, 0..9: facts of less patience are left out first where
                             there is a choice; NULL: all alike */
    bool first_only;      /* stop at the first valid assignment (FEASIBLE unless proved) */
    const int32_t *hint;  /* a value for each variable to try first, valid or not; or NULL */
    bool (*stop)(void *); /* asked now and then; true ends the search. For benchmarks: the
                             library itself limits steps, never seconds. NULL: never */
    void *stop_context;
    bool (*accept)(void *, const int32_t *value); /* the caller's own check of the answer, beside
                                 the engine's: false makes it BK_WRONG. NULL: none */
    void *accept_context;
    bk_onlooker *onlooker; /* or NULL: nobody. What only looks on changes nothing */
} bk_solve_options;

typedef struct bk_result {
    enum bk_status status;
    int32_t *value; /* one for each variable; NULL when there is none */
    int64_t *sum;   /* each level's sum under value; NULL when there is none */
    int64_t *bound; /* each level's proved lower bound, given the sums reached at the levels
                       before it (so bound == sum at each level means OPTIMAL) */
    int64_t conflicts;
    bool complete; /* the search ended by proof, not by limit */
    int *core;     /* INFEASIBLE with explain: the facts that together fit no assignment,
                      ascending; irreducible only with `shrink` */
    size_t core_count;
    bool core_irreducible; /* shrink: every fact was tried without, and is needed */
} bk_result;

/* Solves. Deterministic: the same problem and options give the same result. The
 * result lives in `arena`; the solver's own memory is freed before return, also
 * when memory runs out (which then jumps as the arena does). */
bk_result bk_solve(bk_arena *arena, const bk_problem *problem, const bk_solve_options *options);

#endif
