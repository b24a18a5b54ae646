/* The draft: a recipe file in the plan format. What was guessed stands above its stage as a
 * comment, with the reason and the words it came from. */
#include "takein/parts.h"

#include <inttypes.h>
#include <string.h>

enum { LONGEST_NAME = 120, MINUTE = 60 };

/* Text as a JSON string. It has no control characters: bk_sink_add took them out. */
static void put_string(bk_text *out, const char *text)
{
    bk_text_add(out, "\"");
    for (const char *at = text; *at != '\0'; at++) {
        if (*at == '"' || *at == '\\')
            bk_text_add_bytes(out, "\\", 1);
        bk_text_add_bytes(out, at, 1);
    }
    bk_text_add(out, "\"");
}

/* A comment of one line. */
static void comment(bk_text *out, const char *words)
{
    bk_text_addf(out, "    // %s\n", words);
}

/* ------------------------------------------------------------------- guesses */

static const char *words_at(bk_arena *arena, const bk_taken *taken, const bk_taken_stage *stage,
                            uint32_t from, uint32_t to)
{
    return bk_copy(arena, taken->recipe->steps[stage->step].text + from, to - from);
}

/* The time as it is planned; and a comment on how it came about. */
static const char *put_time(const bk_taken *taken, const bk_taken_stage *stage, bk_text *out)
{
    bk_arena *arena = taken->arena;
    const bk_spell *spell = &stage->act.spell;
    if (!spell->found) {
        const bk_spell guess = {.least = stage->usual.least * MINUTE,
                                .most = stage->usual.most * MINUTE};
        const char *usual = bk_spell_words(arena, &guess);
        if (stage->act.rate.by_weight) {
            const char *rate =
                words_at(arena, taken, stage, stage->act.rate.from, stage->act.rate.to);
            comment(out,
                    stage->grams > 0
                        ? bk_format(arena, "Time: \"%s\", of %" PRId64 " g: %s.", rate,
                                    stage->grams, usual)
                        : bk_format(arena,
                                    "Time: \"%s\", and no weight is known: of 1500 g %s, a guess: "
                                    "write yours.",
                                    rate, usual));
            return usual;
        }
        comment(out,
                bk_format(arena, "Time: the words give none; %s is a guess: write yours.", usual));
        return usual;
    }
    const char *words = stage->time_words ? stage->time_words
                                          : words_at(arena, taken, stage, spell->from, spell->to);
    const char *read = bk_spell_words(arena, spell);
    if (spell->overnight) {
        bk_spell least = *spell;
        least.most = least.least;
        const char *shorter = bk_spell_words(arena, &least);
        comment(
            out,
            bk_format(
                arena,
                "Time: \"%s\" is %s; planned as %s, which is when it is ready: it may stay longer.",
                words, read, shorter));
        return shorter;
    }
    if (spell->times > 1) {
        comment(out, bk_format(arena, "Time: \"%s\", %" PRId64 " times, is %s.", words,
                               spell->times, read));
        return read;
    }
    comment(out, bk_format(arena, "Time: \"%s\" is %s%s.", words, read,
                           spell->unit_guessed ? " (the unit is a guess)"
                           : spell->at_least   ? " (at least: it may stay longer)"
                                               : ""));
    return read;
}

static void put_kind_reason(const bk_taken *taken, const bk_taken_stage *stage, bk_text *out)
{
    const bk_act *act = &stage->act;
    const char *word = act->verb ? act->verb->word : "no verb";
    comment(out, bk_format(taken->arena, "%s: %s (\"%s\").", act->passive ? "Passive" : "Active",
                           act->why ? act->why : "a guess", word));
}

static void put_order_reason(const bk_taken *taken, size_t i, bk_text *out)
{
    const bk_taken_stage *stage = &taken->stages[i];
    if (i > 0 && stage->after_count == 0) {
        comment(out,
                stage->act.meanwhile
                    ? "Order: it goes on beside the stage above (\"while\", \"meanwhile\"): "
                      "it waits for nothing."
                : stage->part
                    ? bk_format(taken->arena,
                                "Order: a part of its own (\"%s\"): it waits for nothing.",
                                stage->part)
                : stage->tool ? "Order: it is made ready beside the dish: it waits for nothing."
                : stage->act.apart
                    ? "Order: in a pan or bowl of its own, or for a part of its own: it waits for "
                      "nothing."
                    : "Order: it names nothing that was made before: it waits for nothing.");
    } else if (stage->after_count > 1) {
        bk_text names = bk_text_new(taken->arena);
        for (size_t a = 0; a < stage->after_count; a++)
            bk_text_addf(&names, "%s%s", a == 0 ? "" : " and ", taken->stages[stage->after[a]].id);
        comment(out,
                bk_format(taken->arena, "Order: what %s made comes together here.", names.data));
    } else if (i > 0 && stage->after[0] != i - 1) {
        comment(out, bk_format(taken->arena, "Order: it goes on with what %s made.",
                               taken->stages[stage->after[0]].id));
    }
    for (size_t a = 0; a < stage->after_count; a++) {
        if (stage->within[a]) {
            const char *reason =
                a == stage->asked ? "the words ask for it" : "it would set, fall or cool meanwhile";
            const bk_leeway *leeway = &stage->leeway[a];
            if (leeway->why == BK_LEEWAY_OVEN)
                reason = "it stays in while the oven changes";
            comment(out, bk_format(
                             taken->arena, "At once after %s: %s; %" PRId64 " min%s is a guess.",
                             taken->stages[stage->after[a]].id, reason, leeway->minutes,
                             leeway->why == BK_LEEWAY_HANDS ? ", with what your hands do meanwhile,"
                                                            : ""));
        }
    }
}

