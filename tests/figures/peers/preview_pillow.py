"""A copy of at most 480 pixels by Pillow, which has libjpeg shrink it first
(draft): preview_pillow.py FROM TO; exit status 127 where it is not there."""
import sys
try:
    from PIL import Image, ImageOps
except ImportError:
    sys.exit(127)

picture = Image.open(sys.argv[1])
picture.draft("RGB", (960, 960))
picture = ImageOps.exif_transpose(picture)
picture.thumbnail((480, 480))
picture.save(sys.argv[2], quality=82, icc_profile=picture.info["icc_profile"])
