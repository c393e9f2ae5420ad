package preflight

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"stencilproof/raster"
)

// uncommented is the draft with every line in force.
func uncommented() string {
	return regexp.MustCompile(`(?m)^#(\[|[a-z-]+ *= )`).ReplaceAllString(ShopDraft, "$1")
}

func TestShopDraft(t *testing.T) {
	s, err := ParseShop("shop.toml", []byte(ShopDraft))
	require.NoError(t, err)
	assert.Equal(t, &Shop{File: "shop.toml"}, s, "the draft as it is puts nothing in force")
	assert.Equal(t, Films(), s.Films())

	s, err = ParseShop("shop.toml", []byte(uncommented()))
	require.NoError(t, err)
	assert.Equal(t, "Tern & Tide", s.Name)
	assert.Equal(t, []string{"Ropewalk 7", "Skerrick Haven"}, s.Address)
	assert.Equal(t, "bench@tern-and-tide.example", s.Email)
	assert.Equal(t, "logo.png", s.Logo)
	assert.Equal(t, 6000.0, s.TapeMarginUM)
	assert.Equal(t, [4]string{"3 mil", "mm", "en", "A4"}, [4]string{s.Film, s.Units, s.Language, s.Paper})
	require.Len(t, s.OwnFilms, 1)
	require.Len(t, s.Process, 4)

	films := s.Films()
	require.Len(t, films, 7, "it replaces the usual film of its name")
	f := films[1]
	assert.Equal(t, "3 mil", f.Name)
	assert.False(t, f.Measured, "one kind alone was measured")
	assert.Equal(t, Limit{80, 112, Measured, Measured,
		"measured in this shop on 2027-03-01: lamp 2 (shop.toml)", "measured in this shop on 2027-03-01: lamp 2 (shop.toml)"}, f.Limits[raster.Line])
	assert.Equal(t, ShopRule, f.Limits[raster.Dot].SafeBasis)

	facts := Facts(&f, s)
	assert.Equal(t, Fact{Step: "exposure", Set: "50 s", Basis: ShopRule, Why: "a rule of this shop (shop.toml)"}, facts[0], "the film's own rule wins")
	assert.Equal(t, "8 min", facts[2].Set)
	assert.Contains(t, facts[2].Why, "the dryer by the window")
}

func TestShopMergesFilms(t *testing.T) {
	s, err := ParseShop("shop.toml", []byte(`
[habits]
film = "harbour blue"
[[film]]
name = "Harbour Blue"
thickness = "90 um"
[film.limits]
line = { fail = "80 um", safe = "0.112mm", basis = "measured", date = 2027-03-01 }
dot = { fail = "80 um", safe = "112 um", basis = "measured", date = 2027-03-01 }
strip = { fail = "80 um", safe = "112 um", basis = "measured", date = 2027-03-01 }
island = { fail = "80 um", safe = "112 um", basis = "measured", date = 2027-03-01 }
[[film]]
name = "5MIL"
thickness = "5 mil"
`))
	require.NoError(t, err)
	var names []string
	for _, f := range s.Films() {
		names = append(names, f.Name)
	}
	assert.Equal(t, []string{"2 mil", "3 mil", "Harbour Blue", "4 mil", "5MIL", "6 mil", "8 mil", "10 mil"}, names)
	f, err := ParseFilm(s.Film, s.Films())
	require.NoError(t, err)
	assert.True(t, f.Measured)
	assert.Equal(t, 112.0, f.Limits[raster.Line].SafeUM)
	five, err := ParseFilm("5 mil", s.Films())
	require.NoError(t, err)
	assert.False(t, five.Measured, "a film without limits has the starting values")
	assert.Equal(t, DefaultFilm("", 127).Limits, five.Limits)

	// What is nearly one of the shop's own films, and what is one or is none.
	for _, c := range []struct{ film, own string }{{"91um", "Harbour Blue"}, {"126 um", "5MIL"}, {"harbour blue", ""}, {"5mil", ""}, {"95um", ""}} {
		f, err := ParseFilm(c.film, s.Films())
		require.NoError(t, err)
		own, ok := s.Nearly(&f)
		assert.Equal(t, c.own, own.Name, c.film)
		assert.Equal(t, c.own != "", ok, c.film)
	}
}

