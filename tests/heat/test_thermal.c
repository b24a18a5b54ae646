/* Ice, fat that sets, steam and liquids that move: against published tables, exact
 * solutions, and their own books. */
#include "close.h"

#include "heat/liquid.h"
#include "heat/solver.h"

static const bk_composition beef = {.water = 0.745, .protein = 0.22, .fat = 0.025, .ash = 0.01};

static double enthalpy(const bk_composition *c, double low, double high)
{
    bk_thermal t;
    bk_thermal_of(&t, c, 0.0);
    return (bk_thermal_heat(&t, high) - bk_thermal_heat(&t, low)) / bk_material_of(c, 0.0).density /
           1000.0;
}

/* Riedel's measurements on lean beef of 74.5 % water, kJ/kg above -40 C (reprinted in ASHRAE
 * Refrigeration, ch. 19; from memory): within 4 % of the whole. */
static void heat_of_lean_beef(void **state)
{
    (void)state;
    static const struct {
        double celsius, kilojoule;
    } table[] = {{-30, 19}, {-20, 42}, {-10, 74}, {-5, 105}, {0, 304}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        assert_close(enthalpy(&beef, -40.0, table[i].celsius), table[i].kilojoule, 0.04 * 304.0);
}

/* Freezing points: whole milk -0.52 to -0.56 C, lean beef about -1, sucrose of 20 % -1.5, fruit
 * -0.9 to -2 (handbook values, from memory). */
static void freezing_points(void **state)
{
    (void)state;
    bk_composition syrup = {.water = 0.8, .carbohydrate = 0.2};
    assert_close(bk_freezing_point(&bk_food_find("milk")->composition), -0.55, 0.1);
    assert_close(bk_freezing_point(&beef), -1.0, 0.5);
    assert_close(bk_freezing_point(&syrup), -1.5, 0.4);
    assert_close(bk_freezing_point(&bk_food_find("fruit compote")->composition), -1.4, 0.5);
    assert_true(bk_freezing_point(&bk_food_find("chocolate")->composition) < -1000.0);
    /* four fifths of the water of beef is ice at -10 C (handbook value, from memory) */
    assert_close(bk_ice_fraction(&beef, -10.0) / beef.water, 0.81, 0.04);
    assert_close(bk_ice_fraction(&beef, 5.0), 0.0, 0.0);
}

/* The table is told back by itself, and rises. */
static void table_is_its_own_inverse(void **state)
{
    (void)state;
    size_t count;
    const bk_food *foods = bk_foods(&count);
    for (size_t i = 0; i < count; i++) {
        bk_thermal t;
        bk_thermal_of(&t, &foods[i].composition, 1.0);
        for (double c = -40.0; c <= 150.0; c += 0.37)
            assert_close(bk_thermal_celsius(&t, bk_thermal_heat(&t, c)), c, 1e-6);
        for (size_t n = 1; n < t.count; n++)
            assert_true(t.heat[n] > t.heat[n - 1] && t.celsius[n] > t.celsius[n - 1]);
        /* above all that sets it is the food's own heat capacity */
        bk_material m = bk_material_of(&foods[i].composition, 60.5);
        assert_close(bk_thermal_store(&t, 60.5),
                     bk_material_of(&foods[i].composition, 0.0).density * m.heat_capacity,
                     0.001 * m.density * m.heat_capacity);
    }
}

/* Milk fat: between 20 and 5 C it gives off 33 J/g here; 20 to 30 was measured (from memory). */
static void fat_sets(void **state)
{
    (void)state;
    bk_composition fat = {.fat = 1.0, .milk_fat = 1.0};
    bk_thermal with, without;
    bk_thermal_of(&with, &fat, 1.0);
    bk_thermal_of(&without, &fat, 0.0);
    double density = bk_material_of(&fat, 0.0).density;
    double more = (bk_thermal_heat(&with, 20.0) - bk_thermal_heat(&with, 5.0)) -
                  (bk_thermal_heat(&without, 20.0) - bk_thermal_heat(&without, 5.0));
    assert_close(more / density / 1000.0, 0.41 * 80.0, 0.1);
    assert_true(more / density / 1000.0 < 35.0);
}

/* Conductivity of frozen lean beef, 1.35 to 1.6 W/(m K) at -20 C (handbook, from memory). */
static void frozen_conducts_better(void **state)
{
    (void)state;
    bk_thermal t;
    bk_thermal_of(&t, &beef, 0.0);
    assert_close(bk_thermal_conductivity(&t, -20.0), 1.48, 0.15);
    assert_close(bk_thermal_conductivity(&t, 10.0), 0.49, 0.04);
}

/* A substance that melts at one temperature, holds no other heat to speak of and conducts
 * alike on both sides. */
static bk_thermal plank_stuff(double latent, double conductivity)
{
    bk_thermal t = {.count = 4,
                    .celsius = {-60.0, -0.01, 0.0, 60.0},
                    .conductivity = {conductivity, conductivity, conductivity, conductivity}};
    const double store = 2e-4 * latent;
    t.heat[1] = store * 59.99;
    t.heat[2] = t.heat[1] + latent;
    t.heat[3] = t.heat[2] + store * 60.0;
    return t;
}

static bool until_frozen(void *context, double at)
{
    double *seconds = ((double **)context)[0];
    const bk_grid *g = (const bk_grid *)((void **)context)[1];
    *seconds = at;
    return bk_grid_extreme(g, g->out, 0, g->up, false) > -0.01;
}

static double seconds_frozen(enum bk_metric metric, double reach, double h, double conductivity)
{
    bk_arena *arena = bk_arena_new(NULL);
    const double latent = 250e6;
    bk_thermal stuff = plank_stuff(latent, conductivity);
    bk_grid *g =
        bk_grid_new(arena, metric, 80, reach, 1, 1.0, (bk_material){1.0, 1000.0, 2000.0}, 0);
    bk_grid_fill(g, 0, 80, 0, 1, (bk_material){1.0, 1000.0, 2000.0}, &stuff, 0.0);
    bk_grid_faces(g, 0.0, h, 0.0, -38.75);
    double before = bk_grid_heat(g), seconds = 0.0;
    void *context[2] = {&seconds, g};
    bk_grid_run(g, 1e7, (bk_pace){0.5, 0.005, INFINITY, INFINITY}, until_frozen, context);
    /* the books are kept through it */
    double lost = before - bk_grid_heat(g);
    assert_close(g->heat_out, lost, 1e-6 * lost);
    bk_arena_free(arena);
    return seconds;
}

/* Plank's equation, exact where the latent heat is all there is: t = latent/difference
 * (P d/h + R d2/k), P and R 1/2, 1/8 for a plate; 1/4, 1/16 for a cylinder; 1/6, 1/24 for a
 * ball. With a ball of 7 cm, h 50, k 1.2, 250 kJ/kg, air 38.75 K below, it is the worked
 * example of Singh and Heldman, Introduction to Food Engineering, ch. 7 (from memory):
 * 2600 s. */
static void plank(void **state)
{
    (void)state;
    static const double p[3] = {0.5, 0.25, 1.0 / 6.0}, r[3] = {0.125, 0.0625, 1.0 / 24.0};
    for (int metric = BK_METRIC_PLANE; metric <= BK_METRIC_SPHERE; metric++) {
        double d = 0.07, h = 50.0, k = 1.2;
        double exact = 250e6 / 38.75 * (p[metric] * d / h + r[metric] * d * d / k);
        double found = seconds_frozen((enum bk_metric)metric, 0.5 * d, h, k);
        assert_close(found, exact, 0.02 * exact);
        if (metric == BK_METRIC_SPHERE)
            assert_close(exact, 2600.0, 15.0);
    }
}

/* Pham's method (J. Food Technology 19, 1984; its form in Singh and Heldman): two stages
 * about the mean freezing temperature Tfm = 1.8 + 0.263 Tc + 0.105 Ta, within 10 % of
 * measurements. Slabs and balls of lean beef. */
static double pham(double half, double shape, double h, double from, double to, double air)
{
    bk_material m = bk_material_of(&beef, 0.0);
    double mean = 1.8 + 0.263 * to + 0.105 * air, density = m.density;
    /* what cools before it freezes as if none of it did, then all the rest */
    double first = density * m.heat_capacity * (from - mean);
    double second = density * enthalpy(&beef, to, from) * 1000.0 - first;
    bk_thermal t;
    bk_thermal_of(&t, &beef, 0.0);
    double k = bk_thermal_conductivity(&t, 0.5 * (air + mean));
    double biot = h * half / k, d1 = 0.5 * (from + mean) - air, d2 = mean - air;
    return half / (shape * h) * (first / d1 + second / d2) * (1.0 + 0.5 * biot);
}

static void freezing_beef(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    static const struct {
        double thick, h, from, to, air;
    } table[] = {{0.05, 30, 5, -10, -30},
                 {0.10, 30, 10, -10, -30},
                 {0.05, 10, 10, -18, -35},
                 {0.15, 25, 10, -10, -35}};
    for (int ball = 0; ball < 2; ball++)
        for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
            bk_heat_question q = {.shape = ball ? BK_HEAT_BALL : BK_HEAT_SLAB,
                                  .across = ball ? table[i].thick : INFINITY,
                                  .deep = table[i].thick,
                                  .composition = beef,
                                  .from_c = table[i].from,
                                  .to_c = table[i].to,
                                  .air_c = table[i].air,
                                  .place = BK_HEAT_FREEZER,
                                  .surface = {table[i].h, table[i].h, table[i].h}};
            double found = bk_heat_seconds_to(arena, &q, BK_HEAT_TYPICAL, q.to_c);
            double published = pham(0.5 * table[i].thick, ball ? 3.0 : 1.0, table[i].h,
                                    table[i].from, table[i].to, table[i].air);
            assert_close(found, published, 0.10 * published);
        }
    bk_arena_free(arena);
}

