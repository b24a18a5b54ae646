/* bakeset page: the page that the phones in the house share. */
#include "page/page.h"
#include "command/options.h"

static const bk_option options[] = {
    {"port", BK_OPTION_TAKES, "N", "listen at this port (default 8750; 0: any that is free)"},
    {NULL, BK_OPTION_ALONE, NULL, NULL},
};

enum { OPTION_PORT, OPTION_COUNT };

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

enum bakeset_result bk_command_page(const bk_world *world, int argc, char **argv)
{
    bk_given given[OPTION_COUNT] = {{0}};
    bk_arguments arguments = {.given = given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    int64_t port = BK_PAGE_PORT;
    if (!bk_option_number(world, "port", &given[OPTION_PORT], 0, 65535, &port))
        return BAKESET_BAD_INPUT;
    bk_page_options page = {.folder = arguments.operand_count > 0 ? arguments.operands[0] : ".",
                            .port = (uint16_t)port,
                            .ascii = world->ascii,
                            .out = world->out,
                            .err = world->err,
                            .seconds = world->seconds};
    return bk_page_serve(&page);
}
