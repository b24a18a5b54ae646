/* What comes after what. A thread is what is made of one lot of ingredients: a stage goes on
 * with the thread whose ingredients or product it names; one that names only new ingredients,
 * or stands under a heading of its own, begins a thread; and threads join where their
 * bk_products are named together. */
#include "takein/reading.h"
#include "takein/weave.h"

#include <string.h>
#include <strings.h>

enum { MOST_THREADS = 24, MOST_NAMES = 8, MOST_TOLD = 48 };

typedef struct thread {
    size_t last;
    bk_mask made_of;
    bk_products may_be, is; /* what its stages may have made; what its label says that they make */
    const char *names[MOST_NAMES]; /* stems of its label */
    size_t name_count;
    const char *told[MOST_TOLD]; /* stems of what its stages spoke of: "pudding" */
    size_t told_count;
    bool open;
    bool meanwhile;
    bool tools;         /* jars that are warmed, a saucer that is chilled */
    size_t beside;      /* thread that goes on at the same time, or SIZE_MAX */
    const char *vessel; /* what it was put into: "ramekins"; or NULL */
} thread;

typedef struct weave {
    bk_taken *taken;
    const bk_mentions *found;
    const bk_food *all;
    thread threads[MOST_THREADS];
    size_t count, now; /* `now`: the thread of the stage before */
    bk_mask used;
} weave;

/* What a stage says of the threads. */
typedef struct speech {
    bk_mask fresh, old,
        strong;            /* ingredients named first here; before; before and as what was made */
    bool of[MOST_THREADS]; /* the threads whose ingredients or product it names */
    size_t first;          /* thread that its first noun speaks of; SIZE_MAX: none */
    bool any_other;        /* one that is not the thread of the stage before */
    bool everything;       /* "everything", "assemble" */
    bool back;             /* "it", "the mixture": what came before */
    bool unknown;          /* "the meat", of which no thread is known */
    bool same_vessel;      /* "in the same pan", "the juices in the tin" */
} speech;

static bool is_vessel(const bk_token *t)
{
    return bk_among(
        t, " bowl pan saucepan pot mixer oven fridge freezer tin tins dish processor blender heat "
           "hob jug "
           "basin tray sheet moulds ramekins top base sides same frying large small clean roasting "
           "baking back middle centre cold jar jars glasses water boil room side other "
           "dark warm bottom rest lid wire surface board rack plate "
           "casserole wok springform ramekin terrine ");
}

/* -------------------------------------------------------------------- labels */

static const char *heading_of(const weave *w, size_t i)
{
    return w->taken->recipe->steps[w->taken->stages[i].step].heading;
}

static bool same_heading(const weave *w, size_t a, size_t b)
{
    const char *one = heading_of(w, a), *other = heading_of(w, b);
    return one == other || (one && other && strcmp(one, other) == 0);
}

/* "To serve", "Day 2", "Assembly": of no part by itself. */
static bool is_of_no_part(const bk_token *t, size_t from, size_t end)
{
    if (from < end && bk_among(&t[from], " to day next then finally step later tip note nb p "))
        return true;
    for (size_t i = from; i < end; i++)
        if (bk_among(&t[i], " assemble assembly assembling finish finishing serve serving together "
                            "baking cooking method morning evening before after day ps bake oven "
                            "storage tips instructions directions preparation "))
            return true;
    return false;
}

static bool names_part(const bk_token *t)
{
    return t->kind == BK_TOKEN_WORD && strlen(t->word) > 2 &&
           !bk_among(t, " the for make making and with your our first meanwhile then while part "
                        "rests bakes cooks cools while it ");
}

/* Adds the words of a label to what a thread is called. */
static void name_thread(weave *w, thread *into, const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i < end && into->name_count < MOST_NAMES; i++) {
        if (!names_part(&t[i]))
            continue;
        char stem[24];
        bk_stem(t[i].word, stem, sizeof stem);
        into->names[into->name_count++] = bk_copy_string(w->taken->arena, stem);
        into->is |= bk_product_of_word(t[i].word);
    }
}

static bool is_called(const thread *one, const char *word)
{
    char stem[24];
    bk_stem(word, stem, sizeof stem);
    for (size_t n = 0; n < one->name_count; n++)
        if (strcmp(one->names[n], stem) == 0)
            return true;
    return false;
}

/* ------------------------------------------------------------- what is spoken of */

