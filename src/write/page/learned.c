/* What real times say of the written ones, in words. */
#include "write/page/page.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <math.h>

static void item(bk_text *out, const bk_text_style *style, const char *sign, const char *text)
{
    bk_wrap_item(out, style->width > 0 ? (size_t)style->width : 80, sign, text);
}

static const char *minutes(bk_arena *arena, double count)
{
    return bk_minutes(arena, (int64_t)llround(count));
}

/* "52 min, 55 min and 1 h 2 min" */
static const char *took(bk_arena *arena, const bk_stage_times *of)
{
    bk_text text = bk_text_new(arena);
    for (size_t i = 0; i < of->count; i++)
        bk_text_addf(&text, "%s%s",
                     i == 0               ? ""
                     : i + 1 == of->count ? " and "
                                          : ", ",
                     minutes(arena, of->minutes[i]));
    return text.data;
}

static const char *are_needed(size_t count)
{
    return BK_LEAST_TIMES - count == 1 ? "one more time is needed to propose a range"
                                       : "two more times are needed to propose a range";
}

static void add_apart(const bk_learned *learned, const bk_stage_times *of, bk_text *text)
{
    for (size_t i = 0; i < of->count; i++)
        if (of->apart[i])
            bk_text_addf(text, " %s on %s stands apart from the others and is left out.",
                         minutes(text->arena, of->minutes[i]),
                         bk_date_long(text->arena, learned->plan->zone, of->times[i]->at));
}

static void write_stage(const bk_learned *learned, const bk_stage_times *of,
                        const bk_text_style *style, bk_text *out)
{
    bk_text text = bk_text_new(out->arena);
    bool multiplied = false;
    for (size_t i = 0; i < of->count; i++)
        multiplied = multiplied || of->times[i]->times != 1.0;
    bk_text_addf(&text, "%s: ", bk_words_clean(out->arena, of->id));
    if (of->written)
        bk_text_addf(&text, "written %s, ", bk_words_clean(out->arena, of->written));
    else
        bk_text_addf(&text, "estimated %s, ",
                     bk_minutes(out->arena, learned->plan->stages[of->stage].range.likely));
    bk_text_addf(&text, "took %s%s", took(out->arena, of),
                 multiplied ? " (without the pace of the kitchen and the larger amount)" : "");
    if (of->older > 0)
        bk_text_addf(&text, " (%zu older ones do not count)", of->older);
    if (of->count < BK_LEAST_TIMES)
        bk_text_addf(&text, "; %s.", are_needed(of->count));
    else
        bk_text_add(&text, ".");
    add_apart(learned, of, &text);
    if (of->changes)
        bk_text_addf(&text, " Proposed: %s.", of->proposed);
    else if (of->proposed)
        bk_text_add(&text, " That is what is written.");
    item(out, style, "  ", text.data);
}

static void write_hands(const bk_learned *learned, const bk_text_style *style, bk_text *out)
{
    const bk_factor *hands = &learned->hands;
    bk_arena *arena = out->arena;
    if (hands->count < BK_LEAST_TIMES)
        return;
    double pace = learned->plan->kitchen.pace;
    bk_text_add(out, "\n");
    item(out, style, "",
         fabs(learned->pace - pace) < 1e-9
             ? bk_format(arena,
                         "Work by hand, %zu times: as long as written at the kitchen's pace.",
                         hands->count)
             : bk_format(arena,
                         "Work by hand, %zu times: %.2f times as long as written (the median). "
                         "Proposed for the kitchen: \"pace\": %.2f (it is %.2f). Take this or the "
                         "ranges above that are of work by hand: both together would count it "
                         "twice.",
                         hands->count, hands->ratio, learned->pace, pace));
}

static void write_oven(const bk_learned *learned, const bk_oven_times *of,
                       const bk_text_style *style, bk_text *out)
{
    const bk_equipment *oven = &learned->plan->kitchen.equipment[of->equipment];
    bk_arena *arena = out->arena;
    bk_text text = bk_text_new(arena);
    bk_text_addf(&text, "%s: hot after %.2f times as long as planned (the median of %zu).",
                 bk_words_clean(arena, oven->name), of->factor.ratio, of->factor.count);
    if (of->factor.count < BK_LEAST_TIMES)
        bk_text_addf(&text, " For a proposal %s.",
                     BK_LEAST_TIMES - of->factor.count == 1 ? "one more time is needed"
                                                            : "two more times are needed");
    else if (oven->warms > 0.0)
        bk_text_addf(&text, " Proposed: \"warms\": \"%.1f C/min\" (it is %.1f).",
                     oven->warms / of->factor.ratio, oven->warms);
    else
        bk_text_addf(&text, " Proposed: \"preheat\": \"%s\" (it is %s).",
                     minutes(arena, ceil((double)oven->preheat * of->factor.ratio - 1e-6)),
                     bk_minutes(arena, oven->preheat));
    item(out, style, "", text.data);
}

static void write_stages(const bk_learned *learned, const bk_text_style *style, bk_text *out)
{
    const bk_plan *plan = learned->plan;
    for (size_t s = 0; s < plan->source_count; s++) {
        bool headed = false;
        for (size_t i = 0; i < learned->stage_count; i++) {
            const bk_stage_times *of = &learned->stages[i];
            if (plan->stages[of->stage].range_place.source != plan->sources[s])
                continue;
            if (!headed)
                item(out, style, "", bk_words_clean(out->arena, plan->sources[s]->name));
            headed = true;
            write_stage(learned, of, style, out);
        }
    }
}

void bk_write_learned(const bk_learned *learned, const bk_text_style *style, bk_text *out)
{
    bk_arena *arena = out->arena;
    bool changes = false;
    if (learned->stage_count == 0)
        item(out, style, "",
             "There are no real times of this plan's stages yet: \"bakeset day finish\" keeps them "
             "beside the recipes.");
    write_stages(learned, style, out);
    for (size_t i = 0; i < learned->stage_count; i++)
        changes = changes || learned->stages[i].changes;
    if (learned->stage_count > 0 && learned->without > 0)
        item(out, style, "",
             learned->without == 1
                 ? "One other stage has no real times yet."
                 : bk_format(arena, "%zu other stages have no real times yet.", learned->without));
    write_hands(learned, style, out);
    for (size_t i = 0; i < learned->oven_count; i++)
        write_oven(learned, &learned->ovens[i], style, out);
    for (size_t i = 0; i < learned->strange_count; i++) {
        const bk_strange_times *strange = &learned->strange[i];
        item(out, style, "",
             bk_format(arena,
                       "%s has %zu real time%s of \"%s\", which is in no file of this plan: "
                       "was it renamed?",
                       bk_words_clean(arena, strange->path), strange->count,
                       strange->count == 1 ? "" : "s", bk_words_clean(arena, strange->stage)));
    }
    if (!changes)
        return;
    bk_text_add(out, "\n");
    item(out, style, "",
         bk_format(
             arena,
             "A proposed range is the one in which the next time lies four times in five, with "
             "its middle (a log-normal prediction interval, Hahn and Meeker 1991), from the "
             "last %d times at most.",
             (int)BK_MOST_TIMES));
}
