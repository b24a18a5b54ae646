/* A timeline to read: on a terminal, and as a page. */
#ifndef BK_WRITE_PAGE_H
#define BK_WRITE_PAGE_H

#include "day/day.h"
#include "learn/learn.h"
#include "timeline/timeline.h"
#include "write/words/words.h"

/* The step timeline, read at arm's length. */
void bk_write_text(const bk_timeline *timeline, const bk_text_style *style, bk_text *out);

/* A timeline that has stages, a line a step: of 40 columns when the style says 0. What a step
 * warns of is marked, not told. */
void bk_write_short(const bk_timeline *timeline, const bk_text_style *style, bk_text *out);

/* What fixes the first start of a timeline that has stages. */
void bk_write_why_start(const bk_timeline *timeline, const bk_reasons *reasons,
                        const bk_text_style *style, bk_text *out);

/* Why a stage (index in plan.stages) is where it is, and what moving it would
 * take. */
void bk_write_why_stage(const bk_timeline *timeline, size_t stage, const bk_reasons *reasons,
                        const bk_text_style *style, bk_text *out);

/* Written times beside real ones, and what is proposed in their place; no timeline is needed. */
void bk_write_learned(const bk_learned *learned, const bk_text_style *style, bk_text *out);

/* A page that works from a file, on a phone and on paper; the picture inside. */
void bk_write_html(const bk_timeline *timeline, bk_text *out);

/* What changed, what now, what runs and until when, what comes next, when hands are free:
 * for a cook who looks up for a moment. Only what comes next, with `next_only`. */
void bk_write_day(const bk_day *day, const bk_text_style *style, bk_text *out);

/* The same as data, one JSON object on one line (docs/timeline-schema.md). */
void bk_write_day_json(const bk_day *day, bk_text *out);

/* When somebody is wanted next, after day->now; INT64_MAX: never. Of a day with a timeline. */
bk_instant bk_day_next_touch(bk_arena *arena, const bk_day *day);

#endif
