/* What the cook wrote: the model of a plan, and reading it from JSON.
 *
 * A plan that was read without error is complete and consistent: every name is
 * resolved, every default filled in, every link acyclic, every amount within its
 * pool. Times are instants (minutes, UTC), durations whole minutes. Everything
 * lives in the arena that was given to bk_plan_read.
 */
#ifndef BK_PLAN_H
#define BK_PLAN_H

#include "files/files.h"
#include "quantity/quantity.h"
#include "time/time.h"

enum bk_plan_on { BK_PLAN_ON_MOST, BK_PLAN_ON_LIKELY, BK_PLAN_ON_LEAST };
enum bk_style { BK_FRESH, BK_AHEAD, BK_SPREAD };
enum bk_equipment_kind { BK_TOOL, BK_OVEN, BK_HOB, BK_COLD };
enum bk_rules { BK_RULES_US, BK_RULES_UK };

typedef struct bk_equipment {
    const char *name;
    enum bk_equipment_kind kind;
    int count;    /* units; ovens: separate ovens */
    int64_t pool; /* amounts that fit at once: count * (places, rings or 1); INT64_MAX: no limit.
                     Not used for ovens */
    /* oven */
    bool fan;        /* show fan temperatures (20 C less) */
    bool fahrenheit; /* its dial is in degrees Fahrenheit; of a cold place, `at` was written so */
    int shelves;     /* of each oven */
    int64_t preheat, change, idle; /* minutes */
    double warms, cools;           /* degrees Celsius a minute, in place of preheat and change;
                                      0: not said */
    /* cold */
    double at_c;  /* air temperature */
    bool air_fan; /* moved by a fan */
    bk_place place;
} bk_equipment;

/* A time when hands are not free or nobody is there: one occurrence. */
enum bk_window_kind { BK_ASLEEP, BK_AWAY, BK_BUSY };
typedef struct bk_window {
    enum bk_window_kind kind;
    bk_instant from, to; /* [from, to), clipped to the plan's span */
    const char *label;   /* summary of the calendar event, or NULL */
    bool derived;        /* follows from the hours of all cooks together (bk_kitchen_gather) */
    bk_place place;      /* where the plan says so */
} bk_window;

/* The key that says so in a plan: "asleep", "away", "busy". */
const char *bk_window_key(enum bk_window_kind kind);

/* The numbers that an oven can be set to. */
static inline bk_dial bk_dial_of(const bk_equipment *oven)
{
    return (bk_dial){.fahrenheit = oven->fahrenheit, .fan = oven->fan};
}

enum { BK_MOST_NAMED_COOKS = 8 };

/* A cook with a name. Hands at a minute are those of the cooks whom neither their own
 * windows nor the kitchen's keep. */
typedef struct bk_cook {
    const char *name;
    bk_window *windows; /* as the kitchen's: their own */
    size_t window_count;
    bk_place place;
    bool leaves; /* of a day under way: somebody said that they are there until `until` */
    bk_instant until;
} bk_cook;

typedef struct bk_kitchen {
    int cooks;
    bk_cook *people; /* with names: `cooks` of them; else none */
    size_t people_count;
    double pace;             /* active times are multiplied by it: 0.5 to 3 */
    bk_equipment *equipment; /* in the order written */
    size_t equipment_count;
    bk_window *windows;  /* all kinds, every occurrence from two days before plan.earliest to a day
                            after plan.last_serve, sorted by from, to, kind */
    size_t window_count; /* with those in which none of the named cooks can */
    double room_c;       /* air of the room */
    enum bk_rules rules; /* food-safety limits to check against */
    bool has_rules;      /* written by the cook (else: the strictest of each) */
    bk_place place;      /* of the object it stands in; none: the plan has none */
} bk_kitchen;

/* Makes the derived windows anew from the hours of the named cooks: whenever each of
 * them is asleep or away, or has no hands free. The list of windows is made anew too. */
void bk_kitchen_gather(bk_arena *arena, bk_kitchen *kitchen);

typedef struct bk_stage bk_stage;
typedef struct bk_dish bk_dish;

/* start(this) >= ref + wait and, when has_within, start(this) <= ref + within,
 * where ref is the end (or start) of `stage`. */
