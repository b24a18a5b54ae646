/* Transient conduction in one dimension by eigenfunction series.
 *
 * A wall, a long cylinder or a ball starts at one temperature everywhere and
 * gives off heat by its surface to surroundings of another. theta is the part of
 * the difference still there: (T - Ta) / (Ti - Ta), 1 at first, 0 at last.
 *
 *   theta(x, Fo) = sum C_n X_n(x) exp(-zeta_n^2 Fo)
 *
 * with x = place / length, Fo = diffusivity * time / length^2, Bi = h length / k.
 * The length is the radius, or the wall's whole thickness with a Biot number for
 * each face; a wall cooled alike on both faces is also the half wall from its
 * middle, length half the thickness, Bi 0 at face 0. Carslaw & Jaeger, Conduction
 * of Heat in Solids, 1959, ch. 3, 7, 9; Ozisik, Heat Conduction, tables 2-2, 3-1.
 */
#ifndef BK_HEAT_SERIES_H
#define BK_HEAT_SERIES_H

#include <stdbool.h>
#include <stddef.h>

enum bk_series_shape { BK_SERIES_WALL, BK_SERIES_CYLINDER, BK_SERIES_SPHERE };

enum { BK_SERIES_TERMS = 500 };

typedef struct bk_series {
    enum bk_series_shape shape;
    double biot0; /* wall: at face x = 0; 0 for the others */
    double biot;  /* wall: at face x = 1; cylinder, sphere: at the surface */
    size_t count; /* roots found so far: they are added as the time asked needs them */
    double root[BK_SERIES_TERMS];
    double coefficient[BK_SERIES_TERMS];
} bk_series;

/* A series without terms yet. Biot numbers >= 0, finite; 0 means insulated. */
void bk_series_begin(bk_series *series, enum bk_series_shape shape, double biot0, double biot);

/* Finds roots until there are `count` of them (at most BK_SERIES_TERMS). */
void bk_series_extend(bk_series *series, size_t count);

/* The n-th eigenfunction (from 0; its root must have been found) at x in 0..1. */
double bk_series_shape_at(const bk_series *series, size_t n, double x);

/* theta at x in 0..1 and Fourier number >= 0. Truncation below 1e-10 while the
 * terms suffice (Fo above about 1e-5); for shorter times the solution of the
 * half-infinite body is used, which leaves out the curvature of cylinder and ball:
 * an error below 2e-5 Bi there. */
double bk_series_theta(bk_series *series, double x, double fourier);

/* The greatest theta anywhere in the body: at the middle, at an insulated face, or,
 * for a wall with two different faces, where it is found to be. */
double bk_series_greatest(bk_series *series, double fourier);

/* The mean of theta over the body (weighted by volume): what is left of the heat. */
double bk_series_mean(bk_series *series, double fourier);

#endif
