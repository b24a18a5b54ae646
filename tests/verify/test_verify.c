/* The verifier by itself: one timeline written by hand that keeps every rule, and
 * then one rule broken at a time. Nothing here is scheduled by the program.
 */
#include "schedule/schedule.h"
#include "verify/verify.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

/* Friday 18 December 2026, 00:00 in London (and UTC): all times below are minutes
 * of that day. */
static const bk_instant MIDNIGHT = 29959200;

enum { OVEN, FRIDGE, MIXER, TIN, EQUIPMENT };
enum { SPONGE, BAKE, COOL, MOUSSE, SET, DOUGH, PROVE, ROLLS, SEEDS, STAGES };
enum { ASLEEP, AWAY, BUSY, WINDOWS };

typedef struct fixture {
    bk_arena *arena;
    bk_plan plan;
    bk_equipment equipment[EQUIPMENT];
    bk_window windows[WINDOWS + 1];
    bk_dish dishes[3];
    bk_stage stages[STAGES];
    bk_link links[STAGES];
    bk_need needs[STAGES];
    bk_hold hold, stored;
    bk_check checks[3];
    bk_timeline timeline;
    bk_placed placed[STAGES]; /* in the order of the stages until they are sorted */
    bk_placed_check placed_checks[3];
    bk_oven_run runs[3];
    bk_message warning;
} fixture;

static bk_instant at(int64_t minute)
{
    return MIDNIGHT + minute;
}

static void stage(fixture *f, size_t s, const char *id, size_t dish, enum bk_attention attention,
                  int64_t start, int64_t minutes)
{
    f->stages[s] = (bk_stage){.id = id,
                              .dish = dish,
                              .text = id,
                              .attention = attention,
                              .watch = attention == BK_WATCH,
                              .range = {minutes, minutes, minutes},
                              .planned = minutes,
                              .cooks = attention == BK_HANDS ? 1 : 0};
    f->placed[s] = (bk_placed){.stage = s, .start = at(start), .end = at(start + minutes)};
}

static void after(fixture *f, size_t s, size_t other, int64_t within)
{
    f->links[s] =
        (bk_link){.stage = other, .has_within = within >= 0, .within = within, .written = true};
    f->stages[s].links = &f->links[s];
    f->stages[s].link_count = 1;
}

static void bakes(fixture *f, size_t s, double celsius, int number)
{
    f->stages[s].in_oven = true;
    f->stages[s].oven =
        (bk_need){.equipment = OVEN,
                  .amount = 1,
                  .at = {.low = celsius - 4, .high = celsius + 4, .nominal = celsius}};
    f->placed[s].oven_number = number;
    f->placed[s].temperature_c = celsius;
}

static void uses(fixture *f, size_t s, size_t equipment)
{
    f->needs[s] = (bk_need){.equipment = equipment, .amount = 1};
    f->stages[s].needs = &f->needs[s];
    f->stages[s].need_count = 1;
}

static int by_start(const void *left, const void *right)
{
    const bk_placed *a = left, *b = right;
    if (a->start != b->start)
        return a->start < b->start ? -1 : 1;
    return (a->stage > b->stage) - (a->stage < b->stage);
}

/* Sorts the stages and reckons the figures, so that only the rule meant breaks. */
static void figures(fixture *f)
{
    bk_timeline *t = &f->timeline;
    t->start = INT64_MAX;
    t->ready = INT64_MIN;
    t->waiting = t->hands_on_serving_day = 0;
    for (size_t i = 0; i < STAGES; i++) {
        const bk_placed *p = &f->placed[i];
        t->start = p->start < t->start ? p->start : t->start;
        t->ready = p->end > t->ready ? p->end : t->ready;
        t->waiting += f->dishes[f->stages[p->stage].dish].serve - p->end;
        if (f->stages[p->stage].attention == BK_HANDS) /* the serving day is the whole timeline's */
            t->hands_on_serving_day += p->end - (p->start > MIDNIGHT ? p->start : MIDNIGHT);
        for (size_t c = 0; c < p->check_count; c++)
            t->hands_on_serving_day += p->checks[c].end - p->checks[c].start;
    }
    t->bound_start = t->start;
    t->bound_interruptions = t->interruptions;
    t->bound_waiting = t->waiting;
    qsort(f->placed, STAGES, sizeof *f->placed, by_start);
}

static bk_placed *of(fixture *f, size_t s)
{
    for (size_t i = 0; i < STAGES; i++)
        if (f->placed[i].stage == s)
            return &f->placed[i];
    return NULL;
}

