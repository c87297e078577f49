"""The mean L*, a*, b* of regions by Pillow and ImageCms, 8 bits, as a script
does it: regions_imagecms.py FILE X,Y,W,H ...; exit status 127 where they are
not there."""
import sys
try:
    from PIL import Image, ImageCms, ImageStat
except ImportError:
    sys.exit(127)
import io

picture = Image.open(sys.argv[1])
own = ImageCms.ImageCmsProfile(io.BytesIO(picture.info["icc_profile"]))
to_lab = ImageCms.buildTransform(own, ImageCms.createProfile("LAB"), "RGB",
                                 "LAB")
for words in sys.argv[2:]:
    x, y, w, h = map(int, words.split(","))
    lab = ImageCms.applyTransform(picture.crop((x, y, x + w, y + h)), to_lab)
    L, a, b = ImageStat.Stat(lab).mean
    print(f"{L * 100 / 255:.3f},{a - 128:.3f},{b - 128:.3f}")
