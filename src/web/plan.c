/* The projects, and a new one: the words of "hanklab plan make" in fields. */
#include "plan.h"

#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "base/parts.h"
#include "book/record.h"
#include "form.h"
#include "page.h"
#include "routes.h"

#define ROWS 5      /* of an empty form */
#define MAX_ROWS 60 /* colours */

/* ---- the list -------------------------------------------------------------
 */

static void add_colours(struct text *o, const struct project *p)
{
    text_add(o, "<span class=\"threads\">");
    for (size_t i = 0; i < p->wishes && i < 8; i++) {
        const struct project_wish *w = &p->wish[i];
        text_add(o, w->expected ? "<span class=\"told\">" : "<span>");
        page_hank(o, HANK_SMALL, w->expected ? &w->lab : NULL);
        text_add(o, "</span>");
    }
    text_add(o, "</span>");
}

static bool add_project(struct request *r, int64_t id, struct error *err)
{
    const struct project_task *next;
    struct text *o = &r->out, address = {0};
    struct project p;
    char at[24] = "";

    if (!project_read(r->book, id, &p, err))
        return false;
    if (!plan_address(r->book, id, &address, err)) {
        project_clear(&p);
        return false;
    }
    next = p.dyer ? NULL : plan_next(&p);
    if (next && next->has_begin)
        moment_words(next->begins, at);
    html_addf(o, "<li><a class=\"hs\" href=\"%s\">", text_str(&address));
    add_colours(o, &p);
    html_addf(o, "<h2>%s</h2></a><p>", p.name);
    plan_sum(&p, o);
    text_add(o, "</p>");
    if (p.dyer)
        html_addf(o, "<p>A plan of %s's</p>", p.dyer);
    if (next)
        html_addf(o, "<p><b>Next:</b> %s, step %d, %s</p>", at, next->number,
                  next->name);
    text_add(o, "</li>\n");
    text_clear(&address);
    project_clear(&p);
    return true;
}

/* The newest first. */
static bool list(struct request *r, const int64_t *ids, size_t n,
                 struct error *err)
{
    bool ok = true;

    page_begin(r, "Plan", "Plan");
    page_style(r, "plan.css");
    text_add(&r->out, "<div class=\"head\"><h1>Projects</h1><p class=\"end\">"
                      "<a class=\"btn main\" href=\"/plan?new=yes\">Plan "
                      "a project</a></p></div>\n<ol class=\"projects\">\n");
    for (size_t i = n; ok && i-- > 0;)
        ok = add_project(r, ids[i], err);
    text_add(&r->out, "</ol>\n");
    page_end(r);
    return ok;
}

/* ---- what is asked --------------------------------------------------------
 */

/* One row's fields, and the keys of a wish they are. */
static const struct {
    const char *name, *label, *hint, *key;
} row_asked[] = {
    {"c-name", "colour", "rust", NULL},
    {"c-amount", "how much", "160 m, 1 hank", NULL},
    {"c-dyestuff", "dyestuff", "madder: 60 %", "dyestuff"},
    {"c-mordant", "mordant", "as above", "mordant"},
    {"c-round", "round", "first", "round"},
    {"c-dip", "dip after", "iron: 2 %", "dip"},
    {"c-like", "or as skein", "31", "like"},
    {"c-on", "on skein", "a spare: 41", "on"},
};
enum { C_NAME, C_AMOUNT, C_DYESTUFF, C_MORDANT, C_ROUND, C_DIP, C_LIKE, C_ON };

static const struct question first_asked[] = {
    {"name", "Project", "what you call it", 0, false},
    {"yarn", "Yarn", "which yarn", 0, false},
    {"hank", "A hank is", "100 g = 400 m", 0, false},
    {"ready", "Ready by", "Sunday evening", 0, false},
    {"pots", "Pots", "3 x 8 l", 0, false},
    {"burners", "Burners", "2", 0, false},
    {"jars", "Jars", "in a water bath: 4 x 1 l", 0, false},
};

/* Of all colours that say no other. */
static const struct question shared_asked[] = {
    {"mordant", "Mordant", "alum: 12 %", 0, true},
    {"assist", "Assist", "cream of tartar: 6 %", 0, true},
};

static const struct question then_asked[] = {
    {"hours", "Up", "8-22", 0, false},
    {"water", "Water", "litres for a kg: 30:1", 0, false},
    {"tests", "Tests", "exhausts more: 2 x 10 g", 0, false},
    {"time", "Heat, time", "dye=70 C, 45 min", 0, true},
    {"note", "Note", "anything else", 0, false},
};

