package card

import (
	"image"
	"iter"

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

// darkRuns are the runs of dark modules in a row: where each begins and ends.
func darkRuns(row []bool) iter.Seq2[int, int] {
	return func(yield func(int, int) bool) {
		for to := 0; to < len(row); to++ {
			from := to
			for to < len(row) && row[to] {
				to++
			}
			if to > from && !yield(from, to) {
				return
			}
		}
	}
}
