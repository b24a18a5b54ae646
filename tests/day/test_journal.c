/* The journal of a day: every kind of line there and back, journals that others wrote, bad
 * lines word for word, torn ends of every length, two writers, a machine at its limits. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "box.h"

static jmp_buf no_memory;
static bk_arena *arena;
static const bk_zone *zone;
static const char *path;

static int set_up(void **state)
{
    (void)state;
    arena = bk_arena_new(&no_memory);
    zone = bk_zone_open(arena, "Europe/Berlin");
    box_new();
    path = box_path(arena, "supper.day.jsonl");
    return !arena || !zone;
}

static int tear_down(void **state)
{
    (void)state;
    box_remove();
    bk_arena_free(arena);
    return 0;
}

/* 2026-12-04T17:30+01:00 is 2026-12-04T16:30Z; python3: datetime(2026, 12, 4, 16, 30,
 * tzinfo=timezone.utc).timestamp() / 60 */
static const bk_instant half_past_five = 29940030;

/* ------------------------------------------------------------- there and back */

static bk_planned_start starts[] = {{"Mousse torte", "bake", 29940080, "oven#1"},
                                    {"Rolls", "prove", 29940035, NULL}};

static bk_day_entry all[] = {
    {BK_DAY_BEGUN, 29940030, .dish = "Mousse torte", .stage = "bake#2", .temperature_c = NAN},
    {BK_DAY_DONE, 29940070, .dish = "Mousse torte", .stage = "bake#2", .temperature_c = NAN},
    {BK_DAY_LONGER, 29940071, .dish = "Crème brûlée \"à la\nminute\"", .stage = "set",
     .minutes = 20, .temperature_c = NAN},
    {BK_DAY_SKIPPED, 29940072, .dish = "Rolls", .stage = "glaze", .temperature_c = NAN},
    {BK_DAY_HOT, 29940073, .oven = "oven#1", .temperature_c = 180.0},
    {BK_DAY_HOT, 29940073, .oven = "oven#2", .temperature_c = 176.7},
    {BK_DAY_HOT, 29940073, .oven = "oven", .temperature_c = NAN},
    {BK_DAY_SERVED, 29940074, .dish = "Rolls", .temperature_c = NAN},
    {BK_DAY_OUT, 29940075, .dish = "Panna cotta", .temperature_c = NAN},
    {BK_DAY_LATER, 29940076, .serve = "+25 min", .temperature_c = NAN},
    {BK_DAY_LATER, 29940076, .dish = "Rolls", .serve = "21:00", .temperature_c = NAN},
    {BK_DAY_COOK, 29940077, .cook = "Ann", .until = 29940240, .temperature_c = NAN},
    {BK_DAY_UNDO, 29940078, .temperature_c = NAN},
    {BK_DAY_PLANNED, 29940079, .starts = starts, .start_count = 2, .temperature_c = NAN},
    {BK_DAY_PLANNED, 29940079, .temperature_c = NAN},
    {BK_DAY_FINISHED, 29940180, .temperature_c = NAN},
};
enum { ALL = sizeof all / sizeof *all };

static bool append(const bk_day_entry *entries, size_t count, bk_report *report)
{
    *report = bk_report_new(arena);
    bk_journal_lock *lock = bk_journal_hold(path, report);
    bool done = lock && bk_journal_append(arena, lock, zone, half_past_five, "Friday supper",
                                          entries, count, report);
    bk_journal_release(lock);
    return done;
}

static void every_kind_comes_back(void **state)
{
    (void)state;
    bk_journal expected = {.there = true,
                           .begun = half_past_five,
                           .occasion = "Friday supper",
                           .entries = all,
                           .count = ALL};
    bk_report report;
    /* All at once, and one by one: the same bytes. */
    assert_true(append(all, ALL, &report));
    assert_string_equal(journal_read_words(arena, path), journal_words(arena, &expected));
    const char *at_once = file_text(arena, path, NULL);
    box_empty();
    for (size_t i = 0; i < ALL; i++)
        assert_true(append(&all[i], 1, &report));
    assert_string_equal(file_text(arena, path, NULL), at_once);
    assert_int_equal(box_count(), 1);
}

