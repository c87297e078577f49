/*
 * Photographs reckoned from spectra: dyed wool, a chart, lamps and the
 * sensitivities of real cameras, from the folder that HANKLAB_TEST_SPECTRA
 * names. What a camera does not see as the eye does is in these alone. For the
 * tests, and for "make accuracy".
 */
#ifndef HANKLAB_TESTS_SPECTRA_SUPPORT_H
#define HANKLAB_TESTS_SPECTRA_SUPPORT_H

#include "truth_support.h"

#define SPECTRAL_CAMERAS 12

/* The folder, or NULL. */
const char *spectra(void);

/* What of the chart beside the wool is known. */
enum spectral_known { SPECTRAL_CARD, SPECTRAL_GREYS, SPECTRAL_CHART };

struct spectral_shot {
    const char *light; /* a column of illuminants-5nm.csv */
    int camera;        /* 0..SPECTRAL_CAMERAS-1 */
    double tone;       /* an S in the codes, 0: none */
    enum spectral_known known;
};

/* Draws it as a JPEG, measures every wool in it, and adds what is off and how
 * many coordinates lie within two sigmas. Each wool is as good as another:
 * `off`, room for SPECTRAL_WOOLS, takes the dE00 of those that were read. */
#define SPECTRAL_WOOLS 92
size_t spectral_read(struct spectral_shot shot, struct errors *errors,
                     struct cover *coordinates, double off[SPECTRAL_WOOLS]);

#endif
