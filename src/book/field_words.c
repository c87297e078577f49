/* What words of fields were read as. See field_words.h. */
#include "book/field_words.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

/* Words that keep being new are of no use later. */
enum { KEPT_MOST = 4096 };

bool field_words_meant(const struct field *f)
{
    switch (f->kind) {
    case FIELD_WEIGHT:
    case FIELD_LENGTH:
    case FIELD_VOLUME:
    case FIELD_DOSE:
    case FIELD_DAY:
    case FIELD_PH:
    case FIELD_HEAT:
    case FIELD_MINUTES:
        return true;
    case FIELD_TEXT:
    case FIELD_NAME:
    case FIELD_CODE:
    case FIELD_CHOICE:
    case FIELD_FLAG:
    case FIELD_WHOLE:
    case FIELD_REAL:
    case FIELD_ROUND:
    case FIELD_REF:
    case FIELD_LAB:
    case FIELD_SIGMA:
        return false;
    }
    return false;
}

bool field_words_take(struct field_words *w, const struct field *field,
                      const char *words, struct cells *out)
{
    size_t at;

    if (!field_words_meant(field) || !word_map_find(&w->of, words, &at))
        return false;
    for (size_t i = 0; i < w->meaning[at].count; i++) {
        const struct cell *c = &w->meaning[at].cell[i];
        if (c->kind == CELL_INT)
            cells_int(out, c->column, c->whole);
        else if (c->kind == CELL_REAL)
            cells_real(out, c->column, c->real);
        else
            cells_text(out, c->column, c->text);
    }
    return true;
}

void field_words_keep(struct field_words *w, const struct field *field,
                      const char *words, const struct cells *from)
{
    char columns[16][32];
    struct field_meaning *m;
    bool is_new;
    size_t at;

    if (!field_words_meant(field) || w->of.count >= KEPT_MOST)
        return;
    at = word_map_at(&w->of, words, &is_new);
    if (!is_new)
        return;
    w->meaning = mem_room(w->meaning, at, sizeof *w->meaning);
    m = &w->meaning[at];
    m->count = field_columns(field, columns);
    m->cell = mem_new(m->count, sizeof *m->cell);
    for (size_t i = 0; i < m->count; i++) {
        m->cell[i] = *cells_get(from, columns[i]);
        m->cell[i].text = mem_text(m->cell[i].text);
    }
}

void field_words_clear(struct field_words *w)
{
    for (size_t i = 0; i < w->of.count; i++) {
        for (size_t k = 0; k < w->meaning[i].count; k++)
            free(w->meaning[i].cell[k].text);
        free(w->meaning[i].cell);
    }
    free(w->meaning);
    word_map_clear(&w->of);
    *w = (struct field_words){0};
}
