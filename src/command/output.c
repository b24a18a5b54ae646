/* Files that are written whole or not at all, several of them all or none. */
#define _DEFAULT_SOURCE /* mkstemp, realpath, flock */
#include "command/output.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

static const char mark[] = ".bakeset-"; /* in the name of a temporary, before six letters */

static bool say_why(const bk_world *world, const bk_output *output, const char *why)
{
    fprintf(world->err, "bakeset: cannot write %s: %s\n", bk_name_shown(output->path).text, why);
    return false;
}

static bool say(const bk_world *world, const bk_output *output)
{
    return say_why(world, output, strerror(errno));
}

/* --------------------------------------------------------------- bytes out */

/* A signal that ends the program has come; it waits while files are half written. */
static bool told_to_stop(void)
{
    sigset_t pending;
    return sigpending(&pending) == 0 &&
           (sigismember(&pending, SIGINT) == 1 || sigismember(&pending, SIGTERM) == 1 ||
            sigismember(&pending, SIGHUP) == 1);
}

/* A reader of a pipe may take its time, and the cook may lose patience with it. */
static bool wait_for_reader(int file)
{
    struct pollfd reader = {.fd = file, .events = POLLOUT};
    while (!told_to_stop()) {
        int ready = poll(&reader, 1, 100);
        if (ready > 0)
            return true;
        if (ready < 0 && errno != EINTR)
            return false;
    }
    errno = EINTR;
    return false;
}

