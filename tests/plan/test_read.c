/* Reading a plan as the library offers it: options, files, limits, places, lookup of
 * stages, and what happens when memory runs out. */
#include "corpus.h"

#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

static bk_arena *arena;
static bk_report report;

static int set_up(void **state)
{
    (void)state;
    arena = bk_arena_new(NULL);
    return arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    bk_arena_free(arena);
    return 0;
}

#define HEAD "{\"occasion\": \"Tea\", \"timezone\": \"Europe/London\","
#define CAKE                                                                                       \
    "{\"dish\": \"Cake\", \"stages\": ["                                                           \
    "{\"id\": \"mix\", \"do\": \"Mix\", \"active\": \"10 min\"},"                                  \
    "{\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"40 min\"}]}"
#define BREAD                                                                                      \
    "{\"dish\": \"Bread\", \"serve\": \"2026-12-06 12:00\", \"stages\": ["                         \
    "{\"id\": \"mix\", \"do\": \"Mix\", \"active\": \"10 min\"},"                                  \
    "{\"id\": \"rise\", \"do\": \"Rise\", \"passive\": \"8 h\"}]}"
static const char *const two_dishes[] = {
    "plan.json", HEAD "\"serve\": \"2026-12-05 16:00\", \"dishes\": [" CAKE "," BREAD "]}", NULL};
static const char *const no_serve[] = {"plan.json", HEAD "\"dishes\": [" CAKE "]}", NULL};

static const char *written(const bk_plan *plan, bk_instant instant)
{
    return bk_instant_rfc3339(arena, plan->zone, instant);
}

static bk_plan *must_read(const char *const *files, const bk_read_options *options)
{
    bk_plan *plan = corpus_read(arena, files, options, &report);
    if (plan == NULL)
        fail_msg("refused:\n%s", corpus_messages(arena, &report));
    return plan;
}

/* Reads what must be refused, with `expected` among the messages. */
static void must_refuse(const char *const *files, const bk_read_options *options,
                        const char *expected)
{
    bk_plan *plan = corpus_read(arena, files, options, &report);
    const char *seen = corpus_messages(arena, &report);
    if (plan != NULL || report.errors == 0 || strstr(seen, expected) == NULL)
        fail_msg("%s; \"%s\" is not in\n%s", plan != NULL ? "accepted" : "refused", expected, seen);
}

/* ----------------------------------------------------------------- options */

