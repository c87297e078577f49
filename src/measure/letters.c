/* Letters of strokes. See the header. */
#include "measure/letters.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#define THICK 0.36 /* half a stroke, in units */

/* Corners of strokes, x and y each, in a box 4 wide and 6 high, descenders to
 * 8; a blank lifts the pen, a corner alone is a dot. */
static const char *const strokes[128] = {
    ['\''] = "2021",
    ['('] = "30212536",
    [')'] = "10212516",
    ['+'] = "1434 2325",
    [','] = "2617",
    ['-'] = "1434",
    ['.'] = "26",
    ['/'] = "4006",
    ['0'] = "103041453616050110",
    ['1'] = "112026 1636",
    ['2'] = "01103041420646",
    ['3'] = "0110304142334445361605 2333",
    ['4'] = "300444 3036",
    ['5'] = "400003324345361605",
    ['6'] = "3010010516364544331304",
    ['7'] = "004016",
    ['8'] = "10304142040516364544020110",
    ['9'] = "423313020110304145361605",
    [':'] = "23 26",
    ['?'] = "01103041423324 26",
    ['a'] = "4332120305163645 4246",
    ['b'] = "0006 0312324345361605",
    ['c'] = "4332120305163645",
    ['d'] = "4046 4332120305163645",
    ['e'] = "04444332120305163645",
    ['f'] = "40302126 0242",
    ['g'] = "4332120305163645 4247381807",
    ['h'] = "0006 0312324346",
    ['i'] = "2226 20",
    ['j'] = "3237281807 30",
    ['k'] = "0006 4204 2346",
    ['l'] = "202536",
    ['m'] = "0206 03122326 23324346",
    ['n'] = "0206 0312324346",
    ['o'] = "123243453616050312",
    ['p'] = "0208 0312324345361605",
    ['q'] = "4248 4332120305163645",
    ['r'] = "0206 04223243",
    ['s'] = "43321203143445361605",
    ['t'] = "20253645 0242",
    ['u'] = "0205163645 4246",
    ['v'] = "022642",
    ['w'] = "0216243642",
    ['x'] = "0246 4206",
    ['y'] = "0226 4218",
    ['z'] = "02420646",
};

void canvas_fill(const struct canvas *canvas, int64_t x, int64_t y, int64_t w,
                 int64_t h, const unsigned char rgb[3])
{
    const int64_t right = x + w < canvas->width ? x + w : canvas->width;
    const int64_t below = y + h < canvas->height ? y + h : canvas->height;

    for (int64_t j = y < 0 ? 0 : y; j < below; j++)
        for (int64_t i = x < 0 ? 0 : x; i < right; i++)
            memcpy(canvas->rgb + 3 * (j * canvas->width + i), rgb, 3);
}

/* How far a point is from a stroke. */
static double away(double x, double y, const double a[2], const double b[2])
{
    const double dx = b[0] - a[0], dy = b[1] - a[1], n = dx * dx + dy * dy;
    double t = n > 0 ? ((x - a[0]) * dx + (y - a[1]) * dy) / n : 0;

    t = fmin(fmax(t, 0), 1);
    return hypot(x - a[0] - t * dx, y - a[1] - t * dy);
}

/* The nearest stroke of a letter, in units. */
static double letter_away(const char *corner, double x, double y)
{
    double nearest = INFINITY, from[2] = {0, 0};
    bool drawn = false;

    for (; *corner; corner += 2) {
        const double to[2] = {corner[0] - '0', corner[1] - '0'};

        if (*corner == ' ') {
            drawn = false;
            corner--;
            continue;
        }
        nearest = fmin(nearest, away(x, y, drawn ? from : to, to));
        memcpy(from, to, sizeof from);
        drawn = true;
    }
    return nearest;
}

static void letter_draw(const struct canvas *canvas, double x, double y,
                        double unit, const char *corners,
                        const unsigned char rgb[3])
{
    const int64_t left = (int64_t)floor(x - unit),
                  top = (int64_t)floor(y - unit);
    const int64_t right = (int64_t)ceil(x + 5 * unit);
    const int64_t below = (int64_t)ceil(y + 9 * unit);

    for (int64_t j = top < 0 ? 0 : top; j < below && j < canvas->height; j++)
        for (int64_t i = left < 0 ? 0 : left; i < right && i < canvas->width;
             i++) {
            unsigned char *to = canvas->rgb + 3 * (j * canvas->width + i);
            const double far =
                letter_away(corners, ((double)i + 0.5 - x) / unit,
                            ((double)j + 0.5 - y) / unit);
            const double ink = fmin(fmax((THICK - far) * unit + 0.5, 0), 1);

            for (int c = 0; c < 3; c++)
                to[c] = (unsigned char)lround(to[c] + ink * (rgb[c] - to[c]));
        }
}

static const char *corners_of(unsigned char c)
{
    const char *corners = NULL;

    if (c < 128)
        corners = strokes[c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c];
    return corners ? corners : strokes['?'];
}

void letters_draw(const struct canvas *canvas, double x, double y, double unit,
                  double room, const char *text, const unsigned char rgb[3])
{
    const double step = LETTER_UNITS * unit;

    for (double end = x + room; *text && x + 4 * unit <= end; text++) {
        const unsigned char c = (unsigned char)*text;

        if ((c & 0xC0) == 0x80) /* inside a character of UTF-8 */
            continue;
        if (c != ' ')
            letter_draw(canvas, x, y, unit, corners_of(c), rgb);
        x += step;
    }
}
