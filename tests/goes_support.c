/* A book of a weaving group's pots. See the header. */
#include "goes_support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "dye/strength.h"
#include "shelf_support.h"

/* ---- a record at a time -------------------------------------------------- */

#define ADD(book, noun, ...)                                                   \
    add(book, noun, (struct record_value[]){__VA_ARGS__},                      \
        sizeof((struct record_value[]){__VA_ARGS__}) /                         \
            sizeof(struct record_value))

static int64_t add(struct book *book, enum noun_id noun,
                   const struct record_value *v, size_t n)
{
    struct error err;
    int64_t id;

    check_ok(record_add(book, noun, v, n, &id, NULL, &err), &err);
    return id;
}

/* "12" or, of what has no number, "#12"; good until four more were asked for.
 */
static const char *words_of(const char *before, int64_t x)
{
    static char words[4][24];
    static int at;
    char *out = words[at = (at + 1) % 4];

    snprintf(out, sizeof words[0], "%s%lld", before, (long long)x);
    return out;
}

static const char *number(int64_t x)
{
    return words_of("", x);
}

static const char *id_of(int64_t x)
{
    return words_of("#", x);
}

/* 0 to n - 1 in an order of its own for each seed. */
static void shuffle(int *order, int n, uint64_t *seed)
{
    for (int i = 0; i < n; i++) {
        const int k = dice(seed, i + 1);
        order[i] = i;
        order[i] = order[k];
        order[k] = i;
    }
}

/* ---- what was done ------------------------------------------------------- */

enum { POTS = 8, ROUNDS = 4, LANES = 3, MOST = POTS * ROUNDS * LANES };
enum { ALUM, IRON, DIPPED }; /* lanes; the third on alum, then in iron */

/* Three goes of one recipe; four weights of madder; weld in two and tansy. */
static const struct pot {
    const char *dyestuff, *amount, *on;
    int rounds;
    struct lab full;    /* of the first bath on alum */
    double kept, depth; /* from round to round; beside the full colour */
} pots[POTS] = {
    {"madder", "60 %", "2025-04-25", 4, {42, 45, 28}, 0.55, 1},
    {"madder", "60 %", "2025-05-09", 2, {42, 45, 28}, 0.58, 0.96},
    {"madder", "60 %", "2025-06-01", 1, {42, 45, 28}, 0.5, 1.05},
    {"madder", "15 %", "2025-06-02", 1, {42, 45, 28}, 0.5, 0.3},
    {"madder", "30 %", "2025-06-03", 1, {42, 45, 28}, 0.5, 0.55},
    {"weld", "100 %", "2025-06-20", 4, {76, -3, 62}, 0.6, 1},
    {"weld", "50 %", "2025-06-21", 1, {76, -3, 62}, 0.5, 0.6},
    {"tansy", "200 %", "2025-08-01", 3, {72, 1, 50}, 0.7, 1},
};

static const struct lab undyed[LANES] = {
    {84.5, 1.4, 13.4}, {77.7, 1.9, 16.2}, {84.5, 1.4, 13.4}};

/* Iron takes a part of the light, on the wool before the dye as after it. */
static struct lab colour_of(const struct pot *pot, int round, int lane)
{
    const struct colour_reading full = {.lab = pot->full},
                                wool = {.lab = undyed[ALUM]};
    struct channels s = strength_of(full, wool).s;
    struct lab c;

    for (int k = 0; k < 3; k++)
        s.v[k] = fmax(s.v[k], 0) * pot->depth * pow(pot->kept, round);
    c = strength_colour(s, undyed[lane]);
    if (lane == DIPPED)
        c = (struct lab){0.7 * c.L, 0.5 * c.a, 0.6 * c.b};
    return c;
}

static bool is_there(int i)
{
    return i / LANES % ROUNDS < pots[i / LANES / ROUNDS].rounds;
}

/* ---- writing it ---------------------------------------------------------- */

struct done {
    int64_t mordant[2], dip, wash, dye[POTS][ROUNDS];
};

