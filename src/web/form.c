/* Forms in which something is logged. See form.h. */
#include "form.h"

#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "base/parts.h"
#include "book/ask.h"
#include "book/record.h"
#include "dye/caution.h"

/* ---- questions -------------------------------------------------------------
 */

void form_read(const struct request *r, const struct question *q,
               const char **words, struct pot_entry *pot)
{
    void *to = (char *)pot + q->at;
    struct pot_words *many = to;

    if (!q->many) {
        *(const char **)to = request_value(r, q->name);
        return;
    }
    many->word = words;
    for (size_t i = 0; many->count < FORM_WORDS; i++) {
        const char *one = pairs_nth(&r->form, q->name, i);
        if (!one)
            break;
        if (parts_said(one))
            words[many->count++] = one;
    }
}

/* Whether why is about the field: it begins with its name, "ph: ..." or
 * "dyestuff "x": ...". */
bool form_blames(const struct error *why, const char *name)
{
    size_t n = strlen(name);

    return why && !strncmp(why->text, name, n) &&
           (why->text[n] == ':' || !strncmp(why->text + n, " \"", 2));
}

void form_mark(struct text *o)
{
    text_add(o, " aria-invalid=\"true\" aria-describedby=\"why\" autofocus");
}

void form_mark_why(struct text *o, const char *why)
{
    html_addf(o, "<p class=\"why\" id=\"why\">%s</p>\n", why);
}

/* Questions, and what is offered to them. */
static const struct {
    const char *name, *what;
} lists[] = {
    {"dyestuff", "dyestuff"}, {"mordant", "mordant"}, {"s-mordant", "mordant"},
    {"assist", "assist"},     {"dip", "modifier"},    {"s-dip", "modifier"},
    {"acid", "acid"},         {"alkali", "alkali"},   {"fibre", "fibre"},
    {"yarn", "fibre"},        {"water", "water"}};

static void add_option(void *self, const char *words)
{
    html_addf(self, "<option value=\"%s\"></option>", words);
}

bool form_lists(struct request *r, struct error *err)
{
    for (size_t i = 0; i < ARRAY_LEN(lists); i++) {
        if (i && !strcmp(lists[i].what, lists[i - 1].what))
            continue; /* two questions share a list */
        html_addf(&r->out, "<datalist id=\"l-%s\">", lists[i].what);
        if (!pot_said_before(r->book, lists[i].what, add_option, &r->out, err))
            return false;
        text_add(&r->out, "</datalist>\n");
    }
    return true;
}

void form_list(struct text *o, const char *name)
{
    for (size_t i = 0; i < ARRAY_LEN(lists); i++)
        if (!strcmp(name, lists[i].name))
            html_addf(o, " list=\"l-%s\"", lists[i].what);
}

/* Whether a field is a day that has been, most often one of the last two. */
static bool is_past_day(const char *name)
{
    return !strcmp(name, "date") || !strcmp(name, "start") ||
           !strcmp(name, "end");
}

static void add_input(struct text *o, const char *name, const char *label,
                      const char *hint, size_t nth, const char *words,
                      const struct error *why)
{
    html_addf(o,
              "<p class=\"f\"><label for=\"%s-%zu\">%s</label><input "
              "id=\"%s-%zu\" name=\"%s\" value=\"%s\" placeholder=\"%s\" "
              "autocomplete=\"off\"",
              name, nth, label, name, nth, name, words, hint);
    form_list(o, name);
    if (why)
        form_mark(o);
    text_add(o, ">");
    if (is_past_day(name)) /* a script shows them */
        text_add(o, "<span class=\"days\" hidden><button type=\"button\" "
                    "data-day>today</button><button type=\"button\" "
                    "data-day>yesterday</button></span>");
    text_add(o, "</p>\n");
    if (why)
        form_mark_why(o, why->text);
}

/* Whether it is these words that why tells apart from others of the kind. */
static bool is_of(const struct error *why, const char *name, const char *words)
{
    struct text begin = {0};
    bool is;

    text_addf(&begin, "%s \"%s\"", name, words);
    is = !strncmp(why->text, text_str(&begin), begin.len);
    text_clear(&begin);
    return is || why->text[strlen(name)] == ':';
}

void form_question(struct request *r, const struct question *q,
                   const struct error *why)
{
    size_t shown = 0;

    if (!form_blames(why, q->name))
        why = NULL;
    for (size_t i = 0;; i++) {
        const char *words = r->post ? pairs_nth(&r->form, q->name, i)
                                    : pairs_nth(&r->query, q->name, i);
        if (!words)
            break;
        if (!parts_said(words))
            continue;
        add_input(&r->out, q->name, shown ? "and" : q->label, q->hint, shown,
                  words, why && is_of(why, q->name, words) ? why : NULL);
        shown++;
    }
    if (!shown || q->many)
        add_input(&r->out, q->name, shown ? "and" : q->label, q->hint, shown,
                  "", shown ? NULL : why);
}

void form_field(struct request *r, const char *name, const char *label,
                const char *hint, const char *words, const struct error *why)
{
    add_input(&r->out, name, label, hint, 0, words,
              form_blames(why, name) ? why : NULL);
}

