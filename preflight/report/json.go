package report

import (
	"bytes"
	"encoding/json"
	"io"
	"math"

	"stencilproof/preflight"
	"stencilproof/raster"
)

// Schema names the form of the JSON report. Fields may be added to it; none
// changes its meaning.
const Schema = "stencilproof/report/1"

type jsonReport struct {
	Schema       string          `json:"schema"`
	Artwork      jsonArtwork     `json:"artwork"`
	Film         jsonFilm        `json:"film"`
	Verdict      string          `json:"verdict"`
	FinestUM     byKind[*number] `json:"finest_um"`
	FinestPlusUM byKind[*number] `json:"finest_plus_minus_um"`
	Counts       byKind[tally]   `json:"counts"`
	SufficesFrom *number         `json:"suffices_from_width_mm"`
	Marks        []jsonMark      `json:"marks"`
	Notes        []jsonNote      `json:"notes"`
}

type jsonArtwork struct {
	File      string   `json:"file"`
	SHA256    string   `json:"sha256"`
	Format    string   `json:"format"`
	WidthPx   int      `json:"width_px"`
	HeightPx  int      `json:"height_px"`
	PxPerInch number   `json:"px_per_inch"`
	SizeFrom  string   `json:"size_from"`
	WidthMM   number   `json:"width_mm"`
	HeightMM  number   `json:"height_mm"`
	Polarity  string   `json:"polarity"`
	Bilevel   bool     `json:"bilevel"`
	Remarks   []string `json:"remarks"`
}

type jsonFilm struct {
	Name        string            `json:"name"`
	ThicknessUM number            `json:"thickness_um"`
	Basis       string            `json:"basis"`
	LimitsUM    byKind[limitPair] `json:"limits_um"`
	LimitsWhy   byKind[whyPair]   `json:"limits_why"`
}

type limitPair struct {
	Fail number `json:"fail"`
	Safe number `json:"safe"`
}

type whyPair struct {
	Fail string `json:"fail"`
	Safe string `json:"safe"`
}

type tally struct {
	Fails  int `json:"fails"`
	AtRisk int `json:"at_risk"`
}

type jsonMark struct {
	ID          int       `json:"id"`
	Kind        string    `json:"kind"`
	Verdict     string    `json:"verdict"`
	Count       int       `json:"count"`
	WidthUM     number    `json:"width_um"`
	PlusMinusUM *number   `json:"plus_minus_um"`
	FailUM      number    `json:"fail_um"`
	SafeUM      number    `json:"safe_um"`
	LengthMM    number    `json:"length_mm"`
	AreaMM2     number    `json:"area_mm2"`
	XMM         number    `json:"x_mm"`
	YMM         number    `json:"y_mm"`
	AcrossDeg   *number   `json:"across_deg"`
	BoxMM       [4]number `json:"box_mm"`
}

type jsonNote struct {
	Code     string            `json:"code"`
	Text     string            `json:"text"`
	Count    int               `json:"count"`
	Values   map[string]number `json:"values"`
	PlacesMM [][2]number       `json:"places_mm"`
	BoxesMM  [][4]number       `json:"boxes_mm"`
}

// byKind holds a value for each raster.Kind, under its name.
type byKind[T any] struct {
	Line   T `json:"line"`
	Dot    T `json:"dot"`
	Strip  T `json:"strip"`
	Island T `json:"island"`
}

func (b *byKind[T]) set(k raster.Kind, v T) {
	*[...]*T{raster.Line: &b.Line, raster.Dot: &b.Dot, raster.Strip: &b.Strip, raster.Island: &b.Island}[k] = v
}

// number is a float64 that writes itself as 0 when it is no number, for JSON
// has no such value. Where that means "absent", a nil *number is null.
type number float64

// MarshalJSON writes the shortest decimal that reads back the same.
func (n number) MarshalJSON() ([]byte, error) {
	if v := float64(n); !math.IsNaN(v) && !math.IsInf(v, 0) {
		return json.Marshal(v)
	}
	return []byte("0"), nil
}

// some is v as a number that may be null: it is when v is none.
func some(v float64) *number {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	n := number(v)
	return &n
}

// Decimals of the JSON numbers: a hundredth of a micrometre, a micrometre in
// lengths and places, a square micrometre in areas.
const (
	umPlaces   = 2
	mmPlaces   = 3
	areaPlaces = 6
	degPlaces  = 2
)

func inMM(v float64) number { return number(roundTo(v, mmPlaces)) }