/* "make a syrup", "for the icing", "to a soft dough": what comes about here. */
static bool comes_about(const bk_token *t, size_t from, size_t at)
{
    for (size_t back = 1; back <= 4 && at >= from + back; back++) {
        const bk_token *before = &t[at - back];
        if (bk_among(before, " little few each "))
            return false;
        if (bk_among(before, " make making prepare a an "))
            return true;
        if (bk_is(before, "for") && !(back == 1))
            return true;
        if (before->kind != BK_TOKEN_WORD || bk_among(before, " in into over with on onto and "))
            return false;
    }
    return false;
}

/* The thread that a noun speaks of: the one so called, else the latest that may have made
 * such a thing; SIZE_MAX: none. */
static size_t thread_of_word(const weave *w, const char *word)
{
    bk_products kind = bk_product_of_word(word);
    size_t best = SIZE_MAX;
    int best_rank = 0;
    for (size_t k = 0; k < w->count; k++) {
        const thread *one = &w->threads[k];
        int rank = is_called(one, word) ? 3 : (one->is & kind) != 0 ? 2 : (one->may_be & kind) != 0;
        if (!one->open || one->last == SIZE_MAX || rank == 0)
            continue;
        if (rank > best_rank || (rank == best_rank && one->last > w->threads[best].last)) {
            best = k;
            best_rank = rank;
        }
    }
    return best;
}

/* May a word say by itself which thread is meant, when one alone has spoken of it? */
static bool tells_apart(const bk_token *t)
{
    return t->kind == BK_TOKEN_WORD && strlen(t->word) > 3 && !is_vessel(t) && !bk_is_adverb(t) &&
           !bk_opens_subordinate(t) &&
           !bk_among(t, " mixture rest time paper foil edge edges half remaining minutes minute hour "
                        "hours ends more them they each place into onto over third thirds film "
                        "hand hands spoon fork knife stick whisk cloth bits well with from again "
                        "board rack surface length pieces until night evening morning ");
}

/* The one open thread that has spoken of such a thing; SIZE_MAX: none, or several. */
static size_t thread_that_told(const weave *w, const bk_token *t)
{
    size_t found = SIZE_MAX;
    char stem[24];
    bk_stem(t->word, stem, sizeof stem);
    bk_mask every = {{UINT64_MAX, UINT64_MAX}};
    if (bk_names_ingredient(w->taken, w->all, t, every))
        return SIZE_MAX; /* it may have gone into several */
    for (size_t k = 0; k < w->count && tells_apart(t); k++) {
        const thread *one = &w->threads[k];
        bool told = false;
        for (size_t n = 0; n < one->told_count && one->open && one->last != SIZE_MAX; n++)
            told |= strcmp(one->told[n], stem) == 0;
        if (told && found != SIZE_MAX)
            return SIZE_MAX;
        found = told ? k : found;
    }
    return found;
}

static void keep_told(weave *w, thread *into, const char *stem)
{
    for (size_t n = 0; n < into->told_count; n++)
        if (strcmp(into->told[n], stem) == 0)
            return;
    if (into->told_count < MOST_TOLD)
        into->told[into->told_count++] = bk_copy_string(w->taken->arena, stem);
}

static size_t thread_of_food(const weave *w, size_t food)
{
    size_t best = SIZE_MAX;
    for (size_t k = 0; k < w->count; k++)
        if (w->threads[k].open && w->threads[k].last != SIZE_MAX &&
            bk_mask_has(&w->threads[k].made_of, food) &&
            (best == SIZE_MAX || w->threads[k].last > w->threads[best].last))
            best = k;
    return best;
}

/* A word of the recipe's name says what the whole is: "the stollen". */
static bool is_in_title(const weave *w, const char *word)
{
    const char *title = w->taken->recipe->title;
    size_t n = strlen(word);
    if (n < 4 || bk_among(&(bk_token){.word = word}, " with from over rest same other then that "))
        return false;
    for (const char *at = title; at && *at != '\0';
         at += strcspn(at, " -") > 0 ? strcspn(at, " -") : 1)
        if (strncasecmp(at, word, n - 1) == 0)
            return true;
    return false;
}

