/* The site: its files, and the first page with plain links to the plans. */
#include "page/site.h"
#include "page/known.h"
#include "page/request.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const struct {
    const char *end, *type;
} types[] = {
    {".html", "text/html; charset=utf-8"},
    {".css", "text/css; charset=utf-8"},
    {".js", "text/javascript; charset=utf-8"},
    {".mjs", "text/javascript; charset=utf-8"},
    {".svg", "image/svg+xml"},
    {".png", "image/png"},
    {".json", "application/json; charset=utf-8"},
    {".webmanifest", "application/manifest+json"},
};

static const char *type_of(const char *name)
{
    size_t length = strlen(name);
    for (size_t i = 0; i < sizeof types / sizeof *types; i++) {
        size_t end = strlen(types[i].end);
        if (length > end && strcmp(name + length - end, types[i].end) == 0)
            return types[i].type;
    }
    return "application/octet-stream";
}

static const bk_site_file *find(const char *name)
{
    for (const bk_site_file *file = bk_site_files; file->name; file++)
        if (strcmp(file->name, name) == 0)
            return file;
    return NULL;
}

void bk_route_site(bk_page *page, const bk_request *request, bk_answer *answer)
{
    (void)page;
    const bk_site_file *file = find(request->path + strlen("/site/"));
    if (!file) {
        bk_answer_error(answer, 404, "nothing", "there is nothing here", NULL);
        return;
    }
    snprintf(answer->etag, sizeof answer->etag, "\"%s\"", file->digest);
    answer->type = type_of(file->name);
    answer->status = 200;
    answer->fixed = (const char *)file->bytes;
    answer->length = file->length;
    if (request->none_match && strstr(request->none_match, answer->etag)) {
        answer->status = 304;
        answer->length = 0;
    }
}

/* ------------------------------------------------------------- the first page */

static const char mark[] = "<!--plans-->"; /* in index.html: where the links go */

/* Bytes of a mark that turns the direction of what is behind it, and is not seen itself; 0: none
 * begins here. Unicode's U+061C, U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069. */
static size_t turning_mark(const char *text)
{
    const unsigned char *at = (const unsigned char *)text;
    if (at[0] == 0xD8 && at[1] == 0x9C)
        return 2;
    if (at[0] != 0xE2 || (at[1] != 0x80 && at[1] != 0x81))
        return 0;
    bool turns = at[1] == 0x80 ? at[2] == 0x8E || at[2] == 0x8F || (at[2] >= 0xAA && at[2] <= 0xAE)
                               : at[2] >= 0xA6 && at[2] <= 0xA9;
    return turns ? 3 : 0;
}

static void put_escaped(FILE *out, const char *text)
{
    for (; *text; text++) {
        size_t mark_length = turning_mark(text);
        if (mark_length > 0) {
            text += mark_length - 1;
            continue;
        }
        switch (*text) {
        case '&':
            fputs("&amp;", out);
            break;
        case '<':
            fputs("&lt;", out);
            break;
        case '>':
            fputs("&gt;", out);
            break;
        case '"':
            fputs("&quot;", out);
            break;
        default:
            fputc(*text, out);
        }
    }
}

static void put_address(FILE *out, const char *path)
{
    static const char plain[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_./";
    for (; *path; path++)
        if (strchr(plain, *path))
            fputc(*path, out);
        else
            fprintf(out, "%%%02X", (unsigned char)*path);
}

static void put_links(void *context, const cJSON *folder, const char *as_text)
{
    FILE *out = context;
    const cJSON *plan;
    (void)as_text;
    cJSON_ArrayForEach(plan, cJSON_GetObjectItemCaseSensitive(folder, "plans"))
    {
        const char *path = bk_text_of(plan, "path"), *occasion = bk_text_of(plan, "occasion"),
                   *serve = bk_text_of(plan, "serve");
        fputs("<li><a href=\"/sheet?path=", out);
        put_address(out, path);
        fputs("\">", out);
        put_escaped(out, occasion ? occasion : path);
        fputs("</a>", out);
        if (serve) {
            fputs(", ", out);
            put_escaped(out, serve);
        }
        fputs("</li>\n", out);
    }
}

void bk_route_index(bk_page *page, const bk_request *request, bk_answer *answer)
{
    const bk_site_file *file = find("index.html");
    const char *text = file ? (const char *)file->bytes : "";
    const char *at = strstr(text, mark);
    char *made = NULL;
    bool made_all = true;
    FILE *out = open_memstream(&made, &answer->length);
    if (out) {
        size_t before = at ? (size_t)(at - text) : strlen(text);
        fwrite(text, 1, before, out);
        if (at) {
            made_all = bk_known_use(page, request->may_wait, put_links, out);
            fputs(at + strlen(mark), out);
        }
    }
    bool failed = !out || fclose(out) != 0;
    if (!made_all && !request->may_wait) {
        free(made);
        answer->length = 0;
        return; /* once more, when the folder may be looked at */
    }
    if (failed) {
        free(made);
        bk_answer_json(answer, 500, NULL);
        return;
    }
    answer->status = 200;
    answer->type = type_of("index.html");
    answer->text = made;
}
