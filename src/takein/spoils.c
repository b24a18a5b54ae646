/* What would spoil by waiting though no word says so: what falls, sets, burns, cooks on or cools.
 * Common practice, no source. */
#include "takein/lists.h"
#include "takein/speech.h"

#include <string.h>

bool bk_stage_is_hot(const bk_taken_stage *stage)
{
    return (stage->act.where & (BK_ON_HOB | BK_IN_OVEN | BK_IN_MICROWAVE)) != 0;
}

bool bk_stage_has(const bk_taken_stage *stage, const char *words)
{
    for (size_t i = stage->act.from; i < stage->act.end; i++)
        if (bk_among(&stage->tokens[i], words))
            return true;
    return false;
}

bool bk_stage_has_pair(const bk_taken_stage *stage, const char *first, const char *second)
{
    for (size_t i = stage->act.from; i + 1 < stage->act.end; i++)
        if (bk_among(&stage->tokens[i], first) && bk_among(&stage->tokens[i + 1], second))
            return true;
    return false;
}

bool bk_stage_does(const bk_taken_stage *stage, const char *verbs)
{
    return stage->act.verb && bk_among(&(bk_token){.word = stage->act.verb->word}, verbs);
}

/* Whisked whites, which fall: until they are baked or chilled. */
bool bk_is_foam(const bk_taken *taken, const bk_taken_stage *stage)
{
    if (stage->act.passive ||
        (bk_stage_has(stage, " cream ") && !bk_stage_has_pair(stage, " cream ", " of ")))
        return false;
    if ((bk_stage_does(stage, " whisk whip beat ") ||
         (bk_stage_does(stage, " add ") && bk_stage_has(stage, " stiff peaks "))) &&
        (bk_stage_has(stage, " whites meringue peaks ") ||
         bk_stage_has_pair(stage, " egg ", " white ")))
        return true;
    bool goes_on = false;
    for (size_t a = 0; a < stage->after_count; a++)
        goes_on |= taken->stages[stage->after[a]].foam;
    return goes_on && (stage->act.group == BK_MIX || stage->act.group == BK_POUR ||
                       stage->act.group == BK_PREP || bk_stage_does(stage, " add "));
}

/* What whisked whites were folded into was put into its tin: not a meringue, which stands. */
static bool falls(const bk_taken *taken, const bk_taken_stage *made)
{
    enum { FEW = 4 };
    const bk_taken_stage *folded = made;
    for (size_t n = 0; n < FEW; n++) {
        bool on = folded->act.group == BK_POUR || folded->act.group == BK_PREP;
        size_t below = SIZE_MAX;
        for (size_t a = 0; a < folded->after_count && on; a++)
            if (taken->stages[folded->after[a]].foam)
                below = folded->after[a];
        if (below == SIZE_MAX)
            break;
        folded = &taken->stages[below];
    }
    return folded->foam && bk_stage_does(folded, " fold ") &&
           !bk_stage_has(folded, " vinegar cornflour ") && !made->act.passive;
}

/* Sugar boiled or melted to a point that it leaves in a minute: by its name, by what it looks
 * like, by the confectioner's words for it. */
static bool is_caramel(const bk_taken *taken, const bk_taken_stage *stage)
{
    bool vessel = bk_stage_does(stage, " warm heat ") &&
                  bk_stage_has(stage, " dish mould moulds tin plate bowl ramekins basin ");
    if (bk_stage_does(stage, " skim ") || !bk_stage_is_hot(stage) || vessel)
        return false;
    bool sugar =
        bk_stage_has(stage, " sugar ") ||
        (stage->after_count == 1 && bk_stage_has(&taken->stages[stage->after[0]], " sugar ") &&
         bk_stage_does(&taken->stages[stage->after[0]], " dissolve melt heat "));
    bool thins = bk_stage_has(stage, " butter milk cream syrup fruit juice ");
    return bk_stage_has(stage, " amber caramel caramelise caramelize thermometer toffee ") ||
           (bk_stage_does(stage, " melt ") && bk_stage_has(stage, " sugar ") &&
            !bk_stage_has(stage, " butter milk cream ")) ||
           bk_stage_has_pair(stage, " soft hard ", " ball crack ") ||
           (bk_stage_does(stage, " boil cook heat melt bubble ") && sugar && !thins &&
            bk_stage_has(stage, " brown mahogany copper conker golden straw toffee "));
}

