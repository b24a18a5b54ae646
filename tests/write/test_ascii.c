/* Text for what shows ASCII only. The characters and their names are those of the Unicode Character
 * Database; what becomes of them is what a typewriter has, common practice, no source. */
#include "write/words/ascii.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void expect_ascii(const char *text, const char *ascii)
{
    bk_arena *arena = bk_arena_new(NULL);
    assert_non_null(arena);
    assert_string_equal(bk_words_ascii(arena, text), ascii);
    bk_arena_free(arena);
}

static void leaves_ascii_as_it_is(void **state)
{
    (void)state;
    char all[129] = {0};
    for (int c = 1; c < 128; c++)
        all[c - 1] = (char)c;
    expect_ascii(all, all);
    expect_ascii("", "");
}

static void writes_what_a_cook_writes(void **state)
{
    (void)state;
    expect_ascii("160 °C fan", "160 C fan");
    expect_ascii("12–15 min — no more…", "12-15 min - no more...");
    expect_ascii("½ tsp, 1½ cups, 1⅓ kg, 10¼", "1/2 tsp, 1 1/2 cups, 1 1/3 kg, 10 1/4");
    expect_ascii("crème brûlée, Käse, ŝafo", "creme brulee, Kase, safo");
    expect_ascii("“warm” ‘soft’ «set»", "\"warm\" 'soft' \"set\"");
    expect_ascii("20 × 30 cm", "20 x 30 cm");
    expect_ascii("Spieß, blåbær, smørrebrød, œuf, żółty",
                 "Spiess, blabaer, smorrebrod, oeuf, zolty");
    expect_ascii("400\u00a0g", "400 g");
}

static void puts_a_question_mark_last(void **state)
{
    (void)state;
    expect_ascii("焼く", "??");
    expect_ascii("e\u0301", "e");
    expect_ascii("\u2764\ufe0f\u200d", "?");
    expect_ascii("a\xff\xc3z", "a??z");
    expect_ascii("\xf0\x9f\x8e\x82!", "?!");
}

/* U+FDFA has the longest decomposition of all, 18 characters. */
static void stands_the_longest(void **state)
{
    (void)state;
    expect_ascii("a\uFDFAz", "a??? ???? ???? ????z");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(leaves_ascii_as_it_is),
        cmocka_unit_test(writes_what_a_cook_writes),
        cmocka_unit_test(puts_a_question_mark_last),
        cmocka_unit_test(stands_the_longest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
