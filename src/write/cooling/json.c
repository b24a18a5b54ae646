/* A cooling estimate as JSON; docs/cooling.md describes it. */
#include "json/json.h"
#include "write/cooling/words.h"

#include <math.h>

enum { MOST_STEPS = 60 };

/* Thousandths: the last digits of the library's sines are no part of the answer. What is
 * endless stays so. */
static double rounded(double value)
{
    return !isfinite(value) ? value : (double)llround(value * 1000.0) / 1000.0;
}

static void put_below(bk_put *put, const bk_cooled *cooled)
{
    const bk_heat_below *below = &cooled->question.below;
    if (!(below->deep > 0.0)) {
        bk_put_null(put, "onto");
        return;
    }
    bk_put_open(put, "onto", "{");
    bk_put_text(put, "food", cooled->below);
    bk_put_number(put, "deep_mm", rounded(1000.0 * below->deep));
    bk_put_number(put, "from_c", rounded(below->from_c));
    bk_put_number(put, "melts_c", rounded(cooled->melts_c));
    bk_put_close(put, "}");
}

/* Where it stood before, and how long of it before the clock starts. */
static void put_places(bk_put *put, const bk_heat_question *q)
{
    bk_put_open(put, "places_before", "[");
    for (size_t i = 0; i < q->leg_count; i++) {
        bk_put_open(put, NULL, "{");
        bk_put_text(put, "in", bk_heat_place_name(q->legs[i].place));
        bk_put_number(put, "air_c", rounded(q->legs[i].air_c));
        bk_put_integer(put, "minutes", (int64_t)q->legs[i].minutes);
        bk_put_close(put, "}");
    }
    bk_put_close(put, "]");
    bk_put_integer(put, "minutes_before", (int64_t)q->before);
}

static void put_question(bk_put *put, const bk_cooled *cooled)
{
    static const char *const shape[] = {"round", "slab", "ball"};
    static const char *const tin[BK_HEAT_TINS] = {"none", "metal", "glass", "ceramic", "silicone"};
    static const char *const cover[BK_HEAT_COVERS] = {"none", "film", "lid", "foil"};
    const bk_heat_question *q = &cooled->question;
    const bk_material *m = &cooled->answer.material;
    bool ball = q->shape == BK_HEAT_BALL;
    bk_put_open(put, "question", "{");
    bk_put_text(put, "stage", cooled->stage);
    bk_put_text(put, "shape", shape[q->shape]);
    bk_put_number(put, "across_mm", rounded(1000.0 * q->across)); /* null: its edges do not count */
    if (ball)
        bk_put_null(put, "deep_mm");
    else
        bk_put_number(put, "deep_mm", rounded(1000.0 * q->deep));
    bk_put_text(put, "food", cooled->food);
    bk_put_number(put, "k", rounded(1000.0 * m->conductivity) / 1000.0);
    bk_put_number(put, "rho", rounded(m->density));
    bk_put_number(put, "cp", rounded(m->heat_capacity));
    bk_put_number(put, "from_c", rounded(q->from_c));
    bk_put_number(put, "to_c", rounded(q->to_c));
    bk_put_text(put, "in", bk_heat_place_name(q->place));
    bk_put_number(put, "air_c", rounded(q->air_c));
    bk_put_open(put, "h", "[");
    for (int end = BK_HEAT_WEAK; end <= BK_HEAT_STRONG; end++)
        bk_put_number(put, NULL, rounded(bk_question_surface(q, (enum bk_heat_end)end)));
    bk_put_close(put, "]");
    bk_put_text(put, "base", ball ? NULL : q->base_insulated ? "insulated" : "open");
    bk_put_text(put, "tin", ball ? NULL : tin[q->tin]);
    bk_put_text(put, "cover", ball ? NULL : cover[q->cover]);
    bk_put_boolean(put, "stirred", q->stirred);
    put_below(put, cooled);
    put_places(put, q);
    bk_put_close(put, "}");
}

