/* A list taken in, all of its rows or none. See book/ledger.h. */
#include "book/ledger.h"

#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/mem.h"
#include "book/face.h"
#include "book/gather.h"
#include "book/kept.h"
#include "book/ledger_work.h"
#include "book/put.h"

void ledger_tell(struct ledger_lines *to, size_t line, const char *words)
{
    if (to->told < LEDGER_TOLD) {
        to->line = mem_room(to->line, to->told, sizeof *to->line);
        to->line[to->told++] = (struct ledger_line){line, mem_text(words)};
    }
    to->count++;
}

void ledger_tell_bad(struct taking *t, size_t row, const char *words)
{
    t->out->bad_rows += !t->row_bad[row];
    t->row_bad[row] = true;
    ledger_tell(&t->out->bad, t->l->line[row], words);
}

/* ---- records ------------------------------------------------------------- */

bool ledger_read(struct taking *t, const struct ledger_row *r,
                 enum ledger_id id, enum noun_id noun, const char *field,
                 const char *words, struct error *err)
{
    const int c = t->column[id];
    const struct field *f = noun_field(&nouns[noun], field);
    struct ledger_column *column = c < 0 ? NULL : &t->l->column[c];
    struct text *echo = column && !column->read_as ? &t->echo : NULL;
    const char *s;

    /* Words that came before in that column were echoed then. */
    if (t->book->gather && field_words_take(&t->read[id], f, words, t->cells))
        return true;
    text_reset(&t->echo);
    if (!field_read(t->book, f, words, t->cells, echo, err)) {
        struct error inner = *err;
        const char *name = ledger_fields[id].name;
        size_t n = strlen(field);
        /* The field of the book is not always called as the column is. */
        if (!strncmp(inner.text, field, n) && inner.text[n] == ':')
            error_set(err, inner.kind, "%s%s", name, inner.text + n);
        return false;
    }
    field_words_keep(&t->read[id], f, words, t->cells);
    if (!echo)
        return true;
    s = strstr(text_str(echo), ", read as ");
    column->read_as = s ? mem_text_n(s + 10, strcspn(s + 10, "\n")) : NULL;
    if (!column->read_was)
        column->read_was = mem_text(ledger_cell(t->l, r->row, (size_t)c));
    if (column->read_as) {
        free(column->read_was);
        column->read_was = mem_text(ledger_cell(t->l, r->row, (size_t)c));
    }
    return true;
}

/* "3/4/2023" in the order of its column as "3.4.2023", which has but one. */
static bool in_order(const char *words, bool month_first, struct text *out)
{
    const char *p[3], *s = words;
    size_t n[3];

    for (int i = 0; i < 3; i++) {
        p[i] = s;
        n[i] = strspn(s, "0123456789");
        s += n[i];
        if (!n[i] || (i < 2 ? n[i] > 2 || !strchr("/-", *s) : *s && *s != ' '))
            return false;
        s += i < 2;
    }
    text_reset(out);
    text_add_n(out, p[month_first], n[month_first]);
    text_add(out, ".");
    text_add_n(out, p[!month_first], n[!month_first]);
    text_add(out, ".");
    text_add_n(out, p[2], n[2]);
    return true;
}

/* Whether a day can be another one with the month first. */
static bool is_odd(struct taking *t, const char *words)
{
    struct day_range range;
    struct error none;
    bool is_new;
    size_t at;

    if (!strpbrk(words, "/-"))
        return false;
    at = word_map_at(&t->days, words, &is_new);
    if (is_new) {
        t->odd_day = mem_room(t->odd_day, at, sizeof *t->odd_day);
        t->odd_day[at] =
            day_read(words, day_today(), &range, &none) && range.ambiguous;
    }
    return t->odd_day[at];
}

bool ledger_day(struct taking *t, const struct ledger_row *r, const char *words,
                struct error *err)
{
    const int c = t->column[LEDGER_DATE];
    const char *unit = c < 0 ? "" : t->l->column[c].unit;

    if (*unit && in_order(words, *unit == 'm', &t->text)) {
        if (!ledger_read(t, r, LEDGER_DATE, NOUN_TREATMENT, "on",
                         text_str(&t->text), err))
            return false;
        cells_text(t->cells, "on_words", words);
        return true;
    }
    if (!ledger_read(t, r, LEDGER_DATE, NOUN_TREATMENT, "on", words, err))
        return false;
    if (is_odd(t, words) && !t->odd_days++)
        t->odd_line = t->l->line[r->row];
    return true;
}

