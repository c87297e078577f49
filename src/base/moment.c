/* Minutes of civil days, in words. See base/moment.h. */
#include "base/moment.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/mem.h"

#define DAY 1440

static const char *const weekday[] = {"monday",   "tuesday", "wednesday",
                                      "thursday", "friday",  "saturday",
                                      "sunday"};

/* 0 is Monday; 2024 began with one. */
static int weekday_of(struct day d)
{
    int n = day_between((struct day){2024, 1, 1}, d) % 7;

    return n < 0 ? n + 7 : n;
}

static bool named_clock(const char *s, int *minute)
{
    static const struct {
        const char *word;
        int hour;
    } times[] = {{"morning", 9},    {"noon", 12},    {"midday", 12},
                 {"afternoon", 15}, {"evening", 18}, {"night", 22}};

    for (size_t i = 0; i < ARRAY_LEN(times); i++)
        if (!strcmp(s, times[i].word)) {
            *minute = times[i].hour * 60;
            return true;
        }
    return false;
}

/* "18", "18:30", "6 pm"; s is folded. */
static bool read_clock(const char *s, int *minute)
{
    int hour, rest = 0, n = 0;
    bool half;

    if (named_clock(s, minute))
        return true;
    if (strspn(s, "0123456789") < 1 || strspn(s, "0123456789") > 2)
        return false;
    hour = (int)strtol(s, NULL, 10);
    s += strspn(s, "0123456789");
    if (*s == ':') {
        if (strspn(s + 1, "0123456789") != 2)
            return false;
        rest = (int)strtol(s + 1, NULL, 10);
        s += 3;
    }
    s += *s == ' ';
    half = !strcmp(s, "am") || !strcmp(s, "pm");
    if ((*s && !half && strcmp(s, "h") != 0) || rest > 59 ||
        (half && (hour < 1 || hour > 12)))
        return false;
    n = half ? hour % 12 + (*s == 'p' ? 12 : 0) : hour;
    *minute = n * 60 + rest;
    return *minute <= DAY;
}

bool moment_clock(const char *words, int *minute)
{
    char *s = text_fold(words);
    bool ok = read_clock(s, minute);

    free(s);
    return ok;
}

/* Cuts the time off the end of folded words, the longest that is one; a lone
 * number behind a day is an hour. */
static bool take_clock(char *s, int *minute)
{
    for (char *at = s; at; at = strchr(at, ' ')) {
        char *from = at + (*at == ' ');

        at = from;
        if (!read_clock(from, minute) ||
            (from == s && strspn(from, "0123456789") == strlen(from)))
            continue;
        if (*minute == DAY)
            continue;
        *from = '\0';
        if (from > s)
            from[-1] = '\0';
        return true;
    }
    return false;
}

/* The next one, today too, of a day that says no year: day_read takes the
 * latest that has begun. 29 February may be eight years off (1896 to 1904). */
static bool next_day(const char *s, struct day today, struct day *out)
{
    struct day_range r;
    struct error none;

    if (!strpbrk(s, "0123456789"))
        return false; /* "yesterday" */
    for (int year = today.year; year <= today.year + 8; year++) {
        /* On the last day of a year the first week of the next is not read. */
        if (!day_read(s, (struct day){year, 12, 31}, &r, &none) &&
            !day_read(s, (struct day){year, 6, 30}, &r, &none))
            return false;
        if (r.known && day_compare(r.from, r.to) == 0 &&
            day_compare(r.from, today) >= 0) {
            *out = r.from;
            return true;
        }
    }
    return false;
}

static bool read_day(const char *s, struct day today, struct day *out,
                     struct error *err)
{
    struct day_range range;
    int days;

    if (!*s || !strcmp(s, "today") || !strcmp(s, "this") ||
        !strcmp(s, "tonight")) {
        *out = today;
        return true;
    }
    if (!strcmp(s, "tomorrow")) {
        *out = day_add(today, 1);
        return true;
    }
    if (day_away(s, &days)) {
        *out = day_add(today, days);
        return true;
    }
    for (int i = 0; i < 7; i++)
        if (!strcmp(s, weekday[i]) ||
            (strlen(s) == 3 && !strncmp(s, weekday[i], 3))) {
            *out = day_add(today, (i - weekday_of(today) + 7) % 7);
            return true;
        }
    if (next_day(s, today, out))
        return true;
    if (!day_read(s, today, &range, err))
        return false;
    if (!range.known || day_compare(range.from, range.to) != 0)
        return error_set(err, ERR_INPUT,
                         "\"%.80s\" is no one day: write it as \"Sunday\" or "
                         "as 2026-11-29, and a time behind it",
                         s);
    *out = range.from;
    return true;
}

bool moment_read(const char *words, struct moment now, struct moment *out,
                 struct error *err)
{
    char *s = text_fold(words);
    const char *day = s;
    bool ok;

    out->minute = 18 * 60;
    take_clock(s, &out->minute);
    if (!strcmp(s, "tonight"))
        out->minute = 22 * 60;
    if (!strncmp(day, "on ", 3) || !strncmp(day, "by ", 3))
        day += 3;
    ok = read_day(day, now.day, &out->day, err);
    free(s);
    return ok;
}

void moment_iso(struct moment m, char out[17])
{
    char day[11];

    day_iso(m.day, day);
    snprintf(out, 17, "%s %02u:%02u", day, (unsigned)m.minute / 60 % 24,
             (unsigned)m.minute % 60);
}

bool moment_from_iso(const char *s, struct moment *out)
{
    char day[11];

    if (strlen(s) != 16 || s[10] != ' ' || s[13] != ':')
        return false;
    memcpy(day, s, 10);
    day[10] = '\0';
    return day_from_iso(day, &out->day) && read_clock(s + 11, &out->minute) &&
           out->minute < DAY;
}

void moment_words(struct moment m, char out[24])
{
    static const char *const month[] = {"Jan", "Feb", "Mar", "Apr",
                                        "May", "Jun", "Jul", "Aug",
                                        "Sep", "Oct", "Nov", "Dec"};
    const char *name = weekday[weekday_of(m.day)];

    snprintf(out, 24, "%c%.2s %2d %s %02u:%02u", name[0] - 'a' + 'A', name + 1,
             m.day.day, month[m.day.month - 1], (unsigned)m.minute / 60 % 24,
             (unsigned)m.minute % 60);
}

void moment_duration(int minutes, struct text *out)
{
    if (minutes >= 60)
        text_addf(out, "%d h", minutes / 60);
    if (minutes % 60 || minutes < 60)
        text_addf(out, "%s%d min", minutes >= 60 ? " " : "", minutes % 60);
}

int moment_between(struct moment a, struct moment b)
{
    return day_between(a.day, b.day) * DAY + b.minute - a.minute;
}

struct moment moment_add(struct moment m, int minutes)
{
    int sum = m.minute + minutes, days = sum / DAY;

    if (sum % DAY < 0)
        days--;
    return (struct moment){day_add(m.day, days), sum - days * DAY};
}

struct moment moment_now(void)
{
    time_t t = time(NULL);
    struct tm tm;

    if (!localtime_r(&t, &tm))
        return (struct moment){day_today(), 0};
    return (struct moment){day_today(), tm.tm_hour * 60 + tm.tm_min};
}
