package raster

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
)

// What scikit-image reads from the pictures of the accuracy table, by
// testdata/accuracy/medial.py, frozen so that the table needs no Python.
// UPDATE=1 with Debian's python3-skimage writes it anew.

var accuracyDir = filepath.Join("..", "testdata", "accuracy")

// skimageGolden holds widths by set, picture by picture.
type skimageGolden struct {
	Versions map[string]string    `json:"versions"`
	Seed     uint64               `json:"seed"`
	Widths   map[string][]float64 `json:"widths_px"` // -1 where it found no axis
}

func readSkimage(t *testing.T) *skimageGolden {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(accuracyDir, "skimage.json"))
	if err != nil {
		t.Fatalf("the frozen numbers of scikit-image: %v", err)
	}
	var g skimageGolden
	if err := json.Unmarshal(raw, &g); err != nil {
		t.Fatalf("skimage.json: %v", err)
	}
	return &g
}

// tally compares the frozen widths with the truth; false where the set has none
// or the pictures are no longer the same.
func (g *skimageGolden) tally(name string, trials []*trial) (*tally, bool) {
	w := g.Widths[name]
	if g.Seed != heldOut || len(w) != len(trials) {
		return nil, false
	}
	t := &tally{name: name}
	for i, tr := range trials {
		p := Profile{Width: w[i]}
		if w[i] >= 0 {
			p.Sections = make([]Section, 1)
		}
		t.add(p, tr.width, nil)
	}
	return t, true
}

// job is a picture as the script takes it.
type job struct {
	Kind  string       `json:"kind"` // "median" or "least" of twice the distance on the axis, or "blob"
	W     int          `json:"w"`
	H     int          `json:"h"`
	Film  bool         `json:"film"`
	Near  [][2]float64 `json:"near"` // places on the course, ends left out
	bytes []byte
}

func newJob(tr *trial, bilevel, blob bool) job {
	tr.pic.bilevel = bilevel
	k := tr.draw.ink(tr.pic)
	j := job{Kind: "median", W: k.W, H: k.H, Film: tr.measureFilm, bytes: k.Grey}
	if k.Grey == nil {
		j.bytes = make([]byte, k.W*k.H)
		for i := range j.bytes {
			if k.Bits.Get(i%k.W, i/k.W) {
				j.bytes[i] = 255
			}
		}
	}
	if tr.place != nil {
		j.Kind = "least"
	}
	if blob {
		j.Kind = "blob"
	}
	path := tr.course.Path
	drop := int(tr.width/2) + 4
	if tr.course.TipStart && len(path) > 2*drop {
		path = path[drop:]
	}
	if tr.course.TipEnd && len(path) > drop+1 {
		path = path[:len(path)-drop]
	}
	for _, p := range path {
		j.Near = append(j.Near, [2]float64{p.X, p.Y})
	}
	return j
}

// python returns a Python that has scikit-image, or "".
func python() string {
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(name, "-c", "import skimage").Run() == nil {
			return name
		}
	}
	return ""
}

// askSkimage runs the script over jobs.
func askSkimage(t *testing.T, py string, jobs []job) (versions map[string]string, widths []float64) {
	t.Helper()
	var in bytes.Buffer
	for _, j := range jobs {
		head, err := json.Marshal(j)
		if err != nil {
			t.Fatal(err)
		}
		in.Write(head)
		in.WriteByte('\n')
		in.Write(j.bytes)
	}
	cmd := exec.Command(py, filepath.Join(accuracyDir, "medial.py"))
	cmd.Stdin = &in
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("medial.py: %v\n%s", err, stderr.String())
	}
	var answer struct {
		Versions map[string]string `json:"versions"`
		Widths   []float64         `json:"widths_px"`
	}
	if err := json.Unmarshal(out, &answer); err != nil {
		t.Fatalf("medial.py: %v", err)
	}
	if len(answer.Widths) != len(jobs) {
		t.Fatalf("medial.py: %d widths for %d pictures", len(answer.Widths), len(jobs))
	}
	return answer.Versions, answer.Widths
}

// skimageJobs returns the first pictures of every row of the table.
func skimageJobs(first int) map[string][]job {
	jobs := make(map[string][]job)
	upTo := func(trials []*trial) []*trial { return trials[:min(first, len(trials))] }
	for _, set := range slices.Concat(greySets, hardSets) {
		for _, tr := range upTo(set.trials(heldOut)) {
			jobs["grey, "+set.name] = append(jobs["grey, "+set.name], newJob(tr, false, false))
		}
	}
	for _, set := range bilevelSets {
		for _, tr := range upTo(set.trials(heldOut)) {
			jobs["bilevel, "+set.name] = append(jobs["bilevel, "+set.name], newJob(tr, true, false))
		}
	}
	for _, kind := range []string{"grey", "bilevel"} {
		name := kind + ", discs and squares, 4A/P"
		for _, tr := range upTo(blobTrials(heldOut)) {
			jobs[name] = append(jobs[name], newJob(tr, kind == "bilevel", true))
		}
	}
	return jobs
}

// TestSkimageGolden asks scikit-image again, where it is installed, about the
// first pictures of every set, and expects the frozen numbers.
func TestSkimageGolden(t *testing.T) {
	py := python()
	update := os.Getenv("UPDATE") != ""
	if py == "" {
		if os.Getenv("CI") != "" || update {
			t.Fatal("no Python with scikit-image: install Debian's python3-skimage")
		}
		t.Skip("no Python with scikit-image (Debian: python3-skimage); the frozen numbers stay unchecked")
	}
	if update {
		jobs := skimageJobs(math.MaxInt)
		g := skimageGolden{Seed: heldOut, Widths: make(map[string][]float64)}
		for name, list := range jobs {
			g.Versions, g.Widths[name] = askSkimage(t, py, list)
		}
		raw, err := json.Marshal(g)
		if err != nil {
			t.Fatal(err)
		}
		// One set a line.
		raw = bytes.ReplaceAll(raw, []byte(`],"`), []byte("],\n\""))
		if err := os.WriteFile(filepath.Join(accuracyDir, "skimage.json"), append(raw, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	g := readSkimage(t)
	const first = 2
	var names []string
	var some []job
	for name, list := range skimageJobs(first) {
		if len(g.Widths[name]) < len(list) {
			t.Errorf("%s: no frozen widths; run with UPDATE=1", name)
			continue
		}
		for i := range list {
			names = append(names, fmt.Sprintf("%s #%d", name, i))
			some = append(some, list[i])
		}
	}
	_, widths := askSkimage(t, py, some)
	for i, name := range names {
		set, n := name[:len(name)-3], i%first
		if want := g.Widths[set][n]; math.Abs(widths[i]-want) > 0.01 {
			t.Errorf("%s: scikit-image reads %.3f, frozen %.3f", name, widths[i], want)
		}
	}
}