void ledger_begin(struct taking *t, const struct ledger_row *r,
                  enum noun_id noun)
{
    cells_clear(t->cells);
    if (nouns[noun].owner)
        cells_int(t->cells, nouns[noun].owner, r->dyer_id);
}

bool ledger_put(struct taking *t, enum noun_id noun, bool whole, int64_t *id,
                struct error *err)
{
    struct book *book = t->book;
    bool ok = book->gather ? whole
                                 ? put_gathered(book, noun, t->cells, id, err)
                                 : gather_record(book, noun, t->cells, id, err)
              : whole ? put_whole(book, noun, t->cells, id, err)
                           : put_cells(book, noun, t->cells, id, err);

    t->out->fresh[noun] += ok;
    return ok;
}

/* ---- rows that came before ----------------------------------------------- */

/* What a row is known by: the words of its cells, and which of those that are
 * alike in the file it is. */
static void uid_of(struct taking *t, size_t row, unsigned char out[32])
{
    size_t last = t->l->columns;
    int64_t key, *seen;

    while (last && !*ledger_cell(t->l, row, last - 1))
        last--;
    text_reset(&t->text);
    for (size_t c = 0; c < last; c++) {
        text_add(&t->text, ledger_cell(t->l, row, c));
        text_add(&t->text, "\x1F");
    }
    kept_hash(text_str(&t->text), t->text.len, out);
    memcpy(&key, out, sizeof key);
    key = key ? key : 1;
    seen = id_map_at(&t->came, key);
    if (!seen) {
        id_map_put(&t->came, key, 1);
        return;
    }
    text_add(&t->text, id_words(++*seen).s);
    kept_hash(text_str(&t->text), t->text.len, out);
}

static bool came_before(struct taking *t, const unsigned char uid[16], bool *is,
                        struct error *err)
{
    struct stmt q;

    if (!stmt_begin(t->book, STMT_LEDGER_CAME, &q, err))
        return false;
    stmt_blob(&q, ":uid", uid, 16);
    if (!stmt_step(&q, is, err))
        return false;
    stmt_done(&q);
    return true;
}

static bool note_row(struct taking *t, const unsigned char uid[16],
                     int64_t skein, struct error *err)
{
    struct stmt q;

    if (t->book->gather) {
        gather_came(t->book, uid, NOUN_SKEIN, skein);
        return true;
    }
    if (!stmt_begin(t->book, STMT_CAME, &q, err))
        return false;
    stmt_blob(&q, ":uid", uid, 16);
    stmt_text(&q, ":table", "skein");
    stmt_int(&q, ":row", skein);
    stmt_int(&q, ":at", 0);
    return stmt_run(&q, err);
}

/* ---- rows ---------------------------------------------------------------- */

static bool find_code(struct taking *t, const char *key, int64_t dyer,
                      int64_t skein, int64_t *other, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(t->book, STMT_LEDGER_CODE, &q, err))
        return false;
    stmt_text(&q, ":key", key);
    stmt_int(&q, ":dyer", dyer);
    stmt_int(&q, ":of", skein);
    if (!stmt_step(&q, &row, err))
        return false;
    *other = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

/* One that may be gathered is not in the book to be found: so the book is asked
 * for the first of a code alone. */
bool ledger_code(struct taking *t, const struct ledger_row *r, int64_t skein,
                 struct error *err)
{
    const struct cell *key = cells_get(t->cells, "code_key");
    bool is_new;
    size_t at;

    t->namesake = 0;
    if (!key || key->kind != CELL_TEXT)
        return true;
    if (!t->book->gather)
        return find_code(t, key->text, r->dyer_id, skein, &t->namesake, err);
    text_reset(&t->text);
    text_addf(&t->text, "%lld %s", (long long)r->dyer_id, key->text);
    at = word_map_at(&t->codes, text_str(&t->text), &is_new);
    if (is_new) {
        if (!find_code(t, key->text, r->dyer_id, skein, &t->namesake, err))
            return false;
        t->coded = mem_room(t->coded, at, sizeof *t->coded);
        t->coded[at] = t->namesake ? t->namesake : skein;
    } else {
        t->namesake = t->coded[at];
    }
    return true;
}

