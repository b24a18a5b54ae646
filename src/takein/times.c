/* Times as recipes write them: "12 to 15 minutes", "an hour and a half", "overnight". */
#include "takein/parts.h"

#include <inttypes.h>
#include <string.h>

enum { SECOND = 1, MINUTE = 60, HOUR = 3600, DAY = 24 * HOUR };

/* Of any unit: more is no time that anybody waits, and might not fit into 64 bits as seconds. */
static const int64_t MOST_MILLIONTHS = (int64_t)100000 * 1000000;

static const struct {
    const char *word;
    int value;
} number_words[] = {{"one", 1},       {"two", 2},       {"three", 3},   {"four", 4},
                    {"five", 5},      {"six", 6},       {"seven", 7},   {"eight", 8},
                    {"nine", 9},      {"ten", 10},      {"eleven", 11}, {"twelve", 12},
                    {"fifteen", 15},  {"twenty", 20},   {"thirty", 30}, {"forty", 40},
                    {"fifty", 50},    {"sixty", 60},    {"ninety", 90}, {"eighteen", 18},
                    {"thirteen", 13}, {"fourteen", 14}, {"sixteen", 16}};

int64_t bk_number_word(const bk_token *token)
{
    for (size_t i = 0; i < sizeof number_words / sizeof *number_words; i++)
        if (bk_is(token, number_words[i].word))
            return number_words[i].value;
    return 0;
}

/* Seconds of a unit, or 0. `glued`: directly behind its number, so that one letter does. */
static int64_t unit_of(const bk_token *token, bool glued)
{
    if (bk_among(token, " min mins minute minutes minuets mn ") ||
        (glued && bk_among(token, " m ' ")))
        return MINUTE;
    if (bk_among(token, " h hr hrs hour hours hour's "))
        return HOUR;
    if (bk_among(token, " sec secs second seconds ") || (glued && bk_is(token, "s")))
        return SECOND;
    if (bk_among(token, " day days ") || (glued && bk_is(token, "d")))
        return DAY;
    if (bk_is(token, "fortnight"))
        return 14 * DAY;
    if (bk_among(token, " month months "))
        return 30 * DAY;
    return bk_among(token, " week weeks wk wks ") ? 7 * DAY : 0;
}

/* "-and-a-half" */
static size_t skip_and_a_half(const bk_token *t, size_t at, size_t end, int64_t *millionths)
{
    bool there = at + 5 < end && bk_is(&t[at], "-") && bk_is(&t[at + 1], "and") &&
                 bk_is(&t[at + 2], "-") && bk_is(&t[at + 3], "a") && bk_is(&t[at + 4], "-") &&
                 bk_is(&t[at + 5], "half");
    *millionths += there ? 500000 : 0;
    return there ? at + 6 : at;
}

/* "one and three-quarter hours" */
static size_t skip_three_quarters(const bk_token *t, size_t at, size_t end, int64_t *millionths)
{
    size_t i = at;
    if (i + 3 >= end || !bk_is(&t[i], "and") || !bk_is(&t[i + 1], "three"))
        return at;
    i += 2 + bk_is(&t[i + 2], "-");
    if (i + 1 >= end || !bk_among(&t[i], " quarter quarters ") || unit_of(&t[i + 1], false) == 0)
        return at;
    *millionths += 750000;
    return i + 1;
}

/* "1:30 hours", "0:45 h": sixtieths behind the colon. */
static size_t read_colon(const bk_token *t, size_t at, size_t end, int64_t *millionths)
{
    const int64_t one = 1000000, sixty = 60;
    if (at + 3 >= end || t[at].kind != BK_TOKEN_NUMBER || t[at].millionths % one != 0 ||
        !bk_is(&t[at + 1], ":") || t[at + 1].spaced || t[at + 2].kind != BK_TOKEN_NUMBER ||
        t[at + 2].spaced || t[at + 2].to - t[at + 2].from != 2 ||
        t[at + 2].millionths >= sixty * one ||
        (unit_of(&t[at + 3], !t[at + 3].spaced) != HOUR &&
         unit_of(&t[at + 3], !t[at + 3].spaced) != MINUTE))
        return at;
    *millionths = t[at].millionths + (t[at + 2].millionths + sixty - 1) / sixty;
    return at + 3;
}

