/* The phones that are let in: keys and cookies. */
#define _DEFAULT_SOURCE /* getentropy */
#include "page/keys.h"
#include "page/folder.h"

#include <errno.h>
#include <fcntl.h>
#include <nettle/memops.h>
#include <nettle/sha2.h>
#include <pthread.h>
#include <stdio.h> /* renameat */
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { HASH_DIGITS = 2 * SHA256_DIGEST_SIZE, LINE = HASH_DIGITS + 1 };

static const char temporary[] = BK_PHONES_FILE ".part";

struct bk_keys {
    pthread_mutex_t lock;
    int folder;
    uint8_t key[SHA256_DIGEST_SIZE]; /* the hash of the key that is good now */
    bool has_key;
    int64_t made;
    char hashes[BK_MOST_PHONES][LINE]; /* each a line of the file */
    size_t count;
    bool forgotten;     /* there were some, and the file is gone */
    struct stat status; /* of the file as it was read; st_nlink 0: it was not there */
};

/* ------------------------------------------------------------------- words */

/* `length` characters of which each holds five bits. */
static bool random_word(char *word, size_t length)
{
    static const char digits[] = "abcdefghijklmnopqrstuvwxyz234567";
    unsigned char bytes[64];
    if (length > sizeof bytes || getentropy(bytes, length) != 0)
        return false;
    for (size_t i = 0; i < length; i++)
        word[i] = digits[bytes[i] % 32];
    word[length] = '\0';
    return true;
}

static void hash(const char *word, uint8_t digest[SHA256_DIGEST_SIZE])
{
    struct sha256_ctx context;
    sha256_init(&context);
    sha256_update(&context, strlen(word), (const uint8_t *)word);
    sha256_digest(&context, SHA256_DIGEST_SIZE, digest);
}

static void hash_line(const char *word, char line[LINE])
{
    static const char digits[] = "0123456789abcdef";
    uint8_t digest[SHA256_DIGEST_SIZE];
    hash(word, digest);
    for (size_t i = 0; i < sizeof digest; i++) {
        line[2 * i] = digits[digest[i] / 16];
        line[2 * i + 1] = digits[digest[i] % 16];
    }
    line[HASH_DIGITS] = '\n';
}

/* ---------------------------------------------------------------- the file */

static bool lines_good(const struct bk_keys *keys)
{
    for (size_t i = 0; i < keys->count; i++)
        if (keys->hashes[i][HASH_DIGITS] != '\n')
            return false;
    return true;
}

static const char *read_open(struct bk_keys *keys, int file)
{
    if (fstat(file, &keys->status) != 0)
        return "it cannot be read";
    if (!S_ISREG(keys->status.st_mode) || keys->status.st_uid != geteuid() ||
        (keys->status.st_mode & 077) != 0)
        return "it is no file that only you can read and write";
    size_t length = 0, room = sizeof keys->hashes;
    for (ssize_t got = 1; got > 0 && length<room; length += got> 0 ? (size_t)got : 0)
        got = read(file, (char *)keys->hashes + length, room - length);
    keys->count = length / LINE;
    return length % LINE == 0 && lines_good(keys) ? NULL : "it is none of bakeset's";
}

