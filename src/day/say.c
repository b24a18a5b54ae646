/* What a cook says of the day, from words to an entry: "done bake", "longer set 20 min". */
#include "day/parts.h"

#include <math.h>
#include <string.h>

typedef struct saying {
    bk_arena *arena;
    const bk_plan *plan;
    const bk_state *state;
    const bk_told *told;
    const char *const *words;
    bk_instant now;
    bk_report *report;
    bk_day_choices *choices;
    bk_day_entry *entry;
} saying;

static const struct {
    const char *verb;
    enum bk_day_what what;
    size_t least, most; /* words behind it */
    const char *usage;
} verbs[] = {
    {"begun", BK_DAY_BEGUN, 1, 1, "begun STAGE"},
    {"done", BK_DAY_DONE, 1, 1, "done STAGE"},
    {"longer", BK_DAY_LONGER, 2, 2, "longer STAGE \"20 min\""},
    {"skip", BK_DAY_SKIPPED, 1, 1, "skip STAGE"},
    {"hot", BK_DAY_HOT, 1, 2, "hot OVEN [\"180 C\"]"},
    {"out", BK_DAY_OUT, 1, 1, "out DISH"},
    {"served", BK_DAY_SERVED, 1, 1, "served DISH"},
    {"later", BK_DAY_LATER, 1, 1, "later \"+25 min\", or later DISH=21:00"},
    {"cook", BK_DAY_COOK, 2, 2, "cook NAME --until 21:00"},
    {"undo", BK_DAY_UNDO, 0, 0, "undo"},
    {"finish", BK_DAY_FINISHED, 0, 0, "finish"},
};

enum { VERBS = sizeof verbs / sizeof *verbs };

static bool wrong(saying *s, const char *mend, const char *format, const char *what)
{
    bk_error(s->report, "day", (bk_place){0}, mend, format, what);
    return false;
}

/* ------------------------------------------------------------------- when */

/* An hour is that of the day it is, before now, or, where `ahead`, the next. */
bool bk_day_instant(const bk_zone *zone, const char *text, bk_instant now, bool ahead,
                    bk_instant *instant)
{
    int minute;
    if (!bk_hour_read(text, &minute))
        return bk_instant_read(zone, text, instant, NULL) == BK_INSTANT_OK;
    enum { SOON = 6 * 60 }; /* 19:25 said at 19:20 is no hour of yesterday's */
    for (int day = ahead ? 0 : 1; day >= -1 && day <= 2; day += ahead ? 1 : -1) {
        bk_civil date = bk_civil_at(zone, now + (bk_instant)day * BK_DAY);
        date.hour = minute / 60;
        date.minute = minute % 60;
        enum bk_civil_kind kind;
        *instant = bk_instant_of(zone, date, &kind);
        if (ahead ? *instant >= now : *instant < now + SOON)
            return true;
    }
    return false;
}

/* ------------------------------------------------------------------- names */

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool begins_with(const char *text, const char *start)
{
    for (; *start; text++, start++)
        if (lower(*text) != lower(*start))
            return false;
    return true;
}

static bool same(const char *a, const char *b)
{
    return begins_with(a, b) && strlen(a) == strlen(b);
}

static bool contains(const char *text, const char *part)
{
    for (; *text; text++)
        if (begins_with(text, part))
            return true;
    return false;
}

/* How well a name fits what was typed: 0 is best; -1 not at all. */
static int fits(const saying *s, size_t i, const char *typed)
{
    const char *name = bk_stage_name(s->arena, s->plan, i), *id = s->plan->stages[i].id;
    if (strcmp(name, typed) == 0 || same(name, typed))
        return 0;
    if (same(id, typed))
        return 1;
    if (begins_with(id, typed))
        return 2;
    if (begins_with(name, typed))
        return 3;
    if (contains(name, typed))
        return 4;
    return contains(s->plan->stages[i].text, typed) ? 5 : -1;
}

/* How well it can be said of a stage: 0, of what runs is said that it is done; 1, of what is
 * near; 2, of what was long ago or is far off, or was said already. */
static int likely(const saying *s, size_t i, enum bk_day_what what)
{
    enum { NEAR = 120 };
    const bk_stage_state *at = &s->state->stages[i];
    bool ahead = at->progress == BK_NOT_BEGUN;
    if (!ahead && at->progress != BK_RUNNING && !at->assumed)
        return 2;
    if ((what == BK_DAY_BEGUN || what == BK_DAY_SKIPPED) && ahead)
        return s->told->has[i] && s->told->start[i] > s->now + NEAR ? 1 : 0;
    if ((what == BK_DAY_DONE || what == BK_DAY_LONGER) && at->progress == BK_RUNNING)
        return 0;
    if (ahead)
        return s->told->has[i] && s->told->start[i] > s->now + NEAR ? 2 : 1;
    return at->end + NEAR < s->now ? 2 : 1;
}

