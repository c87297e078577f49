/* A hank into pieces. See the header. */
#include "dye/split.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "dye/amount.h"
#include "dye/reckon.h"

/* The middle of what was said, in one unit. */
static bool read_one(const char *words, enum amount_unit unit, const char *what,
                     double *out, struct error *err)
{
    const struct amount_context bare = {unit, false};
    struct amount a;

    *out = (double)NAN;
    if (!words || !*words)
        return true;
    if (!amount_read(words, bare, &a, err))
        return false;
    if (a.unit != unit || !(a.low > 0))
        return error_set(err, ERR_INPUT, "%s: \"%s\" is no %s above 0", what,
                         words, unit == AMOUNT_M ? "length" : "weight");
    *out = (a.low + a.high) / 2;
    return true;
}

/* "10 m = 2.5 g", either side first, as metres a gram. */
static bool read_sample(const char *words, double *m_per_g, struct error *err)
{
    const char *sign = words ? strpbrk(words, "=:/") : NULL;
    char *first, *second;
    struct amount a, b;
    const struct amount_context none = {AMOUNT_COUNT, false};
    bool ok;

    *m_per_g = (double)NAN;
    if (!words || !*words)
        return true;
    first = sign ? mem_text_n(words, (size_t)(sign - words)) : mem_text(words);
    second = mem_text(sign ? sign + 1 : "");
    ok = sign && amount_read(first, none, &a, err) &&
         amount_read(second, none, &b, err);
    if (ok && a.unit == AMOUNT_G) {
        const struct amount swap = a;
        a = b;
        b = swap;
    }
    ok = ok && a.unit == AMOUNT_M && b.unit == AMOUNT_G && a.low > 0 &&
         b.low > 0;
    if (ok)
        *m_per_g = yarn_m_per_g((a.low + a.high) / 2, (b.low + b.high) / 2);
    else
        error_set(err, ERR_INPUT,
                  "sample: \"%s\" is no length and its weight: write 10 m = "
                  "2.5 g",
                  words);
    free(first);
    free(second);
    return ok;
}

static bool read_hank(const struct split_words *w, struct split_plan *out,
                      struct error *err)
{
    double sample;

    if (!read_one(w->weight, AMOUNT_G, "weight", &out->hank_g, err) ||
        !read_one(w->length, AMOUNT_M, "length", &out->hank_m, err) ||
        !read_one(w->loop, AMOUNT_M, "loop", &out->loop_m, err) ||
        !read_sample(w->sample, &sample, err))
        return false;
    out->m_per_g =
        isnan(sample) ? yarn_m_per_g(out->hank_m, out->hank_g) : sample;
    if (isnan(out->hank_m))
        out->hank_m = yarn_m(out->hank_g, out->m_per_g);
    if (isnan(out->hank_g))
        out->hank_g = yarn_g(out->hank_m, out->m_per_g);
    return !isnan(out->hank_m) ||
           error_set(err, ERR_INPUT,
                     "how long is the hank? say its length, or its weight and "
                     "a sample: 10 m = 2.5 g");
}

/* A length, or a weight by the yarn's metres a gram. */
static bool read_metres(const char *words, const char *what, double m_per_g,
                        double *out, struct error *err)
{
    const struct amount_context metres = {AMOUNT_M, false};
    struct amount a;

    if (!amount_read(words, metres, &a, err))
        return false;
    *out = (a.low + a.high) / 2;
    if (a.unit == AMOUNT_G && isnan(m_per_g))
        return error_set(err, ERR_INPUT,
                         "%s: \"%s\" is a weight: say what the hank weighs, "
                         "for its metres a gram",
                         what, words);
    if (a.unit == AMOUNT_G)
        *out = yarn_m(*out, m_per_g);
    else if (a.unit != AMOUNT_M)
        return error_set(err, ERR_INPUT,
                         "%s: \"%s\" is neither a length nor a weight", what,
                         words);
    return *out >= 0 || error_set(err, ERR_INPUT, "%s: \"%s\"", what, words);
}

/* "10 %" of whole, or an amount of yarn; 0 when not said. */
static bool read_part(const char *words, const char *what, double whole,
                      double m_per_g, double *out, struct error *err)
{
    const struct amount_context metres = {AMOUNT_M, false};
    struct amount a;

    *out = 0;
    if (!words || !*words)
        return true;
    if (!amount_read(words, metres, &a, err))
        return false;
    if (a.unit != AMOUNT_WOF_PCT)
        return read_metres(words, what, m_per_g, out, err);
    *out = whole * (a.low + a.high) / 200;
    return true;
}

/* "8 x 40 m": how many, and where the rest begins; else 1. */
static size_t read_count(const char **words)
{
    char *end;
    const unsigned long n = strtoul(*words, &end, 10);
    const char *p = end;

    while (*p == ' ')
        p++;
    if (end == *words || !n || n > 1000000 ||
        !(*p == 'x' || *p == 'X' || !strncmp(p, "\xC3\x97", 2)))
        return 1;
    p += *p == 'x' || *p == 'X' ? 1 : 2;
    *words = p;
    return n;
}

static void add_piece(struct split_plan *out, const char *name, size_t nth,
                      size_t of, double want)
{
    struct text t = {0};

    out->piece = mem_room(out->piece, out->count, sizeof *out->piece);
    if (*name)
        text_add(&t, name);
    else if (of == 1)
        text_addf(&t, "%zu", out->count + 1);
    if (of > 1)
        text_addf(&t, "%s%zu", *name ? " " : "", *name ? nth : out->count + 1);
    out->piece[out->count++] =
        (struct split_piece){.name = text_take(&t), .want_m = want};
}

