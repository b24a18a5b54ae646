/* Options as one table: reading, checking and help. */
#include "command/options.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

enum { HELP_COLUMN = 26, HELP_WIDTH = 80, MOST_OPTIONS = 32 };

static bool is_blank(char c)
{
    return c == ' ' || c == '\n';
}

/* `text`, which is ASCII, in lines that fit, the later ones indented as the first is; where it has
 * lines of its own they are joined. */
static void print_wrapped(FILE *out, size_t indent, const char *text);

/* Lines that begin with blanks stand as they are; the rest is wrapped. */
static void print_about(FILE *out, const char *text)
{
    char prose[1024];
    while (*text) {
        size_t length = 0;
        for (; *text && *text != ' ' && length + 1 < sizeof prose;) { /* up to a line of its own */
            size_t line = strcspn(text, "\n");
            for (size_t i = 0; i < line && length + 2 < sizeof prose; i++)
                prose[length++] = text[i];
            text += line + (text[line] != '\0');
            if (*text && *text != ' ')
                prose[length++] = '\n';
        }
        prose[length] = '\0';
        print_wrapped(out, 0, prose);
        for (; *text == ' ';) {
            size_t line = strcspn(text, "\n");
            fprintf(out, "%.*s\n", (int)line, text);
            text += line + (text[line] != '\0');
        }
    }
}

static void print_wrapped(FILE *out, size_t indent, const char *text)
{
    const size_t room = HELP_WIDTH - indent;
    for (bool first = true; *text; first = false) {
        size_t length = strlen(text);
        if (length > room) {
            length = room;
            while (length > 0 && !is_blank(text[length]))
                length--;
            if (length == 0)
                length = strcspn(text, " \n");
        }
        fprintf(out, "%*s", first ? 0 : (int)indent, "");
        for (size_t i = 0; i < length; i++)
            fputc(is_blank(text[i]) ? ' ' : text[i], out);
        fputc('\n', out);
        text += length + (text[length] != '\0');
    }
}

static void print_option(FILE *out, const char *name, const char *value, bool optional,
                         const char *help)
{
    char left[64];
    snprintf(left, sizeof left, "  --%s%s%s%s", name, value ? (optional ? "[=" : " ") : "",
             value ? value : "", value && optional ? "]" : "");
    fprintf(out, "%-*s", HELP_COLUMN, left);
    if (strlen(left) >= HELP_COLUMN)
        fprintf(out, "\n%*s", HELP_COLUMN, "");
    print_wrapped(out, HELP_COLUMN, help);
}

static void print_help(const bk_world *world, const bk_usage *usage)
{
    fprintf(world->out, "Usage: bakeset %s %s\n\n", usage->command, usage->synopsis);
    print_about(world->out, usage->about);
    fputs("\nOptions:\n", world->out);
    for (const bk_option *o = usage->options; o->name; o++)
        print_option(world->out, o->name, o->value, o->takes >= BK_OPTION_MAY_TAKE, o->help);
    print_option(world->out, "help", NULL, false, "this text");
    print_option(world->out, "version", NULL, false, "the program's version");
}

static void say_usage(const bk_world *world, const bk_usage *usage)
{
    fprintf(world->err, "usage: bakeset %s %s (bakeset %s --help says more)\n", usage->command,
            usage->synopsis, usage->command);
}

static enum bk_parsed unknown(const bk_world *world, const bk_usage *usage, const char *name,
                              size_t length)
{
    char word[64];
    const char *names[MOST_OPTIONS + 2];
    size_t n = 0;
    for (const bk_option *o = usage->options; o->name && n < MOST_OPTIONS; o++)
        names[n++] = o->name;
    names[n++] = "help";
    names[n] = NULL;
    snprintf(word, sizeof word, "%.*s", (int)(length < 60 ? length : 60), name);
    const char *nearest = bakeset_nearest(word, names);
    fprintf(world->err, "bakeset %s: unknown option --%s", usage->command,
            bk_name_shown(word).text);
    if (nearest)
        fprintf(world->err, "; did you mean --%s?", nearest);
    fputc('\n', world->err);
    say_usage(world, usage);
    return BK_PARSED_WRONG;
}

