/* Colours that share their edges. See strip.h. */
#include "draw/strip.h"

static struct lab between(struct lab x, struct lab y)
{
    return (struct lab){(x.L + y.L) / 2, (x.a + y.a) / 2, (x.b + y.b) / 2};
}

void strip_of_axis(struct lab at, const struct range_axis *axis,
                   struct lab out[STRIP_STEPS])
{
    out[0] = axis->end[1];
    out[1] = between(axis->end[1], at);
    out[2] = at;
    out[3] = between(at, axis->end[0]);
    out[4] = axis->end[0];
}

void strip_svg(const struct lab *colour, size_t n, const char *words,
               struct text *out)
{
    text_addf(out,
              "<svg class=\"sw\" viewBox=\"0 0 %zu 1\" "
              "preserveAspectRatio=\"none\" shape-rendering=\"crispEdges\" "
              "role=\"img\" aria-label=\"%s\">",
              n, words);
    for (size_t i = 0; i < n; i++) {
        char fill[8];

        srgb8_words(srgb8_from_lab(colour[i], NULL), fill);
        text_addf(out, "<path fill=\"%s\" d=\"M%zu 0h1v1h-1z\"/>", fill, i);
    }
    text_add(out, "</svg>");
}
