/* bakeset check: reads a plan and reports every problem it can find, and mends what is sure. */
#include "command/options.h"
#include "command/output.h"
#include "command/shown.h"

#include <stdlib.h>
#include <string.h>

static const bk_option options[] = {
    BK_OPTION_ROW_SERVE,
    BK_OPTION_ROW_NOW,
    {"fix", BK_OPTION_MAY_TAKE, "yes",
     "show what would mend the faults of which there is one sure\n"
     "mend, and ask whether to write it; with =yes, write it"},
    {"history", BK_OPTION_ALONE, NULL,
     "the written times beside the real ones, which stand\nnext to each recipe, and what those "
     "propose"},
    {"apply", BK_OPTION_ALONE, NULL,
     "with --history: write the proposed ranges into the\nfiles, every other byte as it was"},
    BK_OPTION_ROW_ALLOW_OUTSIDE,
    {NULL, BK_OPTION_ALONE, NULL, NULL},
};

enum {
    OPTION_SERVE,
    OPTION_NOW,
    OPTION_FIX,
    OPTION_HISTORY,
    OPTION_APPLY,
    OPTION_ALLOW_OUTSIDE,
    OPTION_COUNT
};

static const bk_usage usage = {
    .command = "check",
    .synopsis = "[options] FILE.json",
    .about =
        "Reads the plan and the files it names, or a recipe or a kitchen by itself, and reports\n"
        "every problem it can find.\n"
        "Plans nothing, and writes no file but with --fix or --apply.",
    .options = options,
    .least_operands = 1,
    .most_operands = 1,
};

/* Writes the files with the proposed ranges in them, all or none. */
static enum bakeset_result apply(const bk_world *world, bakeset *session)
{
    size_t count = 0;
    const struct bakeset_changed_file *const *changed = bakeset_history_changes(session, &count);
    if (!changed)
        return bakeset_last_result(session);
    bk_output *outputs = calloc(count + 1, sizeof *outputs);
    if (!outputs) {
        fputs("bakeset: out of memory\n", world->err);
        return BAKESET_FAILED;
    }
    for (size_t i = 0; i < count; i++)
        outputs[i] = (bk_output){
            .path = changed[i]->path, .text = changed[i]->text, .length = changed[i]->length};
    bool written = bk_output_write_all(world, outputs, count);
    for (size_t i = 0; i < count && written; i++)
        fprintf(world->out, "\n%s is changed:\n%s", bk_name_shown(changed[i]->path).text,
                changed[i]->said);
    if (count == 0)
        fputs("\nThere is nothing to change.\n", world->out);
    free(outputs);
    return written ? BAKESET_OK : BAKESET_FAILED;
}

static enum bakeset_result tell_history(const bk_world *world, bakeset *session, bool applied)
{
    struct bakeset_write_options style = {.size = sizeof style, .width = world->width};
    const char *text = bakeset_history(session, &style, NULL);
    if (!text)
        return bakeset_last_result(session);
    fprintf(world->out, "\n%s", text);
    return applied ? apply(world, session) : BAKESET_OK;
}

/* The line at `text`, without its end; steps behind it. */
static size_t line_at(const char **text, const char *end)
{
    const char *stop = memchr(*text, '\n', (size_t)(end - *text));
    size_t length = (size_t)((stop ? stop : end) - *text);
    *text = stop ? stop + 1 : end;
    return length > 0 && (*text)[stop ? -2 : -1] == '\r' ? length - 1 : length;
}

/* Each line that changes, before and after. */
static void show(const bk_world *world, const struct bakeset_mended *mended)
{
    const char *before = mended->before, *before_end = before + mended->before_length;
    const char *after = mended->text, *after_end = after + mended->length;
    for (size_t line = 1; before < before_end || after < after_end; line++) {
        const char *old = before, *new = after;
        size_t old_length = line_at(&before, before_end), new_length = line_at(&after, after_end);
        if (old_length == new_length && memcmp(old, new, new_length) == 0)
            continue;
        fprintf(world->out, "%s:%zu:\n- ", bk_name_shown(mended->file).text, line);
        bk_line_shown(world->out, old, old_length);
        fputs("\n+ ", world->out);
        bk_line_shown(world->out, new, new_length);
        fputc('\n', world->out);
    }
}

/* Whether to write them: --fix=yes says so, or somebody does. */
static bool is_wanted(const bk_world *world, const bk_given *fix, size_t count)
{
    char answer[16] = "";
    if (fix->value)
        return true;
    if (!world->ask) {
        fputs("bakeset check: nothing is written; write --fix=yes to have it written\n",
              world->err);
        return false;
    }
    fflush(world->out);
    fprintf(world->err, "Write %s? [y/n] ", count == 1 ? "it" : "them");
    fflush(world->err);
    return world->ask(answer, sizeof answer) &&
           (strcmp(answer, "y") == 0 || strcmp(answer, "yes") == 0);
}

