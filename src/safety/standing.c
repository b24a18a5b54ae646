#include "safety/standing.h"

#include <stdlib.h>
#include <string.h>

bool bk_hands_on_food(const bk_plan *plan, size_t stage, const bk_link *link)
{
    return !link->from_start && plan->stages[link->stage].dish == plan->stages[stage].dish;
}

bool bk_held_cold(const bk_standings *standings, size_t dish, bk_instant from, bk_instant to)
{
    const bk_spans *spans = &standings->cold[dish];
    size_t low = 0, high = spans->count;
    while (low < high) { /* the first span that ends after `from` */
        size_t middle = low + (high - low) / 2;
        if (spans->items[middle].to <= from)
            low = middle + 1;
        else
            high = middle;
    }
    return from >= to ||
           (low < spans->count && spans->items[low].from <= from && spans->items[low].to >= to);
}

/* Colder than this, food is frozen (C). */
static const double frozen_c = -1.0;

static bool freezes(const bk_plan *plan, size_t equipment)
{
    return plan->kitchen.equipment[equipment].at_c < frozen_c;
}

static bk_spans tidy(bk_arena *arena, bk_spans *spans)
{
    bk_spans_sort(spans);
    return bk_spans_merged(arena, spans);
}

/* When holds and storage keep something cold for each dish, and when it is in a freezer. */
static void fill_cold(bk_arena *arena, bk_standings *s)
{
    const bk_plan *plan = s->timeline->plan;
    s->cold = BK_NEW(arena, bk_spans, plan->dish_count);
    s->frozen = BK_NEW(arena, bk_spans, plan->dish_count);
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        bk_spans spans = bk_spans_new(arena), frozen = bk_spans_new(arena);
        bk_instant ready = 0;
        for (size_t i = 0; i < dish->stage_count; i++) {
            size_t n = dish->first_stage + i;
            const bk_stage *stage = &plan->stages[n];
            if (i == 0 || s->stage[n].end > ready)
                ready = s->stage[n].end;
            for (size_t k = 0; k < stage->need_count; k++)
                if (plan->kitchen.equipment[stage->needs[k].equipment].kind == BK_COLD &&
                    freezes(plan, stage->needs[k].equipment))
                    bk_spans_add(&frozen, s->stage[n].start, s->stage[n].end, 0);
            for (size_t h = 0; h < stage->hold_count; h++) {
                const bk_hold *hold = &stage->holds[h];
                if (plan->kitchen.equipment[hold->equipment].kind != BK_COLD)
                    continue;
                bk_spans_add(&spans, s->stage[n].start, s->stage[hold->until].end, 0);
                if (freezes(plan, hold->equipment))
                    bk_spans_add(&frozen, s->stage[n].start, s->stage[hold->until].end, 0);
            }
        }
        for (size_t k = 0; k < dish->stored_count; k++) {
            if (plan->kitchen.equipment[dish->stored[k].equipment].kind != BK_COLD)
                continue;
            bk_spans_add(&spans, ready, bk_timeline_until(s->timeline, d), 0);
            if (freezes(plan, dish->stored[k].equipment))
                bk_spans_add(&frozen, ready, bk_timeline_until(s->timeline, d), 0);
        }
        s->cold[d] = tidy(arena, &spans);
        s->frozen[d] = tidy(arena, &frozen);
    }
}

int64_t bk_frozen_minutes(const bk_standings *standings, size_t dish, bk_instant from,
                          bk_instant to)
{
    const bk_spans *spans = &standings->frozen[dish];
    int64_t sum = 0;
    for (size_t i = 0; i < spans->count; i++) {
        bk_instant since = spans->items[i].from > from ? spans->items[i].from : from;
        bk_instant until = spans->items[i].to < to ? spans->items[i].to : to;
        sum += until > since ? until - since : 0;
    }
    return sum;
}

typedef struct placed_at {
    bk_instant start, end;
    size_t stage;
} placed_at;

static int by_time(const void *left, const void *right)
{
    const placed_at *a = left, *b = right;
    if (a->start != b->start)
        return a->start < b->start ? -1 : 1;
    if (a->end != b->end)
        return a->end < b->end ? -1 : 1;
    return (a->stage > b->stage) - (a->stage < b->stage);
}

