/* The library's face over the rooms: sessions, and the one place where running
 * out of memory is caught. */
#include "bakeset.h"

#include "compile/compile.h"
#include "day/day.h"
#include "explain/explain.h"
#include "icalendar/icalendar.h"
#include "learn/learn.h"
#include "schedule/schedule.h"
#include "takein/takein.h"
#include "write/write.h"
#include "json/json.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

/* What one kind of call leaves behind, until the next of its kind takes its place. */
typedef struct bk_shelf {
    bk_arena *arena;
    bk_report report;
    struct bakeset_message *messages; /* of the report, so that asking for one cannot fail */
    size_t count;
    bool out_of_memory; /* one message more, behind them */
} bk_shelf;

/* In the order of their messages. */
enum {
    READING,    /* the plan */
    SCHEDULING, /* its timeline, and what was written of it */
    COOLING,    /* an estimate, and what was written of it */
    TAKING,     /* a recipe taken in */
    SHELVES
};

struct bakeset {
    jmp_buf no_memory;
    bk_shelf shelves[SHELVES];
    const bk_plan *plan;
    const bk_plan *read; /* the same, also around a recipe or a kitchen by itself */
    bk_timeline *timeline;
    bk_day *day;                  /* the timeline is of a day under way; or NULL */
    struct bk_held_file *journal; /* held while bakeset_day adds to it */
    const char *const *choices, *const *running;
    bk_instant next_touch;
    bk_cooled *cooled;
    enum bakeset_result result;
};

const char *bakeset_version(void)
{
    return BAKESET_VERSION;
}

/* ------------------------------------------------------------------ shelves */

static bool shelf_open(bakeset *session, bk_shelf *shelf)
{
    shelf->arena = bk_arena_new(&session->no_memory);
    if (shelf->arena)
        shelf->report = bk_report_new(shelf->arena);
    return shelf->arena;
}

static void shelf_clear(bk_shelf *shelf)
{
    bk_arena *arena = shelf->arena;
    bk_arena_release(arena, (bk_mark){0});
    *shelf = (bk_shelf){.arena = arena, .report = bk_report_new(arena)};
}

bakeset *bakeset_new(void)
{
    bakeset *session = calloc(1, sizeof *session);
    for (size_t i = 0; session && i < SHELVES; i++)
        if (!shelf_open(session, &session->shelves[i])) {
            bakeset_free(session);
            return NULL;
        }
    return session;
}

void bakeset_free(bakeset *session)
{
    if (!session)
        return;
    for (size_t i = 0; i < SHELVES; i++)
        bk_arena_free(session->shelves[i].arena);
    free(session);
}

static void clear_cooling(bakeset *session)
{
    session->cooled = NULL;
    shelf_clear(&session->shelves[COOLING]);
}

static void clear_timeline(bakeset *session)
{
    session->timeline = NULL;
    session->day = NULL;
    session->choices = NULL;
    shelf_clear(&session->shelves[SCHEDULING]);
}

static void clear_plan(bakeset *session)
{
    clear_cooling(session);
    clear_timeline(session);
    session->plan = session->read = NULL;
    shelf_clear(&session->shelves[READING]);
}

static struct bakeset_message message_of(bk_arena *arena, const bk_plan *plan,
                                         const bk_message *message)
{
    static const enum bakeset_concern concerns[] = {[BK_OTHER_CONCERN] = BAKESET_OTHER_CONCERN,
                                                    [BK_FOOD_SAFETY] = BAKESET_FOOD_SAFETY,
                                                    [BK_CAUTION] = BAKESET_CAUTION};
    bk_text text = bk_text_new(arena);
    bk_message_write(message, &text);
    struct bakeset_message given = {
        .severity = message->severity == BK_ERROR ? BAKESET_ERROR : BAKESET_WARNING,
        .concern = concerns[message->about.concern],
        .code = message->code,
        .what = bk_showable(arena, message->text, strlen(message->text)),
        .mend = message->mend ? bk_showable(arena, message->mend, strlen(message->mend)) : NULL,
        .text = text.data};
    given.fix_offset = message->fix.offset;
    given.fix_length = message->fix.length;
    given.fix_text = message->fix.text;
    if (message->place.source) {
        given.file = message->place.source->name;
        bk_place_locate(message->place, &given.line, &given.column);
    }
    if (plan && message->about.stage < plan->stage_count) {
        const bk_stage *stage = &plan->stages[message->about.stage];
        given.dish = plan->dishes[stage->dish].name;
        given.stage = stage->id;
    }
    return given;
}

/* Ends a call: what was reported is given out. */
static enum bakeset_result finish(bakeset *session, bk_shelf *shelf, enum bakeset_result result)
{
    size_t count = shelf->report.count;
    if (count > shelf->count) {
        struct bakeset_message *messages = BK_NEW(shelf->arena, struct bakeset_message, count);
        for (size_t i = 0; i < count; i++)
            messages[i] = i < shelf->count
                              ? shelf->messages[i]
                              : message_of(shelf->arena, session->plan, &shelf->report.messages[i]);
        shelf->messages = messages;
        shelf->count = count;
    }
    session->result = result;
    return result;
}

/* Ends a call that found no memory. What it should have made is not there; what
 * others left is. */
static enum bakeset_result out_of_memory(bakeset *session, bk_shelf *shelf)
{
    shelf->out_of_memory = true;
    session->result = BAKESET_FAILED;
    return BAKESET_FAILED;
}

/* Ends a call that gives a string, which is NULL when there is a fault. */
static const char *finish_text(bakeset *session, bk_shelf *shelf, const bk_text *text,
                               size_t *length)
{
    enum bakeset_result without = shelf->report.machine_failed ? BAKESET_FAILED : BAKESET_BAD_INPUT;
    finish(session, shelf, text ? BAKESET_OK : without);
    if (text && length)
        *length = text->length;
    return text ? text->data : NULL;
}

static void usage(bk_shelf *shelf, const char *what, const char *mend)
{
    bk_error(&shelf->report, "usage", (bk_place){0}, mend, "%s", what);
}

/* The caller's options, of which this version knows the first `size` bytes, into
 * zeroed ones of ours. */
static bool take_options(bk_shelf *shelf, const void *given, void *options, size_t size)
{
    enum { MOST_SIZE = 4096 }; /* more than it will ever be: what was never set is often huge */
    size_t theirs = 0;
    if (!given)
        return true;
    memcpy(&theirs, given, sizeof theirs);
    if (theirs < sizeof theirs || theirs > MOST_SIZE) {
        usage(shelf, "the size of an options struct is not set", "set size to its sizeof");
        return false;
    }
    for (size_t i = size; i < theirs; i++)
        if (((const unsigned char *)given)[i] != 0) {
            usage(shelf, "an option is set that this version of bakeset does not know",
                  "leave it zero, or take a newer version");
            return false;
        }
    memcpy(options, given, theirs < size ? theirs : size);
    return true;
}

