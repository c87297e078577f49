/* Cutting a skein up and plying skeins together. See book/cut.h. */
#include "book/cut.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/pot_work.h"
#include "dye/amount.h"

static void label_echo(const char *label, struct text *lines, struct text *echo)
{
    const char *s = text_str(lines);

    while (echo && *s) {
        size_t n = strcspn(s, "\n");
        text_addf(echo, "skein %s: %.*s\n", label, (int)n, s);
        s += n + (s[n] == '\n');
    }
    text_reset(lines);
}

static bool add_origin(struct book *book, int64_t child, int64_t parent,
                       const char *amount, const char *part, struct error *err)
{
    struct id_words c = id_words(child), p = id_words(parent);
    const struct record_value v[] = {
        {"child", c.s}, {"parent", p.s}, {"amount", amount}, {"part", part}};
    int64_t id;

    return record_add(book, NOUN_ORIGIN, v, ARRAY_LEN(v), &id, NULL, err);
}

/* What others had of a skein; NaN unless it is known of all of them. */
struct off {
    int64_t pieces;
    double g, part;
};

static bool cut_off(struct book *book, int64_t skein, struct off *out,
                    struct error *err)
{
    struct stmt q;
    bool row;

    *out = (struct off){0};
    if (!stmt_begin(book, STMT_CUT_OFF, &q, err))
        return false;
    stmt_int(&q, ":of", skein);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row) {
        out->pieces = stmt_get_int(&q, 0);
        out->g = stmt_get_int(&q, 1) == out->pieces ? stmt_get_real(&q, 2)
                                                    : (double)NAN;
        out->part = stmt_get_int(&q, 3) == out->pieces ? stmt_get_real(&q, 4)
                                                       : (double)NAN;
    }
    stmt_done(&q);
    return true;
}

/* ---- what is left
 * ------------------------------------------------------------
 */

bool cut_up(struct book *book, int64_t **ids, size_t *count, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_CUT_UP, &q, err);

    *ids = NULL;
    *count = 0;
    while (ok && (ok = stmt_step(&q, &row, err)) && row) {
        *ids = mem_resize(*ids, *count + 1, sizeof **ids);
        (*ids)[(*count)++] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    return ok;
}

bool cut_is_up(const int64_t *ids, size_t count, int64_t skein)
{
    size_t low = 0;

    while (low < count) {
        size_t middle = low + (count - low) / 2;
        if (ids[middle] == skein)
            return true;
        if (ids[middle] < skein)
            low = middle + 1;
        else
            count = middle;
    }
    return false;
}

bool cut_into(struct book *book, int64_t skein, struct text *out,
              struct error *err)
{
    static const char *const how[] = {"cut into ", "plied into "};
    struct stmt q;
    int64_t before = -1; /* plied, of the one before */
    bool row, ok = stmt_begin(book, STMT_CUT_INTO, &q, err);

    if (ok)
        stmt_int(&q, ":of", skein);
    while (ok && (ok = stmt_step(&q, &row, err)) && row) {
        const int64_t plied = stmt_get_int(&q, 1);

        text_addf(out, "%s%s%s", before < 0 ? "" : ", ",
                  plied == before ? "" : how[plied], stmt_get_text(&q, 0));
        before = plied;
    }
    stmt_done(&q);
    return ok;
}

bool cut_all_of(struct book *book, int64_t skein, bool *up, struct error *err)
{
    struct stmt q;
    bool ok = stmt_begin(book, STMT_CUT_IS_UP, &q, err);

    if (!ok)
        return false;
    stmt_int(&q, ":of", skein);
    ok = stmt_step(&q, up, err);
    stmt_done(&q);
    return ok;
}

bool cut_is_left(struct book *book, int64_t skein, struct error *err)
{
    struct text label = {0}, into = {0};
    bool up, ok = cut_all_of(book, skein, &up, err);

    if (ok && up)
        ok = record_label(book, NOUN_SKEIN, skein, &label, err) &&
             cut_into(book, skein, &into, err) &&
             error_set(err, ERR_INPUT,
                       "nothing of skein %s is left, it was %s: say one of "
                       "those",
                       text_str(&label), text_str(&into));
    text_clear(&label);
    text_clear(&into);
    return ok;
}

