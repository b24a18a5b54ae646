/* Memory that is given back, and memory that is not there: linked with --wrap, so that every
 * request of the library's own goes through the functions here. */
#include "sample.h"

#include <dirent.h>
#include <malloc.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static long requests, fail_at; /* 0: none fails */
static long live;              /* blocks that were given out and not given back */

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *old, size_t size);
void __real_free(void *block);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *old, size_t size);
void __wrap_free(void *block);

static int fails(void)
{
    return ++requests == fail_at;
}

void *__wrap_malloc(size_t size)
{
    void *block = fails() ? NULL : __real_malloc(size);
    live += block != NULL;
    return block;
}

void *__wrap_calloc(size_t count, size_t size)
{
    void *block = fails() ? NULL : __real_calloc(count, size);
    live += block != NULL;
    return block;
}

void *__wrap_realloc(void *old, size_t size)
{
    void *block = fails() ? NULL : __real_realloc(old, size);
    live += block != NULL && old == NULL;
    return block;
}

void __wrap_free(void *block)
{
    live -= block != NULL;
    __real_free(block);
}

static int open_files(void)
{
    int count = 0;
    DIR *folder = opendir("/proc/self/fd");
    if (!folder)
        return 0;
    while (readdir(folder))
        count++;
    closedir(folder);
    return count;
}

/* ---------------------------------------------------------------- the calls */

static const char *const ball[] = {"shape", "ball", "across", "3 cm", "food", "custard",
                                   "from",  "20 C", "to",     "8 C",  NULL};

static const char broken_plan[] = "{\n  \"occasion\": 7, \"dishs\": [], \"timezone\": \"Mars\"\n}";

static int read_plan(bakeset *b, const char *plan)
{
    return (int)bakeset_read(b, plan, NULL);
}

static int read_broken(bakeset *b, const char *plan)
{
    (void)plan;
    return (int)bakeset_read_text(b, "mine", broken_plan, sizeof broken_plan - 1, NULL);
}

static int schedule(bakeset *b, const char *plan)
{
    (void)plan;
    return (int)bakeset_schedule(b, NULL);
}

static int cooling(bakeset *b, const char *plan)
{
    (void)plan;
    return (int)bakeset_cooling(b, ball);
}

static int cooling_stage(bakeset *b, const char *plan)
{
    (void)plan;
    return (int)bakeset_cooling_stage(b, NULL, NULL);
}

static int day(bakeset *b, const char *plan)
{
    struct bakeset_day_options options = {.size = sizeof options, .now = "2026-12-04 18:30"};
    (void)plan;
    return (int)bakeset_day(b, "plans/friday-supper.json", &options);
}

#define WRITES(name, expression)                                                                   \
    static int name(bakeset *b, const char *plan)                                                  \
    {                                                                                              \
        (void)plan;                                                                                \
        return (expression) ? (int)BAKESET_OK : (int)bakeset_last_result(b);                       \
    }

WRITES(write_text, bakeset_write(b, BAKESET_TEXT, NULL, NULL))
WRITES(write_short,
       bakeset_write(b, BAKESET_TEXT,
                     &(struct bakeset_write_options){
                         .size = sizeof(struct bakeset_write_options), .ascii = 1, .brief = 1},
                     NULL))
WRITES(write_json, bakeset_write(b, BAKESET_JSON, NULL, NULL))
static int write_again(bakeset *b, const char *plan)
{
    (void)plan;
    struct bakeset_write_options options = {.size = sizeof options};
    options.replaces_text = bakeset_write(b, BAKESET_ICS, NULL, NULL);
    return !options.replaces_text || !bakeset_events(b, &options, NULL)
               ? (int)bakeset_last_result(b)
               : (int)BAKESET_OK;
}

