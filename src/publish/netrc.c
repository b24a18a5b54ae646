#include "publish/netrc.h"

#include <string.h>
#include <strings.h>

static const char blanks[] = " \t\r\n";

typedef struct reader {
    bk_keep *keep;
    const char *at;
} reader;

static const char *after_line(const char *at)
{
    at += strcspn(at, "\n");
    return *at == '\0' ? at : at + 1;
}

static char escaped(char c)
{
    return c == 'n' ? '\n' : c == 'r' ? '\r' : c == 't' ? '\t' : c;
}

/* The next word, or NULL at the end. */
static const char *word(reader *r)
{
    r->at += strspn(r->at, blanks);
    while (*r->at == '#') {
        r->at = after_line(r->at);
        r->at += strspn(r->at, blanks);
    }
    if (*r->at == '\0')
        return NULL;
    if (*r->at != '"') {
        size_t length = strcspn(r->at, blanks);
        char *plain = bk_keep_bytes(r->keep, r->at, length);
        r->at += length;
        return plain;
    }
    char *quoted = bk_keep_room(r->keep, strlen(r->at) + 1);
    size_t length = 0;
    for (r->at++; *r->at != '\0' && *r->at != '"'; r->at++) {
        bool escape = *r->at == '\\' && r->at[1] != '\0';
        r->at += escape;
        quoted[length++] = escape ? escaped(*r->at) : *r->at;
    }
    r->at += *r->at == '"';
    return quoted;
}

static void pass_macro(reader *r)
{
    word(r);
    r->at = after_line(r->at);
    while (*r->at != '\0' && *r->at != '\n' && strncmp(r->at, "\r\n", 2) != 0)
        r->at = after_line(r->at);
}

bool bk_netrc_find(bk_keep *keep, const char *text, const char *host, bk_login *login)
{
    reader r = {keep, text};
    bool ours = false, found = false;
    *login = (bk_login){"", ""};
    for (const char *key = word(&r); key; key = word(&r)) {
        bool machine = strcmp(key, "machine") == 0, any = strcmp(key, "default") == 0;
        if (machine || any) {
            if (found)
                return true;
            const char *name = machine ? word(&r) : host;
            found = ours = name && strcasecmp(name, host) == 0;
        } else if (strcmp(key, "macdef") == 0) {
            pass_macro(&r);
        } else {
            const char *value = word(&r);
            if (ours && value && strcmp(key, "login") == 0)
                login->name = value;
            else if (ours && value && strcmp(key, "password") == 0)
                login->password = value;
        }
    }
    return found;
}
