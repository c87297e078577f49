/* One weight said of several skeins. See dye/share.h. */
#include "dye/share.h"

#include "base/parts.h"
#include "dye/amount.h"
#include "dye/words.h"

static bool weigh(const char *words, struct amount *out)
{
    struct amount_context ctx = {AMOUNT_G, false};
    struct error none;

    return amount_read(words, ctx, out, &none) && out->unit == AMOUNT_G;
}

/* "3 x 20 g": how many, and where the weight of one begins; NULL: it is none.
 */
static const char *weight_of_one(const struct words *w, double *count)
{
    static const char between[] = "x|×|*|times|of|skeins of|skeins at|skeins|"
                                  "hanks of|hanks at|hanks";
    const char *s = w->main;
    struct error none;
    struct amount a;

    if (words_number(&s, count, &none) != TOOK_IT ||
        !words_eat_any(&s, between) || !words_digit(s) || !weigh(s, &a))
        return NULL;
    return s + (*s == ' ');
}

static bool is_sum(const struct words *w)
{
    static const char *const words[] = {"in all", "together", "total",
                                        "altogether", "combined"};

    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (text_contains(w->main, words[i]))
            return true;
    return false;
}

bool share_counts(const char *words)
{
    struct words w = words_open(words);
    double n;
    bool counts = weight_of_one(&w, &n) != NULL;
    const char *s = w.main;
    struct error none;

    if (!counts && words_number(&s, &n, &none) == TOOK_IT)
        counts = words_eat_any(&s, "skeins|hanks") && !parts_said(s);

    words_close(&w);
    return counts;
}

bool share_weight(const char *words, size_t count, struct text *out,
                  struct error *err)
{
    struct words w = words_open(words);
    struct amount a;
    double n;
    const char *one = weight_of_one(&w, &n);
    bool ok = true;

    if (one && n >= (double)count && n <= (double)count) {
        text_add(out, one);
        if (w.note[0])
            text_addf(out, " (%s)", w.note);
    } else if (one) {
        ok = error_set(err, ERR_INPUT,
                       "\"%.80s\": here %s %zu; say the weight of one: %.80s",
                       words, count == 1 ? "is" : "are", count, one);
    } else if (count > 1 && is_sum(&w) && weigh(words, &a)) {
        amount_add_range(out, a.low / (double)count, a.high / (double)count);
        text_addf(out, " g (%s, %zu skeins)", words, count);
    } else {
        text_add(out, words);
    }
    words_close(&w);
    return ok;
}
