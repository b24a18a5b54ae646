/* A timeline's events on a CalDAV server (RFC 4791), one resource an event.
 *
 * Only resources that occasions of this name wrote are read, and only those of this one
 * changed: those whose name begins with its UID prefix. Every change is conditional on the ETag
 * that was read, so that nobody's edit is overwritten unseen, and the state is
 * the server's alone: a publish that broke off is simply done again.
 *
 * The network is reached through libcurl; TLS is verified; nothing is followed
 * to another server. A name and password appear in no message, also where the server
 * sends them back; nor does what a terminal would obey.
 */
#ifndef BK_PUBLISH_H
#define BK_PUBLISH_H

#include "bakeset.h"
#include "publish/keep.h"

#include <stdbool.h>

typedef struct bk_login {
    const char *name, *password; /* "" where there is none */
} bk_login;

typedef struct bk_server_options {
    const char *url;         /* of the calendar collection: https://, or http:// to this machine */
    const bk_login *login;   /* or NULL */
    const char *authorities; /* file or folder of certificates to trust alone, or NULL: the
                                system's. A folder's files are named as OpenSSL looks for them */
    int timeout;             /* seconds for one request; 0: 60 */
} bk_server_options;

typedef struct bk_server bk_server;

/* True when the URL may be used; else *problem says why not. */
bool bk_server_url_good(const char *url, const char **problem);

/* Fills *login for the URL's host from the netrc file at path `netrc`, or, where that is NULL,
 * from `pair`, "name:password". False, and why in *problem, when the file cannot be read, can be
 * read by everybody, is longer than 64 KiB or has nothing for this host. */
bool bk_server_login(bk_keep *keep, const char *url, const char *netrc, const char *pair,
                     bk_login *login, const char **problem);

/* NULL, and why in *problem, when the URL may not be used or libcurl does not start.
 * Nothing is sent yet. Ends with bk_server_close. `session` is the server's alone: it reads the
 * events that the server has, and its messages hold what the server sent. */
bk_server *bk_server_open(bk_keep *keep, const bk_server_options *options, bakeset *session,
                          const char **problem);
void bk_server_close(bk_server *server);

/* Text that may have come from the server, as it may be shown: the password and what a terminal
 * obeys (ECMA-48 controls, marks that turn the direction of writing) replaced. */
char *bk_server_shown(const bk_server *server, const char *text);

/* Why the last call was false: one line without its end, as it may be shown. */
const char *bk_server_problem(const bk_server *server);

/* One of the occasion's resources. */
typedef struct bk_resource {
    const char *name;                  /* last part of its path, as the server writes it */
    const char *etag;                  /* or NULL, when it cannot be used */
    const char *text;                  /* as the server gave it, or NULL */
    const struct bakeset_event *event; /* NULL: it cannot be read */
    const char *problem;               /* event NULL: why, as it may be shown */
} bk_resource;

typedef struct bk_resources {
    bk_resource *items;
    size_t count;
} bk_resources;

/* What UIDs of one occasion begin with, "0123456789abcdef-". */
enum { BK_PREFIX_LENGTH = 17 };

/* One occasion of the plan's name on the server. */
typedef struct bk_occasion {
    const char *prefix;
    bk_resources resources;
} bk_occasion;

typedef struct bk_occasions {
    bk_occasion *items;
    size_t count;
} bk_occasions;

/* Most occasions of one name, most resources of one of them, and most bytes of all answers of one
 * publish. */
enum { BK_MOST_OCCASIONS = 50, BK_MOST_RESOURCES = 5000, BK_MOST_ANSWERS = 64 * 1024 * 1024 };

/* Reads the occasions that have a step of the plan, whose events end with NULL: those whose
 * resources are named as these but for what the UIDs begin with; and of each of them all. A
 * resource that cannot be read stands among them and stops nothing. False when the server is not
 * reached, refuses, has no calendar there, or sends too much. */
bool bk_server_read(bk_server *server, const struct bakeset_event *const *events,
                    bk_occasions *occasions);

/* --------------------------------------------------------------- occasions */

/* Which of the occasions on the server the plan's is. */
enum bk_which {
    BK_WHICH_NONE,  /* none of them: it is new there */
    BK_WHICH_FOUND, /* *index: its steps are at most a day from the plan's */
    BK_WHICH_MOVED, /* *index: not so, and it is still to come: perhaps this one, moved */
    BK_WHICH_MANY   /* several such */
};

/* `fresh` are the plan's events, as written anew now. An occasion that is past by their stamp is
 * another one. */
enum bk_which bk_occasion_which(const bk_occasions *occasions,
                                const struct bakeset_event *const *fresh, size_t *index);

/* It is over at `now`, "20261128T120000Z"; a whole day, when that day is. */
bool bk_event_is_past(const struct bakeset_event *event, const char *now);

/* Its last event, NULL where it has none that can be read. */
const struct bakeset_event *bk_occasion_last(const bk_occasion *occasion);

/* ---------------------------------------------------------------- changes */

enum bk_change_kind {
    BK_CHANGE_PUT,    /* new, or written again */
    BK_CHANGE_CANCEL, /* no longer wanted: written again as cancelled, without its alarm */
    BK_CHANGE_DELETE, /* cancelled, and past; or no longer wanted */
    BK_CHANGE_NONE,   /* the server has it as it should be */
    BK_CHANGE_GONE,   /* it is cancelled there, as it should be */
    BK_CHANGE_LEFT,   /* somebody else edited it: left as it is */
    BK_CHANGE_BROKEN, /* what the server has there cannot be read: left as it is, and not done */
    BK_CHANGE_KINDS
};

typedef struct bk_change {
    enum bk_change_kind kind;
    const char *name, *etag;           /* of the resource; etag NULL: it must not exist yet */
    const struct bakeset_event *event; /* what to write, or what is deleted or left */
    const bk_resource *there;          /* what the server has, or NULL */
    bool done;
} bk_change;

typedef struct bk_changes {
    bk_change *items;
    size_t count;
} bk_changes;

/* What turns the server's resources into the wanted events, which end with NULL. `wanted`
 * was written to replace what the server has (the text of its events together), so that events
 * that are no longer wanted are among them, cancelled, and a SEQUENCE that is the server's means
 * no change.
 *
 * What is no longer wanted is cancelled, not deleted: some servers refuse an event that was
 * deleted there for as long as it is in a bin, and it may come back. What is past is deleted,
 * and where so asked all of it. */
typedef struct bk_changing {
    const char *now; /* "20261128T120000Z" */
    bool overwrites; /* events that somebody else edited are changed too */
    bool deletes;
} bk_changing;

bk_changes bk_changes_of(bk_keep *keep, const bk_resources *resources,
                         const struct bakeset_event *const *wanted, const bk_changing *changing);

/* Does one change (PUT, CANCEL or DELETE) and sets `done`. False when it could not be done;
 * *reachable becomes false when it makes no sense to go on. */
bool bk_server_change(bk_server *server, bk_change *change, bool *reachable);

#endif