/* ---- cutting ----------------------------------------------------------------
 */

/* What a piece has from the skein it is cut from, unless it says its own. */
static const char *const inherited[] = {"fibre", "colour", "place"};

#define PIECE_KEYS 16

static bool piece_values(const struct record *parent, const char *dyer,
                         const struct parts *p, struct record_value *v,
                         size_t *n, struct error *err)
{
    static const char *const keys[] = {"weight", "number",  "name",
                                       "code",   "length",  "colour",
                                       "place",  "weighed", "note"};

    *n = 0;
    v[(*n)++] = (struct record_value){"dyer", dyer};
    if (p->first)
        v[(*n)++] = (struct record_value){"weight", p->first};
    for (size_t i = 0; i < p->count; i++) {
        size_t k = 0;
        while (k < ARRAY_LEN(keys) && !text_same(p->key[i], keys[k]))
            k++;
        for (size_t o = 0; k < ARRAY_LEN(keys) && o < *n; o++)
            if (!strcmp(v[o].field, keys[k]))
                return error_set(err, ERR_INPUT, "its %s is said twice",
                                 keys[k]);
        if (k == ARRAY_LEN(keys))
            return error_set(err, ERR_INPUT,
                             "there is no \"%s\"; say weight, number, name, "
                             "code, length, colour, place, weighed or note",
                             p->key[i]);
        v[(*n)++] = (struct record_value){keys[k], p->value[i]};
    }
    for (size_t i = 0; i < ARRAY_LEN(inherited); i++) {
        const struct record_field *f = record_get(parent, inherited[i]);
        bool own = !f;
        for (size_t o = 0; o < *n; o++)
            own = own || !strcmp(v[o].field, inherited[i]);
        if (!own)
            v[(*n)++] = (struct record_value){inherited[i], f->words};
    }
    return true;
}

static const char *value_of(const struct record_value *v, size_t n,
                            const char *field)
{
    for (size_t i = 0; i < n; i++)
        if (!strcmp(v[i].field, field))
            return v[i].words;
    return NULL;
}

/* What there is to be cut now, in grams and as a part of what it was; NaN when
 * not known. */
struct whole {
    double low, high, part;
    double said; /* what parts of it were said so far, together */
};

static bool whole_of(struct book *book, const struct record *parent,
                     struct whole *out, struct error *err)
{
    const struct record_field *f = record_get(parent, "weight");
    struct off off;

    *out = (struct whole){f ? f->low : (double)NAN, f ? f->high : (double)NAN,
                          1, 0};
    if (!cut_off(book, parent->id, &off, err))
        return false;
    out->low -= off.g;
    out->high -= off.g;
    out->part -= off.part;
    return true;
}

/* A part of the whole is weighed by it, which is a guess until the scale says
 * so. What is neither that nor a weight is a slip. */
static bool weigh_piece(struct whole *whole, struct record_value *v, size_t *n,
                        struct text *grams, struct text *of_all,
                        struct text *lines, struct error *err)
{
    struct amount_context ctx = {AMOUNT_COUNT, false};
    struct amount a;
    struct error none;
    double part;
    size_t i = 0;

