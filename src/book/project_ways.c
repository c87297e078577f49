/* Pots, burners, hours and times of a project, from words; what the dyer did
 * before. See project_work.h. */
#include "book/project_work.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"
#include "book/pot_work.h"
#include "dye/amount.h"

/* ---- pots, burners, hours ---------------------------------------------------
 */

/* "3", "3 x 8 l": how many, and the size of each behind it, or NULL. */
static bool read_count(const char *words, const char *what, int most, int *n,
                       const char **size, struct error *err)
{
    char *end;
    long value = strtol(words, &end, 10);

    *size = NULL;
    while (*end == ' ')
        end++;
    if (end > words && (*end == 'x' || !strncmp(end, "\xC3\x97", 2))) {
        *size = end + (*end == 'x' ? 1 : 2);
        end += strlen(end);
    }
    if (end == words || *end || value < 0 || value > most)
        return error_set(err, ERR_INPUT,
                         "%s: \"%s\" is not how many: write 3, or 3 x 8 l",
                         what, words);
    *n = (int)value;
    return true;
}

static bool read_litres(const char *words, const char *what, double *l,
                        struct error *err)
{
    const struct amount_context ctx = {AMOUNT_COUNT, false};
    struct amount a;

    if (!amount_read(words, ctx, &a, err))
        return false;
    if ((a.unit != AMOUNT_ML && a.unit != AMOUNT_COUNT) || !(a.low > 0))
        return error_set(err, ERR_INPUT, "%s: \"%s\" is no volume: write 8 l",
                         what, words);
    *l = (a.low + a.high) / 2 / (a.unit == AMOUNT_ML ? 1000 : 1);
    return true;
}

static bool read_vessels(const char *words, const char *what, int *n, double *l,
                         struct error *err)
{
    const char *size;

    return !parts_said(words) || (read_count(words, what, 50, n, &size, err) &&
                                  (!size || read_litres(size, what, l, err)));
}

static bool is_needed(const char *what, const char *one, int n,
                      struct error *err)
{
    return n > 0 || error_set(err, ERR_INPUT, "%s: %s is needed at the least",
                              what, one);
}

/* "8-22", "8:00 to 22:30" */
static bool read_hours(const char *words, struct schedule_means *m,
                       struct error *err)
{
    char *from = text_fold(words), *to = strstr(from, " to ");
    bool ok;

    if (to) {
        *to = '\0';
        to += 4;
    } else if ((to = strchr(from, '-'))) {
        *to++ = '\0';
    }
    ok = to && moment_clock(from, &m->up_min) &&
         moment_clock(to, &m->to_bed_min) && m->up_min < m->to_bed_min;
    free(from);
    return ok || error_set(err, ERR_INPUT,
                           "hours: \"%s\" are no hours of a day: write 8-22, "
                           "or 0-24 for any",
                           words);
}

/* "30:1", "30" litres a kg */
static bool read_water(const char *words, double *l_per_kg, struct error *err)
{
    char *s = text_trim(words), *colon = strstr(s, ":1");
    bool ok;

    if (colon && !colon[2])
        *colon = '\0';
    ok = text_real(s, l_per_kg) && *l_per_kg >= 1 && *l_per_kg <= 1000;
    free(s);
    return ok || error_set(err, ERR_INPUT,
                           "water: \"%s\" is not how much: write 30:1, litres "
                           "for a kg of fibre",
                           words);
}

static bool read_tests(const char *words, struct plan_ways *ways,
                       struct error *err)
{
    const struct amount_context ctx = {AMOUNT_G, false};
    struct amount a;
    const char *size;

    if (!read_count(words, "tests", 5, &ways->tests, &size, err))
        return false;
    if (!size)
        return true;
    if (!amount_read(size, ctx, &a, err))
        return false;
    if (a.unit != AMOUNT_G || !(a.low > 0))
        return error_set(err, ERR_INPUT,
                         "tests: \"%s\" is no weight: write 2 x 10 g", words);
    ways->test_g = (a.low + a.high) / 2;
    return true;
}

