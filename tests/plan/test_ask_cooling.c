/* A cooling question in words: the same as the plan's, and what is wrong in it. */
#include "corpus.h"
#include "heat/heat.h"
#include "support/splitmix.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

typedef struct asked {
    bool good;
    bk_heat_question question;
    const char *food;
    bk_report report;
} asked;

static asked ask(bk_arena *arena, const char *const *words)
{
    asked a = {.report = bk_report_new(arena)};
    bk_cooling cooling = {0};
    a.good = bk_cooling_ask(arena, words, false, &cooling, &a.question, &a.report);
    a.food = cooling.food;
    return a;
}

#define ASK(...) ask(arena, (const char *const[]){__VA_ARGS__, NULL})
#define SIZE "shape", "round", "across", "20 cm", "deep", "6 cm"
#define COLD "from", "15 C", "to", "6 C"

/* The question of a plan whose only stage has this "cooling". */
static bk_heat_question of_plan(bk_arena *arena, const char *cooling)
{
    char *text = bk_format(
        arena,
        "{\"occasion\": \"Test\", \"timezone\": \"UTC\", \"serve\": \"2026-12-14 12:00\", "
        "\"kitchen\": {\"equipment\": {\"fridge\": {\"kind\": \"cold\"}, "
        "\"larder\": {\"kind\": \"cold\", \"at\": \"7 C\", \"air\": \"fan\"}, "
        "\"freezer\": {\"kind\": \"cold\", \"at\": \"-18 C\"}}}, "
        "\"dishes\": [{\"dish\": \"A\", \"stages\": [{\"id\": \"a\", \"do\": \"a\", "
        "\"cooling\": {%s}}]}]}",
        cooling);
    bk_report report;
    bk_plan *plan =
        corpus_read(arena, (const char *const[]){"plan.json", text, NULL}, NULL, &report);
    assert_non_null(plan);
    bk_heat_question question;
    bk_cooling_question(plan->stages[0].cooling, &question);
    return question;
}

static void expect_same(const bk_heat_question *a, const bk_heat_question *b)
{
    assert_int_equal(a->shape, b->shape);
    assert_true(a->across == b->across);
    if (a->shape != BK_HEAT_BALL) {
        assert_true(a->deep == b->deep);
        assert_int_equal(a->tin, b->tin);
        assert_int_equal(a->base_insulated, b->base_insulated);
    }
    assert_int_equal(a->has_material, b->has_material);
    assert_memory_equal(&a->composition, &b->composition, sizeof a->composition);
    assert_true(a->from_c == b->from_c && a->to_c == b->to_c && a->air_c == b->air_c);
    assert_int_equal(a->place, b->place);
    for (int end = 0; end < 3; end++)
        assert_true(a->surface[end] == b->surface[end]);
}

