/* Every writer on timelines made at random, sane or not: no rule of a kitchen is
 * kept, but whatever comes in, what goes out is well formed and fits. */
#include "write/write.h"

#include "fixture.h"
#include "markup_check.h"
#include "support/splitmix.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cjson/cJSON.h>
#include <cmocka.h>

enum { SEED = 20261217, TIMELINES = 60, STAGES = 40 };

static size_t below(uint64_t *state, size_t limit)
{
    return (size_t)(splitmix64(state) % limit);
}

/* Pieces of text that break things: markup, wide and joined characters, bytes that
 * are no characters, controls, long words. */
static const char *words(bk_arena *arena, uint64_t *state)
{
    static const char *const pieces[] = {"whisk",
                                         "<b>",
                                         "&amp;",
                                         "\"'",
                                         "\xe7\x84\xbc\xe3\x81\x8f",
                                         "\xf0\x9f\x8e\x82",
                                         "\xf0\x9f\x91\xa9\xe2\x80\x8d\xf0\x9f\x91\xa7",
                                         "e\xcc\x81",
                                         "\xff",
                                         "\xc3",
                                         "\x1b[2J",
                                         "\n",
                                         "\t",
                                         "]]>",
                                         "90 min",
                                         "\xe2\x80\xae",
                                         "Donaudampfschifffahrtsgesellschaftstorte",
                                         "</svg>",
                                         "\\",
                                         "%s%n",
                                         "MMMMMMMM",
                                         "--",
                                         "\xc2\x80"};
    bk_text out = bk_text_new(arena);
    size_t count = 1 + below(state, 9);
    for (size_t i = 0; i < count; i++) {
        bk_text_add(&out, i ? " " : "");
        bk_text_add(&out, pieces[below(state, sizeof pieces / sizeof pieces[0])]);
    }
    return out.data;
}

static void random_stage(bk_arena *arena, uint64_t *state, bk_plan *plan, size_t index)
{
    bk_stage *s = &plan->stages[index];
    int64_t most = (int64_t)below(state, below(state, 4) ? 60 : 2000);
    *s = (bk_stage){.id = words(arena, state),
                    .dish = index % plan->dish_count,
                    .text = words(arena, state),
                    .attention = (enum bk_attention)below(state, 3),
                    .range = {most / 2, most - most / 4, most},
                    .planned = most};
    s->cooks = s->attention == BK_HANDS ? 1 + (int)below(state, 3) : 0;
    s->note = below(state, 3) ? NULL : words(arena, state);
    s->caution = below(state, 3) ? NULL : words(arena, state);
    s->in_oven = below(state, 4) == 0;
    s->oven = (bk_need){.equipment = 0, .amount = 1};
    s->needs = BK_NEW(arena, bk_need, 2);
    s->need_count = below(state, 3);
    for (size_t i = 0; i < s->need_count; i++)
        s->needs[i] = (bk_need){.equipment = 1 + below(state, 4), .amount = 1};
    s->holds = BK_NEW(arena, bk_hold, 1);
    s->hold_count = below(state, 2);
    s->holds[0] =
        (bk_hold){.equipment = 1 + below(state, 4), .until = below(state, STAGES), .amount = 2};
    s->checks = BK_NEW(arena, bk_check, 2);
    s->check_count = below(state, 3);
    for (size_t i = 0; i < s->check_count; i++)
        s->checks[i] = (bk_check){.text = words(arena, state)};
}

static void random_place(bk_arena *arena, uint64_t *state, const bk_timeline *t, bk_placed *p)
{
    const bk_stage *s = &t->plan->stages[p->stage];
    p->end = p->start + s->planned;
    p->slack = below(state, 2) ? 0 : (int64_t)below(state, 100000);
    p->oven_number = s->in_oven ? 1 + (int)below(state, 2) : 0;
    p->temperature_c = 250.0 * (double)below(state, 1000) / 999;
    p->checks = BK_NEW(arena, bk_placed_check, 2);
    p->check_count = s->check_count;
    for (size_t i = 0; i < s->check_count; i++) {
        bk_instant at = p->start + (bk_instant)below(state, (size_t)s->planned + 1);
        p->checks[i] = (bk_placed_check){.start = at,
                                         .end = at + (bk_instant)below(state, 5),
                                         .check = &s->checks[i],
                                         .dropped = below(state, 4) == 0};
    }
    p->pinned_by = BK_NEW(arena, bk_fact, 1);
    p->pinned_count = below(state, 2);
    p->pinned_by[0] = (bk_fact){.kind = (enum bk_fact_kind)below(state, BK_FACT_CHECK + 1),
                                .stage = below(state, STAGES),
                                .other = below(state, STAGES),
                                .dish = SIZE_MAX,
                                .equipment = below(state, 9),
                                .window = below(state, 6),
                                .link = SIZE_MAX,
                                .check = below(state, 3),
                                .message = words(arena, state)};
}

