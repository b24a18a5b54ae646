/* Zones: opening, refusing, offsets, and the civil times that a clock change
 * skips or repeats. */
#include "zone_lines.h"

#include "time/zone_table.h"

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

static bk_instant utc(int year, int month, int day, int hour, int minute)
{
    bk_civil civil = {year, month, day, hour, minute};
    return bk_instant_of(bk_zone_open(arena, "UTC"), civil, NULL);
}

static void agrees_with_the_kept_table(void **state)
{
    (void)state;
    FILE *in = fopen("tests/data/zone_changes.txt", "r");
    assert_non_null(in);
    size_t count = check_zone_lines(in);
    fclose(in);
    assert_true(count >= 270);
}

/* Both changes of 2026. Instants from the rules as published: EU Directive
 * 2000/84/EC (last Sundays of March and October, 01:00 UTC); US Energy Policy
 * Act 2005 (second Sunday of March, first of November, 02:00 local); Lord Howe
 * Island: first Sundays of October and April, 02:00 local, by half an hour (tz
 * database, file australasia). */
static const struct change {
    const char *zone;
    bk_civil utc;
    int before, after;
} changes_2026[] = {
    {"Europe/London", {2026, 3, 29, 1, 0}, 0, 60},
    {"Europe/London", {2026, 10, 25, 1, 0}, 60, 0},
    {"America/New_York", {2026, 3, 8, 7, 0}, -300, -240},
    {"America/New_York", {2026, 11, 1, 6, 0}, -240, -300},
    {"Australia/Lord_Howe", {2026, 4, 4, 15, 0}, 660, 630},
    {"Australia/Lord_Howe", {2026, 10, 3, 15, 30}, 630, 660},
};

static void changes_at_the_published_minutes(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof changes_2026 / sizeof *changes_2026; i++) {
        const struct change *change = &changes_2026[i];
        const bk_zone *zone = bk_zone_open(arena, change->zone);
        bk_civil c = change->utc;
        bk_instant when = utc(c.year, c.month, c.day, c.hour, c.minute);
        assert_int_equal(bk_zone_offset(zone, when - 1), change->before);
        assert_int_equal(bk_zone_offset(zone, when), change->after);
    }
}

/* Every minute of clock time for a day to each side of a change, against its
 * definition: the instants that show it, found by trying them all. */
static void civil_times_around_changes(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof changes_2026 / sizeof *changes_2026; i++) {
        const struct change *change = &changes_2026[i];
        const bk_zone *zone = bk_zone_open(arena, change->zone);
        bk_civil c = change->utc;
        bk_instant when = utc(c.year, c.month, c.day, c.hour, c.minute);
        int skipped = 0, repeated = 0;
        for (int64_t local = when + change->before - BK_DAY; local < when + change->before + BK_DAY;
             local++) {
            bk_instant first = when;
            int shows = 0;
            for (int offset = change->before, turn = 0; turn < 2; offset = change->after, turn++) {
                bk_instant instant = local - offset;
                if ((instant < when) == (turn == 0)) {
                    if (shows == 0)
                        first = instant;
                    shows++;
                }
            }
            enum bk_civil_kind kind;
            assert_int_equal(bk_instant_of_minutes(zone, local, &kind), first);
            assert_int_equal(kind, shows == 0   ? BK_CIVIL_SKIPPED
                                   : shows == 1 ? BK_CIVIL_UNIQUE
                                                : BK_CIVIL_REPEATED);
            skipped += shows == 0;
            repeated += shows == 2;
        }
        int jump = change->after - change->before;
        assert_int_equal(skipped, jump > 0 ? jump : 0);
        assert_int_equal(repeated, jump < 0 ? -jump : 0);
    }
}

static void dublin_has_negative_summer_time(void **state)
{
    (void)state;
    const bk_zone *zone = bk_zone_open(arena, "Europe/Dublin");
    assert_string_equal(bk_zone_abbreviation(zone, utc(2026, 1, 1, 0, 0)), "GMT");
    assert_string_equal(bk_zone_abbreviation(zone, utc(2150, 7, 1, 0, 0)), "IST");
    assert_int_equal(bk_zone_offset(zone, utc(2150, 7, 1, 0, 0)), 60);
}

/* Samoa left out 30 December 2011 when it crossed the date line. */
static void a_date_may_be_missing(void **state)
{
    (void)state;
    const bk_zone *zone = bk_zone_open(arena, "Pacific/Apia");
    enum bk_civil_kind kind;
    bk_instant change = utc(2011, 12, 30, 10, 0);
    bk_civil noon = {2011, 12, 30, 12, 0};
    assert_int_equal(bk_instant_of(zone, noon, &kind), change);
    assert_int_equal(kind, BK_CIVIL_SKIPPED);
    assert_int_equal(bk_next_day_start(zone, change - 1), change);
    assert_int_equal(bk_day_start(zone, change), change);
    assert_int_equal(bk_day_start(zone, change - 1), change - BK_DAY);
}