    while (i < *n && strcmp(v[i].field, "weight") != 0)
        i++;
    if (i == *n)
        return true;
    if (!amount_fraction(v[i].words, &part)) {
        bool read = amount_read(v[i].words, ctx, &a, &none);
        if (read && ((a.unit == AMOUNT_COUNT && a.high < 1) ||
                     (a.unit == AMOUNT_WORDS && !strchr(v[i].words, ' '))))
            return error_set(err, ERR_INPUT,
                             "\"%s\" is no weight: say \"20 g\", or \"half\", "
                             "or \"unknown\"; what it is called goes behind "
                             "\"name=\"",
                             v[i].words);
        return true;
    }
    whole->said += part;
    if (whole->part > 0)
        text_addf(of_all, "%.6g", part * whole->part);
    if (isnan(whole->low) || !(whole->low > 0)) {
        text_addf(grams, "a part (%s)", v[i].words); /* not "1/2" g */
        v[i].words = text_str(grams);
        return true;
    }
    amount_add_range(grams, part * whole->low, part * whole->high);
    text_add(grams, " g");
    text_addf(lines, "%s of ", v[i].words);
    amount_add_range(lines, whole->low, whole->high);
    text_addf(lines, " g is %s, not weighed\n", text_str(grams));
    v[i].words = text_str(grams);
    if (!value_of(v, *n, "weighed"))
        v[(*n)++] = (struct record_value){"weighed", "guessed"};
    return true;
}

static const char *guess_key(const char *part)
{
    struct amount_context ctx = {AMOUNT_COUNT, false};
    struct amount a;
    struct error none;

    return amount_read(part, ctx, &a, &none) && a.unit == AMOUNT_G ? "weight"
                                                                   : "name";
}

static bool cut_piece(struct book *book, const struct record *parent,
                      struct whole *whole, const char *words, int64_t *id,
                      struct text *echo, struct error *err)
{
    struct id_words dyer = id_words(parent->owner_id);
    struct record_value v[PIECE_KEYS];
    struct text lines = {0}, label = {0}, grams = {0}, part = {0};
    struct parts p;
    size_t n;
    bool ok;

    if (!parts_read(words, "piece", guess_key, &p, err))
        return false;
    ok = piece_values(parent, dyer.s, &p, v, &n, err) &&
         weigh_piece(whole, v, &n, &grams, &part, &lines, err) &&
         record_add(book, NOUN_SKEIN, v, n, id, &lines, err) &&
         add_origin(book, *id, parent->id, value_of(v, n, "weight"),
                    text_str(&part), err) &&
         record_label(book, NOUN_SKEIN, *id, &label, err);
    if (ok)
        label_echo(text_str(&label), &lines, echo);
    else
        pot_blame(err, "piece \"%s\"", words);
    text_clear(&lines);
    text_clear(&label);
    text_clear(&grams);
    text_clear(&part);
    free(p.bytes);
    return ok;
}

/* What is left of the skein by the weights; more than all is asked about. */
static bool weigh_up(struct book *book, const struct record *parent,
                     struct text *echo, struct error *err)
{
    const struct record_field *whole = record_get(parent, "weight");
    double g, left;

    if (!echo || !whole || isnan(whole->low))
        return true;
    g = (whole->low + whole->high) / 2;
    if (!cut_left(book, parent->id, g, &left, err))
        return false;
    if (isnan(left))
        return true;
    text_addf(echo, "skein %s: ", parent->label);
    if (left > 0.02 * g) {
        text_add_real(echo, left, 1);
        text_add(echo, " g of ");
        text_add_real(echo, g, 1);
        text_add(echo, " g is left\n");
    } else if (left < -0.02 * g) {
        text_add(echo, "the pieces weigh ");
        text_add_real(echo, -left, 1);
        text_add(echo, " g more than it did; they are kept as typed\n");
    } else {
        text_add(echo, "all of it is cut up\n");
    }
    return true;
}

bool cut_left(struct book *book, int64_t skein, double whole_g, double *left,
              struct error *err)
{
    struct off off;

    if (!cut_off(book, skein, &off, err))
        return false;
    *left = off.pieces ? whole_g - off.g : (double)NAN;
    return true;
}

static bool cut_all(struct book *book, int64_t skein, const char *const *piece,
                    size_t count, int64_t *ids, struct text *echo,
                    struct error *err)
{
    struct record parent;
    struct whole whole;
    bool ok = record_read(book, NOUN_SKEIN, skein, &parent, err);

