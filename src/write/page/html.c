/* A page that works from a file: what is to do now, the steps to tick off, the picture, what to
 * buy. All that a cook needs stands in it without its script (page.js), which adds the clock.
 * Nothing is fetched. */
#include "write/page/face.h"
#include "write/page/page.h"
#include "write/picture/picture.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <string.h>

#define REMIND                                                                                     \
    "Times are a plan, not a sign that food is safe to eat: check it as your local food-safety "   \
    "advice says."

typedef struct page {
    const bk_timeline *timeline;
    bk_arena *arena;
    bk_text *out;
    bool marks;
    size_t step; /* number of the last one written */
    bk_telling telling;
    size_t *begun;    /* by index in plan.stages: the step that begins it, 0: none so far */
    uint64_t version; /* a digest of the steps so far */
} page;

/* <tag>text</tag>; `attributes` may be "". Nothing for an empty text. */
static void element(page *p, const char *tag, const char *attributes, const char *text)
{
    if (!text || !text[0])
        return;
    bk_text_addf(p->out, "<%s%s%s>", tag, attributes[0] ? " " : "", attributes);
    bk_markup_add(p->out, text);
    bk_text_addf(p->out, "</%s>", tag);
}

static void raw(page *p, const char *markup)
{
    bk_text_add(p->out, markup);
}

/* The same text with a number kept on one line with its unit and its range. */
static const char *unbroken(page *p, const char *text)
{
    bk_text out = bk_text_new(p->arena);
    for (const char *c = text; *c; c++) {
        bool after_digit = c > text && c[-1] >= '0' && c[-1] <= '9';
        if (after_digit && *c == ' ')
            bk_text_add(&out, "\xc2\xa0");
        else if (after_digit && *c == '-' && c[1] >= '0' && c[1] <= '9')
            bk_text_add(&out, "\xe2\x80\x91");
        else
            bk_text_add_bytes(&out, c, 1);
    }
    return out.data;
}

/* The tins and tools of a kitchen are what its stages take out of the cupboard. */
static bool is_taken_out(const bk_plan *plan, size_t equipment)
{
    if (plan->kitchen.equipment[equipment].kind != BK_TOOL)
        return false;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        for (size_t k = 0; k < stage->need_count; k++)
            if (stage->needs[k].equipment == equipment)
                return true;
        for (size_t k = 0; k < stage->hold_count; k++)
            if (stage->holds[k].equipment == equipment)
                return true;
    }
    return false;
}

static bool has_needs(const bk_plan *plan)
{
    for (size_t i = 0; i < plan->dish_count; i++)
        if (plan->dishes[i].ingredient_count > 0)
            return true;
    for (size_t i = 0; i < plan->kitchen.equipment_count; i++)
        if (is_taken_out(plan, i))
            return true;
    return false;
}

/* FNV-1a, 64 bits: tells plans apart in what a browser keeps, and protects nothing. */
static uint64_t digest(uint64_t before, const char *text)
{
    uint64_t hash = before ? before : UINT64_C(14695981039346656037);
    for (const char *c = text; *c; c++)
        hash = (hash ^ (unsigned char)*c) * UINT64_C(1099511628211);
    return hash;
}

/* ------------------------------------------------------------------- head */

static void term(page *p, const char *name, const char *text)
{
    element(p, "dt", "", name);
    element(p, "dd", "", text);
    raw(p, "\n");
}

static void head(page *p)
{
    const bk_timeline *t = p->timeline;
    raw(p, "<header>\n");
    element(p, "h1", "", bk_words_clean(p->arena, t->plan->occasion));
    raw(p, "\n<p class=\"begin\"><span>Start by</span> ");
    element(p, "strong", "", bk_say_start(p->arena, t));
    raw(p, "</p>\n<p class=\"begin\"><span>On the table</span> ");
    element(p, "strong", "", bk_say_serve(p->arena, t));
    raw(p, "</p>\n");
    for (size_t i = 0; i < t->plan->note_count; i++) {
        element(p, "p", "class=\"changed\"", bk_words_clean(p->arena, t->plan->notes[i]));
        raw(p, "\n");
    }
    raw(p, "</header>\n");
}

