/* What a skein went through, before it was cut or plied too. See book/ask.h. */
#include "book/shelf.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/record.h"

static struct life_event *add(struct life *life)
{
    if (life->count % 16 == 0)
        life->event =
            mem_resize(life->event, life->count + 16, sizeof *life->event);
    life->event[life->count] = (struct life_event){.grams = (double)NAN};
    return &life->event[life->count++];
}

static bool is_known(const struct life *life, int64_t entry)
{
    for (size_t i = 0; i < life->count; i++)
        if (life->event[i].kind == LIFE_STEP &&
            life->event[i].entry_id == entry)
            return true;
    return false;
}

static bool label(struct book *book, int64_t skein, char **out,
                  struct error *err)
{
    struct text t = {0};
    bool ok = record_label(book, NOUN_SKEIN, skein, &t, err);

    *out = text_take(&t);
    return ok;
}

/* What was in a treatment: its doses and its bath's. */
static bool add_doses(struct book *book, struct life_event *e,
                      const struct names *names, struct error *err)
{
    struct stmt q;
    struct text set = {0};
    bool row, ok;

    if (!stmt_begin(book, STMT_STEP_DOSES, &q, err))
        return false;
    stmt_int(&q, ":treatment", e->treatment_id);
    while ((ok = stmt_step(&q, &row, err)) && row)
        text_addf(&set, "%s%lld,", set.len ? "" : ",",
                  (long long)stmt_get_int(&q, 0));
    stmt_done(&q);
    e->with = names_of_set(names, text_str(&set));
    text_clear(&set);
    return ok;
}

static bool add_steps(struct book *book, int64_t skein, int64_t upto,
                      struct life *life, struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, STMT_LIFE_STEPS, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    stmt_int(&q, ":upto", upto);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        struct life_event *e;
        if (is_known(life, stmt_get_int(&q, 0)))
            continue;
        e = add(life);
        e->kind = LIFE_STEP;
        e->skein_id = skein;
        e->entry_id = stmt_get_int(&q, 0);
        e->treatment_id = stmt_get_int(&q, 1);
        e->treatment = mem_text(stmt_get_text(&q, 2));
        e->bath = mem_text(stmt_get_text(&q, 3));
        e->has_round = !stmt_is_null(&q, 4);
        e->round = stmt_get_int(&q, 4);
        e->on_words = mem_text(stmt_get_text(&q, 5));
    }
    stmt_done(&q);
    return ok;
}

struct parent {
    int64_t origin, id, upto;
    double grams;
};

static bool parents_of(struct book *book, int64_t skein, struct parent **out,
                       size_t *count, struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = NULL;
    *count = 0;
    if (!stmt_begin(book, STMT_LIFE_ORIGINS, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        *out = mem_resize(*out, *count + 1, sizeof **out);
        (*out)[(*count)++] =
            (struct parent){stmt_get_int(&q, 0), stmt_get_int(&q, 1),
                            stmt_get_int(&q, 2), stmt_get_real(&q, 3)};
    }
    stmt_done(&q);
    return ok;
}

/* A skein to be told, up to one of its steps; done once its parents are. */
struct pending {
    int64_t skein, upto;
    struct parent *parents;
    size_t count, next;
};

static bool push(struct book *book, struct pending **stack, size_t *depth,
                 int64_t skein, int64_t upto, struct error *err)
{
    struct pending p = {.skein = skein, .upto = upto};
    bool ok = parents_of(book, skein, &p.parents, &p.count, err);

    *stack = mem_resize(*stack, *depth + 1, sizeof **stack);
    (*stack)[(*depth)++] = p;
    return ok;
}

static void add_cut(struct life *life, const struct pending *into)
{
    const struct parent *from = &into->parents[into->next - 1];
    struct life_event *e;

    for (size_t i = 0; i < life->count; i++)
        if (life->event[i].origin_id == from->origin)
            return; /* told on the way of another piece */
    e = add(life);
    e->kind = LIFE_CUT;
    e->origin_id = from->origin;
    e->skein_id = from->id;
    e->into_id = into->skein;
    e->grams = from->grams;
}

static bool tell(struct book *book, int64_t skein, struct life *life,
                 struct error *err)
{
    struct pending *stack = NULL;
    size_t depth = 0;
    bool ok = push(book, &stack, &depth, skein, INT64_MAX, err);

    while (ok && depth) {
        struct pending *top = &stack[depth - 1];
        if (top->next < top->count) {
            struct parent p = top->parents[top->next++];
            ok = push(book, &stack, &depth, p.id, p.upto, err);
            continue;
        }
        ok = add_steps(book, top->skein, top->upto, life, err);
        free(top->parents);
        depth--;
        if (ok && depth)
            add_cut(life, &stack[depth - 1]);
    }
    while (depth)
        free(stack[--depth].parents);
    free(stack);
    return ok;
}

static bool read_life(struct book *book, int64_t skein, struct life *out,
                      struct error *err)
{
    struct names names = {0};
    struct ask_skein it;
    struct ask_filter any = ask_filter_any();
    bool ok;

    if (!ask_skein(book, skein, &any, &it, err))
        return false;
    ask_skein_clear(&it);
    ok = names_load(book, &names, err) && tell(book, skein, out, err);
    for (size_t i = 0; ok && i < out->count; i++) {
        struct life_event *e = &out->event[i];
        ok = label(book, e->skein_id, &e->skein, err) &&
             (e->kind == LIFE_STEP ? add_doses(book, e, &names, err)
                                   : label(book, e->into_id, &e->into, err));
    }
    names_free(&names);
    return ok;
}

bool ask_life(struct book *book, int64_t skein, struct life *out,
              struct error *err)
{
    bool ok;

    *out = (struct life){0};
    ok = book_look(book, err) && read_life(book, skein, out, err);
    book_look_end(book);
    if (!ok)
        life_clear(out);
    return ok;
}

void life_clear(struct life *life)
{
    for (size_t i = 0; i < life->count; i++) {
        struct life_event *e = &life->event[i];
        char *owned[] = {e->skein,    e->treatment, e->bath,
                         e->on_words, e->with,      e->into};
        for (size_t k = 0; k < ARRAY_LEN(owned); k++)
            free(owned[k]);
    }
    free(life->event);
    *life = (struct life){0};
}
