#include "heat/solver.h"

#include <string.h>

bk_grid *bk_grid_new(bk_arena *arena, enum bk_metric metric, size_t out, double reach, size_t up,
                     double height, bk_material material, double celsius)
{
    bk_grid *g = BK_NEW(arena, bk_grid, 1);
    size_t cells = out * up;

    g->out = out;
    g->up = up;
    g->metric = metric;
    g->temperature = BK_NEW(arena, double, cells);
    g->store = BK_NEW(arena, double, cells);
    g->conductivity = BK_NEW(arena, double, cells);
    g->out_link = BK_NEW(arena, double, (out + 1) * up);
    g->up_link = BK_NEW(arena, double, out *(up + 1));
    g->out_face = BK_NEW(arena, double, out + 1);
    g->out_middle = BK_NEW(arena, double, out);
    g->up_size = BK_NEW(arena, double, up);
    g->matrix = BK_NEW(arena, double, cells *(out + 1));
    g->thermal = BK_NEW(arena, const bk_thermal *, cells);
    g->heat = BK_NEW(arena, double, cells);
    g->before = BK_NEW(arena, double, cells);
    g->base_heat = BK_NEW(arena, double, cells);
    g->solved = BK_NEW(arena, double, cells);
    for (size_t i = 0; i <= out; i++)
        g->out_face[i] = reach * (double)i / (double)out;
    for (size_t i = 0; i < out; i++)
        g->out_middle[i] = 0.5 * (g->out_face[i] + g->out_face[i + 1]);
    bk_grid_layer(g, 0, up, height / (double)up, material, celsius);
    bk_grid_faces(g, 0.0, 0.0, 0.0, celsius);
    return g;
}

/* Integral of r^metric: the area seen from above of a ring, without its angle. */
static double ring(const bk_grid *g, size_t i)
{
    double a = g->out_face[i], b = g->out_face[i + 1];
    switch (g->metric) {
    case BK_METRIC_CYLINDER:
        return 0.5 * (b * b - a * a);
    case BK_METRIC_SPHERE:
        return (b * b * b - a * a * a) / 3.0;
    case BK_METRIC_PLANE:
        break;
    }
    return b - a;
}

static double face_area(const bk_grid *g, size_t i)
{
    double r = g->out_face[i];
    return g->metric == BK_METRIC_SPHERE ? r * r : g->metric == BK_METRIC_CYLINDER ? r : 1.0;
}

void bk_grid_columns(bk_grid *g, const double *outer_faces)
{
    for (size_t i = 0; i < g->out; i++)
        g->out_face[i + 1] = outer_faces[i];
    for (size_t i = 0; i < g->out; i++)
        g->out_middle[i] = 0.5 * (g->out_face[i] + g->out_face[i + 1]);
}

void bk_grid_heights(bk_grid *g, size_t low, size_t high, double row_height)
{
    for (size_t j = low; j < high; j++)
        g->up_size[j] = row_height;
}

double bk_grid_volume(const bk_grid *g, size_t cell)
{
    return ring(g, cell % g->out) * g->up_size[cell / g->out];
}

void bk_grid_fill(bk_grid *g, size_t from, size_t to, size_t low, size_t high, bk_material material,
                  const bk_thermal *thermal, double celsius)
{
    for (size_t j = low; j < high; j++)
        for (size_t i = from; i < to; i++) {
            size_t c = j * g->out + i;
            g->temperature[c] = celsius;
            g->thermal[c] = thermal;
            g->conductivity[c] = material.conductivity;
            g->store[c] = material.density * material.heat_capacity * bk_grid_volume(g, c);
            if (thermal) {
                g->heat[c] = bk_thermal_heat(thermal, celsius) * bk_grid_volume(g, c);
                g->changes = g->latent = true;
            }
        }
}

void bk_grid_layer(bk_grid *g, size_t from, size_t to, double row_height, bk_material material,
                   double celsius)
{
    bk_grid_heights(g, from, to, row_height);
    bk_grid_fill(g, 0, g->out, from, to, material, NULL, celsius);
}