/* Filled and shown by the script. */
static void board(page *p)
{
    raw(p,
        "<section id=\"now\" class=\"board\" aria-labelledby=\"now-heading\" hidden=\"\">\n"
        "<div class=\"hours\"><h2 id=\"now-heading\" tabindex=\"-1\">Now</h2> "
        "<span id=\"clock\" role=\"timer\" aria-label=\"The time\"></span> "
        "<span id=\"late\"></span></div>\n"
        "<p id=\"calm\" hidden=\"\"></p>\n"
        "<div id=\"doing-part\" hidden=\"\"><ul id=\"doing\" role=\"list\"></ul></div>\n"
        "<div id=\"running-part\" hidden=\"\"><h3>Running by itself</h3>"
        "<ul id=\"running\" role=\"list\"></ul></div>\n"
        "<div id=\"next-part\" hidden=\"\"><h3>Next</h3><ul id=\"next\" role=\"list\"></ul></div>\n"
        "<div class=\"aids\"><button id=\"bell\" type=\"button\" aria-pressed=\"false\">Bell"
        "</button><button id=\"awake\" type=\"button\" aria-pressed=\"false\" hidden=\"\">Screen "
        "stays "
        "on</button></div>\n"
        "<p id=\"kept\" hidden=\"\">This browser keeps no ticks for a page from a file.</p>\n"
        "<p id=\"say\" class=\"sight\" role=\"status\"></p>\n</section>\n");
}

static char *day_id(page *p, bk_instant at)
{
    return bk_copy(p->arena, bk_instant_rfc3339(p->arena, p->timeline->plan->zone, at), 10);
}

/* "Thu 3 Dec" */
static char *day_short(page *p, bk_instant at)
{
    char *moment = bk_moment_short(p->arena, p->timeline->plan->zone, at);
    return bk_copy(p->arena, moment, strlen(moment) - strlen(" 00:00"));
}

static void ways(page *p, const bk_rows *rows)
{
    const bk_timeline *t = p->timeline;
    bk_instant day_end = INT64_MIN;
    raw(p, "<nav aria-label=\"On this page\"><ul>\n");
    for (size_t i = 0; i < rows->count; i++) {
        bk_instant at = rows->items[i].at;
        if (at < day_end)
            continue;
        day_end = bk_next_day_start(t->plan->zone, at);
        bk_text_addf(p->out, "<li><a href=\"#day-%s\">%s</a></li>\n", day_id(p, at),
                     day_short(p, at));
    }
    size_t count = bk_words_warning_count(t);
    if (count > 0)
        bk_text_addf(p->out, "<li><a href=\"#warnings\">Warnings (%zu)</a></li>\n", count);
    if (count < t->warning_count)
        raw(p, "<li><a href=\"#allergens\">Allergens</a></li>\n");
    if (has_needs(t->plan))
        raw(p, "<li><a href=\"#needs\">To buy</a></li>\n");
    raw(p, "<li><a href=\"#picture\">Picture</a></li>\n</ul></nav>\n");
}

/* ------------------------------------------------------------------ steps */

/* Who is there, where, how long: what DO and "leave" say already is for the screen alone. */
static void course(page *p, const char *text)
{
    static const char *const known[] = {" hands on", "by itself for ", "by itself, "};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        const char *at = strstr(text, known[i]);
        if (!at || (i > 0 && at > text))
            continue;
        bk_markup_add(p->out, unbroken(p, bk_copy(p->arena, text, (size_t)(at - text))));
        element(p, "span", "class=\"seen\"", known[i]);
        text = at + strlen(known[i]);
        break;
    }
    bk_markup_add(p->out, unbroken(p, text));
}

