/* A machine that fails while a journal is written: killed at every call to the system, before it
 * and half-way through it; each call failing once, and failing from then on. Whatever happens,
 * the journal is the one before or the one after.
 *
 * The calls of the library go through the functions here (the linker's --wrap). */
#define _DEFAULT_SOURCE /* MAP_ANONYMOUS */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "box.h"

/* ------------------------------------------------------------------ the machine */

enum how { WELL, KILLED, KILLED_HALF_WAY, FAILS_ONCE, FAILS_ON, SHORT, REMOVED };

static struct {
    enum how how;
    int error;
    long at; /* the call, from 1 */
} fault;

/* Seen by parent and child. */
static volatile long *calls;
static volatile bool *happened;

/* True when this call fails; errno says how. */
static bool fails(void)
{
    long call = ++*calls;
    bool now = call == fault.at || (fault.how == FAILS_ON && call > fault.at);
    if (fault.how == WELL || !now)
        return false;
    *happened = true;
    if (fault.how == KILLED)
        kill(getpid(), SIGKILL);
    errno = fault.error;
    return fault.how == FAILS_ONCE || fault.how == FAILS_ON;
}

int __real_open(const char *path, int flags, ...);
int __wrap_open(const char *path, int flags, ...);
int __wrap_open(const char *path, int flags, ...)
{
    va_list list;
    va_start(list, flags);
    unsigned mode = flags & O_CREAT ? va_arg(list, unsigned) : 0;
    va_end(list);
    return fails() ? -1 : __real_open(path, flags, mode);
}

ssize_t __real_pwrite(int file, const void *bytes, size_t length, off_t offset);
ssize_t __wrap_pwrite(int file, const void *bytes, size_t length, off_t offset);
ssize_t __wrap_pwrite(int file, const void *bytes, size_t length, off_t offset)
{
    if (fails())
        return -1;
    bool half = (fault.how == SHORT || fault.how == KILLED_HALF_WAY) && *calls == fault.at;
    ssize_t done = __real_pwrite(file, bytes, half && length > 1 ? length / 2 : length, offset);
    if (half && fault.how == KILLED_HALF_WAY)
        kill(getpid(), SIGKILL);
    return done;
}

#define WRAP(type, name, parameters, arguments)                                                    \
    type __real_##name parameters;                                                                 \
    type __wrap_##name parameters;                                                                 \
    type __wrap_##name parameters                                                                  \
    {                                                                                              \
        return fails() ? -1 : __real_##name arguments;                                             \
    }

WRAP(ssize_t, pread, (int file, void *into, size_t room, off_t offset), (file, into, room, offset))
WRAP(ssize_t, read, (int file, void *into, size_t room), (file, into, room))
WRAP(int, fsync, (int file), (file))
WRAP(int, ftruncate, (int file, off_t length), (file, length))
WRAP(int, fstat, (int file, struct stat *status), (file, status))
WRAP(int, stat, (const char *path, struct stat *status), (path, status))
WRAP(int, unlink, (const char *path), (path))

/* The file that is about to be locked, where it is removed before. */
static const char *removed;

int __real_flock(int file, int how);
int __wrap_flock(int file, int how);
int __wrap_flock(int file, int how)
{
    if (fails())
        return -1;
    if (fault.how == REMOVED && *calls == fault.at)
        __real_unlink(removed);
    return __real_flock(file, how);
}

int __real_close(int file);
int __wrap_close(int file);
int __wrap_close(int file)
{
    bool failed = fails(); /* it is closed all the same */
    int result = __real_close(file);
    if (failed)
        errno = fault.error;
    return failed ? -1 : result;
}

/* -------------------------------------------------------------------- the cases */

static jmp_buf no_memory;
static bk_arena *arena;
static const bk_zone *zone;
static const char *path;

#define FIRST "{\"format\": \"bakeset-day-1\", \"at\": \"2026-12-04T17:30:00+01:00\"}\n"
#define SERVED                                                                                     \
    "{\"at\": \"2026-12-04T17:31:00+01:00\", \"what\": \"served\", \"dish\": \"Rolls\"}\n"

/* What stands there before; each is added to by one command. */
#define CASE(text, torn)                                                                           \
    {                                                                                              \
        text, sizeof(text) - 1, torn                                                               \
    }
static const struct {
    const char *text; /* NULL: no file */
    size_t length;
    bool torn;
} befores[] = {
    {NULL, 0, false},
    CASE("", false),
    CASE(FIRST SERVED SERVED, false),
    CASE(FIRST SERVED "{\"at\": \"2026-12-04T17:3", true),
    CASE(FIRST SERVED "\0\"at\": \"2026\"}\n{}\n", true),
    CASE(FIRST SERVED "{\"at\": \"2026-12-04T17:31:00+01:00\", \"what\": \"undo\"}", false),
};
enum { BEFORES = sizeof befores / sizeof *befores };

