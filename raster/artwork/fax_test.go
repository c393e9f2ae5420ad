package artwork

import (
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/ccitt"

	"stencilproof/raster"
)

// bitText gathers code words given as text, highest bit first.
type bitText struct {
	out  []byte
	bits int
}

func (b *bitText) add(word string) {
	for _, c := range word {
		if b.bits%8 == 0 {
			b.out = append(b.out, 0)
		}
		if c == '1' {
			b.out[b.bits/8] |= 0x80 >> (b.bits % 8)
		}
		b.bits++
	}
}

func (b *bitText) align(n int) {
	for b.bits%n != 0 {
		b.add("0")
	}
}

// run adds a run of n pixels as T.4 codes it.
func (b *bitText) run(n int, black bool) {
	ends, more := g4White[:], g4WhiteMore[:]
	if black {
		ends, more = g4Black[:], g4BlackMore[:]
	}
	for ; n >= 2560+64; n -= 2560 {
		b.add(g4Long[12])
	}
	if n >= 1792 {
		b.add(g4Long[(n-1792)/64])
	} else if n >= 64 {
		b.add(more[n/64-1])
	}
	b.add(ends[n%64])
}

// row adds a one-dimensional row.
func (b *bitText) row(p *raster.Bits, y int) {
	black := false
	for x := 0; x < p.W; {
		n := 0
		for x+n < p.W && p.Get(x+n, y) == black {
			n++
		}
		b.run(n, black)
		x, black = x+n, !black
	}
}

const eol = "000000000001"

