#include "plan/keys.h"

#include "plan/cooling_keys.h"
#include "plan/plan.h"

#include <stddef.h>

const char *const bk_tin_shapes[] = {"round", "square", NULL};
const char *const bk_range_ends[] = {"most", "likely", "least", NULL};
const char *const bk_styles[] = {"fresh", "ahead", "spread", NULL};
const char *const bk_rule_words[] = {"us", "uk", NULL};
const char *const bk_kind_words[] = {"oven", "hob", "cold", "tool", NULL};
const char *const bk_air_words[] = {"still", "fan", NULL};
const char *const bk_begin_words[] = {"hand", "itself", NULL};
const char *const bk_link_ends[] = {"end", "start", NULL};

#define REQUIRED "required"
/* clang-format would break a line of the page in several. */
/* clang-format off */
#define END {NULL, NULL, NULL, NULL, NULL}
#define SCHEMA {"$schema", "line", NULL, "where an editor finds the schema of this file; it changes nothing", NULL}

const bk_key bk_plan_keys[] = {
    {"occasion", "line", NULL, "title", REQUIRED},
    {"timezone", "name", NULL, "IANA name", REQUIRED},
    {"serve", "instant", NULL, "instant by which every dish is ready", "required unless each dish has its own"},
    {"margin", "duration", NULL, "dishes are ready this long before `serve`", "`\"0 min\"`"},
    {"at_table", "duration", NULL, "from each serve the cooks eat for so long: no hands-on stage, no check with `takes`; a touch (rule 11) is allowed and is an interruption", "`\"0 min\"`"},
    {"plan_on", NULL, bk_range_ends, "`\"most\"`, `\"likely\"` or `\"least\"` end of every range", "`\"most\"`"},
    {"style", NULL, bk_styles, "`\"fresh\"` (as late as possible), `\"ahead\"` (as little hands-on work as possible on the last serving day) or `\"spread\"` (that, and the rest evenly over the days before)", "`\"fresh\"`"},
    {"earliest", "instant", NULL, "instant before which nothing starts", "14 days before the first serve"},
    {"kitchen", "kitchen-or-path", NULL, "section 4", "one cook, no equipment"},
    {"dishes", "dishes", NULL, "section 5, at least one", REQUIRED},
    {"publish", "line", NULL, "address of a calendar on a CalDAV server, for `bakeset day --publish`", "none"},
    SCHEMA, END};

const bk_key bk_kitchen_keys[] = {
    {"kitchen", "path", NULL, "path of another kitchen file, of which the keys here take the place", "none"},
    {"cooks", "cooks", NULL, "number of people with hands; or a list of `{\"cook\": name, \"asleep\", \"away\", \"busy\"}`, below", "1"},
    {"pace", "pace", NULL, "0.5 to 3: active ranges are multiplied by it and rounded up to minutes; checks' `takes` are not", "1"},
    {"asleep", "asleep", NULL, "daily window, or a list; also the hours below", "none"},
    {"away", "taken", NULL, "list of `{\"from\",\"to\"}` or paths of `.ics` files, or the hours below: nobody at home (one alone needs no list)", "none"},
    {"busy", "taken", NULL, "the same forms: at home, hands not free", "none"},
    {"equipment", "equipment", NULL, "name → object", "none"},
    {"rules", NULL, bk_rule_words, "`\"us\"` or `\"uk\"`: whose food-safety limits the timeline is looked at with; `\"us\"` shows ovens in °F as well", "the stricter of each limit"},
    {"room", "temperature", NULL, "temperature of the room, from 0 to 50 °C: what cools there, and what stands above 32 °C, goes by it", "20 °C (common practice)"},
    SCHEMA, END};

const bk_key bk_cook_keys[] = {
    {"cook", "name", NULL, "the cook's name", REQUIRED},
    {"asleep", "asleep", NULL, "when this one sleeps, beside the kitchen's hours", "none"},
    {"away", "taken", NULL, "when this one is not at home", "none"},
    {"busy", "taken", NULL, "when this one is at home and has no hands free", "none"},
    END};

const bk_key bk_period_keys[] = {
    {"from", "instant", NULL, "when it begins", REQUIRED},
    {"to", "instant", NULL, "when it is over", REQUIRED},
    END};

const bk_key bk_hours_keys[] = {
    {"days", "days", NULL, "days of the week on which it begins: `\"mon-fri\"`, `\"sat,sun\"`", "every day"},
    {"date", "date", NULL, "the one date on which it begins, in place of `days`", "none"},
    {"time", "window", NULL, "from when to when, `\"08:00-17:30\"`", REQUIRED},
    END};

