/* Words as a QR code. See draw/qr.h. */
#include "draw/qr.h"

#include <qrencode.h>

#define MARGIN 4 /* modules: ISO/IEC 18004, quiet zone */

static bool is_dark(const QRcode *code, int x, int y)
{
    if (x < 0 || y < 0 || x >= code->width || y >= code->width)
        return false;
    return code->data[y * code->width + x] & 1;
}

/* The smallest that holds the words, 15 % of it may be unreadable. */
static QRcode *encode(const char *words)
{
    return QRcode_encodeString8bit(words, 0, QR_ECLEVEL_M);
}

bool qr_svg(const char *words, const char *label, struct text *out)
{
    QRcode *code = encode(words);
    int side;

    if (!code)
        return false;
    side = code->width + 2 * MARGIN;
    text_addf(out,
              "<svg class=\"qr\" role=\"img\" aria-label=\"%s\" viewBox=\"0 0 "
              "%d %d\" shape-rendering=\"crispEdges\"><path fill=\"#ffffff\" "
              "d=\"M0 0h%dv%dH0z\"/><path fill=\"#000000\" d=\"",
              label, side, side, side, side);
    for (int y = 0; y < code->width; y++)
        for (int x = 0, n; x < code->width; x += n) {
            for (n = 1; is_dark(code, x, y) && is_dark(code, x + n, y);)
                n++;
            if (is_dark(code, x, y))
                text_addf(out, "M%d %dh%dv1h-%dz", x + MARGIN, y + MARGIN, n,
                          n);
        }
    text_add(out, "\"/></svg>\n");
    QRcode_free(code);
    return true;
}

bool qr_terminal(const char *words, struct text *out)
{
    /* By the upper and the lower module of a character, 1 for a dark one. */
    static const char *const half[2][2] = {{" ", "\xE2\x96\x84"},
                                           {"\xE2\x96\x80", "\xE2\x96\x88"}};
    QRcode *code = encode(words);

    if (!code)
        return false;
    for (int y = -MARGIN; y < code->width + MARGIN; y += 2) {
        text_add(out, "\x1b[38;5;16;48;5;231m");
        for (int x = -MARGIN; x < code->width + MARGIN; x++)
            text_add(out, half[is_dark(code, x, y)][is_dark(code, x, y + 1)]);
        text_add(out, "\x1b[0m\n");
    }
    QRcode_free(code);
    return true;
}
