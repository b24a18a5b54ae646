/* Files of the system: read whole, within a limit. */
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

/* True when what the system's files gave as *problem is a fault of the machine (rights,
 * descriptors, a disk), not of the path. */
bool bk_file_machine_failed(const char *problem);

#endif
