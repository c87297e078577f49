/*
 * guild FOLDER SKEINS: makes the book of a guild that has dyed so many skeins,
 * for measuring how fast a large book is. The same book each time, down to the
 * uids: what differs by chance comes from one seed.
 *
 * Told in the order it happened: pot by pot, each round of it an act, its
 * skeins mordanted, dyed, some dipped, washed, cut or over-dyed later, most of
 * them read from a photo of the round. Colours and shares are invented, after
 * the pots of fixtures/; the photos are records only, there are no files.
 */
#include "guild/guild.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/mem.h"
#include "base/text.h"
#include "book/field.h"
#include "colour/lab.h"

enum { SKEINS_A_DYER = 2500, MOST_ROUNDS = 5, MOST_IN_POT = 8 };
enum { DAYS = 7300 }; /* twenty years from FIRST_DAY */
static const struct day first_day = {2006, 1, 1};

/* ---- what a guild has ---------------------------------------------------- */

/* On wool with alum, in a first bath; our own guess of such a pot. */
static const struct dyestuff {
    const char *name, *latin;
    struct lab lab;
} dyestuffs[] = {
    {"madder", "Rubia tinctorum", {42, 44, 28}},
    {"weld", "Reseda luteola", {78, -4, 62}},
    {"walnut hulls", "Juglans regia", {33, 12, 18}},
    {"tansy", "Tanacetum vulgare", {70, -2, 44}},
    {"birch leaves", "Betula pendula", {74, -3, 40}},
    {"onion skins", "Allium cepa", {56, 22, 48}},
    {"heather", "Calluna vulgaris", {68, 2, 38}},
    {"velvet-foot pax", "Tapinella atrotomentosa", {40, -3, 4}},
    {"lady's bedstraw", "Galium verum", {50, 38, 24}},
    {"alder bark", "Alnus glutinosa", {52, 12, 24}},
    {"dock root", "Rumex obtusifolius", {60, 10, 36}},
    {"goldenrod", "Solidago virgaurea", {72, 0, 50}},
    {"willow leaves", "Salix caprea", {71, -2, 36}},
    {"buckthorn berries", "Rhamnus cathartica", {60, -6, 46}},
    {"dyer's greenweed", "Genista tinctoria", {77, -5, 54}},
    {"crottle", "Parmelia saxatilis", {44, 22, 34}},
    {"blood-red webcap", "Cortinarius sanguineus", {38, 42, 16}},
    {"elderberries", "Sambucus nigra", {48, 8, 2}},
};

/* What another mordant than alum, or a dip, makes of that: a share of each
 * coordinate. */
static const struct change {
    const char *kind, *name;
    struct lab share;
} changes[] = {
    {"mordant", "alum", {1, 1, 1}},
    {"mordant", "iron", {0.68, 0.35, 0.45}},
    {"mordant", "copper", {0.84, 0.55, 0.9}},
    {"mordant", "rhubarb leaf", {0.97, 1.05, 1.1}},
    {"mordant", "oak gall", {0.88, 0.9, 0.8}},
    {"modifier", "iron dip", {0.72, 0.4, 0.5}},
    {"modifier", "copper dip", {0.88, 0.6, 0.95}},
    {"modifier", "vinegar", {1.02, 1.1, 1.05}},
    {"modifier", "wood ash lye", {0.94, 1.15, 0.9}},
};
enum { MORDANTS = 5, MODIFIERS = 4 };
static const struct lab wool = {85, 1, 12};

static const char *const fibres[] = {"two-ply wool", "lambswool", "sock yarn",
                                     "silk", "single for weft"};
static const char *const waters[] = {"rain", "well", "tap"};
static const char *const colours[] = {
    "fox",   "moss",     "old gold", "rust",       "olive for the border",
    "straw", "mushroom", "brick",    "wet slate",  "apricot",
    "smoke", "honey",    "reddish",  "pale green", "peat"};
static const char *const vocabulary[] = {
    "slow",    "heat",     "steeped", "overnight", "rinsed",    "twice",
    "cold",    "the",      "yarn",    "came",      "out",       "darker",
    "than",    "expected", "level",   "streaky",   "north",     "side",
    "of",      "lake",     "after",   "frost",     "before",    "flowering",
    "dried",   "fresh",    "chopped", "strained",  "cloth",     "copper",
    "kettle",  "enamel",   "pot",     "simmered",  "covered",   "moved",
    "now",     "and",      "then",    "left",      "to",        "cool",
    "hung",    "in",       "shade",   "smells",    "faintly",   "for",
    "blanket", "border",   "warp",    "weft",      "third",     "trial",
    "again",   "with",     "softer",  "water",     "neighbour", "gift",
    "autumn",  "spring",   "lichen",  "apron"};

