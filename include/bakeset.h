/* bakeset: when to start so that everything is set, cold or hot on the table.
 *
 * A session reads a plan, schedules it, and writes the timeline as often and in as
 * many forms as wanted; then it may read the next:
 *
 *     bakeset *b = bakeset_new();
 *     if (bakeset_read(b, "plan.json", NULL) == BAKESET_OK &&
 *         bakeset_schedule(b, NULL) == BAKESET_OK) {
 *         const char *text = bakeset_write(b, BAKESET_TEXT, NULL, NULL);
 *         ...
 *     }
 *     for (size_t i = 0; i < bakeset_message_count(b); i++)
 *         fputs(bakeset_message(b, i)->text, stderr);
 *     bakeset_free(b);
 *
 * The library prints nothing, never exits, reads no environment and asks no clock:
 * the same calls give the same bytes, whatever the session did before. It reads the
 * plan's files and the system's time zone data. Sessions are independent; one session
 * is used by one thread at a time. Strings are UTF-8.
 *
 * What is given out. Everything belongs to the session and lives until the call that
 * takes its place:
 *   what bakeset_read gave (its messages, the sources)       the next bakeset_read;
 *   what bakeset_schedule gave, and all texts written of it  the next bakeset_schedule
 *                                                            or bakeset_read;
 *   what bakeset_take_in gave                                the next bakeset_take_in,
 *                                                            bakeset_begin, bakeset_tidy or
 *                                                            bakeset_mend;
 *   what bakeset_cooling gave, and all texts written of it   the next bakeset_cooling,
 *                                                            bakeset_cooling_stage or
 *                                                            bakeset_read;
 * and all until bakeset_free. The data of a timeline, to compute with, comes as JSON
 * (BAKESET_JSON; docs/timeline-schema.md is its contract): there is no second form of it
 * as structs that could say something else.
 *
 * Options. A program sets `size` to the sizeof of the struct it was compiled with, and
 * later versions add members behind the last. An older program's struct is shorter and
 * the members that it lacks have their defaults; a newer program's is longer and is
 * taken as long as what this version does not know is zero, else refused. That costs one
 * member, where a setter for each option would cost a symbol each and an object to
 * free. NULL means all defaults; zeroed members are their defaults, too.
 *
 *     struct bakeset_write_options narrow = {.size = sizeof narrow, .width = 60};
 *
 * Memory. A call that finds none is BAKESET_FAILED (or NULL), with the message "out of
 * memory", and what it should have made is missing; all else in the session is as it
 * was, and the call can be made again.
 */
#ifndef BAKESET_H
#define BAKESET_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__)
#define BAKESET_API __attribute__((visibility("default")))
#else
#define BAKESET_API
#endif

typedef struct bakeset bakeset;

/* Also the exit statuses of the command. */
enum bakeset_result {
    BAKESET_OK = 0,
    BAKESET_IMPOSSIBLE =
        1, /* the plan cannot be met, or no timeline was found in the effort given */
    BAKESET_BAD_INPUT = 2, /* messages say where and what to write instead */
    BAKESET_FAILED = 3     /* a file or memory failed us, or an internal error */
};

/* "0.1.0" */
BAKESET_API const char *bakeset_version(void);

/* A new session, or NULL when there is no memory. */
BAKESET_API bakeset *bakeset_new(void);

/* Accepts NULL. */
BAKESET_API void bakeset_free(bakeset *session);

/* What the last call came to; of those that give a string, why it was NULL. */
BAKESET_API enum bakeset_result bakeset_last_result(const bakeset *session);

