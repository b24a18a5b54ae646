/* A question to the cooling estimate in words, as they are typed: the keys of a
 * plan's "cooling", and what a plan has no key for. */
#include "heat/heat.h"
#include "plan/reader.h"
#include "quantity/quantity.h"

#include <string.h>

enum { PARTS = 6 }; /* of a composition, by mass */

/* Values of a word, as the plan has them. */
static const char *const shapes[] = {"round", "slab", "ball", NULL};
static const char *const tins[] = {"metal", "glass", "ceramic", "none", NULL};
static const char *const bases[] = {"open", "insulated", NULL};
static const char *const answers[] = {"no", "yes", NULL};
static const char *const places[] = {"fridge", "freezer", "room", "water bath", "ice bath", NULL};

enum { FRIDGE, FREEZER, ROOM, WATER_BATH, ICE_BATH };

/* Air where it is not given: a cold place's default in the plan, a room's and a
 * freezer's by common practice, no source; melting ice. NAN: it has to be given. */
static const double usual_air[] = {
    [FRIDGE] = 4.0, [FREEZER] = -18.0, [ROOM] = 20.0, [WATER_BATH] = NAN, [ICE_BATH] = 0.0};

/* Air as warm as this is taken for a room's where no place is named. */
static const double room_from = 15.0;

enum key {
    SHAPE,
    ACROSS,
    DEEP,
    FOOD,
    FROM,
    TO,
    IN,
    AIR,
    FAN,
    BASE,
    TIN,
    H,
    K,
    RHO,
    CP,
    WATER, /* the six parts in the order of bk_composition */
    ASH = WATER + PARTS - 1,
    AIR_FRACTION,
    KEYS
};

static const char *const keys[KEYS + 1] = {
    [SHAPE] = "shape",
    [ACROSS] = "across",
    [DEEP] = "deep",
    [FOOD] = "food",
    [FROM] = "from",
    [TO] = "to",
    [IN] = "in",
    [AIR] = "air",
    [FAN] = "fan",
    [BASE] = "base",
    [TIN] = "tin",
    [H] = "h",
    [K] = "k",
    [RHO] = "rho",
    [CP] = "cp",
    [WATER] = "water",
    [WATER + 1] = "protein",
    [WATER + 2] = "fat",
    [WATER + 3] = "carbohydrate",
    [WATER + 4] = "fibre",
    [ASH] = "ash",
    [AIR_FRACTION] = "air-fraction",
};

typedef struct asking {
    bk_arena *arena;
    bk_report *report;
    const char *word[KEYS]; /* NULL: not given */
    bool whole;             /* the question was one before: nothing need be given */
    bk_heat_question *question;
} asking;

/* "across is "0 cm": what to write instead". */
static bool wrong(const asking *a, enum key key, const char *mend)
{
    bk_error(a->report, keys[key], (bk_place){0}, mend, "%s is %s", keys[key],
             bk_quoted(a->arena, a->word[key]));
    return false;
}

static bool missing(const asking *a, enum key key, const char *mend)
{
    bk_error(a->report, keys[key], (bk_place){0}, mend, "%s is missing", keys[key]);
    return false;
}

/* The word's index; an unknown one is reported with the nearest. */
static bool read_word(const asking *a, enum key key, const char *const *words, int *index)
{
    for (int i = 0; words[i] != NULL; i++) {
        if (strcmp(a->word[key], words[i]) == 0) {
            *index = i;
            return true;
        }
    }
    const char *nearest = bk_nearest(a->word[key], words);
    return wrong(a, key,
                 nearest != NULL
                     ? bk_format(a->arena, "did you mean \"%s\"?", nearest)
                     : bk_format(a->arena, "write %s", bk_choices(a->arena, words, "or")));
}

static bool read_length(const asking *a, enum key key, double *metres)
{
    const char *mend = NULL;
    return bk_read_length(a->word[key], metres, &mend) || wrong(a, key, mend);
}

static bool read_temperature(const asking *a, enum key key, double *celsius)
{
    const char *mend = NULL;
    double value = 0.0;
    if (bk_read_temperature(a->word[key], &value, &mend) && value >= BK_HEAT_COLDEST &&
        value <= BK_HEAT_HOTTEST) {
        *celsius = value;
        return true;
    }
    return wrong(a, key,
                 bk_format(a->arena,
                           "write a temperature from %g C to %g C with its unit, such as \"15 C\"",
                           BK_HEAT_COLDEST, BK_HEAT_HOTTEST));
}

