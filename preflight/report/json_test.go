package report

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/preflight"
	"stencilproof/raster"
)

func schema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	s, err := jsonschema.NewCompiler().Compile(filepath.Join("..", "..", "testdata", "schema", "report-1.json"))
	require.NoError(t, err)
	return s
}

func valid(t *testing.T, s *jsonschema.Schema, line []byte) error {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(line))
	require.NoError(t, err)
	return s.Validate(doc)
}

func TestJSONMatchesSchema(t *testing.T) {
	s := schema(t)
	empty := &preflight.Report{Artwork: preflight.Artwork{SHA256: strings.Repeat("0", 64), Format: "tiff", WidthPx: 1, HeightPx: 1,
		PxPerInch: 300, SizeFrom: "dpi", WidthMM: 0.1, HeightMM: 0.1, Negative: true}, Film: preflight.Films()[0]}
	for name, r := range map[string]*preflight.Report{"full": sample(), "empty": empty} {
		var b bytes.Buffer
		require.NoError(t, JSON(&b, r))
		assert.Equal(t, 1, strings.Count(b.String(), "\n"), "%s: one object, one line", name)
		assert.NoError(t, valid(t, s, b.Bytes()), name)
	}
}

// The schema refuses what it should: it is seen able to fail.
func TestSchemaRefuses(t *testing.T) {
	s := schema(t)
	var b bytes.Buffer
	require.NoError(t, JSON(&b, sample()))
	for _, c := range []struct{ from, to string }{
		{`"verdict":"fails"`, `"verdict":"bad"`},
		{`"stencilproof/report/1"`, `"stencilproof/report/2"`},
		{`"width_um":61.2`, `"width_um":"61.2"`},
		{`"across_deg":null`, `"across_deg":180`},
		{`"box_mm":[12,4,13,5]`, `"box_mm":[12,4,13]`},
		{`"island":null`, `"isle":null`},
		{`"code":"points"`, `"code":"point"`},
	} {
		bad := strings.Replace(b.String(), c.from, c.to, 1)
		require.NotEqual(t, b.String(), bad, c.from)
		assert.Error(t, valid(t, s, []byte(bad)), c.to)
	}
}

// Every field written is described in the schema.
func TestSchemaDescribesEveryField(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, JSON(&b, sample()))
	var doc, root any
	require.NoError(t, json.Unmarshal(b.Bytes(), &doc))
	data, err := readSchema()
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &root))
	var walk func(path string, v, s any)
	walk = func(path string, v, s any) {
		def := s.(map[string]any)
		if ref, ok := def["$ref"].(string); ok {
			def = root.(map[string]any)["$defs"].(map[string]any)[strings.TrimPrefix(ref, "#/$defs/")].(map[string]any)
		}
		switch v := v.(type) {
		case map[string]any:
			props, ok := def["properties"].(map[string]any)
			if !ok {
				return // an open map, such as a note's values
			}
			for key, inner := range v {
				if assert.Contains(t, props, key, "%s.%s is not in the schema", path, key) {
					walk(path+"."+key, inner, props[key])
				}
			}
		case []any:
			for _, inner := range v {
				if items, ok := def["items"]; ok {
					walk(path+"[]", inner, items)
				}
			}
		}
	}
	walk("report", doc, root)
}

func TestJSONValues(t *testing.T) {
	j := jsonOf(sample())
	assert.Equal(t, number(61.2), j.Marks[0].WidthUM)
	assert.Equal(t, number(0), *j.Marks[0].AcrossDeg, "179.999 rounds to 180, which is 0")
	assert.Nil(t, j.Marks[1].AcrossDeg)
	assert.Less(t, j.Marks[1].WidthUM, j.Marks[1].FailUM, "a width a hair under the limit does not print as the limit")
	assert.Less(t, j.Marks[3].WidthUM, j.Marks[3].SafeUM)
	assert.Less(t, *j.FinestUM.Strip, j.Film.LimitsUM.Strip.Safe)
	assert.Nil(t, j.FinestUM.Island)
	assert.Equal(t, number(4.123), j.Marks[0].LengthMM)
	assert.Equal(t, number(134.412), *j.SufficesFrom)
	assert.Equal(t, 3600, j.Counts.Dot.Fails)
	assert.Equal(t, [4]number{12, 4, 13, 5}, j.Marks[0].BoxMM)
}

// Rounding never carries a width over a limit, on either side, however near.
func TestBesides(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 20000 {
		fail := roundTo(rng.Float64()*300, 1+rng.IntN(6))
		safe := fail * 1.5
		limit := []float64{fail, safe}[rng.IntN(2)]
		v := limit
		switch rng.IntN(4) {
		case 0:
			v = math.Nextafter(limit, 0)
		case 1:
			v = limit + (rng.Float64()-0.5)*math.Pow(10, -float64(rng.IntN(12)))
		case 2:
			v = rng.Float64() * 400
		}
		for _, places := range []int{1, 2, 3} {
			r, _ := besides(v, places, fail, safe)
			require.Equal(t, v < fail, r < fail, "%v against %v", v, fail)
			require.Equal(t, v < safe, r < safe, "%v against %v", v, safe)
			require.InDelta(t, v, r, 0.5000001*math.Pow10(-places))
		}
	}
	r, decimals := besides(80.123456, 2, 76.2, 114.3)
	assert.Equal(t, 80.12, r)
	assert.Equal(t, 2, decimals)
}

func TestNumberNeverBreaksJSON(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		b, err := json.Marshal(number(v))
		require.NoError(t, err)
		assert.Equal(t, "0", string(b))
		assert.Nil(t, some(v))
	}
}

// counts in the JSON are the report's, by kind.
func TestByKind(t *testing.T) {
	var b byKind[string]
	for _, k := range raster.Kinds {
		b.set(k, k.String())
	}
	assert.Equal(t, byKind[string]{"line", "dot", "strip", "island"}, b)
}
