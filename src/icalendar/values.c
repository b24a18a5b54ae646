#include "icalendar/values.h"

#include <string.h>

static int digits(const char **text, int count, bool *good)
{
    int value = 0;
    for (int i = 0; i < count; i++) {
        if (!*good || **text < '0' || **text > '9')
            return *good = false, 0;
        value = 10 * value + (*(*text)++ - '0');
    }
    return value;
}

/* Reads one at *text and moves behind it. */
static bool take_date_time(const char **text, bk_date_time *value)
{
    bool good = true;
    *value = (bk_date_time){.is_date = true};
    value->year = digits(text, 4, &good);
    value->month = digits(text, 2, &good);
    value->day = digits(text, 2, &good);
    if (!good || **text != 'T')
        return good;
    ++*text;
    value->is_date = false;
    value->hour = digits(text, 2, &good);
    value->minute = digits(text, 2, &good);
    value->second = digits(text, 2, &good);
    value->is_utc = good && **text == 'Z';
    *text += value->is_utc;
    return good;
}

bool bk_date_time_read(const char *text, bk_date_time *value)
{
    return take_date_time(&text, value) && *text == '\0';
}

static bool take_stretch(const char **text, bk_stretch *value)
{
    static const char units[] = "WDHMS";
    static const int64_t sizes[] = {7, 1, 3600, 60, 1};
    enum { WEEKS_AND_DAYS = 2, MOST = 100000000 };
    const char *at = *text;
    int64_t sign = *at == '-' ? -1 : 1;
    at += *at == '-' || *at == '+';
    if (*at++ != 'P')
        return false;
    *value = (bk_stretch){0, 0};
    bool time = false, any = false;
    for (size_t next = 0;;) {
        if (*at == 'T' && !time) {
            time = true;
            at++;
            if (*at < '0' || *at > '9')
                return false;
        }
        if (*at < '0' || *at > '9')
            break;
        int64_t number = 0;
        for (; *at >= '0' && *at <= '9'; at++)
            if (number < MOST)
                number = 10 * number + (*at - '0');
        const char *unit = *at == '\0' ? NULL : strchr(units + next, *at);
        size_t index = !unit ? 0 : (size_t)(unit - units);
        if (!unit || number > MOST || time != (index >= WEEKS_AND_DAYS))
            return false;
        if (time)
            value->seconds += sign * number * sizes[index];
        else
            value->days += sign * number * sizes[index];
        next = index + 1;
        any = true;
        at++;
    }
    *text = at;
    return any;
}

bool bk_stretch_read(const char *text, bk_stretch *value)
{
    return take_stretch(&text, value) && *text == '\0';
}

bool bk_period_next(const char **text, bk_period *value)
{
    *value = (bk_period){0};
    if (!take_date_time(text, &value->start))
        return false;
    if (**text == '/') {
        ++*text;
        value->is_period = true;
        value->has_end = **text >= '0' && **text <= '9';
        if (!(value->has_end ? take_date_time(text, &value->end)
                             : take_stretch(text, &value->lasts)))
            return false;
    }
    if (**text == ',') {
        ++*text;
        return **text != '\0';
    }
    return **text == '\0';
}

/* ------------------------------------------------------------ repeat rules */

typedef struct part {
    const char *name;
    size_t list; /* offset of the list in bk_rule */
    int least, most;
    bool negative; /* counts from the end, too */
} part;

static const part parts[] = {
    {"BYSECOND", offsetof(bk_rule, seconds), 0, 60, false},
    {"BYMINUTE", offsetof(bk_rule, minutes), 0, 59, false},
    {"BYHOUR", offsetof(bk_rule, hours), 0, 23, false},
    {"BYMONTHDAY", offsetof(bk_rule, month_days), 1, 31, true},
    {"BYYEARDAY", offsetof(bk_rule, year_days), 1, 366, true},
    {"BYWEEKNO", offsetof(bk_rule, weeks), 1, 53, true},
    {"BYMONTH", offsetof(bk_rule, months), 1, 12, false},
    {"BYSETPOS", offsetof(bk_rule, positions), 1, 366, true},
};

static const char *const weekdays[] = {"MO", "TU", "WE", "TH", "FR", "SA", "SU"};

/* "+3", "-12", "7": up to 9 digits. */
static bool take_number(const char **text, int64_t *number)
{
    enum { MOST_DIGITS = 9 };
    int sign = **text == '-' ? -1 : 1, count = 0;
    *text += **text == '-' || **text == '+';
    for (*number = 0; **text >= '0' && **text <= '9'; ++*text, count++)
        if (count < MOST_DIGITS)
            *number = 10 * *number + (**text - '0');
    *number *= sign;
    return count > 0 && count <= MOST_DIGITS;
}

static bool read_number(const char *text, int64_t least, int64_t *number)
{
    return take_number(&text, number) && *text == '\0' && *number >= least;
}

