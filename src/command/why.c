/* bakeset why: what fixes the start, why a stage is where it is, or why there is
 * no timeline and what would help. */
#include "command/options.h"
#include "command/searching.h"

#include <string.h>

enum option {
    OPTION_SERVE,
    OPTION_NOW,
    OPTION_ALLOW_OUTSIDE,
    OPTION_EFFORT,
    OPTION_WIDTH,
    OPTION_COUNT
};

static const bk_option options[] = {
    [OPTION_SERVE] = BK_OPTION_ROW_SERVE,
    [OPTION_NOW] = BK_OPTION_ROW_NOW,
    [OPTION_ALLOW_OUTSIDE] = BK_OPTION_ROW_ALLOW_OUTSIDE,
    [OPTION_EFFORT] = BK_OPTION_ROW_EFFORT,
    [OPTION_WIDTH] = {"width", BK_OPTION_TAKES, "COLUMNS", "columns, 40 to 200"},
    [OPTION_COUNT] = {NULL, BK_OPTION_ALONE, NULL, NULL},
};

static const bk_usage usage = {
    .command = "why",
    .synopsis = "[options] [DISH/STAGE] PLAN.json",
    .about = "Says what fixes the first start; or, for a stage, what would have to change for it\n"
             "to start later; or why there is no timeline, and what would help.",
    .options = options,
    .least_operands = 1,
    .most_operands = 2,
};

static bool is_file_name(const char *word)
{
    size_t length = strlen(word);
    return length > 5 && strcmp(word + length - 5, ".json") == 0;
}

static enum bakeset_result answer(const bk_world *world, bakeset *session,
                                  const bk_arguments *arguments,
                                  const struct bakeset_schedule_options *scheduling, int width)
{
    const bk_given *given = arguments->given;
    struct bakeset_read_options reading = bk_option_reading(
        world, &given[OPTION_SERVE], &given[OPTION_NOW], &given[OPTION_ALLOW_OUTSIDE]);
    const char *plan = arguments->operands[arguments->operand_count - 1];
    const char *stage = arguments->operand_count == 2 ? arguments->operands[0] : NULL;
    if (stage && is_file_name(stage) && !is_file_name(plan)) {
        const char *other = plan; /* the wrong way round: no need to make the cook retype it */
        plan = stage;
        stage = other;
    }
    enum bakeset_result result = bakeset_read(session, plan, &reading);
    if (result != BAKESET_OK)
        return result;
    bk_searching searching;
    struct bakeset_schedule_options told = *scheduling;
    struct bakeset_write_options style = {
        .size = sizeof style, .width = width, .ascii = world->ascii};
    const char *text = NULL;
    bk_searching_begin(&searching, world, usage.command, true, &told);
    result = bakeset_schedule(session, &told);
    bool answered = result == BAKESET_OK || result == BAKESET_IMPOSSIBLE;
    if (answered)
        text = bakeset_why(session, stage, &told, &style, NULL);
    bk_searching_end(&searching, session);
    if (!answered)
        return result;
    if (!text)
        return bakeset_last_result(session);
    fputs(text, world->out);
    return result;
}

enum bakeset_result bk_command_why(const bk_world *world, int argc, char **argv)
{
    bk_given given[OPTION_COUNT] = {{0}};
    bk_arguments arguments = {.given = given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    struct bakeset_schedule_options scheduling = {.size = sizeof scheduling};
    int width = 0;
    if (!bk_option_effort(world, &given[OPTION_EFFORT], &scheduling.effort) ||
        !bk_option_width(world, &given[OPTION_WIDTH], &width))
        return BAKESET_BAD_INPUT;
    bakeset *session = bk_session_new(world);
    if (!session)
        return BAKESET_FAILED;
    enum bakeset_result result = answer(world, session, &arguments, &scheduling, width);
    bk_print_messages(world, session, false);
    bakeset_free(session);
    return result;
}