/* "a hundred and twenty" */
static size_t read_hundred(const bk_token *t, size_t at, size_t end, int64_t *millionths)
{
    const int64_t one = 1000000, hundred = 100;
    int64_t count = bk_among(&t[at], " a an ") ? 1 : bk_number_word(&t[at]);
    if (count < 1 || count > 9 || at + 1 >= end || !bk_is(&t[at + 1], "hundred"))
        return at;
    size_t i = at + 2, more = i + (i < end && bk_is(&t[i], "and"));
    int64_t rest = more < end ? bk_number_word(&t[more]) : 0;
    *millionths = (count * hundred + rest) * one;
    return rest > 0 ? more + 1 : i;
}

/* An amount without its unit, in millionths: "2", "two", "2 and a half", "a", "half an",
 * "three quarters of an", "a couple of", "twenty-five". */
static size_t read_amount(const bk_token *t, size_t at, size_t end, int64_t *millionths)
{
    const int64_t one = 1000000;
    size_t i = at;
    if (i >= end)
        return at;
    if (bk_is(&t[i], "a") && i + 2 < end && bk_is(&t[i + 1], "couple") && bk_is(&t[i + 2], "of")) {
        *millionths = 2 * one;
        return i + 3;
    }
    if (bk_is(&t[i], "a") && i + 1 < end && bk_is(&t[i + 1], "couple")) {
        *millionths = 2 * one;
        return i + 2;
    }
    if ((bk_is(&t[i], "a") && i + 1 < end && bk_among(&t[i + 1], " half quarter ")) ||
        bk_is(&t[i], "half") || bk_is(&t[i], "quarter")) {
        i += bk_is(&t[i], "a");
        *millionths = bk_is(&t[i], "half") ? one / 2 : one / 4;
        i++;
        i += i < end && bk_is(&t[i], "of");
        i += i < end && bk_is(&t[i], "-");
        return i + (i < end && bk_among(&t[i], " a an "));
    }
    if (bk_is(&t[i], "three") && i + 1 < end) {
        size_t q = i + 1 + bk_is(&t[i + 1], "-");
        if (q < end && bk_among(&t[q], " quarters quarter ")) {
            *millionths = one * 3 / 4;
            q += q + 1 < end && bk_is(&t[q + 1], "of") ? 2u : 1u;
            return q + (q < end && bk_among(&t[q], " a an "));
        }
    }
    size_t behind_colon = read_colon(t, i, end, millionths);
    if (behind_colon > i) {
        i = behind_colon;
    } else if (t[i].kind == BK_TOKEN_NUMBER) {
        *millionths = t[i].millionths;
        i++;
    } else if (read_hundred(t, i, end, millionths) > i) {
        i = read_hundred(t, i, end, millionths);
    } else if (bk_among(&t[i], " a an ") ||
               (bk_is(&t[i], "another") && i + 1 < end && unit_of(&t[i + 1], false) > 0)) {
        *millionths = one;
        i++;
    } else if (bk_number_word(&t[i]) > 0) {
        int64_t value = bk_number_word(&t[i++]);
        size_t unit = i + (i < end && bk_is(&t[i], "-"));
        if (value >= 20 && unit < end && bk_number_word(&t[unit]) > 0 &&
            bk_number_word(&t[unit]) < 10) {
            value += bk_number_word(&t[unit]);
            i = unit + 1;
        }
        *millionths = value * one;
    } else {
        return at;
    }
    if (i > at && i + 1 < end && bk_is(&t[i], "-") && !t[i].spaced && !t[i + 1].spaced &&
        t[i + 1].kind == BK_TOKEN_NUMBER && t[i + 1].millionths < one && *millionths >= one) {
        *millionths += t[i + 1].millionths; /* "1-1/4 hours" */
        i += 2;
    }
    i = skip_three_quarters(t, i, end, millionths);
    i = skip_and_a_half(t, i, end, millionths);
    if (i + 2 < end && bk_is(&t[i], "and") && bk_is(&t[i + 1], "a") &&
        bk_among(&t[i + 2], " half quarter ") && i + 3 < end &&
        (unit_of(&t[i + 3], false) > 0 || bk_among(&t[i + 3], " to or - "))) {
        *millionths += bk_is(&t[i + 2], "half") ? one / 2 : one / 4; /* "... to four hours" */
        i += 3;
    }
    return i;
}