static int64_t named(enum kind kind, const char *name)
{
    struct sheaf *q = begin(kind);

    sheaf_text(q, "name", name);
    return end(q);
}

/* A few words in a note, most often none. */
static void put_note(struct sheaf *q, int percent)
{
    struct text t = {0};

    if (!chance(percent))
        return;
    for (int64_t n = 4 + dice(9); n > 0; n--)
        text_addf(&t, "%s%s", t.len ? " " : "",
                  vocabulary[usual(ARRAY_LEN(vocabulary))]);
    sheaf_text(q, "note", text_str(&t));
    text_clear(&t);
}

/* ---- the cupboard -------------------------------------------------------- */

static int64_t dyestuff_id[ARRAY_LEN(dyestuffs)], change_id[ARRAY_LEN(changes)];
static int64_t first_supply; /* then one for each dyestuff each year */

static int64_t material(const char *kind, const char *name, const char *latin)
{
    struct sheaf *q = begin(MATERIAL);

    sheaf_text(q, "kind", kind);
    sheaf_text(q, "name", name);
    sheaf_text(q, "latin", latin);
    return end(q);
}

static int64_t supply(size_t dyestuff, int year)
{
    struct sheaf *q = begin(SUPPLY);
    char name[64], digits[8];

    snprintf(digits, sizeof digits, "%d", year);
    snprintf(name, sizeof name, "%s %d", dyestuffs[dyestuff].name, year);
    sheaf_int(q, "material", dyestuff_id[dyestuff]);
    sheaf_text(q, "name", name);
    sheaf_text(q, "year", digits);
    return end(q);
}

static void fill_cupboard(int64_t dyers)
{
    act("init", 0);
    for (int64_t i = 2; i <= dyers; i++) {
        char name[32];
        snprintf(name, sizeof name, "Weaver %lld", (long long)i);
        named(DYER, name);
    }
    for (size_t i = 0; i < ARRAY_LEN(dyestuffs); i++)
        dyestuff_id[i] =
            material("dyestuff", dyestuffs[i].name, dyestuffs[i].latin);
    for (size_t i = 0; i < ARRAY_LEN(changes); i++)
        change_id[i] = material(changes[i].kind, changes[i].name, NULL);
    for (int year = 0; year <= DAYS / 365; year++)
        for (size_t i = 0; i < ARRAY_LEN(dyestuffs); i++) {
            const int64_t id = supply(i, first_day.year + year);
            first_supply = first_supply ? first_supply : id;
        }
    for (size_t i = 0; i < ARRAY_LEN(fibres); i++)
        named(FIBRE, fibres[i]);
    for (size_t i = 0; i < ARRAY_LEN(waters); i++)
        named(WATER, waters[i]);
    end(begin(CARD));
}

/* ---- skeins -------------------------------------------------------------- */

/* Of those that may be dyed again: what came last in their lives. */
struct lately {
    int64_t skein, place;
    struct lab lab;
};

static struct {
    int64_t skeins, wanted, skein_number[1024], bath_number[1024];
    struct lately lately[64];
} guild;

/* One round of a pot. */
struct round {
    int64_t dyer, bath;
    int number; /* 0: the first bath */
    char day[11];
    size_t dyestuff, mordant, skeins;
    struct in_pot {
        int64_t skein, entry, place;
        struct lab lab;
        bool cut; /* off the one before */
    } in[MOST_IN_POT];
};

static int64_t skein(int64_t dyer)
{
    struct sheaf *q = begin(SKEIN);
    const int64_t number = ++guild.skein_number[dyer];
    char words[32];

    sheaf_int(q, "dyer", dyer);
    sheaf_int(q, "number", number);
    sheaf_int(q, "fibre", 1 + usual(ARRAY_LEN(fibres)));
    sheaf_int(q, "grams", 10 + dice(90));
    if (chance(5)) {
        snprintf(words, sizeof words, "border %lld", (long long)number);
        sheaf_text(q, "name", words);
    }
    if (chance(30)) {
        char *key;
        snprintf(words, sizeof words, "%c%lld", (int)('A' + dice(20)),
                 (long long)number);
        key = code_key(words);
        sheaf_text(q, "code", words);
        sheaf_text(q, "code_key", key);
        free(key);
    }
    if (chance(25))
        sheaf_text(q, "colour", colours[usual(ARRAY_LEN(colours))]);
    if (chance(3))
        sheaf_int(q, "finished", 0);
    put_note(q, 15);
    guild.skeins++;
    return end(q);
}

static struct lab changed(struct lab c, size_t change)
{
    const struct lab s = changes[change].share;

    return (struct lab){c.L * s.L, c.a * s.a, c.b * s.b};
}

