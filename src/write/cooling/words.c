/* What the writers of a cooling estimate share: its words and its curve. */
#include "write/cooling/words.h"

#include "safety/safety.h"
#include "write/words/words.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

int64_t bk_usual_minutes(int64_t span, int64_t most)
{
    static const int64_t usual[] = {1, 2, 5, 10, 15, 20, 30, 60, 120, 180, 240, 360, 720, 1440};
    enum { USUAL = sizeof usual / sizeof *usual };
    for (size_t i = 0; i < USUAL; i++)
        if (usual[i] * most >= span)
            return usual[i];
    int64_t step = usual[USUAL - 1];
    while (step * most < span)
        step *= 2;
    return step;
}

bk_course bk_course_of(bk_arena *arena, const bk_cooled *cooled, size_t most)
{
    int64_t span = cooled->answer.most_minutes;
    bk_course course = {.step = bk_usual_minutes(span, (int64_t)most)};
    course.count = (size_t)((span + course.step - 1) / course.step) + 1;
    course.minutes = BK_NEW(arena, double, course.count);
    for (size_t i = 0; i < course.count; i++)
        course.minutes[i] = (double)((int64_t)i * course.step);
    for (int end = BK_HEAT_WEAK; end <= BK_HEAT_STRONG; end++) {
        course.celsius[end] = BK_NEW(arena, double, course.count);
        bk_heat_curve(arena, &cooled->question, (enum bk_heat_end)end, course.minutes,
                      course.celsius[end], course.count);
    }
    return course;
}

void bk_course_range(const bk_course *course, const bk_cooled *cooled, double *low, double *high)
{
    const bk_heat_question *q = &cooled->question;
    double start = q->leg_count > 0 ? cooled->answer.start_c : q->from_c;
    *low = fmin(start, q->air_c);
    *high = fmax(start, q->air_c);
    for (int end = BK_HEAT_WEAK; end <= BK_HEAT_STRONG; end++)
        for (size_t i = 0; i < course->count; i++) {
            *low = fmin(*low, course->celsius[end][i]);
            *high = fmax(*high, course->celsius[end][i]);
        }
}

/* Whether two temperatures that differ would be shown as one. */
static bool alike(double a, double b, int decimals)
{
    double scale = pow(10.0, decimals);
    return a != b && llround(a * scale) == llround(b * scale);
}

char *bk_cooled_degrees(bk_arena *arena, const bk_cooled *cooled, double celsius)
{
    enum { MOST_DECIMALS = 4 };
    const bk_heat_question *q = &cooled->question;
    int decimals = 1;
    while (decimals < MOST_DECIMALS &&
           (alike(q->from_c, q->to_c, decimals) || alike(q->to_c, q->air_c, decimals) ||
            alike(q->from_c, q->air_c, decimals)))
        decimals++;
    return bk_decimal(arena, bk_on_scale(q->units, celsius), decimals);
}

char *bk_cooled_celsius(bk_arena *arena, const bk_cooled *cooled, double celsius)
{
    return bk_format(arena, "%s °%c", bk_cooled_degrees(arena, cooled, celsius),
                     cooled->question.units.fahrenheit ? 'F' : 'C');
}

char *bk_with_degrees(bk_arena *arena, const char *text)
{
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    for (const char *c = text; *c; c++) {
        bool degrees = c > text && c[-1] == ' ' && (c[0] == 'C' || c[0] == 'F') &&
                       (c[1] == '\0' || strchr(" ,;:.)", c[1])) && c - text >= 2 && c[-2] >= '0' &&
                       c[-2] <= '9';
        bk_text_add(&out, degrees ? "°" : "");
        bk_text_add_bytes(&out, c, 1);
    }
    return out.data;
}

static char *length_words(bk_arena *arena, bk_units units, double metres)
{
    if (units.inches)
        return bk_format(arena, "%s in", bk_decimal(arena, metres / 0.0254, 2));
    return metres < 0.02 ? bk_format(arena, "%s mm", bk_decimal(arena, 1000.0 * metres, 1))
                         : bk_format(arena, "%s cm", bk_decimal(arena, 100.0 * metres, 1));
}

