/* Private to page: searches that go on beside. */
#ifndef BK_PAGE_SEARCH_H
#define BK_PAGE_SEARCH_H

enum { BK_MOST_SEARCHES = 3 };

struct bk_searches;

struct bk_searches *bk_searches_new(void);

/* Gives all up and waits for their end. Accepts NULL. */
void bk_searches_end(struct bk_searches *searches);
void bk_searches_free(struct bk_searches *searches);

#endif
