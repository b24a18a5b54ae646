/* The timeline as JSON, read back by a JSON library. */
#include "write/write.h"

#include "fixture.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cjson/cJSON.h>
#include <cmocka.h>

typedef struct fixture {
    bk_arena *arena;
    cJSON *json;
} fixture;

static int setup(void **state)
{
    static fixture f;
    f = (fixture){.arena = bk_arena_new(NULL)};
    *state = &f;
    return f.arena ? 0 : -1;
}

static int teardown(void **state)
{
    fixture *f = *state;
    cJSON_Delete(f->json);
    bk_arena_free(f->arena);
    return 0;
}

static const char *json_of(bk_arena *arena, const bk_timeline *timeline)
{
    bk_text out = bk_text_new(arena);
    bk_write_json(timeline, NULL, &out);
    return out.data;
}

/* Reads what was written; nothing may follow but the last line's end. */
static const cJSON *read(fixture *f, const bk_timeline *timeline)
{
    const char *text = json_of(f->arena, timeline), *end = NULL;
    cJSON_Delete(f->json);
    f->json = cJSON_ParseWithOpts(text, &end, false);
    assert_non_null(f->json);
    assert_string_equal(end, "\n");
    return f->json;
}

static const cJSON *at(const cJSON *object, const char *key)
{
    const cJSON *value = cJSON_GetObjectItemCaseSensitive(object, key);
    if (!value)
        fail_msg("no key %s", key);
    return value;
}

static void text_is(const cJSON *object, const char *key, const char *expected)
{
    assert_true(cJSON_IsString(at(object, key)));
    assert_string_equal(at(object, key)->valuestring, expected);
}

static void number_is(const cJSON *object, const char *key, int64_t expected)
{
    assert_true(cJSON_IsNumber(at(object, key)));
    assert_true(at(object, key)->valuedouble == (double)expected);
}

static void null_is(const cJSON *object, const char *key)
{
    assert_true(cJSON_IsNull(at(object, key)));
}

static void has_every_key_of_the_contract(void **state)
{
    bk_timeline *supper = fixture_supper(((fixture *)*state)->arena);
    const cJSON *json = read(*state, supper);
    text_is(json, "format", "bakeset-timeline-1");
    text_is(json, "occasion", "Friday supper");
    text_is(json, "timezone", "Europe/London");
    text_is(json, "status", "optimal");
    text_is(json, "start", "2026-12-17T18:00:00+00:00");
    text_is(json, "ready", "2026-12-18T19:30:00+00:00");

    const cJSON *objective = at(json, "objective");
    text_is(objective, "first_start", "2026-12-17T18:00:00+00:00");
    number_is(objective, "interruptions", supper->interruptions);
    number_is(objective, "bound_interruptions", supper->bound_interruptions);
    number_is(objective, "waiting_minutes", supper->waiting);
    number_is(objective, "hands_on_serving_day_minutes", 48);
    text_is(objective, "bound_first_start", "2026-12-17T18:00:00+00:00");
    number_is(objective, "bound_waiting_minutes", supper->waiting);
    null_is(objective, "bound_hands_on_serving_day_minutes");

    const cJSON *search = at(json, "search");
    number_is(search, "conflicts", 42);
    assert_true(cJSON_IsTrue(at(search, "complete")));
    assert_int_equal(cJSON_GetArraySize(at(json, "warnings")), 0);
    assert_null(cJSON_GetObjectItemCaseSensitive(json, "why"));
    assert_null(cJSON_GetObjectItemCaseSensitive(json, "remedies"));
}

