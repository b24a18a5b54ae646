/* Times and oven temperatures in the words of recipes. What each means is English, no
 * source; the gas marks and the plan format's writing are those of docs/plan-format.md, of
 * whose readers each answer must be a word. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "quantity/quantity.h"
#include "takein/parts.h"

static bk_arena *arena;

static const char *time_in(const char *words)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, words, &count);
    bk_spell spell = bk_spell_find(t, 0, count);
    return spell.found ? bk_spell_words(arena, &spell) : "none";
}

static const char *oven_in(const char *words)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, words, &count);
    bk_setting setting = bk_setting_find(arena, t, 0, count);
    return setting.at != NULL ? setting.at : "none";
}

static void test_times(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"Bake for 12 to 15 minutes.", "12-15 min"},
        {"Bake 22–25 minutes until springy", "22-25 min"},
        {"Simmer 1½ hours", "1 h 30 min"},
        {"Simmer 1 1/2 hours", "1 h 30 min"},
        {"Roast for another 1 hour 20 minutes.", "1 h 20 min"},
        {"Leave to rise 1 h 30 - 2 h somewhere warm", "1 h 30 min - 2 h"},
        {"rise for 1h30", "1 h 30 min"},
        {"Rest for half an hour", "30 min"},
        {"bake it for three quarters of an hour to an hour", "45 min - 1 h"},
        {"an hour and a half in the oven", "1 h 30 min"},
        {"cook for two and a half hours", "2 h 30 min"},
        {"Let it cool a couple of hours", "2 h"},
        {"chill until set, about 2 h", "2 h"},
        {"Chill for at least 4 hours or overnight", "4-12 h"},
        {"Chill at least 4 hours, better overnight.", "4-12 h"},
        {"Leave overnight.", "8-12 h"},
        {"Roast for 1:30 hours", "1 h 30 min"},
        {"bake 0:45 h", "45 min"},
        {"bake for 1:20 hrs", "1 h 20 min"},
        {"microwave for 1:30 minutes", "1 min 30 s"},
        {"serve at 1:30", "none"},
        {"simmer for one hundred and twenty minutes", "2 h"},
        {"simmer for a hundred minutes", "1 h 40 min"},
        /* by weight: how long it takes, the weight tells (test_usual) */
        {"20 minutes per kilo plus 20 minutes", "none"},
        {"20 mins/lb and 20 mins over", "none"},
        {"twenty minutes to the pound", "none"},
        {"25 min for every 500 g, about 2 hours", "2 h"},
        {"for three and a half to four hours", "3 h 30 min - 4 h"},
        {"for an hour to an hour and ten", "1 h - 1 h 10 min"},
        {"then a night in the fridge", "8-12 h"},
        {"leave till next day, covered", "8-12 h"},
        {"leave until the next morning", "8-12 h"},
        {"at least 5 hours or, better, overnight", "5-12 h"},
        {"In the same 20 minutes finish the sauce", "none"},
        {"they may stay there for up to 20 minutes", "none"},
        {"it will keep warm for 20 minutes", "none"},
        {"Cook for 5 minutes on each side", "10 min"},
        {"soak for twenty-five minutes", "25 min"},
        {"Bake 10mins", "10 min"},
        {"Microwave for 30 seconds", "30 s"},
        {"Cure for 2 days", "2 d"},
        {"Refrigerate overnight (8 to 14 hours).", "8-14 h"},
        {"bake 8 more minutes", "8 min"},
        {"chill for 5 hours, or up to 2 days", "5-48 h"},
        {"stand at least half an hour, two hours is better", "30 min - 2 h"},
        {"prove 45'", "45 min"},
        {"in 30 second bursts, about 2 minutes altogether", "2 min"},
        {"Two days before: mix the salt", "none"},
        {"simmer 4/5 mins", "4-5 min"},
        {"about 20 or so minutes", "20 min"},
        {"roast 2 hrs 30.", "2 h 30 min"},
        {"two-and-a-half hours", "2 h 30 min"},
        {"leave a fortnight", "14 d"},
        {"leave all night", "8-12 h"},
        {"fridge o/n", "8-12 h"},
        {"freeze 4+ hrs", "4 h"},
        {"cupboard 6 wks", "42 d"},
        {"keep a month", "30 d"},
        {"give it another hour", "1 h"},
        {"cook it a minute or two", "1-2 min"},
        {"turn up to Mark 6 - 30 mins", "30 min"},
        {"chill 30 minutes (or up to 2 days)", "30 min - 2 d"},
        {"1 hour 20 pears", "1 h"},
        {"1 hr 15 for hens", "1 h 15 min"},
        {"1 hr 45 to 2 hrs", "1 h 45 min - 2 h"},
        {"bake 1 to 1-1/4 hours", "1 h - 1 h 15 min"},
        {"about an hour and three quarters", "1 h 45 min"},
        {"steam one and three-quarter hours", "1 h 45 min"},
        {"fry a minute and a half", "1 min 30 s"},
        {"brown it in two goes, 8 min a go", "16 min"},
        {"fry for 2½ minutes", "2 min 30 s"},
        {"in the fridge over the night", "8-12 h"},
        {"for the first 15 minutes, then turn down", "15 min"},
        {"brown it in a second pan, 8 minutes", "8 min"},
        {"fill, no more than an hour before it is wanted", "none"},
        {"in that half hour, mash the butter", "none"},
        {"when it has been in for 20 minutes", "none"},
        {"twenty minutes to the pound", "none"},
        {"leave it 9999999999 months", "none"},
        {"Wait a few minutes", "none"},
        {"baste every 20 minutes", "none"},
        {"roast 20 minutes per 500 g", "none"},
        {"Add 200 g flour", "none"},
        {"Cut into 12 pieces", "none"},
        {"After 20 minutes turn it", "none"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *read = time_in(cases[i][0]), *mend = NULL;
        if (strcmp(read, cases[i][1]) != 0)
            fail_msg("\"%s\" is %s, not %s", cases[i][0], read, cases[i][1]);
        bk_range range;
        assert_true(strcmp(read, "none") == 0 || bk_read_range(read, &range, &mend));
    }
}

