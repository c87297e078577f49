/* Kept photos, as they are. */
#include "photos.h"
#include "routes.h"

bool photo_send(struct request *r, struct error *err)
{
    struct record photo;

    if (!photos_find(r, request_part(r, "/photo/"), &photo, &r->file, err))
        return false;
    record_clear(&photo);
    r->type = "image/jpeg";
    r->lasting = true;
    return true;
}
