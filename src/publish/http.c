#include "publish/http.h"

#include <curl/curl.h>
#include <stdlib.h>
#include <string.h>

struct bk_http {
    bk_keep *keep;
    CURL *curl;
    const char *url; /* of the collection, with a final slash */
};

/* The answer grows by itself: without memory what is kept jumps, and libcurl must not be
 * jumped over. */
typedef struct received {
    char *data;
    size_t length, room;
} received;

enum { CONNECT_SECONDS = 15, REQUEST_SECONDS = 60, LEAST_ROOM = 4096 };

static size_t receive(char *bytes, size_t size, size_t count, void *context)
{
    received *answer = context;
    size_t more = size * count;
    if (more > BK_MOST_ANSWER - answer->length)
        return CURL_WRITEFUNC_ERROR;
    if (answer->length + more + 1 > answer->room) {
        size_t room = (answer->length + more) * 2 + LEAST_ROOM;
        char *data = realloc(answer->data, room);
        if (!data)
            return CURL_WRITEFUNC_ERROR;
        answer->data = data;
        answer->room = room;
    }
    memcpy(answer->data + answer->length, bytes, more);
    answer->length += more;
    return more;
}

static size_t ends_at(const char *text)
{
    return strcspn(text, "/?#");
}

/* The host part of a URL behind "://", or NULL. */
static const char *host_of(const char *url, size_t *length)
{
    const char *host = strstr(url, "://");
    if (!host)
        return NULL;
    host += 3;
    *length = ends_at(host);
    return host;
}

static bool is_this_machine(const char *host, size_t length)
{
    static const char *const names[] = {"localhost", "127.0.0.1", "[::1]"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        size_t name = strlen(names[i]);
        if (length >= name && strncmp(host, names[i], name) == 0 &&
            (length == name || host[name] == ':'))
            return true;
    }
    return false;
}

bool bk_server_url_good(const char *url, const char **problem)
{
    size_t length = 0;
    const char *host = host_of(url, &length);
    bool secure = strncmp(url, "https://", 8) == 0, plain = strncmp(url, "http://", 7) == 0;
    *problem = NULL;
    if (!host || length == 0 || (!secure && !plain))
        *problem = "the server's address is https://… of a calendar";
    else if (memchr(host, '@', length))
        *problem = "no name or password in the address: use a netrc file or the environment";
    else if (plain && !is_this_machine(host, length))
        *problem = "http:// would send the password for all to read: use https://";
    else if (strpbrk(url, "?#\r\n\t "))
        *problem = "the address of a calendar has no blanks, \"?\" or \"#\"";
    return !*problem;
}

bk_http *bk_http_open(bk_keep *keep, const bk_server_options *options)
{
    CURL *curl = curl_easy_init();
    if (!curl)
        return NULL;
    bk_http *http = bk_keep_room(keep, sizeof *http);
    http->keep = keep;
    http->curl = curl;
    size_t length = strlen(options->url);
    http->url = length > 0 && options->url[length - 1] == '/'
                    ? bk_keep_text(keep, "%s", options->url)
                    : bk_keep_text(keep, "%s/", options->url);

    curl_easy_setopt(curl, CURLOPT_USERAGENT, "bakeset");
    curl_easy_setopt(curl, CURLOPT_PROTOCOLS_STR, "http,https");
    curl_easy_setopt(curl, CURLOPT_FOLLOWLOCATION, 0L);
    curl_easy_setopt(curl, CURLOPT_SSL_VERIFYPEER, 1L);
    curl_easy_setopt(curl, CURLOPT_SSL_VERIFYHOST, 2L);
    curl_easy_setopt(curl, CURLOPT_NOSIGNAL, 1L);
    curl_easy_setopt(curl, CURLOPT_NOPROXY, "localhost,127.0.0.1,::1");
    long seconds = options->timeout > 0 ? options->timeout : REQUEST_SECONDS;
    curl_easy_setopt(curl, CURLOPT_TIMEOUT, seconds);
    curl_easy_setopt(curl, CURLOPT_CONNECTTIMEOUT,
                     seconds < CONNECT_SECONDS ? seconds : (long)CONNECT_SECONDS);
    if (options->authorities)
        curl_easy_setopt(curl, CURLOPT_CAINFO, options->authorities);
    if (options->login || options->netrc)
        curl_easy_setopt(curl, CURLOPT_HTTPAUTH, (long)(CURLAUTH_BASIC | CURLAUTH_DIGEST));
    if (options->login)
        curl_easy_setopt(curl, CURLOPT_USERPWD, options->login);
    if (options->netrc) {
        curl_easy_setopt(curl, CURLOPT_NETRC, (long)CURL_NETRC_REQUIRED);
        curl_easy_setopt(curl, CURLOPT_NETRC_FILE, options->netrc);
    }
    return http;
}

void bk_http_close(bk_http *http)
{
    if (http)
        curl_easy_cleanup(http->curl);
}

static bool add_header(struct curl_slist **list, const char *line)
{
    struct curl_slist *longer = curl_slist_append(*list, line);
    if (longer)
        *list = longer;
    return longer;
}

bk_answer bk_http_send(bk_http *http, const bk_request *request)
{
    CURL *curl = http->curl;
    bk_answer answer = {0};
    received body = {0};
    char *url = bk_keep_text(http->keep, "%s%s", http->url, request->name);
    char *type = !request->type
                     ? NULL
                     : bk_keep_text(http->keep, "Content-Type: %s; charset=utf-8", request->type);
    struct curl_slist *headers = NULL;
    bool good = !type || add_header(&headers, type);
    for (size_t i = 0; i < 4 && request->headers[i]; i++)
        good = good && add_header(&headers, request->headers[i]);

    curl_easy_setopt(curl, CURLOPT_URL, url);
    curl_easy_setopt(curl, CURLOPT_CUSTOMREQUEST, request->method);
    curl_easy_setopt(curl, CURLOPT_HTTPHEADER, headers);
    curl_easy_setopt(curl, CURLOPT_WRITEFUNCTION, receive);
    curl_easy_setopt(curl, CURLOPT_WRITEDATA, &body);
    if (request->body) {
        curl_easy_setopt(curl, CURLOPT_POSTFIELDSIZE, (long)strlen(request->body));
        curl_easy_setopt(curl, CURLOPT_POSTFIELDS, request->body);
    } else {
        curl_easy_setopt(curl, CURLOPT_HTTPGET, 1L);
    }
    CURLcode result = good ? curl_easy_perform(curl) : CURLE_OUT_OF_MEMORY;
    const char *moved = NULL;
    if (result == CURLE_OK) {
        curl_easy_getinfo(curl, CURLINFO_RESPONSE_CODE, &answer.status);
        curl_easy_getinfo(curl, CURLINFO_REDIRECT_URL, &moved);
    } else {
        answer.problem = curl_easy_strerror(result);
    }
    curl_slist_free_all(headers);
    curl_easy_setopt(curl, CURLOPT_HTTPHEADER, NULL);
    curl_easy_setopt(curl, CURLOPT_POSTFIELDS, NULL);
    if (moved)
        answer.moved_to = bk_keep_text(http->keep, "%s", moved);
    answer.text = bk_keep_bytes(http->keep, !body.data ? "" : body.data, body.length);
    answer.length = body.length;
    free(body.data);
    return answer;
}
