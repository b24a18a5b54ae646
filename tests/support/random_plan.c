#include "support/random_plan.h"

#include "support/splitmix.h"

#include <inttypes.h>
#include <string.h>

int64_t random_between(random_source *source, int64_t low, int64_t high)
{
    if (high <= low)
        return low;
    return low + (int64_t)(splitmix64(&source->state) % (uint64_t)(high - low + 1));
}

bool random_chance(random_source *source, int percent)
{
    return random_between(source, 0, 99) < percent;
}

random_shape random_small(void)
{
    return (random_shape){
        .least_stages = 1, .most_stages = 6, .most_dishes = 3, .most_minutes = 8, .windows = true};
}

random_shape random_large(void)
{
    return (random_shape){.least_stages = 10,
                          .most_stages = 30,
                          .most_dishes = 6,
                          .most_minutes = 40,
                          .least_span = 300,
                          .most_span = 900,
                          .windows = true};
}

random_shape random_bakery(void)
{
    return (random_shape){.least_stages = 10,
                          .most_stages = 20,
                          .most_dishes = 4,
                          .most_minutes = 40,
                          .least_span = 150,
                          .most_span = 500,
                          .ovens = true};
}

/* ------------------------------------------------------------------ kitchen */

typedef struct maker {
    bk_arena *arena;
    random_source *source;
    const random_shape *shape;
    bk_plan *plan;
    size_t *rank; /* links go from higher to lower rank */
} maker;

static int64_t between(maker *m, int64_t low, int64_t high)
{
    return random_between(m->source, low, high);
}

static bool chance(maker *m, int percent)
{
    return random_chance(m->source, percent);
}

static void make_equipment(maker *m)
{
    bk_kitchen *kitchen = &m->plan->kitchen;
    int64_t unit = m->shape->most_minutes;
    size_t n = m->shape->ovens ? 1 : (size_t)between(m, 0, 3);
    kitchen->equipment = BK_NEW(m->arena, bk_equipment, n);
    kitchen->equipment_count = n;
    static const char *const names[] = {"big oven", "fridge", "hob", "small oven"};
    static const char *const tools[] = {"tin", "mixer", "tray", "bowl"};
    for (size_t e = 0; e < n; e++) {
        bk_equipment *equipment = &kitchen->equipment[e];
        static const enum bk_equipment_kind kinds[] = {BK_OVEN, BK_COLD, BK_TOOL, BK_HOB};
        enum bk_equipment_kind kind =
            e == 0 && chance(m, m->shape->ovens ? 100 : 70) ? BK_OVEN : kinds[between(m, 0, 3)];
        equipment->kind = kind;
        equipment->count = (int)between(m, 1, 2);
        equipment->name =
            kind == BK_OVEN   ? (e == 0 ? names[0] : bk_format(m->arena, "%s %zu", names[3], e))
            : kind == BK_TOOL ? tools[e]
                              : bk_format(m->arena, "%s %zu", names[kind == BK_COLD ? 1 : 2], e);
        equipment->pool = equipment->count;
        equipment->shelves = 1;
        equipment->at_c = 4;
        if (kind == BK_OVEN) {
            equipment->fan = chance(m, 30);
            equipment->shelves = (int)between(m, 1, m->shape->ovens ? 4 : 2);
            equipment->preheat = between(m, 0, unit * 3 / 4);
            equipment->change = between(m, 0, unit * 3 / 4);
            equipment->idle = between(m, 0, unit);
            if (chance(m, 25))
                equipment->warms = (double)between(m, 20, 60);
            if (chance(m, 25))
                equipment->cools = (double)between(m, 2, 20);
        } else if (kind == BK_COLD) {
            equipment->pool = chance(m, 20) ? INT64_MAX : equipment->count * between(m, 1, 2);
        } else if (kind == BK_HOB) {
            equipment->pool = equipment->count * between(m, 1, 3);
        }
    }
}

static int window_order(const bk_window *a, const bk_window *b)
{
    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    if (a->to != b->to)
        return a->to < b->to ? -1 : 1;
    return (int)a->kind - (int)b->kind;
}

/* A few windows; within a span of less than a day a daily one comes once, or
 * twice where its two ends show. */
static void make_windows(maker *m)
{
    bk_plan *plan = m->plan;
    bk_kitchen *kitchen = &plan->kitchen;
    int64_t span = plan->last_serve - plan->earliest, unit = m->shape->most_minutes;
    size_t n = m->shape->windows ? (size_t)between(m, 0, 3) : 0;
    kitchen->windows = BK_NEW(m->arena, bk_window, n);
    for (size_t w = 0; w < n; w++) {
        bk_window window = {.kind = (enum bk_window_kind)between(m, 0, 2)};
        window.from = plan->earliest + between(m, 0, span - 1);
        window.to = window.from + between(m, 1, unit);
        window.to = window.to > plan->last_serve ? plan->last_serve : window.to;
        size_t at = kitchen->window_count++;
        for (; at > 0 && window_order(&window, &kitchen->windows[at - 1]) < 0; at--)
            kitchen->windows[at] = kitchen->windows[at - 1];
        kitchen->windows[at] = window;
    }
}

