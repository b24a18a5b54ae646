#include "sample.h"

#include <stdio.h>
#include <stdlib.h>

static void add(FILE *out, const char *title, const char *text)
{
    fprintf(out, "== %s\n%s\n", title, text ? text : "(none)");
}

char *sample_all(bakeset *session, const char *plan)
{
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    if (!out)
        return NULL;
    fprintf(out, "read %d\n", (int)bakeset_read(session, plan, NULL));
    fprintf(out, "schedule %d\n", (int)bakeset_schedule(session, NULL));
    add(out, "text", bakeset_write(session, BAKESET_TEXT, NULL, NULL));
    add(out, "json", bakeset_write(session, BAKESET_JSON, NULL, NULL));
    add(out, "svg", bakeset_write(session, BAKESET_SVG, NULL, NULL));
    add(out, "html", bakeset_write(session, BAKESET_HTML, NULL, NULL));
    add(out, "ics", bakeset_write(session, BAKESET_ICS, NULL, NULL));
    add(out, "chart", bakeset_write(session, BAKESET_CHART, NULL, NULL));
    add(out, "why", bakeset_why(session, NULL, NULL, NULL, NULL));
    fprintf(out, "cooling %d\n", (int)bakeset_cooling_stage(session, NULL, NULL));
    add(out, "cooling", bakeset_write_cooling(session, BAKESET_TEXT, NULL, NULL));
    for (size_t i = 0; i < bakeset_message_count(session); i++)
        add(out, bakeset_message(session, i)->code, bakeset_message(session, i)->text);
    for (size_t i = 0; i < bakeset_source_count(session); i++)
        add(out, "source", bakeset_source(session, i));
    fprintf(out, "errors %zu\n", bakeset_error_count(session));
    fclose(out);
    return text;
}
