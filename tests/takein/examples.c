/* What the stages of a few steps come to, written in a line. */
#include "examples.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "takein/parts.h"

/* Takes in `steps` (parted by "|"; "#Sauce" is a heading) with `ingredients` (parted by ",") as a
 * recipe of this name. */
static bk_taken take(bk_arena *arena, const char *title, const char *ingredients, const char *steps)
{
    bk_taken_recipe *of = BK_NEW(arena, bk_taken_recipe, 1);
    bk_taken_recipe recipe = {.title = title};
    char *list = bk_copy_string(arena, ingredients), *words = bk_copy_string(arena, steps);
    const char *heading = NULL;
    for (char *at = list, *comma; at && *at != '\0'; at = comma) {
        comma = strchr(at, ',');
        if (comma)
            *comma++ = '\0';
        bk_ingredient_add(arena, &recipe, at, SIZE_MAX);
    }
    for (char *at = words, *bar; at; at = bar) {
        bar = strchr(at, '|');
        if (bar)
            *bar++ = '\0';
        if (*at == '#')
            heading = at + 1;
        else
            *BK_PUSH(arena, recipe.steps, recipe.step_count, recipe.step_room) =
                (bk_step){at, heading};
    }
    *of = recipe;
    bk_taken taken = {.arena = arena, .recipe = of};
    bk_stages_find(&taken);
    bk_threads_tie(&taken);
    bk_usual_find(&taken);
    bk_leeways_find(&taken);
    return taken;
}

static const char *usual_in(bk_arena *arena, const char *title, const char *ingredients,
                            const char *steps)
{
    bk_taken taken = take(arena, title, ingredients, steps);
    bk_text out = bk_text_new(arena);
    for (size_t i = 0; i < taken.count; i++) {
        const bk_taken_stage *stage = &taken.stages[i];
        const bk_spell usual = {.least = stage->usual.least * 60, .most = stage->usual.most * 60};
        bk_text_addf(&out, "%s%s %s", i > 0 ? "; " : "", stage->id, bk_spell_words(arena, &usual));
    }
    return out.data;
}

/* What the stages come to. */
static const char *taken_in(bk_arena *arena, const char *title, const char *ingredients,
                            const char *steps)
{
    bk_taken taken = take(arena, title, ingredients, steps);
    bk_text out = bk_text_new(arena);
    for (size_t i = 0; i < taken.count; i++) {
        const bk_taken_stage *stage = &taken.stages[i];
        bk_text_addf(&out, "%s%s %c", i > 0 ? "; " : "", stage->id, stage->act.passive ? 'P' : 'A');
        if (stage->act.spell.found)
            bk_text_addf(&out, " %s", bk_spell_words(arena, &stage->act.spell));
        if (stage->oven && !stage->oven_in_words)
            bk_text_addf(&out, " %s", stage->oven);
        bool above = stage->after_count == 1 && stage->after[0] + 1 == i;
        if (i > 0 && (!above || stage->within[0]))
            bk_text_add(&out, " <");
        for (size_t a = 0; a < stage->after_count && (!above || stage->within[0]); a++) {
            bk_text_addf(&out, " %s%s", taken.stages[stage->after[a]].id,
                         stage->within[a] ? "!" : "");
            if (stage->within[a] && stage->leeway[a].why != BK_LEEWAY_SOON)
                bk_text_addf(&out, "%d", (int)stage->leeway[a].minutes);
        }
    }
    return out.data;
}

static void check(const example *examples, size_t count,
                  const char *come_to(bk_arena *, const char *, const char *, const char *))
{
    bk_arena *arena = bk_arena_new(NULL);
    for (size_t i = 0; i < count; i++) {
        const example *e = &examples[i];
        const char *stages = come_to(arena, e->title, e->ingredients, e->steps);
        if (strcmp(stages, e->stages) != 0)
            fail_msg("\"%s\" is\n  %s, not\n  %s", e->steps, stages, e->stages);
    }
    bk_arena_free(arena);
}

void check_examples(const example *examples, size_t count)
{
    check(examples, count, taken_in);
}

void check_usual_times(const example *examples, size_t count)
{
    check(examples, count, usual_in);
}
