/* bakeset publish: puts a timeline's events on a CalDAV server and takes back
 * those that it put there before and no longer wants. */
#include "publish/publish.h"
#include "command/options.h"
#include "command/searching.h"

#include <errno.h>
#include <string.h>
#include <sys/resource.h>

enum option {
    OPTION_TO,
    OPTION_NETRC,
    OPTION_CERTIFICATES,
    OPTION_TIMEOUT,
    OPTION_DRY_RUN,
    OPTION_OVERWRITE,
    OPTION_MOVED,
    OPTION_ANOTHER,
    OPTION_DELETE,
    OPTION_ALARM_BEFORE,
    OPTION_ONLY_ALARMS,
    OPTION_NO_SUMMARY,
    OPTION_DAY,
    OPTION_SERVE,
    OPTION_NOW,
    OPTION_ALLOW_OUTSIDE,
    OPTION_EFFORT,
    OPTION_COUNT
};

static const bk_option options[] = {
    [OPTION_TO] = {"to", BK_OPTION_TAKES, "URL", "the calendar's address: https://..."},
    [OPTION_NETRC] = {"netrc", BK_OPTION_TAKES, "FILE",
                      "a netrc file with the server's name and password;\nelse "
                      "BAKESET_CALDAV_LOGIN=name:password in the environment"},
    [OPTION_CERTIFICATES] = {"certificates", BK_OPTION_TAKES, "FILE",
                             "trust the authorities of this file, or folder,\nnot the system's"},
    [OPTION_TIMEOUT] = {"timeout", BK_OPTION_TAKES, "SECONDS",
                        "give up on a request after this long (default 60)"},
    [OPTION_DRY_RUN] = {"dry-run", BK_OPTION_ALONE, NULL, "only say what would be done"},
    [OPTION_OVERWRITE] = {"overwrite", BK_OPTION_ALONE, NULL,
                          "also change events that somebody else edited"},
    [OPTION_MOVED] = {"moved", BK_OPTION_ALONE, NULL,
                      "the occasion of this name that is there is this one, on\nanother day"},
    [OPTION_ANOTHER] = {"another", BK_OPTION_ALONE, NULL,
                        "the occasion of this name that is there is another: leave it"},
    [OPTION_DELETE] = {"delete", BK_OPTION_ALONE, NULL,
                       "delete what is no longer wanted; else it is cancelled, for some\n"
                       "servers do not take back what was deleted"},
    [OPTION_ALARM_BEFORE] = {"alarm-before", BK_OPTION_TAKES, "MIN",
                             "ring this many minutes before (default 0)"},
    [OPTION_ONLY_ALARMS] = {"only-alarms", BK_OPTION_ALONE, NULL, "leave out what needs nobody"},
    [OPTION_NO_SUMMARY] = {"no-summary", BK_OPTION_ALONE, NULL,
                           "leave out the all-day \"start by\" entry"},
    [OPTION_DAY] = {"day", BK_OPTION_ALONE, NULL,
                    "what the day has come to, by its journal, not the\nplan as it was"},
    [OPTION_SERVE] = BK_OPTION_ROW_SERVE,
    [OPTION_NOW] = BK_OPTION_ROW_NOW,
    [OPTION_ALLOW_OUTSIDE] = BK_OPTION_ROW_ALLOW_OUTSIDE,
    [OPTION_EFFORT] = BK_OPTION_ROW_EFFORT,
    [OPTION_COUNT] = {NULL, BK_OPTION_ALONE, NULL, NULL},
};

static const bk_usage usage = {
    .command = "publish",
    .synopsis = "--to URL [options] PLAN.json",
    .about = "Plans as timeline does, and puts each event into a calendar on a CalDAV server.\n"
             "What an earlier publish of this occasion put there is changed or cancelled where\n"
             "needed; nothing else is touched, nor is an event that somebody else edited.\n"
             "Interrupted, it can be done again.",
    .options = options,
    .least_operands = 1,
    .most_operands = 1,
};

typedef struct settings {
    bk_given given[OPTION_COUNT];
    const char *path;
    struct bakeset_read_options read;
    struct bakeset_schedule_options schedule;
    struct bakeset_day_options day;
    struct bakeset_write_options write;
    const char *netrc, *pair;
    bk_server_options server;
} settings;

/* libcurl goes on without a file that it cannot read. */
static bool can_read(const bk_world *world, const char *path)
{
    if (!path)
        return true;
    FILE *file = fopen(path, "r");
    if (!file) {
        fprintf(world->err, "bakeset publish: %s: %s\n", bk_name_shown(path).text, strerror(errno));
        return false;
    }
    fclose(file);
    return true;
}

