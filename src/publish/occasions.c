/* Which of the occasions on a server is the plan's. */
#include "publish/publish.h"

#include <string.h>

enum { DAY = 1440 };

/* A date is past when its day is. */
static bool is_before(const char *time, const char *now)
{
    return strncmp(time, now, strlen(time)) < 0;
}

bool bk_event_is_past(const struct bakeset_event *event, const char *now)
{
    return is_before(event->start, now) && (event->end[0] == '\0' || is_before(event->end, now));
}

static bool is_past(const bk_occasion *occasion, const char *now)
{
    for (size_t i = 0; i < occasion->resources.count; i++) {
        const struct bakeset_event *event = occasion->resources.items[i].event;
        if (event && !bk_event_is_past(event, now))
            return false;
    }
    return true;
}

static const struct bakeset_event *event_of(const bk_occasion *occasion, const char *step)
{
    for (size_t i = 0; i < occasion->resources.count; i++) {
        const struct bakeset_event *event = occasion->resources.items[i].event;
        if (event && strcmp(event->uid + strlen(occasion->prefix), step) == 0)
            return event;
    }
    return NULL;
}

/* How far the last step that both have is from where the plan has it, in minutes; INT64_MAX where
 * they have none that can be read. */
static int64_t distance(const bk_occasion *occasion, const struct bakeset_event *const *fresh)
{
    int64_t last = INT64_MIN, far = INT64_MAX;
    for (; *fresh; fresh++) {
        const struct bakeset_event *there = event_of(occasion, (*fresh)->uid + BK_PREFIX_LENGTH);
        if (!there || there->at == INT64_MIN || (*fresh)->at < last)
            continue;
        last = (*fresh)->at;
        far = there->at > last ? there->at - last : last - there->at;
    }
    return far;
}

enum bk_which bk_occasion_which(const bk_occasions *occasions,
                                const struct bakeset_event *const *fresh, size_t *index)
{
    enum bk_which which = BK_WHICH_NONE;
    int64_t nearest = INT64_MAX;
    for (size_t i = 0; i < occasions->count; i++) {
        const bk_occasion *occasion = &occasions->items[i];
        int64_t far = distance(occasion, fresh);
        bool own = strncmp(occasion->prefix, fresh[0]->uid, BK_PREFIX_LENGTH) == 0;
        /* Where nothing tells how far it is, the name that has the date does. */
        bool here = far <= DAY || (far == INT64_MAX && own);
        if (here && (which != BK_WHICH_FOUND || own || far < nearest)) {
            which = BK_WHICH_FOUND;
            nearest = own ? -1 : far;
            *index = i;
        } else if (which != BK_WHICH_FOUND && !here && !is_past(occasion, fresh[0]->stamp)) {
            which = which == BK_WHICH_NONE ? BK_WHICH_MOVED : BK_WHICH_MANY;
            *index = i;
        }
    }
    return which;
}

const struct bakeset_event *bk_occasion_last(const bk_occasion *occasion)
{
    const struct bakeset_event *last = NULL;
    for (size_t i = 0; i < occasion->resources.count; i++) {
        const struct bakeset_event *event = occasion->resources.items[i].event;
        if (event && event->at != INT64_MIN && (!last || event->at > last->at))
            last = event;
    }
    return last;
}
