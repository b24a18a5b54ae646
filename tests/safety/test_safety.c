/* Food-safety warnings and cautions of timelines laid out by hand. */
#include "safety/safety.h"

#include "safety/food_words.h"

#include "support/plan_text.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

enum { MOST_STAGES = 8 };

/* A stage and when it is placed: minutes from noon on 2026-12-01, UTC; its length is
 * the planned one. */
typedef struct placing {
    const char *stage;
    int64_t start;
} placing;

typedef struct laid_out {
    bk_arena *arena;
    bk_report report;
    bk_plan *plan;
    bk_timeline timeline;
} laid_out;

/* Reads a plan with the head and kitchen of all these tests and the given dishes, and
 * puts its stages where the test says. */
static laid_out lay_out(const char *rules, const char *dishes, const placing *placings)
{
    laid_out l = {.arena = bk_arena_new(NULL)};
    l.report = bk_report_new(l.arena);
    char *text = bk_format(
        l.arena,
        "{\"occasion\": \"Test\", \"timezone\": \"UTC\", \"serve\": \"2026-12-14 12:00\", "
        "\"earliest\": \"2026-11-25 00:00\", "
        "\"kitchen\": {%s \"asleep\": \"23:00-06:00\", \"equipment\": {"
        "\"fridge\": {\"kind\": \"cold\", \"at\": \"4 C\"}, "
        "\"larder\": {\"kind\": \"cold\", \"at\": \"7 C\"}, "
        "\"freezer\": {\"kind\": \"cold\", \"at\": \"-18 C\"}, "
        "\"hob\": {\"kind\": \"hob\"}, \"oven\": {\"kind\": \"oven\"}}}, "
        "\"dishes\": [%s]}",
        rules, dishes);
    l.plan = read_plan_text(l.arena, text, &(bk_read_options){0});
    bk_instant noon = bk_instant_of(l.plan->zone, (bk_civil){2026, 12, 1, 12, 0}, NULL);
    l.timeline = (bk_timeline){.plan = l.plan, .stages = BK_NEW(l.arena, bk_placed, MOST_STAGES)};
    for (; placings->stage != NULL; placings++) {
        size_t n = bk_stage_find(l.plan, placings->stage);
        assert_true(n < l.plan->stage_count);
        assert_true(l.timeline.stage_count < MOST_STAGES);
        bk_instant start = noon + placings->start;
        l.timeline.stages[l.timeline.stage_count++] =
            (bk_placed){.stage = n, .start = start, .end = start + l.plan->stages[n].planned};
    }
    assert_int_equal(l.timeline.stage_count, l.plan->stage_count);
    return l;
}

/* The codes of all warnings, each with a blank behind; the texts and mends in *texts. */
static const char *codes(laid_out *l, const char **texts)
{
    bk_text all = bk_text_new(l->arena), words = bk_text_new(l->arena);
    bk_text_add(&all, "");
    bk_text_add(&words, "");
    for (size_t i = 0; i < l->report.count; i++) {
        bk_text_addf(&all, "%s ", l->report.messages[i].code);
        bk_text_addf(&words, "%s; %s\n", l->report.messages[i].text, l->report.messages[i].mend);
        assert_int_equal(l->report.messages[i].severity, BK_WARNING);
    }
    *texts = words.data;
    return all.data;
}

typedef struct safety_case {
    const char *title, *rules, *dishes;
    placing placings[MOST_STAGES];
    const char *codes;    /* all of them */
    const char *words[4]; /* that must be in the texts */
} safety_case;

#define US "\"rules\": \"us\","
#define UK "\"rules\": \"uk\","

/* What cases that are compared with each other have in common. */
#define HAM(served)                                                                                \
    "{\"dish\": \"Ham\", \"serve\": \"" served " 12:00\", \"stored\": {\"fridge\": 1}, "           \
    "\"stages\": ["                                                                                \
    "{\"id\": \"boil\", \"do\": \"Boil the ham\", \"passive\": \"60 min\", "                       \
    "\"uses\": {\"hob\": 1}},"                                                                     \
    "{\"id\": \"chill\", \"do\": \"Chill\", \"passive\": \"3 h\", "                                \
    "\"uses\": {\"fridge\": 1}}]}"
