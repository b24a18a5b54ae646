/* The answer of a WebDAV server: 207 Multi-Status (RFC 4918 section 13). Private
 * to src/publish. */
#ifndef BK_PUBLISH_MULTISTATUS_H
#define BK_PUBLISH_MULTISTATUS_H

#include "publish/keep.h"

#include <stdbool.h>

/* One response, with what its propstats of status 200 say. */
typedef struct bk_dav_response {
    const char *href;
    const char *etag;     /* or NULL */
    const char *calendar; /* calendar-data, or NULL */
    bool is_calendar;     /* resourcetype has C:calendar */
} bk_dav_response;

typedef struct bk_dav_responses {
    bk_dav_response *items;
    size_t count;
} bk_dav_responses;

/* False when the text is no multistatus. */
bool bk_multistatus_read(bk_keep *keep, const char *text, size_t length,
                         bk_dav_responses *responses);

#endif
