/* Values by their place, and places as RFC 6901 writes them. */
#include "json/json.h"

/* Depth is bounded by BK_MOST_NESTING. */
const bk_json *bk_json_at(const bk_json *root, uint32_t offset)
{
    if (root->offset == offset || (root->key && root->key_offset == offset))
        return root;
    for (const bk_json *child = root->first; child; child = child->next) {
        const bk_json *found = bk_json_at(child, offset);
        if (found)
            return found;
    }
    return NULL;
}

const bk_json *bk_json_around(const bk_json *root, const bk_json *value)
{
    for (const bk_json *child = root->first; child; child = child->next) {
        const bk_json *found = child == value ? root : bk_json_around(child, value);
        if (found)
            return found;
    }
    return NULL;
}

/* RFC 6901, section 3: ~ is ~0 and / is ~1. */
static void add_step(bk_text *out, const char *key)
{
    bk_text_add(out, "/");
    for (; *key; key++)
        if (*key == '~')
            bk_text_add(out, "~0");
        else if (*key == '/')
            bk_text_add(out, "~1");
        else
            bk_text_add_bytes(out, key, 1);
}

/* The steps from `root` to the value, behind one another; false, and nothing, when it is not below.
 */
static bool add_steps(bk_text *out, const bk_json *root, const bk_json *value)
{
    size_t number = 0, length = out->length;
    if (root == value)
        return true;
    for (const bk_json *child = root->first; child; child = child->next, number++) {
        if (root->type == BK_JSON_LIST)
            bk_text_addf(out, "/%zu", number);
        else
            add_step(out, child->key);
        if (add_steps(out, child, value))
            return true;
        out->length = length;
        out->data[length] = '\0';
    }
    return false;
}

char *bk_json_pointer(bk_arena *arena, const bk_json *root, const bk_json *value)
{
    bk_text out = bk_text_new(arena);
    return add_steps(&out, root, value) ? out.data : NULL;
}
