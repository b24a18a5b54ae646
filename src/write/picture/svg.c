/* The picture on sheets: what stands on each, its head, all of them one below the other. */
#include "write/picture/svg.h"
#include "write/picture/picture.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <string.h>

enum { TITLE = 200, LARGE = 125, AFTER_HEAD = 70, MOST_PARTS = 8 };

/* Every pair of text and ground has a contrast of at least 4.5 to 1 (WCAG 2.1, 1.4.3) in
 * both; nothing is told by a colour alone. */
const char *const bk_svg_style =
    ".bakeset-picture{background:#fff}.bakeset-picture+.bakeset-picture{margin-top:2em}"
    ".bakeset-picture text{fill:#1d1b18;font-variant-numeric:tabular-nums}"
    ".bakeset-picture .s{fill:#5a554d}"
    ".bakeset-picture .n{stroke:#fff;stroke-width:26;stroke-linejoin:round;paint-order:stroke}"
    ".bakeset-picture .p{fill:#fff}"
    ".bakeset-picture .g{fill:#efece6}"
    ".bakeset-picture .k{fill:#1d1b18}"
    ".bakeset-picture .o{fill:#fff;stroke:#1d1b18;stroke-width:10}"
    ".bakeset-picture .l{fill:none;stroke:#1d1b18}"
    ".bakeset-picture .t{fill:none;stroke:#c4beb3}"
    ".bakeset-picture .q{fill:none;stroke:#8b8478}"
    ".bakeset-picture .h{fill:none;stroke:#1d1b18;stroke-width:20;stroke-linejoin:round}"
    "@media screen and (prefers-color-scheme:dark){"
    ".bakeset-picture{background:#17181a}"
    ".bakeset-picture text{fill:#f0ece4}"
    ".bakeset-picture .s{fill:#bdb6aa}"
    ".bakeset-picture .n{stroke:#17181a}"
    ".bakeset-picture .p{fill:#17181a}"
    ".bakeset-picture .g{fill:#26282b}"
    ".bakeset-picture .k{fill:#f0ece4}"
    ".bakeset-picture .o{fill:#17181a;stroke:#f0ece4}"
    ".bakeset-picture .l,.bakeset-picture .h{stroke:#f0ece4}"
    ".bakeset-picture .t{stroke:#4c4f54}"
    ".bakeset-picture .q{stroke:#85888d}}"
    "@media(forced-colors:active){"
    ".bakeset-picture{background:Canvas;forced-color-adjust:none}"
    ".bakeset-picture text,.bakeset-picture .s,.bakeset-picture .k{fill:CanvasText}"
    ".bakeset-picture .n{stroke:Canvas}"
    ".bakeset-picture .p,.bakeset-picture .g,.bakeset-picture .o{fill:Canvas}"
    ".bakeset-picture .o,.bakeset-picture .l,.bakeset-picture .t,.bakeset-picture .q,"
    ".bakeset-picture .h{stroke:CanvasText}}";

void bk_svg_text(bk_svg *svg, int x, int y, int size, const char *attributes, const char *text)
{
    int fixed = bk_markup_fixed_width(text, size, strstr(attributes, "\"bold\""));
    bk_text_addf(svg->out, "<text x=\"%d\" y=\"%d\" font-size=\"%d\"%s%s", x, y, size,
                 attributes[0] ? " " : "", attributes);
    if (fixed > 0) /* in a face of other widths, too, it ends where it is to end */
        bk_text_addf(svg->out, " textLength=\"%d\" lengthAdjust=\"spacingAndGlyphs\"", fixed);
    bk_text_add(svg->out, ">");
    bk_markup_add(svg->out, text);
    bk_text_add(svg->out, "</text>\n");
}

/* ------------------------------------------------------------------ sheets */

typedef struct sheet {
    bk_text drawn;
    bk_instant from, to;
    int top, height; /* without the margins */
    bool used;       /* something stands on it */
} sheet;

typedef struct book {
    bk_svg *svg;
    bool whole; /* the first sheet has the occasion's whole head */
    sheet *sheets;
    size_t count, room;
    bk_svg_keys keys; /* of the sheet so far */
    size_t shortened; /* names that are not whole */
} book;

static char *start_words(bk_svg *svg)
{
    return bk_format(svg->arena, "Start by %s", bk_say_start(svg->arena, svg->timeline));
}

