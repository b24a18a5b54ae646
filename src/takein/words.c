/* The cook's words: what a verb means for the hands, and where a thing stands. Common
 * practice, no source. */
#include "takein/parts.h"

#include <string.h>

static const bk_verb verbs[] = {
    /* knife and board */
    {"peel", BK_PREP, false, 0},
    {"chop", BK_PREP, false, 0},
    {"slice", BK_PREP, false, 0},
    {"dice", BK_PREP, false, 0},
    {"cut", BK_PREP, false, 0},
    {"halve", BK_PREP, false, 0},
    {"quarter", BK_PREP, false, 0},
    {"wash", BK_PREP, false, 0},
    {"rinse", BK_PREP, false, 0},
    {"scrub", BK_PREP, false, 0},
    {"trim", BK_PREP, false, 0},
    {"core", BK_PREP, false, 0},
    {"shred", BK_PREP, false, 0},
    {"grate", BK_PREP, false, 0},
    {"zest", BK_PREP, false, 0},
    {"crush", BK_PREP, false, 0},
    {"grind", BK_PREP, false, 0},
    {"pit", BK_PREP, false, 0},
    {"stone", BK_PREP, false, 0},
    {"hull", BK_PREP, false, 0},
    {"squeeze", BK_PREP, false, 0},
    {"roll", BK_PREP, false, 0},
    {"shape", BK_PREP, false, 0},
    {"form", BK_PREP, false, 0},
    {"divide", BK_PREP, false, 0},
    {"fold", BK_MIX, false, 0},
    {"plait", BK_PREP, false, 0},
    {"braid", BK_PREP, false, 0},
    {"stamp", BK_PREP, false, 0},
    {"crimp", BK_PREP, false, 0},
    {"pat", BK_PREP, false, 0},
    {"score", BK_PREP, false, 0},
    {"stuff", BK_PREP, false, 0},
    {"truss", BK_PREP, false, 0},
    {"tie", BK_PREP, false, 0},
    {"skim", BK_PREP, false, 0},
    {"carve", BK_PREP, false, 0},
    {"joint", BK_PREP, false, 0},
    {"bone", BK_PREP, false, 0},
    {"pick", BK_PREP, false, 0},
    {"measure", BK_PREP, false, 0},
    {"weigh", BK_PREP, false, 0},
    {"rub", BK_PREP, false, 0},
    {"prick", BK_PREP, false, 0},
    {"flatten", BK_PREP, false, 0},
    {"stretch", BK_PREP, false, 0},
    {"thread", BK_PREP, false, 0},
    {"decorate", BK_PREP, false, 0},
    {"glaze", BK_PREP, false, 0},
    {"label", BK_PREP, false, 0},
    {"unmould", BK_PREP, false, 0},
    {"unmold", BK_PREP, false, 0},
    {"split", BK_PREP, false, 0},
    {"tear", BK_PREP, false, 0},
    {"crack", BK_PREP, false, 0},
    {"separate", BK_PREP, false, 0},
    {"pinch", BK_PREP, false, 0},
    {"crumble", BK_PREP, false, 0},
    {"break", BK_PREP, false, 0},
    {"ice", BK_PREP, false, 0},
    {"frost", BK_PREP, false, 0},
    {"dust", BK_PREP, false, 0},
    {"wrap", BK_LIGHT, false, 0},
    {"dip", BK_PREP, false, 0},
    {"coat", BK_PREP, false, 0},
    {"brush", BK_PREP, false, 0},
    {"punch", BK_LIGHT, false, 0},
    {"knock", BK_LIGHT, false, 0},
    {"deseed", BK_PREP, false, 0},
    {"invert", BK_PREP, false, 0},
    {"ease", BK_PREP, false, 0},
    {"sandwich", BK_PREP, false, 0},
    {"assemble", BK_PREP, false, 0},
    {"layer", BK_POUR, false, 0},
    {"pack", BK_POUR, false, 0},
    {"drape", BK_PREP, false, 0},
    {"enclose", BK_PREP, false, 0},
    {"seal", BK_PREP, false, 0},
    {"flip", BK_LIGHT, false, 0},
    {"discard", BK_LIGHT, false, 0},
    {"snip", BK_PREP, false, 0},
    {"mark", BK_PREP, false, 0},
    {"dredge", BK_PREP, false, 0},
    {"plunge", BK_PREP, false, 0},
    {"refresh", BK_PREP, false, 0},
    {"slash", BK_PREP, false, 0},
    {"slit", BK_PREP, false, 0},
    {"strip", BK_PREP, false, 0},
    {"flake", BK_PREP, false, 0},
    {"pound", BK_PREP, false, 0},
    {"bash", BK_PREP, false, 0},
    {"mince", BK_PREP, false, 0},
    {"lard", BK_PREP, false, 0},
    {"strew", BK_PREP, false, 0},
    {"stab", BK_PREP, false, 0},
    {"skewer", BK_PREP, false, 0},
    {"smear", BK_PREP, false, 0},
    {"dot", BK_PREP, false, 0},
    {"tuck", BK_PREP, false, 0},
    {"slip", BK_PREP, false, 0},
    {"pile", BK_POUR, false, 0},
    {"heap", BK_POUR, false, 0},
    {"nestle", BK_POUR, false, 0},
    {"trickle", BK_POUR, false, 0},
    {"dollop", BK_POUR, false, 0},
    {"pull", BK_PREP, false, 0},
    {"fish", BK_PREP, false, 0},
    {"pluck", BK_PREP, false, 0},
    {"slather", BK_PREP, false, 0},
    {"rip", BK_PREP, false, 0},
    {"pleat", BK_PREP, false, 0},
    {"bend", BK_PREP, false, 0},
    {"shuck", BK_PREP, false, 0},
    {"prise", BK_PREP, false, 0},
    {"rice", BK_PREP, false, 0},
    {"dribble", BK_PREP, false, 0},
    {"swathe", BK_PREP, false, 0},
    /* in a bowl */
    {"tumble", BK_MIX, false, 0},
    {"whirl", BK_MACHINE, false, BK_IN_BLENDER},
    {"liquidize", BK_MACHINE, false, BK_IN_BLENDER},
    {"buzz", BK_MACHINE, false, BK_IN_BLENDER},
    {"mix", BK_MIX, false, 0},
    {"stir", BK_MIX, false, 0},
    {"beat", BK_MIX, false, 0},
    {"whisk", BK_MIX, false, 0},
    {"whip", BK_MIX, false, 0},
    {"cream", BK_MIX, false, 0},
    {"combine", BK_MIX, false, 0},
    {"blitz", BK_MACHINE, false, BK_IN_BLENDER},
    {"knead", BK_MIX, false, 0},
    {"work", BK_MIX, false, 0},
    {"toss", BK_MIX, false, 0},
    {"mash", BK_MIX, false, 0},
    {"sift", BK_MIX, false, 0},
    {"dissolve", BK_MIX, false, 0},
    {"blend", BK_MACHINE, false, BK_IN_BLENDER},
    {"pulse", BK_MACHINE, false, BK_IN_BLENDER},
    {"process", BK_MACHINE, false, BK_IN_BLENDER},
    {"whizz", BK_MACHINE, false, BK_IN_BLENDER},
    {"purée", BK_MACHINE, false, BK_IN_BLENDER},
    {"puree", BK_MACHINE, false, BK_IN_BLENDER},
    {"liquidise", BK_MACHINE, false, BK_IN_BLENDER},
    {"bring", BK_HEAT, false, 0},
    {"bind", BK_MIX, false, 0},
    {"incorporate", BK_MIX, false, 0},
    {"moisten", BK_MIX, false, 0},
    {"dress", BK_MIX, false, 0},
    {"loosen", BK_MIX, false, 0},
    {"thin", BK_MIX, false, 0},
    {"slake", BK_MIX, false, 0},
    {"emulsify", BK_MIX, false, 0},
    {"season", BK_NO_ACT, false, 0},
    {"taste", BK_NO_ACT, false, 0},
    {"sprinkle", BK_PREP, false, 0},
    {"scatter", BK_PREP, false, 0},
    {"drizzle", BK_PREP, false, 0},
    {"top", BK_PREP, false, 0},
    {"strain", BK_STRAIN, false, 0},
    {"sieve", BK_STRAIN, false, 0},
    {"drain", BK_STRAIN, false, 0},
    {"press", BK_POUR, false, 0},
    {"pass", BK_STRAIN, false, 0},
    /* into what it stays in */
    {"pour", BK_POUR, false, 0},
    {"tip", BK_POUR, false, 0},
    {"scrape", BK_POUR, false, 0},
    {"spoon", BK_POUR, false, 0},
    {"spread", BK_POUR, false, 0},
    {"ladle", BK_POUR, false, 0},
    {"fill", BK_POUR, false, 0},
    {"pipe", BK_POUR, false, 0},
    {"pot", BK_POUR, false, 0},
    {"bottle", BK_POUR, false, 0},
    {"line", BK_POUR, false, 0},
    {"arrange", BK_POUR, false, 0},
    {"turn", BK_LET, false, 0},
    {"smooth", BK_LIGHT, false, 0},
    {"level", BK_LIGHT, false, 0},
    {"drop", BK_POUR, false, 0},
    {"lay", BK_POUR, false, 0},
    /* on the hob, by hand */
    {"fry", BK_HEAT, false, BK_ON_HOB},
    {"sauté", BK_HEAT, false, BK_ON_HOB},
    {"saute", BK_HEAT, false, BK_ON_HOB},
    {"brown", BK_HEAT, false, BK_ON_HOB},
    {"sear", BK_HEAT, false, BK_ON_HOB},
    {"soften", BK_HEAT, false, BK_ON_HOB},
    {"sweat", BK_HEAT, false, BK_ON_HOB},
    {"melt", BK_HEAT, false, BK_ON_HOB},
    {"heat", BK_HEAT, false, BK_ON_HOB},
    {"warm", BK_HEAT, false, BK_ON_HOB},
    {"scald", BK_HEAT, false, BK_ON_HOB},
    {"toast", BK_HEAT, false, BK_ON_HOB},
    {"caramelise", BK_HEAT, false, BK_ON_HOB},
    {"caramelize", BK_HEAT, false, BK_ON_HOB},
    {"deglaze", BK_HEAT, false, BK_ON_HOB},
    {"blanch", BK_SIMMER, true, BK_ON_HOB},
    {"bubble", BK_HEAT, false, BK_ON_HOB},
    {"thicken", BK_HEAT, false, BK_ON_HOB},
    {"reheat", BK_SIMMER, true, BK_ON_HOB},
    {"scramble", BK_HEAT, false, BK_ON_HOB},
    {"grill", BK_HEAT, true, BK_IN_GRILL},
    {"broil", BK_HEAT, true, BK_IN_GRILL},
    {"flambé", BK_HEAT, false, BK_ON_HOB},
    {"crisp", BK_HEAT, false, BK_ON_HOB},
    {"char", BK_HEAT, false, BK_ON_HOB},
    {"wilt", BK_HEAT, false, BK_ON_HOB},
    {"microwave", BK_HEAT, true, BK_IN_MICROWAVE},
    /* by itself */
    {"boil", BK_SIMMER, true, BK_ON_HOB},
    {"parboil", BK_SIMMER, true, BK_ON_HOB},
    {"simmer", BK_SIMMER, true, BK_ON_HOB},
    {"cook", BK_SIMMER, true, BK_ON_HOB},
    {"poach", BK_SIMMER, true, BK_ON_HOB},
    {"stew", BK_SIMMER, true, BK_ON_HOB},
    {"steam", BK_SIMMER, true, BK_ON_HOB},
    {"reduce", BK_SIMMER, true, BK_ON_HOB},
    {"braise", BK_SIMMER, true, BK_ON_HOB},
    {"bake", BK_BAKE, true, BK_IN_OVEN},
    {"roast", BK_BAKE, true, BK_IN_OVEN},
    {"chill", BK_COLD, true, BK_IN_FRIDGE},
    {"refrigerate", BK_COLD, true, BK_IN_FRIDGE},
    {"freeze", BK_COLD, true, BK_IN_FREEZER},
    {"churn", BK_COLD, true, BK_IN_MACHINE},
    {"cool", BK_REST, true, 0},
    {"rest", BK_REST, true, 0},
    {"rise", BK_REST, true, 0},
    {"prove", BK_REST, true, 0},
    {"proof", BK_REST, true, 0},
    {"stand", BK_REST, true, 0},
    {"sit", BK_REST, true, 0},
    {"soak", BK_REST, true, 0},
    {"steep", BK_REST, true, 0},
    {"infuse", BK_REST, true, 0},
    {"marinate", BK_REST, true, 0},
    {"marinade", BK_REST, true, 0},
    {"ferment", BK_REST, true, 0},
    {"dry", BK_REST, true, 0},
    {"hang", BK_REST, true, 0},
    {"drip", BK_REST, true, 0},
    {"macerate", BK_REST, true, 0},
    {"salt", BK_REST, true, 0},
    {"cure", BK_REST, true, 0},
    {"brine", BK_REST, true, 0},
    {"defrost", BK_REST, true, 0},
    {"thaw", BK_REST, true, 0},
    {"bloom", BK_REST, true, 0},
    {"mature", BK_REST, true, 0},
    {"hydrate", BK_REST, true, 0},
    {"sponge", BK_REST, true, 0},
    {"autolyse", BK_REST, true, 0},
    {"swell", BK_REST, true, 0},
    {"relax", BK_REST, true, 0},
    {"ripen", BK_REST, true, 0},
    {"incubate", BK_REST, true, 0},
    {"sleep", BK_REST, true, 0},
    {"settle", BK_REST, true, 0},
    {"rehydrate", BK_REST, true, 0},
    {"double", BK_REST, true, 0},
    {"firm", BK_COLD, true, 0},
    {"weight", BK_REST, true, 0},
    {"weigh", BK_PREP, false, 0},
    {"set", BK_LET, true, 0},
    {"let", BK_LET, true, 0},
    {"leave", BK_LET, true, 0},
    {"allow", BK_LET, true, 0},
    {"keep", BK_LET, true, 0},
    {"put", BK_LET, false, 0},
    {"place", BK_LET, false, 0},
    {"pop", BK_LET, false, 0},
    {"transfer", BK_LET, false, 0},
    {"return", BK_LET, false, 0},
    {"move", BK_LET, false, 0},
    {"slide", BK_LET, false, 0},
    {"get", BK_LET, false, 0},
    {"store", BK_LET, true, 0},
    {"hold", BK_LET, true, 0},
    {"give", BK_LET, true, 0},
    /* moves of the hand */
    {"add", BK_LIGHT, false, 0},
    {"cover", BK_LIGHT, false, 0},
    {"take", BK_LIGHT, false, 0},
    {"remove", BK_LIGHT, false, 0},
    {"lift", BK_PREP, false, 0},
    {"lower", BK_LIGHT, false, 0},
    {"throw", BK_LIGHT, false, 0},
    {"bury", BK_LIGHT, false, 0},
    {"shoot", BK_LIGHT, false, 0},
    {"tent", BK_LIGHT, false, 0},
    {"clamp", BK_LIGHT, false, 0},
    {"haul", BK_LIGHT, false, 0},
    {"swirl", BK_LIGHT, false, 0},
    {"open", BK_LIGHT, false, 0},
    {"clip", BK_LIGHT, false, 0},
    {"uncover", BK_LIGHT, false, 0},
    {"continue", BK_LIGHT, false, 0},
    {"repeat", BK_LIGHT, false, 0},
    {"use", BK_LIGHT, false, 0},
    {"make", BK_LIGHT, false, 0},
    {"start", BK_LIGHT, false, 0},
    {"begin", BK_LIGHT, false, 0},
    {"finish", BK_LIGHT, false, 0},
    {"reserve", BK_LIGHT, false, 0},
    {"baste", BK_LIGHT, false, 0},
    {"gather", BK_PREP, false, 0},
    {"prepare", BK_LIGHT, false, 0},
    {"fit", BK_LIGHT, false, 0},
    {"push", BK_PREP, false, 0},
    {"shake", BK_PREP, false, 0},
    {"shave", BK_PREP, false, 0},
    {"shell", BK_PREP, false, 0},
    {"smash", BK_PREP, false, 0},
    {"crumb", BK_PREP, false, 0},
    {"cube", BK_PREP, false, 0},
    {"distribute", BK_PREP, false, 0},
    {"fillet", BK_PREP, false, 0},
    {"hollow", BK_PREP, false, 0},
    {"julienne", BK_PREP, false, 0},
    {"massage", BK_PREP, false, 0},
    {"mould", BK_PREP, false, 0},
    {"overlap", BK_PREP, false, 0},
    {"pare", BK_PREP, false, 0},
    {"pierce", BK_PREP, false, 0},
    {"scoop", BK_PREP, false, 0},
    {"secure", BK_PREP, false, 0},
    {"seed", BK_PREP, false, 0},
    {"skin", BK_PREP, false, 0},
    {"splay", BK_PREP, false, 0},
    {"spatchcock", BK_PREP, false, 0},
    {"stack", BK_PREP, false, 0},
    {"stud", BK_PREP, false, 0},
    {"spike", BK_PREP, false, 0},
    {"tenderise", BK_PREP, false, 0},
    {"unroll", BK_PREP, false, 0},
    {"unwrap", BK_PREP, false, 0},
    {"upend", BK_PREP, false, 0},
    {"weave", BK_PREP, false, 0},
    {"wipe", BK_PREP, false, 0},
    {"wring", BK_PREP, false, 0},
    {"fork", BK_PREP, false, 0},
    {"cap", BK_PREP, false, 0},
    {"dab", BK_PREP, false, 0},
    {"squash", BK_PREP, false, 0},
    {"twist", BK_PREP, false, 0},
    {"trace", BK_PREP, false, 0},
    {"immerse", BK_PREP, false, 0},
    {"submerge", BK_PREP, false, 0},
    {"dunk", BK_PREP, false, 0},
    {"shock", BK_PREP, false, 0},
    {"reroll", BK_PREP, false, 0},
    {"reshape", BK_PREP, false, 0},
    {"spritz", BK_PREP, false, 0},
    {"spray", BK_PREP, false, 0},
    {"squirt", BK_PREP, false, 0},
    {"splash", BK_PREP, false, 0},
    {"rake", BK_PREP, false, 0},
    {"scale", BK_PREP, false, 0},
    {"gut", BK_PREP, false, 0},
    {"slosh", BK_POUR, false, 0},
    {"drown", BK_POUR, false, 0},
    {"douse", BK_POUR, false, 0},
    {"decant", BK_POUR, false, 0},
    {"sweeten", BK_MIX, false, 0},
    {"dilute", BK_MIX, false, 0},
    {"fluff", BK_MIX, false, 0},
    {"froth", BK_MIX, false, 0},
    {"foam", BK_MIX, false, 0},
    {"muddle", BK_MIX, false, 0},
    {"ruffle", BK_MIX, false, 0},
    {"pulverise", BK_MACHINE, false, BK_IN_BLENDER},
    {"pulp", BK_MACHINE, false, BK_IN_BLENDER},
    {"temper", BK_HEAT, false, BK_ON_HOB},
    {"clarify", BK_HEAT, false, BK_ON_HOB},
    {"griddle", BK_HEAT, false, BK_ON_HOB},
    {"barbecue", BK_HEAT, false, BK_ON_HOB},
    {"flambe", BK_HEAT, false, BK_ON_HOB},
    {"burn", BK_HEAT, false, BK_ON_HOB},
    {"crystallise", BK_HEAT, false, BK_ON_HOB},
    {"render", BK_SIMMER, true, BK_ON_HOB},
    {"confit", BK_SIMMER, true, BK_ON_HOB},
    {"coddle", BK_SIMMER, true, BK_ON_HOB},
    {"pickle", BK_REST, true, 0},
    {"souse", BK_REST, true, 0},
    {"dehydrate", BK_REST, true, 0},
    {"brew", BK_REST, true, 0},
    {"plump", BK_REST, true, 0},
    {"stick", BK_LET, false, 0},
    {"bung", BK_LET, false, 0},
    {"shove", BK_LET, false, 0},
    {"stash", BK_LET, false, 0},
    {"stow", BK_LET, false, 0},
    {"plonk", BK_LET, false, 0},
    {"whack", BK_LET, false, 0},
    {"chuck", BK_LET, false, 0},
    {"raise", BK_LIGHT, false, 0},
    {"increase", BK_LIGHT, false, 0},
    {"crank", BK_LIGHT, false, 0},
    {"fling", BK_LIGHT, false, 0},
    {"sling", BK_LIGHT, false, 0},
    {"lob", BK_LIGHT, false, 0},
    {"close", BK_LIGHT, false, 0},
    {"shut", BK_LIGHT, false, 0},
    {"switch", BK_NO_ACT, false, 0},
    {"check", BK_NO_ACT, false, 0},
    {"test", BK_NO_ACT, false, 0},
    /* no stage */
    {"preheat", BK_NO_ACT, false, 0},
    {"serve", BK_NO_ACT, false, 0},
    {"enjoy", BK_NO_ACT, false, 0},
    {"eat", BK_NO_ACT, false, 0},
    {"garnish", BK_NO_ACT, false, 0},
    {"grease", BK_NO_ACT, false, 0},
    {"butter", BK_NO_ACT, false, 0},
    {"oil", BK_NO_ACT, false, 0},
    {"flour", BK_NO_ACT, false, 0},
    {"adjust", BK_NO_ACT, false, 0},
    {"light", BK_NO_ACT, false, 0},
    {"ask", BK_NO_ACT, false, 0},
    {"remember", BK_NO_ACT, false, 0},
    {"note", BK_NO_ACT, false, 0},
    {"try", BK_NO_ACT, false, 0},
};