static void starts_told_again_keep_their_own_words(void **state)
{
    (void)state;
    bk_planned_start again[][3] = {
        {{"Rolls", "bake", 29940080, "oven#1"}, {"Rolls", "cool", 29940100, NULL}},
        {{"Rolls", "bake", 29940085, "oven#2"}, {"Buns", "cool", 29940105, NULL}},
        {{"Buns", "cool", 29940110, NULL},
         {"Buns", "bake", 29940090, "oven#2"},
         {"Rolls", "bake", 29940090, "oven#1"}},
        {{"Buns", "cool", 29940120, NULL}}};
    bk_day_entry entries[4];
    for (size_t i = 0; i < 4; i++)
        entries[i] = (bk_day_entry){BK_DAY_PLANNED, 29940079, .starts = again[i],
                                    .start_count = i == 2   ? 3
                                                   : i == 3 ? 1
                                                            : 2,
                                    .temperature_c = NAN};
    const bk_journal expected = {.there = true,
                                 .begun = half_past_five,
                                 .occasion = "Friday supper",
                                 .entries = entries,
                                 .count = 4};
    bk_report report;
    assert_true(append(entries, 4, &report));
    assert_string_equal(journal_read_words(arena, path), journal_words(arena, &expected));
}

static void lines_are_written_as_the_format_says(void **state)
{
    (void)state;
    bk_report report;
    bk_day_entry entries[] = {all[0], all[2], all[4], all[5], all[6], all[11], all[13]};
    assert_true(append(entries, sizeof entries / sizeof *entries, &report));
    assert_string_equal(
        file_text(arena, path, NULL),
        "{\"format\": \"bakeset-day-1\", \"at\": \"2026-12-04T17:30:00+01:00\", \"occasion\": "
        "\"Friday supper\"}\n"
        "{\"at\": \"2026-12-04T17:30:00+01:00\", \"what\": \"begun\", \"dish\": \"Mousse torte\", "
        "\"stage\": \"bake#2\"}\n"
        "{\"at\": \"2026-12-04T18:11:00+01:00\", \"what\": \"longer\", \"dish\": \"Crème brûlée "
        "\\\"à la\\u000aminute\\\"\", \"stage\": \"set\", \"minutes\": 20}\n"
        "{\"at\": \"2026-12-04T18:13:00+01:00\", \"what\": \"hot\", \"oven\": \"oven#1\", "
        "\"temperature\": \"180 C\"}\n"
        "{\"at\": \"2026-12-04T18:13:00+01:00\", \"what\": \"hot\", \"oven\": \"oven#2\", "
        "\"temperature\": \"176.7 C\"}\n"
        "{\"at\": \"2026-12-04T18:13:00+01:00\", \"what\": \"hot\", \"oven\": \"oven\"}\n"
        "{\"at\": \"2026-12-04T18:17:00+01:00\", \"what\": \"cook\", \"cook\": \"Ann\", "
        "\"until\": \"2026-12-04T21:00:00+01:00\"}\n"
        "{\"at\": \"2026-12-04T18:19:00+01:00\", \"what\": \"planned\", \"starts\": [{\"dish\": "
        "\"Mousse torte\", \"stage\": \"bake\", \"start\": \"2026-12-04T18:20:00+01:00\", "
        "\"oven\": \"oven#1\"}, {\"dish\": \"Rolls\", \"stage\": \"prove\", \"start\": "
        "\"2026-12-04T17:35:00+01:00\"}]}\n");
}

static void what_could_not_be_read_again_is_not_written(void **state)
{
    (void)state;
    bk_report report;
    const bk_day_entry bad[] = {
        {BK_DAY_BEGUN, 29940030, .dish = "Rolls", .temperature_c = NAN},
        {BK_DAY_BEGUN, 29940030, .dish = "", .stage = "bake", .temperature_c = NAN},
        {BK_DAY_LONGER, 29940030, .dish = "Rolls", .stage = "bake", .temperature_c = NAN},
        {BK_DAY_HOT, 29940030, .oven = "oven", .temperature_c = 4000.0},
        {BK_DAY_COOK, 29940030, .cook = "Ann", .until = -4000000000, .temperature_c = NAN},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        assert_false(append(&bad[i], 1, &report));
        assert_true(report.errors > 0);
        assert_int_equal(box_count(), 0);
    }
}