/* What the pot gives to what was there before. */
static struct lab dyed(struct lab ground, const struct round *r)
{
    const struct lab full = changed(dyestuffs[r->dyestuff].lab, r->mordant);
    const double take = pow(0.62, r->number) * between(0.6, 1.05);

    return (struct lab){
        ground.L + (fmin(full.L, ground.L + 4) - ground.L) * take + normal(1.5),
        ground.a + (full.a - ground.a) * take + normal(1.2),
        ground.b + (full.b - ground.b) * take + normal(1.8)};
}

/* ---- what is done to them ------------------------------------------------ */

static int64_t treatment(const struct round *r, const char *kind)
{
    struct sheaf *q = begin(TREATMENT);
    const bool dye = !strcmp(kind, "dye");

    sheaf_int(q, "dyer", r->dyer);
    sheaf_text(q, "kind", kind);
    if (dye) {
        sheaf_int(q, "bath", r->bath);
        sheaf_int(q, "round", r->number);
    }
    sheaf_text(q, "day", r->day);
    sheaf_int(q, "c", 60 + dice(35));
    put_note(q, dye ? 20 : 3);
    return end(q);
}

static void dose(const char *in, int64_t of, int64_t material_id,
                 int64_t supply_id, const char *role, int64_t pct)
{
    struct sheaf *q = begin(DOSE);

    sheaf_int(q, in, of);
    sheaf_int(q, "material", material_id);
    sheaf_id(q, "supply", supply_id);
    sheaf_text(q, "role", role);
    sheaf_int(q, "pct", pct);
    end(q);
}

static void enter(struct in_pot *in, int64_t into)
{
    struct sheaf *q = begin(ENTRY);

    sheaf_int(q, "treatment", into);
    sheaf_int(q, "skein", in->skein);
    sheaf_int(q, "place", ++in->place);
    in->entry = end(q);
}

static void cut_off(const struct in_pot *piece, const struct in_pot *parent)
{
    struct sheaf *q = begin(ORIGIN);

    sheaf_int(q, "child", piece->skein);
    sheaf_int(q, "parent", parent->skein);
    sheaf_int(q, "entry", parent->entry);
    end(q);
}

/* New skeins, or now and then an old one for another coat. */
static void choose(struct round *r)
{
    const size_t n = 3 + (size_t)dice(MOST_IN_POT - 2);

    for (r->skeins = 0; r->skeins < n && guild.skeins < guild.wanted;) {
        struct lately *old = &guild.lately[bits() % ARRAY_LEN(guild.lately)];
        struct in_pot *in = &r->in[r->skeins++];
        if (old->skein && chance(8)) {
            *in = (struct in_pot){old->skein, 0, old->place, old->lab, false};
            old->skein = 0;
        } else {
            *in = (struct in_pot){skein(r->dyer), 0, 0, wool,
                                  r->skeins > 1 && chance(4)};
        }
    }
}

/* All that go through one treatment; pieces went with what they are cut off.
 */
static void go_through(struct round *r, int64_t into, size_t first)
{
    for (size_t i = first; i < r->skeins; i++)
        if (!r->in[i].cut)
            enter(&r->in[i], into);
}

static void mordant(struct round *r)
{
    int64_t into;

    if (chance(12)) /* none, and nothing said of it */
        return;
    into = treatment(r, "mordant");
    dose("treatment", into, change_id[r->mordant], 0, "mordant", 8 + dice(10));
    go_through(r, into, 0);
}

static void dye(struct round *r)
{
    go_through(r, treatment(r, "dye"), 0);
    for (size_t i = 0; i < r->skeins; i++)
        if (!r->in[i].cut) {
            r->in[i].lab = dyed(r->in[i].lab, r);
        } else {
            cut_off(&r->in[i], &r->in[i - 1]);
            r->in[i].lab = r->in[i - 1].lab;
        }
}

/* The last of the pot into a jar. */
static void dip(struct round *r)
{
    const size_t with = MORDANTS + (size_t)usual(MODIFIERS);
    const size_t first = r->skeins - 1 - (size_t)dice((int64_t)r->skeins);
    const int64_t into = treatment(r, "dip");

    dose("treatment", into, change_id[with], 0, "modifier", 2 + dice(4));
    go_through(r, into, first);
    for (size_t i = first; i < r->skeins; i++)
        if (!r->in[i].cut)
            r->in[i].lab = changed(r->in[i].lab, with);
}

static int64_t photo(const struct round *r)
{
    struct sheaf *q = begin(PHOTO);
    unsigned char sha256[32];

    fill(sha256, sizeof sha256);
    sheaf_int(q, "dyer", r->dyer);
    sheaf_blob(q, "sha256", sha256, sizeof sha256);
    sheaf_text(q, "day", r->day);
    return end(q);
}

