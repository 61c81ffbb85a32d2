package card

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"github.com/boombuler/barcode/qr"
)

// quiet is the light border that a QR code needs, in modules (ISO/IEC 18004).
const quiet = 4

// modules are the dark modules of a link's QR code, with its border; none where
// the link is empty or too long for one.
func modules(link string) [][]bool {
	if link == "" {
		return nil
	}
	code, err := qr.Encode(link, qr.M, qr.Auto)
	if err != nil {
		return nil
	}
	n := code.Bounds().Dx()
	m := make([][]bool, n+2*quiet)
	for y := range m {
		m[y] = make([]bool, n+2*quiet)
		for x := range m[y] {
			if in := image.Pt(x-quiet, y-quiet); in.In(code.Bounds()) {
				r, _, _, _ := code.At(in.X, in.Y).RGBA()
				m[y][x] = r == 0
			}
		}
	}
	return m
}

// moduleSize is how many pixels a module of the picture is wide (our own choice).
const moduleSize = 12

// QR is a link's QR code as a PNG.
func QR(link string) ([]byte, error) {
	m := modules(link)
	if len(m) == 0 {
		return nil, fmt.Errorf("bot/card: no QR code for a link of %d bytes", len(link))
	}
	img := image.NewPaletted(image.Rect(0, 0, len(m)*moduleSize, len(m)*moduleSize), color.Palette{color.White, color.Black})
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			if m[y/moduleSize][x/moduleSize] {
				img.SetColorIndex(x, y, 1)
			}
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return nil, fmt.Errorf("bot/card: draw a QR code: %w", err)
	}
	return b.Bytes(), nil
}