static void serve_overrides_the_plans(void **state)
{
    (void)state;
    bk_read_options options = {.serve = "2026-12-05 18:30"};
    const bk_plan *plan = must_read(two_dishes, &options);
    assert_string_equal(written(plan, plan->dishes[0].serve), "2026-12-05T18:30:00+00:00");
    /* A dish's own serve moves by the same difference. */
    assert_string_equal(written(plan, plan->dishes[1].serve), "2026-12-06T14:30:00+00:00");
    assert_string_equal(written(plan, plan->first_serve), "2026-12-05T18:30:00+00:00");
    assert_string_equal(written(plan, plan->last_serve), "2026-12-06T14:30:00+00:00");
    assert_string_equal(written(plan, plan->earliest), "2026-11-21T18:30:00+00:00");
    assert_null(plan->dishes[0].serve_place.source);
    assert_int_equal(plan->note_count, 1);
    assert_string_equal(plan->notes[0],
                        "Everything is served 2 h 30 min later than the plan says, each "
                        "dish's own hour too: the plan's at Saturday 5 December, 18:30.");

    must_refuse(no_serve, NULL, "plan.json:1:69: neither the plan nor the dish \"Cake\" says when");
    plan = must_read(no_serve, &options);
    assert_string_equal(written(plan, plan->last_serve), "2026-12-05T18:30:00+00:00");

    static const struct {
        const char *serve, *first, *second;
    } moves[] = {
        {"18:30", "2026-12-05T18:30:00+00:00", "2026-12-06T14:30:00+00:00"},
        {"+25 min", "2026-12-05T16:25:00+00:00", "2026-12-06T12:25:00+00:00"},
        {"-1 h", "2026-12-05T15:00:00+00:00", "2026-12-06T11:00:00+00:00"},
        {"Bread=13:00", "2026-12-05T16:00:00+00:00", "2026-12-06T13:00:00+00:00"},
        {"Cake=+10 min", "2026-12-05T16:10:00+00:00", "2026-12-06T12:00:00+00:00"},
        {"Bread=+5 min\n+1 h", "2026-12-05T17:00:00+00:00", "2026-12-06T13:05:00+00:00"},
        {"Cake=2026-12-07 08:00", "2026-12-07T08:00:00+00:00", "2026-12-06T12:00:00+00:00"}};
    for (size_t i = 0; i < sizeof moves / sizeof *moves; i++) {
        options.serve = moves[i].serve;
        plan = must_read(two_dishes, &options);
        assert_string_equal(written(plan, plan->dishes[0].serve), moves[i].first);
        assert_string_equal(written(plan, plan->dishes[1].serve), moves[i].second);
        assert_true(plan->note_count >= 1);
    }
    options.serve = "Cak=18:00";
    must_refuse(two_dishes, &options, "--serve: there is no dish \"Cak\"; did you mean \"Cake\"?");
    options.serve = "+1 m";
    must_refuse(two_dishes, &options, "write \"min\" for minutes");
    options.serve = "18:30";
    must_refuse(no_serve, &options, "the plan says no hour that this could be counted from");

    options.serve = "half past six";
    must_refuse(two_dishes, &options,
                "--serve is not a time: \"half past six\"; write an hour such as \"18:30\"");
    assert_int_equal(report.errors, 1);
}

static void now_raises_earliest(void **state)
{
    (void)state;
    const bk_plan *plan = must_read(two_dishes, NULL);
    assert_false(plan->has_now);
    assert_string_equal(written(plan, plan->earliest), "2026-11-21T16:00:00+00:00");

    bk_read_options options = {.has_now = true, .now = "2026-12-01 08:00"};
    plan = must_read(two_dishes, &options);
    assert_true(plan->has_now);
    assert_string_equal(written(plan, plan->now), "2026-12-01T08:00:00+00:00");
    assert_int_equal(plan->earliest, plan->now);

    options.now = "2026-11-01T08:00Z"; /* before the default: earliest stays */
    plan = must_read(two_dishes, &options);
    assert_string_equal(written(plan, plan->earliest), "2026-11-21T16:00:00+00:00");

    options = (bk_read_options){.has_now = true, .clock = plan->earliest + 60};
    plan = must_read(two_dishes, &options);
    assert_int_equal(plan->earliest, options.clock);

    /* A dish that is over is left out, and said; not all of them. */
    options = (bk_read_options){.has_now = true, .now = "2026-12-05 16:00"};
    assert_int_equal(must_read(two_dishes, &options)->dish_count, 2);
    options.now = "2026-12-05 16:01";
    plan = must_read(two_dishes, &options);
    assert_int_equal(plan->dish_count, 1);
    assert_string_equal(plan->dishes[0].name, "Bread");
    assert_string_equal(plan->notes[0],
                        "Left out, as it is Saturday 5 December, 16:01: Cake, served before.");
    options.now = "2026-12-06 12:01";
    must_refuse(
        two_dishes, &options,
        "the dish \"Bread\" is to be served at 2026-12-06 12:00, but it is 2026-12-06 12:01 "
        "already");
    assert_int_equal(report.errors, 2);

    /* An hour is today's, by the clock that was given. */
    options = (bk_read_options){.has_now = true, .now = "9:30", .clock = plan->now};
    plan = must_read(two_dishes, &options);
    assert_string_equal(written(plan, plan->now), "2026-12-05T09:30:00+00:00");
    options.clock = 0;
    must_refuse(two_dishes, &options, "--now is not a time");

    options.now = "2026-02-30 10:00";
    must_refuse(two_dishes, &options, "--now names a date or time of day that does not exist");
}

