#define _XOPEN_SOURCE 700 /* j0, j1 */

#include "heat/series.h"

#include "heat/bracket.h"

#include <math.h>

static const double pi = 3.14159265358979323846;

/* Terms below this part of the whole are left out. */
static const double left_out = 1e-11;

/* sin z - z cos z, without cancellation near 0, where it is z^3/3 - z^5/30 + ... */
static double sine_less_cosine(double z)
{
    if (z > 0.5)
        return sin(z) - z * cos(z);
    double term = z * z * z / 3.0, sum = term;
    for (int k = 1; k < 10; k++) { /* ratio of (2k+2) z^(2k+3)/(2k+3)! to the one before */
        term *= -z * z * (k + 1.0) / (k * (2.0 * k + 2.0) * (2.0 * k + 3.0));
        sum += term;
    }
    return sum;
}

/* 2z - sin 2z, likewise: y - sin y with y = 2z. */
static double twice_less_sine(double z)
{
    double y = 2.0 * z;
    if (y > 0.5)
        return y - sin(y);
    double term = y * y * y / 6.0, sum = term;
    for (int k = 1; k < 10; k++) {
        term *= -y * y / ((2.0 * k + 2.0) * (2.0 * k + 3.0));
        sum += term;
    }
    return sum;
}

static double sinc(double z)
{
    return fabs(z) < 1e-8 ? 1.0 : sin(z) / z;
}

/* The eigenvalue equations, written without poles so that one sign change is one
 * root. */

static double wall_equation(const void *context, double z)
{
    const bk_series *s = context;
    return z * sin(z) - s->biot0 * s->biot * sinc(z) - (s->biot0 + s->biot) * cos(z);
}

static double cylinder_equation(const void *context, double z)
{
    const bk_series *s = context;
    return z * j1(z) - s->biot * j0(z);
}

static double sphere_equation(const void *context, double z)
{
    const bk_series *s = context;
    return sine_less_cosine(z) - s->biot * sin(z);
}

/* Where root n (from 0) lies, alone. Wall and sphere: between multiples of pi,
 * where the equation has alternating sign. Cylinder: the zeros of J0 and J1 keep
 * to (m - 1/4, m - 1/8) pi and (m + 1/8, m + 1/4) pi (Watson, Bessel Functions,
 * 15.33), and between (n + 1/8) pi and (n + 7/8) pi the equation changes sign once. */
static double find_root(const bk_series *s, size_t n)
{
    double m = (double)n, low = m * pi, high = (m + 1.0) * pi;
    bk_function *equation = wall_equation;

    if (s->shape == BK_SERIES_SPHERE) {
        equation = sphere_equation;
        if (n == 0) /* the equation is also 0 at 0; the root is near sqrt(3 Bi) or above it */
            low = 0.5 * fmin(1.0, sqrt(3.0 * s->biot));
    } else if (s->shape == BK_SERIES_CYLINDER) {
        equation = cylinder_equation;
        low = n == 0 ? 0.0 : (m + 0.125) * pi;
        high = (m + 0.875) * pi;
    }
    return bk_root(equation, s, low, high, 0.0);
}

/* integral of X over the body / integral of X^2, each weighted by volume. */
static double find_coefficient(const bk_series *s, double z)
{
    switch (s->shape) {
    case BK_SERIES_CYLINDER: {
        double a = j0(z), b = j1(z);
        return 2.0 / z * b / (a * a + b * b);
    }
    case BK_SERIES_SPHERE:
        return 4.0 * sine_less_cosine(z) / twice_less_sine(z);
    case BK_SERIES_WALL:
        break;
    }
    double a = s->biot0, b = s->biot, half = sinc(0.5 * z);
    double whole = sinc(z) + 0.5 * a * half * half;
    double norm = 0.5 * ((1.0 + a * a / (z * z)) * (1.0 + b / (z * z + b * b)) + a / (z * z));
    return whole / norm;
}

void bk_series_begin(bk_series *series, enum bk_series_shape shape, double biot0, double biot)
{
    series->shape = shape;
    /* a face this well insulated gives roots that no double tells from insulation */
    const double nothing = 1e-10;
    series->biot0 = shape == BK_SERIES_WALL && biot0 > nothing ? biot0 : 0.0;
    series->biot = biot > nothing ? biot : 0.0;
    series->count = 0;
}

static bool insulated(const bk_series *s)
{
    return !(s->biot0 > 0.0) && !(s->biot > 0.0);
}

void bk_series_extend(bk_series *series, size_t count)
{
    if (insulated(series))
        return;
    if (count > BK_SERIES_TERMS)
        count = BK_SERIES_TERMS;
    while (series->count < count) {
        size_t n = series->count;
        series->root[n] = find_root(series, n);
        series->coefficient[n] = find_coefficient(series, series->root[n]);
        series->count++;
    }
}

