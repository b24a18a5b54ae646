/* One line of the journal: an entry as JSON, and back. Private to src/day. */
#ifndef BK_DAY_ENTRY_H
#define BK_DAY_ENTRY_H

#include "day/journal.h"
#include "json/json.h"

/* Reads a line that is an object, which need not outlive it; false after reporting.
 * `before`: an entry of the same arena, whose words it may share; or NULL. */
bool bk_entry_read(bk_arena *arena, const bk_json *line, const bk_day_entry *before,
                   bk_day_entry *entry, bk_report *report);

/* Writes the line, with its end. */
void bk_entry_write(const bk_zone *zone, const bk_day_entry *entry, bk_text *out);

/* The same for the first line. */
bool bk_first_line_read(bk_arena *arena, const bk_json *line, bk_journal *journal,
                        bk_report *report);
void bk_first_line_write(const bk_zone *zone, bk_instant begun, const char *occasion, bk_text *out);

#endif
