/* The folder's files: paths, reading, writing whole or not at all, listing. */
#define _DEFAULT_SOURCE /* DT_DIR */
#include "page/folder.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <nettle/sha2.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

bk_version bk_version_of(const char *text, size_t length)
{
    struct sha256_ctx hash;
    uint8_t digest[8];
    bk_version version;
    sha256_init(&hash);
    sha256_update(&hash, length, (const uint8_t *)text);
    sha256_digest(&hash, sizeof digest, digest);
    for (size_t i = 0; i < sizeof digest; i++)
        snprintf(version.text + 2 * i, 3, "%02x", digest[i]);
    return version;
}

bk_version bk_version_of_status(const struct stat *status)
{
    char text[160];
    int length = snprintf(text, sizeof text, "%ju %jd %jd %ld %jd %ld", (uintmax_t)status->st_ino,
                          (intmax_t)status->st_size, (intmax_t)status->st_mtim.tv_sec,
                          status->st_mtim.tv_nsec, (intmax_t)status->st_ctim.tv_sec,
                          status->st_ctim.tv_nsec);
    return bk_version_of(text, (size_t)length);
}

/* ------------------------------------------------------------------- paths */

static bool ends_with(const char *text, const char *end)
{
    size_t n = strlen(text), m = strlen(end);
    return n > m && strcmp(text + n - m, end) == 0;
}

/* Bytes of the UTF-8 sequence at `text`; 0: it is none. */
static size_t sequence(const char *text, size_t left)
{
    unsigned char lead = (unsigned char)*text;
    size_t size = lead < 0x80                   ? 1
                  : lead >= 0xC2 && lead < 0xE0 ? 2
                  : lead >= 0xE0 && lead < 0xF0 ? 3
                  : lead >= 0xF0 && lead < 0xF5 ? 4
                                                : 0;
    if (size == 0 || size > left)
        return 0;
    for (size_t i = 1; i < size; i++)
        if ((text[i] & 0xC0) != 0x80)
            return 0;
    unsigned char second = size > 1 ? (unsigned char)text[1] : 0;
    bool none = (lead == 0xE0 && second < 0xA0) || (lead == 0xED && second > 0x9F) ||
                (lead == 0xF0 && second < 0x90) || (lead == 0xF4 && second > 0x8F);
    return none ? 0 : size;
}

bool bk_is_text(const char *text, size_t length)
{
    for (size_t at = 0, size; at < length; at += size) {
        size = sequence(text + at, length - at);
        if (size == 0 || text[at] == '\0')
            return false;
    }
    return true;
}

/* As a name of a file that a person reads. */
static bool is_name(const char *text)
{
    for (const char *at = text; *at; at++)
        if ((unsigned char)*at < 0x20 || *at == 0x7F || *at == '\\')
            return false;
    return bk_is_text(text, strlen(text));
}

/* Each part of it has a name and is no dot-file; no way up is among them. */
static bool parts_good(const char *path)
{
    int parts = 0;
    for (const char *part = path;; parts++) {
        size_t length = strcspn(part, "/");
        if (length == 0 || length > 255 || *part == '.' || parts == BK_DEEPEST_PATH)
            return false;
        if (part[length] == '\0')
            return true;
        part += length + 1;
    }
}

bool bk_path_good(const char *path)
{
    return path && strlen(path) < BK_LONGEST_PATH && is_name(path) && parts_good(path) &&
           ends_with(path, ".json");
}

static enum bk_folder_result result_of(int error)
{
    switch (error) {
    case ENOENT:
    case ENOTDIR:
        return BK_FOLDER_NONE;
    case ELOOP:
        return BK_FOLDER_LINK;
    case ENAMETOOLONG:
        return BK_FOLDER_BAD_PATH;
    case EEXIST:
        return BK_FOLDER_CHANGED;
    default:
        return BK_FOLDER_FAILED;
    }
}

