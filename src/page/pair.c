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
    answer->status = 303;
    answer->location = "/";
    answer->type = "text/plain; charset=utf-8";
    answer->fixed = "This phone is in.\n";
    answer->length = strlen(answer->fixed);
    bk_page_look(page);
}
