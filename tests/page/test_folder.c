/* The folder's files: nothing outside of it, nothing over a link, all or nothing. */
#define _XOPEN_SOURCE 700
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "own_folder.h"
#include "page/folder.h"

static void put(const char *name, const char *text)
{
    int file = openat(folder, name, O_WRONLY | O_CREAT | O_TRUNC, 0640);
    assert_true(file >= 0);
    assert_int_equal(write(file, text, strlen(text)), (ssize_t)strlen(text));
    close(file);
}

static void paths(void **state)
{
    (void)state;
    static const char *const good[] = {"a.json", "a/b.json", "a/b/c/d/e/f/g/h.json",
                                       "\xC3\xA9 x.json", "a..json"};
    static const char *const bad[] = {"",
                                      ".json",
                                      "a",
                                      "a.txt",
                                      "/a.json",
                                      "../a.json",
                                      "a/../b.json",
                                      "a/./b.json",
                                      "a//b.json",
                                      "a/.b.json",
                                      ".a/b.json",
                                      "a.json/",
                                      "a\n.json",
                                      "a\x7F.json",
                                      "a\\b.json",
                                      "\xC0\xAE\xC0\xAE/a.json",
                                      "\xED\xA0\x80.json",
                                      "\xFF.json",
                                      "a/b/c/d/e/f/g/h/i.json"};
    for (size_t i = 0; i < sizeof good / sizeof *good; i++)
        assert_true(bk_path_good(good[i]));
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_false(bk_path_good(bad[i]));
    assert_false(bk_path_good(NULL));
    char name[1200];
    memset(name, 'a', sizeof name);
    strcpy(name + 252, ".json"); /* a name of 257 */
    assert_false(bk_path_good(name));
}

/* FIPS 180-2, appendix B.1: SHA-256 of "abc". */
static void versions(void **state)
{
    (void)state;
    assert_string_equal(bk_version_of("abc", 3).text, "ba7816bf8f01cfea");
}

static void links(void **state)
{
    (void)state;
    bk_file file;
    struct stat status;
    bk_version version;
    put("there.json", "{}");
    assert_int_equal(mkdirat(folder, "sub", 0755), 0);
    assert_int_equal(symlinkat("/etc/passwd", folder, "out.json"), 0);
    assert_int_equal(symlinkat("there.json", folder, "in.json"), 0);
    assert_int_equal(symlinkat("/etc", folder, "etc"), 0);
    assert_int_equal(symlinkat("sub", folder, "other"), 0);
    assert_int_equal(symlinkat("none.json", folder, "dangling.json"), 0);
    assert_int_equal(mkfifoat(folder, "pipe.json", 0600), 0);
    static const char *const linked[] = {"out.json", "in.json", "etc/x.json", "other/x.json",
                                         "dangling.json"};
    for (size_t i = 0; i < sizeof linked / sizeof *linked; i++) {
        assert_int_equal(bk_folder_read(folder, linked[i], &file), BK_FOLDER_LINK);
        assert_int_not_equal(bk_folder_look(folder, linked[i], &status), BK_FOLDER_OK);
        assert_int_not_equal(bk_folder_write(folder, linked[i], NULL, "x", 1, &version),
                             BK_FOLDER_OK);
        assert_int_not_equal(bk_folder_write(folder, linked[i], "0", "x", 1, &version),
                             BK_FOLDER_OK);
    }
    assert_int_equal(bk_folder_read(folder, "pipe.json", &file), BK_FOLDER_NONE);
    assert_int_equal(bk_folder_read(folder, "there.json/x.json", &file), BK_FOLDER_NONE);
    assert_int_equal(symlinkat("/etc/passwd", folder, "there.day.jsonl"), 0);
    assert_int_equal(bk_folder_look_day(folder, "there.json", &status), BK_FOLDER_LINK);
    assert_int_not_equal(faccessat(folder, "none.json", F_OK, 0), 0);
}

static void writing(void **state)
{
    (void)state;
    bk_file file;
    bk_version version, next;
    assert_int_equal(bk_folder_write(folder, "w/x/a.json", NULL, "one", 3, &version), BK_FOLDER_OK);
    assert_int_equal(bk_folder_write(folder, "w/x/a.json", NULL, "two", 3, &next),
                     BK_FOLDER_CHANGED);
    assert_int_equal(bk_folder_write(folder, "w/x/a.json", "0123456789abcdef", "two", 3, &next),
                     BK_FOLDER_CHANGED);
    assert_int_equal(bk_folder_write(folder, "w/x/a.json", version.text, "two", 3, &next),
                     BK_FOLDER_OK);
    assert_int_equal(bk_folder_read(folder, "w/x/a.json", &file), BK_FOLDER_OK);
    assert_string_equal(file.text, "two");
    assert_string_equal(file.version.text, next.text);
    free(file.text);
    assert_int_equal(bk_folder_remove(folder, "w/x/a.json", version.text), BK_FOLDER_CHANGED);
    assert_int_equal(bk_folder_remove(folder, "w/x/a.json", next.text), BK_FOLDER_OK);
    assert_int_equal(bk_folder_read(folder, "w/x/a.json", &file), BK_FOLDER_NONE);
    /* what a killed one left is in nobody's way */
    put("w/.b.json.part", "half");
    assert_int_equal(bk_folder_write(folder, "w/b.json", NULL, "", 0, &version), BK_FOLDER_OK);
    assert_int_not_equal(faccessat(folder, "w/.b.json.part", F_OK, 0), 0);
    char *large = calloc(1, BK_MOST_PAGE_BYTES + 2);
    memset(large, 'a', BK_MOST_PAGE_BYTES + 1);
    assert_int_equal(
        bk_folder_write(folder, "w/c.json", NULL, large, BK_MOST_PAGE_BYTES + 1, &version),
        BK_FOLDER_TOO_BIG);
    put("w/d.json", large);
    assert_int_equal(bk_folder_read(folder, "w/d.json", &file), BK_FOLDER_TOO_BIG);
    free(large);
    put("w/e.json", "\xFF");
    assert_int_equal(bk_folder_read(folder, "w/e.json", &file), BK_FOLDER_NOT_TEXT);
}