/* Some kitchens have cooks with names and hours of their own. */
static void make_people(maker *m)
{
    static const char *const names[] = {"Ada", "Ben", "Cleo"};
    bk_plan *plan = m->plan;
    bk_kitchen *kitchen = &plan->kitchen;
    if (!m->shape->windows || !chance(m, 30))
        return;
    kitchen->people_count = (size_t)between(m, 1, 3);
    kitchen->cooks = (int)kitchen->people_count;
    kitchen->people = BK_NEW(m->arena, bk_cook, kitchen->people_count);
    int64_t span = plan->last_serve - plan->earliest;
    for (size_t c = 0; c < kitchen->people_count; c++) {
        bk_cook *cook = &kitchen->people[c];
        cook->name = names[c];
        size_t n = (size_t)between(m, 0, 2);
        cook->windows = BK_NEW(m->arena, bk_window, n);
        for (size_t w = 0; w < n; w++) {
            bk_window window = {.kind = (enum bk_window_kind)between(m, 0, 2)};
            window.from = plan->earliest + between(m, 0, span - 1);
            window.to = window.from + between(m, 1, span / 2 + 1);
            window.to = window.to > plan->last_serve ? plan->last_serve : window.to;
            size_t at = cook->window_count++;
            for (; at > 0 && window_order(&window, &cook->windows[at - 1]) < 0; at--)
                cook->windows[at] = cook->windows[at - 1];
            cook->windows[at] = window;
        }
    }
    bk_kitchen_gather(m->arena, kitchen);
}

/* ------------------------------------------------------------------- stages */

static bk_temperature make_temperature(maker *m)
{
    static const double centres[] = {150, 160, 170, 180, 200};
    double centre = centres[between(m, 0, 4)];
    double width = chance(m, m->shape->ovens ? 40 : 70) ? 4 : (double)between(m, 1, 3) * 10;
    return (bk_temperature){.low = centre - width, .high = centre + width, .nominal = centre};
}

static bool has_need(const bk_stage *stage, size_t equipment)
{
    for (size_t u = 0; u < stage->need_count; u++)
        if (stage->needs[u].equipment == equipment)
            return true;
    return false;
}

static int64_t make_amount(maker *m, size_t e)
{
    int64_t pool = m->plan->kitchen.equipment[e].pool;
    return between(m, 1, chance(m, 60) ? 1 : pool < 3 ? pool : 3);
}

static void make_needs(maker *m, bk_stage *stage)
{
    const bk_kitchen *kitchen = &m->plan->kitchen;
    stage->needs = BK_NEW(m->arena, bk_need, kitchen->equipment_count);
    for (size_t e = 0; e < kitchen->equipment_count; e++) {
        const bk_equipment *equipment = &kitchen->equipment[e];
        if (!chance(m, m->shape->ovens ? 85 : 35))
            continue;
        if (equipment->kind != BK_OVEN) {
            stage->needs[stage->need_count++] =
                (bk_need){.equipment = e, .amount = make_amount(m, e)};
        } else if (!stage->in_oven) {
            stage->in_oven = true;
            stage->oven = (bk_need){.equipment = e,
                                    .amount = between(m, 1, equipment->shelves),
                                    .at = make_temperature(m)};
        }
    }
}

static void make_holds(maker *m, size_t s)
{
    bk_stage *stage = &m->plan->stages[s];
    const bk_dish *dish = &m->plan->dishes[stage->dish];
    const bk_kitchen *kitchen = &m->plan->kitchen;
    stage->holds = BK_NEW(m->arena, bk_hold, kitchen->equipment_count);
    for (size_t e = 0; e < kitchen->equipment_count; e++) {
        if (kitchen->equipment[e].kind == BK_OVEN || !chance(m, has_need(stage, e) ? 8 : 20))
            continue;
        size_t until = dish->first_stage + (size_t)between(m, 0, (int64_t)dish->stage_count - 1);
        if (until < s && chance(m, 80))
            until = s;
        stage->holds[stage->hold_count++] =
            (bk_hold){.equipment = e, .until = until, .amount = make_amount(m, e)};
    }
}

static bool has_link(const bk_stage *stage, size_t other)
{
    for (size_t l = 0; l < stage->link_count; l++)
        if (stage->links[l].stage == other)
            return true;
    return false;
}

static void make_links(maker *m, size_t s)
{
    bk_plan *plan = m->plan;
    bk_stage *stage = &plan->stages[s];
    size_t first = plan->dishes[stage->dish].first_stage;
    int64_t unit = m->shape->most_minutes;
    stage->links = BK_NEW(m->arena, bk_link, 4);
    if (s > first && m->rank[s - 1] < m->rank[s] && chance(m, 55)) {
        stage->links[stage->link_count++] = (bk_link){.stage = s - 1, .wait = 0};
        if (chance(m, 60))
            return; /* the default, left unsaid */
    }
    size_t more = (size_t)between(m, 0, 2);
    for (size_t i = 0; i < more && stage->link_count < 3; i++) {
        size_t other = (size_t)between(m, 0, (int64_t)plan->stage_count - 1);
        if (m->rank[other] >= m->rank[s] || has_link(stage, other))
            continue;
        bk_link link = {.stage = other, .written = true, .from_start = chance(m, 25)};
        link.wait = chance(m, 40) ? 0 : between(m, 1, unit / 2);
        link.has_within = chance(m, 35);
        if (link.has_within)
            link.within = link.wait + between(m, 0, unit / 2);
        stage->links[stage->link_count++] = link;
    }
}