WRITES(write_ics, bakeset_write(b, BAKESET_ICS, NULL, NULL))
WRITES(write_svg, bakeset_write(b, BAKESET_SVG, NULL, NULL))
WRITES(write_html, bakeset_write(b, BAKESET_HTML, NULL, NULL))
WRITES(write_chart, bakeset_write(b, BAKESET_CHART, NULL, NULL))
WRITES(why, bakeset_why(b, NULL, NULL, NULL, NULL))
WRITES(why_unknown, bakeset_why(b, "no/such", NULL, NULL, NULL))
WRITES(cooling_text, bakeset_write_cooling(b, BAKESET_TEXT, NULL, NULL))
WRITES(cooling_json, bakeset_write_cooling(b, BAKESET_JSON, NULL, NULL))
WRITES(cooling_svg, bakeset_write_cooling(b, BAKESET_SVG, NULL, NULL))
WRITES(write_day, bakeset_write_day(b, NULL, NULL))
WRITES(write_day_json, bakeset_write_day_json(b, NULL))
WRITES(foods, bakeset_foods(b, NULL))
WRITES(history, bakeset_history(b, NULL, NULL))
WRITES(history_changes, bakeset_history_changes(b, NULL))

static const char recipe_page[] = "<h1>Rolls</h1><p>Ingredients</p><p>500 g "
                                  "flour</p><p>Method</p><p>Knead the flour. Bake at 200 C for 15 "
                                  "minutes.</p></html>";
WRITES(begin, bakeset_begin(b, NULL, NULL))
WRITES(take_in, bakeset_take_in_text(b, "page", recipe_page, sizeof recipe_page - 1, NULL))

static const char day_begun[] = "{\"format\": \"bakeset-day-1\", \"at\": "
                                "\"2026-12-04T17:30:00+01:00\", \"occasion\": \"Supper\"}\n";

WRITES(tidy, bakeset_tidy_text(b, "page", "[1, {\"a\": 2}] // c", 19, NULL))
WRITES(plain, bakeset_plain_text(b, "page", "[1, {\"a\": 2}] // c", 19, NULL))
WRITES(under_way, bakeset_under_way_text(b, day_begun, sizeof day_begun - 1))
WRITES(patch, bakeset_patch_text(b, "page", "[1, {\"a\": 2}] // c", 19,
                                 "[{\"op\":\"add\",\"path\":\"/0\",\"value\":[]}]", 37, NULL))
WRITES(mend, bakeset_mend(b, "tests/data/cli/bad/unknown-key-stage.json", NULL, NULL))

static const struct {
    const char *name;
    int (*make)(bakeset *b, const char *plan);
} calls[] = {{"read broken", read_broken},
             {"read", read_plan},
             {"schedule", schedule},
             {"history", history},
             {"history changes", history_changes},
             {"write text", write_text},
             {"write short, in ASCII", write_short},
             {"write json", write_json},
             {"write ics", write_ics},
             {"write ics again", write_again},
             {"write svg", write_svg},
             {"write html", write_html},
             {"write chart", write_chart},
             {"why", why},
             {"why unknown", why_unknown},
             {"cooling", cooling},
             {"cooling of a stage", cooling_stage},
             {"cooling as text", cooling_text},
             {"cooling as json", cooling_json},
             {"cooling as svg", cooling_svg},
             {"foods", foods},
             {"take in", take_in},
             {"begin", begin},
             {"tidy", tidy},
             {"plain", plain},
             {"under way", under_way},
             {"patch", patch},
             {"mend", mend},
             {"day", day},
             {"day as text", write_day},
             {"day as data", write_day_json}};

/* Makes one call again and again, the first, second, … request of which finds no memory,
 * until it has no more requests. Each time the call says so, and made once more it does what
 * it does in a session that never failed. Gives how often it failed. */
static long fail_each(bakeset *b, size_t call, const char *plan)
{
    for (long n = 1;; n++) {
        requests = 0;
        fail_at = n;
        int result = calls[call].make(b, plan);
        fail_at = 0;
        if (requests < n)
            return n - 1;
        if (result != BAKESET_FAILED || bakeset_last_result(b) != BAKESET_FAILED)
            fail_msg("%s, request %ld: %d", calls[call].name, n, result);
        int told = 0;
        for (size_t i = 0; i < bakeset_message_count(b); i++)
            told += strcmp(bakeset_message(b, i)->text, "bakeset: out of memory\n") == 0;
        if (told == 0)
            fail_msg("%s, request %ld: not told", calls[call].name, n);
        if (calls[call].make(b, plan) == BAKESET_FAILED)
            fail_msg("%s, request %ld: fails for ever", calls[call].name, n);
    }
}