/* Stages in an order in which what hands on food comes first. */
static void fill_order(bk_arena *arena, bk_standings *s)
{
    const bk_timeline *t = s->timeline;
    placed_at *all = BK_NEW(arena, placed_at, t->stage_count);
    s->count = t->stage_count;
    s->order = BK_NEW(arena, size_t, s->count);
    for (size_t i = 0; i < s->count; i++)
        all[i] = (placed_at){t->stages[i].start, t->stages[i].end, t->stages[i].stage};
    if (s->count > 1)
        qsort(all, s->count, sizeof *all, by_time);
    for (size_t i = 0; i < s->count; i++) {
        bk_standing *at = &s->stage[all[i].stage];
        s->order[i] = all[i].stage;
        at->placed = true;
        at->start = all[i].start;
        at->end = all[i].end;
    }
}

/* A hob that is in use and not on: the pot is left on it, off the heat. */
static bool is_off(const bk_stage *stage)
{
    static const char *const off[] = {
        "cool",          "cools",         "off",         "heat off",        "off the heat",
        "residual heat", "ring off",      "ring is off", "rings off",       "hob off",
        "hob is off",    "switched off",  "turned off",  "turn off",        "switch off",
        "off the ring",  "off the flame", "flame off",   "heat turned off", NULL};
    static const char *const on[] = {"boil",      "boiling", "bring", "cook",   "cooking", "fry",
                                     "frying",    "melt",    "poach", "reduce", "sear",    "simmer",
                                     "simmering", "steam",   "stir",  "sweat",  NULL};
    return bk_has_any(stage->text, off) && !bk_has_any(stage->text, on);
}

/* Tools that cook: they are of no kind of their own in a plan. */
static bool cooks(const bk_equipment *tool)
{
    static const char *const names[] = {
        "air fryer",   "air-fryer",     "bain marie",      "bain-marie",      "barbecue",
        "bbq",         "bread machine", "bread maker",     "crock pot",       "deep fryer",
        "deep-fryer",  "fryer",         "griddle",         "grill",           "hot plate",
        "microwave",   "multicooker",   "pressure cooker", "pressure-cooker", "rice cooker",
        "rice-cooker", "slow cooker",   "slow-cooker",     "smoker",          "sous vide",
        "sous-vide",   "steamer",       "waffle iron",     "warming drawer",  NULL};
    return tool->kind == BK_TOOL && bk_has_any(tool->name, names);
}

static void fill_place(const bk_standings *s, size_t n)
{
    const bk_plan *plan = s->timeline->plan;
    const bk_stage *stage = &plan->stages[n];
    bk_standing *at = &s->stage[n];
    bool hob = false;

    at->cold = SIZE_MAX;
    for (size_t i = 0; i < stage->need_count; i++) {
        enum bk_equipment_kind kind = plan->kitchen.equipment[stage->needs[i].equipment].kind;
        if (kind == BK_COLD)
            at->cold = stage->needs[i].equipment;
        hob = hob || kind == BK_HOB || cooks(&plan->kitchen.equipment[stage->needs[i].equipment]);
    }
    if (bk_is_heated(stage) || (hob && !is_off(stage)))
        at->place = BK_STANDS_HOT;
    else if (at->cold != SIZE_MAX)
        at->place = BK_STANDS_COLD;
    else if (!stage->cooling && stage->attention != BK_HANDS && at->start < at->end &&
             bk_held_cold(s, stage->dish, at->start, at->end))
        at->place = BK_STANDS_COLD; /* what hands work on is not in the fridge */
    else if (bk_is_rising(stage))
        at->place = BK_STANDS_RISING;
    else
        at->place = BK_STANDS_IN_ROOM;
}

/* ------------------------------------------------------------- what is in it */

static const unsigned all_kinds = ~0U;

/* What a dish is called tells how it keeps; what is raw in it, its ingredients tell. */
static const unsigned states =
    BK_SPOILS_ALWAYS | BK_SPOILS_COOKED | BK_SPOILS_UNBAKED | BK_FOOD_KEEPS;

static void take(bk_food_facts *facts, const char *text, unsigned which)
{
    bk_food_facts more = {0};
    bk_foods_in(text, &more);
    bk_foods_add(facts, &more, which);
}

/* Set creams that a step names: "pour the custard into the case". */
static void take_custard(bk_food_facts *facts, const char *text)
{
    const unsigned both = 1U << BK_EGG | 1U << BK_MILK;
    const bk_food_word *food;
    while ((food = bk_food_next(&text)) != NULL)
        if ((food->kinds & BK_SPOILS_ALWAYS) != 0 && (food->allergens & both) == both)
            take(facts, food->phrase, BK_SPOILS_ALWAYS);
}

