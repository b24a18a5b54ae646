/* The name and password for a server, from a netrc file or the environment. */
#include "publish/http.h"
#include "publish/netrc.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

enum { MOST_NETRC = 64 * 1024 };

/* The file's text. */
static const char *load(bk_keep *keep, const char *path, const char **problem)
{
    struct stat status;
    FILE *file = fopen(path, "r");
    if (!file || fstat(fileno(file), &status) != 0) {
        *problem = bk_keep_text(keep, "%s: %s", path, strerror(errno));
        if (file)
            fclose(file);
        return NULL;
    }
    if ((status.st_mode & (S_IROTH | S_IWOTH)) != 0 && S_ISREG(status.st_mode)) {
        fclose(file);
        *problem = bk_keep_text(keep,
                                "%s: everybody on this machine can read or write this netrc file, "
                                "and the password in it; write chmod 600 %s",
                                path, path);
        return NULL;
    }
    char *text = bk_keep_room(keep, MOST_NETRC + 1);
    size_t length = fread(text, 1, MOST_NETRC + 1, file);
    bool failed = ferror(file) != 0;
    int why = errno;
    fclose(file);
    if (failed)
        *problem = bk_keep_text(keep, "%s: %s", path, strerror(why));
    else if (length > MOST_NETRC)
        *problem = bk_keep_text(keep, "%s: a netrc file of more than 64 KiB", path);
    return failed || length > MOST_NETRC ? NULL : text;
}

bool bk_server_login(bk_keep *keep, const char *url, const char *netrc, const char *pair,
                     bk_login *login, const char **problem)
{
    *problem = NULL;
    if (!netrc) {
        const char *colon = strchr(pair, ':');
        login->name = !colon ? pair : bk_keep_bytes(keep, pair, (size_t)(colon - pair));
        login->password = !colon ? "" : colon + 1;
        return true;
    }
    const char *text = load(keep, netrc, problem), *host = bk_http_host(keep, url);
    if (text && !bk_netrc_find(keep, text, host, login))
        *problem = bk_keep_text(keep,
                                "%s: this netrc file has nothing for %s; add a line: machine %s "
                                "login NAME password PASSWORD",
                                netrc, host, host);
    return !*problem;
}
