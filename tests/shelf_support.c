/* A random shelf for tests. See the header. */
#include "shelf_support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const struct m_material m_materials[MATERIALS] = {
    {"alum", "mordant", false},      {"copper", "modifier", false},
    {"iron", "mordant", false},      {"madder", "dyestuff", false},
    {"no mordant", "mordant", true}, {"soda", "alkali", false},
    {"tansy", "dyestuff", false},    {"walnut hulls", "dyestuff", false},
    {"weld", "dyestuff", false},
};

const char *const m_words[4] = {"olive for the border", "fox", "Old Gold",
                                "reddish"};

int dice(uint64_t *seed, int n)
{
    *seed = *seed * 6364136223846793005u + 1442695040888963407u;
    return (int)((*seed >> 33) % (uint64_t)n);
}

static bool chance(uint64_t *seed, int percent)
{
    return dice(seed, 100) < percent;
}

/* ---- making one -----------------------------------------------------------
 */

static int pick_kind(uint64_t *seed, const char *kind)
{
    int i;

    do
        i = dice(seed, MATERIALS);
    while (strcmp(m_materials[i].kind, kind) != 0);
    return i;
}

static void add_dose(struct shelf *s, uint64_t *seed, int bath, int treatment,
                     const char *role, int before)
{
    const char *kind = !strcmp(role, "modifier")
                           ? (chance(seed, 50) ? "modifier" : "mordant")
                           : role;

    assert_true(s->doses < DOSES);
    s->dose[s->doses++] = (struct m_dose){
        bath, treatment, pick_kind(seed, kind), before, role, chance(seed, 4)};
}

static int add_treatment(struct shelf *s, uint64_t *seed, const char *kind,
                         int bath, int round)
{
    assert_true(s->treatments < TREATMENTS);
    s->treatment[s->treatments] =
        (struct m_treatment){kind, bath, round, chance(seed, 3)};
    return s->treatments++;
}

/* Baths 0 to 8 dye in rounds, 9 is a vat, 10 to 13 are for dips. */
static void make_pots(struct shelf *s, uint64_t *seed)
{
    for (int i = 0; i < 8; i++) {
        int t = add_treatment(s, seed, "mordant", -1, -1);
        add_dose(s, seed, -1, t, "mordant", -1);
        if (chance(seed, 30))
            add_dose(s, seed, -1, t, "mordant", -1);
    }
    for (int b = 0; b < 9; b++) {
        add_dose(s, seed, b, -1, "dyestuff", -1);
        if (chance(seed, 30)) /* topped up before a later round */
            add_dose(s, seed, b, -1, "dyestuff", 1 + dice(seed, 2));
        if (chance(seed, 20))
            add_dose(s, seed, b, -1, "mordant", -1);
        for (int r = 0; r < 4; r++)
            if (!chance(seed, 15)) {
                int t =
                    add_treatment(s, seed, "dye", b, chance(seed, 5) ? -1 : r);
                if (chance(seed, 10))
                    add_dose(s, seed, -1, t, "modifier", -1);
            }
    }
    add_dose(s, seed, 9, -1, "dyestuff", -1);
    add_treatment(s, seed, "vat", 9, -1);
    for (int b = 10; b < BATHS; b++) {
        add_dose(s, seed, b, -1, "modifier", -1);
        add_treatment(s, seed, "dip", b, -1);
    }
    add_treatment(s, seed, "wash", -1, -1);
    while (s->pours < POURS) {
        int b = 1 + dice(seed, 8);
        s->pour[s->pours++] =
            (struct m_pour){b, dice(seed, b), chance(seed, 20)};
    }
}

static int any_treatment(const struct shelf *s, uint64_t *seed,
                         const char *kind)
{
    int t;

    do
        t = dice(seed, s->treatments);
    while (strcmp(s->treatment[t].kind, kind) != 0);
    return t;
}

static void enter(struct shelf *s, uint64_t *seed, int skein, const char *kind)
{
    double last = 0;

    assert_true(s->entries < ENTRIES);
    for (int i = 0; i < s->entries; i++)
        if (s->entry[i].skein == skein && s->entry[i].place > last)
            last = s->entry[i].place;
    s->entry[s->entries++] = (struct m_entry){
        skein, any_treatment(s, seed, kind), last + 1, chance(seed, 4)};
}

