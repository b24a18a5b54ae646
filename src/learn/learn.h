/* What the kitchen's own times say: the real times of stages, kept beside the recipes, and the
 * ranges, the pace and the warming of ovens that they propose.
 */
#ifndef BK_LEARN_H
#define BK_LEARN_H

#include "files/files.h"
#include "plan/plan.h"

/* ------------------------------------------------------------------ history */

/* How long something really took, once. */
typedef struct bk_real_time {
    bk_instant at; /* when it ended */
    /* A stage, by its id as written: without a batch's number. NULL: an oven. */
    const char *dish, *stage;
    int batch;        /* 1..; 0: it is done once */
    const char *oven; /* how long it took to be hot, by the name of the equipment; else NULL */
    int64_t minutes;  /* 0 to BK_MOST_REAL */
    int64_t planned;  /* minutes as the plan had it then; 0: not known */
    double times;     /* what the written time was multiplied by then (bk_stage.times); above 0 */
} bk_real_time;

/* Two weeks: nothing is watched for longer. */
enum { BK_MOST_REAL = 14 * BK_DAY };

typedef struct bk_history {
    bk_real_time *items; /* as they stand in the file */
    size_t count;
} bk_history;

/* The history of what is written in `file`, a recipe or a plan: "recipes/torte.json" has
 * "recipes/torte.history.jsonl". NULL where there is no file beside which it could stand
 * ("<stdin>"). */
const char *bk_history_path(bk_arena *arena, const char *file);

/* Reads a history; one that is not there is empty. False after reporting with its place a line
 * that is no real time. What a stopped writer left half written is passed over with a warning
 * that says how many bytes. */
bool bk_history_read(bk_arena *arena, const bk_files *files, const char *path, bk_history *history,
                     bk_report *report);

/* A stage's id as it is written: without the number of a batch. */
const char *bk_written_id(bk_arena *arena, const bk_stage *stage);

/* Adds real times to the history at `path`, which is made when it is not there: all or none,
 * flushed to the disk before it returns. Those that stand there already (the same instant, dish,
 * stage, batch and oven) are not added again, so that a day that was stopped while it was
 * finished can be finished again. What a stopped writer left half written is set aside first,
 * with a warning that names the file. Holds the file only meanwhile. False after reporting:
 * another program holds it, no rights, no room, a line of it that is no real time. Instants are
 * written in `zone`. Of one file at a time: call it for each bk_history_path of the stages'
 * places (bk_stage.range_place). Only times that somebody told, of a stage both its start and its
 * end, are real: one that was taken to go as planned would teach the plan to itself. */
bool bk_history_append(bk_arena *arena, const char *path, const bk_zone *zone,
                       const bk_real_time *times, size_t count, bk_report *report);

/* ---------------------------------------------------------------- proposals */

/* Fewer real times than this propose nothing; of more than the other the last count. */
enum { BK_LEAST_TIMES = 3, BK_MOST_TIMES = 30 };

/* The real times of one written time: of a stage, all batches of it and all dishes of the
 * same recipe together. */
typedef struct bk_stage_times {
    size_t stage;               /* index in plan.stages: the first with this written time */
    const char *id;             /* as written */
    const char *written;        /* "12-15 min"; NULL: it is computed from "cooling" */
    const bk_real_time **times; /* the last of them, in the order they were added */
    double *minutes;            /* of each, as a recipe writes it: divided by bk_real_time.times */
    bool *apart;                /* of each: it stands apart from the others and is left out */
    size_t count, older;        /* `older`: real times before them, which do not count */
    const char *proposed;       /* "15-18-23 min"; NULL: too few, or nothing is written */
    bool changes;               /* it is another range than the one written */
} bk_stage_times;

/* A median of ratios, real to written or planned. */
typedef struct bk_factor {
    size_t count; /* real times that it is of; below BK_LEAST_TIMES: nothing is proposed */
    double ratio;
} bk_factor;

typedef struct bk_oven_times {
    size_t equipment;
    bk_factor factor; /* of the minutes from cold to hot, real to planned */
} bk_oven_times;

