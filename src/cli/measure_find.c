/* Taps in a photo, and boxes proposed. See the header. */
#include "cli/measure_find.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/photo.h"
#include "draw/terminal.h"

bool taps_read(const char *words, const char *option, bool *is_tap,
               struct find_tap *tap, struct box *box, struct error *err)
{
    struct error why;
    double v[2];

    *is_tap = text_reals(words, v, 2);
    if (*is_tap) {
        if (fabs(v[0]) > 1e6 || fabs(v[1]) > 1e6)
            return error_set(err, ERR_INPUT,
                             "--%s: \"%s\" cannot lie in a picture: write X,Y "
                             "in pixels",
                             option, words);
        *tap = (struct find_tap){(int64_t)floor(v[0]), (int64_t)floor(v[1])};
        return true;
    }
    if (photo_box_read(words, box, &why))
        return true;
    if (strstr(option, "tap"))
        return error_set(err, ERR_INPUT,
                         "--%s: \"%s\" is not a place: write X,Y in pixels",
                         option, words);
    return error_set(err, why.kind, "--%s: %s", option, why.text);
}

/* A sentence as an error: errors begin small and end without a stop. */
static bool not_found(const char *why, struct error *err)
{
    const size_t n = strlen(why);

    return error_set(err, ERR_INPUT, "%c%.*s",
                     why[0] >= 'A' && why[0] <= 'Z' ? why[0] - 'A' + 'a'
                                                    : why[0],
                     (int)n - 2, why + 1);
}

static bool any_tap(const struct taps *taps, size_t places)
{
    for (size_t i = 0; i < places; i++)
        if (taps->is[i])
            return true;
    return taps->card;
}

static bool take_found(struct taps *taps, const struct find_result *found,
                       struct measure_request *request, struct box *box,
                       size_t places, struct error *err)
{
    const char *why = NULL;
    size_t n = 0, boxes = 0;

    if (taps->card && !found->card.found)
        return not_found(found->card.why, err);
    if (taps->card)
        request->card_box = found->card.box;
    for (size_t i = 0; i < places; i++) {
        if (taps->is[i]) {
            taps->found[i] = found->skein[n++];
            box[i] = taps->found[i].box;
            if (!taps->found[i].found && !why)
                why = taps->found[i].why;
        }
        boxes += !taps->is[i] || taps->found[i].found;
    }
    /* Without why there is no place at all: only the camera is to be kept. */
    return boxes || !why || not_found(why, err);
}

bool taps_find(struct taps *taps, const unsigned char *data, size_t size,
               struct measure_request *request, struct box *box, size_t places,
               struct error *err)
{
    struct find_tap tap[MEASURE_MAX_REGIONS];
    struct find_wanted find = {.card_tapped = taps->card,
                               .card_tap = taps->card_at,
                               .tap = tap,
                               .assume = request->assume};
    struct find_result *found;
    bool ok;

    taps->sound = false;
    if (!any_tap(taps, places))
        return true;
    for (size_t i = 0; i < places; i++)
        if (taps->is[i])
            tap[find.taps++] = taps->at[i];
    found = mem_new(1, sizeof *found);
    ok = find_jpeg(data, size, &find, found, err) &&
         take_found(taps, found, request, box, places, err);
    taps->sound = found->sound;
    free(found);
    return ok;
}

/* ---- measuring ---------------------------------------------------------- */

static bool lacks_box(const struct taps *taps, size_t i)
{
    return taps->is[i] && !taps->found[i].found;
}

static struct measure_region refused(const char *why)
{
    const double no = (double)NAN;
    struct measure_region region = {.refused = true};

    region.lab = region.uncorrected = (struct lab){no, no, no};
    snprintf(region.why, sizeof region.why, "%s", why);
    return region;
}

bool taps_measure(const struct taps *taps, const unsigned char *data,
                  size_t size, const struct measure_request *request,
                  struct measure_result *out, struct error *err)
{
    struct box box[MEASURE_MAX_REGIONS];
    bool yarn[MEASURE_MAX_REGIONS];
    struct measure_request some = *request;
    size_t n;