struct bakeset_read_options {
    size_t size;       /* sizeof(struct bakeset_read_options) */
    const char *serve; /* moves when it is served: lines of [DISH=]WHEN, WHEN an instant as in
                          the plan file, "18:30" or "+25 min"; or NULL */
    const char *now;   /* nothing is planned before it: an instant, or "18:30" on clock's date;
                          or NULL */
    int64_t clock;     /* minutes since 1970-01-01T00:00Z, the date for `now`; when that is NULL
                          to take as now; 0: none */
    int alone;         /* not 0: a recipe or a kitchen file by itself is read too, to find its
                          problems; there is then no plan to schedule */
    int allow_outside; /* not 0: a plan may name files outside its own folder; only for one that
                          is trusted, for the first line of any file could stand in a message */
};

/* Reads the plan at `path` ("-": standard input) and the files it refers to, in
 * place of any plan read before, of which nothing is left. `options` may be NULL. */
BAKESET_API enum bakeset_result bakeset_read(bakeset *session, const char *path,
                                             const struct bakeset_read_options *options);

/* Reads a plan from memory. `name` stands in messages, and paths in the plan are
 * relative to its folder. The text is copied. */
BAKESET_API enum bakeset_result bakeset_read_text(bakeset *session, const char *name,
                                                  const char *text, size_t length,
                                                  const struct bakeset_read_options *options);

/* What a search is at, and what `best` and `bound` then are. */
enum bakeset_goal {
    BAKESET_GOAL_ANY,               /* a first timeline, whatever it is like; neither */
    BAKESET_GOAL_HANDS_ON,          /* minutes of hands-on work on the last serving day */
    BAKESET_GOAL_BUSIEST_OTHER_DAY, /* such minutes on the busiest other day */
    BAKESET_GOAL_MOVED,             /* of a day under way: stages at another time than was told */
    BAKESET_GOAL_FIRST_START,       /* minutes since 1970-01-01T00:00Z */
    BAKESET_GOAL_INTERRUPTIONS,     /* how many */
    BAKESET_GOAL_WAITING,           /* minutes, over all stages */
    BAKESET_GOAL_WHY,               /* the plan cannot be met: why; neither */
    BAKESET_GOAL_REMEDIES           /* the same: what would help; neither */
};

/* How far a search is. It and its words live until the callback returns. Later versions may add
 * members behind the last. */
struct bakeset_progress {
    enum bakeset_goal goal;
    int level, levels;    /* of the objective's levels, which one, from 0; -1: none yet */
    int found;            /* not 0: there is a timeline */
    int64_t first_start;  /* of the best so far, minutes since 1970-01-01T00:00Z */
    int64_t best, bound;  /* what the best so far has of the goal; what no timeline that is as good
                             in the levels before is better than */
    int64_t used, effort; /* conflicts, or steps worth as many, spent; and granted, which for a
                             first timeline, for reasons and for remedies may not be all */
    const char *words;    /* all this in one short line of ASCII, in the plan's zone */
};

struct bakeset_schedule_options {
    size_t size;    /* sizeof(struct bakeset_schedule_options) */
    int64_t effort; /* search limit in conflicts; 0: the default */
    /* Called now and then while it searches, with progress_context, from the same thread: every so
     * many steps, some times a second on most machines, and never by a search that is soon over.
     * It may ask a clock; what it may not do is call this session. 0 goes on; else the search is
     * given up: the best timeline so far is the result, verified, with status "feasible" and the
     * warning "given-up"; with none so far it is as when the effort ends. NULL: nobody is told. A
     * callback that always gives 0 changes nothing. */
    int (*progress)(void *context, const struct bakeset_progress *progress);
    void *progress_context;
    int64_t every; /* steps of propagation from one call of progress to the next, of which a
                      processor does tens of millions a second; 0: 8,000,000. With fewer a search
                      can be given up sooner */
};

/* Computes the timeline of the plan that was read, and verifies it. IMPOSSIBLE
 * still leaves something to write: why, in text and JSON. BAD_INPUT when no plan was
 * read. `options` may be NULL. */
BAKESET_API enum bakeset_result bakeset_schedule(bakeset *session,
                                                 const struct bakeset_schedule_options *options);

