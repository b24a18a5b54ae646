/* bakeset: finds the command and runs it. Owns standard output, standard error,
 * the environment, the clock and the exit status. */
#define _DEFAULT_SOURCE /* TIOCGWINSZ */
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

#include "command/command.h"

static const bk_command commands[] = {
    {"timeline", "when to start and what to do when (the main job)", bk_command_timeline},
    {"day", "the day itself: what now, what happened, what if it slips", bk_command_day},
    {"page", "the same on a page, for the phones in the house", bk_command_page},
    {"why", "what fixes the start, or a stage, or why there is no timeline", bk_command_why},
    {"cooling", "how long until the middle is cold, from its size or a plan's stage",
     bk_command_cooling},
    {"publish", "puts the timeline on a CalDAV server", bk_command_publish},
    {"check", "reads a plan and reports every problem in it", bk_command_check},
    {"new", "makes a plan to begin with, or an occasion of recipes", bk_command_new},
    {"tidy", "lays a plan, a recipe or a kitchen out in one way", bk_command_tidy},
    {"take-in", "makes a recipe file of a web page or a text", bk_command_take_in},
};

enum { COMMANDS = sizeof commands / sizeof *commands };

static int64_t clock_minutes(void)
{
    return (int64_t)time(NULL) / 60;
}

static int64_t clock_seconds(void)
{
    return (int64_t)time(NULL);
}

static int64_t milliseconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

/* The one thing that a signal can reach. */
static volatile sig_atomic_t interrupts;

static void count_interrupt(int signal_number)
{
    (void)signal_number;
    interrupts = 1;
}

/* SA_RESETHAND: the next one finds what signals do by default. Who started us with SIGINT ignored
 * (a shell in the background) means it. */
static void hold_interrupt(bool held)
{
    struct sigaction action;
    if (sigaction(SIGINT, NULL, &action) != 0 || action.sa_handler == SIG_IGN)
        return;
    memset(&action, 0, sizeof action);
    sigemptyset(&action.sa_mask);
    action.sa_handler = held ? count_interrupt : SIG_DFL;
    action.sa_flags = held ? (int)SA_RESETHAND | SA_RESTART : 0;
    if (held)
        interrupts = 0;
    sigaction(SIGINT, &action, NULL);
}

static bool interrupted(void)
{
    return interrupts != 0;
}

static const char *environment(const char *name)
{
    return getenv(name);
}

static bool answer(char *line, size_t room)
{
    if (!fgets(line, (int)room, stdin))
        return false;
    line[strcspn(line, "\n")] = '\0';
    return true;
}

static void print_help(FILE *out)
{
    fputs("Usage: bakeset COMMAND [options] PLAN.json\n\n"
          "Works out when to start so that everything is set, cold or hot on the table at a\n"
          "given hour.\n\nCommands:\n",
          out);
    for (size_t i = 0; i < COMMANDS; i++)
        fprintf(out, "  %-10s %s\n", commands[i].name, commands[i].summary);
    fputs("\nbakeset help COMMAND, or bakeset COMMAND --help, says more; bakeset --version\n"
          "says which one this is. Exit status: 0 done; 1 the plan cannot be met; 2 bad\n"
          "input or usage; 3 the machine failed: a file, memory or the network.\n",
          out);
}

static const bk_command *find(const char *name)
{
    for (size_t i = 0; i < COMMANDS; i++)
        if (strcmp(commands[i].name, name) == 0)
            return &commands[i];
    return NULL;
}

static int unknown(const char *name)
{
    const char *names[COMMANDS + 1] = {NULL};
    for (size_t i = 0; i < COMMANDS; i++)
        names[i] = commands[i].name;
    const char *nearest = bakeset_nearest(name, names);
    size_t length = strlen(name);
    if (length > 5 && strcmp(name + length - 5, ".json") == 0) {
        fprintf(stderr, "bakeset: no command given; write bakeset timeline %s\n",
                bk_name_shown(name).text);
        return BAKESET_BAD_INPUT;
    }
    fprintf(stderr, "bakeset: unknown command \"%s\"", bk_name_shown(name).text);
    if (nearest)
        fprintf(stderr, "; did you mean %s?", nearest);
    fputs("\nbakeset --help lists the commands\n", stderr);
    return BAKESET_BAD_INPUT;
}

