/* A web page: JSON-LD, else microdata, else its visible lines; those also where the data are cut
 * short. libxml2's HTML parser reads what browsers read; it is told to fetch nothing, and scripts
 * are text to it. */
#include "takein/lists.h"

#include <ctype.h>
#include <libxml/HTMLparser.h>
#include <string.h>
#include <strings.h>

enum { MOST_NODES = 1000000 };

static bool is_tag(const xmlNode *node, const char *names)
{
    if (node->type != XML_ELEMENT_NODE || xmlStrlen(node->name) > 14)
        return false;
    char word[20];
    size_t n = (size_t)xmlStrlen(node->name);
    word[0] = ' ';
    memcpy(word + 1, node->name, n);
    word[n + 1] = ' ';
    word[n + 2] = '\0';
    return strstr(names, word);
}

/* An attribute's value where it is one piece of text, as the parser makes it; or NULL. */
static const char *attribute(const xmlNode *node, const char *name)
{
    if (node->type != XML_ELEMENT_NODE)
        return NULL;
    for (const xmlAttr *a = node->properties; a; a = a->next)
        if (strcasecmp((const char *)a->name, name) == 0)
            return a->children && a->children->content ? (const char *)a->children->content : "";
    return NULL;
}

static bool has_word(const char *value, const char *word)
{
    size_t n = strlen(word);
    for (const char *at = value; value && (at = strstr(at, word)); at += n)
        if ((at == value || at[-1] == ' ') && (at[n] == '\0' || at[n] == ' '))
            return true;
    return false;
}

/* The node behind `node` in the order of the page, inside `top`; `in`: may go into it. */
static const xmlNode *next_node(const xmlNode *node, const xmlNode *top, bool in)
{
    if (in && node->children && node->type == XML_ELEMENT_NODE)
        return node->children;
    while (node && node != top && !node->next)
        node = node->parent;
    return !node || node == top ? NULL : node->next;
}

static bool is_hidden(const xmlNode *node)
{
    return is_tag(node, " script style template noscript svg head nav iframe select button form ");
}

/* Does the row hold short cells only: an amount, a food? They are one line. */
static bool is_short_row(const xmlNode *row)
{
    enum { LONGEST = 60, MOST = 64 };
    size_t looked = 0;
    for (const xmlNode *cell = row ? row->children : NULL; cell; cell = cell->next) {
        size_t length = 0;
        bool in = true;
        for (const xmlNode *node = cell; node; node = next_node(node, cell, in)) {
            if (looked++ > MOST)
                return false;
            length += node->type == XML_TEXT_NODE && node->content
                          ? strlen((const char *)node->content)
                          : 0;
        }
        if (length > LONGEST)
            return false;
    }
    return true;
}

static bool is_cell(const xmlNode *node)
{
    return is_tag(node, " td th ");
}

static bool breaks_line(const xmlNode *node)
{
    if (is_cell(node))
        return !is_short_row(node->parent);
    return is_tag(node,
                  " p div li br ul ol tr table section article header footer h1 h2 h3 h4 h5 h6 "
                  "dd dt dl main aside blockquote hr title figure figcaption address pre ");
}

/* One line that grows: the text of inline elements runs together. */
typedef struct line {
    char text[BK_MOST_STEP_BYTES];
    size_t length;
} line;

static void line_add(line *into, const char *text)
{
    size_t n = strlen(text);
    if (n > sizeof into->text - into->length)
        n = sizeof into->text - into->length;
    memcpy(into->text + into->length, text, n);
    into->length += n;
}

static void line_end(line *at, bk_sink *sink, enum bk_piece piece)
{
    bk_sink_add(sink, piece, at->text, at->length);
    at->length = 0;
}

/* The visible text of a node, a piece for each line. */
static void add_lines(const xmlNode *top, bk_sink *sink, enum bk_piece piece)
{
    line now;
    now.length = 0;
    size_t looked = 0;
    bool in = true;
    for (const xmlNode *node = top; node && looked++ < MOST_NODES;
         node = next_node(node, top, in)) {
        in = !is_hidden(node);
        if (breaks_line(node) || (node->prev && breaks_line(node->prev)))
            line_end(&now, sink, piece);
        if (is_cell(node) && now.length > 0)
            line_add(&now, " ");
        if ((node->type == XML_TEXT_NODE || node->type == XML_CDATA_SECTION_NODE) && node->content)
            line_add(&now, (const char *)node->content);
        if (node != top && !node->next && node->parent != top && breaks_line(node->parent) &&
            (!node->children || !in)) {
            if (is_tag(node->parent, " h2 h3 h4 h5 h6 ") && now.length > 0 && now.length < 40)
                line_add(&now, ":"); /* a heading, as notes mark one */
            line_end(&now, sink, piece);
        }
    }
    line_end(&now, sink, piece);
}

