/* The picture in characters, for a terminal. */
#ifndef BK_WRITE_PICTURE_CHART_H
#define BK_WRITE_PICTURE_CHART_H

#include "timeline/timeline.h"

typedef struct bk_chart_style {
    int width;  /* columns; 0: 80, and no fewer than 80 */
    bool ascii; /* letters of ASCII alone */
} bk_chart_style;

/* Lanes by what is scarce under a ruler of hours, a row for each place, names in the bars, of
 * a timeline that has stages: on as many strips as it needs, one below the other. No line is
 * longer than the width. */
void bk_write_chart(const bk_timeline *timeline, const bk_chart_style *style, bk_text *out);

#endif
