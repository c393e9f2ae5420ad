package artwork

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/png"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

func TestPNGReadsBack(t *testing.T) {
	for name, b := range g4Planes() {
		var file bytes.Buffer
		require.NoError(t, EncodePNG(&file, raster.NewBilevelInk(b), 1200))
		im, err := png.Decode(bytes.NewReader(file.Bytes()))
		require.NoError(t, err, name)
		requirePlane(t, name, b, im)
	}
}

func TestPNGKeepsGreyEdges(t *testing.T) {
	// Noise, a ramp and flats: each filter wins some row.
	w, h := 97, 120
	grey := make([]uint8, w*h)
	r := rand.New(rand.NewSource(7))
	for y := range h {
		for x := range w {
			switch y / 30 {
			case 0:
				grey[y*w+x] = uint8(r.Intn(256))
			case 1:
				grey[y*w+x] = uint8(2 * x)
			case 2:
				grey[y*w+x] = uint8(x + y)
			}
		}
	}
	var file bytes.Buffer
	require.NoError(t, EncodePNG(&file, raster.NewGreyInk(w, h, grey), 600))
	im, err := png.Decode(&file)
	require.NoError(t, err)
	g, ok := im.(*image.Gray)
	require.True(t, ok, "%T", im)
	for i, v := range grey {
		require.Equal(t, 255-v, g.Pix[i/w*g.Stride+i%w], "pixel %d", i)
	}
}

// 1200 ppi is 47244.09 px/m: the chunk says 47244, and reads back within 5e-5.
func TestPNGResolution(t *testing.T) {
	var file bytes.Buffer
	require.NoError(t, EncodePNG(&file, raster.NewBilevelInk(raster.NewBits(3, 3)), 1200))
	at := bytes.Index(file.Bytes(), []byte("pHYs"))
	require.Equal(t, 8+25+4, at, "pHYs comes right after IHDR")
	phys := file.Bytes()[at+4:]
	require.Equal(t, uint32(47244), binary.BigEndian.Uint32(phys))
	require.Equal(t, uint32(47244), binary.BigEndian.Uint32(phys[4:]))
	require.Equal(t, byte(1), phys[8])
	require.InEpsilon(t, 1200, 47244*0.0254, 5e-5)
}