/* A way through half a cell to the air, W/(m2 K); `celsius` is the cell's own. */
static double to_air(const bk_surface *surface, double half_cell, double conductivity,
                     double celsius, double air)
{
    double h = surface->coefficient;
    if (!(h > 0.0))
        return 0.0;
    double way = 1.0 / (1.0 / h + half_cell / conductivity);
    if (!surface->changes)
        return way;
    /* the surface is as much cooler than the cell as its way out is shorter */
    for (int i = 0; i < 2; i++) {
        double face = air + (celsius - air) * way / h;
        h = bk_surface_at(surface, face, air);
        way = 1.0 / (1.0 / h + half_cell / conductivity);
    }
    return way;
}

static void link_out(bk_grid *g, size_t j)
{
    double *link = g->out_link + j * (g->out + 1);
    const double *k = g->conductivity + j * g->out;
    size_t last = g->out - 1;
    link[0] = 0.0; /* the middle */
    for (size_t i = 1; i < g->out; i++) {
        double here = (g->out_face[i] - g->out_middle[i - 1]) / k[i - 1];
        double next = (g->out_middle[i] - g->out_face[i]) / k[i];
        link[i] = face_area(g, i) * g->up_size[j] / (here + next);
    }
    link[g->out] = face_area(g, g->out) * g->up_size[j] *
                   to_air(&g->side, g->out_face[g->out] - g->out_middle[last], k[last],
                          g->temperature[j * g->out + last], g->side_air);
}

static void link_up(bk_grid *g, size_t i)
{
    double area = ring(g, i);
    const double *k = g->conductivity + i, *t = g->temperature + i;
    size_t last = (g->up - 1) * g->out;
    g->up_link[i] = area * to_air(&g->base, 0.5 * g->up_size[0], k[0], t[0], g->base_air);
    for (size_t j = 1; j < g->up; j++)
        g->up_link[j * g->out + i] = area / (0.5 * g->up_size[j - 1] / k[(j - 1) * g->out] +
                                             0.5 * g->up_size[j] / k[j * g->out]);
    g->up_link[g->up * g->out + i] =
        area * to_air(&g->top, 0.5 * g->up_size[g->up - 1], k[last], t[last], g->top_air);
}

static void link_all(bk_grid *g)
{
    for (size_t j = 0; j < g->up; j++)
        link_out(g, j);
    for (size_t i = 0; i < g->out; i++)
        link_up(g, i);
}

void bk_grid_surfaces(bk_grid *g, bk_surface top, bk_surface side, bk_surface base, double air)
{
    g->top_air = g->side_air = g->base_air = air;
    g->top = top;
    g->side = side;
    g->base = base;
    g->factored = -1.0;
    g->changes = g->changes || top.changes || side.changes || base.changes;
    link_all(g);
}

void bk_grid_faces(bk_grid *g, double h_top, double h_side, double h_base, double air)
{
    bk_grid_surfaces(g, (bk_surface){.coefficient = h_top}, (bk_surface){.coefficient = h_side},
                     (bk_surface){.coefficient = h_base}, air);
}

/* Heat that flows into a cell from its neighbours and the air, W. */
static double inflow(const bk_grid *g, const double *t, size_t c)
{
    size_t i = c % g->out, j = c / g->out;
    const double *out = g->out_link + j * (g->out + 1) + i, *up = g->up_link + c;
    double sum = out[1] * ((i + 1 < g->out ? t[c + 1] : g->side_air) - t[c]) +
                 up[0] * ((j > 0 ? t[c - g->out] : g->base_air) - t[c]) +
                 up[g->out] * ((j + 1 < g->up ? t[c + g->out] : g->top_air) - t[c]);
    return i > 0 ? sum + out[0] * (t[c - 1] - t[c]) : sum;
}

/* What the air alone brings to a cell at 0 C, W. */
static double from_air(const bk_grid *g, size_t c)
{
    size_t i = c % g->out, j = c / g->out;
    double sum = 0.0;
    if (i + 1 == g->out)
        sum += g->out_link[j * (g->out + 1) + g->out] * g->side_air;
    if (j == 0)
        sum += g->up_link[i] * g->base_air;
    if (j + 1 == g->up)
        sum += g->up_link[c + g->out] * g->top_air;
    return sum;
}

