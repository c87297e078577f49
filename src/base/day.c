/* Civil days and how they are written. See the header; day_read.c reads them.
 */
#include "base/day.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* ---- the calendar ---------------------------------------------------------
 */

static bool leap(int y)
{
    return y % 4 == 0 && (y % 100 != 0 || y % 400 == 0);
}

int day_month_days(int y, int m)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

    return days[m - 1] + (m == 2 && leap(y));
}

bool day_valid(struct day d)
{
    return d.year >= 1000 && d.year <= 9999 && d.month >= 1 && d.month <= 12 &&
           d.day >= 1 && d.day <= day_month_days(d.year, d.month);
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
        n += day_month_days(d.year, m);
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
    unsigned n = (unsigned)d.year % 10000 * 10000 +
                 (unsigned)d.month % 100 * 100 + (unsigned)d.day % 100;

    memcpy(out, "0000-00-00", 11);
    for (int at = 9; n; n /= 10, at -= at == 8 || at == 5 ? 2 : 1)
        out[at] = (char)('0' + n % 10);
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
    return r.from.day == 1 && r.to.day == day_month_days(r.to.year, r.to.month);
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
