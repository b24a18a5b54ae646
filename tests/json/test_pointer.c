/* Places in a document as RFC 6901 writes them; and a tree written again. */
#include "json/json.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

/* The document of RFC 6901, section 5. */
static const char document[] = "{\"foo\": [\"bar\", \"baz\"], \"\": 0, \"a/b\": 1, \"c%d\": 2, "
                               "\"e^f\": 3, \"g|h\": 4, \"i\\\\j\": 5, \"k\\\"l\": 6, \" \": 7, "
                               "\"m~n\": 8}";

static bk_json *read_text(bk_arena *arena, const char *text)
{
    bk_report report = bk_report_new(arena);
    bk_json *root =
        bk_json_read(arena, bk_source_of(arena, "document", text, strlen(text)), &report);
    assert_non_null(root);
    assert_int_equal(report.count, 0);
    return root;
}

static int begin(void **state)
{
    *state = bk_arena_new(NULL);
    return *state ? 0 : -1;
}

static int end(void **state)
{
    bk_arena_free(*state);
    return 0;
}

static void pointers_of_the_standard(void **state)
{
    static const char *const members[] = {"/foo", "/",     "/a~1b", "/c%d", "/e^f",
                                          "/g|h", "/i\\j", "/k\"l", "/ ",   "/m~0n"};
    bk_json *root = read_text(*state, document);
    size_t n = 0;
    assert_string_equal(bk_json_pointer(*state, root, root), "");
    for (const bk_json *member = root->first; member; member = member->next, n++) {
        assert_true(n < sizeof members / sizeof *members);
        assert_string_equal(bk_json_pointer(*state, root, member), members[n]);
    }
    assert_int_equal(n, sizeof members / sizeof *members);
    assert_string_equal(bk_json_pointer(*state, root, root->first->first), "/foo/0");
    assert_string_equal(bk_json_pointer(*state, root, root->first->first->next), "/foo/1");
    assert_null(bk_json_pointer(*state, root->first, root));
}

static void values_by_their_place(void **state)
{
    bk_json *root = read_text(*state, document);
    const bk_json *foo = root->first, *baz = foo->first->next;
    assert_ptr_equal(bk_json_at(root, 0), root);
    assert_ptr_equal(bk_json_at(root, foo->key_offset), foo);
    assert_ptr_equal(bk_json_at(root, foo->offset), foo);
    assert_ptr_equal(bk_json_at(root, baz->offset), baz);
    assert_null(bk_json_at(root, baz->offset + 1));
    assert_ptr_equal(bk_json_around(root, baz), foo);
    assert_ptr_equal(bk_json_around(root, foo), root);
    assert_null(bk_json_around(root, root));
}

static void a_tree_is_written_as_it_was(void **state)
{
    static const char text[] =
        "{\"a\": [1, 2.5, true, null, \"\\\"\"], \"b\": {}, \"c\": {\"d\": [[]]}}";
    bk_text out = bk_text_new(*state);
    bk_put put = bk_put_line_to(&out);
    bk_put_value(&put, NULL, read_text(*state, text));
    assert_string_equal(out.data, text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(pointers_of_the_standard, begin, end),
        cmocka_unit_test_setup_teardown(values_by_their_place, begin, end),
        cmocka_unit_test_setup_teardown(a_tree_is_written_as_it_was, begin, end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
