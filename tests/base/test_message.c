/* Messages: position, caret, mend, the limit of twenty; UTF-8; the nearest word. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/base.h"

static const char *shown(bk_arena *arena, const bk_report *report, size_t index)
{
    bk_text text = bk_text_new(arena);
    bk_message_write(&report->messages[index], &text);
    return text.data;
}

static void shows_position_line_caret_and_mend(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_report report = bk_report_new(arena);
    const char *text = "{\n\t\"caf\xc3\xa9\": \"x\"\r\n}";
    bk_source source = {"p.json", text, strlen(text)};
    bk_place place = {&source, (size_t)(strstr(text, "\"x\"") - text)};
    bk_error(&report, "type", place, "write a number", "this is a %s", "string");
    assert_string_equal(shown(arena, &report, 0), "p.json:2:10: this is a string; write a number\n"
                                                  "   \"caf\xc3\xa9\": \"x\"\n"
                                                  "           ^\n");
    bk_arena_free(arena);
}

static void cuts_long_lines_and_hides_control_bytes(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_report report = bk_report_new(arena);
    char text[2001];
    memset(text, 'a', 2000);
    text[2000] = '\0';
    text[999] = '\x1b';
    text[1001] = '\xff';
    bk_source source = {"p", text, 2000};
    bk_error(&report, "type", (bk_place){&source, 1000}, NULL, "bad");
    const char *out = shown(arena, &report, 0);
    assert_null(strchr(out, '\x1b'));
    assert_null(strchr(out, '\xff'));
    assert_true(strlen(out) < 300);
    /* The caret stands under the byte meant. */
    const char *line = strchr(out, '\n') + 1, *caret_line = strchr(line, '\n') + 1;
    size_t column = (size_t)(strchr(caret_line, '^') - caret_line);
    assert_int_equal(line[column], 'a');
    assert_int_equal(line[column - 1], '?');
    assert_int_equal(line[column + 1], '?');
    bk_arena_free(arena);
}

/* The excerpt of a long line, whatever its letters and wherever the place: it fits a terminal of 80
 * columns, so that the caret's line is under it. */
static void fits_a_terminal(void **state)
{
    (void)state;
    static const char *const letters[] = {"a", "\xc3\xa9", "\xe7\x84\xbc", "a\xcc\x81", "\t"};
    bk_arena *arena = bk_arena_new(NULL);
    for (size_t k = 0; k < sizeof letters / sizeof letters[0]; k++) {
        bk_text text = bk_text_new(arena);
        for (int i = 0; i < 300; i++)
            bk_text_add(&text, letters[k]);
        bk_source source = {"p", text.data, text.length};
        for (size_t at = 0; at < 300; at++) {
            bk_report report = bk_report_new(arena);
            bk_error(&report, "type", (bk_place){&source, at * strlen(letters[k])}, NULL, "bad");
            const char *out = shown(arena, &report, 0);
            const char *line = strchr(out, '\n') + 1, *end = strchr(line, '\n');
            size_t columns = bk_columns(bk_copy(arena, line, (size_t)(end - line)));
            size_t caret = (size_t)(strchr(end, '^') - end - 1);
            assert_in_range(columns, 60 / 2, 79);
            assert_true(caret < columns);
            const char *meant = letters[k][0] == '\t' ? " " : letters[k];
            bool under = false;
            for (const char *c = line; c < end && !under; c++)
                under = bk_columns(bk_copy(arena, line, (size_t)(c - line))) == caret &&
                        strncmp(c, meant, strlen(meant)) == 0;
            assert_true(under);
            assert_int_equal(memcmp(line, at > 60 ? "  ..." : "  ", at > 60 ? 5 : 2), 0);
        }
    }
    bk_arena_free(arena);
}

/* Marks that take no column of their own fit on a line without end: 100,000 of them were 5 thousand
 * million steps and 200 KB of a line. Here before and behind the place, as marks and as bytes that
 * are no text. */
static void a_line_of_marks_has_an_end(void **state)
{
    (void)state;
    static const char *const pieces[] = {"\xcc\x81", "\x81", "\xe2\x80\x8b"};
    bk_arena *arena = bk_arena_new(NULL);
    for (size_t k = 0; k < sizeof pieces / sizeof pieces[0]; k++) {
        bk_text text = bk_text_new(arena);
        for (int i = 0; i < 100000; i++)
            bk_text_add(&text, pieces[k]);
        bk_source source = {"p", text.data, text.length};
        for (size_t at = 0; at < 100000; at += 49999) {
            bk_report report = bk_report_new(arena);
            bk_error(&report, "type", (bk_place){&source, at * strlen(pieces[k])}, NULL, "bad");
            assert_true(strlen(shown(arena, &report, 0)) < 1500);
        }
    }
    bk_arena_free(arena);
}