static void listing(void **state)
{
    (void)state;
    bk_listing all;
    assert_int_equal(mkdirat(folder, "l", 0755), 0);
    put("l/b.json", "{}");
    put("l/a.json", "{}");
    put("l/a.day.jsonl", "");
    put("l/busy.ics", "");
    put("l/.hidden.json", "{}");
    put("l/notes.txt", "");
    int below = openat(folder, "l", O_RDONLY | O_DIRECTORY);
    assert_true(bk_folder_list(below, &all));
    close(below);
    assert_int_equal(all.count, 4);
    assert_string_equal(all.items[0].path, "a.day.jsonl");
    assert_true(all.items[0].journal);
    assert_string_equal(all.items[1].path, "a.json");
    assert_string_equal(all.items[2].path, "b.json");
    assert_true(all.items[3].other);
    assert_false(all.more);
    bk_listing_free(&all);
}

static void assert_holds(const char *name, const char *text)
{
    bk_file file;
    assert_int_equal(bk_folder_read(folder, name, &file), BK_FOLDER_OK);
    assert_string_equal(file.text, text);
    free(file.text);
}

static bool is_there(const char *name)
{
    return faccessat(folder, name, F_OK, 0) == 0;
}

static void two(bk_written *files, const char *was_a, const char *was_b)
{
    files[0] = (bk_written){.path = "two-a.json",
                            .was = was_a,
                            .before = "1",
                            .before_length = 1,
                            .text = "10",
                            .length = 2};
    files[1] = (bk_written){.path = "sub/two-b.json",
                            .was = was_b,
                            .before = "2",
                            .before_length = 1,
                            .text = "20",
                            .length = 2};
}

static void several_are_one_change(void **state)
{
    (void)state;
    bk_written files[2];
    size_t failed = 9;
    mkdirat(folder, "sub", 0755);
    put("two-a.json", "1");
    put("sub/two-b.json", "2");
    bk_version one = bk_version_of("1", 1), b = bk_version_of("2", 1);
    two(files, one.text, one.text); /* the second is not that */
    assert_int_equal(bk_folder_write_all(folder, files, 2, &failed), BK_FOLDER_CHANGED);
    assert_int_equal(failed, 1);
    assert_holds("two-a.json", "1");
    assert_holds("sub/two-b.json", "2");
    assert_false(is_there(".two-a.json.part"));
    two(files, one.text, b.text);
    assert_int_equal(bk_folder_write_all(folder, files, 2, &failed), BK_FOLDER_OK);
    assert_holds("two-a.json", "10");
    assert_holds("sub/two-b.json", "20");
    assert_string_equal(files[1].version.text, bk_version_of("20", 2).text);
    assert_false(is_there(BK_CHANGE_FILE));
    assert_false(is_there("sub/.two-b.json.part"));
}

/* As one leaves it that is killed between the two. */
static void stop_half_way(const char *a, const char *b)
{
    char line[200];
    bk_version was_a = bk_version_of("1", 1), was_b = bk_version_of("2", 1),
               is_a = bk_version_of("10", 2), is_b = bk_version_of("20", 2);
    put("two-a.json", a);
    put("sub/two-b.json", b);
    put("sub/.two-b.json.part", "20");
    snprintf(line, sizeof line, "%s %s two-a.json\n%s %s sub/two-b.json\n", was_a.text, is_a.text,
             was_b.text, is_b.text);
    put(BK_CHANGE_FILE, line);
}

static void one_that_was_stopped_is_gone_on_with(void **state)
{
    (void)state;
    stop_half_way("10", "2");
    bk_folder_go_on(folder);
    assert_holds("two-a.json", "10");
    assert_holds("sub/two-b.json", "20");
    assert_false(is_there(BK_CHANGE_FILE) || is_there("sub/.two-b.json.part"));

    stop_half_way("10", "3"); /* an editor has changed the second meanwhile */
    bk_folder_go_on(folder);
    assert_holds("sub/two-b.json", "3");
    assert_false(is_there(BK_CHANGE_FILE) || is_there("sub/.two-b.json.part"));

    stop_half_way("10", "2");
    put("sub/.two-b.json.part", "2"); /* torn */
    bk_folder_go_on(folder);
    assert_holds("sub/two-b.json", "2");

    put(BK_CHANGE_FILE, "0 0 ../x.json\nand nonsense"); /* none of ours */
    bk_folder_go_on(folder);
    assert_false(is_there(BK_CHANGE_FILE));
    bk_folder_go_on(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(paths),
                                       cmocka_unit_test(versions),
                                       cmocka_unit_test(links),
                                       cmocka_unit_test(writing),
                                       cmocka_unit_test(listing),
                                       cmocka_unit_test(several_are_one_change),
                                       cmocka_unit_test(one_that_was_stopped_is_gone_on_with)};
    return cmocka_run_group_tests(tests, own_folder_begin, own_folder_end);
}
