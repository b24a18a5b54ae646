/* The day of a plan: how it stands, what is said of it. The journal is the library's, the same that
 * the command writes. How a day stands is worked out once a minute and once for each change of its
 * files, however many ask. */
#include "page/day.h"
#include "page/request.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_DAYS = 8,
    MOST_SOURCES = 64, /* a plan of more files is worked out for each who asks */
    MOST_IDS = 512,
    MOST_WORDS = 6,
    LONGEST_ID = 64,
    EFFORT = 20000
};

typedef struct source {
    char *path;
    struct stat status;
} source;

/* One day as last worked out. */
typedef struct known_day {
    char *path;
    int64_t minute;
    struct stat journal;
    bool started;
    source sources[MOST_SOURCES];
    size_t source_count;
    char *text;         /* the answer */
    char *changed;      /* what the last who said something was told, JSON; as long as ... */
    bk_version said_at; /* ... the journal is that */
    uint64_t used;
} known_day;

typedef struct heard_id {
    bk_version id; /* of path and id together */
} heard_id;

struct bk_days {
    pthread_mutex_t lock; /* held while a day is worked out: all who ask want the same one */
    known_day days[MOST_DAYS];
    uint64_t used;
    heard_id ids[MOST_IDS]; /* a ring */
    size_t id_count;
};

struct bk_days *bk_days_new(void)
{
    struct bk_days *days = calloc(1, sizeof *days);
    if (days)
        pthread_mutex_init(&days->lock, NULL);
    return days;
}

static void forget_answer(known_day *day)
{
    for (size_t i = 0; i < day->source_count; i++)
        free(day->sources[i].path);
    day->source_count = 0;
    free(day->text);
    day->text = NULL;
}

static void forget(known_day *day)
{
    forget_answer(day);
    free(day->path);
    free(day->changed);
    *day = (known_day){0};
}

void bk_days_free(struct bk_days *days)
{
    if (!days)
        return;
    for (size_t i = 0; i < MOST_DAYS; i++)
        forget(&days->days[i]);
    pthread_mutex_destroy(&days->lock);
    free(days);
}

/* ------------------------------------------------------------------ as known */

/* The day of that plan, or the one not asked for longest, emptied; NULL: there is no memory. */
static known_day *find_day(struct bk_days *days, const char *path)
{
    known_day *oldest = &days->days[0];
    for (size_t i = 0; i < MOST_DAYS; i++) {
        known_day *day = &days->days[i];
        if (day->path && strcmp(day->path, path) == 0) {
            day->used = ++days->used;
            return day;
        }
        if (day->used < oldest->used)
            oldest = day;
    }
    forget(oldest);
    oldest->path = strdup(path);
    oldest->used = ++days->used;
    return oldest->path ? oldest : NULL;
}

static bool is_fresh(const known_day *day, int64_t minute, const struct stat *journal, bool started)
{
    if (!day->text || day->minute != minute || day->started != started ||
        (started && !bk_same_status(&day->journal, journal)))
        return false;
    for (size_t i = 0; i < day->source_count; i++) {
        struct stat now;
        if (stat(day->sources[i].path, &now) != 0 || !bk_same_status(&now, &day->sources[i].status))
            return false;
    }
    return true;
}

/* The files that it was made of. False: too many, or no memory: it is not kept. */
static bool note_sources(known_day *day, const bakeset *session)
{
    size_t count = bakeset_source_count(session);
    for (size_t i = 0; i < count && count <= MOST_SOURCES; i++) {
        source *s = &day->sources[day->source_count];
        s->path = strdup(bakeset_source(session, i));
        if (!s->path)
            return false;
        day->source_count++;
        if (stat(s->path, &s->status) != 0)
            return false;
    }
    return count > 0 && count <= MOST_SOURCES;
}

/* ------------------------------------------------------------------- answers */

/* The words, with what changed as the last who said something was told. */
static cJSON *said_json(const known_day *day, bakeset *session, const bk_version *version)
{
    const char *text = bakeset_write_day_json(session, NULL);
    cJSON *said = text ? cJSON_Parse(text) : NULL;
    if (said && day->changed && strcmp(day->said_at.text, version->text) == 0)
        cJSON_ReplaceItemInObjectCaseSensitive(said, "changed", cJSON_Parse(day->changed));
    return said;
}

