/* Reads days as the dyer says them. See day.h.
 * Words become tokens, the tokens a shape such as "n/n/Y", and a table says
 * what each place of a shape means. */
#include "base/day.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/day_token.h"
#include "base/mem.h"
#include "base/text.h"

struct reader {
    const char *typed;
    struct day today;
    struct error *err;
    struct tokens tokens;
};

static bool bad(const struct reader *r, const char *why)
{
    return error_set(r->err, ERR_INPUT, "\"%.80s\": %s", r->typed, why);
}

/* ---- shapes ---------------------------------------------------------------
 */

/* One day, month, season or year as it was said; 0 and -1: not said. */
struct part {
    int day, month, year;
    int season;        /* -1 none */
    int first, second; /* day and month in an order that is not known */
    bool decade;
    bool year_given;
};

/*
 * What each token of a shape is: d day, m month, y year, a and b day and month
 * in either order, s season, D decade, k a whole day of 8 digits, - nothing.
 */
static const char *const shapes[][2] = {
    {"Y-n-n", "y-m-d"}, {"Y/n/n", "y-m-d"}, {"Y.n.n", "y-m-d"},
    {"N", "k"},         {"n.n.Y", "d-m-y"}, {"n.n.n", "d-m-y"},
    {"n/n/Y", "a-b-y"}, {"n/n/n", "a-b-y"}, {"n-n-Y", "a-b-y"},
    {"n-n-n", "a-b-y"}, {"U/n/Y", "--m-y"}, {"U/n/n", "--m-y"},
    {"U.n.Y", "--m-y"}, {"U.n.n", "--m-y"}, {"U-n-Y", "--m-y"},
    {"U-n-n", "--m-y"}, {"n/U/Y", "----y"}, {"n/U/n", "----y"},
    {"n.U.Y", "----y"}, {"n.U.n", "----y"}, {"U/U/Y", "----y"},
    {"U/U/n", "----y"}, {"U.U.Y", "----y"}, {"U.U.n", "----y"},
    {"U-U-Y", "----y"}, {"Y-n-U", "y-m--"}, {"Y/n/U", "y-m--"},
    {"Y-U-U", "y----"}, {"Y-U", "y--"},     {"U/Y", "--y"},
    {"U.Y", "--y"},     {"Y-n", "y-m"},     {"Y/n", "y-m"},
    {"Y.n", "y-m"},     {"n/Y", "m-y"},     {"n.Y", "m-y"},
    {"n-Y", "m-y"},     {"n.n.", "d-m-"},   {"n.n", "d-m"},
    {"n/n", "d-m"},     {"nMY", "dmy"},     {"n.MY", "d-my"},
    {"nMn", "dmy"},     {"n.Mn", "d-my"},   {"n-M-Y", "d-m-y"},
    {"n-M-n", "d-m-y"}, {"n/M/Y", "d-m-y"}, {"n/M/n", "d-m-y"},
    {"UMY", "-my"},     {"MnY", "mdy"},     {"Mnn", "mdy"},
    {"MY", "my"},       {"YM", "ym"},       {"YMn", "ymd"},
    {"Mn", "md"},       {"nM", "dm"},       {"n.M", "d-m"},
    {"M", "m"},         {"SY", "sy"},       {"YS", "ys"},
    {"Sn", "sy"},       {"S", "s"},         {"SY/n", "sy--"},
    {"SY-n", "sy--"},   {"SY/Y", "sy--"},   {"SY-Y", "sy--"},
    {"Y", "y"},         {"D", "D"},         {"n", "d"},
    {"n.", "d-"},
};

enum { IN_RANGE_ONLY = 2 }; /* the last two shapes */

static bool shape_is(const struct token *t, size_t n, const char *shape)
{
    if (strlen(shape) != n)
        return false;
    for (size_t i = 0; i < n; i++)
        if (t[i].kind != shape[i])
            return false;
    return true;
}

