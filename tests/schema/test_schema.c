/* docs/plan.schema.json, with those of a recipe and a kitchen, and the tables of
 * docs/plan-format.md say what src/plan/keys.c says. With --update they are written anew. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "files/files.h"
#include "heat/heat.h"
#include "plan/cooling_keys.h"
#include "plan/keys.h"
#include "json/json.h"

static jmp_buf no_memory;
static bk_arena *arena;
static bool update;

static const char DIALECT[] = "https://json-schema.org/draft/2020-12/schema";

static const char *text_of(const char *path)
{
    bk_files files = bk_files_system();
    const char *text = NULL, *problem = NULL;
    size_t length = 0;
    if (!files.load(files.context, arena, path, BK_MOST_BYTES, &text, &length, &problem))
        return NULL;
    return text;
}

/* The file holds the text; or is given it. */
static void expect_file(const char *path, const char *text)
{
    const char *there = text_of(path);
    if (there && strcmp(there, text) == 0)
        return;
    if (!update)
        fail_msg("%s is not what src/plan/keys.c says: run make schema, and read what changed",
                 path);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, strlen(text), file), strlen(text));
    assert_int_equal(fclose(file), 0);
    printf("%s is new\n", path);
}

/* The same laid out as bakeset tidy does. */
static const char *tidy(const char *text)
{
    bk_report report = bk_report_new(arena);
    bk_source source = {"schema", text, strlen(text)};
    bk_text out = bk_text_new(arena);
    assert_true(bk_json_tidy(arena, &source, &out, &report));
    return out.data;
}

/* ------------------------------------------------------------------- schemas */

/* A value's form is there; gives a reference to it. */
static cJSON *reference_to(const cJSON *definitions, const char *form)
{
    if (!cJSON_GetObjectItemCaseSensitive(definitions, form))
        fail_msg(
            "src/plan/keys.c names the form \"%s\", which is in no table and not in forms.json",
            form);
    cJSON *reference = cJSON_CreateObject();
    cJSON_AddStringToObject(reference, "$ref", bk_format(arena, "#/$defs/%s", form));
    return reference;
}

/* What the page says, without its signs for code. */
static const char *plain(const char *text)
{
    bk_text out = bk_text_new(arena);
    for (; *text; text++)
        if (*text != '`' && !(text[0] == '\\' && text[1] == '|'))
            bk_text_add_bytes(&out, text, 1);
    return out.data;
}

static bool is_required(const bk_key *key)
{
    return key->otherwise && strcmp(key->otherwise, "required") == 0;
}

static void add_words(cJSON *schema, const char *const *words)
{
    cJSON *list = cJSON_AddArrayToObject(schema, "enum");
    for (; *words; words++)
        cJSON_AddItemToArray(list, cJSON_CreateString(*words));
}

static cJSON *key_schema(const cJSON *definitions, const bk_key *key)
{
    bool several = key->form && strcmp(key->form, "several") == 0;
    assert_true((!key->form || several) != !key->words);
    cJSON *schema = key->words ? cJSON_CreateObject() : reference_to(definitions, key->form);
    if (several) {
        cJSON *any = cJSON_AddArrayToObject(schema, "anyOf");
        cJSON *one = cJSON_CreateObject(), *list = cJSON_CreateObject();
        cJSON_AddStringToObject(list, "type", "array");
        cJSON_AddNumberToObject(list, "minItems", 1);
        add_words(one, key->words);
        add_words(cJSON_AddObjectToObject(list, "items"), key->words);
        cJSON_AddItemToArray(any, one);
        cJSON_AddItemToArray(any, list);
    } else if (key->words) {
        add_words(schema, key->words);
    }
    const char *text = plain(key->meaning);
    if (key->otherwise && !is_required(key))
        text = bk_format(arena, "%s. Without it: %s", text, plain(key->otherwise));
    cJSON_AddStringToObject(schema, "description", text);
    return schema;
}

/* What an object has to have, unless a file that it names may have it. */
static void add_required(cJSON *schema, const bk_object *object)
{
    cJSON *required = cJSON_CreateArray();
    for (const bk_key *key = object->keys; key->name; key++)
        if (is_required(key))
            cJSON_AddItemToArray(required, cJSON_CreateString(key->name));
    if (cJSON_GetArraySize(required) == 0) {
        cJSON_Delete(required);
    } else if (!object->reference) {
        cJSON_AddItemToObject(schema, "required", required);
    } else {
        cJSON *any = cJSON_AddArrayToObject(schema, "anyOf"), *named = cJSON_CreateObject();
        cJSON *whole = cJSON_CreateObject();
        cJSON_AddItemToObject(whole, "required", required);
        cJSON_AddItemToArray(cJSON_AddArrayToObject(named, "required"),
                             cJSON_CreateString(object->reference));
        cJSON_AddItemToArray(any, named);
        cJSON_AddItemToArray(any, whole);
    }
}

static void fill_object(const cJSON *definitions, cJSON *schema, const bk_object *object,
                        const cJSON *also)
{
    cJSON_AddStringToObject(schema, "type", "object");
    cJSON *properties = cJSON_AddObjectToObject(schema, "properties");
    for (const bk_key *key = object->keys; key->name; key++) {
        assert_null(cJSON_GetObjectItemCaseSensitive(properties, key->name));
        cJSON_AddItemToObject(properties, key->name, key_schema(definitions, key));
    }
    cJSON_AddBoolToObject(schema, "additionalProperties", 0);
    add_required(schema, object);
    for (const cJSON *more = also ? also->child : NULL; more; more = more->next) {
        assert_null(cJSON_GetObjectItemCaseSensitive(schema, more->string));
        cJSON_AddItemToObject(schema, more->string, cJSON_Duplicate(more, 1));
    }
}

