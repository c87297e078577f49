/*
 * Log a pot: the shared facts once, a row for each skein below. The same words
 * go to the same function as those of "hanklab log". Without scripts the
 * buttons send the form and get it back with an echo or another row.
 */
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "base/parts.h"
#include "book/pot.h"
#include "book/sheet.h"
#include "form.h"
#include "page.h"
#include "photos.h"
#include "routes.h"

#define ROWS 6       /* of an empty form */
#define MAX_ROWS 400 /* a grid of 20 by 20 */

/* ---- what is asked ---------------------------------------------------------
 */

static const struct question first_asked[] = {
    ASK_ONE("name", "Pot", "what you call it", name),
    ASK_ONE("of", "or a round of", "its number or name", of),
    ASK_ONE("round", "Round", "the next: or exhaust 1", round),
    ASK_MANY("dyestuff", "Dyestuff", "madder: 60 %", dyestuffs),
    ASK_MANY("mordant", "Mordant", "alum: 12 %, or none", mordants),
    ASK_MANY("assist", "Assist", "cream of tartar: 6 %", assists),
    ASK_MANY("dip", "Dip after", "iron: 2 %", dips),
    ASK_ONE("ph", "pH", "7, 7-8, about 9, 5 -> 9", ph),
    ASK_ONE("temperature", "Heat", "highest: 80, 180 F", temperature),
    ASK_ONE("minutes", "Time", "at that heat: 1 h", minutes),
    ASK_ONE("date", "Day", "e.g. today, or 3 May", on),
    ASK_ONE("fibre", "Yarn", "of skeins with none recorded", fibre),
    ASK_ONE("weight", "Each weighs", "dry: 20 g, 3/4 oz, 60 g in all", weight),
};

static const struct question then_asked[] = {
    ASK_MANY("acid", "Acid", "vinegar: 20 ml", acids),
    ASK_MANY("alkali", "Alkali", "chalk: a pinch", alkalis),
    ASK_ONE("water", "Water", "which", water),
    ASK_ONE("volume", "Liquor", "3 l, 1 gallon", volume),
    ASK_ONE("vessel", "Vessel", "pot, jar ...", vessel),
    ASK_ONE("cooled", "Cooled in it", "yes or no", cooled),
    ASK_ONE("extraction", "Extraction", "drawn out for: 1 h", extraction),
    ASK_MANY("poured", "Made of", "older pots: 3, or 3: 2 l", poured),
    ASK_ONE("before", "Before", "a step: dip, or 2", before),
    ASK_ONE("dyer", "Dyer", "if not you", dyer),
    ASK_ONE("kind", "Kind", "dye or vat", kind),
    ASK_ONE("vat-dips", "Vat dips", "how often", vat_dips),
    ASK_ONE("airing", "Airing", "minutes in the air", airing),
    ASK_ONE("note", "Note", "anything else", note),
};

/* One row's fields; "none" in a field stands for on purpose. */
static const struct {
    const char *name, *label, *hint;
    size_t at; /* in struct pot_skein */
    bool many;
} row_asked[] = {
    {"s-which", "number", "next", offsetof(struct pot_skein, which), false},
    {"s-weight", "dry weight", "20 g", offsetof(struct pot_skein, weight),
     false},
    {"s-mordant", "mordant", "the pot's", offsetof(struct pot_skein, mordants),
     true},
    {"s-dip", "dip", "the pot's", offsetof(struct pot_skein, dips), true},
    {"s-code", "code on tag", "29", offsetof(struct pot_skein, code), false},
};

/* ---- from the form to the entry ---------------------------------------------
 */

struct entry {
    struct pot_entry pot;
    struct pot_skein skein[MAX_ROWS + 1]; /* one more is being read */
    const char
        *words[ARRAY_LEN(first_asked) + ARRAY_LEN(then_asked)][FORM_WORDS];
    const char *row_words[MAX_ROWS][ARRAY_LEN(row_asked)];
    size_t row_of[MAX_ROWS + 1];
};

