/* bakeset day: what has happened, what now, and what if it slips. Keeps the journal
 * beside the plan and plans the rest anew. */
#include "command/options.h"
#include "command/output.h"
#include "command/watch.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum option {
    OPTION_AT,
    OPTION_UNTIL,
    OPTION_NOW,
    OPTION_JSON,
    OPTION_ICS,
    OPTION_HTML,
    OPTION_PUBLISH,
    OPTION_NETRC,
    OPTION_WATCH,
    OPTION_ALLOW_OUTSIDE,
    OPTION_EFFORT,
    OPTION_WIDTH,
    OPTION_COLOR,
    OPTION_COUNT
};

static const bk_option options[] = {
    [OPTION_AT] = {"at", BK_OPTION_TAKES, "TIME", "when it happened, such as 19:10 (default: now)"},
    [OPTION_UNTIL] = {"until", BK_OPTION_TAKES, "TIME", "with cook: until when that one is there"},
    [OPTION_NOW] = {"now", BK_OPTION_TAKES, "TIME",
                    "what time it is, such as 19:20 (default: the clock)"},
    [OPTION_JSON] =
        {"json", BK_OPTION_MAY_TAKE, "FILE",
         "write the timeline as JSON; without FILE to\nstandard output, in place of the text"},
    [OPTION_ICS] = {"ics", BK_OPTION_TAKES, "FILE",
                    "write the calendar anew: what changed replaces\nwhat stands in FILE"},
    [OPTION_HTML] = {"html", BK_OPTION_TAKES, "FILE", "write the page anew"},
    [OPTION_PUBLISH] = {"publish", BK_OPTION_ALONE, NULL,
                        "put the events where the plan's \"publish\" says;\nname and password as "
                        "for the command publish"},
    [OPTION_NETRC] = {"netrc", BK_OPTION_TAKES, "FILE", "with --publish: as for publish"},
    [OPTION_WATCH] = {"watch", BK_OPTION_ALONE, NULL,
                      "show the day on this terminal until q is pressed"},
    [OPTION_ALLOW_OUTSIDE] = BK_OPTION_ROW_ALLOW_OUTSIDE,
    [OPTION_EFFORT] = BK_OPTION_ROW_EFFORT,
    [OPTION_WIDTH] = {"width", BK_OPTION_TAKES, "COLUMNS", "text: columns, 40 to 60"},
    [OPTION_COLOR] = {"color", BK_OPTION_TAKES, "WHEN", "text: auto, always or never"},
    [OPTION_COUNT] = {NULL, BK_OPTION_ALONE, NULL, NULL},
};

static const bk_usage usage = {
    .command = "day",
    .synopsis = "[WHAT] [options] PLAN.json",
    .about = "Follows the day itself. Without WHAT it says what now, what runs and what comes\n"
             "next. WHAT says what happened, and the rest is planned anew:\n"
             "  begun STAGE             done STAGE              skip STAGE\n"
             "  longer STAGE \"20 min\"   hot OVEN [\"180 C\"]      out DISH\n"
             "  served DISH             later \"+25 min\"         later DISH=21:00\n"
             "  cook NAME --until 21:00                         undo\n"
             "  next                    finish\n"
             "Of a name so much is enough as only it has. What nobody speaks of is taken to go\n"
             "as planned. What was said stands in PLAN.day.jsonl, beside the plan.",
    .options = options,
    .least_operands = 1,
    .most_operands = 4,
};

static const struct {
    enum option option;
    enum bakeset_form form;
} file_forms[] = {
    {OPTION_JSON, BAKESET_JSON}, {OPTION_ICS, BAKESET_ICS}, {OPTION_HTML, BAKESET_HTML}};

enum { FORMS = sizeof file_forms / sizeof *file_forms };

typedef struct settings {
    bk_given given[OPTION_COUNT];
    const char *path;
    const char *words[BK_MOST_OPERANDS + 1];
    struct bakeset_day_options day;
    struct bakeset_write_options write;
} settings;

