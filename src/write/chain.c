/* Facts as few lines: stages that follow one another become one sentence. */
#include "write/chain.h"

#include "write/words.h"

typedef struct chains {
    bk_arena *arena;
    const bk_plan *plan;
    const bk_fact *facts;
    size_t count;
    bool *said;
    const char **lines;
    size_t line_count, room;
} chains;

/* A link whose stage starts a wait after the other's end: what a chain is made of. */
static bool follows(const chains *c, size_t fact)
{
    const bk_fact *f = &c->facts[fact];
    return f->kind == BK_FACT_WAIT && !c->plan->stages[f->stage].links[f->link].from_start;
}

static size_t link_after(const chains *c, size_t stage)
{
    for (size_t i = 0; i < c->count; i++)
        if (!c->said[i] && follows(c, i) && c->facts[i].other == stage)
            return i;
    return SIZE_MAX;
}

static bool follows_another(const chains *c, size_t stage)
{
    for (size_t i = 0; i < c->count; i++)
        if (!c->said[i] && follows(c, i) && c->facts[i].stage == stage)
            return true;
    return false;
}

static void add_line(chains *c, const char *line)
{
    *BK_PUSH(c->arena, c->lines, c->line_count, c->room) = line;
}

/* "bake (15 min)", with the dish before it where it is another one. */
static void add_stage(chains *c, bk_text *line, size_t stage, size_t *dish)
{
    const bk_stage *s = &c->plan->stages[stage];
    if (*dish != s->dish) {
        bk_text_addf(line, "%s%s ", bk_words_clean(c->arena, c->plan->dishes[s->dish].name),
                     *dish == SIZE_MAX ? ":" : "'s");
        *dish = s->dish;
    }
    bk_text_add(line, bk_words_clean(c->arena, s->id));
    for (size_t i = 0; i < c->count; i++)
        if (!c->said[i] && c->facts[i].kind == BK_FACT_STAGE_TIME && c->facts[i].stage == stage) {
            bk_text_addf(line, " (%s)", bk_minutes(c->arena, s->planned));
            c->said[i] = true;
        }
}

static void say_chain(chains *c, size_t first)
{
    bk_text line = bk_text_new(c->arena);
    size_t dish = SIZE_MAX;
    add_stage(c, &line, first, &dish);
    for (size_t link = link_after(c, first); link != SIZE_MAX;) {
        const bk_fact *fact = &c->facts[link];
        int64_t wait = c->plan->stages[fact->stage].links[fact->link].wait;
        c->said[link] = true;
        if (wait > 0)
            bk_text_addf(&line, ", %s later ", bk_minutes(c->arena, wait));
        else
            bk_text_add(&line, ", then ");
        add_stage(c, &line, fact->stage, &dish);
        link = link_after(c, fact->stage);
    }
    add_line(c, line.data);
}

const char **bk_chain_lines(bk_arena *arena, const bk_plan *plan, const bk_fact *facts,
                            size_t count, size_t *lines)
{
    chains c = {.arena = arena, .plan = plan, .facts = facts, .count = count};
    c.said = BK_NEW(arena, bool, count);
    for (size_t i = 0; i < count; i++) {
        const bk_fact *fact = &facts[i];
        if (c.said[i])
            continue;
        if (fact->kind == BK_FACT_STAGE_TIME && !follows_another(&c, fact->stage)) {
            say_chain(&c, fact->stage);
        } else if (follows(&c, i) && !follows_another(&c, fact->other)) {
            say_chain(&c, fact->other);
        } else if (fact->kind != BK_FACT_STAGE_TIME && !follows(&c, i)) {
            add_line(&c, bk_words_fact(arena, fact));
            c.said[i] = true;
        }
    }
    /* Where chains join, the second way in; links have no cycle, so this is all. */
    for (size_t i = 0; i < count; i++)
        if (!c.said[i]) {
            add_line(&c, bk_words_fact(arena, &facts[i]));
            c.said[i] = true;
        }
    *lines = c.line_count;
    return c.lines;
}
