/* The solver's own random numbers: splitmix64 (Steele, Lea, Flood, "Fast splittable
 * pseudorandom number generators", 2014), the same in every run. */
#include "engine/solver.h"

uint32_t bk_random_below(bk_solver *solver, uint32_t most)
{
    uint64_t z = (solver->random += UINT64_C(0x9e3779b97f4a7c15));
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return (uint32_t)((z ^ (z >> 31)) % most);
}
