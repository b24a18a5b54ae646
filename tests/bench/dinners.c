#include "dinners.h"

#include "support/splitmix.h"

enum { LEAST_DISHES = 6, MOST_DISHES = 14, BUFFET_DISHES = 12, BUFFET_STEPS = 5 };

typedef struct maker {
    bk_text out;
    uint64_t state;
    int stages;  /* of the dish that is being written */
    bool heated; /* stages may use the oven */
} maker;

static int pick(maker *m, int least, int most)
{
    return least + (int)(splitmix64(&m->state) % (uint64_t)(most - least + 1));
}

/* A stage after the one above: "active" or "passive" for `least` to `most` times `step`
 * minutes, and whatever else its object holds. */
static void stage(maker *m, const char *id, const char *kind, int least, int most, int step,
                  const char *more)
{
    bk_text_addf(&m->out, "%s{\"id\":\"%s\",\"do\":\"Do it\",\"%s\":\"%d min\"%s%s}",
                 m->stages++ ? "," : "", id, kind, pick(m, least, most) * step, *more ? "," : "",
                 more);
}

/* Baked at some temperature, begun within so long of the stage above. */
static void bake(maker *m, const char *above, int within, int least, int most)
{
    static const int degrees[] = {150, 180, 200, 220};
    stage(m, "bake", "passive", least, most, 5,
          bk_format(m->out.arena,
                    "\"uses\":{\"oven\":{\"at\":\"%d C\"}},\"after\":[{\"stage\":\"%s\","
                    "\"within\":\"%d min\"}]",
                    degrees[pick(m, 0, 3)], above, within));
}

static void roast(maker *m)
{
    stage(m, "season", "active", 2, 4, 5, "");
    stage(m, "stand", "passive", 3, 6, 10, "");
    bake(m, "stand", 30, 12, 30);
    stage(m, "rest", "passive", 3, 6, 5, "\"after\":[{\"stage\":\"bake\",\"within\":\"0 min\"}]");
    stage(m, "carve", "active", 1, 2, 5, "\"after\":[{\"stage\":\"rest\",\"within\":\"10 min\"}]");
}

static void gratin(maker *m)
{
    stage(m, "peel", "active", 3, 6, 5, "");
    stage(m, "layer", "active", 2, 3, 5, "");
    bake(m, "layer", 45, 9, 14);
}

static void rolls(maker *m)
{
    stage(m, "knead", "active", 2, 3, 5, "\"uses\":{\"mixer\":1}");
    stage(m, "prove", "passive", 6, 9, 10, "");
    stage(m, "shape", "active", 2, 4, 5, "\"after\":[{\"stage\":\"prove\",\"within\":\"20 min\"}]");
    stage(m, "prove again", "passive", 6, 9, 5, "");
    bake(m, "prove again", 15, 3, 4);
    stage(m, "cool", "passive", 3, 6, 5, "");
}

static void soup(maker *m)
{
    stage(m, "chop", "active", 2, 5, 5, "");
    stage(m, "simmer", "passive", 6, 12, 5,
          "\"uses\":{\"hob\":1},\"checks\":[{\"at\":\"20 min\",\"do\":\"Stir\",\"takes\":\"2 "
          "min\"}]");
    stage(m, "blend", "active", 1, 2, 5, "\"after\":[{\"stage\":\"simmer\",\"within\":\"1 h\"}]");
}

static void cream(maker *m)
{
    stage(m, "cook", "active", 2, 3, 5, "\"uses\":{\"hob\":1}");
    stage(m, "pour", "active", 1, 2, 5, "\"holds\":{\"fridge\":{\"until\":\"set\"}}");
    stage(m, "set", "passive", 8, 12, 30, "");
    stage(m, "turn out", "active", 1, 2, 5, "");
}

static void vegetables(maker *m)
{
    stage(m, "trim", "active", 1, 4, 5, "");
    stage(m, "boil", "passive", 2, 4, 5, "\"uses\":{\"hob\":1}");
    stage(m, "toss", "active", 3, 5, 1, "\"after\":[{\"stage\":\"boil\",\"within\":\"5 min\"}]");
}

static void salad(maker *m)
{
    stage(m, "wash", "active", 5, 10, 1, "");
    stage(m, "dress", "active", 3, 5, 1, "");
}

static void torte(maker *m)
{
    stage(m, "whisk", "active", 2, 4, 5, "\"uses\":{\"mixer\":1}");
    bake(m, "whisk", 10, 4, 8);
    stage(m, "cool", "passive", 6, 12, 10, "");
    stage(m, "mousse", "active", 4, 6, 5,
          "\"holds\":{\"tin\":{\"until\":\"unmould\"},\"fridge\":{\"until\":\"chill\"}}");
    stage(m, "chill", "passive", 8, 16, 30, "");
    stage(m, "unmould", "active", 1, 3, 5, "");
}