static void places_at_and_past_the_end_are_safe(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_report report = bk_report_new(arena);
    bk_source source = {"p", "ab\n", 3}, empty = {"e", "", 0};
    bk_error(&report, "a", (bk_place){&source, 3}, NULL, "end");
    bk_error(&report, "a", (bk_place){&source, 99}, NULL, "past");
    bk_error(&report, "a", (bk_place){&empty, 0}, NULL, "empty");
    bk_error(&report, "a", (bk_place){0}, NULL, "nowhere");
    assert_memory_equal(shown(arena, &report, 0), "p:2:1: end", 10);
    assert_memory_equal(shown(arena, &report, 1), "p:2:1: past", 11);
    assert_string_equal(shown(arena, &report, 2), "e:1:1: empty\n");
    assert_string_equal(shown(arena, &report, 3), "nowhere\n");
    bk_arena_free(arena);
}

static void keeps_twenty_errors_and_counts_the_rest(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_report report = bk_report_new(arena);
    for (int i = 0; i < 50; i++)
        bk_error(&report, "a", (bk_place){0}, NULL, "error %d", i);
    bk_warning(&report, "w", (bk_place){0}, NULL, "a warning is kept");
    assert_int_equal(report.errors, 50);
    assert_int_equal(report.count, BK_MOST_ERRORS + 1);
    assert_string_equal(report.messages[0].text, "error 0");
    assert_string_equal(shown(arena, &report, BK_MOST_ERRORS), "warning: a warning is kept\n");
    bk_arena_free(arena);
}

/* Sequences from RFC 3629 sections 4 and 10, and Unicode's table 3-7. */
static void accepts_only_well_formed_utf8(void **state)
{
    (void)state;
    uint32_t code;
    assert_int_equal(bk_utf8_next("A", 1, &code), 1);
    assert_int_equal(code, 0x41);
    assert_int_equal(bk_utf8_next("\xe2\x89\xa2", 3, &code), 3);
    assert_int_equal(code, 0x2262);
    assert_int_equal(bk_utf8_next("\xf0\xa3\x8e\xb4", 4, &code), 4);
    assert_int_equal(code, 0x233B4);
    assert_int_equal(bk_utf8_next("\xc0\x80", 2, NULL), 0);         /* overlong NUL */
    assert_int_equal(bk_utf8_next("\xe0\x80\xaf", 3, NULL), 0);     /* overlong */
    assert_int_equal(bk_utf8_next("\xed\xa0\x80", 3, NULL), 0);     /* surrogate */
    assert_int_equal(bk_utf8_next("\xf4\x90\x80\x80", 4, NULL), 0); /* above U+10FFFF */
    assert_int_equal(bk_utf8_next("\xe2\x89", 2, NULL), 0);         /* cut short */
    assert_int_equal(bk_utf8_next("\x80", 1, NULL), 0);             /* stray continuation */
    assert_int_equal(bk_utf8_next("", 0, NULL), 0);
}

static void measures_terminal_columns(void **state)
{
    (void)state;
    assert_int_equal(bk_columns("abc"), 3);
    assert_int_equal(bk_columns("cr\xc3\xa8me"), 5);
    assert_int_equal(bk_columns("e\xcc\x80"), 1);          /* combining grave */
    assert_int_equal(bk_columns("\xe6\xb0\xb4"), 2);       /* a wide character */
    assert_int_equal(bk_columns("\xf0\x9f\x8d\xb0 x"), 4); /* an emoji */
}

static void suggests_the_nearest_word(void **state)
{
    (void)state;
    const char *const words[] = {"serve", "serves", "stages", "stored", "keeps", NULL};
    assert_string_equal(bk_nearest("sereve", words), "serve");
    assert_string_equal(bk_nearest("keesp", words), "keeps");
    assert_string_equal(bk_nearest("stage", words), "stages");
    assert_null(bk_nearest("timezone", words));
    assert_null(bk_nearest("", words));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shows_position_line_caret_and_mend),
        cmocka_unit_test(fits_a_terminal),
        cmocka_unit_test(a_line_of_marks_has_an_end),
        cmocka_unit_test(cuts_long_lines_and_hides_control_bytes),
        cmocka_unit_test(places_at_and_past_the_end_are_safe),
        cmocka_unit_test(keeps_twenty_errors_and_counts_the_rest),
        cmocka_unit_test(accepts_only_well_formed_utf8),
        cmocka_unit_test(measures_terminal_columns),
        cmocka_unit_test(suggests_the_nearest_word),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