#define KIND {"kind", NULL, bk_kind_words, "`\"oven\"`, `\"hob\"`, `\"cold\"` or `\"tool\"`", "`\"tool\"`"}

const bk_key bk_oven_keys[] = {
    KIND,
    {"count", "few", NULL, "separate ovens, each with its own temperature", "1"},
    {"fan", "truth", NULL, "true shows fan temperatures", "false"},
    {"shelves", "few", NULL, "shelves of each", "1"},
    {"preheat", "duration", NULL, "how long it takes to get hot", "`\"15 min\"`"},
    {"change", "duration", NULL, "between two temperatures that no stage pair shares", "`\"10 min\"`"},
    {"idle", "duration", NULL, "left on that long between uses", "`\"30 min\"`"},
    {"warms", "rate", NULL, "how fast it gets hotter, `\"12 C/min\"`: in place of `preheat`, and of `change` upwards", "none"},
    {"cools", "rate", NULL, "how fast it gets cooler, in place of `change` downwards", "none"},
    END};

const bk_key bk_hob_keys[] = {
    KIND,
    {"count", "count", NULL, "how many there are", "1"},
    {"rings", "count", NULL, "rings of each", "4"},
    END};

const bk_key bk_cold_keys[] = {
    KIND,
    {"count", "count", NULL, "how many there are", "1"},
    {"at", "temperature", NULL, "how cold it is", "`\"4 C\"`"},
    {"places", "count", NULL, "how much goes into each", "unlimited"},
    {"air", NULL, bk_air_words, "`\"still\"` or `\"fan\"`", "`\"still\"`"},
    END};

const bk_key bk_tool_keys[] = {
    KIND,
    {"count", "count", NULL, "how many there are", "1"},
    END};

const bk_key bk_dish_keys[] = {
    {"recipe", "path", NULL, "path of a recipe file, of which the keys here take the place", "none"},
    {"dish", "name", NULL, "name, unique in the plan", REQUIRED},
    {"serve", "instant", NULL, "overrides the plan's", "plan's"},
    {"serves", "count", NULL, "how many it feeds, for display", "none"},
    {"keeps", "duration", NULL, "the finished dish is good this long: its last stage ends no earlier than `serve − keeps`", "unlimited"},
    {"stored", "amounts", NULL, "equipment held from the end of its last stage until serve, name → amount", "none"},
    {"ingredients", "ingredients", NULL, "list of strings or `{\"item\",\"amount\",\"stage\",\"is\"}`", "none"},
    {"stages", "stages", NULL, "list, at least one", REQUIRED},
    {"batches", "batches", NULL, "`{\"count\": 4, \"stages\": [\"shape\", \"bake\", \"lift\"]}`: these, one after another in the list, are done once a batch", "none"},
    {"make", "count", NULL, "how many it is to feed or give, where `serves` is how many it was written for: the amounts of `ingredients` are multiplied, and shown as a cook writes them (1/2 tsp; 3 (2.6 by the sum) eggs); active stages by `grows`", "as written"},
    {"part", "truth", NULL, "true: not served; it is for the dishes that link to it, and has no `serve`. `keeps` and `stored` count to the start of the last stage linked to it; where a serve is needed (waiting, `when`, rule 7) it is the latest of the dishes that link to it", "false"},
    {"tin", "tin", NULL, "`{\"shape\": \"round\" or \"square\", \"across\": \"20 cm\", \"deep\": \"6 cm\"}`: the tin it is written for; see below", "as written"},
    {"into", "tin", NULL, "the same: the tin to be used", "as written"},
    SCHEMA, END};

const bk_key bk_ingredient_keys[] = {
    {"item", "line", NULL, "what it is", REQUIRED},
    {"amount", "line", NULL, "how much of it", "none"},
    {"stage", "stage-name", NULL, "the stage that takes it", "none"},
    {"is", "several", bk_is_words, "what it is, a word or a list of words, in the place of what its name is taken for", "what its name says"},
    END};

const bk_key bk_batches_keys[] = {
    {"count", "batch-count", NULL, "how many batches", REQUIRED},
    {"stages", "stage-names", NULL, "ids of the stages that are done once a batch", REQUIRED},
    END};

