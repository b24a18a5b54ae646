/* One request after another to one server, by libcurl. Private to src/publish. */
#ifndef BK_PUBLISH_HTTP_H
#define BK_PUBLISH_HTTP_H

#include "publish/publish.h"

typedef struct bk_http bk_http;

typedef struct bk_request {
    const char *method;      /* "PROPFIND" */
    const char *name;        /* of the resource in the collection; "" for the collection */
    const char *body, *type; /* or NULL */
    const char *headers[4];  /* further header lines, ends with NULL */
} bk_request;

typedef struct bk_answer {
    long status;         /* HTTP status; 0: none came */
    const char *problem; /* why none came, without secrets; NULL when one did */
    const char *text;
    size_t length;
    const char *moved_to; /* where a 3xx leads, without name, password and query; or NULL */
    long retry_after;     /* seconds that the server asks to wait; 0: it does not say */
} bk_answer;

/* A longer answer is refused. */
enum { BK_MOST_ANSWER = 16 * 1024 * 1024 };

/* NULL when libcurl does not start. */
bk_http *bk_http_open(bk_keep *keep, const bk_server_options *options);
void bk_http_close(bk_http *http);

/* The host of a URL, "" when it has none: "example.org", "[::1]". */
const char *bk_http_host(bk_keep *keep, const char *url);

/* An answer that would make all of them longer than BK_MOST_ANSWERS is none. */
bk_answer bk_http_send(bk_http *http, const bk_request *request);

#endif
