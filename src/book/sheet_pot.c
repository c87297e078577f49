/* All that is known of one pot. See book/sheet.h. */
#include "book/sheet.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/sheet_part.h"
#include "book/shelf.h"
#include "book/store.h"

/* The ids a statement finds for one. */
static bool ids_of(struct book *book, enum stmt_id find, int64_t of,
                   int64_t **ids, size_t *count, struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, find, &q, err))
        return false;
    stmt_int(&q, ":of", of);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        *ids = mem_room(*ids, *count, sizeof **ids);
        (*ids)[(*count)++] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    return ok;
}

/* The sets a skein had after one entry. */
static bool sets_after(struct book *book, int64_t entry,
                       const struct names *names, struct sheet_entry *out,
                       struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_SHEET_SETS, &q, err))
        return false;
    stmt_int(&q, ":of", entry);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row) {
        out->mordants = names_of_set(names, stmt_get_text(&q, 0));
        out->dips = names_of_set(names, stmt_get_text(&q, 1));
    }
    stmt_done(&q);
    return true;
}

static void add_mordants(const struct sheet_doses *doses, struct text *out)
{
    for (size_t i = 0; i < doses->count; i++) {
        const struct sheet_dose *d = &doses->dose[i];
        if (strcmp(d->role, "mordant") != 0)
            continue;
        text_addf(out, "%s%s%s%s", out->len ? ", " : "", d->what,
                  d->words ? " " : "", d->words ? d->words : "");
    }
}

/* Its mordants up to one entry, and how much of each was said. */
static bool mordants_upto(struct book *book, int64_t entry,
                          struct sheet_entry *out, struct error *err)
{
    struct text much = {0};
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = ids_of(book, STMT_SHEET_UPTO, entry, &ids, &n, err);

    for (size_t i = 0; ok && i < n; i++) {
        struct sheet_doses doses = {0};
        ok = sheet_doses_of(book, ids[i], &doses, err);
        if (ok)
            add_mordants(&doses, &much);
        sheet_doses_clear(&doses);
    }
    free(ids);
    out->mordants_much = much.len ? text_take(&much) : NULL;
    text_clear(&much);
    return ok;
}

static bool read_entry(struct book *book, int64_t id, const struct names *names,
                       struct sheet_entry *out, struct error *err)
{
    struct ask_filter any = ask_filter_any();
    enum ask_lack why;
    int64_t skein;

    if (!record_read(book, NOUN_ENTRY, id, &out->entry, err))
        return false;
    skein = record_get(&out->entry, "skein")->ref_id;
    if (!ask_skein(book, skein, &any, &out->skein, err) ||
        !sets_after(book, id, names, out, err) ||
        !mordants_upto(book, id, out, err) ||
        !shelf_reading(book, skein, id, &any, &out->reading, &why, err))
        return false;
    out->has_colour = why == ASK_HAS_COLOUR;
    return true;
}

static bool read_round(struct book *book, int64_t treatment,
                       const struct names *names, struct sheet_round *out,
                       struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok =
        record_read(book, NOUN_TREATMENT, treatment, &out->treatment, err) &&
        sheet_ph_of(book, treatment, &out->ph, err) &&
        ids_of(book, STMT_ROUND_ENTRIES, treatment, &ids, &n, err);

    out->entry = mem_new(n, sizeof *out->entry);
    for (size_t i = 0; ok && i < n; i++) {
        out->entries++;
        ok = read_entry(book, ids[i], names, &out->entry[i], err);
    }
    free(ids);
    return ok;
}

static int by_skein(const void *x, const void *y)
{
    const struct sheet_entry *a = x, *b = y;

    if (a->skein.mine != b->skein.mine)
        return a->skein.mine ? -1 : 1;
    return (a->skein.number > b->skein.number) -
           (a->skein.number < b->skein.number);
}

static bool read_rounds(struct book *book, int64_t bath, struct pot_sheet *out,
                        struct error *err)
{
    struct names names = {0};
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = names_load(book, &names, err) &&
              ids_of(book, STMT_SHEET_ROUNDS, bath, &ids, &n, err);

    out->round = mem_new(n, sizeof *out->round);
    for (size_t i = 0; ok && i < n; i++) {
        out->rounds++;
        ok = read_round(book, ids[i], &names, &out->round[i], err);
        if (ok && out->round[i].entries > 1)
            qsort(out->round[i].entry, out->round[i].entries,
                  sizeof *out->round[i].entry, by_skein);
    }
    free(ids);
    names_free(&names);
    return ok;
}

