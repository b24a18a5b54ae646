/* From a question about one stage to minutes and temperatures. */
#include "heat/body.h"
#include "heat/heat.h"
#include "heat/trial.h"

static const double year = 366.0 * 86400.0; /* s */

const char *bk_heat_fault_code(enum bk_heat_fault fault)
{
    switch (fault) {
    case BK_HEAT_OK:
        return "ok";
    case BK_HEAT_BAD_SIZE:
        return "size-out-of-range";
    case BK_HEAT_BAD_TEMPERATURE:
        return "temperature-out-of-range";
    case BK_HEAT_BAD_COMPOSITION:
        return "composition-does-not-add-up";
    case BK_HEAT_BAD_MATERIAL:
        return "material-out-of-range";
    case BK_HEAT_NEVER:
        return "target-never-reached";
    case BK_HEAT_ALREADY:
        return "target-already-reached";
    case BK_HEAT_TOO_LONG:
        return "takes-over-a-year";
    }
    return "ok";
}

static bool size_good(double metres)
{
    return metres >= 0.0001 && metres <= 5.0;
}

static bool temperature_good(double celsius)
{
    return celsius >= BK_HEAT_COLDEST && celsius <= BK_HEAT_HOTTEST;
}

static bool material_good(const bk_material *m)
{
    return m->conductivity >= 0.005 && m->conductivity <= 500.0 && m->density >= 1.0 &&
           m->density <= 25000.0 && m->heat_capacity >= 100.0 && m->heat_capacity <= 10000.0;
}

static void fault(bk_heat_answer *answer, enum bk_heat_fault which, const char *message,
                  const char *mend)
{
    answer->fault = which;
    answer->message = message;
    answer->mend = mend;
}

static void check_material(bk_arena *arena, const bk_material *m, bk_heat_answer *a)
{
    if (!material_good(m))
        fault(
            a, BK_HEAT_BAD_MATERIAL,
            bk_format(arena,
                      "conductivity %.4g W/(m K), density %.4g kg/m3, heat capacity %.4g J/(kg K) "
                      "are not a material's",
                      m->conductivity, m->density, m->heat_capacity),
            "food has about 0.1-0.6 W/(m K), 300-1400 kg/m3, 1500-4200 J/(kg K)");
}

static void check_composition(bk_arena *arena, const bk_composition *c, bk_heat_answer *a)
{
    double sum = bk_composition_sum(c);
    if (isnan(sum))
        fault(a, BK_HEAT_BAD_COMPOSITION,
              "a part of the composition is negative or not a number, there is more milk fat than "
              "fat, or air is not from 0 to 0.9 or pores from 0 to 1",
              "give mass fractions from 0 to 1, and air as a volume fraction");
    else if (fabs(sum - 1.0) > 0.02 + 1e-9)
        fault(a, BK_HEAT_BAD_COMPOSITION,
              bk_format(arena, "the mass fractions add up to %.4g, not to 1", sum),
              "make water, protein, fat, carbohydrate, fibre and ash add up to 1 (within 0.02)");
}

/* To four figures, as what is compared may be close. */
static const char *degrees(bk_arena *arena, const bk_heat_question *q, double celsius)
{
    return q->units.fahrenheit ? bk_format(arena, "%.4g F", celsius * 1.8 + 32.0)
                               : bk_format(arena, "%.4g C", celsius);
}

/* What lies below; false after a fault. */
static bool check_below(bk_arena *arena, const bk_heat_question *q, bk_heat_answer *a)
{
    if (q->shape == BK_HEAT_BALL)
        fault(a, BK_HEAT_BAD_SIZE, "a ball lies on no layer",
              "make it \"round\" or \"slab\", or leave out what it is poured onto");
    else if (!size_good(q->below.deep))
        fault(a, BK_HEAT_BAD_SIZE,
              bk_format(arena, "a layer %.4g m deep cannot be computed", q->below.deep),
              "give a depth from 0.1 mm to 5 m");
    else if (!temperature_good(q->below.from_c))
        fault(a, BK_HEAT_BAD_TEMPERATURE,
              bk_format(arena, "%s for the layer below is outside the range of the estimate",
                        degrees(arena, q, q->below.from_c)),
              "give a temperature from -40 C to 300 C");
    else if (q->below.has_material)
        check_material(arena, &q->below.material, a);
    else
        check_composition(arena, &q->below.composition, a);
    return a->fault == BK_HEAT_OK;
}

