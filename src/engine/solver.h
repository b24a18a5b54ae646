/* The state of one solve, and the contracts between the engine's parts.
 *
 * Every variable x has two sides: side 2x stands for x itself and side 2x+1 for
 * -x. Each side has a lower bound that search and propagation raise, so that
 * "x >= 3" and "x <= 5" are both of the form "side >= value", and one routine
 * serves both directions. A literal is such a statement; its negation is a
 * literal on the other side. No literal needs an object of its own: truth is
 * read off the bounds, whatever the size of the domain.
 *
 * Every raise of a bound is an event on the trail with its reason. A reason is
 * spelled out as literals only when conflict analysis asks (bk_explain).
 *
 * Variable 0 is the constant zero; the problem's variable v is v + 1.
 */
#ifndef BK_ENGINE_SOLVER_H
#define BK_ENGINE_SOLVER_H

#include "engine/problem.h"

#define BK_VECTOR(type)                                                                            \
    struct {                                                                                       \
        type *at;                                                                                  \
        int32_t count, room;                                                                       \
    }

/* A slot at the end of a vector. */
#define BK_ADD(solver, vector)                                                                     \
    ((vector).at = (vector).count < (vector).room                                                  \
                       ? (vector).at                                                               \
                       : bk_solver_grow((solver), (vector).at, sizeof *(vector).at, &(vector).room), \
     &(vector).at[(vector).count++])

typedef struct bk_literal {
    int32_t side, value; /* side >= value */
} bk_literal;

typedef BK_VECTOR(bk_literal) bk_literals;
typedef BK_VECTOR(int32_t) bk_ints;

enum bk_reason_kind {
    BK_BY_DECISION,
    BK_BY_CLAUSE,      /* index: the clause */
    BK_BY_LAG,         /* index: the side that pushed, aux: by how much */
    BK_BY_CONDITIONAL, /* index: the conditional lag; aux: 0 forward, 1 backward, 2+k: condition k fails */
    BK_BY_CUMULATIVE,  /* index: the use, aux: the overloaded time */
    BK_BY_HOLE,        /* index: the interval, aux: the hole */
    BK_BY_MINIMUM,     /* index: the minimum, aux: -1 for the bottom, else the point */
    BK_BY_LINEAR,      /* index: the linear constraint, aux: the term */
    BK_BY_ENERGY,      /* index: the use, aux: the window in `windows` */
    BK_BY_COMPLETIONS, /* index: the sum */
    BK_BY_LIST         /* index, aux: slice of `listed`: the literals themselves */
};

typedef struct bk_reason {
    enum bk_reason_kind kind;
    int32_t index, aux;
} bk_reason;

typedef struct bk_event {
    int32_t side, value, old;
    int32_t previous; /* event before this on the same side, or -1 */
    int32_t level;
    int32_t lag_depth; /* lags in a row that led here: more than there are sides is a cycle */
    bk_reason reason;
} bk_event;

typedef struct bk_watch {
    int32_t clause;
    bk_literal blocker;
} bk_watch;

/* The watched literals that are false once their side reaches the threshold. */
typedef struct bk_threshold {
    int32_t value;
    BK_VECTOR(bk_watch) watches;
} bk_threshold;
typedef BK_VECTOR(bk_threshold) bk_thresholds;

/* Clause words: size, learned flag, distance (number of levels), activity, then
 * the literals. A clause is known by the index of its first word. */
enum { BK_CLAUSE_HEAD = 4 };

typedef struct bk_arc {
    int32_t to, weight; /* side `to` >= this side + weight */
} bk_arc;

typedef struct bk_conditional {
    int32_t from, to, weight;  /* sides */
    int32_t first, when_count; /* in `when` */
} bk_conditional;

typedef struct bk_task {
    int32_t from, from_plus, to, to_plus; /* even sides */
    int32_t amount;
    bk_literal present; /* side -1: always */
    int32_t cumulative;
} bk_task;

typedef struct bk_cumulative {
    int32_t capacity;
    int32_t first, count; /* in `tasks` */
    bk_literal fact;      /* side -1: always */
    int32_t table;        /* holes that all its tasks keep clear of, or -1 */
    int32_t patience, pause; /* of energy reasoning: fruitless runs are followed by a pause */
} bk_cumulative;

/* Scratch of energy reasoning, for the largest cumulative. */
typedef struct bk_energy {
    int32_t *task, *first_start, *last_start, *first_end, *last_end, *open, *by_start, *by_end;
    int64_t *sure_at_start, *sure_at_end;
    int32_t room; /* tasks they are large enough for */
} bk_energy;