/* ------------------------------------------------------------------- lookup */

static void finds_stages_by_name(void **state)
{
    (void)state;
    static const char *const files[] = {
        "plan.json",
        HEAD "\"serve\": \"2026-12-06 16:00\", \"dishes\": [" CAKE "," BREAD ","
             "{\"dish\": \"Pie / crust\", \"stages\": [{\"id\": \"rub\", \"do\": \"Rub\", "
             "\"active\": \"5 min\"}]}]}",
        NULL};
    const bk_plan *plan = must_read(files, NULL);
    assert_string_equal(bk_stage_name(arena, plan, 1), "Cake/bake");
    assert_string_equal(bk_stage_name(arena, plan, 4), "Pie / crust/rub");
    for (size_t i = 0; i < plan->stage_count; i++)
        assert_int_equal(bk_stage_find(plan, bk_stage_name(arena, plan, i)), i);
    assert_int_equal(bk_stage_find(plan, "bake"), 1);
    assert_int_equal(bk_stage_find(plan, "rise"), 3);
    assert_true(bk_stage_find(plan, "mix") == SIZE_MAX - 1);
    assert_true(bk_stage_find(plan, "ris") == SIZE_MAX);
    assert_true(bk_stage_find(plan, "Bread/bake") == SIZE_MAX);
    assert_true(bk_stage_find(plan, "Brea/mix") == SIZE_MAX);
    assert_true(bk_stage_find(plan, "Breads/mix") == SIZE_MAX);
    assert_true(bk_stage_find(plan, "") == SIZE_MAX);
    assert_true(bk_stage_find(plan, "/") == SIZE_MAX);
}

/* -------------------------------------------------------------------- places */

/* The text that stands at a place. */
static void stands_at(bk_place place, const char *text)
{
    assert_non_null(place.source);
    assert_true(place.offset < place.source->length);
    if (strncmp(place.source->text + place.offset, text, strlen(text)) != 0)
        fail_msg("\"%.20s\" stands there, not \"%s\"", place.source->text + place.offset, text);
}

static void everything_knows_its_place(void **state)
{
    (void)state;
    static const char *const files[] = {
        "plan.json",
        "\xEF\xBB\xBF// a byte-order mark and a comment\n" HEAD
        "\"serve\": \"2026-12-05 16:00\", \"margin\": \"1 min\", \"earliest\": \"2026-12-01 "
        "09:00\","
        "\"kitchen\": {\"cooks\": 2, \"asleep\": \"23:00-06:00\", \"equipment\": {\"oven\": "
        "{\"kind\": "
        "\"oven\"}, \"tin\": {}}}, \"dishes\": [{\"recipe\": \"r.json\", \"keeps\": \"3 d\"}]}",
        "r.json",
        "{\"dish\": \"Cake\", \"stored\": {\"tin\": 1}, \"stages\": ["
        "{\"id\": \"mix\", \"do\": \"Mix\", \"active\": \"10 min\", \"holds\": {\"tin\": "
        "{\"until\": \"bake\"}}},"
        "{\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"40 min\", \"uses\": {\"oven\": "
        "{\"at\": \"180 C\"}},"
        "\"after\": {\"stage\": \"mix\", \"wait\": \"7 min\", \"within\": \"8 min\"}, \"checks\": "
        "[{\"at\": \"9 min\", \"do\": \"Look\"}]},"
        "{\"id\": \"cool\", \"do\": \"Cool\", \"passive\": \"11 min\"}]}",
        NULL};
    const bk_plan *plan = must_read(files, NULL);
    assert_int_equal(plan->source_count, 2);
    assert_string_equal(plan->sources[0]->name, "plan.json");
    assert_string_equal(plan->sources[1]->name, "r.json");
    stands_at(plan->occasion_place, "\"Tea\"");
    stands_at(plan->serve_place, "\"2026-12-05 16:00\"");
    stands_at(plan->margin_place, "\"1 min\"");
    stands_at(plan->earliest_place, "\"2026-12-01 09:00\"");
    stands_at(plan->cooks_place, "2,");
    stands_at(plan->kitchen.equipment[1].place, "\"tin\"");
    stands_at(plan->kitchen.windows[0].place, "\"23:00-06:00\"");
    const bk_dish *dish = &plan->dishes[0];
    stands_at(dish->place, "\"Cake\"");
    stands_at(dish->keeps_place, "\"3 d\""); /* the override, in the plan */
    assert_ptr_equal(dish->keeps_place.source, plan->sources[0]);
    assert_ptr_equal(dish->place.source, plan->sources[1]);
    stands_at(dish->serve_place, "\"2026-12-05 16:00\"");
    stands_at(dish->stored[0].place, "\"tin\"");
    stands_at(plan->stages[0].place, "\"mix\"");
    stands_at(plan->stages[0].range_place, "\"10 min\"");
    stands_at(plan->stages[0].holds[0].place, "\"tin\": {\"until\"");
    stands_at(plan->stages[1].oven.place, "\"oven\"");
    stands_at(plan->stages[1].links[0].place, "{\"stage\": \"mix\"");
    stands_at(plan->stages[1].links[0].wait_place, "\"7 min\"");
    stands_at(plan->stages[1].links[0].within_place, "\"8 min\"");
    stands_at(plan->stages[1].checks[0].place, "{\"at\": \"9 min\"");
    stands_at(plan->stages[2].links[0].place, "\"cool\""); /* not written: the stage itself */
    assert_false(plan->stages[2].links[0].written);
}