static void treat(struct shelf *s, uint64_t *seed, int skein)
{
    if (chance(seed, 70))
        enter(s, seed, skein, "mordant");
    if (chance(seed, 90))
        enter(s, seed, skein, chance(seed, 10) ? "vat" : "dye");
    if (chance(seed, 30))
        enter(s, seed, skein, "dip");
    if (chance(seed, 20))
        enter(s, seed, skein, "dye"); /* over-dyed */
    if (chance(seed, 15))
        enter(s, seed, skein, "mordant");
    if (chance(seed, 15))
        enter(s, seed, skein, "dip");
    if (chance(seed, 20))
        enter(s, seed, skein, "wash");
}

/* A piece of an older skein, or two plied together. */
static void descend(struct shelf *s, uint64_t *seed, int child)
{
    int parents = chance(seed, 20) ? 2 : 1;

    for (int n = 0; n < parents; n++) {
        int parent = dice(seed, child), after = -1;
        for (int i = 0; i < s->entries; i++)
            if (s->entry[i].skein == parent && chance(seed, 60))
                after = i;
        assert_true(s->origins < ORIGINS);
        s->origin[s->origins++] =
            (struct m_origin){child, parent, after, chance(seed, 5)};
    }
    if (chance(seed, 30))
        enter(s, seed, child, "dip");
    if (chance(seed, 30))
        enter(s, seed, child, "dye");
}

static void read_once(struct shelf *s, uint64_t *seed, int skein, int day)
{
    struct m_reading r = {.skein = skein,
                          .after = -1,
                          .day = day,
                          .wet = chance(seed, 10),
                          .withdrawn = chance(seed, 5),
                          .part = chance(seed, 6) ? "exposed" : "whole",
                          .illuminant = chance(seed, 6) ? "D65" : "D50",
                          .source = chance(seed, 6) ? "eye" : "instrument"};

    for (int i = 0; i < s->entries; i++) /* the last one most often */
        if (s->entry[i].skein == skein && chance(seed, 85))
            r.after = i;
    r.lab =
        (struct lab){20 + dice(seed, 600) / 10.0, -20 + dice(seed, 600) / 10.0,
                     -10 + dice(seed, 600) / 10.0};
    assert_true(s->readings < READINGS);
    s->reading[s->readings++] = r;
}

void shelf_make(struct shelf *s, uint64_t seed)
{
    memset(s, 0, sizeof *s);
    make_pots(s, &seed);
    for (s->skeins = 0; s->skeins < SKEINS; s->skeins++) {
        struct m_skein *k = &s->skein[s->skeins];
        k->withdrawn = chance(&seed, 4);
        k->word = chance(&seed, 25) ? dice(&seed, 4) : -1;
        if (s->skeins < SKEINS * 2 / 3)
            treat(s, &seed, s->skeins);
        else
            descend(s, &seed, s->skeins);
    }
    for (int i = 0; i < s->skeins; i++)
        for (int day = dice(&seed, 3); day > 0; day--)
            for (int n = 0; n < 2; n++)
                read_once(s, &seed, i, day * 2 + n);
}

/* ---- writing one ----------------------------------------------------------
 */

/* 0 to n - 1 in a random order. */
static int *shuffled(int n, uint64_t *seed)
{
    int *order = mem_new((size_t)n, sizeof *order);

    for (int i = 0; i < n; i++) {
        int k = dice(seed, i + 1);
        order[i] = order[k];
        order[k] = i;
    }
    return order;
}

struct form {
    struct record_value value[16];
    char words[16][64];
    size_t count;
};

static void put(struct form *f, const char *field, const char *words)
{
    f->value[f->count++] = (struct record_value){field, words};
}

static void put_id(struct form *f, const char *field, int64_t id)
{
    snprintf(f->words[f->count], sizeof f->words[0], "#%lld", (long long)id);
    put(f, field, f->words[f->count]);
}

