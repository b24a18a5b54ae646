/* A day under way, for a cook who looks up for a moment: sixty columns, the hour first. */
#include "write/page/page.h"
#include "write/words/words.h"
#include "json/json.h"

#include <string.h>

typedef struct glance {
    const bk_day *day;
    const bk_timeline *timeline;
    const bk_plan *plan;
    bk_arena *arena;
    bk_text *out;
    size_t width;
    bool colour, progress, ascii;
    bk_put *put; /* as data, each line one text of the list that is open; or NULL */
    bk_rows rows;
} glance;

enum { INDENT = 9, MOST_CHANGES = 3, MOST_NEXT = 3, MOST_WARNINGS = 2 };

static const char *clock_of(const glance *g, bk_instant at)
{
    return bk_clock_seen_from(g->arena, g->plan->zone, g->day->now, at);
}

static void line(glance *g, const char *sign, const char *text)
{
    if (g->put) {
        bk_put_text(g->put, NULL, *sign ? bk_format(g->arena, "%s %s", sign, text) : text);
        return;
    }
    char head[INDENT + 24];
    size_t columns = bk_columns(sign);
    size_t blanks = columns + 1 < INDENT ? INDENT - columns : 1;
    size_t length = strlen(sign) < 16 ? strlen(sign) : 16;
    memcpy(head, sign, length);
    memset(head + length, ' ', blanks);
    head[length + blanks] = '\0';
    bk_wrap_item(g->out, g->width, head, g->ascii ? bk_words_ascii(g->arena, text) : text);
}

static void title(glance *g, const char *text)
{
    if (g->put)
        return;
    bk_text_addf(g->out, g->colour ? "\033[1m%s\033[0m\n" : "%s\n", text);
}

static const char *named(const glance *g, size_t stage)
{
    return bk_words_clean(g->arena, bk_stage_name(g->arena, g->plan, stage));
}

/* What to do, and of which dish. */
static const char *deed(const glance *g, const bk_placed *placed)
{
    const bk_stage *of = &g->plan->stages[placed->stage];
    return bk_format(g->arena, "%s (%s)", bk_words_clean(g->arena, of->text),
                     bk_words_clean(g->arena, g->plan->dishes[of->dish].name));
}

/* "; then into the fridge until 19:00" */
static const char *then(const glance *g, const bk_placed *placed)
{
    const char *cold = bk_words_then_cold(g->arena, g->timeline, placed);
    return cold[0] ? bk_format(g->arena, "; %s", cold) : cold;
}

/* What happened at this minute was said by an answer before this one. */
static bool was_told(const glance *g, bk_instant at)
{
    return at <= g->day->before && g->day->before < g->day->now;
}

/* ------------------------------------------------------------------ changed */

static size_t tell_late(glance *g, size_t lines)
{
    size_t told = 0;
    for (size_t d = 0; d < g->plan->dish_count && told < lines; d++) {
        const bk_dish *dish = &g->plan->dishes[d];
        if (g->day->late[d] == 0 || dish->served || dish->part)
            continue;
        line(g, clock_of(g, dish->serve),
             bk_format(g->arena, "%s is %s late", bk_words_clean(g->arena, dish->name),
                       bk_minutes(g->arena, g->day->late[d])));
        told++;
    }
    return told;
}

static size_t tell_moved(glance *g, size_t lines)
{
    size_t count = g->day->moved_count;
    if (lines == 0 || count == 0)
        return 0;
    size_t shown = count <= lines ? count : lines - 1;
    for (size_t i = 0; i < shown; i++) {
        const bk_moved *moved = &g->day->moved[i];
        line(g, clock_of(g, moved->is),
             bk_format(g->arena, "%s, was %s", named(g, moved->stage), clock_of(g, moved->was)));
    }
    if (shown < count)
        line(g, "",
             shown == 0 ? bk_format(g->arena, "%zu steps move, from %s on", count,
                                    clock_of(g, g->day->moved[0].is))
                        : bk_format(g->arena, "and %zu more steps move", count - shown));
    return count < lines ? count : lines;
}

