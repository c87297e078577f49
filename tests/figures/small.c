/* small FROM LONGEST TO: the small copy of a photo that the page shows, made by
 * a program that does nothing else, for "make bench". */
#include <stdio.h>
#include <stdlib.h>

#include "photo/preview.h"

int main(int argc, char **argv)
{
    unsigned char *data = NULL, *jpeg = NULL;
    struct error err;
    size_t size, n;
    FILE *to;

    if (argc != 4)
        return 2;
    if (!file_load(argv[1], PHOTO_MAX_BYTES, &data, &size, &err) ||
        !photo_preview(data, size, (uint32_t)strtoul(argv[2], NULL, 10), &jpeg,
                       &n, &err)) {
        fprintf(stderr, "small: %s\n", err.text);
        return 1;
    }
    to = fopen(argv[3], "wb");
    if (!to || fwrite(jpeg, 1, n, to) != n || fclose(to)) {
        perror(argv[3]);
        return 1;
    }
    free(data);
    free(jpeg);
    return 0;
}
