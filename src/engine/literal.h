/* Literals: bounds of variables.
 *
 * Every variable x has two sides: side 2x stands for x itself and side 2x + 1 for -x. Each
 * side has a lower bound that search and propagation raise, so that "x >= 3" and "x <= 5" are
 * both of the form "side >= value", and one routine serves both directions. A literal is such
 * a statement; its negation is a literal on the other side. No literal needs an object of its
 * own: truth is read off the bounds, whatever the size of the domain (lazy generation as by
 * Feydt and Stuckey, "Lazy clause generation reengineered", CP 2009, here without any
 * Boolean variables at all).
 *
 * Variable 0 is the constant zero; the problem's variable v is v + 1. */
#ifndef BK_ENGINE_LITERAL_H
#define BK_ENGINE_LITERAL_H

#include "engine/engine.h"
#include "engine/memory.h"

typedef struct bk_literal {
    int32_t side, value; /* side >= value; side -1: always true */
} bk_literal;

typedef BK_VECTOR(bk_literal) bk_literals;
typedef BK_VECTOR(int32_t) bk_ints;

static inline bk_literal bk_not(bk_literal literal)
{
    return (bk_literal){literal.side ^ 1, 1 - literal.value};
}

static inline int32_t bk_variable_of(bk_var var)
{
    return var == BK_CONSTANT ? 0 : var + 1;
}

static inline bk_literal bk_literal_of(bk_bound bound)
{
    int32_t side = 2 * bk_variable_of(bound.var);
    return bound.at_least ? (bk_literal){side, bound.value} : (bk_literal){side + 1, -bound.value};
}

#endif
