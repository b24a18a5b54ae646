/* Comparing numbers in the tests of heat. */
#ifndef TEST_CLOSE_H
#define TEST_CLOSE_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

/* |value - wanted| <= within; says which numbers when not (NAN is never close). */
#define assert_close(value, wanted, within)                                                        \
    do {                                                                                           \
        double value_ = (value), wanted_ = (wanted), within_ = (within);                           \
        if (!(fabs(value_ - wanted_) <= within_)) {                                                \
            print_error("%s = %.9g, wanted %.9g within %.3g\n", #value, value_, wanted_, within_); \
            fail();                                                                                \
        }                                                                                          \
    } while (0)

#endif