#define PANNA_COTTA(chilled)                                                                       \
    "{\"dish\": \"Panna cotta\", \"serve\": \"2026-12-02 12:00\", "                                \
    "\"ingredients\": [{\"item\": \"cream\", \"stage\": \"warm\"}], \"stages\": ["                 \
    "{\"id\": \"warm\", \"do\": \"Warm\", \"active\": \"10 min\", "                                \
    "\"uses\": {\"hob\": 1}, \"caution\": \"Contains milk.\"},"                                    \
    "{\"id\": \"chill\", \"do\": \"Chill\", \"passive\": \"3 h\", " chilled ", "                   \
    "\"after\": {\"stage\": \"warm\", \"wait\": \"20 min\"}},"                                     \
    "{\"id\": \"top\", \"do\": \"Top\", \"active\": \"5 min\"}]}"
#define FLOATING_ISLAND(sugar, whisk)                                                              \
    "{\"dish\": \"Floating island\", \"serve\": \"2026-12-01 13:00\", \"ingredients\": ["          \
    "{\"item\": \"egg whites\", \"stage\": \"whisk\"}, "                                           \
    "{\"item\": \"almonds\", \"stage\": \"whisk\"}], \"stages\": ["                                \
    "{\"id\": \"sugar\", \"do\": \"Cook the sugar to amber\", \"active\": \"10 min\", "            \
    "\"uses\": {\"hob\": 1}" sugar "},"                                                            \
    "{\"id\": \"whisk\", \"do\": \"Whisk\", \"active\": \"10 min\", \"after\": []" whisk "}]}"

