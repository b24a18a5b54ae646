/* Oven temperatures as recipes write them: "180°C", "180C/160C fan/gas 4", "350 degrees". */
#include "takein/parts.h"

#include <inttypes.h>
#include <string.h>

enum {
    LEAST_C = 25,
    MOST_C = 320,
    LEAST_F = 75,
    MOST_F = 600,
    FIRST_F = 261,
    LEAST_BARE = 140,
    LEAST_ALONE = 100
};

static bool is_dash(const bk_token *t)
{
    return bk_among(t, " - to ");
}

static const char *gas_words(bk_arena *arena, int64_t millionths)
{
    if (millionths == 250000)
        return "gas 1/4";
    if (millionths == 500000)
        return "gas 1/2";
    int64_t mark = millionths / 1000000;
    bool whole = millionths % 1000000 == 0 && mark >= 1 && mark <= 9;
    return whole ? bk_format(arena, "gas %" PRId64, mark) : NULL;
}

/* "gas 4", "gas mark 4", "gas mk 4". */
static bool read_gas(bk_arena *arena, const bk_token *t, size_t at, size_t end, bk_setting *setting)
{
    bool mark = bk_among(&t[at], " mark mk ") && at + 1 < end &&
                t[at + 1].kind == BK_TOKEN_NUMBER; /* "Mark 4": nothing else is marked so */
    if (!bk_among(&t[at], " gas regulo reg ") && !mark)
        return false;
    size_t i = at + 1;
    i += i < end && bk_among(&t[i], " mark mk no number ");
    i += i < end && bk_is(&t[i], ".");
    if (i >= end || t[i].kind != BK_TOKEN_NUMBER)
        return false;
    setting->at = gas_words(arena, t[i].millionths);
    setting->from = t[at].from;
    setting->to = t[i].to;
    setting->behind = i + 1;
    return setting->at;
}

/* The scale behind a number: 'C', 'F', or 0; *behind is moved over what was read. */
static char read_scale(const bk_token *t, size_t end, size_t *behind, bool *degrees)
{
    size_t i = *behind;
    *degrees = false;
    if (i < end && bk_among(&t[i], " deg degrees degree deg ")) {
        *degrees = true;
        i++;
    }
    i += i < end && *degrees && bk_is(&t[i], ".");
    char scale = 0;
    if (i < end && bk_among(&t[i], " c celsius centigrade celcius "))
        scale = 'C';
    else if (i < end && bk_among(&t[i], " f fahrenheit "))
        scale = 'F';
    i += scale != 0;
    *behind = i;
    return scale;
}

/* "fan" behind or before the number: "160C fan", "(160 fan)", "fan 160C". */
static bool read_fan(const bk_token *t, size_t from, size_t at, size_t end, size_t *behind)
{
    size_t i = *behind;
    i += i < end && bk_is(&t[i], "(") && i + 1 < end && bk_among(&t[i + 1], " fan convection ") &&
         i + 2 < end && bk_is(&t[i + 2], ")");
    if (i < end && bk_among(&t[i], " fan convection ")) {
        bool belongs_to_next =
            i + 1 < end && t[i + 1].kind == BK_TOKEN_NUMBER && bk_is(&t[*behind], "fan") == false;
        if (!belongs_to_next) {
            *behind = i + 1;
            return true;
        }
    }
    size_t b = at;
    b -= b > from && bk_among(&t[b - 1], " : at to ");
    b -= b > from && bk_among(&t[b - 1], " oven ovens ");
    return b > from && bk_among(&t[b - 1], " fan convection ") &&
           !(b > from + 1 && t[b - 2].kind == BK_TOKEN_WORD && bk_among(&t[b - 2], " c f "));
}