/* "number=28" and the like: what a row's first field says beside its skein. */
static bool merge(struct pot_skein *said, const struct pot_skein *row,
                  struct error *err)
{
    for (size_t k = 1; k < ARRAY_LEN(row_asked); k++) {
        void *to = (char *)said + row_asked[k].at;
        const void *from = (const char *)row + row_asked[k].at;
        const struct pot_words *words = from;
        const char *one = *(const char *const *)from;

        if (row_asked[k].many ? !words->count : !one)
            continue;
        if (row_asked[k].many ? ((struct pot_words *)to)->count > 0
                              : *(const char **)to != NULL)
            return error_set(err, ERR_INPUT, "its %s is said twice",
                             row_asked[k].label);
        if (row_asked[k].many)
            *(struct pot_words *)to = *words;
        else
            *(const char **)to = one;
    }
    return true;
}

/* Row i of the form; *any: something stands in it. */
static bool read_row(struct request *r, struct entry *e, size_t i, bool *any,
                     struct error *err)
{
    const char **words = e->row_words[i];
    size_t n = e->pot.skein_count;
    struct pot_skein row = {0};
    struct error why;

    *any = false;
    for (size_t k = 0; k < ARRAY_LEN(row_asked); k++) {
        const char *typed = pairs_nth(&r->form, row_asked[k].name, i);
        void *to = (char *)&row + row_asked[k].at;
        words[k] = parts_said(typed) ? typed : NULL;
        *any = *any || words[k];
        if (!row_asked[k].many)
            *(const char **)to = words[k];
        else if (words[k])
            *(struct pot_words *)to = (struct pot_words){&words[k], 1};
    }
    e->skein[n] = row;
    if (!row.which)
        return true;
    e->skein[n] = (struct pot_skein){0};
    return (form_which(row.which, true, &e->skein[n], &why) &&
            merge(&e->skein[n], &row, &why)) ||
           error_set(err, why.kind, "row %zu: %s", i + 1, why.text);
}

static size_t rows_of(const struct request *r)
{
    size_t n = 0;

    while (n < MAX_ROWS && pairs_nth(&r->form, "s-weight", n))
        n++;
    return n;
}

static bool read_entry(struct request *r, struct entry *e, struct error *err)
{
    size_t w = 0, rows = rows_of(r);

    for (size_t i = 0; i < ARRAY_LEN(first_asked); i++)
        form_read(r, &first_asked[i], e->words[w++], &e->pot);
    for (size_t i = 0; i < ARRAY_LEN(then_asked); i++)
        form_read(r, &then_asked[i], e->words[w++], &e->pot);
    e->pot.skeins = request_value(r, "skeins");
    e->pot.skein = e->skein;
    for (size_t i = 0; i < rows; i++) {
        bool any, ok = read_row(r, e, i, &any, err);

        e->row_of[e->pot.skein_count] = i;
        e->pot.skein_count += any;
        if (!ok)
            return false;
    }
    return true;
}

static void entry_free(struct entry *e)
{
    for (size_t i = 0; i < e->pot.skein_count; i++)
        pot_skein_clear(&e->skein[i]);
    free(e);
}

/* ---- the form --------------------------------------------------------------
 */

/* Which row why is about, from 1; 0: none. The book calls a skein by its
 * words, else by its place in the pot. */
