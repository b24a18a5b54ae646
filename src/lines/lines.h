/* A file of one JSON object a line that is only ever added to. */
#ifndef BK_LINES_H
#define BK_LINES_H

#include "files/files.h"
#include "time/time.h"
#include "json/json.h"

/* More lines than this in one file is an error: it bounds memory and time. */
enum { BK_MOST_LINES = 100000 };

typedef struct bk_lines {
    bool there;                  /* the file exists */
    const bk_source *source;     /* all of it */
    size_t count;                /* of whole lines, each of which was given to the reader */
    size_t length;               /* bytes of the whole lines */
    size_t torn_at, torn_length; /* what a stopped writer left behind them; length 0: nothing */
} bk_lines;

/* Takes what it wants of a line, an object, which is gone when it returns. False after reporting
 * what is wrong with it; the lines behind it are read all the same. */
typedef bool (*bk_line_reader)(void *context, const bk_json *line, bk_report *report);

/* Reads the file at `path`, line by line; one that is not there is empty. Blank lines are passed
 * over. At the end what was left half written is told from what counts: that is what begins with a
 * 0 (bk_held_add), and what has no end of line and is no whole object either. A whole object
 * counts, an editor may have left out the last end of line. False after reporting a line that
 * is no JSON object, or a file that cannot be read. `what` is what to call the file in
 * messages: "the journal". */
bool bk_lines_read(bk_arena *arena, const bk_files *files, const char *path, const char *what,
                   bk_line_reader each, void *context, bk_lines *lines, bk_report *report);

/* Holds the file for adding to it; NULL after reporting. */
bk_held_file *bk_lines_hold(const char *path, const char *what, bk_report *report);

typedef struct bk_lines_end {
    bool empty;   /* no line is there, blank ones aside */
    bool unended; /* the last line is whole but for its end */
} bk_lines_end;

/* How the file ends, which is to be asked before anything is added. False after reporting,
 * also when what a stopped writer left has not been set aside. */
bool bk_lines_look(bk_arena *arena, const bk_held_file *file, const char *what, bk_lines_end *end,
                   bk_report *report);

/* Adds `length` bytes of whole lines to a file that ends so, all or none, flushed. A last line
 * without its end gets one first. False after reporting, nothing added. */
bool bk_lines_add(bk_held_file *file, const char *what, const bk_lines_end *end, const char *bytes,
                  size_t length, bk_report *report);

/* Sets what is torn aside (bk_held_set_aside); NULL after reporting. */
const char *bk_lines_set_aside(bk_arena *arena, bk_held_file *file, const char *what,
                               size_t torn_at, bk_report *report);

/* The readers of one key of a line. Each reports what is missing or no such thing, the place
 * with it, and gives false. */

/* A text that is not empty, copied into the arena. With `may_lack` a key that is missing or null is
 * no error, and leaves *text alone. */
bool bk_line_text(bk_arena *arena, const bk_json *line, const char *key, bool may_lack,
                  const char **text, bk_report *report);

/* A date and time of RFC 3339 with its offset, to the minute it lies in. */
bool bk_line_instant(const bk_json *line, const char *key, bk_instant *instant, bk_report *report);

/* A whole number of minutes from `least` to `most`, or a duration as a cook writes it ("20
 * min"). */
bool bk_line_minutes(const bk_json *line, const char *key, int64_t least, int64_t most,
                     int64_t *minutes, bk_report *report);

#endif
