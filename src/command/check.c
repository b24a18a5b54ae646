/* bakeset check: reads a plan and reports every problem it can find. */
#include "command/options.h"
#include "command/output.h"

#include <stdlib.h>

static const bk_option options[] = {
    BK_OPTION_ROW_SERVE,
    BK_OPTION_ROW_NOW,
    {"history", BK_OPTION_ALONE, NULL,
     "the written times beside the real ones, which stand\nnext to each recipe, and what those "
     "propose"},
    {"apply", BK_OPTION_ALONE, NULL,
     "with --history: write the proposed ranges into the\nfiles, every other byte as it was"},
    {NULL, BK_OPTION_ALONE, NULL, NULL},
};

enum { OPTION_SERVE, OPTION_NOW, OPTION_HISTORY, OPTION_APPLY, OPTION_COUNT };

static const bk_usage usage = {
    .command = "check",
    .synopsis = "[options] FILE.json",
    .about =
        "Reads the plan and the files it names, or a recipe or a kitchen by itself, and reports\n"
        "every problem it can find.\n"
        "Plans nothing, and writes no file but with --apply.",
    .options = options,
    .least_operands = 1,
    .most_operands = 1,
};

/* Writes the files with the proposed ranges in them, all or none. */
static enum bakeset_result apply(const bk_world *world, bakeset *session)
{
    size_t count = 0;
    const struct bakeset_changed_file *const *changed = bakeset_history_changes(session, &count);
    if (!changed)
        return bakeset_last_result(session);
    bk_output *outputs = calloc(count + 1, sizeof *outputs);
    if (!outputs) {
        fputs("bakeset: out of memory\n", world->err);
        return BAKESET_FAILED;
    }
    for (size_t i = 0; i < count; i++)
        outputs[i] = (bk_output){
            .path = changed[i]->path, .text = changed[i]->text, .length = changed[i]->length};
    bool written = bk_output_write_all(world, outputs, count);
    for (size_t i = 0; i < count && written; i++)
        fprintf(world->out, "\n%s is changed:\n%s", changed[i]->path, changed[i]->said);
    if (count == 0)
        fputs("\nThere is nothing to change.\n", world->out);
    free(outputs);
    return written ? BAKESET_OK : BAKESET_FAILED;
}

static enum bakeset_result tell_history(const bk_world *world, bakeset *session, bool applied)
{
    struct bakeset_write_options style = {.size = sizeof style, .width = world->width};
    const char *text = bakeset_history(session, &style, NULL);
    if (!text)
        return bakeset_last_result(session);
    fprintf(world->out, "\n%s", text);
    return applied ? apply(world, session) : BAKESET_OK;
}

enum bakeset_result bk_command_check(const bk_world *world, int argc, char **argv)
{
    bk_given given[OPTION_COUNT] = {{0}};
    bk_arguments arguments = {.given = given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    if (given[OPTION_APPLY].given && !given[OPTION_HISTORY].given) {
        fputs("bakeset check: --apply writes what --history proposes; give both\n", world->err);
        return BAKESET_BAD_INPUT;
    }
    struct bakeset_read_options reading =
        bk_option_reading(world, &given[OPTION_SERVE], &given[OPTION_NOW]);
    reading.alone = 1;
    bakeset *session = bakeset_new();
    if (!session) {
        fputs("bakeset: out of memory\n", world->err);
        return BAKESET_FAILED;
    }
    enum bakeset_result result = bakeset_read(session, arguments.operands[0], &reading);
    size_t told = bakeset_message_count(session);
    bk_print_messages(world, session, true);
    if (result == BAKESET_OK)
        fprintf(world->out, "%s: no %s\n", arguments.operands[0],
                told == 0 ? "problem found" : "error found, but see the warnings");
    if (result == BAKESET_OK && given[OPTION_HISTORY].given) {
        result = tell_history(world, session, given[OPTION_APPLY].given);
        for (; told < bakeset_message_count(session); told++)
            fputs(bakeset_message(session, told)->text, world->err);
    }
    bakeset_free(session);
    return result;
}
