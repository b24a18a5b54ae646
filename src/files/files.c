/* The system's files. */
#define _XOPEN_SOURCE 700 /* realpath */
#include "files/files.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Those that are the machine's: the file may be sound. */
static const char not_allowed[] = "no permission", too_many[] = "too many files are open",
                  not_readable[] = "it cannot be read";

bool bk_file_machine_failed(const char *problem)
{
    return problem == not_allowed || problem == too_many || problem == not_readable;
}

/* The reasons in fixed words: strerror speaks the locale's language. */
static const char *reason(int error)
{
    switch (error) {
    case ENOENT:
    case ENOTDIR:
        return BK_NO_SUCH_FILE;
    case EACCES:
    case EPERM:
        return not_allowed;
    case EISDIR:
        return "it is a folder";
    case ENAMETOOLONG:
        return "the name is too long";
    case ELOOP:
        return "symbolic links go in a circle";
    case EMFILE:
    case ENFILE:
        return too_many;
    default:
        return not_readable;
    }
}

/* Reads until `room` bytes or the end. A pipe is opened without waiting: one that somebody
 * writes to is waited for from its first byte on, one that nobody holds is at its end. */
static bool read_all(int file, char *text, size_t room, size_t *length, const char **problem)
{
    *length = 0;
    while (*length < room) {
        ssize_t got = read(file, text + *length, room - *length);
        if (got == 0)
            break;
        if (got > 0) {
            *length += (size_t)got;
            continue;
        }
        struct pollfd writer = {.fd = file, .events = POLLIN};
        int why = errno;
        if (why == EAGAIN && poll(&writer, 1, -1) < 0)
            why = errno;
        if (why != EAGAIN && why != EINTR) {
            *problem = reason(why);
            return false;
        }
    }
    return true;
}

/* What a path names, before it is opened: how long it is; false when it is nothing to
 * read. */
static bool look_at(const char *path, size_t most, size_t *room, bool *pipe, const char **problem)
{
    struct stat status = {0};
    if (stat(path, &status) != 0) {
        *problem = reason(errno);
        return false;
    }
    if (S_ISDIR(status.st_mode)) {
        *problem = reason(EISDIR);
        return false;
    }
    *pipe = S_ISFIFO(status.st_mode);
    if (S_ISREG(status.st_mode) && status.st_size > 0) {
        if ((uintmax_t)status.st_size > most) {
            *problem = BK_TOO_LONG;
            return false;
        }
        *room = (size_t)status.st_size;
    }
    return true;
}

static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    (void)context;
    bool standard = strcmp(path, "-") == 0, pipe = false;
    /* All room is made before the file is opened: an arena without memory jumps,
     * and must not leave a file open. A pipe may be as long as the limit. */
    size_t room = most;
    if (!standard && !look_at(path, most, &room, &pipe, problem))
        return false;
    char *into = BK_NEW(arena, char, room + 2);
    int file = standard ? STDIN_FILENO : open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC);
    if (file < 0) {
        *problem = reason(errno);
        return false;
    }
    bool read = read_all(file, into, room + 1, length, problem);
    if (!standard)
        close(file);
    if (read && *length > room) {
        *problem = room == most ? BK_TOO_LONG : "it changed while it was read";
        return false;
    }
    if (read && pipe && *length == 0) {
        *problem = "it is a pipe that nobody writes to";
        return false;
    }
    into[read ? *length : 0] = '\0';
    *text = into;
    return read;
}

enum bk_whereabouts bk_file_where(const char *folder, const char *path)
{
    char inside[PATH_MAX], real[PATH_MAX];
    if (!realpath(folder, inside) || !realpath(path, real))
        return BK_NOWHERE;
    size_t length = strlen(inside);
    bool root = length == 1; /* "/" */
    bool below = strncmp(real, inside, length) == 0 && (root || real[length] == '/');
    return below ? BK_INSIDE : BK_OUTSIDE;
}

bk_files bk_files_system(void)
{
    bk_files files = {load, NULL};
    return files;
}
