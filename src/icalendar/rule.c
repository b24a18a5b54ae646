/* Repeat rules (RFC 5545 section 3.3.10), gone through period by period: what the rule names in
 * a period is found day by day, and BYSETPOS takes from that. Where the RFC says that a part is
 * missing, DTSTART gives it. */
#include "icalendar/values.h"

#include <stdlib.h>
#include <string.h>

enum {
    MINUTE = 60,
    HOUR = 3600,
    DAY = 86400,
    WEEK = 7,
    THURSDAY = 3,   /* of 1970-01-01, from Monday = 0 */
    YEAR_COST = 40, /* steps that a year costs whose days are looked at */
    MONTH_COST = 31
};

/* A date in the ways that rules name it. */
typedef struct day {
    int64_t number;                       /* days since 1970-01-01 */
    int year, month, month_day, year_day; /* the last three from 1 */
    int month_length, year_length;
} day;

typedef struct expander {
    bk_arena *arena;
    const bk_rule *given;
    bk_rule rule; /* with what DTSTART gives */
    bk_seconds first, last;
    int64_t *steps_left;
    int64_t count_left;
    bk_wall_list period; /* instances of the period being gone through */
    bk_wall_list *found;
    bool done;
} expander;

/* ------------------------------------------------------------ dates */

static bool is_leap(int year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static int length_of_month(int year, int month)
{
    static const int lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return lengths[month - 1] + (month == 2 && is_leap(year));
}

static int64_t day_number(int year, int month, int month_day)
{
    return bk_civil_minutes((bk_civil){year, month, month_day, 0, 0}) / BK_DAY -
           (bk_civil_minutes((bk_civil){year, month, month_day, 0, 0}) % BK_DAY < 0);
}

static day day_of(int year, int month, int month_day)
{
    day d = {.number = day_number(year, month, month_day),
             .year = year,
             .month = month,
             .month_day = month_day,
             .month_length = length_of_month(year, month),
             .year_length = 365 + is_leap(year)};
    d.year_day = (int)(d.number - day_number(year, 1, 1)) + 1;
    return d;
}

static void step_day(day *d)
{
    d->number++;
    d->year_day++;
    if (d->month_day++ < d->month_length)
        return;
    *d = d->month < 12 ? day_of(d->year, d->month + 1, 1) : day_of(d->year + 1, 1, 1);
}

/* Forward, by any number of days. */
static void step_to(day *d, int64_t number)
{
    while (number - d->number > d->year_length)
        *d = day_of(d->year + 1, 1, 1);
    while (number > d->number) {
        int left = d->month_length - d->month_day + 1; /* to the first of the next month */
        if (number - d->number < left) {
            int by = (int)(number - d->number);
            d->number += by;
            d->year_day += by;
            d->month_day += by;
        } else
            *d = d->month < 12 ? day_of(d->year, d->month + 1, 1) : day_of(d->year + 1, 1, 1);
    }
}

static int weekday_of(int64_t number)
{
    int64_t weekday = (number + THURSDAY) % WEEK;
    return (int)(weekday < 0 ? weekday + WEEK : weekday);
}

/* ------------------------------------------------------------ is a day named? */

static bool has(const bk_number_list *list, int number)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->items[i] == number)
            return true;
    return false;
}

/* The list is empty, or has the number, counted from the front or from the end. */
static bool names(const bk_number_list *list, int number, int of)
{
    return list->count == 0 || has(list, number) || has(list, number - of - 1);
}

/* Day numbers of the first day of week 1 of a year: the first week with four of its days. */
static int64_t first_week(int year, int week_start)
{
    int64_t fourth = day_number(year, 1, 4);
    return fourth - (weekday_of(fourth) - week_start + WEEK) % WEEK;
}

static bool in_week(const bk_rule *rule, const day *d)
{
    if (rule->weeks.count == 0)
        return true;
    int year = d->year;
    if (d->number < first_week(year, rule->week_start))
        year--;
    else if (d->number >= first_week(year + 1, rule->week_start))
        year++;
    int64_t first = first_week(year, rule->week_start);
    int weeks = (int)(first_week(year + 1, rule->week_start) - first) / WEEK;
    return names(&rule->weeks, (int)(d->number - first) / WEEK + 1, weeks);
}

/* "2MO" is the second Monday of the month, or of the year; elsewhere the number says nothing. */
static bool on_weekday(const bk_rule *rule, const day *d)
{
    bool monthly =
        rule->frequency == BK_MONTHLY || (rule->frequency == BK_YEARLY && rule->months.count > 0);
    bool counted = monthly || rule->frequency == BK_YEARLY;
    int at = monthly ? d->month_day : d->year_day;
    int length = monthly ? d->month_length : d->year_length;
    for (size_t i = 0; i < rule->day_count; i++) {
        int ordinal = counted ? rule->days[i].ordinal : 0;
        if (rule->days[i].weekday == weekday_of(d->number) &&
            (ordinal == 0 || ordinal == (at - 1) / WEEK + 1 ||
             ordinal == -((length - at) / WEEK + 1)))
            return true;
    }
    return rule->day_count == 0;
}