static fixture *fresh(void)
{
    bk_arena *arena = bk_arena_new(NULL);
    fixture *f = BK_NEW(arena, fixture, 1);
    f->arena = arena;
    f->equipment[OVEN] = (bk_equipment){.name = "oven",
                                        .kind = BK_OVEN,
                                        .count = 2,
                                        .shelves = 1,
                                        .preheat = 15,
                                        .change = 10,
                                        .idle = 30};
    f->equipment[FRIDGE] = (bk_equipment){.name = "fridge", .kind = BK_COLD, .count = 1, .pool = 1};
    f->equipment[MIXER] = (bk_equipment){.name = "mixer", .count = 1, .pool = 1};
    f->equipment[TIN] = (bk_equipment){.name = "tin", .count = 1, .pool = 1};
    f->windows[ASLEEP] = (bk_window){.kind = BK_ASLEEP, .from = at(0), .to = at(420)};
    f->windows[AWAY] = (bk_window){.kind = BK_AWAY, .from = at(450), .to = at(530)};
    f->windows[BUSY] = (bk_window){.kind = BK_BUSY, .from = at(800), .to = at(900)};
    f->dishes[0] = (bk_dish){.name = "torte",
                             .serve = at(1170),
                             .first_stage = SPONGE,
                             .stage_count = 5,
                             .stored = &f->stored,
                             .stored_count = 1};
    f->dishes[1] = (bk_dish){.name = "rolls",
                             .serve = at(1170),
                             .has_keeps = true,
                             .keeps = 30,
                             .first_stage = DOUGH,
                             .stage_count = 4};
    f->stored = (bk_hold){.equipment = FRIDGE, .amount = 1};

    stage(f, SPONGE, "sponge", 0, BK_HANDS, 540, 20);
    stage(f, BAKE, "bake", 0, BK_WATCH, 560, 15);
    stage(f, COOL, "cool", 0, BK_NONE, 575, 60);
    stage(f, MOUSSE, "mousse", 0, BK_HANDS, 640, 30);
    stage(f, SET, "set", 0, BK_NONE, 670, 360);
    stage(f, DOUGH, "dough", 1, BK_HANDS, 680, 15);
    stage(f, PROVE, "prove", 1, BK_NONE, 695, 90);
    stage(f, ROLLS, "bake", 1, BK_WATCH, 1140, 20);
    stage(f, SEEDS, "seeds", 1, BK_WATCH, 600, 10);
    after(f, BAKE, SPONGE, 10);
    after(f, COOL, BAKE, -1);
    after(f, MOUSSE, COOL, -1);
    after(f, SET, MOUSSE, 0);
    after(f, PROVE, DOUGH, -1);
    after(f, ROLLS, PROVE, -1);
    bakes(f, BAKE, 180, 1);
    bakes(f, SEEDS, 200, 1);
    bakes(f, ROLLS, 220, 1);
    uses(f, MOUSSE, MIXER);
    uses(f, SET, FRIDGE);
    uses(f, DOUGH, MIXER);
    f->hold = (bk_hold){.equipment = TIN, .until = SET, .amount = 1};
    f->stages[SPONGE].holds = &f->hold;
    f->stages[SPONGE].hold_count = 1;

    f->checks[0] = (bk_check){.at = 60, .text = "level it", .takes = 5, .give = 10};
    f->checks[1] = (bk_check){.at = 250, .text = "look", .takes = 0};
    f->checks[2] = (bk_check){.at = 360, .text = "take out", .takes = 0};
    f->stages[SET].checks = f->checks;
    f->stages[SET].check_count = 3;
    f->placed_checks[0] =
        (bk_placed_check){.check = &f->checks[0], .start = at(730), .end = at(735)};
    f->placed_checks[1] =
        (bk_placed_check){.check = &f->checks[1], .start = at(920), .end = at(920)};
    f->placed_checks[2] =
        (bk_placed_check){.check = &f->checks[2], .start = at(1030), .end = at(1030)};
    f->placed[SET].checks = f->placed_checks;
    f->placed[SET].check_count = 3;

    f->runs[0] = (bk_oven_run){.equipment = OVEN,
                               .number = 1,
                               .on = at(545),
                               .ready = at(560),
                               .off = at(590),
                               .temperature_c = 180,
                               .from_cold = true};
    f->runs[1] = (bk_oven_run){.equipment = OVEN,
                               .number = 1,
                               .on = at(590),
                               .ready = at(600),
                               .off = at(610),
                               .temperature_c = 200};
    f->runs[2] = (bk_oven_run){.equipment = OVEN,
                               .number = 1,
                               .on = at(1125),
                               .ready = at(1140),
                               .off = at(1160),
                               .temperature_c = 220,
                               .from_cold = true};

    f->plan = (bk_plan){.occasion = "Friday supper",
                        .zone = bk_zone_open(arena, "Europe/London"),
                        .first_serve = at(1170),
                        .last_serve = at(1170),
                        .earliest = at(-600),
                        .kitchen = {.cooks = 1,
                                    .equipment = f->equipment,
                                    .equipment_count = EQUIPMENT,
                                    .windows = f->windows,
                                    .window_count = WINDOWS},
                        .dishes = f->dishes,
                        .dish_count = 2,
                        .stages = f->stages,
                        .stage_count = STAGES};
    f->timeline = (bk_timeline){.plan = &f->plan,
                                .status = BK_TIMELINE_OPTIMAL,
                                .stages = f->placed,
                                .stage_count = STAGES,
                                .ovens = f->runs,
                                .oven_count = 3,
                                .complete = true,
                                .warnings = &f->warning,
                                .warning_count = 1};
    figures(f);
    return f;
}

/* Breaks exactly one rule (and counts how often); no other may be named. */
static void breaks(fixture *f, int rule, size_t times, const char *words)
{
    bk_breach *breaches = NULL;
    size_t n = bk_verify(f->arena, &f->timeline, &breaches);
    bool said = false;
    for (size_t i = 0; i < n; i++) {
        if (breaches[i].rule != rule)
            fail_msg("rule %d instead of %d: %s", breaches[i].rule, rule, breaches[i].message);
        said = said || strstr(breaches[i].message, words) != NULL;
    }
    if (n != times || !said) {
        for (size_t i = 0; i < n; i++)
            print_error("rule %d: %s\n", breaches[i].rule, breaches[i].message);
        fail_msg("%zu breaches of rule %d for %zu with \"%s\"", n, rule, times, words);
    }
    bk_arena_free(f->arena);
}

