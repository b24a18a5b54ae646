/* The numeric solver against the series, itself on finer grids, and its own books. */
#include "close.h"

#include "heat/body.h"
#include "heat/solver.h"

static const bk_material filling = {0.364, 1058.0, 2943.3};

static bk_heat_question dessert(enum bk_heat_shape shape)
{
    return (bk_heat_question){.shape = shape,
                              .across = 0.2,
                              .deep = 0.06,
                              .has_material = true,
                              .material = filling,
                              .from_c = 15.0,
                              .to_c = 6.0,
                              .air_c = 4.0,
                              .place = BK_HEAT_FRIDGE};
}

/* A journey whose last leg lasts. One place alone is two of it, so that the solver and not
 * the series answers. */
static void journey(bk_arena *arena, bk_heat_question q, enum bk_heat_end end,
                    const bk_heat_leg *legs, size_t count, const double *minutes, double *celsius,
                    size_t asked)
{
    q.legs = legs;
    q.leg_count = count > 1 ? count - 1 : 1;
    q.place = legs[count - 1].place;
    q.air_c = legs[count - 1].air_c;
    bk_heat_curve(arena, &q, end, minutes, celsius, asked);
}

/* One place only: what the series gives, within 0.12 % of the difference. */
static void agrees_with_the_series(void **state)
{
    (void)state;
    static const double minutes[] = {20, 60, 120, 240, 480, 720};
    enum { COUNT = sizeof minutes / sizeof minutes[0] };
    struct {
        enum bk_heat_shape shape;
        double across;
        bool insulated;
    } table[] = {{BK_HEAT_ROUND, 0.2, false},    {BK_HEAT_ROUND, 0.2, true},
                 {BK_HEAT_BALL, 0.1, false},     {BK_HEAT_SLAB, INFINITY, false},
                 {BK_HEAT_SLAB, INFINITY, true}, {BK_HEAT_ROUND, 0.07, false}};
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        for (int end = BK_HEAT_WEAK; end <= BK_HEAT_STRONG; end++) {
            bk_arena *arena = bk_arena_new(NULL);
            bk_heat_question q = dessert(table[i].shape);
            q.across = table[i].across;
            q.base_insulated = table[i].insulated;
            bk_heat_leg leg = {10.0, 4.0, BK_HEAT_FRIDGE};
            double numeric[COUNT], series[COUNT];
            journey(arena, q, (enum bk_heat_end)end, &leg, 1, minutes, numeric, COUNT);
            bk_heat_curve(arena, &q, (enum bk_heat_end)end, minutes, series, COUNT);
            for (int n = 0; n < COUNT; n++)
                assert_close(numeric[n], series[n], 0.0012 * 11.0);
            bk_arena_free(arena);
        }
}

/* A square tray as the round of its area: within 0.6 % of the difference, as its
 * contract allows for the corners. */
static void tray_as_round(void **state)
{
    (void)state;
    static const double minutes[] = {60, 240, 480};
    bk_arena *arena = bk_arena_new(NULL);
    bk_heat_question q = dessert(BK_HEAT_SLAB);
    bk_heat_leg leg = {10.0, 4.0, BK_HEAT_FRIDGE};
    double numeric[3], series[3];
    journey(arena, q, BK_HEAT_TYPICAL, &leg, 1, minutes, numeric, 3);
    bk_heat_curve(arena, &q, BK_HEAT_TYPICAL, minutes, series, 3);
    for (int n = 0; n < 3; n++)
        assert_close(numeric[n], series[n], 0.006 * 11.0);
    bk_arena_free(arena);
}

/* Error in the middle of a cylinder after two hours, with n cells each way and n
 * steps. */