/* Numbers that no clock knows: read without overflow, as a million at most, or not as a time. */
static void test_absurd_times(void **state)
{
    (void)state;
    static const char *const cases[] = {
        "bake 99999999999 days",
        "leave 9999999999,999 months",
        "1 h 99999999999",
        "99999999999 to 999999999999 weeks",
        "2 hours and 99999999999.5 minutes",
        "99999999999 1/2 fortnight",
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        size_t count = 0;
        const bk_token *t = bk_tokens(arena, cases[i], &count);
        bk_spell spell = bk_spell_find(t, 0, count);
        assert_in_range(spell.least, 0, INT64_C(2000000) * 30 * 86400);
        assert_in_range(spell.most, spell.least, INT64_C(2000000) * 30 * 86400);
        if (i == 0) /* nothing takes that long */
            assert_false(spell.found);
    }
}

static void test_temperatures(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"Preheat the oven to 180°C.", "180 C"},
        {"Heat oven to 200C/180C fan/gas 6.", "200 C"},
        {"Heat oven to 170C fan.", "170 C fan"},
        {"Heat the oven to fan 160C.", "160 C fan"},
        {"Preheat oven to 350°F.", "350 F"},
        {"Set the oven to gas mark 6.", "gas 6"},
        {"oven at gas ½", "gas 1/2"},
        {"Bake at 190 °C for 12 minutes", "190 C"},
        {"Bake at 180–190°C", "180-190 C"},
        {"Oven on at 200.", "200 C"},
        {"Bake at 375 degrees", "375 F"},
        {"Heat the milk to 85 °C and hold it there", "none"},
        {"Leave it to fall below 60 °C before you bake", "none"},
        {"Cook it to soft ball (116C)", "none"},
        {"Bring the oven down to 150 C", "150 C"},
        {"Heat the oven, Regulo 6.", "gas 6"},
        {"cook at 200 for an hour", "200 C"},
        {"Mark 4, 30 mins", "gas 4"},
        {"Reg 4", "gas 4"},
        {"lower to 350 and bake", "350 F"},
        {"180 for 35", "180 C"},
        {"Bake at 180C until a thermometer reads 74C", "180 C"},
        {"160°, about 1 hr - 55° inside", "160 C"},
        {"boil to 116 degrees on the sugar thermometer", "none"},
        {"until the centre reads 70C", "none"},
        {"Mark into squares", "none"},
        {"Heat the syrup to 118°C on a thermometer", "none"},
        {"Bake for 25 minutes", "none"},
        {"Add 200 g sugar to the oven dish", "none"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *read = oven_in(cases[i][0]), *mend = NULL;
        if (strcmp(read, cases[i][1]) != 0)
            fail_msg("\"%s\" is %s, not %s", cases[i][0], read, cases[i][1]);
        bk_temperature at;
        assert_true(strcmp(read, "none") == 0 || bk_read_oven_temperature(read, &at, &mend));
    }
}

