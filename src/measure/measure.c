/* From the bytes of a photo to the colours in it. See the header. */
#include "measure/measure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "measure/check.h"
#include "measure/refer_camera.h"
#include "measure/spread.h"

/* The boxes together may cover the picture so many times. */
enum { MOST_COVER = 4 };

/* One picture on its way through. */
struct job {
    const unsigned char *data;
    size_t size;
    const struct measure_request *request;
    struct measure_result *out;
    struct photo photo;
    struct photo_decoded decoded;
    uint32_t end; /* of the rows that some box needs */
    struct light light;
    struct area card;
    struct area *region; /* as many as asked; empty where refused */
    struct stats card_stats, *stats;
    struct correction correction;
    struct refer refer;
};

struct measure_card measure_card_unknown(void)
{
    return (struct measure_card){
        .lab = {49.5, 0, 0}, .uL = 6, .ua = 1.5, .ub = 2, .known = false};
}

bool measure_profile_find(const char *name, enum measure_profile *out)
{
    static const char *const names[] = {[MEASURE_PROFILE_FILE] = "",
                                        [MEASURE_PROFILE_SRGB] = "srgb",
                                        [MEASURE_PROFILE_P3] = "p3",
                                        [MEASURE_PROFILE_ADOBE_RGB] =
                                            "adobergb"};

    for (size_t i = MEASURE_PROFILE_SRGB; i < ARRAY_LEN(names); i++)
        if (!strcmp(names[i], name)) {
            *out = (enum measure_profile)i;
            return true;
        }
    return false;
}

/* ---- before the pixels -------------------------------------------------- */

static bool check_request(const struct measure_request *r, struct error *err)
{
    const struct measure_card *c = &r->card;

    if (!r->regions && !r->references)
        return error_set(err, ERR_INPUT,
                         "no skein is marked: draw a box on each");
    if (r->regions > MEASURE_MAX_REGIONS)
        return error_set(err, ERR_LIMIT,
                         "more than %d boxes: measure fewer "
                         "skeins at a time",
                         MEASURE_MAX_REGIONS);
    if (!(c->lab.L >= 5 && c->lab.L <= 100 && hypot(c->lab.a, c->lab.b) <= 20))
        return error_set(err, ERR_INPUT,
                         "the card's stated values (%.1f, %.1f, %.1f) are not "
                         "those of a grey card: L must be 5 to 100, a and b "
                         "near 0",
                         c->lab.L, c->lab.a, c->lab.b);
    if (!(c->uL >= 0 && c->ua >= 0 && c->ub >= 0 && c->uL < 100 &&
          c->ua < 100 && c->ub < 100))
        return error_set(err, ERR_INPUT,
                         "the uncertainty of the card's "
                         "values must be 0 or more");
    return refer_check(r, err);
}

static void describe_photo(const struct photo *photo,
                           struct measure_result *out)
{
    const bool both = photo->make[0] && photo->model[0];

    photo_upright_size(photo, &out->width, &out->height);
    out->orientation = photo->orientation;
    snprintf(out->camera, sizeof out->camera, "%s%s%s", photo->make,
             both ? " " : "", photo->model);
    snprintf(out->taken, sizeof out->taken, "%s", photo->taken);
}

static void note_photo(unsigned notes, struct measure_notes *out)
{
    for (int i = 0; i < PHOTO_NOTES; i++)
        if (notes & 1u << i)
            notes_add(out, "%s", photo_note_text((enum photo_note)(1u << i)));
}

static bool in_picture(struct box b, const struct measure_result *out)
{
    return box_inside(b, out->width, out->height);
}

static bool plan_card(struct job *job, struct error *err)
{
    const struct box b = job->request->card_box;
    const struct limit *few = &check_limits[CHECK_CARD_BLOCKS];

    if (b.w == 0 && b.h == 0)
        return error_set(err, ERR_INPUT,
                         "no grey card is marked: draw a box on it");
    if (!in_picture(b, job->out))
        return error_set(err, ERR_INPUT,
                         "the card's box %lld,%lld,%lld,%lld does not lie "
                         "inside the picture of %u x %u pixels: draw it again",
                         (long long)b.x, (long long)b.y, (long long)b.w,
                         (long long)b.h, job->out->width, job->out->height);
    if (!area_plan(&job->card, photo_box_stored(&job->photo, b), &job->photo,
                   (uint32_t)few->warn, (uint32_t)few->refuse))
        return error_set(err, ERR_INPUT,
                         "the card's box is too small (%lld x %lld pixels): "
                         "draw it over the whole card, or go nearer with the "
                         "camera",
                         (long long)b.w, (long long)b.h);
    return true;
}

