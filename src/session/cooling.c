/* How long the centre needs, and what of that is written. */
#include "session/session.h"

/* The stage of the plan that is asked about; SIZE_MAX with a message. */
static size_t find_cooling(const bk_plan *plan, const char *name, bk_shelf *shelf)
{
    bk_text others = bk_text_new(shelf->arena);
    size_t found = SIZE_MAX, count = 0;
    for (size_t i = 0; i < plan->stage_count; i++)
        if (plan->stages[i].cooling) {
            found = i;
            bk_text_addf(&others, "%s\"%s\"", count++ > 0 ? ", " : "",
                         bk_stage_name(shelf->arena, plan, i));
        }
    if (count == 0) {
        bk_error(&shelf->report, "no-cooling", (bk_place){0},
                 "give a stage \"cooling\", or ask without a plan",
                 "the plan has no stage whose time is computed from \"cooling\"");
        return SIZE_MAX;
    }
    if (!name && count > 1) {
        bk_error(&shelf->report, "which-stage", (bk_place){0}, "write which before the plan",
                 "the plan has several stages with \"cooling\": %s", others.data);
        return SIZE_MAX;
    }
    if (!name)
        return found;
    size_t stage = bk_shelf_find_stage(plan, name, shelf);
    if (stage != SIZE_MAX && !plan->stages[stage].cooling) {
        bk_error(&shelf->report, "no-cooling", plan->stages[stage].range_place, NULL,
                 "\"%s\" has no \"cooling\"; with it: %s", name, others.data);
        return SIZE_MAX;
    }
    return stage;
}

/* Answers the question that the words ask; with `of_stage`, *cooled is one already, of
 * which they replace parts. */
static enum bakeset_result estimate(bakeset *session, bk_cooled *cooled, bk_cooling cooling,
                                    bool of_stage, const char *const *words)
{
    static const char *const none[] = {NULL};
    bk_shelf *shelf = &session->shelves[BK_COOLING];
    if (!bk_cooling_ask(shelf->arena, words ? words : none, of_stage, &cooling, &cooled->question,
                        &shelf->report))
        return bk_session_finish(session, shelf, BAKESET_BAD_INPUT);
    cooled->food = cooling.food;
    cooled->below = cooling.below;
    cooled->melts_c = cooling.melts_c;
    cooled->answer = bk_heat_estimate(shelf->arena, &cooled->question);
    if (cooled->answer.fault != BK_HEAT_OK) {
        bk_error(&shelf->report, bk_heat_fault_code(cooled->answer.fault), (bk_place){0},
                 cooled->answer.mend, "%s", cooled->answer.message);
        return bk_session_finish(session, shelf, BAKESET_BAD_INPUT);
    }
    bk_session_finish(session, shelf, BAKESET_OK);
    session->cooled = cooled;
    return BAKESET_OK;
}

static enum bakeset_result estimate_stage(bakeset *session, const char *stage,
                                          const char *const *words)
{
    bk_shelf *shelf = &session->shelves[BK_COOLING];
    const bk_plan *plan = session->plan;
    if (!plan)
        bk_shelf_usage(shelf, "there is no plan whose stage could be asked about",
                       "read a plan first");
    size_t found = plan ? find_cooling(plan, stage, shelf) : SIZE_MAX;
    if (found == SIZE_MAX)
        return bk_session_finish(session, shelf, BAKESET_BAD_INPUT);
    bk_cooled *cooled = BK_NEW(shelf->arena, bk_cooled, 1);
    bk_cooling_question(plan->stages[found].cooling, &cooled->question);
    cooled->stage = bk_stage_name(shelf->arena, plan, found);
    return estimate(session, cooled, *plan->stages[found].cooling, true, words);
}

enum bakeset_result bakeset_cooling(bakeset *session, const char *const *words)
{
    bk_session_clear_cooling(session);
    if (setjmp(session->no_memory))
        return bk_session_out_of_memory(session, &session->shelves[BK_COOLING]);
    return estimate(session, BK_NEW(session->shelves[BK_COOLING].arena, bk_cooled, 1),
                    (bk_cooling){0}, false, words);
}

enum bakeset_result bakeset_cooling_stage(bakeset *session, const char *stage,
                                          const char *const *words)
{
    bk_session_clear_cooling(session);
    if (setjmp(session->no_memory))
        return bk_session_out_of_memory(session, &session->shelves[BK_COOLING]);
    return estimate_stage(session, stage, words);
}

static bool write_cooling_form(bakeset *session, enum bakeset_form form, const bk_text_style *style,
                               bk_text *out)
{
    const bk_cooled *cooled = session->cooled;
    if (cooled && form == BAKESET_TEXT) {
        bk_write_cooling_text(cooled, style, out);
        bk_keep_to_ascii(style, out);
        return true;
    }
    if (cooled && form == BAKESET_JSON)
        return bk_write_cooling_json(cooled, out), true;
    if (cooled && form == BAKESET_SVG)
        return bk_write_cooling_svg(cooled, out), true;
    bk_shelf_usage(&session->shelves[BK_COOLING],
                   "there is no cooling estimate to write in this form", NULL);
    return false;
}

static const char *write_cooling(bakeset *session, enum bakeset_form form,
                                 const struct bakeset_write_options *given, size_t *length)
{
    bk_shelf *shelf = &session->shelves[BK_COOLING];
    struct bakeset_write_options options = {0};
    bk_text out = bk_text_new(shelf->arena);
    bool taken = bk_shelf_take_write_options(shelf, given, &options);
    bk_text_style style = bk_style_of(&options);
    bool written = taken && write_cooling_form(session, form, &style, &out);
    return bk_session_finish_text(session, shelf, written ? &out : NULL, length);
}

const char *bakeset_write_cooling(bakeset *session, enum bakeset_form form,
                                  const struct bakeset_write_options *options, size_t *length)
{
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_COOLING]);
        return NULL;
    }
    return write_cooling(session, form, options, length);
}

static const char *write_foods(bakeset *session, const struct bakeset_write_options *given)
{
    bk_shelf *shelf = &session->shelves[BK_COOLING];
    struct bakeset_write_options options = {0};
    if (!bk_shelf_take_write_options(shelf, given, &options))
        return bk_session_finish_text(session, shelf, NULL, NULL);
    bk_text out = bk_text_new(shelf->arena);
    bk_text_style style = bk_style_of(&options);
    bk_write_foods(&style, &out);
    bk_keep_to_ascii(&style, &out);
    return bk_session_finish_text(session, shelf, &out, NULL);
}

const char *bakeset_foods(bakeset *session, const struct bakeset_write_options *options)
{
    if (setjmp(session->no_memory)) {
        bk_session_out_of_memory(session, &session->shelves[BK_COOLING]);
        return NULL;
    }
    return write_foods(session, options);
}
