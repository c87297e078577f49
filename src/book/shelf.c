/* The colour of a skein, means of colours, and names of sets. See shelf.h. */
#include "book/shelf.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "colour/range.h"

/* ---- names ----------------------------------------------------------------
 */

bool names_load(struct book *book, struct names *out, struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = (struct names){0};
    if (!stmt_begin(book, STMT_ASK_NAMES, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        size_t n = out->count++;
        out->id = mem_resize(out->id, n + 1, sizeof *out->id);
        out->name = mem_resize(out->name, n + 1, sizeof *out->name);
        out->none = mem_resize(out->none, n + 1, sizeof *out->none);
        out->id[n] = stmt_get_int(&q, 0);
        out->name[n] = mem_text(stmt_get_text(&q, 1));
        out->none[n] = stmt_get_int(&q, 2) != 0;
    }
    stmt_done(&q);
    if (!ok)
        names_free(out);
    return ok;
}

void names_free(struct names *names)
{
    for (size_t i = 0; i < names->count; i++)
        free(names->name[i]);
    free(names->id);
    free(names->name);
    free(names->none);
    *names = (struct names){0};
}

/* Where an id stands; names->count when it is not there. */
static size_t place_of(const struct names *names, int64_t id)
{
    size_t low = 0, high = names->count;

    while (low < high) {
        size_t mid = (low + high) / 2;
        if (names->id[mid] < id)
            low = mid + 1;
        else
            high = mid;
    }
    return low < names->count && names->id[low] == id ? low : names->count;
}

int text_order(const char *a, const char *b)
{
    char *x = text_fold(a), *y = text_fold(b);
    int order = strcmp(x, y);

    free(x);
    free(y);
    return order ? order : strcmp(a, b);
}

static int by_text(const void *a, const void *b)
{
    return text_order(*(char *const *)a, *(char *const *)b);
}

char *texts_join(char **text, size_t count, const char *separator)
{
    struct text t = {0};

    if (!count)
        return NULL;
    qsort(text, count, sizeof *text, by_text);
    for (size_t i = 0; i < count; i++) {
        if (i && !strcmp(text[i], text[i - 1]))
            continue;
        if (i)
            text_add(&t, separator);
        text_add(&t, text[i]);
    }
    return text_take(&t);
}

char *names_of_set(const struct names *names, const char *set)
{
    char **text = NULL, *none = NULL, *out;
    size_t n = 0;

    for (const char *p = set; p && *p; p = strchr(p + 1, ',')) {
        size_t at;
        if (p[0] != ',' || !p[1])
            continue;
        at = place_of(names, strtoll(p + 1, NULL, 10));
        if (at == names->count)
            continue;
        if (names->none[at]) {
            none = names->name[at];
            continue;
        }
        text = mem_resize(text, n + 1, sizeof *text);
        text[n++] = names->name[at];
    }
    out = texts_join(text, n, " + ");
    free(text);
    return out ? out : mem_text(none);
}

bool names_are_none(const struct names *names, const char *set)
{
    size_t n = 0;

    for (const char *p = set; p && *p; p = strchr(p + 1, ',')) {
        size_t at = p[1] ? place_of(names, strtoll(p + 1, NULL, 10)) : 0;
        if (!p[1])
            break;
        if (at == names->count || !names->none[at])
            return false;
        n++;
    }
    return n > 0;
}

/* ---- the colour of a skein ------------------------------------------------
 */

/*
 * The uncertainty of one reading that came without: that of a single look at
 * yarn (0.6, 0.4, 0.5) and, against the true colour, 1.0 in L and 0.4 in a and
 * b more, as between a photo and an instrument. Our own estimate; see
 * docs/colour.md.
 */
static void assume(struct ask_reading *r)
{
    r->assumed_u = true;
    r->colour.set = cov3_diagonal(0.6, 0.4, 0.5);
    r->colour.abs = cov3_add(r->colour.set, cov3_diagonal(1.0, 0.4, 0.4));
}

static struct cov3 get_cov(struct stmt *q, int c)
{
    return (struct cov3){stmt_get_real(q, c),     stmt_get_real(q, c + 1),
                         stmt_get_real(q, c + 2), stmt_get_real(q, c + 3),
                         stmt_get_real(q, c + 4), stmt_get_real(q, c + 5)};
}

/* At most size bytes with the NUL; "" for NULL. */
static void copy(char *out, size_t size, const char *s)
{
    size_t n = s ? strlen(s) : 0;

    n = n < size ? n : size - 1;
    if (n)
        memcpy(out, s, n);
    out[n] = '\0';
}

void shelf_take(struct stmt *q, struct ask_reading *r)
{
    *r = (struct ask_reading){.id = stmt_get_int(q, 0)};
    r->colour.lab = (struct lab){stmt_get_real(q, 4), stmt_get_real(q, 5),
                                 stmt_get_real(q, 6)};
    r->colour.set = get_cov(q, 10);
    r->colour.abs = get_cov(q, 16);
    if (!cov3_is_valid(r->colour.set) || !cov3_is_valid(r->colour.abs))
        assume(r);
    r->level = (struct lab){stmt_get_real(q, 22), stmt_get_real(q, 23),
                            stmt_get_real(q, 24)};
    r->photo = !strcmp(stmt_get_text(q, 9), "photo");
    copy(r->illuminant, sizeof r->illuminant, stmt_get_text(q, 7));
    r->observer_deg = (int)stmt_get_int(q, 8);
    copy(r->day, sizeof r->day, stmt_get_text(q, 25));
}

/* Why the present row of STMT_ASK_READINGS does not count; the gravest. */
static enum ask_lack judge(struct stmt *q, int64_t entry,
                           const struct ask_filter *f)
{
    if (stmt_get_int(q, 1) != entry) /* NULL is 0: before any */
        return ASK_EARLIER;
    if ((stmt_get_int(q, 3) != 0) != f->wet)
        return ASK_WETNESS;
    if (strcmp(stmt_get_text(q, 2), f->part))
        return ASK_OTHER_PART;
    if (!strcmp(stmt_get_text(q, 9), "eye"))
        return ASK_BY_EYE;
    if (strcmp(stmt_get_text(q, 7), f->illuminant) ||
        stmt_get_int(q, 8) != f->observer_deg)
        return ASK_OTHER_LIGHT;
    return ASK_HAS_COLOUR;
}

/* "Latest" is by day, of one day by what was written down later. */
struct when {
    char day[11]; /* "": not known, before any */
    int64_t id;
};

static struct when when_of(struct stmt *q)
{
    struct when w = {.id = stmt_get_int(q, 0)};

    copy(w.day, sizeof w.day, stmt_get_text(q, 26));
    return w;
}

static bool is_later(const struct when *a, const struct when *b)
{
    const int order = strcmp(a->day, b->day);

    return order ? order > 0 : a->id > b->id;
}

bool shelf_reading(struct book *book, int64_t skein, int64_t entry,
                   const struct ask_filter *filter, struct ask_reading *out,
                   enum ask_lack *lack, struct error *err)
{
    struct when latest = {0};
    struct stmt q;
    bool row, ok;

    *out = (struct ask_reading){0};
    *lack = ASK_NEVER;
    if (!stmt_begin(book, STMT_ASK_READINGS_UNSORTED, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        const enum ask_lack why = judge(&q, entry, filter);
        const struct when when = when_of(&q);
        if (why > *lack || (why == *lack && is_later(&latest, &when)))
            continue;
        *lack = why;
        latest = when;
        if (why == ASK_HAS_COLOUR || why == ASK_OTHER_LIGHT)
            shelf_take(&q, out);
    }
    stmt_done(&q);
    if (*lack == ASK_OTHER_LIGHT)
        out->colour.lab = (struct lab){(double)NAN, (double)NAN, (double)NAN};
    return ok;
}

bool shelf_reading_now(struct book *book, int64_t skein,
                       const struct ask_filter *filter, struct ask_reading *out,
                       enum ask_lack *lack, struct error *err)
{
    struct stmt q;
    bool row;
    int64_t entry;

    if (!stmt_begin(book, STMT_ASK_LAST, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    if (!stmt_step(&q, &row, err))
        return false;
    entry = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return shelf_reading(book, skein, entry, filter, out, lack, err);
}

void shelf_mean_uncertainty(size_t n, struct colour_reading *sum)
{
    struct cov3 set = sum->set, abs = sum->abs;
    double each = 1 / (double)n;

    sum->set = cov3_scale(set, each * each);
    sum->abs = cov3_add(sum->set,
                        cov3_scale(cov3_add(abs, cov3_scale(set, -1)), each));
}

bool ask_readings(struct book *book, const struct ask_skein *skein,
                  const struct ask_filter *filter, struct ask_reading **out,
                  size_t *count, struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = NULL;
    *count = 0;
    if (!stmt_begin(book, STMT_ASK_READINGS, &q, err))
        return false;
    stmt_int(&q, ":skein", skein->id);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        if (judge(&q, skein->entry_id, filter) != ASK_HAS_COLOUR)
            continue;
        *out = mem_resize(*out, *count + 1, sizeof **out);
        memmove(*out + 1, *out, *count * sizeof **out);
        shelf_take(&q, *out);
        ++*count;
    }
    stmt_done(&q);
    return ok;
}

struct colour_reading shelf_mean(const struct ask_reading *const *readings,
                                 size_t n, double *spread)
{
    struct colour_reading mean = {
        {(double)NAN, (double)NAN, (double)NAN}, {0}, {0}};
    struct cov3 set = {0}, abs = {0};

    *spread = (double)NAN;
    if (!n)
        return mean;
    mean.lab = (struct lab){0, 0, 0};
    for (size_t i = 0; i < n; i++) {
        const struct colour_reading *c = &readings[i]->colour;
        mean.lab.L += c->lab.L / (double)n;
        mean.lab.a += c->lab.a / (double)n;
        mean.lab.b += c->lab.b / (double)n;
        set = cov3_add(set, c->set);
        abs = cov3_add(abs, c->abs);
    }
    mean.set = set;
    mean.abs = abs;
    shelf_mean_uncertainty(n, &mean);
    *spread = 0;
    for (size_t i = 0; i < n; i++)
        *spread += lab_de00(readings[i]->colour.lab, mean.lab) / (double)n;
    return mean;
}

/* ---- words ----------------------------------------------------------------
 */

const char *ask_lack_words(enum ask_lack lack, bool wet)
{
    switch (lack) {
    case ASK_HAS_COLOUR:
        return "measured";
    case ASK_OTHER_LIGHT:
        return "read under another light only";
    case ASK_BY_EYE:
        return "read by eye only";
    case ASK_OTHER_PART:
        return "read in another part only";
    case ASK_WETNESS:
        return wet ? "read dry only" : "read wet only";
    case ASK_EARLIER:
        return "not read since its last step";
    case ASK_NEVER:
        return "not measured";
    case ASK_LACKS:
        break;
    }
    return "";
}

bool ask_other_lights(struct book *book, const struct ask_filter *filter,
                      struct text *out, char usable[12], struct error *err)
{
    struct stmt q;
    size_t n = 0;
    bool row, ok;

    usable[0] = '\0';
    if (!stmt_begin(book, STMT_ASK_LIGHTS, &q, err))
        return false;
    stmt_text(&q, ":illuminant", filter->illuminant);
    stmt_int(&q, ":observer", filter->observer_deg);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        text_addf(out, "%s%s", n++ ? " or " : "", stmt_get_text(&q, 0));
        copy(usable, 12,
             n == 1 && stmt_get_int(&q, 1) ? stmt_get_text(&q, 0) : "");
    }
    stmt_done(&q);
    return ok;
}

void ask_round_words(int64_t round, struct text *out)
{
    if (round == 0)
        text_add(out, "first bath");
    else
        text_addf(out, "exhaust %lld", (long long)round);
}

/* "2nd use", "3rd use"; nothing for the first. */
static bool use_words(int64_t before, struct text *out)
{
    long long n = before + 1, ten = n % 100 / 10;
    const char *end = ten == 1      ? "th"
                      : n % 10 == 1 ? "st"
                      : n % 10 == 2 ? "nd"
                      : n % 10 == 3 ? "rd"
                                    : "th";

    if (before > 0)
        text_addf(out, ", %lld%s use", n, end);
    return before > 0;
}

void ask_step_words(const char *treatment, bool has_round, int64_t round,
                    const char *bath, struct text *out)
{
    bool of = false;

    text_add(out, treatment);
    if (has_round && !strcmp(treatment, "dye")) {
        text_add(out, ", ");
        ask_round_words(round, out);
        of = true;
    } else if (has_round) {
        of = use_words(round, out);
    }
    if (bath)
        text_addf(out, " %s bath %s", of ? "of" : "in", bath);
}

double ask_unevenness(const struct ask_reading *reading)
{
    return range_unevenness(reading->colour.lab, reading->level);
}
