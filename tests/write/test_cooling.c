/* The writers of a cooling estimate on questions made at random: the text fits, the
 * JSON tells the estimate, the picture is well formed. */
#include "write/cooling/words.h"
#include "write/write.h"

#include "markup_check.h"
#include "support/splitmix.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cjson/cJSON.h>
#include <cmocka.h>

enum { SEED = 20261219, QUESTIONS = 24 };

static double between(uint64_t *state, double low, double high)
{
    return low + (high - low) * (double)(splitmix64(state) >> 11) / 9007199254740992.0;
}

/* A question that has an answer. */
static bk_cooled random_cooled(bk_arena *arena, uint64_t *state)
{
    static const char *const stages[] = {NULL, "Torte/chill", "<b>&\xe2\x80\xae\x1b[2J\xff/a b"};
    size_t foods = 0;
    const bk_food *food = bk_foods(&foods);
    for (;;) {
        const bk_food *one = &food[splitmix64(state) % foods];
        double from = between(state, 0.0, 120.0), air = between(state, -18.0, 40.0);
        bk_cooled cooled = {
            .stage = stages[splitmix64(state) % 3],
            .food = one->name,
            .question = {.shape = (enum bk_heat_shape)(splitmix64(state) % 3),
                         .across = pow(10.0, between(state, -2.5, 0.3)),
                         .deep = pow(10.0, between(state, -3.0, -0.3)),
                         .composition = one->composition,
                         .from_c = from,
                         .air_c = air,
                         .to_c = air + (from - air) * pow(10.0, between(state, -3.0, -0.01)),
                         .place = (enum bk_heat_place)(splitmix64(state) % BK_HEAT_PLACES),
                         .tin = (enum bk_heat_tin)(splitmix64(state) % BK_HEAT_TINS),
                         .base_insulated = splitmix64(state) % 2 == 0}};
        if (splitmix64(state) % 4 == 0)
            for (int end = 0; end < 3; end++)
                cooled.question.surface[end] = 1.0 + 20.0 * end;
        if (cooled.question.shape == BK_HEAT_SLAB && splitmix64(state) % 2 == 0)
            cooled.question.across = INFINITY;
        static const bk_heat_leg legs[] = {{20, 18, BK_HEAT_ROOM}, {45, 5, BK_HEAT_FRIDGE}};
        cooled.question.cover = (enum bk_heat_cover)(splitmix64(state) % BK_HEAT_COVERS);
        cooled.question.stirred = splitmix64(state) % 8 == 0;
        cooled.question.liquid = bk_food_liquid(one->name);
        cooled.melts_c = splitmix64(state) % 2 == 0 ? NAN : 20.0;
        if (splitmix64(state) % 8 == 0 && cooled.question.shape != BK_HEAT_BALL) {
            cooled.below = splitmix64(state) % 2 == 0 ? NULL : "bread";
            cooled.question.below = (bk_heat_below){
                .deep = 0.02, .from_c = 5.0, .composition = bk_food_find("bread")->composition};
        }
        if (splitmix64(state) % 8 == 0) {
            cooled.question.legs = legs;
            cooled.question.leg_count = 2;
            cooled.question.before = splitmix64(state) % 2 == 0 ? 0.0 : 30.0;
        }
        cooled.answer = bk_heat_estimate(arena, &cooled.question);
        if (cooled.answer.fault == BK_HEAT_OK)
            return cooled;
    }
}

static void expect_text_fits(bk_arena *arena, const bk_cooled *cooled, int width)
{
    bk_text out = bk_text_new(arena);
    bk_write_cooling_text(cooled, &(bk_text_style){.width = width}, &out);
    for (const char *line = out.data; *line;) {
        const char *end = strchr(line, '\n');
        assert_non_null(end);
        assert_true(bk_columns(bk_copy(arena, line, (size_t)(end - line))) <= (size_t)width);
        assert_true(end == line || end[-1] != ' ');
        line = end + 1;
    }
    assert_non_null(strstr(out.data, "LIKELY"));
    assert_null(strchr(out.data, '\x1b'));
    assert_non_null(strstr(out.data, "thermometer"));
    assert_null(strstr(out.data, "nan"));
    assert_null(strstr(out.data, "inf "));
}

