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
#include <unistr.h>

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

bool bk_is_text(const char *text, size_t length)
{
    return !u8_check((const uint8_t *)text, length) && !memchr(text, '\0', length);
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
    case ENOSPC:
    case EDQUOT:
        return BK_FOLDER_NO_ROOM;
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

void bk_folder_journal_of(const char *path, char *journal, size_t room)
{
    snprintf(journal, room, "%.*s.day.jsonl", (int)(strlen(path) - strlen(".json")), path);
}

/* Opens the folder that a plan's journal lies in, and names the journal there. */
static enum bk_folder_result open_journal(int folder, const char *path, int *parent, char *journal,
                                          size_t room)
{
    const char *name = NULL;
    enum bk_folder_result result = open_parent(folder, path, parent, &name);
    if (result == BK_FOLDER_OK)
        bk_folder_journal_of(name, journal, room);
    return result;
}

enum bk_folder_result bk_folder_look_day(int folder, const char *path, struct stat *status)
{
    int parent = -1;
    char journal[300];
    enum bk_folder_result result = open_journal(folder, path, &parent, journal, sizeof journal);
    if (result != BK_FOLDER_OK)
        return result;
    result = look_at(parent, journal, status);
    close(parent);
    return result;
}

enum bk_folder_result bk_folder_read_day(int folder, const char *path, bk_file *file)
{
    int parent = -1;
    char journal[300];
    enum bk_folder_result result = open_journal(folder, path, &parent, journal, sizeof journal);
    if (result != BK_FOLDER_OK)
        return result;
    result = read_at(parent, journal, file);
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

/* After make_temporary, which failed: nobody else's doing, the file itself is as it was. */
static enum bk_folder_result why_not_made(void)
{
    return result_of(errno) == BK_FOLDER_NO_ROOM ? BK_FOLDER_NO_ROOM : BK_FOLDER_FAILED;
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

static void name_temporary(const char *name, char *temporary, size_t room)
{
    enum { PLAIN = 240 }; /* of a longer one what is cut off is told apart by a hash */
    if (strlen(name) <= PLAIN)
        snprintf(temporary, room, ".%s.part", name);
    else
        snprintf(temporary, room, ".%.220s-%s.part", name, bk_version_of(name, strlen(name)).text);
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
    name_temporary(name, temporary, sizeof temporary);
    if (result == BK_FOLDER_OK)
        result = make_temporary(parent, temporary, rights, text, length)
                     ? put_in_place(parent, temporary, name, !was)
                     : why_not_made();
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

/* ------------------------------------------------------- several at a time */

/* The new text beside the file, flushed. */
static enum bk_folder_result prepare(int folder, const bk_written *file)
{
    int parent = -1;
    const char *name = NULL;
    char temporary[300];
    mode_t rights = 0644;
    if (file->length > BK_MOST_PAGE_BYTES)
        return BK_FOLDER_TOO_BIG;
    enum bk_folder_result result = open_parent(folder, file->path, &parent, &name);
    if (result != BK_FOLDER_OK)
        return result;
    result = check_version(parent, name, file->was, &rights);
    name_temporary(name, temporary, sizeof temporary);
    if (result == BK_FOLDER_OK &&
        !make_temporary(parent, temporary, rights, file->text, file->length))
        result = why_not_made();
    close(parent);
    return result;
}

/* The text beside the file takes its place, or, where not `wanted`, is removed. */
static enum bk_folder_result conclude(int folder, const char *path, bool wanted)
{
    int parent = -1;
    const char *name = NULL;
    char temporary[300];
    enum bk_folder_result result = open_parent(folder, path, &parent, &name);
    if (result != BK_FOLDER_OK)
        return result;
    name_temporary(name, temporary, sizeof temporary);
    if (wanted)
        result = put_in_place(parent, temporary, name, false);
    else
        unlinkat(parent, temporary, 0);
    close(parent);
    return result;
}

/* A line a file: what it was, what it is to be, its path. */
static bool write_down(int folder, const bk_written *files, size_t count)
{
    char text[BK_MOST_CHANGED * (BK_LONGEST_PATH + 40)];
    size_t length = 0;
    for (size_t i = 0; i < count; i++)
        length += (size_t)snprintf(text + length, sizeof text - length, "%s %s %s\n", files[i].was,
                                   files[i].version.text, files[i].path);
    return make_temporary(folder, BK_CHANGE_FILE ".part", 0600, text, length) &&
           put_in_place(folder, BK_CHANGE_FILE ".part", BK_CHANGE_FILE, false) == BK_FOLDER_OK;
}

static void strike_out(int folder)
{
    if (unlinkat(folder, BK_CHANGE_FILE, 0) == 0)
        fsync(folder);
}

/* Those that have become others are again what they were. */
static void put_back(int folder, const bk_written *files, size_t count)
{
    bk_version version;
    for (size_t i = 0; i < count; i++)
        bk_folder_write(folder, files[i].path, files[i].version.text, files[i].before,
                        files[i].before_length, &version);
}

enum bk_folder_result bk_folder_write_all(int folder, bk_written *files, size_t count,
                                          size_t *failed)
{
    enum bk_folder_result result = count <= BK_MOST_CHANGED ? BK_FOLDER_OK : BK_FOLDER_FAILED;
    size_t ready = 0, done = 0;
    for (; ready < count && result == BK_FOLDER_OK; ready += result == BK_FOLDER_OK) {
        files[ready].version = bk_version_of(files[ready].text, files[ready].length);
        result = prepare(folder, &files[ready]);
    }
    *failed = ready;
    if (result == BK_FOLDER_OK && !write_down(folder, files, count)) {
        result = BK_FOLDER_FAILED;
        *failed = 0;
    }
    for (; done < count && result == BK_FOLDER_OK; done += result == BK_FOLDER_OK) {
        *failed = done;
        result = conclude(folder, files[done].path, true);
    }
    if (result != BK_FOLDER_OK) {
        for (size_t i = 0; i < ready; i++)
            conclude(folder, files[i].path, false);
        put_back(folder, files, done);
    }
    strike_out(folder);
    return result;
}

/* One line of what was written down. */
typedef struct intent {
    char was[17], becomes[17], path[BK_LONGEST_PATH];
    bool done;
} intent;

static size_t read_intents(int folder, intent *intents)
{
    char text[BK_MOST_CHANGED * (BK_LONGEST_PATH + 40) + 1], *rest = NULL;
    size_t length = 0, count = 0;
    int file = openat(folder, BK_CHANGE_FILE, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (file < 0)
        return 0;
    bool good = read_all(file, text, sizeof text - 1, &length);
    close(file);
    text[good ? length : 0] = '\0';
    for (char *line = strtok_r(text, "\n", &rest); line && count < BK_MOST_CHANGED;
         line = strtok_r(NULL, "\n", &rest), count++) {
        intent *one = &intents[count];
        if (sscanf(line, "%16[0-9a-f] %16[0-9a-f] %1023[^\n]", one->was, one->becomes, one->path) !=
            3)
            return 0;
    }
    return count;
}

/* Is it what it was, with what it is to be beside it; or has it become that? */
static bool can_go_on(int folder, intent *one)
{
    int parent = -1;
    const char *name = NULL;
    char temporary[300];
    bk_file there = {0}, beside = {0};
    if (open_parent(folder, one->path, &parent, &name) != BK_FOLDER_OK)
        return false;
    name_temporary(name, temporary, sizeof temporary);
    bool good = read_at(parent, name, &there) == BK_FOLDER_OK;
    one->done = good && strcmp(there.version.text, one->becomes) == 0;
    good = one->done || (good && strcmp(there.version.text, one->was) == 0 &&
                         read_at(parent, temporary, &beside) == BK_FOLDER_OK &&
                         strcmp(beside.version.text, one->becomes) == 0);
    free(there.text);
    free(beside.text);
    close(parent);
    return good;
}

void bk_folder_go_on(int folder)
{
    intent *intents = calloc(BK_MOST_CHANGED, sizeof *intents);
    size_t count = intents ? read_intents(folder, intents) : 0;
    bool good = count > 0;
    for (size_t i = 0; i < count; i++)
        good = can_go_on(folder, &intents[i]) && good;
    for (size_t i = 0; i < count; i++)
        if (!intents[i].done)
            conclude(folder, intents[i].path, good);
    free(intents);
    strike_out(folder);
}

/* ----------------------------------------------------------------- listing */

bool bk_same_status(const struct stat *a, const struct stat *b)
{
    return a->st_ino == b->st_ino && a->st_dev == b->st_dev && a->st_size == b->st_size &&
           a->st_mtim.tv_sec == b->st_mtim.tv_sec && a->st_mtim.tv_nsec == b->st_mtim.tv_nsec &&
           a->st_ctim.tv_sec == b->st_ctim.tv_sec && a->st_ctim.tv_nsec == b->st_ctim.tv_nsec;
}

enum { MOST_OF_FOLDER = 20000 /* entries of one folder that are looked at in order */ };

typedef struct walk {
    bk_listing *listing;
    size_t room;
    bool failed, full;
} walk;

static void take(walk *w, const char *path, const struct stat *status)
{
    bk_listing *listing = w->listing;
    if (listing->count == BK_MOST_LISTED) {
        w->full = listing->more = true;
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

/* What one folder has in it. */
typedef struct found {
    char *name;
    bool is_folder;
} found;

typedef struct findings {
    found *items;
    size_t count, room;
} findings;

static bool is_of_the_page(const char *name)
{
    return ends_with(name, ".json") || ends_with(name, ".ics") || ends_with(name, ".day.jsonl");
}

/* A folder, or a link to one. */
static bool leads_on(int folder, const char *name, mode_t mode)
{
    struct stat status;
    return S_ISDIR(mode) ||
           (S_ISLNK(mode) && fstatat(folder, name, &status, 0) == 0 && S_ISDIR(status.st_mode));
}

static void note(walk *w, findings *all, int folder, const struct dirent *entry)
{
    struct stat status;
    bool named = is_of_the_page(entry->d_name);
    if (entry->d_name[0] == '.' || (!named && entry->d_type == DT_REG) ||
        fstatat(folder, entry->d_name, &status, AT_SYMLINK_NOFOLLOW) != 0)
        return;
    bool leads = leads_on(folder, entry->d_name, status.st_mode);
    if ((named || leads) &&
        (!is_name(entry->d_name) || (leads && S_ISLNK(status.st_mode) && !named)))
        w->listing->unlisted++;
    if ((!named && !S_ISDIR(status.st_mode)) || !is_name(entry->d_name))
        return;
    if (all->count == all->room) {
        size_t room = all->room > 0 ? 2 * all->room : 64;
        found *items = realloc(all->items, room * sizeof *items);
        w->failed = !items;
        if (!items)
            return;
        all->items = items;
        all->room = room;
    }
    all->items[all->count] = (found){strdup(entry->d_name), S_ISDIR(status.st_mode)};
    w->failed = !all->items[all->count].name;
    all->count += !w->failed;
}

static int by_name(const void *left, const void *right)
{
    return strcmp(((const found *)left)->name, ((const found *)right)->name);
}

static findings read_folder(walk *w, DIR *entries)
{
    findings all = {0};
    for (struct dirent *entry; !w->failed && (entry = readdir(entries));) {
        if (all.count == MOST_OF_FOLDER) {
            w->listing->more = true;
            break;
        }
        note(w, &all, dirfd(entries), entry);
    }
    if (all.count > 0)
        qsort(all.items, all.count, sizeof *all.items, by_name);
    return all;
}

static void walk_folder(walk *w, int folder, const char *path, int depth);

static void visit(walk *w, int folder, const char *path, int depth, const found *one)
{
    char whole[BK_LONGEST_PATH];
    struct stat status;
    int length = snprintf(whole, sizeof whole, "%s%s%s", path, *path ? "/" : "", one->name);
    if (length < 0 || (size_t)length >= sizeof whole)
        w->listing->unlisted++;
    else if (!one->is_folder && fstatat(folder, one->name, &status, AT_SYMLINK_NOFOLLOW) == 0)
        take(w, whole, &status);
    else if (one->is_folder && depth + 1 < BK_DEEPEST_PATH) {
        int below =
            openat(folder, one->name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC | O_NONBLOCK);
        if (below >= 0)
            walk_folder(w, below, whole, depth + 1);
    }
}

/* Its own files, then what is below it, by name: where not all is taken, it is the same always, and
 * what stands on top is there. The recursion is bounded by `depth`; closes `folder`. */
static void walk_folder(walk *w, int folder, const char *path, int depth)
{
    DIR *entries = fdopendir(folder);
    if (!entries) {
        close(folder);
        return; /* it went away */
    }
    findings all = read_folder(w, entries);
    for (int folders = 0; folders < 2; folders++)
        for (size_t i = 0; i < all.count && !w->failed && !w->full; i++)
            if (all.items[i].is_folder == (folders == 1))
                visit(w, folder, path, depth, &all.items[i]);
    for (size_t i = 0; i < all.count; i++)
        free(all.items[i].name);
    free(all.items);
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