static bool read_settings(const bk_world *world, const bk_arguments *arguments, settings *s)
{
    const bk_given *given = s->given;
    int64_t timeout = 0;
    const char *problem = NULL;
    if (given[OPTION_MOVED].given && given[OPTION_ANOTHER].given) {
        fputs("bakeset publish: --moved and --another say opposite things\n", world->err);
        return false;
    }
    if (!given[OPTION_TO].given) {
        fputs("bakeset publish: no calendar is named; write --to and its own address, such as "
              "--to https://calendar.example/cooking/ (bakeset publish --help says more)\n",
              world->err);
        return false;
    }
    if (!bk_server_url_good(given[OPTION_TO].value, &problem)) {
        fprintf(world->err, "bakeset publish: --to: %s\n", problem);
        return false;
    }
    if (!bk_option_alarm_before(world, &given[OPTION_ALARM_BEFORE], &s->write.alarm_before) ||
        !bk_option_effort(world, &given[OPTION_EFFORT], &s->schedule.effort) ||
        !bk_option_number(world, "timeout", &given[OPTION_TIMEOUT], 1, 3600, &timeout))
        return false;
    s->path = arguments->operands[0];
    s->schedule.size = sizeof s->schedule;
    s->write.size = sizeof s->write;
    s->read = bk_option_reading(world, &given[OPTION_SERVE], &given[OPTION_NOW],
                                &given[OPTION_ALLOW_OUTSIDE]);
    s->day = (struct bakeset_day_options){.size = sizeof s->day,
                                          .now = given[OPTION_NOW].value,
                                          .clock = world->clock(),
                                          .effort = s->schedule.effort,
                                          .allow_outside = s->read.allow_outside};
    if (given[OPTION_DAY].given && given[OPTION_SERVE].given) {
        fputs("bakeset publish: --day goes by the journal, where day later moves what is served; "
              "leave out --serve\n",
              world->err);
        return false;
    }
    s->write.only_alarms = given[OPTION_ONLY_ALARMS].given;
    s->write.clock = world->clock();
    s->write.no_summary = given[OPTION_NO_SUMMARY].given;
    s->server.url = given[OPTION_TO].value;
    s->netrc = given[OPTION_NETRC].value;
    s->server.authorities = given[OPTION_CERTIFICATES].value;
    s->server.timeout = (int)timeout;
    s->pair = world->environment("BAKESET_CALDAV_LOGIN");
    return can_read(world, s->server.authorities);
}

static void print_change(const bk_world *world, const bk_server *server, const bk_change *change,
                         bool dry_run)
{
    static const char *const words[] = {[BK_CHANGE_PUT] = "put",
                                        [BK_CHANGE_CANCEL] = "cancel",
                                        [BK_CHANGE_DELETE] = "delete",
                                        [BK_CHANGE_LEFT] = "left"};
    const char *start = change->event->start;
    if (change->kind == BK_CHANGE_NONE || change->kind == BK_CHANGE_GONE)
        return;
    fprintf(world->out, "%s%-6s  ", dry_run && change->kind != BK_CHANGE_LEFT ? "would " : "",
            words[change->kind]);
    start = bk_server_shown(server, start);
    if (strlen(start) == 16)
        fprintf(world->out, "%.4s-%.2s-%.2s %.2s:%.2sZ", start, start + 4, start + 6, start + 9,
                start + 11);
    else
        fprintf(world->out, "%.4s-%.2s-%.2s       ", start, start + 4, start + 6);
    fprintf(world->out, "  %s", bk_server_shown(server, change->event->summary));
    fputs(change->kind == BK_CHANGE_LEFT ? " (somebody else edited it)\n" : "\n", world->out);
}

static void print_problem(const bk_world *world, const char *problem)
{
    if (problem)
        fprintf(world->err, "%s\n", problem);
}

static void print_broken(const bk_world *world, const settings *s, const bk_resources *resources)
{
    for (size_t i = 0; i < resources->count; i++)
        if (!resources->items[i].event)
            fprintf(world->err,
                    "%s: %s: cannot be read, and is left as it is: %s; delete it there, or "
                    "publish with --overwrite\n",
                    s->server.url, resources->items[i].name, resources->items[i].problem);
}