static void add_text(const xmlNode *top, bk_sink *sink, enum bk_piece piece)
{
    const char *content = attribute(top, "content");
    if (content) {
        bk_sink_add(sink, piece, content, strlen(content));
        return;
    }
    line now;
    now.length = 0;
    size_t looked = 0;
    bool in = true;
    for (const xmlNode *node = top; node && looked++ < MOST_NODES;
         node = next_node(node, top, in)) {
        in = !is_hidden(node);
        if (node->type == XML_TEXT_NODE && node->content)
            line_add(&now, (const char *)node->content);
        else if (breaks_line(node))
            line_add(&now, " ");
    }
    line_end(&now, sink, piece);
}

/* ------------------------------------------------------------------ JSON-LD */

static bool read_json_ld(const xmlNode *root, bk_sink *sink)
{
    size_t looked = 0;
    for (const xmlNode *node = root; node && looked++ < MOST_NODES;
         node = next_node(node, NULL, true)) {
        const char *type = is_tag(node, " script ") ? attribute(node, "type") : NULL;
        if (!type || strncasecmp(type, "application/ld+json", 19) != 0)
            continue;
        const xmlNode *text = node->children;
        if (text && text->content &&
            bk_structured_read((const char *)text->content, strlen((const char *)text->content),
                               sink))
            return true;
    }
    return false;
}

/* ------------------------------------------ data that give the steps cut short */

enum { OPENING = 13, LEAST_OPENING = 8 };

/* The first letters and digits of a text, small: white space and signs are not the same in the data
 * as on the page. */
typedef struct opening {
    char letters[OPENING];
    size_t count;
} opening;

static void open_with(opening *into, const char *text)
{
    for (; *text != '\0' && into->count < OPENING; text++)
        if (isalnum((unsigned char)*text))
            into->letters[into->count++] = (char)tolower((unsigned char)*text);
}

/* Is the piece of this kind? Pieces of steps and their headings go together. */
static bool is_of_steps(const char *piece)
{
    return *piece == BK_PIECE_STEP || *piece == BK_PIECE_HEADING;
}

/* "Heat the oven. Beat the egg whites...": does the last step stop in its words? Then how the
 * first begins. */
static bool is_cut_short(bk_sink *sink, opening *first)
{
    bool cut = false;
    first->count = 0;
    for (char *at = sink->data, *end = at + sink->length; at < end;) {
        char *stop = memchr(at, '\n', (size_t)(end - at));
        size_t length = (size_t)(stop - at);
        if (*at == BK_PIECE_STEP) {
            *stop = '\0';
            if (first->count == 0)
                open_with(first, at + 1);
            *stop = '\n';
            cut = (length > 4 && memcmp(stop - 3, "...", 3) == 0) ||
                  (length > 4 && memcmp(stop - 3, "\xe2\x80\xa6", 3) == 0);
        }
        at = stop + 1;
    }
    return cut && first->count >= LEAST_OPENING;
}

/* Does the visible text of a node begin so? */
static bool begins_so(const xmlNode *top, const opening *wanted)
{
    opening found;
    found.count = 0;
    size_t looked = 0;
    bool in = true;
    for (const xmlNode *node = top; node && looked++ < OPENING * 4 && found.count < wanted->count;
         node = next_node(node, top, in)) {
        in = !is_hidden(node);
        if (node->type == XML_TEXT_NODE && node->content)
            open_with(&found, (const char *)node->content);
    }
    return found.count >= wanted->count &&
           memcmp(found.letters, wanted->letters, wanted->count) == 0;
}

