/* A JSON text changed in places. The values: the examples of RFC 6902, appendix A, and at random
 * against a tree of cJSON's to which the same is done by the RFC's words. The bytes: worked
 * examples; and at random, that comments outside of what is taken out all stay. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "support/splitmix.h"
#include "json/json.h"

static const char *patched(const char *text, const char *patch, const char **code)
{
    bk_report report = bk_report_new(arena);
    bk_source *source = BK_NEW(arena, bk_source, 1), *changes = BK_NEW(arena, bk_source, 1);
    *source = (bk_source){"test.json", text, strlen(text)};
    *changes = (bk_source){"patch", patch, strlen(patch)};
    bk_text out = bk_text_new(arena);
    bool done = bk_json_patch(arena, source, changes, &out, &report);
    assert_false(report.machine_failed);
    assert_int_equal(done, report.errors == 0);
    if (code)
        *code = done ? NULL : report.messages[0].code;
    assert_true(done || out.length == 0);
    return done ? out.data : NULL;
}

/* ------------------------------------------------------ RFC 6902, appendix A */

static const struct {
    const char *name, *document, *patch, *result; /* NULL: an error */
} examples[] = {
    {"A.1", "{ \"foo\": \"bar\"}", "[{ \"op\": \"add\", \"path\": \"/baz\", \"value\": \"qux\" }]",
     "{\"baz\": \"qux\", \"foo\": \"bar\"}"},
    {"A.2", "{ \"foo\": [ \"bar\", \"baz\" ] }",
     "[{ \"op\": \"add\", \"path\": \"/foo/1\", \"value\": \"qux\" }]",
     "{ \"foo\": [ \"bar\", \"qux\", \"baz\" ] }"},
    {"A.3", "{\"baz\": \"qux\", \"foo\": \"bar\"}", "[{ \"op\": \"remove\", \"path\": \"/baz\" }]",
     "{ \"foo\": \"bar\" }"},
    {"A.4", "{ \"foo\": [ \"bar\", \"qux\", \"baz\" ] }",
     "[{ \"op\": \"remove\", \"path\": \"/foo/1\" }]", "{ \"foo\": [ \"bar\", \"baz\" ] }"},
    {"A.5", "{ \"baz\": \"qux\", \"foo\": \"bar\"}",
     "[{ \"op\": \"replace\", \"path\": \"/baz\", \"value\": \"boo\" }]",
     "{ \"baz\": \"boo\", \"foo\": \"bar\" }"},
    {"A.6", "{\"foo\": {\"bar\": \"baz\", \"waldo\": \"fred\"}, \"qux\": {\"corge\": \"grault\"}}",
     "[{ \"op\": \"move\", \"from\": \"/foo/waldo\", \"path\": \"/qux/thud\" }]",
     "{\"foo\": {\"bar\": \"baz\"}, \"qux\": {\"corge\": \"grault\", \"thud\": \"fred\"}}"},
    {"A.7", "{ \"foo\": [ \"all\", \"grass\", \"cows\", \"eat\" ] }",
     "[{ \"op\": \"move\", \"from\": \"/foo/1\", \"path\": \"/foo/3\" }]",
     "{ \"foo\": [ \"all\", \"cows\", \"eat\", \"grass\" ] }"},
    {"A.8", "{\"baz\": \"qux\", \"foo\": [ \"a\", 2, \"c\" ]}",
     "[{ \"op\": \"test\", \"path\": \"/baz\", \"value\": \"qux\" },"
     "{ \"op\": \"test\", \"path\": \"/foo/1\", \"value\": 2 }]",
     "{\"baz\": \"qux\", \"foo\": [ \"a\", 2, \"c\" ]}"},
    {"A.9", "{ \"baz\": \"qux\" }",
     "[{ \"op\": \"test\", \"path\": \"/baz\", \"value\": \"bar\" }]", NULL},
    {"A.10", "{ \"foo\": \"bar\" }",
     "[{ \"op\": \"add\", \"path\": \"/child\", \"value\": { \"grandchild\": { } } }]",
     "{\"foo\": \"bar\", \"child\": {\"grandchild\": {}}}"},
    {"A.11", "{ \"foo\": \"bar\" }",
     "[{ \"op\": \"add\", \"path\": \"/baz\", \"value\": \"qux\", \"xyz\": 123 }]",
     "{\"foo\": \"bar\", \"baz\": \"qux\"}"},
    {"A.12", "{ \"foo\": \"bar\" }",
     "[{ \"op\": \"add\", \"path\": \"/baz/bat\", \"value\": \"qux\" }]", NULL},
    {"A.13", "{ \"foo\": \"bar\" }",
     "[{ \"op\": \"add\", \"path\": \"/baz\", \"value\": \"qux\", \"op\": \"remove\" }]", NULL},
    {"A.14", "{ \"/\": 9, \"~1\": 10}", "[{\"op\": \"test\", \"path\": \"/~01\", \"value\": 10}]",
     "{ \"/\": 9, \"~1\": 10}"},
    {"A.15", "{ \"/\": 9, \"~1\": 10}",
     "[{\"op\": \"test\", \"path\": \"/~01\", \"value\": \"10\"}]", NULL},
    {"A.16", "{ \"foo\": [\"bar\"] }",
     "[{ \"op\": \"add\", \"path\": \"/foo/-\", \"value\": [\"abc\", \"def\"] }]",
     "{ \"foo\": [\"bar\", [\"abc\", \"def\"]] }"},
};

