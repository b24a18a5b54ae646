/* Files that a plan refers to: found beside the file that names them, read once,
 * and laid over one another. */
#include "plan/reader.h"

#include <string.h>

/* ------------------------------------------------------------------- paths */

/* `path` as named in the file at `place`: relative to that file. */
static const char *path_beside(bk_arena *arena, bk_place place, const char *path)
{
    const char *from = place.source ? place.source->name : "";
    const char *slash = strrchr(from, '/');
    while (path[0] == '.' && path[1] == '/') {
        for (path += 2; *path == '/'; path++) {
        }
    }
    if (path[0] == '/' || !slash) {
        /* "-" would mean standard input, which only the command line may name. */
        return bk_format(arena, "%s%s", strcmp(path, "-") == 0 ? "./" : "", path);
    }
    return bk_format(arena, "%.*s/%s", (int)(slash - from), from, path);
}

/* "a/../b" and "b" alike. Only to compare: with a symbolic link the two may be
 * different files, so what is opened is the path as written. */
static const char *plain_path(bk_arena *arena, const char *path)
{
    char *out = BK_NEW(arena, char, strlen(path) + 2);
    size_t length = 0;
    bool absolute = path[0] == '/';
    while (*path != '\0') {
        size_t step = strcspn(path, "/");
        bool up = step == 2 && path[0] == '.' && path[1] == '.';
        size_t last = length;
        while (last > 0 && out[last - 1] != '/')
            last--;
        bool can_go_up = length > 0 && strcmp(out + last, "..") != 0;
        if (up && can_go_up) {
            length = last > 0 ? last - 1 : 0;
        } else if (up ? !absolute : step > 0 && !(step == 1 && path[0] == '.')) {
            if (length > 0 || absolute)
                out[length++] = '/';
            memcpy(out + length, path, step);
            length += step;
        }
        out[length] = '\0';
        path += step + (path[step] == '/');
    }
    return out;
}

static const char *folder_of(bk_arena *arena, const char *path)
{
    const char *slash = strrchr(path, '/');
    if (!slash)
        return ".";
    return slash == path ? "/" : bk_copy(arena, path, (size_t)(slash - path));
}

static bool starts_with_step(const char *path, const char *step)
{
    size_t length = strlen(step);
    return strncmp(path, step, length) == 0 && (path[length] == '/' || path[length] == '\0');
}

/* A plan from a stranger could name any file, whose first line would stand in a message: what it
 * names lies in its own folder, wherever links lead; by the words of the path where there is no
 * such file, so that nobody is told whether there is. */
static bool is_inside(bk_reader *reader, const char *path)
{
    enum bk_whereabouts where = bk_file_where(reader->folder, path);
    if (where != BK_NOWHERE)
        return where == BK_INSIDE;
    const char *folder = plain_path(reader->arena, reader->folder);
    const char *plain = plain_path(reader->arena, path);
    bool here = folder[0] == '\0', all = strcmp(folder, "/") == 0;
    if (here)
        return plain[0] != '/' && !starts_with_step(plain, "..");
    return all ? plain[0] == '/' : starts_with_step(plain, folder);
}

/* ------------------------------------------------------------------ loading */

/* Loads a file; NULL after reporting at `place`. */
static const bk_source *load(bk_reader *reader, const char *path, const char *name, bk_place place,
                             const char *what)
{
    if (reader->asked++ >= BK_MOST_FILES) { /* those that are not there, too */
        bk_problem(reader, "limit", place, NULL, "the plan refers to more than %d files",
                   BK_MOST_FILES);
        return NULL;
    }
    const char *text = NULL, *problem = NULL;
    size_t length = 0;
    bool allowed = !place.source || (reader->options && reader->options->allow_outside);
    if (!allowed && !is_inside(reader, path)) {
        bk_problem(reader, "outside", place,
                   "copy it beside the plan, or, if you trust the plan, give --allow-outside",
                   "%s %s is outside the plan's folder", what, bk_quoted(reader->arena, name));
        return NULL;
    }
    bool read = reader->files->load(reader->files->context, reader->arena, path, BK_MOST_BYTES,
                                    &text, &length, &problem);
    if (read && length > BK_MOST_BYTES) {
        read = false;
        problem = BK_TOO_LONG;
    }
    if (!read) {
        /* The plan itself stands on the command line; a file that it names is part
         * of the input. */
        bool named = place.source;
        if ((!named && strcmp(problem, BK_TOO_LONG) != 0) || bk_file_machine_failed(problem))
            reader->report->machine_failed = true;
        bk_problem(reader, "file", place,
                   named ? "a path is relative to the file that names it" : NULL,
                   "cannot read %s %s: %s", what, bk_quoted(reader->arena, name), problem);
        return NULL;
    }
    reader->bytes += length;
    if (reader->bytes > BK_MOST_ALL_BYTES) {
        bk_problem(reader, "limit", place, NULL,
                   "the files of this plan are larger than %d MiB together",
                   BK_MOST_ALL_BYTES / (1024 * 1024));
        return NULL;
    }
    const bk_source *source = bk_source_of(reader->arena, name, text, length);
    bk_plan *plan = reader->plan;
    *BK_PUSH(reader->arena, plan->sources, plan->source_count, reader->source_room) = source;
    return source;
}

const bk_source *bk_load_beside(bk_reader *reader, bk_json *path, const char *what)
{
    if (!bk_text_value(reader, path, "a path", BK_MOST_TEXT, false))
        return NULL;
    const char *beside = path_beside(reader->arena, bk_json_place(path), path->string);
    return load(reader, beside, beside, bk_json_place(path), what);
}

