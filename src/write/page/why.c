/* Why a timeline, or one stage of it, is where it is, in words. */
#include "write/page/page.h"
#include "write/words/words.h"

#include <inttypes.h>

static void item(bk_text *out, const bk_text_style *style, const char *sign, const char *text)
{
    bk_wrap_item(out, style->width > 0 ? (size_t)style->width : 80, sign, text);
}

static void list(bk_text *out, const bk_text_style *style, const bk_plan *plan,
                 const bk_fact *facts, size_t count)
{
    size_t lines = 0;
    const char **line = bk_chain_lines(out->arena, plan, facts, count, &lines);
    for (size_t i = 0; i < lines; i++)
        item(out, style, bk_format(out->arena, "%3zu. ", i + 1), line[i]);
}

/* Each fact is needed by the others alone: rules that are not listed may take over. */
static void closing(bk_text *out, const bk_text_style *style, const bk_reasons *reasons)
{
    if (reasons->count < 2)
        return;
    bk_text_add(out, "\n");
    item(out, style, "",
         reasons->irreducible
             ? "Each of these is needed: without any one of them, the others alone would allow a "
               "later start."
             : "Some of these may not be needed: the search ended before all were tried without.");
}

void bk_write_why_start(const bk_timeline *timeline, const bk_reasons *reasons,
                        const bk_text_style *style, bk_text *out)
{
    const bk_plan *plan = timeline->plan;
    bk_arena *arena = out->arena;
    const bk_placed *first = &timeline->stages[0];
    item(out, style, "",
         bk_format(arena, "The first step starts on %s: %s (%s).",
                   bk_moment(arena, plan->zone, timeline->start),
                   bk_words_clean(arena, plan->stages[first->stage].text),
                   bk_words_clean(arena, bk_stage_name(arena, plan, first->stage))));
    bk_text_add(out, "\n");
    if (!reasons->proved) {
        item(out, style, "",
             timeline->status == BK_TIMELINE_OPTIMAL
                 ? "The search ended before it could say what fixes that; give it more --effort."
                 : "It is not proved that nothing can start later; give the search more --effort.");
        return;
    }
    item(out, style, "", "It cannot all start later, because:");
    list(out, style, plan, reasons->facts, reasons->count);
    closing(out, style, reasons);
}

static void write_price(const bk_timeline *timeline, const bk_reasons *reasons,
                        const bk_text_style *style, bk_text *out)
{
    bk_arena *arena = out->arena;
    int64_t more = reasons->waiting - timeline->waiting;
    int64_t breaks = reasons->interruptions - timeline->interruptions;
    item(out, style, "",
         breaks > 0
             ? "It could start later if others moved, but hands would then be full more often when "
               "something wants to be seen to."
         : more > 0
             ? bk_format(arena,
                         "It could start later if others moved, but the dishes would then wait %s "
                         "longer in all, finished before they are served.",
                         bk_minutes(arena, more))
             : "It could start later if others moved, at no cost.");
}

void bk_write_why_stage(const bk_timeline *timeline, size_t stage, const bk_reasons *reasons,
                        const bk_text_style *style, bk_text *out)
{
    const bk_plan *plan = timeline->plan;
    bk_arena *arena = out->arena;
    const bk_placed *placed = bk_timeline_placed(timeline, stage);
    item(out, style, "",
         bk_format(arena, "%s: %s. It starts on %s and ends at %s.",
                   bk_words_clean(arena, bk_stage_name(arena, plan, stage)),
                   bk_words_clean(arena, plan->stages[stage].text),
                   bk_moment(arena, plan->zone, placed->start),
                   bk_clock_seen_from(arena, plan->zone, placed->start, placed->end)));
    bk_text_add(out, "\n");
    if (placed->slack > 0) {
        item(out, style, "",
             bk_format(arena, "With all others where they are it can start up to %s later.",
                       bk_minutes(arena, placed->slack)));
    } else {
        item(out, style, "",
             "With all others where they are it cannot start a minute later, because:");
        list(out, style, plan, placed->pinned_by, placed->pinned_count);
    }
    bk_text_add(out, "\n");
    if (reasons->possible) {
        write_price(timeline, reasons, style, out);
    } else if (reasons->proved) {
        item(out, style, "",
             "Nor could it if the others moved and the first step started no earlier than it does, "
             "because:");
        list(out, style, plan, reasons->facts, reasons->count);
        closing(out, style, reasons);
    } else {
        item(out, style, "",
             "Whether moving others would help was not settled; give the search more --effort.");
    }
}