/* The stage meant, as few letters as make it the only one. */
static bool read_stage(saying *s, const char *typed)
{
    size_t n = s->plan->stage_count, *found = BK_NEW(s->arena, size_t, n), count = 0;
    int best = 6;
    for (size_t i = 0; i < n && *typed; i++) {
        int how = fits(s, i, typed);
        if (how < 0 || how > best)
            continue;
        if (how < best)
            count = 0;
        best = how;
        found[count++] = i;
    }
    size_t probable = 0, which = 0;
    int most = 2;
    for (size_t k = 0; k < count; k++) {
        int how = likely(s, found[k], s->entry->what);
        if (how > most)
            continue;
        probable = how < most ? 1 : probable + 1;
        most = how;
        which = k;
    }
    if (count == 1 || (probable == 1 && most < 2)) {
        size_t stage = found[count == 1 ? 0 : which];
        s->entry->dish = s->plan->dishes[s->plan->stages[stage].dish].name;
        s->entry->stage = s->plan->stages[stage].id;
        return true;
    }
    if (count == 0) {
        const char **names = BK_NEW(s->arena, const char *, 2 * n + 1);
        for (size_t i = 0; i < n; i++) {
            names[2 * i] = bk_stage_name(s->arena, s->plan, i);
            names[2 * i + 1] = s->plan->stages[i].id;
        }
        const char *near = bk_nearest(typed, names);
        return wrong(s,
                     near ? bk_format(s->arena, "did you mean \"%s\"?", near)
                          : "write some of its name or of what is done, such as bake",
                     "there is no stage \"%s\"", bk_showable(s->arena, typed, strlen(typed)));
    }
    s->choices->names = BK_NEW(s->arena, const char *, count);
    for (size_t k = 0; k < count; k++)
        if (likely(s, found[k], s->entry->what) == most)
            s->choices->names[s->choices->count++] = bk_stage_name(s->arena, s->plan, found[k]);
    bk_text list = bk_text_new(s->arena);
    for (size_t k = 0; k < s->choices->count; k++)
        bk_text_addf(&list, "%s\"%s\"", k == 0 ? "" : ", ", s->choices->names[k]);
    bk_error(s->report, "ambiguous", (bk_place){0}, "write more of its name", "\"%s\" may be %s",
             bk_showable(s->arena, typed, strlen(typed)), list.data);
    return false;
}

static bool read_dish(saying *s, const char *typed)
{
    size_t count = 0, found = 0;
    const char **names = BK_NEW(s->arena, const char *, s->plan->dish_count + 1);
    for (int how = 0; how < 3 && count == 0; how++)
        for (size_t d = 0; d < s->plan->dish_count; d++) {
            const char *name = names[d] = s->plan->dishes[d].name;
            if (!*typed || (how == 0 && !same(name, typed)) ||
                (how == 1 && !begins_with(name, typed)) || (how == 2 && !contains(name, typed)))
                continue;
            count++;
            found = d;
        }
    if (count == 1) {
        s->entry->dish = s->plan->dishes[found].name;
        return true;
    }
    const char *near = bk_nearest(typed, names);
    return wrong(s,
                 count > 1 ? "write more of its name"
                 : near    ? bk_format(s->arena, "did you mean \"%s\"?", near)
                           : "write its name as the plan has it",
                 count > 1 ? "several dishes are called \"%s\"" : "there is no dish \"%s\"",
                 bk_showable(s->arena, typed, strlen(typed)));
}

static bool read_oven(saying *s, const char *typed, const char *temperature)
{
    const bk_kitchen *kitchen = &s->plan->kitchen;
    const char *mend = NULL;
    bk_temperature at;
    for (size_t e = 0; e < kitchen->equipment_count; e++) {
        const bk_equipment *oven = &kitchen->equipment[e];
        size_t length = strlen(oven->name);
        int number = 1;
        if (oven->kind != BK_OVEN || !begins_with(typed, oven->name))
            continue;
        if (typed[length] == '#' && typed[length + 1] > '0' && typed[length + 1] <= '9' &&
            typed[length + 2] == '\0')
            number = typed[length + 1] - '0';
        else if (typed[length] != '\0')
            continue;
        if (number > oven->count)
            continue;
        s->entry->oven = bk_format(s->arena, "%s#%d", oven->name, number);
        s->entry->temperature_c = NAN;
        if (!temperature)
            return true;
        if (!bk_read_oven_temperature(temperature, &at, &mend))
            return wrong(s, mend ? mend : "write it as \"180 C\"", "\"%s\" is no temperature",
                         bk_showable(s->arena, temperature, strlen(temperature)));
        s->entry->temperature_c = at.nominal;
        return true;
    }
    bk_text list = bk_text_new(s->arena);
    for (size_t e = 0; e < kitchen->equipment_count; e++)
        if (kitchen->equipment[e].kind == BK_OVEN)
            bk_text_addf(&list, "%s\"%s\"", list.length > 0 ? ", " : "the plan has ",
                         kitchen->equipment[e].name);
    return wrong(s, list.length > 0 ? list.data : "this kitchen has none",
                 "there is no oven \"%s\"", bk_showable(s->arena, typed, strlen(typed)));
}

