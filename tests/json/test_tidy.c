/* A JSON text laid out in one way: worked examples; and, for every plan file of the project and
 * for texts with blanks and comments strewn between their tokens at random, the same values
 * (as cJSON reads them), every comment once and in order, and a second time the same bytes. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <cjson/cJSON.h>
#include <glob.h>
#include <stdlib.h>
#include <string.h>

#include "files/files.h"
#include "memory.h"
#include "support/splitmix.h"
#include "json/json.h"

static const char *tidy(const char *text)
{
    bk_report report = bk_report_new(arena);
    bk_source source = {"test.json", text, strlen(text)};
    bk_text out = bk_text_new(arena);
    if (!bk_json_tidy(arena, &source, &out, &report)) {
        assert_true(report.errors > 0);
        assert_false(report.machine_failed);
        assert_int_equal(out.length, 0);
        return NULL;
    }
    assert_int_equal(report.errors, 0);
    return out.data;
}

static void expect(const char *text, const char *expected)
{
    const char *first = tidy(text);
    assert_non_null(first);
    assert_string_equal(first, expected);
    assert_string_equal(tidy(first), expected);
}

static void test_layout(void **state)
{
    (void)state;
    expect("3", "3\n");
    expect("{}", "{}\n");
    expect("{\"a\":1,\"b\":[1,2,{}],\"c\":{\"x\":true}}",
           "{\n  \"a\": 1,\n  \"b\": [1, 2, {}],\n  \"c\": {\"x\": true}\n}\n");
    /* several things that have parts stand on a line each */
    expect("{\"k\":{\"oven\":{\"kind\":\"oven\"},\"hob\":{\"rings\":4}},\"l\":[[1],[2]]}",
           "{\n  \"k\": {\n    \"oven\": {\"kind\": \"oven\"},\n    \"hob\": {\"rings\": 4}\n  },\n"
           "  \"l\": [\n    [1],\n    [2]\n  ]\n}\n");
    /* a stage fills its lines */
    expect("[{\"id\": \"bake\", \"do\": \"Bake the base until it springs back under a hand\",\n"
           "\"passive\": \"12-15 min\", \"uses\": {\"oven\": {\"at\": \"180 C\"}}}]",
           "[\n  {\"id\": \"bake\", \"do\": \"Bake the base until it springs back under a hand\", "
           "\"passive\": \"12-15 min\",\n   \"uses\": {\"oven\": {\"at\": \"180 C\"}}}\n]\n");
    /* numbers and texts stay as written */
    expect("[1.50, 1e2, -0, \"\\u00e9\\/ \\\"q\\\"\"]",
           "[\n  1.50,\n  1e2,\n  -0,\n  \"\\u00e9\\/ \\\"q\\\"\"\n]\n");
}

static void test_comments(void **state)
{
    (void)state;
    /* above, behind, before the bracket, in front and at the end of the file */
    expect("// head\r\n\r\n{ // first\n\"a\":1, // of a\n\n\n/* of\n   b */\n\"b\"/*k*/:/*v*/2 "
           "/*w*/ , \"c\": [\n// nothing\n]\n// last\n}  // done\n// foot",
           "// head\n\n{\n  // first\n  \"a\": 1,  // of a\n\n  /* of\n   b */\n  /*k*/\n"
           "  /*v*/\n  \"b\": 2,  /*w*/\n  \"c\": [\n    // nothing\n  ]\n  // last\n}  // done\n"
           "// foot\n");
    /* in one line: of what comes next, or of what was before */
    expect("[1, /* two */ 2 /* still two */, 3 /* three */]",
           "[\n  1,\n  /* two */\n  2,  /* still two */\n  3  /* three */\n]\n");
    /* what looks like one inside a text is none */
    expect("{\"a\": \"// no /* no */\"}", "{\n  \"a\": \"// no /* no */\"\n}\n");
}

/* A byte 0 in a comment is read over, and kept. */
static void test_byte_zero(void **state)
{
    (void)state;
    static const char text[] = "[1, /* a\0b */ 2 // c\0 \n]";
    static const char wanted[] = "[\n  1,\n  /* a\0b */\n  2  // c\0\n]\n";
    bk_report report = bk_report_new(arena);
    bk_source source = {"test.json", text, sizeof text - 1};
    bk_text out = bk_text_new(arena);
    assert_true(bk_json_tidy(arena, &source, &out, &report));
    assert_int_equal(out.length, sizeof wanted - 1);
    assert_memory_equal(out.data, wanted, sizeof wanted);
}

static void test_groups(void **state)
{
    (void)state;
    expect("{\n\n\"a\": 1,\n\n\n\n\"b\": 2,\n\"c\": 3\n\n}",
           "{\n  \"a\": 1,\n\n  \"b\": 2,\n  \"c\": 3\n}\n");
    expect("{\n\n// first\n\n// second\n\"a\": 1}",
           "{\n  // first\n\n  // second\n  \"a\": 1\n}\n");
}