/* One quantity with its units: "1 hour 20 minutes", "1h30", "an hour and a half". */
static size_t read_one(const bk_token *t, size_t at, size_t end, int64_t *seconds, int64_t *unit)
{
    int64_t amount = 0;
    size_t i = read_amount(t, at, end, &amount);
    if (i == at || amount > MOST_MILLIONTHS)
        return at;
    i += i + 1 < end && bk_is(&t[i], "+"); /* "4+ hrs" */
    i += i + 1 < end && bk_among(&t[i], " more further extra good whole full ") &&
         unit_of(&t[i + 1], false) > 0; /* "8 more minutes" */
    i += i + 2 < end && bk_is(&t[i], "or") && bk_is(&t[i + 1], "so") ? 2u
                                                                     : 0u; /* "20 or so minutes" */
    size_t dash = i + (i < end && bk_is(&t[i], "-") && !t[i].spaced);      /* "20-minute" */
    if (dash >= end || (*unit = unit_of(&t[dash], !t[dash].spaced)) == 0)
        return at;
    i = dash + 1;
    i += i + 1 < end && bk_is(&t[i], ".") && !t[i].spaced && !t[i + 1].capital; /* "10 min. more" */
    *seconds = amount * *unit / 1000000;
    if (*unit >= MINUTE && i + 2 < end && bk_is(&t[i], "and") && bk_is(&t[i + 1], "a") &&
        bk_among(&t[i + 2], " half quarter ")) {
        *seconds += *unit / (bk_is(&t[i + 2], "half") ? 2 : 4);
        return i + 3;
    }
    if (*unit < HOUR)
        return i;
    if (i + 2 < end && bk_is(&t[i], "and") && bk_is(&t[i + 1], "three") &&
        bk_among(&t[i + 2], " quarters quarter ")) {
        *seconds += *unit * 3 / 4; /* "an hour and three quarters" */
        return i + 3;
    }
    size_t more = i + (i < end && bk_among(&t[i], " and , "));
    int64_t part = 0;
    size_t behind = read_amount(t, more, end, &part);
    if (behind > more && part <= MOST_MILLIONTHS && !bk_among(&t[more], " a an ")) {
        int64_t small = behind < end ? unit_of(&t[behind], !t[behind].spaced) : 0;
        if (small > 0 && small < *unit) {
            *seconds += part * small / 1000000;
            return behind + 1;
        }
        bool bare =
            behind >= end || bk_among(&t[behind], " . , ; ) in on at until till for or so then ");
        bare |= behind + 2 < end && bk_among(&t[behind], " to or ") &&
                t[behind + 1].kind == BK_TOKEN_NUMBER && unit_of(&t[behind + 2], false) >= HOUR;
        bool minutes = !t[more].spaced || (behind < end && bk_is(&t[behind], "-")) ||
                       (bare && part % (5 * (int64_t)1000000) == 0 &&
                        part < 60 * (int64_t)1000000); /* "1h30", "1 h 30 - 2 h" */
        /* "an hour and ten" */
        bool and_so_many = more > i && bk_is(&t[i], "and") && bare &&
                           part >= 5 * (int64_t)1000000 && part % (5 * (int64_t)1000000) == 0 &&
                           part < 60 * (int64_t)1000000;
        if (small == 0 && *unit == HOUR &&
            ((t[more].kind == BK_TOKEN_NUMBER && minutes && more == i) || and_so_many)) {
            *seconds += part * MINUTE / 1000000;
            return behind;
        }
    }
    return i;
}

static bool is_range_sign(const bk_token *t)
{
    return bk_among(t, " - to or and bis / ");
}

