/* A day by the library's face alone: what is said is kept, the same calls give the same
 * bytes, a day and a plan take each other's place, and what is wrong leaves nothing behind. */
#include "sample.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

static char folder[] = "/tmp/bakeset-day-XXXXXX", plan[64], journal[64];

static const char supper[] =
    "{\"occasion\": \"Rolls\", \"timezone\": \"Europe/London\", \"serve\": \"2026-12-04 12:00\","
    " \"kitchen\": {\"equipment\": {\"oven\": {\"kind\": \"oven\"}}},"
    " \"dishes\": [{\"dish\": \"Rolls\", \"stages\": ["
    "  {\"id\": \"knead\", \"do\": \"Knead\", \"active\": \"10 min\"},"
    "  {\"id\": \"prove\", \"do\": \"Prove\", \"passive\": \"60 min\"},"
    "  {\"id\": \"prove-again\", \"do\": \"Prove them once more\", \"passive\": \"20 min\"},"
    "  {\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"20 min\","
    "   \"uses\": {\"oven\": {\"at\": \"220 C\"}}}]}]}";

static int begin(void **state)
{
    (void)state;
    if (!mkdtemp(folder))
        return -1;
    snprintf(plan, sizeof plan, "%s/rolls.json", folder);
    snprintf(journal, sizeof journal, "%s/rolls.day.jsonl", folder);
    FILE *file = fopen(plan, "w");
    return file && fputs(supper, file) >= 0 && fclose(file) == 0 ? 0 : -1;
}

static int end(void **state)
{
    (void)state;
    unlink(journal);
    unlink(plan);
    return rmdir(folder);
}

static int fresh(void **state)
{
    (void)state;
    unlink(journal);
    return 0;
}

static enum bakeset_result say(bakeset *b, const char *now, const char *const *words)
{
    struct bakeset_day_options options = {.size = sizeof options, .now = now, .words = words};
    return bakeset_day(b, plan, &options);
}

static const char *day_text(bakeset *b)
{
    const char *text = bakeset_write_day(b, NULL, NULL);
    assert_non_null(text);
    return text;
}

static long journal_size(void)
{
    struct stat about;
    return stat(journal, &about) == 0 ? (long)about.st_size : -1;
}

static enum bakeset_result say_once(bakeset *b, const char *now, const char *at,
                                    const char *const *words)
{
    struct bakeset_day_options options = {
        .size = sizeof options, .now = now, .at = at, .words = words, .once = 1};
    return bakeset_day(b, plan, &options);
}

static void the_same_said_twice_stands_once(void **state)
{
    (void)state;
    bakeset *b = bakeset_new();
    const char *begun[] = {"begun", "knead", NULL}, *done[] = {"done", "knead", NULL},
               *longer[] = {"longer", "prove", "5 min", NULL}, *undo[] = {"undo", NULL},
               *skip[] = {"skip", "prove-again", NULL}, *served[] = {"served", "Rolls", NULL},
               *baked[] = {"done", "bake", NULL}, *baking[] = {"begun", "bake", NULL};
    assert_int_equal(say_once(b, "2026-12-04 10:20", "10:10", begun), BAKESET_OK);
    assert_int_equal(say_once(b, "2026-12-04 10:20", "10:19", done), BAKESET_OK);
    long size = journal_size();
    assert_int_equal(say_once(b, "2026-12-04 10:22", "10:21", done), BAKESET_OK);
    assert_int_equal(say_once(b, "2026-12-04 10:22", NULL, begun), BAKESET_OK); /* and over */
    assert_int_equal(journal_size(), size);
    assert_null(strstr(day_text(b), "was done"));
    assert_non_null(strstr(bakeset_write_day_json(b, NULL), "\"changed\": []"));
    /* said without `once` it is said again */
    assert_int_equal(say(b, "2026-12-04 10:23", done), BAKESET_OK);
    assert_true(journal_size() > size);
    /* taken back, it can be said anew */
    assert_int_equal(say_once(b, "2026-12-04 10:24", NULL, undo), BAKESET_OK);
    assert_int_equal(say_once(b, "2026-12-04 10:24", NULL, undo), BAKESET_OK);
    size = journal_size();
    assert_int_equal(say_once(b, "2026-12-04 10:25", NULL, done), BAKESET_OK);
    assert_true(journal_size() > size);
    /* what can be meant twice is said twice */
    assert_int_equal(say_once(b, "2026-12-04 10:30", NULL, longer), BAKESET_OK);
    size = journal_size();
    assert_int_equal(say_once(b, "2026-12-04 10:30", NULL, longer), BAKESET_OK);
    assert_true(journal_size() > size);
    assert_int_equal(say_once(b, "2026-12-04 10:30", NULL, skip), BAKESET_OK);
    size = journal_size();
    assert_int_equal(say_once(b, "2026-12-04 10:31", NULL, skip), BAKESET_OK);
    assert_int_equal(journal_size(), size);
    /* a tick that was late on its way: what is done has begun */
    assert_int_equal(say_once(b, "2026-12-04 12:20", NULL, baked), BAKESET_OK);
    size = journal_size();
    assert_int_equal(say_once(b, "2026-12-04 12:21", NULL, baking), BAKESET_OK);
    assert_int_equal(journal_size(), size);
    assert_int_equal(say_once(b, "2026-12-04 12:30", NULL, served), BAKESET_OK);
    size = journal_size();
    assert_int_equal(say_once(b, "2026-12-04 12:31", NULL, served), BAKESET_OK);
    assert_int_equal(journal_size(), size);
    bakeset_free(b);
}

