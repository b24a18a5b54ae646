/* A session: its shelves, what each call does first and last, and what it reported. */
#include "session/session.h"

#include "json/json.h"

#include <stdlib.h>
#include <string.h>

const char *bakeset_version(void)
{
    return BAKESET_VERSION;
}

static bool shelf_open(bakeset *session, bk_shelf *shelf)
{
    shelf->arena = bk_arena_new(&session->no_memory);
    if (shelf->arena)
        shelf->report = bk_report_new(shelf->arena);
    return shelf->arena;
}

void bk_shelf_clear(bk_shelf *shelf)
{
    bk_arena *arena = shelf->arena;
    bk_arena_release(arena, (bk_mark){0});
    *shelf = (bk_shelf){.arena = arena, .report = bk_report_new(arena)};
}

bakeset *bakeset_new(void)
{
    bakeset *session = calloc(1, sizeof *session);
    for (size_t i = 0; session && i < BK_SHELVES; i++)
        if (!shelf_open(session, &session->shelves[i])) {
            bakeset_free(session);
            return NULL;
        }
    return session;
}

void bakeset_free(bakeset *session)
{
    if (!session)
        return;
    for (size_t i = 0; i < BK_SHELVES; i++)
        bk_arena_free(session->shelves[i].arena);
    free(session);
}

void bk_session_clear_cooling(bakeset *session)
{
    session->cooled = NULL;
    bk_shelf_clear(&session->shelves[BK_COOLING]);
}

void bk_session_clear_timeline(bakeset *session)
{
    session->timeline = NULL;
    session->day = NULL;
    session->choices = NULL;
    bk_shelf_clear(&session->shelves[BK_SCHEDULING]);
}

void bk_session_clear_plan(bakeset *session)
{
    bk_session_clear_cooling(session);
    bk_session_clear_timeline(session);
    session->plan = session->read = NULL;
    bk_shelf_clear(&session->shelves[BK_READING]);
}

static struct bakeset_message message_of(bk_arena *arena, const bk_plan *plan,
                                         const bk_message *message)
{
    static const enum bakeset_concern concerns[] = {[BK_OTHER_CONCERN] = BAKESET_OTHER_CONCERN,
                                                    [BK_FOOD_SAFETY] = BAKESET_FOOD_SAFETY,
                                                    [BK_CAUTION] = BAKESET_CAUTION};
    bk_text text = bk_text_new(arena);
    bk_message_write(message, &text);
    struct bakeset_message given = {
        .severity = message->severity == BK_ERROR ? BAKESET_ERROR : BAKESET_WARNING,
        .concern = concerns[message->about.concern],
        .code = message->code,
        .what = bk_showable(arena, message->text, strlen(message->text)),
        .mend = message->mend ? bk_showable(arena, message->mend, strlen(message->mend)) : NULL,
        .text = text.data};
    given.fix_offset = message->fix.offset;
    given.fix_length = message->fix.length;
    given.fix_text = message->fix.text;
    if (message->place.source) {
        given.file = message->place.source->name;
        bk_place_locate(message->place, &given.line, &given.column);
    }
    if (plan && message->about.stage < plan->stage_count) {
        const bk_stage *stage = &plan->stages[message->about.stage];
        given.dish = plan->dishes[stage->dish].name;
        given.stage = stage->id;
    }
    return given;
}

enum bakeset_result bk_session_finish(bakeset *session, bk_shelf *shelf, enum bakeset_result result)
{
    size_t count = shelf->report.count;
    if (count > shelf->count) {
        struct bakeset_message *messages = BK_NEW(shelf->arena, struct bakeset_message, count);
        for (size_t i = 0; i < count; i++)
            messages[i] = i < shelf->count
                              ? shelf->messages[i]
                              : message_of(shelf->arena, session->plan, &shelf->report.messages[i]);
        shelf->messages = messages;
        shelf->count = count;
    }
    session->result = result;
    return result;
}

enum bakeset_result bk_session_out_of_memory(bakeset *session, bk_shelf *shelf)
{
    shelf->out_of_memory = true;
    session->result = BAKESET_FAILED;
    return BAKESET_FAILED;
}

const char *bk_session_finish_text(bakeset *session, bk_shelf *shelf, const bk_text *text,
                                   size_t *length)
{
    enum bakeset_result without = shelf->report.machine_failed ? BAKESET_FAILED : BAKESET_BAD_INPUT;
    bk_session_finish(session, shelf, text ? BAKESET_OK : without);
    if (text && length)
        *length = text->length;
    return text ? text->data : NULL;
}

void bk_shelf_usage(bk_shelf *shelf, const char *what, const char *mend)
{
    bk_error(&shelf->report, "usage", (bk_place){0}, mend, "%s", what);
}

bool bk_shelf_take_options(bk_shelf *shelf, const void *given, void *options, size_t size)
{
    enum { MOST_SIZE = 4096 }; /* more than it will ever be: what was never set is often huge */
    size_t theirs = 0;
    if (!given)
        return true;
    memcpy(&theirs, given, sizeof theirs);
    if (theirs < sizeof theirs || theirs > MOST_SIZE) {
        bk_shelf_usage(shelf, "the size of an options struct is not set", "set size to its sizeof");
        return false;
    }
    for (size_t i = size; i < theirs; i++)
        if (((const unsigned char *)given)[i] != 0) {
            bk_shelf_usage(shelf, "an option is set that this version of bakeset does not know",
                           "leave it zero, or take a newer version");
            return false;
        }
    memcpy(options, given, theirs < size ? theirs : size);
    return true;
}

enum bakeset_result bakeset_last_result(const bakeset *session)
{
    return session->result;
}

size_t bakeset_message_count(const bakeset *session)
{
    size_t count = 0;
    for (size_t i = 0; i < BK_SHELVES; i++)
        count += session->shelves[i].count + session->shelves[i].out_of_memory;
    return count;
}

const struct bakeset_message *bakeset_message(const bakeset *session, size_t index)
{
    static const struct bakeset_message no_memory = {.severity = BAKESET_ERROR,
                                                     .code = "memory",
                                                     .what = "out of memory",
                                                     .text = "bakeset: out of memory\n"};
    for (size_t i = 0; i < BK_SHELVES; i++) {
        const bk_shelf *shelf = &session->shelves[i];
        if (index < shelf->count)
            return &shelf->messages[index];
        index -= shelf->count;
        if (shelf->out_of_memory && index-- == 0)
            return &no_memory;
    }
    return NULL;
}

static const char *pointer_of(bk_shelf *shelf, size_t index)
{
    bk_place place = shelf->report.messages[index].place;
    return place.source ? bk_json_pointer_at(shelf->arena, place.source, place.offset) : NULL;
}

static const char *pointer_of_message(bakeset *session, size_t index)
{
    for (size_t i = 0; i < BK_SHELVES; i++) {
        bk_shelf *shelf = &session->shelves[i];
        if (index < shelf->count)
            return pointer_of(shelf, index);
        index -= shelf->count;
        if (shelf->out_of_memory && index-- == 0)
            return NULL;
    }
    return NULL;
}

const char *bakeset_message_pointer(bakeset *session, size_t index)
{
    if (setjmp(session->no_memory))
        return NULL;
    return pointer_of_message(session, index);
}

size_t bakeset_error_count(const bakeset *session)
{
    size_t count = 0;
    for (size_t i = 0; i < BK_SHELVES; i++)
        count += session->shelves[i].report.errors + session->shelves[i].out_of_memory;
    return count;
}

const char *bakeset_nearest(const char *word, const char *const *names)
{
    return bk_nearest(word, names);
}