/* More than one egg, that is no glaze. */
static bool eggs_inside(const bk_ingredient *item, const bk_food_facts *food)
{
    static const char *const glaze[] = {"brush", "brushing", "egg wash", "glaze", "glazing", NULL};
    static const char *const many[] = {"eggs", "yolks", "whites", NULL};
    bool several = false;
    int64_t number;
    for (const char *const *word = many; *word; word++)
        several = several || (item->item && strstr(item->item, *word));
    if (item->amount && bk_read_number(item->amount, &number))
        several = several || number >= (int64_t)2 * BK_MILLION;
    return (food->kinds & BK_FOOD_RAW_EGG) != 0 && several && !bk_has_any(item->item, glaze);
}

/* What makes eggs and milk a cake, a bread or a batter. */
static bool has_flour(const bk_dish *dish)
{
    static const char *const words[] = {"cake mix", "chocolate",      "cornmeal", "flour",
                                        "flours",   "ground almonds", "oatmeal",  "oats",
                                        "polenta",  "semolina",       "yeast",    NULL};
    static const char *const names[] = {"bread",   "brownies", "cake",   "meringue", "meringues",
                                        "pavlova", "roulade",  "sponge", NULL};
    if (bk_has_any(dish->name, names) && !bk_has_word(dish->name, "pudding"))
        return true;
    for (size_t i = 0; i < dish->ingredient_count; i++)
        if (bk_has_any(dish->ingredients[i].item, words))
            return true;
    return false;
}

/* A tart or pie filled with several eggs and milk or cream holds a custard, whatever it is called;
 * so does what has eggs and milk and no flour. */
static bool custard_inside(const bk_dish *dish)
{
    static const char *const cases[] = {"flan", "pie", "tart", "tartlet", NULL};
    bool eggs = false, milk = false;
    if (!bk_has_any(dish->name, cases) && has_flour(dish))
        return false;
    for (size_t i = 0; i < dish->ingredient_count; i++) {
        bk_food_facts food = bk_foods_of(&dish->ingredients[i]);
        eggs = eggs || eggs_inside(&dish->ingredients[i], &food);
        milk = milk || bk_has_word(dish->ingredients[i].item, "condensed milk") ||
               ((food.kinds & BK_SPOILS_UNBAKED) != 0 && (food.allergens & 1U << BK_MILK) != 0);
    }
    return eggs && milk;
}

/* Egg white that dries with icing sugar, and nothing else in it spoils. */
static bool is_icing(const bk_plan *plan, const bk_dish *dish)
{
    static const char *const sugars[] = {"confectioners sugar", "confectioners' sugar",
                                         "icing sugar", "powdered sugar", NULL};
    static const char *const icing[] = {"icing", NULL};
    bool sugar = false, named = bk_has_any(dish->name, icing);
    for (size_t i = 0; i < dish->ingredient_count && !sugar; i++)
        sugar = bk_has_any(dish->ingredients[i].item, sugars);
    for (size_t i = 0; sugar && i < dish->stage_count && !named; i++)
        named = bk_has_any(plan->stages[dish->first_stage + i].text, icing);
    if (!sugar || !named)
        return false;
    for (size_t i = 0; i < dish->ingredient_count; i++) {
        bk_food_facts food = bk_foods_of(&dish->ingredients[i]);
        if (bk_may_spoil(food.kinds) && !(food.word[2] && strcmp(food.word[2], "egg white") == 0))
            return false;
    }
    return true;
}

static bool is_leavened(const bk_plan *plan, const bk_dish *dish)
{
    static const char *const words[] = {"levain", "poolish", "sourdough", "sourdough starter",
                                        "yeast",  NULL};
    for (size_t i = 0; i < dish->ingredient_count; i++)
        if (bk_has_any(dish->ingredients[i].item, words))
            return true;
    for (size_t i = 0; i < dish->stage_count; i++)
        if (bk_is_rising(&plan->stages[dish->first_stage + i]))
            return true;
    return false;
}

