#include "heat/liquid.h"

#include "heat/body.h"
#include "heat/surface.h"
#include "heat/thermal.h"

static const double pi = 3.14159265358979323846;

/* Water as a liquid (Cengel, table A-9, from memory). */
static const struct {
    double celsius, expands /* 1/K */, viscosity /* m2/s */, prandtl, conductivity;
} water[] = {{5, 0.015e-3, 1.519e-6, 11.2, 0.571},  {20, 0.195e-3, 1.004e-6, 7.01, 0.598},
             {40, 0.377e-3, 0.658e-6, 4.32, 0.631}, {60, 0.523e-3, 0.475e-6, 2.99, 0.654},
             {80, 0.653e-3, 0.365e-6, 2.22, 0.670}, {100, 0.750e-3, 0.294e-6, 1.75, 0.679}};
enum { WATER_POINTS = sizeof water / sizeof water[0] };

double bk_liquid_film(double celsius, double wall_c, double height)
{
    const double gravity = 9.81;
    double t = 0.5 * (celsius + wall_c), difference = fabs(celsius - wall_c);
    int i = 0;
    while (i + 2 < WATER_POINTS && t > water[i + 1].celsius)
        i++;
    double part =
        fmin(fmax((t - water[i].celsius) / (water[i + 1].celsius - water[i].celsius), 0), 1);
    double expands = water[i].expands + part * (water[i + 1].expands - water[i].expands);
    double viscosity = water[i].viscosity + part * (water[i + 1].viscosity - water[i].viscosity);
    double prandtl = water[i].prandtl + part * (water[i + 1].prandtl - water[i].prandtl);
    double k = water[i].conductivity + part * (water[i + 1].conductivity - water[i].conductivity);
    double rayleigh = gravity * expands * difference * height * height * height * prandtl /
                      (viscosity * viscosity);
    double low = pow(1.0 + pow(0.492 / prandtl, 9.0 / 16.0), -4.0 / 9.0), nusselt;
    if (rayleigh <= 1e9) {
        nusselt = 0.68 + 0.670 * sqrt(sqrt(rayleigh)) * low;
    } else {
        double root = 0.825 + 0.387 * pow(rayleigh, 1.0 / 6.0) * pow(low, 2.0 / 3.0);
        nusselt = root * root;
    }
    return nusselt * k / height;
}

typedef struct pot {
    const bk_heat_question *question; /* in the place where it is */
    bk_surface surface[3];
    double area[3]; /* m2 */
    double volume;  /* m3 */
    double wall;    /* J/K of the tin */
    double height;  /* m */
    bool stirred;
} pot;

static void measure(pot *p, const bk_heat_question *q)
{
    const bk_wall *wall = bk_heat_wall(q->tin);
    double a = q->across, per = wall->thickness * wall->stored;
    p->height = q->deep;
    switch (q->shape) {
    case BK_HEAT_BALL:
        p->area[BK_SURFACE_SIDE] = pi * a * a;
        p->volume = pi * a * a * a / 6.0;
        p->height = a;
        return;
    case BK_HEAT_ROUND:
        p->area[BK_SURFACE_TOP] = 0.25 * pi * a * a;
        p->area[BK_SURFACE_SIDE] = pi * a * q->deep;
        break;
    case BK_HEAT_SLAB:
        p->area[BK_SURFACE_TOP] = isfinite(a) ? a * a : 1.0;
        p->area[BK_SURFACE_SIDE] = isfinite(a) ? 4.0 * a * q->deep : 0.0;
        break;
    }
    p->area[BK_SURFACE_BASE] = p->area[BK_SURFACE_TOP];
    p->volume = p->area[BK_SURFACE_TOP] * q->deep;
    p->wall = per * (p->area[BK_SURFACE_SIDE] + p->area[BK_SURFACE_BASE]);
}

/* W/K from the liquid at `celsius` to the air by one face. */
static double way_out(const pot *p, int face, double celsius)
{
    const bk_surface *s = &p->surface[face];
    double air = p->question->air_c, h = s->coefficient, inside = INFINITY;
    if (!(h > 0.0) || !(p->area[face] > 0.0))
        return 0.0;
    double outside = celsius, wall_c = celsius;
    for (int i = 0; i < 6; i++) {
        h = bk_surface_at(s, outside, air);
        if (!p->stirred && face != BK_SURFACE_TOP) {
            /* half way to what the film would have it: the two settle on each other */
            double film = bk_liquid_film(celsius, wall_c, p->height);
            inside = isfinite(inside) ? 0.5 * (inside + film) : film;
        }
        double through = 1.0 / (1.0 / h + 1.0 / inside);
        wall_c = celsius - (celsius - air) * through / inside;
        double open = s->open > 0.0 ? fmax(h, s->open) : h;
        outside = air + (celsius - air) * through / open;
        h = through;
    }
    return p->area[face] * h;
}

static double ways_out(const pot *p, double celsius)
{
    double sum = 0.0;
    for (int i = 0; i < 3; i++)
        sum += way_out(p, i, celsius);
    return sum;
}

static double store_at(const pot *p, const bk_thermal *thermal, bk_material m, double celsius)
{
    double per = thermal ? bk_thermal_store(thermal, celsius) : m.density * m.heat_capacity;
    return per * p->volume + p->wall;
}

void bk_liquid_run(const bk_heat_question *q, enum bk_heat_end end, double seconds,
                   bk_trial_watch *watch, void *context)
{
    const double part = 0.01; /* of the difference, a step */
    pot p = {.stirred = q->stirred};
    bk_material m = bk_question_material(q);
    bk_thermal table;
    const bk_thermal *thermal = NULL;
    if (!q->has_material) {
        bool cooling = q->air_c < q->from_c;
        bk_thermal_of(&table, &q->composition, cooling && end == BK_HEAT_STRONG ? 0.0 : 1.0);
        thermal = &table;
    }
    measure(&p, q);
    double celsius = q->from_c, at = 0.0, since = 0.0;
    bk_trial_point point = {0.0, celsius, celsius, celsius, NAN, 0};
    if (!watch(context, &point))
        return;
    for (size_t n = 0; n <= q->leg_count && since < seconds; n++) {
        bk_heat_question there = bk_trial_at(q, n);
        double last = n < q->leg_count ? fmin(seconds, since + 60.0 * q->legs[n].minutes) : seconds;
        p.question = &there;
        bk_surfaces_of(&there, end, p.surface);
        while (at < last) {
            double out = ways_out(&p, celsius), store = store_at(&p, thermal, m, celsius);
            double step = fmin(out > 0.0 ? part * store / out : last - at, last - at);
            step = fmax(step, 1e-3 * at); /* long after, nothing is left to follow */
            step = fmin(step, last - at);
            /* the middle of the step tells how fast it goes */
            double half = celsius + (there.air_c - celsius) * -expm1(-0.5 * step * out / store);
            out = ways_out(&p, half);
            double heat = -out * (half - there.air_c) * step;
            if (thermal) {
                /* the wall goes with the food */
                double share = p.volume * bk_thermal_store(thermal, half);
                double whole = share + p.wall;
                celsius = bk_thermal_celsius(thermal, bk_thermal_heat(thermal, celsius) +
                                                          heat * share / whole / p.volume);
            } else {
                celsius += heat / store;
            }
            at = step >= last - at ? last : at + step;
            point = (bk_trial_point){at, celsius, celsius, celsius, NAN, n};
            if (!watch(context, &point))
                return;
        }
        since = last;
    }
}
