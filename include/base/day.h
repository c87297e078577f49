/*
 * Days as the dyer says them ("summer 2019", "?/10/23", "3.5.2026"), kept as
 * words beside the range of civil days they can mean. No clock here.
 */
#ifndef HANKLAB_BASE_DAY_H
#define HANKLAB_BASE_DAY_H

#include <stdbool.h>

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
 * 2026, summer 2019, "?/10/23", "before 2015", "about 2019", ranges a..b and
 * "a - b", today and yesterday (relative to `today`), blank and "unknown".
 * Seasons are the northern ones, meteorological; winter 2019 runs from
 * December 2019 to February 2020.
 *
 * err   ERR_INPUT  cannot be read as a day, or no such day (31.2.2026)
 */
bool day_read(const char *words, struct day today, struct day_range *out,
              struct error *err);

/* "2026-05-03"; out holds at least 11 bytes. */
void day_iso(struct day d, char out[11]);

/* The range back in words, as an echo: "2019-06-01 to 2019-08-31",
 * "2026-05-03", "2023-10 (day not known)", "not known". */
void day_range_words(struct day_range r, char *out, unsigned long size);

bool day_valid(struct day d);
int day_compare(struct day a, struct day b);
struct day day_add(struct day d, int days);

/* Today by the machine's clock and time zone (the only clock use here). */
struct day day_today(void);

#endif