/* True when everything that was to be done was done. */
static bool make_changes(const bk_world *world, bk_server *server, bk_changes *changes,
                         bool dry_run)
{
    size_t counts[BK_CHANGE_KINDS] = {0};
    size_t failed = 0, unmarked = 0;
    bool reachable = true;
    for (size_t i = 0; i < changes->count; i++) {
        bk_change *change = &changes->items[i];
        bool acts = change->kind == BK_CHANGE_PUT || change->kind == BK_CHANGE_CANCEL ||
                    change->kind == BK_CHANGE_DELETE;
        bool asks = acts && !dry_run && reachable;
        bool good = asks ? bk_server_change(server, change, &reachable)
                    : change->kind == BK_CHANGE_BROKEN ? false
                                                       : !acts || dry_run;
        if (asks && !good)
            print_problem(world, bk_server_problem(server));
        counts[change->kind] += good;
        failed += !good;
        if (good)
            print_change(world, server, change, dry_run);
        const bk_resource *there = change->there;
        unmarked += good && acts && there && there->event && !there->event->marked;
    }
    fprintf(world->out, "%zu %s, %zu deleted, %zu as they were, %zu left alone",
            counts[BK_CHANGE_PUT], dry_run ? "would be put" : "put", counts[BK_CHANGE_DELETE],
            counts[BK_CHANGE_NONE], counts[BK_CHANGE_LEFT]);
    if (counts[BK_CHANGE_CANCEL] > 0)
        fprintf(world->out, ", %zu cancelled", counts[BK_CHANGE_CANCEL]);
    if (failed > 0)
        fprintf(world->out, ", %zu not done: publish again", failed);
    fputc('\n', world->out);
    if (unmarked > 0)
        fprintf(world->out,
                "%zu of them without the mark that tells whether somebody edited them: the server "
                "takes it away\n",
                unmarked);
    return failed == 0;
}

/* The calendar of all that the server has of this occasion, or NULL where it has none. */
static const char *calendar_of(bk_keep *keep, const bk_resources *resources)
{
    size_t length = 0;
    for (size_t i = 0; i < resources->count; i++)
        length += !resources->items[i].event ? 0 : resources->items[i].event->length;
    char *text = bk_keep_room(keep, length + 1), *at = text;
    for (size_t i = 0; i < resources->count; i++) {
        const struct bakeset_event *event = resources->items[i].event;
        if (!event)
            continue;
        memcpy(at, event->text, event->length);
        at += event->length;
    }
    return length > 0 ? text : NULL;
}

/* "2026-12-18", the date of an occasion's last event. */
static const char *date_of(bk_keep *keep, const bk_server *server, const bk_occasion *occasion)
{
    const struct bakeset_event *last = bk_occasion_last(occasion);
    const char *start = !last ? "" : bk_server_shown(server, last->start);
    return strlen(start) < 8 ? "unknown date"
                             : bk_keep_text(keep, "%.4s-%.2s-%.2s", start, start + 4, start + 6);
}

/* Finds out which of the occasions on the server the plan's is, *ours, NULL for none. False, and
 * why, when the cook has to say. */
static bool settle_occasion(const bk_world *world, bk_keep *keep, const settings *s,
                            const bk_server *server, const bk_occasions *there,
                            const struct bakeset_event *const *fresh, const bk_occasion **ours)
{
    size_t index = 0;
    enum bk_which which = bk_occasion_which(there, fresh, &index);
    bool moved = s->given[OPTION_MOVED].given, another = s->given[OPTION_ANOTHER].given;
    if (which == BK_WHICH_MANY && !another) {
        fputs("bakeset publish: this calendar has several occasions of this name on other days; "
              "nothing is changed. Is this yet another, publish with --another; else give it a "
              "name of its own\n",
              world->err);
        return false;
    }
    if (which == BK_WHICH_MOVED && !moved && !another) {
        fprintf(world->err,
                "bakeset publish: this calendar has an occasion of this name on %s; nothing is "
                "changed. Is it this one, moved to another day, publish with --moved; is it "
                "another, with --another\n",
                date_of(keep, server, &there->items[index]));
        return false;
    }
    bool found = which == BK_WHICH_FOUND || (which == BK_WHICH_MOVED && moved);
    *ours = found ? &there->items[index] : NULL;
    for (size_t i = 0; i < there->count; i++) {
        const bk_occasion *other = &there->items[i];
        if (other == *ours)
            continue;
        if (!*ours && strncmp(other->prefix, fresh[0]->uid, BK_PREFIX_LENGTH) == 0) {
            fprintf(world->err,
                    "bakeset publish: what was published for this day and name is on %s now; give "
                    "this occasion a name of its own\n",
                    date_of(keep, server, other));
            return false;
        }
        fprintf(world->out, "another occasion of this name, on %s, is left as it is\n",
                date_of(keep, server, other));
    }
    return true;
}

