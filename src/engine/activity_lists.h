/* Schedules from activity lists, for problems of lags and cumulatives alone: serial schedule
 * generation (serial_schedule.c) and a genetic search over the lists (genetic_search.c). */
#ifndef BK_ENGINE_ACTIVITY_LISTS_H
#define BK_ENGINE_ACTIVITY_LISTS_H

#include "engine/objective.h"
#include "engine/solver.h"

struct bk_lists;

/* A search over activity lists; NULL for other problems. To be made before the first clause is
 * learned. */
struct bk_lists *bk_lists_new(bk_solver *solver, const bk_objective *objective);
/* Tries so many schedules; true when solver->found is one with the objective's
 * side below `best`. */
bool bk_lists_evolve(bk_solver *solver, struct bk_lists *lists, int32_t best, int32_t schedules);
/* Lets the lists take up solver->found, which was found elsewhere. True when
 * justification made it better still: solver->found is then that. */
bool bk_lists_offer(bk_solver *solver, struct bk_lists *lists);
/* Makes the schedule of some list that is as good as the solution the solution, so that
 * neighbourhoods start from elsewhere. Returns its variables' starts when all are as
 * late as the list allows, until the next call; NULL when there is none. */
const int32_t *bk_lists_vary(bk_solver *solver, struct bk_lists *lists);

/* -------------------------------- between serial_schedule.c and genetic_search.c */

/* What a variable takes from up to four cumulatives: one 16-bit lane each. */
typedef struct bk_demand {
    uint64_t need;
    int32_t plane, length, next; /* next demand of the variable, or -1 */
} bk_demand;

typedef struct bk_list {
    int32_t *order, *start; /* variables as they are scheduled; by variable */
    int32_t length;         /* the start of the sink; INT32_MAX: none that fits */
    uint32_t mark;          /* of the starts: lists of other marks have others */
} bk_list;

struct bk_lists {
    int32_t n;    /* variables, 0 included */
    int32_t sink; /* the one whose start is minimised */
    int32_t span; /* times are 0..span */
    /* by variable. The bounds are those of the problem: the root's get tighter, and
     * leave no schedule that is as good as the best but not better. */
    int32_t *least, *most;
    int32_t *first_demand, *length;
    int32_t *follow; /* from its start on, when the next variables may come at the earliest */
    int64_t *work;   /* length times amount over capacity, summed */
    BK_VECTOR(bk_demand) demands;
    int32_t planes;
    uint64_t *capacity; /* by plane */
    uint64_t *room;     /* plane * (span + 1) + time: what is left */
    int32_t reached;    /* room is as it was from here on */
    /* scratch */
    int32_t *degree, *trial, *order, *key, *count;
    bool *marked;
    bk_list child;
    /* of the genetic search */
    bk_list *population;
    int32_t room_for; /* lists */
    int32_t size;     /* of the population when it is full */
    int32_t born;
    int32_t fruitless; /* schedules since a list made way for a better one */
};

/* Schedules a list, justifies it, and leaves in it the order and the starts that
 * came out; all starts 0 when it does not fit. */
void bk_list_evaluate(bk_solver *solver, struct bk_lists *lists, bk_list *list);

/* The starts when all are as late as the list allows before its end, in lists->trial;
 * NULL when that does not fit. */
const int32_t *bk_list_latest(bk_solver *solver, struct bk_lists *lists, const bk_list *list);

/* Sorts the list's order by its starts; equal ones stay as they are. */
void bk_list_sort(struct bk_lists *lists, bk_list *list);

#endif
