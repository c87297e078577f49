/* What went into a pot: doses kept, echoed for the fibre's weight, asked about
 * when odd, with their cautions. See book/pot.h. */
#include "book/beware.h"
#include "book/face.h"
#include "book/pot_work.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/supply_left.h"
#include "dye/caution.h"
#include "dye/reckon.h"
#include "dye/substance.h"

/* What a kitchen scale shows; less than one step of it cannot be weighed. */
enum { USUAL_SCALE_G = 1 };

struct id_words id_words(int64_t id)
{
    struct id_words w;

    snprintf(w.s, sizeof w.s, "#%lld", (long long)id);
    return w;
}

static char *line_of(const char *fmt, va_list args)
    __attribute__((format(printf, 1, 0)));

static char *line_of(const char *fmt, va_list args)
{
    va_list again;
    char *line;
    int n;

    va_copy(again, args);
    n = vsnprintf(NULL, 0, fmt, again);
    va_end(again);
    line = mem_new((size_t)n + 1, 1);
    vsnprintf(line, (size_t)n + 1, fmt, args);
    for (char *p = line; *p; p++)
        if ((unsigned char)*p < ' ')
            *p = ' '; /* a pasted name stays one line */
    return line;
}

void pot_echo(struct work *w, const char *fmt, ...)
{
    va_list args;
    char *line;

    if (!w->echo)
        return;
    va_start(args, fmt);
    line = line_of(fmt, args);
    va_end(args);
    text_addf(w->echo, "%s\n", line);
    free(line);
}

void pot_echo_lines(struct work *w, const char *prefix, struct text *lines)
{
    const char *s = text_str(lines);

    while (*s) {
        static const char fresh[] = " is new";
        size_t n = strcspn(s, "\n"), k = sizeof fresh - 1;
        /* What is new in the book is no fact of the one it was said of. */
        bool is_new = n > k && !strncmp(s + n - k, fresh, k);
        pot_echo(w, "%s%.*s", is_new ? "" : prefix, (int)n, s);
        s += n + (s[n] == '\n');
    }
    text_reset(lines);
}

void pot_note(struct work *w, const char *fmt, ...)
{
    struct pot_result *r = w->result;
    va_list args;

    r->note = mem_resize(r->note, r->notes + 1, sizeof *r->note);
    va_start(args, fmt);
    r->note[r->notes++] = line_of(fmt, args);
    va_end(args);
}

void pot_caution(struct work *w, const char *who, const char *text)
{
    struct pot_result *r = w->result;
    struct text t = {0};

    text_addf(&t, "%s: %s", who, text);
    for (size_t i = 0; i < r->cautions; i++)
        if (!strcmp(r->caution[i], text_str(&t))) {
            text_clear(&t);
            return;
        }
    r->caution = mem_resize(r->caution, r->cautions + 1, sizeof *r->caution);
    r->caution[r->cautions++] = text_take(&t);
}

bool pot_blame(struct error *err, const char *fmt, ...)
{
    struct error inner = *err;
    char who[sizeof inner.text];
    va_list args;

    va_start(args, fmt);
    vsnprintf(who, sizeof who, fmt, args);
    va_end(args);
    return error_set(err, inner.kind, "%s: %s", who, inner.text);
}

bool pot_ask(struct book *book, enum stmt_id id, int64_t of, int64_t *out,
             bool *is_null, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, id, &q, err))
        return false;
    stmt_int(&q, ":of", of);
    if (!stmt_step(&q, &row, err))
        return false;
    *is_null = !row || stmt_is_null(&q, 0);
    *out = *is_null ? 0 : stmt_get_int(&q, 0);
    stmt_done(&q);
    return true;
}

/* ---- the fibre's weight -----------------------------------------------------
 */

