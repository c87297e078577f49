/* What a project wants: the hank, the wishes, the tests. See project_making.h.
 */
#include "book/project_making.h"

#include <ctype.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"
#include "book/pot_work.h"
#include "dye/amount.h"
#include "dye/reckon.h"

/* ---- the hank ---------------------------------------------------------------
 */

static bool read_amount(const char *words, enum amount_unit unit, double *out,
                        struct error *err)
{
    const struct amount_context ctx = {unit, false};
    struct amount a;

    if (!amount_read(words, ctx, &a, err))
        return false;
    if (a.unit != unit || !(a.low > 0))
        return error_set(err, ERR_INPUT, "\"%s\" is no %s: write %s", words,
                         unit == AMOUNT_G ? "weight" : "length",
                         unit == AMOUNT_G ? "100 g" : "400 m");
    *out = (a.low + a.high) / 2;
    return true;
}

/* Cuts "100 g = 400 m" or "100 g / 400 m" in two, not "1/2 kg". */
static char *cut_hank(char *words)
{
    char *at = strchr(words, '=');

    for (char *s = strchr(words, '/'); s && !at; s = strchr(s + 1, '/')) {
        char *before = s;
        while (before > words && before[-1] == ' ')
            before--;
        if (before > words && !isdigit((unsigned char)before[-1]))
            at = s;
    }
    if (at)
        *at++ = '\0';
    return at;
}

static bool is_length(char *words)
{
    const struct amount_context ctx = {AMOUNT_COUNT, false};
    struct amount a;
    struct error none;

    return amount_read(parts_trim(words), ctx, &a, &none) && a.unit == AMOUNT_M;
}

/* "100 g = 400 m", in either order, or the weight alone. */
static bool read_hank(struct making *k, struct error *err)
{
    char *words = mem_text(k->words->hank), *g = words, *m = cut_hank(words);
    bool ok;

    if (m && is_length(g)) {
        g = m;
        m = words;
    }
    ok = read_amount(parts_trim(g), AMOUNT_G, &k->hank_g, err) &&
         (!m || read_amount(parts_trim(m), AMOUNT_M, &k->hank_m, err));
    free(words);
    return ok || pot_blame(err, "hank");
}

/* What the book knows of the yarn. */
static bool ask_yarn(struct making *k, struct error *err)
{
    const struct record_field *f;
    struct error none;
    struct record r;
    int64_t id;

    if (!record_find(k->book, NOUN_FIBRE, k->words->yarn, &id, &none))
        return true; /* a new one */
    if (!record_read(k->book, NOUN_FIBRE, id, &r, err))
        return false;
    f = record_get(&r, "m-per-100g");
    if (f)
        k->m_per_g = f->low / 100;
    record_clear(&r);
    return true;
}

static bool read_yarn(struct making *k, struct error *err)
{
    k->hank_g = k->hank_m = k->m_per_g = (double)NAN;
    if (parts_said(k->words->yarn) && !ask_yarn(k, err))
        return false;
    if (parts_said(k->words->hank) && !read_hank(k, err))
        return false;
    if (!isnan(k->hank_m))
        k->m_per_g = yarn_m_per_g(k->hank_m, k->hank_g);
    else
        k->hank_m = yarn_m(k->hank_g, k->m_per_g);
    return true;
}

/* ---- wishes -----------------------------------------------------------------
 */

static bool read_length(struct making *k, struct wanted *w, double m,
                        struct error *err)
{
    if (isnan(k->m_per_g))
        return error_set(err, ERR_INPUT,
                         "%s: how heavy metres are is not known; say what a "
                         "hank weighs and how long it is: \"100 g = 400 m\"",
                         w->name);
    w->m = m;
    w->g = yarn_g(m, k->m_per_g);
    return true;
}

/* "1 hank", "1/2 hank"; "2 hanks" are two skeins. False: it says no hanks. */
static bool read_hanks(struct making *k, struct wanted *w, const char *much,
                       bool *ok, struct error *err)
{
    const struct amount_context ctx = {AMOUNT_COUNT, false};
    char *words = mem_text(much), *unit = strstr(words, "hank");
    struct amount a = {.low = 0};
    struct error none;
    bool is = unit && (!strcmp(parts_trim(unit), "hank") ||
                       !strcmp(parts_trim(unit), "hanks"));

    if (is) {
        *unit = '\0';
        is = amount_read(parts_trim(words), ctx, &a, &none) &&
             a.unit == AMOUNT_COUNT && a.low == a.high && a.low > 0;
    }
    free(words);
    if (!is)
        return false;
    if (w->count == 1 && a.low > 1 && a.low == floor(a.low)) {
        w->count = (size_t)fmin(a.low, PLAN_SKEINS + 1);
        a.low = 1;
    }
    w->g = a.low * k->hank_g;
    w->m = a.low * k->hank_m;
    *ok = !isnan(k->hank_g) ||
          error_set(err, ERR_INPUT,
                    "%s: say what a hank weighs, such as \"100 g = 400 m\"",
                    w->name);
    return true;
}

