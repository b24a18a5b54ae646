/* schema.org Recipe as JSON: bare, in a list, in an "@graph"; whatever shape its values have. */
#include "takein/lists.h"

#include <cjson/cJSON.h>
#include <ctype.h>
#include <stdio.h>
#include <string.h>

/* Nodes looked at in search of the recipe, and brackets gone into for steps. */
enum { MOST_LOOKED_AT = 200000, DEEPEST_STEP = 12 };

static bool is_type(const cJSON *node, const char *name)
{
    const cJSON *type = cJSON_GetObjectItemCaseSensitive(node, "@type");
    const cJSON *each = cJSON_IsArray(type) ? type->child : type;
    for (; each; each = cJSON_IsArray(type) ? each->next : NULL) {
        if (cJSON_IsString(each)) {
            const char *slash = strrchr(each->valuestring, '/');
            if (strcmp(slash ? slash + 1 : each->valuestring, name) == 0)
                return true;
        }
    }
    return false;
}

static const cJSON *first_of(const cJSON *node, const char *a, const char *b, const char *c)
{
    const cJSON *found = cJSON_GetObjectItemCaseSensitive(node, a);
    if (!found && b)
        found = cJSON_GetObjectItemCaseSensitive(node, b);
    if (!found && c)
        found = cJSON_GetObjectItemCaseSensitive(node, c);
    return found;
}

static void add_texts(bk_sink *sink, enum bk_piece piece, const cJSON *value, int depth)
{
    if (cJSON_IsString(value)) {
        bk_sink_add_lines(sink, piece, value->valuestring);
    } else if (cJSON_IsNumber(value)) {
        char number[32];
        snprintf(number, sizeof number, "%.6g", value->valuedouble);
        bk_sink_add(sink, piece, number, strlen(number));
    } else if (cJSON_IsArray(value) && depth < DEEPEST_STEP) {
        for (const cJSON *item = value->child; item; item = item->next)
            add_texts(sink, piece, item, depth + 1);
    } else if (cJSON_IsObject(value) && depth < DEEPEST_STEP) {
        add_texts(sink, piece, first_of(value, "text", "name", "@value"), depth + 1);
    }
}

/* "ovenTemperature": "180 C"; a description that says how hot; a property of that name. */
static void add_heat(bk_sink *sink, const char *key, const cJSON *value)
{
    enum { LONGEST = 60 };
    char note[LONGEST + 16];
    if (!cJSON_IsString(value))
        return;
    if ((bk_line_contains(key, "oven") || bk_line_contains(key, "temperature")) &&
        strlen(value->valuestring) <= LONGEST) {
        snprintf(note, sizeof note, "Oven: %s", value->valuestring);
        bk_sink_add_lines(sink, BK_PIECE_NOTE, note);
    } else if (bk_line_contains(value->valuestring, "oven ") ||
               bk_line_contains(value->valuestring, "bake at") ||
               bk_line_contains(value->valuestring, "bakes at")) {
        bk_sink_add_lines(sink, BK_PIECE_NOTE, value->valuestring);
    }
}

static void add_steps(bk_sink *sink, const cJSON *value, int depth)
{
    if (depth > DEEPEST_STEP)
        return;
    if (cJSON_IsArray(value)) {
        for (const cJSON *item = value->child; item; item = item->next)
            add_steps(sink, item, depth + 1);
        return;
    }
    if (!cJSON_IsObject(value)) {
        if (cJSON_IsString(value))
            bk_sink_add_lines(sink, BK_PIECE_STEP, value->valuestring);
        return;
    }
    const cJSON *inner = first_of(value, "itemListElement", "steps", "item");
    const cJSON *text = first_of(value, "text", "description", NULL);
    const cJSON *name = cJSON_GetObjectItemCaseSensitive(value, "name");
    if (is_type(value, "HowToTip")) {
        add_texts(sink, BK_PIECE_NOTE, text ? text : name, depth + 1);
    } else if (inner && !(is_type(value, "HowToStep") && cJSON_IsString(text))) {
        if (is_type(value, "HowToSection"))
            add_texts(sink, BK_PIECE_HEADING, name, depth + 1);
        add_steps(sink, inner, depth + 1);
    } else {
        add_texts(sink, BK_PIECE_STEP, text ? text : name, depth + 1);
        if (text)
            add_heat(sink, "", name); /* "Bake at 190 C", and the text says how long */
    }
}