static bool fibre_of(struct stmt *q, struct pot_fibre *out, struct error *err)
{
    bool row;

    *out = (struct pot_fibre){.g = (double)NAN};
    if (!stmt_step(q, &row, err))
        return false;
    if (row) {
        out->skeins = (size_t)stmt_get_int(q, 0);
        out->weighed = (size_t)stmt_get_int(q, 1);
        out->guessed = (size_t)stmt_get_int(q, 2);
        if (out->skeins && out->weighed == out->skeins)
            out->g = stmt_get_real(q, 3);
    }
    stmt_done(q);
    return true;
}

bool pot_fibre_of(struct book *book, int64_t treatment, struct pot_fibre *out,
                  struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, STMT_FIBRE_OF, &q, err))
        return false;
    stmt_int(&q, ":of", treatment);
    return fibre_of(&q, out, err);
}

bool pot_fibre_of_round(struct book *book, int64_t bath, int round,
                        struct pot_fibre *out, struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, STMT_FIBRE_OF_ROUND, &q, err))
        return false;
    stmt_int(&q, ":of", bath);
    stmt_int(&q, ":round", round);
    return fibre_of(&q, out, err);
}

/* ---- the echo ---------------------------------------------------------------
 */

static void add_unknown_grams(struct text *t, const struct pot_fibre *fibre)
{
    size_t lack = fibre->skeins - fibre->weighed;

    if (!fibre->skeins)
        text_add(t, " (grams not known: no skein of that round is recorded)");
    else if (!fibre->weighed)
        text_add(t, " (grams not known: no dry weight is recorded)");
    else
        text_addf(t, " (grams not known: %zu of %zu skeins %s no dry weight)",
                  lack, fibre->skeins, lack == 1 ? "has" : "have");
}

/* "9 g" gets the percentage beside it, and so do spoons of what is known. */
static void add_pct(struct text *t, const struct pot_dose *d, double fibre_g)
{
    struct amount a = d->amount;
    struct grams_range spoons;
    double low, high;

    if (a.unit == AMOUNT_ML && a.estimated &&
        spoon_of_ml(d->material, a.low, a.high, &spoons)) {
        a = (struct amount){AMOUNT_G, .low = spoons.low_g, spoons.high_g};
        text_add(t, " by spoon, ");
        amount_add_range(t, a.low, a.high);
        text_add(t, " g");
    }
    if (a.unit != AMOUNT_G || !amount_wof_pct(&a, fibre_g, &low, &high))
        return;
    text_add(t, " = ");
    text_add_real(t, low, 1);
    if (high > low) {
        text_add(t, " to ");
        text_add_real(t, high, 1);
    }
    text_add(t, " % of ");
    text_add_real(t, fibre_g, 1);
    text_add(t, " g");
}

/* What is too little to be weighed, and a fraction that may be a ratio. */
static void add_aside(struct text *t, const struct pot_dose *d, double fibre_g)
{
    const char *words = d->value[DOSE_AMOUNT];
    double low, high;

    if (!words[strspn(words, "0123456789/ ")] && strchr(words, '/'))
        text_addf(t, "; a ratio is written with a colon, as in 1:2");
    if (d->amount.unit != AMOUNT_G &&
        amount_grams(&d->amount, fibre_g, &low, &high) && low > 0 &&
        low < USUAL_SCALE_G)
        text_addf(t, "; too little for a scale that shows %d g: use a %s",
                  USUAL_SCALE_G,
                  strcmp(d->role, "dyestuff") ? "solution" : "finer one");
}