const bk_verb *bk_verb_find(const char *word)
{
    for (size_t i = 0; i < sizeof verbs / sizeof *verbs; i++)
        if (strcmp(verbs[i].word, word) == 0)
            return &verbs[i];
    return NULL;
}

const bk_verb *bk_verb_of_form(const char *word)
{
    static const char *const irregular[][2] = {{"beaten", "beat"},
                                               {"frozen", "freeze"},
                                               {"shaken", "shake"},
                                               {"torn", "tear"},
                                               {"broken", "break"}};
    if (bk_among(&(bk_token){.word = word},
                 " dripping dressing stuffing topping filling icing frosting coating crackling "
                 "shortening pudding puddings "))
        return NULL; /* things, not deeds */
    for (size_t i = 0; i < sizeof irregular / sizeof *irregular; i++)
        if (strcmp(word, irregular[i][0]) == 0)
            return bk_verb_find(irregular[i][1]);
    static const char *const endings[] = {"ing", "ed", "es", "s", NULL};
    char base[32];
    size_t length = strlen(word);
    for (size_t e = 0; endings[e]; e++) {
        size_t n = strlen(endings[e]);
        if (length < n + 3 || length >= sizeof base - 1 ||
            strcmp(word + length - n, endings[e]) != 0)
            continue;
        length -= n;
        memcpy(base, word, length);
        base[length] = '\0';
        const bk_verb *verb = bk_verb_find(base);
        if (!verb && base[length - 1] == 'i') {
            base[length - 1] = 'y'; /* "fried", "dries" */
            verb = bk_verb_find(base);
            base[length - 1] = 'i';
        }
        if (!verb && length > 2 && base[length - 1] == base[length - 2]) {
            base[length - 1] = '\0'; /* "setting" */
            verb = bk_verb_find(base);
            base[length - 1] = base[length - 2];
        }
        if (!verb && e < 2) {
            base[length] = 'e'; /* "baking", "baked" */
            base[length + 1] = '\0';
            verb = bk_verb_find(base);
        }
        return verb;
    }
    return NULL;
}