typedef struct bk_link {
    size_t stage; /* index in plan.stages */
    bool from_start;
    int64_t wait;
    bool has_within;
    int64_t within;
    bool run_out; /* of a day under way: that most wait was over before the stage began */
    bool written; /* by the cook; false: the default "the stage above" */
    bk_place place, wait_place, within_place;
} bk_link;

/* Equipment during the stage. For an oven: shelves, at a temperature. */
typedef struct bk_need {
    size_t equipment;  /* index in kitchen.equipment */
    int64_t amount;    /* units of the pool; ovens: shelves */
    bk_temperature at; /* ovens only */
    bk_place place;
} bk_need;

/* Equipment from this stage's start to the end of stage `until`; where that is done once
 * for each batch, the last of them: the others, which end no later, are the `before`
 * stages that stand `step` apart before it in plan.stages. */
typedef struct bk_hold {
    size_t equipment;
    size_t until; /* index in plan.stages */
    size_t before, step;
    int64_t amount;
    bk_place place;
} bk_hold;

typedef struct bk_check {
    int64_t at; /* minutes after the stage's start */
    const char *text;
    int64_t takes; /* minutes of hands; 0: a reminder, needs no hands */
    int64_t give;  /* minutes either side of `at` (only with takes) */
    bool look;     /* at the least end of the stage's range: it may be ready from now */
    bk_place place;
} bk_check;

/* Section 7: a passive time that is computed. */
typedef struct bk_cooling {
    const struct bk_heat_question *question; /* as the estimate has it (heat/heat.h) */
    const char *food; /* name in the table of foods, or NULL with a composition */
    double
        fraction[6]; /* by mass, of the name too: water, protein, fat, carbohydrate, fibre, ash */
    double from_c;   /* of its slowest point when the stage begins */
    double to_c;
    bool in_room;      /* at last; else `equipment` */
    size_t equipment;  /* SIZE_MAX in a room */
    double place_c;    /* air temperature there */
    bool goes_on;      /* "as it was": the body of the stage before */
    const char *below; /* what it is poured onto: a name of the table; NULL: nothing, or no name */
    double melts_c;    /* what is below softens there; NAN: not said */
    bk_place place;
} bk_cooling;

/* The same as a question to the estimate (heat/heat.h). */
struct bk_heat_question;
void bk_cooling_question(const bk_cooling *cooling, struct bk_heat_question *question);

/* Reads a question to the estimate from words: key, value, key, value, NULL. The keys
 * are those of a plan's "cooling", and "fan" ("yes", "no"), "h" (the surface in
 * W/(m2 K), "8" or "5-8-10"), "k", "rho", "cp" (a material, SI), "water", "protein",
 * "fat", "carbohydrate", "fibre", "ash", "air-fraction" (a composition), "onto",
 * "onto-deep", "onto-from" (a layer below); "in" is "fridge", "freezer", "room", "water
 * bath" or "ice bath"; "places" is where it stands before, as "room 30 min, fridge 1 h". With
 * `whole`, *question and the names and `melts_c` of *cooling are a question already, of
 * which the words replace parts; else they are filled in with the plan's defaults. Of
 * *cooling nothing else is touched. False after reporting; whether the estimate can answer is not
 * looked at. */
bool bk_cooling_ask(bk_arena *arena, const char *const *words, bool whole, bk_cooling *cooling,
                    struct bk_heat_question *question, bk_report *report);

enum bk_attention { BK_HANDS, BK_WATCH, BK_NONE };

/* How far a stage has come, of a plan whose day is under way; else all are NOT_BEGUN. */
enum bk_progress { BK_NOT_BEGUN, BK_RUNNING, BK_DONE, BK_LEFT_OUT };