/* The first fault of sizes, temperatures and food, the plain ones before those
 * that need the rest to be sound. */
static void check_numbers(bk_arena *arena, const bk_heat_question *q, bk_heat_answer *a)
{
    bool wide = q->shape == BK_HEAT_SLAB && isinf(q->across) && q->across > 0.0;
    if (!wide && !size_good(q->across)) {
        fault(a, BK_HEAT_BAD_SIZE, bk_format(arena, "%.4g m across cannot be computed", q->across),
              "give a size from 0.1 mm to 5 m");
        return;
    }
    if (q->shape != BK_HEAT_BALL && !size_good(q->deep)) {
        fault(a, BK_HEAT_BAD_SIZE, bk_format(arena, "%.4g m deep cannot be computed", q->deep),
              "give a depth from 0.1 mm to 5 m");
        return;
    }
    const double temperature[3] = {q->from_c, q->to_c, q->air_c};
    static const char *const of[3] = {"start", "target", "surroundings"};
    for (int i = 0; i < 3; i++)
        if (!temperature_good(temperature[i])) {
            fault(a, BK_HEAT_BAD_TEMPERATURE,
                  bk_format(arena, "%s for the %s is outside the range of the estimate",
                            degrees(arena, q, temperature[i]), of[i]),
                  "give a temperature from -40 C to 300 C");
            return;
        }
    if (q->below.deep > 0.0 && !check_below(arena, q, a))
        return;
    if (q->has_material) {
        check_material(arena, &q->material, a);
        return;
    }
    check_composition(arena, &q->composition, a);
}

/* What the clock finds when it starts: only after other places is it not the start. */
typedef struct arrival {
    double clock; /* s */
    bool warming, seen_clock, seen_last;
    double mean, warmest, coldest; /* when the clock starts */
    double mean_at_last;
    size_t last;
} arrival;

static bool arrive(void *context, const bk_trial_point *point)
{
    arrival *a = context;
    if (!a->seen_clock && point->seconds >= a->clock - 1e-6) {
        a->seen_clock = true;
        a->mean = point->mean;
        a->warmest = point->warmest;
        a->coldest = point->coldest;
    }
    if (point->leg < a->last || a->last == 0)
        a->mean_at_last = point->mean; /* the last that is seen before the last place */
    return point->leg < a->last || !a->seen_clock;
}

static arrival arrival_of(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end)
{
    arrival a = {.clock = 60.0 * q->before,
                 .mean = q->from_c,
                 .warmest = q->from_c,
                 .coldest = q->from_c,
                 .mean_at_last = q->from_c,
                 .last = q->leg_count};
    if (q->leg_count > 0)
        bk_trial_run(arena, q, end, year, arrive, &a);
    a.warming = q->air_c > a.mean_at_last;
    return a;
}

static void say_already(bk_arena *arena, const bk_heat_question *q, bk_heat_answer *a, double at)
{
    const char *colder = a->warming ? "warmer" : "colder", *below = a->warming ? "above" : "below";
    fault(a, BK_HEAT_ALREADY,
          q->leg_count > 0
              ? bk_format(arena, "the food is at its target, %s, before the clock starts",
                          degrees(arena, q, q->to_c))
          : at == q->to_c
              ? bk_format(arena, "the food starts at its target, %s", degrees(arena, q, q->to_c))
              : bk_format(arena,
                          "the food starts at %s and gets %s in air at %s: it is %s its "
                          "target of %s from the start",
                          degrees(arena, q, at), colder, degrees(arena, q, q->air_c), below,
                          degrees(arena, q, q->to_c)),
          "check the start, the target and the place");
}

