"""Colours of boxes in pictures, computed apart from hanklab and compared with it.

Shares no code and no library with the program but the JPEG decoder: djpeg
gives the pixels, all else is written down here from the published formulas.
Prints TAP. Numpy is Debian's python3-numpy.

    oracle.py REGIONS_PROGRAM FIXTURES_FOLDER [PHOTOS_FOLDER]
"""
import csv
import os
import struct
import subprocess
import sys

import numpy as np

ALLOWED = 0.05  # CIELAB units, in each of L, a, b

# ICC.1 connection space white; Bradford: Lam 1985.
D50 = np.array([0.9642, 1.0, 0.8249])
BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)

# CIE x, y of red, green, blue: IEC 61966-2-1, SMPTE EG 432-1, Adobe RGB (1998).
PRIMARIES = {
    "srgb": [(0.64, 0.33), (0.30, 0.60), (0.15, 0.06)],
    "p3": [(0.680, 0.320), (0.265, 0.690), (0.150, 0.060)],
    "adobe": [(0.64, 0.33), (0.21, 0.71), (0.15, 0.06)],
}


def xyz_of_xy(x, y):
    return np.array([x / y, 1.0, (1 - x - y) / y])


def matrix(space):
    """Linear RGB to XYZ relative to D50."""
    columns = np.array([xyz_of_xy(*xy) for xy in PRIMARIES[space]]).T
    white = xyz_of_xy(0.3127, 0.3290)
    to_d65 = columns * np.linalg.solve(columns, white)
    gains = np.diag(BRADFORD @ D50 / (BRADFORD @ white))
    return np.linalg.inv(BRADFORD) @ gains @ BRADFORD @ to_d65


def linear(space, codes):
    v = codes / 255.0
    if space == "adobe":
        return v ** (563 / 256)
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def lab(xyz):
    t = np.asarray(xyz) / D50
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def xyz_of_lab(L, a, b):
    fy = (L + 16) / 116
    f = np.array([fy + a / 500, fy, fy - b / 200])
    return D50 * np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29))


# ---- the file ---------------------------------------------------------------


def segments(data):
    """Markers up to the first scan: (marker, bytes)."""
    at = 2
    while at + 4 <= len(data):
        if data[at] != 0xFF:
            at += 1
            continue
        marker = data[at + 1]
        if marker in (0x00, 0xFF) or 0xD0 <= marker <= 0xD9:
            at += 1 if marker == 0xFF else 2
            continue
        size = struct.unpack(">H", data[at + 2 : at + 4])[0]
        yield marker, data[at + 4 : at + 2 + size]
        if marker == 0xDA:
            return
        at += 2 + size


def exif_numbers(tiff):
    """Short and long values of the first folder and of Exif's own, by tag."""
    order = "<" if tiff[:2] == b"II" else ">"
    found = {}
    todo = [struct.unpack(order + "I", tiff[4:8])[0]]
    while todo and len(found) < 500:
        at = todo.pop()
        for i in range(struct.unpack(order + "H", tiff[at : at + 2])[0]):
            entry = tiff[at + 2 + 12 * i : at + 14 + 12 * i]
            tag, kind, _ = struct.unpack(order + "HHI", entry[:8])
            if kind == 3:
                found[tag] = struct.unpack(order + "H", entry[8:10])[0]
            elif kind == 4:
                found[tag] = struct.unpack(order + "I", entry[8:12])[0]
            if tag == 0x8769:
                todo.append(found[tag])
    return found


def describe(data):
    """Colour space, orientation, size of an MCU; None for a strange space."""
    chunks, exif, mcu = {}, {}, None
    for marker, body in segments(data):
        if marker == 0xE2 and body[:12] == b"ICC_PROFILE\0":
            chunks[body[12]] = body[14:]
        elif marker == 0xE1 and body[:6] == b"Exif\0\0" and not exif:
            exif = exif_numbers(body[6:])
        elif 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            factors = [body[7 + 3 * i] for i in range(body[5])]
            mcu = (
                8 * max(f >> 4 for f in factors),
                8 * max(f & 15 for f in factors),
            )
    profile = b"".join(chunks[k] for k in sorted(chunks)).replace(b"\0", b"")
    if not profile:
        space = "adobe" if exif.get(0xA001) == 2 else "srgb"
    elif b"Display P3" in profile:
        space = "p3"
    elif b"Adobe RGB" in profile or b"A98" in profile:
        space = "adobe"
    elif b"sRGB" in profile:
        space = "srgb"
    else:
        space = None
    return space, exif.get(0x0112, 1), mcu


def pixels(path):
    out = subprocess.run(
        ["djpeg", "-dct", "int", "-pnm", path], capture_output=True, check=True
    ).stdout
    fields, at = [], 0
    while len(fields) < 4:
        end = min(i for i in (out.find(c, at) for c in (b"\n", b" ")) if i >= 0)
        fields.append(out[at:end])
        at = end + 1
    w, h = int(fields[1]), int(fields[2])
    return np.frombuffer(out, np.uint8, 3 * w * h, at).reshape(h, w, 3)


def upright(picture, orientation):
    """Exif's Orientation undone."""
    if orientation in (5, 6, 7, 8):
        picture = picture.transpose(1, 0, 2)
    if orientation in (3, 4, 7, 8):
        picture = picture[::-1]
    if orientation in (2, 3, 6, 7):
        picture = picture[:, ::-1]
    return picture


# ---- a box ------------------------------------------------------------------


