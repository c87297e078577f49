/* The bath of a pot, found or made: what it is poured from, its water, how the
 * colour was drawn out. See book/pot.h. */
#include "book/pot_work.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/face.h"
#include "dye/caution.h"

static bool add_pour(struct work *w, const char *words, struct error *err)
{
    char *pot = mem_text(words), *colon = strchr(pot, ':');
    struct id_words bath = id_words(w->result->bath_id), parent;
    char time[16];
    int64_t id;
    bool ok;

    snprintf(time, sizeof time, "%d", w->time);
    if (colon)
        *colon = '\0';
    ok = record_find_of(w->book, NOUN_BATH, w->dyer_id, pot, &id, err);
    parent = id_words(id);
    struct record_value v[] = {
        {"bath", bath.s},
        {"parent", parent.s},
        {"volume", colon ? colon + 1 : NULL},
        {"on", w->pot->on},
        {"before-round", w->result->new_bath ? NULL : time},
    };
    ok = ok && record_add(w->book, NOUN_POUR, v, ARRAY_LEN(v), &id, NULL, err);
    free(pot);
    return ok || pot_blame(err, "poured");
}

static bool extraction_keys(const struct parts *p, struct error *err)
{
    for (size_t i = 0; i < p->count; i++)
        if (!text_same(p->key[i], "date") &&
            !noun_field(&nouns[NOUN_EXTRACTION], p->key[i]))
            return error_set(err, ERR_INPUT,
                             "there is no \"%s\"; say minutes, temperature, "
                             "pulls, straining, date or note",
                             p->key[i]);
    return true;
}

static const char *guess_key(const char *part)
{
    (void)part;
    return "temperature";
}

static bool add_extraction(struct work *w, struct error *err)
{
    struct id_words bath = id_words(w->result->bath_id);
    struct record_value v[PARTS_MAX + 2] = {{"bath", bath.s}};
    struct text echo = {0};
    struct parts p;
    size_t n = 1;
    int64_t id;
    bool ok;

    if (!said(w->pot->extraction))
        return true;
    if (!parts_read(w->pot->extraction, "extraction", guess_key, &p, err))
        return false;
    if (p.first)
        v[n++] = (struct record_value){"minutes", p.first};
    for (size_t i = 0; i < p.count; i++)
        v[n++] = (struct record_value){
            text_same(p.key[i], "date") ? "on" : p.key[i], p.value[i]};
    ok = extraction_keys(&p, err) &&
         record_add(w->book, NOUN_EXTRACTION, v, n, &id, &echo, err);
    pot_echo_lines(w, "extraction ", &echo);
    text_clear(&echo);
    free(p.bytes);
    return ok || pot_blame(err, "extraction");
}

/* "14", "Aino/3": a bath of the pot's dyer. */
static bool add_called(struct work *w, long long number, struct text *out,
                       struct error *err)
{
    if (w->dyer_id != book_dyer(w->book)) {
        if (!record_label(w->book, NOUN_DYER, w->dyer_id, out, err))
            return false;
        text_add(out, "/");
    }
    text_addf(out, "%lld", number);
    return true;
}

/* A new pot that is called as an older one: perhaps that one was meant. */
static bool ask_namesake(struct work *w, struct error *err)
{
    char *key = text_fold(w->pot->name);
    struct stmt q;
    bool row, ok = stmt_begin(w->book, STMT_BATH_NAMESAKE, &q, err);

    if (ok) {
        stmt_text(&q, ":key", key);
        stmt_int(&q, ":owner", w->dyer_id);
        stmt_int(&q, ":of", w->result->bath_id);
        ok = stmt_step(&q, &row, err);
    }
    free(key);
    if (!ok)
        return false;
    if (row) {
        struct text called = {0};
        long long n = stmt_get_int(&q, 0);
        ok = add_called(w, n, &called, err);
        pot_note(w,
                 "bath %s is called \"%s\" too; to add to that one, %s %lld "
                 "instead of the name",
                 text_str(&called), w->pot->name,
                 face_says("say --of", "say it is a round of"), n);
        text_clear(&called);
    }
    stmt_done(&q);
    return ok;
}

bool pot_round_find(struct book *book, int64_t bath, int64_t round,
                    int64_t *treatment, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_ROUND_FIND, &q, err))
        return false;
    stmt_int(&q, ":bath", bath);
    stmt_int(&q, ":round", round);
    if (!stmt_step(&q, &row, err))
        return false;
    *treatment = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

bool pot_is_bare(struct book *book, int64_t bath, const struct pot_entry *pot,
                 bool *bare, struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, STMT_ROUND_BARE, &q, err))
        return false;
    stmt_int(&q, ":of", bath);
    stmt_int(&q, ":undated", !said(pot->on));
    stmt_int(&q, ":described", pot->skein_count > 0);
    if (!stmt_step(&q, bare, err))
        return false;
    stmt_done(&q);
    return true;
}

static bool new_bath(struct work *w, struct error *err)
{
    const struct pot_entry *p = w->pot;
    const char *kind = w->liquor ? w->liquor : said(p->kind) ? p->kind : "dye";
    const struct record_value v[] = {
        {"dyer", p->dyer},   {"name", p->name},     {"kind", kind},
        {"water", p->water}, {"volume", p->volume},
    };
    struct text echo = {0};

    w->vat = text_same(kind, "vat");
    if (!w->liquor && !w->vat && !text_same(kind, "dye"))
        return error_set(err, ERR_INPUT,
                         "kind: \"%s\" is none: a pot is dye or vat", kind);
    if (!record_add(w->book, NOUN_BATH, v, ARRAY_LEN(v), &w->result->bath_id,
                    &echo, err)) {
        text_clear(&echo);
        return false;
    }
    w->result->new_bath = true;
    pot_echo_lines(w, "", &echo);
    text_clear(&echo);
    return ask_namesake(w, err);
}