static const safety_case cases[] = {
    {"set dessert of ingredients that are not cold: a caution with what helps",
     US,
     "{\"dish\": \"Mousse\", \"serve\": \"2026-12-02 12:00\", \"ingredients\": [\"cream\"], "
     "\"stages\": ["
     "{\"id\": \"mix\", \"do\": \"Mix\", \"active\": \"20 min\"},"
     "{\"id\": \"set\", \"do\": \"Set\", \"cooling\": {\"shape\": \"round\", \"across\": \"20 "
     "cm\", \"deep\": \"6 cm\","
     "\"food\": \"soft cheese\", \"from\": \"15 C\", \"to\": \"6 C\", \"in\": \"fridge\"}}]}",
     {{"mix", 0}, {"set", 20}},
     "safety-ambient safety-room caution-allergens ",
     {"3-501.14(B)", "what helps: ", "with a fan", "follow your local rules"}},
    {"the same in small pots kept cold: nothing but allergens",
     US,
     "{\"dish\": \"Mousse\", \"serve\": \"2026-12-02 12:00\", \"stored\": {\"fridge\": 1}, "
     "\"ingredients\": [\"cream\"], "
     "\"stages\": [{\"id\": \"mix\", \"do\": \"Mix\", \"active\": \"20 min\"},"
     "{\"id\": \"set\", \"do\": \"Set\", \"cooling\": {\"shape\": \"round\", \"across\": \"5 cm\", "
     "\"deep\": \"3 cm\","
     "\"food\": \"mousse\", \"from\": \"12 C\", \"to\": \"5 C\", \"in\": \"fridge\"}}]}",
     {{"mix", 0}, {"set", 20}},
     "caution-allergens ",
     {"Mousse (milk)"}},
    {"stew in a deep pot: too slow through 21 C, counted from the bench",
     US,
     "{\"dish\": \"Stew\", \"serve\": \"2026-12-03 12:00\", \"stored\": {\"fridge\": 1}, "
     "\"stages\": ["
     "{\"id\": \"cook\", \"do\": \"Simmer the beef\", \"passive\": \"60 min\", \"uses\": {\"hob\": "
     "1}},"
     "{\"id\": \"bench\", \"do\": \"Stand\", \"cooling\": {\"shape\": \"round\", \"across\": \"24 "
     "cm\", \"deep\": \"12 cm\","
     "\"food\": \"stew\", \"from\": \"95 C\", \"to\": \"50 C\", \"in\": \"room\"}},"
     "{\"id\": \"chill\", \"do\": \"Chill\", \"cooling\": {\"shape\": \"round\", \"across\": \"24 "
     "cm\", \"deep\": \"12 cm\","
     "\"food\": \"stew\", \"from\": \"50 C\", \"to\": \"6 C\", \"in\": \"fridge\"}}]}",
     {{"cook", 0}, {"bench", 60}, {"chill", 700}},
     "safety-cooling caution-hot-into-fridge ",
     {"Stew/chill: its middle is at 21 C only at", "it passes 57 C at", "limit is 2 h",
      "3-501.14(A)"}},
    {"the same stew spread thin, soon enough",
     US,
     "{\"dish\": \"Stew\", \"serve\": \"2026-12-03 12:00\", \"stored\": {\"fridge\": 1}, "
     "\"stages\": ["
     "{\"id\": \"cook\", \"do\": \"Simmer the beef\", \"passive\": \"60 min\", \"uses\": {\"hob\": "
     "1}},"
     "{\"id\": \"bench\", \"do\": \"Stand\", \"cooling\": {\"shape\": \"slab\", \"across\": \"30 "
     "cm\", \"deep\": \"10 mm\","
     "\"food\": \"stew\", \"from\": \"95 C\", \"to\": \"45 C\", \"in\": \"room\"}},"
     "{\"id\": \"chill\", \"do\": \"Chill\", \"cooling\": {\"shape\": \"slab\", \"across\": \"30 "
     "cm\", \"deep\": \"10 mm\","
     "\"food\": \"stew\", \"from\": \"45 C\", \"to\": \"5 C\", \"in\": \"fridge\"}}]}",
     {{"cook", 0}, {"bench", 60}, {"chill", 130}},
     "",
     {0}},
    {"air that is not cold enough: never",
     US,
     "{\"dish\": \"Custard\", \"serve\": \"2026-12-02 12:00\", \"stored\": {\"larder\": 1}, "
     "\"stages\": ["
     "{\"id\": \"cook\", \"do\": \"Stir the custard\", \"active\": \"10 min\", \"uses\": {\"hob\": "
     "1}},"
     "{\"id\": \"chill\", \"do\": \"Chill\", \"cooling\": {\"shape\": \"slab\", \"across\": \"30 "
     "cm\", \"deep\": \"10 mm\","
     "\"food\": \"custard\", \"from\": \"70 C\", \"to\": \"10 C\", \"in\": \"larder\"}}]}",
     {{"cook", 0}, {"chill", 10}},
     "safety-cold safety-cooling caution-hot-into-fridge ",
     {"larder is at 7 C", "never at 5 C", "limit is 6 h"}},
    {"UK law allows 8 C",
     UK,
     "{\"dish\": \"Trifle\", \"serve\": \"2026-12-02 12:00\", \"stored\": {\"larder\": 1}, "
     "\"stages\": ["
     "{\"id\": \"mix\", \"do\": \"Layer the trifle\", \"active\": \"10 min\"},"
     "{\"id\": \"chill\", \"do\": \"Chill\", \"passive\": \"3 h\", \"uses\": {\"larder\": 1}}]}",
     {{"mix", 0}, {"chill", 10}},
     "",
     {0}},
    {"roast that waits three hours",
     US,
     "{\"dish\": \"Roast\", \"serve\": \"2026-12-01 18:00\", \"ingredients\": [\"leg of lamb\"], "
     "\"stages\": ["
     "{\"id\": \"roast\", \"do\": \"Roast\", \"passive\": \"2 h\", \"uses\": {\"oven\": {\"at\": "
     "\"180 C\"}}},"
     "{\"id\": \"rest\", \"do\": \"Rest\", \"passive\": \"30 min\"}]}",
     {{"roast", 0}, {"rest", 130}},
     "safety-room ",
     {"from 14:00 on Tuesday to 18:00 on Tuesday (4 h)", "2-hour rule"}},
    {"bread is not meant, nor rising dough",
     US,
     "{\"dish\": \"Rolls\", \"serve\": \"2026-12-02 12:00\", \"ingredients\": [{\"item\": "
     "\"milk\", \"stage\": \"knead\"}, "
     "{\"item\": \"egg\", \"stage\": \"knead\"}], \"stages\": ["
     "{\"id\": \"knead\", \"do\": \"Knead the dough; contains gluten, egg and milk\", \"active\": "
     "\"20 min\", "
     "\"caution\": \"Contains egg and milk.\"},"
     "{\"id\": \"rise\", \"do\": \"Let the dough rise\", \"passive\": \"4 h\"},"
     "{\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"30 min\", \"uses\": {\"oven\": {\"at\": "
     "\"200 C\"}}},"
     "{\"id\": \"cool\", \"do\": \"Cool on a rack\", \"passive\": \"5 h\"}]}",
     {{"knead", 0}, {"rise", 20}, {"bake", 260}, {"cool", 290}},
     "",
     {0}},
    {"a fridge held between two stages counts",
     US,
     PANNA_COTTA("\"holds\": {\"fridge\": {\"until\": \"top\"}}"),
     {{"warm", 0}, {"chill", 30}, {"top", 1430}},
     "",
     {0}},
    {"and without it the wait is in a room",
     US,
     PANNA_COTTA("\"uses\": {\"fridge\": 1}"),
     {{"warm", 0}, {"chill", 30}, {"top", 1430}},
     "safety-room ",
     {"Panna cotta/chill: from 15:30 on Tuesday to 11:50 on Wednesday"}},
    {"eight days in the fridge, counted with the first",
     US,
     HAM("2026-12-08"),
     {{"boil", 0}, {"chill", 90}},
     "safety-storage ",
     {"day 8 with the first counted", "limit is 7 days", "3-501.17"}},
    {"seven are allowed", US, HAM("2026-12-07"), {{"boil", 0}, {"chill", 90}}, "", {0}},
    {"but not by UK advice, nor where no rules are chosen",
     "",
     HAM("2026-12-07"),
     {{"boil", 0}, {"chill", 90}},
     "safety-storage ",
     {"limit is 3 days", "FSA"}},
    {"the freezer stops the clock",
     US,
     "{\"dish\": \"Ham\", \"serve\": \"2026-12-14 12:00\", \"stages\": ["
     "{\"id\": \"freeze\", \"do\": \"Freeze the ham\", \"passive\": \"12 d\", \"uses\": "
     "{\"freezer\": 1}},"
     "{\"id\": \"thaw\", \"do\": \"Thaw the ham\", \"passive\": \"20 h\", \"uses\": {\"fridge\": "
     "1}},"
     "{\"id\": \"slice\", \"do\": \"Slice\", \"active\": \"10 min\"}]}",
     {{"freeze", 0}, {"thaw", 12 * 1440}, {"slice", 12 * 1440 + 1200}},
     "safety-room ", /* sliced at 8, served at 12 */
     {"Ham/slice"}},
    {"thawing in a room",
     US,
     "{\"dish\": \"Prawns\", \"serve\": \"2026-12-01 18:00\", \"stages\": ["
     "{\"id\": \"thaw\", \"do\": \"Thaw the prawns\", \"passive\": \"3 h\"},"
     "{\"id\": \"fry\", \"do\": \"Fry\", \"active\": \"10 min\", \"uses\": {\"hob\": 1}}]}",
     {{"thaw", 0}, {"fry", 350}},
     "safety-thawing ",
     {"3-501.13"}},
    {"an oven that is not hot enough to keep food hot",
     US,
     "{\"dish\": \"Pie\", \"serve\": \"2026-12-01 18:00\", \"ingredients\": [\"minced beef\"], "
     "\"stages\": ["
     "{\"id\": \"bake\", \"do\": \"Bake\", \"passive\": \"60 min\", \"uses\": {\"oven\": {\"at\": "
     "\"180 C\"}}},"
     "{\"id\": \"hold\", \"do\": \"Keep warm\", \"passive\": \"60 min\", \"uses\": {\"oven\": "
     "{\"at\": \"50 C\"}}}]}",
     {{"bake", 240}, {"hold", 300}},
     "safety-hot ",
     {"50 C", "57 C", "3-501.16"}},
    {"hot sugar, raw egg, allergens",
     US,
     FLOATING_ISLAND("", ""),
     {{"sugar", 40}, {"whisk", 50}},
     "caution-hot-sugar caution-raw-egg caution-allergens ",
     {"Floating island/sugar, at 12:40", "Floating island (egg, nuts)"}},
    {"none of which is said twice",
     US,
     FLOATING_ISLAND(", \"caution\": \"Hot sugar burns.\"",
                     ", \"caution\": \"Raw egg and nuts: tell your guests.\""),
     {{"sugar", 40}, {"whisk", 50}},
     "",
     {0}},
    {"an oven that nobody watches overnight",
     US,
     "{\"dish\": \"Pot\", \"serve\": \"2026-12-02 12:00\", \"stages\": ["
     "{\"id\": \"cook\", \"do\": \"Cook the pot\", \"passive\": \"20 h\", \"watch\": false, "
     "\"uses\": {\"oven\": {\"at\": \"110 C\"}}}]}",
     {{"cook", 200}},
     "caution-alone ",
     {"while everybody is asleep"}},
};

