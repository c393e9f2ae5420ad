#!/usr/bin/python3
"""Makes the artwork files of every form that raster/artwork reads, and what ImageMagick (over libtiff, libpng,
libjpeg, libwebp) reads in each, as reference.

    testdata/forms/make.py        from the top of the repository; overwrites testdata/forms

Needs Debian's imagemagick, libtiff-tools, webp, python3-pil, python3-numpy. The files in the repository were made
with ImageMagick 6.9.11-60 Q16, libtiff 4.5.0, libwebp 1.2.4, Pillow 9.4.0 (Debian 12).

Needs about ten seconds. forms.tsv has a row for each file: its name, its reference, by how many of 255 levels a pixel may differ, pixels an
inch along x and y (0: not said), pages, and how it was made. A reference is a PGM of light, 0 black to 255 white, with
alpha over white and colour as Rec. 709 luma; references alike are one file.
"""
import hashlib
import os
import struct
import subprocess
import sys
import zlib

import numpy as np
from PIL import Image, ImageDraw

HERE = os.path.dirname(os.path.abspath(__file__))
W, H = 93, 61
rows = []


def run(*args, **kw):
    p = subprocess.run(args, stdout=subprocess.PIPE, stderr=subprocess.PIPE, **kw)
    if p.returncode:
        sys.exit("%s\n%s" % (" ".join(args), p.stderr.decode()))
    return p.stdout


