#include "icalendar/content.h"

#include <string.h>

/* VCALENDAR > VEVENT > VALARM is 3 deep; no known component nests deeper. */
enum { MOST_DEPTH = 8, LONGEST_NAME = 32, FOLD = 75 };

typedef struct reader {
    bk_arena *arena;
    const bk_source *source;
    bk_report *report;
    size_t at, lines;
    bk_text unfolded; /* the line being read */
    size_t offset;    /* of it */
    bk_component *open[MOST_DEPTH];
    size_t depth;
    bk_component *first, *last; /* calendars */
} reader;

static bool complain(const reader *r, size_t offset, const char *mend, const char *what)
{
    bk_error(r->report, "calendar", (bk_place){r->source, offset}, mend, "%s", what);
    return false;
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

/* ------------------------------------------------------------ lines of a file */

/* The physical line at `at`: its length, without its end, and where the next one begins. */
static size_t physical(const bk_source *source, size_t at, size_t *next)
{
    const char *stop = memchr(source->text + at, '\n', source->length - at);
    size_t length = !stop ? source->length - at : (size_t)(stop - source->text) - at;
    *next = at + length + (!stop ? 0 : 1);
    return length > 0 && source->text[at + length - 1] == '\r' ? length - 1 : length;
}

/* Where byte `index` of the unfolded line stands in the file. */
static size_t place_of(const reader *r, size_t index)
{
    size_t at = r->offset, next;
    for (;;) {
        size_t length = physical(r->source, at, &next);
        if (index < length || next >= r->source->length)
            return at + index;
        index -= length;
        at = next + 1;
    }
}

/* Folding may part the bytes of one character (section 3.1): they are looked at when they are
 * together again. */
static bool check_bytes(const reader *r)
{
    const bk_text *line = &r->unfolded;
    for (size_t at = 0; at < line->length;) {
        size_t length = bk_utf8_next(line->data + at, line->length - at, NULL);
        if (length == 0)
            return complain(r, place_of(r, at), "save the calendar as UTF-8",
                            "this calendar is not UTF-8 text");
        if (line->data[at] == '\0')
            return complain(r, place_of(r, at), NULL, "a NUL byte in a calendar");
        at += length;
    }
    return true;
}

/* Unfolds the next line. False at the end, and when it is refused: *good. */
static bool next_line(reader *r, bool *good)
{
    const bk_source *source = r->source;
    *good = true;
    r->unfolded.length = 0;
    bk_text_add(&r->unfolded, "");
    r->offset = r->at;
    if (r->at >= source->length)
        return false;
    /* What continues no line says nothing. */
    bool stray = is_blank(source->text[r->at]), more = true;
    while (more) {
        size_t at = r->at, length = physical(source, at, &r->at);
        if (length > BK_LONGEST_LINE)
            return *good = complain(r, at, "fold it as RFC 5545 says", "a line of more than 1 MiB");
        if (!stray)
            bk_text_add_bytes(&r->unfolded, source->text + at, length);
        more = r->unfolded.length > 0 && r->at < source->length && is_blank(source->text[r->at]);
        r->at += more;
    }
    if (++r->lines > BK_MOST_LINES)
        return *good = complain(r, r->offset, "export a shorter time",
                                "this calendar has more than 1000000 lines");
    return *good = check_bytes(r);
}

static const char *upper(bk_arena *arena, const char *from, size_t length)
{
    if (length >= LONGEST_NAME)
        return "";
    char *name = bk_copy(arena, from, length);
    for (char *c = name; *c != '\0'; c++)
        if (*c >= 'a' && *c <= 'z')
            *c = (char)(*c - 'a' + 'A');
    return name;
}

/* The value of a line: behind the first colon that is not inside quotes. */
static const char *value_of(const char *text)
{
    bool quoted = false;
    for (; *text != '\0' && (quoted || *text != ':'); text++)
        quoted = quoted != (*text == '"');
    return *text == ':' ? text + 1 : text;
}

static bk_line line_of(reader *r)
{
    size_t length = r->unfolded.length;
    while (length > 0 && is_blank(r->unfolded.data[length - 1]))
        length--;
    const char *text = bk_copy(r->arena, r->unfolded.data, length);
    return (bk_line){upper(r->arena, text, strcspn(text, ":;")), text, value_of(text), r->offset};
}

/* ------------------------------------------------------------ components */

static bool begin(reader *r, const bk_line *line)
{
    if (r->depth == MOST_DEPTH)
        return complain(r, line->offset, NULL, "components nested too deeply");
    bk_component *parent = r->depth == 0 ? NULL : r->open[r->depth - 1];
    bk_component *fresh = BK_NEW(r->arena, bk_component, 1);
    fresh->name = upper(r->arena, line->value, strlen(line->value));
    fresh->offset = line->offset;
    bool calendar = strcmp(fresh->name, "VCALENDAR") == 0;
    bool event = strcmp(fresh->name, "VEVENT") == 0 || strcmp(fresh->name, "VFREEBUSY") == 0;
    if (calendar != !parent)
        return complain(r, line->offset, NULL,
                        calendar ? "a calendar inside a component"
                                 : "a component outside VCALENDAR");
    if (event && r->depth != 1)
        return complain(r, line->offset, NULL, "an event inside another component");
    bk_component **first = !parent ? &r->first : &parent->first;
    bk_component **last = !parent ? &r->last : &parent->last;
    *(!*first ? first : &(*last)->next) = fresh;
    *last = fresh;
    r->open[r->depth++] = fresh;
    return true;
}

static bool end(reader *r, const bk_line *line)
{
    const char *name = upper(r->arena, line->value, strlen(line->value));
    if (r->depth == 0 || strcmp(name, r->open[r->depth - 1]->name) != 0)
        return complain(r, line->offset, NULL, "this END has no BEGIN");
    r->depth--;
    return true;
}

static bool take(reader *r)
{
    bk_line line = line_of(r);
    if (line.text[0] == '\0')
        return true;
    if (strcmp(line.name, "BEGIN") == 0)
        return begin(r, &line);
    if (strcmp(line.name, "END") == 0)
        return end(r, &line);
    if (r->depth == 0)
        return complain(r, line.offset, "give an .ics file (BEGIN:VCALENDAR …)",
                        "this is not a calendar");
    bk_component *c = r->open[r->depth - 1];
    *BK_PUSH(r->arena, c->lines, c->count, c->room) = line;
    return true;
}

bk_component *bk_content_read(bk_arena *arena, const bk_source *source, bk_report *report)
{
    reader r = {.arena = arena, .source = source, .report = report, .unfolded = bk_text_new(arena)};
    bool good = true;
    r.at = source->length >= 3 && memcmp(source->text, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
    while (next_line(&r, &good))
        if (!take(&r))
            return NULL;
    if (!good)
        return NULL;
    if (r.depth > 0)
        complain(&r, r.open[r.depth - 1]->offset, "fetch the calendar again",
                 "the calendar breaks off: this component has no END");
    else if (!r.first)
        complain(&r, 0, "give an .ics file (BEGIN:VCALENDAR …)", "this is not a calendar");
    return r.depth > 0 ? NULL : r.first;
}

static bk_component *named_from(bk_component *component, const char *name)
{
    while (component && strcmp(component->name, name) != 0)
        component = component->next;
    return component;
}

bk_component *bk_component_first(const bk_component *parent, const char *name)
{
    return named_from(parent->first, name);
}

bk_component *bk_component_next(const bk_component *component, const char *name)
{
    return named_from(component->next, name);
}

static const bk_line *line_from(const bk_component *component, size_t index, const char *name)
{
    for (; index < component->count; index++)
        if (strcmp(component->lines[index].name, name) == 0)
            return &component->lines[index];
    return NULL;
}

const bk_line *bk_line_first(const bk_component *component, const char *name)
{
    return line_from(component, 0, name);
}

const bk_line *bk_line_next(const bk_component *component, const bk_line *line)
{
    return line_from(component, (size_t)(line - component->lines) + 1, line->name);
}

/* ------------------------------------------------------------ parts of a line */

const char *bk_line_parameter(bk_arena *arena, const bk_line *line, const char *name)
{
    const char *at = line->text + strcspn(line->text, ":;");
    while (*at == ';') {
        const char *start = at + 1;
        size_t length = strcspn(start, "=:;");
        at = start + length;
        bool found = strcmp(upper(arena, start, length), name) == 0;
        if (*at != '=')
            continue;
        const char *value = ++at;
        bool quoted = *at == '"';
        at += quoted ? 1 + strcspn(at + 1, "\"") : strcspn(at, ":;");
        size_t size = (size_t)(at - value);
        at += *at == '"';
        if (found)
            return quoted ? bk_copy(arena, value + 1, size - 1) : bk_copy(arena, value, size);
    }
    return NULL;
}

const char *bk_content_line_text(bk_arena *arena, const bk_line *line)
{
    if (!line)
        return "";
    char *text = bk_copy_string(arena, line->value), *to = text;
    for (const char *from = text; *from != '\0'; from++) {
        bool escaped = *from == '\\' && from[1] != '\0';
        from += escaped;
        *to++ = escaped && (*from == 'n' || *from == 'N') ? '\n' : *from;
    }
    *to = '\0';
    return text;
}

/* ------------------------------------------------------------ writing */

/* How much of `line` goes on one physical line: up to a blank or colon, if there is one, so that
 * people can read the file; never a part of a character. */
static size_t fold_at(const char *line)
{
    size_t length = FOLD - 1;
    while (length > 1 && !strchr(" :", line[length - 1]))
        length--;
    if (length > 1)
        return length;
    for (length = FOLD - 1; length > 1 && ((unsigned char)line[length] & 0xc0) == 0x80;)
        length--;
    return length;
}

void bk_content_add(bk_text *out, const char *line)
{
    size_t left = strlen(line);
    while (left > FOLD - 2) {
        size_t length = fold_at(line);
        bk_text_add_bytes(out, line, length);
        bk_text_add(out, "\r\n ");
        line += length;
        left -= length;
    }
    bk_text_add_bytes(out, line, left);
    bk_text_add(out, "\r\n");
}

void bk_content_add_text(bk_text *out, const char *name, const char *text)
{
    bk_text line = bk_text_new(out->arena);
    bk_text_addf(&line, "%s:", name);
    for (; *text != '\0'; text++) {
        if (*text == '\n') {
            bk_text_add(&line, "\\n");
            continue;
        }
        if (strchr("\\;,", *text))
            bk_text_add(&line, "\\");
        bk_text_add_bytes(&line, text, 1);
    }
    bk_content_add(out, line.data);
}

static void add_tree(bk_text *out, const bk_component *component, int depth)
{
    bk_content_add(out, bk_format(out->arena, "BEGIN:%s", component->name));
    for (size_t i = 0; i < component->count; i++)
        bk_content_add(out, component->lines[i].text);
    for (const bk_component *c = component->first; c && depth < MOST_DEPTH; c = c->next)
        add_tree(out, c, depth + 1);
    bk_content_add(out, bk_format(out->arena, "END:%s", component->name));
}

void bk_content_add_component(bk_text *out, const bk_component *component)
{
    add_tree(out, component, 0);
}