/* "2026-12-12 09:00", "2026-12-12T09:00+01:00", and what was meant to be one, like "9:00":
 * no name of a plan file, which has letters. */
static bool looks_like_a_time(const char *word)
{
    return word[0] >= '0' && word[0] <= '9' && strchr(word, ':') &&
           word[strspn(word, "0123456789:-+TtZz ")] == '\0';
}

/* The value joins those given before it, on a line of its own. */
static bool add_line(bk_given *given)
{
    size_t before = strlen(given->lines), room = sizeof given->lines - before;
    int wrote = snprintf(given->lines + before, room, "%s%s", before ? "\n" : "", given->value);
    given->value = given->lines;
    return wrote >= 0 && (size_t)wrote < room;
}

static enum bk_parsed take_option(const bk_world *world, const bk_usage *usage, int argc,
                                  char **argv, int *at, bk_arguments *arguments)
{
    const char *name = argv[*at] + 2;
    const char *equals = strchr(name, '=');
    size_t length = equals ? (size_t)(equals - name) : strlen(name);
    if (length == 4 && strncmp(name, "help", 4) == 0) {
        print_help(world, usage);
        return BK_PARSED_HELP;
    }
    if (length == 7 && strncmp(name, "version", 7) == 0) {
        fprintf(world->out, "bakeset %s\n", bakeset_version());
        return BK_PARSED_HELP;
    }
    for (size_t i = 0; usage->options[i].name; i++) {
        const bk_option *option = &usage->options[i];
        if (strlen(option->name) != length || strncmp(option->name, name, length) != 0)
            continue;
        bk_given *given = &arguments->given[i];
        given->given = true;
        given->value = equals ? equals + 1 : NULL;
        if (option->takes == BK_OPTION_ALONE && equals) {
            fprintf(world->err, "bakeset %s: --%s takes no value\n", usage->command, option->name);
            return BK_PARSED_WRONG;
        }
        bool takes = option->takes == BK_OPTION_TAKES || option->takes == BK_OPTION_TAKES_LINES;
        if (takes && !equals) {
            if (*at + 1 >= argc) {
                fprintf(world->err, "bakeset %s: --%s needs a value; write --%s %s\n",
                        usage->command, option->name, option->name, option->value);
                return BK_PARSED_WRONG;
            }
            given->value = argv[++*at];
        }
        if (option->takes == BK_OPTION_MAY_TAKE_INSTANT && !equals && *at + 1 < argc &&
            looks_like_a_time(argv[*at + 1]))
            given->value = argv[++*at];
        if (given->value && !*given->value) {
            fprintf(world->err, "bakeset %s: --%s has an empty value; write --%s=%s\n",
                    usage->command, option->name, option->name, option->value);
            return BK_PARSED_WRONG;
        }
        if (option->takes == BK_OPTION_TAKES_LINES && !add_line(given)) {
            fprintf(world->err, "bakeset %s: --%s is given too often\n", usage->command,
                    option->name);
            return BK_PARSED_WRONG;
        }
        return BK_PARSED;
    }
    return unknown(world, usage, name, length);
}