/* "overnight", "all night", "o/n"; the token behind it, or `at`. */
static size_t read_night(const bk_token *t, size_t at, size_t end)
{
    if (at < end && bk_among(&t[at], " overnight overnite "))
        return at + 1;
    if (at + 1 < end && bk_is(&t[at], "all") && bk_is(&t[at + 1], "night"))
        return at + 2;
    if (at + 2 < end && bk_is(&t[at], "over") && bk_among(&t[at + 1], " the one ") &&
        bk_is(&t[at + 2], "night"))
        return at + 3;
    if (at + 2 < end && bk_is(&t[at], "a") && bk_is(&t[at + 1], "night") && bk_is(&t[at + 2], "in"))
        return at + 2; /* "a night in the fridge" */
    size_t next = at + 1 + (at + 1 < end && bk_is(&t[at + 1], "the"));
    if (next + 1 < end && bk_among(&t[at], " till until ") && bk_is(&t[next], "next") &&
        bk_among(&t[next + 1], " day morning "))
        return next + 2; /* "leave till next day" */
    bool noted = at + 2 < end && bk_is(&t[at], "o") && bk_is(&t[at + 1], "/") &&
                 bk_is(&t[at + 2], "n") && !t[at + 1].spaced && !t[at + 2].spaced;
    return noted ? at + 3 : at;
}

static size_t read_overnight(const bk_token *t, size_t at, size_t end, bk_spell *spell)
{
    size_t i = at;
    i += i < end && bk_among(&t[i], " min minimum ");
    i += i < end && bk_is(&t[i], ",");
    i += i < end && bk_among(&t[i], " or to pref even but preferably better ideally - ");
    i += i > at && i < end && bk_is(&t[i], ",");
    i += i < end && bk_among(&t[i], " preferably better ideally pref even up until best - ");
    i += i < end && bk_among(&t[i], " to still , ");
    size_t behind = i > at ? read_night(t, i, end) : i;
    if (behind > i) {
        spell->overnight = true;
        if (spell->most < 12 * HOUR)
            spell->most = 12 * HOUR;
        return behind;
    }
    return at;
}

/* "at least 4 hours and up to 3 days": not how long it may take, but how long it may stay. */
static bool may_stay_so_long(const bk_spell *spell)
{
    enum { MUCH = 2 };
    return spell->least >= HOUR && spell->most > MUCH * spell->least;
}

/* ", or up to 2 days"; ", two hours is better". */
static size_t read_longer(const bk_token *t, size_t at, size_t end, bk_spell *spell)
{
    int64_t longer = 0, unit = 0;
    size_t i = at;
    i += i + 2 < end && bk_is(&t[i], "or") && bk_among(&t[i + 1], " more longer ") &&
                 bk_is(&t[i + 2], ",")
             ? 2u
             : 0u; /* "4 hours or more, up to two days" */
    i += i < end && bk_among(&t[i], " , ( ");
    size_t words = i;
    while (words < end && bk_among(&t[words], " or and for up to as long "))
        words++;
    bool up_to = words > i + 1 && bk_is(&t[words - 1], "to");
    size_t behind = read_one(t, words, end, &longer, &unit);
    bool better =
        behind > words && behind < end && words == i && i > at &&
        (bk_is(&t[behind], "better") || (behind + 1 < end && bk_is(&t[behind + 1], "better")));
    if (behind > words && (up_to || better) && longer > spell->most) {
        spell->most = longer;
        spell->overnight = spell->overnight || (up_to && may_stay_so_long(spell));
        return better ? behind + 2 - bk_is(&t[behind], "better") : behind;
    }
    return at;
}

/* "overnight, or for at least 4 hours" */
static size_t read_shorter(const bk_token *t, size_t at, size_t end, bk_spell *spell)
{
    int64_t least = 0, unit = 0;
    size_t i = at + (at < end && bk_among(&t[at], " , ( "));
    if (i >= end || !bk_is(&t[i], "or"))
        return at;
    i++;
    i += i < end && bk_is(&t[i], "for");
    bool before = i + 2 < end && bk_is(&t[i], "at") && bk_is(&t[i + 1], "least");
    size_t first = before ? i + 2 : i;
    size_t behind = read_one(t, first, end, &least, &unit);
    bool after = false; /* "or for 3 hours at the least" */
    for (size_t k = behind; k < behind + 3 && k < end; k++)
        after |= bk_among(&t[k], " least minimum ");
    if (behind == first || !(before || after) || least >= spell->least)
        return at;
    spell->least = least;
    return behind;
}

