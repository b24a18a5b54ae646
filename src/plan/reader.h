/* What the files of the plan reader share. Private to src/plan.
 *
 * A function that reads a part of the plan reports each problem it finds, fills
 * in something harmless and goes on, so that one run finds as many problems as
 * possible. bk_plan_read gives the plan only when there was no error.
 */
#ifndef BK_PLAN_READER_H
#define BK_PLAN_READER_H

#include "plan/keys.h"
#include "plan/names.h"
#include "plan/plan.h"
#include "json/json.h"

/* Limits that no kitchen meets; they keep every sum far from overflow and the
 * memory and time of a hostile file bounded. */
enum {
    BK_MOST_COOKS = 100,
    BK_MOST_AMOUNT = 1000000,
    BK_MOST_OVENS = 100,
    BK_MOST_BATCHES = 1000,
    BK_MOST_STAGES = 20000,
    BK_MOST_WINDOWS = 100000,
    BK_MOST_FILES = 1000,
    BK_MOST_ALL_BYTES = 64 * 1024 * 1024, /* of all files together */
    BK_MOST_SPAN_DAYS = 800,              /* from earliest to the last serve */
    BK_MOST_STAGE_MINUTES = 500000000,    /* stages times the span's minutes */
    BK_MOST_BAKINGS = 1000,               /* stages in one oven: any two of them are ordered */
    BK_MOST_PLACES = 20,                  /* of one cooling */
    BK_MOST_NAME = 120,                   /* bytes of a name */
    BK_MOST_TEXT = 10000,                 /* bytes of any other text */
    BK_MOST_WARNINGS = 100
};

typedef struct bk_loaded {
    const char *path;
    bk_json *root; /* NULL: it is at fault, which was reported */
} bk_loaded;

typedef struct bk_reader {
    bk_arena *arena;
    const bk_files *files;
    const bk_read_options *options;
    bk_report *report;
    size_t warnings; /* reported by this reading */
    bk_plan *plan;
    bk_loaded *loaded; /* every file referred to */
    size_t loaded_count, loaded_room, source_room;
    size_t asked;             /* files, there or not */
    size_t bytes;             /* of all files */
    const char *folder;       /* of the plan: what it names lies there */
    bool serve_given;         /* by the plan or the command line, good or not */
    bool has_serve;           /* and it is good */
    bk_instant serve;         /* as moved by the command line */
    bk_instant unmoved_serve; /* as the plan says */
    bool serve_from_option;   /* the plan has none; the command line gave it */
    int64_t *serve_shift;     /* of each dish in the list: minutes by which --serve moves it */
    size_t note_room;
    const char **left_out; /* names of dishes that are over */
    size_t left_out_count;
    bool has_span;       /* earliest and last_serve are known */
    bool kitchen_failed; /* its equipment is not known: no echoes about it */
    bool dish_failed;    /* likewise the names of all dishes */
    bk_names equipment;
    bool *equipment_broken; /* of each: its description is at fault */
    bk_names dishes;
    bk_json **dish_json;    /* of each dish, references resolved */
    bool *dish_serve_known; /* of each dish */
    bool *dish_unsure;      /* of each: what it uses or comes after was at fault: no echoes */
    bool *batches_failed;   /* of each: so were its batches */
    bk_names *stages;       /* of each dish: its ids */
    bk_json **stage_json;   /* of each stage; NULL: no object, which was reported */
    size_t stage_json_count, stage_json_room, stage_room;
    size_t link_room; /* of the stage whose links are being read */
} bk_reader;

/* ---------------------------------------------------- problems (problems.c) */

/* An error or a warning, unless the same was said at the same place before (a
 * recipe used by two dishes has its faults once). */
void bk_problem(bk_reader *reader, const char *code, bk_place place, const char *mend,
                const char *format, ...) BK_PRINTF(5, 6);

/* An error whose mend is sure: what bk_fix_text or bk_fix_name gives, or another; one
 * without text is no mend. */
