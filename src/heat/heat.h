/* How long food takes to cool, or to warm, to its middle: pure numbers.
 *
 * A body of food starts at one temperature and stands in surroundings of one
 * temperature; heat moves inside it by conduction and leaves it by its surface.
 * The answer is the time for its slowest point - the warmest when cooling, the
 * coldest when warming - to reach a temperature. Method, formulas, sources and
 * limits are in docs/cooling.md.
 *
 * Units are SI (m, s, W, J, kg) except temperatures, in degrees Celsius, and
 * times that are named minutes. Nothing here allocates except into the arena it
 * is given; nothing depends on a clock or a locale.
 */
#ifndef BK_HEAT_H
#define BK_HEAT_H

#include "base/base.h"

#include <math.h>

/* Temperatures accepted anywhere in a question; the correlations for food hold
 * from about -40 to 150 C and are used at their end value beyond. */
#define BK_HEAT_COLDEST (-40.0)
#define BK_HEAT_HOTTEST 300.0

/* Below this watery food freezes and gives off or takes up far more heat than
 * this model counts. Common practice for food; pure water freezes at 0 C. */
#define BK_HEAT_FREEZING (-1.0)

/* ------------------------------------------------------------- food */

/* Mass fractions, adding up to 1 +- 0.02 (they are scaled to 1), and the volume
 * fraction of air in the whole, 0 <= air <= 0.9. */
typedef struct bk_composition {
    double water, protein, fat, carbohydrate, fibre, ash;
    double air;
} bk_composition;

typedef struct bk_material {
    double conductivity;  /* W/(m K) */
    double density;       /* kg/m3 */
    double heat_capacity; /* J/(kg K) */
} bk_material;

/* A food of the table: its name (lower case, words with spaces), what it stands
 * for, and where the composition comes from. */
typedef struct bk_food {
    const char *name;
    bk_composition composition;
    const char *about;
    const char *source;
} bk_food;

/* The table, in alphabetical order. */
const bk_food *bk_foods(size_t *count);

/* The names of all foods and of their other names, NULL at the end: for
 * bk_nearest. */
const char *const *bk_food_names(void);

/* The food of that name or other name ("whipped-cream filling" and "Whipped
 * cream" are one: case, hyphens and spaces do not count, nor a last "filling").
 * NULL when there is none. */
const bk_food *bk_food_find(const char *name);

/* Conductivity, density and heat capacity of a composition at `celsius` (used
 * between -40 and 150): the correlations of Choi and Okos (1986) for the parts;
 * mass-weighted specific volume and heat capacity; conductivity by
 * Maxwell-Eucken with the solids dispersed in the water, and air dispersed in
 * the whole. The composition must be one that bk_composition_sum accepts. */
bk_material bk_material_of(const bk_composition *composition, double celsius);

/* Sum of the mass fractions; NAN when one is negative or not finite, or air is
 * outside 0-0.9. Good between 0.98 and 1.02. */
double bk_composition_sum(const bk_composition *composition);

/* ------------------------------------------------------------ places */

enum bk_heat_place {
    BK_HEAT_FRIDGE, /* still air */
    BK_HEAT_FRIDGE_FAN,
    BK_HEAT_FREEZER, /* still air */
    BK_HEAT_FREEZER_FAN,
    BK_HEAT_ROOM,       /* on a bench in a room without draught */
    BK_HEAT_WATER_BATH, /* standing in still tap water */
    BK_HEAT_ICE_BATH    /* standing in still iced water */
};
enum { BK_HEAT_PLACES = BK_HEAT_ICE_BATH + 1 };

/* The ends of a place's heat transfer. */
enum bk_heat_end { BK_HEAT_WEAK, BK_HEAT_TYPICAL, BK_HEAT_STRONG };

/* Surface coefficient, W/(m2 K), convection and radiation together. */
double bk_surface_coefficient(enum bk_heat_place place, enum bk_heat_end end);

