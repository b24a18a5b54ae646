/* Kitchens made up by a seed, in mirrored time: a stage's variable is how long
 * before the last serving its end lies. Level 0 is the earliest start of all,
 * level 1 the sum of all waits. */
#include "kitchens.h"

#include "support/splitmix.h"

#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

typedef struct kitchen {
    const char *name;
    int dishes, stages_each; /* about */
    int days;                /* servings are spread over these */
    int cooks, ovens, shelves, temperatures, fridge, tins;
    int active;  /* percent of the stages */
    int longest; /* active stage, in 5 min */
    uint64_t seed;
} kitchen;

/* 0: as many as never matter */
static const kitchen KITCHENS[] = {
    {"supper-30", 5, 6, 1, 1, 1, 2, 2, 4, 2, 60, 8, 1},
    {"supper-30", 5, 6, 1, 1, 1, 2, 2, 4, 2, 60, 8, 2},
    {"buffet-30-hands", 10, 3, 1, 1, 1, 2, 2, 0, 0, 90, 8, 3},
    {"buffet-30-hands", 10, 3, 1, 1, 1, 2, 2, 0, 0, 90, 8, 4},
    {"feast-80", 12, 7, 1, 1, 1, 2, 3, 8, 3, 50, 8, 5},
    {"feast-80", 12, 7, 1, 1, 1, 2, 3, 8, 3, 50, 8, 6},
    {"feast-80", 12, 7, 1, 1, 1, 2, 3, 8, 3, 50, 8, 7},
    {"feast-80-light", 12, 7, 1, 1, 1, 2, 3, 8, 3, 40, 4, 21},
    {"feast-80-light", 12, 7, 1, 1, 1, 2, 3, 8, 3, 40, 4, 22},
    {"feast-80-light", 12, 7, 1, 2, 2, 2, 3, 8, 3, 40, 4, 23},
    {"home-20", 3, 7, 1, 1, 1, 2, 3, 8, 3, 40, 5, 24},
    {"home-20", 4, 5, 1, 1, 1, 2, 3, 8, 3, 40, 5, 25},
    {"home-40", 6, 7, 1, 1, 1, 2, 3, 8, 3, 40, 5, 26},
    {"home-40", 6, 7, 1, 1, 1, 2, 3, 8, 3, 40, 5, 27},
    {"feast-80-two-cooks", 12, 7, 1, 2, 2, 2, 4, 8, 3, 50, 8, 8},
    {"baking-60-ovens", 15, 4, 1, 1, 2, 2, 6, 6, 4, 40, 8, 9},
    {"baking-60-ovens", 15, 4, 1, 1, 1, 2, 6, 6, 4, 40, 8, 10},
    {"holiday-100", 15, 7, 2, 1, 1, 2, 3, 8, 3, 50, 8, 11},
    {"holiday-100", 15, 7, 2, 2, 2, 2, 4, 8, 3, 50, 8, 12},
    {"holidays-300", 43, 7, 6, 2, 2, 2, 4, 12, 5, 50, 8, 13},
    {"fair-1000", 143, 7, 12, 3, 3, 2, 5, 30, 10, 50, 8, 14},
    {"fair-3000", 429, 7, 30, 3, 3, 3, 5, 30, 10, 50, 8, 15},
};

static int32_t pick(uint64_t *state, int32_t least, int32_t most)
{
    return least + (int32_t)(splitmix64(state) % (uint64_t)(most - least + 1));
}

enum { DAY = 1440, NIGHT_FROM = 750, NIGHT_TO = 1260, LEAD = 14 * DAY, CHANGE = 10 };

typedef struct stage {
    bk_var end;
    int32_t length;
    bool active, oven, chilled;
    int temperature;
    bk_var present[4];
} stage;

typedef struct uses {
    bk_use *items;
    size_t count, room;
} uses;

static void use(bk_arena *arena, uses *list, bk_point from, bk_point to, bk_var present)
{
    *BK_PUSH(arena, list->items, list->count, list->room) = (bk_use){from, to, 1, present};
}

