/* What a row of the timeline says, whoever prints it. Private to this folder. */
#ifndef BK_WRITE_WORDS_SAY_H
#define BK_WRITE_WORDS_SAY_H

#include "write/words/rows.h"

/* Clean text (bk_words_clean); a part that has nothing to say is "". */
typedef struct bk_said {
    const char *word;    /* who acts: "DO", "IN", "OUT", "OVEN", "CHECK", "SERVE" need the cook;
                            "watch", "leave", "sleep", "away", "busy", "clock" do not */
    bool acts;           /* the word is one of those in capitals */
    const char *what;    /* the instruction */
    const char *brief;   /* the same in few words, of an oven; else NULL */
    const char *detail;  /* dish, where, how long, until when */
    const char *slack;   /* how much later it can start */
    const char *windows; /* what it has to be done before */
    const char *note, *caution;
    const char **also; /* what comes to the table with it, dish by dish */
    size_t also_count;
    size_t dish;      /* of which the detail tells, index in plan.dishes, or SIZE_MAX */
    bool no_later;    /* a stage starts that cannot start later */
    bk_instant until; /* when what begins here is over; the row's own time where nothing does */
    bool runs;        /* what begins here runs by itself */
} bk_said;

bk_said bk_say(bk_arena *arena, const bk_timeline *timeline, const bk_row *row);

/* What a movement says as one (bk_rows_join): the row at `index` and those that join it; *last
 * is the index of the last of them. */
bk_said bk_say_movement(bk_arena *arena, const bk_timeline *timeline, const bk_rows *rows,
                        size_t index, size_t *last);

/* What the timeline leaves in hand, in one or two sentences; `sign` is what marks
 * the stages that can't start later. */
char *bk_say_in_hand(bk_arena *arena, const bk_timeline *timeline, const char *sign);

/* True when a sign at the stages that can't start later marks exceptions: it stands at half of
 * them or fewer, and at one. */
bool bk_say_marks(const bk_timeline *timeline);

/* "Thursday 17 December, 18:00; oven on at 17:45" */
char *bk_say_start(bk_arena *arena, const bk_timeline *timeline);

/* "Friday 18 December, 19:30", or the first and last of several. */
char *bk_say_serve(bk_arena *arena, const bk_timeline *timeline);

#endif
