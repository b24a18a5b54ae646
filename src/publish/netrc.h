/* A netrc file: which name and password are for which host. Private to src/publish. */
#ifndef BK_PUBLISH_NETRC_H
#define BK_PUBLISH_NETRC_H

#include "publish/publish.h"

/* The first entry of `text` for the host (letters alike, large or small), or its `default`.
 * False when there is neither. Words are parted by blanks; one in double quotes may hold blanks
 * and \" \\ \n \r \t; a line that begins with # and a macdef up to the next empty line are passed
 * over. */
bool bk_netrc_find(bk_keep *keep, const char *text, const char *host, bk_login *login);

#endif