static void test_rfc(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof examples / sizeof *examples; i++) {
        const char *got = patched(examples[i].document, examples[i].patch, NULL);
        if (!examples[i].result) {
            assert_null(got);
            continue;
        }
        cJSON *is = got ? cJSON_Parse(got) : NULL, *wanted = cJSON_Parse(examples[i].result);
        if (!cJSON_Compare(is, wanted, true))
            fail_msg("%s: %s", examples[i].name, got ? got : "refused");
        cJSON_Delete(is);
        cJSON_Delete(wanted);
    }
}

/* ------------------------------------------------------------------- bytes */

static void expect(const char *text, const char *patch, const char *wanted)
{
    const char *got = patched(text, patch, NULL);
    assert_non_null(got);
    assert_string_equal(got, wanted);
}

static const char recipe[] = "// Rolls\n"
                             "{\n"
                             "  \"dish\": \"Rolls\", // soft\n"
                             "  \"stages\": [\n"
                             "    // first\n"
                             "    {\"id\": \"knead\", \"time\": \"10 min\"}, // by hand\n"
                             "    /* then */\n"
                             "    {\"id\": \"bake\", \"time\": \"20-25 min\"} // hot\n"
                             "  ]\n"
                             "} // end\n";

static void test_bytes(void **state)
{
    (void)state;
    expect(recipe, "[{\"op\":\"replace\",\"path\":\"/stages/1/time\",\"value\":\"25 min\"}]",
           "// Rolls\n"
           "{\n"
           "  \"dish\": \"Rolls\", // soft\n"
           "  \"stages\": [\n"
           "    // first\n"
           "    {\"id\": \"knead\", \"time\": \"10 min\"}, // by hand\n"
           "    /* then */\n"
           "    {\"id\": \"bake\", \"time\": \"25 min\"} // hot\n"
           "  ]\n"
           "} // end\n");
    expect(recipe,
           "[{\"op\":\"add\",\"path\":\"/stages/1\",\"value\":{\"id\":\"prove\",\"time\":\"1 h\"}},"
           "{\"op\":\"add\",\"path\":\"/stages/-\",\"value\":{\"id\":\"cool\"}},"
           "{\"op\":\"add\",\"path\":\"/serves\",\"value\":4},"
           "{\"op\":\"add\",\"path\":\"/stages/0/after\",\"value\":[]}]",
           "// Rolls\n"
           "{\n"
           "  \"dish\": \"Rolls\", // soft\n"
           "  \"stages\": [\n"
           "    // first\n"
           "    {\"id\": \"knead\", \"time\": \"10 min\", \"after\": []}, // by hand\n"
           "    {\"id\": \"prove\", \"time\": \"1 h\"},\n"
           "    /* then */\n"
           "    {\"id\": \"bake\", \"time\": \"20-25 min\"}, // hot\n"
           "    {\"id\": \"cool\"}\n"
           "  ],\n"
           "  \"serves\": 4\n"
           "} // end\n");
    expect(recipe, "[{\"op\":\"remove\",\"path\":\"/stages/0\"}]",
           "// Rolls\n"
           "{\n"
           "  \"dish\": \"Rolls\", // soft\n"
           "  \"stages\": [\n"
           "    // first\n"
           "    // by hand\n"
           "    /* then */\n"
           "    {\"id\": \"bake\", \"time\": \"20-25 min\"} // hot\n"
           "  ]\n"
           "} // end\n");
    expect(recipe,
           "[{\"op\":\"remove\",\"path\":\"/stages/1\"},{\"op\":\"remove\",\"path\":\"/dish\"},"
           "{\"op\":\"test\",\"path\":\"/stages\",\"value\":[{\"time\":\"10 "
           "min\",\"id\":\"knead\"}]}]",
           "// Rolls\n"
           "{\n"
           "  // soft\n"
           "  \"stages\": [\n"
           "    // first\n"
           "    {\"id\": \"knead\", \"time\": \"10 min\"} // by hand\n"
           "    /* then */\n"
           "    // hot\n"
           "  ]\n"
           "} // end\n");
}

