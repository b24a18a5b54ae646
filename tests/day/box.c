/* What the tests of the journal share. */
#define _DEFAULT_SOURCE /* mkdtemp */
#include "box.h"

#include <dirent.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char box[] = "/tmp/bakeset-day.XXXXXX";

void box_new(void)
{
    strcpy(box, "/tmp/bakeset-day.XXXXXX");
    if (!mkdtemp(box))
        abort();
}

/* How many names are in the box; with `clear` they are removed. */
static size_t each_name(bool clear)
{
    char path[512];
    size_t count = 0;
    DIR *folder = opendir(box);
    for (struct dirent *entry; folder && (entry = readdir(folder));)
        if (entry->d_name[0] != '.') {
            count++;
            snprintf(path, sizeof path, "%s/%s", box, entry->d_name);
            if (clear)
                unlink(path);
        }
    if (folder)
        closedir(folder);
    return count;
}

void box_empty(void)
{
    each_name(true);
}

size_t box_count(void)
{
    return each_name(false);
}

void box_remove(void)
{
    box_empty();
    rmdir(box);
}

const char *box_path(bk_arena *arena, const char *name)
{
    return *name ? bk_format(arena, "%s/%s", box, name) : box;
}

void write_bytes(const char *path, const char *bytes, size_t length)
{
    FILE *file = fopen(path, "wb");
    if (!file || fwrite(bytes, 1, length, file) != length || fclose(file) != 0)
        abort();
}

void write_text(const char *path, const char *text)
{
    write_bytes(path, text, strlen(text));
}

char *file_text(bk_arena *arena, const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    if (!file)
        return NULL;
    bk_text text = bk_text_new(arena);
    bk_text_add(&text, "");
    char part[4096];
    for (size_t got; (got = fread(part, 1, sizeof part, file)) > 0;)
        bk_text_add_bytes(&text, part, got);
    fclose(file);
    if (length)
        *length = text.length;
    return text.data;
}

static const char *said(const char *text)
{
    return text ? text : "-";
}

const char *journal_words(bk_arena *arena, const bk_journal *journal)
{
    bk_text out = bk_text_new(arena);
    bk_text_addf(&out, "%s %" PRId64 " %s\n", journal->there ? "there" : "none", journal->begun,
                 said(journal->occasion));
    for (size_t i = 0; i < journal->count; i++) {
        const bk_day_entry *e = &journal->entries[i];
        bk_text_addf(&out, "%d at %" PRId64 " %s/%s %" PRId64 " min, %s", (int)e->what, e->at,
                     said(e->dish), said(e->stage), e->minutes, said(e->oven));
        if (!isnan(e->temperature_c))
            bk_text_addf(&out, " %.1f", e->temperature_c);
        bk_text_addf(&out, ", serve %s, cook %s until %" PRId64, said(e->serve), said(e->cook),
                     e->until);
        for (size_t j = 0; j < e->start_count; j++)
            bk_text_addf(&out, "; %s/%s %" PRId64 " %s", e->starts[j].dish, e->starts[j].stage,
                         e->starts[j].start, said(e->starts[j].oven));
        bk_text_add(&out, "\n");
    }
    return out.data;
}

const char *journal_read_words(bk_arena *arena, const char *path)
{
    bk_files files = bk_files_system();
    bk_report report = bk_report_new(arena);
    bk_journal journal;
    if (!bk_journal_read(arena, &files, path, &journal, &report))
        return bk_format(arena, "FAULT %s", all_messages(arena, &report));
    return journal_words(arena, &journal);
}

const char *all_messages(bk_arena *arena, const bk_report *report)
{
    bk_text out = bk_text_new(arena);
    bk_text_add(&out, "");
    for (size_t i = 0; i < report->count; i++)
        bk_message_write(&report->messages[i], &out);
    return out.data;
}
