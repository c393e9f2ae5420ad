package main

import (
	"bytes"
	"encoding/json"
	"io"
	"testing"
	"time"

	"stencilproof/raster/artwork"
)

// FuzzCheck gives the command a file of any bytes: it ends with one of its
// three statuses, prints a whole report or none, and takes no more than seconds
// for a picture of 0.2 million pixels.
func FuzzCheck(f *testing.F) {
	f.Setenv("HOME", f.TempDir())
	f.Setenv("XDG_CONFIG_HOME", f.TempDir())
	var b bytes.Buffer
	if err := artwork.EncodePNG(&b, rule(0.06), 600); err != nil {
		f.Fatal(err)
	}
	f.Add(b.Bytes(), false)
	var g4 bytes.Buffer
	if err := artwork.EncodeG4TIFF(&g4, rule(0.32).Bits, 600); err != nil {
		f.Fatal(err)
	}
	f.Add(g4.Bytes(), true)
	f.Add([]byte("BM"), false)
	f.Add([]byte("\xff\xd8\xff\xe0"), false)
	f.Fuzz(func(t *testing.T, data []byte, negative bool) {
		args := []string{"check", "--film", "3mil", "--dpi", "600", "--no-proof", "--format", "json", "--max-pixels", "200000"}
		if negative {
			args = append(args, "--negative")
		}
		var out, errs bytes.Buffer
		done := make(chan int, 1)
		go func() { done <- run(append(args, "-"), bytes.NewReader(data), &out, &errs) }()
		var status int
		select {
		case status = <-done:
		case <-time.After(20 * time.Second):
			t.Fatal("20 s for a small picture")
		}
		var r struct {
			Verdict string
			Counts  map[string]struct{ Fails int }
			Finest  map[string]*float64 `json:"finest_um"`
			Film    struct {
				Limits map[string]struct{ Fail float64 } `json:"limits_um"`
			}
		}
		err := json.Unmarshal(out.Bytes(), &r)
		switch {
		case status == statusBroken && out.Len() == 0 && errs.Len() > 0:
		case status == statusFails && err == nil && r.Verdict == "fails":
		case status == statusHolds && err == nil && (r.Verdict == "holds" || r.Verdict == "at-risk"):
			for kind, c := range r.Counts {
				if c.Fails > 0 {
					t.Errorf("status 0 and %d of kind %s fail", c.Fails, kind)
				}
			}
		default:
			all, _ := io.ReadAll(&errs)
			t.Errorf("status %d, report %q, errors %q (%v)", status, out.Bytes(), all, err)
		}
		for kind, w := range r.Finest {
			if w != nil && *w < r.Film.Limits[kind].Fail && r.Counts[kind].Fails == 0 {
				t.Errorf("the finest %s is %v um wide, under %v, and none fails", kind, *w, r.Film.Limits[kind].Fail)
			}
		}
	})
}
