/* Small pictures of a photo being measured, and the fields of its rows. */
#include "measure_view.h"

#include <string.h>

#include "base/html.h"
#include "base/parts.h"
#include "photos.h"

#define FLAG_MOST 8  /* letters that a flag on the photo has room for */
#define SHOWN_PX 640 /* so wide is a photo shown, about */

bool view_is(const char *words, const char *what)
{
    return words && !strcmp(words, what);
}

/* ---- pictures ------------------------------------------------------------ */

void view_image(const struct view *v)
{
    html_addf(&v->r->out,
              "<image href=\"/photo/%lld/" PHOTO_LARGE
              "\" width=\"%.0f\" height=\"%.0f\"/>",
              v->photo, v->w, v->h);
}

static void add_rect(struct text *o, const char *class, struct box b)
{
    html_addf(o,
              "<rect class=\"%s\" x=\"%lld\" y=\"%lld\" width=\"%lld\" "
              "height=\"%lld\"/>",
              class, (long long)b.x, (long long)b.y, (long long)b.w,
              (long long)b.h);
}

void view_box(const struct view *v, const char *words, const char *class,
              const char *flag)
{
    struct text *o = &v->r->out;
    double k = v->w / SHOWN_PX;
    struct error none;
    struct box b;

    if (!words || !photo_box_read(words, &b, &none))
        return;
    html_addf(o, "<g class=\"box%s\">", class);
    add_rect(o, "halo", b);
    add_rect(o, "line", b);
    html_addf(o,
              "<g class=\"flag\" transform=\"translate(%lld %lld) "
              "scale(%.3f)\"><rect y=\"-22\" width=\"%zu\" height=\"20\"/>"
              "<text x=\"%zu\" y=\"-7\">%s</text></g></g>\n",
              (long long)b.x, (long long)b.y, k, 14 + 8 * strlen(flag),
              7 + 4 * strlen(flag), flag);
}

void view_crop(const struct view *v, struct box b, const char *who)
{
    struct text *o = &v->r->out;

    html_addf(o,
              "<svg class=\"sw\" viewBox=\"%lld %lld %lld %lld\" "
              "preserveAspectRatio=\"xMidYMid slice\" role=\"img\" "
              "aria-label=\"As the camera took it, %s\">",
              (long long)b.x, (long long)b.y, (long long)b.w, (long long)b.h,
              who);
    view_image(v);
    text_add(o, "</svg>");
}

bool view_flag(const struct view *v, size_t row, struct text *flag)
{
    const char *as = pairs_nth(&v->r->form, "as", row);
    const char *who = pairs_nth(&v->r->form, "who", row);
    bool tag = (!as || view_is(as, "skein") || view_is(as, "look")) &&
               parts_said(who) && strlen(who) <= FLAG_MOST;

    if (tag)
        text_add(flag, who);
    else
        text_addf(flag, "%zu", row + 1);
    return tag;
}

void view_head(struct text *o, const char *flag, bool tag, const char *words,
               const char *state)
{
    html_addf(o,
              "<div class=\"flagrow\"><span class=\"%s\">%s</span> <b>%s</b>",
              tag ? "no tied" : "no", flag, words);
    if (state)
        html_addf(o, " <span class=\"ok\">%s</span>", state);
    text_add(o, "</div>\n");
}

/* ---- fields -------------------------------------------------------------- */

static bool blamed(const struct view *v, const char *name, size_t row)
{
    return v->why && view_is(v->job->blamed, name) && v->job->blamed_row == row;
}

void view_mark(const struct view *v, const char *name, size_t row)
{
    if (blamed(v, name, row))
        text_add(&v->r->out, " aria-invalid=\"true\" "
                             "aria-describedby=\"why\" autofocus");
}

void view_why(const struct view *v, const char *name, size_t row)
{
    if (blamed(v, name, row))
        html_addf(&v->r->out,
                  "<p class=\"why\" id=\"why\" role=\"alert\">%s</p>",
                  v->why->text);
}

void view_select(const struct view *v, const char *name, size_t row,
                 const char *label)
{
    struct text *o = &v->r->out;

    html_addf(o,
              "<p class=\"tie %s\"><label for=\"%s-%zu\">%s</label><select "
              "id=\"%s-%zu\" name=\"%s\"",
              name, name, row, label, name, row, name);
    view_mark(v, name, row);
    text_add(o, ">");
}

void view_option(struct text *o, const char *value, const char *words,
                 bool chosen)
{
    html_addf(o, "<option value=\"%s\"", value);
    html_addf(o, chosen ? " selected>%s</option>" : ">%s</option>", words);
}

void view_select_end(const struct view *v, const char *name, size_t row)
{
    text_add(&v->r->out, "</select></p>");
    view_why(v, name, row);
}

void view_input(const struct view *v, const char *class, const char *name,
                size_t row, const char *label, const char *value,
                const char *more)
{
    struct text *o = &v->r->out;

    html_addf(o,
              "<p class=\"tie %s\"><label for=\"%s-%zu\">%s</label><input "
              "id=\"%s-%zu\" name=\"%s\" value=\"%s\" autocomplete=\"off\"",
              class, name, row, label, name, row, name, value);
    text_add(o, more);
    view_mark(v, name, row);
    text_add(o, "></p>");
    view_why(v, name, row);
}
