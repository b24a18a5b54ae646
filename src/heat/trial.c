#include "heat/trial.h"

#include "heat/body.h"
#include "heat/liquid.h"
#include "heat/solver.h"

/* Cells each way, and of food that freezes or sets, for which each step costs more. */
enum { OUT_CELLS = 16, UP_CELLS = 20, LINE_CELLS = 64, BELOW_CELLS = 16 };
enum { LATENT_OUT = 12, LATENT_UP = 16 };

static const double pi = 3.14159265358979323846;

/* Milk fat's heat counts when there is this much of it, and something of it sets or melts. */
static bool fat_counts(const bk_heat_question *q)
{
    const double least = 0.05, melted = 40.0;
    double low = fmin(fmin(q->from_c, q->to_c), q->air_c);
    return !q->has_material && q->composition.milk_fat >= least && low < melted;
}

/* Crumb conducts far better hot than cold. */
static bool vapour_counts(const bk_heat_question *q)
{
    return !q->has_material && q->composition.pores > 0.0 && q->composition.air > 0.0;
}

static bool ice_counts(const bk_heat_question *q)
{
    if (q->has_material)
        return false;
    double low = fmin(q->from_c, fmin(q->to_c, q->air_c));
    for (size_t i = 0; i < q->leg_count; i++)
        low = fmin(low, q->legs[i].air_c);
    return low < bk_freezing_point(&q->composition);
}

static bool hot(const bk_heat_question *q)
{
    return q->from_c - q->air_c > BK_SURFACE_TABLE && !(q->surface[BK_HEAT_TYPICAL] > 0.0) &&
           (q->shape != BK_HEAT_BALL || q->place < BK_HEAT_WATER_BATH);
}

bool bk_trial_mixes(const bk_heat_question *q, enum bk_heat_end end)
{
    if (q->stirred)
        return true;
    if (q->below.deep > 0.0 || q->has_material || ice_counts(q))
        return false; /* ice stands still */
    return q->liquid == BK_HEAT_THIN || (q->liquid == BK_HEAT_THICK && end == BK_HEAT_STRONG);
}

bool bk_trial_needed(const bk_heat_question *q)
{
    bool vessel = q->shape != BK_HEAT_BALL;
    bool bath = q->place == BK_HEAT_WATER_BATH || q->place == BK_HEAT_ICE_BATH;
    return (vessel && q->tin != BK_HEAT_TIN_NONE) || (vessel && q->cover != BK_HEAT_COVER_NONE) ||
           (vessel && bath && !(q->surface[BK_HEAT_TYPICAL] > 0.0)) || q->below.deep > 0.0 ||
           q->leg_count > 0 || q->stirred || q->liquid != BK_HEAT_SOLID || hot(q) ||
           fat_counts(q) || ice_counts(q) || vapour_counts(q);
}

/* -------------------------------------------------------------------- body */

/* The grid of a question, and which of its cells are the food and what is below. */
typedef struct body {
    bk_grid *grid;
    size_t out;       /* columns that are food */
    size_t below, up; /* rows of the layer below: [below_from, below); of the food: [below, up) */
    size_t below_from;
} body;

/* Fat of milk that sets late gives its heat late: none of it at the strong end of a
 * cooling. What melts takes all of it. */
static const bk_thermal *thermal_of(bk_arena *arena, const bk_heat_question *q,
                                    enum bk_heat_end end, const bk_composition *composition,
                                    double from)
{
    bool cooling = q->air_c < from;
    double setting = cooling && end == BK_HEAT_STRONG ? 0.0 : 1.0;
    bk_thermal *thermal = BK_NEW(arena, bk_thermal, 1);
    bk_thermal_of(thermal, composition, setting);
    return thermal;
}

static void fill_wall(body *b, const bk_heat_question *q)
{
    const bk_wall *wall = bk_heat_wall(q->tin);
    bk_material m = {wall->conductivity, 1000.0, wall->stored / 1000.0};
    bk_grid *g = b->grid;
    bk_grid_fill(g, 0, g->out, 0, b->below_from, m, NULL,
                 b->below > b->below_from ? q->below.from_c : q->from_c);
    if (g->out > b->out) {
        bk_grid_fill(g, b->out, g->out, 0, b->below, m, NULL,
                     b->below > b->below_from ? q->below.from_c : q->from_c);
        bk_grid_fill(g, b->out, g->out, b->below, b->up, m, NULL, q->from_c);
    }
}