static void the_same_words_as_the_plan(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_heat_question plan =
        of_plan(arena, "\"shape\": \"round\", \"across\": \"20 cm\", \"deep\": \"6 cm\", "
                       "\"food\": \"custard\", \"from\": \"15 C\", \"to\": \"6 C\", "
                       "\"in\": \"fridge\"");
    asked a = ASK(SIZE, "food", "custard", COLD);
    assert_true(a.good);
    assert_string_equal(a.food, "custard");
    expect_same(&a.question, &plan);

    plan =
        of_plan(arena, "\"shape\": \"slab\", \"deep\": \"8 mm\", \"food\": {\"water\": 0.6, "
                       "\"protein\": 0.05, \"fat\": 0.1, \"carbohydrate\": 0.2, \"fibre\": 0.04, "
                       "\"ash\": 0.01, \"air\": 0.4}, \"from\": \"60 F\", \"to\": \"9 C\", "
                       "\"in\": \"larder\", \"base\": \"insulated\", \"tin\": \"glass\"");
    a = ASK("shape", "slab", "deep", "8 mm", "water", "0.6", "protein", "5 %", "fat", "10%",
            "carbohydrate", "0.2", "fibre", "0.04", "ash", "0.01", "air-fraction", "0.4", "from",
            "60 F", "to", "9 C", "air", "7 C", "fan", "yes", "base", "insulated", "tin", "glass");
    assert_true(a.good);
    assert_null(a.food);
    expect_same(&a.question, &plan);
    a = ASK("shape", "slab", "deep", "8 mm", "food",
            "{\"water\": 0.6, \"protein\": 0.05, \"fat\": 0.1, \"carbohydrate\": 0.2, "
            "\"fibre\": 0.04, \"ash\": 0.01, \"air\": 0.4}",
            "from", "60 F", "to", "9 C", "air", "7 C", "fan", "yes", "base", "insulated", "tin",
            "glass");
    assert_true(a.good);
    expect_same(&a.question, &plan);

    plan =
        of_plan(arena, "\"shape\": \"ball\", \"across\": \"8 in\", \"food\": \"bread\", "
                       "\"from\": \"90 C\", \"to\": \"30 C\", \"in\": \"room\", \"tin\": \"none\"");
    a = ASK("shape", "ball", "across", "8 in", "food", "bread", "from", "90 C", "to", "30 C", "in",
            "room", "tin", "none");
    assert_true(a.good);
    expect_same(&a.question, &plan);

    plan = of_plan(arena, "\"shape\": \"round\", \"across\": \"20 cm\", \"deep\": \"6 cm\", "
                          "\"food\": \"mousse\", \"from\": \"15 C\", \"to\": \"6 C\", "
                          "\"in\": \"freezer\"");
    a = ASK(SIZE, "food", "mousse", COLD, "in", "freezer");
    assert_true(a.good);
    expect_same(&a.question, &plan);
    bk_arena_free(arena);
}

static void where_it_stands(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    static const struct {
        const char *words[7];
        enum bk_heat_place place;
        double air;
    } table[] = {
        {{NULL}, BK_HEAT_FRIDGE, 4.0},
        {{"air", "2 C"}, BK_HEAT_FRIDGE, 2.0},
        {{"air", "14.9 C"}, BK_HEAT_FRIDGE, 14.9},
        {{"air", "15 C"}, BK_HEAT_ROOM, 15.0},
        {{"air", "18 C", "in", "fridge"}, BK_HEAT_FRIDGE, 18.0},
        {{"air", "-10 C"}, BK_HEAT_FREEZER, -10.0},
        {{"fan", "yes"}, BK_HEAT_FRIDGE_FAN, 4.0},
        {{"fan", "no"}, BK_HEAT_FRIDGE, 4.0},
        {{"in", "freezer", "fan", "yes"}, BK_HEAT_FREEZER_FAN, -18.0},
        {{"in", "freezer", "air", "0 C"}, BK_HEAT_FREEZER, 0.0},
        {{"in", "room", "air", "10 C"}, BK_HEAT_ROOM, 10.0},
        {{"in", "ice bath"}, BK_HEAT_ICE_BATH, 0.0},
        {{"in", "water bath", "air", "12 C"}, BK_HEAT_WATER_BATH, 12.0},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        const char *words[20] = {SIZE, "food", "custard", COLD};
        for (size_t n = 0; table[i].words[n] != NULL; n++)
            words[12 + n] = table[i].words[n];
        asked a = ask(arena, words);
        assert_true(a.good);
        assert_int_equal(a.question.place, table[i].place);
        assert_true(a.question.air_c == table[i].air);
    }
    bk_arena_free(arena);
}