/* Water and volume of a bath that was there: filled in, else kept as words of
 * this round. */
static bool fill_bath(struct work *w, const struct record *r,
                      struct text *aside, struct error *err)
{
    const struct record_value wish[] = {{"water", w->pot->water},
                                        {"volume", w->pot->volume}};
    struct text echo = {0};

    for (size_t i = 0; i < ARRAY_LEN(wish); i++) {
        const struct record_field *f = record_get(r, wish[i].field);
        if (!said(wish[i].words) || (f && text_same(f->words, wish[i].words)))
            continue;
        if (f) {
            pot_echo(w,
                     "%s: %s by the book; \"%s\" is kept as a note of this "
                     "round",
                     wish[i].field, f->words, wish[i].words);
            text_addf(aside, "%s%s: %s", aside->len ? "; " : "", wish[i].field,
                      wish[i].words);
        } else if (!record_edit(w->book, NOUN_BATH, r->id, &wish[i], 1, &echo,
                                err)) {
            text_clear(&echo);
            return false;
        }
    }
    pot_echo_lines(w, "", &echo);
    text_clear(&echo);
    return true;
}

/* Names the pots whose names have those words in them. Always false. */
static bool suggest_bath(struct work *w, struct error *err)
{
    char *key = text_fold(w->pot->of);
    struct error none;
    struct text like = {0};
    struct stmt q;
    bool row = true;

    if (*key && stmt_begin(w->book, STMT_BATH_LIKE, &q, &none)) {
        stmt_text(&q, ":key", key);
        stmt_int(&q, ":owner", w->dyer_id);
        while (stmt_step(&q, &row, &none) && row) {
            text_add(&like, like.len ? ", " : "");
            if (!add_called(w, stmt_get_int(&q, 0), &like, &none))
                break;
            text_addf(&like, " \"%s\"", stmt_get_text(&q, 1));
        }
        stmt_done(&q);
    }
    if (like.len)
        error_set(err, ERR_MISSING,
                  "there is no bath \"%s\"; say the number of the one you "
                  "mean: %s",
                  w->pot->of, text_str(&like));
    text_clear(&like);
    free(key);
    return false;
}

static bool old_bath(struct work *w, struct text *aside, struct error *err)
{
    struct pot_result *res = w->result;
    const struct record_field *f;
    struct record r;
    bool ok = false;

    if (!record_find_of(w->book, NOUN_BATH, w->dyer_id, w->pot->of,
                        &res->bath_id, err))
        return err->kind == ERR_MISSING ? suggest_bath(w, err) : false;
    if (!record_read(w->book, NOUN_BATH, res->bath_id, &r, err))
        return false;
    f = record_get(&r, "kind");
    w->vat = !strcmp(f->words, "vat");
    if (r.withdrawn)
        error_set(err, ERR_INPUT,
                  "bath %s was withdrawn; bring it back before more is dyed "
                  "in it",
                  r.label);
    else if (r.owner_id != w->dyer_id)
        error_set(err, ERR_INPUT,
                  "bath %s is another dyer's: make a pot of your own, with "
                  "what was poured from it; or say that dyer, when it was not "
                  "you who dyed",
                  r.label);
    else if (w->liquor && strcmp(f->words, w->liquor))
        error_set(err, ERR_INPUT,
                  "bath %s is a %s bath by the book; a %s is done in a %s bath",
                  r.label, f->words, w->pot->kind, w->liquor);
    else if (!w->liquor && !w->vat && strcmp(f->words, "dye"))
        error_set(err, ERR_INPUT,
                  "bath %s is a %s bath; a pot is logged in a dye bath or a "
                  "vat",
                  r.label, f->words);
    else if (!w->liquor && said(w->pot->kind) &&
             !text_same(w->pot->kind, f->words))
        error_set(err, ERR_INPUT, "bath %s is a %s bath by the book, not a %s",
                  r.label, f->words, w->pot->kind);
    else
        ok = fill_bath(w, &r, aside, err);
    if (ok && record_get(&r, "storage"))
        pot_caution(w, "a stored bath", caution_general("stored bath")->text);
    record_clear(&r);
    return ok;
}

bool pot_bath_open(struct work *w, struct text *aside, struct error *err)
{
    const struct pot_entry *p = w->pot;
    struct text called = {0};
    int64_t n;
    bool is_null;

    if (said(p->name) && said(p->of))
        return error_set(err, ERR_INPUT,
                         "say the name of a new pot, or which pot of the "
                         "book, not both");
    if (!said(p->name) && !said(p->of))
        return error_set(err, ERR_INPUT,
                         "say what you call the pot, or which pot of the book "
                         "it is");
    if (!(said(p->name) ? new_bath(w, err) : old_bath(w, aside, err)))
        return false;
    if (!pot_ask(w->book, STMT_BATH_NUMBER, w->result->bath_id, &n, &is_null,
                 err))
        return false;
    w->result->bath_number = n;
    if (!add_called(w, n, &called, err))
        return false;
    w->result->bath = text_take(&called);
    return true;
}

bool pot_bath_fill(struct work *w, struct error *err)
{
    const struct pot_words *poured = &w->pot->poured;

    for (size_t i = 0; i < poured->count; i++)
        if (said(poured->word[i]) && !add_pour(w, poured->word[i], err))
            return false;
    return add_extraction(w, err);
}