static void ovens(bk_arena *arena, bk_problem *problem, const kitchen *k, stage *stages, size_t n)
{
    uses shelves[4] = {{0}};
    for (size_t i = 0; i < n; i++) {
        if (!stages[i].oven)
            continue;
        bk_bound some[4];
        for (int o = 0; o < k->ovens; o++) {
            stages[i].present[o] = k->ovens == 1 ? BK_ALWAYS : bk_problem_var(problem, 0, 1);
            some[o] = (bk_bound){stages[i].present[o], 1, true};
            use(arena, &shelves[o], (bk_point){stages[i].end, 0},
                (bk_point){stages[i].end, stages[i].length}, stages[i].present[o]);
        }
        if (k->ovens > 1)
            bk_problem_clause(problem, some, (size_t)k->ovens, BK_NO_FACT);
        for (int o = 0; o < k->ovens; o++)
            for (int p = 0; p < o; p++) {
                bk_bound both[2] = {{stages[i].present[o], 0, false},
                                    {stages[i].present[p], 0, false}};
                bk_problem_clause(problem, both, 2, BK_NO_FACT);
            }
        for (size_t j = 0; j < i; j++) {
            if (!stages[j].oven || stages[j].temperature == stages[i].temperature)
                continue;
            bk_var order = bk_problem_var(problem, 0, 1);
            for (int o = 0; o < k->ovens; o++) {
                bk_bound when[3] = {{order, 1, true},
                                    {stages[i].present[o], 1, true},
                                    {stages[j].present[o], 1, true}};
                size_t count = k->ovens == 1 ? 1 : 3;
                bk_problem_lag(problem, stages[i].end, stages[j].end, stages[i].length + CHANGE,
                               when, count, BK_NO_FACT);
                when[0] = (bk_bound){order, 0, false};
                bk_problem_lag(problem, stages[j].end, stages[i].end, stages[j].length + CHANGE,
                               when, count, BK_NO_FACT);
            }
        }
    }
    for (int o = 0; o < k->ovens; o++)
        bk_problem_cumulative(problem, k->shelves, shelves[o].items, shelves[o].count, BK_NO_FACT);
}

static bk_problem *make(bk_arena *arena, const kitchen *k, size_t *stage_count)
{
    uint64_t state = k->seed;
    bk_problem *problem = bk_problem_new(arena);
    size_t room = (size_t)(k->dishes * (k->stages_each + 2)), n = 0;
    stage *stages = BK_NEW(arena, stage, room);
    int32_t horizon = k->days * DAY + LEAD;
    size_t nights = (size_t)(horizon / DAY) + 1;
    bk_hole *asleep = BK_NEW(arena, bk_hole, nights);
    for (size_t i = 0; i < nights; i++)
        asleep[i] = (bk_hole){(int32_t)i * DAY + NIGHT_FROM, (int32_t)i * DAY + NIGHT_TO, -1};
    uses hands = {0}, fridge = {0}, tins = {0};
    for (int d = 0; d < k->dishes; d++) {
        int32_t serve = pick(&state, 0, k->days - 1) * DAY;
        int count = k->stages_each + pick(&state, -1, 1);
        size_t first = n;
        /* From the last stage back to the first, as mirrored time goes. */
        for (int s = 0; s < count; s++, n++) {
            stage *now = &stages[n];
            now->active = pick(&state, 0, 99) < k->active;
            now->oven = !now->active && pick(&state, 0, 99) < 45;
            now->chilled = !now->active && !now->oven && pick(&state, 0, 99) < 60;
            now->temperature = pick(&state, 0, k->temperatures - 1);
            now->length = now->active    ? pick(&state, 1, k->longest) * 5
                          : now->oven    ? pick(&state, 4, 18) * 5
                          : now->chilled ? pick(&state, 2, 24) * 30
                                         : pick(&state, 2, 18) * 5;
            now->end = bk_problem_var(problem, serve, horizon - now->length - 15);
            bk_point end = {now->end, 0}, start = {now->end, now->length};
            if (s > 0) {
                const stage *after =
                    &stages[pick(&state, 0, 99) < 80
                                ? n - 1
                                : (size_t)pick(&state, (int32_t)first, (int32_t)n - 1)];
                int32_t wait = pick(&state, 0, 99) < 15 ? pick(&state, 1, 6) * 5 : 0;
                bk_problem_lag(problem, after->end, now->end, after->length + wait, NULL, 0,
                               BK_NO_FACT);
                if (pick(&state, 0, 99) < 25)
                    bk_problem_lag(problem, now->end, after->end,
                                   -(after->length + wait + pick(&state, 2, 12) * 10), NULL, 0,
                                   BK_NO_FACT);
            }
            if (now->active) {
                use(arena, &hands, end, start, BK_ALWAYS);
                bk_problem_holes(problem, end, start, asleep, nights);
            }
            if (now->oven)
                bk_problem_holes(problem, end, (bk_point){now->end, now->length + 15}, asleep,
                                 nights);
            if (now->chilled)
                use(arena, &fridge, end, start, BK_ALWAYS);
        }
        if (pick(&state, 0, 99) < 50)
            use(arena, &fridge, (bk_point){BK_CONSTANT, serve}, (bk_point){stages[first].end, 0},
                BK_ALWAYS);
        if (pick(&state, 0, 99) < 50 && n - first > 2) {
            size_t until = (size_t)pick(&state, (int32_t)first, (int32_t)n - 2);
            size_t from = (size_t)pick(&state, (int32_t)until + 1, (int32_t)n - 1);
            use(arena, &tins, (bk_point){stages[until].end, 0},
                (bk_point){stages[from].end, stages[from].length}, BK_ALWAYS);
        }
    }
    bk_problem_cumulative(problem, k->cooks, hands.items, hands.count, BK_NO_FACT);
    if (k->fridge)
        bk_problem_cumulative(problem, k->fridge, fridge.items, fridge.count, BK_NO_FACT);
    if (k->tins)
        bk_problem_cumulative(problem, k->tins, tins.items, tins.count, BK_NO_FACT);
    ovens(arena, problem, k, stages, n);
    bk_var span = bk_problem_var(problem, 0, horizon);
    for (size_t i = 0; i < n; i++)
        bk_problem_lag(problem, stages[i].end, span, stages[i].length, NULL, 0, BK_NO_FACT);
    int start = bk_problem_level(problem), waits = bk_problem_level(problem);
    bk_problem_cost(problem, start, span, 1);
    for (size_t i = 0; i < n; i++)
        bk_problem_cost(problem, waits, stages[i].end, 1);
    *stage_count = n;
    return problem;
}

