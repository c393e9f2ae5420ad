// Package sheet holds a laid-out page as data and draws it three ways: as
// pixels (PNG), as PDF, and as SVG to stand inside an HTML page.
//
// # Contract
//
// A Figure is a rectangle W x H millimetres with its origin at the top left
// corner, x right and y down. Its items are drawn in their order, so what comes
// later lies on top. All lengths are millimetres; only type sizes are points
// (1/72 inch). A text's place is the start, middle or end of its baseline.
//
// The three writers draw the same figure. They are pure: the same figure gives
// the same bytes.
package sheet
