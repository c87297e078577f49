/* The words of a pot taken apart: keys and values, doses. See book/pot.h. */
#include "book/pot_work.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/face.h"
#include "colour/name.h"
#include "dye/dose.h"
#include "dye/substance.h"

bool said(const char *words)
{
    return parts_said(words);
}

/* Words for "I do not know". */
static bool says_unknown(const char *words)
{
    return text_same(words, "unknown") || text_same(words, "not known") ||
           text_same(words, "?");
}

/* ---- skeins -----------------------------------------------------------------
 */

static const struct {
    const char *key;
    size_t at;
} skein_keys[] = {
#define KEY(k)                                                                 \
    {                                                                          \
#k, offsetof(struct pot_skein, k)                                      \
    }
    KEY(number), KEY(name),    KEY(code),  KEY(weight), KEY(weighed),
    KEY(length), KEY(fibre),   KEY(place), KEY(colour), KEY(dipped),
    KEY(note),   KEY(finished)
#undef KEY
};

static const char **skein_slot(struct pot_skein *s, const char *key)
{
    for (size_t i = 0; i < ARRAY_LEN(skein_keys); i++)
        if (text_same(key, skein_keys[i].key))
            return (const char **)(void *)((char *)s + skein_keys[i].at);
    return NULL;
}

static struct pot_words *skein_list(struct pot_skein *s, const char *key)
{
    if (text_same(key, "mordant"))
        return &s->mordants;
    if (text_same(key, "assist"))
        return &s->assists;
    return text_same(key, "dip") ? &s->dips : NULL;
}

bool pot_skein_bare(const struct pot_skein *s)
{
    struct pot_skein copy = *s;

    copy.number = NULL;
    for (size_t i = 0; i < ARRAY_LEN(skein_keys); i++)
        if (said(*skein_slot(&copy, skein_keys[i].key)))
            return false;
    return !s->mordants.count && !s->assists.count && !s->dips.count;
}

static void list_add(struct pot_words *list, const char *word)
{
    const char **all =
        mem_resize((void *)list->word, list->count + 1, sizeof *all);

    all[list->count++] = word;
    list->word = all;
}

static bool is_colour(const char *from, size_t n)
{
    char *words = mem_text_n(from, n);
    bool in[COLOUR_NAMES];
    size_t count;
    bool is = !words[strcspn(words, "0123456789")] &&
              colour_name_match(words, in, &count);

    free(words);
    return is;
}

/* "50g olive green", "yellow 50g": the colour would be lost in the weight's
 * words. True, and err says how both are said. */
static bool has_colour(const char *weight, struct error *err)
{
    const char *colour = NULL, *rest = weight;
    size_t n = 0, left = 0;

    for (const char *p = strchr(weight, ' '); p; p = strchr(p + 1, ' ')) {
        const size_t before = (size_t)(p - weight), behind = strlen(p + 1);
        if (is_colour(weight, before)) {
            colour = weight, n = before;
            rest = p + 1, left = behind;
        } else if (!colour && is_colour(p + 1, behind)) {
            colour = p + 1, n = behind;
            left = before;
        }
    }
    return colour &&
           !error_set(err, ERR_INPUT,
                      "skein \"%s\": write weight=%.*s; colour=%.*s, "
                      "or what else tells of it as note=%.*s",
                      weight, (int)left, rest, (int)n, colour, (int)n, colour);
}

/*
 * The part without a key: which skein, or the weight of a new one. What looks
 * like a key without its "=", or like a dose, is not taken for a name.
 */
static bool take_first(struct pot_skein *out, const char *first,
                       struct error *err)
{
    struct amount_context ctx = {AMOUNT_COUNT, false};
    struct amount a;
    struct error none;
    const char *colon = strchr(first, ':');
    size_t n = strcspn(first, " \t:");
    char *key = mem_text_n(first, n);
    bool is_key = skein_slot(out, key) || skein_list(out, key), ok = true;

    if (is_key && said(first + n + (first[n] == ':'))) {
        n += strspn(first + n, " \t:");
        ok = error_set(err, ERR_INPUT,
                       "skein \"%s\": write %s=%s; if it is called so, "
                       "name=%s",
                       first, key, first + n, first);
    } else if (colon && amount_read(colon + 1, ctx, &a, &none) &&
               a.unit != AMOUNT_WORDS && a.unit != AMOUNT_COUNT &&
               a.unit != AMOUNT_NONE) {
        ok = error_set(err, ERR_INPUT,
                       "skein \"%s\": write mordant=%s, or dip=%s; if it is "
                       "called so, name=%s",
                       first, first, first, first);
    } else if (amount_read(first, ctx, &a, &none) && a.unit == AMOUNT_G) {
        out->weight = first;
        ok = !has_colour(first, err);
    } else {
        out->which = first;
    }
    free(key);
    return ok;
}

