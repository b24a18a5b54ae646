#include "fixture.h"

#include "timeline/timeline.h"

#include <string.h>

static const char plan_text[] =
    "{\n  \"occasion\": \"Friday supper\",\n  \"serve\": \"2026-12-18 19:30\"\n}\n";

static const bk_source source = {"supper.json", plan_text, sizeof plan_text - 1};

enum { OVEN, FRIDGE, HOB, MIXER, RING, EQUIPMENT };
enum { TORTE, ROAST, ROLLS, PANNA };

bk_instant fixture_at(const bk_timeline *timeline, int day, int hour, int minute)
{
    bk_civil civil = {2026, 12, day, hour, minute};
    return bk_instant_of(timeline->plan->zone, civil, NULL);
}

bk_plan *fixture_plan(bk_timeline *timeline)
{
    return (bk_plan *)timeline->plan;
}

static bk_stage *stage(bk_plan *plan, size_t dish, const char *id, const char *text,
                       enum bk_attention attention, int64_t least, int64_t likely, int64_t most)
{
    bk_stage *s = &plan->stages[plan->stage_count];
    bk_dish *d = &plan->dishes[dish];
    if (d->stage_count == 0)
        d->first_stage = plan->stage_count;
    d->stage_count++;
    plan->stage_count++;
    *s = (bk_stage){.id = id,
                    .dish = dish,
                    .text = text,
                    .attention = attention,
                    .watch = attention == BK_WATCH,
                    .range = {least, likely, most},
                    .planned = most,
                    .cooks = attention == BK_HANDS};
    return s;
}

static void in_oven(bk_stage *s, double at)
{
    s->in_oven = true;
    s->watch = true;
    s->oven = (bk_need){
        .equipment = OVEN, .amount = 1, .at = {.low = at - 4, .high = at + 4, .nominal = at}};
}

static void need(bk_arena *arena, bk_stage *s, size_t equipment)
{
    s->needs = BK_NEW(arena, bk_need, 1);
    s->need_count = 1;
    s->needs[0] = (bk_need){.equipment = equipment, .amount = 1};
}

static void check(bk_arena *arena, bk_stage *s, int64_t at, const char *text, int64_t takes)
{
    s->checks = BK_NEW(arena, bk_check, 1);
    s->check_count = 1;
    s->checks[0] = (bk_check){.at = at, .text = text, .takes = takes, .give = 5};
}

static void follow(bk_arena *arena, bk_plan *plan, size_t index, size_t after)
{
    bk_stage *s = &plan->stages[index];
    s->links = BK_NEW(arena, bk_link, 1);
    s->link_count = 1;
    s->links[0] = (bk_link){.stage = after};
}