bool project_ways(const struct project_words *w, struct plan_ways *ways,
                  struct error *err)
{
    struct schedule_means *m = &ways->means;
    double none;

    return read_vessels(w->pots, "pots", &m->pots, &ways->pot_l, err) &&
           is_needed("pots", "a pot", m->pots, err) &&
           read_vessels(w->burners, "burners", &m->burners, &none, err) &&
           is_needed("burners", "a burner", m->burners, err) &&
           read_vessels(w->jars, "jars", &m->jars, &ways->jar_l, err) &&
           (!parts_said(w->hours) || read_hours(w->hours, m, err)) &&
           (!parts_said(w->water) ||
            read_water(w->water, &ways->l_per_kg, err)) &&
           (!parts_said(w->tests) || read_tests(w->tests, ways, err));
}

#define READY_YEARS 200 /* later is a slip, and too far to count in minutes */

bool project_ready(const char *words, struct moment now, struct moment *out,
                   struct error *err)
{
    if (!moment_read(words, now, out, err))
        return pot_blame(err, "ready");
    if (out->day.year > now.day.year + READY_YEARS)
        return error_set(err, ERR_INPUT, "ready: the year %d is far off",
                         out->day.year);
    return (out->day.year >= now.day.year && moment_between(now, *out) > 0) ||
           error_set(err, ERR_INPUT, "ready: that is over already");
}

/* ---- times ------------------------------------------------------------------
 */

static char *own(struct habits *h, char *text)
{
    h->owned = mem_room(h->owned, h->owns, sizeof *h->owned);
    return h->owned[h->owns++] = text;
}

static void add_habit(struct habits *h, struct plan_habit habit)
{
    h->habit = mem_room(h->habit, h->count, sizeof *h->habit);
    h->habit[h->count++] = habit;
}

static bool kind_of(const char *name, enum plan_kind *out)
{
    for (int i = 0; i < PLAN_KINDS; i++)
        if (text_same(name, plan_kind_names[i])) {
            *out = (enum plan_kind)i;
            return true;
        }
    return false;
}

#define OVERNIGHT_MIN 720 /* our own choice */
/* Longer than that is no time at the stove: left to the dyer to say. */
#define HOLD_MOST_MIN 240
/* What stands cold may stand so long. */
#define STEEP_MOST_MIN (30 * 1440)

static bool read_hold(const char *words, struct plan_habit *h,
                      struct error *err)
{
    struct minutes m;

    if (text_same(words, "overnight")) {
        h->hold_min = OVERNIGHT_MIN;
        return true;
    }
    if (!minutes_read(words, &m, err))
        return false;
    if (!m.known || m.high > STEEP_MOST_MIN || m.high < 1)
        return error_set(err, ERR_INPUT,
                         "\"%s\" is no time for a step: write 45 min, 2 h, "
                         "overnight, 2 days",
                         words);
    h->hold_min = (int)((m.low + m.high) / 2 + 0.5);
    return true;
}

/* "cold", "70 C", "70" */
static bool read_heat(const char *words, struct plan_habit *h,
                      struct error *err)
{
    struct temperature t;

    if (text_same(words, "cold")) {
        h->cold = true;
        return true;
    }
    if (!temperature_read(words, &t, err))
        return false;
    if (!t.known)
        return error_set(err, ERR_INPUT,
                         "\"%s\" is no heat: write 70 C, or cold", words);
    h->heat_c = (t.low_c + t.high_c) / 2;
    return true;
}

static bool is_heat(const char *words)
{
    size_t n = strlen(words);

    return text_same(words, "cold") ||
           (n && strchr("CFcf", words[n - 1]) && strpbrk(words, "0123456789"));
}