/* ------------------------------------------------------------------ reading */

static bk_read_options reading_of(const struct bakeset_read_options *options)
{
    return (bk_read_options){.serve = options->serve,
                             .has_now = options->now || options->clock != 0,
                             .now = options->now,
                             .clock = options->clock,
                             .alone = options->alone != 0,
                             .allow_outside = options->allow_outside != 0};
}

static enum bakeset_result read_with(bakeset *session, const bk_files *files, const char *path,
                                     const struct bakeset_read_options *given)
{
    bk_shelf *shelf = &session->shelves[READING];
    struct bakeset_read_options options = {0};
    if (!take_options(shelf, given, &options, sizeof options))
        return finish(session, shelf, BAKESET_BAD_INPUT);
    bk_read_options reading = reading_of(&options);
    const bk_plan *plan = bk_plan_read(shelf->arena, files, path, &reading, &shelf->report);
    enum bakeset_result result = plan                           ? BAKESET_OK
                                 : shelf->report.machine_failed ? BAKESET_FAILED
                                                                : BAKESET_BAD_INPUT;
    finish(session, shelf, result);
    session->plan = plan && !plan->alone ? plan : NULL;
    session->read = plan;
    return result;
}

enum bakeset_result bakeset_read(bakeset *session, const char *path,
                                 const struct bakeset_read_options *options)
{
    clear_plan(session);
    if (setjmp(session->no_memory))
        return out_of_memory(session, &session->shelves[READING]);
    bk_files files = bk_files_system();
    return read_with(session, &files, path, options);
}

/* One text in memory under a name; everything else from the system. */
struct memory_file {
    bk_files system;
    const char *name, *text;
    size_t length;
};

static bool load_memory(void *context, bk_arena *arena, const char *path, size_t most,
                        const char **text, size_t *length, const char **problem)
{
    const struct memory_file *file = context;
    if (strcmp(path, file->name) != 0)
        return file->system.load(file->system.context, arena, path, most, text, length, problem);
    if (file->length > most) {
        *problem = BK_TOO_LONG;
        return false;
    }
    *text = bk_copy(arena, file->text, file->length);
    *length = file->length;
    return true;
}

enum bakeset_result bakeset_read_text(bakeset *session, const char *name, const char *text,
                                      size_t length, const struct bakeset_read_options *options)
{
    clear_plan(session);
    if (setjmp(session->no_memory))
        return out_of_memory(session, &session->shelves[READING]);
    struct memory_file file = {bk_files_system(), name, text, length};
    bk_files files = {load_memory, &file};
    return read_with(session, &files, name, options);
}

/* ----------------------------------------------------------------- progress */

/* Who wants to be told how far a search is. */
typedef struct bk_told {
    bk_arena *arena;
    int (*progress)(void *context, const struct bakeset_progress *progress);
    void *context;
} bk_told;

/* How much better than the best so far it may get: "at most 2 h 10 min less waiting". */
static const char *goal_words(bk_arena *arena, const bk_search_state *p)
{
    int64_t less = p->best - p->bound;
    switch (p->goal) {
    case BK_GOAL_HANDS_ON:
    case BK_GOAL_BUSIEST_OTHER_DAY:
        return less <= 0 ? ""
                         : bk_format(arena, "at most %s less hands-on%s", bk_minutes(arena, less),
                                     p->goal == BK_GOAL_HANDS_ON ? "" : " a day");
    case BK_GOAL_WAITING:
        return less <= 0 ? ""
                         : bk_format(arena, "at most %s less waiting", bk_minutes(arena, less));
    case BK_GOAL_FIRST_START:
        return less >= 0 ? "" : bk_format(arena, "at most %s later", bk_minutes(arena, -less));
    case BK_GOAL_INTERRUPTIONS:
        return less <= 0 ? ""
                         : bk_format(arena, "at most %" PRId64 " %s", less,
                                     less == 1 ? "interruption fewer" : "interruptions fewer");
    case BK_GOAL_MOVED:
        return less <= 0 ? "" : bk_format(arena, "at most %" PRId64 " fewer moved", less);
    case BK_GOAL_WHY:
        return "looking for the reasons";
    case BK_GOAL_REMEDIES:
        return "it cannot be met; looking for what helps";
    case BK_GOAL_ANY:
        break;
    }
    return p->found ? "" : "no timeline yet";
}

static const char *progress_words(bk_arena *arena, const bk_search_state *p)
{
    const char *goal = goal_words(arena, p);
    if (!p->found)
        return goal;
    return bk_format(arena, "start %s%s%s", bk_moment_short(arena, p->zone, p->first_start),
                     *goal ? ", " : "", goal);
}

static bool tell(void *context, const bk_search_state *progress)
{
    static const enum bakeset_goal goals[] = {[BK_GOAL_ANY] = BAKESET_GOAL_ANY,
                                              [BK_GOAL_HANDS_ON] = BAKESET_GOAL_HANDS_ON,
                                              [BK_GOAL_BUSIEST_OTHER_DAY] =
                                                  BAKESET_GOAL_BUSIEST_OTHER_DAY,
                                              [BK_GOAL_MOVED] = BAKESET_GOAL_MOVED,
                                              [BK_GOAL_FIRST_START] = BAKESET_GOAL_FIRST_START,
                                              [BK_GOAL_INTERRUPTIONS] = BAKESET_GOAL_INTERRUPTIONS,
                                              [BK_GOAL_WAITING] = BAKESET_GOAL_WAITING,
                                              [BK_GOAL_WHY] = BAKESET_GOAL_WHY,
                                              [BK_GOAL_REMEDIES] = BAKESET_GOAL_REMEDIES};
    const bk_told *told = context;
    bk_mark mark = bk_arena_mark(told->arena);
    struct bakeset_progress given = {.goal = goals[progress->goal],
                                     .level = progress->level,
                                     .levels = progress->levels,
                                     .found = progress->found,
                                     .first_start = progress->first_start,
                                     .best = progress->best,
                                     .bound = progress->bound,
                                     .used = progress->used,
                                     .effort = progress->effort,
                                     .words = progress_words(told->arena, progress)};
    bool on = told->progress(told->context, &given) == 0;
    bk_arena_release(told->arena, mark);
    return on;
}

/* --------------------------------------------------------------- scheduling */