static void surface(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    /* 8 is what a still fridge typically has: nothing changes */
    asked a = ASK(SIZE, "food", "custard", COLD, "h", "8");
    assert_true(a.good);
    for (int end = BK_HEAT_WEAK; end <= BK_HEAT_STRONG; end++)
        assert_true(a.question.surface[end] ==
                    bk_surface_coefficient(BK_HEAT_FRIDGE, (enum bk_heat_end)end));
    a = ASK(SIZE, "food", "custard", COLD, "h", "16");
    assert_true(a.question.surface[BK_HEAT_WEAK] == 10.0 &&
                a.question.surface[BK_HEAT_TYPICAL] == 16.0 &&
                a.question.surface[BK_HEAT_STRONG] == 20.0);
    a = ASK(SIZE, "food", "custard", COLD, "h", "5 - 7.5 - 12");
    assert_true(a.question.surface[BK_HEAT_WEAK] == 5.0 &&
                a.question.surface[BK_HEAT_TYPICAL] == 7.5 &&
                a.question.surface[BK_HEAT_STRONG] == 12.0);
    a = ASK(SIZE, "food", "custard", COLD, "h", "5-10");
    assert_true(a.question.surface[BK_HEAT_TYPICAL] == 7.5);
    bk_arena_free(arena);
}

static void a_material(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    asked a = ASK(SIZE, "k", "0.45", "rho", "1210", "cp", "4000.5", COLD);
    assert_true(a.good && a.question.has_material);
    assert_true(a.question.material.conductivity == 0.45 && a.question.material.density == 1210.0 &&
                a.question.material.heat_capacity == 4000.5);
    assert_null(a.food);
    bk_arena_free(arena);
}

/* Words that replace parts of a question leave the rest as it was. */
static void parts_are_replaced(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    asked a = ASK(SIZE, "food", "custard", COLD, "fan", "yes", "tin", "glass");
    bk_heat_question before = a.question;
    bk_cooling cooling = {.food = a.food};
    const char *const none[] = {NULL}, *const deeper[] = {"deep", "8 cm", NULL};
    const char *const elsewhere[] = {"in", "room", NULL};
    assert_true(bk_cooling_ask(arena, none, true, &cooling, &a.question, &a.report));
    expect_same(&a.question, &before);
    assert_string_equal(cooling.food, "custard");
    assert_true(bk_cooling_ask(arena, deeper, true, &cooling, &a.question, &a.report));
    assert_true(a.question.deep == 0.08);
    before.deep = 0.08;
    expect_same(&a.question, &before);
    assert_true(bk_cooling_ask(arena, elsewhere, true, &cooling, &a.question, &a.report));
    assert_int_equal(a.question.place, BK_HEAT_ROOM); /* the fan stays in the fridge */
    assert_true(a.question.air_c == 20.0);
    /* a part of a layer below, where there is none */
    const char *const softens[] = {"melts", "28 C", NULL};
    assert_false(bk_cooling_ask(arena, softens, true, &cooling, &a.question, &a.report));
    assert_int_equal(a.report.errors, 1);
    assert_string_equal(a.report.messages[a.report.count - 1].text, "onto is missing");
    bk_arena_free(arena);
}

