/* bakeset cooling: how long until the middle is cold, from what is typed or from a
 * stage of a plan. */
#include "command/options.h"
#include "command/output.h"

#include <string.h>

enum option {
    OPTION_SHAPE,
    OPTION_ACROSS,
    OPTION_DEEP,
    OPTION_FOOD,
    OPTION_FROM,
    OPTION_TO,
    OPTION_IN,
    OPTION_AIR,
    OPTION_BASE,
    OPTION_TIN,
    OPTION_H,
    OPTION_K,
    OPTION_RHO,
    OPTION_CP,
    OPTION_WATER,
    OPTION_PROTEIN,
    OPTION_FAT,
    OPTION_CARBOHYDRATE,
    OPTION_FIBRE,
    OPTION_ASH,
    OPTION_AIR_FRACTION,
    OPTION_MILK_FAT,
    OPTION_PORES,
    OPTION_COVER,
    OPTION_PLACES,
    OPTION_ONTO,
    OPTION_ONTO_DEEP,
    OPTION_ONTO_FROM,
    OPTION_MELTS,
    WORDS, /* the options up to here are words of the question, by their names */
    OPTION_FAN = WORDS,
    OPTION_STILL,
    OPTION_STIRRED,
    OPTION_JSON,
    OPTION_SVG,
    OPTION_WIDTH,
    OPTION_ALLOW_OUTSIDE,
    OPTION_COUNT
};

