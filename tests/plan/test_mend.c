/* Mends of a plan's faults that are sure: worked cases; every bad plan of the tests keeps all
 * other bytes; and plans that are sound, with one slip of the pen put in at random, come back
 * as they were, byte for byte, or are left alone. */
#include "corpus.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "files/files.h"
#include "plan/plan.h"
#include "support/splitmix.h"

typedef struct one_file {
    const char *text;
    size_t length;
} one_file;

static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    const one_file *file = context;
    (void)most;
    *problem = BK_NO_SUCH_FILE;
    if (strcmp(path, "plan.json") != 0)
        return false;
    *text = bk_copy(arena, file->text, file->length);
    *length = file->length;
    return true;
}

/* The text mended; NULL when nothing is sure. */
static const char *mended(bk_arena *arena, const char *text)
{
    one_file file = {text, strlen(text)};
    bk_files files = {load, &file};
    size_t count = 0;
    const bk_mended *list = bk_plan_mend(arena, &files, "plan.json", NULL, &count);
    assert_true(count <= 1);
    if (count == 0)
        return NULL;
    assert_string_equal(list->path, "plan.json");
    assert_string_equal(list->before, text);
    assert_int_equal(list->length, strlen(list->text));
    assert_true(list->mends > 0);
    return list->text;
}

#define HEAD "{\"occasion\": \"Tea\", \"timezone\": \"UTC\", \"serve\": \"2026-12-24 16:00\",\n"
#define KITCHEN                                                                                    \
    " \"kitchen\": {\"equipment\": {\"oven\": {\"kind\": \"oven\"}, \"fridge\": {\"kind\": "       \
    "\"cold\"}}},\n"
#define DISH                                                                                       \
    " \"dishes\": [{\"dish\": \"Rolls\", \"stages\": [\n"                                          \
    "  {\"id\": \"shape\", \"do\": \"Shape\", \"active\": \"5 min\"},\n"

static void expect(const char *before, const char *after)
{
    bk_arena *arena = bk_arena_new(NULL);
    const char *text = mended(arena, before);
    if (!after)
        assert_null(text);
    else
        assert_string_equal(text ? text : "(nothing is sure)", after);
    bk_arena_free(arena);
}

/* The same plan with one stage as it is and as it is mended. */
#define STAGE(text) HEAD KITCHEN DISH "  " text "]}]}\n"

static void worked_cases(void **state)
{
    (void)state;
    static const char *const stages[][2] = {
        /* commas */
        {"{\"id\": \"bake\", \"do\": \"Bake\" // hot\n \"passive\": \"9 min\"}",
         "{\"id\": \"bake\", \"do\": \"Bake\", // hot\n \"passive\": \"9 min\"}"},
        {"{\"id\": \"bake\", \"do\": \"Bake\",, , \"passive\": \"9 min\",}",
         "{\"id\": \"bake\", \"do\": \"Bake\",  \"passive\": \"9 min\"}"},
        /* quotes, and words in large letters */
        {"{id: \"bake\", \"do\": \u201CBake\u201D, passive: \u201E9 min\u201C, \"watch\": FALSE}",
         "{\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"9 min\", \"watch\": false}"},
        /* a key, a word, a name, each with one that is near */
        {"{\"id\": \"bake\", \"do\": \"Bake\", \"pasive\": \"9 min\", \"begins\": \"itsef\", "
         "\"uses\": {\"frige\": 1}, \"after\": \"shap\"}",
         "{\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"9 min\", \"begins\": \"itself\", "
         "\"uses\": {\"fridge\": 1}, \"after\": \"shape\"}"},
        /* numbers and truths in quotes */
        {"{\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"9 min\", \"watch\": \"false\", "
         "\"uses\": {\"fridge\": \"1\"}}",
         "{\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"9 min\", \"watch\": false, "
         "\"uses\": {\"fridge\": 1}}"},
        /* escapes stay as written */
        {"{\"id\": \"bake\", \"do\": \"Bake \\u00e9\\\"\", \"pasive\": \"9 min\"}",
         "{\"id\": \"bake\", \"do\": \"Bake \\u00e9\\\"\", \"passive\": \"9 min\"}"},
    };
    for (size_t i = 0; i < sizeof stages / sizeof *stages; i++) {
        bk_arena *arena = bk_arena_new(NULL);
        expect(bk_format(arena, HEAD KITCHEN DISH "  %s]}]}\n", stages[i][0]),
               bk_format(arena, HEAD KITCHEN DISH "  %s]}]}\n", stages[i][1]));
        bk_arena_free(arena);
    }
}

