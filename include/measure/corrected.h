/* A copy of a picture as its grey card corrects it, for showing to others. */
#ifndef HANKLAB_MEASURE_CORRECTED_H
#define HANKLAB_MEASURE_CORRECTED_H

#include "measure/measure.h"

/*
 * Writes a JPEG in sRGB of full size: every pixel through the picture's
 * profile and the card's gains, those outside sRGB cut off; below it a strip
 * with a swatch of each region that has a colour, its name, and the words
 * "corrected by grey card", by which the picture is corrected even where the
 * regions' colours are by more references. Of its Exif only the orientation is
 * left: no place, no camera.
 *
 * data    size bytes, borrowed for the call only
 * request, result  as measure_jpeg took and filled them
 * name    request->regions of them
 * out     release with free()
 * err     as photo_open and photo_decode; ERR_LIMIT also where the strip makes
 *         the picture higher than a JPEG may be
 *
 * The copy is for looking at. It is not measured: a card in it shows what it
 * was said to be, and no more the light there was.
 */
bool corrected_jpeg(const unsigned char *data, size_t size,
                    const struct measure_request *request,
                    const struct measure_result *result,
                    const char *const *name, unsigned char **out,
                    size_t *out_size, struct error *err);

#endif