static void put_curve(bk_put *put, bk_arena *arena, const bk_cooled *cooled)
{
    bk_course course = bk_course_of(arena, cooled, MOST_STEPS);
    bk_put_open(put, "curve", "[");
    for (size_t i = 0; i < course.count; i++) {
        bk_put_open(put, NULL, "{");
        bk_put_integer(put, "minutes", (int64_t)course.minutes[i]);
        bk_put_number(put, cooled->answer.warming ? "coldest_c" : "warmest_c",
                      rounded(course.celsius[BK_HEAT_TYPICAL][i]));
        bk_put_number(put, "least_c", rounded(course.celsius[BK_HEAT_STRONG][i]));
        bk_put_number(put, "most_c", rounded(course.celsius[BK_HEAT_WEAK][i]));
        bk_put_close(put, "}");
    }
    bk_put_close(put, "]");
}

static void put_changes(bk_put *put, bk_arena *arena, const char *key,
                        const bk_heat_change *changes, size_t count)
{
    bk_put_open(put, key, "[");
    for (size_t i = 0; i < count; i++) {
        const bk_heat_change *c = &changes[i];
        bool good = c->answer.fault == BK_HEAT_OK;
        bk_put_open(put, NULL, "{");
        bk_put_text(put, "change", bk_with_degrees(arena, c->what));
        if (good) {
            bk_put_integer(put, "least_minutes", c->answer.least_minutes);
            bk_put_integer(put, "likely_minutes", c->answer.likely_minutes);
            bk_put_integer(put, "most_minutes", c->answer.most_minutes);
            bk_put_integer(put, "likely_difference_minutes", c->likely_difference);
        } else {
            bk_put_null(put, "likely_minutes");
            bk_put_text(put, "fault", bk_heat_fault_code(c->answer.fault));
        }
        bk_put_close(put, "}");
    }
    bk_put_close(put, "]");
}

/* The warmest that what is below gets: at the strong, typical and weak end. */
static void put_joint(bk_put *put, const bk_cooled *cooled)
{
    if (!(cooled->question.below.deep > 0.0)) {
        bk_put_null(put, "onto_warmest_c");
        return;
    }
    bk_put_open(put, "onto_warmest_c", "[");
    for (int end = BK_HEAT_STRONG; end >= BK_HEAT_WEAK; end--)
        bk_put_number(put, NULL, rounded(cooled->answer.joint_c[end]));
    bk_put_close(put, "]");
}

void bk_write_cooling_json(const bk_cooled *cooled, bk_text *out)
{
    bk_arena *arena = out->arena;
    const bk_heat_answer *a = &cooled->answer;
    bk_put put = bk_put_to(out);
    bk_put_open(&put, NULL, "{");
    bk_put_text(&put, "format", "bakeset-cooling-1");
    put_question(&put, cooled);
    bk_put_integer(&put, "least_minutes", a->least_minutes);
    bk_put_integer(&put, "likely_minutes", a->likely_minutes);
    bk_put_integer(&put, "most_minutes", a->most_minutes);
    bk_put_boolean(&put, "warming", a->warming);
    bk_put_number(&put, "start_c", rounded(a->start_c));
    put_joint(&put, cooled);
    bk_put_number(&put, "biot", rounded(a->biot));
    put_curve(&put, arena, cooled);
    bk_heat_change changes[BK_HEAT_MOST_CHANGES];
    size_t count = bk_heat_sensitivities(arena, &cooled->question, changes);
    put_changes(&put, arena, "what_matters", changes, count);
    count = bk_heat_other_sizes(arena, &cooled->question, changes);
    put_changes(&put, arena, "other_sizes", changes, count);
    const char *notes[BK_COOLED_MOST_NOTES];
    count = bk_cooled_notes(arena, cooled, notes);
    bk_put_open(&put, "notes", "[");
    for (size_t i = 0; i < count; i++)
        bk_put_text(&put, NULL, notes[i]);
    bk_put_close(&put, "]");
    bk_put_close(&put, "}");
    bk_text_add(out, "\n");
}
