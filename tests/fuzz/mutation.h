/* Inputs for a fuzz target, made from given ones: the same seed, the same inputs. */
#ifndef TESTS_FUZZ_MUTATION_H
#define TESTS_FUZZ_MUTATION_H

#include "support/splitmix.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_INPUT = 64 * 1024 };

typedef struct sample {
    uint8_t *bytes;
    size_t length;
} sample;

static inline size_t below(uint64_t *state, size_t limit)
{
    return limit == 0 ? 0 : (size_t)(splitmix64(state) % limit);
}

/* Words of the plan format and of JSON, pasted whole. */
static const char *const mutation_words[] = {"{",
                                             "}",
                                             "[",
                                             "]",
                                             ",",
                                             ":",
                                             "\"",
                                             "\\",
                                             "//",
                                             "/*",
                                             "*/",
                                             "null",
                                             "true",
                                             "false",
                                             "0",
                                             "-1",
                                             "1e99",
                                             "0.5",
                                             "\\u0000",
                                             "\\ud800",
                                             "\\u001b",
                                             "\xff",
                                             "\xc3",
                                             "\xe2\x80\x93",
                                             "\xef\xbb\xbf",
                                             "\"occasion\":",
                                             "\"timezone\":",
                                             "\"serve\":",
                                             "\"margin\":",
                                             "\"plan_on\":",
                                             "\"style\":",
                                             "\"earliest\":",
                                             "\"kitchen\":",
                                             "\"dishes\":",
                                             "\"cooks\":",
                                             "\"asleep\":",
                                             "\"away\":",
                                             "\"busy\":",
                                             "\"equipment\":",
                                             "\"kind\":",
                                             "\"count\":",
                                             "\"shelves\":",
                                             "\"dish\":",
                                             "\"keeps\":",
                                             "\"stored\":",
                                             "\"ingredients\":",
                                             "\"stages\":",
                                             "\"id\":",
                                             "\"do\":",
                                             "\"active\":",
                                             "\"passive\":",
                                             "\"cooling\":",
                                             "\"watch\":",
                                             "\"after\":",
                                             "\"uses\":",
                                             "\"holds\":",
                                             "\"checks\":",
                                             "\"at\":",
                                             "\"takes\":",
                                             "\"give\":",
                                             "\"wait\":",
                                             "\"within\":",
                                             "\"from\":",
                                             "\"until\":",
                                             "\"amount\":",
                                             "\"recipe\":",
                                             "\"recipe\": \"self.json\"",
                                             "\"recipe\": \"recipe.json\"",
                                             "\"recipe\": \"next.json\"",
                                             "\"kitchen\": \"kitchen.json\"",
                                             "\"kitchen\": \"self.json\"",
                                             "\"busy\": [\"work.ics\"]",
                                             "\"self.json\"",
                                             "\"Europe/London\"",
                                             "\"2026-03-29 01:30\"",
                                             "\"2026-10-25 01:30\"",
                                             "\"1980-01-01 00:00\"",
                                             "\"2199-12-31 23:59\"",
                                             "\"22:30-07:00\"",
                                             "\"12-15 min\"",
                                             "\"0 min\"",
                                             "\"400 d\"",
                                             "\"4-5-8 h\"",
                                             "\"PT1H30M\"",
                                             "\"180 C\"",
                                             "\"gas 1/2\"",
                                             "\"160 C fan\"",
                                             "\"shape\": \"round\"",
                                             "\"food\": \"custard\"",
                                             "\"in\": \"fridge\"",
                                             "\"across\": \"20 cm\"",
                                             "\"deep\": \"6 cm\"",
                                             "\"to\": \"6 C\""};

static inline void mutation_replace(sample *in, size_t from, size_t to, const uint8_t *with,
                                    size_t length)
{
    if (in->length - (to - from) + length > MOST_INPUT)
        return;
    memmove(in->bytes + from + length, in->bytes + to, in->length - to);
    memmove(in->bytes + from, with, length);
    in->length = in->length - (to - from) + length;
}

/* The quoted text at or behind `at`, with its quotes: a change that keeps the JSON
 * well-formed gets further into the reader. False when there is none. */
