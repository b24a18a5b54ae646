/* The page's stylesheet and script, as page.css and page.js have them. Private to this folder. */
#ifndef BK_WRITE_PAGE_FACE_H
#define BK_WRITE_PAGE_FACE_H

/* Lines, each with its end, the last followed by NULL; for the class names and ids of html.c.
 * They need nothing from outside. */
extern const char *const bk_html_style[];
extern const char *const bk_html_script[];

/* SHA-256 of the script's lines, in base64: what a Content-Security-Policy lets run. Made with
 * them when they are built (embed.sh), so it cannot be out of date. */
extern const char *const bk_html_script_sha256;

#endif