static void make_checks(maker *m, bk_stage *stage)
{
    if (!chance(m, 20))
        return;
    stage->checks = BK_NEW(m->arena, bk_check, 2);
    size_t n = (size_t)between(m, 1, chance(m, 70) ? 1 : 2);
    for (size_t c = 0; c < n; c++) {
        bk_check check = {.text = c == 0 ? "look" : "turn", .at = between(m, 0, stage->planned)};
        /* Beside an active stage a check wants one pair of hands more. */
        bool fits = m->plan->kitchen.cooks > stage->cooks || chance(m, 10);
        if (fits && chance(m, 60) && stage->planned > 0) {
            check.at = between(m, 0, stage->planned - 1);
            check.takes =
                between(m, 1, stage->planned - check.at < 3 ? stage->planned - check.at : 3);
            check.give = between(m, 0, 3);
        }
        size_t at = stage->check_count++;
        for (; at > 0 && check.at < stage->checks[at - 1].at; at--)
            stage->checks[at] = stage->checks[at - 1];
        stage->checks[at] = check;
    }
}

/* A window of the day, on a day from its dish's serve or on any. */
static void make_when(maker *m, bk_stage *stage)
{
    const bk_plan *plan = m->plan;
    if (m->shape->ovens || !chance(m, 8))
        return;
    int64_t span = plan->last_serve - plan->earliest;
    bk_instant from = plan->earliest + between(m, -2, span - 1);
    bk_instant to = from + between(m, 1, span);
    bk_civil one = bk_civil_at(plan->zone, from), two = bk_civil_at(plan->zone, to);
    stage->has_when = true;
    stage->when_time =
        bk_format(m->arena, "%02d:%02d-%02d:%02d", one.hour, one.minute, two.hour, two.minute);
    stage->when = BK_NEW(m->arena, bk_span, 5);
    /* No clock changes in these plans: a day later is 24 h later. */
    int days = chance(m, 50) ? 2 : 0; /* any day, else the one of `from` */
    for (int day = -days; day <= days; day++)
        stage->when[stage->when_count++] = (bk_span){from + day * BK_DAY, to + day * BK_DAY, 0};
}

/* Twice the "grows" of a dish's stages, by its name: it is 0, 1/2 or 1. */
static int grows(const bk_dish *dish)
{
    return (dish->name[5] - 'A') % 3;
}

/* In sixteenths, how long hands on take of what is written, by the kitchen's pace and by what
 * their dish is made for or in. */
static int64_t sixteenths(const bk_plan *plan, const bk_stage *stage)
{
    const bk_dish *dish = &plan->dishes[stage->dish];
    double more = dish->scale > 0.0 ? dish->scale - 1.0 : 0.0;
    int64_t grown = 8 + (int64_t)(4.0 * more * grows(dish));
    return stage->attention == BK_HANDS ? (plan->kitchen.pace > 1.0 ? 3 : 2) * grown : 16;
}

/* The minutes that were written, of those that are planned; and a number of minutes that
 * can come of some, no more than `minutes`. */
static int64_t written_minutes(const bk_plan *plan, const bk_stage *stage, int64_t minutes)
{
    return minutes * 16 / sixteenths(plan, stage);
}

static int64_t that_can_come(const bk_plan *plan, const bk_stage *stage, int64_t minutes)
{
    return (written_minutes(plan, stage, minutes) * sixteenths(plan, stage) + 15) / 16;
}

static void make_stage(maker *m, size_t s)
{
    bk_plan *plan = m->plan;
    bk_stage *stage = &plan->stages[s];
    stage->id = bk_format(m->arena, "s%zu", s);
    stage->text = "Do it";
    int64_t most = m->shape->most_minutes;
    stage->planned = chance(m, 8) ? 0 : between(m, 1, most);
    stage->range = (bk_range){stage->planned, stage->planned, stage->planned};
    if (chance(m, 30)) {
        int64_t *ends[3] = {&stage->range.least, &stage->range.likely, &stage->range.most};
        size_t own = plan->plan_on == BK_PLAN_ON_LEAST    ? 0
                     : plan->plan_on == BK_PLAN_ON_LIKELY ? 1
                                                          : 2;
        for (size_t i = own; i-- > 0;)
            *ends[i] = between(m, *ends[i + 1] / 2, *ends[i + 1]);
        for (size_t i = own + 1; i < 3; i++)
            *ends[i] = between(m, *ends[i - 1], *ends[i - 1] * 2 + 1);
    }
    bool active = chance(m, m->shape->ovens ? 15 : 50);
    make_needs(m, stage);
    stage->cooks = active ? (int)between(m, 1, chance(m, 80) ? 1 : plan->kitchen.cooks) : 0;
    stage->watch = stage->in_oven;
    for (size_t u = 0; u < stage->need_count; u++)
        if (plan->kitchen.equipment[stage->needs[u].equipment].kind == BK_HOB)
            stage->watch = true;
    if (chance(m, 15))
        stage->watch = !stage->watch;
    stage->attention = active ? BK_HANDS : stage->watch ? BK_WATCH : BK_NONE;
    stage->begins_itself = !active && chance(m, 30);
    int64_t *minutes[] = {&stage->planned, &stage->range.least, &stage->range.likely,
                          &stage->range.most};
    for (size_t i = 0; i < sizeof minutes / sizeof *minutes; i++)
        *minutes[i] = that_can_come(plan, stage, *minutes[i]);
    make_checks(m, stage);
    make_when(m, stage);
}

