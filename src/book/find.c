/* Skeins by a colour or by words, the nearest first. See book/ask.h. */
#include "book/shelf.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/field.h"
#include "book/find_near.h"
#include "book/scan.h"
#include "colour/beyond.h"

/* What skeins are held against. */
struct aim {
    const struct find_request *request;
    struct find_answer *answer;
    struct lab target[COLOUR_NAMES]; /* a colour, or the middles of names */
    size_t targets;
    struct id_set by_word, by_code; /* skeins that the words are said of */
};

/* A colour typed in, or a name's middle, has no error of its own. */
static struct colour_reading target_of(const struct aim *aim, struct lab lab)
{
    const struct find_request *r = aim->request;

    return (struct colour_reading){
        .lab = lab, .abs = r->was_read ? r->target_abs : (struct cov3){0}};
}

/* The target nearest to a colour, NULL when none is within `most`; its
 * distance goes to *de00. */
static const struct lab *nearest(const struct aim *aim, struct lab c,
                                 double most, double *de00)
{
    const struct lab *best = NULL;

    for (size_t i = 0; i < aim->targets; i++) {
        double d;
        if (lab_is_beyond(aim->target[i], c, most))
            continue;
        d = lab_de00(aim->target[i], c);
        if (d < most || (d == most && !best)) {
            most = d;
            best = &aim->target[i];
        }
    }
    *de00 = most;
    return best;
}

static bool is_in(const struct find_answer *a, const struct colour_name *name)
{
    return name && a->in[name - colour_names];
}

static bool has_words(const struct find_request *request)
{
    return request->words && *request->words;
}

/* A skein that may be an answer, before it is read in full. */
struct hit {
    struct scan_row row;
    double de00; /* NaN: not ranked */
    bool by_word, by_colour, by_code;
};

static bool is_within(double x, double low, double high)
{
    return x >= low && x <= high;
}

static bool is_in_area(const struct find_area *at, struct lab c)
{
    return is_within(c.L, at->L_low, at->L_high) &&
           is_within(c.a, at->a_low, at->a_high) &&
           is_within(c.b, at->b_low, at->b_high);
}

/* Whether a skein is an answer; what is left out is counted. */
static bool is_wanted(const struct aim *aim, struct hit *hit)
{
    const struct find_request *r = aim->request;
    struct find_answer *a = aim->answer;
    const struct scan_row *row = &hit->row;
    bool has_colour = row->lack == ASK_HAS_COLOUR;

    if (r->like && row->id == r->like)
        return false;
    hit->by_word = id_set_has(&aim->by_word, row->id);
    hit->by_code = id_set_has(&aim->by_code, row->id);
    hit->by_colour = a->names && is_in(a, row->name);
    if (r->has_area && has_colour && !is_in_area(&r->area, row->lab))
        return false;
    if (r->has_area && !has_colour) {
        a->left_out[row->lack]++;
        return false;
    }
    if (has_words(r) ? hit->by_word || hit->by_colour || hit->by_code
                     : has_colour || !a->ranked)
        return true;
    if (!has_colour && a->ranked && (!has_words(r) || a->names))
        a->left_out[row->lack]++;
    return false;
}

/* Those with a colour by nearness; what is equal, by number. */
static int by_nearness(const void *x, const void *y)
{
    const struct hit *a = x, *b = y;
    bool has_a = !isnan(a->de00), has_b = !isnan(b->de00);

    if (has_a != has_b)
        return has_a ? -1 : 1;
    if (has_a && a->de00 < b->de00)
        return -1;
    if (has_a && a->de00 > b->de00)
        return 1;
    return scan_order(&a->row, &b->row);
}

/* The best `limit` of all that were added, 0: all of them. */
struct hits {
    struct hit *hit;
    size_t count, limit;
    bool cut; /* the limit'th is in its place: nothing after it matters */
};

static void cut(struct hits *hits)
{
    if (hits->count)
        qsort(hits->hit, hits->count, sizeof *hits->hit, by_nearness);
    if (hits->limit && hits->count > hits->limit) {
        hits->count = hits->limit;
        hits->cut = true;
    }
}

/* Beyond this a hit is not among the best. */
static double reach(const struct hits *hits)
{
    const double last =
        hits->cut ? hits->hit[hits->limit - 1].de00 : (double)INFINITY;

    return isnan(last) ? (double)INFINITY : last;
}