/* A code that another skein has, too: a remark. */
static bool remark_code(struct taking *t, const struct ledger_row *r,
                        struct error *err)
{
    struct text label = {0};
    bool ok;

    if (!t->namesake)
        return true;
    if (t->out->note.count >= LEDGER_TOLD) {
        t->out->note.count++;
        return true;
    }
    ok = (!t->book->gather || gather_put(t->book, err)) &&
         record_label(t->book, NOUN_SKEIN, t->namesake, &label, err);
    text_reset(&t->text);
    text_addf(&t->text, "code %s: skein %s has it, or one easily misread as it",
              r->said[LEDGER_CODE], text_str(&label));
    ledger_tell(&t->out->note, t->l->line[r->row], text_str(&t->text));
    text_clear(&label);
    return ok;
}

/* What was remarked on while doses were read. */
static void take_notes(struct taking *t, size_t line)
{
    struct pot_result *r = &t->result;

    for (size_t i = 0; i < r->notes; i++) {
        ledger_tell(&t->out->note, line, r->note[i]);
        free(r->note[i]);
    }
    r->notes = 0;
}

static bool take_row(struct taking *t, struct ledger_row *r, struct error *err)
{
    unsigned char uid[32];
    int64_t skein;
    bool before;

    uid_of(t, r->row, uid);
    if (!came_before(t, uid, &before, err))
        return false;
    if (before) {
        t->out->here++;
        return true;
    }
    if (!ledger_row_take(t, r, &skein, err) || !remark_code(t, r, err) ||
        !note_row(t, uid, skein, err))
        return false;
    t->first = t->first ? t->first : skein;
    t->last = skein;
    t->out->skeins++;
    return true;
}

static bool take_rows(struct taking *t, struct error *err)
{
    struct ledger_row r = {0};
    bool ok = true;

    for (size_t i = 0; ok && i < t->l->rows; i++) {
        struct error why = {0};
        if (!ledger_row_words(t, i, &r)) {
            t->silent++;
            continue;
        }
        if (take_row(t, &r, &why)) {
            take_notes(t, t->l->line[i]);
        } else if (why.kind == ERR_STORE || why.kind == ERR_BUG) {
            *err = why;
            ok = false;
        } else {
            ledger_tell_bad(t, i, why.text);
        }
    }
    ledger_row_clear(&r);
    return ok;
}

/* ---- the whole ----------------------------------------------------------- */

static void find_columns(struct taking *t)
{
    for (size_t i = 0; i < LEDGER_IDS; i++)
        t->column[i] = -1;
    for (size_t c = 0; c < t->l->columns; c++) {
        struct ledger_column *column = &t->l->column[c];
        if (column->is >= 0 && t->column[column->is] < 0)
            t->column[column->is] = (int)c;
        free(column->read_as);
        free(column->read_was);
        column->read_as = column->read_was = NULL;
        column->filled = 0;
        for (size_t i = 0; i < t->l->rows; i++)
            column->filled += *ledger_cell(t->l, i, c) != '\0';
    }
}

static bool is_said(const struct taking *t, enum ledger_id id)
{
    return t->column[id] >= 0 || t->l->all[id];
}

/* Asked for at once, not one after another by the first row. */
static bool check_instrument(const struct taking *t, struct error *err)
{
    const char *source = t->l->all[LEDGER_SOURCE];

    return t->column[LEDGER_SOURCE] >= 0 || !source ||
           !text_same(source, "instrument") ||
           (is_said(t, LEDGER_ILLUMINANT) && is_said(t, LEDGER_GEOMETRY)) ||
           error_set(err, ERR_INPUT,
                     "L*, a*, b*: an instrument's colour needs its illuminant "
                     "and observer, and its geometry: %s",
                     face_says("--all illuminant=D65/10 --all geometry=d/8",
                               "say both below, such as D65/10 and d/8"));
}

