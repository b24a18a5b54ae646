/* The steps at a glance: a line each, for a narrow window. */
#include "write/page/page.h"
#include "write/words/words.h"

#include <string.h>

enum { TIME_AND_WORD = 13 };

typedef struct page {
    bk_arena *arena;
    bk_text *out;
    size_t width;
    bool ascii;
} page;

/* One line of `text` after `before`, which is ASCII; what does not fit is left out with dots. */
static void line(page *p, const char *before, const char *text)
{
    const char *shown = p->ascii ? bk_words_ascii(p->arena, text) : text;
    size_t room = p->width - strlen(before);
    const char *next = NULL, *rest = NULL;
    size_t length = bk_wrap_line(shown, room, &next);
    if (next[0])
        length = bk_wrap_line(shown, room - 3, &rest);
    bk_text_addf(p->out, "%s%.*s%s\n", before, (int)length, shown, next[0] ? "..." : "");
}

static bool turns_an_oven(const bk_rows *rows, size_t from, size_t last)
{
    for (size_t i = from; i <= last; i++)
        if (rows->items[i].kind == BK_ROW_OVEN_ON || rows->items[i].kind == BK_ROW_OVEN_OFF)
            return true;
    return false;
}

/* Returns the last row used. */
static size_t movement(page *p, const bk_timeline *timeline, const bk_rows *rows, size_t index,
                       bool *cautions)
{
    size_t last = index;
    const bk_row *row = &rows->items[index];
    bk_said said = bk_say_movement(p->arena, timeline, rows, index, &last);
    bool caution = said.caution[0] != '\0';
    *cautions |= caution;
    const char *head =
        bk_format(p->arena, "%s %-5s %c", bk_clock(p->arena, timeline->plan->zone, row->at),
                  said.word, caution ? '!' : ' ');
    if (last > index && turns_an_oven(rows, index, last)) { /* its heat is what one looks for */
        for (size_t i = index; i <= last;
             i++, head = bk_format(p->arena, "%*s", TIME_AND_WORD, "")) {
            bk_said one = bk_say(p->arena, timeline, &rows->items[i]);
            line(p, head, one.brief ? one.brief : one.what);
        }
        return last;
    }
    line(p, head, said.brief && last == index ? said.brief : said.what);
    for (size_t i = 0; i < said.also_count; i++)
        line(p, bk_format(p->arena, "%*s", TIME_AND_WORD, ""), said.also[i]);
    return last;
}

void bk_write_short(const bk_timeline *timeline, const bk_text_style *style, bk_text *out)
{
    const bk_zone *zone = timeline->plan->zone;
    int width = style->width == 0 ? 40 : style->width;
    width = width < 40 ? 40 : width > 200 ? 200 : width;
    page p = {.arena = out->arena, .out = out, .width = (size_t)width, .ascii = style->ascii};
    bk_rows rows = bk_rows_of(p.arena, timeline);
    bk_rows_join(p.arena, timeline, &rows);
    bk_instant day_end = INT64_MIN;
    bool cautions = false;
    line(&p, "", bk_words_clean(p.arena, timeline->plan->occasion));
    line(&p, "START BY ", bk_moment_short(p.arena, zone, bk_rows_first(timeline)));
    for (size_t i = 0; i < timeline->plan->note_count; i++)
        line(&p, "", bk_words_clean(p.arena, timeline->plan->notes[i]));
    for (size_t i = 0; i < rows.count; i++) {
        bk_instant at = rows.items[i].at;
        if (at >= day_end) {
            char *moment = bk_moment_short(p.arena, zone, at);
            day_end = bk_next_day_start(zone, at);
            bk_text_add(out, "\n");
            line(&p, "", bk_copy(p.arena, moment, strlen(moment) - strlen(" 00:00")));
        }
        i = movement(&p, timeline, &rows, i, &cautions);
    }
    if (cautions || timeline->warning_count > 0)
        bk_text_add(out, "\n");
    if (cautions)
        line(&p, "", "! CAUTION: without --short it says why");
    if (timeline->warning_count > 0)
        line(&p, "", bk_format(p.arena, "Warnings: %zu, without --short", timeline->warning_count));
}
