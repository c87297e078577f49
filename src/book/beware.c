/* The cautions of a material in the book. See book/beware.h. */
#include "book/beware.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/record.h"
#include "book/store.h"

static void add(const struct caution *out[CAUTION_MAX], size_t *count,
                const char *name, const char *latin)
{
    const struct caution *more[CAUTION_MAX];
    size_t n = caution_for(name, latin, more);

    for (size_t i = 0; i < n; i++) {
        size_t k = 0;
        while (k < *count && out[k] != more[i])
            k++;
        if (k == *count && *count < CAUTION_MAX)
            out[(*count)++] = more[i];
    }
}

/* Of each name that a statement gives, with a scientific one. */
static bool add_names(struct book *book, enum stmt_id which, int64_t material,
                      const struct caution *out[CAUTION_MAX], size_t *count,
                      bool *any, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, which, &q, err);

    *any = false;
    if (!ok)
        return false;
    stmt_int(&q, ":of", material);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        add(out, count, stmt_get_text(&q, 0), stmt_get_text(&q, 1));
        *any = true;
    }
    stmt_done(&q);
    return ok;
}

static bool is_logged(struct book *book, int64_t material, bool *logged,
                      struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, STMT_MATERIAL_DOSED, &q, err))
        return false;
    stmt_int(&q, ":of", material);
    if (!stmt_step(&q, logged, err))
        return false;
    stmt_done(&q);
    return true;
}

bool beware_of(struct book *book, int64_t material,
               const struct caution *out[CAUTION_MAX], size_t *count,
               bool *logged, struct error *err)
{
    bool any;

    *count = 0;
    return add_names(book, STMT_BEWARE_NAME, material, out, count, &any, err) &&
           (any || error_set(err, ERR_MISSING, "there is no material #%lld",
                             (long long)material)) &&
           add_names(book, STMT_BEWARE_ALIASES, material, out, count, &any,
                     err) &&
           (!logged || is_logged(book, material, logged, err));
}

bool beware_named(struct book *book, const char *name, beware_take *take,
                  void *self, struct error *err)
{
    const struct caution *c[CAUTION_MAX];
    size_t n;
    int64_t id;

    if (record_find(book, NOUN_MATERIAL, name, &id, err)) {
        if (!beware_of(book, id, c, &n, NULL, err))
            return false;
    } else if (err->kind == ERR_STORE) {
        return false;
    } else {
        n = caution_for(name, NULL, c);
    }
    for (size_t i = 0; i < n; i++)
        take(self, name, c[i]);
    return true;
}

bool beware_names(struct book *book, const char *names, beware_take *take,
                  void *self, struct error *err)
{
    bool ok = true;

    while (ok && names && *names) {
        const char *plus = strstr(names, " + "), *comma = strstr(names, ", ");
        const char *end = plus && (!comma || plus < comma) ? plus : comma;
        size_t n = end ? (size_t)(end - names) : strlen(names);
        char *name = mem_text_n(names, n);

        ok = beware_named(book, name, take, self, err);
        free(name);
        names += n + (end ? strspn(end, " +,") : 0);
    }
    return ok;
}
