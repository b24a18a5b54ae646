/* Repeat rules (RFC 5545 section 3.3.10) by libical, held within bounds. */
#include "icalendar/busy_parts.h"

#include <limits.h>

enum {
    MINUTE = 60,
    HOUR = 3600,
    DAY = 86400,
    BARREN_STEPS = 20000 /* what a rule costs that gives nothing: libical looks far ahead */
};

static int64_t length_of(const short *values, size_t most)
{
    int64_t count = 0;
    while ((size_t)count < most && values[count] != ICAL_RECURRENCE_ARRAY_MAX)
        count++;
    return count;
}

#define COUNT(values) length_of((values), sizeof(values) / sizeof *(values))

static int64_t at_least_one(int64_t value)
{
    return value > 0 ? value : 1;
}

/* At least. */
static double days_of_period(const struct icalrecurrencetype *rule)
{
    switch (rule->freq) {
    case ICAL_WEEKLY_RECURRENCE:
        return 7;
    case ICAL_MONTHLY_RECURRENCE:
        return 28;
    case ICAL_YEARLY_RECURRENCE:
        return 365;
    default:
        return 1;
    }
}

/* What one period costs, in days looked at: one, or with parts that name days
 * more. Measured: a month is gone through day by day, a year much faster. */
static double days_tried(const struct icalrecurrencetype *rule)
{
    bool names_days = COUNT(rule->by_day) > 0 || COUNT(rule->by_month_day) > 0 ||
                      COUNT(rule->by_year_day) > 0 || COUNT(rule->by_week_no) > 0;
    switch (rule->freq) {
    case ICAL_WEEKLY_RECURRENCE:
        return (double)at_least_one(COUNT(rule->by_day));
    case ICAL_MONTHLY_RECURRENCE:
        return names_days ? 31 : 1;
    case ICAL_YEARLY_RECURRENCE:
        return names_days ? 40 : (double)at_least_one(COUNT(rule->by_month));
    default:
        return 1;
    }
}

/* How many candidates libical tries for a rule in `seconds`. It has no limit of
 * its own: an hourly rule for 30 February keeps 3.0.16 busy for 14 s, a rule by
 * the minute for ever. */
static double steps_of(const struct icalrecurrencetype *rule, double seconds)
{
    double unit = DAY;
    double each = 1;
    switch (rule->freq) {
    case ICAL_SECONDLY_RECURRENCE:
        unit = rule->interval;
        break;
    case ICAL_MINUTELY_RECURRENCE:
        unit = MINUTE * (double)rule->interval;
        each = (double)at_least_one(COUNT(rule->by_second));
        break;
    case ICAL_HOURLY_RECURRENCE:
        unit = HOUR * (double)rule->interval;
        each =
            (double)(at_least_one(COUNT(rule->by_second)) * at_least_one(COUNT(rule->by_minute)));
        break;
    default:
        each = (double)(at_least_one(COUNT(rule->by_second)) *
                        at_least_one(COUNT(rule->by_minute)) * at_least_one(COUNT(rule->by_hour)));
        each *= days_tried(rule);
        unit = days_of_period(rule) * DAY * (double)rule->interval;
    }
    return (seconds / unit + 1) * each;
}

/* libical looks for a date of such a rule until the year 2582 (0.6 s each time). */
static bool never_in_its_months(const struct icalrecurrencetype *rule)
{
    static const int longest[12] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    int64_t months = COUNT(rule->by_month), days = COUNT(rule->by_month_day);
    if (months == 0 || days == 0)
        return false;
    for (int64_t m = 0; m < months; m++) {
        int month = rule->by_month[m] & 0xff;
        if (month < 1 || month > 12)
            return false; /* a leap month of another calendar scale */
        for (int64_t d = 0; d < days; d++) {
            int day = rule->by_month_day[d];
            if ((day < 0 ? -day : day) <= longest[month - 1])
                return false;
        }
    }
    return true;
}

static struct icaltimetype fields_of(bk_seconds wall)
{
    struct icaltimetype fields = icaltime_from_timet_with_zone((time_t)wall, 0, NULL);
    fields.zone = NULL;
    return fields;
}

/* Days from the week's first day (WKST) to a weekday; libical counts them from
 * Sunday = 1. */
static int day_of_week(const struct icalrecurrencetype *rule, int weekday)
{
    return (weekday - (int)rule->week_start + 7) % 7;
}

/* Every second week on Sundays, from a Thursday: 3.0.16 begins with the Sunday
 * before it, which by WKST=MO belongs to another week. It is right when it begins
 * on a day that the rule names, so the rule is begun on the first of those in
 * DTSTART's week; what lies before DTSTART is no occurrence. */
static struct icaltimetype begin_week(const struct icalrecurrencetype *rule,
                                      struct icaltimetype start)
{
    int64_t count = COUNT(rule->by_day);
    if (rule->freq != ICAL_WEEKLY_RECURRENCE || rule->interval < 2 || count == 0)
        return start;
    int first = 6, today = day_of_week(rule, icaltime_day_of_week(start));
    for (int64_t i = 0; i < count; i++) {
        int day = day_of_week(rule, (int)icalrecurrencetype_day_day_of_week(rule->by_day[i]));
        if (day < first)
            first = day;
    }
    icaltime_adjust(&start, first - today, 0, 0, 0);
    return start;
}

enum bk_rule_fault bk_rule_expand(bk_arena *arena, struct icalrecurrencetype rule,
                                  struct icaltimetype start, bk_seconds last, int64_t *steps_left,
                                  bk_wall_list *found)
{
    bk_seconds first;
    if (!bk_clock_seconds(start, &first) || rule.interval < 1 || never_in_its_months(&rule))
        return BK_RULE_MALFORMED;
    if (!icaltime_is_null_time(rule.until)) {
        bk_seconds until;
        if (!bk_clock_seconds(rule.until, &until))
            return BK_RULE_MALFORMED;
        /* A day's grace: UNTIL is in UTC or a date, the rule on a wall clock. */
        if (until + 2 * DAY < last)
            last = until + 2 * DAY;
    }
    if (last < first)
        return BK_RULE_FINE;
    double steps = steps_of(&rule, (double)(last - first));
    if (steps > (double)*steps_left)
        return BK_RULE_TOO_MANY;
    *steps_left -= (int64_t)steps;

    /* An end for libical's own search, and no zone: it counts on the wall. */
    rule.until = fields_of(last);
    rule.until.is_date = 0;
    start.zone = NULL;
    int left = rule.count > 0 ? rule.count : INT_MAX;
    rule.count = 0;
    icalrecur_iterator *iterator = icalrecur_iterator_new(rule, begin_week(&rule, start));
    if (!iterator)
        return BK_RULE_MALFORMED;
    size_t count = found->count;
    for (;;) {
        bk_seconds wall;
        struct icaltimetype next = icalrecur_iterator_next(iterator);
        if (icaltime_is_null_time(next) || !bk_clock_seconds(next, &wall) || wall > last)
            break;
        if (wall < first)
            continue;
        if (left-- == 0)
            break;
        *BK_PUSH(arena, found->items, found->count, found->room) = wall;
    }
    icalrecur_iterator_free(iterator);
    if (found->count == count)
        *steps_left -= BARREN_STEPS;
    return BK_RULE_FINE;
}