static void a_path_is_beside_the_plan(void **state)
{
    (void)state;
    assert_string_equal(bk_journal_path(arena, "plans/supper.json"), "plans/supper.day.jsonl");
    assert_string_equal(bk_journal_path(arena, "supper"), "supper.day.jsonl");
    assert_string_equal(bk_journal_path(arena, "supper.txt"), "supper.txt.day.jsonl");
    assert_string_equal(bk_journal_path(arena, ".json"), ".json.day.jsonl");
}

/* ------------------------------------------------------------- others' journals */

/* Only keys of the format, in another order, with other offsets, seconds, blank lines, CRLF,
 * unknown keys of other types, and no end behind the last line. */
static void journals_of_others_are_read(void **state)
{
    (void)state;
    write_text(path,
               "{\"at\":\"2026-12-04T16:30:00Z\",\"format\":\"bakeset-day-1\"}\r\n"
               "\n"
               "{\"stage\":\"bake\",\"dish\":\"Rolls\",\"what\":\"begun\",\"at\":"
               "\"2026-12-04T22:05:59.25+05:30\",\"by\":[1,{\"what\":\"x\"}],\"minutes\":null}\r\n"
               "   \t\r\n"
               "  {\"at\":\"2026-12-04t16:40:00z\",\"what\":\"hot\",\"oven\":\"oven\","
               "\"temperature\":\"350 F\"}\n"
               "{\"at\":\"2026-12-04 17:40+01:00\",\"what\":\"hot\",\"oven\":\"oven\","
               "\"temperature\":160}\n"
               "{\"at\":\"2026-12-04T17:41+01:00\",\"what\":\"longer\",\"dish\":\"Rolls\","
               "\"stage\":\"bake\",\"minutes\":\"1 h 5 min\"}");
    assert_string_equal(journal_read_words(arena, path),
                        "there 29940030 -\n"
                        "0 at 29940035 Rolls/bake 0 min, -, serve -, cook - until 0\n"
                        "4 at 29940040 -/- 0 min, oven 176.7, serve -, cook - until 0\n"
                        "4 at 29940040 -/- 0 min, oven 160.0, serve -, cook - until 0\n"
                        "2 at 29940041 Rolls/bake 65 min, -, serve -, cook - until 0\n");
    /* What is added begins a line of its own. */
    bk_report report;
    const char *before = file_text(arena, path, NULL);
    assert_true(append(&all[12], 1, &report));
    assert_string_equal(
        file_text(arena, path, NULL),
        bk_format(arena, "%s\n{\"at\": \"2026-12-04T18:18:00+01:00\", \"what\": \"undo\"}\n",
                  before));
}

static void no_journal_is_an_empty_one(void **state)
{
    (void)state;
    assert_string_equal(journal_read_words(arena, path), "none 0 -\n");
    const char *const empty[] = {"", "\n", " \r\n\t\n"};
    for (size_t i = 0; i < 3; i++) {
        write_text(path, empty[i]);
        assert_string_equal(journal_read_words(arena, path), "none 0 -\n");
        bk_report report;
        assert_true(append(&all[12], 1, &report));
        assert_non_null(strstr(journal_read_words(arena, path), "there 29940030 Friday supper\n9"));
    }
    /* Held and let go without a word: nothing is left. */
    box_empty();
    bk_report report = bk_report_new(arena);
    bk_journal_lock *lock = bk_journal_hold(path, &report);
    assert_non_null(lock);
    bk_journal_release(lock);
    assert_int_equal(box_count(), 0);
    bk_journal_release(NULL);
}

/* ------------------------------------------------------------------- bad lines */

#define FIRST "{\"format\": \"bakeset-day-1\", \"at\": \"2026-12-04T17:30:00+01:00\"}\n"
#define AT "\"at\": \"2026-12-04T17:31:00+01:00\""

