/* The page from its start to its end. */
#define _GNU_SOURCE /* dup3 */
#include "page/day.h"
#include "page/events.h"
#include "page/given.h"
#include "page/kept.h"
#include "page/keys.h"
#include "page/known.h"
#include "page/qr.h"
#include "page/request.h"
#include "page/search.h"
#include "page/server.h"
#include "page/undo.h"
#include "page/watch.h"

#include <errno.h>
#include <fcntl.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
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
    page->where = realpath(folder, NULL); /* NULL: one that goes stays away */
    if (page->folder >= 0 && fchdir(page->folder) == 0) {
        bk_folder_go_on(page->folder);
        return true;
    }
    return failed(page->options, "cannot open the folder", strerror(errno));
}

bool bk_page_is_gone(const bk_page *page)
{
    struct stat status;
    return fstat(page->folder, &status) != 0 || status.st_nlink == 0;
}

/* A folder that was removed and is there again is another one: it takes the place of the first. */
static void find_again(bk_page *page)
{
    if (!page->where || !bk_page_is_gone(page))
        return;
    int again = open(page->where, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (again < 0)
        return;
    if (fchdir(again) == 0 && dup3(again, page->folder, O_CLOEXEC) >= 0)
        bk_known_changed(page->known);
    close(again);
}

static bool furnish(bk_page *page)
{
    page->work = bk_work_new();
    page->kept = bk_kept_new();
    page->given = bk_given_new();
    page->known = bk_known_new();
    page->undos = bk_undos_new(page->options->seconds());
    page->events = bk_events_new();
    page->days = bk_days_new();
    page->searches = bk_searches_new();
    return (page->work && page->kept && page->given && page->known && page->undos && page->events &&
            page->days && page->searches) ||
           failed(page->options, "cannot begin", "there is no memory");
}

static void clear(bk_page *page)
{
    bk_work_end(page->work);
    bk_work_free(page->work);
    bk_keys_free(page->keys);
    bk_kept_free(page->kept);
    bk_given_free(page->given);
    bk_known_free(page->known);
    bk_undos_free(page->undos);
    bk_days_free(page->days);
    bk_searches_free(page->searches);
    bk_events_free(page->events);
    if (page->folder >= 0)
        close(page->folder);
    free(page->where);
    pthread_mutex_destroy(&page->writing);
}

/* ------------------------------------------------------------- where it is */

static int64_t steady_seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return now.tv_sec;
}

static void say_where(const bk_page *page)
{
    FILE *out = page->options->out;
    fprintf(out, "%s/\nOn this machine alone, until Ctrl+C.\n", page->guard.origins[0]);
    fflush(out);
}

/* Shows a key for one phone. */
static bool show_key(bk_page *page)
{
    const bk_page_options *options = page->options;
    char key[BK_KEY_LENGTH + 1], address[BK_LONGEST_HOST + BK_KEY_LENGTH + 4];
    if (!bk_keys_make(page->keys, page->seconds(), key))
        return failed(options, "cannot make a key", "there is no randomness to be had");
    /* by the name that a proxy has, where there is one */
    snprintf(address, sizeof address, "%s/k/%s", page->guard.origins[page->guard.count - 1], key);
    fprintf(options->out, "%s\n", address);
    if (options->terminal)
        bk_qr_print(options->out, address, options->ascii);
    fprintf(options->out, "For one phone in the house, within ten minutes.\n");
    fflush(options->out);
    return true;
}

typedef struct showing {
    bool told_over, asks; /* that the key's time is over; Enter is waited for */
    int64_t made;
} showing;

/* Somebody pressed Enter. At the end of what can be typed nobody will. */
static bool was_asked(showing *s)
{
    struct pollfd input = {.fd = STDIN_FILENO, .events = POLLIN};
    char typed[256];
    if (!s->asks || poll(&input, 1, 0) <= 0)
        return false;
    ssize_t got = read(STDIN_FILENO, typed, sizeof typed);
    s->asks = got > 0;
    return got > 0;
}

/* The next key when one was used or somebody asks for it. */
static void tend_key(bk_page *page, showing *s)
{
    if (!page->keys)
        return;
    int64_t now = page->seconds();
    bool asked = was_asked(s), over = now - s->made > BK_KEY_SECONDS;
    if (!asked && !bk_keys_spent(page->keys, now))
        return;
    if (!asked && over) {
        if (!s->told_over)
            fprintf(page->options->out, "That key is over. Enter makes another.\n");
        fflush(page->options->out);
        s->told_over = true;
        return;
    }
    if (!asked)
        fprintf(page->options->out, "A phone is in. For the next one:\n");
    s->told_over = false;
    s->made = now;
    show_key(page);
}

