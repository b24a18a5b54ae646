/* The reader of JSON against cJSON, an independent one: the same values from every JSON
 * file of the project and from random texts; and what cJSON lets through that RFC 8259
 * forbids is refused. */
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

static bk_json *read_text(const char *text, bk_report *report)
{
    bk_source *source = BK_NEW(arena, bk_source, 1);
    *source = (bk_source){"test.json", text, strlen(text)};
    *report = bk_report_new(arena);
    return bk_json_read(arena, source, report);
}

/* cJSON reads no comments: they become blanks. Texts are kept whole. */
static char *without_comments(const char *text)
{
    char *plain = bk_copy_string(arena, text);
    for (char *c = plain; *c; c++) {
        if (*c == '"')
            for (c++; *c != '"'; c++)
                c += *c == '\\';
        else if (c[0] == '/' && c[1] == '/')
            while (*c && *c != '\n')
                *c++ = ' ';
        else if (c[0] == '/' && c[1] == '*') {
            for (; !(c[0] == '*' && c[1] == '/'); c++)
                *c = ' ';
            c[0] = c[1] = ' ';
        }
        if (*c == '\0')
            break;
    }
    return plain;
}

static void expect_same(const bk_json *ours, const cJSON *theirs)
{
    assert_non_null(theirs);
    switch (ours->type) {
    case BK_JSON_NULL:
        assert_true(cJSON_IsNull(theirs));
        break;
    case BK_JSON_BOOLEAN:
        assert_true(ours->truth ? cJSON_IsTrue(theirs) : cJSON_IsFalse(theirs));
        break;
    case BK_JSON_NUMBER:
        assert_true(cJSON_IsNumber(theirs));
        assert_memory_equal(&ours->number, &theirs->valuedouble, sizeof ours->number);
        break;
    case BK_JSON_STRING:
        assert_string_equal(ours->string, cJSON_GetStringValue(theirs));
        break;
    case BK_JSON_LIST:
    case BK_JSON_OBJECT:
        assert_int_equal(ours->count, cJSON_GetArraySize(theirs));
        break;
    }
    const cJSON *item = theirs->child;
    for (const bk_json *child = ours->first; child != NULL; child = child->next) {
        if (ours->type == BK_JSON_OBJECT)
            assert_string_equal(child->key, item->string);
        expect_same(child, item);
        item = item->next;
    }
    assert_true(ours->first == NULL || item == NULL);
}

static void reads_every_file_as_cjson_does(void **state)
{
    (void)state;
    static const char *const patterns[] = {"plans/*.json", "plans/*/*.json",
                                           "tests/data/plan/valid/*.json", "tests/data/cli/*.json",
                                           NULL};
    glob_t files = {0};
    for (size_t i = 0; patterns[i]; i++)
        glob(patterns[i], i ? GLOB_APPEND : 0, NULL, &files);
    assert_true(files.gl_pathc > 20);
    bk_files system = bk_files_system();
    for (size_t i = 0; i < files.gl_pathc; i++) {
        const char *text = NULL, *problem = NULL;
        size_t length = 0;
        assert_true(system.load(system.context, arena, files.gl_pathv[i], BK_MOST_BYTES, &text,
                                &length, &problem));
        if (strncmp(text, "\xEF\xBB\xBF", 3) == 0)
            text += 3; /* the mark at the beginning of a file is its loader's business */
        bk_report report;
        bk_json *ours = read_text(text, &report);
        cJSON *theirs = cJSON_Parse(without_comments(text));
        if (ours == NULL)
            fail_msg("not read: %s", files.gl_pathv[i]);
        expect_same(ours, theirs);
        cJSON_Delete(theirs);
    }
    globfree(&files);
}

/* A text of JSON with every kind of escape, number and nesting. */
static void put_random(bk_text *out, uint64_t *state, int depth)
{
    static const char *const pieces[] = {
        "a",      "\\n",        "\\t",     "\\\\", "\\\"", "\\/", "\\u00e9", "\\uD83C\\uDF70",
        "\u00df", "\U0001F370", "\\u20ac", "\\b",  "\\f",  "\\r", " // "};
    static const char *const numbers[] = {"0",   "-0",     "12",  "-7.25",
                                          "1e3", "2.5E-3", "0.1", "123456789012345678"};
    uint64_t kind = splitmix64(state) % (depth > 4 ? 4 : 6);
    if (kind == 0)
        bk_text_add(out, (const char *const[]){"true", "false", "null"}[splitmix64(state) % 3]);
    else if (kind == 1)
        bk_text_add(out, numbers[splitmix64(state) % 8]);
    else if (kind < 4) {
        bk_text_add(out, "\"");
        for (uint64_t n = splitmix64(state) % 9; n > 0; n--)
            bk_text_add(out, pieces[splitmix64(state) % 15]);
        bk_text_add(out, "\"");
    } else {
        bk_text_add(out, kind == 4 ? "[" : "{");
        uint64_t count = splitmix64(state) % 5;
        for (uint64_t i = 0; i < count; i++) {
            if (kind == 5)
                bk_text_addf(out, "%s\"k\\u00%02x\" : ", i ? ", " : "", (unsigned)(0x41 + i));
            else if (i)
                bk_text_add(out, " ,\n");
            put_random(out, state, depth + 1);
        }
        bk_text_add(out, kind == 4 ? "]" : "}");
    }
}