static void put_number(struct form *f, const char *field, double x)
{
    snprintf(f->words[f->count], sizeof f->words[0], "%g", x);
    put(f, field, f->words[f->count]);
}

static int64_t file(struct book *book, enum noun_id noun, const struct form *f,
                    bool withdrawn)
{
    struct error err;
    int64_t id;

    check_ok(record_add(book, noun, f->value, f->count, &id, NULL, &err), &err);
    if (withdrawn)
        check_ok(record_withdraw(book, noun, id, true, &err), &err);
    return id;
}

static void write_material(struct book *book, int i, struct ids *ids)
{
    struct error err;
    struct form f = {.count = 0};

    if (m_materials[i].none) {
        check_ok(record_find(book, NOUN_MATERIAL, m_materials[i].name,
                             &ids->material[i], &err),
                 &err);
        return;
    }
    put(&f, "name", m_materials[i].name);
    put(&f, "kind", m_materials[i].kind);
    ids->material[i] = file(book, NOUN_MATERIAL, &f, false);
}

static void write_bath(struct book *book, int i, struct ids *ids)
{
    struct form f = {.count = 0};

    put_number(&f, "number", i + 1);
    put(&f, "kind", i < 9 ? "dye" : i == 9 ? "vat" : "modifier");
    ids->bath[i] = file(book, NOUN_BATH, &f, false);
}

static void write_skein(const struct shelf *s, struct book *book, int i,
                        struct ids *ids)
{
    struct form f = {.count = 0};

    put_number(&f, "number", i + 1);
    if (s->skein[i].word >= 0)
        put(&f, "colour", m_words[s->skein[i].word]);
    ids->skein[i] = file(book, NOUN_SKEIN, &f, false);
}

static void write_treatment(const struct shelf *s, struct book *book, int i,
                            struct ids *ids)
{
    const struct m_treatment *t = &s->treatment[i];
    struct form f = {.count = 0};

    put(&f, "kind", t->kind);
    if (t->bath >= 0)
        put_id(&f, "bath", ids->bath[t->bath]);
    if (t->round >= 0)
        put_number(&f, "round", t->round);
    ids->treatment[i] = file(book, NOUN_TREATMENT, &f, false);
}

static void write_dose(const struct shelf *s, struct book *book, int i,
                       const struct ids *ids)
{
    const struct m_dose *d = &s->dose[i];
    struct form f = {.count = 0};

    put_id(&f, "material", ids->material[d->material]);
    if (d->bath >= 0)
        put_id(&f, "bath", ids->bath[d->bath]);
    else
        put_id(&f, "treatment", ids->treatment[d->treatment]);
    put(&f, "role", d->role);
    if (d->before >= 0)
        put_number(&f, "before-round", d->before);
    file(book, NOUN_DOSE, &f, d->withdrawn);
}

static void write_entry(const struct shelf *s, struct book *book, int i,
                        struct ids *ids)
{
    struct form f = {.count = 0};

    put_id(&f, "skein", ids->skein[s->entry[i].skein]);
    put_id(&f, "treatment", ids->treatment[s->entry[i].treatment]);
    put_number(&f, "place", s->entry[i].place);
    ids->entry[i] = file(book, NOUN_ENTRY, &f, false);
}

static void write_origin(const struct shelf *s, struct book *book, int i,
                         const struct ids *ids)
{
    const struct m_origin *o = &s->origin[i];
    struct form f = {.count = 0};

    put_id(&f, "child", ids->skein[o->child]);
    put_id(&f, "parent", ids->skein[o->parent]);
    if (o->after >= 0)
        put_id(&f, "after-entry", ids->entry[o->after]);
    file(book, NOUN_ORIGIN, &f, o->withdrawn);
}

