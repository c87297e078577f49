/*
 * Log a pot: the shared facts once, a row for each skein below. The same words
 * go to the same function as those of "hanklab log". Without scripts the
 * buttons send the form and get it back with an echo or another row.
 */
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/pot.h"
#include "book/sheet.h"
#include "dye/caution.h"
#include "html.h"
#include "page.h"
#include "photos.h"
#include "routes.h"

#define ROWS 6       /* of an empty form */
#define MAX_ROWS 400 /* a grid of 20 by 20 */
#define MAX_WORDS 64 /* of one kind */

/* ---- what is asked ---------------------------------------------------------
 */

struct question {
    const char *name, *label, *hint;
    size_t at; /* in struct pot_entry: const char * or struct pot_words */
    bool many;
};

#define ONE(name, label, hint, member)                                         \
    {                                                                          \
        name, label, hint, offsetof(struct pot_entry, member), false           \
    }
#define MANY(name, label, hint, member)                                        \
    {                                                                          \
        name, label, hint, offsetof(struct pot_entry, member), true            \
    }

static const struct question first_asked[] = {
    ONE("name", "Pot", "what you call it; all that is ever needed", name),
    ONE("of", "or a round of", "a pot in the book, by number or name", of),
    ONE("round", "Round", "first, exhaust 1 ...; the next one if not said",
        round),
    MANY("dyestuff", "Dyestuff", "madder: 60 %, weld: 2:1, onion skins",
         dyestuffs),
    MANY("mordant", "Mordant", "alum: 12 %; none: on purpose", mordants),
    MANY("assist", "Assist", "cream of tartar: 6 %", assists),
    MANY("dip", "Dip after", "iron: 2 %", dips),
    ONE("ph", "pH", "7, 7-8, about 9, 5 -> 9", ph),
    ONE("temperature", "Heat", "highest reached: 80, 180 F", temperature),
    ONE("minutes", "Time", "at that heat: 45, 1 h", minutes),
    ONE("date", "Day", "2026-05-03, yesterday, summer 2019", on),
    ONE("fibre", "Yarn", "of the new skeins", fibre),
    ONE("weight", "Each weighs", "dry: 20 g, 3/4 oz", weight),
};

static const struct question then_asked[] = {
    MANY("acid", "Acid", "into the bath: vinegar: 20 ml", acids),
    MANY("alkali", "Alkali", "into the bath: chalk: a pinch", alkalis),
    ONE("water", "Water", "which", water),
    ONE("volume", "Liquor", "how much: 3 l, 1 gallon", volume),
    ONE("vessel", "Vessel", "pot, jar in a water bath ...", vessel),
    ONE("cooled", "Cooled in it", "yes or no", cooled),
    ONE("extraction", "Extraction", "1 h; temperature=80; straining=bagged",
        extraction),
    MANY("poured", "Made of", "older pots: 3: 2 l", poured),
    ONE("kind", "Kind", "of a new pot: dye or vat", kind),
    ONE("vat-dips", "Vat dips", "how often they were dipped", vat_dips),
    ONE("airing", "Airing", "minutes in the air", airing),
    ONE("note", "Note", "anything else", note),
};

/* One row's fields; "none" in a field stands for on purpose. */
static const struct {
    const char *name, *label;
    size_t at; /* in struct pot_skein */
    bool many;
} row_asked[] = {
    {"s-which", "number", offsetof(struct pot_skein, which), false},
    {"s-weight", "dry weight", offsetof(struct pot_skein, weight), false},
    {"s-mordant", "mordant", offsetof(struct pot_skein, mordants), true},
    {"s-dip", "dip", offsetof(struct pot_skein, dips), true},
    {"s-code", "code on its tag", offsetof(struct pot_skein, code), false},
};

/* ---- from the form to the entry ---------------------------------------------
 */

struct entry {
    struct pot_entry pot;
    struct pot_skein skein[MAX_ROWS];
    const char
        *words[ARRAY_LEN(first_asked) + ARRAY_LEN(then_asked)][MAX_WORDS];
    const char *row_words[MAX_ROWS][ARRAY_LEN(row_asked)];
};

static const char *not_blank(const char *s)
{
    return s && s[strspn(s, " \t\r\n")] ? s : NULL;
}

static void read_question(const struct request *r, const struct question *q,
                          const char **words, struct pot_entry *pot)
{
    void *to = (char *)pot + q->at;
    struct pot_words *many = to;

    if (!q->many) {
        *(const char **)to = request_value(r, q->name);
        return;
    }
    many->word = words;
    for (size_t i = 0; many->count < MAX_WORDS; i++) {
        const char *one = pairs_nth(&r->form, q->name, i);
        if (!one)
            break;
        if (not_blank(one))
            words[many->count++] = one;
    }
}

