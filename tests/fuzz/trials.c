/* Trials of cooling for fuzz targets, linked in place of the real bk_trial_run (ld --wrap): a
 * target reads, it does not compute. One in 64 goes on to its end, as it hangs on the question
 * alone; the others stop after a few steps, as if they took more than a year. */
#include "heat/trial.h"

#include <stdint.h>
#include <string.h>

enum { FEW_STEPS = 8, ONE_IN = 64 };

void __real_bk_trial_run(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end,
                         double seconds, bk_trial_watch *watch, void *context);
void __wrap_bk_trial_run(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end,
                         double seconds, bk_trial_watch *watch, void *context);

typedef struct bounded {
    bk_trial_watch *watch;
    void *context;
    int steps;
} bounded;

static bool step(void *context, const bk_trial_point *point)
{
    bounded *self = context;
    return self->watch(self->context, point) && self->steps++ < FEW_STEPS;
}

static uint64_t digest(const bk_heat_question *q)
{
    const double numbers[] = {q->across, q->deep, q->from_c, q->to_c, q->air_c};
    uint64_t value = 0, bits;
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        memcpy(&bits, &numbers[i], sizeof bits);
        value = (value ^ bits) * UINT64_C(0xD1342543DE82EF95);
        value ^= value >> 32;
    }
    return value;
}

void __wrap_bk_trial_run(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end,
                         double seconds, bk_trial_watch *watch, void *context)
{
    bounded self = {watch, context, 0};
    if (digest(q) % ONE_IN == 0)
        __real_bk_trial_run(arena, q, end, seconds, watch, context);
    else
        __real_bk_trial_run(arena, q, end, seconds, step, &self);
}
