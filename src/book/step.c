/*
 * What each skein has gone through, and what it is now. Both can always be
 * made again from the records; they are made at the end of each act for the
 * skeins it touched.
 */
#include "book/step.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "book/id_map.h"
#include "book/pack.h"
#include "book/reached.h"
#include "book/sheaf.h"
#include "book/shelf.h"
#include "book/word_map.h"

/* A set of material ids in rising order. */
struct set {
    int64_t *id;
    size_t count;
};

struct state {
    struct set dyestuffs, mordants, dips, last_dyestuffs;
    int64_t layers, dye_id, bath_id, round;
    bool has_round;
    int64_t recipe; /* once it is put down */
};

static void set_add(struct set *s, int64_t id)
{
    size_t at = 0;

    while (at < s->count && s->id[at] < id)
        at++;
    if (at < s->count && s->id[at] == id)
        return;
    s->id = mem_resize(s->id, s->count + 1, sizeof *s->id);
    memmove(s->id + at + 1, s->id + at, (s->count - at) * sizeof *s->id);
    s->id[at] = id;
    s->count++;
}

static void set_empty(struct set *s)
{
    free(s->id);
    *s = (struct set){0};
}

static void set_add_text(struct set *s, const char *text)
{
    for (const char *p = text; p && *p; p = strchr(p + 1, ','))
        if (p[0] == ',' && p[1])
            set_add(s, strtoll(p + 1, NULL, 10));
}

static void add_id(struct text *t, int64_t id)
{
    char digits[24];
    size_t at = sizeof digits;

    for (uint64_t n = (uint64_t)id; n || at == sizeof digits; n /= 10)
        digits[--at] = (char)('0' + n % 10);
    text_add_n(t, digits + at, sizeof digits - at);
}

static char *set_text(const struct set *s)
{
    struct text t = {0};

    if (s->count)
        text_add(&t, ",");
    for (size_t i = 0; i < s->count; i++) {
        add_id(&t, s->id[i]);
        text_add(&t, ",");
    }
    return text_take(&t);
}

static void state_clear(struct state *s)
{
    set_empty(&s->dyestuffs);
    set_empty(&s->mordants);
    set_empty(&s->dips);
    set_empty(&s->last_dyestuffs);
}

/* What STMT_RECIPE_FIND and STMT_RECIPE_ADD ask for. */
static void bind_recipe(struct stmt *q, char *const text[4],
                        const struct state *s)
{
    stmt_text(q, ":dyestuffs", text[0]);
    stmt_text(q, ":mordants", text[1]);
    stmt_text(q, ":dips", text[2]);
    stmt_text(q, ":last_dyestuffs", text[3]);
    stmt_int(q, ":layers", s->layers);
    if (s->has_round)
        stmt_int(q, ":round", s->round);
    else
        stmt_null(q, ":round");
}

/* The recipe of a state in the book, which is added when it is new. */
static bool find_recipe(struct book *book, char *const text[4],
                        const struct state *s, int64_t *id, struct error *err)
{
    struct stmt q;
    bool row = false, ok = stmt_begin(book, STMT_RECIPE_FIND, &q, err);

    if (!ok)
        return false;
    bind_recipe(&q, text, s);
    ok = stmt_step(&q, &row, err);
    if (ok && row)
        *id = stmt_get_int(&q, 0);
    stmt_done(&q);
    if (!ok || row)
        return ok;
    if (!stmt_begin(book, STMT_RECIPE_ADD, &q, err))
        return false;
    bind_recipe(&q, text, s);
    ok = stmt_run(&q, err);
    *id = sqlite3_last_insert_rowid(book->db);
    return ok;
}

/* Recipes that were met. */
struct recipes {
    struct word_map of;
    int64_t *id;
};

static void recipes_clear(struct recipes *r)
{
    word_map_clear(&r->of);
    free(r->id);
}

/* The recipe of a state, looked for once. */
static bool recipe_of(struct book *book, struct recipes *met,
                      const struct state *s, int64_t *id, struct error *err)
{
    struct text key = {0};
    char *text[4] = {set_text(&s->dyestuffs), set_text(&s->mordants),
                     set_text(&s->dips), set_text(&s->last_dyestuffs)};
    bool is_new, ok = true;
    size_t at;

    for (int i = 0; i < 4; i++) {
        text_add(&key, text[i]);
        text_add(&key, ";");
    }
    add_id(&key, s->layers);
    if (s->has_round) {
        text_add(&key, ";");
        add_id(&key, s->round);
    }
    at = word_map_at(&met->of, text_str(&key), &is_new);
    if (is_new) {
        met->id = mem_room(met->id, at, sizeof *met->id);
        ok = find_recipe(book, text, s, &met->id[at], err);
    }
    *id = met->id[at];
    text_clear(&key);
    for (int i = 0; i < 4; i++)
        free(text[i]);
    return ok;
}