static enum bakeset_result look(bakeset *b, const char *now, size_t since)
{
    struct bakeset_day_options options = {.size = sizeof options, .now = now, .since = since};
    return bakeset_day(b, plan, &options);
}

static void what_others_wrote_is_told(void **state)
{
    (void)state;
    const char *begun[] = {"begun", "knead", NULL}, *longer[] = {"longer", "knead", "20 min", NULL};
    bakeset *b = bakeset_new(), *other = bakeset_new();
    size_t none = 1, length = 0;
    assert_int_equal(bakeset_day_journal(b, &none), BAKESET_BAD_INPUT);
    assert_int_equal(look(b, "2026-12-04 09:50", 0), BAKESET_OK);
    assert_int_equal(bakeset_day_journal(b, &none), BAKESET_OK);
    assert_int_equal(none, 0);
    assert_int_equal(say(b, "2026-12-04 10:00", begun), BAKESET_OK);
    assert_int_equal(bakeset_day_journal(b, &length), BAKESET_OK);
    assert_int_equal(length, journal_size());
    assert_int_equal(say(other, "2026-12-04 10:05", longer), BAKESET_OK);

    /* one who was told as far as the first is told the second, and what moved by it */
    assert_int_equal(look(b, "2026-12-04 10:06", length), BAKESET_OK);
    const char *text = bakeset_write_day_json(b, NULL);
    assert_non_null(strstr(text, "\"changed\": [\"Rolls/knead takes 20 min longer\", \""));
    assert_non_null(strstr(text, "3 steps move, from 10:30 on"));
    assert_int_equal(bakeset_day_journal(b, &length), BAKESET_OK);
    assert_int_equal(length, journal_size());

    /* one who was told all is told nothing, and so is one who does not ask */
    assert_int_equal(look(b, "2026-12-04 10:06", length), BAKESET_OK);
    text = bakeset_write_day_json(b, NULL); /* that it is late is told to all */
    assert_non_null(strstr(text, "\"changed\": [\"12:10 Rolls is 10 min late\"]"));
    assert_int_equal(look(b, "2026-12-04 10:06", 0), BAKESET_OK);
    text = bakeset_write_day_json(b, NULL); /* that it is late is told to all */
    assert_non_null(strstr(text, "\"changed\": [\"12:10 Rolls is 10 min late\"]"));

    /* of several the last, and that there were more */
    assert_int_equal(look(b, "2026-12-04 10:06", 10), BAKESET_OK);
    text = bakeset_write_day_json(b, NULL);
    assert_non_null(strstr(text, "20 min longer, and 1 more was said"));
    bakeset_free(b);
    bakeset_free(other);
}

static enum bakeset_result say_as(bakeset *b, const char *now, const char *id,
                                  const char *const *words)
{
    struct bakeset_day_options options = {
        .size = sizeof options, .now = now, .id = id, .words = words};
    return bakeset_day(b, plan, &options);
}

