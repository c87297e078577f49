/*
 * regions FILE: reads boxes from standard input and prints what measuring
 * makes of them, for tests/oracle.py.
 *
 * The first line is the card, "x,y,w,h,L,a,b", each further one a region,
 * "x,y,w,h". Printed is a line for each region: L, a, b as the file stands,
 * then with the card, "-" for what there is not; then a line for the picture,
 * "ok" or why it was refused.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "measure/measure.h"

static void print_lab(struct lab lab)
{
    if (isfinite(lab.L))
        printf("%.6f %.6f %.6f", lab.L, lab.a, lab.b);
    else
        printf("- - -");
}

/* The next line as n numbers. */
static bool next(double *out, size_t n)
{
    char line[256];

    if (!fgets(line, sizeof line, stdin))
        return false;
    line[strcspn(line, "\n")] = '\0';
    return text_reals(line, out, n);
}

static struct box box_of(const double v[4])
{
    return (struct box){(int64_t)v[0], (int64_t)v[1], (int64_t)v[2],
                        (int64_t)v[3]};
}

static size_t read_boxes(struct measure_card *card, struct box *card_box,
                         struct box *box)
{
    double v[7];
    size_t n = 0;

    if (!next(v, 7))
        return 0;
    *card_box = box_of(v);
    card->lab = (struct lab){v[4], v[5], v[6]};
    while (n < MEASURE_MAX_REGIONS && next(v, 4))
        box[n++] = box_of(v);
    return n;
}

int main(int argc, char **argv)
{
    struct box box[MEASURE_MAX_REGIONS];
    struct measure_request request = {
        .card = {.uL = 0.5, .ua = 0.3, .ub = 0.3, .known = true},
        .region = box};
    struct measure_result *out = mem_new(1, sizeof *out);
    struct error err = {0};
    unsigned char *data = NULL;
    size_t size = 0;
    bool ok;

    if (argc != 2)
        return 2;
    request.regions = read_boxes(&request.card, &request.card_box, box);
    ok = file_load(argv[1], PHOTO_MAX_BYTES, &data, &size, &err) &&
         measure_jpeg(data, size, &request, out, &err);
    for (size_t i = 0; i < out->regions; i++) {
        print_lab(out->region[i].uncorrected);
        putchar(' ');
        print_lab(out->region[i].lab);
        putchar('\n');
    }
    puts(ok ? "ok" : err.text);
    free(data);
    free(out);
    return 0;
}
