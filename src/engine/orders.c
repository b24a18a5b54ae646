/* The order of two tasks that cannot run at once as a statement of its own: what is
 * learned then speaks of orders, whatever the times, and search may branch on them.
 * (Transitivity of orders as clauses was measured, and brought nothing.) */
#include "engine/solver.h"

enum { MOST_ORDERS = 20000 };

void bk_add_orders(bk_solver *solver, const bk_apart *apart)
{
    int32_t n = apart->count, orders = 0;
    for (int32_t i = 0; i < n; i++)
        for (int32_t j = i + 1; j < n && orders < MOST_ORDERS; j++) {
            if (apart->lead[i * n + j] == BK_NO_LEAD)
                continue;
            int32_t order = bk_solver_var(solver, 0, 1, BK_REST);
            bk_literal before = {2 * order, 1}, after = bk_not(before);
            bk_conditional_new(solver, 2 * i, 2 * j, apart->lead[i * n + j], &before, 1);
            bk_conditional_new(solver, 2 * j, 2 * i, apart->lead[j * n + i], &after, 1);
            *BK_ADD(solver, solver->orders) = (bk_order){order, i, j};
            orders++;
        }
}

void bk_orders_follow(bk_solver *solver)
{
    for (int32_t k = 0; k < solver->orders.count; k++) {
        bk_order order = solver->orders.at[k];
        solver->found[order.variable] = solver->found[order.one] < solver->found[order.other];
    }
}
