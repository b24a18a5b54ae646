/* Reading and changing an occasion's resources on a CalDAV server (RFC 4791). */
#include "publish/http.h"
#include "publish/multistatus.h"

#include <curl/curl.h>
#include <string.h>

/* How many resources one REPORT asks for. */
enum { BATCH = 100, LONGEST_NAME = 200 };

struct bk_server {
    bk_arena *arena;
    bk_http *http;
    const char *url;
};

bk_server *bk_server_open(bk_arena *arena, const bk_server_options *options, bk_report *report)
{
    const char *problem;
    if (!bk_server_url_good(options->url, &problem)) {
        bk_error(report, "server", (bk_place){0}, NULL, "%s", problem);
        return NULL;
    }
    if (curl_global_init(CURL_GLOBAL_DEFAULT) != CURLE_OK) {
        bk_error(report, "server", (bk_place){0}, NULL, "libcurl does not start");
        report->machine_failed = true;
        return NULL;
    }
    bk_server *server = BK_NEW(arena, bk_server, 1);
    server->arena = arena;
    server->url = bk_copy_string(arena, options->url);
    server->http = bk_http_open(arena, options);
    if (server->http == NULL) {
        curl_global_cleanup();
        bk_error(report, "server", (bk_place){0}, NULL, "libcurl does not start");
        report->machine_failed = true;
        return NULL;
    }
    return server;
}

void bk_server_close(bk_server *server)
{
    if (server == NULL)
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
    case 413:
    case 507:
        return "the server has no room for it";
    default:
        return status >= 500 ? "the server failed" : "the server refused";
    }
}

static bool fail(bk_server *server, const bk_answer *answer, const char *what, bk_report *report)
{
    const char *where = bk_format(server->arena, "%s: %s", server->url, what);
    report->machine_failed = true;
    if (answer->problem != NULL)
        bk_error(report, "server", (bk_place){0}, NULL, "%s: %s", where, answer->problem);
    else if (answer->moved_to != NULL)
        bk_error(report, "server", (bk_place){0},
                 bk_format(server->arena, "give %s", answer->moved_to), "%s: %s (status %ld)",
                 where, meaning(answer->status), answer->status);
    else
        bk_error(report, "server", (bk_place){0}, NULL, "%s: %s (status %ld)", where,
                 meaning(answer->status), answer->status);
    return false;
}

/* ----------------------------------------------------------------- reading */