static const bk_option options[] = {
    [OPTION_SHAPE] = {"shape", BK_OPTION_TAKES, "SHAPE", "round, slab or ball"},
    [OPTION_ACROSS] =
        {"across", BK_OPTION_TAKES, "LENGTH",
         "across the food, as \"20 cm\"; a slab without it is\nso wide that its edges do "
         "not count"},
    [OPTION_DEEP] = {"deep", BK_OPTION_TAKES, "LENGTH", "depth of the food, as \"60 mm\""},
    [OPTION_FOOD] = {"food", BK_OPTION_TAKES, "NAME",
                     "what it is, as \"custard\"; \"list\" lists them"},
    [OPTION_FROM] = {"from", BK_OPTION_TAKES, "TEMPERATURE", "where it starts, as \"15 C\""},
    [OPTION_TO] = {"to", BK_OPTION_TAKES, "TEMPERATURE", "where its middle is to get, as \"6 C\""},
    [OPTION_IN] = {"in", BK_OPTION_TAKES, "PLACE",
                   "fridge (the default), freezer, room, water bath\nor ice bath"},
    [OPTION_AIR] = {"air", BK_OPTION_TAKES, "TEMPERATURE",
                    "of that place (default: fridge 4 C, freezer\n-18 C, room 20 C, ice bath 0 C); "
                    "without --in,\n15 C or more is a room"},
    [OPTION_BASE] =
        {"base", BK_OPTION_TAKES, "BASE",
         "open (a rack; the default) or insulated (a\ncrumb base, a board, a solid shelf)"},
    [OPTION_TIN] = {"tin", BK_OPTION_TAKES, "TIN", "metal (the default), glass, ceramic or none"},
    [OPTION_H] =
        {"h", BK_OPTION_TAKES, "H",
         "how well the surface loses heat, W/(m2 K): 8, or\nweak, typical and strong as 5-8-10"},
    [OPTION_K] = {"k", BK_OPTION_TAKES, "K",
                  "a material in place of a food: conductivity,\nW/(m K)"},
    [OPTION_RHO] = {"rho", BK_OPTION_TAKES, "RHO", "its density, kg/m3"},
    [OPTION_CP] = {"cp", BK_OPTION_TAKES, "CP", "its heat capacity, J/(kg K)"},
    [OPTION_WATER] =
        {"water", BK_OPTION_TAKES, "PART",
         "a composition in place of a food: parts by\nmass that add up to 1, as 0.6 or 60%"},
    [OPTION_PROTEIN] = {"protein", BK_OPTION_TAKES, "PART", "likewise"},
    [OPTION_FAT] = {"fat", BK_OPTION_TAKES, "PART", "likewise"},
    [OPTION_CARBOHYDRATE] = {"carbohydrate", BK_OPTION_TAKES, "PART", "likewise"},
    [OPTION_FIBRE] = {"fibre", BK_OPTION_TAKES, "PART", "likewise"},
    [OPTION_ASH] = {"ash", BK_OPTION_TAKES, "PART", "likewise"},
    [OPTION_AIR_FRACTION] = {"air-fraction", BK_OPTION_TAKES, "PART",
                             "air beaten in, by volume; also with --food"},
    [OPTION_MILK_FAT] = {"milk-fat", BK_OPTION_TAKES, "PART",
                         "by mass, what of the fat is milk's, which sets"},
    [OPTION_PORES] = {"pores", BK_OPTION_TAKES, "PART", "of the air, what is pores of baked crumb"},
    [OPTION_COVER] = {"cover", BK_OPTION_TAKES, "COVER", "none (the default), film, lid or foil"},
    [OPTION_PLACES] =
        {"places", BK_OPTION_TAKES, "PLACES",
         "where it stands first, as \"room 30 min\" or\n\"room 1 h at 24 C, fridge 2 h\""},
    [OPTION_ONTO] = {"onto", BK_OPTION_TAKES, "NAME", "the food of the layer it is poured onto"},
    [OPTION_ONTO_DEEP] = {"onto-deep", BK_OPTION_TAKES, "LENGTH", "depth of that layer"},
    [OPTION_ONTO_FROM] = {"onto-from", BK_OPTION_TAKES, "TEMPERATURE", "how cold that layer is"},
    [OPTION_MELTS] = {"melts", BK_OPTION_TAKES, "TEMPERATURE",
                      "where that layer softens: says whether it will"},
    [OPTION_STIRRED] = {"stirred", BK_OPTION_ALONE, NULL, "it is stirred all the while"},
    [OPTION_FAN] = {"fan", BK_OPTION_ALONE, NULL, "the fridge or freezer moves its air"},
    [OPTION_STILL] = {"still", BK_OPTION_ALONE, NULL, "it does not (the default)"},
    [OPTION_JSON] =
        {"json", BK_OPTION_MAY_TAKE, "FILE",
         "write the estimate as JSON; without FILE to\nstandard output, in place of the text"},
    [OPTION_SVG] = {"svg", BK_OPTION_TAKES, "FILE", "draw the curve"},
    [OPTION_WIDTH] = {"width", BK_OPTION_TAKES, "COLUMNS", "text: columns, 40 to 200"},
    [OPTION_ALLOW_OUTSIDE] = BK_OPTION_ROW_ALLOW_OUTSIDE,
    [OPTION_COUNT] = {NULL, BK_OPTION_ALONE, NULL, NULL},
};

static const bk_usage usage = {
    .command = "cooling",
    .synopsis = "[options] [[DISH/STAGE] PLAN.json]",
    .about =
        "Estimates how long food takes until its warmest point is at a temperature: from its\n"
        "size, what it is and where it stands, or from a stage of a plan with \"cooling\", of\n"
        "which the options replace parts. It warms, too: then the coldest point counts.\n"
        "An estimate is not a measurement: use a thermometer, and follow your local rules.",
    .options = options,
    .least_operands = 0,
    .most_operands = 2,
};

static bool wants_list(const bk_given *given)
{
    const char *food = given[OPTION_FOOD].value;
    return food && strcmp(food, "list") == 0;
}

static bool is_sound(const bk_world *world, const bk_arguments *arguments)
{
    const bk_given *given = arguments->given;
    if (given[OPTION_FAN].given && given[OPTION_STILL].given) {
        fputs("bakeset cooling: --fan and --still exclude one another\n", world->err);
        return false;
    }
    if (!wants_list(given))
        return true;
    size_t others = arguments->operand_count;
    for (size_t i = 0; i < OPTION_COUNT; i++)
        others += given[i].given && i != OPTION_FOOD && i != OPTION_WIDTH;
    if (others > 0)
        fputs("bakeset cooling: --food list stands alone\n", world->err);
    return others == 0;
}

