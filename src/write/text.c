#include "write/rows.h"
#include "write/words.h"
#include "write/wrap.h"
#include "write/write.h"

#include <inttypes.h>
#include <string.h>

/* A row has a clock time, a word that says who acts, and what to do:
 *
 *    18:05  DO      Whisk eggs and sugar to a ribbon
 *                   Torte: hands on for 12-15 min, until 18:20
 *
 * Words in capitals need the cook; small ones run by themselves. That holds
 * without colour and at a glance. */
enum { NARROW = 56, WORD_COLUMNS = 5 };

enum paint { PLAIN, BOLD, FAINT, LOUD };

typedef struct page {
    const bk_timeline *timeline;
    bk_arena *arena;
    bk_text *out;
    size_t width;
    size_t indent; /* columns before what to do */
    bool colour;
    bool marks; /* critical stages carry a sign */
} page;

static void painted(page *p, enum paint paint, const char *text, size_t length)
{
    static const char *const on[] = {
        [PLAIN] = "", [BOLD] = "\033[1m", [FAINT] = "\033[2m", [LOUD] = "\033[1;31m"};
    bool colour = p->colour && paint != PLAIN && length > 0;
    if (colour)
        bk_text_add(p->out, on[paint]);
    bk_text_add_bytes(p->out, text, length);
    if (colour)
        bk_text_add(p->out, "\033[0m");
}

/* Wraps `text` into lines that begin at column `indent`; `used` columns of the
 * first line are written already. */
static void paragraph(page *p, size_t used, size_t indent, enum paint paint, const char *text)
{
    size_t width = p->width > indent ? p->width - indent : 1;
    do {
        const char *next = NULL;
        size_t length = bk_wrap_line(text, width, &next);
        bk_text_add_repeated(p->out, ' ', length > 0 && indent > used ? indent - used : 0);
        painted(p, paint, text, length);
        bk_text_add(p->out, "\n");
        text = next;
        used = 0;
    } while (text[0]);
}

static void blank_line(page *p)
{
    bk_text_add(p->out, "\n");
}

static void underlined(page *p, const char *title, char line)
{
    paragraph(p, 0, 0, BOLD, title);
    size_t columns = bk_columns(title);
    bk_text_add_repeated(p->out, line, columns < p->width ? columns : p->width);
    blank_line(p);
}

/* "Start by   Thursday 24 December, 18:05" */
static void head_line(page *p, const char *name, enum paint paint, const char *text)
{
    size_t indent = 10;
    painted(p, paint == BOLD ? BOLD : PLAIN, name, strlen(name));
    paragraph(p, bk_columns(name), indent, paint, text);
}

static bk_instant first_oven_on(const bk_timeline *timeline)
{
    bk_instant first = INT64_MAX;
    for (size_t i = 0; i < timeline->oven_count; i++)
        if (timeline->ovens[i].on < first)
            first = timeline->ovens[i].on;
    return first;
}

static void head(page *p)
{
    const bk_timeline *t = p->timeline;
    const bk_plan *plan = t->plan;
    char *start = bk_words_moment(p->arena, plan->zone, t->start);
    bk_instant oven = first_oven_on(t);
    if (oven < t->start)
        start = bk_format(p->arena, "%s; oven on at %s", start,
                          bk_words_clock(p->arena, plan->zone, t->start, oven));
    head_line(p, "START BY", BOLD, start);
    char *serve = bk_words_moment(p->arena, plan->zone, plan->last_serve);
    if (plan->first_serve != plan->last_serve)
        serve = bk_format(p->arena, "from %s to %s",
                          bk_words_moment(p->arena, plan->zone, plan->first_serve), serve);
    head_line(p, "Serve", PLAIN, serve);
    if (t->ready != plan->last_serve)
        head_line(p, "Ready", PLAIN, bk_words_moment(p->arena, plan->zone, t->ready));
    head_line(p, "Plan", PLAIN, bk_words_status(p->arena, t));

    size_t critical = bk_words_critical_count(t);
    p->marks = critical > 0 && critical < t->stage_count;
    if (critical == t->stage_count)
        head_line(p, "In hand", PLAIN,
                  "Nothing: every step is as late as it can be. Start each one on time.");
    else if (critical > 0)
        head_line(p, "In hand", PLAIN,
                  "Steps marked * can't start later. The others say how much later they can.");
    else
        head_line(p, "In hand", PLAIN, "Each step says how much later it can start.");
}

static void day_heading(page *p, const bk_row *row, bk_instant *day_end)
{
    const bk_zone *zone = p->timeline->plan->zone;
    if (row->at < *day_end)
        return;
    *day_end = bk_next_day_start(zone, row->at);
    blank_line(p);
    underlined(p, bk_date_long(p->arena, zone, row->at), '-');
}