static void test_layouts(void **state)
{
    (void)state;
    expect("{}", "[{\"op\":\"add\",\"path\":\"/a\",\"value\":1}]", "{\"a\": 1}");
    expect("{\n}\n", "[{\"op\":\"add\",\"path\":\"/a\",\"value\":1}]", "{\n  \"a\": 1\n}\n");
    expect("[ // none\n]", "[{\"op\":\"add\",\"path\":\"/0\",\"value\":1}]", "[1 // none\n]");
    expect("[\n  1, // one\n  2\n]", "[{\"op\":\"remove\",\"path\":\"/1\"}]", "[\n  1 // one\n]");
    expect("[\n  1,\n  2\n]", "[{\"op\":\"remove\",\"path\":\"/0\"}]", "[\n  2\n]");
    expect("[1, 2, 3]", "[{\"op\":\"remove\",\"path\":\"/2\"}]", "[1, 2]");
    expect("[1, 2, 3]", "[{\"op\":\"remove\",\"path\":\"/0\"}]", "[2, 3]");
    expect("[ 1 ]", "[{\"op\":\"remove\",\"path\":\"/0\"}]", "[]");
    expect("[1 /*a*/ , /*b*/ 2]", "[{\"op\":\"remove\",\"path\":\"/0\"}]", "[ /*a*/  /*b*/ 2]");
    expect("{\r\n  \"a\": 1\r\n}\r\n", "[{\"op\":\"add\",\"path\":\"/b\",\"value\":2}]",
           "{\r\n  \"a\": 1,\r\n  \"b\": 2\r\n}\r\n");
    expect("{\r\n  \"a\": 1, // x\r\n  \"b\": 2\r\n}", "[{\"op\":\"remove\",\"path\":\"/a\"}]",
           "{\r\n  // x\r\n  \"b\": 2\r\n}");
    expect("// a\n7 // b\n", "[{\"op\":\"replace\",\"path\":\"\",\"value\":[1.50]}]",
           "// a\n[1.50] // b\n");
    /* what is too long for a line is laid out over several, under its neighbours */
    expect(
        "{\n    \"a\": {\n        \"b\": 1\n    }\n}\n",
        "[{\"op\":\"add\",\"path\":\"/a/"
        "c\",\"value\":[{\"x\":[1]},{\"y\":[{\"z\":1},{\"z\":2}]}]}]",
        "{\n    \"a\": {\n        \"b\": 1,\n        \"c\": [\n"
        "          {\"x\": [1]},\n"
        "          {\n            \"y\": [\n              {\"z\": 1},\n              {\"z\": 2}\n"
        "            ]\n          }\n        ]\n    }\n}\n");
    /* as it was written, comments inside too */
    expect("{\n  \"a\": [\n    1, // one\n    2\n  ],\n  \"b\": {\n    \"c\": 3\n  }\n}\n",
           "[{\"op\":\"move\",\"from\":\"/a\",\"path\":\"/b/a\"}]",
           "{\n  \"b\": {\n    \"c\": 3,\n    \"a\": [\n      1, // one\n      2\n    ]\n  }\n}\n");
    /* keys that need escapes */
    expect("{}", "[{\"op\":\"add\",\"path\":\"/a~1\\\"~0\",\"value\":\"\\u00e9\"}]",
           "{\"a/\\\"~\": \"\\u00e9\"}");
}