/* Hot milk on to yolks, hot stock in through the lid, vinegar over what is pickled; not what is
 * filled into a tin. */
static bool is_poured_hot(const bk_taken_stage *made, const bk_taken_stage *stage)
{
    if (!bk_stage_does(made, " bring heat warm scald boil reheat rewarm ") ||
        !bk_stage_is_hot(made) || bk_stage_has(made, " chocolate ") ||
        bk_stage_has_pair(made, " wide ", " pan "))
        return false;
    if (!stage->act.passive &&
        bk_stage_has_pair(stage, " hot boiling ", " milk cream stock water brine "))
        return true; /* "whisk in the hot milk" */
    if (bk_stage_does(stage, " whisk beat temper trickle stir ") && !stage->act.passive)
        return bk_stage_has(stage, " yolks yolk eggs egg ") && bk_stage_has(made, " milk cream ") &&
               bk_stage_has(stage,
                            " milk cream onto on into "); /* "whisk the milk into the yolks" */
    return bk_stage_does(stage, " pour ") &&
           !bk_stage_has(stage, " cold cool cooled tin tins casserole dish jar jars bottles ");
}

/* Soaked gelatine into what is just hot enough to melt it. */
static bool gelatine_melts(const bk_taken *taken, const bk_taken_stage *made,
                           const bk_taken_stage *stage)
{
    bool strained = made->act.group == BK_STRAIN && made->after_count == 1 &&
                    bk_stage_is_hot(&taken->stages[made->after[0]]) &&
                    bk_stage_has(stage, " hot warm ");
    return !stage->act.passive &&
           (bk_stage_has(stage, " gelatine gelatin ") ||
            bk_stage_has_pair(stage, " the soaked squeezed drained ", " leaves leaf ")) &&
           bk_stage_does(stage, " squeeze stir whisk add dissolve beat melt drop lift drain ") &&
           made->act.group != BK_COLD && made->act.group != BK_REST &&
           !bk_stage_does(made, " soak squeeze ") && (bk_stage_is_hot(made) || strained);
}

/* Batter in the smoking fat, a loaf in the pot that was heated for it. */
static bool is_in_a_hot_tin(const bk_taken_stage *made)
{
    return !made->act.passive && ((bk_stage_does(made, " pour tip spoon ladle scrape ") &&
                                   (bk_stage_has(made, " sizzling spitting smoking fat skillet ") ||
                                    made->act.at_once)) ||
                                  bk_stage_has_pair(made, " hot heated ", " pot casserole case "));
}

/* Whites whisked to be folded in, eggs whisked for a sponge, a foam on its way into the oven. */
static bool foam_falls(const bk_taken *taken, size_t before, size_t i)
{
    const bk_taken_stage *made = &taken->stages[before], *stage = &taken->stages[i];
    if (bk_stage_does(stage, " fold ") && bk_stage_does(made, " whisk whip ") &&
        !(bk_stage_has(made, " yolks yolk ") && !bk_stage_has(made, " whites white eggs ")))
        return before + 1 == i || made->foam || bk_stage_has(made, " cream ");
    if (before + 1 != i)
        return false;
    bool hands =
        stage->act.group == BK_MIX || stage->act.group == BK_POUR || stage->act.group == BK_PREP;
    if (made->foam && hands && !stage->act.passive)
        return true;
    if (stage->act.group == BK_BAKE && falls(taken, made))
        return true;
    if (bk_stage_does(stage, " fold trickle drizzle ") &&
        bk_stage_does(made, " whisk whip beat ") && bk_stage_has(made, " yolks eggs ") &&
        bk_stage_has(made, " thick thicken ribbon trail mousse trebled tripled "))
        return true;
    return bk_stage_does(stage, " fold sift sieve ") && bk_stage_does(made, " whisk whip beat ") &&
           bk_stage_has(made, " eggs egg ") &&
           bk_stage_has(stage, " flour flours cocoa almonds ") &&
           (made->act.spell.found ||
            bk_stage_has(made, " thick pale ribbon trebled tripled mousse doubled volume trail "
                               "fluffy ")) &&
           !bk_stage_has(made, " butter ");
}

