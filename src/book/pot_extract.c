/* A bath made ready, and nothing dyed in it yet. See pot_work.h. */
#include "book/pot_work.h"

static bool extract_all(struct work *w, struct error *err)
{
    struct text aside = {0};
    bool ok;

    w->result->round = -1;
    ok = pot_bath_open(w, &aside, err) &&
         pot_doses_read(w, w->pot->dyestuffs, "dyestuff", &w->dyestuffs, err) &&
         pot_bath_fill(w, err) &&
         pot_add_list(w, &w->dyestuffs, 0, &w->awaited, err);
    text_clear(&aside);
    return ok;
}

bool pot_extract(struct book *book, const struct pot_entry *pot,
                 struct pot_fibre fibre, struct pot_result *result,
                 struct text *echo, struct error *err)
{
    struct work w = {.book = book,
                     .pot = pot,
                     .result = result,
                     .echo = echo,
                     .awaited = fibre};

    return pot_act(&w, "log", extract_all, err);
}
