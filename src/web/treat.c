/* What is done to skeins beside dyeing: scoured, mordanted, dipped, washed. The
 * words are those of "hanklab treat". */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "base/parts.h"
#include "book/pot.h"
#include "form.h"
#include "page.h"
#include "routes.h"

static const struct question first_asked[] = {
    ASK_MANY("with", "What went in", "iron: 2 %", with),
    ASK_ONE("date", "Day", "e.g. today, or 3 May", on),
    ASK_ONE("temperature", "Heat", "highest: 80, 180 F", temperature),
    ASK_ONE("minutes", "Time", "at that heat: 1 h", minutes),
    ASK_ONE("note", "Note", "anything else", note),
};

static const struct question then_asked[] = {
    ASK_ONE("name", "Keep it as", "the liquor's name", name),
    ASK_ONE("of", "or one kept", "its number or name", of),
    ASK_ONE("before", "Before", "a step: dye, or 2", before),
    ASK_ONE("ph", "pH", "7, 7-8, about 9", ph),
    ASK_ONE("cooled", "Cooled in it", "yes or no", cooled),
    ASK_ONE("vessel", "Vessel", "pot, jar ...", vessel),
    ASK_ONE("dyer", "Dyer", "if not you", dyer),
    ASK_ONE("water", "Water", "of a liquor kept", water),
    ASK_ONE("volume", "Liquor", "3 l, 1 gallon", volume),
    ASK_MANY("poured", "Made of", "older pots: 3, or 3: 2 l", poured),
    ASK_ONE("fibre", "Yarn", "of the new skeins", fibre),
    ASK_ONE("weight", "Each weighs", "dry: 20 g, 3/4 oz", weight),
};

static const struct {
    const char *kind, *word, *done;
} kinds[] = {
    {"dip", "dip", "dipped"},
    {"wash", "wash", "washed"},
    {"mordant", "mordant", "mordanted"},
    {"scour", "scour", "scoured"},
    {"other", "something else", "treated"},
};

struct entry {
    struct pot_entry pot;
    struct pot_skein skein;
    const char
        *words[ARRAY_LEN(first_asked) + ARRAY_LEN(then_asked)][FORM_WORDS];
};

static bool read_entry(struct request *r, struct entry *e, struct error *err)
{
    const char *skeins = request_value(r, "skein");
    size_t w = 0;

    for (size_t i = 0; i < ARRAY_LEN(first_asked); i++)
        form_read(r, &first_asked[i], e->words[w++], &e->pot);
    for (size_t i = 0; i < ARRAY_LEN(then_asked); i++)
        form_read(r, &then_asked[i], e->words[w++], &e->pot);
    e->pot.kind = request_value(r, "kind");
    e->pot.skeins = request_value(r, "skeins");
    e->pot.skein = &e->skein;
    e->pot.skein_count = skeins ? 1 : 0;
    if (e->pot.name && e->pot.of)
        return error_set(err, ERR_INPUT,
                         "name: give a new liquor a name, or say one that was "
                         "kept, not both");
    return !skeins || form_which(skeins, false, &e->skein, err);
}

static void entry_free(struct entry *e)
{
    pot_skein_clear(&e->skein);
    free(e);
}

/* ---- the form --------------------------------------------------------------
 */

static size_t kind_of(const struct request *r)
{
    const char *words = request_value(r, "kind");

    for (size_t i = 0; words && i < ARRAY_LEN(kinds); i++)
        if (!strcmp(words, kinds[i].kind))
            return i;
    return 0;
}

static bool says_more(const struct request *r, const struct error *why)
{
    for (size_t i = 0; i < ARRAY_LEN(then_asked); i++)
        if (request_value(r, then_asked[i].name) ||
            form_blames(why, then_asked[i].name))
            return true;
    return request_value(r, "skeins") || form_blames(why, "skeins");
}

static bool add_fields(struct request *r, const struct error *why,
                       struct error *err)
{
    struct text *o = &r->out;