const bk_key bk_stage_keys[] = {
    {"id", "id", NULL, "unique in the dish, no `/`", REQUIRED},
    {"do", "line", NULL, "the instruction, one line", REQUIRED},
    {"active", "range", NULL, "range: hands needed throughout", "one of `active`, `passive`, `cooling`"},
    {"passive", "range", NULL, "range: time that passes by itself", NULL},
    {"cooling", "cooling", NULL, "section 7: a passive time that is computed", NULL},
    {"cooks", "few", NULL, "hands an active stage needs", "1"},
    {"watch", "truth", NULL, "somebody is awake and at home throughout", "true if it uses an oven or hob, else false"},
    {"begins", NULL, bk_begin_words, "`\"hand\"` or `\"itself\"`: whether somebody has to be there when a stage that is not active begins (rule 11)", "`\"hand\"`"},
    {"when", "when", NULL, "`{\"day\": -1, \"time\": \"18:00-21:30\"}`: the stage lies in that window; `day` counts from the civil date of its dish's serve, without it any day", "none"},
    {"after", "links", NULL, "stage, or list of: id, `\"dish/id\"`, or `{\"stage\", \"wait\": duration, \"within\": duration, \"from\": \"end\"\\|\"start\"}`", "the stage above it in the list; `[]` = nothing"},
    {"uses", "uses", NULL, "equipment → amount (integer) or, for an oven, `{\"at\": temperature (required) or \"off\", \"shelves\": 1}`", "none"},
    {"holds", "holds", NULL, "equipment → `{\"until\": id, \"amount\": 1}`: held from this stage's start to the end of stage `until`", "none"},
    {"checks", "checks", NULL, "list of `{\"at\": duration after start, \"do\": text, \"takes\": duration, \"give\": duration}`", "none"},
    {"look", "look", NULL, "false, or a text: a reminder at the least end of its range, where that is not the planned end", "what stands in a heated oven: \"May be ready from now\""},
    {"note", "lines", NULL, "shown with the stage", "none"},
    {"caution", "lines", NULL, "shown with the stage, with emphasis", "none"},
    {"grows", "share", NULL, "0 to 1: where the dish is made for more, an active stage's time × (1 + grows × (factor − 1)), with `pace` in one product, rounded up; a warning says so where no stage of the dish has it", "0"},
    END};

const bk_key bk_when_keys[] = {
    {"day", "day", NULL, "days from the date of its dish's serve: -1 is the day before", "any day"},
    {"time", "window", NULL, "from when to when, `\"18:00-21:30\"`", REQUIRED},
    END};

const bk_key bk_link_keys[] = {
    {"stage", "stage-name", NULL, "the stage that comes before", REQUIRED},
    {"wait", "duration", NULL, "no sooner than so long after it", "`\"0 min\"`"},
    {"within", "duration", NULL, "no later than so long after it", "unlimited"},
    {"from", NULL, bk_link_ends, "whether `wait` and `within` count from its `\"end\"` or its `\"start\"`", "`\"end\"`"},
    END};

const bk_key bk_oven_use_keys[] = {
    {"at", "oven-temperature", NULL, "how hot, or `\"off\"`: in the heat that is left", REQUIRED},
    {"shelves", "count", NULL, "how many shelves it takes", "1"},
    END};

const bk_key bk_hold_keys[] = {
    {"until", "stage-name", NULL, "the stage at whose end it is free again", REQUIRED},
    {"amount", "count", NULL, "how much of it", "1"},
    END};

const bk_key bk_check_keys_of_stage[] = {
    {"at", "duration", NULL, "so long after the stage's start", REQUIRED},
    {"do", "line", NULL, "what to do", REQUIRED},
    {"takes", "duration", NULL, "hands are needed so long; without it, it is a reminder", "`\"0 min\"`"},
    {"give", "duration", NULL, "so much sooner or later will do", "`\"5 min\"`"},
    END};

