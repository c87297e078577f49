/*
 * A list from a spreadsheet: what each column is, what would come in, which
 * rows cannot be read. The work is done in a process of its own, which makes
 * this part of the page too.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/ledger.h"
#include "child.h"
#include "form.h"
#include "import.h"
#include "page.h"

#define PAGE_MAX (8u << 20) /* of the list's part of the page */
#define SHOWN 3             /* rows */

struct job {
    char *book, *face, *path, *name;
    struct pairs form;
    bool look;
};

struct listed {
    int64_t act; /* that took it in */
    bool cut;    /* the page is longer than there is room for */
    char page[PAGE_MAX];
};

static void job_clear(void *job)
{
    struct job *j = job;

    free(j->book);
    free(j->face);
    free(j->path);
    free(j->name);
    pairs_clear(&j->form);
    free(j);
}

/* ---- the form ------------------------------------------------------------ */

static void add_option(struct text *o, const char *value, const char *words,
                       bool chosen)
{
    html_addf(o, "<option value=\"%s\"%s>%s</option>", value,
              chosen ? " selected" : "", words);
}

/* The units that bare numbers of a field may have; one that has none says so
 * without a choice, for columns are told apart by their place. */
static void add_units(struct text *o, const struct ledger_column *c)
{
    const char *units = c->is < 0 ? "" : ledger_fields[c->is].units;

    if (!*units) {
        text_add(o, "<input type=\"hidden\" name=\"unit\" value=\"\">");
        return;
    }
    html_addf(o, "<select name=\"unit\" aria-label=\"Numbers of %s are in\">",
              c->heading);
    add_option(o, "", "as written", !*c->unit);
    while (*units) {
        char *unit = mem_text_n(units, strcspn(units, "|"));
        add_option(o, unit, unit, !strcmp(c->unit, unit));
        units += strlen(unit) + (units[strlen(unit)] == '|');
        free(unit);
    }
    text_add(o, "</select>");
}

/* What is said of a column: a field and the unit of its bare numbers. The
 * heading goes along, for the file may come again, put right. */
static void add_selects(struct text *o, const struct ledger_column *c)
{
    html_addf(o,
              "<td><input type=\"hidden\" name=\"of\" value=\"%s\"><select "
              "name=\"is\" aria-label=\"%s is\">",
              c->heading, c->heading);
    add_option(o, "", "left out", c->is < 0);
    for (size_t k = 0; k < LEDGER_IDS; k++)
        add_option(o, ledger_fields[k].name, ledger_fields[k].title,
                   c->is == (int)k);
    text_add(o, "</select></td><td>");
    add_units(o, c);
    text_add(o, "</td>");
}

static void add_columns(struct text *o, const struct ledger *l)
{
    text_add(o,
             "<table class=\"acts-done match\"><thead><tr><th "
             "scope=\"col\">Column</th><th scope=\"col\">What it is</th><th "
             "scope=\"col\">Its numbers</th><th scope=\"col\">First "
             "rows</th><th scope=\"col\">Read as</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < l->columns; i++) {
        const struct ledger_column *c = &l->column[i];
        size_t shown = 0;
        html_addf(o, "<tr><th scope=\"row\">%s</th>", c->heading);
        add_selects(o, c);
        text_add(o, "<td class=\"cut\">");
        for (size_t row = 0; row < l->rows && shown < SHOWN; row++)
            if (*ledger_cell(l, row, i))
                html_addf(o, "%s%s", shown++ ? " \xC2\xB7 " : "",
                          ledger_cell(l, row, i));
        html_addf(o, "</td><td>%s%s%s</td></tr>\n",
                  c->read_as ? c->read_was : "", c->read_as ? " = " : "",
                  c->read_as ? c->read_as : "");
    }
    text_add(o, "</tbody></table>\n");
}

static bool is_matched(const struct ledger *l, int id)
{
    for (size_t i = 0; i < l->columns; i++)
        if (l->column[i].is == id)
            return true;
    return false;
}

static void add_for_all(struct text *o, const struct ledger *l,
                        enum ledger_id id, const char *hint)
{
    const struct ledger_field *f = &ledger_fields[id];

