/* Times that the words leave out: what such work, or such waiting, usually takes. Common practice,
 * no source; near what those recipes of tests/data/take-in/tuned tell that do tell it. */
#include "takein/parts.h"

#include <string.h>

enum { HOUR = 60 };

/* Minutes. The first row that fits is taken. `words`: any of these in the words of the stage;
 * `title`: in the recipe's name; NULL: whatever it says. `per_kilo`: so many minutes for each
 * kilogram of what it names, where that is more. */
typedef struct row {
    const char *verbs, *words, *title;
    bk_usual usual, per_kilo;
} row;

/* ------------------------------------------------------------------- by hand */

static const row hands[] = {
    {.verbs = " hull top pick strip pluck shuck string shell pit stone deseed seed bone ",
     .usual = {3, 5},
     .per_kilo = {20, 30}},
    {.verbs = " peel skin core trim slice chop cut dice shred grate mince scrub quarter cube ",
     .usual = {3, 5},
     .per_kilo = {8, 12}},
    {.verbs = " zest halve split score crush bash grind ", .usual = {2, 3}},
    {.verbs = " scatter sprinkle pat prick dust drizzle tip drain cover rinse wash salt season "
              "drop scrape lift put push wrap dot float invert unmould break crack open pull set "
              "take return transfer remove label ",
     .usual = {1, 2}},
    {.verbs = " add ", .usual = {2, 3}},
    {.verbs = " knead ", .usual = {8, 10}},
    {.verbs = " roll shape pipe carve crimp braid plait decorate ice skim fillet joint stuff ",
     .usual = {5, 8}},
    {.verbs = " brown sear ", .usual = {8, 12}, .per_kilo = {8, 12}},
    {.verbs = " soften caramelise caramelize sweat ", .usual = {8, 12}},
    {.verbs = " dip ", .usual = {1, 2}},
    {.verbs = " boil ", .words = " potatoes potato carrots beetroot ", .usual = {15, 20}},
    {.verbs = " boil ", .usual = {5, 8}},
    {.verbs = " wilt ", .usual = {2, 4}},
    {.verbs = " cook bubble toast ", .usual = {3, 6}},
    {.verbs = " bring ", .words = " boil bubble simmer ", .usual = {5, 10}},
    {.verbs = " squeeze strain pass sieve sift ", .usual = {2, 4}},
    {.verbs = " line melt work mash cream beat whip whisk ", .usual = {3, 5}},
};

static bk_usual work_of_group(const bk_act *act)
{
    static const bk_usual of[BK_UNKNOWN + 1] = {
        [BK_PREP] = {3, 5},    [BK_MIX] = {2, 4},   [BK_POUR] = {2, 3},    [BK_HEAT] = {5, 8},
        [BK_STRAIN] = {2, 4},  [BK_LIGHT] = {1, 2}, [BK_MACHINE] = {2, 3}, [BK_LET] = {3, 5},
        [BK_NO_ACT] = {3, 5},  [BK_REST] = {3, 5},  [BK_BAKE] = {5, 8},    [BK_SIMMER] = {5, 8},
        [BK_UNKNOWN] = {3, 5}, [BK_COLD] = {3, 5},
    };
    return act->where & BK_ON_HOB && of[act->group].most < 5 ? (bk_usual){3, 6} : of[act->group];
}

/* ----------------------------------------------------------------- by itself */