/* ---- from the form to the words -------------------------------------------
 */

struct entry {
    struct project_words words;
    struct text wish[MAX_ROWS];
    const char *wish_words[MAX_ROWS];
    size_t row_of[MAX_ROWS]; /* that a wish stands in */
    const char *times[FORM_WORDS];
};

/* The nth value of what was sent, or of the address; NULL when blank. */
static const char *nth(const struct request *r, const char *name, size_t n)
{
    const char *words = pairs_nth(r->post ? &r->form : &r->query, name, n);

    return parts_said(words) ? words : NULL;
}

static size_t rows_of(const struct request *r)
{
    size_t n = 0;

    while (n < MAX_ROWS &&
           pairs_nth(r->post ? &r->form : &r->query, "c-name", n))
        n++;
    return n;
}

/* "; dyestuff=..." of a field; "madder: 60 %, weld: 20 %" are two. */
static void add_key(struct text *out, const char *key, const char *typed)
{
    text_addf(out, "; %s=", key);
    for (const char *p = typed; *p; p++) {
        const char *next = p + 1 + strspn(p + 1, " ");

        if (*p != ',' || !strchr(next, ':') || strchr("0123456789", *next)) {
            text_add_n(out, p, 1);
            continue;
        }
        text_addf(out, "; %s=", key);
        p = next - 1;
    }
}

/* What stands for all colours, in one that says neither a mordant of its own
 * nor a skein that has one. */
static void add_shared(const struct request *r, struct text *out)
{
    for (size_t k = 0; k < ARRAY_LEN(shared_asked); k++) {
        const char *name = shared_asked[k].name;
        for (size_t i = 0; pairs_nth(&r->form, name, i); i++)
            if (nth(r, name, i))
                add_key(out, name, nth(r, name, i));
    }
}

/* What a row has to say at the least. */
static bool check_row(const char *const typed[ARRAY_LEN(row_asked)], size_t i,
                      struct error *err)
{
    if (!typed[C_NAME])
        return error_set(err, ERR_INPUT,
                         "row %zu: say what you call the colour", i + 1);
    if (strpbrk(typed[C_NAME], "=;:"))
        return error_set(err, ERR_INPUT,
                         "row %zu: a colour's name has no =, ; or : in it",
                         i + 1);
    if (!typed[C_AMOUNT] && !typed[C_ON])
        return error_set(err, ERR_INPUT,
                         "row %zu: say how much, in metres or grams, or on "
                         "which skein",
                         i + 1);
    return typed[C_DYESTUFF] || typed[C_LIKE] ||
           error_set(err, ERR_INPUT,
                     "row %zu: say what it is dyed with, or as which skein",
                     i + 1);
}

/* Row i as a wish: "rust = 160 m; dyestuff=madder: 60 %; ...". */
static bool read_row(const struct request *r, struct entry *e, size_t i,
                     struct error *err)
{
    const size_t n = e->words.wishes.count;
    const char *typed[ARRAY_LEN(row_asked)];
    struct text *w = &e->wish[n];
    bool any = false;

    for (size_t k = 0; k < ARRAY_LEN(row_asked); k++) {
        typed[k] = nth(r, row_asked[k].name, i);
        any = any || typed[k];
    }
    if (!any)
        return true;
    if (!check_row(typed, i, err))
        return false;
    text_add(w, typed[C_NAME]);
    if (typed[C_AMOUNT])
        text_addf(w, " = %s", typed[C_AMOUNT]);
    for (size_t k = C_DYESTUFF; k < ARRAY_LEN(row_asked); k++)
        if (typed[k])
            add_key(w, row_asked[k].key, typed[k]);
    if (!typed[C_MORDANT] && !typed[C_LIKE] && !typed[C_ON])
        add_shared(r, w);
    e->row_of[n] = i;
    e->wish_words[n] = text_str(w);
    e->words.wishes.count++;
    return true;
}

/* A step's time that cannot be read is told without the field's name. */
static void name_time(const struct entry *e, struct error *why)
{
    const struct error was = *why;
    const struct pot_words *t = &e->words.times;
    char *words = *was.text == '"'
                      ? mem_text_n(was.text + 1, strcspn(was.text + 1, "\""))
                      : mem_text("");

    for (size_t i = 0; *words && i < t->count; i++)
        if (strstr(t->word[i], words)) {
            error_set(why, was.kind, "time \"%s\": %s", t->word[i], was.text);
            break;
        }
    free(words);
}

