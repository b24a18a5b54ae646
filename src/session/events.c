/* The events of a calendar file, one by one. */
#include "session/session.h"

#include "icalendar/icalendar.h"

#include <string.h>

static const struct bakeset_event *const *split(bakeset *session, const bk_source *calendar,
                                                size_t *count)
{
    bk_shelf *shelf = &session->shelves[BK_SCHEDULING];
    bk_ics_events events = {0};
    bool good = bk_ics_split(shelf->arena, calendar, &events, &shelf->report);
    const struct bakeset_event **list =
        BK_NEW(shelf->arena, const struct bakeset_event *, events.count + 1);
    struct bakeset_event *all = BK_NEW(shelf->arena, struct bakeset_event, events.count);
    for (size_t i = 0; i < events.count; i++) {
        const bk_ics_event *event = &events.items[i];
        list[i] = &all[i];
        all[i] = (struct bakeset_event){.uid = event->uid,
                                        .start = event->seen.start,
                                        .summary = event->seen.summary,
                                        .sequence = event->sequence,
                                        .cancelled = event->seen.cancelled,
                                        .untouched = event->untouched,
                                        .text = event->text,
                                        .length = strlen(event->text),
                                        .marked = event->marked,
                                        .end = event->seen.end,
                                        .at = bk_ics_minute(event->seen.start),
                                        .stamp = event->stamp};
    }
    bk_session_finish(session, shelf, good ? BAKESET_OK : BAKESET_BAD_INPUT);
    if (good && count)
        *count = events.count;
    return good ? list : NULL;
}

static const struct bakeset_event *const *
write_events(bakeset *session, const struct bakeset_write_options *options, size_t *count)
{
    bk_source *calendar =
        BK_NEW(session->shelves[BK_SCHEDULING].arena, bk_source, 1); /* messages keep it */
    calendar->name = "the timeline";
    calendar->text = bk_session_write(session, BAKESET_ICS, options, &calendar->length);
    return calendar->text ? split(session, calendar, count) : NULL;
}

const struct bakeset_event *const *
bakeset_events(bakeset *session, const struct bakeset_write_options *options, size_t *count)
{
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_SCHEDULING]);
        return NULL;
    }
    return write_events(session, options, count);
}

const struct bakeset_event *const *bakeset_events_read(bakeset *session, const char *name,
                                                       const char *text, size_t length,
                                                       size_t *count)
{
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_SCHEDULING]);
        return NULL;
    }
    bk_arena *arena = session->shelves[BK_SCHEDULING].arena;
    bk_source *calendar = BK_NEW(arena, bk_source, 1);
    *calendar = (bk_source){bk_copy_string(arena, name), bk_copy(arena, text, length), length};
    return split(session, calendar, count);
}
