/* Durations and ranges of durations: text to whole minutes. */
#include "quantity/quantity.h"

#include <string.h>

static const char *const DURATION_MEND =
    "write a duration such as \"90 min\", \"1 h 30 min\" or \"2 d\"";
static const char *const RANGE_MEND =
    "write a time such as \"20 min\", \"12-15 min\" or \"1 h 30 min - 2 h\"";
static const char *const UNITS_MEND = "the units are d, h, min and s";
static const char *const TOO_LONG = "no duration may be longer than 400 d";

enum { SECONDS_A_DAY = 86400, MOST_DAYS = 400 };
static const int64_t MOST_MICROSECONDS = (int64_t)MOST_DAYS * SECONDS_A_DAY * BK_MILLION;

/* Seconds in the unit of a word, 0 when it is none. The index orders units: days
 * before hours before minutes before seconds. */
static int64_t unit_seconds(const char *word)
{
    static const struct {
        const char *word;
        int64_t seconds;
    } units[] = {{"d", 86400},   {"day", 86400},  {"days", 86400}, {"h", 3600}, {"hr", 3600},
                 {"hrs", 3600},  {"hour", 3600},  {"hours", 3600}, {"min", 60}, {"mins", 60},
                 {"minute", 60}, {"minutes", 60}, {"s", 1},        {"sec", 1},  {"secs", 1},
                 {"second", 1},  {"seconds", 1}};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (strcmp(units[i].word, word) == 0)
            return units[i].seconds;
    return 0;
}

/* Adds number * unit to a total in microseconds; false past the limit. */
static bool add_time(int64_t *total, int64_t millionths, int64_t seconds)
{
    if (millionths > MOST_MICROSECONDS / seconds)
        return false;
    *total += millionths * seconds;
    return *total <= MOST_MICROSECONDS;
}

static int64_t whole_minutes(int64_t microseconds)
{
    const int64_t minute = INT64_C(60) * BK_MILLION;
    return (microseconds + minute - 1) / minute;
}

/* One duration without its unit yet: "12" in "12-15 min". */
typedef struct part {
    int64_t microseconds; /* or millionths of a unit still to come */
    bool bare;            /* a number without a unit */
    int64_t only_unit;    /* the unit when there is a single one, else 0 */
} part;

/* "P1DT2H30M", "PT45M", "P1W"; decimals in the last place only. */
static const char *read_iso(const char *at, part *read, const char **mend)
{
    int64_t last = INT64_MAX;
    bool in_time = false, any = false, fraction = false;
    *mend = "write it as \"PT1H30M\" or \"1 h 30 min\"";
    for (at++;;) {
        if (*at == 'T' && !in_time) {
            in_time = true;
            at++;
            if (*at < '0' || *at > '9')
                return NULL;
        }
        int64_t millionths = 0;
        const char *next = bk_read_millionths(at, &millionths);
        if (!next)
            break;
        int64_t seconds = in_time ? (*next == 'H'   ? 3600
                                     : *next == 'M' ? 60
                                     : *next == 'S' ? 1
                                                    : 0)
                                  : (*next == 'W'   ? 7 * SECONDS_A_DAY
                                     : *next == 'D' ? SECONDS_A_DAY
                                                    : 0);
        if (seconds == 0 || seconds >= last || fraction)
            return NULL;
        if (!add_time(&read->microseconds, millionths, seconds)) {
            *mend = TOO_LONG;
            return NULL;
        }
        fraction = millionths % BK_MILLION != 0;
        last = seconds;
        any = true;
        at = next + 1;
    }
    return any && (*at == '\0' || bk_skip_blanks(at) != at || bk_skip_dash(at)) ? at : NULL;
}

/* Words that cooks write and that leave open what is meant: what to write instead. */
static const char *meant_words(const char *text)
{
    static const struct {
        const char *begins, *mend;
    } words[] = {
        {"overnight", "say how long, such as \"8 h\" or \"8-12 h\""},
        {"at least",
         "write the least here (\"4 h\"), and how much longer it may stand as \"within\" of the "
         "step after it"},
        {"min ", "write the number first: \"20 min\""},
        {"about", "write a range, such as \"1 h 45 min - 2 h 15 min\""},
        {"ca", "write a range, such as \"1 h 45 min - 2 h 15 min\""},
        {"up to", "write a range, such as \"30 min - 2 h\""},
        {"half", "write it in numbers: \"30 min\", \"12 h\""},
        {"a quarter", "write it in numbers: \"15 min\""},
        {"until", "say how long that takes, and what to see as \"look\": \"30-45 min\""},
    };
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strncmp(text, words[i].begins, strlen(words[i].begins)) == 0)
            return words[i].mend;
    const char *at = text;
    while (*at >= '0' && *at <= '9')
        at++;
    if (at > text && *at == ':' && at[1] >= '0' && at[1] <= '9')
        return "write \"1 h 30 min\", or \"1 min 30 s\"";
    return NULL;
}

