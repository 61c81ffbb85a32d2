package card

import (
	"bytes"
	"fmt"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"
)

// Paper is a size of paper.
type Paper string

// The sizes (ISO 216, ANSI/ASME Y14.1).
const (
	A4     Paper = "A4"
	Letter Paper = "Letter"
)

// onPaper are the sizes in points, with 14 mm of margin, which every printer
// reaches (common practice, no source); the rest is our own choice.
var onPaper = map[Paper]style{
	A4:     {width: 595.28, height: 841.89, fit: 841.89, margin: 40, gap: 12, size: 9.6, columns: true, least: 0.72, qr: 88},
	Letter: {width: 612, height: 792, fit: 792, margin: 40, gap: 12, size: 9.6, columns: true, least: 0.72, qr: 88},
}

// paperPen draws on paper.
type paperPen struct {
	f      *fpdf.Fpdf
	images int
}

// greys are the tones on paper (our own choice).
var greys = map[tone]int{ink: 0, soft: 80, faint: 190, accent: 0}

func (p *paperPen) text(x, y, size float64, w weight, t tone, s string) {
	kind := ""
	if w == bold {
		kind = "B"
	}
	p.f.SetFont("sans", kind, size)
	p.f.SetTextColor(greys[t], greys[t], greys[t])
	p.f.Text(x, y, s)
}

func (p *paperPen) box(x, y, w, h float64, t tone) {
	p.f.SetFillColor(greys[t], greys[t], greys[t])
	p.f.Rect(x, y, w, h, "F")
}

func (p *paperPen) image(png []byte, x, y, w, h float64) {
	p.images++
	name, o := strconv.Itoa(p.images), fpdf.ImageOptions{ImageType: "PNG"}
	p.f.RegisterImageOptionsReader(name, o, bytes.NewReader(png))
	p.f.ImageOptions(name, x, y, w, h, false, o, 0, "")
}

func (p *paperPen) page() { p.f.AddPage() }

// pdf sets a sheet on paper, as made at a time.
func (s sheet) pdf(on Paper, at time.Time) ([]byte, error) {
	s = s.drawable()
	st := onPaper[on].fitted(s)
	f := fpdf.NewCustom(&fpdf.InitType{UnitStr: "pt", Size: fpdf.SizeType{Wd: st.width, Ht: st.height}})
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	f.SetTitle(s.Title, true)
	f.SetLang("en")
	f.SetCreationDate(at)
	f.SetModificationDate(at)
	f.SetCatalogSort(true)
	for i, kind := range []string{"", "B"} {
		f.AddUTF8FontFromBytes("sans", kind, typefaces()[i].ttf)
	}
	f.AddPage()
	l := newLayout(&paperPen{f: f}, st)
	l.sheet(s)
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		return nil, fmt.Errorf("bot/card: set on paper: %w", err)
	}
	return b.Bytes(), nil
}
