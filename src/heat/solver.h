/* Conduction by finite volumes, for what the series cannot do: surroundings that
 * change and layers that differ.
 *
 * A grid of cells in two directions: "out" from a middle (plane, cylindrical or
 * spherical) and "up". Heat passes between neighbouring cells through half a cell
 * of each in series, and to the air through half a cell and the surface
 * coefficient. Time steps are TR-BDF2 (Bank and others, IEEE Trans. CAD 4, 1985), both
 * directions at once: second order, and for any step stable and without ringing, thin
 * metal beside food and steps that grow included. Heat is conserved to rounding.
 *
 * Food that freezes or sets is reckoned in the heat of each cell, of which its own table
 * tells the temperature (the enthalpy form: Voller and Cross, Int. J. Heat Mass Transfer
 * 24, 1981): the books are kept, and no step passes over the latent heat.
 */
#ifndef BK_HEAT_SOLVER_H
#define BK_HEAT_SOLVER_H

#include "heat/surface.h"
#include "heat/thermal.h"

/* How areas grow outward: as r to the power of the metric. */
enum bk_metric { BK_METRIC_PLANE, BK_METRIC_CYLINDER, BK_METRIC_SPHERE };

typedef struct bk_grid {
    size_t out, up;      /* cells each way; cell (i, j) has index j * out + i */
    double *temperature; /* C */
    double *store;   /* J/K of each cell (per radian, steradian or metre left out of the metric) */
    double heat_out; /* J given to the air since the start, in the same measure */
    double top_air, side_air, base_air;
    const bk_thermal **thermal; /* of each cell, NULL: material that stays as it is */
    bool latent;                /* some cell has one */
    bool changes;               /* some cell has one, or a surface changes with its heat */
    /* private */
    bk_surface top, side, base;
    double *heat;                            /* J of each cell that has a table */
    double *before, *base_heat, *solved;     /* scratch of a step */
    double *out_face, *out_middle, *up_size; /* geometry */
    double *conductivity;
    double *out_link, *up_link; /* W/K between neighbours and to the air */
    double *matrix, factored;   /* of the last step, and the weight it was made for */
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

/* Sets the distance of each column's outer face from the middle, m: `out` of them, rising.
 * Before materials are set. */
void bk_grid_columns(bk_grid *grid, const double *outer_faces);

/* Sets the material and temperature of the columns [from, to) of the rows [low, high); a
 * table, where there is one, takes the material's place. Call before bk_grid_faces. */
void bk_grid_fill(bk_grid *grid, size_t from, size_t to, size_t low, size_t high,
                  bk_material material, const bk_thermal *thermal, double celsius);

/* Height of the rows [low, high), m. Before materials are set. */
void bk_grid_heights(bk_grid *grid, size_t low, size_t high, double row_height);

/* Surfaces that may change with the temperature of the food, all in the same air. */
void bk_grid_surfaces(bk_grid *grid, bk_surface top, bk_surface side, bk_surface base, double air);

/* Surface coefficients (0: insulated), and the air at each face. May be called
 * again at any time. */
void bk_grid_faces(bk_grid *grid, double h_top, double h_side, double h_base, double air);

/* One step of `seconds`, second order. */
void bk_grid_step(bk_grid *grid, double seconds);

/* Of one cell (per radian, steradian or metre left out of the metric), m3. */
double bk_grid_volume(const bk_grid *grid, size_t cell);

/* Heat in the grid above 0 C, J. */
double bk_grid_heat(const bk_grid *grid);

/* The extreme temperature of the first `out` columns of rows [from, to), between the cell middles
 * by a parabola: the greatest, or with `coldest` the least. */
double bk_grid_extreme(const bk_grid *grid, size_t out, size_t from, size_t to, bool coldest);

/* Steps for a span of `seconds` after a jump: `first` and growing, to `part` of the time
 * since the jump and no more than `longest`; after `calm`, when nothing is left but a
 * hair, they grow on. The last one is cut to fit. `watch`, when not NULL, is
 * called after every step with the time since the jump; false stops there. */
typedef struct bk_pace {
    double first, part, longest, calm;
} bk_pace;

void bk_grid_run(bk_grid *grid, double seconds, bk_pace pace,
                 bool (*watch)(void *context, double at), void *context);

#endif
