package artwork

import "bytes"

// exifData is what is read of an EXIF block: 0 where it does not say.
type exifData struct {
	x, y        float64 // pixels per inch
	orientation int
}

// readEXIF reads the first directory of an EXIF block, which is a small TIFF,
// with or without its "Exif" heading (JEITA CP-3451). A damaged one says nothing.
func readEXIF(b []byte) (e exifData) {
	b = bytes.TrimPrefix(b, []byte("Exif\x00\x00"))
	if len(b) < 8 || string(b[:2]) != "II" && string(b[:2]) != "MM" {
		return e
	}
	f, err := openTIFF(source{bytes.NewReader(b), int64(len(b))})
	if err != nil {
		return e
	}
	d, _, err := f.directory(f.first)
	if err != nil {
		return e
	}
	if o, err := f.one(d, tagOrientation, 1); err == nil && o >= 1 && o <= 8 {
		e.orientation = int(o)
	}
	var p Picture
	if f.resolution(d, &p) != nil {
		return e
	}
	e.x, e.y = p.StoredXPerInch, p.StoredYPerInch
	return e
}