static const char *said_words(const glance *g)
{
    return g->day->heard ? bk_words_clean(g->arena, g->day->heard) : NULL;
}

static void changed(glance *g)
{
    const char *heard = said_words(g);
    title(g, "Changed");
    if (heard)
        line(g, "", heard);
    size_t most = heard ? MOST_CHANGES - 1 : MOST_CHANGES, lines = tell_late(g, most);
    lines += tell_moved(g, most - lines);
    if (lines == 0 && heard && g->day->moved_little > 0)
        line(g, "",
             bk_format(g->arena, "the rest moves by %s at most",
                       bk_minutes(g->arena, g->day->moved_little)));
    else if (lines == 0)
        line(g, "", heard ? "the rest stands as it was" : "nothing");
}

/* What is overdue is asked about, once: until something else is said. */
static void ask(glance *g)
{
    for (size_t i = 0; i < g->day->overdue_count; i++) {
        const bk_overdue *overdue = &g->day->overdue[i];
        if (was_told(g, overdue->since))
            continue;
        line(g, "?",
             bk_format(g->arena, "Is %s done? It was to be at %s. Say done, or longer.",
                       named(g, overdue->stage), clock_of(g, overdue->since)));
    }
}

/* What nobody spoke of went as planned: said, so that a slip is noticed. */
static void taken_as_done(glance *g)
{
    const bk_placed *last = NULL;
    size_t count = 0;
    for (size_t i = 0; i < g->timeline->stage_count; i++) {
        const bk_placed *placed = &g->timeline->stages[i];
        const bk_stage *stage = &g->plan->stages[placed->stage];
        if (stage->progress != BK_DONE || !stage->assumed || was_told(g, placed->end))
            continue;
        count++;
        if (!last || placed->end > last->end)
            last = placed;
    }
    if (count > 0)
        line(g, "",
             bk_format(g->arena, "Taken as done, as planned: %zu %s, the last %s at %s.", count,
                       count == 1 ? "step" : "steps", named(g, last->stage),
                       clock_of(g, last->end)));
}

/* The plan itself warned of it, and nothing of the dish is to come any more: it is too late to do
 * something about it. */
static bool went_as_planned(const glance *g, size_t stage)
{
    if (stage >= g->plan->stage_count || g->plan->stages[stage].progress != BK_DONE ||
        !g->plan->stages[stage].assumed)
        return false;
    const bk_dish *dish = &g->plan->dishes[g->plan->stages[stage].dish];
    for (size_t i = dish->first_stage; i < dish->first_stage + dish->stage_count; i++)
        if (!bk_has_begun(&g->plan->stages[i]))
            return false;
    return dish->part || dish->served || dish->serve <= g->day->now;
}

/* What would have kept it on time, and what a broken rule means: not changes, but to be
 * known. */
static void notes(glance *g)
{
    const bk_timeline *t = g->day->on_time;
    bool any = false;
    for (size_t i = 0; t && i < t->remedy_count && !any; i++) {
        /* to be served later is no way to be on time, nor is to leave out what is late */
        if (strcmp(t->remedies[i].change, "serve") == 0 ||
            strcmp(t->remedies[i].change, "dish") == 0)
            continue;
        line(g, "on time:", bk_words_clean(g->arena, t->remedies[i].message));
        any = true;
    }
    for (size_t i = 0; i < g->day->broken_count; i++)
        if (!was_told(g, g->day->broken[i].since))
            line(g, "!", bk_words_clean(g->arena, g->day->broken[i].message));
    for (size_t i = 0; i < g->day->unknown_count; i++)
        line(g, "!", bk_words_clean(g->arena, g->day->unknown[i]));
    size_t warnings = 0;
    for (size_t i = 0; i < g->timeline->warning_count; i++) {
        const bk_message *w = &g->timeline->warnings[i];
        if (w->about.concern != BK_FOOD_SAFETY || went_as_planned(g, w->about.stage))
            continue;
        if (warnings++ < MOST_WARNINGS)
            line(g, "!",
                 bk_words_clean(g->arena, w->mend ? bk_format(g->arena, "%s; %s", w->text, w->mend)
                                                  : w->text));
    }
    if (warnings > MOST_WARNINGS)
        line(g, "!",
             bk_format(g->arena, "%zu more warnings: bakeset timeline tells them",
                       warnings - MOST_WARNINGS));
}