static void write_cupboard(struct book *book, uint64_t *seed)
{
    static const struct {
        const char *name, *kind;
    } materials[] = {{"madder", "dyestuff"},
                     {"weld", "dyestuff"},
                     {"tansy", "dyestuff"},
                     {"alum", "mordant"},
                     {"iron", "mordant"}};
    int order[ARRAY_LEN(materials)];

    shuffle(order, ARRAY_LEN(order), seed);
    ADD(book, NOUN_FIBRE, {"name", "two-ply wool"});
    for (size_t i = 0; i < ARRAY_LEN(order); i++)
        ADD(book, NOUN_MATERIAL, {"name", materials[order[i]].name},
            {"kind", materials[order[i]].kind});
}

static void write_pots(struct book *book, uint64_t *seed, struct done *done)
{
    int order[POTS];

    shuffle(order, POTS, seed);
    done->dip = ADD(book, NOUN_TREATMENT, {"kind", "dip"});
    done->wash = ADD(book, NOUN_TREATMENT, {"kind", "wash"});
    for (int k = 0; k < 2; k++) {
        done->mordant[k] = ADD(book, NOUN_TREATMENT, {"kind", "mordant"});
        ADD(book, NOUN_DOSE, {"material", k == IRON ? "iron" : "alum"},
            {"treatment", id_of(done->mordant[k])},
            {"amount", k == IRON ? "2 %" : "12 %"});
    }
    ADD(book, NOUN_DOSE, {"material", "iron"}, {"role", "modifier"},
        {"treatment", id_of(done->dip)}, {"amount", "2 %"});
    for (int i = 0; i < POTS; i++) {
        const struct pot *pot = &pots[order[i]];
        char bath[24];
        snprintf(bath, sizeof bath, "%d", order[i] + 1);
        ADD(book, NOUN_BATH, {"number", bath}, {"kind", "dye"});
        ADD(book, NOUN_DOSE, {"material", pot->dyestuff}, {"bath", bath},
            {"amount", pot->amount});
        for (int r = 0; r < pot->rounds; r++)
            done->dye[order[i]][r] = ADD(
                book, NOUN_TREATMENT, {"kind", "dye"}, {"bath", bath},
                {"round", number(r)}, {"on", pot->on}, {"temperature", "80"});
    }
}

static void enter(struct book *book, int64_t skein, int64_t treatment,
                  int place)
{
    ADD(book, NOUN_ENTRY, {"skein", number(skein)},
        {"treatment", id_of(treatment)}, {"place", number(place)});
}

static void write_skein(struct book *book, const struct done *done, int skein,
                        int lane, const char *weight, int64_t dye)
{
    ADD(book, NOUN_SKEIN, {"number", number(skein)}, {"fibre", "two-ply wool"},
        {"weight", weight},
        {"colour", skein % 9 == 1 ? "olive for the border" : NULL});
    enter(book, skein, done->mordant[lane == IRON], 1);
    if (dye)
        enter(book, skein, dye, 2);
    if (dye && lane == DIPPED)
        enter(book, skein, done->dip, 3);
}

static void read_lab(struct book *book, int skein, struct lab c)
{
    char lab[64];

    snprintf(lab, sizeof lab, "%.3f,%.3f,%.3f", c.L, c.a, c.b);
    ADD(book, NOUN_READING, {"skein", number(skein)}, {"lab", lab},
        {"u", "0.5,0.5,0.5"}, {"illuminant", "D50"}, {"observer", "2"},
        {"geometry", "45/0"}, {"on", "2025-09-17"});
}

/* A skein's own colour stays the one that was read in September. */
static void read_amiss(struct book *book, int skein, const char *decoy, int how)
{
    struct record_value v[] = {
        {"skein", number(skein)},
        {"lab", decoy},
        {"illuminant", how == 2 ? "D65" : "D50"},
        {"observer", how == 2 ? "10" : "2"},
        {"geometry", "45/0"},
        {"wet", how == 0 ? "yes" : "no"},
        {"source", how == 1 ? "eye" : "instrument"},
        {"part", how == 3 ? "exposed" : "whole"},
        {"on", "2025-10-01"},
    };
    const int64_t id = add(book, NOUN_READING, v, ARRAY_LEN(v));
    struct error err;

    if (how == 5)
        check_ok(record_withdraw(book, NOUN_READING, id, true, &err), &err);
}

