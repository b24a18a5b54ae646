/* Cautions that suit the stages, few and each once. */
#include "heat/heat.h"
#include "safety/food_words.h"
#include "safety/safety.h"
#include "safety/standing.h"

typedef struct cautions {
    bk_arena *arena;
    const bk_plan *plan;
    bk_report *report;
    bk_standings standings;
} cautions;

static const char *stage_name(const cautions *c, size_t stage)
{
    return bk_stage_name(c->arena, c->plan, stage);
}

/* The cook was warned of it by the plan itself, at this stage. */
static bool already_said(const bk_stage *stage, const char *const *words)
{
    return bk_has_any(stage->caution, words) || bk_has_any(stage->note, words);
}

/* Sugar on a hot place: caramel, syrup, toffee. */
static bool hot_sugar(const cautions *c, size_t n)
{
    static const char *const always[] = {"brittle",    "caramel",   "caramelise",
                                         "caramelize", "honeycomb", "nougat",
                                         "praline",    "toffee",    NULL};
    static const char *const how[] = {"amber", "boil", "boiling", "cook", "melt", NULL};
    static const char *const said[] = {"burn", "hot", "spit", "sugar", NULL};
    const bk_stage *stage = &c->plan->stages[n];
    bool hob = c->standings.stage[n].place == BK_STANDS_HOT && !stage->in_oven;
    bool sugar = bk_has_any(stage->text, always) ||
                 ((bk_has_word(stage->text, "sugar") || bk_has_word(stage->text, "syrup")) &&
                  bk_has_any(stage->text, how));
    return hob && sugar && !already_said(stage, said);
}

static void say_hot_sugar(const cautions *c)
{
    for (size_t i = 0; i < c->standings.count; i++) {
        size_t n = c->standings.order[i];
        if (!hot_sugar(c, n))
            continue;
        bk_warning_about(
            c->report, (bk_about){BK_CAUTION, n}, "caution-hot-sugar", c->plan->stages[n].place,
            "no children near, long sleeves, a bowl of iced water at hand, and never leave it",
            "%s, at %s: hot sugar sticks and burns, and spits when anything wet goes in",
            stage_name(c, n),
            bk_hour_on_weekday(c->arena, c->plan->zone, c->standings.stage[n].start));
        return;
    }
}

/* Only where the plan says that nobody need watch: else the timeline sees to it. */
static void say_alone(const cautions *c)
{
    const bk_kitchen *kitchen = &c->plan->kitchen;
    for (size_t i = 0; i < c->standings.count; i++) {
        size_t n = c->standings.order[i];
        const bk_stage *stage = &c->plan->stages[n];
        const bk_standing *at = &c->standings.stage[n];
        if (at->place != BK_STANDS_HOT || stage->watch)
            continue;
        for (size_t w = 0; w < kitchen->window_count; w++) {
            const bk_window *window = &kitchen->windows[w];
            if (window->from >= at->end)
                break; /* they are in order of `from` */
            if (window->kind == BK_BUSY || window->to <= at->start)
                continue;
            bk_warning_about(
                c->report, (bk_about){BK_CAUTION, n}, "caution-alone", stage->place,
                "do not leave an oven or a hob on with nobody awake at home: let it be watched",
                "%s, from %s: an oven or hob is on while everybody is %s", stage_name(c, n),
                bk_hour_on_weekday(c->arena, c->plan->zone, at->start),
                bk_window_key(window->kind));
            return;
        }
    }
}

/* Hot food put in a fridge: modelled, or moved there within a quarter of an hour of the
 * oven or hob. */
static bool hot_into_cold(const cautions *c, size_t n)
{
    static const double hot_c = 50.0;
    const bk_stage *stage = &c->plan->stages[n];
    const bk_standing *at = &c->standings.stage[n];
    if (at->place != BK_STANDS_COLD)
        return false;
    if (stage->cooling)
        return !stage->cooling->in_room && stage->cooling->from_c >= hot_c;
    for (size_t k = 0; k < stage->link_count; k++) {
        const bk_standing *from = &c->standings.stage[stage->links[k].stage];
        if (bk_hands_on_food(c->plan, n, &stage->links[k]) && from->place == BK_STANDS_HOT &&
            at->start - from->end < 15)
            return true;
    }
    return false;
}