static inline bool quoted_at(const sample *in, size_t at, size_t *from, size_t *to)
{
    while (at < in->length && in->bytes[at] != '"')
        at++;
    *from = at;
    for (at++; at < in->length; at++) {
        if (in->bytes[at] == '"' && in->bytes[at - 1] != '\\') {
            *to = at + 1;
            return true;
        }
    }
    return false;
}

/* One change to an input whose bytes have room for MOST_INPUT. */
static inline void mutate_once(sample *in, const sample *samples, size_t count, uint64_t *state)
{
    static uint8_t piece[4096];
    size_t at = below(state, in->length + 1), left = in->length - at, length = 0;
    switch (below(state, 12)) {
    case 0:
        if (left > 0)
            in->bytes[at] ^= (uint8_t)(1u << below(state, 8));
        break;
    case 1:
        if (left > 0)
            in->bytes[at] = (uint8_t)splitmix64(state);
        break;
    case 2: /* drop a piece */
        length = below(state, left < 64 ? left + 1 : 64);
        mutation_replace(in, at, at + length, piece, 0);
        break;
    case 3: /* double a piece somewhere else */
        length = below(state, left < sizeof piece ? left + 1 : sizeof piece);
        memcpy(piece, in->bytes + at, length);
        at = below(state, in->length + 1);
        mutation_replace(in, at, at, piece, length);
        break;
    case 4:
    case 5: { /* put a word in, sometimes over something */
        const char *word =
            mutation_words[below(state, sizeof mutation_words / sizeof *mutation_words)];
        length = below(state, 2) == 0 ? 0 : below(state, left < 16 ? left + 1 : 16);
        mutation_replace(in, at, at + length, (const uint8_t *)word, strlen(word));
        break;
    }
    case 6: { /* a piece of another input */
        const sample *other = &samples[below(state, count)];
        size_t from = below(state, other->length + 1), rest = other->length - from;
        length = below(state, rest < sizeof piece ? rest + 1 : sizeof piece);
        mutation_replace(in, at, at, other->bytes + from, length);
        break;
    }
    case 7:
    case 8: { /* one quoted text in the place of another */
        size_t from = 0, to = 0, other_from = 0, other_to = 0;
        if (quoted_at(in, at, &from, &to) &&
            quoted_at(in, below(state, in->length + 1), &other_from, &other_to) &&
            other_to - other_from <= sizeof piece) {
            memcpy(piece, in->bytes + other_from, other_to - other_from);
            mutation_replace(in, from, to, piece, other_to - other_from);
        }
        break;
    }
    case 9: { /* a quoted word in the place of a quoted text */
        size_t from = 0, to = 0;
        const char *word =
            mutation_words[below(state, sizeof mutation_words / sizeof *mutation_words)];
        size_t size = strlen(word);
        if (word[0] == '"' && word[size - 1] == '"' && quoted_at(in, at, &from, &to))
            mutation_replace(in, from, to, (const uint8_t *)word, size);
        break;
    }
    default: /* another digit */
        for (size_t i = at; i < in->length && i < at + 100; i++) {
            if (in->bytes[i] >= '0' && in->bytes[i] <= '9') {
                in->bytes[i] = (uint8_t)('0' + below(state, 10));
                break;
            }
        }
    }
}

/* The input of one turn: depends on seed, turn and samples alone. `into->bytes` has
 * room for MOST_INPUT. */
static inline void mutate(sample *into, const sample *samples, size_t count, uint64_t seed,
                          uint64_t turn)
{
    uint64_t state = seed ^ (turn * UINT64_C(0xD1342543DE82EF95));
    const sample *from = &samples[below(&state, count)];
    into->length = from->length < MOST_INPUT ? from->length : MOST_INPUT;
    memcpy(into->bytes, from->bytes, into->length);
    for (size_t changes = 1 + below(&state, 6); changes > 0; changes--)
        mutate_once(into, samples, count, &state);
}

/* Reads a file whole; length 0 and bytes NULL when it cannot be read. */
static inline sample read_sample(const char *path)
{
    sample read = {NULL, 0};
    FILE *file = fopen(path, "rb");
    if (file == NULL)
        return read;
    read.bytes = malloc(MOST_INPUT);
    if (read.bytes != NULL)
        read.length = fread(read.bytes, 1, MOST_INPUT, file);
    fclose(file);
    return read;
}

#endif