static void write_decoys(struct book *book, const struct done *done,
                         const char *decoy)
{
    for (int how = 0; how < GOES_DECOYS; how++) {
        const int skein = GOES_FIRST_DECOY + how;
        int64_t id;
        struct error err;
        write_skein(book, done, skein, ALUM, "0.1 g", done->dye[0][1]);
        read_amiss(book, skein, decoy, how);
        if (how == 4)
            enter(book, skein, done->wash, 3);
        check_ok(record_find(book, NOUN_SKEIN, number(skein), &id, &err), &err);
        if (how == 6)
            check_ok(record_withdraw(book, NOUN_SKEIN, id, true, &err), &err);
    }
    for (int how = 0; how < 4; how++) /* beside the readings that count */
        read_amiss(book, 1 + LANES * how, decoy, how);
}

void goes_write(struct book *book, uint64_t seed, const char *decoy)
{
    struct done done;
    struct error err;
    int order[MOST];

    check_ok(book_act_begin(book, "goes", &err), &err);
    write_cupboard(book, &seed);
    write_pots(book, &seed, &done);
    shuffle(order, MOST, &seed);
    for (int i = 0; i < MOST; i++)
        if (is_there(order[i]))
            write_skein(
                book, &done, order[i] + 1, order[i] % LANES, "20 g",
                done.dye[order[i] / LANES / ROUNDS][order[i] / LANES % ROUNDS]);
    for (int lane = ALUM; lane <= IRON; lane++) {
        write_skein(book, &done, 201 + lane, lane, "20 g", 0);
        read_lab(book, 201 + lane, undyed[lane]);
    }
    shuffle(order, MOST, &seed);
    for (int i = 0; i < MOST; i++)
        if (is_there(order[i]))
            read_lab(book, order[i] + 1,
                     colour_of(&pots[order[i] / LANES / ROUNDS],
                               order[i] / LANES % ROUNDS, order[i] % LANES));
    write_decoys(book, &done, decoy);
    check_ok(book_act_end(book, &err), &err);
}

void goes_add_unrelated(struct book *book)
{
    struct error err;
    int64_t dye, skein;

    check_ok(book_act_begin(book, "unrelated", &err), &err);
    ADD(book, NOUN_DYER, {"name", "Aino"});
    ADD(book, NOUN_MATERIAL, {"name", "lingonberry leaf"},
        {"kind", "dyestuff"});
    ADD(book, NOUN_MATERIAL, {"name", "tin"}, {"kind", "mordant"});
    ADD(book, NOUN_SUPPLY, {"material", "lingonberry leaf"},
        {"name", "from the bog"}, {"amount", "500 g"});
    ADD(book, NOUN_BATH, {"number", "77"}, {"kind", "dye"},
        {"name", "nothing was in it"});
    ADD(book, NOUN_BATH, {"number", "1"}, {"kind", "dye"}, {"dyer", "Aino"});
    ADD(book, NOUN_DOSE, {"material", "lingonberry leaf"}, {"bath", "Aino/1"},
        {"amount", "100 %"});
    dye = ADD(book, NOUN_TREATMENT, {"kind", "dye"}, {"bath", "Aino/1"},
              {"round", "0"}, {"dyer", "Aino"});
    for (int i = 1; i <= 12; i++) {
        char name[24];
        snprintf(name, sizeof name, "Aino/%d", i);
        ADD(book, NOUN_SKEIN, {"number", number(i)}, {"dyer", "Aino"},
            {"colour", "olive"});
        ADD(book, NOUN_ENTRY, {"skein", name}, {"treatment", id_of(dye)});
        ADD(book, NOUN_READING, {"skein", name}, {"lab", "45,-2,30"},
            {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"},
            {"dyer", "Aino"});
    }
    skein = ADD(book, NOUN_SKEIN, {"number", "999"});
    read_lab(book, 999, (struct lab){10, 60, -60});
    check_ok(record_withdraw(book, NOUN_SKEIN, skein, true, &err), &err);
    check_ok(book_act_end(book, &err), &err);
}