static cJSON *forms(void)
{
    const char *text = text_of("tests/schema/forms.json");
    assert_non_null(text);
    cJSON *read = cJSON_Parse(strchr(text, '{'));
    assert_non_null(read);
    return read;
}

static const char *printed(const cJSON *json)
{
    char *text = cJSON_PrintUnformatted(json);
    const char *kept = tidy(text);
    free(text);
    return kept;
}

static void test_schemas(void **state)
{
    (void)state;
    cJSON *read = forms(), *schema = cJSON_CreateObject();
    cJSON *also = cJSON_GetObjectItemCaseSensitive(read, "also");
    cJSON_AddStringToObject(schema, "$schema", DIALECT);
    cJSON_AddStringToObject(schema, "title", "A plan of bakeset");
    cJSON_AddStringToObject(
        schema, "description",
        "What docs/plan-format.md says, as far as a schema can. Written by make "
        "schema; not by hand.");
    cJSON_AddStringToObject(schema, "$ref", "#/$defs/plan");
    cJSON *definitions = cJSON_AddObjectToObject(schema, "$defs");
    for (const bk_object *object = bk_objects; object->name; object++)
        cJSON_AddObjectToObject(definitions, object->name);
    cJSON *values = cJSON_DetachItemFromObjectCaseSensitive(read, "values");
    while (values->child) {
        cJSON *value = cJSON_DetachItemViaPointer(values, values->child);
        assert_null(cJSON_GetObjectItemCaseSensitive(definitions, value->string));
        cJSON_AddItemToObject(definitions, value->string, value);
    }
    cJSON *foods = cJSON_AddArrayToObject(
        cJSON_GetObjectItemCaseSensitive(definitions, "food-name"), "examples");
    for (const char *const *food = bk_food_names(); *food; food++)
        cJSON_AddItemToArray(foods, cJSON_CreateString(*food));
    for (const bk_object *object = bk_objects; object->name; object++)
        fill_object(definitions, cJSON_GetObjectItemCaseSensitive(definitions, object->name),
                    object, cJSON_GetObjectItemCaseSensitive(also, object->name));
    for (const cJSON *more = also->child; more; more = more->next)
        assert_non_null(cJSON_GetObjectItemCaseSensitive(definitions, more->string));
    expect_file("docs/plan.schema.json", printed(schema));
    cJSON_Delete(values);
    cJSON_Delete(read);
    cJSON_Delete(schema);

    static const char *const others[][2] = {{"recipe", "dish"}, {"kitchen", "kitchen"}};
    for (size_t i = 0; i < 2; i++) {
        cJSON *other = cJSON_CreateObject();
        cJSON_AddStringToObject(other, "$schema", DIALECT);
        cJSON_AddStringToObject(other, "title",
                                bk_format(arena, "A %s file of bakeset", others[i][0]));
        cJSON_AddStringToObject(other, "$ref",
                                bk_format(arena, "plan.schema.json#/$defs/%s", others[i][1]));
        expect_file(bk_format(arena, "docs/%s.schema.json", others[i][0]), printed(other));
        cJSON_Delete(other);
    }
}

/* --------------------------------------------------------------------- tables */

static void add_rows(bk_text *page, const bk_key *keys)
{
    for (const bk_key *key = keys; key->name; key++)
        if (key->name[0] != '$')
            bk_text_addf(page, "| `%s` | %s |%s%s |\n", key->name, key->meaning,
                         key->otherwise ? " " : "", key->otherwise ? key->otherwise : "");
}

/* In the order in which they stand on the page. */
static void test_tables(void **state)
{
    static const char head[] = "| key | meaning | default |\n|---|---|---|\n";
    static const bk_key *const tables[] = {bk_plan_keys, bk_kitchen_keys, bk_dish_keys,
                                           bk_stage_keys, bk_cooling_value_keys};
    (void)state;
    const char *text = text_of("docs/plan-format.md"), *at = text;
    assert_non_null(text);
    bk_text page = bk_text_new(arena);
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++) {
        const char *table = strstr(at, head);
        assert_non_null(table);
        bk_text_add_bytes(&page, at, (size_t)(table - at) + strlen(head));
        add_rows(&page, tables[i]);
        at = strstr(table, "\n\n") + 1;
    }
    assert_null(strstr(at, head));
    bk_text_add(&page, at);
    expect_file("docs/plan-format.md", page.data);
}

/* A composition's keys are those whose values go somewhere. */
static void test_composition(void **state)
{
    (void)state;
    size_t count = 0;
    for (; bk_cooling_parts[count] && bk_composition_keys[count].name; count++)
        assert_string_equal(bk_composition_keys[count].name, bk_cooling_parts[count]);
    assert_null(bk_cooling_parts[count]);
    assert_null(bk_composition_keys[count].name);
}

int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_schemas),
        cmocka_unit_test(test_tables),
        cmocka_unit_test(test_composition),
    };
    update = argc > 1 && strcmp(argv[1], "--update") == 0;
    arena = bk_arena_new(&no_memory);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    bk_arena_free(arena);
    return failed;
}