static const row waits[] = {
    /* until it is wanted: so long as nobody says for how long */
    {.verbs = " keep ", .usual = {10, 15}},
    {.verbs = " churn ", .usual = {25, 30}},
    {.verbs = " freeze ",
     .title = " ice sorbet granita parfait semifreddo ",
     .usual = {3 * HOUR, 4 * HOUR}},
    {.verbs = " freeze ", .words = " solid frozen ", .usual = {3 * HOUR, 4 * HOUR}},
    {.verbs = " freeze ", .title = " tart pie pastry biscuits cookies ", .usual = {15, 20}},
    {.verbs = " chill refrigerate freeze firm ",
     .words = " pastry dough wrap wrapped disc case block ball log ",
     .usual = {30, 60}},
    {.verbs = " firm ", .usual = {30, 60}},
    {.verbs = " chill refrigerate ", .usual = {2 * HOUR, 4 * HOUR}},
    {.verbs = " freeze ", .usual = {1 * HOUR, 2 * HOUR}},
    {.verbs = " rise double ", .usual = {60, 90}},
    {.verbs = " prove proof ", .usual = {45, 60}},
    {.verbs = " marinate brine cure ", .usual = {4 * HOUR, 8 * HOUR}},
    {.verbs = " thaw defrost ", .usual = {8 * HOUR, 12 * HOUR}},
    {.verbs = " soak bloom soften ", .words = " gelatine gelatin leaves ", .usual = {5, 10}},
    {.verbs = " soak ",
     .words = " beans bean chickpeas lentils peas ",
     .usual = {8 * HOUR, 12 * HOUR}},
    {.verbs = " bloom ", .usual = {5, 10}},
    {.verbs = " soak ", .usual = {20, 30}},
    {.verbs = " infuse steep swell plump ", .usual = {15, 30}},
    {.verbs = " cool rest leave ", .words = " handle touch ", .usual = {15, 20}},
    {.verbs = " cool ", .words = " slightly little bit warm lukewarm tepid ", .usual = {10, 15}},
    {.verbs = " cool ",
     .words = " complete completely fully cold quite right ",
     .usual = {1 * HOUR, 2 * HOUR}},
    {.verbs = " cool ", .usual = {30, 45}},
    {.verbs = " stand sit settle wait ", .usual = {10, 15}},
    {.verbs = " rest leave relax ",
     .words = " meat joint beef lamb pork chicken duck goose turkey bird ham dough pastry batter ",
     .usual = {20, 30}},
    {.verbs = " rest leave ", .words = " overnight ", .usual = {8 * HOUR, 12 * HOUR}},
    {.verbs = " rest leave ", .usual = {15, 30}},
    {.verbs = " toast ", .usual = {6, 10}},
    {.verbs = " grill broil ", .usual = {3, 6}},
    {.verbs = " blanch ", .usual = {2, 3}},
    {.verbs = " poach steam ", .usual = {8, 12}},
    {.verbs = " parboil ", .usual = {6, 10}},
    {.verbs = " sweat soften fry ", .usual = {10, 12}},
    {.verbs = " braise ", .usual = {2 * HOUR, 3 * HOUR}},
    {.verbs = " stew reduce ", .usual = {20, 30}},
    {.verbs = " melt wilt ", .usual = {3, 5}},
    {.verbs = " boil ", .words = " potatoes potato ", .usual = {15, 20}},
    {.verbs = " boil ", .usual = {8, 12}},
    {.verbs = " simmer ", .words = " tender soft rice lentils barley ", .usual = {25, 30}},
    {.verbs = " simmer cook ", .usual = {15, 20}},
    {.verbs = " warm reheat ", .usual = {10, 15}},
    {.verbs = " bake roast ", .words = " blind beans ", .usual = {10, 15}},
    {.verbs = " bake roast ",
     .words = " chicken duck goose turkey bird joint leg shoulder loin rib gammon lamb beef pork ",
     .usual = {30, 40},
     .per_kilo = {40, 50}},
    {.verbs = " bake ",
     .title = " biscuits biscuit cookies shortbread scones buns rolls muffins ",
     .usual = {15, 20}},
    {.verbs = " bake ",
     .title = " cake sponge gingerbread parkin lasagne moussaka gratin cheesecake ",
     .usual = {35, 45}},
    {.verbs = " bake roast ", .usual = {25, 35}},
};

/* "The night before, rub the skin and leave it in the fridge" */
static bool says_the_night_before(const bk_taken_stage *stage)
{
    for (const bk_token *t = stage->tokens;
         t[0].kind != BK_TOKEN_END && t[0].from < stage->tokens[stage->act.end - 1].to; t++)
        if (bk_among(&t[0], " night evening day ") && bk_is(&t[1], "before"))
            return true;
    return false;
}

static bk_usual wait_of_group(enum bk_group group)
{
    return group == BK_BAKE     ? (bk_usual){25, 35}
           : group == BK_COLD   ? (bk_usual){2 * HOUR, 4 * HOUR}
           : group == BK_SIMMER ? (bk_usual){15, 20}
                                : (bk_usual){20, 40};
}

/* ------------------------------------------------------------------- how much */

/* Grams of the ingredient, as it is listed, with `pieces` also where they are counted; 0: it does
 * not say, or is nothing to be cut. */
static int64_t grams_of(bk_arena *arena, const char *line, bool pieces)
{
    enum { PIECE = 120, MOST_PIECES = 50, MILLION = 1000000 };
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, line, &count);
    size_t i = 0;
    while (i < count && t[i].kind != BK_TOKEN_NUMBER)
        i++;
    if (i == count || t[i].millionths > INT64_C(100000) * MILLION)
        return 0;
    int64_t n = t[i].millionths;
    const bk_token *unit = &t[i + 1];
    int64_t one = bk_unit_grams(unit);
    if (one > 0)
        return n * one / MILLION;
    bool small = bk_among(
        unit, " ml cl dl l litre litres liter liters pint pints cup cups tbsp tsp tablespoon "
              "tablespoons teaspoon teaspoons cloves clove sprigs sprig leaves leaf sheets "
              "slices sticks egg eggs ");
    return small || !pieces || n > INT64_C(1) * MOST_PIECES * MILLION ? 0 : n / (MILLION / PIECE);
}