/* What a thing is put into and stays in, one word for one and several; or NULL. */
static const char *vessel_word(const bk_token *t)
{
    static const char *const vessels[][2] = {
        {"tin", " tin tins "},     {"ramekin", " ramekin ramekins "}, {"mould", " mould moulds "},
        {"dish", " dish dishes "}, {"basin", " basin basins "},       {"glass", " glass glasses "},
        {"jar", " jar jars "},     {"case", " case cases "}};
    for (size_t i = 0; i < sizeof vessels / sizeof *vessels; i++)
        if (bk_among(t, vessels[i][1]))
            return vessels[i][0];
    return NULL;
}

/* "the syrup", "the boiling syrup", "a little custard": a thing that is there. */
static bool is_told(const bk_token *t, size_t from, size_t at)
{
    static const char known[] = " the cold cooled hot warm this these those chilled baked cooked "
                                "whipped stiff risen drained frozen rested two both each little "
                                "some boiling melted browned softened half ";
    return (at > from && bk_among(&t[at - 1], known)) ||
           (at > from + 1 && bk_among(&t[at - 2], " the this these ") &&
            t[at - 1].kind == BK_TOKEN_WORD && !bk_among(&t[at - 1], " and of with in "));
}

/* "the soaking liquor": the thread that soaked last, or SIZE_MAX. */
static size_t thread_of_deed(const weave *w, const bk_token *t)
{
    const bk_verb *verb = bk_verb_of_form(t[0].word);
    size_t n = strlen(t[0].word);
    if (!verb || n < 6 || strcmp(t[0].word + n - 3, "ing") != 0 ||
        !bk_among(&t[1], " liquor liquid water juices juice milk syrup wine "))
        return SIZE_MAX;
    for (size_t k = w->count; k-- > 0;)
        if (w->threads[k].open && w->threads[k].last != SIZE_MAX &&
            w->taken->stages[w->threads[k].last].act.verb == verb)
            return k;
    return SIZE_MAX;
}

/* The ingredients that nothing has named yet. */
static bk_mask unused(const weave *w)
{
    return bk_mask_without((bk_mask){{UINT64_MAX, UINT64_MAX}}, w->used);
}

/* "the sizzling skillet": the thread whose last stage made it hot. */
static bool heats_vessel(const weave *w, size_t k, const char *word)
{
    if (!w->threads[k].open || w->threads[k].last == SIZE_MAX)
        return false;
    const bk_taken_stage *last = &w->taken->stages[w->threads[k].last];
    bool hot = (last->act.where & (BK_IN_OVEN | BK_ON_HOB)) != 0 || last->act.group == BK_HEAT;
    for (size_t j = last->act.from; j < last->act.end && hot; j++)
        if (bk_is(&last->tokens[j], word))
            return true;
    return false;
}

