/* The plan as a whole: its own keys, the span of time it covers, and its parts in
 * the order in which they need one another. */
#include "plan/reader.h"

static const char *instant_words(bk_reader *reader, bk_instant instant)
{
    bk_civil civil = bk_civil_at(reader->plan->zone, instant);
    return bk_format(reader->arena, "%04d-%02d-%02d %02d:%02d", civil.year, civil.month, civil.day,
                     civil.hour, civil.minute);
}

/* The zone; after an error the one that is meant, or UTC, so that the times can still
 * be checked. */
static const bk_zone *read_zone(bk_reader *reader, bk_json *root)
{
    bk_json *json = bk_json_get(root, "timezone");
    if (!json) {
        bk_missing(reader, root, "the plan", "timezone",
                   "add it under its IANA name, such as \"timezone\": \"Europe/London\"");
    } else {
        const char *name = bk_text_value(reader, json, "\"timezone\"", BK_MOST_NAME, false);
        const bk_zone *zone = name ? bk_zone_open(reader->arena, name) : NULL;
        if (zone)
            return zone;
        if (name && bk_zone_listed(reader->arena, name)) {
            reader->report->machine_failed = true;
            bk_problem(reader, "time-zone", bk_json_place(json), NULL,
                       "this machine's data of the time zone %s cannot be read",
                       bk_quoted(reader->arena, name));
        } else if (name) {
            const char *nearest = bk_zone_nearest(reader->arena, name);
            bk_problem(reader, "time-zone", bk_json_place(json),
                       nearest ? bk_format(reader->arena, "did you mean \"%s\"?", nearest)
                               : "write an IANA name such as \"Europe/London\"",
                       "there is no time zone %s", bk_quoted(reader->arena, name));
            zone = nearest ? bk_zone_open(reader->arena, nearest) : NULL;
            if (zone)
                return zone;
        }
    }
    const bk_zone *utc = bk_zone_open(reader->arena, "UTC");
    if (!utc) {
        bk_place nowhere = {NULL, 0};
        reader->report->machine_failed = true;
        bk_problem(reader, "time-zone", nowhere, "install the package tzdata",
                   "this machine has no time zone data");
    }
    return utc;
}

static void read_options(bk_reader *reader)
{
    const bk_read_options *options = reader->options;
    bk_place nowhere = {NULL, 0};
    bk_plan *plan = reader->plan;
    int minute = 0;
    if (!options)
        return;
    if (options->has_now && !options->now) {
        plan->has_now = true;
        plan->now = options->clock;
    } else if (options->has_now && options->clock != 0 && bk_hour_read(options->now, &minute)) {
        plan->has_now = bk_instant_text(
            reader, nowhere, "--now", bk_hour_on_date(reader, options->clock, minute), &plan->now);
    } else if (options->has_now) {
        plan->has_now = bk_instant_text(reader, nowhere, "--now", options->now, &plan->now);
    }
}

static void read_serve(bk_reader *reader, bk_json *root)
{
    bk_json *json = bk_json_get(root, "serve");
    bk_instant serve = 0;
    if (!json) {
        reader->has_serve = bk_serve_option_alone(reader, &reader->serve);
        return;
    }
    bool good = bk_get_instant(reader, root, "serve", &serve);
    reader->serve_given = true;
    reader->has_serve = good;
    reader->serve = serve;
    reader->plan->serve_place = bk_json_place(json);
}

static void read_manner(bk_reader *reader, bk_json *root)
{
    bk_plan *plan = reader->plan;
    int word = 0;
    if (bk_get_word(reader, root, "plan_on", bk_range_ends, &word)) {
        plan->plan_on = word == 1   ? BK_PLAN_ON_LIKELY
                        : word == 2 ? BK_PLAN_ON_LEAST
                                    : BK_PLAN_ON_MOST;
    }
    if (bk_get_word(reader, root, "style", bk_styles, &word))
        plan->style = word == 1 ? BK_AHEAD : word == 2 ? BK_SPREAD : BK_FRESH;
    if (bk_get_duration(reader, root, "margin", &plan->margin))
        plan->margin_place = bk_json_place(bk_json_get(root, "margin"));
    if (bk_get_duration(reader, root, "at_table", &plan->at_table))
        plan->at_table_place = bk_json_place(bk_json_get(root, "at_table"));
}