static void days_start_at_their_first_minute(void **state)
{
    (void)state;
    /* Havana skips midnight itself in spring. */
    const bk_zone *havana = bk_zone_open(arena, "America/Havana");
    bk_instant spring = utc(2026, 3, 8, 5, 0);
    assert_int_equal(bk_day_start(havana, spring + 600), spring);
    assert_int_equal(bk_civil_at(havana, spring).hour, 1);
    /* London's two changed days have 23 and 25 hours. */
    const bk_zone *london = bk_zone_open(arena, "Europe/London");
    bk_instant short_day = utc(2026, 3, 29, 12, 0), long_day = utc(2026, 10, 25, 12, 0);
    assert_int_equal(bk_next_day_start(london, short_day) - bk_day_start(london, short_day),
                     23 * 60);
    assert_int_equal(bk_next_day_start(london, long_day) - bk_day_start(london, long_day), 25 * 60);
    /* St. John's went back at 00:01: two midnights began 30 October 2005. */
    const bk_zone *st_johns = bk_zone_open(arena, "America/St_Johns");
    bk_instant back = utc(2005, 10, 30, 2, 31);
    assert_int_equal(bk_day_start(st_johns, back - 1), back - 1);
    assert_int_equal(bk_civil_at(st_johns, back).day, 29);
    assert_int_equal(bk_next_day_start(st_johns, back), back + 59);
    for (bk_instant t = back - 2000; t < back + 2000; t++) {
        assert_true(bk_day_start(st_johns, t) <= t);
        assert_true(bk_next_day_start(st_johns, t) > t);
    }
}

static void names_that_are_no_zones(void **state)
{
    (void)state;
    static const char *const refused[] = {
        "",
        "Europe",
        "Europe/Lundon",
        "/etc/localtime",
        "../zoneinfo/UTC",
        "localtime",
        "posixrules",
        "posix/Europe/London",
        "right/UTC",
        "Europe//London",
        "UTC/",
        "Europe/../Europe/London",
        "tzdata.zi",
        "zone.tab",
        "Europe/Lon don",
        "leapseconds",
        "GMT\n",
        "./UTC",
        "Areyoursurethatanynameofazonecanbeaslongasthisone/Yes_it_is_long_enough"};
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++)
        if (bk_zone_open(arena, refused[i]) != NULL)
            fail_msg("opened \"%s\"", refused[i]);
    assert_true(bk_zone_listed(arena, "Europe/London"));
    assert_false(bk_zone_listed(arena, "Europe/Nowhere"));
    assert_false(bk_zone_listed(arena, "Europe"));
}

static void slips_of_the_pen(void **state)
{
    (void)state;
    static const char *const pairs[][2] = {{"Europe/Lundon", "Europe/London"},
                                           {"europe/london", "Europe/London"},
                                           {"London", "Europe/London"},
                                           {"new york", "America/New_York"},
                                           {"America/New York", "America/New_York"},
                                           {"Australia/LordHowe", "Australia/Lord_Howe"}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        const char *nearest = bk_zone_nearest(arena, pairs[i][0]);
        assert_non_null(nearest);
        assert_string_equal(nearest, pairs[i][1]);
    }
    assert_string_equal(bk_zone_nearest(arena, "utc"), "UTC");
    assert_string_equal(bk_zone_nearest(arena, "Singapor"), "Singapore");
    static const char *const nothing[] = {"nothing like a zone at all", "GMT+1", "GMT+2", "UTC+1",
                                          "BST"};
    for (size_t i = 0; i < sizeof nothing / sizeof *nothing; i++)
        assert_null(bk_zone_nearest(arena, nothing[i]));
}

static void zones_keep_their_name(void **state)
{
    (void)state;
    assert_string_equal(bk_zone_name(bk_zone_open(arena, "Asia/Kathmandu")), "Asia/Kathmandu");
}

/* The real London file, cut short and with each byte changed in turn: refused
 * or read, never a crash, and what was read answers every question. */
static void broken_files(void **state)
{
    (void)state;
    FILE *in = fopen("/usr/share/zoneinfo/Europe/London", "rb");
    assert_non_null(in);
    static unsigned char bytes[8192];
    size_t length = fread(bytes, 1, sizeof bytes, in);
    fclose(in);
    assert_true(length > 1000);
    for (size_t cut = 0; cut < length; cut++) {
        /* An exact copy, so that a read past the end is seen. */
        bk_arena *own = bk_arena_new(NULL);
        unsigned char *copy = BK_NEW(own, unsigned char, cut);
        memcpy(copy, bytes, cut);
        bk_zone_table table = {.arena = own};
        assert_false(bk_tzif_read(&table, copy, cut));
        bk_arena_free(own);
    }
    for (size_t i = 0; i < length; i++) {
        bk_arena *own = bk_arena_new(NULL);
        unsigned char old = bytes[i];
        bytes[i] = (unsigned char)(old ^ (i % 2 == 0 ? 0xff : 0x80));
        bk_zone_table table = {.arena = own};
        if (bk_tzif_read(&table, bytes, length)) {
            assert_true(table.count > 0);
            for (size_t k = 1; k < table.count; k++)
                assert_true(table.items[k - 1].start < table.items[k].start);
        }
        bytes[i] = old;
        bk_arena_free(own);
    }
}