static speech listen(const weave *w, size_t i)
{
    const bk_mentions *m = &w->found[i];
    const bk_taken_stage *stage = &w->taken->stages[i];
    const bk_token *t = stage->tokens;
    speech says = {.fresh = bk_mask_without(m->all, w->used),
                   .old = bk_mask_and(m->all, w->used),
                   .strong = bk_mask_and(m->strong, w->used),
                   .first = SIZE_MAX};
    size_t first_at = SIZE_MAX;
    bool clause = false;
    for (size_t j = m->from; j < m->end; j++) {
        if (t[j].kind != BK_TOKEN_WORD)
            continue;
        size_t soaked = j + 1 < m->end ? thread_of_deed(w, &t[j]) : SIZE_MAX;
        if (soaked != SIZE_MAX)
            says.of[soaked] = true;
        says.everything |= (bk_is(&t[j], "everything") && j > m->from &&
                            !bk_among(&t[j - 1], " while until till when once if ")) ||
                           (bk_is(&t[j], "assemble") && !(j > 0 && bk_is(&t[j - 1], "to")));
        clause |= j > stage->act.verb_at && bk_among(&t[j], " until till if when so where as ");
        says.back |= !clause && j < m->first_at && bk_among(&t[j], " it them mixture ");
        const char *vessel = vessel_word(&t[j]);
        bool potted = j == stage->act.verb_at && bk_among(&t[j], " pot bottle ");
        vessel = potted ? "jar" : vessel;
        if (vessel && (potted || (j > m->from && bk_among(&t[j - 1], " the your hot ")))) {
            for (size_t k = 0; k < w->count; k++)
                says.of[k] |= k != w->now && w->threads[k].open && w->threads[k].vessel &&
                              strcmp(w->threads[k].vessel, vessel) == 0;
        }
        bool heated = j > m->from && bk_among(&t[j - 1], " hot sizzling smoking heated ");
        for (size_t k = 0; k < w->count && heated && is_vessel(&t[j]); k++)
            says.of[k] |= k != w->now && heats_vessel(w, k, t[j].word);
        says.same_vessel |=
            bk_among(&t[j], " same juices drippings fat ") ||
            (bk_among(&t[j], " tin pan ") && j + 3 < m->end && bk_is(&t[j + 1], "on") &&
             bk_is(&t[j + 3], "hob")) ||
            (bk_is(&t[j], "roasting") && j + 1 < m->end && bk_among(&t[j + 1], " tin pan tray "));
        bool verb = j == stage->act.verb_at || (j == m->from && bk_verb_find(t[j].word));
        bool is_food = bk_names_food_by_head(w->taken, w->all, &t[j], says.strong);
        if (verb || is_vessel(&t[j]) || is_food ||
            bk_names_ingredient(w->taken, w->all, &t[j], says.fresh) || comes_about(t, m->from, j))
            continue;
        size_t k_of = thread_of_word(w, t[j].word);
        size_t beside = w->threads[w->now].beside;
        if (k_of == SIZE_MAX && beside != SIZE_MAX && is_told(t, m->from, j) &&
            w->threads[beside].open && is_in_title(w, t[j].word))
            k_of = beside; /* "brush the stollen", in its recipe */
        if (k_of == SIZE_MAX && is_told(t, m->from, j) &&
            !(j > m->from && bk_names_ingredient(w->taken, w->all, &t[j - 1], unused(w))))
            k_of = thread_that_told(w, &t[j]);
        bool called = k_of != SIZE_MAX && is_called(&w->threads[k_of], t[j].word);
        bool told = is_told(t, m->from, j) || (k_of != SIZE_MAX && j == stage->act.verb_at + 1);
        if (j > m->from + 1 && bk_among(&t[j - 2], " alongside beside under above below "))
            continue;
        /* "lemon juice" is no juice that was made */
        bool of_fresh = j > m->from && bk_names_ingredient(w->taken, w->all, &t[j - 1], says.fresh);
        says.unknown |= k_of == SIZE_MAX && told && !of_fresh && bk_product_of_word(t[j].word) != 0;
        if (k_of == SIZE_MAX || !(called || told))
            continue;
        says.of[k_of] = true;
        if (first_at == SIZE_MAX) {
            first_at = j;
            says.first = k_of;
        }
    }
    for (size_t k = 0; k < w->taken->recipe->ingredient_count; k++) {
        size_t k_of = bk_mask_has(&says.strong, k) ? thread_of_food(w, k) : SIZE_MAX;
        if (k_of != SIZE_MAX) {
            says.of[k_of] = true;
            if (k == m->first && m->first_at < first_at)
                says.first = k_of;
        }
    }
    for (size_t k = 0; k < w->count; k++)
        says.any_other |= says.of[k] && k != w->now;
    return says;
}

/* "into the purée", "over the sponge": something made before, and not the vessel nor what
 * is named for the first time. */
static bool joins_something(const weave *w, const bk_taken_stage *stage, bk_mask named)
{
    const bk_token *t = stage->tokens;
    bk_mask fresh = bk_mask_or(named, unused(w));
    for (size_t i = stage->act.from; i + 2 < stage->act.end; i++) {
        bool into = bk_among(&t[i], " into onto over through under round around ") ||
                    (bk_among(&t[i], " with to ") && bk_is(&t[i + 1], "the"));
        if (into && bk_among(&t[i + 1], " the them it this ") && !is_vessel(&t[i + 2]) &&
            !bk_among(&t[i + 2], " remaining rest other half ") &&
            !(bk_is(&t[i + 1], "the") && (bk_names_ingredient(w->taken, w->all, &t[i + 2], fresh) ||
                                          bk_names_ingredient(w->taken, w->all, &t[i + 3], fresh))))
            return true;
    }
    return false;
}

static bool adds(const bk_taken_stage *stage)
{
    const bk_token *t = stage->tokens;
    const bk_verb *verb = stage->act.verb;
    if (verb && bk_among(&(bk_token){.word = verb->word}, " add fold return top assemble fill "))
        return true;
    for (size_t i = stage->act.from; i + 1 < stage->act.end; i++) {
        if (bk_among(&t[i], " add fold return top assemble fill layer decorate spread "))
            return true;
        if (bk_is(&t[i], "in") && i > stage->act.from &&
            (bk_among(&t[i + 1], " , . ; then and ") || i + 1 == stage->act.verb_at))
            return true; /* "stock in, simmer" */
        bool verb_here = i == stage->act.verb_at || i == stage->act.from ||
                         bk_among(&t[i], " stir beat whisk mix rub work pour tip ");
        if (verb_here && bk_among(&t[i + 1], " in into on onto over "))
            return true;
    }
    return false;
}

