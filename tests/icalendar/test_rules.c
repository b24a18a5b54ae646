/* Repeat rules against the examples of RFC 5545 section 3.8.5.3, each with the dates that stand
 * there; what the examples leave out is worked out by hand beside the case. */
#include "icalendar/values.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static bk_arena *arena;

static int set_up(void **state)
{
    (void)state;
    arena = bk_arena_new(NULL);
    return arena == NULL;
}

static int tear_down(void **state)
{
    (void)state;
    bk_arena_free(arena);
    return 0;
}

/* The first instances as "970902 970903 ", with "T0900" where `hours`; "..." when there are more
 * than `most` before 2010. */
static const char *instances(const char *start, const char *text, size_t most, bool hours)
{
    bk_rule rule;
    bk_date_time first;
    bk_wall_list found = {0};
    int64_t steps = 1000000;
    assert_true(bk_date_time_read(start, &first));
    if (!bk_rule_read(arena, text, &rule))
        return "unreadable";
    bk_seconds last = bk_civil_minutes((bk_civil){2010, 1, 1, 0, 0}) * 60;
    enum bk_rule_fault fault = bk_rule_expand(arena, &rule, first, last, &steps, &found);
    if (fault != BK_RULE_FINE)
        return fault == BK_RULE_MALFORMED ? "malformed" : "too many";
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    for (size_t i = 0; i < found.count && i < most; i++) {
        const char *utc = bk_instant_utc(arena, found.items[i] / 60);
        bk_text_addf(&out, "%.*s ", hours ? 11 : 6, utc + 2);
    }
    if (found.count > most)
        bk_text_add(&out, "...");
    return out.data;
}

#define START "19970902T090000" /* a Tuesday */

static void examples_of_the_standard(void **state)
{
    (void)state;
    static const struct {
        const char *start, *rule;
        size_t most;
        const char *dates;
    } cases[] = {
        {START, "FREQ=DAILY;COUNT=10", 20,
         "970902 970903 970904 970905 970906 970907 970908 970909 970910 970911 "},
        {START, "FREQ=DAILY;INTERVAL=2", 4, "970902 970904 970906 970908 ..."},
        {START, "FREQ=DAILY;INTERVAL=10;COUNT=5", 9, "970902 970912 970922 971002 971012 "},
        {"19980101T090000", "FREQ=DAILY;UNTIL=19980103T140000Z;BYMONTH=1", 9,
         /* to within a day, as the header says */
         "980101 980102 980103 980104 980105 "},
        {START, "FREQ=WEEKLY;COUNT=3", 9, "970902 970909 970916 "},
        {START, "FREQ=WEEKLY;INTERVAL=2;WKST=SU", 4, "970902 970916 970930 971014 ..."},
        {START, "FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH", 12,
         "970902 970904 970909 970911 970916 970918 970923 970925 970930 971002 "},
        {"19970901T090000", "FREQ=WEEKLY;INTERVAL=2;WKST=SU;BYDAY=MO,WE,FR", 7,
         "970901 970903 970905 970915 970917 970919 970929 ..."},
        {START, "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH", 9,
         "970902 970904 970916 970918 970930 971002 971014 971016 "},
        {"19970905T090000", "FREQ=MONTHLY;COUNT=4;BYDAY=1FR", 9, "970905 971003 971107 971205 "},
        {"19970907T090000", "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU", 12,
         "970907 970928 971102 971130 980104 980125 980301 980329 980503 980531 "},
        {"19970922T090000", "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO", 9,
         "970922 971020 971117 971222 980119 980216 "},
        {"19970928T090000", "FREQ=MONTHLY;BYMONTHDAY=-3", 6,
         "970928 971029 971128 971229 980129 980226 ..."},
        {START, "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=2,15", 12,
         "970902 970915 971002 971015 971102 971115 971202 971215 980102 980115 "},
        {"19970930T090000", "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1", 12,
         "970930 971001 971031 971101 971130 971201 971231 980101 980131 980201 "},
        {"19970910T090000", "FREQ=MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15", 12,
         "970910 970911 970912 970913 970914 970915 990310 990311 990312 990313 "},
        {START, "FREQ=MONTHLY;INTERVAL=2;BYDAY=TU", 6,
         "970902 970909 970916 970923 970930 971104 ..."},
        {"19970610T090000", "FREQ=YEARLY;COUNT=10;BYMONTH=6,7", 12,
         "970610 970710 980610 980710 990610 990710 000610 000710 010610 010710 "},
        {"19970310T090000", "FREQ=YEARLY;INTERVAL=2;COUNT=4;BYMONTH=1,2,3", 12,
         "970310 990110 990210 990310 "},
        {"19970101T090000", "FREQ=YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200", 12,
         "970101 970410 970719 000101 000409 000718 030101 030410 030719 060101 "},
        {"19970519T090000", "FREQ=YEARLY;BYDAY=20MO", 3, "970519 980518 990517 ..."},
        {"19970512T090000", "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO", 3, "970512 980511 990517 ..."},
        {"19970313T090000", "FREQ=YEARLY;BYMONTH=3;BYDAY=TH", 11,
         "970313 970320 970327 980305 980312 980319 980326 990304 990311 990318 990325 ..."},
        {"19970605T090000", "FREQ=YEARLY;BYDAY=TH;BYMONTH=6,7,8", 13,
         "970605 970612 970619 970626 970703 970710 970717 970724 970731 970807 970814 970821 "
         "970828 ..."},
        {START, "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13", 5, "980213 980313 981113 990813 001013 ..."},
        {"19970913T090000", "FREQ=MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13", 6,
         "970913 971011 971108 971213 980110 980207 ..."},
        /* The first Tuesday after a Monday in November of every fourth year; to 2010. */
        {"19961105T090000", "FREQ=YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8",
         9, "961105 001107 041102 081104 "},
        {"19970904T090000", "FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3", 9,
         "970904 971007 971106 "},
        {"19970929T090000", "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2", 7,
         "970929 971030 971127 971230 980129 980226 980330 ..."},
        {"19970805T090000", "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO", 9,
         "970805 970810 970819 970824 "},
        {"19970805T090000", "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU", 9,
         "970805 970817 970819 970831 "},
        {"20070115T090000", "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5", 9,
         "070115 070130 070215 070315 070330 "},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *seen = instances(cases[i].start, cases[i].rule, cases[i].most, false);
        if (strcmp(seen, cases[i].dates) != 0)
            fail_msg("%s: %s, not %s", cases[i].rule, seen, cases[i].dates);
    }
}

