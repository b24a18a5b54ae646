/* The answer of a WebDAV server: 207 Multi-Status (RFC 4918 section 13). Private
 * to src/publish. */
#ifndef BK_PUBLISH_MULTISTATUS_H
#define BK_PUBLISH_MULTISTATUS_H

#include "publish/keep.h"

#include <stdbool.h>

/* One response, with what its propstats of status 200 say. */
typedef struct bk_dav_response {
    const char *href;     /* "" when it has none */
    const char *etag;     /* or NULL */
    const char *calendar; /* calendar-data, or NULL */
    bool is_calendar;     /* resourcetype has C:calendar */
    bool gone;            /* the server says that there is no such resource (404, 410) */
} bk_dav_response;

typedef struct bk_dav_responses {
    bk_dav_response *items;
    size_t count;
} bk_dav_responses;

enum { BK_MOST_RESPONSES = 100000, BK_DEEPEST_ELEMENT = 100 };

/* Adds what an answer says. Blanks round href, status and ETag are not part of them. Memory in
 * proportion to `length`. False, and why in *problem (a constant), when the text is no
 * multistatus, has a DOCTYPE (whose entities can grow without end), elements deeper than
 * BK_DEEPEST_ELEMENT or more responses than BK_MOST_RESPONSES. */
bool bk_multistatus_read(bk_keep *keep, const char *text, size_t length,
                         bk_dav_responses *responses, const char **problem);

#endif
