/* Private to command: a day that is watched on a terminal. */
#ifndef BK_COMMAND_WATCH_H
#define BK_COMMAND_WATCH_H

#include "command/command.h"

typedef struct bk_watch {
    const bk_world *world;
    bakeset *session;
    const char *path; /* of the plan */
    int64_t behind;   /* seconds to add to the clock for what time it is taken to be */
    struct bakeset_day_options day; /* without now, clock and words */
    struct bakeset_write_options write;
    /* After something was said: writes what is to be written elsewhere; false after saying why. */
    bool (*said)(void *context);
    void *context;
} bk_watch;

/* Shows the day until somebody quits, or nothing comes any more: on a terminal a screen that is
 * drawn anew each second, with keys to say done, longer and undo, and a bell at each touch; else
 * plain text, at each touch. */
enum bakeset_result bk_watch_day(bk_watch *watch);

#endif
