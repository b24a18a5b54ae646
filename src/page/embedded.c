/* The site's files, which embed.sh made C of. */
#include "page/site.h"

#include "page/site.inc"