static enum bakeset_result schedule(bakeset *session, const struct bakeset_schedule_options *given)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    struct bakeset_schedule_options options = {0};
    if (!take_options(shelf, given, &options, sizeof options))
        return finish(session, shelf, BAKESET_BAD_INPUT);
    if (!session->plan) {
        usage(shelf, "there is no plan to schedule", "read a plan first");
        return finish(session, shelf, BAKESET_BAD_INPUT);
    }
    bk_told told = {shelf->arena, options.progress, options.progress_context};
    bk_follower follower = bk_follower_new(tell, &told, options.effort);
    follower.every = options.every;
    bk_schedule_options scheduling = {.effort = options.effort,
                                      .remedies = true,
                                      .follower = options.progress ? &follower : NULL};
    bk_timeline *timeline = bk_schedule(shelf->arena, session->plan, &scheduling, &shelf->report);
    bool placed = timeline && (timeline->status == BK_TIMELINE_OPTIMAL ||
                               timeline->status == BK_TIMELINE_FEASIBLE);
    enum bakeset_result result = !timeline ? BAKESET_FAILED
                                 : placed  ? BAKESET_OK
                                           : BAKESET_IMPOSSIBLE;
    finish(session, shelf, result);
    session->timeline = timeline;
    return result;
}

enum bakeset_result bakeset_schedule(bakeset *session,
                                     const struct bakeset_schedule_options *options)
{
    clear_timeline(session);
    if (setjmp(session->no_memory))
        return out_of_memory(session, &session->shelves[SCHEDULING]);
    return schedule(session, options);
}

/* ------------------------------------------------------------------ the day */

/* What runs, by name. */
static const char *const *running_of(bk_arena *arena, const bk_day *day)
{
    const bk_plan *plan = day->plan;
    const char **names = BK_NEW(arena, const char *, plan->stage_count + 1);
    size_t count = 0;
    for (size_t i = 0; i < plan->stage_count; i++)
        if (plan->stages[i].progress == BK_RUNNING)
            names[count++] = bk_stage_name(arena, plan, i);
    return names;
}

enum { MOST_ID = 64 };

static enum bakeset_result follow_day(bakeset *session, const char *path,
                                      const struct bakeset_day_options *given)
{
    bk_shelf *shelf = &session->shelves[READING];
    struct bakeset_day_options options = {0};
    if (!take_options(shelf, given, &options, sizeof options))
        return finish(session, shelf, BAKESET_BAD_INPUT);
    if (!options.now && options.clock == 0) {
        usage(shelf, "it is not said what time it is", "set now or clock");
        return finish(session, shelf, BAKESET_BAD_INPUT);
    }
    if (options.id && (options.id[0] == '\0' || strlen(options.id) > MOST_ID)) {
        usage(shelf, "the id is out of range", "1 to 64 characters");
        return finish(session, shelf, BAKESET_BAD_INPUT);
    }
    bk_files files = bk_files_system();
    bk_day_call call = {.files = &files,
                        .path = path,
                        .now = options.now,
                        .clock = options.clock,
                        .words = options.words,
                        .at = options.at,
                        .id = options.id,
                        .once = options.once != 0,
                        .since = options.since,
                        .allow_outside = options.allow_outside != 0,
                        .effort = options.effort};
    bk_told told = {shelf->arena, options.progress, options.progress_context};
    bk_follower follower = bk_follower_new(tell, &told, options.effort);
    follower.every = options.every;
    if (options.progress)
        call.follower = &follower;
    bk_day_choices choices = {0};
    bk_day *day = bk_day_follow(shelf->arena, &call, &session->journal, &choices, &shelf->report);
    bk_file_let_go(session->journal);
    session->journal = NULL;
    if (choices.count > 0) {
        const char **names = BK_NEW(shelf->arena, const char *, choices.count + 1);
        memcpy(names, choices.names, choices.count * sizeof *names);
        session->choices = names;
    }
    session->plan = day ? day->plan : NULL;
    bool placed = day && day->timeline->stage_count > 0;
    enum bakeset_result result = placed                         ? BAKESET_OK
                                 : day                          ? BAKESET_IMPOSSIBLE
                                 : shelf->report.machine_failed ? BAKESET_FAILED
                                                                : BAKESET_BAD_INPUT;
    finish(session, shelf, result);
    session->day = day;
    session->timeline = day ? day->timeline : NULL;
    session->running = day ? running_of(shelf->arena, day) : NULL;
    session->next_touch = placed ? bk_day_next_touch(shelf->arena, day) : INT64_MAX;
    return result;
}

enum bakeset_result bakeset_day(bakeset *session, const char *path,
                                const struct bakeset_day_options *options)
{
    clear_plan(session);
    if (setjmp(session->no_memory)) {
        bk_file_let_go(session->journal);
        session->journal = NULL;
        return out_of_memory(session, &session->shelves[READING]);
    }
    return follow_day(session, path, options);
}

enum bakeset_result bakeset_day_now(const bakeset *session, int64_t *now)
{
    if (!session->day)
        return BAKESET_BAD_INPUT;
    *now = session->day->now;
    return BAKESET_OK;
}

enum bakeset_result bakeset_day_next(const bakeset *session, int64_t *next)
{
    if (!session->day || session->next_touch == INT64_MAX)
        return BAKESET_BAD_INPUT;
    *next = session->next_touch;
    return BAKESET_OK;
}

enum bakeset_result bakeset_day_journal(const bakeset *session, size_t *length)
{
    if (!session->day)
        return BAKESET_BAD_INPUT;
    *length = session->day->journal_length;
    return BAKESET_OK;
}

static const char *under_way(bakeset *session, const struct memory_file *file)
{
    bk_shelf *shelf = &session->shelves[TAKING];
    bk_files files = {load_memory, (void *)file};
    session->result = BAKESET_OK;
    return bk_day_under_way(shelf->arena, &files, file->name, &shelf->report);
}

const char *bakeset_under_way_text(bakeset *session, const char *text, size_t length)
{
    shelf_clear(&session->shelves[TAKING]);
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[TAKING]);
        return NULL;
    }
    const struct memory_file file = {bk_files_system(), "the journal", text, length};
    return under_way(session, &file);
}

const char *const *bakeset_day_running(const bakeset *session)
{
    return session->day ? session->running : NULL;
}

const char *const *bakeset_day_choices(const bakeset *session)
{
    return session->choices;
}

/* ------------------------------------------------------------------ writing */

static bool take_write_options(bk_shelf *shelf, const struct bakeset_write_options *given,
                               struct bakeset_write_options *options)
{
    enum { LEAST_WIDTH = 40, MOST_WIDTH = 200, MOST_BEFORE = 1440 };
    if (!take_options(shelf, given, options, sizeof *options))
        return false;
    bool wide =
        options->width == 0 || (options->width >= LEAST_WIDTH && options->width <= MOST_WIDTH);
    bool before = options->alarm_before >= 0 && options->alarm_before <= MOST_BEFORE;
    if (!wide)
        usage(shelf, "the width is out of range", "0, or 40 to 200 columns");
    if (!before)
        usage(shelf, "alarm_before is out of range", "0 to 1440 minutes");
    return wide && before;
}

