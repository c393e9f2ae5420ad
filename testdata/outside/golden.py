#!/usr/bin/env python3
"""Makes the pictures and golden numbers in this folder; see README.md.

Runs on Debian 12 with python3-skimage, python3-scipy, python3-pil,
fonts-urw-base35 and zint: python3 golden.py, in this folder.
"""
import json
import os
import subprocess
import zlib

import numpy as np
import PIL
import scipy
import skimage
from PIL import Image, ImageDraw, ImageFont, features
from scipy import ndimage
from skimage import filters, measure, morphology, transform

DATA = os.path.join(os.path.dirname(skimage.__file__), "data")
FONT = "/usr/share/fonts/opentype/urw-base35/NimbusSans-Regular.otf"
AFM = "/usr/share/fonts/type1/urw-base35/NimbusSans-Regular.afm"
ZINT = ["zint", "-b", "EANX", "-d", "200123456787", "--scale", "5", "--height", "20",
        "--notext", "-o", "ean13.png"]


def pictures():
    """Ink planes of scikit-image's own horse and page, kept as bilevel PNGs. The
    page's letters are two pixels thick, so it is enlarged four times, by cubic
    interpolation of its greys, before it is cut."""
    horse = skimage.io.imread(os.path.join(DATA, "horse.png"))[..., :3].mean(axis=2) < 128
    page = skimage.io.imread(os.path.join(DATA, "page.png"))
    page = transform.rescale(page.astype(float), 4, order=3, mode="edge", anti_aliasing=False)
    page = page < filters.threshold_local(page, 141, offset=20)
    out = {"horse": horse, "page": page}
    for name, ink in out.items():
        Image.fromarray(~ink).convert("1").save(name + ".png", optimize=True)
    return out


def digest(plane):
    """Pixels set, and the CRC-32 of the plane, one byte a pixel, row by row."""
    return {"pixels": int(plane.sum()), "crc32": zlib.crc32(plane.astype(np.uint8).tobytes())}


def opened(ink):
    """Opening by discs of whole radii; scikit-image counts no clear pixels
    beyond the border when eroding, as package raster does."""
    return [dict(r=r, **digest(morphology.binary_opening(ink, morphology.disk(r))))
            for r in (1, 2, 3, 5, 8)]


def distances(ink):
    """Pixels farther than r from the nearest clear one: the erosion by any r."""
    d = ndimage.distance_transform_edt(ink)
    return [dict(r=r, **digest(d > r)) for r in
            (0.5, 1, 1.2, 1.5, 2, 2.3, 2.9, 3.7, 4.5, 5.5, 7.1, 9.9, 12.3)]


def labelled(plane, eight):
    """Pieces, the sum of their areas squared, and their holes."""
    lab = measure.label(plane, connectivity=2 if eight else 1)
    areas = [int(a) for a in np.bincount(lab.ravel())[1:]]
    euler = measure.euler_number(plane, connectivity=2 if eight else 1)
    return {"pieces": len(areas), "largest": max(areas), "squares": int(sum(a * a for a in areas)),
            "holes": len(areas) - int(euler)}


NEAR = np.ones((3, 3), int)


def stretches(axis):
    """The axis without its junctions, labelled, and how many neighbours a pixel has."""
    near = ndimage.convolve(axis.astype(int), NEAR, mode="constant") - 1
    return measure.label(axis & (near <= 2), connectivity=2), near


def pruned(axis, dist):
    """The axis without the twigs that run out into corners: stretches with a
    free end that are shorter than one and a half times their greatest distance
    from the edge."""
    axis = axis.copy()
    for _ in range(3):
        lab, near = stretches(axis)
        for region in measure.regionprops(lab):
            rows, cols = region.coords.T
            free = (near[rows, cols] <= 1).sum() == 1
            if free and region.area < 1.5 * dist[rows, cols].max() + 2:
                axis[rows, cols] = False
        axis = morphology.skeletonize(axis)
    return axis


def branches(plane):
    """Stretches of the medial axis between its junctions, 14 to 27 pixels long,
    under 40 wide, along which twice the distance, which is scikit-image's local
    width, stays within 1.2 pixels: its own steps are that large."""
    axis, dist = morphology.medial_axis(
        np.pad(plane, 1, constant_values=plane[0, 0]), return_distance=True, random_state=1)
    axis, dist = axis[1:-1, 1:-1], dist[1:-1, 1:-1]
    lab, _ = stretches(pruned(axis, dist))
    out = []
    for region in measure.regionprops(lab):
        if region.area < 14:
            continue
        left = {tuple(p) for p in region.coords}

        def around(p):
            return sorted((p[0] + i, p[1] + j) for i in (-1, 0, 1) for j in (-1, 0, 1)
                          if (p[0] + i, p[1] + j) in left and (i or j))

        ends = sorted(p for p in left if len(around(p)) == 1)
        if len(ends) != 2:
            continue
        path, at = [], ends[0]
        while at is not None:
            path.append(at)
            left.discard(at)
            # A straight step before a diagonal one, so that no corner is cut.
            step = sorted(around(at), key=lambda q: abs(q[0] - at[0]) + abs(q[1] - at[1]))
            at = step[0] if step else None
        parts = max(1, len(path) // 14)
        for i in range(parts):
            part = path[len(path) * i // parts:len(path) * (i + 1) // parts]
            w = [round(2 * float(dist[p]), 3) for p in part]
            if len(part) < 14 or max(w) - min(w) > 1.2 or max(w) >= 40:
                continue
            out.append({"x": [int(p[1]) for p in part], "y": [int(p[0]) for p in part], "width": w})
    return out


def stems():
    """Nimbus Sans l and I by FreeType, grey and without hints: its autohinter
    and CFF hints move edges up and down only. Numbers from the AFM file."""
    boxes = {}
    for line in open(AFM):
        part = line.split()
        if line.startswith("C ") and part[7] in ("l", "I"):
            boxes[part[7]] = [int(v) for v in part[10:14]]
    out = []
    for em in (60, 150, 400):
        font = ImageFont.truetype(FONT, em, layout_engine=ImageFont.Layout.BASIC)
        for char in "lI":
            name = "nimbus-%s-%d.png" % (char, em)
            img = Image.new("L", (em // 3, em), 255)
            ImageDraw.Draw(img).text((em // 20, 0), char, font=font, fill=0)
            img.save(name, optimize=True)
            out.append({"file": name, "em_px": em, "box": boxes[char]})
    return out


def main():
    ink = pictures()
    subprocess.run(ZINT, check=True)
    print(subprocess.run(["zint", "--version"], capture_output=True, text=True).stdout.strip())
    golden = {
        "versions": {"skimage": skimage.__version__, "scipy": scipy.__version__, "numpy": np.__version__,
                     "pillow": PIL.__version__, "freetype": features.version("freetype2"),
                     "zint": "2.11.1", "zint_command": " ".join(ZINT)},
        "planes": {n: {"open": opened(p), "far": distances(p),
                       "ink8": labelled(p, True), "film4": labelled(~p, False)} for n, p in ink.items()},
        "branches": {"horse": branches(ink["horse"]), "horse film": branches(~ink["horse"]),
                     "page": branches(ink["page"]), "page film": branches(~ink["page"])},
        "stems": stems(),
    }
    with open("golden.json", "w") as f:
        json.dump(golden, f, indent=None, separators=(",", ":"))
        f.write("\n")


main()
