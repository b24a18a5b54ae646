/* What the tests of the library's face have in common: they include bakeset.h and nothing
 * else of ours. */
#ifndef TESTS_API_SAMPLE_H
#define TESTS_API_SAMPLE_H

#include "bakeset.h"

#define SUPPER "plans/friday-supper.json"
#define ROAST "plans/sunday-roast.json"
#define TEA "plans/wednesday-tea.json"
#define IMPOSSIBLE "plans/impossible-supper.json"

/* A plan and its timeline in every form, its reasons and all messages, as one
 * text for free(). NULL when there is no memory. */
char *sample_all(bakeset *session, const char *plan);

#endif