static void every_case(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const safety_case *c = &cases[i];
        const char *texts;
        laid_out l = lay_out(c->rules, c->dishes, c->placings);
        bk_safety(l.arena, &l.timeline, &l.report);
        bk_cautions(l.arena, &l.timeline, &l.report);
        const char *found = codes(&l, &texts);
        if (strcmp(found, c->codes) != 0)
            print_error("%s:\n%s\n%s", c->title, found, texts);
        assert_string_equal(found, c->codes);
        for (int w = 0; w < 4 && c->words[w] != NULL; w++) {
            if (strstr(texts, c->words[w]) == NULL)
                print_error("%s: no \"%s\" in\n%s", c->title, c->words[w], texts);
            assert_non_null(strstr(texts, c->words[w]));
        }
        /* nothing here says that food is safe */
        assert_null(strstr(texts, "safe"));
        bk_arena_free(l.arena);
    }
}

/* FDA Food Code sections and figures, UK regulations and FSA advice: the one table. */
static void limits(void **state)
{
    (void)state;
    bk_safety_rules us = bk_safety_rules_of(BK_RULES_US, false),
                    uk = bk_safety_rules_of(BK_RULES_UK, false);
    bk_safety_rules strictest = bk_safety_rules_of(BK_RULES_US, true);
    assert_true(us.hot.value == 57.0 && us.cold.value == 5.0);
    assert_true(us.cooling_first.value == 120.0 && us.cooling_whole.value == 360.0 &&
                us.cooling_middle_c == 21.0);
    assert_true(us.ambient.value == 240.0 && us.storage.value == 7.0 && us.room.value == 120.0);
    assert_true(uk.hot.value == 63.0 && uk.cold.value == 8.0 && uk.storage.value == 3.0);
    assert_true(strictest.hot.value == 63.0 && strictest.cold.value == 5.0 &&
                strictest.storage.value == 3.0);
}