static bool is_named(const bk_rule *rule, const day *d)
{
    return (rule->months.count == 0 || has(&rule->months, d->month)) &&
           names(&rule->month_days, d->month_day, d->month_length) &&
           names(&rule->year_days, d->year_day, d->year_length) && on_weekday(rule, d) &&
           in_week(rule, d);
}

/* ------------------------------------------------------------ instances */

static bool pay(expander *e, int64_t steps)
{
    *e->steps_left -= steps;
    return *e->steps_left >= 0;
}

static bool add(expander *e, bk_seconds wall)
{
    *BK_PUSH(e->arena, e->period.items, e->period.count, e->period.room) = wall;
    return pay(e, 1);
}

static int by_value(const void *left, const void *right)
{
    const bk_seconds *a = left, *b = right;
    return (*a > *b) - (*a < *b);
}

/* Takes over what the period gave. */
static void end_period(expander *e)
{
    bk_wall_list *p = &e->period;
    const bk_number_list *positions = &e->rule.positions;
    if (p->count > 1)
        qsort(p->items, p->count, sizeof *p->items, by_value);
    for (size_t i = 0; i < p->count && !e->done; i++) {
        int at = (int)i + 1, of = (int)p->count;
        bool twice = i > 0 && p->items[i] == p->items[i - 1];
        if (twice || !names(positions, at, of) || p->items[i] < e->first)
            continue;
        e->done = p->items[i] > e->last;
        if (!e->done)
            *BK_PUSH(e->arena, e->found->items, e->found->count, e->found->room) = p->items[i];
        e->done = e->done || --e->count_left == 0;
    }
    p->count = 0;
}

/* The times of a day, or of one hour or minute of it, that the rule names. */
static bool add_times(expander *e, bk_seconds midnight)
{
    const bk_rule *r = &e->rule;
    for (size_t h = 0; h < r->hours.count; h++)
        for (size_t m = 0; m < r->minutes.count; m++)
            for (size_t s = 0; s < r->seconds.count; s++)
                if (!add(e, midnight + r->hours.items[h] * (bk_seconds)HOUR +
                                r->minutes.items[m] * MINUTE + r->seconds.items[s]))
                    return false;
    return true;
}

/* `count` days from *d on; *d is then the day behind them. */
static bool add_days(expander *e, day *d, int64_t count)
{
    for (int64_t i = 0; i < count; i++, step_day(d))
        if (is_named(&e->rule, d) && !add_times(e, d->number * DAY))
            return false;
    return true;
}

static bool add_month(expander *e, int year, int month)
{
    const bk_rule *r = &e->rule;
    if (r->months.count > 0 && !has(&r->months, month))
        return true;
    day d = day_of(year, month, 1);
    return add_days(e, &d, d.month_length);
}

static bool add_year(expander *e, int year)
{
    for (int month = 1; month <= 12; month++)
        if (!add_month(e, year, month))
            return false;
    return true;
}

/* ------------------------------------------------------------ periods */

static bool names_days(const bk_rule *r)
{
    return r->day_count > 0 || r->month_days.count > 0 || r->year_days.count > 0 ||
           r->weeks.count > 0;
}

static bool by_years_or_months(expander *e, bk_date_time start)
{
    enum { LAST_YEAR = 9999 };
    bool yearly = e->rule.frequency == BK_YEARLY;
    int64_t cost = !names_days(e->given) ? 1 : yearly ? YEAR_COST : MONTH_COST;
    int64_t month = start.year * (int64_t)12 + start.month - 1;
    int64_t by = e->rule.interval * (int64_t)(yearly ? 12 : 1);
    for (; !e->done && month < (LAST_YEAR + 1) * (int64_t)12; month += by) {
        int year = (int)(month / 12), of_year = (int)(month % 12) + 1;
        if (day_number(year, yearly ? 1 : of_year, 1) * DAY > e->last)
            return true;
        if (!pay(e, cost) || !(yearly ? add_year(e, year) : add_month(e, year, of_year)))
            return false;
        end_period(e);
    }
    return true;
}

static bool by_weeks_or_days(expander *e, bk_date_time start)
{
    int64_t length = e->rule.frequency == BK_WEEKLY ? WEEK : 1;
    day d = day_of(start.year, start.month, start.day);
    if (length == WEEK) {
        /* The week begins before DTSTART, perhaps in the year before. */
        int back = (weekday_of(d.number) - e->rule.week_start + WEEK) % WEEK;
        int64_t number = d.number - back;
        d = day_of(start.year - 1, 1, 1);
        step_to(&d, number);
    }
    while (!e->done && d.number * DAY <= e->last) {
        int64_t next = d.number + length * e->rule.interval;
        if (!pay(e, 1) || !add_days(e, &d, length))
            return false;
        end_period(e);
        if (next * DAY > e->last)
            break;
        step_to(&d, next);
    }
    return true;
}

