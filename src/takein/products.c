/* What is made of ingredients, by the nouns that speak of it later: "the dough" is what was
 * kneaded or has flour. Common practice, no source. */
#include "takein/weave.h"

#include <string.h>

static const struct {
    const char *nouns; /* stems */
    const char *verbs; /* any of these makes it */
    const char *foods; /* or any of these ingredients */
} kinds[] = {
    {" dough ball ", " knead rise prove proof rub ", " flour "},
    {" pastry case shell base crust ", " rub line pulse whizz ", " pastry "},
    {" batter ", "  ", " flour "},
    {" meringue white ", "  ", " white "},
    {" yolk ", "  ", " yolk "},
    {" custard ", "  ", " yolk egg custard "},
    {" syrup ", "  ", " sugar syrup honey treacle "},
    {" caramel ", " caramelise caramelize ", " sugar "},
    {" sauce gravy ", " deglaze reduce thicken ", " stock wine sauce gravy cider tomato "},
    {" dressing vinaigrette ", "  ", " vinegar mustard "},
    {" cake sponge ", " bake ", " sponge cake "},
    {" loaf bread roll bun ", " bake rise prove proof ", " bread roll loaf bun "},
    {" biscuit cookie cracker shortbread ", " bake ", " biscuit cookie shortbread "},
    {" meat beef pork lamb joint roast ", "  ",
     " beef pork lamb mutton veal venison ham gammon shoulder leg haunch shank belly shin oxtail "
     "brisket neck loin rib bacon mince sausage haunch saddle fillet rump steak cutlet chop rabbit "
     "hare knuckle cheek "},
    {" bird chicken turkey duck goose breast carcass ", "  ",
     " chicken turkey duck goose pheasant guinea partridge grouse pigeon quail poussin "},
    {" fish fillet ", "  ",
     " fish salmon cod haddock trout hake monkfish mackerel fillet bream bass mullet sole plaice "
     "halibut turbot tuna sardine herring pollock coley "},
    {" icing frosting buttercream glaze ", "  ", " icing glaze "},
    {" chocolate ganache ", "  ", " chocolate "},
    {" purée puree pulp ", " blend blitz sieve purée puree mash ", "  "},
    {" compote ", "  ", " plum apple pear cherry rhubarb berry blackcurrant cranberry quince "},
    {" berry currant ", "  ", " raspberry blackberry blackcurrant cranberry blueberry redcurrant "},
    {" fruit ", "  ",
     " apple pear plum cherry rhubarb raspberry blackberry blackcurrant cranberry quince apricot "
     "orange raisin sultana currant prune fig date fruit peel "},
    {" stock broth ", "  ", " bone carcass stock giblet "},
    {" jelly gelatine gelatin ", "  ", " gelatine gelatin jelly "},
    {" curd ", "  ", " curd lemon lime "},
    {" mash potato ", "  ", " potato "},
    {" vegetable veg ", "  ",
     " onion carrot leek celery parsnip swede turnip potato cabbage sprout shallot pepper fennel "
     "beetroot squash pumpkin mushroom "},
    {" nut ", "  ", " walnut almond hazelnut pecan pistachio chestnut nut "},
    {" seed ", "  ", " seed sesame "},
    {" crumb breadcrumb crumble ", "  ", " breadcrumb crumb oats oat "},
    {" cream ", "  ", " cream mascarpone "},
    {" cheese ", "  ", " cheese cheddar gruyere parmesan ricotta "},
    {" bean lentil chickpea ", "  ", " bean lentil chickpea "},
    {" pasta noodle ", "  ", " pasta spaghetti noodle macaroni tagliatelle "},
    {" juice ", "  ", " orange lemon juice "},
    {" marinade ", " marinate ", "  "},
    {" brine pickle ", " brine pickle ", " vinegar "},
};

_Static_assert(sizeof kinds / sizeof *kinds <= 64, "a bit for each kind");

bk_products bk_product_of_word(const char *word)
{
    char stem[24];
    bk_stem(word, stem, sizeof stem);
    bk_token token = {.word = stem};
    for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++)
        if (bk_among(&token, kinds[k].nouns))
            return (bk_products)1 << k;
    return 0;
}

bk_products bk_products_of_food(const bk_food *food)
{
    bk_products made = 0;
    for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++)
        for (size_t w = 0; w < food->count; w++)
            if (bk_among(&(bk_token){.word = food->words[w]}, kinds[k].foods))
                made |= (bk_products)1 << k;
    return made;
}

bk_products bk_products_of_deed(const char *verb)
{
    bk_products made = 0;
    for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++)
        if (bk_among(&(bk_token){.word = verb}, kinds[k].verbs))
            made |= (bk_products)1 << k;
    return made;
}
