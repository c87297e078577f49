/* Files of a chart's values: CGATS text and CSV. */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "colour/patches.h"
#include "measure/lay.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_patches(const struct patches *p)
{
    static const struct point corner[4] = {
        {100, 50}, {2700, 80}, {2680, 1950}, {90, 1900}};
    struct box box[PATCHES_MOST];
    struct error err = {0};

    assert(p->count > 0 && p->count <= PATCHES_MOST);
    for (size_t i = 0; i < p->count; i++) {
        assert(p->patch[i].lab.L >= -1 && p->patch[i].lab.L <= 111);
        assert(isfinite(p->patch[i].lab.a) && isfinite(p->patch[i].lab.b));
        assert(strlen(p->patch[i].id) < sizeof p->patch[i].id);
    }
    if (lay_chart(p, corner, box, &err))
        for (size_t i = 0; i < p->count; i++)
            assert(box[i].x > 0 && box[i].y > 0 && box[i].x + box[i].w < 2800 &&
                   box[i].y + box[i].h < 2000);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct patches *p = mem_new(1, sizeof *p);
    struct error err = {0};

    if (patches_read(data, size, p, &err)) {
        check_patches(p);
    } else {
        assert(err.text[0] && !strchr(err.text, '\n'));
        assert(err.kind == ERR_INPUT || err.kind == ERR_LIMIT);
    }
    free(p);
    return 0;
}