/* ----------------------------------------------------------------- now, running */

static bool is_running(const glance *g, size_t i, bool hands)
{
    const bk_stage *stage = &g->plan->stages[g->timeline->stages[i].stage];
    return stage->progress == BK_RUNNING && (stage->attention == BK_HANDS) == hands;
}

static bool is_overdue(const glance *g, size_t stage)
{
    for (size_t i = 0; i < g->day->overdue_count; i++)
        if (g->day->overdue[i].stage == stage)
            return true;
    return false;
}

/* What one row asks of the cook. */
static const char *row_words(const glance *g, const bk_row *row)
{
    const bk_timeline *t = g->timeline;
    if (row->kind == BK_ROW_START)
        return bk_format(g->arena, "%s%s%s", deed(g, &t->stages[row->placed]),
                         bk_words_by(g->arena, g->plan, t->stages[row->placed].by,
                                     t->stages[row->placed].by_count),
                         then(g, &t->stages[row->placed]));
    bk_said said = bk_say(g->arena, t, row);
    if (row->kind == BK_ROW_SERVE)
        return bk_format(g->arena, "SERVE %s", said.what);
    if (row->kind != BK_ROW_CHECK)
        return said.what;
    size_t dish = g->plan->stages[t->stages[row->placed].stage].dish;
    return bk_format(g->arena, "%s (%s)", said.what,
                     bk_words_clean(g->arena, g->plan->dishes[dish].name));
}

static bool comes(const glance *g, const bk_row *row)
{
    if (row->kind == BK_ROW_START &&
        bk_has_begun(&g->plan->stages[g->timeline->stages[row->placed].stage]))
        return false;
    if (row->kind == BK_ROW_OUT &&
        g->plan->stages[g->timeline->stages[row->placed].stage].progress == BK_DONE)
        return false; /* it is out: somebody said so */
    if (row->kind == BK_ROW_SERVE && g->plan->dishes[row->dish].served)
        return false;
    return row->at >= g->day->now && row->kind != BK_ROW_WINDOW && row->kind != BK_ROW_CLOCK;
}

/* The run of an oven that the row begins or ends. */
static const bk_oven_run *run_of(const glance *g, const bk_row *row)
{
    return row->kind == BK_ROW_OVEN_ON || row->kind == BK_ROW_OVEN_OFF
               ? &g->timeline->ovens[row->run]
               : NULL;
}

/* It was hot: something is in it, or was. */
static bool was_used(const glance *g, const bk_oven_run *run)
{
    for (size_t i = 0; i < g->timeline->stage_count; i++) {
        const bk_placed *placed = &g->timeline->stages[i];
        const bk_stage *stage = &g->plan->stages[placed->stage];
        if (stage->in_oven && stage->oven.equipment == run->equipment &&
            placed->oven_number == run->number && placed->start >= run->on &&
            placed->start < run->off && bk_has_begun(stage))
            return true;
    }
    return false;
}

/* A switch of an oven whose minute went by between two answers, or lately before the first: nobody
 * was told. The last of each oven counts. */
static bool was_missed(const glance *g, size_t row)
{
    enum { LATELY = 120 };
    const bk_row *is = &g->rows.items[row];
    const bk_oven_run *run = run_of(g, is);
    if (!run || is->at >= g->day->now || is->at < g->day->now - LATELY || was_told(g, is->at) ||
        (is->kind == BK_ROW_OVEN_ON && was_used(g, run)))
        return false;
    for (size_t i = row + 1; i < g->rows.count && g->rows.items[i].at <= g->day->now; i++) {
        const bk_oven_run *later = run_of(g, &g->rows.items[i]);
        if (later && later->equipment == run->equipment && later->number == run->number)
            return false;
    }
    return true;
}