static int64_t grams_named(const bk_taken *taken, const bk_taken_stage *stage, bool pieces)
{
    int64_t grams = 0;
    for (size_t i = 0; i < taken->recipe->ingredient_count; i++)
        if (stage->mentions[i / 64] >> (i % 64) & 1)
            grams += grams_of(taken->arena, taken->recipe->ingredients[i], pieces);
    return grams;
}

/* ---------------------------------------------------------------------- both */

static bool has_any(const bk_token *tokens, size_t from, size_t end, const char *words)
{
    for (size_t i = from; i < end; i++)
        if (bk_among(&tokens[i], words))
            return true;
    return false;
}

typedef struct name {
    const bk_token *tokens;
    size_t count;
} name;

static const row *row_of(const row *rows, size_t count, const bk_taken_stage *stage,
                         const name *title)
{
    const bk_act *act = &stage->act;
    for (size_t i = 0; i < count && act->verb; i++)
        if (bk_among(&(bk_token){.word = act->verb->word}, rows[i].verbs) &&
            (!rows[i].words || has_any(stage->tokens, act->from, act->end, rows[i].words)) &&
            (!rows[i].title || has_any(title->tokens, 0, title->count, rows[i].title)))
            return &rows[i];
    return NULL;
}

/* What the row says; of a lot, more. */
static bk_usual of_row(const row *is, const bk_taken *taken, const bk_taken_stage *stage)
{
    enum { MOST = 4 * HOUR, KILO = 1000 };
    if (is->per_kilo.most == 0)
        return is->usual;
    int64_t grams = grams_named(taken, stage, true);
    int64_t least = is->per_kilo.least * grams / KILO, most = is->per_kilo.most * grams / KILO;
    if (most <= is->usual.most)
        return is->usual;
    return (bk_usual){least > MOST ? MOST : least, most > MOST ? MOST : most};
}

static bk_usual wait_of(const bk_taken *taken, const bk_taken_stage *stage, const name *title)
{
    if (stage->act.group == BK_COLD && says_the_night_before(stage))
        return (bk_usual){8 * HOUR, 12 * HOUR};
    const row *is = row_of(waits, sizeof waits / sizeof *waits, stage, title);
    return is ? of_row(is, taken, stage) : wait_of_group(stage->act.group);
}

static bk_usual work_of(const bk_taken *taken, const bk_taken_stage *stage, const name *title)
{
    const row *is = row_of(hands, sizeof hands / sizeof *hands, stage, title);
    return is ? of_row(is, taken, stage) : work_of_group(&stage->act);
}

/* Of what the stage names, else of what weighs most: the joint. */
static int64_t grams_meant(const bk_taken *taken, const bk_taken_stage *stage)
{
    int64_t grams = grams_named(taken, stage, false), most = 0;
    for (size_t i = 0; i < taken->recipe->ingredient_count && grams == 0; i++) {
        int64_t is = grams_of(taken->arena, taken->recipe->ingredients[i], false);
        most = is > most ? is : most;
    }
    return grams > 0 ? grams : most;
}

/* What the words say of each kilogram, for so many of them, or for a joint of no known weight. */
static bool by_weight(const bk_taken *taken, bk_taken_stage *stage)
{
    enum { MINUTE = 60, MOST = 24 * HOUR, JOINT = 1500 };
    const bk_spell *spell = &stage->act.rate;
    if (!spell->by_weight)
        return false;
    stage->grams = grams_meant(taken, stage);
    int64_t grams = stage->grams > 0 ? stage->grams : JOINT;
    int64_t least = (spell->least * grams / spell->per_grams + spell->plus) / MINUTE;
    int64_t most = (spell->most * grams / spell->per_grams + spell->plus) / MINUTE;
    if (least < 1 || most > MOST)
        return false;
    stage->usual = (bk_usual){least, most};
    return true;
}

void bk_usual_find(bk_taken *taken)
{
    name title = {0};
    if (taken->recipe->title)
        title.tokens = bk_tokens(taken->arena, taken->recipe->title, &title.count);
    for (size_t i = 0; i < taken->count; i++) {
        bk_taken_stage *stage = &taken->stages[i];
        if (!by_weight(taken, stage))
            stage->usual =
                stage->act.passive ? wait_of(taken, stage, &title) : work_of(taken, stage, &title);
    }
}