/* Where the amount begins: after "=" or ":", else behind a word, so that
 * "border 120 m" has a name too. *name_end: where the name before it ends. */
static const char *amount_begins(const char *words, const char **name_end)
{
    const char *sign = strpbrk(words, "=:"), *p = words;

    while (*p && strchr("-+. 0123456789", *p))
        p++;
    if (!sign && p == words) /* it begins with a word */
        p += strcspn(words, "0123456789");
    else
        p = words;
    *name_end = sign ? sign : *p ? p : words;
    return sign ? sign + 1 : *name_end;
}

/* "border red = 120 m", "red: 3 x 40 m", "border 120 m", "90 m". */
static bool read_piece(const char *words, const char *allowance,
                       struct split_plan *out, struct error *err)
{
    const char *name_end, *rest = amount_begins(words, &name_end);
    char *said = mem_text_n(words, (size_t)(name_end - words));
    char *name = text_trim(said);
    const struct amount_context metres = {AMOUNT_M, false};
    double want, more = 0;
    double part;
    struct amount a;
    struct error why;
    size_t n;
    bool ok;

    while (*rest == ' ')
        rest++;
    n = read_count(&rest);
    if (amount_fraction(rest, &part)) { /* of what is not kept back */
        want = part * (out->hank_m - out->reserve_m);
        ok = true;
    } else {
        ok =
            (amount_read(rest, metres, &a, &why) ||
             error_set(err, why.kind, "%s; write border = 120 m, or 3 x 40 m",
                       why.text)) &&
            read_metres(rest, *name ? name : "piece", out->m_per_g, &want, err);
    }
    ok =
        ok && read_part(allowance, "allowance", want, out->m_per_g, &more, err);
    if (ok && out->count + n > SPLIT_MOST)
        ok = error_set(err, ERR_LIMIT, "more than %d pieces", SPLIT_MOST);
    for (size_t i = 0; ok && i < n; i++)
        add_piece(out, name, i + 1, n, want + more);
    free(said);
    free(name);
    return ok;
}

/* Whether whole wraps take the yarn that the lengths alone would not. */
static bool wraps_are_too_many(const struct split_plan *p, double all)
{
    const double slack = 1e-9 * p->hank_m;
    double want = 0, wound = 0;
    bool one = true;

    for (size_t i = 0; i < p->count; i++) {
        want += p->piece[i].want_m;
        wound += loop_wraps(p->piece[i].want_m, p->loop_m) * p->loop_m;
        one = one && p->piece[i].want_m >= p->loop_m;
    }
    return one && wound > all + slack && want <= all + slack;
}

/* The last that fit: less than loop_wraps says by one, unless it is whole. */
static double wraps_below(double metres, double loop_m)
{
    const double wraps = loop_wraps(metres, loop_m);

    return wraps * loop_m > metres * (1 + 1e-6) ? wraps - 1 : wraps;
}

/* What each gets, and which come too late. */
static void hand_out(struct split_plan *p)
{
    const double all = p->hank_m - p->reserve_m;
    double at = 0;

    p->wraps_less = !isnan(p->loop_m) && wraps_are_too_many(p, all);
    for (size_t i = 0; i < p->count; i++) {
        struct split_piece *piece = &p->piece[i];

        piece->wraps = isnan(p->loop_m) ? (double)NAN
                       : p->wraps_less  ? wraps_below(piece->want_m, p->loop_m)
                                        : loop_wraps(piece->want_m, p->loop_m);
        piece->m = isnan(p->loop_m) ? piece->want_m : piece->wraps * p->loop_m;
        piece->g = yarn_g(piece->m, p->m_per_g);
        piece->lack_m = fmin(piece->m, fmax(0, at + piece->m - all));
        if (piece->lack_m < 1e-9 * p->hank_m)
            piece->lack_m = 0;
        at += piece->m;
    }
    p->pieces_m = at;
    p->over_without_reserve_m = p->hank_m - at;
    p->over_m = p->over_without_reserve_m - p->reserve_m;
    if (fabs(p->over_m) < 1e-9 * p->hank_m)
        p->over_m = 0;
}

/* "8" may be metres, or how many. */
static bool is_bare(const char *words)
{
    const size_t n = strspn(words, "0123456789");

    return n && n < 4 && !words[n];
}

bool split_plan(const struct split_words *w, struct split_plan *out,
                struct error *err)
{
    bool ok;

    *out = (struct split_plan){0};
    ok =
        read_hank(w, out, err) && read_part(w->reserve, "reserve", out->hank_m,
                                            out->m_per_g, &out->reserve_m, err);
    ok = ok && (w->pieces != 1 || !is_bare(w->piece[0]) ||
                error_set(err, ERR_INPUT,
                          "\"%s\": one piece of %s metres is \"%s m\", so "
                          "many equal ones are \"%s x 1/%s\"",
                          w->piece[0], w->piece[0], w->piece[0], w->piece[0],
                          w->piece[0]));
    for (size_t i = 0; ok && i < w->pieces; i++)
        ok = read_piece(w->piece[i], w->allowance, out, err);
    if (ok && !out->count)
        ok = error_set(
            err, ERR_INPUT,
            "say the pieces: \"red = 120 m\", \"8 x 40 m\", \"12 g\"");
    if (ok)
        hand_out(out);
    else
        split_plan_clear(out);
    return ok;
}

void split_plan_clear(struct split_plan *plan)
{
    for (size_t i = 0; i < plan->count; i++)
        free(plan->piece[i].name);
    free(plan->piece);
    *plan = (struct split_plan){0};
}