/* A heat without a number is a usual one, and said to be a guess. */
static void test_heat_in_words(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"Moderate oven", "180 C"},     {"in a very hot oven for 10 minutes", "240 C"},
        {"a fairly hot oven", "200 C"}, {"into a slow oven", "150 C"},
        {"a hot oven, gas 7", "gas 7"}, {"a hot pan", "none"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        size_t count = 0;
        const bk_token *t = bk_tokens(arena, cases[i][0], &count);
        bk_setting setting = bk_setting_find(arena, t, 0, count);
        assert_string_equal(setting.at ? setting.at : "none", cases[i][1]);
        assert_true(setting.in_words == (setting.at && !strstr(setting.at, "gas")));
    }
}

/* Minutes without their unit, behind a verb. */
static void test_bare_minutes(void **state)
{
    (void)state;
    static const char *const cases[][2] = {
        {"simmer 10", "10 min"},       {"rest 8-10, covered", "8-10 min"},
        {"soften gently 5.", "5 min"}, {"cut into 12", "none"},
        {"bake at 200", "none"},       {"add 2 eggs", "none"},
        {"boil 3 potatoes", "none"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        size_t count = 0;
        const bk_token *t = bk_tokens(arena, cases[i][0], &count);
        bk_spell spell = bk_spell_guess(t, 0, count);
        assert_string_equal(spell.found ? bk_spell_words(arena, &spell) : "none", cases[i][1]);
        assert_true(spell.unit_guessed == spell.found);
    }
}

/* An encoding that is declared, found by its mark, or neither. */
static void test_encodings(void **state)
{
    (void)state;
    static const struct {
        const char *bytes;
        size_t length;
        const char *utf8;
    } cases[] = {
        {"\xEF\xBB\xBF"
         "180\xC2\xB0"
         "C",
         9,
         "180\xC2\xB0"
         "C"},
        {"\xFF\xFE"
         "C\0r\0\xE8\0",
         8, "Cr\xC3\xA8"},
        {"\xFE\xFF\0C\0r\0\xE8", 8, "Cr\xC3\xA8"},
        {"\x95 180\xB0"
         "C \x96 1\xBD h",
         14,
         "\xE2\x80\xA2 180\xC2\xB0"
         "C \xE2\x80\x93 1\xC2\xBD h"},
        {"a\r\nb\rc\x01", 7, "a\nb\nc "},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        size_t length = 0;
        const char *text = bk_to_utf8(arena, cases[i].bytes, cases[i].length, &length);
        assert_string_equal(text, cases[i].utf8);
        assert_int_equal(length, strlen(cases[i].utf8));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_times),        cmocka_unit_test(test_absurd_times),
        cmocka_unit_test(test_temperatures), cmocka_unit_test(test_heat_in_words),
        cmocka_unit_test(test_bare_minutes), cmocka_unit_test(test_encodings)};
    arena = bk_arena_new(NULL);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    bk_arena_free(arena);
    return failed;
}
