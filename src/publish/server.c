/* Reading and changing an occasion's resources on a CalDAV server (RFC 4791). */
#include "publish/http.h"
#include "publish/multistatus.h"
#include "publish/shown.h"

#include <curl/curl.h>
#include <stdio.h>
#include <string.h>

/* How many resources one REPORT asks for. */
enum { BATCH = 100, LONGEST_NAME = 200, LONGEST_ETAG = 500 };

/* A shorter password is found in any text. */
enum { SHORTEST_SECRET = 3 };

struct bk_server {
    bk_keep *keep;
    bk_http *http;
    bakeset *session;
    const char *url;
    const char *secret; /* the password, or NULL */
    const char *problem;
};

bk_server *bk_server_open(bk_keep *keep, const bk_server_options *options, bakeset *session,
                          const char **problem)
{
    if (!bk_server_url_good(options->url, problem))
        return NULL;
    *problem = "libcurl does not start";
    if (curl_global_init(CURL_GLOBAL_DEFAULT) != CURLE_OK)
        return NULL;
    bk_server *server = bk_keep_room(keep, sizeof *server);
    *server = (bk_server){.keep = keep,
                          .session = session,
                          .url = bk_keep_text(keep, "%s", options->url),
                          .http = bk_http_open(keep, options)};
    if (options->login && strlen(options->login->password) >= SHORTEST_SECRET)
        server->secret = options->login->password;
    if (!server->http) {
        curl_global_cleanup();
        return NULL;
    }
    *problem = NULL;
    return server;
}

char *bk_server_shown(const bk_server *server, const char *text)
{
    return bk_shown(server->keep, text, server->secret);
}

const char *bk_server_problem(const bk_server *server)
{
    return bk_server_shown(server, server->problem);
}

void bk_server_close(bk_server *server)
{
    if (!server)
        return;
    bk_http_close(server->http);
    curl_global_cleanup();
}

/* What a status means to the person who publishes. */
static const char *meaning(long status)
{
    switch (status) {
    case 301:
    case 302:
    case 307:
    case 308:
        return "the calendar has moved";
    case 401:
        return "the server does not accept the name and password";
    case 403:
        return "the server does not allow it";
    case 404:
    case 410:
        return "there is no calendar at this address";
    case 405:
    case 501:
        return "this is not a CalDAV server";
    case 409:
        return "the server finds a conflict: the event may be in this calendar already, imported "
               "from a file";
    case 412:
        return "somebody else changed it in this moment";
    case 423:
        return "the calendar is locked, somebody else is writing to it";
    case 429:
        return "the server wants fewer requests";
    case 413:
    case 507:
        return "the server has no room for it";
    default:
        return status >= 500 ? "the server failed" : "the server refused";
    }
}

/* "; try again in 2 min", when the server said how long to wait. */
static const char *when_again(bk_keep *keep, long seconds)
{
    enum { MINUTE = 60, HOUR = 3600 };
    if (seconds <= 0)
        return "";
    if (seconds <= 2 * MINUTE)
        return bk_keep_text(keep, "; try again in %ld s", seconds);
    if (seconds <= 2 * HOUR)
        return bk_keep_text(keep, "; try again in %ld min", (seconds + MINUTE - 1) / MINUTE);
    return bk_keep_text(keep, "; try again in %ld h", (seconds + HOUR - 1) / HOUR);
}

static bool fail(bk_server *server, const bk_answer *answer, const char *what)
{
    bk_keep *keep = server->keep;
    const char *where = bk_keep_text(keep, "%s: %s", server->url, what);
    if (answer->problem)
        server->problem = bk_keep_text(keep, "%s: %s", where, answer->problem);
    else
        server->problem = bk_keep_text(
            keep, "%s: %s (status %ld)%s%s%s", where, meaning(answer->status), answer->status,
            !answer->moved_to ? "" : "; give ", !answer->moved_to ? "" : answer->moved_to,
            when_again(keep, answer->retry_after));
    return false;
}

/* ----------------------------------------------------------------- reading */

static const char *last_part(const char *href)
{
    const char *slash = strrchr(href, '/');
    return !slash ? href : slash + 1;
}