struct lived {
    int64_t entry, treatment, bath, round;
    bool has_round;
    char kind[16];
};

static bool is_cut(struct book *book, int64_t skein, bool *is,
                   struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, STMT_STEP_CUT, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    if (!stmt_step(&q, is, err))
        return false;
    stmt_done(&q);
    return true;
}

/* Adds what a parent had gone through when this skein was cut or plied.
 * steps  of skeins before it, which are put into the book to be found */
static bool inherit(struct book *book, int64_t skein, struct sheaf *steps,
                    struct state *s, struct error *err)
{
    struct stmt q;
    bool row, ok, first = true;

    if (!is_cut(book, skein, &row, err))
        return false;
    if (!row)
        return true;
    if (!sheaf_put(steps, book, "step", "", err) ||
        !stmt_begin(book, STMT_STEP_PARENTS, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        set_add_text(&s->dyestuffs, stmt_get_text(&q, 0));
        set_add_text(&s->mordants, stmt_get_text(&q, 1));
        set_add_text(&s->dips, stmt_get_text(&q, 2));
        set_add_text(&s->last_dyestuffs, stmt_get_text(&q, 3));
        int64_t layers = stmt_get_int(&q, 4), dye = stmt_get_int(&q, 5);
        s->layers = layers > s->layers ? layers : s->layers;
        if (!first && dye != s->dye_id) {
            /* Plied from different pots: no one bath is the last. */
            s->dye_id = s->bath_id = 0;
            s->has_round = false;
        } else {
            s->dye_id = dye;
            s->bath_id = stmt_get_int(&q, 6);
            s->has_round = !stmt_is_null(&q, 7);
            s->round = stmt_get_int(&q, 7);
        }
        first = false;
    }
    stmt_done(&q);
    return ok;
}

/* What went into the treatments that were met, of each until one without a
 * material: the skeins of a pot have it in common. */
struct doses {
    struct id_map first; /* of a treatment */
    struct dose {
        int64_t material;
        bool dip, mordant, dyestuff; /* what it is to the skein */
    } * dose;
    size_t count;
};

static void doses_clear(struct doses *d)
{
    id_map_clear(&d->first);
    free(d->dose);
}

static struct dose dose_of(int64_t material, const char *role, const char *kind)
{
    const bool dyeing = !strcmp(kind, "dye") || !strcmp(kind, "vat");
    struct dose d = {.material = material};

    if (!strcmp(kind, "dip") || !strcmp(role, "modifier"))
        d.dip = strcmp(role, "assist") && strcmp(role, "cleanser");
    else if (!strcmp(role, "mordant"))
        d.mordant = true;
    else
        d.dyestuff = dyeing && !strcmp(role, "dyestuff");
    return d;
}

static void add_dose(struct doses *all, struct dose d)
{
    all->dose = mem_room(all->dose, all->count, sizeof *all->dose);
    all->dose[all->count++] = d;
}

/* in  how far they go, or NULL: all of a bath's */
static bool doses_in(struct book *book, enum stmt_id which, int64_t of,
                     const struct lived *in, const char *kind,
                     struct doses *all, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, which, &q, err);

    if (!ok)
        return false;
    stmt_int(&q, ":of", of);
    if (which == STMT_STEP_BATH_DOSES && in && in->has_round)
        stmt_int(&q, ":round", in->round);
    while ((ok = stmt_step(&q, &row, err)) && row)
        add_dose(all, dose_of(stmt_get_int(&q, 0), stmt_get_text(&q, 1), kind));
    stmt_done(&q);
    return ok;
}

/* Of the baths that were poured into one, and into those. */
static bool doses_poured(struct book *book, const struct lived *l,
                         struct doses *all, struct error *err)
{
    struct set baths = {0};
    int64_t of = l->bath, *more = NULL;
    size_t count = 0, next = 0;
    bool ok = true;

    while (ok) {
        struct stmt q;
        bool row;
        ok = stmt_begin(book, STMT_STEP_POURED, &q, err);
        if (!ok)
            break;
        stmt_int(&q, ":of", of);
        if (!next && l->has_round)
            stmt_int(&q, ":round", l->round);
        while ((ok = stmt_step(&q, &row, err)) && row) {
            const size_t before = baths.count;
            set_add(&baths, stmt_get_int(&q, 0));
            if (baths.count == before)
                continue;
            more = mem_room(more, count, sizeof *more);
            more[count++] = stmt_get_int(&q, 0);
        }
        stmt_done(&q);
        if (next == count)
            break;
        of = more[next++];
        ok = ok &&
             doses_in(book, STMT_STEP_BATH_DOSES, of, NULL, l->kind, all, err);
    }
    set_empty(&baths);
    free(more);
    return ok;
}