/* -------------------------------------------------------------------- limits */

static const char *const *one_file(const char *text)
{
    const char **files = BK_NEW(arena, const char *, 3);
    files[0] = "plan.json";
    files[1] = text;
    return files;
}

static void keeps_twenty_errors(void **state)
{
    (void)state;
    bk_text text = bk_text_new(arena);
    bk_text_add(&text, HEAD
                "\"serve\": \"2026-12-05 16:00\", \"dishes\": [{\"dish\": \"Cake\", \"stages\": [");
    for (int i = 0; i < 300; i++) {
        bk_text_addf(&text, "%s\n{\"id\": \"s%d\", \"do\": \"A\", \"passiv\": 1}", i > 0 ? "," : "",
                     i);
    }
    bk_text_add(&text, "]}]}");
    assert_null(corpus_read(arena, one_file(text.data), NULL, &report));
    assert_int_equal(report.count, BK_MOST_ERRORS);
    assert_true(report.errors >= 300);
}

/* A plan of `count` stages, each after the two before it. */
static const char *chain(size_t count)
{
    bk_text text = bk_text_new(arena);
    bk_text_add(&text, HEAD "\"serve\": \"2026-12-05 16:00\", \"kitchen\": {\"equipment\": "
                            "{\"tin\": {}}}, \"dishes\": [{\"dish\": \"Cake\", \"stages\": [");
    for (size_t i = 0; i < count; i++) {
        bk_text_addf(&text,
                     "%s\n{\"id\": \"stage %zu\", \"do\": \"Do it\", \"active\": \"0-1-2 min\", "
                     "\"uses\": {\"tin\": 1}, \"after\": [",
                     i > 0 ? "," : "", i);
        if (i > 1) {
            bk_text_addf(&text, "\"stage %zu\", {\"stage\": \"stage %zu\", \"wait\": \"1 min\"}",
                         i - 1, i - 2);
        }
        bk_text_addf(&text, "], \"holds\": {\"tin\": {\"until\": \"stage %zu\"}}}", i);
    }
    bk_text_add(&text, "]}]}");
    return text.data;
}

static void reads_many_stages(void **state)
{
    (void)state;
    const bk_plan *plan = must_read(one_file(chain(20000)), NULL);
    assert_int_equal(plan->stage_count, 20000);
    assert_int_equal(plan->stages[19999].links[0].stage, 19998);
    must_refuse(one_file(chain(20001)), NULL, "more than 20000 stages");
}