static void what_is_not_sure_stays(void **state)
{
    (void)state;
    /* sound */
    expect(STAGE("{\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"9 min\"}"), NULL);
    /* far from every key; a number that is another; two that are near; the key is there */
    expect(STAGE("{\"id\": \"b\", \"do\": \"Bake\", \"passive\": \"9 min\", \"colour\": 1}"), NULL);
    expect(
        STAGE("{\"id\": \"bake1\", \"do\": \"Bake\", \"passive\": \"9 min\"},\n"
              "{\"id\": \"lift\", \"do\": \"Lift\", \"passive\": \"9 min\", \"after\": \"bake2\"}"),
        NULL);
    expect(
        STAGE("{\"id\": \"bake-a\", \"do\": \"Bake\", \"passive\": \"9 min\"},\n"
              "{\"id\": \"bake-b\", \"do\": \"Bake\", \"passive\": \"9 min\"},\n"
              "{\"id\": \"lift\", \"do\": \"Lift\", \"active\": \"9 min\", \"after\": \"bake-c\"}"),
        NULL);
    expect(
        STAGE("{\"id\": \"b\", \"do\": \"Bake\", \"passive\": \"9 min\", \"pasive\": \"8 min\"}"),
        NULL);
    /* which end of the range, which unit, how many */
    expect(STAGE("{\"id\": \"b\", \"do\": \"Bake\", \"passive\": \"15-12 min\"}"), NULL);
    expect(STAGE("{\"id\": \"b\", \"do\": \"Bake\", \"passive\": \"9\"}"), NULL);
    /* with the word mended another fault comes out: as many as before */
    expect(HEAD " \"kitchen\": {\"equipment\": {\"oven\": {\"kind\": \"ovn\"}}},\n" DISH
                "  {\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"9 min\", \"uses\": "
                "{\"oven\": 1}}]}]}\n",
           NULL);
    expect("{", NULL);
    expect("", NULL);
}

/* Only what is asked for, in as many lines. */
static void bad_plans_keep_the_rest(void **state)
{
    static const char *const folders[] = {"tests/data/plan/invalid", "tests/data/cli/bad"};
    size_t some = 0;
    (void)state;
    for (size_t i = 0; i < 2; i++) {
        bk_arena *names = bk_arena_new(NULL);
        for (char **name = corpus_names(names, folders[i]); *name; name++) {
            bk_arena *arena = bk_arena_new(NULL);
            bk_files files = bk_files_system();
            bk_report report = bk_report_new(arena);
            size_t count = 0;
            const char *path = bk_format(arena, "%s/%s.json", folders[i], *name);
            bk_plan_read(arena, &files, path, NULL, &report);
            const bk_mended *list = bk_plan_mend(arena, &files, path, NULL, &count);
            for (size_t j = 0; j < count; j++) {
                size_t lines = 0;
                some++;
                for (size_t k = 0; k < list[j].before_length; k++)
                    lines += list[j].before[k] == '\n';
                for (size_t k = 0; k < list[j].length; k++)
                    lines -= list[j].text[k] == '\n';
                assert_int_equal(lines, 0);
            }
            bool sure = false;
            for (size_t j = 0; j < report.count; j++)
                sure |= report.messages[j].fix.text != NULL;
            assert_true(sure || count == 0);
            bk_arena_free(arena);
        }
        bk_arena_free(names);
    }
    assert_true(some >= 10);
}

/* Where something stands in the text, outside of comments, the n-th of those. */
static size_t nth_comma(const char *text, uint64_t n)
{
    size_t found[2000], count = 0;
    for (size_t at = 0; text[at]; at++) {
        if (text[at] == '"')
            for (at++; text[at] != '"'; at++)
                at += text[at] == '\\';
        else if (text[at] == '/')
            at += strcspn(text + at, "\n") - 1;
        else if (text[at] == ',' && count < 2000)
            found[count++] = at;
    }
    return found[n % count];
}

static void slips_are_undone(void **state)
{
    static const char *const names[] = {
        "plans/recipes/bay-panna-cotta.json", "plans/recipes/onion-gravy.json",
        "plans/kitchens/home.json", "plans/recipes/roast-chicken.json"};
    uint64_t seed = 41;
    size_t undone = 0, left = 0;
    bk_read_options alone = {.alone = true};
    (void)state;
    for (int round = 0; round < 600; round++) {
        bk_arena *arena = bk_arena_new(NULL);
        bk_files system = bk_files_system();
        const char *sound = NULL, *problem = NULL;
        size_t length = 0, count = 0;
        assert_true(system.load(system.context, arena, names[splitmix64(&seed) % 4], BK_MOST_BYTES,
                                &sound, &length, &problem));
        size_t comma = nth_comma(sound, splitmix64(&seed)), quote = comma;
        bk_text slip = bk_text_new(arena);
        uint64_t kind = splitmix64(&seed) % 3;
        /* a comma left out or typed twice; a letter of the next text left out */
        while (kind == 2 && sound[quote] != '"')
            quote++;
        size_t at = kind == 2 ? quote + 2 : comma + (kind == 1);
        bk_text_add_bytes(&slip, sound, at);
        if (kind == 1)
            bk_text_add(&slip, ",");
        bk_text_add(&slip, sound + at + (kind != 1));
        one_file file = {slip.data, slip.length};
        bk_files files = {load, &file};
        const bk_mended *list = bk_plan_mend(arena, &files, "plan.json", &alone, &count);
        if (count == 0) {
            left++;
        } else {
            assert_int_equal(count, 1);
            assert_string_equal(list->text, sound);
            undone++;
        }
        bk_arena_free(arena);
    }
    assert_true(undone > 300); /* a letter of an ingredient's name is nobody's business */
    assert_true(left > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_cases),
        cmocka_unit_test(what_is_not_sure_stays),
        cmocka_unit_test(bad_plans_keep_the_rest),
        cmocka_unit_test(slips_are_undone),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