static void say_hot_into_cold(const cautions *c)
{
    static const char *const said[] = {"hot", "warm", NULL};
    for (size_t i = 0; i < c->standings.count; i++) {
        size_t n = c->standings.order[i];
        if (!hot_into_cold(c, n) || already_said(&c->plan->stages[n], said))
            continue;
        bk_warning_about(
            c->report, (bk_about){BK_CAUTION, n}, "caution-hot-into-fridge",
            c->plan->stages[n].place,
            "spread it shallow or stand it in iced water first, within the limits for "
            "cooling, and put it "
            "on a rack",
            "%s, at %s: hot food warms what stands beside it, a full fridge takes hours to "
            "be cold again, and "
            "a hot tin can crack a glass shelf",
            stage_name(c, n),
            bk_hour_on_weekday(c->arena, c->plan->zone, c->standings.stage[n].start));
        return;
    }
}

/* What a stage brings warm into a cold place, computed or straight from the heat. */
static bool brings_heat(const cautions *c, size_t n, size_t *equipment)
{
    static const double warm_c = 25.0; /* above any room */
    const bk_cooling *cooling = c->plan->stages[n].cooling;
    *equipment = cooling ? cooling->equipment : c->standings.stage[n].cold;
    if (*equipment == SIZE_MAX)
        return false;
    return cooling ? cooling->from_c >= warm_c : hot_into_cold(c, n);
}

/* The planned minutes of a computed cooling in air so much warmer; INFINITY: never. */
static double minutes_in_air(const cautions *c, size_t n, double warmer)
{
    static const enum bk_heat_end ends[] = {BK_HEAT_WEAK, BK_HEAT_TYPICAL, BK_HEAT_STRONG};
    bk_heat_question q;
    bk_cooling_question(c->plan->stages[n].cooling, &q);
    q.air_c += warmer;
    return ceil(bk_heat_seconds_to(c->arena, &q, ends[c->plan->plan_on], q.to_c) / 60.0);
}

static void say_pair(const cautions *c, size_t n, size_t beside, size_t place)
{
    static const double warmer = 3.0; /* 2 to 4 C: common practice, no source */
    double minutes = minutes_in_air(c, n, warmer);
    const char *then =
        isfinite(minutes)
            ? bk_format(c->arena, "takes %s in place of %s", bk_minutes(c->arena, (int64_t)minutes),
                        bk_minutes(c->arena, (int64_t)minutes_in_air(c, n, 0.0)))
            : bk_format(c->arena, "is never at %g C", c->plan->stages[n].cooling->to_c);
    bk_warning_about(
        c->report, (bk_about){BK_CAUTION, n}, "caution-warm-together", c->plan->stages[n].place,
        "cool one after the other, or write the air that it will have as \"air\"",
        "%s and %s: both are warm in %s at once, and each is reckoned as if it stood there "
        "alone; with its air %g C warmer %s %s",
        stage_name(c, n), stage_name(c, beside), c->plan->kitchen.equipment[place].name, warmer,
        stage_name(c, n), then);
}

/* Two that are warm in one fridge at once, one of them computed: the estimate knows each
 * alone. */
static void say_warm_together(const cautions *c)
{
    for (size_t i = 0; i < c->standings.count; i++) {
        size_t n = c->standings.order[i], place, other;
        if (!brings_heat(c, n, &place))
            continue;
        for (size_t k = i + 1; k < c->standings.count; k++) {
            size_t m = c->standings.order[k];
            if (c->standings.stage[m].start >= c->standings.stage[n].end)
                break; /* they are in order of start */
            bool computed = c->plan->stages[n].cooling || c->plan->stages[m].cooling;
            if (!computed || !brings_heat(c, m, &other) || other != place)
                continue;
            if (c->plan->stages[n].cooling)
                say_pair(c, n, m, place);
            else
                say_pair(c, m, n, place);
            return;
        }
    }
}