/* A journal of this text is refused with this message, after the path. */
static void must_say(const char *text, const char *message)
{
    write_text(path, text);
    const char *said = journal_read_words(arena, path);
    const char *wanted = bk_format(arena, "FAULT %s:%s\n", path, message);
    if (strncmp(said, wanted, strlen(wanted)) != 0)
        print_message("said:   %swanted: %s", said, wanted);
    assert_true(strncmp(said, wanted, strlen(wanted)) == 0);
}

static void bad_lines_are_told_with_their_place(void **state)
{
    (void)state;
    must_say("{\"format\": \"bakeset-day-2\", " AT "}\n",
             "1:12: this is no journal of a day: its format is \"bakeset-day-2\", not "
             "\"bakeset-day-1\"; give that file another name, and bakeset begins a journal, with "
             "{\"format\": \"bakeset-day-1\", \"at\": ...} first");
    must_say("{\"occasion\": \"Friday supper\"}\n",
             "1:1: this is no journal of a day: its first line has no \"format\": "
             "\"bakeset-day-1\"; give that file another name, and bakeset begins a journal, with "
             "{\"format\": \"bakeset-day-1\", \"at\": ...} first");
    must_say("{\"format\": \"bakeset-day-1\"}\n",
             "1:1: \"at\" is missing; write it as \"2026-12-24T19:30:00+01:00\"");
    must_say(FIRST "\n[1]\n",
             "3:1: a line of the journal must be an object, not a list; write a line as {...}");
    must_say(FIRST "{" AT ", \"what\": \"beginn\", \"dish\": \"Rolls\", \"stage\": \"bake\"}\n",
             "2:45: a journal knows no \"beginn\"; did you mean \"begun\"?");
    must_say(FIRST "{" AT ", \"what\": \"burnt\"}\n",
             "2:45: a journal knows no \"burnt\"; write what happened, as \"begun\" or \"done\"");
    must_say(FIRST "{" AT "}\n", "2:1: \"what\" is missing");
    must_say(FIRST "{" AT ", \"what\": \"done\", \"dish\": \"Rolls\"}\n",
             "2:1: \"stage\" is missing");
    must_say(FIRST "{" AT ", \"what\": \"done\", \"dish\": \"\", \"stage\": \"bake\"}\n",
             "2:61: \"dish\" is empty");
    must_say(FIRST "{" AT ", \"what\": \"served\", \"dish\": 3}\n",
             "2:63: \"dish\" must be a text, not a number; write it in double quotes");
    must_say(FIRST "{\"at\": \"2026-12-04 17:31\", \"what\": \"undo\"}\n",
             "2:8: \"at\" is not a date and time with its offset: \"2026-12-04 17:31\"; write it "
             "as \"2026-12-24T19:30:00+01:00\"");
    must_say(
        FIRST "{\"at\": \"2026-12-04T17:31:00:00\", \"what\": \"undo\"}\n",
        "2:8: \"at\" is not a date and time with its offset: \"2026-12-04T17:31:00:00\"; write "
        "it as \"2026-12-24T19:30:00+01:00\"");
    must_say(FIRST "{\"at\": \"2026-02-30T17:31Z\", \"what\": \"undo\"}\n",
             "2:8: \"at\" names a date or time of day that does not exist: \"2026-02-30T17:31Z\"; "
             "look at the calendar");
    must_say(FIRST "{\"at\": \"2226-02-03T17:31Z\", \"what\": \"undo\"}\n",
             "2:8: \"at\" is too far away: \"2226-02-03T17:31Z\"; write a year from 1980 to 2199");
    must_say(FIRST "{\"at\": \"2199-12-31T23:59-05:00\", \"what\": \"undo\"}\n",
             "2:8: \"at\" is too far away: \"2199-12-31T23:59-05:00\"; write a year from 1980 to "
             "2199");
    must_say(FIRST "{" AT ", \"what\": \"longer\", \"dish\": \"A\", \"stage\": \"b\", "
                   "\"minutes\": 2.5}\n",
             "2:93: \"minutes\" must be a whole number of minutes from 1 to 20160");
    must_say(FIRST "{" AT ", \"what\": \"longer\", \"dish\": \"A\", \"stage\": \"b\", "
                   "\"minutes\": \"twenty\"}\n",
             "2:93: \"minutes\" is not a duration: \"twenty\"; write a duration such as \"90 "
             "min\", \"1 h 30 "
             "min\" or \"2 d\"");
    must_say(FIRST "{" AT ", \"what\": \"hot\", \"oven\": \"oven\", \"temperature\": \"hot\"}\n",
             "2:83: \"temperature\" is not an oven's temperature: \"hot\"; write it as \"180 C\", "
             "\"350 F\", \"gas 4\", \"170-190 C\" or \"160 C fan\"");
    must_say(FIRST "{" AT ", \"what\": \"planned\"}\n", "2:1: \"starts\" is missing");
    must_say(FIRST "{" AT ", \"what\": \"planned\", \"starts\": [{\"dish\": \"A\", \"stage\": "
                   "\"b\"}]}\n",
             "2:67: \"start\" is missing; write it as \"2026-12-24T19:30:00+01:00\"");
    /* Torn in the middle: somebody wrote on behind it. */
    must_say(FIRST "{" AT ", \"what\": \"un\n{" AT ", \"what\": \"undo\"}\n",
             "2:45: this text never ends; close it with \"");
    must_say(FIRST "{" AT ", \"what\": \n{" AT ", \"what\": \"undo\"}\n",
             "2:45: the line ends where a value is expected; is something missing, or a } or ] "
             "not closed?");
    must_say(FIRST "{" AT ", \"what\": \"undo\"} {" AT ", \"what\": \"undo\"}\n",
             "2:53: text follows the end of the JSON value; remove it, or look for a } too many "
             "before it");
    must_say(FIRST "{" AT ", \"what\": \"undo\", \"what\": \"undo\"}\n",
             "2:53: the key \"what\" is given twice; keep one of them; the first is at line 2, "
             "column 37");
    must_say(FIRST "// a remark\n", "2:1: the line is empty; a line starts with {");
    must_say(FIRST "{\"at\": \"\xff\"}\n", "2:9: byte 0xFF is not UTF-8; save the file as UTF-8");
}

