/* Private to page: an address for a phone's camera. */
#ifndef BK_PAGE_QR_H
#define BK_PAGE_QR_H

#include <stdbool.h>
#include <stdio.h>

/* The text as a QR code (ISO/IEC 18004) in characters, dark on light whatever the terminal's
 * colours: two rows in one where `ascii` is false. Nothing where the text is too long. */
void bk_qr_print(FILE *out, const char *text, bool ascii);

#endif
