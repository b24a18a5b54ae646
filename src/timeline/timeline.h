/* What a timeline is: the stages with their times, the ovens, the facts that hold it, why
 * there is none, what would help. Types, and their facts in words.
 */
#ifndef BK_TIMELINE_H
#define BK_TIMELINE_H

#include "plan/plan.h"

enum bk_timeline_status {
    BK_TIMELINE_OPTIMAL,
    BK_TIMELINE_FEASIBLE,
    BK_TIMELINE_IMPOSSIBLE,
    BK_TIMELINE_UNKNOWN /* the effort ran out before any answer */
};

/* A check as it falls: for `takes` [start, end); for a reminder start == end. */
typedef struct bk_placed_check {
    bk_instant start, end;
    const bk_check *check;
    bool dropped; /* a reminder for which nobody is up: not shown, a warning says so */
    size_t *by;   /* with named cooks and `takes`: whose hands, index in kitchen.people */
    size_t by_count;
} bk_placed_check;

/* What keeps a stage from starting later, or one fact of an explanation. */
enum bk_fact_kind {
    BK_FACT_STAGE_TIME,       /* a stage's time: stage */
    BK_FACT_WAIT,             /* a link's least wait: stage, other, link */
    BK_FACT_WITHIN,           /* a link's most wait: stage, other, link */
    BK_FACT_WINDOW,           /* asleep, away, busy: window (and stage that it stops) */
    BK_FACT_HANDS,            /* number of cooks (stage, other: who competes) */
    BK_FACT_POOL,             /* size of a pool: equipment */
    BK_FACT_SHELVES,          /* shelves of an oven: equipment */
    BK_FACT_OVEN_TEMPERATURE, /* two temperatures in one oven: stage, other, equipment */
    BK_FACT_OVEN_OFF,         /* in a switched-off oven: stage, other (which needs it hot; with
                                 check 0, which was in it before), equipment */
    BK_FACT_BATCH,            /* batches one after another: stage, other (of the batch before) */
    BK_FACT_SERVE,            /* serve-by of a dish */
    BK_FACT_MARGIN,
    BK_FACT_KEEPS,    /* of a dish */
    BK_FACT_EARLIEST, /* earliest, or now */
    BK_FACT_NOW,
    BK_FACT_CHECK,    /* a check's place in its stage: stage, check */
    BK_FACT_AT_TABLE, /* the cooks eat from `from` to `to`: dish, the first then served */
    BK_FACT_COOK,     /* a cook is not there or has no hands from `from` to `to`: cook */
    BK_FACT_WHEN,     /* the window a stage is to lie in: stage */
    BK_FACT_BEGINS    /* nobody can begin it (or take it out) from `from` to `to`: stage */
};

typedef struct bk_fact {
    enum bk_fact_kind kind;
    size_t stage, other; /* index in plan.stages, or SIZE_MAX */
    size_t dish;         /* index in plan.dishes, or SIZE_MAX */
    size_t equipment;    /* index in kitchen.equipment, or SIZE_MAX */
    size_t cook;         /* index in kitchen.people, or SIZE_MAX */
    size_t window;       /* index in kitchen.windows, or SIZE_MAX */
    size_t link, check;  /* index in the stage's links / checks, or SIZE_MAX */
    bk_instant from, to; /* BEGINS: adjoining windows as one; AT_TABLE; else 0 */
    bk_place place;      /* of the line of the plan it came from */
    const char *message; /* a sentence a cook understands */
} bk_fact;

/* Of `early`: too many minutes to try them all. */
enum { BK_EARLY_UNKNOWN = -1 };

typedef struct bk_placed {
    size_t stage; /* index in plan.stages */
    bk_instant start, end;
    int64_t slack;        /* minutes it alone could start later, every minute up to it possible */
    int64_t early;        /* minutes it alone could start earlier, likewise, or BK_EARLY_UNKNOWN */
    int oven_number;      /* 1.. of the oven's count; 0 when not in an oven */
    double temperature_c; /* of the oven, without fan; with in_oven only */
    bk_placed_check *checks;
    size_t check_count;
    size_t *by; /* with named cooks, of a stage that needs hands: whose, in the order of their
                   coming (index in kitchen.people) */
    size_t by_count;
    bk_fact *pinned_by;
    size_t pinned_count;
} bk_placed;

/* One setting of one oven: turned on (or over to this temperature) at `on`, at
 * temperature from `ready`, off (or over to the next) at `off`. */
typedef struct bk_oven_run {
    size_t equipment;
    int number; /* 1.. */
    bk_instant on, ready, off;
    double temperature_c; /* without fan */
    bool from_cold;       /* false: turned over from another temperature */
} bk_oven_run;

/* One change of a value in a file of the plan, an operation of RFC 6902. */
typedef struct bk_edit {
    const char *file;            /* as the plan names it */
    const char *op;              /* "replace", "add" or "remove" */
    const char *path;            /* RFC 6901 */
    const struct bk_json *value; /* NULL: of "remove" */
} bk_edit;

typedef struct bk_remedy {
    const char *change; /* "serve", "within", "wait", "cook", "equipment", "window", "dish" */
    const char *message;
    bk_edit *edits; /* that make the change in the plan's files, one after the other; none where
                       it cannot be written so */
    size_t edit_count;
    bool has_first_start;
    bk_instant first_start;
} bk_remedy;