static void keeps_all(fixture *f)
{
    bk_breach *breaches = NULL;
    size_t n = bk_verify(f->arena, &f->timeline, &breaches);
    if (n > 0)
        fail_msg("rule %d: %s", breaches[0].rule, breaches[0].message);
    bk_arena_free(f->arena);
}

static void move(fixture *f, size_t s, int64_t minutes)
{
    bk_placed *p = of(f, s);
    p->start += minutes;
    p->end += minutes;
    for (size_t c = 0; c < p->check_count; c++) {
        p->checks[c].start += minutes;
        p->checks[c].end += minutes;
    }
}

/* A window more, over [from, to). */
static void window(fixture *f, enum bk_window_kind kind, int64_t from, int64_t to)
{
    f->windows[WINDOWS] = (bk_window){.kind = kind, .from = at(from), .to = at(to)};
    f->plan.kitchen.window_count = WINDOWS + 1;
}

static void test_the_timeline_keeps_all(void **state)
{
    (void)state;
    /* Neither shorter nor longer than planned. */
    for (int64_t more = -1; more <= 1; more += 2) {
        fixture *longer = fresh();
        of(longer, PROVE)->end += more;
        figures(longer);
        breaks(longer, 1, 1, "rolls/prove");
    }
    keeps_all(fresh());
}

static void test_planned_time(void **state)
{
    (void)state;
    fixture *f = fresh();
    of(f, COOL)->end -= 5;
    figures(f);
    breaks(f, 1, 1, "torte/cool takes 60 min; it is given from Friday 18 December 2026, 09:35");
}

static void test_links(void **state)
{
    (void)state;
    fixture *f = fresh();
    move(f, COOL, -1); /* a minute before the bake is out */
    figures(f);
    breaks(f, 2, 1,
           "torte/cool starts on Friday 18 December 2026, 09:34, less than 0 min after the end");

    f = fresh();
    f->links[MOUSSE].wait = 5; /* 10:35 and 5 min: 10:40, as it is */
    keeps_all(f);
    f = fresh();
    f->links[MOUSSE].wait = 6;
    breaks(f, 2, 1, "torte/mousse starts on Friday 18 December 2026, 10:40, less than 6 min");

    f = fresh();
    f->links[MOUSSE].has_within = true;
    f->links[MOUSSE].within = 4;
    breaks(f, 2, 1, "more than 4 min after the end of torte/cool");

    f = fresh();
    f->links[MOUSSE] =
        (bk_link){.stage = COOL, .from_start = true, .wait = 65, .has_within = true, .within = 65};
    keeps_all(f);
    f = fresh();
    f->links[MOUSSE] =
        (bk_link){.stage = COOL, .from_start = true, .has_within = true, .within = 64};
    breaks(f, 2, 1, "more than 64 min after the start of torte/cool");
}

static void test_hands(void **state)
{
    (void)state;
    fixture *f = fresh();
    f->links[PROVE].wait = 0;
    move(f, DOUGH, -40); /* into the mousse; the mixer is taken off, that is rule 5's */
    f->stages[DOUGH].need_count = 0;
    figures(f);
    breaks(
        f, 3, 1,
        "From Friday 18 December 2026, 10:40 on, 2 pairs of hands are needed and there are only 1");

    f = fresh();
    move(f, DOUGH, 40); /* 12:00, into the check at 12:10 */
    move(f, PROVE, 40);
    figures(f);
    breaks(f, 3, 1, "2 pairs of hands");

    f = fresh();
    f->stages[MOUSSE].cooks = 2;
    breaks(f, 3, 1, "2 pairs of hands");

    f = fresh();
    window(f, BK_BUSY, 668, 670); /* up to the minute in which the set begins */
    breaks(f, 3, 1, "torte/mousse needs hands from Friday 18 December 2026, 10:40");
    f = fresh();
    window(f, BK_BUSY, 670, 680); /* between mousse and dough: touching is free */
    keeps_all(f);
    f = fresh();
    window(f, BK_BUSY, 734, 735);
    breaks(f, 3, 1, "A check of torte/set needs hands");
    f = fresh();
    window(f, BK_AWAY, 640, 641);
    breaks(f, 3, 1, "nobody is at home");
    f = fresh();
    window(f, BK_ASLEEP, 690, 691);
    breaks(f, 3, 1, "everybody sleeps");
}

/* A soup, served at 10:45 in the middle of the mousse. */
static void soup_at(fixture *f, int64_t serve, int64_t at_table)
{
    f->dishes[2] = (bk_dish){.name = "soup", .serve = at(serve), .first_stage = STAGES};
    f->plan.dish_count = 3;
    f->plan.first_serve = at(serve);
    f->plan.at_table = at_table;
}

static void test_at_table(void **state)
{
    (void)state;
    fixture *f = fresh();
    soup_at(f, 645, 5);
    breaks(f, 3, 1,
           "torte/mousse needs hands from Friday 18 December 2026, 10:40 to Friday 18 "
           "December 2026, 11:10; from Friday 18 December 2026, 10:45 to");
    f = fresh();
    soup_at(f, 670, 10); /* from the mousse to the dough */
    keeps_all(f);
    f = fresh();
    soup_at(f, 670, 11);
    breaks(f, 3, 1, "rolls/dough needs hands");
    f = fresh();
    soup_at(f, 731, 1);
    breaks(f, 3, 1, "A check of torte/set needs hands");
    f = fresh();
    soup_at(f, 1139, 2); /* the rolls go in while they eat */
    f->timeline.interruptions = f->timeline.bound_interruptions = 1;
    keeps_all(f);
}

