/* A timeline to look at: lanes by what is scarce, as SVG. */
#ifndef BK_WRITE_PICTURE_H
#define BK_WRITE_PICTURE_H

#include "write/picture/chart.h"
#include "write/picture/svg.h"

/* A picture: lanes by what is scarce, on as many sheets of paper as it needs, one below the
 * other. A complete SVG document. */
void bk_write_svg(const bk_timeline *timeline, bk_text *out);

/* The same to stand inside a page: an svg element for each sheet. */
void bk_svg_in_page(const bk_timeline *timeline, bk_text *out);

#endif
