/* Links between stages: names to indices, waits and limits. */
#include "plan/reader.h"

#include <string.h>

/* "dish/id" of a stage with this id in any dish, or NULL. */
static const char *elsewhere(bk_reader *reader, const char *id)
{
    const bk_plan *plan = reader->plan;
    for (size_t i = 0; i < plan->dish_count && bk_problem_is_kept(reader); i++) {
        size_t found = bk_names_find(&reader->stages[i], id);
        if (found != SIZE_MAX && plan->dishes[i].name)
            return bk_format(reader->arena, "%s/%s", plan->dishes[i].name, id);
    }
    return NULL;
}

/* The stage at an index of the dish's names: behind the ids themselves stand those that
 * mean every batch, of which the first is given. */
static size_t stage_at(const bk_reader *reader, size_t dish, size_t found)
{
    const bk_dish *of = &reader->plan->dishes[dish];
    return of->first_stage + (found < of->stage_count ? found : found - of->stage_count);
}

/* "bake#2", where the dish has a stage "bake". */
static bool names_a_batch(const bk_reader *reader, size_t dish, const char *name)
{
    const char *sign = strrchr(name, '#');
    return sign && bk_names_find(&reader->stages[dish],
                                 bk_copy(reader->arena, name, (size_t)(sign - name))) != SIZE_MAX;
}

static size_t unknown_stage(bk_reader *reader, bk_json *json, const bk_names *among, const char *id)
{
    const char *other = elsewhere(reader, id);
    const char *mend =
        other ? bk_format(reader->arena, "did you mean %s?", bk_quoted(reader->arena, other))
              : bk_suggestion(reader, id, among->listed, "the dish");
    /* Where it is written without its dish, and no other dish has it. */
    bk_fix fix = other || id != json->string
                     ? (bk_fix){0}
                     : bk_fix_name(reader, bk_json_place(json), id, among->listed);
    bk_problem_fix(reader, "unknown-stage", bk_json_place(json), fix, mend, "there is no stage %s",
                   bk_quoted(reader->arena, json->string));
    return SIZE_MAX;
}

/* "dish/id". A dish's name may have a "/", an id never: the last one parts them. */
static size_t find_in_dish(bk_reader *reader, bk_json *json, const char *slash)
{
    char *name = bk_copy(reader->arena, json->string, (size_t)(slash - json->string));
    size_t dish = bk_names_find(&reader->dishes, name);
    for (size_t i = 0; dish == SIZE_MAX && i < reader->left_out_count; i++)
        if (strcmp(reader->left_out[i], name) == 0)
            return SIZE_MAX; /* it is over, and so is the wait for it */
    if (dish == SIZE_MAX) {
        if (!reader->dish_failed && !reader->plan->alone) {
            bk_problem(reader, "unknown-stage", bk_json_place(json),
                       bk_suggestion(reader, name, reader->dishes.listed, "the plan"),
                       "there is no dish %s", bk_quoted(reader->arena, name));
        }
        return SIZE_MAX;
    }
    size_t found = bk_names_find(&reader->stages[dish], slash + 1);
    if (found == SIZE_MAX)
        return unknown_stage(reader, json, &reader->stages[dish], slash + 1);
    return stage_at(reader, dish, found);
}

size_t bk_find_stage_named(bk_reader *reader, size_t dish, bk_json *json)
{
    if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json,
                      json->key ? bk_format(reader->arena, "\"%s\"", json->key) : "a link",
                      "the id of a stage", "write its id in double quotes");
        return SIZE_MAX;
    }
    const char *slash = strrchr(json->string, '/');
    if (slash)
        return find_in_dish(reader, json, slash);
    size_t found = bk_names_find(&reader->stages[dish], json->string);
    if (found != SIZE_MAX)
        return stage_at(reader, dish, found);
    if (reader->batches_failed[dish] && names_a_batch(reader, dish, json->string))
        return SIZE_MAX; /* what is wrong with the batches was said there */
    return unknown_stage(reader, json, &reader->stages[dish], json->string);
}

