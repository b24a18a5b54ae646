/* bakeset check: reads a plan and reports every problem it can find. */
#include "command/options.h"

static const bk_option options[] = {
    BK_OPTION_ROW_SERVE,
    BK_OPTION_ROW_NOW,
    {NULL, BK_OPTION_ALONE, NULL, NULL},
};

enum { OPTION_SERVE, OPTION_NOW, OPTION_COUNT };

static const bk_usage usage = {
    .command = "check",
    .synopsis = "[options] FILE.json",
    .about =
        "Reads the plan and the files it names, or a recipe or a kitchen by itself, and reports\n"
        "every problem it can find.\n"
        "Plans nothing and writes no file.",
    .options = options,
    .least_operands = 1,
    .most_operands = 1,
};

enum bakeset_result bk_command_check(const bk_world *world, int argc, char **argv)
{
    bk_given given[OPTION_COUNT] = {{0}};
    bk_arguments arguments = {.given = given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    struct bakeset_read_options reading =
        bk_option_reading(world, &given[OPTION_SERVE], &given[OPTION_NOW]);
    reading.alone = 1;
    bakeset *session = bakeset_new();
    if (!session) {
        fputs("bakeset: out of memory\n", world->err);
        return BAKESET_FAILED;
    }
    enum bakeset_result result = bakeset_read(session, arguments.operands[0], &reading);
    bk_print_messages(world, session, true);
    if (result == BAKESET_OK)
        fprintf(world->out, "%s: no %s\n", arguments.operands[0],
                bakeset_message_count(session) == 0 ? "problem found"
                                                    : "error found, but see the warnings");
    bakeset_free(session);
    return result;
}