/* "12 to 15 minutes": the first amount takes the unit of the second. */
static size_t read_bare_range(const bk_token *t, size_t at, size_t end, bk_spell *spell)
{
    int64_t low = 0, high = 0, unit = 0;
    size_t i = read_amount(t, at, end, &low);
    if (i == at || i >= end || low > MOST_MILLIONTHS || !is_range_sign(&t[i]) ||
        bk_among(&t[at], " a an "))
        return at;
    size_t second = read_one(t, i + 1, end, &high, &unit);
    if (second == i + 1)
        return at;
    spell->least = low * unit / 1000000;
    spell->most = high;
    return spell->least < spell->most ? second : at;
}

size_t bk_spell_read(const bk_token *t, size_t at, size_t end, bk_spell *spell)
{
    *spell = (bk_spell){0};
    if (at >= end)
        return at;
    size_t i = at;
    size_t night = read_night(t, at, end);
    if (night > at) {
        spell->least = 8 * HOUR, spell->most = 12 * HOUR;
        i = night;
        size_t more = i + (i < end && bk_among(&t[i], " ( , : "));
        bk_spell said = {0}; /* "overnight (8 to 14 hours)" */
        size_t behind = more > i ? read_bare_range(t, more, end, &said) : more;
        if (behind > more && said.most >= 4 * HOUR) {
            spell->least = said.least, spell->most = said.most;
            i = behind;
        }
        i = read_shorter(t, i, end, spell);
        i = read_longer(t, i, end, spell);
    } else if ((i = read_bare_range(t, at, end, spell)) == at) {
        int64_t unit = 0, high = 0, unit2 = 0;
        i = read_one(t, at, end, &spell->least, &unit);
        if (i == at)
            return at;
        spell->most = spell->least;
        if (i + 1 < end && is_range_sign(&t[i])) {
            size_t skip = i + 1 + bk_among(&t[i + 1], " up ");
            skip += skip < end && skip > i + 1 && bk_is(&t[skip], "to");
            size_t second = read_one(t, skip, end, &high, &unit2);
            if (second > skip && high > spell->least) {
                spell->most = high;
                spell->overnight = skip > i + 1 && may_stay_so_long(spell);
                i = second;
            }
        }
        if (i + 1 < end && bk_is(&t[i], "or") && bk_number_word(&t[i + 1]) > 1 &&
            bk_number_word(&t[i + 1]) < 5 && spell->least == unit) {
            spell->most = bk_number_word(&t[i + 1]) * unit; /* "a minute or two" */
            i += 2;
        }
        i = read_longer(t, i, end, spell);
        i = read_overnight(t, i, end, spell);
    }
    spell->found = true;
    spell->from = t[at].from;
    spell->to = t[i - 1].to;
    for (size_t back = 1; back <= 3 && back <= at; back++)
        if (bk_is(&t[at - back], "least") || bk_is(&t[at - back], "minimum"))
            spell->at_least = true;
    i = bk_read_in_batches(t, at, i, end, spell);
    size_t side = i + (i < end && bk_among(&t[i], " on per for "));
    if (side + 1 < end && bk_among(&t[side], " each a per either ") &&
        bk_is(&t[side + 1], "side")) {
        spell->least *= 2, spell->most *= 2;
        spell->to = t[side + 1].to;
        i = side + 2;
    } else if (side < end && side > i && bk_is(&t[side], "side")) {
        spell->least *= 2, spell->most *= 2;
        i = side + 1;
    }
    return i;
}