static char *serve_words(bk_svg *svg)
{
    return bk_format(svg->arena, "Serve %s", bk_say_serve(svg->arena, svg->timeline));
}

static void wrapped(bk_svg *svg, int size, const char *attributes, const char *text)
{
    bool bold = strstr(attributes, "bold");
    while (text[0]) {
        const char *next = NULL;
        size_t length = bk_markup_line(text, size, bold, BK_SVG_WIDTH, &next);
        if (length == 0)
            return;
        svg->y += size * 5 / 4;
        bk_svg_text(svg, svg->left, svg->y, size, attributes, bk_copy(svg->arena, text, length));
        text = next;
    }
}

static void clear_keys(bk_svg_keys *keys, size_t count)
{
    memset(keys->told, 0, count * sizeof *keys->told);
    keys->count = 0;
}

/* The head of a whole picture's first sheet, but for its first line. */
static void whole_head(bk_svg *svg)
{
    wrapped(svg, LARGE, "font-weight=\"bold\"", start_words(svg));
    wrapped(svg, LARGE, "", serve_words(svg));
    wrapped(svg, BK_SVG_TEXT, "", bk_words_status(svg->arena, svg->timeline));
}

static sheet *next_sheet(book *b)
{
    bk_svg *svg = b->svg;
    int top = BK_SVG_MARGIN;
    if (b->count > 0) {
        const sheet *before = &b->sheets[b->count - 1];
        int high = before->height + 2 * BK_SVG_MARGIN;
        top = before->top - BK_SVG_MARGIN +
              (high > BK_SVG_PAPER_HEIGHT ? high : BK_SVG_PAPER_HEIGHT) + BK_SVG_MARGIN;
    }
    sheet *s = BK_PUSH(svg->arena, b->sheets, b->count, b->room);
    *s = (sheet){.drawn = bk_text_new(svg->arena), .top = top};
    bk_text_add(&s->drawn, "");
    svg->out = &s->drawn;
    svg->signs = (bk_svg_signs){0};
    clear_keys(&svg->keys, svg->timeline->stage_count);
    clear_keys(&b->keys, svg->timeline->stage_count);
    svg->y = top + (b->count == 1 && b->whole ? TITLE : LARGE) * 5 / 4;
    if (b->count == 1 && b->whole)
        whole_head(svg);
    svg->y += AFTER_HEAD;
    return s;
}

static void end_sheet(book *b)
{
    bk_svg *svg = b->svg;
    sheet *s = &b->sheets[b->count - 1];
    bk_svg_legend(svg);
    s->height = svg->y - s->top;
}

/* What is left on the sheet when the lanes [first, last) have their place, and their numbers
 * and signs are explained. */
static int left_over(book *b, const bk_svg_drawing *d, size_t first, size_t last)
{
    bk_svg *svg = b->svg;
    size_t n = svg->timeline->stage_count;
    bk_svg_keys keys = {BK_NEW(svg->arena, bool, n), b->keys.count};
    memcpy(keys.told, b->keys.told, n * sizeof *keys.told);
    bk_svg_strip_keys(d, first, last, &keys);
    return b->sheets[b->count - 1].top + BK_SVG_HEIGHT - svg->y -
           bk_svg_strip_height(d, first, last) - bk_svg_legend_height(svg, &keys);
}

static void put(book *b, const bk_strip *strip, bk_svg_drawing *d, size_t first, size_t last)
{
    sheet *s = &b->sheets[b->count - 1];
    bk_svg_strip_keys(d, first, last, &b->keys);
    bk_svg_strip(b->svg, d, first, last);
    b->shortened += bk_svg_strip_shortened(d, first, last);
    s->from = s->used ? s->from : strip->from;
    s->to = strip->to;
    s->used = true;
}

static void turn_over(book *b)
{
    end_sheet(b);
    next_sheet(b);
}

/* A strip that is too high for a sheet and too short to be cut: as many lanes on each
 * sheet as it has room for, one at least. */
static void put_in_parts(book *b, const bk_strip *strip, bk_svg_drawing *d)
{
    size_t count = bk_svg_lane_count(d);
    for (size_t first = 0; first < count;) {
        size_t last = first + 1;
        if (b->sheets[b->count - 1].used && left_over(b, d, first, last) < 0)
            turn_over(b);
        while (last < count && left_over(b, d, first, last + 1) >= 0)
            last++;
        put(b, strip, d, first, last);
        first = last;
    }
}