/* The locale of characters, in the order in which POSIX asks for it. Where none is named nothing
 * is known, and what a plan says is written as it is. */
static bool is_ascii_locale(void)
{
    static const char *const names[] = {"LC_ALL", "LC_CTYPE", "LANG"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        const char *locale = getenv(names[i]);
        if (!locale || !*locale)
            continue;
        const char *set = strchr(locale, '.');
        return !set ||
               (strncasecmp(set + 1, "utf-8", 5) != 0 && strncasecmp(set + 1, "utf8", 4) != 0);
    }
    return false;
}

static int columns_to_erase(void)
{
    struct winsize size;
    const char *term = getenv("TERM");
    if (isatty(STDERR_FILENO) != 1 || !term || !*term || strcmp(term, "dumb") == 0)
        return 0;
    return ioctl(STDERR_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : 80;
}

static bk_world look_around(void)
{
    bk_world world = {.out = stdout,
                      .err = stderr,
                      .person = isatty(STDERR_FILENO) == 1,
                      .seconds = clock_seconds,
                      .ascii = is_ascii_locale(),
                      .clock = clock_minutes,
                      .environment = environment,
                      .err_width = columns_to_erase(),
                      .milliseconds = milliseconds,
                      .hold_interrupt = hold_interrupt,
                      .interrupted = interrupted};
    if (world.person && isatty(STDIN_FILENO) == 1)
        world.ask = answer;
    if (isatty(STDOUT_FILENO)) {
        struct winsize size;
        const char *term = getenv("TERM"), *no_colour = getenv("NO_COLOR");
        if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
            world.width = size.ws_col < 40 ? 40 : size.ws_col > 200 ? 200 : size.ws_col;
        world.terminal_colour = term && strcmp(term, "dumb") != 0 && !(no_colour && *no_colour);
    }
    return world;
}

/* A standard stream that is closed must not become the number of a file that is opened
 * later: it is held by what cannot be written to, so that printing fails. */
static void hold_standard_streams(void)
{
    for (int stream = STDIN_FILENO; stream <= STDERR_FILENO; stream++)
        if (fcntl(stream, F_GETFD) < 0 && open("/dev/null", O_RDONLY) < 0)
            _exit(BAKESET_FAILED);
}

/* What did not reach its reader is not done, but for a reader that has seen enough
 * (| head). */
static int finish(int status)
{
    struct pollfd reader = {.fd = STDOUT_FILENO, .events = POLLOUT};
    if (fflush(stdout) == 0 && !ferror(stdout))
        return status;
    int why = errno;
    if (why == EPIPE || (poll(&reader, 1, 0) > 0 && (reader.revents & POLLERR) != 0))
        return status;
    errno = why;
    fprintf(stderr, "bakeset: cannot write to standard output: %s\n", strerror(errno));
    return BAKESET_FAILED;
}

int main(int argc, char **argv)
{
    hold_standard_streams();
    signal(SIGPIPE, SIG_IGN); /* it comes as an error of the write that it belongs to */
    if (argc < 2) {
        print_help(stderr);
        return BAKESET_BAD_INPUT;
    }
    bool help = strcmp(argv[1], "help") == 0;
    if (strcmp(argv[1], "--help") == 0 || (help && (argc == 2 || strcmp(argv[2], "--help") == 0))) {
        print_help(stdout);
        return finish(BAKESET_OK);
    }
    if (strcmp(argv[1], "--version") == 0) {
        printf("bakeset %s\n", bakeset_version());
        return finish(BAKESET_OK);
    }
    const char *name = help ? argv[2] : argv[1];
    const bk_command *command = find(name);
    if (!command)
        return unknown(name);
    bk_world world = look_around();
    if (help)
        return finish((int)command->run(&world, 1, (char *[]){"--help", NULL}));
    return finish((int)command->run(&world, argc - 2, argv + 2));
}