// decodeFax runs the decoder over all rows.
func decodeFax(data []byte, mode faxMode, h int) (*raster.Bits, error) {
	b := raster.NewBits(mode.width, h)
	var f fax
	f.reset(data, mode)
	for y := range h {
		if err := f.row(b.Row(y)); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// twin decodes by x/image/ccitt; 1 is black there after Invert.
func twin(t *testing.T, data []byte, sub ccitt.SubFormat, w, h int, align bool) *raster.Bits {
	t.Helper()
	r := ccitt.NewReader(bytes.NewReader(data), ccitt.MSB, sub, w, h, &ccitt.Options{Invert: true, Align: align})
	b := raster.NewBits(w, h)
	row := make([]byte, (w+7)/8)
	for y := range h {
		_, err := io.ReadFull(r, row)
		require.NoError(t, err, "row %d", y)
		for x := range w {
			if row[x/8]>>(7-x%8)&1 != 0 {
				b.Set(x, y)
			}
		}
	}
	return b
}

// TestFaxT4 codes every run length there is in both colours and compares with
// what was coded and with x/image/ccitt.
func TestFaxT4(t *testing.T) {
	planes := g4Planes()
	for name, p := range planes {
		t.Run(name, func(t *testing.T) {
			var t4, rle, rlew bitText
			for y := range p.H {
				t4.add(eol)
				t4.row(p, y)
				rle.align(8)
				rle.row(p, y)
				rlew.align(16)
				rlew.row(p, y)
			}
			for range 6 {
				t4.add(eol)
			}
			got, err := decodeFax(t4.out, faxMode{kind: faxT4, width: p.W}, p.H)
			require.NoError(t, err)
			require.Equal(t, p, got)
			require.Equal(t, p, twin(t, t4.out, ccitt.Group3, p.W, p.H, false))
			for align, data := range map[int][]byte{8: rle.out, 16: rlew.out} {
				got, err := decodeFax(data, faxMode{width: p.W, align: align}, p.H)
				require.NoError(t, err)
				require.Equal(t, p, got)
			}
			_, err = decodeFax(t4.out, faxMode{kind: faxT4, width: p.W}, p.H+1)
			require.Error(t, err, "one row too few was accepted")
		})
	}
}

// TestFaxT6 compares with x/image/ccitt over the same planes, and checks that the
// end-of-block code before the last row, and a cut anywhere, are refused.
func TestFaxT6(t *testing.T) {
	for name, p := range g4Planes() {
		t.Run(name, func(t *testing.T) {
			data := g4Strip(p, 0, p.H)
			mode := faxMode{kind: faxT6, width: p.W}
			got, err := decodeFax(data, mode, p.H)
			require.NoError(t, err)
			require.Equal(t, p, got)
			require.Equal(t, p, twin(t, data, ccitt.Group4, p.W, p.H, false))
			_, err = decodeFax(data, mode, p.H+1)
			require.ErrorIs(t, err, io.ErrUnexpectedEOF)
			for cut := 0; cut < len(data)-4; cut += 1 + len(data)/50 {
				_, err = decodeFax(data[:cut], mode, p.H)
				require.Error(t, err, "cut to %d of %d bytes", cut, len(data))
			}
		})
	}
}

// TestFaxDamage feeds noise and single flipped bits to both decoders. Where both
// accept, they must agree; x/image/ccitt is asked in T.6 only, for which its
// reading of damage is as strict.
func TestFaxDamage(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	p := g4Planes()["slants"]
	data := g4Strip(p, 0, p.H)
	agreed := 0
	for range 400 {
		b := bytes.Clone(data)
		bit := rnd.IntN(8 * len(b))
		b[bit/8] ^= 0x80 >> (bit % 8)
		got, err := decodeFax(b, faxMode{kind: faxT6, width: p.W}, p.H)
		if err != nil {
			continue
		}
		r := ccitt.NewReader(bytes.NewReader(b), ccitt.MSB, ccitt.Group4, p.W, p.H, &ccitt.Options{Invert: true})
		want, err := io.ReadAll(r)
		if err != nil || len(want) != p.H*((p.W+7)/8) {
			continue
		}
		var mine []byte
		for y := range p.H {
			mine = toMSB(mine, got.Row(y), p.W)
		}
		require.Equal(t, want, mine, "bit %d flipped", bit)
		agreed++
	}
	require.Greater(t, agreed, 5)
}

// TestFaxRefuses has a row for each way in which codes can be wrong.
func TestFaxRefuses(t *testing.T) {
	for _, c := range []struct {
		name, bits string
		mode       faxMode
		err        string
	}{
		{"run over the row", g4White[63], faxMode{width: 8, align: 8}, "a run over the end of its row"},
		{"make-up run over the row", g4Long[12], faxMode{width: 8, align: 8}, "a run over the end of its row"},
		{"no such white code", "0000000000111", faxMode{width: 8, align: 8}, "no such run code"},
		{"second run over the row", g4White[2] + g4Black[7], faxMode{width: 8, align: 8}, "a run over the end of its row"},
		{"horizontal over the row", "001" + g4White[5] + g4Black[4], faxMode{kind: faxT6, width: 8}, "a run over the end of its row"},
		{"no such mode", "00000001", faxMode{kind: faxT6, width: 8}, "no such mode"},
		{"right of the row", "011", faxMode{kind: faxT6, width: 8}, "a change outside its row"},
		{"two-dimensional without line end", "1" + g4White[8], faxMode{kind: faxT4twoD, width: 8}, "no line end"},
		{"end of block", eol + eol, faxMode{kind: faxT6, width: 8}, io.ErrUnexpectedEOF.Error()},
		{"extension", "0000001111", faxMode{kind: faxT6, width: 8}, "uncompressed mode"},
		{"nothing", "", faxMode{kind: faxT6, width: 8}, io.ErrUnexpectedEOF.Error()},
		{"nothing of T.4", "", faxMode{kind: faxT4, width: 8}, io.ErrUnexpectedEOF.Error()},
		{"zeros for ever", fmt.Sprintf("%0400d", 0), faxMode{kind: faxT4, width: 8}, io.ErrUnexpectedEOF.Error()},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bitText
			b.add(c.bits)
			if c.bits != "" && c.name != "zeros for ever" {
				b.out = append(b.out, 0xff, 0xff, 0xff, 0xff) // so that it is not the early end that is told
			}
			_, err := decodeFax(b.out, c.mode, 1)
			require.ErrorContains(t, err, c.err)
		})
	}
}

// TestFaxNoChange has a row whose coded runs of no length make no change: the next
// row must not take them for changing elements.
func TestFaxNoChange(t *testing.T) {
	var b bitText
	// Row 0: 3 white, 0 black, 2 white, 3 black: coded as two horizontal pairs.
	b.add("001" + g4White[3] + g4Black[0] + "001" + g4White[2] + g4Black[3])
	b.add("1" + "1") // row 1 the same: one change, and the end of the row
	got, err := decodeFax(b.out, faxMode{kind: faxT6, width: 8}, 2)
	require.NoError(t, err)
	require.Equal(t, []uint64{0xe0, 0xe0}, got.Words)
}
