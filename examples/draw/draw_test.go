package main

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// Drawing again gives the kept files: the TIFFs byte for byte, the PNGs pixel
// for pixel with the same resolution, for compress/zlib may pack otherwise.
func TestKeptFilesAreDrawn(t *testing.T) {
	for _, p := range pieces {
		t.Run(p.name, func(t *testing.T) {
			t.Parallel()
			kept, err := os.ReadFile(filepath.Join("..", p.name))
			require.NoError(t, err)
			s := p.draw(p.ppi)
			if filepath.Ext(p.name) == ".tif" {
				drawn, err := s.encode(p.name)
				require.NoError(t, err)
				require.True(t, bytes.Equal(kept, drawn), "drawn anew it differs: go run ./examples/draw, and look at it")
				return
			}
			perMetre := binary.BigEndian.Uint32(kept[8+25+8:]) // after the signature and IHDR comes pHYs
			require.Equal(t, uint32(math.Round(p.ppi/0.0254)), perMetre)
			im, err := png.Decode(bytes.NewReader(kept))
			require.NoError(t, err)
			got, want := im.(*image.Gray), s.sixteenGreys().Grey
			require.Equal(t, image.Rect(0, 0, s.W, s.H), got.Rect)
			for i, v := range want {
				if got.Pix[i] != 255-v {
					t.Fatalf("pixel %d,%d is %d, drawn anew it is %d: go run ./examples/draw, and look at it", i%s.W, i/s.W, got.Pix[i], 255-v)
				}
			}
		})
	}
}

// On the clean piece the outer 6 mm stay free of ink.
func TestFairWindsKeepsRoomForTape(t *testing.T) {
	s := wings(900)
	rim := int(6 / 25.4 * s.ppi)
	for y := range s.H {
		for x := range s.W {
			if (x < rim || y < rim || x >= s.W-rim || y >= s.H-rim) && s.Grey[y*s.W+x] != 0 {
				require.Fail(t, "ink in the margin", "at pixel %d,%d", x, y)
			}
		}
	}
}