static void add_yield(bk_sink *sink, const cJSON *recipe)
{
    const cJSON *yield = first_of(recipe, "recipeYield", "yield", NULL);
    const cJSON *one = cJSON_IsArray(yield) ? yield->child : yield;
    add_texts(sink, BK_PIECE_YIELD, one, 0);
}

/* Heat that a page tells in a field of its own, and no step. */
static void add_heat_of_fields(bk_sink *sink, const cJSON *recipe)
{
    enum { MOST_FIELDS = 200 };
    size_t looked = 0;
    for (const cJSON *field = recipe->child; field && looked++ < MOST_FIELDS; field = field->next) {
        const char *key = field->string ? field->string : "";
        if (strcmp(key, "name") == 0 || strcmp(key, "headline") == 0 ||
            bk_line_contains(key, "instruction") || bk_line_contains(key, "step"))
            continue;
        add_heat(sink, key, field);
        for (const cJSON *one = cJSON_IsArray(field) ? field->child : NULL;
             one && looked++ < MOST_FIELDS; one = one->next) {
            const cJSON *name = cJSON_GetObjectItemCaseSensitive(one, "name");
            add_heat(sink, cJSON_IsString(name) ? name->valuestring : "",
                     cJSON_GetObjectItemCaseSensitive(one, "value"));
        }
    }
}

static bool add_recipe(bk_sink *sink, const cJSON *recipe)
{
    size_t before = sink->length;
    add_texts(sink, BK_PIECE_TITLE, first_of(recipe, "name", "headline", NULL), 0);
    add_yield(sink, recipe);
    add_texts(sink, BK_PIECE_INGREDIENT,
              first_of(recipe, "recipeIngredient", "ingredients", "supply"), 0);
    size_t steps = sink->length;
    add_steps(sink, first_of(recipe, "recipeInstructions", "instructions", "step"), 0);
    if (sink->length == steps) {
        sink->length = before;
        return false;
    }
    add_heat_of_fields(sink, recipe);
    return true;
}

/* cJSON keeps no way up: the path down is ours. */
static bool find_recipe(const cJSON *root, bk_sink *sink)
{
    enum { DEEPEST = 64 };
    const cJSON *path[DEEPEST];
    size_t depth = 0, looked = 0;
    const cJSON *node = root;
    while (node && looked++ < MOST_LOOKED_AT) {
        if (is_type(node, "Recipe") && add_recipe(sink, node))
            return true;
        if (node->child && depth < DEEPEST) {
            path[depth++] = node;
            node = node->child;
            continue;
        }
        while (!node->next && depth > 0)
            node = path[--depth];
        node = depth > 0 ? node->next : NULL;
    }
    return false;
}

/* cJSON ends a text at \u0000; a blank stands in for it. */
static void blank_out_nul(char *json, size_t length)
{
    for (size_t i = 0; i + 5 < length; i++)
        if (json[i] == '\\' && json[i + 1] == '\\')
            i++;
        else if (memcmp(json + i, "\\u0000", 6) == 0)
            memcpy(json + i, "      ", 6);
}

/* Pages put the data into <!-- --> or CDATA: it begins at the first bracket. */
bool bk_structured_read(const char *json, size_t length, bk_sink *sink)
{
    size_t start = 0;
    while (start < length && json[start] != '{' && json[start] != '[') {
        start++;
        if (start > 4096)
            return false;
    }
    if (start < length && strncmp(json + start, "[CDATA[", 7) == 0)
        start += 7;
    if (length - start >= sink->scratch_room)
        return false;
    char *copy = sink->scratch;
    memcpy(copy, json + start, length - start);
    copy[length - start] = '\0';
    blank_out_nul(copy, length - start);
    cJSON *root = cJSON_ParseWithOpts(copy, NULL, 0);
    bool found = root && find_recipe(root, sink);
    if (root && !found && cJSON_IsObject(root) && cJSON_HasObjectItem(root, "recipeInstructions"))
        found = add_recipe(sink, root); /* @type is missing */
    cJSON_Delete(root);
    return found;
}
