/* The keys of a question of cooling: what they are called, what they take, and where it
 * goes; and the collecting of a question from them, whether they stand in a plan's "cooling"
 * or are words as typed. */
#ifndef BK_PLAN_COOLING_KEYS_H
#define BK_PLAN_COOLING_KEYS_H

#include "heat/heat.h"
#include "plan/plan.h"

enum bk_cooling_kind {
    BK_COOLING_LENGTH,      /* m */
    BK_COOLING_TEMPERATURE, /* C, BK_HEAT_COLDEST to BK_HEAT_HOTTEST */
    BK_COOLING_WORD,        /* one of `words` */
    BK_COOLING_STUFF        /* a food's name, or a composition */
};

/* When a key has to be there. */
enum bk_cooling_need { BK_COOLING_MAY, BK_COOLING_MUST, BK_COOLING_BUT_SLAB, BK_COOLING_BUT_BALL };

typedef struct bk_cooling_key {
    const char *name;
    enum bk_cooling_kind kind;
    enum bk_cooling_need need;
    const char *const *words;
    const char *missing; /* what to write where it is missing */
} bk_cooling_key;

/* Their words; NULL at the end. */
extern const char *const bk_cooling_shapes[],
    *const bk_cooling_bases[], *const bk_cooling_tins[], *const bk_cooling_covers[];

/* What a question says of the body and its ends; ends with a key without name. "shape"
 * comes first: what else is needed hangs on it. */
extern const bk_cooling_key bk_cooling_keys[];

/* A key's index in the table, which has it. */
enum {
    BK_COOLING_SHAPE,
    BK_COOLING_ACROSS,
    BK_COOLING_DEEP,
    BK_COOLING_FROM,
    BK_COOLING_TO,
    BK_COOLING_BASE,
    BK_COOLING_TIN,
    BK_COOLING_COVER,
    BK_COOLING_STIRRED,
    BK_COOLING_FOOD,
    BK_COOLING_ONTO, /* the layer below: its food */
    BK_COOLING_ONTO_DEEP,
    BK_COOLING_ONTO_FROM,
    BK_COOLING_MELTS,
    BK_COOLING_KEYS
};

/* Whether a question of that shape needs the key. */
bool bk_cooling_needs(size_t key, enum bk_heat_shape shape);

/* Puts a value in its place: m, C, or the index of the word. */
void bk_cooling_put(bk_heat_question *question, size_t key, double value);

/* Where the values of the keys come from. Each function has `from` as its first argument and
 * returns false after reporting. */
typedef struct bk_cooling_values {
    void *from;
    bool (*given)(const void *from, size_t key);       /* reports nothing */
    const char *(*text)(const void *from, size_t key); /* as written; NULL: not given, no text */
    bool (*length)(const void *from, size_t key, double *metres);
    bool (*temperature)(const void *from, size_t key, double *celsius);
    bool (*word)(const void *from, size_t key, int *index);
    /* Puts what the food is into the question; *food: of the table, or NULL. */
    bool (*stuff)(const void *from, size_t key, bk_composition *composition, const bk_food **food);
    /* What is needed and not given: puts it otherwise, or reports. */
    bool (*lacking)(const void *from, size_t key);
    /* Whether a layer below is given; `before`: the question has one. */
    bool (*poured)(const void *from, bool before, bool *there);
    bool whole; /* the question was one before: what is not given stays as it was */
} bk_cooling_values;

/* All keys of the table in its order, and the units they are written in. *question is one
 * before or the default, and so are the names and `melts_c` of *cooling, of which nothing else
 * is touched. False after reporting. */
bool bk_cooling_collect(const bk_cooling_values *values, bk_heat_question *question,
                        bk_cooling *cooling);

/* Parts of a composition, as a plan names them, and where they go; "milk fat" is of the
 * fat and does not add up. NULL at the end. */
extern const char *const bk_cooling_parts[];
double *bk_cooling_part(bk_composition *composition, size_t part);

/* A place that is none of the kitchen's: any plan may name it. */
typedef struct bk_cooling_place {
    const char *name;
    enum bk_heat_place place;
    double air_c; /* where the plan does not say; NAN: it has to */
} bk_cooling_place;

/* The one of this name, or NULL. */
const bk_cooling_place *bk_cooling_place_find(const char *name);

/* A question with the defaults; temperatures that have none are NAN. */
bk_heat_question bk_cooling_default(void);

#endif
