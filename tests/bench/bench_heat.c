/* How long an estimate takes, for every shape and place: prints milliseconds. */
#include "heat/heat.h"

#include <stdio.h>
#include <time.h>

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

int main(void)
{
    static const char *const shape_name[] = {"round", "slab", "ball"};
    bk_arena *arena = bk_arena_new(NULL);
    enum { REPEATS = 200 };

    for (int shape = BK_HEAT_ROUND; shape <= BK_HEAT_BALL; shape++)
        for (int tin = BK_HEAT_TIN_NONE; tin <= BK_HEAT_TIN_GLASS; tin += BK_HEAT_TIN_GLASS)
            for (double to = 5.0; to < 15.0; to += 9.9) {
                bk_heat_question q = {.shape = (enum bk_heat_shape)shape,
                                      .across = 0.2,
                                      .deep = 0.06,
                                      .composition = bk_food_find("mousse")->composition,
                                      .from_c = 15.0,
                                      .to_c = to,
                                      .air_c = 4.0,
                                      .place = BK_HEAT_FRIDGE,
                                      .tin = (enum bk_heat_tin)tin};
                int64_t minutes = 0;
                double start = now();
                for (int i = 0; i < REPEATS; i++)
                    minutes += bk_heat_estimate(arena, &q).likely_minutes;
                printf("estimate %-5s %-10s 15 -> %4.1f C: %8.3f ms (%ld min)\n", shape_name[shape],
                       bk_heat_wall(q.tin)->name, to, (now() - start) / REPEATS,
                       (long)(minutes / REPEATS));
            }
    bk_heat_question q = {.shape = BK_HEAT_ROUND,
                          .across = 0.2,
                          .deep = 0.06,
                          .composition = bk_food_find("custard")->composition,
                          .from_c = 70.0,
                          .to_c = 5.0,
                          .air_c = 4.0};
    bk_heat_change changes[BK_HEAT_MOST_CHANGES];
    double start = now();
    (void)bk_heat_sensitivities(arena, &q, changes);
    (void)bk_heat_other_sizes(arena, &q, changes);
    printf("what matters and other sizes: %8.3f ms\n", now() - start);
    static const bk_heat_leg room = {60, 20, BK_HEAT_ROOM};
    static const double minutes[] = {60, 120, 600};
    double celsius[3];
    start = now();
    q.legs = &room;
    q.leg_count = 1;
    bk_heat_curve(arena, &q, BK_HEAT_TYPICAL, minutes, celsius, 3);
    printf("room, then fridge, numerically: %8.3f ms\n", now() - start);
    bk_arena_free(arena);
    return 0;
}
