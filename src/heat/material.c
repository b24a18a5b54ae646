/* Conductivity, density and heat capacity of food from what it is made of. */
#include "heat/heat.h"

enum { WATER, PROTEIN, FAT, CARBOHYDRATE, FIBRE, ASH, PARTS };

/* Choi and Okos, Effects of temperature and composition on the thermal
 * properties of foods, in: Food Engineering and Process Applications, 1986;
 * reprinted in ASHRAE Refrigeration, ch. 19. value = c0 + c1 t + c2 t^2, t in C.
 * The slope of the conductivity of fat is -2.7604e-4; the -2.7604e-3 of some
 * reprints is a misprint (it disagrees with the same authors' diffusivity). */
static const struct {
    double conductivity[3], density[3], heat_capacity[3];
} part_of[PARTS] = {
    [WATER] = {{0.57109, 1.7625e-3, -6.7036e-6},
               {997.18, 3.1439e-3, -3.7574e-3},
               {4176.2, -9.0864e-2, 5.4731e-3}},
    [PROTEIN] = {{0.17881, 1.1958e-3, -2.7178e-6},
                 {1329.9, -0.5184, 0.0},
                 {2008.2, 1.2089, -1.3129e-3}},
    [FAT] = {{0.18071, -2.7604e-4, -1.7749e-7},
             {925.59, -0.41757, 0.0},
             {1984.2, 1.4733, -4.8008e-3}},
    [CARBOHYDRATE] = {{0.20141, 1.3874e-3, -4.3312e-6},
                      {1599.1, -0.31046, 0.0},
                      {1548.8, 1.9625, -5.9399e-3}},
    [FIBRE] = {{0.18331, 1.2497e-3, -3.1683e-6},
               {1311.5, -0.36589, 0.0},
               {1845.9, 1.8306, -4.6509e-3}},
    [ASH] = {{0.32962, 1.4011e-3, -2.9069e-6},
             {2423.8, -0.28063, 0.0},
             {1092.6, 1.8896, -3.6817e-3}},
};

/* Range of the correlations. */
static const double coldest = -40.0, hottest = 150.0;

/* Air at one atmosphere: conductivity fitted through 0.0247 at 10 C and 0.0261 at
 * 30 C, density 1.25 at 10 C by the gas law (textbook values, from memory). */
static double air_conductivity(double celsius)
{
    return 0.0240 + 7.0e-5 * celsius;
}

static double air_density(double celsius)
{
    return 353.0 / (273.15 + celsius);
}

/* What vapour adds to the conductivity of air in a pore with wet walls: it leaves the warm
 * side, crosses by diffusion and condenses on the cold one,
 *
 *     D / (R T) * P / (P - p) * dp/dT * latent heat
 *
 * (Krischer and Kast, Die wissenschaftlichen Grundlagen der Trocknungstechnik, 1978, and de
 * Vries 1963, from memory; with it the measured conductivities of a wet sponge agree: Hamdami
 * and others, J. Food Eng. 2003-04, abstract). D = 1.87e-10 T^2.072 m2/s (Cengel, Heat and Mass
 * Transfer, eq. 14-15), p of Magnus, at a relative humidity of 0.95 as over fresh crumb (from
 * memory). Near the boil the formula has no bound: above 95 C it keeps its value there. */
static double vapour_conductivity(double celsius)
{
    const double atmosphere = 101325.0, gas = 461.5, humidity = 0.95, boil = 95.0;
    double t = fmin(celsius, boil), kelvin = t + 273.15;
    double pressure = humidity * 611.2 * exp(17.62 * t / (243.12 + t));
    double slope = pressure * 17.62 * 243.12 / ((243.12 + t) * (243.12 + t));
    double diffusivity = 1.87e-10 * pow(kelvin, 2.072), latent = 2.501e6 - 2360.0 * t;
    return diffusivity / (gas * kelvin) * atmosphere / (atmosphere - pressure) * slope * latent;
}

static double quadratic(const double c[3], double t)
{
    return c[0] + (c[1] + c[2] * t) * t;
}

/* Conductivity of a continuous phase kc that holds a volume fraction e of a
 * dispersed one, kd: Maxwell-Eucken. */
static double maxwell_eucken(double kc, double kd, double e)
{
    return kc * (2.0 * kc + kd - 2.0 * e * (kc - kd)) / (2.0 * kc + kd + e * (kc - kd));
}

double bk_composition_sum(const bk_composition *c)
{
    const double parts[PARTS] = {c->water, c->protein, c->fat, c->carbohydrate, c->fibre, c->ash};
    double sum = 0.0;
    for (int i = 0; i < PARTS; i++) {
        if (!(parts[i] >= 0.0) || !isfinite(parts[i]))
            return NAN;
        sum += parts[i];
    }
    if (!(c->air >= 0.0 && c->air <= 0.9))
        return NAN;
    if (!(c->milk_fat >= 0.0 && c->milk_fat <= c->fat))
        return NAN;
    if (!(c->pores >= 0.0 && c->pores <= 1.0))
        return NAN;
    return sum;
}

