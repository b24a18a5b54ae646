#include "support/plan_text.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    (void)path;
    (void)most;
    (void)problem;
    *length = strlen(context);
    *text = bk_copy(arena, context, *length);
    return true;
}

static void fail_with(bk_arena *arena, const char *json, const bk_report *report)
{
    bk_text out = bk_text_new(arena);
    bk_text_addf(&out, "%s\n", json);
    for (size_t i = 0; i < report->count; i++)
        bk_message_write(&report->messages[i], &out);
    fail_msg("%s", out.data);
}

static bk_plan *read(bk_arena *arena, const char *json, const bk_read_options *options,
                     bk_report *report)
{
    bk_files files = {load, bk_copy_string(arena, json)};
    bk_plan *plan = bk_plan_read(arena, &files, "plan.json", options, report);
    if (!plan)
        fail_with(arena, json, report);
    return plan;
}

bk_plan *read_plan_text(bk_arena *arena, const char *json, const bk_read_options *options)
{
    bk_report report = bk_report_new(arena);
    return read(arena, json, options, &report);
}

/* One report for both, as in the library: the reader's warnings are the timeline's. */
bk_timeline *schedule_plan_text(bk_arena *arena, const char *json,
                                const bk_schedule_options *options)
{
    bk_report report = bk_report_new(arena);
    bk_plan *plan = read(arena, json, &(bk_read_options){0}, &report);
    bk_timeline *timeline = bk_schedule(arena, plan, options, &report);
    if (!timeline)
        fail_with(arena, json, &report);
    return timeline;
}