enum bakeset_form {
    BAKESET_TEXT,
    BAKESET_JSON,
    BAKESET_ICS,
    BAKESET_SVG,
    BAKESET_HTML,
    BAKESET_CHART /* the picture in characters */
};

struct bakeset_write_options {
    size_t size;               /* sizeof(struct bakeset_write_options) */
    int width;                 /* text: columns, 40 to 200; 0: 80; chart: 80 at least */
    int colour;                /* text: not 0: ANSI colours */
    int alarm_before;          /* ics: minutes before each step, 0 to 1440 */
    int only_alarms;           /* ics: not 0: leave out events that need nobody */
    int no_summary;            /* ics: not 0: leave out the all-day "start by" event */
    const char *replaces;      /* ics: path of the file written before, or NULL */
    const char *replaces_text; /* ics: where `replaces` is NULL, what it would hold, or NULL */
    const char *over; /* ics: path of the file that it will be written over: when that holds
                         this occasion and nothing is replaced, a warning says so; or NULL */
    int progress;     /* day: not 0: a bar for each stage that runs */
    int64_t clock; /* ics: when it is written, minutes since 1970-01-01T00:00Z, where the plan was
                      read without `now`; 0: not known */
    int ascii;     /* text, chart, day: not 0: ASCII alone */
    int brief;     /* text of a timeline: not 0: a line a step; width 0 is then 40 */
};

/* The timeline in a form, NUL-terminated; its length to *length when not NULL.
 * NULL when there is none to write (bakeset_schedule was not called, or an
 * impossible plan as ics, svg, html or chart), with a message. `options` may be NULL. */
BAKESET_API const char *bakeset_write(bakeset *session, enum bakeset_form form,
                                      const struct bakeset_write_options *options, size_t *length);

/* One event of a calendar: what a server keeps by itself. Later versions may add members
 * behind the last. */
struct bakeset_event {
    const char *uid;     /* the same for the same step of the same occasion, for ever; what stands
                            before its "-" is the occasion's and its date's, what stands
                            behind it is the occasion's and the step's */
    const char *start;   /* in UTC: "20261218T193000Z"; a whole day: "20261218"; as in the
                            calendar where it has no one meaning */
    const char *summary; /* "" when it has none */
    int sequence;
    int cancelled;    /* not 0: it was wanted once and is no more */
    int untouched;    /* not 0: what a person sees of it is as bakeset wrote it, or nobody can
                         tell, because the mark of that is gone */
    const char *text; /* a calendar with this event alone, for CalDAV: it has no METHOD */
    size_t length;
    int marked;        /* not 0: it has bakeset's mark, which tells an edit */
    const char *end;   /* as `start`; "" when it has none, or ends with its day */
    int64_t at;        /* its start, minutes since 1970-01-01T00:00Z; a whole day: its midnight in
                          UTC; INT64_MIN where it has no one meaning */
    const char *stamp; /* DTSTAMP as in the calendar: "20261128T120000Z" */
};

/* The events that BAKESET_ICS writes, one by one, in its order; the last is followed by
 * NULL. How many to *count when not NULL. NULL as bakeset_write gives it. */
BAKESET_API const struct bakeset_event *const *
bakeset_events(bakeset *session, const struct bakeset_write_options *options, size_t *count);

/* The events of one or more whole calendars, such as a server gave: `length` bytes of
 * `text`, called `name` in messages. No plan is needed. They live as long as what
 * bakeset_schedule gave. NULL, with a message, when it is no calendar. */
BAKESET_API const struct bakeset_event *const *bakeset_events_read(bakeset *session,
                                                                   const char *name,
                                                                   const char *text, size_t length,
                                                                   size_t *count);

/* After bakeset_schedule: what fixes the first start (`stage` NULL), why a stage
 * named "dish/id" or, where only one dish has it, "id" is where it is, or, when the
 * plan cannot be met, why not and what would help. As text, NUL-terminated; NULL
 * with a message when there is no such stage or no plan was scheduled. `options`
 * (width) and `schedule` (effort) may be NULL. */
