/* A text of a JSON file replaced in its place, and nothing else. */
#include "learn/learn.h"

#include <stdlib.h>
#include <string.h>

/* Behind the closing quote of the text that opens at `offset`; 0 when there is none. */
static size_t text_end(const bk_source *source, size_t offset)
{
    if (offset >= source->length || source->text[offset] != '"')
        return 0;
    for (size_t at = offset + 1; at < source->length; at++) {
        if (source->text[at] == '"')
            return at + 1;
        at += source->text[at] == '\\';
    }
    return 0;
}

bool bk_replace_text(const bk_source *source, size_t offset, const char *words, size_t *done,
                     bk_text *out)
{
    size_t end = text_end(source, offset);
    if (end == 0 || offset < *done)
        return false;
    bk_text_add_bytes(out, source->text + *done, offset - *done);
    bk_text_addf(out, "\"%s\"", words);
    *done = end;
    return true;
}

/* ------------------------------------------------------------------ the files */

static bk_place place_of(const bk_learned *learned, size_t i)
{
    return learned->plan->stages[learned->stages[i].stage].range_place;
}

/* The next written time of `source` to change behind *done; SIZE_MAX: none. */
static size_t next_change(const bk_learned *learned, const bk_source *source, size_t done)
{
    size_t next = SIZE_MAX;
    for (size_t i = 0; i < learned->stage_count; i++) {
        bk_place place = place_of(learned, i);
        if (learned->stages[i].changes && place.source == source && place.offset >= done &&
            (next == SIZE_MAX || place.offset < place_of(learned, next).offset))
            next = i;
    }
    return next;
}

/* The bytes before what was read of the file, if any: a byte-order mark. False after reporting
 * that it is not what was read. */
static bool as_it_was(bk_arena *arena, const bk_files *files, const bk_source *source,
                      const char **before, size_t *length, bk_report *report)
{
    const char *text = NULL, *problem = NULL;
    size_t all = 0;
    if (!files->load(files->context, arena, source->name, BK_MOST_BYTES, &text, &all, &problem)) {
        report->machine_failed = true;
        bk_error(report, "file", (bk_place){0}, NULL, "cannot read %s: %s", source->name, problem);
        return false;
    }
    *length = all >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    *before = text;
    if (all - *length == source->length &&
        memcmp(text + *length, source->text, source->length) == 0)
        return true;
    report->machine_failed = true;
    bk_error(report, "changed", (bk_place){0}, "run it again",
             "%s was changed while it was looked at", source->name);
    return false;
}

static bool change(bk_arena *arena, const bk_files *files, const bk_learned *learned,
                   const bk_source *source, bk_changed_file *file, bk_report *report)
{
    const char *before = NULL;
    size_t mark = 0, done = 0, next = 0;
    bk_text out = bk_text_new(arena), said = bk_text_new(arena);
    *file = (bk_changed_file){.path = source->name};
    if (!as_it_was(arena, files, source, &before, &mark, report))
        return false;
    bk_text_add_bytes(&out, before, mark);
    while ((next = next_change(learned, source, done)) != SIZE_MAX &&
           bk_replace_text(source, place_of(learned, next).offset, learned->stages[next].proposed,
                           &done, &out)) {
        const bk_stage_times *of = &learned->stages[next];
        bk_text_addf(&said, "  %s: %s is %s now\n", bk_showable(arena, of->id, strlen(of->id)),
                     bk_showable(arena, of->written, strlen(of->written)), of->proposed);
        file->changes++;
    }
    file->said = said.data;
    bk_text_add_bytes(&out, source->text + done, source->length - done);
    file->text = out.data;
    file->length = out.length;
    return true;
}

/* ---------------------------------------------------- whether it can be read so */

/* The files of a plan as they were read, some of them changed. */
typedef struct bk_overlay {
    const bk_plan *plan;
    const bk_changed_file *changed;
    size_t count;
} bk_overlay;

static bool load_overlay(void *context, bk_arena *arena, const char *path, size_t most,
                         const char **text, size_t *length, const char **problem)
{
    const bk_overlay *overlay = context;
    const char *found = NULL;
    for (size_t i = 0; i < overlay->plan->source_count && !found; i++)
        if (strcmp(overlay->plan->sources[i]->name, path) == 0) {
            found = overlay->plan->sources[i]->text;
            *length = overlay->plan->sources[i]->length;
        }
    for (size_t i = 0; i < overlay->count; i++)
        if (strcmp(overlay->changed[i].path, path) == 0) {
            found = overlay->changed[i].text;
            *length = overlay->changed[i].length;
        }
    *problem = !found ? BK_NO_SUCH_FILE : BK_TOO_LONG;
    if (!found || *length > most)
        return false;
    *text = bk_copy(arena, found, *length);
    return true;
}

static bool reads(bk_arena *arena, const bk_plan *plan, const bk_changed_file *changed,
                  size_t count, bk_report *report)
{
    bk_overlay overlay = {plan, changed, count};
    bk_files files = {load_overlay, &overlay};
    bk_read_options options = {.alone = plan->alone};
    return bk_plan_read(arena, &files, plan->sources[0]->name, &options, report);
}

/* A plan that needs the options it was read with is not judged: it reads neither way. */
static bool still_reads(bk_arena *arena, const bk_plan *plan, const bk_changed_file *changed,
                        size_t count, bk_report *report)
{
    bk_report before = bk_report_new(arena), after = bk_report_new(arena);
    if (reads(arena, plan, changed, count, &after) || !reads(arena, plan, NULL, 0, &before))
        return true;
    bk_error(report, "proposal", (bk_place){0}, NULL,
             "with the proposed ranges the plan would have errors, so nothing is changed:");
    for (size_t i = 0; i < after.count; i++)
        if (after.messages[i].severity == BK_ERROR)
            bk_error(report, after.messages[i].code, after.messages[i].place,
                     after.messages[i].mend, "%s", after.messages[i].text);
    return false;
}

const bk_changed_file *bk_learned_files(bk_arena *arena, const bk_files *files,
                                        const bk_learned *learned, size_t *count, bk_report *report)
{
    const bk_plan *plan = learned->plan;
    bk_changed_file *changed = BK_NEW(arena, bk_changed_file, plan->source_count);
    *count = 0;
    for (size_t i = 0; i < plan->source_count; i++)
        if (next_change(learned, plan->sources[i], 0) != SIZE_MAX &&
            !change(arena, files, learned, plan->sources[i], &changed[(*count)++], report))
            return NULL;
    return *count == 0 || still_reads(arena, plan, changed, *count, report) ? changed : NULL;
}
