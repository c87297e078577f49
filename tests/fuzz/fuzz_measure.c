/* Eight bytes of boxes and the bytes of a JPEG, measured. */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "measure/measure.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_region(const struct measure_region *r)
{
    if (r->refused) {
        assert(r->why[0] && isnan(r->lab.L));
        return;
    }
    assert(isfinite(r->lab.L) && isfinite(r->lab.a) && isfinite(r->lab.b));
    assert(cov3_is_valid(r->set) && cov3_is_valid(r->abs));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct box box[2];
    struct measure_request request = {
        .card = measure_card_unknown(), .region = box, .regions = 2};
    struct measure_result *out;
    struct error err = {0};

    if (size < 8)
        return 0;
    request.card_box = (struct box){data[0], data[1], data[2], data[3]};
    request.assume = (enum measure_profile)(data[7] % 4);
    box[0] = (struct box){data[4], data[5], data[6], data[6]};
    box[1] = (struct box){data[5], data[4], data[2], data[7]};
    out = mem_new(1, sizeof *out);
    if (measure_jpeg(data + 8, size - 8, &request, out, &err))
        for (size_t i = 0; i < out->regions; i++)
            check_region(&out->region[i]);
    else
        assert(err.kind != ERR_NONE && err.text[0]);
    free(out);
    return 0;
}