static double now(void)
{
    return (double)clock() / CLOCKS_PER_SEC;
}

static bool late(void *deadline)
{
    return now() > *(double *)deadline;
}

bool bench_kitchens(double seconds, int64_t conflicts, const char *only)
{
    static const char *const STATUS[] = {"optimal", "feasible", "infeasible", "unknown", "wrong"};
    bool fine = true;
    printf("kitchen,stages,variables,status,start,start_bound,waits,waits_bound,conflicts,seconds,"
           "peak_mib\n");
    for (size_t i = 0; i < sizeof KITCHENS / sizeof *KITCHENS; i++) {
        if (only && strncmp(KITCHENS[i].name, only, strlen(only)) != 0)
            continue;
        bk_arena *arena = bk_arena_new(NULL);
        size_t stages;
        bk_problem *problem = make(arena, &KITCHENS[i], &stages);
        double start = now(), deadline = start + seconds;
        bk_solve_options options = {
            .conflicts = conflicts, .stop = late, .stop_context = &deadline};
        bk_result result = bk_solve(arena, problem, &options);
        double took = now() - start;
        struct rusage used;
        getrusage(RUSAGE_SELF, &used);
        printf("%s/%d,%zu,%zu,%s,", KITCHENS[i].name, (int)KITCHENS[i].seed, stages,
               bk_problem_vars(problem), STATUS[result.status]);
        for (int level = 0; level < 2; level++) {
            if (result.value)
                printf("%lld", (long long)result.sum[level]);
            printf(",%lld,", (long long)result.bound[level]);
        }
        printf("%lld,%.3f,%ld\n", (long long)result.conflicts, took, used.ru_maxrss / 1024);
        fflush(stdout);
        if (result.value && !bk_problem_check(problem, result.value, NULL, NULL)) {
            printf("# CONTRADICTION %s: not valid\n", KITCHENS[i].name);
            fine = false;
        }
        bk_arena_free(arena);
    }
    return fine;
}