/* Thawing takes longer than freezing across the same difference: ice conducts, water not. */
static void thawing_is_slower(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_heat_question q = {.shape = BK_HEAT_BALL,
                          .across = 0.10,
                          .composition = beef,
                          .from_c = 4.0,
                          .to_c = -10.0,
                          .air_c = -18.0,
                          .place = BK_HEAT_FREEZER,
                          .surface = {30, 30, 30}};
    double freezing = bk_heat_seconds_to(arena, &q, BK_HEAT_TYPICAL, -5.0);
    q.from_c = -18.0;
    q.air_c = 16.0;
    q.to_c = 1.0;
    double thawing = bk_heat_seconds_to(arena, &q, BK_HEAT_TYPICAL, 1.0);
    assert_true(thawing > 1.2 * freezing && thawing < 3.0 * freezing);
    bk_arena_free(arena);
}

/* ------------------------------------------------------------------ liquid */

/* Stirred, with a given surface and no tin, it is the plain exponential. */
static void stirred_is_an_exponential(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_heat_question q = {.shape = BK_HEAT_ROUND,
                          .across = 0.24,
                          .deep = 0.09,
                          .has_material = true,
                          .material = {0.6, 1000.0, 4000.0},
                          .from_c = 90.0,
                          .to_c = 10.0,
                          .air_c = 0.0,
                          .place = BK_HEAT_ICE_BATH,
                          .surface = {200, 200, 200},
                          .stirred = true};
    double area = 2.0 * 0.25 * 3.14159265 * 0.24 * 0.24 + 3.14159265 * 0.24 * 0.09;
    double volume = 0.25 * 3.14159265 * 0.24 * 0.24 * 0.09;
    double exact = 1000.0 * 4000.0 * volume / (200.0 * area) * log(9.0);
    assert_close(bk_heat_seconds_to(arena, &q, BK_HEAT_TYPICAL, 10.0), exact, 0.003 * exact);
    double minutes = exact / 60.0, celsius;
    bk_heat_curve(arena, &q, BK_HEAT_TYPICAL, &minutes, &celsius, 1);
    assert_close(celsius, 10.0, 0.1);
    bk_arena_free(arena);
}