static bool read_degrees(bk_arena *arena, const bk_token *t, size_t from, size_t at, size_t end,
                         bool oven, bk_setting *setting)
{
    if (t[at].kind != BK_TOKEN_NUMBER)
        return false;
    size_t i = at + 1, first = i;
    bool degrees = false, degrees_low = false;
    char low_scale = read_scale(t, end, &first, &degrees_low);
    i = first;
    int64_t low = t[at].millionths / 1000000, high = low;
    char scale = low_scale;
    degrees = degrees_low;
    if (i + 1 < end && is_dash(&t[i]) && t[i + 1].kind == BK_TOKEN_NUMBER) {
        size_t second = i + 2;
        bool degrees_high = false;
        char high_scale = read_scale(t, end, &second, &degrees_high);
        int64_t value = t[i + 1].millionths / 1000000;
        if ((high_scale != 0 || degrees_high) && value > low && value < low + 60 &&
            (low_scale == 0 || low_scale == high_scale)) {
            high = value;
            scale = high_scale;
            degrees |= degrees_high;
            i = second;
        }
    }
    bool fan = read_fan(t, from, at, end, &i);
    bool guessed = false;
    if (scale == 0) {
        bool said = degrees || fan;
        if (!said && !oven)
            return false;
        if (!said &&
            (low % 5 != 0 || low < 100 || low > 500 ||
             (i < end && t[i].kind == BK_TOKEN_WORD &&
              bk_among(
                  &t[i],
                  " g kg ml l cm mm min mins minutes minute h hours hour oz lb inch tbsp tsp "))))
            return false;
        scale = low >= FIRST_F ? 'F' : 'C';
        guessed = true;
    }
    bool fits = scale == 'C' ? low >= LEAST_C && high <= MOST_C : low >= LEAST_F && high <= MOST_F;
    if (!fits)
        return false;
    *setting =
        (bk_setting){.unit_guessed = guessed, .from = t[at].from, .to = t[i - 1].to, .behind = i};
    setting->at = low == high ? bk_format(arena, "%" PRId64 " %c%s", low, scale, fan ? " fan" : "")
                              : bk_format(arena, "%" PRId64 "-%" PRId64 " %c%s", low, high, scale,
                                          fan ? " fan" : "");
    return true;
}

/* Temperatures of food, not of ovens. */
static bool is_of_food(const bk_token *t, size_t from, size_t end)
{
    bool food = false, oven = false;
    for (size_t i = from; i < end; i++) {
        food |= bk_among(
            &t[i], " thermometer internal core syrup probe caramel registers oil lukewarm water "
                   "custard temper chocolate dripping lard fry frying ");
        oven |= bk_among(&t[i], " oven ovens preheat bake roast baking roasting fan gas tray trays "
                                "tin shelf ");
    }
    return food && !oven;
}

/* "heat the milk to 85 C", "boil without stirring to 138 C": what is cooked gets so hot, since
 * nothing turns an oven. */
static bool is_aim(const bk_token *t, size_t from, size_t at)
{
    size_t b = at;
    b -= b > from && bk_among(&t[b - 1], " about around just ");
    if (b <= from + 1 || !bk_is(&t[b - 1], "to"))
        return false;
    for (size_t i = from; i < b; i++)
        if (bk_among(&t[i], " oven ovens preheat turn turning reduce reducing lower lowering drop "
                            "dropping increase increasing raise raising crank down up fan gas heat "
                            "grill broiler back temperature set ") &&
            !(bk_is(&t[i], "heat") && i == from && b > i + 2))
            return false;
    return true;
}

/* "until a thermometer reads 74 C", "55 C inside", "110 F on a sugar thermometer": the words
 * round this one temperature speak of what is cooked. */
