#include "impossible.h"

#include "support/splitmix.h"

#include <string.h>

enum { MOST_STAGES = 40, MOST_DISHES = 8, DAY = 1440 };

typedef struct maker {
    bk_text out;
    uint64_t state;
    int64_t drawn, changed; /* which number of the plan is changed; -1: none */
    int factor;             /* it becomes so many times as large; negative: as small */
    bool easy, tight;
    bool cluster; /* this dish: all stages after the first, side by side */
    int fridge, tins, rings, mixers, ovens; /* 0: none */
} maker;

static int pick(maker *m, int least, int most)
{
    return least + (int)(splitmix64(&m->state) % (uint64_t)(most - least + 1));
}

static bool chance(maker *m, int percent)
{
    return pick(m, 0, 99) < percent;
}

/* A number of the plan, in steps of `step`. */
static int number(maker *m, int least, int most, int step)
{
    int value = pick(m, least, most) * step;
    if (m->drawn++ != m->changed)
        return value;
    if (m->factor > 0)
        return value > 0 ? value * m->factor : m->factor * step;
    return value / -m->factor;
}

static int at_least_one(int value)
{
    return value < 1 ? 1 : value;
}

/* ---------------------------------------------------------------- kitchen */

static void kitchen(maker *m)
{
    static const char *const nights[] = {"22:30-06:30", "23:00-07:00", "21:00-09:00",
                                         "20:00-12:00"};
    m->fridge = chance(m, 70) ? at_least_one(number(m, m->easy ? 3 : 1, 5, 1)) : 0;
    m->tins = chance(m, 70) ? at_least_one(number(m, m->easy ? 2 : 1, 3, 1)) : 0;
    m->mixers = chance(m, 40) ? 1 : 0;
    m->rings = chance(m, 50) ? at_least_one(number(m, 1, 4, 1)) : 0;
    m->ovens = chance(m, 75) ? pick(m, 1, 2) : 0;
    bk_text_addf(&m->out, "\"kitchen\":{\"cooks\":%d,", chance(m, m->easy ? 50 : 25) ? 2 : 1);
    if (chance(m, 80))
        bk_text_addf(&m->out, "\"asleep\":\"%s\",", nights[pick(m, 0, m->easy ? 1 : 3)]);
    if (chance(m, 50)) {
        bk_text_add(&m->out, "\"away\":[");
        int count = pick(m, 1, 4);
        for (int i = 0; i < count; i++) {
            int day = pick(m, 1, 20), from = pick(m, 7, 12), length = number(m, 1, 10, 1);
            int to = from + length > 23 ? 23 : from + at_least_one(length);
            bk_text_addf(&m->out,
                         "%s{\"from\":\"2026-11-%02d %02d:00\",\"to\":\"2026-11-%02d %02d:00\"}",
                         i ? "," : "", day, from, day, to);
        }
        bk_text_add(&m->out, "],");
    }
    bk_text_add(&m->out, "\"equipment\":{\"bowl\":{\"count\":9}");
    if (m->fridge)
        bk_text_addf(&m->out, ",\"fridge\":{\"kind\":\"cold\",\"places\":%d}", m->fridge);
    if (m->tins)
        bk_text_addf(&m->out, ",\"tin\":{\"count\":%d}", m->tins);
    if (m->mixers)
        bk_text_add(&m->out, ",\"mixer\":{}");
    if (m->rings)
        bk_text_addf(&m->out, ",\"hob\":{\"kind\":\"hob\",\"rings\":%d}", m->rings);
    if (m->ovens)
        bk_text_addf(&m->out, ",\"oven\":{\"kind\":\"oven\",\"count\":%d,\"shelves\":%d}", m->ovens,
                     pick(m, 1, 2));
    bk_text_add(&m->out, "}}");
}

/* ------------------------------------------------------------------ dishes */

static void link_to(maker *m, const char *dish, int stage)
{
    bk_text_addf(&m->out, "{\"stage\":\"%ss%d\"", dish, stage);
    int wait = 0;
    if (chance(m, 20)) {
        wait = number(m, 1, 12, 10);
        bk_text_addf(&m->out, ",\"wait\":\"%d min\"", wait);
    }
    if (chance(m, m->easy ? 20 : m->tight ? 75 : 40)) {
        int within = number(m, 0, m->tight ? 8 : 12, m->easy ? 30 : 10);
        bk_text_addf(&m->out, ",\"within\":\"%d min\"", wait + within);
    }
    if (chance(m, 8))
        bk_text_add(&m->out, ",\"from\":\"start\"");
    bk_text_add(&m->out, "}");
}

