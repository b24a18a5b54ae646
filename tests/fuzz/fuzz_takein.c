/* Fuzz target: pages and texts taken in. A draft that comes of any bytes is a recipe file that
 * the plan reader has nothing against; where none comes, a message says why.
 *
 *   clang -std=c11 -D_POSIX_C_SOURCE=200809L -g -O1 -fsanitize=fuzzer,address,undefined -Isrc \
 *     tests/fuzz/fuzz_takein.c LIBRARY -lcjson -lunistring -lxml2 -lm
 *
 * Without a fuzzing engine link replay.c (runs files) or mutate.c. */
#include "emptied.h"

#include "plan/plan.h"
#include "takein/takein.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Gives the draft for whatever file is asked for. */
static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    const bk_text *draft = context;
    (void)path;
    (void)problem;
    *length = draft->length;
    *text = bk_copy(arena, draft->data, draft->length);
    return *length <= most;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    bk_arena *arena = emptied_arena(NULL);
    bk_source source = {"fuzz.txt", bk_copy(arena, (const char *)data, size), size};
    bk_report report = bk_report_new(arena), of_draft = bk_report_new(arena);
    bk_text draft = bk_text_new(arena);
    bool taken = bk_take_in(arena, &source, &draft, &report);
    if (taken != (report.errors == 0))
        abort();
    if (taken) {
        bk_files files = {load, &draft};
        bk_read_options options = {.alone = true};
        if (!bk_plan_read(arena, &files, "draft.json", &options, &of_draft))
            abort();
    }
    return 0;
}
