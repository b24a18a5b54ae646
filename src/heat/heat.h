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
#include "quantity/quantity.h"

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
    double milk_fat; /* by mass, what of the fat is milk's: it sets between 35 and 5 C */
    double pores;    /* 0 to 1, what of the air is pores full of vapour, as in baked crumb: heat
                        crosses them by evaporating on one side and condensing on the other */
} bk_composition;

typedef struct bk_material {
    double conductivity;  /* W/(m K) */
    double density;       /* kg/m3 */
    double heat_capacity; /* J/(kg K) */
} bk_material;

/* Whether food moves in itself while it cools: thin liquids do, thick ones may. */
enum bk_heat_liquid { BK_HEAT_SOLID, BK_HEAT_THIN, BK_HEAT_THICK };

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

/* Of a food of the table. */
enum bk_heat_liquid bk_food_liquid(const char *name);

/* Conductivity, density and heat capacity of a composition at `celsius` (used
 * between -40 and 150): the correlations of Choi and Okos (1986) for the parts;
 * mass-weighted specific volume and heat capacity; conductivity by
 * Maxwell-Eucken with the solids dispersed in the water, and air dispersed in
 * the whole; in pores the air conducts by its vapour too (material.c). The composition must be one
 * that bk_composition_sum accepts. */
bk_material bk_material_of(const bk_composition *composition, double celsius);

/* Sum of the mass fractions; NAN when one is negative or not finite, or air is
 * outside 0-0.9 or pores outside 0-1, or there is more milk fat than fat. Good between 0.98
 * and 1.02. */
double bk_composition_sum(const bk_composition *composition);

/* The same with mass fractions that add up to 1. */
bk_composition bk_composition_scaled(const bk_composition *composition);

/* Where the first ice forms, C: -(4.66 other + 46.4 ash) / water, of mass fractions, where
 * other is what is neither water, protein, fat nor ash (Pham, J. Food Eng. 30, 1996, from
 * memory: meat, fish, fruit, cheese; freezing times within 10 %). -INFINITY where all
 * water is bound. */
double bk_freezing_point(const bk_composition *composition);

/* Ice by mass at `celsius`, of a composition that adds up to 1: all water but 0.4 of the
 * protein's mass, times 1 - freezing point / celsius (Schwartzberg 1976; ASHRAE
 * Refrigeration, ch. 19). */
double bk_ice_fraction(const bk_composition *composition, double celsius);

/* Heat capacity, J/(kg K), without the heat of melting, and conductivity with so much ice
 * by mass, of a composition that adds up to 1. */
double bk_frozen_capacity(const bk_composition *composition, double ice, double celsius);
double bk_frozen_conductivity(const bk_composition *composition, double ice, double celsius);

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

/* What lies over the top: nothing; film on the food; a lid or foil with air below. */
enum bk_heat_cover {
    BK_HEAT_COVER_NONE,
    BK_HEAT_COVER_FILM,
    BK_HEAT_COVER_LID,
    BK_HEAT_COVER_FOIL
};
enum { BK_HEAT_COVERS = BK_HEAT_COVER_FOIL + 1 };

/* One place after another. */
typedef struct bk_heat_leg {
    double minutes; /* how long it stands there, above 0 */
    double air_c;
    enum bk_heat_place place;
} bk_heat_leg;

/* A layer that lies below what is poured on it, in the same tin. */
typedef struct bk_heat_below {
    double deep; /* m; 0: nothing lies below */
    double from_c;
    bool has_material; /* true: `material`; false: `composition` */
    bk_composition composition;
    bk_material material;
} bk_heat_below;

typedef struct bk_heat_question {
    enum bk_heat_shape shape;
    double across, deep; /* m, of the food itself */
    bool has_material;   /* true: `material`; false: `composition` */
    bk_composition composition;
    bk_material material;
    double from_c, to_c, air_c;
    enum bk_heat_place place;
    double surface[3];    /* W/(m2 K) by bk_heat_end, instead of the place's; 0: the place's */
    enum bk_heat_tin tin; /* round the sides and under the base */
    bool base_insulated;  /* nothing leaves by the base: a crumb base, a board, a solid shelf */
    enum bk_heat_cover cover;
    enum bk_heat_liquid liquid;
    bk_units units;      /* what its answers are worded in */
    bool stirred;        /* kept the same throughout */
    bk_heat_below below; /* round and slab only */
    /* Where it stood before it came to `place`, from `from_c` on, and how much of that time
     * lies before the clock starts, minutes. */
    const bk_heat_leg *legs;
    size_t leg_count;
    double before;
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
    double
        joint_c[3]; /* by bk_heat_end: the warmest that what lies below gets; NAN: nothing does */
    double start_c; /* of the slowest point when the clock starts, typically */
    double biot;    /* depth / 2 * h / k, typical: well below 1 the surface decides, well above the
                       food */
} bk_heat_answer;

/* The estimate. Messages live in the arena. */
bk_heat_answer bk_heat_estimate(bk_arena *arena, const bk_heat_question *question);

/* Temperature of the slowest point after each of `minutes` (>= 0, ascending) from the
 * start of the clock at one end of the place's heat transfer. The question must be one
 * without fault; `to_c` counts only for the properties. */
void bk_heat_curve(bk_arena *arena, const bk_heat_question *question, enum bk_heat_end end,
                   const double *minutes, double *celsius, size_t count);

/* Seconds from the start of the clock until the slowest point is at `celsius` (strictly
 * between start and surroundings), at one end; INFINITY when that never happens or takes
 * more than a year, 0 when it starts beyond. Properties are those of the question. What
 * the arena gives is given back. */
double bk_heat_seconds_to(bk_arena *arena, const bk_heat_question *question, enum bk_heat_end end,
                          double celsius);

/* Temperature anywhere in the body after `seconds`, by the series: one place, nothing
 * below, no ice. `along`, `over`: position
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

#endif