/* Cream, and what is like it, that a step puts on what is baked; milk is mostly for a glaze. */
static const char *cream_named(const char *text)
{
    static const char *const served[] = {"serve", "serving", NULL};
    const char *at = text;
    const bk_food_word *food;
    if (bk_has_any(text, served))
        return NULL;
    while ((food = bk_food_next(&at)) != NULL)
        if ((food->kinds & BK_SPOILS_UNBAKED) != 0 && (food->allergens & 1U << BK_MILK) != 0 &&
            strcmp(food->phrase, "milk") != 0 && strcmp(food->phrase, "buttermilk") != 0)
            return food->phrase;
    return NULL;
}

/* Nothing of the dish goes into it. */
static bool is_head(const bk_plan *plan, size_t n)
{
    const bk_stage *stage = &plan->stages[n];
    for (size_t k = 0; k < stage->link_count; k++)
        if (bk_hands_on_food(plan, n, &stage->links[k]))
            return false;
    return true;
}

/* When somebody first works on a dish or heats it: what stands before that, beans in water, is
 * not yet what the dish is called. */
static bk_instant begun(const bk_standings *s, const bk_dish *dish)
{
    bk_instant first = INT64_MAX;
    for (size_t i = 0; i < dish->stage_count; i++) {
        size_t n = dish->first_stage + i;
        bool work = s->timeline->plan->stages[n].attention == BK_HANDS ||
                    s->stage[n].place == BK_STANDS_HOT;
        if (work && s->stage[n].start < first)
            first = s->stage[n].start;
    }
    return first != INT64_MAX ? first : INT64_MIN;
}

static bool is_any_heated(const bk_standings *s, const bk_dish *dish)
{
    for (size_t i = 0; i < dish->stage_count; i++)
        if (s->stage[dish->first_stage + i].place == BK_STANDS_HOT)
            return true;
    return false;
}

/* Where egg goes in that no ingredient says the stage of: the steps that name it; where the
 * dish is never heated, else the first. */
static void fill_loose_egg(const bk_standings *s, const bk_dish *dish)
{
    static const char *const parts[] = {"whites", "yolks", NULL};
    const bk_plan *plan = s->timeline->plan;
    bool named = false;
    for (size_t i = 0; i < dish->stage_count; i++) {
        bk_standing *at = &s->stage[dish->first_stage + i];
        const char *text = plan->stages[dish->first_stage + i].text;
        if ((bk_spoils(text) & BK_FOOD_RAW_EGG) == 0 && !bk_has_any(text, parts))
            continue;
        at->raw_egg_in = named = true;
    }
    if (!named && dish->ingredient_count > 0 && !is_any_heated(s, dish))
        s->stage[dish->first_stage].raw_egg_in = true;
}

/* Spoiling food that comes in at each stage. Ingredients that name their stage come
 * in there; what the dish is called counts from when all of them are in. */
static void fill_food(const bk_standings *s)
{
    const bk_plan *plan = s->timeline->plan;
    for (size_t d = 0; d < plan->dish_count; d++) {
        const bk_dish *dish = &plan->dishes[d];
        bk_food_facts name = {0}, everywhere = {0};
        bool listed = false, loose_egg = dish->ingredient_count == 0;
        bk_instant complete = dish->ingredient_count > 0 ? begun(s, dish) : INT64_MIN;
        bk_foods_in(dish->name, &name);
        /* fudge is boiled milk, and keeps; "meringues with cream" do not */
        s->keeps[d] = (name.kinds & BK_FOOD_KEEPS) != 0 && (name.kinds & BK_SPOILS_UNBAKED) == 0;
        s->keeps[d] = s->keeps[d] || is_icing(plan, dish);
        s->rises[d] = is_leavened(plan, dish);
        if (!s->keeps[d] && custard_inside(dish))
            bk_foods_add(
                &name,
                &(bk_food_facts){.kinds = BK_SPOILS_ALWAYS, .word = {"a filling of eggs and milk"}},
                all_kinds);
        for (size_t i = 0; i < dish->ingredient_count; i++) {
            const bk_ingredient *item = &dish->ingredients[i];
            bk_food_facts food = bk_foods_of(item);
            bool egg = (food.kinds & BK_FOOD_RAW_EGG) != 0;
            if (item->stage == SIZE_MAX) {
                bk_foods_add(&everywhere, &food, all_kinds);
                loose_egg = loose_egg || egg;
                continue;
            }
            if (!listed)
                complete = INT64_MIN;
            listed = true;
            bk_standing *at = &s->stage[item->stage];
            at->unbaked_in = at->unbaked_in || (food.kinds & BK_SPOILS_UNBAKED) != 0;
            bk_foods_add(&at->food, &food, all_kinds);
            at->raw_egg_in = at->raw_egg_in || egg;
            if (at->start > complete)
                complete = at->start;
        }
        for (size_t i = 0; i < dish->stage_count; i++) {
            size_t n = dish->first_stage + i;
            bk_standing *at = &s->stage[n];
            bool whole = at->start >= complete;
            bk_foods_add(&at->food, &everywhere, all_kinds);
            if (whole)
                bk_foods_add(&at->food, &name, dish->ingredient_count == 0 ? all_kinds : states);
            if (is_head(plan, n) &&
                ((everywhere.kinds | (whole ? name.kinds : 0)) & BK_SPOILS_UNBAKED) != 0)
                at->unbaked_in = true;
            /* Stages say many things ("cream the butter", "cut it like a steak"): all of
             * them count only where nothing is listed. */
            if (dish->ingredient_count == 0) {
                take(&at->food, plan->stages[n].text, all_kinds);
                at->unbaked_in =
                    at->unbaked_in || (bk_spoils(plan->stages[n].text) & BK_SPOILS_UNBAKED) != 0;
                continue;
            }
            take_custard(&at->food, plan->stages[n].text);
            const char *cream = listed ? NULL : cream_named(plan->stages[n].text);
            if (cream && (everywhere.kinds & BK_SPOILS_UNBAKED) != 0) {
                at->food.word[2] = cream;
                at->unbaked_in = true;
            }
        }
        if (loose_egg)
            fill_loose_egg(s, dish);
    }
}