static void put(const struct reader *r, struct part *p, char place,
                const struct token *t)
{
    switch (place) {
    case 'd':
        p->day = t->value;
        break;
    case 'm':
        p->month = t->value;
        break;
    case 'y':
        p->year = t->kind == 'n' ? tokens_year(r->today, t->value) : t->value;
        break;
    case 'a':
        p->first = t->value;
        break;
    case 'b':
        p->second = t->value;
        break;
    case 's':
        p->season = t->value;
        break;
    case 'D':
        p->year = t->value;
        p->decade = true;
        break;
    case 'k':
        p->year = t->value / 10000;
        p->month = t->value / 100 % 100;
        p->day = t->value % 100;
        break;
    default: /* '-' */
        break;
    }
}

/* "10/?/23": U means day or month; "0" is no day and no month. */
static bool zero_part(const struct token *t, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (t[i].kind == 'n' && t[i].value == 0 && t[i].digits == 1)
            return true;
    return false;
}

static bool part_of(const struct reader *r, const struct token *t, size_t n,
                    bool in_range, struct part *out)
{
    size_t count = ARRAY_LEN(shapes) - (in_range ? 0 : IN_RANGE_ONLY);

    for (size_t i = 0; i < count; i++) {
        struct part p = {.season = -1};

        if (!shape_is(t, n, shapes[i][0]) || zero_part(t, n))
            continue;
        for (size_t k = 0; k < n; k++)
            put(r, &p, shapes[i][1][k], &t[k]);
        /* "3/5" is 3 May, 5 March or May 2005; "26/11" one of them only. */
        if (!strcmp(shapes[i][0], "n/n") && (p.day <= 12 || p.month > 12))
            return false;
        if (p.month && p.day > 31 && !p.year &&
            strchr(shapes[i][0], 'M')) { /* "May 98" */
            p.year = tokens_year(r->today, p.day);
            p.day = 0;
        }
        /* "2015-17" is no month: the range of years is tried next. */
        if (n == 3 && t[0].kind == 'Y' && p.month > 12)
            return false;
        p.year_given = p.year != 0;
        *out = p;
        return true;
    }
    return false;
}

/* ---- ranges ---------------------------------------------------------------
 */

static bool month_range(int year, int month, int months, struct day_range *out)
{
    int last = month + months - 1;
    int last_year = year + (last - 1) / 12;

    last = (last - 1) % 12 + 1;
    out->from = (struct day){year, month, 1};
    out->to = (struct day){last_year, last, 1};
    if (month < 1 || month > 12 || !day_valid(out->from) || !day_valid(out->to))
        return false;
    out->to.day = day_month_days(last_year, last);
    return true;
}

/* Both readings of "3/5/26"; where only one is a day, that one. */
static bool either_order(const struct part *p, struct day_range *out)
{
    struct day a = {p->year, p->second, p->first};
    struct day b = {p->year, p->first, p->second};

    if (!day_valid(a) && !day_valid(b))
        return false;
    if (!day_valid(a))
        a = b;
    if (!day_valid(b))
        b = a;
    out->ambiguous = day_compare(a, b) != 0;
    out->from = day_compare(a, b) < 0 ? a : b;
    out->to = day_compare(a, b) < 0 ? b : a;
    return true;
}

enum { SEASON_MONTHS = 3 };

/* The first month of a season, 0 spring .. 3 winter. */
static int season_month(int season)
{
    return 3 + SEASON_MONTHS * season;
}

static bool ends_of(const struct part *p, struct day_range *out)
{
    out->known = true;
    out->ambiguous = false;
    if (p->first)
        return either_order(p, out);
    if (p->season >= 0)
        return month_range(p->year, season_month(p->season), SEASON_MONTHS,
                           out);
    if (p->day) {
        out->from = out->to = (struct day){p->year, p->month, p->day};
        return day_valid(out->from);
    }
    if (p->month)
        return month_range(p->year, p->month, 1, out);
    return month_range(p->year, 1, p->decade ? 120 : 12, out);
}

static const char *month_name(int month)
{
    static const char *const names[] = {"Jan", "Feb", "Mar", "Apr",
                                        "May", "Jun", "Jul", "Aug",
                                        "Sep", "Oct", "Nov", "Dec"};

    assert(month >= 1 && month <= 12);
    return names[month - 1];
}

/* Without a year: the latest that has begun. 29 February goes back to a leap
 * year. */