static void fill_below(bk_arena *arena, body *b, const bk_heat_question *q, enum bk_heat_end end)
{
    const bk_heat_below *l = &q->below;
    const bk_thermal *thermal =
        l->has_material ? NULL : thermal_of(arena, q, end, &l->composition, l->from_c);
    bk_grid_fill(b->grid, 0, b->out, b->below_from, b->below, l->material, thermal, l->from_c);
}

/* What insulates the base lies between food and tin, as crumbs do: only at the strong end
 * does metal touch the food there, and lead heat to the sides. */
static bool base_touches(const bk_heat_question *q, enum bk_heat_end end)
{
    const double thick = 0.01; /* food beside which the metal's own heat is nothing */
    return !q->base_insulated ||
           (end == BK_HEAT_STRONG && q->tin == BK_HEAT_TIN_METAL && q->deep >= thick);
}

/* A tray is the round of the same area; a very wide one has no side. */
static body body_of(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end)
{
    bk_material m = bk_question_material(q);
    const bk_thermal *thermal = fat_counts(q) || ice_counts(q) || vapour_counts(q)
                                    ? thermal_of(arena, q, end, &q->composition, q->from_c)
                                    : NULL;
    if (q->shape == BK_HEAT_BALL) {
        body b = {
            bk_grid_new(arena, BK_METRIC_SPHERE, LINE_CELLS, 0.5 * q->across, 1, 1.0, m, q->from_c),
            LINE_CELLS, 0, 1, 0};
        bk_grid_fill(b.grid, 0, b.out, 0, 1, m, thermal, q->from_c);
        return b;
    }
    double wall = bk_heat_wall(q->tin)->thickness;
    bool wide = !isfinite(q->across);
    bool latent = thermal || q->below.deep > 0.0;
    size_t rows = wide ? LINE_CELLS : latent ? LATENT_UP : UP_CELLS;
    size_t bottom = wall > 0.0 && base_touches(q, end) ? 1 : 0;
    body b = {.out = wide ? 1 : latent ? LATENT_OUT : OUT_CELLS, .below_from = bottom};
    b.below = bottom + (q->below.deep > 0.0 ? BELOW_CELLS : 0);
    b.up = b.below + rows;
    size_t out = b.out + (!wide && wall > 0.0 ? 1 : 0);
    double radius = wide ? 1.0 : q->shape == BK_HEAT_SLAB ? q->across / sqrt(pi) : 0.5 * q->across;
    b.grid = bk_grid_new(arena, wide ? BK_METRIC_PLANE : BK_METRIC_CYLINDER, out, radius, b.up, 1.0,
                         m, q->from_c);
    double faces[OUT_CELLS + 1];
    for (size_t i = 0; i < b.out; i++)
        faces[i] = radius * (double)(i + 1) / (double)b.out;
    faces[b.out] = radius + wall;
    bk_grid_columns(b.grid, faces);
    bk_grid_heights(b.grid, 0, bottom, wall);
    bk_grid_heights(b.grid, bottom, b.below, q->below.deep / BELOW_CELLS);
    bk_grid_heights(b.grid, b.below, b.up, q->deep / (double)rows);
    fill_wall(&b, q);
    if (b.below > bottom)
        fill_below(arena, &b, q, end);
    bk_grid_fill(b.grid, 0, b.out, b.below, b.up, m, thermal, q->from_c);
    return b;
}

/* The surfaces of one place; the wall is part of the grid. */
static void put_in_place(body *b, const bk_heat_question *q, enum bk_heat_end end)
{
    bk_surface s[3];
    bk_surfaces_of(q, end, s);
    if (q->shape == BK_HEAT_BALL) {
        bk_grid_surfaces(b->grid, (bk_surface){0}, s[BK_SURFACE_SIDE], (bk_surface){0}, q->air_c);
        return;
    }
    for (int i = BK_SURFACE_SIDE; i <= BK_SURFACE_BASE; i++)
        if (s[i].coefficient > 0.0) {
            s[i].inner = INFINITY;
            s[i].coefficient = s[i].open;
        }
    if (!isfinite(q->across))
        s[BK_SURFACE_SIDE] = (bk_surface){0};
    bk_grid_surfaces(b->grid, s[BK_SURFACE_TOP], s[BK_SURFACE_SIDE], s[BK_SURFACE_BASE], q->air_c);
}