/* -------------------------------------------------------------------- places */

static const struct {
    unsigned where;
    const char *name;
} equipment[] = {
    {BK_IN_FRIDGE, "fridge"},        {BK_IN_FREEZER, "freezer"},         {BK_ON_HOB, "hob"},
    {BK_IN_MIXER, "mixer"},          {BK_IN_BLENDER, "blender"},         {BK_IN_GRILL, "grill"},
    {BK_IN_MICROWAVE, "microwave"},  {BK_IN_SLOW_COOKER, "slow cooker"}, {BK_IN_MACHINE, "machine"},
    {BK_IN_COOL_PLACE, "cool place"}};

static void put_oven_reason(const bk_taken *taken, const bk_taken_stage *stage, bk_text *out)
{
    if (!stage->oven) {
        comment(out, "Oven: the words give no temperature; 180 C is a guess: write yours.");
    } else if (stage->oven_in_words) {
        comment(out, bk_format(taken->arena,
                               "Oven: the words give no number (\"%s\"); %s is usual: write yours.",
                               stage->oven_words, stage->oven));
    } else {
        comment(out,
                bk_format(taken->arena, "Oven: %s, from \"%s\"%s.", stage->oven, stage->oven_words,
                          stage->act.setting.unit_guessed ? " (the unit is a guess)" : ""));
    }
}

/* The last stage that is in the tin which is filled in stage i; i itself when it is the only one.
 */
static size_t tin_until(const bk_taken *taken, size_t i)
{
    bool *in = BK_NEW(taken->arena, bool, taken->count);
    size_t last = i;
    in[i] = true;
    for (size_t j = i + 1; j < taken->count; j++) {
        const bk_taken_stage *stage = &taken->stages[j];
        for (size_t a = 0; a < stage->after_count && stage->tin_here; a++)
            in[j] |= in[stage->after[a]] && taken->stages[stage->after[a]].tin_here;
        last = in[j] ? j : last;
    }
    return last;
}

static bool begins_tin(const bk_taken *taken, size_t i)
{
    const bk_taken_stage *stage = &taken->stages[i];
    bool before = false;
    for (size_t a = 0; a < stage->after_count; a++)
        before |= taken->stages[stage->after[a]].tin_here;
    return stage->tin_here && !before;
}

static void put_places(const bk_taken *taken, size_t i, bk_text *out)
{
    const bk_taken_stage *stage = &taken->stages[i];
    const char *comma = "";
    bool tin = begins_tin(taken, i);
    size_t until = tin ? tin_until(taken, i) : i;
    bool alone = tin && until == i;
    bool bakes = (stage->act.where & BK_IN_OVEN) != 0;
    if (stage->act.where & ~(unsigned)BK_IN_TIN || alone) {
        bk_text_add(out, ", \"uses\": {");
        for (size_t p = 0; p < sizeof equipment / sizeof *equipment; p++) {
            if (stage->act.where & equipment[p].where) {
                bk_text_addf(out, "%s\"%s\": 1", comma, equipment[p].name);
                comma = ", ";
            }
        }
        if (bakes) {
            bk_text_addf(out, "%s\"oven\": {\"at\": \"%s\"}", comma, bk_oven_of(stage));
            comma = ", ";
        }
        bk_text_addf(out, "%s%s}", alone ? comma : "", alone ? "\"tin\": 1" : "");
    }
    if (tin && !alone) {
        bk_text_add(out, ", \"holds\": {\"tin\": {\"until\": ");
        put_string(out, taken->stages[until].id);
        bk_text_add(out, "}}");
    }
}