/* Two cooks by name: Ada does all, but for what Ben is given. */
static void named(fixture *f, size_t *ada, bk_cook *cooks, bk_window *hours)
{
    *ada = 0;
    cooks[0] = (bk_cook){.name = "Ada"};
    cooks[1] = (bk_cook){.name = "Ben", .windows = hours, .window_count = 1};
    hours[0] = (bk_window){.kind = BK_AWAY, .from = at(-600), .to = at(640)};
    f->plan.kitchen.people = cooks;
    f->plan.kitchen.people_count = 2;
    f->plan.kitchen.cooks = 2;
    for (size_t s = 0; s < STAGES; s++)
        if (f->stages[s].attention == BK_HANDS) {
            of(f, s)->by = ada;
            of(f, s)->by_count = 1;
        }
    f->placed_checks[0].by = ada;
    f->placed_checks[0].by_count = 1;
}

static void test_named_cooks(void **state)
{
    (void)state;
    size_t ada, ben = 1, both[2] = {0, 1};
    bk_cook cooks[2];
    bk_window hours[1];
    fixture *f = fresh();
    named(f, &ada, cooks, hours);
    keeps_all(f);
    f = fresh();
    named(f, &ada, cooks, hours);
    of(f, MOUSSE)->by = &ben; /* as he comes */
    keeps_all(f);
    f = fresh();
    named(f, &ada, cooks, hours);
    of(f, SPONGE)->by = &ben; /* before he comes */
    breaks(f, 3, 1, "torte/sponge is given from hand to hand, and 1 can do all of it");
    f = fresh();
    named(f, &ada, cooks, hours);
    of(f, MOUSSE)->by = both;
    of(f, MOUSSE)->by_count = 2;
    breaks(f, 3, 1, "torte/mousse is given from hand to hand, and 2 can do all of it");
    f = fresh();
    named(f, &ada, cooks, hours);
    of(f, MOUSSE)->by_count = 0;
    breaks(f, 3, 1, "torte/mousse is given to 0 cooks and needs 1");
    f = fresh();
    named(f, &ada, cooks, hours);
    f->links[PROVE].wait = 0;
    move(f, DOUGH, -40); /* into the mousse */
    f->stages[DOUGH].need_count = 0;
    figures(f);
    breaks(f, 3, 1, "2 pairs of hands of Ada are needed");
    f = fresh();
    named(f, &ada, cooks, hours);
    f->stages[SPONGE].cooks = 2;
    of(f, SPONGE)->by = both;
    of(f, SPONGE)->by_count = 2; /* at a time at which one is there */
    breaks(f, 3, 1, "3 pairs of hands are needed and there are only 2");
}

/* Begun and taken out by somebody: not inside a time in which nobody can. */
static void test_begins(void **state)
{
    (void)state;
    fixture *f = fresh();
    window(f, BK_BUSY, 560, 570); /* the sponge goes in as it begins */
    keeps_all(f);
    f = fresh();
    window(f, BK_BUSY, 1139, 1141); /* the rolls go in */
    breaks(f, 11, 1,
           "Somebody has to begin rolls/bake on Friday 18 December 2026, 19:00; nobody can from "
           "Friday 18 December 2026, 18:59 to Friday 18 December 2026, 19:01");
    f = fresh();
    window(f, BK_BUSY, 1159, 1161); /* they come out */
    breaks(f, 11, 1, "take out rolls/bake");
    f = fresh();
    window(f, BK_BUSY, 1159, 1161);
    f->stages[ROLLS].begins_itself = true; /* which says nothing of taking it out */
    breaks(f, 11, 1, "take out rolls/bake");
    f = fresh();
    window(f, BK_BUSY, 1139, 1141);
    f->stages[ROLLS].begins_itself = true;
    keeps_all(f);
    /* Two windows that meet are one. */
    f = fresh();
    f->windows[WINDOWS - 1] = (bk_window){.kind = BK_BUSY, .from = at(1130), .to = at(1140)};
    window(f, BK_BUSY, 1140, 1150);
    breaks(f, 11, 1, "nobody can from Friday 18 December 2026, 18:50 to");
}

static void test_watch(void **state)
{
    (void)state;
    fixture *f = fresh();
    window(f, BK_AWAY, 570, 575);
    breaks(f, 4, 1, "torte/bake wants somebody at home");
    f = fresh();
    window(f, BK_BUSY, 570, 575); /* busy is at home */
    keeps_all(f);
    f = fresh();
    window(f, BK_ASLEEP, 1125, 1126); /* the preheat of the rolls */
    breaks(f, 4, 1, "The preheat of rolls/bake wants somebody awake");
    f = fresh();
    window(f, BK_ASLEEP, 1124, 1125);
    keeps_all(f);
    f = fresh();
    window(f, BK_ASLEEP, 1160, 1165);
    keeps_all(f);
}