static void what_has_its_id_stands_once(void **state)
{
    (void)state;
    const char *begun[] = {"begun", "knead", NULL}, *longer[] = {"longer", "knead", "5 min", NULL},
               *undo[] = {"undo", NULL}, *none[] = {"longer", "none", "5 min", NULL};
    bakeset *b = bakeset_new(), *anew = bakeset_new();
    assert_int_equal(say_as(b, "2026-12-04 10:00", "a", begun), BAKESET_OK);
    assert_int_equal(say_as(b, "2026-12-04 10:01", "b", longer), BAKESET_OK);
    long size = journal_size();
    assert_int_equal(say_as(anew, "2026-12-04 10:02", "b", longer), BAKESET_OK);
    assert_int_equal(journal_size(), size);
    assert_null(strstr(day_text(anew), "longer"));
    assert_int_equal(say_as(anew, "2026-12-04 10:02", "b", none), BAKESET_OK);
    assert_int_equal(journal_size(), size);
    assert_int_equal(say_as(anew, "2026-12-04 10:02", "c", longer), BAKESET_OK);
    assert_true(journal_size() > size);

    /* also what was taken back: it came late, and not anew */
    assert_int_equal(say_as(b, "2026-12-04 10:03", "d", undo), BAKESET_OK);
    size = journal_size();
    assert_int_equal(say_as(b, "2026-12-04 10:03", "c", longer), BAKESET_OK);
    assert_int_equal(say_as(b, "2026-12-04 10:03", "d", undo), BAKESET_OK);
    assert_int_equal(journal_size(), size);

    /* one whose plan is not understood has said nothing, and may say it again */
    assert_int_equal(say_as(b, "2026-12-04 10:04", "e", none), BAKESET_BAD_INPUT);
    assert_int_equal(say_as(b, "2026-12-04 10:04", "e", longer), BAKESET_OK);
    assert_true(journal_size() > size);
    assert_int_equal(say_as(b, "2026-12-04 10:04", "", longer), BAKESET_BAD_INPUT);
    char id[66] = "";
    memset(id, 'x', 65);
    assert_int_equal(say_as(b, "2026-12-04 10:04", id, longer), BAKESET_BAD_INPUT);
    bakeset_free(b);
    bakeset_free(anew);
}

/* Counts, and calls off from the call on that is wanted. */
typedef struct caller {
    int count, off_at;
    bool found, named;
} caller;

static int call(void *context, const struct bakeset_progress *progress)
{
    caller *c = context;
    c->count++;
    c->found = c->found || progress->found;
    c->named = c->named || strstr(progress->words, "start Thu 24 Dec");
    return c->off_at > 0 && c->count >= c->off_at;
}

static bool is_given_up(const bakeset *b)
{
    for (size_t i = 0; i < bakeset_message_count(b); i++)
        if (strcmp(bakeset_message(b, i)->code, "given-up") == 0)
            return true;
    return false;
}

static void a_day_that_takes_its_time_can_be_given_up(void **state)
{
    (void)state;
    const char *begun[] = {"begun", "Dish 1/s1", NULL};
    char path[80], beside[80], command[200];
    snprintf(path, sizeof path, "%s/long.json", folder);
    snprintf(beside, sizeof beside, "%s/long.day.jsonl", folder);
    snprintf(command, sizeof command, "cp tests/data/cli/long-search.json %s", path);
    assert_int_equal(system(command), 0);
    bakeset *b = bakeset_new();
    caller listens = {.off_at = 0}, gives_up = {.off_at = 1};
    struct bakeset_day_options options = {.size = sizeof options,
                                          .now = "2026-12-24 06:00",
                                          .effort = 5000,
                                          .progress = call,
                                          .progress_context = &listens,
                                          .every = 200000};
    assert_int_equal(bakeset_day(b, path, &options), BAKESET_OK);

    assert_true(listens.count > 3 && listens.found && listens.named);
    assert_false(is_given_up(b));
    char *heard = strdup(bakeset_write(b, BAKESET_JSON, NULL, NULL));
    options.progress = NULL;
    assert_int_equal(bakeset_day(b, path, &options), BAKESET_OK);
    assert_string_equal(bakeset_write(b, BAKESET_JSON, NULL, NULL), heard); /* it changed nothing */

    options.progress = call;
    options.progress_context = &gives_up;
    options.words = begun;
    enum bakeset_result result = bakeset_day(b, path, &options);
    assert_true(result == BAKESET_OK || result == BAKESET_IMPOSSIBLE);
    assert_int_equal(gives_up.count, 1);
    assert_true(is_given_up(b));
    size_t length = 0;
    assert_int_equal(bakeset_day_journal(b, &length), BAKESET_OK);
    assert_true(length > 0); /* what was said stands there all the same */
    free(heard);
    bakeset_free(b);
    unlink(beside);
    unlink(path);
}

