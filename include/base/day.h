/*
 * Days as the dyer says them ("summer 2019", "?/10/23", "3.5.2026"), kept as
 * words beside the range of civil days they can mean. No clock here.
 */
#ifndef HANKLAB_BASE_DAY_H
#define HANKLAB_BASE_DAY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

/* A civil day of the proleptic Gregorian calendar, year 1000..9999. */
struct day {
    int year, month, day;
};

/* What words were read as. */
struct day_range {
    bool known;          /* false: blank, "unknown": the days are not set */
    struct day from, to; /* inclusive; equal for one exact day */
    bool ambiguous;      /* dd/mm or mm/dd: the range covers both readings */
};

/*
 * Reads a day. Accepts 2026-05-03, 3.5.2026, 3/5/26, 3 May 2026, May 2026,
 * 2026, summer 2019, "?/10/23", "before 2015", "since May 2020", "about 2019",
 * "late August 2020", "1990s", ranges a..b and "a - b" ("3-5 May 2026"), today,
 * yesterday and what day_away reads (relative to `today`), blank and "unknown".
 * A time of day behind it is left out. "26/11" is a day and its month, since it
 * can be nothing else; "3/5" has to say its month by name.
 *
 * Seasons are the northern ones, meteorological; winter 2019 runs from
 * December 2019 to February 2020. Dots put the day first; slashes and dashes
 * can be either way round. A year of two digits is the latest that is at most
 * next year; a day or month without a year is the latest that has begun, but
 * a day that comes within a week has to say its year.
 * "About" widens by its own length, at least a week, to either side; "before"
 * starts at DAY_FIRST.
 *
 * Words without a digit that say no day ("when the children were small") are
 * welcome: known is false.
 *
 * err   ERR_INPUT  has digits but cannot be read as a day, or there is no such
 *                  day (31.2.2026), or hangs on another ("next day")
 */
bool day_read(const char *words, struct day today, struct day_range *out,
              struct error *err);

/* Reads "in 9 days", "in 8 weeks", "3 days ago", at most 500 of them, in lower
 * case; days from today. False for any other words. */
bool day_away(const char *words, int *days);

/* Reads a bare season or month, of no year: "summer", "May". month is 1..12,
 * months how many from there on; false for any other words. */
bool day_season(const char *words, int *month, int *months);

#define DAY_FIRST ((struct day){1000, 1, 1})
#define DAY_LAST ((struct day){9999, 12, 31})

/* "2026-05-03"; out holds at least 11 bytes. */
void day_iso(struct day d, char out[11]);

/* Reads exactly "2026-05-03"; false for anything else and for no such day. */
bool day_from_iso(const char *s, struct day *out);

/* The range back in words, as an echo: "2019-06-01 to 2019-08-31",
 * "2026-05-03", "2026-03-05 or 2026-05-03", "2023-10 (day not known)",
 * "before 2015-01-01", "not known". */
void day_range_words(struct day_range r, char *out, size_t size);

/* Whether words say another day when they are read on another one ("yesterday",
 * "3 May"), or one of two that was meant ("3/5/2026"). Where such a day is
 * shown, the days they were read as, r, are. */
bool day_words_move(const char *words, struct day_range r);

bool day_valid(struct day d);
/* Days of a month, month 1..12. */
int day_month_days(int year, int month);

/* -1, 0 or 1 as a is before, on or after b. */
int day_compare(struct day a, struct day b);

/* Stops at DAY_FIRST and DAY_LAST. */
struct day day_add(struct day d, int days);

/* Days from a to b. */
int day_between(struct day a, struct day b);

/* Today by the machine's clock and time zone (the only clock use here). */
struct day day_today(void);

#endif
