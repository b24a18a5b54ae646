/* The page that the phones in the house share: a server of the files of one folder.
 *
 * It has no state of its own but what stands in memory while it runs (what can be undone, the
 * search that goes on) and the hashes of the phones' cookies, a dot-file in the folder. Plans,
 * recipes, kitchens and journals are the files that every other command reads and writes. */
#ifndef BK_PAGE_H
#define BK_PAGE_H

#include "bakeset.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

enum { BK_PAGE_PORT = 8750 };

typedef struct bk_page_options {
    const char *folder;  /* what is below it is served */
    const char *at_home; /* numeric address to listen at: whoever asks needs a key; NULL: this
                            machine alone, without one */
    const char *behind;  /* "https://kitchen.example": where a proxy shows what listens at at_home;
                            or NULL */
    uint16_t port;       /* 0: any that is free */
    bool terminal;       /* somebody looks at `out`, and may press Enter */
    bool ascii;          /* the terminal shows ASCII alone */
    FILE *out, *err;
    int64_t (*seconds)(void); /* since 1970-01-01T00:00Z */
} bk_page_options;

/* Serves until SIGINT or SIGTERM comes; says on `out` where, and on `err` why not. The
 * process's current folder becomes options->folder. */
enum bakeset_result bk_page_serve(const bk_page_options *options);

/* Ends what the phones were let in with, also of a server that runs. */
enum bakeset_result bk_page_forget(const bk_page_options *options);

#endif
