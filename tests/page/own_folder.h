/* A folder of a test program's own, gone when it ends. */
#ifndef BK_OWN_FOLDER_H
#define BK_OWN_FOLDER_H

extern int folder; /* a descriptor of it */
extern const char *const folder_path;

/* For a group of tests. */
int own_folder_begin(void **state);
int own_folder_end(void **state);

#endif
