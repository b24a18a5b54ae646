/* Heat content and conductivity of food over the whole range of temperatures, where
 * ice and fat that set give off far more heat than the food's capacity tells. */
#ifndef BK_HEAT_THERMAL_H
#define BK_HEAT_THERMAL_H

#include "heat/heat.h"

enum { BK_THERMAL_POINTS = 260 };

/* Between the points everything is a straight line; beyond the ends too. */
typedef struct bk_thermal {
    size_t count;
    double celsius[BK_THERMAL_POINTS];      /* ascending */
    double heat[BK_THERMAL_POINTS];         /* J/m3 above that at the first point, ascending */
    double conductivity[BK_THERMAL_POINTS]; /* W/(m K) */
} bk_thermal;

/* The table of a composition, with its ice and `setting` (0 to 1) of the heat of its
 * milk fat. Density is that of the food at 0 C throughout: a body keeps its size. */
void bk_thermal_of(bk_thermal *thermal, const bk_composition *composition, double setting);

double bk_thermal_heat(const bk_thermal *thermal, double celsius);
double bk_thermal_celsius(const bk_thermal *thermal, double heat);
double bk_thermal_conductivity(const bk_thermal *thermal, double celsius);

/* J/(m3 K), of the piece that `celsius` is in. */
double bk_thermal_store(const bk_thermal *thermal, double celsius);

#endif
