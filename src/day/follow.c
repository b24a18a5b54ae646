/* A call about the day: the plan and its journal read, what is said added, and the day made
 * of all of it. */
#include "day/parts.h"

#include <string.h>

enum { MOST_LATER = 7 * BK_DAY };

typedef struct following {
    bk_arena *arena;
    const bk_day_call *call;
    bk_report *report;
    const char *path; /* of the journal */
    bk_journal journal;
    const bk_plan *as_written; /* the plan as its file has it */
    const bk_plan *plan;       /* with the serves that the journal moved */
    const bk_timeline *first;  /* of the plan as it was before; NULL when the journal tells all */
    bk_instant now;
    const char *implied; /* stages that what was said makes over as well */
    bool known;          /* what is said stands in the journal already */
} following;

static bool wrong(following *f, const char *mend, const char *what)
{
    bk_error(f->report, "day", (bk_place){0}, mend, "%s", what);
    return false;
}

static const bk_plan *read_plan(following *f, const char *serves, bk_report *report)
{
    bk_read_options options = {.serve = serves, .allow_outside = f->call->allow_outside};
    return bk_plan_read(f->arena, f->call->files, f->call->path, &options, report);
}

/* ---------------------------------------------------------------- what time it is */

static bool find_now(following *f)
{
    const bk_day_call *call = f->call;
    int minute;
    f->now = call->clock;
    if (call->now && bk_hour_read(call->now, &minute) && call->clock != 0) {
        bk_civil date = bk_civil_at(f->plan->zone, call->clock);
        enum bk_civil_kind kind;
        date.hour = minute / 60;
        date.minute = minute % 60;
        f->now = bk_instant_of(f->plan->zone, date, &kind);
    } else if (call->now &&
               bk_instant_read(f->plan->zone, call->now, &f->now, NULL) != BK_INSTANT_OK) {
        return wrong(f, "write an hour, such as 19:20, or \"2026-12-24 19:20\"",
                     bk_format(f->arena, "--now \"%s\" is no time", call->now));
    }
    bk_instant last = f->journal.there ? f->journal.begun : INT64_MIN;
    size_t line = 1, column;
    for (size_t i = 0; i < f->journal.count; i++)
        if (f->journal.entries[i].at > last) {
            last = f->journal.entries[i].at;
            bk_place_locate(f->journal.entries[i].place, &line, &column);
        }
    if (f->now >= last)
        return true;
    return wrong(f,
                 bk_format(f->arena,
                           "wait until then, or give a later --now; if that hour is wrong, mend "
                           "line %zu of it; to begin anew move the journal away",
                           line),
                 bk_format(f->arena, "it is %s, and %s speaks of %s already",
                           bk_moment_short(f->arena, f->plan->zone, f->now), f->path,
                           bk_moment_short(f->arena, f->plan->zone, last)));
}

/* -------------------------------------------------------------------- the journal */

static bool speaks(const following *f)
{
    return !f->known && f->call->words && f->call->words[0] &&
           strcmp(f->call->words[0], "next") != 0;
}

static bool read_journal(following *f, bk_held_file **lock)
{
    if (speaks(f)) {
        *lock = bk_journal_hold(f->path, f->report);
        if (!*lock)
            return false;
    }
    if (!bk_journal_read(f->arena, f->call->files, f->path, &f->journal, f->report))
        return false;
    if (f->journal.occasion && strcmp(f->journal.occasion, f->plan->occasion) != 0)
        return wrong(
            f,
            bk_format(f->arena,
                      "call the occasion of the plan \"%s\" again to go on with it, or move the "
                      "journal away to begin anew",
                      bk_showable(f->arena, f->journal.occasion, strlen(f->journal.occasion))),
            bk_format(f->arena, "%s is the journal of \"%s\", and the plan is of \"%s\"", f->path,
                      bk_showable(f->arena, f->journal.occasion, strlen(f->journal.occasion)),
                      f->plan->occasion));
    if (f->journal.torn_length > 0 && *lock) {
        const char *aside = bk_journal_set_aside(f->arena, *lock, &f->journal, f->report);
        if (!aside)
            return false;
        bk_warning(f->report, "torn", (bk_place){0}, NULL,
                   "the last line of %s was never finished: it is set aside in %s", f->path, aside);
    } else if (f->journal.torn_length > 0) {
        bk_warning(f->report, "torn", (bk_place){0}, NULL,
                   "the last line of %s was never finished and does not count", f->path);
    }
    return true;
}

