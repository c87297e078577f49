/* Where measuring begins: a photo is taken or chosen, or one that is kept is
 * measured again. */
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/record.h"
#include "measure_preset.h"
#include "page.h"
#include "photos.h"
#include "routes.h"

#define PHOTOS_A_PAGE 12

static void add_query(struct text *o, const char *name, const char *value)
{
    if (!value)
        return;
    html_addf(o, "?%s=", name);
    html_url(o, value);
}

static void add_upload(struct request *r, const char *skein)
{
    struct text *o = &r->out, more = {0};

    text_addf(&more,
              "class=\"log one upload\" enctype=\"multipart/form-data\" "
              "data-upload data-most=\"%u\"",
              UPLOAD_MAX_BYTES);
    page_form(r, "/photo", text_str(&more));
    text_clear(&more);
    if (skein)
        html_addf(o, "<input type=\"hidden\" name=\"skein\" value=\"%s\">",
                  skein);
    html_addf(
        o,
        "<p class=\"f\"><label for=\"photo\">Choose a photo</label><input "
        "id=\"photo\" name=\"photo\" type=\"file\" accept=\"image/jpeg\" "
        "aria-describedby=\"photo-how\"></p>\n"
        "<p class=\"f\"><label for=\"camera\">Take one</label><input "
        "id=\"camera\" name=\"photo\" type=\"file\" accept=\"image/jpeg\" "
        "capture=\"environment\"></p>\n"
        "<p class=\"small quiet\" id=\"photo-how\">Dry skeins and a grey card "
        "side by side, in open shade, none in the sun. JPEG, at most %d MiB; "
        "kept untouched.</p>\n"
        "<p class=\"small\" role=\"status\" data-chosen hidden></p>\n"
        "<p role=\"alert\" class=\"why\" data-why hidden></p>\n"
        "<p class=\"sending\" data-progress hidden><progress max=\"100\" "
        "aria-label=\"Sent\"></progress> <span role=\"status\"></span></p>\n"
        "<p class=\"acts\"><button class=\"main\" type=\"submit\">Go on to its "
        "boxes</button></p>\n</form>\n",
        (int)(UPLOAD_MAX_BYTES >> 20));
}

/* The skeins read from the photo, as tags. */
static bool add_skeins(struct request *r, int64_t photo, struct error *err)
{
    struct kept_place *place;
    size_t n;

    if (!kept_places(r->book, photo, &place, &n, err))
        return false;
    for (size_t i = 0; i < n; i++)
        if (place[i].skein)
            html_addf(&r->out, " <a class=\"tag\" href=\"/skein/%-s\">%s</a>",
                      place[i].label, place[i].label);
    free(place);
    return true;
}

/* A camera's name, of which models often begin with the make: that once. */
static const char *camera_words(const char *camera)
{
    size_t n = strcspn(camera, " ");

    return camera[n] && !strncmp(camera, camera + n + 1, n) &&
                   (camera[2 * n + 1] == ' ' || !camera[2 * n + 1])
               ? camera + n + 1
               : camera;
}

static bool add_photo(struct request *r, int64_t id, const char *skein,
                      struct error *err)
{
    struct text *o = &r->out;
    struct record photo;
    const struct record_field *on, *camera;
    bool ok;

    if (!record_read(r->book, NOUN_PHOTO, id, &photo, err))
        return false;
    on = record_get(&photo, "on");
    camera = record_get(&photo, "camera");
    html_addf(o, "<li><a href=\"/measure/%lld", (long long)id);
    add_query(o, "skein", skein);
    html_addf(
        o,
        "\"><img src=\"/photo/%lld/" PHOTO_SMALL "\" alt=\"\" loading=\"lazy\" "
        "decoding=\"async\"><span>photo %lld</span></a><p "
        "class=\"small\">%s%s%s</p><p class=\"tied\">",
        (long long)id, (long long)id, on ? record_shown(on) : "day not known",
        camera ? " \xC2\xB7 " : "",
        camera ? camera_words(camera->words) : NULL);
    ok = add_skeins(r, id, err);
    text_add(o, "</p></li>\n");
    record_clear(&photo);
    return ok;
}

static bool add_photos(struct request *r, size_t first, const char *skein,
                       struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0, end;
    bool ok = record_ids(r->book, NOUN_PHOTO, false, &ids, &n, err);

    end = first + PHOTOS_A_PAGE < n ? first + PHOTOS_A_PAGE : n;
    if (ok && n)
        text_add(&r->out, "<section class=\"kept\" aria-labelledby=\"h-kept\">"
                          "<h2 id=\"h-kept\">Photos in the book</h2>\n<ul>\n");
    for (size_t i = first; ok && i < end; i++)
        ok = add_photo(r, ids[n - 1 - i], skein, err);
    if (ok && n)
        text_add(&r->out, "</ul>\n");
    if (ok && end < n) {
        html_addf(&r->out, "<p class=\"more\"><a href=\"/measure?from=%zu",
                  end);
        if (skein) {
            text_add(&r->out, "&amp;skein=");
            html_url(&r->out, skein);
        }
        html_addf(&r->out, "\">Older ones: %zu more</a></p>\n", n - end);
    }
    if (ok && n)
        text_add(&r->out, "</section>\n");
    free(ids);
    return ok;
}

bool measure_list_page(struct request *r, struct error *err)
{
    const char *skein = pairs_get(&r->query, "skein");
    const char *from = pairs_get(&r->query, "from");
    long long first = 0;
    int64_t id;
    bool ok;

    if (from && (!text_whole(from, &first) || first < 0))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is not a place among the "
                         "photos",
                         from);
    if (skein && !record_find(r->book, NOUN_SKEIN, skein, &id, err))
        return false;
    page_begin(r, "Measure", "Measure");
    text_add(&r->out, "<div class=\"head\"><h1>Measure</h1>");
    if (skein)
        html_addf(&r->out, "<p>skein %s</p>", skein);
    text_add(&r->out, "</div>\n");
    if (!first)
        add_upload(r, skein);
    ok = add_photos(r, (size_t)first, skein, err);
    if (!first)
        page_script(r, "upload.js");
    page_end(r);
    return ok;
}

bool photo_keep_do(struct request *r, struct error *err)
{
    const char *skein = pairs_get(&r->form, "skein");
    struct text to = {0};
    int64_t photo = 0;

    if (!r->upload.path)
        return error_set(err, ERR_INPUT, "choose a photo first, or take one");
    if (!photos_keep(r, "colour", &photo, err))
        return false;
    text_addf(&to, "/measure/%lld", (long long)photo);
    if (skein) {
        text_add(&to, "?skein=");
        html_url(&to, skein);
    }
    page_saved(r, text_str(&to));
    text_clear(&to);
    return true;
}