typedef struct bk_hole_table {
    const bk_hole *holes; /* the caller's array */
    size_t given;
    int32_t first, count; /* in hole_from, hole_to, hole_reach, hole_fact */
} bk_hole_table;

typedef struct bk_interval {
    int32_t from, from_plus, to, to_plus;
    int32_t table;
} bk_interval;

typedef struct bk_minimum {
    int32_t bottom;
    int32_t first, count; /* in `points` */
    bk_literal fact;
} bk_minimum;

typedef struct bk_side_point {
    int32_t side, plus;
} bk_side_point;

typedef struct bk_term {
    int32_t side, weight; /* weight > 0 */
} bk_term;

/* Sum of weight * side over the terms is at most `most`. */
typedef struct bk_linear {
    int64_t most;
    int64_t least;   /* the sum at the bounds seen so far */
    int64_t largest; /* the largest weight * range of a term: no work while the slack is above */
    int32_t first, count; /* in `terms` */
} bk_linear;

typedef struct bk_linear_use {
    int32_t linear, weight;
} bk_linear_use;
typedef BK_VECTOR(bk_linear_use) bk_linear_uses;

/* 1 when one start goes before the other, of tasks that cannot run at once. */
typedef struct bk_order {
    int32_t variable, one, other;
} bk_order;

/* A share of a weighted sum: `weight` times the side's bound, and a task that runs
 * from side + plus for `length`, which weighs `rate` for each unit of its energy. */
typedef struct bk_part {
    int32_t side, plus, length;
    int32_t energy;       /* length times amount */
    int64_t weight, rate; /* in units of 1 / BK_COMPLETION_UNIT */
} bk_part;
enum { BK_COMPLETION_UNIT = 1 << 20 };

/* `side` is at least the sum of the parts, whose tasks share a resource. */
typedef struct bk_completions {
    int32_t side;
    int32_t first, count; /* in `parts` */
    int32_t tasks;        /* the first so many of them, while it is set up */
    int32_t table;        /* holes that all its tasks keep clear of, or -1 */
    int64_t places;       /* the resource's capacity */
    int64_t constant;     /* in units of 1 / (2 places BK_COMPLETION_UNIT) */
} bk_completions;

/* Scratch of such sums, by part. */
typedef struct bk_relaxation {
    int32_t *least, *root, *event, *order, *open, *left;
    int32_t room;
} bk_relaxation;

enum bk_propagator_kind {
    BK_RUN_LINEAR,
    BK_RUN_HOLES,
    BK_RUN_MINIMUM,
    BK_RUN_CUMULATIVE,
    BK_RUN_ENERGY,
    BK_RUN_COMPLETIONS
};
enum { BK_PRIORITIES = 3 };

typedef struct bk_propagator {
    enum bk_propagator_kind kind;
    int32_t index;
    bool queued;
} bk_propagator;

/* A statement x >= value that learned clauses speak of; search branches on the
 * most active. */
typedef struct bk_atom {
    int32_t side, value; /* an even side */
    int32_t heap;        /* place in the heap, or -1 */
    double activity;
} bk_atom;

typedef struct bk_block bk_block;
struct bk_lists;

/* Branching order: starts and choices that go with one, other booleans, what
 * follows from the rest (facts, objectives). */
enum { BK_STARTS, BK_BOOLEANS, BK_REST, BK_KINDS };

typedef struct bk_level {
    int32_t trail, popped, windows;
    int32_t open[BK_KINDS];
} bk_level;

