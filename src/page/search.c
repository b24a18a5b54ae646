/* Searches that go on beside: a thread for each, a few at a time. Each begins anew with several
 * times the effort, so that what was found so far can be told. */
#include "page/search.h"
#include "page/events.h"
#include "page/plan.h"

#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    FIRST_EFFORT = 2000,
    MOST_EFFORT = 2000000,
    TIMES = 8,
    ALONE_SECONDS = 15, /* after which a search that nobody listens to ends */
    AGAIN_MS = 500      /* from one telling on the way to the next, at least */
};

enum state { FREE, RUNNING, OVER };

typedef struct search {
    bk_page *page;
    char id[24];
    bk_asked asked;
    char *path;
    pthread_t thread;
    enum state state;
    atomic_bool stop;
    int64_t heard;                /* seconds: when somebody listened last */
    int64_t used;                 /* effort of the try under way */
    struct bakeset_progress told; /* the best that was told of; its words are gone */
    int64_t told_at;              /* milliseconds; 0: never */
    char *best;                   /* timeline of the last try that was done, JSON; or NULL */
    int64_t best_effort;
} search;

struct bk_searches {
    pthread_mutex_t lock; /* of id, state and thread */
    search items[BK_MOST_SEARCHES];
    unsigned number;
    bool closed;
};

struct bk_searches *bk_searches_new(void)
{
    struct bk_searches *searches = calloc(1, sizeof *searches);
    if (searches)
        pthread_mutex_init(&searches->lock, NULL);
    return searches;
}

/* ----------------------------------------------------------------- the thread */

static void tell(search *s, const char *state, const struct bakeset_progress *progress,
                 const char *timeline, bool over);

/* In the order in which a search goes through them, of one plan: more is better, or nearer to a
 * proof. */
static bool is_news(const search *s, const struct bakeset_progress *progress)
{
    const struct bakeset_progress *told = &s->told;
    if (!progress->found || bk_milliseconds() - s->told_at < AGAIN_MS)
        return false;
    if (s->told_at == 0 || progress->level > told->level)
        return true;
    /* a try that begins anew has first to come as far as the one before */
    return progress->level == told->level &&
           (progress->goal == BAKESET_GOAL_FIRST_START
                ? progress->best > told->best || progress->bound < told->bound
                : progress->best < told->best || progress->bound > told->bound);
}

static void tell_on_the_way(search *s, const struct bakeset_progress *progress)
{
    if (!is_news(s, progress))
        return;
    tell(s, "so far", progress, NULL, false);
    s->told = *progress;
    s->told.words = NULL;
    s->told_at = bk_milliseconds();
}

static int is_over(void *context, const struct bakeset_progress *progress)
{
    search *s = context;
    s->used = progress->used;
    tell_on_the_way(s, progress);
    int64_t now = s->page->seconds();
    if (bk_events_heard(s->page->events))
        s->heard = now;
    if (now - s->heard > ALONE_SECONDS)
        atomic_store(&s->stop, true);
    return atomic_load(&s->stop);
}

/* How far it is: minutes, a number, or for the first start minutes since 1970. */
static void add_progress(cJSON *data, const struct bakeset_progress *progress)
{
    static const char *const goals[] = {[BAKESET_GOAL_ANY] = "any",
                                        [BAKESET_GOAL_HANDS_ON] = "hands-on",
                                        [BAKESET_GOAL_BUSIEST_OTHER_DAY] = "busiest-other-day",
                                        [BAKESET_GOAL_MOVED] = "moved",
                                        [BAKESET_GOAL_FIRST_START] = "first-start",
                                        [BAKESET_GOAL_INTERRUPTIONS] = "interruptions",
                                        [BAKESET_GOAL_WAITING] = "waiting",
                                        [BAKESET_GOAL_WHY] = "why",
                                        [BAKESET_GOAL_REMEDIES] = "remedies"};
    cJSON_AddStringToObject(data, "goal", goals[progress->goal]);
    cJSON_AddNumberToObject(data, "first_start", (double)progress->first_start);
    cJSON_AddNumberToObject(data, "best", (double)progress->best);
    cJSON_AddNumberToObject(data, "bound", (double)progress->bound);
    cJSON_AddStringToObject(data, "words", progress->words);
}

/* `progress` and `timeline` may be NULL. */
static void tell(search *s, const char *state, const struct bakeset_progress *progress,
                 const char *timeline, bool over)
{
    cJSON *data = cJSON_CreateObject();
    cJSON_AddStringToObject(data, "id", s->id);
    cJSON_AddStringToObject(data, "state", state);
    cJSON_AddBoolToObject(data, "over", over);
    if (progress)
        add_progress(data, progress);
    /* on one line, as an event is */
    cJSON *value = timeline ? cJSON_Parse(timeline) : NULL;
    cJSON_AddItemToObject(data, "timeline", value ? value : cJSON_CreateNull());
    bk_events_send(s->page->events, "search", data);
}

/* A try that was ended before it had come as far as the one before has nothing better. */
static const char *given_up(const search *s, enum bakeset_result result, const char *timeline)
{
    return s->best && (result != BAKESET_OK || s->used < s->best_effort) ? s->best : timeline;
}

static void keep(search *s, const char *timeline, int64_t effort)
{
    free(s->best);
    s->best = strdup(timeline);
    s->best_effort = effort;
}