double bk_series_shape_at(const bk_series *series, size_t n, double x)
{
    double z = series->root[n];
    switch (series->shape) {
    case BK_SERIES_CYLINDER:
        return j0(z * x);
    case BK_SERIES_SPHERE:
        return sinc(z * x);
    case BK_SERIES_WALL:
        break;
    }
    return cos(z * x) + series->biot0 * x * sinc(z * x);
}

/* A mean of X over the body: C_n times this, squared sums, is the heat left. */
static double shape_mean(const bk_series *s, size_t n)
{
    double z = s->root[n];
    switch (s->shape) {
    case BK_SERIES_CYLINDER:
        return 2.0 * j1(z) / z;
    case BK_SERIES_SPHERE:
        return 3.0 * sine_less_cosine(z) / (z * z * z);
    case BK_SERIES_WALL:
        break;
    }
    double half = sinc(0.5 * z);
    return sinc(z) + 0.5 * s->biot0 * half * half;
}

/* Whether the terms that can be had are enough at this time. */
static bool enough_terms(double fourier)
{
    double last = (BK_SERIES_TERMS - 1) * pi;
    return last * last * fourier > 25.0;
}

/* exp(a) erfc(b), where a <= b^2: for large b the asymptotic form
 * keeps exp from overflowing while erfc underflows. */
static double exp_erfc(double a, double b)
{
    if (b < 20.0)
        return exp(a) * erfc(b);
    double q = 1.0 / (2.0 * b * b);
    return exp(a - b * b) / (b * sqrt(pi)) * (1.0 - q * (1.0 - 3.0 * q * (1.0 - 5.0 * q)));
}

/* theta at depth s below the surface of a half-infinite body (Carslaw & Jaeger
 * 2.7). */
static double half_infinite(double depth, double biot, double fourier)
{
    double root = sqrt(fourier), e = depth / (2.0 * root);
    return erf(e) + exp_erfc(biot * depth + biot * biot * fourier, e + biot * root);
}

static double short_time(const bk_series *s, double x, double fourier)
{
    double far = half_infinite(1.0 - x, s->biot, fourier);
    if (s->shape == BK_SERIES_WALL && s->biot0 > 0.0)
        far += half_infinite(x, s->biot0, fourier) - 1.0;
    return fmin(fmax(far, 0.0), 1.0);
}

double bk_series_theta(bk_series *series, double x, double fourier)
{
    x = fmin(fmax(x, 0.0), 1.0);
    if (!(fourier > 0.0) || insulated(series))
        return 1.0;
    if (!enough_terms(fourier))
        return short_time(series, x, fourier);

    double sum = 0.0;
    for (size_t n = 0; n < BK_SERIES_TERMS; n++) {
        bk_series_extend(series, n + 1);
        double z = series->root[n], decay = exp(-z * z * fourier);
        /* |C X| stays below 2 sqrt(n + 1) for the ball, below 2 for the rest */
        if (n > 0 && decay * (1.0 + (double)n) < left_out * fmax(fabs(sum), 1e-300))
            break;
        sum += series->coefficient[n] * bk_series_shape_at(series, n, x) * decay;
    }
    return fmin(fmax(sum, 0.0), 1.0);
}

typedef struct at_time {
    bk_series *series;
    double fourier;
} at_time;

static double theta_at(const void *context, double x)
{
    const at_time *a = context;
    return bk_series_theta(a->series, x, a->fourier);
}

double bk_series_greatest(bk_series *series, double fourier)
{
    if (series->shape != BK_SERIES_WALL || !(series->biot0 > 0.0))
        return bk_series_theta(series, 0.0, fourier);
    if (!(series->biot > 0.0))
        return bk_series_theta(series, 1.0, fourier);
    if (series->biot == series->biot0)
        return bk_series_theta(series, 0.5, fourier);
    at_time a = {series, fourier};
    double x = bk_highest(theta_at, &a, 0.0, 1.0, 1e-4);
    return bk_series_theta(series, x, fourier);
}

double bk_series_mean(bk_series *series, double fourier)
{
    if (!(fourier > 0.0) || insulated(series))
        return 1.0;
    double sum = 0.0;
    for (size_t n = 0; n < BK_SERIES_TERMS; n++) {
        bk_series_extend(series, n + 1);
        double z = series->root[n], decay = exp(-z * z * fourier);
        if (n > 0 && decay * (1.0 + (double)n) < left_out * sum)
            break;
        sum += series->coefficient[n] * shape_mean(series, n) * decay;
    }
    return fmin(sum, 1.0);
}