/* What is below, what is over it, and where it stood before. */
static void layers_and_places(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_heat_question plan = of_plan(
        arena, "\"shape\": \"slab\", \"deep\": \"8 mm\", \"food\": \"fruit jelly\", "
               "\"from\": \"60 C\", \"to\": \"15 C\", \"cover\": \"film\", \"onto\": "
               "{\"food\": \"shortcrust pastry\", \"deep\": \"1 cm\", \"from\": \"20 C\"}, "
               "\"places\": [{\"in\": \"room\", \"for\": \"20 min\"}, {\"in\": \"fridge\"}]");
    asked a = ASK("shape", "slab", "deep", "8 mm", "food", "fruit jelly", "from", "60 C", "to",
                  "15 C", "cover", "film", "onto", "pastry", "onto-deep", "10 mm", "onto-from",
                  "20 C", "places", "room 20 min");
    assert_true(a.good);
    expect_same(&a.question, &plan);
    assert_int_equal(plan.cover, BK_HEAT_COVER_FILM);
    assert_true(a.question.cover == plan.cover && a.question.below.deep == 0.01 &&
                plan.below.deep == 0.01 && plan.below.from_c == 20.0);
    assert_memory_equal(&a.question.below.composition, &plan.below.composition,
                        sizeof plan.below.composition);
    assert_int_equal(plan.leg_count, 1);
    assert_int_equal(a.question.leg_count, 1);
    assert_true(plan.legs[0].minutes == 20.0 && a.question.legs[0].minutes == 20.0);
    assert_true(plan.legs[0].air_c == 20.0 && plan.legs[0].place == BK_HEAT_ROOM);
    a = ASK(SIZE, "food", "soup", COLD, "stirred", "yes", "in", "ice bath");
    assert_true(a.good && a.question.stirred && a.question.place == BK_HEAT_ICE_BATH);
    a = ASK(SIZE, "food", "soup", COLD, "places", "room 1 h at 24 C, fridge 90 min");
    assert_true(a.good);
    assert_int_equal(a.question.leg_count, 2);
    assert_true(a.question.legs[0].air_c == 24.0 && a.question.legs[1].minutes == 90.0);
    static const char *const bad[][6] = {
        {"places", "room"},
        {"places", "room 0 min"},
        {"places", "cellar 3 h"},
        {"places", "water bath 3 h"},
        {"places", "room 1 h at warm"},
        {"cover", "hat"},
        {"stirred", "often"},
        {"onto-deep", "1 cm"},
        {"onto", "granite", "onto-deep", "1 cm", "onto-from", "5 C"},
        {"onto", "stew", "onto-deep", "0 cm", "onto-from", "5 C"}};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        a = ASK(SIZE, "food", "soup", COLD, bad[i][0], bad[i][1], bad[i][2], bad[i][3], bad[i][4],
                bad[i][5]);
        assert_false(a.good);
        assert_true(a.report.count >= 1 && a.report.messages[0].mend != NULL);
    }
    bk_arena_free(arena);
}

/* One fault each: one message that names the word and has a mend. */
static void one_fault_one_message(void **state)
{
    (void)state;
    static const struct {
        const char *key, *value, *says;
    } table[] = {
        {"shape", "rond", "did you mean \"round\""},
        {"shape", "hexagon", "\"ball\""},
        {"across", "0 cm", "more than nothing"},
        {"across", "20", "8 in"},
        {"deep", "-5 cm", "deep"},
        {"deep", "11 m", "10 m"},
        {"food", "custrad", "did you mean \"custard\""},
        {"food", "granite", "no food"},
        {"food", "{\"water\": 0.5, \"sand\": 0.5}", "sand"},
        {"food", "{\"water\": \"half\"}", "water"},
        {"food", "{\"water\"", "food:1"},
        {"from", "15", "with its unit, such"},
        {"from", "300.1 C", "from -40 C to 300 C"},
        {"from", "9999 C", "from -40 C to 300 C"},
        {"to", "-41 C", "from -40 C to 300 C"},
        {"in", "fidge", "did you mean \"fridge\""},
        {"in", "water bath", "air is missing"},
        {"air", "cold", "from -40 C to 300 C"},
        {"fan", "maybe", "\"no\" or \"yes\""},
        {"base", "closed", "\"open\" or \"insulated\""},
        {"tin", "gold", "\"ceramic\""},
        {"h", "0", "W/(m2 K)"},
        {"h", "8-5", "W/(m2 K)"},
        {"h", "5-6-7-8", "W/(m2 K)"},
        {"h", "8 W", "W/(m2 K)"},
        {"k", "0.5", "given twice"},
        {"water", "0.5", "given twice"},
        {"air-fraction", "1.5", "from 0 to 1"},
        {"air-fraction", "x", "from 0 to 1"},
        {"colour", "red", "no key"},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        const char *words[] = {"shape", "round",   "across", "20 cm", "deep", "6 cm",
                               "food",  "custard", COLD,     NULL,    NULL,   NULL};
        size_t at = 0;
        while (words[at] != NULL && strcmp(words[at], table[i].key) != 0)
            at += 2;
        words[at] = table[i].key;
        words[at + 1] = table[i].value;
        asked a = ask(arena, words);
        assert_false(a.good);
        assert_int_equal(a.report.count, 1);
        bk_text out = bk_text_new(arena);
        bk_message_write(&a.report.messages[0], &out);
        if (strstr(out.data, table[i].says) == NULL)
            fail_msg("%s %s: %s", table[i].key, table[i].value, out.data);
        bk_arena_free(arena);
    }
}

