/* bakeset timeline: the main job. Reads a plan, prints its best timeline, writes
 * it elsewhere too. */
#include "command/options.h"
#include "command/output.h"
#include "command/searching.h"

#include <string.h>

enum option {
    OPTION_ICS,
    OPTION_JSON,
    OPTION_SVG,
    OPTION_HTML,
    OPTION_CHART,
    OPTION_SERVE,
    OPTION_NOW,
    OPTION_ALLOW_OUTSIDE,
    OPTION_EFFORT,
    OPTION_ALARM_BEFORE,
    OPTION_ONLY_ALARMS,
    OPTION_NO_SUMMARY,
    OPTION_REPLACES,
    OPTION_SHORT,
    OPTION_WIDTH,
    OPTION_COLOR,
    OPTION_COUNT
};

static const bk_option options[] = {
    [OPTION_ICS] = {"ics", BK_OPTION_TAKES, "FILE",
                    "write a calendar whose alarms tell what to do"},
    [OPTION_JSON] =
        {"json", BK_OPTION_MAY_TAKE, "FILE",
         "write the timeline as JSON; without FILE to\nstandard output, in place of the text"},
    [OPTION_SVG] = {"svg", BK_OPTION_TAKES, "FILE", "draw the timeline on sheets of A4"},
    [OPTION_HTML] = {"html", BK_OPTION_TAKES, "FILE",
                     "write a page for a phone or the kitchen wall"},
    [OPTION_CHART] = {"chart", BK_OPTION_ALONE, NULL,
                      "print the picture in characters, 80 columns or more,\nin place of the text"},
    [OPTION_SERVE] = BK_OPTION_ROW_SERVE,
    [OPTION_NOW] = BK_OPTION_ROW_NOW,
    [OPTION_ALLOW_OUTSIDE] = BK_OPTION_ROW_ALLOW_OUTSIDE,
    [OPTION_EFFORT] = BK_OPTION_ROW_EFFORT,
    [OPTION_ALARM_BEFORE] =
        {"alarm-before", BK_OPTION_TAKES, "MIN",
         "calendar: ring this many minutes before each\nstep (default 0), but for what comes out"},
    [OPTION_ONLY_ALARMS] = {"only-alarms", BK_OPTION_ALONE, NULL,
                            "calendar: leave out what needs nobody"},
    [OPTION_NO_SUMMARY] = {"no-summary", BK_OPTION_ALONE, NULL,
                           "calendar: leave out the all-day \"start by\" entry"},
    [OPTION_REPLACES] =
        {"replaces", BK_OPTION_TAKES, "OLD.ics",
         "calendar: the file written before; what changed\nreplaces it on the phone"},
    [OPTION_SHORT] = {"short", BK_OPTION_ALONE, NULL, "text: a line a step, for 40 columns"},
    [OPTION_WIDTH] = {"width", BK_OPTION_TAKES, "COLUMNS",
                      "text: columns, 40 to 200; chart: from 80"},
    [OPTION_COLOR] = {"color", BK_OPTION_TAKES, "WHEN", "text: auto, always or never"},
    [OPTION_COUNT] = {NULL, BK_OPTION_ALONE, NULL, NULL},
};

static const bk_usage usage = {
    .command = "timeline",
    .synopsis = "[options] PLAN.json",
    .about = "Prints when to do what so that everything is ready by its serve-by time, starting\n"
             "as late as the plan allows. PLAN.json may be - for standard input.",
    .options = options,
    .least_operands = 1,
    .most_operands = 1,
};

typedef struct wanted {
    enum option option;
    enum bakeset_form form;
} wanted;

static const wanted file_forms[] = {{OPTION_JSON, BAKESET_JSON},
                                    {OPTION_ICS, BAKESET_ICS},
                                    {OPTION_SVG, BAKESET_SVG},
                                    {OPTION_HTML, BAKESET_HTML}};

enum { FORMS = sizeof file_forms / sizeof *file_forms };

typedef struct settings {
    bk_given given[OPTION_COUNT];
    const char *path;
    struct bakeset_read_options read;
    struct bakeset_schedule_options schedule;
    struct bakeset_write_options write;
} settings;

static bool same_file_twice(const bk_world *world, const settings *s)
{
    for (size_t i = 0; i < FORMS; i++)
        for (size_t j = 0; j < i; j++) {
            const char *a = s->given[file_forms[i].option].value;
            const char *b = s->given[file_forms[j].option].value;
            if (a && b && bk_output_same_file(a, b)) {
                fprintf(
                    world->err,
                    "bakeset timeline: %s is asked for twice; give each form a file of its own\n",
                    a);
                return true;
            }
        }
    return false;
}

static bool onto_the_plan(const bk_world *world, const bakeset *session, const settings *s)
{
    for (size_t i = 0; i < FORMS; i++) {
        const char *path = s->given[file_forms[i].option].value;
        if (path && bk_output_onto_plan(world, session, usage.command, path,
                                        options[file_forms[i].option].name))
            return true;
    }
    return false;
}