/* Churchill and Chu by hand: water at 60 C beside a wall at 40 C, 10 cm high, with the
 * properties of water at 50 C (beta 0.450e-3, nu 0.5665e-6, Pr 3.655, k 0.6425): Ra
 * 1.0055e9, above which the second form holds, Nu 138.3, h 889. */
static void film_of_water(void **state)
{
    (void)state;
    double ra = 9.81 * 0.450e-3 * 20.0 * 1e-3 * 3.655 / (0.5665e-6 * 0.5665e-6);
    double root =
        0.825 + 0.387 * pow(ra, 1.0 / 6.0) / pow(1.0 + pow(0.492 / 3.655, 9.0 / 16.0), 8.0 / 27.0);
    assert_close(bk_liquid_film(60.0, 40.0, 0.1), root * root * 0.6425 / 0.1, 3.0);
    /* smaller differences, less; none, conduction */
    assert_true(bk_liquid_film(60.0, 59.0, 0.1) < 0.6 * bk_liquid_film(60.0, 40.0, 0.1));
    assert_close(bk_liquid_film(20.0, 20.0, 0.1), 0.68 * 0.598 / 0.1, 0.01);
}

/* Water at 80 C in still air at 20 C with 50 % humidity loses 2 to 4 kW/m2 by steam (textbook
 * size, from memory: 1.4 to 2 kg/(m2 h) at 60 C). */
