package sheet

import (
	"bytes"
	"compress/zlib"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"sort"
)

// FontFaces returns CSS that defines the family "Proof" in its three weights,
// cut down to Latin-1, the punctuation of our wording, and the given characters.
func FontFaces(extra map[rune]bool) string {
	keep := map[rune]bool{}
	for r := rune(0x20); r <= 0xFF; r++ {
		keep[r] = true
	}
	for _, r := range "\u2013\u2014\u2018\u2019\u201A\u201C\u201D\u201E\u2022\u2026\u20AC\u2212\u2264\u2265\u00D7\u2192" + string(Missing) {
		keep[r] = true
	}
	for r := range extra {
		keep[r] = true
	}
	var b bytes.Buffer
	for w := range weights {
		fmt.Fprintf(&b, "@font-face{font-family:Proof;font-weight:%s;src:url(data:font/woff;base64,%s) format(\"woff\")}\n",
			weights[w].css, base64.StdEncoding.EncodeToString(subset(Weight(w), keep)))
	}
	return b.String()
}

// tables of an sfnt font file, by name (ISO/IEC 14496-22).
func tables(data []byte) map[string][]byte {
	out := map[string][]byte{}
	n := int(binary.BigEndian.Uint16(data[4:]))
	for i := 0; i < n; i++ {
		e := data[12+16*i:]
		off, size := binary.BigEndian.Uint32(e[8:]), binary.BigEndian.Uint32(e[12:])
		out[string(e[:4])] = data[off : off+size]
	}
	return out
}

// subset returns the font of a weight as WOFF 1.0 with only the glyphs of the
// given characters and without hinting. Glyph numbers stay as they are; glyphs
// left out become empty, which compresses to nothing.
func subset(w Weight, keep map[rune]bool) []byte {
	t := tables(weights[w].data)
	fc := faces()[w]
	chars := make([]rune, 0, len(keep))
	glyphs := map[int]bool{0: true}
	cmap := map[rune]int{}
	for r := range keep {
		if r > 0xFFFF {
			continue
		}
		fc.mu.Lock()
		g, err := fc.font.GlyphIndex(&fc.buf, r)
		fc.mu.Unlock()
		if err == nil && g != 0 {
			chars = append(chars, r)
			cmap[r] = int(g)
			glyphs[int(g)] = true
		}
	}
	sort.Slice(chars, func(i, j int) bool { return chars[i] < chars[j] })

	head := append([]byte(nil), t["head"]...)
	long := binary.BigEndian.Uint16(head[50:]) == 1
	count := int(binary.BigEndian.Uint16(t["maxp"][4:]))
	glyph := func(g int) []byte {
		if long {
			return t["glyf"][binary.BigEndian.Uint32(t["loca"][4*g:]):binary.BigEndian.Uint32(t["loca"][4*g+4:])]
		}
		return t["glyf"][2*int(binary.BigEndian.Uint16(t["loca"][2*g:])) : 2*int(binary.BigEndian.Uint16(t["loca"][2*g+2:]))]
	}
	open := make([]int, 0, len(glyphs))
	for g := range glyphs {
		open = append(open, g)
	}
	for len(open) > 0 { // parts of composite glyphs, and theirs
		g := open[len(open)-1]
		open = open[:len(open)-1]
		for _, part := range components(glyph(g)) {
			if !glyphs[part] {
				glyphs[part] = true
				open = append(open, part)
			}
		}
	}
	var glyf []byte
	loca := make([]byte, 4*(count+1))
	hmtx := append([]byte(nil), t["hmtx"]...)
	metrics := int(binary.BigEndian.Uint16(t["hhea"][34:]))
	for g := 0; g < count; g++ {
		binary.BigEndian.PutUint32(loca[4*g:], uint32(len(glyf)))
		if glyphs[g] {
			glyf = append(glyf, bare(glyph(g))...)
			for len(glyf)%4 != 0 {
				glyf = append(glyf, 0)
			}
		} else if g < metrics {
			clear(hmtx[4*g : 4*g+4])
		}
	}
	binary.BigEndian.PutUint32(loca[4*count:], uint32(len(glyf)))
	binary.BigEndian.PutUint16(head[50:], 1)
	post := append([]byte(nil), t["post"][:32]...)
	binary.BigEndian.PutUint32(post, 0x00030000) // no glyph names
	out := map[string][]byte{
		"OS/2": t["OS/2"], "cmap": cmapTable(chars, cmap), "glyf": glyf, "head": head, "hhea": t["hhea"],
		"hmtx": hmtx, "loca": loca, "maxp": t["maxp"], "name": nameTable(), "post": post,
	}
	return woff(out)
}

// components returns the glyphs that a composite glyph is put together from.
func components(g []byte) []int {
	if len(g) < 10 || int16(binary.BigEndian.Uint16(g)) >= 0 {
		return nil
	}
	var out []int
	for p := 10; ; {
		flags := binary.BigEndian.Uint16(g[p:])
		out = append(out, int(binary.BigEndian.Uint16(g[p+2:])))
		p += componentSize(flags)
		if flags&0x20 == 0 {
			return out
		}
	}
}