static void find_skipped(struct pot_sheet *s)
{
    int64_t next = 0;

    for (size_t i = 0; i < s->rounds; i++) {
        const struct record_field *f =
            record_get(&s->round[i].treatment, "round");
        if (!f)
            continue;
        for (; next < (int64_t)f->low; next++) {
            s->skipped =
                mem_resize(s->skipped, s->skips + 1, sizeof *s->skipped);
            s->skipped[s->skips++] = next;
        }
        next = (int64_t)f->low + 1;
    }
}

/* pH values of the bath that belong to no treatment. */
static bool read_ph(struct book *book, int64_t bath, struct pot_sheet *out,
                    struct error *err)
{
    size_t kept = 0;

    if (!sheet_records(book, NOUN_PH, "bath", bath, &out->ph, &out->phs, err))
        return false;
    for (size_t i = 0; i < out->phs; i++)
        if (record_get(&out->ph[i], "treatment"))
            record_clear(&out->ph[i]);
        else
            out->ph[kept++] = out->ph[i];
    out->phs = kept;
    return true;
}

bool sheet_of_pot(struct book *book, int64_t bath, struct pot_sheet *out,
                  struct error *err)
{
    *out = (struct pot_sheet){0};
    if (record_read(book, NOUN_BATH, bath, &out->bath, err) &&
        sheet_doses_of_bath(book, bath, &out->doses, err) &&
        sheet_records(book, NOUN_POUR, "bath", bath, &out->pour, &out->pours,
                      err) &&
        sheet_records(book, NOUN_POUR, "parent", bath, &out->into, &out->intos,
                      err) &&
        sheet_records(book, NOUN_EXTRACTION, "bath", bath, &out->extraction,
                      &out->extractions, err) &&
        read_ph(book, bath, out, err) && read_rounds(book, bath, out, err)) {
        find_skipped(out);
        return true;
    }
    pot_sheet_clear(out);
    return false;
}

static bool read_name(struct book *book, int64_t bath, struct pot_head *out,
                      struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_POT_NAME, &q, err))
        return false;
    stmt_int(&q, ":of", bath);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row)
        out->name = mem_text(stmt_get_text(&q, 0));
    stmt_done(&q);
    return row || error_set(err, ERR_MISSING, "there is no bath #%lld",
                            (long long)bath);
}

static bool add_first_doses(struct book *book, int64_t bath, struct text *out,
                            struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, STMT_POT_FIRST_DOSES, &q, err))
        return false;
    stmt_int(&q, ":of", bath);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        text_add(out, out->len ? ", " : "");
        text_add(out, stmt_get_text(&q, 0));
        text_add(out, " ");
        text_add(out, stmt_get_text(&q, 1));
    }
    stmt_done(&q);
    return ok;
}

static bool add_first_ph(struct book *book, int64_t bath, struct text *out,
                         struct error *err)
{
    struct stmt q;
    bool row, ok;
    size_t n = 0;

    if (!stmt_begin(book, STMT_POT_FIRST_PH, &q, err))
        return false;
    stmt_int(&q, ":of", bath);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        text_add(out, n++ ? " and " : out->len ? ", pH " : "pH ");
        text_add(out, stmt_get_text(&q, 0));
    }
    stmt_done(&q);
    return ok;
}

bool sheet_of_pot_head(struct book *book, int64_t bath, struct pot_head *out,
                       struct error *err)
{
    struct text facts = {0};
    bool ok;

    *out = (struct pot_head){0};
    ok = read_name(book, bath, out, err) &&
         add_first_doses(book, bath, &facts, err) &&
         add_first_ph(book, bath, &facts, err);
    out->facts = text_take(&facts);
    if (!ok)
        pot_head_clear(out);
    return ok;
}

void pot_head_clear(struct pot_head *head)
{
    free(head->name);
    free(head->facts);
    *head = (struct pot_head){0};
}

static void entry_clear(struct sheet_entry *e)
{
    ask_skein_clear(&e->skein);
    if (e->entry.noun)
        record_clear(&e->entry);
    free(e->mordants);
    free(e->mordants_much);
    free(e->dips);
}

void pot_sheet_clear(struct pot_sheet *s)
{
    for (size_t i = 0; i < s->rounds; i++) {
        struct sheet_round *r = &s->round[i];
        for (size_t k = 0; k < r->entries; k++)
            entry_clear(&r->entry[k]);
        free(r->entry);
        free(r->ph);
        if (r->treatment.noun)
            record_clear(&r->treatment);
    }
    free(s->round);
    free(s->skipped);
    sheet_doses_clear(&s->doses);
    sheet_records_clear(s->pour, s->pours);
    sheet_records_clear(s->into, s->intos);
    sheet_records_clear(s->extraction, s->extractions);
    sheet_records_clear(s->ph, s->phs);
    if (s->bath.noun)
        record_clear(&s->bath);
    *s = (struct pot_sheet){0};
}