static bk_plan *supper_plan(bk_arena *arena)
{
    bk_plan *plan = BK_NEW(arena, bk_plan, 1);
    plan->occasion = "Friday supper";
    plan->zone = bk_zone_open(arena, "Europe/London");
    bk_timeline clock = {.plan = plan};
    plan->first_serve = plan->last_serve = fixture_at(&clock, 18, 19, 30);
    plan->earliest = fixture_at(&clock, 4, 19, 30);
    plan->kitchen.cooks = 1;

    bk_equipment *e = BK_NEW(arena, bk_equipment, EQUIPMENT);
    e[OVEN] = (bk_equipment){.name = "oven",
                             .kind = BK_OVEN,
                             .count = 1,
                             .shelves = 2,
                             .preheat = 15,
                             .change = 10,
                             .idle = 30};
    e[FRIDGE] = (bk_equipment){.name = "fridge", .kind = BK_COLD, .count = 1, .pool = 3, .at_c = 4};
    e[HOB] = (bk_equipment){.name = "hob", .kind = BK_HOB, .count = 1, .pool = 4};
    e[MIXER] = (bk_equipment){.name = "stand mixer", .kind = BK_TOOL, .count = 1, .pool = 1};
    e[RING] = (bk_equipment){.name = "cake ring", .kind = BK_TOOL, .count = 1, .pool = 1};
    plan->kitchen.equipment = e;
    plan->kitchen.equipment_count = EQUIPMENT;

    bk_window *w = BK_NEW(arena, bk_window, 3);
    w[0] = (bk_window){.kind = BK_ASLEEP,
                       .from = fixture_at(&clock, 16, 22, 30),
                       .to = fixture_at(&clock, 17, 7, 0)};
    w[1] = (bk_window){.kind = BK_ASLEEP,
                       .from = fixture_at(&clock, 17, 22, 30),
                       .to = fixture_at(&clock, 18, 7, 0)};
    w[2] = (bk_window){.kind = BK_AWAY,
                       .from = fixture_at(&clock, 18, 8, 30),
                       .to = fixture_at(&clock, 18, 16, 30),
                       .label = "work"};
    plan->kitchen.windows = w;
    plan->kitchen.window_count = 3;

    plan->dishes = BK_NEW(arena, bk_dish, 4);
    plan->dish_count = 4;
    const char *names[] = {"Blackcurrant mousse torte", "Roast beef", "Milk rolls", "Panna cotta"};
    for (size_t i = 0; i < 4; i++) {
        plan->dishes[i].name = names[i];
        plan->dishes[i].serve = plan->last_serve;
    }
    plan->dishes[TORTE].serves = 8;
    plan->dishes[TORTE].stored = BK_NEW(arena, bk_hold, 1);
    plan->dishes[TORTE].stored_count = 1;
    plan->dishes[TORTE].stored[0] = (bk_hold){.equipment = FRIDGE, .amount = 1};
    plan->dishes[TORTE].ingredients = BK_NEW(arena, bk_ingredient, 2);
    plan->dishes[TORTE].ingredient_count = 2;
    plan->dishes[TORTE].ingredients[0] =
        (bk_ingredient){.item = "blackcurrants", .amount = "400 g", .stage = SIZE_MAX};
    plan->dishes[TORTE].ingredients[1] = (bk_ingredient){.item = "leaf gelatine", .stage = 3};

    plan->stages = BK_NEW(arena, bk_stage, 16);
    bk_stage *s;
    s = stage(plan, TORTE, "sponge", "Whisk eggs and sugar to a ribbon, fold in the flour",
              BK_HANDS, 12, 14, 15);
    need(arena, s, MIXER);
    s = stage(plan, TORTE, "bake", "Bake the sponge until it springs back", BK_WATCH, 20, 22, 25);
    in_oven(s, 180);
    check(arena, s, 12, "Turn the tin round", 0);
    stage(plan, TORTE, "cool", "Cool on a rack", BK_NONE, 60, 60, 60);
    s = stage(plan, TORTE, "mousse", "Make the mousse and pour it over the sponge", BK_HANDS, 30,
              35, 40);
    s->holds = BK_NEW(arena, bk_hold, 1);
    s->hold_count = 1;
    s->holds[0] = (bk_hold){.equipment = RING, .until = 4, .amount = 1};
    s->caution = "Raw egg white: not for those who must avoid it";
    s = stage(plan, TORTE, "set", "Set in the fridge", BK_NONE, 240, 300, 360);
    need(arena, s, FRIDGE);
    s = stage(plan, TORTE, "glaze", "Pour the glaze", BK_HANDS, 20, 20, 20);
    s->note = "At 32 \xc2\xb0"
              "C it runs well";
    s = stage(plan, ROAST, "season", "Season the joint", BK_HANDS, 10, 10, 10);
    s = stage(plan, ROAST, "roast", "Roast", BK_WATCH, 70, 75, 80);
    in_oven(s, 200);
    check(arena, s, 40, "Baste", 3);
    stage(plan, ROAST, "rest", "Rest under foil", BK_NONE, 20, 20, 30);
    stage(plan, ROLLS, "dough", "Knead the dough", BK_HANDS, 15, 15, 15);
    stage(plan, ROLLS, "prove", "Prove until doubled", BK_NONE, 45, 60, 75);
    s = stage(plan, ROLLS, "bake", "Bake the rolls", BK_WATCH, 15, 15, 15);
    in_oven(s, 220);
    s = stage(plan, PANNA, "cream", "Warm cream with vanilla, melt in the gelatine", BK_HANDS, 15,
              15, 15);
    need(arena, s, HOB);
    s = stage(plan, PANNA, "set", "Set in the fridge", BK_NONE, 300, 300, 300);
    need(arena, s, FRIDGE);
    s = stage(plan, PANNA, "sauce", "Simmer the sauce", BK_WATCH, 10, 10, 10);
    need(arena, s, HOB);
    for (size_t i = 0; i < plan->stage_count; i++)
        if (i > 0 && plan->stages[i].dish == plan->stages[i - 1].dish)
            follow(arena, plan, i, i - 1);
    return plan;
}

