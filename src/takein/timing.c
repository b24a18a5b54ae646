/* The heat that is planned, and how soon "at once" is: so soon that nothing
 * spoils, and not sooner than one cook with one oven can. */
#include "takein/parts.h"

#include <string.h>

enum { MINUTE = 60, SOON = 5, OVEN_CHANGE = 15, LONGEST_LEEWAY = 240 };

const char *bk_oven_of(const bk_taken_stage *stage)
{
    return stage->oven ? stage->oven : "180 C";
}

/* ------------------------------------------------------------------ leeways */

/* Minutes that the stage takes at most, as the draft plans it. */
static int64_t most_of(const bk_taken_stage *stage)
{
    const bk_spell *spell = &stage->act.spell;
    if (spell->found)
        return ((spell->overnight ? spell->least : spell->most) + MINUTE - 1) / MINUTE;
    return stage->usual.most;
}

static int64_t hands_of(const bk_taken_stage *stage)
{
    return stage->act.passive ? 0 : most_of(stage);
}

/* Bakes on at another heat. */
static bool oven_changes(const bk_taken_stage *made, const bk_taken_stage *stage)
{
    return made->act.where & stage->act.where & BK_IN_OVEN &&
           strcmp(bk_oven_of(made), bk_oven_of(stage)) != 0;
}

static void widen(bk_leeway *leeway, int64_t minutes, enum bk_leeway_why why)
{
    if (minutes > LONGEST_LEEWAY)
        minutes = LONGEST_LEEWAY;
    if (minutes > leeway->minutes)
        *leeway = (bk_leeway){minutes, why};
}

/* What the hands do without a pause up to the end of this stage: itself and, back along the links
 * of haste, what goes before it. */
static int64_t hands_up_to(const bk_taken *taken, size_t i)
{
    int64_t sum = 0;
    for (bool goes_on = true; goes_on;) {
        const bk_taken_stage *stage = &taken->stages[i];
        sum += hands_of(stage);
        goes_on = false;
        for (size_t a = 0; a < stage->after_count && !goes_on; a++) {
            if (stage->within[a] && !taken->stages[stage->after[a]].act.passive) {
                i = stage->after[a];
                goes_on = true;
            }
        }
    }
    return sum;
}

/* What comes together at once was made one after the other by one pair of hands, what takes longest
 * first: it waits for the others. */
static void wait_for_the_last(bk_taken *taken, bk_taken_stage *stage)
{
    for (size_t a = 0; a < stage->after_count; a++) {
        if (!stage->within[a] || taken->stages[stage->after[a]].act.passive)
            continue;
        int64_t mine = hands_up_to(taken, stage->after[a]), others = 0;
        for (size_t b = 0; b < stage->after_count; b++) {
            int64_t one = b != a && stage->within[b] ? hands_up_to(taken, stage->after[b]) : 0;
            others += one < mine || (one == mine && b > a) ? one : 0;
        }
        if (others > SOON)
            widen(&stage->leeway[a], SOON + others, BK_LEEWAY_HANDS);
    }
}

void bk_leeways_find(bk_taken *taken)
{
    for (size_t i = 0; i < taken->count; i++) {
        bk_taken_stage *stage = &taken->stages[i];
        bool shared = false;
        for (size_t a = 0; a < stage->after_count; a++) {
            if (!stage->within[a])
                continue;
            const bk_taken_stage *made = &taken->stages[stage->after[a]];
            stage->leeway[a] = (bk_leeway){SOON, BK_LEEWAY_SOON};
            if (oven_changes(made, stage))
                widen(&stage->leeway[a], OVEN_CHANGE, BK_LEEWAY_OVEN);
            shared = true;
        }
        if (shared)
            wait_for_the_last(taken, stage);
    }
}
