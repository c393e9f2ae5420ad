package artwork

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"stencilproof/raster"
)

// Options limits and steers Decode. Its zero value is what most callers want.
type Options struct {
	// Page chooses a picture of a file with several, from 1; reduced copies
	// (thumbnails) and masks do not count. 0 is the first.
	Page int
	// MaxPixels is the most pixels a picture may have; 0 means DefaultMaxPixels.
	// Forms that cannot be read row by row (JPEG, WebP, GIF) count every byte
	// that their decoder needs, so that they meet the limit 2 to 16 times sooner.
	// Else memory is a bit a pixel, and a byte more when there are tones; twice
	// that while a picture is turned by its orientation or made square.
	MaxPixels int64
	// MaxBytes is the most bytes a file may have; 0 means DefaultMaxBytes.
	MaxBytes int64
}

// The limits that hold when Options does not say. 700 million pixels are A2 at
// 1200 pixels an inch and at most 0.8 GB as grey; 4 GiB are such a sheet
// uncompressed in 16-bit CMYK.
const (
	DefaultMaxPixels = 700e6
	DefaultMaxBytes  = 4 << 30
	// maxSide bounds each side of a picture, so that the padding of narrow rows
	// to whole words cannot cost much: 64 * 2^20 bits are 8 MB.
	maxSide = 1 << 20
)

// Picture is an artwork file as ink, with what the file said about itself.
type Picture struct {
	Format string // "png", "tiff", "jpeg", "bmp", "webp", "gif"
	// Ink is the picture with its orientation applied and with square pixels.
	// Files whose levels are all clear or solid have packed bits alone.
	Ink *raster.Ink
	// XPerInch and YPerInch are pixels of Ink per inch; both 0 when the file does
	// not say. They are equal but for differences under squareWithin. Values that
	// the rounding of the file's own unit explains are whole numbers.
	XPerInch, YPerInch float64
	Pages, Page        int // pictures in the file (thumbnails apart), and which one this is

	Lossy  bool // JPEG, lossy WebP, JPEG in TIFF
	Alpha  bool // some pixel is not opaque
	Colour bool // some pixel is clearly off neutral grey
	// Model is what the samples are: "bilevel", "grey", "rgb", "cmyk", "palette".
	Model string
	Depth int // bits a sample as stored
	// Colours lists the main colours, greys apart, most frequent first, at most 8;
	// nil when there are none.
	Colours []Colour

	StoredWidth, StoredHeight      int     // pixels as stored, before orientation and squaring
	StoredXPerInch, StoredYPerInch float64 // as the file says, before orientation and squaring; 0 when it does not
	Orientation                    int     // 1 to 8 as in TIFF and EXIF, already applied; 1 where the form has none
	Resampled                      bool    // pixels were not square and Ink was resampled
	// ratioX and ratioY stand in for the resolution of a file that gives the shape
	// of its pixels alone.
	ratioX, ratioY float64
	// Remarks are whole sentences on what the reader had to assume or leave out.
	Remarks []string
}

// Header is what a file says about its first picture before any pixel is read.
type Header struct {
	Format        string
	Width, Height int // pixels that Decode would return
	// XPerInch and YPerInch are as in Picture.
	XPerInch, YPerInch float64
	Pages              int
}

// limits is Options with the defaults filled in.
type limits struct {
	page      int
	maxPixels int64
	headOnly  bool
}

