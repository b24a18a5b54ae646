/* What has to be done on the server. */
#include "publish/publish.h"

#include <string.h>

static const bk_resource *resource_of(const bk_resources *resources, const char *uid)
{
    for (size_t i = 0; i < resources->count; i++)
        if (strcmp(resources->items[i].event.uid, uid) == 0)
            return &resources->items[i];
    return NULL;
}

/* "0123456789abcdef-0123456789abcdef.ics": the UID without its "@…". */
static const char *new_name(bk_arena *arena, const char *uid)
{
    return bk_format(arena, "%.*s.ics", (int)strcspn(uid, "@"), uid);
}

bk_changes bk_changes_of(bk_arena *arena, const bk_resources *resources,
                         const bk_ics_events *wanted, bool overwrite)
{
    bk_changes changes = {0};
    for (size_t i = 0; i < wanted->count; i++) {
        const bk_ics_event *event = &wanted->items[i];
        const bk_resource *there = resource_of(resources, event->uid);
        if (there == NULL && event->cancelled)
            continue;
        bk_change *change = BK_PUSH(arena, changes.items, changes.count, changes.room);
        change->event = event;
        change->kind = BK_CHANGE_PUT;
        if (there == NULL) {
            change->name = new_name(arena, event->uid);
            continue;
        }
        change->name = there->name;
        change->etag = there->etag;
        if (event->cancelled)
            change->kind = BK_CHANGE_DELETE;
        else if (event->sequence == there->event.sequence)
            change->kind = BK_CHANGE_NONE;
        if (change->kind != BK_CHANGE_NONE && !there->event.untouched && !overwrite) {
            change->kind = BK_CHANGE_LEFT;
            change->event = &there->event;
        }
    }
    return changes;
}