/* Many stages over many days: 500,000,000 min is 347 days for 1,000 of them. */
static void many_stages_span_fewer_days(void **state)
{
    (void)state;
    static const struct {
        const char *earliest, *refused;
    } table[] = {
        {"2025-12-23 16:00", NULL},
        {"2025-12-23 15:59", "the plan spans more than 347 days, the most for 1000 stages"}};
    for (size_t t = 0; t < 2; t++) {
        bk_text text = bk_text_new(arena);
        bk_text_addf(&text,
                     HEAD "\"serve\": \"2026-12-05 16:00\", \"earliest\": \"%s\", \"dishes\": "
                          "[{\"dish\": \"Cake\", \"stages\": [",
                     table[t].earliest);
        for (int i = 0; i < 1000; i++)
            bk_text_addf(&text, "%s\n{\"id\": \"%d\", \"do\": \"A\", \"passive\": \"1 min\"}",
                         i > 0 ? "," : "", i);
        bk_text_add(&text, "]}]}");
        if (table[t].refused)
            must_refuse(one_file(text.data), NULL, table[t].refused);
        else
            must_read(one_file(text.data), NULL);
    }
}

static const char *bakings(int count)
{
    bk_text text = bk_text_new(arena);
    bk_text_add(&text,
                HEAD "\"serve\": \"2026-12-05 16:00\", \"kitchen\": {\"equipment\": {\"oven\": "
                     "{\"kind\": \"oven\"}}}, \"dishes\": [{\"dish\": \"Cake\", \"stages\": [");
    for (int i = 0; i < count; i++)
        bk_text_addf(&text,
                     "%s\n{\"id\": \"%d\", \"do\": \"Bake\", \"passive\": \"1 min\", \"uses\": "
                     "{\"oven\": {\"at\": \"180 C\"}}}",
                     i > 0 ? "," : "", i);
    bk_text_add(&text, "]}]}");
    return text.data;
}

static void reads_a_thousand_bakings(void **state)
{
    (void)state;
    must_read(one_file(bakings(1000)), NULL);
    must_refuse(one_file(bakings(1002)), NULL, "plan.json:1002:");
    assert_int_equal(report.errors, 1);
    assert_non_null(strstr(corpus_messages(arena, &report), "more than 1000 stages in \"oven\""));
}

/* One circle through every stage: found without recursion. */
static void finds_a_long_circle(void **state)
{
    (void)state;
    bk_text text = bk_text_new(arena);
    bk_text_add(&text, HEAD
                "\"serve\": \"2026-12-05 16:00\", \"dishes\": [{\"dish\": \"Cake\", \"stages\": [");
    for (int i = 0; i < 20000; i++) {
        bk_text_addf(
            &text, "%s\n{\"id\": \"%d\", \"do\": \"A\", \"passive\": \"1 min\", \"after\": \"%d\"}",
            i > 0 ? "," : "", i, (i + 1) % 20000);
    }
    bk_text_add(&text, "]}]}");
    must_refuse(one_file(text.data), NULL, "0 -> 1 -> 2");
    assert_int_equal(report.errors, 1);
}

static void refuses_what_is_too_long(void **state)
{
    (void)state;
    char *blanks = BK_NEW(arena, char, BK_MOST_BYTES + 2);
    memset(blanks, ' ', BK_MOST_BYTES + 1);
    blanks[BK_MOST_BYTES] = '\0';
    must_refuse(one_file(blanks), NULL, "the file is empty"); /* 16 MiB are read */

    bk_text text = bk_text_new(arena);
    bk_text_add(&text, "[");
    bk_text_add_repeated(&text, '1', 30);
    for (int i = 0; i < 1000000; i++)
        bk_text_add(&text, ",1");
    bk_text_add(&text, "]");
    must_refuse(one_file(text.data), NULL, "more than 1000000 values");

    bk_text windows = bk_text_new(arena);
    bk_text_add(&windows, HEAD "\"serve\": \"2026-12-05 16:00\", \"earliest\": \"2025-01-05 "
                               "16:00\", \"kitchen\": {\"asleep\": [");
    for (int i = 0; i < 200; i++)
        bk_text_addf(&windows, "%s\"01:00-02:00\"", i > 0 ? "," : "");
    bk_text_add(&windows, "]}, \"dishes\": [" CAKE "]}");
    must_refuse(one_file(windows.data), NULL, "more than 100000 times");
}