static size_t blamed_row(const struct entry *e, const struct error *why)
{
    char *end;
    long n;

    if (!strncmp(why->text, "row ", 4))
        return strtoul(why->text + 4, NULL, 10);
    if (strncmp(why->text, "skein ", 6) != 0)
        return 0;
    for (size_t i = 0; i < e->pot.skein_count; i++) {
        const struct pot_skein *s = &e->skein[i];
        struct text name = {0};
        bool same;
        if (s->which)
            text_addf(&name, "skein \"%s\":", s->which);
        else
            text_addf(&name, "skein %s:", s->number ? s->number : "?");
        same = !strncmp(why->text, text_str(&name), name.len);
        text_clear(&name);
        if (same)
            return e->row_of[i] + 1;
    }
    n = strtol(why->text + 6, &end, 10);
    return !strncmp(end, " of this pot", 12) && n >= 1 &&
                   (size_t)n <= e->pot.skein_count
               ? e->row_of[n - 1] + 1
               : 0;
}

static void add_row(struct request *r, size_t i, const struct error *why)
{
    struct text *o = &r->out;

    text_add(o, "<li>");
    for (size_t k = 0; k < ARRAY_LEN(row_asked); k++) {
        const char *words = pairs_nth(&r->form, row_asked[k].name, i);
        html_addf(o,
                  "<p><label for=\"%s-%zu\"><span class=\"hide\">Skein %zu of "
                  "this pot: </span>%s</label><input id=\"%s-%zu\" name=\"%s\" "
                  "value=\"%s\" placeholder=\"%s\" autocomplete=\"off\"",
                  row_asked[k].name, i, i + 1, row_asked[k].label,
                  row_asked[k].name, i, row_asked[k].name, words,
                  row_asked[k].hint);
        form_list(o, row_asked[k].name);
        if (why && !k)
            form_mark(o);
        text_add(o, "></p>");
    }
    if (why)
        form_mark_why(o, why->text);
    text_add(o, "</li>\n");
}

static void add_rows(struct request *r, const struct entry *e, size_t more,
                     const struct error *why)
{
    size_t n = r->post ? rows_of(r) + more : ROWS;
    size_t wrong = why ? blamed_row(e, why) : 0;

    text_add(&r->out, "<fieldset class=\"rows\"><legend><h2>Skeins</h2>"
                      "</legend>\n<p class=\"echo\">Weigh dry. A row left "
                      "empty is no skein; numbers are handed out. What a row "
                      "says of mordant or dip stands instead of the pot's."
                      "</p>\n");
    form_field(r, "skeins", "How many in all",
               "6; rows below only for what differs",
               request_value(r, "skeins"), why);
    text_add(&r->out, "<ol>\n");
    for (size_t i = 0; i < n && i < MAX_ROWS; i++)
        add_row(r, i, i + 1 == wrong ? why : NULL);
    text_add(&r->out, "</ol>\n");
    text_add(&r->out, "<p class=\"sum\"><button type=\"submit\" name=\"do\" "
                      "value=\"more\">More rows</button></p>\n</fieldset>\n");
}

/* Whether anything is said, or wrong, of what is asked behind "More". */
static bool says_more(const struct request *r, const struct error *why)
{
    for (size_t i = 0; i < ARRAY_LEN(then_asked); i++)
        if (request_value(r, then_asked[i].name) ||
            form_blames(why, then_asked[i].name))
            return true;
    return false;
}

/* A round of a pot in the book has its name already. */
static void add_question(struct request *r, const struct question *asked,
                         const struct error *why)
{
    struct question q = *asked;

    if (request_value(r, "of") && !strcmp(q.name, "of"))
        q.label = "A round of";
    if (request_value(r, "of") && !strcmp(q.name, "name") &&
        !request_value(r, "name"))
        return;
    form_question(r, &q, why);
}

/* e and why: of the form that was sent, when something is wrong with it. */
static bool add_fields(struct request *r, const struct entry *e, size_t more,
                       const struct error *why, struct error *err)
{
    if (!form_lists(r, err))
        return false;
    text_add(&r->out, "<fieldset class=\"shared\"><legend><h2>The pot</h2>"
                      "</legend>\n");
    for (size_t i = 0; i < ARRAY_LEN(first_asked); i++)
        add_question(r, &first_asked[i], why);
    text_add(&r->out, "<p class=\"f\"><label for=\"photo\">Photo</label>"
                      "<input id=\"photo\" name=\"photo\" type=\"file\" "
                      "accept=\"image/jpeg\"></p>\n");
    text_add(&r->out, says_more(r, why) ? "<details open>" : "<details>");
    text_add(&r->out, "<summary>More about it</summary>\n");
    for (size_t i = 0; i < ARRAY_LEN(then_asked); i++)
        form_question(r, &then_asked[i], why);
    text_add(&r->out, "</details>\n</fieldset>\n");
    add_rows(r, e, more, why);
    return true;
}

