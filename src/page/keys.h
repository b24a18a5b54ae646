/* Private to page: the phones that are let in.
 *
 * A key is random, good for ten minutes and for one phone, which gets a cookie for it. Of the
 * cookies only the SHA-256 is kept, in a file of the folder that only its owner reads; when that
 * file is gone, all phones are out, also of a server that runs. */
#ifndef BK_PAGE_KEYS_H
#define BK_PAGE_KEYS_H

#include <stdbool.h>
#include <stdint.h>

#define BK_PHONES_FILE ".bakeset-phones"
#define BK_COOKIE "bakeset"

enum { BK_KEY_LENGTH = 26, BK_COOKIE_LENGTH = 52, BK_KEY_SECONDS = 600, BK_MOST_PHONES = 100 };

struct bk_keys;

/* `folder` is a descriptor. NULL with *problem: the file is there and cannot be read, or is no file
 * of this user's alone; or none can be written there, so that no phone could ever be let in. */
struct bk_keys *bk_keys_new(int folder, const char **problem);
void bk_keys_free(struct bk_keys *keys);

/* A new key in place of the one before; false: there is no randomness to be had. `now` in
 * seconds of a clock that only goes on. */
bool bk_keys_make(struct bk_keys *keys, int64_t now, char key[BK_KEY_LENGTH + 1]);

/* The key has been used, or its time is over. */
bool bk_keys_spent(struct bk_keys *keys, int64_t now);

/* It is the key, within its time, and was not used. */
bool bk_keys_good(struct bk_keys *keys, const char *key, int64_t now);

/* Takes the key, once and within its time, and gives a cookie for it that is kept. Beyond
 * BK_MOST_PHONES the one let in first is out. False: it is no key, or the cookie cannot be kept. */
bool bk_keys_pair(struct bk_keys *keys, const char *key, int64_t now,
                  char cookie[BK_COOKIE_LENGTH + 1]);

/* Was that cookie given, and is it not forgotten? */
bool bk_keys_know(struct bk_keys *keys, const char *cookie);

/* Since the last call all phones were forgotten: what goes on for them has to end. */
bool bk_keys_forgotten(struct bk_keys *keys);

/* Removes the file. False with *problem; where none is there, there is nothing to forget. */
bool bk_keys_forget(int folder, const char **problem);

#endif