static bool load_replaced(bk_shelf *shelf, const char *path, bk_source *source)
{
    bk_files files = bk_files_system();
    const char *problem = NULL;
    source->name = bk_copy_string(shelf->arena, path);
    if (files.load(files.context, shelf->arena, path, BK_MOST_BYTES, &source->text, &source->length,
                   &problem))
        return true;
    if (strcmp(problem, BK_NO_SUCH_FILE) != 0) {
        bk_error(&shelf->report, "file", (bk_place){0}, NULL, "%s: %s", path, problem);
        return false;
    }
    /* The first time there is nothing to replace; a slip of the pen looks the same. */
    bk_warning(&shelf->report, "replaces", (bk_place){0}, NULL,
               "%s is not there: nothing is replaced", path);
    source->text = NULL;
    return true;
}

/* Alarms that are on a phone are replaced only by those that know of them. */
static void warn_of_restart(bakeset *session, const char *path)
{
    bk_files files = bk_files_system();
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    const char *problem = NULL;
    bk_source there = {.name = path};
    if (files.load(files.context, shelf->arena, path, BK_MOST_BYTES, &there.text, &there.length,
                   &problem) &&
        bk_ics_holds(shelf->arena, session->plan, &there))
        bk_warning(&shelf->report, "replaces", (bk_place){0},
                   "if that file is on a phone, write --replaces with it, so that the events move "
                   "instead of standing twice",
                   "%s held the alarms of this occasion, and is written anew", path);
}

static bool write_ics(bakeset *session, const struct bakeset_write_options *options, bk_text *out)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    bk_ics_options ics = {.alarm_before = options->alarm_before,
                          .only_alarms = options->only_alarms != 0,
                          .no_summary = options->no_summary != 0,
                          .has_stamp = options->clock != 0,
                          .stamp = options->clock};
    bk_source *replaced = BK_NEW(shelf->arena, bk_source, 1); /* messages keep it */
    if (options->replaces) {
        if (!load_replaced(shelf, options->replaces, replaced))
            return false;
        ics.replaces = replaced->text ? replaced : NULL;
    } else if (options->replaces_text) {
        size_t length = strlen(options->replaces_text);
        replaced->name = "the calendar before";
        replaced->text = bk_copy(shelf->arena, options->replaces_text, length);
        replaced->length = length;
        ics.replaces = replaced;
    }
    if (!options->replaces && !options->replaces_text && options->over)
        warn_of_restart(session, options->over);
    return bk_write_ics(session->timeline, &ics, out, &shelf->report);
}

static bk_text_style style_of(const struct bakeset_write_options *options)
{
    return (bk_text_style){
        .width = options->width, .colour = options->colour != 0, .ascii = options->ascii != 0};
}

/* Whatever was written with that style: names of files, numbers in tables. */
static void keep_to_ascii(const bk_text_style *style, bk_text *text)
{
    if (!style->ascii || !text->data)
        return;
    char *ascii = bk_words_ascii(text->arena, text->data);
    text->length = 0;
    bk_text_add(text, ascii);
}

static bool write_form(bakeset *session, enum bakeset_form form,
                       const struct bakeset_write_options *options, bk_text *out)
{
    const bk_timeline *timeline = session->timeline;
    bool possible = timeline && timeline->stage_count > 0;
    bk_text_style style = style_of(options);
    if (timeline && form == BAKESET_TEXT) {
        if (possible && options->brief)
            bk_write_short(timeline, &style, out);
        else
            bk_write_text(timeline, &style, out);
        keep_to_ascii(&style, out);
        return true;
    }
    if (timeline && form == BAKESET_JSON)
        return bk_write_json(timeline, session->day, out), true;
    if (possible && form == BAKESET_ICS)
        return write_ics(session, options, out);
    if (possible && form == BAKESET_SVG)
        return bk_write_svg(timeline, out), true;
    if (possible && form == BAKESET_HTML)
        return bk_write_html(timeline, out), true;
    bk_chart_style chart = {.width = options->width, .ascii = options->ascii != 0};
    if (possible && form == BAKESET_CHART)
        return bk_write_chart(timeline, &chart, out), true;
    usage(&session->shelves[SCHEDULING],
          timeline ? "there is no timeline to write in this form" : "there is no timeline to write",
          NULL);
    return false;
}

static const char *write_timeline(bakeset *session, enum bakeset_form form,
                                  const struct bakeset_write_options *given, size_t *length)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    struct bakeset_write_options options = {0};
    bk_text out = bk_text_new(shelf->arena);
    bool written =
        take_write_options(shelf, given, &options) && write_form(session, form, &options, &out);
    return finish_text(session, shelf, written ? &out : NULL, length);
}

const char *bakeset_write(bakeset *session, enum bakeset_form form,
                          const struct bakeset_write_options *options, size_t *length)
{
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[SCHEDULING]);
        return NULL;
    }
    return write_timeline(session, form, options, length);
}

static const char *write_day(bakeset *session, const struct bakeset_write_options *given,
                             size_t *length)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    struct bakeset_write_options options = {0};
    bk_text out = bk_text_new(shelf->arena);
    bool good = take_write_options(shelf, given, &options);
    if (good && !session->day)
        usage(shelf, "there is no day to tell of", "follow one first, with bakeset_day");
    good = good && session->day;
    bk_text_style style = style_of(&options);
    style.progress = options.progress != 0;
    if (good)
        bk_write_day(session->day, &style, &out);
    if (good && session->timeline->stage_count == 0)
        bk_write_text(session->timeline, &style, &out);
    keep_to_ascii(&style, &out);
    return finish_text(session, shelf, good ? &out : NULL, length);
}

const char *bakeset_write_day(bakeset *session, const struct bakeset_write_options *options,
                              size_t *length)
{
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[SCHEDULING]);
        return NULL;
    }
    return write_day(session, options, length);
}

static const char *write_day_json(bakeset *session, size_t *length)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    bk_text out = bk_text_new(shelf->arena);
    if (session->day)
        bk_write_day_json(session->day, &out);
    else
        usage(shelf, "there is no day to tell of", "follow one first, with bakeset_day");
    return finish_text(session, shelf, session->day ? &out : NULL, length);
}

const char *bakeset_write_day_json(bakeset *session, size_t *length)
{
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[SCHEDULING]);
        return NULL;
    }
    return write_day_json(session, length);
}

/* ------------------------------------------------------------------- events */

