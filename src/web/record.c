/* Any record as a form, made from the noun's own table; and the cupboard,
 * where the ones that are used again and again are kept. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/known.h"
#include "book/photo.h"
#include "book/record.h"
#include "form.h"
#include "page.h"
#include "routes.h"

/* ---- a form ----------------------------------------------------------------
 */

static void add_option(struct text *o, const char *value, size_t n,
                       const char *now)
{
    char *one = mem_text_n(value, n);
    bool chosen = now && !strcmp(now, one);

    html_addf(o, "<option value=\"%s\"", one);
    text_add(o, chosen ? " selected>" : ">");
    html_addf(o, "%s</option>", one);
    free(one);
}

/* f: what is chosen among; wrong: it is the one to be put right. */
static void add_select(struct text *o, const struct field *f, const char *now,
                       bool wrong)
{
    const char *choices = f->kind == FIELD_FLAG ? "yes|no" : f->choices;

    html_addf(o, "<select id=\"f-%s\" name=\"%s\"", f->name, f->name);
    if (wrong)
        form_mark(o);
    text_add(o, "><option value=\"\">not recorded</option>");
    while (*choices) {
        size_t n = strcspn(choices, "|");
        add_option(o, choices, n, now);
        choices += n + (choices[n] == '|');
    }
    text_add(o, "</select>");
}

/* Names that a field which points to another record may take. */
static bool add_names(struct request *r, const struct field *f,
                      struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = record_ids(r->book, f->ref, false, &ids, &n, err);

    html_addf(&r->out, "<datalist id=\"names-%s\">", f->name);
    for (size_t i = 0; ok && i < n && i < 500; i++) {
        struct text label = {0};
        ok = record_label(r->book, f->ref, ids[i], &label, err);
        html_addf(&r->out, "<option value=\"%s\"></option>", text_str(&label));
        text_clear(&label);
    }
    text_add(&r->out, "</datalist>\n");
    free(ids);
    return ok;
}

static bool may_type(const struct field *f, bool is_new)
{
    return !(f->flags & FIELD_OWN) && (is_new || !(f->flags & FIELD_FIXED));
}

/* What stands in the field: what was typed, what is recorded, what the address
 * presets; of a new one what is meant when nothing is said. */
static const char *words_in(const struct request *r, const struct field *f,
                            const struct record *now)
{
    const char *asked;

    if (r->post)
        return pairs_nth(&r->form, f->name, 0);
    if (now)
        return now->field[f - now->noun->fields].words;
    asked = pairs_get(&r->query, f->name);
    return asked ? asked : f->preset;
}

/* Where the words are typed or chosen. */
static void add_control(struct text *o, const struct field *f,
                        const char *words, bool wrong)
{
    bool is_note = !strcmp(f->name, "note");

    if (f->kind == FIELD_CHOICE || f->kind == FIELD_FLAG) {
        add_select(o, f, words, wrong);
        return;
    }
    text_add(o, is_note ? "<textarea rows=\"3\"" : "<input");
    html_addf(o, " id=\"f-%s\" name=\"%s\"", f->name, f->name);
    if (wrong)
        form_mark(o);
    else
        html_addf(o, " aria-describedby=\"h-%s\"", f->name);
    if (is_note) {
        html_addf(o, ">\n%s</textarea>", words);
        return;
    }
    html_addf(o,
              " value=\"%s\" placeholder=\"not recorded\" "
              "autocomplete=\"off\"",
              words);
    if (f->kind == FIELD_REF)
        html_addf(o, " list=\"names-%s\"", f->name);
    text_add(o, ">");
}

static bool add_field(struct request *r, const struct field *f,
                      const struct record *now, const struct error *why,
                      struct error *err)
{
    struct text *o = &r->out;
    const char *understood =
        now ? now->field[f - now->noun->fields].understood : NULL;
    bool wrong = form_blames(why, f->name);
    size_t n = strlen(f->name); /* which its title stands for */

    if (f->kind == FIELD_REF && !add_names(r, f, err))
        return false;
    html_addf(o, "<p class=\"f\"><label for=\"f-%s\">%s</label>", f->name,
              f->title);
    add_control(o, f, words_in(r, f, now), wrong);
    text_add(o, "</p>\n");
    if (wrong)
        form_mark_why(o, why->text[n] == ':' ? why->text + n + 2 : why->text);
    html_addf(o, "<p class=\"echo\" id=\"h-%s\">%s", f->name, f->help);
    if (understood)
        html_addf(o, "; read as <b>%s</b>", understood);
    text_add(o, "</p>\n");
    return true;
}