/* "dye=70 C, 45 min" */
static bool read_time(struct habits *out, const char *words, struct error *err)
{
    struct plan_habit h = {
        .heat_c = (double)NAN, .hold_min = -1, .source = "as you said"};
    char *s = mem_text(words), *at = strchr(s, '=');
    bool ok = true;

    if (at)
        *at++ = '\0';
    if (!at || !kind_of(s, &h.kind))
        ok = error_set(err, ERR_INPUT,
                       "time: \"%s\" names no step: soak, mordant, extract, "
                       "dye, dip or rinse, as in \"dye=70 C, 45 min\"",
                       words);
    while (ok && at && *at) {
        char *end = strchr(at, ','), *part;
        if (end)
            *end = '\0';
        part = parts_trim(at);
        ok = !*part || (is_heat(part) ? read_heat(part, &h, err)
                                      : read_hold(part, &h, err));
        at = end ? end + 1 : NULL;
    }
    if (ok)
        add_habit(out, h);
    free(s);
    return ok;
}

/* ---- what was done before ---------------------------------------------------
 */

static bool is_a_time(double minutes, bool cold)
{
    return minutes <= (cold ? STEEP_MOST_MIN : HOLD_MOST_MIN);
}

static bool add_past(struct book *book, struct habits *out, enum plan_kind kind,
                     const char *name, struct error *err)
{
    struct error none;
    struct stmt q;
    struct text source = {0};
    double heat, minutes;
    int64_t id;
    bool row, cold;

    if (!record_find(book, NOUN_MATERIAL, name, &id, &none))
        return true;
    if (!stmt_begin(
            book, kind == PLAN_EXTRACT ? STMT_HABIT_EXTRACT : STMT_HABIT_TREAT,
            &q, err))
        return false;
    if (kind != PLAN_EXTRACT)
        stmt_text(&q, ":kind", plan_kind_names[kind]);
    stmt_int(&q, ":material", id);
    if (!stmt_step(&q, &row, err))
        return false;
    heat = row ? stmt_get_real(&q, 0) : (double)NAN;
    minutes = row ? stmt_get_real(&q, 1) : (double)NAN;
    cold = isnan(heat) || heat <= PLAN_COLD_C;
    if (is_a_time(minutes, cold)) {
        const char *day = stmt_get_text(&q, 2);
        text_addf(&source, "as you did it %s%s", day ? "on " : "before",
                  day ? day : "");
        if (heat > PLAN_HOTTEST_C) {
            text_addf(&source, ", but never at a boil");
            heat = PLAN_HOTTEST_C;
        }
        add_habit(out, (struct plan_habit){kind, own(out, mem_text(name)), heat,
                                           cold, (int)(minutes + 0.5),
                                           own(out, text_take(&source))});
    }
    stmt_done(&q);
    return true;
}

static bool add_pasts(struct book *book, struct habits *out,
                      enum plan_kind kind, const struct plan_doses *d,
                      struct error *err)
{
    bool ok = true;

    for (size_t i = 0; ok && i < d->count; i++) {
        bool known = false;
        for (size_t k = 0; k < out->count; k++)
            known = known ||
                    (out->habit[k].kind == kind && out->habit[k].material &&
                     text_same(out->habit[k].material, d->dose[i].name));
        ok = known || add_past(book, out, kind, d->dose[i].name, err);
    }
    return ok;
}

bool habits_read(struct book *book, struct pot_words times,
                 const struct plan_skein *skein, size_t skeins,
                 struct habits *out, struct error *err)
{
    bool ok = true;

    *out = (struct habits){.count = 0};
    for (size_t i = 0; ok && i < times.count; i++)
        ok = !parts_said(times.word[i]) || read_time(out, times.word[i], err);
    for (size_t i = 0; ok && i < skeins; i++)
        ok = add_pasts(book, out, PLAN_MORDANT, &skein[i].mordants, err) &&
             add_pasts(book, out, PLAN_EXTRACT, &skein[i].dyestuffs, err) &&
             add_pasts(book, out, PLAN_DYE, &skein[i].dyestuffs, err) &&
             add_pasts(book, out, PLAN_DIP, &skein[i].dips, err);
    if (!ok)
        habits_clear(out);
    return ok;
}

void habits_clear(struct habits *h)
{
    for (size_t i = 0; i < h->owns; i++)
        free(h->owned[i]);
    free(h->owned);
    free(h->habit);
    *h = (struct habits){.count = 0};
}
