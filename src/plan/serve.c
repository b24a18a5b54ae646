/* When dishes are served, as moved from the command line (--serve), and which of them are
 * over (--now). */
#include "plan/reader.h"

#include <string.h>

const char *bk_hour_on_date(bk_reader *reader, bk_instant instant, int minute)
{
    bk_civil day = bk_civil_at(reader->plan->zone, instant);
    return bk_format(reader->arena, "%04d-%02d-%02d %02d:%02d", day.year, day.month, day.day,
                     minute / 60, minute % 60);
}

/* An hour of its own or a difference, and the reference that both are counted from. */
static bool when_words(bk_reader *reader, const char *text, bk_instant from, bk_instant *when)
{
    const char *mend = NULL;
    int64_t minutes = 0;
    if (text[0] == '+' || text[0] == '-') {
        if (bk_read_duration(text + 1, &minutes, &mend)) {
            *when = from + (text[0] == '+' ? minutes : -minutes);
            return true;
        }
        bk_problem(reader, "duration", (bk_place){0}, mend, "--serve %s is no difference",
                   bk_quoted(reader->arena, text));
        return false;
    }
    int minute = 0;
    if (bk_hour_read(text, &minute))
        text = bk_hour_on_date(reader, from, minute);
    return bk_instant_text(reader, (bk_place){0}, "--serve", text, when);
}

static bool is_relative(const char *text)
{
    int minute;
    return text[0] == '+' || text[0] == '-' || bk_hour_read(text, &minute);
}

/* The dish that "DISH=WHEN" speaks of, and WHEN; SIZE_MAX: it speaks of all. */
static size_t dish_meant(bk_json *const *dishes, size_t count, const char *text, const char **when)
{
    for (size_t i = 0; i < count; i++) {
        const bk_json *name = bk_json_get(dishes[i], "dish");
        if (!name || name->type != BK_JSON_STRING)
            continue;
        size_t length = strlen(name->string);
        if (strncmp(text, name->string, length) == 0 && text[length] == '=') {
            *when = text + length + 1;
            return i;
        }
    }
    *when = text;
    return SIZE_MAX;
}

static void unknown_dish(bk_reader *reader, bk_json *const *dishes, size_t count, const char *text)
{
    const char **names = BK_NEW(reader->arena, const char *, count + 1);
    size_t known = 0;
    for (size_t i = 0; i < count; i++) {
        const bk_json *name = bk_json_get(dishes[i], "dish");
        if (name && name->type == BK_JSON_STRING)
            names[known++] = name->string;
    }
    char *wanted = bk_copy(reader->arena, text, (size_t)(strchr(text, '=') - text));
    bk_problem(reader, "unknown-dish", (bk_place){0},
               bk_suggestion(reader, wanted, names, "the plan"), "--serve: there is no dish %s",
               bk_quoted(reader->arena, wanted));
}

/* The dish's own serve as it is written, without a word about faults: those are said when
 * it is read. */
static bool own_serve(const bk_reader *reader, const bk_json *dish, bk_instant *serve)
{
    const bk_json *json = bk_json_get(dish, "serve");
    return json && json->type == BK_JSON_STRING &&
           bk_instant_read(reader->plan->zone, json->string, serve, NULL) == BK_INSTANT_OK;
}

bool bk_own_or_plan_serve(const bk_reader *reader, const bk_json *dish, bk_instant *serve)
{
    if (bk_json_get(dish, "serve"))
        return own_serve(reader, dish, serve);
    *serve = reader->unmoved_serve;
    return reader->has_serve;
}

/* What the plan's serve is as moved so far, or, where each dish has its own, the last of
 * them. */
static bool reference(const bk_reader *reader, bk_json *const *dishes, size_t count,
                      bk_instant *serve)
{
    bool any = reader->has_serve;
    bk_instant own = 0;
    *serve = reader->serve;
    for (size_t i = 0; i < count && !reader->has_serve; i++) {
        if (!own_serve(reader, dishes[i], &own))
            continue;
        own += reader->serve_shift[i];
        *serve = any && *serve > own ? *serve : own;
        any = true;
    }
    return any;
}

static void add_note(bk_reader *reader, const char *note)
{
    bk_plan *plan = reader->plan;
    *BK_PUSH(reader->arena, plan->notes, plan->note_count, reader->note_room) = note;
}

static const char *difference(bk_reader *reader, int64_t minutes)
{
    return bk_format(reader->arena, "%s %s",
                     bk_minutes(reader->arena, minutes < 0 ? -minutes : minutes),
                     minutes < 0 ? "earlier" : "later");
}

