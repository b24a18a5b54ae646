#include "write/page/face.h"

#include <stddef.h>

/* Made by embed.sh. */
#include "write/page/page.css.inc"
#include "write/page/page.js.inc"
