/* What the writers of a cooling estimate share: its words and its curve. Private to
 * this folder. */
#ifndef BK_WRITE_COOLING_WORDS_H
#define BK_WRITE_COOLING_WORDS_H

#include "write/cooling/cooling.h"
#include "write/words/words.h"

/* Temperatures of the slowest point at even steps from 0 to the longest time or a
 * little beyond, degrees Celsius. */
typedef struct bk_course {
    int64_t step; /* minutes */
    size_t count;
    double *minutes;
    double *celsius[3]; /* by bk_heat_end */
} bk_course;

/* In no more than `most` steps of a usual length. */
bk_course bk_course_of(bk_arena *arena, const bk_cooled *cooled, size_t most);

/* The lowest and the highest temperature to draw: start, surroundings, and wherever the
 * course goes beyond them. */
void bk_course_range(const bk_course *course, const bk_cooled *cooled, double *low, double *high);

/* The least usual step, of minutes, of which `span` takes no more than `most`. */
int64_t bk_usual_minutes(int64_t span, int64_t most);

/* A temperature of the question with one decimal, or with as many more, up to four, as
 * keep start, target and surroundings apart: "6", "19.95"; and "19.95 °C". */
char *bk_cooled_degrees(bk_arena *arena, const bk_cooled *cooled, double celsius);
char *bk_cooled_celsius(bk_arena *arena, const bk_cooled *cooled, double celsius);

/* A text in which " C" and " F" stand for degrees, with the degree sign. */
char *bk_with_degrees(bk_arena *arena, const char *text);

/* "Custard, round, 20 cm across, 6 cm deep"; the stage's name before it where there
 * is one. */
char *bk_cooled_title(bk_arena *arena, const bk_cooled *cooled);

/* "from 15 °C to 6 °C in a still fridge at 4 °C; metal tin, base open" */
char *bk_cooled_course(bk_arena *arena, const bk_cooled *cooled);

/* "the warmest point, in the middle" */
const char *bk_cooled_point(const bk_cooled *cooled);

/* "7 h 5 min (25 min more)" of a changed question; "never gets there". */
char *bk_cooled_change(bk_arena *arena, const bk_heat_change *change);

/* What to keep in mind, whole sentences, the last always the caution that this is no
 * measurement. Returns how many of the places in `notes` it filled. */
enum { BK_COOLED_MOST_NOTES = 8 };
size_t bk_cooled_notes(bk_arena *arena, const bk_cooled *cooled,
                       const char *notes[BK_COOLED_MOST_NOTES]);

#endif