/* -------------------------------------------------------------------- span */

/* The first and last serve; gives the dish that is served last, NULL when none is known. */
static const bk_dish *find_serves(bk_reader *reader)
{
    bk_plan *plan = reader->plan;
    const bk_dish *last = NULL;
    for (size_t i = 0; i < plan->dish_count; i++) {
        const bk_dish *dish = &plan->dishes[i];
        if (!reader->dish_serve_known[i]) /* a part's is one of the others' */
            continue;
        if (!last || dish->serve < plan->first_serve)
            plan->first_serve = dish->serve;
        if (!last || dish->serve > plan->last_serve) {
            plan->last_serve = dish->serve;
            last = dish;
        }
    }
    return last;
}

static void check_serves(bk_reader *reader)
{
    const bk_plan *plan = reader->plan;
    for (size_t i = 0; i < plan->dish_count; i++) {
        const bk_dish *dish = &plan->dishes[i];
        if (!reader->dish_serve_known[i] || dish->serve >= plan->earliest)
            continue;
        bool past = plan->has_now && plan->now >= plan->earliest;
        const char *when = instant_words(reader, dish->serve);
        const char *limit = instant_words(reader, plan->earliest);
        if (past) {
            bk_problem(reader, "serve-early", dish->serve_place, "serve it later",
                       "%s is to be served at %s, but it is %s already", bk_dish_words(reader, i),
                       when, limit);
        } else {
            bk_problem(reader, "serve-early", dish->serve_place,
                       "serve it later, or make \"earliest\" earlier",
                       "%s is to be served at %s, before \"earliest\" (%s)",
                       bk_dish_words(reader, i), when, limit);
        }
    }
}

/* How many days a plan of so many stages may span. The minutes that its dishes wait add up to no
 * more than stages times span, and the engine's sums end at BK_FAR (engine/engine.h), which some
 * of it is kept from: what has begun may have done so before `earliest`. */
static int64_t most_days(size_t stages)
{
    int64_t days = BK_MOST_STAGE_MINUTES / BK_DAY / (int64_t)(stages > 0 ? stages : 1);
    return days < BK_MOST_SPAN_DAYS ? days : BK_MOST_SPAN_DAYS;
}

/* From `earliest` to the last serve; false when that is not known. */
static bool read_span(bk_reader *reader, bk_json *root)
{
    enum { DEFAULT_DAYS = 14 };
    bk_plan *plan = reader->plan;
    bk_json *json = bk_json_get(root, "earliest");
    bk_instant earliest = 0;
    bool given = bk_get_instant(reader, root, "earliest", &earliest);
    const bk_dish *last = find_serves(reader);
    if (!last)
        return false;
    plan->earliest = given ? earliest : plan->first_serve - DEFAULT_DAYS * BK_DAY;
    if (json)
        plan->earliest_place = bk_json_place(json);
    if (plan->has_now && plan->now > plan->earliest)
        plan->earliest = plan->now;
    check_serves(reader);
    int64_t span = plan->last_serve - plan->earliest, most = most_days(plan->stage_count);
    if (span > most * BK_DAY) {
        bk_problem(reader, "limit", given ? plan->earliest_place : last->serve_place,
                   "make \"earliest\" later, or two plans of it",
                   "the plan spans more than %lld days%s", (long long)most,
                   most < BK_MOST_SPAN_DAYS
                       ? bk_format(reader->arena, ", the most for %zu stages", plan->stage_count)
                       : "");
        return false;
    }
    return plan->last_serve >= plan->earliest;
}

/* ------------------------------------------------------------------- dials */

/* An oven's dial is in degrees Fahrenheit where the kitchen is, or where all that goes
 * into that oven was written so. */
