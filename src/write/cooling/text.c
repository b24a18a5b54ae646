/* A cooling estimate as text. */
#include "write/cooling/words.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

enum { MOST_ROWS = 12, TIME_COLUMNS = 14, HEAT_COLUMNS = 7, MOST_PLOT = 60 };

typedef struct page {
    bk_arena *arena;
    bk_text *out;
    size_t width;
    const bk_cooled *cooled;
} page;

static page page_of(const bk_text_style *style, bk_text *out)
{
    int width = style->width == 0 ? 80 : style->width;
    return (page){.arena = out->arena,
                  .out = out,
                  .width = (size_t)(width < 40    ? 40
                                    : width > 200 ? 200
                                                  : width)};
}

static void heading(page *p, const char *title)
{
    bk_text_addf(p->out, "\n%s\n", title);
    bk_text_add_repeated(p->out, '-', bk_columns(title));
    bk_text_add(p->out, "\n");
}

static void head(page *p)
{
    const bk_cooled *c = p->cooled;
    const bk_heat_answer *a = &c->answer;
    bk_wrap_item(p->out, p->width, "", bk_cooled_title(p->arena, c));
    bk_wrap_item(p->out, p->width, "", bk_cooled_course(p->arena, c));
    bk_text_add(p->out, "\n");
    bk_wrap_item(p->out, p->width, "LIKELY    ",
                 bk_format(p->arena, "%s until %s, is at %s",
                           bk_minutes(p->arena, a->likely_minutes), bk_cooled_point(c),
                           bk_cooled_celsius(p->arena, c, c->question.to_c)));
    bk_wrap_item(p->out, p->width, "LEAST     ",
                 bk_format(p->arena, "%s, where the surroundings take heat well",
                           bk_minutes(p->arena, a->least_minutes)));
    bk_wrap_item(p->out, p->width, "MOST      ",
                 bk_format(p->arena, "%s, where they do not: crowded, or covered",
                           bk_minutes(p->arena, a->most_minutes)));
}

/* ------------------------------------------------------------------ curve */

typedef struct scale {
    double low, high; /* degrees at its ends */
    size_t columns;
} scale;

static size_t column_of(const scale *plot, double celsius)
{
    double part = (celsius - plot->low) / (plot->high - plot->low);
    part = part < 0.0 ? 0.0 : part > 1.0 ? 1.0 : part;
    return (size_t)llround(part * (double)(plot->columns - 1));
}

static void put_at(char *row, size_t columns, size_t at, const char *text)
{
    size_t length = strlen(text);
    if (at + length > columns)
        at = columns - length;
    memcpy(row + at, text, length);
}

/* "4        6                     15": the ends, and the target where there is room. */
static void scale_row(page *p, const scale *plot, char *row)
{
    const bk_heat_question *q = &p->cooled->question;
    const char *low = bk_decimal(p->arena, bk_on_scale(q->units, plot->low), 1),
               *high = bk_decimal(p->arena, bk_on_scale(q->units, plot->high), 1);
    const char *target = bk_cooled_degrees(p->arena, p->cooled, q->to_c);
    size_t at = column_of(plot, q->to_c);
    memset(row, ' ', plot->columns);
    put_at(row, plot->columns, 0, low);
    put_at(row, plot->columns, plot->columns, high);
    if (at > strlen(low) && at + strlen(target) + strlen(high) + 1 <= plot->columns)
        put_at(row, plot->columns, at, target);
}

static void add_row(page *p, const char *time, const char *celsius, const char *row)
{
    size_t length = strlen(row);
    while (length > 0 && row[length - 1] == ' ')
        length--;
    bk_text_addf(p->out, "%*s", TIME_COLUMNS, time);
    bk_text_add_repeated(p->out, ' ', HEAT_COLUMNS - bk_columns(celsius));
    bk_text_addf(p->out, "%s   %.*s\n", celsius, (int)length, row);
}