static bool has(const bk_number_list *list, int number)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->items[i] == number)
            return true;
    return false;
}

static bool read_list(bk_arena *arena, const part *p, const char *text, bk_number_list *list)
{
    for (;; text++) {
        int64_t number, size;
        if (!take_number(&text, &number) || (number < 0 && !p->negative))
            return false;
        size = number < 0 ? -number : number;
        if (size < p->least || size > p->most)
            return false;
        if (!has(list, (int)number))
            *BK_PUSH(arena, list->items, list->count, list->room) = (int)number;
        if (*text != ',')
            return *text == '\0';
    }
}

static int weekday_of(const char *text)
{
    for (int i = 0; i < 7; i++)
        if (strncmp(text, weekdays[i], 2) == 0)
            return i;
    return -1;
}

static bool read_days(bk_arena *arena, const char *text, bk_rule *rule)
{
    enum { MOST_ORDINAL = 53, MOST_DAYS = 7 * (2 * MOST_ORDINAL + 1) };
    for (;; text += 3) {
        int64_t ordinal = 0;
        bool bare = *text >= 'A' && *text <= 'Z';
        if (!bare && (!take_number(&text, &ordinal) || ordinal == 0 || ordinal > MOST_ORDINAL ||
                      ordinal < -MOST_ORDINAL))
            return false;
        int weekday = weekday_of(text);
        if (weekday < 0 || rule->day_count > MOST_DAYS)
            return false;
        *BK_PUSH(arena, rule->days, rule->day_count, rule->day_room) =
            (bk_rule_day){(int)ordinal, weekday};
        if (text[2] != ',')
            return text[2] == '\0';
    }
}

static bool read_frequency(const char *text, enum bk_frequency *frequency)
{
    static const char *const names[] = {"SECONDLY", "MINUTELY", "HOURLY", "DAILY",
                                        "WEEKLY",   "MONTHLY",  "YEARLY"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strcmp(text, names[i]) == 0) {
            *frequency = (enum bk_frequency)i;
            return true;
        }
    return false;
}

static bool read_part(bk_arena *arena, const char *name, const char *value, bk_rule *rule)
{
    int64_t number = 0;
    if (strcmp(name, "FREQ") == 0)
        return read_frequency(value, &rule->frequency);
    if (strcmp(name, "INTERVAL") == 0) {
        bool good = read_number(value, 1, &number);
        rule->interval = (int)number;
        return good;
    }
    if (strcmp(name, "COUNT") == 0)
        return read_number(value, 1, &rule->count);
    if (strcmp(name, "UNTIL") == 0)
        return rule->has_until = bk_date_time_read(value, &rule->until);
    if (strcmp(name, "WKST") == 0) {
        rule->week_start = weekday_of(value);
        return rule->week_start >= 0 && value[2] == '\0';
    }
    if (strcmp(name, "BYDAY") == 0)
        return read_days(arena, value, rule);
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        if (strcmp(name, parts[i].name) == 0)
            return read_list(arena, &parts[i], value,
                             (bk_number_list *)(void *)((char *)rule + parts[i].list));
    /* RFC 7529: the calendar that everybody has, and leaving out what does not exist. */
    return strncmp(name, "X-", 2) == 0 ||
           (strcmp(name, "RSCALE") == 0 && strcmp(value, "GREGORIAN") == 0) ||
           (strcmp(name, "SKIP") == 0 && strcmp(value, "OMIT") == 0);
}

static bool begins(const char *text, const char *name, size_t length)
{
    return strncmp(text, name, length) == 0 && text[length] == '=';
}

bool bk_rule_read(bk_arena *arena, const char *text, bk_rule *rule)
{
    enum { LONGEST_RULE = 10000 }; /* every day of the year by its number is less */
    if (strlen(text) > LONGEST_RULE)
        return false;
    char *whole = bk_copy_string(arena, text);
    for (char *c = whole; *c != '\0'; c++)
        if (*c >= 'a' && *c <= 'z')
            *c = (char)(*c - 'a' + 'A');
    *rule = (bk_rule){.interval = 1};
    bool frequency = false;
    for (char *at = whole; *at != '\0';) {
        size_t length = strcspn(at, ";"), name = strcspn(at, "=;");
        char *next = at + length + (at[length] == ';');
        if (length > 0) {
            if (name >= length)
                return false;
            for (const char *other = next; *other != '\0'; other += other[0] == ';') {
                if (begins(other, at, name))
                    return false; /* said twice */
                other += strcspn(other, ";");
            }
            frequency = frequency || begins("FREQ=", at, name);
            at[length] = '\0';
            if (!read_part(arena, bk_copy(arena, at, name), at + name + 1, rule))
                return false;
        }
        at = next;
    }
    return frequency;
}
