package say

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"
	"sync"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/vgimg"
)

// ChartRow is a nutrient of the picture. Amounts and limits are in one unit;
// Min and Max are NaN where there is none.
type ChartRow struct {
	Name           string
	Verdict        string // as said, in a word or two
	Low, Mid, High float64
	Complete       bool // false: at least Low
	Min, Max       float64
}

// The picture is laid out in points at 72 to the inch, so that a point is a
// pixel: wide enough for a phone in portrait at double density.
const (
	ChartWidth  = 1000
	chartRowH   = 44
	chartHead   = 130
	chartFoot   = 84
	chartLeft   = 320 // where the bars begin
	chartAtMin  = 560 // where every minimum stands
	chartAtMax  = 800 // where every maximum stands
	chartRight  = 850 // beyond it a bar is cut, with an arrow
	chartFont   = 24
	ChartMargin = 24
)

// The picture has a ground of its own, so that it reads the same in a light
// and a dark chat; the verdict is written and shaped as well as coloured.
// Colours of Okabe and Ito's palette, told apart with any colour vision.
var (
	ChartGround = color.NRGBA{250, 250, 247, 255}
	ChartInk    = color.NRGBA{25, 25, 25, 255}
	ChartFaint  = color.NRGBA{205, 205, 200, 255}
	chartColour = map[string]color.Color{
		"low":       color.NRGBA{213, 94, 0, 255},
		"enough":    color.NRGBA{0, 114, 178, 255},
		"high":      color.NRGBA{204, 121, 167, 255},
		"not known": color.NRGBA{120, 120, 120, 255},
	}
)

// chartX places an amount on a row: the minimum of every nutrient stands at
// chartAtMin and its maximum at chartAtMax, in proportion between. Without a
// maximum the scale goes on to four times the minimum, without a minimum it
// runs from 0 to the maximum. cut says that the amount lies beyond the bar.
func chartX(r ChartRow, amount float64) (x float64, cut bool) {
	switch hasMin, hasMax := !math.IsNaN(r.Min) && r.Min > 0, !math.IsNaN(r.Max); {
	case hasMin && amount <= r.Min:
		x = chartLeft + (chartAtMin-chartLeft)*amount/r.Min
	case hasMin && hasMax:
		x = chartAtMin + (chartAtMax-chartAtMin)*(amount-r.Min)/(r.Max-r.Min)
	case hasMin:
		x = chartAtMin + (chartAtMax-chartAtMin)*(amount-r.Min)/(3*r.Min)
	case hasMax && r.Max > 0:
		x = chartLeft + (chartAtMax-chartLeft)*amount/r.Max
	default:
		x = chartLeft
	}
	if x > chartRight {
		return chartRight, true
	}
	return max(x, chartLeft), false
}

// chartHeight is the height of the picture of so many rows.
func chartHeight(rows int) float64 { return float64(chartHead + rows*chartRowH + chartFoot) }

// drawChart draws the picture of an analysis on a canvas of ChartWidth by
// chartHeight(len(rows)) points.
func drawChart(c vg.Canvas, title, basis string, rows []ChartRow) {
	h := chartHeight(len(rows))
	d := NewPen(c, h)
	d.Text(ChartMargin, 44, 34, ChartInk, title)
	d.Text(ChartMargin, 80, chartFont, ChartInk, basis)
	bottom := h - chartFoot
	d.Line(chartAtMin, chartHead-14, chartAtMin, bottom, 2, ChartInk)
	d.textMid(chartAtMin, chartHead-22, 22, ChartInk, Msg("chart.min"))
	d.textMid(chartAtMax, chartHead-22, 22, ChartInk, Msg("chart.max"))
	for i, r := range rows {
		d.row(float64(chartHead+i*chartRowH), r)
	}
	d.Text(ChartMargin, bottom+36, 20, ChartInk, Msg("chart.legend"))
	d.Text(ChartMargin, bottom+64, 20, ChartInk, Msg("chart.legend-2"))
}

// ChartPen draws with the origin at the top left.
type ChartPen struct {
	C     vg.Canvas
	H     float64
	Faces text.Plain
}

// faces are read once, since all pictures are lettered in them.
var faces = sync.OnceValue(func() text.Plain { return text.Plain{Fonts: font.NewCache(liberation.Collection())} })

// NewPen is a pen for a picture of a height, on its ground.
func NewPen(c vg.Canvas, height float64) ChartPen {
	d := ChartPen{c, height, faces()}
	d.Box(0, 0, ChartWidth, height, ChartGround)
	return d
}

// row draws one nutrient with its top at y.
func (d ChartPen) row(y float64, r ChartRow) {
	mid := y + chartRowH/2
	shape := chartShape(r.Verdict)
	colour, ok := chartColour[shape]
	if !ok {
		colour = ChartInk
	}
	d.Text(ChartMargin, mid+8, chartFont, ChartInk, r.Name)
	d.Line(chartLeft, mid, chartRight, mid, 1, ChartFaint)
	if !math.IsNaN(r.Max) {
		d.Line(chartAtMax, y+5, chartAtMax, y+chartRowH-5, 4, ChartInk)
	}
	low, lowCut := chartX(r, r.Low)
	high, highCut := chartX(r, r.High)
	at, _ := chartX(r, r.Mid)
	d.Box(chartLeft, mid-5, max(low-chartLeft, 2), 10, colour)
	switch {
	case !r.Complete: // at least: the bar goes on open, as dashes
		d.Stroke(low, mid, chartRight, mid, 3, colour, []vg.Length{8, 8})
	case high-low >= 6: // a narrower range is hidden by its mark
		d.frame(low, mid-11, high-low, 22, colour)
	}
	if lowCut || highCut && r.Complete {
		d.arrow(chartRight, mid, colour)
	}
	d.mark(at, mid, shape, colour)
	size := 22.
	if len(r.Verdict) > len("not known") {
		size = 18
	}
	d.Text(chartRight+18, mid+8, size, colour, r.Verdict)
}

