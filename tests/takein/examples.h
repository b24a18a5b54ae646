/* Examples of steps and of the stages that they come to. Of each stage is written: its id; "P"
 * where it goes on by itself, "A" where it takes hands; its time and oven where the words give
 * them; "<" and what it comes after, "!" where at once, and within how many minutes where that is
 * not as soon as usual, unless that is the stage above. */
#ifndef TESTS_TAKEIN_EXAMPLES_H
#define TESTS_TAKEIN_EXAMPLES_H

#include <stddef.h>

typedef struct example {
    const char *title;
    const char *ingredients; /* parted by "," */
    const char *steps;       /* parted by "|"; "#Sauce" is a heading */
    const char *stages;
} example;

/* Fails the test where one comes to something else. */
void check_examples(const example *examples, size_t count);
/* The same, where `stages` has the usual time of each, whatever the words say: "mix 2-4 min". */
void check_usual_times(const example *examples, size_t count);
#define CHECK(examples) check_examples(examples, sizeof(examples) / sizeof *(examples))

#endif
