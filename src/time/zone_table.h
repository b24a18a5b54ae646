/* A zone as a table of periods with one offset each. Private to src/time. */
#ifndef BK_TIME_ZONE_TABLE_H
#define BK_TIME_ZONE_TABLE_H

#include "time/time.h"

/* From `start` until the next period's start the clock is `offset` minutes east
 * of UTC. */
typedef struct bk_period {
    bk_instant start;
    int offset;
    const char *abbreviation;
} bk_period;

/* Periods in order of start. The first has no beginning: its start is the
 * smallest instant. Never empty once read. */
typedef struct bk_zone_table {
    bk_arena *arena;
    bk_period *items;
    size_t count, room;
} bk_zone_table;

/* Adds a period that begins `seconds` after 1970-01-01T00:00Z. Whole minutes
 * are the project's grid: a change inside a minute takes effect at the next
 * one, an offset with seconds loses them. (No zone has either since 1980.) A
 * period no later than the last one replaces it. */
void bk_zone_table_add(bk_zone_table *table, int64_t seconds, int32_t offset_seconds,
                       const char *abbreviation);

/* Reads a TZif file (RFC 9636, versions 1 to 4) into an empty table that covers
 * the years of time.h and one more at each end. False when the bytes are not a
 * well-formed TZif file, or when it counts leap seconds. */
bool bk_tzif_read(bk_zone_table *table, const unsigned char *bytes, size_t length);

/* Adds the changes that a POSIX TZ string with the extensions of RFC 9636
 * section 3.3.1 ("GMT0BST,M3.5.0/1,M10.5.0") makes after `after` (seconds) until
 * the end of `last_year`. `text` need not end with NUL. False when the string is
 * malformed; an empty one adds nothing. */
bool bk_posix_rule_read(bk_zone_table *table, const char *text, size_t length, int64_t after,
                        int first_year, int last_year);

/* True for a name that can be an IANA zone's: letters, digits, "_+-" in parts
 * joined by "/"; none that leads out of the zone folder or to the machine's own
 * setting ("localtime"). */
bool bk_zone_name_valid(const char *name);

/* The folder of the system's zone data, without a final slash. */
const char *bk_zone_folder(void);

/* The instants, in order, at which the zone's clock shows `local` (minutes since
 * 1970-01-01T00:00 on that clock): 0 when a change skips it, 2 or more when it
 * is repeated. At most `most` are written; the number found is returned. With
 * none, *change becomes the instant of the change that skips it. */
size_t bk_zone_instants(const bk_zone *zone, int64_t local, bk_instant *found, size_t most,
                        bk_instant *change);

#endif
