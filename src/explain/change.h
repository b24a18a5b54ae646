/* Private to explain: what all tried changes have in common, and each kind. */
#ifndef BK_EXPLAIN_CHANGE_H
#define BK_EXPLAIN_CHANGE_H

#include "explain/edits.h"
#include "explain/remedies.h"

/* The changes of a plan that settle one conflict, as they are found. */
typedef struct bk_trying {
    bk_arena *arena;
    bk_timeline *timeline;
    const bk_plan *plan;
    int64_t effort; /* conflicts for each attempt */
    bk_onlooker *onlooker;
    bk_reschedule *reschedule;
    bk_attempt *found;
    size_t count, room;
    size_t tried;
    bool small;           /* one that was found asks for little */
    const bk_fact *facts; /* of the conflict that is looked at */
    size_t fact_count;
    const bk_fact *aside; /* of other conflicts: taken as met; a change that is found is then not
                             scheduled */
    size_t aside_count;
    bk_file_trees trees;
} bk_trying;

bk_plan *bk_plan_copy(bk_arena *arena, const bk_plan *old);
void *bk_copy_of(bk_arena *arena, const void *items, size_t bytes);

/* Is there a timeline of this plan, found within the effort? */
bool bk_fits(bk_trying *s, const bk_plan *plan);
bool bk_fits_changed(bk_trying *s, bk_plan_change *change, void *context, int64_t amount);

/* The least amount in 1..most for which the changed plan fits; 0 when not even
 * `most` does. More of a change never makes less possible, so halving is exact. */
int64_t bk_least_change(bk_trying *s, int64_t most, bk_plan_change *change, void *context);

/* Takes up a change whose plan was found to fit: schedules it for real, so that the
 * remedy is a verified timeline with a start. `change` is bk_remedy.change, `size` what it asks.
 * NULL when there is no timeline; else it lives until the next is kept. */
bk_attempt *bk_keep_change(bk_trying *s, bk_plan_change *make, void *context, int64_t amount,
                           const char *change, int64_t size, const char *message);

bk_edit_set bk_edits_of(bk_trying *s);
/* How a change that was kept, or NULL, is made in the plan's files. */
void bk_written_as(bk_attempt *kept, const bk_edit_set *edits);
/* The same of one value. */
void bk_replaces(bk_trying *s, bk_attempt *kept, bk_place place, const char *text);

/* Each tries the changes of its kind. Of times: */
void bk_try_serving_later(bk_trying *s);
void bk_try_link(bk_trying *s, bk_fact *fact);
void bk_try_keeping(bk_trying *s, bk_fact *fact);
void bk_try_margin(bk_trying *s);
void bk_try_short_end(bk_trying *s, size_t stage);
void bk_try_eating_faster(bk_trying *s);
void bk_try_any_time(bk_trying *s, const bk_fact *fact);

/* Of hours: a window of a cook, or with SIZE_MAX of the kitchen; what keeps a stage from being
 * begun; those of one cook. */
void bk_try_window(bk_trying *s, size_t cook, size_t number);
void bk_try_begins(bk_trying *s, const bk_fact *fact, bool *window_seen);
void bk_try_cook(bk_trying *s, const bk_fact *fact);

/* Of what there is: */
void bk_try_cooks(bk_trying *s);
void bk_try_equipment(bk_trying *s, bk_fact *fact);

/* Of dishes: `seen`, by dish, is kept up. */
void bk_try_leaving_out(bk_trying *s, size_t dish, bool *seen);

#endif