typedef struct when {
    size_t stage;
    int day, hour, minute;
    int64_t slack;
} when;

static void pin(bk_arena *arena, bk_placed *p, bk_fact fact)
{
    p->pinned_by = BK_NEW(arena, bk_fact, 1);
    p->pinned_count = 1;
    p->pinned_by[0] = fact;
}

static bk_fact fact(enum bk_fact_kind kind, const char *message)
{
    bk_fact made = bk_fact_new(kind, (bk_place){0});
    made.message = message;
    return made;
}

bk_timeline *fixture_supper(bk_arena *arena)
{
    static const when times[] = {{0, 17, 18, 0, 0},     {1, 17, 18, 15, 0},   {2, 17, 18, 40, 0},
                                 {3, 17, 19, 40, 25},   {4, 17, 20, 20, 0},   {12, 17, 20, 20, 0},
                                 {13, 17, 20, 35, 710}, {5, 18, 8, 10, 0},    {6, 18, 16, 55, 0},
                                 {7, 18, 17, 5, 0},     {9, 18, 17, 15, 0},   {10, 18, 17, 30, 0},
                                 {8, 18, 18, 25, 0},    {11, 18, 18, 45, 30}, {14, 18, 19, 20, 0}};
    bk_timeline *t = BK_NEW(arena, bk_timeline, 1);
    bk_plan *plan = supper_plan(arena);
    t->plan = plan;
    t->status = BK_TIMELINE_OPTIMAL;
    t->stage_count = plan->stage_count;
    t->stages = BK_NEW(arena, bk_placed, t->stage_count);
    for (size_t i = 0; i < t->stage_count; i++) {
        const when *w = &times[i];
        const bk_stage *s = &plan->stages[w->stage];
        bk_placed *p = &t->stages[i];
        p->stage = w->stage;
        p->start = fixture_at(t, w->day, w->hour, w->minute);
        p->end = p->start + s->planned;
        p->slack = w->slack;
        if (s->in_oven) {
            p->oven_number = 1;
            p->temperature_c = s->oven.at.nominal;
        }
        if (s->check_count) {
            p->checks = BK_NEW(arena, bk_placed_check, 1);
            p->check_count = 1;
            p->checks[0] = (bk_placed_check){.start = p->start + s->checks[0].at,
                                             .end = p->start + s->checks[0].at + s->checks[0].takes,
                                             .check = &s->checks[0]};
        }
        bk_fact f = fact(BK_FACT_WAIT, "The next step follows at once.");
        f.stage = w->stage;
        f.link = 0;
        f.other = w->stage + 1 < plan->stage_count ? w->stage + 1 : SIZE_MAX;
        if (w->stage == 5) {
            f = fact(BK_FACT_WINDOW, "Nobody is at home from 08:30.");
            f.stage = 5;
            f.window = 2;
        }
        pin(arena, p, f);
    }
    t->ovens = BK_NEW(arena, bk_oven_run, 3);
    t->oven_count = 3;
    t->ovens[0] = (bk_oven_run){.equipment = OVEN,
                                .number = 1,
                                .on = fixture_at(t, 17, 18, 0),
                                .ready = fixture_at(t, 17, 18, 15),
                                .off = fixture_at(t, 17, 18, 40),
                                .temperature_c = 180,
                                .from_cold = true};
    t->ovens[1] = (bk_oven_run){.equipment = OVEN,
                                .number = 1,
                                .on = fixture_at(t, 18, 16, 50),
                                .ready = fixture_at(t, 18, 17, 5),
                                .off = fixture_at(t, 18, 18, 25),
                                .temperature_c = 200,
                                .from_cold = true};
    t->ovens[2] = (bk_oven_run){.equipment = OVEN,
                                .number = 1,
                                .on = fixture_at(t, 18, 18, 25),
                                .ready = fixture_at(t, 18, 18, 35),
                                .off = fixture_at(t, 18, 19, 0),
                                .temperature_c = 220};
    t->start = t->bound_start = t->stages[0].start;
    t->ready = plan->last_serve;
    for (size_t i = 0; i < t->stage_count; i++)
        t->waiting += plan->last_serve - t->stages[i].end;
    t->bound_waiting = t->waiting;
    t->hands_on_serving_day = 48;
    t->bound_hands = INT64_MIN;
    t->complete = true;
    t->conflicts = 42;
    bk_timeline_index(arena, t);
    return t;
}