/* Where the page shows the steps: the outermost block that begins as they do; or NULL. */
static const xmlNode *find_shown_steps(const xmlNode *root, const opening *first)
{
    size_t looked = 0;
    bool in = true;
    for (const xmlNode *node = root; node && looked++ < MOST_NODES;
         node = next_node(node, NULL, in)) {
        in = !is_hidden(node);
        if (in && breaks_line(node) && begins_so(node, first))
            return node;
    }
    return NULL;
}

/* Headings under which no steps stand. */
static bool ends_steps(const xmlNode *node)
{
    static const char *const others[] = {"note",  "tip",     "comment", "nutrition",
                                         "store", "storage", "related", "more"};
    opening title;
    title.count = 0;
    size_t looked = 0;
    for (const xmlNode *in = node; in && looked++ < OPENING; in = next_node(in, node, true))
        if (in->type == XML_TEXT_NODE && in->content)
            open_with(&title, (const char *)in->content);
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        if (title.count >= strlen(others[i]) &&
            memcmp(title.letters, others[i], strlen(others[i])) == 0)
            return true;
    return false;
}

/* The block, and what stands behind it, to where the page speaks of other things. */
static void add_shown_steps(const xmlNode *first, bk_sink *sink)
{
    size_t looked = 0;
    for (const xmlNode *node = first; node && looked++ < BK_MOST_STEPS; node = node->next) {
        if (node->type != XML_ELEMENT_NODE)
            continue;
        if (is_tag(node, " h1 h2 aside footer section article form figure blockquote ") ||
            ends_steps(node))
            break;
        if (is_tag(node, " h3 h4 h5 h6 "))
            add_text(node, sink, BK_PIECE_HEADING);
        else if (!is_hidden(node))
            add_lines(node, sink, BK_PIECE_STEP);
    }
}

/* Data for search engines may hold the beginning of the steps only; the page has them whole. */
static void take_shown_steps(const xmlNode *root, bk_sink *sink)
{
    opening first;
    if (!is_cut_short(sink, &first))
        return;
    const xmlNode *shown = find_shown_steps(root, &first);
    if (!shown)
        return;
    size_t kept = 0;
    for (size_t at = 0; at < sink->length;) {
        char *stop = memchr(sink->data + at, '\n', sink->length - at);
        size_t length = (size_t)(stop + 1 - (sink->data + at));
        if (!is_of_steps(sink->data + at)) {
            memmove(sink->data + kept, sink->data + at, length);
            kept += length;
        }
        at += length;
    }
    sink->length = kept;
    add_shown_steps(shown, sink);
}

/* ---------------------------------------------------------------- microdata */

static bool has_inside(const xmlNode *top, const char *property)
{
    size_t looked = 0;
    for (const xmlNode *node = next_node(top, top, true); node && looked++ < MOST_NODES;
         node = next_node(node, top, true))
        if (has_word(attribute(node, "itemprop"), property))
            return true;
    return false;
}

static void add_instructions(const xmlNode *top, bk_sink *sink)
{
    if (!has_inside(top, "text")) {
        add_lines(top, sink, BK_PIECE_STEP);
        return;
    }
    size_t looked = 0;
    for (const xmlNode *node = next_node(top, top, true); node && looked++ < MOST_NODES;
         node = next_node(node, top, true))
        if (has_word(attribute(node, "itemprop"), "text"))
            add_text(node, sink, BK_PIECE_STEP);
        else if (has_word(attribute(node, "itemprop"), "name") && node->parent &&
                 attribute(node->parent, "itemtype") &&
                 strstr(attribute(node->parent, "itemtype"), "HowToSection"))
            add_text(node, sink, BK_PIECE_HEADING);
}

/* True when it is a property of the recipe: gone into no further. */
static bool add_property(const xmlNode *node, bk_sink *sink)
{
    const char *property = attribute(node, "itemprop");
    if (!property)
        return false;
    if (has_word(property, "name"))
        add_text(node, sink, BK_PIECE_TITLE);
    else if (has_word(property, "recipeYield"))
        add_text(node, sink, BK_PIECE_YIELD);
    else if (has_word(property, "recipeIngredient") || has_word(property, "ingredients"))
        if (is_tag(node, " ul ol div "))
            add_lines(node, sink, BK_PIECE_INGREDIENT);
        else
            add_text(node, sink, BK_PIECE_INGREDIENT);
    else if (has_word(property, "recipeInstructions"))
        add_instructions(node, sink);
    else
        return attribute(node, "itemscope"); /* of something else: an author's name */
    return true;
}