/* Heat that the grid gives to the air, W. */
static double outflow(const bk_grid *g, const double *t)
{
    double sum = 0.0;
    size_t last = (g->up - 1) * g->out;
    for (size_t j = 0; j < g->up; j++)
        sum += g->out_link[j * (g->out + 1) + g->out] * (t[j * g->out + g->out - 1] - g->side_air);
    for (size_t i = 0; i < g->out; i++)
        sum += g->up_link[i] * (t[i] - g->base_air) +
               g->up_link[last + g->out + i] * (t[last + i] - g->top_air);
    return sum;
}

/* The matrix store - weight A, A being what flows in, as Lt D L: each row holds the inverse
 * of its D, then its `out` entries right of the diagonal. */
static void factor(bk_grid *g, double weight)
{
    size_t band = g->out, row = band + 1, cells = g->out * g->up;
    memset(g->matrix, 0, cells * row * sizeof *g->matrix);
    for (size_t c = 0; c < cells; c++) {
        size_t i = c % g->out, j = c / g->out;
        const double *out = g->out_link + j * (g->out + 1) + i, *up = g->up_link + c;
        double *m = g->matrix + c * row;
        m[0] = g->store[c] + weight * ((i > 0 ? out[0] : 0.0) + out[1] + up[0] + up[g->out]);
        if (i + 1 < g->out)
            m[1] -= weight * out[1];
        if (j + 1 < g->up)
            m[band] -= weight * up[g->out];
    }
    for (size_t c = 0; c < cells; c++) {
        double *m = g->matrix + c * row, inverse = 1.0 / m[0];
        size_t last = cells - 1 - c < band ? cells - 1 - c : band;
        for (size_t k = 1; k <= last; k++) {
            double *lower = m + k * row, scaled = m[k] * inverse;
            if (scaled == 0.0)
                continue;
            for (size_t n = k; n <= last; n++)
                lower[n - k] -= scaled * m[n];
        }
        for (size_t k = 1; k <= last; k++)
            m[k] *= inverse;
        m[0] = inverse;
    }
    g->factored = weight;
}

static void solve(const bk_grid *g, double *t)
{
    size_t band = g->out, row = band + 1, cells = g->out * g->up;
    for (size_t c = 0; c < cells; c++) {
        const double *m = g->matrix + c * row;
        size_t last = cells - 1 - c < band ? cells - 1 - c : band;
        for (size_t k = 1; k <= last; k++)
            t[c + k] -= m[k] * t[c];
    }
    for (size_t c = cells; c-- > 0;) {
        const double *m = g->matrix + c * row;
        size_t last = cells - 1 - c < band ? cells - 1 - c : band;
        double sum = m[0] * t[c];
        for (size_t k = 1; k <= last; k++)
            sum -= m[k] * t[c + k];
        t[c] = sum;
    }
}

/* Conductivities and surfaces as the step finds them. */
static void renew(bk_grid *g)
{
    if (!g->changes)
        return;
    for (size_t c = 0; c < g->out * g->up; c++)
        if (g->thermal[c])
            g->conductivity[c] = bk_thermal_conductivity(g->thermal[c], g->temperature[c]);
    link_all(g);
    g->factored = -1.0;
}

/* Heat in a cell that has no table, J above 0 C; else that of the table. */
static double heat_in(const bk_grid *g, size_t c)
{
    return g->thermal[c] ? g->heat[c] : g->store[c] * g->temperature[c];
}

/* Solves heat - weight A T = base for the heat and the temperature of every cell, by
 * Newton's method in the heat: where it has to change its mind about a cell's store, it
 * goes round again. What flows is told by `solved`, to which the heat is exactly true. */