struct bk_stage {
    const char *id;              /* of a batch: with its number behind a #, "bake#2" */
    int batch;                   /* 1.. of the dish's batches; 0: done once */
    size_t dish;                 /* index in plan.dishes */
    const char *text;            /* "do" */
    enum bk_attention attention; /* HANDS: active; WATCH: passive, watched; NONE: passive */
    bool watch; /* somebody awake and at home throughout (also true for an active stage that uses an
                   oven or hob) */
    bool begins_itself; /* nobody has to be there for its start (never of an active stage) */
    bool has_when;
    bk_span *when; /* it lies in one of these, disjoint, in order; none: it cannot */
    size_t when_count;
    const char *when_time; /* as written: "18:00-21:30" */
    bool when_by_serve;    /* its day is counted from the serve's, and goes with it */
    bk_range range;
    double times;    /* what the written time was multiplied by: the kitchen's pace, and more hands
                        for a larger amount; 1 of a passive stage */
    int64_t planned; /* the plan_on end of range, minutes */
    int cooks;       /* hands of an active stage; 0 for a passive one */
    bk_link *links;
    size_t link_count;
    bk_need *needs; /* not ovens */
    size_t need_count;
    bool in_oven;
    bool oven_off; /* in the oven while it is off, where a stage before it was heated */
    bk_need oven;  /* when in_oven; a stage is in at most one oven */
    bk_hold *holds;
    size_t hold_count;
    bk_check *checks; /* in order of `at` */
    size_t check_count;
    bk_cooling *cooling;        /* NULL: written as active or passive */
    const char *note, *caution; /* or NULL */
    /* What happened, of a stage that has begun: facts, which no rule asks to be otherwise.
     * Its `planned` is then what it took, or is to take in all. */
    enum bk_progress progress;
    bk_instant began;
    int oven_number; /* 1..: in which of its ovens it is or was; 0: in none */
    bool assumed;    /* nobody said so: it is taken to go as planned */
    bool told;       /* of one that has not begun: the timeline before had it start at told_start */
    bk_instant told_start;
    bk_place place;       /* of the stage's id */
    bk_place range_place; /* of its time */
    bk_place when_place;
};

/* Minutes: a stage that starts by no more than this at another time than was told has not moved. */
enum { BK_NO_MOVE = 5 };

/* What has begun is a fact. */
static inline bool bk_has_begun(const bk_stage *stage)
{
    return stage->progress != BK_NOT_BEGUN;
}

/* Of a day under way: it should have begun already, and is to as soon as it can. */
static inline bool bk_is_run_out(const bk_stage *stage)
{
    for (size_t k = 0; k < stage->link_count; k++)
        if (stage->links[k].run_out && !bk_has_begun(stage))
            return true;
    return false;
}

/* In an oven that is on. */
static inline bool bk_is_heated(const bk_stage *stage)
{
    return stage->in_oven && !stage->oven_off;
}

/* What an ingredient is, said by the cook in place of what its words are taken for: bits.
 * First its state, then what it is; the last are the allergens of the laws. */
enum bk_is {
    BK_IS_RAW = 1 << 0,
    BK_IS_COOKED = 1 << 1,
    BK_IS_PASTEURISED = 1 << 2,
    BK_IS_DRIED = 1 << 3,
    BK_IS_TINNED = 1 << 4,
    BK_IS_FROZEN = 1 << 5, /* or was, cold enough and long enough for fish eaten raw */
    BK_IS_KEEPS = 1 << 6,  /* keeps in a room */
    BK_IS_SPOILS = 1 << 7, /* has to be kept cold or hot */
    BK_IS_MEAT = 1 << 8,
    BK_IS_POULTRY = 1 << 9,
    BK_IS_KIDNEY_BEANS = 1 << 10,
    BK_IS_STARCH = 1 << 11, /* rice, pasta, potatoes, beans: spoil once they are cooked */
    BK_IS_EGG = 1 << 12,
    BK_IS_MILK = 1 << 13,
    BK_IS_FISH = 1 << 14,
    BK_IS_CRUSTACEANS = 1 << 15,
    BK_IS_MOLLUSCS = 1 << 16,
    BK_IS_GLUTEN = 1 << 17,
    BK_IS_WHEAT = 1 << 18,
    BK_IS_NUTS = 1 << 19,
    BK_IS_PEANUT = 1 << 20,
    BK_IS_SOYA = 1 << 21,
    BK_IS_SESAME = 1 << 22,
    BK_IS_CELERY = 1 << 23,
    BK_IS_MUSTARD = 1 << 24,
    BK_IS_LUPIN = 1 << 25,
    BK_IS_SULPHITES = 1 << 26
};

/* The words for them in a plan, in the order of the bits, NULL at the end. */
extern const char *const bk_is_words[];

typedef struct bk_ingredient {
    const char *item, *amount; /* amount may be NULL */
    size_t stage;              /* index in plan.stages, or SIZE_MAX */
    bool has_is;
    unsigned is; /* enum bk_is: all that it is */
} bk_ingredient;