/* The rule strings of RFC 9636 section 3.3.1 and of POSIX, and malformed ones. */
static void rule_strings(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool good;
        size_t changes; /* in 2026 and 2027 */
    } rules[] = {
        {"", true, 0},
        {"UTC0", true, 0},
        {"<-03>3", true, 0},
        {"<+0330>-3:30", true, 0},
        {"EST5EDT,0/0,J365/25", true, 4}, /* RFC 9636: daylight saving all the year */
        {"<-03>3<-02>,M3.5.0/-2,M10.5.0/-1", true, 4},
        {"IST-2IDT,M3.4.4/26,M10.5.0", true, 4},
        {"GMT0BST,J60/1,300/1:30:15", true, 4},
        {"GMT", false, 0},
        {"0", false, 0},
        {"<GMT0", false, 0},
        {"<>0", false, 0},
        {"GMT0BST", false, 0},
        {"GMT25", false, 0},
        {"GMT0BST,M3.5.0/1", false, 0},
        {"GMT0BST,M3.5.0/1,M10.5.0x", false, 0},
        {"GMT0BST,M13.5.0,M10.5.0", false, 0},
        {"GMT0BST,M0.5.0,M10.5.0", false, 0},
        {"GMT0BST,M3.6.0,M10.5.0", false, 0},
        {"GMT0BST,M3.5.7,M10.5.0", false, 0},
        {"GMT0BST,J0,J366", false, 0},
        {"GMT0BST,366,1", false, 0},
        {"GMT0BST,M3.5.0/168,M10.5.0", false, 0},
        {"GMT0BST,M3.5.0/1:60,M10.5.0", false, 0},
        {"GMT0BST,M3.5.0/99999999999999,M10.5.0", false, 0},
    };
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++) {
        bk_zone_table table = {.arena = arena};
        bk_zone_table_add(&table, INT64_MIN, 0, "LMT");
        bool good = bk_posix_rule_read(&table, rules[i].text, strlen(rules[i].text), 0, 2026, 2027);
        if (good != rules[i].good)
            fail_msg("rule \"%s\"", rules[i].text);
        /* All-year daylight saving ends and begins in one instant, which is one period. */
        if (good && i != 4)
            assert_int_equal(table.count - 1, rules[i].changes);
    }
}

/* POSIX: "The Julian day n (1 <= n <= 365). Leap days shall not be counted. That is, in all
 * years, including leap years, February 28 is day 59 and March 1 is day 60." (IEEE Std
 * 1003.1, Base Definitions 8.3, TZ) */
static void julian_days_know_no_leap_day(void **state)
{
    (void)state;
    static const struct {
        const char *rule;
        int year;
        bk_civil change; /* when summer time begins, UTC */
    } rules[] = {{"GMT0BST,J59/0,J300/0", 2028, {2028, 2, 28, 0, 0}},
                 /* "M3.5.0": the last Sunday, where a fifth is in the next month */
                 {"GMT0BST,M3.5.0/1,M10.5.0", 2027, {2027, 3, 28, 1, 0}},
                 {"GMT0BST,J60/0,J300/0", 2027, {2027, 3, 1, 0, 0}},
                 {"GMT0BST,J60/0,J300/0", 2028, {2028, 3, 1, 0, 0}},
                 {"GMT0BST,59/0,J300/0", 2027, {2027, 3, 1, 0, 0}},
                 {"GMT0BST,59/0,J300/0", 2028, {2028, 2, 29, 0, 0}}};
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++) {
        bk_zone_table table = {.arena = arena};
        bk_zone_table_add(&table, INT64_MIN, 0, "LMT");
        const bk_civil c = rules[i].change;
        int64_t january = utc(c.year, 1, 1, 0, 0) * 60;
        assert_true(bk_posix_rule_read(&table, rules[i].rule, strlen(rules[i].rule), january - 1,
                                       c.year, c.year));
        assert_int_equal(table.items[1].start, utc(c.year, c.month, c.day, c.hour, c.minute));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(agrees_with_the_kept_table),
        cmocka_unit_test(changes_at_the_published_minutes),
        cmocka_unit_test(civil_times_around_changes),
        cmocka_unit_test(dublin_has_negative_summer_time),
        cmocka_unit_test(a_date_may_be_missing),
        cmocka_unit_test(days_start_at_their_first_minute),
        cmocka_unit_test(names_that_are_no_zones),
        cmocka_unit_test(slips_of_the_pen),
        cmocka_unit_test(zones_keep_their_name),
        cmocka_unit_test(broken_files),
        cmocka_unit_test(rule_strings),
        cmocka_unit_test(julian_days_know_no_leap_day),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
