#include "heat/thermal.h"

#include <stdlib.h>

/* Melting ice at 0 C, J/kg; fat of milk that is wholly set, J/kg (70-100, from memory). */
static const double ice_heat = 333.6e3, fat_heat = 80.0e3;

/* Milk fat that is set, part by mass, at rest: about 0.5 at 10 C and 0.2 at 20 C (Mulder
 * and Walstra, The Milk Fat Globule, 1974, from memory; butter at 10 C has 35-41 % liquid
 * fat in calorimetry). */
static const struct {
    double celsius, set;
} milk_fat[] = {{-40.0, 1.0}, {-20.0, 0.90}, {0.0, 0.70},  {5.0, 0.62},  {10.0, 0.52}, {15.0, 0.36},
                {20.0, 0.21}, {25.0, 0.12},  {30.0, 0.06}, {35.0, 0.02}, {40.0, 0.0}};
enum { FAT_POINTS = sizeof milk_fat / sizeof milk_fat[0] };

static double fat_set(double celsius)
{
    if (celsius <= milk_fat[0].celsius)
        return milk_fat[0].set;
    for (int i = 1; i < FAT_POINTS; i++)
        if (celsius <= milk_fat[i].celsius) {
            double part = (celsius - milk_fat[i - 1].celsius) /
                          (milk_fat[i].celsius - milk_fat[i - 1].celsius);
            return milk_fat[i - 1].set + part * (milk_fat[i].set - milk_fat[i - 1].set);
        }
    return 0.0;
}

static double bound_water(const bk_composition *c)
{
    return fmin(c->water, 0.4 * c->protein);
}

double bk_freezing_point(const bk_composition *c)
{
    double free = c->water - bound_water(c);
    if (!(free > 1e-4))
        return -INFINITY;
    double other = c->carbohydrate + c->fibre;
    return -(4.66 * other + 46.4 * c->ash) / c->water;
}

double bk_ice_fraction(const bk_composition *c, double celsius)
{
    double freezing = bk_freezing_point(c);
    if (celsius >= freezing || celsius >= 0.0)
        return 0.0;
    return (c->water - bound_water(c)) * (1.0 - freezing / celsius);
}

/* ------------------------------------------------------------------- table */

static int ascending(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* Every degree, and close together below the freezing point, where most ice forms. */
static size_t points_of(double freezing, double *celsius)
{
    size_t count = 0;
    for (int t = -40; t <= 150; t++)
        celsius[count++] = t;
    if (freezing > -40.0 && freezing < 40.0) {
        celsius[count++] = freezing;
        for (double below = 0.01; below < 12.0; below *= 1.25)
            if (freezing - below > -40.0)
                celsius[count++] = freezing - below;
    }
    qsort(celsius, count, sizeof *celsius, ascending);
    size_t kept = 1;
    for (size_t i = 1; i < count; i++)
        if (celsius[i] - celsius[kept - 1] > 1e-6)
            celsius[kept++] = celsius[i];
    return kept;
}

void bk_thermal_of(bk_thermal *thermal, const bk_composition *c, double setting)
{
    double *t = thermal->celsius;
    bk_composition whole = bk_composition_scaled(c);
    double density = bk_material_of(&whole, 0.0).density;
    thermal->count = points_of(bk_freezing_point(&whole), t);
    thermal->heat[0] = 0.0;
    for (size_t i = 0; i < thermal->count; i++) {
        thermal->conductivity[i] =
            bk_frozen_conductivity(&whole, bk_ice_fraction(&whole, t[i]), t[i]);
        if (i == 0)
            continue;
        double middle = 0.5 * (t[i] + t[i - 1]);
        double ice = bk_ice_fraction(&whole, t[i - 1]), next = bk_ice_fraction(&whole, t[i]);
        double heat = bk_frozen_capacity(&whole, 0.5 * (ice + next), middle) * (t[i] - t[i - 1]) +
                      ice_heat * (ice - next) +
                      setting * fat_heat * whole.milk_fat * (fat_set(t[i - 1]) - fat_set(t[i]));
        thermal->heat[i] = thermal->heat[i - 1] + density * heat;
    }
}

/* The piece [i, i + 1] of an ascending list that holds x, or the nearest. */
static size_t piece(const double *list, size_t count, double x)
{
    size_t low = 0, high = count - 1;
    while (high - low > 1) {
        size_t middle = (low + high) / 2;
        if (x < list[middle])
            high = middle;
        else
            low = middle;
    }
    return low;
}

static double along(const double *x, const double *y, size_t i, double at)
{
    return y[i] + (at - x[i]) * (y[i + 1] - y[i]) / (x[i + 1] - x[i]);
}

double bk_thermal_heat(const bk_thermal *t, double celsius)
{
    return along(t->celsius, t->heat, piece(t->celsius, t->count, celsius), celsius);
}

double bk_thermal_celsius(const bk_thermal *t, double heat)
{
    return along(t->heat, t->celsius, piece(t->heat, t->count, heat), heat);
}

double bk_thermal_conductivity(const bk_thermal *t, double celsius)
{
    double inside = fmin(fmax(celsius, t->celsius[0]), t->celsius[t->count - 1]);
    return along(t->celsius, t->conductivity, piece(t->celsius, t->count, inside), inside);
}

double bk_thermal_store(const bk_thermal *t, double celsius)
{
    size_t i = piece(t->celsius, t->count, celsius);
    return (t->heat[i + 1] - t->heat[i]) / (t->celsius[i + 1] - t->celsius[i]);
}