static void row_line(page *p, const bk_row *row, bool critical, const char *word, enum paint paint,
                     const char *what)
{
    char *clock = bk_clock(p->arena, p->timeline->plan->zone, row->at);
    char *head = bk_format(p->arena, "%c %s%s%-*s", critical ? '*' : ' ', clock,
                           p->width < NARROW ? " " : "  ", WORD_COLUMNS, word);
    painted(p, paint == FAINT ? FAINT : BOLD, head, strlen(head));
    paragraph(p, bk_columns(head), p->indent, paint, what);
}

static void detail(page *p, enum paint paint, const char *text)
{
    if (text[0])
        paragraph(p, 0, p->indent, paint, text);
}

static void labelled(page *p, enum paint paint, const char *label, const char *text)
{
    if (text)
        detail(p, paint, bk_format(p->arena, "%s: %s", label, bk_words_clean(p->arena, text)));
}

static const char *dish_name(page *p, size_t dish)
{
    return bk_words_clean(p->arena, p->timeline->plan->dishes[dish].name);
}

static void start_row(page *p, const bk_row *row)
{
    const bk_placed *placed = &p->timeline->stages[row->placed];
    const bk_stage *stage = &p->timeline->plan->stages[placed->stage];
    const char *word = stage->attention == BK_HANDS   ? "DO"
                       : stage->in_oven               ? "IN"
                       : stage->attention == BK_WATCH ? "watch"
                                                      : "leave";
    enum paint paint = stage->attention == BK_HANDS || stage->in_oven ? BOLD : PLAIN;
    row_line(p, row, p->marks && placed->slack == 0, word, paint,
             bk_words_clean(p->arena, stage->text));
    detail(p, PLAIN,
           bk_format(p->arena, "%s: %s", dish_name(p, stage->dish),
                     bk_words_course(p->arena, p->timeline, placed)));
    if (placed->slack > 0)
        detail(
            p, PLAIN,
            bk_format(p->arena, "Can start up to %s later.", bk_minutes(p->arena, placed->slack)));
    detail(p, PLAIN, bk_words_windows(p->arena, p->timeline, placed));
    labelled(p, PLAIN, "Note", stage->note);
    labelled(p, LOUD, "CAUTION", stage->caution);
}

static void check_row(page *p, const bk_row *row)
{
    const bk_placed *placed = &p->timeline->stages[row->placed];
    const bk_stage *stage = &p->timeline->plan->stages[placed->stage];
    const bk_placed_check *check = &placed->checks[row->check];
    row_line(p, row, false, "CHECK", BOLD, bk_words_clean(p->arena, check->check->text));
    char *during = bk_format(p->arena, "%s, during: %s", dish_name(p, stage->dish),
                             bk_words_clean(p->arena, stage->text));
    if (check->end > check->start)
        during = bk_format(p->arena, "%s. Takes %s.", during,
                           bk_minutes(p->arena, check->end - check->start));
    detail(p, PLAIN, during);
}

static void out_row(page *p, const bk_row *row)
{
    const bk_placed *placed = &p->timeline->stages[row->placed];
    const bk_stage *stage = &p->timeline->plan->stages[placed->stage];
    row_line(p, row, false, "OUT", BOLD,
             bk_format(p->arena, "%s: out of the %s", dish_name(p, stage->dish),
                       bk_words_oven(p->arena, p->timeline->plan, stage->oven.equipment,
                                     placed->oven_number)));
}

static void oven_row(page *p, const bk_row *row)
{
    const bk_plan *plan = p->timeline->plan;
    const bk_oven_run *run = &p->timeline->ovens[row->run];
    char *oven = bk_words_oven(p->arena, plan, run->equipment, run->number);
    char *text;
    if (row->kind == BK_ROW_OVEN_OFF)
        text = bk_format(p->arena, "Turn the %s off", oven);
    else
        text = bk_format(p->arena, "Turn the %s %s to %s; hot at %s", oven,
                         run->from_cold ? "on," : "over",
                         bk_words_heat(p->arena, plan, run->equipment, run->temperature_c),
                         bk_words_clock(p->arena, plan->zone, run->on, run->ready));
    row_line(p, row, false, "OVEN", BOLD, text);
}

/* Dishes for the same minute come to the table together. Returns the last row
 * used. */