static const struct bakeset_event *const *split(bakeset *session, const bk_source *calendar,
                                                size_t *count)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    bk_ics_events events = {0};
    bool good = bk_ics_split(shelf->arena, calendar, &events, &shelf->report);
    const struct bakeset_event **list =
        BK_NEW(shelf->arena, const struct bakeset_event *, events.count + 1);
    struct bakeset_event *all = BK_NEW(shelf->arena, struct bakeset_event, events.count);
    for (size_t i = 0; i < events.count; i++) {
        const bk_ics_event *event = &events.items[i];
        list[i] = &all[i];
        all[i] = (struct bakeset_event){.uid = event->uid,
                                        .start = event->seen.start,
                                        .summary = event->seen.summary,
                                        .sequence = event->sequence,
                                        .cancelled = event->seen.cancelled,
                                        .untouched = event->untouched,
                                        .text = event->text,
                                        .length = strlen(event->text),
                                        .marked = event->marked,
                                        .end = event->seen.end,
                                        .at = bk_ics_minute(event->seen.start),
                                        .stamp = event->stamp};
    }
    finish(session, shelf, good ? BAKESET_OK : BAKESET_BAD_INPUT);
    if (good && count)
        *count = events.count;
    return good ? list : NULL;
}

static const struct bakeset_event *const *
write_events(bakeset *session, const struct bakeset_write_options *options, size_t *count)
{
    bk_source *calendar =
        BK_NEW(session->shelves[SCHEDULING].arena, bk_source, 1); /* messages keep it */
    calendar->name = "the timeline";
    calendar->text = write_timeline(session, BAKESET_ICS, options, &calendar->length);
    return calendar->text ? split(session, calendar, count) : NULL;
}

const struct bakeset_event *const *
bakeset_events(bakeset *session, const struct bakeset_write_options *options, size_t *count)
{
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[SCHEDULING]);
        return NULL;
    }
    return write_events(session, options, count);
}

const struct bakeset_event *const *bakeset_events_read(bakeset *session, const char *name,
                                                       const char *text, size_t length,
                                                       size_t *count)
{
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[SCHEDULING]);
        return NULL;
    }
    bk_arena *arena = session->shelves[SCHEDULING].arena;
    bk_source *calendar = BK_NEW(arena, bk_source, 1);
    *calendar = (bk_source){bk_copy_string(arena, name), bk_copy(arena, text, length), length};
    return split(session, calendar, count);
}

/* ---------------------------------------------------------------------- why */

/* The stage a cook names; SIZE_MAX with a message when it is none. */
static size_t find_stage(const bk_plan *plan, const char *name, bk_shelf *shelf)
{
    size_t stage = bk_stage_find(plan, name);
    if (stage < plan->stage_count)
        return stage;
    if (stage == SIZE_MAX - 1) {
        bk_error(&shelf->report, "unknown-stage", (bk_place){0}, "write \"dish/stage\"",
                 "several dishes have a stage \"%s\"", name);
        return SIZE_MAX;
    }
    const char **names = BK_NEW(shelf->arena, const char *, 2 * plan->stage_count + 1);
    for (size_t i = 0; i < plan->stage_count; i++) {
        names[2 * i] = plan->stages[i].id;
        names[2 * i + 1] = bk_stage_name(shelf->arena, plan, i);
    }
    const char *nearest = bk_nearest(name, names);
    bk_error(&shelf->report, "unknown-stage", (bk_place){0},
             nearest ? bk_format(shelf->arena, "did you mean \"%s\"?", nearest)
                     : "write \"dish/stage\" as the plan names them",
             "the plan has no stage \"%s\"", name);
    return SIZE_MAX;
}

static bool is_right(const bk_reasons *reasons, bk_shelf *shelf)
{
    if (!reasons->wrong)
        return true;
    bk_error(&shelf->report, "internal", (bk_place){0}, NULL,
             "internal error: the search found what its own check refuses");
    shelf->report.machine_failed = true;
    return false;
}

static bool why(bakeset *session, const char *name, int64_t effort, bk_onlooker *onlooker,
                const struct bakeset_write_options *options, bk_text *out)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    const bk_timeline *timeline = session->timeline;
    size_t stage = 0;
    if (name && session->plan && (stage = find_stage(session->plan, name, shelf)) == SIZE_MAX)
        return false;
    if (!timeline || timeline->stage_count == 0)
        return write_form(session, BAKESET_TEXT, options, out);
    bk_text_style style = style_of(options);
    if (name) {
        bk_reasons reasons = bk_why_stage(shelf->arena, timeline, stage, effort, onlooker);
        bk_write_why_stage(timeline, stage, &reasons, &style, out);
        keep_to_ascii(&style, out);
        return is_right(&reasons, shelf);
    }
    bk_reasons reasons = bk_why_start(shelf->arena, timeline, effort, onlooker);
    bk_write_why_start(timeline, &reasons, &style, out);
    keep_to_ascii(&style, out);
    return is_right(&reasons, shelf);
}

static const char *take_and_say_why(bakeset *session, const char *stage,
                                    const struct bakeset_schedule_options *schedule,
                                    const struct bakeset_write_options *write, size_t *length)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    struct bakeset_schedule_options scheduling = {0};
    struct bakeset_write_options options = {0};
    bk_text out = bk_text_new(shelf->arena);
    bool taken = take_options(shelf, schedule, &scheduling, sizeof scheduling) &&
                 take_write_options(shelf, write, &options);
    int64_t effort = scheduling.effort > 0 ? scheduling.effort : BK_DEFAULT_EFFORT;
    bk_told told = {shelf->arena, scheduling.progress, scheduling.progress_context};
    bk_follower follower = bk_follower_new(tell, &told, effort);
    follower.progress.goal = BK_GOAL_WHY;
    bk_onlooker *onlooker = scheduling.progress ? &follower.onlooker : NULL;
    bool said = taken && why(session, stage, effort, onlooker, &options, &out);
    return finish_text(session, shelf, said ? &out : NULL, length);
}

const char *bakeset_why(bakeset *session, const char *stage,
                        const struct bakeset_schedule_options *schedule,
                        const struct bakeset_write_options *options, size_t *length)
{
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[SCHEDULING]);
        return NULL;
    }
    return take_and_say_why(session, stage, schedule, options, length);
}

/* ------------------------------------------------------------------ cooling */

/* The stage of the plan that is asked about; SIZE_MAX with a message. */
static size_t find_cooling(const bk_plan *plan, const char *name, bk_shelf *shelf)
{
    bk_text others = bk_text_new(shelf->arena);
    size_t found = SIZE_MAX, count = 0;
    for (size_t i = 0; i < plan->stage_count; i++)
        if (plan->stages[i].cooling) {
            found = i;
            bk_text_addf(&others, "%s\"%s\"", count++ > 0 ? ", " : "",
                         bk_stage_name(shelf->arena, plan, i));
        }
    if (count == 0) {
        bk_error(&shelf->report, "no-cooling", (bk_place){0},
                 "give a stage \"cooling\", or ask without a plan",
                 "the plan has no stage whose time is computed from \"cooling\"");
        return SIZE_MAX;
    }
    if (!name && count > 1) {
        bk_error(&shelf->report, "which-stage", (bk_place){0}, "write which before the plan",
                 "the plan has several stages with \"cooling\": %s", others.data);
        return SIZE_MAX;
    }
    if (!name)
        return found;
    size_t stage = find_stage(plan, name, shelf);
    if (stage != SIZE_MAX && !plan->stages[stage].cooling) {
        bk_error(&shelf->report, "no-cooling", plan->stages[stage].range_place, NULL,
                 "\"%s\" has no \"cooling\"; with it: %s", name, others.data);
        return SIZE_MAX;
    }
    return stage;
}