static double error_with(size_t n)
{
    bk_arena *arena = bk_arena_new(NULL);
    bk_heat_question q = dessert(BK_HEAT_ROUND);
    bk_body body;
    bk_body_begin(&body, &q, filling, (bk_faces){8.0, 8.0, 8.0});
    double exact = 4.0 + 11.0 * bk_body_slowest(&body, 7200.0);

    bk_grid *g = bk_grid_new(arena, BK_METRIC_CYLINDER, n, 0.1, n, 0.06, filling, 15.0);
    bk_grid_faces(g, 8.0, 8.0, 8.0, 4.0);
    for (size_t i = 0; i < n; i++)
        bk_grid_step(g, 7200.0 / (double)n);
    double error = bk_grid_extreme(g, n, 0, n, false) - exact;
    bk_arena_free(arena);
    return fabs(error);
}

/* Halving cells and steps quarters the error. */
static void second_order(void **state)
{
    (void)state;
    double coarse = error_with(12), middle = error_with(24), fine = error_with(48);
    assert_true(coarse / middle > 3.4 && coarse / middle < 4.6);
    assert_true(middle / fine > 3.4 && middle / fine < 4.6);
}

/* The same in time alone: against a very small step on the same grid. */
static double after_hour(size_t steps)
{
    bk_arena *arena = bk_arena_new(NULL);
    bk_grid *g = bk_grid_new(arena, BK_METRIC_CYLINDER, 16, 0.05, 12, 0.06, filling, 60.0);
    bk_grid_faces(g, 10.0, 10.0, 5.0, 4.0);
    for (size_t i = 0; i < steps; i++)
        bk_grid_step(g, 3600.0 / (double)steps);
    double celsius = g->temperature[5 * 16 + 3];
    bk_arena_free(arena);
    return celsius;
}

static void order_in_time(void **state)
{
    (void)state;
    double exact = after_hour(20000);
    double first = fabs(after_hour(20) - exact), second = fabs(after_hour(40) - exact);
    assert_true(first / second > 3.5 && first / second < 4.5);
}

static bk_pace pace(double longest)
{
    return (bk_pace){longest / 1000.0, 1.0, longest, INFINITY};
}

/* Heat lost from the cells is heat given to the air, to 1e-6 of it, in every
 * geometry, with layers, through changes of place. */
static void heat_is_conserved(void **state)
{
    (void)state;
    for (int metric = BK_METRIC_PLANE; metric <= BK_METRIC_SPHERE; metric++) {
        bk_arena *arena = bk_arena_new(NULL);
        size_t up = metric == BK_METRIC_SPHERE ? 1 : 20;
        bk_grid *g = bk_grid_new(arena, (enum bk_metric)metric, 24, 0.08, up, 0.05, filling, 60.0);
        if (up > 1)
            bk_grid_layer(g, 0, 8, 0.002, (bk_material){0.15, 700.0, 1800.0}, 20.0);
        double before = bk_grid_heat(g);
        bk_grid_faces(g, 8.0, 8.0, 0.0, 20.0);
        bk_grid_run(g, 3600.0, pace(30.0), NULL, NULL);
        bk_grid_faces(g, 14.0, 12.0, 6.0, 4.0);
        bk_grid_run(g, 7200.0, pace(60.0), NULL, NULL);
        bk_grid_faces(g, 20.0, 20.0, 20.0, 30.0); /* and warm again */
        bk_grid_run(g, 1800.0, pace(60.0), NULL, NULL);
        double lost = before - bk_grid_heat(g);
        assert_true(fabs(lost) > 1e-3 * before);
        assert_close(g->heat_out, lost, 1e-6 * fabs(lost));
        bk_arena_free(arena);
    }
}

static void insulated_mixes(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_grid *g = bk_grid_new(arena, BK_METRIC_CYLINDER, 10, 0.05, 20, 0.02, filling, 10.0);
    bk_grid_layer(g, 10, 20, 0.001, filling, 50.0);
    bk_grid_faces(g, 0.0, 0.0, 0.0, 4.0);
    bk_grid_run(g, 86400.0, pace(60.0), NULL, NULL);
    for (size_t c = 0; c < 200; c++)
        assert_close(g->temperature[c], 30.0, 1e-6);
    assert_close(g->heat_out, 0.0, 1e-9);
    bk_arena_free(arena);
}

