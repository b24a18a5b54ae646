/* What is eaten raw, or goes raw into what is cooked, and wants more care than a place to stand:
 * raw egg, fish, a stuffed bird, kidney beans. */
#include "safety/judge.h"

#include <math.h>

/* The place of a kind in bk_food_facts.word. */
enum { RAW_EGG_WORD = 4, FISH_WORD = 5, BEAN_WORD = 6, BIRD_WORD = 7 };

/* What the plan called it, else what it is. */
static const char *called(const bk_judge *judge, size_t n, int kind, const char *otherwise)
{
    const char *word = judge->standings.stage[n].food.word[kind];
    return word ? word : otherwise;
}

static size_t stage_of(const bk_dish *dish, size_t i)
{
    return dish->first_stage + i;
}

static const char *text_of(const bk_judge *judge, size_t n)
{
    return judge->plan->stages[n].text;
}

/* ------------------------------------------------------------------ raw egg */

static void judge_egg(bk_judge *judge, const bk_dish *dish, size_t d)
{
    const bk_limit *limit = &judge->rules.raw_egg;
    for (size_t i = 0; i < dish->stage_count; i++) {
        size_t n = stage_of(dish, i);
        const bk_standing *at = &judge->standings.stage[n];
        if (!at->placed || !at->raw_egg_in || !at->raw_egg || at->heated_later ||
            judge->standings.keeps[d])
            continue;
        int64_t kept = dish->serve - at->start -
                       bk_frozen_minutes(&judge->standings, d, at->start, dish->serve);
        if ((double)kept <= limit->value || !bk_may_say(judge, d, BK_WARNED_RAW_EGG))
            continue;
        bk_warning_about(
            judge->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-raw-egg",
            judge->plan->stages[n].place,
            bk_format(judge->arena, "make it later, or use pasteurised egg; %s", bk_follow_local()),
            "%s: %s goes in raw at %s, and it is served %s later; with raw egg it is eaten within "
            "%s (%s)",
            bk_judge_stage(judge, n), called(judge, n, RAW_EGG_WORD, "egg"),
            bk_judge_hour(judge, at->start), bk_minutes(judge->arena, dish->serve - at->start),
            bk_judge_span(judge, limit->value), limit->source);
    }
}

/* ------------------------------------------------------------- stuffed birds */

static bool is_stuffing(const char *text)
{
    static const char *const verbs[] = {"stuff", "stuffed", NULL};
    static const char *const stuffing[] = {"stuffing", NULL};
    static const char *const into[] = {"cavity",          "fill",
                                       "in the bird",     "in the chicken",
                                       "in the duck",     "in the goose",
                                       "in the turkey",   "inside",
                                       "into the bird",   "into the chicken",
                                       "into the duck",   "into the goose",
                                       "into the turkey", "neck",
                                       "under the skin",  NULL};
    return bk_has_any(text, verbs) || (bk_has_any(text, stuffing) && bk_has_any(text, into));
}

static void judge_stuffing(bk_judge *judge, const bk_dish *dish, size_t d)
{
    const bk_limit *limit = &judge->rules.stuffed;
    for (size_t i = 0; i < dish->stage_count; i++) {
        size_t n = stage_of(dish, i);
        const bk_standing *at = &judge->standings.stage[n];
        if (!at->placed || at->cooked || (at->food.kinds & BK_FOOD_BIRD) == 0 ||
            !is_stuffing(text_of(judge, n)))
            continue;
        bool hands = judge->plan->stages[n].attention == BK_HANDS;
        bk_instant stuffed = hands ? at->end : at->start, cooked = INT64_MAX;
        for (size_t k = 0; k < dish->stage_count; k++) {
            const bk_standing *hot = &judge->standings.stage[stage_of(dish, k)];
            if (hot->placed && hot->place == BK_STANDS_HOT && hot->start >= at->end &&
                hot->start < cooked)
                cooked = hot->start;
        }
        if (cooked == INT64_MAX || (double)(cooked - stuffed) <= limit->value ||
            !bk_may_say(judge, d, BK_WARNED_STUFFED))
            continue;
        bk_warning_about(judge->report, (bk_about){BK_FOOD_SAFETY, n}, "safety-stuffed",
                         judge->plan->stages[n].place,
                         bk_format(judge->arena,
                                   "stuff it when the oven is hot, or cook the stuffing by itself; "
                                   "%s",
                                   bk_follow_local()),
                         "%s: the %s is stuffed at %s and cooked %s later, in the fridge too its "
                         "middle stays warm for long (%s)",
                         bk_judge_stage(judge, n), called(judge, n, BIRD_WORD, "bird"),
                         bk_judge_hour(judge, stuffed), bk_minutes(judge->arena, cooked - stuffed),
                         limit->source);
    }
}