/* Row i of the form; whether anything stands in it. */
static bool read_row(const struct request *r, size_t i, const char **words,
                     struct pot_skein *skein)
{
    bool any = false;

    for (size_t k = 0; k < ARRAY_LEN(row_asked); k++) {
        void *to = (char *)skein + row_asked[k].at;
        words[k] = not_blank(pairs_nth(&r->form, row_asked[k].name, i));
        any = any || words[k];
        if (!row_asked[k].many)
            *(const char **)to = words[k];
        else if (words[k])
            *(struct pot_words *)to = (struct pot_words){&words[k], 1};
    }
    return any;
}

static size_t rows_of(const struct request *r)
{
    size_t n = 0;

    while (n < MAX_ROWS && pairs_nth(&r->form, "s-weight", n))
        n++;
    return n;
}

static void read_entry(const struct request *r, struct entry *e)
{
    size_t w = 0, rows = rows_of(r);

    for (size_t i = 0; i < ARRAY_LEN(first_asked); i++)
        read_question(r, &first_asked[i], e->words[w++], &e->pot);
    for (size_t i = 0; i < ARRAY_LEN(then_asked); i++)
        read_question(r, &then_asked[i], e->words[w++], &e->pot);
    e->pot.skeins = request_value(r, "skeins");
    e->pot.skein = e->skein;
    for (size_t i = 0; i < rows; i++)
        if (read_row(r, i, e->row_words[i], &e->skein[e->pot.skein_count]))
            e->pot.skein_count++;
}

/* ---- the form --------------------------------------------------------------
 */

static void add_input(struct text *o, const struct question *q, size_t nth,
                      const char *words)
{
    struct text id = {0};

    text_addf(&id, "%s-%zu", q->name, nth);
    html_addf(o,
              "<p class=\"f\"><label for=\"%s\">%s</label><input id=\"%s\" "
              "name=\"%s\" value=\"%s\" placeholder=\"%s\" "
              "autocomplete=\"off\"></p>\n",
              text_str(&id), nth ? "and" : q->label, text_str(&id), q->name,
              words, q->hint);
    text_clear(&id);
}

static void add_question(struct request *r, const struct question *q)
{
    size_t shown = 0;

    for (size_t i = 0;; i++) {
        const char *words = r->post ? pairs_nth(&r->form, q->name, i)
                                    : pairs_nth(&r->query, q->name, i);
        if (!words)
            break;
        if (not_blank(words))
            add_input(&r->out, q, shown++, words);
    }
    if (!shown || q->many)
        add_input(&r->out, q, shown, NULL);
}

static void add_row(struct request *r, size_t i)
{
    struct text *o = &r->out;

    text_add(o, "<li>");
    for (size_t k = 0; k < ARRAY_LEN(row_asked); k++) {
        const char *words = pairs_nth(&r->form, row_asked[k].name, i);
        html_addf(o,
                  "<p><label class=\"hide\" for=\"%s-%zu\">Skein %zu of this "
                  "pot: %s</label><input id=\"%s-%zu\" name=\"%s\" "
                  "value=\"%s\" placeholder=\"%s\" autocomplete=\"off\"></p>",
                  row_asked[k].name, i, i + 1, row_asked[k].label,
                  row_asked[k].name, i, row_asked[k].name, words,
                  row_asked[k].label);
    }
    text_add(o, "</li>\n");
}

static void add_rows(struct request *r, size_t more)
{
    size_t n = rows_of(r) + more;

    if (!r->post)
        n = ROWS;
    text_add(&r->out, "<fieldset class=\"rows\"><legend><h2>Skeins</h2>"
                      "</legend>\n<p class=\"echo\">Weigh dry. A row left "
                      "empty is no skein; numbers are handed out. What a row "
                      "says of mordant or dip stands instead of the pot's."
                      "</p>\n<ol>\n");
    for (size_t i = 0; i < n && i < MAX_ROWS; i++)
        add_row(r, i);
    html_addf(&r->out,
              "</ol>\n<p class=\"f\"><label for=\"skeins\">How many in all"
              "</label><input id=\"skeins\" name=\"skeins\" value=\"%s\" "
              "inputmode=\"numeric\" placeholder=\"more than described: new "
              "ones\" autocomplete=\"off\"></p>\n"
              "<p class=\"sum\"><button type=\"submit\" name=\"do\" "
              "value=\"more\">More rows</button></p>\n</fieldset>\n",
              request_value(r, "skeins"));
}

