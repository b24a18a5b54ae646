/* Facts as few lines: stages that follow one another become one sentence. Private
 * to this folder. */
#ifndef BK_WRITE_WORDS_CHAIN_H
#define BK_WRITE_WORDS_CHAIN_H

#include "timeline/timeline.h"

/* The lines that say the facts, in order, clean; their number to *lines. A chain
 * of stages is one line, "torte: line (5 min), then at once bake (15 min), 1 h later
 * ice (10 min) (plan.json:8:5)", with the first place of the plan that it comes from. Three or
 * more windows from one place of the plan, as its nights are, are one line too. */
const char **bk_chain_lines(bk_arena *arena, const bk_plan *plan, const bk_fact *facts,
                            size_t count, size_t *lines);

#endif