static void test_pools(void **state)
{
    (void)state;
    fixture *f = fresh();
    uses(f, COOL, FRIDGE);
    uses(f, PROVE, FRIDGE); /* beside the torte that sets */
    breaks(f, 5, 1, "2 of fridge are needed and there are only 1");
    f = fresh();
    uses(f, ROLLS, FRIDGE); /* beside the torte that is stored until served */
    breaks(f, 5, 1, "2 of fridge");
    f = fresh();
    uses(f, ROLLS, TIN); /* free again when the torte is set */
    keeps_all(f);
    f = fresh();
    uses(f, SEEDS, TIN);
    breaks(f, 5, 1, "2 of tin");
    f = fresh();
    f->hold.until = SPONGE;
    uses(f, SEEDS, TIN);
    keeps_all(f);
    f = fresh();
    f->needs[MOUSSE].amount = 2;
    breaks(f, 5, 1, "2 of mixer");
    f = fresh();
    /* A hold that is over before it begins takes nothing, and gives nothing. */
    f->stages[DOUGH].holds = &f->hold;
    f->stages[DOUGH].hold_count = 1;
    f->stages[SPONGE].hold_count = 0;
    f->hold.until = BAKE;
    keeps_all(f);
    f = fresh();
    f->stages[DOUGH].holds = &f->hold; /* "held" back from 11:20 to 09:35 */
    f->stages[DOUGH].hold_count = 1;
    f->stages[SPONGE].hold_count = 0;
    f->hold.until = BAKE;
    uses(f, COOL, TIN);
    uses(f, SEEDS, TIN);
    breaks(f, 5, 1, "2 of tin");
    f = fresh();
    f->equipment[MIXER].pool = INT64_MAX;
    f->needs[MOUSSE].amount = 1000000;
    keeps_all(f);
}

static void test_ovens(void **state)
{
    (void)state;
    fixture *f = fresh();
    f->equipment[OVEN].change = 26; /* 25 min between 180 and 200 °C */
    breaks(f, 6, 1, "less than 26 min after torte/bake came out");
    f = fresh();
    f->equipment[OVEN].change = 25;
    keeps_all(f);

    f = fresh();
    f->stages[SEEDS].oven.at =
        (bk_temperature){.low = 184, .high = 204, .nominal = 194}; /* 184 is common to both */
    f->equipment[OVEN].change = 26;
    keeps_all(f);
    f = fresh();
    f->stages[BAKE].oven.at =
        (bk_temperature){.low = 176, .high = 196, .nominal = 180}; /* 196 is */
    f->equipment[OVEN].change = 26;
    keeps_all(f);
    f = fresh();
    f->stages[BAKE].oven.at =
        (bk_temperature){.low = 204.5, .high = 230, .nominal = 220}; /* the first is the hotter */
    of(f, BAKE)->temperature_c = f->runs[0].temperature_c = 220;
    f->equipment[OVEN].change = 26;
    breaks(f, 6, 1, "less than 26 min after torte/bake came out");

    f = fresh();
    of(f, ROLLS)->oven_number = 3;
    f->runs[2].number = 2;
    bk_breach *breaches = NULL;
    assert_true(bk_verify(f->arena, &f->timeline, &breaches) >= 1);
    assert_int_equal(breaches[0].rule, 6);
    assert_non_null(strstr(breaches[0].message, "given oven 3; there are 2"));
    bk_arena_free(f->arena);

    f = fresh();
    of(f, MOUSSE)->oven_number = 1;
    breaks(f, 6, 1, "is in no oven");

    f = fresh();
    f->stages[BAKE].oven.amount = 2;
    breaks(f, 6, 1, "2 shelves of oven 1 are needed and there are only 1");

    /* Together, and no temperature suits both; on two shelves, in the second oven. */
    f = fresh();
    f->equipment[OVEN].shelves = 2;
    move(f, SEEDS, -30);
    figures(f);
    f->runs[0].off = f->runs[1].on = f->runs[1].ready = at(575);
    bk_breach *both = NULL;
    size_t n = bk_verify(f->arena, &f->timeline, &both), together = 0;
    for (size_t i = 0; i < n; i++)
        together +=
            both[i].rule == 6 && strstr(both[i].message, "no temperature suits both") != NULL;
    assert_int_equal(together, 1);
    bk_arena_free(f->arena);

    f = fresh();
    of(f, BAKE)->temperature_c = 190;
    bk_breach *off = NULL;
    assert_true(bk_verify(f->arena, &f->timeline, &off) >= 1);
    assert_int_equal(off[0].rule, 6);
    assert_non_null(strstr(off[0].message, "given an oven of 190"));
    bk_arena_free(f->arena);
}

static void test_checks_with_hands(void **state)
{
    (void)state;
    static const int64_t kept[] = {-10, -1, 0, 10};
    for (size_t i = 0; i < sizeof kept / sizeof *kept; i++) {
        fixture *f = fresh();
        f->placed_checks[0].start += kept[i];
        f->placed_checks[0].end += kept[i];
        keeps_all(f);
    }
    fixture *f = fresh();
    f->placed_checks[0].start += 11;
    f->placed_checks[0].end += 11;
    breaks(f, 7, 1, "more than 10 min from Friday 18 December 2026, 12:10");
    f = fresh();
    f->placed_checks[0].start -= 11;
    f->placed_checks[0].end -= 11;
    breaks(f, 7, 1, "more than 10 min");
    f = fresh();
    f->placed_checks[0].end += 1;
    figures(f);
    breaks(f, 7, 1, "takes 5 min");
    f = fresh();
    f->placed_checks[0].dropped = true;
    f->timeline.hands_on_serving_day -= 5;
    breaks(f, 7, 1, "may not be dropped");

    /* Within its leeway, but before the stage or over its end. */
    f = fresh();
    f->checks[0].at = 2;
    f->placed_checks[0].start = at(669);
    f->placed_checks[0].end = at(674);
    f->plan.kitchen.cooks = 2;
    breaks(f, 7, 1, "is not within the stage");
    f = fresh();
    f->checks[0].at = 358;
    f->placed_checks[0].start = at(1026);
    f->placed_checks[0].end = at(1031);
    breaks(f, 7, 1, "is not within the stage");
    f = fresh();
    f->checks[0].at = 358;
    f->placed_checks[0].start = at(1025);
    f->placed_checks[0].end = at(1030);
    keeps_all(f);
}

