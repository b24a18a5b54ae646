/* Preloaded by tests/cli/test_faults.sh: makes one call to the system go wrong.
 *
 *   BAKESET_FAULT_AT=N      the N-th of the calls below, counted from 1; 0: none
 *   BAKESET_FAULT=EIO       how: a failure with EIO (the default), EMFILE or ENOSPC, or
 *                           TERM, INT, HUP or KILL: that signal first, then the call
 *   BAKESET_FAULT_LOG=FILE  says in FILE that it happened, and in which call
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

static long calls;

static void note(const char *name)
{
    const char *log = getenv("BAKESET_FAULT_LOG");
    long file = log ? syscall(SYS_openat, AT_FDCWD, log, O_WRONLY | O_CREAT | O_APPEND, 0666) : -1;
    if (file < 0)
        return;
    syscall(SYS_write, file, name, strlen(name));
    syscall(SYS_write, file, "\n", 1);
    syscall(SYS_close, file);
}

/* True when this call is to fail; errno says how. */
static int fails(const char *name)
{
    const char *at = getenv("BAKESET_FAULT_AT"), *how = getenv("BAKESET_FAULT");
    if (!at || ++calls != atol(at))
        return 0;
    note(name);
    static const struct {
        const char *name;
        int signal;
    } signals[] = {{"TERM", SIGTERM}, {"INT", SIGINT}, {"HUP", SIGHUP}, {"KILL", SIGKILL}};
    for (size_t i = 0; how && i < sizeof signals / sizeof *signals; i++)
        if (strcmp(how, signals[i].name) == 0) {
            kill(getpid(), signals[i].signal);
            return 0;
        }
    errno = how && strcmp(how, "EMFILE") == 0   ? EMFILE
            : how && strcmp(how, "ENOSPC") == 0 ? ENOSPC
                                                : EIO;
    return 1;
}

/* The system's own function of this name. */
#define REAL(type, name) ((type)(uintptr_t)dlsym(RTLD_NEXT, #name))

#define OPEN(name, parameters, arguments, real_type)                                               \
    int name parameters                                                                            \
    {                                                                                              \
        va_list list;                                                                              \
        va_start(list, flags);                                                                     \
        mode_t mode = flags & O_CREAT ? va_arg(list, mode_t) : 0;                                  \
        va_end(list);                                                                              \
        return fails(#name) ? -1 : REAL(real_type, name) arguments;                                \
    }

OPEN(open, (const char *path, int flags, ...), (path, flags, mode),
     int (*)(const char *, int, mode_t))
OPEN(open64, (const char *path, int flags, ...), (path, flags, mode),
     int (*)(const char *, int, mode_t))
OPEN(openat, (int folder, const char *path, int flags, ...), (folder, path, flags, mode),
     int (*)(int, const char *, int, mode_t))

#define CALL(type, name, parameters, arguments, failure)                                           \
    type name parameters                                                                           \
    {                                                                                              \
        return fails(#name) ? (failure) : REAL(type(*) parameters, name) arguments;                \
    }

CALL(ssize_t, read, (int file, void *into, size_t room), (file, into, room), -1)
CALL(ssize_t, write, (int file, const void *bytes, size_t length), (file, bytes, length), -1)
CALL(ssize_t, pread, (int file, void *into, size_t room, off_t at), (file, into, room, at), -1)
CALL(ssize_t, pwrite, (int file, const void *bytes, size_t length, off_t at),
     (file, bytes, length, at), -1)
CALL(int, ftruncate, (int file, off_t length), (file, length), -1)
CALL(int, flock, (int file, int how), (file, how), -1)
CALL(int, fsync, (int file), (file), -1)
CALL(int, fchmod, (int file, mode_t mode), (file, mode), -1)
CALL(int, rename, (const char *from, const char *to), (from, to), -1)
CALL(int, link, (const char *from, const char *to), (from, to), -1)
CALL(int, mkstemp, (char *name), (name), -1)
CALL(FILE *, fopen, (const char *path, const char *mode), (path, mode), NULL)
CALL(char *, realpath, (const char *path, char *room), (path, room), NULL)

int close(int file)
{
    /* A failed close closes all the same. */
    int failed = fails("close"), why = errno;
    int result = REAL(int (*)(int), close)(file);
    errno = failed ? why : errno;
    return failed ? -1 : result;
}