/* Of which dish, where, how long, until when. Paper leaves out the dish where the step says it,
 * and what stands in the steps around. */
static void detail(page *p, const bk_said *said)
{
    bool told = said->dish != SIZE_MAX && bk_tells_dish(&p->telling, said->dish, said->what);
    const char *name = said->dish == SIZE_MAX
                           ? ""
                           : bk_words_clean(p->arena, p->timeline->plan->dishes[said->dish].name);
    size_t length = strlen(name);
    if (length == 0 || strncmp(said->detail, name, length) != 0) {
        element(p, "span", "class=\"more\"", unbroken(p, said->detail));
        return;
    }
    const char *rest = said->detail + length;
    bool during = rest[0] == ',';
    raw(p, told && during ? "<span class=\"more seen\">" : "<span class=\"more\">");
    element(p, "span", told ? "class=\"seen\"" : "",
            during ? name : bk_format(p->arena, "%s: ", name));
    rest += during ? 0 : strlen(": ");
    if (during)
        element(p, "span", "class=\"seen\"", unbroken(p, rest));
    else
        course(p, rest);
    raw(p, "</span>");
}

static void row_body(page *p, const bk_said *said)
{
    raw(p, "<span class=\"body\">");
    element(p, "span", "class=\"word\"", said->word);
    raw(p, " ");
    element(p, "span", "class=\"what\"", said->what);
    if (p->marks && said->no_later)
        raw(p, "<span class=\"sign\">\xc2\xa0<span role=\"img\" aria-label=\"can't start later\" "
               "title=\"can't start later\">\xe2\x97\x86</span></span>");
    for (size_t i = 0; i < said->also_count; i++)
        element(p, "span", "class=\"more dish\"", said->also[i]);
    detail(p, said);
    element(p, "span", "class=\"more\"", unbroken(p, said->slack));
    element(p, "span", "class=\"more seen\"", said->windows);
    if (said->note[0])
        element(p, "span", "class=\"more\"", bk_format(p->arena, "Note: %s", said->note));
    if (said->caution[0]) {
        raw(p, "<span class=\"caution\"><strong>Caution:</strong> ");
        bk_markup_add(p->out, said->caution);
        raw(p, "</span>");
    }
    raw(p, "</span>");
}

/* The weekday is for paper, where the day's heading may be overleaf. */
static void clock_of(page *p, bk_instant at)
{
    const bk_zone *zone = p->timeline->plan->zone;
    bk_text_addf(p->out, "<time datetime=\"%s\"><span class=\"day\">%.3s </span>%s</time>",
                 bk_instant_rfc3339(p->arena, zone, at), bk_moment_short(p->arena, zone, at),
                 bk_clock(p->arena, zone, at));
}

static void end_of(page *p, bk_text *ended, size_t stage, size_t *before)
{
    size_t step = p->begun[stage];
    if (step > 0 && step != *before)
        bk_text_addf(ended, "%sstep-%zu", ended->length > 0 ? " " : "", step);
    *before = step;
}

/* What runs no longer once this movement is made: what comes out, and what a stage that begins
 * follows. The steps that began them, with blanks between. */
static const char *ended_by(page *p, const bk_rows *rows, size_t first, size_t last)
{
    const bk_timeline *t = p->timeline;
    bk_text ended = bk_text_new(p->arena);
    bk_text_add(&ended, "");
    size_t before = 0;
    for (size_t i = first; i <= last; i++) {
        const bk_row *row = &rows->items[i];
        if (row->kind != BK_ROW_OUT && row->kind != BK_ROW_START)
            continue;
        size_t index = t->stages[row->placed].stage;
        const bk_stage *stage = &t->plan->stages[index];
        if (row->kind == BK_ROW_OUT)
            end_of(p, &ended, index, &before);
        for (size_t k = 0; row->kind == BK_ROW_START && k < stage->link_count; k++)
            if (!stage->links[k].from_start)
                end_of(p, &ended, stage->links[k].stage, &before);
        if (row->kind == BK_ROW_START)
            p->begun[index] = p->step;
    }
    return ended.data;
}

