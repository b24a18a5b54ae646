/* Runs a fuzz target over files: for past crashes, and where there is no fuzzing
 * engine.
 *
 *   cc ... tests/fuzz/replay.c tests/fuzz/fuzz_NAME.c LIBRARY && replay FILE... */
#include "mutation.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int main(int count, char **files)
{
    for (int i = 1; i < count; i++) {
        sample input = read_sample(files[i]);
        if (input.bytes == NULL) {
            fprintf(stderr, "cannot read %s\n", files[i]);
            return 1;
        }
        LLVMFuzzerTestOneInput(input.bytes, input.length);
        free(input.bytes);
    }
    printf("%d files\n", count - 1);
    return 0;
}
