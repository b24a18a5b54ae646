/* What comes after what. A thread is what is made of one lot of ingredients: a stage goes on
 * with the thread whose ingredients or product it names; one that names only new ingredients,
 * or stands under a heading of its own, begins a thread; and threads join where their
 * bk_products are named together. */
#include "takein/speech.h"

#include <string.h>
#include <strings.h>

/* ------------------------------------------------------------------- weaving */

static size_t new_thread(bk_weave *w, bool meanwhile)
{
    size_t beside = w->count > 0 ? w->now : SIZE_MAX;
    if (w->count == BK_MOST_THREADS)
        return w->now;
    w->threads[w->count] =
        (bk_thread){.open = true, .last = SIZE_MAX, .meanwhile = meanwhile, .beside = beside};
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

static size_t latest_other(const bk_weave *w, size_t but)
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
static bool puts_together(const bk_weave *w, size_t i)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    bool last = stage->step + 1 == w->taken->recipe->step_count;
    const char *word = stage->act.verb ? stage->act.verb->word : "";
    return (last && !stage->act.passive &&
            bk_among(&(bk_token){.word = word},
                     " pile top fill layer sandwich arrange assemble decorate drape spoon lay ")) ||
           (i + 1 == w->taken->count && !stage->act.passive && stage->act.group == BK_POUR);
}

/* Did its last stage bake? */
static bool is_of_oven(const bk_weave *w, size_t k)
{
    return w->threads[k].last != SIZE_MAX &&
           w->taken->stages[w->threads[k].last].act.group == BK_BAKE;
}

/* Chooses the threads that a stage goes on from; gives the one that it belongs to. */
static size_t go_on(bk_weave *w, size_t i, const bk_speech *says, bool *chosen)
{
    bk_taken_stage *stage = &w->taken->stages[i];
    const bk_act *act = &stage->act;
    const bk_thread *now = &w->threads[w->now];
    bool all = says->everything || puts_together(w, i);
    for (size_t k = 0; k < w->count; k++)
        chosen[k] = (says->of[k] || all) && w->threads[k].open && w->threads[k].last != SIZE_MAX;
    bool here = says->of[w->now], joins = bk_joins_something(w, stage, says->fresh);
    size_t named = 0;
    for (size_t k = 0; k < w->count; k++)
        named += chosen[k];
    if (act->sentence && says->first != SIZE_MAX && says->first != w->now &&
        !bk_back_refers(act, says)) {
        /* it speaks first of what another bk_thread made; "stir in the gelatine" is into this one
         */
        chosen[w->now] |= named < 2 && (bk_adds(stage) || joins);
        return says->first;
    }
    if (says->any_other && act->sentence && !here && !bk_back_refers(act, says) &&
        !bk_adds(stage) && !joins && act->group != BK_MIX && act->group != BK_POUR)
        return says->first != SIZE_MAX ? says->first : w->now;
    chosen[w->now] = true;
    bool in_alone = false; /* "tip in the sugar": into what it was warmed beside */
    for (size_t j = stage->act.verb_at + 1; j < act->end && j <= stage->act.verb_at + 1; j++)
        in_alone =
            bk_is(&stage->tokens[j], "in") && bk_stage_does(stage, " tip add stir pour beat fold ");
    if (in_alone && bk_mask_any(bk_mask_and(w->found[i].all, now->made_of)) && now->meanwhile &&
        now->beside != SIZE_MAX && !says->any_other && w->threads[now->beside].open &&
        w->taken->stages[now->last].step != stage->step)
        chosen[now->beside] = true;
    bool out_of_oven = act->hot_work;
    for (size_t j = act->from; j + 1 < act->end && act->at_once; j++)
        out_of_oven |= bk_among(&stage->tokens[j], " come comes are is ") &&
                       bk_is(&stage->tokens[j + 1], "out");
    if (out_of_oven && now->meanwhile && now->beside != SIZE_MAX && w->threads[now->beside].open &&
        is_of_oven(w, now->beside) && !is_of_oven(w, w->now))
        chosen[now->beside] = true; /* "brush it over while they are hot" */
    if (now->whipped && !says->any_other && now->beside != SIZE_MAX &&
        w->threads[now->beside].open && bk_stage_has(stage, " fold ") &&
        !bk_stage_has(stage, " cream ") && !bk_mask_any(says->fresh))
        chosen[now->beside] = true; /* "fold them in" */
    bool goes_on = w->taken->stages[now->last].step == stage->step &&
                   !(act->group == BK_POUR && bk_elides_object(stage));
    if (!says->any_other && joins && !says->same_vessel && !(here && !says->unknown) &&
        (!(now->meanwhile && goes_on) || says->unknown)) {
        size_t other = latest_other(w, w->now);
        if (other != SIZE_MAX)
            chosen[other] = true;
    } else if (!says->any_other && act->sentence && now->meanwhile && says->first != w->now &&
               !goes_on && !bk_adds(stage) && !bk_back_refers(act, says)) {
        if (now->beside != SIZE_MAX && w->threads[now->beside].open)
            chosen[now->beside] = true;
    }
    return w->now;
}

