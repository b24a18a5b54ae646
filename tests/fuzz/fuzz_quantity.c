/* Fuzz target: quantities as a cook writes them. Whatever is read is within its bounds, and
 * what is refused says what to write. */
#include "quantity/quantity.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool promise)
{
    if (!promise)
        abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    enum { MOST = 400 * 24 * 60 };
    char *text = malloc(size + 1);
    if (!text)
        return 0;
    memcpy(text, data, size);
    text[size] = '\0';
    int64_t minutes = -1;
    double number = NAN;
    bk_range range = {-1, -1, -1};
    bk_temperature oven = {0};
    const char *mend = NULL;
    if (bk_read_duration(text, &minutes, &mend))
        must(minutes >= 0 && minutes <= MOST);
    else
        must(mend != NULL);
    mend = NULL;
    if (bk_read_range(text, &range, &mend))
        must(0 <= range.least && range.least <= range.likely && range.likely <= range.most &&
             range.most <= MOST);
    else
        must(mend != NULL);
    mend = NULL;
    if (bk_read_oven_temperature(text, &oven, &mend))
        must(oven.low <= oven.nominal && oven.nominal <= oven.high && oven.low > -60 &&
             oven.high < 600);
    else
        must(mend != NULL);
    mend = NULL;
    must(bk_read_temperature(text, &number, &mend) ? isfinite(number) : mend != NULL);
    mend = NULL;
    must(bk_read_length(text, &number, &mend) ? isfinite(number) && number >= 0 : mend != NULL);
    free(text);
    return 0;
}