/* Every file that was asked for, made in memory first. */
static enum bakeset_result write_files(const bk_world *world, bakeset *session,
                                       const bk_given *given)
{
    static const struct {
        enum option option;
        enum bakeset_form form;
    } forms[] = {{OPTION_JSON, BAKESET_JSON}, {OPTION_SVG, BAKESET_SVG}};
    enum { FORMS = sizeof forms / sizeof *forms };
    bk_output outputs[FORMS] = {{0}};
    size_t count = 0;
    for (size_t i = 0; i < FORMS; i++) {
        const char *path = given[forms[i].option].value;
        if (!path)
            continue;
        if (count > 0 && bk_output_same_file(path, outputs[0].path)) {
            fprintf(world->err,
                    "bakeset cooling: %s is asked for twice; give each form a file of its own\n",
                    path);
            return BAKESET_BAD_INPUT;
        }
        if (bk_output_onto_plan(world, session, usage.command, path, options[forms[i].option].name))
            return BAKESET_BAD_INPUT;
        bk_output *output = &outputs[count++];
        output->path = path;
        output->text = bakeset_write_cooling(session, forms[i].form, NULL, &output->length);
        if (!output->text)
            return BAKESET_FAILED;
    }
    return bk_output_write_all(world, outputs, count) ? BAKESET_OK : BAKESET_FAILED;
}

static enum bakeset_result answer(const bk_world *world, bakeset *session,
                                  const bk_arguments *arguments, int width)
{
    const bk_given *given = arguments->given;
    const struct bakeset_write_options style = {
        .size = sizeof style, .width = width, .ascii = world->ascii};
    const char *text = NULL;
    if (wants_list(given)) {
        text = bakeset_foods(session, &style);
    } else {
        const char *words[2 * (WORDS + 2) + 1] = {NULL};
        size_t count = 0;
        for (size_t i = 0; i < WORDS; i++)
            if (given[i].given) {
                words[count++] = options[i].name;
                words[count++] = given[i].value;
            }
        if (given[OPTION_FAN].given || given[OPTION_STILL].given) {
            words[count++] = "fan";
            words[count++] = given[OPTION_FAN].given ? "yes" : "no";
        }
        if (given[OPTION_STIRRED].given) {
            words[count++] = "stirred";
            words[count++] = "yes";
        }
        const char *stage = arguments->operand_count == 2 ? arguments->operands[0] : NULL;
        enum bakeset_result result = BAKESET_OK;
        struct bakeset_read_options reading = {.size = sizeof reading,
                                               .allow_outside = given[OPTION_ALLOW_OUTSIDE].given};
        if (arguments->operand_count > 0)
            result =
                bakeset_read(session, arguments->operands[arguments->operand_count - 1], &reading);
        if (result == BAKESET_OK)
            result = arguments->operand_count > 0 ? bakeset_cooling_stage(session, stage, words)
                                                  : bakeset_cooling(session, words);
        if (result == BAKESET_OK)
            result = write_files(world, session, given);
        if (result != BAKESET_OK)
            return result;
        bool json = given[OPTION_JSON].given && !given[OPTION_JSON].value;
        text = bakeset_write_cooling(session, json ? BAKESET_JSON : BAKESET_TEXT, &style, NULL);
    }
    if (!text)
        return BAKESET_FAILED;
    fputs(text, world->out);
    return BAKESET_OK;
}

enum bakeset_result bk_command_cooling(const bk_world *world, int argc, char **argv)
{
    bk_given given[OPTION_COUNT] = {{0}};
    bk_arguments arguments = {.given = given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    int width = 0;
    if (!bk_option_width(world, &given[OPTION_WIDTH], &width))
        return BAKESET_BAD_INPUT;
    if (!is_sound(world, &arguments))
        return BAKESET_BAD_INPUT;
    bakeset *session = bk_session_new(world);
    if (!session)
        return BAKESET_FAILED;
    enum bakeset_result result = answer(world, session, &arguments, width);
    bk_print_messages(world, session, false);
    bakeset_free(session);
    return result;
}