/* Does the stage go on by itself, and may the deed be called so: "while the fruit cooks"? */
static bool is_that(const bk_taken_stage *one, const bk_verb *deed)
{
    bool cooks = bk_among(&(bk_token){.word = deed->word}, " cook boil ") &&
                 bk_stage_does(one, " simmer boil stew braise poach cook ");
    return one->act.passive && (one->act.verb == deed || cooks);
}

/* "While it rests, put the tin over a flame", said when something else was done since: the last
 * stage of a thread whose deed the words name; else `last`. */
static const bk_taken_stage *that_goes_on_elsewhere(const bk_weave *w, const bk_taken_stage *stage,
                                                    const bk_taken_stage *last)
{
    const bk_token *t = stage->tokens;
    size_t from = stage->act.from;
    if (!bk_among(&t[from], " while whilst ") || !bk_among(&t[from + 1], " it they that "))
        return last;
    const bk_verb *deed = bk_verb_of_form(t[from + 2].word);
    for (size_t k = 0; k < w->count && deed && !is_that(last, deed); k++)
        if (w->threads[k].open && w->threads[k].last != SIZE_MAX &&
            is_that(&w->taken->stages[w->threads[k].last], deed))
            return &w->taken->stages[w->threads[k].last];
    return last;
}

/* "While the fish is poaching", said when it stands already: the stage whose deed the words name;
 * and where one bakes on at another heat, the first of that baking. */
static const bk_taken_stage *that_goes_on(const bk_weave *w, const bk_taken_stage *stage,
                                          const bk_taken_stage *last)
{
    const bk_token *t = stage->tokens;
    const bk_taken_stage *found = last;
    for (size_t i = stage->act.from; i + 1 < stage->act.end; i++) {
        if (!bk_among(&t[i], " while whilst "))
            continue;
        for (size_t j = i + 1; j < i + 7 && j < stage->act.end && !bk_is(&t[j], ","); j++) {
            const bk_verb *deed = bk_verb_of_form(t[j].word);
            const bk_taken_stage *one = last;
            while (deed && !is_that(one, deed) && one->after_count == 1)
                one = &w->taken->stages[one->after[0]];
            if (deed && is_that(one, deed))
                found = one;
        }
    }
    found = found == last ? that_goes_on_elsewhere(w, stage, last) : found;
    while (found->act.group == BK_BAKE && found->act.passive && found->after_count == 1 &&
           w->taken->stages[found->after[0]].act.group == BK_BAKE &&
           w->taken->stages[found->after[0]].act.passive)
        found = &w->taken->stages[found->after[0]];
    return found;
}

/* Begins a thread beside the stage before, which goes on by itself. What it takes of that
 * stage's thread was there before that stage began. */