static const char *guess_key(const char *part)
{
    struct amount_context ctx = {AMOUNT_COUNT, false};
    struct amount a;
    struct error none;
    double part_of_it;

    if (amount_fraction(part, &part_of_it))
        return "dipped";
    if (!amount_read(part, ctx, &a, &none))
        return "note"; /* "5 min" */
    return a.unit == AMOUNT_G   ? "weight"
           : a.unit == AMOUNT_M ? "length"
                                : "name";
}

bool pot_skein_read(const char *words, struct pot_skein *out, struct error *err)
{
    struct parts p;

    *out = (struct pot_skein){0};
    if (!parts_read(words, "skein", guess_key, &p, err))
        return pot_blame(err, "\"%s\"", words);
    out->bytes = p.bytes;
    if (p.first && !take_first(out, p.first, err)) {
        pot_skein_clear(out);
        return false;
    }
    for (size_t i = 0; i < p.count; i++) {
        struct pot_words *list = skein_list(out, p.key[i]);
        const char **slot = skein_slot(out, p.key[i]);
        if (list) {
            list_add(list, p.value[i]);
        } else if (!slot) {
            error_set(err, ERR_INPUT,
                      "skein \"%s\": there is no \"%s\"; say number, name, "
                      "code, weight, weighed, length, fibre, mordant, assist, "
                      "dip, colour, dipped, place, finished or note",
                      words, p.key[i]);
            pot_skein_clear(out);
            return false;
        } else if (*slot) {
            error_set(err, ERR_INPUT, "skein \"%s\": %s is said twice", words,
                      p.key[i]);
            pot_skein_clear(out);
            return false;
        } else {
            *slot = p.value[i];
        }
    }
    return true;
}

void pot_skein_clear(struct pot_skein *skein)
{
    if (!skein->bytes)
        return; /* its words are borrowed */
    free((void *)skein->mordants.word);
    free((void *)skein->assists.word);
    free((void *)skein->dips.word);
    free(skein->bytes);
    *skein = (struct pot_skein){0};
}

/* ---- doses ------------------------------------------------------------------
 */

static const char *const dose_keys[DOSE_KEYS] = {
    "amount", "state",  "fresh-per-dry", "supply",
    "added",  "minute", "known",         "note"};

/* "8 % extract": the last word says what it is, not how much. */
static void take_extract(struct pot_dose *d)
{
    static const char word[] = "extract";
    char *amount = d->bytes + (d->value[DOSE_AMOUNT] - d->bytes);
    size_t n = strlen(amount), w = sizeof word - 1;

    if (n < w || !text_same(amount + n - w, word) ||
        (n > w && amount[n - w - 1] != ' '))
        return;
    amount[n - w] = '\0';
    if (!d->value[DOSE_STATE])
        d->value[DOSE_STATE] = word;
    if (!said(amount))
        d->value[DOSE_AMOUNT] = NULL;
}

const char *pot_state_of(const struct amount *a)
{
    switch (a->state) {
    case AMOUNT_AS_SAID:
        return NULL;
    case AMOUNT_WET:
        return "other";
    case AMOUNT_FROZEN:
        return "frozen";
    case AMOUNT_DRIED:
        return "dry";
    case AMOUNT_FRESH:
        return "fresh";
    }
    return NULL;
}

static bool is_material(void *book, const char *name)
{
    struct error none;
    int64_t id;

    return record_find(book, NOUN_MATERIAL, name, &id, &none);
}

/* The name before the colon and the amount behind it. A name that is in the
 * book is taken whole. */
static bool take_name(struct work *w, struct pot_dose *d, char *first,
                      const char *kind, char **name, struct error *err)
{
    char *amount;

    if (!dose_split(first, kind, is_material, w->book, name, &amount, err))
        return false;
    if (amount) {
        if (d->value[DOSE_AMOUNT])
            return error_set(err, ERR_INPUT, "%s %s: the amount is said twice",
                             kind, *name);
        d->value[DOSE_AMOUNT] = amount;
    }
    return true;
}