static void now(glance *g)
{
    bool any = false;
    title(g, "Now");
    for (size_t i = 0; i < g->timeline->stage_count; i++) {
        const bk_placed *placed = &g->timeline->stages[i];
        if (!is_running(g, i, true))
            continue;
        line(g, is_overdue(g, placed->stage) ? "done?" : "",
             bk_format(g->arena, "%s, until %s%s", deed(g, placed), clock_of(g, placed->end),
                       then(g, placed)));
        any = true;
    }
    for (size_t i = 0; i < g->rows.count; i++) {
        const bk_row *row = &g->rows.items[i];
        bool missed = was_missed(g, i);
        if (!missed && (row->at != g->day->now || !comes(g, row)))
            continue;
        line(g, clock_of(g, row->at),
             missed ? bk_format(g->arena, "%s: is it done?", row_words(g, row))
                    : row_words(g, row));
        any = true;
    }
    if (!any && !g->put)
        line(g, "", "nothing to do");
}

/* How far it has come, by its own length. */
static void bar(glance *g, const bk_placed *placed)
{
    enum { CELLS = 30 };
    int64_t whole = placed->end - placed->start, past = g->day->now - placed->start;
    if (whole <= 0)
        return;
    int64_t full = past >= whole ? CELLS : past * CELLS / whole;
    bk_text cells = bk_text_new(g->arena);
    bk_text_add_repeated(&cells, '#', (size_t)full);
    bk_text_add_repeated(&cells, '.', (size_t)(CELLS - full));
    bk_instant left = placed->end - g->day->now;
    line(g, "",
         bk_format(g->arena, "[%s] %s", cells.data,
                   left > 0 ? bk_format(g->arena, "%s to go", bk_minutes(g->arena, left)) : "due"));
}

static void running(glance *g)
{
    bool any = false;
    for (size_t i = 0; i < g->timeline->stage_count; i++) {
        const bk_placed *placed = &g->timeline->stages[i];
        if (!is_running(g, i, false))
            continue;
        if (!any)
            title(g, "Runs until");
        any = true;
        line(g, is_overdue(g, placed->stage) ? "done?" : clock_of(g, placed->end),
             bk_format(g->arena, "%s%s", deed(g, placed), then(g, placed)));
        if (g->progress)
            bar(g, placed);
    }
    for (size_t i = 0; i < g->timeline->oven_count; i++) {
        const bk_oven_run *run = &g->timeline->ovens[i];
        if (run->on > g->day->now || run->ready <= g->day->now || run->ready == run->on)
            continue;
        if (!any)
            title(g, "Runs until");
        any = true;
        bool down = strcmp(bk_words_turn(g->timeline, i), "down") == 0;
        line(g, clock_of(g, run->ready),
             bk_format(g->arena, "the %s %s to %s",
                       bk_words_oven(g->arena, g->plan, run->equipment, run->number),
                       down ? "cools down" : "heats up",
                       bk_words_heat(g->arena, g->plan, run->equipment, run->temperature_c)));
    }
}

static void next(glance *g)
{
    size_t shown = 0;
    for (size_t i = 0; i < g->rows.count && shown < MOST_NEXT; i++) {
        const bk_row *row = &g->rows.items[i];
        if (row->at <= g->day->now || !comes(g, row))
            continue;
        if (shown++ == 0)
            title(g, "Next");
        line(g, clock_of(g, row->at),
             shown == 1 ? bk_format(g->arena, "%s, in %s", row_words(g, row),
                                    bk_minutes(g->arena, row->at - g->day->now))
                        : row_words(g, row));
    }
    if (shown > 0 || g->put)
        return;
    title(g, "Next");
    line(g, "", "nothing");
}

/* --------------------------------------------------------------- hands free */

