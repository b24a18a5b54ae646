/* Product solutions, whole bodies, and worked examples of textbooks. */
#include "close.h"

#include "heat/body.h"

static double theta(enum bk_series_shape shape, double x, double biot, double fourier)
{
    bk_series series;
    bk_series_begin(&series, shape, 0.0, biot);
    return bk_series_theta(&series, x, fourier);
}

/* Recomputed apart from this code: wall, long cylinder, product. The pairs are
 * chosen freely. */
static void product_rule(void **state)
{
    (void)state;
    static const struct {
        double biot_l, fourier_l, biot_r, fourier_r, wall, cylinder, product;
    } table[] = {
        {0.6, 0.4, 2, 0.036, 0.885142, 0.999775, 0.884943},
        {0.5, 0.5, 1, 0.5, 0.864114, 0.548586, 0.474041},
        {1, 0.2, 1, 0.2, 0.950642, 0.870174, 0.827224},
        {5, 1, 2.5, 0.25, 0.220721, 0.663660, 0.146484},
        {0.1, 2, 0.2, 0.5, 0.837326, 0.866585, 0.725614},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        double wall = theta(BK_SERIES_WALL, 0.0, table[i].biot_l, table[i].fourier_l);
        double cylinder = theta(BK_SERIES_CYLINDER, 0.0, table[i].biot_r, table[i].fourier_r);
        assert_close(wall, table[i].wall, 0.6e-6);
        assert_close(cylinder, table[i].cylinder, 0.6e-6);
        assert_close(wall * cylinder, table[i].product, 1.2e-6);
    }
}

static bk_heat_question dense(enum bk_heat_shape shape, double across, double deep)
{
    return (bk_heat_question){.shape = shape,
                              .across = across,
                              .deep = deep,
                              .has_material = true,
                              .material = {0.364, 1058.0, 2943.3},
                              .from_c = 15.0,
                              .to_c = 6.0,
                              .air_c = 4.0,
                              .place = BK_HEAT_FRIDGE};
}

/* A physical cylinder and tray are the products of their own parts, at any point. */
static void bodies_are_products(void **state)
{
    (void)state;
    bk_heat_question q = dense(BK_HEAT_ROUND, 0.2, 0.06);
    double k = q.material.conductivity, a = k / (q.material.density * q.material.heat_capacity);
    bk_faces faces = {8.0, 8.0, 8.0};
    bk_body body;
    for (double seconds = 600.0; seconds < 40000.0; seconds *= 2.0) {
        bk_body_begin(&body, &q, q.material, faces);
        double fo_up = a * seconds / (0.03 * 0.03), fo_out = a * seconds / (0.1 * 0.1);
        double expected = theta(BK_SERIES_WALL, 0.5, 8.0 * 0.03 / k, fo_up) *
                          theta(BK_SERIES_CYLINDER, 0.7, 8.0 * 0.1 / k, fo_out);
        assert_close(bk_body_at(&body, -0.07, 123.0, 0.015, seconds), expected, 1e-9);
        assert_close(bk_body_slowest(&body, seconds),
                     theta(BK_SERIES_WALL, 0.0, 8.0 * 0.03 / k, fo_up) *
                         theta(BK_SERIES_CYLINDER, 0.0, 8.0 * 0.1 / k, fo_out),
                     1e-9);
    }
    q = dense(BK_HEAT_SLAB, 0.2, 0.06);
    bk_body_begin(&body, &q, q.material, faces);
    double seconds = 9000.0, fo_up = a * seconds / (0.03 * 0.03),
           fo_out = a * seconds / (0.1 * 0.1);
    assert_close(bk_body_at(&body, 0.02, -0.09, 0.03, seconds),
                 theta(BK_SERIES_WALL, 0.0, 8.0 * 0.03 / k, fo_up) *
                     theta(BK_SERIES_WALL, 0.2, 8.0 * 0.1 / k, fo_out) *
                     theta(BK_SERIES_WALL, 0.9, 8.0 * 0.1 / k, fo_out),
                 1e-9);
}