/* Sorts now and then, so that few are kept however many come. */
static void add_hit(const struct aim *aim, struct hits *hits, struct hit *hit)
{
    hit->de00 = (double)NAN;
    if (aim->targets && hit->row.lack == ASK_HAS_COLOUR &&
        !nearest(aim, hit->row.lab, reach(hits), &hit->de00))
        return;
    if (hits->cut && by_nearness(hit, &hits->hit[hits->limit - 1]) > 0)
        return;
    hits->hit = mem_room(hits->hit, hits->count, sizeof *hits->hit);
    hits->hit[hits->count++] = *hit;
    if (hits->limit && hits->count / 2 > hits->limit)
        cut(hits);
}

/* Words that mean no colour are said of few skeins, and nothing is counted of
 * the others. */
static bool is_only_said(const struct aim *aim)
{
    return has_words(aim->request) && !aim->answer->names &&
           !aim->request->has_area;
}

/* ---- the nearest, by the index of colours ---------------------------------
 */

/* Whether faces tell of each skein if the words are said of it or mean the name
 * of its colour. */
static bool is_named(const struct aim *aim, const struct scan *scan)
{
    return aim->answer->names && !aim->request->like && scan_is_whole(scan);
}

/* Whether the words are said of a skein of that colour, or mean its name. */
static bool is_meant(const void *self, int64_t skein, struct lab c)
{
    const struct aim *aim = self;

    return id_set_has(&aim->by_word, skein) ||
           id_set_has(&aim->by_code, skein) ||
           is_in(aim->answer, colour_name_nearest(c));
}

/* Counts as is_wanted does; what is said of a skein is told of few. */
static bool count_named(const struct aim *aim, const struct scan *scan,
                        struct error *err)
{
    struct find_answer *a = aim->answer;
    size_t all[PACK_FACE_KINDS] = {0}, said[PACK_FACE_KINDS] = {0}, count;
    int64_t *id = id_set_ids(&aim->by_word, &aim->by_code, &count);
    const bool ok = scan_faces(scan->book, id, count, said, all, err);

    for (size_t i = PACK_FACE_NAMES; ok && i < PACK_FACE_KINDS; i++) {
        const size_t lack = i / PACK_FACE_NAMES - 1, name = i % PACK_FACE_NAMES;
        const bool in = name && name <= COLOUR_NAMES && a->in[name - 1];
        const size_t n = in ? all[i] : said[i];

        a->found += n;
        if (lack == ASK_HAS_COLOUR)
            a->found_with_colour += n;
        else
            a->left_out[lack] += all[i] - n;
    }
    for (size_t i = 0; i < a->count; i++) {
        struct find_row *row = &a->row[i];
        row->by_word = id_set_has(&aim->by_word, row->skein.id);
        row->by_code = id_set_has(&aim->by_code, row->skein.id);
        row->by_colour =
            is_in(a, colour_name_nearest(row->skein.reading.colour.lab));
    }
    free(id);
    return ok;
}

/* *done false when every skein has to be looked at. */
static bool read_nearest(struct book *book, const struct aim *aim,
                         struct scan *scan, struct lore *lore, size_t limit,
                         bool *done, struct error *err)
{
    const struct find_request *r = aim->request;
    struct find_answer *a = aim->answer;
    struct near_request near = {.filter = &r->filter,
                                .target = aim->target,
                                .targets = aim->targets,
                                .without = r->like,
                                .limit = limit};
    size_t by_lack[ASK_LACKS];
    bool known, like;

    *done = false;
    if (!aim->targets || !limit || r->has_area ||
        (has_words(r) && !is_named(aim, scan)))
        return true;
    if (!scan_tally(scan, by_lack, &known, err))
        return false;
    for (size_t i = 0; known && i < ASK_LACKS; i++)
        near.passing += by_lack[i];
    if (scan->sieve.by_recipe)
        near.recipe = &scan->sieve.recipe;
    if (has_words(r)) {
        near.is_wanted = is_meant;
        near.self = aim;
    }
    if (!find_nearest(book, lore, &near, &a->row, &a->count, &like, done, err))
        return false;
    if (!*done)
        return true;
    if (has_words(r))
        return count_named(aim, scan, err);
    a->found = by_lack[ASK_HAS_COLOUR] - like;
    a->found_with_colour = a->found;
    by_lack[ASK_HAS_COLOUR] = 0;
    memcpy(a->left_out, by_lack, sizeof by_lack);
    return true;
}