static size_t begin_beside(bk_weave *w, size_t i, const bk_speech *says, bool *chosen)
{
    bk_taken_stage *stage = &w->taken->stages[i];
    const bk_thread *now = &w->threads[w->now];
    const bk_taken_stage *going_on = that_goes_on(w, stage, &w->taken->stages[now->last]);
    bool takes = going_on->act.passive && (says->of[w->now] || says->same_vessel);
    size_t mine = new_thread(w, true);
    for (size_t k = 0; k < mine && mine != w->now; k++)
        if (w->threads[k].open && w->threads[k].last != SIZE_MAX &&
            &w->taken->stages[w->threads[k].last] == going_on)
            w->threads[mine].beside = k;
    stage->act.meanwhile = true;
    for (size_t a = 0; a < going_on->after_count && takes && mine != w->now; a++)
        put_after(stage, going_on->after[a]);
    for (size_t k = 0; k < w->count; k++)
        chosen[k] = says->of[k] && k != w->now && k != mine; /* it goes on with these */
    return mine;
}

static void close_joined(bk_weave *w, bk_taken_stage *stage, const bool *chosen, size_t mine)
{
    bk_thread *into = &w->threads[mine];
    for (size_t k = 0; k < w->count; k++) {
        bk_thread *one = &w->threads[k];
        if (!chosen[k] || !one->open || one->last == SIZE_MAX)
            continue;
        put_after(stage, one->last);
        into->made_of = bk_mask_or(into->made_of, one->made_of);
        into->may_be |= one->may_be;
        into->is |= one->is;
        for (size_t n = 0; n < one->name_count && k != mine && into->name_count < BK_MOST_NAMES;
             n++)
            into->names[into->name_count++] = one->names[n];
        for (size_t n = 0; n < one->told_count && k != mine; n++)
            bk_keep_told(w, into, one->told[n]);
        into->meanwhile = into->meanwhile && k == mine;
        one->open = k == mine;
        if (k != mine && into->beside == k)
            into->beside = one->beside; /* beside what that was made beside */
    }
}

/* The roast rests: what is made of the juices in its tin goes on beside that. */
static bool rests_from_the_oven(const bk_taken *taken, const bk_thread *now)
{
    const bk_taken_stage *last = &taken->stages[now->last];
    if (last->act.group != BK_REST || last->after_count != 1)
        return false;
    const bk_taken_stage *before = &taken->stages[last->after[0]];
    if (!before->act.passive && before->after_count == 1)
        before = &taken->stages[before->after[0]]; /* lifted onto a board */
    return before->act.group == BK_BAKE;
}

/* "Lift the chicken out and let it cool. Strain the stock.": what it was cooked in goes on beside
 * its resting. */
static bool goes_on_without_it(const bk_taken *taken, const bk_thread *now,
                               const bk_taken_stage *stage)
{
    enum { FAR = 4 };
    const bk_taken_stage *last = &taken->stages[now->last];
    if (!last->act.passive || last->act.group != BK_REST || last->after_count != 1 ||
        !stage->act.sentence ||
        !bk_among(&last->tokens[last->act.from], " lift remove take scoop fish then transfer "))
        return false;
    if (taken->stages[last->after[0]].act.group != BK_SIMMER)
        return false;
    for (size_t i = stage->act.verb_at + 1; i < stage->act.end && i < stage->act.verb_at + FAR; i++)
        if (bk_is(&stage->tokens[i - 1], "the") &&
            bk_among(&stage->tokens[i],
                     " stock liquid liquor broth juices sauce cooking poaching "))
            return true;
    return false;
}

/* "Wash the jars", "put two saucers in the freezer": what is made ready beside the dish. */
static bool readies_tools(const bk_weave *w, size_t i)
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

/* "Spoon off the fat, stir the flour into the onions": what lies in the tin is no longer the roast,
 * which rests beside it. */