static void test_reminders(void **state)
{
    (void)state;
    fixture *f = fresh();
    f->placed_checks[1].start = f->placed_checks[1].end = at(921);
    breaks(f, 7, 1, "it belongs on Friday 18 December 2026, 15:20");
    f = fresh();
    f->placed_checks[1].dropped = true;
    breaks(f, 7, 1, "is dropped; it can be given");
    f = fresh();
    f->timeline.stages = f->placed;
    of(f, SET)->check_count = 2;
    breaks(f, 7, 1, "not each is given once");
    f = fresh();
    f->placed_checks[2].check = &f->checks[1];
    breaks(f, 7, 1, "not each is given once");

    /* Asleep until 15:30: it moves there, and no further. */
    f = fresh();
    window(f, BK_ASLEEP, 915, 930);
    breaks(f, 7, 1, "it belongs on Friday 18 December 2026, 15:30");
    f = fresh();
    window(f, BK_ASLEEP, 915, 930);
    f->placed_checks[1].start = f->placed_checks[1].end = at(930);
    keeps_all(f);
    f = fresh();
    window(f, BK_BUSY, 915, 930); /* busy hands hear a reminder */
    keeps_all(f);

    /* Away until after the stage: both wait for whoever comes home. */
    f = fresh();
    window(f, BK_AWAY, 915, 1031);
    f->placed_checks[1].start = f->placed_checks[1].end = at(1031);
    f->placed_checks[2].start = f->placed_checks[2].end = at(1031);
    keeps_all(f);
    f = fresh();
    window(f, BK_AWAY, 915, 1031);
    f->placed_checks[1].dropped = f->placed_checks[2].dropped = true;
    breaks(f, 7, 2, "it can be given on Friday 18 December 2026, 17:11");
    f = fresh();
    window(f, BK_AWAY, 915, 1030);
    f->placed_checks[1].start = f->placed_checks[1].end = at(1030);
    keeps_all(f);

    /* Unless the dish is served by then, or what follows has begun. */
    f = fresh();
    window(f, BK_AWAY, 915, 1031);
    f->placed_checks[1].start = f->placed_checks[1].end = at(1031);
    f->placed_checks[2].start = f->placed_checks[2].end = at(1031);
    f->dishes[0].serve = at(1031);
    figures(f);
    breaks(f, 7, 2, "nobody is up for it in time");
    f = fresh();
    after(f, PROVE, SET, -1);
    f->stages[PROVE].links[0].from_start = true;
    window(f, BK_AWAY, 915, 1031);
    f->placed_checks[1].start = f->placed_checks[1].end = at(1031);
    f->placed_checks[2].start = f->placed_checks[2].end = at(1031);
    breaks(f, 7, 2, "nobody is up for it in time");
    f = fresh();
    window(f, BK_AWAY, 915, 1031);
    f->dishes[0].serve = at(1031);
    figures(f);
    f->placed_checks[1].dropped = f->placed_checks[2].dropped = true;
    f->timeline.warning_count = 0;
    breaks(f, 7, 1, "no warning says so");
}

static void test_dishes(void **state)
{
    (void)state;
    fixture *f = fresh();
    f->plan.margin = 10;
    keeps_all(f);
    f = fresh();
    f->plan.margin = 11;
    breaks(f, 8, 1,
           "rolls/bake ends on Friday 18 December 2026, 19:20; its dish is to be ready on");
    f = fresh();
    f->dishes[1].keeps = 10;
    keeps_all(f);
    f = fresh();
    f->dishes[1].keeps = 9;
    breaks(f, 8, 1, "rolls is ready on Friday 18 December 2026, 19:20");

    /* What is stored stays until the dish is served, not until its margin before. */
    f = fresh();
    f->plan.margin = 10;
    uses(f, ROLLS, FRIDGE);
    of(f, ROLLS)->start = at(1160);
    of(f, ROLLS)->end = at(1180);
    f->runs[2].on = at(1145);
    f->runs[2].ready = at(1160);
    f->runs[2].off = at(1180);
    f->dishes[1].serve = at(1190);
    f->plan.last_serve = at(1190);
    figures(f);
    breaks(f, 5, 1, "fridge");
}

