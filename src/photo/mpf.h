/*
 * Further pictures in the same file (Multi-Picture Format).
 *
 * Source: CIPA DC-007-2009 section 5.2.
 */
#ifndef HANKLAB_PHOTO_MPF_H
#define HANKLAB_PHOTO_MPF_H

#include "photo/segment.h"

struct mpf {
    unsigned pictures; /* 0 when it does not say */
    bool gain_map;     /* one of them is a gain map */
};

/* Reads an MPF segment of the file it lies in; damage gives less. */
struct mpf mpf_read(const unsigned char *data, size_t size,
                    const struct segment *mpf);

#endif
