package artwork

import (
	"fmt"
)

// The tags that are read, by their TIFF 6.0 names.
const (
	tagNewSubfileType  = 254
	tagSubfileType     = 255
	tagImageWidth      = 256
	tagImageLength     = 257
	tagBitsPerSample   = 258
	tagCompression     = 259
	tagPhotometric     = 262
	tagFillOrder       = 266
	tagStripOffsets    = 273
	tagOrientation     = 274
	tagSamplesPerPixel = 277
	tagRowsPerStrip    = 278
	tagStripByteCounts = 279
	tagXResolution     = 282
	tagYResolution     = 283
	tagPlanarConfig    = 284
	tagT4Options       = 292
	tagT6Options       = 293
	tagResolutionUnit  = 296
	tagPredictor       = 317
	tagColorMap        = 320
	tagTileWidth       = 322
	tagTileLength      = 323
	tagTileOffsets     = 324
	tagTileByteCounts  = 325
	tagInkSet          = 332
	tagExtraSamples    = 338
	tagSampleFormat    = 339
	tagJPEGTables      = 347
)

func tagName(tag uint16) string {
	if n, ok := map[uint16]string{
		tagImageWidth: "ImageWidth", tagImageLength: "ImageLength", tagBitsPerSample: "BitsPerSample",
		tagCompression: "Compression", tagPhotometric: "PhotometricInterpretation", tagStripOffsets: "StripOffsets",
		tagStripByteCounts: "StripByteCounts", tagTileOffsets: "TileOffsets", tagTileByteCounts: "TileByteCounts",
		tagColorMap: "ColorMap", tagRowsPerStrip: "RowsPerStrip", tagJPEGTables: "JPEGTables",
		tagXResolution: "XResolution", tagYResolution: "YResolution", tagTileWidth: "TileWidth", tagTileLength: "TileLength", tagSamplesPerPixel: "SamplesPerPixel",
	}[tag]; ok {
		return n
	}
	return fmt.Sprintf("tag %d", tag)
}

// The compressions that are read.
const (
	compNone     = 1
	compRLE      = 2 // CCITT modified Huffman, rows on byte borders
	compG3       = 3
	compG4       = 4
	compLZW      = 5
	compJPEG     = 7
	compDeflate  = 8
	compRLEW     = 32771 // as 2, rows on 16-bit borders
	compPackBits = 32773
	compDeflate2 = 32946 // the same as 8, before it had a number
)

// otherCompressions names those that are not.
var otherCompressions = map[uint64]string{
	6: "old-style JPEG", 9: "JBIG", 10: "JBIG", 32766: "NeXT", 32809: "ThunderScan", 32908: "PixarFilm", 32909: "PixarLog",
	34661: "JBIG", 34676: "SGI log", 34677: "SGI log", 34712: "JPEG 2000", 34887: "LERC", 34925: "LZMA", 50000: "Zstandard",
	50001: "WebP", 50002: "JPEG XL",
}

const saveAs = "save it as TIFF with LZW or Group 4 compression, or as PNG"

// tiffPage is one picture of a TIFF, its layout checked.
type tiffPage struct {
	f             *tiffFile
	w, h          int
	depth         int // bits a sample
	samples       int // a pixel
	compression   uint64
	photometric   uint64
	flipped       bool // FillOrder 2: the lowest bit of a byte comes first
	t4            uint64
	predictor     bool
	apart         bool // PlanarConfiguration 2: a plane for each sample
	tiled         bool
	cw, ch        int      // pixels of a chunk: tile, or strip of full width
	across, bands int      // chunks in a row of chunks; rows of chunks
	offsets       []uint64 // by chunk, plane after plane
	counts        []uint64
	jpegTables    []byte
	ink           *model
	guessed       bool // that the extra sample is alpha
}