static bk_planned_start starts[] = {{"Mousse torte", "bake", 29940080, "oven#1"},
                                    {"Rolls", "prove", 29940035, NULL}};
static const bk_day_entry added[] = {
    {BK_DAY_DONE, 29940070, .dish = "Mousse torte", .stage = "bake", .temperature_c = NAN},
    {BK_DAY_PLANNED, 29940070, .starts = starts, .start_count = 2, .temperature_c = NAN},
};

static void set_before(size_t i)
{
    box_empty();
    if (befores[i].text)
        write_bytes(path, befores[i].text, befores[i].length);
}

/* As a command does it: hold, read, set aside what is torn, add. */
static bool command(bk_report *report, const char **aside)
{
    bk_files files = bk_files_system();
    bk_journal journal;
    *report = bk_report_new(arena);
    *aside = NULL;
    bk_journal_lock *lock = bk_journal_hold(path, report);
    bool done = lock && bk_journal_read(arena, &files, path, &journal, report);
    if (done && journal.torn_length > 0)
        done = (*aside = bk_journal_set_aside(arena, lock, &journal, report)) != NULL;
    done = done && bk_journal_append(arena, lock, zone, 29940030, NULL, added, 2, report);
    bk_journal_release(lock);
    return done;
}

static const char *words_before, *words_after;