static bool read_cook(saying *s, const char *typed, const char *until)
{
    const bk_kitchen *kitchen = &s->plan->kitchen;
    for (size_t c = 0; c < kitchen->people_count; c++)
        if (same(kitchen->people[c].name, typed))
            s->entry->cook = kitchen->people[c].name;
    if (!s->entry->cook) {
        bk_text list = bk_text_new(s->arena);
        for (size_t c = 0; c < kitchen->people_count; c++)
            bk_text_addf(&list, "%s\"%s\"", c == 0 ? "the plan has " : ", ",
                         kitchen->people[c].name);
        return wrong(s,
                     list.length > 0
                         ? list.data
                         : "give the cooks names: \"cooks\": [{\"cook\": \"Ann\"}, ...]",
                     "there is no cook \"%s\"", bk_showable(s->arena, typed, strlen(typed)));
    }
    if (!bk_day_instant(s->plan->zone, until, s->now, true, &s->entry->until))
        return wrong(s, "write an hour, such as 21:00", "\"%s\" is no time",
                     bk_showable(s->arena, until, strlen(until)));
    return true;
}

static bool read_longer(saying *s, const char *stage, const char *time)
{
    const char *mend = NULL;
    if (!read_stage(s, stage))
        return false;
    size_t which = bk_day_stage(s->plan, s->entry->dish, s->entry->stage);
    if (s->state->stages[which].progress == BK_NOT_BEGUN) /* it would change nothing */
        return wrong(s, "say that it has begun first, or make its time longer in the plan",
                     "\"%s\" has not begun", bk_stage_name(s->arena, s->plan, which));
    if (time[0] == '+')
        time++;
    if (!bk_read_duration(time, &s->entry->minutes, &mend) || s->entry->minutes < 1 ||
        s->entry->minutes > BK_MOST_LONGER)
        return wrong(s, mend ? mend : "write it as \"20 min\"", "\"%s\" is no time to take longer",
                     bk_showable(s->arena, time, strlen(time)));
    return true;
}

/* "torte=21:00" speaks of a dish by part of its name; the reading of the plan wants all. */
static bool read_later(saying *s, const char *typed)
{
    const char *sign = strrchr(typed, '=');
    s->entry->serve = sign ? sign + 1 : typed;
    return !sign || read_dish(s, bk_copy(s->arena, typed, (size_t)(sign - typed)));
}

/* --------------------------------------------------------------------- all */

static bool read_rest(saying *s, const char *const *rest)
{
    switch (s->entry->what) {
    case BK_DAY_BEGUN:
    case BK_DAY_DONE:
    case BK_DAY_SKIPPED:
        return read_stage(s, rest[0]);
    case BK_DAY_LONGER:
        return read_longer(s, rest[0], rest[1]);
    case BK_DAY_HOT:
        return read_oven(s, rest[0], rest[1]);
    case BK_DAY_OUT:
    case BK_DAY_SERVED:
        return read_dish(s, rest[0]);
    case BK_DAY_LATER:
        return read_later(s, rest[0]);
    case BK_DAY_COOK:
        return read_cook(s, rest[0], rest[1]);
    default:
        return true;
    }
}

static bool read_verb(saying *s, size_t *verb)
{
    const char *names[VERBS + 2];
    for (*verb = 0; *verb < VERBS; ++*verb) {
        names[*verb] = verbs[*verb].verb;
        if (strcmp(s->words[0], verbs[*verb].verb) == 0)
            return true;
    }
    names[VERBS] = "next";
    names[VERBS + 1] = NULL;
    const char *near = bk_nearest(s->words[0], names);
    return wrong(s,
                 near ? bk_format(s->arena, "did you mean \"%s\"?", near)
                      : "say begun, done, longer, skip, hot, out, served, later, cook, undo, "
                        "next or finish",
                 "\"%s\" is nothing that a day is told",
                 bk_showable(s->arena, s->words[0], strlen(s->words[0])));
}

bool bk_day_say(bk_arena *arena, const bk_plan *plan, const bk_state *state, const bk_told *told,
                const char *const *words, const char *at, bk_instant now, bk_day_entry *entry,
                bk_day_choices *choices, bk_report *report)
{
    saying s = {arena, plan, state, told, words, now, report, choices, entry};
    size_t verb = 0, rest = 0;
    *entry = (bk_day_entry){.at = now, .temperature_c = NAN};
    *choices = (bk_day_choices){0};
    if (!read_verb(&s, &verb))
        return false;
    while (words[1 + rest])
        rest++;
    if (rest < verbs[verb].least || rest > verbs[verb].most)
        return wrong(&s, bk_format(arena, "write: %s", verbs[verb].usage),
                     "these are not the words that \"%s\" wants", verbs[verb].verb);
    entry->what = verbs[verb].what;
    if (at && !bk_day_instant(plan->zone, at, now, false, &entry->at))
        return wrong(&s, "write an hour, such as 19:10", "\"%s\" is no time",
                     bk_showable(arena, at, strlen(at)));
    if (entry->at > now)
        return wrong(&s, "say what has happened, when it has", "it is not %s yet",
                     bk_clock_seen_from(arena, plan->zone, now, entry->at));
    return read_rest(&s, words + 1);
}
