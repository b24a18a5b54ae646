#include "corpus.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int by_name(const void *left, const void *right)
{
    return strcmp(*(char *const *)left, *(char *const *)right);
}

char **corpus_names(bk_arena *arena, const char *folder)
{
    DIR *directory = opendir(folder);
    char **names = NULL;
    size_t count = 0, room = 0;
    for (struct dirent *entry; directory != NULL && (entry = readdir(directory)) != NULL;) {
        size_t length = strlen(entry->d_name);
        if (length > 5 && strcmp(entry->d_name + length - 5, ".json") == 0)
            *BK_PUSH(arena, names, count, room) = bk_copy(arena, entry->d_name, length - 5);
    }
    if (directory != NULL)
        closedir(directory);
    if (count > 0)
        qsort(names, count, sizeof *names, by_name);
    *BK_PUSH(arena, names, count, room) = NULL;
    return names;
}

char *corpus_text(bk_arena *arena, const char *path)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL)
        return NULL;
    bk_text text = bk_text_new(arena);
    char buffer[4096];
    for (size_t got; (got = fread(buffer, 1, sizeof buffer, file)) > 0;)
        bk_text_add_bytes(&text, buffer, got);
    fclose(file);
    return text.data != NULL ? text.data : bk_copy_string(arena, "");
}

const char *corpus_messages(bk_arena *arena, const bk_report *report)
{
    bk_text text = bk_text_new(arena);
    for (size_t i = 0; i < report->count; i++)
        bk_message_write(&report->messages[i], &text);
    return text.data != NULL ? text.data : "";
}

/* -------------------------------------------------------------- files in memory */

static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    for (const char *const *pair = context; pair[0] != NULL; pair += 2) {
        if (strcmp(pair[0], path) == 0 && strlen(pair[1]) <= most) {
            *length = strlen(pair[1]);
            *text = bk_copy(arena, pair[1], *length);
            return true;
        }
    }
    *problem = "no such file";
    return false;
}

bk_files corpus_files(const char *const *pairs)
{
    union {
        const char *const *in;
        void *out;
    } context = {pairs};
    bk_files files = {load, context.out};
    return files;
}

bk_plan *corpus_read(bk_arena *arena, const char *const *pairs, const bk_read_options *options,
                     bk_report *report)
{
    bk_files files = corpus_files(pairs);
    *report = bk_report_new(arena);
    return bk_plan_read(arena, &files, "plan.json", options, report);
}
