/* The journal of a day: what was said of it, line by line, beside the plan.
 *
 * "supper.json" has "supper.day.jsonl": one JSON object a line, only ever appended to.
 * The first line says what it is the journal of:
 *     {"format": "bakeset-day-1", "at": "2026-12-04T17:30:00+01:00", "occasion": "Friday supper"}
 * and each line behind it one thing that happened, an entry. Private to src/day.
 */
#ifndef BK_DAY_JOURNAL_H
#define BK_DAY_JOURNAL_H

#include "files/files.h"
#include "time/time.h"

/* What no day reaches, and no sum overflows with: two weeks. */
enum { BK_MOST_LONGER = 14 * BK_DAY };

enum bk_day_what {
    BK_DAY_BEGUN,    /* a stage; in `at` it began */
    BK_DAY_DONE,     /* a stage; it ended */
    BK_DAY_LONGER,   /* a stage takes `minutes` more than was thought */
    BK_DAY_SKIPPED,  /* a stage is left out */
    BK_DAY_HOT,      /* `oven` is hot, at `temperature_c` or unsaid */
    BK_DAY_SERVED,   /* a dish is on the table */
    BK_DAY_OUT,      /* a dish is dropped */
    BK_DAY_LATER,    /* serve, of `dish` or of all, moves as --serve would: `serve` */
    BK_DAY_COOK,     /* `cook` is there until `until` */
    BK_DAY_UNDO,     /* the last entry that counts does not */
    BK_DAY_FINISHED, /* the day is over */
    BK_DAY_PLANNED   /* not said by anybody: what bakeset told the cook then, `starts` */
};

/* When a stage was to start, as the timeline of then had it. */
typedef struct bk_planned_start {
    const char *dish, *stage;
    bk_instant start;
    const char *oven; /* "oven#1", or NULL */
} bk_planned_start;

/* One line. What a kind of entry does not speak of is NULL, 0 or NAN. As read, these are there:
 *     begun, done, skipped   dish, stage
 *     longer                 dish, stage, minutes (1 to BK_MOST_LONGER)
 *     hot                    oven; temperature_c may lack
 *     served, out            dish
 *     later                  serve; dish may lack
 *     cook                   cook, until
 *     planned                starts, each with dish, stage and start; there may be none
 * and are not empty. Names are not looked up in any plan, and `at` need not be in order: what
 * is told late comes late. */
typedef struct bk_day_entry {
    enum bk_day_what what;
    bk_instant at; /* when it happened */
    const char *dish, *stage;
    int64_t minutes;
    const char *oven;
    double temperature_c; /* without fan, as bk_read_oven_temperature reads it; NAN: not said.
                             Written to a tenth of a degree */
    const char *serve;    /* "+25 min", "21:00" or an instant, as typed behind the = of --serve */
    const char *cook;
    bk_instant until;
    bk_planned_start *starts;
    size_t start_count;
    const char *id; /* by which who said it knows it; NULL: none */
    bk_place place; /* of the line, for messages */
} bk_day_entry;

typedef struct bk_journal {
    bool there;           /* the file exists and has its first line */
    bk_instant begun;     /* `at` of the first line */
    const char *occasion; /* of the first line; NULL: it has none */
    bk_day_entry *entries;
    size_t count;
    /* What was half written when the machine was stopped, always at the end. It is no entry.
     * Its bytes, from `torn_at` of the file on; torn_length 0: there is none. A last line that
     * is whole and lacks only its line break (an editor's doing) is an entry, not this. */
    size_t torn_at, torn_length;
    size_t length; /* bytes of the whole lines */
} bk_journal;

/* "supper.json" -> "supper.day.jsonl"; a path that does not end in ".json" gets
 * ".day.jsonl" behind it. */
const char *bk_journal_path(bk_arena *arena, const char *plan_path);

/* Reads the journal at `path`; one that is not there or is empty has no entries. False after
 * reporting (`file:line:column: what is wrong; what to write instead`): a line that is no
 * entry, a first line of something else, more than BK_MOST_LINES (lines/lines.h) lines, a file
 * that cannot be read (then report->machine_failed). Unknown keys of a line are passed over,
 * a later version may have written them; an unknown `what` is an error. Instants carry their
 * offset, so no zone is asked; seconds are dropped. A torn last line is no error. May be
 * called while the journal is held. */
bool bk_journal_read(bk_arena *arena, const bk_files *files, const char *path, bk_journal *journal,
                     bk_report *report);

/* A journal that is held for writing: nobody else writes it until it is let go. It lives
 * outside the arena: whoever catches the jump of an arena without memory lets it go too. */
typedef bk_held_file bk_journal_lock;

/* Takes the lock, waiting about two seconds for another writer; makes the file when there is
 * none (with its folder flushed). Read the journal after it, not before. NULL after reporting
 * (code "held": another program holds it; code "file": no rights, no room, a read-only file
 * system), with report->machine_failed. */
bk_journal_lock *bk_journal_hold(const char *path, bk_report *report);

/* Sets a torn last line aside in a file of its own beside the journal, PATH.torn or, when
 * that is there, PATH.torn-2 ..., flushed before the journal is cut back to its whole
 * lines. Its path, or NULL after reporting. To be called before bk_journal_append when
 * torn_length is not 0. */
const char *bk_journal_set_aside(bk_arena *arena, bk_journal_lock *lock, const bk_journal *journal,
                                 bk_report *report);

/* Appends entries (with the first line before them where the journal is empty: `begun` and
 * `occasion`, which may be NULL), flushed to the disk before it returns. All of them are
 * there after it or none is, whatever fails or is killed: a write that came to an end half-way
 * is cut off again, and if nobody is left to do that it reads as torn. False after reporting:
 * the machine failed, a torn line was not set aside, or an entry lacks what it must have
 * (above). `zone`: in which instants are written. */
bool bk_journal_append(bk_arena *arena, bk_journal_lock *lock, const bk_zone *zone,
                       bk_instant begun, const char *occasion, const bk_day_entry *entries,
                       size_t count, bk_report *report);

/* Lets it go; one that was made and is still empty is gone again. Accepts NULL. */
void bk_journal_release(bk_journal_lock *lock);

#endif