static bk_timeline *random_timeline(bk_arena *arena, uint64_t *state)
{
    bk_timeline *t = fixture_supper(arena);
    bk_plan *plan = fixture_plan(t);
    plan->occasion = words(arena, state);
    plan->kitchen.cooks = 1 + (int)below(state, 4);
    plan->kitchen.equipment[0].count = 2;
    plan->kitchen.equipment[0].fan = below(state, 2);
    for (size_t i = 0; i < plan->kitchen.equipment_count; i++)
        plan->kitchen.equipment[i].name = words(arena, state);
    plan->style = below(state, 2) ? BK_AHEAD : BK_FRESH;
    plan->dish_count = 1 + below(state, 4);
    plan->stage_count = STAGES;
    plan->stages = BK_NEW(arena, bk_stage, STAGES);
    for (size_t i = 0; i < STAGES; i++)
        random_stage(arena, state, plan, i);
    for (size_t i = 0; i < plan->dish_count; i++) {
        plan->dishes[i].name = words(arena, state);
        plan->dishes[i].serve += (bk_instant)below(state, 600);
        if (plan->dishes[i].serve > plan->last_serve)
            plan->last_serve = plan->dishes[i].serve;
    }
    for (size_t i = 0; i < plan->kitchen.window_count; i++) {
        plan->kitchen.windows[i].kind = (enum bk_window_kind)below(state, 3);
        plan->kitchen.windows[i].label = below(state, 2) ? NULL : words(arena, state);
    }
    t->status = below(state, 2) ? BK_TIMELINE_OPTIMAL : BK_TIMELINE_FEASIBLE;
    t->stage_count = 1 + below(state, STAGES);
    t->stages = BK_NEW(arena, bk_placed, t->stage_count);
    bk_instant at = t->start - (bk_instant)below(state, 20000);
    t->start = at;
    for (size_t i = 0; i < t->stage_count; i++) {
        t->stages[i] = (bk_placed){.stage = i, .start = at};
        random_place(arena, state, t, &t->stages[i]);
        if (t->stages[i].end > t->ready)
            t->ready = t->stages[i].end;
        at += (bk_instant)below(state, below(state, 5) ? 30 : 1500);
    }
    bk_timeline_index(arena, t);
    bk_message *warning = BK_NEW(arena, bk_message, 1);
    *warning = (bk_message){.code = "x", .text = words(arena, state), .mend = words(arena, state)};
    t->warnings = warning;
    t->warning_count = below(state, 2);
    return t;
}

static void expect_lines_to_fit(bk_arena *arena, const char *text, size_t width)
{
    for (; *text; text += strcspn(text, "\n") + 1) {
        size_t length = strcspn(text, "\n");
        assert_int_equal(text[length], '\n');
        if (bk_columns(bk_copy(arena, text, length)) > width)
            fail_msg("wider than %zu: %.*s", width, (int)length, text);
        for (size_t i = 0; i < length; i++)
            if ((unsigned char)text[i] < 0x20)
                fail_msg("control character in: %.*s", (int)length, text);
    }
}

static void check_timeline(bk_arena *arena, const bk_timeline *t, uint64_t *state)
{
    bk_text text = bk_text_new(arena), json = bk_text_new(arena), svg = bk_text_new(arena),
            html = bk_text_new(arena);
    int width = 40 + (int)below(state, 161);
    bk_text_style style = {.width = width};
    bk_write_text(t, &style, &text);
    expect_lines_to_fit(arena, text.data, (size_t)width);

    bk_write_json(t, NULL, &json);
    cJSON *read = cJSON_Parse(json.data);
    assert_non_null(read);
    assert_int_equal(cJSON_GetArraySize(cJSON_GetObjectItem(read, "stages")), t->stage_count);
    cJSON_Delete(read);

    bk_write_svg(t, &svg);
    const char *fault = markup_fault(svg.data, false);
    if (!fault)
        fault = markup_texts_fault(svg.data);
    if (fault)
        fail_msg("picture: %s", fault);

    bk_text chart = bk_text_new(arena);
    bk_chart_style narrow = {.width = width, .ascii = width % 2};
    bk_write_chart(t, &narrow, &chart);
    expect_lines_to_fit(arena, chart.data, (size_t)(width < 80 ? 80 : width));

    bk_write_html(t, &html);
    fault = markup_fault(html.data, true);
    if (fault)
        fail_msg("page: %s", fault);
}

static void every_writer_stands_anything(void **unused)
{
    (void)unused;
    printf("seeds %d to %d\n", SEED, SEED + TIMELINES - 1);
    for (uint64_t seed = SEED; seed < SEED + TIMELINES; seed++) {
        uint64_t state = seed;
        bk_arena *arena = bk_arena_new(NULL);
        assert_non_null(arena);
        printf("seed %llu\n", (unsigned long long)seed);
        check_timeline(arena, random_timeline(arena, &state), &state);
        bk_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_writer_stands_anything)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