static void sauce(maker *m)
{
    stage(m, "stir", "active", 2, 4, 5, "\"uses\":{\"hob\":1}");
}

static void braise(maker *m)
{
    stage(m, "brown", "active", 3, 4, 5, "\"uses\":{\"hob\":1}");
    stage(m, "braise", "passive", 8, 12, 15,
          "\"uses\":{\"oven\":{\"at\":\"150 C\"}},\"checks\":[{\"at\":\"1 h\",\"do\":\"Turn\","
          "\"takes\":\"3 min\"}]");
    stage(m, "reduce", "active", 2, 3, 5, "\"uses\":{\"hob\":1}");
}

typedef struct kind {
    void (*write)(maker *m);
    const char *keeps;
    int course; /* 0: before, 1: with, 2: after the main dish */
} kind;

static const kind KINDS[] = {
    {roast, "45 min", 1}, {gratin, "75 min", 1},     {rolls, "10 h", 0},   {soup, "90 min", 0},
    {cream, "3 h", 2},    {vegetables, "45 min", 1}, {salad, "90 min", 1}, {torte, "3 h", 2},
    {sauce, "90 min", 1}, {braise, "2 h", 1},
};

static void kitchen(maker *m)
{
    static const char *const nights[] = {"22:30-06:30", "23:00-07:00", "23:30-08:00"};
    bk_text_addf(&m->out, "\"kitchen\":{\"cooks\":%d,\"asleep\":\"%s\",", pick(m, 1, 2),
                 nights[pick(m, 0, 2)]);
    if (pick(m, 0, 2) == 0)
        bk_text_addf(&m->out,
                     "\"away\":[{\"from\":\"2026-11-20 08:00\",\"to\":\"2026-11-20 %d:30\"}],",
                     pick(m, 12, 15));
    bk_text_addf(&m->out,
                 "\"equipment\":{\"oven\":{\"kind\":"
                 "\"oven\",\"count\":%d,\"shelves\":2},\"hob\":{\"kind\":\"hob\"},\"fridge\":{"
                 "\"kind\":\"cold\",\"places\":%d},\"mixer\":{},\"tin\":{\"count\":2}}}",
                 pick(m, 1, 2), pick(m, 3, 6));
}

static void begin(maker *m, bk_arena *arena, uint64_t seed)
{
    m->state = seed;
    m->out = bk_text_new(arena);
    bk_text_add(&m->out, "{\"occasion\":\"Made up\",\"timezone\":\"UTC\",\"serve\":\"2026-11-20 "
                         "19:30\",\"earliest\":\"2026-11-18 07:00\",");
    if (pick(m, 0, 1) == 0)
        bk_text_addf(&m->out, "\"at_table\":\"%d min\",", pick(m, 3, 8) * 5);
    kitchen(m);
    bk_text_add(&m->out, ",\"dishes\":[");
}

static void begin_dish(maker *m, int dish)
{
    bk_text_addf(&m->out, "%s{\"dish\":\"d%d\"", dish ? "," : "", dish);
    m->stages = 0;
}

const char *made_up_dinner(bk_arena *arena, uint64_t seed)
{
    static const char *const courses[] = {"19:00", "19:30", "20:30"};
    maker m = {.stages = 0};
    begin(&m, arena, seed);
    int dishes = pick(&m, LEAST_DISHES, MOST_DISHES);
    for (int dish = 0; dish < dishes; dish++) {
        const kind *what = &KINDS[pick(&m, 0, (int)(sizeof KINDS / sizeof *KINDS) - 1)];
        begin_dish(&m, dish);
        bk_text_addf(&m.out, ",\"serve\":\"2026-11-20 %s\",\"keeps\":\"%s\",\"stages\":[",
                     courses[what->course], what->keeps);
        what->write(&m);
        bk_text_add(&m.out, "]}");
    }
    bk_text_add(&m.out, "]}");
    return m.out.data;
}

const char *made_up_buffet(bk_arena *arena, uint64_t seed)
{
    maker m = {.stages = 0};
    m.state = seed;
    m.out = bk_text_new(arena);
    bk_text_add(&m.out, "{\"occasion\":\"Made up\",\"timezone\":\"UTC\",\"serve\":\"2026-11-20 "
                        "19:30\",\"kitchen\":{\"asleep\":\"22:30-06:30\"},\"dishes\":[");
    for (int dish = 0; dish < BUFFET_DISHES; dish++) {
        begin_dish(&m, dish);
        bk_text_add(&m.out, ",\"stages\":[");
        for (int s = 0; s < BUFFET_STEPS; s++)
            stage(&m, bk_format(arena, "s%d", s), "active", 3, 20, 1, "");
        bk_text_add(&m.out, "]}");
    }
    bk_text_add(&m.out, "]}");
    return m.out.data;
}
