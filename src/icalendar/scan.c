/* The raw lines of a calendar file: is it whole, and where is what. */
#include "icalendar/busy_parts.h"

#include <string.h>

/* VCALENDAR > VEVENT > VALARM is 3 deep; no known component nests deeper. */
enum { MOST_DEPTH = 8, LONGEST_NAME = 32 };

/* Of one physical line: libical takes time with its square (0.1 s for this, 30 s for
 * 16 MiB). RFC 5545 folds lines at 75 bytes. */
enum { LONGEST_LINE = 1 << 20 };

static const char *const timed_names[BK_TIMED_PROPERTIES] = {
    "DTSTART", "DTEND",  "DURATION",      "RRULE",   "EXRULE",
    "RDATE",   "EXDATE", "RECURRENCE-ID", "FREEBUSY"};

typedef struct content_line {
    size_t offset;
    char name[LONGEST_NAME]; /* in upper case; "" when longer */
    const char *value;       /* behind the colon, for BEGIN and END */
    size_t value_length;
} content_line;

typedef struct open_component {
    char name[LONGEST_NAME];
    size_t offset;
} open_component;

typedef struct scanner {
    const bk_source *source;
    bk_report *report;
    open_component open[MOST_DEPTH];
    size_t depth;
    bk_scanned *current; /* the event whose own lines these are */
    size_t current_depth;
} scanner;

static bool complain(const scanner *s, size_t offset, const char *mend, const char *what)
{
    bk_error(s->report, "calendar", (bk_place){s->source, offset}, mend, "%s", what);
    return false;
}

static void copy_upper(char *to, const char *from, size_t length)
{
    size_t kept = length < LONGEST_NAME ? length : 0;
    for (size_t i = 0; i < kept; i++)
        to[i] = from[i] >= 'a' && from[i] <= 'z' ? (char)(from[i] - 'a' + 'A') : from[i];
    to[kept] = '\0';
}

static bool check_bytes(const scanner *s)
{
    const bk_source *source = s->source;
    size_t line = 0;
    for (size_t at = 0; at < source->length;) {
        size_t length = bk_utf8_next(source->text + at, source->length - at, NULL);
        if (length == 0)
            return complain(s, at, "save the calendar as UTF-8", "this calendar is not UTF-8 text");
        if (source->text[at] == '\0')
            return complain(s, at, NULL, "a NUL byte in a calendar");
        if (source->text[at] == '\n')
            line = at;
        if (at - line > LONGEST_LINE)
            return complain(s, line, "fold it as RFC 5545 says", "a line of more than 1 MiB");
        at += length;
    }
    return true;
}

/* The next content line (RFC 5545 section 3.1) at *at, its folded
 * continuations skipped. False at the end. */
static bool next_line(const bk_source *source, size_t *at, content_line *line)
{
    const char *text = source->text;
    size_t end = source->length;
    while (*at < end &&
           (text[*at] == '\n' || text[*at] == '\r' || text[*at] == ' ' || text[*at] == '\t')) {
        /* An empty line, or the continuation of the line before. */
        const char *stop = memchr(text + *at, '\n', end - *at);
        *at = !stop ? end : (size_t)(stop - text) + 1;
    }
    if (*at >= end)
        return false;
    const char *start = text + *at;
    const char *stop = memchr(start, '\n', end - *at);
    size_t length = !stop ? end - *at : (size_t)(stop - start);
    line->offset = *at;
    *at += length + (!stop ? 0 : 1);
    while (length > 0 && (start[length - 1] == '\r' || start[length - 1] == ' '))
        length--;
    size_t name = 0;
    while (name < length && start[name] != ':' && start[name] != ';')
        name++;
    copy_upper(line->name, start, name);
    line->value = start + (name < length ? name + 1 : name);
    line->value_length = (size_t)(start + length - line->value);
    return true;
}

static bool begin(scanner *s, bk_arena *arena, bk_scan *scan, const content_line *line)
{
    if (s->depth == MOST_DEPTH)
        return complain(s, line->offset, NULL, "components nested too deeply");
    open_component *open = &s->open[s->depth];
    copy_upper(open->name, line->value, line->value_length);
    open->offset = line->offset;
    bool calendar = strcmp(open->name, "VCALENDAR") == 0;
    if (calendar != (s->depth == 0))
        return complain(s, line->offset, NULL,
                        calendar ? "a calendar inside a component"
                                 : "a component outside VCALENDAR");
    s->depth++;
    bk_scanned_list *list = strcmp(open->name, "VEVENT") == 0      ? &scan->events
                            : strcmp(open->name, "VFREEBUSY") == 0 ? &scan->free_busy
                                                                   : NULL;
    if (!list)
        return true;
    if (s->depth != 2)
        return complain(s, line->offset, NULL, "an event inside another component");
    s->current = BK_PUSH(arena, list->items, list->count, list->room);
    s->current->offset = line->offset;
    s->current_depth = s->depth;
    return true;
}

