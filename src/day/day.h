/* The day itself: what has happened, what comes, and what changes when it slips.
 *
 * What was said stands in a journal beside the plan. From the plan, the journal and what
 * time it is follows what each stage has come to (state); of that the plan as it is now, in
 * which what has begun is a fact (rest); and of that the timeline that goes on from here
 * (replan). The plan format, section 11, is the contract.
 */
#ifndef BK_DAY_H
#define BK_DAY_H

#include "schedule/schedule.h"

/* A rule that what happened has broken: it is dropped, for these stages only. */
typedef struct bk_broken_rule {
    const char *rule;    /* the key or rule it is of: "within", "wait", "keeps", "when", ... */
    size_t stage;        /* index in plan.stages; SIZE_MAX: of a dish alone */
    size_t dish;         /* index in plan.dishes */
    bk_instant since;    /* when it broke */
    const char *message; /* a sentence, with what it means */
} bk_broken_rule;

/* A stage that starts at another time than the timeline before said, by over BK_NO_MOVE. */
typedef struct bk_moved {
    size_t stage;
    bk_instant was, is;
} bk_moved;

/* A stage that somebody began, that should have ended at `since`, and of which no more was
 * said: it is taken to last until now. */
typedef struct bk_overdue {
    size_t stage;
    bk_instant since;
} bk_overdue;

typedef struct bk_day {
    const bk_plan *plan; /* as it is now: bk_plan.under_way */
    bk_instant now;
    bk_instant before; /* up to when all was told: the last entry before this one; now when it
                          is the first */
    const char *heard; /* what was said now, as it was understood; NULL: nothing */
    bool next_only;    /* asked for what comes next, and nothing else */
    bool finished;     /* the journal says that the day is over */
    size_t remembered; /* said now: real times that went into the histories */
    size_t
        journal_length; /* bytes of the journal that it stands on, what was said now among them */
    bk_timeline
        *timeline;    /* from here on, what has begun in it; NULL: an internal error, reported */
    int64_t *late;    /* by dish: minutes after its serve at which it is ready, at least */
    bool late_proved; /* less cannot be */
    const bk_timeline *on_time; /* where something is late: why, and what would avoid it; or NULL */
    bk_broken_rule *broken;
    size_t broken_count;
    bk_moved *moved;
    size_t moved_count;
    int64_t moved_little; /* minutes: by so much, BK_NO_MOVE at most, others start earlier or later
                             than was said before; 0: none does */
    bk_overdue *overdue;
    size_t overdue_count;
    const char *
        *unknown; /* what the journal names and the plan has not (any more), a sentence each */
    size_t unknown_count;
} bk_day;

/* Stages that a name may mean, "dish/id". */
typedef struct bk_day_choices {
    const char **names;
    size_t count;
} bk_day_choices;

/* The day as it stands at `now`: by the journal's entries, and what the cook was told last;
 * `first` is the timeline of the plan before its day began (NULL: the entries tell all).
 * `plan` was read with the serves that the journal moved. NULL after an internal error,
 * reported. `heard`: the last entry is
 * said now. `effort` and `follower` as in bk_schedule_options. Called off, it is the best until
 * then, or none. */
struct bk_journal; /* journal.h */
bk_day *bk_day_make(bk_arena *arena, const bk_plan *plan, const struct bk_journal *journal,
                    const bk_timeline *first, bk_instant now, bool heard, int64_t effort,
                    bk_follower *follower, bk_report *report);

/* The occasion that the journal at `path` is of, while its day goes on; NULL: it tells none, its
 * day is over, or it is no journal. A line that is wrong is reported, and does not end the day. */
const char *bk_day_under_way(bk_arena *arena, const bk_files *files, const char *path,
                             bk_report *report);

typedef struct bk_day_call {
    const bk_files *files;
    const char *path; /* of the plan */
    const char *now;  /* an instant, or an hour on clock's date; NULL: clock */
    bk_instant clock;
    const char *const *words; /* what is said, the last followed by NULL; NULL or "next": nothing */
    const char *at;           /* when it happened; NULL: now */
    const char *id;           /* by which who says it knows it: what has it already is not added
                                 again; NULL: none */
    bool once;                /* what the journal says already is not added again */
    size_t since;             /* where nothing is said: bytes of the journal of which all was told,
                                 what stands behind them is told now; 0: nothing is */
    bool allow_outside;       /* as bk_read_options.allow_outside */
    int64_t effort;
    bk_follower *follower; /* or NULL */
} bk_day_call;

/* Reads the plan and its journal, adds what is said (flushed to the disk before this
 * returns) and makes the day of it. NULL after reporting, with nothing added. *lock holds the
 * journal when something was said, also after an error: the caller lets it go
 * (bk_file_let_go), also when memory ran out. */
bk_day *bk_day_follow(bk_arena *arena, const bk_day_call *call, struct bk_held_file **lock,
                      bk_day_choices *choices, bk_report *report);

#endif
