/* The page from its start to its end. */
#define _XOPEN_SOURCE 700
#include "page/known.h"
#include "page/request.h"
#include "page/server.h"
#include "page/undo.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { TICK_MS = 250 };

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
    return (page->known && page->undos) ||
           failed(page->options, "cannot begin", "there is no memory");
}

static void clear(bk_page *page)
{
    bk_known_free(page->known);
    bk_undos_free(page->undos);
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

/* Signals that end it wait for this thread; the threads that are made from now on have them
 * blocked, too. */
static void hold_signals(sigset_t *held, sigset_t *before)
{
    sigemptyset(held);
    sigaddset(held, SIGINT);
    sigaddset(held, SIGTERM);
    sigaddset(held, SIGHUP);
    pthread_sigmask(SIG_BLOCK, held, before);
}

static void wait_for_end(bk_listener *server, const sigset_t *held)
{
    static const struct timespec tick = {0, TICK_MS * 1000000L};
    while (sigtimedwait(held, NULL, &tick) < 0)
        bk_listener_end_slow(server);
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
    wait_for_end(server, held);
    bk_listener_free(server);
    return true;
}

enum bakeset_result bk_page_serve(const bk_page_options *options)
{
    bk_page page = {.options = options, .folder = -1};
    sigset_t held, before;
    pthread_mutex_init(&page.writing, NULL);
    hold_signals(&held, &before);
    bool done = enter_folder(&page) && furnish(&page) && serve(&page, &held);
    clear(&page);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    return done ? BAKESET_OK : BAKESET_FAILED;
}
