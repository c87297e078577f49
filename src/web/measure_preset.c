/* What stands in the form of measuring when it opens. See measure_preset.h. */
#include "measure_preset.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

void preset_words(struct box b, struct text *out)
{
    text_addf(out, "%lld,%lld,%lld,%lld", (long long)b.x, (long long)b.y,
              (long long)b.w, (long long)b.h);
}

void preset_box(struct request *r, const char *field, struct box b)
{
    struct text words = {0};

    preset_words(b, &words);
    pairs_add(&r->form, field, text_str(&words));
    text_clear(&words);
}

bool preset_card(struct request *r, const struct measure_job *job, bool *known,
                 struct error *err)
{
    const char *asked = pairs_get(&r->query, "card");
    struct measure_card card;
    struct box box = {0};
    long long number;
    int64_t id = asked && text_whole(asked, &number) ? number : 0;
    char words[24];

    if (!card_values(r->book, &id, &card, err) ||
        !photo_card_box(r->book, job->photo.id, &box, known, err))
        return false;
    snprintf(words, sizeof words, "#%lld", (long long)id);
    pairs_add(&r->form, "card", id ? words : "unknown");
    if (*known)
        preset_box(r, "card-box", box);
    return true;
}

/* ---- found --------------------------------------------------------------- */

static void add_row(struct request *r, const struct box *box, const char *as,
                    const char *who)
{
    if (box)
        preset_box(r, "box", *box);
    else
        pairs_add(&r->form, "box", "");
    pairs_add(&r->form, "as", as);
    pairs_add(&r->form, "who", who);
}

void preset_found(struct request *r, const struct find_result *found)
{
    const char *skein = pairs_get(&r->query, "skein");

    if (found && found->card.found)
        preset_box(r, "card-box", found->card.box);
    if (!found || found->skeins < 2)
        add_row(r, found && found->skeins ? &found->skein[0].box : NULL,
                "skein", skein);
    for (size_t i = 0; found && found->skeins > 1 && i < found->skeins; i++)
        add_row(r, &found->skein[i].box, "look", NULL);
}

/* ---- measured before ----------------------------------------------------- */

static struct box box_of(const struct record *region)
{
    return (struct box){(int64_t)record_get(region, "x")->low,
                        (int64_t)record_get(region, "y")->low,
                        (int64_t)record_get(region, "w")->low,
                        (int64_t)record_get(region, "h")->low};
}

/* The place of that skein or yarn in the list, at its end when it is new. */
static struct kept_place *place_for(struct kept_place **list, size_t *n,
                                    bool skein, int64_t id)
{
    for (size_t i = 0; i < *n; i++)
        if ((*list)[i].skein == skein && (*list)[i].id == id)
            return &(*list)[i];
    *list = mem_room(*list, *n, sizeof **list);
    (*list)[*n] = (struct kept_place){.skein = skein, .id = id};
    return &(*list)[(*n)++];
}

static bool add_region(struct book *book, int64_t id, struct kept_place **list,
                       size_t *n, struct error *err)
{
    struct record region, reading = {0};
    const struct record_field *skein, *whose;
    struct kept_place *p;
    bool ok;

    if (!record_read(book, NOUN_REGION, id, &region, err))
        return false;
    ok = record_read(book, NOUN_READING, record_get(&region, "reading")->ref_id,
                     &reading, err);
    skein = ok ? record_get(&reading, "skein") : NULL;
    whose = skein || !ok ? skein : record_get(&reading, "fibre");
    if (whose && !reading.withdrawn) {
        p = place_for(list, n, skein != NULL, whose->ref_id);
        snprintf(p->label, sizeof p->label, "%s", whose->words);
        p->box = box_of(&region);
    }
    record_clear(&reading);
    record_clear(&region);
    return ok;
}

bool kept_places(struct book *book, int64_t photo, struct kept_place **out,
                 size_t *n, struct error *err)
{
    int64_t *ids = NULL;
    size_t count = 0;
    bool ok =
        record_children(book, NOUN_REGION, "photo", photo, &ids, &count, err);

    *out = NULL;
    *n = 0;
    for (size_t i = 0; ok && i < count; i++)
        ok = add_region(book, ids[i], out, n, err);
    free(ids);
    return ok;
}

bool preset_measured(struct request *r, const struct measure_job *job,
                     bool *any, struct error *err)
{
    const char *asked = pairs_get(&r->query, "skein");
    struct kept_place *place;
    size_t n;
    bool there = false;

    if (!kept_places(r->book, job->photo.id, &place, &n, err))
        return false;
    *any = n > 0;
    for (size_t i = 0; i < n && i < MEASURE_MAX_REGIONS; i++) {
        const struct kept_place *p = &place[i];
        const bool again = asked && p->skein && !strcmp(p->label, asked);

        there = there || again;
        add_row(r, &p->box, again ? "skein" : "look", p->label);
    }
    if (!n || (asked && !there))
        add_row(r, NULL, "skein", asked);
    free(place);
    return true;
}
