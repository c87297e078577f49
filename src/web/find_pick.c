/*
 * A colour picked by eye: the plane of a* and b* at one lightness, as a button
 * of the form. A tap sends its place in the picture, without a script too.
 */
#include <math.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "find_map.h"
#include "narrow.h"
#include "page.h"
#include "routes.h"

/* Fits the smallest phone; a* from -50 to 80, b* from -60 to 100. */
#define PX 2.25 /* a unit */
#define A_LOW -50
#define A_HIGH 80
#define B_LOW -60
#define B_HIGH 100
#define WIDE 292 /* px, PX * 130 */
#define HIGH 360 /* px, PX * 160 */
#define STEP 5   /* units a patch */

static const int lights[] = {10, 20, 30, 40, 50, 60, 70, 80, 90};

/* The lightness that is shown: the address's, else 50. */
static bool read_light(const struct request *r, double *out, struct error *err)
{
    const char *words = pairs_get(&r->query, "light");

    *out = 50;
    return !words || (text_real(words, out) && *out >= 0 && *out <= 100) ||
           error_set(err, ERR_INPUT, "\"%s\" is no lightness: write 0 to 100",
                     words);
}

bool find_pick_read(struct request *r, bool *has, struct lab *out,
                    struct error *err)
{
    const char *at_x = pairs_get(&r->query, "at.x");
    const char *at_y = pairs_get(&r->query, "at.y");
    double x, y;

    *has = false;
    if (!read_light(r, &out->L, err))
        return false;
    if (!at_x && !at_y)
        return true;
    /* A key sends 0, 0: nothing was pointed at. */
    if (!at_x || !at_y || !text_real(at_x, &x) || !text_real(at_y, &y) ||
        x < 0 || y < 0 || x > WIDE || y > HIGH || (x == 0 && y == 0))
        return error_set(err, ERR_INPUT,
                         "no colour was pointed at: tap one in the picture, or "
                         "write it as L,a,b");
    out->a = A_LOW + x / PX;
    out->b = B_HIGH - y / PX;
    *has = true;
    return true;
}

void find_pick(struct request *r)
{
    const bool chosen = pairs_get(&r->query, "light") != NULL;
    const bool open = chosen && !pairs_get(&r->query, "at.x");
    struct text *o = &r->out, to = {0};
    struct error none;
    double light;

    if (!read_light(r, &light, &none))
        light = 50;
    narrow_address(r, "light", &to);
    html_addf(o,
              "<details class=\"narrow plane\" id=\"pick\"%s><summary>Pick a "
              "colour&hellip;</summary>\n<nav aria-label=\"Lightness\"><span>"
              "Lightness</span>",
              open ? " open" : "");
    for (size_t i = 0; i < ARRAY_LEN(lights); i++) {
        const bool now = lights[i] == light;
        text_add(o, now ? "<a class=\"chip on\" aria-current=\"true\" href=\""
                        : "<a class=\"chip\" href=\"");
        html_addf(o, "%s%slight=%d#pick\">%d</a>", text_str(&to),
                  strchr(text_str(&to), '?') ? "&" : "?", lights[i], lights[i]);
    }
    html_addf(o,
              "</nav>\n<input type=\"hidden\" name=\"light\" value=\"%.0f\"%s>"
              "<input type=\"image\" name=\"at\" src=\"/plane?light=%.0f\" "
              "width=\"%d\" height=\"%d\" alt=\"Colours of lightness %.0f: a* "
              "from %d at the left to %d, b* from %d at the top to %d\">\n<p "
              "class=\"small quiet\">Tap the colour that you look for: redder "
              "to the right, yellower upwards. A screen shows it as well as it "
              "can; where nothing is, it cannot.</p></details>\n",
              light, chosen ? "" : " disabled", light, WIDE, HIGH, light, A_LOW,
              A_HIGH, B_HIGH, B_LOW);
    text_clear(&to);
}

bool plane_send(struct request *r, struct error *err)
{
    struct text *o = &r->out;
    struct lab c;

    if (!read_light(r, &c.L, err))
        return false;
    r->type = "image/svg+xml";
    html_addf(o,
              "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 %d %d\" "
              "width=\"%d\" height=\"%d\" shape-rendering=\"crispEdges\">\n",
              WIDE, HIGH, WIDE, HIGH);
    for (int a = A_LOW; a < A_HIGH; a += STEP)
        for (int b = B_LOW; b < B_HIGH; b += STEP) {
            c.a = a + STEP / 2.0;
            c.b = b + STEP / 2.0;
            if (page_is_outside(c))
                continue;
            text_add(o, "<path fill=\"");
            page_colour(o, c);
            html_addf(o, "\" d=\"M%.2f %.2fh%.2fv%.2fh-%.2fz\"/>",
                      PX * (a - A_LOW), PX * (B_HIGH - b - STEP), PX * STEP,
                      PX * STEP, PX * STEP);
        }
    html_addf(o,
              "<path fill=\"none\" stroke=\"#888\" d=\"M0 %.1fH%dM%.1f 0V%d\"/>"
              "</svg>\n",
              PX * B_HIGH, WIDE, PX * -A_LOW, HIGH);
    return true;
}