/* The fields' values in the form that differ from what is recorded. */
static size_t changed(const struct request *r, const struct noun *noun,
                      const struct record *now, struct record_value *out)
{
    size_t n = 0;

    for (size_t i = 0; i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];
        const char *typed = pairs_nth(&r->form, f->name, 0);
        const char *was = now ? now->field[i].words : NULL;
        if (!typed || !may_type(f, !now) || !strcmp(typed, was ? was : ""))
            continue;
        out[n++] = (struct record_value){f->name, typed};
    }
    return n;
}

/* ---- /record/NOUN and /record/NOUN/ID -------------------------------------
 */

/* The noun, and the id behind it (0: a new one). */
static const struct noun *which(const struct request *r, long long *id)
{
    char *path = mem_text(request_part(r, "/record/"));
    char *slash = strchr(path, '/');
    const struct noun *noun;
    bool ok = true;

    *id = 0;
    if (slash) {
        *slash = '\0';
        ok = text_whole(slash + 1, id) && *id > 0;
    }
    noun = noun_find(path);
    free(path);
    return ok ? noun : NULL;
}

/* Whether anything unusual is said of a field, or it is wrong. */
static bool stands_out(const struct request *r, const struct field *f,
                       const struct record *now, const struct error *why)
{
    const char *words = words_in(r, f, now);

    return form_blames(why, f->name) ||
           (words && *words && (!f->preset || strcmp(words, f->preset) != 0));
}

/* The fields that are seldom said, or the others. */
static bool add_fields(struct request *r, const struct noun *noun, bool more,
                       const struct record *now, const struct error *why,
                       struct error *err)
{
    bool ok = true;

    for (size_t i = 0; ok && i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];
        if (may_type(f, !now) && !(f->flags & FIELD_MORE) == !more)
            ok = add_field(r, f, now, why, err);
    }
    return ok;
}

/* Those that are seldom said, folded away unless something stands in one; a
 * single one is not worth it. */
static bool add_more(struct request *r, const struct noun *noun,
                     const struct record *now, const struct error *why,
                     struct error *err)
{
    size_t count = 0;
    bool open = false, ok;

    for (size_t i = 0; i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];
        if (!may_type(f, !now) || !(f->flags & FIELD_MORE))
            continue;
        count++;
        open = open || stands_out(r, f, now, why);
    }
    if (count > 1)
        html_addf(&r->out, "<details%s><summary>More about it</summary>\n",
                  open ? " open" : "");
    ok = add_fields(r, noun, true, now, why, err);
    if (count > 1)
        text_add(&r->out, "</details>\n");
    return ok;
}

/* Whether why stands beside one of the fields. */
static bool is_marked(const struct noun *noun, const struct record *now,
                      const struct error *why)
{
    for (size_t i = 0; i < noun->field_count; i++)
        if (may_type(&noun->fields[i], !now) &&
            form_blames(why, noun->fields[i].name))
            return true;
    return false;
}

/* The other material that has the name which was typed; 0: there is none. */
static int64_t namesake(struct request *r, const struct noun *noun,
                        int64_t material)
{
    const char *name = pairs_get(&r->form, "name");
    struct error none;
    int64_t id = 0;

    return noun->id == NOUN_MATERIAL && material && name &&
                   record_find(r->book, noun->id, name, &id, &none) &&
                   id != material
               ? id
               : 0;
}

/* The photo that is being measured, to which a card that is put in meanwhile
 * leads back; 0: none is. */
static long long measured_photo(const struct request *r)
{
    const char *words = request_value(r, "measure");
    long long photo;

    return words && text_whole(words, &photo) && photo > 0 ? photo : 0;
}

static bool add_form(struct request *r, const struct noun *noun,
                     const struct record *now, const struct error *why,
                     struct error *err)
{
    struct text action = {0};
    bool ok;

    text_addf(&action, "/record/%s", noun->name);
    if (now)
        text_addf(&action, "/%lld", (long long)now->id);
    page_form(r, text_str(&action), "class=\"log one\" autocomplete=\"off\"");
    if (why && !is_marked(noun, now, why))
        form_why(r, why);
    if (measured_photo(r))
        html_addf(&r->out,
                  "<input type=\"hidden\" name=\"measure\" value=\"%lld\">\n",
                  measured_photo(r));
    text_add(&r->out, "<div class=\"shared\">\n");
    ok = add_fields(r, noun, false, now, why, err) &&
         add_more(r, noun, now, why, err);
    text_add(&r->out, "</div>\n<div class=\"stick\"><button "
                      "class=\"main\" type=\"submit\">Save</button>");
    if (why && now && namesake(r, noun, now->id))
        text_add(&r->out, " <button type=\"submit\" name=\"join\" "
                          "value=\"yes\">They are one: join them</button>");
    text_add(&r->out, "</div>\n</form>\n");
    text_clear(&action);
    return ok;
}