/* ---- all of them ----------------------------------------------------------
 */

static void look_at_said(const struct aim *aim, struct scan *scan)
{
    size_t count;
    int64_t *id = id_set_ids(&aim->by_word, &aim->by_code, &count);

    scan_only(scan, id, count);
}

/* Where they come by number: the first, and a count of the others. */
static bool gather_first(const struct aim *aim, struct scan *scan,
                         struct hits *hits, bool *done, struct error *err)
{
    struct find_answer *a = aim->answer;
    size_t by_lack[ASK_LACKS], count = 0;
    struct scan_row *row = NULL;
    bool ok;

    *done = false;
    if (aim->targets || !hits->limit || aim->request->has_area)
        return true;
    if (is_only_said(aim))
        look_at_said(aim, scan);
    ok = scan_first(scan, hits->limit, &row, &count, by_lack, done, err);
    for (size_t i = 0; ok && *done && i < count; i++) {
        struct hit hit = {.row = row[i]};

        if (is_wanted(aim, &hit))
            add_hit(aim, hits, &hit);
    }
    for (size_t i = 0; ok && *done && i < ASK_LACKS; i++)
        a->found += by_lack[i];
    if (ok && *done)
        a->found_with_colour = by_lack[ASK_HAS_COLOUR];
    free(row);
    return ok;
}

static bool gather_all(const struct aim *aim, struct scan *scan,
                       struct hits *hits, struct error *err)
{
    struct find_answer *a = aim->answer;
    bool there, ok = true;
    struct hit hit;

    if (is_only_said(aim))
        look_at_said(aim, scan);
    while (ok && (ok = scan_next(scan, &hit.row, &there, err)) && there) {
        if (!is_wanted(aim, &hit))
            continue;
        a->found++;
        a->found_with_colour += hit.row.lack == ASK_HAS_COLOUR;
        add_hit(aim, hits, &hit);
    }
    return ok;
}

/* Takes over a skein that was read on the way; false: it was not. */
static bool was_read(struct find_row *row, size_t count, int64_t id,
                     struct ask_skein *out)
{
    for (size_t i = 0; i < count; i++)
        if (row[i].skein.id == id) {
            *out = row[i].skein;
            row[i].skein = (struct ask_skein){0};
            return true;
        }
    return false;
}

/* Reads what is shown in full. */
static bool read_hits(struct book *book, const struct aim *aim,
                      struct lore *lore, const struct hits *hits,
                      struct error *err)
{
    struct find_answer *a = aim->answer;
    struct find_row *read = a->row;
    const size_t known = a->count;
    bool ok = true;

    a->row = mem_new(hits->count, sizeof *a->row);
    for (a->count = 0; ok && a->count < hits->count; a->count += ok) {
        const struct hit *h = &hits->hit[a->count];
        struct find_row *row = &a->row[a->count];
        row->by_word = h->by_word;
        row->by_colour = h->by_colour;
        row->by_code = h->by_code;
        row->de00 = h->de00;
        ok = was_read(read, known, h->row.id, &row->skein) ||
             shelf_skein(book, lore, h->row.id, &aim->request->filter,
                         &row->skein, err);
    }
    for (size_t i = 0; i < known; i++)
        ask_skein_clear(&read[i].skein);
    free(read);
    return ok;
}

static bool read_all(struct book *book, const struct aim *aim,
                     struct scan *scan, struct lore *lore, size_t limit,
                     struct error *err)
{
    struct hits hits = {.limit = limit};
    bool done, ok = gather_first(aim, scan, &hits, &done, err) &&
                    (done || gather_all(aim, scan, &hits, err));

    cut(&hits);
    ok = ok && read_hits(book, aim, lore, &hits, err);
    free(hits.hit);
    return ok;
}