static bool read_entry(const struct request *r, struct entry *e,
                       struct error *err)
{
    struct project_words *w = &e->words;
    struct error none;
    int64_t id;

    *w = (struct project_words){
        .name = request_value(r, "name"),
        .wishes = {e->wish_words, 0},
        .yarn = request_value(r, "yarn"),
        .hank = request_value(r, "hank"),
        .ready = request_value(r, "ready"),
        .pots = request_value(r, "pots"),
        .burners = request_value(r, "burners"),
        .jars = request_value(r, "jars"),
        .water = request_value(r, "water"),
        .hours = request_value(r, "hours"),
        .tests = request_value(r, "tests"),
        .times = {e->times, 0},
        .note = request_value(r, "note"),
    };
    for (size_t i = 0; i < FORM_WORDS && pairs_nth(&r->form, "time", i); i++)
        if (nth(r, "time", i))
            e->times[w->times.count++] = nth(r, "time", i);
    if (!w->name)
        return error_set(err, ERR_INPUT, "name: say what you call the project");
    if (record_find(r->book, NOUN_PROJECT, w->name, &id, &none))
        return error_set(err, ERR_INPUT,
                         "name: there is a project \"%s\" already; give this "
                         "one another name",
                         w->name);
    for (size_t i = 0; i < rows_of(r); i++)
        if (!read_row(r, e, i, err))
            return false;
    return w->wishes.count > 0 ||
           error_set(err, ERR_INPUT, "row 1: say which colour is wanted");
}

static void entry_free(struct entry *e)
{
    for (size_t i = 0; i < MAX_ROWS; i++)
        text_clear(&e->wish[i]);
    free(e);
}

/* ---- the form --------------------------------------------------------------
 */

/* The words that why has in quotation marks, the first; or what stands before
 * "is": "chrome is recorded, ... never planned". */
static char *told_words(const char *why)
{
    const char *quote = strchr(why, '"'), *is = strstr(why, " is ");

    if (quote)
        return mem_text_n(quote + 1, strcspn(quote + 1, "\""));
    return mem_text_n(why, is ? (size_t)(is - why) : 0);
}

/* Which of a row's fields has the words in it; C_NAME: none, for that one is
 * not looked at. */
static size_t field_with(const struct request *r, size_t row, const char *words)
{
    for (size_t k = C_AMOUNT; *words && k < ARRAY_LEN(row_asked); k++) {
        const char *typed = nth(r, row_asked[k].name, row);
        if (typed && text_contains(typed, words))
            return k;
    }
    return C_NAME;
}

/* Which of its fields: the one that is named, or the one whose words are told;
 * else the name. */
static size_t blamed_field(const struct request *r, size_t row, const char *why)
{
    size_t k;
    char *words;

    for (k = C_DYESTUFF; k < ARRAY_LEN(row_asked); k++)
        if (!strncmp(why, row_asked[k].key, strlen(row_asked[k].key)))
            return k;
    if (!strncmp(why, "say how much", 12) || !strncmp(why, "how heavy", 9) ||
        !strncmp(why, "say what a hank weighs", 22))
        return C_AMOUNT;
    if (!strncmp(why, "say what it is dyed", 19))
        return C_DYESTUFF;
    if (!strncmp(why, "skein ", 6))
        return nth(r, row_asked[C_ON].name, row) ? C_ON : C_LIKE;
    words = told_words(why);
    k = field_with(r, row, words);
    free(words);
    return k;
}

/* Which row why is about, from 1; 0: none; and which of its fields. */
static size_t blamed_row(const struct request *r, const struct entry *e,
                         const struct error *why, size_t *field)
{
    char *words, *end;
    size_t row = 0;

    if (!strncmp(why->text, "row ", 4)) {
        row = strtoul(why->text + 4, &end, 10);
        *field = blamed_field(r, row - 1, end + strspn(end, ": "));
        return row;
    }
    for (size_t i = 0; i < e->words.wishes.count; i++) {
        char *name = text_trim(nth(r, "c-name", e->row_of[i]));
        const size_t n = strlen(name);
        const bool is =
            !strncmp(why->text, name, n) && !strncmp(why->text + n, ": ", 2);
        free(name);
        if (!is)
            continue;
        *field = blamed_field(r, e->row_of[i], why->text + n + 2);
        return e->row_of[i] + 1;
    }
    words = told_words(why->text);
    for (size_t i = 0; !row && i < e->words.wishes.count; i++) {
        *field = field_with(r, e->row_of[i], words);
        row = *field != C_NAME ? e->row_of[i] + 1 : 0;
    }
    free(words);
    return row;
}