/* ------------------------------------------------------------------- dishes */

static void make_dishes(maker *m, size_t n)
{
    bk_plan *plan = m->plan;
    int64_t most = m->shape->most_dishes;
    size_t dishes = (size_t)between(m, 1, (int64_t)n < most ? (int64_t)n : most);
    plan->dishes = BK_NEW(m->arena, bk_dish, dishes);
    plan->dish_count = dishes;
    plan->stages = BK_NEW(m->arena, bk_stage, n);
    plan->stage_count = n;
    size_t next = 0;
    for (size_t d = 0; d < dishes; d++) {
        bk_dish *dish = &plan->dishes[d];
        size_t left = n - next, after = dishes - d - 1;
        dish->name = bk_format(m->arena, "dish %c", (char)('A' + d));
        dish->first_stage = next;
        dish->stage_count = after == 0 ? left : (size_t)between(m, 1, (int64_t)(left - after));
        for (size_t s = next; s < next + dish->stage_count; s++)
            plan->stages[s].dish = d;
        next += dish->stage_count;
    }
}

static void make_rank(maker *m)
{
    size_t n = m->plan->stage_count;
    m->rank = BK_NEW(m->arena, size_t, n);
    for (size_t s = 0; s < n; s++)
        m->rank[s] = s;
    if (chance(m, 60))
        return;
    for (size_t s = n; s-- > 1;) {
        size_t other = (size_t)between(m, 0, (int64_t)s);
        size_t kept = m->rank[s];
        m->rank[s] = m->rank[other];
        m->rank[other] = kept;
    }
}

/* Some dishes are made for twice as many, and some in another tin: of twice or half the volume,
 * or four times or a quarter of the area. */
static void make_amounts(maker *m, bk_dish *dish)
{
    static const struct {
        double scale;
        bk_tin tin, into;
    } tins[] = {{2.0, {.across = 0.20, .deep = 0.03}, {.across = 0.20, .deep = 0.06}},
                {0.5, {.across = 0.24, .deep = 0.08}, {.across = 0.24, .deep = 0.04}},
                {4.0, {.square = true, .across = 0.10}, {.square = true, .across = 0.20}},
                {0.25,
                 {.square = true, .across = 0.40, .deep = 0.05},
                 {.square = true, .across = 0.20, .deep = 0.05}},
                {1.0, {.across = 0.20, .deep = 0.06}, {.across = 0.20, .deep = 0.06}}};
    dish->scale = chance(m, 85) ? 0.0 : 2.0;
    dish->serves = dish->scale > 0.0 ? 6 : 0;
    if (!chance(m, 15))
        return;
    size_t t = (size_t)between(m, 0, sizeof tins / sizeof *tins - 1);
    dish->tin = tins[t].tin;
    dish->into = tins[t].into;
    dish->scale = (dish->scale > 0.0 ? dish->scale : 1.0) * tins[t].scale;
}

static void make_serves(maker *m, int64_t span)
{
    bk_plan *plan = m->plan;
    for (size_t d = 0; d < plan->dish_count; d++) {
        bk_dish *dish = &plan->dishes[d];
        dish->serve = plan->last_serve - (d > 0 && chance(m, 40) ? between(m, 0, span / 3) : 0);
        if (dish->serve < plan->first_serve)
            plan->first_serve = dish->serve;
        make_amounts(m, dish);
        dish->has_keeps = chance(m, 25);
        dish->keeps = dish->has_keeps ? plan->margin + between(m, 0, m->shape->most_minutes) : 0;
        dish->stored = BK_NEW(m->arena, bk_hold, plan->kitchen.equipment_count);
        for (size_t e = 0; e < plan->kitchen.equipment_count; e++)
            if (plan->kitchen.equipment[e].kind != BK_OVEN && chance(m, 20))
                dish->stored[dish->stored_count++] =
                    (bk_hold){.equipment = e, .amount = make_amount(m, e)};
    }
}

/* Midnight of the serving date, where it matters, falls inside the span. */
static void make_span(maker *m, size_t n, int64_t *span)
{
    static const char *const zones[] = {"UTC", "Europe/London", "Asia/Kolkata", "America/New_York"};
    static const int64_t most_by_stages[] = {0, 60, 60, 50, 40, 32, 27};
    bk_plan *plan = m->plan;
    plan->zone = bk_zone_open(m->arena, zones[between(m, 0, 3)]);
    if (m->shape->most_span > 0)
        *span = between(m, m->shape->least_span, m->shape->most_span);
    else
        *span = between(m, most_by_stages[n] / 2, most_by_stages[n]);
    /* 11 December 2026, 00:00 UTC, give or take some days: no clock changes there. */
    bk_instant midnight =
        bk_day_start(plan->zone, (bk_instant)29949120 + 720 + BK_DAY * between(m, 0, 40));
    bool inside = chance(m, plan->style != BK_FRESH ? 80 : 30);
    plan->earliest =
        inside ? midnight - between(m, 1, *span - 1) : midnight + between(m, 0, BK_DAY - 1 - *span);
    plan->last_serve = plan->earliest + *span;
    plan->first_serve = plan->last_serve;
}

