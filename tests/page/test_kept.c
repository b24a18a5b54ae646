/* Answers that are kept with what they were made of: given out while it is as it was, told to be
 * stale when a file or the minute is another, bounded in number and bytes. */
#include "own_folder.h"
#include "page/kept.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <cmocka.h>

static char plan[64], journal[64];
static bakeset *session;

static void write_file(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_true(fputs(text, file) >= 0);
    assert_int_equal(fclose(file), 0);
}

static void pause_a_moment(void)
{
    static const struct timespec moment = {0, 20000000L};
    nanosleep(&moment, NULL);
}

static int begin(void **state)
{
    if (own_folder_begin(state) != 0)
        return -1;
    snprintf(plan, sizeof plan, "%s/rolls.json", folder_path);
    snprintf(journal, sizeof journal, "%s/rolls.day.jsonl", folder_path);
    write_file(plan,
               "{\"occasion\": \"Rolls\", \"timezone\": \"UTC\", \"serve\": \"2026-12-04 12:00\","
               "\"dishes\": [{\"dish\": \"Rolls\", \"stages\": ["
               "{\"id\": \"knead\", \"do\": \"Knead\", \"active\": \"10 min\"}]}]}");
    session = bakeset_new();
    return session && bakeset_read(session, plan, NULL) == BAKESET_OK ? 0 : -1;
}

static int end(void **state)
{
    bakeset_free(session);
    return own_folder_end(state);
}

static bool put(struct bk_kept *kept, enum bk_form form, const char *name, size_t length)
{
    char *text = malloc(length + 1);
    assert_non_null(text);
    memset(text, 'x', length);
    text[length] = '\0';
    bk_answer answer = {.status = 200, .type = "text/plain", .text = text, .length = length};
    bk_basis basis = {.session = session, .begun = bk_kept_begin()};
    bool kept_it = bk_kept_put(kept, form, name, &basis, &answer);
    free(text);
    return kept_it;
}

static bool is_there(struct bk_kept *kept, enum bk_form form, const char *name, bool *fresh)
{
    bk_answer answer = {.status = 0};
    bool there = bk_kept_give(kept, form, name, 0, fresh, NULL, &answer);
    if (there) {
        assert_int_equal(answer.status, 200);
        assert_int_equal(strlen(answer.text), answer.length);
    }
    free(answer.text);
    return there;
}

static void what_was_made_is_fresh_until_a_file_changes(void **state)
{
    (void)state;
    bool fresh = false;
    struct bk_kept *kept = bk_kept_new();
    pause_a_moment();
    assert_false(is_there(kept, BK_FORM_SHEET, "a", &fresh));
    assert_true(put(kept, BK_FORM_SHEET, "a", 10));
    assert_false(is_there(kept, BK_FORM_FILE, "a", &fresh));
    assert_true(is_there(kept, BK_FORM_SHEET, "a", &fresh));
    assert_true(fresh);
    write_file(plan, "{}");
    assert_true(is_there(kept, BK_FORM_SHEET, "a", &fresh));
    assert_false(fresh);
    assert_false(bk_kept_is_fresh(kept, BK_FORM_SHEET, "a", 0));
    bk_kept_drop(kept, BK_FORM_SHEET, "a");
    assert_false(is_there(kept, BK_FORM_SHEET, "a", &fresh));
    bk_kept_free(kept);
    bk_kept_free(NULL);
}

static void what_changed_while_it_was_made_is_not_kept(void **state)
{
    (void)state;
    bool fresh = false;
    struct bk_kept *kept = bk_kept_new();
    bk_answer answer = {.status = 200, .text = strdup("old"), .length = 3};
    pause_a_moment();
    assert_true(put(kept, BK_FORM_SHEET, "a", 10));
    struct timespec begun = bk_kept_begin();
    write_file(plan, "{ }"); /* by somebody else, behind its reading */
    assert_false(bk_kept_put(kept, BK_FORM_SHEET, "a",
                             &(bk_basis){.session = session, .begun = begun}, &answer));
    assert_false(is_there(kept, BK_FORM_SHEET, "a", &fresh));
    free(answer.text);
    bk_kept_free(kept);
}

static void a_day_hangs_on_its_minute_and_its_journal(void **state)
{
    (void)state;
    struct bk_kept *kept = bk_kept_new();
    struct stat none = {.st_nlink = 0};
    bk_answer answer = {.status = 200, .text = strdup("day"), .length = 3};
    pause_a_moment();
    bk_basis basis = {.session = session,
                      .begun = bk_kept_begin(),
                      .journal = journal,
                      .journal_status = &none,
                      .minute = 7};
    assert_true(bk_kept_put(kept, BK_FORM_DAY, "a", &basis, &answer));
    assert_true(bk_kept_is_fresh(kept, BK_FORM_DAY, "a", 7));
    assert_false(bk_kept_is_fresh(kept, BK_FORM_DAY, "a", 8));
    write_file(journal, "{}\n");
    assert_false(bk_kept_is_fresh(kept, BK_FORM_DAY, "a", 7));
    free(answer.text);
    bk_kept_free(kept);
}

static void it_does_not_grow(void **state)
{
    (void)state;
    bool fresh = false;
    char name[20];
    size_t there = 0;
    struct bk_kept *kept = bk_kept_new();
    pause_a_moment();
    for (int i = 0; i < 2 * BK_MOST_KEPT; i++) {
        snprintf(name, sizeof name, "%d", i);
        assert_true(put(kept, BK_FORM_SHEET, name, 10));
        assert_true(is_there(kept, BK_FORM_SHEET, "0", &fresh)); /* which is used goes last */
    }
    for (int i = 0; i < 2 * BK_MOST_KEPT; i++) {
        snprintf(name, sizeof name, "%d", i);
        there += is_there(kept, BK_FORM_SHEET, name, &fresh);
    }
    assert_int_equal(there, BK_MOST_KEPT);
    size_t large = BK_MOST_KEPT_BYTES / 5;
    for (int i = 0; i < 10; i++) {
        snprintf(name, sizeof name, "large %d", i);
        assert_true(put(kept, BK_FORM_PICTURE, name, large));
    }
    there = 0;
    for (int i = 0; i < 10; i++) {
        snprintf(name, sizeof name, "large %d", i);
        there += is_there(kept, BK_FORM_PICTURE, name, &fresh);
    }
    assert_int_equal(there, 5);
    assert_false(put(kept, BK_FORM_SHEET, "too large", BK_MOST_KEPT_BYTES / 4));
    bk_kept_free(kept);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_was_made_is_fresh_until_a_file_changes),
        cmocka_unit_test(what_changed_while_it_was_made_is_not_kept),
        cmocka_unit_test(a_day_hangs_on_its_minute_and_its_journal),
        cmocka_unit_test(it_does_not_grow),
    };
    return cmocka_run_group_tests(tests, begin, end);
}
