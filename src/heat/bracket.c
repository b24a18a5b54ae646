#include "heat/bracket.h"

#include <float.h>
#include <math.h>

enum { MOST_STEPS = 200 };

double bk_root(bk_function *f, const void *context, double low, double high, double tolerance)
{
    /* b is the best point, [b, c] holds the root, a is the point before b. */
    double a = low, b = high;
    double fa = f(context, a), fb = f(context, b);
    double c = a, fc = fa, step = b - a, step_before = step;

    for (int i = 0; i < MOST_STEPS && fb != 0.0; i++) {
        if ((fb > 0.0) == (fc > 0.0)) {
            c = a;
            fc = fa;
            step = step_before = b - a;
        }
        if (fabs(fc) < fabs(fb)) {
            a = b;
            b = c;
            c = a;
            fa = fb;
            fb = fc;
            fc = fa;
        }
        double near = 2.0 * DBL_EPSILON * fabs(b) + 0.5 * tolerance;
        double half = 0.5 * (c - b);
        if (fabs(half) <= near)
            break;
        if (fabs(step_before) < near || fabs(fa) <= fabs(fb)) {
            step = step_before = half;
        } else {
            double s = fb / fa, p, q;
            if (a == c) { /* secant */
                p = 2.0 * half * s;
                q = 1.0 - s;
            } else { /* inverse quadratic */
                double u = fa / fc, v = fb / fc;
                p = s * (2.0 * half * u * (u - v) - (b - a) * (v - 1.0));
                q = (u - 1.0) * (v - 1.0) * (s - 1.0);
            }
            if (p > 0.0)
                q = -q;
            else
                p = -p;
            if (2.0 * p < 3.0 * half * q - fabs(near * q) && p < fabs(0.5 * step_before * q)) {
                step_before = step;
                step = p / q;
            } else {
                step = step_before = half;
            }
        }
        a = b;
        fa = fb;
        b += fabs(step) > near ? step : copysign(near, half);
        fb = f(context, b);
    }
    return b;
}

double bk_highest(bk_function *f, const void *context, double low, double high, double tolerance)
{
    const double golden = 0.5 * (sqrt(5.0) - 1.0);
    double left = high - golden * (high - low), right = low + golden * (high - low);
    double fleft = f(context, left), fright = f(context, right);

    for (int i = 0; i < MOST_STEPS && high - low > tolerance; i++) {
        if (fleft < fright) {
            low = left;
            left = right;
            fleft = fright;
            right = low + golden * (high - low);
            fright = f(context, right);
        } else {
            high = right;
            right = left;
            fright = fleft;
            left = high - golden * (high - low);
            fleft = f(context, left);
        }
    }
    return 0.5 * (low + high);
}