bk_timeline *fixture_clock_change(bk_arena *arena)
{
    bk_timeline *t = fixture_supper(arena);
    bk_plan *plan = fixture_plan(t);
    int64_t shift =
        bk_instant_of(plan->zone, (bk_civil){2026, 10, 25, 19, 30}, NULL) - plan->last_serve;
    for (size_t i = 0; i < t->stage_count; i++) {
        t->stages[i].start += shift;
        t->stages[i].end += shift;
        for (size_t k = 0; k < t->stages[i].check_count; k++) {
            t->stages[i].checks[k].start += shift;
            t->stages[i].checks[k].end += shift;
        }
    }
    for (size_t i = 0; i < plan->dish_count; i++)
        plan->dishes[i].serve += shift;
    plan->first_serve += shift;
    plan->last_serve += shift;
    plan->kitchen.window_count = 0;
    t->start += shift;
    t->ready += shift;
    t->oven_count = 0;
    return t;
}

bk_timeline *fixture_impossible(bk_arena *arena)
{
    bk_timeline *t = BK_NEW(arena, bk_timeline, 1);
    t->plan = supper_plan(arena);
    t->status = BK_TIMELINE_IMPOSSIBLE;
    t->why = BK_NEW(arena, bk_fact, 2);
    t->why_count = 2;
    t->why[0] = fact(BK_FACT_STAGE_TIME, "The torte sets for 6 h.");
    t->why[0].stage = 4;
    t->why[1] = fact(BK_FACT_SERVE, "Supper is at 19:30.");
    t->why[1].dish = TORTE;
    t->why[1].place = (bk_place){&source, 33};
    t->remedies = BK_NEW(arena, bk_remedy, 2);
    t->remedy_count = 2;
    t->remedies[0] = (bk_remedy){.change = "serve",
                                 .message = "Serve at 20:10.",
                                 .has_first_start = true,
                                 .first_start = fixture_at(t, 17, 18, 40)};
    t->remedies[1] = (bk_remedy){.change = "dish", .message = "Leave the torte out."};
    t->complete = true;
    return t;
}

bk_timeline *fixture_long(bk_arena *arena, size_t count)
{
    bk_plan *plan = supper_plan(arena);
    bk_timeline *t = BK_NEW(arena, bk_timeline, 1);
    t->plan = plan;
    t->status = BK_TIMELINE_FEASIBLE;
    plan->dishes[0].stage_count = plan->stage_count = count;
    plan->dishes[0].first_stage = 0;
    plan->dish_count = 1;
    plan->stages = BK_NEW(arena, bk_stage, count);
    t->stages = BK_NEW(arena, bk_placed, count);
    t->stage_count = count;
    bk_instant end = plan->last_serve - (bk_instant)(7 * count);
    t->start = end;
    t->bound_start = end + 35;
    for (size_t i = 0; i < count; i++) {
        plan->stages[i] = (bk_stage){
            .id = bk_format(arena, "step-%zu", i),
            .text = bk_format(arena,
                              "Step %zu with an instruction that goes on for rather longer "
                              "than a line on a small screen can hold",
                              i),
            .attention = i % 2 ? BK_NONE : BK_HANDS,
            .range = {7, 7, 7},
            .planned = 7,
            .cooks = i % 2 ? 0 : 1};
        t->stages[i] = (bk_placed){.stage = i, .start = end, .end = end + 7};
        end += 7;
    }
    t->ready = end;
    bk_timeline_index(arena, t);
    return t;
}
