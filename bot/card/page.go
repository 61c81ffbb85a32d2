package card

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	"iter"

	"github.com/boombuler/barcode/qr"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

//go:embed page.js
var pageJS string

// page is the template of a card for a browser. What anybody typed is escaped by
// it; the style and the script are the compiled-in ones, and nothing else may be
// loaded or run (Content Security Policy, W3C).
var page = template.Must(template.New("page").Parse(pageHTML))

// policy allows the inline style and script by their hashes.
var policy = fmt.Sprintf("default-src 'none'; style-src %s; script-src %s; base-uri 'none'; form-action 'none'", hashOf(pageCSS), hashOf(pageJS))

func hashOf(s string) string {
	sum := sha256.Sum256([]byte(s))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// pageData is what the template sets.
type pageData struct {
	sheet
	Policy string
	CSS    template.CSS
	JS     template.JS
	Sums   *sums
	Asks   bool // a weight may be asked
}

// html is a sheet as a page. Without sums it asks no weight.
func (s sheet) html(sums *sums) ([]byte, error) {
	d := pageData{sheet: s, Policy: policy, CSS: template.CSS(pageCSS), JS: template.JS(pageJS), Sums: sums, Asks: sums != nil && sums.Least <= sums.Most}
	var b bytes.Buffer
	if err := page.Execute(&b, d); err != nil {
		return nil, fmt.Errorf("bot/card: set a page: %w", err)
	}
	return b.Bytes(), nil
}

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
