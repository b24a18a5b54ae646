/* HTTP: requests in, answers out. One thread (of libmicrohttpd) reads and writes all connections;
 * what takes time is done by the threads of work.c, while its connection is suspended. */
#define _DEFAULT_SOURCE /* struct sockaddr_in6 with all its members */
#include "page/server.h"
#include "page/events.h"
#include "page/keys.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <time.h>

/* One connection, as long as it lives. */
typedef struct visit {
    struct bk_listener *server;
    int socket;
    int64_t since; /* seconds; a request is waited for */
    bool waiting;
    bool known;  /* a whole head with a key came on it (without keys: a whole head) */
    bool ending; /* it was shut */
    struct sockaddr_storage from;
    struct visit *next, **link;
} visit;

struct bk_listener {
    bk_page *page;
    struct MHD_Daemon *daemons[2];
    pthread_mutex_t lock; /* of the visits, and of `open` */
    pthread_cond_t opened;
    visit *visits;
    bool open;
};

/* One request. */
typedef struct call {
    bk_listener *server;
    struct MHD_Connection *connection;
    bool begun, answered, bad_address;
    char *body;
    size_t length, room, discarded;
    cJSON *json;
    bk_route *route;
    bk_request request;
    bk_answer answer;
} call;

static int64_t seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec;
}

/* ------------------------------------------------------------- connections */

static visit *visit_of(struct MHD_Connection *connection)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_SOCKET_CONTEXT);
    return info ? info->socket_context : NULL;
}

static void set_waiting(bk_listener *server, struct MHD_Connection *connection, bool waiting)
{
    visit *v = visit_of(connection);
    if (!v)
        return;
    pthread_mutex_lock(&server->lock);
    v->waiting = waiting;
    v->since = seconds();
    pthread_mutex_unlock(&server->lock);
}

/* On this one somebody came with a key. */
static void set_known(bk_listener *server, struct MHD_Connection *connection)
{
    visit *v = visit_of(connection);
    if (!v)
        return;
    pthread_mutex_lock(&server->lock);
    v->known = true;
    pthread_mutex_unlock(&server->lock);
}

/* With the lock. libmicrohttpd sees its end and closes it. */
static void shut(visit *v)
{
    v->ending = true;
    shutdown(v->socket, SHUT_RDWR);
}

static bool is_same_address(const struct sockaddr_storage *a, const struct sockaddr_storage *b)
{
    if (a->ss_family != b->ss_family)
        return false;
    if (a->ss_family == AF_INET)
        return ((const struct sockaddr_in *)a)->sin_addr.s_addr ==
               ((const struct sockaddr_in *)b)->sin_addr.s_addr;
    return memcmp(&((const struct sockaddr_in6 *)a)->sin6_addr,
                  &((const struct sockaddr_in6 *)b)->sin6_addr, sizeof(struct in6_addr)) == 0;
}

/* Nobody came with a key on it. */
static bool is_stranger(const visit *v)
{
    return !v->known && !v->ending;
}

/* With the lock. The strangers of that address; *oldest: which of them came first. */
static size_t count_of_address(const bk_listener *server, const struct sockaddr_storage *from,
                               visit **oldest)
{
    size_t count = 0;
    for (visit *v = server->visits; v; v = v->next) /* the newest is first */
        if (is_stranger(v) && is_same_address(&v->from, from)) {
            count++;
            *oldest = v;
        }
    return count;
}

/* With the lock. A new one came: of the strangers there stay so many, of its address and in all.
 * The one goes that came first of the address that has most: who comes alone, with a key that is
 * not read yet, is not among them. */
static void bound_strangers(bk_listener *server, const visit *fresh)
{
    visit *oldest = NULL, *first = NULL;
    size_t strangers = 0, most = 0;
    if (count_of_address(server, &fresh->from, &oldest) > BK_MOST_STRANGERS_OF_ADDRESS) {
        shut(oldest);
        return;
    }
    for (const visit *v = server->visits; v; v = v->next)
        strangers += is_stranger(v);
    if (strangers <= BK_MOST_STRANGERS)
        return;
    for (const visit *v = server->visits; v; v = v->next) {
        size_t count = is_stranger(v) ? count_of_address(server, &v->from, &oldest) : 0;
        if (count > 0 && count >= most) {
            most = count;
            first = oldest;
        }
    }
    if (first)
        shut(first);
}