bool bk_is_raised_at_once(const bk_taken *taken)
{
    static const char *const agents[] = {"baking powder", "bicarb",       "baking soda",
                                         "self-raising",  "self raising", "self-rising",
                                         "self rising"};
    bool raised = false;
    for (size_t k = 0; k < taken->recipe->ingredient_count; k++) {
        const char *line = taken->recipe->ingredients[k];
        if (bk_line_contains(line, "yeast") || bk_line_contains(line, "starter"))
            return false;
        for (size_t a = 0; a < sizeof agents / sizeof *agents; a++)
            raised |= bk_line_contains(line, agents[a]);
    }
    for (size_t k = 0; k < taken->recipe->step_count && !raised; k++)
        for (size_t a = 0; a < sizeof agents / sizeof *agents; a++)
            raised |= bk_line_contains(taken->recipe->steps[k].text, agents[a]);
    return raised;
}

void bk_see_batter(const bk_taken *taken, bk_taken_stage *stage)
{
    const bk_act *act = &stage->act;
    bool cold = !bk_stage_is_hot(stage) && !act->passive;
    bool flour = bk_stage_has(stage, " flour flours powder bicarbonate bicarb soda ");
    bool wet = bk_stage_has(stage, " egg eggs milk buttermilk water yogurt yoghurt cream syrup "
                                   "treacle oil juice yolks yolk coffee stout beer melted ");
    for (size_t a = 0; a < stage->after_count; a++) {
        const bk_taken_stage *made = &taken->stages[stage->after[a]];
        flour |= made->has_raiser;
        wet |= made->has_wet;
    }
    bool mixes = act->group == BK_MIX || act->group == BK_POUR || act->group == BK_MACHINE ||
                 act->group == BK_PREP || act->group == BK_STRAIN;
    stage->has_wet = wet && mixes;
    stage->has_raiser = flour && cold && mixes && taken->raised;
}

/* A batter or dough that has had its raising agent wetted, on its way into the oven or the pan. */
static bool batter_goes_flat(const bk_taken *taken, size_t before, size_t i)
{
    const bk_taken_stage *made = &taken->stages[before], *stage = &taken->stages[i];
    if (!made->has_raiser || !made->has_wet || before + 1 != i || bk_stage_does(made, " rub "))
        return false;
    const bk_act *act = &stage->act;
    if (act->passive)
        return act->group == BK_BAKE || bk_stage_does(stage, " steam cook simmer ");
    return stage->has_raiser && (act->group == BK_MIX || act->group == BK_POUR ||
                                 act->group == BK_PREP || act->group == BK_HEAT);
}

static bool has_fat(const bk_taken_stage *stage)
{
    return bk_stage_has(stage, " butter oil ghee fat dripping lard schmaltz ");
}

/* Fat at its heat: what goes into it; butter that is brown. */
static bool fat_burns(const bk_taken *taken, size_t before, size_t i)
{
    const bk_taken_stage *made = &taken->stages[before], *stage = &taken->stages[i];
    bool hands = !stage->act.passive;
    if (before + 1 != i || made->act.passive || !has_fat(made))
        return false;
    if (hands && bk_stage_does(stage, " pour tip add ") &&
        bk_stage_has(made, " smoking sizzling spitting "))
        return true;
    if (hands && bk_stage_does(stage, " pour tip ladle ") && bk_stage_has(stage, " batter ") &&
        bk_stage_is_hot(made))
        return true; /* into the tin that was heated for it */
    bool melts = bk_stage_does(made, " melt heat warm ") && made->act.where & BK_ON_HOB &&
                 !bk_stage_has(made, " chocolate sugar syrup milk cream honey water treacle ");
    bool into = bk_stage_does(stage, " add stir tip throw whisk pour ") &&
                bk_stage_has(stage, " flour flours spices seeds onion onions garlic milk ");
    if (melts && hands && stage->step <= made->step + 1 &&
        (stage->act.group == BK_HEAT || into || stage->act.group == BK_SIMMER))
        return true;
    if (melts && stage->act.passive &&
        (stage->act.group == BK_SIMMER || stage->act.group == BK_HEAT) &&
        stage->step <= made->step + 1 && taken->stages[i].act.spell.found)
        return true; /* onions sweated in it */
    return hands && bk_stage_is_hot(made) &&
           bk_stage_has(made, " nutty hazelnut hazelnuts brown ") &&
           bk_stage_has(made, " butter ") && bk_stage_does(made, " cook melt brown heat bubble ") &&
           bk_stage_does(stage, " pour tip strain scrape transfer ");
}

