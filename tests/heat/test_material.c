/* Properties of food against the published correlations and their mixtures. */
#include "close.h"

#include "heat/heat.h"

#include <string.h>

/* Choi & Okos (1986) at 20 C: k, density, heat capacity, and the same authors'
 * separate fit of the diffusivity, from which k / (rho cp) differs by up to 3 %. */
static void parts_at_20_degrees(void **state)
{
    (void)state;
    static const struct {
        bk_composition composition;
        double k, density, heat_capacity, diffusivity_fit;
    } table[] = {
        {{.water = 1}, 0.6037, 995.7, 4176.6, 0.1432e-6},
        {{.protein = 1}, 0.2016, 1319.5, 2031.9, 0.0776e-6},
        {{.fat = 1}, 0.1751, 917.2, 2011.7, 0.0962e-6},
        {{.carbohydrate = 1}, 0.2274, 1592.9, 1585.7, 0.0905e-6},
        {{.fibre = 1}, 0.2070, 1304.2, 1880.7, 0.0835e-6},
        {{.ash = 1}, 0.3565, 2418.2, 1128.9, 0.1316e-6},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        bk_material m = bk_material_of(&table[i].composition, 20.0);
        assert_close(m.conductivity, table[i].k, 0.00006);
        assert_close(m.density, table[i].density, 0.06);
        assert_close(m.heat_capacity, table[i].heat_capacity, 0.06);
        double fit = table[i].diffusivity_fit;
        assert_close(m.conductivity / (m.density * m.heat_capacity), fit, 0.031 * fit);
    }
}

/* Mixtures at 10 C, recomputed apart from this code from USDA compositions:
 * Maxwell-Eucken with water continuous, specific volumes and heat capacities by
 * mass. */
static void mixtures_at_10_degrees(void **state)
{
    (void)state;
    static const struct {
        bk_composition composition;
        double k, density, heat_capacity;
    } table[] = {
        {{.544, .059, .342, .041, 0, .013, 0, 0, 0}, 0.380, 1007, 3156},
        {{.577, .021, .370, .028, 0, .005, 0, 0, 0}, 0.386, 985, 3238},
        {{.880, .033, .033, .047, 0, .007, 0, 0, 0}, 0.542, 1025, 3889},
        {{.762, .126, .095, .007, 0, .011, 0, 0, 0}, 0.484, 1030, 3646},
        {{.523, .159, .265, .036, 0, .017, 0, 0, 0}, 0.379, 1040, 3110},
        {{.844, .012, 0, .142, 0, .002, 0, 0, 0}, 0.540, 1058, 3774},
        {{.776, .050, .046, .119, 0, .009, 0, 0, 0}, 0.505, 1059, 3630},
        {{.272, .080, .087, .544, 0, .018, 0, 0, 0}, 0.321, 1290, 2342},
        {{.472, .039, .299, .181, 0, .009, 0, 0, 0}, 0.364, 1058, 2942},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        bk_material m = bk_material_of(&table[i].composition, 10.0);
        assert_close(m.conductivity, table[i].k, 0.0006);
        assert_close(m.density, table[i].density, 0.8);
        assert_close(m.heat_capacity, table[i].heat_capacity, 1.0);
    }
}

/* Butter and sugar have no water to speak of: between the series and parallel
 * bounds (recomputed, 10 C). */
static void dry_food_stays_within_the_bounds(void **state)
{
    (void)state;
    bk_composition butter = {.159, .009, .811, .001, 0, .021, 0, 0, 0}, sugar = {.carbohydrate = 1};
    bk_composition chocolate = {.014, .078, .426, .350, .109, .023, 0, 0, 0};
    double k = bk_material_of(&butter, 10.0).conductivity;
    assert_true(k > 0.200 && k < 0.241);
    k = bk_material_of(&chocolate, 10.0).conductivity;
    assert_true(k > 0.192 && k < 0.199);
    assert_close(bk_material_of(&sugar, 10.0).conductivity, 0.215, 0.0006);
}

