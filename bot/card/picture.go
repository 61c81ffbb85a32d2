package card

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"bowlwright/bot/say"
)

// inPicture is the style of a picture for a phone: letters are 10 points high
// where it is shown 375 points wide. Telegram keeps pictures up to 2560 pixels
// high as they are (from memory).
var inPicture = style{width: say.ChartWidth, fit: 2560, margin: 40, gap: 28, size: 27, least: 0.8, qr: 250}

// picturePen draws a picture.
type picturePen struct{ say.ChartPen }

// colours are the tones of a picture: ink on light ground, and a blue that is
// told from it with any colour vision (Okabe and Ito's palette, darkened).
var colours = map[tone]color.Color{
	ink: say.ChartInk, soft: color.NRGBA{95, 95, 92, 255}, faint: say.ChartFaint, accent: color.NRGBA{0, 84, 132, 255},
}

func (p picturePen) text(x, y, size float64, w weight, t tone, s string) {
	face := font.Face{Font: font.Font{Typeface: "Liberation", Variant: "Sans", Size: vg.Length(size)}, Face: typefaces()[w].font}
	p.C.SetColor(colours[t])
	p.C.FillString(face, vg.Point{X: vg.Length(x), Y: vg.Length(p.H - y)}, s)
}

func (p picturePen) box(x, y, w, h float64, t tone) { p.Box(x, y, w, h, colours[t]) }

func (p picturePen) image([]byte, float64, float64, float64, float64) {} // no card has one

func (p picturePen) page() {}

// png draws a sheet as a picture.
func (s sheet) png() ([]byte, error) {
	s = s.drawable()
	st := inPicture.fitted(s)
	high := math.Ceil(st.high(s))
	return say.PNG(high, func(c vg.Canvas) {
		l := newLayout(picturePen{say.NewPen(c, high)}, st)
		l.sheet(s)
	})
}
