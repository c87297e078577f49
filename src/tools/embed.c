/*
 * Turns files into a C source of byte arrays, since C11 promises string
 * literals of 4095 characters only. Run by the build:
 *
 *     embed NAME FILE... >NAME.c
 *
 * gives "const struct embedded embed_NAME[]" and "embed_NAME_count", in the
 * order of the files.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void die(const char *what, const char *path)
{
    fprintf(stderr, "embed: %s %s\n", what, path);
    exit(1);
}

static long bytes_of(const char *path, int index)
{
    FILE *f = fopen(path, "rb");
    long n = 0;
    int c;

    if (!f)
        die("cannot read", path);
    printf("static const unsigned char file_%d[] = {", index);
    while ((c = getc(f)) != EOF)
        printf("%s%d,", n++ % 20 ? "" : "\n", c);
    puts("0};"); /* a NUL, so that text can be used as a string */
    if (ferror(f))
        die("cannot read", path);
    fclose(f);
    return n;
}

int main(int argc, char **argv)
{
    long *size = calloc((size_t)argc, sizeof *size);

    if (argc < 3 || !size)
        die("usage: embed NAME FILE...", "");
    puts("#include \"base/embedded.h\"");
    printf("extern const struct embedded embed_%s[];\n", argv[1]);
    printf("extern const size_t embed_%s_count;\n", argv[1]);
    for (int i = 2; i < argc; i++)
        size[i] = bytes_of(argv[i], i);
    printf("const struct embedded embed_%s[] = {\n", argv[1]);
    for (int i = 2; i < argc; i++) {
        const char *slash = strrchr(argv[i], '/');
        printf("    {\"%s\", file_%d, %ld},\n", slash ? slash + 1 : argv[i], i,
               size[i]);
    }
    printf("};\nconst size_t embed_%s_count = %d;\n", argv[1], argc - 2);
    free(size);
    if (fflush(stdout) || ferror(stdout))
        die("cannot write", "standard output");
    return 0;
}
