/* Random plans for tests: small and hard ones for the comparison with trial of
 * everything, and larger ones. The same plan as a model in memory and as the
 * text of a plan file.
 */
#ifndef BK_RANDOM_PLAN_H
#define BK_RANDOM_PLAN_H

#include "plan/plan.h"

typedef struct random_source {
    uint64_t state;
} random_source;

int64_t random_between(random_source *source, int64_t low, int64_t high); /* both included */
bool random_chance(random_source *source, int percent);

typedef struct random_shape {
    int least_stages, most_stages;
    int most_dishes;
    int64_t most_minutes; /* longest stage */
    int64_t least_span,
        most_span; /* minutes from earliest to the last serve; 0: by the number of stages */
    bool windows;  /* asleep, away, busy */
    bool ovens;    /* one kind of oven with many shelves, nearly everything in it */
} random_shape;

/* Up to six stages within some minutes. */
random_shape random_small(void);

/* Ten to thirty stages within some hours. */
random_shape random_large(void);

/* Ten to twenty bakings, at temperatures of all widths, that crowd one or two ovens. */
random_shape random_bakery(void);

/* A consistent plan: links have no cycle, amounts fit their pools. */
bk_plan *random_plan(bk_arena *arena, random_source *source, const random_shape *shape);

/* The plan file that says the same. Defaults are left unsaid now and then. */
const char *random_plan_json(bk_arena *arena, random_source *source, const bk_plan *plan);

#endif
