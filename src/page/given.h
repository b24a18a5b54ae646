/* Private to page: the calendars that were given out, so that the next one of the same plan moves
 * the alarms of the one before instead of ringing beside them. */
#ifndef BK_PAGE_GIVEN_H
#define BK_PAGE_GIVEN_H

#include <stddef.h>

struct bk_given;

/* NULL: no memory. */
struct bk_given *bk_given_new(void);
void bk_given_free(struct bk_given *given); /* accepts NULL */

/* The last one of the plan at `path`, a copy that is the caller's to free; NULL: none is known (any
 * more), or there is no memory. */
char *bk_given_last(struct bk_given *given, const char *path);

/* It was given out. Of BK_MOST_GIVEN plans each has one; then the one given first is forgotten. */
enum { BK_MOST_GIVEN = 32 };
void bk_given_note(struct bk_given *given, const char *path, const char *text);

#endif