/* An insulated base is half of a body twice as deep, and the base is the warmest. */
static void insulated_base(void **state)
{
    (void)state;
    bk_heat_question q = dense(BK_HEAT_ROUND, 0.2, 0.06), twice = dense(BK_HEAT_ROUND, 0.2, 0.12);
    bk_body half, whole;
    bk_body_begin(&half, &q, q.material, (bk_faces){8.0, 8.0, 0.0});
    bk_body_begin(&whole, &twice, q.material, (bk_faces){8.0, 8.0, 8.0});
    for (double seconds = 300.0; seconds < 90000.0; seconds *= 3.0) {
        assert_close(bk_body_slowest(&half, seconds), bk_body_slowest(&whole, seconds), 1e-9);
        assert_close(bk_body_slowest(&half, seconds), bk_body_at(&half, 0, 0, 0, seconds), 1e-9);
        assert_close(bk_body_at(&half, 0.03, 0, 0.02, seconds),
                     bk_body_at(&whole, 0.03, 0, 0.08, seconds), 1e-9);
    }
}

/* Bare top, glass below: the warmest point lies nearer the glass than the middle
 * and no other point is warmer. */
static void warmest_point_between_unlike_faces(void **state)
{
    (void)state;
    bk_heat_question q = dense(BK_HEAT_SLAB, INFINITY, 0.06);
    bk_body body;
    bk_body_begin(&body, &q, q.material, (bk_faces){12.0, 0.0, 3.0});
    for (double seconds = 3000.0; seconds < 90000.0; seconds *= 3.0) {
        double greatest = 0.0, where = 0.0;
        for (double up = 0.0; up <= 0.06; up += 0.0001) {
            double here = bk_body_at(&body, 0, 0, up, seconds);
            if (here > greatest) {
                greatest = here;
                where = up;
            }
        }
        assert_true(where < 0.03 && where > 0.0);
        assert_close(bk_body_slowest(&body, seconds), greatest, 1e-6);
        assert_true(bk_body_slowest(&body, seconds) >= greatest - 1e-12);
    }
}

/* Reaching a temperature and being at it are one; time grows as the target nears
 * the surroundings. */
static void time_is_the_inverse_of_temperature(void **state)
{
    (void)state;
    static const enum bk_heat_shape shapes[] = {BK_HEAT_ROUND, BK_HEAT_SLAB, BK_HEAT_BALL};
    for (int s = 0; s < 3; s++) {
        bk_heat_question q = dense(shapes[s], 0.18, 0.05);
        double before = 0.0;
        for (double target = 0.999; target > 1e-4; target *= 0.7) {
            bk_body body;
            bk_body_begin(&body, &q, q.material, (bk_faces){8.0, 7.0, 6.0});
            double seconds = bk_body_time(&body, target, 1e8);
            assert_true(seconds > before);
            /* 0.01 s of a body that takes at least a minute for each tenth */
            assert_close(bk_body_slowest(&body, seconds), target, 3e-6);
            before = seconds;
        }
        bk_body body;
        bk_body_begin(&body, &q, q.material, (bk_faces){8.0, 7.0, 6.0});
        assert_true(isinf(bk_body_time(&body, 0.01, 600.0)));
    }
}

/* Textbook solutions manual (2008), problem 11-44: steaks 2 cm thick chilled from
 * 25 C in air at -11 C until the surface is at 2 C: 5590 s. Recomputed: 5586.4 s,
 * Fo 5.083654. The book's steps round zeta and C to four digits. */
static void chilled_steaks(void **state)
{
    (void)state;
    double k = 0.45, alpha = 0.91e-7, l = 0.01, h = 9.0;
    bk_series series;
    bk_series_begin(&series, BK_SERIES_WALL, 0.0, h * l / k);
    bk_series_extend(&series, 1);
    assert_close(series.root[0], 0.4328, 0.5e-4);
    assert_close(series.coefficient[0], 1.0311, 0.5e-4);
    double fourier = 5.083654;
    assert_close(-11.0 + 36.0 * bk_series_theta(&series, 1.0, fourier), 2.0, 1e-4);
    assert_close(fourier * l * l / alpha, 5586.4, 0.1);
    assert_close(fourier * l * l / alpha, 5590.0, 0.001 * 5590.0);
}

/* Cengel, apples in a freezer: d 9 cm, k 0.418, rho 840, cp 3810, alpha 1.3e-7, h 8,
 * from 20 C (from memory) into air at -15 C (from memory) for an hour. Published,
 * with one term: centre 11.2, surface 2.7, heat 17.2 kJ. Exact centre 11.11. */