/* What no row can put right. */
static bool check_columns(const struct taking *t, struct error *err)
{
    bool any = t->l->rest;

    for (size_t i = 0; i < LEDGER_IDS; i++)
        any = any || t->column[i] >= 0;
    if (!any)
        return error_set(err, ERR_INPUT,
                         "no heading of it is known here: say which column is "
                         "what%s",
                         face_says(", such as --match \"Wt=weight\"", ""));
    if (!is_said(t, LEDGER_LAB) && !is_said(t, LEDGER_L))
        return true;
    if (!is_said(t, LEDGER_SOURCE))
        return error_set(
            err, ERR_INPUT, "L*, a*, b*: say how the colours were read: %s",
            face_says("--all source=eye, or --all source=instrument with "
                      "--all illuminant=D65/10 and --all geometry=d/8; or "
                      "leave them out: --match \"L=\"",
                      "choose it below, or leave the columns out"));
    return check_instrument(t, err);
}

static void tell_days(struct taking *t)
{
    const int c = t->column[LEDGER_DATE];

    if (!t->odd_days)
        return;
    text_reset(&t->text);
    text_addf(&t->text,
              "%zu %s be read with the day or the month first; kept as either. "
              "Say which: ",
              t->odd_days, t->odd_days > 1 ? "days can" : "day can");
    text_addf(&t->text, "%s%s%s", face_says("--match \"", "\""),
              c < 0 ? "Date" : t->l->column[c].heading,
              face_says("=date d/m\", or m/d", "\" is d/m or m/d"));
    ledger_tell(&t->out->note, t->odd_line, text_str(&t->text));
}

static bool tell_made(struct taking *t, struct error *err)
{
    struct text label = {0};
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(t->book, STMT_LEDGER_MADE, &q, err))
        return false;
    stmt_int(&q, ":act", t->book->act_id);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        const char *kind = stmt_get_text(&q, 1);
        text_reset(&t->text);
        text_reset(&label);
        record_label(t->book, NOUN_MATERIAL, stmt_get_int(&q, 0), &label, err);
        text_addf(&t->text, "%s, %s %s", text_str(&label),
                  strchr("aeiou", kind[0]) ? "an" : "a", kind);
        ledger_tell(&t->out->made, 0, text_str(&t->text));
    }
    if (ok)
        stmt_done(&q);
    text_clear(&label);
    return ok;
}

static bool label_of(struct taking *t, int64_t skein, char **out,
                     struct error *err)
{
    struct text label = {0};
    bool ok = !skein || record_label(t->book, NOUN_SKEIN, skein, &label, err);

    *out = skein ? text_take(&label) : NULL;
    text_clear(&label);
    return ok;
}

static bool take_all(struct taking *t, struct error *err)
{
    if (!check_columns(t, err) || !ledger_pots_gather(t, err) ||
        !take_rows(t, err) || (t->book->gather && !gather_put(t->book, err)))
        return false;
    tell_days(t);
    if (t->silent) {
        text_reset(&t->text);
        text_addf(&t->text,
                  "%zu %s nothing in the columns that are matched, and %s left "
                  "out",
                  t->silent, t->silent > 1 ? "rows say" : "row says",
                  t->silent > 1 ? "are" : "is");
        ledger_tell(&t->out->note, 0, text_str(&t->text));
    }
    if (t->out->bad_rows)
        return error_set(err, ERR_INPUT,
                         "%zu of %zu rows cannot be read: nothing was taken in",
                         t->out->bad_rows, t->l->rows);
    return label_of(t, t->first, &t->out->first, err) &&
           label_of(t, t->last, &t->out->last, err) && tell_made(t, err);
}

/* Hands over the cautions, and releases the rest. */
static void finish(struct taking *t)
{
    take_notes(t, 0);
    t->out->caution = t->result.caution;
    t->out->cautions = t->result.cautions;
    t->result.caution = NULL;
    t->result.cautions = 0;
    pot_result_clear(&t->result);
    ledger_doses_clear(t);
    ledger_pots_clear(t);
    word_map_clear(&t->fibre_of);
    word_map_clear(&t->dyer_of);
    word_map_clear(&t->codes);
    word_map_clear(&t->days);
    free(t->odd_day);
    free(t->coded);
    for (size_t i = 0; i < LEDGER_IDS; i++)
        field_words_clear(&t->read[i]);
    id_map_clear(&t->came);
    free(t->fibre);
    free(t->dyer);
    free(t->row_bad);
    cells_clear(t->cells);
    free(t->cells);
    text_clear(&t->echo);
    text_clear(&t->text);
}