/* Why it cannot be read; NULL: it was, or is not there. Nobody is let in by what cannot be read. */
static const char *read_file(struct bk_keys *keys)
{
    keys->count = 0;
    keys->status = (struct stat){0};
    int file = openat(keys->folder, BK_PHONES_FILE, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    if (file < 0)
        return errno == ENOENT ? NULL : "it cannot be read";
    const char *problem = read_open(keys, file);
    close(file);
    if (problem)
        keys->count = 0;
    return problem;
}

/* With the lock: the phones as the file has them now. */
static void follow_file(struct bk_keys *keys)
{
    struct stat now, whole;
    if (fstat(keys->folder, &whole) == 0 && whole.st_nlink == 0)
        return; /* all of the folder went, which is no word about the phones */
    bool there = fstatat(keys->folder, BK_PHONES_FILE, &now, AT_SYMLINK_NOFOLLOW) == 0;
    if (!there) {
        keys->forgotten |= keys->count > 0;
        keys->count = 0;
    } else if (!bk_same_status(&now, &keys->status)) {
        read_file(keys);
    }
}

static bool write_file(struct bk_keys *keys)
{
    size_t length = keys->count * LINE, done = 0;
    unlinkat(keys->folder, temporary, 0);
    int file =
        openat(keys->folder, temporary, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600);
    if (file < 0)
        return false;
    for (ssize_t n = 1; n > 0 && done<length; done += n> 0 ? (size_t)n : 0)
        n = write(file, (const char *)keys->hashes + done, length - done);
    bool good = done == length && fsync(file) == 0;
    good = close(file) == 0 && good &&
           renameat(keys->folder, temporary, keys->folder, BK_PHONES_FILE) == 0;
    if (!good)
        unlinkat(keys->folder, temporary, 0);
    fsync(keys->folder);
    return good && fstatat(keys->folder, BK_PHONES_FILE, &keys->status, AT_SYMLINK_NOFOLLOW) == 0;
}

bool bk_keys_forget(int folder, const char **problem)
{
    *problem = "it cannot be removed";
    return unlinkat(folder, BK_PHONES_FILE, 0) == 0 || errno == ENOENT;
}

/* Tried, as rights alone do not tell it of a medium that is only read. */
static const char *try_to_write(int folder)
{
    unlinkat(folder, temporary, 0);
    int file =
        openat(folder, temporary, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0600);
    if (file < 0)
        return "it cannot be written; let bakeset write into the folder";
    close(file);
    unlinkat(folder, temporary, 0);
    return NULL;
}

/* ---------------------------------------------------------------------- all */

struct bk_keys *bk_keys_new(int folder, const char **problem)
{
    struct bk_keys *keys = calloc(1, sizeof *keys);
    *problem = "there is no memory";
    if (!keys)
        return NULL;
    pthread_mutex_init(&keys->lock, NULL);
    keys->folder = folder;
    *problem = read_file(keys);
    if (!*problem)
        *problem = try_to_write(folder);
    if (!*problem)
        return keys;
    bk_keys_free(keys);
    return NULL;
}

void bk_keys_free(struct bk_keys *keys)
{
    if (!keys)
        return;
    pthread_mutex_destroy(&keys->lock);
    free(keys);
}

bool bk_keys_make(struct bk_keys *keys, int64_t now, char key[BK_KEY_LENGTH + 1])
{
    if (!random_word(key, BK_KEY_LENGTH))
        return false;
    pthread_mutex_lock(&keys->lock);
    hash(key, keys->key);
    keys->has_key = true;
    keys->made = now;
    pthread_mutex_unlock(&keys->lock);
    return true;
}

/* With the lock. */
static bool is_over(const struct bk_keys *keys, int64_t now)
{
    return !keys->has_key || now - keys->made > BK_KEY_SECONDS;
}

bool bk_keys_spent(struct bk_keys *keys, int64_t now)
{
    pthread_mutex_lock(&keys->lock);
    bool spent = is_over(keys, now);
    pthread_mutex_unlock(&keys->lock);
    return spent;
}

/* With the lock. */
static bool let_in(struct bk_keys *keys, char *cookie)
{
    follow_file(keys);
    if (!random_word(cookie, BK_COOKIE_LENGTH))
        return false;
    if (keys->count == BK_MOST_PHONES)
        memmove(keys->hashes[0], keys->hashes[1], --keys->count * LINE);
    hash_line(cookie, keys->hashes[keys->count++]);
    if (write_file(keys))
        return true;
    read_file(keys);
    return false;
}

bool bk_keys_good(struct bk_keys *keys, const char *key, int64_t now)
{
    uint8_t digest[SHA256_DIGEST_SIZE];
    hash(key, digest);
    pthread_mutex_lock(&keys->lock);
    bool good = !is_over(keys, now) && memeql_sec(digest, keys->key, sizeof digest);
    pthread_mutex_unlock(&keys->lock);
    return good;
}

bool bk_keys_pair(struct bk_keys *keys, const char *key, int64_t now,
                  char cookie[BK_COOKIE_LENGTH + 1])
{
    uint8_t digest[SHA256_DIGEST_SIZE];
    hash(key, digest);
    pthread_mutex_lock(&keys->lock);
    bool good = !is_over(keys, now) && memeql_sec(digest, keys->key, sizeof digest);
    if (good) {
        keys->has_key = false; /* also where the cookie cannot be kept: once is once */
        good = let_in(keys, cookie);
    }
    pthread_mutex_unlock(&keys->lock);
    return good;
}

bool bk_keys_know(struct bk_keys *keys, const char *cookie)
{
    char line[LINE];
    bool known = false;
    hash_line(cookie, line);
    pthread_mutex_lock(&keys->lock);
    follow_file(keys);
    for (size_t i = 0; i < keys->count; i++)
        known |= memeql_sec(line, keys->hashes[i], LINE);
    pthread_mutex_unlock(&keys->lock);
    return known;
}

bool bk_keys_forgotten(struct bk_keys *keys)
{
    pthread_mutex_lock(&keys->lock);
    follow_file(keys);
    bool forgotten = keys->forgotten;
    keys->forgotten = false;
    pthread_mutex_unlock(&keys->lock);
    return forgotten;
}
