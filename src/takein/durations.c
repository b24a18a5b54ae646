/* How long an act takes where its words tell more than one time, or tell it by the piece: both
 * sides of a steak, batches, folds every half hour, the last ten minutes. */
#include "takein/reading.h"

#include <string.h>

/* "in two goes, 8 min a go", "5 minutes a batch, three batches": as often as that. */
size_t bk_read_in_batches(const bk_token *t, size_t at, size_t behind, size_t end, bk_spell *spell)
{
    enum { FAR = 14, MOST = 6 };
    static const char times[] = " goes go batches batch lots lot rounds round turns loads ";
    size_t unit = behind + (behind < end && bk_is(&t[behind], "for"));
    bool each = unit < end && bk_among(&t[unit], " each apiece ") &&
                (unit + 1 >= end || !bk_among(&t[unit + 1], " side sides way time "));
    if (!each && (unit + 1 >= end || !bk_among(&t[unit], " a per each every ") ||
                  !bk_among(&t[unit + 1], times)))
        return behind;
    size_t from = at > FAR ? at - FAR : 0, to = unit + FAR < end ? unit + FAR : end;
    for (size_t i = from; i + 1 < to; i++) {
        int64_t n =
            t[i].kind == BK_TOKEN_NUMBER ? t[i].millionths / 1000000 : bk_number_word(&t[i]);
        bool several = bk_among(&t[i + 1], " goes batches lots rounds turns loads ");
        if ((i < at || i > unit) && several && n > 1 && n <= MOST) {
            spell->least *= n, spell->most *= n;
            spell->times = n;
            return unit + (each ? 1 : 2);
        }
    }
    return each ? behind : unit + 2;
}

int64_t bk_times_over(const bk_token *t, size_t from, size_t end)
{
    for (size_t i = from; i < end; i++) {
        if (bk_among(&t[i], " once twice "))
            return bk_is(&t[i], "once") ? 1 : 2;
        int64_t n =
            t[i].kind == BK_TOKEN_NUMBER ? t[i].millionths / 1000000 : bk_number_word(&t[i]);
        size_t more = i + 1 + (i + 1 < end && bk_among(&t[i + 1], " more "));
        if (n > 0 && n <= 10 && more < end && bk_among(&t[more], " times x "))
            return n;
    }
    return 0;
}

/* How many pieces the words part it into: "into 4", "12 balls"; 0: they don't say. */
static int64_t pieces_in(const bk_token *t, size_t from, size_t end)
{
    enum { MOST = 24, FAR = 3 };
    for (size_t i = from; i < end; i++) {
        int64_t n = t[i].kind == BK_TOKEN_NUMBER && t[i].millionths % 1000000 == 0
                        ? t[i].millionths / 1000000
                        : bk_number_word(&t[i]);
        if (n < 2 || n > MOST)
            continue;
        bool into = i > from && bk_is(&t[i - 1], "into") &&
                    (i + 1 >= end || bk_among(&t[i + 1], " and , . ; "));
        for (size_t k = i + 1; k < end && k <= i + FAR && !into; k++)
            into = bk_among(&t[k], " balls ball pieces portions rounds discs disks circles sheets "
                                   "trays pancakes parts squares strips triangles wedges ");
        if (into)
            return n;
    }
    return 0;
}

/* "Cook one at a time, 2 minutes each side": as often as there are pieces. */
static void count_pieces(const bk_reading *r, bk_act *act)
{
    enum { BACK = 4, MOST = 90 * 60 };
    const bk_taken *taken = r->taken;
    const bk_token *t = r->t;
    bool single =
        bk_act_has_pair(act, t, " one ", " by ") && bk_act_has_pair(act, t, " by ", " one ");
    for (size_t i = act->from; i + 3 < act->end && !single; i++)
        single = bk_among(&t[i], " one ") &&
                 (bk_is(&t[i + 1], "at") ||
                  (bk_is(&t[i + 2], "at") && bk_among(&t[i + 1], " sheet tray piece ")));
    int64_t n = single ? pieces_in(t, act->from, act->end) : 0;
    for (size_t b = 1; b <= BACK && b <= taken->count && single && n == 0; b++) {
        const bk_taken_stage *stage = &taken->stages[taken->count - b];
        n = pieces_in(stage->tokens, stage->act.from, stage->act.end);
    }
    if (n < 2 || act->spell.times > 0 || act->spell.most > MOST / n)
        return;
    act->spell.least *= n;
    act->spell.most *= n;
    act->spell.times = n;
}