/* A number above 0 and nothing behind it. */
static bool read_number(const asking *a, enum key key, double *number)
{
    int64_t millionths = 0;
    const char *end = bk_read_millionths(bk_skip_blanks(a->word[key]), &millionths);
    if (end != NULL && *bk_skip_blanks(end) == '\0' && millionths > 0) {
        *number = (double)millionths / BK_MILLION;
        return true;
    }
    return wrong(a, key, "write a number above 0 in SI units, such as 0.5 or 3600");
}

static bool read_fraction(const asking *a, enum key key, double *fraction)
{
    int64_t millionths = 0;
    const char *end = bk_read_millionths(bk_skip_blanks(a->word[key]), &millionths);
    end = end != NULL ? bk_skip_blanks(end) : NULL;
    double whole = 1.0;
    if (end != NULL && *end == '%') {
        whole = 100.0;
        end = bk_skip_blanks(end + 1);
    }
    double value = (double)millionths / BK_MILLION / whole;
    if (end != NULL && *end == '\0' && value <= 1.0) {
        *fraction = value;
        return true;
    }
    return wrong(a, key, "write a fraction from 0 to 1, such as 0.25");
}

/* ------------------------------------------------------------------- food */

static double *part_of(bk_composition *composition, int part)
{
    double *const parts[PARTS] = {&composition->water, &composition->protein,
                                  &composition->fat,   &composition->carbohydrate,
                                  &composition->fibre, &composition->ash};
    return parts[part];
}

/* A composition as the plan has it: {"water": 0.6, …}. */
static bool read_composition(const asking *a)
{
    bk_source *source = BK_NEW(a->arena, bk_source, 1);
    *source = (bk_source){"food", a->word[FOOD], strlen(a->word[FOOD])};
    size_t errors = a->report->errors;
    bk_json *json = bk_json_read(a->arena, source, a->report);
    if (json == NULL || a->report->errors > errors) {
        return false;
    }
    bk_composition composition = {0};
    for (bk_json *member = json->first; member != NULL; member = member->next) {
        double *value = strcmp(member->key, "air") == 0 ? &composition.air : NULL;
        for (int i = 0; i < PARTS && value == NULL; i++) {
            if (strcmp(member->key, keys[WATER + i]) == 0) {
                value = part_of(&composition, i);
            }
        }
        if (value == NULL || member->type != BK_JSON_NUMBER) {
            bk_error(
                a->report, "food", bk_json_key_place(member),
                "a composition has water, protein, fat, carbohydrate, fibre, ash and air, each "
                "a fraction such as 0.25",
                "%s is not a part of a composition with its fraction",
                bk_quoted(a->arena, member->key));
            return false;
        }
        *value = member->number;
    }
    a->question->composition = composition;
    return true;
}

static bool read_name(const asking *a, const char **food)
{
    const bk_food *found = bk_food_find(a->word[FOOD]);
    if (found == NULL) {
        const char *nearest = bk_nearest(a->word[FOOD], bk_food_names());
        bk_error(a->report, "unknown-food", (bk_place){0},
                 nearest != NULL ? bk_format(a->arena, "did you mean \"%s\"?", nearest)
                                 : "food list lists those that are, or give its composition",
                 "no food is known as %s", bk_quoted(a->arena, a->word[FOOD]));
        return false;
    }
    a->question->composition = found->composition;
    a->question->liquid = bk_food_liquid(found->name);
    *food = found->name;
    return true;
}

static bool read_parts(const asking *a)
{
    bool good = true;
    bk_composition composition = {0};
    for (int i = 0; i < PARTS; i++) {
        if (a->word[WATER + i] != NULL) {
            good &= read_fraction(a, (enum key)(WATER + i), part_of(&composition, i));
        }
    }
    a->question->composition = composition;
    return good;
}

static bool read_material(const asking *a)
{
    bk_material *m = &a->question->material;
    for (enum key key = K; key <= CP; key++) {
        if (a->word[key] == NULL) {
            return missing(a, key, "k in W/(m K), rho in kg/m3 and cp in J/(kg K) go together");
        }
    }
    a->question->has_material = true;
    bool good = read_number(a, K, &m->conductivity);
    good &= read_number(a, RHO, &m->density);
    good &= read_number(a, CP, &m->heat_capacity);
    return good;
}

static bool any(const asking *a, enum key first, enum key last)
{
    for (int key = (int)first; key <= (int)last; key++) {
        if (a->word[key] != NULL) {
            return true;
        }
    }
    return false;
}

