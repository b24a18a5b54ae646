/* Private to command: files that are written whole or not at all. */
#ifndef BK_COMMAND_OUTPUT_H
#define BK_COMMAND_OUTPUT_H

#include "command/command.h"

typedef struct bk_output {
    const char *path; /* as the cook gave it */
    const char *text;
    size_t length;
    /* the writer's own */
    char *target; /* behind links */
    bool exists, special, placed;
    unsigned rights; /* of the file that is there */
    char *temporary, *old;
} bk_output;

/* Writes every output to a temporary beside its path, then renames them all: they are
 * all new or all as they were, no temporary is left, and the reason is said on
 * world->err. A link stays, and what it points to is written. What is no regular file (a
 * pipe, /dev/null) is written directly, before the others are renamed; a pipe that
 * nobody reads is refused. SIGINT, SIGTERM and SIGHUP wait until it is done. A temporary
 * that a killed run has left is told of. */
bool bk_output_write_all(const bk_world *world, bk_output *outputs, size_t count);

/* Gives `text` out: to a new file at `path`, or on world->out where `path` is NULL. Nothing
 * is written over, whatever stands at `path`: says so on world->err, as `command`. */
enum bakeset_result bk_output_give_new(const bk_world *world, const char *command, const char *path,
                                       const char *text, size_t length);

/* Does the file at `path` hold these bytes and no others? */
bool bk_output_holds(const char *path, const char *text, size_t length);

/* Do both paths name one file, which need not be there yet? */
bool bk_output_same_file(const char *a, const char *b);

/* Is `path`, given to --option, a file that the session's plan was read from? The
 * cook's own files are never written over: says so on world->err. */
bool bk_output_onto_plan(const bk_world *world, const bakeset *session, const char *command,
                         const char *path, const char *option);

#endif