/* ------------------------------------------------------------- kidney beans */

static bool is_boiling(const bk_stage *stage)
{
    static const char *const words[] = {"boil",     "boiled",  "boiling",       "boils",
                                        "pressure", "rolling", "pressure-cook", NULL};
    static const char *const not_so[] = {"do not boil", "never boil",     "not boiling",
                                         "not boil",    "below the boil", "without boiling",
                                         NULL};
    return bk_has_any(stage->text, words) && !bk_has_any(stage->text, not_so);
}

/* The plan says of its beans that they are dried: then they are, whatever is done with them. */
static bool are_dried(const bk_dish *dish)
{
    static const char *const dried[] = {"dried", "dry", NULL};
    for (size_t i = 0; i < dish->ingredient_count; i++)
        if (bk_has_any(dish->ingredients[i].item, dried) &&
            (bk_foods_of(&dish->ingredients[i]).kinds & BK_FOOD_KIDNEY_BEAN) != 0)
            return true;
    return false;
}

static void judge_beans(bk_judge *judge, const bk_dish *dish, size_t d)
{
    const bk_limit *limit = &judge->rules.boiling;
    size_t first = SIZE_MAX; /* stage with the beans in it */
    bool heated = false;
    int64_t boiled = 0;
    for (size_t i = 0; i < dish->stage_count; i++) {
        size_t n = stage_of(dish, i);
        const bk_standing *at = &judge->standings.stage[n];
        const bk_stage *stage = &judge->plan->stages[n];
        if (!at->placed || (at->food.kinds & BK_FOOD_KIDNEY_BEAN) == 0)
            continue;
        first = first == SIZE_MAX ? n : first;
        heated = heated || at->place == BK_STANDS_HOT;
        if (is_boiling(stage) && stage->planned > boiled)
            boiled = stage->planned;
    }
    if (first == SIZE_MAX || (!heated && !are_dried(dish)) || (double)boiled >= limit->value ||
        !bk_may_say(judge, d, BK_WARNED_BEANS))
        return;
    const char *so_far =
        boiled == 0 ? "no step boils them"
                    : bk_format(judge->arena, "they boil for %s", bk_minutes(judge->arena, boiled));
    bk_warning_about(
        judge->report, (bk_about){BK_FOOD_SAFETY, first}, "safety-beans",
        judge->plan->stages[first].place,
        bk_format(judge->arena,
                  "soak them, boil them in fresh water, then cook them slowly; of a tin, say so; "
                  "%s",
                  bk_follow_local()),
        "%s: dried, %ss hold a poison that a slow oven and a simmer leave in them, and %s; "
        "they are boiled for %s and more (%s)",
        dish->name, called(judge, first, BEAN_WORD, "kidney bean"), so_far,
        bk_judge_span(judge, limit->value), limit->source);
}

/* ---------------------------------------------------------------- raw fish */

static bool is_eaten_raw(const char *text)
{
    static const char *const words[] = {
        "carpaccio", "ceviche",  "crudo",     "cure",    "cured",   "curing", "gravadlax",
        "gravlax",   "marinate", "marinated", "pickle",  "pickled", "raw",    "sashimi",
        "souse",     "soused",   "sushi",     "tartare", NULL};
    return bk_has_any(text, words);
}