static void every_bad_line_is_told(void **state)
{
    (void)state;
    /* First what is no JSON, then what is no entry. */
    const char *const bad[] = {"x", "{\"at\": 1}"};
    for (size_t i = 0; i < 2; i++) {
        write_text(
            path, bk_format(arena, FIRST "%s\n{" AT ", \"what\": \"undo\"}\n%s\n", bad[i], bad[i]));
        const char *said = journal_read_words(arena, path);
        assert_non_null(strstr(said, ":2:"));
        assert_null(strstr(said, ":3:"));
        assert_non_null(strstr(said, ":4:"));
    }
}

static void what_cannot_be_read_is_no_fault_of_its_lines(void **state)
{
    (void)state;
    bk_files files = bk_files_system();
    bk_report report = bk_report_new(arena);
    bk_journal journal;
    assert_int_equal(mkdir(path, 0755), 0);
    assert_false(bk_journal_read(arena, &files, path, &journal, &report));
    assert_string_equal(all_messages(arena, &report),
                        bk_format(arena, "cannot read the journal %s: it is a folder\n", path));
    report = bk_report_new(arena);
    assert_null(bk_journal_hold(path, &report));
    assert_string_equal(all_messages(arena, &report),
                        bk_format(arena, "cannot write the journal %s: it is a folder\n", path));
    rmdir(path);
    assert_int_equal(mkfifo(path, 0644), 0);
    report = bk_report_new(arena);
    assert_null(bk_journal_hold(path, &report));
    assert_string_equal(
        all_messages(arena, &report),
        bk_format(arena, "cannot write the journal %s: it is no regular file\n", path));
    report = bk_report_new(arena);
    assert_null(bk_journal_hold(box_path(arena, "no/such.jsonl"), &report));
    assert_non_null(strstr(all_messages(arena, &report), ": there is no such folder\n"));
    assert_true(report.machine_failed);
}