const bk_key bk_cooling_value_keys[] = {
    {"shape", NULL, bk_cooling_shapes, "`\"round\"`, `\"slab\"` (a square tray) or `\"ball\"`", "required, but not with `from` `\"as it was\"`"},
    {"across", "length", NULL, "diameter, or width of the tray; of the food, not of the tin", "required, but for a slab: without it so wide that its edges do not count"},
    {"deep", "length", NULL, "height of the food", "required, but for a ball, which has none"},
    {"food", "food", NULL, "a name, or a composition", "required, but not with `from` `\"as it was\"`"},
    {"from", "start-temperature", NULL, "where it starts, from -40 to 300 °C; or `\"as it was\"`: as the stage above in the list leaves it, which has `cooling` too, when its planned time is over: the whole curve goes on, uneven as it is inside. Not with `shape`, `across`, `deep`, `food`, `onto`, which are the same. What lies between the two is not reckoned with: link them `\"within\": \"0 min\"`", REQUIRED},
    {"to", "temperature", NULL, "where its warmest point is to get (or, warming, its coldest), from -40 to 300 °C", REQUIRED},
    {"in", "line", NULL, "a `cold` place of the kitchen, with its `at` and `air`, or `\"room\"`, `\"ice bath\"` (0 °C), `\"water bath\"` (with its `air`)", "required, or `places`"},
    {"air", "temperature", NULL, "temperature of the air there, where it is not the usual one", "the place's `at`; a room: the kitchen's `room`"},
    {"base", NULL, bk_cooling_bases, "`\"open\"`: on a rack, loses heat below too; `\"insulated\"`: a crumb base, a board, a solid shelf", "`\"open\"`"},
    {"tin", NULL, bk_cooling_tins, "`\"metal\"`, `\"glass\"`, `\"ceramic\"` or `\"none\"`: the wall round the sides and below", "`\"metal\"`"},
    {"cover", NULL, bk_cooling_covers, "over the top: `\"none\"`, `\"film\"` on the food, `\"lid\"` or `\"foil\"` with air below", "`\"none\"`"},
    {"onto", "onto", NULL, "the layer it is poured onto, in the same tin: `{\"food\", \"deep\", \"from\"}`. The time is that of the poured one. `\"melts\": \"28 C\"` warns when the joint gets warmer", "none"},
    {"places", "stops", NULL, "in place of `in` and `air`, where it stands one after another: `[{\"in\": \"room\", \"for\": \"30 min\"}, {\"in\": \"fridge\"}]`, each with its `air`; the last has no `for`. The time is that from the start of the first. Each cold place is used throughout, amount 1, unless `uses` says more", "none"},
    {"stirred", "truth", NULL, "true: it is stirred all the while and has one temperature", "false"},
    END};

/* In the order of bk_cooling_parts. */
const bk_key bk_composition_keys[] = {
    {"water", "fraction", NULL, "mass fraction", "0"},
    {"protein", "fraction", NULL, "mass fraction", "0"},
    {"fat", "fraction", NULL, "mass fraction", "0"},
    {"carbohydrate", "fraction", NULL, "mass fraction", "0"},
    {"fibre", "fraction", NULL, "mass fraction", "0"},
    {"ash", "fraction", NULL, "mass fraction", "0"},
    {"air", "fraction", NULL, "volume fraction", "0"},
    {"milk fat", "fraction", NULL, "how much of the fat is milk's, which sets", "0"},
    {"pores", "fraction", NULL, "0 to 1: how much of its air is pores of baked crumb, full of vapour", "0"},
    END};

const bk_key bk_stop_keys[] = {
    {"in", "line", NULL, "where it stands", REQUIRED},
    {"air", "temperature", NULL, "temperature of the air there", "the place's"},
    {"for", "duration", NULL, "how long; the last place has none", NULL},
    END};

const bk_key bk_tin_keys[] = {
    {"shape", NULL, bk_tin_shapes, "`\"round\"` or `\"square\"`", "`\"round\"`; of `into` that of `tin`"},
    {"across", "length", NULL, "diameter, or a side", REQUIRED},
    {"deep", "length", NULL, "its height, for the ratio of the volumes", "none: by the areas"},
    END};

const bk_key bk_onto_keys[] = {
    {"food", "food", NULL, "a name, or a composition", REQUIRED},
    {"deep", "length", NULL, "height of the layer", REQUIRED},
    {"from", "temperature", NULL, "how cold it is", REQUIRED},
    {"melts", "temperature", NULL, "warns when the joint gets warmer", "none"},
    END};
/* clang-format on */

const bk_object bk_objects[] = {
    {"plan", bk_plan_keys, NULL},
    {"kitchen", bk_kitchen_keys, "kitchen"},
    {"cook", bk_cook_keys, NULL},
    {"period", bk_period_keys, NULL},
    {"hours", bk_hours_keys, NULL},
    {"oven", bk_oven_keys, NULL},
    {"hob", bk_hob_keys, NULL},
    {"cold", bk_cold_keys, NULL},
    {"tool", bk_tool_keys, NULL},
    {"dish", bk_dish_keys, "recipe"},
    {"ingredient", bk_ingredient_keys, NULL},
    {"batches", bk_batches_keys, NULL},
    {"stage", bk_stage_keys, NULL},
    {"when", bk_when_keys, NULL},
    {"link", bk_link_keys, NULL},
    {"oven-use", bk_oven_use_keys, NULL},
    {"hold", bk_hold_keys, NULL},
    {"check", bk_check_keys_of_stage, NULL},
    {"cooling", bk_cooling_value_keys, NULL},
    {"composition", bk_composition_keys, NULL},
    {"stop", bk_stop_keys, NULL},
    {"onto", bk_onto_keys, NULL},
    {"tin", bk_tin_keys, NULL},
    {NULL, NULL, NULL},
};
