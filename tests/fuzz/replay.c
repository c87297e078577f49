/*
 * Gives every saved input to a fuzz target, so that "make test" replays what
 * "make fuzz" once found: fuzz_NAME FOLDER. Prints a TAP line for each.
 */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

/* The name and the meaning are libFuzzer's; always 0. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int visible(const struct dirent *entry)
{
    return entry->d_name[0] != '.';
}

/* The whole file in a block of exactly its size, so that a sanitizer sees a
 * read past its end; NULL if it cannot be read. */
static uint8_t *load(const char *path, size_t *size)
{
    FILE *f = fopen(path, "rb");
    uint8_t *data = NULL;
    long n = -1;

    if (!f)
        return NULL;
    if (fseek(f, 0, SEEK_END) == 0 && (n = ftell(f)) >= 0 &&
        fseek(f, 0, SEEK_SET) == 0) {
        *size = (size_t)n;
        data = mem_new(*size, 1);
        if (fread(data, 1, *size, f) != *size) {
            free(data);
            data = NULL;
        }
    }
    fclose(f);
    return data;
}

int main(int argc, char **argv)
{
    struct dirent **entry = NULL;
    int n = argc == 2 ? scandir(argv[1], &entry, visible, alphasort) : -1;
    int status = 0;

    if (n < 0) {
        fputs("usage: fuzz_NAME FOLDER\n", stderr);
        return 2;
    }
    setvbuf(stdout, NULL, _IOLBF, BUFSIZ); /* the last line names a crash */
    for (int i = 0; i < n; i++) {
        char path[4096];
        size_t size = 0;
        uint8_t *data;

        snprintf(path, sizeof path, "%s/%s", argv[1], entry[i]->d_name);
        printf("# %s\n", path);
        data = load(path, &size);
        if (!data)
            status = 1;
        else
            LLVMFuzzerTestOneInput(data, size);
        printf("%s %d - %s\n", data ? "ok" : "not ok", i + 1, path);
        free(data);
        free(entry[i]);
    }
    free(entry);
    return status;
}
