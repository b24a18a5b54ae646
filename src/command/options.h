/* Private to command: options as one table, from which reading and help are made. */
#ifndef BK_COMMAND_OPTIONS_H
#define BK_COMMAND_OPTIONS_H

#include "command/command.h"

enum bk_option_value {
    BK_OPTION_ALONE,
    BK_OPTION_TAKES,
    BK_OPTION_TAKES_LINES,     /* the same, and may be given again: the value has a line each */
    BK_OPTION_MAY_TAKE,        /* "--name" or "--name=value" */
    BK_OPTION_MAY_TAKE_INSTANT /* and "--name value" where the next word is a time */
};

typedef struct bk_option {
    const char *name; /* without the dashes */
    enum bk_option_value takes;
    const char *value; /* name of the value in help, or NULL */
    const char *help;
} bk_option;

/* What one option was given: `given` with value NULL for one that stands alone. */
typedef struct bk_given {
    bool given;
    const char *value;
    char lines[1024]; /* of an option that may be given again */
} bk_given;

typedef struct bk_usage {
    const char *command;      /* "timeline" */
    const char *synopsis;     /* "[options] PLAN.json" */
    const char *about;        /* one paragraph */
    const bk_option *options; /* ends with a NULL name; --help is always there */
    size_t least_operands, most_operands;
} bk_usage;

enum { BK_MOST_OPERANDS = 4 };

typedef struct bk_arguments {
    bk_given *given; /* by option of the table; the caller's array */
    const char *operands[BK_MOST_OPERANDS];
    size_t operand_count;
} bk_arguments;

enum bk_parsed {
    BK_PARSED,
    BK_PARSED_HELP /* help or version was printed: done */,
    BK_PARSED_WRONG
};

/* Reads options and operands in any order; "--" ends the options; "-" is an
 * operand. Values are "--name=value" or, where one is required or the next word can be
 * nothing else, "--name value".
 * What is wrong is said on world->err. */
enum bk_parsed bk_options_parse(const bk_world *world, const bk_usage *usage, int argc, char **argv,
                                bk_arguments *arguments);

/* The options of every command that reads a plan: each means the same everywhere. */
#define BK_OPTION_ROW_SERVE                                                                        \
    {                                                                                              \
        "serve", BK_OPTION_TAKES_LINES, "[DISH=]WHEN",                                             \
            "serve at another time: \"2026-12-24 19:30\", 18:30 or\n\"+25 min\"; all "             \
            "dishes move with it, or one DISH"                                                     \
    }
#define BK_OPTION_ROW_NOW                                                                          \
    {                                                                                              \
        "now", BK_OPTION_MAY_TAKE_INSTANT, "INSTANT",                                              \
            "plan nothing before this time, such as 18:30;\nwithout INSTANT the clock's"           \
    }
#define BK_OPTION_ROW_ALLOW_OUTSIDE                                                                \
    {                                                                                              \
        "allow-outside", BK_OPTION_ALONE, NULL, "the plan may name files outside its own folder"   \
    }
#define BK_OPTION_ROW_EFFORT                                                                       \
    {                                                                                              \
        "effort", BK_OPTION_TAKES, "N", "search limit in conflicts (default 200000)"               \
    }

/* What --serve, --now and --allow-outside come to. */
struct bakeset_read_options bk_option_reading(const bk_world *world, const bk_given *serve,
                                              const bk_given *now, const bk_given *outside);

/* A whole number in [least, most]; not given, *number stays. False with a message on
 * world->err. */
bool bk_option_number(const bk_world *world, const char *option, const bk_given *given,
                      int64_t least, int64_t most, int64_t *number);

/* --effort: conflicts; 0 when not given. False with a message. */
bool bk_option_effort(const bk_world *world, const bk_given *given, int64_t *effort);

/* --alarm-before: minutes; 0 when not given. False with a message. */
bool bk_option_alarm_before(const bk_world *world, const bk_given *given, int *minutes);

/* --width: columns; the terminal's when not given. False with a message. */
bool bk_option_width(const bk_world *world, const bk_given *given, int *width);

/* --color=auto|always|never; false with a message. */
bool bk_option_colour(const bk_world *world, const bk_given *given, bool *colour);

/* A session, the caller's to free; NULL without memory, which it says on world->err. */
bakeset *bk_session_new(const bk_world *world);

/* Prints the session's messages on world->err: errors, and warnings too when
 * asked; says how many errors were beyond those kept. */
void bk_print_messages(const bk_world *world, const bakeset *session, bool warnings_too);

#endif
