/* Runs a fuzz target over inputs made from files by random changes: a plain driver
 * for gcc and its sanitizers.
 *
 *   cc ... tests/fuzz/mutate.c tests/fuzz/fuzz_NAME.c LIBRARY
 *   mutate SEED FIRST-TURN LAST-TURN FILE...
 *
 * When the target crashes the turn is printed (with ASAN_OPTIONS=abort_on_error=1
 * also for a sanitizer's finding); the same seed, files and FIRST-TURN = LAST-TURN
 * show it again, and write its input to standard output. */
#include "mutation.h"

#include <signal.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static volatile uint64_t turn;

static void say_turn(int signal_number)
{
    char text[32] = "crashed at turn ", *end = text + sizeof text - 1, *digit = end;
    *end = '\n';
    for (uint64_t rest = turn; rest > 0; rest /= 10)
        *--digit = (char)('0' + rest % 10);
    ssize_t ignored = write(2, text, 16);
    ignored += write(2, digit, (size_t)(end - digit + 1));
    (void)ignored;
    signal(signal_number, SIG_DFL);
    raise(signal_number);
}

int main(int count, char **arguments)
{
    if (count < 5) {
        fprintf(stderr, "usage: mutate SEED FIRST-TURN LAST-TURN FILE...\n");
        return 2;
    }
    uint64_t seed = strtoull(arguments[1], NULL, 10), first = strtoull(arguments[2], NULL, 10);
    uint64_t last = strtoull(arguments[3], NULL, 10);
    size_t samples_count = 0;
    sample *samples = calloc((size_t)count, sizeof *samples);
    sample input = {malloc(MOST_INPUT), 0};
    for (int i = 4; samples != NULL && i < count; i++) {
        sample read = read_sample(arguments[i]);
        if (read.bytes != NULL)
            samples[samples_count++] = read;
    }
    if (samples_count == 0 || input.bytes == NULL) {
        fprintf(stderr, "no file could be read\n");
        return 2;
    }
    signal(SIGABRT, say_turn);
    signal(SIGSEGV, say_turn);
    for (turn = first; turn <= last; turn++) {
        mutate(&input, samples, samples_count, seed, turn);
        if (first == last) {
            fwrite(input.bytes, 1, input.length, stdout);
            fflush(stdout);
        }
        LLVMFuzzerTestOneInput(input.bytes, input.length);
        if (turn % 20000 == 0) {
            fprintf(stderr, "seed %llu, turn %llu\n", (unsigned long long)seed,
                    (unsigned long long)turn);
        }
    }
    for (size_t i = 0; i < samples_count; i++)
        free(samples[i].bytes);
    free(samples);
    free(input.bytes);
    fprintf(stderr, "seed %llu: turns %llu to %llu, no crash\n", (unsigned long long)seed,
            (unsigned long long)first, (unsigned long long)last);
    return 0;
}
