/* Roots of functions of one variable, between two points of opposite sign. */
#ifndef BK_HEAT_BRACKET_H
#define BK_HEAT_BRACKET_H

typedef double bk_function(const void *context, double x);

/* The root of f between `low` and `high`, to about `tolerance` in x plus the
 * rounding of a double. f must change sign between them (a zero at an end
 * counts); it is evaluated at most 200 times and always inside. Brent, Algorithms
 * for Minimization without Derivatives, 1973, ch. 4: never worse than a few
 * bisections, never outside. */
double bk_root(bk_function *f, const void *context, double low, double high, double tolerance);

/* Where f is greatest between `low` and `high`, f having one hump there; golden
 * section to `tolerance` in x. */
double bk_highest(bk_function *f, const void *context, double low, double high, double tolerance);

#endif
