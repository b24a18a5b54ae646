/* A timeline to look at: lanes by what is scarce, as SVG. */
#ifndef BK_WRITE_PICTURE_H
#define BK_WRITE_PICTURE_H

#include "timeline/timeline.h"
#include "write/picture/svg.h"

/* A picture: lanes by what is scarce. A complete SVG document. */
void bk_write_svg(const bk_timeline *timeline, bk_text *out);

/* The whole picture. `standalone`: with the XML declaration, else to stand inside
 * a page. */
void bk_svg_document(const bk_timeline *timeline, bool standalone, bk_text *out);

#endif