static bool add_withdraw(struct request *r, const struct record *now,
                         struct error *err)
{
    struct text used = {0};
    bool ok = record_used(r->book, now->noun->id, now->id, &used, err);

    page_form(r, "/withdraw", "class=\"acts\"");
    html_addf(&r->out,
              "<input type=\"hidden\" name=\"noun\" value=\"%s\"><input "
              "type=\"hidden\" name=\"id\" value=\"%lld\"><button "
              "type=\"submit\" name=\"do\" value=\"%s\">%s</button>",
              now->noun->name, (long long)now->id,
              now->withdrawn ? "back" : "withdraw",
              now->withdrawn ? "Bring back" : "Withdraw");
    html_addf(&r->out,
              " <a class=\"btn\" href=\"/history?noun=%s&amp;id=%lld\">Its "
              "history</a></form>\n",
              now->noun->name, (long long)now->id);
    if (used.len)
        html_addf(&r->out, "<p class=\"small quiet\">Named by %s.</p>\n",
                  text_str(&used));
    text_clear(&used);
    return ok;
}

/* why: what is wrong with the form that was sent, or NULL. */
static bool show(struct request *r, const struct noun *noun, int64_t id,
                 const struct error *why, struct error *err)
{
    struct record now = {0};
    struct text title = {0};
    bool ok;

    if (id && !record_read(r->book, noun->id, id, &now, err))
        return false;
    text_addf(&title, id ? "%s %s" : "new %s", noun->name, now.label);
    page_begin(r, text_str(&title), "Cupboard");
    html_addf(&r->out, "<div class=\"head\"><h1>%s</h1><p>%s%s</p></div>\n",
              text_str(&title), noun->help, now.withdrawn ? " Withdrawn." : "");
    ok = add_form(r, noun, id ? &now : NULL, why, err);
    ok = ok && (!id || add_withdraw(r, &now, err));
    page_end(r);
    if (why)
        r->status = 400;
    text_clear(&title);
    record_clear(&now);
    return ok;
}

bool record_page(struct request *r, struct error *err)
{
    long long id;
    const struct noun *noun = which(r, &id);

    return noun ? show(r, noun, id, NULL, err)
                : error_set(err, ERR_MISSING, "there is no such record");
}

/* The skein that a reading, a sight or a test is of, or 0. */
static int64_t skein_of(struct request *r, const struct noun *noun, int64_t id)
{
    struct record rec;
    struct error none;
    const struct record_field *skein;
    int64_t of = 0;

    if ((noun->id != NOUN_READING && noun->id != NOUN_SIGHT &&
         noun->id != NOUN_TEST) ||
        !record_read(r->book, noun->id, id, &rec, &none))
        return 0;
    skein = record_get(&rec, "skein");
    if (skein)
        of = skein->ref_id;
    record_clear(&rec);
    return of;
}

/* Back to the photo, with the card to go by; a white or black lies beside that
 * one. */
static void address_of_photo(struct request *r, int64_t card, struct text *out)
{
    struct measure_card values = {0};
    struct error none;
    bool beside = card_values(r->book, &card, &values, &none) && values.known &&
                  !known_is_grey(values.lab);

    text_addf(out, "/measure/%lld?%s=%lld", measured_photo(r),
              beside ? "beside" : "card", (long long)card);
}

/* Where a record is looked at. */
static void address_of(struct request *r, const struct noun *noun, int64_t id,
                       struct text *out)
{
    int64_t skein = noun->id == NOUN_SKEIN ? id : skein_of(r, noun, id);
    struct text label = {0};
    struct error none;

    if (noun->id == NOUN_CARD && measured_photo(r))
        address_of_photo(r, id, out);
    else if (skein && record_label(r->book, NOUN_SKEIN, skein, &label, &none))
        html_addf(out, "/skein/%-s", text_str(&label));
    else if (noun->id == NOUN_BATH && page_bath(r, id, &label, &none))
        html_addf(out, "/bath/%-s", text_str(&label));
    else
        text_addf(out, "/record/%s/%lld", noun->name, (long long)id);
    text_clear(&label);
}