/* A touch that nobody has spoken of is shown for so long, as src/page/site/moment.js has it. */
enum { FRESH = 3 }; /* minutes */

/* When this was done, or what goes on by itself was begun; INT64_MIN: not yet. */
static bk_instant row_done(const bk_timeline *t, const bk_row *row)
{
    const bk_plan *plan = t->plan;
    const bk_placed *placed = row->placed == SIZE_MAX ? NULL : &t->stages[row->placed];
    const bk_stage *stage = placed ? &plan->stages[placed->stage] : NULL;
    bool done = stage && stage->progress == BK_DONE;
    switch (row->kind) {
    case BK_ROW_START:
        if (stage->attention == BK_HANDS)
            return done ? placed->end : INT64_MIN;
        if (stage->progress == BK_RUNNING && stage->assumed && plan->now - placed->start < FRESH)
            return INT64_MIN;
        return bk_has_begun(stage) ? placed->start : INT64_MIN;
    case BK_ROW_OUT:
        return done ? placed->end : INT64_MIN;
    case BK_ROW_CHECK:
        return done || row->until + FRESH <= plan->now ? row->at : INT64_MIN;
    case BK_ROW_SERVE:
        return plan->dishes[row->dish].served ? row->at : INT64_MIN;
    case BK_ROW_OVEN_ON:
        return row->until <= plan->now || row->at + FRESH <= plan->now ? row->at : INT64_MIN;
    case BK_ROW_OVEN_OFF:
        return row->at < plan->now ? row->at : INT64_MIN;
    case BK_ROW_CLOCK:
    case BK_ROW_WINDOW:
        break;
    }
    return INT64_MIN;
}

/* The same of a whole movement: all of it is done. */
static bk_instant movement_done(const bk_timeline *t, const bk_rows *rows, size_t first,
                                size_t last)
{
    bk_instant latest = INT64_MIN;
    for (size_t i = first; t->plan->under_way && i <= last; i++) {
        bk_instant done = row_done(t, &rows->items[i]);
        if (done == INT64_MIN)
            return INT64_MIN;
        latest = done > latest ? done : latest;
    }
    return latest;
}

/* A movement that somebody does or starts can be ticked; the others only tell. Returns the
 * last row used. */
static size_t row_item(page *p, const bk_rows *rows, size_t index)
{
    const bk_row *row = &rows->items[index];
    size_t last = index;
    bk_said said = bk_say_movement(p->arena, p->timeline, rows, index, &last);
    bool still = row->kind == BK_ROW_WINDOW || row->kind == BK_ROW_CLOCK;
    const char *until = bk_instant_rfc3339(p->arena, p->timeline->plan->zone, said.until);
    p->step++;
    p->version = digest(p->version, bk_instant_utc(p->arena, row->at));
    p->version = digest(p->version, until);
    p->version = digest(p->version, said.word);
    p->version = digest(p->version, said.what);
    bk_instant done = still ? INT64_MIN : movement_done(p->timeline, rows, index, last);
    bool is_done = done != INT64_MIN;
    bk_text_addf(p->out, "<li id=\"step-%zu\"", p->step);
    if (said.acts || is_done)
        bk_text_addf(p->out, " class=\"%s\"", !is_done ? "acts" : said.acts ? "acts done" : "done");
    if (is_done)
        bk_text_addf(p->out, " data-done=\"%s\"",
                     bk_instant_rfc3339(p->arena, p->timeline->plan->zone, done));
    if (said.until > row->at)
        bk_text_addf(p->out, " data-until=\"%s\"", until);
    const char *ended = ended_by(p, rows, index, last);
    if (ended[0])
        bk_text_addf(p->out, " data-ends=\"%s\"", ended);
    raw(p, said.runs ? " data-runs=\"\">" : ">");
    raw(p, still     ? "<div class=\"still\">"
           : is_done ? "<label><input type=\"checkbox\" autocomplete=\"off\" checked=\"\">"
                     : "<label><input type=\"checkbox\" autocomplete=\"off\">");
    clock_of(p, row->at);
    row_body(p, &said);
    raw(p, still ? "</div></li>\n" : "</label><div class=\"real\"></div></li>\n");
    return last;
}