/* Whether the target can be reached at all, and by what this model counts. */
static void check_target(bk_arena *arena, const bk_heat_question *q, bk_heat_answer *a)
{
    arrival start = arrival_of(arena, q, BK_HEAT_TYPICAL);
    bool warming = start.warming;
    double from = warming ? start.coldest : start.warmest, to = q->to_c, air = q->air_c;

    a->warming = warming;
    a->start_c = from;
    if (from == to || (from != air && (warming ? to < from : to > from))) {
        say_already(arena, q, a, from);
        return;
    }
    if (q->leg_count == 0 && (from == air || (warming ? to >= air : to <= air))) {
        fault(a, BK_HEAT_NEVER,
              bk_format(arena, "in air at %s the food never gets to %s", degrees(arena, q, air),
                        degrees(arena, q, to)),
              warming ? "give a target below the surroundings, or a warmer place"
                      : "give a target above the surroundings, or a colder place");
        return;
    }
    double freezing = q->has_material ? BK_HEAT_FREEZING : bk_freezing_point(&q->composition);
    a->may_freeze = air < freezing && to >= freezing;
}

bk_material bk_question_material(const bk_heat_question *q)
{
    return q->has_material ? q->material
                           : bk_material_of(&q->composition, 0.5 * (q->from_c + q->to_c));
}

static void begin(bk_body *body, const bk_heat_question *q, enum bk_heat_end end)
{
    bk_body_begin(body, q, bk_question_material(q), bk_faces_of(q, end));
}

/* Waiting for a temperature, the clock running from `clock`. */
typedef struct waiting {
    double clock, target;
    bool warming;
    double before_at, before; /* the point before; NAN: none */
    double reached;           /* s from the clock's start */
} waiting;

static bool wait_for(void *context, const bk_trial_point *point)
{
    waiting *w = context;
    double celsius = w->warming ? point->coldest : point->warmest;
    if (point->seconds < w->clock - 1e-6)
        return true;
    if (w->warming ? celsius >= w->target : celsius <= w->target) {
        double part = isnan(w->before) || celsius == w->before
                          ? 1.0
                          : (w->before - w->target) / (w->before - celsius);
        double from = isnan(w->before) ? point->seconds : w->before_at;
        w->reached = from + part * (point->seconds - from) - w->clock;
        return false;
    }
    w->before = celsius;
    w->before_at = point->seconds;
    return true;
}

static double followed_to(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end,
                          double celsius)
{
    waiting w = {.clock = 60.0 * q->before,
                 .target = celsius,
                 .warming = arrival_of(arena, q, BK_HEAT_TYPICAL).warming,
                 .before = NAN,
                 .reached = INFINITY};
    bk_trial_run(arena, q, end, year, wait_for, &w);
    return w.reached;
}

double bk_heat_seconds_to(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end,
                          double celsius)
{
    if (q->leg_count > 0)
        return followed_to(arena, q, end, celsius);
    if (q->from_c == celsius || (q->air_c > q->from_c ? celsius < q->from_c : celsius > q->from_c))
        return 0.0;
    double theta = (celsius - q->air_c) / (q->from_c - q->air_c);
    if (!(theta > 0.0))
        return INFINITY;
    if (bk_trial_needed(q))
        return followed_to(arena, q, end, celsius);
    bk_body body;
    begin(&body, q, end);
    return bk_body_time(&body, theta, year);
}

/* The warmest that what lies below gets, until the poured layer is there. */
typedef struct joint {
    double target, warmest;
    bool warming;
} joint;

static bool watch_joint(void *context, const bk_trial_point *point)
{
    joint *j = context;
    j->warmest = fmax(j->warmest, point->below_warmest);
    return j->warming ? point->coldest < j->target : point->warmest > j->target;
}

static double joint_of(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end)
{
    joint j = {.target = q->to_c,
               .warmest = q->below.from_c,
               .warming = arrival_of(arena, q, BK_HEAT_TYPICAL).warming};
    bk_trial_run(arena, q, end, year, watch_joint, &j);
    return j.warmest;
}

/* Whole minutes, rounded up, at least one; a hair above a whole minute is rounding
 * of the last digits, not time. */