// page reads and checks the layout of a directory. It fills in what p says about
// the file and, unless headOnly, allocates only what the file's own size bounds.
func (f *tiffFile) page(d fields, l limits, p *Picture) (*tiffPage, error) {
	g := &tiffPage{f: f}
	var err error
	get := func(tag uint16, def uint64) uint64 {
		v, e := f.one(d, tag, def)
		if err == nil {
			err = e
		}
		return v
	}
	w, h := get(tagImageWidth, 0), get(tagImageLength, 0)
	g.samples = int(min(get(tagSamplesPerPixel, 1), 1<<16))
	g.compression = get(tagCompression, compNone)
	g.flipped = get(tagFillOrder, 1) == 2
	g.t4 = get(tagT4Options, 0)
	predictor, planar := get(tagPredictor, 1), get(tagPlanarConfig, 1)
	p.Orientation = int(min(get(tagOrientation, 1), 9))
	if err != nil {
		return nil, err
	}
	if err := l.check("tiff", clip64(w), clip64(h), 1); err != nil {
		return nil, err
	}
	g.w, g.h = int(w), int(h)
	p.StoredWidth, p.StoredHeight = g.w, g.h
	if p.Orientation < 1 || p.Orientation > 8 {
		p.Orientation = 1
	}
	if err := f.resolution(d, p); err != nil {
		return nil, err
	}
	if l.headOnly {
		return g, nil
	}
	switch {
	case planar == 2 && g.samples > 1:
		g.apart = true
	case planar > 2:
		return nil, formatf("tiff: PlanarConfiguration %d is not one", planar)
	}
	if g.samples < 1 || g.samples > maxSamples {
		return nil, UnsupportedError{fmt.Sprintf("a TIFF with %d samples a pixel", g.samples), "flatten it and " + saveAs}
	}
	if err := g.readDepth(d); err != nil {
		return nil, err
	}
	if err := g.readCompression(d, predictor); err != nil {
		return nil, err
	}
	if err := g.readInk(d, p); err != nil {
		return nil, err
	}
	return g, g.readChunks(d)
}

// maxSamples bounds samples a pixel; separations of ten inks and masks are met.
const maxSamples = 32

// readDepth reads BitsPerSample and SampleFormat, which must be alike for all
// samples. One value for several samples is met and taken for all.
func (g *tiffPage) readDepth(d fields) error {
	bits, err := g.f.whole(d, tagBitsPerSample, g.samples)
	if err != nil {
		return err
	}
	g.depth = 1
	for i, b := range bits {
		if i > 0 && b != bits[0] {
			return UnsupportedError{"a TIFF whose samples differ in depth", saveAs}
		}
		if b < 1 || b > 16 {
			return UnsupportedError{fmt.Sprintf("a TIFF with %d bits a sample", b), "save it with 8 bits a channel"}
		}
		g.depth = int(b)
	}
	formats, err := g.f.whole(d, tagSampleFormat, g.samples)
	if err != nil {
		return err
	}
	for _, v := range formats {
		switch v {
		case 1, 4: // unsigned; undefined, which everybody reads as unsigned
		case 2:
			return UnsupportedError{"a TIFF with signed samples", "save it with 8 bits a channel"}
		case 3:
			return UnsupportedError{"a TIFF with floating-point samples", "save it with 8 bits a channel"}
		default:
			return UnsupportedError{fmt.Sprintf("a TIFF with sample format %d", v), "save it with 8 bits a channel"}
		}
	}
	return nil
}

func (g *tiffPage) readCompression(d fields, predictor uint64) error {
	switch g.compression {
	case compRLE, compRLEW, compG3, compG4:
		if g.depth != 1 || g.samples != 1 {
			return formatf("tiff: CCITT compression with %d samples of %d bits a pixel", g.samples, g.depth)
		}
		t6, err := g.f.one(d, tagT6Options, 0)
		if err != nil {
			return err
		}
		if g.compression == compG3 && g.t4&2 != 0 || g.compression == compG4 && t6&2 != 0 {
			return UnsupportedError{"a TIFF with the uncompressed mode of CCITT compression", saveAs}
		}
	case compNone, compLZW, compDeflate, compDeflate2, compPackBits:
		if g.compression == compDeflate2 {
			g.compression = compDeflate
		}
	case compJPEG:
		var err error
		if g.jpegTables, err = g.f.blob(d, tagJPEGTables); err != nil {
			return err
		}
		if g.depth != 8 {
			return UnsupportedError{fmt.Sprintf("a TIFF with JPEG compression of %d bits a sample", g.depth), saveAs}
		}
	default:
		name := otherCompressions[g.compression]
		if name == "" {
			name = fmt.Sprintf("unknown (number %d)", g.compression)
		}
		return UnsupportedError{"a TIFF with " + name + " compression", saveAs}
	}
	if g.compression != compLZW && g.compression != compDeflate {
		return nil // the predictor belongs to these two
	}
	switch predictor {
	case 1:
	case 2:
		if g.depth != 8 && g.depth != 16 {
			return UnsupportedError{fmt.Sprintf("a TIFF with a predictor over %d-bit samples", g.depth), saveAs}
		}
		g.predictor = true
	case 3:
		return UnsupportedError{"a TIFF with the floating-point predictor", "save it with 8 bits a channel"}
	default:
		return formatf("tiff: predictor %d is not one", predictor)
	}
	return nil
}