static void solve_stage(bk_grid *g, double weight)
{
    const double near = 0.004; /* K */
    enum { MOST_ROUNDS = 12 };
    size_t cells = g->out * g->up;
    double *t = g->temperature, *solved = g->solved;
    for (int round = 0; round < MOST_ROUNDS; round++) {
        for (size_t c = 0; g->latent && c < cells; c++)
            if (g->thermal[c])
                g->store[c] = bk_thermal_store(g->thermal[c], t[c]) * bk_grid_volume(g, c);
        if (g->latent || g->factored != weight)
            factor(g, weight);
        for (size_t c = 0; c < cells; c++)
            solved[c] =
                g->store[c] * t[c] - heat_in(g, c) + g->base_heat[c] + weight * from_air(g, c);
        solve(g, solved);
        double worst = 0.0;
        for (size_t c = 0; c < cells; c++) {
            if (!g->thermal[c]) {
                t[c] = solved[c];
                continue;
            }
            g->heat[c] += g->store[c] * (solved[c] - t[c]);
            t[c] = bk_thermal_celsius(g->thermal[c], g->heat[c] / bk_grid_volume(g, c));
            worst = fmax(worst, fabs(t[c] - solved[c]));
        }
        if (worst < near)
            break;
    }
}

void bk_grid_step(bk_grid *g, double seconds)
{
    const double gamma = 2.0 - sqrt(2.0), a = 1.0 / (gamma * (2.0 - gamma));
    double weight = 0.5 * gamma * seconds, *t = g->temperature;
    size_t cells = g->out * g->up;

    renew(g);
    double out = a * outflow(g, t);
    for (size_t c = 0; c < cells; c++) {
        g->before[c] = heat_in(g, c);
        g->base_heat[c] = g->before[c] + weight * inflow(g, t, c); /* half explicit */
    }
    solve_stage(g, weight);
    out += a * outflow(g, g->solved);
    for (size_t c = 0; c < cells; c++)
        g->base_heat[c] = a * heat_in(g, c) - (a - 1.0) * g->before[c];
    solve_stage(g, weight);
    g->heat_out += weight * (out + outflow(g, g->solved));
}

double bk_grid_heat(const bk_grid *g)
{
    double sum = 0.0;
    for (size_t c = 0; c < g->out * g->up; c++)
        sum += g->thermal[c] != NULL ? g->heat[c] : g->store[c] * g->temperature[c];
    return sum;
}

/* How far a parabola through three equal steps rises above its middle value; an end
 * without neighbour mirrors itself where it is insulated (the middle of a body) and
 * is left alone elsewhere. */
static double rise(double low, double middle, double high)
{
    double bend = 2.0 * middle - low - high;
    if (bend <= 0.0 || low > middle || high > middle)
        return 0.0;
    return (high - low) * (high - low) / (8.0 * bend);
}

double bk_grid_extreme(const bk_grid *g, size_t out, size_t from, size_t to, bool coldest)
{
    double sign = coldest ? -1.0 : 1.0;
    size_t best = from * g->out;
    const double *t = g->temperature;
    for (size_t j = from; j < to; j++)
        for (size_t c = j * g->out; c < j * g->out + out; c++)
            if (sign * t[c] > sign * t[best])
                best = c;
    size_t i = best % g->out, j = best / g->out;
    double here = sign * t[best], peak = here;

    if (out > 1 && i + 1 < out)
        peak += rise(i > 0 ? sign * t[best - 1] : here, here, sign * t[best + 1]);
    bool below = j > from, above = j + 1 < to;
    if (below && above)
        peak += rise(sign * t[best - g->out], here, sign * t[best + g->out]);
    else if (above && j == 0 && !(g->up_link[i] > 0.0))
        peak += rise(here, here, sign * t[best + g->out]);
    return sign * peak;
}

void bk_grid_run(bk_grid *g, double seconds, bk_pace pace, bool (*watch)(void *context, double at),
                 void *context)
{
    const double growth = 1.25;
    double at = 0.0, step = pace.first;

    while (at < seconds) {
        double left = seconds - at, now = fmin(step, left);
        if (left - now < 0.01 * now) /* no crumb of a step at the end */
            now = left;
        bk_grid_step(g, now);
        at = now == left ? seconds : at + now;
        if (watch && !watch(context, at))
            return;
        double wanted = fmax(pace.first, pace.part * at);
        if (at <= pace.calm)
            wanted = fmin(wanted, pace.longest);
        /* a step that stays the same is solved with the matrix that is there */
        if (g->changes || wanted > growth * step)
            step = fmin(wanted, growth * step);
    }
}