static void refuse_region(struct measure_region *region, const char *why)
{
    region->refused = true;
    sentence(region->why, "%s", why);
}

static void plan_region(struct job *job, size_t i)
{
    const struct box b = job->request->region[i];
    const struct limit *few = &check_limits[CHECK_SKEIN_BLOCKS];
    struct measure_region *region = &job->out->region[i];
    char why[MEASURE_NOTE_BYTES];

    if (!in_picture(b, job->out)) {
        sentence(why,
                 "The box %lld,%lld,%lld,%lld does not lie inside the picture "
                 "of %u x %u pixels: draw it again.",
                 (long long)b.x, (long long)b.y, (long long)b.w, (long long)b.h,
                 job->out->width, job->out->height);
        refuse_region(region, why);
    } else if (!area_plan(&job->region[i], photo_box_stored(&job->photo, b),
                          &job->photo, (uint32_t)few->warn,
                          (uint32_t)few->refuse)) {
        sentence(why,
                 "The box is too small (%lld x %lld pixels): draw it larger, "
                 "or go nearer with the camera.",
                 (long long)b.w, (long long)b.h);
        refuse_region(region, why);
    }
}

/* Many large boxes over one another would take hours and all memory, so this
 * comes before any of them is planned. */
static bool check_cover(const struct job *job, struct error *err)
{
    const struct measure_request *r = job->request;
    const double picture = (double)job->photo.width * job->photo.height;
    double sum = 0;

    for (size_t i = 0; i < r->regions + r->references; i++) {
        const struct box b =
            i < r->regions ? r->region[i] : r->reference[i - r->regions].box;
        if (in_picture(b, job->out))
            sum += (double)b.w * (double)b.h;
    }
    if (sum > MOST_COVER * picture)
        return error_set(err, ERR_LIMIT,
                         "the boxes cover the picture %.0f times over: draw "
                         "each on one skein only",
                         sum / picture);
    return true;
}

/* ---- the pixels --------------------------------------------------------- */

static bool take_row(void *self, const unsigned char *rgb, uint32_t y)
{
    struct job *job = self;

    area_row(&job->card, &job->light, rgb, y);
    refer_row(&job->refer, &job->light, rgb, y);
    for (size_t i = 0; i < job->request->regions; i++)
        if (job->region[i].block)
            area_row(&job->region[i], &job->light, rgb, y);
    return !job->request->sound || y + 1 < job->end;
}

static void widen_to(const struct area *area, uint32_t *first, uint32_t *end)
{
    const struct box b = area->used;

    if (!area->block)
        return;
    *first = b.y < *first ? (uint32_t)b.y : *first;
    *end = b.y + b.h > *end ? (uint32_t)(b.y + b.h) : *end;
}

/* Only the rows that some box needs are decoded. */
static bool take_rows(struct job *job, struct error *err)
{
    uint32_t first = UINT32_MAX;

    widen_to(&job->card, &first, &job->end);
    for (size_t i = 0; i < job->request->references; i++)
        widen_to(&job->refer.area[i], &first, &job->end);
    for (size_t i = 0; i < job->request->regions; i++)
        widen_to(&job->region[i], &first, &job->end);
    return photo_decode_rows(&job->photo, job->data, job->size, first, job->end,
                             take_row, job, &job->decoded, err);
}

static bool is_damaged(const struct job *job, const struct area *area)
{
    return area->box.y + area->box.h > (int64_t)job->decoded.damaged_row;
}

/* ---- the card ----------------------------------------------------------- */

/* |ln| of how far a ratio of two lights is from what it should be. Light that
 * is nought or less makes it large, never no number. */
static double off(double over, double under, double should_over,
                  double should_under)
{
    const double least = 1e-6;

    return fabs(log(fmax(over, least) / fmax(under, least)) -
                log(fmax(should_over, least) / fmax(should_under, least)));
}

/* By how much R or B is too strong or too weak beside G, the larger: the card
 * as read against its stated colour; 1 is twice or half. */
static double cast_of(const struct job *job)
{
    const struct xyz xyz = xyz_from_lab(job->request->card.lab);
    const double v[3] = {xyz.X, xyz.Y, xyz.Z}, *is = job->card_stats.light;
    double should[3];

    mat3_apply(&job->light.back, v, should);
    return expm1(fmax(off(is[0], is[1], should[0], should[1]),
                      off(is[2], is[1], should[2], should[1])));
}

