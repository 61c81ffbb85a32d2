package card

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
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
	var b bytes.Buffer
	if err := png.Encode(&b, fewColours(c.Image())); err != nil {
		return nil, fmt.Errorf("bot/card: draw a picture: %w", err)
	}
	return b.Bytes(), nil
}

// fewColours is a picture with a colour for each that differs in the upper five
// bits of its parts: four tones on one ground are some hundred of them. Such a
// file is a third as large, and made in half the time.
func fewColours(img image.Image) image.Image {
	from, ok := img.(*image.RGBA)
	if !ok {
		return img
	}
	to := image.NewPaletted(from.Rect, nil)
	var known [1 << 15]int16 // 1 + the colour's place
	for i := range to.Pix {
		p := from.Pix[4*i : 4*i+4 : 4*i+4]
		key := int(p[0]>>3)<<10 | int(p[1]>>3)<<5 | int(p[2]>>3)
		if known[key] == 0 {
			if len(to.Palette) == 256 {
				return img
			}
			to.Palette = append(to.Palette, color.RGBA{p[0], p[1], p[2], p[3]})
			known[key] = int16(len(to.Palette))
		}
		to.Pix[i] = uint8(known[key] - 1)
	}
	return to
}