static bool read_settings(const bk_world *world, const bk_arguments *arguments, settings *s)
{
    bool colour = false;
    const bk_given *given = s->given;
    size_t count = arguments->operand_count - 1;
    s->path = arguments->operands[count];
    for (size_t i = 0; i < count; i++)
        s->words[i] = arguments->operands[i];
    bool cook = count > 0 && strcmp(s->words[0], "cook") == 0;
    if (given[OPTION_UNTIL].given && !cook) {
        fputs("bakeset day: --until goes with cook NAME\n", world->err);
        return false;
    }
    if (given[OPTION_UNTIL].given && count < BK_MOST_OPERANDS)
        s->words[count] = given[OPTION_UNTIL].value;
    s->day.size = sizeof s->day;
    s->write.size = sizeof s->write;
    s->day.words = count > 0 ? s->words : NULL;
    s->day.at = given[OPTION_AT].value;
    s->day.now = given[OPTION_NOW].value;
    s->day.clock = world->clock();
    s->day.allow_outside = given[OPTION_ALLOW_OUTSIDE].given;
    if (!bk_option_effort(world, &given[OPTION_EFFORT], &s->day.effort) ||
        !bk_option_width(world, &given[OPTION_WIDTH], &s->write.width) ||
        !bk_option_colour(world, &given[OPTION_COLOR], &colour))
        return false;
    s->write.colour = colour;
    s->write.ascii = world->ascii;
    if (given[OPTION_WATCH].given && (count > 0 || given[OPTION_JSON].given)) {
        fputs("bakeset day: --watch stands alone: it has keys to say what happened\n", world->err);
        return false;
    }
    return true;
}

/* --------------------------------------------------------------- which stage */

/* Several stages have that name: the cook says which, by its number. */
static const char *ask(const bk_world *world, const char *const *choices)
{
    char line[16] = "";
    size_t count = 0;
    while (choices[count])
        count++;
    for (size_t i = 0; i < count; i++)
        fprintf(world->err, "  %zu  %s\n", i + 1, choices[i]);
    fputs("which? ", world->err);
    fflush(world->err);
    if (!world->ask(line, sizeof line))
        return NULL;
    char *end = line;
    unsigned long number = strtoul(line, &end, 10);
    return end > line && number >= 1 && number <= count ? choices[number - 1] : NULL;
}

static enum bakeset_result follow(const bk_world *world, bakeset *session, settings *s)
{
    enum bakeset_result result = bakeset_day(session, s->path, &s->day);
    const char *const *choices = bakeset_day_choices(session);
    if (result != BAKESET_BAD_INPUT || !choices || !world->ask)
        return result;
    const char *chosen = ask(world, choices);
    char *kept = chosen ? strdup(chosen) : NULL; /* what it stands in is gone with the next call */
    if (!kept)
        return result;
    s->words[1] = kept;
    result = bakeset_day(session, s->path, &s->day);
    free(kept);
    return result;
}

/* ------------------------------------------------------------------- outputs */

