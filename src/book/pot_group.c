/*
 * Skeins of a pot that were mordanted or dipped alike, a treatment for each
 * set: alum skeins and iron skeins in one pot stay apart. See book/pot.h.
 */
#include "book/pot_work.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "dye/substance.h"

/* Skeins that were treated alike, in a treatment of their own. */
struct group {
    char *key;
    struct dose_list doses;
    int64_t treatment;
    const char **label; /* of its skeins; borrowed */
    size_t skeins;
};

struct groups {
    struct group *group;
    size_t count;
};

static void list_add(struct dose_list *to, struct pot_dose *d)
{
    to->dose = mem_resize(to->dose, to->count + 1, sizeof *to->dose);
    to->dose[to->count++] = d;
}

static void list_add_all(struct dose_list *to, const struct dose_list *from)
{
    for (size_t i = 0; i < from->count; i++)
        list_add(to, from->dose[i]);
}

static int by_key(const void *x, const void *y)
{
    const struct pot_dose *const *a = x, *const *b = y;

    return strcmp((*a)->key, (*b)->key);
}

static char *set_key(const struct dose_list *set)
{
    struct dose_list sorted = {0};
    struct text t = {0};

    list_add_all(&sorted, set);
    qsort(sorted.dose, sorted.count, sizeof *sorted.dose, by_key);
    for (size_t i = 0; i < sorted.count; i++)
        text_addf(&t, "%s\n", sorted.dose[i]->key);
    free(sorted.dose);
    return text_take(&t);
}

/* The treatment of a set. Of a dip alone the day and the rest belong to it. */
static bool new_treatment(struct work *w, const char *kind, int64_t *id,
                          struct error *err)
{
    struct record_value v[ARRAY_LEN(w->facts.v) + 2] = {{"kind", kind},
                                                        {"dyer", w->pot->dyer}};
    struct text echo = {0};
    size_t n = 2;
    bool first = w->result->dipped && !w->result->treatment_id, ok;

    for (size_t i = 0; w->result->dipped && i < w->facts.count; i++)
        v[n++] = w->facts.v[i];
    ok = record_add(w->book, NOUN_TREATMENT, v, n, id, first ? &echo : NULL,
                    err);
    pot_echo_facts(w, &echo);
    text_clear(&echo);
    if (ok && first)
        w->result->treatment_id = *id;
    if (!ok)
        pot_call_it_date(err);
    return ok;
}

/* Puts a skein into the treatment of its set, whose list it takes over. */
static bool join(struct work *w, struct groups *all, const char *kind,
                 struct dose_list set, struct pot_one *one, struct error *err)
{
    char *key = set_key(&set);
    char place[40];
    bool dip = w->result->dipped; /* what is said goes with it */
    struct id_words skein = id_words(one->id), in;
    struct group *g = NULL;
    int64_t id;

    for (size_t i = 0; i < all->count; i++)
        if (!strcmp(all->group[i].key, key))
            g = &all->group[i];
    if (g) {
        free(key);
        free(set.dose);
    } else {
        all->group = mem_resize(all->group, all->count + 1, sizeof *all->group);
        g = &all->group[all->count++];
        *g = (struct group){.key = key, .doses = set};
        if (!new_treatment(w, kind, &g->treatment, err))
            return false;
    }
    if (!pot_place(w, one, !strcmp(kind, "dip"), place, err))
        return false;
    in = id_words(g->treatment);
    struct record_value v[] = {{"treatment", in.s},
                               {"skein", skein.s},
                               {"place", place},
                               {"weight", dip ? one->then_weight : NULL},
                               {"dipped", dip ? one->said->dipped : NULL},
                               {"note", dip ? one->then_note : NULL}};
    g->label = mem_resize(g->label, g->skeins + 1, sizeof *g->label);
    g->label[g->skeins++] = one->label;
    if (!record_add(w->book, NOUN_ENTRY, v, ARRAY_LEN(v), &id, NULL, err))
        return false;
    if (dip)
        one->there = id; /* it is all that is done */
    return true;
}

/* Adds the doses, now that the weights of all skeins in it are there. */
static bool fill(struct work *w, const struct groups *all, struct error *err)
{
    for (size_t i = 0; i < all->count; i++) {
        const struct group *g = &all->group[i];
        struct pot_fibre fibre;
        struct text whose = {0};
        bool ok = pot_fibre_of(w->book, g->treatment, &fibre, err);

        if (g->skeins < w->skeins) {
            text_add(&whose, g->skeins > 1 ? " for skeins " : " for skein ");
            pot_labels(g->label, g->skeins, &whose);
        }
        for (size_t k = 0; ok && k < g->doses.count; k++)
            ok = pot_dose_add(w, g->doses.dose[k], 0, g->treatment, -1, &fibre,
                              text_str(&whose), err);
        text_clear(&whose);
        if (!ok)
            return false;
    }
    return true;
}

static void groups_clear(struct groups *all)
{
    for (size_t i = 0; i < all->count; i++) {
        free(all->group[i].key);
        free(all->group[i].doses.dose);
        free(all->group[i].label);
    }
    free(all->group);
}

/* ---- mordants ---------------------------------------------------------------
 */

/* What a skein had been mordanted with before this pot. */
struct known {
    int64_t *id;
    size_t count;
    bool none; /* "no mordant" is one of them */
    struct text names;
};

static void known_clear(struct known *k)
{
    free(k->id);
    text_clear(&k->names);
}

