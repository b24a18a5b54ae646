/* A question to the cooling estimate in words, as they are typed: the keys of a
 * plan's "cooling", and what a plan has no key for. */
#include "heat/heat.h"
#include "plan/cooling_keys.h"
#include "plan/reader.h"
#include "quantity/quantity.h"

#include <string.h>

enum { PARTS = 6 }; /* of a composition, by mass */

static const char *const answers[] = {"no", "yes", NULL};
static const char *const places[] = {"fridge", "freezer", "room", "water bath", "ice bath", NULL};

enum { FRIDGE, FREEZER, ROOM, WATER_BATH, ICE_BATH };

/* Air where it is not given: a cold place's default in the plan, a room's and a
 * freezer's by common practice, no source; melting ice. NAN: it has to be given. */
static const double usual_air[] = {
    [FRIDGE] = 4.0, [FREEZER] = -18.0, [ROOM] = 20.0, [WATER_BATH] = NAN, [ICE_BATH] = 0.0};

/* Air as warm as this is taken for a room's where no place is named. */
static const double room_from = 15.0;

/* What a plan has no key for, or another way to say; the table of both comes first. */
enum {
    IN = BK_COOLING_KEYS,
    AIR,
    FAN,
    PLACES,
    H,
    K,
    RHO,
    CP,
    WATER, /* the six parts in the order of bk_composition */
    ASH = WATER + PARTS - 1,
    AIR_FRACTION,
    MILK_FAT,
    PORES,
    KEYS
};

/* Names of the keys, those of the table too. */
static const char *const keys[KEYS + 1] = {
    [BK_COOLING_SHAPE] = "shape",
    [BK_COOLING_ACROSS] = "across",
    [BK_COOLING_DEEP] = "deep",
    [BK_COOLING_FROM] = "from",
    [BK_COOLING_TO] = "to",
    [BK_COOLING_BASE] = "base",
    [BK_COOLING_TIN] = "tin",
    [BK_COOLING_COVER] = "cover",
    [BK_COOLING_STIRRED] = "stirred",
    [BK_COOLING_FOOD] = "food",
    [BK_COOLING_ONTO] = "onto",
    [BK_COOLING_ONTO_DEEP] = "onto-deep",
    [BK_COOLING_ONTO_FROM] = "onto-from",
    [BK_COOLING_MELTS] = "melts",
    [IN] = "in",
    [AIR] = "air",
    [FAN] = "fan",
    [PLACES] = "places",
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
    [MILK_FAT] = "milk-fat",
    [PORES] = "pores",
};

typedef struct asking {
    bk_arena *arena;
    bk_report *report;
    const char *word[KEYS]; /* NULL: not given */
    bool whole;             /* the question was one before: nothing need be given */
    bk_heat_question *question;
} asking;

/* "across is "0 cm": what to write instead". */
static bool wrong(const asking *a, size_t key, const char *mend)
{
    bk_error(a->report, keys[key], (bk_place){0}, mend, "%s is %s", keys[key],
             bk_quoted(a->arena, a->word[key]));
    return false;
}

static bool missing(const asking *a, size_t key, const char *mend)
{
    bk_error(a->report, keys[key], (bk_place){0}, mend, "%s is missing", keys[key]);
    return false;
}

/* The word's index; an unknown one is reported with the nearest. */
static bool read_word(const asking *a, size_t key, const char *const *words, int *index)
{
    for (int i = 0; words[i]; i++) {
        if (strcmp(a->word[key], words[i]) == 0) {
            *index = i;
            return true;
        }
    }
    const char *nearest = bk_nearest(a->word[key], words);
    return wrong(a, key,
                 nearest ? bk_format(a->arena, "did you mean \"%s\"?", nearest)
                         : bk_format(a->arena, "write %s", bk_choices(a->arena, words, "or")));
}

static bool read_length(const asking *a, size_t key, double *metres)
{
    const char *mend = NULL;
    return bk_read_length(a->word[key], metres, &mend) || wrong(a, key, mend);
}

static bool read_temperature(const asking *a, size_t key, double *celsius)
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
static bool read_number(const asking *a, size_t key, double *number)
{
    int64_t millionths = 0;
    const char *end = bk_read_millionths(bk_skip_blanks(a->word[key]), &millionths);
    if (end && *bk_skip_blanks(end) == '\0' && millionths > 0) {
        *number = (double)millionths / BK_MILLION;
        return true;
    }
    return wrong(a, key, "write a number above 0 in SI units, such as 0.5 or 3600");
}

static bool read_fraction(const asking *a, size_t key, double *fraction)
{
    int64_t millionths = 0;
    const char *end = bk_read_millionths(bk_skip_blanks(a->word[key]), &millionths);
    end = end ? bk_skip_blanks(end) : NULL;
    double whole = 1.0;
    if (end && *end == '%') {
        whole = 100.0;
        end = bk_skip_blanks(end + 1);
    }
    double value = (double)millionths / BK_MILLION / whole;
    if (end && *end == '\0' && value <= 1.0) {
        *fraction = value;
        return true;
    }
    return wrong(a, key, "write a fraction from 0 to 1, such as 0.25");
}

