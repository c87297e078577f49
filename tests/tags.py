#!/usr/bin/env python3
"""What a printed sheet of tags says to somebody who cannot see well.

    tags.py read PAPER FIRST PAGE...    pages of 150 dots to the inch
    tags.py height PAPER PAGE...        pages of 300
    tags.py knots FIRST HTML

PAGE is a PGM as pdftoppm makes it. "read" blurs the pages and has tesseract
read the number of each tag, which go up from FIRST; it prints those that it
took for others. "height" prints the height of the lowest digit in mm. "knots"
reads the threads as docs/printing.md says it, with a ruler.
"""
import re
import subprocess
import sys
import tempfile

import numpy as np

MARGIN, WIDTH = 9.0, 64.0  # mm, as src/web/assets/sheets.css has them
ROW = {"a4": 31.2, "letter": 29.9}
BLUR = 2.0  # SD in dots of 150 to the inch: a third of a millimetre
# Tesseract is trained on letters some 30 dots high.
SHRINK = 3


def load(path):
    with open(path, "rb") as f:
        kind, size, _ = f.readline(), f.readline().split(), f.readline()
        assert kind == b"P5\n"
        return np.frombuffer(f.read(), np.uint8).reshape(
            int(size[1]), int(size[0])).astype(float)


def save(a, path):
    with open(path, "wb") as f:
        f.write(b"P5\n%d %d\n255\n" % (a.shape[1], a.shape[0]))
        f.write(np.clip(a, 0, 255).astype(np.uint8).tobytes())


def blurred(a):
    r = int(3 * BLUR)
    kernel = np.exp(-np.arange(-r, r + 1) ** 2 / (2 * BLUR * BLUR))
    kernel /= kernel.sum()
    for axis in (0, 1):
        a = np.apply_along_axis(np.convolve, axis, a, kernel, "same")
    return a


def numerals(page, paper, dpi):
    """The digits of each tag: what stands on the bar, from blank to blank."""
    mm = dpi / 25.4
    for tag in range(24):
        x = MARGIN + WIDTH * (tag % 3)
        y = MARGIN + ROW[paper] * (tag // 3)
        part = page[round((y + .8) * mm):round((y + 20.5) * mm),
                    round((x + 9) * mm):round((x + WIDTH - .8) * mm)]
        ink = part < 100  # black; lines to write on are grey
        dark = ink.sum(1)
        if not dark.max():
            return  # no more tags
        # The lowest of the longest rows is the bar.
        top = bar = np.where(dark > .85 * dark.max())[0][-1]
        while ink[top].any():
            top -= 1
        across = np.where(ink[bar])[0]
        yield part[:top, max(0, across[0] - 8):across[-1] + 8]


def read(paper, first, pages):
    wrong, number = [], first
    with tempfile.TemporaryDirectory() as folder:
        names = []
        for page in pages:
            # Paper is white beyond its edge, too.
            a = 255 - blurred(255 - load(page))
            for digits in numerals(a, paper, 150):
                d = np.pad(digits, 40, constant_values=255)
                h, w = (n // SHRINK * SHRINK for n in d.shape)
                d = d[:h, :w].reshape(h // SHRINK, SHRINK, w // SHRINK,
                                      SHRINK).mean((1, 3))
                names.append(f"{folder}/{len(names)}.pgm")
                save(d, names[-1])
        with open(f"{folder}/all", "w") as f:
            f.write("\n".join(names) + "\n")
        said = subprocess.run(
            ["tesseract", f"{folder}/all", "-", "--psm", "7", "-c",
             "tessedit_char_whitelist=0123456789"], check=True,
            capture_output=True, text=True).stdout.split("\f")
        for text in said[:len(names)]:
            if text.strip() != str(number):
                wrong.append(f"{number} as {text.strip() or 'nothing'}")
            number += 1
    print(f"{number - first} tags" + "".join(f", {w}" for w in wrong))


def height(paper, pages):
    least = 1e9
    for page in pages:
        for digits in numerals(load(page), paper, 300):
            inked = np.where((digits < 100).any(1))[0]
            least = min(least, (inked[-1] - inked[0] + 1) / 300 * 25.4)
    print(f"{least:.1f}")


def knots(first, path):
    wrong, number = [], first
    with open(path) as f:
        threads = re.findall(r'<svg class="knots" role.*?</svg>', f.read())
    for thread in threads:
        signs = []  # where each begins and ends, and what it counts
        for x, r, loop in re.findall(
                r'<circle cx="([\d.]+)" cy="2" r="([\d.]+)"( fill)?', thread):
            at, half = float(x), float(r)
            signs.append((at - half, at + half, 0 if loop else 1))
        for x, w in re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"',
                               thread):
            signs.append((float(x), float(x) + float(w), 5))
        said, end = [], -9
        for begin, behind, counts in sorted(signs):
            if begin - end > 2:  # a wide gap
                said.append(0)
            said[-1] += counts
            end = behind
        if "".join(map(str, said)) != str(number):
            wrong.append(f"{number} as {said}")
        number += 1
    print(f"{number - first} threads" + "".join(f", {w}" for w in wrong))


if sys.argv[1] == "knots":
    knots(int(sys.argv[2]), sys.argv[3])
elif sys.argv[1] == "read":
    read(sys.argv[2], int(sys.argv[3]), sys.argv[4:])
else:
    height(sys.argv[2], sys.argv[3:])
