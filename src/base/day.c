/* Civil days, and days as the dyer says them. See the header.
 * Words become tokens, the tokens a shape such as "n/n/Y", and a table says
 * what each place of a shape means. */
#include "base/day.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/mem.h"
#include "base/text.h"

/* ---- the calendar ---------------------------------------------------------
 */

static bool leap(int y)
{
    return y % 4 == 0 && (y % 100 != 0 || y % 400 == 0);
}

static int month_days(int y, int m)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

    return days[m - 1] + (m == 2 && leap(y));
}

bool day_valid(struct day d)
{
    return d.year >= 1000 && d.year <= 9999 && d.month >= 1 && d.month <= 12 &&
           d.day >= 1 && d.day <= month_days(d.year, d.month);
}

int day_compare(struct day a, struct day b)
{
    int by = a.year != b.year     ? a.year - b.year
             : a.month != b.month ? a.month - b.month
                                  : a.day - b.day;

    return (by > 0) - (by < 0);
}

/* Days since 31 December of the year 0. */
static int number(struct day d)
{
    int y = d.year - 1, n = y * 365 + y / 4 - y / 100 + y / 400 + d.day;

    for (int m = 1; m < d.month; m++)
        n += month_days(d.year, m);
    return n;
}

int day_between(struct day a, struct day b)
{
    return number(b) - number(a);
}

struct day day_add(struct day d, int days)
{
    long long n = (long long)number(d) + days;
    struct day to = {0, 1, 1};

    if (n <= number(DAY_FIRST))
        return DAY_FIRST;
    if (n >= number(DAY_LAST))
        return DAY_LAST;
    to.year = (int)(n / 366); /* never too late: then up to the year */
    while (number((struct day){to.year + 1, 1, 1}) <= n)
        to.year++;
    while (to.month < 12 && number((struct day){to.year, to.month + 1, 1}) <= n)
        to.month++;
    to.day = (int)n - number(to) + 1;
    return to;
}

struct day day_today(void)
{
    time_t now = time(NULL);
    struct tm tm;

    if (!localtime_r(&now, &tm))
        return DAY_FIRST;
    return (struct day){tm.tm_year + 1900, tm.tm_mon + 1, tm.tm_mday};
}

void day_iso(struct day d, char out[11])
{
    snprintf(out, 11, "%04u-%02u-%02u", (unsigned)d.year % 10000,
             (unsigned)d.month % 100, (unsigned)d.day % 100);
}

bool day_from_iso(const char *s, struct day *out)
{
    struct day d = {0, 0, 0};
    static const char shape[] = "dddd-dd-dd";

    for (size_t i = 0; i < sizeof shape - 1; i++)
        if (shape[i] == 'd' ? s[i] < '0' || s[i] > '9' : s[i] != shape[i])
            return false;
    if (s[sizeof shape - 1])
        return false;
    d.year = (int)strtol(s, NULL, 10);
    d.month = (int)strtol(s + 5, NULL, 10);
    d.day = (int)strtol(s + 8, NULL, 10);
    if (!day_valid(d))
        return false;
    *out = d;
    return true;
}

static bool whole_months(struct day_range r)
{
    return r.from.day == 1 && r.to.day == month_days(r.to.year, r.to.month);
}

void day_range_words(struct day_range r, char *out, size_t size)
{
    char from[11], to[11];

    if (!r.known) {
        snprintf(out, size, "not known");
        return;
    }
    day_iso(r.from, from);
    day_iso(r.to, to);
    if (!day_compare(r.from, r.to)) {
        snprintf(out, size, "%s", from);
    } else if (r.ambiguous) {
        snprintf(out, size, "%s or %s", from, to);
    } else if (!day_compare(r.from, DAY_FIRST)) {
        day_iso(day_add(r.to, 1), to);
        snprintf(out, size, "before %s", to);
    } else if (!day_compare(r.to, DAY_LAST)) {
        snprintf(out, size, "%s or later", from);
    } else if (whole_months(r) && r.from.year == r.to.year &&
               r.from.month == r.to.month) {
        snprintf(out, size, "%.7s (day not known)", from);
    } else if (whole_months(r) && r.from.year == r.to.year &&
               r.from.month == 1 && r.to.month == 12) {
        snprintf(out, size, "%.4s (day not known)", from);
    } else {
        snprintf(out, size, "%s to %s", from, to);
    }
}

