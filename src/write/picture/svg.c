#include "write/picture/svg.h"
#include "write/picture/picture.h"
#include "write/words/words.h"

#include <string.h>

/* A sheet that fits both A4 and Letter with margins, in tenths of a millimetre. */
enum { SHEET_WIDTH = 1900, SHEET_HEIGHT = 2500 };

/* The picture's width in units, and its strips, are chosen so that letters come
 * out large on that sheet: a small plan is narrow, a large one needs the room. */
enum { NARROWEST = 6000, WIDEST = 14000, WIDTH_STEP = 1000, MOST_STRIPS = 6 };

/* Hundredths of a unit a minute: less is hard to read, more than enough is no
 * gain. */
enum { LEAST_SCALE = 900, ENOUGH_SCALE = 2200, MOST_SCALE = 12000 };

/* A plan of more stages than this is drawn as it comes, without the choice. */
enum { MANY_STAGES = 400 };

void bk_svg_text(bk_svg *svg, int x, int y, int size, const char *attributes, const char *text)
{
    bk_text_addf(svg->out, "<text x=\"%d\" y=\"%d\" font-size=\"%d\"%s%s>", x, y, size,
                 attributes[0] ? " " : "", attributes);
    bk_markup_add(svg->out, text);
    bk_text_add(svg->out, "</text>\n");
}

char *bk_svg_key(bk_arena *arena, size_t placed, size_t check)
{
    if (check == SIZE_MAX)
        return bk_format(arena, "%zu", placed + 1);
    if (check < 26)
        return bk_format(arena, "%zu%c", placed + 1, (int)('a' + check));
    return bk_format(arena, "%zu.%zu", placed + 1, check + 1);
}

const char *bk_svg_tint(size_t dish)
{
    static const char *const tints[] = {"#f7d6d6", "#d6e7f7", "#ddf0d2", "#fbedbf", "#e5daf4",
                                        "#d0eeea", "#fadfc2", "#e6e6e6", "#f6d3ea", "#e9edc4"};
    return tints[dish % (sizeof tints / sizeof tints[0])];
}

void bk_svg_diamond(bk_svg *svg, int x, int y)
{
    bk_text_addf(svg->out, "<path d=\"M%d %dl34 40l-34 40l-34 -40Z\" fill=\"#111\"/>", x, y - 40);
}

static void wrapped(bk_svg *svg, int x, int size, const char *attributes, const char *text)
{
    bool bold = strstr(attributes, "bold");
    while (text[0]) {
        const char *next = NULL;
        size_t length = bk_markup_line(text, size, bold, svg->width - BK_SVG_MARGIN - x, &next);
        if (length == 0)
            return;
        svg->y += size * 5 / 4;
        bk_svg_text(svg, x, svg->y, size, attributes, bk_copy(svg->arena, text, length));
        text = next;
    }
}

static void patterns(bk_text *out)
{
    bk_text_add(
        out,
        "<defs>\n"
        "<pattern id=\"bakeset-asleep\" width=\"80\" height=\"80\" patternUnits=\"userSpaceOnUse\">"
        "<path d=\"M-20 100L100 -20M-20 20L20 -20M60 100L100 60\" stroke=\"#999\" "
        "stroke-width=\"12\"/></pattern>\n"
        "<pattern id=\"bakeset-away\" width=\"80\" height=\"80\" patternUnits=\"userSpaceOnUse\">"
        "<path d=\"M-20 -20L100 100M60 -20L100 20M-20 60L20 100\" stroke=\"#999\" "
        "stroke-width=\"12\"/>"
        "<path d=\"M0 40H80\" stroke=\"#999\" stroke-width=\"8\"/></pattern>\n"
        "<pattern id=\"bakeset-busy\" width=\"80\" height=\"80\" patternUnits=\"userSpaceOnUse\">"
        "<circle cx=\"20\" cy=\"20\" r=\"14\" fill=\"#999\"/>"
        "<circle cx=\"60\" cy=\"60\" r=\"14\" fill=\"#999\"/></pattern>\n"
        "<pattern id=\"bakeset-heat\" width=\"40\" height=\"40\" patternUnits=\"userSpaceOnUse\">"
        "<path d=\"M10 0V40\" stroke=\"#333\" stroke-width=\"10\"/></pattern>\n"
        "</defs>\n");
}

static char *start_words(bk_svg *svg)
{
    return bk_format(svg->arena, "Start by %s", bk_say_start(svg->arena, svg->timeline));
}

static char *serve_words(bk_svg *svg)
{
    return bk_format(svg->arena, "Serve %s", bk_say_serve(svg->arena, svg->timeline));
}

static char *description(bk_svg *svg)
{
    const bk_timeline *t = svg->timeline;
    if (t->stage_count == 0)
        return bk_words_status(svg->arena, t);
    return bk_format(svg->arena,
                     "%s. %s. %zu steps of %zu dishes against time, one lane for each: hands, "
                     "ovens, places, tools. The numbers are listed below the lanes.",
                     start_words(svg), serve_words(svg), t->stage_count, t->plan->dish_count);
}