/* What has fried for seconds; what is turned in the pan; what is lifted out on to its paper. */
static bool pan_goes_on(const bk_taken_stage *made, const bk_taken_stage *stage)
{
    enum { SECONDS = 120 };
    const bk_token *first = &stage->tokens[stage->act.from];
    if (made->act.group == BK_MIX && made->act.spell.found && made->act.spell.most < SECONDS &&
        bk_stage_does(made, " stir ") && stage->step == made->step &&
        bk_stage_has(made, " cumin paprika spices garlic seeds curry powder flour coriander ") &&
        (bk_stage_is_hot(stage) || bk_stage_does(stage, " pour tip add stir ")))
        return true; /* "stir for 30 seconds": spices burn */
    enum { A_ROUX = 180 };
    if (!made->act.passive && made->act.spell.found && made->act.spell.most <= A_ROUX &&
        bk_stage_has(made, " flour purée puree paste ") && !stage->act.passive &&
        bk_stage_does(stage, " whisk pour add stir trickle ") &&
        bk_stage_has(stage, " milk stock broth wine cider ale beer stout water cream drippings ") &&
        stage->step <= made->step + 1)
        return true; /* a roux, before it colours */
    if (made->act.where & BK_ON_HOB && bk_stage_does(made, " fry cook crisp brown ") &&
        (bk_stage_has_pair(stage, " paper ", " towel towels ") ||
         bk_stage_has_pair(stage, " kitchen absorbent ", " paper ")) &&
        bk_stage_does(stage, " lift scoop drain take transfer move remove spoon tip "))
        return true;
    if (made->act.where & BK_ON_HOB && bk_stage_does(made, " fry cook griddle ") &&
        !made->act.passive && bk_stage_does(stage, " wrap keep ") &&
        bk_stage_has(stage, " towel cloth foil "))
        return true; /* flatbreads */
    if (made->act.group != BK_HEAT || !(made->act.where & BK_ON_HOB))
        return false;
    if (made->act.spell.found && made->act.spell.most < SECONDS && bk_stage_is_hot(stage) &&
        stage->step == made->step)
        return true;
    if (bk_among(first, " turn flip ") && !bk_among(first + 1, " up down the off ") &&
        made->act.spell.found && stage->act.spell.found)
        return true;
    return bk_stage_does(made, " fry griddle cook ") &&
           bk_stage_does(stage, " lift drain wrap toss roll dredge dust keep ") &&
           bk_stage_has(stage, " paper towel towels cloth rack sugar cinnamon ");
}

/* Sugar that browns or sets; jam that is past its set; glaze, syrup and sauce into it. */
static bool sugar_sets(const bk_taken *taken, size_t before, size_t i)
{
    const bk_taken_stage *made = &taken->stages[before], *stage = &taken->stages[i];
    bool hands = !stage->act.passive;
    if (is_caramel(taken, made) && made->act.group != BK_BAKE &&
        (hands || (before + 1 == i && bk_stage_does(stage, " boil bubble "))))
        return true;
    if (before + 1 == i && bk_stage_has(made, " sugar ") && bk_stage_is_hot(made) &&
        bk_stage_has(made, " dissolve dissolves dissolved grit grain grains gritty ") &&
        bk_stage_does(stage, " boil bring ") &&
        bk_stage_has(stage, " hard rapidly rolling set setting caramel amber steadily "))
        return true; /* jam on to its boil, sugar to caramel */
    bool jam =
        bk_stage_does(made, " boil ") && (bk_stage_has(made, " wrinkles wrinkle setting ") ||
                                          (bk_stage_has(made, " hard rapidly rolling ") &&
                                           made->act.spell.found && made->act.spell.least >= 240));
    return hands && before + 1 == i && jam && bk_stage_is_hot(made) &&
           bk_stage_does(stage, " test skim stir drop add take remove pot ladle fish ");
}