/* With the serves moved as the journal says; what is wrong with them was said when they
 * were moved, or is now. */
static bool move_serves(following *f)
{
    const char *serves = bk_day_serves(f->arena, &f->journal, INT64_MAX);
    f->plan = f->as_written;
    if (!serves)
        return true;
    bk_report second = bk_report_new(f->arena);
    const bk_plan *moved = read_plan(f, serves, &second);
    for (size_t i = 0; i < second.count && !moved; i++)
        if (second.messages[i].severity == BK_ERROR)
            bk_error(f->report, second.messages[i].code, second.messages[i].place,
                     second.messages[i].mend, "%s", second.messages[i].text);
    if (!moved) {
        f->report->machine_failed = f->report->machine_failed || second.machine_failed;
        return false;
    }
    f->plan = moved;
    return true;
}

/* What stands in the journal so far, and what it comes to. */
typedef struct standing {
    const bk_day_entry **entries; /* those that count */
    size_t count;
    bk_told told;
    bk_state state;
} standing;

static standing how_it_stands(const following *f)
{
    standing at;
    at.entries = bk_day_effective(f->arena, &f->journal, f->now, &at.count);
    at.told = bk_day_told(f->arena, f->plan, at.entries, at.count, f->first);
    at.state = bk_day_state(f->arena, f->plan, at.entries, at.count, &at.told, f->now);
    return at;
}

static bool tells_all(const following *f)
{
    size_t count;
    const bk_day_entry **entries = bk_day_effective(f->arena, &f->journal, f->now, &count);
    return bk_day_tells(entries, count);
}

/* The timeline that the cook had before the day began, where the journal has no other. */
static void find_first(following *f)
{
    bk_report quiet = bk_report_new(f->arena);
    bk_schedule_options options = {
        .effort = f->call->effort, .unexplained = true, .follower = f->call->follower};
    if (!f->first && !tells_all(f))
        f->first = bk_schedule(f->arena, f->as_written, &options, &quiet);
}

/* ------------------------------------------------------------------ what is said */

static void add(following *f, const bk_day_entry *entry)
{
    bk_day_entry *entries = BK_NEW(f->arena, bk_day_entry, f->journal.count + 1);
    if (f->journal.count > 0)
        memcpy(entries, f->journal.entries, f->journal.count * sizeof *entries);
    entries[f->journal.count++] = *entry;
    f->journal.entries = entries;
}

/* What has to be over, since what follows it has begun: said, as nobody said it. */
static void find_implied(following *f, const bk_state *before)
{
    size_t found = 0;
    bk_state after = how_it_stands(f).state;
    bk_text text = bk_text_new(f->arena);
    for (size_t i = 0; i < f->plan->stage_count; i++)
        if (before->stages[i].progress != BK_DONE && after.stages[i].progress == BK_DONE &&
            after.stages[i].assumed)
            bk_text_addf(&text, "%s%s/%s", found++ == 0 ? "" : ", ",
                         f->plan->dishes[f->plan->stages[i].dish].name, f->plan->stages[i].id);
    if (found > 0)
        f->implied = text.data;
}

static bool same_name(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : !a && !b;
}

/* Whether an entry that counts says the same, or more. Longer, later and undo are said as often as
 * they are meant. */