/* With the same coefficients everywhere, a step of the air is a second problem added
 * to the first (Duhamel): an exact answer for room, then fridge. */
static void room_then_fridge(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_heat_question q = dessert(BK_HEAT_ROUND);
    q.from_c = 44.0; /* no hotter than the table of places stands for */
    static const bk_heat_leg legs[] = {{60.0, 20.0, BK_HEAT_FRIDGE}, {600.0, 4.0, BK_HEAT_FRIDGE}};
    static const double minutes[] = {30, 59, 61, 90, 180, 400, 655};
    double numeric[7];
    journey(arena, q, BK_HEAT_TYPICAL, legs, 2, minutes, numeric, 7);
    bk_body body;
    bk_body_begin(&body, &q, filling, bk_faces_of(&q, BK_HEAT_TYPICAL));
    for (int n = 0; n < 7; n++) {
        double t = 60.0 * minutes[n];
        double exact = 20.0 + 24.0 * bk_body_slowest(&body, t);
        if (t > 3600.0)
            exact -= 16.0 * (1.0 - bk_body_slowest(&body, t - 3600.0));
        assert_close(numeric[n], exact, 0.0012 * 40.0);
    }
    bk_arena_free(arena);
}

/* Asking past the end of the last leg stays there; asking at zero is the start. */
static void journey_at_its_ends(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_heat_question q = dessert(BK_HEAT_ROUND);
    static const bk_heat_leg legs[] = {{5.0, 20.0, BK_HEAT_ROOM}, {5.0, 4.0, BK_HEAT_FRIDGE}};
    static const double minutes[] = {0, 5, 40000};
    double celsius[3];
    journey(arena, q, BK_HEAT_TYPICAL, legs, 2, minutes, celsius, 3);
    assert_close(celsius[0], 15.0, 1e-9);
    assert_true(celsius[1] > 15.0 && celsius[1] < 17.0); /* the outside warms first */
    assert_close(celsius[2], 4.0, 0.001);
    journey(arena, q, BK_HEAT_TYPICAL, legs, 2, minutes, celsius, 0);
    bk_arena_free(arena);
}

/* A wide layer on another 1 cm deep, in a fridge at 4 C. */
static bk_heat_question poured(bk_material layer, bk_material below, double deep, double from,
                               double below_from)
{
    return (bk_heat_question){
        .shape = BK_HEAT_SLAB,
        .across = INFINITY,
        .deep = deep,
        .has_material = true,
        .material = layer,
        .from_c = from,
        .to_c = 10.0,
        .air_c = 4.0,
        .place = BK_HEAT_FRIDGE,
        .below = {.deep = 0.01, .from_c = below_from, .has_material = true, .material = below}};
}

/* Recomputed apart from this code (1-D finite volumes): minutes until the warmest
 * point of a layer (k 0.33, rho 1320, cp 2350) poured on one of 10 mm
 * at 20 C (k 0.15, rho 700, cp 1800, assumed), air 4 C, is at 20 / 15 / 10 C; base
 * insulated, then open with the same h as the top. */
