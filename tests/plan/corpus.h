/* What the tests of the plan reader share: the corpora, and files in memory. */
#ifndef TESTS_PLAN_CORPUS_H
#define TESTS_PLAN_CORPUS_H

#include "plan/plan.h"

/* Every NAME.json in a folder, sorted, without ".json"; NULL at the end. */
char **corpus_names(bk_arena *arena, const char *folder);

/* A whole file, or NULL. */
char *corpus_text(bk_arena *arena, const char *path);

/* All messages as the command prints them. */
const char *corpus_messages(bk_arena *arena, const bk_report *report);

/* The plan's model as text, everything that the reader fills in. */
const char *corpus_dump(bk_arena *arena, const bk_plan *plan);

/* Files of a test: pairs of path and text, NULL at the end. */
bk_files corpus_files(const char *const *pairs);

/* Reads the plan "plan.json" of such files. */
bk_plan *corpus_read(bk_arena *arena, const char *const *pairs, const bk_read_options *options,
                     bk_report *report);

#endif