def block_edges(count, side, length):
    if side:
        return [(length - side * count) // 2 + side * i for i in range(count + 1)]
    return [length * i // count for i in range(count + 1)]


def mean_light(light, box, margin, weights, few, fewest):
    """Block trimmed mean, by the rules of docs/colour.md, section 7."""
    x, y, w, h = box
    inner_w, inner_h = max(w - 2 * margin[0], 0), max(h - 2 * margin[1], 0)
    side = next(
        (s for s in (32, 16, 8, 4) if (inner_w // s) * (inner_h // s) >= few), 4
    )
    if (inner_w // side) * (inner_h // side) < fewest:
        nx, ny, side = max(w // 4, 1), max(h // 4, 1), 0
    else:
        x, y, w, h = x + margin[0], y + margin[1], inner_w, inner_h
        nx, ny = w // side, h // side
    ex, ey = block_edges(nx, side, w), block_edges(ny, side, h)
    sums, counts = [], []
    for j in range(ny):
        for i in range(nx):
            part = light[y + ey[j] : y + ey[j + 1], x + ex[i] : x + ex[i + 1]]
            sums.append(part.sum((0, 1)))
            counts.append(part.shape[0] * part.shape[1])
    sums, counts = np.array(sums), np.array(counts)
    order = np.argsort(sums @ weights / counts, kind="stable")
    drop = len(order) // 10
    keep = order[drop : len(order) - drop]
    return sums[keep].sum(0) / counts[keep].sum()


def expected(path, card, card_lab, boxes):
    with open(path, "rb") as f:
        space, orientation, mcu = describe(f.read())
    if space is None:
        return None
    light = linear(space, upright(pixels(path), orientation).astype(float))
    m = matrix(space)
    margin = (mcu[0] + 2, mcu[1] + 2)
    if orientation >= 5:
        margin = margin[::-1]
    grey = BRADFORD @ m @ mean_light(light, card, margin, m[1], 25, 9)
    gains = BRADFORD @ xyz_of_lab(*card_lab) / grey
    out = []
    for box in boxes:
        xyz = m @ mean_light(light, box, margin, m[1], 30, 12)
        out.append((lab(xyz), lab(np.linalg.inv(BRADFORD) @ (gains * (BRADFORD @ xyz)))))
    return out


def reported(program, path, card, card_lab, boxes):
    lines = [",".join(map(str, row)) for row in [card + card_lab, *boxes]]
    out = subprocess.run(
        [program, path], input="\n".join(lines), capture_output=True, text=True,
        check=True,
    ).stdout.splitlines()
    rows = []
    for line in out[:-1]:
        numbers = [None if v == "-" else float(v) for v in line.split()]
        rows.append((numbers[:3], numbers[3:]))
    return rows


# ---- TAP --------------------------------------------------------------------


class Tap:
    def __init__(self):
        self.count = 0
        self.failed = 0

    def say(self, ok, text):
        self.count += 1
        self.failed += not ok
        print(f"{'ok' if ok else 'not ok'} {self.count} - {text}", flush=True)


def compare(tap, program, path, name, card, card_lab, boxes):
    want = expected(path, card, card_lab, boxes)
    if want is None:
        tap.say(True, f"{name} # SKIP a colour space of its own")
        return
    got = reported(program, path, card, card_lab, boxes)
    worst = [0.0, 0.0]
    compared = [0, 0]
    missing = len(boxes) - len(got)
    for ours, theirs in zip(want, got):
        missing += theirs[0][0] is None
        for k in (0, 1):
            if theirs[k][0] is not None:
                compared[k] += 1
                worst[k] = max(worst[k], np.abs(ours[k] - theirs[k]).max())
    ok = max(worst) <= ALLOWED and compared[0] > 0 and missing == 0
    tap.say(
        ok,
        f"{name}: {compared[0]} boxes as the file stands within {worst[0]:.3f}, "
        f"{compared[1]} beside the card within {worst[1]:.3f}",
    )


def numbers(row, names):
    return [float(row[n]) if n in ("L", "a", "b") or n[-1] in "Lab" else int(row[n])
            for n in names]


def by_file(path, key):
    files = {}
    with open(path, newline="") as f:
        for row in csv.DictReader(f):
            files.setdefault(row[key], []).append(row)
    return files


BOX = ("x", "y", "w", "h")


def fixtures(tap, program, folder):
    truth = os.path.join(folder, "truth.csv")
    if not os.path.exists(truth):
        tap.say(True, "fixtures # SKIP there is no fixtures/truth.csv")
        return
    for name, rows in by_file(truth, "file").items():
        card = numbers(rows[0], ["card_" + n for n in BOX])
        card_lab = numbers(rows[0], ["card_L", "card_a", "card_b"])
        compare(tap, program, os.path.join(folder, name), name, card, card_lab,
                [numbers(row, BOX) for row in rows])


def photos(tap, program, folder):
    patches = by_file(os.path.join(folder, "chart-patches.csv"), "image")
    for name, rows in patches.items():
        grey = min(
            (r for r in rows if r["role"] == "neutral"),
            key=lambda r: abs(float(r["L"]) - 51),
        )
        compare(tap, program, os.path.join(folder, name), name,
                numbers(grey, BOX), numbers(grey, ("L", "a", "b")),
                [numbers(row, BOX) for row in rows])
    for name, rows in by_file(os.path.join(folder, "profile-check.csv"), "image").items():
        compare(tap, program, os.path.join(folder, name), name,
                numbers(rows[2], BOX), numbers(rows[2], ("L", "a", "b")),
                [numbers(row, BOX) for row in rows])


def main():
    tap = Tap()
    program, folder = sys.argv[1:3]
    fixtures(tap, program, folder)
    if len(sys.argv) > 3 and sys.argv[3]:
        photos(tap, program, sys.argv[3])
    else:
        tap.say(True, "real pictures # SKIP HANKLAB_TEST_PHOTOS is not set")
    print(f"1..{tap.count}")
    return tap.failed != 0


if __name__ == "__main__":
    sys.exit(main())