/* Finds the skeins and reads them. */
static bool read_skeins(struct book *book, const struct aim *aim, size_t limit,
                        struct error *err)
{
    const struct find_request *r = aim->request;
    const bool colour = aim->targets || r->has_area;
    struct scan scan = {0};
    struct lore lore;
    bool done,
        ok = lore_load(book, &lore, err) &&
             scan_begin(book, &r->filter, SCAN_WHO | (colour ? SCAN_COLOUR : 0),
                        &scan, err) &&
             read_nearest(book, aim, &scan, &lore, limit, &done, err) &&
             (done || read_all(book, aim, &scan, &lore, limit, err));

    scan_end(&scan);
    lore_free(&lore);
    return ok;
}

/* Whether two readings are different colours; their set-ups are looked into
 * only where it hangs on these. */
static bool do_differ(struct book *book, const struct setup *setup,
                      const struct ask_reading *other, double tolerance,
                      bool *differ, struct error *err)
{
    bool same = false, is[2];

    readings_differ(setup->of->colour, other->colour, tolerance, is);
    if (is[0] != is[1] && !setup_is_same(book, setup, other, &same, err))
        return false;
    *differ = is[same];
    return true;
}

/* How many of the first rows cannot be told from the first. */
static bool count_tied(struct book *book, const struct aim *aim,
                       struct error *err)
{
    struct find_answer *a = aim->answer;
    const struct ask_reading *first, *next;
    bool ok, differ = false;
    struct setup setup;
    size_t n = 1;

    if (!a->ranked || !a->count)
        return true;
    first = &a->row[0].skein.reading;
    ok = setup_load(book, first, &setup, err);
    a->tied_by_photo = first->photo;
    for (; ok && n < a->count && a->row[n].skein.lack == ASK_HAS_COLOUR; n++) {
        next = &a->row[n].skein.reading;
        ok = do_differ(book, &setup, next, aim->request->tolerance, &differ,
                       err);
        if (!ok || differ)
            break;
        a->tied_by_photo = a->tied_by_photo && next->photo;
    }
    a->tied = n > 1 ? n : 0;
    setup_clear(&setup);
    return ok;
}

/* What is worth reckoning for the rows that are shown only; like is the set-up
 * of the skein that they are held against, if there is one. */
static bool finish(struct book *book, const struct aim *aim,
                   const struct setup *like, struct find_row *row,
                   struct error *err)
{
    const struct ask_reading *r = &row->skein.reading;
    struct colour_reading to;
    const struct lab *target = aim->target;
    bool same = false;
    double de00;

    row->at_most = (double)NAN;
    if (row->skein.lack != ASK_HAS_COLOUR)
        return true;
    row->name = colour_name_nearest(r->colour.lab);
    if (like->of) {
        if (!setup_is_same(book, like, r, &same, err))
            return false;
        to = like->of->colour;
    } else {
        target = nearest(aim, r->colour.lab, (double)INFINITY, &de00);
        if (!target)
            return true;
        to = target_of(aim, *target);
    }
    row->target = *target;
    row->compared =
        compare_readings(to, r->colour, same, aim->request->tolerance);
    row->at_most = row->compared.U;
    return true;
}

static bool finish_all(struct book *book, const struct aim *aim,
                       struct error *err)
{
    struct find_answer *a = aim->answer;
    struct setup like = {0};
    bool ok = !a->has_like || setup_load(book, &a->like.reading, &like, err);

    for (size_t i = 0; ok && i < a->count; i++)
        ok = finish(book, aim, &like, &a->row[i], err);
    setup_clear(&like);
    return ok;
}

/* Where the words mean a colour that no skein has: the nearest to it. */
static bool find_near(struct book *book, const struct aim *aim,
                      struct error *err)
{
    struct find_answer *a = aim->answer, all = {.ranked = true};
    struct find_request request = *aim->request;
    struct aim near = *aim;
    bool ok;

    if (!a->names || a->found_with_colour || a->has_like)
        return true;
    request.words = NULL;
    near.request = &request;
    near.answer = &all;
    ok = read_skeins(book, &near, 1, err) && finish_all(book, &near, err);
    if (ok && all.count) {
        a->has_near = true;
        a->near = *all.row;
        all.count = 0;
    }
    find_answer_clear(&all);
    return ok;
}

static bool load_of(struct book *book, enum stmt_id which, const char *param,
                    const char *key, struct id_set *out, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, which, &q, err);

    if (ok)
        stmt_text(&q, param, key);
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        id_set_put(out, stmt_get_int(&q, 0));
    stmt_done(&q);
    return ok;
}

