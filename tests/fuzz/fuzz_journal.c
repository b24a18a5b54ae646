/* Fuzz target: the journal of a day, and a recipe's history, over any bytes.
 *
 *   clang -std=c11 -D_POSIX_C_SOURCE=200809L -g -O1 -fsanitize=fuzzer,address,undefined -Isrc \
 *     tests/fuzz/fuzz_journal.c LIBRARY -lcjson -lical -lunistring -lm
 *
 * Without a fuzzing engine link replay.c (runs files) or mutate.c. Whatever is read must keep
 * the promises of day/journal.h; and what was read, written again, reads the same. */
#include "emptied.h"

#include "day/entry.h"
#include "day/journal.h"
#include "learn/learn.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

typedef struct input {
    const char *text;
    size_t length;
} input;

static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    const input *self = context;
    (void)path;
    *problem = BK_TOO_LONG;
    *length = self->length;
    *text = bk_copy(arena, self->text, self->length);
    return *length <= most;
}

static void must(bool promise)
{
    if (!promise)
        abort();
}

static bool said(const char *text)
{
    return text && text[0] != '\0';
}

static void check_entry(const bk_day_entry *entry)
{
    bool of_stage = entry->what == BK_DAY_BEGUN || entry->what == BK_DAY_DONE ||
                    entry->what == BK_DAY_LONGER || entry->what == BK_DAY_SKIPPED;
    bool of_dish = of_stage || entry->what == BK_DAY_SERVED || entry->what == BK_DAY_OUT;
    must(entry->what <= BK_DAY_PLANNED && entry->place.source);
    must(!of_dish || said(entry->dish));
    must(!of_stage || said(entry->stage));
    must(entry->what == BK_DAY_LONGER ? entry->minutes >= 1 && entry->minutes <= BK_MOST_LONGER
                                      : entry->minutes == 0);
    must(entry->what != BK_DAY_HOT || said(entry->oven));
    must(entry->what == BK_DAY_HOT || isnan(entry->temperature_c));
    must(entry->what != BK_DAY_LATER || said(entry->serve));
    must(entry->what != BK_DAY_COOK || said(entry->cook));
    for (size_t i = 0; i < entry->start_count; i++)
        must(said(entry->starts[i].dish) && said(entry->starts[i].stage));
}

/* The journal as bakeset itself would have written it. */
static bk_text written(bk_arena *arena, const bk_zone *zone, const bk_journal *journal)
{
    bk_text text = bk_text_new(arena);
    if (journal->there)
        bk_first_line_write(zone, journal->begun, journal->occasion, &text);
    for (size_t i = 0; i < journal->count; i++)
        bk_entry_write(zone, &journal->entries[i], &text);
    return text;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    bk_arena *arena = emptied_arena(NULL);
    const bk_zone *zone = bk_zone_open(arena, "Europe/Berlin");
    input self = {bk_copy(arena, (const char *)data, size), size};
    bk_files files = {load, &self};
    bk_report report = bk_report_new(arena);
    bk_journal journal, again;
    bool good = bk_journal_read(arena, &files, "self.day.jsonl", &journal, &report);
    must(good == (report.errors == 0));
    must(!good || journal.length + journal.torn_length == size);
    must(!good || journal.torn_at == journal.length);
    bk_text messages = bk_text_new(arena);
    unsigned sum = 0;
    for (size_t i = 0; i < size; i++)
        sum = sum * 31 + data[i];
    /* To write messages out takes more than to read: in a part of the inputs, as the bytes have it.
     */
    for (size_t i = 0; sum % 8 == 0 && i < report.count; i++)
        bk_message_write(&report.messages[i], &messages);
    if (good) {
        for (size_t i = 0; i < journal.count; i++)
            check_entry(&journal.entries[i]);
        bk_text first = written(arena, zone, &journal);
        self = (input){first.data, first.length};
        must(bk_journal_read(arena, &files, "again.day.jsonl", &again, &report));
        must(again.there == journal.there && again.count == journal.count);
        must(again.torn_length == 0);
        bk_text second = written(arena, zone, &again);
        must(first.length == second.length &&
             (first.length == 0 || memcmp(first.data, second.data, first.length) == 0));
    }
    self = (input){bk_copy(arena, (const char *)data, size), size};
    bk_history history;
    bk_report second_report = bk_report_new(arena);
    good = bk_history_read(arena, &files, "self.history.jsonl", &history, &second_report);
    must(good == (second_report.errors == 0));
    for (size_t i = 0; good && i < history.count; i++) {
        const bk_real_time *time = &history.items[i];
        must(said(time->oven) || (said(time->dish) && said(time->stage)));
        must(time->minutes >= 0 && time->minutes <= BK_MOST_REAL && time->planned >= 0);
        must(time->times >= 1e-3 && time->times <= 1e3 && time->batch >= 0);
    }
    return 0;
}