// check refuses a picture that is empty or over the limit. need is how many
// bytes a pixel costs at the peak, 1 for what is read row by row.
func (l limits) check(what string, w, h int64, need int64) error {
	if w <= 0 || h <= 0 {
		return formatf("%s: the size %d x %d is not a picture", what, w, h)
	}
	if l.headOnly {
		return nil
	}
	if w > maxSide || h > maxSide {
		return LimitError{What: fmt.Sprintf("%s: %d x %d pixels", what, w, h), Over: fmt.Sprintf("the limit of %d pixels a side", maxSide)}
	}
	if w*h*need > l.maxPixels {
		e := LimitError{
			What:   fmt.Sprintf("%s: %d x %d pixels, %s", what, w, h, count(w*h)),
			Over:   fmt.Sprintf("the limit of %s pixels", count(l.maxPixels)),
			Pixels: true,
		}
		if need > 1 {
			e.Over += fmt.Sprintf(", of which each of this form counts %d-fold; save it as TIFF or PNG", need)
		}
		return e
	}
	return nil
}

// count words a number of pixels, from a million on in millions.
func count(n int64) string {
	if n < 1e6 {
		return fmt.Sprint(n)
	}
	return fmt.Sprintf("%d million", n/1e6)
}

// source is the file as a random-access reader that marks its own failures, so
// that a bad disk is not reported as a bad file.
type source struct {
	r    io.ReaderAt
	size int64
}

// readError is a failure of the caller's reader other than the end of the file.
type readError struct{ err error }

func (e readError) Error() string { return e.err.Error() }
func (e readError) Unwrap() error { return e.err }

func (s source) ReadAt(p []byte, off int64) (int, error) {
	if off < 0 || off >= s.size {
		return 0, io.EOF
	}
	cut := false
	if int64(len(p)) > s.size-off {
		p, cut = p[:s.size-off], true
	}
	n, err := s.r.ReadAt(p, off)
	if n == len(p) {
		if cut {
			return n, io.EOF
		}
		return n, nil
	}
	if err == nil || errors.Is(err, io.EOF) {
		return n, io.EOF
	}
	return n, readError{err}
}

// bytesAt returns n bytes from off, or an error when they do not all lie in the
// file. Nothing is allocated for bytes that are not there.
func (s source) bytesAt(off, n int64) ([]byte, error) {
	if off < 0 || n < 0 || off > s.size || n > s.size-off {
		return nil, io.ErrUnexpectedEOF
	}
	b := make([]byte, n)
	if m, err := s.ReadAt(b, off); int64(m) < n {
		return nil, err
	}
	return b, nil
}

// section returns n bytes from off as a reader.
func (s source) section(off, n int64) *io.SectionReader { return io.NewSectionReader(s, off, n) }

// decoder reads one form. With limits.headOnly it fills in everything but Ink
// and what only pixels tell.
type decoder func(source, limits) (*Picture, error)

// Decode reads the artwork in the size bytes of r. The picture's resolution,
// orientation and page are those of the file; see the package comment for how
// its levels and colours become ink and for the kinds of error.
func Decode(r io.ReaderAt, size int64, opt Options) (*Picture, error) {
	if opt.MaxBytes == 0 {
		opt.MaxBytes = DefaultMaxBytes
	}
	if opt.MaxPixels == 0 {
		opt.MaxPixels = DefaultMaxPixels
	}
	if size > opt.MaxBytes {
		return nil, LimitError{What: fmt.Sprintf("a file of %d bytes", size), Over: fmt.Sprintf("the limit of %d bytes", opt.MaxBytes)}
	}
	if opt.Page < 0 {
		return nil, UnsupportedError{fmt.Sprintf("page %d", opt.Page), "pages are numbered from 1"}
	}
	p, err := decode(r, size, limits{page: opt.Page, maxPixels: opt.MaxPixels})
	if err != nil {
		return nil, err
	}
	return p, p.settle(opt.MaxPixels)
}

// DecodeHeader reads what the file says about its first picture. It answers for
// sizes beyond any limit, and allocates nothing that depends on them. It does not
// find out whether the picture is all there, or of a kind that Decode reads.
func DecodeHeader(r io.ReaderAt, size int64) (Header, error) {
	p, err := decode(r, size, limits{maxPixels: 1 << 62, headOnly: true})
	if err != nil {
		return Header{}, err
	}
	w, h, x, y := p.finalShape()
	return Header{Format: p.Format, Width: w, Height: h, XPerInch: x, YPerInch: y, Pages: p.Pages}, nil
}

