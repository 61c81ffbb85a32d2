package card

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"

	"bowlwright/bot/say"
)

// inPicture is the style of a picture for a phone: letters are 10 points high
// where it is shown 375 points wide, as many phones are (from memory). Telegram
// keeps pictures up to 2560 pixels high as they are (from memory). The rest and the
// colours are our own choice.
var inPicture = style{width: say.ChartWidth, fit: 2560, margin: 40, gap: 28, size: 27, least: 0.8, qr: 250, pixels: true}

// picturePen draws a picture: shapes on the canvas, letters on the image under it.
type picturePen struct {
	say.ChartPen
	on draw.Image
}

// colours are the tones of a picture: ink on light ground, and a blue that is
// told from it with any colour vision (Okabe and Ito's palette, darkened).
var colours = map[tone]color.Color{
	ink: say.ChartInk, soft: color.NRGBA{95, 95, 92, 255}, faint: say.ChartFaint, accent: color.NRGBA{0, 84, 132, 255},
}

func (p picturePen) text(x, y, size float64, w weight, t tone, s string) {
	face, err := opentype.NewFace(typefaces()[w].font, &opentype.FaceOptions{Size: size, DPI: 72})
	if err != nil {
		panic("bot/card: the compiled-in font: " + err.Error())
	}
	d := font.Drawer{Dst: p.on, Src: image.NewUniform(colours[t]), Face: face, Dot: fixed.Point26_6{X: fixed.Int26_6(64 * x), Y: fixed.Int26_6(64 * y)}}
	d.DrawString(s)
}

func (p picturePen) box(x, y, w, h float64, t tone) { p.Box(x, y, w, h, colours[t]) }

func (p picturePen) image([]byte, float64, float64, float64, float64) {} // no card has one

func (p picturePen) page() {}

// png draws a sheet as a picture.
func (s sheet) png() ([]byte, error) {
	s = s.drawable()
	st := inPicture.fitted(s)
	high := math.Ceil(st.high(s))
	c := vgimg.NewWith(vgimg.UseWH(say.ChartWidth, vg.Length(high)), vgimg.UseDPI(72), vgimg.UseBackgroundColor(say.ChartGround))
	l := newLayout(picturePen{say.ChartPen{C: c, H: high}, c.Image()}, st)
	l.sheet(s)
	return say.EncodePNG(c.Image())
}

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