/* Hands that are full at a minute, or not there. */
static int64_t full_at(const glance *g, bk_instant at)
{
    const bk_kitchen *kitchen = &g->plan->kitchen;
    int64_t full = 0;
    for (size_t w = 0; w < kitchen->window_count; w++)
        if (kitchen->windows[w].from <= at && at < kitchen->windows[w].to)
            return kitchen->cooks;
    for (size_t c = 0; c < kitchen->people_count; c++)
        for (size_t w = 0; w < kitchen->people[c].window_count; w++)
            if (kitchen->people[c].windows[w].from <= at && at < kitchen->people[c].windows[w].to) {
                full++;
                break;
            }
    for (size_t i = 0; i < g->timeline->stage_count; i++) {
        const bk_placed *placed = &g->timeline->stages[i];
        if (g->plan->stages[placed->stage].attention == BK_HANDS && placed->start <= at &&
            at < placed->end)
            full += g->plan->stages[placed->stage].cooks;
        for (size_t k = 0; k < placed->check_count; k++)
            if (placed->checks[k].start <= at && at < placed->checks[k].end)
                full++;
    }
    return full;
}

/* Put where it is to be by the hands that worked on it until this very minute. */
static bool is_left_by_hands(const glance *g, const bk_placed *placed)
{
    const bk_stage *stage = &g->plan->stages[placed->stage];
    for (size_t i = 0; i < g->timeline->stage_count; i++) {
        const bk_placed *before = &g->timeline->stages[i];
        if (before->end != placed->start || before->start == before->end ||
            g->plan->stages[before->stage].attention != BK_HANDS)
            continue;
        for (size_t k = 0; k < stage->link_count; k++)
            if (stage->links[k].stage == before->stage && !stage->links[k].from_start)
                return true;
    }
    return false;
}

/* A row that asks for hands at its minute: an oven turned, something put in, taken out, looked
 * at or served. What hands work on, and checks with a length, full_at counts. */
static bool is_touch(const glance *g, const bk_row *row)
{
    if (!comes(g, row))
        return false;
    if (row->kind != BK_ROW_START)
        return true;
    const bk_placed *placed = &g->timeline->stages[row->placed];
    const bk_stage *stage = &g->plan->stages[placed->stage];
    return stage->attention != BK_HANDS && !stage->begins_itself && !is_left_by_hands(g, placed);
}

static bool is_touched(const glance *g, bk_instant at)
{
    for (size_t i = 0; i < g->rows.count && g->rows.items[i].at <= at; i++)
        if (g->rows.items[i].at == at && is_touch(g, &g->rows.items[i]))
            return true;
    return false;
}

/* When there is nothing more to do, but to bring the last dish to the table. */
static bk_instant all_done(const glance *g)
{
    bk_instant done = g->timeline->ready;
    for (size_t i = 0; i < g->rows.count; i++)
        if (g->rows.items[i].at >= done && g->rows.items[i].kind != BK_ROW_SERVE &&
            is_touch(g, &g->rows.items[i]))
            done = g->rows.items[i].at + 1;
    return done;
}

/* No pair of hands is free at this minute. */
static bool none_free(const glance *g, bk_instant at)
{
    int64_t full = full_at(g, at), cooks = g->plan->kitchen.cooks;
    return full >= cooks || (full + 1 >= cooks && is_touched(g, at));
}

/* The next minutes in which a pair of hands is free: from when until when. Any touch ends them;
 * that of their first minute, which the lines above tell, does not. */
static const char *hands_free(const glance *g)
{
    bk_instant last = all_done(g), from = g->day->now;
    while (from < last && full_at(g, from) >= g->plan->kitchen.cooks)
        from++;
    bk_instant to = from < last ? from + 1 : from;
    while (to < last && !none_free(g, to))
        to++;
    if (from >= last)
        return "from now on";
    if (from == g->day->now)
        return bk_format(g->arena, to >= last ? "from now on" : "until %s", clock_of(g, to));
    return to >= last ? bk_format(g->arena, "from %s on", clock_of(g, from))
                      : bk_format(g->arena, "%s to %s", clock_of(g, from), clock_of(g, to));
}

static void hands(glance *g)
{
    title(g, "Hands free");
    line(g, "", hands_free(g));
}

bk_instant bk_day_next_touch(bk_arena *arena, const bk_day *day)
{
    glance g = {.day = day, .timeline = day->timeline, .plan = day->plan, .arena = arena};
    g.rows = bk_rows_of(arena, day->timeline);
    for (size_t i = 0; i < g.rows.count; i++)
        if (g.rows.items[i].at > day->now && comes(&g, &g.rows.items[i]))
            return g.rows.items[i].at;
    return INT64_MAX;
}