enum bk_parsed bk_options_parse(const bk_world *world, const bk_usage *usage, int argc, char **argv,
                                bk_arguments *arguments)
{
    bool options_ended = false;
    arguments->operand_count = 0;
    for (int i = 0; i < argc; i++) {
        const char *word = argv[i];
        if (!options_ended && strcmp(word, "--") == 0) {
            options_ended = true;
        } else if (!options_ended && strncmp(word, "--", 2) == 0) {
            enum bk_parsed parsed = take_option(world, usage, argc, argv, &i, arguments);
            if (parsed != BK_PARSED)
                return parsed;
        } else if (!options_ended && word[0] == '-' && word[1]) {
            fprintf(world->err, "bakeset %s: unknown option %s; options begin with --\n",
                    usage->command, bk_name_shown(word).text);
            say_usage(world, usage);
            return BK_PARSED_WRONG;
        } else if (arguments->operand_count < usage->most_operands) {
            arguments->operands[arguments->operand_count++] = word;
        } else {
            fprintf(world->err, "bakeset %s: too many arguments: \"%s\"\n", usage->command,
                    bk_name_shown(word).text);
            say_usage(world, usage);
            return BK_PARSED_WRONG;
        }
    }
    if (arguments->operand_count < usage->least_operands) {
        fprintf(world->err, "bakeset %s: no plan file given\n", usage->command);
        say_usage(world, usage);
        return BK_PARSED_WRONG;
    }
    return BK_PARSED;
}

struct bakeset_read_options bk_option_reading(const bk_world *world, const bk_given *serve,
                                              const bk_given *now, const bk_given *outside)
{
    struct bakeset_read_options reading = {.size = sizeof reading,
                                           .serve = serve->value,
                                           .now = now->value,
                                           .allow_outside = outside->given};
    if (now->given)
        reading.clock = world->clock();
    return reading;
}

bool bk_option_number(const bk_world *world, const char *option, const bk_given *given,
                      int64_t least, int64_t most, int64_t *number)
{
    if (!given->given)
        return true;
    const char *text = given->value;
    bool digits = *text && strlen(text) <= 15;
    for (const char *c = text; *c; c++)
        digits = digits && *c >= '0' && *c <= '9';
    if (digits) {
        *number = strtoll(text, NULL, 10);
        if (*number >= least && *number <= most)
            return true;
    }
    fprintf(world->err,
            "bakeset: --%s is \"%s\"; write a whole number from %" PRId64 " to %" PRId64 "\n",
            option, bk_name_shown(text).text, least, most);
    return false;
}

bool bk_option_effort(const bk_world *world, const bk_given *given, int64_t *effort)
{
    *effort = 0;
    return bk_option_number(world, "effort", given, 1, 1000000000000, effort);
}

static bool small_number(const bk_world *world, const char *option, const bk_given *given,
                         int least, int most, int *number)
{
    int64_t wide = *number;
    bool good = bk_option_number(world, option, given, least, most, &wide);
    *number = (int)wide;
    return good;
}

bool bk_option_alarm_before(const bk_world *world, const bk_given *given, int *minutes)
{
    *minutes = 0;
    return small_number(world, "alarm-before", given, 0, 1440, minutes);
}

bool bk_option_width(const bk_world *world, const bk_given *given, int *width)
{
    *width = world->width;
    return small_number(world, "width", given, 40, 200, width);
}

bool bk_option_colour(const bk_world *world, const bk_given *given, bool *colour)
{
    const char *when = given->given && given->value ? given->value : "auto";
    if (strcmp(when, "always") == 0) {
        *colour = true;
    } else if (strcmp(when, "never") == 0) {
        *colour = false;
    } else if (strcmp(when, "auto") == 0) {
        *colour = world->terminal_colour;
    } else {
        fprintf(world->err, "bakeset: --color is \"%s\"; write auto, always or never\n",
                bk_name_shown(when).text);
        return false;
    }
    return true;
}

bakeset *bk_session_new(const bk_world *world)
{
    bakeset *session = bakeset_new();
    if (!session)
        fputs("bakeset: out of memory\n", world->err);
    return session;
}

void bk_print_messages(const bk_world *world, const bakeset *session, bool warnings_too)
{
    size_t shown = 0;
    for (size_t i = 0; i < bakeset_message_count(session); i++) {
        const struct bakeset_message *message = bakeset_message(session, i);
        bool error = message->severity == BAKESET_ERROR;
        shown += error;
        if (error || warnings_too)
            fputs(message->text, world->err);
    }
    if (bakeset_error_count(session) > shown)
        fprintf(world->err, "and %zu more\n", bakeset_error_count(session) - shown);
}
