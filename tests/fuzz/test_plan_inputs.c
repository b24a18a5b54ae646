/* The fuzz target of the plan reader over the corpora as they are, and over a few
 * thousand inputs made from them. More: tests/fuzz/mutate.c. */
#define WHOLE_INPUTS
#include "fuzz_plan.c"
#include "mutation.h"

#include <dirent.h>
#include <stdarg.h>
#include <stddef.h>

#include <cmocka.h>

enum { MOST_SAMPLES = 1000, TURNS = 4000 };
static const uint64_t SEED = 20261205;
static sample samples[MOST_SAMPLES];
static size_t sample_count;

static int by_name(const struct dirent **left, const struct dirent **right)
{
    return strcmp((*left)->d_name, (*right)->d_name);
}

static int is_json(const struct dirent *entry)
{
    size_t length = strlen(entry->d_name);
    return length > 5 && strcmp(entry->d_name + length - 5, ".json") == 0;
}

static void add_folder(const char *folder)
{
    struct dirent **entries = NULL;
    int count = scandir(folder, &entries, is_json, by_name);
    for (int i = 0; i < count; i++) {
        char path[512];
        snprintf(path, sizeof path, "%s/%s", folder, entries[i]->d_name);
        sample read = read_sample(path);
        if (read.bytes != NULL && sample_count < MOST_SAMPLES)
            samples[sample_count++] = read;
        free(entries[i]);
    }
    free(entries);
}

static int set_up(void **state)
{
    (void)state;
    add_folder("tests/data/plan/valid");
    add_folder("tests/data/plan/invalid");
    add_folder("tests/data/plan/crashes");
    add_folder("plans");
    return sample_count < 100;
}

static int tear_down(void **state)
{
    (void)state;
    for (size_t i = 0; i < sample_count; i++)
        free(samples[i].bytes);
    return 0;
}

static void keeps_its_promises_on_the_corpora(void **state)
{
    (void)state;
    for (size_t i = 0; i < sample_count; i++)
        LLVMFuzzerTestOneInput(samples[i].bytes, samples[i].length);
}

static void keeps_its_promises_on_changed_inputs(void **state)
{
    (void)state;
    sample changed = {malloc(MOST_INPUT), 0};
    assert_non_null(changed.bytes);
    print_message("seed %llu\n", (unsigned long long)SEED);
    for (uint64_t turn = 1; turn <= TURNS; turn++) {
        mutate(&changed, samples, sample_count, SEED, turn);
        LLVMFuzzerTestOneInput(changed.bytes, changed.length);
    }
    free(changed.bytes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keeps_its_promises_on_the_corpora),
        cmocka_unit_test(keeps_its_promises_on_changed_inputs),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