/* ---- tokens ---------------------------------------------------------------
 */

enum { TOKENS_MAX = 24 };

/*
 * kind: n number of 1 or 2 digits, Y year of 4, N day of 8 digits, M month
 * name, S season, D decade, U unknown ("?", "xx"), - / . signs, ~ a range,
 * W any other word.
 */
struct token {
    char kind;
    int value; /* month 1..12, season 0 spring .. 3 winter, or the number */
    int digits;
    char word[32];
};

enum bound { BOUND_NONE, BOUND_BEFORE, BOUND_UNTIL, BOUND_AFTER, BOUND_SINCE };

struct reader {
    const char *typed;
    struct day today;
    struct error *err;
    struct token token[TOKENS_MAX];
    size_t count;
    bool about;
    enum bound bound;
    int third; /* 1 early, 2 mid, 3 late, 0 not said */
};

static bool bad(const struct reader *r, const char *why)
{
    return error_set(r->err, ERR_INPUT, "\"%.80s\": %s", r->typed, why);
}

static bool one_of(const char *word, const char *list)
{
    size_t n = strlen(word);

    for (const char *at = list; n && (at = strstr(at, word)); at++)
        if ((at == list || at[-1] == ' ') && (at[n] == ' ' || !at[n]))
            return true;
    return false;
}

/* The index of the name that word is or begins, at least 3 letters. */
static int named(const char *word, const char *const *names, int count)
{
    size_t n = strlen(word);

    for (int i = 0; n >= 3 && i < count; i++)
        if (!strncmp(word, names[i], n) ||
            (n == 4 && !strncmp(word, "sept", n) &&
             !strcmp(names[i], "september")))
            return i;
    return -1;
}

static int full_year(const struct reader *r, int two_digits)
{
    int year = r->today.year - r->today.year % 100 + two_digits;

    return year > r->today.year + 1 ? year - 100 : year;
}

static void add(struct reader *r, char kind, int value, int digits)
{
    if (r->count < TOKENS_MAX)
        r->token[r->count] = (struct token){kind, value, digits, ""};
    r->count++; /* above TOKENS_MAX: too long, refused later */
}

static bool digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool letter(char c)
{
    return (c >= 'a' && c <= 'z') || (unsigned char)c >= 0x80;
}

static size_t add_number(struct reader *r, const char *s, bool short_year)
{
    size_t n = 0;
    int value = 0;

    while (digit(s[n])) {
        if (n < 8)
            value = value * 10 + (s[n] - '0');
        n++;
    }
    if (short_year && n == 2)
        add(r, 'Y', full_year(r, value), 4);
    else
        add(r, n <= 2 ? 'n' : n == 4 ? 'Y' : n == 8 ? 'N' : 'W', value, (int)n);
    if (n == 4 && s[n] == 's' && !letter(s[n + 1]) && value % 10 == 0 &&
        r->count <= TOKENS_MAX) {
        r->token[r->count - 1].kind = 'D';
        return n + 1;
    }
    if (!strncmp(s + n, "st", 2) || !strncmp(s + n, "nd", 2) ||
        !strncmp(s + n, "rd", 2) || !strncmp(s + n, "th", 2))
        n += letter(s[n + 2]) ? 0 : 2;
    return n;
}

/* Words that say something about the whole are noted and dropped. */
static bool noted(struct reader *r, const char *word)
{
    if (one_of(word, "about circa ca c around approx approximately roughly "
                     "maybe probably perhaps"))
        r->about = true;
    else if (one_of(word, "early beginning start"))
        r->third = 1;
    else if (one_of(word, "mid middle"))
        r->third = 2;
    else if (one_of(word, "late end"))
        r->third = 3;
    else if (r->count == 0 && one_of(word, "before"))
        r->bound = BOUND_BEFORE;
    else if (r->count == 0 && one_of(word, "until till by"))
        r->bound = BOUND_UNTIL;
    else if (r->count == 0 && one_of(word, "after"))
        r->bound = BOUND_AFTER;
    else if (r->count == 0 && one_of(word, "since"))
        r->bound = BOUND_SINCE;
    else
        return one_of(word, "of the in on at from between day year month");
    return true;
}