void form_buttons(struct request *r, const char *save)
{
    html_addf(&r->out,
              "<div class=\"stick\"><button class=\"main\" type=\"submit\" "
              "name=\"do\" value=\"save\">%s</button><button type=\"submit\" "
              "name=\"do\" value=\"try\">How is it read?</button><p "
              "class=\"small\" role=\"status\" data-kept></p></div>\n",
              save);
}

/* ---- how it was read -------------------------------------------------------
 */

void form_lines(struct text *o, const char *element, const char *lines)
{
    while (lines && *lines) {
        size_t n = strcspn(lines, "\n");
        char *line = mem_text_n(lines, n);
        html_addf(o, "<%s>%s</%s>\n", element, line, element);
        free(line);
        lines += n + (lines[n] == '\n');
    }
}

void form_caution(struct text *o, const char *lines)
{
    if (!*lines)
        return;
    text_add(o, "<div class=\"caution\">");
    form_lines(o, "p", lines);
    html_addf(o, "<p class=\"close\">%s</p></div>\n", caution_closing);
}

bool form_skein(struct request *r, int64_t id, struct text *out,
                struct error *err)
{
    struct ask_filter any = ask_filter_any();
    struct ask_skein s;
    struct text recipe = {0};

    if (!ask_skein(r->book, id, &any, &s, err))
        return false;
    ask_recipe_words(&s, &recipe);
    text_add(out, s.label);
    if (s.code || recipe.len)
        text_addf(out, " (%s%s%s%s)", s.code ? "code " : "",
                  s.code ? s.code : "", s.code && recipe.len ? ", " : "",
                  text_str(&recipe));
    text_clear(&recipe);
    ask_skein_clear(&s);
    return true;
}

/* Those that are in the book, each with what it is; then the new ones. */
static bool add_skeins(struct request *r, const struct pot_result *result,
                       const char *done, struct error *err)
{
    const char **label = mem_new(result->skeins + 1, sizeof *label);
    struct text numbers = {0};
    size_t fresh = 0;
    bool ok = true;

    for (size_t i = 0; ok && i < result->skeins; i++) {
        const struct pot_result_skein *s = &result->skein[i];
        struct text words = {0};

        if (s->is_new) {
            label[fresh++] = s->label;
            continue;
        }
        ok = form_skein(r, s->id, &words, err);
        html_addf(&r->out, "<li><b>skein %s</b> is %s</li>\n", text_str(&words),
                  result->joined ? "in this round" : done);
        text_clear(&words);
    }
    pot_labels(label, fresh, &numbers);
    if (ok && fresh)
        html_addf(&r->out, "<li><b>skein%s %s</b> %s new</li>\n",
                  fresh > 1 ? "s" : "", text_str(&numbers),
                  fresh > 1 ? "are" : "is");
    text_clear(&numbers);
    free(label);
    return ok;
}

void form_why(struct request *r, const struct error *why)
{
    html_addf(&r->out, "<p class=\"why\" role=\"alert\">%s</p>\n", why->text);
}

/* Which pot it is, and which of its rounds. */
static void add_pot(struct text *o, const struct pot_result *result)
{
    struct text round = {0};

    if (!result->bath)
        return;
    if (result->round >= 0)
        ask_round_words(result->round, &round);
    html_addf(o, "<li><b>bath %s</b>%s%s%s</li>\n", result->bath,
              result->new_bath ? " is new" : "", round.len ? ", " : "",
              text_str(&round));
    text_clear(&round);
}

bool form_echo(struct request *r, const struct text *echo,
               const struct pot_result *result, const char *done,
               struct error *err)
{
    struct text *o = &r->out, cautions = {0};

    text_add(o, "<section class=\"read\" role=\"status\"><h2>Read as</h2>\n"
                "<p class=\"small quiet\">Nothing is saved yet.</p>\n<ul>\n");
    add_pot(o, result);
    if (!add_skeins(r, result, done, err))
        return false;
    form_lines(o, "li", text_str(echo));
    if (result->undated)
        text_add(o, "<li>day: not recorded</li>\n");
    for (size_t i = 0; i < result->notes; i++)
        form_lines(o, "li", result->note[i]);
    text_add(o, "</ul>\n");
    for (size_t i = 0; i < result->cautions; i++)
        text_addf(&cautions, "%s\n", result->caution[i]);
    form_caution(o, text_str(&cautions));
    text_clear(&cautions);
    text_add(o, "</section>\n");
    return true;
}

/* ---- which skein -----------------------------------------------------------
 */

/* "number=28", "12; note=...": more than which skein. Any other words are what
 * it is called, whatever signs are in them. */
static bool says_facts(const char *words)
{
    size_t letters = strspn(words, "abcdefghijklmnopqrstuvwxyz");
    size_t digits = strspn(words, "0123456789 ,-");

    return (letters && words[letters] == '=') ||
           (digits && words[digits] == ';');
}

bool form_which(const char *words, bool new_too, struct pot_skein *out,
                struct error *err)
{
    *out = (struct pot_skein){.which = words};
    if (says_facts(words) && !pot_skein_read(words, out, err))
        return false;
    out->known = !new_too;
    out->new_number = new_too;
    return true;
}