/* ------------------------------------------------------------------- its time */

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
    bk_known_changed(page->known);
    pthread_kill(page->looker, SIGUSR1);
}

static void wait_for_end(bk_page *page, bk_listener *server, const sigset_t *held)
{
    static const struct timespec tick = {0, TICK_MS * 1000000L};
    bk_watching watching = {.has_before = false};
    showing shown = {.made = page->seconds(), .asks = page->options->terminal};
    int came;
    bk_watch_look(page, &watching);
    for (int ticks = 0; (came = sigtimedwait(held, NULL, &tick)) < 0 || came == SIGUSR1;) {
        find_again(page);
        bk_watch_look(page, &watching);
        tend_key(page, &shown);
        if (page->keys && bk_keys_forgotten(page->keys))
            bk_events_end(page->events);
        if (came == SIGUSR1)
            continue;
        bk_listener_end_slow(server);
        if (++ticks % KEEP_ALIVE_TICKS == 0)
            bk_events_keep_alive(page->events);
    }
    bk_watch_clear(&watching);
}

/* What still waits would end the process when it is let through: a nudge, and what ended the page
 * sent once more, as timeout(1) does to the process and to its group. */
static void forget_signals(const sigset_t *held)
{
    static const struct timespec at_once = {0, 0};
    while (sigtimedwait(held, NULL, &at_once) > 0)
        ;
}

/* By which names it is reached, and whether only with a key. */
static bool set_guard(bk_page *page, uint16_t port)
{
    const bk_page_options *options = page->options;
    const char *problem = NULL;
    if (!options->at_home) {
        page->guard = bk_guard_local(port);
        return true;
    }
    if (!bk_guard_at_home(options->at_home, port, options->behind, &page->guard))
        return failed(options, "--behind is no address", "write https://NAME, in small letters");
    page->tls = options->behind && strncmp(options->behind, "https:", 6) == 0;
    page->keys = bk_keys_new(page->folder, &problem);
    return page->keys || failed(options, "cannot use " BK_PHONES_FILE, problem);
}

static bool serve(bk_page *page, const sigset_t *held)
{
    uint16_t port = page->options->port;
    const char *problem = NULL;
    bk_listener *server = bk_listener_new(page, page->options->at_home, &port, &problem);
    if (!server)
        return failed(page->options, "cannot listen", problem);
    bool done = set_guard(page, port) && (!page->keys || show_key(page));
    if (done) {
        bk_listener_open(server);
        if (!page->keys)
            say_where(page);
        wait_for_end(page, server, held);
    }
    bk_searches_end(page->searches);
    bk_listener_free(server);
    forget_signals(held);
    return done;
}

enum bakeset_result bk_page_forget(const bk_page_options *options)
{
    bk_page page = {.options = options, .folder = -1};
    const char *problem = NULL;
    if (!enter_folder(&page)) {
        free(page.where);
        return BAKESET_FAILED;
    }
    bool done = bk_keys_forget(page.folder, &problem) ||
                failed(options, "cannot remove " BK_PHONES_FILE, problem);
    close(page.folder);
    free(page.where);
    if (done)
        fputs("All phones are out.\n", options->out);
    return done ? BAKESET_OK : BAKESET_FAILED;
}

/* What planning an evening took is given back when it is done. By itself glibc keeps as much as the
 * largest piece that was ever freed, which grows with the journal. */
static void give_memory_back(void)
{
#ifdef __GLIBC__
    mallopt(M_TRIM_THRESHOLD, 128 * 1024);
    mallopt(M_ARENA_MAX, 2); /* each keeps what it once needed, and few threads work at a time */
#endif
}

enum bakeset_result bk_page_serve(const bk_page_options *options)
{
    bk_page page = {
        .options = options, .folder = -1, .seconds = steady_seconds, .looker = pthread_self()};
    sigset_t held, before;
    give_memory_back();
    pthread_mutex_init(&page.writing, NULL);
    hold_signals(&held, &before);
    bool done = enter_folder(&page) && furnish(&page) && serve(&page, &held);
    clear(&page);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    return done ? BAKESET_OK : BAKESET_FAILED;
}