/* One more try; false: it was the last. */
static bool search_on(search *s, bakeset *session, int64_t effort)
{
    struct bakeset_schedule_options scheduling = {.size = sizeof scheduling,
                                                  .effort = effort,
                                                  .progress = is_over,
                                                  .progress_context = s,
                                                  .every = BK_STEPS};
    s->used = 0;
    enum bakeset_result result = bakeset_schedule(session, &scheduling);
    const char *timeline = bakeset_write(session, BAKESET_JSON, NULL, NULL);
    bool stopped = atomic_load(&s->stop), last = effort >= MOST_EFFORT;
    bool settled = bk_is_settled(session);
    if (settled)
        tell(s, result == BAKESET_IMPOSSIBLE ? "impossible" : "the best", NULL, timeline, true);
    else if (stopped || !timeline)
        tell(s, "given up", NULL, given_up(s, result, timeline), true);
    else
        tell(s, "so far", NULL, timeline, last);
    if (result == BAKESET_OK && timeline)
        keep(s, timeline, effort);
    return !settled && !stopped && !last && timeline;
}

static void *run(void *context)
{
    search *s = context;
    bk_let_others_first(10);
    bakeset *session = bakeset_new();
    struct bakeset_read_options reading = {.size = sizeof reading, .serve = s->asked.serve};
    bool read = session && bakeset_read_text(session, s->path, s->asked.text, s->asked.length,
                                             &reading) == BAKESET_OK;
    int64_t effort = FIRST_EFFORT;
    while (read && search_on(s, session, effort))
        effort *= TIMES;
    if (session && !read)
        tell(s, "given up", NULL, NULL, true);
    bakeset_free(session);
    pthread_mutex_lock(&s->page->searches->lock);
    s->state = OVER;
    pthread_mutex_unlock(&s->page->searches->lock);
    return NULL;
}

/* ------------------------------------------------------------------ begin, end */

static void clear(search *s)
{
    pthread_join(s->thread, NULL);
    bk_asked_free(&s->asked);
    free(s->path);
    free(s->best);
    s->path = s->best = NULL;
    s->state = FREE;
}

/* With the lock. NULL: too many run. */
static search *find_room(struct bk_searches *searches)
{
    for (size_t i = 0; i < BK_MOST_SEARCHES; i++) {
        search *s = &searches->items[i];
        if (s->state == OVER)
            clear(s);
        if (s->state == FREE)
            return s;
    }
    return NULL;
}

/* With the lock. Takes `asked` over where it is true. */
static bool begin(bk_page *page, search *s, const bk_asked *asked)
{
    s->page = page;
    s->path = strdup(asked->path);
    s->asked = *asked;
    s->asked.path = s->path;
    s->heard = page->seconds();
    s->told_at = 0;
    s->told = (struct bakeset_progress){.level = -1};
    atomic_store(&s->stop, false);
    snprintf(s->id, sizeof s->id, "s%u", ++page->searches->number);
    if (s->path && pthread_create(&s->thread, NULL, run, s) == 0) {
        s->state = RUNNING;
        return true;
    }
    free(s->path);
    s->path = NULL;
    return false;
}

void bk_route_search(bk_page *page, const bk_request *request, bk_answer *answer)
{
    struct bk_searches *searches = page->searches;
    bk_asked asked;
    char id[sizeof searches->items[0].id] = "";
    if (!bk_asked_read(page, request, &asked, answer))
        return;
    pthread_mutex_lock(&searches->lock);
    search *s = searches->closed ? NULL : find_room(searches);
    bool begun = s && begin(page, s, &asked);
    if (begun)
        snprintf(id, sizeof id, "%s", s->id);
    pthread_mutex_unlock(&searches->lock);
    if (!begun) {
        bk_asked_free(&asked);
        bk_answer_error(answer, 503, "busy", "enough is being searched for",
                        "give one up, or wait");
        return;
    }
    cJSON *all = cJSON_CreateObject();
    cJSON_AddStringToObject(all, "id", id);
    bk_answer_json(answer, 200, all);
}

void bk_route_give_up(bk_page *page, const bk_request *request, bk_answer *answer)
{
    struct bk_searches *searches = page->searches;
    bool found = false;
    pthread_mutex_lock(&searches->lock);
    for (size_t i = 0; i < BK_MOST_SEARCHES; i++) {
        search *s = &searches->items[i];
        if (s->state != RUNNING || !request->id || strcmp(s->id, request->id) != 0)
            continue;
        atomic_store(&s->stop, true);
        found = true;
    }
    pthread_mutex_unlock(&searches->lock);
    if (found)
        bk_answer_json(answer, 200, cJSON_CreateObject());
    else
        bk_answer_error(answer, 404, "no-search", "that search is over", NULL);
}

void bk_searches_end(struct bk_searches *searches)
{
    if (!searches)
        return;
    pthread_mutex_lock(&searches->lock);
    searches->closed = true;
    for (size_t i = 0; i < BK_MOST_SEARCHES; i++)
        atomic_store(&searches->items[i].stop, true);
    pthread_mutex_unlock(&searches->lock);
    for (size_t i = 0; i < BK_MOST_SEARCHES; i++) {
        pthread_mutex_lock(&searches->lock);
        bool begun = searches->items[i].state != FREE; /* nothing begins any more */
        pthread_mutex_unlock(&searches->lock);
        if (begun)
            clear(&searches->items[i]);
    }
}

void bk_searches_free(struct bk_searches *searches)
{
    if (!searches)
        return;
    pthread_mutex_destroy(&searches->lock);
    free(searches);
}