static void gives_each_stage(void **state)
{
    bk_timeline *supper = fixture_supper(((fixture *)*state)->arena);
    const cJSON *json = read(*state, supper), *stages = at(json, "stages");
    assert_int_equal(cJSON_GetArraySize(stages), supper->stage_count);

    const cJSON *bake = cJSON_GetArrayItem(stages, 1);
    text_is(bake, "dish", "Blackcurrant mousse torte");
    text_is(bake, "stage", "bake");
    text_is(bake, "do", "Bake the sponge until it springs back");
    text_is(bake, "attention", "watch");
    text_is(bake, "start", "2026-12-17T18:15:00+00:00");
    text_is(bake, "end", "2026-12-17T18:40:00+00:00");
    number_is(bake, "planned_minutes", 25);
    number_is(bake, "least_minutes", 20);
    number_is(bake, "likely_minutes", 22);
    number_is(bake, "most_minutes", 25);
    number_is(bake, "slack_minutes", 0);
    assert_true(cJSON_IsTrue(at(bake, "critical")));
    text_is(bake, "latest_start", "2026-12-17T18:15:00+00:00");
    text_is(bake, "oven", "oven#1");
    number_is(bake, "temperature_c", 180);
    const cJSON *check = cJSON_GetArrayItem(at(bake, "checks"), 0);
    text_is(check, "start", "2026-12-17T18:27:00+00:00");
    text_is(check, "end", "2026-12-17T18:27:00+00:00");
    text_is(check, "do", "Turn the tin round");

    const cJSON *mousse = cJSON_GetArrayItem(stages, 3);
    text_is(mousse, "attention", "hands");
    number_is(mousse, "slack_minutes", 25);
    assert_true(cJSON_IsFalse(at(mousse, "critical")));
    text_is(mousse, "latest_start", "2026-12-17T20:05:00+00:00");
    null_is(mousse, "oven");
    null_is(mousse, "temperature_c");
    text_is(mousse, "caution", "Raw egg white: not for those who must avoid it");
    assert_int_equal(cJSON_GetArraySize(at(mousse, "checks")), 0);
    text_is(cJSON_GetArrayItem(stages, 2), "attention", "none");
}

static void says_what_pins_a_stage(void **state)
{
    const cJSON *json = read(*state, fixture_supper(((fixture *)*state)->arena));
    const cJSON *sponge = cJSON_GetArrayItem(at(json, "stages"), 0);
    const cJSON *wait = cJSON_GetArrayItem(at(sponge, "pinned_by"), 0);
    text_is(wait, "fact", "wait");
    text_is(wait, "dish", "Blackcurrant mousse torte");
    text_is(wait, "stage", "sponge");
    text_is(at(wait, "other"), "stage", "bake");
    null_is(wait, "source");

    const cJSON *glaze = cJSON_GetArrayItem(at(json, "stages"), 7);
    text_is(glaze, "stage", "glaze");
    const cJSON *away = cJSON_GetArrayItem(at(glaze, "pinned_by"), 0);
    text_is(away, "fact", "away");
    text_is(away, "from", "2026-12-18T08:30:00+00:00");
    text_is(away, "to", "2026-12-18T16:30:00+00:00");
    text_is(away, "message", "Nobody is at home from 08:30.");
}

static void gives_oven_runs_and_the_dial(void **state)
{
    bk_timeline *supper = fixture_supper(((fixture *)*state)->arena);
    const cJSON *run = cJSON_GetArrayItem(at(read(*state, supper), "ovens"), 2);
    text_is(run, "oven", "oven#1");
    text_is(run, "on", "2026-12-18T18:25:00+00:00");
    text_is(run, "ready", "2026-12-18T18:35:00+00:00");
    text_is(run, "off", "2026-12-18T19:00:00+00:00");
    number_is(run, "temperature_c", 220);
    assert_null(cJSON_GetObjectItemCaseSensitive(run, "dial_c"));

    supper->plan->kitchen.equipment[0].fan = true;
    supper->stages[1].temperature_c = 530.0 / 3;
    const cJSON *bake = cJSON_GetArrayItem(at(read(*state, supper), "stages"), 1);
    assert_true(at(bake, "temperature_c")->valuedouble == 530.0 / 3);
    assert_true(at(bake, "dial_c")->valuedouble == 530.0 / 3 - 20);
}