/* "when the crumble has been in for 20 minutes": a moment. */
static bool is_how_long_ago(const bk_token *t, size_t first, size_t at)
{
    enum { BACK = 8 };
    bool been = false;
    for (size_t b = 1; b <= BACK && at >= first + b; b++) {
        const bk_token *before = &t[at - b];
        if (bk_among(before, " , ; . : "))
            return false;
        been |= bk_among(before, " been had has have ");
        if (been && bk_among(before, " when once after if as "))
            return true;
    }
    return false;
}

/* "it will keep warm for", "they may stay there for up to" */
static bool may_stay(const bk_token *t, size_t first, size_t at)
{
    enum { BACK = 6 };
    bool stay = false;
    for (size_t b = 1; b <= BACK && at >= first + b; b++) {
        if (bk_among(&t[at - b], " , ; . : "))
            return false;
        stay |= bk_among(&t[at - b], " stay keep hold ");
        if (stay && bk_among(&t[at - b], " may will can "))
            return true;
    }
    return false;
}

/* A moment or an interval, not how long: "every 10 minutes", "after 20 minutes", "30
 * minutes before serving", "10 minutes per kilo". */
static bool is_no_duration(const bk_token *t, size_t first, size_t at, size_t behind, size_t end)
{
    size_t b = at;
    while (b > first &&
           bk_among(&t[b - 1], " about around approximately roughly the another ca approx ~ "))
        b--;
    if (b > first + 1 && bk_among(&t[b - 1], " last final ") && bk_is(&t[b - 2], "a"))
        return false; /* "give it a final 15 minutes" */
    if (b > first && bk_among(&t[b - 1], " every after last within first final ") &&
        !(b > first + 2 && bk_is(&t[b - 1], "first") && bk_is(&t[b - 2], "the") &&
          bk_is(&t[b - 3], "for")))
        return true; /* but "for the first 15 minutes, then turn down" */
    if (at > first && bk_among(&t[at - 1], " gas mark mk regulo ") && t[at].kind == BK_TOKEN_NUMBER)
        return true; /* "Mark 6 - 30 mins": the next number is the time */
    if (behind + 1 < end && bk_among(&t[behind], " less longer more ") &&
        bk_is(&t[behind + 1], "than"))
        return true; /* "a minute less than it says" */
    if (b > first + 1 && bk_is(&t[b - 1], "than") && behind < end && bk_is(&t[behind], "before"))
        return true; /* "no more than an hour before they are wanted" */
    if (b > first && bk_is(&t[b - 1], "same"))
        return true; /* "in the same 20 minutes" */
    if (b > first + 1 && bk_is(&t[b - 1], "to") && bk_is(&t[b - 2], "up") && behind < end &&
        bk_among(&t[behind], " ahead before beforehand "))
        return true; /* "can be made up to 3 days ahead" */
    if (b > first + 2 && bk_among(&t[b - 1], " for to ") && may_stay(t, first, b - 1))
        return true; /* "they may stay there for up to 20 minutes" */
    if (b > first && bk_among(&t[b - 1], " that this ") &&
        (b < first + 2 || bk_among(&t[b - 2], " in during all within ")))
        return true; /* "in that half hour, mash the butter" */
    if (at > first && bk_among(&t[at], " a another ") && bk_is(&t[at + 1], "second") &&
        !bk_is(&t[at - 1], "for"))
        return true; /* "in a second pan" */
    if (is_how_long_ago(t, first, b))
        return true;
    if (behind + 1 < end && bk_is(&t[behind], "before") && bk_among(&t[behind + 1], " : , - "))
        return true; /* "Two days before:" */
    if (behind < end && bk_among(&t[behind], " bursts intervals blasts times "))
        return true;
    if (behind < end &&
        bk_among(&t[behind], " per ahead old later apart before beforehand between earlier ")) {
        return !(bk_is(&t[behind], "before") || bk_is(&t[behind], "ahead") ||
                 bk_is(&t[behind], "beforehand"));
    }
    return behind + 1 < end && bk_is(&t[behind], "for") && bk_among(&t[behind + 1], " every each ");
}