static void whole_words(void **state)
{
    (void)state;
    assert_true(bk_has_word("Two Eggs, beaten", "egg"));
    assert_true(bk_has_word("potatoes", "potato"));
    assert_false(bk_has_word("eggplant", "egg"));
    assert_false(bk_has_word("champion", "ham"));
    assert_false(bk_has_word("cr\xc3\xa9"
                             "am",
                             "am"));
    assert_true(bk_has_word("soft cheese, sieved", "soft cheese"));
    assert_false(bk_has_word(NULL, "egg"));
    assert_false(bk_has_word("", "egg"));
    assert_int_equal(bk_spoils("coconut milk"), 0);
    assert_int_equal(bk_spoils("whole milk"), BK_SPOILS_UNBAKED);
    assert_int_equal(bk_spoils("coconut milk and cream"), BK_SPOILS_UNBAKED);
    assert_int_equal(bk_spoils("salmon and rice"),
                     BK_SPOILS_ALWAYS | BK_SPOILS_COOKED | BK_FOOD_FISH);
    assert_int_equal(bk_allergens_in("peanut butter") & 1U << 2, 0);
    assert_int_equal(bk_allergens_in("plain flour"), 1);
    assert_int_equal(bk_allergens_in("rice flour"), 0);
}

/* Foods that stood five hours without a word, and phrases that were taken for food that
 * spoils: common practice, no source. */