/* Answers the question that the words ask; with `of_stage`, *cooled is one already, of
 * which they replace parts. */
static enum bakeset_result estimate(bakeset *session, bk_cooled *cooled, bk_cooling cooling,
                                    bool of_stage, const char *const *words)
{
    static const char *const none[] = {NULL};
    bk_shelf *shelf = &session->shelves[COOLING];
    if (!bk_cooling_ask(shelf->arena, words ? words : none, of_stage, &cooling, &cooled->question,
                        &shelf->report))
        return finish(session, shelf, BAKESET_BAD_INPUT);
    cooled->food = cooling.food;
    cooled->below = cooling.below;
    cooled->melts_c = cooling.melts_c;
    cooled->answer = bk_heat_estimate(shelf->arena, &cooled->question);
    if (cooled->answer.fault != BK_HEAT_OK) {
        bk_error(&shelf->report, bk_heat_fault_code(cooled->answer.fault), (bk_place){0},
                 cooled->answer.mend, "%s", cooled->answer.message);
        return finish(session, shelf, BAKESET_BAD_INPUT);
    }
    finish(session, shelf, BAKESET_OK);
    session->cooled = cooled;
    return BAKESET_OK;
}

static enum bakeset_result estimate_stage(bakeset *session, const char *stage,
                                          const char *const *words)
{
    bk_shelf *shelf = &session->shelves[COOLING];
    const bk_plan *plan = session->plan;
    if (!plan)
        usage(shelf, "there is no plan whose stage could be asked about", "read a plan first");
    size_t found = plan ? find_cooling(plan, stage, shelf) : SIZE_MAX;
    if (found == SIZE_MAX)
        return finish(session, shelf, BAKESET_BAD_INPUT);
    bk_cooled *cooled = BK_NEW(shelf->arena, bk_cooled, 1);
    bk_cooling_question(plan->stages[found].cooling, &cooled->question);
    cooled->stage = bk_stage_name(shelf->arena, plan, found);
    return estimate(session, cooled, *plan->stages[found].cooling, true, words);
}

enum bakeset_result bakeset_cooling(bakeset *session, const char *const *words)
{
    clear_cooling(session);
    if (setjmp(session->no_memory))
        return out_of_memory(session, &session->shelves[COOLING]);
    return estimate(session, BK_NEW(session->shelves[COOLING].arena, bk_cooled, 1), (bk_cooling){0},
                    false, words);
}

enum bakeset_result bakeset_cooling_stage(bakeset *session, const char *stage,
                                          const char *const *words)
{
    clear_cooling(session);
    if (setjmp(session->no_memory))
        return out_of_memory(session, &session->shelves[COOLING]);
    return estimate_stage(session, stage, words);
}

static bool write_cooling_form(bakeset *session, enum bakeset_form form, const bk_text_style *style,
                               bk_text *out)
{
    const bk_cooled *cooled = session->cooled;
    if (cooled && form == BAKESET_TEXT) {
        bk_write_cooling_text(cooled, style, out);
        keep_to_ascii(style, out);
        return true;
    }
    if (cooled && form == BAKESET_JSON)
        return bk_write_cooling_json(cooled, out), true;
    if (cooled && form == BAKESET_SVG)
        return bk_write_cooling_svg(cooled, out), true;
    usage(&session->shelves[COOLING], "there is no cooling estimate to write in this form", NULL);
    return false;
}

static const char *write_cooling(bakeset *session, enum bakeset_form form,
                                 const struct bakeset_write_options *given, size_t *length)
{
    bk_shelf *shelf = &session->shelves[COOLING];
    struct bakeset_write_options options = {0};
    bk_text out = bk_text_new(shelf->arena);
    bool taken = take_write_options(shelf, given, &options);
    bk_text_style style = style_of(&options);
    bool written = taken && write_cooling_form(session, form, &style, &out);
    return finish_text(session, shelf, written ? &out : NULL, length);
}

const char *bakeset_write_cooling(bakeset *session, enum bakeset_form form,
                                  const struct bakeset_write_options *options, size_t *length)
{
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[COOLING]);
        return NULL;
    }
    return write_cooling(session, form, options, length);
}

static const char *write_foods(bakeset *session, const struct bakeset_write_options *given)
{
    bk_shelf *shelf = &session->shelves[COOLING];
    struct bakeset_write_options options = {0};
    if (!take_write_options(shelf, given, &options))
        return finish_text(session, shelf, NULL, NULL);
    bk_text out = bk_text_new(shelf->arena);
    bk_text_style style = style_of(&options);
    bk_write_foods(&style, &out);
    keep_to_ascii(&style, &out);
    return finish_text(session, shelf, &out, NULL);
}

const char *bakeset_foods(bakeset *session, const struct bakeset_write_options *options)
{
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[COOLING]);
        return NULL;
    }
    return write_foods(session, options);
}

/* ------------------------------------------------------------------ recipes */

static const char *take_in(bakeset *session, const char *name, const char *text, size_t text_length,
                           size_t *length)
{
    bk_shelf *shelf = &session->shelves[TAKING];
    const bk_source source = {name, text, text_length};
    bk_text out = bk_text_new(shelf->arena);
    bool taken = bk_take_in(shelf->arena, &source, &out, &shelf->report);
    return finish_text(session, shelf, taken ? &out : NULL, length);
}

const char *bakeset_take_in_text(bakeset *session, const char *name, const char *text,
                                 size_t text_length, size_t *length)
{
    shelf_clear(&session->shelves[TAKING]);
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[TAKING]);
        return NULL;
    }
    return take_in(session, name, text, text_length, length);
}

/* A file that a call of this shelf asks for; false after reporting. `limit` is `most` in
 * words. */
static bool load_taken(bk_shelf *shelf, const char *path, size_t most, const char *limit,
                       const char **text, size_t *length)
{
    bk_files files = bk_files_system();
    const char *problem = NULL;
    if (files.load(files.context, shelf->arena, path, most, text, length, &problem))
        return true;
    bool too_long = strcmp(problem, BK_TOO_LONG) == 0;
    shelf->report.machine_failed = !too_long;
    if (too_long)
        problem = bk_format(shelf->arena, "it is larger than %s", limit);
    bk_error(&shelf->report, "file", (bk_place){0}, NULL, "cannot read %s: %s", path, problem);
    return false;
}

