/* Conduction by finite volumes, for what the series cannot do: surroundings that
 * change and layers that differ.
 *
 * A grid of cells in two directions: "out" from a middle (plane, cylindrical or
 * spherical) and "up". Heat passes between neighbouring cells through half a cell
 * of each in series, and to the air through half a cell and the surface
 * coefficient. Time steps are Peaceman and Rachford's alternating directions
 * (J. SIAM 3, 1955), second order and stable for any step, which with one
 * direction alone is Crank-Nicolson; after a jump a few fully implicit steps damp
 * what Crank-Nicolson would let ring (Rannacher, Numer. Math. 43, 1984). Heat is
 * conserved to rounding.
 */
#ifndef BK_HEAT_SOLVER_H
#define BK_HEAT_SOLVER_H

#include "heat/heat.h"

/* How areas grow outward: as r to the power of the metric. */
enum bk_metric { BK_METRIC_PLANE, BK_METRIC_CYLINDER, BK_METRIC_SPHERE };

typedef struct bk_grid {
    size_t out, up;      /* cells each way; cell (i, j) has index j * out + i */
    double *temperature; /* C */
    double *store;   /* J/K of each cell (per radian, steradian or metre left out of the metric) */
    double heat_out; /* J given to the air since the start, in the same measure */
    double top_air, side_air, base_air;
    /* private */
    double *out_face, *out_middle, *up_size; /* geometry */
    double *conductivity;
    double *out_link, *up_link; /* W/K between neighbours and to the air */
    double *half, *rate;        /* scratch: the half step, one line's coefficients */
    enum bk_metric metric;
} bk_grid;

/* A grid of out x up equal cells over `reach` m outward and, when up > 1, `height`
 * m up (up = 1: endless upward; height is then 1 m). All of one material and
 * temperature, all faces insulated. */
bk_grid *bk_grid_new(bk_arena *arena, enum bk_metric metric, size_t out, double reach, size_t up,
                     double height, bk_material material, double celsius);

/* Sets the material and temperature of the rows [from, to) (up direction), and the
 * height of each of those rows. Call before bk_grid_faces. */
void bk_grid_layer(bk_grid *grid, size_t from, size_t to, double row_height, bk_material material,
                   double celsius);

/* Surface coefficients (0: insulated), and the air at each face. May be called
 * again at any time. */
void bk_grid_faces(bk_grid *grid, double h_top, double h_side, double h_base, double air);

/* One step of `seconds`, second order. */
void bk_grid_step(bk_grid *grid, double seconds);

/* One fully implicit step, first order, without overshoot: after a jump. */
void bk_grid_step_implicit(bk_grid *grid, double seconds);

/* Heat in the grid above 0 C, J. */
double bk_grid_heat(const bk_grid *grid);

/* The extreme temperature of rows [from, to), between the cell middles by a
 * parabola: the greatest, or with `coldest` the least. */
double bk_grid_extreme(const bk_grid *grid, size_t from, size_t to, bool coldest);

/* Steps for a span of `seconds` after a jump: small at first, growing to at most
 * `longest`, the last one cut to fit. `watch`, when not NULL, is called after
 * every step with the time since the jump; false stops there. */
void bk_grid_run(bk_grid *grid, double seconds, double longest,
                 bool (*watch)(void *context, double at), void *context);

#endif