static enum bakeset_result write_files(const bk_world *world, bakeset *session, settings *s)
{
    bk_output outputs[FORMS] = {{0}};
    size_t count = 0;
    for (size_t i = 0; i < FORMS; i++) {
        const char *path = s->given[file_forms[i].option].value;
        if (!path)
            continue;
        struct bakeset_write_options write = s->write;
        if (file_forms[i].form == BAKESET_ICS && access(path, F_OK) == 0)
            write.replaces = path; /* the same alarms, moved */
        bk_output *output = &outputs[count++];
        output->path = path;
        output->text = bakeset_write(session, file_forms[i].form, &write, &output->length);
        if (!output->text)
            return bakeset_last_result(session);
    }
    return bk_output_write_all(world, outputs, count) ? BAKESET_OK : BAKESET_FAILED;
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

/* Asked before anything is said: whether the plan names a calendar. */
static enum bakeset_result has_place(const bk_world *world, bakeset *session, const settings *s)
{
    struct bakeset_read_options reading = {.size = sizeof reading,
                                           .allow_outside = s->day.allow_outside};
    enum bakeset_result result = bakeset_read(session, s->path, &reading);
    if (result != BAKESET_OK || bakeset_publish_to(session))
        return result;
    fputs("bakeset day: the plan does not say where its events go; add \"publish\": "
          "\"https://…\", the address of the calendar\n",
          world->err);
    return BAKESET_BAD_INPUT;
}

/* What the day has come to, as the command publish puts it on the server. */
static enum bakeset_result publish(const bk_world *world, const char *to, const settings *s)
{
    char *arguments[12];
    int count = 0;
    arguments[count++] = "--day";
    arguments[count++] = "--to";
    arguments[count++] = (char *)to;
    if (s->given[OPTION_NETRC].given) {
        arguments[count++] = "--netrc";
        arguments[count++] = (char *)s->given[OPTION_NETRC].value;
    }
    if (s->day.now) {
        arguments[count++] = "--now";
        arguments[count++] = (char *)s->day.now;
    }
    if (s->day.allow_outside)
        arguments[count++] = "--allow-outside";
    arguments[count++] = "--";
    arguments[count++] = (char *)s->path;
    return bk_command_publish(world, count, arguments);
}

/* ---------------------------------------------------------------------- watched */

typedef struct watching {
    const bk_world *world;
    bakeset *session;
    settings *s;
} watching;

static bool write_again(void *context)
{
    watching *w = context;
    return write_files(w->world, w->session, w->s) == BAKESET_OK;
}

/* With --now the clock goes on from there: so that it can be tried. */
static enum bakeset_result watch(const bk_world *world, bakeset *session, settings *s)
{
    watching context = {world, session, s};
    bk_watch view = {.world = world,
                     .session = session,
                     .path = s->path,
                     .day = s->day,
                     .write = s->write,
                     .said = write_again,
                     .context = &context};
    int64_t now = world->clock();
    enum bakeset_result result = bakeset_day(session, s->path, &s->day);
    if (result != BAKESET_OK && result != BAKESET_IMPOSSIBLE)
        return result;
    if (onto_the_plan(world, session, s))
        return BAKESET_BAD_INPUT;
    if (s->day.now && bakeset_day_now(session, &now) == BAKESET_OK)
        view.behind = (now - world->clock()) * 60;
    view.day.now = NULL;
    view.write.progress = 1;
    return bk_watch_day(&view);
}

static enum bakeset_result follow_and_print(const bk_world *world, bakeset *session, settings *s)
{
    enum bakeset_result result =
        s->given[OPTION_PUBLISH].given ? has_place(world, session, s) : BAKESET_OK;
    if (result != BAKESET_OK)
        return result;
    result = follow(world, session, s);
    if (result != BAKESET_OK && result != BAKESET_IMPOSSIBLE)
        return result;
    if (onto_the_plan(world, session, s))
        return BAKESET_BAD_INPUT;
    bool json = s->given[OPTION_JSON].given && !s->given[OPTION_JSON].value;
    const char *text = json ? bakeset_write(session, BAKESET_JSON, &s->write, NULL)
                            : bakeset_write_day(session, &s->write, NULL);
    if (!text)
        return BAKESET_FAILED;
    enum bakeset_result written =
        result == BAKESET_OK ? write_files(world, session, s) : BAKESET_OK;
    if (written != BAKESET_OK)
        return written;
    fputs(text, world->out);
    if (!s->given[OPTION_PUBLISH].given || result != BAKESET_OK)
        return result;
    return publish(world, bakeset_publish_to(session), s);
}

/* Warnings of a plan were told when it was planned; what a stopped program left in the journal
 * is news. */
static void tell_what_was_torn(const bk_world *world, const bakeset *session)
{
    for (size_t i = 0; i < bakeset_message_count(session); i++)
        if (strcmp(bakeset_message(session, i)->code, "torn") == 0)
            fputs(bakeset_message(session, i)->text, world->err);
}

enum bakeset_result bk_command_day(const bk_world *world, int argc, char **argv)
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
    enum bakeset_result result = s.given[OPTION_WATCH].given ? watch(world, session, &s)
                                                             : follow_and_print(world, session, &s);
    tell_what_was_torn(world, session);
    bk_print_messages(world, session, false);
    bakeset_free(session);
    return result;
}