/* What it is filled into: round (the diameter), or square (a side). */
typedef struct bk_tin {
    bool square;
    bool inches;         /* written in inches */
    double across, deep; /* m; 0: not said */
    const char *words;   /* "round, 20 cm across", as the plan has it */
} bk_tin;

struct bk_dish {
    const char *name;
    bk_instant serve;
    bool out, served;    /* of a day under way: dropped; on the table, at `serve` */
    int64_t margin_used; /* so much of the plan's margin is not to be had for this dish */
    int64_t serves;      /* how many it feeds, `make` where that is said; 0: not said */
    double scale;        /* of all amounts: make / serves, and the tins'; 0 or 1: as written */
    bk_tin tin, into;    /* written for, and used */
    bool part; /* not served: it is for the dishes that link to it. `serve` is then the latest of
                  theirs */
    bool has_keeps;
    bool keeps_run_out; /* of a day under way: it will be ready sooner, and as late as it can */
    int64_t keeps;
    bk_hold *stored; /* `until` unused: until serve; of a part, until it is last used */
    size_t stored_count;
    bk_ingredient *ingredients;
    size_t ingredient_count;
    size_t first_stage, stage_count; /* plan.stages[first .. first + count) */
    /* Some of its stages are done once for each of `batches`: those of the first batch
     * begin at plan.stages[first_stage + batch_first], `batch_stages` of them, then those
     * of the second. 0: none are. */
    size_t batches, batch_first, batch_stages;
    bk_place batches_place;
    bk_place place, serve_place, keeps_place, part_place, into_place;
    bk_place entry_place; /* in the plan's list */
};

/* An oven that is hot, or was turned on to be, at `now` already, of a day under way. */
typedef struct bk_hot {
    size_t equipment;
    int number;       /* 1.. */
    double celsius;   /* without fan */
    bk_instant since; /* on */
    bk_instant ready; /* at that temperature */
} bk_hot;

typedef struct bk_plan {
    bool alone; /* around a recipe or a kitchen by itself: nothing to schedule */
    const char *occasion;
    const char *publish; /* address of a calendar on a server, for its events; or NULL */
    const char **notes;  /* what the command line changed, a sentence each */
    size_t note_count;
    const bk_zone *zone;
    bk_instant first_serve, last_serve;
    int64_t margin;
    int64_t at_table; /* minutes from each serve on in which no hands are free: they eat */
    enum bk_plan_on plan_on;
    enum bk_style style;
    bk_instant earliest; /* nothing starts before; --now counted in */
    bool has_now;
    bk_instant now;
    bool under_way; /* some of it has begun: bk_stage.progress; nothing else starts before `now`,
                       which is `earliest` too, and the windows before it are left out */
    bk_hot *hot;
    size_t hot_count;
    bk_kitchen kitchen;
    bk_dish *dishes;
    size_t dish_count;
    bk_stage *stages; /* of all dishes, in plan order */
    size_t stage_count;
    const bk_source **sources; /* every file read, the plan first */
    size_t source_count;
    bk_message *warnings; /* what was found while it was read */
    size_t warning_count;
    bk_place occasion_place, serve_place, margin_place, at_table_place, earliest_place, cooks_place;
} bk_plan;

/* The stages linked to stage i, ascending, one linked twice twice: stage[first[i] .. first[i + 1]).
 */
typedef struct bk_followers {
    size_t *first, *stage;
} bk_followers;
bk_followers bk_followers_of(bk_arena *arena, const bk_plan *plan);

/* Gives each part the serve of the latest of the dishes that link to it, directly or by
 * another part. By dish, whether its serve is known: false for a part that no dish that is
 * served builds on. */
bool *bk_parts_serve(bk_arena *arena, bk_plan *plan);

/* Sets first_serve and last_serve, of the dishes that are served: parts are not. */
void bk_span_serves(bk_plan *plan);

/* The heated stages of the same equipment that an oven_off stage is linked after, at any
 * remove: it is where the last of them to end was. Marks them in `heated`, by stage;
 * gives their number. */
size_t bk_heated_before(bk_arena *arena, const bk_plan *plan, size_t stage, bool *heated);