static bool range_of(const struct reader *r, struct part *p,
                     struct day_range *out)
{
    if (p->year)
        return ends_of(p, out);
    for (int back = 0; back < 9; back++) {
        p->year = r->today.year - back;
        if (ends_of(p, out) && day_compare(out->from, r->today) <= 0)
            return true;
    }
    return false;
}

/* A day of the coming week is more likely a slip than one of last year. */
static bool soon(const struct reader *r, struct part p)
{
    struct day_range at;

    for (int ahead = 0; p.day && !p.year_given && ahead < 2; ahead++) {
        p.year = r->today.year + ahead;
        if (!ends_of(&p, &at) || day_between(r->today, at.from) < 1 ||
            day_between(r->today, at.from) > 7)
            continue;
        error_set(r->err, ERR_INPUT,
                  "\"%.80s\" is still to come: say the year, %d %s %d or %d",
                  r->typed, p.day, month_name(p.month), p.year - 1, p.year);
        return true;
    }
    return false;
}

/* What the left side of "3-5 May 2026" leaves out it has from the right. */
static bool span(const struct reader *r, struct part left, struct part right,
                 struct day_range *out)
{
    struct day_range from, to;
    bool inherits = !left.year;

    if (!left.month && left.season < 0 && left.day)
        left.month = right.month;
    if (!left.year && !right.year_given)
        inherits = false;
    else if (!left.year)
        left.year = right.year;
    if (!range_of(r, &right, &to))
        return bad(r, "there is no such day");
    if (!left.year)
        left.year = right.year;
    if (!range_of(r, &left, &from))
        return bad(r, "there is no such day");
    if (day_compare(from.from, to.to) > 0 && (inherits || !left.year_given)) {
        left.year--;
        if (!range_of(r, &left, &from))
            return bad(r, "there is no such day");
    }
    if (day_compare(from.from, to.to) > 0)
        return bad(r, "ends before it begins");
    *out = (struct day_range){true, from.from, to.to, false};
    return true;
}

/* "2015-17", "2019/20". */
static bool years(const struct reader *r, struct day_range *out)
{
    const struct token *t = r->tokens.token;
    int last;

    if (r->tokens.count != 3 || t[0].kind != 'Y' || t[2].kind != 'n' ||
        t[2].digits != 2 || t[2].value <= t[0].value % 100)
        return false;
    last = t[0].value - t[0].value % 100 + t[2].value;
    return month_range(t[0].value, 1, 12 * (last - t[0].value + 1), out);
}

/* Tries every place where the tokens could be two days with a sign between. */
static bool split(const struct reader *r, bool *found, struct day_range *out)
{
    static const char signs[] = "~-";

    *found = true;
    for (const char *sign = signs; *sign; sign++)
        for (size_t i = 1; i + 1 < r->tokens.count; i++) {
            struct part left, right;

            if (r->tokens.token[i].kind == *sign &&
                part_of(r, r->tokens.token, i, true, &left) &&
                part_of(r, r->tokens.token + i + 1, r->tokens.count - i - 1,
                        false, &right))
                return span(r, left, right, out);
        }
    /* "May 3-5, 2026" */
    if (shape_is(r->tokens.token, r->tokens.count, "Mn-nY")) {
        const struct token *t = r->tokens.token;
        struct part left = {t[1].value, t[0].value, t[4].value, .season = -1};
        struct part right = left;

        left.year_given = right.year_given = true;
        right.day = t[3].value;
        return span(r, left, right, out);
    }
    *found = false;
    return false;
}

/* ---- the whole ------------------------------------------------------------
 */

static void narrow(int third, struct day_range *r)
{
    int days = day_between(r->from, r->to) + 1;
    struct day from = r->from;

    if (!third || days < 3)
        return;
    r->from = day_add(from, days * (third - 1) / 3);
    r->to = day_add(from, days * third / 3 - 1);
}

/* The month that lies months after d's; false when outside the calendar. */
static bool month_after(struct day d, int months, struct day *out)
{
    int n = d.year * 12 + d.month - 1 + months;

    *out = (struct day){n / 12, n % 12 + 1, 1};
    return n > 0 && day_valid(*out);
}