void bk_problem_fix(bk_reader *reader, const char *code, bk_place place, bk_fix fix,
                    const char *mend, const char *format, ...) BK_PRINTF(6, 7);

/* The text (or key) that stands at a place becomes this one; no mend when `text` is NULL or
 * none stands there. */
bk_fix bk_fix_text(bk_reader *reader, bk_place place, const char *text);

/* The same, by the one of the names that a mistyped word means; no mend when it might be
 * another as well, or another number. */
bk_fix bk_fix_name(bk_reader *reader, bk_place place, const char *word, const char *const *names);
const char *bk_meant_surely(bk_reader *reader, const char *word, const char *const *names);

void bk_remark(bk_reader *reader, const char *code, bk_place place, const char *mend,
               const char *format, ...) BK_PRINTF(5, 6);

/* Puts the messages from the first-th on in the order of the files and of the places
 * in them: problems are found in another order than a cook mends them. */
void bk_sort_problems(bk_reader *reader, size_t first);

/* Whether another error would still be kept: costly suggestions are made only
 * then. */
bool bk_problem_is_kept(const bk_reader *reader);

/* The name that a mistyped word most likely means, or NULL. Surer than bk_nearest,
 * whose guess is only shown: two thirds of the letters must be the same, so that
 * "colour" is not read as "cooks". */
const char *bk_meant(bk_reader *reader, const char *word, const char *const *names);

/* `did you mean "nearest"?` for a mistyped word; else, when there are few names and
 * `whose` is not NULL, `whose has "a" and "b"`; else NULL. */
const char *bk_suggestion(bk_reader *reader, const char *word, const char *const *names,
                          const char *whose);

/* `"a", "b" or "c"`, with `last` for "or". */
const char *bk_choices(bk_arena *arena, const char *const *words, const char *last);

/* "`name` must be `expected`, not a number". */
void bk_wrong_type(bk_reader *reader, bk_json *json, const char *name, const char *expected,
                   const char *mend);

/* --------------------------------------------------------- values (values.c) */

/* True when `json` is an object; else reports. `name` is what to call it. */
bool bk_is_object(bk_reader *reader, bk_json *json, const char *name, const char *mend);

/* Reports each key that is not among the known ones of keys.h, and takes a mistyped one for
 * the one that is meant. `whose` says what they belong to: "a stage". */
void bk_check_keys(bk_reader *reader, bk_json *object, const char *whose, const bk_key *known);

/* Reports a missing key of an object. */
void bk_missing(bk_reader *reader, bk_json *object, const char *whose, const char *key,
                const char *mend);

/* Checks a text: not empty, at most `most` bytes, no control characters (line
 * breaks only with `lines`). */
bool bk_check_text(bk_reader *reader, bk_place place, const char *text, const char *name,
                   size_t most, bool lines);

/* A value that must be such a text; NULL after reporting. */
const char *bk_text_value(bk_reader *reader, bk_json *json, const char *name, size_t most,
                          bool lines);

/* Readers of one key. Each returns true when the key is there and good, and
 * leaves its result alone otherwise. */
bool bk_get_duration(bk_reader *reader, bk_json *object, const char *key, int64_t *minutes);
bool bk_get_count(bk_reader *reader, bk_json *object, const char *key, int64_t most,
                  int64_t *count);
bool bk_get_boolean(bk_reader *reader, bk_json *object, const char *key, bool *truth);
bool bk_get_word(bk_reader *reader, bk_json *object, const char *key, const char *const *words,
                 int *index);
bool bk_get_instant(bk_reader *reader, bk_json *object, const char *key, bk_instant *instant);

bool bk_duration_value(bk_reader *reader, bk_json *json, const char *name, int64_t *minutes);

/* A temperature from `least` to `most` degrees Celsius. */
bool bk_temperature_value(bk_reader *reader, bk_json *json, const char *name, double least,
                          double most, double *celsius);
bool bk_count_value(bk_reader *reader, bk_json *json, const char *name, int64_t most,
                    int64_t *count);