static int set_up(void **state)
{
    (void)state;
    void *shared = mmap(NULL, 4096, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    calls = shared;
    happened = (volatile bool *)((char *)shared + 64);
    arena = bk_arena_new(&no_memory);
    zone = bk_zone_open(arena, "Europe/Berlin");
    box_new();
    path = box_path(arena, "supper.day.jsonl");
    return shared == MAP_FAILED || !zone;
}

static int tear_down(void **state)
{
    (void)state;
    box_remove();
    bk_arena_free(arena);
    munmap((void *)(uintptr_t)calls, 4096);
    return 0;
}

static void well(void)
{
    fault.how = WELL;
    *calls = 0;
    *happened = false;
}

/* Learns what before and after look like. */
static void look_at_case(size_t i)
{
    bk_report report;
    const char *aside;
    well();
    set_before(i);
    words_before = journal_read_words(arena, path);
    assert_true(command(&report, &aside));
    words_after = journal_read_words(arena, path);
    assert_string_not_equal(words_before, words_after);
}

/* The bytes that were torn stand in the journal still or in a file of their own. */
static void torn_bytes_are_kept(size_t i)
{
    if (!befores[i].torn)
        return;
    const char *torn = befores[i].text + sizeof(FIRST SERVED) - 1;
    size_t length = befores[i].length - (sizeof(FIRST SERVED) - 1), got = 0;
    const char *text = file_text(arena, path, &got);
    bool kept = got == befores[i].length && memcmp(text, befores[i].text, got) == 0;
    /* The first copy may have been killed half-way. */
    const char *const names[] = {"torn", "torn-2"};
    for (size_t k = 0; k < 2; k++) {
        const char *aside = file_text(arena, bk_format(arena, "%s.%s", path, names[k]), &got);
        kept = kept || (aside && got == length && memcmp(aside, torn, length) == 0);
    }
    assert_true(kept);
}

/* Runs the command in a process of its own, which may be killed; true when it was. */
static bool run_apart(void)
{
    pid_t child = fork();
    if (child == 0) {
        bk_report report;
        const char *aside;
        _exit(command(&report, &aside) ? 0 : 1);
    }
    int status = 0;
    waitpid(child, &status, 0);
    return WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
}

static void killed(enum how how)
{
    long kills = 0, after = 0;
    for (size_t i = 0; i < BEFORES; i++) {
        look_at_case(i);
        bk_mark mark = bk_arena_mark(arena);
        for (long at = 1;; at++) {
            bk_arena_release(arena, mark);
            set_before(i);
            well();
            fault.how = how;
            fault.at = at;
            bool was_killed = run_apart();
            bool over = *calls < at;
            well();
            if (over)
                break;
            kills += was_killed;
            const char *words = journal_read_words(arena, path);
            after += strcmp(words, words_after) == 0;
            if (strcmp(words, words_before) != 0)
                assert_string_equal(words, words_after);
            torn_bytes_are_kept(i);
            /* The next command goes on from there. */
            bk_report report;
            const char *aside;
            bool was_before = strcmp(words, words_before) == 0;
            assert_true(command(&report, &aside));
            if (was_before)
                assert_string_equal(journal_read_words(arena, path), words_after);
            torn_bytes_are_kept(i);
        }
    }
    print_message("%ld kills, %ld of them after the last byte\n", kills, after);
    assert_true(kills >= (how == KILLED ? 100 : 12));
    assert_true(after >= 6);
}

static void killed_before_each_call(void **state)
{
    (void)state;
    killed(KILLED);
}

static void killed_in_the_middle_of_each_write(void **state)
{
    (void)state;
    killed(KILLED_HALF_WAY);
}

static size_t files_open(void)
{
    size_t count = 0;
    for (int file = 0; file < 100; file++)
        count += fcntl(file, F_GETFD) != -1;
    return count;
}

static void failing(enum how how, int error)
{
    long faults = 0, refused = 0;
    size_t open_before = files_open();
    for (size_t i = 0; i < BEFORES; i++) {
        look_at_case(i);
        bk_mark mark = bk_arena_mark(arena);
        for (long at = 1;; at++) {
            bk_arena_release(arena, mark);
            bk_report report;
            const char *aside;
            set_before(i);
            well();
            fault.how = how;
            fault.error = error;
            fault.at = at;
            bool done = command(&report, &aside), seen = *happened;
            well();
            if (!seen)
                break;
            faults++;
            refused += !done;
            const char *words = journal_read_words(arena, path);
            if (done) {
                assert_string_equal(words, words_after);
            } else {
                /* Where even cutting fails it may be there already: it is whole then. */
                if (how != FAILS_ON || strcmp(words, words_before) != 0)
                    assert_string_equal(words, how == FAILS_ON ? words_after : words_before);
                assert_true(report.errors > 0 && report.machine_failed);
                assert_non_null(strstr(all_messages(arena, &report), "the journal "));
            }
            torn_bytes_are_kept(i);
            assert_int_equal(files_open(), open_before);
            /* A machine that is well again goes on. */
            if (!done && strcmp(words, words_before) == 0) {
                assert_true(command(&report, &aside));
                assert_string_equal(journal_read_words(arena, path), words_after);
            }
        }
    }
    print_message("%ld faults, %ld refused\n", faults, refused);
    assert_true(faults >= 100 && (how == SHORT ? refused == 0 : refused >= 60));
}

static void each_call_fails_once(void **state)
{
    (void)state;
    const int errors[] = {EIO, ENOSPC, EROFS, EDQUOT};
    for (size_t i = 0; i < sizeof errors / sizeof *errors; i++)
        failing(FAILS_ONCE, errors[i]);
}

static void each_call_and_all_behind_it_fail(void **state)
{
    (void)state;
    failing(FAILS_ON, EIO);
    failing(FAILS_ON, ENOSPC);
}

static void each_write_comes_up_short_once(void **state)
{
    (void)state;
    failing(SHORT, 0);
}

/* The holder before removes the file, which it made and did not write, between the opening and
 * the locking of the next: that one makes another. */
static void a_file_that_goes_before_it_is_locked(void **state)
{
    (void)state;
    removed = path;
    for (size_t i = 0; i < 2; i++) {
        look_at_case(i);
        for (long at = 1, over = 0; !over; at++) {
            bk_report report;
            const char *aside;
            set_before(i);
            well();
            fault.how = REMOVED;
            fault.at = at;
            assert_true(command(&report, &aside));
            over = *calls < at;
            well();
            assert_string_equal(journal_read_words(arena, path), words_after);
        }
    }
}

/* What is said of a full disk, of a read-only one. */
static void it_is_said_why(void **state)
{
    (void)state;
    static const struct {
        int error;
        const char *words;
    } cases[] = {{ENOSPC, "there is no room left on the disk"},
                 {EROFS, "the file system is read-only"},
                 {EACCES, "no permission"},
                 {EIO, "the disk failed"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        bk_report report;
        const char *aside;
        box_empty();
        well();
        fault.how = FAILS_ON;
        fault.at = 1;
        fault.error = cases[i].error;
        assert_false(command(&report, &aside));
        well();
        assert_string_equal(
            all_messages(arena, &report),
            bk_format(arena, "cannot write the journal %s: %s\n", path, cases[i].words));
        assert_int_equal(box_count(), 0);
    }
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(killed_before_each_call),
        TEST(killed_in_the_middle_of_each_write),
        TEST(each_call_fails_once),
        TEST(each_call_and_all_behind_it_fail),
        TEST(each_write_comes_up_short_once),
        TEST(a_file_that_goes_before_it_is_locked),
        TEST(it_is_said_why),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
