/* Where in a skein's life a pot comes: behind all that is there, unless it is
 * said before which step. See book/pot.h. */
#include "book/pot_work.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ask.h"
#include "book/face.h"

/* ---- before which step ------------------------------------------------------
 */

/* The step of a skein that is meant: "2", as its life is shown, or "dye", the
 * last one. */
static bool find_step(struct work *w, struct pot_one *one, struct error *err)
{
    const char *words = w->pot->before;
    const struct life_event *found = NULL;
    struct life life;
    char *number = text_trim(words);
    long long n = 0, seen = 0;
    bool numbered = text_whole(number, &n);

    free(number);
    if (!ask_life(w->book, one->id, &life, err))
        return false;
    for (size_t i = 0; i < life.count; i++) {
        const struct life_event *e = &life.event[i];
        if (e->kind != LIFE_STEP)
            continue;
        seen++;
        if (numbered ? seen == n : text_same(e->treatment, words))
            found = e;
    }
    if (!found)
        error_set(err, ERR_INPUT,
                  "before: the life of skein %s has no \"%s\"; say what was "
                  "done, such as dye, or its number there",
                  one->label, words);
    else if (found->skein_id != one->id)
        error_set(err, ERR_INPUT,
                  "before: that was done to skein %s, which skein %s comes "
                  "from; say it of that one",
                  found->skein, one->label);
    else
        one->before = found->entry_id;
    life_clear(&life);
    return one->before != 0;
}

bool pot_before(struct work *w, struct error *err)
{
    if (!said(w->pot->before))
        return true;
    for (size_t i = 0; i < w->skeins; i++) {
        if (w->skein[i].is_new)
            return error_set(err, ERR_INPUT,
                             "before: skein %s is new and has no life yet",
                             w->skein[i].label);
        if (!find_step(w, &w->skein[i], err))
            return false;
    }
    return true;
}

bool pot_place(struct work *w, const struct pot_one *one, bool dip,
               char out[40], struct error *err)
{
    int64_t of = one->before ? one->before : one->there;
    struct stmt q;
    bool row;

    out[0] = '\0';
    if (!of)
        return true;
    if (!stmt_begin(w->book,
                    dip && !one->before ? STMT_PLACE_BEHIND : STMT_PLACE_BEFORE,
                    &q, err))
        return false;
    stmt_int(&q, ":of", of);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row)
        snprintf(out, 40, "%.17g", stmt_get_real(&q, 0));
    stmt_done(&q);
    return true;
}

/* ---- days in another order --------------------------------------------------
 */

/* A step that comes before what was logged and has a later day. */
struct later {
    char *what; /* "dye of 2026-11-25"; NULL: none */
    char *word; /* that says it behind "--before" */
};

/* Its kind, or its number when another of that kind follows. */
static bool name_step(struct work *w, const struct pot_one *one, int64_t entry,
                      char **word, struct error *err)
{
    const struct life_event *step = NULL;
    struct text number = {0};
    struct life life;
    int at = 0, seen = 0;
    bool again = false;

    if (!ask_life(w->book, one->id, &life, err))
        return false;
    for (size_t i = 0; i < life.count; i++) {
        const struct life_event *e = &life.event[i];
        if (e->kind != LIFE_STEP ||
            (e->entry_id == one->there && entry != one->there))
            continue;
        seen++;
        if (e->entry_id == entry) {
            step = e;
            at = seen;
        } else if (step && !strcmp(e->treatment, step->treatment)) {
            again = true;
        }
    }
    if (step && !again)
        text_add(&number, step->treatment);
    else
        text_addf(&number, "%d", at);
    *word = text_take(&number);
    life_clear(&life);
    return true;
}

static bool find_later(struct work *w, const struct pot_one *one,
                       struct later *out, struct error *err)
{
    struct text what = {0};
    struct stmt q;
    int64_t entry;
    bool row;

    if (one->is_new || !one->there)
        return true;
    if (!stmt_begin(w->book, STMT_ENTRY_EARLIER, &q, err))
        return false;
    stmt_int(&q, ":of", one->there);
    if (!stmt_step(&q, &row, err))
        return false;
    if (!row) {
        stmt_done(&q);
        return true;
    }
    entry = stmt_get_int(&q, 0);
    text_add(&what, stmt_get_text(&q, 1));
    text_addf(&what, " of %s", stmt_get_text(&q, 2));
    stmt_done(&q);
    out->what = text_take(&what);
    return name_step(w, one, entry, &out->word, err);
}

static bool is_same(const struct later *a, const struct later *b)
{
    return a->what && b->what && !strcmp(a->what, b->what) &&
           !strcmp(a->word, b->word);
}

/* One line for all skeins of which the same is to be said, from skein i on. */
static void note_later(struct work *w, struct later *all, size_t i)
{
    const char **label = mem_new(w->skeins, sizeof *label);
    struct text names = {0};
    size_t n = 0;

    for (size_t k = i; k < w->skeins; k++)
        if (is_same(&all[i], &all[k]))
            label[n++] = w->skein[k].label;
    pot_labels(label, n, &names);
    pot_note(w,
             "skein%s %s: this is dated before the %s; to put it there, %s %s "
             "%s",
             n > 1 ? "s" : "", text_str(&names), all[i].what,
             w->pot->only_try ? "say" : "undo this and do it again with",
             face_says("--before", "\"Before\":"), all[i].word);
    text_clear(&names);
    free(label);
}

bool pot_look_at_days(struct work *w, struct error *err)
{
    struct later *all = mem_new(w->skeins, sizeof *all);
    bool ok = true;

    for (size_t i = 0; ok && i < w->skeins; i++)
        ok = find_later(w, &w->skein[i], &all[i], err);
    for (size_t i = 0; ok && i < w->skeins; i++) {
        bool told = !all[i].what;
        for (size_t k = 0; k < i; k++)
            told = told || is_same(&all[k], &all[i]);
        if (!told)
            note_later(w, all, i);
    }
    for (size_t i = 0; i < w->skeins; i++) {
        free(all[i].what);
        free(all[i].word);
    }
    free(all);
    return ok;
}

bool pot_before_this(struct work *w, char **word, struct error *err)
{
    *word = NULL;
    if (said(w->pot->before)) /* it is not the last of its kind */
        return true;
    for (size_t i = 0; i < w->skeins; i++) {
        char *one = NULL;
        bool same;

        /* A new skein has no life before the act ends. */
        if (!w->skein[i].is_new &&
            !name_step(w, &w->skein[i], w->skein[i].there, &one, err)) {
            free(*word);
            *word = NULL;
            return false;
        }
        if (!one || !strcmp(one, "0")) { /* just entered: the last of all */
            free(one);
            one = mem_text(w->vat ? "vat" : "dye");
        }
        same = !*word || !strcmp(*word, one);
        free(*word);
        *word = same ? one : NULL;
        if (!same) {
            free(one);
            break;
        }
    }
    return true;
}
