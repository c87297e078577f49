/* Knows other files by their first bytes. See the header. */
#include "photo/kind.h"

#include <string.h>

#include "base/mem.h"

struct kind {
    size_t at;         /* bytes from the start */
    const char *bytes; /* len of them */
    size_t len;
    const char *name;
};

#define MAGIC(at, bytes, name)                                                 \
    {                                                                          \
        at, bytes, sizeof(bytes) - 1, name                                     \
    }

/* The first that fits wins. HEIF brands: ISO/IEC 23008-12 annex; the rest are
 * the signatures of each format's own definition. */
static const struct kind kinds[] = {
    MAGIC(0, "\x89PNG", "a PNG picture"),
    MAGIC(4, "ftyphei", "a HEIC picture"),
    MAGIC(4, "ftyphev", "a HEIC picture"),
    MAGIC(4, "ftypmif1", "a HEIC picture"),
    MAGIC(4, "ftypmsf1", "a HEIC picture"),
    MAGIC(4, "ftypavi", "an AVIF picture"),
    MAGIC(4, "ftypcrx", "a raw camera file"),
    MAGIC(4, "ftyp", "a video"),
    MAGIC(8, "WEBP", "a WebP picture"),
    MAGIC(0, "RIFF", "a video or a sound"),
    MAGIC(0, "GIF8", "a GIF picture"),
    MAGIC(0, "II*\0", "a TIFF picture or a raw camera file"),
    MAGIC(0, "MM\0*", "a TIFF picture or a raw camera file"),
    MAGIC(0, "II+\0", "a TIFF picture"),
    MAGIC(0, "MM\0+", "a TIFF picture"),
    MAGIC(0, "IIRO", "a raw camera file"),
    MAGIC(0, "IIU\0", "a raw camera file"),
    MAGIC(0, "FUJIFILM", "a raw camera file"),
    MAGIC(0, "%PDF", "a PDF document"),
    MAGIC(0, "BM", "a BMP picture"),
    MAGIC(0, "\xFF\x0A", "a JPEG XL picture"),
    MAGIC(4, "JXL ", "a JPEG XL picture"),
    MAGIC(4, "jP  ", "a JPEG 2000 picture"),
    MAGIC(0, "\xFF\x4F\xFF\x51", "a JPEG 2000 picture"),
    MAGIC(0, "8BPS", "a picture editor's own file"),
    MAGIC(0, "PK\x03\x04", "a ZIP archive"),
    MAGIC(0, "<?xml", "an XML text"),
    MAGIC(0, "<svg", "an SVG drawing"),
    MAGIC(0, "<!DOCTYPE", "a web page"),
    MAGIC(0, "<html", "a web page"),
};

const char *kind_name(const unsigned char *data, size_t size)
{
    for (size_t i = 0; i < ARRAY_LEN(kinds); i++) {
        const struct kind *k = &kinds[i];
        if (k->at + k->len <= size && !memcmp(data + k->at, k->bytes, k->len))
            return k->name;
    }
    return NULL;
}
