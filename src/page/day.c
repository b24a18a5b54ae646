/* The day of a plan: how it stands, what is said of it. The journal is the library's, the same that
 * the command writes. How a day stands is worked out once a minute and once for each change of its
 * files, however many ask, and who asks meanwhile gets what was worked out last. */
#include "page/day.h"
#include "page/events.h"
#include "page/kept.h"
#include "page/plan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_DAYS = 32,
    MOST_WORDS = 6,
    LONGEST_ID = 64,
    EFFORT = 20000,
    ASKED_SECONDS = 600, /* so long after somebody asked for it a day is kept fresh */
    OLDEST = 2           /* minutes: what is older is worked out anew before it is given out */
};

/* What is known of one day beside its answer, which is kept with the others. */
typedef struct known_day {
    char *path;
    pthread_mutex_t making;  /* held while it is worked out, and for what stands below it */
    size_t length;           /* bytes of the journal that were told of */
    char *changed;           /* what was said last came to this, JSON; as long as ... */
    bk_version said_at;      /* ... the journal is that */
    bk_version told, digest; /* journal and timeline that were made last */
    uint64_t made;           /* another number for each that is another */
    /* With the days' lock: */
    uint64_t used;
    unsigned users;
    int64_t asked; /* seconds */
    bool wanted;   /* somebody will work it out */
    bool there;    /* it was worked out, and is kept */
    bool broken; /* its files could not be read; who listens was told, and will be when they can */
} known_day;

struct bk_days {
    pthread_mutex_t lock; /* never held while anything is worked out */
    known_day days[MOST_DAYS];
    uint64_t used, made;
};

struct bk_days *bk_days_new(void)
{
    struct bk_days *days = calloc(1, sizeof *days);
    if (!days)
        return NULL;
    pthread_mutex_init(&days->lock, NULL);
    for (size_t i = 0; i < MOST_DAYS; i++)
        pthread_mutex_init(&days->days[i].making, NULL);
    return days;
}

static void forget(known_day *day)
{
    free(day->path);
    free(day->changed);
    day->path = day->changed = NULL;
    day->length = 0;
    day->asked = 0;
    day->wanted = day->there = day->broken = false;
    day->said_at = day->told = day->digest = (bk_version){""};
}

void bk_days_free(struct bk_days *days)
{
    if (!days)
        return;
    for (size_t i = 0; i < MOST_DAYS; i++) {
        forget(&days->days[i]);
        pthread_mutex_destroy(&days->days[i].making);
    }
    pthread_mutex_destroy(&days->lock);
    free(days);
}

/* ------------------------------------------------------------------ as known */

/* With the lock. NULL: it is not known. */
static known_day *find_day(struct bk_days *days, const char *path)
{
    for (size_t i = 0; i < MOST_DAYS; i++)
        if (days->days[i].path && strcmp(days->days[i].path, path) == 0)
            return &days->days[i];
    return NULL;
}

/* With the lock. In place of the one not asked for longest; NULL: all are in use, or there is no
 * memory. */
static known_day *make_room(struct bk_days *days, const char *path)
{
    known_day *oldest = NULL;
    for (size_t i = 0; i < MOST_DAYS; i++) {
        known_day *day = &days->days[i];
        if (day->users == 0 && (!oldest || day->used < oldest->used))
            oldest = day;
    }
    if (!oldest)
        return NULL;
    forget(oldest);
    oldest->path = strdup(path);
    return oldest->path ? oldest : NULL;
}

/* To be let go again. `asked`: by a person. NULL: there is no room. */
static known_day *take_day(bk_page *page, const char *path, bool asked)
{
    struct bk_days *days = page->days;
    pthread_mutex_lock(&days->lock);
    known_day *day = find_day(days, path);
    if (!day)
        day = make_room(days, path);
    if (day) {
        day->used = ++days->used;
        day->users++;
        if (asked)
            day->asked = page->seconds();
    }
    pthread_mutex_unlock(&days->lock);
    return day;
}

static void let_go(bk_page *page, known_day *day)
{
    pthread_mutex_lock(&page->days->lock);
    day->users--;
    pthread_mutex_unlock(&page->days->lock);
}

/* ------------------------------------------------------------------- answers */

