/* A session that lives: many plans one after the other, calls in any order, options of
 * other versions. */
#include "sample.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static const char *const plans[] = {
    SUPPER, ROAST, IMPOSSIBLE, TEA, "plans/winter-holiday.json", "plans/not-there.json"};

enum { PLANS = sizeof plans / sizeof *plans };

static int open_session(void **state)
{
    *state = bakeset_new();
    return *state ? 0 : -1;
}

static int close_session(void **state)
{
    bakeset_free(*state);
    return 0;
}

static const struct bakeset_message *last_message(const bakeset *session)
{
    size_t count = bakeset_message_count(session);
    assert_true(count > 0);
    return bakeset_message(session, count - 1);
}

static size_t times(const char *text, const char *wanted)
{
    size_t count = 0;
    for (const char *at = text; (at = strstr(at, wanted)) != NULL; at++)
        count++;
    return count;
}

static void reading_again_is_as_a_fresh_session(void **state)
{
    char *fresh[PLANS];
    for (size_t i = 0; i < PLANS; i++) {
        bakeset *session = bakeset_new();
        assert_non_null(session);
        fresh[i] = sample_all(session, plans[i]);
        assert_non_null(fresh[i]);
        bakeset_free(session);
    }
    for (size_t step = 1; step < PLANS; step += 2) /* each after others, itself included */
        for (size_t i = 0, plan = 0; i <= PLANS; i++, plan = (plan + step) % PLANS) {
            char *again = sample_all(*state, plans[plan]);
            assert_string_equal(again, fresh[plan]);
            free(again);
        }
    for (size_t i = 0; i < PLANS; i++)
        free(fresh[i]);
}

