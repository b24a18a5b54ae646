/* Repeat rules for fuzz targets, linked in place of the real bk_rule_expand (ld --wrap): with a few
 * thousand steps for a file's rules, where a reader has a million and takes 20 ms for them. One
 * rule in 256 has all. */
#include "icalendar/values.h"

enum { FEW_STEPS = 3000, ONE_IN = 256 };

enum bk_rule_fault __real_bk_rule_expand(bk_arena *arena, const bk_rule *rule, bk_date_time start,
                                         bk_seconds last, int64_t *steps_left, bk_wall_list *found);
enum bk_rule_fault __wrap_bk_rule_expand(bk_arena *arena, const bk_rule *rule, bk_date_time start,
                                         bk_seconds last, int64_t *steps_left, bk_wall_list *found);

enum bk_rule_fault __wrap_bk_rule_expand(bk_arena *arena, const bk_rule *rule, bk_date_time start,
                                         bk_seconds last, int64_t *steps_left, bk_wall_list *found)
{
    uint64_t sum = (uint64_t)rule->interval * 31 + (uint64_t)rule->count;
    for (size_t i = 0; i < rule->month_days.count; i++)
        sum = sum * 31 + (uint64_t)rule->month_days.items[i];
    bool all = (sum * UINT64_C(0xD1342543DE82EF95) >> 40) % ONE_IN == 0;
    if (!all && *steps_left > FEW_STEPS)
        *steps_left = FEW_STEPS;
    return __real_bk_rule_expand(arena, rule, start, last, steps_left, found);
}
