/* The curve of a cooling estimate as a picture. Lengths are tenths of what a
 * stylesheet calls a pixel. */
#include "write/cooling/words.h"
#include "write/picture/picture.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

enum {
    WIDTH = 6000,
    MARGIN = 150,
    LETTERS = 110,
    SMALL = 95,
    LEFT = 620, /* of the plot */
    RIGHT = WIDTH - 250,
    PLOT_HEIGHT = 2600,
    SHEET_WIDTH = 1600, /* tenths of a millimetre */
    TICK = 60,
    MOST_TIMES = 7,
    MOST_HEATS = 8,
    MOST_STEPS = 200
};

typedef struct picture {
    bk_svg svg; /* arena, out and y: there is no timeline */
    const bk_cooled *cooled;
    bk_course course;
    double low, high; /* degrees, bottom and top of the plot */
    int64_t span;     /* minutes, its whole width */
    int top, bottom;
} picture;

static int x_of(const picture *p, double minutes)
{
    return LEFT + (int)llround(minutes / (double)p->span * (RIGHT - LEFT));
}

static int y_of(const picture *p, double celsius)
{
    double part = (celsius - p->low) / (p->high - p->low);
    return p->bottom - (int)llround(part * (p->bottom - p->top));
}

static void wrapped(picture *p, int size, const char *attributes, const char *text)
{
    bool bold = strstr(attributes, "bold");
    bk_svg *svg = &p->svg;
    while (text[0]) {
        const char *next = NULL;
        size_t length = bk_markup_line(text, size, bold, WIDTH - 2 * MARGIN, &next);
        if (length == 0)
            return;
        svg->y += size * 5 / 4;
        bk_svg_text(svg, MARGIN, svg->y, size, attributes, bk_copy(svg->arena, text, length));
        text = next;
    }
}

/* The least usual step of which `span` takes no more than MOST_HEATS. */
static double usual_degrees(double span)
{
    static const double usual[] = {0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0};
    enum { USUAL = sizeof usual / sizeof *usual };
    size_t i = 0;
    while (i + 1 < USUAL && usual[i] * MOST_HEATS < span)
        i++;
    return usual[i];
}

static void axes(picture *p)
{
    bk_svg *svg = &p->svg;
    bk_units units = p->cooled->question.units;
    double low = bk_on_scale(units, p->low), high = bk_on_scale(units, p->high);
    double step = usual_degrees(high - low);
    for (int64_t i = (int64_t)ceil(low / step - 1e-9); (double)i * step <= high + 1e-9; i++) {
        double celsius = units.fahrenheit ? ((double)i * step - 32.0) / 1.8 : (double)i * step;
        int y = y_of(p, celsius);
        bk_text_addf(svg->out, "<path d=\"M%d %dH%d\" stroke=\"#ccc\" stroke-width=\"6\"/>\n", LEFT,
                     y, RIGHT);
        bk_svg_text(svg, LEFT - 60, y + 34, SMALL, "text-anchor=\"end\"",
                    bk_celsius(svg->arena, units, celsius));
    }
    int64_t minutes = bk_usual_minutes(p->span, MOST_TIMES);
    for (int64_t at = 0; at <= p->span; at += minutes) {
        int x = x_of(p, (double)at);
        const char *text = at == 0 ? "0" : bk_minutes(svg->arena, at);
        int half = bk_markup_width(text, SMALL, false) / 2;
        bk_text_addf(svg->out, "<path d=\"M%d %dv%d\" stroke=\"#111\" stroke-width=\"10\"/>\n", x,
                     p->bottom, TICK);
        if (x + half <= WIDTH)
            bk_svg_text(svg, x, p->bottom + TICK + 110, SMALL, "text-anchor=\"middle\"", text);
    }
    bk_text_addf(svg->out,
                 "<path d=\"M%d %dV%dH%d\" fill=\"none\" stroke=\"#111\" stroke-width=\"12\"/>\n",
                 LEFT, p->top, p->bottom, RIGHT);
}

/* The points of one end's curve, from the last to the first when `back`. */
static void add_points(picture *p, enum bk_heat_end end, bool back)
{
    size_t count = p->course.count;
    for (size_t i = 0; i < count; i++) {
        size_t at = back ? count - 1 - i : i;
        bk_text_addf(p->svg.out, "%s%d %d", i == 0 && !back ? "M" : "L",
                     x_of(p, p->course.minutes[at]), y_of(p, p->course.celsius[end][at]));
    }
}

static void curve(picture *p, enum bk_heat_end end, const char *attributes)
{
    bk_text_add(p->svg.out, "<path d=\"");
    add_points(p, end, false);
    bk_text_addf(p->svg.out, "\" fill=\"none\" stroke=\"#111\" %s/>\n", attributes);
}

static void curves(picture *p)
{
    bk_text_add(p->svg.out, "<path d=\"");
    add_points(p, BK_HEAT_STRONG, false);
    add_points(p, BK_HEAT_WEAK, true);
    bk_text_add(p->svg.out, "Z\" fill=\"#ddd\"/>\n");
}

