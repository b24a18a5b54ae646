/* Fuzz target: the plan reader over any bytes.
 *
 *   clang -std=c11 -D_POSIX_C_SOURCE=200809L -g -O1 -fsanitize=fuzzer,address,undefined -Isrc \
 *     tests/fuzz/fuzz_plan.c LIBRARY -lcjson -lical -lunistring -lm
 *
 * Without a fuzzing engine link replay.c (runs files) or mutate.c (makes its own
 * inputs from them). Whatever is read must keep the promises of plan/plan.h: a plan
 * exactly when there was no error, and in it every index in range, every range in
 * order, every list sorted. */
#include "emptied.h"

#include "plan/plan.h"
#include "json/json.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* What the input may refer to, besides itself ("self.json"). */
static const char *const beside[] = {
    "kitchen.json",
    "{\"cooks\": 2, \"asleep\": \"23:00-07:00\", \"equipment\": {\"oven\": {\"kind\": \"oven\"}, "
    "\"fridge\": {\"kind\": \"cold\", \"places\": 3}, \"tin\": {}}}",
    "recipe.json",
    "{\"dish\": \"Roll\", \"stages\": [{\"id\": \"a\", \"do\": \"A\", \"active\": \"5 min\"}]}",
    "next.json",
    "{\"recipe\": \"recipe.json\", \"serves\": 4}",
    "work.ics",
    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//t//EN\r\nBEGIN:VEVENT\r\nUID:1\r\n"
    "DTSTAMP:20260101T000000Z\r\nDTSTART:20261205T090000Z\r\nDTEND:20261205T100000Z\r\n"
    "RRULE:FREQ=DAILY;COUNT=5\r\nSUMMARY:Work\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
    NULL};

typedef struct input {
    const char *text;
    size_t length;
} input;

static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    const input *self = context;
    const char *slash = strrchr(path, '/'), *name = slash != NULL ? slash + 1 : path;
    *problem = "no such file";
    if (strcmp(name, "self.json") == 0) {
        *length = self->length;
        *text = bk_copy(arena, self->text, self->length);
        return *length <= most;
    }
    for (const char *const *file = beside; *file != NULL; file += 2) {
        if (strcmp(*file, name) == 0) {
            *length = strlen(file[1]);
            *text = bk_copy(arena, file[1], *length);
            return true;
        }
    }
    return false;
}

static void must(bool promise)
{
    if (!promise)
        abort();
}

static void check_stage(const bk_plan *plan, const bk_stage *stage)
{
    const bk_kitchen *kitchen = &plan->kitchen;
    must(stage->id != NULL && stage->id[0] != '\0' && strchr(stage->id, '/') == NULL);
    must(stage->text != NULL && stage->dish < plan->dish_count);
    must(0 <= stage->range.least && stage->range.least <= stage->range.likely &&
         stage->range.likely <= stage->range.most);
    must(stage->planned >= stage->range.least && stage->planned <= stage->range.most);
    must(stage->attention == BK_HANDS ? stage->cooks >= 1 && stage->cooks <= kitchen->cooks
                                      : stage->cooks == 0);
    must(stage->attention != BK_WATCH || stage->watch);
    for (size_t i = 0; i < stage->link_count; i++) {
        const bk_link *link = &stage->links[i];
        must(link->stage < plan->stage_count && &plan->stages[link->stage] != stage);
        must(link->wait >= 0 && (!link->has_within || link->within >= link->wait));
    }
    for (size_t i = 0; i < stage->need_count; i++) {
        const bk_need *need = &stage->needs[i];
        must(need->equipment < kitchen->equipment_count);
        must(kitchen->equipment[need->equipment].kind != BK_OVEN);
        must(need->amount >= 1 && need->amount <= kitchen->equipment[need->equipment].pool);
    }
    if (stage->in_oven) {
        must(stage->oven.equipment < kitchen->equipment_count);
        must(kitchen->equipment[stage->oven.equipment].kind == BK_OVEN);
        must(stage->oven.amount >= 1 &&
             stage->oven.amount <= kitchen->equipment[stage->oven.equipment].shelves);
        must(stage->oven.at.low <= stage->oven.at.nominal &&
             stage->oven.at.nominal <= stage->oven.at.high);
    }
    for (size_t i = 0; i < stage->hold_count; i++) {
        const bk_hold *hold = &stage->holds[i];
        must(hold->equipment < kitchen->equipment_count && hold->until < plan->stage_count);
        must(hold->amount >= 1 && hold->amount <= kitchen->equipment[hold->equipment].pool);
    }
    for (size_t i = 0; i < stage->check_count; i++) {
        const bk_check *check = &stage->checks[i];
        must(check->text != NULL && check->at >= 0 && check->takes >= 0 && check->give >= 0);
        must(check->at - check->give + check->takes <= stage->range.most);
        must(i == 0 || stage->checks[i - 1].at <= check->at);
    }
}

/* Every stage can be reached by following links forward only once all before it have
 * been: there is no circle. */