/* Air in the same filling, recomputed at 10 C. */
static void air(void **state)
{
    (void)state;
    static const struct {
        double air, k, density, diffusivity;
    } table[] = {
        {0, 0.364, 1058, 1.168e-7},  {0.1, 0.317, 953, 1.129e-7}, {0.2, 0.273, 847, 1.097e-7},
        {0.3, 0.234, 741, 1.071e-7}, {0.4, 0.197, 636, 1.053e-7}, {0.5, 0.163, 530, 1.046e-7},
    };
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        bk_composition c = {.472, .039, .299, .181, 0, .009, table[i].air, 0, 0};
        bk_material m = bk_material_of(&c, 10.0);
        assert_close(m.conductivity, table[i].k, 0.001);
        assert_close(m.density, table[i].density, 1.0);
        double a = m.conductivity / (m.density * m.heat_capacity);
        assert_close(a, table[i].diffusivity, 0.003e-7 + 0.002 * table[i].diffusivity);
    }
}

/* What conducts in the pores, from the mixture: Maxwell-Eucken turned round. */
static double in_pores(double mixed, double rest, double part)
{
    double a = mixed / rest;
    return rest * (2.0 * a - 2.0 + part * (a + 2.0)) / (1.0 - a + part * (a + 2.0));
}

/* Vapour that crosses a pore, from the figures of tables: at 20 C diffusivity 2.49e-5 m2/s, slope
 * of the pressure 145 Pa/K, 2.454 MJ/kg; at 59 C 3.13e-5, 890 Pa/K, 2.362 MJ/kg, 19.03 kPa (steam
 * tables; Cengel). De Vries (1963, from memory) has 0.074 at 20 C of air full of vapour, with
 * another diffusivity. It grows with heat, without a jump, and has an end. */
static void vapour_in_pores(void **state)
{
    (void)state;
    bk_composition crumb = {.water = .4, .carbohydrate = .6, .air = .7}, dense = crumb;
    dense.air = 0.0;
    double before = 0.0;
    for (int t = -10; t <= 120; t++) {
        crumb.pores = 0.0;
        double rest = bk_material_of(&dense, t).conductivity;
        double dry = in_pores(bk_material_of(&crumb, t).conductivity, rest, crumb.air);
        crumb.pores = 1.0;
        double wet = in_pores(bk_material_of(&crumb, t).conductivity, rest, crumb.air);
        assert_close(dry, 0.0240 + 7.0e-5 * t, 1e-9);
        double vapour = wet - dry;
        if (t == 20) {
            assert_close(vapour, 0.95 * 2.49e-5 / (461.5 * 293.15) * 1.022 * 145.0 * 2.454e6,
                         0.003);
            assert_close(vapour, 0.95 * 0.074, 0.010);
        }
        if (t == 59)
            assert_close(vapour, 0.95 * 3.13e-5 / (461.5 * 332.15) * 1.217 * 890.0 * 2.362e6, 0.01);
        assert_true(vapour >= before - 1e-9 && vapour < 1.2 * before + 0.02);
        before = vapour;
    }
    crumb.pores = 1.1;
    assert_true(isnan(bk_composition_sum(&crumb)));
}

static void correlations_end_where_they_end(void **state)
{
    (void)state;
    bk_composition water = {.water = 1};
    assert_close(bk_material_of(&water, 250.0).conductivity,
                 bk_material_of(&water, 150.0).conductivity, 0.0);
    assert_close(bk_material_of(&water, -60.0).density, bk_material_of(&water, -40.0).density, 0.0);
}

