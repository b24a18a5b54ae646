/* Private to page: days under way, as last worked out. */
#ifndef BK_PAGE_DAY_H
#define BK_PAGE_DAY_H

struct bk_days;

struct bk_days *bk_days_new(void);
void bk_days_free(struct bk_days *days);

#endif
