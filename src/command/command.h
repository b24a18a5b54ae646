/* The commands: options in, the library's calls, words out. One file each. */
#ifndef BK_COMMAND_H
#define BK_COMMAND_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

#include "bakeset.h"
#include "command/shown.h"

/* What main found out about the world, so that no command asks it itself. */
typedef struct bk_world {
    FILE *out, *err;
    int width;            /* columns of the terminal behind `out`; 0: not one */
    bool terminal_colour; /* `out` is a terminal that shows colours and NO_COLOR is not set */
    bool ascii;           /* the locale is none of UTF-8 */
    bool person;          /* `err` is a terminal: somebody reads it */
    int err_width;        /* columns of the terminal behind `err`, where a line of it can be
                             erased; 0: none */
    int64_t (*milliseconds)(void);     /* of a clock that nobody sets */
    void (*hold_interrupt)(bool held); /* while it is held the first SIGINT ends nothing; the second
                                          ends the program at once */
    bool (*interrupted)(void);         /* one has come while it was held */
    int64_t (*seconds)(void);          /* the same clock's seconds */
    int64_t (*clock)(void);            /* minutes since 1970-01-01T00:00Z */
    bool (*ask)(char *line, size_t room); /* an answer typed by somebody, without its line break;
                                             NULL: nobody can be asked */
    const char *(*environment)(const char *name); /* a variable's value, or NULL */
} bk_world;

typedef struct bk_command {
    const char *name, *summary;
    enum bakeset_result (*run)(const bk_world *world, int argc, char **argv);
} bk_command;

/* argv holds what follows the command's name. */
enum bakeset_result bk_command_timeline(const bk_world *world, int argc, char **argv);
enum bakeset_result bk_command_day(const bk_world *world, int argc, char **argv);
enum bakeset_result bk_command_why(const bk_world *world, int argc, char **argv);
enum bakeset_result bk_command_check(const bk_world *world, int argc, char **argv);
enum bakeset_result bk_command_cooling(const bk_world *world, int argc, char **argv);
enum bakeset_result bk_command_page(const bk_world *world, int argc, char **argv);
enum bakeset_result bk_command_publish(const bk_world *world, int argc, char **argv);
enum bakeset_result bk_command_new(const bk_world *world, int argc, char **argv);
enum bakeset_result bk_command_tidy(const bk_world *world, int argc, char **argv);
enum bakeset_result bk_command_take_in(const bk_world *world, int argc, char **argv);

#endif