static void reads_random_texts_as_cjson_does(void **state)
{
    (void)state;
    uint64_t random = 20261128;
    for (int i = 0; i < 5000; i++) {
        bk_mark mark = bk_arena_mark(arena);
        bk_text text = bk_text_new(arena);
        put_random(&text, &random, 0);
        bk_report report;
        bk_json *ours = read_text(text.data, &report);
        cJSON *theirs = cJSON_Parse(text.data);
        if (ours == NULL || theirs == NULL)
            fail_msg("not read: %s", text.data);
        expect_same(ours, theirs);
        cJSON_Delete(theirs);
        bk_arena_release(arena, mark);
    }
}

/* Why the one reading is ours: each of these cJSON takes without a word. */
static void refuses_what_cjson_lets_through(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "[01]",           "[1.]",       "[\"a\tb\"]",          "[\"\xff\"]",
        "[\"\\u0000x\"]", "[\"\x01\"]", "{\"a\": 1, \"a\": 2}"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        cJSON *theirs = cJSON_Parse(texts[i]);
        assert_non_null(theirs);
        cJSON_Delete(theirs);
        bk_report report;
        read_text(texts[i], &report);
        if (report.errors != 1)
            fail_msg("not refused: %s", texts[i]);
    }
}

/* And what stops cJSON at the first fault is told whole. */
static void tells_several_faults_in_one_reading(void **state)
{
    (void)state;
    bk_report report;
    bk_json *root =
        read_text("{\"a\": [1, 2,],\n \"b\": 3 // no comma\n \"c\": 4, \"a\": 5}", &report);
    assert_non_null(root);
    assert_int_equal(report.errors, 3);
    assert_int_equal(root->count, 3);
    const char *const expected[] = {"a comma stands before", "a comma is missing",
                                    "is given twice"};
    for (size_t i = 0; i < 3; i++)
        assert_non_null(strstr(report.messages[i].text, expected[i]));
}

/* What a text of ours goes on to: the outermost value begins where the text ends. */
static void writes_a_value_where_the_text_is(void **state)
{
    (void)state;
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "serve: ");
    bk_put put = bk_put_to(&out);
    bk_put_text(&put, NULL, "a \"b\"");
    assert_string_equal(out.data, "serve: \"a \\\"b\\\"\"");
    bk_text whole = bk_text_new(arena);
    put = bk_put_to(&whole);
    bk_put_open(&put, NULL, "{");
    bk_put_text(&put, "do", "bake");
    bk_put_open(&put, "times", "[");
    bk_put_integer(&put, NULL, 5);
    bk_put_close(&put, "]");
    bk_put_close(&put, "}");
    assert_string_equal(whole.data, "{\n  \"do\": \"bake\",\n  \"times\": [\n    5\n  ]\n}");
}

/* The same on one line, whatever stands in the texts. */
static void writes_a_value_on_one_line(void **state)
{
    (void)state;
    bk_text out = bk_text_new(arena);
    bk_put put = bk_put_line_to(&out);
    bk_put_open(&put, NULL, "{");
    bk_put_text(&put, "do", "bake\nand rest");
    bk_put_open(&put, "times", "[");
    bk_put_integer(&put, NULL, 5);
    bk_put_open(&put, NULL, "{");
    bk_put_close(&put, "}");
    bk_put_close(&put, "]");
    bk_put_boolean(&put, "hot", true);
    bk_put_close(&put, "}");
    assert_string_equal(out.data,
                        "{\"do\": \"bake\\u000aand rest\", \"times\": [5, {}], \"hot\": true}");
}

/* A line of a file: places are those in the file, and what stands behind the line is not
 * looked at. */
static void reads_one_line_of_a_file(void **state)
{
    (void)state;
    const char *text = "\xff broken\n  {\"a\": [1, 2]} // said\n\"open\n";
    const bk_source source = {"lines.jsonl", text, strlen(text)};
    bk_report report = bk_report_new(arena);
    size_t values = 0, line, column;
    bk_json *root = bk_json_read_line(arena, &source, 9, 32, &values, &report);
    assert_non_null(root);
    assert_int_equal(report.errors, 0);
    assert_int_equal(values, 4);
    bk_place_locate(bk_json_place(bk_json_get(root, "a")), &line, &column);
    assert_int_equal(line, 2);
    assert_int_equal(column, 9);
    assert_null(bk_json_read_line(arena, &source, 33, 38, &values, &report));
    assert_string_equal(report.messages[0].text, "this text never ends");
    assert_null(bk_json_read_line(arena, &source, 9, 15, &values, &report));
    assert_string_equal(report.messages[1].text, "the line ends where a colon after the key is "
                                                 "expected");
    values = BK_MOST_VALUES - 2;
    assert_null(bk_json_read_line(arena, &source, 9, 32, &values, &report));
    assert_non_null(strstr(report.messages[2].text, "more than 1000000 values"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_every_file_as_cjson_does),
        cmocka_unit_test(reads_random_texts_as_cjson_does),
        cmocka_unit_test(refuses_what_cjson_lets_through),
        cmocka_unit_test(tells_several_faults_in_one_reading),
        cmocka_unit_test(writes_a_value_where_the_text_is),
        cmocka_unit_test(writes_a_value_on_one_line),
        cmocka_unit_test(reads_one_line_of_a_file),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