/* A heated stage that `s` is linked after, at any remove; SIZE_MAX: none. */
static size_t heated_before(const bk_plan *plan, size_t s)
{
    for (size_t l = 0; l < plan->stages[s].link_count; l++) {
        size_t before = plan->stages[s].links[l].stage;
        if (!bk_is_heated(&plan->stages[before]))
            before = heated_before(plan, before);
        if (before != SIZE_MAX)
            return before;
    }
    return SIZE_MAX;
}

/* Some stages that follow on one in an oven stand in it, switched off. */
static void make_off(maker *m, size_t s)
{
    bk_stage *stage = &m->plan->stages[s];
    size_t hot = heated_before(m->plan, s);
    if (hot == SIZE_MAX || stage->in_oven || !chance(m, 35))
        return;
    const bk_need *oven = &m->plan->stages[hot].oven;
    stage->in_oven = stage->oven_off = true;
    stage->oven = (bk_need){.equipment = oven->equipment, .amount = oven->amount};
}

/* The latest serve of the dishes that link to a part, as far as they are known; INT64_MIN:
 * none. */
static bk_instant wanted_at(const bk_plan *plan, size_t d)
{
    bk_instant latest = INT64_MIN;
    for (size_t s = 0; s < plan->stage_count; s++)
        for (size_t l = 0; l < plan->stages[s].link_count; l++) {
            size_t user = plan->stages[s].dish;
            if (user != d && plan->stages[plan->stages[s].links[l].stage].dish == d &&
                plan->dishes[user].serve > latest)
                latest = plan->dishes[user].serve;
        }
    return latest;
}

/* Some dishes that others link to are parts; the last serve stays a served dish's. */
static void make_parts(maker *m)
{
    bk_plan *plan = m->plan;
    for (size_t d = 0; d < plan->dish_count; d++) {
        bk_dish *dish = &plan->dishes[d];
        bool last_is_served = false, served_user = false;
        for (size_t o = 0; o < plan->dish_count; o++)
            last_is_served = last_is_served || (o != d && !plan->dishes[o].part &&
                                                plan->dishes[o].serve == plan->last_serve);
        for (size_t s = 0; s < plan->stage_count; s++)
            for (size_t l = 0; l < plan->stages[s].link_count; l++)
                served_user =
                    served_user ||
                    (plan->stages[s].dish != d && !plan->dishes[plan->stages[s].dish].part &&
                     plan->stages[plan->stages[s].links[l].stage].dish == d);
        dish->part = last_is_served && served_user && chance(m, 50);
    }
    /* A part that became one before its only served user did is none after all. */
    for (size_t d = 0; d < plan->dish_count; d++)
        if (plan->dishes[d].part)
            plan->dishes[d].serve = INT64_MIN;
    for (size_t round = 0; round < plan->dish_count; round++)
        for (size_t d = 0; d < plan->dish_count; d++)
            if (plan->dishes[d].part)
                plan->dishes[d].serve = wanted_at(plan, d);
    plan->first_serve = plan->last_serve;
    for (size_t d = 0; d < plan->dish_count; d++) {
        bk_dish *dish = &plan->dishes[d];
        if (dish->serve == INT64_MIN) {
            dish->part = false;
            dish->serve = plan->last_serve;
            d = SIZE_MAX; /* what it is made of is wanted then as well */
            for (size_t o = 0; o < plan->dish_count; o++)
                if (plan->dishes[o].part)
                    plan->dishes[o].serve = wanted_at(plan, o);
            continue;
        }
        if (!dish->part && dish->serve < plan->first_serve)
            plan->first_serve = dish->serve;
    }
}

bk_plan *random_plan(bk_arena *arena, random_source *source, const random_shape *shape)
{
    bk_plan *plan = BK_NEW(arena, bk_plan, 1);
    maker m = {.arena = arena, .source = source, .shape = shape, .plan = plan};
    size_t n = (size_t)between(&m, shape->least_stages, shape->most_stages);
    int64_t span = 0;
    plan->occasion = "random";
    plan->style = chance(&m, 50) ? BK_FRESH : chance(&m, 60) ? BK_AHEAD : BK_SPREAD;
    plan->plan_on = (enum bk_plan_on)between(&m, 0, 2);
    plan->margin = chance(&m, 70) ? 0 : between(&m, 1, 3);
    plan->at_table = chance(&m, 75) ? 0 : between(&m, 1, shape->most_minutes / 2 + 1);
    plan->kitchen.pace = chance(&m, 85) ? 1.0 : 1.5;
    plan->kitchen.cooks = chance(&m, 70) ? 1 : 2;
    make_span(&m, n, &span);
    make_equipment(&m);
    make_windows(&m);
    make_people(&m);
    make_dishes(&m, n);
    make_rank(&m);
    make_serves(&m, span);
    for (size_t s = 0; s < n; s++)
        make_stage(&m, s);
    for (size_t s = 0; s < n; s++) {
        make_links(&m, s);
        make_holds(&m, s);
    }
    for (size_t s = 0; s < n; s++)
        make_off(&m, s);
    make_parts(&m);
    return plan;
}

/* --------------------------------------------------------------------- JSON */

