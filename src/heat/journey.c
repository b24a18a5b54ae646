/* Changing surroundings, and a warm layer on a cold one: the numeric solver set up
 * for the kitchen's questions. */
#include "heat/body.h"
#include "heat/solver.h"

enum { OUT_CELLS = 32, UP_CELLS = 32, LAYER_CELLS = 48 };

static const double pi = 3.14159265358979323846;

/* A grid for the body of a question; a tray is the round of the same area, a very
 * wide one has no side. */
static bk_grid *grid_of(bk_arena *arena, const bk_heat_question *q, bk_material material)
{
    double store = material.density * material.heat_capacity;
    const bk_wall *wall = bk_heat_wall(q->tin);
    double tin = wall->thickness * wall->stored / store;

    if (q->shape == BK_HEAT_BALL)
        return bk_grid_new(arena, BK_METRIC_SPHERE, 2 * OUT_CELLS, 0.5 * q->across, 1, 1.0,
                           material, q->from_c);
    double deep = q->deep + tin;
    if (!isfinite(q->across))
        return bk_grid_new(arena, BK_METRIC_PLANE, 1, 1.0, 2 * UP_CELLS, deep, material, q->from_c);
    double radius = q->shape == BK_HEAT_SLAB ? q->across / sqrt(pi) : 0.5 * q->across;
    return bk_grid_new(arena, BK_METRIC_CYLINDER, OUT_CELLS, radius + tin, UP_CELLS, deep, material,
                       q->from_c);
}

/* The longest step, a small part of the time heat takes to cross the body: times
 * between steps are read off a straight line. */
static double longest_step(const bk_heat_question *q, bk_material m)
{
    double way = q->shape == BK_HEAT_BALL ? 0.5 * q->across : fmin(q->deep, 0.5 * q->across);
    return 0.003 * way * way * m.density * m.heat_capacity / m.conductivity;
}

/* Asked times that a leg passes. */
typedef struct reading {
    const bk_grid *grid;
    double leg_start;               /* s since the start of the journey */
    double last_time, last_celsius; /* the step before */
    const double *minutes;
    double *celsius;
    size_t count, next;
} reading;

static double warmest(const bk_grid *g)
{
    return bk_grid_extreme(g, 0, g->up, false);
}

static bool read_step(void *context, double at)
{
    reading *r = context;
    double now = r->leg_start + at, celsius = warmest(r->grid);

    while (r->next < r->count && 60.0 * r->minutes[r->next] <= now) {
        double part = now > r->last_time
                          ? (60.0 * r->minutes[r->next] - r->last_time) / (now - r->last_time)
                          : 1.0;
        r->celsius[r->next] =
            r->last_celsius + fmin(fmax(part, 0.0), 1.0) * (celsius - r->last_celsius);
        r->next++;
    }
    r->last_time = now;
    r->last_celsius = celsius;
    return r->next < r->count;
}

void bk_heat_journey(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end,
                     const bk_heat_leg *legs, size_t leg_count, const double *minutes,
                     double *celsius, size_t count)
{
    bk_material material = bk_question_material(q);
    bk_grid *grid = grid_of(arena, q, material);
    double longest = longest_step(q, material);
    reading r = {grid, 0.0, 0.0, q->from_c, minutes, celsius, count, 0};

    for (size_t n = 0; n < leg_count && r.next < count; n++) {
        bk_heat_question there = *q;
        there.place = legs[n].place;
        for (int i = 0; i < 3; i++)
            there.surface[i] = 0.0; /* each leg has the surface of its place */
        there.base_insulated = legs[n].base_insulated;
        bk_faces f = bk_faces_of(&there, end);
        if (q->shape == BK_HEAT_BALL)
            f.top = f.base = 0.0; /* a ball is all side */
        if (!isfinite(q->across))
            f.side = 0.0;
        bk_grid_faces(grid, f.top, f.side, f.base, legs[n].air_c);
        double seconds = 60.0 * legs[n].minutes;
        if (n + 1 == leg_count)
            seconds = fmax(seconds, 60.0 * minutes[count - 1] - r.leg_start);
        /* long after the last change little happens: no more than some thousand steps a leg */
        bk_grid_run(grid, seconds, fmax(longest, seconds / 5000.0), read_step, &r);
        r.leg_start += seconds;
    }
    while (r.next < count)
        r.celsius[r.next++] = warmest(grid);
}

typedef struct waiting {
    const bk_grid *grid;
    double target, last_time, last_celsius, reached;
} waiting;

static bool wait_step(void *context, double at)
{
    waiting *w = context;
    double celsius = bk_grid_extreme(w->grid, LAYER_CELLS, 2 * LAYER_CELLS, false);
    if (celsius <= w->target) {
        double part = w->last_celsius > celsius
                          ? (w->last_celsius - w->target) / (w->last_celsius - celsius)
                          : 1.0;
        w->reached = w->last_time + part * (at - w->last_time);
        return false;
    }
    w->last_time = at;
    w->last_celsius = celsius;
    return true;
}

double bk_heat_poured(bk_arena *arena, const bk_heat_layer *base, const bk_heat_layer *poured,
                      double h_top, double h_base, double air_c, double celsius, double longest)
{
    if (poured->start_c <= celsius && base->start_c <= celsius)
        return 0.0;
    bk_grid *grid = bk_grid_new(arena, BK_METRIC_PLANE, 1, 1.0, 2 * LAYER_CELLS, 1.0,
                                base->material, base->start_c);
    bk_grid_layer(grid, 0, LAYER_CELLS, base->thickness / LAYER_CELLS, base->material,
                  base->start_c);
    bk_grid_layer(grid, LAYER_CELLS, 2 * LAYER_CELLS, poured->thickness / LAYER_CELLS,
                  poured->material, poured->start_c);
    bk_grid_faces(grid, h_top, 0.0, h_base, air_c);

    const bk_material *m = &poured->material;
    double thick = poured->thickness + base->thickness;
    double step = 0.02 * thick * thick * m->density * m->heat_capacity / m->conductivity;
    waiting w = {grid, celsius, 0.0, poured->start_c, INFINITY};
    /* enough steps for any question of a kitchen, and an end for the rest */
    step = fmax(step, longest / 100000.0);
    bk_grid_run(grid, longest, step, wait_step, &w);
    return w.reached;
}
