/* Which pictures share a camera's curve. See the header. */
#include "measure/camera.h"

#include <stdio.h>
#include <string.h>

#include "base/mem.h"

static void mode_add(char *mode, size_t size, const char *before,
                     const char *word)
{
    const size_t n = strlen(mode);

    if (word && *word)
        snprintf(mode + n, size - n, "%s%s%s", n ? ", " : "", before, word);
}

/* A setting's word; a number that Exif does not know stays a number. */
static void setting_add(char *mode, size_t size, const char *what,
                        const char *const *words, size_t n, int value)
{
    char number[32];

    snprintf(number, sizeof number, "%s %d", what, value);
    if (value)
        mode_add(mode, size, "", (size_t)value < n ? words[value] : number);
}

bool camera_name(const struct photo *photo, const char *profile,
                 struct camera_name *out)
{
    static const char *const scenes[] = {NULL, "landscape scene",
                                         "portrait scene", "night scene"};
    static const char *const contrasts[] = {NULL, "soft contrast",
                                            "hard contrast"};
    static const char *const saturations[] = {NULL, "low saturation",
                                              "high saturation"};

    *out = (struct camera_name){.mode = ""};
    if (!photo->model[0] || photo->notes & PHOTO_NOTE_EDITED)
        return false;
    snprintf(out->make, sizeof out->make, "%s", photo->make);
    snprintf(out->model, sizeof out->model, "%s", photo->model);
    mode_add(out->mode, sizeof out->mode, "", profile);
    mode_add(out->mode, sizeof out->mode, "software ", photo->software);
    setting_add(out->mode, sizeof out->mode, "scene", scenes, ARRAY_LEN(scenes),
                photo->scene);
    setting_add(out->mode, sizeof out->mode, "contrast", contrasts,
                ARRAY_LEN(contrasts), photo->contrast);
    setting_add(out->mode, sizeof out->mode, "saturation", saturations,
                ARRAY_LEN(saturations), photo->saturation);
    if (photo->notes & PHOTO_NOTE_RENDERED)
        mode_add(out->mode, sizeof out->mode, "", "special rendering");
    if (photo->notes & PHOTO_NOTE_GAIN_MAP)
        mode_add(out->mode, sizeof out->mode, "", "gain map");
    return true;
}

const struct camera *camera_find(const struct camera *camera, size_t n,
                                 const struct camera_name *name)
{
    while (n-- > 0)
        if (!strcmp(camera[n].name.make, name->make) &&
            !strcmp(camera[n].name.model, name->model) &&
            !strcmp(camera[n].name.mode, name->mode))
            return &camera[n];
    return NULL;
}