/* A name that can stand behind the collection's address as it is. */
static bool is_plain_name(const char *name)
{
    static const char allowed[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789"
                                  "-._~%@+=,";
    size_t length = strlen(name);
    return length > 0 && length <= LONGEST_NAME && strspn(name, allowed) == length &&
           strcmp(name, ".") != 0 && strcmp(name, "..") != 0;
}

static bool has_prefix(const char *text, const char *prefix)
{
    return strncmp(text, prefix, strlen(prefix)) == 0;
}

/* Text for XML, of which five characters cannot stand for themselves; in text and between
 * tags three of them matter. */
static char *escaped(bk_keep *keep, const char *text)
{
    enum { LONGEST = 5 };
    char *out = bk_keep_room(keep, LONGEST * strlen(text) + 1), *at = out;
    for (; *text != '\0'; text++) {
        const char *entity = *text == '&'   ? "&amp;"
                             : *text == '<' ? "&lt;"
                             : *text == '>' ? "&gt;"
                                            : NULL;
        size_t length = !entity ? 1 : strlen(entity);
        memcpy(at, !entity ? text : entity, length);
        at += length;
    }
    return out;
}

static bool ask(bk_server *server, const char *method, const char *depth, const char *body,
                bk_dav_responses *responses)
{
    static const char *const what = "reading the calendar";
    bk_request request = {
        .method = method, .name = "", .body = body, .type = "application/xml", .headers = {depth}};
    bk_answer answer = bk_http_send(server->http, &request);
    if (answer.status != 207)
        return fail(server, &answer, what);
    const char *problem = NULL;
    if (bk_multistatus_read(server->keep, answer.text, answer.length, responses, &problem))
        return true;
    server->problem = bk_keep_text(server->keep, "%s: %s: %s", server->url, what, problem);
    return false;
}

static const char properties[] =
    "<?xml version=\"1.0\" encoding=\"utf-8\"?>"
    "<propfind xmlns=\"DAV:\"><prop><resourcetype/><getetag/></prop></propfind>";

static bool is_calendar(bk_server *server)
{
    bk_dav_responses self = {0};
    if (!ask(server, "PROPFIND", "Depth: 0", properties, &self))
        return false;
    if (self.count == 1 && self.items[0].is_calendar)
        return true;
    server->problem = bk_keep_text(server->keep,
                                   "%s: there is no calendar at this address; give the address of "
                                   "a calendar, not of an account",
                                   server->url);
    return false;
}

static bool list(bk_server *server, bk_dav_responses *all)
{
    return is_calendar(server) && ask(server, "PROPFIND", "Depth: 1", properties, all);
}

/* A resource's name is that of a step of the plan, of whatever occasion of its name. */
static bool is_step(const char *name, const struct bakeset_event *const *events)
{
    size_t prefix = strspn(name, "0123456789abcdef");
    if (prefix != BK_PREFIX_LENGTH - 1 || name[prefix] != '-')
        return false;
    for (; *events; events++) {
        const char *step = (*events)->uid + BK_PREFIX_LENGTH;
        size_t length = strcspn(step, "@");
        if (strncmp(name + BK_PREFIX_LENGTH, step, length) == 0 &&
            strcmp(name + BK_PREFIX_LENGTH + length, ".ics") == 0)
            return true;
    }
    return false;
}

static bool is_known(const bk_occasions *occasions, const char *name)
{
    for (size_t i = 0; i < occasions->count; i++)
        if (has_prefix(name, occasions->items[i].prefix))
            return true;
    return false;
}

/* Which occasions are there, by the names of their resources. */
static bool find_occasions(bk_server *server, const bk_dav_responses *all,
                           const struct bakeset_event *const *events, bk_occasions *occasions)
{
    bk_keep *keep = server->keep;
    for (size_t i = 0; i < all->count; i++) {
        const char *name = last_part(all->items[i].href);
        if (!is_step(name, events) || is_known(occasions, name))
            continue;
        if (occasions->count == BK_MOST_OCCASIONS) {
            server->problem =
                bk_keep_text(keep, "%s: this calendar has more than %d occasions of this name",
                             server->url, (int)BK_MOST_OCCASIONS);
            return false;
        }
        occasions->items =
            bk_keep_more(keep, occasions->items, occasions->count, sizeof *occasions->items);
        occasions->items[occasions->count++] =
            (bk_occasion){.prefix = bk_keep_bytes(keep, name, BK_PREFIX_LENGTH)};
    }
    return true;
}

/* Those whose names begin with `prefix`. */
static bool pick(bk_server *server, const bk_dav_responses *all, const char *prefix,
                 bk_dav_responses *ours)
{
    for (size_t i = 0; i < all->count; i++) {
        const char *name = last_part(all->items[i].href);
        if (!has_prefix(name, prefix) || !is_plain_name(name))
            continue;
        if (ours->count == BK_MOST_RESOURCES) {
            server->problem = bk_keep_text(
                server->keep, "%s: this calendar has more than %d events of the occasion",
                server->url, (int)BK_MOST_RESOURCES);
            return false;
        }
        ours->items = bk_keep_more(server->keep, ours->items, ours->count, sizeof *ours->items);
        ours->items[ours->count++] = all->items[i];
    }
    return true;
}

/* An entity tag (RFC 9110 section 8.8.3), which goes into a header: printable, on one line. Some
 * servers leave its quotes out. */
static bool is_etag(const char *etag)
{
    size_t length = !etag ? 0 : strlen(etag);
    for (size_t i = 0; i < length; i++)
        if ((unsigned char)etag[i] <= ' ' || etag[i] == 0x7f)
            return false;
    return length > 0 && length <= LONGEST_ETAG;
}

static const char *first_message(const bakeset *session, size_t from)
{
    const struct bakeset_message *message = bakeset_message(session, from);
    return !message ? "it cannot be read" : message->what;
}

/* What the server says of one resource, into *resource. False when it holds another occasion's
 * event, or several. */
static bool read_resource(bk_server *server, const bk_dav_response *response, const char *prefix,
                          bk_resource *resource)
{
    size_t count = 0, messages = bakeset_message_count(server->session);
    if (!is_etag(response->etag))
        resource->problem = "the server gives no usable ETag for it";
    else if (!response->calendar)
        resource->problem = "the server does not give its text";
    if (is_etag(response->etag))
        resource->etag = response->etag;
    if (resource->problem)
        return true;
    resource->text = response->calendar;
    const struct bakeset_event *const *events = bakeset_events_read(
        server->session, resource->name, response->calendar, strlen(response->calendar), &count);
    if (!events)
        resource->problem = bk_server_shown(server, first_message(server->session, messages));
    else if (count == 1 && has_prefix(events[0]->uid, prefix))
        resource->event = events[0];
    return !events || resource->event;
}

static const bk_dav_response *response_of(const bk_dav_responses *found, const char *name)
{
    for (size_t i = 0; i < found->count; i++)
        if (strcmp(last_part(found->items[i].href), name) == 0)
            return &found->items[i];
    return NULL;
}

/* Asks for up to BATCH resources, from `first` on. */
static const char *multiget(bk_keep *keep, const bk_dav_responses *ours, size_t first)
{
    size_t last = ours->count - first > BATCH ? first + BATCH : ours->count;
    const char **hrefs = bk_keep_room(keep, (last - first) * sizeof *hrefs);
    static const char begin[] = "<?xml version=\"1.0\" encoding=\"utf-8\"?>"
                                "<C:calendar-multiget xmlns=\"DAV:\" "
                                "xmlns:C=\"urn:ietf:params:xml:ns:caldav\">"
                                "<prop><getetag/><C:calendar-data/></prop>";
    static const char end[] = "</C:calendar-multiget>", tags[] = "<href></href>";
    size_t length = sizeof begin + sizeof end;
    for (size_t i = first; i < last; i++) {
        hrefs[i - first] = escaped(keep, ours->items[i].href);
        length += strlen(hrefs[i - first]) + sizeof tags;
    }
    char *body = bk_keep_room(keep, length), *at = body;
    at += sprintf(at, "%s", begin);
    for (size_t i = first; i < last; i++)
        at += sprintf(at, "<href>%s</href>", hrefs[i - first]);
    sprintf(at, "%s", end);
    return body;
}

static bool read_occasion(bk_server *server, const bk_dav_responses *all, bk_occasion *occasion)
{
    bk_keep *keep = server->keep;
    bk_resources *resources = &occasion->resources;
    bk_dav_responses ours = {0}, found = {0};
    if (!pick(server, all, occasion->prefix, &ours))
        return false;
    for (size_t i = 0; i < ours.count; i++) {
        const bk_dav_response nothing = {.href = ""};
        if (i % BATCH == 0) {
            found = (bk_dav_responses){0};
            if (!ask(server, "REPORT", "Depth: 1", multiget(keep, &ours, i), &found))
                return false;
        }
        bk_resource resource = {.name = last_part(ours.items[i].href)};
        const bk_dav_response *response = response_of(&found, resource.name);
        if (response && response->gone)
            continue; /* somebody deleted it meanwhile */
        if (!read_resource(server, !response ? &nothing : response, occasion->prefix, &resource))
            continue;
        resources->items =
            bk_keep_more(keep, resources->items, resources->count, sizeof *resources->items);
        resources->items[resources->count++] = resource;
    }
    return true;
}

bool bk_server_read(bk_server *server, const struct bakeset_event *const *events,
                    bk_occasions *occasions)
{
    bk_dav_responses all = {0};
    bool good = list(server, &all) && find_occasions(server, &all, events, occasions);
    for (size_t i = 0; good && i < occasions->count; i++)
        good = read_occasion(server, &all, &occasions->items[i]);
    return good;
}

/* ---------------------------------------------------------------- changing */

static bool is_done(const bk_change *change, long status)
{
    bool gone = change->kind == BK_CHANGE_DELETE && (status == 404 || status == 410);
    return gone || (status >= 200 && status < 300);
}

/* True when the resource is what this PUT was to write: its answer got lost, and
 * libcurl, which tries again on a new connection, met its own work. */
static bool is_there_already(bk_server *server, const bk_change *change)
{
    bk_request request = {.method = "GET", .name = change->name, .headers = {NULL}};
    bk_answer answer = bk_http_send(server->http, &request);
    size_t count = 0;
    const struct bakeset_event *const *events =
        answer.status != 200 ? NULL
                             : bakeset_events_read(server->session, change->name, answer.text,
                                                   answer.length, &count);
    if (count != 1)
        return false;
    const struct bakeset_event *there = events[0];
    return there->untouched && there->sequence == change->event->sequence &&
           strcmp(there->uid, change->event->uid) == 0 &&
           strcmp(there->start, change->event->start) == 0 &&
           strcmp(there->summary, change->event->summary) == 0;
}

static bool same_but_returns(const char *a, const char *b)
{
    for (;; a++, b++) {
        a += strspn(a, "\r");
        b += strspn(b, "\r");
        if (*a != *b)
            return false;
        if (*a == '\0')
            return true;
    }
}

/* True when the resource has the text that was read before. */
static bool is_as_it_was(bk_server *server, const bk_change *change)
{
    bk_request request = {.method = "GET", .name = change->name, .headers = {NULL}};
    bk_answer answer = bk_http_send(server->http, &request);
    return answer.status == 200 && change->there && change->there->text &&
           same_but_returns(answer.text, change->there->text);
}

static bk_answer send_change(bk_server *server, const bk_change *change, const char *condition)
{
    bool put = change->kind != BK_CHANGE_DELETE;
    bk_request request = {.method = put ? "PUT" : "DELETE",
                          .name = change->name,
                          .body = put ? change->event->text : NULL,
                          .type = put ? "text/calendar" : NULL,
                          .headers = {condition}};
    return bk_http_send(server->http, &request);
}

/* A new event was refused, and there is none. */
static bool is_in_a_bin(bk_server *server, const bk_change *change, long status)
{
    if (status != 400 && status != 403 && status != 409 && status != 412)
        return false;
    bk_request request = {.method = "GET", .name = change->name, .headers = {NULL}};
    long there = bk_http_send(server->http, &request).status;
    return there == 404 || there == 410;
}

bool bk_server_change(bk_server *server, bk_change *change, bool *reachable)
{
    /* If-Match compares strongly, so that a weak tag never matches (RFC 9110 section 13.1.1). Made
     * weak by something in between that packs answers, it is the server's own but for the mark;
     * where it is weak indeed, the text says whether it is the one that was read. */
    bool put = change->kind != BK_CHANGE_DELETE,
         weak = change->etag && has_prefix(change->etag, "W/");
    const char *condition =
        !change->etag ? "If-None-Match: *"
                      : bk_keep_text(server->keep, "If-Match: %s", change->etag + (weak ? 2 : 0));
    bk_answer answer = send_change(server, change, condition);
    if (weak && answer.status == 412 && is_as_it_was(server, change))
        answer = send_change(server, change, NULL);
    change->done = !answer.problem && is_done(change, answer.status);
    /* Without an answer or without leave, locked out or asked to wait, the next request will
     * fare no better. */
    *reachable = !answer.problem && answer.status != 401 && answer.status != 423 &&
                 answer.status != 429 && answer.status < 500;
    if (put && answer.status == 412)
        change->done = is_there_already(server, change);
    if (change->done)
        return true;
    if (put && !change->etag && is_in_a_bin(server, change, answer.status)) {
        server->problem = bk_keep_text(server->keep,
                                       "%s: \"%s\": the server refuses an event that was deleted "
                                       "there (status %ld): empty the "
                                       "calendar's bin of deleted events, and publish again",
                                       server->url, change->event->summary, answer.status);
        return false;
    }
    return fail(server, &answer, bk_keep_text(server->keep, "\"%s\"", change->event->summary));
}
