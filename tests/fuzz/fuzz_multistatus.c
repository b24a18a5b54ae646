/* Fuzz target: the answers of a calendar server (RFC 4918 multistatus), as they come. */
#include "publish/multistatus.h"

#include <stdint.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    jmp_buf no_memory;
    bk_keep *volatile keep = bk_keep_new(&no_memory);
    if (!keep)
        return 0;
    if (setjmp(no_memory) != 0) {
        bk_keep_free(keep);
        return 0;
    }
    bk_dav_responses responses = {0};
    const char *problem = NULL;
    if (!bk_multistatus_read(keep, (const char *)data, size, &responses, &problem) && !problem)
        abort(); /* a refusal says why */
    else
        for (size_t i = 0; i < responses.count; i++)
            if (responses.items[i].href == NULL)
                abort(); /* a response without one is none */
    bk_keep_free(keep);
    return 0;
}
