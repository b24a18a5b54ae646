#include "heat/surface.h"

#include "heat/body.h"

static double kelvin(double celsius)
{
    return celsius + 273.15;
}

static double radiation(double emissivity, double celsius, double air)
{
    const double stefan_boltzmann = 5.670e-8;
    double a = kelvin(celsius), b = kelvin(air);
    return emissivity * stefan_boltzmann * (a * a + b * b) * (a + b);
}

/* Water in air that is full of it, kg/m3. */
static double saturated(double celsius)
{
    double t = fmin(celsius, 100.0);
    return 611.2 * exp(17.62 * t / (243.12 + t)) / (461.5 * kelvin(t));
}

double bk_steam(double celsius, double air, double h)
{
    const double air_store = 1.2 * 1006.0 /* J/(m3 K) */, lewis = 0.85, humidity = 0.5;
    double t = fmin(celsius, 100.0);
    double latent = 2.501e6 - 2360.0 * t;
    double water = saturated(t) - humidity * saturated(air);
    return fmax(0.0, h / (air_store * cbrt(lewis * lewis)) * water * latent);
}

static double convection(const bk_surface *s, double above)
{
    return s->rising > 0.0 ? s->rising * sqrt(sqrt(above)) : s->moved;
}

/* What grows with heat, W/(m2 K): of air and radiation, and of steam. */
static double dry(const bk_surface *s, double celsius, double air)
{
    double moved = s->rising > 0.0 ? convection(s, celsius - air) : 0.0;
    return moved + radiation(s->emissivity, celsius, air);
}

static double steam(const bk_surface *s, double celsius, double air)
{
    double above = celsius - air;
    return s->steams > 0.0 ? s->steams * bk_steam(celsius, air, convection(s, above)) / above : 0.0;
}

double bk_surface_at(const bk_surface *s, double celsius, double air)
{
    double table = air + BK_SURFACE_TABLE;
    if (!s->changes || !(celsius > table))
        return s->coefficient;
    double more = fmax(0.0, dry(s, celsius, air) - dry(s, table, air)) +
                  fmax(0.0, steam(s, celsius, air) - steam(s, table, air));
    return 1.0 / (1.0 / (s->open + more) + 1.0 / s->inner);
}

/* The air between food and a lid or foil: conduction through 2 cm of air and radiation
 * between the two. A lid takes it as food does, bright foil a twentieth. */
static double gap(enum bk_heat_cover cover)
{
    const double air = 0.025 / 0.02, black = 5.1;
    switch (cover) {
    case BK_HEAT_COVER_LID:
        return air + 0.9 * black;
    case BK_HEAT_COVER_FOIL:
        return air + 0.05 * black;
    case BK_HEAT_COVER_NONE:
    case BK_HEAT_COVER_FILM:
        break;
    }
    return INFINITY;
}

/* Part of a wet surface's steam that counts: none at the weak end, where a skin or a crust
 * holds it; all at the strong one; between them all of a liquid's and half of the rest's. */
static double steams(const bk_heat_question *q, enum bk_heat_end end)
{
    bool wet = q->has_material ? false : q->composition.water >= 0.5;
    if (!wet || q->cover != BK_HEAT_COVER_NONE || end == BK_HEAT_WEAK)
        return 0.0;
    if (end == BK_HEAT_STRONG || q->liquid != BK_HEAT_SOLID || q->stirred)
        return 1.0;
    return 0.5;
}

static bool in_water(enum bk_heat_place place)
{
    return place == BK_HEAT_WATER_BATH || place == BK_HEAT_ICE_BATH;
}

static bool in_wind(enum bk_heat_place place)
{
    return place == BK_HEAT_FRIDGE_FAN || place == BK_HEAT_FREEZER_FAN;
}

void bk_surfaces_of(const bk_heat_question *q, enum bk_heat_end end, bk_surface surface[3])
{
    static const double rising[3] = {1.32, 1.42, 0.59};
    const double still_radiation = 4.8; /* of the table's coefficient, near fridge and room */
    const bk_wall *wall = bk_heat_wall(q->shape == BK_HEAT_BALL ? BK_HEAT_TIN_NONE : q->tin);
    double h = bk_question_surface(q, end);
    double wide = isfinite(q->across) ? q->across : 0.3;
    for (int i = 0; i < 3; i++) {
        bk_surface *s = &surface[i];
        double size = i == BK_SURFACE_SIDE && q->shape != BK_HEAT_BALL ? q->deep : wide;
        bool own = q->surface[BK_HEAT_TYPICAL] > 0.0; /* said, not ours to change */
        bool open_top = i == BK_SURFACE_TOP && q->shape != BK_HEAT_BALL;
        *s = (bk_surface){.open = h, .inner = INFINITY, .emissivity = 0.95};
        if (open_top && in_water(q->place) && !own)
            s->open = bk_surface_coefficient(BK_HEAT_ROOM, end); /* the water is round it */
        if (in_wind(q->place))
            s->moved = fmax(0.0, s->open - still_radiation);
        else
            s->rising = rising[i] / sqrt(sqrt(size));
        if (open_top) {
            s->inner = gap(q->cover);
            s->steams = steams(q, end);
        } else if (wall->thickness > 0.0) {
            s->inner = wall->conductivity / wall->thickness;
            if (q->tin == BK_HEAT_TIN_METAL)
                s->emissivity = 0.3;
        }
        s->changes = !own && !(in_water(q->place) && !open_top);
        s->coefficient = 1.0 / (1.0 / s->open + 1.0 / s->inner);
    }
    if (q->base_insulated && q->shape != BK_HEAT_BALL)
        surface[BK_SURFACE_BASE] = (bk_surface){.coefficient = 0.0};
}