static cJSON *day_json(const known_day *day, bakeset *session, const bk_version *version)
{
    int64_t now = 0;
    cJSON *all = cJSON_CreateObject();
    bakeset_day_now(session, &now);
    cJSON_AddStringToObject(all, "path", day->path);
    if (day->started)
        cJSON_AddStringToObject(all, "version", version->text);
    else
        cJSON_AddNullToObject(all, "version");
    cJSON_AddNumberToObject(all, "now", (double)now);
    cJSON_AddBoolToObject(all, "started", day->started);
    cJSON *said = said_json(day, session, version);
    cJSON_AddItemToObject(all, "said", said ? said : cJSON_CreateNull());
    bk_add_raw(all, "timeline", bakeset_write(session, BAKESET_JSON, NULL, NULL));
    const char *text = bakeset_write_day(session, NULL, NULL);
    cJSON_AddStringToObject(all, "text", text ? text : "");
    return all;
}

/* What was said now, to be told to all who ask until something else is said. */
static void keep_changed(known_day *day, bakeset *session, const bk_version *version)
{
    const char *text = bakeset_write_day_json(session, NULL);
    cJSON *said = text ? cJSON_Parse(text) : NULL;
    const cJSON *changed = cJSON_GetObjectItemCaseSensitive(said, "changed");
    free(day->changed);
    day->changed = cJSON_GetArraySize(changed) > 0 ? cJSON_PrintUnformatted(changed) : NULL;
    day->said_at = *version;
    cJSON_Delete(said);
}

static void answer_refused(bakeset *session, enum bakeset_result result, bk_answer *answer)
{
    const char *const *choices = bakeset_day_choices(session);
    if (!choices) {
        bk_answer_messages(answer, result == BAKESET_FAILED ? 503 : 422,
                           result == BAKESET_FAILED ? "machine" : "day", session);
        return;
    }
    const struct bakeset_message *message =
        bakeset_message(session, bakeset_message_count(session) - 1);
    cJSON *all = cJSON_CreateObject(), *error = cJSON_AddObjectToObject(all, "error");
    cJSON_AddStringToObject(error, "code", "which");
    cJSON_AddStringToObject(error, "what", message ? message->what : "several have that name");
    cJSON_AddStringToObject(error, "mend", "say which");
    cJSON *list = cJSON_AddArrayToObject(error, "choices");
    for (; *choices; choices++)
        cJSON_AddItemToArray(list, cJSON_CreateString(*choices));
    bk_answer_json(answer, 409, all);
}

/* The journal as it is now. */
static bool look_at_journal(bk_page *page, const char *path, struct stat *journal, bool *started,
                            bk_answer *answer)
{
    enum bk_folder_result result = bk_folder_look_day(page->folder, path, journal);
    *started = result == BK_FOLDER_OK && journal->st_size > 0;
    if (result == BK_FOLDER_OK || result == BK_FOLDER_NONE)
        return true;
    bk_answer_folder(answer, result);
    return false;
}

/* Works the day out, with words or without, and answers. */
static void follow(bk_page *page, known_day *day, const struct bakeset_day_options *options,
                   bk_answer *answer)
{
    struct stat journal = {0};
    bool started = false;
    bakeset *session = bk_answer_session(answer);
    if (!session)
        return;
    forget_answer(day);
    bool seen = look_at_journal(page, day->path, &journal, &started, answer);
    enum bakeset_result result =
        seen ? bakeset_day(session, day->path, options) : BAKESET_BAD_INPUT;
    if (seen && options->words)
        seen = look_at_journal(page, day->path, &journal, &started, answer);
    if (seen && result != BAKESET_OK && result != BAKESET_IMPOSSIBLE) {
        answer_refused(session, result, answer);
    } else if (seen) {
        bk_version version = bk_version_of_status(&journal);
        day->journal = journal;
        day->started = started;
        day->minute = options->clock;
        if (options->words)
            keep_changed(day, session, &version);
        bk_answer_json(answer, 200, day_json(day, session, &version));
        if (answer->status == 200 && note_sources(day, session))
            day->text = strdup(answer->text);
        else
            forget_answer(day);
    }
    bakeset_free(session);
}

