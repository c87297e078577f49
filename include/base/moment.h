/* A minute of a civil day, as "Sunday evening" or "2026-11-29 18:00": when work
 * shall be done. Of one place: time zones and summer time are not looked at. */
#ifndef HANKLAB_BASE_MOMENT_H
#define HANKLAB_BASE_MOMENT_H

#include "base/day.h"
#include "base/text.h"

struct moment {
    struct day day;
    int minute; /* 0 to 1439 */
};

/*
 * Reads a day, then a time: "Sunday 18:00", "tomorrow evening", "in 9
 * days", "2026-11-29 6 pm", "18:00" (today). A weekday is the next one, today
 * too; so is a day without a year ("6 December"). Morning is 9, noon 12,
 * afternoon 15, evening 18, night 22 o'clock: our own choice; a day alone is
 * its evening.
 *
 * err  ERR_INPUT  no such day or time, or no one day ("next May")
 */
bool moment_read(const char *words, struct moment now, struct moment *out,
                 struct error *err);

/* Reads a time alone: "8:30", "7", "10 pm", "evening"; 24:00 is 1440. False
 * for anything else. */
bool moment_clock(const char *words, int *minute);

/* "2026-11-29 18:00"; and back, false for anything else. */
void moment_iso(struct moment m, char out[17]);
bool moment_from_iso(const char *s, struct moment *out);

/* "Sun 29 Nov 18:00", "Tue  1 Dec 09:00": always as long. */
void moment_words(struct moment m, char out[24]);

/* "2 h 30 min", "45 min"; appended. */
void moment_duration(int minutes, struct text *out);

/* Minutes from a to b; and a moment so many minutes on, or back. */
int moment_between(struct moment a, struct moment b);
struct moment moment_add(struct moment m, int minutes);

/* By the machine's clock and time zone. */
struct moment moment_now(void);

#endif