static void curve(page *p)
{
    const bk_heat_question *q = &p->cooled->question;
    bk_course course = bk_course_of(p->arena, p->cooled, MOST_ROWS);
    size_t used = TIME_COLUMNS + HEAT_COLUMNS + 3;
    scale plot = {0};
    bk_course_range(&course, p->cooled, &plot.low, &plot.high);
    plot.columns = p->width - used < MOST_PLOT ? p->width - used : MOST_PLOT;
    char row[MOST_PLOT + 1] = {0};

    heading(p, "How it goes");
    scale_row(p, &plot, row);
    add_row(p, "after", q->units.fahrenheit ? "°F" : "°C", row);
    for (size_t i = 0; i < course.count; i++) {
        size_t a = column_of(&plot, course.celsius[BK_HEAT_STRONG][i]);
        size_t b = column_of(&plot, course.celsius[BK_HEAT_WEAK][i]);
        memset(row, ' ', plot.columns);
        row[column_of(&plot, q->to_c)] = ':';
        for (size_t at = a < b ? a : b; at <= (a < b ? b : a); at++)
            row[at] = '-';
        row[column_of(&plot, course.celsius[BK_HEAT_TYPICAL][i])] = 'o';
        double likely = bk_on_scale(q->units, course.celsius[BK_HEAT_TYPICAL][i]);
        int64_t tenths = llround(fabs(likely) * 10.0);
        add_row(p, bk_minutes(p->arena, (int64_t)course.minutes[i]),
                bk_format(p->arena, "%s%" PRId64 ".%" PRId64, likely < 0.0 && tenths > 0 ? "-" : "",
                          tenths / 10, tenths % 10),
                row);
    }
    bk_text_add(p->out, "\n");
    bk_wrap_item(p->out, p->width, "",
                 bk_format(p->arena,
                           "o is %s, as is likely; - from the least to the most; : is %s.",
                           p->cooled->answer.warming ? "the coldest point" : "the warmest point",
                           bk_cooled_celsius(p->arena, p->cooled, q->to_c)));
}

/* ----------------------------------------------------------------- changes */

static void what_matters(page *p)
{
    bk_heat_change changes[BK_HEAT_MOST_CHANGES];
    size_t count = bk_heat_sensitivities(p->arena, &p->cooled->question, changes);
    if (count == 0)
        return;
    heading(p, "What matters most");
    for (size_t i = 0; i < count; i++)
        bk_wrap_item(p->out, p->width, "  - ",
                     bk_format(p->arena, "%s: %s", bk_with_degrees(p->arena, changes[i].what),
                               bk_cooled_change(p->arena, &changes[i])));
}

static const char *time_of(page *p, const bk_heat_change *change)
{
    return change->answer.fault == BK_HEAT_OK ? bk_minutes(p->arena, change->answer.likely_minutes)
                                              : bk_cooled_change(p->arena, change);
}

/* One tin with the same amount, then as deep. */
static char *both(page *p, const bk_heat_change *amount, const bk_heat_change *as_deep)
{
    bk_units units = p->cooled->question.units;
    double asked = p->cooled->question.across, across = amount->question.across;
    return bk_format(
        p->arena,
        "%s instead of %s: %s with the same amount (%s deep), %s as deep (%s %% of the amount)",
        bk_length(p->arena, units, across, false), bk_length(p->arena, units, asked, false),
        time_of(p, amount), bk_length(p->arena, units, amount->question.deep, true),
        time_of(p, as_deep), bk_decimal(p->arena, 100.0 * pow(across / asked, 2.0), 0));
}

static void other_tins(page *p)
{
    bk_heat_change changes[BK_HEAT_MOST_CHANGES];
    size_t count = bk_heat_other_sizes(p->arena, &p->cooled->question, changes);
    if (count == 0)
        return;
    heading(p, "In another tin");
    for (size_t i = 0; i < count; i++) {
        const bk_heat_change *c = &changes[i];
        bool pair = i + 1 < count && changes[i + 1].question.across == c->question.across;
        bk_wrap_item(p->out, p->width, "  - ",
                     pair ? both(p, c, &changes[i + 1])
                          : bk_format(p->arena, "%s: %s", c->what, time_of(p, c)));
        i += pair;
    }
}

void bk_write_cooling_text(const bk_cooled *cooled, const bk_text_style *style, bk_text *out)
{
    page p = page_of(style, out);
    p.cooled = cooled;
    head(&p);
    curve(&p);
    what_matters(&p);
    other_tins(&p);
    const char *notes[BK_COOLED_MOST_NOTES];
    size_t count = bk_cooled_notes(p.arena, cooled, notes);
    bk_text_add(out, "\n");
    for (size_t i = 0; i < count; i++)
        bk_wrap_item(out, p.width, "! ", notes[i]);
}

void bk_write_foods(const bk_text_style *style, bk_text *out)
{
    enum { NAME_COLUMNS = 19 };
    page p = page_of(style, out);
    size_t count = 0;
    const bk_food *foods = bk_foods(&count);
    for (size_t i = 0; i < count; i++)
        bk_wrap_item(out, p.width, bk_format(p.arena, "%-*s", NAME_COLUMNS, foods[i].name),
                     bk_format(p.arena, "%s (%s)", foods[i].about, foods[i].source));
}
