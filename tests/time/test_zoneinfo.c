/* Every zone against an independent reader of the same data: python3's zoneinfo.
 * Without python3 this test is skipped and says so; test_zone.c compares with a
 * table that zoneinfo made before. */
#include "zone_lines.h"

#include <stdlib.h>

static void agrees_with_zoneinfo(void **state)
{
    (void)state;
    const char *seed = "20261225 2";
    if (system("python3 -c 'import zoneinfo' 2>/dev/null") != 0) {
        print_message("skipped: no python3 with zoneinfo on this machine\n");
        skip();
    }
    char command[100];
    snprintf(command, sizeof command, "python3 tests/time/zoneinfo_check.py %s", seed);
    FILE *in = popen(command, "r");
    assert_non_null(in);
    size_t count = check_zone_lines(in);
    assert_int_equal(pclose(in), 0);
    print_message("seed and years %s: %zu instants and civil times agree\n", seed, count);
    assert_true(count > 60000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(agrees_with_zoneinfo)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