static void put_after(const bk_taken *taken, size_t i, bk_text *out)
{
    const bk_taken_stage *stage = &taken->stages[i];
    bool plain = stage->after_count == 1 && stage->after[0] + 1 == i && !stage->within[0];
    if (i == 0 || plain)
        return;
    bk_text_add(out, ",\n     \"after\": [");
    for (size_t a = 0; a < stage->after_count; a++) {
        bk_text_add(out, a == 0 ? "" : ", ");
        if (stage->within[a]) {
            bk_text_add(out, "{\"stage\": ");
            put_string(out, taken->stages[stage->after[a]].id);
            bk_text_addf(out, ", \"within\": \"%" PRId64 " min\"}", stage->leeway[a].minutes);
        } else {
            put_string(out, taken->stages[stage->after[a]].id);
        }
    }
    bk_text_add(out, "]");
}

static void put_stage(const bk_taken *taken, size_t i, bk_text *out)
{
    const bk_taken_stage *stage = &taken->stages[i];
    put_kind_reason(taken, stage, out);
    const char *time = put_time(taken, stage, out);
    if (stage->act.where & BK_IN_OVEN)
        put_oven_reason(taken, stage, out);
    put_order_reason(taken, i, out);
    bk_text_add(out, "    {\"id\": ");
    put_string(out, stage->id);
    bk_text_add(out, ", \"do\": ");
    put_string(out, stage->text);
    bk_text_addf(out, ",\n     \"%s\": \"%s\"", stage->act.passive ? "passive" : "active", time);
    put_places(taken, i, out);
    put_after(taken, i, out);
    if (stage->note) {
        bk_text_add(out, ",\n     \"note\": ");
        put_string(out, stage->note);
    }
    bk_text_add(out, i + 1 < taken->count ? "},\n" : "}\n");
}

/* ---------------------------------------------------------------- the recipe */

/* The number in "Serves 6-8", "12 pieces"; 0 when there is none. */
static int64_t number_of(const char *yield)
{
    int64_t number = 0;
    const char *at = yield + strcspn(yield, "0123456789");
    for (size_t n = 0; *at >= '0' && *at <= '9' && n < 5; n++, at++)
        number = number * 10 + (*at - '0');
    return number;
}

/* "makes 5 jars": how many that is for, nobody can tell. */
static bool is_for_people(const char *yield, bk_arena *arena)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, yield, &count);
    for (size_t i = 0; i < count; i++)
        if (bk_among(&t[i], " jar jars bottle bottles litre litres liter liters ml kg pint pints "
                            "loaf loaves "))
            return false;
    return true;
}

static void put_ingredients(const bk_taken *taken, bk_text *out)
{
    const bk_taken_recipe *recipe = taken->recipe;
    if (recipe->ingredient_count == 0) {
        bk_text_add(out, "  // Ingredients: none were found.\n");
        return;
    }
    bk_text_add(
        out, "  // The stage of an ingredient is the first that names it.\n  \"ingredients\": [\n");
    for (size_t k = 0; k < recipe->ingredient_count; k++) {
        size_t stage = taken->ingredient_stage[k];
        bk_text_add(out, "    {\"item\": ");
        put_string(out, recipe->ingredients[k]);
        if (stage != SIZE_MAX) {
            bk_text_add(out, ", \"stage\": ");
            put_string(out, taken->stages[stage].id);
        }
        bk_text_add(out, k + 1 < recipe->ingredient_count ? "},\n" : "}\n");
    }
    bk_text_add(out, "  ],\n");
}

void bk_draft_write(const bk_taken *taken, const char *name, bk_text *out)
{
    const bk_taken_recipe *recipe = taken->recipe;
    bk_text_addf(out,
                 "// A draft from %s. Every comment is a guess: read it, mend the line, delete the "
                 "comment.\n",
                 bk_showable(taken->arena, name, strlen(name)));
    for (size_t i = 0; i < recipe->note_count; i++)
        bk_text_addf(out, "// Also there: %s\n", recipe->notes[i]);
    bk_text_add(out, "{\n");
    /* "*" alone, a subject that says nothing: a title without a word is none. */
    bool titled = recipe->title && recipe->title[strspn(recipe->title, " \t\r\n")] != '\0';
    if (!titled)
        bk_text_add(out, "  // Name: none was found: write yours.\n");
    bk_text_add(out, "  \"dish\": ");
    put_string(out, titled ? bk_cut(taken->arena, recipe->title, LONGEST_NAME) : "A dish");
    bk_text_add(out, ",\n");
    if (recipe->yield && number_of(recipe->yield) > 0) {
        if (is_for_people(recipe->yield, taken->arena))
            bk_text_addf(out, "  // Serves: from \"%s\".\n  \"serves\": %" PRId64 ",\n",
                         recipe->yield, number_of(recipe->yield));
        else
            bk_text_addf(out, "  // Yield: \"%s\"; how many that serves is not said.\n",
                         recipe->yield);
    }
    put_ingredients(taken, out);
    bk_text_add(out, "  \"stages\": [\n");
    for (size_t i = 0; i < taken->count; i++)
        put_stage(taken, i, out);
    bk_text_add(out, "  ]\n}\n");
}
