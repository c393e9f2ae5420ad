#!/usr/bin/env python3
"""Reads widths the usual way, for comparison with package raster.

Standard input: for each picture one line of JSON (kind, w, h, film, near) and
then w*h bytes, 0 clear to 255 solid. Standard output: one JSON object with the
versions and a width in pixels for each picture, -1 where no axis was found.

kind "median", "least": twice the distance map on the medial axis
(skimage.morphology.medial_axis) at the axis pixels nearest to the places in
near; the median for marks of even width, the least for waists. kind "blob":
4 area / perimeter (skimage.measure.regionprops) of the piece under near[0].

Made with scikit-image 0.19.3, numpy 1.24.2, scipy 1.10.1 (Debian 12's
python3-skimage). The numbers frozen in skimage.json are its answers.
"""
import json
import sys

import numpy as np
import scipy
import skimage
from scipy.ndimage import distance_transform_edt
from skimage.measure import label, regionprops
from skimage.morphology import medial_axis

# An axis pixel farther from the course than this belongs to something else.
REACH = 2.5


def blob(shape, near):
    pieces = label(shape, connectivity=2)
    x, y = near[0]
    number = pieces[int(y), int(x)]
    if number == 0:
        return -1
    piece = regionprops((pieces == number).astype(np.uint8))[0]
    return 4 * piece.area / piece.perimeter if piece.perimeter > 0 else -1


def axis(shape, near, kind):
    skeleton, depth = medial_axis(shape, return_distance=True, random_state=0)
    if not skeleton.any():
        return -1
    away, index = distance_transform_edt(~skeleton, return_indices=True)
    widths = []
    for x, y in near:
        x, y = int(x), int(y)
        if 0 <= y < shape.shape[0] and 0 <= x < shape.shape[1] and away[y, x] <= REACH:
            widths.append(2 * depth[index[0][y, x], index[1][y, x]])
    if not widths:
        return -1
    return float(np.median(widths) if kind == "median" else np.min(widths))


def main():
    widths = []
    while True:
        head = sys.stdin.buffer.readline()
        if not head:
            break
        job = json.loads(head)
        raw = sys.stdin.buffer.read(job["w"] * job["h"])
        shape = np.frombuffer(raw, np.uint8).reshape(job["h"], job["w"]) >= 128
        if job["film"]:
            shape = ~shape
        if job["kind"] == "blob":
            width = blob(shape, job["near"])
        else:
            width = axis(shape, job["near"], job["kind"])
        widths.append(round(width, 3))
    versions = {"scikit-image": skimage.__version__, "numpy": np.__version__, "scipy": scipy.__version__}
    json.dump({"versions": versions, "widths_px": widths}, sys.stdout)


if __name__ == "__main__":
    main()