typedef struct bk_solver {
    bk_arena *arena;
    bk_block *blocks; /* all memory of this solver */
    const bk_problem *problem;
    const bk_solve_options *options;

    /* bounds, by side */
    int32_t sides, sides_room;
    int32_t *bound, *last;
    BK_VECTOR(bk_event) trail;
    int32_t head; /* events before this are propagated */
    BK_VECTOR(bk_level) levels; /* levels.count - 1 is the current level; level 1 holds assumptions */

    /* constraints */
    bk_ints clauses;
    int32_t wasted; /* words of deleted clauses */
    bk_ints learned;
    bk_thresholds *thresholds; /* by side, ascending */
    int32_t *arc_first;       /* by side of the loaded variables, one more at the end */
    bk_arc *arcs;
    int32_t arc_sides;
    BK_VECTOR(bk_conditional) conditionals;
    bk_literals when;
    bk_ints *conditional_at; /* by side */
    BK_VECTOR(bk_task) tasks;
    BK_VECTOR(bk_cumulative) cumulatives;
    bk_ints by_start, by_end;         /* tasks of each cumulative, nearly sorted */
    bk_ints sure_from, sure_to;       /* by task: where it surely runs */
    BK_VECTOR(bk_side_point) profile; /* scratch: side = time, plus = height */
    BK_VECTOR(bk_interval) intervals;
    BK_VECTOR(bk_hole_table) tables;
    bk_ints hole_from, hole_to, hole_reach;
    bk_literals hole_fact;
    BK_VECTOR(bk_minimum) minimums;
    BK_VECTOR(bk_side_point) points;
    BK_VECTOR(bk_linear) linears;
    BK_VECTOR(bk_term) terms;
    bk_linear_uses *linear_at; /* by side */
    bk_literals listed;
    bk_literals windows; /* of energy reasons: side = from, value = to; cut back with the trail */
    BK_VECTOR(int64_t) profile_energy;
    bk_energy energy;
    BK_VECTOR(bk_order) orders;
    BK_VECTOR(bk_completions) completions;
    BK_VECTOR(bk_part) parts;
    bk_relaxation relaxation;

    BK_VECTOR(bk_propagator) propagators;
    bk_ints *wakes; /* by side: propagators */
    bk_ints queue[BK_PRIORITIES];
    int32_t queue_head[BK_PRIORITIES];

    /* conflict and analysis */
    bk_literals conflict; /* literals that are true and cannot be so together */
    bk_literals why;      /* scratch of bk_explain */
    int32_t *need_value, *need_event; /* by side; event -1: not needed */
    int32_t *need_lock;   /* by side: stamp of the minimisation that must keep it */
    bk_ints needed;       /* sides */
    bk_literals clause;   /* the learned clause, asserting literal first */
    bk_literals core;     /* assumptions that failed together */
    bk_ints memo_stamp, memo_good, memo_bad; /* by event: largest value proved redundant, least failed */
    int32_t stamp;
    bk_ints level_stamp;
    int32_t level_now;

    /* branching */
    BK_VECTOR(bk_atom) atoms;
    bk_ints heap, popped;
    int32_t *atom_table;
    int32_t atom_table_size;
    double atom_step;
    float clause_step;
    unsigned char *kind;  /* by variable */
    int32_t *owner;       /* by variable: a choice waits until this start is fixed; or 0 */
    /* Variables by kind; those before open_count include all that are not fixed.
     * Fixed ones move behind, and come back when the count does on backtracking. */
    bk_ints open[BK_KINDS];
    int32_t open_count[BK_KINDS];
    int64_t *rate;        /* by variable: what a level's sum gains by an early start, or 0 */
    bool dispatch;        /* branch by start and rate alone */
    int32_t *guide;       /* by variable: value to lean to */
    bool guided;

    /* results */
    int32_t *found;    /* by variable: what the last search found */
    int32_t *solution; /* by variable: the best so far */
    bool impossible;
    bool expand_base; /* one assumption only: express level 1 by it alone */
    int32_t probe;    /* the next condition to probe; INT32_MAX: done */
    int64_t conflicts, decisions, work;
    int64_t limit; /* in conflicts; INT64_MAX: none */
    int64_t work_limit; /* in work; INT64_MAX: none */
    bool stopped;
    int64_t reduce_at; /* learned clauses that call for a reduction */
    int32_t width;     /* of neighbourhoods, in thousandths of the whole */
    uint64_t random;   /* state of the generator of neighbourhoods */
} bk_solver;

/* ---------------------------------------------------------------- memory.c */

/* Room for at least one more (doubling); zeroed beyond the old part. Memory that
 * runs out frees the solver's blocks and fails its arena. */
void *bk_solver_grow(bk_solver *solver, void *old, size_t size, int32_t *room);
/* `count` zeroed elements. */
void *bk_solver_new(bk_solver *solver, size_t count, size_t size);
/* The array with room for `count` elements, of which `had` are kept. */
void *bk_solver_resize(bk_solver *solver, void *old, size_t had, size_t count, size_t size);
void bk_solver_release(bk_solver *solver, void *memory);
void bk_solver_free(bk_solver *solver);

/* ---------------------------------------------------------------- random.c */

/* A number below `most`, the same ones in every run. */
uint32_t bk_random_below(bk_solver *solver, uint32_t most);

/* ----------------------------------------------------------------- trail.c */