/* By its own length to either side: whole months by months, so that "about
 * 2019" ends with December, else by days. */
static void widen(struct day_range *r)
{
    int days = day_between(r->from, r->to) + 1;
    int months =
        (r->to.year - r->from.year) * 12 + r->to.month - r->from.month + 1;
    struct day from, to;

    r->ambiguous = false;
    if (r->from.day == 1 &&
        r->to.day == day_month_days(r->to.year, r->to.month) &&
        month_after(r->from, -months, &from) &&
        month_after(r->to, months, &to)) {
        to.day = day_month_days(to.year, to.month);
        r->from = from;
        r->to = to;
        return;
    }
    if (days < 7)
        days = 7;
    r->from = day_add(r->from, -days);
    r->to = day_add(r->to, days);
}

static void apply_bound(const struct reader *r, struct day_range *range)
{
    struct day first = range->from, last = range->to;

    if (r->tokens.bound == BOUND_NONE)
        return;
    range->ambiguous = false;
    if (r->tokens.bound == BOUND_BEFORE || r->tokens.bound == BOUND_UNTIL) {
        range->from = DAY_FIRST;
        range->to = r->tokens.bound == BOUND_UNTIL ? last : day_add(first, -1);
        return;
    }
    range->from = r->tokens.bound == BOUND_SINCE ? first : day_add(last, 1);
    range->to = day_compare(range->from, r->today) <= 0 ? r->today : DAY_LAST;
}

bool day_away(const char *words, int *days)
{
    const bool in = !strncmp(words, "in ", 3);
    const char *number = words + (in ? 3 : 0);
    char *end;
    long n;
    int each = 1;

    if (!strchr("0123456789", *number) || !*number)
        return false;
    n = strtol(number, &end, 10);
    if (n > 500)
        return false;
    if (!strncmp(end, " day", 4)) {
        end += 4;
    } else if (!strncmp(end, " week", 5)) {
        each = 7;
        end += 5;
    } else {
        return false;
    }
    end += *end == 's';
    *days = (int)n * (in ? each : -each);
    return !strcmp(end, in ? "" : " ago");
}

static bool relative(const char *key, struct day today, struct day_range *out)
{
    static const struct {
        const char *words;
        int days;
    } rows[] = {
        {"today", 0},
        {"now", 0},
        {"this morning", 0},
        {"this afternoon", 0},
        {"this evening", 0},
        {"tonight", 0},
        {"yesterday", -1},
        {"last night", -1},
        {"yesterday morning", -1},
        {"yesterday evening", -1},
        {"the day before yesterday", -2},
        {"day before yesterday", -2},
        {"tomorrow", 1},
    };

    int days;
    bool is = day_away(key, &days);

    for (size_t i = 0; !is && i < ARRAY_LEN(rows); i++)
        if (!strcmp(key, rows[i].words)) {
            days = rows[i].days;
            is = true;
        }
    if (is) {
        out->known = true;
        out->ambiguous = false;
        out->from = out->to = day_add(today, days);
    }
    return is;
}

/* Words that say a day by another one, which is not said. */
static bool hangs_on_another(const char *key)
{
    static const char *const rows[] = {
        "next day",       "day after",      "following day", "next morning",
        "next evening",   "same day",       "later",         "same morning",
        "same evening",   "a day later",    "a week later",  "next week",
        "the week after", "later that day", "the same",      "next"};
    const char *s = strncmp(key, "the ", 4) ? key : key + 4;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (!strcmp(s, rows[i]))
            return true;
    return false;
}

/* Lower case, with the signs of typesetting as plain ones. */
static char *plain(const char *words)
{
    static const char *const signs[][2] = {
        {"–", "-"}, {"—", "-"},  {"−", "-"},   {"‐", "-"},
        {"’", "'"}, {"→", "->"}, {"…", "..."}, {"≈", "~"}};
    char *key = text_fold(words);
    struct text t = {0};

    for (const char *s = key; *s;) {
        size_t took = 0;
        for (size_t i = 0; i < ARRAY_LEN(signs) && !took; i++)
            if (!strncmp(s, signs[i][0], strlen(signs[i][0]))) {
                text_add(&t, signs[i][1]);
                took = strlen(signs[i][0]);
            }
        if (!took)
            text_add_n(&t, s, took = 1);
        s += took;
    }
    free(key);
    return text_take(&t);
}