static void steam(void **state)
{
    (void)state;
    double at_60 = bk_steam(60.0, 20.0, 5.0);
    assert_true(at_60 > 800.0 && at_60 < 1500.0);
    assert_true(bk_steam(80.0, 20.0, 5.0) > 2.2 * at_60);
    assert_close(bk_steam(15.0, 40.0, 5.0), 0.0, 0.0); /* dew is not counted */
    assert_close(bk_steam(140.0, 20.0, 5.0), bk_steam(100.0, 20.0, 5.0), 1e-9);
}

/* A hot surface loses what the table says up to 25 K above the air and more beyond, without
 * a jump; a cover keeps the steam and slows the rest. */
static void hot_surfaces(void **state)
{
    (void)state;
    bk_heat_question q = {.shape = BK_HEAT_ROUND,
                          .across = 0.24,
                          .deep = 0.09,
                          .composition = bk_food_find("soup")->composition,
                          .liquid = BK_HEAT_THIN,
                          .from_c = 90.0,
                          .to_c = 60.0,
                          .air_c = 20.0,
                          .place = BK_HEAT_ROOM};
    bk_surface s[3];
    bk_surfaces_of(&q, BK_HEAT_TYPICAL, s);
    assert_close(bk_surface_at(&s[BK_SURFACE_TOP], 45.0, 20.0), 8.0, 1e-9);
    assert_close(bk_surface_at(&s[BK_SURFACE_TOP], 45.01, 20.0), 8.0, 0.05);
    double open = bk_surface_at(&s[BK_SURFACE_TOP], 80.0, 20.0);
    assert_true(open > 30.0);
    assert_true(bk_surface_at(&s[BK_SURFACE_SIDE], 80.0, 20.0) < 12.0);
    q.cover = BK_HEAT_COVER_FILM;
    bk_surfaces_of(&q, BK_HEAT_TYPICAL, s);
    double film = bk_surface_at(&s[BK_SURFACE_TOP], 80.0, 20.0);
    assert_true(film > 8.0 && film < 12.0);
    q.cover = BK_HEAT_COVER_LID;
    bk_surfaces_of(&q, BK_HEAT_TYPICAL, s);
    double lid = bk_surface_at(&s[BK_SURFACE_TOP], 80.0, 20.0);
    assert_true(lid < 5.0);
    q.cover = BK_HEAT_COVER_FOIL;
    bk_surfaces_of(&q, BK_HEAT_TYPICAL, s);
    assert_true(bk_surface_at(&s[BK_SURFACE_TOP], 80.0, 20.0) < lid);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(heat_of_lean_beef),
        cmocka_unit_test(freezing_points),
        cmocka_unit_test(table_is_its_own_inverse),
        cmocka_unit_test(fat_sets),
        cmocka_unit_test(frozen_conducts_better),
        cmocka_unit_test(plank),
        cmocka_unit_test(freezing_beef),
        cmocka_unit_test(thawing_is_slower),
        cmocka_unit_test(stirred_is_an_exponential),
        cmocka_unit_test(film_of_water),
        cmocka_unit_test(steam),
        cmocka_unit_test(hot_surfaces),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