/* All after the dish's first stage, and soon. */
static void beside(maker *m)
{
    int wait = number(m, 0, 6, 10), within = number(m, 1, 14, 10);
    bk_text_addf(&m->out,
                 ",\"after\":[{\"stage\":\"s0\",\"wait\":\"%d min\",\"within\":\"%d min\"}]", wait,
                 wait + within);
}

static void links(maker *m, int dish, int s, const int *count)
{
    if (s > 0 && m->cluster) {
        beside(m);
        return;
    }
    bk_text_add(&m->out, ",\"after\":[");
    const char *comma = "";
    if (s > 0 && chance(m, 90)) {
        link_to(m, "", chance(m, 80) ? s - 1 : pick(m, 0, s - 1));
        comma = ",";
    }
    if (s > 1 && chance(m, 15)) {
        bk_text_add(&m->out, comma);
        link_to(m, "", pick(m, 0, s - 2));
        comma = ",";
    }
    if (dish > 0 && chance(m, 8)) {
        int other = pick(m, 0, dish - 1);
        bk_text_add(&m->out, comma);
        link_to(m, bk_format(m->out.arena, "d%d/", other), pick(m, 0, count[other] - 1));
    }
    bk_text_add(&m->out, "]");
}

static void equipment(maker *m, bool active, int s, int count)
{
    const char *comma = "";
    bk_text_add(&m->out, ",\"uses\":{");
    if (!active && m->ovens && chance(m, 40)) {
        bk_text_addf(&m->out, "\"oven\":{\"at\":\"%d C\"}", 120 + 30 * pick(m, 0, 3));
        comma = ",";
    } else if (!active && m->fridge && chance(m, 50)) {
        bk_text_add(&m->out, "\"fridge\":1");
        comma = ",";
    } else if (m->rings && chance(m, 20)) {
        bk_text_add(&m->out, "\"hob\":1");
        comma = ",";
    }
    if (m->tins && chance(m, 15)) {
        bk_text_addf(&m->out, "%s\"tin\":1", comma);
        comma = ",";
    }
    if (active && m->mixers && chance(m, 25))
        bk_text_addf(&m->out, "%s\"mixer\":1", comma);
    bk_text_add(&m->out, "},\"holds\":{");
    comma = "";
    if (m->tins && chance(m, 15)) {
        bk_text_addf(&m->out, "\"tin\":{\"until\":\"s%d\"}", pick(m, s, count - 1));
        comma = ",";
    }
    if (m->fridge && chance(m, 12))
        bk_text_addf(&m->out, "%s\"fridge\":{\"until\":\"s%d\"}", comma, pick(m, s, count - 1));
    bk_text_add(&m->out, "}");
}

static void stage(maker *m, int dish, int s, const int *count)
{
    bool active = chance(m, m->tight ? 70 : 50);
    int length = active          ? number(m, 1, 8, 5)
                 : chance(m, 30) ? number(m, 2, 16, 30)
                                 : number(m, 1, 12, 10);
    length = at_least_one(length);
    bk_text_addf(&m->out, "%s{\"id\":\"s%d\",\"do\":\"Do it\",\"%s\":\"%d min\"", s ? "," : "", s,
                 active ? "active" : "passive", length);
    links(m, dish, s, count);
    equipment(m, active, s, count[dish]);
    if (!active && length >= 20 && chance(m, 20)) {
        int at = length / 2, takes = pick(m, 1, 5);
        bk_text_addf(&m->out,
                     ",\"checks\":[{\"at\":\"%d min\",\"do\":\"Look\",\"takes\":\"%d min\"}]", at,
                     takes);
    }
    if (!active && chance(m, 10))
        bk_text_add(&m->out, ",\"watch\":true");
    bk_text_add(&m->out, "}");
}

static void one_dish(maker *m, int dish, const int *count)
{
    bk_text_addf(&m->out, "%s{\"dish\":\"d%d\"", dish ? "," : "", dish);
    m->cluster = m->tight && chance(m, 40);
    if (chance(m, 20))
        bk_text_addf(&m->out, ",\"serve\":\"2026-11-20 %02d:30\"", pick(m, 12, 20));
    if (chance(m, m->tight ? 70 : 30))
        bk_text_addf(&m->out, ",\"keeps\":\"%d min\"",
                     at_least_one(number(m, 1, m->tight ? 8 : 24, 30)));
    if (m->fridge && chance(m, 20))
        bk_text_add(&m->out, ",\"stored\":{\"fridge\":1}");
    bk_text_add(&m->out, ",\"stages\":[");
    for (int s = 0; s < count[dish]; s++)
        stage(m, dish, s, count);
    bk_text_add(&m->out, "]}");
}