/* The doses of one treatment: its own, its bath's so far, and those of the
 * baths that were poured into it. */
static bool load_doses(struct book *book, const struct lived *l,
                       struct doses *all, struct error *err)
{
    bool ok;

    id_map_put(&all->first, l->treatment, (int64_t)all->count);
    ok = doses_in(book, STMT_STEP_OWN_DOSES, l->treatment, NULL, l->kind, all,
                  err) &&
         (!l->bath || (doses_in(book, STMT_STEP_BATH_DOSES, l->bath, l, l->kind,
                                all, err) &&
                       doses_poured(book, l, all, err)));
    add_dose(all, (struct dose){0});
    return ok;
}

static bool add_doses(struct book *book, const struct lived *l,
                      struct doses *all, struct state *s, struct error *err)
{
    const int64_t *first = id_map_at(&all->first, l->treatment);

    if (!first && !load_doses(book, l, all, err))
        return false;
    first = id_map_at(&all->first, l->treatment);
    assert(first && all->dose);
    for (const struct dose *d = &all->dose[*first]; d->material; d++) {
        if (d->dip)
            set_add(&s->dips, d->material);
        if (d->mordant)
            set_add(&s->mordants, d->material);
        if (d->dyestuff) {
            set_add(&s->dyestuffs, d->material);
            set_add(&s->last_dyestuffs, d->material);
        }
    }
    return true;
}

