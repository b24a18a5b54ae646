/* A timeline to text, JSON, iCalendar, SVG and HTML: one file each. Knows
 * nothing of solving. Every function appends to `out` and cannot fail but for
 * memory (which jumps as the arena does).
 */
#ifndef BK_WRITE_H
#define BK_WRITE_H

#include "write/calendar/calendar.h"
#include "write/cooling/cooling.h"
#include "write/page/page.h"
#include "write/picture/picture.h"

/* Plan format section 8, one JSON object, two-space indented, ends with a newline. `day`: of a
 * day under way, its section 11; else NULL. */
void bk_write_json(const bk_timeline *timeline, const bk_day *day, bk_text *out);

#endif