bk_json *bk_load_plan(bk_reader *reader, const char *path)
{
    bk_place nowhere = {NULL, 0};
    const char *name = strcmp(path, "-") == 0 ? "<stdin>" : bk_copy_string(reader->arena, path);
    reader->folder = strcmp(path, "-") == 0 ? "." : folder_of(reader->arena, path);
    const bk_source *source = load(reader, path, name, nowhere, "the plan");
    return source ? bk_json_read(reader->arena, source, reader->report) : NULL;
}

/* The root of a file that `reference` names. Each is read once; one that is not
 * there is reported wherever it is named, faults inside it only once. */
static bk_json *load_once(bk_reader *reader, const char *path, bk_json *reference, const char *what)
{
    for (size_t i = 0; i < reader->loaded_count; i++)
        if (strcmp(reader->loaded[i].path, path) == 0)
            return reader->loaded[i].root;
    const bk_source *source = load(reader, path, path, bk_json_place(reference), what);
    if (!source)
        return NULL;
    bk_json *root = bk_json_read(reader->arena, source, reader->report);
    *BK_PUSH(reader->arena, reader->loaded, reader->loaded_count, reader->loaded_room) =
        (bk_loaded){path, root};
    return root;
}

/* ---------------------------------------------------------------- resolving */

/* A dish has ten keys: more than MOST_MEMBERS would only be slow to lay over others. */
enum { MOST_LAYERS = BK_MOST_REFERENCES + 1, MOST_MEMBERS = 50 };

/* The reference in one layer: the text that is a path, or NULL. */
static bk_json *reference_in(bk_reader *reader, bk_json *json, const char *key, bool bare,
                             bool *failed)
{
    bk_json *reference = bare && json->type == BK_JSON_STRING ? json : bk_json_get(json, key);
    if (reference && !bk_text_value(reader, reference, bk_format(reader->arena, "\"%s\"", key),
                                    BK_MOST_TEXT, false)) {
        *failed = true;
        return NULL;
    }
    return reference;
}

/* Puts the members of `layer` over those of `merged`. */
static void lay_over(bk_reader *reader, bk_json *merged, bk_json *layer, const char *key)
{
    for (bk_json *member = layer->first; member; member = member->next) {
        if (strcmp(member->key, key) == 0)
            continue;
        bk_json **slot = &merged->first;
        while (*slot && strcmp((*slot)->key, member->key) != 0)
            slot = &(*slot)->next;
        bk_json *next = *slot ? (*slot)->next : NULL;
        merged->count += *slot == NULL;
        bk_json *copy = BK_NEW(reader->arena, bk_json, 1);
        *copy = *member;
        copy->next = next;
        *slot = copy;
    }
}

static bk_json *merge(bk_reader *reader, bk_json *const *layers, size_t count, const char *key)
{
    if (count == 1 && !bk_json_get(layers[0], key))
        return layers[0];
    bk_json *merged = BK_NEW(reader->arena, bk_json, 1);
    *merged = *layers[0];
    merged->first = NULL;
    merged->count = 0;
    for (size_t i = count; i-- > 0;) {
        if (layers[i]->count > MOST_MEMBERS) {
            bk_problem(reader, "limit", bk_json_place(layers[i]), NULL,
                       "more than %d keys beside a reference", MOST_MEMBERS);
            return NULL;
        }
        lay_over(reader, merged, layers[i], key);
    }
    return merged;
}

/* True when `path` is among the files of the chain; then reports the loop. */
static bool returns(bk_reader *reader, const char *const *chain, size_t count, const char *path,
                    bk_json *reference)
{
    const char *plain = plain_path(reader->arena, path);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(plain_path(reader->arena, chain[i]), plain) != 0)
            continue;
        bk_text loop = bk_text_new(reader->arena);
        for (size_t j = i; j < count; j++)
            bk_text_addf(&loop, "%s -> ", chain[j]);
        bk_problem(reader, "reference", bk_json_place(reference),
                   "let the last file hold the thing itself",
                   "these files refer to one another in a circle: %s%s", loop.data, path);
        return true;
    }
    return false;
}

bk_json *bk_resolve(bk_reader *reader, bk_json *json, const bk_reference *reference)
{
    const char *key = reference->key, *what = reference->what;
    bool bare = reference->bare;
    bk_json *layers[MOST_LAYERS];
    const char *chain[MOST_LAYERS + 1];
    size_t layer_count = 0, chain_count = 0;
    bool failed = false;
    chain[chain_count++] = json->source->name;
    for (;;) {
        if (json->type == BK_JSON_OBJECT) {
            layers[layer_count++] = json;
            bk_check_keys(reader, json, what, reference->known);
        }
        bk_json *path_json = reference_in(reader, json, key, bare, &failed);
        if (failed)
            return NULL;
        if (!path_json)
            break;
        const char *path = path_beside(reader->arena, bk_json_place(path_json), path_json->string);
        if (returns(reader, chain, chain_count, path, path_json))
            return NULL;
        if (chain_count > BK_MOST_REFERENCES) {
            bk_problem(reader, "reference", bk_json_place(path_json), "name the last file directly",
                       "a chain of more than %d files", BK_MOST_REFERENCES);
            return NULL;
        }
        json = load_once(reader, path, path_json, reference->file);
        if (!json)
            return NULL;
        chain[chain_count++] = path;
        if (!bk_is_object(reader, json, reference->file, NULL))
            return NULL;
        bare = false;
    }
    if (layer_count == 0) {
        bk_is_object(reader, json, what, NULL);
        return NULL;
    }
    return merge(reader, layers, layer_count, key);
}