static bool by_hours_or_less(expander *e, bk_date_time start)
{
    const bk_rule *r = e->given;
    bk_rule *times = &e->rule;
    bk_seconds unit = r->frequency == BK_HOURLY ? HOUR : r->frequency == BK_MINUTELY ? MINUTE : 1;
    day d = day_of(start.year, start.month, start.day);
    int hour, minute, second;
    bk_seconds at = e->first - (e->first % unit + unit) % unit;
    for (; !e->done && at <= e->last; at += unit * r->interval) {
        if (!pay(e, 1))
            return false;
        step_to(&d, at / DAY - (at % DAY < 0));
        bk_seconds of_day = at - d.number * DAY;
        hour = (int)(of_day / HOUR);
        minute = (int)(of_day % HOUR / MINUTE);
        second = (int)(of_day % MINUTE);
        if ((r->hours.count > 0 && !has(&r->hours, hour)) ||
            (unit < HOUR && r->minutes.count > 0 && !has(&r->minutes, minute)) ||
            (unit < MINUTE && r->seconds.count > 0 && !has(&r->seconds, second)) ||
            !is_named(r, &d))
            continue;
        times->hours = (bk_number_list){&hour, 1, 1};
        if (unit < HOUR)
            times->minutes = (bk_number_list){&minute, 1, 1};
        if (unit < MINUTE)
            times->seconds = (bk_number_list){&second, 1, 1};
        if (!add_times(e, d.number * DAY))
            return false;
        end_period(e);
    }
    return true;
}

/* ------------------------------------------------------------ what DTSTART gives */

static void give(bk_arena *arena, bk_number_list *list, int number)
{
    if (list->count == 0)
        *BK_PUSH(arena, list->items, list->count, list->room) = number;
}

static void complete(bk_arena *arena, bk_rule *rule, bk_date_time start)
{
    if (start.is_date)
        rule->hours = rule->minutes = rule->seconds = (bk_number_list){0};
    give(arena, &rule->hours, start.hour);
    give(arena, &rule->minutes, start.minute);
    give(arena, &rule->seconds, start.second);
    bool only_weeks = rule->weeks.count > 0 && rule->day_count == 0 &&
                      rule->month_days.count == 0 && rule->year_days.count == 0;
    bool weekday = (rule->frequency == BK_WEEKLY && !names_days(rule)) ||
                   (rule->frequency == BK_YEARLY && only_weeks);
    if (weekday) {
        int64_t number = day_number(start.year, start.month, start.day);
        *BK_PUSH(arena, rule->days, rule->day_count, rule->day_room) =
            (bk_rule_day){0, weekday_of(number)};
    } else if (rule->frequency >= BK_MONTHLY && !names_days(rule)) {
        give(arena, &rule->month_days, start.day);
        if (rule->frequency == BK_YEARLY)
            give(arena, &rule->months, start.month);
    }
}

/* 30 February and the like. */
static bool never_in_its_months(const bk_rule *rule)
{
    if (rule->months.count == 0 || rule->month_days.count == 0)
        return false;
    for (size_t m = 0; m < rule->months.count; m++)
        for (size_t d = 0; d < rule->month_days.count; d++)
            if (abs(rule->month_days.items[d]) <= length_of_month(2000, rule->months.items[m]))
                return false;
    return true;
}

enum bk_rule_fault bk_rule_expand(bk_arena *arena, const bk_rule *rule, bk_date_time start,
                                  bk_seconds last, int64_t *steps_left, bk_wall_list *found)
{
    expander e = {.arena = arena,
                  .given = rule,
                  .rule = *rule,
                  .steps_left = steps_left,
                  .count_left = rule->count > 0 ? rule->count : INT64_MAX,
                  .found = found};
    bk_seconds until;
    if (!bk_clock_seconds(start, &e.first) || never_in_its_months(rule))
        return BK_RULE_MALFORMED;
    if (rule->has_until) {
        if (!bk_clock_seconds(rule->until, &until))
            return BK_RULE_MALFORMED;
        /* A day's grace: UNTIL is in UTC or a date, the rule on a wall clock. */
        if (until + 2 * DAY < last)
            last = until + 2 * DAY;
    }
    if (last < e.first)
        return BK_RULE_FINE;
    e.last = last;
    complete(arena, &e.rule, start);
    bool enough = rule->frequency >= BK_MONTHLY ? by_years_or_months(&e, start)
                  : rule->frequency >= BK_DAILY ? by_weeks_or_days(&e, start)
                                                : by_hours_or_less(&e, start);
    return enough ? BK_RULE_FINE : BK_RULE_TOO_MANY;
}
