/* Published scheduling instances: read, compiled, checked. */
#ifndef BENCH_INSTANCE_H
#define BENCH_INSTANCE_H

#include "engine/engine.h"

typedef struct bench_arc {
    int32_t from, to, lag; /* start(to) >= start(from) + lag */
} bench_arc;

typedef struct bench_instance {
    int32_t activities; /* with the dummy source (0) and sink (last) */
    int32_t resources;
    int32_t *duration;
    int32_t *need; /* activities * resources */
    int32_t *capacity;
    bench_arc *arcs;
    size_t arc_count, arc_room;
    int32_t horizon; /* no schedule worth having ends later */
} bench_instance;

/* Reads a PSPLIB .sm or a ProGen/max .sch file. NULL when it cannot. */
bench_instance *bench_read(bk_arena *arena, const char *path);

/* Variables are the starts in order; the level minimises the sink's start. */
bk_problem *bench_problem(bk_arena *arena, const bench_instance *instance);

/* Plain evaluation from the file's own numbers: lags, and every resource at
 * every start. */
bool bench_valid(const bench_instance *instance, const int32_t *start);

#endif
