/* BK_WATCHED: this is built with AddressSanitizer, by gcc or clang. */
#ifndef BK_WATCHED_H
#define BK_WATCHED_H

#ifdef __has_feature
#if __has_feature(address_sanitizer)
#define BK_WATCHED
#endif
#elif defined(__SANITIZE_ADDRESS__)
#define BK_WATCHED
#endif

#endif
