/* Which address is answered by what, and in which queue. */
#include "page/request.h"

#include <string.h>

static const struct {
    enum bk_method method;
    const char *path;
    bk_route *route;
    enum bk_queue queue;
    bool quick;
} routes[] = {
    {BK_GET, "/", bk_route_index, BK_READS, true},
    {BK_GET, "/api/folder", bk_route_folder, BK_READS, true},
    {BK_GET, "/api/file", bk_route_file, BK_FILES, true},
    {BK_PUT, "/api/file", bk_route_put, BK_FILES, false},
    {BK_PATCH, "/api/file", bk_route_patch, BK_FILES, false},
    {BK_POST, "/api/change", bk_route_change, BK_FILES, false},
    {BK_POST, "/api/undo", bk_route_undo, BK_FILES, false},
    {BK_POST, "/api/check", bk_route_check, BK_FILES, false},
    {BK_POST, "/api/plan", bk_route_plan, BK_PLANS, false},
    {BK_POST, "/api/search", bk_route_search, BK_FILES, false},
    {BK_DELETE, "/api/search", bk_route_give_up, BK_READS, true},
    {BK_POST, "/api/publish", bk_route_publish, BK_AFAR, false},
    {BK_POST, "/api/new", bk_route_new, BK_FILES, false},
    {BK_POST, "/api/take-in", bk_route_take_in, BK_PLANS, false},
    {BK_GET, "/api/day", bk_route_day, BK_DAYS, true},
    {BK_POST, "/api/day", bk_route_say, BK_DAYS, false},
    {BK_GET, "/sheet", bk_route_sheet, BK_PLANS, true},
    {BK_GET, "/picture", bk_route_picture, BK_PLANS, true},
    {BK_GET, "/calendar", bk_route_calendar, BK_PLANS, true},
};

bk_route *bk_route_find(enum bk_method method, const char *path, bool *quick, enum bk_queue *queue)
{
    *quick = method == BK_GET && strncmp(path, "/site/", 6) == 0;
    *queue = BK_FILES; /* a cookie is written down */
    if (*quick)
        return bk_route_site;
    if (method == BK_GET && strncmp(path, "/k/", 3) == 0)
        return bk_route_pair;
    for (size_t i = 0; i < sizeof routes / sizeof *routes; i++)
        if (routes[i].method == method && strcmp(routes[i].path, path) == 0) {
            *quick = routes[i].quick;
            *queue = routes[i].queue;
            return routes[i].route;
        }
    return NULL;
}