static void test_earliest(void **state)
{
    (void)state;
    fixture *f = fresh();
    f->plan.earliest = at(540);
    keeps_all(f);
    f = fresh();
    f->plan.earliest = at(541);
    breaks(f, 9, 1, "torte/sponge starts on Friday 18 December 2026, 09:00");

    /* The preheat: the oven goes on at 09:05. Its run says so too. */
    f = fresh();
    f->plan.earliest = at(546);
    bk_breach *breaches = NULL;
    size_t n = bk_verify(f->arena, &f->timeline, &breaches);
    assert_int_equal(n, 3);
    assert_int_equal(breaches[1].rule, 9);
    assert_non_null(
        strstr(breaches[1].message,
               "The oven for torte/bake has to be on from Friday 18 December 2026, 09:05"));
    assert_int_equal(breaches[2].rule, 0);
    assert_non_null(strstr(breaches[2].message, "oven 1 is on from"));
    bk_arena_free(f->arena);
}

static void test_figures(void **state)
{
    (void)state;
    fixture *f = fresh();
    f->timeline.start++;
    breaks(f, 0, 1, "first start is given as");
    f = fresh();
    f->timeline.ready--;
    breaks(f, 0, 1, "last end");
    f = fresh();
    f->timeline.waiting++;
    breaks(f, 0, 1, "waiting of all stages");
    f = fresh();
    f->timeline.hands_on_serving_day--;
    breaks(f, 0, 1, "hands-on time");
    f = fresh();
    f->timeline.interruptions = 1;
    breaks(f, 0, 1, "Interruptions are given as 1; there are 0.");
    f = fresh();
    f->timeline.bound_interruptions = 1;
    breaks(f, 0, 1, "bound of the interruptions");
    f = fresh();
    f->stages[PROVE].attention = BK_HANDS; /* by a second cook: rolls go in through it */
    f->stages[PROVE].cooks = 2;
    f->plan.kitchen.cooks = 2;
    move(f, PROVE, 375); /* 17:50-19:20 */
    f->links[ROLLS] = (bk_link){.stage = PROVE, .from_start = true};
    figures(f);
    f->timeline.interruptions = f->timeline.bound_interruptions = 1;
    keeps_all(f);
    f = fresh();
    f->timeline.busiest_other_day = 1;
    breaks(f, 0, 1, "busiest other day is given as 1 min; it is 0 min");
    f = fresh();
    f->plan.style = BK_SPREAD;
    f->timeline.bound_hands = f->timeline.hands_on_serving_day;
    f->timeline.bound_busiest = 5;
    breaks(f, 0, 1, "bound of the busiest other day");
    f = fresh();
    f->timeline.bound_start++;
    breaks(f, 0, 1, "bound of the first start");
    f = fresh();
    f->timeline.bound_waiting--;
    breaks(f, 0, 1, "bound of the waiting");
    f = fresh();
    f->plan.style = BK_AHEAD;
    f->timeline.bound_hands = f->timeline.hands_on_serving_day - 1;
    breaks(f, 0, 1, "bound of the hands-on time");
    f = fresh();
    f->timeline.status = BK_TIMELINE_FEASIBLE;
    f->timeline.bound_start += 60;
    f->timeline.bound_waiting -= 60;
    keeps_all(f);
    f = fresh();
    f->timeline.status = BK_TIMELINE_FEASIBLE;
    f->timeline.bound_start -= 1;
    breaks(f, 0, 1, "latest possible");
}

static void test_order_and_structure(void **state)
{
    (void)state;
    fixture *f = fresh();
    bk_placed kept = f->placed[0];
    f->placed[0] = f->placed[1];
    f->placed[1] = kept;
    breaks(f, 0, 1, "stands behind");
    f = fresh();
    f->timeline.stage_count--;
    breaks(f, 0, 1, "8 stages and the plan 9");
    f = fresh();
    f->placed[2].stage = STAGES;
    breaks(f, 0, 1, "no stage of the plan");
    f = fresh();
    f->placed[2].stage = f->placed[1].stage;
    breaks(f, 0, 1, "twice");
    f = fresh();
    f->placed[2].start = INT64_MIN;
    breaks(f, 0, 1, "no time of any calendar");
    f = fresh();
    f->runs[1].off = INT64_MAX;
    breaks(f, 0, 1, "no time of any calendar");
    f = fresh();
    f->timeline.status = BK_TIMELINE_IMPOSSIBLE;
    breaks(f, 0, 1, "There is no answer");
    f = fresh();
    f->timeline.status = BK_TIMELINE_IMPOSSIBLE;
    f->timeline.stage_count = f->timeline.oven_count = 0;
    keeps_all(f);
}

static void test_oven_runs(void **state)
{
    (void)state;
    fixture *f = fresh();
    f->runs[0].on++; /* 14 min to heat up */
    breaks(f, 0, 1, "needs 15 min to heat up");
    f = fresh();
    f->runs[0].off = f->runs[1].on = at(574);
    breaks(f, 0, 1, "torte/bake is in oven 1");
    f = fresh();
    f->runs[1].ready = at(601);
    breaks(f, 0, 1, "rolls/seeds is in oven 1");
    f = fresh();
    f->runs[1].on--;
    breaks(f, 0, 2, "still on until");
    f = fresh();
    f->runs[1].on++;
    breaks(f, 0, 1, "was not on before");
    f = fresh();
    f->runs[2].number = 2;
    breaks(f, 0, 1, "rolls/bake is in oven 1");
    f = fresh();
    f->runs[2].temperature_c = 210;
    breaks(f, 0, 1, "rolls/bake is in oven 1");
    f = fresh();
    f->runs[2].temperature_c = 222;
    breaks(f, 0, 2, "its oven is never at that");
    f = fresh();
    f->runs[2].temperature_c = 222;
    breaks(f, 0, 2, "is set to 222");
    f = fresh();
    f->runs[0].number = 3;
    breaks(f, 0, 1, "of no oven in the kitchen");
    f = fresh();
    f->runs[0].equipment = TIN;
    breaks(f, 0, 1, "of no oven in the kitchen");
    f = fresh();
    f->timeline.oven_count = 2;
    breaks(f, 0, 1, "rolls/bake is in oven 1");
    f = fresh();
    f->runs[2].off = at(1159);
    breaks(f, 0, 1, "rolls/bake is in oven 1");
}