/* ------------------------------------------------------------------ history */

void bk_room_pass(const bk_standings *standings, bk_room_clock *clock, bk_instant from,
                  int64_t minutes, bool cold)
{
    if (!cold) {
        if (clock->minutes == 0)
            clock->since = from;
        clock->minutes += minutes;
        clock->cold = clock->brief = 0;
        return;
    }
    clock->cold += minutes;
    if (clock->minutes > 0) {
        clock->minutes += minutes;
        clock->brief += minutes;
    }
    if ((double)clock->cold >= standings->rules.cold_stay) {
        clock->minutes -= clock->brief;
        clock->brief = 0;
    }
}

/* The clock of what a link hands on, at the start of the stage. */
static bk_room_clock handed_over(const bk_standings *s, const bk_standing *from,
                                 const bk_standing *at, size_t dish)
{
    bk_room_clock clock = from->at_risk ? from->room : (bk_room_clock){0};
    if (at->start > from->end)
        bk_room_pass(s, &clock, from->end, at->start - from->end,
                     bk_held_cold(s, dish, from->end, at->start));
    return clock;
}

static bool in_hot_room(const bk_standings *s, const bk_stage *stage)
{
    double air = s->timeline->plan->kitchen.room_c;
    if (stage->cooling && stage->cooling->in_room)
        air = stage->cooling->place_c;
    return air > s->rules.hot_room_c;
}

static void run_room_clock(const bk_standings *s, size_t n, bk_room_clock before)
{
    bk_standing *at = &s->stage[n];
    const bk_stage *stage = &s->timeline->plan->stages[n];
    if (at->place == BK_STANDS_HOT || at->place == BK_STANDS_RISING)
        return;
    at->room = before;
    bk_room_pass(s, &at->room, at->start, at->end - at->start, at->place == BK_STANDS_COLD);
    at->room.hot_room =
        at->room.hot_room || (at->place == BK_STANDS_IN_ROOM && in_hot_room(s, stage));
}

static void run_cold_clock(bk_standing *at, const bk_standing *from, bool cold_wait)
{
    bk_instant since = from->has_cold_since ? from->cold_since : from->end;
    if (at->place == BK_STANDS_HOT && !from->cooked)
        return; /* raw food that is cooked is made today */
    if ((from->has_cold_since || cold_wait) && (!at->has_cold_since || since < at->cold_since)) {
        at->has_cold_since = true;
        at->cold_since = since;
    }
    at->chilled = at->chilled || (at->place != BK_STANDS_HOT && (from->chilled || cold_wait));
}

static bool is_at_risk(const bk_standing *at, bool dough)
{
    unsigned kinds = at->food.kinds;
    return (kinds & BK_SPOILS_ALWAYS) != 0 || ((kinds & BK_SPOILS_COOKED) != 0 && at->cooked) ||
           ((kinds & BK_SPOILS_UNBAKED) != 0 && at->unbaked && !dough);
}

