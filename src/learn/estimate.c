/* What a few times say of the next: pure numbers. */
#include "learn/learn.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static int ascending(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

double bk_median(double *values, size_t count)
{
    qsort(values, count, sizeof *values, ascending);
    return count % 2 ? values[count / 2] : 0.5 * (values[count / 2 - 1] + values[count / 2]);
}

size_t bk_stand_apart(bk_arena *arena, const double *times, size_t count, bool *apart)
{
    const double most_score = 3.5, unnoticed = 5.0; /* minutes */
    bk_mark mark = bk_arena_mark(arena);
    double *sorted = BK_NEW(arena, double, count), *off = BK_NEW(arena, double, count);
    size_t found = 0;
    double sum = 0.0;
    memset(apart, 0, count * sizeof *apart);
    if (count == 0)
        return 0;
    for (size_t i = 0; i < count; i++)
        sorted[i] = log(times[i]);
    double middle = bk_median(sorted, count), median = exp(middle);
    for (size_t i = 0; i < count; i++)
        sum += off[i] = fabs(log(times[i]) - middle);
    /* Where more than half are the same the median of the distances is 0; the book takes their
     * mean then. The constants make both the standard deviation of a normal distribution. */
    double spread = bk_median(off, count) / 0.6745;
    if (spread <= 0.0)
        spread = 1.253314 * sum / (double)count;
    for (size_t i = 0; i < count && spread > 0.0; i++) {
        apart[i] = fabs(log(times[i]) - middle) / spread > most_score &&
                   fabs(times[i] - median) > unnoticed;
        found += apart[i];
    }
    bk_arena_release(arena, mark);
    return found;
}

/* The probability that |T| is below t. */
static double student_within(double t, int degrees)
{
    const double pi = acos(-1.0);
    double angle = atan(t / sqrt((double)degrees)), c = cos(angle), s = sin(angle);
    double term = degrees % 2 ? c : 1.0, sum = 0.0;
    for (int i = degrees % 2 ? 2 : 1; i <= degrees - 1; i += 2) {
        sum += term;
        term *= c * c * (double)i / (double)(i + 1);
    }
    return degrees % 2 ? 2.0 / pi * (angle + s * sum) : s * sum;
}

double bk_student_quantile(double probability, int degrees)
{
    double within = 2.0 * probability - 1.0, low = 0.0, high = 1.0;
    while (student_within(high, degrees) < within && high < 1e12)
        high *= 2.0;
    for (int i = 0; i < 100; i++) {
        double middle = 0.5 * (low + high);
        if (student_within(middle, degrees) < within)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

void bk_next_time(const double *times, size_t count, double *least, double *likely, double *most)
{
    const double probability = 0.9; /* a tenth on either side: four times in five between */
    double mean = 0.0, squares = 0.0, n = (double)count;
    for (size_t i = 0; i < count; i++)
        mean += log(times[i]) / n;
    for (size_t i = 0; i < count; i++)
        squares += (log(times[i]) - mean) * (log(times[i]) - mean);
    double reach = bk_student_quantile(probability, (int)count - 1) *
                   sqrt(squares / (n - 1.0) * (1.0 + 1.0 / n));
    *least = exp(mean - reach);
    *likely = exp(mean);
    *most = exp(mean + reach);
}

/* In steps that a cook would write. A hair off a step, from the logarithms, is on it. */
static int64_t stepped(double minutes, double (*to)(double), double hair)
{
    double step = minutes < 60.0 ? 1.0 : minutes < 480.0 ? 5.0 : 15.0;
    return (int64_t)(to(minutes / step + hair) * step);
}

const char *bk_range_words(bk_arena *arena, double least, double likely, double most)
{
    int64_t low = stepped(least, floor, 1e-6), middle = stepped(likely, round, 0.0);
    int64_t high = stepped(most, ceil, -1e-6);
    /* Rounding may pass a neighbour where the steps change. */
    middle = middle < low ? low : middle;
    high = high < middle ? middle : high;
    if (low == high)
        return bk_minutes(arena, low);
    if (high < 120) /* as recipes write it: "60-70-85 min" */
        return bk_format(arena, "%lld-%lld-%lld min", (long long)low, (long long)middle,
                         (long long)high);
    return bk_format(arena, "%s - %s - %s", bk_minutes(arena, low), bk_minutes(arena, middle),
                     bk_minutes(arena, high));
}