/* Egg that comes in raw at a stage and is not heated there or later. */
static bool raw_egg(const cautions *c, size_t n)
{
    static const char *const eggs[] = {"egg", "egg white", "egg yolk", "yolk", NULL};
    const bk_standing *at = &c->standings.stage[n];
    return at->raw_egg_in && at->raw_egg && !at->heated_later &&
           !already_said(&c->plan->stages[n], eggs);
}

static void say_raw_egg(const cautions *c)
{
    for (size_t i = 0; i < c->standings.count; i++) {
        size_t n = c->standings.order[i];
        if (!raw_egg(c, n))
            continue;
        bk_warning_about(
            c->report, (bk_about){BK_CAUTION, n}, "caution-raw-egg", c->plan->stages[n].place,
            "use pasteurised egg for the very young, the old, the pregnant and the unwell",
            "%s, at %s: egg goes in raw and is not cooked", stage_name(c, n),
            bk_hour_on_weekday(c->arena, c->plan->zone, c->standings.stage[n].start));
        return;
    }
}

/* Allergens of a dish that its own cautions and notes do not name, of those on the lists of
 * the kitchen's rules. */
static bk_food_facts unsaid_allergens(const cautions *c, const bk_dish *dish)
{
    const bk_kitchen *kitchen = &c->plan->kitchen;
    bk_food_facts found = {0};
    for (size_t i = 0; i < dish->ingredient_count; i++) {
        bk_food_facts food = bk_foods_of(&dish->ingredients[i]);
        for (int a = 0; a < BK_ALLERGENS; a++)
            if ((food.allergens & ~found.allergens & 1U << a) != 0)
                found.allergen_word[a] = food.allergen_word[a];
        found.allergens |= food.allergens;
    }
    found.allergens &= bk_allergens_of_law(kitchen->rules, !kitchen->has_rules);
    for (size_t i = 0; i < dish->stage_count && found.allergens != 0; i++) {
        const bk_stage *stage = &c->plan->stages[dish->first_stage + i];
        for (int a = 0; a < BK_ALLERGENS; a++) {
            const char *const name[] = {bk_allergen_name(a), NULL};
            if (already_said(stage, name))
                found.allergens &= ~(1U << a);
        }
        if (stage->caution)
            found.allergens &= ~bk_allergens_in(stage->caution);
    }
    return found;
}

static void say_allergens(const cautions *c)
{
    bk_text list = bk_text_new(c->arena);
    bk_place place = {0};
    enum { MOST_DISHES = 12 };
    size_t named = 0, more = 0;
    for (size_t d = 0; d < c->plan->dish_count; d++) {
        const bk_dish *dish = &c->plan->dishes[d];
        bk_food_facts found = unsaid_allergens(c, dish);
        if (found.allergens == 0)
            continue;
        if (named == MOST_DISHES) {
            more++;
            continue;
        }
        if (named++ == 0)
            place = dish->place;
        bk_text_addf(&list, "%s%s (", named > 1 ? ", " : "", dish->name);
        const char *between = "";
        for (int a = 0; a < BK_ALLERGENS; a++)
            if ((found.allergens & (1U << a)) != 0) {
                const char *word = found.allergen_word[a];
                bk_text_addf(&list, "%s%s", between, bk_allergen_name(a));
                if (word && !bk_has_word(word, bk_allergen_name(a)) &&
                    !bk_has_word(bk_allergen_name(a), word))
                    bk_text_addf(&list, ": %s", word); /* what was taken for it */
                between = ", ";
            }
        bk_text_add(&list, ")");
    }
    if (named == 0)
        return;
    if (more > 0)
        bk_text_addf(&list, " and %zu more", more);
    bk_warning_about(c->report, (bk_about){BK_CAUTION, SIZE_MAX}, "caution-allergens", place,
                     "read the labels, and ask your guests",
                     "allergens among the ingredients as written, perhaps not all: %s", list.data);
}

void bk_cautions(bk_arena *arena, const bk_timeline *timeline, bk_report *report)
{
    cautions c = {arena, timeline->plan, report, bk_standings_of(arena, timeline)};
    say_hot_sugar(&c);
    say_alone(&c);
    say_hot_into_cold(&c);
    say_warm_together(&c);
    say_raw_egg(&c);
    say_allergens(&c);
}