static bool end(scanner *s, const content_line *line)
{
    char name[LONGEST_NAME];
    copy_upper(name, line->value, line->value_length);
    if (s->depth == 0 || strcmp(name, s->open[s->depth - 1].name) != 0)
        return complain(s, line->offset, NULL, "this END has no BEGIN");
    s->depth--;
    if (s->current && s->depth < s->current_depth)
        s->current = NULL;
    return true;
}

/* The value of the line at `offset`, unfolded: behind the first colon that is
 * not inside quotes. */
static char *whole_value(bk_arena *arena, const bk_source *source, size_t offset)
{
    bk_text value = bk_text_new(arena);
    bk_text_add(&value, "");
    bool quoted = false, in_value = false;
    for (size_t at = offset; at < source->length; at++) {
        char c = source->text[at];
        if (c == '\r')
            continue;
        if (c == '\n') {
            char next = at + 1 < source->length ? source->text[at + 1] : '\0';
            if (next != ' ' && next != '\t')
                break;
            at++;
        } else if (in_value) {
            bk_text_add_bytes(&value, &c, 1);
        } else {
            quoted = quoted != (c == '"');
            in_value = c == ':' && !quoted;
        }
    }
    return value.data;
}

static size_t digits(const char *text, size_t most)
{
    size_t count = 0;
    while (count < most && text[count] >= '0' && text[count] <= '9')
        count++;
    return count;
}

/* The text behind a DATE or DATE-TIME (sections 3.3.4 and 3.3.5), or NULL. */
static const char *after_date(const char *text)
{
    if (digits(text, 8) != 8)
        return NULL;
    text += 8;
    if (*text != 'T')
        return text;
    if (digits(text + 1, 6) != 6)
        return NULL;
    text += 7;
    return *text == 'Z' ? text + 1 : text;
}

/* Dates with commas between them when there may be several, each perhaps the
 * start of a period. libical reads durations strictly itself. */
static bool are_dates(const char *text, bool several, bool periods)
{
    for (;;) {
        text = after_date(text);
        if (!text)
            return false;
        if (periods && *text == '/') {
            text++;
            text = *text >= '0' && *text <= '9' ? after_date(text) : text + strcspn(text, ",");
            if (!text)
                return false;
        }
        if (*text == '\0' || *text == ' ')
            return true;
        if (*text != ',' || !several)
            return false;
        text++;
    }
}

static bool is_well_formed(bk_arena *arena, const bk_source *source, const content_line *line,
                           enum bk_timed_property property)
{
    bool periods = property == BK_RDATE || property == BK_FREEBUSY;
    if (property == BK_DURATION || property == BK_RRULE || property == BK_EXRULE)
        return true;
    return are_dates(whole_value(arena, source, line->offset), periods || property == BK_EXDATE,
                     periods);
}

static void note(const scanner *s, bk_arena *arena, const content_line *line)
{
    if (!s->current || s->depth != s->current_depth)
        return;
    for (size_t i = 0; i < BK_TIMED_PROPERTIES; i++) {
        if (strcmp(line->name, timed_names[i]) != 0)
            continue;
        bool good = is_well_formed(arena, s->source, line, (enum bk_timed_property)i);
        if (s->current->lines[i]++ == 0 || (!good && !s->current->malformed[i]))
            s->current->offsets[i] = line->offset;
        if (!good)
            s->current->malformed[i] = true;
    }
}

bool bk_calendar_scan(bk_arena *arena, const bk_source *source, bk_scan *scan, bk_report *report)
{
    scanner s = {.source = source, .report = report};
    if (!check_bytes(&s))
        return false;
    size_t at = source->length >= 3 && memcmp(source->text, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
    size_t calendars = 0;
    content_line line;
    while (next_line(source, &at, &line)) {
        bool good = true;
        if (strcmp(line.name, "BEGIN") == 0) {
            good = begin(&s, arena, scan, &line);
            calendars += s.depth == 1;
        } else if (strcmp(line.name, "END") == 0) {
            good = end(&s, &line);
        } else if (s.depth == 0) {
            good = complain(&s, line.offset, "give an .ics file (BEGIN:VCALENDAR …)",
                            "this is not a calendar");
        } else {
            note(&s, arena, &line);
        }
        if (!good)
            return false;
    }
    if (s.depth > 0)
        return complain(&s, s.open[s.depth - 1].offset, "fetch the calendar again",
                        "the calendar breaks off: this component has no END");
    if (calendars == 0)
        return complain(&s, 0, "give an .ics file (BEGIN:VCALENDAR …)", "this is not a calendar");
    return true;
}

bool bk_calendar_check(bk_arena *arena, const bk_source *source, bk_report *report)
{
    bk_scan scan = {0};
    return bk_calendar_scan(arena, source, &scan, report);
}
