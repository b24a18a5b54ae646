/* Plan to problem: the cooks eat too. From each serve on they are at table. */
#include "compile/parts.h"

#include <stdlib.h>

static int by_from(const void *left, const void *right)
{
    const bk_table *a = left, *b = right;
    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    return (a->dish > b->dish) - (a->dish < b->dish);
}

void bk_find_tables(bk_builder *b)
{
    const bk_plan *plan = b->plan;
    if (plan->at_table == 0)
        return;
    b->tables = BK_NEW(b->arena, bk_table, plan->dish_count);
    size_t served = 0;
    for (size_t d = 0; d < plan->dish_count; d++)
        if (!plan->dishes[d].out && !plan->dishes[d].part)
            b->tables[served++] =
                (bk_table){plan->dishes[d].serve, plan->dishes[d].serve + plan->at_table, d};
    if (served > 0)
        qsort(b->tables, served, sizeof *b->tables, by_from);
    for (size_t i = 0; i < served; i++) {
        bk_table *last = b->table_count > 0 ? &b->tables[b->table_count - 1] : NULL;
        if (!last || b->tables[i].from >= last->to)
            b->tables[b->table_count++] = b->tables[i];
        else
            last->to = b->tables[i].to; /* all are as long */
    }
}

bk_hole bk_table_hole(bk_builder *b, size_t table)
{
    const bk_table *at = &b->tables[table];
    int fact = bk_builder_fact(b, BK_FACT_AT_TABLE, b->plan->at_table_place);
    bk_fact *about = bk_builder_fact_at(b, fact);
    about->dish = at->dish;
    about->from = at->from;
    about->to = at->to;
    return (bk_hole){.from = bk_narrow(b->out->mirror - at->to),
                     .to = bk_narrow(b->out->mirror - at->from),
                     .fact = fact};
}
