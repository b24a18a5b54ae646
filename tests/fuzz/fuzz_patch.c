/* Fuzz target: a JSON text changed in places, by a patch behind a byte FF. Whatever comes out is
 * sound, and what does not is reported; its comments can be told, and the same text without them.
 */
#include "emptied.h"

#include "json/json.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool promise)
{
    if (!promise)
        abort();
}

static void look_at(bk_arena *arena, const bk_source *source)
{
    bk_report report = bk_report_new(arena);
    bk_text plain = bk_text_new(arena), comments = bk_text_new(arena);
    bk_put put = bk_put_line_to(&comments);
    bool sound = bk_json_plain(arena, source, &plain, &report);
    must(sound == (report.errors == 0));
    must(sound == bk_json_comments(arena, source, &put, &report));
    /* Each goes through the text from its beginning: a few places, other ones in another text. */
    for (size_t i = 0; i < 4 && source->length > 0; i++)
        bk_json_pointer_at(arena, source, (source->length * i + 2 * i) / 4 % source->length);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static jmp_buf no_memory;
    bk_arena *arena = emptied_arena(&no_memory);
    if (setjmp(no_memory))
        return 0;
    const uint8_t *parting = memchr(data, 0xFF, size);
    size_t length = parting ? (size_t)(parting - data) : size;
    size_t rest = parting ? size - length - 1 : 0;
    bk_source source = {"text", bk_copy(arena, (const char *)data, length), length};
    bk_source patch = {"patch", bk_copy(arena, parting ? (const char *)parting + 1 : "", rest),
                       rest};
    bk_report report = bk_report_new(arena);
    bk_text out = bk_text_new(arena);
    bool done = bk_json_patch(arena, &source, &patch, &out, &report);
    must(!report.machine_failed && done == (report.errors == 0));
    bk_source made = {"made", out.data, out.length};
    bk_report after = bk_report_new(arena);
    if (done)
        must(bk_json_read(arena, &made, &after) && after.errors == 0);
    look_at(arena, &source);
    return 0;
}
