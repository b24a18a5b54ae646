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
    const char *moved_to; /* where a 3xx leads, or NULL */
} bk_answer;

enum { BK_MOST_ANSWER = 16 * 1024 * 1024 };

bk_http *bk_http_open(bk_keep *keep, const bk_server_options *options);
void bk_http_close(bk_http *http);
bk_answer bk_http_send(bk_http *http, const bk_request *request);

#endif
