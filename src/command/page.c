/* bakeset page: the page that the phones in the house share. */
#include "page/page.h"
#include "command/options.h"

#include <string.h>

enum { OPTION_AT_HOME, OPTION_BEHIND, OPTION_PORT, OPTION_FORGET, OPTION_COUNT };

static const bk_option options[] = {
    [OPTION_AT_HOME] = {"at-home", BK_OPTION_TAKES, "ADDRESS",
                        "let the phones in the house in: ADDRESS is this\nmachine's there, such as "
                        "192.168.1.20"},
    [OPTION_BEHIND] = {"behind", BK_OPTION_TAKES, "URL",
                       "with --at-home: where a proxy shows it, such as\nhttps://kitchen.example"},
    [OPTION_PORT] = {"port", BK_OPTION_TAKES, "N",
                     "listen at this port (default 8750; 0: any that is free)"},
    [OPTION_FORGET] = {"forget", BK_OPTION_ALONE, NULL,
                       "let no phone in any more that was, and end"},
    [OPTION_COUNT] = {NULL, BK_OPTION_ALONE, NULL, NULL},
};

static const bk_usage usage = {
    .command = "page",
    .synopsis = "[options] [FOLDER]",
    .about =
        "Shows the plans, recipes and kitchens of FOLDER (default: this one) on a page in the\n"
        "browser, to plan, to write and to follow the evening. The files stay as they are.",
    .options = options,
    .least_operands = 0,
    .most_operands = 1,
};

static enum bakeset_result wrong(const bk_world *world, const char *what)
{
    fprintf(world->err, "bakeset page: %s\n", what);
    return BAKESET_BAD_INPUT;
}

enum bakeset_result bk_command_page(const bk_world *world, int argc, char **argv)
{
    bk_given given[OPTION_COUNT] = {{0}};
    bk_arguments arguments = {.given = given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    const char *at_home = given[OPTION_AT_HOME].value, *behind = given[OPTION_BEHIND].value;
    int64_t port = BK_PAGE_PORT;
    if (!bk_option_number(world, "port", &given[OPTION_PORT], 0, 65535, &port))
        return BAKESET_BAD_INPUT;
    if (at_home && (strcmp(at_home, "0.0.0.0") == 0 || strcmp(at_home, "::") == 0))
        return wrong(world, "--at-home wants the one address that the phones ask for");
    if (behind && !at_home)
        return wrong(world, "--behind goes with --at-home");
    bk_page_options page = {.folder = arguments.operand_count > 0 ? arguments.operands[0] : ".",
                            .at_home = at_home,
                            .behind = behind,
                            .port = (uint16_t)port,
                            .terminal = world->width > 0,
                            .ascii = world->ascii,
                            .out = world->out,
                            .err = world->err,
                            .seconds = world->seconds};
    return given[OPTION_FORGET].given ? bk_page_forget(&page) : bk_page_serve(&page);
}
