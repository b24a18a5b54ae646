/* Temperatures and other decimals in words. Private to this folder. */
#ifndef BK_WRITE_WORDS_DEGREES_H
#define BK_WRITE_WORDS_DEGREES_H

#include "quantity/quantity.h"

/* `value` with at most `decimals` decimals, without zeros at the end and with a point
 * whatever the host's locale: "4", "20.3", "-18". */
char *bk_decimal(bk_arena *arena, double value, int decimals);

/* In the scale that the question is worded in: as a number; and "6 °C", "43 °F". */
double bk_on_scale(bk_units units, double celsius);
char *bk_celsius(bk_arena *arena, bk_units units, double celsius);

#endif