/* Whether all lanes of a strip have room on what is left of the sheet. */
static bool fits(book *b, const bk_svg_drawing *d)
{
    return left_over(b, d, 0, bk_svg_lane_count(d)) >= 0;
}

/* A strip on this sheet, or else the next; what is too high for any is cut into the fewest
 * equal parts that are not. */
static void put_strip(book *b, const bk_strip *strip)
{
    bk_svg *svg = b->svg;
    bk_svg_drawing *d = bk_svg_lay_out(svg, strip);
    size_t lanes = bk_svg_lane_count(d);
    if (lanes == 0)
        return;
    if (fits(b, d)) {
        put(b, strip, d, 0, lanes);
        return;
    }
    if (b->sheets[b->count - 1].used) {
        turn_over(b);
        if (fits(b, d)) {
            put(b, strip, d, 0, lanes);
            return;
        }
    }
    for (size_t parts = 2; parts <= MOST_PARTS; parts++) {
        bk_strip part[MOST_PARTS];
        bk_svg_drawing *drawn[MOST_PARTS];
        size_t good = 0;
        if (!bk_axis_cut(svg->arena, svg->timeline->plan->zone, strip, parts, part))
            break;
        for (; good < parts; good++) {
            drawn[good] = bk_svg_lay_out(svg, &part[good]);
            if (!fits(b, drawn[good]))
                break;
        }
        for (size_t i = 0; i < parts && good == parts; i++) {
            if (!fits(b, drawn[i]))
                turn_over(b);
            if (bk_svg_lane_count(drawn[i]) > 0)
                put(b, &part[i], drawn[i], 0, bk_svg_lane_count(drawn[i]));
        }
        if (good == parts)
            return;
    }
    put_in_parts(b, strip, d);
}

/* ------------------------------------------------------------------- head */

static char *dates(bk_svg *svg, const sheet *s)
{
    const bk_zone *zone = svg->timeline->plan->zone;
    bk_instant last = s->to > s->from ? s->to - 1 : s->to;
    if (bk_day_start(zone, s->from) == bk_day_start(zone, last))
        return bk_date_long(svg->arena, zone, s->from);
    bk_civil first = bk_civil_at(zone, s->from);
    return bk_format(svg->arena, "%.3s %d %.3s to %s", bk_weekday_name(bk_weekday(first)),
                     first.day, bk_month_name(first.month), bk_date_long(svg->arena, zone, last));
}

/* The occasion, the sheet's dates and its number. */
static void sheet_head(const book *b, size_t index, bk_text *out)
{
    bk_svg *svg = b->svg;
    const sheet *s = &b->sheets[index];
    int size = index == 0 && b->whole ? TITLE : LARGE, y = s->top + size;
    svg->out = out;
    char *right = dates(svg, s);
    if (b->count > 1)
        right = bk_format(svg->arena, "%s, page %zu of %zu", right, index + 1, b->count);
    int wide = bk_markup_width(right, BK_SVG_TEXT, false);
    bk_svg_text(svg, svg->left + BK_SVG_WIDTH, y, BK_SVG_TEXT, "text-anchor=\"end\"", right);
    const char *title = bk_words_clean(svg->arena, svg->timeline->plan->occasion);
    int room = BK_SVG_WIDTH - wide - 100;
    while (size > LARGE && bk_markup_width(title, size, true) > room)
        size -= 15;
    bk_svg_text(svg, svg->left, y, size, "font-weight=\"bold\"",
                bk_markup_shorten(svg->arena, title, size, true, room));
}

static char *description(bk_svg *svg, size_t sheets)
{
    const bk_timeline *t = svg->timeline;
    if (t->stage_count == 0)
        return bk_words_status(svg->arena, t);
    char *more = sheets > 1 ? bk_format(svg->arena, " On %zu sheets.", sheets) : "";
    return bk_format(svg->arena,
                     "%s. %s. %zu step%s of %zu dish%s against time, one lane for each: hands, "
                     "ovens, places, bench, tools.%s",
                     start_words(svg), serve_words(svg), t->stage_count,
                     t->stage_count == 1 ? "" : "s", t->plan->dish_count,
                     t->plan->dish_count == 1 ? "" : "es", more);
}