static const char *last_part(const char *href)
{
    const char *slash = strrchr(href, '/');
    return slash == NULL ? href : slash + 1;
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

/* XML has five characters that cannot stand for themselves. */
static void add_escaped(bk_text *out, const char *text)
{
    for (; *text != '\0'; text++)
        switch (*text) {
        case '&':
            bk_text_add(out, "&amp;");
            break;
        case '<':
            bk_text_add(out, "&lt;");
            break;
        case '>':
            bk_text_add(out, "&gt;");
            break;
        default:
            bk_text_add_bytes(out, text, 1);
        }
}

static bool ask(bk_server *server, const char *method, const char *depth, const char *body,
                bk_dav_responses *responses, bk_report *report)
{
    static const char *const what = "reading the calendar";
    bk_request request = {
        .method = method, .name = "", .body = body, .type = "application/xml", .headers = {depth}};
    bk_answer answer = bk_http_send(server->http, &request);
    if (answer.status != 207)
        return fail(server, &answer, what, report);
    if (bk_multistatus_read(server->arena, answer.text, answer.length, responses))
        return true;
    bk_error(report, "server", (bk_place){0}, NULL, "%s: %s: the answer is not well formed",
             server->url, what);
    report->machine_failed = true;
    return false;
}

static const char properties[] =
    "<?xml version=\"1.0\" encoding=\"utf-8\"?>"
    "<propfind xmlns=\"DAV:\"><prop><resourcetype/><getetag/></prop></propfind>";

static bool is_calendar(bk_server *server, bk_report *report)
{
    bk_dav_responses self = {0};
    if (!ask(server, "PROPFIND", "Depth: 0", properties, &self, report))
        return false;
    if (self.count == 1 && self.items[0].is_calendar)
        return true;
    bk_error(report, "server", (bk_place){0}, "give the address of a calendar, not of an account",
             "%s: there is no calendar at this address", server->url);
    report->machine_failed = true;
    return false;
}

/* The hrefs of the occasion's resources, from the listing of the collection. */
static bool list(bk_server *server, const char *prefix, bk_dav_responses *ours, bk_report *report)
{
    bk_dav_responses all = {0};
    if (!is_calendar(server, report) ||
        !ask(server, "PROPFIND", "Depth: 1", properties, &all, report))
        return false;
    for (size_t i = 0; i < all.count; i++) {
        const char *name = last_part(all.items[i].href);
        if (has_prefix(name, prefix) && is_plain_name(name))
            *BK_PUSH(server->arena, ours->items, ours->count, ours->room) = all.items[i];
    }
    return true;
}

static bool add_resource(bk_server *server, const bk_dav_response *response, const char *prefix,
                         bk_resources *resources, bk_report *report)
{
    bk_ics_events events = {0};
    bk_source source = {bk_format(server->arena, "%s%s", server->url, last_part(response->href)),
                        response->calendar, strlen(response->calendar)};
    /* The report's messages keep the source. */
    bk_source *kept = BK_NEW(server->arena, bk_source, 1);
    *kept = source;
    if (!bk_ics_split(server->arena, kept, &events, report)) {
        report->machine_failed = true;
        return false;
    }
    if (events.count != 1 || !has_prefix(events.items[0].uid, prefix))
        return true; /* a name like ours with something else in it */
    *BK_PUSH(server->arena, resources->items, resources->count, resources->room) =
        (bk_resource){last_part(response->href), response->etag, events.items[0]};
    return true;
}

bool bk_server_read(bk_server *server, const char *prefix, bk_resources *resources,
                    bk_report *report)
{
    bk_dav_responses ours = {0};
    if (!list(server, prefix, &ours, report))
        return false;
    for (size_t first = 0; first < ours.count; first += BATCH) {
        bk_text body = bk_text_new(server->arena);
        bk_text_add(&body, "<?xml version=\"1.0\" encoding=\"utf-8\"?>"
                           "<C:calendar-multiget xmlns=\"DAV:\" "
                           "xmlns:C=\"urn:ietf:params:xml:ns:caldav\">"
                           "<prop><getetag/><C:calendar-data/></prop>");
        for (size_t i = first; i < ours.count && i < first + BATCH; i++) {
            bk_text_add(&body, "<href>");
            add_escaped(&body, ours.items[i].href);
            bk_text_add(&body, "</href>");
        }
        bk_text_add(&body, "</C:calendar-multiget>");
        bk_dav_responses found = {0};
        if (!ask(server, "REPORT", "Depth: 1", body.data, &found, report))
            return false;
        for (size_t i = 0; i < found.count; i++)
            if (found.items[i].calendar != NULL && found.items[i].etag != NULL &&
                is_plain_name(last_part(found.items[i].href)) &&
                !add_resource(server, &found.items[i], prefix, resources, report))
                return false;
    }
    return true;
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
    bk_source source = {change->name, answer.text, answer.length};
    bk_report unseen = bk_report_new(server->arena);
    bk_ics_events events = {0};
    if (answer.status != 200 || !bk_ics_split(server->arena, &source, &events, &unseen) ||
        events.count != 1)
        return false;
    const bk_ics_event *there = &events.items[0];
    return there->untouched && there->sequence == change->event->sequence &&
           strcmp(there->uid, change->event->uid) == 0 &&
           strcmp(there->start, change->event->start) == 0 &&
           strcmp(there->summary, change->event->summary) == 0;
}

bool bk_server_change(bk_server *server, bk_change *change, bool *reachable, bk_report *report)
{
    bool put = change->kind == BK_CHANGE_PUT;
    const char *condition = change->etag == NULL
                                ? "If-None-Match: *"
                                : bk_format(server->arena, "If-Match: %s", change->etag);
    bk_request request = {.method = put ? "PUT" : "DELETE",
                          .name = change->name,
                          .body = put ? change->event->text : NULL,
                          .type = put ? "text/calendar" : NULL,
                          .headers = {condition}};
    bk_answer answer = bk_http_send(server->http, &request);
    change->done = answer.problem == NULL && is_done(change, answer.status);
    /* Without an answer, or without leave, the next request will fare no better. */
    *reachable = answer.problem == NULL && answer.status != 401 && answer.status < 500;
    if (put && answer.status == 412)
        change->done = is_there_already(server, change);
    if (change->done)
        return true;
    return fail(server, &answer, bk_format(server->arena, "\"%s\"", change->event->summary),
                report);
}