/* ------------------------------------------------------------------- food */

/* A composition as the plan has it: {"water": 0.6, …}. */
static bool read_composition(const asking *a, size_t key, bk_composition *composition)
{
    bk_source *source = BK_NEW(a->arena, bk_source, 1);
    *source = (bk_source){keys[key], a->word[key], strlen(a->word[key])};
    size_t errors = a->report->errors;
    bk_json *json = bk_json_read(a->arena, source, a->report);
    if (!json || a->report->errors > errors)
        return false;
    *composition = (bk_composition){0};
    for (bk_json *member = json->first; member; member = member->next) {
        double *value = NULL;
        for (size_t i = 0; bk_cooling_parts[i] && !value; i++)
            if (strcmp(member->key, bk_cooling_parts[i]) == 0)
                value = bk_cooling_part(composition, i);
        if (!value || member->type != BK_JSON_NUMBER) {
            bk_error(a->report, keys[key], bk_json_key_place(member),
                     "a composition has water, protein, fat, carbohydrate, fibre, ash, air, "
                     "milk fat and pores, each a fraction such as 0.25",
                     "%s is not a part of a composition with its fraction",
                     bk_quoted(a->arena, member->key));
            return false;
        }
        *value = member->number;
    }
    return true;
}

/* A name of the table, found, or a composition. */
static bool read_stuff(const asking *a, size_t key, bk_composition *composition,
                       const bk_food **food)
{
    if (*bk_skip_blanks(a->word[key]) == '{')
        return read_composition(a, key, composition);
    *food = bk_food_find(a->word[key]);
    if (!*food) {
        const char *nearest = bk_nearest(a->word[key], bk_food_names());
        bk_error(a->report, "unknown-food", (bk_place){0},
                 nearest ? bk_format(a->arena, "did you mean \"%s\"?", nearest)
                         : "food list lists those that are, or give its composition",
                 "no food is known as %s", bk_quoted(a->arena, a->word[key]));
        return false;
    }
    *composition = (*food)->composition;
    return true;
}

static bool read_parts(const asking *a, bk_composition *composition)
{
    bool good = true;
    *composition = (bk_composition){0};
    for (size_t i = 0; i < PARTS; i++)
        if (a->word[WATER + i])
            good &= read_fraction(a, WATER + i, bk_cooling_part(composition, i));
    return good;
}

static bool read_material(const asking *a)
{
    bk_material *m = &a->question->material;
    for (size_t key = K; key <= CP; key++)
        if (!a->word[key])
            return missing(a, key, "k in W/(m K), rho in kg/m3 and cp in J/(kg K) go together");
    a->question->has_material = true;
    bool good = read_number(a, K, &m->conductivity);
    good &= read_number(a, RHO, &m->density);
    good &= read_number(a, CP, &m->heat_capacity);
    return good;
}

static bool any(const asking *a, size_t first, size_t last)
{
    for (size_t key = first; key <= last; key++)
        if (a->word[key])
            return true;
    return false;
}

/* One of a name, a composition and a material. */
static bool read_food(const asking *a, bk_composition *composition, const bk_food **food)
{
    static const char *const one =
        "give one of them: a food's name, a composition (water, protein, "
        "fat, …), or a material (k, rho, cp)";
    bool named = a->word[BK_COOLING_FOOD], parts = any(a, WATER, ASH), material = any(a, K, CP);
    if ((int)named + (int)parts + (int)material > 1 || (material && any(a, AIR_FRACTION, PORES))) {
        bk_error(a->report, "food", (bk_place){0}, one, "what the food is was given twice");
        return false;
    }
    if (parts)
        return read_parts(a, composition);
    return material ? read_material(a) : read_stuff(a, BK_COOLING_FOOD, composition, food);
}