static void refuse(const char *text, const char *patch, const char *code)
{
    const char *got = NULL;
    assert_null(patched(text, patch, &got));
    assert_string_equal(got, code);
}

static void test_refused(void **state)
{
    (void)state;
    static const char *const patches[] = {
        "{}",
        "[1]",
        "[{\"op\":\"add\",\"path\":\"/a\"}]",
        "[{\"op\":\"add\",\"path\":7,\"value\":1}]",
        "[{\"op\":\"put\",\"path\":\"/a\",\"value\":1}]",
        "[{\"op\":\"add\",\"path\":\"a\",\"value\":1}]",
        "[{\"op\":\"add\",\"path\":\"/l/01\",\"value\":1}]",
        "[{\"op\":\"add\",\"path\":\"/l/3\",\"value\":1}]",
        "[{\"op\":\"add\",\"path\":\"/l/x\",\"value\":1}]",
        "[{\"op\":\"add\",\"path\":\"/l/99999999999999999999\",\"value\":1}]",
        "[{\"op\":\"add\",\"path\":\"/s/x\",\"value\":1}]",
        "[{\"op\":\"add\",\"path\":\"/~2\",\"value\":1}]",
        "[{\"op\":\"add\",\"path\":\"/a~\",\"value\":1}]",
        "[{\"op\":\"remove\",\"path\":\"/none\"}]",
        "[{\"op\":\"remove\",\"path\":\"\"}]",
        "[{\"op\":\"remove\",\"path\":\"/l/-\"}]",
        "[{\"op\":\"replace\",\"path\":\"/none\",\"value\":1}]",
        "[{\"op\":\"replace\",\"path\":\"/l/2\",\"value\":1}]",
        "[{\"op\":\"move\",\"path\":\"/a\"}]",
        "[{\"op\":\"move\",\"from\":\"/none\",\"path\":\"/a\"}]",
        "[{\"op\":\"move\",\"from\":\"/l\",\"path\":\"/l/0\"}]",
        "[{\"op\":\"test\",\"path\":\"/none\",\"value\":null}]",
    };
    for (size_t i = 0; i < sizeof patches / sizeof *patches; i++)
        refuse("{\"l\": [1, 2], \"s\": \"t\"}", patches[i], "patch");
    /* into itself, also where another has taken its place by then */
    refuse("[{\"a\": 1}, {\"b\": 2}]", "[{\"op\":\"move\",\"from\":\"/0\",\"path\":\"/0/c\"}]",
           "patch");
    refuse("{\"a\": 1}", "[{\"op\":\"test\",\"path\":\"/a\",\"value\":2}]", "patch-test");
    refuse("{\"a\": 1}",
           "[{\"op\":\"remove\",\"path\":\"/a\"},"
           "{\"op\":\"test\",\"path\":\"\",\"value\":[]}]",
           "patch-test");
    refuse("{\"a\": 1,}", "[]", "json");
    refuse("{\"a\": 1}", "[", "json");
}

/* ------------------------------------------------------------------ at random */

static size_t below(uint64_t *seed, size_t n)
{
    return (size_t)(splitmix64(seed) % n);
}