/* Is what it names first new? */
static bool names_new_first(const weave *w, size_t i, const speech *says)
{
    const bk_mentions *m = &w->found[i];
    return m->first != SIZE_MAX && bk_mask_has(&says->fresh, m->first);
}

/* By what the hands do: may it be the first of something made apart? */
static bool may_begin(const bk_act *act)
{
    const char *word = act->verb ? act->verb->word : "";
    bool finishes = bk_among(&(bk_token){.word = word},
                             " sprinkle scatter top decorate drizzle dust brush glaze coat dip "
                             "stuff carve ice frost sandwich unmould invert dress season thin "
                             "loosen moisten bind incorporate score prick skim glaze ");
    return !finishes && (act->group == BK_HEAT || act->group == BK_MIX || act->group == BK_PREP ||
                         act->group == BK_MACHINE || act->group == BK_SIMMER ||
                         (act->group == BK_REST && strcmp(word, "soak") == 0) ||
                         (act->group == BK_BAKE && (act->apart || strcmp(word, "toast") == 0)) ||
                         (act->group == BK_COLD && strcmp(word, "freeze") == 0));
}

static bool back_refers(const bk_act *act, const speech *heard)
{
    return act->back_refers || heard->back;
}

/* "Cook with the sugar", "simmer until tender": what it is done to was named before. */
static bool elides_object(const bk_taken_stage *stage)
{
    const bk_token *t = stage->tokens;
    size_t i = stage->act.verb_at + 1;
    if (stage->act.verb_at > stage->act.from && stage->act.verb &&
        strcmp(stage->act.verb->word, t[stage->act.verb_at].word) != 0)
        return false; /* "onions sliced" */
    while (i < stage->act.end && bk_among(&t[i], " gently slowly well then briefly again hot "))
        i++;
    return i >= stage->act.end ||
           bk_among(&t[i], " with in on over for until till to at from , . ; off through back ");
}

/* "Put the sugar and wine in a small pan": what is begun in a vessel of its own. */
static bool takes_a_vessel(const bk_taken_stage *stage)
{
    enum { FAR = 16 };
    const bk_token *t = stage->tokens;
    if (!bk_among(&t[stage->act.from], " put place tip combine mix whisk pour warm heat melt "))
        return false;
    for (size_t i = stage->act.from + 2; i + 2 < stage->act.end && i < stage->act.from + FAR; i++)
        if (bk_among(&t[i], " in into ") && bk_among(&t[i + 1], " a another "))
            for (size_t k = i + 2; k < i + 6 && k < stage->act.end; k++)
                if (bk_among(&t[k], " bowl pan saucepan jug pot processor blender "))
                    return true;
    return false;
}

/* "Then the flour": it goes on. */
static bool says_then(const bk_taken_stage *stage)
{
    return bk_among(&stage->tokens[stage->act.from], " then now next finally ");
}

/* Begins something apart: names new ingredients only, and nothing that was made. */
static bool starts_apart(const weave *w, size_t i, const speech *says)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    const bk_act *act = &stage->act;
    bool named = says->everything || back_refers(act, says);
    for (size_t k = 0; k < w->count; k++)
        named |= says->of[k];
    if (act->sentence && act->apart && !named && !elides_object(stage) && may_begin(act) &&
        (act->group != BK_BAKE || bk_mask_any(says->fresh)))
        return true; /* "In a clean bowl, whisk the whites" */
    if (act->sentence && bk_mask_any(says->fresh) && !bk_mask_any(says->strong) &&
        says->first == SIZE_MAX && takes_a_vessel(stage))
        return true;
    if (!act->sentence || says_then(stage) || (elides_object(stage) && !act->apart) ||
        !bk_mask_any(says->fresh) || back_refers(act, says) || says->everything ||
        says->same_vessel || says->unknown || says->first != SIZE_MAX ||
        (bk_mask_any(says->old) && !act->apart &&
         (!names_new_first(w, i, says) || bk_mask_any(says->strong))))
        return false;
    return may_begin(act) && !adds(stage) && !joins_something(w, stage, says->fresh);
}

