/* How far a search is, on a terminal; and its end by Ctrl-C. */
#include "command/searching.h"

#include <inttypes.h>
#include <string.h>

enum { SOON = 1000, AGAIN = 250 }; /* milliseconds */

/* To the line's beginning, and what stands in it away (ECMA-48: CR, EL). */
#define ERASE "\r\033[K"

static void erase(bk_searching *searching)
{
    if (searching->shown_at == 0)
        return;
    fputs(ERASE, searching->world->err);
    fflush(searching->world->err);
    searching->shown_at = 0;
}

static void show(bk_searching *searching, const struct bakeset_progress *progress)
{
    char line[200], part[32] = "";
    int64_t now = searching->world->milliseconds();
    int width = searching->world->err_width;
    if (width == 0 || now - searching->began < SOON ||
        (searching->shown_at != 0 && now - searching->shown_at < AGAIN))
        return;
    int64_t per_cent = progress->effort > 0 ? 100 * progress->used / progress->effort : 0;
    bool timeline = progress->found || progress->goal == BAKESET_GOAL_ANY;
    if (timeline && per_cent < 100)
        snprintf(part, sizeof part, ", %" PRId64 " %%", per_cent);
    snprintf(line, sizeof line, "%s%s%s", progress->words, part,
             !searching->may_end ? ""
             : progress->found   ? " (Ctrl-C: take it)"
                                 : " (Ctrl-C: give up)");
    if ((int)strlen(line) >= width) /* a full line would make the terminal go on to the next */
        line[width - 1] = '\0';
    fprintf(searching->world->err, ERASE "%s", line);
    fflush(searching->world->err);
    searching->shown_at = now;
}

static int told(void *context, const struct bakeset_progress *progress)
{
    bk_searching *searching = context;
    if (searching->may_end && searching->world->interrupted()) {
        erase(searching);
        return 1;
    }
    show(searching, progress);
    return 0;
}

void bk_searching_begin(bk_searching *searching, const bk_world *world, const char *command,
                        bool may_end, struct bakeset_schedule_options *scheduling)
{
    *searching = (bk_searching){
        .world = world, .command = command, .began = world->milliseconds(), .may_end = may_end};
    scheduling->progress = told;
    scheduling->progress_context = searching;
    if (may_end)
        world->hold_interrupt(true);
}

static const struct bakeset_message *given_up(const bakeset *session)
{
    for (size_t i = 0; i < bakeset_message_count(session); i++)
        if (strcmp(bakeset_message(session, i)->code, "given-up") == 0)
            return bakeset_message(session, i);
    return NULL;
}

void bk_searching_end(bk_searching *searching, const bakeset *session)
{
    const bk_world *world = searching->world;
    erase(searching);
    if (!searching->may_end)
        return;
    world->hold_interrupt(false);
    const struct bakeset_message *message = given_up(session);
    if (message && world->width == 0)
        fprintf(world->err, "bakeset %s: %s\n", searching->command, message->what);
}