/* A box that is small, in words; its size was judged when it was planned. */
static void note_blocks(enum check which, const struct area *area,
                        struct measure_notes *notes)
{
    char unused[MEASURE_NOTE_BYTES] = "";

    if (area->small)
        notes_add(notes,
                  "%s is so small (%lld x %lld pixels) that its edges are in "
                  "it and a and b are less sure: %s.",
                  which == CHECK_CARD_BLOCKS ? "The card's box" : "The box",
                  (long long)area->box.w, (long long)area->box.h,
                  check_limits[which].stop);
    else
        check_value(which, (double)area->nx * area->ny, notes, unused);
}

/* A sentence as an error: errors begin small and end without a stop. */
static bool refuse_card(const char *why, struct error *err)
{
    const size_t n = strlen(why);

    return error_set(err, ERR_INPUT, "%c%.*s", why[0] - 'A' + 'a',
                     (int)(n - (why[n - 1] == '.')) - 1, why + 1);
}

static double least(const double v[3])
{
    return fmin(v[0], fmin(v[1], v[2]));
}

static double most(const double v[3])
{
    return fmax(v[0], fmax(v[1], v[2]));
}

static bool check_card(struct job *job, struct error *err)
{
    const struct stats *s = &job->card_stats;
    struct measure_notes *notes = &job->out->card_notes;
    const size_t first = notes->count;
    const struct {
        enum check which;
        double value;
    } checks[] = {
        {CHECK_CARD_CLIPPED, s->clipped},
        {CHECK_CARD_DARK, least(s->code)},
        {CHECK_CARD_BRIGHT, most(s->code)},
        {CHECK_CARD_CAST, cast_of(job)},
        {CHECK_CARD_TEXTURE, s->texture},
        {CHECK_CARD_GRADIENT, spread_range(&s->Y, s)},
        {CHECK_CARD_UNEVEN, s->Y.sd},
        {CHECK_CARD_DRIFT,
         fmax(spread_range(&s->RG, s), spread_range(&s->BG, s))},
    };
    char why[MEASURE_NOTE_BYTES] = "";

    note_blocks(CHECK_CARD_BLOCKS, &job->card, notes);
    for (size_t i = 0; i < ARRAY_LEN(checks); i++)
        check_value(checks[i].which, checks[i].value, notes, why);
    notes_at(notes, first, job->request->card_box);
    if (!why[0] &&
        !correction_from_card(light_xyz(&job->light, s->light),
                              job->request->card.lab, &job->correction))
        sentence(why, "The card reads as no grey at all: put the box on the "
                      "grey card.");
    return !why[0] || refuse_card(why, err);
}

/* ---- a region ----------------------------------------------------------- */

static int64_t common(int64_t a, int64_t a_size, int64_t b, int64_t b_size)
{
    const int64_t first = a > b ? a : b;
    const int64_t end = a + a_size < b + b_size ? a + a_size : b + b_size;

    return end > first ? end - first : 0;
}

/* The share of box a that lies over b; both lie inside the picture. */
static double covered(struct box a, struct box b)
{
    return (double)common(a.x, a.w, b.x, b.w) / (double)a.w *
           ((double)common(a.y, a.h, b.y, b.h) / (double)a.h);
}

static double covered_by_others(const struct job *job, const struct area *area)
{
    double most_covered = 0;

    for (size_t i = 0; i < job->request->regions; i++)
        if (&job->region[i] != area && job->region[i].box.w > 0)
            most_covered =
                fmax(most_covered, covered(area->box, job->region[i].box));
    return most_covered;
}

static void check_on_card(const struct job *job, const struct area *area,
                          struct measure_region *region)
{
    const bool *yarn = job->request->yarn;
    const double share = covered(area->box, job->card.box);

    if (yarn && yarn[area - job->region] && share > CHECK_YARN_ON_CARD &&
        !region->why[0])
        sentence(region->why, "The box lies on the grey card: draw it on the "
                              "skein.");
    else
        check_value(CHECK_SKEIN_ON_CARD, share, &region->notes, region->why);
}

static void check_region(const struct job *job, const struct area *area,
                         const struct stats *s, struct lab lab,
                         struct measure_region *region)
{
    char *why = region->why;
    struct measure_notes *notes = &region->notes;
    const bool bright = most(s->code) >= CHECK_GAMUT_CODE;
    double difference;
    bool sure;