/* One of a name, a composition and a material. */
static bool read_food(const asking *a, const char **food)
{
    static const char *const one =
        "give one of them: a food's name, a composition (water, protein, "
        "fat, …), or a material (k, rho, cp)";
    bool named = a->word[FOOD] != NULL, parts = any(a, WATER, ASH), material = any(a, K, CP);
    int given = (int)named + (int)parts + (int)material;
    if (given == 0 && !a->whole) {
        return missing(a, FOOD, "write a name such as \"custard\", or give its composition");
    }
    if (given > 1 || (material && a->word[AIR_FRACTION] != NULL)) {
        bk_error(a->report, "food", (bk_place){0}, one, "what the food is was given twice");
        return false;
    }
    bool good = true;
    if (given > 0) {
        *food = NULL;
        a->question->has_material = false;
        a->question->liquid = BK_HEAT_SOLID;
    }
    if (parts) {
        good = read_parts(a);
    } else if (material) {
        good = read_material(a);
    } else if (named) {
        good = *bk_skip_blanks(a->word[FOOD]) == '{' ? read_composition(a) : read_name(a, food);
    }
    if (a->word[AIR_FRACTION] != NULL) {
        good &= read_fraction(a, AIR_FRACTION, &a->question->composition.air);
    }
    return good;
}

/* ------------------------------------------------------------------ place */

/* Which of `places` a question has. */
static int place_of(enum bk_heat_place place)
{
    switch (place) {
    case BK_HEAT_FRIDGE:
    case BK_HEAT_FRIDGE_FAN:
        return FRIDGE;
    case BK_HEAT_FREEZER:
    case BK_HEAT_FREEZER_FAN:
        return FREEZER;
    case BK_HEAT_ROOM:
        return ROOM;
    case BK_HEAT_WATER_BATH:
        return WATER_BATH;
    case BK_HEAT_ICE_BATH:
        return ICE_BATH;
    }
    return FRIDGE;
}

static enum bk_heat_place heat_place(int place, double air_c, bool fan)
{
    switch (place) {
    case FREEZER:
        return fan ? BK_HEAT_FREEZER_FAN : BK_HEAT_FREEZER;
    case WATER_BATH:
        return BK_HEAT_WATER_BATH;
    case ICE_BATH:
        return BK_HEAT_ICE_BATH;
    default:
        return bk_heat_place_of(place == ROOM, air_c, fan);
    }
}

static bool read_place(const asking *a)
{
    bk_heat_question *q = a->question;
    int place = a->whole ? place_of(q->place) : FRIDGE;
    int fan = q->place == BK_HEAT_FRIDGE_FAN || q->place == BK_HEAT_FREEZER_FAN;
    double air = a->whole ? q->air_c : usual_air[FRIDGE];
    if (a->word[IN] != NULL) {
        if (!read_word(a, IN, places, &place)) {
            return false;
        }
        air = usual_air[place];
    }
    if (a->word[AIR] != NULL && !read_temperature(a, AIR, &air)) {
        return false;
    }
    if (isnan(air)) {
        return missing(a, AIR, "write the water's temperature, such as \"15 C\"");
    }
    if (a->word[IN] == NULL && !a->whole && air >= room_from) {
        place = ROOM;
    }
    if (a->word[FAN] != NULL && !read_word(a, FAN, answers, &fan)) {
        return false;
    }
    if (fan && place != FRIDGE && place != FREEZER) {
        if (a->word[FAN] != NULL) {
            bk_error(a->report, "fan", (bk_place){0}, "for moved air elsewhere give h",
                     "a fan goes with a fridge or a freezer, not with a %s", places[place]);
            return false;
        }
        fan = 0;
    }
    q->air_c = air;
    q->place = heat_place(place, air, fan != 0);
    return true;
}

/* "8", or "5-8-10": weak, typical, strong. One number is the typical one, and the
 * place's doubt about it stays in proportion: nobody knows it exactly. */
