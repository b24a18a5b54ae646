/* Who may ask: Host, Origin, content type, cookie. */
#include "page/guard.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

static void add(bk_guard *guard, const char *scheme, const char *host)
{
    snprintf(guard->hosts[guard->count], BK_LONGEST_HOST, "%s", host);
    snprintf(guard->origins[guard->count], BK_LONGEST_HOST, "%s%s", scheme, host);
    guard->count++;
}

/* A browser leaves the port out where it is the scheme's own. */
static void add_with_port(bk_guard *guard, const char *name, uint16_t port)
{
    char host[BK_LONGEST_HOST - 10];
    if (port == 80)
        snprintf(host, sizeof host, "%s", name);
    else
        snprintf(host, sizeof host, "%s:%u", name, (unsigned)port);
    add(guard, "http://", host);
}

bk_guard bk_guard_local(uint16_t port)
{
    bk_guard guard = {.count = 0};
    add_with_port(&guard, "127.0.0.1", port);
    add_with_port(&guard, "localhost", port);
    add_with_port(&guard, "[::1]", port);
    return guard;
}

bool bk_guard_at_home(const char *address, uint16_t port, const char *behind, bk_guard *guard)
{
    char name[80];
    const char *host = NULL;
    *guard = (bk_guard){.count = 0};
    int length = snprintf(name, sizeof name, strchr(address, ':') ? "[%s]" : "%s", address);
    if (length < 0 || (size_t)length >= sizeof name)
        return false;
    add_with_port(guard, name, port);
    if (!behind)
        return true;
    const char *scheme = strncmp(behind, "https://", 8) == 0  ? "https://"
                         : strncmp(behind, "http://", 7) == 0 ? "http://"
                                                              : NULL;
    if (!scheme)
        return false;
    host = behind + strlen(scheme);
    size_t fits = strspn(host, "abcdefghijklmnopqrstuvwxyz0123456789.-:[]");
    if (fits == 0 || host[fits] != '\0' || fits > 255)
        return false;
    add(guard, scheme, host);
    return true;
}

bool bk_guard_host(const bk_guard *guard, const char *host)
{
    for (size_t i = 0; host && i < guard->count; i++)
        if (strcasecmp(host, guard->hosts[i]) == 0)
            return true;
    return false;
}

bool bk_guard_origin(const bk_guard *guard, const char *origin)
{
    for (size_t i = 0; origin && i < guard->count; i++)
        if (strcasecmp(origin, guard->origins[i]) == 0)
            return true;
    return false;
}

bool bk_guard_is_json(const char *content_type)
{
    static const char json[] = "application/json";
    size_t length = sizeof json - 1;
    if (!content_type || strncasecmp(content_type, json, length) != 0)
        return false;
    const char *rest = content_type + length;
    rest += strspn(rest, " \t");
    if (*rest == '\0')
        return true;
    if (*rest != ';')
        return false;
    rest += 1 + strspn(rest + 1, " \t");
    return strcasecmp(rest, "charset=utf-8") == 0;
}

bool bk_guard_cookie(const char *header, const char *name, char *value, size_t room)
{
    size_t length = strlen(name);
    for (const char *at = header; at && *at;) {
        at += strspn(at, " \t;");
        size_t all = strcspn(at, ";");
        if (all > length && strncmp(at, name, length) == 0 && at[length] == '=') {
            size_t size = all - length - 1;
            while (size > 0 && strchr(" \t", at[length + size]))
                size--;
            if (size >= room)
                return false;
            memcpy(value, at + length + 1, size);
            value[size] = '\0';
            return true;
        }
        at += all;
    }
    return false;
}
