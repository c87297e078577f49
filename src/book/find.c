/* Skeins by a colour or by words, the nearest first. See book/ask.h. */
#include "book/shelf.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/field.h"
#include "book/scan.h"

/* What skeins are held against. */
struct aim {
    const struct find_request *request;
    struct find_answer *answer;
    bool has_target;
    struct lab target;
    char *code; /* the key of the words as a tag's code; owned */
};

/* A target whose own error is nothing: a colour typed in, a name's middle. */
static struct colour_reading exact(struct lab lab)
{
    return (struct colour_reading){.lab = lab};
}

/* The middle nearest to a colour of those names that are meant. */
static struct lab nearest_middle(const struct find_answer *a, struct lab c)
{
    struct lab best = {0};
    double least = (double)INFINITY;

    for (size_t i = 0; i < COLOUR_NAMES; i++) {
        double d =
            a->in[i] ? lab_de00(c, colour_names[i].centroid) : (double)NAN;
        if (d < least) {
            least = d;
            best = colour_names[i].centroid;
        }
    }
    return best;
}

static bool is_in(const struct find_answer *a, const struct colour_name *name)
{
    return name && a->in[name - colour_names];
}

static struct lab aim_at(const struct aim *aim, struct lab c)
{
    return aim->has_target ? aim->target : nearest_middle(aim->answer, c);
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

/* Whether a skein is an answer; what is left out is counted. */
static bool is_wanted(const struct aim *aim, const char *own_word,
                      const char *code, struct hit *hit)
{
    const struct find_request *r = aim->request;
    struct find_answer *a = aim->answer;
    const struct scan_row *row = &hit->row;
    bool has_colour = row->lack == ASK_HAS_COLOUR;

    if (r->like && row->id == r->like)
        return false;
    hit->by_word =
        has_words(r) && own_word && text_contains(own_word, r->words);
    hit->by_code = aim->code && code && !strcmp(code, aim->code);
    hit->by_colour = a->names && is_in(a, row->name);
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

/* Sorts now and then, so that few are kept however many come. */
static void add_hit(struct hits *hits, const struct hit *hit)
{
    if (hits->cut && by_nearness(hit, &hits->hit[hits->limit - 1]) > 0)
        return;
    hits->hit = mem_room(hits->hit, hits->count, sizeof *hits->hit);
    hits->hit[hits->count++] = *hit;
    if (hits->limit && hits->count / 2 > hits->limit)
        cut(hits);
}

static bool gather(struct book *book, const struct aim *aim, struct hits *hits,
                   struct error *err)
{
    struct find_answer *a = aim->answer;
    bool words = has_words(aim->request), there, ok;
    struct scan scan;
    struct hit hit;

    ok = scan_begin(
        book, &aim->request->filter, a->names ? SCAN_WHO_AND_NAME : SCAN_WHO,
        words ? ", s.colour, s.code_key" : "",
        words ? " JOIN skein s ON s.id = h.skein_id" : "", &scan, err);
    while (ok && (ok = scan_next(&scan, &hit.row, &there, err)) && there) {
        struct lab c = hit.row.lab;
        if (!is_wanted(aim, words ? stmt_get_text(&scan.q, scan.at.more) : NULL,
                       words ? stmt_get_text(&scan.q, scan.at.more + 1) : NULL,
                       &hit))
            continue;
        hit.de00 = a->ranked && hit.row.lack == ASK_HAS_COLOUR
                       ? lab_de00(aim_at(aim, c), c)
                       : (double)NAN;
        a->found++;
        a->found_with_colour += hit.row.lack == ASK_HAS_COLOUR;
        add_hit(hits, &hit);
    }
    scan_end(&scan);
    cut(hits);
    return ok;
}

/* Reads what is shown in full. */
static bool read_hits(struct book *book, const struct aim *aim,
                      const struct hits *hits, struct error *err)
{
    struct find_answer *a = aim->answer;
    struct names names;
    bool ok = names_load(book, &names, err);

    a->row = mem_new(hits->count, sizeof *a->row);
    for (; ok && a->count < hits->count; a->count += ok) {
        const struct hit *h = &hits->hit[a->count];
        struct find_row *row = &a->row[a->count];
        row->by_word = h->by_word;
        row->by_colour = h->by_colour;
        row->by_code = h->by_code;
        row->de00 = h->de00;
        row->at_most = (double)NAN;
        ok = shelf_skein(book, &names, h->row.id, &aim->request->filter,
                         &row->skein, err);
    }
    names_free(&names);
    return ok;
}

/* How many of the first rows cannot be told from the first. */
static bool count_tied(struct book *book, const struct aim *aim,
                       struct error *err)
{
    struct find_answer *a = aim->answer;
    struct comparison c;
    size_t n = 1;

    if (!a->ranked || !a->count)
        return true;
    a->tied_by_photo = a->row[0].skein.reading.photo;
    for (; n < a->count && a->row[n].skein.lack == ASK_HAS_COLOUR; n++) {
        if (!ask_compare(book, &a->row[0].skein, &a->row[n].skein,
                         aim->request->tolerance, &c, NULL, err))
            return false;
        if (c.verdict == VERDICT_DIFFERENT)
            break;
        a->tied_by_photo = a->tied_by_photo && a->row[n].skein.reading.photo;
    }
    a->tied = n > 1 ? n : 0;
    return true;
}

/* What is worth reckoning for the rows that are shown only. */
static bool finish(struct book *book, const struct aim *aim,
                   struct find_row *row, struct error *err)
{
    struct colour_reading c = row->skein.reading.colour;
    double tolerance = aim->request->tolerance;

    if (row->skein.lack != ASK_HAS_COLOUR)
        return true;
    row->name = colour_name_nearest(c.lab);
    if (aim->answer->has_like) {
        if (!ask_compare(book, &aim->answer->like, &row->skein, tolerance,
                         &row->compared, NULL, err))
            return false;
        row->at_most = row->compared.U;
    } else if (aim->answer->ranked) {
        row->at_most =
            compare_readings(exact(aim_at(aim, c.lab)), c, false, tolerance).U;
    }
    return true;
}

static bool finish_all(struct book *book, const struct aim *aim,
                       struct error *err)
{
    struct find_answer *a = aim->answer;
    bool ok = true;

    for (size_t i = 0; ok && i < a->count; i++)
        ok = finish(book, aim, &a->row[i], err);
    return ok;
}

static bool take_aim(struct book *book, const struct find_request *r,
                     struct aim *aim, struct error *err)
{
    struct find_answer *a = aim->answer;

    aim->has_target = r->has_target;
    aim->target = r->target;
    if (r->like) {
        if (!ask_skein(book, r->like, &r->filter, &a->like, err))
            return false;
        a->has_like = true;
        if (a->like.lack != ASK_HAS_COLOUR)
            return error_set(err, ERR_INPUT, "skein %s: %s", a->like.label,
                             ask_lack_words(a->like.lack, r->filter.wet));
        aim->has_target = true;
        aim->target = a->like.reading.colour.lab;
    }
    if (has_words(r)) {
        colour_name_match(r->words, a->in, &a->names);
        aim->code = code_key(r->words);
    }
    a->ranked = aim->has_target || a->names > 0;
    return true;
}

bool ask_find(struct book *book, const struct find_request *request,
              struct find_answer *out, struct error *err)
{
    struct aim aim = {.request = request, .answer = out};
    struct hits hits = {.limit = request->limit};
    bool ok;

    assert(request->tolerance > 0);
    *out = (struct find_answer){0};
    ok = take_aim(book, request, &aim, err) && gather(book, &aim, &hits, err) &&
         read_hits(book, &aim, &hits, err) && finish_all(book, &aim, err) &&
         count_tied(book, &aim, err);
    free(hits.hit);
    free(aim.code);
    if (!ok)
        find_answer_clear(out);
    return ok;
}

void find_answer_clear(struct find_answer *a)
{
    for (size_t i = 0; i < a->count; i++)
        ask_skein_clear(&a->row[i].skein);
    free(a->row);
    ask_skein_clear(&a->like);
    *a = (struct find_answer){0};
}
