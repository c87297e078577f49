/*
 * Devices that may open a shared page: a phone in the kitchen is let in once,
 * by a code that is good once, and is known again by a token it keeps.
 *
 * They stand in a file of their own beside the book, not in it: a copy of the
 * book, or a restored one, lets nobody in, and no undo brings back a device
 * that was sent away. Of a token only its SHA-256 is kept.
 */
#ifndef HANKLAB_BOOK_DEVICE_H
#define HANKLAB_BOOK_DEVICE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"

#define DEVICE_TOKEN_CHARS 64 /* 256 bits in hexadecimal digits */
#define DEVICE_CODE_CHARS 6   /* digits: typed with wet hands */
#define DEVICE_NAME_MAX 60    /* bytes of UTF-8 */

/* How long a code is good, and how many wrong ones it bears: the chance of a
 * guess is 5 in a million. After each wrong one nothing is taken for 1, 2, 4
 * and 8 seconds. */
#define DEVICE_CODE_MINUTES 10
#define DEVICE_WRONG_MAX 5

/* One that was let in; texts are owned, see device_list_free. */
struct device {
    int number; /* never used again */
    char *name; /* no other device has or had it, so that the history can say
                   it */
    char paired_on[11], seen_on[11]; /* "2026-05-03" */
    bool revoked;
};

/* All that ever were let in, by number. ERR_STORE. */
bool device_list(const char *folder, struct device **out, size_t *count,
                 struct error *err);
void device_list_free(struct device *devices, size_t count);

/* Sends one away for good, named by its number or its name. ERR_MISSING, or
 * ERR_INPUT when it is away already. */
bool device_revoke(const char *folder, const char *which, struct error *err);

/* Gives it another name. ERR_MISSING; ERR_INPUT when the name cannot be one or
 * another device has or had it. */
bool device_rename(const char *folder, const char *which, const char *name,
                   struct error *err);

/* The name of the device that has this token, and that it was seen today;
 * *name is NULL for nobody's, release it with free(). ERR_STORE. */
bool device_known(const char *folder, const char *token, char **name,
                  struct error *err);

/* ---- letting one in ------------------------------------------------------ */

/* What a new device needs. Release with device_offer_clear. */
struct device_offer {
    char code[DEVICE_CODE_CHARS + 1]; /* "" when none is good */
    int64_t until;                    /* UTC milliseconds */
    char *at; /* where the page is shared, "http://192.168.1.5:8137/"; NULL:
                 nowhere */
};

/* A new code, in place of an earlier one. ERR_STORE. */
bool device_offer_new(const char *folder, struct device_offer *out,
                      struct error *err);
/* The present one. ERR_STORE. */
bool device_offer_now(const char *folder, struct device_offer *out,
                      struct error *err);
void device_offer_clear(struct device_offer *offer);

/* Says where the page is shared from now on; NULL: nowhere, and the code is
 * good no more. ERR_STORE. */
bool device_shared_at(const char *folder, const char *at, struct error *err);

/*
 * Lets a device in.
 *
 * code   what was typed; blanks and dashes in it do not count
 * name   what it shall be called; NULL or blank: "device 3"
 * token  what the device has to keep
 * err    ERR_INPUT  the code is not the one (begins with "code: "), there is
 *                   none that is good; the name cannot be one, or is taken
 *                   (begins with "name: ", and the code is still good)
 *        ERR_LIMIT  too soon after a wrong one
 *        ERR_STORE
 */
bool device_pair(const char *folder, const char *code, const char *name,
                 char token[DEVICE_TOKEN_CHARS + 1], struct error *err);

/* What the forms of one device carry, made from what those of the book do and
 * from its token: 32 hexadecimal digits, of no use to another device. */
void device_mark(const char *secret, const char *token, char out[33]);

#endif
