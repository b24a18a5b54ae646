/* The page's stylesheet. Private to this folder. */
#ifndef BK_WRITE_PAGE_STYLE_H
#define BK_WRITE_PAGE_STYLE_H

/* CSS for the page of html.c, whose class names it uses: for phones first, wider
 * windows, dark surroundings and paper. Needs nothing from outside. */
extern const char *const bk_html_style;

#endif