static void the_table_of_words(void **state)
{
    (void)state;
    static const char *const spoil[] = {"mackerel",
                                        "herrings",
                                        "oysters",
                                        "Scallops",
                                        "lobster",
                                        "poultry",
                                        "game",
                                        "liver",
                                        "brisket",
                                        "burger",
                                        "tofu",
                                        "P\xc3\x82T\xc3\x89",
                                        "hollandaise",
                                        "cr\xc3\xa8me fra\xc3\xae"
                                        "che",
                                        "cr\xc3\xa8me p\xc3\xa2tissi\xc3\xa8re",
                                        "chickpeas",
                                        "beans",
                                        "noodles",
                                        "lasagne",
                                        "couscous",
                                        "egg whites"};
    static const char *const keep[] = {"beef tomatoes",
                                       "lamb\xe2\x80\x99s lettuce",
                                       "lamb's lettuce",
                                       "potato bread",
                                       "custard-powder biscuits",
                                       "fish sauce",
                                       "stock syrup",
                                       "mince pies",
                                       "coconut milk",
                                       "royal icing",
                                       "coffee beans",
                                       "oyster mushrooms",
                                       "cream of tartar",
                                       "crab apples",
                                       NULL};
    for (size_t i = 0; i < sizeof spoil / sizeof spoil[0]; i++)
        if (!bk_may_spoil(bk_spoils(spoil[i])))
            fail_msg("%s is not known", spoil[i]);
    for (size_t i = 0; keep[i] != NULL; i++)
        if (bk_may_spoil(bk_spoils(keep[i])))
            fail_msg("%s is taken for food that spoils", keep[i]);
    for (size_t i = 0; i < bk_food_word_count; i++) {
        assert_true(bk_food_words[i].source[0] != '\0');
        if (i > 0 && strcmp(bk_food_words[i - 1].phrase, bk_food_words[i].phrase) >= 0)
            fail_msg("%s is twice or out of order", bk_food_words[i].phrase);
        if (bk_spoils(bk_food_words[i].phrase) != bk_food_words[i].kinds ||
            bk_allergens_in(bk_food_words[i].phrase) != bk_food_words[i].allergens)
            fail_msg("%s is not what its row says", bk_food_words[i].phrase);
    }
}

/* The table of limits against the publications that it names, number by number. The FDA
 * Food Code (2022) in degrees Fahrenheit: 135 F hot, 41 F cold, 70 F within 2 h and 41 F
 * within 6 h of 135 F, 4 h from room temperature, 7 days. USDA: two hours in a room.
 * England 2013, Schedule 4: 63 C hot, 8 C cold; FSA: within one to two hours into the
 * fridge, leftovers within two days (the day it was made counted as the first of three). */
static void limits_are_those_of_the_publications(void **state)
{
    (void)state;
    static const double published[2][9] = {{57.2, 5.0, 120, 21.1, 360, 240, 120, 7, 5.0},
                                           {63.0, 8.0, 120, 21.1, 360, 240, 120, 3, 5.0}};
    for (int region = BK_RULES_US; region <= BK_RULES_UK; region++) {
        bk_safety_rules r = bk_safety_rules_of(region, false);
        const double ours[9] = {r.hot.value,        r.cold.value,          r.cooling_first.value,
                                r.cooling_middle_c, r.cooling_whole.value, r.ambient.value,
                                r.room.value,       r.storage.value,       r.thawing.value};
        for (size_t i = 0; i < 9; i++) {
            double apart = ours[i] - published[region][i];
            if (apart > 0.25 || apart < -0.25)
                fail_msg("limit %zu of region %d is %g, published %g", i, region, ours[i],
                         published[region][i]);
        }
    }
    bk_safety_rules strict = bk_safety_rules_of(BK_RULES_UK, true);
    assert_true(strict.hot.value == 63.0 && strict.cold.value == 5.0 &&
                strict.storage.value == 3.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_case),
        cmocka_unit_test(limits),
        cmocka_unit_test(limits_are_those_of_the_publications),
        cmocka_unit_test(whole_words),
        cmocka_unit_test(the_table_of_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