/* The round that comes next, from 0; -1: it has none, as a vat. */
static int64_t next_round(const struct pot_sheet *pot)
{
    int64_t next = 0;

    for (size_t i = 0; i < pot->rounds; i++) {
        const struct record_field *n =
            record_get(&pot->round[i].treatment, "round");
        if (!n)
            return -1;
        next = (int64_t)n->low + 1;
    }
    return next;
}

/* "Madder pot, exhaust 1": of a pot in the book which round it is; else what
 * the page is for. */
static bool add_title(struct request *r, struct text *out, struct error *err)
{
    const char *of = request_value(r, "of"), *round = request_value(r, "round");
    const struct record_field *name;
    struct pot_sheet pot;
    struct error none;
    const struct pot_entry none_said = {.name = NULL};
    int64_t id, next;
    bool bare;

    if (!of || !record_find(r->book, NOUN_BATH, of, &id, &none)) {
        text_add(out, "Log a pot");
        return true;
    }
    if (!pot_is_bare(r->book, id, &none_said, &bare, err) ||
        !sheet_of_pot(r->book, id, &pot, err))
        return false;
    name = record_get(&pot.bath, "name");
    next = bare ? 0 : next_round(&pot);
    text_addf(out, name ? "%s" : "Bath %s", name ? name->words : of);
    if (round || next >= 0)
        text_add(out, ", ");
    if (round)
        text_add(out, round);
    else if (next >= 0)
        ask_round_words(next, out);
    pot_sheet_clear(&pot);
    return true;
}

static bool begin_form(struct request *r, struct error *err)
{
    struct text title = {0};
    bool ok = add_title(r, &title, err);

    page_begin(r, text_str(&title), "Log");
    html_addf(&r->out,
              "<div class=\"logtop\"><h1>%s</h1><p class=\"quiet\">%s "
              "<a href=\"/print/tags\">Tags to tie on first</a></p></div>\n",
              text_str(&title),
              request_value(r, "of")
                  ? "Fill in what you know of this round."
                  : "Nothing but a name is needed. Fill in what you know.");
    text_clear(&title);
    return ok;
}

static void open_form(struct request *r)
{
    page_form(r, "/log",
              "class=\"log\" enctype=\"multipart/form-data\" "
              "data-draft=\"log\"");
}

static void end_form(struct request *r)
{
    form_buttons(r, "Save");
    text_add(&r->out, "</form>\n");
    page_end(r);
}

/* ---- the page --------------------------------------------------------------
 */

/* What else may be meant. again: there is a pot to log again. */
static void add_ways(struct text *o, bool again)
{
    text_add(o, "<p class=\"quick\">");
    if (again)
        text_add(o, "<a class=\"btn\" href=\"/log/again\">Same as last pot"
                    "</a> ");
    text_add(o, "<a class=\"btn\" href=\"/log/quick\">Name and photo only</a> "
                "<a class=\"btn\" href=\"/treat\">Dip, wash or mordant</a> "
                "<a class=\"btn\" href=\"/cut\">Cut</a></p>\n");
}

