package raster

// Threads: ink or film too narrow for the cut at half. A line of 0.8 px that
// lies astride two rows covers 0.4 of each and is gone; a hairline at an angle
// breaks into crumbs; and the film between reads as joined, or as parted, where
// it is not. So the grid is cut at half of what is around: half-way between the
// least and the most coverage of the 3x3 pixels round each (J. Bernsen, Dynamic
// thresholding of grey-level images, Proc. 8th ICPR, 1986; from memory). Beside
// anything two pixels wide or more that is half, as ever. It decides what hangs
// together; the width is measured on the coverage as it is.

// threadRange of 255: with less between the least and the most the cut stays at
// half. Two shapes that abut, each blended by itself, leave a seam of up to a
// quarter between them (1 - a(1-a) at a = 1/2), which is no gap, and JPEG rings
// by about as much. More, and lines of 0.8 px astride two rows are lost.
const threadRange = 88

// level writes to to[0:W] the coverages of row y of a grey plane, moved so that
// the cut at 128 is the cut half-way between the least and the most around.
func (k *Ink) level(y int, to []int32) {
	rows := [3][]uint8{}
	for i := range rows {
		if r := y + i - 1; r >= 0 && r < k.H {
			rows[i] = k.Grey[r*k.W : (r+1)*k.W]
		}
	}
	for x, v := range rows[1] {
		to[x] = int32(v)
		least, most := v, v
		for _, row := range rows {
			for i := max(0, x-1); i <= min(k.W-1, x+1); i++ {
				w := uint8(0)
				if row != nil {
					w = row[i]
				}
				least, most = min(least, w), max(most, w)
			}
		}
		if most-least >= threadRange {
			to[x] += 128 - (int32(least)+int32(most)+1)/2
		}
	}
}