BAKESET_API const char *bakeset_why(bakeset *session, const char *stage,
                                    const struct bakeset_schedule_options *schedule,
                                    const struct bakeset_write_options *options, size_t *length);

/* -------------------------------------------------------------- the day */

struct bakeset_day_options {
    size_t size;     /* sizeof(struct bakeset_day_options) */
    const char *now; /* what time it is: an instant, or "18:30" on clock's date; NULL: clock */
    int64_t clock;   /* minutes since 1970-01-01T00:00Z; 0: none */
    const char *const *words; /* what happened, the last followed by NULL: "begun"|"done"|"skip"
                                 STAGE, "longer" STAGE "20 min", "hot" OVEN ["180 C"],
                                 "out"|"served" DISH, "later" WHEN|DISH=WHEN, "cook" NAME "21:00",
                                 "undo", "finish"; NULL: nothing, what is to be done now; "next":
                                 only what comes next */
    const char *at;           /* when it happened: "19:10", or an instant; NULL: now */
    int64_t effort;           /* search limit in conflicts; 0: the default */
    int allow_outside;        /* as for bakeset_read */
    int once; /* not 0: what the journal says already (that a stage is begun, done or skipped, that
                 a dish is out or served) is not added again: two who say it make one entry */
    const char *id; /* by which who says it knows it, 1 to 64 characters: it stands in the journal
                       with what was said, and what has it already is not added again, whatever the
                       words are and whoever asks; NULL: none */
    size_t since;   /* without words: bytes of the journal of which all was told already, as
                       bakeset_day_journal gave them; what others wrote behind them is told as if it
                       were said now, and what moved by it. 0: nothing is */
    /* As in bakeset_schedule_options, of all that is planned anew, one search after the other.
     * Given up, the day is the best until then, with the warning "given-up"; IMPOSSIBLE where there
     * was none. What was said is added all the same. */
    int (*progress)(void *context, const struct bakeset_progress *progress);
    void *progress_context;
    int64_t every;
};

/* Follows the day of the plan at `path`: reads it and the journal beside it (supper.json:
 * supper.day.jsonl), adds what happened to the journal, flushed to the disk, and plans what is
 * to come anew: least late, with the fewest stages moved. In place of any plan read before; then
 * all that writes a timeline writes this one. BAD_INPUT, with nothing added, when what was said
 * is not understood; IMPOSSIBLE when nothing goes on from here (what was said is added all the
 * same). */
BAKESET_API enum bakeset_result bakeset_day(bakeset *session, const char *path,
                                            const struct bakeset_day_options *options);

/* After bakeset_day that was BAD_INPUT: the stages, as "dish/id", that a name given may mean,
 * the last followed by NULL; NULL when that was not the fault. */
BAKESET_API const char *const *bakeset_day_choices(const bakeset *session);

/* After bakeset_day: what time it took it to be, and when somebody is wanted next, after that;
 * minutes since 1970-01-01T00:00Z. BAD_INPUT when there is no day; bakeset_day_next also when
 * nothing comes. */
BAKESET_API enum bakeset_result bakeset_day_now(const bakeset *session, int64_t *now);
BAKESET_API enum bakeset_result bakeset_day_next(const bakeset *session, int64_t *next);

/* After bakeset_day: the bytes of the journal that the day stands on, what was said now among them;
 * 0: there is no journal, or its length could not be told. A journal that is longer has been added
 * to since. BAD_INPUT when there is no day. */
BAKESET_API enum bakeset_result bakeset_day_journal(const bakeset *session, size_t *length);

/* The occasion that a journal is of, given as its text, while its day goes on; NULL: it tells none,
 * its day is over, or it is no journal. Lines that are wrong are passed over, with messages. It
 * lives as long as what bakeset_take_in gave. */
BAKESET_API const char *bakeset_under_way_text(bakeset *session, const char *text, size_t length);

