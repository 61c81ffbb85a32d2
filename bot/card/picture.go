package card

import (
	"image"
	"image/color"
	"image/draw"
	"math"

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