static inline bk_literal bk_not(bk_literal literal)
{
    return (bk_literal){literal.side ^ 1, 1 - literal.value};
}

static inline bool bk_is_true(const bk_solver *solver, bk_literal literal)
{
    return literal.side < 0 || solver->bound[literal.side] >= literal.value;
}

static inline bool bk_is_false(const bk_solver *solver, bk_literal literal)
{
    return literal.side >= 0 && solver->bound[literal.side ^ 1] >= 1 - literal.value;
}

static inline int32_t bk_level_now(const bk_solver *solver)
{
    return solver->levels.count - 1;
}

static inline int32_t bk_least(const bk_solver *solver, int32_t even)
{
    return solver->bound[even];
}

static inline int32_t bk_most(const bk_solver *solver, int32_t even)
{
    return -solver->bound[even ^ 1];
}

/* Makes a new variable of domain least..most; only at level 0. Returns its
 * number. */
int32_t bk_solver_var(bk_solver *solver, int32_t least, int32_t most, int kind);
/* Branches on `variable` as another kind; at level 0. */
void bk_solver_kind(bk_solver *solver, int32_t variable, int kind);

/* Raises a bound. False on a conflict, which is then in solver->conflict. */
bool bk_raise(bk_solver *solver, bk_literal literal, bk_reason reason);
void bk_new_level(bk_solver *solver);
void bk_backtrack(bk_solver *solver, int32_t level);
/* The bound of a side just before an event. */
int32_t bk_bound_before(const bk_solver *solver, int32_t side, int32_t event);
/* The event that made a true literal true, or -1 when it holds at the root. */
int32_t bk_event_of(const bk_solver *solver, bk_literal literal);

/* ------------------------------------------------------------- propagate.c */

/* To the fixed point. False on a conflict. */
bool bk_propagate(bk_solver *solver);
/* Runs everything again, as after loading. */
void bk_wake_all(bk_solver *solver);
int32_t bk_propagator_new(bk_solver *solver, enum bk_propagator_kind kind, int32_t index);
void bk_wake(bk_solver *solver, int32_t propagator);
/* Adds to solver->why the literals, all true before the event (trail.count for
 * "now"), that imply `literal`, which `reason` gave. */
