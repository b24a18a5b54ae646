/* Private to command: a search that takes its time. On a terminal a line tells how far it is, and
 * goes away again; Ctrl-C takes the best so far. */
#ifndef BK_COMMAND_SEARCHING_H
#define BK_COMMAND_SEARCHING_H

#include "command/command.h"

typedef struct bk_searching {
    const bk_world *world;
    const char *command;
    int64_t began, shown_at; /* milliseconds; shown_at 0: nothing is shown */
    bool may_end;            /* Ctrl-C calls the search off, and not the whole command */
} bk_searching;

/* Sets the callback of `scheduling`; all until bk_searching_end belongs to it. */
void bk_searching_begin(bk_searching *searching, const bk_world *world, const char *command,
                        bool may_end, struct bakeset_schedule_options *scheduling);

/* The terminal is as it was. What was given up is said on world->err where what the command prints
 * goes elsewhere. */
void bk_searching_end(bk_searching *searching, const bakeset *session);

#endif
