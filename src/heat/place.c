/* How well places and walls take heat from food. */
#include "heat/heat.h"

/* W/(m2 K), convection and radiation together: weak, typical, strong. Free
 * convection alone gives 1-4 on a dessert 5 K above the air (simplified laminar
 * plate formulas) and radiation to walls of the air's temperature 4.8; textbook
 * ranges are 2-25 for free and 25-250 for forced convection in gases. The ranges
 * here are common practice; docs/cooling.md says how far they can be checked. */
static const struct {
    const char *name;
    double coefficient[3];
} places[BK_HEAT_PLACES] = {
    [BK_HEAT_FRIDGE] = {"still fridge", {5.0, 8.0, 10.0}},
    [BK_HEAT_FRIDGE_FAN] = {"fridge with a fan", {10.0, 14.0, 25.0}},
    [BK_HEAT_FREEZER] = {"still freezer", {5.0, 8.0, 12.0}},
    [BK_HEAT_FREEZER_FAN] = {"freezer with a fan", {15.0, 20.0, 30.0}},
    [BK_HEAT_ROOM] = {"room", {6.0, 8.0, 12.0}},
    [BK_HEAT_WATER_BATH] = {"cold-water bath", {50.0, 100.0, 200.0}},
    [BK_HEAT_ICE_BATH] = {"ice bath", {100.0, 200.0, 300.0}},
};

/* Usual thickness and conductivity of kitchen ware; heat stored is density times
 * heat capacity (textbook values, from memory). */
static const bk_wall walls[BK_HEAT_TINS] = {
    [BK_HEAT_TIN_NONE] = {"no tin", 0.0, 1.0, 0.0},
    [BK_HEAT_TIN_METAL] = {"metal tin", 0.0005, 50.0, 3.8e6},
    [BK_HEAT_TIN_GLASS] = {"glass dish", 0.005, 1.0, 2.1e6},
    [BK_HEAT_TIN_CERAMIC] = {"ceramic dish", 0.008, 1.5, 2.0e6},
    [BK_HEAT_TIN_SILICONE] = {"silicone mould", 0.002, 0.2, 1.4e6},
};

double bk_surface_coefficient(enum bk_heat_place place, enum bk_heat_end end)
{
    return places[place].coefficient[end];
}

const char *bk_heat_place_name(enum bk_heat_place place)
{
    return places[place].name;
}

enum bk_heat_place bk_heat_place_of(bool in_room, double air_c, bool fan)
{
    if (in_room)
        return BK_HEAT_ROOM;
    if (air_c < BK_HEAT_FREEZING)
        return fan ? BK_HEAT_FREEZER_FAN : BK_HEAT_FREEZER;
    return fan ? BK_HEAT_FRIDGE_FAN : BK_HEAT_FRIDGE;
}

const bk_wall *bk_heat_wall(enum bk_heat_tin tin)
{
    return &walls[tin];
}

double bk_through_wall(double coefficient, double thickness, double conductivity)
{
    return 1.0 / (1.0 / coefficient + thickness / conductivity);
}
