/* Files that are only ever added to, by one writer at a time. */
#define _DEFAULT_SOURCE /* flock, realpath */
#include "files/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

/* The lock is flock's, of the open file: the same process may read the file by its name
 * while it holds it. A record lock of fcntl is lost when any descriptor of the file is
 * closed, such as that of this reading. */
struct bk_held_file {
    int file;
    bool made; /* by this holder */
    char *path;
};

/* How long another writer is waited for: it flushes to a disk, which may be slow. */
enum { TRIES = 100, PAUSE_MILLISECONDS = 20 };

/* In fixed words: strerror speaks the locale's language. */
static const char *reason(int error)
{
    switch (error) {
    case ENOENT:
    case ENOTDIR:
        return "there is no such folder";
    case EACCES:
    case EPERM:
        return "no permission";
    case EROFS:
        return "the file system is read-only";
    case ENOSPC:
    case EDQUOT:
        return "there is no room left on the disk";
    case EFBIG:
        return "it is too large";
    case EEXIST:
        return "there are too many files of that name";
    case EISDIR:
        return "it is a folder";
    case ENAMETOOLONG:
        return "the name is too long";
    case ELOOP:
        return "symbolic links go in a circle";
    case EMFILE:
    case ENFILE:
        return "too many files are open";
    case ENOMEM:
        return "out of memory";
    default:
        return "the disk failed";
    }
}

static bool fail(const char **problem)
{
    *problem = reason(errno);
    return false;
}

/* Some file systems cannot flush: EINVAL says that there is nothing to wait for. */
static bool flush(int file)
{
    int done;
    while ((done = fsync(file)) != 0 && errno == EINTR)
        continue;
    return done == 0 || errno == EINVAL;
}