    if (!form_lists(r, err))
        return false;
    text_add(o, "<fieldset class=\"shared\"><legend><h2>What was done</h2>"
                "</legend>\n<p class=\"f\"><label for=\"kind\">A</label>"
                "<select id=\"kind\" name=\"kind\">");
    for (size_t i = 0; i < ARRAY_LEN(kinds); i++) {
        html_addf(o, "<option value=\"%s\"", kinds[i].kind);
        text_add(o, i == kind_of(r) ? " selected>" : ">");
        html_addf(o, "%s</option>", kinds[i].word);
    }
    text_add(o, "</select></p>\n");
    form_field(r, "skein", "Skeins", "6, 7, A3 or 6-8",
               request_value(r, "skein"), why);
    for (size_t i = 0; i < ARRAY_LEN(first_asked); i++)
        form_question(r, &first_asked[i], why);
    text_add(o, says_more(r, why) ? "<details open>" : "<details>");
    text_add(o, "<summary>A liquor that is kept, new skeins</summary>\n");
    for (size_t i = 0; i < ARRAY_LEN(then_asked); i++)
        form_question(r, &then_asked[i], why);
    form_field(r, "skeins", "How many in all", "if more than these",
               request_value(r, "skeins"), why);
    text_add(o, "</details>\n</fieldset>\n");
    return true;
}

/* How it is read, or why it is refused, above the fields. */
static bool show(struct request *r, struct entry *e,
                 const struct error *refused, struct error *err)
{
    struct pot_result result = {0};
    struct text echo = {0};
    struct error why;
    bool ok = true;

    if (refused) {
        why = *refused;
    } else if (e) {
        e->pot.only_try = true;
        if (!pot_treat(r->book, &e->pot, &result, &echo, &why))
            refused = &why;
    }
    page_begin(r, "Dip, wash or mordant", "Log");
    text_add(&r->out, "<div class=\"logtop\"><h1>Dip, wash or mordant</h1><p "
                      "class=\"quiet\">What is done to skeins beside dyeing, "
                      "before it or any time after. It comes last in their "
                      "lives, unless you say before which step.</p></div>\n");
    page_form(r, "/treat", "class=\"log\"");
    if (refused)
        form_why(r, &why);
    else if (e)
        ok = form_echo(r, &echo, &result, kinds[kind_of(r)].done, err);
    ok = ok && add_fields(r, refused ? &why : NULL, err);
    form_buttons(r, "Save");
    text_add(&r->out, "</form>\n");
    page_end(r);
    if (refused)
        r->status = 400;
    pot_result_clear(&result);
    text_clear(&echo);
    return ok;
}

bool treat_page(struct request *r, struct error *err)
{
    return show(r, NULL, NULL, err);
}

/* To the one skein, to the liquor, or to the rack. */
static bool go_on(struct request *r, const struct pot_result *result,
                  struct error *err)
{
    struct text pot = {0}, to = {0};
    bool ok = true;

    if (result->skeins == 1) {
        html_addf(&to, "/skein/%-s", result->skein[0].label);
    } else if (result->bath_id) {
        ok = page_bath(r, result->bath_id, &pot, err);
        html_addf(&to, "/bath/%-s", text_str(&pot));
    } else {
        text_add(&to, "/");
    }
    if (ok)
        page_saved(r, text_str(&to));
    text_clear(&pot);
    text_clear(&to);
    return ok;
}

bool treat_save(struct request *r, struct error *err)
{
    struct entry *e = mem_new(1, sizeof *e);
    struct pot_result result = {0};
    struct text echo = {0};
    const char *what = request_value(r, "do");
    struct error why;
    bool ok = read_entry(r, e, &why);

    if (!ok)
        ok = show(r, e, &why, err);
    else if (what && !strcmp(what, "try"))
        ok = show(r, e, NULL, err);
    else if (pot_treat(r->book, &e->pot, &result, &echo, &why))
        ok = go_on(r, &result, err);
    else
        ok =
            why.kind == ERR_STORE ? (*err = why, false) : show(r, e, &why, err);
    pot_result_clear(&result);
    text_clear(&echo);
    entry_free(e);
    return ok;
}