/* Shows the mends, and writes them when they are wanted; true when files are new. */
static bool mend(const bk_world *world, const struct bakeset_mended *const *mended, size_t count,
                 const bk_given *fix, enum bakeset_result *result)
{
    enum { MOST_FILES = 20 }; /* as many as there are errors kept */
    bk_output outputs[MOST_FILES] = {{0}};
    size_t written = 0, mends = 0;
    for (size_t i = 0; i < count && written < MOST_FILES; i++) {
        bool again = false; /* the same file under another name */
        for (size_t j = 0; j < written; j++)
            again |= bk_output_same_file(outputs[j].path, mended[i]->file);
        if (again)
            continue;
        show(world, mended[i]);
        mends += mended[i]->mends;
        outputs[written++] = (bk_output){
            .path = mended[i]->file, .text = mended[i]->text, .length = mended[i]->length};
    }
    if (!is_wanted(world, fix, written))
        return false;
    for (size_t i = 0; i < written; i++)
        if (!bk_output_holds(mended[i]->file, mended[i]->before, mended[i]->before_length)) {
            fprintf(world->err, "bakeset check: %s was changed meanwhile; nothing is written\n",
                    bk_name_shown(mended[i]->file).text);
            return false;
        }
    if (!bk_output_write_all(world, outputs, written)) {
        *result = BAKESET_FAILED;
        return false;
    }
    fprintf(world->out, "%zu %s mended\n", mends, mends == 1 ? "place is" : "places are");
    return true;
}

static void say_how_it_is(const bk_world *world, const bakeset *session, const char *path)
{
    fprintf(world->out, "%s: no %s\n", bk_name_shown(path).text,
            bakeset_message_count(session) == 0 ? "problem found"
                                                : "error found, but see the warnings");
}

static enum bakeset_result check(const bk_world *world, bakeset *session, const char *path,
                                 const struct bakeset_read_options *reading, const bk_given *fix)
{
    enum bakeset_result result = bakeset_read(session, path, reading);
    bk_print_messages(world, session, true);
    if (result == BAKESET_BAD_INPUT && fix->given) {
        size_t count = 0;
        const struct bakeset_mended *const *mended = bakeset_mend(session, path, reading, &count);
        if (!mended) {
            fputs("bakeset: out of memory\n", world->err);
            return BAKESET_FAILED;
        }
        if (count == 0)
            fputs("bakeset check: none of this has one sure mend; nothing is written\n",
                  world->err);
        if (count == 0 || !mend(world, mended, count, fix, &result))
            return result;
        result = bakeset_read(session, path, reading);
        bk_print_messages(world, session, true);
    }
    if (result == BAKESET_OK)
        say_how_it_is(world, session, path);
    return result;
}

enum bakeset_result bk_command_check(const bk_world *world, int argc, char **argv)
{
    bk_given given[OPTION_COUNT] = {{0}};
    bk_arguments arguments = {.given = given};
    enum bk_parsed parsed = bk_options_parse(world, &usage, argc, argv, &arguments);
    if (parsed != BK_PARSED)
        return parsed == BK_PARSED_HELP ? BAKESET_OK : BAKESET_BAD_INPUT;
    const bk_given *fix = &given[OPTION_FIX];
    if (fix->value && strcmp(fix->value, "yes") != 0) {
        fprintf(world->err, "bakeset check: --fix is \"%s\"; write --fix, or --fix=yes\n",
                bk_name_shown(fix->value).text);
        return BAKESET_BAD_INPUT;
    }
    if (given[OPTION_APPLY].given && !given[OPTION_HISTORY].given) {
        fputs("bakeset check: --apply writes what --history proposes; give both\n", world->err);
        return BAKESET_BAD_INPUT;
    }
    if (fix->given && strcmp(arguments.operands[0], "-") == 0) {
        fputs("bakeset check: standard input is no file to mend; name the file\n", world->err);
        return BAKESET_BAD_INPUT;
    }
    struct bakeset_read_options reading = bk_option_reading(
        world, &given[OPTION_SERVE], &given[OPTION_NOW], &given[OPTION_ALLOW_OUTSIDE]);
    reading.alone = 1;
    bakeset *session = bk_session_new(world);
    if (!session)
        return BAKESET_FAILED;
    enum bakeset_result result = check(world, session, arguments.operands[0], &reading, fix);
    size_t told = bakeset_message_count(session);
    if (result == BAKESET_OK && given[OPTION_HISTORY].given) {
        result = tell_history(world, session, given[OPTION_APPLY].given);
        for (; told < bakeset_message_count(session); told++)
            fputs(bakeset_message(session, told)->text, world->err);
    }
    bakeset_free(session);
    return result;
}