static void add_lines(struct text *o, const char *lines)
{
    while (lines && *lines) {
        size_t n = strcspn(lines, "\n");
        char *line = mem_text_n(lines, n);
        html_addf(o, "<li>%s</li>\n", line);
        free(line);
        lines += n + (lines[n] == '\n');
    }
}

/* How it was understood, or what to put right. */
static void add_echo(struct request *r, const struct text *echo,
                     const struct pot_result *result, const struct error *why)
{
    struct text *o = &r->out;

    if (why) {
        html_addf(o, "<p class=\"why\" role=\"alert\">%s</p>\n", why->text);
        return;
    }
    text_add(o, "<section class=\"read\" role=\"status\"><h2>Read as</h2>\n"
                "<ul>\n");
    add_lines(o, text_str(echo));
    for (size_t i = 0; i < result->notes; i++)
        add_lines(o, result->note[i]);
    text_add(o, "</ul>\n");
    if (result->cautions) {
        text_add(o, "<div class=\"caution\">");
        for (size_t i = 0; i < result->cautions; i++)
            html_addf(o, "<p>%s</p>", result->caution[i]);
        html_addf(o, "<p class=\"close\">%s</p></div>\n", caution_closing);
    }
    text_add(o, "<p class=\"small quiet\">Nothing is saved yet.</p>\n"
                "</section>\n");
}

static void add_form(struct request *r, size_t more)
{
    page_form(r, "/log",
              "class=\"log\" enctype=\"multipart/form-data\" "
              "data-draft=\"log\"");
    text_add(&r->out, "<fieldset class=\"shared\"><legend><h2>The pot</h2>"
                      "</legend>\n");
    for (size_t i = 0; i < ARRAY_LEN(first_asked); i++)
        add_question(r, &first_asked[i]);
    text_add(&r->out, "<p class=\"f\"><label for=\"photo\">Photo</label>"
                      "<input id=\"photo\" name=\"photo\" type=\"file\" "
                      "accept=\"image/jpeg\"></p>\n");
    text_add(&r->out, "<details><summary>More about it</summary>\n");
    for (size_t i = 0; i < ARRAY_LEN(then_asked); i++)
        add_question(r, &then_asked[i]);
    text_add(&r->out, "</details>\n</fieldset>\n");
    add_rows(r, more);
    text_add(&r->out,
             "<div class=\"stick\"><button class=\"main\" type=\"submit\" "
             "name=\"do\" value=\"save\">Save</button><button type=\"submit\" "
             "name=\"do\" value=\"try\">How is it read?</button><p "
             "class=\"small\" role=\"status\" data-kept></p></div>\n</form>\n");
}

static void begin_form(struct request *r)
{
    page_begin(r, "Log a pot", "Log");
    text_add(&r->out, "<div class=\"logtop\"><h1>Log a pot</h1><p "
                      "class=\"quiet\">Nothing but a name is needed. Fill in "
                      "what you know.</p></div>\n");
}

/* ---- the page --------------------------------------------------------------
 */

bool log_page(struct request *r, struct error *err)
{
    (void)err;
    begin_form(r);
    text_add(&r->out,
             "<p class=\"quick\"><a class=\"btn\" "
             "href=\"/log/again\">Same as last pot</a><a class=\"btn\" "
             "href=\"/log/quick\">Name and photo only</a></p>\n");
    add_form(r, 0);
    page_end(r);
    return true;
}

/* With a name and a photo, at the pot: one skein stands for all that is in it
 * and is marked unfinished. */
bool log_quick_page(struct request *r, struct error *err)
{
    (void)err;
    page_begin(r, "At the pot", "Log");
    text_add(&r->out, "<div class=\"logtop\"><h1>At the pot</h1><p "
                      "class=\"quiet\">A name and a photo; the rest "
                      "tomorrow.</p></div>\n");
    page_form(r, "/log/quick", "class=\"log\" enctype=\"multipart/form-data\"");
    text_add(&r->out,
             "<p class=\"f\"><label for=\"name\">Name</label><input "
             "id=\"name\" name=\"name\" autocomplete=\"off\" required></p>\n"
             "<p class=\"f\"><label for=\"photo\">Photo</label><input "
             "id=\"photo\" name=\"photo\" type=\"file\" accept=\"image/jpeg\" "
             "capture=\"environment\"></p>\n<div class=\"stick\"><button "
             "class=\"main\" type=\"submit\">Save unfinished</button></div>\n"
             "</form>\n");
    page_end(r);
    return true;
}

