"""The ids of the 20 colours nearest by CIEDE2000 to each of some, a line each,
by numpy, all at once: near_numpy.py COLOURS.csv L,a,b ...; exit status 127
where it is not there."""
import sys
try:
    import numpy as np
except ImportError:
    sys.exit(127)


def de2000(L1, a1, b1, L2, a2, b2):
    """Sharma, Wu, Dalal (2005)."""
    c7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    g = 1.5 - 0.5 * np.sqrt(c7 / (c7 + 25 ** 7))
    C1, C2 = np.hypot(g * a1, b1), np.hypot(g * a2, b2)
    h1 = np.degrees(np.arctan2(b1, g * a1)) % 360
    h2 = np.degrees(np.arctan2(b2, g * a2)) % 360
    grey = C1 * C2 == 0
    dh = np.where(grey, 0, (h2 - h1 + 180) % 360 - 180)
    dH = 2 * np.sqrt(C1 * C2) * np.sin(np.radians(dh / 2))
    h = np.where(grey, h1 + h2, (h1 + dh / 2) % 360)
    L, C = (L1 + L2) / 2, (C1 + C2) / 2

    def cos(deg):
        return np.cos(np.radians(deg))

    t = (1 - 0.17 * cos(h - 30) + 0.24 * cos(2 * h) + 0.32 * cos(3 * h + 6)
         - 0.20 * cos(4 * h - 63))
    sl = 1 + 0.015 * (L - 50) ** 2 / np.sqrt(20 + (L - 50) ** 2)
    sc, sh = 1 + 0.045 * C, 1 + 0.015 * C * t
    turn = np.radians(60 * np.exp(-((h - 275) / 25) ** 2))
    rt = -2 * np.sqrt(C ** 7 / (C ** 7 + 25 ** 7)) * np.sin(turn)
    l, c, hh = (L2 - L1) / sl, (C2 - C1) / sc, dH / sh
    return np.sqrt(l * l + c * c + hh * hh + rt * c * hh)


ids, L, a, b = np.loadtxt(sys.argv[1], delimiter=",", skiprows=1, unpack=True)
for words in sys.argv[2:]:
    de = de2000(*map(float, words.split(",")), L, a, b)
    nearest = np.argsort(de, kind="stable")[:20]
    print(*ids[nearest].astype(int))