static enum bakeset_result publish(const bk_world *world, bk_keep *keep, bakeset *session,
                                   const settings *s, bk_server *server)
{
    bk_occasions there = {0};
    const bk_occasion *ours = NULL;
    const bk_resources none = {0};
    const struct bakeset_event *const *fresh = bakeset_events(session, &s->write, NULL);
    if (!fresh || !fresh[0])
        return BAKESET_FAILED;
    if (!bk_server_read(server, fresh, &there)) {
        print_problem(world, bk_server_problem(server));
        return BAKESET_FAILED;
    }
    if (!settle_occasion(world, keep, s, server, &there, fresh, &ours))
        return BAKESET_BAD_INPUT;
    const bk_resources *resources = ours ? &ours->resources : &none;
    print_broken(world, s, resources);
    struct bakeset_write_options replacing = s->write;
    replacing.replaces_text = calendar_of(keep, resources);
    const struct bakeset_event *const *wanted = bakeset_events(session, &replacing, NULL);
    if (!wanted)
        return BAKESET_FAILED;
    bk_changing changing = {.now = fresh[0]->stamp,
                            .overwrites = s->given[OPTION_OVERWRITE].given,
                            .deletes = s->given[OPTION_DELETE].given};
    bk_changes changes = bk_changes_of(keep, resources, wanted, &changing);
    return make_changes(world, server, &changes, s->given[OPTION_DRY_RUN].given) ? BAKESET_OK
                                                                                 : BAKESET_FAILED;
}

/* Who logs in, and a server to which nothing has been sent. NULL, said, when there is none, and
 * whose fault that is in *result. */
static bk_server *open_server(const bk_world *world, bk_keep *keep, bakeset *reading, settings *s,
                              enum bakeset_result *result)
{
    *result = BAKESET_BAD_INPUT;
    const char *problem = NULL;
    bk_login *login = bk_keep_room(keep, sizeof *login);
    if (s->netrc || s->pair) {
        if (!bk_server_login(keep, s->server.url, s->netrc, s->pair, login, &problem)) {
            fprintf(world->err, "bakeset publish: %s\n", bk_name_shown(problem).text);
            return NULL;
        }
        s->server.login = login;
    }
    *result = BAKESET_FAILED; /* the address has been looked at */
    bk_server *server = bk_server_open(keep, &s->server, reading, &problem);
    print_problem(world, problem);
    return server;
}

/* Ctrl-C ends it as ever: what is not proved the best is not put before others unasked. */
static enum bakeset_result schedule(const bk_world *world, bakeset *session, const settings *s)
{
    bk_searching searching;
    struct bakeset_schedule_options scheduling = s->schedule;
    bk_searching_begin(&searching, world, usage.command, false, &scheduling);
    enum bakeset_result result = bakeset_schedule(session, &scheduling);
    bk_searching_end(&searching, session);
    return result;
}

static enum bakeset_result plan_and_publish(const bk_world *world, bk_keep *keep, bakeset *session,
                                            const settings *s, bk_server *server)
{
    enum bakeset_result result;
    if (s->given[OPTION_DAY].given) {
        result = bakeset_day(session, s->path, &s->day);
    } else {
        result = bakeset_read(session, s->path, &s->read);
        if (result == BAKESET_OK)
            result = schedule(world, session, s);
    }
    if (result == BAKESET_IMPOSSIBLE)
        fputs("bakeset publish: there is no timeline to publish; bakeset why says why\n",
              world->err);
    if (result != BAKESET_OK)
        return result;
    return publish(world, keep, session, s, server);
}

/* A core file would hold the password. */
static void leave_no_core(void)
{
    struct rlimit none = {0, 0};
    setrlimit(RLIMIT_CORE, &none);
}

enum bakeset_result bk_command_publish(const bk_world *world, int argc, char **argv)
{
    settings s = {0};
    bk_arguments arguments = {.given = s.given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    if (!read_settings(world, &arguments, &s))
        return BAKESET_BAD_INPUT;
    leave_no_core();
    jmp_buf no_memory;
    bakeset *session = bakeset_new(), *reading = bakeset_new();
    bk_keep *keep = bk_keep_new(&no_memory);
    if (!session || !reading || !keep || setjmp(no_memory) != 0) {
        fputs("bakeset: out of memory\n", world->err);
        return BAKESET_FAILED; /* main ends with it */
    }
    enum bakeset_result result;
    bk_server *server = open_server(world, keep, reading, &s, &result);
    if (server)
        result = plan_and_publish(world, keep, session, &s, server);
    bk_server_close(server);
    bk_print_messages(world, session, false);
    bk_keep_free(keep);
    bakeset_free(reading);
    bakeset_free(session);
    return result;
}