static const char *take_in_file(bakeset *session, const char *path, size_t *length)
{
    bk_shelf *shelf = &session->shelves[TAKING];
    const char *text = NULL;
    size_t text_length = 0;
    if (!load_taken(shelf, path, BK_MOST_TAKEN_IN, "8 MiB", &text, &text_length))
        return finish_text(session, shelf, NULL, length);
    return take_in(session, strcmp(path, "-") == 0 ? "standard input" : path, text, text_length,
                   length);
}

const char *bakeset_take_in(bakeset *session, const char *path, size_t *length)
{
    shelf_clear(&session->shelves[TAKING]);
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[TAKING]);
        return NULL;
    }
    return take_in_file(session, path, length);
}

static const char *begin(bakeset *session, const struct bakeset_begin_options *given,
                         size_t *length)
{
    bk_shelf *shelf = &session->shelves[TAKING];
    struct bakeset_begin_options options = {0};
    if (!take_options(shelf, given, &options, sizeof options))
        return finish_text(session, shelf, NULL, length);
    bk_beginning beginning = {.recipes = options.recipes,
                              .named = options.named ? options.named : options.recipes,
                              .occasion = options.occasion,
                              .serve = options.serve,
                              .zone = options.timezone};
    while (options.recipes && options.recipes[beginning.recipe_count])
        beginning.recipe_count++;
    bk_files files = bk_files_system();
    bk_text out = bk_text_new(shelf->arena);
    bool begun = bk_plan_begin(shelf->arena, &files, &beginning, &out, &shelf->report);
    return finish_text(session, shelf, begun ? &out : NULL, length);
}

const char *bakeset_begin(bakeset *session, const struct bakeset_begin_options *options,
                          size_t *length)
{
    shelf_clear(&session->shelves[TAKING]);
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[TAKING]);
        return NULL;
    }
    return begin(session, options, length);
}

/* ----------------------------------------------------------------- learning */

static const bk_learned *learn(bakeset *session)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    bk_files files = bk_files_system();
    if (session->read)
        return bk_learn(shelf->arena, &files, session->read, &shelf->report);
    usage(shelf, "there is no plan whose times could be learned", "read a plan first");
    return NULL;
}

static const char *history(bakeset *session, const struct bakeset_write_options *given,
                           size_t *length)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    struct bakeset_write_options options = {0};
    bk_text out = bk_text_new(shelf->arena);
    const bk_learned *learned = take_write_options(shelf, given, &options) ? learn(session) : NULL;
    if (learned)
        bk_write_learned(learned, &(bk_text_style){.width = options.width}, &out);
    return finish_text(session, shelf, learned ? &out : NULL, length);
}

const char *bakeset_history(bakeset *session, const struct bakeset_write_options *options,
                            size_t *length)
{
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[SCHEDULING]);
        return NULL;
    }
    return history(session, options, length);
}

static const struct bakeset_changed_file *const *history_changes(bakeset *session, size_t *count)
{
    bk_shelf *shelf = &session->shelves[SCHEDULING];
    bk_files files = bk_files_system();
    size_t files_count = 0;
    const bk_learned *learned = learn(session);
    const bk_changed_file *changed =
        learned ? bk_learned_files(shelf->arena, &files, learned, &files_count, &shelf->report)
                : NULL;
    if (!changed) {
        finish(session, shelf, shelf->report.machine_failed ? BAKESET_FAILED : BAKESET_BAD_INPUT);
        return NULL;
    }
    struct bakeset_changed_file *given =
        BK_NEW(shelf->arena, struct bakeset_changed_file, files_count);
    const struct bakeset_changed_file **list =
        BK_NEW(shelf->arena, const struct bakeset_changed_file *, files_count + 1);
    for (size_t i = 0; i < files_count; i++) {
        given[i] = (struct bakeset_changed_file){.path = changed[i].path,
                                                 .text = changed[i].text,
                                                 .length = changed[i].length,
                                                 .changes = changed[i].changes,
                                                 .said = changed[i].said};
        list[i] = &given[i];
    }
    if (count)
        *count = files_count;
    finish(session, shelf, BAKESET_OK);
    return list;
}

const struct bakeset_changed_file *const *bakeset_history_changes(bakeset *session, size_t *count)
{
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[SCHEDULING]);
        return NULL;
    }
    return history_changes(session, count);
}

/* ------------------------------------------------------------------- layout */

static const char *tidy(bakeset *session, const char *name, const char *text, size_t text_length,
                        size_t *length)
{
    bk_shelf *shelf = &session->shelves[TAKING];
    bk_text out = bk_text_new(shelf->arena);
    const bk_source *source = bk_source_of(shelf->arena, bk_copy_string(shelf->arena, name),
                                           bk_copy(shelf->arena, text, text_length), text_length);
    bool done = bk_json_tidy(shelf->arena, source, &out, &shelf->report);
    return finish_text(session, shelf, done ? &out : NULL, length);
}

const char *bakeset_tidy_text(bakeset *session, const char *name, const char *text,
                              size_t text_length, size_t *length)
{
    shelf_clear(&session->shelves[TAKING]);
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[TAKING]);
        return NULL;
    }
    return tidy(session, name, text, text_length, length);
}

static const char *plain(bakeset *session, const char *name, const char *text, size_t text_length,
                         size_t *length)
{
    bk_shelf *shelf = &session->shelves[TAKING];
    bk_text out = bk_text_new(shelf->arena);
    const bk_source *source = bk_source_of(shelf->arena, bk_copy_string(shelf->arena, name),
                                           bk_copy(shelf->arena, text, text_length), text_length);
    bool done = bk_json_plain(shelf->arena, source, &out, &shelf->report);
    return finish_text(session, shelf, done ? &out : NULL, length);
}

const char *bakeset_plain_text(bakeset *session, const char *name, const char *text,
                               size_t text_length, size_t *length)
{
    shelf_clear(&session->shelves[TAKING]);
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[TAKING]);
        return NULL;
    }
    return plain(session, name, text, text_length, length);
}

static const char *comments(bakeset *session, const char *name, const char *text,
                            size_t text_length, size_t *length)
{
    bk_shelf *shelf = &session->shelves[TAKING];
    bk_text out = bk_text_new(shelf->arena);
    bk_put put = bk_put_line_to(&out);
    const bk_source *source = bk_source_of(shelf->arena, bk_copy_string(shelf->arena, name),
                                           bk_copy(shelf->arena, text, text_length), text_length);
    bool done = bk_json_comments(shelf->arena, source, &put, &shelf->report);
    return finish_text(session, shelf, done ? &out : NULL, length);
}

const char *bakeset_comments_text(bakeset *session, const char *name, const char *text,
                                  size_t text_length, size_t *length)
{
    shelf_clear(&session->shelves[TAKING]);
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[TAKING]);
        return NULL;
    }
    return comments(session, name, text, text_length, length);
}

