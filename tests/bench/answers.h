/* Schedules of published instances kept in a file, and checked again from it. */
#ifndef BENCH_ANSWERS_H
#define BENCH_ANSWERS_H

#include "instance.h"

#include <stdio.h>

typedef struct bench_known {
    char name[96]; /* SET/FILE */
    bool has_lower, has_upper, infeasible, optimal;
    long lower, upper;
} bench_known;

/* Was the instance open in the table, and does the result decide it or better its best? */
bool bench_is_new(const bench_known *known, const bk_result *result);

/* Writes a row: instance,status,best,bound,known_lower,known_upper,starts. Starts are
 * those of all activities, the dummies too; none for an infeasible instance. */
void bench_write_answer(FILE *file, const bench_known *known, const bench_instance *instance,
                        const bk_result *result);

/* Reads the rows of `path` and checks each schedule against its instance in `data` by
 * bench_valid, and the row's figures against the schedule and against `known` (count
 * entries). Prints a line a row and a total; returns whether nothing was wrong. A bound
 * above the table's and a proof that there is no schedule can't be checked here: the
 * line says so. */
bool bench_verify_answers(const char *path, const char *data, const bench_known *known,
                          size_t count);

#endif
