/* A web page: JSON-LD, else microdata, else its visible lines. libxml2's HTML parser reads
 * what browsers read; it is told to fetch nothing, and scripts are text to it. */
#include "takein/parts.h"

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

static bool breaks_line(const xmlNode *node)
{
    return is_tag(
        node, " p div li br ul ol tr td th table section article header footer h1 h2 h3 h4 h5 h6 "
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

bool bk_page_read(const char *html, size_t length, bk_sink *sink)
{
    htmlDocPtr page =
        htmlReadMemory(html, (int)length, NULL, "UTF-8",
                       HTML_PARSE_RECOVER | HTML_PARSE_NOERROR | HTML_PARSE_NOWARNING |
                           HTML_PARSE_NONET | HTML_PARSE_COMPACT);
    if (!page)
        return false;
    const xmlNode *root = xmlDocGetRootElement(page);
    if (root && !read_json_ld(root, sink) && !read_microdata(root, sink))
        add_lines(root, sink, BK_PIECE_LINE);
    xmlFreeDoc(page);
    return true;
}