static bool entries_of(struct book *book, int64_t skein, struct lived **out,
                       size_t *count, struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = NULL;
    *count = 0;
    if (!stmt_begin(book, STMT_STEP_ENTRIES, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        *out = mem_resize(*out, *count + 1, sizeof **out);
        struct lived *l = &(*out)[(*count)++];
        *l = (struct lived){.entry = stmt_get_int(&q, 0),
                            .treatment = stmt_get_int(&q, 1),
                            .bath = stmt_get_int(&q, 3),
                            .round = stmt_get_int(&q, 4),
                            .has_round = !stmt_is_null(&q, 4)};
        snprintf(l->kind, sizeof l->kind, "%s", stmt_get_text(&q, 2));
    }
    stmt_done(&q);
    return ok;
}

static bool forget(struct book *book, int64_t skein, struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, STMT_STEP_FORGET, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    return stmt_run(&q, err);
}

/* Puts a skein on the shelf as it is after its last step. */
static bool shelve(struct book *book, int64_t skein, const struct lived *last,
                   const struct state *s, struct pack *pack, struct error *err)
{
    struct ask_filter any = ask_filter_any();
    struct pack_skein is = {.recipe = s->recipe};
    struct ask_reading r;
    struct stmt q;
    bool there;

    if (!shelf_reading(book, skein, last ? last->entry : 0, &any, &r, &is.lack,
                       err) ||
        !stmt_begin(book, STMT_STEP_SKEIN, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    if (!stmt_step(&q, &there, err))
        return false;
    is.number = stmt_get_int(&q, 1);
    is.dyer = stmt_get_int(&q, 2);
    is.pot = s->dye_id ? s->dye_id : last ? -last->treatment : 0;
    if (is.lack == ASK_HAS_COLOUR) {
        is.lab = r.colour.lab;
        is.name = colour_name_nearest(r.colour.lab)->number;
    }
    if (stmt_get_int(&q, 0))
        is = (struct pack_skein){0}; /* withdrawn */
    stmt_done(&q);
    return pack_put(pack, book, skein, &is, err);
}

/* What one skein after the other is made with. */
struct making {
    struct pack pack;
    struct doses doses;
    struct recipes recipes;
    struct sheaf steps;
};

enum { STEPS_MOST = 16384 }; /* kept back; more would only take more memory */

/* now: what it just went through, NULL before anything. */
static bool put(struct book *book, struct making *with, int64_t skein,
                int64_t ordinal, const struct lived *now, bool last,
                struct state *s, struct error *err)
{
    struct sheaf *to = &with->steps;

    if (!recipe_of(book, &with->recipes, s, &s->recipe, err) ||
        (to->rows == STEPS_MOST && !sheaf_put(to, book, "step", "", err)))
        return false;
    sheaf_row(to);
    sheaf_int(to, "skein_id", skein);
    sheaf_int(to, "ordinal", ordinal);
    sheaf_id(to, "entry_id", now ? now->entry : 0);
    sheaf_id(to, "treatment_id", now ? now->treatment : 0);
    sheaf_int(to, "last", last);
    sheaf_int(to, "recipe_id", s->recipe);
    sheaf_id(to, "dye_treatment_id", s->dye_id);
    sheaf_id(to, "bath_id", s->bath_id);
    return true;
}

/* fresh: it has no steps yet */
static bool live(struct book *book, int64_t skein, bool fresh,
                 struct making *with, struct error *err)
{
    struct state s = {0};
    struct lived *life = NULL;
    size_t count = 0;
    bool ok = (fresh || forget(book, skein, err)) &&
              entries_of(book, skein, &life, &count, err) &&
              inherit(book, skein, &with->steps, &s, err) &&
              put(book, with, skein, 0, NULL, count == 0, &s, err);

    for (size_t i = 0; ok && i < count; i++) {
        if (!strcmp(life[i].kind, "dye") || !strcmp(life[i].kind, "vat")) {
            set_empty(&s.dips);
            set_empty(&s.last_dyestuffs);
            s.layers++;
            s.dye_id = life[i].treatment;
            s.bath_id = life[i].bath;
            /* A vat is used again, but has no exhausts. */
            s.has_round = life[i].has_round && !strcmp(life[i].kind, "dye");
            s.round = life[i].round;
        }
        ok = add_doses(book, &life[i], &with->doses, &s, err) &&
             put(book, with, skein, (int64_t)i + 1, &life[i], i + 1 == count,
                 &s, err);
    }
    ok = ok && shelve(book, skein, count ? &life[count - 1] : NULL, &s,
                      &with->pack, err);
    state_clear(&s);
    free(life);
    return ok;
}

/* What was kept back, and that all is done. */
static bool making_end(struct making *with, struct book *book,
                       struct error *err)
{
    return sheaf_put(&with->steps, book, "step", "", err) &&
           pack_flush(&with->pack, book, err);
}

static void making_clear(struct making *with)
{
    sheaf_clear(&with->steps);
    pack_clear(&with->pack);
    doses_clear(&with->doses);
    recipes_clear(&with->recipes);
}

/* ---- the whole ----------------------------------------------------------- */

static bool live_touched(struct book *book, const struct touched *t,
                         struct error *err)
{
    struct making with = {0};
    struct id_slot *all = NULL;
    size_t count = 0;
    bool ok = reached_skeins(book, t, &all, &count, err);

    for (size_t i = 0; ok && i < count; i++)
        ok = live(book, all[i].id,
                  touched_is_new(&t->of[NOUN_SKEIN], all[i].id), &with, err);
    ok = ok && making_end(&with, book, err);
    making_clear(&with);
    free(all);
    return ok;
}

/* Nothing may become its own forebear: its life would have no beginning. */
static bool no_loop(struct book *book, const struct touched_kind *k,
                    enum stmt_id which, const char *what, struct error *err)
{
    struct stmt q;
    bool row;

    if (k->to < 0 && !k->count)
        return true;
    if (!stmt_begin(book, which, &q, err))
        return false;
    stmt_int(&q, ":act", book->act_id);
    if (!stmt_step(&q, &row, err))
        return false;
    stmt_done(&q);
    return !row || error_set(err, ERR_INPUT,
                             "that would make the %s its own forebear", what);
}

bool step_refresh(struct book *book, const struct touched *t, struct error *err)
{
    return no_loop(book, &t->of[NOUN_ORIGIN], STMT_LOOP_SKEIN, "skein", err) &&
           no_loop(book, &t->of[NOUN_POUR], STMT_LOOP_BATH, "bath", err) &&
           live_touched(book, t, err);
}

/* Parents come before their children: the query orders by depth. */
bool step_rebuild(struct book *book, struct error *err)
{
    struct making with = {0};
    struct stmt q;
    int64_t *ids = NULL;
    size_t count = 0;
    bool row,
        ok = store_exec(
                 book, "DELETE FROM shelf; DELETE FROM tally; DELETE FROM step",
                 err) &&
             stmt_begin(book, STMT_STEP_ALL, &q, err);

    if (!ok)
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        ids = mem_room(ids, count, sizeof *ids);
        ids[count++] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    for (size_t i = 0; ok && i < count; i++)
        ok = live(book, ids[i], true, &with, err);
    ok = ok && making_end(&with, book, err);
    making_clear(&with);
    free(ids);
    return ok;
}
