/* Numbers in a cook's sentence. Private to this folder. */
#ifndef BK_SAFETY_SAID_H
#define BK_SAFETY_SAID_H

#include "base/base.h"

/* The hottest temperature that a text names with its unit ("to 74 C", "165 °F"), in degrees
 * Celsius; NAN when it names none. `text` may be NULL. */
double bk_said_celsius(const char *text);

/* The largest volume that a text names ("a 6-litre pot", "4 l", "2 gallons"), in litres; 0 when it
 * names none. `text` may be NULL. */
double bk_said_litres(const char *text);

#endif
