package artwork

import (
	"bufio"
	"image"
	"image/gif"
	"io"
)

// decodeGIF reads the first picture of a GIF by image/gif. Its pixel shape byte is
// not read: hardly any program sets it.
func decodeGIF(src source, l limits) (*Picture, error) {
	g, err := readGIFBlocks(src)
	if err != nil {
		return nil, err
	}
	p := &Picture{Pages: g.frames}
	if err := l.check("gif", g.w, g.h, gifCost); err != nil {
		return nil, err
	}
	if err := l.check("gif", g.first.w, g.first.h, gifCost); err != nil {
		return nil, err
	}
	p.StoredWidth, p.StoredHeight = int(g.w), int(g.h)
	if p.Page, err = l.pageOf(p.Pages); err != nil || l.headOnly {
		return p, err
	}
	if p.Page > 1 {
		return nil, UnsupportedError{"a later picture of an animated GIF", "save that picture as PNG or TIFF"}
	}
	img, err := gif.Decode(bufio.NewReader(src.section(0, src.size)))
	if err != nil {
		return nil, err
	}
	pal, ok := img.(*image.Paletted)
	if !ok || !img.Bounds().In(image.Rect(0, 0, p.StoredWidth, p.StoredHeight)) {
		return nil, FormatError("gif: a picture outside its screen")
	}
	for _, v := range pal.Pix {
		if int(v) >= len(pal.Palette) {
			return nil, paletteError(int(v), len(pal.Palette))
		}
	}
	// What the first picture leaves uncovered is clear film.
	c := newCanvas(p.StoredWidth, p.StoredHeight)
	m := wholeModel(img)
	conv := newConverter(m, img.Bounds().Dx(), false)
	paintWhole(c, img.Bounds().Min.X, img.Bounds().Min.Y, img, conv)
	p.Model, p.Depth = "palette", 8
	conv.finish().tell(p)
	p.Ink = c.ink()
	return p, nil
}

// gifCost is the bytes a pixel: an index and the ink.
const gifCost = 2

type gifBlocks struct {
	w, h   int64
	first  struct{ w, h int64 }
	frames int
}

// readGIFBlocks walks the blocks (GIF 89a, 1990) up to the trailer, so that a file
// cut off is refused.
func readGIFBlocks(src source) (*gifBlocks, error) {
	r := bufio.NewReader(src.section(0, src.size))
	head := make([]byte, 13)
	if _, err := io.ReadFull(r, head); err != nil {
		return nil, err
	}
	g := &gifBlocks{w: int64(head[6]) | int64(head[7])<<8, h: int64(head[8]) | int64(head[9])<<8}
	table := func(flags byte) error {
		if flags&0x80 == 0 {
			return nil
		}
		_, err := r.Discard(3 << (1 + flags&7))
		return err
	}
	subBlocks := func() error {
		for {
			n, err := r.ReadByte()
			if err != nil || n == 0 {
				return err
			}
			if _, err := r.Discard(int(n)); err != nil {
				return err
			}
		}
	}
	err := table(head[10])
	for err == nil {
		var kind byte
		if kind, err = r.ReadByte(); err != nil {
			break
		}
		switch kind {
		case 0x3b:
			if g.frames == 0 {
				return nil, FormatError("gif: no picture in it")
			}
			return g, nil
		case 0x21:
			if _, err = r.ReadByte(); err == nil {
				err = subBlocks()
			}
		case 0x2c:
			d := make([]byte, 9)
			if _, err = io.ReadFull(r, d); err != nil {
				break
			}
			if g.frames++; g.frames == 1 {
				g.first.w, g.first.h = int64(d[4])|int64(d[5])<<8, int64(d[6])|int64(d[7])<<8
			}
			if err = table(d[8]); err != nil {
				break
			}
			if _, err = r.ReadByte(); err == nil {
				err = subBlocks()
			}
		default:
			return nil, formatf("gif: block %#x is not one; the file is damaged", kind)
		}
	}
	return nil, err
}