static bool is_said(const standing *at, const bk_day_entry *entry)
{
    bool once = entry->what == BK_DAY_BEGUN || entry->what == BK_DAY_DONE ||
                entry->what == BK_DAY_SKIPPED || entry->what == BK_DAY_OUT ||
                entry->what == BK_DAY_SERVED || entry->what == BK_DAY_FINISHED;
    for (size_t i = 0; once && i < at->count; i++) {
        const bk_day_entry *said = at->entries[i];
        bool same =
            said->what == entry->what || (said->what == BK_DAY_DONE && entry->what == BK_DAY_BEGUN);
        if (same && same_name(said->dish, entry->dish) && same_name(said->stage, entry->stage))
            return true;
    }
    return false;
}

/* Was it said with this id already, though it may be taken back since? */
static bool was_heard(const following *f, const char *id)
{
    for (size_t i = 0; id && i < f->journal.count; i++)
        if (f->journal.entries[i].id && strcmp(f->journal.entries[i].id, id) == 0)
            return true;
    return false;
}

/* A slip of the pen, not an evening: so far nobody puts a table off. */
static bool is_put_off_too_far(const bk_plan *before, const bk_plan *after)
{
    for (size_t d = 0; d < after->dish_count; d++) {
        int64_t by = after->dishes[d].serve - before->dishes[d].serve;
        if (by > MOST_LATER || by < -MOST_LATER)
            return true;
    }
    return false;
}

/* When the day began, or was to. */
static bk_instant beginning_of(const following *f, const bk_told *told)
{
    bk_instant begins = f->journal.there && f->journal.begun < f->now ? f->journal.begun : f->now;
    for (size_t i = 0; i < f->plan->stage_count; i++)
        if (told->has[i] && told->start[i] < begins)
            begins = told->start[i];
    return begins;
}

static bool say(following *f, bk_day_entry *entry, bk_day_choices *choices)
{
    size_t said = 0;
    f->known = was_heard(f, f->call->id);
    if (f->known)
        return true;
    const standing at = how_it_stands(f);
    if (!bk_day_say(f->arena, f->plan, &at.state, &at.told, f->call->words, f->call->at, f->now,
                    entry, choices, f->report))
        return false;
    if (entry->at < beginning_of(f, &at.told) - BK_DAY)
        return wrong(f, "write the hour at which it happened, with its date if that is another day",
                     bk_format(f->arena, "%s is days before all of this began",
                               bk_moment_short(f->arena, f->plan->zone, entry->at)));
    entry->id = f->call->id;
    f->known = f->call->once && is_said(&at, entry);
    if (f->known)
        return true;
    for (size_t i = 0; i < at.count; i++)
        said += at.entries[i]->what != BK_DAY_PLANNED;
    if (entry->what == BK_DAY_UNDO && said == 0)
        return wrong(f, "look at what stands in the journal", "there is nothing to take back");
    const bk_plan *before = f->plan;
    add(f, entry);
    if (!move_serves(f))
        return false;
    if (entry->what == BK_DAY_LATER && is_put_off_too_far(before, f->plan))
        return wrong(f, "write \"+25 min\", or an hour of these days",
                     "that is more than 7 days from when it was to be served");
    if (entry->what == BK_DAY_LATER && f->plan->last_serve == before->last_serve &&
        f->plan->first_serve == before->first_serve && !entry->dish)
        return wrong(f, "write \"+25 min\", or an hour", "that is when it is served already");
    find_first(f); /* what was told by what is taken back is gone too */
    find_implied(f, &at.state);
    return true;
}