static void write_reading(const struct shelf *s, struct book *book, int i,
                          const struct ids *ids)
{
    const struct m_reading *r = &s->reading[i];
    struct form f = {.count = 0};
    char lab[64], day[16];

    snprintf(lab, sizeof lab, "%.1f,%.1f,%.1f", r->lab.L, r->lab.a, r->lab.b);
    snprintf(day, sizeof day, "2026-05-%02d", r->day);
    put_id(&f, "skein", ids->skein[r->skein]);
    if (r->after >= 0)
        put_id(&f, "after-entry", ids->entry[r->after]);
    put(&f, "lab", lab);
    put(&f, "source", r->source);
    put(&f, "illuminant", r->illuminant);
    put(&f, "observer", "2");
    put(&f, "geometry", "45/0");
    put(&f, "part", r->part);
    put(&f, "wet", r->wet ? "yes" : "no");
    put(&f, "on", day);
    file(book, NOUN_READING, &f, r->withdrawn);
}

static void withdraw(struct book *book, enum noun_id noun, int64_t id)
{
    struct error err;

    check_ok(record_withdraw(book, noun, id, true, &err), &err);
}

/* What came before any entry is written before there is one, as it would be:
 * otherwise it would count as after the last. */
static void write_life(const struct shelf *s, struct book *book, uint64_t *seed,
                       struct ids *ids)
{
    int *order[3] = {shuffled(s->origins, seed), shuffled(s->readings, seed),
                     shuffled(s->entries, seed)};

    for (int late = 0; late < 2; late++) {
        for (int i = 0; i < s->origins; i++)
            if ((s->origin[order[0][i]].after >= 0) == late)
                write_origin(s, book, order[0][i], ids);
        for (int i = 0; i < s->readings; i++)
            if ((s->reading[order[1][i]].after >= 0) == late)
                write_reading(s, book, order[1][i], ids);
        for (int i = 0; !late && i < s->entries; i++)
            write_entry(s, book, order[2][i], ids);
    }
    for (int i = 0; i < 3; i++)
        free(order[i]);
}

void shelf_write(const struct shelf *s, struct book *book, uint64_t seed,
                 struct ids *ids)
{
    struct error err;
    int n[6] = {MATERIALS, BATHS, s->skeins, s->treatments, s->doses, s->pours};
    int *order[6];

    check_ok(book_act_begin(book, "shelf", &err), &err);
    for (int i = 0; i < 6; i++)
        order[i] = shuffled(n[i], &seed);
    for (int i = 0; i < MATERIALS; i++)
        write_material(book, order[0][i], ids);
    for (int i = 0; i < BATHS; i++)
        write_bath(book, order[1][i], ids);
    for (int i = 0; i < s->skeins; i++)
        write_skein(s, book, order[2][i], ids);
    for (int i = 0; i < s->treatments; i++)
        write_treatment(s, book, order[3][i], ids);
    for (int i = 0; i < s->doses; i++)
        write_dose(s, book, order[4][i], ids);
    for (int i = 0; i < s->pours; i++) {
        const struct m_pour *p = &s->pour[order[5][i]];
        struct form f = {.count = 0};
        put_id(&f, "bath", ids->bath[p->bath]);
        put_id(&f, "parent", ids->bath[p->parent]);
        file(book, NOUN_POUR, &f, p->withdrawn);
    }
    write_life(s, book, &seed, ids);
    check_ok(book_act_end(book, &err), &err);
    check_ok(book_act_begin(book, "second thoughts", &err), &err);
    for (int i = 0; i < s->skeins; i++)
        if (s->skein[i].withdrawn)
            withdraw(book, NOUN_SKEIN, ids->skein[i]);
    for (int i = 0; i < s->treatments; i++)
        if (s->treatment[i].withdrawn)
            withdraw(book, NOUN_TREATMENT, ids->treatment[i]);
    for (int i = 0; i < s->entries; i++)
        if (s->entry[i].withdrawn)
            withdraw(book, NOUN_ENTRY, ids->entry[i]);
    check_ok(book_act_end(book, &err), &err);
    for (int i = 0; i < 6; i++)
        free(order[i]);
}

/* ---- the slow way ---------------------------------------------------------
 */

static bool stands(const struct shelf *s, int entry)
{
    return !s->entry[entry].withdrawn &&
           !s->treatment[s->entry[entry].treatment].withdrawn;
}

static bool flows_into(const struct shelf *s, int from, int to)
{
    for (int i = 0; i < s->pours; i++)
        if (!s->pour[i].withdrawn && s->pour[i].bath == to &&
            (s->pour[i].parent == from ||
             flows_into(s, from, s->pour[i].parent)))
            return true;
    return false;
}

