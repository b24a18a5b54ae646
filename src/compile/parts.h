/* The parts of the compiler. Private to src/compile. */
#ifndef BK_COMPILE_PARTS_H
#define BK_COMPILE_PARTS_H

#include "compile/compile.h"

/* A time at table: adjoining ones apart, overlapping ones as one. */
typedef struct bk_table {
    bk_instant from, to;
    size_t dish; /* the first that is served then */
} bk_table;

/* One compilation on its way: what the parts tell each other. */
typedef struct bk_builder {
    bk_arena *arena;
    const bk_plan *plan;
    bk_compile_options options;
    bk_compiled *out;
    int32_t span;   /* T - earliest */
    int32_t past;   /* T - start of what began first; no less than span */
    int32_t leeway; /* droppable: how far beyond the span a stage may go */
    bk_hole *hands_holes, *absent_holes;
    size_t hands_hole_count, absent_hole_count;
    bk_table *tables;
    size_t table_count;
    int margin_switch; /* 0/1 variable: the margin counts; or -1 */
    bk_var *timed;     /* droppable, by stage: 0/1 variable: its time counts; BK_ALWAYS: none */
    bk_heats heats;    /* by stage: what its oven may be set to */
    size_t *tied;      /* by stage: group of stages that cannot drift apart */
} bk_builder;

/* Users of a resource, as they are gathered. */
typedef struct bk_uses {
    bk_use *items;
    size_t count, room;
} bk_uses;

/* How long before it starts a stage's oven has to be on; 0 where it is in none, or off. */
int32_t bk_preheat_before(const bk_builder *b, size_t stage);

/* How long after the earliest it can start, if oven `number` (from 1) is its own: that, or
 * less where that oven is hot already. */
int32_t bk_oven_ready_after(const bk_builder *b, size_t stage, int number);

/* What a plan counts fits: reading limits its span, its durations and its amounts. */
static inline int32_t bk_narrow(int64_t count)
{
    return (int32_t)count;
}

/* T - serve of a dish, put off or not. */
static inline bk_point bk_serve_of(const bk_builder *b, const bk_dish *dish)
{
    return (bk_point){b->out->put_off[dish - b->plan->dishes],
                      bk_narrow(b->out->mirror - dish->serve)};
}

/* By how much a serve may be put off at most. */
static inline int64_t bk_put_off_most(const bk_builder *b)
{
    return b->options.delay_most > b->options.late_most ? b->options.delay_most
                                                        : b->options.late_most;
}

/* T - end and T - start of a stage. */
static inline bk_point bk_end_of(const bk_builder *b, size_t stage)
{
    return (bk_point){b->out->stage_end[stage], 0};
}

static inline bk_point bk_start_of(const bk_builder *b, size_t stage)
{
    return b->out->stage_start[stage];
}

/* T - the minute from which on a stage counts: what has begun, from now. */
static inline bk_point bk_counts_from(const bk_builder *b, size_t stage)
{
    return bk_has_begun(&b->plan->stages[stage]) ? (bk_point){BK_CONSTANT, b->span}
                                                 : bk_start_of(b, stage);
}

/* It has ended: nothing that comes is in its way. */
static inline bool bk_is_over(const bk_builder *b, size_t stage)
{
    const bk_stage *of = &b->plan->stages[stage];
    return bk_has_begun(of) && of->began + of->planned <= b->plan->now;
}

/* ------------------------------------------------- compile: for every part */

/* A new fact of the problem; its number. */
int bk_builder_fact(bk_builder *b, enum bk_fact_kind kind, bk_place place);

/* The fact just added: for filling in what it speaks of. */
bk_fact *bk_builder_fact_at(bk_builder *b, int number);

/* to >= from + least, for points. */
void bk_builder_lag(bk_builder *b, bk_point from, bk_point to, int64_t least, int fact);

/* The value of a variable that only the objective looks at, with which it asks nothing of
 * the others. */
void bk_builder_at_rest(bk_builder *b, bk_var var, int32_t value);

/* The order of two stages, for both to know. */
void bk_builder_order(bk_builder *b, size_t one, size_t two, bk_order order);

/* ------------------------------------------------- stages: one by one */

/* The hours that the cooks are not there, mirrored, as holes with a fact each. */
void bk_build_windows(bk_builder *b);