static void move_all(bk_reader *reader, bk_json *const *dishes, size_t count, const char *when)
{
    bk_instant from = 0, to = 0;
    if (!reference(reader, dishes, count, &from)) {
        if (is_relative(when)) {
            bk_problem(reader, "instant", (bk_place){0}, "give the date as well",
                       "--serve %s: the plan says no hour that this could be counted from",
                       bk_quoted(reader->arena, when));
        }
        return;
    }
    if (!when_words(reader, when, from, &to) || to == from)
        return;
    size_t own = 0;
    bk_instant serve;
    for (size_t i = 0; i < count; i++) {
        own += own_serve(reader, dishes[i], &serve);
        reader->serve_shift[i] += to - from;
    }
    const char *moved = difference(reader, to - from);
    const char *at = bk_moment(reader->arena, reader->plan->zone, to);
    if (own == 0) {
        add_note(reader, bk_format(reader->arena, "Served %s than the plan says: %s.", moved, at));
    } else {
        add_note(reader,
                 bk_format(reader->arena,
                           "Everything is served %s than the plan says, each dish's own hour "
                           "too: the %s %s.",
                           moved, reader->has_serve ? "plan's at" : "last at", at));
    }
    reader->serve += to - from;
}

static void move_one(bk_reader *reader, bk_json *const *dishes, size_t dish, const char *when)
{
    bk_instant from = 0, to = 0;
    if (bk_is_part(dishes[dish])) {
        bk_problem(reader, "part", (bk_place){0}, "move a dish that it is for",
                   "--serve: %s is a part, and not served",
                   bk_quoted(reader->arena, bk_json_get(dishes[dish], "dish")->string));
        return;
    }
    if (!bk_own_or_plan_serve(reader, dishes[dish], &from))
        return; /* it has none, or a bad one: that is said elsewhere */
    from += reader->serve_shift[dish];
    if (!when_words(reader, when, from, &to) || to == from)
        return;
    reader->serve_shift[dish] += to - from;
    add_note(reader,
             bk_format(reader->arena, "%s is served %s than the plan says: %s.",
                       bk_json_get(dishes[dish], "dish")->string, difference(reader, to - from),
                       bk_moment(reader->arena, reader->plan->zone, to)));
}

/* A line each; those of all dishes first. */
void bk_move_serves(bk_reader *reader, bk_json *const *dishes, size_t count)
{
    reader->serve_shift = BK_NEW(reader->arena, int64_t, count);
    const char *options = reader->options ? reader->options->serve : NULL;
    size_t own = 0;
    for (size_t i = 0; i < count; i++)
        own += bk_json_get(dishes[i], "serve") || bk_is_part(dishes[i]);
    if (reader->serve_from_option && own == count) /* nobody wants it as the plan's */
        reader->serve_from_option = reader->has_serve = false;
    for (int of_one = 0; options && of_one < 2; of_one++) {
        for (const char *at = options; *at != '\0';) {
            size_t length = strcspn(at, "\n");
            const char *line = bk_copy(reader->arena, at, length), *when = NULL;
            at += length + (at[length] == '\n');
            size_t dish = dish_meant(dishes, count, line, &when);
            if (dish == SIZE_MAX && strchr(line, '=')) {
                if (of_one == 0)
                    unknown_dish(reader, dishes, count, line);
            } else if (dish == SIZE_MAX && of_one == 0 && !reader->serve_from_option) {
                move_all(reader, dishes, count, when);
            } else if (dish != SIZE_MAX && of_one == 1) {
                move_one(reader, dishes, dish, when);
            }
        }
    }
}

bool bk_serve_option_alone(bk_reader *reader, bk_instant *serve)
{
    const char *text = reader->options ? reader->options->serve : NULL;
    if (!text || strchr(text, '=') || strchr(text, '\n') || is_relative(text))
        return false;
    reader->serve_given = true; /* good or not: that it is missing would be an echo */
    reader->serve_from_option = true;
    return bk_instant_text(reader, (bk_place){0}, "--serve", text, serve);
}

/* ------------------------------------------------------------------ what is over */

void bk_note_left_out(bk_reader *reader, const char *const *names, size_t count)
{
    if (count == 0)
        return;
    bk_text list = bk_text_new(reader->arena);
    for (size_t i = 0; i < count; i++)
        bk_text_addf(&list, "%s%s", i == 0 ? "" : i + 1 == count ? " and " : ", ", names[i]);
    add_note(reader,
             bk_format(reader->arena, "Left out, as it is %s: %s, served before.",
                       bk_moment(reader->arena, reader->plan->zone, reader->plan->now), list.data));
}