static bool is_in_pot(const struct shelf *s, const struct m_dose *d, int t)
{
    const struct m_treatment *at = &s->treatment[t];

    if (d->withdrawn)
        return false;
    if (d->treatment >= 0)
        return d->treatment == t;
    if (d->bath == at->bath)
        return at->round < 0 || d->before <= at->round;
    return at->bath >= 0 && flows_into(s, d->bath, at->bath);
}

static void undergo(const struct shelf *s, int t, struct m_state *is)
{
    const struct m_treatment *at = &s->treatment[t];
    bool dyes = !strcmp(at->kind, "dye") || !strcmp(at->kind, "vat");

    if (dyes) {
        is->dips = is->last = 0;
        is->layers++;
        is->dye = t;
        is->bath = at->bath;
        is->round = at->round;
    }
    for (int i = 0; i < s->doses; i++) {
        const struct m_dose *d = &s->dose[i];
        unsigned bit = 1u << d->material;
        if (!is_in_pot(s, d, t))
            continue;
        if (!strcmp(at->kind, "dip") || !strcmp(d->role, "modifier"))
            is->dips |= bit;
        else if (!strcmp(d->role, "mordant"))
            is->mordants |= bit;
        else if (dyes) {
            is->dyestuffs |= bit;
            is->last |= bit;
        }
    }
}

static void inherit(const struct shelf *s, const struct m_origin *o, bool first,
                    struct m_state *is)
{
    struct m_state state[STEPS], *at = &state[0];
    int entry[STEPS], n = m_life(s, o->parent, state, entry);

    for (int i = 1; i <= n; i++)
        if (entry[i] == o->after)
            at = &state[i];
    if (first) {
        *is = *at;
        return;
    }
    is->dyestuffs |= at->dyestuffs;
    is->mordants |= at->mordants;
    is->dips |= at->dips;
    is->last |= at->last;
    is->layers = at->layers > is->layers ? at->layers : is->layers;
    if (at->dye != is->dye)
        is->dye = is->bath = is->round = -1;
}

int m_life(const struct shelf *s, int skein, struct m_state state[STEPS],
           int entry[STEPS])
{
    struct m_state is = {.dye = -1, .bath = -1, .round = -1};
    double place = 0;
    int n = 0, next;
    bool first = true;

    for (int i = 0; i < s->origins; i++)
        if (s->origin[i].child == skein && !s->origin[i].withdrawn) {
            inherit(s, &s->origin[i], first, &is);
            first = false;
        }
    state[0] = is;
    entry[0] = -1;
    do {
        next = -1;
        for (int i = 0; i < s->entries; i++)
            if (s->entry[i].skein == skein && s->entry[i].place > place &&
                (next < 0 || s->entry[i].place < s->entry[next].place))
                next = i;
        if (next < 0)
            break;
        place = s->entry[next].place;
        if (!stands(s, next))
            continue;
        undergo(s, s->entry[next].treatment, &is);
        assert_true(n + 1 < STEPS);
        state[++n] = is;
        entry[n] = next;
    } while (next >= 0);
    return n;
}

int m_colour(const struct shelf *s, int skein, int entry)
{
    int best = -1;

    for (int i = 0; i < s->readings; i++) {
        const struct m_reading *r = &s->reading[i];
        if (r->skein == skein && r->after == entry && !r->withdrawn &&
            !r->wet && !strcmp(r->part, "whole") &&
            !strcmp(r->illuminant, "D50") && strcmp(r->source, "eye") != 0 &&
            (best < 0 || r->day > s->reading[best].day))
            best = i;
    }
    return best;
}

void m_names(unsigned set, char out[200])
{
    int named = 0;

    *out = '\0';
    for (int i = 0; i < MATERIALS; i++)
        named += (set >> i & 1) && !m_materials[i].none;
    for (int i = 0; i < MATERIALS; i++)
        if ((set >> i & 1) && (!named || !m_materials[i].none)) {
            if (*out)
                strcat(out, " + ");
            strcat(out, m_materials[i].name);
        }
}