static void strew(uint64_t *seed, bk_text *out, size_t *comments)
{
    switch (below(seed, 8)) {
    case 0:
        bk_text_add(out, "\n    ");
        break;
    case 1:
        bk_text_add(out, " ");
        break;
    case 2:
        bk_text_addf(out, "/*%zu*/", (*comments)++);
        break;
    case 3:
        bk_text_addf(out, " //%zu\n", (*comments)++);
        break;
    case 4:
        bk_text_addf(out, "\n  /*%zu\n */ ", (*comments)++);
        break;
    default:
        break;
    }
}

/* `comments` NULL: none, and no blanks. */
static void random_value(uint64_t *seed, bk_text *out, int depth, size_t *comments)
{
    size_t kind = below(seed, depth > 0 ? 6 : 3);
    if (kind < 3) {
        static const char *const plain[] = {"1", "-2.5", "true", "null", "\"a//b\"", "\"\\\"}\""};
        bk_text_add(out, plain[below(seed, 6)]);
        return;
    }
    size_t count = below(seed, 4);
    bool object = kind > 3;
    bk_text_add(out, object ? "{" : "[");
    for (size_t i = 0; i < count; i++) {
        if (comments)
            strew(seed, out, comments);
        if (object)
            bk_text_addf(out, "\"%c\"", (int)('a' + i));
        if (object && comments)
            strew(seed, out, comments);
        if (object)
            bk_text_add(out, ":");
        if (comments)
            strew(seed, out, comments);
        random_value(seed, out, depth - 1, comments);
        if (comments)
            strew(seed, out, comments);
        if (i + 1 < count)
            bk_text_add(out, ",");
    }
    if (comments)
        strew(seed, out, comments);
    bk_text_add(out, object ? "}" : "]");
}

/* A pointer into the tree, or a little beside it; `parent` and `name` as far as it is there. */
static const char *random_pointer(uint64_t *seed, cJSON *root, cJSON **parent, char *name)
{
    static const char *const names[] = {"a", "b", "c", "d", "0", "1", "2", "-"};
    bk_text pointer = bk_text_new(arena);
    cJSON *in = root;
    *parent = NULL;
    bk_text_add(&pointer, "");
    for (size_t depth = below(seed, 4); depth > 0; depth--) {
        const char *token = names[cJSON_IsObject(in) ? below(seed, 4) : 4 + below(seed, 4)];
        *parent = in;
        strcpy(name, token);
        bk_text_addf(&pointer, "/%s", token);
        in = cJSON_IsObject(in)  ? cJSON_GetObjectItemCaseSensitive(in, token)
             : cJSON_IsArray(in) ? cJSON_GetArrayItem(in, *token == '-' ? 999 : atoi(token))
                                 : NULL;
        if (!in && depth > 1) { /* a place in nothing */
            *parent = NULL;
            bk_text_add(&pointer, "/q");
            break;
        }
    }
    return pointer.data;
}

/* RFC 6902, section 4, on a tree; false: an error. The tree is then of no use. */
static bool tree_add(cJSON *parent, const char *name, cJSON *value)
{
    if (cJSON_IsObject(parent)) {
        cJSON_DeleteItemFromObjectCaseSensitive(parent, name);
        return cJSON_AddItemToObject(parent, name, value);
    }
    int count = cJSON_GetArraySize(parent), index = *name == '-' ? count : atoi(name);
    if (!cJSON_IsArray(parent) || index > count) {
        cJSON_Delete(value);
        return false;
    }
    /* Debian's cJSON 1.7.15 inserts nothing but before the first */
    cJSON *behind = cJSON_CreateArray();
    while (cJSON_GetArraySize(parent) > index)
        cJSON_AddItemToArray(behind, cJSON_DetachItemFromArray(parent, index));
    cJSON_AddItemToArray(parent, value);
    while (cJSON_GetArraySize(behind) > 0)
        cJSON_AddItemToArray(parent, cJSON_DetachItemFromArray(behind, 0));
    cJSON_Delete(behind);
    return true;
}

