/* From a question about one stage to minutes and temperatures. */
#include "heat/body.h"
#include "heat/heat.h"

static const double year = 366.0 * 86400.0; /* s */

/* Water that can become ice: all but what protein binds, 0.4 of its mass (Schwartzberg
 * 1976, in ASHRAE Refrigeration, ch. 19). */
static bool can_freeze(const bk_composition *c)
{
    return c->water > 0.4 * c->protein;
}

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
    case BK_HEAT_FREEZES:
        return "freezing-not-modelled";
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
                  bk_format(arena, "%.4g C for the %s is outside the range of the estimate",
                            temperature[i], of[i]),
                  "give a temperature from -40 C to 300 C");
            return;
        }
    if (q->has_material) {
        if (!material_good(&q->material))
            fault(a, BK_HEAT_BAD_MATERIAL,
                  bk_format(
                      arena,
                      "conductivity %.4g W/(m K), density %.4g kg/m3, heat capacity %.4g J/(kg K) "
                      "are not a material's",
                      q->material.conductivity, q->material.density, q->material.heat_capacity),
                  "food has about 0.1-0.6 W/(m K), 300-1400 kg/m3, 1500-4200 J/(kg K)");
        return;
    }
    double sum = bk_composition_sum(&q->composition);
    if (isnan(sum))
        fault(a, BK_HEAT_BAD_COMPOSITION,
              "a part of the composition is negative or not a number, or air is not "
              "from 0 to 0.9",
              "give mass fractions from 0 to 1, and air as a volume fraction");
    else if (fabs(sum - 1.0) > 0.02 + 1e-9)
        fault(a, BK_HEAT_BAD_COMPOSITION,
              bk_format(arena, "the mass fractions add up to %.4g, not to 1", sum),
              "make water, protein, fat, carbohydrate, fibre and ash add up to 1 (within 0.02)");
}

/* Whether the target can be reached at all, and by what this model counts. */
static void check_target(bk_arena *arena, const bk_heat_question *q, bk_heat_answer *a)
{
    double from = q->from_c, to = q->to_c, air = q->air_c;
    bool warming = air > from;
    const char *colder = warming ? "warmer" : "colder", *below = warming ? "above" : "below";

    a->warming = warming;
    if (from == to || (from != air && (warming ? to < from : to > from))) {
        fault(
            a, BK_HEAT_ALREADY,
            from == to
                ? bk_format(arena, "the food starts at its target, %.4g C", to)
                : bk_format(arena,
                            "the food starts at %.4g C and gets %s in air at %.4g C: it is %s its "
                            "target of %.4g C from the start",
                            from, colder, air, below, to),
            "check the start, the target and the place");
        return;
    }
    if (from == air || (warming ? to >= air : to <= air)) {
        fault(a, BK_HEAT_NEVER,
              bk_format(arena, "in air at %.4g C the food never gets to %.4g C", air, to),
              warming ? "give a target below the surroundings, or a warmer place"
                      : "give a target above the surroundings, or a colder place");
        return;
    }
    bool watery = q->has_material || can_freeze(&q->composition);
    a->may_freeze = watery && air < BK_HEAT_FREEZING;
    if (!q->has_material && watery && (from < BK_HEAT_FREEZING || to < BK_HEAT_FREEZING))
        fault(a, BK_HEAT_FREEZES,
              bk_format(arena,
                        "from %.4g C to %.4g C the food freezes or thaws, which this estimate does "
                        "not cover",
                        from, to),
              "write the time yourself as a passive range");
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

double bk_heat_seconds_to(const bk_heat_question *q, enum bk_heat_end end, double celsius)
{
    if (q->from_c == celsius || (q->air_c > q->from_c ? celsius < q->from_c : celsius > q->from_c))
        return 0.0;
    double theta = (celsius - q->air_c) / (q->from_c - q->air_c);
    if (!(theta > 0.0))
        return INFINITY;
    bk_body body;
    begin(&body, q, end);
    return bk_body_time(&body, theta, year);
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

    double least = bk_heat_seconds_to(q, BK_HEAT_STRONG, q->to_c);
    double likely = bk_heat_seconds_to(q, BK_HEAT_TYPICAL, q->to_c);
    double most = bk_heat_seconds_to(q, BK_HEAT_WEAK, q->to_c);
    if (isinf(most)) {
        fault(&a, BK_HEAT_TOO_LONG,
              bk_format(arena, "it takes more than a year for the %s point to get to %.4g C",
                        a.warming ? "coldest" : "warmest", q->to_c),
              "check the sizes");
        return a;
    }
    a.least_minutes = whole_minutes(least);
    a.likely_minutes = whole_minutes(likely);
    a.most_minutes = whole_minutes(most);
    return a;
}

void bk_heat_curve(const bk_heat_question *q, enum bk_heat_end end, const double *minutes,
                   double *celsius, size_t count)
{
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