enum { LONGEST_INTERVAL = 24 * 3600 };

/* "Fold it every half hour, 4 times in all": two hours. */
static bk_spell find_intervals(const bk_act *act, const bk_token *t)
{
    bk_spell spell = {0};
    int64_t n = bk_times_over(t, act->from, act->end);
    for (size_t i = act->from; i + 1 < act->end && n > 1; i++) {
        if (!bk_is(&t[i], "every") || bk_spell_read(t, i + 1, act->end, &spell) == i + 1 ||
            spell.most > LONGEST_INTERVAL)
            continue;
        spell.least *= n;
        spell.most *= n;
        spell.times = n;
        return spell;
    }
    return (bk_spell){0};
}

/* "About half an hour before the stew is ready, rub ...": that is when, not how long. */
static bk_spell find_own_spell(const bk_act *act, const bk_token *t, size_t lead)
{
    bk_spell spell = bk_spell_find(t, lead, act->end);
    for (size_t i = lead; i < act->from && spell.found; i++)
        if (t[i].from >= spell.to &&
            (bk_among(&t[i], " before left ") || (bk_is(&t[i], "to") && bk_is(&t[i + 1], "go"))))
            return bk_spell_find(t, act->from, act->end);
    return spell;
}

/* "4 minutes on the first side and 3 on the other": both. */
static void add_other_side(bk_act *act, const bk_token *t)
{
    bool one = false;
    for (size_t i = act->from; i + 1 < act->end && act->spell.found; i++) {
        if (t[i].from < act->spell.to)
            continue;
        one |= bk_among(&t[i], " first one skin presentation ") && bk_is(&t[i + 1], "side");
        bk_spell more = one ? bk_spell_find(t, i, act->end) : (bk_spell){0};
        bool other = bk_act_has_pair(&(bk_act){.from = i, .end = act->end}, t, " the ",
                                     " other second flesh ");
        if (!one || !other)
            continue;
        if (!more.found)
            for (size_t k = i + 2; k < act->end && !more.found; k++)
                if (bk_among(&t[k], " and then , "))
                    more = bk_spell_guess(t, k, act->end);
        if (more.found) {
            act->spell.least += more.least;
            act->spell.most += more.most;
        }
        return;
    }
}

void bk_time_act(const bk_reading *r, bk_act *act, size_t lead)
{
    const bk_token *t = r->t;
    act->spell = find_own_spell(act, t, lead);
    if (act->spell.by_weight) {
        act->rate = act->spell;
        act->spell = (bk_spell){0};
    }
    if (!act->spell.found)
        act->spell = find_intervals(act, t);
    add_other_side(act, t);
    for (size_t i = act->from + 3; i < act->end && !act->spell.found; i++)
        if (bk_among(&t[i - 1], " last final ") && bk_is(&t[i - 2], "the") &&
            bk_is(&t[i - 3], "for") && act->verb &&
            (act->verb->group == BK_HEAT || act->verb->group == BK_BAKE ||
             act->verb->group == BK_SIMMER))
            (void)bk_spell_read(t, i, act->end, &act->spell); /* "roast them for the last hour" */
    if (act->spell.found)
        count_pieces(r, act);
}

/* "Add the parsnips for the final 40 minutes": what goes on beside them goes on with them. */
void bk_go_in_for_the_last(const bk_reading *r, bk_act *act)
{
    const bk_taken *taken = r->taken;
    const bk_token *t = r->t;
    if (taken->count == 0 || !bk_among(&t[act->from], " add throw put tuck scatter "))
        return;
    size_t at = taken->count - 1;
    while (at > 0 && at + 3 > taken->count && taken->stages[at].step == r->step &&
           !taken->stages[at].act.passive)
        at--; /* "chop the leeks while it simmers and add them for the last half hour" */
    const bk_act *last = &taken->stages[at].act;
    if (!last->passive || (last->group != BK_BAKE && last->group != BK_SIMMER))
        return;
    for (size_t i = act->from + 2; i < act->end && !act->spell.found; i++)
        if (bk_among(&t[i - 1], " last final ") && bk_among(&t[i - 2], " the "))
            (void)bk_spell_read(t, i, act->end, &act->spell);
    if (!act->spell.found)
        return;
    act->verb = last->verb;
    act->group = last->group;
    act->where |= last->where;
}