static void apples_in_a_freezer(void **state)
{
    (void)state;
    double radius = 0.045, k = 0.418, density = 840.0, heat = 3810.0, alpha = 1.3e-7;
    bk_series series;
    bk_series_begin(&series, BK_SERIES_SPHERE, 0.0, 8.0 * radius / k);
    double fourier = alpha * 3600.0 / (radius * radius);
    assert_close(series.biot, 0.861, 0.0005);
    assert_close(fourier, 0.231, 0.0005);
    bk_series_extend(&series, 1);
    /* the book interpolates in its table */
    assert_close(series.root[0], 1.476, 0.0015);
    assert_close(series.coefficient[0], 1.239, 0.001);
    double one = series.coefficient[0] * exp(-series.root[0] * series.root[0] * fourier);
    assert_close(-15.0 + 35.0 * one, 11.19, 0.02);
    assert_close(-15.0 + 35.0 * bk_series_theta(&series, 0.0, fourier), 11.11, 0.006);
    assert_close(-15.0 + 35.0 * bk_series_theta(&series, 1.0, fourier), 2.67, 0.006);
    double volume = 4.0 / 3.0 * acos(-1.0) * radius * radius * radius;
    double given = density * heat * volume * 35.0 * (1.0 - bk_series_mean(&series, fourier));
    assert_close(given, 17200.0, 60.0);
}

/* Cengel, example 4-4 (from memory): an egg as a ball of 5 cm, 5 to 70 C in water at
 * 95 C, h 1200, k 0.627, alpha 0.151e-6: 14.4 min. */
static void boiled_egg(void **state)
{
    (void)state;
    bk_heat_question q = {.shape = BK_HEAT_BALL, .across = 0.05};
    bk_material water = {0.627, 1000.0, 0.627 / (0.151e-6 * 1000.0)};
    bk_body body;
    bk_body_begin(&body, &q, water, (bk_faces){1200.0, 1200.0, 1200.0});
    assert_close(body.factor[0].series.biot, 47.8, 0.1);
    double seconds = bk_body_time(&body, (70.0 - 95.0) / (5.0 - 95.0), 1e6);
    assert_close(seconds / 60.0, 14.4, 0.05);
    const bk_series *s = &body.factor[0].series; /* the book's one term */
    double fourier = log(s->coefficient[0] / (25.0 / 90.0)) / (s->root[0] * s->root[0]);
    assert_close(fourier * 0.025 * 0.025 / 0.151e-6 / 60.0, 14.38, 0.006);
}

/* Singh & Heldman, example 4.26 (its input; the answer recomputed): an apple of 6 cm
 * in water at 2 C, h 50, k 0.355, cp 3600, rho 820, 15 to 3 C: Bi 4.225, Fo 0.5048,
 * 3778 s. */
static void apple_in_water(void **state)
{
    (void)state;
    bk_heat_question q = {.shape = BK_HEAT_BALL, .across = 0.06};
    bk_material apple = {0.355, 820.0, 3600.0};
    bk_body body;
    bk_body_begin(&body, &q, apple, (bk_faces){50.0, 50.0, 50.0});
    assert_close(body.factor[0].series.biot, 4.225, 0.0005);
    assert_close(bk_body_time(&body, 1.0 / 13.0, 1e6), 3778.0, 1.0);
}

/* ASHRAE Refrigeration, ch. 20: for Bi > 100, f alpha / L^2 (seconds to fall tenfold)
 * is 0.9332 for a slab and 0.3982 for a long cylinder, j 1.273 and 1.6015. */
static void tenfold_times(void **state)
{
    (void)state;
    bk_series series;
    bk_series_begin(&series, BK_SERIES_WALL, 0.0, 1e6);
    bk_series_extend(&series, 1);
    assert_close(log(10.0) / (series.root[0] * series.root[0]), 0.9332, 0.5e-4);
    assert_close(series.coefficient[0], 1.273, 0.0005);
    bk_series_begin(&series, BK_SERIES_CYLINDER, 0.0, 1e6);
    bk_series_extend(&series, 1);
    assert_close(log(10.0) / (series.root[0] * series.root[0]), 0.3982, 0.6e-4);
    assert_close(series.coefficient[0], 1.6015, 0.6e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(product_rule),
        cmocka_unit_test(bodies_are_products),
        cmocka_unit_test(insulated_base),
        cmocka_unit_test(warmest_point_between_unlike_faces),
        cmocka_unit_test(time_is_the_inverse_of_temperature),
        cmocka_unit_test(chilled_steaks),
        cmocka_unit_test(apples_in_a_freezer),
        cmocka_unit_test(boiled_egg),
        cmocka_unit_test(apple_in_water),
        cmocka_unit_test(tenfold_times),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
