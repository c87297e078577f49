/* Which round of its bath a pot is. See book/pot.h. */
#include <stdio.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/face.h"
#include "book/field.h"
#include "book/pot_work.h"

static bool read_round(struct work *w, const char *words, int *out,
                       struct error *err)
{
    struct cells *cells = mem_new(1, sizeof *cells);
    struct text echo = {0};
    bool ok = field_read(w->book, noun_field(&nouns[NOUN_TREATMENT], "round"),
                         words, cells, &echo, err);

    pot_echo_lines(w, "", &echo);
    text_clear(&echo);
    if (ok)
        *out = (int)cells_get(cells, "round")->whole;
    cells_clear(cells);
    free(cells);
    return ok;
}

/* "the first bath", "exhaust 2" */
const char *pot_round_words(int round, char out[24])
{
    if (round <= 0)
        return "the first bath";
    snprintf(out, 24, "exhaust %d", round);
    return out;
}

/* How often the bath was used before. */
bool pot_next_time(struct work *w, struct error *err)
{
    int64_t last;
    bool none;

    if (!pot_ask(w->book, STMT_ROUND_LAST, w->result->bath_id, &last, &none,
                 err))
        return false;
    w->time = none ? 0 : (int)last + 1;
    return true;
}

/* A round after the next one: those between are not recorded. */
static void look_skipped(struct work *w, int next)
{
    const char *bath = w->result->bath;

    if (!next || w->time <= next)
        return; /* nothing of it is */
    if (w->time == next + 1)
        pot_note(w, "exhaust %d of bath %s is not recorded", next, bath);
    else
        pot_note(w, "exhausts %d to %d of bath %s are not recorded", next,
                 w->time - 1, bath);
}

bool pot_round_next(struct work *w, struct error *err)
{
    struct pot_result *r = w->result;
    int64_t empty;
    bool is_null, bare;
    int next;

    if (w->vat && said(w->pot->round))
        return error_set(err, ERR_INPUT,
                         "round: a vat has no first bath and no exhausts; it "
                         "is fed");
    if (!pot_next_time(w, err))
        return false;
    next = w->time;
    if (said(w->pot->round)) {
        if (!read_round(w, w->pot->round, &w->time, err))
            return false;
        look_skipped(w, next);
        return true;
    }
    if (w->vat || r->new_bath)
        return true;
    if (!pot_is_bare(w->book, r->bath_id, w->pot, &bare, err))
        return false;
    if (bare) {
        pot_echo(w,
                 "bath %s held no more than a name: this is its first bath "
                 "(if it is a later one, say %s \"exhaust 1\")",
                 r->bath, face_says("--round", "the round"));
        w->time = 0;
        return true;
    }
    if (!pot_ask(w->book, STMT_ROUND_EMPTY, r->bath_id, &empty, &is_null, err))
        return false;
    w->unfilled = !is_null && empty == next - 1;
    return true;
}

/* The round before may be the one that was meant: said last of all, so that it
 * is seen. */
void pot_look_unfilled(struct work *w)
{
    const int last = w->time - 1;
    char words[24];

    if (!w->unfilled)
        return;
    pot_note(w,
             "%s of bath %s has no finished skein; if this was meant for it, "
             "%s %s \"%s\"",
             pot_round_words(last, words), w->result->bath,
             w->pot->only_try ? "say"
                              : face_says("hanklab undo, and say it again with",
                                          "take it back and say"),
             face_says("--round", "the round"), last ? words : "first");
}
