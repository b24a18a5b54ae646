/* What the tests of the journal share: a folder of its own for files, and a journal as text.
 */
#ifndef TEST_DAY_BOX_H
#define TEST_DAY_BOX_H

#include "day/journal.h"

/* A new empty folder; box_path gives a name in it, box_empty removes all files in it. */
void box_new(void);
void box_remove(void);
void box_empty(void);
const char *box_path(bk_arena *arena, const char *name);
size_t box_count(void);

void write_bytes(const char *path, const char *bytes, size_t length);
void write_text(const char *path, const char *text);

/* The bytes of a file, with its length when `length` is not NULL; NULL when it is not there. */
char *file_text(bk_arena *arena, const char *path, size_t *length);

/* Every entry with all that it says, a line each; then what is torn. */
const char *journal_words(bk_arena *arena, const bk_journal *journal);

/* Reads it, and the words of it; "FAULT" and the messages when it cannot be read. */
const char *journal_read_words(bk_arena *arena, const char *path);

const char *all_messages(bk_arena *arena, const bk_report *report);

#endif