/* ------------------------------------------------------------------- weaving */

static size_t new_thread(weave *w, bool meanwhile)
{
    size_t beside = w->count > 0 ? w->now : SIZE_MAX;
    if (w->count == MOST_THREADS)
        return w->now;
    w->threads[w->count] =
        (thread){.open = true, .last = SIZE_MAX, .meanwhile = meanwhile, .beside = beside};
    return w->count++;
}

static void put_after(bk_taken_stage *stage, size_t before)
{
    for (size_t a = 0; a < stage->after_count; a++)
        if (stage->after[a] == before)
            return;
    if (stage->after_count < 8)
        stage->after[stage->after_count++] = before;
}

static size_t latest_other(const weave *w, size_t but)
{
    size_t best = SIZE_MAX;
    for (size_t k = 0; k < w->count; k++) {
        bool better = best == SIZE_MAX || w->threads[k].last > w->threads[best].last;
        if (k != but && w->threads[k].open && w->threads[k].last != SIZE_MAX && better)
            best = k;
    }
    return best;
}

/* At the end of a recipe: "pile up", "fill", "layer": all that was made. */
static bool puts_together(const weave *w, size_t i)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    bool last = stage->step + 1 == w->taken->recipe->step_count;
    const char *word = stage->act.verb ? stage->act.verb->word : "";
    return (last && !stage->act.passive &&
            bk_among(&(bk_token){.word = word},
                     " pile top fill layer sandwich arrange assemble decorate drape spoon lay ")) ||
           (i + 1 == w->taken->count && !stage->act.passive && stage->act.group == BK_POUR);
}

/* Chooses the threads that a stage goes on from; gives the one that it belongs to. */
static size_t go_on(weave *w, size_t i, const speech *says, bool *chosen)
{
    bk_taken_stage *stage = &w->taken->stages[i];
    const bk_act *act = &stage->act;
    const thread *now = &w->threads[w->now];
    bool all = says->everything || puts_together(w, i);
    for (size_t k = 0; k < w->count; k++)
        chosen[k] = (says->of[k] || all) && w->threads[k].open && w->threads[k].last != SIZE_MAX;
    bool here = says->of[w->now], joins = joins_something(w, stage, says->fresh);
    size_t named = 0;
    for (size_t k = 0; k < w->count; k++)
        named += chosen[k];
    if (act->sentence && says->first != SIZE_MAX && says->first != w->now &&
        !back_refers(act, says)) {
        /* it speaks first of what another thread made; "stir in the gelatine" is into this one */
        chosen[w->now] |= named < 2 && (adds(stage) || joins);
        return says->first;
    }
    if (says->any_other && act->sentence && !here && !back_refers(act, says) && !adds(stage) &&
        !joins && act->group != BK_MIX && act->group != BK_POUR)
        return says->first != SIZE_MAX ? says->first : w->now;
    chosen[w->now] = true;
    bool goes_on = w->taken->stages[now->last].step == stage->step &&
                   !(act->group == BK_POUR && elides_object(stage));
    if (!says->any_other && joins && !says->same_vessel && !(here && !says->unknown) &&
        (!(now->meanwhile && goes_on) || says->unknown)) {
        size_t other = latest_other(w, w->now);
        if (other != SIZE_MAX)
            chosen[other] = true;
    } else if (!says->any_other && act->sentence && now->meanwhile && says->first != w->now &&
               !goes_on && !adds(stage) && !back_refers(act, says)) {
        if (now->beside != SIZE_MAX && w->threads[now->beside].open)
            chosen[now->beside] = true;
    }
    return w->now;
}

/* Begins a thread beside the stage before, which goes on by itself. What it takes of that
 * stage's thread was there before that stage began. */
static size_t begin_beside(weave *w, size_t i, const speech *says, bool *chosen)
{
    bk_taken_stage *stage = &w->taken->stages[i];
    const thread *now = &w->threads[w->now];
    const bk_taken_stage *going_on = &w->taken->stages[now->last];
    bool takes = going_on->act.passive && (says->of[w->now] || says->same_vessel);
    size_t mine = new_thread(w, true);
    stage->act.meanwhile = true;
    for (size_t a = 0; a < going_on->after_count && takes && mine != w->now; a++)
        put_after(stage, going_on->after[a]);
    for (size_t k = 0; k < w->count; k++)
        chosen[k] = says->of[k] && k != w->now && k != mine; /* it goes on with these */
    return mine;
}

