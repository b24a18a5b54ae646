/* The corpora: each tests/data/plan/valid/NAME.json is read without error, and its
 * warnings and model are NAME.expect; each invalid/NAME.json is refused, and what is
 * said is NAME.expect, word for word. To add a case, add the two files. Folders in
 * them hold the files that the plans refer to. With BAKESET_UPDATE set in the
 * environment, what is seen is written as what is expected: read the difference. */
#include "corpus.h"

#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static void compare(const char *name, const char *expected, const char *seen)
{
    bool same = expected != NULL && strcmp(expected, seen) == 0;
    if (!same && getenv("BAKESET_UPDATE") != NULL) {
        char path[256];
        snprintf(path, sizeof path, "%.*s.expect", (int)(strlen(name) - strlen(".json")), name);
        FILE *file = fopen(path, "w");
        assert_non_null(file);
        assert_true(fputs(seen, file) >= 0 && fclose(file) == 0);
    } else if (expected == NULL) {
        fail_msg("there is no %s.expect; seen:\n%s", name, seen);
    } else if (!same) {
        fail_msg("%s: expected\n%s\nseen\n%s", name, expected, seen);
    }
}

static size_t run_folder(const char *folder, bool valid)
{
    size_t count = 0;
    bk_arena *names_arena = bk_arena_new(NULL);
    for (char **name = corpus_names(names_arena, folder); *name != NULL; name++, count++) {
        bk_arena *arena = bk_arena_new(NULL);
        bk_report report = bk_report_new(arena);
        bk_files files = bk_files_system();
        const char *path = bk_format(arena, "%s/%s.json", folder, *name);
        bk_plan *plan = bk_plan_read(arena, &files, path, NULL, &report);
        const char *seen = corpus_messages(arena, &report);
        if ((plan != NULL) != valid || (report.errors == 0) != valid)
            fail_msg("%s is %s:\n%s", path, plan != NULL ? "accepted" : "refused", seen);
        assert_false(report.machine_failed);
        if (plan != NULL)
            seen = bk_format(arena, "%s%s", seen, corpus_dump(arena, plan));
        compare(path, corpus_text(arena, bk_format(arena, "%s/%s.expect", folder, *name)), seen);
        bk_arena_free(arena);
    }
    bk_arena_free(names_arena);
    return count;
}

static void reads_valid_plans(void **state)
{
    (void)state;
    assert_true(run_folder("tests/data/plan/valid", true) >= 5);
}

static void refuses_invalid_plans(void **state)
{
    (void)state;
    assert_true(run_folder("tests/data/plan/invalid", false) >= 80);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_valid_plans),
        cmocka_unit_test(refuses_invalid_plans),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
