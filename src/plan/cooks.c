/* Cooks with names and hours of their own, and the times that follow from them in which
 * nobody is there. */
#include "plan/reader.h"

#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------ reading */

static void read_cook(bk_reader *reader, bk_json *json, bk_cook *cook)
{
    static const char *const whose = "a cook";
    cook->place = bk_json_place(json);
    if (!bk_is_object(reader, json, whose, "write {\"cook\": \"Ada\"}"))
        return;
    bk_check_keys(reader, json, whose, bk_cook_keys);
    bk_json *name = bk_json_get(json, "cook");
    if (!name) {
        bk_missing(reader, json, whose, "cook", "give the name");
        return;
    }
    cook->name = bk_text_value(reader, name, "the name of a cook", BK_MOST_NAME, false);
}

void bk_read_cooks(bk_reader *reader, bk_json *list)
{
    bk_kitchen *kitchen = &reader->plan->kitchen;
    if (list->count == 0 || list->count > BK_MOST_NAMED_COOKS) {
        bk_problem(reader, "count", bk_json_place(list),
                   "name each who cooks, or write how many they are",
                   "\"cooks\" must name from 1 to %d cooks", BK_MOST_NAMED_COOKS);
        return;
    }
    kitchen->people = BK_NEW(reader->arena, bk_cook, list->count);
    kitchen->cooks = (int)list->count;
    for (bk_json *item = list->first; item; item = item->next) {
        bk_cook *cook = &kitchen->people[kitchen->people_count++];
        read_cook(reader, item, cook);
        for (size_t i = 0; cook->name && i + 1 < kitchen->people_count; i++) {
            if (kitchen->people[i].name && strcmp(kitchen->people[i].name, cook->name) == 0) {
                bk_problem(reader, "twice", bk_json_place(bk_json_get(item, "cook")),
                           "give them different names", "there are two cooks named %s",
                           bk_quoted(reader->arena, cook->name));
                break;
            }
        }
    }
}

/* ------------------------------------------------------- when none of them can */

typedef struct edge {
    bk_instant at;
    size_t cook;
    enum bk_window_kind kind;
    int change;
} edge;

static int by_time(const void *left, const void *right)
{
    const edge *a = left, *b = right;
    return (a->at > b->at) - (a->at < b->at);
}

static int window_order(const void *left, const void *right)
{
    const bk_window *a = left, *b = right;
    if (a->from != b->from)
        return a->from < b->from ? -1 : 1;
    if (a->to != b->to)
        return a->to < b->to ? -1 : 1;
    if (a->kind != b->kind)
        return a->kind < b->kind ? -1 : 1;
    return (int)a->derived - (int)b->derived;
}

/* What keeps all of them: sleep, or that none is there, or that none has hands. False
 * when somebody can. `open` counts each cook's windows by kind. */
static bool keeps_all(const bk_kitchen *kitchen, int (*open)[3], enum bk_window_kind *kind)
{
    *kind = BK_ASLEEP;
    for (size_t i = 0; i < kitchen->people_count; i++) {
        if (open[i][BK_ASLEEP] > 0)
            continue;
        if (open[i][BK_AWAY] == 0 && open[i][BK_BUSY] == 0)
            return false;
        enum bk_window_kind its = open[i][BK_AWAY] > 0 ? BK_AWAY : BK_BUSY;
        *kind = its > *kind ? its : *kind;
    }
    return true;
}

void bk_kitchen_gather(bk_arena *arena, bk_kitchen *kitchen)
{
    size_t own = 0, edges = 0, room = 0, count = 0;
    for (size_t i = 0; i < kitchen->people_count; i++)
        edges += 2 * kitchen->people[i].window_count;
    bk_window *windows = NULL;
    for (; own < kitchen->window_count; own++)
        if (!kitchen->windows[own].derived)
            *BK_PUSH(arena, windows, count, room) = kitchen->windows[own];
    edge *edge_list = BK_NEW(arena, edge, edges);
    size_t n = 0;
    for (size_t i = 0; i < kitchen->people_count; i++) {
        for (size_t w = 0; w < kitchen->people[i].window_count; w++) {
            const bk_window *window = &kitchen->people[i].windows[w];
            edge_list[n++] = (edge){window->from, i, window->kind, 1};
            edge_list[n++] = (edge){window->to, i, window->kind, -1};
        }
    }
    if (n > 0)
        qsort(edge_list, n, sizeof *edge_list, by_time);
    int(*open)[3] = bk_alloc(arena, sizeof *open, kitchen->people_count);
    bk_window *last = NULL;
    for (size_t i = 0; i < n;) {
        bk_instant at = edge_list[i].at;
        for (; i < n && edge_list[i].at == at; i++)
            open[edge_list[i].cook][edge_list[i].kind] += edge_list[i].change;
        enum bk_window_kind kind;
        if (i == n || !keeps_all(kitchen, open, &kind)) {
            last = NULL;
            continue;
        }
        if (last && last->kind == kind && last->to == at) {
            last->to = edge_list[i].at;
            continue;
        }
        last = BK_PUSH(arena, windows, count, room);
        *last = (bk_window){.kind = kind,
                            .from = at,
                            .to = edge_list[i].at,
                            .derived = true,
                            .place = kitchen->people[0].place};
    }
    if (count > 1)
        qsort(windows, count, sizeof *windows, window_order);
    kitchen->windows = windows;
    kitchen->window_count = count;
}
