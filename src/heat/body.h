/* A body of food as a product of one-dimensional series.
 *
 * theta of an upright cylinder is theta of the wall (its height) times theta of
 * the long cylinder (its radius); of a square tray, the wall times the wall across,
 * twice (Newman's product rule: one start temperature, one surrounding, constant
 * coefficients). Each factor has its own Biot and Fourier number.
 */
#ifndef BK_HEAT_BODY_H
#define BK_HEAT_BODY_H

#include "heat/heat.h"
#include "heat/series.h"

typedef struct bk_factor {
    bk_series series;
    double length; /* m: radius, whole height, or half width */
    int power;     /* how often the factor counts: 2 for a square tray's width */
} bk_factor;

typedef struct bk_body {
    double diffusivity; /* m2/s */
    double wall; /* m: food that would store what the tin stores, counted at base and sides */
    size_t count;
    bk_factor factor[2]; /* upright first (round, slab) */
} bk_body;

/* The surface coefficients of a body, W/(m2 K); 0 is insulated. */
typedef struct bk_faces {
    double top, side, base;
} bk_faces;

/* The coefficients of a question at one end: the tin's wall in series with the
 * surface at sides and base. */
bk_faces bk_faces_of(const bk_heat_question *question, enum bk_heat_end end);

/* The material of a question: as given, or of the composition at the mean of its
 * start and target. */
bk_material bk_question_material(const bk_heat_question *question);

/* Sets up the body of a question of that material. The tin's stored heat counts
 * as food of the same store added to sides and base. About 16 kB: series fill
 * themselves as times are asked for. */
void bk_body_begin(bk_body *body, const bk_heat_question *question, bk_material material,
                   bk_faces faces);

/* theta of the slowest point after `seconds`. */
double bk_body_slowest(bk_body *body, double seconds);

/* theta at a place, see bk_heat_temperature. */
double bk_body_at(bk_body *body, double along, double over, double up, double seconds);

/* Seconds until theta of the slowest point is `theta` (0 < theta < 1), to 0.01 s;
 * INFINITY when that takes more than `longest`. */
double bk_body_time(bk_body *body, double theta, double longest);

#endif
