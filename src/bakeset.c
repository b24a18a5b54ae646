/* The library's face over the modules: sessions, and the one place where running
 * out of memory is caught. */
#include "bakeset.h"

#include "compile/compile.h"
#include "explain/explain.h"
#include "schedule/schedule.h"
#include "write/write.h"

#include <stdlib.h>
#include <string.h>

struct bakeset {
    jmp_buf no_memory;
    bk_arena *arena;
    bk_report report;
    const char **texts; /* of the messages, made when asked for */
    size_t text_count;
    bk_plan *plan;
    bk_timeline *timeline;
    bk_cooled *cooled;
    bool out_of_memory;
};

static const char out_of_memory_text[] = "bakeset: out of memory\n";

const char *bakeset_version(void)
{
    return BAKESET_VERSION;
}

bakeset *bakeset_new(void)
{
    bakeset *session = calloc(1, sizeof *session);
    if (!session)
        return NULL;
    session->arena = bk_arena_new(&session->no_memory);
    if (!session->arena) {
        free(session);
        return NULL;
    }
    session->report = bk_report_new(session->arena);
    return session;
}

void bakeset_free(bakeset *session)
{
    if (!session)
        return;
    bk_arena_free(session->arena);
    free(session);
}

static enum bakeset_result failed(bakeset *session)
{
    session->out_of_memory = true;
    session->plan = NULL;
    session->timeline = NULL;
    session->cooled = NULL;
    return BAKESET_FAILED;
}

/* The texts of messages are made after each call, so that asking for one cannot
 * fail. */
static void write_messages(bakeset *session)
{
    const char **texts = BK_NEW(session->arena, const char *, session->report.count);
    for (size_t i = 0; i < session->report.count; i++) {
        if (i < session->text_count) {
            texts[i] = session->texts[i];
            continue;
        }
        bk_text text = bk_text_new(session->arena);
        bk_message_write(&session->report.messages[i], &text);
        texts[i] = text.data;
    }
    session->texts = texts;
    session->text_count = session->report.count;
}

static enum bakeset_result read_with(bakeset *session, const bk_files *files, const char *path,
                                     const struct bakeset_read_options *options)
{
    bk_read_options reading = {0};
    if (options) {
        reading.serve = options->serve;
        reading.has_now = options->now || options->clock != 0;
        reading.now = options->now;
        reading.clock = options->clock;
    }
    session->timeline = NULL;
    session->plan = bk_plan_read(session->arena, files, path, &reading, &session->report);
    write_messages(session);
    if (session->plan)
        return BAKESET_OK;
    return session->report.machine_failed ? BAKESET_FAILED : BAKESET_BAD_INPUT;
}

enum bakeset_result bakeset_read(bakeset *session, const char *path,
                                 const struct bakeset_read_options *options)
{
    if (setjmp(session->no_memory))
        return failed(session);
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
        *problem = "larger than the limit";
        return false;
    }
    *text = bk_copy(arena, file->text, file->length);
    *length = file->length;
    return true;
}

enum bakeset_result bakeset_read_text(bakeset *session, const char *name, const char *text,
                                      size_t length, const struct bakeset_read_options *options)
{
    if (setjmp(session->no_memory))
        return failed(session);
    struct memory_file file = {bk_files_system(), name, text, length};
    bk_files files = {load_memory, &file};
    return read_with(session, &files, name, options);
}

enum bakeset_result bakeset_schedule(bakeset *session,
                                     const struct bakeset_schedule_options *options)
{
    if (setjmp(session->no_memory))
        return failed(session);
    if (!session->plan) {
        bk_error(&session->report, "usage", (bk_place){0}, "read a plan first",
                 "there is no plan to schedule");
        write_messages(session);
        return BAKESET_BAD_INPUT;
    }
    bk_schedule_options scheduling = {.effort = options ? options->effort : 0, .remedies = true};
    session->timeline =
        bk_schedule(session->arena, session->plan, &scheduling, &session->report);
    write_messages(session);
    if (!session->timeline)
        return BAKESET_FAILED;
    bool placed = session->timeline->status == BK_TIMELINE_OPTIMAL ||
                  session->timeline->status == BK_TIMELINE_FEASIBLE;
    return placed ? BAKESET_OK : BAKESET_IMPOSSIBLE;
}

static bool load_replaced(bakeset *session, const char *path, bk_source *source)
{
    bk_files files = bk_files_system();
    const char *problem = NULL;
    source->name = bk_copy_string(session->arena, path);
    if (files.load(files.context, session->arena, path, BK_MOST_BYTES, &source->text,
                   &source->length, &problem))
        return true;
    bk_error(&session->report, "file", (bk_place){0}, NULL, "%s: %s", path, problem);
    return false;
}