/* After bakeset_day: the stages that run, as "dish/id", the last followed by NULL; NULL when
 * there is no day. */
BAKESET_API const char *const *bakeset_day_running(const bakeset *session);

/* After bakeset_day: what changed, what now, what runs, what comes next, when hands are free, in
 * at most 60 columns. As bakeset_write otherwise; of the options width and colour count. */
BAKESET_API const char *
bakeset_write_day(bakeset *session, const struct bakeset_write_options *options, size_t *length);

/* The same as data, one JSON object (docs/timeline-schema.md): lists of lines "changed", "notes",
 * "now" and "next", "runs" with when each ends, "hands_free", "finished". */
BAKESET_API const char *bakeset_write_day_json(bakeset *session, size_t *length);

/* ------------------------------------------------------------- cooling */

/* How long food takes until its warmest point (or, warming, its coldest) is at a
 * temperature: a free question, whether or not a plan was read. `words` is key, value, key, value,
 * NULL, the keys those of a plan's "cooling": "shape", "across", "deep", "food", "from", "to",
 * "in", "air", "base", "tin", "cover"; and "stirred", "fan" ("yes" or "no"), "places" ("room 30
 * min, fridge 1 h"), "onto", "onto-deep", "onto-from", "melts" (a layer below), "milk-fat",
 * "pores", "h" (W/(m2 K): "8", or weak, typical and strong "5-8-10"), for a material "k", "rho",
 * "cp" in SI, for a composition "water", "protein", "fat", "carbohydrate", "fibre", "ash",
 * "air-fraction". "in" is "fridge", "freezer", "room", "water bath" or "ice bath". docs/cooling.md
 * tells the defaults. The last question is kept; BAD_INPUT with messages when it cannot be
 * answered. */
BAKESET_API enum bakeset_result bakeset_cooling(bakeset *session, const char *const *words);

/* The question of the plan's stage `stage` ("dish/id", or "id" where one dish has it;
 * NULL: the only one with "cooling"), of which the words replace parts; `words` may be
 * NULL. */
BAKESET_API enum bakeset_result bakeset_cooling_stage(bakeset *session, const char *stage,
                                                      const char *const *words);

/* The answer as TEXT, JSON or SVG, NUL-terminated; its length to *length when not
 * NULL. NULL with a message when there is none. `options` (width) may be NULL. */
BAKESET_API const char *bakeset_write_cooling(bakeset *session, enum bakeset_form form,
                                              const struct bakeset_write_options *options,
                                              size_t *length);

/* The foods that "food" knows by name, one or more lines each. `options` (width) may
 * be NULL. NULL when there is no memory. */
BAKESET_API const char *bakeset_foods(bakeset *session,
                                      const struct bakeset_write_options *options);

/* ------------------------------------------------------------- recipes */

struct bakeset_begin_options {
    size_t size;                /* sizeof(struct bakeset_begin_options) */
    const char *const *recipes; /* paths of recipe files, the last followed by NULL; or NULL */
    const char *const *named;   /* the same as the plan shall name them; NULL: as in recipes */
    const char *occasion, *serve, *timezone; /* as in a plan; NULL: something to change */
};

/* The text of a plan to begin with: one dish to change, or an occasion of recipes in a
 * kitchen that has what they ask for. NUL-terminated; its length to *length when not NULL. NULL
 * with a message when a recipe cannot be read. `options` may be NULL. It lives as long as what
 * bakeset_take_in gave. */
BAKESET_API const char *bakeset_begin(bakeset *session, const struct bakeset_begin_options *options,
                                      size_t *length);

/* The draft of a recipe file, made of a recipe from outside at `path` ("-": standard
 * input): a saved web page, schema.org data as JSON, or a plain text, at most 8 MiB. In it every
 * guess is a comment with its reason. NUL-terminated; its length to *length when not NULL. NULL
 * with a message when nothing there reads like the steps of a recipe. Nothing is fetched;
 * a plan that was read stays. docs/take-in.md tells what is read, and how well. */