/* In a freezer cold enough, for long enough, before it is eaten. */
static int64_t frozen_enough(const bk_judge *judge, const bk_dish *dish, double *coldest)
{
    int64_t longest = 0;
    for (size_t i = 0; i < dish->stage_count; i++) {
        const bk_standing *at = &judge->standings.stage[stage_of(dish, i)];
        if (!at->placed || at->place != BK_STANDS_COLD || at->cold == SIZE_MAX)
            continue;
        double air = judge->plan->kitchen.equipment[at->cold].at_c;
        *coldest = fmin(*coldest, air);
        if (air <= judge->rules.freezing_c && at->end - at->start > longest)
            longest = at->end - at->start;
    }
    return longest;
}

static bool is_said_frozen(const bk_judge *judge, const bk_dish *dish)
{
    static const char *const words[] = {"frozen", NULL};
    for (size_t i = 0; i < dish->stage_count; i++) {
        const bk_stage *stage = &judge->plan->stages[stage_of(dish, i)];
        if (bk_has_any(stage->text, words) || bk_has_any(stage->note, words) ||
            bk_has_any(stage->caution, words))
            return true;
    }
    return false;
}

/* Salt and acid cure what nothing heats, whatever it is called. */
static bool is_cured(const bk_dish *dish)
{
    static const char *const cures[] = {"lemon juice", "lime", "limes", "salt", "vinegar", NULL};
    for (size_t i = 0; i < dish->ingredient_count; i++)
        if (bk_has_any(dish->ingredients[i].item, cures))
            return true;
    return false;
}

static void judge_fish(bk_judge *judge, const bk_dish *dish, size_t d)
{
    const bk_limit *limit = &judge->rules.freezing;
    size_t fish = SIZE_MAX;
    bool raw = is_eaten_raw(dish->name) || is_cured(dish);
    for (size_t i = 0; i < dish->stage_count; i++) {
        size_t n = stage_of(dish, i);
        const bk_standing *at = &judge->standings.stage[n];
        raw = raw || is_eaten_raw(text_of(judge, n));
        if (at->placed && (at->food.kinds & BK_FOOD_FISH) != 0 && !at->cooked &&
            !at->heated_later && fish == SIZE_MAX)
            fish = n;
    }
    double coldest = INFINITY;
    if (fish == SIZE_MAX || !raw || is_said_frozen(judge, dish))
        return;
    int64_t frozen = frozen_enough(judge, dish, &coldest);
    if ((double)frozen >= limit->value || !bk_may_say(judge, d, BK_WARNED_RAW_FISH))
        return;
    bk_warning_about(
        judge->report, (bk_about){BK_FOOD_SAFETY, fish}, "safety-raw-fish",
        judge->plan->stages[fish].place,
        bk_format(judge->arena,
                  "buy it frozen for eating raw, or farmed, and say so (\"is\": [\"fish\", "
                  "\"frozen\"]); %s",
                  bk_follow_local()),
        "%s: %s is eaten raw, which a cure does not change, and may hold worms; first it is "
        "frozen for %s at %.3g C or below (%s)%s",
        bk_judge_stage(judge, fish), called(judge, fish, FISH_WORD, "fish"),
        bk_judge_span(judge, limit->value), judge->rules.freezing_c, limit->source,
        coldest < 0.0 && coldest > judge->rules.freezing_c
            ? bk_format(judge->arena, ", and the freezer is at %.3g C", coldest)
            : "");
}

void bk_judge_raw(bk_judge *judge, size_t dish)
{
    const bk_dish *of = &judge->plan->dishes[dish];
    judge_egg(judge, of, dish);
    judge_stuffing(judge, of, dish);
    judge_beans(judge, of, dish);
    judge_fish(judge, of, dish);
}