/* By stage, the temperatures that count for what an oven takes to warm and cool: what it
 * is set to, and where it may have to share the oven with what accepts others, the ends
 * of what it accepts. */
typedef struct bk_heats {
    double *coolest, *hottest; /* degrees Celsius without fan; 0 outside a heated oven */
} bk_heats;
bk_heats bk_heats_of(bk_arena *arena, const bk_plan *plan);

/* Minutes from cold to a temperature, and from one to another. */
int64_t bk_oven_preheat(const bk_equipment *oven, double celsius);
int64_t bk_oven_change(const bk_equipment *oven, double from, double to);

/* Minutes from `now` until oven `number` can be ready for a heated stage, which it is to be at
 * `celsius`: from cold, or from what it is at. */
int64_t bk_oven_ready_in(const bk_plan *plan, size_t stage, int number, double celsius);

/* How long before its serve a dish is to be ready. */
static inline int64_t bk_margin_of(const bk_plan *plan, const bk_dish *dish)
{
    return plan->margin - dish->margin_used;
}

/* Does it happen? Of a plan of which all is left out, everything counts: it has a first start. */
static inline bool bk_happens(const bk_plan *plan, size_t stage)
{
    if (plan->stages[stage].progress != BK_LEFT_OUT)
        return true;
    for (size_t i = 0; i < plan->stage_count; i++)
        if (plan->stages[i].progress != BK_LEFT_OUT)
            return false;
    return true;
}

/* The same stage of the batch before; SIZE_MAX where there is none. */
static inline size_t bk_batch_before(const bk_plan *plan, size_t stage)
{
    const bk_stage *of = &plan->stages[stage];
    return of->batch > 1 ? stage - plan->dishes[of->dish].batch_stages : SIZE_MAX;
}

typedef struct bk_read_options {
    const char *serve; /* moves serves: lines of [DISH=]WHEN, each an instant, "18:30" on the date
                          it was at, or "+25 min"; NULL: none */
    bool has_now;
    const char
        *now; /* instant text in the plan's zone or with an offset; or "18:30", on clock's date */
    bk_instant clock;   /* when has_now and now is NULL: this instant */
    bool alone;         /* a recipe or a kitchen by itself is read too: bk_plan.alone */
    bool allow_outside; /* files outside the folder of the file that is read may be named, too */
} bk_read_options;

enum { BK_MOST_REFERENCES = 8 };

/* Reads the plan at `path` and what it refers to. Reports every problem it can
 * find; NULL when there was an error. Warnings alone still give a plan. */
bk_plan *bk_plan_read(bk_arena *arena, const bk_files *files, const char *path,
                      const bk_read_options *options, bk_report *report);

/* A file of a plan before and after its sure mends. */
typedef struct bk_mended {
    const char *path;   /* as bk_files takes it */
    const char *before; /* the whole file, as it is */
    size_t before_length;
    const char *text; /* with the mends; every other byte as it was, and as many lines */
    size_t length, mends;
} bk_mended;

/* Reads the plan as bk_plan_read does, makes those mends of its faults of which there is one
 * that is sure (bk_fix), in memory, and reads it again, until there is none left. Mends that
 * leave no fewer errors than there were are not made. Gives the files that change, *count of
 * them. */
const bk_mended *bk_plan_mend(bk_arena *arena, const bk_files *files, const char *path,
                              const bk_read_options *options, size_t *count);

typedef struct bk_beginning {
    const char *const *recipes; /* paths to read */
    const char *const *named;   /* the same as the plan names them */
    size_t recipe_count;
    const char *occasion, *serve, *zone; /* or NULL: something to change */
} bk_beginning;

/* Writes a plan to begin with: one dish to change, or an occasion of recipes in a kitchen
 * that has what they ask for. False after reporting. It is not checked. */
bool bk_plan_begin(bk_arena *arena, const bk_files *files, const bk_beginning *beginning,
                   bk_text *out, bk_report *report);

/* "dish/stage" in the plan's words; lives in the arena. */
const char *bk_stage_name(bk_arena *arena, const bk_plan *plan, size_t stage);

/* The index of a stage named "dish/id", or "id" when only one dish has it;
 * SIZE_MAX when there is none, SIZE_MAX - 1 when several have it. */
size_t bk_stage_find(const bk_plan *plan, const char *name);

#endif