// chartShape is the plain verdict by which a verdict is shaped and coloured.
func chartShape(verdict string) string {
	switch verdict = strings.TrimPrefix(verdict, "likely "); verdict {
	case "low", "high", "not known":
		return verdict
	}
	return "enough"
}

// mark draws the verdict's shape: a triangle pointing up for low (more is
// wanted), down for high, a disc for enough, a ring for not known.
func (d ChartPen) mark(x, y float64, verdict string, colour color.Color) {
	const r = 10
	var p vg.Path
	switch verdict {
	case "low":
		p = d.Path(x-r, y+r, x+r, y+r, x, y-r)
	case "high":
		p = d.Path(x-r, y-r, x+r, y-r, x, y+r)
	default:
		p = d.Disc(x, y, r)
	}
	if verdict == "not known" {
		d.C.SetColor(ChartGround)
		d.C.Fill(p)
		d.C.SetColor(colour)
		d.C.SetLineWidth(3)
		d.C.Stroke(p)
		return
	}
	d.C.SetColor(colour)
	d.C.Fill(p)
}

// Path is a closed polygon through points given as x, y, x, y, ...
func (d ChartPen) Path(xy ...float64) vg.Path {
	p := d.open(xy)
	p.Close()
	return p
}

// open is a line through points given so.
func (d ChartPen) open(xy []float64) (p vg.Path) {
	for i := 0; i+1 < len(xy); i += 2 {
		pt := vg.Point{X: vg.Length(xy[i]), Y: vg.Length(d.H - xy[i+1])}
		if i == 0 {
			p.Move(pt)
		} else {
			p.Line(pt)
		}
	}
	return p
}

// Disc is a circle.
func (d ChartPen) Disc(x, y, r float64) (p vg.Path) {
	p.Move(vg.Point{X: vg.Length(x + r), Y: vg.Length(d.H - y)})
	p.Arc(vg.Point{X: vg.Length(x), Y: vg.Length(d.H - y)}, vg.Length(r), 0, 2*math.Pi)
	p.Close()
	return p
}

func (d ChartPen) Box(x, y, w, h float64, colour color.Color) {
	d.C.SetColor(colour)
	d.C.Fill(d.Path(x, y, x+w, y, x+w, y+h, x, y+h))
}

func (d ChartPen) frame(x, y, w, h float64, colour color.Color) {
	d.C.SetColor(colour)
	d.C.SetLineWidth(3)
	d.C.SetLineDash(nil, 0)
	d.C.Stroke(d.Path(x, y, x+w, y, x+w, y+h, x, y+h))
}

func (d ChartPen) arrow(x, y float64, colour color.Color) {
	d.C.SetColor(colour)
	d.C.Fill(d.Path(x-2, y-9, x+12, y, x-2, y+9))
}

func (d ChartPen) Line(x1, y1, x2, y2, w float64, colour color.Color) {
	d.Stroke(x1, y1, x2, y2, w, colour, nil)
}

func (d ChartPen) Stroke(x1, y1, x2, y2, w float64, colour color.Color, dashes []vg.Length) {
	d.Through([]float64{x1, y1, x2, y2}, w, colour, dashes)
}

// Through draws a line through points x, y, x, y and so on.
func (d ChartPen) Through(xy []float64, w float64, colour color.Color, dashes []vg.Length) {
	d.C.SetColor(colour)
	d.C.SetLineWidth(vg.Length(w))
	d.C.SetLineDash(dashes, 0)
	d.C.Stroke(d.open(xy))
	d.C.SetLineDash(nil, 0)
}

func (d ChartPen) Face(size float64) font.Face {
	return d.Faces.Fonts.Lookup(font.Font{Typeface: "Liberation", Variant: "Sans"}, vg.Length(size))
}

func (d ChartPen) Text(x, y, size float64, colour color.Color, s string) {
	d.C.SetColor(colour)
	d.C.FillString(d.Face(size), vg.Point{X: vg.Length(x), Y: vg.Length(d.H - y)}, s)
}

// textMid writes a text centred on x.
func (d ChartPen) textMid(x, y, size float64, colour color.Color, s string) {
	face := d.Face(size)
	w := float64(face.Width(s))
	d.Text(x-w/2, y, size, colour, s)
}

// ChartPNG draws the picture as a PNG of ChartWidth pixels.
func ChartPNG(title, basis string, rows []ChartRow) ([]byte, error) {
	return PNG(chartHeight(len(rows)), func(c vg.Canvas) { drawChart(c, title, basis, rows) })
}

// PNG is a picture of ChartWidth and a height in pixels.
func PNG(height float64, draw func(vg.Canvas)) ([]byte, error) {
	c := vgimg.NewWith(vgimg.UseWH(ChartWidth, vg.Length(height)), vgimg.UseDPI(72))
	draw(c)
	return EncodePNG(c.Image())
}

// EncodePNG writes a picture. A tenth more of the file is a third of the time.
func EncodePNG(drawn image.Image) ([]byte, error) {
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, fewColours(drawn)); err != nil {
		return nil, fmt.Errorf("bot: draw a picture: %w", err)
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
