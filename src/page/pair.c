/* A phone comes with its key, and gets a cookie. */
#include "page/keys.h"
#include "page/request.h"

#include <stdio.h>
#include <string.h>

void bk_answer_no_key(bk_answer *answer)
{
    bk_answer_error(answer, 401, "no-key", "this phone has no key",
                    "scan the code that bakeset page shows");
}

/* Not sent on to the page by the answer itself: where the key was opened from another site, or a
 * browser takes it so, all that follows of that is another site's doing, too, and the cookie would
 * not go with it. What this page opens is its own. */
static const char page_of_its_own[] =
    "<!DOCTYPE html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n"
    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
    "<meta http-equiv=\"refresh\" content=\"0; url=/\">\n<title>bakeset</title>\n"
    "<p>This phone is in. <a href=\"/\">Go on to the page.</a></p>\n</html>\n";

void bk_route_pair(bk_page *page, const bk_request *request, bk_answer *answer)
{
    char cookie[BK_COOKIE_LENGTH + 1];
    const char *key = request->path + strlen("/k/");
    if (request->head || !page->keys || !bk_keys_pair(page->keys, key, page->seconds(), cookie)) {
        bk_answer_no_key(answer);
        return;
    }
    snprintf(answer->cookie, sizeof answer->cookie,
             BK_COOKIE "=%s; HttpOnly; SameSite=Strict; Path=/; Max-Age=31536000%s", cookie,
             page->tls ? "; Secure" : "");
    answer->status = 200;
    answer->type = "text/html; charset=utf-8";
    answer->fixed = page_of_its_own;
    answer->length = sizeof page_of_its_own - 1;
    bk_page_look(page);
}