/* more: of the address, "?withdrawn=yes", or "". */
static bool finish(struct request *r, const struct noun *noun, int64_t id,
                   const char *more, bool ok, struct error *err)
{
    struct text to = {0};

    if (!ok || !book_act_end(r->book, err)) {
        book_act_cancel(r->book);
        return false;
    }
    address_of(r, noun, id, &to);
    text_add(&to, more);
    page_saved(r, text_str(&to));
    text_clear(&to);
    return true;
}

bool record_save(struct request *r, struct error *err)
{
    long long given;
    const struct noun *noun = which(r, &given);
    struct record now = {0};
    struct record_value *values;
    struct error why;
    char what[48];
    int64_t id = given, other;
    size_t n;
    bool ok;

    if (!noun)
        return error_set(err, ERR_MISSING, "there is no such record");
    if (given && !record_read(r->book, noun->id, given, &now, err))
        return false;
    values = mem_new(noun->field_count, sizeof *values);
    n = changed(r, noun, given ? &now : NULL, values);
    other = pairs_get(&r->form, "join") ? namesake(r, noun, given) : 0;
    if (other)
        id = other;
    snprintf(what, sizeof what, "%s %s", noun->name,
             given ? (other ? "join" : "edit") : "add");
    if (given && !n) {
        struct text to = {0};
        address_of(r, noun, given, &to);
        request_go(r, "%s", text_str(&to));
        text_clear(&to);
        ok = true;
    } else {
        ok = book_act_begin(r->book, what, &why) &&
             (other ? record_join(r->book, given, other, &why)
              : given
                  ? record_edit(r->book, noun->id, given, values, n, NULL, &why)
                  : record_add(r->book, noun->id, values, n, &id, NULL, &why));
        ok = finish(r, noun, id, "", ok, &why);
        if (!ok)
            /* The form comes back with what was typed in it. */
            ok = why.kind == ERR_STORE ? (*err = why, false)
                                       : show(r, noun, given, &why, err);
    }
    free(values);
    record_clear(&now);
    return ok;
}

bool withdraw_do(struct request *r, struct error *err)
{
    const char *name = pairs_get(&r->form, "noun");
    const char *words = pairs_get(&r->form, "id");
    const char *how = pairs_get(&r->form, "do");
    const struct noun *noun = name ? noun_find(name) : NULL;
    long long id;
    bool away = how && !strcmp(how, "withdraw");

    if (!noun || !words || !text_whole(words, &id) || !how)
        return error_set(err, ERR_INPUT, "say which record");
    return book_act_begin(r->book, away ? "withdraw" : "back", err) &&
           finish(r, noun, id, away ? "?withdrawn=yes" : "",
                  record_withdraw(r->book, noun->id, id, away, err), err);
}

/* ---- the cupboard ----------------------------------------------------------
 */

static bool add_shelf(struct request *r, enum noun_id id, struct error *err)
{
    const struct noun *noun = &nouns[id];
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = record_ids(r->book, id, false, &ids, &n, err);

    html_addf(&r->out,
              "<section class=\"shelf\" aria-labelledby=\"s-%s\"><h2 "
              "id=\"s-%s\">%s</h2>\n<p class=\"quiet\">%s</p>\n<ul>\n",
              noun->name, noun->name, noun->plural, noun->help);
    for (size_t i = 0; ok && i < n; i++) {
        struct text label = {0};
        ok = record_label(r->book, id, ids[i], &label, err);
        html_addf(&r->out, "<li><a href=\"/record/%s/%lld\">%s</a></li>\n",
                  noun->name, (long long)ids[i], text_str(&label));
        text_clear(&label);
    }
    html_addf(&r->out,
              "</ul>\n<p><a class=\"btn\" href=\"/record/%s\">New %s</a></p>\n"
              "</section>\n",
              noun->name, noun->name);
    free(ids);
    return ok;
}

bool cupboard_page(struct request *r, struct error *err)
{
    static const enum noun_id shelves[] = {NOUN_MATERIAL, NOUN_SUPPLY,
                                           NOUN_FIBRE,    NOUN_WATER,
                                           NOUN_CARD,     NOUN_DYER};
    bool ok = true;

    page_begin(r, "The cupboard", "Cupboard");
    text_add(&r->out, "<div class=\"head\"><h1>The cupboard</h1><p>What is "
                      "used again and again. A name corrected here is "
                      "corrected everywhere.</p></div>\n"
                      "<div class=\"shelves\">\n");
    for (size_t i = 0; ok && i < ARRAY_LEN(shelves); i++)
        ok = add_shelf(r, shelves[i], err);
    text_add(&r->out, "</div>\n<p class=\"more\"><a href=\"/withdrawn\">What "
                      "was withdrawn</a></p>\n");
    page_end(r);
    return ok;
}
