/* Private to command: a name that came with a file, as it may be printed. */
#ifndef BK_COMMAND_SHOWN_H
#define BK_COMMAND_SHOWN_H

#include <stddef.h>
#include <stdio.h>

enum { BK_LONGEST_SHOWN = 4096 };

typedef struct bk_shown_name {
    char text[BK_LONGEST_SHOWN + 1];
} bk_shown_name;

/* "?" for each byte of it that is no printable ASCII and no part of UTF-8, and for each character
 * that a terminal obeys or that turns the direction of writing: a folder from a stranger may hold
 * file names of any kind. Cut at BK_LONGEST_SHOWN bytes. */
bk_shown_name bk_name_shown(const char *name);

/* Writes a line of a file in the same way, whole, a blank for a tab. A NUL stands behind the text
 * that it is a part of. */
void bk_line_shown(FILE *out, const char *line, size_t length);

#endif
