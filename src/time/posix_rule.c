/* The rule that goes on for ever: a POSIX TZ string (POSIX.1-2017 section 8.3)
 * with the wider hours of RFC 9636 section 3.3.1. Each small reader takes the
 * cursor and leaves it after what it read, or says false. */
#include "time/calendar.h"
#include "time/zone_table.h"

typedef struct cursor {
    const char *at, *end;
} cursor;

typedef struct rule_date {
    char form; /* 'J' day 1-365 without leap days, '0' day 0-365, 'M' month */
    int day;   /* for 'M' the weekday, 0 Sunday */
    int month, week;
    int32_t seconds; /* of local time after that day's midnight; may be negative */
} rule_date;

static bool at_digit(const cursor *c)
{
    return c->at < c->end && *c->at >= '0' && *c->at <= '9';
}

static bool take(cursor *c, char wanted)
{
    if (c->at >= c->end || *c->at != wanted)
        return false;
    c->at++;
    return true;
}

static bool read_number(cursor *c, int least, int most, int *value)
{
    if (!at_digit(c))
        return false;
    int sum = 0;
    while (at_digit(c)) {
        sum = sum * 10 + (*c->at++ - '0');
        if (sum > most)
            return false;
    }
    *value = sum;
    return sum >= least;
}

static bool is_letter(char c)
{
    return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

static char *read_name(bk_arena *arena, cursor *c)
{
    bool quoted = take(c, '<');
    const char *start = c->at;
    while (c->at < c->end && (quoted ? *c->at != '>' : is_letter(*c->at)))
        c->at++;
    size_t length = (size_t)(c->at - start);
    if (length == 0 || (quoted && !take(c, '>')))
        return NULL;
    return bk_copy(arena, start, length);
}

/* [+-]h[h[h]][:mm[:ss]] in seconds. */
static bool read_time(cursor *c, int most_hours, int32_t *seconds)
{
    bool negative = take(c, '-');
    if (!negative)
        take(c, '+');
    int hour, minute = 0, second = 0;
    if (!read_number(c, 0, most_hours, &hour))
        return false;
    if (take(c, ':')) {
        if (!read_number(c, 0, 59, &minute))
            return false;
        if (take(c, ':') && !read_number(c, 0, 59, &second))
            return false;
    }
    int32_t sum = hour * 3600 + minute * 60 + second;
    *seconds = negative ? -sum : sum;
    return true;
}

static bool read_date(cursor *c, rule_date *date)
{
    if (take(c, 'M')) {
        date->form = 'M';
        if (!read_number(c, 1, 12, &date->month) || !take(c, '.') ||
            !read_number(c, 1, 5, &date->week) || !take(c, '.') ||
            !read_number(c, 0, 6, &date->day))
            return false;
    } else if (take(c, 'J')) {
        date->form = 'J';
        if (!read_number(c, 1, 365, &date->day))
            return false;
    } else {
        date->form = '0';
        if (!read_number(c, 0, 365, &date->day))
            return false;
    }
    date->seconds = 2 * 3600;
    return !take(c, '/') || read_time(c, 167, &date->seconds);
}

static int64_t day_in_year(const rule_date *date, int year)
{
    int64_t january = bk_day_number(year, 1, 1);
    if (date->form == '0')
        return january + date->day;
    if (date->form == 'J')
        return january + date->day - 1 + (date->day >= 60 && bk_leap_year(year) ? 1 : 0);
    int64_t first = bk_day_number(year, date->month, 1);
    int wanted = (date->day + 6) % 7; /* POSIX counts from Sunday, we from Monday */
    int64_t day = first + (wanted - bk_weekday_of_day(first) + 7) % 7 + (date->week - 1) * 7;
    /* Week 5 means the last, which may be the fourth. */
    return day < first + bk_days_in_month(year, date->month) ? day : day - 7;
}

bool bk_posix_rule_read(bk_zone_table *table, const char *text, size_t length, int64_t after,
                        int first_year, int last_year)
{
    if (length == 0)
        return true;
    cursor c = {text, text + length};
    int32_t west;
    char *standard = read_name(table->arena, &c);
    if (!standard || !read_time(&c, 24, &west))
        return false;
    int32_t standard_offset = -west;
    if (c.at == c.end)
        return true; /* the last transition already leads to this offset */

    char *summer = read_name(table->arena, &c);
    if (!summer)
        return false;
    int32_t summer_offset = standard_offset + 3600;
    if (c.at < c.end && *c.at != ',') {
        if (!read_time(&c, 24, &west))
            return false;
        summer_offset = -west;
    }
    rule_date start, end;
    if (!take(&c, ',') || !read_date(&c, &start) || !take(&c, ',') || !read_date(&c, &end) ||
        c.at != c.end)
        return false;

    for (int year = first_year; year <= last_year; year++) {
        /* Each change is given in the local time that holds until then. */
        int64_t on = day_in_year(&start, year) * BK_SECONDS_A_DAY + start.seconds - standard_offset;
        int64_t off = day_in_year(&end, year) * BK_SECONDS_A_DAY + end.seconds - summer_offset;
        for (int turn = 0; turn < 2; turn++) {
            bool turns_on = (turn == 0) == (on < off);
            int64_t when = turns_on ? on : off;
            if (when > after)
                bk_zone_table_add(table, when, turns_on ? summer_offset : standard_offset,
                                  turns_on ? summer : standard);
        }
    }
    return true;
}