static void head(bk_svg *svg, bool title)
{
    const bk_timeline *t = svg->timeline;
    svg->y = 60;
    if (title)
        wrapped(svg, BK_SVG_MARGIN, 210, "font-weight=\"bold\"",
                bk_words_clean(svg->arena, t->plan->occasion));
    if (t->stage_count > 0 && title) {
        wrapped(svg, BK_SVG_MARGIN, 130, "font-weight=\"bold\"", start_words(svg));
        wrapped(svg, BK_SVG_MARGIN, 130, "", serve_words(svg));
    }
    if (title || t->stage_count == 0)
        wrapped(svg, BK_SVG_MARGIN, BK_SVG_TEXT, "", bk_words_status(svg->arena, t));
    svg->y += 120;
}

static void impossible(bk_svg *svg)
{
    const bk_timeline *t = svg->timeline;
    size_t lines = 0;
    const char **line = bk_chain_lines(svg->arena, t->plan, t->why, t->why_count, &lines);
    for (size_t i = 0; i < lines; i++)
        wrapped(svg, BK_SVG_MARGIN, BK_SVG_TEXT, "",
                bk_format(svg->arena, "%zu. %s", i + 1, line[i]));
    svg->y += 150;
}

static void take_layout(bk_svg *svg, int width, size_t strips)
{
    svg->width = width;
    svg->axis = bk_axis_of(svg->arena, svg->timeline, width - 2 * BK_SVG_MARGIN - BK_SVG_NAMES,
                           strips, MOST_SCALE);
}

/* How good a layout is: the size of its letters on the sheet, and a little for
 * longer bars, in which more words fit. `height`: of all but the strips. */
static int64_t worth(bk_svg *svg, int64_t height)
{
    int64_t scale = svg->axis.scale;
    for (size_t i = 0; i < svg->axis.count; i++)
        height += bk_svg_strip_height(svg, &svg->axis.strips[i]);
    int64_t across = (int64_t)SHEET_WIDTH * 100000 / svg->width;
    int64_t down = (int64_t)SHEET_HEIGHT * 100000 / height;
    if (scale > ENOUGH_SCALE)
        scale = ENOUGH_SCALE;
    int64_t letters = across < down ? across : down;
    return scale < LEAST_SCALE ? letters : letters * (1000 + scale / 3);
}

static void choose_layout(bk_svg *svg)
{
    int64_t best = -1;
    int best_width = WIDEST;
    size_t best_strips = MOST_STRIPS;
    svg->y = 700; /* about what the head takes */
    for (int width = NARROWEST; width <= WIDEST && svg->timeline->stage_count <= MANY_STAGES;
         width += WIDTH_STEP) {
        svg->width = width;
        int64_t rest = svg->y + bk_svg_legend_height(svg);
        for (size_t strips = 1; strips <= MOST_STRIPS; strips++) {
            take_layout(svg, width, strips);
            int64_t value = worth(svg, rest);
            if (value > best) {
                best = value;
                best_width = width;
                best_strips = strips;
            }
        }
    }
    take_layout(svg, best_width, best_strips);
}

static void body(bk_svg *svg, bool title)
{
    const bk_timeline *t = svg->timeline;
    if (t->stage_count == 0) {
        head(svg, title);
        impossible(svg);
        return;
    }
    svg->chain = bk_lanes_chain(svg->arena, t);
    svg->lanes = bk_lanes_of(svg->arena, t);
    choose_layout(svg);
    head(svg, title);
    for (size_t i = 0; i < svg->axis.count; i++)
        bk_svg_strip(svg, &svg->axis.strips[i]);
    bk_svg_legend(svg);
}

void bk_svg_document(const bk_timeline *timeline, bool standalone, bk_text *out)
{
    bk_text drawn = bk_text_new(out->arena);
    bk_svg svg = {.timeline = timeline, .arena = out->arena, .out = &drawn, .width = NARROWEST};
    body(&svg, standalone);

    int height = svg.y;
    int64_t sheet_width = SHEET_WIDTH, sheet_height = (int64_t)SHEET_WIDTH * height / svg.width;
    if (sheet_height > SHEET_HEIGHT) {
        sheet_height = SHEET_HEIGHT;
        sheet_width = (int64_t)SHEET_HEIGHT * svg.width / height;
    }
    if (standalone)
        bk_text_add(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    bk_text_addf(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" ", svg.width,
                 height);
    if (standalone)
        bk_text_addf(out, "width=\"%d.%dmm\" height=\"%d.%dmm\" ", (int)(sheet_width / 10),
                     (int)(sheet_width % 10), (int)(sheet_height / 10), (int)(sheet_height % 10));
    else /* wide enough to be read, also where the page has to scroll for it */
        bk_text_addf(out, "style=\"--wide:%drem\" ", 44 * svg.width / NARROWEST);
    bk_text_add(out,
                "role=\"img\" aria-labelledby=\"bakeset-title bakeset-description\" "
                "font-family=\"Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif\" "
                "fill=\"#111\">\n<title id=\"bakeset-title\">");
    bk_markup_add(out, bk_format(out->arena, "Timeline: %s",
                                 bk_words_clean(out->arena, timeline->plan->occasion)));
    bk_text_add(out, "</title>\n<desc id=\"bakeset-description\">");
    bk_markup_add(out, description(&svg));
    bk_text_addf(out, "</desc>\n");
    patterns(out);
    bk_text_addf(out, "<rect width=\"%d\" height=\"%d\" fill=\"#fff\"/>\n", svg.width, height);
    bk_text_add_bytes(out, drawn.data, drawn.length);
    bk_text_add(out, "</svg>\n");
}

void bk_write_svg(const bk_timeline *timeline, bk_text *out)
{
    bk_svg_document(timeline, true, out);
}