/* An instant from text that stands at `place` (no place: from the command line). */
bool bk_instant_text(bk_reader *reader, bk_place place, const char *name, const char *text,
                     bk_instant *instant);

/* -------------------------------------------------- references (references.c) */

/* Loads the plan itself; NULL after reporting. */
bk_json *bk_load_plan(bk_reader *reader, const char *path);

/* Names of equipment that a recipe asks for, each once. */
enum { BK_MOST_NAMED = 500 };

typedef struct bk_ware {
    const char *name;
    bool oven, cold;
} bk_ware;

typedef struct bk_kitchenware {
    bk_ware items[BK_MOST_NAMED];
    size_t count;
    bool too_many;
} bk_kitchenware;

/* Adds what the recipe's own stages name. (alone.c) */
void bk_gather_equipment(bk_kitchenware *all, const bk_json *recipe);

/* With a recipe or a kitchen by itself as `root`: a plan around it, and the plan is marked as
 * such; else `root`. (alone.c) */
bk_json *bk_plan_around(bk_reader *reader, bk_json *root);

/* A thing that may stand in a file of its own. */
typedef struct bk_reference {
    const char *what, *file; /* "a dish", "the recipe" */
    const bk_key *known;
    const char *key; /* of these, the one that names a file */
    bool bare;       /* a text in its place is a path too */
} bk_reference;

/* `json` with its references followed: the members of an object override those of
 * the file that it names. Checks the keys of each layer. Gives an object with all
 * members but the reference, or NULL after reporting. */
bk_json *bk_resolve(bk_reader *reader, bk_json *json, const bk_reference *reference);

/* The text of a file that a value names; NULL after reporting. */
const bk_source *bk_load_beside(bk_reader *reader, bk_json *path, const char *what);

/* ----------------------------------------------------------- parts of the plan */

/* The kitchen with its references followed; NULL when there is none or it is at
 * fault. (read_kitchen.c) */
bk_json *bk_read_kitchen(bk_reader *reader, bk_json *json);

/* Names of dishes and stages, and when each dish is served. (read_dish.c) */
void bk_read_dishes(bk_reader *reader, bk_json *list);

/* The text of an instant: the hour `minute` on the civil date of another instant. (serve.c) */
const char *bk_hour_on_date(bk_reader *reader, bk_instant instant, int minute);

/* Reads --serve against the dishes of the list (references resolved): fills
 * reader->serve_shift, moves reader->serve, and notes it in the plan. (serve.c) */
void bk_move_serves(bk_reader *reader, bk_json *const *dishes, size_t count);

/* Where the plan has no serve: an instant from --serve in its place. (serve.c) */
bool bk_serve_option_alone(bk_reader *reader, bk_instant *serve);

/* When a dish is served as the plan has it, --serve aside; false when that is not known,
 * without a word. (serve.c) */
bool bk_own_or_plan_serve(const bk_reader *reader, const bk_json *dish, bk_instant *serve);

/* Notes that these dishes are left out: they were served before now. (serve.c) */
void bk_note_left_out(bk_reader *reader, const char *const *names, size_t count);

/* The rest of a dish, with its stages. (read_dish.c, read_stage.c) */
void bk_read_dish_details(bk_reader *reader, size_t dish);
void bk_read_stage(bk_reader *reader, size_t stage);

/* `the dish "Torte"`, `the stage "bake"`; something that says as much when it has no
 * name. */
const char *bk_dish_words(bk_reader *reader, size_t dish);
const char *bk_stage_words(bk_reader *reader, size_t stage);

/* Parts of a stage or dish. (links.c, needs.c, read_cooling.c) */
void bk_read_links(bk_reader *reader, size_t stage);
void bk_read_needs(bk_reader *reader, size_t stage);
void bk_read_holds(bk_reader *reader, size_t stage);
void bk_read_stored(bk_reader *reader, size_t dish);