static void impossible(bk_svg *svg)
{
    const bk_timeline *t = svg->timeline;
    size_t lines = 0;
    const char **line = bk_chain_lines(svg->arena, t->plan, t->why, t->why_count, &lines);
    wrapped(svg, TITLE, "font-weight=\"bold\"", bk_words_clean(svg->arena, t->plan->occasion));
    wrapped(svg, BK_SVG_TEXT, "", bk_words_status(svg->arena, t));
    svg->y += AFTER_HEAD;
    for (size_t i = 0; i < lines; i++)
        wrapped(svg, BK_SVG_TEXT, "", bk_format(svg->arena, "%zu. %s", i + 1, line[i]));
    svg->y += 100;
}

/* ---------------------------------------------------------------- document */

static void patterns(bk_text *out)
{
    bk_text_add(out,
                "<defs>\n"
                "<pattern id=\"bakeset-reserved\" width=\"60\" height=\"60\" "
                "patternUnits=\"userSpaceOnUse\"><path d=\"M-15 75L75 -15M-15 15L15 -15M45 75L75 "
                "45\" class=\"q\" stroke-width=\"8\"/></pattern>\n"
                "<pattern id=\"bakeset-stored\" width=\"56\" height=\"28\" "
                "patternUnits=\"userSpaceOnUse\"><path d=\"M6 7h16M34 21h16\" class=\"q\" "
                "stroke-width=\"8\"/></pattern>\n"
                "</defs>\n");
}

static bool marks_later(const bk_timeline *timeline)
{
    size_t later = timeline->stage_count - bk_words_critical_count(timeline);
    return later > 0 && later * 2 <= timeline->stage_count;
}

static book book_on(bk_svg *svg, bool whole, const bk_axis *axis)
{
    book b = {.svg = svg, .whole = whole};
    b.keys.told = BK_NEW(svg->arena, bool, svg->timeline->stage_count);
    next_sheet(&b);
    for (size_t i = 0; i < axis->count; i++)
        put_strip(&b, &axis->strips[i]);
    end_sheet(&b);
    return b;
}

/* Whether all on one strip says as much as strips by day do, on less paper. */
static bool is_smaller(const book *one, const book *by_day)
{
    const sheet *last = &one->sheets[one->count - 1], *other = &by_day->sheets[by_day->count - 1];
    return one->shortened <= by_day->shortened &&
           last->top + last->height < other->top + other->height;
}

static void find_curves(bk_svg *svg)
{
    const bk_timeline *t = svg->timeline;
    size_t made = 0;
    svg->curves = BK_NEW(svg->arena, const bk_curve *, t->stage_count);
    for (size_t i = 0; i < t->stage_count && made < BK_MOST_CURVES; i++) {
        if (!bk_has_curve(t->plan, &t->stages[i]))
            continue;
        bk_curve *curve = BK_NEW(svg->arena, bk_curve, 1);
        *curve = bk_curve_of(svg->arena, t->plan, &t->stages[i]);
        svg->curves[i] = curve;
        made++;
    }
}

static book make_sheets(bk_svg *svg, bool whole)
{
    const bk_timeline *t = svg->timeline;
    svg->keys.told = BK_NEW(svg->arena, bool, t->stage_count);
    if (t->stage_count == 0) {
        book b = book_on(svg, whole, &(bk_axis){0});
        b.sheets[0].drawn = bk_text_new(svg->arena);
        svg->out = &b.sheets[0].drawn;
        svg->y = b.sheets[0].top;
        impossible(svg);
        b.sheets[0].height = svg->y - b.sheets[0].top;
        return b;
    }
    svg->lanes = bk_lanes_of(svg->arena, t);
    svg->rows = bk_rows_of(svg->arena, t);
    svg->telling = bk_telling_of(svg->arena, t->plan);
    find_curves(svg);
    bk_axis axis = bk_axis_of(svg->arena, t, BK_SVG_PLOT);
    book by_day = book_on(svg, whole, &axis);
    axis = bk_axis_whole(svg->arena, t, BK_SVG_PLOT);
    if (axis.count == 0)
        return by_day;
    book one = book_on(svg, whole, &axis);
    return is_smaller(&one, &by_day) ? one : by_day;
}