static void add_word(struct reader *r, const char *word)
{
    static const char *const months[] = {
        "january", "february", "march",     "april",   "may",      "june",
        "july",    "august",   "september", "october", "november", "december"};
    static const char *const days[] = {"monday",   "tuesday", "wednesday",
                                       "thursday", "friday",  "saturday",
                                       "sunday"};
    static const char *const seasons[] = {"spring", "summer", "autumn",
                                          "winter", "fall"};
    int i = named(word, months, ARRAY_LEN(months));

    if (i >= 0) {
        add(r, 'M', i + 1, 0);
        return;
    }
    for (i = 0; i < (int)ARRAY_LEN(seasons); i++)
        if (!strcmp(word, seasons[i])) {
            add(r, 'S', i == 4 ? 2 : i, 0);
            return;
        }
    if (one_of(word, "to until till through thru and") && r->count) {
        add(r, '~', 0, 0);
        return;
    }
    if (one_of(word, "x xx xxxx")) {
        add(r, 'U', 0, 0);
        return;
    }
    if (noted(r, word) || named(word, days, ARRAY_LEN(days)) >= 0)
        return;
    add(r, 'W', 0, 0);
    if (r->count <= TOKENS_MAX)
        snprintf(r->token[r->count - 1].word, sizeof r->token[0].word, "%s",
                 word);
}

static size_t take_word(struct reader *r, const char *s)
{
    char word[32];
    size_t n = 0;

    while (letter(s[n]) && s[n] != '\0')
        n++;
    snprintf(word, sizeof word, "%.*s", (int)(n < 31 ? n : 31), s);
    add_word(r, word);
    return n;
}

/* A "?" beside a sign stands for a part; elsewhere it doubts the whole. */
static size_t take_question(struct reader *r, const char *key, const char *s)
{
    size_t n = strspn(s, "?");
    bool sign_before = s > key && strchr("/.-", s[-1]);
    bool sign_after = s[n] && strchr("/.-", s[n]);

    if (sign_before || sign_after)
        add(r, 'U', 0, 0);
    else
        r->about = true;
    return n;
}

/* Takes "12:30" and all behind it, with the t or "at" before it gone too. */
static bool is_clock(const char *s)
{
    size_t n = strspn(s, "0123456789");

    return n >= 1 && n <= 2 && s[n] == ':' && digit(s[n + 1]);
}

static size_t take_sign(struct reader *r, const char *key, const char *s)
{
    if (!strncmp(s, "->", 2) || !strncmp(s, "..", 2)) {
        add(r, '~', 0, 0);
        return strncmp(s, "...", 3) ? 2 : 3;
    }
    if (*s == '-' && s > key && s[-1] == ' ' && s[1] == ' ') {
        add(r, '~', 0, 0);
        return 1;
    }
    if (*s == '.' && r->count && r->count <= TOKENS_MAX &&
        r->token[r->count - 1].kind == 'M')
        return 1; /* "Sept." */
    if (*s == '-' && !r->count && r->third)
        return 1; /* "mid-May" */
    if (strchr("/.-", *s))
        add(r, *s, 0, 0);
    else if (*s == '~')
        r->about = true;
    else if (!strchr(" ,;'()", *s))
        add(r, 'W', 0, 0);
    return 1;
}

