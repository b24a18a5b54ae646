/* Private to page: who may ask, by what stands in the head of a request. Pure functions. */
#ifndef BK_PAGE_GUARD_H
#define BK_PAGE_GUARD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { BK_MOST_HOSTS = 4, BK_LONGEST_HOST = 300 };

/* The names that the page is reached by: what Host says, and before it what Origin says. */
typedef struct bk_guard {
    char hosts[BK_MOST_HOSTS][BK_LONGEST_HOST];
    char origins[BK_MOST_HOSTS][BK_LONGEST_HOST];
    size_t count;
} bk_guard;

/* This machine's own names with that port. */
bk_guard bk_guard_local(uint16_t port);

/* That address with that port, and the host of `behind` where that is not NULL. False: `behind` is
 * no "http[s]://HOST[:PORT]", or the address too long. */
bool bk_guard_at_home(const char *address, uint16_t port, const char *behind, bk_guard *guard);

/* Host as sent, NULL where it was not: another name that leads here is somebody's trick
 * (rebinding). */
bool bk_guard_host(const bk_guard *guard, const char *host);

/* Origin as sent: a browser tells it with every request that changes something. */
bool bk_guard_origin(const bk_guard *guard, const char *origin);

/* "application/json", alone or with "; charset=utf-8": no form can send that. */
bool bk_guard_is_json(const char *content_type);

/* The value of the cookie called `name` in a Cookie header, into `value`, which has room for
 * `room` bytes; false: it is not there, or longer. */
bool bk_guard_cookie(const char *header, const char *name, char *value, size_t room);

#endif
