/* Words, numbers and signs of a step. */
#include "takein/parts.h"

#include <stdlib.h>
#include <string.h>

/* Fractions that have a character of their own. */
static const struct {
    const char *sign;
    int64_t millionths;
} fractions[] = {{"\xC2\xBC", 250000},     {"\xC2\xBD", 500000},     {"\xC2\xBE", 750000},
                 {"\xE2\x85\x93", 333334}, {"\xE2\x85\x94", 666667}, {"\xE2\x85\x9B", 125000}};

static size_t read_fraction(const char *at, int64_t *millionths)
{
    for (size_t i = 0; (unsigned char)at[0] >= 0xC2 && i < sizeof fractions / sizeof *fractions;
         i++) {
        size_t n = strlen(fractions[i].sign);
        if (strncmp(at, fractions[i].sign, n) == 0) {
            *millionths = fractions[i].millionths;
            return n;
        }
    }
    /* "1/2", also with the fraction slash */
    size_t slash = 0;
    if (at[0] >= '1' && at[0] <= '9')
        slash = at[1] == '/' ? 1 : strncmp(at + 1, "\xE2\x81\x84", 3) == 0 ? 3 : 0;
    const char *below = at + 1 + slash;
    if (slash > 0 && *below >= '2' && *below <= '8' && at[0] < *below && at[0] < '4' &&
        !(below[1] >= '0' && below[1] <= '9')) {
        *millionths = ((int64_t)(at[0] - '0') * 1000000 + (*below - '1')) / (*below - '0');
        return 2 + slash;
    }
    return 0;
}

/* A number beyond a million stands for one: times a month in seconds it still is an integer. */
static const int64_t most_millionths = INT64_C(1000000000000);

/* "12", "1.5", "1½", "1 1/2", "1/2"; the bytes read, or 0. */
static size_t read_number(const char *at, int64_t *millionths)
{
    int64_t part = 0;
    size_t n = read_fraction(at, &part);
    if (n > 0) {
        *millionths = part;
        return n;
    }
    int64_t whole = 0;
    for (; at[n] >= '0' && at[n] <= '9'; n++)
        whole = whole < 100000000 ? whole * 10 + (at[n] - '0') : whole;
    if (n == 0)
        return 0;
    *millionths = whole * 1000000;
    bool digit = at[n] != '\0' && at[n + 1] >= '0' && at[n + 1] <= '9';
    if ((at[n] == '.' || at[n] == ',') && digit) {
        int64_t unit = 100000;
        size_t point = n;
        for (n++; at[n] >= '0' && at[n] <= '9'; n++, unit /= 10)
            *millionths += (at[n] - '0') * unit;
        if (at[point] == ',' && n - point == 4) /* "1,200" */
            *millionths = whole * 1000000000 + (*millionths - whole * 1000000) * 1000;
        return n;
    }
    size_t blank = at[n] == ' ' || strncmp(at + n, "\xE2\x81\x84", 3) == 0;
    size_t more = read_fraction(at + n, &part);
    if (more == 0 && blank) {
        more = read_fraction(at + n + 1, &part);
        more += more > 0;
    }
    *millionths += more > 0 ? part : 0;
    return n + more;
}

static bool is_letter(const char *at)
{
    unsigned char c = (unsigned char)*at;
    if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'))
        return true;
    int64_t part;
    return c >= 0xC3 && c <= 0xD4 && read_fraction(at, &part) == 0; /* Latin, Greek, Cyrillic */
}

/* Signs that mean the same as a plain one. */
static size_t read_sign(const char *at, const char **word)
{
    static const struct {
        const char *sign, *word;
    } signs[] = {
        {"\xE2\x80\x90", "-"}, {"\xE2\x80\x91", "-"}, {"\xE2\x80\x92", "-"}, {"\xE2\x80\x93", "-"},
        {"\xE2\x80\x94", "-"}, {"\xE2\x88\x92", "-"}, {"\xC2\xB0", "deg"},   {"\xC2\xBA", "deg"},
        {"\xCB\x9A", "deg"},   {"\xE2\x84\x83", "c"}, {"\xE2\x84\x89", "f"}, {"\xE2\x80\xA2", "*"},
        {"\xC2\xB7", "*"},     {"\xE2\x80\xB2", "'"}, {"\xE2\x80\xA6", "."}, {"\xC3\x97", "x"}};
    if ((unsigned char)at[0] < 0xC2)
        return 0; /* most of a text */
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
        size_t n = strlen(signs[i].sign);
        if (strncmp(at, signs[i].sign, n) == 0) {
            *word = signs[i].word;
            return n;
        }
    }
    return 0;
}