static const struct {
    const char *words;
    unsigned where;
} places[] = {
    {" oven ", BK_IN_OVEN},
    {" fridge refrigerator ", BK_IN_FRIDGE},
    {" freezer ", BK_IN_FREEZER},
    {" hob stove stovetop saucepan skillet flame pan pot wok casserole burner ", BK_ON_HOB},
    {" tin tins mould moulds mold molds ramekin ramekins springform terrine dish basin basins "
     "traybake ",
     BK_IN_TIN},
    {" mixer ", BK_IN_MIXER},
    {" blender processor ", BK_IN_BLENDER},
    {" grill broiler ", BK_IN_GRILL},
    {" microwave ", BK_IN_MICROWAVE},
    {" crockpot ", BK_IN_SLOW_COOKER},
    {" cellar larder pantry cupboard doorstep porch shed ", BK_IN_COOL_PLACE},
};

/* "out of the oven", "from the tin", "off the heat": no longer there. */
static bool is_left(const bk_token *t, size_t from, size_t at)
{
    for (size_t back = 1; back <= 4 && at >= from + back; back++) {
        const bk_token *before = &t[at - back];
        if (bk_among(before, " from off ") ||
            (bk_is(before, "of") && at >= from + back + 1 && bk_among(&t[at - back - 1], " out ")))
            return true;
        if (before->kind != BK_TOKEN_WORD || bk_among(before, " in into on onto and to "))
            return false;
    }
    return false;
}

