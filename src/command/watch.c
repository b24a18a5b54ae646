/* bakeset day --watch: the day on a terminal beside the stove.
 *
 * Plain ANSI, not ncurses: it repaints a few lines once a second, knows no windows, pads or
 * colours, and would bring a library with state of its own for the process. What it needs is
 * in ECMA-48 and in every terminal: home, erase, the alternate screen. */
#define _DEFAULT_SOURCE /* TIOCGWINSZ */
#include "command/watch.h"

#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <unistd.h>

enum { SECONDS = 60, MOST_LINES = 200, FEWEST_ROWS = 6, LONGEST_NOTE = 160 };

typedef struct screen {
    bk_watch *watch;
    struct termios before; /* how the terminal was */
    sigset_t held, mask;   /* signals that wait for us; those that were held before */
    int rows, columns;
    int64_t minute;     /* of what is shown */
    int64_t next, rung; /* the next touch; the last that rang */
    bool comes;         /* there is a next */
    const char *text;
    char note[LONGEST_NOTE]; /* what could not be done, or what is asked */
    bool quit;
    enum bakeset_result result;
} screen;

static int64_t now_seconds(const bk_watch *watch)
{
    return watch->world->seconds() + watch->behind;
}

/* --------------------------------------------------------------------- the day */

/* Somebody wants to go, and not to wait for a plan. */
static int is_called_away(void *context, const struct bakeset_progress *progress)
{
    sigset_t pending;
    (void)context;
    (void)progress;
    return sigpending(&pending) == 0 &&
           (sigismember(&pending, SIGINT) == 1 || sigismember(&pending, SIGTERM) == 1 ||
            sigismember(&pending, SIGHUP) == 1);
}

/* Follows the day, with words or without. */
static bool follow(bk_watch *watch, const char *const *words)
{
    watch->day.clock = now_seconds(watch) / SECONDS;
    watch->day.words = words;
    watch->day.progress = is_called_away;
    enum bakeset_result result = bakeset_day(watch->session, watch->path, &watch->day);
    return result == BAKESET_OK || result == BAKESET_IMPOSSIBLE;
}

static void refresh(screen *s)
{
    bk_watch *watch = s->watch;
    s->minute = now_seconds(watch) / SECONDS;
    s->text = bakeset_write_day(watch->session, &watch->write, NULL);
    s->comes = bakeset_day_next(watch->session, &s->next) == BAKESET_OK;
}

/* Why the last call failed, in one line. */
static void keep_reason(screen *s)
{
    size_t count = bakeset_message_count(s->watch->session);
    for (size_t i = 0; i < count; i++) {
        const struct bakeset_message *message = bakeset_message(s->watch->session, i);
        if (message->severity != BAKESET_ERROR)
            continue;
        snprintf(s->note, sizeof s->note, "%s%s%s", message->what, message->mend ? "; " : "",
                 message->mend ? message->mend : "");
        return;
    }
}

static void look(screen *s)
{
    if (follow(s->watch, NULL)) {
        refresh(s);
        return;
    }
    keep_reason(s);
    s->quit = true;
    s->result = bakeset_last_result(s->watch->session);
}

static void say(screen *s, const char *const *words)
{
    s->note[0] = '\0';
    if (follow(s->watch, words)) {
        if (!s->watch->said(s->watch->context))
            snprintf(s->note, sizeof s->note, "what is written elsewhere could not be written");
        refresh(s);
        return;
    }
    keep_reason(s);
    if (!follow(s->watch, NULL)) { /* as it was */
        s->quit = true;
        s->result = bakeset_last_result(s->watch->session);
    } else {
        refresh(s);
    }
}

/* ------------------------------------------------------------------ the terminal */

static void put(const screen *s, const char *text)
{
    fputs(text, s->watch->world->out);
}

