/* Private to page: HTTP, by libmicrohttpd. */
#ifndef BK_PAGE_SERVER_H
#define BK_PAGE_SERVER_H

#include "page/request.h"

typedef struct bk_listener bk_listener;

enum {
    BK_MOST_CONNECTIONS = 256,
    BK_MOST_OF_ADDRESS = 64,
    BK_MOST_STRANGERS = 96, /* of the connections: those on which nobody came with a key */
    BK_MOST_STRANGERS_OF_ADDRESS = 32,
    BK_MOST_HEAD = 32 * 1024, /* bytes of a request's head */
    BK_MOST_ADDRESS = 4096,   /* bytes of what is asked for, as sent */
    BK_MOST_DISCARDED = 16 * 1024 * 1024,
    BK_SLOWEST = 30,        /* seconds for a whole request, and between two on one connection */
    BK_SLOWEST_STRANGER = 5 /* the same until somebody came with a key */
};

/* Listens at `address` (numeric; NULL: at this machine's own, of both kinds), at `port`, 0 for any;
 * *port is which. NULL with *problem. Nothing is answered before bk_listener_open. `page` is to
 * outlive it. */
bk_listener *bk_listener_new(bk_page *page, const char *address, uint16_t *port,
                             const char **problem);

/* page->guard is set: answers from now on. */
void bk_listener_open(bk_listener *server);

/* Ends connections on which a request takes too long to come; to be called now and then. */
void bk_listener_end_slow(bk_listener *server);

/* What is asked is still answered. Accepts NULL. */
void bk_listener_free(bk_listener *server);

#endif
