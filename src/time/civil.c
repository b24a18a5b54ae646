/* Dates, weekdays and their English names. */
#include "time/calendar.h"

/* Day numbers follow H. Hinnant, "chrono-Compatible Low-Level Date Algorithms"
 * (2013): years begin on 1 March, so that the leap day is a year's last, and
 * repeat every era of 400 years = 146,097 days. */
enum { DAYS_AN_ERA = 146097, YEARS_AN_ERA = 400, DAYS_TO_1970 = 719468 };

static const int64_t furthest_day = (int64_t)DAYS_AN_ERA * 25;

int64_t bk_floor_divide(int64_t value, int64_t divisor, int64_t *remainder)
{
    int64_t quotient = value / divisor;
    int64_t rest = value % divisor;
    if (rest < 0) {
        rest += divisor;
        quotient--;
    }
    *remainder = rest;
    return quotient;
}

int64_t bk_day_number(int64_t year, int month, int day)
{
    if (month <= 2)
        year--;
    int64_t year_of_era;
    int64_t era = bk_floor_divide(year, YEARS_AN_ERA, &year_of_era);
    int64_t month_from_march = (month + 9) % 12;
    int64_t day_of_year = (153 * month_from_march + 2) / 5 + day - 1;
    int64_t day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return era * DAYS_AN_ERA + day_of_era - DAYS_TO_1970;
}

bk_civil bk_date_of_day(int64_t day)
{
    if (day > furthest_day)
        day = furthest_day;
    if (day < -furthest_day)
        day = -furthest_day;
    int64_t day_of_era;
    int64_t era = bk_floor_divide(day + DAYS_TO_1970, DAYS_AN_ERA, &day_of_era);
    int64_t year_of_era =
        (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
    int64_t day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    int64_t month_from_march = (5 * day_of_year + 2) / 153;
    bk_civil civil = {0};
    civil.day = (int)(day_of_year - (153 * month_from_march + 2) / 5 + 1);
    civil.month = (int)(month_from_march < 10 ? month_from_march + 3 : month_from_march - 9);
    civil.year = (int)(year_of_era + era * YEARS_AN_ERA + (civil.month <= 2 ? 1 : 0));
    return civil;
}

bool bk_leap_year(int64_t year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

int bk_days_in_month(int64_t year, int month)
{
    static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return month == 2 && bk_leap_year(year) ? 29 : days[month - 1];
}

int bk_weekday_of_day(int64_t day)
{
    int64_t weekday;
    bk_floor_divide(day + 3, 7, &weekday); /* 1970-01-01 was a Thursday */
    return (int)weekday;
}

int64_t bk_civil_minutes(bk_civil civil)
{
    return bk_day_number(civil.year, civil.month, civil.day) * BK_DAY + civil.hour * 60 +
           civil.minute;
}

bool bk_date_exists(int year, int month, int day)
{
    return month >= 1 && month <= 12 && day >= 1 && day <= bk_days_in_month(year, month);
}

bool bk_civil_valid(bk_civil civil)
{
    return civil.year >= BK_FIRST_YEAR && civil.year <= BK_LAST_YEAR &&
           bk_date_exists(civil.year, civil.month, civil.day) && civil.hour >= 0 &&
           civil.hour <= 23 && civil.minute >= 0 && civil.minute <= 59;
}

int bk_weekday(bk_civil civil)
{
    return bk_weekday_of_day(bk_day_number(civil.year, civil.month, civil.day));
}

const char *bk_weekday_name(int weekday)
{
    static const char *const names[7] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                         "Friday", "Saturday", "Sunday"};
    return weekday >= 0 && weekday < 7 ? names[weekday] : "";
}

const char *bk_month_name(int month)
{
    static const char *const names[12] = {"January",   "February", "March",    "April",
                                          "May",       "June",     "July",     "August",
                                          "September", "October",  "November", "December"};
    return month >= 1 && month <= 12 ? names[month - 1] : "";
}