static void leaves_unknown_bounds_null(void **state)
{
    bk_timeline *supper = fixture_supper(((fixture *)*state)->arena);
    supper->status = BK_TIMELINE_FEASIBLE;
    supper->bound_start = INT64_MAX;
    supper->bound_waiting = INT64_MIN;
    const cJSON *json = read(*state, supper);
    text_is(json, "status", "feasible");
    null_is(at(json, "objective"), "bound_first_start");
    null_is(at(json, "objective"), "bound_waiting_minutes");

    fixture_plan(supper)->style = BK_AHEAD;
    supper->bound_hands = 30;
    number_is(at(read(*state, supper), "objective"), "bound_hands_on_serving_day_minutes", 30);
}

static void explains_the_impossible(void **state)
{
    const cJSON *json = read(*state, fixture_impossible(((fixture *)*state)->arena));
    text_is(json, "status", "impossible");
    null_is(json, "start");
    null_is(json, "ready");
    null_is(at(json, "objective"), "first_start");
    null_is(at(json, "objective"), "waiting_minutes");
    null_is(at(json, "objective"), "hands_on_serving_day_minutes");
    null_is(at(json, "objective"), "bound_first_start");
    null_is(at(json, "objective"), "bound_waiting_minutes");
    assert_int_equal(cJSON_GetArraySize(at(json, "stages")), 0);

    const cJSON *time = cJSON_GetArrayItem(at(json, "why"), 0);
    text_is(time, "fact", "stage-time");
    text_is(time, "stage", "set");
    const cJSON *serve = cJSON_GetArrayItem(at(json, "why"), 1);
    text_is(serve, "fact", "serve");
    text_is(serve, "dish", "Blackcurrant mousse torte");
    null_is(serve, "stage");
    text_is(serve, "message", "Supper is at 19:30.");
    text_is(serve, "source", "supper.json:3:1");

    const cJSON *later = cJSON_GetArrayItem(at(json, "remedies"), 0);
    text_is(later, "change", "serve");
    text_is(later, "first_start", "2026-12-17T18:40:00+00:00");
    null_is(cJSON_GetArrayItem(at(json, "remedies"), 1), "first_start");
}

static void escapes_text(void **state)
{
    bk_timeline *supper = fixture_supper(((fixture *)*state)->arena);
    fixture_plan(supper)->occasion =
        "A \"supper\" \\ with\ttabs\x01, \xc3\xa9 and \xf0\x9f\x8e\x82";
    text_is(read(*state, supper), "occasion", supper->plan->occasion);
    fixture_plan(supper)->occasion = "bad \xff byte";
    text_is(read(*state, supper), "occasion", "bad \xef\xbf\xbd byte");
}

static void leaves_out_dropped_reminders(void **state)
{
    bk_timeline *supper = fixture_supper(((fixture *)*state)->arena);
    supper->stages[1].checks[0].dropped = true;
    bk_message warning = {.code = "reminder-dropped", .text = "Nobody is up", .mend = "move it"};
    supper->warnings = &warning;
    supper->warning_count = 1;
    const cJSON *json = read(*state, supper);
    const cJSON *bake = cJSON_GetArrayItem(at(json, "stages"), 1);
    assert_int_equal(cJSON_GetArraySize(at(bake, "checks")), 0);
    assert_int_equal(cJSON_GetArraySize(at(json, "warnings")), 1);
    const cJSON *first = cJSON_GetArrayItem(at(json, "warnings"), 0);
    text_is(first, "code", "reminder-dropped");
    text_is(first, "message", "Nobody is up; move it");
    null_is(first, "source");
}

static void gives_the_same_bytes(void **state)
{
    bk_arena *arena = ((fixture *)*state)->arena;
    assert_string_equal(json_of(arena, fixture_supper(arena)),
                        json_of(arena, fixture_supper(arena)));
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, setup, teardown)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(has_every_key_of_the_contract),
        TEST(gives_each_stage),
        TEST(says_what_pins_a_stage),
        TEST(gives_oven_runs_and_the_dial),
        TEST(leaves_unknown_bounds_null),
        TEST(explains_the_impossible),
        TEST(escapes_text),
        TEST(leaves_out_dropped_reminders),
        TEST(gives_the_same_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