/* Food that stands between two stages, or between a dish's last stage and its serve, for
 * as long as the plan lets it. */
typedef struct bk_gap {
    size_t dish, after;     /* the stage at whose end it begins to stand */
    size_t before;          /* the stage that ends it; SIZE_MAX: it is served */
    int64_t minutes, asked; /* in all; of them, the wait that the plan asks for */
    size_t cold;            /* equipment it stands in; SIZE_MAX: a room */
    bool hot;               /* lately out of the oven or off the hob */
    bool spoils;            /* by the words of the plan it should be kept cold or hot */
} bk_gap;

/* Facts that together cannot be met, whatever else, and changes each of which settles
 * that, though not the rest of what is wrong. */
typedef struct bk_conflict {
    bk_fact *facts;
    size_t count;
    bk_remedy *remedies;
    size_t remedy_count;
} bk_conflict;

typedef struct bk_timeline {
    const bk_plan *plan;
    enum bk_timeline_status status;
    bk_instant start, ready; /* first start; last end */
    int64_t waiting;         /* sum over stages of serve - end, minutes */
    int64_t
        hands_on_serving_day;  /* minutes of active stages and checks with `takes` on the civil date
                                  of the last serve, each counted once however many cooks it needs */
    int64_t busiest_other_day; /* the most such minutes on any other civil date */
    int64_t interruptions;     /* minutes with something to see to while no cook's hands are free */
    bk_instant bound_start;    /* no timeline starts later */
    int64_t bound_interruptions; /* none with this first start has fewer */
    int64_t bound_waiting;       /* none with that and this first start waits less */
    int64_t bound_busiest; /* style spread: none with so few has fewer on the busiest other day */
    int64_t bound_hands;   /* style ahead: none has fewer hands-on minutes that day */
    bk_placed
        *stages; /* by start, then plan order; plan.stage_count of them, none when impossible */
    size_t stage_count;
    size_t *position;   /* by index in plan.stages: where in `stages` (bk_timeline_index) */
    bk_oven_run *ovens; /* by oven, then on */
    size_t oven_count;
    bk_gap *gaps;
    size_t gap_count;
    bk_message *warnings;
    size_t warning_count;
    bk_fact *why; /* impossible: facts that together cannot be met */
    size_t why_count;
    /* Where no single change helps, or each asks for much, and there are several conflicts: all of
     * them, the first with the facts of `why`, none sharing more with another than the hours, or
     * what there is of hands and things; and changes that help together, one for each conflict but
     * where one settles two. */
    bk_conflict *all_conflicts;
    size_t conflict_count; /* 0, or 2 and more */
    bk_remedy *together;
    size_t together_count; /* 0: none was found */
    bk_instant together_start;
    bk_remedy *remedies;
    size_t remedy_count;
    int64_t conflicts;
    bool complete;
    bool given_up; /* who looked on called the search off: better, or more to say, may be found */
    bool wrong;    /* an internal error: the engine refused an answer of its own on the way here */
} bk_timeline;

/* Why something is as it is: facts that together leave no other way, none of which
 * can be spared (unless not `irreducible`), in the order of the chain. */
typedef struct bk_reasons {
    bool wrong;  /* an internal error: the engine refused its own answer; nothing else counts */
    bool proved; /* false: the effort ran out before an answer */
    bool irreducible; /* every fact was tried without and is needed */
    bk_fact *facts;
    size_t count;
    /* bk_why_stage: it could start later, at a price */
    bool possible;
    bk_instant first_start; /* then */
    int64_t interruptions;  /* then */
    int64_t waiting;        /* then, over all stages */
} bk_reasons;

/* Makes the index by stage; `stages` then stay in their order. */
void bk_timeline_index(bk_arena *arena, bk_timeline *timeline);

/* Where a stage (index in plan.stages) stands; NULL when the timeline has it not. */
const bk_placed *bk_timeline_placed(const bk_timeline *timeline, size_t stage);

/* Until when a dish waits: its serve; of a part, the start of the last stage of another
 * dish that is linked to it. */
bk_instant bk_timeline_until(const bk_timeline *timeline, size_t dish);

/* ------------------------------------------------------------ facts in words */

/* A fact of a kind that speaks of nothing yet. */
bk_fact bk_fact_new(enum bk_fact_kind kind, bk_place place);

/* An order of facts that has no meaning but to find them by: < 0, > 0, or 0 where they are of one
 * kind and speak of the same. */
int bk_fact_order(const bk_fact *a, const bk_fact *b);

/* Whether two facts are of one kind and speak of the same. */
bool bk_fact_same(const bk_fact *a, const bk_fact *b);

/* The sentence of a fact, with names, amounts and civil times. */
const char *bk_fact_sentence(bk_arena *arena, const bk_plan *plan, const bk_fact *fact);

/* When a dish has to be ready, the margin included: "Torte has to be ready at Thu 24 Dec
 * 19:20, 10 min before it is served". */
const char *bk_ready_sentence(bk_arena *arena, const bk_plan *plan, size_t dish);

/* "asleep", "away" or "busy", with the calendar's label and the times: "asleep
 * Thu 22:30 to Fri 07:00". */
const char *bk_window_words(bk_arena *arena, const bk_plan *plan, const bk_window *window);

#endif
