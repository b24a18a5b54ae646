/* Changes of the folder's files become events. */
#include "page/watch.h"
#include "page/day.h"
#include "page/events.h"
#include "page/known.h"

#include <stdlib.h>
#include <string.h>

/* "supper.day.jsonl" is that of "supper.json". */
static void tell_day(bk_page *page, const bk_listed *journal, bool there)
{
    char plan[BK_LONGEST_PATH];
    size_t stem = strlen(journal->path) - strlen(".day.jsonl");
    memcpy(plan, journal->path, stem);
    strcpy(plan + stem, ".json");
    if (bk_days_changed(page, plan))
        return; /* told when there is an answer to be had */
    cJSON *data = cJSON_CreateObject();
    cJSON_AddStringToObject(data, "path", plan);
    if (there)
        cJSON_AddStringToObject(data, "version", bk_version_of_status(&journal->status).text);
    else
        cJSON_AddNullToObject(data, "version");
    bk_events_send(page->events, "day", data);
}

static void tell_file(bk_page *page, const bk_listed *listed, bool there)
{
    bk_file file;
    cJSON *data = cJSON_CreateObject();
    cJSON_AddStringToObject(data, "path", listed->path);
    if (there && bk_folder_read(page->folder, listed->path, &file) == BK_FOLDER_OK) {
        cJSON_AddStringToObject(data, "version", file.version.text);
        free(file.text);
    } else {
        cJSON_AddNullToObject(data, "version");
    }
    bk_events_send(page->events, "file", data);
    bk_days_mend(page);
}

static void tell(bk_page *page, const bk_listed *listed, bool there)
{
    if (listed->journal)
        tell_day(page, listed, there);
    else
        tell_file(page, listed, there);
}

static bool are_same(const bk_listing *before, const bk_listing *now)
{
    bool same = before->count == now->count;
    for (size_t i = 0; same && i < now->count; i++)
        same = bk_same_status(&before->items[i].status, &now->items[i].status) &&
               strcmp(before->items[i].path, now->items[i].path) == 0;
    return same;
}

/* Both are in the order of the paths. */
static void compare(bk_page *page, const bk_listing *before, const bk_listing *now)
{
    bool others = false;
    for (size_t i = 0, k = 0; i < before->count || k < now->count;) {
        int order = i == before->count ? 1
                    : k == now->count  ? -1
                                       : strcmp(before->items[i].path, now->items[k].path);
        if (order < 0)
            tell(page, &before->items[i], false);
        else if (order > 0 || !bk_same_status(&before->items[i].status, &now->items[k].status))
            tell(page, &now->items[k], true);
        others |= order != 0;
        i += order <= 0;
        k += order >= 0;
    }
    if (others)
        bk_events_send(page->events, "folder", NULL);
}

void bk_watch_look(bk_page *page, bk_watching *watching)
{
    bk_listing now;
    if (watching->has_before && !bk_events_heard(page->events))
        return;
    bk_days_look(page);
    if (!bk_folder_list(page->folder, &now))
        return;
    /* before anybody is told: whoever then asks gets what is there now */
    bk_known_looked(page->known, !watching->has_before || !are_same(&watching->before, &now));
    if (watching->has_before)
        compare(page, &watching->before, &now);
    bk_listing_free(&watching->before);
    watching->before = now;
    watching->has_before = true;
}

void bk_watch_clear(bk_watching *watching)
{
    bk_listing_free(&watching->before);
}