void bk_explain(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

/* ----------------------------------------------- one file a constraint kind */

bool bk_propagate_lags(bk_solver *solver, int32_t side, int32_t event);
/* A lag under conditions (side `to` >= side `from` + least when all of `when` are
 * true), which is not propagated yet. */
void bk_conditional_new(bk_solver *solver, int32_t from, int32_t to, int32_t least,
                        const bk_literal *when, int32_t count);
bool bk_propagate_conditional(bk_solver *solver, int32_t index);
void bk_explain_conditional(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

/* A task of a fixed length that is always there. */
static inline bool bk_is_plain(const bk_task *task)
{
    return task->from == task->to && task->present.side < 0;
}

/* A task at the end of those there are. */
void bk_task_new(bk_solver *solver, bk_task task);
bool bk_propagate_cumulative(bk_solver *solver, int32_t index);
void bk_explain_cumulative(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

/* Sure heights into solver->profile; returns the peak. */
int32_t bk_build_profile(bk_solver *solver, const bk_cumulative *cumulative);

/* Makes the scratch of energy reasoning fit for cumulatives of so many tasks. */
void bk_energy_room(bk_solver *solver, int32_t tasks);
bool bk_propagate_energy(bk_solver *solver, int32_t index);
void bk_explain_energy(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

/* Makes the scratch fit for sums of so many parts. */
void bk_completions_room(bk_solver *solver, int32_t parts);
/* A lower bound of the sum, in the units of its constant, when each part's side is at
 * least least[part]. */
int64_t bk_completions_least(bk_solver *solver, const bk_completions *sum, const bk_part *parts,
                             const int32_t *least);
bool bk_propagate_completions(bk_solver *solver, int32_t index);
void bk_explain_completions(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

/* The first hole of the table that reaches beyond `time`, itself or by one before it; the
 * end of the table when there is none. */
int32_t bk_first_hole_beyond(const bk_solver *solver, const bk_hole_table *table, int32_t time);
bool bk_propagate_holes(bk_solver *solver, int32_t index);
void bk_explain_hole(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

bool bk_propagate_minimum(bk_solver *solver, int32_t index);
void bk_explain_minimum(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

/* A new linear constraint, only at level 0. */
int32_t bk_linear_new(bk_solver *solver, const bk_term *terms, int32_t count, int64_t most);
bool bk_propagate_linear(bk_solver *solver, int32_t index);
void bk_explain_linear(bk_solver *solver, bk_literal literal, bk_reason reason, int32_t event);

/* --------------------------------------------------------------- clauses.c */

/* Adds a clause of the problem at level 0. False when it makes it impossible. */
bool bk_clause_given(bk_solver *solver, const bk_literal *literals, int32_t count);
/* Adds solver->clause as learned and asserts its first literal. */
bool bk_clause_learned(bk_solver *solver, int32_t distance);
bool bk_propagate_clauses(bk_solver *solver, int32_t side, int32_t old);
void bk_clauses_reduce(bk_solver *solver);
void bk_clause_bump(bk_solver *solver, int32_t clause);

/* --------------------------------------------------------------- analyze.c */

/* Learns from solver->conflict: fills solver->clause (asserting literal first),
 * sets *back to the level to return to and *distance. False when the conflict
 * rests on level 0 and 1 alone; then solver->core holds the assumptions. */
bool bk_analyze(bk_solver *solver, int32_t *back, int32_t *distance);
/* The assumptions that make a false assumption false. */
void bk_analyze_assumption(bk_solver *solver, bk_literal failed);

/* ---------------------------------------------------------------- branch.c */

/* The next decision. False when every variable is fixed. */
bool bk_decide(bk_solver *solver, bk_literal *decision);
void bk_atoms_bump(bk_solver *solver, bk_literal literal, bool make);
void bk_atoms_decay(bk_solver *solver);
void bk_atoms_restore(bk_solver *solver, int32_t popped);
/* Forgets atoms that no kept clause speaks of. */
void bk_atoms_collect(bk_solver *solver);

/* ---------------------------------------------------------------- search.c */

enum bk_outcome { BK_FOUND, BK_REFUTED, BK_LIMIT };

/* Searches under assumptions until an answer or until `budget` more conflicts.
 * FOUND: solver->found. REFUTED: solver->core (empty: impossible outright). */
enum bk_outcome bk_search(bk_solver *solver, const bk_literal *assumptions, int32_t count,
                          int64_t budget);
/* True once the work is done or the caller wants an end; then for good. */
bool bk_stopped(bk_solver *solver);
/* Takes what was found as the best solution. */
void bk_keep_solution(bk_solver *solver);
/* Raises a bound for good. False (and solver->impossible) when nothing is left. */
bool bk_raise_root(bk_solver *solver, bk_literal literal);

/* ------------------------------------------------------------- objective.c */

/* What a level minimises: offset + side; `side` is a variable of its own above
 * the sum of the terms when there are several. */
typedef struct bk_objective {
    int32_t side; /* -1: nothing but the offset */
    int64_t offset;
    BK_VECTOR(bk_term) terms;
} bk_objective;

/* Makes the level's objective variable; at level 0, before any search. */
bk_objective bk_objective_new(bk_solver *solver, int level);

/* ----------------------------------------------------------------- apart.c */

/* Which tasks cannot run at once, by starts (variables), at the root. */
typedef struct bk_apart {
    int32_t count; /* of starts */
    int32_t *far;  /* [i * count + j]: j is always at least this much after i, or BK_NO_LEAD */
    int32_t *lead; /* [i * count + j]: if i goes before j, j is at least this much after i; or
                      BK_NO_LEAD: they may overlap, or their order is settled */
} bk_apart;
enum { BK_NO_LEAD = INT32_MIN / 4 };

/* Adds what follows from tasks that cannot run at once: order variables, cliques,
 * and bounds of the levels that are sums. Once, at the root, after loading; small problems only. False when it
 * shows the problem to be impossible. */
bool bk_keep_apart(bk_solver *solver, const bk_objective *objectives, int levels);

/* ---------------------------------------------------------------- orders.c */

/* A 0/1 variable for the order of each two tasks that cannot run at once, with a
 * lag for each order. */
void bk_add_orders(bk_solver *solver, const bk_apart *apart);
/* Orders as the starts of solver->found have them, when these come from elsewhere. */
void bk_orders_follow(bk_solver *solver);

/* --------------------------------------------------------------- cliques.c */

/* Sets of tasks of which no two can run at once, each as a resource of one place
 * for energy reasoning. */
void bk_add_cliques(bk_solver *solver, const bk_apart *apart);

/* --------------------------------------------------------- shift_weights.c */

/* Bounds a level that is a sum by the resource that does it best. */
void bk_add_completions(bk_solver *solver, const bk_apart *apart, const bk_objective *objective);

/* ----------------------------------------------------------------- probe.c */

/* Decides the next condition of a lag that is open, on a level of its own. False
 * when all were tried. */
bool bk_next_probe(bk_solver *solver);

/* ----------------------------------------------------------------- solve.c */

/* A solver with nothing in it. */
void bk_solver_begin(bk_solver *solver, bk_arena *arena, const bk_problem *problem,
                     const bk_solve_options *options);

/* ------------------------------------------------------------------ core.c */

/* Room for each fact, made before the solver holds memory. */
typedef struct bk_core_room {
    bool *used, *dropped;
    int *facts;
} bk_core_room;

/* The facts that an impossible problem cannot be without, in room->used, shrunk as the
 * options ask. `easy`: it was refuted with next to no search. */
void bk_name_core(bk_solver *solver, bk_arena *arena, const bk_problem *problem,
                  const bk_solve_options *options, const bk_core_room *room, bk_result *result,
                  bool easy);

/* ---------------------------------------------------------------- shrink.c */

/* One search under an assumption for each fact still `used` (by fact; fact f is
 * variable first_fact + f). REFUTED: `used` is what the refutation needed. */
enum bk_outcome bk_search_facts(bk_solver *solver, bool *used, int32_t first_fact, int64_t budget);

/* Shrinks a core (`used`, by fact; fact f is variable first_fact + f) as the
 * options ask. True when every fact left was shown to be needed. */
bool bk_shrink_core(bk_solver *solver, bool *used, int32_t first_fact);

/* ------------------------------------------------------------- minimise.c */

/* Minimises and fixes the level at what was reached. Writes the proved lower
 * bound of the sum. False when the limit came first. */
bool bk_minimise(bk_solver *solver, int level, bk_objective *objective, struct bk_lists *lists,
                 int64_t *bound);

/* --------------------------------------------------------------- cores.c */

/* The lower bound of a sum, raised core by core: terms that cannot all stay at
 * their least are replaced, in equal parts, by one new variable above their sum
 * (Andres, Kaufmann, Matheis, Schaub, "Unsatisfiability-based optimization in
 * clasp", ICLP 2012; Morgado, Dodaro, Marques-Silva, CP 2014: OLL). */
typedef struct bk_cores {
    BK_VECTOR(bk_term) terms;
    bk_ints term_of; /* by side: term + 1 */
} bk_cores;

void bk_cores_begin(bk_solver *solver, bk_cores *cores, const bk_objective *objective);
/* Goes on for a number of conflicts. FOUND: the solution is the best there is,
 * or (REFUTED: the root has no better than the solutions seen). */
enum bk_outcome bk_cores_step(bk_solver *solver, bk_cores *cores, const bk_objective *objective,
                              int64_t budget);

/* -------------------------------- list_schedule.c, list_search.c */

/* A search over activity lists, for problems of lags and cumulatives alone;
 * NULL for others. To be made before the first clause is learned. */
struct bk_lists *bk_lists_new(bk_solver *solver, const bk_objective *objective);
/* Tries so many schedules; true when solver->found is one with the objective's
 * side below `best`. */
bool bk_lists_improve(bk_solver *solver, struct bk_lists *lists, int32_t best, int32_t schedules);
/* Lets the lists take up solver->found, which was found elsewhere. True when
 * justification made it better still: solver->found is then that. */
bool bk_lists_offer(bk_solver *solver, struct bk_lists *lists);
/* Makes some list whose schedule is as good as the solution the solution, so that
 * neighbourhoods start from elsewhere. Returns its variables' starts when all are as
 * late as the list allows, until the next call; NULL when there is none. */
const int32_t *bk_lists_vary(bk_solver *solver, struct bk_lists *lists);

/* -------------------------------------------------------------- improve.c */

/* Looks for something better than the solution near it: in one neighbourhood
 * after another all but some variables may only go down; from `late`, by variable, where it
 * is not NULL and they lie behind the free ones. Calls for at most `budget` conflicts;
 * true when a better solution was found. */
bool bk_improve(bk_solver *solver, const bk_objective *objective, const int32_t *late, int64_t best,
                int64_t budget);

/* ------------------------------------------------------------------ load.c */

/* Reads the problem. With `facts`, variable first_fact + f says that fact f
 * holds, and every constraint with a fact depends on it. False when impossible. */
bool bk_load(bk_solver *solver, bool facts, int32_t *first_fact);

#endif
