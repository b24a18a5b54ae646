/* bakeset take-in: a recipe from a page or a text, as the draft of a recipe file. */
#include "command/options.h"
#include "command/output.h"

static const bk_option options[] = {
    {"to", BK_OPTION_TAKES, "RECIPE.json",
     "write the draft to this new file, not to standard output"},
    {NULL, BK_OPTION_ALONE, NULL, NULL},
};

enum { OPTION_TO, OPTION_COUNT };

static const bk_usage usage = {
    .command = "take-in",
    .synopsis = "[options] FILE|-",
    .about = "Reads a saved web page, schema.org data or a plain text, and writes the draft of a\n"
             "recipe file. Every guess is a comment with its reason: read it, mend the line, and\n"
             "ask bakeset check. Nothing is fetched, and no file is written over.",
    .options = options,
    .least_operands = 1,
    .most_operands = 1,
};

enum bakeset_result bk_command_take_in(const bk_world *world, int argc, char **argv)
{
    bk_given given[OPTION_COUNT] = {{0}};
    bk_arguments arguments = {.given = given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    bakeset *session = bk_session_new(world);
    if (!session)
        return BAKESET_FAILED;
    size_t length = 0;
    const char *draft = bakeset_take_in(session, arguments.operands[0], &length);
    enum bakeset_result result = bakeset_last_result(session);
    bk_print_messages(world, session, true);
    if (draft)
        result = bk_output_give_new(world, "take-in", given[OPTION_TO].value, draft, length);
    bakeset_free(session);
    return result;
}