static void read_link_times(bk_reader *reader, bk_json *json, bk_link *link)
{
    bk_json *wait = bk_json_get(json, "wait"), *within = bk_json_get(json, "within");
    int from = 0;
    bool has_wait = bk_get_duration(reader, json, "wait", &link->wait);
    link->has_within = bk_get_duration(reader, json, "within", &link->within);
    if (bk_get_word(reader, json, "from", bk_link_ends, &from))
        link->from_start = from == 1;
    if (has_wait)
        link->wait_place = bk_json_place(wait);
    if (link->has_within) {
        link->within_place = bk_json_place(within);
        if (link->within < link->wait) {
            bk_problem(reader, "empty-range", bk_json_place(within),
                       "\"within\" counts from the same moment as \"wait\"",
                       "\"within\" (%s) is less than \"wait\" (%s)",
                       bk_minutes(reader->arena, link->within),
                       bk_minutes(reader->arena, link->wait));
        }
    }
}

static size_t plan_dish(const bk_reader *reader, size_t stage)
{
    return reader->plan->stages[stage].dish;
}

/* How far apart in plan.stages the same stages of two batches are. */
static size_t batch_step(const bk_reader *reader, size_t stage)
{
    return reader->plan->dishes[plan_dish(reader, stage)].batch_stages;
}

/* The link, and where it leads to the first of several batches one to each: all of them
 * are waited for, `within` counts from the first. */
static void add_links(bk_reader *reader, size_t index, bk_link link, size_t batches)
{
    bk_stage *stage = &reader->plan->stages[index];
    size_t step = batch_step(reader, link.stage);
    for (size_t i = 0; i < batches; i++) {
        *BK_PUSH(reader->arena, stage->links, stage->link_count, reader->link_room) = link;
        link.stage += step;
        link.has_within = false;
    }
}

/* What a stage comes after that says nothing: the one above it in the list. */
static void link_above(bk_reader *reader, size_t index)
{
    const bk_plan *plan = reader->plan;
    const bk_stage *stage = &plan->stages[index];
    const bk_dish *dish = &plan->dishes[stage->dish];
    size_t first = dish->first_stage, above = index - 1, batches = 1;
    size_t group = first + dish->batch_first;
    if (stage->batch > 0 && (index - group) % dish->batch_stages == 0) {
        above = group - 1; /* the first stage of its batch */
        index = group;
    } else if (stage->batch == 0 && index > first && plan->stages[above].batch > 0) {
        batches = dish->batches;
        above -= (batches - 1) * dish->batch_stages;
    }
    if (index > first) {
        add_links(reader, (size_t)(stage - plan->stages),
                  (bk_link){.stage = above, .place = stage->place}, batches);
    }
}

static void read_link(bk_reader *reader, size_t index, bk_json *json)
{
    static const char *const mend =
        "write an id, \"dish/id\" or {\"stage\": id, \"wait\": \"1 h\"}";
    bk_stage *stage = &reader->plan->stages[index];
    bk_link link = {.written = true, .place = bk_json_place(json)};
    bk_json *name = json;
    if (json->type == BK_JSON_OBJECT) {
        bk_check_keys(reader, json, "a link", bk_link_keys);
        read_link_times(reader, json, &link);
        name = bk_json_get(json, "stage");
        if (!name) {
            bk_missing(reader, json, "a link", "stage", "name the stage that comes before");
            return;
        }
    } else if (json->type != BK_JSON_STRING) {
        bk_wrong_type(reader, json, "what comes before a stage", "its id", mend);
        return;
    }
    link.stage = bk_find_stage_named(reader, stage->dish, name);
    if (link.stage == SIZE_MAX)
        reader->dish_unsure[stage->dish] = true;
    size_t batches = link.stage != SIZE_MAX ? bk_batches_meant(reader, link.stage, name) : 1;
    size_t step = link.stage != SIZE_MAX ? batch_step(reader, link.stage) : 0;
    if (batches > 1 && stage->batch > 0 && plan_dish(reader, link.stage) == stage->dish) {
        link.stage += (size_t)(stage->batch - 1) * step; /* within a batch */
        batches = 1;
    }
    if (link.stage == index) {
        bk_problem(reader, "cycle", bk_json_place(name), "name another stage",
                   "%s cannot come after itself", bk_stage_words(reader, index));
    } else if (link.stage != SIZE_MAX) {
        add_links(reader, index, link, batches);
    }
}

void bk_read_links(bk_reader *reader, size_t index)
{
    bk_json *after = bk_json_get(reader->stage_json[index], "after");
    bool list = after && after->type == BK_JSON_LIST;
    reader->link_room = 0;
    if (!after)
        link_above(reader, index);
    else if (list)
        for (bk_json *item = after->first; item; item = item->next)
            read_link(reader, index, item);
    else
        read_link(reader, index, after);
}
