/* Common fillings and dishes: what they are made of. */
#include "heat/heat.h"

#define HANDBOOK "USDA Agriculture Handbook 8 (1976)"
#define CENTRAL "USDA FoodData Central, rounded, from memory"
#define RECIPE "common practice recipe, no source; parts from USDA tables"
#define PRACTICE "common practice, no source"

/* water, protein, fat, carbohydrate, fibre, ash by mass; air by volume; milk's fat by mass */
static const bk_food foods[] = {
    {"bread",
     {.36, .09, .03, .48, .025, .015, .70, 0, 1},
     "baked loaf or rolls",
     CENTRAL "; air " PRACTICE},
    {"bread dough",
     {.457, .075, .012, .424, .016, .016, .10, 0, 0},
     "just kneaded; 62 % water on flour",
     RECIPE},
    {"butter", {.159, .009, .811, .001, 0, .021, 0, .811, 0}, "salted", HANDBOOK},
    {"butter cake",
     {.23, .055, .20, .49, .01, .015, .50, .20, 1},
     "pound cake, Victoria sponge",
     CENTRAL "; air " PRACTICE},
    {"buttercream",
     {.09, .004, .303, .595, 0, .008, .15, .303, 0},
     "butter and icing sugar",
     RECIPE},
    {"caramel",
     {.165, .049, .23, .541, 0, .015, 0, .23, 0},
     "condensed milk, butter and sugar, boiled",
     RECIPE},
    {"cheesecake", {.456, .055, .225, .251, .004, .009, 0, .225, 0}, "baked", CENTRAL},
    {"chocolate", {.014, .078, .426, .35, .109, .023, 0, 0, 0}, "dark, 70-85 %", CENTRAL},
    {"chocolate mousse",
     {.493, .082, .265, .116, .032, .012, .40, .15, 0},
     "dark chocolate, eggs, cream; 40 % air",
     RECIPE},
    {"cooked rice",
     {.684, .027, .003, .278, .004, .004, .25, 0, 1},
     "loose in a dish; a quarter of it air",
     CENTRAL "; air " PRACTICE},
    {"cream", {.577, .021, .37, .027, 0, .005, 0, .37, 0}, "whipping cream, not whipped", HANDBOOK},
    {"cream cheese",
     {.544, .059, .342, .042, 0, .013, 0, .342, 0},
     "as sold",
     "USDA no. 01017; ash by difference"},
    {"custard",
     {.776, .05, .046, .119, 0, .009, 0, .02, 0},
     "egg custard, baked or stirred",
     CENTRAL},
    {"dense mousse",
     {.637, .031, .144, .174, .009, .005, .30, .144, 0},
     "fruit, cream, gelatine; 30 % air",
     RECIPE},
    {"fruit compote",
     {.80, .005, .002, .165, .025, .003, 0, 0, 0},
     "fruit cooked with sugar, or a puree",
     CENTRAL},
    {"fruit jelly", {.844, .012, 0, .142, 0, .002, 0, 0, 0}, "set with gelatine", CENTRAL},
    {"ganache",
     {.295, .05, .398, .189, .054, .014, 0, .185, 0},
     "equal chocolate and cream",
     RECIPE},
    {"lemon curd",
     {.433, .044, .168, .348, 0, .007, 0, .12, 0},
     "egg, sugar, butter, juice",
     RECIPE},
    {"light mousse",
     {.637, .031, .144, .174, .009, .005, .50, .144, 0},
     "fruit, cream, gelatine; 50 % air",
     RECIPE},
    {"mashed potato",
     {.76, .02, .04, .15, .015, .015, 0, .04, 0},
     "with milk and butter",
     PRACTICE},
    {"milk", {.88, .033, .033, .047, 0, .007, 0, .033, 0}, "whole", HANDBOOK},
    {"mousse",
     {.637, .031, .144, .174, .009, .005, .40, .144, 0},
     "fruit, cream, gelatine; 40 % air",
     RECIPE},
    {"panna cotta",
     {.618, .032, .208, .137, 0, .005, 0, .208, 0},
     "cream, milk, sugar, gelatine",
     RECIPE},
    {"pastry cream",
     {.671, .044, .058, .22, 0, .007, 0, .02, 0},
     "milk, yolk, sugar, starch",
     RECIPE},
    {"roast chicken", {.60, .27, .12, 0, 0, .01, 0, 0, 0}, "meat", CENTRAL},
    {"roast meat", {.58, .27, .14, 0, 0, .01, 0, 0, 0}, "beef, lamb, pork", CENTRAL},
    {"shortcrust pastry", {.26, .071, .245, .402, .015, .007, 0, .245, 0}, "raw", RECIPE},
    {"soft cheese",
     {.472, .039, .299, .181, 0, .009, 0, .299, 0},
     "55 % cream cheese, 30 % cream, 15 % sugar, set cold",
     RECIPE},
    {"soup", {.88, .03, .03, .05, .005, .005, 0, 0, 0}, "or gravy, stock", PRACTICE},
    {"sponge",
     {.297, .054, .027, .605, .005, .012, .75, 0, 1},
     "fatless or light sponge, baked",
     CENTRAL "; air " PRACTICE},
    {"stew", {.78, .08, .05, .07, .01, .01, 0, 0, 0}, "meat and vegetables in gravy", PRACTICE},
    {"water", {1, 0, 0, 0, 0, 0, 0, 0, 0}, "to check with", "pure"},
    {"whipped cream", {.53, .019, .34, .106, 0, .005, .45, .34, 0}, "sweetened; 45 % air", RECIPE},
};
enum { FOODS = sizeof foods / sizeof foods[0] };