    if (!is_matched(l, (int)id))
        html_addf(o,
                  "<p><label for=\"all-%s\">%s</label><input id=\"all-%s\" "
                  "name=\"all-%s\" value=\"%s\" placeholder=\"%s\"></p>",
                  f->name, f->title, f->name, f->name,
                  l->all[id] ? l->all[id] : "", hint);
}

static void add_tick(struct text *o, const char *name, const char *words,
                     bool on)
{
    html_addf(o,
              "<p class=\"tick all\"><input type=\"checkbox\" id=\"%s\" "
              "name=\"%s\" value=\"yes\"%s><label for=\"%s\">%s</label></p>",
              name, name, on ? " checked" : "", name, words);
}

/* How the colours were read: one of few words. */
static void add_source(struct text *o, const struct ledger *l)
{
    static const char *const sources[] = {"eye", "instrument", "photo"};
    const struct ledger_field *f = &ledger_fields[LEDGER_SOURCE];
    const char *said = l->all[LEDGER_SOURCE];

    if (is_matched(l, LEDGER_SOURCE))
        return;
    html_addf(o,
              "<p><label for=\"all-source\">%s</label><select "
              "id=\"all-source\" name=\"all-source\">",
              f->title);
    add_option(o, "", "not said", !said);
    for (size_t i = 0; i < ARRAY_LEN(sources); i++)
        add_option(o, sources[i], sources[i],
                   said && text_same(said, sources[i]));
    text_add(o, "</select></p>");
}

/* What is said once for all rows. */
static void add_once(struct text *o, const struct ledger *l)
{
    text_add(o, "<fieldset class=\"once\"><legend>For all rows</legend><div "
                "class=\"gridset\">");
    if (is_matched(l, LEDGER_LAB) || is_matched(l, LEDGER_L)) {
        add_source(o, l);
        add_for_all(o, l, LEDGER_ILLUMINANT, "as D65/10");
        add_for_all(o, l, LEDGER_GEOMETRY, "as d/8");
        add_for_all(o, l, LEDGER_INSTRUMENT, "which one");
    }
    add_for_all(o, l, LEDGER_DYER, "if not you");
    add_for_all(o, l, LEDGER_FIBRE, "if all have one");
    add_tick(o, "together", "Rows of one day and dyestuff are one pot",
             l->together);
    add_tick(o, "rest", "Keep in the note what is left out", l->rest);
    text_add(o, "</div></fieldset>\n");
}

/* ---- what came of it ----------------------------------------------------- */

#define FIRST 5 /* lines that are seen at once */

static void add_line(struct text *o, const struct ledger_line *line)
{
    if (line->line)
        html_addf(o, "<li>line %zu: %s</li>", line->line, line->words);
    else
        html_addf(o, "<li>%s</li>", line->words);
}

static void add_lines(struct text *o, const char *title, bool alarm,
                      const struct ledger_lines *lines)
{
    if (!lines->count)
        return;
    html_addf(o, "<div class=\"say%s\"><b>%s</b><ul>", alarm ? "" : " plain",
              title);
    for (size_t i = 0; i < lines->told && i < FIRST; i++)
        add_line(o, &lines->line[i]);
    text_add(o, "</ul>");
    if (lines->count > FIRST) {
        html_addf(o, "<details><summary>%zu more</summary><ul>",
                  lines->count - FIRST);
        for (size_t i = FIRST; i < lines->told; i++)
            add_line(o, &lines->line[i]);
        if (lines->count > lines->told)
            html_addf(o, "<li>and %zu more</li>", lines->count - lines->told);
        text_add(o, "</ul></details>");
    }
    text_add(o, "</div>\n");
}

static void add_taken(struct text *o, const struct ledger *l,
                      const struct ledger_taken *taken)
{
    struct text words = {0}, cautions = {0};

    ledger_taken_words(l, taken, &words);
    text_add(o, "<div class=\"read\">");
    form_lines(o, "p", text_str(&words));
    text_add(o, "</div>\n");
    add_lines(o, "To look at", false, &taken->note);
    for (size_t i = 0; i < taken->cautions; i++)
        text_addf(&cautions, "%s\n", taken->caution[i]);
    form_caution(o, text_str(&cautions));
    text_clear(&words);
    text_clear(&cautions);
}

