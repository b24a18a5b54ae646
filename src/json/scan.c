/* Strict JSON syntax, with comments: values that know where they stand. */
#include "json/json.h"

#include <locale.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* No quantity of a plan needs nearly so many digits. */
enum { MOST_NUMBER_LENGTH = 40 };

typedef struct scanner {
    bk_arena *arena;
    bk_report *report;
    const bk_source *source;
    const char *text;
    size_t length, at; /* length: where the part that is read ends */
    const char *whole; /* what ends there: "file" or "line" */
    size_t value_end;  /* behind the value read last */
    size_t values;     /* made so far */
    bool failed;       /* a fault that ends the scan */
} scanner;

static bk_place place_at(const scanner *scan, size_t offset)
{
    bk_place place = {scan->source, offset};
    return place;
}

/* Reports the fault that ends the scan; later ones would only be its echoes. */
static bool fail(scanner *scan, size_t offset, const char *mend, const char *what)
{
    if (!scan->failed)
        bk_error(scan->report, "json", place_at(scan, offset), mend, "%s", what);
    scan->failed = true;
    return false;
}

static char peek(const scanner *scan)
{
    return scan->at < scan->length ? scan->text[scan->at] : '\0';
}

static bool at_end(const scanner *scan)
{
    return scan->at >= scan->length;
}

static bool skip_comment(scanner *scan)
{
    size_t from = scan->at;
    if (scan->text[scan->at + 1] == '/') {
        while (!at_end(scan) && peek(scan) != '\n')
            scan->at++;
    } else {
        const char *end = NULL;
        for (size_t i = from + 2; i + 1 < scan->length && !end; i++)
            if (scan->text[i] == '*' && scan->text[i + 1] == '/')
                end = scan->text + i;
        if (!end)
            return fail(scan, from, "write */ where it ends", "this comment never ends");
        scan->at = (size_t)(end - scan->text) + 2;
    }
    return true;
}

/* Skips blanks and comments. */
static bool skip(scanner *scan)
{
    while (!at_end(scan)) {
        char c = peek(scan);
        if (c == ' ' || c == '\t' || c == '\n' || c == '\r') {
            scan->at++;
        } else if (c == '/' && scan->at + 1 < scan->length &&
                   (scan->text[scan->at + 1] == '/' || scan->text[scan->at + 1] == '*')) {
            if (!skip_comment(scan))
                return false;
        } else {
            break;
        }
    }
    return true;
}

/* ---------------------------------------------------------------- strings */

/* The value of four hexadecimal digits at `offset`, or -1. */
static long hexadecimal(const scanner *scan, size_t offset)
{
    long value = 0;
    for (size_t i = offset; i < offset + 4; i++) {
        char c = i < scan->length ? scan->text[i] : '\0';
        int digit = c >= '0' && c <= '9'   ? c - '0'
                    : c >= 'a' && c <= 'f' ? c - 'a' + 10
                    : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                           : -1;
        if (digit < 0)
            return -1;
        value = value * 16 + digit;
    }
    return value;
}

/* At a backslash: steps over the escape. */
static bool skip_escape(scanner *scan)
{
    size_t from = scan->at;
    char c = from + 1 < scan->length ? scan->text[from + 1] : '\0';
    if (c != 'u') {
        if (c == '\0' || !strchr("\"\\/bfnrt", c)) {
            return fail(scan, from, "write \\\\ for a backslash itself",
                        "a backslash starts something JSON does not know");
        }
        scan->at += 2;
        return true;
    }
    long code = hexadecimal(scan, from + 2);
    if (code < 0)
        return fail(scan, from, "write it as \\u00e9", "\\u needs four hexadecimal digits");
    if (code == 0)
        return fail(scan, from, "leave it out", "\\u0000 cannot stand in a text");
    scan->at += 6;
    if (code >= 0xD800 && code <= 0xDFFF) {
        long second = -1;
        if (code <= 0xDBFF && scan->at + 1 < scan->length && scan->text[scan->at] == '\\' &&
            scan->text[scan->at + 1] == 'u')
            second = hexadecimal(scan, scan->at + 2);
        if (second < 0xDC00 || second > 0xDFFF) {
            return fail(scan, from, "write the character itself",
                        "half of a \\u pair (surrogate) stands alone");
        }
        scan->at += 6;
    }
    return true;
}

