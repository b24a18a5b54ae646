/* For long runs: what libFuzzer does at every strcmp takes a fifth of the time of a target that
 * compares words. These, linked before its own, do nothing. Words to be found stand in
 * tests/fuzz/words. */
#include <stddef.h>

void __sanitizer_weak_hook_strcmp(void *pc, const char *a, const char *b, int result);
void __sanitizer_weak_hook_strncmp(void *pc, const char *a, const char *b, size_t n, int result);
void __sanitizer_weak_hook_strcasecmp(void *pc, const char *a, const char *b, int result);
void __sanitizer_weak_hook_strncasecmp(void *pc, const char *a, const char *b, size_t n,
                                       int result);
void __sanitizer_weak_hook_memcmp(void *pc, const void *a, const void *b, size_t n, int result);
void __sanitizer_weak_hook_strstr(void *pc, const char *a, const char *b, char *result);

void __sanitizer_weak_hook_strcmp(void *pc, const char *a, const char *b, int result)
{
    (void)pc, (void)a, (void)b, (void)result;
}

void __sanitizer_weak_hook_strncmp(void *pc, const char *a, const char *b, size_t n, int result)
{
    (void)pc, (void)a, (void)b, (void)n, (void)result;
}

void __sanitizer_weak_hook_strcasecmp(void *pc, const char *a, const char *b, int result)
{
    (void)pc, (void)a, (void)b, (void)result;
}

void __sanitizer_weak_hook_strncasecmp(void *pc, const char *a, const char *b, size_t n, int result)
{
    (void)pc, (void)a, (void)b, (void)n, (void)result;
}

void __sanitizer_weak_hook_memcmp(void *pc, const void *a, const void *b, size_t n, int result)
{
    (void)pc, (void)a, (void)b, (void)n, (void)result;
}

void __sanitizer_weak_hook_strstr(void *pc, const char *a, const char *b, char *result)
{
    (void)pc, (void)a, (void)b, (void)result;
}
