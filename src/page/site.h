/* Private to page: the site's files, embedded. */
#ifndef BK_PAGE_SITE_H
#define BK_PAGE_SITE_H

#include <stddef.h>

typedef struct bk_site_file {
    const char *name;
    const unsigned char *bytes;
    size_t length;
    const char *digest;
} bk_site_file;

/* Ends with a NULL name. */
extern const bk_site_file bk_site_files[];

#endif