    note_blocks(CHECK_SKEIN_BLOCKS, area, notes);
    check_value(CHECK_SKEIN_HIGH, s->high, notes, why);
    check_value(bright ? CHECK_SKEIN_GAMUT : CHECK_SKEIN_LOW, s->low, notes,
                why);
    check_value(CHECK_SKEIN_DARK, least(s->code), notes, why);
    check_value(CHECK_SKEIN_GLINTS, s->glints, notes, why);
    check_value(CHECK_SKEIN_WHITE, lab.L, notes, why);
    check_value(CHECK_SKEIN_CHROMA, hypot(lab.a, lab.b), notes, why);
    difference = spread_light_difference(&job->card_stats, s, &sure);
    if (sure)
        check_value(CHECK_LIGHT_DIFFERENCE, difference, notes, why);
    check_on_card(job, area, region);
    check_value(CHECK_SKEIN_ON_SKEIN, covered_by_others(job, area), notes, why);
    refer_remark(&job->refer, s, notes);
    notes_at(notes, 0, job->request->region[area - job->region]);
    region->refused = why[0] != '\0';
}

static void fill_region(const struct job *job, const struct area *area,
                        const struct stats *s, struct lab lab,
                        struct measure_region *region)
{
    const struct spread_input in = {
        .request = job->request,
        .photo = &job->photo,
        .light = &job->light,
        .correction = &job->correction,
        .card = &job->card,
        .skein = area,
        .card_stats = &job->card_stats,
        .skein_stats = s,
        .refer = &job->refer,
    };

    region->lab = lab;
    region->level = stats_level(area, &job->light, &job->correction);
    region->blocks = s->kept;
    spread_parts(&in, region->lab, region->part);
    region->set = region->abs = (struct cov3){0};
    for (int i = 0; i < MEASURE_PARTS; i++) {
        region->abs = cov3_add(region->abs, region->part[i]);
        if (i < MEASURE_SET_PARTS)
            region->set = region->abs;
    }
}

/* What the file says of a region, before any card. */
static void read_region(struct job *job, size_t i)
{
    struct measure_region *region = &job->out->region[i];
    struct area *area = &job->region[i];

    if (region->refused)
        return;
    if (is_damaged(job, area)) {
        refuse_region(region, "The file is damaged where this box lies: copy "
                              "the picture from the camera again.");
        return;
    }
    job->stats[i] = stats_take(area, &job->light);
    region->uncorrected =
        lab_from_xyz(light_xyz(&job->light, job->stats[i].light));
}

static void correct_region(struct job *job, size_t i)
{
    struct measure_region *region = &job->out->region[i];
    const struct stats *s = &job->stats[i];
    struct lab lab;

    if (region->refused)
        return;
    lab = lab_from_xyz(
        correction_apply(&job->correction, light_xyz(&job->light, s->light)));
    check_region(job, &job->region[i], s, lab, region);
    if (!region->refused)
        fill_region(job, &job->region[i], s, lab, region);
}

static void empty_region(struct measure_region *region)
{
    const double no = (double)NAN;
    const struct lab none = {no, no, no};
    const struct cov3 unsure = {no, no, no, no, no, no};

    region->lab = region->uncorrected = region->level = none;
    region->light = no;
    region->set = region->abs = unsure;
    for (int i = 0; i < MEASURE_PARTS; i++)
        region->part[i] = unsure;
}

static void empty_method(struct measure_method *method)
{
    const double no = (double)NAN;

    method->card_alone = true;
    snprintf(method->words, sizeof method->words, "grey card");
    method->neutrals = 1;
    method->tone_dL = method->tone_power = no;
    for (size_t i = 0; i < ARRAY_LEN(method->chart); i++)
        method->chart[i] = (struct measure_left_out){no, no};
    method->chart_model = -1;
    method->light_residual = no;
}

/* ---- the whole ---------------------------------------------------------- */

static bool prepare(struct job *job, struct error *err)
{
    struct measure_result *out = job->out;
    const struct measure_request *request = job->request;

    if (!photo_open(job->data, job->size, &job->photo, err))
        return false;
    describe_photo(&job->photo, out);
    note_photo(job->photo.notes, &out->card_notes);
    if (!light_choose(&job->photo, request->assume, &job->light,
                      &out->card_notes, err))
        return false;
    snprintf(out->profile, sizeof out->profile, "%s", icc_name(job->light.icc));
    snprintf(out->rule, sizeof out->rule, "%s", job->light.rule);
    if (!check_cover(job, err) || !plan_card(job, err) ||
        !refer_plan(&job->refer, request, &job->photo, err))
        return false;
    job->region = mem_new(request->regions, sizeof *job->region);
    job->stats = mem_new(request->regions, sizeof *job->stats);
    for (size_t i = 0; i < request->regions; i++)
        plan_region(job, i);
    return true;
}

