/* Reads instants and daily windows as a cook writes them. */
#include "time/time.h"

#include <string.h>

/* Exactly `digits` digits at *at; moves *at behind them. */
static bool read_digits(const char **at, int digits, int *value)
{
    int sum = 0;
    for (int i = 0; i < digits; i++) {
        char c = (*at)[i];
        if (c < '0' || c > '9')
            return false;
        sum = sum * 10 + (c - '0');
    }
    *at += digits;
    *value = sum;
    return true;
}

static bool take(const char **at, char wanted)
{
    if (**at != wanted)
        return false;
    (*at)++;
    return true;
}

static bool read_date(const char **at, bk_civil *civil)
{
    return read_digits(at, 4, &civil->year) && take(at, '-') && read_digits(at, 2, &civil->month) &&
           take(at, '-') && read_digits(at, 2, &civil->day);
}

bool bk_date_read(const char *text, bk_civil *date)
{
    *date = (bk_civil){0};
    return read_date(&text, date) && *text == '\0' && bk_civil_valid(*date);
}

/* "HH:MM" or "HH:MM:00". */
static bool read_clock(const char **at, bk_civil *civil)
{
    int seconds = 0;
    if (!read_digits(at, 2, &civil->hour) || !take(at, ':') || !read_digits(at, 2, &civil->minute))
        return false;
    return !take(at, ':') || (read_digits(at, 2, &seconds) && seconds == 0);
}

/* "Z", "+HH:MM" or "-HH:MM" in minutes east of UTC. */
static bool read_offset(const char **at, int *offset)
{
    *offset = 0;
    if (take(at, 'Z'))
        return true;
    bool east = take(at, '+');
    int hour, minute;
    if ((!east && !take(at, '-')) || !read_digits(at, 2, &hour) || !take(at, ':') ||
        !read_digits(at, 2, &minute) || hour > 23 || minute > 59)
        return false;
    *offset = (east ? 1 : -1) * (hour * 60 + minute);
    return true;
}

static bool is_real_date(const bk_civil *civil)
{
    return bk_date_exists(civil->year, civil->month, civil->day) && civil->hour <= 23 &&
           civil->minute <= 59;
}

enum bk_instant_error bk_instant_read(const bk_zone *zone, const char *text, bk_instant *instant,
                                      bool *repeated)
{
    bk_civil civil = {0};
    if (repeated)
        *repeated = false;
    if (!read_date(&text, &civil) || (!take(&text, ' ') && !take(&text, 'T')) ||
        !read_clock(&text, &civil))
        return BK_INSTANT_FORM;
    bool has_offset = *text != '\0';
    int offset = 0;
    if (has_offset && (!read_offset(&text, &offset) || *text != '\0'))
        return BK_INSTANT_FORM;
    if (!is_real_date(&civil))
        return BK_INSTANT_DATE;
    if (!bk_civil_valid(civil))
        return BK_INSTANT_RANGE;

    if (has_offset) {
        *instant = bk_civil_minutes(civil) - offset;
        return BK_INSTANT_OK;
    }
    enum bk_civil_kind kind;
    *instant = bk_instant_of(zone, civil, &kind);
    if (repeated)
        *repeated = kind == BK_CIVIL_REPEATED;
    return kind == BK_CIVIL_SKIPPED ? BK_INSTANT_SKIPPED : BK_INSTANT_OK;
}

static bool read_minute_of_day(const char **at, int *minute)
{
    bk_civil civil = {0};
    if (!read_digits(at, 2, &civil.hour) || !take(at, ':') || !read_digits(at, 2, &civil.minute) ||
        civil.minute > 59)
        return false;
    *minute = civil.hour * 60 + civil.minute;
    return *minute <= BK_DAY;
}

bool bk_hour_read(const char *text, int *minute)
{
    bool one_digit = text[0] != '\0' && text[1] == ':';
    char padded[8] = "0";
    if (strlen(text) > 5)
        return false;
    strcpy(padded + one_digit, text);
    const char *at = padded;
    return read_minute_of_day(&at, minute) && *at == '\0' && *minute < BK_DAY;
}

bool bk_daily_read(const char *text, int *from, int *to)
{
    int start, end;
    if (!read_minute_of_day(&text, &start) || !take(&text, '-') ||
        !read_minute_of_day(&text, &end) || *text != '\0' || start == BK_DAY)
        return false;
    end %= BK_DAY;
    *from = start;
    *to = end;
    return start != end;
}
