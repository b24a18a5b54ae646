/* A JSON text without comments and blanks: worked examples; and every plan file of the project as
 * cJSON_Minify leaves it, which steps over comments, too. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <cjson/cJSON.h>
#include <glob.h>
#include <string.h>

#include "files/files.h"
#include "memory.h"
#include "json/json.h"

static const char *plain(const char *text, size_t length)
{
    bk_report report = bk_report_new(arena);
    bk_source source = {"test.json", text, length};
    bk_text out = bk_text_new(arena);
    if (bk_json_plain(arena, &source, &out, &report)) {
        assert_int_equal(report.errors, 0);
        return out.data;
    }
    assert_true(report.errors > 0);
    assert_int_equal(out.length, 0);
    return NULL;
}

static void expect(const char *text, const char *expected)
{
    const char *got = plain(text, strlen(text));
    if (!expected)
        assert_null(got);
    else
        assert_string_equal(got, expected);
}

static void test_examples(void **state)
{
    (void)state;
    expect("// a\n{ \"a\" : [1.50, /* b */ 2e3],\r\n\t\"c\": null } // d",
           "{\"a\":[1.50,2e3],\"c\":null}");
    expect("\"// no \\\" comment /* \"", "\"// no \\\" comment /* \"");
    expect("/**/7/***/", "7");
    expect("{\"a\": 1,}", NULL);
    expect("{\"a\": 1, \"a\": 2}", NULL);
    expect("", NULL);
}

/* A byte 0 may stand in a comment. */
static void test_zero(void **state)
{
    (void)state;
    static const char text[] = "[1, /* \0 */ 2]";
    assert_string_equal(plain(text, sizeof text - 1), "[1,2]");
}

static void test_files(void **state)
{
    (void)state;
    static const char *const patterns[] = {"plans/*.json", "plans/recipes/*.json",
                                           "plans/kitchens/*.json"};
    size_t compared = 0;
    for (size_t p = 0; p < sizeof patterns / sizeof *patterns; p++) {
        glob_t found;
        assert_int_equal(glob(patterns[p], 0, NULL, &found), 0);
        for (size_t i = 0; i < found.gl_pathc; i++, compared++) {
            bk_files files = bk_files_system();
            const char *text = NULL, *problem = NULL;
            size_t length = 0;
            assert_true(files.load(files.context, arena, found.gl_pathv[i], BK_MOST_BYTES, &text,
                                   &length, &problem));
            char *other = bk_copy(arena, text, length);
            cJSON_Minify(other);
            assert_string_equal(plain(text, length), other);
        }
        globfree(&found);
    }
    assert_true(compared > 20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_examples, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_zero, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_files, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