static void examples_within_a_day(void **state)
{
    (void)state;
    static const struct {
        const char *rule;
        size_t most;
        const char *times;
    } cases[] = {
        {"FREQ=MINUTELY;INTERVAL=15;COUNT=6", 9,
         "970902T0900 970902T0915 970902T0930 970902T0945 970902T1000 970902T1015 "},
        {"FREQ=MINUTELY;INTERVAL=90;COUNT=4", 9,
         "970902T0900 970902T1030 970902T1200 970902T1330 "},
        {"FREQ=DAILY;BYHOUR=9,10;BYMINUTE=0,20,40;COUNT=8", 9,
         "970902T0900 970902T0920 970902T0940 970902T1000 970902T1020 970902T1040 970903T0900 "
         "970903T0920 "},
        {"FREQ=MINUTELY;INTERVAL=20;BYHOUR=9,10;COUNT=7", 9,
         "970902T0900 970902T0920 970902T0940 970902T1000 970902T1020 970902T1040 970903T0900 "},
        {"FREQ=HOURLY;INTERVAL=3;COUNT=3", 9, "970902T0900 970902T1200 970902T1500 "},
        /* By hand: of each hour's minutes the last but one. */
        {"FREQ=HOURLY;BYMINUTE=5,50,30;BYSETPOS=-2;COUNT=2", 9, "970902T0930 970902T1030 "},
        {"FREQ=SECONDLY;INTERVAL=3600;BYDAY=WE;COUNT=2", 9, "970903T0000 970903T0100 "},
        {"FREQ=WEEKLY;BYHOUR=8,20;COUNT=3", 9, "970902T2000 970909T0800 970909T2000 "},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *seen = instances(START, cases[i].rule, cases[i].most, true);
        if (strcmp(seen, cases[i].times) != 0)
            fail_msg("%s: %s, not %s", cases[i].rule, seen, cases[i].times);
    }
}

