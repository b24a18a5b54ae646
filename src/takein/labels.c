/* What a part of the dish is called: by a label before its sentence, by a heading above it. */
#include "takein/speech.h"

#include <string.h>

static const char *heading_of(const bk_weave *w, size_t i)
{
    return w->taken->recipe->steps[w->taken->stages[i].step].heading;
}

static bool same_heading(const bk_weave *w, size_t a, size_t b)
{
    const char *one = heading_of(w, a), *other = heading_of(w, b);
    return one == other || (one && other && strcmp(one, other) == 0);
}

/* "To serve", "Day 2", "Assembly": of no part by itself. */
static bool is_of_no_part(const bk_token *t, size_t from, size_t end)
{
    if (from < end && bk_among(&t[from], " to day next then finally step later tip note nb p "))
        return true;
    for (size_t i = from; i < end; i++)
        if (bk_among(&t[i], " assemble assembly assembling finish finishing serve serving together "
                            "baking cooking method morning evening before after day ps bake oven "
                            "storage tips instructions directions preparation "))
            return true;
    return false;
}

static bool names_part(const bk_token *t)
{
    return t->kind == BK_TOKEN_WORD && strlen(t->word) > 2 &&
           !bk_among(t, " the for make making and with your our first meanwhile then while part "
                        "rests bakes cooks cools while it ");
}

/* Adds the words of a label to what a thread is called. */
void bk_name_thread(bk_weave *w, bk_thread *into, const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i < end && into->name_count < BK_MOST_NAMES; i++) {
        if (!names_part(&t[i]))
            continue;
        char stem[24];
        bk_stem(t[i].word, stem, sizeof stem);
        into->names[into->name_count++] = bk_copy_string(w->taken->arena, stem);
        into->is |= bk_product_of_word(t[i].word);
    }
}

/* The label of a stage: of its sentence, else of its section where that begins. Gives false
 * where there is none that names a part. */
bool bk_label_of(const bk_weave *w, size_t i, bk_label *found)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    *found = (bk_label){stage->tokens, stage->act.label_from, stage->act.label_end};
    if (found->end == found->from && heading_of(w, i) && (i == 0 || !same_heading(w, i - 1, i))) {
        found->from = 0;
        found->t = bk_tokens(w->taken->arena, heading_of(w, i), &found->end);
    }
    for (size_t j = found->from; j < found->end; j++)
        if (bk_among(&found->t[j], " while whilst during ( "))
            found->end = j; /* "Filling while the dough rests:" */
    for (size_t j = found->from; j < found->end; j++)
        if (bk_among(&found->t[j], " quickly quick fast immediately once "))
            return false; /* "Now be quick: ..." */
    if (is_of_no_part(found->t, found->from, found->end) ||
        (found->end > found->from &&
         bk_among(&found->t[found->from],
                  " don't if when where as so do it this you they these never must ")))
        return false;
    enum { MOST_NAMES = 3 }; /* "Marmalade pudding with whisky custard" is the whole */
    size_t names = 0;
    for (size_t j = found->from; j < found->end; j++)
        names += names_part(&found->t[j]);
    return names > 0 && names <= MOST_NAMES;
}

/* A label as it is written. */
const char *bk_label_words(const bk_weave *w, size_t i, const bk_label *of)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    const char *text =
        of->t == stage->tokens ? w->taken->recipe->steps[stage->step].text : heading_of(w, i);
    uint32_t from = of->t[of->from].from;
    return bk_copy(w->taken->arena, text + from, of->t[of->end - 1].to - from);
}

/* The thread that a label speaks of, or SIZE_MAX. */
size_t bk_thread_of_label(const bk_weave *w, const bk_label *of)
{
    for (size_t k = 0; k < w->count; k++) {
        size_t known = 0, words = 0;
        for (size_t j = of->from; j < of->end; j++) {
            words += names_part(&of->t[j]);
            known += names_part(&of->t[j]) && bk_is_called(&w->threads[k], of->t[j].word);
        }
        if (w->threads[k].open && w->threads[k].last != SIZE_MAX && known > 0 && 2 * known > words)
            return k; /* "bread team" is not "bean team" */
    }
    return SIZE_MAX;
}
