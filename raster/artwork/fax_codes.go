package artwork

import "sync"

// The codes of the two-dimensional modes, T.4 table 4 and T.6 table 1.
const (
	modePass = iota + 1
	modeHorizontal
	modeV0 // and so on in the order of modeCodes
	modeVR1
	modeVR2
	modeVR3
	modeVL1
	modeVL2
	modeVL3
	modeExtension
)

var modeCodes = map[string]uint16{
	"0001": modePass, "001": modeHorizontal, "1": modeV0,
	"011": modeVR1, "000011": modeVR2, "0000011": modeVR3,
	"010": modeVL1, "000010": modeVL2, "0000010": modeVL3,
	"0000001": modeExtension,
}

// code is what a bit pattern starts with: a run length or mode, and its bits; 0
// bits when no code starts so.
type code struct {
	value uint16
	bits  uint8
}

// Tables by the next bits: 13 is the longest code of all, white has up to 12.
const (
	runBits  = 13
	modeBits = 7
)

type faxTables struct {
	white, black [1 << runBits]code
	mode         [1 << modeBits]code
}

// codeTables are filled for the first stream that needs them.
var codeTables = sync.OnceValue(func() *faxTables {
	t := &faxTables{
		white: runTable(g4White[:], g4WhiteMore[:]),
		black: runTable(g4Black[:], g4BlackMore[:]),
	}
	for word, v := range modeCodes {
		enter(t.mode[:], modeBits, word, v)
	}
	return t
})

// runTable holds the codes of a colour's terminating and make-up codes.
func runTable(ends, more []string) (t [1 << runBits]code) {
	for run, w := range ends {
		enter(t[:], runBits, w, uint16(run))
	}
	for i, w := range more {
		enter(t[:], runBits, w, uint16(64*(i+1)))
	}
	for i, w := range g4Long {
		enter(t[:], runBits, w, uint16(1792+64*i))
	}
	return
}

// enter fills in every pattern that starts with word.
func enter(t []code, width int, word string, value uint16) {
	v := 0
	for _, c := range word {
		v = v<<1 | int(c-'0')
	}
	rest := width - len(word)
	for i := range 1 << rest {
		t[v<<rest|i] = code{value, uint8(len(word))}
	}
}