/* The string that stands in [from, to) and is known to be sound, decoded (RFC 8259
 * section 7). */
static char *decode(const scanner *scan, size_t from, size_t to)
{
    static const char letters[] = "bfnrt", meant[] = "\b\f\n\r\t";
    /* A decoded text is never longer than it is written. */
    char *text = BK_NEW(scan->arena, char, to - from + 1), *out = text;
    for (size_t at = from; at < to;) {
        if (scan->text[at] != '\\') {
            *out++ = scan->text[at++];
            continue;
        }
        char c = scan->text[at + 1];
        const char *letter = strchr(letters, c);
        at += 2;
        if (c != 'u') {
            *out++ = letter ? meant[letter - letters] : c;
            continue;
        }
        uint32_t code = (uint32_t)hexadecimal(scan, at);
        at += 4;
        if (code >= 0xD800 && code <= 0xDBFF) {
            code = 0x10000 + ((code - 0xD800) << 10) + (uint32_t)hexadecimal(scan, at + 2) - 0xDC00;
            at += 6;
        }
        out += bk_utf8_put(out, code);
    }
    return text;
}

/* At an opening quote: steps over the string and gives its value. */
static bool read_string(scanner *scan, char **value)
{
    size_t from = scan->at++;
    for (;;) {
        if (at_end(scan))
            return fail(scan, from, "close it with \"", "this text never ends");
        unsigned char c = (unsigned char)peek(scan);
        if (c == '"')
            break;
        if (c == '\n' || c == '\r') {
            return fail(scan, from, "close it with \" on the same line (\\n makes a new line)",
                        "this text does not end on its line");
        }
        if (c < 0x20 || c == 0x7F) {
            return fail(scan, scan->at, c == '\t' ? "write a space, or \\t" : "leave it out",
                        "a control character stands in a text");
        }
        if (c == '\\') {
            if (!skip_escape(scan))
                return false;
        } else {
            scan->at++;
        }
    }
    *value = decode(scan, from + 1, scan->at);
    scan->at++;
    return true;
}

/* ------------------------------------------------------- numbers and words */

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_word(char c)
{
    return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' ||
           (unsigned char)c >= 0x80;
}

static void skip_digits(scanner *scan)
{
    while (is_digit(peek(scan)))
        scan->at++;
}

/* The number written in [from, to), whatever the locale's decimal point is. */
static double number_in(const scanner *scan, size_t from, size_t to)
{
    enum { MOST_POINT = 8 };
    char text[MOST_NUMBER_LENGTH + MOST_POINT] = {0};
    const char *point = localeconv()->decimal_point;
    size_t length = 0, wide = strlen(point);
    for (size_t at = from; at < to; at++) {
        if (scan->text[at] != '.' || wide >= MOST_POINT) {
            text[length++] = scan->text[at];
            continue;
        }
        memcpy(text + length, point, wide);
        length += wide;
    }
    return strtod(text, NULL);
}

static bool read_number(scanner *scan, double *value)
{
    static const char *const mend = "write a plain number such as 12 or 0.5";
    static const char *const what = "this is not a plain number";
    size_t from = scan->at;
    if (peek(scan) == '-')
        scan->at++;
    size_t whole = scan->at;
    skip_digits(scan);
    bool good = scan->at > whole && (scan->text[whole] != '0' || scan->at == whole + 1);
    if (good && peek(scan) == '.') {
        size_t decimals = ++scan->at;
        skip_digits(scan);
        good = scan->at > decimals;
    }
    if (good && (peek(scan) == 'e' || peek(scan) == 'E')) {
        scan->at++;
        if (peek(scan) == '+' || peek(scan) == '-')
            scan->at++;
        size_t exponent = scan->at;
        skip_digits(scan);
        good = scan->at > exponent;
    }
    if (good && (is_word(peek(scan)) || peek(scan) == '.')) {
        if (peek(scan) != '.') {
            return fail(scan, from, "put a quantity with its unit in quotes: \"90 min\"",
                        "letters follow a number");
        }
        good = false;
    }
    if (!good || scan->at - from > MOST_NUMBER_LENGTH)
        return fail(scan, from, mend, what);
    *value = number_in(scan, from, scan->at);
    return true;
}

