/* Durations and ranges: every form, and every slip with what is said about it. */
#include "plan/plan.h"

#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

static void reads_durations(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int64_t minutes;
    } good[] = {
        {"90 min", 90},
        {"90min", 90},
        {" 90  min ", 90},
        {"90\u00A0min", 90},
        {"90\u202Fmin", 90},
        {"1 h 30 min", 90},
        {"1h30min", 90},
        {"2 h", 120},
        {"2 d", 2880},
        {"1 d 3 h", 1620},
        {"1 d 3 h 5 min 1 s", 1626},
        {"0 min", 0},
        {"45 s", 1},
        {"60 s", 1},
        {"61 s", 2},
        {"0 s", 0},
        {"1 min 1 s", 2},
        {"59 min 60 s", 60},
        {"1 hour", 60},
        {"2 hours 1 minute", 121},
        {"2 days", 2880},
        {"30 mins", 30},
        {"2 hrs", 120},
        {"10 secs", 1},
        {"1 H 30 MIN", 90},
        {"1.5 h", 90},
        {"0.5 min", 1},
        {"0.25 d", 360},
        {"1.1 h", 66}, /* exactly 66 minutes: no rounding up from binary fractions */
        {"2.3 h", 138},
        {"1.333333 h", 80}, /* 79.99998 rounded up */
        {"1.333334 h", 81}, /* 80.00004 rounded up */
        {"1 h 0.5 min", 61},
        {"PT1H30M", 90},
        {"PT45M", 45},
        {"PT90S", 2},
        {"PT0S", 0},
        {"P1D", 1440},
        {"P1DT2H", 1560},
        {"P1DT2H30M15S", 1591},
        {"P2W", 20160},
        {"PT1.5H", 90},
        {"PT0.5M", 1},
        {"400 d", 576000},
        {"1 1/2 h", 90},
        {"1\u00BD h", 90},
        {"\u00BE h", 45},
        {"1/2 h", 30},
        {"2/3 h", 40},
        {"1/3 h", 20},
        {"1h30", 90},
        {"1 hr 30", 90},
        {"2 h 05", 125},
    };
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        int64_t minutes = -1;
        const char *mend = NULL;
        if (!bk_read_duration(good[i].text, &minutes, &mend))
            fail_msg("\"%s\" is refused: %s", good[i].text, mend);
        if (minutes != good[i].minutes) {
            fail_msg("\"%s\" is %lld min, not %lld", good[i].text, (long long)minutes,
                     (long long)good[i].minutes);
        }
    }
}

/* Each with a part of what to write instead. */
typedef struct refusal {
    const char *text, *mend;
} refusal;