static bool stands_by_food(const bk_token *t, size_t from, const bk_setting *setting, size_t at,
                           size_t end)
{
    enum { BACK = 6, ON = 5 };
    if (is_aim(t, from, at))
        return true;
    for (size_t b = 1; b <= BACK && at >= from + b; b++) {
        const bk_token *before = &t[at - b];
        if (bk_among(before, " oven fan gas ; . "))
            break;
        if (b == 1 && bk_among(before, " below under above until till "))
            return true;
        if (bk_among(before, " internal inside core centre center registers reads reading reaches "
                             "reach thermometer probe thickest syrup lukewarm ball crack "))
            return true;
    }
    for (size_t i = setting->behind; i < end && i < setting->behind + ON; i++) {
        if (bk_among(&t[i], " , ; . oven fan gas until till or and for then to "))
            break;
        bool shelf = i + 1 < end && bk_among(&t[i + 1], " shelf rack shelves racks of ");
        if (bk_is(&t[i], "inside") &&
            bk_among(&t[i - 1], " pot dish casserole stone tray pan tin steel lid "))
            break; /* what is heated with the oven */
        if (bk_among(&t[i], " inside internal thermometer probe thickest centre core ") ||
            (bk_among(&t[i], " middle center ") && !shelf))
            return true;
    }
    return false;
}

/* What a heat without a number usually is. Common practice, no source. */
static void read_heat_in_words(const bk_token *t, size_t from, size_t end, bk_setting *setting)
{
    static const struct {
        const char *word, *usual, *with_very;
    } heats[] = {{"moderate", "180 C", "160 C"}, {"medium", "180 C", "180 C"},
                 {"hot", "220 C", "240 C"},      {"slow", "150 C", "120 C"},
                 {"low", "150 C", "120 C"},      {"gentle", "150 C", "120 C"}};
    for (size_t i = from; i + 1 < end; i++) {
        if (!bk_is(&t[i + 1], "oven"))
            continue;
        for (size_t h = 0; h < sizeof heats / sizeof *heats; h++) {
            if (!bk_is(&t[i], heats[h].word))
                continue;
            size_t first = i;
            bool very = i > from && bk_is(&t[i - 1], "very");
            bool fairly = i > from && bk_among(&t[i - 1], " moderately fairly quite ");
            first -= very || fairly;
            *setting = (bk_setting){.at = very     ? heats[h].with_very
                                          : fairly ? "200 C"
                                                   : heats[h].usual,
                                    .in_words = true,
                                    .from = t[first].from,
                                    .to = t[i + 1].to,
                                    .behind = i + 2};
            return;
        }
    }
}

bk_setting bk_setting_find(bk_arena *arena, const bk_token *t, size_t from, size_t end)
{
    bk_setting setting = {0};
    bool oven = false;
    for (size_t i = from; i < end; i++) {
        oven |= bk_among(&t[i], " oven preheat bake roast baking roasting blind dry @ ");
        oven |= bk_is(&t[i], "at") && i + 1 < end && t[i + 1].kind == BK_TOKEN_NUMBER &&
                t[i + 1].millionths >= LEAST_BARE * (int64_t)1000000 &&
                t[i + 1].millionths % 10000000 == 0;
    }
    oven |= from + 1 < end && t[from].kind == BK_TOKEN_NUMBER && bk_is(&t[from + 1], "for") &&
            t[from].millionths >= LEAST_BARE * (int64_t)1000000; /* "180 for 35" */
    /* "lower to 350": of an oven, though no word says so */
    for (size_t i = from + 1; i + 1 < end && i < from + 8; i++)
        oven |= bk_is(&t[i], "to") && t[i + 1].kind == BK_TOKEN_NUMBER &&
                t[i + 1].millionths >= 100 * (int64_t)1000000 &&
                (bk_among(&t[from], " turn turning reduce reducing lower lowering drop dropping "
                                    "increase increasing raise raising crank ") ||
                 (i > from && bk_among(&t[i - 1], " down up ")));
    if (is_of_food(t, from, end))
        return setting;
    for (size_t i = from; i < end; i++)
        if ((read_gas(arena, t, i, end, &setting) ||
             (read_degrees(arena, t, from, i, end, oven, &setting) &&
              (oven || t[i].millionths >= LEAST_ALONE * (int64_t)1000000))) &&
            !stands_by_food(t, from, &setting, i, end))
            return setting;
    setting = (bk_setting){0};
    read_heat_in_words(t, from, end, &setting);
    return setting;
}
