/* What the parts of the judgement of a timeline share. Private to this folder. */
#ifndef BK_SAFETY_JUDGE_H
#define BK_SAFETY_JUDGE_H

#include "heat/heat.h"
#include "safety/standing.h"

/* Kinds of warning; one of each for a dish. */
enum bk_warned {
    BK_WARNED_COOLING,
    BK_WARNED_AMBIENT,
    BK_WARNED_ROOM,
    BK_WARNED_HOT,
    BK_WARNED_STORAGE,
    BK_WARNED_THAWING,
    BK_WARNED_RAW_EGG,
    BK_WARNED_STUFFED,
    BK_WARNED_REHEATING,
    BK_WARNED_BEANS,
    BK_WARNED_RAW_FISH,
    BK_WARNED_OUT_EARLY
};

/* Cooling as the model follows it from stage to stage. */
typedef struct bk_cooling_clock {
    bool runs;
    bk_instant
        since;    /* the middle was last at the hot limit; or, not known, its first stage's start */
    bool assumed; /* the latter */
    bool goes_on; /* a later stage models it further */
} bk_cooling_clock;

typedef struct bk_judge {
    bk_arena *arena;
    const bk_plan *plan;
    bk_report *report;
    bk_safety_rules rules;
    bk_standings standings;
    bk_cooling_clock *clock; /* by stage */
    bool *handed_on;         /* by stage: another stage of its dish goes on with its food */
    unsigned *said;          /* by dish: bits of the kinds */
    int count;
    int pots;       /* that were computed */
    double *litres; /* by dish, of the pot it is cooked in; 0: not looked for yet; below 0: none */
} bk_judge;

/* Whether a warning of this kind may be given for the dish: the first is, as long as
 * there are not too many in all. */
bool bk_may_say(bk_judge *judge, size_t dish, enum bk_warned kind);

const char *bk_follow_local(void);

/* "dish/stage"; minutes as a duration; an instant as "18:30 on Friday". */
const char *bk_judge_stage(const bk_judge *judge, size_t stage);
const char *bk_judge_span(const bk_judge *judge, double minutes);
const char *bk_judge_hour(const bk_judge *judge, bk_instant instant);

/* "; "ham" counts as food that spoils", where a word was taken for it; else nothing. */
const char *bk_judge_word(const bk_judge *judge, size_t stage);

/* The end of a place's heat transfer that the plan is made on. */
enum bk_heat_end bk_judge_end(const bk_judge *judge);

/* Raw egg that is kept, a bird stuffed too early, beans that are not boiled, fish eaten raw
 * that was not frozen: by dish. (raw.c) */
void bk_judge_raw(bk_judge *judge, size_t dish);

/* Cooked food from the cold that a stage warms too little. (reheating.c) */
void bk_judge_reheating(bk_judge *judge, size_t stage);

/* A pot whose size the plan tells, put in the cold while it is hot, and not computed by the
 * plan. (pot.c) */
void bk_judge_pot(bk_judge *judge, size_t stage);

#endif