static void steps(page *p, const bk_rows *rows)
{
    const bk_zone *zone = p->timeline->plan->zone;
    bk_instant day_end = INT64_MIN;
    raw(p, "<section id=\"steps\" aria-labelledby=\"steps-heading\">\n"
           "<h2 id=\"steps-heading\">Steps</h2>\n"
           "<button id=\"fold\" type=\"button\" aria-expanded=\"false\" hidden=\"\"></button>\n"
           "<div class=\"days\">\n");
    for (size_t i = 0; i < rows->count; i++) {
        bk_instant at = rows->items[i].at;
        if (at >= day_end) {
            raw(p, i > 0 ? "</ol>\n" : "");
            day_end = bk_next_day_start(zone, at);
            element(p, "h3", bk_format(p->arena, "id=\"day-%s\"", day_id(p, at)),
                    bk_date_long(p->arena, zone, at));
            raw(p, "\n<ol class=\"steps\" role=\"list\">\n");
        }
        i = row_item(p, rows, i);
    }
    raw(p, "</ol>\n</div>\n</section>\n");
}

/* --------------------------------------------------------------- the rest */

/* Warnings, or what is said of allergens. */
static void warnings(page *p, const char *id, const char *title, bool of_allergens)
{
    const bk_timeline *t = p->timeline;
    bool any = false;
    for (size_t i = 0; i < t->warning_count; i++) {
        if (bk_words_of_allergens(&t->warnings[i]) != of_allergens)
            continue;
        if (!any)
            raw(p, bk_format(p->arena,
                             "<section id=\"%s\" aria-labelledby=\"%s-heading\">\n"
                             "<h2 id=\"%s-heading\">%s</h2>\n<ul class=\"facts\">\n",
                             id, id, id, title));
        any = true;
        raw(p, "<li>");
        bk_message message = t->warnings[i];
        const char *place = bk_words_source(p->arena, message.place);
        message.place = (bk_place){0};
        bk_markup_add(p->out, bk_words_message(p->arena, &message));
        if (place) /* in the plan's file: of no use on paper */
            element(p, "span", "class=\"seen\"",
                    bk_format(p->arena, " (%s)", bk_words_clean(p->arena, place)));
        raw(p, "</li>\n");
    }
    if (any)
        raw(p, "</ul>\n</section>\n");
}

static void picture(page *p)
{
    raw(p, "<section id=\"picture\" class=\"picture\" aria-labelledby=\"picture-heading\">\n"
           "<h2 id=\"picture-heading\">Picture</h2>\n"
           "<div class=\"scroll\" tabindex=\"0\" role=\"group\" "
           "aria-labelledby=\"picture-heading\">\n");
    bk_svg_in_page(p->timeline, p->out);
    raw(p, "</div>\n</section>\n");
}

/* With the time it is needed, when the plan says for which stage. */
static void ingredient(page *p, const bk_ingredient *ingredient)
{
    const bk_timeline *t = p->timeline;
    const char *amount = bk_words_clean(p->arena, ingredient->amount);
    const char *item = bk_words_clean(p->arena, ingredient->item);
    char *text = bk_format(p->arena, "%s%s%s", amount, amount[0] ? " " : "", item);
    const bk_placed *placed =
        ingredient->stage == SIZE_MAX ? NULL : bk_timeline_placed(t, ingredient->stage);
    bk_instant at = placed ? placed->start : INT64_MIN;
    raw(p, "<li>");
    bk_markup_add(p->out, unbroken(p, text));
    if (at != INT64_MIN) {
        raw(p, ",<span class=\"seen\"> for</span> ");
        bk_markup_add(p->out,
                      unbroken(p, bk_clock_seen_from(p->arena, t->plan->zone, t->start, at)));
    }
    raw(p, "</li>\n");
}