// Each row is one slip, with the line and the words that must name it.
func TestShopRefuses(t *testing.T) {
	const film = "[[film]]\nname = \"A\"\nthickness = \"3 mil\"\n[film.limits]\n"
	for _, c := range []struct{ name, text, where, what, hint string }{
		{"broken syntax", "[shop]\nname = \"Tern\naddress = []\n", "s.toml:2:", "not TOML", "draft"},
		{"another encoding", "[shop]\nname = \"M\xf6we\"\n", "s.toml:", "not TOML", "as UTF-8"},
		{"bent quotes", "[shop]\nname = “Tern”\n", "s.toml:2:", "not TOML", "straight"},
		{"unknown part", "\n\n[shoop]\n", "s.toml:3:", `no key "shoop"`, "shop, habits, process, film"},
		{"unknown key", "[shop]\nname = \"a\"\nfax = \"1\"\n", "s.toml:3:", `no key "fax"`, "name, address"},
		{"the first unknown key", "zz = 1\naa = 2\n", "s.toml:1:", `"zz"`, ""},
		{"unknown key in a film", film + "lime = 1\n", "s.toml:5:", `"lime"`, "line, dot, strip, island"},
		{"unknown key in a pair", film + "line = { fail = \"1um\", safe = \"2um\", basis = \"measured\", day = 2027-01-01 }\n", "s.toml:5:", `"day"`, "date"},
		{"no unit", film + "line = { fail = \"80\", safe = \"112 um\", basis = \"shop rule\" }\n", "s.toml:5:", `fail: "80" has no unit`, "80mm"},
		{"a bare number", film + "line = { fail = 80, safe = \"112 um\", basis = \"shop rule\" }\n", "s.toml:5:", "the number 80 without a unit", "in quotes"},
		{"wrong unit", film + "line = { fail = \"80 furlong\", safe = \"112 um\", basis = \"shop rule\" }\n", "s.toml:5:", "not a length", "um"},
		{"fail over safe", film + "dot = { fail = \"113 um\", safe = \"112 um\", basis = \"shop rule\" }\n", "s.toml:5:", "fail 113 um is not under safe 112 um", "smaller"},
		{"a slip of the unit", film + "dot = { fail = \"76 um\", safe = \"115 mm\", basis = \"shop rule\" }\n", "s.toml:5:", "safe 115 mm is 1509 times the thickness of film \"A\"", "check the number and its unit"},
		{"a slip of the unit, the other way", film + "line = { fail = \"0.08 um\", safe = \"0.112 um\", basis = \"shop rule\" }\n", "s.toml:5:", "safe 0.112 um is 0.0015 times the thickness of film \"A\"", "check the number and its unit"},
		{"fail at safe, in two units", film + "\n\ndot = { fail = \"0.112 mm\", safe = \"112 um\", basis = \"shop rule\" }\n", "s.toml:7:", "not under", ""},
		{"basis", film + "dot = { fail = \"1 um\", safe = \"112 um\", basis = \"a hunch\" }\n", "s.toml:5:", `basis is "a hunch"`, "from memory"},
		{"no basis", film + "dot = { fail = \"1 um\", safe = \"112 um\" }\n", "s.toml:5:", "basis is missing", ""},
		{"measured when", film + "dot = { fail = \"1 um\", safe = \"112 um\", basis = \"measured\" }\n", "s.toml:5:", "needs its date", ""},
		{"date in quotes", film + "dot = { fail = \"1 um\", safe = \"112 um\", basis = \"measured\", date = \"2027-03-01\" }\n", "s.toml:5:", "not a date", "without quotes"},
		{"double names", film + "[[film]]\nname = \"B\"\nthickness=\"1mm\"\n[[film]]\n# again\nname = \" a\"\nthickness = \"4 mil\"\n", "s.toml:10:", "twice", "line 2"},
		{"no thickness", "[[film]]\nname = \"A\"\n", "s.toml:1:", "no thickness", "3 mil"},
		{"no name", "[[film]]\nthickness = \"3mil\"\n", "s.toml:1:", "without a name", ""},
		{"impossible thickness", "[[film]]\nname = \"A\"\nthickness = \"76 mm\"\n", "s.toml:3:", "76 mm thick", "check"},
		{"single brackets", "[film]\nname = \"A\"\nthickness = \"3mil\"\n", "s.toml:1:", "film is a table", "double brackets"},
		{"default film unknown", "[habits]\nfilm = \"blue\"\n", "s.toml:2:", `no film "blue"`, "3 mil"},
		{"units", "[habits]\nunits = \"inch\"\n", "s.toml:2:", `units is "inch"`, "mm, in"},
		{"paper", "[habits]\npaper = \"A3\"\n", "s.toml:2:", `paper is "A3"`, "A4, Letter"},
		{"a language without words", "[habits]\nlanguage = \"fr\"\n", "s.toml:2:", `language is "fr"`, "en, de"},
		{"a byte order mark before it", "\ufeff[shop]\nname = \"x\"\nbad = 3\n", "s.toml:3:", `no key "bad"`, "name"},
		{"a thickness for a name", "[[film]]\nname = \"3mil\"\nthickness = \"5 mil\"\n", "s.toml:3:", `film "3mil" is 5 mil thick`, "correct one"},
		{"language", "[habits]\nlanguage = \"english\"\n", "s.toml:2:", "language", "en"},
		{"e-mail", "[shop]\nemail = \"a@b, c@d\"\n", "s.toml:2:", "no e-mail address", ""},
		{"address", "[shop]\naddress = \"Quay 4\"\n", "s.toml:2:", "not a list", ""},
		{"after a long text", "[shop]\nname = \"\"\"a\n[b]\n= #\"\"\"\nfax = 1\n", "s.toml:5:", "fax", ""},
		{"after a long list", "[shop]\naddress = [\"a]\", # ]\n \"b\",\n]\nfax = 1\n", "s.toml:5:", "fax", ""},
		{"process", "[process]\nbaking = \"1 s\"\n", "s.toml:2:", "baking", "exposure"},
		{"empty step", "[process]\nexposure = \" \"\n", "s.toml:2:", "says nothing", ""},
		{"history", film + "[[film.was]]\nkind = \"dash\"\nfail = \"1um\"\nsafe=\"2um\"\nbasis=\"shop rule\"\n", "s.toml:6:", "dash", ""},
		{"history pair", film + "[[film.was]]\nkind = \"dot\"\nfail = \"3um\"\nsafe=\"2um\"\nbasis=\"shop rule\"\n", "s.toml:7:", "not under", ""},
	} {
		s, err := ParseShop("s.toml", []byte(c.text))
		var bad *ShopError
		if assert.ErrorAs(t, err, &bad, c.name) {
			assert.Nil(t, s, c.name)
			assert.True(t, strings.HasPrefix(err.Error(), c.where), "%s: %s", c.name, err)
			assert.Contains(t, err.Error(), c.what, c.name)
			assert.Contains(t, bad.Hint(), c.hint, c.name)
		}
	}
}