static void forget_the_roast(const bk_weave *w, size_t i, bk_speech *heard)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    size_t k = i > 0 ? w->threads[w->now].beside : SIZE_MAX;
    if (k == SIZE_MAX || heard->done || !w->threads[w->now].meanwhile || !w->threads[k].open ||
        w->threads[k].last == SIZE_MAX || w->taken->stages[i - 1].step != stage->step ||
        !rests_from_the_oven(w->taken, &w->threads[k]) || stage->act.group == BK_PREP)
        return;
    bool fat = bk_stage_has(stage, " fat juices drippings "); /* that in the tin, nobody else's */
    for (size_t other = 0; other < w->count; other++)
        if (other == k || (fat && other != w->now))
            heard->of[other] = heard->made[other] = false;
    heard->first = heard->first != SIZE_MAX && !heard->of[heard->first] ? SIZE_MAX : heard->first;
    heard->any_other = heard->unknown = false;
    for (size_t other = 0; other < w->count; other++)
        heard->any_other |= heard->of[other] && other != w->now;
}

/* "Brush over the tart as soon as it comes out": behind what bakes, where nothing else led there.
 */
static void take_from_the_oven(const bk_weave *w, size_t i, bool *chosen)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    bool out = false;
    for (size_t j = stage->act.from; j + 1 < stage->act.end && stage->act.at_once; j++)
        out |= bk_among(&stage->tokens[j], " come comes coming are is ") &&
               bk_is(&stage->tokens[j + 1], "out");
    size_t last = SIZE_MAX;
    for (size_t k = 0; k < w->count && out; k++) {
        if (!w->threads[k].open || !is_of_oven(w, k))
            continue;
        out = !chosen[k];
        if (last == SIZE_MAX || w->threads[k].last > w->threads[last].last)
            last = k;
    }
    if (out && last != SIZE_MAX)
        chosen[last] = true;
}

/* "Whisk the whites": behind the stage that parted the eggs. */
static void follow_the_eggs(const bk_weave *w, size_t i)
{
    bk_taken_stage *stage = &w->taken->stages[i];
    bool parts = false;
    for (size_t j = w->found[i].from; j < w->found[i].end; j++)
        parts |= bk_among(&stage->tokens[j], " whites yolks ");
    for (size_t k = i; parts && k-- > 0;)
        if (bk_stage_does(&w->taken->stages[k], " separate part ") &&
            bk_stage_has(&w->taken->stages[k], " egg eggs ")) {
            put_after(stage, k);
            return;
        }
}