static void enter(screen *s)
{
    struct termios raw = s->before;
    raw.c_lflag &= ~(tcflag_t)(ICANON | ECHO);
    raw.c_cc[VMIN] = 0;
    raw.c_cc[VTIME] = 0;
    tcsetattr(STDIN_FILENO, TCSADRAIN, &raw);
    put(s, "\033[?1049h\033[?25l");
}

static void leave(screen *s)
{
    put(s, "\033[?25h\033[?1049l");
    fflush(s->watch->world->out);
    tcsetattr(STDIN_FILENO, TCSADRAIN, &s->before);
}

static void measure(screen *s)
{
    struct winsize size;
    s->rows = 24;
    s->columns = 60;
    if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > 0 && size.ws_col > 0) {
        s->rows = size.ws_row < FEWEST_ROWS ? FEWEST_ROWS : size.ws_row;
        s->columns = size.ws_col;
    }
    s->watch->write.width = s->columns < 40 ? 40 : s->columns > 60 ? 60 : s->columns;
}

/* "in 7:43", "now" */
static void countdown(const screen *s, char *into, size_t room)
{
    int64_t left = s->next * SECONDS - now_seconds(s->watch);
    if (!s->comes)
        snprintf(into, room, "nothing comes after this");
    else if (left <= 0)
        snprintf(into, room, "now");
    else if (left < 3600)
        snprintf(into, room, "next in %d:%02d", (int)(left / 60), (int)(left % 60));
    else
        snprintf(into, room, "next in %d h %02d min", (int)(left / 3600), (int)(left / 60 % 60));
}

/* The day's text below the countdown, cut to what fits, the keys at the foot. */
static void draw(screen *s)
{
    char left[40];
    int row = 1;
    countdown(s, left, sizeof left);
    put(s, "\033[H");
    fprintf(s->watch->world->out, "\033[7m %s \033[0m\033[K\r\n", left);
    for (const char *at = s->text ? s->text : ""; *at && row < s->rows - 2; row++) {
        int length = (int)strcspn(at, "\n");
        fprintf(s->watch->world->out, "%.*s\033[K\r\n", length, at);
        at += length + (at[length] == '\n');
    }
    put(s, "\033[J");
    fprintf(s->watch->world->out, "\033[%d;1H%.*s\033[K", s->rows - 1, s->columns, s->note);
    fprintf(s->watch->world->out, "\033[%d;1Hd done  l longer  u undo  q quit\033[K", s->rows);
    fflush(s->watch->world->out);
}

/* A touch rings once. */
static void ring(screen *s)
{
    if (!s->comes || s->next * SECONDS > now_seconds(s->watch) || s->rung == s->next)
        return;
    s->rung = s->next;
    put(s, "\a");
}

/* ------------------------------------------------------------------------ keys */

/* Waits up to `wait` ms for a key; 0: none came, or somebody quits. */
static char key(screen *s, int wait)
{
    struct pollfd input = {.fd = STDIN_FILENO, .events = POLLIN};
    static const struct timespec at_once = {0, 0};
    char typed = 0;
    int ready = poll(&input, 1, wait);
    int signal_come;
    while ((signal_come = sigtimedwait(&s->held, NULL, &at_once)) > 0) {
        if (signal_come != SIGTSTP) {
            s->quit = true;
            return 0;
        }
        leave(s);
        raise(SIGSTOP);
        enter(s);
    }
    if (ready > 0 && (input.revents & (POLLIN | POLLHUP)) != 0 &&
        read(STDIN_FILENO, &typed, 1) != 1)
        s->quit = true; /* nobody is there any more */
    return typed;
}

/* One of the stages that run; NULL: none, or another key. */
static char *choose(screen *s)
{
    const char *const *running = bakeset_day_running(s->watch->session);
    size_t count = 0;
    int length = 0;
    s->note[0] = '\0';
    while (running && running[count])
        count++;
    if (count == 0) {
        snprintf(s->note, sizeof s->note, "nothing runs");
        return NULL;
    }
    if (count == 1)
        return strdup(running[0]);
    for (size_t i = 0; i < count && i < 9 && length < LONGEST_NOTE - 20; i++)
        length += snprintf(s->note + length, sizeof s->note - (size_t)length, "%zu %.24s  ", i + 1,
                           strchr(running[i], '/') ? strchr(running[i], '/') + 1 : running[i]);
    draw(s);
    char typed = 0;
    while (!s->quit && typed == 0)
        typed = key(s, 1000);
    s->note[0] = '\0';
    size_t number = typed >= '1' && typed <= '9' ? (size_t)(typed - '0') : 0;
    return number >= 1 && number <= count ? strdup(running[number - 1]) : NULL;
}

