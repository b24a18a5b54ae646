/* What comes after what. Most recipes go on from step to step; a thread of stages that
 * names only new ingredients begins apart, and joins where its product is wanted. */
#include "takein/parts.h"

#include <string.h>

enum { MOST_THREADS = 16, WORDS_OF_INGREDIENT = 8 };

typedef struct mask {
    uint64_t bits[2];
} mask;

static void mask_set(mask *m, size_t i)
{
    m->bits[i / 64] |= (uint64_t)1 << (i % 64);
}

static bool mask_has(const mask *m, size_t i)
{
    return (m->bits[i / 64] >> (i % 64) & 1) != 0;
}

static bool mask_any(const mask *m)
{
    return (m->bits[0] | m->bits[1]) != 0;
}

static mask mask_and(mask a, mask b)
{
    return (mask){{a.bits[0] & b.bits[0], a.bits[1] & b.bits[1]}};
}

static mask mask_without(mask a, mask b)
{
    return (mask){{a.bits[0] & ~b.bits[0], a.bits[1] & ~b.bits[1]}};
}

static void mask_join(mask *a, mask b)
{
    a->bits[0] |= b.bits[0];
    a->bits[1] |= b.bits[1];
}

/* -------------------------------------------------------------- ingredients */

typedef struct ingredient {
    char words[WORDS_OF_INGREDIENT][24]; /* stems; the last is its head: "caster", "sugar" */
    size_t count;
} ingredient;

static bool says_how_much(const bk_token *t)
{
    return t->kind != BK_TOKEN_WORD || strlen(t->word) < 2 ||
           bk_among(t, " g kg mg ml cl dl l litre litres liter oz lb lbs pound pounds cup cups "
                       "tbsp tsp tablespoon "
                       "tablespoons teaspoon teaspoons pint pints stick sticks handful pinch knob "
                       "leaf leaves sprig "
                       "sprigs bunch clove cloves slice slices tin tins can jar packet sachet "
                       "spoon spoonful glass "
                       "large small medium fresh freshly frozen dried ground good whole plus about "
                       "heaped level soft "
                       "cold warm hot ripe big little few some of the an cm inch piece pieces head "
                       "heads stalk "
                       "splash dash drop drops plenty extra fine finely chopped sliced grated "
                       "cooked raw best "
                       "unsalted softened melted ready thick thin more enough and or half spoons "
                       "cupful bag ");
}

static void read_ingredient(bk_arena *arena, const char *line, ingredient *into)
{
    size_t count = 0;
    const bk_token *t = bk_tokens(arena, line, &count);
    bool inside = false;
    into->count = 0;
    for (size_t i = 0; i < count && into->count < WORDS_OF_INGREDIENT; i++) {
        inside = bk_is(&t[i], "(") || (inside && !bk_is(&t[i], ")"));
        if (into->count > 0 &&
            (bk_is(&t[i], ",") || bk_among(&t[i], " for to plus at from cut in or ") ||
             (bk_is(&t[i], "-") && t[i].spaced)))
            break;
        if (!inside && !says_how_much(&t[i]))
            bk_stem(t[i].word, into->words[into->count++], sizeof into->words[0]);
    }
    /* "garlic cloves", "sage leaves": the name is all there is; "cloves" alone is a spice */
    for (size_t i = 0; into->count == 0 && i < count; i++)
        if (t[i].kind == BK_TOKEN_WORD && strlen(t[i].word) > 2 &&
            !bk_among(&t[i], " the of and tbsp tsp "))
            bk_stem(t[i].word, into->words[into->count++], sizeof into->words[0]);
}

static bool has_stem(const ingredient *one, size_t count, const char *stem)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(one->words[i], stem) == 0)
            return true;
    return false;
}

/* Of several ingredients with this head ("caster sugar", "icing sugar") the one whose other
 * word stands before it, else the first that is not used yet. */
static size_t which(const ingredient *all, size_t count, const char *stem, const char *before,
                    const char *before_that, const mask *used)
{
    size_t first = SIZE_MAX, fresh = SIZE_MAX;
    for (size_t i = 0; i < count; i++) {
        size_t words = all[i].count;
        if (words == 0 || strcmp(all[i].words[words - 1], stem) != 0)
            continue;
        if (words > 1 &&
            (has_stem(&all[i], words - 1, before) || has_stem(&all[i], words - 1, before_that)))
            return i;
        first = first == SIZE_MAX ? i : first;
        fresh = fresh == SIZE_MAX && !mask_has(used, i) ? i : fresh;
    }
    return fresh != SIZE_MAX ? fresh : first;
}

