#include "heat/body.h"

#include "heat/bracket.h"

double bk_question_surface(const bk_heat_question *question, enum bk_heat_end end)
{
    double given = question->surface[end];
    return given > 0.0 && isfinite(given) ? given : bk_surface_coefficient(question->place, end);
}

bk_faces bk_faces_of(const bk_heat_question *question, enum bk_heat_end end)
{
    double h = bk_question_surface(question, end);
    const bk_wall *wall = bk_heat_wall(question->tin);
    double through = bk_through_wall(h, wall->thickness, wall->conductivity);

    if (question->shape == BK_HEAT_BALL)
        return (bk_faces){h, h, h};
    return (bk_faces){h, through, question->base_insulated ? 0.0 : through};
}

void bk_body_begin(bk_body *body, const bk_heat_question *question, bk_material material,
                   bk_faces faces)
{
    double k = material.conductivity, store = material.density * material.heat_capacity;
    double half = 0.5 * question->across;

    body->diffusivity = k / store;
    body->wall = 0.0;
    body->count = 1;
    if (question->shape == BK_HEAT_BALL) {
        body->factor[0].length = half;
        body->factor[0].power = 1;
        bk_series_begin(&body->factor[0].series, BK_SERIES_SPHERE, 0.0, faces.side * half / k);
        return;
    }
    const bk_wall *wall = bk_heat_wall(question->tin);
    body->wall = wall->thickness * wall->stored / store;
    double deep = question->deep + body->wall;
    half += body->wall;
    body->factor[0].length = deep;
    body->factor[0].power = 1;
    bk_series_begin(&body->factor[0].series, BK_SERIES_WALL, faces.base * deep / k,
                    faces.top * deep / k);
    if (!isfinite(half))
        return;
    bool round = question->shape == BK_HEAT_ROUND;
    body->count = 2;
    body->factor[1].length = half;
    body->factor[1].power = round ? 1 : 2;
    bk_series_begin(&body->factor[1].series, round ? BK_SERIES_CYLINDER : BK_SERIES_WALL, 0.0,
                    faces.side * half / k);
}

static double fourier(const bk_body *body, size_t i, double seconds)
{
    double length = body->factor[i].length;
    return body->diffusivity * seconds / (length * length);
}

double bk_body_slowest(bk_body *body, double seconds)
{
    double theta = 1.0;
    for (size_t i = 0; i < body->count; i++) {
        double one = bk_series_greatest(&body->factor[i].series, fourier(body, i, seconds));
        theta *= body->factor[i].power == 2 ? one * one : one;
    }
    return theta;
}

double bk_body_at(bk_body *body, double along, double over, double up, double seconds)
{
    bk_factor *f = body->factor;
    bool ball = f[0].series.shape == BK_SERIES_SPHERE;
    double x = ball ? fabs(along) / f[0].length : (up + body->wall) / f[0].length;
    double theta = bk_series_theta(&f[0].series, x, fourier(body, 0, seconds));

    if (body->count == 2) {
        double fo = fourier(body, 1, seconds);
        theta *= bk_series_theta(&f[1].series, fabs(along) / f[1].length, fo);
        if (f[1].power == 2)
            theta *= bk_series_theta(&f[1].series, fabs(over) / f[1].length, fo);
    }
    return theta;
}

/* How fast the body cools once only the first terms are left, 1/s. */
static double final_rate(bk_body *body)
{
    double rate = 0.0;
    for (size_t i = 0; i < body->count; i++) {
        bk_factor *f = &body->factor[i];
        bk_series_extend(&f->series, 1);
        if (f->series.count == 0)
            continue; /* insulated */
        double z = f->series.root[0] / f->length;
        rate += f->power * z * z * body->diffusivity;
    }
    return rate;
}

typedef struct target {
    bk_body *body;
    double theta;
} target;

static double above_target(const void *context, double seconds)
{
    const target *t = context;
    return bk_body_slowest(t->body, seconds) - t->theta;
}

double bk_body_time(bk_body *body, double theta, double longest)
{
    target t = {body, theta};
    double rate = final_rate(body);
    if (!(rate > 0.0) || above_target(&t, longest) > 0.0)
        return INFINITY;

    /* One term alone would be there at -ln(theta) / rate, the whole series after it
     * (the first coefficients are above 1). theta falls steadily, so the first
     * doubling below the target brackets the only crossing. */
    double low = 0.0, high = fmin(-log(theta) / rate, longest);
    while (high < longest && above_target(&t, high) > 0.0) {
        low = high;
        high = fmin(2.0 * high, longest);
    }
    return bk_root(above_target, &t, low, high, 0.01);
}