static struct bakeset_day_options day_options(const bk_page *page)
{
    return (struct bakeset_day_options){.size = sizeof(struct bakeset_day_options),
                                        .clock = page->options->seconds() / 60,
                                        .effort = EFFORT,
                                        .once = 1};
}

/* With the lock. */
static void answer_day(bk_page *page, known_day *day, bk_answer *answer)
{
    struct stat journal = {0};
    bool started = false;
    struct bakeset_day_options options = day_options(page);
    if (!look_at_journal(page, day->path, &journal, &started, answer))
        return;
    if (is_fresh(day, options.clock, &journal, started))
        bk_answer_text(answer, "application/json; charset=utf-8", day->text, strlen(day->text));
    else
        follow(page, day, &options, answer);
}

/* The lock taken and the day found; NULL after answering. */
static known_day *enter_day(bk_page *page, const char *path, bk_answer *answer)
{
    struct stat status;
    enum bk_folder_result result = bk_folder_look(page->folder, path, &status);
    if (result != BK_FOLDER_OK) {
        bk_answer_folder(answer, result);
        return NULL;
    }
    pthread_mutex_lock(&page->days->lock);
    known_day *day = find_day(page->days, path);
    if (day)
        return day;
    pthread_mutex_unlock(&page->days->lock);
    bk_answer_json(answer, 500, NULL);
    return NULL;
}

void bk_route_day(bk_page *page, const bk_request *request, bk_answer *answer)
{
    known_day *day = enter_day(page, request->file, answer);
    if (!day)
        return;
    answer_day(page, day, answer);
    pthread_mutex_unlock(&page->days->lock);
}

/* ----------------------------------------------------------------- what is said */

/* An id is that of one thing said of one plan; "": there is none. */
static bk_version id_of(const char *path, const char *id)
{
    char both[BK_LONGEST_PATH + LONGEST_ID + 2];
    bk_version none = {""};
    if (!id || !*id)
        return none;
    int length = snprintf(both, sizeof both, "%s\n%s", path, id);
    return bk_version_of(both, (size_t)length);
}

static bool was_heard(const struct bk_days *days, const bk_version *id)
{
    size_t kept = days->id_count < MOST_IDS ? days->id_count : MOST_IDS;
    for (size_t i = 0; i < kept && id->text[0]; i++)
        if (strcmp(days->ids[i].id.text, id->text) == 0)
            return true;
    return false;
}

static void keep_id(struct bk_days *days, const bk_version *id)
{
    if (id->text[0])
        days->ids[days->id_count++ % MOST_IDS].id = *id;
}

/* False after answering. */
static bool read_words(const cJSON *json, const char **words, bk_answer *answer)
{
    const cJSON *list = cJSON_GetObjectItemCaseSensitive(json, "words"), *word;
    size_t count = 0;
    cJSON_ArrayForEach(word, list)
    {
        if (count == MOST_WORDS || !cJSON_IsString(word) || strlen(word->valuestring) > 400)
            break;
        words[count++] = word->valuestring;
    }
    words[count] = NULL;
    if (count > 0 && !word && strcmp(words[0], "next") != 0)
        return true;
    bk_answer_bad(answer, "it is not said what happened",
                  "send \"words\", as bakeset day has them: [\"done\", \"torte/bake\"]");
    return false;
}

void bk_route_say(bk_page *page, const bk_request *request, bk_answer *answer)
{
    const char *words[MOST_WORDS + 1], *path = bk_text_of(request->json, "path"),
                                       *id = bk_text_of(request->json, "id");
    struct bakeset_day_options options = day_options(page);
    if (!read_words(request->json, words, answer))
        return;
    if (id && strlen(id) > LONGEST_ID) {
        bk_answer_bad(answer, "the id is too long", "64 characters at most");
        return;
    }
    known_day *day = enter_day(page, path, answer);
    if (!day)
        return;
    bk_version whole = id_of(path, id);
    options.words = words;
    options.at = bk_text_of(request->json, "at");
    if (was_heard(page->days, &whole)) {
        answer_day(page, day, answer);
    } else {
        follow(page, day, &options, answer);
        if (answer->status == 200)
            keep_id(page->days, &whole);
    }
    pthread_mutex_unlock(&page->days->lock);
    bk_page_look(page);
}