static bool write_ics(bakeset *session, const struct bakeset_write_options *options, bk_text *out)
{
    bk_ics_options ics = {0};
    bk_source *replaced = BK_NEW(session->arena, bk_source, 1); /* messages keep it */
    if (options) {
        ics.alarm_before = options->alarm_before;
        ics.only_alarms = options->only_alarms != 0;
        ics.no_summary = options->no_summary != 0;
        if (options->replaces) {
            if (!load_replaced(session, options->replaces, replaced))
                return false;
            ics.replaces = replaced;
        } else if (options->replaces_text) {
            size_t length = strlen(options->replaces_text);
            replaced->name = "the calendar before";
            replaced->text = bk_copy(session->arena, options->replaces_text, length);
            replaced->length = length;
            ics.replaces = replaced;
        }
    }
    return bk_write_ics(session->timeline, &ics, out, &session->report);
}

const char *bakeset_write(bakeset *session, enum bakeset_form form,
                          const struct bakeset_write_options *options, size_t *length)
{
    if (setjmp(session->no_memory)) {
        failed(session);
        return NULL;
    }
    const bk_timeline *timeline = session->timeline;
    bool words_only = form == BAKESET_TEXT || form == BAKESET_JSON;
    if (!timeline || (timeline->stage_count == 0 && !words_only)) {
        bk_error(&session->report, "usage", (bk_place){0}, NULL, "there is no timeline to write");
        write_messages(session);
        return NULL;
    }
    bk_text out = bk_text_new(session->arena);
    bk_text_style style = {0};
    if (options) {
        style.width = options->width;
        style.colour = options->colour != 0;
    }
    bool written = true;
    switch (form) {
    case BAKESET_TEXT:
        bk_write_text(timeline, &style, &out);
        break;
    case BAKESET_JSON:
        bk_write_json(timeline, &out);
        break;
    case BAKESET_ICS:
        written = write_ics(session, options, &out);
        break;
    case BAKESET_SVG:
        bk_write_svg(timeline, &out);
        break;
    case BAKESET_HTML:
        bk_write_html(timeline, &out);
        break;
    }
    write_messages(session);
    if (!written) {
        if (session->report.machine_failed)
            failed(session);
        return NULL;
    }
    if (length)
        *length = out.length;
    return out.data;
}

/* The stage a cook names; SIZE_MAX with a message when it is none. */
static size_t find_stage(bakeset *session, const char *name)
{
    const bk_plan *plan = session->plan;
    size_t stage = bk_stage_find(plan, name);
    if (stage < plan->stage_count)
        return stage;
    if (stage == SIZE_MAX - 1) {
        bk_error(&session->report, "unknown-stage", (bk_place){0}, "write \"dish/stage\"",
                 "several dishes have a stage \"%s\"", name);
        return SIZE_MAX;
    }
    const char **names = BK_NEW(session->arena, const char *, 2 * plan->stage_count + 1);
    for (size_t i = 0; i < plan->stage_count; i++) {
        names[2 * i] = plan->stages[i].id;
        names[2 * i + 1] = bk_stage_name(session->arena, plan, i);
    }
    const char *nearest = bk_nearest(name, names);
    bk_error(&session->report, "unknown-stage", (bk_place){0},
             nearest ? bk_format(session->arena, "did you mean \"%s\"?", nearest)
                     : "write \"dish/stage\" as the plan names them",
             "the plan has no stage \"%s\"", name);
    return SIZE_MAX;
}

const char *bakeset_why(bakeset *session, const char *stage,
                        const struct bakeset_schedule_options *schedule,
                        const struct bakeset_write_options *options, size_t *length)
{
    if (setjmp(session->no_memory)) {
        failed(session);
        return NULL;
    }
    const bk_timeline *timeline = session->timeline;
    if (!timeline || timeline->stage_count == 0)
        return stage && session->plan && find_stage(session, stage) == SIZE_MAX
                   ? (write_messages(session), NULL)
                   : bakeset_write(session, BAKESET_TEXT, options, length);
    int64_t effort = schedule && schedule->effort > 0 ? schedule->effort : BK_DEFAULT_EFFORT;
    bk_text_style style = {.width = options ? options->width : 0};
    bk_text out = bk_text_new(session->arena);
    if (stage) {
        size_t index = find_stage(session, stage);
        write_messages(session);
        if (index == SIZE_MAX)
            return NULL;
        bk_reasons reasons = bk_why_stage(session->arena, timeline, index, effort);
        bk_write_why_stage(timeline, index, &reasons, &style, &out);
    } else {
        bk_reasons reasons = bk_why_start(session->arena, timeline, effort);
        bk_write_why_start(timeline, &reasons, &style, &out);
    }
    if (length)
        *length = out.length;
    return out.data;
}