static mask mentioned(const bk_taken_stage *stage, const ingredient *all, size_t count,
                      const mask *used)
{
    mask m = {{0, 0}};
    char stem[24], before[24] = "", before_that[24] = "";
    for (size_t i = stage->act.from; i < stage->act.end; i++) {
        const bk_token *t = &stage->tokens[i];
        if (t->kind != BK_TOKEN_WORD) {
            before[0] = '\0';
            continue;
        }
        bk_stem(t->word, stem, sizeof stem);
        size_t found = which(all, count, stem, before, before_that, used);
        bool verb = found != SIZE_MAX && i == stage->act.from && bk_verb_find(t->word);
        if (found != SIZE_MAX && !verb)
            mask_set(&m, found);
        memcpy(before_that, before, sizeof before);
        memcpy(before, stem, sizeof before);
    }
    return m;
}

/* One that no stage names by its head, by another of its words. */
static void find_by_other_words(bk_taken *taken, const ingredient *all, mask *masks)
{
    char stem[24];
    for (size_t k = 0; k < taken->recipe->ingredient_count; k++) {
        bool found = all[k].count < 2;
        for (size_t i = 0; i < taken->count && !found; i++)
            found = mask_has(&masks[i], k);
        for (size_t i = 0; i < taken->count && !found; i++) {
            const bk_act *act = &taken->stages[i].act;
            for (size_t j = act->from; j < act->end && !found; j++) {
                bk_stem(taken->stages[i].tokens[j].word, stem, sizeof stem);
                if (strlen(stem) > 3 && has_stem(&all[k], all[k].count - 1, stem)) {
                    mask_set(&masks[i], k);
                    found = true;
                }
            }
        }
    }
}

/* "Dough: 250 g flour, 2 tbsp oil. Knead it ...": told before a step whose words don't name it. */
static void find_by_step(bk_taken *taken, mask *masks)
{
    for (size_t k = 0; k < taken->recipe->ingredient_count; k++) {
        size_t step = taken->recipe->ingredient_step[k], first = SIZE_MAX;
        bool found = step == SIZE_MAX;
        for (size_t i = taken->count; i-- > 0;) {
            found |= mask_has(&masks[i], k);
            first = taken->stages[i].step >= step ? i : first;
        }
        if (!found && first != SIZE_MAX)
            mask_set(&masks[first], k);
    }
}

static mask *find_mentions(bk_taken *taken, ingredient *all)
{
    size_t count = taken->recipe->ingredient_count;
    mask *masks = BK_NEW(taken->arena, mask, taken->count);
    mask used = {{0, 0}};
    for (size_t k = 0; k < count; k++)
        read_ingredient(taken->arena, taken->recipe->ingredients[k], &all[k]);
    for (size_t i = 0; i < taken->count; i++) {
        masks[i] = mentioned(&taken->stages[i], all, count, &used);
        mask_join(&used, masks[i]);
    }
    find_by_other_words(taken, all, masks);
    find_by_step(taken, masks);
    for (size_t k = 0; k < count; k++) {
        taken->ingredient_stage[k] = SIZE_MAX;
        for (size_t i = taken->count; i-- > 0;)
            if (mask_has(&masks[i], k))
                taken->ingredient_stage[k] = i;
    }
    return masks;
}

/* ------------------------------------------------------------------ threads */

typedef struct thread {
    size_t last;
    mask made_of;
    bool open;
    bool meanwhile;
    size_t beside; /* thread that goes on at the same time, or SIZE_MAX */
} thread;

typedef struct weave {
    bk_taken *taken;
    const mask *masks;
    const ingredient *all;
    thread threads[MOST_THREADS];
    size_t count, now; /* `now`: the thread of the stage before */
    mask used;
} weave;

static bool same_heading(const bk_taken *taken, size_t a, size_t b)
{
    const char *one = taken->recipe->steps[taken->stages[a].step].heading;
    const char *other = taken->recipe->steps[taken->stages[b].step].heading;
    return one == other || (one && other && strcmp(one, other) == 0);
}

static bool is_vessel(const bk_token *t)
{
    return bk_among(
        t, " bowl pan saucepan pot mixer oven fridge freezer tin tins dish processor blender heat "
           "hob jug "
           "basin tray sheet moulds ramekins top base sides same frying large small clean roasting "
           "baking cake pie back middle centre cold jar jars glasses water boil room side other "
           "dark warm bottom rest lid loaf muffin wire ");
}