/* The value of "cooling": fills the stage's range; false after reporting. */
bool bk_read_cooling_stage(bk_reader *reader, size_t stage, bk_json *json);

/* Reports each circle of links, and each hold that ends before it begins. (order.c) */
void bk_check_cycles(bk_reader *reader);
void bk_check_holds(bk_reader *reader);

/* A length under a key, in metres; false after reporting, or when it is needed and missing.
 * (read_cooling.c) */
bool bk_get_length(bk_reader *reader, bk_json *object, const char *key, const char *whose,
                   bool needed, double *metres);

/* The keys "tin" and "into" of a dish, into its scale; "serves" and "make" are read. (tins.c) */
void bk_read_tins(bk_reader *reader, size_t dish, bk_json *json);

/* Whether it is made in another tin than it was written for; and how many times as long it
 * then has to be in the oven, as far as that is known. (tins.c) */
bool bk_other_tin(const bk_dish *dish);
double bk_tin_longer(const bk_dish *dish);

/* What the other tin means for a stage in a heated oven. (tins.c) */
void bk_read_tin_caution(bk_reader *reader, size_t stage);

/* When parts are wanted; reports those that nothing is made of. (parts.c) */
void bk_check_parts(bk_reader *reader);

/* Whether a dish is a part. (parts.c) */
bool bk_is_part(const bk_json *dish);

/* Of the dishes with references resolved, of which those served before now are marked:
 * marks the parts that only those are made of. (parts.c) */
void bk_parts_over(bk_reader *reader, bk_json *const *dishes, size_t count, bool *over);

/* Reports what stands in a switched-off oven that nothing before it heated. (needs.c) */
void bk_check_off(bk_reader *reader);

/* Reports the stage that is one too many for an oven. (needs.c) */
void bk_check_bakings(bk_reader *reader);

/* A daily window, on all days, on some of the week, or on one date. */
typedef struct bk_hours {
    int from, to;  /* minutes of the civil day; to <= from: into the next */
    unsigned days; /* on which it begins: bit 0 is Monday */
    bool has_date;
    int64_t date; /* of a day number */
    bk_place place;
} bk_hours;

/* Whether an object has the keys of such hours, and reading it. (hours.c) */
bool bk_is_hours(bk_json *object);
bool bk_read_hours(bk_reader *reader, bk_json *object, bk_hours *hours);

/* Whether hours begin on a day (for a date: its own day). (hours.c) */
bool bk_hours_occur(const bk_hours *hours, int64_t day);

/* Whether hours that begin on `day` belong to the night from noon of day `night` to the
 * next noon. (hours.c) */
bool bk_begins_in_night(const bk_hours *hours, int64_t day, int64_t night);

/* The window a stage is to lie in; the serves are known. (hours.c) */
void bk_read_when(bk_reader *reader, size_t stage);

/* The value of "cooks" that is a list of names; their hours are read with the kitchen's.
 * (cooks.c) */
void bk_read_cooks(bk_reader *reader, bk_json *list);

/* Every window in the plan's span. (windows.c) */
void bk_read_windows(bk_reader *reader, bk_json *kitchen);

/* A stage named in dish `dish` as "id" or "dish/id"; SIZE_MAX after reporting at
 * the value. */
size_t bk_find_stage_named(bk_reader *reader, size_t dish, bk_json *json);

/* How many batches a name means whose stage bk_find_stage_named has found: 1 for a stage
 * that is done once, and where one batch is named ("bake#2"). */
size_t bk_batches_meant(const bk_reader *reader, size_t found, const bk_json *json);

/* The words of "is" as a sentence has them: "raw", "cooked" or ... (is_words.c) */
const char *bk_is_listed(bk_arena *arena);

/* The key "batches" of a dish: which of its stages, and how often. (batches.c) */
typedef struct bk_batches {
    size_t count;         /* 0: no batches, or at fault, which was reported */
    size_t first, stages; /* of the list of stages, from 0 */
} bk_batches;
bk_batches bk_read_batches(bk_reader *reader, bk_json *dish);

#endif
