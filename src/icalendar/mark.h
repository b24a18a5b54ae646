/* How an event of a calendar file is known as written here. */
#ifndef BK_ICALENDAR_MARK_H
#define BK_ICALENDAR_MARK_H

#include "base/base.h"

#include <libical/ical.h>

#define BK_ICS_PRODUCT "-//bakeset//bakeset//EN"

/* The property that carries the mark. */
#define BK_ICS_MARK "X-BAKESET-WRITTEN"

/* A hash, in hexadecimal, of what a person sees of an event: its times, words,
 * state and alarms. Servers and calendars that only store or re-order an event
 * leave it as it is. */
char *bk_ics_mark(bk_arena *arena, icalcomponent *event);

/* A property's value as text, unescaped; "" when there is none. */
const char *bk_ics_value(bk_arena *arena, icalcomponent *component, icalproperty_kind kind);

#endif