static void the_number_of_lines_is_bounded(void **state)
{
    (void)state;
    enum { MOST = 100000 };
    bk_text text = bk_text_new(arena);
    bk_text_add(&text, FIRST);
    for (size_t i = 1; i < MOST; i++)
        bk_text_add(&text, "{" AT ", \"what\": \"undo\"}\n");
    write_text(path, text.data);
    assert_null(strstr(journal_read_words(arena, path), "FAULT"));
    bk_text_add(&text, "{" AT ", \"what\": \"undo\"}\n");
    must_say(text.data, "100001:1: the journal has more than 100000 lines");
}

/* ------------------------------------------------------------------- torn ends */

/* A journal of two entries, of which the last line is there in its first bytes only, by
 * plain writing, or with the first byte still to come. */
static void a_torn_line_of_every_length_is_set_aside(void **state)
{
    (void)state;
    const char *head = FIRST "{" AT ", \"what\": \"served\", \"dish\": \"Rolls\"}\n";
    const char *last = "{" AT ", \"what\": \"served\", \"dish\": \"Crème brûlée\"}\n";
    const char *words = "there 29940030 -\n5 at 29940031 Rolls/- 0 min, -, serve -, cook - until "
                        "0\n";
    size_t before = strlen(head), whole = strlen(last);
    for (int zero = 0; zero < 2; zero++)
        /* Without its line break alone the line is whole. */
        for (size_t length = 1; length + (zero ? 0 : 1) < whole; length++) {
            box_empty();
            char *bytes = bk_format(arena, "%s%.*s", head, (int)length, last);
            if (zero)
                bytes[before] = '\0';
            write_bytes(path, bytes, before + length);

            bk_files files = bk_files_system();
            bk_report report = bk_report_new(arena);
            bk_journal journal;
            bk_journal_lock *lock = bk_journal_hold(path, &report);
            assert_true(bk_journal_read(arena, &files, path, &journal, &report));
            assert_string_equal(journal_words(arena, &journal), words);
            assert_int_equal(journal.torn_at, before);
            assert_int_equal(journal.torn_length, length);

            /* Nothing is written behind it. */
            assert_false(bk_journal_append(arena, lock, zone, 0, NULL, &all[12], 1, &report));
            assert_non_null(strstr(all_messages(arena, &report), "has not been set aside"));
            const char *aside = bk_journal_set_aside(arena, lock, &journal, &report);
            assert_string_equal(aside, bk_format(arena, "%s.torn", path));
            size_t kept = 0;
            assert_memory_equal(file_text(arena, aside, &kept), bytes + before, length);
            assert_int_equal(kept, length);
            assert_string_equal(file_text(arena, path, NULL), head);
            assert_true(bk_journal_append(arena, lock, zone, 0, NULL, &all[12], 1, &report));
            bk_journal_release(lock);
            assert_int_equal(box_count(), 2);
        }
}

static void torn_ends_do_not_overwrite_each_other(void **state)
{
    (void)state;
    const char *const names[] = {"torn", "torn-2", "torn-3"};
    for (size_t i = 0; i < 3; i++) {
        write_text(path, bk_format(arena, FIRST "{\"torn\": %zu", i));
        bk_files files = bk_files_system();
        bk_report report = bk_report_new(arena);
        bk_journal journal;
        bk_journal_lock *lock = bk_journal_hold(path, &report);
        assert_true(bk_journal_read(arena, &files, path, &journal, &report));
        assert_non_null(bk_journal_set_aside(arena, lock, &journal, &report));
        bk_journal_release(lock);
    }
    for (size_t i = 0; i < 3; i++)
        assert_string_equal(file_text(arena, bk_format(arena, "%s.%s", path, names[i]), NULL),
                            bk_format(arena, "{\"torn\": %zu", i));
}

