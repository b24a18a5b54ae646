/* A plan's events to where it says, as the command publish puts them: by that command, in a process
 * of its own, so that a password is in nobody's memory for longer. */
#define _GNU_SOURCE /* environ, pipe2 */
#include "page/request.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

enum { MOST_SAID = 64 * 1024, MOST_VARIABLES = 1000, LONGEST_LOGIN = 1000 };

static const char login_variable[] = "BAKESET_CALDAV_LOGIN";

/* The environment, with the login in place of another one. */
static bool set_environment(const char *login, char *own, size_t room, char **variables)
{
    size_t count = 0, length = strlen(login_variable);
    for (char **at = environ; *at; at++) {
        if (login && strncmp(*at, login_variable, length) == 0 && (*at)[length] == '=')
            continue;
        if (count == MOST_VARIABLES)
            return false;
        variables[count++] = *at;
    }
    if (login) {
        snprintf(own, room, "%s=%s", login_variable, login);
        variables[count++] = own;
    }
    variables[count] = NULL;
    return true;
}

/* Begins the command; what it prints can be read from *said. */
static bool spawn(char *const *arguments, char *const *environment, pid_t *child, int *said)
{
    int ends[2];
    sigset_t none;
    posix_spawn_file_actions_t files;
    posix_spawnattr_t attributes;
    if (pipe2(ends, O_CLOEXEC) != 0)
        return false;
    sigemptyset(&none);
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_addopen(&files, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    posix_spawn_file_actions_adddup2(&files, ends[1], STDOUT_FILENO);
    posix_spawn_file_actions_adddup2(&files, ends[1], STDERR_FILENO);
    posix_spawnattr_init(&attributes);
    posix_spawnattr_setsigmask(&attributes, &none);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK);
    bool begun =
        posix_spawn(child, "/proc/self/exe", &files, &attributes, arguments, environment) == 0;
    posix_spawn_file_actions_destroy(&files);
    posix_spawnattr_destroy(&attributes);
    close(ends[1]);
    *said = ends[0];
    if (!begun)
        close(ends[0]);
    return begun;
}

/* All that it prints, as far as there is room, and how it ended. */
static int listen_until_end(pid_t child, int said, char *text, size_t room)
{
    size_t length = 0;
    char more[4096];
    int status = 0;
    for (ssize_t got; (got = read(said, more, sizeof more)) > 0 || (got < 0 && errno == EINTR);) {
        size_t fits = got > 0 && length + (size_t)got < room ? (size_t)got : 0;
        memcpy(text + length, more, fits);
        length += fits;
    }
    text[length] = '\0';
    close(said);
    while (waitpid(child, &status, 0) < 0 && errno == EINTR)
        ;
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static void answer_said(int status, char *text, bk_answer *answer)
{
    cJSON *all = cJSON_CreateObject(), *lines = cJSON_CreateArray();
    char *rest = NULL;
    for (char *line = strtok_r(text, "\n", &rest); line; line = strtok_r(NULL, "\n", &rest))
        cJSON_AddItemToArray(lines, cJSON_CreateString(line));
    if (status != 0) {
        const cJSON *first = cJSON_GetArrayItem(lines, 0);
        cJSON *error = cJSON_AddObjectToObject(all, "error");
        cJSON_AddStringToObject(error, "code", "publish");
        cJSON_AddStringToObject(error, "what", first ? first->valuestring : "it was not done");
        cJSON_AddStringToObject(error, "mend", "");
    }
    cJSON_AddItemToObject(all, "said", lines);
    bk_answer_json(answer, status == 0 ? 200 : 502, all);
}

static void publish(bk_page *page, const char *path, const char *to, const char *login,
                    bk_answer *answer)
{
    struct stat journal;
    bool day = bk_folder_look_day(page->folder, path, &journal) == BK_FOLDER_OK;
    char own[sizeof login_variable + LONGEST_LOGIN + 2];
    char **environment = calloc(MOST_VARIABLES + 2, sizeof *environment);
    char *text = malloc(MOST_SAID + 1);
    const char *arguments[] = {
        "bakeset",         "publish",         "--timeout", "20", "--to", to, day ? "--day" : "--",
        day ? "--" : path, day ? path : NULL, NULL};
    pid_t child;
    int said;
    if (environment && text && set_environment(login, own, sizeof own, environment) &&
        spawn((char *const *)(uintptr_t)arguments, environment, &child, &said))
        answer_said(listen_until_end(child, said, text, MOST_SAID), text, answer);
    else
        bk_answer_json(answer, 500, NULL);
    free(text);
    free(environment);
}

void bk_route_publish(bk_page *page, const bk_request *request, bk_answer *answer)
{
    const char *path = bk_text_of(request->json, "path"),
               *login = bk_text_of(request->json, "login");
    bk_file file;
    enum bk_folder_result found = bk_folder_read(page->folder, path, &file);
    if (found != BK_FOLDER_OK) {
        bk_answer_folder(answer, found);
        return;
    }
    bakeset *session = bk_answer_session(answer);
    if (session && login && strlen(login) > LONGEST_LOGIN) {
        bk_answer_bad(answer, "the name and the password are too long", NULL);
    } else if (session) {
        enum bakeset_result result = bakeset_read_text(session, path, file.text, file.length, NULL);
        const char *to = bakeset_publish_to(session);
        if (result != BAKESET_OK)
            bk_answer_messages(answer, 422, "plan", session);
        else if (!to)
            bk_answer_error(answer, 422, "no-publish", "the plan does not say where its events go",
                            "add \"publish\": \"https://…\", the address of the calendar");
        else
            publish(page, path, to, login, answer);
    }
    bakeset_free(session);
    free(file.text);
}