BAKESET_API const char *bakeset_take_in(bakeset *session, const char *path, size_t *length);

/* The same from memory; `name` stands in the draft and in messages. */
BAKESET_API const char *bakeset_take_in_text(bakeset *session, const char *name, const char *text,
                                             size_t text_length, size_t *length);

/* ------------------------------------------------------------- learning */

/* After bakeset_read, of a plan or of a recipe by itself: the written times of its stages beside
 * the real ones in the histories next to its files ("torte.json" has "torte.history.jsonl"), and
 * from three real times on a range, the kitchen's pace and the warming of ovens proposed of them.
 * As text, NUL-terminated; its length to *length when not NULL. `options` (width) may be NULL.
 * NULL with a message when nothing was read or a history cannot be read. It lives as long as
 * what bakeset_schedule gave. */
BAKESET_API const char *
bakeset_history(bakeset *session, const struct bakeset_write_options *options, size_t *length);

/* A file of the plan with the proposed ranges in place of those written, every other byte as it
 * was. Later versions may add members behind the last. */
struct bakeset_changed_file {
    const char *path;
    const char *text; /* the whole file */
    size_t length;
    size_t changes;   /* ranges that are others now */
    const char *said; /* each of them in words, a line each */
};

/* The files that bakeset_history proposes to change; the last is followed by NULL. How many to
 * *count when not NULL. Nothing is written: that is the caller's. NULL as bakeset_history
 * gives it, and when a file is not any more what it was when it was read. */
BAKESET_API const struct bakeset_changed_file *const *bakeset_history_changes(bakeset *session,
                                                                              size_t *count);

/* -------------------------------------------------------------- layout */

/* The file at `path` ("-": standard input), a plan, a recipe or a kitchen, laid out in one
 * way: the same values in the same order, numbers and texts as written, every comment kept. What
 * it gives, laid out again, comes out as it is. NUL-terminated; its length to *length when not
 * NULL. NULL with messages when it is not JSON as a plan file is; what else is wrong with it as
 * a plan does not matter here. It lives as long as what bakeset_take_in gave. */
BAKESET_API const char *bakeset_tidy(bakeset *session, const char *path, size_t *length);

/* The same from memory; `name` stands in messages. */
BAKESET_API const char *bakeset_tidy_text(bakeset *session, const char *name, const char *text,
                                          size_t text_length, size_t *length);

/* The value of a plan's, a recipe's or a kitchen's text as strict JSON: without comments and
 * blanks, on one line, its numbers and texts as written. `name` stands in messages. NULL with
 * messages when it is not JSON as a plan file is. It lives as long as what bakeset_take_in gave. */
BAKESET_API const char *bakeset_plain_text(bakeset *session, const char *name, const char *text,
                                           size_t text_length, size_t *length);

/* The comments of such a text, as a JSON list of {"pointer", "text"}: what each is about (RFC 6901:
 * the value before it on its line, else the next one, else the one around it), and its words. As
 * bakeset_plain_text otherwise. */
BAKESET_API const char *bakeset_comments_text(bakeset *session, const char *name, const char *text,
                                              size_t text_length, size_t *length);

/* A plan's, a recipe's or a kitchen's text changed as `patch` says, a JSON Patch (RFC 6902), all of
 * it or nothing: every other byte stays, comments too, and what is put in is indented as its
 * neighbours. `name` stands in messages, those about the patch without a place. NULL with messages
 * when the text is not JSON as a plan file is, or the patch cannot be done (code "patch"; a test in
 * it that failed: "patch-test"). It lives as long as what bakeset_take_in gave. */
BAKESET_API const char *bakeset_patch_text(bakeset *session, const char *name, const char *text,
                                           size_t text_length, const char *patch,
                                           size_t patch_length, size_t *length);

/* --------------------------------------------------------------- mends */