typedef struct writer {
    bk_arena *arena;
    random_source *source;
    const bk_plan *plan;
    bk_text out;
} writer;

static const char *instant_text(writer *w, bk_instant instant)
{
    bk_civil civil = bk_civil_at(w->plan->zone, instant);
    if (random_chance(w->source, 50))
        return bk_instant_rfc3339(w->arena, w->plan->zone, instant);
    return bk_format(w->arena, "%04d-%02d-%02d%c%02d:%02d", civil.year, civil.month, civil.day,
                     random_chance(w->source, 50) ? ' ' : 'T', civil.hour, civil.minute);
}

static void write_windows(writer *w, const bk_window *windows, size_t count,
                          enum bk_window_kind kind, const char *key)
{
    const char *comma = "";
    bool begun = false, dated = random_chance(w->source, 40);
    for (size_t i = 0; i < count; i++) {
        const bk_window *window = &windows[i];
        if (window->kind != kind || window->derived)
            continue;
        if (!begun)
            bk_text_addf(&w->out, ",\n  \"%s\": [", key);
        begun = true;
        if (dated) {
            /* Of sleep, the date is that of the evening before. */
            bk_instant night = window->from - (kind == BK_ASLEEP ? BK_DAY / 2 : 0);
            bk_civil date = bk_civil_at(w->plan->zone, night),
                     from = bk_civil_at(w->plan->zone, window->from),
                     to = bk_civil_at(w->plan->zone, window->to);
            bk_text_addf(
                &w->out, "%s{\"date\": \"%04d-%02d-%02d\", \"time\": \"%02d:%02d-%02d:%02d\"}",
                comma, date.year, date.month, date.day, from.hour, from.minute, to.hour, to.minute);
        } else if (kind == BK_ASLEEP) {
            bk_civil from = bk_civil_at(w->plan->zone, window->from),
                     to = bk_civil_at(w->plan->zone, window->to);
            bk_text_addf(&w->out, "%s\"%02d:%02d-%02d:%02d\"", comma, from.hour, from.minute,
                         to.hour, to.minute);
        } else {
            bk_text_addf(&w->out, "%s{\"from\": \"%s\"", comma, instant_text(w, window->from));
            bk_text_addf(&w->out, ", \"to\": \"%s\"}", instant_text(w, window->to));
        }
        comma = ", ";
    }
    if (begun)
        bk_text_add(&w->out, "]");
}

static void write_all_windows(writer *w, const bk_window *windows, size_t count)
{
    write_windows(w, windows, count, BK_ASLEEP, "asleep");
    write_windows(w, windows, count, BK_AWAY, "away");
    write_windows(w, windows, count, BK_BUSY, "busy");
}

static void write_people(writer *w)
{
    const bk_kitchen *kitchen = &w->plan->kitchen;
    bk_text_add(&w->out, " \"kitchen\": {\"cooks\": [");
    for (size_t c = 0; c < kitchen->people_count; c++) {
        const bk_cook *cook = &kitchen->people[c];
        bk_text_addf(&w->out, "%s{\"cook\": \"%s\"", c > 0 ? ", " : "", cook->name);
        write_all_windows(w, cook->windows, cook->window_count);
        bk_text_add(&w->out, "}");
    }
    bk_text_add(&w->out, "]");
}

static void write_equipment(writer *w)
{
    static const char *const kinds[] = {"tool", "oven", "hob", "cold"};
    const bk_kitchen *kitchen = &w->plan->kitchen;
    if (kitchen->equipment_count == 0)
        return;
    bk_text_add(&w->out, ",\n  \"equipment\": {");
    for (size_t e = 0; e < kitchen->equipment_count; e++) {
        const bk_equipment *q = &kitchen->equipment[e];
        bk_text_addf(&w->out, "%s\n   \"%s\": {\"kind\": \"%s\"", e > 0 ? "," : "", q->name,
                     kinds[q->kind]);
        if (q->count != 1 || random_chance(w->source, 50))
            bk_text_addf(&w->out, ", \"count\": %d", q->count);
        if (q->kind == BK_OVEN) {
            bk_text_addf(&w->out, ", \"fan\": %s, \"shelves\": %d, \"idle\": \"%" PRId64 " min\"",
                         q->fan ? "true" : "false", q->shelves, q->idle);
            if (q->warms > 0)
                bk_text_addf(&w->out, ", \"warms\": \"%d C/min\"", (int)q->warms);
            else
                bk_text_addf(&w->out, ", \"preheat\": \"%" PRId64 " min\"", q->preheat);
            if (q->cools > 0)
                bk_text_addf(&w->out, ", \"cools\": \"%d C / min\"", (int)q->cools);
            if (q->warms <= 0 || q->cools <= 0)
                bk_text_addf(&w->out, ", \"change\": \"%" PRId64 " min\"", q->change);
        } else if (q->kind == BK_COLD && q->pool != INT64_MAX)
            bk_text_addf(&w->out, ", \"places\": %" PRId64, q->pool / q->count);
        else if (q->kind == BK_HOB)
            bk_text_addf(&w->out, ", \"rings\": %" PRId64, q->pool / q->count);
        bk_text_add(&w->out, "}");
    }
    bk_text_add(&w->out, "}");
}

