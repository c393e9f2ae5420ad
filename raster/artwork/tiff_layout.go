package artwork

import "slices"

// maxTileBytes bounds what one tile unpacks to, for a tile may be far larger
// than the picture it is part of: 64 MB are 4096 x 4096 pixels in RGBA. Tiles of
// 256 are the rule.
const maxTileBytes = 64 << 20

// readChunks reads where the strips or tiles lie and checks that all of them are
// there: every chunk inside the file, and not more bytes in all than the file
// has, so that no few bytes can be decoded over and over.
func (g *tiffPage) readChunks(d fields) error {
	if err := g.readGrid(d); err != nil {
		return err
	}
	planes := 1
	if g.apart {
		planes = g.samples
	}
	n := g.across * g.bands * planes
	offTag, countTag := uint16(tagStripOffsets), uint16(tagStripByteCounts)
	if g.tiled {
		offTag, countTag = tagTileOffsets, tagTileByteCounts
		// Some writers put tiles into the strip tags.
		if _, ok := d[offTag]; !ok {
			offTag, countTag = tagStripOffsets, tagStripByteCounts
		}
	}
	if e := d[offTag]; e.count < uint64(n) {
		return formatf("tiff: %s lists %d of %d parts; the file is damaged", tagName(offTag), e.count, n)
	}
	var err error
	if g.offsets, err = g.f.whole(d, offTag, n); err != nil {
		return err
	}
	if g.counts, err = g.f.whole(d, countTag, n); err != nil {
		return err
	}
	if !slices.ContainsFunc(g.counts, func(v uint64) bool { return v != 0 }) {
		g.guessCounts()
	}
	if len(g.counts) < n {
		return formatf("tiff: %s lists %d of %d parts; the file is damaged", tagName(countTag), len(g.counts), n)
	}
	var all uint64
	size := uint64(g.f.src.size)
	for i, off := range g.offsets {
		if g.counts[i] == 0 {
			return formatf("tiff: part %d of %d is empty; the file was not written to its end", i+1, n)
		}
		if off > size || g.counts[i] > size-off {
			return formatf("tiff: part %d of %d reaches beyond the end of the file; the file is cut off or damaged, ask for it again", i+1, n)
		}
		all += g.counts[i]
	}
	if all > size {
		return FormatError("tiff: its parts have more bytes than the file; the file is damaged")
	}
	return nil
}

// readGrid settles the shape of chunks: tiles when there is a tile size.
func (g *tiffPage) readGrid(d fields) error {
	tw, err := g.f.one(d, tagTileWidth, 0)
	if err != nil {
		return err
	}
	th, err := g.f.one(d, tagTileLength, 0)
	if err != nil {
		return err
	}
	_, isTiled := d[tagTileWidth]
	if _, ok := d[tagTileLength]; ok || isTiled {
		if tw == 0 || th == 0 || tw > maxSide || th > maxSide {
			return formatf("tiff: tiles of %d x %d pixels", tw, th)
		}
		g.tiled, g.cw, g.ch = true, int(tw), int(th)
		if int64(g.rowBytes())*int64(g.ch) > maxTileBytes {
			return UnsupportedError{"a TIFF with tiles over 64 MB", saveAs}
		}
	} else {
		rows, err := g.f.one(d, tagRowsPerStrip, uint64(g.h))
		if err != nil {
			return err
		}
		if rows == 0 { // met in files of one strip
			rows = uint64(g.h)
		}
		g.cw, g.ch = g.w, int(min(rows, uint64(g.h)))
	}
	g.across, g.bands = (g.w+g.cw-1)/g.cw, (g.h+g.ch-1)/g.ch
	return nil
}

// rowBytes is the bytes of one row of one chunk, uncompressed.
func (g *tiffPage) rowBytes() int {
	n := g.samples
	if g.apart {
		n = 1
	}
	return (g.cw*n*g.depth + 7) / 8
}

// guessCounts fills in missing byte counts: a chunk goes on to the next one's
// offset, the last to the end of the file. Uncompressed ones are known.
func (g *tiffPage) guessCounts() {
	sorted := slices.Clone(g.offsets)
	slices.Sort(sorted)
	size := uint64(g.f.src.size)
	g.counts = make([]uint64, len(g.offsets))
	for i, off := range g.offsets {
		next := size
		if j, _ := slices.BinarySearch(sorted, off+1); j < len(sorted) {
			next = min(next, sorted[j])
		}
		if off >= next {
			continue
		}
		g.counts[i] = next - off
		if g.compression == compNone {
			g.counts[i] = min(g.counts[i], uint64(g.rowBytes()*g.chunkRows(i)))
		}
	}
}

// chunkRows is how many rows chunk i holds: the last strip is short, tiles are
// always whole.
func (g *tiffPage) chunkRows(i int) int {
	if g.tiled {
		return g.ch
	}
	return min(g.ch, g.h-i%g.bands*g.ch)
}