/* Is the word one of these ingredients? */
static bool names(const weave *w, const bk_token *t, const mask *which_ones)
{
    char stem[24];
    bk_stem(t->word, stem, sizeof stem);
    for (size_t k = 0; k < w->taken->recipe->ingredient_count && stem[0] != '\0'; k++)
        if (mask_has(which_ones, k) && has_stem(&w->all[k], w->all[k].count, stem))
            return true;
    return false;
}

/* "into the purée", "over the sponge": something made before, and not the vessel nor what
 * is named for the first time. */
static bool joins_something(const weave *w, const bk_taken_stage *stage, const mask *fresh)
{
    const bk_token *t = stage->tokens;
    for (size_t i = stage->act.from; i + 2 < stage->act.end; i++) {
        bool into = bk_among(&t[i], " into onto over through ") ||
                    (bk_among(&t[i], " with to ") && bk_is(&t[i + 1], "the"));
        if (into && bk_among(&t[i + 1], " the them it this ") && !is_vessel(&t[i + 2]) &&
            !(bk_is(&t[i + 1], "the") &&
              (names(w, &t[i + 2], fresh) || names(w, &t[i + 3], fresh))))
            return true;
    }
    return false;
}

static bool adds(const bk_taken_stage *stage)
{
    const bk_token *t = stage->tokens;
    for (size_t i = stage->act.from; i + 1 < stage->act.end; i++) {
        if (bk_among(&t[i], " add fold return top assemble combine fill layer decorate spread "))
            return true;
        if (bk_among(&t[i], " stir beat whisk mix rub work pour tip ") &&
            bk_among(&t[i + 1], " in into on onto over "))
            return true;
    }
    return false;
}

/* Is what it names first new? */
static bool names_first(const weave *w, const bk_taken_stage *stage, const mask *fresh,
                        const mask *old)
{
    for (size_t i = stage->act.from; i < stage->act.end; i++) {
        if (names(w, &stage->tokens[i], fresh))
            return true;
        if (names(w, &stage->tokens[i], old))
            return false;
    }
    return false;
}

/* What goes into many parts of a dish, so that its name says nothing of what was made. */
static bool all_staples(const weave *w, const mask *m)
{
    for (size_t k = 0; k < w->taken->recipe->ingredient_count; k++) {
        const ingredient *one = &w->all[k];
        if (mask_has(m, k) && one->count > 0 &&
            !bk_among(&(bk_token){.word = one->words[one->count - 1]},
                      " sugar butter milk water salt flour oil egg cream pepper stock lemon "
                      "vanilla wine honey cinnamon "))
            return false;
    }
    return true;
}

/* Begins something apart: names new ingredients only, and nothing that was made. */
static bool starts_apart(const weave *w, size_t i, mask fresh, mask old)
{
    const bk_taken_stage *stage = &w->taken->stages[i];
    const bk_act *act = &stage->act;
    if (!act->sentence || !mask_any(&fresh) || act->back_refers ||
        (mask_any(&old) && !(names_first(w, stage, &fresh, &old) && all_staples(w, &old))))
        return false;
    const char *word = act->verb ? act->verb->word : "";
    bool kind = act->group == BK_HEAT || act->group == BK_MIX || act->group == BK_MACHINE ||
                act->group == BK_SIMMER || (act->group == BK_REST && strcmp(word, "soak") == 0) ||
                (act->group == BK_COLD && strcmp(word, "freeze") == 0);
    return kind && !adds(stage) && !joins_something(w, stage, &fresh);
}

static size_t new_thread(weave *w, bool meanwhile)
{
    size_t beside = w->count > 0 ? w->now : SIZE_MAX;
    if (w->count == MOST_THREADS)
        return w->now;
    w->threads[w->count] =
        (thread){.open = true, .last = SIZE_MAX, .meanwhile = meanwhile, .beside = beside};
    return w->count++;
}