static void begin_visit(bk_listener *server, struct MHD_Connection *connection, visit *v)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    if (!info)
        return;
    *v = (visit){.server = server, .socket = info->connect_fd, .since = seconds(), .waiting = true};
    info = MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    if (info && info->client_addr && info->client_addr->sa_family == AF_INET)
        memcpy(&v->from, info->client_addr, sizeof(struct sockaddr_in));
    else if (info && info->client_addr && info->client_addr->sa_family == AF_INET6)
        memcpy(&v->from, info->client_addr, sizeof(struct sockaddr_in6));
    pthread_mutex_lock(&server->lock);
    v->next = server->visits;
    v->link = &server->visits;
    if (v->next)
        v->next->link = &v->next;
    server->visits = v;
    bound_strangers(server, v);
    pthread_mutex_unlock(&server->lock);
}

static void on_connection(void *context, struct MHD_Connection *connection, void **kept,
                          enum MHD_ConnectionNotificationCode what)
{
    bk_listener *server = context;
    if (what == MHD_CONNECTION_NOTIFY_STARTED) {
        *kept = calloc(1, sizeof(visit));
        if (*kept)
            begin_visit(server, connection, *kept);
        return;
    }
    visit *v = *kept;
    *kept = NULL;
    if (!v)
        return;
    pthread_mutex_lock(&server->lock);
    if (v->link) {
        *v->link = v->next;
        if (v->next)
            v->next->link = v->link;
    }
    pthread_mutex_unlock(&server->lock);
    free(v);
}

void bk_listener_end_slow(bk_listener *server)
{
    int64_t now = seconds();
    pthread_mutex_lock(&server->lock);
    for (visit *v = server->visits; v; v = v->next)
        if (v->waiting && !v->ending &&
            now - v->since > (v->known ? BK_SLOWEST : BK_SLOWEST_STRANGER))
            shut(v);
    pthread_mutex_unlock(&server->lock);
}

/* ------------------------------------------------------------------ answers */

static void head(struct MHD_Response *response, const char *name, const char *value)
{
    MHD_add_response_header(response, name, value);
}

static const char csp[] =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; manifest-src 'self'; worker-src 'self'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'";

static void security_policy(struct MHD_Response *response, const bk_answer *answer)
{
    char own[300];
    snprintf(own, sizeof own,
             "default-src 'none'; style-src 'unsafe-inline'%s%s; base-uri 'none'; "
             "form-action 'none'; frame-ancestors 'none'",
             answer->script[0] ? "; script-src " : "", answer->script);
    head(response, "Content-Security-Policy", answer->own_style ? own : csp);
}

static void common_heads(struct MHD_Response *response)
{
    head(response, "X-Content-Type-Options", "nosniff");
    head(response, "Referrer-Policy", "no-referrer");
    head(response, "Cross-Origin-Opener-Policy", "same-origin");
    head(response, "Cross-Origin-Resource-Policy", "same-origin");
}

static struct MHD_Response *response_of(bk_answer *answer)
{
    if (!answer->text)
        return MHD_create_response_from_buffer(answer->length, (void *)(uintptr_t)answer->fixed,
                                               MHD_RESPMEM_PERSISTENT);
    struct MHD_Response *response =
        MHD_create_response_from_buffer(answer->length, answer->text, MHD_RESPMEM_MUST_FREE);
    if (response)
        answer->text = NULL; /* the response's now */
    return response;
}

static enum MHD_Result send_answer(call *c)
{
    bk_answer *answer = &c->answer;
    struct MHD_Response *response = response_of(answer);
    if (!response)
        return MHD_NO;
    common_heads(response);
    security_policy(response, answer);
    if (answer->type)
        head(response, "Content-Type", answer->type);
    if (answer->etag[0])
        head(response, "ETag", answer->etag);
    head(response, "Cache-Control", answer->etag[0] ? "no-cache" : "no-store");
    if (answer->etag[0])
        head(response, "Service-Worker-Allowed", "/");
    if (answer->attached)
        head(response, "Content-Disposition", answer->attached);
    if (answer->cookie[0])
        head(response, "Set-Cookie", answer->cookie);
    enum MHD_Result result = MHD_queue_response(c->connection, answer->status, response);
    MHD_destroy_response(response);
    return result;
}

/* ----------------------------------------------------------------- requests */