/* "True" and its like, behind which we are: read on as if they were written small. */
static bool read_large_literal(scanner *scan, bk_json *json, size_t from)
{
    static const char *const words[] = {"true", "false", "null"};
    size_t length = scan->at - from, i = 0;
    while (i < 3 &&
           (strlen(words[i]) != length || strncasecmp(words[i], scan->text + from, length) != 0))
        i++;
    if (i == 3)
        return fail(scan, from, "put text in double quotes; true and false are written small",
                    "this word is not JSON");
    bk_error_fix(scan->report, "json", place_at(scan, from), (bk_fix){from, length, words[i]},
                 bk_format(scan->arena, "write %s", words[i]),
                 "true, false and null are written small");
    json->type = i == 2 ? BK_JSON_NULL : BK_JSON_BOOLEAN;
    json->truth = i == 0;
    return true;
}

static bool skip_literal(scanner *scan, bk_json *json)
{
    size_t from = scan->at;
    while (is_word(peek(scan)))
        scan->at++;
    size_t length = scan->at - from;
    const char *word = scan->text + from;
    if (length == 4 && memcmp(word, "true", 4) == 0) {
        json->type = BK_JSON_BOOLEAN;
        json->truth = true;
    } else if (length == 5 && memcmp(word, "false", 5) == 0) {
        json->type = BK_JSON_BOOLEAN;
    } else if (length == 4 && memcmp(word, "null", 4) == 0) {
        json->type = BK_JSON_NULL;
    } else {
        return read_large_literal(scan, json, from);
    }
    return true;
}

/* ------------------------------------------------------------------ values */

static bk_json *scan_value(scanner *scan, int depth);
static bool unexpected(scanner *scan, const char *expected);

/* Quotes that word processors and phones put in the place of ". */
static bool is_curly_quote(const scanner *scan)
{
    static const char *const quotes[] = {"\u201C", "\u201D", "\u201E", "\u2018", "\u2019", "'"};
    for (size_t i = 0; i < sizeof quotes / sizeof *quotes; i++)
        if (strncmp(scan->text + scan->at, quotes[i], strlen(quotes[i])) == 0)
            return true;
    return false;
}

static bool opens_curly(const scanner *scan)
{
    return strncmp(scan->text + scan->at, "\u201C", 3) == 0 ||
           strncmp(scan->text + scan->at, "\u201E", 3) == 0;
}

/* At the opening one of a pair of curly quotes: read on as if both were straight, where they
 * stand on one line and it is plain where the text ends. */
static bool read_curly(scanner *scan, char **value)
{
    size_t from = scan->at, first = from + 3, to = first;
    const char *text = scan->text;
    while (to < scan->length && !strchr("\"\\\n\r", text[to]) &&
           strncmp(text + to, "\u201C", 3) != 0 && strncmp(text + to, "\u201D", 3) != 0)
        to++;
    bool closed = to + 3 <= scan->length && (unsigned char)text[to] == 0xE2;
    if (!closed)
        return unexpected(scan, "a text in double quotes");
    *value = bk_copy(scan->arena, text + first, to - first);
    scan->at = to + 3;
    bk_error_fix(scan->report, "json", place_at(scan, from),
                 (bk_fix){from, scan->at - from, bk_format(scan->arena, "\"%s\"", *value)},
                 "write straight double quotes: \"", "curly quotes stand round this text");
    return true;
}

static bool unexpected(scanner *scan, const char *expected)
{
    if (at_end(scan)) {
        return fail(
            scan, scan->length, "is something missing, or a } or ] not closed?",
            bk_format(scan->arena, "the %s ends where %s is expected", scan->whole, expected));
    }
    unsigned char byte = (unsigned char)peek(scan);
    if (byte < 0x20)
        return fail(scan, scan->at, "leave it out", "a control character stands here");
    if (byte == '"') {
        return fail(scan, scan->at, NULL,
                    bk_format(scan->arena, "a text starts where %s is expected", expected));
    }
    const char *mend = is_curly_quote(scan)  ? "write straight double quotes: \""
                       : is_word(peek(scan)) ? "text stands in double quotes; is one missing?"
                                             : NULL;
    size_t size = bk_utf8_next(scan->text + scan->at, scan->length - scan->at, NULL);
    return fail(scan, scan->at, mend,
                bk_format(scan->arena, "found \"%.*s\" where %s is expected", (int)size,
                          scan->text + scan->at, expected));
}

