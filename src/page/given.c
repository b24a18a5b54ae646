/* The calendars that were given out, in memory. */
#include "page/given.h"

#include <pthread.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

typedef struct calendar {
    char *path, *text; /* NULL: it is free */
    uint64_t noted;
} calendar;

struct bk_given {
    pthread_mutex_t lock;
    calendar calendars[BK_MOST_GIVEN];
    uint64_t noted;
};

struct bk_given *bk_given_new(void)
{
    struct bk_given *given = calloc(1, sizeof *given);
    if (given)
        pthread_mutex_init(&given->lock, NULL);
    return given;
}

static void clear(calendar *one)
{
    free(one->path);
    free(one->text);
    *one = (calendar){0};
}

void bk_given_free(struct bk_given *given)
{
    if (!given)
        return;
    for (size_t i = 0; i < BK_MOST_GIVEN; i++)
        clear(&given->calendars[i]);
    pthread_mutex_destroy(&given->lock);
    free(given);
}

/* With the lock. That of the plan, else the oldest, or one that is free. */
static calendar *place_of(struct bk_given *given, const char *path)
{
    calendar *oldest = &given->calendars[0];
    for (size_t i = 0; i < BK_MOST_GIVEN; i++) {
        calendar *one = &given->calendars[i];
        if (one->path && strcmp(one->path, path) == 0)
            return one;
        if (one->noted < oldest->noted)
            oldest = one;
    }
    return oldest;
}

char *bk_given_last(struct bk_given *given, const char *path)
{
    pthread_mutex_lock(&given->lock);
    const calendar *one = place_of(given, path);
    char *text = one->path && strcmp(one->path, path) == 0 ? strdup(one->text) : NULL;
    pthread_mutex_unlock(&given->lock);
    return text;
}

void bk_given_note(struct bk_given *given, const char *path, const char *text)
{
    calendar made = {strdup(path), strdup(text), 0};
    pthread_mutex_lock(&given->lock);
    calendar *one = place_of(given, path);
    if (made.path && made.text) {
        clear(one);
        made.noted = ++given->noted;
        *one = made;
    } else {
        clear(&made); /* what was given before still stands for it */
    }
    pthread_mutex_unlock(&given->lock);
}
