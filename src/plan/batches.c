/* Batches of a dish: which of its stages are done once for each. */
#include "plan/reader.h"

#include <string.h>

/* Where in the list the stage with this id stands; SIZE_MAX: nowhere. */
static size_t place_of(const bk_json *list, const char *id)
{
    size_t at = 0;
    for (const bk_json *item = list->first; item; item = item->next, at++) {
        const bk_json *own = item->type == BK_JSON_OBJECT ? bk_json_get(item, "id") : NULL;
        if (own && own->type == BK_JSON_STRING && strcmp(own->string, id) == 0)
            return at;
    }
    return SIZE_MAX;
}

static const char *const *ids_of(bk_arena *arena, const bk_json *stages)
{
    const char **ids = BK_NEW(arena, const char *, stages->count + 1);
    size_t count = 0;
    for (const bk_json *stage = stages->first; stage; stage = stage->next) {
        const bk_json *id = bk_json_get(stage, "id");
        if (id && id->type == BK_JSON_STRING)
            ids[count++] = id->string;
    }
    return ids;
}

/* Whether the ids are those of stages that follow one another in the list. */
static bool read_ids(bk_reader *reader, bk_json *ids, const bk_json *stages, bk_batches *batches)
{
    static const char *const mend = "write the ids of stages, such as [\"shape\", \"bake\"]";
    if (ids->type != BK_JSON_LIST || ids->count == 0) {
        bk_wrong_type(reader, ids, "\"stages\" of \"batches\"", "a list of ids", mend);
        return false;
    }
    for (bk_json *id = ids->first; id; id = id->next) {
        if (id->type != BK_JSON_STRING) {
            bk_wrong_type(reader, id, "a stage of \"batches\"", "its id", mend);
            return false;
        }
        size_t at = place_of(stages, id->string);
        if (at == SIZE_MAX) {
            const char *const *names = ids_of(reader->arena, stages);
            const char *near = bk_suggestion(reader, id->string, names, NULL);
            bk_problem_fix(reader, "unknown-stage", bk_json_place(id),
                           bk_fix_name(reader, bk_json_place(id), id->string, names),
                           near ? near : mend, "the dish has no stage %s",
                           bk_quoted(reader->arena, id->string));
            return false;
        }
        if (batches->stages > 0 && at != batches->first + batches->stages) {
            bk_problem(reader, "batches", bk_json_place(id),
                       "name stages that stand one after another in the list, in that order",
                       "the stage %s does not stand behind the one before it",
                       bk_quoted(reader->arena, id->string));
            return false;
        }
        batches->first = batches->stages == 0 ? at : batches->first;
        batches->stages++;
    }
    return true;
}

bk_batches bk_read_batches(bk_reader *reader, bk_json *dish)
{
    static const char *const mend = "write {\"count\": 4, \"stages\": [\"shape\", \"bake\"]}";
    bk_batches batches = {0}, none = {0};
    bk_json *json = bk_json_get(dish, "batches"), *stages = bk_json_get(dish, "stages");
    if (!json || !bk_is_object(reader, json, "\"batches\"", mend))
        return none;
    bk_check_keys(reader, json, "\"batches\"", bk_batches_keys);
    bk_json *ids = bk_json_get(json, "stages");
    int64_t count = 0;
    bool counted = bk_get_count(reader, json, "count", BK_MOST_BATCHES, &count);
    if (!bk_json_get(json, "count"))
        bk_missing(reader, json, "\"batches\"", "count", "say how many there are");
    if (!ids) {
        bk_missing(reader, json, "\"batches\"", "stages", "name the stages done once a batch");
        return none;
    }
    if (!stages || stages->type != BK_JSON_LIST || !read_ids(reader, ids, stages, &batches) ||
        !counted)
        return none;
    batches.count = (size_t)count;
    return batches;
}

size_t bk_batches_meant(const bk_reader *reader, size_t found, const bk_json *json)
{
    const bk_stage *stage = &reader->plan->stages[found];
    const char *slash = strrchr(json->string, '/');
    bool one = stage->batch != 1 || strcmp(slash ? slash + 1 : json->string, stage->id) == 0;
    return one ? 1 : reader->plan->dishes[stage->dish].batches;
}
