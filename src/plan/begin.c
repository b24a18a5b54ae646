/* The first lines of a plan: one to change, or an occasion made of recipes. */
#include "plan/reader.h"

#include "quantity/quantity.h"

#include <string.h>

enum {
    USUAL_DAYS = 12, /* what lasts longer may not fit in the 14 days that a plan has by itself */
    SPARE_DAYS = 2,  /* nights and hours away, in which no hands are to be had */
    MOST_DAYS = 780  /* of the 800 that a plan may last */
};

static const char head[] = "// A plan to begin with: change it, and ask bakeset check. "
                           "docs/plan-format.md has every key.\n"
                           "{\n";

static const char kitchen_head[] =
    "  // Your kitchen. Times asleep and away are times in which nothing needs you.\n"
    "  \"kitchen\": {\n"
    "    \"cooks\": 1,\n"
    "    \"asleep\": \"22:30-06:30\",\n"
    "    \"equipment\": {\n";

static const char example_kitchen[] =
    "      \"oven\": {\"kind\": \"oven\", \"shelves\": 2, \"preheat\": \"15 min\"},\n"
    "      \"hob\": {\"kind\": \"hob\", \"rings\": 4},\n"
    "      \"fridge\": {\"kind\": \"cold\", \"at\": \"4 C\"}\n";

static const char example_dishes[] =
    "  \"dishes\": [\n"
    "    // A dish of your own. A recipe in a file of its own is {\"recipe\": "
    "\"recipes/rolls.json\"}.\n"
    "    // The quantities are made up: write yours.\n"
    "    {\n"
    "      \"dish\": \"Fruit tart\",\n"
    "      \"serves\": 6,\n"
    "      \"stages\": [\n"
    "        // \"active\" needs your hands throughout, \"passive\" goes on by itself.\n"
    "        {\"id\": \"pastry\", \"do\": \"Make the pastry\", \"active\": \"10-15 min\"},\n"
    "        {\"id\": \"rest\", \"do\": \"Rest the pastry in the fridge\", \"passive\": \"30-60 "
    "min\", \"uses\": {\"fridge\": 1}},\n"
    "        {\"id\": \"line\", \"do\": \"Roll out, line the tin and fill it\", \"active\": \"15 "
    "min\"},\n"
    "        {\"id\": \"bake\", \"do\": \"Bake the tart\", \"passive\": \"35-40 min\", \"uses\": "
    "{\"oven\": {\"at\": \"190 C\"}},\n"
    "         \"after\": {\"stage\": \"line\", \"within\": \"15 min\"}},\n"
    "        {\"id\": \"cool\", \"do\": \"Let the tart cool\", \"passive\": \"1 h\", \"begins\": "
    "\"itself\"}\n"
    "      ]\n"
    "    }\n"
    "  ]\n"
    "}\n";

static void put_string(bk_text *out, const char *text)
{
    bk_put put = bk_put_to(out);
    bk_put_text(&put, NULL, text);
}

/* What the stages of a recipe take at most, one after the other, in minutes. What is no time is
 * reported when the plan is read. */
static int64_t minutes_of(const bk_json *recipe)
{
    static const char *const keys[] = {"active", "passive", NULL};
    const bk_json *stages = bk_json_get(recipe, "stages");
    int64_t sum = 0;
    if (!stages || stages->type != BK_JSON_LIST)
        return 0;
    for (const bk_json *stage = stages->first; stage; stage = stage->next) {
        for (size_t i = 0; keys[i]; i++) {
            const bk_json *time = bk_json_get(stage, keys[i]);
            bk_range range = {0, 0, 0};
            const char *mend = NULL;
            if (time && time->type == BK_JSON_STRING &&
                bk_read_range(time->string, &range, &mend) && sum < (int64_t)MOST_DAYS * BK_DAY)
                sum += range.most;
        }
    }
    return sum;
}

/* "2026-12-24 19:30" so many days before, at midnight; NULL where the text begins with no date. */
static const char *days_before(bk_arena *arena, const char *instant, int64_t days)
{
    enum { DATE = 10 };
    bk_civil date = {0};
    if (strlen(instant) < DATE || !bk_date_read(bk_copy(arena, instant, DATE), &date))
        return NULL;
    int64_t minutes = bk_civil_minutes(date) - days * BK_DAY;
    const bk_zone *utc = bk_zone_from_changes(arena, "UTC", 0, NULL, 0);
    date = bk_civil_at(utc, minutes);
    return bk_format(arena, "%04d-%02d-%02d 00:00", date.year, date.month, date.day);
}

