/* Lines that fit, whatever the script. */
#include "write/words/wrap.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void expect_lines(const char *text, size_t width, const char *const *lines)
{
    for (; *lines; lines++) {
        const char *next = NULL;
        size_t length = bk_wrap_line(text, width, &next);
        assert_int_equal(length, strlen(*lines));
        assert_memory_equal(text, *lines, length);
        text = next;
    }
    assert_string_equal(text, "");
}

#define LINES(...) ((const char *const[]){__VA_ARGS__, NULL})

static void breaks_at_blanks(void **state)
{
    (void)state;
    expect_lines("fold in the flour", 20, LINES("fold in the flour"));
    expect_lines("fold in the flour", 17, LINES("fold in the flour"));
    expect_lines("fold in the flour", 16, LINES("fold in the", "flour"));
    expect_lines("fold in the flour", 7, LINES("fold in", "the", "flour"));
    expect_lines("", 5, LINES(""));
}

static void keeps_a_number_with_its_unit(void **state)
{
    (void)state;
    expect_lines("set for 6 h then", 9, LINES("set for", "6 h then"));
    expect_lines("bake at 180 C", 11, LINES("bake at", "180 C"));
    /* Where nothing else can give way, the number does. */
    expect_lines("123456 h", 7, LINES("123456", "h"));
}

static void keeps_a_day_with_its_hour(void **state)
{
    (void)state;
    expect_lines("ready at Sat 5 Dec 17:00", 20, LINES("ready at", "Sat 5 Dec 17:00"));
    expect_lines("until Fri 07:00 or so", 12, LINES("until", "Fri 07:00 or", "so"));
    expect_lines("on Thursday 24 December, 18:00", 27, LINES("on", "Thursday 24 December, 18:00"));
    expect_lines("for 12:30", 6, LINES("for", "12:30"));
    expect_lines("FDA Food Code 2022", 14, LINES("FDA Food Code", "2022"));
}

static void breaks_long_words(void **state)
{
    (void)state;
    expect_lines("abcdefghij", 4, LINES("abcd", "efgh", "ij"));
    expect_lines("a bcdefghij", 4, LINES("a", "bcde", "fghi", "j"));
}

/* A cake and a word in a script of wide characters: two columns each. */
static void counts_columns_not_bytes(void **state)
{
    (void)state;
    expect_lines("\xf0\x9f\x8e\x82\xf0\x9f\x8e\x82\xf0\x9f\x8e\x82", 5,
                 LINES("\xf0\x9f\x8e\x82\xf0\x9f\x8e\x82", "\xf0\x9f\x8e\x82"));
    expect_lines("\xe7\x84\xbc\xe3\x81\x8f", 3, LINES("\xe7\x84\xbc", "\xe3\x81\x8f"));
    expect_lines("cr\xc3\xa8me br\xc3\xbbl\xc3\xa9"
                 "e",
                 6,
                 LINES("cr\xc3\xa8me", "br\xc3\xbbl\xc3\xa9"
                                       "e"));
}

static void takes_at_least_one_character(void **state)
{
    (void)state;
    expect_lines("\xf0\x9f\x8e\x82", 1, LINES("\xf0\x9f\x8e\x82"));
}

/* e + combining acute; two people tied by a joiner. */
static void keeps_characters_whole(void **state)
{
    (void)state;
    expect_lines("e\xcc\x81"
                 "e\xcc\x81",
                 1, LINES("e\xcc\x81", "e\xcc\x81"));
    const char *family = "\xf0\x9f\x91\xa9\xe2\x80\x8d\xf0\x9f\x91\xa7";
    const char *next = NULL;
    assert_int_equal(bk_wrap_line(family, 2, &next), strlen(family));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(breaks_at_blanks),          cmocka_unit_test(keeps_a_number_with_its_unit),
        cmocka_unit_test(keeps_a_day_with_its_hour), cmocka_unit_test(breaks_long_words),
        cmocka_unit_test(counts_columns_not_bytes),  cmocka_unit_test(takes_at_least_one_character),
        cmocka_unit_test(keeps_characters_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
