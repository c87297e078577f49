/* Codes of a picture to linear light. See the header. */
#include "measure/light.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "measure/check.h"

static const char *const builtin_name[] = {
    [ICC_SRGB] = "sRGB",
    [ICC_DISPLAY_P3] = "Display P3",
    [ICC_ADOBE_RGB] = "Adobe RGB (1998)",
};

/* ---- the choice --------------------------------------------------------- */

static enum icc_builtin asked(enum measure_profile assume)
{
    switch (assume) {
    case MEASURE_PROFILE_FILE:
    case MEASURE_PROFILE_SRGB:
        break;
    case MEASURE_PROFILE_P3:
        return ICC_DISPLAY_P3;
    case MEASURE_PROFILE_ADOBE_RGB:
        return ICC_ADOBE_RGB;
    }
    return ICC_SRGB;
}

/* Whether the profile has the primaries of a well-known space, within what
 * old profiles differ by; one made of a table may. */
static bool resembles(const struct icc *icc, enum icc_builtin which)
{
    static const unsigned char full[9] = {255, 0, 0, 0, 255, 0, 0, 0, 255};
    struct icc *known = icc_open_builtin(which);
    struct xyz is[3], want[3];
    double worst = 0;

    icc_to_xyz(icc, full, is, 3);
    icc_to_xyz(known, full, want, 3);
    icc_close(known);
    for (int i = 0; i < 3; i++)
        worst = fmax(worst, fmax(fabs(is[i].X - want[i].X),
                                 fmax(fabs(is[i].Y - want[i].Y),
                                      fabs(is[i].Z - want[i].Z))));
    return worst < 0.005;
}

static void use_embedded(const struct photo *photo, struct icc *icc,
                         enum measure_profile assume, struct light *out,
                         struct measure_notes *notes)
{
    out->icc = icc;
    out->evidence = EVIDENCE_EMBEDDED;
    snprintf(out->rule, sizeof out->rule, "embedded in the picture");
    if (assume != MEASURE_PROFILE_FILE && !resembles(icc, asked(assume)))
        notes_add(notes,
                  "The picture carries a sound profile of its own (%s), so "
                  "%s was not assumed: nothing needs to be done.",
                  icc_name(icc), builtin_name[asked(assume)]);
    if ((photo->exif_space == PHOTO_EXIF_SRGB && !resembles(icc, ICC_SRGB)) ||
        (photo->exif_space == PHOTO_EXIF_ADOBE_RGB &&
         !resembles(icc, ICC_ADOBE_RGB)))
        notes_add(
            notes,
            "Exif says %s but the embedded profile is %s; the profile "
            "was used: measure the camera's original file if this one "
            "was converted.",
            builtin_name[photo->exif_space == PHOTO_EXIF_SRGB ? ICC_SRGB
                                                              : ICC_ADOBE_RGB],
            icc_name(icc));
}

static void use_builtin(enum icc_builtin which, enum evidence evidence,
                        const char *rule, struct light *out)
{
    out->icc = icc_open_builtin(which);
    out->evidence = evidence;
    snprintf(out->rule, sizeof out->rule, "%s", rule);
}

/* The file has no sound profile and the dyer named one. */
static void use_asked(const struct photo *photo, enum icc_builtin which,
                      struct light *out)
{
    const bool agrees =
        (which == ICC_SRGB && photo->exif_space == PHOTO_EXIF_SRGB) ||
        (which == ICC_ADOBE_RGB && photo->exif_space == PHOTO_EXIF_ADOBE_RGB);

    use_builtin(which,
                agrees && photo->icc_state == PHOTO_ICC_NONE ? EVIDENCE_EXIF
                                                             : EVIDENCE_NONE,
                "assumed, as asked", out);
}

/* No profile in the file: Exif, or nothing at all, must do. */
static bool use_exif(const struct photo *photo, struct light *out,
                     struct measure_notes *notes, struct error *err)
{
    switch (photo->exif_space) {
    case PHOTO_EXIF_SRGB:
        use_builtin(ICC_SRGB, EVIDENCE_EXIF, "Exif says sRGB", out);
        return true;
    case PHOTO_EXIF_ADOBE_RGB:
        use_builtin(ICC_ADOBE_RGB, EVIDENCE_EXIF, "Exif says Adobe RGB", out);
        return true;
    case PHOTO_EXIF_UNCALIBRATED:
        return error_set(err, ERR_INPUT,
                         "the picture says it is not sRGB but carries no "
                         "profile: export it with its profile, or say which "
                         "to assume (sRGB, Display P3 or Adobe RGB)");
    case PHOTO_EXIF_NOTHING:
        break;
    }
    use_builtin(ICC_SRGB, EVIDENCE_NONE, "assumed: the picture names none",
                out);
    if (!(photo->notes & PHOTO_NOTE_STRIPPED))
        notes_add(notes, "The picture names no colour space and was taken as "
                         "sRGB: measure the camera's original file if there "
                         "is one.");
    return true;
}