/* "40 m", "12 g", "2 x 40 m", "1 hank" */
static bool read_much(struct making *k, struct wanted *w, struct error *err)
{
    const struct amount_context ctx = {AMOUNT_COUNT, false};
    struct amount a;
    char *end;
    const char *much = w->amount;
    long n = strtol(much, &end, 10);
    bool ok;

    w->count = 1;
    while (*end == ' ')
        end++;
    if (end > much && *end == 'x') {
        if (n < 1 || n > PLAN_SKEINS)
            return error_set(err, ERR_INPUT, "%s: %ld skeins cannot be planned",
                             w->name, n);
        w->count = (size_t)n;
        much = end + 1;
    }
    if (read_hanks(k, w, much, &ok, err))
        return ok;
    if (!amount_read(much, ctx, &a, err))
        return pot_blame(err, "%s", w->name);
    if (a.unit == AMOUNT_M && a.low > 0)
        return read_length(k, w, (a.low + a.high) / 2, err);
    if (a.unit != AMOUNT_G || !(a.low > 0))
        return error_set(
            err, ERR_INPUT,
            "%s: \"%s\" is not how much: write 120 m, 30 g or 1 hank", w->name,
            w->amount);
    w->g = (a.low + a.high) / 2;
    w->m = yarn_m(w->g, k->m_per_g);
    return true;
}

/* Takes "rust = 40 m" off the front. */
static bool read_head(struct wanted *w, const char *words, size_t n,
                      struct error *err)
{
    char *head = mem_text_n(words, n), *equals = strchr(head, '='), *trimmed;

    if (equals)
        *equals = '\0';
    trimmed = parts_trim(head);
    w->name = mem_text(trimmed);
    if (equals && parts_said(equals + 1))
        w->amount = mem_text(parts_trim(equals + 1));
    free(head);
    return *w->name ||
           error_set(err, ERR_INPUT,
                     "\"%s\": say a name and how much first, as in \"rust = "
                     "120 m; dyestuff=madder: 60 %%; mordant=alum: 12 %%\"",
                     words);
}

static bool add_skein(struct making *k, size_t wish, const struct plan_skein *s,
                      int64_t id, struct error *err)
{
    if (k->skeins >= PLAN_SKEINS / 2)
        return error_set(err, ERR_LIMIT,
                         "more than %d skeins are no one plan: make two "
                         "projects of it",
                         PLAN_SKEINS / 2);
    k->skein[k->skeins] = *s;
    k->of_wish[k->skeins] = wish;
    k->id[k->skeins++] = id;
    return true;
}

static bool add_skeins(struct making *k, size_t i, struct error *err)
{
    struct wanted *w = &k->wanted[i];
    struct plan_skein s = w->recipe.plan;
    bool ok = true;

    if (w->recipe.on) {
        if (!record_skeins(k->book, book_dyer(k->book), w->recipe.on, &w->ids,
                           &w->count, NULL, err))
            return pot_blame(err, "%s", w->name);
        w->g = 0;
        w->m = (double)NAN;
        for (size_t n = 0; ok && n < w->count; n++) {
            s = w->recipe.plan;
            ok = making_take_spare(k, w->ids[n], &s, w->name, err) &&
                 add_skein(k, i, &s, w->ids[n], err);
            w->g += s.g;
        }
        return ok;
    }
    if (!w->amount)
        return error_set(err, ERR_INPUT,
                         "%s: say how much, as in \"%s = 120 m\", or which "
                         "skein takes it: on=41",
                         w->name, w->name);
    if (!read_much(k, w, err))
        return false;
    s.g = w->g;
    for (size_t n = 0; ok && n < w->count; n++)
        ok = add_skein(k, i, &s, 0, err);
    return ok;
}

static bool read_wish(struct making *k, const char *words, struct error *err)
{
    struct wanted *w;
    struct text aside = {0};
    size_t n = strcspn(words, ";");
    bool ok;

    k->wanted = mem_room(k->wanted, k->wishes, sizeof *k->wanted);
    w = &k->wanted[k->wishes++];
    *w = (struct wanted){.count = 0};
    ok = read_head(w, words, n, err) &&
         (recipe_read(k->book, words + n + (words[n] == ';'), &w->recipe,
                      &aside, err) ||
          pot_blame(err, "%s", w->name)) &&
         (w->recipe.plan.dyestuffs.count ||
          error_set(err, ERR_INPUT,
                    "%s: say what it shall be dyed with, as in "
                    "\"dyestuff=madder: 60 %%\", or like which skein: like=31",
                    w->name)) &&
         add_skeins(k, k->wishes - 1, err);
    text_add(&k->said, text_str(&aside));
    text_clear(&aside);
    return ok;
}

static bool read_wishes(struct making *k, struct error *err)
{
    const struct pot_words *w = &k->words->wishes;

    for (size_t i = 0; i < w->count; i++)
        if (parts_said(w->word[i]) && !read_wish(k, w->word[i], err))
            return false;
    return k->wishes > 0 ||
           error_set(err, ERR_INPUT,
                     "say which colours are wanted, as in \"rust = 120 m; "
                     "dyestuff=madder: 60 %%; mordant=alum: 12 %%\"");
}

bool making_read(struct making *k, struct error *err)
{
    return read_yarn(k, err) && read_wishes(k, err);
}

/* ---- tests ------------------------------------------------------------------
 */

bool making_add_tests(struct making *k, struct error *err)
{
    const size_t wanted = k->skeins;
    bool ok = true;

    for (size_t i = 0; ok && i < k->plan.skeins; i++) {
        struct plan_skein s = k->plan.skein[i];
        int64_t id;
        if (s.why != PLAN_TEST)
            continue;
        ok = making_find_spare(k, &s, &id, err) &&
             (!id || making_take_spare(k, id, &s, "a test", err)) &&
             add_skein(k, SIZE_MAX, &s, id, err);
    }
    k->ways.tests = 0;
    plan_clear(&k->plan);
    return ok && (k->skeins == wanted ||
                  plan_make(k->skein, k->skeins, &k->ways, &k->plan, err));
}
