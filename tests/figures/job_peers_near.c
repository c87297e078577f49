/*
 * The 20 nearest to each of twenty colours, by what others have for it: each
 * peer reads the colours of all skeins from a list once, and holds them all
 * against each target. Ours is started anew for each, and knows far more of a
 * skein than its colour.
 */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/scan.h"
#include "guild.h"
#include "peer.h"

enum { SKEINS = 100000 };

static const char *guild;
static char list[512], lcms_program[512], target[GUILD_TARGETS][48];
static size_t colours; /* in the list */

/* clang-format off */
#define FOUR(i) target[i], target[i + 1], target[i + 2], target[i + 3]
#define ALL list, FOUR(0), FOUR(4), FOUR(8), FOUR(12), FOUR(16), NULL
static const char *const numpy[] = {
    PEER_PYTHON, "tests/figures/peers/near_numpy.py", ALL};
static const char *const culori[] = {
    PEER_NODE, "tests/figures/peers/near_culori.js", ALL};
static const char *const colormath[] = {
    PEER_PYTHON, "tests/figures/peers/near_colormath.py", ALL};
static const char *const lcms[] = {lcms_program, ALL};
/* clang-format on */

static struct peer peer[] = {
    {"numpy, all at once", "python3-numpy"},
    {"culori, and sorted", PEER_NPM},
    {"colormath, all at once", "python3-colormath"},
    {"Little CMS in a loop in C, and qsort", ""},
};

/* ---- the list ------------------------------------------------------------ */

static size_t read_colours(struct scan_row *out)
{
    struct book *book = guild_open(guild);
    const struct ask_filter any = ask_filter_any();
    struct scan scan;
    struct error err;
    bool there;
    size_t n = 0;

    guild_must(scan_begin(book, &any, SCAN_COLOUR | SCAN_WHO, &scan, &err),
               &err);
    for (;;) {
        guild_must(scan_next(&scan, &out[n], &there, &err), &err);
        if (!there)
            break;
        n += out[n].lack == ASK_HAS_COLOUR;
    }
    scan_end(&scan);
    book_close(book);
    return n;
}

/* In the order in which find puts those that are equally far. */
static void write_list(void)
{
    struct scan_row *row = mem_new(SKEINS + 1, sizeof *row);
    FILE *to = bench_open(list, "w");

    colours = read_colours(row);
    qsort(row, colours, sizeof *row, scan_order);
    fputs("id,L,a,b\n", to);
    for (size_t i = 0; i < colours; i++)
        fprintf(to, "%lld,%.17g,%.17g,%.17g\n", (long long)row[i].id,
                row[i].lab.L, row[i].lab.a, row[i].lab.b);
    if (fclose(to))
        bench_die(list, "cannot be written");
    free(row);
}

/* ---- ours ---------------------------------------------------------------- */

/* Where none is within the tolerance, find also reckons how one would be made,
 * which is another question: so nearly all are. The program's name is in a
 * buffer that the next call uses. */
static void find(const char *to, const char *argv[10])
{
    /* clang-format off */
    const char *const words[10] = {
        bench_program("hanklab"), "find", "--lab", to, "--tolerance", "100",
        "--json", "--book", guild, NULL};
    /* clang-format on */

    memcpy(argv, words, sizeof words);
}

/* A line of ids, as the peers say it. */
static void add_ids(const char *json, char *out, size_t size)
{
    static const char key[] = "\"id\":";
    const char *sep = "";
    size_t used = strlen(out);

    while ((json = strstr(json, key)) != NULL) {
        json += strlen(key);
        used += (size_t)snprintf(out + used, size - used, "%s%ld", sep,
                                 strtol(json, NULL, 10));
        sep = " ";
    }
    snprintf(out + used, size - used, "\n");
}

static void our_ids(char *out, size_t size)
{
    static char json[1 << 16];
    const char *argv[10];

    out[0] = '\0';
    for (size_t i = 0; i < GUILD_TARGETS; i++) {
        find(target[i], argv);
        if (bench_ask(argv, json, sizeof json))
            bench_die("hanklab find", "failed");
        add_ids(json, out, size);
    }
}

static int find_all(void)
{
    const char *argv[10];

    for (size_t i = 0; i < GUILD_TARGETS; i++) {
        find(target[i], argv);
        bench_run(argv);
    }
    return 0;
}

/* ---- theirs -------------------------------------------------------------- */

static void check(struct peer *p, const char *const argv[], const char *ids)
{
    char said[8192];
    const int status = bench_ask(argv, said, sizeof said);

    if (status == BENCH_NOT_THERE)
        peer_not_there(p);
    else if (status != 0)
        bench_die(p->name, "failed");
    else if (strcmp(said, ids) == 0)
        peer_note(p, true, "the same skeins in the same order");
    else
        peer_note(p, false, "gives other skeins, or another order");
}

static void prepare(const char *folder)
{
    char ids[8192];

    guild = guild_book(SKEINS);
    snprintf(list, sizeof list, "%s/colours.csv", folder);
    snprintf(lcms_program, sizeof lcms_program, "%s",
             bench_program("near_lcms"));
    for (size_t i = 0; i < GUILD_TARGETS; i++)
        snprintf(target[i], sizeof target[i], "%g,%g,%g", guild_target[i].L,
                 guild_target[i].a, guild_target[i].b);
    write_list();
    our_ids(ids, sizeof ids);
    for (size_t i = 0; i < ARRAY_LEN(peer); i++)
        check(&peer[i], job_peers_near.step[1 + i].argv, ids);
}

static void tell(void)
{
    printf("\nOf the skeins %zu have a colour.\n", colours);
    peers_tell(peer, ARRAY_LEN(peer));
}

const struct bench_job job_peers_near = {
    .name = "peers",
    .title = "the 20 nearest to each of twenty colours among 100,000 skeins, "
             "whole processes",
    .prepare = prepare,
    .step = {{"hanklab find, started twenty times", find_all},
             {peer[0].row, .argv = numpy},
             {peer[1].row, .argv = culori},
             {peer[2].row, .argv = colormath},
             {peer[3].row, .argv = lcms}},
    .tell = tell,
};
