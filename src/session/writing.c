/* A timeline in the forms it is given out in. */
#include "session/session.h"

#include <string.h>

bool bk_shelf_take_write_options(bk_shelf *shelf, const struct bakeset_write_options *given,
                                 struct bakeset_write_options *options)
{
    enum { LEAST_WIDTH = 40, MOST_WIDTH = 200, MOST_BEFORE = 1440 };
    if (!bk_shelf_take_options(shelf, given, options, sizeof *options))
        return false;
    bool wide =
        options->width == 0 || (options->width >= LEAST_WIDTH && options->width <= MOST_WIDTH);
    bool before = options->alarm_before >= 0 && options->alarm_before <= MOST_BEFORE;
    if (!wide)
        bk_shelf_usage(shelf, "the width is out of range", "0, or 40 to 200 columns");
    if (!before)
        bk_shelf_usage(shelf, "alarm_before is out of range", "0 to 1440 minutes");
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
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
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
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
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

bk_text_style bk_style_of(const struct bakeset_write_options *options)
{
    return (bk_text_style){
        .width = options->width, .colour = options->colour != 0, .ascii = options->ascii != 0};
}

void bk_keep_to_ascii(const bk_text_style *style, bk_text *text)
{
    if (!style->ascii || !text->data)
        return;
    char *ascii = bk_words_ascii(text->arena, text->data);
    text->length = 0;
    bk_text_add(text, ascii);
}

bool bk_session_write_form(bakeset *session, enum bakeset_form form,
                           const struct bakeset_write_options *options, bk_text *out)
{
    const bk_timeline *timeline = session->timeline;
    bool possible = timeline && timeline->stage_count > 0;
    bk_text_style style = bk_style_of(options);
    if (timeline && form == BAKESET_TEXT) {
        if (possible && options->brief)
            bk_write_short(timeline, &style, out);
        else
            bk_write_text(timeline, &style, out);
        bk_keep_to_ascii(&style, out);
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
    bk_shelf_usage(&session->shelves[BK_SCHEDULING],
                   timeline ? "there is no timeline to write in this form"
                            : "there is no timeline to write",
                   NULL);
    return false;
}

const char *bk_session_write(bakeset *session, enum bakeset_form form,
                             const struct bakeset_write_options *given, size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
    struct bakeset_write_options options = {0};
    bk_text out = bk_text_new(shelf->arena);
    bool written = bk_shelf_take_write_options(shelf, given, &options) &&
                   bk_session_write_form(session, form, &options, &out);
    return bk_session_finish_text(session, shelf, written ? &out : NULL, length);
}

const char *bakeset_write(bakeset *session, enum bakeset_form form,
                          const struct bakeset_write_options *options, size_t *length)
{
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_SCHEDULING]);
        return NULL;
    }
    return bk_session_write(session, form, options, length);
}