static void lines(picture *p)
{
    curve(p, BK_HEAT_STRONG, "stroke-width=\"8\" stroke-dasharray=\"36 24\"");
    curve(p, BK_HEAT_WEAK, "stroke-width=\"8\" stroke-dasharray=\"36 24\"");
    curve(p, BK_HEAT_TYPICAL, "stroke-width=\"26\"");
    int y = y_of(p, p->cooled->question.to_c);
    bk_text_addf(p->svg.out,
                 "<path d=\"M%d %dH%d\" stroke=\"#111\" stroke-width=\"14\" "
                 "stroke-dasharray=\"80 40\"/>\n",
                 LEFT, y, RIGHT);
}

/* A line from where a curve meets the target up to its time. Words stand to its left
 * and each row higher than the one before, so that no line crosses them. */
static void meeting(picture *p, int row, const char *name, int64_t minutes, bool bold)
{
    bk_svg *svg = &p->svg;
    const char *text = bk_format(svg->arena, "%s %s", name, bk_minutes(svg->arena, minutes));
    int x = x_of(p, (double)minutes), y = p->top - 60 - row * 130;
    int meets = y_of(p, p->cooled->question.to_c);
    int least = MARGIN + bk_markup_width(text, LETTERS, bold);
    bk_text_addf(svg->out,
                 "<path d=\"M%d %dV%d\" stroke=\"#111\" stroke-width=\"%d\"/>\n"
                 "<circle cx=\"%d\" cy=\"%d\" r=\"40\" fill=\"#111\"/>\n",
                 x, meets, y - 80, bold ? 14 : 6, x, meets);
    bk_svg_text(svg, x - 50 > least ? x - 50 : least, y, LETTERS,
                bold ? "font-weight=\"bold\" text-anchor=\"end\"" : "text-anchor=\"end\"", text);
}

static char *answer_words(picture *p)
{
    bk_arena *arena = p->svg.arena;
    const bk_heat_answer *a = &p->cooled->answer;
    return bk_format(arena, "Likely %s until %s, is at %s; least %s, most %s.",
                     bk_minutes(arena, a->likely_minutes), bk_cooled_point(p->cooled),
                     bk_cooled_celsius(arena, p->cooled, p->cooled->question.to_c),
                     bk_minutes(arena, a->least_minutes), bk_minutes(arena, a->most_minutes));
}

static void draw(picture *p)
{
    const bk_heat_answer *a = &p->cooled->answer;
    bk_svg *svg = &p->svg;
    svg->y = 60;
    wrapped(p, 170, "font-weight=\"bold\"", bk_cooled_title(svg->arena, p->cooled));
    wrapped(p, LETTERS, "", bk_format(svg->arena, "%s.", bk_cooled_course(svg->arena, p->cooled)));
    p->top = svg->y + 620;
    p->bottom = p->top + PLOT_HEIGHT;
    curves(p);
    axes(p);
    lines(p);
    meeting(p, 0, "least", a->least_minutes, false);
    meeting(p, 1, "likely", a->likely_minutes, true);
    meeting(p, 2, "most", a->most_minutes, false);
    svg->y = p->bottom + TICK + 160;
    wrapped(
        p, LETTERS, "",
        bk_format(svg->arena,
                  "Thick line: %s, as is likely. Grey, between the dashed lines: from the least "
                  "to the most. Level dashes: %s, the target.",
                  bk_cooled_point(p->cooled),
                  bk_cooled_celsius(svg->arena, p->cooled, p->cooled->question.to_c)));
    const char *notes[BK_COOLED_MOST_NOTES];
    size_t count = bk_cooled_notes(svg->arena, p->cooled, notes);
    for (size_t i = 0; i < count; i++) {
        svg->y += 40;
        wrapped(p, LETTERS, "", notes[i]);
    }
    svg->y += 120;
}

void bk_write_cooling_svg(const bk_cooled *cooled, bk_text *out)
{
    bk_text drawn = bk_text_new(out->arena);
    picture p = {.svg = {.arena = out->arena, .out = &drawn},
                 .cooled = cooled,
                 .course = bk_course_of(out->arena, cooled, MOST_STEPS)};
    bk_course_range(&p.course, cooled, &p.low, &p.high);
    p.span = (int64_t)(p.course.count - 1) * p.course.step;
    draw(&p);

    int64_t sheet_height = (int64_t)SHEET_WIDTH * p.svg.y / WIDTH;
    bk_text_addf(out,
                 "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                 "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" "
                 "width=\"%d.%dmm\" height=\"%" PRId64 ".%" PRId64 "mm\" role=\"img\" "
                 "aria-labelledby=\"bakeset-title bakeset-description\" "
                 "font-family=\"Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif\" "
                 "fill=\"#111\">\n<title id=\"bakeset-title\">",
                 WIDTH, p.svg.y, SHEET_WIDTH / 10, SHEET_WIDTH % 10, sheet_height / 10,
                 sheet_height % 10);
    bk_markup_add(out, bk_cooled_title(out->arena, cooled));
    bk_text_add(out, "</title>\n<desc id=\"bakeset-description\">");
    bk_markup_add(out, answer_words(&p));
    bk_text_addf(out, "</desc>\n<rect width=\"%d\" height=\"%d\" fill=\"#fff\"/>\n", WIDTH,
                 p.svg.y);
    bk_text_add_bytes(out, drawn.data, drawn.length);
    bk_text_add(out, "</svg>\n");
}