static void each_request_fails_once(void **state)
{
    static const char *const plans[] = {"tests/data/api/quick.json",
                                        "tests/data/api/too-soon.json"};
    static const char with_cooling[] = "tests/data/api/small.json";
    (void)state;
    int files = open_files();
    long before = live, failures = 0;
    for (size_t p = 0; p < sizeof plans / sizeof *plans; p++) {
        bakeset *fresh = bakeset_new(), *b = bakeset_new();
        assert_non_null(fresh);
        assert_non_null(b);
        char *expected = sample_all(fresh, plans[p]);
        for (size_t c = 0; c < sizeof calls / sizeof *calls; c++)
            failures += fail_each(b, c, plans[p]);
        char *seen = sample_all(b, plans[p]);
        assert_string_equal(seen, expected);
        __real_free(expected); /* the C library's own request made it */
        __real_free(seen);
        bakeset_free(fresh);
        bakeset_free(b);
    }
    /* Estimates take their time: only the calls that make one, with the plan that has it. */
    bakeset *b = bakeset_new();
    assert_non_null(b);
    for (size_t c = 0; c < sizeof calls / sizeof *calls; c++)
        if (calls[c].make == read_plan || strncmp(calls[c].name, "cooling", 7) == 0)
            failures += fail_each(b, c, with_cooling);
    bakeset_free(b);
    /* A plan whose busy hours are in calendar files. */
    b = bakeset_new();
    assert_non_null(b);
    for (size_t c = 0; c < sizeof calls / sizeof *calls; c++)
        if (calls[c].make == read_plan)
            failures += fail_each(b, c, "tests/data/calendar/supper.json");
    bakeset_free(b);
    assert_int_equal(live, before);
    assert_int_equal(open_files(), files);
    printf("%ld requests failed\n", failures);
    assert_true(failures > 200);
}

static void a_session_that_cannot_be_made_is_none(void **state)
{
    (void)state;
    long before = live;
    for (long n = 1;; n++) {
        requests = 0;
        fail_at = n;
        bakeset *session = bakeset_new();
        fail_at = 0;
        assert_true((session == NULL) == (requests >= n));
        bakeset_free(session);
        assert_int_equal(live, before);
        if (requests < n)
            return;
    }
}

/* All that the C library gave out. 0 under a sanitizer, which has
 * an allocator of its own. */
static size_t in_use(void)
{
    struct mallinfo2 info = mallinfo2();
    return info.uordblks + info.hblkhd;
}

static void a_thousand_rounds_take_no_more_than_one(void **state)
{
    /* The C library and its heap take until FIRST to have what they want, and some
     * later; a block lost in each round is 32 bytes a round at the least. */
    enum { ROUNDS = 1000, FIRST = 400, SLACK = (ROUNDS - FIRST) * 32 - 1 };
    (void)state;
    bakeset *b = bakeset_new();
    assert_non_null(b);
    long blocks = 0;
    size_t bytes = 0;
    for (int i = 0; i < ROUNDS; i++) {
        assert_int_equal(bakeset_cooling(b, ball), BAKESET_OK);
        assert_non_null(bakeset_write_cooling(b, BAKESET_SVG, NULL, NULL));
        assert_int_equal(bakeset_schedule(b, NULL), i ? BAKESET_OK : BAKESET_BAD_INPUT);
        char *all = sample_all(b, "tests/data/api/quick.json");
        assert_non_null(all);
        __real_free(all);
        assert_int_equal(bakeset_read_text(b, "mine", broken_plan, sizeof broken_plan - 1, NULL),
                         BAKESET_BAD_INPUT);
        assert_int_equal(bakeset_read(b, "tests/data/calendar/supper.json", NULL), BAKESET_OK);
        if (i == FIRST) {
            blocks = live;
            bytes = in_use();
        }
    }
    assert_int_equal(live, blocks);
    if (in_use() > bytes + SLACK)
        fail_msg("%zu bytes in use after %d rounds, %zu after %d", in_use(), ROUNDS, bytes, FIRST);
    bakeset_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_request_fails_once),
        cmocka_unit_test(a_session_that_cannot_be_made_is_none),
        cmocka_unit_test(a_thousand_rounds_take_no_more_than_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
