/* The same question with one thing changed: what matters most, and other tins. */
#include "heat/heat.h"

/* Where changes collect. */
typedef struct list {
    bk_arena *arena;
    bk_heat_change *changes;
    size_t count;
    int64_t asked; /* likely minutes of the question as asked */
} list;

static void add(list *l, const bk_heat_question *question, const char *what)
{
    if (l->count == BK_HEAT_MOST_CHANGES)
        return;
    bk_heat_change *c = &l->changes[l->count++];
    c->what = what;
    c->question = *question;
    c->answer = bk_heat_estimate(l->arena, question);
    c->likely_difference = c->answer.fault == BK_HEAT_OK ? c->answer.likely_minutes - l->asked : 0;
}

/* Effect as it ranks: a change after which the target is never reached is the
 * largest of all. */
static int64_t effect(const bk_heat_change *c)
{
    if (c->answer.fault != BK_HEAT_OK)
        return INT64_MAX;
    return c->likely_difference < 0 ? -c->likely_difference : c->likely_difference;
}

static void largest_first(list *l)
{
    for (size_t i = 1; i < l->count; i++) {
        bk_heat_change moved = l->changes[i];
        size_t j = i;
        for (; j > 0 && effect(&l->changes[j - 1]) < effect(&moved); j--)
            l->changes[j] = l->changes[j - 1];
        l->changes[j] = moved;
    }
}

static void vary_size(list *l, const bk_heat_question *q)
{
    bk_heat_question other = *q;
    if (q->shape != BK_HEAT_BALL) {
        other.deep = 0.75 * q->deep;
        add(l, &other,
            bk_format(l->arena, "a quarter less deep (%s)",
                      bk_length(l->arena, q->units, other.deep, true)));
        other.deep = q->deep;
    }
    if (isfinite(q->across)) {
        other.across = 0.75 * q->across;
        add(l, &other,
            bk_format(l->arena, "a quarter less across (%s)",
                      bk_length(l->arena, q->units, other.across, false)));
    }
}

static const char *air_words(list *l, const bk_heat_question *q, double by, bool warmer,
                             double air_c)
{
    return bk_format(l->arena, "air %s %s (%s)", bk_degrees_apart(l->arena, q->units, by),
                     warmer ? "warmer" : "colder", bk_degrees(l->arena, q->units, air_c));
}

static void vary_temperatures(list *l, const bk_heat_question *q)
{
    bk_heat_question other = *q;
    double sign = q->air_c > q->from_c ? 1.0 : -1.0, start = q->from_c + 5.0 * sign;

    if (sign * (q->to_c - start) > 0.0) {
        other.from_c = start;
        add(l, &other,
            bk_format(l->arena, "started %s %s (%s)", bk_degrees_apart(l->arena, q->units, 5.0),
                      sign > 0.0 ? "warmer" : "colder", bk_degrees(l->arena, q->units, start)));
        other.from_c = q->from_c;
    }
    other.air_c = q->air_c + sign;
    add(l, &other, air_words(l, q, 1.0, sign > 0.0, other.air_c));
    other.air_c = q->air_c - 2.0 * sign;
    add(l, &other, air_words(l, q, 2.0, sign < 0.0, other.air_c));
}

