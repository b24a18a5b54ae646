/* The page from its start to its end. */
#define _XOPEN_SOURCE 700
#include "page/day.h"
#include "page/events.h"
#include "page/known.h"
#include "page/request.h"
#include "page/server.h"
#include "page/undo.h"
#include "page/watch.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { TICK_MS = 250, KEEP_ALIVE_TICKS = 60 };

static bool failed(const bk_page_options *options, const char *what, const char *why)
{
    fprintf(options->err, "bakeset page: %s: %s\n", what, why);
    return false;
}

/* The names of files are relative to the folder, here and in the library's messages. */
static bool enter_folder(bk_page *page)
{
    const char *folder = page->options->folder;
    page->folder = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (page->folder >= 0 && fchdir(page->folder) == 0)
        return true;
    return failed(page->options, "cannot open the folder", strerror(errno));
}

static bool furnish(bk_page *page)
{
    page->known = bk_known_new();
    page->undos = bk_undos_new(page->options->seconds());
    page->events = bk_events_new();
    page->days = bk_days_new();
    return (page->known && page->undos && page->events && page->days) ||
           failed(page->options, "cannot begin", "there is no memory");
}

static void clear(bk_page *page)
{
    bk_known_free(page->known);
    bk_undos_free(page->undos);
    bk_days_free(page->days);
    bk_events_free(page->events);
    if (page->folder >= 0)
        close(page->folder);
    pthread_mutex_destroy(&page->writing);
}

static void say_where(const bk_page *page, uint16_t port)
{
    FILE *out = page->options->out;
    fprintf(out, "http://127.0.0.1:%u/\n", (unsigned)port);
    fprintf(out, "On this machine alone, until Ctrl+C.\n");
    fflush(out);
}

/* Signals wait for this thread; the threads that are made from now on have them blocked, too. */
static void hold_signals(sigset_t *held, sigset_t *before)
{
    sigemptyset(held);
    sigaddset(held, SIGINT);
    sigaddset(held, SIGTERM);
    sigaddset(held, SIGHUP);
    sigaddset(held, SIGUSR1);
    pthread_sigmask(SIG_BLOCK, held, before);
}

void bk_page_look(bk_page *page)
{
    pthread_kill(page->looker, SIGUSR1);
}

static void wait_for_end(bk_page *page, bk_listener *server, const sigset_t *held)
{
    static const struct timespec tick = {0, TICK_MS * 1000000L};
    bk_watching watching = {.has_before = false};
    int came;
    bk_watch_look(page, &watching);
    for (int ticks = 0; (came = sigtimedwait(held, NULL, &tick)) < 0 || came == SIGUSR1;) {
        bk_watch_look(page, &watching);
        if (came == SIGUSR1)
            continue;
        bk_listener_end_slow(server);
        if (++ticks % KEEP_ALIVE_TICKS == 0)
            bk_events_keep_alive(page->events);
    }
    bk_watch_clear(&watching);
}

/* What still waits would end the process when it is let through. */
static void forget_nudges(void)
{
    static const struct timespec at_once = {0, 0};
    sigset_t nudge;
    sigemptyset(&nudge);
    sigaddset(&nudge, SIGUSR1);
    while (sigtimedwait(&nudge, NULL, &at_once) > 0)
        ;
}

static bool serve(bk_page *page, const sigset_t *held)
{
    uint16_t port = page->options->port;
    const char *problem = NULL;
    bk_listener *server = bk_listener_new(page, page->options->at_home, &port, &problem);
    if (!server)
        return failed(page->options, "cannot listen", problem);
    page->guard = bk_guard_local(port);
    bk_listener_open(server);
    say_where(page, port);
    wait_for_end(page, server, held);
    bk_listener_free(server);
    forget_nudges();
    return true;
}

enum bakeset_result bk_page_serve(const bk_page_options *options)
{
    bk_page page = {.options = options, .folder = -1, .looker = pthread_self()};
    sigset_t held, before;
    pthread_mutex_init(&page.writing, NULL);
    hold_signals(&held, &before);
    bool done = enter_folder(&page) && furnish(&page) && serve(&page, &held);
    clear(&page);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    return done ? BAKESET_OK : BAKESET_FAILED;
}