/* The words, with what changed as all are told until something else is said. */
static cJSON *said_json(const known_day *day, bakeset *session, const bk_version *version)
{
    const char *text = bakeset_write_day_json(session, NULL);
    cJSON *said = text ? cJSON_Parse(text) : NULL;
    if (said && day->changed && strcmp(day->said_at.text, version->text) == 0)
        cJSON_ReplaceItemInObjectCaseSensitive(said, "changed", cJSON_Parse(day->changed));
    return said;
}

static cJSON *day_json(const known_day *day, bakeset *session, const bk_version *version,
                       const char *timeline)
{
    int64_t now = 0;
    cJSON *all = cJSON_CreateObject();
    bakeset_day_now(session, &now);
    cJSON_AddStringToObject(all, "path", day->path);
    if (version->text[0])
        cJSON_AddStringToObject(all, "version", version->text);
    else
        cJSON_AddNullToObject(all, "version");
    cJSON_AddNumberToObject(all, "made", (double)day->made);
    cJSON_AddNumberToObject(all, "now", (double)now);
    cJSON_AddBoolToObject(all, "started", version->text[0]);
    cJSON *said = said_json(day, session, version);
    cJSON_AddItemToObject(all, "said", said ? said : cJSON_CreateNull());
    bk_add_raw(all, "timeline", timeline);
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
        bk_answer_placed(answer, result == BAKESET_FAILED ? 503 : 422,
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

/* The journal as it is now; one that is empty is none (then st_nlink is 0). */
static bool look_at_journal(bk_page *page, const char *path, struct stat *journal,
                            bk_answer *answer)
{
    enum bk_folder_result result = bk_folder_look_day(page->folder, path, journal);
    if (result != BK_FOLDER_OK)
        *journal = (struct stat){.st_nlink = 0};
    if (result == BK_FOLDER_OK || result == BK_FOLDER_NONE)
        return true;
    bk_answer_folder(answer, result);
    return false;
}

static bk_version version_of(const struct stat *journal)
{
    return journal->st_nlink > 0 && journal->st_size > 0 ? bk_version_of_status(journal)
                                                         : (bk_version){""};
}

/* From now on it is another answer. */
static void number(bk_page *page, known_day *day)
{
    pthread_mutex_lock(&page->days->lock);
    day->made = ++page->days->made;
    pthread_mutex_unlock(&page->days->lock);
}

/* All who listen are told that there is another answer. */
static void announce(bk_page *page, const known_day *day)
{
    cJSON *data = cJSON_CreateObject();
    cJSON_AddStringToObject(data, "path", day->path);
    if (day->told.text[0])
        cJSON_AddStringToObject(data, "version", day->told.text);
    else
        cJSON_AddNullToObject(data, "version");
    cJSON_AddNumberToObject(data, "made", (double)day->made);
    bk_events_send(page->events, "day", data);
}

static void set_there(bk_page *page, known_day *day, bool there)
{
    pthread_mutex_lock(&page->days->lock);
    day->there = there;
    pthread_mutex_unlock(&page->days->lock);
}

/* Was it the other? */
static bool set_broken(bk_page *page, known_day *day, bool broken)
{
    pthread_mutex_lock(&page->days->lock);
    bool differs = day->broken != broken;
    day->broken = broken;
    pthread_mutex_unlock(&page->days->lock);
    return differs;
}

/* What was worked out becomes what all get. */
static void publish(bk_page *page, known_day *day, bakeset *session,
                    const struct bakeset_day_options *options, const struct timespec *begun,
                    const struct stat *journal, bk_answer *answer)
{
    char beside[BK_LONGEST_PATH + 16];
    bk_version version = version_of(journal), before = day->digest, told = day->told;
    size_t length = 0;
    bakeset_day_journal(session, &length);
    bool others = !options->words && day->length > 0 && length > day->length;
    /* one who said what was known already has changed nothing */
    if ((options->words && strcmp(told.text, version.text) != 0) || others)
        keep_changed(day, session, &version);
    day->length = length;
    const char *timeline = bakeset_write(session, BAKESET_JSON, NULL, NULL);
    day->digest = bk_version_of(timeline ? timeline : "", timeline ? strlen(timeline) : 0);
    day->told = version;
    bool journal_differs = strcmp(told.text, version.text) != 0,
         differs = journal_differs || strcmp(before.text, day->digest.text) != 0;
    if (differs)
        number(page, day);
    bk_answer_json(answer, 200, day_json(day, session, &version, timeline));
    bk_folder_journal_of(day->path, beside, sizeof beside);
    /* one that was added to since then is not the one that was read */
    bool same = (size_t)journal->st_size == length;
    if (answer->status == 200 && same)
        set_there(page, day,
                  bk_kept_put(page->kept, BK_FORM_DAY, day->path,
                              &(bk_basis){.session = session,
                                          .begun = *begun,
                                          .journal = beside,
                                          .journal_status = journal,
                                          .minute = options->clock},
                              answer));
    bool mended = set_broken(page, day, false);
    if (mended || (differs && (before.text[0] || (journal_differs && options->words))))
        announce(page, day);
}

/* Nobody gets what was worked out before: the plan or the journal can't be read any more. */
static void withdraw(bk_page *page, known_day *day)
{
    bk_kept_drop(page->kept, BK_FORM_DAY, day->path);
    day->digest = (bk_version){""};
    number(page, day);
    set_there(page, day, false);
    if (set_broken(page, day, true))
        announce(page, day);
}

static int is_closing(void *context, const struct bakeset_progress *progress)
{
    (void)progress;
    return atomic_load(&((bk_page *)context)->closing);
}

/* Who says what was said already gets what all got: the journal is the same, so the answer is.
 * False: it has to be worked out. */
static bool give_same(bk_page *page, const known_day *day, const struct stat *journal,
                      const struct bakeset_day_options *options, bk_answer *answer)
{
    bool fresh = false;
    if (!options->words || strcmp(day->told.text, version_of(journal).text) != 0 ||
        !bk_kept_give(page->kept, BK_FORM_DAY, day->path, options->clock, &fresh, NULL, answer) ||
        fresh)
        return answer->status != 0;
    free(answer->text);
    *answer = (bk_answer){.status = 0};
    return false;
}

/* Works the day out, with words or without, and answers. With day->making. */
static void follow(bk_page *page, known_day *day, struct bakeset_day_options *options,
                   bk_answer *answer)
{
    struct stat journal;
    bakeset *session = bk_answer_session(answer);
    if (!session)
        return;
    struct timespec begun = bk_kept_begin();
    options->since = day->length;
    if (!options->words) { /* what is said is planned and written down to the end */
        options->progress = is_closing;
        options->progress_context = page;
        options->every = BK_STEPS;
    }
    if (look_at_journal(page, day->path, &journal, answer)) {
        enum bakeset_result result = bakeset_day(session, day->path, options);
        if (result != BAKESET_OK && result != BAKESET_IMPOSSIBLE)
            answer_refused(session, result, answer);
        else if (look_at_journal(page, day->path, &journal, answer) &&
                 !give_same(page, day, &journal, options, answer))
            publish(page, day, session, options, &begun, &journal, answer);
    }
    if (answer->status != 200 && !options->words)
        withdraw(page, day);
    bakeset_free(session);
}

static struct bakeset_day_options day_options(const bk_page *page)
{
    return (struct bakeset_day_options){.size = sizeof(struct bakeset_day_options),
                                        .clock = page->options->seconds() / 60,
                                        .effort = EFFORT,
                                        .once = 1};
}

/* As it is now, worked out where nobody did meanwhile. With day->making. */
static void answer_day(bk_page *page, known_day *day, bk_answer *answer)
{
    struct bakeset_day_options options = day_options(page);
    bool fresh = false;
    if (bk_kept_give(page->kept, BK_FORM_DAY, day->path, options.clock, &fresh, NULL, answer)) {
        if (fresh)
            return;
        free(answer->text);
        *answer = (bk_answer){.status = 0};
    }
    follow(page, day, &options, answer);
}

/* ------------------------------------------------------------------ anew, beside */

typedef struct remaking {
    bk_page *page;
    known_day *day; /* taken */
} remaking;

static void remake(void *job)
{
    static const struct timespec moment = {0, 10000000L};
    remaking *r = job;
    bk_answer answer = {.status = 0};
    nanosleep(&moment, NULL); /* the mark of a file just written is then in the past */
    pthread_mutex_lock(&r->page->days->lock);
    r->day->wanted = false; /* a change from now on is one more */
    pthread_mutex_unlock(&r->page->days->lock);
    pthread_mutex_lock(&r->day->making);
    answer_day(r->page, r->day, &answer);
    pthread_mutex_unlock(&r->day->making);
    let_go(r->page, r->day);
    free(answer.text);
    free(r);
}

/* Has it worked out by somebody who has the time. */
static void want(bk_page *page, known_day *day)
{
    pthread_mutex_lock(&page->days->lock);
    remaking *r = day->wanted ? NULL : malloc(sizeof *r);
    if (r) {
        *r = (remaking){page, day};
        day->users++;
        day->wanted = true;
        if (!bk_work_add(page->work, BK_DAYS, remake, r)) {
            day->users--;
            day->wanted = false; /* the next look will */
            free(r);
        }
    }
    pthread_mutex_unlock(&page->days->lock);
}

bool bk_days_changed(bk_page *page, const char *path)
{
    pthread_mutex_lock(&page->days->lock);
    known_day *day = find_day(page->days, path);
    bool known = day && (day->there || day->broken);
    if (known)
        day->users++;
    pthread_mutex_unlock(&page->days->lock);
    if (!known)
        return false;
    if (!bk_kept_is_fresh(page->kept, BK_FORM_DAY, path, page->options->seconds() / 60))
        want(page, day);
    let_go(page, day);
    return true;
}

void bk_days_mend(bk_page *page)
{
    for (size_t i = 0; i < MOST_DAYS; i++) {
        known_day *day = &page->days->days[i];
        pthread_mutex_lock(&page->days->lock);
        bool broken = day->path && day->broken;
        day->users += broken;
        pthread_mutex_unlock(&page->days->lock);
        if (!broken)
            continue;
        want(page, day);
        let_go(page, day);
    }
}

void bk_days_look(bk_page *page)
{
    int64_t now = page->seconds(), minute = page->options->seconds() / 60;
    for (size_t i = 0; i < MOST_DAYS; i++) {
        known_day *day = &page->days->days[i];
        pthread_mutex_lock(&page->days->lock);
        bool asked = day->path && day->there && day->asked > 0 && now - day->asked <= ASKED_SECONDS;
        day->users += asked;
        pthread_mutex_unlock(&page->days->lock);
        if (!asked)
            continue;
        if (!bk_kept_is_fresh(page->kept, BK_FORM_DAY, day->path, minute))
            want(page, day);
        let_go(page, day);
    }
}

/* ------------------------------------------------------------------- asked for */

/* The plan and its journal may be read. False after answering. */
static bool may_be_read(bk_page *page, const char *path, bk_answer *answer)
{
    struct stat status;
    enum bk_folder_result result = bk_folder_look(page->folder, path, &status);
    if (result == BK_FOLDER_OK)
        return look_at_journal(page, path, &status, answer);
    bk_answer_folder(answer, result);
    return false;
}

static known_day *ask_for_day(bk_page *page, const char *path, bk_answer *answer)
{
    known_day *day = may_be_read(page, path, answer) ? take_day(page, path, true) : NULL;
    if (!day && answer->status == 0)
        bk_answer_error(answer, 503, "busy", "too many days are followed", "try again in a moment");
    return day;
}

/* What was worked out last; false: nothing, or it is too old to be of use. */
static bool give_last(bk_page *page, known_day *day, bk_answer *answer)
{
    int64_t now = page->options->seconds() / 60, minute = 0;
    bool fresh = false;
    if (!bk_kept_give(page->kept, BK_FORM_DAY, day->path, now, &fresh, &minute, answer))
        return false;
    if (!fresh)
        want(page, day);
    if (fresh || (now >= minute && now - minute <= OLDEST))
        return true;
    free(answer->text);
    *answer = (bk_answer){.status = 0};
    return false;
}

void bk_route_day(bk_page *page, const bk_request *request, bk_answer *answer)
{
    known_day *day = ask_for_day(page, request->file, answer);
    if (!day)
        return;
    if (request->may_wait) {
        pthread_mutex_lock(&day->making);
        answer_day(page, day, answer);
        pthread_mutex_unlock(&day->making);
    } else {
        give_last(page, day, answer); /* or nothing: then it will be waited for */
    }
    let_go(page, day);
}

/* ----------------------------------------------------------------- what is said */

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
    known_day *day = ask_for_day(page, path, answer);
    if (!day)
        return;
    options.words = words;
    options.at = bk_text_of(request->json, "at");
    options.id = id && *id ? id : NULL;
    pthread_mutex_lock(&day->making);
    follow(page, day, &options, answer);
    pthread_mutex_unlock(&day->making);
    let_go(page, day);
    bk_page_look(page);
}
