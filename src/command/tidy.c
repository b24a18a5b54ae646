/* bakeset tidy: a plan, a recipe or a kitchen laid out in one way. */
#include "command/options.h"
#include "command/output.h"
#include "command/shown.h"

#include <string.h>

static const bk_option options[] = {
    {"in-place", BK_OPTION_ALONE, NULL, "write it to the file itself, if that changes anything"},
    {NULL, BK_OPTION_ALONE, NULL, NULL},
};

enum { OPTION_IN_PLACE, OPTION_COUNT };

static const bk_usage usage = {
    .command = "tidy",
    .synopsis = "[options] FILE.json",
    .about =
        "Prints a plan, a recipe or a kitchen laid out in one way: lines of 100 columns where\n"
        "they can be, a stage in as few as it needs. Comments, empty lines between groups,\n"
        "numbers and texts stay as written; so does what the file means. Files that it\n"
        "names are left alone.",
    .options = options,
    .least_operands = 1,
    .most_operands = 1,
};

static enum bakeset_result write_in_place(const bk_world *world, const char *path, const char *text,
                                          size_t length)
{
    if (bk_output_holds(path, text, length)) {
        fprintf(world->out, "%s is tidy already\n", bk_name_shown(path).text);
        return BAKESET_OK;
    }
    bk_output output = {.path = path, .text = text, .length = length};
    if (!bk_output_write_all(world, &output, 1))
        return BAKESET_FAILED;
    fprintf(world->out, "%s is laid out anew\n", bk_name_shown(path).text);
    return BAKESET_OK;
}

enum bakeset_result bk_command_tidy(const bk_world *world, int argc, char **argv)
{
    bk_given given[OPTION_COUNT] = {{0}};
    bk_arguments arguments = {.given = given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    const char *path = arguments.operands[0];
    if (given[OPTION_IN_PLACE].given && strcmp(path, "-") == 0) {
        fputs("bakeset tidy: standard input is no file to write to; leave --in-place out\n",
              world->err);
        return BAKESET_BAD_INPUT;
    }
    bakeset *session = bk_session_new(world);
    if (!session)
        return BAKESET_FAILED;
    size_t length = 0;
    const char *text = bakeset_tidy(session, path, &length);
    enum bakeset_result result = bakeset_last_result(session);
    bk_print_messages(world, session, true);
    if (text && given[OPTION_IN_PLACE].given)
        result = write_in_place(world, path, text, length);
    else if (text)
        fwrite(text, 1, length, world->out);
    bakeset_free(session);
    return result;
}