/* ---------------------------------------------------------------- watching */

typedef struct following {
    const body *body;
    double since; /* s from the first place to this one */
    size_t leg;
    bk_trial_watch *watch;
    void *context;
    bool stopped;
} following;

static double mean_of(const body *b)
{
    double sum = 0.0, whole = 0.0;
    for (size_t j = b->below; j < b->up; j++)
        for (size_t i = 0; i < b->out; i++) {
            double v = bk_grid_volume(b->grid, j * b->grid->out + i);
            sum += v * b->grid->temperature[j * b->grid->out + i];
            whole += v;
        }
    return sum / whole;
}

static bool tell(following *f, double at)
{
    const body *b = f->body;
    bk_trial_point point = {
        .seconds = f->since + at,
        .warmest = bk_grid_extreme(b->grid, b->out, b->below, b->up, false),
        .coldest = bk_grid_extreme(b->grid, b->out, b->below, b->up, true),
        .mean = mean_of(b),
        .below_warmest = b->below > b->below_from
                             ? bk_grid_extreme(b->grid, b->out, b->below_from, b->below, false)
                             : NAN,
        .leg = f->leg};
    f->stopped = !f->watch(f->context, &point);
    return !f->stopped;
}

static bool follow(void *context, double at)
{
    return tell(context, at);
}

/* Steps: a small part of the time heat takes to cross the food, then of the time passed,
 * and no more than a part of the time it takes to leave. */
static bk_pace pace_of(const bk_heat_question *q, const body *b, enum bk_heat_end end)
{
    bk_material m = bk_question_material(q);
    const bk_thermal *thermal = b->grid->thermal[b->below * b->grid->out];
    double way = q->shape == BK_HEAT_BALL ? 0.5 * q->across : fmin(q->deep, 0.5 * q->across);
    double store = m.density * m.heat_capacity, cross = way * way * store / m.conductivity;
    double whole = store;
    if (thermal && q->from_c != q->air_c)
        whole = (bk_thermal_heat(thermal, q->from_c) - bk_thermal_heat(thermal, q->air_c)) /
                (q->from_c - q->air_c);
    double leave =
        (way + q->below.deep) * (way / m.conductivity + 1.0 / bk_question_surface(q, end));
    leave *= fmax(whole, store);
    double part = thermal ? 0.02 : 0.04;
    return (bk_pace){2e-4 * cross + 5e-4 * leave, part, 2.0 * part * leave, 15.0 * leave};
}

void bk_trial_run(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end, double seconds,
                  bk_trial_watch *watch, void *context)
{
    if (bk_trial_mixes(q, end)) {
        bk_liquid_run(q, end, seconds, watch, context);
        return;
    }
    bk_mark mark = bk_arena_mark(arena);
    body b = body_of(arena, q, end);
    bk_pace pace = pace_of(q, &b, end);
    following f = {.body = &b, .watch = watch, .context = context};
    tell(&f, 0.0);
    for (size_t n = 0; n <= q->leg_count && !f.stopped && f.since < seconds; n++) {
        bk_heat_question there = bk_trial_at(q, n);
        double span = n < q->leg_count ? 60.0 * q->legs[n].minutes : seconds;
        f.leg = n;
        put_in_place(&b, &there, end);
        bk_grid_run(b.grid, fmin(span, seconds - f.since), pace, follow, &f);
        f.since += span;
    }
    bk_arena_release(arena, mark);
}

bk_heat_question bk_trial_at(const bk_heat_question *q, size_t leg)
{
    bk_heat_question there = *q;
    if (leg < q->leg_count) {
        there.place = q->legs[leg].place;
        there.air_c = q->legs[leg].air_c;
        for (int i = 0; i < 3; i++)
            there.surface[i] = 0.0; /* what was said of the surface holds in the last place */
    }
    return there;
}
