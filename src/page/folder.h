/* Private to page: the folder's files. Nothing is read or written but regular files below the
 * folder, whose names end with ".json", and never by way of a link. */
#ifndef BK_PAGE_FOLDER_H
#define BK_PAGE_FOLDER_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/stat.h>

enum { BK_LONGEST_PATH = 1024, BK_DEEPEST_PATH = 8, BK_MOST_PAGE_BYTES = 1024 * 1024 };

/* Of a file's bytes: the first 64 bits of their SHA-256 in hexadecimal. */
typedef struct bk_version {
    char text[17];
} bk_version;

bk_version bk_version_of(const char *text, size_t length);

/* Of a file that is only looked at: it changes whenever the file does. */
bk_version bk_version_of_status(const struct stat *status);

enum bk_folder_result {
    BK_FOLDER_OK,
    BK_FOLDER_BAD_PATH, /* it could lead out of the folder, or is no file of the page's */
    BK_FOLDER_NONE,     /* there is no such file */
    BK_FOLDER_LINK,     /* a link is on the way */
    BK_FOLDER_TOO_BIG,
    BK_FOLDER_NOT_TEXT, /* it is not UTF-8, or has a byte 0 in it */
    BK_FOLDER_CHANGED,  /* it is not the version that was meant; or it is there already */
    BK_FOLDER_NO_ROOM,  /* the disk is full */
    BK_FOLDER_FAILED    /* the machine */
};

/* Parts with "/" between them, none of them empty or beginning with ".", UTF-8 without controls;
 * the last ends with ".json". */
bool bk_path_good(const char *path);

/* UTF-8 without a byte 0. */
bool bk_is_text(const char *text, size_t length);

typedef struct bk_file {
    char *text; /* NUL-terminated; the caller's to free */
    size_t length;
    bk_version version;
    struct stat status;
} bk_file;

/* `folder` is a descriptor of the folder. */
enum bk_folder_result bk_folder_read(int folder, const char *path, bk_file *file);

/* What is there, without reading it. */
enum bk_folder_result bk_folder_look(int folder, const char *path, struct stat *status);

/* "supper.day.jsonl" of "supper.json": the journal of the plan at `path`, into `room` bytes. */
void bk_folder_journal_of(const char *path, char *journal, size_t room);

/* The same as above of the journal of the plan at `path`. */
enum bk_folder_result bk_folder_look_day(int folder, const char *path, struct stat *status);
enum bk_folder_result bk_folder_read_day(int folder, const char *path, bk_file *file);

/* The file becomes `text`, whole or not at all, and is on the disk when this returns. `was`: the
 * version that it has to be, NULL: it must not be there; folders on its path that are missing are
 * made then. */
enum bk_folder_result bk_folder_write(int folder, const char *path, const char *was,
                                      const char *text, size_t length, bk_version *version);

/* Several files become others, all or none: as bk_folder_write does it of one, each has to be
 * there. What is to come of them is written down first (BK_CHANGE_FILE), so that one who is stopped
 * between two of them is gone on with by bk_folder_go_on. *failed: which of them was in the way. */
#define BK_CHANGE_FILE ".bakeset-change"

enum { BK_MOST_CHANGED = 8 };

typedef struct bk_written {
    const char *path, *was, *before; /* before: the text that it is now */
    size_t before_length;
    const char *text;
    size_t length;
    bk_version version; /* what it became */
} bk_written;

enum bk_folder_result bk_folder_write_all(int folder, bk_written *files, size_t count,
                                          size_t *failed);

/* Ends a change of several files that was stopped half-way, where each of them is still what it was
 * or has become what it was to be; else they stay as they are. */
void bk_folder_go_on(int folder);

/* Removes the file if it is that version. */
enum bk_folder_result bk_folder_remove(int folder, const char *path, const char *was);

/* Every file of the folder, by path, as far as BK_DEEPEST_PATH and BK_MOST_LISTED go; links
 * among them. */
enum { BK_MOST_LISTED = 2000 };

typedef struct bk_listed {
    char *path;
    struct stat status;
    bool journal; /* ends with ".day.jsonl"; else with ".json", or, of `other`, ".ics" */
    bool other;
} bk_listed;

typedef struct bk_listing {
    bk_listed *items; /* in the order of the paths' bytes */
    size_t count;
    bool more; /* there are more than were taken: each folder's own files come before what is below
                  it, by name */
    size_t unlisted; /* passed over: by their names, which are no text, or links to folders */
} bk_listing;

bool bk_folder_list(int folder, bk_listing *listing);
void bk_listing_free(bk_listing *listing);

/* The same file, unchanged? */
bool bk_same_status(const struct stat *a, const struct stat *b);

#endif