/* A first line that is torn, several lines behind a 0, and a last line that is garbage. */
static void other_torn_ends(void **state)
{
    (void)state;
    static const struct {
        const char *bytes;
        size_t length, torn_at;
    } cases[] = {
        {"{\"format\": \"bakeset-d", 21, 0},
        {"\0\"format\": 1}\n{}\n", 16, 0},
        {FIRST "\0x\ny\n", sizeof FIRST - 1 + 5, sizeof FIRST - 1},
        {FIRST "\0\0\0\0", sizeof FIRST - 1 + 4, sizeof FIRST - 1},
        {FIRST "\xff\xfe garbage", sizeof FIRST - 1 + 10, sizeof FIRST - 1},
        {FIRST "12", sizeof FIRST - 1 + 2, sizeof FIRST - 1},
        {FIRST "{} {}", sizeof FIRST - 1 + 5, sizeof FIRST - 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        write_bytes(path, cases[i].bytes, cases[i].length);
        bk_files files = bk_files_system();
        bk_report report = bk_report_new(arena);
        bk_journal journal;
        assert_true(bk_journal_read(arena, &files, path, &journal, &report));
        assert_int_equal(journal.torn_at, cases[i].torn_at);
        assert_int_equal(journal.torn_length, cases[i].length - cases[i].torn_at);
        assert_int_equal(journal.length, cases[i].torn_at);
        assert_int_equal(journal.count, 0);
    }
}

/* ----------------------------------------------------------------- two writers */

/* Another process that holds the journal when this returns: for so long, or, NULL, until it is
 * killed. */
static pid_t held_elsewhere(const struct timespec *time)
{
    int ready[2];
    char byte = 0;
    assert_int_equal(pipe(ready), 0);
    pid_t other = fork();
    if (other == 0) {
        bk_report report = bk_report_new(arena);
        bk_journal_lock *lock = bk_journal_hold(path, &report);
        bool told = lock && write(ready[1], "x", 1) == 1;
        while (told && !time)
            pause();
        if (time)
            nanosleep(time, NULL);
        bk_journal_release(lock);
        _exit(!told);
    }
    close(ready[1]);
    assert_int_equal(read(ready[0], &byte, 1), 1);
    close(ready[0]);
    return other;
}

static void one_writer_at_a_time(void **state)
{
    (void)state;
    pid_t other = held_elsewhere(NULL);
    bk_report report = bk_report_new(arena);
    struct timespec from, to;
    clock_gettime(CLOCK_MONOTONIC, &from);
    assert_null(bk_journal_hold(path, &report));
    clock_gettime(CLOCK_MONOTONIC, &to);
    double waited = (double)(to.tv_sec - from.tv_sec) + 1e-9 * (double)(to.tv_nsec - from.tv_nsec);
    assert_true(waited > 1.5 && waited < 10.0);
    assert_string_equal(
        all_messages(arena, &report),
        bk_format(arena, "cannot write the journal %s: another bakeset is writing it\n", path));
    /* One who is killed holds it no more. */
    kill(other, SIGKILL);
    waitpid(other, NULL, 0);
    report = bk_report_new(arena);
    bk_journal_lock *lock = bk_journal_hold(path, &report);
    assert_non_null(lock);
    bk_journal_release(lock);
}

/* Several at once, each adding many entries: every one is there, whole, and the first line
 * once. */
static void writers_take_turns(void **state)
{
    (void)state;
    enum { WRITERS = 4, EACH = 25 };
    pid_t writers[WRITERS];
    for (int w = 0; w < WRITERS; w++) {
        writers[w] = fork();
        if (writers[w] == 0) {
            bool good = true;
            bk_report report;
            for (int i = 0; i < EACH && good; i++) {
                bk_day_entry two[] = {all[7], all[12]};
                two[0].dish = bk_format(arena, "dish %d %d", w, i);
                good = append(two, 2, &report);
            }
            _exit(!good);
        }
    }
    for (int w = 0; w < WRITERS; w++) {
        int status = 1;
        waitpid(writers[w], &status, 0);
        assert_int_equal(status, 0);
    }
    bk_files files = bk_files_system();
    bk_report report = bk_report_new(arena);
    bk_journal journal;
    assert_true(bk_journal_read(arena, &files, path, &journal, &report));
    assert_int_equal(journal.count, 2 * WRITERS * EACH);
    int next[WRITERS] = {0};
    for (size_t i = 0; i < journal.count; i += 2) {
        int w = 0, n = 0;
        assert_int_equal(sscanf(journal.entries[i].dish, "dish %d %d", &w, &n), 2);
        assert_int_equal(n, next[w]++);
        assert_int_equal(journal.entries[i + 1].what, BK_DAY_UNDO);
    }
}

/* One that waits for a file which its maker then removes, since nothing was written, makes
 * another. */
static void a_file_that_went_is_made_again(void **state)
{
    (void)state;
    pid_t other = held_elsewhere(&(struct timespec){.tv_nsec = 200000000});
    bk_report report;
    assert_true(append(&all[12], 1, &report));
    waitpid(other, NULL, 0);
    assert_non_null(strstr(journal_read_words(arena, path), "there 29940030 Friday supper\n9"));
}

/* ------------------------------------------------------------- a machine at its limits */

/* In a process of its own that may write files up to so many bytes only: the system itself
 * writes what fits and refuses the rest. Nothing of it stays. */
static void what_does_not_fit_is_cut_off(void **state)
{
    (void)state;
    bk_report report;
    assert_true(append(all, 1, &report));
    size_t length = 0;
    const char *before = file_text(arena, path, &length);
    for (size_t room = 0; room < 60; room++) {
        pid_t child = fork();
        if (child == 0) {
            struct rlimit limit = {length + room, length + room};
            signal(SIGXFSZ, SIG_IGN);
            bool limited = setrlimit(RLIMIT_FSIZE, &limit) == 0;
            bool done = append(&all[1], 2, &report);
            _exit(!limited || done || !strstr(all_messages(arena, &report), ": it is too large\n"));
        }
        int status = 1;
        waitpid(child, &status, 0);
        assert_int_equal(status, 0);
        assert_string_equal(file_text(arena, path, NULL), before);
    }
}

static void without_rights_nothing_is_written(void **state)
{
    (void)state;
    assert_int_equal(chmod(box_path(arena, ""), 0755), 0);
    pid_t child = fork();
    if (child == 0) {
        bk_report report;
        /* Root has rights everywhere. */
        bool some_user = getuid() != 0 ? chmod(box_path(arena, ""), 0555) == 0 : setuid(65534) == 0;
        bool done = append(all, 1, &report);
        const char *wanted = bk_format(arena, "cannot write the journal %s: no permission\n", path);
        _exit(!some_user || done || strcmp(all_messages(arena, &report), wanted) != 0);
    }
    int status = 1;
    waitpid(child, &status, 0);
    chmod(box_path(arena, ""), 0755);
    assert_int_equal(status, 0);
    assert_int_equal(box_count(), 0);
}

/* It is read while it is held, without losing the hold. */
static void reading_keeps_the_hold(void **state)
{
    (void)state;
    bk_report report;
    assert_true(append(all, ALL, &report));
    bk_journal_lock *lock = bk_journal_hold(path, &report);
    assert_non_null(lock);
    journal_read_words(arena, path);
    pid_t other = fork();
    if (other == 0) {
        bk_journal_lock *second = bk_journal_hold(path, &report);
        _exit(second != NULL);
    }
    int status = 1;
    waitpid(other, &status, 0);
    assert_int_equal(status, 0);
    bk_journal_release(lock);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(every_kind_comes_back),
        TEST(starts_told_again_keep_their_own_words),
        TEST(lines_are_written_as_the_format_says),
        TEST(what_could_not_be_read_again_is_not_written),
        TEST(a_path_is_beside_the_plan),
        TEST(journals_of_others_are_read),
        TEST(no_journal_is_an_empty_one),
        TEST(bad_lines_are_told_with_their_place),
        TEST(every_bad_line_is_told),
        TEST(what_cannot_be_read_is_no_fault_of_its_lines),
        TEST(the_number_of_lines_is_bounded),
        TEST(a_torn_line_of_every_length_is_set_aside),
        TEST(torn_ends_do_not_overwrite_each_other),
        TEST(other_torn_ends),
        TEST(one_writer_at_a_time),
        TEST(writers_take_turns),
        TEST(a_file_that_went_is_made_again),
        TEST(what_does_not_fit_is_cut_off),
        TEST(without_rights_nothing_is_written),
        TEST(reading_keeps_the_hold),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
