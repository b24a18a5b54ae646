/* Calendar files (RFC 5545), read: the hours that they say are taken, and the events of
 * one that was written before; and the form of the lines that are written.
 */
#ifndef BK_ICALENDAR_H
#define BK_ICALENDAR_H

#include "icalendar/busy.h"
#include "icalendar/content.h"
#include "icalendar/events.h"

#endif