static void echo_dose(struct work *w, const struct pot_dose *d,
                      const struct pot_fibre *fibre, bool record_only,
                      const char *whose)
{
    struct text t = {0};
    char line[200];
    bool needs_fibre =
        d->amount.unit == AMOUNT_WOF_PCT || d->amount.unit == AMOUNT_PER_FIBRE;

    if (d->none) {
        pot_echo(w, "%s%s, said on purpose", d->material, whose);
        return;
    }
    if (d->value[DOSE_AMOUNT] && record_only) {
        text_addf(&t, ": %s, recorded and never reckoned",
                  d->value[DOSE_AMOUNT]);
    } else if (d->value[DOSE_AMOUNT]) {
        amount_echo(&d->amount, fibre->g, line, sizeof line);
        if (d->amount.unit == AMOUNT_WORDS || d->amount.unit == AMOUNT_NONE)
            text_addf(&t, ": \"%s\", %s", d->value[DOSE_AMOUNT], line);
        else
            text_addf(&t, ": %s", line);
        add_pct(&t, d, fibre->g);
        add_aside(&t, d, fibre->g);
        if (needs_fibre && isnan(fibre->g))
            add_unknown_grams(&t, fibre);
    } else {
        text_add(&t, ": amount not recorded");
    }
    if (d->value[DOSE_STATE] && d->amount.state == AMOUNT_AS_SAID)
        text_addf(&t, ", %s", d->value[DOSE_STATE]);
    if (needs_fibre && !record_only && !isnan(fibre->g) && fibre->guessed)
        text_addf(&t, " (%zu of %zu weights not taken dry)", fibre->guessed,
                  fibre->skeins);
    pot_echo(w, "%s%s%s%s", d->material,
             strcmp(d->role, "modifier") ? "" : " (dip)", whose, text_str(&t));
    text_clear(&t);
}

/* How a ratio that was kept is turned round. On the page its field is there. */
static void say_turned(struct work *w, const struct pot_dose *d, int64_t dose)
{
    struct amount_context ctx = {AMOUNT_G, false};
    struct amount turned;
    struct error none;
    struct text words = {0}, how = {0};
    char id[24];

    if (!w->pot->only_try && d->amount.unit == AMOUNT_PER_FIBRE &&
        !d->amount.sides_stated && *face_says("terminal", "")) {
        snprintf(id, sizeof id, "%lld", (long long)dose);
        text_addf(&words, "%s %s", d->value[DOSE_AMOUNT],
                  d->amount.fibre_first ? "dye:fibre" : "fibre:dye");
        face_edit(NOUN_DOSE, id, "amount", text_str(&words), &how);
        if (amount_read(text_str(&words), ctx, &turned, &none) &&
            turned.sides_stated && turned.low != d->amount.low)
            pot_echo(w, "%s, the other way round: %s", d->material,
                     text_str(&how));
    }
    text_clear(&how);
    text_clear(&words);
}

/* Ends a question with how a dose that was kept gets that amount. On the page
 * its field is there, and what is only tried has no number. */
static void say_pct(const struct work *w, int64_t dose, double pct,
                    struct text *out)
{
    struct text words = {0};
    char id[24];

    if (w->pot->only_try || face_is_page() || isnan(pct)) {
        text_add(out, ".");
        return;
    }
    snprintf(id, sizeof id, "%lld", (long long)dose);
    text_add_real(&words, pct, 1);
    text_add(&words, " %");
    text_add(out, "; to change it: ");
    face_edit(NOUN_DOSE, id, "amount", text_str(&words), out);
    text_clear(&words);
}

/* "6" of what is reckoned in percent, and was read as grams: the number. */
static double bare_pct(const struct pot_dose *d)
{
    const char *words = d->value[DOSE_AMOUNT];
    const struct substance_usual *u = substance_usual(d->material);
    bool is = words && !words[strspn(words, "0123456789.,")] &&
              d->amount.unit == AMOUNT_G && u && d->amount.low >= u->low_pct &&
              d->amount.low <= u->high_pct;

    return is ? d->amount.low : (double)NAN;
}

