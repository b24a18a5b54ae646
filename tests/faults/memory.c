/* Preloaded by tests/cli/test_memory.sh: one request for memory finds none.
 *
 *   BAKESET_MEMORY_AT=N      the N-th request, counted from 1 where main looks whether it is on a
 *                            terminal: what the libraries do before main is not ours; 0: none
 *   BAKESET_MEMORY_LOG=FILE  how many there were stands there at the end, and "failed" if it was
 *                            among them
 */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <termios.h>
#include <unistd.h>

/* The C library's own, which it keeps under these names. */
extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *old, size_t size);

static long requests, at = -1;

static int in_main;

int isatty(int file)
{
    struct termios ignored;
    in_main = 1;
    return tcgetattr(file, &ignored) == 0;
}

static int fails(void)
{
    if (!in_main)
        return 0;
    if (at < 0) {
        const char *text = getenv("BAKESET_MEMORY_AT");
        at = text ? atol(text) : 0;
    }
    if (++requests != at)
        return 0;
    errno = ENOMEM;
    return 1;
}

void *malloc(size_t size)
{
    return fails() ? NULL : __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    return fails() ? NULL : __libc_calloc(count, size);
}

void *realloc(void *old, size_t size)
{
    return fails() ? NULL : __libc_realloc(old, size);
}

__attribute__((destructor)) static void tell(void)
{
    const char *log = getenv("BAKESET_MEMORY_LOG");
    long file = log ? syscall(SYS_openat, AT_FDCWD, log, O_WRONLY | O_CREAT | O_TRUNC, 0666) : -1;
    char line[64];
    int length =
        snprintf(line, sizeof line, "%ld%s\n", requests, at > 0 && requests >= at ? " failed" : "");
    if (file < 0)
        return;
    syscall(SYS_write, file, line, (size_t)length);
    syscall(SYS_close, file);
}