/* The label of a stage: of its sentence, else of its section where that begins. Gives false
 * where there is none that names a part. */
typedef struct label {
    const bk_token *t;
    size_t from, end;
} label;

static bool label_of(const weave *w, size_t i, label *found)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    *found = (label){stage->tokens, stage->act.label_from, stage->act.label_end};
    if (found->end == found->from && heading_of(w, i) && (i == 0 || !same_heading(w, i - 1, i))) {
        found->from = 0;
        found->t = bk_tokens(w->taken->arena, heading_of(w, i), &found->end);
    }
    if (is_of_no_part(found->t, found->from, found->end) ||
        (found->end > found->from &&
         bk_among(&found->t[found->from], " don't if when where as so do it this you ")))
        return false;
    for (size_t j = found->from; j < found->end; j++)
        if (names_part(&found->t[j]))
            return true;
    return false;
}

/* A label as it is written. */
static const char *label_words(const weave *w, size_t i, const label *of)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    const char *text =
        of->t == stage->tokens ? w->taken->recipe->steps[stage->step].text : heading_of(w, i);
    uint32_t from = of->t[of->from].from;
    return bk_copy(w->taken->arena, text + from, of->t[of->end - 1].to - from);
}

/* The thread that a label speaks of, or SIZE_MAX. */
static size_t thread_of_label(const weave *w, const label *of)
{
    for (size_t k = 0; k < w->count; k++) {
        size_t known = 0, words = 0;
        for (size_t j = of->from; j < of->end; j++) {
            words += names_part(&of->t[j]);
            known += names_part(&of->t[j]) && is_called(&w->threads[k], of->t[j].word);
        }
        if (w->threads[k].open && w->threads[k].last != SIZE_MAX && known > 0 && 2 * known > words)
            return k; /* "bread team" is not "bean team" */
    }
    return SIZE_MAX;
}

static void close_joined(weave *w, bk_taken_stage *stage, const bool *chosen, size_t mine)
{
    thread *into = &w->threads[mine];
    for (size_t k = 0; k < w->count; k++) {
        thread *one = &w->threads[k];
        if (!chosen[k] || !one->open || one->last == SIZE_MAX)
            continue;
        put_after(stage, one->last);
        into->made_of = bk_mask_or(into->made_of, one->made_of);
        into->may_be |= one->may_be;
        into->is |= one->is;
        for (size_t n = 0; n < one->name_count && k != mine && into->name_count < MOST_NAMES; n++)
            into->names[into->name_count++] = one->names[n];
        for (size_t n = 0; n < one->told_count && k != mine; n++)
            keep_told(w, into, one->told[n]);
        into->meanwhile = into->meanwhile && k == mine;
        one->open = k == mine;
    }
}

/* The roast rests: what is made of the juices in its tin goes on beside that. */
static bool rests_from_the_oven(const bk_taken *taken, const thread *now)
{
    const bk_taken_stage *last = &taken->stages[now->last];
    if (last->act.group != BK_REST || last->after_count != 1)
        return false;
    const bk_taken_stage *before = &taken->stages[last->after[0]];
    if (!before->act.passive && before->after_count == 1)
        before = &taken->stages[before->after[0]]; /* lifted onto a board */
    return before->act.group == BK_BAKE;
}

/* "Wash the jars", "put two saucers in the freezer": what is made ready beside the dish. */
static bool readies_tools(const weave *w, size_t i)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    if (bk_mask_any(w->found[i].all) || !stage->act.sentence)
        return false;
    for (size_t j = stage->act.from + 1; j < stage->act.end && j < stage->act.from + 6; j++)
        if (bk_among(&stage->tokens[j], " jars saucer saucers bottles plate plates "))
            return bk_stage_does(stage,
                                 " wash heat warm put place chill freeze scald boil bake rinse ");
    return false;
}