/* What was chosen, so that nothing is taken in otherwise than it was seen. */
static void add_choices(struct text *o, const struct ledger *l)
{
    for (size_t i = 0; i < l->columns; i++)
        text_addf(o, "%d%s,", l->column[i].is, l->column[i].unit);
    for (size_t i = 0; i < LEDGER_IDS; i++)
        if (l->all[i])
            text_addf(o, "%zu=%s,", i, l->all[i]);
    text_addf(o, "%d%d", l->together, l->rest);
}

static bool was_seen(const struct pairs *form, const struct ledger *l)
{
    struct text choices = {0};
    const char *seen = pairs_get(form, "seen");
    bool is;

    add_choices(&choices, l);
    is = seen && !strcmp(seen, text_str(&choices));
    text_clear(&choices);
    return is;
}

static void add_page(struct text *o, const struct job *job,
                     const struct ledger *l, const struct ledger_taken *taken,
                     const struct error *why)
{
    struct text choices = {0};

    if (why)
        html_addf(o, "<div class=\"say\" role=\"alert\"><b>%s</b>%s</div>\n",
                  job->look ? "Not to be taken in yet" : "Nothing was taken in",
                  why->text);
    add_lines(o, "Rows that cannot be read", true, &taken->bad);
    add_choices(&choices, l);
    html_addf(o,
              "<p class=\"quiet\">%zu rows, read as %s.</p>\n<input "
              "type=\"hidden\" name=\"kept\" value=\"%s\"><input "
              "type=\"hidden\" name=\"seen\" value=\"%s\">\n",
              l->rows, l->charset, job->name, text_str(&choices));
    text_clear(&choices);
    if (!why)
        add_taken(o, l, taken);
    if (!why && taken->skeins)
        html_addf(o,
                  "<p class=\"acts\"><button class=\"main\" name=\"do\" "
                  "value=\"take\" type=\"submit\">Take in %zu skein%s</button>"
                  "</p>\n",
                  taken->skeins, taken->skeins == 1 ? "" : "s");
    add_columns(o, l);
    add_once(o, l);
    text_add(o, "<p class=\"f\"><label for=\"file\">The file, put "
                "right</label><input id=\"file\" name=\"file\" type=\"file\" "
                "accept=\".csv,.tsv,.txt\" aria-describedby=\"file-how\"></p>\n"
                "<p class=\"small quiet\" id=\"file-how\">Only if you changed "
                "it. What is said of the columns stays.</p>\n"
                "<p class=\"acts\"><button name=\"do\" value=\"look\" "
                "type=\"submit\">Look at it so</button></p>\n");
}

/* ---- in the child -------------------------------------------------------- */

static bool say_all(const struct pairs *form, struct ledger *l,
                    struct error *err)
{
    for (size_t i = 0; i < LEDGER_IDS; i++) {
        struct text name = {0}, words = {0};
        const char *value;
        bool ok;
        text_addf(&name, "all-%s", ledger_fields[i].name);
        value = pairs_get(form, text_str(&name));
        text_addf(&words, "%s=%s", ledger_fields[i].name, value ? value : "");
        ok = !value || ledger_for_all(l, text_str(&words), err);
        text_clear(&name);
        text_clear(&words);
        if (!ok)
            return false;
    }
    l->together = pairs_get(form, "together") != NULL;
    l->rest = pairs_get(form, "rest") != NULL;
    return true;
}

/* Where the form speaks of a column: by its heading, for the file may have come
 * again with others; SIZE_MAX: it does not. */
static size_t said_of(const struct pairs *form, const struct ledger *l,
                      size_t column)
{
    const char *heading = l->column[column].heading, *of;
    size_t before = 0; /* columns of that name */

    for (size_t i = 0; i < column; i++)
        before += text_same(l->column[i].heading, heading);
    for (size_t i = 0; (of = pairs_nth(form, "of", i)); i++)
        if (text_same(of, heading) && !before--)
            return i;
    return SIZE_MAX;
}