static const char *header(const call *c, const char *name)
{
    return MHD_lookup_connection_value(c->connection, MHD_HEADER_KIND, name);
}

static const char *argument(const call *c, const char *name)
{
    return MHD_lookup_connection_value(c->connection, MHD_GET_ARGUMENT_KIND, name);
}

static enum bk_method method_of(const char *name)
{
    static const struct {
        const char *name;
        enum bk_method method;
    } methods[] = {{"GET", BK_GET}, {"HEAD", BK_GET},    {"POST", BK_POST},
                   {"PUT", BK_PUT}, {"PATCH", BK_PATCH}, {"DELETE", BK_DELETE}};
    for (size_t i = 0; i < sizeof methods / sizeof *methods; i++)
        if (strcmp(name, methods[i].name) == 0)
            return methods[i].method;
    return BK_OTHER_METHOD;
}

static bool refuse(call *c, unsigned status, const char *code, const char *what, const char *mend)
{
    c->answered = true;
    bk_answer_error(&c->answer, status, code, what, mend);
    return false;
}

/* A phone that was let in; without keys, anybody. */
static bool is_known(const call *c)
{
    struct bk_keys *keys = c->server->page->keys;
    char cookie[BK_COOKIE_LENGTH + 1];
    return !keys || (bk_guard_cookie(header(c, "Cookie"), BK_COOKIE, cookie, sizeof cookie) &&
                     bk_keys_know(keys, cookie));
}

/* One that is known, or comes with a key to be. */
static bool has_key(call *c)
{
    c->request.known = is_known(c);
    if (c->request.known) {
        set_known(c->server, c->connection);
        return true;
    }
    return c->request.method == BK_GET && strncmp(c->request.path, "/k/", 3) == 0;
}

/* Scripts ask for anything, a browser that shows what comes for a page. */
static bool navigates(const call *c)
{
    const char *accept = header(c, "Accept");
    return c->request.method == BK_GET && accept && strstr(accept, "text/html");
}

/* By what stands in the head. False: it is answered with a no. */
static bool admit(call *c)
{
    const bk_page *page = c->server->page;
    const bk_request *request = &c->request;
    if (!bk_guard_host(&page->guard, header(c, "Host")))
        return refuse(c, 403, "host", "this is not the address of this page",
                      "open the address that bakeset page prints");
    if (!has_key(c)) {
        c->answered = true;
        bk_answer_no_key(&c->answer, c->request.navigates);
        return false;
    }
    if (c->bad_address)
        return refuse(c, 400, "address", "this address cannot be read", NULL);
    if (request->method == BK_GET)
        return true;
    if (request->method == BK_OTHER_METHOD)
        return refuse(c, 405, "method", "this cannot be asked of the page", NULL);
    if (!bk_guard_origin(&page->guard, header(c, "Origin")))
        return refuse(c, 403, "origin", "only the page itself changes something", NULL);
    if (request->method != BK_DELETE && !bk_guard_is_json(header(c, "Content-Type")))
        return refuse(c, 415, "content-type", "what is sent is to be application/json", NULL);
    const char *length = header(c, "Content-Length");
    if (length && (strlen(length) > 9 || atol(length) > BK_MOST_PAGE_BYTES))
        return refuse(c, 413, "too-big", "what is sent is larger than 1 MiB", NULL);
    return true;
}

static bool take(call *c, const char *bytes, size_t length)
{
    if (c->answered) {
        c->discarded += length;
        return c->discarded <= BK_MOST_DISCARDED;
    }
    if (c->length + length > BK_MOST_PAGE_BYTES) {
        refuse(c, 413, "too-big", "what is sent is larger than 1 MiB", NULL);
        return true;
    }
    if (c->length + length + 1 > c->room) {
        size_t room = 2 * (c->length + length + 1);
        char *body = realloc(c->body, room);
        if (!body)
            return false;
        c->body = body;
        c->room = room;
    }
    memcpy(c->body + c->length, bytes, length);
    c->length += length;
    c->body[c->length] = '\0';
    return true;
}

/* The body as an object; false: answered with a no. */
static bool read_body(call *c)
{
    enum bk_method method = c->request.method;
    if (method == BK_GET || method == BK_DELETE)
        return true;
    /* cJSON ends a text at a character 0, in silence */
    bool whole = c->body && strlen(c->body) == c->length && !strstr(c->body, "\\u0000");
    c->json = whole ? cJSON_ParseWithOpts(c->body, NULL, true) : NULL;
    if (!cJSON_IsObject(c->json))
        return refuse(c, 400, "json", "what was sent is no JSON object", NULL);
    c->request.json = c->json;
    return true;
}