static void scheduling_again_is_as_the_first_time(void **state)
{
    assert_int_equal(bakeset_read(*state, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(*state, NULL), BAKESET_OK);
    char *first = strdup(bakeset_write(*state, BAKESET_JSON, NULL, NULL));
    size_t messages = bakeset_message_count(*state);
    assert_int_equal(bakeset_schedule(*state, NULL), BAKESET_OK);
    assert_string_equal(bakeset_write(*state, BAKESET_JSON, NULL, NULL), first);
    assert_int_equal(bakeset_message_count(*state), messages);
    free(first);
}

static void a_failed_read_leaves_no_plan(void **state)
{
    assert_int_equal(bakeset_read(*state, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(*state, NULL), BAKESET_OK);
    assert_int_equal(bakeset_read_text(*state, "mine", "{", 1, NULL), BAKESET_BAD_INPUT);
    assert_int_equal(bakeset_source_count(*state), 0);
    assert_null(bakeset_source(*state, 0));
    assert_null(bakeset_write(*state, BAKESET_TEXT, NULL, NULL));
    assert_int_equal(bakeset_schedule(*state, NULL), BAKESET_BAD_INPUT);
}

static void calls_in_the_wrong_order_are_told(void **state)
{
    bakeset *b = *state;
    assert_int_equal(bakeset_message_count(b), 0);
    assert_null(bakeset_message(b, 0));
    assert_int_equal(bakeset_schedule(b, NULL), BAKESET_BAD_INPUT);
    assert_string_equal(last_message(b)->text, "there is no plan to schedule; read a plan first\n");
    for (int form = BAKESET_TEXT; form <= BAKESET_CHART; form++) {
        assert_null(bakeset_write(b, (enum bakeset_form)form, NULL, NULL));
        assert_int_equal(bakeset_last_result(b), BAKESET_BAD_INPUT);
        assert_string_equal(last_message(b)->code, "usage");
    }
    assert_null(bakeset_why(b, NULL, NULL, NULL, NULL));
    assert_null(bakeset_why(b, "Torte/bake", NULL, NULL, NULL));
    assert_int_equal(bakeset_cooling_stage(b, NULL, NULL), BAKESET_BAD_INPUT);
    assert_null(bakeset_write_cooling(b, BAKESET_TEXT, NULL, NULL));
    assert_int_equal(bakeset_read(b, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_error_count(b), 0);
    assert_null(bakeset_write(b, BAKESET_TEXT, NULL, NULL));
    assert_null(bakeset_why(b, "no/such", NULL, NULL, NULL));
    assert_string_equal(last_message(b)->code, "unknown-stage");
    assert_int_equal(bakeset_schedule(b, NULL), BAKESET_OK);
    assert_non_null(bakeset_write(b, BAKESET_TEXT, NULL, NULL));
    assert_null(bakeset_write(b, (enum bakeset_form)99, NULL, NULL));
    assert_null(bakeset_write_cooling(b, BAKESET_HTML, NULL, NULL));
    bakeset_free(NULL);
}

/* A plan in memory is held to the limit of a plan file, and is as much the caller's fault. */
static void a_text_over_the_limit_is_bad_input(void **state)
{
    enum { OVER = 16 * 1024 * 1024 + 1 };
    char *text = malloc(OVER);
    assert_non_null(text);
    memset(text, ' ', OVER);
    assert_int_equal(bakeset_read_text(*state, "mine", text, OVER, NULL), BAKESET_BAD_INPUT);
    assert_non_null(strstr(last_message(*state)->what, "larger than 16 MiB"));
    free(text);
}

static void messages_give_out_their_parts(void **state)
{
    static const char plan[] = "{\n  \"occasion\": \"T\xc3\xa9\", \"dishs\": []\n}";
    assert_int_equal(bakeset_read_text(*state, "tea.json", plan, sizeof plan - 1, NULL),
                     BAKESET_BAD_INPUT);
    const struct bakeset_message *found = NULL;
    for (size_t i = 0; i < bakeset_message_count(*state); i++)
        if (strcmp(bakeset_message(*state, i)->code, "unknown-key") == 0)
            found = bakeset_message(*state, i);
    assert_non_null(found);
    assert_int_equal(found->severity, BAKESET_ERROR);
    assert_string_equal(found->file, "tea.json");
    assert_int_equal(found->line, 2);
    assert_int_equal(found->column, 21);
    assert_string_equal(found->what, "the plan has no key \"dishs\"");
    assert_string_equal(found->mend, "did you mean \"dishes\"?");
    assert_non_null(strstr(found->text, "tea.json:2:21: the plan has no key \"dishs\"; did you "
                                        "mean \"dishes\"?\n"));
    assert_int_equal(found->text[strlen(found->text) - 1], '\n');
    /* the mend, to be done: T and e with its accent are three bytes */
    assert_int_equal(found->fix_offset, strlen("{\n  \"occasion\": \"Té\", "));
    assert_int_equal(found->fix_length, strlen("\"dishs\""));
    assert_string_equal(found->fix_text, "\"dishes\"");
    bakeset_read_text(*state, "tea.json", "{\"colour\": 1}", 13, NULL);
    for (size_t i = 0; i < bakeset_message_count(*state); i++)
        assert_null(bakeset_message(*state, i)->fix_text);
}

static void a_text_is_changed_in_places(void **state)
{
    static const char text[] = "\xEF\xBB\xBF{\n  \"a\": 1 // one\n}\n";
    static const char patch[] = "[{\"op\": \"add\", \"path\": \"/b\", \"value\": [2]}]";
    static const char test[] = "[{\"op\": \"test\", \"path\": \"/a\", \"value\": 2}]";
    size_t length = 0;
    const char *got =
        bakeset_patch_text(*state, "mine", text, sizeof text - 1, patch, sizeof patch - 1, &length);
    assert_string_equal(got, "\xEF\xBB\xBF{\n  \"a\": 1, // one\n  \"b\": [2]\n}\n");
    assert_int_equal(length, strlen(got));
    assert_null(
        bakeset_patch_text(*state, "mine", text, sizeof text - 1, test, sizeof test - 1, NULL));
    assert_int_equal(bakeset_last_result(*state), BAKESET_BAD_INPUT);
    assert_string_equal(last_message(*state)->code, "patch-test");
    assert_null(last_message(*state)->file);
    assert_null(bakeset_patch_text(*state, "mine", "{", 1, patch, sizeof patch - 1, NULL));
    assert_string_equal(last_message(*state)->file, "mine");
    assert_string_equal(bakeset_plain_text(*state, "mine", text, sizeof text - 1, NULL),
                        "{\"a\":1}");
    assert_null(bakeset_plain_text(*state, "mine", "{", 1, NULL));
}

static void a_message_points_at_a_value(void **state)
{
    static const char text[] = "{\"dish\": \"Roll\", \"stages\": [{\"id\": \"a\", \"do\": \"A\", "
                               "\"active\": \"five\"}]}";
    struct bakeset_read_options alone = {.size = sizeof alone, .alone = 1};
    bakeset_read_text(*state, "roll.json", text, sizeof text - 1, &alone);
    assert_true(bakeset_message_count(*state) > 0);
    assert_string_equal(bakeset_message_pointer(*state, 0), "/stages/0/active");
    assert_null(bakeset_message_pointer(*state, 999));
    bakeset_cooling(*state, (const char *const[]){"shape", "cube", NULL});
    assert_null(bakeset_message_pointer(*state, bakeset_message_count(*state) - 1));
}

static void a_file_is_laid_out_and_mended_beside_a_plan(void **state)
{
    static const char path[] = "tests/data/cli/bad/unknown-key-stage.json";
    struct bakeset_read_options wrong = {.size = 1};
    size_t length = 0, count = 7;
    assert_int_equal(bakeset_read(*state, "plans/sunday-roast.json", NULL), BAKESET_OK);
    const char *tidy = bakeset_tidy_text(*state, "mine", "{\"a\":1}", 7, &length);
    assert_string_equal(tidy, "{\n  \"a\": 1\n}\n");
    assert_int_equal(length, strlen(tidy));
    assert_null(bakeset_tidy_text(*state, "mine", "{", 1, NULL));
    assert_int_equal(bakeset_last_result(*state), BAKESET_BAD_INPUT);
    assert_non_null(strstr(last_message(*state)->text, "mine:1:2: the file ends"));
    assert_null(bakeset_tidy(*state, "no/such.json", NULL));
    assert_int_equal(bakeset_last_result(*state), BAKESET_FAILED);

    const struct bakeset_mended *const *mended = bakeset_mend(*state, path, NULL, &count);
    assert_non_null(mended);
    assert_int_equal(count, 1);
    assert_string_equal(mended[0]->file, path);
    assert_int_equal(mended[0]->mends, 1);
    assert_int_equal(mended[0]->before_length, strlen(mended[0]->before));
    assert_int_equal(mended[0]->length, strlen(mended[0]->text));
    assert_null(mended[1]);
    mended = bakeset_mend(*state, "plans/sunday-roast.json", NULL, &count);
    assert_non_null(mended);
    assert_int_equal(count, 0);
    assert_null(mended[0]);
    assert_null(bakeset_mend(*state, path, &wrong, &count));
    assert_int_equal(bakeset_last_result(*state), BAKESET_BAD_INPUT);
    assert_int_equal(bakeset_source_count(*state) > 1, 1); /* the plan that was read is there */
}

static void a_warning_says_what_it_is_about(void **state)
{
    size_t found = 0;
    assert_int_equal(bakeset_read(*state, "tests/data/api/small.json", NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(*state, NULL), BAKESET_OK);
    for (size_t i = 0; i < bakeset_message_count(*state); i++) {
        const struct bakeset_message *message = bakeset_message(*state, i);
        if (message->concern != BAKESET_FOOD_SAFETY)
            continue;
        found++;
        assert_string_equal(message->code, "safety-cooling");
        assert_string_equal(message->dish, "Panna cotta");
        assert_string_equal(message->stage, "set");
    }
    assert_int_equal(found, 1);
    assert_non_null(strstr(bakeset_write(*state, BAKESET_JSON, NULL, NULL),
                           "\"code\": \"safety-cooling\",\n      \"dish\": \"Panna cotta\",\n"
                           "      \"stage\": \"set\",\n"));
}

/* What reading remarks on stands in the timeline too, and once. */
static void a_remark_on_the_plan_is_in_its_timeline(void **state)
{
    static const char plan[] =
        "{\"occasion\": \"Tea\", \"timezone\": \"Europe/London\", \"serve\": \"2026-12-05 16:00\","
        " \"dishes\": [{\"dish\": \"Cake\", \"stages\": [{\"id\": \"bake\", \"do\": \"Bake it\","
        " \"passive\": \"40 min\", \"cooks\": 1}]}]}";
    assert_int_equal(bakeset_read_text(*state, "tea.json", plan, sizeof plan - 1, NULL),
                     BAKESET_OK);
    assert_int_equal(bakeset_message_count(*state), 1);
    for (int round = 0; round < 2; round++) {
        assert_int_equal(bakeset_schedule(*state, NULL), BAKESET_OK);
        const char *json = bakeset_write(*state, BAKESET_JSON, NULL, NULL);
        assert_int_equal(times(json, "\"code\": \"no-effect\""), 1);
    }
}

static void a_message_without_a_place_has_no_file(void **state)
{
    assert_int_equal(bakeset_read(*state, "plans/not-there.json", NULL), BAKESET_FAILED);
    const struct bakeset_message *message = last_message(*state);
    assert_null(message->file);
    assert_int_equal(message->line, 0);
    assert_int_equal(message->column, 0);
}

static void options_of_other_versions_are_taken(void **state)
{
    struct later {
        struct bakeset_write_options known;
        int unknown;
        int padding;
    } later = {.known = {.size = sizeof later, .width = 50}};
    bakeset *b = *state;
    assert_int_equal(bakeset_read(b, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(b, NULL), BAKESET_OK);
    struct bakeset_write_options now = {.size = sizeof now, .width = 50};
    char *narrow = strdup(bakeset_write(b, BAKESET_TEXT, &now, NULL));
    char *usual = strdup(bakeset_write(b, BAKESET_TEXT, NULL, NULL));
    assert_string_not_equal(narrow, usual);
    assert_string_equal(bakeset_write(b, BAKESET_TEXT, &later.known, NULL), narrow);
    /* an older struct, which ended before the width */
    now.size = offsetof(struct bakeset_write_options, width);
    assert_string_equal(bakeset_write(b, BAKESET_TEXT, &now, NULL), usual);
    later.unknown = 1;
    assert_null(bakeset_write(b, BAKESET_TEXT, &later.known, NULL));
    assert_non_null(strstr(last_message(b)->what, "does not know"));
    free(narrow);
    free(usual);
}

/* The library asks no locale: a chart has ASCII alone where that is asked for. */
static void a_chart_is_ascii_when_asked_for(void **state)
{
    bakeset *b = *state;
    assert_int_equal(bakeset_read(b, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(b, NULL), BAKESET_OK);
    struct bakeset_write_options options = {.size = sizeof options, .ascii = 1};
    for (int ascii = 0; ascii <= 1; ascii++) {
        options.ascii = ascii;
        const char *chart = bakeset_write(b, BAKESET_CHART, &options, NULL);
        int beyond = 0;
        assert_non_null(chart);
        for (const char *c = chart; *c; c++)
            beyond |= (unsigned char)*c >= 0x80;
        assert_int_equal(beyond, !ascii);
    }
}

static void options_out_of_range_are_refused(void **state)
{
    bakeset *b = *state;
    assert_int_equal(bakeset_read(b, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(b, NULL), BAKESET_OK);
    struct bakeset_write_options write = {.width = 60};
    assert_null(bakeset_write(b, BAKESET_TEXT, &write, NULL));
    assert_non_null(strstr(last_message(b)->text, "size"));
    static const int widths[] = {-1, 1, 39, 201, 1 << 30};
    for (size_t i = 0; i < sizeof widths / sizeof *widths; i++) {
        write = (struct bakeset_write_options){.size = sizeof write, .width = widths[i]};
        assert_null(bakeset_write(b, BAKESET_TEXT, &write, NULL));
        assert_non_null(strstr(last_message(b)->text, "width"));
    }
    write = (struct bakeset_write_options){.size = sizeof write, .alarm_before = -1};
    assert_null(bakeset_write(b, BAKESET_ICS, &write, NULL));
    assert_non_null(strstr(last_message(b)->text, "alarm_before"));
    struct bakeset_schedule_options schedule = {.size = SIZE_MAX};
    assert_int_equal(bakeset_schedule(b, &schedule), BAKESET_BAD_INPUT);
    struct bakeset_read_options read = {0};
    assert_int_equal(bakeset_read(b, SUPPER, &read), BAKESET_BAD_INPUT);
    assert_int_equal(bakeset_last_result(b), BAKESET_BAD_INPUT);
}

static const char *const slab[] = {"shape", "slab", "deep", "4 cm", "food", "custard",
                                   "from",  "60 C", "to",   "8 C",  NULL};

static void a_free_question_is_answered_also_beside_a_plan(void **state)
{
    bakeset *b = *state;
    assert_int_equal(bakeset_cooling(b, slab), BAKESET_OK);
    char *alone = strdup(bakeset_write_cooling(b, BAKESET_JSON, NULL, NULL));
    assert_int_equal(bakeset_read(b, TEA, NULL), BAKESET_OK);
    assert_null(bakeset_write_cooling(b, BAKESET_JSON, NULL, NULL)); /* went with the read */
    assert_int_equal(bakeset_schedule(b, NULL), BAKESET_OK);
    const char *timeline = bakeset_write(b, BAKESET_JSON, NULL, NULL);
    char *before = strdup(timeline);
    assert_int_equal(bakeset_cooling(b, slab), BAKESET_OK);
    assert_string_equal(bakeset_write_cooling(b, BAKESET_JSON, NULL, NULL), alone);
    assert_int_equal(bakeset_cooling_stage(b, NULL, NULL), BAKESET_OK);
    assert_string_not_equal(bakeset_write_cooling(b, BAKESET_JSON, NULL, NULL), alone);
    assert_string_equal(timeline, before); /* an estimate leaves the timeline's texts */
    free(alone);
    free(before);
}

static void an_estimate_that_fails_leaves_none(void **state)
{
    static const char *const nonsense[] = {"shape", "heap", NULL};
    bakeset *b = *state;
    assert_int_equal(bakeset_cooling(b, slab), BAKESET_OK);
    assert_int_equal(bakeset_cooling(b, nonsense), BAKESET_BAD_INPUT);
    assert_true(bakeset_error_count(b) > 0);
    assert_null(bakeset_write_cooling(b, BAKESET_TEXT, NULL, NULL));
    assert_int_equal(bakeset_cooling(b, NULL), BAKESET_BAD_INPUT);
    assert_int_equal(bakeset_cooling(b, slab), BAKESET_OK);
    assert_int_equal(bakeset_message_count(b), 0);
}

static void events_come_one_by_one(void **state)
{
    bakeset *b = *state;
    size_t count = 0, again = 0;
    assert_null(bakeset_events(b, NULL, &count));
    assert_int_equal(bakeset_last_result(b), BAKESET_BAD_INPUT);
    assert_int_equal(bakeset_read(b, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(b, NULL), BAKESET_OK);
    const char *calendar = bakeset_write(b, BAKESET_ICS, NULL, NULL);
    const struct bakeset_event *const *events = bakeset_events(b, NULL, &count);
    assert_int_equal(count, times(calendar, "BEGIN:VEVENT"));
    assert_null(events[count]);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(events[i]->length, strlen(events[i]->text));
        assert_int_equal(times(events[i]->text, "BEGIN:VEVENT"), 1);
        assert_non_null(strstr(events[i]->text, events[i]->uid));
        assert_non_null(strstr(events[i]->text, events[i]->start));
        assert_int_equal(events[i]->sequence, 0);
        assert_false(events[i]->cancelled);
        assert_true(events[i]->untouched);
    }
    const struct bakeset_event *const *same =
        bakeset_events_read(b, "mine.ics", calendar, strlen(calendar), &again);
    assert_int_equal(again, count);
    for (size_t i = 0; i < count; i++)
        assert_string_equal(same[i]->text, events[i]->text);
    assert_null(bakeset_events_read(b, "mine.ics", "BEGIN", 5, &again));
    assert_string_equal(last_message(b)->file, "mine.ics");
}

static void an_event_that_somebody_edited_is_not_as_written(void **state)
{
    bakeset *b = *state;
    assert_int_equal(bakeset_read(b, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(b, NULL), BAKESET_OK);
    char *text = strdup(bakeset_events(b, NULL, NULL)[0]->text);
    char *summary = strstr(text, "SUMMARY:");
    assert_non_null(summary);
    summary[8] = summary[8] == 'X' ? 'Y' : 'X';
    const struct bakeset_event *const *edited =
        bakeset_events_read(b, "edited", text, strlen(text), NULL);
    assert_non_null(edited);
    assert_false(edited[0]->untouched);
    free(text);
}

static void a_slip_is_near_what_was_meant(void **state)
{
    static const char *const names[] = {"timeline", "why", "cooling", NULL};
    (void)state;
    assert_ptr_equal(bakeset_nearest("timelien", names), names[0]);
    assert_null(bakeset_nearest("nothing like it", names));
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, open_session, close_session)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(reading_again_is_as_a_fresh_session),
        TEST(scheduling_again_is_as_the_first_time),
        TEST(a_failed_read_leaves_no_plan),
        TEST(calls_in_the_wrong_order_are_told),
        TEST(a_text_over_the_limit_is_bad_input),
        TEST(messages_give_out_their_parts),
        TEST(a_file_is_laid_out_and_mended_beside_a_plan),
        TEST(a_text_is_changed_in_places),
        TEST(a_message_points_at_a_value),
        TEST(a_warning_says_what_it_is_about),
        TEST(a_remark_on_the_plan_is_in_its_timeline),
        TEST(a_message_without_a_place_has_no_file),
        TEST(options_of_other_versions_are_taken),
        TEST(a_chart_is_ascii_when_asked_for),
        TEST(options_out_of_range_are_refused),
        TEST(a_free_question_is_answered_also_beside_a_plan),
        TEST(an_estimate_that_fails_leaves_none),
        TEST(events_come_one_by_one),
        TEST(an_event_that_somebody_edited_is_not_as_written),
        TEST(a_slip_is_near_what_was_meant),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