/* Of whatever composition it is. */
static bool read_parts_beside(const asking *a)
{
    bk_composition *composition = &a->question->composition;
    bool good = !a->word[AIR_FRACTION] || read_fraction(a, AIR_FRACTION, &composition->air);
    good &= !a->word[MILK_FAT] || read_fraction(a, MILK_FAT, &composition->milk_fat);
    good &= !a->word[PORES] || read_fraction(a, PORES, &composition->pores);
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
    if (a->word[IN]) {
        if (!read_word(a, IN, places, &place))
            return false;
        air = usual_air[place];
    }
    if (a->word[AIR] && !read_temperature(a, AIR, &air))
        return false;
    if (isnan(air))
        return missing(a, AIR, "write the water's temperature, such as \"15 C\"");
    if (!a->word[IN] && !a->whole && air >= room_from)
        place = ROOM;
    if (a->word[FAN] && !read_word(a, FAN, answers, &fan))
        return false;
    if (fan && place != FRIDGE && place != FREEZER) {
        if (a->word[FAN]) {
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
    for (const char *at = a->word[H]; at;) {
        int64_t millionths = 0;
        at = count < MOST ? bk_read_millionths(bk_skip_blanks(at), &millionths) : NULL;
        if (!at)
            return wrong(a, H, mend);
        value[count] = (double)millionths / BK_MILLION;
        if (value[count] < 0.1 || value[count] > 10000.0 ||
            (count > 0 && value[count] < value[count - 1]))
            return wrong(a, H, mend);
        count++;
        at = bk_skip_blanks(at);
        if (*at == '\0')
            break;
        at = bk_skip_dash(at);
        if (!at)
            return wrong(a, H, mend);
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

/* "room 30 min, fridge 1 h at 6 C": where it stands before it comes to `in`. */
static bool read_places(const asking *a)
{
    static const char *const mend =
        "write each place and how long, such as \"room 30 min, fridge 1 h\"";
    bk_heat_question *q = a->question;
    bk_heat_leg *legs = BK_NEW(a->arena, bk_heat_leg, BK_MOST_PLACES);
    size_t count = 0;
    for (const char *at = a->word[PLACES]; at; count++) {
        const char *comma = strchr(at, ',');
        at = bk_skip_blanks(at);
        char *one = bk_copy(a->arena, at, comma ? (size_t)(comma - at) : strlen(at));
        int place = -1;
        for (int i = 0; places[i]; i++)
            if (strncmp(one, places[i], strlen(places[i])) == 0 && one[strlen(places[i])] == ' ')
                place = i;
        if (place < 0 || count == BK_MOST_PLACES)
            return wrong(a, PLACES, mend);
        char *lasts = one + strlen(places[place]), *air = strstr(lasts, " at ");
        double celsius = usual_air[place];
        int64_t minutes = 0;
        const char *why = mend;
        if (air) {
            *air = '\0';
            if (!bk_read_temperature(air + 4, &celsius, &why) || celsius < BK_HEAT_COLDEST ||
                celsius > BK_HEAT_HOTTEST)
                return wrong(a, PLACES, mend);
        }
        if (isnan(celsius) || !bk_read_duration(bk_skip_blanks(lasts), &minutes, &why) ||
            minutes < 1)
            return wrong(a, PLACES, why ? why : mend);
        legs[count] = (bk_heat_leg){(double)minutes, celsius, heat_place(place, celsius, false)};
        at = comma ? comma + 1 : NULL;
    }
    q->legs = legs;
    q->leg_count = count;
    q->before = 0.0;
    return true;
}

/* ------------------------------------------------------------------ whole */

/* Where the values of the table's keys come from. */

static bool given(const void *from, size_t key)
{
    const asking *a = from;
    return a->word[key] || (key == BK_COOLING_FOOD && (any(a, WATER, ASH) || any(a, K, CP)));
}

static const char *text(const void *from, size_t key)
{
    const asking *a = from;
    return a->word[key];
}

static bool length(const void *from, size_t key, double *metres)
{
    return read_length(from, key, metres);
}

static bool temperature(const void *from, size_t key, double *celsius)
{
    return read_temperature(from, key, celsius);
}

static bool word(const void *from, size_t key, int *index)
{
    return read_word(from, key, bk_cooling_keys[key].words, index);
}

static bool stuff(const void *from, size_t key, bk_composition *composition, const bk_food **food)
{
    return key == BK_COOLING_FOOD ? read_food(from, composition, food)
                                  : read_stuff(from, key, composition, food);
}

static bool lacking(const void *from, size_t key)
{
    return missing(from, key, bk_cooling_keys[key].missing);
}

static bool poured(const void *from, bool before, bool *there)
{
    const asking *a = from;
    *there = any(a, BK_COOLING_ONTO, BK_COOLING_MELTS);
    return !*there || before || a->word[BK_COOLING_ONTO] || lacking(a, BK_COOLING_ONTO);
}

static bool sort_words(asking *a, const char *const *words)
{
    for (; words[0]; words += 2) {
        size_t key = 0;
        while (key < KEYS && strcmp(words[0], keys[key]) != 0)
            key++;
        if (key == KEYS) {
            const char *nearest = bk_nearest(words[0], keys);
            bk_error(a->report, "unknown-key", (bk_place){0},
                     nearest ? bk_format(a->arena, "did you mean \"%s\"?", nearest) : NULL,
                     "a question of cooling has no key %s", bk_quoted(a->arena, words[0]));
            return false;
        }
        a->word[key] = words[1];
    }
    return true;
}

bool bk_cooling_ask(bk_arena *arena, const char *const *words, bool whole, bk_cooling *cooling,
                    struct bk_heat_question *question, bk_report *report)
{
    asking a = {.arena = arena, .report = report, .whole = whole, .question = question};
    if (!whole) {
        *question = bk_cooling_default();
        cooling->food = cooling->below = NULL;
        cooling->melts_c = NAN;
    }
    if (!sort_words(&a, words))
        return false;
    bk_cooling_values values = {&a,   given, text,    length, temperature,
                                word, stuff, lacking, poured, whole};
    bool good = bk_cooling_collect(&values, question, cooling);
    good &= read_parts_beside(&a);
    good &= read_place(&a);
    if (a.word[PLACES])
        good &= read_places(&a);
    if (good && a.word[H])
        good = read_surface(&a);
    return good;
}