static void vary_place(list *l, const bk_heat_question *q)
{
    bk_heat_question other = *q;
    const char *what = NULL;
    switch (q->place) {
    case BK_HEAT_FRIDGE:
        other.place = BK_HEAT_FRIDGE_FAN;
        what = "with a fan";
        break;
    case BK_HEAT_FREEZER:
        other.place = BK_HEAT_FREEZER_FAN;
        what = "with a fan";
        break;
    case BK_HEAT_FRIDGE_FAN:
        other.place = BK_HEAT_FRIDGE;
        what = "without the fan";
        break;
    case BK_HEAT_FREEZER_FAN:
        other.place = BK_HEAT_FREEZER;
        what = "without the fan";
        break;
    case BK_HEAT_ROOM:
    case BK_HEAT_WATER_BATH:
    case BK_HEAT_ICE_BATH:
        break;
    }
    /* Where the surface is given, a fan would change it by an amount nobody gave. */
    if (what && !(q->surface[BK_HEAT_TYPICAL] > 0.0))
        add(l, &other, what);
    if (q->shape == BK_HEAT_BALL)
        return;
    other = *q;
    other.base_insulated = !q->base_insulated;
    add(l, &other,
        q->base_insulated ? "the base open (on a rack)"
                          : "the base insulated (crumb base, board, solid shelf)");
    other = *q;
    other.tin = q->tin == BK_HEAT_TIN_CERAMIC ? BK_HEAT_TIN_METAL : BK_HEAT_TIN_CERAMIC;
    add(l, &other, q->tin == BK_HEAT_TIN_CERAMIC ? "in a metal tin" : "in a ceramic dish");
}

static list begin(bk_arena *arena, const bk_heat_question *q, bk_heat_change *changes)
{
    return (list){arena, changes, 0, bk_heat_estimate(arena, q).likely_minutes};
}

size_t bk_heat_sensitivities(bk_arena *arena, const bk_heat_question *question,
                             bk_heat_change changes[BK_HEAT_MOST_CHANGES])
{
    list l = begin(arena, question, changes);
    vary_size(&l, question);
    vary_temperatures(&l, question);
    vary_place(&l, question);
    largest_first(&l);
    return l.count;
}

size_t bk_heat_other_sizes(bk_arena *arena, const bk_heat_question *question,
                           bk_heat_change changes[BK_HEAT_MOST_CHANGES])
{
    /* usual tins and a usual single portion, m; common practice */
    static const double metric[] = {0.15, 0.18, 0.20, 0.23, 0.25, 0.28, 0.30};
    static const double inches[] = {6 * 0.0254,  7 * 0.0254,  8 * 0.0254, 9 * 0.0254,
                                    10 * 0.0254, 11 * 0.0254, 12 * 0.0254};
    static const double portion = 0.07, portion_deepest = 0.05;
    enum { TINS = sizeof metric / sizeof metric[0] };
    const bk_units units = question->units;
    const double *tins = units.inches ? inches : metric;
    const double same = 0.006; /* 8 in and 20 cm are one tin */
    list l = begin(arena, question, changes);

    if (question->shape == BK_HEAT_BALL || !isfinite(question->across))
        return 0;
    double across = question->across, deep = question->deep;
    bk_heat_question other = *question;
    for (int i = 0; i < TINS; i++) {
        double ratio = across / tins[i];
        if (fabs(tins[i] - across) < same || ratio > 1.5 || ratio < 1.0 / 1.5)
            continue;
        other.across = tins[i];
        other.deep = deep * ratio * ratio;
        add(&l, &other,
            bk_format(arena, "%s instead of %s, the same amount (%s deep)",
                      bk_length(arena, units, tins[i], false),
                      bk_length(arena, units, across, false),
                      bk_length(arena, units, other.deep, true)));
        other.deep = deep;
        add(&l, &other,
            bk_format(arena, "%s instead of %s, as deep (%.0f %% of the amount)",
                      bk_length(arena, units, tins[i], false),
                      bk_length(arena, units, across, false), 100.0 / (ratio * ratio)));
    }
    if (across > 1.5 * portion) {
        if (l.count == BK_HEAT_MOST_CHANGES)
            l.count--; /* portions are worth more than the last tin */
        other.across = portion;
        other.deep = fmin(deep, portion_deepest);
        double amount = across * across * deep / (portion * portion * other.deep);
        add(&l, &other,
            bk_format(arena, "in %.0f portions of %s, %s deep", ceil(amount - 0.05),
                      bk_length(arena, units, portion, false),
                      bk_length(arena, units, other.deep, true)));
    }
    return l.count;
}