/* The stage of the plan that is asked about; SIZE_MAX with a message. */
static size_t find_cooling(bakeset *session, const char *name)
{
    const bk_plan *plan = session->plan;
    bk_text others = bk_text_new(session->arena);
    size_t found = SIZE_MAX, count = 0;
    for (size_t i = 0; i < plan->stage_count; i++)
        if (plan->stages[i].cooling) {
            found = i;
            bk_text_addf(&others, "%s\"%s\"", count++ > 0 ? ", " : "",
                         bk_stage_name(session->arena, plan, i));
        }
    if (count == 0) {
        bk_error(&session->report, "no-cooling", (bk_place){0},
                 "give a stage \"cooling\", or ask without a plan",
                 "the plan has no stage whose time is computed from \"cooling\"");
        return SIZE_MAX;
    }
    if (!name && count > 1) {
        bk_error(&session->report, "which-stage", (bk_place){0}, "write which before the plan",
                 "the plan has several stages with \"cooling\": %s", others.data);
        return SIZE_MAX;
    }
    if (!name)
        return found;
    size_t stage = find_stage(session, name);
    if (stage != SIZE_MAX && !plan->stages[stage].cooling) {
        bk_error(&session->report, "no-cooling", plan->stages[stage].range_place, NULL,
                 "\"%s\" has no \"cooling\"; with it: %s", name, others.data);
        return SIZE_MAX;
    }
    return stage;
}

enum bakeset_result bakeset_cooling(bakeset *session, const char *stage, const char *const *words)
{
    if (setjmp(session->no_memory))
        return failed(session);
    session->cooled = NULL;
    bk_cooled *cooled = BK_NEW(session->arena, bk_cooled, 1);
    bool of_plan = session->plan != NULL, good = true;
    if (of_plan) {
        size_t found = find_cooling(session, stage);
        good = found != SIZE_MAX;
        if (good) {
            const bk_cooling *cooling = session->plan->stages[found].cooling;
            bk_cooling_question(cooling, &cooled->question);
            cooled->food = cooling->food;
            cooled->stage = bk_stage_name(session->arena, session->plan, found);
        }
    }
    good = good && bk_cooling_ask(session->arena, words, of_plan, &cooled->question, &cooled->food,
                                  &session->report);
    if (good) {
        cooled->answer = bk_heat_estimate(session->arena, &cooled->question);
        good = cooled->answer.fault == BK_HEAT_OK;
        if (!good)
            bk_error(&session->report, bk_heat_fault_code(cooled->answer.fault), (bk_place){0},
                     cooled->answer.mend, "%s", cooled->answer.message);
    }
    write_messages(session);
    if (!good)
        return BAKESET_BAD_INPUT;
    session->cooled = cooled;
    return BAKESET_OK;
}

const char *bakeset_write_cooling(bakeset *session, enum bakeset_form form,
                                  const struct bakeset_write_options *options, size_t *length)
{
    if (setjmp(session->no_memory)) {
        failed(session);
        return NULL;
    }
    bk_text out = bk_text_new(session->arena);
    bk_text_style style = {.width = options ? options->width : 0};
    if (session->cooled && form == BAKESET_TEXT)
        bk_write_cooling_text(session->cooled, &style, &out);
    else if (session->cooled && form == BAKESET_JSON)
        bk_write_cooling_json(session->cooled, &out);
    else if (session->cooled && form == BAKESET_SVG)
        bk_write_cooling_svg(session->cooled, &out);
    if (!out.data || out.length == 0) {
        bk_error(&session->report, "usage", (bk_place){0}, NULL,
                 "there is no cooling estimate to write in this form");
        write_messages(session);
        return NULL;
    }
    if (length)
        *length = out.length;
    return out.data;
}

const char *bakeset_foods(bakeset *session, const struct bakeset_write_options *options)
{
    if (setjmp(session->no_memory)) {
        failed(session);
        return NULL;
    }
    bk_text out = bk_text_new(session->arena);
    bk_text_style style = {.width = options ? options->width : 0};
    bk_write_foods(&style, &out);
    return out.data;
}

size_t bakeset_message_count(const bakeset *session)
{
    return session->text_count + (session->out_of_memory ? 1 : 0);
}

const char *bakeset_message(const bakeset *session, size_t index)
{
    if (index < session->text_count)
        return session->texts[index];
    return out_of_memory_text;
}

int bakeset_message_is_error(const bakeset *session, size_t index)
{
    if (index < session->text_count)
        return session->report.messages[index].severity == BK_ERROR;
    return 1;
}

size_t bakeset_source_count(const bakeset *session)
{
    return session->plan ? session->plan->source_count : 0;
}

const char *bakeset_source(const bakeset *session, size_t index)
{
    return index < bakeset_source_count(session) ? session->plan->sources[index]->name : NULL;
}

size_t bakeset_error_count(const bakeset *session)
{
    return session->report.errors + (session->out_of_memory ? 1 : 0);
}
