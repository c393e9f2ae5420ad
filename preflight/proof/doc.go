// Package proof draws the customer's proof and the shop's bench sheet from a
// report and the ink plane that it was measured on: as PNG, PDF and HTML.
//
// Everything that a page says about numbers comes from the report value; the
// ink plane is only looked at, to show pictures of it. The page is laid out
// once as data (package sheet) and drawn by three writers; the HTML page has a
// layout of its own that fits the reader's screen, with the same figures and
// the same words. The words of a language stand in one file, wording_XX.go.
//
// All pages show carved as black. Package proof reads no file and no clock: the
// same report, ink and job give the same bytes.
package proof