static void find_dials(bk_reader *reader)
{
    bk_plan *plan = reader->plan;
    bool american = plan->kitchen.has_rules && plan->kitchen.rules == BK_RULES_US;
    bool *celsius = BK_NEW(reader->arena, bool, plan->kitchen.equipment_count);
    for (size_t e = 0; e < plan->kitchen.equipment_count; e++)
        if (plan->kitchen.equipment[e].kind != BK_COLD) /* that is as it was written */
            plan->kitchen.equipment[e].fahrenheit = american;
    for (size_t i = 0; i < plan->stage_count; i++) {
        const bk_stage *stage = &plan->stages[i];
        if (bk_is_heated(stage) && !stage->oven.at.fahrenheit)
            celsius[stage->oven.equipment] = true;
        else if (bk_is_heated(stage))
            plan->kitchen.equipment[stage->oven.equipment].fahrenheit = true;
    }
    for (size_t e = 0; e < plan->kitchen.equipment_count; e++)
        if (celsius[e] && !american)
            plan->kitchen.equipment[e].fahrenheit = false;
}

/* ------------------------------------------------------------------- whole */

static void read_root(bk_reader *reader, bk_json *root)
{
    bk_plan *plan = reader->plan;
    bk_check_keys(reader, root, "the plan", bk_plan_keys);
    bk_json *occasion = bk_json_get(root, "occasion");
    if (occasion) {
        plan->occasion = bk_text_value(reader, occasion, "\"occasion\"", BK_MOST_TEXT, false);
        plan->occasion_place = bk_json_place(occasion);
    } else {
        bk_missing(reader, root, "the plan", "occasion", "give it a title");
    }
    bk_json *publish = bk_json_get(root, "publish");
    if (publish)
        plan->publish = bk_text_value(reader, publish, "\"publish\"", BK_MOST_TEXT, false);
    plan->zone = read_zone(reader, root);
    if (!plan->zone)
        return;
    read_options(reader);
    read_serve(reader, root);
    read_manner(reader, root);
    bk_json *kitchen = bk_read_kitchen(reader, bk_json_get(root, "kitchen"));
    bk_json *dishes = bk_json_get(root, "dishes");
    if (dishes)
        bk_read_dishes(reader, dishes);
    else
        bk_missing(reader, root, "the plan", "dishes", "list at least one dish");
    reader->has_span = read_span(reader, root);
    for (size_t i = 0; i < plan->dish_count; i++)
        bk_read_dish_details(reader, i);
    bk_check_parts(reader);
    for (size_t i = 0; i < plan->stage_count; i++)
        bk_read_when(reader, i);
    find_dials(reader);
    bk_check_cycles(reader);
    bk_check_holds(reader);
    bk_check_off(reader);
    bk_check_bakings(reader);
    if (kitchen)
        bk_read_windows(reader, kitchen);
}

static void keep_warnings(bk_reader *reader, size_t first)
{
    bk_plan *plan = reader->plan;
    size_t room = 0;
    for (size_t i = first; i < reader->report->count; i++)
        *BK_PUSH(reader->arena, plan->warnings, plan->warning_count, room) =
            reader->report->messages[i];
}

bk_plan *bk_plan_read(bk_arena *arena, const bk_files *files, const char *path,
                      const bk_read_options *options, bk_report *report)
{
    size_t errors = report->errors, first = report->count;
    bk_reader reader = {.arena = arena,
                        .files = files,
                        .options = options,
                        .report = report,
                        .plan = BK_NEW(arena, bk_plan, 1)};
    bk_json *root = bk_load_plan(&reader, path);
    if (root && bk_is_object(&reader, root, "a plan", "start it with { and end it with }")) {
        if (options && options->alone)
            root = bk_plan_around(&reader, root);
        read_root(&reader, root);
    }
    bk_sort_problems(&reader, first);
    if (report->errors > errors)
        return NULL;
    keep_warnings(&reader, first);
    return reader.plan;
}
