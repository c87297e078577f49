/* Bytes to a colour profile, and a few colours through it. */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "colour/icc.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const unsigned char rgb[] = {0,  0,   0,   255, 255, 255,
                                        90, 160, 200, 255, 0,   7};
    double light[3][256], m[3][3];
    struct icc *icc = NULL;
    struct error err = {0};
    struct xyz xyz[4];

    if (!icc_open(data, size, &icc, &err)) {
        assert(!icc && err.kind == ERR_INPUT && err.text[0]);
        return 0;
    }
    icc_to_xyz(icc, rgb, xyz, 4);
    /* what the probe promises */
    assert(fabs(xyz[0].Y) < 0.011 && fabs(xyz[1].Y - 1) < 0.011);
    assert(strlen(icc_name(icc)) < 80);
    if (icc_is_matrix(icc)) {
        icc_curves(icc, light, m);
        assert(light[0][255] >= light[0][0]);
    }
    icc_close(icc);
    return 0;
}