static void tokens_of(struct reader *r, const char *key)
{
    for (const char *s = key; *s;) {
        if (is_clock(s) && s > key && !digit(s[-1])) {
            struct token *last = r->count ? &r->token[r->count - 1] : NULL;
            if (last && r->count <= TOKENS_MAX && !strcmp(last->word, "t"))
                r->count--;
            return;
        }
        if (digit(*s))
            s += add_number(r, s, s > key && s[-1] == '\'');
        else if (letter(*s))
            s += take_word(r, s);
        else if (*s == '?')
            s += take_question(r, key, s);
        else
            s += take_sign(r, key, s);
    }
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
    {"nMY", "dmy"},     {"n.MY", "d-my"},   {"nMn", "dmy"},
    {"n.Mn", "d-my"},   {"n-M-Y", "d-m-y"}, {"n-M-n", "d-m-y"},
    {"n/M/Y", "d-m-y"}, {"n/M/n", "d-m-y"}, {"UMY", "-my"},
    {"MnY", "mdy"},     {"Mnn", "mdy"},     {"MY", "my"},
    {"YM", "ym"},       {"YMn", "ymd"},     {"Mn", "md"},
    {"nM", "dm"},       {"n.M", "d-m"},     {"M", "m"},
    {"SY", "sy"},       {"YS", "ys"},       {"Sn", "sy"},
    {"S", "s"},         {"SY/n", "sy--"},   {"SY-n", "sy--"},
    {"SY/Y", "sy--"},   {"SY-Y", "sy--"},   {"Y", "y"},
    {"D", "D"},         {"n", "d"},         {"n.", "d-"},
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
        p->year = t->kind == 'n' ? full_year(r, t->value) : t->value;
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
        if (p.month && p.day > 31 && !p.year) { /* "May 98" */
            p.year = full_year(r, p.day);
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
    out->to.day = month_days(last_year, last);
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

static bool ends_of(const struct part *p, struct day_range *out)
{
    out->known = true;
    out->ambiguous = false;
    if (p->first)
        return either_order(p, out);
    if (p->season >= 0)
        return month_range(p->year, 3 + 3 * p->season, 3, out);
    if (p->day) {
        out->from = out->to = (struct day){p->year, p->month, p->day};
        return day_valid(out->from);
    }
    if (p->month)
        return month_range(p->year, p->month, 1, out);
    return month_range(p->year, 1, p->decade ? 120 : 12, out);
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
    const struct token *t = r->token;
    int last;

    if (r->count != 3 || t[0].kind != 'Y' || t[2].kind != 'n' ||
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
        for (size_t i = 1; i + 1 < r->count; i++) {
            struct part left, right;

            if (r->token[i].kind == *sign &&
                part_of(r, r->token, i, true, &left) &&
                part_of(r, r->token + i + 1, r->count - i - 1, false, &right))
                return span(r, left, right, out);
        }
    /* "May 3-5, 2026" */
    if (shape_is(r->token, r->count, "Mn-nY")) {
        const struct token *t = r->token;
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

static void widen(struct day_range *r)
{
    int days = day_between(r->from, r->to) + 1;

    if (days < 7)
        days = 7;
    r->from = day_add(r->from, -days);
    r->to = day_add(r->to, days);
    r->ambiguous = false;
}

static void apply_bound(const struct reader *r, struct day_range *range)
{
    struct day first = range->from, last = range->to;

    if (r->bound == BOUND_NONE)
        return;
    range->ambiguous = false;
    if (r->bound == BOUND_BEFORE || r->bound == BOUND_UNTIL) {
        range->from = DAY_FIRST;
        range->to = r->bound == BOUND_UNTIL ? last : day_add(first, -1);
        return;
    }
    range->from = r->bound == BOUND_SINCE ? first : day_add(last, 1);
    range->to = day_compare(range->from, r->today) <= 0 ? r->today : DAY_LAST;
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

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (!strcmp(key, rows[i].words)) {
            out->known = true;
            out->ambiguous = false;
            out->from = out->to = day_add(today, rows[i].days);
            return true;
        }
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

static bool read_tokens(const struct reader *r, struct day_range *out)
{
    struct part part;
    bool found;

    if (r->count > TOKENS_MAX)
        return bad(r, "is too long to be read as a day");
    if (part_of(r, r->token, r->count, false, &part)) {
        if (!range_of(r, &part, out))
            return bad(r, "there is no such day");
    } else if (!years(r, out)) {
        bool ok = split(r, &found, out);
        if (!found)
            return bad(r, "cannot be read as a day; say 2026-05-03, 3 May "
                          "2026, May 2026, summer 2019 or words");
        if (!ok)
            return false;
    }
    out->known = true;
    narrow(r->third, out);
    if (r->about)
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

    if (!relative(key, today, &range)) {
        bool digits = strpbrk(key, "0123456789") != NULL;

        tokens_of(&r, key);
        ok = r.count > 0 && read_tokens(&r, &range);
        if (!ok && !digits) { /* words only: welcome, but no day */
            range = (struct day_range){0};
            ok = true;
        } else if (!ok && !r.count) {
            ok = bad(&r, "cannot be read as a day");
        }
    }
    free(key);
    if (ok)
        *out = range;
    return ok;
}
