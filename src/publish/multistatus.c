#include "publish/multistatus.h"

#include <expat.h>
#include <limits.h>
#include <string.h>

#define DAV "DAV:|"
#define CALDAV "urn:ietf:params:xml:ns:caldav|"

typedef struct reader {
    bk_keep *keep;
    bk_dav_responses *responses;
    bk_dav_response *response; /* being read, or NULL */
    bk_dav_response found;     /* of the propstat being read */
    bool in_propstat, in_type, good_status, is_multistatus;
    char *text; /* of the element being read */
    size_t length, room;
    size_t depth;
    XML_Parser parser;
    const char *problem; /* why reading stopped, or NULL */
} reader;

static void stop(reader *r, const char *problem)
{
    if (!r->problem)
        r->problem = problem;
    XML_StopParser(r->parser, XML_FALSE);
}

static void doctype(void *context, const char *name, const char *system, const char *public,
                    int has_subset)
{
    (void)name, (void)system, (void)public, (void)has_subset;
    stop(context, "the answer has a DOCTYPE, which no answer of a calendar server has");
}

static bool is(const char *name, const char *wanted)
{
    return strcmp(name, wanted) == 0;
}

static void start(void *context, const char *name, const char **attributes)
{
    (void)attributes;
    reader *r = context;
    r->length = 0;
    if (++r->depth > BK_DEEPEST_ELEMENT) {
        stop(r, "the answer's elements are nested too deeply");
    } else if (is(name, DAV "multistatus")) {
        r->is_multistatus = true;
    } else if (is(name, DAV "response") && r->responses->count == BK_MOST_RESPONSES) {
        stop(r, "the calendar has more than 100000 entries");
    } else if (is(name, DAV "response")) {
        bk_dav_responses *all = r->responses;
        all->items = bk_keep_more(r->keep, all->items, all->count, sizeof *all->items);
        r->response = &all->items[all->count++];
        *r->response = (bk_dav_response){0};
    } else if (is(name, DAV "propstat")) {
        r->in_propstat = true;
        r->good_status = false;
        r->found = (bk_dav_response){0};
    } else if (is(name, DAV "resourcetype")) {
        r->in_type = true;
    } else if (is(name, CALDAV "calendar") && r->in_type) {
        r->found.is_calendar = true;
    }
}

static void characters(void *context, const char *text, int length)
{
    reader *r = context;
    size_t more = length > 0 ? (size_t)length : 0;
    if (r->length + more > r->room) {
        r->room = 2 * (r->length + more);
        char *wider = bk_keep_room(r->keep, r->room);
        if (r->length > 0)
            memcpy(wider, r->text, r->length);
        r->text = wider;
    }
    if (more > 0)
        memcpy(r->text + r->length, text, more);
    r->length += more;
}

/* "HTTP/1.1 200 OK" */
static bool has_code(const char *status, const char *code)
{
    const char *blank = strchr(status, ' ');
    return blank && strncmp(blank + 1, code, 3) == 0;
}

static void keep_found(reader *r)
{
    r->in_propstat = false;
    if (!r->good_status || !r->response)
        return;
    if (r->found.etag)
        r->response->etag = r->found.etag;
    if (r->found.calendar)
        r->response->calendar = r->found.calendar;
    r->response->is_calendar = r->response->is_calendar || r->found.is_calendar;
}

/* The element's text. */
static const char *whole(reader *r)
{
    return bk_keep_bytes(r->keep, r->length > 0 ? r->text : "", r->length);
}

/* The same without the blanks round it, with which some servers set out their answers. */
static const char *trimmed(reader *r)
{
    static const char blanks[] = " \t\r\n";
    size_t first = 0, last = r->length;
    while (first < last && strchr(blanks, r->text[first]) && r->text[first] != '\0')
        first++;
    while (last > first && strchr(blanks, r->text[last - 1]) && r->text[last - 1] != '\0')
        last--;
    return bk_keep_bytes(r->keep, last > first ? r->text + first : "", last - first);
}

static void end(void *context, const char *name)
{
    reader *r = context;
    r->depth--;
    if (is(name, DAV "response"))
        r->response = NULL;
    else if (is(name, DAV "href") && r->response && !r->response->href)
        r->response->href = trimmed(r);
    else if (is(name, DAV "propstat"))
        keep_found(r);
    else if (is(name, DAV "status") && r->in_propstat)
        r->good_status = has_code(trimmed(r), "200");
    else if (is(name, DAV "status") && r->response)
        r->response->gone = has_code(trimmed(r), "404") || has_code(trimmed(r), "410");
    else if (is(name, DAV "getetag"))
        r->found.etag = trimmed(r);
    else if (is(name, CALDAV "calendar-data"))
        r->found.calendar = whole(r);
    else if (is(name, DAV "resourcetype"))
        r->in_type = false;
    r->length = 0;
}

bool bk_multistatus_read(bk_keep *keep, const char *text, size_t length,
                         bk_dav_responses *responses, const char **problem)
{
    XML_Parser parser = XML_ParserCreateNS(NULL, '|');
    reader r = {.keep = keep, .responses = responses, .parser = parser};
    bool good = parser && length <= INT_MAX;
    if (good) {
        XML_SetUserData(parser, &r);
        XML_SetElementHandler(parser, start, end);
        XML_SetCharacterDataHandler(parser, characters);
        XML_SetStartDoctypeDeclHandler(parser, doctype);
        good = XML_Parse(parser, text, (int)length, 1) == XML_STATUS_OK && r.is_multistatus;
    }
    if (!good)
        *problem = r.problem ? r.problem : "the answer is not well formed";
    XML_ParserFree(parser);
    for (size_t i = 0; i < responses->count; i++)
        if (!responses->items[i].href)
            responses->items[i].href = "";
    return good;
}