/* Puts thread `other` into thread `into`, of which the next stage comes after both. */
static void join(weave *w, bk_taken_stage *stage, size_t other)
{
    thread *t = &w->threads[other];
    if (t->open && t->last != SIZE_MAX && stage->after_count < 8)
        stage->after[stage->after_count++] = t->last;
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

/* Chooses the threads that a stage goes on from; gives the one that it belongs to. */
static size_t go_on(weave *w, size_t i, mask fresh, mask old, bool *chosen)
{
    bk_taken_stage *stage = &w->taken->stages[i];
    const bk_act *act = &stage->act;
    size_t others = 0, last_other = SIZE_MAX;
    for (size_t k = 0; k < w->count; k++) {
        mask shared = mask_and(w->threads[k].made_of, old);
        if (k != w->now && w->threads[k].open && mask_any(&shared)) {
            chosen[k] = true;
            others++;
            last_other = k;
        }
    }
    mask here = mask_and(w->threads[w->now].made_of, old);
    bool joins = joins_something(w, stage, &fresh);
    bool stays = !act->sentence || act->back_refers || mask_any(&here) || adds(stage) || joins;
    if (others > 0 && !stays && act->group != BK_MIX && act->group != BK_POUR)
        return last_other;
    chosen[w->now] = true;
    size_t before = w->threads[w->now].last;
    bool goes_on = w->taken->stages[before].step == stage->step && mask_any(&fresh);
    if (others == 0 && joins) {
        size_t other = latest_other(w, w->now);
        if (other != SIZE_MAX)
            chosen[other] = true;
    } else if (others == 0 && act->sentence && w->threads[w->now].meanwhile && !mask_any(&here) &&
               !goes_on) {
        size_t beside = w->threads[w->now].beside;
        if (beside != SIZE_MAX && w->threads[beside].open)
            chosen[beside] = true;
    }
    return w->now;
}

static bool is_hot(const bk_taken_stage *stage)
{
    return (stage->act.where & (BK_ON_HOB | BK_IN_OVEN)) != 0;
}

/* Which of the links is the one that won't wait. */
static void mark_at_once(const bk_taken *taken, bk_taken_stage *stage, size_t i)
{
    const char *word = stage->act.verb ? stage->act.verb->word : "";
    for (size_t a = 0; a < stage->after_count; a++) {
        const bk_taken_stage *before = &taken->stages[stage->after[a]];
        const char *made = before->act.verb ? before->act.verb->word : "";
        bool airy =
            strcmp(word, "fold") == 0 && bk_among(&(bk_token){.word = made}, " whisk whip ");
        stage->within[a] = airy && stage->after[a] + 1 == i;
    }
    if (!stage->act.at_once || stage->after_count == 0)
        return;
    size_t best = 0;
    for (size_t a = 1; a < stage->after_count; a++) {
        const bk_taken_stage *before = &taken->stages[stage->after[a]],
                             *than = &taken->stages[stage->after[best]];
        bool later = stage->after[a] > stage->after[best];
        if (stage->act.hot_target && is_hot(before) && is_hot(than)
                ? !later /* "over the hot crust": what was made apart */
            : is_hot(before) != is_hot(than) ? is_hot(before)
                                             : later)
            best = a;
    }
    stage->within[best] = true;
}

static void tie(weave *w, size_t i)
{
    bk_taken *taken = w->taken;
    bk_taken_stage *stage = &taken->stages[i];
    mask fresh = mask_without(w->masks[i], w->used), old = mask_and(w->masks[i], w->used);
    bool chosen[MOST_THREADS] = {false};
    bool section = i > 0 && !same_heading(taken, i - 1, i);
    size_t mine;
    if (i == 0) {
        mine = new_thread(w, false);
    } else if (stage->act.meanwhile ||
               ((section || stage->act.apart) && mask_any(&fresh) && !mask_any(&old)) ||
               starts_apart(w, i, fresh, old)) {
        mine = new_thread(w, stage->act.meanwhile);
    } else {
        mine = go_on(w, i, fresh, old, chosen);
        chosen[mine] = true;
    }
    for (size_t k = 0; k < w->count; k++) {
        if (chosen[k]) {
            join(w, stage, k);
            mask_join(&w->threads[mine].made_of, w->threads[k].made_of);
            w->threads[mine].meanwhile = w->threads[mine].meanwhile && k == mine;
            w->threads[k].open = k == mine;
        }
    }
    w->threads[mine].last = i;
    mask_join(&w->threads[mine].made_of, w->masks[i]);
    mask_join(&w->used, w->masks[i]);
    w->now = mine;
    mark_at_once(taken, stage, i);
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
    ingredient *all = BK_NEW(taken->arena, ingredient, taken->recipe->ingredient_count + 1);
    weave w = {.taken = taken, .masks = find_mentions(taken, all), .all = all};
    for (size_t i = 0; i < taken->count; i++)
        tie(&w, i);
    carry_tins(taken);
}