/* A field that two columns are said to be is refused, not given to one. */
static bool said_once(const struct ledger *l, size_t column, const char *is,
                      struct error *err)
{
    for (size_t k = 0; k < column; k++)
        if (l->column[k].is >= 0 && l->column[k].is != LEDGER_NOTE &&
            !strcmp(ledger_fields[l->column[k].is].name, is))
            return error_set(err, ERR_INPUT,
                             "\"%.60s\" and \"%.60s\" are both said to be "
                             "%s: leave one out",
                             l->column[k].heading, l->column[column].heading,
                             ledger_fields[l->column[k].is].title);
    return true;
}

static bool match(const struct pairs *form, struct ledger *l, struct error *err)
{
    if (!pairs_nth(form, "is", 0))
        return say_all(form, l, err);
    for (size_t i = 0; i < l->columns; i++)
        if (said_of(form, l, i) != SIZE_MAX)
            l->column[i].is = -1;
    for (size_t i = 0; i < l->columns; i++) {
        const size_t at = said_of(form, l, i);
        const char *is = pairs_nth(form, "is", at);
        const char *unit = pairs_nth(form, "unit", at);
        if (at == SIZE_MAX || !is)
            continue;
        if (!said_once(l, i, is, err) ||
            !ledger_match_column(l, i, is, unit ? unit : "", err))
            return false;
    }
    return say_all(form, l, err);
}

static bool list(const void *from, const int *files, void *result,
                 struct error *err)
{
    const struct job *job = from;
    const struct exchange_file file = {.path = job->path};
    struct listed *out = result;
    struct ledger l;
    struct ledger_taken taken = {0};
    struct error why = {0};
    struct book *book = NULL;
    struct text page = {0};
    bool ok = ledger_open(&file, &l, err) && book_open(job->book, &book, err);

    (void)files;
    if (ok) {
        bool good = match(&job->form, &l, &why);
        bool look = job->look || !was_seen(&job->form, &l);
        book_acts_from(book, job->face);
        good = good && ledger_take(book, &l, look, &taken, &why);
        out->act = taken.act;
        add_page(&page, job, &l, &taken, good ? NULL : &why);
        out->cut = page.len >= sizeof out->page;
        if (!out->cut)
            memcpy(out->page, text_str(&page), page.len);
    }
    text_clear(&page);
    ledger_taken_clear(&taken);
    ledger_close(&l);
    book_close(book);
    return ok;
}

/* ---- the request --------------------------------------------------------- */

static bool show(struct request *r, struct error *err)
{
    const struct job *job = r->job;
    struct error why;
    const struct listed *done = child_result(r->child, &why);

    if (done && done->act) {
        unlink(job->path);
        request_go(r, "/?saved=%lld", (long long)done->act);
        return true;
    }
    if (done && done->cut)
        return error_set(err, ERR_LIMIT,
                         "it has too much for a page: take it in with "
                         "\"hanklab import\"");
    import_begin(r, done ? NULL : &why);
    if (done) {
        import_form(r, "");
        text_add(&r->out, done->page);
        text_add(&r->out, "</form>\n");
    } else {
        text_add(&r->out, "<p><a href=\"/import\">Choose another file</a></p>");
    }
    page_end(r);
    return true;
}

bool import_list(struct request *r, const char *name, struct error *err)
{
    const char *what = pairs_get(&r->form, "do");
    struct job *job = mem_new(1, sizeof *job);

    *job = (struct job){
        .book = mem_text(book_folder(r->book)),
        .face = mem_text(r->device ? r->device : "page"),
        .name = mem_text(name),
        .look = !what || strcmp(what, "take") != 0,
    };
    for (size_t i = 0; i < r->form.count; i++)
        pairs_add(&job->form, r->form.pair[i].name, r->form.pair[i].value);
    r->job = job;
    r->job_clear = job_clear;
    return import_path(r, name, &job->path, err) &&
           child_start(r,
                       &(struct child_task){.work = list,
                                            .job = job,
                                            .size = sizeof(struct listed),
                                            .ours = true},
                       show, err);
}
