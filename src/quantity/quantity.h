/* Quantities as a cook writes them: durations and ranges, temperatures, lengths; and
 * the numbers and words inside them.
 */
#ifndef BK_QUANTITY_H
#define BK_QUANTITY_H

#include "base/base.h"

/* Minutes, least <= likely <= most, all >= 0. */
typedef struct bk_range {
    int64_t least, likely, most;
} bk_range;

/* Oven temperatures a stage accepts, without fan, in degrees Celsius. Two
 * stages may share an oven when their [low, high] meet. */
typedef struct bk_temperature {
    double low, high;
    double nominal;      /* what the cook wrote (the middle of a range), without fan */
    const char *written; /* "160-170 C fan", as in the plan; NULL when no plan wrote it */
    bool exact;          /* one temperature, not a range */
    bool fahrenheit;     /* written in degrees Fahrenheit */
} bk_temperature;

/* Degrees Celsius that a fan is worth: recipes give an oven with a fan so much less (common
 * practice, no source). */
#define BK_FAN_DIFFERENCE 20.0

/* What an oven's dial shows: degrees Celsius or Fahrenheit, without fan or with. The
 * temperatures beside it are degrees Celsius without fan, as everywhere. */
typedef struct bk_dial {
    bool fahrenheit, fan;
} bk_dial;

/* The number nearest to `wanted` (the lower of two) among the roundest from `low` to
 * `high`: the tens (in Fahrenheit the 25s), where there is none the fives, else the
 * whole ones; where there is not even one of those, `wanted`, at most `high` and at
 * least `low`. */
double bk_dial_nearest(bk_dial dial, double low, double high, double wanted);

/* What a cook would set for one use by itself: the number that the plan wrote, where
 * this dial has it, else the roundest. */
double bk_dial_wanted(bk_dial dial, const bk_temperature *at);

/* What the plan measures in, and so what is derived from it comes back in. */
typedef struct bk_units {
    bool fahrenheit, inches;
} bk_units;

/* Whether a temperature that was read is in degrees Fahrenheit, a length in inches. */
bool bk_is_fahrenheit(const char *text);
bool bk_is_inches(const char *text);

/* "46 F" or "7.8 C"; a difference of so many degrees Celsius, "9 F" or "5 C". */
char *bk_degrees(bk_arena *arena, bk_units units, double celsius);
char *bk_degrees_apart(bk_arena *arena, bk_units units, double celsius);

/* "8 in"; else "20 cm", or, as `millimetres`, "60 mm". */
char *bk_length(bk_arena *arena, bk_units units, double metres, bool millimetres);

/* Reading of quantities, also used by the command line. Each returns true and
 * fills its result, or false with *mend saying what to write instead (static). */
bool bk_read_duration(const char *text, int64_t *minutes, const char **mend);
bool bk_read_range(const char *text, bk_range *range, const char **mend);
bool bk_read_oven_temperature(const char *text, bk_temperature *temperature, const char **mend);
bool bk_read_temperature(const char *text, double *celsius, const char **mend);
/* "12 C/min", as degrees Celsius a minute; from 0.1 to 500. */
bool bk_read_heating_rate(const char *text, double *rate, const char **mend);
bool bk_read_length(const char *text, double *metres, const char **mend);

/* An ingredient's amount, multiplied, with what stands behind its number: grams and
 * millilitres to what scales show, spoons to quarters ("1 1/2 tsp"), things to whole ones
 * with what the sum says ("3 (2.6 by the sum) eggs"). A text that does not begin with a
 * number comes back as it is. */
const char *bk_amount_times(bk_arena *arena, const char *text, double factor);

/* ----------------------------------------------------------- parts of a quantity
 *
 * Each takes a cursor and returns the cursor behind what it read, or NULL. */

/* Millionths: decimals are exact to six places, and nothing overflows. */
enum { BK_MILLION = 1000000 };

/* Steps over spaces, also the no-break ones that copied text brings. */
const char *bk_skip_blanks(const char *at);

/* Digits with up to six decimals ("12", "1.5"), as millionths. NULL when there is
 * no number, or it has more than nine digits before or six behind the point. */
const char *bk_read_millionths(const char *at, int64_t *millionths);

/* The same, or a fraction, or whole ones with a fraction: "1.5", "1/2", "1 1/2", "1½".
 * Halves, thirds, quarters and eighths; thirds to the millionth below. */
const char *bk_read_number(const char *at, int64_t *millionths);

/* The ASCII letters at `at`, small, into `word`; an empty word when there are
 * none. NULL when they do not fit. */
const char *bk_read_word(const char *at, char *word, size_t room);

/* Steps over a range's dash: "-", the en dash or "to". NULL when there is none. */
const char *bk_skip_dash(const char *at);

/* Steps over `prefix`, or NULL. */
const char *bk_skip_text(const char *at, const char *prefix);

#endif