// The usual facts say what they rest on; a film over 3 mil washes out longer.
func TestFacts(t *testing.T) {
	three, ten := DefaultFilm("3 mil", 76.2), DefaultFilm("10 mil", 254)
	thin, thick := Facts(&three, nil), Facts(&ten, nil)
	require.Len(t, thin, len(ProcessSteps))
	for i, f := range thin {
		assert.Equal(t, ProcessSteps[i], f.Step)
		assert.NotEmpty(t, f.Set)
		assert.Equal(t, Memory, f.Basis)
		assert.Contains(t, f.Why, "no published source")
	}
	assert.Contains(t, thin[0].Set, "40 to 60 s")
	assert.Contains(t, thin[1].Set, "30 to 40 s")
	assert.Contains(t, thick[1].Set, "up to a minute")
	assert.Equal(t, thin[2], thick[2])
}

func FuzzParseShop(f *testing.F) {
	f.Add([]byte(ShopDraft))
	f.Add([]byte(uncommented()))
	f.Add([]byte("a.b.\"c d\" = '''x\ny''' # z\n[[film]]\n[film.limits]\nline={fail='1um'}"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ParseShop("s.toml", data)
		if (s == nil) == (err == nil) {
			t.Fatalf("shop %v and error %v", s, err)
		}
		if s != nil {
			s.Films()
		}
	})
}
