/* The tin a recipe was written for, and the one that is used: amounts, and what it means for
 * the oven. */
#include "plan/reader.h"

#include <math.h>

static const char *const TIN_MEND = "write {\"shape\": \"round\", \"across\": \"20 cm\"}";

/* "round, 20 cm across and 6 cm deep", in the plan's own units. */
static const char *tin_words(bk_reader *reader, const bk_json *json, const bk_tin *tin)
{
    const bk_json *deep = bk_json_get(json, "deep");
    return bk_format(reader->arena, "%s, %s across%s%s%s", tin->square ? "square" : "round",
                     bk_json_get(json, "across")->string, deep ? " and " : "",
                     deep ? deep->string : "", deep ? " deep" : "");
}

/* False when there is none, or after reporting. */
static bool read_tin(bk_reader *reader, bk_json *dish, const char *key, bool square, bk_tin *tin)
{
    bk_json *json = bk_json_get(dish, key);
    const char *whose = bk_format(reader->arena, "\"%s\"", key);
    bk_tin read = {.square = square};
    int shape = square;
    if (!json || !bk_is_object(reader, json, whose, TIN_MEND))
        return false;
    bk_check_keys(reader, json, whose, bk_tin_keys);
    size_t errors = reader->report->errors;
    bk_get_word(reader, json, "shape", bk_tin_shapes, &shape);
    read.square = shape == 1;
    bk_get_length(reader, json, "across", whose, true, &read.across);
    bk_get_length(reader, json, "deep", whose, false, &read.deep);
    if (reader->report->errors > errors)
        return false;
    if (!(read.across >= 0.01 && read.across <= 2.0) || read.deep > 1.0 ||
        (bk_json_get(json, "deep") && read.deep < 0.001)) {
        bk_problem(reader, "tin", bk_json_place(json),
                   "write \"across\" from 1 cm to 2 m, \"deep\" from 1 mm to 1 m",
                   "%s is no size of a tin", whose);
        return false;
    }
    read.inches = bk_is_inches(bk_json_get(json, "across")->string);
    read.words = tin_words(reader, json, &read);
    *tin = read;
    return true;
}

static double area(const bk_tin *tin)
{
    return tin->across * tin->across * (tin->square ? 1.0 : acos(-1.0) / 4.0);
}

void bk_read_tins(bk_reader *reader, size_t dish, bk_json *json)
{
    bk_dish *of = &reader->plan->dishes[dish];
    bk_json *into = bk_json_get(json, "into");
    bool has_tin = read_tin(reader, json, "tin", false, &of->tin);
    bool has_into = read_tin(reader, json, "into", of->tin.square, &of->into);
    if (has_into && !bk_json_get(json, "tin"))
        bk_problem(reader, "tin", bk_json_key_place(into),
                   "add \"tin\": {\"shape\": \"round\", \"across\": \"20 cm\"}",
                   "%s does not say what tin it was written for", bk_dish_words(reader, dish));
    if (!has_tin || !has_into)
        return;
    double ratio = area(&of->into) / area(&of->tin);
    if (of->into.deep > 0.0 && of->tin.deep == 0.0) {
        bk_problem(reader, "tin", bk_json_place(bk_json_get(into, "deep")),
                   "add \"deep\" to \"tin\", or leave it out of \"into\"",
                   "how deep \"tin\" is filled is not known, so the volumes cannot be compared");
        of->into = (bk_tin){0};
        return;
    }
    if (of->into.deep > 0.0)
        ratio *= of->into.deep / of->tin.deep;
    else
        of->into.deep = of->tin.deep; /* filled as high as it was */
    of->into_place = bk_json_place(into);
    if (of->scale > 0.0 && of->scale != 1.0 && fabs(ratio - 1.0) > 1e-9)
        bk_remark(reader, "tin", of->into_place, "keep one of them, unless it is so many tins more",
                  "the amounts of %s are multiplied by \"make\" (%.3g) and by the tin (%.3g)",
                  bk_dish_words(reader, dish), of->scale, ratio);
    else if (of->serves > 0)
        of->serves = (int64_t)fmax(1.0, floor((double)of->serves * ratio + 0.5));
    of->scale = (of->scale > 0.0 ? of->scale : 1.0) * ratio;
}

bool bk_other_tin(const bk_dish *dish)
{
    return dish->into.across > 0.0 && dish->tin.across > 0.0 &&
           (dish->into.across != dish->tin.across || dish->into.deep != dish->tin.deep ||
            dish->into.square != dish->tin.square);
}

/* What is in it warms through at a rate with the squares of its dimensions: of a cylinder
 * (2.405 / radius)^2 + (pi / depth)^2, of a box with two sides as long
 * 2 (pi / side)^2 + (pi / depth)^2 (Carslaw and Jaeger 1959, 8.4 and 6.2, first terms; from
 * memory). */
static double rate(const bk_tin *tin)
{
    double pi = acos(-1.0), wide = tin->square ? 2.0 * pow(pi / tin->across, 2.0)
                                               : pow(2.0 * 2.405 / tin->across, 2.0);
    return wide + pow(pi / tin->deep, 2.0);
}

double bk_tin_longer(const bk_dish *dish)
{
    /* Where the depth is not known: look a tenth sooner. Common practice, no source. */
    enum { TENTHS = 9 };
    if (dish->tin.deep == 0.0 || dish->into.deep == 0.0)
        return TENTHS / 10.0;
    return rate(&dish->tin) / rate(&dish->into);
}

void bk_read_tin_caution(bk_reader *reader, size_t index)
{
    bk_stage *stage = &reader->plan->stages[index];
    const bk_dish *dish = &reader->plan->dishes[stage->dish];
    if (!bk_is_heated(stage) || !bk_other_tin(dish))
        return;
    const char *known = "Its depth in the tin is not said, so look sooner, and test it";
    double longer = bk_tin_longer(dish);
    if (dish->tin.deep > 0.0) {
        long long least = (long long)ceil((double)stage->range.least * longer - 1e-6);
        long long most = (long long)ceil((double)stage->range.most * longer - 1e-6);
        const char *about = least == most ? bk_format(reader->arena, "%lld min", most)
                                          : bk_format(reader->arena, "%lld-%lld min", least, most);
        known = bk_format(reader->arena, "By its size it would take about %s: test it", about);
    }
    const char *own =
        bk_format(reader->arena,
                  "The time is that of the tin it was written for (%s), not of this one (%s). %s.",
                  dish->tin.words, dish->into.words, known);
    stage->caution = stage->caution ? bk_format(reader->arena, "%s %s", stage->caution, own) : own;
}
