/*
 * An ICC profile out of the APP2 segments that carry it.
 *
 * Our own, because libjpeg's reader cannot tell "none" from "broken" and gives
 * up on a chunk that is there twice.
 *
 * Source: ICC.1:2022 annex B.4.
 */
#ifndef HANKLAB_PHOTO_PROFILE_H
#define HANKLAB_PHOTO_PROFILE_H

#include <stdbool.h>
#include <stddef.h>

#include "photo/photo.h"

#define PROFILE_MAX_BYTES (4u << 20) /* cameras need 3 kB, scanners 1 MB */

/* All zero is an empty one; the chunks are borrowed from the file. */
struct profile_parts {
    struct {
        const unsigned char *p;
        size_t size;
    } part[256];  /* by sequence number, which starts at 1 */
    size_t total; /* bytes of all parts */
    int count;    /* chunks there should be; 0 before the first */
    bool broken;  /* a number out of range, or two chunks in conflict */
};

/* Takes an APP2 segment; one that is no ICC chunk is left alone. */
void profile_take(struct profile_parts *parts, const unsigned char *body,
                  size_t size);

/* Puts the chunks together; *out (release with free) and *size are set only
 * for PHOTO_ICC_WHOLE. */
enum photo_icc profile_join(const struct profile_parts *parts,
                            unsigned char **out, size_t *size);

#endif
