#include "publish/http.h"

#include <curl/curl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

struct bk_http {
    bk_keep *keep;
    CURL *curl;
    const char *url; /* of the collection, with a final slash */
    size_t received; /* bytes of all answers */
};

/* The answer grows by itself: without memory what is kept jumps, and libcurl must not be
 * jumped over. */
typedef struct received {
    char *data;
    size_t length, room;
    size_t most;
    bool too_long;
} received;

enum { CONNECT_SECONDS = 15, REQUEST_SECONDS = 60, LEAST_ROOM = 4096, LONGEST_WAIT = 7 * 86400 };

static size_t receive(char *bytes, size_t size, size_t count, void *context)
{
    received *answer = context;
    size_t more = size * count;
    answer->too_long = more > answer->most - answer->length;
    if (answer->too_long)
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

/* The authority of a URL, what stands between "://" and the path; NULL when there is none. */
static const char *authority_of(const char *url, size_t *length)
{
    const char *host = strstr(url, "://");
    if (!host)
        return NULL;
    host += 3;
    *length = strcspn(host, "/?#");
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

const char *bk_http_host(bk_keep *keep, const char *url)
{
    size_t length = 0;
    const char *host = authority_of(url, &length);
    if (!host)
        return "";
    size_t name = *host == '[' ? strcspn(host, "]") + 1 : strcspn(host, ":/?#");
    return bk_keep_bytes(keep, host, name < length ? name : length);
}

bool bk_server_url_good(const char *url, const char **problem)
{
    size_t length = 0;
    const char *host = authority_of(url, &length);
    bool secure = strncmp(url, "https://", 8) == 0, plain = strncmp(url, "http://", 7) == 0;
    *problem = NULL;
    if (!host || length == 0 || (!secure && !plain))
        *problem = "this is no address of a calendar: write one that begins with https://";
    else if (memchr(host, '@', length))
        *problem = "no name or password in the address: use a netrc file or the environment";
    else if (plain && !is_this_machine(host, length))
        *problem = "http:// would send the password for all to read: use https://";
    else if (strpbrk(url, "?#\r\n\t "))
        *problem = "the address of a calendar has no blanks, \"?\" or \"#\"";
    return !*problem;
}

static bool is_folder(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 && S_ISDIR(status.st_mode);
}

/* Those given, and no others: libcurl would look in the system's folder as well. */
static void trust(CURL *curl, const char *authorities)
{
    bool folder = is_folder(authorities);
    curl_easy_setopt(curl, CURLOPT_CAINFO, folder ? NULL : authorities);
    curl_easy_setopt(curl, CURLOPT_CAPATH, folder ? authorities : NULL);
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
    /* What no_proxy in the environment says is left to hold for every other host. */
    const char *host = authority_of(options->url, &length);
    if (host && is_this_machine(host, length))
        curl_easy_setopt(curl, CURLOPT_NOPROXY, "*");
    long seconds = options->timeout > 0 ? options->timeout : REQUEST_SECONDS;
    curl_easy_setopt(curl, CURLOPT_TIMEOUT, seconds);
    curl_easy_setopt(curl, CURLOPT_CONNECTTIMEOUT,
                     seconds < CONNECT_SECONDS ? seconds : (long)CONNECT_SECONDS);
    if (options->authorities)
        trust(curl, options->authorities);
    if (options->login) {
        curl_easy_setopt(curl, CURLOPT_HTTPAUTH, (long)(CURLAUTH_BASIC | CURLAUTH_DIGEST));
        curl_easy_setopt(curl, CURLOPT_USERNAME, options->login->name);
        curl_easy_setopt(curl, CURLOPT_PASSWORD, options->login->password);
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

/* Where a redirect leads, as much of it as may be shown: libcurl makes a relative address
 * whole with the login of the request, and what follows a "?" may be anybody's secret. */
static const char *shown_address(bk_keep *keep, const char *address)
{
    static const CURLUPart secrets[] = {CURLUPART_USER, CURLUPART_PASSWORD, CURLUPART_OPTIONS,
                                        CURLUPART_QUERY, CURLUPART_FRAGMENT};
    const char *shown = NULL;
    char *text = NULL;
    CURLU *url = curl_url();
    bool good = url && curl_url_set(url, CURLUPART_URL, address, 0) == CURLUE_OK;
    for (size_t i = 0; good && i < sizeof secrets / sizeof *secrets; i++)
        good = curl_url_set(url, secrets[i], NULL, 0) == CURLUE_OK;
    good = good && curl_url_get(url, CURLUPART_URL, &text, 0) == CURLUE_OK;
    curl_url_cleanup(url);
    if (good)
        shown = bk_keep_text(keep, "%s", text);
    curl_free(text);
    return shown;
}

/* What OpenSSL finds of a certificate (X509_V_ERR_... in openssl/x509_vfy.h, fixed numbers). */
enum {
    NOBODY_SAID = 1, /* libcurl's start value, left where it compares the host's name itself */
    NOT_YET_VALID = 9,
    EXPIRED = 10,
    SIGNED_BY_ITSELF = 18,
    UNKNOWN_AUTHORITY_IN_CHAIN = 19,
    UNKNOWN_AUTHORITY = 20,
    OTHER_HOST = 62
};

static const char *refused_certificate(long why)
{
    switch (why) {
    case NOBODY_SAID:
    case OTHER_HOST:
        return "the server's certificate is another host's: the address may be mistyped, or "
               "somebody stands between";
    case NOT_YET_VALID:
        return "the server's certificate is not valid yet: is this machine's clock right?";
    case EXPIRED:
        return "the server's certificate has expired (or this machine's clock is wrong)";
    case SIGNED_BY_ITSELF:
    case UNKNOWN_AUTHORITY_IN_CHAIN:
    case UNKNOWN_AUTHORITY:
        return "nobody trusted has signed the server's certificate; is it your own, give its file "
               "with --certificates";
    default:
        return "the server's certificate is not valid";
    }
}

static const char *problem_of(CURL *curl, CURLcode result, const received *body)
{
    long why = 0;
    if (result == CURLE_WRITE_ERROR && body->too_long)
        return body->most == BK_MOST_ANSWER ? "the answer is longer than 16 MiB"
                                            : "the answers together are longer than 64 MiB";
    if (result != CURLE_PEER_FAILED_VERIFICATION)
        return curl_easy_strerror(result);
    curl_easy_getinfo(curl, CURLINFO_SSL_VERIFYRESULT, &why);
    return refused_certificate(why);
}

bk_answer bk_http_send(bk_http *http, const bk_request *request)
{
    CURL *curl = http->curl;
    bk_answer answer = {0};
    size_t left = BK_MOST_ANSWERS - http->received;
    received body = {.most = left < BK_MOST_ANSWER ? left : BK_MOST_ANSWER};
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
        curl_off_t wait = 0;
        curl_easy_getinfo(curl, CURLINFO_RETRY_AFTER, &wait);
        answer.retry_after = wait < 0 ? 0 : wait > LONGEST_WAIT ? LONGEST_WAIT : (long)wait;
    } else {
        answer.problem = problem_of(curl, result, &body);
    }
    curl_slist_free_all(headers);
    curl_easy_setopt(curl, CURLOPT_HTTPHEADER, NULL);
    curl_easy_setopt(curl, CURLOPT_POSTFIELDS, NULL);
    if (moved)
        answer.moved_to = shown_address(http->keep, moved);
    answer.text = bk_keep_bytes(http->keep, !body.data ? "" : body.data, body.length);
    answer.length = body.length;
    free(body.data);
    http->received += body.length;
    return answer;
}