int64_t bk_unit_grams(const bk_token *token)
{
    return bk_among(token, " g gr gm gram grams ")                 ? 1
           : bk_among(token, " kg kilo kilos kilogram kilograms ") ? 1000
           : bk_among(token, " lb lbs pound pounds ")              ? 454
           : bk_among(token, " oz ounce ounces ")                  ? 28
                                                                   : 0;
}

/* "per kilo", "/lb", "to the pound", "for every 500 g", behind a time: the token behind it, or
 * `at`. */
static size_t read_per_weight(const bk_token *t, size_t at, size_t end, int64_t *grams)
{
    enum { MILLION = 1000000, MOST = 100000 };
    size_t i = at;
    if (i < end && bk_among(&t[i], " per / a "))
        i++;
    else if (i + 1 < end && bk_among(&t[i], " to for ") && bk_among(&t[i + 1], " the each every "))
        i += 2;
    else
        return at;
    int64_t count = MILLION;
    if (i < end && t[i].kind == BK_TOKEN_NUMBER)
        count = t[i++].millionths;
    if (i >= end || count > (int64_t)MOST * MILLION)
        return at;
    int64_t one = bk_unit_grams(&t[i]);
    *grams = count * one / MILLION;
    return *grams > 0 ? i + 1 : at;
}

/* "20 minutes per kilo plus 20 minutes", of which `spell` is the first time and stands before
 * `behind`; false: it is no such thing. */
static bool read_by_weight(const bk_token *t, size_t *behind, size_t end, bk_spell *spell)
{
    size_t i = read_per_weight(t, *behind, end, &spell->per_grams);
    if (i == *behind)
        return false;
    spell->found = false;
    spell->by_weight = true;
    bk_spell plus;
    size_t more = i + (i < end && bk_among(&t[i], " plus + and with , "));
    more += more > i && more < end && bk_among(&t[more], " plus an another ") &&
            t[more + 1].kind == BK_TOKEN_NUMBER;
    size_t over = more > i ? bk_spell_read(t, more, end, &plus) : more;
    if (over > more) {
        spell->plus = plus.least;
        i = over + (over < end && bk_among(&t[over], " over extra more "));
    }
    spell->to = t[i - 1].to;
    *behind = i;
    return true;
}

bk_spell bk_spell_find(const bk_token *t, size_t from, size_t end)
{
    bk_spell spell = {0}, by_weight = {0};
    for (size_t i = from; i < end; i++) {
        size_t behind = bk_spell_read(t, i, end, &spell);
        if (behind == i)
            continue;
        if (read_by_weight(t, &behind, end, &spell)) {
            by_weight = by_weight.by_weight ? by_weight : spell;
            i = behind - 1;
            continue;
        }
        bool few = i > from && bk_among(&t[i - 1], " few ");
        if (!few && !is_no_duration(t, from, i, behind, end) && spell.most < 100 * (int64_t)DAY &&
            spell.most > 0)
            return spell;
        bool dial = i > from && bk_among(&t[i - 1], " gas mark mk regulo ");
        i = dial ? i : behind - 1;
    }
    return by_weight;
}

/* Minutes that are written without their unit: "simmer 10", "rest 8-10, covered". Only a
 * number that nothing but an end of the words stands behind. */
bk_spell bk_spell_guess(const bk_token *t, size_t from, size_t end)
{
    enum { FURTHEST = 7, LONGEST = 90, LEAST_HEAT = 100 };
    for (size_t i = from + 1; i < end && i < from + FURTHEST; i++) {
        if (bk_among(&t[i], " , ; . ( : "))
            break;
        if (t[i].kind != BK_TOKEN_NUMBER)
            continue;
        int64_t least = t[i].millionths / 1000000, most = least;
        size_t behind = i + 1;
        if (behind + 1 < end && bk_among(&t[behind], " - to or ") &&
            t[behind + 1].kind == BK_TOKEN_NUMBER) {
            most = t[behind + 1].millionths / 1000000;
            behind += 2;
        }
        bool ends =
            behind >= end ||
            bk_among(&t[behind], " , ; . ) until till then more without longer so "
                                 "uncovered ") ||
            (behind + 1 < end && bk_is(&t[behind], "at") &&
             t[behind + 1].millionths >= LEAST_HEAT * (int64_t)1000000); /* "for 15 at 220" */
        bool counts = bk_among(&t[i - 1], " at to into in gas mark mk of by all to makes serves ");
        if (!ends || counts || t[i].millionths % 1000000 != 0 || least < 1 || most < least ||
            most > LONGEST)
            return (bk_spell){0};
        return (bk_spell){.found = true,
                          .unit_guessed = true,
                          .least = least * MINUTE,
                          .most = most * MINUTE,
                          .from = t[i].from,
                          .to = t[behind - 1].to};
    }
    return (bk_spell){0};
}

