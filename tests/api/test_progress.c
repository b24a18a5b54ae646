/* A search that takes its time tells how far it is, and can be called off. */
#include "bakeset.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define LONG_SEARCH "tests/data/cli/long-search.json"

enum { MOST = 4000, SOME_EFFORT = 20000 };

typedef struct heard {
    struct bakeset_progress all[MOST];
    char words[MOST][120];
    int count;
    int off_at; /* the call that calls it off; 0: none */
} heard;

static int hear(void *context, const struct bakeset_progress *progress)
{
    heard *h = context;
    assert_true(h->count < MOST);
    assert_true(strlen(progress->words) < sizeof h->words[0]);
    strcpy(h->words[h->count], progress->words);
    h->all[h->count] = *progress;
    h->all[h->count++].words = NULL;
    return h->off_at > 0 && h->count >= h->off_at;
}

static struct bakeset_schedule_options with(heard *h, int64_t effort)
{
    return (struct bakeset_schedule_options){.size = sizeof(struct bakeset_schedule_options),
                                             .effort = effort,
                                             .progress = hear,
                                             .progress_context = h};
}

static int begin(void **state)
{
    *state = bakeset_new();
    return *state ? 0 : -1;
}

static int end(void **state)
{
    bakeset_free(*state);
    return 0;
}

static heard *new_heard(int off_at)
{
    heard *h = calloc(1, sizeof *h);
    assert_non_null(h);
    h->off_at = off_at;
    return h;
}

static const char *text_of(bakeset *session, enum bakeset_form form)
{
    const char *text = bakeset_write(session, form, NULL, NULL);
    assert_non_null(text);
    return text;
}

static void assert_given_up(bakeset *session, bool expected)
{
    bool found = false;
    for (size_t i = 0; i < bakeset_message_count(session); i++)
        found = found || strcmp(bakeset_message(session, i)->code, "given-up") == 0;
    assert_int_equal(found, expected);
}