/* What the cook is told now, where that is other than before. */
static bk_day_entry planned_entry(following *f, const bk_day *day, bool all)
{
    bk_day_entry entry = {.what = BK_DAY_PLANNED, .at = f->now};
    size_t room = 0;
    for (size_t i = 0; i < day->timeline->stage_count; i++) {
        const bk_placed *placed = &day->timeline->stages[i];
        const bk_stage *stage = &day->plan->stages[placed->stage];
        bk_instant start = bk_has_begun(stage) ? stage->told_start : placed->start;
        if ((bk_has_begun(stage) && !stage->told) ||
            (!all && stage->told && start == stage->told_start))
            continue;
        const char *oven = NULL;
        if (stage->in_oven)
            oven = bk_format(f->arena, "%s#%d",
                             day->plan->kitchen.equipment[stage->oven.equipment].name,
                             placed->oven_number);
        *BK_PUSH(f->arena, entry.starts, entry.start_count, room) =
            (bk_planned_start){.dish = day->plan->dishes[stage->dish].name,
                               .stage = stage->id,
                               .start = start,
                               .oven = oven};
    }
    return entry;
}

static const char *where(following *f, const bk_day_entry *entry)
{
    return bk_format(f->arena, "%s%s%s", entry->dish ? entry->dish : "", entry->stage ? "/" : "",
                     entry->stage ? entry->stage : "");
}

/* False: that is to the end. */
static bool cook_leaves(const bk_plan *plan, const char *name)
{
    const bk_kitchen *kitchen = &plan->kitchen;
    for (size_t c = 0; c < kitchen->people_count; c++)
        if (strcmp(kitchen->people[c].name, name) == 0)
            return kitchen->people[c].leaves;
    return true;
}

/* "oven#1"; "oven" where there is but one. */
static const char *oven_name(following *f, const bk_plan *plan, const char *oven)
{
    size_t e;
    int number;
    return bk_day_oven(plan, oven, &e, &number) && plan->kitchen.equipment[e].count == 1
               ? plan->kitchen.equipment[e].name
               : bk_format(f->arena, "%s", oven);
}

/* What was understood: a slip of the pen shows at once. */
static const char *heard(following *f, const bk_plan *plan, const bk_day_entry *entry)
{
    bk_arena *arena = f->arena;
    const char *at = bk_clock_seen_from(arena, f->plan->zone, f->now, entry->at);
    switch (entry->what) {
    case BK_DAY_BEGUN:
        return bk_format(arena, "%s began at %s", where(f, entry), at);
    case BK_DAY_DONE:
        return bk_format(arena, "%s was done at %s", where(f, entry), at);
    case BK_DAY_LONGER:
        return bk_format(arena, "%s takes %s longer", where(f, entry),
                         bk_minutes(arena, entry->minutes));
    case BK_DAY_SKIPPED:
        return bk_format(arena, "%s is left out", where(f, entry));
    case BK_DAY_OUT:
        return bk_format(arena, "%s is dropped", where(f, entry));
    case BK_DAY_SERVED:
        return bk_format(arena, "%s was served at %s", where(f, entry), at);
    case BK_DAY_HOT:
        return bk_format(arena, "%s is hot", oven_name(f, plan, entry->oven));
    case BK_DAY_COOK:
        return cook_leaves(plan, entry->cook)
                   ? bk_format(arena, "%s is there until %s", entry->cook,
                               bk_clock_seen_from(arena, f->plan->zone, f->now, entry->until))
                   : bk_format(arena, "%s is there to the end", entry->cook);
    case BK_DAY_LATER:
        return bk_format(
            arena, "%s%sserved %s", where(f, entry), entry->dish ? " is " : "",
            bk_moment_short(arena, f->plan->zone,
                            entry->dish ? f->plan->dishes[bk_day_dish(f->plan, entry->dish)].serve
                                        : f->plan->last_serve));
    case BK_DAY_UNDO:
        return "what was said last is taken back";
    default:
        return "the day is over";
    }
}

/* What others wrote behind what was told of already: said as if it were said now, and what moved by
 * it. */
