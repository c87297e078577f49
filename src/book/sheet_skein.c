/* All that is known of one skein. See book/sheet.h. */
#include "book/sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/cut.h"
#include "book/sheet_part.h"

/* Moves the readings taken after an entry out of the heap of them all. */
static void move_readings(struct sheet_readings *from, int64_t entry,
                          struct sheet_readings *to)
{
    size_t kept = 0;

    for (size_t i = 0; i < from->count; i++) {
        if (from->reading[i].after_entry_id != entry) {
            from->reading[kept++] = from->reading[i];
            continue;
        }
        to->reading =
            mem_resize(to->reading, to->count + 1, sizeof *to->reading);
        to->reading[to->count++] = from->reading[i];
    }
    from->count = kept;
}

/* Readings of another skein, before this one was cut from it. */
static bool readings_then(struct book *book, const struct life_event *event,
                          struct sheet_readings *out, struct error *err)
{
    struct sheet_readings all;
    bool ok = sheet_readings_of(book, event->skein_id, &all, err);

    move_readings(&all, event->entry_id, out);
    sheet_readings_clear(&all);
    return ok;
}

/* Whether others went into the same skein. */
static bool is_plied(const struct life *life, const struct life_event *cut)
{
    for (size_t i = 0; cut->kind == LIFE_CUT && i < life->count; i++)
        if (life->event[i].kind == LIFE_CUT &&
            life->event[i].into_id == cut->into_id &&
            life->event[i].origin_id != cut->origin_id)
            return true;
    return false;
}

static bool read_step(struct book *book, const struct life_event *event,
                      int64_t skein, struct sheet_step *out,
                      struct sheet_readings *readings, struct error *err)
{
    *out =
        (struct sheet_step){.event = *event, .own = event->skein_id == skein};
    if (event->kind == LIFE_CUT)
        return true;
    if (out->own)
        move_readings(readings, event->entry_id, &out->readings);
    else if (!readings_then(book, event, &out->readings, err))
        return false;
    return record_read(book, NOUN_TREATMENT, event->treatment_id,
                       &out->treatment, err) &&
           record_read(book, NOUN_ENTRY, event->entry_id, &out->entry, err) &&
           sheet_doses_of(book, event->treatment_id, &out->doses, err) &&
           sheet_ph_of(book, event->treatment_id, &out->ph, err);
}

/* ---- what is not recorded ---------------------------------------------------
 */

static void lack(struct skein_sheet *s, const char *before, const char *what)
{
    struct text t = {0};

    text_addf(&t, "%s%s", before, what);
    for (size_t i = 0; i < s->lacks; i++)
        if (!strcmp(s->lacking[i], text_str(&t))) {
            text_clear(&t);
            return;
        }
    s->lacking = mem_resize(s->lacking, s->lacks + 1, sizeof *s->lacking);
    s->lacking[s->lacks++] = text_take(&t);
}

static void lack_field(struct skein_sheet *s, const struct record *r,
                       const char *field, const char *called)
{
    if (!record_get(r, field))
        lack(s, "", called);
}

static bool is_dye(const struct sheet_step *step)
{
    return step->event.kind == LIFE_STEP &&
           (!strcmp(step->event.treatment, "dye") ||
            !strcmp(step->event.treatment, "vat"));
}

/* What was not dry can be weighed dry the next time only by its factor, which
 * stands with the dose or with what it was taken of. */
static bool lack_of_factor(struct book *book, struct skein_sheet *s,
                           const struct sheet_dose *d, struct error *err)
{
    const struct {
        enum noun_id noun;
        int64_t id;
    } of[] = {{NOUN_DOSE, d->id}, {NOUN_SUPPLY, d->supply_id}};
    bool known = !d->state || !strcmp(d->state, "dry");

    for (size_t i = 0; !known && i < ARRAY_LEN(of); i++) {
        struct record r;
        if (!of[i].id)
            continue;
        if (!record_read(book, of[i].noun, of[i].id, &r, err))
            return false;
        known = record_get(&r, "fresh-per-dry") != NULL;
        record_clear(&r);
    }
    if (!known)
        lack(s, "how much fresh weighs one dry: ", d->what);
    return true;
}

/* Of the last dyeing: what somebody who would repeat it has to know. */
static bool lack_of_dyeing(struct book *book, struct skein_sheet *s,
                           const struct sheet_step *step, struct error *err)
{
    bool vat = !strcmp(step->event.treatment, "vat");
    bool dyestuff = false;

    for (size_t i = 0; i < step->doses.count; i++) {
        const struct sheet_dose *d = &step->doses.dose[i];
        dyestuff = dyestuff || !strcmp(d->role, "dyestuff");
        if (strcmp(d->role, "dyestuff") && strcmp(d->role, "mordant"))
            continue;
        if (!d->words || (d->known && !strcmp(d->known, "unknown")))
            lack(s, "how much ", d->what);
        else if (d->state == NULL && !strcmp(d->role, "dyestuff") &&
                 !isnan(d->low_g))
            lack(s, "whether fresh or dry: ", d->what);
        if (!lack_of_factor(book, s, d, err))
            return false;
    }
    if (!dyestuff)
        lack(s, "", "dyestuff");
    if (!vat && !s->now.mordants)
        lack(s, "", "mordant");
    lack_field(s, &step->treatment, "on", "day");
    if (!step->ph)
        lack(s, "", "pH");
    lack_field(s, &step->treatment, "temperature", "temperature");
    lack_field(s, &step->treatment, "minutes", "minutes");
    return true;
}

