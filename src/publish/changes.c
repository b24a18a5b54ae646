/* What has to be done on the server. */
#include "publish/publish.h"

#include <string.h>

static const bk_resource *resource_of(const bk_resources *resources, const char *uid)
{
    for (size_t i = 0; i < resources->count; i++)
        if (resources->items[i].event && strcmp(resources->items[i].event->uid, uid) == 0)
            return &resources->items[i];
    return NULL;
}

/* What cannot be read has no UID: its name tells. */
static const bk_resource *broken_of(const bk_resources *resources, const char *name)
{
    for (size_t i = 0; i < resources->count; i++)
        if (!resources->items[i].event && strcmp(resources->items[i].name, name) == 0)
            return &resources->items[i];
    return NULL;
}

/* "0123456789abcdef-0123456789abcdef.ics": the UID without its "@…". */
static const char *new_name(bk_keep *keep, const char *uid)
{
    return bk_keep_text(keep, "%.*s.ics", (int)strcspn(uid, "@"), uid);
}

bk_changes bk_changes_of(bk_keep *keep, const bk_resources *resources,
                         const struct bakeset_event *const *wanted, const bk_changing *changing)
{
    bk_changes changes = {0};
    for (; *wanted; wanted++) {
        const struct bakeset_event *event = *wanted;
        const bk_resource *there = resource_of(resources, event->uid);
        if (!there && event->cancelled)
            continue;
        changes.items = bk_keep_more(keep, changes.items, changes.count, sizeof *changes.items);
        bk_change *change = &changes.items[changes.count++];
        *change = (bk_change){0};
        change->event = event;
        change->kind = BK_CHANGE_PUT;
        change->there = there;
        if (!there) {
            change->name = new_name(keep, event->uid);
            change->there = broken_of(resources, change->name);
            change->etag = change->there ? change->there->etag : NULL;
            if (change->there && (!changing->overwrites || !change->etag))
                change->kind = BK_CHANGE_BROKEN;
            continue;
        }
        change->name = there->name;
        change->etag = there->etag;
        if (event->cancelled &&
            (changing->deletes || bk_event_is_past(there->event, changing->now)))
            change->kind = BK_CHANGE_DELETE;
        else if (event->cancelled)
            change->kind = there->event->cancelled ? BK_CHANGE_GONE : BK_CHANGE_CANCEL;
        else if (event->sequence == there->event->sequence)
            change->kind = BK_CHANGE_NONE;
        bool changes_it = change->kind != BK_CHANGE_NONE && change->kind != BK_CHANGE_GONE;
        if (changes_it && !there->event->untouched && !changing->overwrites) {
            change->kind = BK_CHANGE_LEFT;
            change->event = there->event;
        }
    }
    return changes;
}
