/* Private to page: server-sent events, to all who listen. */
#ifndef BK_PAGE_EVENTS_H
#define BK_PAGE_EVENTS_H

#include <cjson/cJSON.h>
#include <microhttpd.h>
#include <stdbool.h>

enum { BK_MOST_LISTENERS = 64, BK_MOST_UNHEARD = 1024 * 1024 };

struct bk_events;

struct bk_events *bk_events_new(void);

/* After all their responses are destroyed. */
void bk_events_free(struct bk_events *events);

/* The response of one that listens from now on, on that connection; NULL: too many do. One that
 * does not take what is sent is ended at BK_MOST_UNHEARD bytes; a browser then asks again. */
struct MHD_Response *bk_events_listen(struct bk_events *events, struct MHD_Connection *connection);

/* To all. Takes `data` over; NULL: {}. */
void bk_events_send(struct bk_events *events, const char *name, cJSON *data);

/* A line that says nothing, by which a connection that is dead is found out. */
void bk_events_keep_alive(struct bk_events *events);

bool bk_events_heard(struct bk_events *events);

/* Ends all that listen now. */
void bk_events_end(struct bk_events *events);

/* Ends all that listen, and lets nobody in. */
void bk_events_close(struct bk_events *events);

#endif