static bool take_values(struct pot_dose *d, const struct parts *p,
                        const char *kind, struct error *err)
{
    for (size_t i = 0; i < p->count; i++) {
        size_t k = 0;
        while (k < DOSE_KEYS && !text_same(p->key[i], dose_keys[k]))
            k++;
        if (k == DOSE_KEYS)
            return error_set(err, ERR_INPUT,
                             "%s: there is no \"%s\"; say amount, state, "
                             "fresh-per-dry, supply, added, minute, known or "
                             "note",
                             kind, p->key[i]);
        if (d->value[k])
            return error_set(err, ERR_INPUT, "%s: %s is said twice", kind,
                             p->key[i]);
        if (*p->value[i])
            d->value[k] = p->value[i];
    }
    return true;
}

bool pot_dose_amount(struct pot_dose *d, const char *kind, struct error *err)
{
    struct amount_context ctx = {AMOUNT_G, false};
    const char *words = d->value[DOSE_AMOUNT];

    d->amount = (struct amount){.unit = AMOUNT_NONE};
    if (!words)
        return true;
    if (!amount_read(words, ctx, &d->amount, err))
        return pot_blame(err, "%s %s", kind, d->material);
    if (d->amount.unit == AMOUNT_M || d->amount.unit == AMOUNT_COUNT)
        return error_set(err, ERR_INPUT,
                         "%s %s: say \"%s\" in grams, percent, a ratio, "
                         "millilitres or words",
                         kind, d->material, words);
    if (!d->value[DOSE_STATE])
        d->value[DOSE_STATE] = pot_state_of(&d->amount);
    if (!d->value[DOSE_KNOWN] && d->amount.unit == AMOUNT_NONE)
        d->value[DOSE_KNOWN] = "unknown";
    else if (!d->value[DOSE_KNOWN] && d->amount.estimated)
        d->value[DOSE_KNOWN] = "guessed";
    return true;
}

/* Whether at most `most` letters (bytes) have to be changed, left out or put
 * in to make y of x: the Levenshtein distance, rows of one short name. */
static bool is_near(const char *x, const char *y, size_t most)
{
    size_t row[65], n = strlen(y);

    if (n >= ARRAY_LEN(row) || strlen(x) > n + most || n > strlen(x) + most)
        return false;
    for (size_t k = 0; k <= n; k++)
        row[k] = k;
    for (size_t i = 1; x[i - 1]; i++) {
        size_t corner = row[0];
        row[0] = i;
        for (size_t k = 1; k <= n; k++) {
            size_t change = corner + (x[i - 1] != y[k - 1]);
            size_t least = row[k] < row[k - 1] ? row[k] + 1 : row[k - 1] + 1;
            corner = row[k];
            row[k] = change < least ? change : least;
        }
    }
    return row[n] <= most;
}

/* A new name that is nearly one in the book may be a slip of the pen. */
static bool ask_near(struct work *w, const char *name, struct error *err)
{
    char *key = text_fold(name);
    size_t most = strlen(key) < 4 ? 0 : strlen(key) < 7 ? 1 : 2;
    struct stmt q;
    bool row, ok = stmt_begin(w->book, STMT_MATERIAL_NAMES, &q, err);

    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        if (is_near(key, stmt_get_text(&q, 1), most))
            pot_note(w, "%s is new in the book; was %s meant?", name,
                     stmt_get_text(&q, 0));
    if (ok)
        stmt_done(&q);
    free(key);
    return ok;
}

/* As what a new material is entered: in what is no dyeing the name tells. */
static const char *usual_or(const char *kind, const char *usual)
{
    static const char *const free_kinds[][2] = {
        {"dip", "modifier"}, {"wash", "cleanser"}, {"mordanting", "mordant"}};

    for (size_t i = 0; i < ARRAY_LEN(free_kinds); i++)
        if (!strcmp(kind, free_kinds[i][0]))
            return usual ? usual : free_kinds[i][1];
    return kind;
}

/* As what a dose counts: a dip modifies, and what goes with a mordant or a
 * soap stays what it is. */