/* gathered  records are put in many at once, and words that came before are not
 *           read again; else one by one, so that a row is told by its line
 * again     set when the book refused one of many */
static bool take(struct book *book, struct ledger *l, bool look, bool gathered,
                 bool *again, struct ledger_taken *out, struct error *err)
{
    struct taking t = {.book = book, .l = l, .out = out};
    bool ok;

    *out = (struct ledger_taken){0};
    t.cells = mem_new(1, sizeof *t.cells);
    t.row_bad = mem_new(l->rows, sizeof *t.row_bad);
    t.work = (struct work){.book = book,
                           .pot = &t.nothing,
                           .result = &t.result,
                           .dyer_id = book->dyer_id};
    find_columns(&t);
    ok = book_act_begin(book, "import", err);
    if (ok) {
        if (gathered)
            gather_begin(book);
        ok = take_all(&t, err);
        ok = gather_end(book, again, err) && ok;
        if (ok && !look && out->skeins) {
            out->act = book->act_id;
            ok = book_act_end(book, err);
        } else {
            book_act_cancel(book);
        }
    }
    finish(&t);
    return ok;
}

bool ledger_take(struct book *book, struct ledger *l, bool look,
                 struct ledger_taken *out, struct error *err)
{
    bool again = false, ok = take(book, l, look, true, &again, out, err);

    if (!again)
        return ok;
    ledger_taken_clear(out);
    return ledger_take_singly(book, l, look, out, err);
}

bool ledger_take_singly(struct book *book, struct ledger *l, bool look,
                        struct ledger_taken *out, struct error *err)
{
    bool again;

    return take(book, l, look, false, &again, out, err);
}

static void clear_lines(struct ledger_lines *lines)
{
    for (size_t i = 0; i < lines->told; i++)
        free(lines->line[i].words);
    free(lines->line);
}

void ledger_taken_clear(struct ledger_taken *taken)
{
    clear_lines(&taken->bad);
    clear_lines(&taken->note);
    clear_lines(&taken->made);
    for (size_t i = 0; i < taken->cautions; i++)
        free(taken->caution[i]);
    free(taken->caution);
    free(taken->first);
    free(taken->last);
    *taken = (struct ledger_taken){0};
}

/* ---- telling ------------------------------------------------------------- */

static void add_skeins(const struct ledger_taken *taken, struct text *out)
{
    if (!taken->skeins) {
        text_add(out, "Nothing new comes in.\n");
        return;
    }
    text_addf(out, "Comes in: %zu skein%s (%s", taken->skeins,
              taken->skeins > 1 ? "s" : "", taken->first);
    if (taken->skeins > 1)
        text_addf(out, " to %s", taken->last);
    text_add(out, ")");
    if (taken->fresh[NOUN_BATH])
        text_addf(out, ", %zu bath%s", taken->fresh[NOUN_BATH],
                  taken->fresh[NOUN_BATH] > 1 ? "s" : "");
    if (taken->fresh[NOUN_READING])
        text_addf(out, ", %zu colour%s", taken->fresh[NOUN_READING],
                  taken->fresh[NOUN_READING] > 1 ? "s" : "");
    text_add(out, ".\n");
}

static void add_left_out(const struct ledger *l, struct text *out)
{
    size_t n = 0;

    for (size_t i = 0; i < l->columns && !l->rest; i++)
        if (l->column[i].is < 0 && l->column[i].filled)
            text_addf(out, "%s%s",
                      n++ ? ", " : "Left out: ", l->column[i].heading);
    if (n)
        text_addf(out, ". %s\n",
                  face_says("--rest keeps them in the note.",
                            "They can be kept in the note."));
}

void ledger_taken_words(const struct ledger *l,
                        const struct ledger_taken *taken, struct text *out)
{
    add_skeins(taken, out);
    if (taken->here)
        text_addf(out,
                  "%zu row%s here already, from an earlier import: left out.\n",
                  taken->here, taken->here > 1 ? "s are" : " is");
    for (size_t i = 0; i < taken->made.told; i++)
        text_addf(out, "%s%s",
                  i ? "; " : "New in the book: ", taken->made.line[i].words);
    if (taken->made.count > taken->made.told)
        text_addf(out, "; and %zu more", taken->made.count - taken->made.told);
    text_add(out, taken->made.count ? ".\n" : "");
    add_left_out(l, out);
}
