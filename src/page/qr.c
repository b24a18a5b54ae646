/* A QR code on a terminal. */
#include "page/qr.h"

#include <qrencode.h>

enum { QUIET = 4 }; /* modules of light around it, as the standard wants */

static bool is_dark(const QRcode *code, int row, int column)
{
    int width = code->width;
    row -= QUIET;
    column -= QUIET;
    return row >= 0 && row < width && column >= 0 && column < width &&
           (code->data[row * width + column] & 1);
}

/* Light is what is written: on a dark terminal as on a light one it is set by colours. */
static void print_row(FILE *out, const QRcode *code, int row, bool ascii)
{
    static const char *const halves[2][2] = {{"\xE2\x96\x88", "\xE2\x96\x80"},
                                             {"\xE2\x96\x84", " "}};
    fputs("\033[97;40m", out);
    for (int column = 0; column < code->width + 2 * QUIET; column++) {
        bool upper = is_dark(code, row, column);
        if (ascii)
            fputs(upper ? "  " : "\033[107m  \033[40m", out);
        else
            fputs(halves[upper][is_dark(code, row + 1, column)], out);
    }
    fputs("\033[0m\n", out);
}

void bk_qr_print(FILE *out, const char *text, bool ascii)
{
    QRcode *code = QRcode_encodeString(text, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
    if (!code)
        return;
    for (int row = 0; row < code->width + 2 * QUIET; row += ascii ? 1 : 2)
        print_row(out, code, row, ascii);
    QRcode_free(code);
}