static void test_faults(void **state)
{
    (void)state;
    assert_null(tidy("{\"a\": 1,}"));
    assert_null(tidy("{\"a\": 1, \"a\": 2}"));
    assert_null(tidy("{\"a\": 1"));
    assert_null(tidy("/* never ends"));
    assert_null(tidy(""));
}

/* The comments of a sound text in order; `plain` has blanks in their stead. */
static const char *comments_of(const char *text, char **plain)
{
    bk_text all = bk_text_new(arena);
    char *copy = bk_copy_string(arena, text);
    bk_text_add(&all, "");
    for (char *c = copy; *c; c++) {
        size_t length = 0;
        if (*c == '"')
            for (c++; *c != '"'; c++)
                c += *c == '\\';
        else if (c[0] == '/' && c[1] == '/')
            length = strcspn(c, "\n");
        else if (c[0] == '/' && c[1] == '*')
            length = (size_t)(strstr(c + 2, "*/") + 2 - c);
        size_t shown = length;
        while (shown > 0 && strchr(" \t\r", c[shown - 1]))
            shown--;
        if (length > 0) {
            bk_text_add_bytes(&all, c, shown);
            bk_text_add(&all, "\n");
            memset(c, ' ', length);
            c += length - 1;
        }
    }
    *plain = copy;
    return all.data;
}

static void expect_kept(const char *text)
{
    bk_mark mark = bk_arena_mark(arena);
    const char *once = tidy(text);
    char *plain_before = NULL, *plain_after = NULL;
    assert_non_null(once);
    assert_string_equal(comments_of(text, &plain_before), comments_of(once, &plain_after));
    cJSON *before = cJSON_Parse(plain_before), *after = cJSON_Parse(plain_after);
    assert_true(cJSON_Compare(before, after, 1));
    char *printed_before = cJSON_PrintUnformatted(before);
    char *printed_after = cJSON_PrintUnformatted(after);
    assert_string_equal(printed_before, printed_after); /* in the same order */
    free(printed_before);
    free(printed_after);
    cJSON_Delete(before);
    cJSON_Delete(after);
    assert_string_equal(tidy(once), once);
    bk_arena_release(arena, mark);
}

static void test_every_plan(void **state)
{
    (void)state;
    glob_t found;
    bk_files files = bk_files_system();
    assert_int_equal(glob("plans/*.json", 0, NULL, &found), 0);
    assert_int_equal(glob("plans/*/*.json", GLOB_APPEND, NULL, &found), 0);
    assert_int_equal(glob("tests/data/plan/valid/*.json", GLOB_APPEND, NULL, &found), 0);
    assert_true(found.gl_pathc > 30);
    for (size_t i = 0; i < found.gl_pathc; i++) {
        const char *text = NULL, *problem = NULL;
        size_t length = 0;
        assert_true(files.load(files.context, arena, found.gl_pathv[i], BK_MOST_BYTES, &text,
                               &length, &problem));
        expect_kept(text + (strncmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0));
    }
    globfree(&found);
}

/* Something that may stand between two tokens. */
static void strew(bk_text *out, uint64_t *seed)
{
    static const char *const between[] = {
        " ",
        "\n",
        "\n\n",
        "\n\n\n",
        "\t",
        "\r\n",
        "// line\n",
        "//\r\n",
        "/* block */",
        "/* two\n lines */",
        " // \"quoted\" { \n",
        "/**/",
    };
    for (uint64_t count = splitmix64(seed) % 4; count > 0; count--)
        bk_text_add(out, between[splitmix64(seed) % (sizeof between / sizeof *between)]);
}

static void strewn_value(bk_text *out, uint64_t *seed, int depth)
{
    static const char *const scalars[] = {"1",
                                          "-2.50",
                                          "true",
                                          "null",
                                          "\"x\"",
                                          "\"a // b\"",
                                          "\"a longer text that will not go on many lines\""};
    uint64_t kind = splitmix64(seed) % 4;
    if (depth == 0 || kind < 2) {
        bk_text_add(out, scalars[splitmix64(seed) % (sizeof scalars / sizeof *scalars)]);
        return;
    }
    bool object = kind == 2;
    bk_text_add(out, object ? "{" : "[");
    uint64_t count = splitmix64(seed) % 5;
    for (uint64_t i = 0; i < count; i++) {
        strew(out, seed);
        if (object) {
            bk_text_addf(out, "\"key %d\"", (int)i);
            strew(out, seed);
            bk_text_add(out, ":");
            strew(out, seed);
        }
        strewn_value(out, seed, depth - 1);
        strew(out, seed);
        if (i + 1 < count)
            bk_text_add(out, ",");
    }
    strew(out, seed);
    bk_text_add(out, object ? "}" : "]");
}

static void test_strewn(void **state)
{
    (void)state;
    uint64_t seed = 14;
    for (int i = 0; i < 4000; i++) {
        bk_text text = bk_text_new(arena);
        strew(&text, &seed);
        strewn_value(&text, &seed, 4);
        strew(&text, &seed);
        expect_kept(text.data);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_layout, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_comments, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_byte_zero, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_groups, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_faults, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_every_plan, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_strewn, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