static const char *food_words(bk_arena *arena, const bk_cooled *cooled)
{
    if (!cooled->food)
        return cooled->question.has_material ? "A material" : "Food by its composition";
    char *name = bk_copy_string(arena, cooled->food);
    if (name[0] >= 'a' && name[0] <= 'z')
        name[0] = (char)(name[0] - 'a' + 'A');
    return name;
}

char *bk_cooled_title(bk_arena *arena, const bk_cooled *cooled)
{
    static const char *const shape[] = {"round", "slab", "ball"};
    const bk_heat_question *q = &cooled->question;
    bk_text out = bk_text_new(arena);
    if (cooled->stage)
        bk_text_addf(&out, "%s: ", bk_words_clean(arena, cooled->stage));
    bk_text_addf(&out, "%s, %s", food_words(arena, cooled), shape[q->shape]);
    if (isfinite(q->across))
        bk_text_addf(&out, ", %s across", length_words(arena, q->units, q->across));
    if (q->shape != BK_HEAT_BALL)
        bk_text_addf(&out, ", %s deep", length_words(arena, q->units, q->deep));
    return out.data;
}

/* Cover, stirring and what is below: "; under a lid", "; on 4 cm of cheesecake at 5 °C". */
static void add_body_words(bk_text *out, const bk_cooled *cooled)
{
    static const char *const cover[BK_HEAT_COVERS] = {"", "; film on it", "; under a lid",
                                                      "; under foil"};
    const bk_heat_question *q = &cooled->question;
    if (q->shape != BK_HEAT_BALL)
        bk_text_add(out, cover[q->cover]);
    if (q->stirred)
        bk_text_add(out, "; stirred");
    else if (q->liquid == BK_HEAT_THIN && q->air_c >= BK_HEAT_FREEZING)
        bk_text_add(out, "; a liquid that moves");
    if (q->below.deep > 0.0)
        bk_text_addf(out, "; on %s of %s at %s", length_words(out->arena, q->units, q->below.deep),
                     cooled->below ? cooled->below : "what is below",
                     bk_celsius(out->arena, q->units, q->below.from_c));
}

/* "; before that 30 min in a room at 20 °C". */
static void add_places(bk_text *out, const bk_heat_question *q)
{
    for (size_t i = 0; i < q->leg_count; i++) {
        const char *place = bk_heat_place_name(q->legs[i].place);
        bk_text_addf(out, "%s %s in %s %s at %s", i == 0 ? "; before that" : ", then",
                     bk_minutes(out->arena, (int64_t)q->legs[i].minutes),
                     strchr("aeiou", place[0]) ? "an" : "a", place,
                     bk_celsius(out->arena, q->units, q->legs[i].air_c));
    }
    if (q->before > 0.0)
        bk_text_addf(out, "; the clock starts after %s",
                     bk_minutes(out->arena, (int64_t)q->before));
}

char *bk_cooled_course(bk_arena *arena, const bk_cooled *cooled)
{
    const bk_heat_question *q = &cooled->question;
    const char *place = bk_heat_place_name(q->place);
    bk_text out = bk_text_new(arena);
    bk_text_addf(&out, "from %s to %s in %s %s at %s", bk_cooled_celsius(arena, cooled, q->from_c),
                 bk_cooled_celsius(arena, cooled, q->to_c), strchr("aeiou", place[0]) ? "an" : "a",
                 place, bk_cooled_celsius(arena, cooled, q->air_c));
    if (q->shape != BK_HEAT_BALL)
        bk_text_addf(&out, "; %s, base %s", bk_heat_wall(q->tin)->name,
                     q->base_insulated ? "insulated" : "open");
    add_body_words(&out, cooled);
    add_places(&out, q);
    if (q->surface[BK_HEAT_TYPICAL] > 0.0)
        bk_text_addf(&out, "; h %s (%s to %s) W/(m² K)",
                     bk_decimal(arena, q->surface[BK_HEAT_TYPICAL], 2),
                     bk_decimal(arena, q->surface[BK_HEAT_WEAK], 2),
                     bk_decimal(arena, q->surface[BK_HEAT_STRONG], 2));
    if (q->has_material)
        bk_text_addf(&out, "; k %s W/(m K), rho %s kg/m³, cp %s J/(kg K)",
                     bk_decimal(arena, q->material.conductivity, 4),
                     bk_decimal(arena, q->material.density, 1),
                     bk_decimal(arena, q->material.heat_capacity, 1));
    return out.data;
}