static void a_day_comes_as_data(void **state)
{
    (void)state;
    bakeset *b = bakeset_new();
    const char *words[] = {"begun", "bake", NULL};
    size_t length = 0;
    assert_null(bakeset_write_day_json(b, NULL));
    assert_int_equal(bakeset_last_result(b), BAKESET_BAD_INPUT);
    assert_int_equal(say(b, "2026-12-04 11:50", words), BAKESET_OK);
    const char *json = bakeset_write_day_json(b, &length);
    assert_string_equal(
        json, "{\"finished\": false, \"changed\": [\"Rolls/bake began at 11:50\", \"12:10 Ro"
              "lls is 10 min late\"], \"notes\": [], \"now\": [], \"runs\": [{\"dish\": \"Rolls"
              "\", \"stage\": \"bake\", \"do\": \"Bake\", \"until\": \"2026-12-04T12:10:00+00:00\""
              ", \"clock\": \"12:10\", \"hands\": false, \"overdue\": false}], \"next\": [\"12:1"
              "0 Rolls: out of the oven, in 20 min\", \"12:10 Turn the oven off\", \"12:1"
              "0 SERVE Rolls\"], \"hands_free\": \"until 12:10\"}");
    assert_int_equal(length, strlen(json));
    bakeset_free(b);
}

/* Told: knead 10:10, prove 10:20, again 11:20, bake 11:40 to 12:00. */
static void what_is_said_is_kept(void **state)
{
    (void)state;
    bakeset *b = bakeset_new();
    const char *words[] = {"begun", "bake", NULL};
    assert_int_equal(say(b, "2026-12-04 11:50", words), BAKESET_OK);
    assert_non_null(strstr(day_text(b), "12:10    Rolls is 10 min late"));
    assert_true(journal_size() > 0);
    int64_t now = 0, next = 0;
    assert_int_equal(bakeset_day_now(b, &now), BAKESET_OK);
    assert_int_equal(bakeset_day_next(b, &next), BAKESET_OK);
    assert_int_equal(next - now, 20);
    assert_string_equal(bakeset_day_running(b)[0], "Rolls/bake");
    assert_null(bakeset_day_running(b)[1]);
    bakeset_free(b);

    b = bakeset_new(); /* another session, another day's hour */
    assert_int_equal(say(b, "2026-12-04 11:55", NULL), BAKESET_OK);
    assert_non_null(strstr(day_text(b), "12:10    Bake (Rolls)"));
    bakeset_free(b);
}