static bool known_of(struct work *w, const struct pot_one *one,
                     struct known *out, struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = (struct known){0};
    if (one->is_new)
        return true;
    if (!stmt_begin(w->book, STMT_SKEIN_MORDANTS, &q, err))
        return false;
    stmt_int(&q, ":of", one->id);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        out->id = mem_resize(out->id, out->count + 1, sizeof *out->id);
        out->id[out->count++] = stmt_get_int(&q, 0);
        out->none = out->none || stmt_get_int(&q, 1);
        text_addf(&out->names, "%s%s", out->names.len ? ", " : "",
                  stmt_get_text(&q, 2));
    }
    stmt_done(&q);
    return ok;
}

static bool is_known(const struct known *k, int64_t id)
{
    for (size_t i = 0; i < k->count; i++)
        if (k->id[i] == id)
            return true;
    return false;
}

/* Remembers what the mordants of this skein could do to others in one pot. */
static void look_at(struct pot_one *one, const char *mordants)
{
    if (substance_saddens(mordants))
        one->saddening = true;
    else if (text_contains(mordants, "alum"))
        one->alum = true;
}

/* Appends what is wished and not known yet. */
static bool add_missing(struct work *w, struct pot_one *one,
                        const struct dose_list *wish, const struct known *known,
                        struct dose_list *out, struct error *err)
{
    for (size_t i = 0; i < wish->count; i++) {
        struct pot_dose *d = wish->dose[i];
        if (d->none && wish->count > 1)
            return error_set(err, ERR_INPUT,
                             "no mordant, and %s as well: say one of them",
                             wish->dose[i ? 0 : 1]->material);
        if (d->none && known->count && !known->none)
            return error_set(err, ERR_INPUT,
                             "no mordant was said, but its life has one: %s",
                             text_str(&known->names));
        look_at(one, d->material);
        if (is_known(known, d->material_id))
            pot_echo(w, "skein %s: %s is recorded in its life already",
                     one->label, d->material);
        else
            list_add(out, d);
    }
    return true;
}

/* The mordants and assists that this pot adds to a skein's life. */
static bool mordants_of(struct work *w, struct pot_one *one,
                        struct dose_list *out, struct error *err)
{
    const struct pot_skein *s = one->said;
    struct dose_list wish = {0}, assists = {0};
    struct known known;
    bool own = s->mordants.count > 0, ok;

    ok = known_of(w, one, &known, err);
    one->mordanted = known.count > 0;
    if (ok && !own && known.count) {
        look_at(one, text_str(&known.names));
        if (w->mordants.count)
            pot_echo(w, "skein %s keeps its recorded mordant: %s", one->label,
                     text_str(&known.names));
        goto done;
    }
    ok = ok && pot_doses_read(w, s->mordants, "mordant", &wish, err) &&
         pot_doses_read(w, s->assists, "assist", &assists, err);
    if (ok && !own)
        list_add_all(&wish, &w->mordants);
    if (ok && !own && !assists.count && w->mordants.count)
        list_add_all(&assists, &w->assists);
    one->mordanted = one->mordanted || wish.count;
    ok = ok && add_missing(w, one, &wish, &known, out, err);
    if (ok && (out->count || !wish.count))
        list_add_all(out, &assists);

done:
    free(wish.dose);
    free(assists.dose);
    known_clear(&known);
    return ok;
}

/* The dips of a skein: its own, or the pot's. */
static bool dips_of(struct work *w, struct pot_one *one, struct dose_list *out,
                    struct error *err)
{
    const struct pot_words *own = &one->said->dips;

    if (!own->count) {
        list_add_all(out, &w->dips);
        return true;
    }
    if (own->count == 1 && text_same(own->word[0], "none"))
        return true;
    return pot_doses_read(w, *own, "dip", out, err);
}

static bool each(struct work *w, const char *kind,
                 bool (*sets)(struct work *, struct pot_one *,
                              struct dose_list *, struct error *),
                 struct error *err)
{
    struct groups all = {0};
    bool ok = true;

    for (size_t i = 0; ok && i < w->skeins; i++) {
        struct dose_list set = {0};
        char who[80];

        if (!sets(w, &w->skein[i], &set, err)) {
            pot_call_skein(w, i, who);
            pot_blame(err, "%s", who);
            free(set.dose);
            ok = false;
        } else if (set.count) {
            ok = join(w, &all, kind, set, &w->skein[i], err);
        }
    }
    ok = ok && fill(w, &all, err);
    groups_clear(&all);
    return ok;
}

bool pot_mordants(struct work *w, struct error *err)
{
    return each(w, "mordant", mordants_of, err);
}

/* What the bath's skeins of the book were mordanted with: "alum, iron". */
static bool mordants_of_bath(struct work *w, struct text *out,
                             struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(w->book, STMT_BATH_MORDANTS, &q, err);

    if (ok)
        stmt_int(&q, ":of", w->result->bath_id);
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        text_addf(out, "%s%s", out->len ? ", " : "", stmt_get_text(&q, 0));
    stmt_done(&q);
    return ok;
}

bool pot_ask_mordants(struct work *w, struct error *err)
{
    const char **label = mem_new(w->skeins + 1, sizeof *label);
    struct text names = {0}, who = {0};
    size_t n = 0;
    bool ok = true;

    for (size_t i = 0; i < w->skeins; i++)
        if (!w->skein[i].mordanted && !w->skein[i].there)
            label[n++] = w->skein[i].label;
    if (n && !w->vat && !w->result->new_bath)
        ok = mordants_of_bath(w, &names, err);
    if (names.len) {
        pot_labels(label, n, &who);
        pot_note(w,
                 "skein%s %s: mordant not recorded; others of bath %s had %s: "
                 "say the mordant if this had one too, or \"none\"",
                 n > 1 ? "s" : "", text_str(&who), w->result->bath,
                 text_str(&names));
    }
    text_clear(&names);
    text_clear(&who);
    free(label);
    return ok;
}

bool pot_dips(struct work *w, struct error *err)
{
    return each(w, "dip", dips_of, err);
}