static const char *role_of(const char *kind, const char *material_kind)
{
    static const char *const kinds[] = {"dyestuff", "mordant", "assist",
                                        "acid",     "alkali",  "modifier",
                                        "cleanser"};
    size_t i = 0;

    if (!strcmp(kind, "dip"))
        return "modifier";
    if (strcmp(kind, "wash") && strcmp(kind, "mordanting"))
        return kind;
    if (!strcmp(kind, "mordanting") && (!strcmp(material_kind, "dyestuff") ||
                                        !strcmp(material_kind, "modifier")))
        return "mordant"; /* oak galls are both */
    while (i + 1 < ARRAY_LEN(kinds) && strcmp(kinds[i], material_kind))
        i++;
    return kinds[i];
}

/* A material of a name that nothing in the book has: one that was withdrawn is
 * used again. */
static bool make_material(struct work *w, const char *name, const char *kind,
                          int64_t *id, struct error *err)
{
    const char *usual = substance_kind(name), *made = usual_or(kind, usual);
    struct record_value v[] = {{"name", name}, {"kind", made}};

    if (record_revive(w->book, NOUN_MATERIAL, name, id, err)) {
        pot_echo(w, "%s was withdrawn and is back", name);
        return true;
    }
    if (err->kind != ERR_MISSING || !ask_near(w, name, err) ||
        !record_add(w->book, NOUN_MATERIAL, v, ARRAY_LEN(v), id, NULL, err))
        return false;
    if (strpbrk(name, ",+&"))
        pot_note(w,
                 "\"%s\" is kept as one %s; if they are several, say each by "
                 "itself",
                 name, made);
    if (dose_measured(name))
        pot_note(w,
                 "\"%s\" is kept as its name; how much stands behind a colon: "
                 "\"%s: %.*s\"",
                 name, name + dose_measured(name) + strlen(" of "),
                 (int)dose_measured(name), name);
    pot_echo(w, "%s is new in the book: %s %s", name,
             strchr("aeiou", made[0]) ? "an" : "a", made);
    if (usual && strcmp(usual, made))
        pot_note(w, "%s is entered as %s %s; was %s meant?", name,
                 strchr("aeiou", made[0]) ? "an" : "a", made, usual);
    return true;
}

/* Finds the material, or makes it with the kind it is used as. */
static bool open_material(struct work *w, struct pot_dose *d, const char *name,
                          const char *kind, struct error *err)
{
    const struct record_field *f;
    struct record r;

    if (!record_find(w->book, NOUN_MATERIAL, name, &d->material_id, err) &&
        (err->kind != ERR_MISSING || name[0] == '#' ||
         !make_material(w, name, kind, &d->material_id, err)))
        return false;
    if (!record_read(w->book, NOUN_MATERIAL, d->material_id, &r, err))
        return false;
    d->material = mem_text(r.label);
    f = record_get(&r, "latin");
    d->latin = mem_text(f ? f->words : NULL);
    f = record_get(&r, "none");
    d->none = f && f->low > 0;
    f = record_get(&r, "kind");
    d->role = role_of(kind, f->words);
    if (!strcmp(d->role, "dyestuff") && strcmp(f->words, "dyestuff") != 0)
        pot_note(
            w, "%s is a%s %s, and goes in as a dyestuff here; was %s meant?",
            name, strchr("aeiou", f->words[0]) ? "n" : "", f->words, f->words);
    record_clear(&r);
    return true;
}

static char *dose_key_of(const struct pot_dose *d)
{
    struct text t = {0};

    text_addf(&t, "%09lld|%s", (long long)d->material_id, d->role);
    for (size_t i = 0; i < DOSE_KEYS; i++) {
        char *fold = text_fold(d->value[i] ? d->value[i] : "");
        text_addf(&t, "|%s", fold);
        free(fold);
    }
    return text_take(&t);
}

/* A mordant or a dip of a stuff that is among them already. */
static void look_twice(struct work *w, const struct dose_list *list,
                       const struct pot_dose *d)
{
    if (!strcmp(d->role, "dyestuff") || d->value[DOSE_MINUTE])
        return;
    for (size_t i = 0; i < list->count; i++)
        if (list->dose[i]->material_id == d->material_id) {
            pot_note(w, "%s is said twice; both are kept", d->material);
            return;
        }
}

static void keep_dose(struct work *w, struct dose_list *out, struct pot_dose *d)
{
    look_twice(w, out, d);
    w->dose = mem_resize(w->dose, w->doses + 1, sizeof *w->dose);
    w->dose[w->doses++] = d;
    out->dose = mem_resize(out->dose, out->count + 1, sizeof *out->dose);
    out->dose[out->count++] = d;
}

