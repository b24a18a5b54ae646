/* What publish reads of a server and of a netrc file, and what it shows of it. */
#include "publish/http.h"
#include "publish/multistatus.h"
#include "publish/netrc.h"
#include "publish/shown.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static jmp_buf no_memory;

static int begin(void **state)
{
    *state = bk_keep_new(&no_memory);
    return 0;
}

static int end(void **state)
{
    bk_keep_free(*state);
    return 0;
}

static void expect_login(bk_keep *keep, const char *text, const char *host, const char *name,
                         const char *password)
{
    bk_login login;
    assert_true(bk_netrc_find(keep, text, host, &login));
    assert_string_equal(login.name, name);
    assert_string_equal(login.password, password);
}

/* The form: netrc(5), and curl's manual page for words in quotes. */
static void test_netrc(void **state)
{
    bk_keep *keep = *state;
    bk_login login;
    expect_login(keep, "machine a.org login ann password p", "a.org", "ann", "p");
    expect_login(keep, "machine A.Org\r\n\tlogin ann\r\n\tpassword p\r\n", "a.oRG", "ann", "p");
    expect_login(keep, "machine b login x password y machine a login ann password p", "a", "ann",
                 "p");
    expect_login(keep, "machine a login ann password p machine a login x password y", "a", "ann",
                 "p");
    expect_login(keep, "machine b login x password y default login d password e", "a", "d", "e");
    expect_login(keep, "#machine a login x password y\nmachine a login ann password p#q", "a",
                 "ann", "p#q");
    expect_login(keep, "machine a login \"a b\" password \"\\\"\\\\\\t\"", "a", "a b", "\"\\\t");
    expect_login(keep, "macdef m\nmachine a login x password y\n\nmachine a login ann password p",
                 "a", "ann", "p");
    expect_login(keep, "machine a login ann", "a", "ann", "");
    expect_login(keep, "machine a account password login ann password p", "a", "ann", "p");
    assert_false(bk_netrc_find(keep, "machine aa login x password y", "a", &login));
    assert_false(bk_netrc_find(keep, "", "a", &login));
    assert_false(bk_netrc_find(keep, "machine", "a", &login));
    assert_false(bk_netrc_find(keep, "macdef", "a", &login));
    expect_login(keep, "machine a login \"ann", "a", "ann", "");
}

static void test_hosts(void **state)
{
    bk_keep *keep = *state;
    assert_string_equal(bk_http_host(keep, "https://a.org/x:y/"), "a.org");
    assert_string_equal(bk_http_host(keep, "https://a.org:8443/x/"), "a.org");
    assert_string_equal(bk_http_host(keep, "http://[::1]:80/"), "[::1]");
    assert_string_equal(bk_http_host(keep, "a.org"), "");
}

static void test_shown(void **state)
{
    bk_keep *keep = *state;
    assert_string_equal(bk_shown(keep, "Rôti, 焼く 🍞", NULL), "Rôti, 焼く 🍞");
    /* ECMA-48: C0, DEL and C1, of which each is one "?". */
    assert_string_equal(bk_shown(keep, "a\x1b[31m\n\t\x7f\xc2\x9b\xc2\x80z", NULL), "a?[31m?????z");
    /* UAX 9: marks, embeddings, overrides and isolates; and the separators of lines. */
    assert_string_equal(bk_shown(keep, "\u061c\u200e\u200f\u202a\u202e\u2066\u2069\u2028", NULL),
                        "????????");
    /* No UTF-8: cut off, overlong, a surrogate, too large. */
    assert_string_equal(bk_shown(keep, "a\xc3", NULL), "a?");
    assert_string_equal(bk_shown(keep, "\xc0\xaf|\xe0\x80\xaf|\xed\xa0\x80|\xf4\x90\x80\x80", NULL),
                        "\?\?|\?\?\?|\?\?\?|\?\?\?\?");
    assert_string_equal(bk_shown(keep, "say se-cret: se-cre se-cretse%2Dcre%74", "se-cret"),
                        "say …: se-cre ……");
    assert_string_equal(bk_shown(keep, "100% sure %4", "abc"), "100% sure %4");
    assert_string_equal(bk_shown(keep, "all", ""), "all");
}

static const char *refused(bk_keep *keep, const char *text)
{
    bk_dav_responses responses = {0};
    const char *problem = NULL;
    return bk_multistatus_read(keep, text, strlen(text), &responses, &problem) ? NULL : problem;
}

static void test_multistatus(void **state)
{
    bk_keep *keep = *state;
    static const char text[] =
        "<d:multistatus xmlns:d='DAV:' xmlns:c='urn:ietf:params:xml:ns:caldav'>"
        "<d:response><d:href>\n /a/1.ics\t</d:href><d:propstat><d:prop><d:getetag> \"x\" "
        "</d:getetag>"
        "<c:calendar-data> BEGIN\n</c:calendar-data></d:prop><d:status>\n HTTP/1.1 200 OK "
        "</d:status>"
        "</d:propstat></d:response>"
        "<d:response><d:href>/a/2.ics</d:href><d:status> HTTP/1.1 404 Not "
        "Found</d:status></d:response>"
        "<d:response><d:propstat><d:prop><d:getetag>\"y\"</d:getetag></d:prop>"
        "<d:status>HTTP/1.1 403 Forbidden</d:status></d:propstat></d:response></d:multistatus>";
    bk_dav_responses responses = {0};
    const char *problem = NULL;
    assert_true(bk_multistatus_read(keep, text, strlen(text), &responses, &problem));
    assert_int_equal(responses.count, 3);
    assert_string_equal(responses.items[0].href, "/a/1.ics");
    assert_string_equal(responses.items[0].etag, "\"x\"");
    assert_string_equal(responses.items[0].calendar, " BEGIN\n");
    assert_false(responses.items[0].gone);
    assert_true(responses.items[1].gone);
    assert_string_equal(responses.items[2].href, "");
    assert_null(responses.items[2].etag);

    assert_non_null(strstr(refused(keep, "<x/>"), "not well formed"));
    assert_non_null(strstr(refused(keep, ""), "not well formed"));
    assert_non_null(strstr(refused(keep, "<multistatus xmlns='DAV:'>"), "not well formed"));
    assert_non_null(
        strstr(refused(keep, "<!DOCTYPE multistatus><multistatus xmlns='DAV:'/>"), "DOCTYPE"));
    assert_null(refused(keep, "<multistatus xmlns='DAV:'/>"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_netrc, begin, end),
        cmocka_unit_test_setup_teardown(test_hosts, begin, end),
        cmocka_unit_test_setup_teardown(test_shown, begin, end),
        cmocka_unit_test_setup_teardown(test_multistatus, begin, end),
    };
    return setjmp(no_memory) != 0 ? 1 : cmocka_run_group_tests(tests, NULL, NULL);
}