/* ---------------------------------------------------------------- references */

static void follows_eight_references(void **state)
{
    (void)state;
    const char *files[40] = {0};
    size_t count = 0;
    files[count++] = "plan.json";
    files[count++] =
        HEAD "\"serve\": \"2026-12-05 16:00\", \"dishes\": [{\"recipe\": \"1.json\"}]}";
    for (int i = 1; i <= 7; i++) {
        files[count++] = bk_format(arena, "%d.json", i);
        files[count++] = bk_format(arena, "{\"recipe\": \"%d.json\", \"serves\": %d}", i + 1, i);
    }
    files[count++] = "8.json";
    files[count] = CAKE;
    const bk_plan *plan = must_read(files, NULL);
    assert_int_equal(plan->dishes[0].serves, 1); /* the nearest wins */
    assert_int_equal(plan->source_count, 9);
    files[count++] = "{\"recipe\": \"9.json\"}";
    files[count++] = "9.json";
    files[count++] = CAKE;
    must_refuse(files, NULL, "8.json:1:12: a chain of more than 8 files");
}

/* A plan of so many dishes, each of a file of its own with that text. */
static const char *const *recipes(size_t count, const char *recipe)
{
    const char **files = BK_NEW(arena, const char *, 2 * count + 3);
    bk_text plan = bk_text_new(arena);
    bk_text_add(&plan, HEAD "\"serve\": \"2026-12-05 16:00\", \"dishes\": [");
    for (size_t i = 0; i < count; i++) {
        bk_text_addf(&plan, "%s\n{\"dish\": \"%zu\", \"recipe\": \"%zu.json\"}", i > 0 ? "," : "",
                     i, i);
        files[2 * i + 2] = bk_format(arena, "%zu.json", i);
        files[2 * i + 3] = recipe;
    }
    bk_text_add(&plan, "]}");
    files[0] = "plan.json";
    files[1] = plan.data;
    return files;
}

/* The plan is one of the files. */
static void follows_a_thousand_files(void **state)
{
    (void)state;
    assert_int_equal(must_read(recipes(999, CAKE), NULL)->source_count, 1000);
    must_refuse(recipes(1000, CAKE), NULL, "the plan refers to more than 1000 files");
}

/* A file of which there is none: how often it was asked for. */
static bool is_not_there(void *context, bk_arena *of, const char *path, size_t most,
                         const char **text, size_t *length, const char **problem)
{
    size_t *asked = context;
    (void)most;
    *problem = "no such file";
    if (strcmp(path, "plan.json") != 0) {
        ++*asked;
        return false;
    }
    const char *plan = recipes(5000, CAKE)[1];
    *length = strlen(plan);
    *text = bk_copy(of, plan, *length);
    return true;
}

static void asks_for_a_thousand_files_that_are_not_there(void **state)
{
    (void)state;
    size_t asked = 0;
    bk_files files = {is_not_there, &asked};
    report = bk_report_new(arena);
    assert_null(bk_plan_read(arena, &files, "plan.json", NULL, &report));
    assert_int_equal(asked, 999);
    assert_int_equal(report.errors, 5000);
}

/* All are counted, though twenty are told. */
static void counts_unknown_keys(void **state)
{
    (void)state;
    bk_text plan = bk_text_new(arena);
    bk_text_add(&plan, HEAD "\"serve\": \"2026-12-05 16:00\"");
    for (int i = 0; i < 500; i++)
        bk_text_addf(&plan, ", \"k%d\": 1", i);
    bk_text_add(&plan, ", \"dishes\": [" CAKE "]}");
    const char *const files[] = {"plan.json", plan.data, NULL};
    must_refuse(files, NULL, "the plan has no key \"k19\"");
    assert_int_equal(report.errors, 500);
    assert_int_equal(report.count, BK_MOST_ERRORS);
}