static bool tree_remove(cJSON *parent, const char *name)
{
    cJSON *taken = cJSON_IsObject(parent) ? cJSON_DetachItemFromObjectCaseSensitive(parent, name)
                   : cJSON_IsArray(parent) && *name != '-'
                       ? cJSON_DetachItemFromArray(parent, atoi(name))
                       : NULL;
    cJSON_Delete(taken);
    return taken;
}

/* The comments' numbers, in order. */
static size_t comments_of(const char *text, size_t *numbers)
{
    size_t count = 0;
    for (const char *at = text; *at; at++) {
        if (*at == '"') {
            for (at++; *at != '"'; at++)
                at += *at == '\\';
        } else if (*at == '/') {
            numbers[count++] = (size_t)atoi(at + 2);
            if (at[1] == '*')
                at = strstr(at, "*/") + 1;
            else
                at = strchr(at, '\n');
        }
    }
    return count;
}

/* A NUL may stand in a comment, where it would cut short what is put in. */
static void test_nul_in_a_comment(void **state)
{
    (void)state;
    static const char text[] = "{\"a\": [1, 2]}", nul[] = "{\"a\": [1, 2] /* \0 */}";
    static const char patch[] = "[{\"op\": \"add\", \"path\": \"/a/1\", \"value\": [0 /* \0 */]}]";
    for (int side = 0; side < 2; side++) {
        bk_report report = bk_report_new(arena);
        bk_source source = side == 0 ? (bk_source){"test.json", text, sizeof text - 1}
                                     : (bk_source){"test.json", nul, sizeof nul - 1};
        bk_source changes = {"patch", side == 0 ? patch : "[]", side == 0 ? sizeof patch - 1 : 2};
        bk_text out = bk_text_new(arena);
        assert_false(bk_json_patch(arena, &source, &changes, &out, &report));
        assert_false(report.machine_failed);
        assert_int_equal(report.errors, 1);
        assert_non_null(strstr(report.messages[0].text, "a character 0 stands in"));
    }
}

static void test_random(void **state)
{
    (void)state;
    uint64_t seed = 20261128;
    size_t done = 0, refused = 0;
    print_message("seed %llu\n", (unsigned long long)seed);
    for (int round = 0; round < 20000; round++) {
        bk_mark mark = bk_arena_mark(arena);
        size_t comments = 0;
        bk_text text = bk_text_new(arena), value = bk_text_new(arena), plain = bk_text_new(arena);
        strew(&seed, &text, &comments);
        random_value(&seed, &text, 3, &comments);
        strew(&seed, &text, &comments);
        random_value(&seed, &value, 2, NULL);
        bk_source source = {"t", text.data, text.length};
        bk_report report = bk_report_new(arena);
        assert_true(bk_json_plain(arena, &source, &plain, &report));
        cJSON *tree = cJSON_Parse(plain.data), *parent = NULL, *put_in = cJSON_Parse(value.data);
        char name[8] = "";
        const char *pointer = random_pointer(&seed, tree, &parent, name);
        size_t what = below(&seed, 3);
        static const char *const ops[] = {"add", "remove", "replace"};
        const char *patch = bk_format(arena, "[{\"op\":\"%s\",\"path\":\"%s\",\"value\":%s}]",
                                      ops[what], pointer, value.data);
        bool good;
        if (*pointer == '\0') {
            good = what != 1;
            if (good) {
                cJSON_Delete(tree);
                tree = put_in;
                put_in = NULL;
            }
        } else if (!parent) {
            good = false;
        } else if (what == 1) {
            good = tree_remove(parent, name);
        } else if (what == 0) {
            good = tree_add(parent, name, put_in);
            put_in = NULL;
        } else {
            /* for a list the place matters, for an object it does not */
            good = tree_remove(parent, name) && tree_add(parent, name, put_in);
            put_in = good ? NULL : put_in;
        }
        const char *got = patched(text.data, patch, NULL);
        if (good != (got != NULL))
            fail_msg("%s\n%s\n%s", text.data, patch, got ? got : "refused");
        if (got) {
            bk_source after = {"t", got, strlen(got)};
            bk_text bare = bk_text_new(arena);
            bk_report faults = bk_report_new(arena);
            assert_true(bk_json_plain(arena, &after, &bare, &faults));
            cJSON *is = cJSON_Parse(bare.data);
            if (!cJSON_Compare(is, tree, true))
                fail_msg("%s\n%s\n%s", text.data, patch, got);
            cJSON_Delete(is);
            size_t before[256], behind[256], a = comments_of(text.data, before),
                                             b = comments_of(got, behind), k = 0;
            for (size_t i = 0; i < a && k < b; i++)
                k += before[i] == behind[k];
            assert_int_equal(k, b); /* some of them, in their order */
            if (what == 0 && !(*pointer == '\0') && cJSON_IsArray(parent))
                assert_int_equal(a, b); /* nothing was taken out */
        }
        done += good;
        refused += !good;
        cJSON_Delete(put_in);
        cJSON_Delete(tree);
        bk_arena_release(arena, mark);
    }
    assert_true(done > 3000 && refused > 3000);
}

