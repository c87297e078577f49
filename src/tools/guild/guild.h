/* What the two halves of guild share: rows to be written, and chance. */
#ifndef HANKLAB_TOOLS_GUILD_H
#define HANKLAB_TOOLS_GUILD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "book/sheaf.h"

/* ---- rows; what goes wrong ends the program ------------------------------ */

enum kind {
    ACT,
    DYER,
    MATERIAL,
    SUPPLY,
    FIBRE,
    WATER,
    CARD,
    SKEIN,
    ORIGIN,
    BATH,
    PH,
    TREATMENT,
    ENTRY,
    DOSE,
    PHOTO,
    READING,
    REGION,
    KINDS
};

/* Makes a book for the rows. */
void rows_open(const char *folder);

/* A new record, whose values are then set; what is not set is NULL. */
struct sheaf *begin(enum kind kind);

/* Its id. */
int64_t end(struct sheaf *q);

/* Says where a skein is now. */
void move(int64_t skein, const char *place);

/* What follows belongs to an act of that day, counted from the first one. */
void act(const char *what, int day);

/* Makes what is kept for looking up, and closes the book. */
void rows_close(void);

/* ---- chance -------------------------------------------------------------- */

uint64_t bits(void);
double unit(void); /* between 0 and 1 */
double between(double low, double high);
double normal(double sd);
bool chance(int percent);
int64_t dice(int64_t n);  /* 0 to n - 1 */
int64_t usual(int64_t n); /* the first ones are the most used */
void fill(unsigned char *out, size_t size); /* with 8 bytes at a time */

#endif
