/* Where card and skeins lie in a photo. See the header. */
#include "measure/find.h"

#include <string.h>

#include "measure/propose.h"

static const char *const what_of[] = {
    [GROW_CARD] = "grey card", [GROW_SKEIN] = "skein"};

static void refuse(struct find_place *out, enum grow_kind kind,
                   enum grow_fault fault, struct find_tap tap)
{
    const char *what = what_of[kind];
    const long long x = (long long)tap.x, y = (long long)tap.y;

    switch (fault) {
    case GROW_FOUND:
        break;
    case GROW_DAMAGED:
        sentence(out->why,
                 "The file is damaged at %lld,%lld: copy the picture from the "
                 "camera again.",
                 x, y);
        break;
    case GROW_SMALL:
        sentence(out->why,
                 kind == GROW_CARD
                     ? "What lies at %lld,%lld is not smooth as a card is, or "
                       "too small: tap on the %s, or draw a box on it."
                     : "What lies at %lld,%lld is too small to be found by a "
                       "tap: draw a box on the %s.",
                 x, y, what);
        break;
    case GROW_LARGE:
    case GROW_BORDERS:
    case GROW_OUTLINE:
    case GROW_ASIDE:
        sentence(out->why,
                 "The %s at %lld,%lld cannot be told from what it lies on: "
                 "draw a box on it, or lay it on another colour.",
                 what, x, y);
        break;
    case GROW_SHAPE:
        sentence(out->why,
                 "What lies at %lld,%lld has not the shape of a %s: tap on "
                 "the %s, or draw a box on it.",
                 x, y, what, what);
        break;
    }
}

static struct find_place tap_on(struct grower *g, enum grow_kind kind,
                                struct find_tap tap)
{
    const struct map *map = g->map;
    struct find_place out = {0};
    struct grown region;

    if (tap.x < 0 || tap.y < 0 || tap.x >= map->width || tap.y >= map->height) {
        sentence(out.why,
                 "%lld,%lld lies outside the picture of %u x %u pixels: tap on "
                 "the %s.",
                 (long long)tap.x, (long long)tap.y, map->width, map->height,
                 what_of[kind]);
        return out;
    }
    region = grow_from(g, kind, map_at(map, (uint32_t)tap.x, (uint32_t)tap.y),
                       0, NULL);
    out.found = region.fault == GROW_FOUND;
    if (out.found)
        out.box = region.box;
    refuse(&out, kind, region.fault, tap);
    return out;
}

/* Skeins are only looked for beside a card: without one there is nothing to
 * measure, and a picture without a card need not be one of skeins. */
static void propose(struct grower *g, const struct find_wanted *request,
                    struct find_result *out)
{
    struct box card = out->card.found ? out->card.box : request->card_box;
    struct box box[MEASURE_MAX_REGIONS] = {{0}};
    size_t n = 0;

    if (!card.w && !request->card_tapped && propose_card(g, &card))
        out->card = (struct find_place){.found = true, .box = card};
    if (card.w)
        n = propose_skeins(g, card, box, MEASURE_MAX_REGIONS - out->skeins);
    for (size_t i = 0; i < n; i++)
        out->skein[out->skeins++] =
            (struct find_place){.found = true, .box = box[i]};
    if (!card.w && !request->card_tapped)
        sentence(out->card.why,
                 "No one thing in the picture is plainly the grey card: tap on "
                 "it, or draw a box on it.");
    if (!n)
        sentence(out->why, "No skein stands out by itself: tap on each, or "
                           "draw a box on it.");
}

static void look(const struct map *map, const struct find_wanted *request,
                 struct find_result *out)
{
    struct grower g;

    grower_init(&g, map);
    out->width = map->width;
    out->height = map->height;
    out->sound = map->sound;
    if (request->card_tapped)
        out->card = tap_on(&g, GROW_CARD, request->card_tap);
    for (size_t i = 0; i < request->taps; i++)
        out->skein[out->skeins++] = tap_on(&g, GROW_SKEIN, request->tap[i]);
    if (request->proposes)
        propose(&g, request, out);
    grower_clear(&g);
}

bool find_jpeg(const unsigned char *data, size_t size,
               const struct find_wanted *request, struct find_result *out,
               struct error *err)
{
    struct measure_notes unused = {0}; /* measuring tells them */
    struct photo photo = {0};
    struct light light = {0};
    struct map map = {0};
    bool ok = false;

    memset(out, 0, sizeof *out);
    if (request->taps > MEASURE_MAX_REGIONS)
        return error_set(err, ERR_LIMIT,
                         "more than %d taps: measure fewer skeins at a time",
                         MEASURE_MAX_REGIONS);
    ok = photo_open(data, size, &photo, err) &&
         light_choose(&photo, request->assume, &light, &unused, err) &&
         map_take(&photo, data, size, &light, &map, err);
    if (ok)
        look(&map, request, out);
    map_clear(&map);
    light_clear(&light);
    photo_clear(&photo);
    return ok;
}
