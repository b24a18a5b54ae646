/* Random numbers that are the same in every run: splitmix64 (Steele, Lea, Flood, "Fast
 * splittable pseudorandom number generators", OOPSLA 2014). */
#ifndef BK_ENGINE_RANDOM_H
#define BK_ENGINE_RANDOM_H

#include <stdint.h>

typedef struct bk_random {
    uint64_t state;
} bk_random;

/* A number below `most`. */
static inline uint32_t bk_random_below(bk_random *random, uint32_t most)
{
    uint64_t z = (random->state += UINT64_C(0x9e3779b97f4a7c15));
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return (uint32_t)((z ^ (z >> 31)) % most);
}

#endif
