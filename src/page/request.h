/* Private to page: one request, its answer, and what the routes share. */
#ifndef BK_PAGE_REQUEST_H
#define BK_PAGE_REQUEST_H

#include "page/folder.h"
#include "page/guard.h"
#include "page/page.h"
#include "page/work.h"

#include <cjson/cJSON.h>
#include <pthread.h>
#include <stdatomic.h>

struct bk_keys;
struct bk_kept;
struct bk_given;
struct bk_undo_set;
struct bk_known;
struct bk_undos;
struct bk_events;
struct bk_days;
struct bk_searches;

/* What all requests share. Each part has its own lock. */
typedef struct bk_page {
    const bk_page_options *options;
    int folder;  /* the same number for ever, also where the folder went and came again */
    char *where; /* its whole path */
    int64_t (*seconds)(void); /* of a clock that only goes on */
    bool tls;                 /* a proxy shows it by https */
    bk_guard guard;
    bk_work *work;
    struct bk_keys *keys;   /* NULL: this machine alone, without keys */
    struct bk_kept *kept;   /* answers that were made */
    struct bk_given *given; /* calendars that were given out */
    struct bk_known *known; /* what the folder's files are */
    struct bk_undos *undos;
    struct bk_events *events;
    struct bk_days *days;
    struct bk_searches *searches;
    atomic_bool closing;     /* it ends: nobody waits for what is not begun to be written */
    pthread_t looker;        /* who looks at the folder, and is woken by SIGUSR1 */
    pthread_mutex_t writing; /* a file is looked at and changed by one request at a time */
} bk_page;

enum bk_method { BK_GET, BK_POST, BK_PUT, BK_PATCH, BK_DELETE, BK_OTHER_METHOD };

typedef struct bk_request {
    enum bk_method method;
    const char *path;       /* decoded */
    const char *file;       /* the argument `path`, decoded; or NULL */
    const char *id;         /* the argument `id`; or NULL */
    bool head;              /* HEAD: asked as GET, but nothing is to come of it */
    const char *none_match; /* If-None-Match; or NULL */
    bool navigates;         /* a browser shows the answer as a page of its own */
    bool known;             /* by one who needs no key (any more) */
    const cJSON *json;      /* the body, an object; NULL: there is none */
    int64_t asked;          /* bk_milliseconds: when all of it had come */
    bool may_wait;          /* what has to be made may be made now; else see bk_route */
} bk_request;

typedef struct bk_answer {
    unsigned status;
    const char *type; /* fixed text */
    char *text;       /* malloc's; NULL with `fixed` */
    const char *fixed;
    size_t length;
    char etag[24];        /* "" where there is none */
    const char *attached; /* a name to keep it under, fixed text; or NULL */
    char cookie[200];     /* Set-Cookie; "" where there is none */
    bool own_style;       /* it brings styles of its own ... */
    char script[80];      /* ... and the script that has this digest, "'sha256-…'"; or "" */
} bk_answer;

/* A route's work: fills the answer, which is zeroed. Several run at the same time. One that reads
 * what was made leaves the answer's status 0 where that has to be made first and the request may
 * not wait: it is called again, from a queue, with one that may. */
typedef void bk_route(bk_page *page, const bk_request *request, bk_answer *answer);

/* ----------------------------------------------------------------- answers */

/* Takes `value` over; NULL, or where there is no memory: 500. */
void bk_answer_json(bk_answer *answer, unsigned status, cJSON *value);

void bk_answer_error(bk_answer *answer, unsigned status, const char *code, const char *what,
                     const char *mend);

/* What was sent is not what is asked for. */
void bk_answer_bad(bk_answer *answer, const char *what, const char *mend);

/* An error whose words are the session's first. */
void bk_answer_messages(bk_answer *answer, unsigned status, const char *code, bakeset *session);

/* The same with the file and the line before the words. */
void bk_answer_placed(bk_answer *answer, unsigned status, const char *code, bakeset *session);

/* The one answer to all who have no key, whatever they ask; where a person looks, a page. */
void bk_answer_no_key(bk_answer *answer, bool to_a_person);

/* Why the folder did not do it. */
void bk_answer_folder(bk_answer *answer, enum bk_folder_result result);

/* Text, copied; NULL: 500. */
void bk_answer_text(bk_answer *answer, const char *type, const char *text, size_t length);

/* The session's messages, as the contract has them. */
cJSON *bk_messages_json(bakeset *session);

/* Adds `text`, which is JSON, as it stands; NULL: null. */
void bk_add_raw(cJSON *object, const char *key, const char *text);

/* The text's value without comments, or null. `session` loses what it took in before. */
void bk_add_value(cJSON *object, bakeset *session, const char *name, const char *text,
                  size_t length);

/* A member that is a text; NULL: it is not there, or is none. */
const char *bk_text_of(const cJSON *object, const char *key);

/* A session; NULL after answering that there is no memory. */
bakeset *bk_answer_session(bk_answer *answer);

/* ------------------------------------------------------------------ routes */

/* NULL: there is no such thing. *quick: it is to be called at once, with a request that may not
 * wait; *queue: where it is called with one that may, when it was not or left its answer empty. */
bk_route *bk_route_find(enum bk_method method, const char *path, bool *quick, enum bk_queue *queue);

bk_route bk_route_pair;                                       /* pair.c */
bk_route bk_route_site, bk_route_index;                       /* site.c */
bk_route bk_route_folder;                                     /* known.c */
bk_route bk_route_file, bk_route_put, bk_route_patch;         /* files.c */
bk_route bk_route_undo;                                       /* undo.c */
bk_route bk_route_change;                                     /* change.c */
bk_route bk_route_check, bk_route_plan;                       /* plan.c */
bk_route bk_route_search, bk_route_give_up;                   /* search.c */
bk_route bk_route_publish;                                    /* publish.c */
bk_route bk_route_new;                                        /* begin.c */
bk_route bk_route_take_in;                                    /* takein.c */
bk_route bk_route_day, bk_route_say;                          /* day.c */
bk_route bk_route_sheet, bk_route_picture, bk_route_calendar; /* sheets.c */

/* Of a clock that only goes on. */
int64_t bk_milliseconds(void);

/* The folder was removed. */
bool bk_page_is_gone(const bk_page *page);

/* Has the folder looked at, now: something was changed. */
void bk_page_look(bk_page *page);

/* -------------------------------------------------------------------- files */

/* The file becomes `text`, NULL: it is removed. `was`: the version that it has to be, NULL: it must
 * not be there. Answers with what came of it: what it is now, or why not. */
void bk_change_file(bk_page *page, const char *path, const char *was, const char *text,
                    size_t length, bk_answer *answer);

/* The name of an occasion stays while its evening is under way: the journal goes by it. False after
 * answering. */
bool bk_may_become(bk_page *page, const char *path, const bk_file *before, const char *text,
                   size_t length, bk_answer *answer);

/* Files become again what they were, all or none. */
void bk_change_back(bk_page *page, const struct bk_undo_set *set, bk_answer *answer);

/* What is wrong with a file, by itself. */
cJSON *bk_file_messages(bakeset *session, const char *path, const char *text, size_t length);

/* It is not what was meant to be changed: what it is now. `fresh`: it was to be a new one. */
void bk_answer_changed(bakeset *session, const char *path, const bk_file *file, bool fresh,
                       bk_answer *answer);

/* The file's text as a patch changes it; it lives in the session. NULL after answering. */
const char *bk_patched(bakeset *session, const bk_file *before, const char *patch, size_t *length,
                       bk_answer *answer);

#endif
