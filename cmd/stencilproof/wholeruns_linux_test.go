package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gomedium"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
	"stencilproof/raster/pen"
)

// peerScript is what an engineer would write with a general-purpose library: cut
// at half, open both sides by a disc, count what that takes away and the pieces,
// and take distance maps for the widths. It neither judges nor draws. It needs
// Debian's python3-opencv; its arguments are a picture and the disc in pixels.
const peerScript = `
import sys, cv2, numpy
page = cv2.imread(sys.argv[1], cv2.IMREAD_GRAYSCALE)
d = int(sys.argv[2])
kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (d, d))
for side in ((page < 128), (page >= 128)):
    plane = side.astype(numpy.uint8)
    rest = plane & (1 - cv2.morphologyEx(plane, cv2.MORPH_OPEN, kernel))
    parts = cv2.connectedComponentsWithStats(rest, connectivity=8)[0]
    pieces = cv2.connectedComponentsWithStats(plane, connectivity=8)[0]
    far = cv2.distanceTransform(plane, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    print(parts - 1, pieces - 1, 2 * float(far.max()))
`

// drawBenchSheet draws an A4 sheet full of what is hard: lettering of 2 to 5 mm, rays
// from hairlines up, rings, dots, and a halftone of 3,600 dots, many of them under the
// limits of 3 mil film.
func drawBenchSheet(t *testing.T, ppi float64) *pen.Canvas {
	mm := ppi / 25.4
	c := pen.NewCanvas(int(210*mm), int(297*mm))
	face, err := pen.NewFace(gomedium.TTF)
	require.NoError(t, err)
	words := []string{"Tern & Tide 1987", "Herring & Hawser", "Established", "Saltmarsh Sailing", "No. 42 & Daughters"}
	fill := func(p pen.Path) { c.Fill(p.Scaled(mm)) }
	for row := range 14 {
		for col := range 4 {
			x, y := 8+48*float64(col), 8+20.5*float64(row)
			n := row*4 + col
			fill(face.Text(words[n%5], 2.2+0.7*float64(n*7%5), 0).Moved(x, y+4))
			cx, cy := x+14, y+13.5
			for k := range 12 {
				sin, cos := math.Sincos(float64(k) * math.Pi / 6.02)
				fill(pen.Line(raster.Point{X: cx, Y: cy}, raster.Point{X: cx + 5*cos, Y: cy + 5*sin}, 0.05+0.03*float64(k)))
			}
			fill(pen.Ring(cx, cy, 9, 0.15))
			for k := range 6 {
				fill(pen.Disc(cx+8+1.5*float64(k), cy, 0.1+0.12*float64(k)))
			}
		}
	}
	for j := range 60 {
		for i := range 60 {
			fill(pen.Disc(150+0.6*float64(i), 255+0.6*float64(j), 0.12+0.008*float64(i)))
		}
	}
	return c
}

// spent is what a process used.
type spent struct {
	seconds, cpu float64
	peakMB       float64
}

// spend runs commands some times, by turns, and returns the median of each: the
// machine's speed changes from minute to minute, and so do all of them alike.
func spend(t *testing.T, times int, commands ...[]string) []spent {
	runs := make([][]spent, len(commands))
	for range times {
		for i, c := range commands {
			runs[i] = append(runs[i], spendOnce(t, c))
		}
	}
	out := make([]spent, len(commands))
	for i, list := range runs {
		median := func(of func(spent) float64) float64 {
			var v []float64
			for _, s := range list {
				v = append(v, of(s))
			}
			slices.Sort(v)
			return v[len(v)/2]
		}
		out[i] = spent{
			median(func(s spent) float64 { return s.seconds }),
			median(func(s spent) float64 { return s.cpu }),
			median(func(s spent) float64 { return s.peakMB }),
		}
	}
	return out
}

