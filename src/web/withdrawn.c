/* What was put away, each with the way back. */
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/history.h"
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

/* ---- what was put away when an act was taken back --------------------------
 */

struct away {
    const struct noun *noun;
    int64_t id;
    int64_t act;   /* that took back the one it came with; 0: it was put away */
    char *said;    /* "skein 3" */
    char *lab;     /* of a reading or a card, or NULL */
    bool is_shown; /* in the line of another */
};

struct aways {
    struct away *one;
    size_t count;
};

static void aways_clear(struct aways *a)
{
    for (size_t i = 0; i < a->count; i++) {
        free(a->one[i].said);
        free(a->one[i].lab);
    }
    free(a->one);
}

static void find_changed(struct aways *a, const struct history_change *c,
                         int64_t act)
{
    if (!c->noun || !c->field || strcmp(c->field, "withdrawn") != 0)
        return;
    for (size_t i = 0; i < a->count; i++)
        if (a->one[i].noun == c->noun && a->one[i].id == c->record)
            a->one[i].act = act;
}

/* Marks each with the act to be taken back so that it comes back with what it
 * came with, when nothing stands in the way of that. */
static bool find_acts(struct request *r, struct aways *a, struct error *err)
{
    struct history_act *acts;
    size_t n;
    bool ok = history_acts_all(r->book, &acts, &n, err);

    if (!ok)
        return false;
    for (size_t i = n; ok && i-- > 0;) { /* the oldest first */
        struct history_change *c;
        size_t changes;
        int64_t later = 0;

        if (!acts[i].undoes || acts[i].undone)
            continue;
        ok = history_later(r->book, acts, n, acts[i].id, &later, err);
        if (!ok || later)
            continue;
        ok = history_changes(r->book, acts[i].id, NULL, 0, &c, &changes, err);
        for (size_t k = 0; ok && k < changes; k++)
            find_changed(a, &c[k], acts[i].id);
        if (ok)
            history_changes_free(c, changes);
    }
    history_acts_free(acts, n);
    return ok;
}

/* ---- the list --------------------------------------------------------------
 */

static size_t count_of(const struct aways *a, int64_t act,
                       const struct noun *noun)
{
    size_t n = 0;

    for (size_t i = 0; i < a->count; i++)
        n += a->one[i].act == act && (!noun || a->one[i].noun == noun);
    return n;
}

/* "project blanket stripe, 7 skeins": what an act had made. */
static void add_together(struct request *r, const struct aways *a, int64_t act)
{
    struct text *o = &r->out;
    const char *gap = "";

    text_add(o, "<li><span class=\"came\">");
    for (size_t i = noun_count; i-- > 0;) {
        const size_t n = count_of(a, act, &nouns[i]);

        for (size_t k = 0; n == 1 && k < a->count; k++)
            if (a->one[k].act == act && a->one[k].noun == &nouns[i])
                html_addf(o, "%s<a href=\"/record/%s/%lld\">%s</a>", gap,
                          nouns[i].name, (long long)a->one[k].id,
                          a->one[k].said);
        if (n > 1)
            html_addf(o, "%s%zu %s", gap, n, nouns[i].plural);
        if (n)
            gap = ", ";
    }
    text_add(o, "</span>");
    page_form(r, "/undo", "class=\"acts\"");
    page_way_back(r);
    html_addf(o,
              "<input type=\"hidden\" name=\"act\" value=\"%lld\"><button "
              "type=\"submit\">Bring back</button></form></li>\n",
              (long long)act);
    for (size_t i = 0; i < a->count; i++)
        a->one[i].is_shown = a->one[i].is_shown || a->one[i].act == act;
}

static void add_row(struct request *r, const struct away *a)
{
    struct text *o = &r->out;

    html_addf(o, "<li><a href=\"/record/%s/%lld\">%s</a>", a->noun->name,
              (long long)a->id, a->said);
    if (a->lab)
        html_addf(o, " <span class=\"quiet\">%s</span>", a->lab);
    page_form(r, "/withdraw", "class=\"acts\"");
    html_addf(o,
              "<input type=\"hidden\" name=\"noun\" value=\"%s\"><input "
              "type=\"hidden\" name=\"id\" value=\"%lld\"><button "
              "type=\"submit\" name=\"do\" value=\"back\">Bring back</button>"
              "</form></li>\n",
              a->noun->name, (long long)a->id);
}

static void take_row(struct aways *a, const struct record *rec)
{
    const struct record_field *lab = record_get(rec, "lab");
    struct text said = {0};

    record_said(rec->noun, rec->label, &said);
    a->one = mem_room(a->one, a->count, sizeof *a->one);
    a->one[a->count++] =
        (struct away){.noun = rec->noun,
                      .id = rec->id,
                      .said = text_take(&said),
                      .lab = lab ? mem_text(lab->words) : NULL};
}

static bool take_rows(struct request *r, const struct noun *noun,
                      struct aways *a, struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = record_ids_withdrawn(r->book, noun->id, &ids, &n, err), listed;

    for (size_t i = 0; ok && i < n; i++) {
        struct record rec;
        if (!(ok = record_read(r->book, noun->id, ids[i], &rec, err)))
            break;
        if ((ok = is_listed(r, &rec, &listed, err)) && listed)
            take_row(a, &rec);
        record_clear(&rec);
    }
    free(ids);
    return ok;
}

bool withdrawn_page(struct request *r, struct error *err)
{
    struct aways a = {.count = 0};
    bool ok = true;

    for (size_t i = 0; ok && i < noun_count; i++)
        ok = take_rows(r, &nouns[i], &a, err);
    ok = ok && find_acts(r, &a, err);
    page_begin(r, "Withdrawn", NULL);
    text_add(&r->out, "<div class=\"head\"><h1>Withdrawn</h1><p>Put away, "
                      "never lost. What was put away together comes back "
                      "together.</p></div>\n<ul class=\"ways\">\n");
    for (size_t i = 0; ok && i < a.count; i++) {
        const struct away *one = &a.one[i];

        if (one->act && count_of(&a, one->act, NULL) > 1) {
            if (!one->is_shown)
                add_together(r, &a, one->act);
        } else {
            add_row(r, one);
        }
    }
    text_add(&r->out, a.count ? "</ul>\n" : "<li>Nothing is.</li></ul>\n");
    page_end(r);
    aways_clear(&a);
    return ok;
}