static void what_is_missing(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    assert_false(ASK("shape", "round", "deep", "6 cm", "food", "custard", COLD).good);
    assert_false(ASK("shape", "round", "across", "6 cm", "food", "custard", COLD).good);
    assert_false(ASK("shape", "slab", "food", "custard", COLD).good);
    assert_false(ASK("shape", "ball", "deep", "6 cm", "food", "custard", COLD).good);
    assert_false(ASK("across", "20 cm", "deep", "6 cm", "food", "custard", COLD).good);
    assert_false(ASK(SIZE, COLD).good);
    assert_false(ASK(SIZE, "food", "custard", "from", "15 C").good);
    assert_false(ASK(SIZE, "food", "custard", "to", "6 C").good);
    assert_false(ASK(SIZE, "k", "0.5", "cp", "3600", COLD).good);
    assert_true(ASK("shape", "slab", "deep", "6 cm", "food", "custard", COLD).good);
    assert_true(ASK("shape", "ball", "across", "6 cm", "food", "custard", COLD).good);
    bk_arena_free(arena);
}

/* Whatever the words: a question that the estimate takes or refuses with a message, or
 * messages. */
static void any_words(void **state)
{
    enum { SEED = 20261220, ROUNDS = 4000 };
    static const char *const some_keys[] = {
        "shape", "across", "deep", "food",    "from", "to",  "in",           "air",
        "fan",   "base",   "tin",  "h",       "k",    "rho", "cp",           "water",
        "fat",   "ash",    "",     "protein", "over", "fan", "air-fraction", "fibre"};
    static const char *const values[] = {
        "round",   "slab",      "ball",          "20 cm",
        "1e9 m",   "0 C",       "15 C",          "-18 C",
        "212 F",   "0.5",       "3600",          "1000",
        "8",       "5-8-10",    "100 %",         "-",
        "",        "room",      "custard",       "bread",
        "{}",      "{\"a\"}",   "[[[[",          "{\"water\": 1e308, \"air\": -1}",
        "yes",     "no",        "metal",         "none",
        "open",    "999999999", "0.000001",      "1",
        "freezer", "\xff\xfe",  "water bath",    "°C",
        "8-",      "1.2345678", "{\"water\": 1}"};
    enum {
        SOME_KEYS = sizeof some_keys / sizeof *some_keys,
        VALUES = sizeof values / sizeof *values
    };
    (void)state;
    uint64_t seed = SEED;
    print_message("seed %d\n", SEED);
    for (int round = 0; round < ROUNDS; round++) {
        bk_arena *arena = bk_arena_new(NULL);
        const char *words[32] = {SIZE, "food", "custard", COLD};
        size_t start = round % 2 == 0 ? 0 : 12, count = start + 2 * (splitmix64(&seed) % 8);
        for (size_t i = start; i < count; i += 2) {
            words[i] = some_keys[splitmix64(&seed) % SOME_KEYS];
            words[i + 1] = values[splitmix64(&seed) % VALUES];
        }
        words[count] = NULL;
        asked a = ask(arena, words);
        assert_true(a.good == (a.report.errors == 0));
        if (a.good) {
            bk_heat_answer answer = bk_heat_estimate(arena, &a.question);
            assert_true(answer.fault == BK_HEAT_OK || answer.message != NULL);
        }
        bk_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_words_as_the_plan),
        cmocka_unit_test(where_it_stands),
        cmocka_unit_test(surface),
        cmocka_unit_test(a_material),
        cmocka_unit_test(parts_are_replaced),
        cmocka_unit_test(layers_and_places),
        cmocka_unit_test(one_fault_one_message),
        cmocka_unit_test(what_is_missing),
        cmocka_unit_test(any_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