/* Opens `part` of the open folder `at`, which is closed; makes it where `makes`. */
static int step_into(int at, const char *part, bool makes)
{
    struct stat status;
    if (makes)
        mkdirat(at, part, 0755); /* it is there already, or the next step fails */
    int next = openat(at, part, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
    int why = errno;
    /* a link to a folder is no folder here, and that is said */
    if (next < 0 && fstatat(at, part, &status, AT_SYMLINK_NOFOLLOW) == 0 && S_ISLNK(status.st_mode))
        why = ELOOP;
    close(at);
    errno = why;
    return next;
}

/* The folder that the path's last part is in, opened part by part, so that no link is on the
 * way, and made where `makes`; *name is that part. */
static enum bk_folder_result enter_parent(int folder, const char *path, bool makes, int *parent,
                                          const char **name)
{
    if (!bk_path_good(path))
        return BK_FOLDER_BAD_PATH;
    int at = fcntl(folder, F_DUPFD_CLOEXEC, 0);
    for (const char *slash; at >= 0 && (slash = strchr(path, '/')); path = slash + 1) {
        char part[256];
        size_t length = (size_t)(slash - path);
        memcpy(part, path, length);
        part[length] = '\0';
        at = step_into(at, part, makes);
    }
    *parent = at;
    *name = path;
    return at >= 0 ? BK_FOLDER_OK : result_of(errno);
}

static enum bk_folder_result open_parent(int folder, const char *path, int *parent,
                                         const char **name)
{
    return enter_parent(folder, path, false, parent, name);
}

/* ----------------------------------------------------------------- reading */

static bool read_all(int file, char *into, size_t room, size_t *length)
{
    *length = 0;
    while (*length < room) {
        ssize_t got = read(file, into + *length, room - *length);
        if (got < 0 && errno != EINTR)
            return false;
        if (got == 0)
            break;
        *length += got > 0 ? (size_t)got : 0;
    }
    return true;
}

static enum bk_folder_result read_open(int handle, bk_file *file)
{
    if (fstat(handle, &file->status) != 0)
        return BK_FOLDER_FAILED;
    if (!S_ISREG(file->status.st_mode))
        return BK_FOLDER_NONE;
    if (file->status.st_size > BK_MOST_PAGE_BYTES)
        return BK_FOLDER_TOO_BIG;
    size_t room = (size_t)file->status.st_size + 1; /* one more shows that it grew */
    char *text = malloc(room + 1);
    if (!text)
        return BK_FOLDER_FAILED;
    if (!read_all(handle, text, room, &file->length) || file->length == room) {
        free(text);
        return BK_FOLDER_FAILED;
    }
    if (!bk_is_text(text, file->length)) {
        free(text);
        return BK_FOLDER_NOT_TEXT;
    }
    text[file->length] = '\0';
    file->text = text;
    file->version = bk_version_of(text, file->length);
    return BK_FOLDER_OK;
}

static enum bk_folder_result read_at(int parent, const char *name, bk_file *file)
{
    *file = (bk_file){0};
    /* not waited for: a pipe has no writer */
    int handle = openat(parent, name, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (handle < 0)
        return result_of(errno);
    enum bk_folder_result result = read_open(handle, file);
    close(handle);
    return result;
}

enum bk_folder_result bk_folder_read(int folder, const char *path, bk_file *file)
{
    int parent = -1;
    const char *name = NULL;
    enum bk_folder_result result = open_parent(folder, path, &parent, &name);
    if (result != BK_FOLDER_OK)
        return result;
    result = read_at(parent, name, file);
    close(parent);
    return result;
}

static enum bk_folder_result look_at(int parent, const char *name, struct stat *status)
{
    if (fstatat(parent, name, status, AT_SYMLINK_NOFOLLOW) != 0)
        return result_of(errno);
    return S_ISLNK(status->st_mode)   ? BK_FOLDER_LINK
           : S_ISREG(status->st_mode) ? BK_FOLDER_OK
                                      : BK_FOLDER_NONE;
}

enum bk_folder_result bk_folder_look(int folder, const char *path, struct stat *status)
{
    int parent = -1;
    const char *name = NULL;
    enum bk_folder_result result = open_parent(folder, path, &parent, &name);
    if (result != BK_FOLDER_OK)
        return result;
    result = look_at(parent, name, status);
    close(parent);
    return result;
}

enum bk_folder_result bk_folder_look_day(int folder, const char *path, struct stat *status)
{
    int parent = -1;
    const char *name = NULL;
    char journal[300];
    enum bk_folder_result result = open_parent(folder, path, &parent, &name);
    if (result != BK_FOLDER_OK)
        return result;
    snprintf(journal, sizeof journal, "%.*s.day.jsonl", (int)(strlen(name) - strlen(".json")),
             name);
    result = look_at(parent, journal, status);
    close(parent);
    return result;
}

/* ----------------------------------------------------------------- writing */

static bool write_all(int file, const char *text, size_t length)
{
    while (length > 0) {
        ssize_t n = write(file, text, length);
        if (n < 0 && errno != EINTR)
            return false;
        text += n > 0 ? n : 0;
        length -= n > 0 ? (size_t)n : 0;
    }
    return true;
}

/* Beside the file, a dot-file that the file's name tells: what a killed server has left is in
 * nobody's way, and gone with the next change of that file. */
static bool make_temporary(int parent, const char *temporary, mode_t rights, const char *text,
                           size_t length)
{
    if (unlinkat(parent, temporary, 0) != 0 && errno != ENOENT)
        return false;
    int file =
        openat(parent, temporary, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600);
    if (file < 0)
        return false;
    bool done = write_all(file, text, length) && fchmod(file, rights) == 0 && fsync(file) == 0;
    int why = errno;
    if (close(file) != 0 && done) {
        done = false;
        why = errno;
    }
    if (!done)
        unlinkat(parent, temporary, 0);
    errno = why;
    return done;
}

/* The temporary takes the name, whatever stands there, or only where nothing does. */
static enum bk_folder_result put_in_place(int parent, const char *temporary, const char *name,
                                          bool fresh)
{
    bool placed = fresh ? linkat(parent, temporary, parent, name, 0) == 0
                        : renameat(parent, temporary, parent, name) == 0;
    struct stat status;
    if (!placed && fresh && (errno == EPERM || errno == EOPNOTSUPP)) {
        /* a file system without links: the two steps are not one there */
        errno = EEXIST;
        placed = fstatat(parent, name, &status, AT_SYMLINK_NOFOLLOW) != 0 &&
                 renameat(parent, temporary, parent, name) == 0;
    }
    enum bk_folder_result result = placed ? BK_FOLDER_OK : result_of(errno);
    unlinkat(parent, temporary, 0);
    if (placed)
        fsync(parent);
    return result;
}

static enum bk_folder_result check_version(int parent, const char *name, const char *was,
                                           mode_t *rights)
{
    bk_file there;
    if (!was)
        return faccessat(parent, name, F_OK, AT_SYMLINK_NOFOLLOW) != 0 ? BK_FOLDER_OK
                                                                       : BK_FOLDER_CHANGED;
    enum bk_folder_result result = read_at(parent, name, &there);
    if (result == BK_FOLDER_NONE)
        return BK_FOLDER_CHANGED;
    if (result != BK_FOLDER_OK)
        return result;
    *rights = there.status.st_mode & 0777;
    free(there.text);
    return strcmp(there.version.text, was) == 0 ? BK_FOLDER_OK : BK_FOLDER_CHANGED;
}

enum bk_folder_result bk_folder_write(int folder, const char *path, const char *was,
                                      const char *text, size_t length, bk_version *version)
{
    int parent = -1;
    const char *name = NULL;
    char temporary[300];
    mode_t rights = 0644;
    if (length > BK_MOST_PAGE_BYTES)
        return BK_FOLDER_TOO_BIG;
    enum bk_folder_result result = enter_parent(folder, path, !was, &parent, &name);
    if (result != BK_FOLDER_OK)
        return result;
    result = check_version(parent, name, was, &rights);
    snprintf(temporary, sizeof temporary, ".%.240s.part", name);
    if (result == BK_FOLDER_OK)
        result = make_temporary(parent, temporary, rights, text, length)
                     ? put_in_place(parent, temporary, name, !was)
                     : BK_FOLDER_FAILED;
    close(parent);
    if (result == BK_FOLDER_OK)
        *version = bk_version_of(text, length);
    return result;
}

enum bk_folder_result bk_folder_remove(int folder, const char *path, const char *was)
{
    int parent = -1;
    const char *name = NULL;
    mode_t rights;
    enum bk_folder_result result = open_parent(folder, path, &parent, &name);
    if (result != BK_FOLDER_OK)
        return result;
    result = check_version(parent, name, was, &rights);
    if (result == BK_FOLDER_OK && unlinkat(parent, name, 0) != 0)
        result = result_of(errno);
    if (result == BK_FOLDER_OK)
        fsync(parent);
    close(parent);
    return result;
}

/* ----------------------------------------------------------------- listing */

bool bk_same_status(const struct stat *a, const struct stat *b)
{
    return a->st_ino == b->st_ino && a->st_dev == b->st_dev && a->st_size == b->st_size &&
           a->st_mtim.tv_sec == b->st_mtim.tv_sec && a->st_mtim.tv_nsec == b->st_mtim.tv_nsec &&
           a->st_ctim.tv_sec == b->st_ctim.tv_sec && a->st_ctim.tv_nsec == b->st_ctim.tv_nsec;
}

typedef struct walk {
    bk_listing *listing;
    size_t room;
    bool failed;
} walk;

static void take(walk *w, const char *path, const struct stat *status)
{
    bk_listing *listing = w->listing;
    if (listing->count == BK_MOST_LISTED) {
        listing->more = true;
        return;
    }
    if (listing->count == w->room) {
        size_t room = w->room > 0 ? 2 * w->room : 64;
        bk_listed *items = realloc(listing->items, room * sizeof *items);
        if (!items) {
            w->failed = true;
            return;
        }
        listing->items = items;
        w->room = room;
    }
    bk_listed *item = &listing->items[listing->count];
    *item = (bk_listed){.path = strdup(path),
                        .status = *status,
                        .journal = ends_with(path, ".day.jsonl"),
                        .other = ends_with(path, ".ics")};
    if (!item->path) {
        w->failed = true;
        return;
    }
    listing->count++;
}

/* The recursion is bounded by `depth`; closes `folder`. */
static void walk_folder(walk *w, int folder, const char *path, int depth)
{
    DIR *entries = fdopendir(folder);
    if (!entries) {
        close(folder);
        return; /* it went away */
    }
    for (struct dirent *entry; !w->failed && (entry = readdir(entries));) {
        char whole[BK_LONGEST_PATH];
        struct stat status;
        int length = snprintf(whole, sizeof whole, "%s%s%s", path, *path ? "/" : "", entry->d_name);
        if (entry->d_name[0] == '.' || length < 0 || (size_t)length >= sizeof whole ||
            !is_name(entry->d_name))
            continue;
        bool named =
            ends_with(whole, ".json") || ends_with(whole, ".day.jsonl") || ends_with(whole, ".ics");
        if ((!named && entry->d_type == DT_REG) ||
            fstatat(folder, entry->d_name, &status, AT_SYMLINK_NOFOLLOW) != 0)
            continue;
        if (S_ISDIR(status.st_mode) && depth + 1 < BK_DEEPEST_PATH) {
            int below = openat(folder, entry->d_name,
                               O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK);
            if (below >= 0)
                walk_folder(w, below, whole, depth + 1);
        } else if (named) {
            take(w, whole, &status);
        }
    }
    closedir(entries);
}

static int by_path(const void *left, const void *right)
{
    return strcmp(((const bk_listed *)left)->path, ((const bk_listed *)right)->path);
}

bool bk_folder_list(int folder, bk_listing *listing)
{
    walk w = {.listing = listing};
    *listing = (bk_listing){0};
    int again = openat(folder, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (again < 0)
        return false;
    walk_folder(&w, again, "", 0);
    if (w.failed) {
        bk_listing_free(listing);
        return false;
    }
    if (listing->count > 0)
        qsort(listing->items, listing->count, sizeof *listing->items, by_path);
    return true;
}

void bk_listing_free(bk_listing *listing)
{
    for (size_t i = 0; i < listing->count; i++)
        free(listing->items[i].path);
    free(listing->items);
    *listing = (bk_listing){0};
}