static size_t serve_rows(page *p, const bk_rows *rows, size_t index)
{
    const bk_row *row = &rows->items[index];
    const bk_plan *plan = p->timeline->plan;
    size_t last = index;
    while (last + 1 < rows->count && rows->items[last + 1].kind == BK_ROW_SERVE &&
           rows->items[last + 1].at == row->at)
        last++;
    for (size_t i = index; i <= last; i++) {
        size_t dish = rows->items[i].dish;
        bk_instant ready = bk_rows_dish_ready(p->timeline, dish);
        const char *what = dish_name(p, dish);
        if (plan->dishes[dish].serves > 0)
            what = bk_format(p->arena, "%s, for %" PRId64, what, plan->dishes[dish].serves);
        if (ready < row->at)
            what = bk_format(p->arena, "%s (ready since %s)", what,
                             bk_words_clock(p->arena, plan->zone, row->at, ready));
        if (i == index)
            row_line(p, row, false, "SERVE", BOLD, what);
        else
            detail(p, BOLD, what);
    }
    return last;
}

static void clock_row(page *p, const bk_row *row)
{
    int minutes = row->shift < 0 ? -row->shift : row->shift;
    row_line(p, row, false, "clock", PLAIN,
             bk_format(p->arena, "Clocks go %s by %s; all times are as clocks then show them",
                       row->shift < 0 ? "back" : "forward", bk_minutes(p->arena, minutes)));
}

static void window_row(page *p, const bk_row *row)
{
    const bk_window *window = &p->timeline->plan->kitchen.windows[row->window];
    static const char *const words[] = {
        [BK_ASLEEP] = "sleep", [BK_AWAY] = "away", [BK_BUSY] = "busy"};
    row_line(p, row, false, words[window->kind], FAINT,
             bk_words_window(p->arena, p->timeline->plan, window));
}

static void day_rows(page *p)
{
    bk_rows rows = bk_rows_of(p->arena, p->timeline);
    bk_instant day_end = INT64_MIN;
    for (size_t i = 0; i < rows.count; i++) {
        const bk_row *row = &rows.items[i];
        day_heading(p, row, &day_end);
        switch (row->kind) {
        case BK_ROW_CLOCK:
            clock_row(p, row);
            break;
        case BK_ROW_OUT:
            out_row(p, row);
            break;
        case BK_ROW_OVEN_OFF:
        case BK_ROW_OVEN_ON:
            oven_row(p, row);
            break;
        case BK_ROW_CHECK:
            check_row(p, row);
            break;
        case BK_ROW_START:
            start_row(p, row);
            break;
        case BK_ROW_SERVE:
            i = serve_rows(p, &rows, i);
            break;
        case BK_ROW_WINDOW:
            window_row(p, row);
            break;
        }
    }
}

static void bullet(page *p, const char *sign, const char *text)
{
    size_t columns = strlen(sign);
    bk_text_add(p->out, sign);
    paragraph(p, columns, columns, PLAIN, text);
}

static void impossible(page *p)
{
    const bk_timeline *t = p->timeline;
    paragraph(p, 0, 0, BOLD, bk_words_status(p->arena, t));
    if (t->why_count > 0) {
        blank_line(p);
        paragraph(p, 0, 0, PLAIN, "These do not fit together:");
        for (size_t i = 0; i < t->why_count; i++)
            bullet(p, "  - ", bk_words_fact(p->arena, &t->why[i]));
    }
    if (t->remedy_count > 0) {
        blank_line(p);
        paragraph(p, 0, 0, PLAIN, "Any one of these would make it possible:");
        for (size_t i = 0; i < t->remedy_count; i++)
            bullet(p, "  - ", bk_words_remedy(p->arena, t, &t->remedies[i]));
    }
}

static void warnings(page *p)
{
    const bk_timeline *t = p->timeline;
    if (t->warning_count == 0)
        return;
    blank_line(p);
    underlined(p, "Warnings", '-');
    for (size_t i = 0; i < t->warning_count; i++)
        if (!bk_words_repeated(t, i))
            bullet(p, "  ! ", bk_words_message(p->arena, &t->warnings[i]));
}

void bk_write_text(const bk_timeline *timeline, const bk_text_style *style, bk_text *out)
{
    int width = style->width == 0 ? 80 : style->width;
    width = width < 40 ? 40 : width > 200 ? 200 : width;
    page p = {.timeline = timeline,
              .arena = out->arena,
              .out = out,
              .width = (size_t)width,
              .indent = width < NARROW ? 14 : 16,
              .colour = style->colour};
    underlined(&p, bk_words_clean(p.arena, timeline->plan->occasion), '=');
    blank_line(&p);
    if (timeline->stage_count == 0) {
        impossible(&p);
    } else {
        head(&p);
        day_rows(&p);
    }
    warnings(&p);
}
