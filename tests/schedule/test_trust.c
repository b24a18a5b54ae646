/* Trust shouts: when a part that must be right is not, nothing is given out, and the result
 * is an internal error. Linked with --wrap, so that the parts can be made wrong. */
#include "bakeset.h"
#include "engine/engine.h"
#include "icalendar/icalendar.h"
#include "verify/verify.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define SUPPER "plans/friday-supper.json"
#define IMPOSSIBLE "plans/impossible-supper.json"

static int solves, wrong_solve; /* the one of this number finds what its check refuses; 0: none */
static bool verify_refuses;
static const char *lost; /* the first line of a calendar that begins so is not written */

bk_result __real_bk_solve(bk_arena *arena, const bk_problem *problem,
                          const bk_solve_options *options);
bk_result __wrap_bk_solve(bk_arena *arena, const bk_problem *problem,
                          const bk_solve_options *options);
size_t __real_bk_verify(bk_arena *arena, const bk_timeline *timeline, bk_breach **breaches);
size_t __wrap_bk_verify(bk_arena *arena, const bk_timeline *timeline, bk_breach **breaches);
void __real_bk_content_add(bk_text *out, const char *line);
void __wrap_bk_content_add(bk_text *out, const char *line);
void __real_bk_content_add_text(bk_text *out, const char *name, const char *text);
void __wrap_bk_content_add_text(bk_text *out, const char *name, const char *text);

bk_result __wrap_bk_solve(bk_arena *arena, const bk_problem *problem,
                          const bk_solve_options *options)
{
    if (++solves == wrong_solve)
        return (bk_result){.status = BK_WRONG};
    return __real_bk_solve(arena, problem, options);
}

size_t __wrap_bk_verify(bk_arena *arena, const bk_timeline *timeline, bk_breach **breaches)
{
    static bk_breach breach = {7, 0, "it is on the moon"};
    if (!verify_refuses)
        return __real_bk_verify(arena, timeline, breaches);
    *breaches = &breach;
    return 1;
}

/* Is this line the one to be lost? Then it has been. */
static bool is_lost(const char *line)
{
    bool found = lost && strncmp(line, lost, strlen(lost)) == 0;
    if (found)
        lost = NULL;
    return found;
}

void __wrap_bk_content_add(bk_text *out, const char *line)
{
    if (!is_lost(line))
        __real_bk_content_add(out, line);
}

void __wrap_bk_content_add_text(bk_text *out, const char *name, const char *text)
{
    if (!is_lost(name))
        __real_bk_content_add_text(out, name, text);
}

static int begin(void **state)
{
    solves = wrong_solve = 0;
    verify_refuses = false;
    lost = NULL;
    *state = bakeset_new();
    return *state ? 0 : -1;
}

static int end(void **state)
{
    bakeset_free(*state);
    return 0;
}

static void assert_internal(const bakeset *session, const char *words)
{
    size_t count = bakeset_message_count(session);
    assert_int_equal(bakeset_last_result(session), BAKESET_FAILED);
    assert_true(count > 0);
    const struct bakeset_message *last = bakeset_message(session, count - 1);
    assert_string_equal(last->code, "internal");
    assert_int_equal(last->severity, BAKESET_ERROR);
    assert_non_null(strstr(last->what, words));
}

/* Every search of a plan's scheduling in turn: also those for the reasons and for what would
 * help. */
static void an_answer_that_the_engine_refuses(void **state)
{
    static const char *const plans[] = {SUPPER, IMPOSSIBLE};
    for (size_t p = 0; p < 2; p++) {
        assert_int_equal(bakeset_read(*state, plans[p], NULL), BAKESET_OK);
        solves = wrong_solve = 0;
        bakeset_schedule(*state, NULL);
        int all = solves;
        assert_true(all > 0);
        for (int n = 1; n <= all; n++) {
            solves = 0;
            wrong_solve = n;
            if (bakeset_schedule(*state, NULL) != BAKESET_FAILED)
                fail_msg("%s: search %d of %d is wrong and nobody says so", plans[p], n, all);
            assert_internal(*state, "its own check refuses");
            assert_null(bakeset_write(*state, BAKESET_TEXT, NULL, NULL));
        }
    }
}

static void a_reason_that_the_engine_refuses(void **state)
{
    assert_int_equal(bakeset_read(*state, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(*state, NULL), BAKESET_OK);
    solves = 0;
    wrong_solve = 1;
    assert_null(bakeset_why(*state, NULL, NULL, NULL, NULL));
    assert_internal(*state, "its own check refuses");
}

static void a_timeline_that_breaks_a_rule(void **state)
{
    verify_refuses = true;
    assert_int_equal(bakeset_read(*state, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(*state, NULL), BAKESET_FAILED);
    assert_internal(*state, "breaks rule 7: it is on the moon");
    assert_null(bakeset_write(*state, BAKESET_JSON, NULL, NULL));
}

static void a_calendar_that_lost_a_line(void **state)
{
    /* Without SEQUENCE it is 0 (RFC 5545 section 3.8.7.4), which it is here. */
    static const char *const lines[] = {
        "SUMMARY",  "DESCRIPTION",        "DTSTART",   "DTEND:", "UID:", "DTSTAMP:",
        "TRIGGER:", "X-BAKESET-WRITTEN:", "END:VEVENT"};
    assert_int_equal(bakeset_read(*state, SUPPER, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(*state, NULL), BAKESET_OK);
    const char *whole = bakeset_write(*state, BAKESET_ICS, NULL, NULL);
    assert_non_null(whole);
    struct bakeset_write_options again = {.size = sizeof again, .replaces_text = whole};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        assert_non_null(strstr(whole, lines[i])); /* there is one to lose */
        lost = lines[i];
        if (bakeset_write(*state, BAKESET_ICS, &again, NULL))
            fail_msg("a calendar without %s is given out", lines[i]);
        assert_internal(*state, "is not the one that was meant");
    }
    lost = NULL;
    assert_string_equal(bakeset_write(*state, BAKESET_ICS, &again, NULL), whole);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, begin, end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(an_answer_that_the_engine_refuses),
        TEST(a_reason_that_the_engine_refuses),
        TEST(a_timeline_that_breaks_a_rule),
        TEST(a_calendar_that_lost_a_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
