package preflight

import (
	"math"
	"slices"

	"stencilproof/raster"
	"stencilproof/raster/artwork"
)

// Take measures a picture so that it can be judged on any of the films. It
// stretches grey levels that are not clear and solid and, when the order says
// negative, inverts the ink, both in place: pic.Ink is afterwards what was
// measured. An unknown size is a *Problem.
func Take(pic *artwork.Picture, order Order, films ...Film) (*Survey, error) {
	s, err := lookAt(pic, order)
	if err != nil {
		return nil, err
	}
	for _, f := range films {
		for i, l := range f.Limits {
			s.Reach[i] = math.Max(s.Reach[i], l.SafeUM/s.Artwork.UMPerPx())
		}
	}
	req := raster.Request{Safe: s.Reach, Progress: order.telling("measuring")}
	screens := lookForScreens(pic.Ink, s.Artwork.PxPerInch, &req)
	measured := raster.Measure(pic.Ink, req)
	s.Screens = screens()
	s.take(measured, pic.Ink)
	s.Openings = openingsUnder(pic.Ink, s, order.OpeningsUM)
	return s, nil
}

// lookForScreens looks for halftones while a request is measured: most of that,
// but not all, keeps every processor at work. Where the measuring labels the pieces
// they would be found among, it is asked for them. found waits for them.
func lookForScreens(k *raster.Ink, pxPerInch float64, req *raster.Request) (found func() []Screen) {
	var screens []Screen
	ended := make(chan *raster.Fault, 1)
	look := func(fn func() []Screen) {
		go func() { ended <- raster.Catch(func() { screens = fn() }) }()
	}
	found = func() []Screen {
		if fault := <-ended; fault != nil {
			panic(fault)
		}
		return screens
	}
	quest := newScreenQuest(k.Bits, pxPerInch)
	if !quest.possible() || !raster.OwnPieces(k, *req) {
		look(func() []Screen { return surveyScreens(k.Bits, pxPerInch) })
		return found
	}
	req.Sides = func(film bool, p *raster.Pieces, dx, dy int) {
		if p != nil {
			quest.take(film, p, dx, dy)
		}
		if film {
			look(func() []Screen {
				if p == nil {
					quest.take(film, nil, 0, 0)
				}
				return quest.screens()
			})
		}
	}
	return found
}

// lookAt is Take without the measuring and the halftones: what does not depend on
// the films.
func lookAt(pic *artwork.Picture, order Order) (*Survey, error) {
	k := pic.Ink
	ppi, from, err := order.Size.settle(k.W, k.H, pic.XPerInch)
	if err != nil {
		return nil, err
	}
	s := &Survey{
		Artwork: Artwork{
			File: order.File, SHA256: order.SHA256, Format: pic.Format,
			WidthPx: k.W, HeightPx: k.H, PxPerInch: ppi, SizeFrom: from,
			WidthMM: mmOf(k.W, ppi), HeightMM: mmOf(k.H, ppi),
			Negative: order.Negative, Bilevel: k.Bilevel(), Remarks: slices.Clone(pic.Remarks),
		},
		Lossy: pic.Lossy, Pages: pic.Pages, Page: pic.Page, Colours: pic.Colours,
	}
	q := quality{lossy: s.Lossy && !s.Artwork.Bilevel, levels: raster.StretchLevels(k), linear: linearLight(k), edges: raster.LookAtEdges(k)}
	s.Levels = Levels{q.levels.Paper, q.levels.Ink, q.levels.Stretched}
	s.Artwork.Remarks = append(s.Artwork.Remarks, q.remarks(s.Artwork.UMPerPx())...)
	if order.Negative {
		k.Invert()
	}
	s.Tones = surveyTones(k)
	s.Field = surveyField(k.Bits)
	if s.doubt = q.doubt(); q.soft() {
		s.soft = q.edges.Soft
	}
	return s, nil
}

// measure measures the ink for the survey's reach.
func (s *Survey) measure(k *raster.Ink, req raster.Request) {
	req.Safe = s.Reach
	s.take(raster.Measure(k, req), k)
}

// take is what was measured of the ink, with what the file's edges leave in doubt.
func (s *Survey) take(measured *raster.Result, k *raster.Ink) {
	s.Measured = measured
	widenBy(s.Measured, s.doubt)
	s.FineDots = nil
	s.sortSpecks(k.Bits)
}

// Examine measures a picture for one film and judges it: Take and Judge.
func Examine(pic *artwork.Picture, order Order, film Film, opt Options) (*Report, error) {
	s, err := Take(pic, order, film)
	if err != nil {
		return nil, err
	}
	return Judge(s, film, opt), nil
}

// openingsUnder measures the lines and dots narrower than um micrometres; nil
// for 0. Those up to the films' limits are measured already, and wider ones by
// a run of their own, so that asking for them changes no verdict. Where that finds what
// was measured already, it is as wide as it was.
func openingsUnder(k *raster.Ink, s *Survey, um float64) []Opening {
	scale := s.Artwork.UMPerPx()
	wide := um / scale
	switch {
	case um == 0:
		return nil
	case wide <= s.Reach[raster.Line] && wide <= s.Reach[raster.Dot]:
		return Openings(s.Measured.Features, scale)
	}
	req := raster.Request{Safe: s.Reach}
	req.Safe[raster.Line] = math.Max(wide, req.Safe[raster.Line])
	req.Safe[raster.Dot] = math.Max(wide, req.Safe[raster.Dot])
	features := raster.Measure(k, req).Features
	s.asMeasured(features)
	return Openings(features, scale)
}

// asMeasured gives features the width and place of what was measured already close by.
func (s *Survey) asMeasured(features []raster.Feature) {
	const cell, near = 8, 4.0 // px
	type place struct{ kind, x, y int }
	at := func(f *raster.Feature, dx, dy int) place {
		return place{int(f.Kind), int(f.At.X)/cell + dx, int(f.At.Y)/cell + dy}
	}
	known := map[place]*raster.Feature{}
	for i := range s.Measured.Features {
		f := &s.Measured.Features[i]
		known[at(f, 0, 0)] = f
	}
	for i := range features {
		f := &features[i]
		for d := range 9 {
			if m := known[at(f, d%3-1, d/3-1)]; m != nil && math.Hypot(m.At.X-f.At.X, m.At.Y-f.At.Y) < near {
				f.Width, f.At = m.Width, m.At
				break
			}
		}
	}
}

// Edges whose grey pixels are on average less than linearBelow inked, over at
// least linearPixels of them, were blended in linear light: art blended in the
// encoded value gives 0.44 to 0.56 over some hundreds of pixels, the other 0.35
// (see raster.BlendLevel). None of 720 words in lettering fell under it, all of 20 logos of
// four short bars did.
const (
	linearBelow  = 0.40
	linearPixels = 150
	linearRemark = "The grey of the edges looks blended in linear light; lines then read up to half a pixel too narrow and gaps as much too wide."
)

func linearLight(k *raster.Ink) bool {
	mean, n := raster.BlendLevel(k)
	return n >= linearPixels && mean < linearBelow
}
