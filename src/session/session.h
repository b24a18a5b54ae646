/* The library's face over the rooms: a session, and what its calls share. Each public function is
 * one setjmp, the one place where running out of memory in it is caught, around a function that
 * does it. */
#ifndef BK_SESSION_H
#define BK_SESSION_H

#include "bakeset.h"

#include "day/day.h"
#include "schedule/schedule.h"
#include "write/write.h"

#include <setjmp.h>
#include <stdbool.h>
#include <stddef.h>

/* What one kind of call leaves behind, until the next of its kind takes its place. */
typedef struct bk_shelf {
    bk_arena *arena;
    bk_report report;
    struct bakeset_message *messages; /* of the report, so that asking for one cannot fail */
    size_t count;
    bool out_of_memory; /* one message more, behind them */
} bk_shelf;

/* In the order of their messages. */
enum {
    BK_READING,    /* the plan */
    BK_SCHEDULING, /* its timeline, and what was written of it */
    BK_COOLING,    /* an estimate, and what was written of it */
    BK_TAKING,     /* a text that came in, and what was made of it */
    BK_SHELVES
};

struct bakeset {
    jmp_buf no_memory;
    bk_shelf shelves[BK_SHELVES];
    const bk_plan *plan;
    const bk_plan *read; /* the same, also around a recipe or a kitchen by itself */
    bk_timeline *timeline;
    bk_day *day;                  /* the timeline is of a day under way; or NULL */
    struct bk_held_file *journal; /* held while bakeset_day adds to it */
    const char *const *choices, *const *running;
    bk_instant next_touch;
    bk_cooled *cooled;
    enum bakeset_result result;
};

/* ------------------------------------------------ a call's first and last */

void bk_shelf_clear(bk_shelf *shelf);
/* Each with what was made of it. */
void bk_session_clear_cooling(bakeset *session);
void bk_session_clear_timeline(bakeset *session);
void bk_session_clear_plan(bakeset *session);

/* The caller's options, of which this version knows the first `size` bytes, into
 * zeroed ones of ours. False after reporting. */
bool bk_shelf_take_options(bk_shelf *shelf, const void *given, void *options, size_t size);
bool bk_shelf_take_write_options(bk_shelf *shelf, const struct bakeset_write_options *given,
                                 struct bakeset_write_options *options);
bk_read_options bk_reading_of(const struct bakeset_read_options *options);

/* Reports a wrong call; `mend` may be NULL. */
void bk_shelf_usage(bk_shelf *shelf, const char *what, const char *mend);

/* Ends a call: what was reported is given out. */
enum bakeset_result bk_session_finish(bakeset *session, bk_shelf *shelf,
                                      enum bakeset_result result);
/* Ends a call that gives a string, which is NULL when there is a fault. */
const char *bk_session_finish_text(bakeset *session, bk_shelf *shelf, const bk_text *text,
                                   size_t *length);
/* Ends a call that found no memory. What it should have made is not there; what
 * others left is. */
enum bakeset_result bk_session_out_of_memory(bakeset *session, bk_shelf *shelf);

/* ------------------------------------------------ what several calls need */

/* One text in memory under a name; everything else from the system. */
struct bk_memory_file {
    bk_files system;
    const char *name, *text;
    size_t length;
};

/* bk_files.load of a struct bk_memory_file. */
bool bk_load_memory(void *context, bk_arena *arena, const char *path, size_t most,
                    const char **text, size_t *length, const char **problem);

/* A file that a call of this shelf asks for; false after reporting. `limit` is `most` in
 * words. */
bool bk_shelf_load(bk_shelf *shelf, const char *path, size_t most, const char *limit,
                   const char **text, size_t *length);

/* The stage a cook names; SIZE_MAX with a message when it is none. */
size_t bk_shelf_find_stage(const bk_plan *plan, const char *name, bk_shelf *shelf);

/* Who wants to be told how far a search is. */
typedef struct bk_told {
    bk_arena *arena;
    int (*progress)(void *context, const struct bakeset_progress *progress);
    void *context;
} bk_told;

/* Tells a bk_told; false: it is to end. */
bool bk_tell(void *context, const bk_search_state *progress);

bk_text_style bk_style_of(const struct bakeset_write_options *options);
/* Whatever was written with that style: names of files, numbers in tables. */
void bk_keep_to_ascii(const bk_text_style *style, bk_text *text);

/* The timeline in a form, onto `out`; false after reporting. */
bool bk_session_write_form(bakeset *session, enum bakeset_form form,
                           const struct bakeset_write_options *options, bk_text *out);
/* The same as a call that gives a string. */
const char *bk_session_write(bakeset *session, enum bakeset_form form,
                             const struct bakeset_write_options *given, size_t *length);

#endif