const char *bk_cooled_point(const bk_cooled *cooled)
{
    bool warming = cooled->answer.warming;
    if (cooled->question.shape == BK_HEAT_BALL)
        return warming ? "the coldest point, at the centre" : "the warmest point, at the centre";
    if (cooled->question.base_insulated)
        return warming ? "the coldest point, in the middle of the base"
                       : "the warmest point, in the middle of the base";
    return warming ? "the coldest point, in the middle" : "the warmest point, in the middle";
}

char *bk_cooled_change(bk_arena *arena, const bk_heat_change *change)
{
    const bk_heat_answer *answer = &change->answer;
    if (answer->fault == BK_HEAT_NEVER)
        return bk_copy_string(arena, "never gets there");
    if (answer->fault == BK_HEAT_ALREADY)
        return bk_copy_string(arena, "is there from the start");
    if (answer->fault == BK_HEAT_TOO_LONG)
        return bk_copy_string(arena, "more than a year");
    if (answer->fault != BK_HEAT_OK)
        return bk_copy_string(arena, "not within what the estimate covers");
    int64_t difference = change->likely_difference;
    const char *time = bk_minutes(arena, answer->likely_minutes);
    if (difference == 0)
        return bk_format(arena, "%s (the same)", time);
    return bk_format(arena, "%s (%s %s)", time,
                     bk_minutes(arena, difference < 0 ? -difference : difference),
                     difference < 0 ? "less" : "more");
}

size_t bk_cooled_notes(bk_arena *arena, const bk_cooled *cooled,
                       const char *notes[BK_COOLED_MOST_NOTES])
{
    static const double firm = 12.0, hot = 50.0;
    const bk_heat_question *q = &cooled->question;
    bool cold_place = q->place <= BK_HEAT_FREEZER_FAN;
    size_t count = 0;
    const char *limit = bk_safety_limit(arena, q->units, q->to_c);
    if (limit)
        notes[count++] =
            bk_format(arena, "%s. Local rules may differ.", bk_with_degrees(arena, limit));
    double joint =
        fmax(cooled->answer.joint_c[BK_HEAT_WEAK], cooled->answer.joint_c[BK_HEAT_STRONG]);
    if (q->below.deep > 0.0 && joint > cooled->melts_c)
        notes[count++] = bk_format(arena,
                                   "What it is poured onto gets to %s at the joint, and softens at "
                                   "%s: pour it cooler or thinner, or have what is below colder.",
                                   bk_celsius(arena, q->units, joint),
                                   bk_celsius(arena, q->units, cooled->melts_c));
    else if (q->below.deep > 0.0)
        notes[count++] = bk_format(arena, "What it is poured onto gets no warmer than %s.",
                                   bk_celsius(arena, q->units, joint));
    if (cooled->answer.may_freeze)
        notes[count++] = "The outside may freeze before the middle is there: watch it.";
    if (!cooled->answer.warming && q->from_c >= hot && cold_place)
        notes[count++] =
            "Hot food warms what stands beside it, and the air is then warmer for hours "
            "than was counted on; a hot tin can crack a glass shelf.";
    else if (!cooled->answer.warming && q->to_c <= firm)
        notes[count++] = "Cold is not yet firm: gelatine, fat and starch set with a delay.";
    if (cold_place && q->place <= BK_HEAT_FRIDGE_FAN && !cooled->answer.warming)
        notes[count++] =
            q->units.fahrenheit
                ? "A fridge whose door opens often, or with several warm tins in it, is 4 to 7 "
                  "°F warmer for an hour or more: ask again with its air."
                : "A fridge whose door opens often, or with several warm tins in it, is 2 to 4 "
                  "°C warmer for an hour or more: ask again with its air.";
    notes[count++] = "This is an estimate, not a measurement, and it cannot tell whether food is "
                     "safe: put a probe thermometer in the middle of anything that is held to a "
                     "limit, and follow your local rules.";
    return count;
}