func corners(b preflight.BoxMM) [4]number {
	return [4]number{inMM(b.X0), inMM(b.Y0), inMM(b.X1), inMM(b.Y1)}
}

// JSON writes a report as one JSON object on one line, so that several make
// NDJSON. Widths are rounded, but never across a limit: width_um < fail_um
// exactly where the verdict is "fails".
func JSON(w io.Writer, r *preflight.Report) error {
	var line bytes.Buffer
	enc := json.NewEncoder(&line) // ends the line
	enc.SetEscapeHTML(false)
	if err := enc.Encode(jsonOf(r)); err != nil {
		return err
	}
	_, err := w.Write(line.Bytes())
	return err
}

func jsonArtworkOf(a *preflight.Artwork) jsonArtwork {
	return jsonArtwork{
		File: a.File, SHA256: a.SHA256, Format: a.Format, WidthPx: a.WidthPx, HeightPx: a.HeightPx,
		PxPerInch: number(roundTo(a.PxPerInch, 4)), SizeFrom: a.SizeFrom,
		WidthMM: number(roundTo(a.WidthMM, 4)), HeightMM: number(roundTo(a.HeightMM, 4)),
		Polarity: a.Polarity(), Bilevel: a.Bilevel, Remarks: append([]string{}, a.Remarks...),
	}
}

func jsonOf(r *preflight.Report) jsonReport {
	a, f := &r.Artwork, &r.Film
	j := jsonReport{
		Schema:  Schema,
		Artwork: jsonArtworkOf(a),
		Film:    jsonFilm{Name: f.Name, ThicknessUM: number(f.ThicknessUM), Basis: "default"},
		Verdict: r.Verdict.String(),
		Marks:   []jsonMark{},
		Notes:   []jsonNote{},
	}
	if f.Measured {
		j.Film.Basis = "measured"
	}
	for _, k := range raster.Kinds {
		l := f.Limit(k)
		j.Film.LimitsUM.set(k, limitPair{number(l.FailUM), number(l.SafeUM)})
		j.Film.LimitsWhy.set(k, whyPair{l.FailWhy, l.SafeWhy})
		j.Counts.set(k, tally{r.Counts[k].Fails, r.Counts[k].AtRisk})
		if fine := r.Finest[k]; fine.Found {
			v, _ := besides(fine.WidthUM, umPlaces, l.FailUM, l.SafeUM)
			j.FinestUM.set(k, some(v))
			j.FinestPlusUM.set(k, some(roundTo(fine.PlusMinusUM, umPlaces)))
		}
	}
	if r.SufficesFromWidthMM > 0 {
		j.SufficesFrom = some(roundTo(r.SufficesFromWidthMM, mmPlaces))
	}
	for i := range r.Marks {
		j.Marks = append(j.Marks, markOf(&r.Marks[i]))
	}
	for i := range r.Notes {
		j.Notes = append(j.Notes, noteOf(&r.Notes[i]))
	}
	return j
}

func markOf(m *preflight.Mark) jsonMark {
	width, _ := besides(m.WidthUM, umPlaces, m.FailUM, m.SafeUM)
	across := roundTo(m.AcrossDeg, degPlaces)
	if across >= 180 {
		across = 0 // the direction is the same
	}
	return jsonMark{
		ID: m.ID, Kind: m.Kind.String(), Verdict: m.Verdict.String(), Count: m.Count,
		WidthUM: number(width), PlusMinusUM: some(roundTo(m.PlusMinusUM, umPlaces)),
		FailUM: number(m.FailUM), SafeUM: number(m.SafeUM),
		LengthMM: inMM(m.LengthMM), AreaMM2: number(roundTo(m.AreaMM2, areaPlaces)),
		XMM: inMM(m.At.X), YMM: inMM(m.At.Y), AcrossDeg: some(across), BoxMM: corners(m.Box),
	}
}

func noteOf(n *preflight.Note) jsonNote {
	j := jsonNote{Code: string(n.Code), Text: NoteText(n), Count: n.Count,
		Values: map[string]number{}, PlacesMM: [][2]number{}, BoxesMM: [][4]number{}}
	for key, v := range n.Values {
		j.Values[key] = number(roundTo(v, 4))
	}
	for _, p := range n.Places {
		j.PlacesMM = append(j.PlacesMM, [2]number{inMM(p.X), inMM(p.Y)})
	}
	for _, b := range n.Boxes {
		j.BoxesMM = append(j.BoxesMM, corners(b))
	}
	return j
}