static double number_at(const cJSON *object, const char *key)
{
    const cJSON *item = cJSON_GetObjectItemCaseSensitive(object, key);
    assert_true(cJSON_IsNumber(item));
    return item->valuedouble;
}

static void expect_json(bk_arena *arena, const bk_cooled *cooled)
{
    bk_text out = bk_text_new(arena);
    bk_write_cooling_json(cooled, &out);
    cJSON *root = cJSON_Parse(out.data);
    assert_non_null(root);
    const bk_heat_answer *a = &cooled->answer;
    assert_true(number_at(root, "least_minutes") == (double)a->least_minutes);
    assert_true(number_at(root, "likely_minutes") == (double)a->likely_minutes);
    assert_true(number_at(root, "most_minutes") == (double)a->most_minutes);
    const char *key = a->warming ? "coldest_c" : "warmest_c";
    const cJSON *curve = cJSON_GetObjectItemCaseSensitive(root, "curve"), *point = NULL;
    double sign = a->warming ? -1.0 : 1.0, last = sign * cooled->question.from_c, minutes = -1.0;
    const double hair = 0.006; /* of the solver at the point of melting ice */
    assert_true(cJSON_GetArraySize(curve) >= 2 && cJSON_GetArraySize(curve) <= 61);
    cJSON_ArrayForEach(point, curve)
    {
        double now = sign * number_at(point, key);
        /* what it stood in or stands on may first send it the other way */
        bool travels = cooled->question.leg_count > 0 || cooled->question.below.deep > 0.0;
        if (minutes < 0.0 && !travels)
            assert_true(fabs(number_at(point, key) - cooled->question.from_c) <= 0.001);
        assert_true(number_at(point, "minutes") > minutes);
        minutes = number_at(point, "minutes");
        assert_true(travels || now <= last + hair);
        assert_true(travels || sign * number_at(point, "least_c") <= now + hair);
        assert_true(travels || sign * number_at(point, "most_c") >= now - hair);
        last = now;
    }
    assert_true(minutes >= (double)a->most_minutes);
    assert_true(cJSON_GetArraySize(cJSON_GetObjectItemCaseSensitive(root, "what_matters")) >= 3);
    cJSON_Delete(root);
}

static void expect_picture(bk_arena *arena, const bk_cooled *cooled)
{
    bk_text out = bk_text_new(arena);
    bk_write_cooling_svg(cooled, &out);
    const char *fault = markup_fault(out.data, false);
    if (fault == NULL)
        fault = markup_texts_fault(out.data);
    if (fault != NULL)
        fail_msg("%s", fault);
    assert_null(strstr(out.data, "nan"));
}

static void any_estimate_can_be_written(void **state)
{
    (void)state;
    uint64_t seed = SEED;
    print_message("seed %d\n", SEED);
    for (int i = 0; i < QUESTIONS; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        bk_cooled cooled = random_cooled(arena, &seed);
        expect_text_fits(arena, &cooled, 40 + (int)(splitmix64(&seed) % 161));
        expect_json(arena, &cooled);
        expect_picture(arena, &cooled);
        bk_arena_free(arena);
    }
}

static void decimals(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    assert_string_equal(bk_decimal(arena, 4.0, 1), "4");
    assert_string_equal(bk_decimal(arena, 20.32, 1), "20.3");
    assert_string_equal(bk_decimal(arena, -18.0, 1), "-18");
    assert_string_equal(bk_decimal(arena, -0.04, 1), "0");
    assert_string_equal(bk_decimal(arena, -0.05, 1), "-0.1");
    assert_string_equal(bk_decimal(arena, 0.05, 2), "0.05");
    assert_string_equal(bk_decimal(arena, 1000.0, 0), "1000");
    assert_string_equal(bk_celsius(arena, (bk_units){0}, 5.96), "6 °C");
    bk_arena_free(arena);
}

