/* Eight bytes of boxes and the bytes of a JPEG, measured; and the same numbers
 * as taps, and nothing at all, found. */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "measure/find.h"
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

static void check_place(const struct find_place *p,
                        const struct find_result *in)
{
    if (p->found)
        assert(p->box.x >= 0 && p->box.y >= 0 && p->box.w > 0 && p->box.h > 0 &&
               p->box.x + p->box.w <= in->width &&
               p->box.y + p->box.h <= in->height);
}

static void find(const uint8_t *data, size_t size)
{
    const struct find_tap tap[2] = {{data[4], data[5]}, {data[6], data[7]}};
    const struct find_wanted request = {.card_tapped = data[7] % 2,
                                        .card_tap = {data[0], data[1]},
                                        .tap = tap,
                                        .taps = 2,
                                        .proposes = true,
                                        .assume = MEASURE_PROFILE_SRGB};
    struct find_result *out = mem_new(1, sizeof *out);
    struct error err = {0};

    if (find_jpeg(data + 8, size - 8, &request, out, &err)) {
        check_place(&out->card, out);
        for (size_t i = 0; i < out->skeins; i++) {
            check_place(&out->skein[i], out);
            assert(out->skein[i].found || out->skein[i].why[0]);
        }
    } else {
        assert(err.kind != ERR_NONE && err.text[0]);
    }
    free(out);
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
    find(data, size);
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