unsigned bk_places_named(const bk_token *t, size_t from, size_t end)
{
    unsigned where = 0;
    for (size_t i = from; i < end; i++) {
        if (is_left(t, from, i))
            continue;
        for (size_t p = 0; p < sizeof places / sizeof *places; p++)
            if (bk_among(&t[i], places[p].words))
                where |= places[p].where;
        bool before = i > from;
        if (bk_is(&t[i], "oven") && before && bk_is(&t[i - 1], "dutch"))
            where = (where & ~(unsigned)BK_IN_OVEN) | BK_ON_HOB; /* a pot */
        if (bk_is(&t[i], "heat") && before &&
            bk_among(&t[i - 1], " low high medium gentle lowest highest moderate hot "))
            where |= BK_ON_HOB;
        if (bk_is(&t[i], "cooker") && before && bk_among(&t[i - 1], " slow - "))
            where |= BK_IN_SLOW_COOKER;
        if (bk_is(&t[i], "machine") || bk_is(&t[i], "maker"))
            where |= BK_IN_MACHINE;
        if (bk_among(&t[i], " tin tins ") && i + 1 < end && bk_is(&t[i + 1], "foil"))
            where &= ~(unsigned)BK_IN_TIN;
        if (bk_among(&t[i], " dish ") && before && bk_among(&t[i - 1], " serving the big ") &&
            bk_is(&t[i - 1], "serving"))
            where &= ~(unsigned)BK_IN_TIN;
        if (bk_among(&t[i], " cold cool ") && i + 1 < end &&
            bk_among(&t[i + 1], " place room spot "))
            where |= BK_IN_COOL_PLACE;
        if (bk_is(&t[i], "electric") && i + 1 < end &&
            bk_among(&t[i + 1], " whisk beaters beater "))
            where |= BK_IN_MIXER;
        if (bk_among(&t[i], " stick ") && i + 1 < end && bk_is(&t[i + 1], "blender"))
            where |= BK_IN_BLENDER;
    }
    return where;
}