static int64_t date_of(const writer *w, bk_instant instant)
{
    return bk_civil_minutes(bk_civil_at(w->plan->zone, instant)) / BK_DAY;
}

static void write_links(writer *w, size_t s)
{
    const bk_stage *stage = &w->plan->stages[s];
    const bk_dish *dish = &w->plan->dishes[stage->dish];
    bool above = s > dish->first_stage;
    if (stage->link_count == 0 && !above && random_chance(w->source, 50))
        return;
    if (above && stage->link_count == 1 && stage->links[0].stage == s - 1 &&
        stage->links[0].wait == 0 && !stage->links[0].has_within && !stage->links[0].from_start &&
        random_chance(w->source, 70))
        return;
    bk_text_add(&w->out, ", \"after\": [");
    for (size_t l = 0; l < stage->link_count; l++) {
        const bk_link *link = &stage->links[l];
        const bk_stage *other = &w->plan->stages[link->stage];
        bool own = other->dish == stage->dish && random_chance(w->source, 70);
        const char *name =
            own ? other->id
                : bk_format(w->arena, "%s/%s", w->plan->dishes[other->dish].name, other->id);
        bk_text_add(&w->out, l > 0 ? ", " : "");
        if (link->wait == 0 && !link->has_within && !link->from_start) {
            bk_text_addf(&w->out, "\"%s\"", name);
            continue;
        }
        bk_text_addf(&w->out, "{\"stage\": \"%s\", \"wait\": \"%" PRId64 " min\"", name,
                     link->wait);
        if (link->has_within)
            bk_text_addf(&w->out, ", \"within\": \"PT%" PRId64 "M\"", link->within);
        if (link->from_start)
            bk_text_add(&w->out, ", \"from\": \"start\"");
        bk_text_add(&w->out, "}");
    }
    bk_text_add(&w->out, "]");
}

static void write_needs(writer *w, const bk_stage *stage)
{
    const bk_equipment *equipment = w->plan->kitchen.equipment;
    if (stage->need_count > 0 || stage->in_oven) {
        const char *comma = "";
        bk_text_add(&w->out, ", \"uses\": {");
        for (size_t u = 0; u < stage->need_count; u++, comma = ", ")
            bk_text_addf(&w->out, "%s\"%s\": %" PRId64, comma,
                         equipment[stage->needs[u].equipment].name, stage->needs[u].amount);
        if (stage->in_oven) {
            const bk_temperature *at = &stage->oven.at;
            bk_text_addf(&w->out, "%s\"%s\": {\"at\": \"", comma,
                         equipment[stage->oven.equipment].name);
            if (stage->oven_off)
                bk_text_add(&w->out, "off");
            else if (at->high - at->low == 8)
                bk_text_addf(&w->out, "%d C", (int)at->nominal);
            else
                bk_text_addf(&w->out, "%d-%d C", (int)at->low, (int)at->high);
            bk_text_addf(&w->out, "\", \"shelves\": %" PRId64 "}", stage->oven.amount);
        }
        bk_text_add(&w->out, "}");
    }
    for (size_t h = 0; h < stage->hold_count; h++)
        bk_text_addf(&w->out, "%s\"%s\": {\"until\": \"%s\", \"amount\": %" PRId64 "}%s",
                     h == 0 ? ", \"holds\": {" : ", ", equipment[stage->holds[h].equipment].name,
                     w->plan->stages[stage->holds[h].until].id, stage->holds[h].amount,
                     h + 1 == stage->hold_count ? "}" : "");
}

static void write_stage(writer *w, size_t s)
{
    const bk_stage *stage = &w->plan->stages[s];
    const bk_range *range = &stage->range;
    bk_text_addf(&w->out, "    {\"id\": \"%s\", \"do\": \"%s\", \"%s\": \"", stage->id, stage->text,
                 stage->attention == BK_HANDS ? "active" : "passive");
    int64_t least = written_minutes(w->plan, stage, range->least),
            likely = written_minutes(w->plan, stage, range->likely),
            most = written_minutes(w->plan, stage, range->most);
    if (least == most)
        bk_text_addf(&w->out, "%" PRId64 " min\"", least);
    else
        bk_text_addf(&w->out, "%" PRId64 "-%" PRId64 "-%" PRId64 " min\"", least, likely, most);
    const bk_dish *dish = &w->plan->dishes[stage->dish];
    if (dish->scale > 0.0)
        bk_text_addf(&w->out, ", \"grows\": %s",
                     (const char *const[]){"0", "0.5", "1"}[grows(dish)]);
    if (stage->attention == BK_HANDS && stage->cooks != 1)
        bk_text_addf(&w->out, ", \"cooks\": %d", stage->cooks);
    bool by_default = bk_is_heated(stage);
    for (size_t u = 0; u < stage->need_count; u++)
        by_default =
            by_default || w->plan->kitchen.equipment[stage->needs[u].equipment].kind == BK_HOB;
    if (stage->watch != by_default || random_chance(w->source, 30))
        bk_text_addf(&w->out, ", \"watch\": %s", stage->watch ? "true" : "false");
    if (stage->begins_itself || (stage->attention != BK_HANDS && random_chance(w->source, 20)))
        bk_text_addf(&w->out, ", \"begins\": \"%s\"", stage->begins_itself ? "itself" : "hand");
    if (stage->has_when && stage->when_count > 1)
        bk_text_addf(&w->out, ", \"when\": {\"time\": \"%s\"}", stage->when_time);
    else if (stage->has_when)
        bk_text_addf(&w->out, ", \"when\": {\"day\": %" PRId64 ", \"time\": \"%s\"}",
                     date_of(w, stage->when[0].from) -
                         date_of(w, w->plan->dishes[stage->dish].serve),
                     stage->when_time);
    write_links(w, s);
    write_needs(w, stage);
    for (size_t c = 0; c < stage->check_count; c++) {
        const bk_check *check = &stage->checks[c];
        bk_text_addf(&w->out, "%s{\"at\": \"%" PRId64 " min\", \"do\": \"%s\"",
                     c == 0 ? ", \"checks\": [" : ", ", check->at, check->text);
        if (check->takes > 0)
            bk_text_addf(&w->out, ", \"takes\": \"%" PRId64 " min\", \"give\": \"%" PRId64 " min\"",
                         check->takes, check->give);
        bk_text_add(&w->out, c + 1 == stage->check_count ? "}]" : "}");
    }
    bk_text_add(&w->out, "}");
}

