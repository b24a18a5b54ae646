/* Server-sent events. A listener's connection is suspended while there is nothing to be sent. */
#include "page/events.h"

#include <inttypes.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct listener {
    struct bk_events *events;
    struct MHD_Connection *connection;
    char *text; /* not sent yet */
    size_t length, room;
    bool suspended, ended;
    struct listener *next, **link;
} listener;

struct bk_events {
    pthread_mutex_t lock;
    listener *listeners;
    size_t count;
    uint64_t number;
    bool closed;
};

struct bk_events *bk_events_new(void)
{
    struct bk_events *events = calloc(1, sizeof *events);
    if (events)
        pthread_mutex_init(&events->lock, NULL);
    return events;
}

void bk_events_free(struct bk_events *events)
{
    if (!events)
        return;
    pthread_mutex_destroy(&events->lock);
    free(events);
}

/* With the lock. */
static void wake(listener *l)
{
    if (!l->suspended)
        return;
    l->suspended = false;
    MHD_resume_connection(l->connection);
}

/* With the lock. What cannot be kept ends the listener. */
static void add(listener *l, const char *text, size_t length)
{
    if (l->length + length > l->room) {
        size_t room = 2 * (l->length + length);
        char *grown = l->length + length <= BK_MOST_UNHEARD ? realloc(l->text, room) : NULL;
        if (grown) {
            l->text = grown;
            l->room = room;
        } else {
            l->ended = true;
        }
    }
    if (!l->ended) {
        memcpy(l->text + l->length, text, length);
        l->length += length;
    }
    wake(l);
}

static ssize_t read_more(void *context, uint64_t position, char *into, size_t room)
{
    (void)position;
    listener *l = context;
    ssize_t given = 0;
    pthread_mutex_lock(&l->events->lock);
    if (l->length > 0) {
        size_t n = l->length < room ? l->length : room;
        memcpy(into, l->text, n);
        memmove(l->text, l->text + n, l->length - n);
        l->length -= n;
        given = (ssize_t)n;
    } else if (l->ended) {
        given = MHD_CONTENT_READER_END_OF_STREAM;
    } else {
        l->suspended = true;
        MHD_suspend_connection(l->connection);
    }
    pthread_mutex_unlock(&l->events->lock);
    return given;
}

static void leave(void *context)
{
    listener *l = context;
    pthread_mutex_lock(&l->events->lock);
    *l->link = l->next;
    if (l->next)
        l->next->link = l->link;
    l->events->count--;
    pthread_mutex_unlock(&l->events->lock);
    free(l->text);
    free(l);
}

/* With the lock. */
static listener *enter(struct bk_events *events, struct MHD_Connection *connection)
{
    static const char hello[] = "retry: 1000\n\n";
    if (events->closed || events->count == BK_MOST_LISTENERS)
        return NULL;
    listener *l = calloc(1, sizeof *l);
    if (!l)
        return NULL;
    l->events = events;
    l->connection = connection;
    l->next = events->listeners;
    l->link = &events->listeners;
    if (l->next)
        l->next->link = &l->next;
    events->listeners = l;
    events->count++;
    add(l, hello, sizeof hello - 1);
    return l;
}

struct MHD_Response *bk_events_listen(struct bk_events *events, struct MHD_Connection *connection)
{
    pthread_mutex_lock(&events->lock);
    listener *l = enter(events, connection);
    pthread_mutex_unlock(&events->lock);
    struct MHD_Response *response =
        l ? MHD_create_response_from_callback(MHD_SIZE_UNKNOWN, 4096, read_more, l, leave) : NULL;
    if (l && !response)
        leave(l);
    if (response)
        MHD_add_response_header(response, "X-Accel-Buffering", "no");
    return response;
}

/* With the lock. An event is added whole. */
static void send_all(struct bk_events *events, const char *name, const char *data)
{
    size_t room = strlen(name) + strlen(data) + 64;
    char *text = malloc(room);
    if (!text)
        return; /* who listens asks again when something else comes */
    int length = snprintf(text, room, "id: %" PRIu64 "\nevent: %s\ndata: %s\n\n", ++events->number,
                          name, data);
    for (listener *l = events->listeners; l; l = l->next)
        add(l, text, (size_t)length);
    free(text);
}

void bk_events_send(struct bk_events *events, const char *name, cJSON *data)
{
    char *text = data ? cJSON_PrintUnformatted(data) : NULL;
    cJSON_Delete(data);
    pthread_mutex_lock(&events->lock);
    send_all(events, name, text ? text : "{}");
    pthread_mutex_unlock(&events->lock);
    free(text);
}

void bk_events_keep_alive(struct bk_events *events)
{
    pthread_mutex_lock(&events->lock);
    for (listener *l = events->listeners; l; l = l->next)
        add(l, ":\n\n", 3);
    pthread_mutex_unlock(&events->lock);
}

bool bk_events_heard(struct bk_events *events)
{
    pthread_mutex_lock(&events->lock);
    bool heard = events->count > 0;
    pthread_mutex_unlock(&events->lock);
    return heard;
}

static void end_all(struct bk_events *events, bool closed)
{
    pthread_mutex_lock(&events->lock);
    events->closed = closed;
    for (listener *l = events->listeners; l; l = l->next) {
        l->ended = true;
        wake(l);
    }
    pthread_mutex_unlock(&events->lock);
}

void bk_events_end(struct bk_events *events)
{
    end_all(events, false);
}

void bk_events_close(struct bk_events *events)
{
    end_all(events, true);
}
