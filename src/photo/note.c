/* The notes in the dyer's words: what it means, and what to do next time. */
#include "photo/photo.h"

const char *photo_note_text(enum photo_note note)
{
    switch (note) {
    case PHOTO_NOTE_ORIENTATION_ODD:
        return "The file's note of which way is up makes no sense, so the "
               "picture was taken as it lies; colours are the same, but check "
               "where the boxes are.";
    case PHOTO_NOTE_EXIF_DAMAGED:
        return "The camera's notes in the file (Exif) are damaged and were "
               "read in part only; copy the photo from the camera again if you "
               "can.";
    case PHOTO_NOTE_EXIF_TWICE:
        return "The file holds two sets of camera notes (Exif), as edited "
               "copies do, and the first was used; better measure the camera's "
               "own file.";
    case PHOTO_NOTE_XMP_ORIENTATION:
        return "Two places in the file disagree on which way is up and Exif "
               "was followed; colours are the same, but check where the boxes "
               "are.";
    case PHOTO_NOTE_GAIN_MAP:
        return "An HDR photo: the camera changed lightness from place to "
               "place, so lightness is less sure; switch HDR off next time.";
    case PHOTO_NOTE_MORE_PICTURES:
        return "The file holds several pictures and only the first was read; "
               "check that it is the one you meant.";
    case PHOTO_NOTE_EDITED:
        return "The file was saved by a picture editor, which may have "
               "changed its colours; better measure the camera's own file.";
    case PHOTO_NOTE_NO_CAMERA:
        return "The file does not say which camera took it, so it may be a "
               "changed copy; better measure the camera's own file.";
    case PHOTO_NOTE_STRIPPED:
        return "The file says nothing of its camera or its colour space, as "
               "after a messenger, so its colours rest on a guess; send the "
               "original file next time.";
    case PHOTO_NOTE_LOW_QUALITY:
        return "The photo was compressed hard, which blurs and shifts "
               "colours; choose the best JPEG quality next time.";
    case PHOTO_NOTE_STRAY_BYTES:
        return "There are stray bytes in the file's header; they do not touch "
               "the colours, but copy the photo again if it looks wrong.";
    case PHOTO_NOTE_NO_END_MARKER:
        return "The last bytes of the file are missing, but its picture is "
               "all there; copy the photo from the camera again to be sure.";
    case PHOTO_NOTE_DAMAGED_BELOW:
        return "A part of the photo is missing or damaged and cannot be "
               "measured; copy the photo from the camera again.";
    case PHOTO_NOTE_ODD_HEADER:
        return "The file's header breaks a JPEG rule in a way that does not "
               "touch the colours; nothing needs to be done.";
    case PHOTO_NOTE_RENDERED:
        return "The camera says that it processed the picture in its own way "
               "(HDR, portrait, panorama), so lightness is less sure; use the "
               "plain photo mode next time.";
    }
    return "";
}
