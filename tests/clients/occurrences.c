/* For rules.py: the starts (minutes since 1970) of the busy times that each .ics
 * named as an argument gives in [FROM, TO). Usage: occurrences FROM TO FILE... */
#include "icalendar/icalendar.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

int main(int argc, char **argv)
{
    if (argc < 3)
        return 2;
    bk_instant from = strtoll(argv[1], NULL, 10), to = strtoll(argv[2], NULL, 10);
    for (int i = 3; i < argc; i++) {
        static char text[1 << 16];
        FILE *file = fopen(argv[i], "rb");
        if (file == NULL)
            return 3;
        size_t length = fread(text, 1, sizeof text - 1, file);
        fclose(file);
        text[length] = '\0';
        bk_arena *arena = bk_arena_new(NULL);
        bk_source source = {argv[i], text, length};
        bk_report report = bk_report_new(arena);
        bk_busy_events events = {0};
        const bk_zone *zone = bk_zone_open(arena, "UTC");
        if (!bk_busy_read(arena, &source, zone, from, to, &events, &report))
            printf("! %s", report.messages[0].text);
        for (size_t k = 0; k < events.count; k++)
            printf("%" PRId64 " ", events.items[k].from);
        putchar('\n');
        bk_arena_free(arena);
    }
    return 0;
}