/* "still fridge", "fridge with a fan", "room", ... */
const char *bk_heat_place_name(enum bk_heat_place place);

/* The place of a cold thing or room by its air: a freezer when the air is below
 * the freezing point of food. */
enum bk_heat_place bk_heat_place_of(bool in_room, double air_c, bool fan);

/* A wall between food and air; the numbers are the table of docs/cooling.md. */
enum bk_heat_tin {
    BK_HEAT_TIN_NONE,
    BK_HEAT_TIN_METAL,
    BK_HEAT_TIN_GLASS,
    BK_HEAT_TIN_CERAMIC,
    BK_HEAT_TIN_SILICONE
};
enum { BK_HEAT_TINS = BK_HEAT_TIN_SILICONE + 1 };

typedef struct bk_wall {
    const char *name;
    double thickness;    /* m */
    double conductivity; /* W/(m K) */
    double stored;       /* heat stored, J/(m3 K) */
} bk_wall;

const bk_wall *bk_heat_wall(enum bk_heat_tin tin);

/* Surface and wall in series: 1 / (1/h + d/k). */
double bk_through_wall(double coefficient, double thickness, double conductivity);

/* ---------------------------------------------------------- question */

enum bk_heat_shape {
    BK_HEAT_ROUND, /* an upright cylinder: `across` its diameter, `deep` its height */
    BK_HEAT_SLAB,  /* a square tray: across x across x deep; `across` INFINITY: so wide that its
                      edges do not  count */
    BK_HEAT_BALL   /* a ball: `across` its diameter; `deep`, base and tin do not count */
};

typedef struct bk_heat_question {
    enum bk_heat_shape shape;
    double across, deep; /* m, of the food itself */
    bool has_material;   /* true: `material`; false: `composition` */
    bk_composition composition;
    bk_material material;
    double from_c, to_c, air_c;
    enum bk_heat_place place;
    double surface[3];    /* W/(m2 K) by bk_heat_end, instead of the place's; 0: the place's */
    enum bk_heat_tin tin; /* round the sides and under the base; the top is bare */
    bool base_insulated;  /* nothing leaves by the base: a crumb base, a board, a solid shelf */
} bk_heat_question;

/* The surface coefficient that counts for a question, W/(m2 K). */
double bk_question_surface(const bk_heat_question *question, enum bk_heat_end end);

enum bk_heat_fault {
    BK_HEAT_OK,
    BK_HEAT_BAD_SIZE,        /* zero, negative, not a number, above 5 m */
    BK_HEAT_BAD_TEMPERATURE, /* outside -40 to 300 C, or not a number */
    BK_HEAT_BAD_COMPOSITION, /* does not add up to 1 +- 0.02, or a part is negative */
    BK_HEAT_BAD_MATERIAL, /* k, density or heat capacity not a positive number of a food's size */
    BK_HEAT_NEVER,        /* the target lies at or beyond the surroundings, or on the other side */
    BK_HEAT_ALREADY,      /* the food is at the target from the start */
    BK_HEAT_FREEZES,      /* starts or ends below freezing: not modelled */
    BK_HEAT_TOO_LONG      /* more than a year */
};

/* Stable word for a fault ("target-never-reached"); "ok" for none. */
const char *bk_heat_fault_code(enum bk_heat_fault fault);

typedef struct bk_heat_answer {
    enum bk_heat_fault fault;
    const char *message; /* what is wrong, with the numbers; NULL when nothing */
    const char *mend;    /* what to write instead; NULL when there is nothing to say */
    int64_t least_minutes, likely_minutes,
        most_minutes; /* strong, typical, weak end; rounded up, at least 1 */
    bool warming;     /* the coldest point of a warming body is meant */
    bool may_freeze;  /* air below freezing: the outside may freeze before the middle is there */
    bk_material material; /* at the mean of from and to, the one used */
    double biot; /* depth / 2 * h / k, typical: well below 1 the surface decides, well above the
                    food */
} bk_heat_answer;

