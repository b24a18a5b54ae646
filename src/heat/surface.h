/* How a surface gives heat to the air when it is hot: more than in proportion.
 *
 * The table of places (place.c) stands for food up to 25 K warmer than the air. Hotter
 * food loses more: air rises faster past it, it radiates more, and a bare wet top
 * steams. What is added is the difference between those at the temperature it has and
 * at 25 K above the air, so that nothing jumps there.
 *
 * Free convection: the simplified laminar plate formulas, h = c (difference / size)^1/4
 * with c 1.32 above, 1.42 at the side, 0.59 below (Holman, Heat Transfer, from memory).
 * Radiation: emissivity 0.95 to walls at the air's temperature, and metal 0.3. Steam: the
 * analogy of Chilton and Colburn, h_mass = h / (rho cp Le^2/3) with Lewis number 0.85, and
 * the saturation pressure of Magnus (Cengel, Heat and Mass Transfer, ch. 14; WMO).
 */
#ifndef BK_HEAT_SURFACE_H
#define BK_HEAT_SURFACE_H

#include "heat/heat.h"

enum { BK_SURFACE_TOP, BK_SURFACE_SIDE, BK_SURFACE_BASE };

typedef struct bk_surface {
    double
        coefficient; /* W/(m2 K) up to 25 K above the air, wall and cover included; 0: insulated */
    bool changes;    /* the rest counts */
    double open;     /* W/(m2 K) without wall and cover */
    double inner;    /* W/(m2 K) of wall and cover alone; INFINITY: none */
    double rising;   /* W/(m2 K^5/4) of free convection: c / size^1/4; 0: air that a fan moves */
    double moved;    /* W/(m2 K) of convection in air that a fan moves */
    double emissivity;
    double steams; /* 0 to 1 of what a bare wet surface would steam */
} bk_surface;

/* The whole coefficient, W/(m2 K), with the outer surface at `celsius`. */
double bk_surface_at(const bk_surface *surface, double celsius, double air);

/* Heat that steam takes from a wet surface, W/m2, with a convection coefficient `h`. */
double bk_steam(double celsius, double air, double h);

/* The surfaces of a question at one end, by BK_SURFACE_TOP and so on, in the place it is. */
void bk_surfaces_of(const bk_heat_question *question, enum bk_heat_end end, bk_surface surface[3]);

/* Food hotter than this above the air, K, loses more than the table says. */
#define BK_SURFACE_TABLE 25.0

#endif
