/* The examples in docs/plan-format.md: each block of JSON is read as what the comment
 * above it says it is, without an error or a warning; the one that is wrong gives the
 * messages below it, word for word. */
#include "corpus.h"

#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

static const char *const PAGE = "docs/plan-format.md";

/* What the parts need round them to be a plan. */
#define KITCHEN                                                                                    \
    "{\"equipment\": {\"oven\": {\"kind\": \"oven\"}, \"hob\": {\"kind\": \"hob\"}, "              \
    "\"fridge\": {\"kind\": \"cold\"}, \"round tin\": {}, \"mixer\": {}}}"
#define DISH                                                                                       \
    "{\"dish\": \"Toast\", \"stages\": [{\"id\": \"toast\", \"do\": \"Toast\", \"active\": "       \
    "\"5 min\"}]}"
#define PLAN(kitchen, dishes)                                                                      \
    "{\"occasion\": \"Page\", \"timezone\": \"Europe/London\", \"serve\": \"2026-12-24 20:30\", "  \
    "\"kitchen\": " kitchen ", \"dishes\": [" dishes "]}"

typedef struct block {
    const char *tag, *text;
} block;

/* The block behind `at`: a comment with its tag, then a fenced text. NULL at the end. */
static const char *next_block(bk_arena *arena, const char *at, block *found)
{
    const char *tag = strstr(at, "<!-- ");
    if (tag == NULL)
        return NULL;
    tag += strlen("<!-- ");
    const char *tag_end = strstr(tag, " -->");
    assert_non_null(tag_end);
    const char *open = strstr(tag_end, "```");
    assert_non_null(open);
    const char *text = strchr(open, '\n') + 1, *close = strstr(text, "\n```\n");
    assert_non_null(close);
    found->tag = bk_copy(arena, tag, (size_t)(tag_end - tag));
    found->text = bk_copy(arena, text, (size_t)(close + 1 - text));
    return close;
}

static const char *whole_plan(bk_arena *arena, const block *part)
{
    if (strcmp(part->tag, "kitchen") == 0)
        return bk_format(arena, PLAN("%s", DISH), part->text);
    if (strcmp(part->tag, "dish") == 0)
        return bk_format(arena, PLAN(KITCHEN, "%s"), part->text);
    if (strcmp(part->tag, "stages") == 0)
        return bk_format(arena, PLAN(KITCHEN, "{\"dish\": \"Part\", \"stages\": %s}"), part->text);
    return part->text;
}

static void run_block(bk_arena *arena, const block *part)
{
    const char *files[] = {"plan.json", whole_plan(arena, part), "kitchens/home.json",
                           KITCHEN,     "recipes/rolls.json",    DISH,
                           NULL};
    bk_report report;
    bk_plan *plan = corpus_read(arena, files, NULL, &report);
    if (plan == NULL || report.count > 0)
        fail_msg("<!-- %s -->: %s", part->tag, corpus_messages(arena, &report));
}

static void examples_are_read(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const char *at = corpus_text(arena, PAGE);
    assert_non_null(at);
    block part = {0};
    int count = 0;
    while ((at = next_block(arena, at, &part)) != NULL) {
        if (strcmp(part.tag, "wrong") != 0 && strcmp(part.tag, "message") != 0) {
            run_block(arena, &part);
            count++;
        }
    }
    assert_true(count >= 6);
    bk_arena_free(arena);
}

static void messages_are_as_shown(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const char *at = corpus_text(arena, PAGE);
    assert_non_null(at);
    block wrong = {0}, message = {0};
    do {
        at = next_block(arena, at, &wrong);
        assert_non_null(at);
    } while (strcmp(wrong.tag, "wrong") != 0);
    assert_non_null(next_block(arena, at, &message));
    assert_string_equal(message.tag, "message");
    const char *files[] = {"plan.json", wrong.text, NULL};
    bk_report report;
    assert_null(corpus_read(arena, files, NULL, &report));
    assert_string_equal(corpus_messages(arena, &report), message.text);
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(examples_are_read),
        cmocka_unit_test(messages_are_as_shown),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
