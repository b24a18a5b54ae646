/* Files of the system: read whole, within a limit; and files that are only ever added to. */
#ifndef BK_FILES_H
#define BK_FILES_H

#include "base/base.h"

/* The most bytes of one file. */
enum { BK_MOST_BYTES = 16 * 1024 * 1024 };

/* The problem that bk_files.load gives for a file over the limit: it is a fault of
 * the input, not of the machine. */
#define BK_TOO_LONG "it is larger than 16 MiB"

/* The problem that it gives for a file that is not there. */
#define BK_NO_SUCH_FILE "no such file"

/* How the reader gets at files: whole content and length through an arena copy.
 * False with *problem (a short reason such as "no such file") when it cannot be
 * read. The limit on a file's size is the reader's: it passes `most` bytes. */
typedef struct bk_files {
    bool (*load)(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem);
    void *context;
} bk_files;

/* The system's files; "-" is standard input. A pipe that nobody writes to is refused. */
bk_files bk_files_system(void);

enum bk_whereabouts { BK_NOWHERE, BK_INSIDE, BK_OUTSIDE };

/* Whether `path` is in `folder` or below it, links followed; NOWHERE where one of them is not
 * there. */
enum bk_whereabouts bk_file_where(const char *folder, const char *path);

/* True when what the system's files gave as *problem is a fault of the machine (rights,
 * descriptors, a disk), not of the path. */
bool bk_file_machine_failed(const char *problem);

/* ------------------------------------------------ a file that is added to
 *
 * Whatever stops the program or the machine, an addition is there whole or is not there.
 * It is written with its first byte left 0 and flushed; then that byte, which cannot be
 * written by halves, and flushed again. What was stopped half-way begins with that 0, which
 * stands in no text, and is to be set aside before more is added. */

typedef struct bk_held_file bk_held_file;

/* Opens the file at `path` and holds it: until it is let go nobody else holds it, here or in
 * another process. Waits for about two seconds. A file that is not there is made, its
 * folder flushed. NULL with *problem (a short reason in fixed words; BK_FILE_HELD: somebody
 * else has it). It lives outside any arena: whoever catches a jump for want of memory lets it
 * go as well. The path is copied. */
bk_held_file *bk_file_hold(const char *path, const char **problem);

#define BK_FILE_HELD "another bakeset is writing it"

const char *bk_held_path(const bk_held_file *file);

/* Its length in bytes, and up to `room` bytes from `offset` on into `into`; *got of them. */
bool bk_held_length(const bk_held_file *file, size_t *length, const char **problem);
bool bk_held_read(const bk_held_file *file, size_t offset, char *into, size_t room, size_t *got,
                  const char **problem);

/* Adds `length` (at least 1) bytes, none of them 0, at the end, and flushes the file. False with
 * *problem, the file cut back to what it was; where even that fails, what is left is recognised as
 * above. */
bool bk_held_add(bk_held_file *file, const char *bytes, size_t length, const char **problem);

/* Copies the file's bytes from `from` on to a new file beside it: PATH.torn or, when that is
 * there, PATH.torn-2 and so on. Flushes it and its folder, and only then cuts the file back to
 * `from` bytes. Gives the new file's name in `arena`; NULL with *problem. */
const char *bk_held_set_aside(bk_arena *arena, bk_held_file *file, size_t from,
                              const char **problem);

/* Lets it go; one that was made and is still empty is removed. Accepts NULL. */
void bk_file_let_go(bk_held_file *file);

#endif