static void tell_news(following *f, bk_day *day)
{
    bk_journal before = f->journal;
    const bk_day_entry *last = NULL;
    size_t news = 0, count;
    for (before.count = 0; before.count < f->journal.count; before.count++)
        if (f->journal.entries[before.count].place.offset >= f->call->since)
            break;
    for (size_t i = before.count; i < f->journal.count; i++)
        if (f->journal.entries[i].what != BK_DAY_PLANNED) {
            last = &f->journal.entries[i];
            news++;
        }
    if (!last)
        return;
    const bk_day_entry **entries = bk_day_effective(f->arena, &before, f->now, &count);
    bk_told told = bk_day_told(f->arena, f->plan, entries, count, f->first);
    bk_day_find_moved(f->arena, day, &told);
    day->heard = heard(f, f->plan, last);
    if (news > 1)
        day->heard = bk_format(f->arena, "%s, and %zu more %s said", day->heard, news - 1,
                               news == 2 ? "was" : "were");
}

static bool remember(following *f, bk_day *day)
{
    const standing at = how_it_stands(f);
    return bk_day_remember(f->arena, f->plan, day->plan, &at.told, at.entries, at.count,
                           &day->remembered, f->report);
}

static bool write_down(following *f, bk_held_file *lock, bk_day *day, const bk_day_entry *entry)
{
    const char *problem;
    bk_day_entry both[2] = {*entry, {0}};
    size_t count = 1;
    both[1] = planned_entry(f, day, !tells_all(f));
    if (both[1].start_count > 0)
        count = 2;
    bool done = bk_journal_append(f->arena, lock, f->plan->zone, entry->at, f->plan->occasion, both,
                                  count, f->report);
    if (done && !bk_held_length(lock, &day->journal_length, &problem))
        day->journal_length = 0; /* not known: then all of it was told */
    return done;
}

/* --------------------------------------------------------------------- all */

bk_day *bk_day_follow(bk_arena *arena, const bk_day_call *call, struct bk_held_file **lock,
                      bk_day_choices *choices, bk_report *report)
{
    following f = {.arena = arena, .call = call, .report = report};
    bk_day_entry entry;
    if (strcmp(call->path, "-") == 0) {
        wrong(&f, "name the plan's file", "a plan from standard input has no journal beside it");
        return NULL;
    }
    f.path = bk_journal_path(arena, call->path);
    f.plan = read_plan(&f, NULL, report);
    if (!f.plan || !read_journal(&f, lock))
        return NULL;
    f.as_written = f.plan;
    if (!find_now(&f) || !move_serves(&f))
        return NULL;
    find_first(&f);
    if (speaks(&f) && !say(&f, &entry, choices))
        return NULL;
    bk_day *day = bk_day_make(arena, f.plan, &f.journal, f.first, f.now, speaks(&f), call->effort,
                              call->follower, report);
    if (day)
        day->journal_length = f.journal.length + f.journal.torn_length;
    if (day && speaks(&f)) {
        if (entry.what == BK_DAY_FINISHED && !remember(&f, day))
            return NULL;
        if (!write_down(&f, *lock, day, &entry))
            return NULL;
        day->heard = heard(&f, day->plan, &entry);
        if (f.implied)
            day->heard = bk_format(arena, "%s, and with it %s", day->heard, f.implied);
    }
    if (day && !speaks(&f) && call->since > 0 && call->since < f.journal.length)
        tell_news(&f, day);
    if (day)
        day->next_only = call->words && call->words[0] && !f.known && !speaks(&f);
    return day;
}

const char *bk_day_under_way(bk_arena *arena, const bk_files *files, const char *path,
                             bk_report *report)
{
    bk_journal journal;
    size_t count;
    bk_journal_read(arena, files, path, &journal, report);
    const bk_day_entry **entries = bk_day_effective(arena, &journal, INT64_MAX, &count);
    while (count > 0 && entries[count - 1]->what == BK_DAY_PLANNED)
        count--;
    return count > 0 && entries[count - 1]->what == BK_DAY_FINISHED ? NULL : journal.occasion;
}