static void refuses_durations(void **state)
{
    (void)state;
    static const refusal bad[] = {
        {"", "write a duration such as"},
        {"  ", "write a duration such as"},
        {"soon", "write a duration such as"},
        {"min", "write a duration such as"},
        {"90", "add the unit"},
        {"90 m", "write \"min\""},
        {"90 cm", "the units are"},
        {"90 weeks", "the units are"},
        {"90 minuteslong", "the units are"},
        {"90 minutesoreventwice", "the units are"},
        {"1,5 h", "with a point"},
        {"-5 min", "negative"},
        {"\u2013"
         "5 min",
         "negative"},
        {"30 min 1 h", "the larger first"},
        {"1 h 2 h", "the larger first"},
        {"1.5 h 10 min", "write a duration such as"},
        {"1 h 75", "write a duration such as"},
        {"1 d 12", "write a duration such as"},
        {"20 min 30", "write a duration such as"},
        {"1:30", "write \"1 h 30 min\""},
        {"021:", "write a duration such as"}, /* found by the fuzzer: refused without a word */
        {"overnight", "8-12 h"},
        {"1.5 1/2 h", "write a duration such as"},
        {"1/5 h", "write a duration such as"},
        {"12-15 min", "not a range"},
        {"1 h!", "write a duration such as"},
        {"1. h", "write a duration such as"},
        {".5 h", "write a duration such as"},
        {"1.1234567 h", "write a duration such as"},
        {"12345678901 s", "write a duration such as"},
        {"999999999 d", "400 d"},
        {"401 d", "400 d"},
        {"400 d 1 s", "400 d"},
        {"1e3 min", "the units are"},
        {"0x10 min", "the units are"},
        {"P", "PT1H30M"},
        {"PT", "PT1H30M"},
        {"P1DT", "PT1H30M"},
        {"PT1H30", "PT1H30M"},
        {"PT30M1H", "PT1H30M"},
        {"PT1H1H", "PT1H30M"},
        {"P1H", "PT1H30M"},
        {"P1M", "PT1H30M"},
        {"PT1D", "PT1H30M"},
        {"PT1.5H30M", "PT1H30M"},
        {"PT1H30Mx", "PT1H30M"},
        {"P999W", "400 d"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        int64_t minutes = -1;
        const char *mend = NULL;
        if (bk_read_duration(bad[i].text, &minutes, &mend))
            fail_msg("\"%s\" is taken for %lld min", bad[i].text, (long long)minutes);
        assert_int_equal(minutes, -1);
        assert_non_null(mend);
        if (strstr(mend, bad[i].mend) == NULL)
            fail_msg("\"%s\": \"%s\" is not in \"%s\"", bad[i].text, bad[i].mend, mend);
    }
}

static void reads_ranges(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int64_t least, likely, most;
    } good[] = {
        {"20 min", 20, 20, 20},
        {"12 to 15 min", 12, 14, 15},
        {"1 1/2 to 2 h", 90, 105, 120},
        {"\u00BD-1 h", 30, 45, 60},
        {"1h30-2h", 90, 105, 120},
        {"12-15 min", 12, 14, 15}, /* the midpoint 13.5 rounded up */
        {"12 - 15 min", 12, 14, 15},
        {"12\u201315 min", 12, 14, 15}, /* en dash */
        {"12 min - 15 min", 12, 14, 15},
        {"4-6 h", 240, 300, 360},
        {"1 h 30 min - 2 h", 90, 105, 120},
        {"90 min - 2 h", 90, 105, 120},
        {"45 min \u2013 1 h", 45, 53, 60},
        {"4-5-8 h", 240, 300, 480},
        {"4-4-8 h", 240, 240, 480},
        {"10 min - 1 h - 1 d", 10, 60, 1440},
        {"50 - 55 min - 1 h", 50, 55, 60},
        {"1.5-2 h", 90, 105, 120},
        {"1-2 d", 1440, 2160, 2880},
        {"30-90 s", 1, 2, 2},
        {"0-10 min", 0, 5, 10},
        {"15-15 min", 15, 15, 15},
        {"PT1H-PT2H", 60, 90, 120},
        {"PT45M - 1 h", 45, 53, 60},
        {"PT1H30M", 90, 90, 90},
        {"2 d", 2880, 2880, 2880},
        {"1-400 d", 1440, 288720, 576000},
    };
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        bk_range range = {-1, -1, -1};
        const char *mend = NULL;
        if (!bk_read_range(good[i].text, &range, &mend))
            fail_msg("\"%s\" is refused: %s", good[i].text, mend);
        if (range.least != good[i].least || range.likely != good[i].likely ||
            range.most != good[i].most) {
            fail_msg("\"%s\" is %lld-%lld-%lld", good[i].text, (long long)range.least,
                     (long long)range.likely, (long long)range.most);
        }
    }
}

static void refuses_ranges(void **state)
{
    (void)state;
    static const refusal bad[] = {
        {"", "write a time such as"},
        {"12", "add the unit"},
        {"12-15", "add the unit"},
        {"12 min - 15", "add the unit"},
        {"15-12 min", "the shorter time first"},
        {"2 h - 90 min", "the shorter time first"},
        {"90 s - 61 s", "the shorter time first"}, /* the same when rounded, yet empty */
        {"4-8-5 h", "least, likely and most"},
        {"5-4-8 h", "least, likely and most"},
        {"1-2-3-4 h", "at most three"},
        {"1-1 h 30 min", "both ends their units"},
        {"12-", "write a time such as"},
        {"-12 min", "negative"},
        {"12--15 min", "write a time such as"},
        {"12 to", "write a time such as"},
        {"at least 4 h", "\"within\""},
        {"about 2 h", "a range"},
        {"up to 2 h", "a range"},
        {"overnight", "8-12 h"},
        {"until set", "\"look\""},
        {"12/15 min", "write a time such as"},
        {"12-15 m", "write \"min\""},
        {"1-401 d", "400 d"},
        {"401-402 d", "400 d"},
        {"12\u201415 min", "write a time such as"}, /* an em dash parts sentences */
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        bk_range range = {-1, -1, -1};
        const char *mend = NULL;
        if (bk_read_range(bad[i].text, &range, &mend)) {
            fail_msg("\"%s\" is taken for %lld-%lld-%lld", bad[i].text, (long long)range.least,
                     (long long)range.likely, (long long)range.most);
        }
        assert_non_null(mend);
        if (strstr(mend, bad[i].mend) == NULL)
            fail_msg("\"%s\": \"%s\" is not in \"%s\"", bad[i].text, bad[i].mend, mend);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_durations),
        cmocka_unit_test(refuses_durations),
        cmocka_unit_test(reads_ranges),
        cmocka_unit_test(refuses_ranges),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