    if (!ok)
        return false;
    ok = record_stands(book, NOUN_SKEIN, skein, "cut", err) &&
         cut_is_left(book, skein, err) && whole_of(book, &parent, &whole, err);
    for (size_t i = 0; ok && i < count; i++)
        ok = cut_piece(book, &parent, &whole, piece[i], &ids[i], echo, err);
    if (ok && whole.said > 1.011) /* "0.33" and the like are rounded */
        ok = error_set(err, ERR_INPUT,
                       "these parts are more than all that is left of skein "
                       "%s: %.4g of it",
                       parent.label, whole.said);
    ok = ok && weigh_up(book, &parent, echo, err);
    record_clear(&parent);
    return ok;
}

bool skein_cut(struct book *book, int64_t skein, const char *const *piece,
               size_t count, int64_t *ids, struct text *echo, struct error *err)
{
    bool ok = book_act_begin(book, "cut", err) &&
              cut_all(book, skein, piece, count, ids, echo, err) &&
              book_act_end(book, err);

    if (!ok)
        book_act_cancel(book);
    return ok;
}

bool skein_cut_try(struct book *book, int64_t skein, const char *const *piece,
                   size_t count, struct text *echo, struct error *err)
{
    int64_t *ids = mem_new(count, sizeof *ids);
    bool ok = book_act_begin(book, "cut", err) &&
              cut_all(book, skein, piece, count, ids, echo, err);

    book_act_cancel(book);
    free(ids);
    return ok;
}

/* ---- plying -----------------------------------------------------------------
 */

struct strands {
    int64_t *id;
    size_t count;
};

static bool add_strand(struct book *book, int64_t child, const char *words,
                       struct strands *all, struct error *err)
{
    char *skein = mem_text(words), *colon = strchr(skein, ':');
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok;

    if (colon)
        *colon = '\0';
    ok = record_skeins(book, book_dyer(book), skein, &ids, &n, NULL, err);
    if (ok && colon && n > 1)
        ok = error_set(err, ERR_INPUT, "\"%s\": say how much of each by itself",
                       words);
    all->id = mem_resize(all->id, all->count + n, sizeof *all->id);
    for (size_t i = 0; ok && i < n; i++) {
        for (size_t k = 0; k < all->count; k++)
            if (all->id[k] == ids[i])
                ok = error_set(err, ERR_INPUT, "skein %s is said twice", skein);
        if (!ok)
            break;
        all->id[all->count++] = ids[i];
        ok = record_stands(book, NOUN_SKEIN, ids[i], "plied", err) &&
             cut_is_left(book, ids[i], err) &&
             add_origin(book, child, ids[i], colon ? colon + 1 : NULL, NULL,
                        err);
    }
    free(ids);
    free(skein);
    return ok;
}

static bool ply_all(struct book *book, const char *const *strand, size_t count,
                    const struct record_value *values, size_t n, int64_t *id,
                    struct strands *all, struct text *echo, struct error *err)
{
    struct text lines = {0}, label = {0};
    bool ok = record_add(book, NOUN_SKEIN, values, n, id, &lines, err) &&
              record_label(book, NOUN_SKEIN, *id, &label, err);

    if (ok)
        label_echo(text_str(&label), &lines, echo);
    for (size_t i = 0; ok && i < count; i++)
        ok = add_strand(book, *id, strand[i], all, err);
    if (ok && all->count < 2)
        ok = error_set(err, ERR_INPUT,
                       "say of which skeins: two of them, or more");
    text_clear(&lines);
    text_clear(&label);
    return ok;
}

bool skein_ply(struct book *book, const char *const *strand, size_t count,
               const struct record_value *values, size_t n, int64_t *id,
               int64_t **parents, size_t *made_of, struct text *echo,
               struct error *err)
{
    struct strands all = {0};
    bool ok = book_act_begin(book, "ply", err) &&
              ply_all(book, strand, count, values, n, id, &all, echo, err) &&
              book_act_end(book, err);

    if (!ok) {
        book_act_cancel(book);
        free(all.id);
        all = (struct strands){0};
    }
    *parents = all.id;
    *made_of = all.count;
    return ok;
}