/* Names in a folder are lasting when the folder is: that of the file itself, behind links. */
static bool flush_folder(const char *path)
{
    char *target = realpath(path, NULL), *slash = target ? strrchr(target, '/') : NULL;
    if (!slash) {
        free(target);
        return false;
    }
    slash[slash == target] = '\0';
    int folder = open(target, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    free(target);
    if (folder < 0)
        return false;
    bool done = flush(folder);
    int why = errno;
    close(folder);
    errno = why;
    return done;
}

/* ----------------------------------------------------------------- holding */

/* Opens it, and makes it when it is not there. */
static bool open_or_make(bk_held_file *held)
{
    /* Not waited for, should it be a pipe: what it is is looked at when it is open. */
    const int how = O_RDWR | O_NONBLOCK | O_NOCTTY | O_CLOEXEC;
    held->made = false;
    held->file = open(held->path, how);
    if (held->file < 0 && errno == ENOENT) {
        held->file = open(held->path, how | O_CREAT | O_EXCL, 0666);
        held->made = held->file >= 0;
    }
    return held->file >= 0;
}

static void pause_a_little(void)
{
    struct timespec pause = {.tv_nsec = PAUSE_MILLISECONDS * 1000000L};
    nanosleep(&pause, NULL);
}

/* The file that is open is the one of this name still: who held it before may have removed
 * it. */
static bool is_the_same(const bk_held_file *held, const struct stat *status)
{
    struct stat named;
    return stat(held->path, &named) == 0 && named.st_dev == status->st_dev &&
           named.st_ino == status->st_ino;
}

/* One try; false with *problem, which is NULL when it is worth another. */
static bool try_to_hold(bk_held_file *held, const char **problem)
{
    struct stat status = {0};
    *problem = NULL;
    if (!open_or_make(held)) {
        if (errno != EEXIST) /* made by somebody else meanwhile */
            *problem = reason(errno);
        return false;
    }
    if (fstat(held->file, &status) != 0)
        *problem = reason(errno);
    else if (!S_ISREG(status.st_mode))
        *problem = "it is no regular file";
    else if (flock(held->file, LOCK_EX | LOCK_NB) != 0)
        *problem = errno == EWOULDBLOCK || errno == EINTR
                       ? NULL
                       : "it cannot be locked against other writers";
    else if (is_the_same(held, &status) && fstat(held->file, &status) == 0) {
        /* An empty file may be one whose maker was stopped before it flushed the folder. */
        if (status.st_size > 0 || flush_folder(held->path))
            return true;
        *problem = reason(errno);
        if (held->made)
            unlink(held->path);
    }
    close(held->file);
    held->file = -1;
    return false;
}

bk_held_file *bk_file_hold(const char *path, const char **problem)
{
    bk_held_file *held = calloc(1, sizeof *held);
    char *name = held ? malloc(strlen(path) + 1) : NULL;
    if (!name) {
        free(held);
        *problem = reason(ENOMEM);
        return NULL;
    }
    held->path = strcpy(name, path);
    for (int i = 0; i < TRIES; i++) {
        if (try_to_hold(held, problem))
            return held;
        if (*problem)
            break;
        pause_a_little();
    }
    if (!*problem)
        *problem = BK_FILE_HELD;
    free(held->path);
    free(held);
    return NULL;
}

const char *bk_held_path(const bk_held_file *held)
{
    return held->path;
}

void bk_file_let_go(bk_held_file *held)
{
    if (!held)
        return;
    struct stat status;
    if (held->made && fstat(held->file, &status) == 0 && status.st_size == 0)
        unlink(held->path); /* while it is locked: nobody has begun to write it */
    close(held->file);      /* what was added has been flushed */
    free(held->path);
    free(held);
}

/* -------------------------------------------------------- reading and adding */

bool bk_held_length(const bk_held_file *held, size_t *length, const char **problem)
{
    struct stat status;
    if (fstat(held->file, &status) != 0)
        return fail(problem);
    *length = (size_t)status.st_size;
    return true;
}

bool bk_held_read(const bk_held_file *held, size_t offset, char *into, size_t room, size_t *got,
                  const char **problem)
{
    for (*got = 0; *got < room;) {
        ssize_t n = pread(held->file, into + *got, room - *got, (off_t)(offset + *got));
        if (n < 0 && errno != EINTR)
            return fail(problem);
        if (n == 0)
            break;
        *got += n > 0 ? (size_t)n : 0;
    }
    return true;
}

static bool write_at(int file, size_t offset, const char *bytes, size_t length)
{
    while (length > 0) {
        ssize_t n = pwrite(file, bytes, length, (off_t)offset);
        if (n < 0 && errno != EINTR)
            return false;
        size_t done = n > 0 ? (size_t)n : 0;
        bytes += done;
        offset += done;
        length -= done;
    }
    return true;
}

static bool cut(int file, size_t length)
{
    int done;
    while ((done = ftruncate(file, (off_t)length)) != 0 && errno == EINTR)
        continue;
    return done == 0 && flush(file);
}

bool bk_held_add(bk_held_file *held, const char *bytes, size_t length, const char **problem)
{
    size_t end = 0;
    if (!bk_held_length(held, &end, problem))
        return false;
    if (length > BK_MOST_BYTES || end > BK_MOST_BYTES - length) {
        *problem = "it would be larger than 16 MiB";
        return false;
    }
    /* The first byte makes it count, and comes last; until then a 0 stands there. A single
     * byte cannot be half written. */
    bool begun =
        length == 1 || (write_at(held->file, end, "", 1) &&
                        write_at(held->file, end + 1, bytes + 1, length - 1) && flush(held->file));
    if (begun && write_at(held->file, end, bytes, 1) && flush(held->file))
        return true;
    int why = errno;
    if (!cut(held->file, end))
        write_at(held->file, end, "", 1);
    errno = why;
    return fail(problem);
}

/* ------------------------------------------------------------- setting aside */

/* A new file beside it, open, and its name; -1 with errno. */
static int open_aside(bk_arena *arena, const char *path, const char **name)
{
    enum { MOST_ASIDE = 1000 };
    for (int i = 1; i <= MOST_ASIDE; i++) {
        *name =
            i == 1 ? bk_format(arena, "%s.torn", path) : bk_format(arena, "%s.torn-%d", path, i);
        int file = open(*name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (file >= 0 || errno != EEXIST)
            return file;
    }
    return -1;
}

const char *bk_held_set_aside(bk_arena *arena, bk_held_file *held, size_t from,
                              const char **problem)
{
    size_t length = 0, got = 0;
    const char *name = NULL;
    if (!bk_held_length(held, &length, problem))
        return NULL;
    if (length < from || length - from > BK_MOST_BYTES) {
        *problem = "it changed while it was read";
        return NULL;
    }
    /* All room is made before a file is opened: an arena without memory jumps. */
    char *bytes = bk_alloc(arena, length - from, 1);
    if (!bk_held_read(held, from, bytes, length - from, &got, problem))
        return NULL;
    int file = open_aside(arena, held->path, &name);
    if (file < 0) {
        fail(problem);
        return NULL;
    }
    bool kept = write_at(file, 0, bytes, got) && flush(file) && flush_folder(name);
    int why = errno;
    close(file); /* flushed: there is nothing left to fail */
    errno = why;
    if (kept && cut(held->file, from))
        return name;
    fail(problem);
    if (!kept)
        unlink(name); /* the bytes stand in the file still */
    return NULL;
}