static void read_one(const struct round *r, size_t i, int64_t of, bool wet)
{
    const struct in_pot *in = &r->in[i];
    struct sheaf *q = begin(READING);
    const struct lab c = {in->lab.L + normal(0.6) - 8 * wet,
                          in->lab.a + normal(0.4), in->lab.b + normal(0.5)};
    int64_t id;

    sheaf_int(q, "dyer", r->dyer);
    sheaf_int(q, "skein", in->skein);
    sheaf_id(q, "entry", in->entry);
    sheaf_int(q, "wet", wet);
    sheaf_real(q, "L", c.L);
    sheaf_real(q, "a", c.a);
    sheaf_real(q, "b", c.b);
    sheaf_text(q, "day", r->day);
    id = end(q);
    q = begin(REGION);
    sheaf_int(q, "reading", id);
    sheaf_int(q, "photo", of);
    sheaf_int(q, "x", 400 + 300 * (int64_t)i);
    sheaf_real(q, "L", c.L);
    sheaf_real(q, "a", c.a);
    sheaf_real(q, "b", c.b);
    end(q);
}

static void measure(const struct round *r, int day, bool wet)
{
    int64_t of;

    act("measure", day);
    of = photo(r);
    for (size_t i = 0; i < r->skeins; i++)
        if (chance(95))
            read_one(r, i, of, wet);
}

static void remember(const struct round *r)
{
    for (size_t i = 0; i < r->skeins; i++)
        if (!r->in[i].cut)
            guild.lately[bits() % ARRAY_LEN(guild.lately)] =
                (struct lately){r->in[i].skein, r->in[i].place, r->in[i].lab};
}

static void move_one(const struct round *r, int day)
{
    unsigned char unused[16]; /* a change has no uid; the book stays the same */

    fill(unused, sizeof unused);
    act("skein edit", day);
    move(r->in[0].skein, "the blue chest");
}

/* ---- pots ---------------------------------------------------------------- */

static void ph(int64_t bath)
{
    struct sheaf *q = begin(PH);

    sheaf_int(q, "bath", bath);
    sheaf_real(q, "ph", 4 + (double)dice(12) / 2);
    end(q);
}

static void bath(struct round *r, int year)
{
    struct sheaf *q = begin(BATH);
    char name[64];

    sheaf_int(q, "dyer", r->dyer);
    sheaf_int(q, "number", ++guild.bath_number[r->dyer]);
    snprintf(name, sizeof name, "%s in the %s pot", dyestuffs[r->dyestuff].name,
             chance(50) ? "copper" : "large");
    sheaf_text(q, "name", name);
    sheaf_text(q, "kind", "dye");
    sheaf_int(q, "water", 1 + dice(ARRAY_LEN(waters)));
    put_note(q, 30);
    r->bath = end(q);
    dose("bath", r->bath, dyestuff_id[r->dyestuff],
         first_supply + year * (int64_t)ARRAY_LEN(dyestuffs) +
             (int64_t)r->dyestuff,
         "dyestuff", 30 + dice(150));
    if (chance(10))
        dose("bath", r->bath,
             dyestuff_id[(r->dyestuff + 1) % ARRAY_LEN(dyestuffs)], 0,
             "dyestuff", 10 + dice(50));
    if (chance(50))
        ph(r->bath);
}

static void pot(int64_t dyer)
{
    const int day = (int)((double)guild.skeins / (double)guild.wanted * DAYS);
    struct round r = {.dyer = dyer,
                      .dyestuff = (size_t)usual(ARRAY_LEN(dyestuffs)),
                      .mordant = (size_t)usual(MORDANTS)};

    day_iso(day_add(first_day, day), r.day);
    do {
        act("log", day);
        if (!r.number)
            bath(&r, day / 365);
        choose(&r);
        mordant(&r);
        dye(&r);
        if (chance(25))
            dip(&r);
        if (chance(15))
            go_through(&r, treatment(&r, "wash"), 0);
        if (chance(80))
            measure(&r, day, false);
        if (chance(8))
            measure(&r, day, true);
        if (chance(10))
            move_one(&r, day);
        remember(&r);
    } while (++r.number < MOST_ROUNDS && guild.skeins < guild.wanted &&
             chance(55));
}

int main(int argc, char **argv)
{
    int64_t dyers;

    guild.wanted = argc == 3 ? strtoll(argv[2], NULL, 10) : 0;
    dyers = 1 + guild.wanted / SKEINS_A_DYER;
    if (guild.wanted < 1 || dyers >= (int64_t)ARRAY_LEN(guild.bath_number)) {
        fprintf(stderr, "usage: guild FOLDER SKEINS\n");
        return 2;
    }
    rows_open(argv[1]);
    fill_cupboard(dyers);
    while (guild.skeins < guild.wanted)
        pot(1 + dice(dyers));
    rows_close();
    return 0;
}