static void poured_layer(void **state)
{
    (void)state;
    static const struct {
        double thickness, start, h, insulated[3], open[3];
    } table[] = {
        {0.005, 40, 8, {31, 56, 95}, {19, 31, 51}},
        {0.005, 60, 8, {53, 77, 116}, {30, 42, 62}},
        {0.008, 40, 8, {53, 85, 138}, {30, 47, 74}},
        {0.008, 60, 8, {85, 118, 171}, {47, 64, 91}},
        {0.010, 60, 8, {105, 144, 206}, {58, 77, 109}},
        {0.005, 60, 6, {70, 101, 153}, {39, 54, 80}},
        {0.010, 60, 10, {87, 118, 169}, {48, 64, 91}},
    };
    static const double targets[3] = {20, 15, 10};
    const bk_material layer = {0.33, 1320.0, 2350.0}, base = {0.15, 700.0, 1800.0};
    bk_arena *arena = bk_arena_new(NULL);
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++)
        for (int n = 0; n < 3; n++) {
            bk_heat_question q = poured(layer, base, table[i].thickness, table[i].start, 20.0);
            for (int end = 0; end < 3; end++)
                q.surface[end] = table[i].h;
            double wanted = table[i].open[n];
            double minutes = bk_heat_seconds_to(arena, &q, BK_HEAT_TYPICAL, targets[n]) / 60.0;
            assert_close(minutes, wanted, 0.5 + 0.01 * wanted);
            q.base_insulated = true;
            wanted = table[i].insulated[n];
            minutes = bk_heat_seconds_to(arena, &q, BK_HEAT_TYPICAL, targets[n]) / 60.0;
            assert_close(minutes, wanted, 0.5 + 0.01 * wanted);
        }
    bk_arena_free(arena);
}

static void poured_layer_at_its_ends(void **state)
{
    (void)state;
    const bk_material layer = {0.33, 1320.0, 2350.0};
    bk_arena *arena = bk_arena_new(NULL);
    bk_heat_question q = poured(layer, layer, 0.008, 60.0, 4.0);
    q.surface[0] = q.surface[1] = q.surface[2] = 8.0;
    q.base_insulated = true;
    q.air_c = 20.0;
    assert_true(isinf(bk_heat_seconds_to(arena, &q, BK_HEAT_TYPICAL, 15.0)));
    q.air_c = 4.0;
    assert_close(bk_heat_seconds_to(arena, &q, BK_HEAT_TYPICAL, 60.0), 0.0, 0.0);
    /* a layer below of the same stuff and temperature makes a thicker layer, which is
     * warmest at its base: there both have the same temperature */
    q.below.from_c = 60.0;
    q.to_c = 12.0;
    bk_heat_question whole = {.shape = BK_HEAT_SLAB, .across = INFINITY, .deep = 0.018};
    bk_body body;
    bk_body_begin(&body, &whole, layer, (bk_faces){8.0, 0.0, 0.0});
    double seconds = bk_heat_seconds_to(arena, &q, BK_HEAT_TYPICAL, 12.0);
    double exact = bk_body_at(&body, 0, 0, 0.010, seconds);
    assert_close(4.0 + 56.0 * exact, 12.0, 0.056);
    /* what is below gets as warm as it was, no warmer; a cold one far less than the mean of
     * both by the heat each holds, which it would be without any loss */
    bk_heat_answer answer = bk_heat_estimate(arena, &q);
    assert_int_equal(answer.fault, BK_HEAT_OK);
    assert_close(answer.joint_c[BK_HEAT_TYPICAL], 60.0, 0.01);
    q.below.from_c = 4.0;
    answer = bk_heat_estimate(arena, &q);
    assert_true(answer.joint_c[BK_HEAT_TYPICAL] > 4.0 + 56.0 * 8.0 / 18.0);
    assert_true(answer.joint_c[BK_HEAT_TYPICAL] < 4.0 + 56.0 / 2.0);
    q.below.deep = 0.0;
    assert_true(isnan(bk_heat_estimate(arena, &q).joint_c[BK_HEAT_TYPICAL]));
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_the_series), cmocka_unit_test(tray_as_round),
        cmocka_unit_test(second_order),           cmocka_unit_test(order_in_time),
        cmocka_unit_test(heat_is_conserved),      cmocka_unit_test(insulated_mixes),
        cmocka_unit_test(room_then_fridge),       cmocka_unit_test(journey_at_its_ends),
        cmocka_unit_test(poured_layer),           cmocka_unit_test(poured_layer_at_its_ends),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