static void tools(page *p)
{
    const bk_plan *plan = p->timeline->plan;
    bool any = false;
    for (size_t i = 0; i < plan->kitchen.equipment_count; i++) {
        if (!is_taken_out(plan, i))
            continue;
        raw(p, any ? "" : "<h3>Tins and tools</h3>\n<ul role=\"list\">\n");
        any = true;
        element(p, "li", "",
                unbroken(p, bk_words_clean(p->arena, plan->kitchen.equipment[i].name)));
        raw(p, "\n");
    }
    raw(p, any ? "</ul>\n" : "");
}

static void needs(page *p)
{
    const bk_plan *plan = p->timeline->plan;
    if (!has_needs(plan))
        return;
    raw(p, "<section id=\"needs\" class=\"needs\" aria-labelledby=\"needs-heading\">\n"
           "<h2 id=\"needs-heading\">To buy, and to take out first</h2>\n");
    for (size_t i = 0; i < plan->dish_count; i++) {
        const bk_dish *dish = &plan->dishes[i];
        if (dish->ingredient_count == 0)
            continue;
        char *name = bk_words_clean(p->arena, dish->name);
        if (dish->serves > 0)
            name = bk_format(p->arena, "%s, for %" PRId64, name, dish->serves);
        element(p, "h3", "", name);
        raw(p, "\n<ul role=\"list\">\n");
        for (size_t k = 0; k < dish->ingredient_count; k++)
            ingredient(p, &dish->ingredients[k]);
        raw(p, "</ul>\n");
    }
    tools(p);
    raw(p, "</section>\n");
}

static void about(page *p)
{
    const bk_timeline *t = p->timeline;
    raw(p, "<section class=\"about\" aria-labelledby=\"about-heading\">\n"
           "<h2 id=\"about-heading\">About this plan</h2>\n<dl>\n");
    if (t->ready != t->plan->last_serve)
        term(p, "Ready", bk_moment(p->arena, t->plan->zone, t->ready));
    term(p, "Plan", bk_words_status(p->arena, t));
    term(p, "In hand", bk_say_in_hand(p->arena, t, "\xe2\x97\x86"));
    raw(p, "</dl>\n</section>\n");
}

static void impossible(page *p)
{
    const bk_timeline *t = p->timeline;
    raw(p, "<header>\n");
    element(p, "h1", "", bk_words_clean(p->arena, t->plan->occasion));
    raw(p, "\n<p class=\"begin\">");
    element(p, "strong", "", bk_words_status(p->arena, t));
    raw(p, "</p>\n</header>\n<main>\n");
    if (t->why_count > 0) {
        raw(p, "<h2>These do not fit together</h2>\n<ul class=\"facts\">\n");
        size_t lines = 0;
        const char **line = bk_chain_lines(p->arena, t->plan, t->why, t->why_count, &lines);
        for (size_t i = 0; i < lines; i++)
            element(p, "li", "", line[i]);
        raw(p, "</ul>\n");
    }
    if (t->remedy_count > 0) {
        raw(p, "<h2>Any one of these would make it possible</h2>\n<ul class=\"facts\">\n");
        for (size_t i = 0; i < t->remedy_count; i++)
            element(p, "li", "", bk_words_remedy(p->arena, t, &t->remedies[i]));
        raw(p, "</ul>\n");
    } else if (t->why_count > 0) {
        element(p, "p", "", bk_words_no_remedy());
        raw(p, "\n");
    }
    warnings(p, "warnings", "Warnings", false);
    warnings(p, "allergens", "Allergens", true);
    raw(p, "</main>\n");
}

