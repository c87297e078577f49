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

/* As many as there are. */
static struct colour *read_all(const char *path, long *count)
{
    FILE *f = fopen(path, "r");
    struct colour *all = NULL, c;
    char line[256];

    *count = 0;
    while (f && fgets(line, sizeof line, f)) {
        if (sscanf(line, "%ld,%lf,%lf,%lf", &c.id, &c.lab.L, &c.lab.a,
                   &c.lab.b) != 4)
            continue;                     /* the head */
        if ((*count & (*count - 1)) == 0) /* twice the room */
            all = realloc(all, (size_t)(*count ? 2 * *count : 1) * sizeof *all);
        if (!all)
            abort();
        all[(*count)++] = c;
    }
    if (f)
        fclose(f);
    return all;
}

int main(int argc, char **argv)
{
    cmsCIELab to;
    long count;
    struct colour *all = read_all(argc > 1 ? argv[1] : "", &count);

    for (int i = 2; i < argc && count >= 20; i++) {
        if (sscanf(argv[i], "%lf,%lf,%lf", &to.L, &to.a, &to.b) != 3)
            return 2;
        for (long k = 0; k < count; k++) {
            all[k].place = i == 2 ? k : all[k].place;
            all[k].de = cmsCIE2000DeltaE(&to, &all[k].lab, 1, 1, 1);
        }
        qsort(all, (size_t)count, sizeof *all, by_de);
        for (int k = 0; k < 20; k++)
            printf("%ld%c", all[k].id, k < 19 ? ' ' : '\n');
    }
    free(all);
    return 0;
}