static void what_a_rule_may_be(void **state)
{
    (void)state;
    static const char *const unreadable[] = {"",
                                             "COUNT=3",
                                             "FREQ=FORTNIGHTLY",
                                             "FREQ=DAILY;COUNT=0",
                                             "FREQ=DAILY;COUNT=-1",
                                             "FREQ=DAILY;INTERVAL=0",
                                             "FREQ=DAILY;INTERVAL=x",
                                             "FREQ=DAILY;UNTIL=never",
                                             "FREQ=DAILY;COUNT=1;COUNT=2",
                                             "FREQ=DAILY;FREQ=DAILY",
                                             "FREQ=DAILY;BYDAY=",
                                             "FREQ=DAILY;BYDAY=XX",
                                             "FREQ=MONTHLY;BYDAY=0MO",
                                             "FREQ=MONTHLY;BYDAY=54MO",
                                             "FREQ=MONTHLY;BYDAY=MO,",
                                             "FREQ=DAILY;BYHOUR=24",
                                             "FREQ=DAILY;BYHOUR=-1",
                                             "FREQ=DAILY;BYMINUTE=60",
                                             "FREQ=DAILY;BYMONTH=13",
                                             "FREQ=DAILY;BYMONTH=5L",
                                             "FREQ=DAILY;BYMONTHDAY=0",
                                             "FREQ=DAILY;BYMONTHDAY=32",
                                             "FREQ=YEARLY;BYYEARDAY=367",
                                             "FREQ=YEARLY;BYWEEKNO=54",
                                             "FREQ=YEARLY;BYSETPOS=0",
                                             "FREQ=YEARLY;WKST=M",
                                             "FREQ=YEARLY;WKST=MOO",
                                             "FREQ=YEARLY;RSCALE=HEBREW",
                                             "FREQ=YEARLY;SKIP=FORWARD",
                                             "FREQ=YEARLY;BYEASTER=0",
                                             "FREQ=DAILY;COUNT",
                                             "FREQ=DAILY;COUNT=99999999999999999999"};
    for (size_t i = 0; i < sizeof unreadable / sizeof *unreadable; i++)
        if (strcmp(instances(START, unreadable[i], 1, false), "unreadable") != 0)
            fail_msg("%s is read", unreadable[i]);
    assert_string_equal(instances(START, "freq=daily;count=2;", 9, false), "970902 970903 ");
    assert_string_equal(
        instances(START, "FREQ=DAILY;X-A=b;RSCALE=GREGORIAN;SKIP=OMIT;COUNT=1", 9, false),
        "970902 ");
    assert_string_equal(instances(START, "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30,-30,31", 9, false),
                        "malformed");
    assert_string_equal(
        instances("19960229T090000", "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=29", 9, false),
        "960229 000229 040229 080229 ");
    assert_string_equal(instances(START, "FREQ=SECONDLY", 9, false), "too many");
    /* A far step is no long search. */
    assert_string_equal(instances(START, "FREQ=WEEKLY;INTERVAL=999999999", 9, false), "970902 ");
    assert_string_equal(instances(START, "FREQ=YEARLY;INTERVAL=999999999", 9, false), "970902 ");
    assert_string_equal(instances(START, "FREQ=SECONDLY;INTERVAL=999999999", 9, false), "970902 ");
    /* Week 1 of 1998 begins in 1997, week 53 of 2004 ends in 2005 (ISO 8601). */
    assert_string_equal(instances("19971201T090000", "FREQ=YEARLY;BYWEEKNO=1;BYDAY=MO", 3, false),
                        "971229 990104 000103 ...");
    assert_string_equal(
        instances("20040101T090000", "FREQ=YEARLY;BYWEEKNO=53,-1;BYDAY=SU;COUNT=3", 9, false),
        "050102 060101 061231 ");
    /* The weekday that is missing is DTSTART's. */
    assert_string_equal(instances(START, "FREQ=YEARLY;BYWEEKNO=40;COUNT=2", 9, false),
                        "970930 980929 ");
}

static void durations_and_dates(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int64_t days;
        bk_seconds seconds;
    } good[] = {{"PT1H30M", 0, 5400}, {"-P1DT12H", -1, -43200}, {"+P2W", 14, 0},
                {"P1W2D", 9, 0},      {"PT0S", 0, 0},           {"P15DT5H0M20S", 15, 18020}};
    static const char *const bad[] = {"",       "P",    "PT",  "1H",    "PT1D", "P1H",
                                      "PT1M1H", "P1DT", "PT1", "PT1H ", "P-1D", "PT99999999999S"};
    bk_stretch lasts;
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        assert_true(bk_stretch_read(good[i].text, &lasts));
        assert_int_equal(lasts.days, good[i].days);
        assert_int_equal(lasts.seconds, good[i].seconds);
    }
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        if (bk_stretch_read(bad[i], &lasts))
            fail_msg("%s is read", bad[i]);
    bk_date_time time;
    assert_true(bk_date_time_read("20261218T193059Z", &time));
    assert_true(time.is_utc && !time.is_date && time.second == 59);
    assert_false(bk_date_time_read("20261218T1930Z", &time));
    assert_false(bk_date_time_read("2026-12-18", &time));
    assert_false(bk_date_time_read("20261218Z", &time));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(examples_of_the_standard),
        cmocka_unit_test(examples_within_a_day),
        cmocka_unit_test(what_a_rule_may_be),
        cmocka_unit_test(durations_and_dates),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