static bool write_bytes(int file, const char *text, size_t length)
{
    while (length > 0) {
        ssize_t n = write(file, text, length);
        if (n < 0) {
            if (errno == EINTR || (errno == EAGAIN && wait_for_reader(file)))
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

static bool write_special(const bk_world *world, const bk_output *output)
{
    /* Not waited for: a pipe that nobody reads would keep the cook waiting for ever. */
    int file = open(output->path, O_WRONLY | O_NONBLOCK | O_CLOEXEC);
    if (file < 0 && errno == ENXIO)
        return say_why(world, output, "it is a pipe that nobody reads");
    return (file >= 0 && write_and_close(file, output, false)) || say(world, output);
}

/* -------------------------------------------------------------- where to */

static bool same(const struct stat *a, const struct stat *b)
{
    return a->st_dev == b->st_dev && a->st_ino == b->st_ino;
}

/* Finds the file itself behind links: those stay. */
static bool find_target(const bk_world *world, bk_output *output)
{
    struct stat status;
    output->target = realpath(output->path, NULL);
    if (!output->target) {
        struct stat link;
        if (errno != ENOENT)
            return say(world, output);
        if (lstat(output->path, &link) == 0)
            return say_why(world, output, "it is a link to something that is not there");
        output->target = strdup(output->path);
        return output->target || say(world, output);
    }
    if (stat(output->path, &status) != 0)
        return say(world, output);
    if (S_ISDIR(status.st_mode)) {
        errno = EISDIR;
        return say(world, output);
    }
    output->exists = S_ISREG(status.st_mode);
    output->rights = status.st_mode & 07777;
    output->special = !output->exists;
    /* /dev/stdout and its like are links to files that are open already: written anew
     * beside, they would part from what else goes there. */
    struct stat open_file;
    for (int file = 0; output->exists && file < 3; file++)
        if (fstat(file, &open_file) == 0 && same(&open_file, &status))
            return say_why(world, output,
                           "standard input, output or error is this file; give it another name");
    return true;
}

/* The place of a name's last part. */
static size_t folder_length(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? (size_t)(slash - path) + 1 : 0;
}

static char *folder_of(const char *path)
{
    size_t length = folder_length(path);
    return length ? strndup(path, length) : strdup(".");
}

/* Says which temporaries a run that was killed has left beside the target: nobody
 * holds their lock. */
static void tell_of_leftovers(const bk_world *world, const bk_output *output)
{
    const char *name = output->target + folder_length(output->target);
    size_t length = strlen(name);
    char *folder = folder_of(output->target);
    DIR *listing = folder ? opendir(folder) : NULL;
    for (struct dirent *entry; listing && (entry = readdir(listing));) {
        if (strncmp(entry->d_name, name, length) != 0 ||
            strncmp(entry->d_name + length, mark, sizeof mark - 1) != 0)
            continue;
        int left = openat(dirfd(listing), entry->d_name, O_RDONLY | O_NOFOLLOW | O_CLOEXEC);
        if (left < 0)
            continue;
        if (flock(left, LOCK_EX | LOCK_NB) == 0)
            fprintf(world->err,
                    "bakeset: %s%s was left half written by a run that was killed; remove it\n",
                    strcmp(folder, ".") == 0 ? "" : bk_name_shown(folder).text,
                    bk_name_shown(entry->d_name).text);
        close(left);
    }
    if (listing)
        closedir(listing);
    free(folder);
}

/* -------------------------------------------------------------- temporaries */

/* A new empty file beside the target: open, with its name to *name; -1 after saying why. */
static int open_beside(const bk_world *world, const bk_output *output, char **name)
{
    size_t size = strlen(output->target) + sizeof mark + sizeof "XXXXXX";
    *name = malloc(size);
    if (*name)
        snprintf(*name, size, "%s%sXXXXXX", output->target, mark);
    int file = *name ? mkstemp(*name) : -1;
    if (file < 0) {
        say(world, output);
        free(*name);
        *name = NULL;
    }
    return file;
}

/* The rights of the file that is replaced, or those a new file gets. */
static mode_t rights(const bk_output *output)
{
    if (output->exists)
        return output->rights;
    mode_t mask = umask(0);
    umask(mask);
    return 0666 & ~mask;
}

static bool write_temporary(const bk_world *world, bk_output *output)
{
    int file = open_beside(world, output, &output->temporary);
    if (file < 0)
        return false;
    flock(file, LOCK_EX); /* says that somebody is at it; where locks are not, nothing is lost */
    if (fchmod(file, rights(output)) != 0) {
        say(world, output);
        close(file);
        return false;
    }
    return write_and_close(file, output, true) || say(world, output);
}

/* A second name for what is about to be replaced, to put back should a later one of
 * the set fail. A file system without second names gets a plain replacement. */
static bool keep_old(const bk_world *world, bk_output *output)
{
    if (!output->exists)
        return true;
    char *name = NULL;
    int file = open_beside(world, output, &name);
    if (file < 0)
        return false;
    close(file);
    if (unlink(name) == 0 && link(output->target, name) == 0)
        output->old = name;
    else
        free(name);
    return true;
}

static bool put_in_place(const bk_world *world, bk_output *output)
{
    if (rename(output->temporary, output->target) != 0)
        return say(world, output);
    free(output->temporary);
    output->temporary = NULL;
    output->placed = true;
    return true;
}

/* Names in a folder are lasting when the folder is. */
static bool settle(const bk_world *world, const bk_output *output)
{
    char *folder = folder_of(output->target);
    int file = folder ? open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
    free(folder);
    if (file < 0)
        return say(world, output);
    /* Some file systems cannot: EINVAL says that there is nothing to wait for. */
    bool done = fsync(file) == 0 || errno == EINVAL;
    int why = errno;
    close(file);
    errno = why;
    return done || say(world, output);
}

static void take_back(const bk_world *world, bk_output *output)
{
    bool back = false;
    if (output->old)
        back = rename(output->old, output->target) == 0;
    else if (!output->exists)
        back = unlink(output->target) == 0;
    if (!back)
        fprintf(world->err, "bakeset: %s is new although the rest is not\n",
                bk_name_shown(output->path).text);
}

static void forget(char **name)
{
    if (*name)
        unlink(*name);
    free(*name);
    *name = NULL;
}

static bool write_set(const bk_world *world, bk_output *outputs, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!find_target(world, &outputs[i]))
            return false;
    for (size_t i = 0; i < count; i++)
        if (!outputs[i].special) {
            tell_of_leftovers(world, &outputs[i]);
            if (!write_temporary(world, &outputs[i]) || !keep_old(world, &outputs[i]))
                return false;
        }
    /* What cannot be taken back goes last before what cannot well fail. */
    for (size_t i = 0; i < count; i++)
        if (outputs[i].special && !write_special(world, &outputs[i]))
            return false;
    for (size_t i = 0; i < count; i++)
        if (!outputs[i].special && !put_in_place(world, &outputs[i]))
            return false;
    for (size_t i = 0; i < count; i++)
        if (!outputs[i].special && !settle(world, &outputs[i]))
            return false;
    return true;
}

bool bk_output_write_all(const bk_world *world, bk_output *outputs, size_t count)
{
    sigset_t endings, before;
    sigemptyset(&endings);
    sigaddset(&endings, SIGINT);
    sigaddset(&endings, SIGTERM);
    sigaddset(&endings, SIGHUP);
    sigprocmask(SIG_BLOCK, &endings, &before);
    bool done = write_set(world, outputs, count);
    for (size_t i = count; i-- > 0;) {
        if (!done && outputs[i].placed)
            take_back(world, &outputs[i]);
        forget(&outputs[i].temporary);
        forget(&outputs[i].old);
        free(outputs[i].target);
        outputs[i].target = NULL;
    }
    sigprocmask(SIG_SETMASK, &before, NULL);
    return done;
}

enum bakeset_result bk_output_give_new(const bk_world *world, const char *command, const char *path,
                                       const char *text, size_t length)
{
    if (!path) {
        fwrite(text, 1, length, world->out);
        return BAKESET_OK;
    }
    if (access(path, F_OK) == 0) {
        fprintf(world->err, "bakeset %s: %s is there already; name a new file\n", command,
                bk_name_shown(path).text);
        return BAKESET_BAD_INPUT;
    }
    bk_output output = {.path = path, .text = text, .length = length};
    return bk_output_write_all(world, &output, 1) ? BAKESET_OK : BAKESET_FAILED;
}

bool bk_output_holds(const char *path, const char *text, size_t length)
{
    char bytes[4096];
    size_t at = 0, n = 0;
    FILE *file = fopen(path, "rb");
    bool same_bytes = file;
    while (same_bytes && (n = fread(bytes, 1, sizeof bytes, file)) > 0) {
        same_bytes = n <= length - at && memcmp(bytes, text + at, n) == 0;
        at += n;
    }
    same_bytes = same_bytes && !ferror(file) && at == length;
    if (file)
        fclose(file);
    return same_bytes;
}

/* ------------------------------------------------------------- one file twice */

static bool folder_status(const char *path, struct stat *status)
{
    char *folder = folder_of(path);
    bool there = folder && stat(folder, status) == 0;
    free(folder);
    return there;
}

bool bk_output_same_file(const char *a, const char *b)
{
    struct stat first, second;
    if (strcmp(a, b) == 0)
        return true;
    bool has_first = stat(a, &first) == 0, has_second = stat(b, &second) == 0;
    if (has_first && has_second)
        return S_ISREG(first.st_mode) && same(&first, &second);
    return !has_first && !has_second && strcmp(a + folder_length(a), b + folder_length(b)) == 0 &&
           folder_status(a, &first) && folder_status(b, &second) && same(&first, &second);
}

/* Is it what stands beside a file of the plan, its day or its history? */
static bool is_beside(const char *path, const char *source)
{
    static const char *const endings[] = {".day.jsonl", ".history.jsonl"};
    size_t length = strlen(source), stem = length;
    if (length > strlen(".json") && strcmp(source + length - strlen(".json"), ".json") == 0)
        stem -= strlen(".json");
    char *beside = malloc(stem + sizeof ".history.jsonl");
    bool is = false;
    for (size_t i = 0; beside && !is && i < sizeof endings / sizeof *endings; i++) {
        memcpy(beside, source, stem);
        strcpy(beside + stem, endings[i]);
        is = bk_output_same_file(path, beside);
    }
    free(beside);
    return is;
}

bool bk_output_onto_plan(const bk_world *world, const bakeset *session, const char *command,
                         const char *path, const char *option)
{
    for (size_t i = 0; i < bakeset_source_count(session); i++)
        if (bk_output_same_file(path, bakeset_source(session, i))) {
            fprintf(world->err, "bakeset %s: %s is a file of the plan; give --%s another name\n",
                    command, bk_name_shown(path).text, option);
            return true;
        } else if (is_beside(path, bakeset_source(session, i))) {
            fprintf(
                world->err,
                "bakeset %s: %s is where what happened is written down; give --%s another name\n",
                command, bk_name_shown(path).text, option);
            return true;
        }
    return false;
}
