/* Files that are written whole or not at all. */
#define _XOPEN_SOURCE 700 /* mkstemp */
#include "command/output.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool say(const bk_world *world, const bk_output *output)
{
    fprintf(world->err, "bakeset: cannot write %s: %s\n", output->path, strerror(errno));
    return false;
}

static bool write_bytes(int file, const char *text, size_t length)
{
    while (length > 0) {
        ssize_t n = write(file, text, length);
        if (n < 0) {
            if (errno == EINTR)
                continue;
            return false;
        }
        text += n;
        length -= (size_t)n;
    }
    return true;
}

/* Closes in any case; errno is that of the first failure. */
static bool write_and_close(int file, const bk_output *output, bool regular)
{
    bool done = write_bytes(file, output->text, output->length) && (!regular || fsync(file) == 0);
    int why = errno;
    if (close(file) != 0 && done) {
        done = false;
        why = errno;
    }
    errno = why;
    return done;
}

static bool is_special(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 && !S_ISREG(status.st_mode) && !S_ISDIR(status.st_mode);
}

static bool write_special(const bk_world *world, const bk_output *output)
{
    int file = open(output->path, O_WRONLY);
    if (file < 0 || !write_and_close(file, output, false))
        return say(world, output);
    return true;
}

/* The rights a new file gets, or those of the file it replaces. */
static mode_t rights(const char *path)
{
    struct stat status;
    if (stat(path, &status) == 0)
        return status.st_mode & 07777;
    mode_t mask = umask(0);
    umask(mask);
    return 0666 & ~mask;
}

static bool write_temporary(const bk_world *world, bk_output *output)
{
    struct stat status;
    if (stat(output->path, &status) == 0 && S_ISDIR(status.st_mode)) {
        errno = EISDIR;
        return say(world, output);
    }
    size_t size = strlen(output->path) + sizeof ".XXXXXX";
    char *name = malloc(size);
    if (!name)
        return say(world, output);
    snprintf(name, size, "%s.XXXXXX", output->path);
    int file = mkstemp(name);
    if (file < 0) {
        free(name);
        return say(world, output);
    }
    output->temporary = name;
    if (fchmod(file, rights(output->path)) != 0) {
        close(file);
        return say(world, output);
    }
    return write_and_close(file, output, true) || say(world, output);
}

bool bk_output_write_all(const bk_world *world, bk_output *outputs, size_t count)
{
    bool done = true;
    for (size_t i = 0; i < count && done; i++)
        if (!is_special(outputs[i].path))
            done = write_temporary(world, &outputs[i]);
    for (size_t i = 0; i < count && done; i++) {
        if (!outputs[i].temporary)
            done = write_special(world, &outputs[i]);
        else if (rename(outputs[i].temporary, outputs[i].path) == 0) {
            free(outputs[i].temporary);
            outputs[i].temporary = NULL;
        } else {
            done = say(world, &outputs[i]);
        }
    }
    for (size_t i = 0; i < count; i++)
        if (outputs[i].temporary) {
            unlink(outputs[i].temporary);
            free(outputs[i].temporary);
            outputs[i].temporary = NULL;
        }
    return done;
}

/* What a path's last part stands in. */
static bool folder_of(const char *path, struct stat *status)
{
    const char *slash = strrchr(path, '/');
    if (!slash)
        return stat(".", status) == 0;
    size_t length = slash == path ? 1 : (size_t)(slash - path);
    char *folder = malloc(length + 1);
    if (!folder)
        return false;
    memcpy(folder, path, length);
    folder[length] = '\0';
    bool there = stat(folder, status) == 0;
    free(folder);
    return there;
}

static bool same(const struct stat *a, const struct stat *b)
{
    return a->st_dev == b->st_dev && a->st_ino == b->st_ino;
}

static const char *last_part(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

bool bk_output_same_file(const char *a, const char *b)
{
    struct stat first, second;
    if (strcmp(a, b) == 0)
        return true;
    bool has_first = stat(a, &first) == 0, has_second = stat(b, &second) == 0;
    if (has_first && has_second)
        return S_ISREG(first.st_mode) && same(&first, &second);
    return !has_first && !has_second && strcmp(last_part(a), last_part(b)) == 0 &&
           folder_of(a, &first) && folder_of(b, &second) && same(&first, &second);
}

bool bk_output_onto_plan(const bk_world *world, const bakeset *session, const char *command,
                         const char *path, const char *option)
{
    for (size_t i = 0; i < bakeset_source_count(session); i++)
        if (bk_output_same_file(path, bakeset_source(session, i))) {
            fprintf(world->err, "bakeset %s: %s is a file of the plan; give --%s another name\n",
                    command, path, option);
            return true;
        }
    return false;
}