func spendOnce(t *testing.T, command []string) spent {
	cmd := exec.Command(command[0], command[1:]...)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	began := time.Now()
	require.NoError(t, cmd.Start())
	most := watchPeak(cmd.Process.Pid)
	err := cmd.Wait()
	wall := time.Since(began).Seconds()
	if cmd.ProcessState == nil || cmd.ProcessState.ExitCode() > statusFails {
		require.NoError(t, err, "%s: %s", command[0], stderr.String())
	}
	return spent{wall, (cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()).Seconds(), <-most}
}

// watchPeak looks at a process's peak of memory, in MB, until it ends. (What wait
// gives counts the memory of the process that started it as well.)
func watchPeak(pid int) <-chan float64 {
	result := make(chan float64, 1)
	go func() {
		peak := 0.0
		for {
			data, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
			_, rest, found := strings.Cut(string(data), "VmHWM:")
			if err != nil || !found {
				result <- peak
				return
			}
			var kB float64
			if _, err := fmt.Sscan(rest, &kB); err == nil {
				peak = max(peak, kB*1024/1e6)
			}
			time.Sleep(10 * time.Millisecond) // oftener would take time from the process
		}
	}()
	return result
}

// TestWholeRuns measures whole runs of check, and beside them the peer script on
// the same files, and prints the tables of DEVELOPERS.md:
//
//	STENCILPROOF_BENCH=1 go test ./cmd/stencilproof -run TestWholeRuns -v -timeout 60m
//
// It checks nothing but that the runs end well. LZW needs tiffcp, the peer
// python3-opencv; without them their rows are left out.
func TestWholeRuns(t *testing.T) {
	if os.Getenv("STENCILPROOF_BENCH") == "" {
		t.Skip("a benchmark of minutes: set STENCILPROOF_BENCH=1")
	}
	dir := t.TempDir()
	tool := filepath.Join(dir, "stencilproof")
	out, err := exec.Command("go", "build", "-o", tool, ".").CombinedOutput()
	require.NoError(t, err, "%s", out)
	flags := []string{"check", "--film", "3 mil", "--format", "json", "--quiet"}
	var table, beside strings.Builder
	for _, ppi := range []float64{300, 600, 1200, 2400} {
		files := benchFiles(t, dir, ppi)
		for _, f := range files {
			times := 5
			if ppi != 1200 {
				times = 3
			}
			command := func(more ...string) []string {
				return append(append([]string{tool}, flags...), append(more, f.name)...)
			}
			commands := [][]string{command("--no-proof")}
			whats := []string{f.form + ", JSON only"}
			var peer []string
			if ppi == 1200 {
				peer = peerCommand(t, f.peer)
			}
			if peer != nil {
				if f.form == "TIFF Group 4" {
					commands, whats = append(commands, command("--out", dir)), append(whats, f.form+", with PNG, HTML and PDF proof")
				}
				commands = append(commands, peer)
			}
			runs := spend(t, times, commands...)
			s, decode := runs[0], decodeSeconds(t, f.name)
			fmt.Fprintf(&table, "| %g ppi, %s | %.2f | %.2f | %.0f | %.1f | %.0f %% |\n",
				ppi, f.form, s.seconds, s.cpu, s.peakMB, 1000*s.seconds/f.megapixels, 100*decode/s.seconds)
			if peer == nil {
				continue
			}
			p := runs[len(runs)-1]
			for i, s := range runs[:len(runs)-1] {
				fmt.Fprintf(&beside, "| %s | %.2f | %.0f | %.2f | %.0f | %.1f | %.1f |\n",
					whats[i], s.seconds, s.peakMB, p.seconds, p.peakMB, p.seconds/s.seconds, p.peakMB/s.peakMB)
			}
		}
		for _, f := range files {
			require.NoError(t, os.Remove(f.name))
		}
	}
	logo := filepath.Join(dir, "logo.png")
	writeFile(t, logo, func(f *os.File) error {
		c := pen.NewCanvas(1000, 600)
		face, err := pen.NewFace(gomedium.TTF)
		require.NoError(t, err)
		c.Fill(face.Text("Tern & Tide", 160, 0).Moved(80, 330))
		c.Fill(pen.Ring(500, 300, 560, 12))
		return artwork.EncodePNG(f, c.Ink(), 600)
	})
	s := spend(t, 15, append(append([]string{tool}, flags...), "--no-proof", logo))[0]
	fmt.Fprintf(&table, "| logo of 1000 x 600 px, PNG grey | %.3f | %.3f | %.0f | | |\n", s.seconds, s.cpu, s.peakMB)
	fmt.Printf("%d processors (%s)\n\n| artwork | elapsed, s | processor, s | peak, MB | ms a million px | decoding |\n| --- | --- | --- | --- | --- | --- |\n%s\n",
		runtime.NumCPU(), processor(), table.String())
	if beside.Len() > 0 {
		fmt.Printf("| at 1200 ppi | s | MB | script, s | script, MB | times faster | times less |\n| --- | --- | --- | --- | --- | --- | --- |\n%s\n", beside.String())
	}
}