// readInk settles how samples become ink.
func (g *tiffPage) readInk(d fields, p *Picture) error {
	m := &model{depth: g.depth, samples: g.samples, alpha: -1}
	g.ink = m
	ph, err := g.f.whole(d, tagPhotometric, 1)
	if err != nil {
		return err
	}
	if ph == nil {
		return UnsupportedError{"a TIFF that does not say whether 0 is black or white (no PhotometricInterpretation)", "save it again from the program it was drawn in"}
	}
	g.photometric = ph[0]
	switch g.photometric {
	case 0, 1:
		m.minIs0 = g.photometric == 0
	case 2:
		m.space = rgbSpace
	case 3:
		m.space = indexSpace
		if err := g.readPalette(d); err != nil {
			return err
		}
	case 4:
		return UnsupportedError{"a TIFF whose picture is a transparency mask", saveAs}
	case 5:
		m.space = cmykSpace
		set, err := g.f.one(d, tagInkSet, 1)
		if err != nil {
			return err
		}
		if set != 1 {
			return UnsupportedError{"a TIFF of separations other than CMYK", "convert it to grey or CMYK and " + saveAs}
		}
	case 6:
		if g.compression != compJPEG {
			return UnsupportedError{"a TIFF in YCbCr without JPEG compression", "convert it to RGB or grey and " + saveAs}
		}
		if g.apart {
			return UnsupportedError{"a TIFF in YCbCr with its channels stored apart", saveAs}
		}
		m.space = rgbSpace // what the JPEG decoder turns it into
	case 8, 9, 10:
		return UnsupportedError{"a TIFF in Lab colour", "convert it to grey, RGB or CMYK and " + saveAs}
	case 32803, 34892:
		return UnsupportedError{"a TIFF of raw camera data", saveAs}
	case 32844, 32845:
		return UnsupportedError{"a TIFF in logarithmic luminance", saveAs}
	default:
		return UnsupportedError{fmt.Sprintf("a TIFF with photometric interpretation %d", g.photometric), saveAs}
	}
	if g.samples < m.own() {
		return formatf("tiff: %d samples a pixel are too few for %s", g.samples, m.space)
	}
	return g.readExtra(d, p)
}

// readExtra settles what samples beyond those of the colour are. The first
// marked as alpha (1 premultiplied, 2 straight) is. A single extra one of RGB or
// grey that is marked as nothing (0) or not at all is taken for straight alpha,
// as libtiff and others do; more, and those of CMYK, are spot colours or masks,
// which are left out with a remark.
func (g *tiffPage) readExtra(d fields, p *Picture) error {
	m := g.ink
	extra := m.samples - m.own()
	kinds, err := g.f.whole(d, tagExtraSamples, extra)
	if err != nil || extra == 0 {
		return err
	}
	for i, k := range kinds {
		if k == 1 || k == 2 {
			m.alpha, m.premul = m.own()+i, k == 1
			break
		}
	}
	left := extra
	if m.alpha >= 0 {
		left--
	} else if extra == 1 && (m.space == rgbSpace || m.space == greySpace) {
		m.alpha, left, g.guessed = m.own(), 0, true
	}
	switch {
	case left == 1:
		p.remark("It has one more channel, a spot colour or a mask, that is not part of the picture read here; flatten the file if it matters.")
	case left > 1:
		p.remark("It has %d more channels, spot colours or masks, that are not part of the picture read here; flatten the file if they matter.", left)
	}
	return nil
}

// readPalette reads ColorMap: 2^depth reds, then greens, then blues, of 16 bits.
// Some programs wrote 8-bit values; when none is over 255 they are taken as such.
func (g *tiffPage) readPalette(d fields) error {
	n := 1 << g.depth
	v, err := g.f.whole(d, tagColorMap, 3*n)
	if err != nil {
		return err
	}
	if len(v) < 3*n {
		return formatf("tiff: a palette of %d values where %d are needed", len(v), 3*n)
	}
	scale := uint64(257)
	for _, c := range v {
		if c > 255 {
			scale = 1
		}
		if c > 65535 {
			return FormatError("tiff: a palette value over 65535")
		}
	}
	g.ink.palette = make([]colour, n)
	for i := range g.ink.palette {
		g.ink.palette[i] = colour{uint16(v[i] * scale), uint16(v[n+i] * scale), uint16(v[2*n+i] * scale), 65535}
	}
	return nil
}
