/* Skeins by a colour or by words, the nearest first. See book/ask.h. */
#include "book/shelf.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

/* What skeins are held against. */
struct aim {
    const struct find_request *request;
    struct find_answer *answer;
    bool has_target;
    struct lab target;
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

/* Whether a skein is an answer; what is left out is counted. */
static bool is_wanted(const struct aim *aim, struct find_row *row)
{
    const struct find_request *r = aim->request;
    struct find_answer *a = aim->answer;
    bool has_colour = row->skein.lack == ASK_HAS_COLOUR;

    row->de00 = row->at_most = (double)NAN;
    if (r->like && row->skein.id == r->like)
        return false;
    row->by_word = has_words(r) && row->skein.own_word &&
                   text_contains(row->skein.own_word, r->words);
    if (has_colour && a->names) {
        row->name = colour_name_nearest(row->skein.reading.colour.lab);
        row->by_colour = is_in(a, row->name);
    }
    if (has_colour && a->ranked) {
        struct lab c = row->skein.reading.colour.lab;
        row->de00 = lab_de00(aim_at(aim, c), c);
    }
    if (!has_words(r) && (has_colour || !a->ranked))
        return true;
    if (row->by_word || row->by_colour)
        return true;
    if (!has_colour && a->ranked && (!has_words(r) || a->names))
        a->left_out[row->skein.lack]++;
    return false;
}

/* Those with a colour by nearness; what is equal, by number. */
static int by_nearness(const void *x, const void *y)
{
    const struct find_row *a = x, *b = y;
    bool has_a = !isnan(a->de00), has_b = !isnan(b->de00);

    if (has_a != has_b)
        return has_a ? -1 : 1;
    if (has_a && a->de00 < b->de00)
        return -1;
    if (has_a && a->de00 > b->de00)
        return 1;
    return (a->place > b->place) - (a->place < b->place);
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
    if (!row->name)
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

/* Cuts the list to its limit and completes what is left. */
static bool finish_all(struct book *book, const struct aim *aim,
                       struct error *err)
{
    struct find_answer *a = aim->answer;
    bool ok = true;

    while (aim->request->limit && a->count > aim->request->limit)
        ask_skein_clear(&a->row[--a->count].skein);
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
    if (has_words(r))
        colour_name_match(r->words, a->in, &a->names);
    a->ranked = aim->has_target || a->names > 0;
    return true;
}

bool ask_find(struct book *book, const struct find_request *request,
              struct find_answer *out, struct error *err)
{
    struct aim aim = {.request = request, .answer = out};
    struct ask_skeins all = {0};
    bool ok;

    assert(request->tolerance > 0);
    *out = (struct find_answer){0};
    ok = take_aim(book, request, &aim, err) &&
         ask_skeins(book, &request->filter, &all, err);
    if (ok)
        out->row = mem_new(all.count, sizeof *out->row);
    for (size_t i = 0; ok && i < all.count; i++) {
        struct find_row *row = &out->row[out->count];
        *row = (struct find_row){.skein = all.skein[i], .place = i};
        if (!is_wanted(&aim, row))
            continue;
        all.skein[i] = (struct ask_skein){0}; /* handed over */
        out->found_with_colour += row->skein.lack == ASK_HAS_COLOUR;
        out->count++;
    }
    out->found = out->count;
    ask_skeins_free(&all);
    if (ok && out->count)
        qsort(out->row, out->count, sizeof *out->row, by_nearness);
    ok = ok && finish_all(book, &aim, err) && count_tied(book, &aim, err);
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