/* Sums near 1 are scaled, so that the rounding of a label does not count. */
static void sums(void **state)
{
    (void)state;
    bk_composition exact = {.5, .1, .2, .2, 0, 0, 0, 0, 0},
                   scaled = {.505, .101, .202, .202, 0, 0, 0, 0, 0};
    bk_material a = bk_material_of(&exact, 10.0), b = bk_material_of(&scaled, 10.0);
    assert_close(bk_composition_sum(&scaled), 1.01, 1e-12);
    assert_close(a.conductivity, b.conductivity, 1e-12);
    assert_close(a.density, b.density, 1e-9);
    bk_composition wrong = exact;
    wrong.fat = -0.2;
    assert_true(isnan(bk_composition_sum(&wrong)));
    wrong.fat = NAN;
    assert_true(isnan(bk_composition_sum(&wrong)));
    wrong = exact;
    wrong.air = 0.95;
    assert_true(isnan(bk_composition_sum(&wrong)));
}

static void every_food_is_a_food(void **state)
{
    (void)state;
    size_t count;
    const bk_food *foods = bk_foods(&count);
    assert_true(count > 20);
    for (size_t i = 0; i < count; i++) {
        if (i > 0)
            assert_true(strcmp(foods[i - 1].name, foods[i].name) < 0);
        assert_close(bk_composition_sum(&foods[i].composition), 1.0, 0.006);
        assert_non_null(foods[i].about);
        assert_true(strlen(foods[i].source) > 3);
        assert_ptr_equal(bk_food_find(foods[i].name), &foods[i]);
        bk_material m = bk_material_of(&foods[i].composition, 10.0);
        assert_true(m.conductivity > 0.05 && m.conductivity < 0.62);
        assert_true(m.density > 200.0 && m.density < 1350.0);
        assert_true(m.heat_capacity > 1500.0 && m.heat_capacity < 4200.0);
    }
}

static void names_are_forgiving(void **state)
{
    (void)state;
    assert_string_equal(bk_food_find("Whipped-cream filling")->name, "whipped cream");
    assert_string_equal(bk_food_find("  soft_cheese   FILLING ")->name, "soft cheese");
    assert_string_equal(bk_food_find("rice")->name, "cooked rice");
    assert_null(bk_food_find("custar"));
    assert_null(bk_food_find("custard filling filling"));
    assert_null(bk_food_find("filling"));
    assert_null(bk_food_find(""));
    assert_null(bk_food_find("custards"));

    /* the list for suggestions and the table agree */
    size_t count, listed = 0, own = 0;
    (void)bk_foods(&count);
    for (const char *const *name = bk_food_names(); *name != NULL; name++, listed++) {
        const bk_food *food = bk_food_find(*name);
        assert_non_null(food);
        if (strcmp(food->name, *name) == 0)
            own++;
    }
    assert_int_equal(own, count);
    assert_true(listed > own);
}

/* The handbook lists every food with where its composition comes from. */
static void documented(void **state)
{
    (void)state;
    static char text[65536];
    FILE *file = fopen("docs/cooling.md", "r");
    assert_non_null(file);
    size_t length = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    text[length] = '\0';
    size_t count;
    const bk_food *foods = bk_foods(&count);
    for (size_t i = 0; i < count; i++) {
        char row[512];
        const bk_composition *c = &foods[i].composition;
        snprintf(row, sizeof row, "\n| %s | %s | %g / %g / %g / %g / %g / %g | %g |", foods[i].name,
                 foods[i].about, 100 * c->water, 100 * c->protein, 100 * c->fat,
                 100 * c->carbohydrate, 100 * c->fibre, 100 * c->ash, 100 * c->air);
        const char *found = strstr(text, row);
        if (found == NULL)
            print_error("docs/cooling.md lacks%s\n", row);
        assert_non_null(found);
        assert_non_null(strstr(found, foods[i].source));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parts_at_20_degrees),
        cmocka_unit_test(mixtures_at_10_degrees),
        cmocka_unit_test(dry_food_stays_within_the_bounds),
        cmocka_unit_test(air),
        cmocka_unit_test(vapour_in_pores),
        cmocka_unit_test(correlations_end_where_they_end),
        cmocka_unit_test(sums),
        cmocka_unit_test(every_food_is_a_food),
        cmocka_unit_test(names_are_forgiving),
        cmocka_unit_test(documented),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