static int64_t write(maker *m, bk_arena *arena, uint64_t seed, int days)
{
    m->state = seed;
    m->out = bk_text_new(arena);
    m->drawn = 0;
    m->easy = seed % 3 == 0;
    m->tight = seed % 3 == 1;
    int size = chance(m, 50) ? pick(m, 2, 12) : pick(m, 2, MOST_STAGES);
    int count[MOST_DISHES], dishes = 0;
    while (size > 0 && dishes < MOST_DISHES) {
        int some = pick(m, 2, 9);
        if (some > size || dishes == MOST_DISHES - 1)
            some = size;
        count[dishes++] = some;
        size -= some;
    }
    static const int horizons[] = {1, 2, 3, 7, 14};
    int horizon = horizons[pick(m, 0, 4)];
    horizon = days ? days : horizon;
    int earliest = 20 - horizon; /* of November */
    bk_text_add(&m->out, "{\"occasion\":\"Made up\",\"timezone\":\"UTC\",\"serve\":\"2026-11-20 "
                         "19:00\",");
    if (earliest > 0)
        bk_text_addf(&m->out, "\"earliest\":\"2026-11-%02d 10:00\",", earliest);
    else if (earliest > -31)
        bk_text_addf(&m->out, "\"earliest\":\"2026-10-%02d 10:00\",", earliest + 31);
    else
        bk_text_addf(&m->out, "\"earliest\":\"2026-09-%02d 10:00\",", earliest + 61);
    kitchen(m);
    bk_text_add(&m->out, ",\"dishes\":[");
    for (int d = 0; d < dishes; d++)
        one_dish(m, d, count);
    bk_text_add(&m->out, "]}");
    return m->drawn;
}

const char *impossible_plan(bk_arena *arena, uint64_t seed, int days)
{
    maker m = {.changed = -1};
    int64_t numbers = write(&m, arena, seed, days);
    if (!m.easy || numbers == 0)
        return m.out.data;
    uint64_t choice = seed ^ UINT64_C(0x5851f42d4c957f2d);
    m.changed = (int64_t)(splitmix64(&choice) % (uint64_t)numbers);
    static const int factors[] = {-20, -5, 4, 10, 20, 40};
    m.factor = factors[splitmix64(&choice) % 6];
    write(&m, arena, seed, days);
    return m.out.data;
}

/* ------------------------------------------------------------- named plans */

typedef struct named {
    const char *reason, *kitchen, *dishes;
} named;

#define STAGE(id, kind, time, more)                                                                \
    "{\"id\":\"" id "\",\"do\":\"Do it\",\"" kind "\":\"" time "\"" more "}"