const char *bk_risk_word(const bk_standing *standing)
{
    for (int kind = 0; kind < 3; kind++) {
        unsigned bit = standing->food.kinds & 1U << kind;
        if ((bit & BK_SPOILS_ALWAYS) != 0 || ((bit & BK_SPOILS_COOKED) != 0 && standing->cooked) ||
            (bit & BK_SPOILS_UNBAKED) != 0)
            return standing->food.word[kind];
    }
    return NULL;
}

/* What the food was before this stage, and how it comes to stand here. */
static void fill_history(const bk_standings *s, size_t n)
{
    const bk_plan *plan = s->timeline->plan;
    const bk_stage *stage = &plan->stages[n];
    bk_standing *at = &s->stage[n];
    bool hot = at->place == BK_STANDS_HOT;
    bk_room_clock before = {0};

    at->cooked = hot;
    at->unbaked = at->unbaked_in && !stage->in_oven;
    at->hot_end = hot ? at->end : INT64_MIN;
    at->raw_egg = at->raw_egg_in && !hot;
    at->raw_egg_since = at->start;
    for (size_t i = 0; i < stage->link_count; i++) {
        const bk_standing *from = &s->stage[stage->links[i].stage];
        if (!from->placed || !bk_hands_on_food(plan, n, &stage->links[i]))
            continue;
        bool cold_wait =
            bk_held_cold(s, stage->dish, from->end, at->start) && from->end < at->start;
        at->cooked = at->cooked || from->cooked;
        at->unbaked = at->unbaked || (from->unbaked && !stage->in_oven);
        bk_foods_add(&at->food, &from->food, all_kinds);
        bk_room_clock over = handed_over(s, from, at, stage->dish);
        bool hot_room = before.hot_room || over.hot_room;
        if (from->at_risk && over.minutes > before.minutes)
            before = over;
        before.hot_room = hot_room;
        run_cold_clock(at, from, cold_wait);
        if (!hot && at->place != BK_STANDS_COLD && !cold_wait && from->hot_end > at->hot_end)
            at->hot_end = from->hot_end;
        if (!hot && from->raw_egg && (!at->raw_egg || from->raw_egg_since < at->raw_egg_since)) {
            at->raw_egg = true;
            at->raw_egg_since = from->raw_egg_since;
        }
    }
    run_room_clock(s, n, before);
    if (at->place == BK_STANDS_COLD) {
        bool frozen = at->cold != SIZE_MAX && freezes(plan, at->cold); /* stops the clock */
        if (!frozen && !at->has_cold_since) {
            at->has_cold_since = true;
            at->cold_since = at->start;
        }
        at->chilled = at->chilled || (double)(at->end - at->start) >= s->rules.cold_stay;
    }
    /* what keeps by sugar or dryness keeps when it is made, not as a batter */
    if (s->keeps[stage->dish] && (at->cooked || !at->heated_later))
        at->food.kinds &= ~(unsigned)BK_SPOILS_UNBAKED;
    at->at_risk = is_at_risk(at, s->rises[stage->dish] && at->heated_later && !at->cooked);
}

bk_standings bk_standings_of(bk_arena *arena, const bk_timeline *timeline)
{
    const bk_plan *plan = timeline->plan;
    const bk_kitchen *kitchen = &plan->kitchen;
    bk_standings s = {.timeline = timeline,
                      .rules = bk_safety_rules_of(kitchen->rules, !kitchen->has_rules),
                      .stage = BK_NEW(arena, bk_standing, plan->stage_count),
                      .keeps = BK_NEW(arena, bool, plan->dish_count),
                      .rises = BK_NEW(arena, bool, plan->dish_count)};

    fill_order(arena, &s);
    fill_cold(arena, &s);
    for (size_t i = 0; i < s.count; i++)
        fill_place(&s, s.order[i]);
    fill_food(&s);
    for (size_t i = s.count; i-- > 0;) {
        size_t n = s.order[i];
        const bk_stage *stage = &plan->stages[n];
        const bk_standing *at = &s.stage[n];
        for (size_t k = 0; k < stage->link_count; k++)
            if (bk_hands_on_food(plan, n, &stage->links[k]) &&
                (at->heated_later || at->place == BK_STANDS_HOT))
                s.stage[stage->links[k].stage].heated_later = true;
    }
    for (size_t i = 0; i < s.count; i++)
        fill_history(&s, s.order[i]);
    return s;
}
