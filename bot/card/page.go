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
	Title, Foot, Policy string
	Amiss, Under        []string
	Blocks              []pageBlock
	Link, Linked        string
	QR                  string // the dark modules as a path
	QRSide              int
	CSS                 template.CSS
	JS                  template.JS
	Sums                *sums
}

// pageBlock is a block as the template sees it.
type pageBlock struct {
	Head, Lead   string
	Paras, Notes []string
	Heads        [][]string
	Rows         []pageRow
	Calculator   bool
}

type pageRow struct {
	Label string
	Cells []string
	Sum   bool
}

// html is a sheet as a page. Without sums it asks no weight.
func (s sheet) html(sums *sums) ([]byte, error) {
	d := pageData{Title: s.title, Amiss: s.amiss, Foot: s.foot, Policy: policy, Under: s.under, Link: s.link, Linked: s.linked,
		CSS: template.CSS(pageCSS), JS: template.JS(pageJS), Sums: sums}
	if m := modules(s.link); len(m) > 0 {
		d.QR, d.QRSide = qrPath(m), len(m)
	}
	for _, b := range s.blocks {
		p := pageBlock{Head: b.head, Lead: b.lead, Paras: b.paras, Notes: b.notes, Calculator: b.calculator && sums != nil && sums.Least <= sums.Most}
		if b.table != nil {
			p.Heads = b.table.heads
			for i, row := range b.table.rows {
				p.Rows = append(p.Rows, pageRow{row[0], row[1:], i >= len(b.table.rows)-b.table.sums})
			}
		}
		d.Blocks = append(d.Blocks, p)
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
