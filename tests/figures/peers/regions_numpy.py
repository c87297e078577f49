"""The mean L*, a*, b* of regions by Pillow and numpy:
regions_numpy.py FILE X,Y,W,H ...; exit status 127 where they are not there.
Light is what is averaged. The profile is not read but known: Display P3."""
import sys
try:
    import numpy as np
    from PIL import Image
except ImportError:
    sys.exit(127)

# P3's primaries and D65 adapted to D50 (Bradford).
TO_XYZ = np.array([[0.51512, 0.29198, 0.15710],
                   [0.24120, 0.69225, 0.06657],
                   [-0.00105, 0.04189, 0.78407]])
D50 = np.array([0.96422, 1.0, 0.82521])


def linear(rgb):  # sRGB's curve, which is P3's too
    return np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)


def lab_of(xyz):
    t = xyz / D50
    f = np.where(t > 216 / 24389, np.cbrt(t), (24389 / 27 * t + 16) / 116)
    return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])


picture = Image.open(sys.argv[1])
for words in sys.argv[2:]:
    x, y, w, h = map(int, words.split(","))
    rgb = np.asarray(picture.crop((x, y, x + w, y + h))) / 255
    L, a, b = lab_of(TO_XYZ @ linear(rgb).mean(axis=(0, 1)))
    print(f"{L:.3f},{a:.3f},{b:.3f}")