/* Hot milk, hot cream, hot water, hot syrup: on to what it is to melt, to scald or to thicken. */
static bool heat_is_lost(const bk_taken *taken, size_t before, size_t i)
{
    const bk_taken_stage *made = &taken->stages[before], *stage = &taken->stages[i];
    bool hands = !stage->act.passive;
    if (bk_stage_does(made, " bring heat warm scald boil reheat ") && bk_stage_is_hot(made) &&
        before + 1 >= i - 1 && bk_stage_does(stage, " pour tip ") &&
        bk_stage_has(stage, " chocolate "))
        return true;
    if (bk_stage_does(made, " bring heat warm boil ") && bk_stage_has(made, " lard ") && hands &&
        bk_stage_has(stage, " flour "))
        return true; /* hot-water paste */
    if (bk_stage_does(made, " bring boil heat ") && bk_stage_is_hot(made) && hands &&
        bk_stage_has(made, " butter ") && bk_stage_has(made, " water milk ") &&
        bk_stage_has(stage, " flour ") && bk_stage_does(stage, " tip shoot beat add stir "))
        return true; /* choux */
    bool hot_in_hand = bk_stage_has_pair(stage, " hot warm boiling ",
                                         " milk cream filling custard sauce mixture ");
    if (hands && before + 1 >= i - 1 && hot_in_hand && bk_stage_does(stage, " pour whisk add ") &&
        (bk_stage_does(made, " infuse steep bring heat warm scald reheat ") ||
         (before + 1 == i && made->act.group == BK_MIX)))
        return true;
    if (hands && before + 1 == i && bk_stage_is_hot(made) && !made->act.passive &&
        bk_stage_has(stage, " cornflour cornstarch arrowroot "))
        return true; /* thickened while it bubbles */
    if (bk_stage_does(made, " warm heat ") && before + 1 == i && hands &&
        bk_stage_has(stage, " yeast "))
        return true; /* blood warm */
    if (before + 1 == i && bk_stage_does(made, " melt ") && made->act.where & BK_ON_HOB &&
        !bk_stage_has(made, " cool aside ") && stage->step <= made->step + 1 &&
        stage->act.group != BK_COLD && stage->act.group != BK_REST && stage->act.group != BK_BAKE &&
        stage->act.group != BK_PREP)
        return true;
    bool melted = made->act.where & BK_ON_HOB && !made->act.passive &&
                  bk_stage_has(made, " melt melted melts runny liquid ") &&
                  bk_stage_has(made, " butter syrup treacle chocolate honey fats sugar margarine ");
    bool named = bk_stage_has_pair(stage, " the melted warm ",
                                   " syrup butter chocolate honey mixture treacle ");
    if (hands && (before + 1 == i || named) && melted && stage->step <= made->step + 1 &&
        (stage->act.group == BK_MIX || bk_stage_does(stage, " pour add tip ")))
        return true; /* melted to be stirred in */
    if (hands && bk_stage_is_hot(made) && !bk_stage_does(made, " bake roast ") &&
        bk_stage_has_pair(stage, " hot boiling warm ", " syrup glaze jam caramel ") &&
        bk_stage_has(made, " syrup glaze jam sugar "))
        return true; /* "brush the hot syrup over" */
    if (hands && stage->act.at_once && bk_stage_is_hot(made) && bk_stage_has(made, " syrup ") &&
        bk_stage_does(made, " boil warm heat simmer bring ") &&
        bk_stage_does(stage, " brush pour spoon drizzle trickle "))
        return true; /* "brush it over as soon as they are out" */
    if (hands && before + 1 == i && bk_stage_is_hot(made) && bk_stage_has(stage, " butter ") &&
        bk_stage_has_pair(stage, " off from ", " the ") &&
        bk_stage_has_pair(stage, " the ", " heat "))
        return true; /* "beat in the butter off the heat" */
    return is_poured_hot(made, stage) || gelatine_melts(taken, made, stage);
}

static bool is_starchy(const bk_taken_stage *stage)
{
    return bk_stage_has(stage,
                        " potatoes potato pasta spaghetti noodles macaroni tagliatelle "
                        "linguine penne pappardelle gnocchi rice ravioli tortellini fettuccine "
                        "orzo sprouts spuds ");
}