/* "tartar 6 %" behind a semicolon is no fact of the alum before it: err says
 * how it is said by itself, when its name is known. */
static void say_another(const struct work *w, const char *words,
                        const char *kind, struct error *err)
{
    const char *behind = words + strcspn(words, ";");
    const char *next = *behind ? behind + 1 : behind;
    char *part = mem_text_n(next, strcspn(next, ";"));
    char *whole = mem_text(parts_trim(part)), *name, *amount;
    const char *known = NULL;
    struct text how = {0};
    struct error none;

    if (!strchr(part, '=') &&
        dose_split(parts_trim(part), kind, NULL, NULL, &name, &amount, &none) &&
        amount) {
        known = substance_kind(name);
        if (!known || !strcmp(known, "cleanser")) /* goes into no pot of dye */
            known = is_material(w->book, name) ? kind : NULL;
    }
    if (known) {
        text_addf(&how, "--%s \"%s\"", w->pot->with.count ? "with" : known,
                  whole);
        error_set(err, ERR_INPUT, "%s: \"%s\" is another, said by itself: %s",
                  kind, whole,
                  face_says(text_str(&how), "in a field of its own"));
    }
    text_clear(&how);
    free(whole);
    free(part);
}

static bool read_one(struct work *w, const char *words, const char *kind,
                     struct dose_list *out, struct error *err)
{
    struct pot_dose *d = mem_new(1, sizeof *d);
    struct parts p;
    char *name;

    if (!parts_read(words, kind, NULL, &p, err)) {
        say_another(w, words, kind, err);
        goto failed;
    }
    d->bytes = p.bytes;
    if (!p.first) {
        dose_nameless(words, kind, err);
        goto failed;
    }
    if (!take_values(d, &p, kind, err) ||
        !take_name(w, d, p.first, kind, &name, err))
        goto failed;
    if (d->value[DOSE_AMOUNT])
        take_extract(d);
    if (says_unknown(name)) {
        if (d->value[DOSE_AMOUNT]) {
            error_set(err, ERR_INPUT,
                      "%s \"%s\": give it a name of your own, such as "
                      "\"unknown yellow\", so that it is not taken for "
                      "another",
                      kind, name);
            goto failed;
        }
        pot_echo(w, "%s: not known, none recorded", kind);
        pot_dose_free(d);
        return true;
    }
    if (!open_material(w, d, name, kind, err) || !pot_dose_amount(d, kind, err))
        goto failed;
    d->key = dose_key_of(d);
    keep_dose(w, out, d);
    return true;

failed:
    pot_dose_free(d);
    return false;
}

/* "madder: 60 %, weld: 2:1" are two. In what is a list already, a name alone
 * is one more. */
static bool read_several(struct work *w, const char *words, const char *kind,
                         struct dose_list *out, struct error *err)
{
    char *copy = mem_text(words), *s = copy;
    bool ok = true, list = false;

    while (ok && s) {
        struct dose_tail t = dose_tail(s, is_material, w->book);
        char *next = NULL;

        if (!strchr(s, ':') && is_material(w->book, s))
            t.more = DOSE_ALONE;
        if ((t.more == DOSE_UNCLEAR && !list) ||
            (t.more != DOSE_ALONE && strchr(s, ';'))) {
            char *other = mem_text_n(s + t.next, t.next_end - t.next);
            ok = error_set(err, ERR_INPUT,
                           "%s \"%.80s\": if \"%.60s\" is another, say each "
                           "by itself; if it tells of the first, put it behind "
                           "\"; note=\"",
                           kind, words, parts_trim(other));
            free(other);
            break;
        }
        if (t.more != DOSE_ALONE) {
            s[t.end] = '\0';
            next = s + t.next;
            list = true;
        }
        ok = read_one(w, s, kind, out, err);
        s = next;
    }
    free(copy);
    return ok;
}

bool pot_doses_read(struct work *w, struct pot_words words, const char *kind,
                    struct dose_list *out, struct error *err)
{
    for (size_t i = 0; i < words.count; i++)
        if (said(words.word[i]) &&
            !read_several(w, words.word[i], kind, out, err))
            return false;
    return true;
}

void pot_dose_free(struct pot_dose *d)
{
    if (!d)
        return;
    free(d->bytes);
    free(d->material);
    free(d->latin);
    free(d->key);
    free(d);
}