/* A CSS string: all but letters, digits and what is beyond ASCII as its number. */
static char *css_string(bk_arena *arena, const char *text)
{
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "\"");
    for (const unsigned char *c = (const unsigned char *)text; *c; c++)
        if (*c >= 0x80 || (*c >= '0' && *c <= '9') || (*c >= 'A' && *c <= 'Z') ||
            (*c >= 'a' && *c <= 'z'))
            bk_text_add_bytes(&out, (const char *)c, 1);
        else
            bk_text_addf(&out, "\\%X ", *c);
    bk_text_add(&out, "\"");
    return out.data;
}

/* What stands at the head and foot of every sheet of paper. */
static void sheet_heads(page *p)
{
    const bk_plan *plan = p->timeline->plan;
    const char *date = bk_date_long(p->arena, plan->zone, plan->last_serve);
    bk_text_addf(p->out,
                 "@page{@top-left{font:10pt serif;content:%s}@top-right{font:10pt serif;content:%s}"
                 "@bottom-right{font:10pt serif;content:counter(page) \" of \" counter(pages)}"
                 "@bottom-left{font:9pt serif;content:\"%s\"}}\n",
                 css_string(p->arena, bk_words_clean(p->arena, plan->occasion)),
                 css_string(p->arena, date), REMIND);
}

static void lines(page *p, const char *const *line)
{
    for (; *line; line++)
        raw(p, *line);
}

static void document_head(page *p)
{
    raw(p, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    /* The picture has styles at its elements; nothing that the cook wrote is in any. */
    bk_text_addf(p->out,
                 "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                 "script-src 'sha256-%s'; style-src 'unsafe-inline'; base-uri 'none'; "
                 "form-action 'none'\">\n",
                 bk_html_script_sha256);
    raw(p, "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    element(p, "title", "", bk_words_clean(p->arena, p->timeline->plan->occasion));
    raw(p, "\n<style>\n");
    lines(p, bk_html_style);
    sheet_heads(p);
    raw(p, "</style>\n</head>\n");
}

static void possible(page *p)
{
    bk_rows rows = bk_rows_of(p->arena, p->timeline);
    bk_rows_join(p->arena, p->timeline, &rows);
    head(p);
    raw(p, "<main>\n");
    board(p);
    ways(p, &rows);
    needs(p); /* first on paper; on a screen the style puts it behind the steps */
    steps(p, &rows);
    about(p);
    warnings(p, "warnings", "Warnings", false);
    warnings(p, "allergens", "Allergens", true);
    element(p, "p", "class=\"remind\"", REMIND);
    raw(p, "\n");
    picture(p);
    raw(p, "</main>\n<script>");
    lines(p, bk_html_script);
    raw(p, "</script>\n");
}

void bk_write_html(const bk_timeline *timeline, bk_text *out)
{
    page p = {.timeline = timeline,
              .arena = out->arena,
              .out = out,
              .telling = bk_telling_of(out->arena, timeline->plan),
              .begun = BK_NEW(out->arena, size_t, timeline->plan->stage_count),
              .marks = timeline->stage_count > 0 && bk_say_marks(timeline)};
    document_head(&p);
    if (timeline->stage_count == 0) {
        raw(&p, "<body>\n");
        impossible(&p);
    } else {
        /* The body's tag tells the steps' version, so they are written first. */
        bk_text inside = bk_text_new(p.arena);
        p.out = &inside;
        possible(&p);
        p.out = out;
        bk_text_addf(out, "<body data-plan=\"%016" PRIx64 "\" data-version=\"%016" PRIx64 "\">\n",
                     digest(0, timeline->plan->occasion), p.version);
        bk_text_add(out, inside.data);
    }
    raw(&p, "</body>\n</html>\n");
}