static void tie(weave *w, size_t i)
{
    bk_taken *taken = w->taken;
    bk_taken_stage *stage = &taken->stages[i];
    bool chosen[MOST_THREADS] = {false};
    speech heard = listen(w, i);
    label called = {NULL, 0, 0};
    bool labelled = label_of(w, i, &called);
    size_t mine, of_label = labelled ? thread_of_label(w, &called) : SIZE_MAX;
    bool beside = stage->act.meanwhile || (i > 0 && taken->stages[i - 1].act.beside_next) ||
                  (i > 0 && heard.same_vessel && rests_from_the_oven(taken, &w->threads[w->now]));
    bool is_beside = i > 0 && w->threads[w->now].meanwhile && (heard.back || heard.of[w->now]);
    const thread *now = &w->threads[w->now];
    bool tools = i > 0 && !beside && readies_tools(w, i);
    if (i > 0 && beside && now->tools && now->beside != SIZE_MAX && w->threads[now->beside].open)
        w->now = now->beside, beside = false; /* beside the jars the dish goes on */
    if (i == 0) {
        mine = new_thread(w, false);
    } else if (tools) {
        mine = new_thread(w, false);
        w->threads[mine].tools = mine != w->now;
        if (w->threads[w->now].tools)
            w->threads[mine].beside = w->threads[w->now].beside;
    } else if (of_label != SIZE_MAX) {
        mine = of_label;
        for (size_t k = 0; k < w->count; k++)
            chosen[k] = k == mine || heard.of[k];
    } else if (beside && !is_beside) {
        mine = begin_beside(w, i, &heard, chosen);
    } else if (labelled && !heard.any_other && !heard.of[w->now]) {
        mine = new_thread(w, false);
    } else if (labelled || starts_apart(w, i, &heard)) {
        mine = new_thread(w, false);
        for (size_t k = 0; k < mine && mine != w->now; k++)
            chosen[k] = heard.of[k];
    } else {
        mine = go_on(w, i, &heard, chosen);
        chosen[mine] = true;
    }
    stage->tool = tools;
    if (labelled && of_label == SIZE_MAX)
        stage->part = label_words(w, i, &called);
    if (labelled)
        name_thread(w, &w->threads[mine], called.t, called.from, called.end);
    close_joined(w, stage, chosen, mine);
    thread *into = &w->threads[mine];
    into->last = i;
    for (size_t k = 0; k < taken->recipe->ingredient_count; k++)
        if (bk_mask_has(&w->found[i].all, k) &&
            (w->all[k].staple || thread_of_food(w, k) == SIZE_MAX))
            bk_mask_set(&into->made_of, k); /* what another thread has is lent to this one */
    for (size_t j = w->found[i].from; j < w->found[i].end; j++)
        if ((stage->act.group == BK_POUR || stage->act.where & (BK_IN_TIN | BK_IN_OVEN)) &&
            vessel_word(&stage->tokens[j]))
            into->vessel = vessel_word(&stage->tokens[j]);
    for (size_t j = w->found[i].from; j < w->found[i].end; j++) {
        char stem[24];
        bk_stem(stage->tokens[j].word, stem, sizeof stem);
        if (j != stage->act.verb_at && tells_apart(&stage->tokens[j]))
            keep_told(w, into, stem);
    }
    into->may_be |= bk_products_of_deed(stage->act.verb ? stage->act.verb->word : "");
    for (size_t k = 0; k < taken->recipe->ingredient_count; k++)
        if (bk_mask_has(&w->found[i].all, k))
            into->may_be |= w->all[k].makes;
    if (tools)
        into->vessel = "jar";
    w->used = bk_mask_or(w->used, w->found[i].all);
    w->now = mine;
    bk_mark_at_once(taken, stage, i);
}

/* What is in a tin stays in it until it is turned out. */
static void carry_tins(bk_taken *taken)
{
    for (size_t i = 0; i < taken->count; i++) {
        bk_taken_stage *stage = &taken->stages[i];
        stage->tin_here = (stage->act.where & BK_IN_TIN) != 0;
        bool moves =
            (stage->act.where & (BK_ON_HOB | BK_IN_MIXER | BK_IN_BLENDER | BK_IN_MACHINE)) != 0 ||
            stage->act.group == BK_STRAIN || stage->act.group == BK_MIX;
        for (size_t a = 0; a < stage->after_count && !moves; a++) {
            const bk_taken_stage *before = &taken->stages[stage->after[a]];
            stage->tin_here |= before->tin_here && !before->act.out_of_tin &&
                               !(stage->act.out_of_tin && stage->act.passive);
        }
    }
}

void bk_threads_tie(bk_taken *taken)
{
    bk_food *all = BK_NEW(taken->arena, bk_food, taken->recipe->ingredient_count + 1);
    weave w = {.taken = taken, .found = bk_mentions_find(taken, all), .all = all};
    for (size_t i = 0; i < taken->count; i++)
        tie(&w, i);
    carry_tins(taken);
}
