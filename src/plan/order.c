/* What the links say about order: stages that wait for one another in a circle, and
 * equipment held until a stage that is over before. */
#include "plan/reader.h"

enum colour { UNSEEN, ON_PATH, DONE };

typedef struct step {
    size_t stage;
    size_t next; /* the link to follow next */
} step;

/* A name as short as the circle allows: the dish only where there are several. */
static const char *short_name(bk_reader *reader, size_t stage, bool with_dish)
{
    const bk_plan *plan = reader->plan;
    const char *id = plan->stages[stage].id, *dish = plan->dishes[plan->stages[stage].dish].name;
    id = id ? id : "?";
    return with_dish ? bk_format(reader->arena, "%s/%s", dish ? dish : "?", id) : id;
}

/* path[0 .. count) wait each for the next, and the last for the first. */
static void report(bk_reader *reader, const step *path, size_t count)
{
    enum { MOST_SHOWN = 12 };
    const bk_plan *plan = reader->plan;
    bool with_dish = false;
    const bk_link *blamed = NULL;
    for (size_t i = 0; i < count; i++) {
        const bk_stage *stage = &plan->stages[path[i].stage];
        const bk_link *link = &stage->links[path[i].next - 1];
        with_dish = with_dish || stage->dish != plan->stages[path[0].stage].dish;
        /* The place to look at is a link that the cook wrote. */
        if (!blamed || (link->written && !blamed->written))
            blamed = link;
    }
    bk_text circle = bk_text_new(reader->arena);
    for (size_t i = 0; i < count; i++) {
        if (count > MOST_SHOWN && i == MOST_SHOWN - 1) {
            bk_text_add(&circle, "... -> ");
            i = count - 1;
        }
        bk_text_addf(&circle, "%s -> ", short_name(reader, path[i].stage, with_dish));
    }
    bk_problem(reader, "cycle", blamed->place, "take one of these links out",
               "these stages wait for one another: %s%s", circle.data,
               short_name(reader, path[0].stage, with_dish));
}

void bk_check_cycles(bk_reader *reader)
{
    const bk_plan *plan = reader->plan;
    unsigned char *colour = BK_NEW(reader->arena, unsigned char, plan->stage_count);
    size_t *position = BK_NEW(reader->arena, size_t, plan->stage_count);
    step *path = BK_NEW(reader->arena, step, plan->stage_count);
    for (size_t root = 0; root < plan->stage_count; root++) {
        size_t length = 0;
        if (colour[root] == UNSEEN) {
            colour[root] = ON_PATH;
            position[root] = 0;
            path[length++] = (step){root, 0};
        }
        while (length > 0) {
            step *top = &path[length - 1];
            const bk_stage *stage = &plan->stages[top->stage];
            if (top->next == stage->link_count) {
                colour[top->stage] = DONE;
                length--;
                continue;
            }
            size_t before = stage->links[top->next++].stage;
            if (colour[before] == ON_PATH && bk_problem_is_kept(reader)) {
                report(reader, path + position[before], length - position[before]);
            } else if (colour[before] == UNSEEN) {
                colour[before] = ON_PATH;
                position[before] = length;
                path[length++] = (step){before, 0};
            }
        }
    }
}

/* ------------------------------------------------------------------- holds */

typedef struct backward {
    bk_reader *reader;
    size_t *seen; /* of each stage: the last search that came by */
    size_t *stack;
    size_t steps;
} backward;

/* Steps over links for all holds together: a plan of a kitchen takes a few
 * thousand. Past them the remaining holds go unremarked. */
enum { MOST_STEPS = 5000000 };

/* Whether links lead from `stage` back to `target`, each from an end. */
static bool comes_after(backward *search, size_t stage, size_t target, size_t number)
{
    const bk_plan *plan = search->reader->plan;
    size_t count = 0;
    search->stack[count++] = stage;
    while (count > 0) {
        const bk_stage *at = &plan->stages[search->stack[--count]];
        for (size_t i = 0; i < at->link_count; i++) {
            const bk_link *link = &at->links[i];
            if (++search->steps > MOST_STEPS)
                return false;
            if (link->stage == target && !link->from_start)
                return true;
            if (search->seen[link->stage] != number) {
                search->seen[link->stage] = number;
                search->stack[count++] = link->stage;
            }
        }
    }
    return false;
}

void bk_check_holds(bk_reader *reader)
{
    const bk_plan *plan = reader->plan;
    backward search = {.reader = reader,
                       .seen = BK_NEW(reader->arena, size_t, plan->stage_count),
                       .stack = BK_NEW(reader->arena, size_t, plan->stage_count + 1)};
    size_t number = 0;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        for (size_t j = 0; j < stage->hold_count; j++) {
            const bk_hold *hold = &stage->holds[j];
            if (hold->until != i && comes_after(&search, i, hold->until, ++number)) {
                bk_remark(reader, "no-effect", hold->place, "hold it until a later stage",
                          "%s holds this until a stage that ends before it starts",
                          bk_stage_words(reader, i));
            }
        }
    }
}