/* A weight in words only, or taken wet, is none. */
static bool has_dry_weight(const struct record *skein)
{
    const struct record_field *weight = record_get(skein, "weight");
    const struct record_field *weighed = record_get(skein, "weighed");

    return weight && !isnan(weight->low) &&
           !(weighed && text_same(weighed->words, "wet"));
}

static bool find_lacks(struct book *book, struct skein_sheet *s,
                       struct error *err)
{
    const struct sheet_step *last = NULL;

    lack_field(s, &s->skein, "fibre", "fibre");
    if (!has_dry_weight(&s->skein))
        lack(s, "", "dry weight");
    for (size_t i = 0; i < s->steps; i++) {
        const struct sheet_step *step = &s->step[i];
        if (is_dye(step))
            last = step;
        for (size_t k = 0; step->event.kind == LIFE_STEP && !is_dye(step) &&
                           k < step->doses.count;
             k++)
            if (!step->doses.dose[k].words && !step->doses.dose[k].none &&
                strcmp(step->doses.dose[k].role, "cleanser"))
                lack(s, "how much ", step->doses.dose[k].what);
    }
    if (last) {
        if (!lack_of_dyeing(book, s, last, err))
            return false;
        if (last->event.bath) {
            const struct record_field *f = record_get(&last->treatment, "bath");
            struct record bath;
            if (!record_read(book, NOUN_BATH, f->ref_id, &bath, err))
                return false;
            lack_field(s, &bath, "water", "water");
            record_clear(&bath);
        }
    }
    if (!ask_skein_colour(&s->now))
        lack(s, "", "its colour now");
    return true;
}

static bool find_pictures(struct book *book, struct skein_sheet *s,
                          struct error *err)
{
    bool ok = true;

    s->picture = mem_new(s->sights, sizeof *s->picture);
    for (size_t i = 0; ok && i < s->sights; i++) {
        const struct record_field *photo = record_get(&s->sight[i], "photo");
        ok = !photo ||
             record_read(book, NOUN_PHOTO, photo->ref_id, &s->picture[i], err);
    }
    return ok;
}

/* What is left by the weights, of a skein that others were cut from. */
static bool find_left(struct book *book, struct skein_sheet *s,
                      struct error *err)
{
    const struct record_field *f = record_get(&s->skein, "weight");
    struct text into = {0};
    bool up, ok = cut_all_of(book, s->skein.id, &up, err);

    if (ok && up) {
        ok = cut_into(book, s->skein.id, &into, err);
        s->cut_up = text_take(&into);
    }
    s->left_g = (double)NAN;
    return ok && (!f || isnan(f->low) ||
                  cut_left(book, s->skein.id, (f->low + f->high) / 2,
                           &s->left_g, err));
}

/* ---- the whole --------------------------------------------------------------
 */

bool sheet_of_skein(struct book *book, int64_t skein, struct skein_sheet *out,
                    struct error *err)
{
    struct ask_filter any = ask_filter_any();
    struct sheet_readings readings = {0};
    bool ok;

    *out = (struct skein_sheet){0};
    ok = record_read(book, NOUN_SKEIN, skein, &out->skein, err) &&
         ask_skein(book, skein, &any, &out->now, err) &&
         ask_life(book, skein, &out->life, err) &&
         sheet_readings_of(book, skein, &readings, err);
    out->step = mem_new(out->life.count, sizeof *out->step);
    for (size_t i = 0; ok && i < out->life.count; i++) {
        out->steps++;
        ok = read_step(book, &out->life.event[i], skein, &out->step[i],
                       &readings, err);
    }
    for (size_t i = 0; i < out->steps; i++)
        out->step[i].plied = is_plied(&out->life, &out->life.event[i]);
    /* What is left was taken before any step, or after one withdrawn since. */
    out->before = readings;
    ok = ok &&
         sheet_records(book, NOUN_ORIGIN, "parent", skein, &out->piece,
                       &out->pieces, err) &&
         sheet_records(book, NOUN_SIGHT, "skein", skein, &out->sight,
                       &out->sights, err) &&
         find_pictures(book, out, err) && find_left(book, out, err) &&
         find_lacks(book, out, err);
    if (!ok)
        skein_sheet_clear(out);
    return ok;
}

void skein_sheet_clear(struct skein_sheet *s)
{
    for (size_t i = 0; i < s->steps; i++) {
        struct sheet_step *step = &s->step[i];
        if (step->treatment.noun)
            record_clear(&step->treatment);
        if (step->entry.noun)
            record_clear(&step->entry);
        sheet_doses_clear(&step->doses);
        sheet_readings_clear(&step->readings);
        free(step->ph);
    }
    free(s->step);
    sheet_readings_clear(&s->before);
    sheet_records_clear(s->piece, s->pieces);
    sheet_records_clear(s->sight, s->sights);
    sheet_records_clear(s->picture, s->picture ? s->sights : 0);
    for (size_t i = 0; i < s->lacks; i++)
        free(s->lacking[i]);
    free(s->lacking);
    free(s->cut_up);
    life_clear(&s->life);
    ask_skein_clear(&s->now);
    if (s->skein.noun)
        record_clear(&s->skein);
    *s = (struct skein_sheet){0};
}