/* Boiled, and drained to be dressed or mashed; refreshed, so that it cooks no more. */
static bool boiled_cools(const bk_taken *taken, size_t before, size_t i)
{
    const bk_taken_stage *made = &taken->stages[before], *stage = &taken->stages[i];
    bool hands = !stage->act.passive;
    if (hands && made->act.group == BK_SIMMER &&
        (bk_stage_does(stage, " plunge refresh shock ") ||
         bk_stage_has_pair(stage, " cold ice iced running ", " water tap bath ") ||
         bk_stage_has_pair(stage, " the ", " tap ") || bk_stage_has_pair(stage, " of ", " ice ")) &&
        !bk_stage_has(stage, " add "))
        return true;
    bool cold = bk_stage_has_pair(stage, " cold ice iced running ", " water tap bath ") ||
                bk_stage_has_pair(stage, " the cold ", " tap ") ||
                bk_stage_has_pair(stage, " over on of ", " ice iced ");
    bool from_drain = bk_stage_does(made, " drain ") && made->after_count == 1 &&
                      taken->stages[made->after[0]].act.group == BK_SIMMER;
    if (cold && before + 1 == i &&
        bk_stage_does(stage, " cool refresh plunge rinse drop strain pour stir ") &&
        (made->act.group == BK_SIMMER || from_drain ||
         (made->act.where & BK_ON_HOB && bk_stage_does(stage, " strain pour ")) ||
         (bk_stage_does(made, " stir cook ") && bk_stage_has(made, " heat coats "))))
        return true;
    if (hands && before + 1 == i && bk_stage_does(made, " poach ") &&
        bk_among(&stage->tokens[stage->act.from], " lift take remove scoop "))
        return true;
    enum { STEAMS = 5 * 60 };
    bool boils = made->act.group == BK_SIMMER &&
                 (is_starchy(made) ||
                  (made->after_count == 1 && is_starchy(&taken->stages[made->after[0]])));
    if (boils && hands && before + 1 >= i - 1 &&
        (bk_stage_does(stage, " toss dress mash crush lift rice fold stir mix ") ||
         bk_among(&stage->tokens[stage->act.from], " lift scoop ")))
        return true;
    const bk_taken_stage *below = made->after_count > 0 ? &taken->stages[made->after[0]] : NULL;
    bool drained = below && bk_stage_does(made, " drain ") && below->act.group == BK_SIMMER &&
                   (is_starchy(below) || is_starchy(made));
    if (before + 1 == i && (boils || drained) && stage->act.passive && stage->act.spell.found &&
        stage->act.spell.most <= STEAMS && bk_stage_does(stage, " steam dry rest stand "))
        return true; /* steam dry */
    if (hands && made->act.passive && made->act.spell.found && made->act.spell.most <= STEAMS &&
        bk_stage_does(made, " steam dry rest stand ") &&
        bk_stage_does(stage, " mash crush rice toss ") &&
        (below && (bk_stage_does(below, " drain ") || is_starchy(below))))
        return true;
    if (before + 1 != i || !hands || made->after_count == 0 || !bk_stage_does(made, " drain "))
        return false;
    const bk_taken_stage *boiled = &taken->stages[made->after[0]];
    return boiled->act.group == BK_SIMMER && (is_starchy(boiled) || is_starchy(made)) &&
           bk_stage_does(stage,
                         " mash rice toss dress crush stir return beat push press tip fold ");
}

/* Do the hands put something in? */
static bool hands_to(const bk_taken_stage *stage)
{
    return !stage->act.passive && bk_stage_does(stage, " tip add pour spoon ladle put turn ");
}