static bool show_again(struct request *r, struct entry *e, size_t more)
{
    struct pot_result result = {0};
    struct text echo = {0};
    struct error why;
    bool ok = true;

    e->pot.only_try = true;
    begin_form(r);
    if (!more)
        ok = pot_log(r->book, &e->pot, &result, &echo, &why);
    if (!more)
        add_echo(r, &echo, &result, ok ? NULL : &why);
    add_form(r, more);
    page_end(r);
    if (!ok)
        r->status = 400;
    pot_result_clear(&result);
    text_clear(&echo);
    return true;
}

static bool save(struct request *r, const struct pot_entry *pot,
                 struct pot_result *result, struct error *err)
{
    struct text echo = {0}, to = {0};
    int64_t photo = 0, act;
    bool ok = (!r->upload.path || photos_check(r, err)) &&
              pot_log(r->book, pot, result, &echo, err);

    act = book_act(r->book);
    for (size_t i = 0; ok && r->upload.path && i < result->skeins; i++)
        ok = photos_keep(r, "other", result->skein[i].id, &photo, err);
    if (ok) {
        text_addf(&to, "/bath/%lld?saved=%lld", (long long)result->bath_id,
                  (long long)act);
        request_go(r, "%s", text_str(&to));
    }
    text_clear(&echo);
    text_clear(&to);
    return ok;
}

bool log_save(struct request *r, struct error *err)
{
    struct entry *e = mem_new(1, sizeof *e);
    struct pot_result result = {0};
    const char *what = request_value(r, "do");
    bool ok = true;

    read_entry(r, e);
    if (what && !strcmp(what, "more"))
        ok = show_again(r, e, ROWS);
    else if (what && !strcmp(what, "try"))
        ok = show_again(r, e, 0);
    else if (!save(r, &e->pot, &result, err))
        /* The form comes back with what was typed in it. */
        ok = err->kind == ERR_STORE ? false : show_again(r, e, 0);
    pot_result_clear(&result);
    free(e);
    return ok;
}

bool log_quick_save(struct request *r, struct error *err)
{
    struct pot_skein skein = {.finished = "no",
                              .name = request_value(r, "name")};
    struct pot_entry pot = {
        .name = skein.name, .skein = &skein, .skein_count = 1};
    struct pot_result result = {0};
    bool ok;

    if (!pot.name)
        return error_set(err, ERR_INPUT, "give it a name: what is in the pot");
    ok = save(r, &pot, &result, err);
    pot_result_clear(&result);
    return ok;
}

/* ---- same as last pot
 * --------------------------------------------------------
 */

static void query_add(struct text *to, const char *name, const char *words)
{
    if (!words)
        return;
    text_addf(to, "%c%s=", strchr(text_str(to), '?') ? '&' : '?', name);
    html_url(to, words);
}

static void query_dose(struct text *to, const struct sheet_dose *d)
{
    struct text words = {0};

    text_addf(&words, "%s%s%s", d->none ? "none" : d->what,
              d->words && !d->none ? ": " : "",
              d->words && !d->none ? d->words : "");
    query_add(to, d->role, text_str(&words));
    text_clear(&words);
}

static const char *fact(const struct record *rec, const char *name)
{
    const struct record_field *f = record_get(rec, name);

    return f ? f->words : NULL;
}

/* The log form with the shared facts of the newest pot in it. */
bool log_again(struct request *r, struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    struct pot_sheet pot;
    struct text to = {0};

    if (!record_ids(r->book, NOUN_BATH, false, &ids, &n, err))
        return false;
    text_add(&to, "/log");
    if (n && sheet_of_pot(r->book, ids[n - 1], &pot, err)) {
        for (size_t i = 0; i < pot.doses.count; i++)
            query_dose(&to, &pot.doses.dose[i]);
        if (pot.rounds) {
            const struct sheet_round *round = &pot.round[0];
            query_add(&to, "temperature",
                      fact(&round->treatment, "temperature"));
            query_add(&to, "minutes", fact(&round->treatment, "minutes"));
            query_add(&to, "vessel", fact(&round->treatment, "vessel"));
            query_add(&to, "ph", round->ph);
            if (round->entries) {
                const struct sheet_entry *e = &round->entry[0];
                query_add(&to, "mordant", e->mordants);
                query_add(&to, "dip", e->dips);
                query_add(&to, "fibre", e->skein.fibre);
            }
        }
        query_add(&to, "water", fact(&pot.bath, "water"));
        query_add(&to, "volume", fact(&pot.bath, "volume"));
        pot_sheet_clear(&pot);
    }
    request_go(r, "%s", text_str(&to));
    text_clear(&to);
    free(ids);
    return true;
}
