/* A timeline's events on a CalDAV server (RFC 4791), one resource an event.
 *
 * Only resources that this occasion wrote are read and changed: those whose name
 * begins with the occasion's UID prefix. Every change is conditional on the ETag
 * that was read, so that nobody's edit is overwritten unseen, and the state is
 * the server's alone: a publish that broke off is simply done again.
 *
 * The network is reached through libcurl; TLS is verified; nothing is followed
 * to another server. Names and passwords appear in no message.
 */
#ifndef BK_PUBLISH_H
#define BK_PUBLISH_H

#include "bakeset.h"
#include "publish/keep.h"

#include <stdbool.h>

typedef struct bk_server_options {
    const char *url;         /* of the calendar collection: https://, or http:// to this machine */
    const char *netrc;       /* path of a netrc file, or NULL */
    const char *login;       /* "name:password", or NULL */
    const char *authorities; /* file of certificates to trust, or NULL: the system's */
    int timeout;             /* seconds for one request; 0: 60 */
} bk_server_options;

typedef struct bk_server bk_server;

/* True when the URL may be used; else *problem says why not. */
bool bk_server_url_good(const char *url, const char **problem);

/* NULL, and why in *problem, when the URL may not be used or libcurl does not start.
 * Nothing is sent yet. Ends with bk_server_close. The session reads the events that the
 * server has. */
bk_server *bk_server_open(bk_keep *keep, const bk_server_options *options, bakeset *session,
                          const char **problem);
void bk_server_close(bk_server *server);

/* Why the last call was false: one line without its end, in which the server may have
 * put any bytes. NULL when the session has a message instead. */
const char *bk_server_problem(const bk_server *server);

/* One of the occasion's resources. */
typedef struct bk_resource {
    const char *name; /* last part of its path, as the server writes it */
    const char *etag;
    const struct bakeset_event *event;
} bk_resource;

typedef struct bk_resources {
    bk_resource *items;
    size_t count;
} bk_resources;

/* Reads the resources whose names begin with `prefix`. False when the server is not
 * reached, refuses, or has no calendar there. */
bool bk_server_read(bk_server *server, const char *prefix, bk_resources *resources);

/* ---------------------------------------------------------------- changes */

enum bk_change_kind {
    BK_CHANGE_PUT,    /* new, or written again */
    BK_CHANGE_DELETE, /* no longer wanted */
    BK_CHANGE_NONE,   /* the server has it as it should be */
    BK_CHANGE_LEFT    /* somebody else edited it: left as it is */
};

typedef struct bk_change {
    enum bk_change_kind kind;
    const char *name, *etag;           /* of the resource; etag NULL: it must not exist yet */
    const struct bakeset_event *event; /* what to write, or what is deleted or left */
    bool done;
} bk_change;

typedef struct bk_changes {
    bk_change *items;
    size_t count;
} bk_changes;

/* What turns the server's resources into the wanted events, which end with NULL. `wanted`
 * was written to replace what the server has (the text of its events together), so that cancelled
 * events are to be deleted and a SEQUENCE that is the server's means no change.
 * With `overwrite` events that somebody else edited are written or deleted too. */
bk_changes bk_changes_of(bk_keep *keep, const bk_resources *resources,
                         const struct bakeset_event *const *wanted, bool overwrite);

/* Does one change (PUT or DELETE) and sets `done`. False when it could not be done;
 * *reachable becomes false when it makes no sense to go on. */
bool bk_server_change(bk_server *server, bk_change *change, bool *reachable);

#endif