static void the_same_calls_give_the_same_bytes(void **state)
{
    (void)state;
    bakeset *b = bakeset_new();
    const char *words[] = {"longer", "prove", "15 min", NULL};
    assert_int_equal(say(b, "2026-12-04 11:00", words), BAKESET_OK);
    assert_int_equal(say(b, "2026-12-04 11:01", NULL), BAKESET_OK);
    char *text = strdup(day_text(b)), *json = strdup(bakeset_write(b, BAKESET_JSON, NULL, NULL));
    assert_int_equal(bakeset_read(b, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(b, NULL), BAKESET_OK);
    assert_int_equal(say(b, "2026-12-04 11:01", NULL), BAKESET_OK);
    assert_string_equal(day_text(b), text);
    assert_string_equal(bakeset_write(b, BAKESET_JSON, NULL, NULL), json);
    free(text);
    free(json);
    bakeset_free(b);
}

static void a_plan_that_is_read_ends_the_day(void **state)
{
    (void)state;
    int64_t at;
    bakeset *b = bakeset_new();
    assert_int_equal(say(b, "2026-12-04 11:00", NULL), BAKESET_OK);
    assert_int_equal(bakeset_read(b, SUPPER, NULL), BAKESET_OK);
    assert_null(bakeset_write_day(b, NULL, NULL));
    assert_int_equal(bakeset_last_result(b), BAKESET_BAD_INPUT);
    assert_int_equal(bakeset_day_now(b, &at), BAKESET_BAD_INPUT);
    assert_int_equal(bakeset_day_next(b, &at), BAKESET_BAD_INPUT);
    assert_null(bakeset_day_running(b));
    bakeset_free(b);
}

static void what_is_not_understood_is_not_kept(void **state)
{
    (void)state;
    bakeset *b = bakeset_new();
    const char *vague[] = {"begun", "prov", NULL}, *wrong[] = {"begun", "fry", NULL};
    assert_int_equal(say(b, "2026-12-04 11:05", vague), BAKESET_OK); /* only one is near */
    unlink(journal);
    assert_int_equal(say(b, "2026-12-04 06:00", vague), BAKESET_BAD_INPUT);
    const char *const *choices = bakeset_day_choices(b);
    assert_non_null(choices);
    assert_string_equal(choices[0], "Rolls/prove");
    assert_string_equal(choices[1], "Rolls/prove-again");
    assert_null(choices[2]);
    assert_int_equal(say(b, "2026-12-04 11:05", wrong), BAKESET_BAD_INPUT);
    assert_null(bakeset_day_choices(b));
    assert_int_equal(journal_size(), -1);
    bakeset_free(b);
}

static void the_hour_has_to_be_said(void **state)
{
    (void)state;
    bakeset *b = bakeset_new();
    struct bakeset_day_options options = {.size = sizeof options};
    assert_int_equal(bakeset_day(b, plan, &options), BAKESET_BAD_INPUT);
    assert_int_equal(bakeset_day(b, plan, NULL), BAKESET_BAD_INPUT);
    options.now = "11:00";
    assert_int_equal(bakeset_day(b, plan, &options), BAKESET_BAD_INPUT); /* of which date? */
    options.clock = 29691360;                                            /* 2026-06-15T00:00Z */
    assert_int_equal(bakeset_day(b, plan, &options), BAKESET_OK);
    bakeset_free(b);
}

static void nothing_goes_on_from_a_plan_that_cannot_be(void **state)
{
    (void)state;
    bakeset *b = bakeset_new();
    assert_int_equal(
        bakeset_day(b, "no-such.json",
                    &(struct bakeset_day_options){.size = sizeof(struct bakeset_day_options),
                                                  .now = "2026-12-04 11:00"}),
        BAKESET_FAILED);
    assert_null(bakeset_write_day(b, NULL, NULL));
    bakeset_free(b);
}

#define DAY_BEGINS                                                                                 \
    "{\"format\": \"bakeset-day-1\", \"at\": \"2026-12-04T09:30:00+01:00\", \"occasion\": "        \
    "\"Friday supper\"}\n"
#define AT_TEN "{\"at\": \"2026-12-04T10:00:00+01:00\", \"what\": "

static void a_journal_tells_whether_its_day_goes_on(void **state)
{
    (void)state;
    static const char planned[] = AT_TEN "\"planned\", \"starts\": []}\n";
    static const struct {
        const char *text, *occasion;
    } journals[] = {
        {DAY_BEGINS, "Friday supper"},
        {DAY_BEGINS AT_TEN "\"served\", \"dish\": \"Rolls\"}\n", "Friday supper"},
        {DAY_BEGINS AT_TEN "\"finished\"}\n", NULL},
        {DAY_BEGINS AT_TEN "\"finished\"}\n" AT_TEN "\"undo\"}\n", "Friday supper"},
        {DAY_BEGINS AT_TEN "\"finished\"}\n" AT_TEN "\"out\", \"dish\": \"Rolls\"}\n",
         "Friday supper"},
        {DAY_BEGINS AT_TEN "\"dropped\"}\n", "Friday supper"}, /* a line that is wrong */
        {"{\"format\": \"bakeset-day-1\", \"at\": \"2026-12-04T09:30:00+01:00\"}\n", NULL},
        {"", NULL},
        {"{\"occasion\": \"Friday supper\"}\n", NULL},
        {"no journal", NULL},
    };
    bakeset *b = bakeset_new();
    for (size_t i = 0; i < sizeof journals / sizeof *journals; i++) {
        char text[1000];
        const char *expected = journals[i].occasion;
        for (int told = 0; told < 2; told++) {
            int length = snprintf(text, sizeof text, "%s%s", journals[i].text, told ? planned : "");
            const char *got = bakeset_under_way_text(b, text, (size_t)length);
            assert_true(got ? expected && strcmp(got, expected) == 0 : !expected);
        }
    }
    bakeset_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup(what_is_said_is_kept, fresh),
        cmocka_unit_test_setup(the_same_said_twice_stands_once, fresh),
        cmocka_unit_test_setup(what_others_wrote_is_told, fresh),
        cmocka_unit_test_setup(what_has_its_id_stands_once, fresh),
        cmocka_unit_test_setup(a_day_that_takes_its_time_can_be_given_up, fresh),
        cmocka_unit_test_setup(a_day_comes_as_data, fresh),
        cmocka_unit_test_setup(the_same_calls_give_the_same_bytes, fresh),
        cmocka_unit_test_setup(a_plan_that_is_read_ends_the_day, fresh),
        cmocka_unit_test_setup(what_is_not_understood_is_not_kept, fresh),
        cmocka_unit_test_setup(the_hour_has_to_be_said, fresh),
        cmocka_unit_test(a_journal_tells_whether_its_day_goes_on),
        cmocka_unit_test_setup(nothing_goes_on_from_a_plan_that_cannot_be, fresh),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