/* `longest`: minutes of the recipe that takes most. */
static void put_occasion(bk_arena *arena, bk_text *out, const bk_beginning *beginning,
                         int64_t longest)
{
    const char *serve = beginning->serve ? beginning->serve : "2026-12-24 19:30";
    bk_text_add(out, "  \"occasion\": ");
    put_string(out, beginning->occasion ? beginning->occasion : "Supper");
    bk_text_add(out, ",\n  \"timezone\": ");
    put_string(out, beginning->zone ? beginning->zone : "Europe/London");
    bk_text_add(out, ",\n  // Everything is ready by then.\n  \"serve\": ");
    put_string(out, serve);
    int64_t days = (longest + BK_DAY - 1) / BK_DAY;
    days = days < MOST_DAYS ? days : MOST_DAYS;
    const char *earliest = days > USUAL_DAYS ? days_before(arena, serve, days + SPARE_DAYS) : NULL;
    if (earliest) {
        bk_text_addf(out,
                     ",\n  // The longest recipe takes up to %lld days: nothing starts before "
                     "this.\n  \"earliest\": ",
                     (long long)days);
        put_string(out, earliest);
    }
    bk_text_add(out, ",\n");
}

/* What a name says of the kind of thing; a tool else. */
static void put_equipment(bk_text *out, const bk_ware *item, bool last)
{
    bk_text_add(out, "      ");
    put_string(out, item->name);
    bk_text_add(out, item->oven ? ": {\"kind\": \"oven\", \"shelves\": 2, \"preheat\": \"15 min\"}"
                     : strcmp(item->name, "hob") == 0 ? ": {\"kind\": \"hob\", \"rings\": 4}"
                     : strcmp(item->name, "freezer") == 0
                         ? ": {\"kind\": \"cold\", \"at\": \"-18 C\"}"
                     : item->cold || strcmp(item->name, "fridge") == 0
                         ? ": {\"kind\": \"cold\", \"at\": \"4 C\"}"
                         : ": {\"count\": 2}");
    bk_text_add(out, last ? "\n" : ",\n");
}

/* What the recipes ask for, and how long the longest takes; false after reporting. */
static bool gather_all(bk_arena *arena, const bk_files *files, const bk_beginning *beginning,
                       bk_kitchenware *all, int64_t *longest, bk_report *report)
{
    bool good = true;
    for (size_t i = 0; i < beginning->recipe_count; i++) {
        const char *path = beginning->recipes[i], *text = NULL, *problem = NULL;
        size_t length = 0;
        if (!files->load(files->context, arena, path, BK_MOST_BYTES, &text, &length, &problem)) {
            report->machine_failed |= strcmp(problem, BK_TOO_LONG) != 0;
            bk_error(report, "file", (bk_place){0}, NULL, "cannot read the recipe %s: %s", path,
                     problem);
            good = false;
            continue;
        }
        const bk_source *source = bk_source_of(arena, bk_copy_string(arena, path), text, length);
        const bk_json *recipe = bk_json_read(arena, source, report);
        if (!recipe || recipe->type != BK_JSON_OBJECT) {
            good = false;
            continue;
        }
        bk_gather_equipment(all, recipe);
        int64_t minutes = minutes_of(recipe);
        *longest = minutes > *longest ? minutes : *longest;
    }
    return good && report->errors == 0;
}

bool bk_plan_begin(bk_arena *arena, const bk_files *files, const bk_beginning *beginning,
                   bk_text *out, bk_report *report)
{
    bk_kitchenware *all = BK_NEW(arena, bk_kitchenware, 1);
    int64_t longest = 0;
    if (!gather_all(arena, files, beginning, all, &longest, report))
        return false;
    bk_text_add(out, head);
    put_occasion(arena, out, beginning, longest);
    bk_text_add(out, kitchen_head);
    for (size_t i = 0; i < all->count; i++)
        put_equipment(out, &all->items[i], i + 1 == all->count);
    bk_text_addf(out, "%s    }\n  },\n", beginning->recipe_count == 0 ? example_kitchen : "");
    if (beginning->recipe_count == 0) {
        bk_text_add(out, example_dishes);
        return true;
    }
    bk_text_add(out, "  \"dishes\": [\n");
    for (size_t i = 0; i < beginning->recipe_count; i++) {
        bk_text_add(out, "    {\"recipe\": ");
        put_string(out, beginning->named[i]);
        bk_text_add(out, i + 1 < beginning->recipe_count ? "},\n" : "}\n");
    }
    bk_text_add(out, "  ]\n}\n");
    return true;
}
