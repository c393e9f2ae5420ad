package main

import (
	"fmt"
	"image"
	"image/draw"
	_ "image/jpeg" // a logo may be one
	_ "image/png"
	"os"
	"path/filepath"

	"stencilproof/preflight"
	"stencilproof/preflight/proof"
)

// mostLogoPixels bounds the shop's own picture: it is printed a few
// centimetres wide.
const mostLogoPixels = 16e6

// signature is the shop's block of a proof, with its logo read from beside the
// shop file.
func signature(shop *preflight.Shop) (proof.Shop, error) {
	s := proof.Shop{Name: shop.Name, Address: shop.Address, Email: shop.Email, Phone: shop.Phone}
	if shop.Logo == "" {
		return s, nil
	}
	name := shop.Logo
	if !filepath.IsAbs(name) {
		name = filepath.Join(filepath.Dir(shop.File), name)
	}
	img, err := readLogo(name)
	if err != nil {
		return s, &preflight.Problem{What: fmt.Sprintf("the shop's logo: %v", err), Do: fmt.Sprintf("correct the line logo in %s, or take it out", shop.File)}
	}
	s.Logo = img
	return s, nil
}

// readLogo reads a PNG or JPEG picture into pixels of our own.
func readLogo(name string) (image.Image, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	head, _, err := image.DecodeConfig(f)
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, err)
	}
	if head.Width*head.Height > mostLogoPixels {
		return nil, fmt.Errorf("reading %s: %d x %d pixels are too many", name, head.Width, head.Height)
	}
	if _, err := f.Seek(0, 0); err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, err)
	}
	img, _, err := image.Decode(f)
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, err)
	}
	b := img.Bounds()
	own := image.NewNRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(own, own.Bounds(), img, b.Min, draw.Src)
	return own, nil
}
