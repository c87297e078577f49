/*
 * How many instructions the main jobs take, counted by valgrind's callgrind, on
 * which another's load makes no difference; beside the counts of the last time,
 * which docs/instructions.csv keeps.
 */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/mem.h"
#include "book/book.h"
#include "large_support.h"
#include "photo.h"

enum { SKEINS = 10000, ARGS = 16 };

#define KEPT "docs/instructions.csv"

static struct photo_drawn photo;
static char folder[400], book[512];

static void prepare(const char *where)
{
    struct book *opened = NULL;
    struct error err;

    photo_draw(&photo, 12);
    snprintf(folder, sizeof folder, "%s", where);
    snprintf(book, sizeof book, "%s/book", where);
    if (!book_create(book, "me", &err) || !book_open(book, &opened, &err) ||
        !large_fill(opened, SKEINS, &err))
        bench_die("instructions", err.text);
    book_close(opened);
}

/* hanklab's words, NULL at the end; in this order, for some change the book. */
static const struct counted {
    const char *name;
    const char *argv[ARGS];
} jobs[] = {
    {"start", {"--version"}},
    {"measure, boxes",
     {"measure", photo.path, "--card-box", photo.card_box, "--card-lab",
      photo.card_lab, "--region", photo.box[0], "--region", photo.box[1],
      "--region", photo.box[2]}},
    {"measure, taps",
     {"measure", photo.path, "--card-tap", photo.card_tap, "--card-lab",
      photo.card_lab, "--tap", photo.tap[0], "--tap", photo.tap[1], "--tap",
      photo.tap[2]}},
    {"measure --auto", {"measure", photo.path, "--auto"}},
    {"find a name", {"find", "olive", "--book", book}},
    {"find a colour", {"find", "--lab", "45,30,20", "--book", book}},
    {"grid", {"grid", "--book", book}},
    {"show a skein", {"show", "500", "--book", book}},
    {"log a pot of six",
     {"log", "Madder", "--dyestuff", "madder: 60 %", "--skeins", "6", "--book",
      book}},
};

/* "summary: 12345", which callgrind writes last; -1 when there is none, -2 when
 * valgrind is not installed. */
static long long count(const struct counted *job)
{
    const char *argv[ARGS + 8] = {"valgrind", "-q", "--tool=callgrind"};
    char out[450], to[500], program[512], said[65536], line[256];
    long long n = -1;
    size_t words = 3;
    FILE *f;
    int status;

    snprintf(out, sizeof out, "%s/callgrind", folder);
    snprintf(to, sizeof to, "--callgrind-out-file=%s", out);
    snprintf(program, sizeof program, "%s", bench_program("hanklab"));
    argv[words++] = "--log-file=/dev/null";
    argv[words++] = to;
    argv[words++] = program;
    for (size_t i = 0; i < ARGS && job->argv[i]; i++)
        argv[words++] = job->argv[i];
    status = bench_ask(argv, said, sizeof said);
    if (status == BENCH_NOT_THERE)
        return -2;
    f = status ? NULL : fopen(out, "r");
    while (f && fgets(line, sizeof line, f)) {
        const char *colon = strchr(line, ':');

        if (colon &&
            (!strncmp(line, "summary", 7) || !strncmp(line, "totals", 6)))
            n = strtoll(colon + 1, NULL, 10);
    }
    if (f)
        fclose(f);
    unlink(out);
    return n;
}

/* What was counted of a job when it was kept; 0: it was not. */
static long long kept(const char *name)
{
    FILE *f = fopen(KEPT, "r");
    char line[256];
    long long n = 0;

    while (f && fgets(line, sizeof line, f)) {
        char *semicolon = strrchr(line, ';');

        if (semicolon && strlen(name) == (size_t)(semicolon - line) &&
            !strncmp(line, name, strlen(name)))
            n = strtoll(semicolon + 1, NULL, 10);
    }
    if (f)
        fclose(f);
    return n;
}

/* BENCH_KEEP=1 keeps what was counted, for the next time. */
static void tell(void)
{
    const bool keeps = getenv("BENCH_KEEP") != NULL;
    long long n[ARRAY_LEN(jobs)];
    FILE *f;

    puts("\nInstructions, in millions, counted by callgrind; in a book of "
         "10,000 skeins, with a photo of 12 million pixels.\n\n"
         "| | kept | now | of the kept |\n|---|---|---|---|");
    for (size_t i = 0; i < ARRAY_LEN(jobs); i++) {
        const long long before = kept(jobs[i].name);

        n[i] = count(&jobs[i]);
        if (n[i] == -2) {
            puts("| valgrind is not installed | | | |");
            return;
        }
        if (n[i] < 0)
            bench_die(jobs[i].name, "failed under valgrind");
        printf("| %s | %.1f | %.1f |", jobs[i].name, (double)before / 1e6,
               (double)n[i] / 1e6);
        if (before)
            printf(" %.3f |\n", (double)n[i] / (double)before);
        else
            puts(" |");
    }
    if (!keeps)
        return;
    f = bench_open(KEPT, "w");
    fputs("job;instructions\n", f);
    for (size_t i = 0; i < ARRAY_LEN(jobs); i++)
        fprintf(f, "%s;%lld\n", jobs[i].name, n[i]);
    if (fclose(f))
        bench_die(KEPT, "cannot be written");
}

const struct bench_job job_instructions = {
    .name = "instructions",
    .title = "instructions",
    .prepare = prepare,
    .tell = tell,
};