void bk_write_day(const bk_day *day, const bk_text_style *style, bk_text *out)
{
    enum { COLUMNS = 60 };
    glance g = {.day = day,
                .timeline = day->timeline,
                .plan = day->plan,
                .arena = out->arena,
                .out = out,
                .width =
                    style->width > 0 && style->width < COLUMNS ? (size_t)style->width : COLUMNS,
                .colour = style->colour,
                .progress = style->progress,
                .ascii = style->ascii};
    bool placed = day->timeline->stage_count > 0;
    if (placed)
        g.rows = bk_rows_of(g.arena, day->timeline);
    if (day->next_only && placed) {
        next(&g);
        return;
    }
    bk_text_addf(out, "%s  %s\n", bk_moment_short(g.arena, day->plan->zone, day->now),
                 bk_words_clean(g.arena, day->plan->occasion));
    if (day->finished) {
        line(&g, "", "The day is over. What happened stands in its journal.");
        if (day->remembered > 0)
            line(&g, "",
                 bk_format(g.arena,
                           "%zu real %s went into the history: bakeset check --history says what "
                           "they propose.",
                           day->remembered, day->remembered == 1 ? "time" : "times"));
        return;
    }
    if (day->heard || day->moved_count > 0 || day->on_time)
        changed(&g);
    notes(&g);
    if (!placed)
        return;
    if (!day->heard)
        taken_as_done(&g);
    ask(&g);
    now(&g);
    running(&g);
    next(&g);
    hands(&g);
}

/* ------------------------------------------------------------------- as data */

static void runs_as_data(glance *g)
{
    for (size_t i = 0; i < g->timeline->stage_count; i++) {
        const bk_placed *placed = &g->timeline->stages[i];
        const bk_stage *stage = &g->plan->stages[placed->stage];
        if (stage->progress != BK_RUNNING)
            continue;
        bk_put_open(g->put, NULL, "{");
        bk_put_text(g->put, "dish", g->plan->dishes[stage->dish].name);
        bk_put_text(g->put, "stage", stage->id);
        bk_put_text(g->put, "do", stage->text);
        bk_put_text(g->put, "until", bk_instant_rfc3339(g->arena, g->plan->zone, placed->end));
        bk_put_text(g->put, "clock", clock_of(g, placed->end));
        bk_put_boolean(g->put, "hands", stage->attention == BK_HANDS);
        bk_put_boolean(g->put, "overdue", is_overdue(g, placed->stage));
        bk_put_close(g->put, "}");
    }
}

static void notes_as_data(glance *g, bool placed)
{
    notes(g);
    if (placed && !g->day->heard)
        taken_as_done(g);
    if (placed)
        ask(g);
}

void bk_write_day_json(const bk_day *day, bk_text *out)
{
    bk_put put = bk_put_line_to(out);
    glance g = {
        .day = day, .timeline = day->timeline, .plan = day->plan, .arena = out->arena, .put = &put};
    bool placed = day->timeline->stage_count > 0 && !day->finished;
    if (placed)
        g.rows = bk_rows_of(g.arena, day->timeline);
    bk_put_open(&put, NULL, "{");
    bk_put_boolean(&put, "finished", day->finished);
    bk_put_open(&put, "changed", "[");
    if (!day->finished && (day->heard || day->moved_count > 0 || day->on_time))
        changed(&g);
    bk_put_close(&put, "]");
    bk_put_open(&put, "notes", "[");
    if (!day->finished)
        notes_as_data(&g, placed);
    bk_put_close(&put, "]");
    bk_put_open(&put, "now", "[");
    if (placed)
        now(&g);
    bk_put_close(&put, "]");
    bk_put_open(&put, "runs", "[");
    if (placed)
        runs_as_data(&g);
    bk_put_close(&put, "]");
    bk_put_open(&put, "next", "[");
    if (placed)
        next(&g);
    bk_put_close(&put, "]");
    bk_put_text(&put, "hands_free", placed ? hands_free(&g) : NULL);
    bk_put_close(&put, "}");
}
