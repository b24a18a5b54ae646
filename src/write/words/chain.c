/* Facts as few lines: stages that follow one another become one sentence, and so do
 * the nights of one line of the plan. */
#include "write/words/chain.h"

#include "write/words/phrases.h"

/* So many windows from one place of the plan are told as one. */
enum { MANY_WINDOWS = 3 };

/* Facts by a stage that they name, those of one stage in their order: of stage s, at[first[s]] to
 * before at[first[s + 1]]. */
typedef struct fact_index {
    size_t *first, *at;
} fact_index;

typedef struct chains {
    bk_arena *arena;
    const bk_plan *plan;
    const bk_fact *facts;
    size_t count;
    fact_index of_stage, after_stage; /* by `stage`; of what follows, by `other` */
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

static size_t named(const chains *c, size_t fact, bool after)
{
    if (after)
        return follows(c, fact) ? c->facts[fact].other : SIZE_MAX;
    return c->facts[fact].stage;
}

static fact_index index_of(const chains *c, bool after)
{
    size_t stages = c->plan->stage_count;
    fact_index index = {BK_NEW(c->arena, size_t, stages + 2), BK_NEW(c->arena, size_t, c->count)};
    /* Counted two places on, so that filling leaves each start where it belongs. */
    for (size_t i = 0; i < c->count; i++)
        if (named(c, i, after) != SIZE_MAX)
            index.first[named(c, i, after) + 2]++;
    for (size_t s = 2; s < stages + 2; s++)
        index.first[s] += index.first[s - 1];
    for (size_t i = 0; i < c->count; i++)
        if (named(c, i, after) != SIZE_MAX)
            index.at[index.first[named(c, i, after) + 1]++] = i;
    return index;
}

static size_t link_after(const chains *c, size_t stage)
{
    for (size_t k = c->after_stage.first[stage]; k < c->after_stage.first[stage + 1]; k++)
        if (!c->said[c->after_stage.at[k]])
            return c->after_stage.at[k];
    return SIZE_MAX;
}

static bool follows_another(const chains *c, size_t stage)
{
    for (size_t k = c->of_stage.first[stage]; k < c->of_stage.first[stage + 1]; k++)
        if (!c->said[c->of_stage.at[k]] && follows(c, c->of_stage.at[k]))
            return true;
    return false;
}

static void add_line(chains *c, const char *line)
{
    *BK_PUSH(c->arena, c->lines, c->line_count, c->room) = line;
}

/* The first place of the plan that a chain comes from. */
static void take_place(bk_place *place, const bk_fact *fact)
{
    if (!place->source)
        *place = fact->place;
}

/* "bake (15 min)", with the dish before it where it is another one. */
static void add_stage(chains *c, bk_text *line, size_t stage, size_t *dish, bk_place *place)
{
    const bk_stage *s = &c->plan->stages[stage];
    if (*dish != s->dish) {
        bk_text_addf(line, "%s%s ", bk_words_clean(c->arena, c->plan->dishes[s->dish].name),
                     *dish == SIZE_MAX ? ":" : "'s");
        *dish = s->dish;
    }
    bk_text_addf(line, "%s (%s)", bk_words_clean(c->arena, s->id),
                 bk_minutes(c->arena, s->planned));
    for (size_t k = c->of_stage.first[stage]; k < c->of_stage.first[stage + 1]; k++) {
        size_t i = c->of_stage.at[k];
        if (!c->said[i] && c->facts[i].kind == BK_FACT_STAGE_TIME) {
            take_place(place, &c->facts[i]);
            c->said[i] = true;
        }
    }
}

/* The fact that this link also has a limit, or SIZE_MAX. */
static size_t limit_of(const chains *c, const bk_fact *link)
{
    for (size_t k = c->of_stage.first[link->stage]; k < c->of_stage.first[link->stage + 1]; k++) {
        size_t i = c->of_stage.at[k];
        if (!c->said[i] && c->facts[i].kind == BK_FACT_WITHIN && c->facts[i].link == link->link)
            return i;
    }
    return SIZE_MAX;
}

/* The link that a limit belongs to is a fact too: its chain says both. */
static bool said_with_link(const chains *c, const bk_fact *limit)
{
    if (limit->kind != BK_FACT_WITHIN)
        return false;
    for (size_t k = c->of_stage.first[limit->stage]; k < c->of_stage.first[limit->stage + 1]; k++) {
        size_t i = c->of_stage.at[k];
        if (follows(c, i) && c->facts[i].link == limit->link)
            return true;
    }
    return false;
}

/* A fact that stands by itself. */
static void say_fact(chains *c, size_t fact)
{
    bk_fact f = c->facts[fact];
    const bk_link *link = f.kind == BK_FACT_WITHIN ? &c->plan->stages[f.stage].links[f.link] : NULL;
    if (link && link->within == 0)
        f.message = bk_format(
            c->arena, "%s has to start the minute %s %s", bk_stage_name(c->arena, c->plan, f.stage),
            bk_stage_name(c->arena, c->plan, f.other), link->from_start ? "starts" : "ends");
    add_line(c, bk_words_fact(c->arena, &f));
    c->said[fact] = true;
}

/* How a stage follows the one before it: ", then ", ", 30 min later ". */
static void add_step(chains *c, bk_text *line, const bk_fact *fact)
{
    const bk_link *link = &c->plan->stages[fact->stage].links[fact->link];
    size_t limit = limit_of(c, fact);
    const char *wait = bk_minutes(c->arena, link->wait);
    if (limit == SIZE_MAX) {
        if (link->wait > 0)
            bk_text_addf(line, ", %s later ", wait);
        else
            bk_text_add(line, ", then ");
        return;
    }
    c->said[limit] = true;
    const char *within = bk_minutes(c->arena, link->within);
    if (link->wait > 0 && link->wait == link->within)
        bk_text_addf(line, ", just %s later ", wait);
    else if (link->wait > 0)
        bk_text_addf(line, ", %s to %s later ", wait, within);
    else if (link->within > 0)
        bk_text_addf(line, ", then within %s ", within);
    else
        bk_text_add(line, ", then at once ");
}

static void say_chain(chains *c, size_t first)
{
    bk_text line = bk_text_new(c->arena);
    size_t dish = SIZE_MAX;
    bk_place place = {0};
    add_stage(c, &line, first, &dish, &place);
    for (size_t link = link_after(c, first); link != SIZE_MAX;) {
        const bk_fact *fact = &c->facts[link];
        c->said[link] = true;
        take_place(&place, fact);
        add_step(c, &line, fact);
        add_stage(c, &line, fact->stage, &dish, &place);
        link = link_after(c, fact->stage);
    }
    const char *source = bk_words_source(c->arena, place);
    if (source)
        bk_text_addf(&line, " (%s)", bk_words_clean(c->arena, source));
    add_line(c, line.data);
}

static const bk_window *window_of(const chains *c, size_t fact)
{
    const bk_fact *f = &c->facts[fact];
    return f->kind == BK_FACT_WINDOW && f->place.source && f->window < c->plan->kitchen.window_count
               ? &c->plan->kitchen.windows[f->window]
               : NULL;
}

/* Every night of "22:30-06:30" is a fact of its own. False when they are few. */
static bool say_windows(chains *c, size_t first)
{
    static const char *const who[] = {[BK_ASLEEP] = "everyone is asleep",
                                      [BK_AWAY] = "nobody is at home",
                                      [BK_BUSY] = "hands are busy"};
    const bk_fact *fact = &c->facts[first];
    const bk_window *window = window_of(c, first);
    if (!window)
        return false;
    bk_instant from = window->from, to = window->to;
    size_t count = 0;
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = first; i < c->count; i++) {
            const bk_window *other = window_of(c, i);
            if (c->said[i] || !other || other->kind != window->kind ||
                c->facts[i].place.source != fact->place.source ||
                c->facts[i].place.offset != fact->place.offset)
                continue;
            from = other->from < from ? other->from : from;
            to = other->to > to ? other->to : to;
            count += pass == 0;
            c->said[i] = pass == 1;
        }
        if (count < MANY_WINDOWS)
            return false;
    }
    add_line(c, bk_format(c->arena, "%s %zu times between %s and %s (%s)", who[window->kind], count,
                          bk_moment(c->arena, c->plan->zone, from),
                          bk_moment(c->arena, c->plan->zone, to),
                          bk_words_clean(c->arena, bk_words_source(c->arena, fact->place))));
    return true;
}

const char **bk_chain_lines(bk_arena *arena, const bk_plan *plan, const bk_fact *facts,
                            size_t count, size_t *lines)
{
    chains c = {.arena = arena, .plan = plan, .facts = facts, .count = count};
    c.said = BK_NEW(arena, bool, count);
    c.of_stage = index_of(&c, false);
    c.after_stage = index_of(&c, true);
    for (size_t i = 0; i < count; i++) {
        const bk_fact *fact = &facts[i];
        if (c.said[i])
            continue;
        if (fact->kind == BK_FACT_STAGE_TIME && !follows_another(&c, fact->stage))
            say_chain(&c, fact->stage);
        else if (follows(&c, i) && !follows_another(&c, fact->other))
            say_chain(&c, fact->other);
        else if (say_windows(&c, i))
            continue;
        else if (fact->kind != BK_FACT_STAGE_TIME && !follows(&c, i) && !said_with_link(&c, fact))
            say_fact(&c, i);
    }
    /* Where chains join, the second way in; links have no cycle, so this is all. */
    for (size_t i = 0; i < count; i++)
        if (!c.said[i])
            say_fact(&c, i);
    *lines = c.line_count;
    return c.lines;
}