static void tie(bk_weave *w, size_t i)
{
    bk_taken *taken = w->taken;
    bk_taken_stage *stage = &taken->stages[i];
    bool chosen[BK_MOST_THREADS] = {false};
    bk_speech heard = bk_listen(w, i);
    forget_the_roast(w, i, &heard);
    /* "when the pork is done, lift it out": it is not left in */
    stage->act.at_once |=
        heard.done && bk_stage_is_hot(&taken->stages[w->threads[heard.first].last]);
    bk_label called = {NULL, 0, 0};
    bool labelled = bk_label_of(w, i, &called);
    /* "Meanwhile line a tray. Shape the dough ...": that is no act beside the dough's rising */
    bool goes_on =
        heard.back || heard.of[w->now] || (bk_elides_object(stage) && !bk_mask_any(heard.fresh));
    if (stage->act.lent && goes_on)
        stage->act.meanwhile = false;
    size_t mine, of_label = labelled ? bk_thread_of_label(w, &called) : SIZE_MAX;
    bool without = i > 0 && goes_on_without_it(taken, &w->threads[w->now], stage);
    heard.same_vessel |= without;
    bool beside = stage->act.meanwhile || (i > 0 && taken->stages[i - 1].act.beside_next) ||
                  without ||
                  (i > 0 && heard.same_vessel && rests_from_the_oven(taken, &w->threads[w->now]));
    bool is_beside = i > 0 && w->threads[w->now].meanwhile && (heard.back || heard.of[w->now]);
    const bk_thread *now = &w->threads[w->now];
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
    } else if (labelled || bk_starts_apart(w, i, &heard)) {
        bool whips = !labelled && bk_whips_apart(w, stage, &heard);
        mine = new_thread(w, false);
        w->threads[mine].whipped = whips && mine != w->now;
        for (size_t k = 0; k < mine && mine != w->now; k++)
            chosen[k] = labelled ? heard.made[k] : heard.of[k] && !whips;
    } else {
        mine = go_on(w, i, &heard, chosen);
        chosen[mine] = true;
    }
    stage->tool = tools || (w->threads[mine].tools && !heard.any_other && i > 0 &&
                            !bk_mask_any(w->found[i].all) && w->threads[mine].last + 1 == i);
    if (labelled && of_label == SIZE_MAX)
        stage->part = bk_label_words(w, i, &called);
    if (labelled)
        bk_name_thread(w, &w->threads[mine], called.t, called.from, called.end);
    take_from_the_oven(w, i, chosen);
    follow_the_eggs(w, i);
    close_joined(w, stage, chosen, mine);
    bk_thread *into = &w->threads[mine];
    into->last = i;
    for (size_t k = 0; k < taken->recipe->ingredient_count; k++)
        if (bk_mask_has(&w->found[i].all, k) &&
            (w->all[k].staple || bk_thread_of_food(w, k) == SIZE_MAX))
            bk_mask_set(&into->made_of, k); /* what another thread has is lent to this one */
    for (size_t j = w->found[i].from; j < w->found[i].end; j++)
        if ((stage->act.group == BK_POUR || stage->act.where & (BK_IN_TIN | BK_IN_OVEN)) &&
            bk_vessel_word(&stage->tokens[j]))
            into->vessel = bk_vessel_word(&stage->tokens[j]);
    for (size_t j = w->found[i].from; j < w->found[i].end; j++) {
        char stem[24];
        bk_stem(stage->tokens[j].word, stem, sizeof stem);
        /* "set the pork tin over the heat" speaks of the tin */
        bool of_vessel = j + 1 < w->found[i].end &&
                         bk_among(&stage->tokens[j + 1], " tin pan tray dish juices ");
        if (j != stage->act.verb_at && !of_vessel && bk_tells_apart(&stage->tokens[j]))
            bk_keep_told(w, into, stem);
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

/* "Peel and grate the ginger": what the second does it to is what the first does it to. */
static void share_objects(bk_weave *w)
{
    for (size_t i = w->taken->count; i-- > 1;) {
        const bk_taken_stage *stage = &w->taken->stages[i - 1], *next = stage + 1;
        bool bare = stage->act.sentence && stage->act.verb_at == stage->act.from &&
                    stage->act.end <= stage->act.from + 2 && !next->act.sentence &&
                    bk_is(&stage->tokens[stage->act.from + 1], "and") &&
                    next->step == stage->step && next->act.from <= stage->act.from + 2;
        if (bare && !bk_mask_any(w->found[i - 1].all)) {
            w->found[i - 1].all = w->found[i].all;
            w->found[i - 1].strong = w->found[i].strong;
            w->found[i - 1].first = w->found[i].first;
        }
    }
}

void bk_threads_tie(bk_taken *taken)
{
    bk_food *all = BK_NEW(taken->arena, bk_food, taken->recipe->ingredient_count + 1);
    bk_weave w = {.taken = taken, .found = bk_mentions_find(taken, all), .all = all};
    taken->raised = bk_is_raised_at_once(taken);
    share_objects(&w);
    for (size_t i = 0; i < taken->count; i++) {
        tie(&w, i);
        memcpy(taken->stages[i].mentions, w.found[i].all.bits, sizeof w.found[i].all.bits);
    }
    carry_tins(taken);
}
