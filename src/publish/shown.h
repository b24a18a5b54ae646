/* What may be shown of a text that came from a server. Private to src/publish. */
#ifndef BK_PUBLISH_SHOWN_H
#define BK_PUBLISH_SHOWN_H

#include "publish/keep.h"

/* A copy on one line: "?" for each byte or character that a terminal obeys, that turns the
 * direction of writing or that is no UTF-8; an ellipsis for each appearance of `secret` (NULL:
 * none), as it is or with its characters in percent form. */
char *bk_shown(bk_keep *keep, const char *text, const char *secret);

#endif
