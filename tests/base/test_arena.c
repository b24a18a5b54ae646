/* The arena: zeroed, aligned, checked sizes, and the jump when memory runs out. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/base.h"
#include "base/watched.h"

static void gives_zeroed_aligned_memory(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    for (size_t size = 1; size < 300000; size = size * 3 + 1) {
        unsigned char *block = bk_alloc(arena, 1, size);
        assert_int_equal((uintptr_t)block % _Alignof(max_align_t), 0);
        for (size_t i = 0; i < size; i++)
            assert_int_equal(block[i], 0);
        memset(block, 0xAA, size);
    }
    bk_arena_free(arena);
}

/* The product of what is asked for overflows; `within`: in an arena within another. */
static void must_jump(bool within)
{
    jmp_buf no_memory;
    bk_arena *volatile arena = NULL;
    if (setjmp(no_memory)) {
        bk_arena_free(arena);
        return;
    }
    arena = bk_arena_new(&no_memory);
    bk_alloc(within ? bk_arena_within(arena) : arena, SIZE_MAX / 4, 8);
    fail_msg("an impossible allocation was given");
}

static void jumps_when_memory_runs_out(void **state)
{
    (void)state;
    must_jump(false);
}

static void grows_arrays_and_keeps_what_is_in_them(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    int *items = NULL;
    size_t count = 0, room = 0;
    for (int i = 0; i < 10000; i++) {
        int *slot = BK_PUSH(arena, items, count, room);
        assert_int_equal(*slot, 0);
        *slot = i;
    }
    for (int i = 0; i < 10000; i++)
        assert_int_equal(items[i], i);
    bk_arena_free(arena);
}

static void an_arena_within_goes_before_its_parent_or_with_it(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_arena *first = bk_arena_within(arena), *second = bk_arena_within(arena),
             *third = bk_arena_within(arena), *inner = bk_arena_within(third);
    char *kept = bk_copy_string(arena, "kept"), *also = bk_copy_string(first, "also");
    memset(bk_alloc(second, 1, 200000), 1, 200000);
    bk_arena_free(second); /* from between the others */
    assert_string_equal(kept, "kept");
    assert_string_equal(also, "also");
    assert_string_equal(bk_copy_string(inner, "in both"), "in both");
    bk_arena_free(arena); /* a sanitizer sees whether all of it went */
}

static void an_arena_within_jumps_as_its_parent_does(void **state)
{
    (void)state;
    must_jump(true);
}

static void goes_back_to_a_mark(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_mark empty = bk_arena_mark(arena);
    char *kept = bk_copy_string(arena, "kept");
    for (int round = 0; round < 3; round++) {
        bk_mark mark = bk_arena_mark(arena);
        char *first = bk_copy_string(arena, "first");
        for (size_t size = 1; size < 200000; size *= 2)
            memset(bk_alloc(arena, 1, size), 0x55, size);
        bk_arena_release(arena, mark);
        char *again = bk_alloc(arena, 6, 1);
        assert_ptr_equal(again, first);
        assert_int_equal(again[0], 0); /* given out zeroed again */
        bk_arena_release(arena, mark);
    }
    assert_string_equal(kept, "kept");
    bk_arena_release(arena, empty);
    bk_arena_free(arena);
}

#ifdef BK_WATCHED
int __asan_address_is_poisoned(const volatile void *address);

/* AddressSanitizer is told where each piece of an arena ends. */
static void ends_are_watched(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    const char *first = bk_alloc(arena, 5, 1), *second = bk_alloc(arena, 16, 1);
    const char *nothing = bk_alloc(arena, 0, 1);
    assert_false(__asan_address_is_poisoned(first + 4));
    assert_true(__asan_address_is_poisoned(first + 5));
    assert_false(__asan_address_is_poisoned(second + 15));
    assert_true(__asan_address_is_poisoned(second + 16));
    assert_true(__asan_address_is_poisoned(nothing));
    bk_mark mark = bk_arena_mark(arena);
    const char *third = bk_alloc(arena, 100, 1);
    bk_arena_release(arena, mark);
    assert_true(__asan_address_is_poisoned(third));
    assert_false(__asan_address_is_poisoned(second));
    bk_arena_free(arena);
}
#endif

static void builds_text(void **state)
{
    (void)state;
    bk_arena *arena = bk_arena_new(NULL);
    bk_text text = bk_text_new(arena);
    assert_string_equal(text.data, "");
    for (int i = 0; i < 1000; i++)
        bk_text_addf(&text, "%d,", i);
    assert_int_equal(text.length, 10 * 2 + 90 * 3 + 900 * 4);
    assert_memory_equal(text.data + text.length - 4, "999,", 5);
    bk_text_add_repeated(&text, '-', 3);
    assert_string_equal(text.data + text.length - 3, "---");
    bk_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gives_zeroed_aligned_memory),
        cmocka_unit_test(jumps_when_memory_runs_out),
        cmocka_unit_test(grows_arrays_and_keeps_what_is_in_them),
        cmocka_unit_test(an_arena_within_goes_before_its_parent_or_with_it),
        cmocka_unit_test(an_arena_within_jumps_as_its_parent_does),
        cmocka_unit_test(goes_back_to_a_mark),
#ifdef BK_WATCHED
        cmocka_unit_test(ends_are_watched),
#endif
        cmocka_unit_test(builds_text),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