func decode(r io.ReaderAt, size int64, l limits) (p *Picture, err error) {
	src := source{r, size}
	var head [16]byte
	n, err := src.ReadAt(head[:], 0)
	if err != nil && err != io.EOF {
		return nil, dataError("the file", err)
	}
	form, dec := sniff(head[:n])
	if dec == nil {
		return nil, whatIsIt(head[:n])
	}
	defer guard(form, &err)
	p, err = dec(src, l)
	if err != nil {
		return nil, dataError(form, err)
	}
	p.Format, p.Orientation = form, max(1, p.Orientation)
	return p, nil
}

// sniff tells the form from the file's first bytes, never from its name.
func sniff(b []byte) (string, decoder) {
	at := func(i int, magic string) bool { return len(b) >= i+len(magic) && string(b[i:i+len(magic)]) == magic }
	switch {
	case at(0, pngMagic):
		return "png", decodePNG
	case at(0, "II*\x00"), at(0, "MM\x00*"), at(0, "II+\x00"), at(0, "MM\x00+"):
		return "tiff", decodeTIFF
	case at(0, "\xff\xd8\xff"):
		return "jpeg", decodeJPEG
	case at(0, "BM"):
		return "bmp", decodeBMP
	case at(0, "RIFF") && at(8, "WEBP"):
		return "webp", decodeWebP
	case at(0, "GIF87a"), at(0, "GIF89a"):
		return "gif", decodeGIF
	}
	return "", nil
}

// whatIsIt names common files that are no artwork for this reader.
func whatIsIt(b []byte) error {
	const advice = "save it as TIFF or PNG at its engraved size"
	for _, k := range []struct {
		at          int
		magic, what string
	}{
		{0, "%PDF", "a PDF"}, {0, "%!PS", "a PostScript file"}, {0, "\xc5\xd0\xd3\xc6", "an EPS file"},
		{0, "8BPS", "a layered image file (8BPS)"}, {0, "<svg", "an SVG drawing"}, {0, "<?xml", "an XML file"},
		{4, "ftyp", "a HEIF or AVIF picture"}, {0, "\x00\x00\x00\x0cjP", "a JPEG 2000 picture"},
		{0, "\xff\x0a", "a JPEG XL picture"}, {0, "\x00\x00\x00\x0cJXL", "a JPEG XL picture"},
		{0, "PK\x03\x04", "a ZIP archive"}, {0, "\x1f\x8b", "a gzip file"}, {0, "\x97JB2", "a JBIG2 picture"},
		{0, "\x89PNG", "a PNG whose line ends were changed on the way (sent as text)"},
	} {
		if len(b) >= k.at && bytes.HasPrefix(b[k.at:], []byte(k.magic)) {
			return UnsupportedError{k.what, advice}
		}
	}
	if len(b) == 0 {
		return FormatError("the file is empty")
	}
	return FormatError("not an artwork file that is known here (TIFF, PNG, JPEG, BMP, WebP, GIF)")
}

// pageOf checks the page that was asked for against those there are.
func (l limits) pageOf(pages int) (int, error) {
	if l.page > pages {
		if pages == 1 {
			return 0, UnsupportedError{fmt.Sprintf("page %d of a file with one page", l.page), "leave the page away"}
		}
		return 0, UnsupportedError{fmt.Sprintf("page %d of a file with %d pages", l.page, pages), fmt.Sprintf("choose a page from 1 to %d", pages)}
	}
	return max(l.page, 1), nil
}

// remark adds a sentence once.
func (p *Picture) remark(format string, args ...any) {
	s := fmt.Sprintf(format, args...)
	for _, r := range p.Remarks {
		if r == s {
			return
		}
	}
	p.Remarks = append(p.Remarks, s)
}