/* An amount far from the usual is asked about, not refused. */
static void question(struct work *w, const struct pot_dose *d, int64_t dose,
                     const struct pot_fibre *fibre)
{
    double low, high, meant = (double)NAN;
    struct text t = {0}, how = {0};

    if (!amount_wof_pct(&d->amount, fibre->g, &low, &high))
        return;
    text_add_real(&t, (low + high) / 2, 1);
    text_add(&t, " % of the fibre; ");
    if (substance_question(d->material, low, high, &meant, &t)) {
        say_pct(w, dose, meant, &how);
        pot_note(w, "%s: %s It is kept as typed%s", d->material, text_str(&t),
                 text_str(&how));
    } else if (!isnan(bare_pct(d)) && bare_pct(d) != (low + high) / 2) {
        say_pct(w, dose, bare_pct(d), &how);
        pot_note(w, "%s: %s is read as grams, not as percent%s", d->material,
                 d->value[DOSE_AMOUNT], text_str(&how));
    }
    text_clear(&t);
    text_clear(&how);
}

/* ---- cautions ---------------------------------------------------------------
 */

/* Once a material: when it goes into the book's first dose of it. */
bool pot_dose_warn(struct work *w, const struct pot_dose *d, struct error *err)
{
    const struct caution *c[CAUTION_MAX];
    bool logged;
    size_t n;

    for (size_t i = 0; i < w->warnings; i++)
        if (w->warned[i] == d->material_id)
            return true;
    w->warned = mem_resize(w->warned, w->warnings + 1, sizeof *w->warned);
    w->warned[w->warnings++] = d->material_id;
    if (!beware_of(w->book, d->material_id, c, &n, &logged, err))
        return false;
    for (size_t i = 0; !logged && i < n; i++)
        pot_caution(w, d->material, c[i]->text);
    return true;
}

/* A batch of which more was taken than there was: a slip, or it was weighed
 * wrongly; either is put right later. */
static bool look_in_supply(struct work *w, const struct pot_dose *d,
                           struct error *err)
{
    const char *words = d->value[DOSE_SUPPLY];
    struct supply_left left;
    struct text name = {0};
    int64_t supply;
    bool ok;

    if (!words)
        return true;
    if (!record_find(w->book, NOUN_SUPPLY, words, &supply, err) ||
        !supply_left(w->book, supply, &left, err))
        return false;
    ok = record_label(w->book, NOUN_SUPPLY, supply, &name, err);
    if (ok && left.over_g > 0.05) {
        struct text g = {0};
        text_add_real(&g, left.over_g, 1);
        pot_note(w, "supply %s: %s g more were taken of it than there were",
                 text_str(&name), text_str(&g));
        text_clear(&g);
    }
    text_clear(&name);
    supply_left_clear(&left);
    return ok;
}

bool pot_dose_add(struct work *w, struct pot_dose *d, int64_t bath,
                  int64_t treatment, int round, const struct pot_fibre *fibre,
                  const char *whose, struct error *err)
{
    struct id_words material = id_words(d->material_id);
    struct id_words where = id_words(bath ? bath : treatment);
    bool record_only = substance_record_only(d->material, d->latin);
    char before[16];
    struct record_value v[16] = {{"material", material.s},
                                 {bath ? "bath" : "treatment", where.s},
                                 {"role", d->role}};
    size_t n = 3;
    int64_t id;

    snprintf(before, sizeof before, "%d", round);
    if (bath && round > 0)
        v[n++] = (struct record_value){"before-round", before};
    for (size_t i = 0; i < DOSE_KEYS; i++)
        if (d->value[i]) {
            static const char *const field[DOSE_KEYS] = {
                "amount", "state",  "fresh-per-dry", "supply",
                "added",  "minute", "known",         "note"};
            v[n++] = (struct record_value){field[i], d->value[i]};
        }
    if (!pot_dose_warn(w, d, err))
        return false;
    if (!record_add(w->book, NOUN_DOSE, v, n, &id, NULL, err))
        return pot_blame(err, "%s", d->material);
    d->used = true;
    echo_dose(w, d, fibre, record_only, whose);
    say_turned(w, d, id);
    if (!record_only && round <= 0) /* what tops a bath up is less */
        question(w, d, id, fibre);
    return look_in_supply(w, d, err);
}