static bool read_microdata(const xmlNode *root, bk_sink *sink)
{
    size_t looked = 0;
    const xmlNode *recipe = root;
    while (recipe && looked++ < MOST_NODES) {
        const char *type = attribute(recipe, "itemtype");
        if (type && strstr(type, "schema.org/Recipe"))
            break;
        recipe = next_node(recipe, NULL, true);
    }
    if (!recipe || looked >= MOST_NODES)
        return false;
    size_t before = sink->length;
    bool steps = false;
    for (const xmlNode *node = next_node(recipe, recipe, true); node && looked++ < MOST_NODES;) {
        size_t length = sink->length;
        bool taken = add_property(node, sink);
        steps |= taken && sink->length > length && sink->data[length] == BK_PIECE_STEP;
        node = next_node(node, recipe, !taken);
    }
    if (!steps)
        sink->length = before;
    return steps;
}

/* ------------------------------------- heat that the page shows beside its data */

/* "180 C", "350°F", "gas 4" */
static bool tells_heat(const char *text)
{
    size_t length = strlen(text);
    for (size_t i = 0; i + 4 < length; i++) {
        if (isdigit((unsigned char)text[i]) && isdigit((unsigned char)text[i + 1]) &&
            isdigit((unsigned char)text[i + 2]) && !isdigit((unsigned char)text[i + 3]) &&
            text[i] != '0' && (i == 0 || !isdigit((unsigned char)text[i - 1]))) {
            size_t at = i + 3;
            at += text[at] == ' ';
            if (at < length && (strchr("CFcf", text[at]) || text[at] == '\xc2') &&
                !(at + 1 < length && isalpha((unsigned char)text[at + 1])))
                return true;
        }
        if (strncasecmp(text + i, "gas ", 4) == 0 &&
            (isdigit((unsigned char)text[i + 4]) || strncasecmp(text + i + 4, "mark", 4) == 0))
            return true;
    }
    return false;
}

/* Where no step says how hot the oven is: the first short line that the page shows which does. */
static void take_shown_heat(const xmlNode *root, bk_sink *sink)
{
    enum { LONGEST = 200 };
    size_t end = sink->length;
    bool bakes = false, told = false;
    for (size_t at = 0; at < end && !told;) {
        char *piece = sink->data + at, *stop = memchr(piece, '\n', end - at);
        *stop = '\0';
        if (is_of_steps(piece) || *piece == BK_PIECE_NOTE) {
            told = tells_heat(piece);
            bakes |= bk_line_contains(piece + 1, "bake") || bk_line_contains(piece + 1, "oven") ||
                     bk_line_contains(piece + 1, "roast");
        }
        *stop = '\n';
        at += (size_t)(stop + 1 - piece);
    }
    if (!bakes || told)
        return;
    add_lines(root, sink, BK_PIECE_NOTE);
    for (size_t at = end; at < sink->length;) {
        char *piece = sink->data + at, *stop = memchr(piece, '\n', sink->length - at);
        size_t length = (size_t)(stop + 1 - piece);
        *stop = '\0';
        bool tells = length <= LONGEST && tells_heat(piece) &&
                     (bk_line_contains(piece + 1, "oven") || bk_line_contains(piece + 1, "bake"));
        *stop = '\n';
        if (tells) {
            memmove(sink->data + end, piece, length);
            end += length;
            break;
        }
        at += length;
    }
    sink->length = end;
}

bool bk_page_read(const char *html, size_t length, bk_sink *sink)
{
    htmlDocPtr page =
        htmlReadMemory(html, (int)length, NULL, "UTF-8",
                       HTML_PARSE_RECOVER | HTML_PARSE_NOERROR | HTML_PARSE_NOWARNING |
                           HTML_PARSE_NONET | HTML_PARSE_COMPACT);
    if (!page)
        return false;
    const xmlNode *root = xmlDocGetRootElement(page);
    if (root && read_json_ld(root, sink)) {
        take_shown_steps(root, sink);
        take_shown_heat(root, sink);
    } else if (root && read_microdata(root, sink)) {
        take_shown_heat(root, sink);
    } else if (root) {
        add_lines(root, sink, BK_PIECE_LINE);
    }
    xmlFreeDoc(page);
    return true;
}