static bool read_surface(const asking *a)
{
    static const char *const mend =
        "write W/(m2 K) from 0.1 to 10000: one number such as 8, or weak, typical and strong as "
        "\"5-8-10\"";
    enum { MOST = 3 };
    bk_heat_question *q = a->question;
    double value[MOST] = {0};
    int count = 0;
    for (const char *at = a->word[H]; at != NULL;) {
        int64_t millionths = 0;
        at = count < MOST ? bk_read_millionths(bk_skip_blanks(at), &millionths) : NULL;
        if (at == NULL) {
            return wrong(a, H, mend);
        }
        value[count] = (double)millionths / BK_MILLION;
        if (value[count] < 0.1 || value[count] > 10000.0 ||
            (count > 0 && value[count] < value[count - 1])) {
            return wrong(a, H, mend);
        }
        count++;
        at = bk_skip_blanks(at);
        if (*at == '\0') {
            break;
        }
        at = bk_skip_dash(at);
        if (at == NULL) {
            return wrong(a, H, mend);
        }
    }
    if (count == 2) {
        value[2] = value[1];
        value[1] = 0.5 * (value[0] + value[2]);
    }
    double usual = bk_surface_coefficient(q->place, BK_HEAT_TYPICAL);
    for (int end = BK_HEAT_WEAK; end <= BK_HEAT_STRONG; end++) {
        q->surface[end] =
            count > 1 ? value[end]
                      : value[0] * bk_surface_coefficient(q->place, (enum bk_heat_end)end) / usual;
    }
    return true;
}

/* ------------------------------------------------------------------ whole */

static bool read_body(const asking *a)
{
    bk_heat_question *q = a->question;
    static const enum bk_heat_tin of[] = {BK_HEAT_TIN_METAL, BK_HEAT_TIN_GLASS, BK_HEAT_TIN_CERAMIC,
                                          BK_HEAT_TIN_NONE};
    int shape = (int)q->shape, base = q->base_insulated, tin = 0;
    bool good = true;
    if (a->word[SHAPE] != NULL) {
        if (!read_word(a, SHAPE, shapes, &shape)) {
            return false; /* what else is needed hangs on it */
        }
        q->shape = (enum bk_heat_shape)shape;
    } else if (!a->whole) {
        return missing(a, SHAPE, "write \"round\", \"slab\" or \"ball\"");
    }
    if (a->word[ACROSS] != NULL) {
        good &= read_length(a, ACROSS, &q->across);
    } else if (q->shape != BK_HEAT_SLAB && !isfinite(q->across)) {
        good &= missing(a, ACROSS, "write a length such as \"20 cm\"");
    }
    if (a->word[DEEP] != NULL) {
        good &= read_length(a, DEEP, &q->deep);
    } else if (q->shape != BK_HEAT_BALL && !(q->deep > 0.0)) {
        good &= missing(a, DEEP, "write a length such as \"6 cm\"");
    }
    if (a->word[BASE] != NULL) {
        good &= read_word(a, BASE, bases, &base);
        q->base_insulated = base != 0;
    }
    if (a->word[TIN] != NULL) {
        good &= read_word(a, TIN, tins, &tin);
        q->tin = of[tin];
    }
    return good;
}

static bool sort_words(asking *a, const char *const *words)
{
    for (; words[0] != NULL; words += 2) {
        int key = 0;
        while (key < KEYS && strcmp(words[0], keys[key]) != 0) {
            key++;
        }
        if (key == KEYS) {
            const char *nearest = bk_nearest(words[0], keys);
            bk_error(a->report, "unknown-key", (bk_place){0},
                     nearest != NULL ? bk_format(a->arena, "did you mean \"%s\"?", nearest) : NULL,
                     "a question of cooling has no key %s", bk_quoted(a->arena, words[0]));
            return false;
        }
        a->word[key] = words[1];
    }
    return true;
}

bool bk_cooling_ask(bk_arena *arena, const char *const *words, bool whole,
                    struct bk_heat_question *question, const char **food, bk_report *report)
{
    asking a = {.arena = arena, .report = report, .whole = whole, .question = question};
    if (!whole) {
        *question = (bk_heat_question){.across = INFINITY, .tin = BK_HEAT_TIN_METAL};
        *food = NULL;
    }
    if (!sort_words(&a, words)) {
        return false;
    }
    bool good = read_body(&a);
    good &= read_food(&a, food);
    if (a.word[FROM] != NULL) {
        good &= read_temperature(&a, FROM, &question->from_c);
    } else if (!whole) {
        good &= missing(&a, FROM, "write where it starts, such as \"15 C\"");
    }
    if (a.word[TO] != NULL) {
        good &= read_temperature(&a, TO, &question->to_c);
    } else if (!whole) {
        good &= missing(&a, TO, "write where it is to get, such as \"6 C\"");
    }
    good &= read_place(&a);
    if (good && a.word[H] != NULL) {
        good = read_surface(&a);
    }
    return good;
}