/* A byte-order mark is no part of what is read, and stays. */
static const char *patched(bakeset *session, const bk_source *given, const bk_source *patch,
                           size_t *length)
{
    bk_shelf *shelf = &session->shelves[TAKING];
    bk_text out = bk_text_new(shelf->arena);
    const bk_source *source =
        bk_source_of(shelf->arena, bk_copy_string(shelf->arena, given->name),
                     bk_copy(shelf->arena, given->text, given->length), given->length);
    bk_report about_patch = bk_report_new(shelf->arena);
    bk_text_add_bytes(&out, given->text, given->length - source->length);
    bool done = bk_json_patch(shelf->arena, source, patch, &out, &about_patch);
    for (size_t i = 0; i < about_patch.count; i++) {
        const bk_message *m = &about_patch.messages[i];
        bk_error(&shelf->report, m->code, m->place.source == source ? m->place : (bk_place){0},
                 m->mend, "%s", m->text);
    }
    shelf->report.machine_failed = about_patch.machine_failed;
    return finish_text(session, shelf, done ? &out : NULL, length);
}

const char *bakeset_patch_text(bakeset *session, const char *name, const char *text,
                               size_t text_length, const char *patch, size_t patch_length,
                               size_t *length)
{
    shelf_clear(&session->shelves[TAKING]);
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[TAKING]);
        return NULL;
    }
    bk_arena *arena = session->shelves[TAKING].arena;
    const bk_source given = {name, text, text_length};
    const bk_source changes = {"the patch", bk_copy(arena, patch, patch_length), patch_length};
    return patched(session, &given, &changes, length);
}

static const char *tidy_file(bakeset *session, const char *path, size_t *length)
{
    bk_shelf *shelf = &session->shelves[TAKING];
    const char *text = NULL;
    size_t text_length = 0;
    if (!load_taken(shelf, path, BK_MOST_BYTES, "16 MiB", &text, &text_length))
        return finish_text(session, shelf, NULL, length);
    return tidy(session, strcmp(path, "-") == 0 ? "<stdin>" : path, text, text_length, length);
}

const char *bakeset_tidy(bakeset *session, const char *path, size_t *length)
{
    shelf_clear(&session->shelves[TAKING]);
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[TAKING]);
        return NULL;
    }
    return tidy_file(session, path, length);
}

/* -------------------------------------------------------------------- mends */

static const struct bakeset_mended *const *
mend(bakeset *session, const char *path, const struct bakeset_read_options *given, size_t *count)
{
    bk_shelf *shelf = &session->shelves[TAKING];
    struct bakeset_read_options options = {0};
    if (!take_options(shelf, given, &options, sizeof options)) {
        finish(session, shelf, BAKESET_BAD_INPUT);
        return NULL;
    }
    bk_read_options reading = reading_of(&options);
    bk_files files = bk_files_system();
    size_t found = 0;
    const bk_mended *mended =
        bk_plan_mend(shelf->arena, &files, bk_copy_string(shelf->arena, path), &reading, &found);
    const struct bakeset_mended **list =
        BK_NEW(shelf->arena, const struct bakeset_mended *, found + 1);
    struct bakeset_mended *items = BK_NEW(shelf->arena, struct bakeset_mended, found);
    for (size_t i = 0; i < found; i++) {
        items[i] = (struct bakeset_mended){.file = mended[i].path,
                                           .before = mended[i].before,
                                           .before_length = mended[i].before_length,
                                           .text = mended[i].text,
                                           .length = mended[i].length,
                                           .mends = mended[i].mends};
        list[i] = &items[i];
    }
    if (count)
        *count = found;
    finish(session, shelf, BAKESET_OK);
    return list;
}

const struct bakeset_mended *const *bakeset_mend(bakeset *session, const char *path,
                                                 const struct bakeset_read_options *options,
                                                 size_t *count)
{
    shelf_clear(&session->shelves[TAKING]);
    if (setjmp(session->no_memory)) {
        out_of_memory(session, &session->shelves[TAKING]);
        return NULL;
    }
    return mend(session, path, options, count);
}

/* ----------------------------------------------------------------- messages */

enum bakeset_result bakeset_last_result(const bakeset *session)
{
    return session->result;
}

size_t bakeset_message_count(const bakeset *session)
{
    size_t count = 0;
    for (size_t i = 0; i < SHELVES; i++)
        count += session->shelves[i].count + session->shelves[i].out_of_memory;
    return count;
}

const struct bakeset_message *bakeset_message(const bakeset *session, size_t index)
{
    static const struct bakeset_message no_memory = {.severity = BAKESET_ERROR,
                                                     .code = "memory",
                                                     .what = "out of memory",
                                                     .text = "bakeset: out of memory\n"};
    for (size_t i = 0; i < SHELVES; i++) {
        const bk_shelf *shelf = &session->shelves[i];
        if (index < shelf->count)
            return &shelf->messages[index];
        index -= shelf->count;
        if (shelf->out_of_memory && index-- == 0)
            return &no_memory;
    }
    return NULL;
}

static const char *pointer_of(bk_shelf *shelf, size_t index)
{
    bk_place place = shelf->report.messages[index].place;
    return place.source ? bk_json_pointer_at(shelf->arena, place.source, place.offset) : NULL;
}

static const char *pointer_of_message(bakeset *session, size_t index)
{
    for (size_t i = 0; i < SHELVES; i++) {
        bk_shelf *shelf = &session->shelves[i];
        if (index < shelf->count)
            return pointer_of(shelf, index);
        index -= shelf->count;
        if (shelf->out_of_memory && index-- == 0)
            return NULL;
    }
    return NULL;
}

const char *bakeset_message_pointer(bakeset *session, size_t index)
{
    if (setjmp(session->no_memory))
        return NULL;
    return pointer_of_message(session, index);
}

const char *bakeset_publish_to(const bakeset *session)
{
    return session->plan ? session->plan->publish : NULL;
}

size_t bakeset_error_count(const bakeset *session)
{
    size_t count = 0;
    for (size_t i = 0; i < SHELVES; i++)
        count += session->shelves[i].report.errors + session->shelves[i].out_of_memory;
    return count;
}

enum bakeset_result bakeset_serves(const bakeset *session, int64_t *first, int64_t *last)
{
    if (!session->plan)
        return BAKESET_BAD_INPUT;
    if (first)
        *first = session->plan->first_serve;
    if (last)
        *last = session->plan->last_serve;
    return BAKESET_OK;
}

size_t bakeset_source_count(const bakeset *session)
{
    return session->plan ? session->plan->source_count : 0;
}

const char *bakeset_source(const bakeset *session, size_t index)
{
    return index < bakeset_source_count(session) ? session->plan->sources[index]->name : NULL;
}

const char *bakeset_nearest(const char *word, const char *const *names)
{
    return bk_nearest(word, names);
}