static int64_t whole_minutes(double seconds)
{
    double minutes = ceil(seconds / 60.0 - 1e-6);
    return minutes < 1.0 ? 1 : (int64_t)minutes;
}

bk_heat_answer bk_heat_estimate(bk_arena *arena, const bk_heat_question *q)
{
    bk_heat_answer a = {.fault = BK_HEAT_OK};

    check_numbers(arena, q, &a);
    if (a.fault == BK_HEAT_OK)
        check_target(arena, q, &a);
    if (a.fault != BK_HEAT_OK)
        return a;

    a.material = bk_question_material(q);
    double half = 0.5 * (q->shape == BK_HEAT_BALL ? q->across : q->deep);
    a.biot = bk_question_surface(q, BK_HEAT_TYPICAL) * half / a.material.conductivity;

    double least = bk_heat_seconds_to(arena, q, BK_HEAT_STRONG, q->to_c);
    double likely = bk_heat_seconds_to(arena, q, BK_HEAT_TYPICAL, q->to_c);
    double most = bk_heat_seconds_to(arena, q, BK_HEAT_WEAK, q->to_c);
    if (q->leg_count > 0 && isinf(most)) {
        fault(&a, BK_HEAT_NEVER,
              bk_format(arena, "in the last place, at %s, the food never gets to %s",
                        degrees(arena, q, q->air_c), degrees(arena, q, q->to_c)),
              "give a target between where it stood before and the last place, or leave it longer");
        return a;
    }
    if (isinf(most)) {
        fault(&a, BK_HEAT_TOO_LONG,
              bk_format(arena, "it takes more than a year for the %s point to get to %s",
                        a.warming ? "coldest" : "warmest", degrees(arena, q, q->to_c)),
              "check the sizes");
        return a;
    }
    a.least_minutes = whole_minutes(least);
    a.likely_minutes = whole_minutes(likely);
    a.most_minutes = whole_minutes(most);
    for (int end = BK_HEAT_WEAK; end <= BK_HEAT_STRONG; end++)
        a.joint_c[end] = q->below.deep > 0.0 ? joint_of(arena, q, (enum bk_heat_end)end) : NAN;
    return a;
}

/* Asked times that the body passes. */
typedef struct reading {
    double clock;
    bool warming;
    double before_at, before; /* the point before */
    const double *minutes;
    double *celsius;
    size_t count, next;
} reading;

static bool read_off(void *context, const bk_trial_point *point)
{
    reading *r = context;
    double celsius = r->warming ? point->coldest : point->warmest;
    while (r->next < r->count && 60.0 * r->minutes[r->next] + r->clock <= point->seconds + 1e-6) {
        double at = 60.0 * r->minutes[r->next] + r->clock, span = point->seconds - r->before_at;
        double part = span > 0.0 ? fmin((at - r->before_at) / span, 1.0) : 1.0;
        r->celsius[r->next++] = r->before + part * (celsius - r->before);
    }
    r->before_at = point->seconds;
    r->before = celsius;
    return r->next < r->count;
}

void bk_heat_curve(bk_arena *arena, const bk_heat_question *q, enum bk_heat_end end,
                   const double *minutes, double *celsius, size_t count)
{
    if (count == 0)
        return;
    if (bk_trial_needed(q)) {
        reading r = {.clock = 60.0 * q->before,
                     .warming = arrival_of(arena, q, BK_HEAT_TYPICAL).warming,
                     .before = q->from_c,
                     .minutes = minutes,
                     .celsius = celsius,
                     .count = count};
        bk_trial_run(arena, q, end, r.clock + 60.0 * minutes[count - 1] + 1.0, read_off, &r);
        return;
    }
    bk_body body;
    begin(&body, q, end);
    for (size_t i = 0; i < count; i++)
        celsius[i] = q->air_c + (q->from_c - q->air_c) * bk_body_slowest(&body, 60.0 * minutes[i]);
}

double bk_heat_temperature(const bk_heat_question *q, enum bk_heat_end end, double along,
                           double over, double up, double seconds)
{
    bk_body body;
    begin(&body, q, end);
    return q->air_c + (q->from_c - q->air_c) * bk_body_at(&body, along, over, up, seconds);
}