/* Minutes typed, closed by Enter; 10 when nothing is. False: given up. */
static bool ask_minutes(screen *s, char *into, size_t room)
{
    size_t count = 0;
    char digits[5] = "";
    while (!s->quit) {
        snprintf(s->note, sizeof s->note, "how many minutes longer? [10] %s", digits);
        draw(s);
        char typed = key(s, 1000);
        if (typed == '\n' || typed == '\r')
            break;
        if (typed >= '0' && typed <= '9' && count + 1 < sizeof digits)
            digits[count++] = typed;
        else if ((typed == 127 || typed == 8) && count > 0)
            digits[--count] = '\0';
        else if (typed != 0)
            return false;
    }
    s->note[0] = '\0';
    snprintf(into, room, "%s min", count > 0 ? digits : "10");
    return !s->quit;
}

static void done(screen *s)
{
    char *stage = choose(s);
    if (stage)
        say(s, (const char *const[]){"done", stage, NULL});
    free(stage);
}

static void longer(screen *s)
{
    char minutes[16], *stage = choose(s);
    if (stage && ask_minutes(s, minutes, sizeof minutes))
        say(s, (const char *const[]){"longer", stage, minutes, NULL});
    free(stage);
}

static void act(screen *s, char typed)
{
    switch (typed) {
    case 'd':
        done(s);
        break;
    case 'l':
        longer(s);
        break;
    case 'u':
        say(s, (const char *const[]){"undo", NULL});
        break;
    case 'q':
        s->quit = true;
        break;
    default:
        break;
    }
}

/* ------------------------------------------------------------------------- all */

static void on_terminal(screen *s)
{
    sigemptyset(&s->held);
    static const int held[] = {SIGINT, SIGTERM, SIGHUP, SIGTSTP};
    for (size_t i = 0; i < sizeof held / sizeof *held; i++)
        sigaddset(&s->held, held[i]);
    sigprocmask(SIG_BLOCK, &s->held, &s->mask);
    enter(s);
    while (!s->quit) {
        int columns = s->columns;
        measure(s);
        if (now_seconds(s->watch) / SECONDS != s->minute)
            look(s);
        else if (s->columns != columns)
            refresh(s);
        ring(s);
        draw(s);
        act(s, key(s, 1000));
    }
    leave(s);
    sigprocmask(SIG_SETMASK, &s->mask, NULL);
}

/* For a program or a file: what is to be done, at each touch. */
static void in_lines(screen *s)
{
    while (!s->quit) {
        put(s, s->text ? s->text : "");
        put(s, "\n");
        if (fflush(s->watch->world->out) != 0 || !s->comes)
            return;
        while (now_seconds(s->watch) < s->next * SECONDS)
            poll(NULL, 0, 200);
        look(s);
        while (!s->quit && s->comes && s->next * SECONDS <= now_seconds(s->watch)) {
            poll(NULL, 0, 200); /* the minute of this touch passes */
            look(s);
        }
    }
}

enum bakeset_result bk_watch_day(bk_watch *watch)
{
    screen s = {.watch = watch, .rung = INT64_MIN, .result = BAKESET_OK};
    bool terminal = watch->world->width > 0 && tcgetattr(STDIN_FILENO, &s.before) == 0;
    if (terminal)
        measure(&s);
    look(&s);
    if (s.quit)
        return s.result;
    if (terminal)
        on_terminal(&s);
    else
        in_lines(&s);
    return s.result;
}