/* Each stage's start and end. Without `droppable` also serve-by, margin and the
 * plan's earliest, as the ends of their ranges. */
void bk_build_stage_variables(bk_builder *b);

/* With `droppable`: serve-by, margin and the plan's earliest as facts. */
void bk_build_droppable_limits(bk_builder *b);

/* Of stage i: its waits, the holes it keeps clear of, and its checks, whose place
 * in check_end is *next. */
void bk_build_links(bk_builder *b, size_t i);
void bk_build_stage_windows(bk_builder *b, size_t i);
void bk_build_checks(bk_builder *b, size_t i, size_t *next);

/* ------------------------------------------------- table: the cooks eat */

/* Fills b->tables. */
void bk_find_tables(bk_builder *b);

/* One of them as a hole, with its fact. */
bk_hole bk_table_hole(bk_builder *b, size_t table);

/* ------------------------------------------------- begins: touches */

/* The moments at which somebody has to be there for stage i, though it needs no hands
 * throughout: its start, where it does not begin by itself; its end in an oven. At most
 * two. */
size_t bk_touches_of(const bk_builder *b, size_t i, bk_point touches[2]);

/* No touch inside a time in which nobody can. */
void bk_build_begins(bk_builder *b);

/* ------------------------------------------------- ready: of a dish */

/* When dish d is ready, where something depends on it, and how long it keeps. */
void bk_build_ready(bk_builder *b, size_t d);

/* ------------------------------------------------- resources, ovens */

/* Adds a user of a resource from `from` to `to`; none when the amount is 0. */
void bk_add_use(bk_builder *b, bk_uses *list, bk_point from, bk_point to, int64_t amount,
                bk_var present);

/* What a stage that has begun uses, from now or from later on. */
typedef struct bk_begun {
    bk_instant end;
    int64_t amount;
    /* pools only */
    bk_point from, to; /* T - start, T - end */
    bool open;         /* its end is that of something to come, or it begins later than now */
} bk_begun;

/* Adds what has begun to `list`, as much of it at each minute as `size` and those who are
 * `away` leave; all of it from now on. */
void bk_add_begun(bk_builder *b, bk_uses *list, const bk_begun *begun, size_t count, int64_t size,
                  const bk_spans *away, size_t away_count);

/* The pool as a resource: what is to come, and at each minute as much of what has begun as
 * there is. Sorts `begun`. */
void bk_add_begun_pool(bk_builder *b, const bk_uses *to_come, bk_begun *begun, size_t count,
                       int64_t size, int fact);

void bk_build_hands(bk_builder *b);

/* What needs hands: of a stage itself (check SIZE_MAX), or of a check of it. */
typedef struct bk_handwork {
    bk_point from, to; /* T - end, T - start */
    int64_t length, hands;
    bk_var *by; /* by cook: to be filled */
} bk_handwork;

/* When a named cook is kept, by the kitchen's windows or by their own. */
bk_spans bk_cook_kept(bk_builder *b, size_t cook);

/* With named cooks: who is not there takes hands from `list`, and each piece of work is
 * one cook's (or several's, that need several) where one can do it all. */
void bk_build_people(bk_builder *b, bk_uses *list, const bk_handwork *work, size_t count, int fact);

/* By cook, when their own windows keep them; the kitchen's apart. */
bk_spans *bk_cooks_away(bk_builder *b);

/* By stage: how much of equipment e its own dish holds around it, so that it need not
 * take it anew. */
int64_t *bk_build_held(bk_builder *b, size_t e);

/* Of equipment e: a pool that may not be enough; an oven. */
void bk_build_pool(bk_builder *b, size_t e);
void bk_build_oven(bk_builder *b, size_t e);

/* ------------------------------------------------- objective */

/* The levels of the plan's style. */
void bk_build_objective(bk_builder *b);

/* The greatest number of hands-on minutes on a date before the last, as a level. */
void bk_build_spread(bk_builder *b);

/* Whether no hands-on work can stand across this midnight. */
bool bk_never_across(const bk_builder *b, bk_instant midnight);

/* The fewest touches while all cooks have their hands full, as a level. */
void bk_build_interruptions(bk_builder *b);

/* As little delay as possible, and nothing else. */
void bk_build_delay_objective(bk_builder *b);

/* What `late_most` says. */
void bk_build_lateness_objective(bk_builder *b);

#endif