/* Jars filled hot and closed hot; what steamed, or was dipped in hot water, turned out. */
static bool has_its_moment(const bk_taken *taken, size_t before, size_t i)
{
    const bk_taken_stage *made = &taken->stages[before], *stage = &taken->stages[i];
    if (bk_stage_does(made, " steam ") && bk_stage_does(stage, " turn unmould invert "))
        return true; /* else it sticks, or sweats */
    if (bk_stage_does(made, " dip stand plunge lower hold ") && before + 1 == i &&
        bk_stage_has_pair(made, " hot boiling warm ", " water ") &&
        bk_stage_does(stage, " turn unmould invert upend ease slide tip "))
        return true;
    if (before + 1 == i && stage->act.passive && stage->act.group != BK_REST &&
        stage->act.group != BK_COLD && is_in_a_hot_tin(made))
        return true;
    if (bk_stage_does(made, " heat ") && made->act.where & BK_IN_OVEN && hands_to(stage) &&
        before + 1 >= i - 1)
        return true; /* into the tin that was heated for it */
    bool goes_in =
        made->act.at_once && !made->act.passive &&
        bk_stage_has(made, " oven steamer simmering boiling ") &&
        bk_stage_has_pair(made, " straight immediately without ", " into in delay onto to away ");
    if (before + 1 == i && goes_in &&
        (stage->act.group == BK_BAKE || stage->act.group == BK_SIMMER))
        return true; /* "get it into the tin and the oven without delay" */
    bool churned = bk_stage_does(made, " churn ");
    for (const bk_taken_stage *at = made;
         !churned && !at->act.passive && !at->act.spell.found && at->after_count > 0;) {
        at = &taken->stages[at->after[at->after_count - 1]];
        churned = bk_stage_does(at, " churn ");
    }
    if (churned && before + 1 == i &&
        bk_stage_does(stage,
                      " scrape spoon transfer pack tip fold stir freeze swirl layer add churn "))
        return true; /* it melts */
    if (before + 1 == i && bk_stage_does(stage, " steam ") &&
        bk_stage_does(made, " pour lower stand lay ") && bk_stage_has(made, " boiling simmering "))
        return true; /* the water is hot */
    bool shines = bk_stage_does(stage, " brush glaze ") &&
                  bk_stage_has(stage, " syrup glaze butter jam honey marmalade ");
    if (shines && made->act.group == BK_BAKE && !stage->act.passive && before + 1 >= i - 2)
        return true; /* it drinks while it is hot */
    enum { STANDS = 20 * 60 };
    bool fills =
        bk_stage_does(stage, " pot bottle ") ||
        (bk_stage_does(stage, " ladle pour spoon fill pack ") && bk_stage_has(stage, " jars "));
    bool set_hot = bk_stage_is_hot(made) ||
                   (!made->act.passive && made->act.group != BK_PREP && !made->tool) ||
                   (bk_stage_does(made, " stand rest sit settle ") && made->act.spell.found &&
                    made->act.spell.most <= STANDS);
    if (fills && set_hot && stage->step <= made->step + 1 &&
        !bk_stage_has(stage, " cold cool cooled "))
        return true;
    if (bk_stage_does(stage, " cover seal screw ") &&
        (bk_stage_does(made, " pot bottle ") ||
         (bk_stage_does(made, " ladle pour spoon fill pack ") &&
          bk_stage_has(made, " jars jar bottles "))))
        return true;
    if (made->act.passive && made->act.group == BK_REST && !stage->act.passive && before + 1 == i &&
        bk_stage_has_pair(made, " no not ", " longer more "))
        return true; /* "five minutes in the tin, no longer" */
    if (bk_stage_does(made, " pierce slit ") && stage->act.group == BK_BAKE && before + 1 == i)
        return true; /* puffs, to dry out */
    bool bakes_on = made->act.group == BK_BAKE && stage->act.group == BK_BAKE;
    if (bakes_on && before + 1 == i && stage->step == made->step && !stage->act.sentence &&
        bk_stage_has(stage, " uncover foil lid uncovered "))
        return true; /* "then uncover and bake for 10 minutes more" */
    return made->act.group == BK_BAKE && stage->act.group == BK_REST &&
           !bk_stage_has(stage, " rack tin ") &&
           (bk_stage_has(stage, " inside ") || stage->act.where & BK_IN_OVEN); /* switched off */
}

bool bk_cannot_wait(const bk_taken *taken, size_t before, size_t i)
{
    return foam_falls(taken, before, i) || batter_goes_flat(taken, before, i) ||
           fat_burns(taken, before, i) || pan_goes_on(&taken->stages[before], &taken->stages[i]) ||
           sugar_sets(taken, before, i) || heat_is_lost(taken, before, i) ||
           boiled_cools(taken, before, i) || has_its_moment(taken, before, i);
}