/* Skeins whose own word has the words in it. */
static bool load_by_word(struct book *book, const char *words,
                         struct id_set *out, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_FIND_OWN_WORDS, &q, err);

    while (ok && (ok = stmt_step(&q, &row, err)) && row) {
        const char *own = stmt_get_text(&q, 0);
        if (text_contains(own, words))
            ok = load_of(book, STMT_FIND_OWN_WORD, ":word", own, out, err);
    }
    stmt_done(&q);
    return ok;
}

/* Skeins whose tag's code the words may be. */
static bool load_by_code(struct book *book, const char *words,
                         struct id_set *out, struct error *err)
{
    char *code = code_key(words);
    const bool ok = load_of(book, STMT_FIND_OWN_CODE, ":code", code, out, err);

    free(code);
    return ok;
}

static bool take_like(struct book *book, struct aim *aim, struct error *err)
{
    struct find_answer *a = aim->answer;
    const struct find_request *r = aim->request;

    if (!ask_skein(book, r->like, &r->filter, &a->like, err))
        return false;
    a->has_like = true;
    if (a->like.lack != ASK_HAS_COLOUR)
        return error_set(err, ERR_INPUT, "skein %s: %s", a->like.label,
                         ask_lack_words(a->like.lack, r->filter.wet));
    aim->target[0] = a->like.reading.colour.lab;
    aim->targets = 1;
    return true;
}

/* Olive, light or dark, of the olives; not greyish olive nor olive grey. */
static bool is_plain(const struct colour_name *c)
{
    return !strcmp(c->hue, c->family) && !strstr(c->modifier, "greyish");
}

static bool of_one_family(const bool in[COLOUR_NAMES])
{
    const char *family = NULL;

    for (size_t i = 0; i < COLOUR_NAMES; i++) {
        if (in[i] && family && strcmp(colour_names[i].family, family) != 0)
            return false;
        if (in[i])
            family = colour_names[i].family;
    }
    return true;
}

/* The middles of the names that are meant; of a family the plain ones, for who
 * asks for olive wants olive grey last. */
static void take_names(struct aim *aim)
{
    const bool *in = aim->answer->in;

    for (int plain = of_one_family(in); plain >= 0 && !aim->targets; plain--)
        for (size_t i = 0; i < COLOUR_NAMES; i++)
            if (in[i] && (!plain || is_plain(&colour_names[i])))
                aim->target[aim->targets++] = colour_names[i].centroid;
}

static bool take_aim(struct book *book, struct aim *aim, struct error *err)
{
    const struct find_request *r = aim->request;
    struct find_answer *a = aim->answer;

    if (r->has_target)
        aim->target[aim->targets++] = r->target;
    if (r->like && !take_like(book, aim, err))
        return false;
    if (has_words(r)) {
        colour_name_match(r->words, a->in, &a->names);
        if (!load_by_word(book, r->words, &aim->by_word, err) ||
            !load_by_code(book, r->words, &aim->by_code, err))
            return false;
    }
    if (!aim->targets)
        take_names(aim);
    a->ranked = aim->targets > 0;
    a->judged = r->like || r->was_read;
    return true;
}

bool ask_find(struct book *book, const struct find_request *request,
              struct find_answer *out, struct error *err)
{
    struct aim aim = {.request = request, .answer = out};
    bool ok;

    assert(request->tolerance > 0);
    *out = (struct find_answer){0};
    ok = book_look(book, err) && take_aim(book, &aim, err) &&
         read_skeins(book, &aim, request->limit, err) &&
         finish_all(book, &aim, err) && count_tied(book, &aim, err) &&
         find_near(book, &aim, err);
    book_look_end(book);
    id_set_clear(&aim.by_word);
    id_set_clear(&aim.by_code);
    if (!ok)
        find_answer_clear(out);
    return ok;
}

void find_answer_clear(struct find_answer *a)
{
    for (size_t i = 0; i < a->count; i++)
        ask_skein_clear(&a->row[i].skein);
    free(a->row);
    if (a->has_near)
        ask_skein_clear(&a->near.skein);
    ask_skein_clear(&a->like);
    *a = (struct find_answer){0};
}