static const named NAMED[IMPOSSIBLE_NAMED] = {
    {"a tin is held from lining to unmoulding, and wanted between", "\"equipment\":{\"tin\":{}}",
     "{\"dish\":\"a\",\"stages\":[" STAGE(
         "line", "active", "5 min",
         ",\"holds\":{\"tin\":{\"until\":\"unmould\"}}") "," STAGE("unmould", "active", "5 min",
                                                                   ",\"after\":[\"b/"
                                                                   "bake\"]") "]},{"
                                                                              "\"dish\":"
                                                                              "\"b\","
                                                                              "\"stages\":"
                                                                              "[" STAGE(
                                                                                  "b"
                                                                                  "a"
                                                                                  "k"
                                                                                  "e",
                                                                                  "p"
                                                                                  "a"
                                                                                  "s"
                                                                                  "s"
                                                                                  "i"
                                                                                  "v"
                                                                                  "e",
                                                                                  "3"
                                                                                  "0"
                                                                                  " "
                                                                                  "m"
                                                                                  "i"
                                                                                  "n",
                                                                                  ","
                                                                                  "\"uses\":{"
                                                                                  "\"tin\":1},"
                                                                                  "\"after\":[\"a/"
                                                                                  "l"
                                                                                  "i"
                                                                                  "n"
                                                                                  "e"
                                                                                  "\"]") "]}"},
    {"the fridge's one place is held, and wanted for chilling",
     "\"asleep\":\"22:30-06:30\",\"equipment\":{\"fridge\":{\"kind\":\"cold\",\"places\":1}}",
     "{\"dish\":\"a\",\"stages\":[" STAGE("pour", "active", "15 min", ",\"holds\":{\"fridge\":{\"until\":\"turn out\"}}") "," STAGE(
         "turn out", "active", "15 min",
         ",\"after\":[\"b/chill\"]") "]},{\"dish\":\"b\",\"stages\":[" STAGE("chill", "passive",
                                                                             "6 h",
                                                                             ",\"uses\":{"
                                                                             "\"fridge\":1},"
                                                                             "\"after\":[{"
                                                                             "\"stage\":\"a/"
                                                                             "pour\",\"within\":"
                                                                             "\"0 min\"}]") "]}"},
    {"one cook, and a hands-on stage with a check that needs hands", "\"cooks\":1",
     "{\"dish\":\"a\",\"stages\":[" STAGE(
         "stir", "active", "30 min",
         ",\"checks\":[{\"at\":\"10 min\",\"do\":\"Look\",\"takes\":\"5 min\"}]") "]}"},
    {"everyone sleeps all day but for a minute", "\"asleep\":\"23:00-22:59\"",
     "{\"dish\":\"a\",\"stages\":[" STAGE("mix", "active", "15 min", "") "," STAGE(
         "rest", "passive", "30 min", "") "," STAGE("shape", "active", "20 min", "") "]}"},
    {"three hands-on stages have to begin within half an hour, and take 20 min each",
     "\"cooks\":1,\"asleep\":\"22:30-06:30\"",
     "{\"dish\":\"a\",\"stages\":[" STAGE("boil", "passive", "30 min", "") "," STAGE(
         "one", "active", "20 min",
         ",\"after\":[{\"stage\":\"boil\",\"within\":\"30 "
         "min\"}]") "," STAGE("two", "active", "20 min",
                              ",\"after\":[{"
                              "\"stage\":\"boil\","
                              "\"within\":\"30 "
                              "min\"}]") "," STAGE("three", "active", "20 min",
                                                   ",\"after\":["
                                                   "{\"stage\":"
                                                   "\"boil\","
                                                   "\"within\":"
                                                   "\"30 "
                                                   "min\"}]") "]"
                                                              "}"},
    {"two tins are held for hours from about the same time on, and there is one",
     "\"asleep\":\"22:30-06:30\",\"equipment\":{\"tin\":{}}",
     "{\"dish\":\"a\",\"stages\":[" STAGE("line", "active", "5 min", ",\"holds\":{\"tin\":{\"until\":\"unmould\"}}") "," STAGE(
         "set", "passive", "4 h",
         "") "," STAGE("unmould", "active", "5 min",
                       "") "]},{\"dish\":\"b\",\"stages\":[" STAGE("line", "active", "5 min",
                                                                   ",\"after\":[{"
                                                                   "\"stage\":\"a/line\","
                                                                   "\"within\":\"2 h\"}],"
                                                                   "\"holds\":{\"tin\":{"
                                                                   "\"until\":\"unmould\"}"
                                                                   "}") "," STAGE("set", "passive",
                                                                                  "4 h",
                                                                                  "") "," STAGE("un"
                                                                                                "mo"
                                                                                                "ul"
                                                                                                "d",
                                                                                                "ac"
                                                                                                "ti"
                                                                                                "v"
                                                                                                "e",
                                                                                                "5 "
                                                                                                "mi"
                                                                                                "n",
                                                                                                "") "]}"},
    {"watched for longer than anybody is awake", "\"asleep\":\"22:30-06:30\"",
     "{\"dish\":\"a\",\"stages\":[" STAGE("mix", "active", "15 min", "") "," STAGE(
         "simmer", "passive", "17 h",
         ",\"watch\":true,\"after\":[{\"stage\":\"mix\",\"within\":\"1 h\"}]") "," STAGE("strain",
                                                                                         "active",
                                                                                         "15 min",
                                                                                         "") "]}"},
    {"hands-on at both ends of what takes from evening to night, with every day out",
     "\"asleep\":[\"22:00-07:00\",\"08:00-18:00\"]",
     "{\"dish\":\"a\",\"stages\":[" STAGE("mix", "active", "30 min", "") "," STAGE(
         "prove", "passive", "6 h",
         ",\"after\":[{\"stage\":\"mix\",\"within\":\"10 "
         "min\"}]") "," STAGE("shape", "active", "30 min",
                              ",\"after\":[{\"stage\":"
                              "\"prove\",\"within\":\"10 "
                              "min\"}]") "]}"},
};

const char *impossible_named(bk_arena *arena, int index, int days, const char **reason)
{
    *reason = NAMED[index].reason;
    int earliest = 20 - days;
    int month = earliest > 0 ? 11 : earliest > -31 ? 10 : 9;
    int day = month == 11 ? earliest : month == 10 ? earliest + 31 : earliest + 61;
    return bk_format(
        arena,
        "{\"occasion\":\"Made up\",\"timezone\":\"UTC\",\"serve\":\"2026-11-20 "
        "19:00\",\"earliest\":\"2026-%02d-%02d 10:00\",\"kitchen\":{%s},\"dishes\":[%s]}",
        month, day, NAMED[index].kitchen, NAMED[index].dishes);
}
