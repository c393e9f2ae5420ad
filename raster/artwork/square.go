package artwork

import (
	"fmt"
	"math"

	"stencilproof/raster"
)

// squareWithin is the relative difference of the two resolutions up to which
// pixels are taken as square: 0.1 %, well under what a width is measured to, and
// well over what rounding to pixels per metre can make of equal ones.
const squareWithin = 1e-3

// maxAspect is the largest ratio of the two resolutions that is believed. Fax
// modes go up to 204 x 98; beyond 8 one of the two numbers is damage.
const maxAspect = 8

// shape is what squaring does: the size after it, and its resolution.
type shape struct {
	w, h  int
	x, y  float64
	apart bool // the axes differ, so that one is resampled
}

// squared works out the shape of a w x h picture with rx x ry pixels a unit. The
// axis with fewer is enlarged, so that nothing is lost.
func squared(w, h int, rx, ry float64) shape {
	s := shape{w: w, h: h, x: rx, y: ry}
	if rx <= 0 || ry <= 0 || math.Abs(rx-ry) <= squareWithin*max(rx, ry) {
		return s
	}
	s.apart = true
	if rx > ry {
		s.h, s.y = max(1, int(math.Round(float64(h)*rx/ry))), rx
	} else {
		s.w, s.x = max(1, int(math.Round(float64(w)*ry/rx))), ry
	}
	return s
}

// finalShape is the size and resolution of the picture as it is returned.
// p.StoredWidth and so on must be set, and aspect for files that give the ratio
// of their pixels alone.
func (p *Picture) finalShape() (w, h int, x, y float64) {
	w, h, x, y = p.StoredWidth, p.StoredHeight, p.StoredXPerInch, p.StoredYPerInch
	sized := x > 0 && y > 0
	if !sized {
		x, y = p.ratioX, p.ratioY
	}
	if turned(p.Orientation) {
		w, h, x, y = h, w, y, x
	}
	s := squared(w, h, x, y)
	if !sized {
		return s.w, s.h, 0, 0
	}
	return s.w, s.h, s.x, s.y
}

// settle applies the orientation and squares the pixels.
func (p *Picture) settle(maxPixels int64) error {
	x, y := p.StoredXPerInch, p.StoredYPerInch
	if x <= 0 || y <= 0 {
		x, y = p.ratioX, p.ratioY
	}
	if x > 0 && y > 0 && max(x, y) > maxAspect*min(x, y) {
		return UnsupportedError{fmt.Sprintf("a picture with %.4g x %.4g pixels an inch, one of which must be wrong,", x, y),
			"save it again with the same resolution along both axes"}
	}
	w, h, px, py := p.finalShape()
	if err := (limits{maxPixels: maxPixels}).check(p.Format+" with square pixels", int64(w), int64(h), 1); err != nil {
		return err
	}
	p.Ink = orient(p.Ink, p.Orientation)
	if p.Ink.W != w || p.Ink.H != h {
		p.Ink = stretch(p.Ink, w, h)
		p.Resampled = true
		p.remark("Its pixels are not square (%.5g x %.5g); the coarser axis was resampled to match the finer.", x, y)
	}
	p.XPerInch, p.YPerInch = px, py
	return nil
}

// stretch enlarges k to w x h pixels, linear between pixel centres and constant
// beyond the outermost ones. An edge stays where it was: between a clear and a
// solid row coverage is 1/2 on their border. The integral of coverage along the
// axis, and so a width, is kept but for what lies beyond the first and last
// centre. The result is grey unless no edge became one.
func stretch(k *raster.Ink, w, h int) *raster.Ink {
	c := newCanvas(w, h)
	row := make([]uint8, w)
	upper, lower := make([]uint8, k.W), make([]uint8, k.W)
	at := -2 // source row in upper
	mix := make([]uint8, k.W)
	for y := 0; y < h; y++ {
		sy, ty := place(y, h, k.H)
		if sy != at {
			coverRow(upper, k, sy)
			coverRow(lower, k, min(sy+1, k.H-1))
			at = sy
		}
		for x := range mix {
			mix[x] = blend(upper[x], lower[x], ty)
		}
		if w == k.W {
			c.put(0, y, mix)
			continue
		}
		for x := range row {
			sx, tx := place(x, w, k.W)
			row[x] = blend(mix[sx], mix[min(sx+1, k.W-1)], tx)
		}
		c.put(0, y, row)
	}
	return c.ink()
}

// place maps the centre of pixel i of n to the pixel of from whose centre lies
// at or before it, and how far on to the next it is, in 1/65536.
func place(i, n, from int) (int, int) {
	p := (float64(i)+0.5)*float64(from)/float64(n) - 0.5
	f := math.Floor(p)
	s := int(f)
	if s < 0 {
		return 0, 0
	}
	return min(s, from-1), int((p-f)*65536 + 0.5)
}

func blend(a, b uint8, t int) uint8 {
	return uint8((int(a)*(65536-t) + int(b)*t + 32768) >> 16)
}

// coverRow writes row y of k as coverages.
func coverRow(dst []uint8, k *raster.Ink, y int) {
	if k.Grey != nil {
		copy(dst, k.Grey[y*k.W:(y+1)*k.W])
		return
	}
	clear(dst)
	unpackRow(dst, k.Bits.Row(y))
}
