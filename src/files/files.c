/* The system's files. */
#include "files/files.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

/* The reasons in fixed words: strerror speaks the locale's language. */
static const char *reason(int error)
{
    switch (error) {
    case ENOENT:
    case ENOTDIR:
        return "no such file";
    case EACCES:
    case EPERM:
        return "no permission";
    case EISDIR:
        return "it is a folder";
    case ENAMETOOLONG:
        return "the name is too long";
    case ELOOP:
        return "symbolic links go in a circle";
    case EMFILE:
    case ENFILE:
        return "too many files are open";
    default:
        return "it cannot be read";
    }
}

/* Reads until `room` bytes or the end. */
static bool read_all(FILE *file, char *text, size_t room, size_t *length, const char **problem)
{
    *length = 0;
    while (*length < room) {
        size_t got = fread(text + *length, 1, room - *length, file);
        if (got == 0) {
            break;
        }
        *length += got;
    }
    if (ferror(file) != 0) {
        *problem = reason(errno);
        return false;
    }
    return true;
}

static bool load(void *context, bk_arena *arena, const char *path, size_t most, const char **text,
                 size_t *length, const char **problem)
{
    (void)context;
    bool standard = strcmp(path, "-") == 0;
    struct stat status = {0};
    if (!standard && stat(path, &status) != 0) {
        *problem = reason(errno);
        return false;
    }
    if (!standard && S_ISDIR(status.st_mode)) {
        *problem = reason(EISDIR);
        return false;
    }
    /* All room is made before the file is opened: an arena without memory jumps,
     * and must not leave a file open. A pipe may be as long as the limit. */
    size_t room = most;
    if (!standard && S_ISREG(status.st_mode) && status.st_size > 0) {
        if ((uintmax_t)status.st_size > most) {
            *problem = BK_TOO_LONG;
            return false;
        }
        room = (size_t)status.st_size;
    }
    char *into = BK_NEW(arena, char, room + 2);
    errno = 0;
    FILE *file = standard ? stdin : fopen(path, "rb");
    if (file == NULL) {
        *problem = reason(errno);
        return false;
    }
    bool read = read_all(file, into, room + 1, length, problem);
    if (!standard) {
        fclose(file);
    }
    if (read && *length > room) {
        *problem = room == most ? BK_TOO_LONG : "it changed while it was read";
        return false;
    }
    into[read ? *length : 0] = '\0';
    *text = into;
    return read;
}

bk_files bk_files_system(void)
{
    bk_files files = {load, NULL};
    return files;
}