/* "1/11": which of the two is the month. */
static bool ask_order(const struct reader *r)
{
    int a = r->tokens.token[0].value, b = r->tokens.token[2].value;

    if (a < 1 || b < 1 || a > 12 || b > 12 || a == b)
        return bad(r, "say the year as well");
    return error_set(r->err, ERR_INPUT, "\"%.80s\": say %d %s or %d %s",
                     r->typed, a, month_name(b), b, month_name(a));
}

static bool read_tokens(const struct reader *r, struct day_range *out)
{
    struct part part;
    bool found;

    if (r->tokens.count > TOKENS_MAX)
        return bad(r, "is too long to be read as a day");
    if (part_of(r, r->tokens.token, r->tokens.count, false, &part)) {
        if (r->tokens.bound == BOUND_NONE && soon(r, part))
            return false;
        if (!range_of(r, &part, out))
            return bad(r, "there is no such day");
    } else if (!years(r, out)) {
        bool ok = split(r, &found, out);
        if (!found && (shape_is(r->tokens.token, r->tokens.count, "n/n") ||
                       shape_is(r->tokens.token, r->tokens.count, "n-n")))
            return ask_order(r);
        if (!found && shape_is(r->tokens.token, r->tokens.count, "n"))
            return bad(r, "say the month as well, such as 3 May");
        if (!found)
            return bad(r, "cannot be read as a day; say 2026-05-03, 3 May "
                          "2026, May 2026, summer 2019, or words without a "
                          "number");
        if (!ok)
            return false;
    }
    out->known = true;
    narrow(r->tokens.third, out);
    if (r->tokens.about)
        widen(out);
    apply_bound(r, out);
    return true;
}

bool day_read(const char *words, struct day today, struct day_range *out,
              struct error *err)
{
    struct reader r = {.typed = words ? words : "", .today = today, .err = err};
    struct day_range range = {0};
    char *key = plain(r.typed);
    bool ok = true;

    if (hangs_on_another(key)) {
        ok = bad(&r, "which day was that? say the day itself, such as "
                     "2026-05-03, 3 May or yesterday");
    } else if (!relative(key, today, &range)) {
        bool digits = strpbrk(key, "0123456789") != NULL;

        r.tokens = tokens_of(key, today);
        ok = r.tokens.count > 0 && read_tokens(&r, &range);
        if (!ok && !digits) { /* words only: welcome, but no day */
            range = (struct day_range){0};
            ok = true;
        } else if (!ok && !r.tokens.count) {
            ok = bad(&r, "cannot be read as a day");
        }
    }
    free(key);
    if (ok)
        *out = range;
    return ok;
}

bool day_season(const char *words, int *month, int *months)
{
    char *key = plain(words ? words : "");
    struct tokens t = tokens_of(key, DAY_FIRST);
    char kind = t.token[0].kind;

    free(key);
    if (t.count != 1 || t.about || t.third || t.bound != BOUND_NONE ||
        (kind != 'S' && kind != 'M'))
        return false;
    *month = kind == 'S' ? season_month(t.token[0].value) : t.token[0].value;
    *months = kind == 'S' ? SEASON_MONTHS : 1;
    return true;
}

bool day_words_move(const char *words, struct day_range r)
{
    bool before = !day_compare(r.from, DAY_FIRST);
    struct day then = before ? r.to : r.from;
    /* Past the next leap year, for 29 February. */
    struct day later = day_add(then, 5 * 366);
    struct day_range a, b;
    struct error err;

    if (day_from_iso(words, &a.from)) /* the usual ones, at once */
        return false;
    if (!day_read(words, then, &a, &err) || !a.known)
        return false;
    if (a.ambiguous)
        return !day_compare(r.from, r.to);
    return day_read(words, later, &b, &err) && b.known &&
           (before ? day_compare(a.to, b.to) : day_compare(a.from, b.from));
}
