/* What was put away, each with the way back. */
#include <stdlib.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/record.h"
#include "page.h"
#include "routes.h"

/* What it is part of was put away too and brings it back. */
static bool waits(struct request *r, const struct record *rec, bool *is,
                  struct error *err)
{
    *is = false;
    for (size_t i = 0; i < rec->noun->field_count && !*is; i++) {
        struct record other;
        if (!rec->field[i].ref_id)
            continue;
        if (!record_read(r->book, rec->noun->fields[i].ref,
                         rec->field[i].ref_id, &other, err))
            return false;
        *is = other.withdrawn;
        record_clear(&other);
    }
    return true;
}

/* Things are always listed; what belongs to others is when those are there. */
static bool is_listed(struct request *r, const struct record *rec, bool *is,
                      struct error *err)
{
    static const enum noun_id things[] = {
        NOUN_DYER,  NOUN_MATERIAL, NOUN_SUPPLY, NOUN_FIBRE, NOUN_WATER,
        NOUN_SKEIN, NOUN_BATH,     NOUN_PHOTO,  NOUN_CARD,  NOUN_PROJECT};
    bool waiting;

    for (size_t i = 0; i < ARRAY_LEN(things); i++)
        if (rec->noun->id == things[i]) {
            *is = true;
            return true;
        }
    if (!waits(r, rec, &waiting, err))
        return false;
    *is = !waiting;
    return true;
}

static void add_row(struct request *r, const struct record *rec)
{
    const struct record_field *lab = record_get(rec, "lab");
    struct text *o = &r->out, said = {0};

    record_said(rec->noun, rec->label, &said);
    html_addf(o, "<li><a href=\"/record/%s/%lld\">%s</a>", rec->noun->name,
              (long long)rec->id, text_str(&said));
    if (lab)
        html_addf(o, " <span class=\"quiet\">%s</span>", lab->words);
    text_clear(&said);
    page_form(r, "/withdraw", "class=\"acts\"");
    html_addf(o,
              "<input type=\"hidden\" name=\"noun\" value=\"%s\"><input "
              "type=\"hidden\" name=\"id\" value=\"%lld\"><button "
              "type=\"submit\" name=\"do\" value=\"back\">Bring back</button>"
              "</form></li>\n",
              rec->noun->name, (long long)rec->id);
}

static bool add_rows(struct request *r, const struct noun *noun, size_t *shown,
                     struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = record_ids_withdrawn(r->book, noun->id, &ids, &n, err), listed;

    for (size_t i = 0; ok && i < n; i++) {
        struct record rec;
        if (!(ok = record_read(r->book, noun->id, ids[i], &rec, err)))
            break;
        if ((ok = is_listed(r, &rec, &listed, err)) && listed) {
            add_row(r, &rec);
            ++*shown;
        }
        record_clear(&rec);
    }
    free(ids);
    return ok;
}

bool withdrawn_page(struct request *r, struct error *err)
{
    size_t shown = 0;
    bool ok = true;

    page_begin(r, "Withdrawn", NULL);
    text_add(&r->out, "<div class=\"head\"><h1>Withdrawn</h1><p>Put away, "
                      "never lost. What was put away together comes back "
                      "together.</p></div>\n<ul class=\"ways\">\n");
    for (size_t i = 0; ok && i < noun_count; i++)
        ok = add_rows(r, &nouns[i], &shown, err);
    text_add(&r->out, shown ? "</ul>\n" : "<li>Nothing is.</li></ul>\n");
    page_end(r);
    return ok;
}
