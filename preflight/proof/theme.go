package proof

import (
	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
)

// The colours on paper and in every picture. Vermilion, blue and bluish green
// of Okabe and Ito's palette for all kinds of colour vision (Color Universal
// Design, 2008), each darkened until it reads as text on white; the contrast
// test holds them to that. Colour never stands alone: failing is a solid
// outline and a filled letter, at risk a dashed outline and an open letter.
var (
	inkText   = sheet.Hex("#14212B")
	inkSecond = sheet.Hex("#46545F")
	inkFails  = sheet.Hex("#A64500")
	inkRisk   = sheet.Hex("#00598C")
	inkHolds  = sheet.Hex("#00694D")
	inkHair   = sheet.Hex("#C3CBD1")
	inkMap    = sheet.Hex("#C4C4C4")
	inkWhite  = sheet.Hex("#FFFFFF")
	inkBlack  = sheet.Hex("#000000")
	wash      = [3]sheet.Ink{
		preflight.Holds:  sheet.Hex("#DCE9E4"),
		preflight.AtRisk: sheet.Hex("#E4EEF5"),
		preflight.Fails:  sheet.Hex("#FBEDE3"),
	}
)

func verdictInk(v preflight.Verdict) sheet.Ink {
	switch v {
	case preflight.Fails:
		return inkFails
	case preflight.AtRisk:
		return inkRisk
	}
	return inkHolds
}

// The type on paper, in points. Nothing is under 7.
var (
	fontVerdict   = sheet.Font{Weight: sheet.Bold, Pt: 12, Ink: inkText}
	fontVerdict2  = sheet.Font{Weight: sheet.Regular, Pt: 12, Ink: inkText}
	fontTitle     = sheet.Font{Weight: sheet.Bold, Pt: 11, Ink: inkText}
	fontShop      = sheet.Font{Weight: sheet.Bold, Pt: 9.2, Ink: inkText}
	fontHead      = sheet.Font{Weight: sheet.Bold, Pt: 9.6, Ink: inkText}
	fontPlace     = sheet.Font{Weight: sheet.Bold, Pt: 8.6, Ink: inkText}
	fontCard      = sheet.Font{Weight: sheet.Regular, Pt: 7.8, Ink: inkText}
	fontCardM     = sheet.Font{Weight: sheet.Medium, Pt: 7.8, Ink: inkText}
	fontCardB     = sheet.Font{Weight: sheet.Bold, Pt: 7.8, Ink: inkText}
	fontCard2     = sheet.Font{Weight: sheet.Regular, Pt: 7.8, Ink: inkSecond}
	fontCall      = sheet.Font{Weight: sheet.Medium, Pt: 9.2, Ink: inkText}
	fontFact      = sheet.Font{Weight: sheet.Regular, Pt: 7.4, Ink: inkSecond}
	fontFactM     = sheet.Font{Weight: sheet.Medium, Pt: 7.4, Ink: inkText}
	fontFactT     = sheet.Font{Weight: sheet.Regular, Pt: 7.4, Ink: inkText}
	fontFactBig   = sheet.Font{Weight: sheet.Bold, Pt: 11.5, Ink: inkText}
	fontHint      = sheet.Font{Weight: sheet.Regular, Pt: 7, Ink: inkSecond}
	fontHintB     = sheet.Font{Weight: sheet.Bold, Pt: 7, Ink: inkSecond}
	fontLetter    = sheet.Font{Weight: sheet.Bold, Pt: 10.5}
	fontDimension = sheet.Font{Weight: sheet.Bold, Pt: 9}
	fontTick      = sheet.Font{Weight: sheet.Regular, Pt: 7, Ink: inkText}
	fontTickB     = sheet.Font{Weight: sheet.Bold, Pt: 7, Ink: inkText}
)

func in(f sheet.Font, c sheet.Ink) sheet.Font { f.Ink = c; return f }

func span(s string, f sheet.Font) sheet.Span { return sheet.Span{S: s, Font: f} }