static void check_order(bk_arena *arena, const bk_plan *plan)
{
    size_t *waiting = BK_NEW(arena, size_t, plan->stage_count);
    size_t done = 0;
    bool moved = true;
    unsigned char *placed = BK_NEW(arena, unsigned char, plan->stage_count);
    while (moved) {
        moved = false;
        for (size_t i = 0; i < plan->stage_count; i++) {
            waiting[i] = 0;
            for (size_t j = 0; j < plan->stages[i].link_count; j++)
                waiting[i] += !placed[plan->stages[i].links[j].stage];
            if (!placed[i] && waiting[i] == 0) {
                placed[i] = 1;
                moved = true;
                done++;
            }
        }
    }
    must(done == plan->stage_count);
}

static void check_plan(bk_arena *arena, const bk_plan *plan)
{
    must(plan->occasion != NULL && plan->zone != NULL && plan->dish_count >= 1);
    must(plan->first_serve <= plan->last_serve && plan->earliest <= plan->first_serve);
    must(plan->kitchen.cooks >= 1 && plan->margin >= 0);
    size_t stages = 0;
    for (size_t i = 0; i < plan->dish_count; i++) {
        const bk_dish *dish = &plan->dishes[i];
        must(dish->name != NULL && dish->first_stage == stages && dish->stage_count >= 1);
        must(dish->serve >= plan->first_serve && dish->serve <= plan->last_serve);
        stages += dish->stage_count;
        for (size_t j = 0; j < dish->stored_count; j++)
            must(dish->stored[j].equipment < plan->kitchen.equipment_count);
        for (size_t j = 0; j < dish->ingredient_count; j++) {
            size_t stage = dish->ingredients[j].stage;
            must(dish->ingredients[j].item != NULL);
            must(stage == SIZE_MAX || stage < plan->stage_count);
        }
    }
    must(stages == plan->stage_count);
    for (size_t i = 0; i < plan->stage_count; i++)
        check_stage(plan, &plan->stages[i]);
    for (size_t i = 0; i < plan->kitchen.window_count; i++) {
        const bk_window *window = &plan->kitchen.windows[i];
        must(window->from < window->to);
        must(i == 0 || window[-1].from <= window->from);
    }
    check_order(arena, plan);
}

/* A sound JSON text can be laid out, and once laid out stays as it is. */
static void check_layout(bk_arena *arena, const input *self)
{
    const bk_source *source = bk_source_of(arena, "self.json", self->text, self->length);
    bk_report report = bk_report_new(arena), again = bk_report_new(arena);
    bk_text out = bk_text_new(arena), same = bk_text_new(arena);
    bool sound = bk_json_read(arena, source, &report) && report.errors == 0;
    must(bk_json_tidy(arena, source, &out, &again) == sound && !again.machine_failed);
    if (!sound)
        return;
    bk_source tidy = {"self.json", out.data, out.length};
    must(bk_json_tidy(arena, &tidy, &same, &again));
    must(same.length == out.length && memcmp(same.data, out.data, out.length) == 0);
}

/* Mends leave fewer errors, and a plan without any has none. */
static void check_mends(bk_arena *arena, const bk_files *files, size_t errors)
{
    size_t count = 0;
    const bk_mended *mended = bk_plan_mend(arena, files, "self.json", NULL, &count);
    must(count == 0 || errors > 0);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(mended[i].path, "self.json") != 0)
            continue;
        input self = {mended[i].text, mended[i].length};
        bk_files after = {load, &self};
        bk_report report = bk_report_new(arena);
        bk_plan_read(arena, &after, "self.json", NULL, &report);
        must(report.errors < errors);
    }
}

/* Of so many inputs one; each where a test wants all (WHOLE_INPUTS). */
static bool one_in(unsigned count, unsigned sum)
{
#ifdef WHOLE_INPUTS
    count = 1;
#endif
    return sum % count == 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    bk_arena *arena = emptied_arena(NULL);
    input self = {bk_copy(arena, (const char *)data, size), size};
    bk_files files = {load, &self};
    bk_report report = bk_report_new(arena);
    bk_plan *plan = bk_plan_read(arena, &files, "self.json", NULL, &report);
    must((plan != NULL) == (report.errors == 0));
    must(report.count - report.errors <= 100000 || plan == NULL);
    if (plan != NULL)
        check_plan(arena, plan);
    /* To write messages out takes as long as to read, and the others read again, mends up to a
     * dozen times: in a part of the inputs, as the bytes have it. */
    unsigned sum = 0;
    for (size_t i = 0; i < size; i++)
        sum = sum * 31 + data[i];
    bk_text text = bk_text_new(arena);
    for (size_t i = 0; one_in(8, sum) && i < report.count && i < 50; i++)
        bk_message_write(&report.messages[i], &text);
    if (one_in(4, sum / 8))
        check_layout(arena, &self);
    if (one_in(16, sum / 32))
        check_mends(arena, &files, report.errors);
    return 0;
}