/* "1 h 30 min", "1h30", "45 s", or a bare "12". */
static const char *read_part(const char *at, part *read, const char **mend)
{
    memset(read, 0, sizeof *read);
    if (*at == 'P')
        return read_iso(at, read, mend);
    int64_t last = INT64_MAX;
    bool fraction = false;
    for (int count = 0;; count++) {
        int64_t millionths = 0;
        const char *next = bk_read_number(at, &millionths);
        if (!next) {
            const char *words = count == 0 ? meant_words(at) : NULL;
            *mend = words ? words : *mend;
            return count > 0 ? at : NULL;
        }
        if (*next == ',' && next[1] >= '0' && next[1] <= '9') {
            *mend = "write decimals with a point: \"1.5 h\"";
            return NULL;
        }
        char word[12];
        next = bk_skip_blanks(next);
        const char *after = bk_read_word(next, word, sizeof word);
        if (!after) {
            *mend = UNITS_MEND;
            return NULL;
        }
        if (fraction)
            return NULL;
        if (word[0] == '\0' || strcmp(word, "to") == 0) {
            if (*next == ':' && meant_words(at))
                *mend = meant_words(at);
            if (count > 0 && last == 3600 && millionths < 60 * INT64_C(1000000) &&
                add_time(&read->microseconds, millionths, 60)) { /* "1h30" */
                read->only_unit = 0;
                return next;
            }
            if (count > 0)
                return NULL;
            read->microseconds = millionths;
            read->bare = true;
            return next;
        }
        int64_t seconds = unit_seconds(word);
        if (seconds == 0) {
            *mend = strcmp(word, "m") == 0 ? "write \"min\" for minutes" : UNITS_MEND;
            return NULL;
        }
        if (seconds >= last) {
            *mend = "write each unit once, the larger first: \"1 h 30 min\"";
            return NULL;
        }
        if (!add_time(&read->microseconds, millionths, seconds)) {
            *mend = TOO_LONG;
            return NULL;
        }
        fraction = millionths % BK_MILLION != 0;
        read->only_unit = count == 0 ? seconds : 0;
        last = seconds;
        at = bk_skip_blanks(after);
    }
}

bool bk_read_duration(const char *text, int64_t *minutes, const char **mend)
{
    *mend = DURATION_MEND;
    part read;
    const char *at = bk_skip_blanks(text);
    if (bk_skip_dash(at)) {
        *mend = "no duration is negative";
        return false;
    }
    at = read_part(at, &read, mend);
    if (!at)
        return false;
    at = bk_skip_blanks(at);
    if (bk_skip_dash(at)) {
        *mend = "write one duration here, not a range";
        return false;
    }
    if (*at != '\0')
        return false;
    if (read.bare) {
        *mend = "add the unit: d, h, min or s";
        return false;
    }
    *minutes = whole_minutes(read.microseconds);
    return true;
}

/* Gives bare numbers the unit of the part behind them: "4-5-8 h". */
static bool share_unit(part *parts, int count, const char **mend)
{
    if (parts[count - 1].bare) {
        *mend = "add the unit: d, h, min or s";
        return false;
    }
    for (int i = count - 2; i >= 0; i--) {
        if (!parts[i].bare)
            continue;
        if (parts[i + 1].only_unit == 0) {
            *mend = "give both ends their units: \"1 h - 1 h 30 min\"";
            return false;
        }
        int64_t number = parts[i].microseconds;
        parts[i].microseconds = 0;
        parts[i].only_unit = parts[i + 1].only_unit;
        if (!add_time(&parts[i].microseconds, number, parts[i].only_unit)) {
            *mend = TOO_LONG;
            return false;
        }
    }
    return true;
}

bool bk_read_range(const char *text, bk_range *range, const char **mend)
{
    part parts[3];
    int count = 0;
    *mend = RANGE_MEND;
    const char *at = bk_skip_blanks(text);
    if (bk_skip_dash(at)) {
        *mend = "no duration is negative";
        return false;
    }
    for (;;) {
        if (count == 3) {
            *mend = "write at most three: least, likely and most";
            return false;
        }
        at = read_part(at, &parts[count], mend);
        if (!at)
            return false;
        count++;
        at = bk_skip_blanks(at);
        if (*at == '\0')
            break;
        at = bk_skip_dash(at);
        if (!at)
            return false;
        at = bk_skip_blanks(at);
    }
    if (!share_unit(parts, count, mend))
        return false;
    for (int i = 1; i < count; i++) {
        if (parts[i].microseconds < parts[i - 1].microseconds) {
            *mend = count == 2 ? "the range is empty: write the shorter time first"
                               : "the range is empty: write least, likely and most in this order";
            return false;
        }
    }
    range->least = whole_minutes(parts[0].microseconds);
    range->most = whole_minutes(parts[count - 1].microseconds);
    range->likely =
        count == 3 ? whole_minutes(parts[1].microseconds) : (range->least + range->most + 1) / 2;
    return true;
}
