/* near_lcms COLOURS.csv L,a,b ...: the ids of the 20 colours nearest by
 * CIEDE2000 to each of some, a line each, by Little CMS in a loop. */
#include <stdio.h>
#include <stdlib.h>

#include <lcms2.h>

struct colour {
    cmsCIELab lab;
    long id, place;
    double de;
};

static int by_de(const void *x, const void *y)
{
    const struct colour *a = x, *b = y;

    if (a->de != b->de)
        return a->de < b->de ? -1 : 1;
    return (a->place > b->place) - (a->place < b->place);
}

/* A number that ends at a comma or the end of the line. */
static double number(char **at)
{
    const double v = strtod(*at, at);

    *at += **at == ',';
    return v;
}

static cmsCIELab lab_at(char *at)
{
    cmsCIELab c;

    c.L = number(&at);
    c.a = number(&at);
    c.b = number(&at);
    return c;
}

static long lines_of(FILE *f)
{
    char line[256];
    long n = 0;

    while (fgets(line, sizeof line, f))
        n++;
    rewind(f);
    return n;
}

/* NULL: there are none. */
static struct colour *read_all(const char *path, long *count)
{
    FILE *f = fopen(path, "r");
    struct colour *all = NULL;
    char line[256], *at;

    *count = f ? lines_of(f) - 1 : 0; /* without the head */
    if (*count > 0)
        all = calloc((size_t)*count, sizeof *all);
    for (long i = -1; all && i < *count && fgets(line, sizeof line, f); i++)
        if (i >= 0) {
            all[i].place = i;
            all[i].id = strtol(line, &at, 10);
            all[i].lab = lab_at(at + (*at == ','));
        }
    if (f)
        fclose(f);
    return all;
}

int main(int argc, char **argv)
{
    long count;
    struct colour *all = read_all(argc > 1 ? argv[1] : "", &count);

    for (int i = 2; i < argc && all; i++) {
        const cmsCIELab to = lab_at(argv[i]);
        for (long k = 0; k < count; k++)
            all[k].de = cmsCIE2000DeltaE(&to, &all[k].lab, 1, 1, 1);
        qsort(all, (size_t)count, sizeof *all, by_de);
        for (long k = 0; k < 20 && k < count; k++)
            printf("%s%ld", k ? " " : "", all[k].id);
        putchar('\n');
    }
    if (!all)
        return 1;
    free(all);
    return 0;
}