func componentSize(flags uint16) int {
	n := 6
	if flags&1 != 0 {
		n = 8
	}
	switch {
	case flags&0x8 != 0:
		n += 2
	case flags&0x40 != 0:
		n += 4
	case flags&0x80 != 0:
		n += 8
	}
	return n
}

// bare returns a glyph without its hinting instructions.
func bare(g []byte) []byte {
	if len(g) < 10 {
		return nil
	}
	n := int(int16(binary.BigEndian.Uint16(g)))
	out := append([]byte(nil), g...)
	if n >= 0 {
		at := 10 + 2*n
		size := int(binary.BigEndian.Uint16(g[at:]))
		out = append(out[:at:at], 0, 0)
		return append(out, g[at+2+size:]...)
	}
	for p := 10; ; {
		flags := binary.BigEndian.Uint16(out[p:])
		binary.BigEndian.PutUint16(out[p:], flags&^0x100)
		p += componentSize(flags)
		if flags&0x20 == 0 {
			return out[:p]
		}
	}
}

// cmapTable maps characters to glyphs, format 4, one segment a run of
// neighbouring characters with neighbouring glyphs.
func cmapTable(chars []rune, glyph map[rune]int) []byte {
	type seg struct{ first, last rune }
	var segs []seg
	for _, r := range chars {
		if n := len(segs); n > 0 && segs[n-1].last == r-1 && glyph[r] == glyph[r-1]+1 {
			segs[n-1].last = r
		} else {
			segs = append(segs, seg{r, r})
		}
	}
	n := len(segs) + 1
	pow, log := 1, 0
	for pow*2 <= n {
		pow, log = pow*2, log+1
	}
	var b bytes.Buffer
	u16 := func(vs ...int) {
		for _, v := range vs {
			b.WriteByte(byte(v >> 8))
			b.WriteByte(byte(v))
		}
	}
	u16(0, 1, 3, 1, 0, 12) // version, one table, Windows BMP, offset 12
	u16(4, 16+8*n, 0, 2*n, 2*pow, log, 2*n-2*pow)
	for _, s := range segs {
		u16(int(s.last))
	}
	u16(0xFFFF, 0)
	for _, s := range segs {
		u16(int(s.first))
	}
	u16(0xFFFF)
	for _, s := range segs {
		u16(glyph[s.first] - int(s.first))
	}
	u16(1)
	u16(make([]int, n)...)
	return b.Bytes()
}

// nameTable holds the font's licence notice in short and a family name.
func nameTable() []byte {
	names := []struct {
		id int
		s  string
	}{{0, "Copyright (c) 2016 by Bigelow & Holmes Inc.; BSD licence of the Go project. Subset."}, {1, "Go"}, {2, "Regular"}}
	var b, text bytes.Buffer
	u16 := func(vs ...int) {
		for _, v := range vs {
			b.WriteByte(byte(v >> 8))
			b.WriteByte(byte(v))
		}
	}
	u16(0, len(names), 6+12*len(names))
	for _, n := range names {
		u16(3, 1, 0x409, n.id, 2*len(n.s), text.Len())
		for _, c := range []byte(n.s) {
			text.Write([]byte{0, c})
		}
	}
	b.Write(text.Bytes())
	return b.Bytes()
}

// woff packs tables as WOFF 1.0 (W3C Recommendation, 13 December 2012).
func woff(t map[string][]byte) []byte {
	names := make([]string, 0, len(t))
	for n := range t {
		names = append(names, n)
	}
	sort.Strings(names)
	var dir, body bytes.Buffer
	put := func(b *bytes.Buffer, v uint32) { b.Write(binary.BigEndian.AppendUint32(nil, v)) }
	at := 44 + 20*len(names)
	total := 12 + 16*len(names)
	for _, n := range names {
		data := t[n]
		var z bytes.Buffer
		zw, _ := zlib.NewWriterLevel(&z, zlib.BestCompression)
		zw.Write(data)
		zw.Close()
		packed := z.Bytes()
		if len(packed) >= len(data) {
			packed = data
		}
		dir.WriteString(n)
		put(&dir, uint32(at+body.Len()))
		put(&dir, uint32(len(packed)))
		put(&dir, uint32(len(data)))
		put(&dir, checksum(n, data))
		body.Write(packed)
		for body.Len()%4 != 0 {
			body.WriteByte(0)
		}
		total += (len(data) + 3) &^ 3
	}
	var b bytes.Buffer
	b.WriteString("wOFF")
	put(&b, 0x00010000)
	put(&b, uint32(at+body.Len()))
	b.Write([]byte{byte(len(names) >> 8), byte(len(names)), 0, 0})
	put(&b, uint32(total))
	put(&b, 0x00010000)
	b.Write(make([]byte, 20)) // no metadata, no private data
	b.Write(dir.Bytes())
	b.Write(body.Bytes())
	return b.Bytes()
}

func checksum(name string, data []byte) uint32 {
	sum := uint32(0)
	for i := 0; i < len(data); i += 4 {
		var w [4]byte
		copy(w[:], data[i:])
		if name == "head" && i == 8 {
			continue // its own field counts as zero
		}
		sum += binary.BigEndian.Uint32(w[:])
	}
	return sum
}