static void answer(void *job)
{
    call *c = job;
    if (read_body(c)) {
        c->request.may_wait = true;
        c->route(c->server->page, &c->request, &c->answer);
        if (c->answer.status == 0)
            bk_answer_json(&c->answer, 500, NULL);
        c->answered = true;
    }
    MHD_resume_connection(c->connection);
}

static enum MHD_Result listen_to(call *c)
{
    struct MHD_Response *response = bk_events_listen(c->server->page->events, c->connection);
    if (!response) {
        refuse(c, 503, "busy", "too many listen", "close a page that nobody looks at");
        return send_answer(c);
    }
    common_heads(response);
    security_policy(response, &c->answer);
    head(response, "Content-Type", "text/event-stream; charset=utf-8");
    head(response, "Connection", "close"); /* nothing is asked behind it */
    head(response, "Cache-Control", "no-store");
    enum MHD_Result result = MHD_queue_response(c->connection, 200, response);
    MHD_destroy_response(response);
    return result;
}

/* All of the request is there. */
static enum MHD_Result work_on(call *c)
{
    bool quick = false;
    c->request.asked = bk_milliseconds();
    enum bk_queue queue;
    if (c->request.method == BK_GET && !c->request.head &&
        strcmp(c->request.path, "/api/events") == 0)
        return listen_to(c);
    c->route = bk_route_find(c->request.method, c->request.path, &quick, &queue);
    if (!c->route) {
        refuse(c, 404, "nothing", "there is nothing here", NULL);
        return send_answer(c);
    }
    /* the page itself comes all the same, to say so */
    if (strcmp(c->request.path, "/") != 0 && strncmp(c->request.path, "/site/", 6) != 0 &&
        bk_page_is_gone(c->server->page)) {
        refuse(c, 503, "gone", "the folder is gone", "put it back where it was");
        return send_answer(c);
    }
    if (quick) {
        c->route(c->server->page, &c->request, &c->answer);
        c->answered = c->answer.status != 0;
        if (c->answered)
            return send_answer(c);
    }
    MHD_suspend_connection(c->connection);
    if (!bk_work_add(c->server->page->work, queue, answer, c)) {
        refuse(c, 503, "busy", "too much is asked at a time", "try again in a moment");
        MHD_resume_connection(c->connection);
    }
    return MHD_YES;
}

static enum MHD_Result on_access(void *context, struct MHD_Connection *connection,
                                 const char *address, const char *method, const char *version,
                                 const char *bytes, size_t *length, void **kept)
{
    (void)context;
    (void)version;
    call *c = *kept;
    if (!c)
        return MHD_NO;
    if (!c->begun) {
        c->begun = true;
        c->connection = connection;
        c->request = (bk_request){.method = method_of(method),
                                  .head = strcmp(method, "HEAD") == 0,
                                  .path = address,
                                  .file = argument(c, "path"),
                                  .id = argument(c, "id"),
                                  .none_match = header(c, "If-None-Match")};
        c->request.navigates = navigates(c);
        /* a body that is not wanted is not asked for */
        return admit(c) || !header(c, "Expect") ? MHD_YES : send_answer(c);
    }
    if (*length > 0) {
        bool taken = take(c, bytes, *length);
        *length = 0;
        return taken ? MHD_YES : MHD_NO;
    }
    set_waiting(c->server, connection, false);
    return c->answered ? send_answer(c) : work_on(c);
}

/* An address as sent, before anything is decoded. */
static void *on_address(void *context, const char *address, struct MHD_Connection *connection)
{
    bk_listener *server = context;
    pthread_mutex_lock(&server->lock);
    while (!server->open)
        pthread_cond_wait(&server->opened, &server->lock);
    pthread_mutex_unlock(&server->lock);
    call *c = calloc(1, sizeof *c);
    if (!c)
        return NULL;
    c->server = server;
    c->connection = connection;
    c->bad_address = strlen(address) > BK_MOST_ADDRESS || strstr(address, "%00");
    return c;
}