static void write_tin(writer *w, const char *key, const bk_tin *tin, bool shape, bool deep)
{
    if (tin->across == 0.0)
        return;
    bk_text_addf(&w->out, ", \"%s\": {%s\"across\": \"%g cm\"", key,
                 shape ? "\"shape\": \"square\", " : "", tin->across * 100.0);
    if (deep)
        bk_text_addf(&w->out, ", \"deep\": \"%g mm\"", tin->deep * 1000.0);
    bk_text_add(&w->out, "}");
}

static void write_dish(writer *w, size_t d)
{
    const bk_dish *dish = &w->plan->dishes[d];
    bk_text_addf(&w->out, "%s\n  {\"dish\": \"%s\"", d > 0 ? "," : "", dish->name);
    if (dish->serves > 0)
        bk_text_add(&w->out, ", \"serves\": 3, \"make\": 6");
    write_tin(w, "tin", &dish->tin, dish->tin.square, dish->tin.deep > 0.0);
    /* "into" has the shape of "tin" and is filled as high, unless it says otherwise. */
    write_tin(w, "into", &dish->into, dish->into.square && random_chance(w->source, 50),
              dish->into.deep > 0.0 &&
                  (dish->into.deep != dish->tin.deep || random_chance(w->source, 50)));
    if (dish->part)
        bk_text_add(&w->out, ", \"part\": true");
    else if (dish->serve != w->plan->last_serve)
        bk_text_addf(&w->out, ", \"serve\": \"%s\"", instant_text(w, dish->serve));
    if (dish->has_keeps)
        bk_text_addf(&w->out, ", \"keeps\": \"%" PRId64 " min\"", dish->keeps);
    for (size_t i = 0; i < dish->stored_count; i++)
        bk_text_addf(&w->out, "%s\"%s\": %" PRId64 "%s", i == 0 ? ", \"stored\": {" : ", ",
                     w->plan->kitchen.equipment[dish->stored[i].equipment].name,
                     dish->stored[i].amount, i + 1 == dish->stored_count ? "}" : "");
    bk_text_add(&w->out, ", \"stages\": [\n");
    for (size_t i = 0; i < dish->stage_count; i++) {
        bk_text_add(&w->out, i > 0 ? ",\n" : "");
        write_stage(w, dish->first_stage + i);
    }
    bk_text_add(&w->out, "]}");
}

const char *random_plan_json(bk_arena *arena, random_source *source, const bk_plan *plan)
{
    static const char *const ends[] = {"most", "likely", "least"};
    writer w = {.arena = arena, .source = source, .plan = plan, .out = bk_text_new(arena)};
    bk_text_addf(&w.out, "{\"occasion\": \"%s\", \"timezone\": \"%s\",", plan->occasion,
                 bk_zone_name(plan->zone));
    bk_text_addf(&w.out, " \"serve\": \"%s\",", instant_text(&w, plan->last_serve));
    bk_text_addf(&w.out, " \"earliest\": \"%s\",\n", instant_text(&w, plan->earliest));
    bk_text_addf(&w.out,
                 " \"margin\": \"%" PRId64 " min\", \"plan_on\": \"%s\", \"style\": \"%s\",\n",
                 plan->margin, ends[plan->plan_on],
                 plan->style == BK_SPREAD  ? "spread"
                 : plan->style == BK_AHEAD ? "ahead"
                                           : "fresh");
    if (plan->at_table > 0)
        bk_text_addf(&w.out, " \"at_table\": \"%" PRId64 " min\",\n", plan->at_table);
    if (plan->kitchen.people_count == 0)
        bk_text_addf(&w.out, " \"kitchen\": {\"cooks\": %d", plan->kitchen.cooks);
    else
        write_people(&w);
    if (plan->kitchen.pace > 1.0)
        bk_text_add(&w.out, ", \"pace\": 1.5");
    write_all_windows(&w, plan->kitchen.windows, plan->kitchen.window_count);
    write_equipment(&w);
    bk_text_add(&w.out, "},\n \"dishes\": [");
    for (size_t d = 0; d < plan->dish_count; d++)
        write_dish(&w, d);
    bk_text_add(&w.out, "]}\n");
    return w.out.data;
}
