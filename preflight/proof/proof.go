package proof

import (
	"fmt"
	"image"
	"io"

	"stencilproof/preflight"
	"stencilproof/preflight/proof/sheet"
	"stencilproof/raster"
)

// PNGPerInch is the resolution of the pages as PNG: fine enough to print, and
// a page then fits a large screen at about half its pixels.
const PNGPerInch = 200

// Document is a proof or a bench sheet, laid out and ready to be written.
type Document struct {
	Pages []*sheet.Figure // as on paper, with the boxes of the layout as data

	about sheet.About
	html  func() string
}

// Build lays out the customer's proof of a report. k is the ink plane that the
// report was measured on, carved parts as ink: for a negative, already
// inverted. Build keeps both and changes neither.
func Build(r *preflight.Report, k *raster.Ink, job Job) *Document {
	c := newContent(r, k, job)
	return &Document{Pages: c.proofPages(), about: c.about(c.w.Title), html: c.proofHTML}
}

func (c *content) about(title string) sheet.About {
	if no := c.proofNo(); no != "" {
		title += " " + no
	}
	return sheet.About{Title: title, Author: c.job.Shop.Name, Lang: c.w.Code, Date: c.job.Date}
}

// PNG writes page 1, the marked-up picture with its table of places.
func (d *Document) PNG(w io.Writer) error { return d.PNGPage(w, 0) }

// PNGPage writes a page, counted from 0, as PNG.
func (d *Document) PNGPage(w io.Writer, i int) error {
	if i < 0 || i >= len(d.Pages) {
		return fmt.Errorf("writing page %d as PNG: there are %d pages", i+1, len(d.Pages))
	}
	return d.Pages[i].PNG(w, PNGPerInch)
}

// Image returns a page as pixels, ppi of them an inch.
func (d *Document) Image(i int, ppi float64) *image.RGBA { return d.Pages[i].Draw(ppi) }

// PDF writes all pages.
func (d *Document) PDF(w io.Writer) error { return sheet.PDF(w, d.Pages, d.about) }

// HTML writes the document as one page that loads nothing from elsewhere and
// needs no script. It fits screens from 320 px up, and prints on its paper.
func (d *Document) HTML(w io.Writer) error {
	_, err := io.WriteString(w, d.html())
	return err
}