bk_composition bk_composition_scaled(const bk_composition *c)
{
    double sum = c->water + c->protein + c->fat + c->carbohydrate + c->fibre + c->ash;
    return (bk_composition){c->water / sum, c->protein / sum, c->fat / sum, c->carbohydrate / sum,
                            c->fibre / sum, c->ash / sum,     c->air,       c->milk_fat / sum,
                            c->pores};
}

/* Of a dispersed phase and a continuous one, neither of which need be either: Levy
 * (1981), in ASHRAE Refrigeration, ch. 19; of the models for frozen food the one that
 * agreed best with measurements (Fricke and Becker, HVAC&R Research 7, 2001). `part` is
 * the first one's by volume; the same whichever comes first. */
static double levy(double k1, double k2, double part)
{
    double ratio = k1 / k2, sigma = (ratio - 1.0) * (ratio - 1.0);
    sigma /= (ratio + 1.0) * (ratio + 1.0) + 0.5 * ratio;
    if (!(sigma > 1e-12))
        return k1;
    double b = 2.0 / sigma - 1.0 + 2.0 * part;
    double f = 0.5 * (b - sqrt(b * b - 8.0 * part / sigma));
    return k2 * (2.0 + ratio + 2.0 * (ratio - 1.0) * f) / (2.0 + ratio - (ratio - 1.0) * f);
}

/* Ice, of the same authors. */
static double ice_conductivity(double t)
{
    return 2.2196 - 6.2489e-3 * t + 1.0154e-4 * t * t;
}

static double ice_density(double t)
{
    return 916.89 - 0.13071 * t;
}

double bk_frozen_capacity(const bk_composition *c, double ice, double celsius)
{
    double t = fmin(fmax(celsius, coldest), hottest), capacity = ice * (2062.3 + 6.0769 * t);
    const double parts[PARTS] = {c->water - ice,  c->protein, c->fat,
                                 c->carbohydrate, c->fibre,   c->ash};
    for (int i = 0; i < PARTS; i++)
        capacity += parts[i] * quadratic(part_of[i].heat_capacity, t);
    return capacity;
}

/* Conductivity; where there is ice, it and the water are one phase to the rest. */
static double conductivity(const bk_composition *c, double ice, double t)
{
    const double parts[PARTS] = {c->water - ice,  c->protein, c->fat,
                                 c->carbohydrate, c->fibre,   c->ash};
    double k[PARTS], volume[PARTS], total = 0.0;

    for (int i = 0; i < PARTS; i++) {
        k[i] = quadratic(part_of[i].conductivity, t);
        volume[i] = parts[i] / quadratic(part_of[i].density, t);
    }
    if (ice > 0.0) {
        double of_ice = ice / ice_density(t);
        double part = of_ice / (of_ice + volume[WATER]);
        k[WATER] = levy(ice_conductivity(t), k[WATER], part);
        volume[WATER] += of_ice;
    }
    for (int i = 0; i < PARTS; i++)
        total += volume[i];

    /* Water is the continuous phase wherever there is enough of it to be one; in
     * butter, chocolate or hard sugar the largest phase takes its place. */
    int continuous = WATER;
    if (volume[WATER] < 0.3 * total)
        for (int i = 0; i < PARTS; i++)
            if (volume[i] > volume[continuous])
                continuous = i;
    double dispersed = 0.0, rest = 0.0;
    for (int i = 0; i < PARTS; i++) {
        if (i == continuous)
            continue;
        dispersed += volume[i];
        rest += volume[i] * k[i];
    }
    double whole = k[continuous];
    if (dispersed > 0.0)
        whole = maxwell_eucken(k[continuous], rest / dispersed, dispersed / total);
    double pore = air_conductivity(t);
    if (c->pores > 0.0)
        pore += c->pores * vapour_conductivity(t);
    return maxwell_eucken(whole, pore, c->air);
}

double bk_frozen_conductivity(const bk_composition *c, double ice, double celsius)
{
    return conductivity(c, ice, fmin(fmax(celsius, coldest), hottest));
}

bk_material bk_material_of(const bk_composition *composition, double celsius)
{
    double t = fmin(fmax(celsius, coldest), hottest), specific_volume = 0.0;
    bk_composition c = bk_composition_scaled(composition);
    const double parts[PARTS] = {c.water, c.protein, c.fat, c.carbohydrate, c.fibre, c.ash};

    for (int i = 0; i < PARTS; i++)
        specific_volume += parts[i] / quadratic(part_of[i].density, t);
    return (bk_material){.conductivity = conductivity(&c, 0.0, t),
                         .density = (1.0 - c.air) / specific_volume + c.air * air_density(t),
                         .heat_capacity = bk_frozen_capacity(&c, 0.0, t)};
}
