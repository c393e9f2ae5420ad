// Package artwork reads the files that customers send into an ink plane: PNG
// and TIFF to the full list the trade meets, JPEG, BMP, WebP and the first
// picture of a GIF.
//
// # What becomes ink
//
// Coverage is 1 minus luminance, in the encoded value as it stands in the file:
// no gamma is undone and no colour profile applied, since rasterisers blend
// edges in that same value. In numbers, with all samples from 0 to 1:
//
//   - grey: 1 - v (v where 0 stands for white, TIFF's WhiteIsZero).
//   - RGB and palettes: 1 - (0.2126 R + 0.7152 G + 0.0722 B), the luma weights of
//     Rec. ITU-R BT.709. Pure red is 0.79 ink, pure blue 0.93, pure yellow 0.07.
//   - CMYK: R = (1-C)(1-K), G = (1-M)(1-K), B = (1-Y)(1-K), then as RGB. So K = 1 is
//     solid whatever else is printed, and so is C = M = Y = 1; cyan alone is 0.21.
//   - alpha a over white film: a times the ink; for premultiplied samples a minus
//     the luminance.
//
// Samples of every depth are scaled to the full range and the result is rounded
// to one of 256 levels. A file whose levels are all 0 or 255 is bilevel whatever
// its depth says, and comes back as packed bits alone.
//
// # What is refused
//
// A file whose picture is not all there (cut off, damaged) is a [FormatError];
// half a picture is never judged. What is sound but not read here is an
// [UnsupportedError] that says what to do instead. Too large is a [LimitError].
// Sizes are checked before anything is allocated for pixels, decoders write into
// buffers of the exact size, and a panic of a decoder becomes an error.
package artwork