/* Real times of stages that the recipe has no more. */
typedef struct bk_strange_times {
    const char *path, *stage;
    size_t count;
} bk_strange_times;

typedef struct bk_learned {
    const bk_plan *plan;
    bk_stage_times *stages; /* those with real times, in the order of the plan */
    size_t stage_count;
    size_t without;       /* written times that have no real ones */
    bk_factor hands;      /* active stages, real to likely as written */
    double pace;          /* the kitchen's pace by that, to a twentieth, 0.5 to 3 */
    bk_oven_times *ovens; /* those with real times */
    size_t oven_count;
    bk_strange_times *strange;
    size_t strange_count;
} bk_learned;

/* Reads the histories beside the files of the plan, and works out what they say. NULL after
 * reporting. */
const bk_learned *bk_learn(bk_arena *arena, const bk_files *files, const bk_plan *plan,
                           bk_report *report);

/* A file of the plan with the proposed ranges in the place of the written ones: every other
 * byte is as it was. */
typedef struct bk_changed_file {
    const char *path;
    const char *text;
    size_t length;
    size_t changes;   /* written times that are others now */
    const char *said; /* "bake: 45-50 min is 49-55-62 min now", a line each */
} bk_changed_file;

/* Each file that has something to change; *count of them. NULL after reporting: a file cannot
 * be read again, or is not what it was when the plan was read; or the plan would have errors with
 * these ranges in it (a check behind the end of its stage), which are reported with their
 * places in the changed files. */
const bk_changed_file *bk_learned_files(bk_arena *arena, const bk_files *files,
                                        const bk_learned *learned, size_t *count,
                                        bk_report *report);

/* ------------------------------------------------------- the parts of it, pure */

/* Marks in `apart` what stands apart from the rest: a modified z-score above 3.5 (B. Iglewicz
 * and D. C. Hoaglin, How to Detect and Handle Outliers, ASQC 1993) on the logarithms of the
 * times, unless it is within 5 minutes of the median, which no kitchen notices. Gives their
 * number. Times are minutes above 0. */
size_t bk_stand_apart(bk_arena *arena, const double *times, size_t count, bool *apart);

/* The range in which the next time lies with probability 0.8, and its median, from at least 2
 * times above 0 (minutes): the prediction interval of a log-normal distribution,
 *     exp(m -+ t(0.9; n - 1) s sqrt(1 + 1/n)),  exp(m)
 * with m and s the mean and the standard deviation of the logarithms, t Student's (G. J. Hahn
 * and W. Q. Meeker, Statistical Intervals, Wiley 1991, the prediction interval for one future
 * observation of a normal distribution). Times of work are above 0 and have a long upper
 * end, which a log-normal has (D. Trietsch et al., European Journal of Operational Research 216,
 * 2012, 386-396). Sample quantiles, also smoothed ones (Harrell and Davis 1982), stay within
 * what was seen: of three times that is a range that the next one leaves half the time. */
void bk_next_time(const double *times, size_t count, double *least, double *likely, double *most);

/* The quantile of Student's t at `probability` (above 0.5, below 1), for 1 to 1000 degrees of
 * freedom, to 1e-9: by halving, on the finite sums of Abramowitz and Stegun, Handbook of
 * Mathematical Functions, 26.7.3 and 26.7.4. */
double bk_student_quantile(double probability, int degrees);

/* The median; of an even count the mean of the two in the middle. Sorts. */
double bk_median(double *values, size_t count);

/* The range as a recipe writes it: whole minutes, from an hour on fives, from 8 hours on
 * quarters, the least down, the most up: "15-18-23 min", "60-70-85 min", "1 h 30 min - 1 h 45 min -
 * 2 h". */
const char *bk_range_words(bk_arena *arena, double least, double likely, double most);

/* `source` with the JSON text at `offset` (of its opening quote) replaced by `words`, which
 * need no escapes; appended to `out`, of which *done is how far of the source it has come.
 * False, with nothing appended, when there is no text at `offset` or it is behind *done. */
bool bk_replace_text(const bk_source *source, size_t offset, const char *words, size_t *done,
                     bk_text *out);

#endif