static void reads_64_mib_in_all(void **state)
{
    (void)state;
    enum { LENGTH = 15 * 1024 * 1024 };
    char *blanks = bk_format(arena, "%s%*s", CAKE, LENGTH, "");
    assert_int_equal(must_read(recipes(4, blanks), NULL)->source_count, 5);
    must_refuse(recipes(5, blanks), NULL, "the files of this plan are larger than 64 MiB together");
}

static void a_dash_in_a_file_is_a_file(void **state)
{
    (void)state;
    static const char *const files[] = {
        "plan.json", HEAD "\"serve\": \"2026-12-05 16:00\", \"dishes\": [{\"recipe\": \"-\"}]}",
        "-", CAKE, NULL};
    must_refuse(files, NULL, "cannot read the recipe \"./-\": no such file");
}

/* ------------------------------------------------------------- system files */

static bk_plan *read_path(const char *path)
{
    bk_files files = bk_files_system();
    report = bk_report_new(arena);
    return bk_plan_read(arena, &files, path, NULL, &report);
}

static void says_what_is_wrong_with_a_file(void **state)
{
    (void)state;
    assert_null(read_path("tests/data/plan/no such plan.json"));
    assert_string_equal(
        corpus_messages(arena, &report),
        "cannot read the plan \"tests/data/plan/no such plan.json\": no such file\n");
    assert_true(report.machine_failed);
    assert_null(read_path("tests/data/plan"));
    assert_string_equal(corpus_messages(arena, &report),
                        "cannot read the plan \"tests/data/plan\": it is a folder\n");
    assert_null(read_path("tests/data/plan/valid/minimal.json/x"));
    assert_non_null(strstr(corpus_messages(arena, &report), "no such file"));
    /* A device that never ends is cut off at the limit. */
    assert_null(read_path("/dev/zero"));
    assert_string_equal(corpus_messages(arena, &report),
                        "cannot read the plan \"/dev/zero\": it is larger than 16 MiB\n");
    assert_false(report.machine_failed); /* a fault of the input */
    assert_null(read_path("/dev/null"));
    assert_string_equal(corpus_messages(arena, &report),
                        "/dev/null:1:1: the file is empty; a plan starts with {\n");
}

/* A file of 16 MiB + 1 is refused before it is read; it is a hole, not 16 MiB. */
static void refuses_a_large_file(void **state)
{
    (void)state;
    char path[] = "/tmp/bakeset-plan-XXXXXX";
    int file = mkstemp(path);
    assert_true(file >= 0);
    assert_int_equal(ftruncate(file, BK_MOST_BYTES + 1), 0);
    bk_plan *plan = read_path(path);
    const char *seen = corpus_messages(arena, &report);
    close(file);
    unlink(path);
    assert_null(plan);
    assert_non_null(strstr(seen, "it is larger than 16 MiB"));
    assert_false(report.machine_failed);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(serve_overrides_the_plans),
        TEST(now_raises_earliest),
        TEST(finds_stages_by_name),
        TEST(everything_knows_its_place),
        TEST(keeps_twenty_errors),
        TEST(reads_many_stages),
        TEST(many_stages_span_fewer_days),
        TEST(reads_a_thousand_bakings),
        TEST(finds_a_long_circle),
        TEST(refuses_what_is_too_long),
        TEST(follows_eight_references),
        TEST(follows_a_thousand_files),
        TEST(asks_for_a_thousand_files_that_are_not_there),
        TEST(counts_unknown_keys),
        TEST(reads_64_mib_in_all),
        TEST(a_dash_in_a_file_is_a_file),
        TEST(says_what_is_wrong_with_a_file),
        TEST(refuses_a_large_file),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