/* A file of a plan, mended. Later versions may add members behind the last. */
struct bakeset_mended {
    const char *file;   /* its path */
    const char *before; /* all of it as it is; NUL-terminated */
    size_t before_length;
    const char *text; /* all of it mended: every other byte as it is, and as many lines */
    size_t length;
    size_t mends; /* how many places */
};

/* What the sure mends of the faults of the plan at `path` come to (a forgotten comma, a
 * mistyped key that can mean one only), in this file and those that it names; nothing is
 * written. The plan is read again with them: mends that leave no fewer errors are left out. The
 * files that change; the last is followed by NULL; how many to *count when not NULL. `options` as
 * for bakeset_read, whose messages have each mend by itself. The plan that was read stays. NULL
 * with a message when an option is wrong. It lives as long as what bakeset_take_in gave. */
BAKESET_API const struct bakeset_mended *const *
bakeset_mend(bakeset *session, const char *path, const struct bakeset_read_options *options,
             size_t *count);

/* ------------------------------------------------------------ messages */

enum bakeset_severity { BAKESET_WARNING, BAKESET_ERROR };
enum bakeset_concern { BAKESET_OTHER_CONCERN, BAKESET_FOOD_SAFETY, BAKESET_CAUTION };

/* Later versions may add members behind the last. */
struct bakeset_message {
    enum bakeset_severity severity;
    const char *code;    /* a stable word, as "unknown-key" */
    const char *file;    /* as the caller or the plan named it; NULL: about no place */
    size_t line, column; /* from 1, columns in characters; 0 without a file */
    const char *what;    /* what is wrong */
    const char *mend;    /* what to write instead, or NULL */
    const char *text;    /* all of it: "file:line:column: what is wrong; what to write
                            instead", the line of the file and a caret; ends with a newline */
    enum bakeset_concern concern;
    const char *dish, *stage;      /* name and id of the stage it is about; NULL: of no one stage */
    size_t fix_offset, fix_length; /* with fix_text: these bytes of the file, counted from 0 behind
                                      a byte-order mark, become that text */
    const char *fix_text;          /* NULL: no mend is sure */
};

/* Messages, in the order they were found: first of the plan read last, then of its
 * timeline scheduled last and what was written of that, then of the cooling estimate
 * asked for last, then of the recipe taken in last. An index holds until the next call. NULL behind
 * the last. */
BAKESET_API size_t bakeset_message_count(const bakeset *session);
BAKESET_API const struct bakeset_message *bakeset_message(const bakeset *session, size_t index);

/* The JSON Pointer (RFC 6901) to the value of its file that a message is about; NULL when it is
 * about none. It lives as long as the message. */
BAKESET_API const char *bakeset_message_pointer(bakeset *session, size_t index);

/* Paths of the files that the plan read last stands in, the plan first: a program
 * that writes files can keep from writing over one. None after a failed read. */
BAKESET_API size_t bakeset_source_count(const bakeset *session);
BAKESET_API const char *bakeset_source(const bakeset *session, size_t index);

/* The first and the last serve of the plan read last, minutes since 1970-01-01T00:00Z;
 * either pointer may be NULL. BAD_INPUT when there is no plan. */
BAKESET_API enum bakeset_result bakeset_serves(const bakeset *session, int64_t *first,
                                               int64_t *last);

/* Where the plan read last says that its events are to be published, its "publish"; NULL:
 * nowhere, or there is no plan. */
BAKESET_API const char *bakeset_publish_to(const bakeset *session);

/* Errors among them, also those beyond the twenty of each call that are kept. */
BAKESET_API size_t bakeset_error_count(const bakeset *session);

/* ----------------------------------------------------------------- words */

/* The name that `word` is likely a slip of, as the messages ask "did you mean …?", or NULL.
 * `names` ends with NULL. For a program's own words; needs no session and no memory. */
BAKESET_API const char *bakeset_nearest(const char *word, const char *const *names);

#ifdef __cplusplus
}
#endif

#endif