static bool pick(const struct photo *photo, enum measure_profile assume,
                 struct light *out, struct measure_notes *notes,
                 struct error *err)
{
    struct error why = {
        .text = "parts of it are missing or wrong, or it is over 4 MB"};
    struct icc *icc = NULL;

    if (photo->icc_state == PHOTO_ICC_WHOLE &&
        icc_open(photo->icc, photo->icc_size, &icc, &why)) {
        use_embedded(photo, icc, assume, out, notes);
        return true;
    }
    if (photo->icc_state == PHOTO_ICC_NONE) {
        if (assume == MEASURE_PROFILE_FILE)
            return use_exif(photo, out, notes, err);
        use_asked(photo, asked(assume), out);
        return true;
    }
    if (assume == MEASURE_PROFILE_FILE)
        return error_set(err, ERR_INPUT,
                         "the picture's colour profile cannot be trusted "
                         "(%s): export the picture again, or say which to "
                         "assume (sRGB, Display P3 or Adobe RGB)",
                         why.text);
    use_asked(photo, asked(assume), out);
    notes_add(notes,
              "The picture's own profile cannot be trusted (%s); %s was "
              "assumed as asked: export the picture again if it looks wrong.",
              why.text, builtin_name[asked(assume)]);
    return true;
}

bool light_choose(const struct photo *photo, enum measure_profile assume,
                  struct light *out, struct measure_notes *notes,
                  struct error *err)
{
    memset(out, 0, sizeof *out);
    if (!pick(photo, assume, out, notes, err))
        return false;
    out->table = !icc_is_matrix(out->icc);
    if (out->table) {
        struct icc *srgb = icc_open_builtin(ICC_SRGB);

        icc_curves(srgb, out->curve, out->m.at);
        icc_close(srgb);
    } else {
        icc_curves(out->icc, out->curve, out->m.at);
    }
    out->back = mat3_inverse(&out->m);
    return true;
}

void light_clear(struct light *light)
{
    icc_close(light->icc);
    memset(light, 0, sizeof *light);
}

/* ---- pixels ------------------------------------------------------------- */

void light_row(const struct light *light, const unsigned char *rgb, size_t n,
               double *out, struct xyz *scratch)
{
    if (!light->table) {
        for (size_t i = 0; i < 3 * n; i += 3) {
            out[i] = light->curve[0][rgb[i]];
            out[i + 1] = light->curve[1][rgb[i + 1]];
            out[i + 2] = light->curve[2][rgb[i + 2]];
        }
        return;
    }
    icc_to_xyz(light->icc, rgb, scratch, n);
    for (size_t i = 0; i < n; i++) {
        const double v[3] = {scratch[i].X, scratch[i].Y, scratch[i].Z};

        mat3_apply(&light->back, v, out + 3 * i);
    }
}

struct xyz light_xyz(const struct light *light, const double rgb[3])
{
    double v[3];

    mat3_apply(&light->m, rgb, v);
    return (struct xyz){v[0], v[1], v[2]};
}

/* Codes either side of a code, and how far apart. */
static int around(double code, int *low, int *high)
{
    int at = (int)lround(fmin(fmax(code, 0), 255));

    *low = at > 0 ? at - 1 : 0;
    *high = at < 255 ? at + 1 : 255;
    return *high - *low;
}

struct mat3 light_slope(const struct light *light, const double code[3])
{
    unsigned char mid[3];
    struct mat3 j;

    for (int c = 0; c < 3; c++)
        mid[c] = (unsigned char)lround(fmin(fmax(code[c], 0), 255));
    for (int c = 0; c < 3; c++) {
        int low, high, apart = around(code[c], &low, &high);

        if (light->table) {
            unsigned char rgb[6];
            struct xyz x[2];

            memcpy(rgb, mid, 3);
            memcpy(rgb + 3, mid, 3);
            rgb[c] = (unsigned char)low;
            rgb[3 + c] = (unsigned char)high;
            icc_to_xyz(light->icc, rgb, x, 2);
            j.at[0][c] = (x[1].X - x[0].X) / apart;
            j.at[1][c] = (x[1].Y - x[0].Y) / apart;
            j.at[2][c] = (x[1].Z - x[0].Z) / apart;
        } else {
            double slope =
                (light->curve[c][high] - light->curve[c][low]) / apart;

            for (int i = 0; i < 3; i++)
                j.at[i][c] = light->m.at[i][c] * slope;
        }
    }
    return j;
}
