/* A phone comes with its key, and gets a cookie. */
#include "page/keys.h"
#include "page/request.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The pages that stand before the page tell nothing of what is behind it. */
#define PAGE(title, rest)                                                                          \
    "<!DOCTYPE html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n"                              \
    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"                   \
    "<meta name=\"robots\" content=\"noindex\">\n<title>" title "</title>\n"                       \
    "<style>:root{color-scheme:light dark;--ink:#1c1715;--paper:#fdfcf9}"                          \
    "@media(prefers-color-scheme:dark){:root{--ink:#ece6dd;--paper:#171413}}"                      \
    "body{max-width:30rem;margin:3rem auto;padding:0 "                                             \
    "1rem;background:var(--paper);color:var(--ink);"                                               \
    "font:1.2rem/1.4 Palatino,P052,Georgia,serif}h1{font-size:1.6rem;font-weight:400;"             \
    "font-style:italic}a{display:inline-block;padding:.75rem 1.2rem;border:2px "                   \
    "solid;color:inherit;"                                                                         \
    "font-weight:700;text-decoration:none}"                                                        \
    "</style>\n" rest "</html>\n"

static const char no_key[] =
    PAGE("This phone has no key",
         "<h1>This phone has no key</h1>\n"
         "<p>Scan the code that bakeset page shows on its terminal. Each code lets one phone in, "
         "for ten minutes; Enter there makes another.</p>\n"
         "<p>Was it let in before?</p>\n<p><a href=\"/\">Go to the page</a></p>\n");

/* Until somebody presses, the key is good: who only looks where a link leads, as messengers do for
 * a picture of it, does not use it up. */
static const char one_press[] =
    PAGE("Let this phone in?", "<h1>Let this phone in?</h1>\n"
                               "<p>It then stays in, and may do all that the page can.</p>\n"
                               "<p><a href=\"%s/in\" rel=\"nofollow\">Let this phone in</a></p>\n");

/* Not sent on to the page by the answer itself: where the key was opened from another site, or a
 * browser takes it so, all that follows of that is another site's doing, too, and the cookie would
 * not go with it. What this page opens is its own. */
static const char is_in[] =
    PAGE("This phone is in", "<meta http-equiv=\"refresh\" content=\"0; url=/\">\n"
                             "<h1>This phone is in</h1>\n"
                             "<p><a href=\"/\">Go on to the page</a></p>\n");

static void answer_page(bk_answer *answer, unsigned status, const char *text)
{
    answer->status = status;
    answer->type = "text/html; charset=utf-8";
    answer->fixed = text;
    answer->length = strlen(text);
    answer->own_style = true;
}

void bk_answer_no_key(bk_answer *answer, bool to_a_person)
{
    if (to_a_person)
        answer_page(answer, 401, no_key);
    else
        bk_answer_error(answer, 401, "no-key", "this phone has no key",
                        "scan the code that bakeset page shows");
}

/* The key as it stands between "/k/" and what follows. */
static void read_key(const bk_request *request, char key[BK_KEY_LENGTH + 1])
{
    const char *from = request->path + strlen("/k/");
    size_t length = strspn(from, "abcdefghijklmnopqrstuvwxyz234567");
    bool whole = length == BK_KEY_LENGTH && (!from[length] || strcmp(from + length, "/in") == 0);
    snprintf(key, BK_KEY_LENGTH + 1, "%s", whole ? from : "");
}

static void ask_to_press(const bk_request *request, bk_answer *answer)
{
    size_t room = sizeof one_press + strlen(request->path);
    answer_page(answer, 200, "");
    answer->text = malloc(room);
    if (answer->text)
        answer->length = (size_t)snprintf(answer->text, room, one_press, request->path);
    else
        bk_answer_json(answer, 500, NULL);
}

void bk_route_pair(bk_page *page, const bk_request *request, bk_answer *answer)
{
    char cookie[BK_COOKIE_LENGTH + 1], key[BK_KEY_LENGTH + 1];
    bool presses = strrchr(request->path, '/') > request->path + strlen("/k");
    read_key(request, key);
    if (request->known && page->keys) {
        answer_page(answer, 200, is_in);
    } else if (request->head || !page->keys || !bk_keys_good(page->keys, key, page->seconds())) {
        bk_answer_no_key(answer, request->navigates);
    } else if (!presses) {
        ask_to_press(request, answer);
    } else if (!bk_keys_pair(page->keys, key, page->seconds(), cookie)) {
        bk_answer_no_key(answer, request->navigates);
    } else {
        snprintf(answer->cookie, sizeof answer->cookie,
                 BK_COOKIE "=%s; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000%s", cookie,
                 page->tls ? "; Secure" : "");
        answer_page(answer, 200, is_in);
        bk_page_look(page);
    }
}