/* Behind a comma: skips blanks, and commas that stand there for nothing. */
static bool skip_more_commas(scanner *scan)
{
    if (!skip(scan))
        return false;
    while (peek(scan) == ',') {
        bk_error_fix(scan->report, "json", place_at(scan, scan->at), (bk_fix){scan->at, 1, ""},
                     "leave it out", "a second comma stands here");
        scan->at++;
        if (!skip(scan))
            return false;
    }
    return true;
}

/* After a value inside a list or object: true when another follows, false at the
 * closing bracket or after a fault (then scan->failed). */
static bool another(scanner *scan, char close)
{
    if (!skip(scan))
        return false;
    if (peek(scan) == close) {
        scan->at++;
        return false;
    }
    if (peek(scan) == ',') {
        size_t comma = scan->at++;
        if (!skip_more_commas(scan))
            return false;
        if (peek(scan) != close)
            return true;
        bk_error_fix(scan->report, "json", place_at(scan, comma), (bk_fix){comma, 1, ""},
                     "leave it out", "a comma stands before the closing %c", close);
        scan->at++;
        return false;
    }
    /* A forgotten comma between two lines is common: read on as if it were there. */
    char before = scan->text[scan->at - 1];
    bool could_follow =
        peek(scan) == '"' || (close == ']' && (peek(scan) == '{' || peek(scan) == '['));
    if (could_follow &&
        (before == ' ' || before == '\t' || before == '\n' || before == '\r' || before == '/')) {
        bk_error_fix(scan->report, "json", place_at(scan, scan->at),
                     (bk_fix){scan->value_end, 0, ","}, "put a comma before this",
                     "a comma is missing");
        return true;
    }
    return unexpected(scan, close == '}' ? "a comma or }" : "a comma or ]");
}

/* At a word in the place of a key: read on as if it stood in quotes, where a colon follows. */
static bool read_bare_key(scanner *scan, char **key)
{
    size_t from = scan->at, to = from;
    while (to < scan->length && (is_word(scan->text[to]) || scan->text[to] == '-'))
        to++;
    *key = bk_copy(scan->arena, scan->text + from, to - from);
    scan->at = to;
    if (!skip(scan))
        return false;
    if (peek(scan) != ':' || is_digit(scan->text[from]))
        return fail(scan, from, "put it in double quotes", "a key stands without quotes");
    bk_error_fix(scan->report, "json", place_at(scan, from),
                 (bk_fix){from, to - from, bk_format(scan->arena, "\"%s\"", *key)},
                 "put it in double quotes", "a key stands without quotes");
    return true;
}

static bool scan_key(scanner *scan, bk_json *holder)
{
    holder->key_offset = (uint32_t)scan->at;
    if (opens_curly(scan)) {
        if (!read_curly(scan, &holder->key))
            return false;
    } else if (is_word(peek(scan)) && !is_curly_quote(scan)) {
        if (!read_bare_key(scan, &holder->key))
            return false;
    } else if (peek(scan) != '"') {
        return unexpected(scan, "a key in double quotes");
    } else if (!read_string(scan, &holder->key)) {
        return false;
    }
    if (!skip(scan))
        return false;
    if (peek(scan) != ':')
        return unexpected(scan, "a colon after the key");
    scan->at++;
    return true;
}

/* At { or [: the children. */
static void scan_children(scanner *scan, bk_json *json, int depth)
{
    bool object = json->type == BK_JSON_OBJECT;
    char close = object ? '}' : ']';
    if (depth >= BK_MOST_NESTING) {
        fail(scan, scan->at, "a plan needs no more than a few levels",
             bk_format(scan->arena, "brackets are nested deeper than %d", BK_MOST_NESTING));
        return;
    }
    scan->at++;
    if (!skip(scan))
        return;
    if (peek(scan) == close) {
        scan->at++;
        return;
    }
    bk_json **tail = &json->first;
    do {
        bk_json holder = {0};
        if (object && !scan_key(scan, &holder))
            return;
        bk_json *child = scan_value(scan, depth + 1);
        if (!child)
            return;
        child->key_offset = object ? holder.key_offset : child->offset;
        child->key = holder.key;
        *tail = child;
        tail = &child->next;
        json->count++;
    } while (another(scan, close));
}

