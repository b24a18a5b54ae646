/* The proleptic Gregorian calendar as day numbers. Private to src/time. */
#ifndef BK_TIME_CALENDAR_H
#define BK_TIME_CALENDAR_H

#include "time/time.h"

enum { BK_SECONDS_A_DAY = 86400 };

/* Days since 1970-01-01 of a date. Any year that fits in 32 bits; month 1-12;
 * a day past the month's end counts on into the next. */
int64_t bk_day_number(int64_t year, int month, int day);

/* The date of a day number; hour and minute are 0. Days further than 10,000
 * years from 1970 are drawn in to that limit, so that a year always fits. */
bk_civil bk_date_of_day(int64_t day);

/* 28-31; month 1-12. */
int bk_days_in_month(int64_t year, int month);

bool bk_leap_year(int64_t year);

/* Quotient and remainder with 0 <= remainder < divisor, for divisor > 0. */
int64_t bk_floor_divide(int64_t value, int64_t divisor, int64_t *remainder);

/* 0 Monday .. 6 Sunday. */
int bk_weekday_of_day(int64_t day);

#endif