static size_t read_word(bk_arena *arena, const char *at, const char **word)
{
    enum { LONGEST = 40 };
    char small[LONGEST + 1];
    size_t n = 0, length = 0;
    while (at[n] != '\0') {
        size_t step = 1;
        char c = at[n];
        if (is_letter(at + n)) {
            step = bk_utf8_next(at + n, strnlen(at + n, 4), NULL);
            step = step == 0 ? 1 : step;
        } else if ((c == '\'' && is_letter(at + n + 1)) ||
                   (strncmp(at + n, "\xE2\x80\x99", 3) == 0 && is_letter(at + n + 3))) {
            step = c == '\'' ? 1 : 3;
            c = '\'';
        } else {
            break;
        }
        if (length + step <= LONGEST) {
            if (step == 1 || c == '\'') {
                small[length++] = c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
            } else {
                memcpy(small + length, at + n, step);
                length += step;
            }
        }
        n += step;
    }
    *word = bk_copy(arena, small, length);
    return n;
}

bk_token *bk_tokens(bk_arena *arena, const char *text, size_t *count)
{
    bk_token *tokens = NULL;
    size_t n = 0, room = 0, at = 0;
    bool spaced = false;
    while (text[at] != '\0') {
        if (text[at] == ' ' || text[at] == '\n') {
            spaced = true;
            at++;
            continue;
        }
        bk_token token = {.from = (uint32_t)at, .spaced = spaced, .word = ""};
        spaced = false;
        size_t step = read_number(text + at, &token.millionths);
        if (token.millionths > most_millionths)
            token.millionths = most_millionths;
        const char *fixed = NULL;
        if (step > 0) {
            token.kind = BK_TOKEN_NUMBER;
        } else if (is_letter(text + at) && read_sign(text + at, &fixed) == 0) {
            token.kind = BK_TOKEN_WORD;
            token.capital = text[at] >= 'A' && text[at] <= 'Z';
            step = read_word(arena, text + at, &token.word);
        } else {
            token.kind = BK_TOKEN_SIGN;
            step = read_sign(text + at, &token.word);
            if (step == 0) {
                step = bk_utf8_next(text + at, strnlen(text + at, 4), NULL);
                step = step == 0 ? 1 : step;
                token.word = bk_copy(arena, text + at, step);
            }
        }
        at += step;
        token.to = (uint32_t)at;
        *BK_PUSH(arena, tokens, n, room) = token;
    }
    *count = n;
    *BK_PUSH(arena, tokens, n, room) =
        (bk_token){.kind = BK_TOKEN_END, .from = (uint32_t)at, .to = (uint32_t)at, .word = ""};
    return tokens;
}

bool bk_is(const bk_token *token, const char *word)
{
    return token->word[0] == word[0] && strcmp(token->word, word) == 0;
}

bool bk_among(const bk_token *token, const char *words)
{
    size_t n = strlen(token->word);
    if (n == 0)
        return false;
    for (const char *at = words; (at = strstr(at, token->word)); at++)
        if (at > words && at[-1] == ' ' && at[n] == ' ')
            return true;
    return false;
}

void bk_stem(const char *word, char *into, size_t room)
{
    size_t n = strlen(word);
    n = n < room ? n : room - 1;
    memcpy(into, word, n);
    into[n] = '\0';
    if (n > 4 && strcmp(into + n - 3, "ies") == 0) {
        into[n - 3] = 'y';
        into[n - 2] = '\0';
    } else if (n > 4 && strcmp(into + n - 3, "ves") == 0) {
        into[n - 3] = 'f';
        into[n - 2] = '\0';
    } else if (n > 4 && (strcmp(into + n - 4, "toes") == 0 || strcmp(into + n - 4, "ches") == 0 ||
                         strcmp(into + n - 4, "shes") == 0 || strcmp(into + n - 4, "sses") == 0)) {
        into[n - 2] = '\0';
    } else if (n > 3 && into[n - 1] == 's' && into[n - 2] != 's' && into[n - 2] != 'u') {
        into[n - 1] = '\0';
    }
}
