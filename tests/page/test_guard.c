/* Who may ask: by name, by origin, by what is sent, by cookie. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "page/guard.h"

static void hosts(void **state)
{
    (void)state;
    bk_guard guard = bk_guard_local(8750);
    static const char *const ours[] = {"127.0.0.1:8750", "localhost:8750", "LocalHost:8750",
                                       "[::1]:8750"};
    static const char *const others[] = {"",
                                         "127.0.0.1",
                                         "127.0.0.1:87500",
                                         "127.0.0.1:8751",
                                         "evil.example:8750",
                                         "localhost.evil.example:8750",
                                         "127.0.0.1:8750.evil.example",
                                         "127.0.0.1:8750 ",
                                         "::1:8750"};
    for (size_t i = 0; i < sizeof ours / sizeof *ours; i++)
        assert_true(bk_guard_host(&guard, ours[i]));
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        assert_false(bk_guard_host(&guard, others[i]));
    assert_false(bk_guard_host(&guard, NULL));
    guard = bk_guard_local(80); /* a browser leaves that port out */
    assert_true(bk_guard_host(&guard, "localhost"));
    assert_false(bk_guard_host(&guard, "localhost:80"));
}

static void origins(void **state)
{
    (void)state;
    bk_guard guard = bk_guard_local(8750);
    assert_true(bk_guard_origin(&guard, "http://127.0.0.1:8750"));
    assert_true(bk_guard_origin(&guard, "http://[::1]:8750"));
    static const char *const others[] = {"null",
                                         "",
                                         "http://evil.example",
                                         "https://127.0.0.1:8750",
                                         "http://127.0.0.1:8750/",
                                         "http://127.0.0.1",
                                         "127.0.0.1:8750"};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        assert_false(bk_guard_origin(&guard, others[i]));
    assert_false(bk_guard_origin(&guard, NULL));
}

static void at_home(void **state)
{
    (void)state;
    bk_guard guard;
    assert_true(bk_guard_at_home("192.168.1.20", 8750, NULL, &guard));
    assert_true(bk_guard_host(&guard, "192.168.1.20:8750"));
    assert_false(bk_guard_host(&guard, "127.0.0.1:8750"));
    assert_true(bk_guard_at_home("fd00::20", 8750, NULL, &guard));
    assert_true(bk_guard_host(&guard, "[fd00::20]:8750"));
    assert_true(bk_guard_at_home("127.0.0.1", 8750, "https://kitchen.example", &guard));
    assert_true(bk_guard_host(&guard, "kitchen.example"));
    assert_true(bk_guard_origin(&guard, "https://kitchen.example"));
    assert_false(bk_guard_origin(&guard, "http://kitchen.example"));
    static const char *const none[] = {
        "kitchen.example",          "ftp://kitchen.example", "https://",
        "https://kitchen.example/", "https://a b",           "https://user@kitchen",
        "https://KITCHEN.example"};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        assert_false(bk_guard_at_home("127.0.0.1", 8750, none[i], &guard));
    char name[400] = "https://";
    memset(name + 8, 'a', sizeof name - 9);
    name[sizeof name - 1] = '\0';
    assert_false(bk_guard_at_home("127.0.0.1", 8750, name, &guard));
    assert_false(bk_guard_at_home(name, 8750, NULL, &guard));
}

/* What a form can send is no JSON (the Fetch standard, "CORS-safelisted request-header"). */
static void content_types(void **state)
{
    (void)state;
    static const char *const json[] = {"application/json", "Application/JSON",
                                       "application/json; charset=utf-8",
                                       "application/json ;charset=UTF-8"};
    static const char *const others[] = {"text/plain",
                                         "application/x-www-form-urlencoded",
                                         "multipart/form-data; boundary=application/json",
                                         "text/plain; application/json",
                                         "application/jsonp",
                                         "application/json; charset=latin1",
                                         "application/json, text/plain",
                                         ""};
    for (size_t i = 0; i < sizeof json / sizeof *json; i++)
        assert_true(bk_guard_is_json(json[i]));
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        assert_false(bk_guard_is_json(others[i]));
    assert_false(bk_guard_is_json(NULL));
}

static void cookies(void **state)
{
    (void)state;
    char value[8];
    static const struct {
        const char *header, *value; /* NULL: none */
    } cases[] = {{"bakeset=abc", "abc"},
                 {"a=b; bakeset=abc; c=d", "abc"},
                 {"bakeset=abc ;x", "abc"},
                 {"bakeset=", ""},
                 {"xbakeset=abc", NULL},
                 {"bakeset2=abc", NULL},
                 {"Bakeset=abc", NULL},
                 {"a=bakeset=abc", NULL},
                 {"bakeset", NULL},
                 {"bakeset=12345678", NULL},
                 {"bakeset=1234567", "1234567"},
                 {";;; ;", NULL},
                 {"", NULL},
                 {NULL, NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bool found = bk_guard_cookie(cases[i].header, "bakeset", value, sizeof value);
        assert_int_equal(found, cases[i].value != NULL);
        if (found)
            assert_string_equal(value, cases[i].value);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(hosts), cmocka_unit_test(origins),
                                       cmocka_unit_test(at_home), cmocka_unit_test(content_types),
                                       cmocka_unit_test(cookies)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