static void open_svg(bk_svg *svg, bk_text *out, size_t number, size_t sheets, const char *box)
{
    const char *id = number > 1 ? bk_format(svg->arena, "-%zu", number) : "";
    bk_text_addf(out,
                 "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"bakeset-picture\" %s "
                 "role=\"img\" aria-labelledby=\"bakeset-title%s bakeset-description%s\" "
                 "font-family=\"Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif\">\n"
                 "<title id=\"bakeset-title%s\">",
                 box, id, id, id);
    char *title = bk_format(svg->arena, "Timeline: %s",
                            bk_words_clean(svg->arena, svg->timeline->plan->occasion));
    if (number > 1)
        title = bk_format(svg->arena, "%s, sheet %zu", title, number);
    bk_markup_add(out, title);
    bk_text_addf(out, "</title>\n<desc id=\"bakeset-description%s\">", id);
    bk_markup_add(out, number > 1 ? title : description(svg, sheets));
    bk_text_add(out, "</desc>\n");
    if (number <= 1) {
        bk_text_addf(out, "<style>%s%s</style>\n", bk_svg_style,
                     number == 0 ? "@page{size:A4;margin:0}" : "");
        patterns(out);
    }
}

/* A page has its own, for a picture that is on one sheet. */
static bool has_head(const book *b)
{
    return b->svg->timeline->stage_count > 0 && (b->whole || b->count > 1);
}

static void draw_sheet(const book *b, size_t index, bk_text *out)
{
    const sheet *s = &b->sheets[index];
    bk_text_addf(out, "<g class=\"sheet\">\n");
    if (has_head(b))
        sheet_head(b, index, out);
    bk_text_add_bytes(out, s->drawn.data, s->drawn.length);
    bk_text_add(out, "</g>\n");
}

static book book_of(bk_svg *svg, bool whole)
{
    svg->left = BK_SVG_MARGIN;
    svg->marks_later = svg->timeline->stage_count > 0 && marks_later(svg->timeline);
    return make_sheets(svg, whole);
}

/* Tenths of a millimetre. */
static int millimetres(int units)
{
    return (int)((int64_t)units * 2100 / BK_SVG_PAPER_WIDTH);
}

void bk_write_svg(const bk_timeline *timeline, bk_text *out)
{
    bk_svg svg = {.timeline = timeline, .arena = out->arena};
    const book b = book_of(&svg, true);
    const sheet *last = &b.sheets[b.count - 1];
    /* One sheet is as high as what stands on it. */
    int height = last->top + last->height + BK_SVG_MARGIN;
    if (b.count > 1 && last->height + 2 * BK_SVG_MARGIN < BK_SVG_PAPER_HEIGHT)
        height = last->top - BK_SVG_MARGIN + BK_SVG_PAPER_HEIGHT;
    int wide = millimetres(BK_SVG_PAPER_WIDTH), high = millimetres(height);
    if (b.count > 1)
        high = (int)((int64_t)2970 * height / BK_SVG_PAPER_HEIGHT);
    bk_text_add(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    open_svg(&svg, out, 0, b.count,
             bk_format(out->arena, "viewBox=\"0 0 %d %d\" width=\"%d.%dmm\" height=\"%d.%dmm\"",
                       BK_SVG_PAPER_WIDTH, height, wide / 10, wide % 10, high / 10, high % 10));
    bk_text_addf(out, "<rect width=\"%d\" height=\"%d\" class=\"p\"/>\n", BK_SVG_PAPER_WIDTH,
                 height);
    for (size_t i = 0; i < b.count; i++)
        draw_sheet(&b, i, out);
    bk_text_add(out, "</svg>\n");
}

void bk_svg_in_page(const bk_timeline *timeline, bk_text *out)
{
    bk_svg svg = {.timeline = timeline, .arena = out->arena};
    const book b = book_of(&svg, false);
    for (size_t i = 0; i < b.count; i++) {
        const sheet *s = &b.sheets[i];
        int head = has_head(&b) ? 0 : LARGE * 5 / 4 + AFTER_HEAD;
        open_svg(&svg, out, i + 1, b.count,
                 bk_format(out->arena, "viewBox=\"%d %d %d %d\" style=\"--wide:44rem\"",
                           BK_SVG_MARGIN, s->top + head, BK_SVG_WIDTH, s->height - head));
        draw_sheet(&b, i, out);
        bk_text_add(out, "</svg>\n");
    }
}
