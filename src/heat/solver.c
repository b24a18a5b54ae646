#include "heat/solver.h"

bk_grid *bk_grid_new(bk_arena *arena, enum bk_metric metric, size_t out, double reach, size_t up,
                     double height, bk_material material, double celsius)
{
    bk_grid *g = BK_NEW(arena, bk_grid, 1);
    size_t cells = out * up, line = out > up ? out : up;

    g->out = out;
    g->up = up;
    g->metric = metric;
    g->temperature = BK_NEW(arena, double, cells);
    g->store = BK_NEW(arena, double, cells);
    g->conductivity = BK_NEW(arena, double, cells);
    g->half = BK_NEW(arena, double, cells);
    g->out_link = BK_NEW(arena, double, (out + 1) * up);
    g->up_link = BK_NEW(arena, double, out *(up + 1));
    g->out_face = BK_NEW(arena, double, out + 1);
    g->out_middle = BK_NEW(arena, double, out);
    g->up_size = BK_NEW(arena, double, up);
    g->rate = BK_NEW(arena, double, line);
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

void bk_grid_layer(bk_grid *g, size_t from, size_t to, double row_height, bk_material material,
                   double celsius)
{
    for (size_t j = from; j < to; j++) {
        g->up_size[j] = row_height;
        for (size_t i = 0; i < g->out; i++) {
            size_t c = j * g->out + i;
            g->temperature[c] = celsius;
            g->conductivity[c] = material.conductivity;
            g->store[c] = material.density * material.heat_capacity * ring(g, i) * row_height;
        }
    }
}

/* A way through half a cell to the air. */
static double to_air(double half_cell, double conductivity, double h)
{
    return h > 0.0 ? 1.0 / (1.0 / h + half_cell / conductivity) : 0.0;
}

void bk_grid_faces(bk_grid *g, double h_top, double h_side, double h_base, double air)
{
    g->top_air = g->side_air = g->base_air = air;
    for (size_t j = 0; j < g->up; j++) {
        double *link = g->out_link + j * (g->out + 1);
        const double *k = g->conductivity + j * g->out;
        link[0] = 0.0; /* the middle */
        for (size_t i = 1; i < g->out; i++) {
            double here = (g->out_face[i] - g->out_middle[i - 1]) / k[i - 1];
            double next = (g->out_middle[i] - g->out_face[i]) / k[i];
            link[i] = face_area(g, i) * g->up_size[j] / (here + next);
        }
        size_t last = g->out - 1;
        link[g->out] = face_area(g, g->out) * g->up_size[j] *
                       to_air(g->out_face[g->out] - g->out_middle[last], k[last], h_side);
    }
    for (size_t i = 0; i < g->out; i++) {
        double area = ring(g, i);
        for (size_t j = 0; j <= g->up; j++) {
            const double *k = g->conductivity + i;
            double way;
            if (j == 0)
                way = to_air(0.5 * g->up_size[0], k[0], h_base);
            else if (j == g->up)
                way = to_air(0.5 * g->up_size[j - 1], k[(j - 1) * g->out], h_top);
            else
                way = 1.0 / (0.5 * g->up_size[j - 1] / k[(j - 1) * g->out] +
                             0.5 * g->up_size[j] / k[j * g->out]);
            g->up_link[j * g->out + i] = area * way;
        }
    }
}

/* One line of cells: `count` of them, `stride` apart from `first`, with links of
 * their own stride and air at both ends. */
typedef struct line {
    size_t count, first, stride;
    const double *link;
    size_t link_stride;
    double low_air, high_air;
} line;

static line line_out(const bk_grid *g, size_t j)
{
    return (line){g->out, j * g->out, 1, g->out_link + j * (g->out + 1), 1, 0.0, g->side_air};
}

static line line_up(const bk_grid *g, size_t i)
{
    return (line){g->up, i, g->out, g->up_link + i, g->out, g->base_air, g->top_air};
}

/* Heat flowing into cell n of a line along it, W. */
static double inflow(const line *l, const double *t, size_t n)
{
    double here = t[l->first + n * l->stride];
    double low = n > 0 ? t[l->first + (n - 1) * l->stride] : l->low_air;
    double high = n + 1 < l->count ? t[l->first + (n + 1) * l->stride] : l->high_air;
    return l->link[n * l->link_stride] * (low - here) +
           l->link[(n + 1) * l->link_stride] * (high - here);
}

/* Heat a line gives to the air at its ends, W. */
static double outflow(const line *l, const double *t)
{
    size_t last = l->count - 1;
    return l->link[0] * (t[l->first] - l->low_air) +
           l->link[l->count * l->link_stride] * (t[l->first + last * l->stride] - l->high_air);
}

/* Solves store/seconds (t - t0) = flow along the line at t, for t, where `t` holds
 * store/seconds * t0 on entry (J/s). */
static void solve_line(const line *l, const double *store, double seconds, double *t, double *rate)
{
    for (size_t n = 0; n < l->count; n++) {
        size_t c = l->first + n * l->stride;
        double below = l->link[n * l->link_stride], above = l->link[(n + 1) * l->link_stride];
        double middle = store[c] / seconds + below + above, right = t[c];
        if (n == 0)
            right += below * l->low_air;
        if (n + 1 == l->count)
            right += above * l->high_air;
        if (n > 0) {
            middle -= below * rate[n - 1];
            right += below * t[c - l->stride];
        }
        rate[n] = above / middle;
        t[c] = right / middle;
    }
    for (size_t n = l->count - 1; n-- > 0;) {
        size_t c = l->first + n * l->stride;
        t[c] += rate[n] * t[c + l->stride];
    }
}

void bk_grid_step(bk_grid *g, double seconds)
{
    double *t = g->temperature, *half = g->half, out_flow = 0.0, up_before = 0.0, up_after = 0.0;
    double short_step = 0.5 * seconds;

    /* up explicit, out implicit, over the first half */
    for (size_t i = 0; i < g->out; i++) {
        line l = line_up(g, i);
        up_before += outflow(&l, t);
        for (size_t n = 0; n < l.count; n++) {
            size_t c = l.first + n * l.stride;
            half[c] = g->store[c] / short_step * t[c] + inflow(&l, t, n);
        }
    }
    for (size_t j = 0; j < g->up; j++) {
        line l = line_out(g, j);
        solve_line(&l, g->store, short_step, half, g->rate);
        out_flow += outflow(&l, half);
        for (size_t n = 0; n < l.count; n++) {
            size_t c = l.first + n;
            t[c] = g->store[c] / short_step * half[c] + inflow(&l, half, n);
        }
    }
    /* out explicit (just done), up implicit, over the second */
    for (size_t i = 0; i < g->out; i++) {
        line l = line_up(g, i);
        solve_line(&l, g->store, short_step, t, g->rate);
        up_after += outflow(&l, t);
    }
    g->heat_out += seconds * (out_flow + 0.5 * (up_before + up_after));
}

void bk_grid_step_implicit(bk_grid *g, double seconds)
{
    double *t = g->temperature, flow = 0.0;
    for (size_t j = 0; j < g->up; j++) {
        line l = line_out(g, j);
        for (size_t n = 0; n < l.count; n++)
            t[l.first + n] *= g->store[l.first + n] / seconds;
        solve_line(&l, g->store, seconds, t, g->rate);
        flow += outflow(&l, t);
    }
    for (size_t i = 0; i < g->out; i++) {
        line l = line_up(g, i);
        for (size_t n = 0; n < l.count; n++)
            t[l.first + n * l.stride] *= g->store[l.first + n * l.stride] / seconds;
        solve_line(&l, g->store, seconds, t, g->rate);
        flow += outflow(&l, t);
    }
    g->heat_out += seconds * flow;
}

double bk_grid_heat(const bk_grid *g)
{
    double sum = 0.0;
    for (size_t c = 0; c < g->out * g->up; c++)
        sum += g->store[c] * g->temperature[c];
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

double bk_grid_extreme(const bk_grid *g, size_t from, size_t to, bool coldest)
{
    double sign = coldest ? -1.0 : 1.0;
    size_t best = from * g->out;
    for (size_t c = from * g->out; c < to * g->out; c++)
        if (sign * g->temperature[c] > sign * g->temperature[best])
            best = c;
    size_t i = best % g->out, j = best / g->out;
    const double *t = g->temperature;
    double here = sign * t[best], peak = here;

    if (g->out > 1 && i + 1 < g->out)
        peak += rise(i > 0 ? sign * t[best - 1] : here, here, sign * t[best + 1]);
    bool below = j > from, above = j + 1 < to;
    if (below && above)
        peak += rise(sign * t[best - g->out], here, sign * t[best + g->out]);
    else if (above && j == 0 && !(g->up_link[i] > 0.0))
        peak += rise(here, here, sign * t[best + g->out]);
    return sign * peak;
}

void bk_grid_run(bk_grid *g, double seconds, double longest,
                 bool (*watch)(void *context, double at), void *context)
{
    const double growth = 1.25;
    enum { IMPLICIT_STEPS = 4 };
    double at = 0.0, step = longest / 1000.0;

    for (int n = 0; at < seconds; n++) {
        double left = seconds - at, now = fmin(step, left);
        if (left - now < 0.01 * now) /* no crumb of a step at the end */
            now = left;
        if (n < IMPLICIT_STEPS)
            bk_grid_step_implicit(g, now);
        else
            bk_grid_step(g, now);
        at = now == left ? seconds : at + now;
        if (watch != NULL && !watch(context, at))
            return;
        step = fmin(step * growth, longest);
    }
}