static void degrees_get_their_sign(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    assert_string_equal(bk_with_degrees(arena, "air 1 C colder (3 C)"), "air 1 °C colder (3 °C)");
    assert_string_equal(bk_with_degrees(arena, "5 C; 57 C (FDA Food Code 3-501.14(A))"),
                        "5 °C; 57 °C (FDA Food Code 3-501.14(A))");
    assert_string_equal(bk_with_degrees(arena, ""), "");
    assert_string_equal(bk_with_degrees(arena, "vitamin C"), "vitamin C");
    bk_arena_free(arena);
}

/* The steps of an axis: usual lengths, no more of them than asked for. */
static void steps_are_usual(void **state)
{
    (void)state;
    assert_int_equal(bk_usual_minutes(1, 12), 1);
    assert_int_equal(bk_usual_minutes(12, 12), 1);
    assert_int_equal(bk_usual_minutes(13, 12), 2);
    assert_int_equal(bk_usual_minutes(543, 12), 60);
    for (int64_t span = 1; span < 600000; span += 1 + span / 7)
        for (int64_t most = 1; most < 70; most += 7)
            assert_true(bk_usual_minutes(span, most) * most >= span);
}

static bool has_note(bk_arena *arena, double from, double to, const char *words)
{
    bk_cooled cooled = {.food = "custard",
                        .question = {.shape = BK_HEAT_ROUND,
                                     .across = 0.2,
                                     .deep = 0.06,
                                     .composition = bk_food_find("custard")->composition,
                                     .from_c = from,
                                     .to_c = to,
                                     .air_c = 2.0,
                                     .place = BK_HEAT_FRIDGE}};
    cooled.answer = bk_heat_estimate(arena, &cooled.question);
    const char *notes[BK_COOLED_MOST_NOTES];
    size_t count = bk_cooled_notes(arena, &cooled, notes);
    for (size_t i = 0; i < count; i++)
        if (strstr(notes[i], words) != NULL)
            return true;
    return false;
}

/* Limits of FDA Food Code 3-501.14 and 3-501.16, and of the Food Safety and Hygiene
 * (England) Regulations 2013, Sch. 4; other temperatures are none. */
static void a_limit_is_named_with_its_source(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    assert_true(has_note(arena, 60.0, 5.0, "FDA Food Code 3-501.16"));
    assert_true(has_note(arena, 60.0, 5.0, "within 6 h of 57 °C"));
    assert_true(has_note(arena, 60.0, 21.0, "within 2 h of 57 °C"));
    assert_true(has_note(arena, 60.0, 8.0, "Regulations 2013"));
    assert_true(has_note(arena, 90.0, 57.0, "hot food"));
    assert_true(has_note(arena, 90.0, 63.0, "hot food"));
    assert_false(has_note(arena, 60.0, 6.0, "limit:"));
    assert_false(has_note(arena, 60.0, 30.0, "limit:"));
    assert_true(has_note(arena, 60.0, 30.0, "not a measurement"));
    bk_arena_free(arena);
}

static void foods_are_listed(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_text out = bk_text_new(arena);
    bk_write_foods(&(bk_text_style){.width = 60}, &out);
    size_t count = 0;
    const bk_food *foods = bk_foods(&count);
    for (size_t i = 0; i < count; i++) {
        char *line = bk_format(arena, "%s%s ", i == 0 ? "" : "\n", foods[i].name);
        assert_non_null(strstr(out.data, line));
    }
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(any_estimate_can_be_written),      cmocka_unit_test(decimals),
        cmocka_unit_test(degrees_get_their_sign),           cmocka_unit_test(steps_are_usual),
        cmocka_unit_test(a_limit_is_named_with_its_source), cmocka_unit_test(foods_are_listed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