type benchFile struct {
	name, form, peer string // peer: the PNG for the peer to read, which has no Group 4
	megapixels       float64
}

// benchFiles writes the sheet in the forms that are measured.
func benchFiles(t *testing.T, dir string, ppi float64) []benchFile {
	c := drawBenchSheet(t, ppi)
	grey, bilevel := c.Ink(), c.Bilevel()
	mpx := float64(c.W) * float64(c.H) / 1e6
	path := func(ending string) string { return filepath.Join(dir, fmt.Sprintf("sheet-%g%s", ppi, ending)) }
	one := path("-1bit.png")
	writeFile(t, one, func(f *os.File) error { return artwork.EncodePNG(f, bilevel, ppi) })
	writeFile(t, path(".png"), func(f *os.File) error { return artwork.EncodePNG(f, grey, ppi) })
	writeFile(t, path("-g4.tif"), func(f *os.File) error { return artwork.EncodeG4TIFF(f, bilevel.Bits, ppi) })
	files := []benchFile{
		{one, "PNG 1-bit", one, mpx},
		{path("-g4.tif"), "TIFF Group 4", one, mpx},
		{path(".png"), "PNG grey", path(".png"), mpx},
	}
	if tiffcp, err := exec.LookPath("tiffcp"); err == nil {
		require.NoError(t, exec.Command(tiffcp, "-c", "lzw", path("-g4.tif"), path("-lzw.tif")).Run())
		files = append(files, benchFile{path("-lzw.tif"), "TIFF LZW", "", mpx})
	}
	return files
}

func writeFile(t *testing.T, name string, write func(*os.File) error) {
	f, err := os.Create(name)
	require.NoError(t, err)
	require.NoError(t, write(f))
	require.NoError(t, f.Close())
}

// decodeSeconds is how long reading the artwork alone takes in this process.
func decodeSeconds(t *testing.T, name string) float64 {
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	began := time.Now()
	_, err = artwork.Decode(bytes.NewReader(data), int64(len(data)), artwork.Options{})
	require.NoError(t, err)
	return time.Since(began).Seconds()
}

// peerCommand runs the peer script on a picture; nil without one, and where its
// library is missing.
func peerCommand(t *testing.T, picture string) []string {
	python := "/usr/bin/python3" // Debian's, which has Debian's OpenCV
	if picture == "" {
		return nil
	}
	if exec.Command(python, "-c", "import cv2").Run() != nil {
		t.Log("no python3-opencv: no peer")
		return nil
	}
	return []string{python, "-c", peerScript, picture, "7"}
}

// processor names the processor as Linux tells it.
func processor() string {
	data, _ := os.ReadFile("/proc/cpuinfo")
	for line := range strings.Lines(string(data)) {
		if name, value, ok := strings.Cut(line, ":"); ok && strings.TrimSpace(name) == "model name" {
			return strings.TrimSpace(value)
		}
	}
	return runtime.GOARCH
}