static bool read_settings(const bk_world *world, const bk_arguments *arguments, settings *s)
{
    bool colour = false;
    const bk_given *given = s->given;
    s->path = arguments->operands[0];
    s->schedule.size = sizeof s->schedule;
    s->write.size = sizeof s->write;
    s->read = bk_option_reading(world, &given[OPTION_SERVE], &given[OPTION_NOW],
                                &given[OPTION_ALLOW_OUTSIDE]);
    if (!bk_option_effort(world, &given[OPTION_EFFORT], &s->schedule.effort) ||
        !bk_option_alarm_before(world, &given[OPTION_ALARM_BEFORE], &s->write.alarm_before) ||
        !bk_option_width(world, &given[OPTION_WIDTH], &s->write.width) ||
        !bk_option_colour(world, &given[OPTION_COLOR], &colour))
        return false;
    s->write.colour = colour;
    s->write.ascii = world->ascii;
    s->write.brief = given[OPTION_SHORT].given;
    s->write.only_alarms = given[OPTION_ONLY_ALARMS].given;
    s->write.no_summary = given[OPTION_NO_SUMMARY].given;
    s->write.replaces = given[OPTION_REPLACES].value;
    s->write.over = given[OPTION_ICS].value;
    if (given[OPTION_CHART].given && given[OPTION_JSON].given && !given[OPTION_JSON].value) {
        fputs(
            "bakeset timeline: --chart and --json both go to standard output; write --json=FILE\n",
            world->err);
        return false;
    }
    if (!given[OPTION_ICS].given)
        for (enum option o = OPTION_ALARM_BEFORE; o <= OPTION_REPLACES; o++)
            if (given[o].given) {
                fprintf(world->err, "bakeset timeline: --%s goes with --ics FILE\n",
                        options[o].name);
                return false;
            }
    return !same_file_twice(world, s);
}

/* What the writing of a file warns of stands in no timeline. */
static void print_warnings(const bk_world *world, const bakeset *session, size_t first)
{
    for (size_t i = first; i < bakeset_message_count(session); i++)
        if (bakeset_message(session, i)->severity == BAKESET_WARNING)
            fputs(bakeset_message(session, i)->text, world->err);
}

/* Every file that was asked for, made in memory first: nothing is written unless
 * all could be made. An impossible plan has a JSON form and no other. */
static enum bakeset_result write_files(const bk_world *world, bakeset *session, const settings *s,
                                       bool possible)
{
    bk_output outputs[FORMS] = {{0}};
    size_t count = 0;
    for (size_t i = 0; i < FORMS; i++) {
        const char *path = s->given[file_forms[i].option].value;
        if (!path)
            continue;
        if (!possible && file_forms[i].form != BAKESET_JSON) {
            fprintf(world->err, "bakeset timeline: %s is not written: there is no timeline\n",
                    bk_name_shown(path).text);
            continue;
        }
        bk_output *output = &outputs[count++];
        output->path = path;
        size_t before = bakeset_message_count(session);
        output->text = bakeset_write(session, file_forms[i].form, &s->write, &output->length);
        print_warnings(world, session, before);
        if (!output->text)
            return bakeset_last_result(session);
    }
    return bk_output_write_all(world, outputs, count) ? BAKESET_OK : BAKESET_FAILED;
}

/* Only the command has a clock, and what it says is for a person: what a program reads
 * does not hang on the day. */
static void remark_on_the_past(const bk_world *world, const bakeset *session, const settings *s)
{
    int64_t last = 0;
    if (!world->person || s->given[OPTION_NOW].given ||
        bakeset_serves(session, NULL, &last) != BAKESET_OK || last >= world->clock())
        return;
    fputs("bakeset timeline: all of this plan was to be served before now; --serve moves it, as "
          "--serve \"+7 d\"\n",
          world->err);
}

static enum bakeset_result plan_and_print(const bk_world *world, bakeset *session,
                                          const settings *s)
{
    enum bakeset_result result = bakeset_read(session, s->path, &s->read);
    if (result != BAKESET_OK)
        return result;
    if (onto_the_plan(world, session, s))
        return BAKESET_BAD_INPUT;
    remark_on_the_past(world, session, s);
    bk_searching searching;
    struct bakeset_schedule_options scheduling = s->schedule;
    bk_searching_begin(&searching, world, usage.command, true, &scheduling);
    result = bakeset_schedule(session, &scheduling);
    bk_searching_end(&searching, session);
    if (result != BAKESET_OK && result != BAKESET_IMPOSSIBLE)
        return result;
    bool json = s->given[OPTION_JSON].given && !s->given[OPTION_JSON].value;
    bool chart = s->given[OPTION_CHART].given && result == BAKESET_OK;
    const char *text = bakeset_write(session,
                                     json    ? BAKESET_JSON
                                     : chart ? BAKESET_CHART
                                             : BAKESET_TEXT,
                                     &s->write, NULL);
    if (!text)
        return BAKESET_FAILED;
    enum bakeset_result written = write_files(world, session, s, result == BAKESET_OK);
    if (written != BAKESET_OK)
        return written;
    fputs(text, world->out);
    return result;
}

enum bakeset_result bk_command_timeline(const bk_world *world, int argc, char **argv)
{
    settings s = {0};
    bk_arguments arguments = {.given = s.given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    if (!read_settings(world, &arguments, &s))
        return BAKESET_BAD_INPUT;
    bakeset *session = bk_session_new(world);
    if (!session)
        return BAKESET_FAILED;
    enum bakeset_result result = plan_and_print(world, session, &s);
    bk_print_messages(world, session, false);
    bakeset_free(session);
    return result;
}
