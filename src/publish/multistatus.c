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
} reader;

static bool is(const char *name, const char *wanted)
{
    return strcmp(name, wanted) == 0;
}

static void start(void *context, const char *name, const char **attributes)
{
    (void)attributes;
    reader *r = context;
    r->length = 0;
    if (is(name, DAV "multistatus")) {
        r->is_multistatus = true;
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
static bool is_good(const char *status)
{
    const char *blank = strchr(status, ' ');
    return blank && strncmp(blank + 1, "200", 3) == 0;
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

static void end(void *context, const char *name)
{
    reader *r = context;
    const char *text = bk_keep_bytes(r->keep, r->length > 0 ? r->text : "", r->length);
    if (is(name, DAV "response"))
        r->response = NULL;
    else if (is(name, DAV "href") && r->response && !r->response->href)
        r->response->href = text;
    else if (is(name, DAV "propstat"))
        keep_found(r);
    else if (is(name, DAV "status") && r->in_propstat)
        r->good_status = is_good(text);
    else if (is(name, DAV "getetag"))
        r->found.etag = text;
    else if (is(name, CALDAV "calendar-data"))
        r->found.calendar = text;
    else if (is(name, DAV "resourcetype"))
        r->in_type = false;
    r->length = 0;
}

bool bk_multistatus_read(bk_keep *keep, const char *text, size_t length,
                         bk_dav_responses *responses)
{
    XML_Parser parser = XML_ParserCreateNS(NULL, '|');
    if (!parser || length > INT_MAX) {
        XML_ParserFree(parser);
        return false;
    }
    reader r = {.keep = keep, .responses = responses};
    XML_SetUserData(parser, &r);
    XML_SetElementHandler(parser, start, end);
    XML_SetCharacterDataHandler(parser, characters);
    bool good = XML_Parse(parser, text, (int)length, 1) == XML_STATUS_OK && r.is_multistatus;
    XML_ParserFree(parser);
    for (size_t i = 0; i < responses->count; i++)
        if (!responses->items[i].href)
            responses->items[i].href = "";
    return good;
}