static void add_row(struct request *r, size_t i, size_t blamed,
                    const struct error *why)
{
    struct text *o = &r->out;

    text_add(o, "<li>");
    for (size_t k = 0; k < ARRAY_LEN(row_asked); k++) {
        html_addf(o,
                  "<p><label for=\"%s-%zu\"><span class=\"hide\">Colour %zu: "
                  "</span>%s</label><input id=\"%s-%zu\" name=\"%s\" "
                  "value=\"%s\" placeholder=\"%s\" autocomplete=\"off\"",
                  row_asked[k].name, i, i + 1, row_asked[k].label,
                  row_asked[k].name, i, row_asked[k].name,
                  nth(r, row_asked[k].name, i), i ? "" : row_asked[k].hint);
        if (k == C_ROUND)
            text_add(o, " list=\"l-round\"");
        else if (row_asked[k].key)
            form_list(o, row_asked[k].key);
        if (why && k == blamed)
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
    const size_t said = rows_of(r), n = said ? said + more : ROWS;
    size_t field = C_NAME;
    const size_t wrong = why && e ? blamed_row(r, e, why, &field) : 0;

    text_add(&r->out,
             "<fieldset class=\"rows colours\"><legend><h2>Colours</h2>"
             "</legend>\n<p class=\"echo\">A row for each; one left empty is "
             "none. A paler colour is a later round of the same liquor: "
             "exhaust 1, exhaust 2. With the number of a skein, the way it was "
             "dyed is taken.</p>\n<ol>\n");
    for (size_t i = 0; i < n && i < MAX_ROWS; i++)
        add_row(r, i, field, i + 1 == wrong ? why : NULL);
    text_add(&r->out, "</ol>\n<p class=\"sum\"><button type=\"submit\" "
                      "name=\"do\" value=\"more\">More rows</button></p>\n"
                      "</fieldset>\n");
}

static bool says_more(const struct request *r, const struct error *why)
{
    for (size_t i = 0; i < ARRAY_LEN(then_asked); i++)
        if (request_value(r, then_asked[i].name) ||
            form_blames(why, then_asked[i].name))
            return true;
    return false;
}

static bool add_fields(struct request *r, const struct entry *e, size_t more,
                       const struct error *why, struct error *err)
{
    struct text *o = &r->out;

    if (!form_lists(r, err))
        return false;
    text_add(o, "<datalist id=\"l-round\"><option value=\"first\"></option>"
                "<option value=\"exhaust 1\"></option><option value=\"exhaust "
                "2\"></option><option value=\"exhaust 3\"></option></datalist>"
                "\n<fieldset class=\"shared\"><legend><h2>The project</h2>"
                "</legend>\n");
    for (size_t i = 0; i < ARRAY_LEN(first_asked); i++)
        form_question(r, &first_asked[i], why);
    text_add(o, "<p class=\"echo\">Of all colours that say no other:</p>\n");
    for (size_t i = 0; i < ARRAY_LEN(shared_asked); i++)
        form_question(r, &shared_asked[i], why);
    text_add(o, says_more(r, why) ? "<details open>" : "<details>");
    text_add(o, "<summary>More about it</summary>\n");
    for (size_t i = 0; i < ARRAY_LEN(then_asked); i++)
        form_question(r, &then_asked[i], why);
    text_add(o, "</details>\n</fieldset>\n");
    add_rows(r, e, more, why);
    return true;
}

static const char *words_of(const struct record *rec, const char *field)
{
    const struct record_field *f = record_get(rec, field);

    return f ? f->words : NULL;
}

/* "3 x 8 l", where the project says so. */
static void preset_vessels(struct request *r, const struct record *rec,
                           const char *name, const char *many, const char *one)
{
    struct text words = {0};

    if (words_of(rec, many))
        text_add(&words, words_of(rec, many));
    if (words.len && one && words_of(rec, one))
        text_addf(&words, " x %s", words_of(rec, one));
    if (words.len && strcmp(text_str(&words), "0") != 0)
        pairs_set(&r->query, name, text_str(&words));
    text_clear(&words);
}

/* Pots and burners are those of the last project, until others are said. */
static bool preset(struct request *r, int64_t last, struct error *err)
{
    struct record rec;

    if (!record_read(r->book, NOUN_PROJECT, last, &rec, err))
        return false;
    preset_vessels(r, &rec, "pots", "pots", "pot");
    preset_vessels(r, &rec, "burners", "burners", NULL);
    preset_vessels(r, &rec, "jars", "jars", "jar");
    preset_vessels(r, &rec, "yarn", "fibre", NULL);
    record_clear(&rec);
    return true;
}

static void begin_form(struct request *r)
{
    page_begin(r, "Plan", "Plan");
    page_style(r, "plan.css");
    text_add(&r->out, "<div class=\"logtop\"><h1>Plan a project</h1><p "
                      "class=\"quiet\">Say which colours you want: what goes "
                      "into which pot, what to weigh and when to begin is "
                      "reckoned from that.</p></div>\n");
}

static void end_form(struct request *r)
{
    form_buttons(r, "Plan and keep it");
    text_add(&r->out, "</form>\n");
    page_end(r);
}

/* The plan as it would be. */
static bool add_tried(struct request *r, const struct project *p,
                      const struct text *echo, struct error *err)
{
    text_add(&r->out, "<section class=\"tried\" role=\"status\"><h2>Read as"
                      "</h2>\n<p class=\"small quiet\">Nothing is saved yet."
                      "</p>\n<p><b>");
    plan_sum(p, &r->out);
    text_add(&r->out, "</b></p>\n<ul>");
    form_lines(&r->out, "li", text_str(echo));
    text_add(&r->out, "</ul>\n");
    if (!plan_show(r, p, NULL, NULL, err))
        return false;
    text_add(&r->out, "</section>\n");
    return true;
}

/* The form with what was typed in it, how it is read or why it is refused. */
static bool show(struct request *r, struct entry *e,
                 const struct error *refused, size_t more, struct error *err)
{
    struct text echo = {0};
    struct project p = {.id = 0};
    struct error why;
    bool ok = true, tried = false;

    if (refused) {
        why = *refused;
    } else if (e && !more) {
        e->words.only_try = true;
        tried = project_make(r->book, &e->words, &p, &echo, &why);
        if (!tried)
            refused = &why;
    }
    if (refused && e)
        name_time(e, &why);
    begin_form(r);
    page_form(r, "/plan", "class=\"log plan\"");
    if (refused)
        form_why(r, &why);
    else if (tried)
        ok = add_tried(r, &p, &echo, err);
    ok = ok && add_fields(r, e, more, refused ? &why : NULL, err);
    end_form(r);
    if (refused)
        r->status = 400;
    if (tried)
        project_clear(&p);
    text_clear(&echo);
    return ok;
}

static bool save(struct request *r, struct entry *e, struct error *err)
{
    struct text to = {0};
    struct project p;
    bool ok = project_make(r->book, &e->words, &p, NULL, err);

    if (!ok)
        return false;
    ok = plan_address(r->book, p.id, &to, err);
    if (ok)
        page_saved(r, text_str(&to));
    project_clear(&p);
    text_clear(&to);
    return ok;
}

bool plan_list_page(struct request *r, struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = record_ids(r->book, NOUN_PROJECT, false, &ids, &n, err);

    if (ok && n && !pairs_get(&r->query, "new") && !rows_of(r))
        ok = list(r, ids, n, err);
    else
        ok = ok && (!n || preset(r, ids[n - 1], err)) &&
             show(r, NULL, NULL, rows_of(r) ? 1 : 0, err);
    free(ids);
    return ok;
}

bool plan_save(struct request *r, struct error *err)
{
    struct entry *e = mem_new(1, sizeof *e);
    const char *what = request_value(r, "do");
    struct error why;
    bool ok = read_entry(r, e, &why);

    if (what && !strcmp(what, "more"))
        ok = show(r, e, NULL, ROWS, err);
    else if (!ok)
        ok = show(r, e, &why, 0, err);
    else if (what && !strcmp(what, "try"))
        ok = show(r, e, NULL, 0, err);
    else if (!save(r, e, &why))
        ok = why.kind == ERR_STORE ? (*err = why, false)
                                   : show(r, e, &why, 0, err);
    else
        ok = true;
    entry_free(e);
    return ok;
}