static void on_completed(void *context, struct MHD_Connection *connection, void **kept,
                         enum MHD_RequestTerminationCode why)
{
    (void)why;
    call *c = *kept;
    *kept = NULL;
    set_waiting(context, connection, true);
    if (!c)
        return;
    cJSON_Delete(c->json);
    free(c->answer.text);
    free(c->body);
    free(c);
}

/* ------------------------------------------------------------------ listening */

typedef union address {
    struct sockaddr any;
    struct sockaddr_in four;
    struct sockaddr_in6 six;
} address;

/* False: it is no numeric address. */
static bool read_address(const char *text, uint16_t port, address *into)
{
    memset(into, 0, sizeof *into);
    if (inet_pton(AF_INET, text, &into->four.sin_addr) == 1) {
        into->four.sin_family = AF_INET;
        into->four.sin_port = htons(port);
        return true;
    }
    if (inet_pton(AF_INET6, text, &into->six.sin6_addr) != 1)
        return false;
    into->six.sin6_family = AF_INET6;
    into->six.sin6_port = htons(port);
    return true;
}

static struct MHD_Daemon *start(bk_listener *server, const address *at)
{
    unsigned flags = MHD_USE_AUTO | MHD_USE_INTERNAL_POLLING_THREAD | MHD_ALLOW_SUSPEND_RESUME |
                     (at->any.sa_family == AF_INET6 ? (unsigned)MHD_USE_IPv6 : 0u);
    return MHD_start_daemon(flags, 0, NULL, NULL, on_access, server, MHD_OPTION_SOCK_ADDR, &at->any,
                            MHD_OPTION_CONNECTION_LIMIT, (unsigned)BK_MOST_CONNECTIONS,
                            MHD_OPTION_PER_IP_CONNECTION_LIMIT, (unsigned)BK_MOST_OF_ADDRESS,
                            MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)BK_SLOWEST,
                            MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)BK_MOST_HEAD,
                            MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_NOTIFY_CONNECTION,
                            on_connection, server, MHD_OPTION_URI_LOG_CALLBACK, on_address, server,
                            MHD_OPTION_NOTIFY_COMPLETED, on_completed, server, MHD_OPTION_END);
}

static bool listen_at(bk_listener *server, int which, const char *text, uint16_t *port)
{
    address at;
    if (!read_address(text, *port, &at))
        return false;
    server->daemons[which] = start(server, &at);
    if (!server->daemons[which])
        return false;
    const union MHD_DaemonInfo *info =
        MHD_get_daemon_info(server->daemons[which], MHD_DAEMON_INFO_BIND_PORT);
    if (info)
        *port = info->port;
    return true;
}

bk_listener *bk_listener_new(bk_page *page, const char *at, uint16_t *port, const char **problem)
{
    bk_listener *server = calloc(1, sizeof *server);
    address ignored;
    *problem = "there is no memory";
    if (!server)
        return NULL;
    server->page = page;
    pthread_mutex_init(&server->lock, NULL);
    pthread_cond_init(&server->opened, NULL);
    *problem = at && !read_address(at, 0, &ignored) ? "it is no numeric address" : NULL;
    errno = 0;
    if (!*problem && listen_at(server, 0, at ? at : "127.0.0.1", port)) {
        if (!at) /* a machine without the other kind of address does without */
            listen_at(server, 1, "::1", port);
        return server;
    }
    if (!*problem)
        *problem = errno == EADDRINUSE      ? "something else listens there"
                   : errno == EADDRNOTAVAIL ? "this machine has no such address"
                   : errno == EACCES        ? "no permission"
                                            : "it cannot listen there";
    bk_listener_free(server);
    return NULL;
}

void bk_listener_open(bk_listener *server)
{
    pthread_mutex_lock(&server->lock);
    server->open = true;
    pthread_cond_broadcast(&server->opened);
    pthread_mutex_unlock(&server->lock);
}

void bk_listener_free(bk_listener *server)
{
    if (!server)
        return;
    bk_listener_open(server);
    for (int i = 0; i < 2; i++)
        if (server->daemons[i])
            MHD_quiesce_daemon(server->daemons[i]);
    atomic_store(&server->page->closing, true);
    bk_work_end(server->page->work);
    bk_events_close(server->page->events);
    for (int i = 0; i < 2; i++)
        if (server->daemons[i])
            MHD_stop_daemon(server->daemons[i]);
    pthread_cond_destroy(&server->opened);
    pthread_mutex_destroy(&server->lock);
    free(server);
}