/* Other names. */
static const struct {
    const char *other, *name;
} others[] = {
    {"bavarois", "mousse"},
    {"beef stew", "stew"},
    {"cake", "butter cake"},
    {"casserole", "stew"},
    {"chicken", "roast chicken"},
    {"chocolate ganache", "ganache"},
    {"compote", "fruit compote"},
    {"creme patissiere", "pastry cream"},
    {"curd", "lemon curd"},
    {"dough", "bread dough"},
    {"egg custard", "custard"},
    {"fruit mousse", "mousse"},
    {"fruit puree", "fruit compote"},
    {"gravy", "soup"},
    {"jelly", "fruit jelly"},
    {"meat", "roast meat"},
    {"pastry", "shortcrust pastry"},
    {"pound cake", "butter cake"},
    {"rice", "cooked rice"},
    {"rolls", "bread"},
    {"soft cheese cake", "soft cheese"},
    {"sponge cake", "sponge"},
    {"stock", "soup"},
};
enum { OTHERS = sizeof others / sizeof others[0] };

const bk_food *bk_foods(size_t *count)
{
    *count = FOODS;
    return foods;
}

/* Names for bk_nearest: the preprocessor cannot list a table twice, so the test
 * of this file holds both lists together. */
static const char *const names[] = {"bread",
                                    "bread dough",
                                    "butter",
                                    "butter cake",
                                    "buttercream",
                                    "caramel",
                                    "cheesecake",
                                    "chocolate",
                                    "chocolate mousse",
                                    "cooked rice",
                                    "cream",
                                    "cream cheese",
                                    "custard",
                                    "dense mousse",
                                    "fruit compote",
                                    "fruit jelly",
                                    "ganache",
                                    "lemon curd",
                                    "light mousse",
                                    "mashed potato",
                                    "milk",
                                    "mousse",
                                    "panna cotta",
                                    "pastry cream",
                                    "roast chicken",
                                    "roast meat",
                                    "shortcrust pastry",
                                    "soft cheese",
                                    "soup",
                                    "sponge",
                                    "stew",
                                    "water",
                                    "whipped cream",
                                    "bavarois",
                                    "beef stew",
                                    "cake",
                                    "casserole",
                                    "chicken",
                                    "chocolate ganache",
                                    "compote",
                                    "creme patissiere",
                                    "curd",
                                    "dough",
                                    "egg custard",
                                    "fruit mousse",
                                    "fruit puree",
                                    "gravy",
                                    "jelly",
                                    "meat",
                                    "pastry",
                                    "pound cake",
                                    "rice",
                                    "rolls",
                                    "soft cheese cake",
                                    "sponge cake",
                                    "stock",
                                    NULL};

const char *const *bk_food_names(void)
{
    return names;
}

/* One letter of a name as it counts: lower case, a hyphen or underscore a space,
 * spaces at the ends and doubled ones dropped. Moves *text on; 0 at the end. */
static char next_letter(const char **text, bool first)
{
    bool space = false;
    for (; **text == ' ' || **text == '-' || **text == '_' || **text == '\t'; ++*text)
        space = true;
    if (**text == '\0')
        return '\0';
    if (space && !first)
        return ' ';
    char c = *(*text)++;
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* Whether `written` names `name`, with or without a last "filling". */
static bool same_name(const char *written, const char *name)
{
    static const char last[] = " filling";
    bool first = true;
    for (;; first = false) {
        char c = next_letter(&written, first);
        if (*name != '\0') {
            if (c != *name++)
                return false;
            continue;
        }
        if (c == '\0')
            return true;
        for (const char *rest = last; *rest != '\0'; rest++) {
            if (c != *rest)
                return false;
            c = next_letter(&written, false);
        }
        return c == '\0';
    }
}

enum bk_heat_liquid bk_food_liquid(const char *name)
{
    static const struct {
        const char *name;
        enum bk_heat_liquid liquid;
    } liquids[] = {{"cream", BK_HEAT_THICK}, {"fruit compote", BK_HEAT_THICK},
                   {"milk", BK_HEAT_THIN},   {"soup", BK_HEAT_THIN},
                   {"stew", BK_HEAT_THICK},  {"water", BK_HEAT_THIN}};
    enum { LIQUIDS = sizeof liquids / sizeof liquids[0] };
    for (size_t i = 0; i < LIQUIDS; i++)
        if (same_name(name, liquids[i].name))
            return liquids[i].liquid;
    return BK_HEAT_SOLID;
}

const bk_food *bk_food_find(const char *name)
{
    for (size_t i = 0; i < FOODS; i++)
        if (same_name(name, foods[i].name))
            return &foods[i];
    for (size_t i = 0; i < OTHERS; i++)
        if (same_name(name, others[i].other))
            return bk_food_find(others[i].name);
    return NULL;
}