/* A stage of no length needs nothing and is in nobody's way. */
static void test_no_length(void **state)
{
    (void)state;
    fixture *f = fresh();
    f->stages[DOUGH].planned = 0;
    of(f, DOUGH)->start = of(f, DOUGH)->end = at(650); /* while hands and mixer are taken */
    figures(f);
    keeps_all(f);
    f = fresh();
    f->stages[DOUGH].planned = 0;
    of(f, DOUGH)->start = of(f, DOUGH)->end = at(500); /* away */
    figures(f);
    keeps_all(f);
    /* In an oven that changes at once: just before what starts in the same minute. */
    f = fresh();
    f->equipment[OVEN].change = 0;
    f->stages[SEEDS].planned = 0;
    of(f, SEEDS)->start = of(f, SEEDS)->end = at(560);
    figures(f);
    keeps_all(f);
    f = fresh();
    f->equipment[OVEN].change = 1;
    f->stages[SEEDS].planned = 0;
    of(f, SEEDS)->start = of(f, SEEDS)->end = at(560);
    figures(f);
    breaks(f, 6, 1, "less than 1 min after rolls/seeds came out");
    /* Two at one minute, the hotter the first by name, in an oven that is hotter at once. */
    for (int cold = 0; cold < 2; cold++) {
        f = fresh();
        f->equipment[OVEN].change = 0;
        f->equipment[OVEN].cools = 4;
        f->equipment[OVEN].warms = cold == 1 ? 20 : 0;
        f->stages[BAKE].planned = f->stages[SEEDS].planned = 0;
        bakes(f, BAKE, 220, 1);
        of(f, BAKE)->end = of(f, SEEDS)->start = of(f, SEEDS)->end = at(560);
        figures(f);
        if (cold == 0)
            keeps_all(f);
        else
            breaks(f, 6, 1, "less than 1 min after torte/bake came out");
    }
}

/* More is broken than is worth telling: it is counted, not kept. */
static void test_many_breaches(void **state)
{
    (void)state;
    enum { MANY = 3000 };
    bk_arena *arena = bk_arena_new(NULL);
    bk_stage *stages = BK_NEW(arena, bk_stage, MANY);
    bk_placed *placed = BK_NEW(arena, bk_placed, MANY);
    bk_dish dish = {.name = "everything", .serve = at(1170), .stage_count = MANY};
    bk_equipment tray = {.name = "tray", .count = 1, .pool = MANY};
    bk_need need = {.amount = 1};
    bk_timeline timeline = {.status = BK_TIMELINE_FEASIBLE,
                            .stages = placed,
                            .stage_count = MANY,
                            .ready = at(1170),
                            .start = at(1160),
                            .bound_start = at(1160)};
    bk_plan plan = {.zone = bk_zone_open(arena, "UTC"),
                    .first_serve = at(1170),
                    .last_serve = at(1170),
                    .earliest = at(0),
                    .kitchen = {.cooks = 1, .equipment = &tray, .equipment_count = 1},
                    .dishes = &dish,
                    .dish_count = 1,
                    .stages = stages,
                    .stage_count = MANY};
    timeline.plan = &plan;
    for (size_t s = 0; s < MANY; s++) {
        stages[s] = (bk_stage){
            .id = "s", .attention = BK_NONE, .planned = 10, .needs = &need, .need_count = 1};
        placed[s] = (bk_placed){.stage = s, .start = at(1160), .end = at(1170)};
    }
    bk_breach *breaches = NULL;
    size_t none = bk_verify(arena, &timeline, &breaches);
    if (none > 0)
        fail_msg("rule %d: %s", breaches[0].rule, breaches[0].message);
    plan.margin = 1;
    assert_int_equal(bk_verify(arena, &timeline, &breaches), MANY);
    assert_int_equal(breaches[99].rule, 8);
    assert_int_equal(breaches[99].stage, 99);
    plan.margin = 0;
    tray.pool = MANY - 1;
    assert_int_equal(bk_verify(arena, &timeline, &breaches), 1);
    assert_int_equal(breaches[0].rule, 5);
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_timeline_keeps_all),
        cmocka_unit_test(test_planned_time),
        cmocka_unit_test(test_links),
        cmocka_unit_test(test_hands),
        cmocka_unit_test(test_watch),
        cmocka_unit_test(test_begins),
        cmocka_unit_test(test_named_cooks),
        cmocka_unit_test(test_at_table),
        cmocka_unit_test(test_pools),
        cmocka_unit_test(test_ovens),
        cmocka_unit_test(test_checks_with_hands),
        cmocka_unit_test(test_reminders),
        cmocka_unit_test(test_dishes),
        cmocka_unit_test(test_earliest),
        cmocka_unit_test(test_figures),
        cmocka_unit_test(test_order_and_structure),
        cmocka_unit_test(test_oven_runs),
        cmocka_unit_test(test_no_length),
        cmocka_unit_test(test_many_breaches),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