/* The figures of the card and the regions in light that was made even. */
static void flatten_all(struct job *job)
{
    const struct field *field = &job->refer.field;

    job->card_stats = stats_take(&job->card, &job->light);
    spread_widen(&job->photo, &job->light, &job->card, &job->card_stats);
    for (size_t i = 0; i < job->request->regions; i++) {
        double light[3];
        bool far;

        if (job->out->region[i].refused)
            continue;
        field_flatten(field, &job->light, &job->region[i]);
        job->stats[i] = stats_take(&job->region[i], &job->light);
        field_at(field, job->stats[i].x, job->stats[i].y, light, &far);
        job->out->region[i].light = light[1];
    }
}

static bool read_card(struct job *job, struct error *err)
{
    struct measure_result *out = job->out;

    note_photo(job->decoded.notes & ~job->photo.notes, &out->card_notes);
    if (is_damaged(job, &job->card))
        return error_set(err, ERR_INPUT,
                         "the file is damaged where the card lies (only %u of "
                         "its %u rows can be trusted): copy the picture from "
                         "the camera again",
                         job->decoded.damaged_row, job->photo.height);
    if (!job->request->card.known) {
        const size_t first = out->card_notes.count;
        notes_add(&out->card_notes,
                  "The card's own values are not known, so these colours can "
                  "only be compared with others beside the same card: measure "
                  "the card or enter its values.");
        notes_at(&out->card_notes, first, job->request->card_box);
    }
    job->card_stats = stats_take(&job->card, &job->light);
    spread_widen(&job->photo, &job->light, &job->card, &job->card_stats);
    out->card_before =
        lab_from_xyz(light_xyz(&job->light, job->card_stats.light));
    if (!check_card(job, err))
        return false;
    return true;
}

/* What other places of known colour, or of one colour, do to the correction. */
static bool refer_to_others(struct job *job, struct error *err)
{
    struct measure_result *out = job->out;
    struct refer *refer = &job->refer;

    if (job->request->references) {
        refer_read(refer, &job->light, job->decoded.damaged_row,
                   &out->card_notes);
        refer_follow(refer, &job->light, &job->card, &job->card_stats,
                     &out->method, &out->card_notes);
    }
    if (refer->field.kind != FIELD_NONE) {
        flatten_all(job);
        correction_from_card(light_xyz(&job->light, job->card_stats.light),
                             job->request->card.lab, &job->correction);
    }
    memcpy(out->gain, job->correction.gain, sizeof out->gain);
    if (camera_name(&job->photo, out->profile, &out->learnt.name))
        refer->camera = camera_find(job->request->camera, job->request->cameras,
                                    &out->learnt.name);
    if (!refer_correct(refer, &job->light, &job->card, &job->card_stats,
                       &job->correction, &out->method, &out->card_notes, err))
        return false;
    camera_learn(refer, &out->method, out);
    return true;
}

bool measure_jpeg(const unsigned char *data, size_t size,
                  const struct measure_request *request,
                  struct measure_result *out, struct error *err)
{
    struct job job = {
        .data = data, .size = size, .request = request, .out = out};
    bool ok = false;

    memset(out, 0, sizeof *out);
    out->card_before = (struct lab){(double)NAN, (double)NAN, (double)NAN};
    empty_method(&out->method);
    if (!check_request(request, err))
        return false;
    out->regions = request->regions;
    for (size_t i = 0; i < out->regions; i++)
        empty_region(&out->region[i]);
    if (!prepare(&job, err) || !take_rows(&job, err))
        goto done;
    for (size_t i = 0; i < out->regions; i++)
        read_region(&job, i);
    if (!read_card(&job, err) || !refer_to_others(&job, err))
        goto done;
    for (size_t i = 0; i < out->regions; i++)
        correct_region(&job, i);
    ok = true;

done:
    for (size_t i = 0; job.region && i < out->regions; i++)
        area_clear(&job.region[i]);
    free(job.region);
    free(job.stats);
    refer_clear(&job.refer);
    area_clear(&job.card);
    light_clear(&job.light);
    photo_clear(&job.photo);
    return ok;
}