/* The estimate. Messages live in the arena. */
bk_heat_answer bk_heat_estimate(bk_arena *arena, const bk_heat_question *question);

/* Temperature of the slowest point after each of `minutes` (>= 0, in any order)
 * at one end of the place's heat transfer. The question must be one without
 * fault; `to_c` counts only for the properties. */
void bk_heat_curve(const bk_heat_question *question, enum bk_heat_end end, const double *minutes,
                   double *celsius, size_t count);

/* Seconds until the slowest point is at `celsius` (strictly between start and
 * surroundings), at one end; INFINITY when that never happens or takes more than
 * a year, 0 when it starts beyond. Properties are those of the question. */
double bk_heat_seconds_to(const bk_heat_question *question, enum bk_heat_end end, double celsius);

/* Temperature anywhere in the body after `seconds`. `along`, `over`: position
 * across the body from its middle in m (round and ball: distance from the axis
 * or centre in `along`, `over` ignored); `up`: height above the base in m (ball:
 * ignored). Positions outside are moved to the surface. */
double bk_heat_temperature(const bk_heat_question *question, enum bk_heat_end end, double along,
                           double over, double up, double seconds);

/* -------------------------------------------------- what matters most */

typedef struct bk_heat_change {
    const char *what;          /* "a quarter less deep (45 mm)", "with a fan", ... */
    bk_heat_question question; /* the changed question */
    bk_heat_answer answer;     /* may be a fault: "never" tells something too */
    int64_t likely_difference; /* minutes against the question as asked; 0 with a fault */
} bk_heat_change;

enum { BK_HEAT_MOST_CHANGES = 12 };

/* One change at a time - depth, size, start, air, fan, base, tin - with what
 * each does to the likely time, the largest effect first. The question must be
 * one without fault. Returns the number written to `changes`. */
size_t bk_heat_sensitivities(bk_arena *arena, const bk_heat_question *question,
                             bk_heat_change changes[BK_HEAT_MOST_CHANGES]);

/* The same filling in other tins: the common sizes near the one asked, with the
 * same volume (so deeper or shallower) and with the same depth, and in single
 * portions. Round and slab only; none for a ball. */
size_t bk_heat_other_sizes(bk_arena *arena, const bk_heat_question *question,
                           bk_heat_change changes[BK_HEAT_MOST_CHANGES]);

/* ------------------------------------------- changing surroundings, layers */

/* One place after another. */
typedef struct bk_heat_leg {
    double minutes; /* how long it stands there */
    double air_c;
    enum bk_heat_place place;
    bool base_insulated;
} bk_heat_leg;

/* Temperature of the warmest point at `minutes` (ascending, from the start; after
 * the last leg it stays in that place), by the numeric solver. The question gives
 * shape, size, food, tin and start; its `to_c`, `air_c` and place do not count
 * except that properties are taken at the mean of `from_c` and `to_c`. A slab is
 * treated as the round of the same area. */
void bk_heat_journey(bk_arena *arena, const bk_heat_question *question, enum bk_heat_end end,
                     const bk_heat_leg *legs, size_t leg_count, const double *minutes,
                     double *celsius, size_t count);

/* A warm layer poured on a base layer. Wide: edges do not count. Thickness above
 * 0, material of a food's size. */
typedef struct bk_heat_layer {
    double thickness; /* m */
    double start_c;
    bk_material material;
} bk_heat_layer;

/* Seconds until the warmest point of the upper layer is at or below `celsius`
 * with surface coefficient `h_top` above and `h_base` below (0: insulated), all
 * in air at `air_c`; INFINITY when that takes more than `longest` seconds. */
double bk_heat_poured(bk_arena *arena, const bk_heat_layer *base, const bk_heat_layer *poured,
                      double h_top, double h_base, double air_c, double celsius, double longest);

#endif
