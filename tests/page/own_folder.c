/* A folder of a test program's own. */
#define _XOPEN_SOURCE 700 /* mkdtemp, nftw */
#include "own_folder.h"

#include <fcntl.h>
#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

static char root[] = "/tmp/bakeset-own-XXXXXX";
const char *const folder_path = root;
int folder = -1;

int own_folder_begin(void **state)
{
    (void)state;
    if (!mkdtemp(root))
        return -1;
    folder = open(root, O_RDONLY | O_DIRECTORY);
    return folder < 0;
}

static int away(const char *path, const struct stat *status, int kind, struct FTW *at)
{
    (void)status;
    (void)kind;
    (void)at;
    return remove(path);
}

int own_folder_end(void **state)
{
    (void)state;
    close(folder);
    return nftw(root, away, 8, FTW_DEPTH | FTW_PHYS);
}