bool log_page(struct request *r, struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;

    if (!record_ids(r->book, NOUN_BATH, false, &ids, &n, err))
        return false;
    free(ids);
    if (!begin_form(r, err))
        return false;
    if (!request_value(r, "of"))
        add_ways(&r->out, n > 0);
    open_form(r);
    if (!add_fields(r, NULL, 0, NULL, err))
        return false;
    end_form(r);
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

/* The form with more rows. */
static bool show_more(struct request *r, const struct entry *e,
                      struct error *err)
{
    if (!begin_form(r, err))
        return false;
    open_form(r);
    if (!add_fields(r, e, ROWS, NULL, err))
        return false;
    end_form(r);
    return true;
}

/* The form with what was typed in it, how it is read or why it is refused. */
static bool show_again(struct request *r, struct entry *e,
                       const struct error *refused, struct error *err)
{
    struct pot_result result = {0};
    struct text echo = {0};
    struct error why;
    bool ok = true;

    e->pot.only_try = true;
    if (refused)
        why = *refused;
    else if (!pot_log(r->book, &e->pot, &result, &echo, &why))
        refused = &why;
    ok = begin_form(r, err);
    open_form(r);
    if (refused)
        form_why(r, &why);
    else
        ok = ok && form_echo(r, &echo, &result,
                             result.dipped ? "dipped" : "dyed over", err);
    ok = ok && add_fields(r, e, 0, refused ? &why : NULL, err);
    end_form(r);
    if (refused)
        r->status = 400;
    pot_result_clear(&result);
    text_clear(&echo);
    return ok;
}

static bool save(struct request *r, struct pot_entry *pot,
                 struct pot_result *result, struct error *err)
{
    struct text echo = {0}, pot_label = {0}, to = {0};
    int64_t act;
    bool ok = !r->upload.path || photos_check(r, err);

    if (r->upload.path)
        pot->also = (struct pot_also){photos_keep_of, r};
    ok = ok && pot_log(r->book, pot, result, &echo, err);
    act = book_act(r->book);
    ok = ok && page_bath(r, result->bath_id, &pot_label, err);
    if (ok) {
        html_addf(&to, "/bath/%-s", text_str(&pot_label));
        request_go(r, "%s?saved=%lld", text_str(&to), (long long)act);
    }
    text_clear(&pot_label);
    text_clear(&echo);
    text_clear(&to);
    return ok;
}

bool log_save(struct request *r, struct error *err)
{
    struct entry *e = mem_new(1, sizeof *e);
    struct pot_result result = {0};
    const char *what = request_value(r, "do");
    struct error why;
    bool ok = read_entry(r, e, &why);

    if (what && !strcmp(what, "more"))
        ok = show_more(r, e, err);
    else if (!ok)
        ok = show_again(r, e, &why, err);
    else if (what && !strcmp(what, "try"))
        ok = show_again(r, e, NULL, err);
    else if (!save(r, &e->pot, &result, &why))
        /* The form comes back with what was typed in it. */
        ok = why.kind == ERR_STORE ? (*err = why, false)
                                   : show_again(r, e, &why, err);
    pot_result_clear(&result);
    entry_free(e);
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

/* ---- again ---------------------------------------------------------------
 */

static void query_add(struct text *to, const char *name, const char *words)
{
    if (!words)
        return;
    text_addf(to, "%c%s=", strchr(text_str(to), '?') ? '&' : '?', name);
    html_url(to, words);
}

static void query_dose(struct text *to, const char *name,
                       const struct sheet_dose *d)
{
    struct text words = {0};

    text_addf(&words, "%s%s%s", d->none ? "none" : d->what,
              d->words && !d->none ? ": " : "",
              d->words && !d->none ? d->words : "");
    query_add(to, name, text_str(&words));
    text_clear(&words);
}

static const char *fact(const struct record *rec, const char *name)
{
    const struct record_field *f = record_get(rec, name);

    return f ? f->words : NULL;
}

/* What the skein was mordanted with before that dyeing and dipped in since,
 * with the amounts, and its weight. */
static bool query_life(struct request *r, struct text *to,
                       const struct sheet_entry *e, int64_t dye,
                       struct error *err)
{
    struct skein_sheet s;
    const char *now = "mordant";

    if (!sheet_of_skein(r->book, e->skein.id, &s, err))
        return false;
    for (size_t i = 0; i < s.steps; i++) {
        const struct sheet_step *step = &s.step[i];
        const struct life_event *event = &step->event;
        if (event->kind != LIFE_STEP)
            continue;
        if (event->treatment_id == dye)
            now = "dip";
        for (size_t d = 0; d < step->doses.count; d++)
            if (!strcmp(event->treatment, now))
                query_dose(
                    to,
                    strcmp(step->doses.dose[d].role, "assist") ? now : "assist",
                    &step->doses.dose[d]);
    }
    query_add(to, "weight", fact(&s.skein, "weight"));
    skein_sheet_clear(&s);
    return true;
}

/* The pot's facts, and of one skein of the round its yarn and its life. */
static bool query_pot(struct request *r, struct text *to,
                      const struct pot_sheet *pot,
                      const struct sheet_round *round,
                      const struct sheet_entry *e, struct error *err)
{
    for (size_t i = 0; i < pot->doses.count; i++)
        query_dose(to, pot->doses.dose[i].role, &pot->doses.dose[i]);
    if (round) {
        query_add(to, "temperature", fact(&round->treatment, "temperature"));
        query_add(to, "minutes", fact(&round->treatment, "minutes"));
        query_add(to, "vessel", fact(&round->treatment, "vessel"));
        query_add(to, "ph", round->ph);
    }
    if (e) {
        query_add(to, "fibre", e->skein.fibre);
        if (!query_life(r, to, e, round->treatment.id, err))
            return false;
    }
    query_add(to, "water", fact(&pot->bath, "water"));
    query_add(to, "volume", fact(&pot->bath, "volume"));
    return true;
}

/* The pot to log again: that of the skein the address names, *skein, or the
 * newest; *pot 0: there is none. */
static bool find_again(struct request *r, int64_t *skein, int64_t *pot,
                       struct error *err)
{
    const char *words = pairs_get(&r->query, "skein");
    const struct ask_filter any = ask_filter_any();
    struct ask_skein s;
    int64_t *ids = NULL;
    size_t n = 0;

    *skein = *pot = 0;
    if (words) {
        if (!record_find(r->book, NOUN_SKEIN, words, skein, err) ||
            !ask_skein(r->book, *skein, &any, &s, err))
            return false;
        *pot = s.bath_id;
        ask_skein_clear(&s);
        return true;
    }
    if (!record_ids(r->book, NOUN_BATH, false, &ids, &n, err))
        return false;
    if (n)
        *pot = ids[n - 1];
    free(ids);
    return true;
}

/* The log form with the facts of the newest pot in it, or with those of the
 * skein that is to be had again. */
bool log_again(struct request *r, struct error *err)
{
    const struct sheet_round *round = NULL;
    const struct sheet_entry *entry = NULL;
    struct pot_sheet pot;
    struct text to = {0};
    int64_t skein, id;
    bool ok;

    if (!find_again(r, &skein, &id, err) ||
        (id && !sheet_of_pot(r->book, id, &pot, err)))
        return false;
    text_add(&to, "/log");
    if (id && pot.rounds) {
        round = &pot.round[0];
        entry = round->entries ? &round->entry[0] : NULL;
        for (size_t i = 0; skein && i < pot.rounds; i++)
            for (size_t k = 0; k < pot.round[i].entries; k++)
                if (pot.round[i].entry[k].skein.id == skein) {
                    round = &pot.round[i];
                    entry = &round->entry[k];
                }
    }
    ok = !id || query_pot(r, &to, &pot, round, entry, err);
    query_add(&to, "skeins", skein ? "1" : NULL);
    if (ok)
        request_go(r, "%s", text_str(&to));
    if (id)
        pot_sheet_clear(&pot);
    text_clear(&to);
    return ok;
}