# The art: a ring, a bar, a wedge of rays, dots; drawn 8 times as large and averaged.
def drawing(k=8):
    im = Image.new("L", (W * k, H * k), 255)
    d = ImageDraw.Draw(im)
    d.ellipse((4 * k, 5 * k, 40 * k, 41 * k), outline=0, width=5 * k)
    d.rectangle((0, 50 * k, 60 * k, 53 * k), fill=0)
    for i in range(7):
        d.line((50 * k, 8 * k, (56 + 6 * i) * k, 44 * k), fill=0, width=k + i * k // 3)
        d.ellipse(((48 + 6 * i) * k, 55 * k, (49 + 6.6 * i) * k, (56 + 0.6 * i) * k), fill=0)
    d.rectangle((84 * k, 0, 93 * k, 12 * k), fill=0)
    return np.asarray(im.resize((W, H), Image.BOX))


GREY = drawing()
BI = np.where(GREY < 128, 0, 255).astype(np.uint8)
INK = 255 - GREY.astype(int)
yy, xx = np.mgrid[0:H, 0:W]
RGB = np.stack([255 - INK * (xx < 60), 255 - INK * (yy < 40), 255 - INK * (xx + yy > 50)], -1).astype(np.uint8)
ALPHA = np.clip(255 - (xx * 3), 0, 255).astype(np.uint8)
CMYK = np.stack([INK * (xx < 30), INK * (yy < 30), INK * ((xx > 20) & (xx < 70)), INK * (xx >= 60)], -1).astype(np.uint8)


def wide(a):
    """16 bits with low bytes that are not copies of the high ones."""
    return (a.astype(np.uint16) * 257) ^ np.where((a > 0) & (a < 255), 0x35, 0).astype(np.uint16)


# ---- TIFF, written by hand so that every tag is as wanted

TYPES = {1: "B", 2: "c", 3: "H", 4: "I", 16: "Q"}


def pack(a, bits, order):
    """Samples of one row to bytes."""
    a = a.reshape(-1)
    if bits == 16:
        return a.astype(order + "u2").tobytes()
    if bits == 8:
        return a.astype(np.uint8).tobytes()
    b = np.unpackbits(a.astype(np.uint8)[:, None], axis=1)[:, 8 - bits:].reshape(-1)
    return np.packbits(b).tobytes()


class Dir:
    def __init__(self, a, bits, photo, rows=16, comp=1, planar=1, tags=None, drop=(), shuffle=False, double=False, tile=None):
        if a.ndim == 2:
            a = a[:, :, None]
        self.__dict__.update(locals())


def tiff(path, dirs, order="<", big=False):
    out = bytearray((b"II" if order == "<" else b"MM") + struct.pack(order + ("HHHQ" if big else "HI"), *((43, 8, 0, 0) if big else (42, 0))))
    link = 8 if big else 4
    for d in dirs:
        h, w, n = d.a.shape
        planes = [d.a[:, :, i:i + 1] for i in range(n)] if d.planar == 2 else [d.a]
        offs, counts = [], []
        for p in planes:
            if d.tile:
                tw, th = d.tile
                full = np.zeros((-(-h // th) * th, -(-w // tw) * tw, p.shape[2]), p.dtype)
                full[:h, :w] = p
                chunks = [full[y:y + th, x:x + tw] for y in range(0, h, th) for x in range(0, w, tw)]
            else:
                chunks = [p[y:y + d.rows] for y in range(0, h, d.rows)]
            for c in chunks:
                raw = b"".join(pack(r, d.bits, order) for r in c)
                if d.comp == 8:
                    raw = zlib.compress(raw, 9)
                if len(out) & 1:
                    out += b"\0"
                offs.append(len(out))
                counts.append(len(raw))
                out += raw
        tags = {256: (3, [w]), 257: (3, [h]), 258: (3, [d.bits] * n), 259: (3, [d.comp]), 262: (3, [d.photo]), 277: (3, [n]),
                282: (5, [(300, 1)]), 283: (5, [(300, 1)]), 296: (3, [2])}
        if d.tile:
            tags.update({322: (3, [d.tile[0]]), 323: (3, [d.tile[1]]), 324: (4, offs), 325: (4, counts)})
        else:
            tags.update({273: (16 if big else 4, offs), 278: (3, [d.rows]), 279: (4, counts)})
        if d.planar != 1:
            tags[284] = (3, [d.planar])
        tags.update(d.tags or {})
        for t in d.drop:
            del tags[t]
        order_of = sorted(tags)
        if d.shuffle:
            order_of = order_of[::2] + order_of[1::2]
        entries = [(t,) + tags[t] for t in order_of]
        if d.double:  # a second, wrong ImageWidth
            entries.insert(1, (256, 3, [w + 1]))
        body = []
        for t, typ, vals in entries:
            if typ == 5:
                raw, count = b"".join(struct.pack(order + "II", *v) for v in vals), len(vals)
            elif typ == 7:
                raw, count = bytes(vals), len(vals)
            else:
                raw, count = struct.pack(order + TYPES[typ] * len(vals), *vals), len(vals)
            body.append((t, typ, count, raw))
        room = 8 if big else 4
        for i, (t, typ, count, raw) in enumerate(body):
            if len(raw) > room:
                if len(out) & 1:
                    out += b"\0"
                body[i] = (t, typ, count, struct.pack(order + ("Q" if big else "I"), len(out)))
                out += raw
            else:
                body[i] = (t, typ, count, raw.ljust(room, b"\0"))
        if len(out) & 1:
            out += b"\0"
        out[link:link + room] = struct.pack(order + ("Q" if big else "I"), len(out))
        out += struct.pack(order + ("Q" if big else "H"), len(body))
        for t, typ, count, raw in body:
            out += struct.pack(order + ("HHQ" if big else "HHI"), t, typ, count) + raw
        link = len(out)
        out += b"\0" * room
    open(os.path.join(HERE, path), "wb").write(out)


# ---- PNG, likewise

def chunk(name, data):
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def png(path, a, bits, ctype, interlace=0, plte=None, trns=None, phys=(11811, 11811, 1)):
    if a.ndim == 2:
        a = a[:, :, None]
    h, w, n = a.shape
    step = max(1, n * bits // 8)
    passes = [(0, 0, 1, 1)]
    if interlace:
        passes = [(0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2)]
    raw = b""
    for x, y, dx, dy in passes:
        part = a[y::dy, x::dx]
        if part.size == 0:
            continue
        prev = bytes(len(pack(part[0], bits, ">")))
        for i, r in enumerate(part):
            cur = pack(r, bits, ">")
            raw += filtered(i % 5, cur, prev, step)
            prev = cur
    out = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", w, h, bits, ctype, 0, 0, interlace))
    if phys:
        out += chunk(b"pHYs", struct.pack(">IIB", *phys))
    if plte is not None:
        out += chunk(b"PLTE", bytes(plte))
    if trns is not None:
        out += chunk(b"tRNS", bytes(trns))
    z = zlib.compress(raw, 9)
    cut = len(z) // 2
    out += chunk(b"IDAT", z[:cut]) + chunk(b"IDAT", z[cut:]) + chunk(b"IEND", b"")
    open(os.path.join(HERE, path), "wb").write(out)


def filtered(kind, cur, prev, step):
    out = bytearray([kind])
    for i, v in enumerate(cur):
        a = cur[i - step] if i >= step else 0
        b = prev[i]
        c = prev[i - step] if i >= step else 0
        if kind == 0:
            g = 0
        elif kind == 1:
            g = a
        elif kind == 2:
            g = b
        elif kind == 3:
            g = (a + b) // 2
        else:
            pa, pb, pc = abs(b - c), abs(a - c), abs(a + b - 2 * c)
            g = a if pa <= pb and pa <= pc else b if pb <= pc else c
        out.append((v - g) & 255)
    return bytes(out)


# ---- rows of the table

def row(name, how, tol=0, x=300, y=300, pages=1, read=(), page=0, ref=None, libtiff=False):
    path = os.path.join(HERE, name)
    if libtiff:  # ImageMagick 6 misreads these; take libtiff's own reading to RGBA
        rgba = os.path.join(HERE, "rgba.tif")
        run("tiff2rgba", "-c", "none", path, rgba)
        path, how = rgba, how + "; read with tiff2rgba"
    if ref is None:
        ref = run("convert", "%s[%d]" % (path, page), *read, "-colorspace", "sRGB", "-background", "white", "-flatten", "-grayscale", "Rec709Luma",
                  "-depth", "8", "pgm:-")
    if libtiff:
        os.remove(rgba)
    sha = "ref-%s.pgm" % hashlib.sha256(ref).hexdigest()[:8]
    open(os.path.join(HERE, sha), "wb").write(ref)
    rows.append("\t".join([name, sha, str(int(tol)), "%.6g" % x, "%.6g" % y, str(pages), how]))


def cp(src, dst, *args):
    run("tiffcp", *args, os.path.join(HERE, src), os.path.join(HERE, dst))
    return "tiffcp " + " ".join(args) + " " + src


def main():
    for f in os.listdir(HERE):
        if f != "make.py":
            os.remove(os.path.join(HERE, f))

    one = BI // 255
    # Bilevel: both polarities, every compression, strips and tiles, fill orders, byte orders.
    for pol, photo, a in (("wiz", 0, 1 - one), ("biz", 1, one)):
        base = "bi-%s-none.tif" % pol
        tiff(base, [Dir(a, 1, photo)])
        row(base, "by hand")
        for comp in ("packbits", "lzw", "zip", "g3:1d", "g3:2d", "g3:fill", "g3:2d:fill", "g4"):
            tag = comp.replace(":", "")
            name = "bi-%s-%s.tif" % (pol, tag)
            row(name, cp(base, name, "-c", comp, "-r", "16"))
            name = "bi-%s-%s-lsb.tif" % (pol, tag)
            row(name, cp(base, name, "-c", comp, "-f", "lsb2msb", "-B", "-r", "61"))
            name = "bi-%s-%s-tile.tif" % (pol, tag)
            row(name, cp(base, name, "-c", comp, "-t", "-w", "48", "-l", "32"))
        name = "bi-%s-none-lsb.tif" % pol
        row(name, cp(base, name, "-c", "none", "-f", "lsb2msb", "-r", "7"))
        name = "bi-%s-none-tile.tif" % pol
        row(name, cp(base, name, "-c", "none", "-t", "-w", "16", "-l", "16"))
    row("bi-big-g4.tif", cp("bi-wiz-none.tif", "bi-big-g4.tif", "-8", "-B", "-c", "g4", "-r", "16"))
    row("bi-big-zip.tif", cp("bi-biz-none.tif", "bi-big-zip.tif", "-8", "-c", "zip", "-r", "16"))
    for comp in ("tiff_ccitt", "group3", "group4"):
        name = "bi-pil-%s.tif" % comp
        Image.fromarray(BI).convert("1").save(os.path.join(HERE, name), compression=comp, dpi=(300, 300))
        row(name, "Pillow")
    for o in range(1, 9):
        name = "bi-orient%d.tif" % o
        tiff(name, [Dir(1 - one, 1, 0, tags={274: (3, [o])})])
        row(name, "by hand; read with -auto-orient", read=("-auto-orient", "+repage"))
        name = "grey-orient%d.tif" % o
        tiff(name, [Dir(GREY, 8, 1, tags={274: (3, [o]), 282: (5, [(600, 2)])})])
        row(name, "by hand; read with -auto-orient", read=("-auto-orient", "+repage"))

    # Structure.
    tiff("bi-unsorted.tif", [Dir(1 - one, 1, 0, shuffle=True)])
    row("bi-unsorted.tif", "by hand")
    tiff("bi-double.tif", [Dir(1 - one, 1, 0, double=True)])
    row("bi-double.tif", "by hand")
    tiff("bi-nocounts.tif", [Dir(1 - one, 1, 0, drop=(279,))])
    row("bi-nocounts.tif", "by hand: no StripByteCounts; libtiff refuses it, so the reference is that of bi-wiz-none.tif", ref=ref_of("bi-wiz-none.tif"))
    tiff("bi-nocounts-zip.tif", [Dir(1 - one, 1, 0, comp=8, rows=61, drop=(279,))])
    row("bi-nocounts-zip.tif", "by hand")
    tiff("bi-defaults.tif", [Dir(1 - one, 1, 0, rows=61, drop=(258, 259, 277, 278, 296))])
    row("bi-defaults.tif", "by hand: BitsPerSample, Compression, SamplesPerPixel, RowsPerStrip, ResolutionUnit left out")
    tiff("bi-cm.tif", [Dir(1 - one, 1, 0, tags={282: (5, [(11811, 100)]), 283: (5, [(11811, 100)]), 296: (3, [3])})])
    row("bi-cm.tif", "by hand")
    tiff("bi-nounit.tif", [Dir(1 - one, 1, 0, tags={296: (3, [1])})])
    row("bi-nounit.tif", "by hand", x=0, y=0)
    tiff("bi-nores.tif", [Dir(1 - one, 1, 0, drop=(282, 283, 296))])
    row("bi-nores.tif", "by hand", x=0, y=0)
    tiff("bi-pages.tif", [Dir(1 - one, 1, 0), Dir(one, 1, 0), Dir(1 - one[::-1], 1, 0)])
    row("bi-pages.tif", "by hand", pages=3)
    tiff("bi-thumb.tif", [Dir((1 - one)[::4, ::4], 1, 0, tags={254: (4, [1])}), Dir(1 - one, 1, 0)])
    row("bi-thumb.tif", "by hand", page=1)
    tiff("bi-bigtiff.tif", [Dir(1 - one, 1, 0)], big=True)
    row("bi-bigtiff.tif", "by hand")

    # Grey.
    tiff("grey8.tif", [Dir(GREY, 8, 1)])
    row("grey8.tif", "by hand")
    tiff("grey8-wiz.tif", [Dir(255 - GREY, 8, 0)])
    row("grey8-wiz.tif", "by hand")
    for name, args in (("lzw", ("-c", "lzw")), ("lzw2", ("-c", "lzw:2")), ("zip2", ("-c", "zip:2")), ("packbits", ("-c", "packbits")),
                       ("lsb", ("-c", "none", "-f", "lsb2msb")), ("lzw-lsb", ("-c", "lzw", "-f", "lsb2msb")),
                       ("tile", ("-c", "zip:2", "-t", "-w", "32", "-l", "48")), ("be", ("-c", "none", "-B"))):
        row("grey8-%s.tif" % name, cp("grey8.tif", "grey8-%s.tif" % name, *args))
    tiff("grey8-bilevel.tif", [Dir(BI, 8, 1, comp=8)])
    row("grey8-bilevel.tif", "by hand: 8 bits, of which only 0 and 255 are used")
    for bits in (2, 4):
        top = 2 ** bits - 1
        a = np.round(GREY / 255 * top).astype(np.uint8)
        tiff("grey%d.tif" % bits, [Dir(a, bits, 1)])
        row("grey%d.tif" % bits, "by hand")
        tiff("grey%d-wiz-tile.tif" % bits, [Dir(top - a, bits, 0, tile=(32, 16), comp=8)], order=">")
        row("grey%d-wiz-tile.tif" % bits, "by hand", libtiff=True)
    tiff("grey16.tif", [Dir(wide(GREY), 16, 1)])
    row("grey16.tif", "by hand", tol=1)
    tiff("grey16-be.tif", [Dir(wide(GREY), 16, 1)], order=">")
    row("grey16-be.tif", "by hand", tol=1)
    row("grey16-lzw2.tif", cp("grey16.tif", "grey16-lzw2.tif", "-c", "lzw:2"), tol=1)
    row("grey16-be-zip2.tif", cp("grey16-be.tif", "grey16-be-zip2.tif", "-c", "zip:2"), tol=1)
    ga = np.stack([GREY, ALPHA], -1)
    for kind, a in ((0, ga), (1, np.stack([(GREY.astype(int) * ALPHA + 127) // 255, ALPHA], -1).astype(np.uint8)), (2, ga)):
        tiff("greyalpha-extra%d.tif" % kind, [Dir(a, 8, 1, tags={338: (3, [kind])})])
        row("greyalpha-extra%d.tif" % kind, "by hand", tol=2)
    tiff("greyalpha16.tif", [Dir(wide(ga), 16, 1, tags={338: (3, [2])}, planar=2)])
    row("greyalpha16.tif", "by hand", tol=2, libtiff=True)

    # Palettes.
    for bits in (1, 2, 4, 8):
        n = 2 ** bits
        idx = np.clip((GREY.astype(int) * n) // 256 + (RGB[:, :, 0] < 128) * (n > 2), 0, n - 1).astype(np.uint8)
        rng = np.random.RandomState(bits)
        cmap = rng.randint(0, 256, (3, n)) * 257
        if bits == 1:
            cmap = np.array([[0, 65535]] * 3)
        tiff("pal%d.tif" % bits, [Dir(idx, bits, 3, tags={320: (3, [int(v) for v in cmap.reshape(-1)])})])
        row("pal%d.tif" % bits, "by hand", tol=1)
    row("pal8-lzw-tile.tif", cp("pal8.tif", "pal8-lzw-tile.tif", "-c", "lzw", "-t", "-w", "16", "-l", "16"), tol=1)

    # Colour.
    tiff("rgb8.tif", [Dir(RGB, 8, 2)])
    row("rgb8.tif", "by hand", tol=1)
    for name, args in (("lzw2", ("-c", "lzw:2")), ("sep", ("-p", "separate", "-c", "lzw:2")), ("sep-tile", ("-p", "separate", "-c", "zip", "-t", "-w", "32", "-l", "32")),
                       ("tile-lsb", ("-c", "packbits", "-t", "-w", "64", "-l", "16", "-f", "lsb2msb"))):
        row("rgb8-%s.tif" % name, cp("rgb8.tif", "rgb8-%s.tif" % name, *args), tol=1)
    tiff("rgb8-onebps.tif", [Dir(RGB, 8, 2, tags={258: (3, [8])})])
    row("rgb8-onebps.tif", "by hand: one BitsPerSample for three samples; ImageMagick reads the same pixels from rgb8.tif", tol=1, ref=ref_of("rgb8.tif"))
    tiff("rgb16.tif", [Dir(wide(RGB), 16, 2)], order=">")
    row("rgb16.tif", "by hand", tol=1)
    row("rgb16-lzw2.tif", cp("rgb16.tif", "rgb16-lzw2.tif", "-c", "lzw:2", "-L"), tol=1)
    tiff("rgb16-sep.tif", [Dir(wide(RGB), 16, 2, planar=2)])
    row("rgb16-sep.tif", "by hand", tol=1)
    rgba = np.concatenate([RGB, ALPHA[:, :, None]], -1)
    pre = np.concatenate([(RGB.astype(int) * ALPHA[:, :, None] + 127) // 255, ALPHA[:, :, None]], -1).astype(np.uint8)
    for kind, a in ((0, rgba), (1, pre), (2, rgba)):
        tiff("rgba8-extra%d.tif" % kind, [Dir(a, 8, 2, tags={338: (3, [kind])})])
        row("rgba8-extra%d.tif" % kind, "by hand", tol=2)
    tiff("rgba16.tif", [Dir(wide(rgba), 16, 2, tags={338: (3, [2])}, tile=(48, 32))])
    row("rgba16.tif", "by hand", tol=2)
    tiff("cmyk8.tif", [Dir(CMYK, 8, 5)])
    row("cmyk8.tif", "by hand", tol=1)
    row("cmyk8-lzw2.tif", cp("cmyk8.tif", "cmyk8-lzw2.tif", "-c", "lzw:2"), tol=1)
    row("cmyk8-sep.tif", cp("cmyk8.tif", "cmyk8-sep.tif", "-c", "zip", "-p", "separate"), tol=1)
    tiff("cmyk16.tif", [Dir(wide(CMYK), 16, 5)], order=">")
    row("cmyk16.tif", "by hand", tol=1)
    spot = np.concatenate([CMYK, ALPHA[:, :, None]], -1)
    tiff("cmyk8-spot.tif", [Dir(spot, 8, 5, tags={338: (3, [0])})])
    row("cmyk8-spot.tif", "by hand: the spot channel is left out, so the reference is that of cmyk8.tif", tol=1, ref=ref_of("cmyk8.tif"))
    rgb2 = np.concatenate([RGB, ALPHA[:, :, None], ALPHA[:, ::-1, None]], -1)
    tiff("rgb8-two-extra.tif", [Dir(rgb2, 8, 2, tags={338: (3, [0, 0])})])
    row("rgb8-two-extra.tif", "by hand: both extra channels are left out, so the reference is that of rgb8.tif", tol=1, ref=ref_of("rgb8.tif"))

    # JPEG in TIFF. Decoders differ by a few levels.
    smooth = Image.fromarray(RGB).resize((96, 64))
    smooth.save(os.path.join(HERE, "smooth.ppm"))
    for name, args in (("jpeg-ycc.tif", ("-c", "jpeg:90")), ("jpeg-rgb.tif", ("-c", "jpeg:r:90")), ("jpeg-tile.tif", ("-c", "jpeg:r:90", "-t", "-w", "32", "-l", "32"))):
        tiff("tmp.tif", [Dir(np.asarray(smooth), 8, 2)])
        row(name, cp("tmp.tif", name, *args), tol=60 if "ycc" in name else 3)
    row("jpeg-grey.tif", cp("grey8.tif", "jpeg-grey.tif", "-c", "jpeg:90"), tol=3)
    row("jpeg-cmyk.tif", cp("cmyk8.tif", "jpeg-cmyk.tif", "-c", "jpeg:90"), tol=3)
    os.remove(os.path.join(HERE, "tmp.tif"))
    os.remove(os.path.join(HERE, "smooth.ppm"))

    # Fax with its unequal resolution. The reference is libtiff's pixels, enlarged here: linear between row centres.
    tiff("fax-204x98.tif", [Dir((1 - one)[::2], 1, 0, tags={282: (5, [(204, 1)]), 283: (5, [(98, 1)])})])
    run("tiffcp", "-c", "g3", os.path.join(HERE, "fax-204x98.tif"), os.path.join(HERE, "t.tif"))
    os.replace(os.path.join(HERE, "t.tif"), os.path.join(HERE, "fax-204x98.tif"))
    half = BI[::2].astype(float)
    n = round(half.shape[0] * 204 / 98)
    p = np.clip((np.arange(n) + 0.5) * half.shape[0] / n - 0.5, 0, half.shape[0] - 1)
    lo = np.floor(p).astype(int)
    t = (p - lo)[:, None]
    big = half[lo] * (1 - t) + half[np.minimum(lo + 1, half.shape[0] - 1)] * t
    row("fax-204x98.tif", "by hand, tiffcp -c g3; reference by numpy", tol=1, x=204, y=204,
        ref=b"P5\n%d %d\n255\n" % (W, n) + np.round(big).astype(np.uint8).tobytes())

    # PNG.
    for il in (0, 1):
        s = "-i" if il else ""
        for bits in (1, 2, 4, 8, 16):
            top = 2 ** bits - 1
            a = wide(GREY) if bits == 16 else np.round(GREY / 255 * top).astype(np.uint8)
            png("png-grey%d%s.png" % (bits, s), a, bits, 0, il)
            row("png-grey%d%s.png" % (bits, s), "by hand", tol=bits == 16)
            key = int(a[20, 20])
            png("png-grey%d-key%s.png" % (bits, s), a, bits, 0, il, trns=struct.pack(">H", 0 if bits == 1 else key))
            row("png-grey%d-key%s.png" % (bits, s), "by hand", tol=bits == 16)
        for bits in (1, 2, 4, 8):
            n = 2 ** bits
            rng = np.random.RandomState(bits)
            pal = rng.randint(0, 256, (n, 3))
            idx = np.clip((GREY.astype(int) * n) // 256, 0, n - 1).astype(np.uint8)
            png("png-pal%d%s.png" % (bits, s), idx, bits, 3, il, plte=[int(v) for v in pal.reshape(-1)])
            row("png-pal%d%s.png" % (bits, s), "by hand", tol=1)
            png("png-pal%d-alpha%s.png" % (bits, s), idx, bits, 3, il, plte=[int(v) for v in pal.reshape(-1)], trns=[0, 90])
            row("png-pal%d-alpha%s.png" % (bits, s), "by hand", tol=1)
        for bits, f in ((8, lambda a: a), (16, wide)):
            png("png-rgb%d%s.png" % (bits, s), f(RGB), bits, 2, il)
            row("png-rgb%d%s.png" % (bits, s), "by hand", tol=1)
            k = f(RGB)[10, 10]
            png("png-rgb%d-key%s.png" % (bits, s), f(RGB), bits, 2, il, trns=struct.pack(">HHH", *[int(v) for v in k]))
            row("png-rgb%d-key%s.png" % (bits, s), "by hand", tol=1)
            png("png-rgba%d%s.png" % (bits, s), f(rgba), bits, 6, il)
            row("png-rgba%d%s.png" % (bits, s), "by hand", tol=2)
            png("png-la%d%s.png" % (bits, s), f(ga), bits, 4, il)
            row("png-la%d%s.png" % (bits, s), "by hand", tol=2)
    png("png-bw-palette.png", one, 1, 3, plte=[255, 255, 255, 0, 0, 0])
    row("png-bw-palette.png", "by hand")
    png("png-nophys.png", GREY, 8, 0, phys=None)
    row("png-nophys.png", "by hand", x=0, y=0)
    png("png-1200.png", one, 1, 0, phys=(47244, 47244, 1))
    row("png-1200.png", "by hand", x=1200, y=1200)
    png("png-ratio.png", one, 1, 0, phys=(1, 1, 0))
    row("png-ratio.png", "by hand", x=0, y=0)

    # JPEG, BMP, WebP, GIF.
    im, gim = Image.fromarray(RGB), Image.fromarray(GREY)
    at = lambda n: os.path.join(HERE, n)
    gim.save(at("jpeg-grey.jpg"), quality=90, dpi=(300, 300))
    row("jpeg-grey.jpg", "Pillow", tol=3)
    im.save(at("jpeg-444.jpg"), quality=90, subsampling=0, dpi=(300, 300))
    row("jpeg-444.jpg", "Pillow", tol=3)
    im.save(at("jpeg-420.jpg"), quality=90, subsampling=2, dpi=(300, 300), progressive=True)
    row("jpeg-420.jpg", "Pillow; chroma is enlarged in another way", tol=60)
    Image.fromarray(CMYK, "CMYK").save(at("jpeg-cmyk.jpg"), quality=90, dpi=(300, 300))
    row("jpeg-cmyk.jpg", "Pillow", tol=3)
    exif = Image.Exif()
    exif[274] = 6
    exif[282] = 240.0
    exif[283] = 240.0
    exif[296] = 2
    gim.save(at("jpeg-exif6.jpg"), quality=90, exif=exif)
    row("jpeg-exif6.jpg", "Pillow; read with -auto-orient", tol=3, x=240, y=240, read=("-auto-orient", "+repage"))
    for bits, args in ((1, ("-monochrome", "-type", "bilevel")), (4, ("-colors", "12", "-type", "palette")), (8, ("-type", "grayscale", "-compress", "none"))):
        run("convert", at("png-grey8.png"), *args, "-density", "300", "-units", "PixelsPerInch", "BMP3:" + at("bmp%d.bmp" % bits))
        row("bmp%d.bmp" % bits, "convert %s BMP3" % " ".join(args))
    run("convert", at("png-rgb8.png"), "-density", "300", "-units", "PixelsPerInch", "-type", "truecolor", "BMP3:" + at("bmp24.bmp"))
    row("bmp24.bmp", "convert -type truecolor BMP3", tol=1)
    run("convert", at("png-rgba8.png"), "-density", "300", "-units", "PixelsPerInch", "BMP:" + at("bmp32.bmp"))
    row("bmp32.bmp", "convert BMP", tol=2)
    run("cwebp", "-quiet", "-lossless", "-exact", at("png-rgba8.png"), "-o", at("webp-lossless.webp"))
    row("webp-lossless.webp", "cwebp -lossless -exact", tol=2, x=0, y=0)
    run("cwebp", "-quiet", "-q", "90", at("png-rgb8.png"), "-o", at("webp-lossy.webp"))
    row("webp-lossy.webp", "cwebp -q 90; chroma is enlarged in another way", tol=60, x=0, y=0)
    gim.convert("P", palette=Image.ADAPTIVE, colors=16).save(at("gif16.gif"))
    row("gif16.gif", "Pillow", tol=1, x=0, y=0)

    with open(at("forms.tsv"), "w") as f:
        f.write("file\treference\ttolerance\tx\ty\tpages\thow\n")
        f.write("\n".join(rows) + "\n")


def ref_of(name):
    for r in rows:
        if r.startswith(name + "\t"):
            return open(os.path.join(HERE, r.split("\t")[1]), "rb").read()


main()
