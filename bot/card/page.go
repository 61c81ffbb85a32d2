package card

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"strconv"
	"strings"
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
	QR     string // the dark modules as a path
	QRSide int
	CSS    template.CSS
	JS     template.JS
	Sums   *sums
	Asks   bool // a weight may be asked
}

// html is a sheet as a page. Without sums it asks no weight.
func (s sheet) html(sums *sums) ([]byte, error) {
	d := pageData{sheet: s, Policy: policy, CSS: template.CSS(pageCSS), JS: template.JS(pageJS), Sums: sums, Asks: sums != nil && sums.Least <= sums.Most}
	if m := modules(s.Link); len(m) > 0 {
		d.QR, d.QRSide = qrPath(m), len(m)
	}
	var b bytes.Buffer
	if err := page.Execute(&b, d); err != nil {
		return nil, fmt.Errorf("bot/card: set a page: %w", err)
	}
	return b.Bytes(), nil
}

// qrPath draws the dark modules, each run of a row as one bar.
func qrPath(m [][]bool) string {
	var b strings.Builder
	for y, row := range m {
		for from, to := range darkRuns(row) {
			b.WriteString("M" + strconv.Itoa(from) + " " + strconv.Itoa(y) + "h" + strconv.Itoa(to-from) + "v1H" + strconv.Itoa(from) + "z")
		}
	}
	return b.String()
}