/* The long search once with a callback that lets it go on. */
static heard *hear_all(bakeset *session)
{
    heard *h = new_heard(0);
    struct bakeset_schedule_options options = with(h, SOME_EFFORT);
    assert_int_equal(bakeset_read(session, LONG_SEARCH, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(session, &options), BAKESET_OK);
    return h;
}

static void it_tells_how_far_it_is(void **state)
{
    heard *h = hear_all(*state);
    bool seen[BAKESET_GOAL_REMEDIES + 1] = {false};
    assert_true(h->count >= 4);
    for (int i = 0; i < h->count; i++) {
        const struct bakeset_progress *p = &h->all[i];
        seen[p->goal] = true;
        assert_true(p->used > 0 && p->effort >= SOME_EFFORT);
        if (i > 0) {
            const struct bakeset_progress *before = &h->all[i - 1];
            assert_true(p->used > before->used);
            assert_true(p->found >= before->found);
            assert_true(!before->found || p->first_start >= before->first_start);
        }
        if (!p->found) {
            assert_string_equal(h->words[i], "no timeline yet");
            continue;
        }
        assert_non_null(strstr(h->words[i], "start Thu 24 Dec "));
        if (p->goal == BAKESET_GOAL_FIRST_START)
            assert_true(p->best == p->first_start && p->bound >= p->best);
        else
            assert_true(p->best >= p->bound && p->bound >= 0);
        assert_true(strlen(h->words[i]) <= 60);
        assert_true(p->level >= 0 ? p->level < p->levels : p->goal == BAKESET_GOAL_ANY);
    }
    assert_true(seen[BAKESET_GOAL_FIRST_START] && seen[BAKESET_GOAL_INTERRUPTIONS]);
    assert_false(seen[BAKESET_GOAL_HANDS_ON] || seen[BAKESET_GOAL_WHY]);
    free(h);
}

/* The first start last told is the timeline's: 07:53, and 2026-12-24 is day 20,811 since 1970. */
static void what_is_told_is_what_comes(void **state)
{
    heard *h = hear_all(*state);
    assert_int_equal(h->all[h->count - 1].first_start, 20811 * 1440 + 7 * 60 + 53);
    assert_non_null(
        strstr(text_of(*state, BAKESET_JSON), "\"start\": \"2026-12-24T07:53:00+00:00\""));
    free(h);
}

static void who_only_listens_changes_nothing(void **state)
{
    heard *first = hear_all(*state);
    char *heard_json = strdup(text_of(*state, BAKESET_JSON));
    heard *second = hear_all(*state);
    assert_int_equal(first->count, second->count);
    assert_memory_equal(first->all, second->all, sizeof first->all);
    struct bakeset_schedule_options deaf = {.size = sizeof deaf, .effort = SOME_EFFORT};
    assert_int_equal(bakeset_schedule(*state, &deaf), BAKESET_OK);
    assert_string_equal(text_of(*state, BAKESET_JSON), heard_json);
    assert_given_up(*state, false);
    free(heard_json);
    free(first);
    free(second);
}

/* Called off at each of the calls: what comes is the best told until then or better, and said to be
 * no more than that. */
static void called_off_it_gives_the_best_so_far(void **state)
{
    heard *whole = hear_all(*state);
    int placed = 0;
    for (int n = 1; n <= whole->count; n += 1 + n / 4) {
        heard *h = new_heard(n);
        struct bakeset_schedule_options options = with(h, SOME_EFFORT);
        enum bakeset_result result = bakeset_schedule(*state, &options);
        const char *json = text_of(*state, BAKESET_JSON);
        assert_int_equal(h->count, n);
        assert_given_up(*state, true);
        assert_non_null(strstr(json, "\"code\": \"given-up\""));
        assert_non_null(strstr(json, "\"complete\": false"));
        if (!h->all[n - 1].found) {
            assert_int_equal(result, BAKESET_IMPOSSIBLE);
            assert_non_null(strstr(json, "\"status\": \"unknown\""));
            assert_non_null(
                strstr(text_of(*state, BAKESET_TEXT), "before the search was given up"));
        } else {
            assert_int_equal(result, BAKESET_OK);
            assert_non_null(strstr(json, "\"status\": \"feasible\""));
            assert_non_null(strstr(text_of(*state, BAKESET_TEXT),
                                   "The best until the search was given up, not proved the"));
            const char *start = strstr(json, "\"start\": \"2026-12-24T");
            int hour = 0, minute = 0;
            assert_non_null(start);
            assert_int_equal(sscanf(start, "\"start\": \"2026-12-24T%d:%d", &hour, &minute), 2);
            assert_true(20811 * 1440 + hour * 60 + minute >= h->all[n - 1].first_start);
            placed++;
        }
        free(h);
    }
    assert_true(placed >= 2);
    free(whole);
}

/* Called more often it is given up sooner: after the first timeline, in a tenth of the steps. */
static void called_more_often_it_ends_sooner(void **state)
{
    heard *often = new_heard(1), *seldom = hear_all(*state);
    struct bakeset_schedule_options options = with(often, SOME_EFFORT);
    options.every = 100000;
    bakeset_schedule(*state, &options);
    assert_int_equal(often->count, 1);
    assert_true(often->all[0].used * 10 < seldom->all[0].used);
    free(often);
    free(seldom);
}

/* The same session, asked again, finds what it finds with nobody looking on. */
static void called_off_once_is_not_for_ever(void **state)
{
    heard *whole = hear_all(*state);
    char *json = strdup(text_of(*state, BAKESET_JSON));
    heard *h = new_heard(1);
    struct bakeset_schedule_options options = with(h, SOME_EFFORT);
    assert_int_equal(bakeset_schedule(*state, &options), BAKESET_IMPOSSIBLE);
    h->off_at = 0;
    assert_int_equal(bakeset_schedule(*state, &options), BAKESET_OK);
    assert_string_equal(text_of(*state, BAKESET_JSON), json);
    assert_given_up(*state, false);
    free(json);
    free(h);
    free(whole);
}

static void what_is_soon_over_tells_nothing(void **state)
{
    static const char *const plans[] = {"plans/friday-supper.json", "plans/sunday-roast.json",
                                        "plans/impossible-supper.json"};
    heard *h = new_heard(1);
    struct bakeset_schedule_options options = with(h, 0);
    for (size_t i = 0; i < sizeof plans / sizeof *plans; i++) {
        assert_int_equal(bakeset_read(*state, plans[i], NULL), BAKESET_OK);
        bakeset_schedule(*state, &options);
        assert_given_up(*state, false);
    }
    assert_int_equal(h->count, 0);
    free(h);
}

/* The same kitchen from noon on: there is no timeline, and why takes its time, too. */
static void reasons_and_remedies_can_be_called_off(void **state)
{
    static const char serve[] = "\"serve\": \"2026-12-24 19:00\"";
    char *text = calloc(1, 65536);
    FILE *file = fopen(LONG_SEARCH, "r");
    assert_true(text && file);
    assert_true(fread(text, 1, 60000, file) > 0);
    fclose(file);
    char *at = strstr(text, serve);
    assert_non_null(at);
    static const char earliest[] = ", \"earliest\": \"2026-12-24 12:00\"";
    at += sizeof serve - 1;
    memmove(at + sizeof earliest - 1, at, strlen(at) + 1);
    memcpy(at, earliest, sizeof earliest - 1);
    assert_int_equal(bakeset_read_text(*state, "noon", text, strlen(text), NULL), BAKESET_OK);
    heard *whole = new_heard(0);
    struct bakeset_schedule_options options = with(whole, 0);
    assert_int_equal(bakeset_schedule(*state, &options), BAKESET_IMPOSSIBLE);
    assert_given_up(*state, false);
    assert_null(strstr(text_of(*state, BAKESET_JSON), "\"remedies\": []"));
    assert_int_equal(whole->all[0].goal, BAKESET_GOAL_WHY);
    assert_string_equal(whole->words[0], "looking for the reasons");
    assert_int_equal(whole->all[whole->count - 1].goal, BAKESET_GOAL_REMEDIES);
    for (int n = 1; n <= whole->count; n++) {
        heard *h = new_heard(n);
        options = with(h, 0);
        assert_int_equal(bakeset_schedule(*state, &options), BAKESET_IMPOSSIBLE);
        assert_int_equal(h->count, n);
        assert_given_up(*state, true);
        assert_non_null(strstr(text_of(*state, BAKESET_JSON), "\"status\": \"impossible\""));
        assert_non_null(strstr(text_of(*state, BAKESET_TEXT), "This plan can't be met."));
        free(h);
    }
    free(whole);
    free(text);
}

static void why_can_be_called_off(void **state)
{
    heard *whole = hear_all(*state);
    heard *h = new_heard(1);
    struct bakeset_schedule_options options = with(h, SOME_EFFORT);
    const char *why = bakeset_why(*state, "Dish 3/s5", &options, NULL, NULL);
    assert_non_null(why);
    assert_true(h->count <= 1);
    if (h->count == 1) {
        assert_int_equal(h->all[0].goal, BAKESET_GOAL_WHY);
        assert_non_null(strstr(why, "was not settled"));
    }
    free(h);
    free(whole);
}

/* A program of before the callback, whose struct ends with the effort. */
static void an_older_program_is_not_called_back(void **state)
{
    heard *h = new_heard(1);
    struct bakeset_schedule_options options = with(h, SOME_EFFORT);
    options.size = offsetof(struct bakeset_schedule_options, progress);
    assert_int_equal(bakeset_read(*state, LONG_SEARCH, NULL), BAKESET_OK);
    assert_int_equal(bakeset_schedule(*state, &options), BAKESET_OK);
    assert_int_equal(h->count, 0);
    free(h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(it_tells_how_far_it_is, begin, end),
        cmocka_unit_test_setup_teardown(called_more_often_it_ends_sooner, begin, end),
        cmocka_unit_test_setup_teardown(what_is_told_is_what_comes, begin, end),
        cmocka_unit_test_setup_teardown(who_only_listens_changes_nothing, begin, end),
        cmocka_unit_test_setup_teardown(called_off_it_gives_the_best_so_far, begin, end),
        cmocka_unit_test_setup_teardown(called_off_once_is_not_for_ever, begin, end),
        cmocka_unit_test_setup_teardown(what_is_soon_over_tells_nothing, begin, end),
        cmocka_unit_test_setup_teardown(reasons_and_remedies_can_be_called_off, begin, end),
        cmocka_unit_test_setup_teardown(why_can_be_called_off, begin, end),
        cmocka_unit_test_setup_teardown(an_older_program_is_not_called_back, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