/* A value with the blanks before it; NULL after a fault. The recursion ends at
 * BK_MOST_NESTING. */
static bk_json *scan_value(scanner *scan, int depth)
{
    if (!skip(scan))
        return NULL;
    if (++scan->values > BK_MOST_VALUES) {
        fail(scan, scan->at, "split the plan",
             bk_format(scan->arena, "more than %d values in one file", BK_MOST_VALUES));
        return NULL;
    }
    bk_json *json = BK_NEW(scan->arena, bk_json, 1);
    json->source = scan->source;
    json->offset = (uint32_t)scan->at;
    json->key_offset = json->offset;
    char c = peek(scan);
    if (c == '{' || c == '[') {
        json->type = c == '{' ? BK_JSON_OBJECT : BK_JSON_LIST;
        scan_children(scan, json, depth);
    } else if (c == '"') {
        json->type = BK_JSON_STRING;
        read_string(scan, &json->string);
    } else if (opens_curly(scan)) {
        json->type = BK_JSON_STRING;
        read_curly(scan, &json->string);
    } else if (c == '-' || is_digit(c)) {
        json->type = BK_JSON_NUMBER;
        read_number(scan, &json->number);
    } else if (c == '+' || c == '.') {
        fail(scan, scan->at, "write a plain number such as 12 or 0.5",
             "this is not a plain number");
    } else if (!at_end(scan) && is_word(c) && !is_curly_quote(scan)) {
        skip_literal(scan, json);
    } else {
        unexpected(scan, "a value");
    }
    scan->value_end = scan->at;
    return scan->failed ? NULL : json;
}

/* -------------------------------------------------------------------- whole */

/* Everything must be UTF-8 before anything is looked at, so that messages can
 * quote the text. */
static bool check_utf8(scanner *scan)
{
    const unsigned char *bytes = (const unsigned char *)scan->text;
    if (scan->at == 0 && scan->length >= 2 &&
        ((bytes[0] == 0xFF && bytes[1] == 0xFE) || (bytes[0] == 0xFE && bytes[1] == 0xFF))) {
        bk_error(scan->report, "utf-8", place_at(scan, 0), "save it as UTF-8",
                 "this file is UTF-16");
        return false;
    }
    for (size_t at = scan->at; at < scan->length;) {
        size_t size = bk_utf8_next(scan->text + at, scan->length - at, NULL);
        if (size == 0) {
            bk_error(scan->report, "utf-8", place_at(scan, at), "save the file as UTF-8",
                     "byte 0x%02X is not UTF-8", (unsigned)bytes[at]);
            return false;
        }
        at += size;
    }
    return true;
}

/* The one value of what is read, from scan->at on. */
static bk_json *scan_whole(scanner *scan)
{
    size_t from = scan->at;
    if (!check_utf8(scan) || !skip(scan))
        return NULL;
    if (at_end(scan)) {
        bool is_line = strcmp(scan->whole, "line") == 0;
        fail(scan, from, is_line ? "a line starts with {" : "a plan starts with {",
             bk_format(scan->arena, "the %s is empty", scan->whole));
        return NULL;
    }
    bk_json *root = scan_value(scan, 0);
    if (!root || !skip(scan))
        return NULL;
    if (!at_end(scan)) {
        fail(scan, scan->at, "remove it, or look for a } too many before it",
             "text follows the end of the JSON value");
        return NULL;
    }
    return root;
}

bk_json *bk_json_scan(bk_arena *arena, const bk_source *source, bk_report *report)
{
    scanner scan = {.arena = arena,
                    .report = report,
                    .source = source,
                    .text = source->text,
                    .length = source->length,
                    .whole = "file"};
    return scan_whole(&scan);
}

bk_json *bk_json_scan_line(bk_arena *arena, const bk_source *source, size_t from, size_t to,
                           size_t *values, bk_report *report)
{
    scanner scan = {.arena = arena,
                    .report = report,
                    .source = source,
                    .text = source->text,
                    .length = to,
                    .at = from,
                    .whole = "line",
                    .values = *values};
    bk_json *root = scan_whole(&scan);
    *values = scan.values;
    return root;
}