/* ----------------------------------------------------------------- pointers */

static void test_pointer(void **state)
{
    (void)state;
    static const char text[] = "{\"a\": [1, {\"b/~\": true}], \"c\": {}}";
    bk_source source = {"t", text, sizeof text - 1};
    static const struct {
        const char *at, *pointer;
    } places[] = {{"{\"a\"", ""},         {"\"a\"", "/a"},      {"[1", "/a"},
                  {"1,", "/a/0"},         {"{\"b/~\"", "/a/1"}, {"\"b/~\"", "/a/1/b~1~0"},
                  {"true", "/a/1/b~1~0"}, {"\"c\"", "/c"},      {"{}", "/c"}};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        size_t offset = (size_t)(strstr(text, places[i].at) - text);
        assert_string_equal(bk_json_pointer_at(arena, &source, offset), places[i].pointer);
    }
    bk_source none = {"t", "BEGIN:VCALENDAR", 15};
    assert_null(bk_json_pointer_at(arena, &none, 3));
}

static void test_comments(void **state)
{
    (void)state;
    static const char text[] = "// head\n{ // open\n  \"a\": 1, // one\n  /* two\n   lines */\n"
                               "  \"b\": [{\"c\": 2}, // first\n    // none\n  ] // b\n}\n// end";
    static const char wanted[] = "[{\"pointer\":\"\",\"text\":\"head\"},"
                                 "{\"pointer\":\"\",\"text\":\"open\"},"
                                 "{\"pointer\":\"/a\",\"text\":\"one\"},"
                                 "{\"pointer\":\"/b\",\"text\":\"two\\n   lines\"},"
                                 "{\"pointer\":\"/b/0\",\"text\":\"first\"},"
                                 "{\"pointer\":\"/b\",\"text\":\"none\"},"
                                 "{\"pointer\":\"/b\",\"text\":\"b\"},"
                                 "{\"pointer\":\"\",\"text\":\"end\"}]";
    char *sound = bk_copy(arena, text, sizeof text - 1);
    strchr(strstr(sound, "2}"), ',')[0] = ' '; /* no comma behind the last */
    bk_source source = {"t", sound, sizeof text - 1};
    bk_report report = bk_report_new(arena);
    bk_text out = bk_text_new(arena);
    bk_put put = bk_put_line_to(&out);
    assert_true(bk_json_comments(arena, &source, &put, &report));
    cJSON *is = cJSON_Parse(out.data), *should = cJSON_Parse(wanted);
    if (!cJSON_Compare(is, should, true))
        fail_msg("%s", out.data);
    cJSON_Delete(is);
    cJSON_Delete(should);
    bk_source broken = {"t", "{ // a", 6};
    bk_text none = bk_text_new(arena);
    bk_put nowhere = bk_put_line_to(&none);
    assert_false(bk_json_comments(arena, &broken, &nowhere, &report));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_rfc, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_bytes, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_layouts, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_refused, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_nul_in_a_comment, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_random, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_pointer, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_comments, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
