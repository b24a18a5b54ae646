/* Fuzz target: calendar files, read for busy hours and taken apart into events.
 *
 *   clang -std=c11 -D_POSIX_C_SOURCE=200809L -g -O1 -fsanitize=fuzzer,address,undefined -Isrc \
 *     tests/fuzz/fuzz_calendar.c LIBRARY -lcjson -lunistring -lm
 *
 * Without a fuzzing engine link replay.c (runs files) or mutate.c. Whatever is
 * read must keep the promises of icalendar/icalendar.h. */
#include "emptied.h"

#include "icalendar/icalendar.h"
#include "write/write.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool promise)
{
    if (!promise)
        abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const bk_instant from = 29945280, to = from + 14 * BK_DAY; /* 2026-12-08T00:00Z */
    bk_arena *arena = emptied_arena(NULL);
    bk_source source = {"fuzz.ics", bk_copy(arena, (const char *)data, size), size};
    bk_report report = bk_report_new(arena);
    bk_busy_events busy = {0};
    const bk_zone *zone = bk_zone_open(arena, "Europe/London");
    bool good = bk_busy_read(arena, &source, zone, from, to, &busy, &report);
    must(good == (report.errors == 0));
    must(good || busy.count == 0);
    must(busy.count <= BK_MOST_BUSY);
    for (size_t i = 0; i < busy.count; i++) {
        const bk_busy_event *event = &busy.items[i];
        must(from <= event->from && event->from < event->to && event->to <= to);
        must(i == 0 || busy.items[i - 1].from <= event->from);
        must(event->summary != NULL && strchr(event->summary, '\n') == NULL);
        must(event->place.source == &source && event->place.offset < size);
    }
    bk_ics_events events = {0};
    bk_report second = bk_report_new(arena);
    if (bk_ics_split(arena, &source, &events, &second)) {
        bk_text joined = bk_text_new(arena);
        for (size_t i = 0; i < events.count; i++)
            bk_text_add(&joined, events.items[i].text);
        bk_source again = {"again.ics", joined.data, joined.length};
        bk_ics_events same = {0};
        /* What was taken apart is a calendar again, if there was an event in it. */
        must(events.count == 0 || bk_ics_split(arena, &again, &same, &second));
        must(same.count == events.count);
    }
    return 0;
}
