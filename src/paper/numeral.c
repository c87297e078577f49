/* Numbers in strokes and in knots. See numeral.h. */
#include "numeral.h"

#include <inttypes.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/html.h"

/* ---- strokes ---------------------------------------------------------------
 * A digit's middle line runs from 1 to 9 across and from 1 to 15 down. The 1
 * has a foot, the 3 a flat top, the 4 is open, the 7 barred. */
static const char *const digits[] = {
    "M5 1C8 1 9 4.5 9 8s-1 7-4 7-4-3.5-4-7 1-7 4-7z",
    "M2.2 3.6 5.4 1V15M2 15h6.8",
    "M1.2 4.6C1.4 2.2 3 1 5 1c2.3 0 3.9 1.4 3.9 3.6C8.9 7.8 5.5 10 1.2 15H9.2",
    "M1.3 1H8.7L4.6 6.7C7.3 6.5 9 8.3 9 10.7 9 13.3 7.2 15 4.9 15 3 15 1.7 "
    "14.2 1 12.8",
    "M4.4 1 1 10.8H9.4M7 6.8V15",
    "M8.5 1H2.3L1.7 7.1C2.6 6.3 3.7 5.9 4.9 5.9c2.4 0 4.1 1.8 4.1 4.5C9 13.2 "
    "7.2 15 4.8 15 3 15 1.7 14.2 1 12.8",
    "M7.2 1C4.2 3.8 1 7.3 1 10.6 1 13.3 2.7 15 5 15s4-1.8 4-4.3S7.3 6.6 5 "
    "6.6C3.3 6.6 1.8 7.6 1.2 9.2",
    "M1 1H9L4.2 15M2.6 8h5.6",
    "M5 7.5C3.1 7.5 1.7 6.2 1.7 4.3S3.1 1 5 1s3.3 1.4 3.3 3.3S6.9 7.5 5 "
    "7.5C2.7 7.5 1 9 1 11.2S2.7 15 5 15s4-1.6 4-3.8S7.3 7.5 5 7.5z",
    "M2.8 15C5.8 12.2 9 8.7 9 5.4 9 2.7 7.3 1 5 1S1 2.8 1 5.3s1.7 4.1 4 "
    "4.1c1.7 0 3.2-1 3.8-2.6",
};
#define STROKE 2.1
#define TALL (14 + STROKE)
#define WIDE 10.4
#define BAR_AT 18.7
#define BAR 1.0
#define DEEP (BAR_AT + BAR / 2 + 0.1)

/* From digit to digit: narrower where a tag has little room left. */
static double pace(size_t digit_count)
{
    return digit_count > 4 ? 11.3 : digit_count > 3 ? 12 : 13;
}

void numeral_add(struct text *out, int64_t number, double digit_mm)
{
    char words[24];
    size_t n = (size_t)snprintf(words, sizeof words, "%" PRId64, number);
    double step = pace(n), width = step * (double)(n - 1) + WIDE;

    html_addf(out,
              "<svg class=\"numeral\" role=\"img\" aria-label=\"%s\" "
              "width=\"%.2fmm\" height=\"%.2fmm\" viewBox=\"-0.2 -0.1 %.2f "
              "%.2f\" fill=\"none\" stroke=\"#000\" stroke-width=\"%.1f\" "
              "stroke-linecap=\"round\" stroke-linejoin=\"round\">",
              words, width * digit_mm / TALL, DEEP * digit_mm / TALL, width,
              DEEP, STROKE);
    for (size_t i = 0; i < n; i++)
        html_addf(out, "<path transform=\"translate(%.1f 0)\" d=\"%s\"/>",
                  step * (double)i, digits[words[i] - '0']);
    html_addf(out,
              "<path stroke-width=\"%.1f\" stroke-linecap=\"butt\" d=\"M0 "
              "%.1fH%.2f\"/></svg>",
              BAR, BAR_AT, width - 0.4);
}

/* ---- knots -----------------------------------------------------------------
 * In millimetres, on a thread that runs along the middle of a row 4 high. */
#define ROW 4.0
#define SKEIN_END 5.5 /* of the loop round the skein, and some thread */
#define KNOT_GAP 0.7
#define DIGIT_GAP 3.6
#define ROW_LONGEST 53.0

/* One sign with its left edge at x; where it ends. */
static double add_sign(struct text *out, char sign, double x)
{
    switch (sign) {
    case 't':
        html_addf(out,
                  "<rect x=\"%.2f\" y=\".7\" width=\"3\" height=\"2.6\" "
                  "rx=\"1.3\"/>",
                  x);
        return x + 3;
    case 'l':
        html_addf(out,
                  "<circle cx=\"%.2f\" cy=\"2\" r=\"1.2\" fill=\"#fff\" "
                  "stroke=\"#000\" stroke-width=\".5\"/>",
                  x + 1.4);
        return x + 2.8;
    default:
        html_addf(out, "<circle cx=\"%.2f\" cy=\"2\" r=\".75\"/>", x + 0.75);
        return x + 1.5;
    }
}

static double add_digit(struct text *out, int digit, double x)
{
    bool behind = digit >= 5;

    if (digit == 0)
        return add_sign(out, 'l', x);
    if (behind)
        x = add_sign(out, 't', x);
    for (int i = 0; i < digit % 5; i++) {
        x = add_sign(out, 'k', x + (behind ? KNOT_GAP : 0));
        behind = true;
    }
    return x;
}

/* A thread of that length, drawn smaller by so much, and what is on it. */
static void add_row(struct text *out, const char *about, double length,
                    double scale, const char *thread, const struct text *signs)
{
    text_addf(out, "<svg class=\"knots\" %s", about);
    html_addf(out,
              " width=\"%.2fmm\" height=\"%.2fmm\" viewBox=\"0 0 %.2f %.2f\">"
              "<path fill=\"none\" stroke=\"#000\" stroke-width=\".4\" "
              "d=\"%sH%.2f\"/>",
              length * scale, ROW * scale, length, ROW, thread, length);
    text_add_n(out, signs->s, signs->len);
    text_add(out, "</svg>");
}

void knots_add(struct text *out, int64_t number)
{
    char words[24];
    struct text about = {0}, signs = {0};
    double x = SKEIN_END;

    snprintf(words, sizeof words, "%" PRId64, number);
    text_add(&about, "role=\"img\" aria-label=\"knots");
    for (const char *c = words; *c; c++) {
        text_addf(&about, " %c", *c);
        x = add_digit(&signs, *c - '0', x) + DIGIT_GAP;
    }
    text_add(&about, "\"");
    add_row(out, text_str(&about), x, fmin(1, ROW_LONGEST / x),
            "M0 1C2 0 3 1.4 3.6 2 3 2.6 2 4 0 3M3.6 2", &signs);
    text_clear(&about);
    text_clear(&signs);
}

void knots_add_sign(struct text *out, char sign)
{
    struct text signs = {0};
    double end = add_sign(&signs, sign, 1.2) + 1.2;

    add_row(out, "aria-hidden=\"true\"", end, 0.7, "M0 2", &signs);
    text_clear(&signs);
}