static void add_quantity(bk_text *out, int64_t seconds)
{
    if (seconds < MINUTE) {
        bk_text_addf(out, "%" PRId64 " s", seconds);
        return;
    }
    int64_t minutes = (seconds + MINUTE - 1) / MINUTE, hours = minutes / 60;
    if (seconds < 10 * (int64_t)MINUTE && seconds % MINUTE != 0) {
        bk_text_addf(out, "%" PRId64 " min %" PRId64 " s", seconds / MINUTE, seconds % MINUTE);
        return;
    }
    if (seconds >= 2 * (int64_t)DAY && seconds % DAY == 0)
        bk_text_addf(out, "%" PRId64 " d", seconds / DAY);
    else if (minutes < 120 && minutes % 60 != 0 && minutes < 100 && minutes < 60)
        bk_text_addf(out, "%" PRId64 " min", minutes);
    else if (minutes % 60 == 0)
        bk_text_addf(out, "%" PRId64 " h", hours);
    else if (hours == 0)
        bk_text_addf(out, "%" PRId64 " min", minutes);
    else
        bk_text_addf(out, "%" PRId64 " h %" PRId64 " min", hours, minutes % 60);
}

const char *bk_spell_words(bk_arena *arena, const bk_spell *spell)
{
    bk_text out = bk_text_new(arena);
    int64_t a = spell->least, b = spell->most;
    if (a == b) {
        add_quantity(&out, a);
    } else if (a % HOUR == 0 && b % HOUR == 0) {
        bk_text_addf(&out, "%" PRId64 "-%" PRId64 " h", a / HOUR, b / HOUR);
    } else if (a >= MINUTE && a % MINUTE == 0 && b % MINUTE == 0 && b < HOUR) {
        bk_text_addf(&out, "%" PRId64 "-%" PRId64 " min", a / MINUTE, b / MINUTE);
    } else if (b < MINUTE) {
        bk_text_addf(&out, "%" PRId64 "-%" PRId64 " s", a, b);
    } else {
        add_quantity(&out, a);
        bk_text_add(&out, " - ");
        add_quantity(&out, b);
    }
    return out.data;
}

size_t bk_behind_clock(const bk_token *t, size_t count)
{
    enum { DIGITS = 4, HOURS = 24, HOURS_OF_HALF = 12, MINUTES = 60, HUNDRED = 100 };
    if (count < 3 || t[0].kind != BK_TOKEN_NUMBER)
        return 0;
    int64_t whole = t[0].millionths / 1000000;
    size_t at = 0;
    if (bk_is(&t[1], ":") && !t[1].spaced && t[2].kind == BK_TOKEN_NUMBER && !t[2].spaced &&
        t[2].to - t[2].from == 2 && whole < HOURS && t[2].millionths < MINUTES * (int64_t)1000000)
        at = 3;
    else if (t[0].to - t[0].from == DIGITS && t[0].millionths % 1000000 == 0 &&
             whole < HOURS * HUNDRED && whole % HUNDRED < MINUTES)
        at = 1;
    bool half = at < count && bk_among(&t[at > 0 ? at : 1], " am pm a.m p.m ");
    if (half && at == 0 && whole >= 1 && whole <= HOURS_OF_HALF)
        at = 1;
    if (at == 0)
        return 0;
    at += half;
    while (at < count && bk_among(&t[at], " : - , "))
        at++;
    return at < count && t[at].kind == BK_TOKEN_WORD && (t[at].capital || half || at > 1) ? at : 0;
}