    some.region = box;
    some.yarn = yarn;
    some.sound = taps->sound;
    some.regions = 0;
    for (size_t i = 0; i < request->regions; i++)
        if (!lacks_box(taps, i)) {
            yarn[some.regions] = request->yarn && request->yarn[i];
            box[some.regions++] = request->region[i];
        }
    if (!measure_jpeg(data, size, &some, out, err))
        return false;
    n = out->regions;
    out->regions = request->regions;
    for (size_t i = request->regions; i-- > 0;)
        out->region[i] =
            lacks_box(taps, i) ? refused(taps->found[i].why) : out->region[--n];
    return true;
}

static void words_of(struct box b, char out[100])
{
    snprintf(out, 100, "%lld,%lld,%lld,%lld", (long long)b.x, (long long)b.y,
             (long long)b.w, (long long)b.h);
}

void taps_json_box(struct json *j, struct box b)
{
    json_add_array(j, "box");
    json_add_whole(j, NULL, b.x);
    json_add_whole(j, NULL, b.y);
    json_add_whole(j, NULL, b.w);
    json_add_whole(j, NULL, b.h);
    json_end(j);
}

void taps_tell_box(struct cli *cli, const char *who, struct box box)
{
    char words[100];

    words_of(box, words);
    text_addf(&cli->out, "%s: found at %s\n", who, words);
}

/* ---- proposing ---------------------------------------------------------- */

static void json_place(struct json *j, const char *name,
                       const struct find_place *place)
{
    json_add_object(j, name);
    if (place->found) {
        taps_json_box(j, place->box);
    } else {
        json_add_string(j, "refused", place->why);
    }
    json_end(j);
}

static void tell_json(struct cli *cli, const struct find_result *found)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_object(&j, "photo");
    json_add_whole(&j, "width", found->width);
    json_add_whole(&j, "height", found->height);
    json_end(&j);
    json_place(&j, "card", &found->card);
    json_add_array(&j, "skeins");
    for (size_t i = 0; i < found->skeins; i++)
        json_place(&j, NULL, &found->skein[i]);
    json_end(&j);
    json_end(&j);
}

static void tell_csv(struct cli *cli, const struct find_result *found)
{
    struct text_table t = {.columns = 2};
    char words[100];

    table_add(&t, "what");
    table_add(&t, "box");
    if (found->card.found) {
        words_of(found->card.box, words);
        table_add(&t, "card");
        table_add(&t, words);
    }
    for (size_t i = 0; i < found->skeins; i++) {
        words_of(found->skein[i].box, words);
        table_add(&t, "skein");
        table_add(&t, words);
    }
    table_write_csv(&t, &cli->out);
}

static void tell_words(struct cli *cli, const struct find_result *found)
{
    char words[100];

    if (found->card.found) {
        words_of(found->card.box, words);
        text_addf(&cli->out, "--card-box %s\n", words);
    }
    for (size_t i = 0; i < found->skeins; i++) {
        words_of(found->skein[i].box, words);
        text_addf(&cli->out, "--skein ?=%s\n", words);
    }
    if (found->skeins)
        text_add(&cli->out, "Nothing is measured yet: look whether they are "
                            "right, write each skein's number for the \"?\", "
                            "and measure with them.\n");
}

bool taps_propose(struct cli *cli, const struct taps *taps,
                  const unsigned char *data, size_t size,
                  const struct measure_request *request, struct error *err)
{
    const struct find_wanted find = {.card_tapped = taps->card,
                                     .card_tap = taps->card_at,
                                     .proposes = true,
                                     .card_box = request->card_box,
                                     .assume = request->assume};
    struct find_result *found = mem_new(1, sizeof *found);
    bool ok = find_jpeg(data, size, &find, found, err);

    if (ok && request->card_box.w)
        found->card = (struct find_place){true, request->card_box, ""};
    if (ok && cli->json)
        tell_json(cli, found);
    else if (ok && cli->csv)
        tell_csv(cli, found);
    else if (ok)
        tell_words(cli, found);
    if (ok && !found->card.found)
        cli_note("hanklab: card: %s", found->card.why);
    else if (ok && found->why[0])
        cli_note("hanklab: skeins: %s", found->why);
    if (ok && (!found->card.found || found->why[0]))
        cli->exit = 1;
    free(found);
    return ok;
}
