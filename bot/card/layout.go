package card

import "math"

// tone is what a thing is drawn in; on paper all are greys, which print in black
// and white.
type tone int

const (
	ink    tone = iota
	soft        // remarks
	faint       // hairlines
	accent      // headings
)

// pen draws a sheet, from the top left. Sizes are points on paper, pixels in a
// picture.
type pen interface {
	text(x, y, size float64, w weight, t tone, s string) // y is the foot of the letters
	box(x, y, w, h float64, t tone)
	image(png []byte, x, y, w, h float64)
	page() // begins another
}

// style is how a sheet is set.
type style struct {
	width, height float64 // height 0: as high as it takes
	margin, gap   float64
	size          float64 // of the letters
	columns       bool    // half blocks stand side by side
	fit           float64 // the height that one page or picture is to have at most
	least         float64 // the least scale to which letters are set smaller for it
	qr            float64 // how large a QR code is
	pixels        bool    // lines lie between pixels, so that a QR code is sharp
}

// How a sheet looks is our own choice: the sizes, gaps and scales below are.

// leading is the distance of lines for letters 1 high.
const leading = 1.3

// layout sets a sheet. Without a pen it measures.
type layout struct {
	style
	p           pen
	x, w, y     float64 // the column
	top, bottom float64 // of a page; bottom is infinite where there are no pages
}

func newLayout(p pen, st style) layout {
	l := layout{style: st, p: p, x: st.margin, w: st.width - 2*st.margin, y: st.margin, top: st.margin, bottom: math.Inf(1)}
	if st.height > 0 {
		l.bottom = st.height - st.margin
	}
	return l
}

// fitted is the style in which a sheet fits, or the smallest there is.
func (st style) fitted(s sheet) style {
	base := st
	for scale := 1.0; ; scale -= 0.03 {
		st.size, st.gap, st.qr = base.size*scale, base.gap*scale, base.qr*max(scale, 0.9)
		if scale <= st.least || st.high(s) <= st.fit {
			return st
		}
	}
}

// high is how high a sheet is in all.
func (st style) high(s sheet) float64 {
	st.height = 0
	l := newLayout(nil, st)
	l.sheet(s)
	return l.y + st.margin
}

// sheet sets all of it.
func (l *layout) sheet(s sheet) {
	l.header(s)
	for i := 0; i < len(s.Blocks); i++ {
		n := i
		for l.columns && n < len(s.Blocks) && s.Blocks[n].half {
			n++
		}
		if n > i+1 {
			l.beside(s.Blocks[i:n])
			i = n - 1
			continue
		}
		l.blockHere(s.Blocks[i])
	}
	l.y += l.gap / 2
	l.words(s.Foot, l.size*0.85, plain, soft)
}

// header sets the title and what stands under it, with the QR code beside them.
func (l *layout) header(s sheet) {
	wide, top := l.w, l.y
	if s.Link != "" {
		l.w -= l.qr + l.gap
	}
	l.words(s.Title, l.size*2.1, bold, ink)
	for _, line := range s.Amiss {
		l.words(line, l.size*1.1, bold, ink)
	}
	for i, line := range s.Under {
		if i == 0 {
			l.words(line, l.size*1.1, bold, accent)
			continue
		}
		l.words(line, l.size, plain, soft)
	}
	if s.Link != "" {
		l.code(s.Link, l.x+wide-l.qr, top)
		l.words(s.Linked, l.size*0.85, plain, soft)
		l.y = max(l.y, top+l.qr)
	}
	l.w = wide
	l.y += l.gap / 2
	l.rule(ink, l.size*0.14)
}

// beside sets blocks in two columns, in their order, as evenly as they come.
// Where that is too high for a page they stand under one another.
func (l *layout) beside(all []block) {
	wide := (l.w - l.gap*1.6) / 2
	heights := make([]float64, len(all))
	for i := range all {
		heights[i] = l.blockHigh(all[i], wide)
	}
	best, left, least := 0, 0.0, math.Inf(1)
	for k := 1; k < len(all); k++ {
		left += heights[k-1]
		right := 0.0
		for _, h := range heights[k:] {
			right += h
		}
		if h := max(left, right); h < least {
			best, least = k, h
		}
	}
	if least > l.bottom-l.top {
		for i := range all {
			l.blockHere(all[i])
		}
		return
	}
	l.room(least)
	x, w, y := l.x, l.w, l.y
	l.w = wide
	for i := range best {
		l.block(all[i])
	}
	low := l.y
	l.x, l.y = x+w-wide, y
	for i := best; i < len(all); i++ {
		l.block(all[i])
	}
	l.x, l.w, l.y = x, w, max(l.y, low)
}

// blockHere sets a block on this page, or on the next where it fits only there.
func (l *layout) blockHere(b block) {
	if h := l.blockHigh(b, l.w); h <= l.bottom-l.top {
		l.room(h)
	}
	l.block(b)
}

func (l *layout) blockHigh(b block, wide float64) float64 {
	m := layout{style: l.style, w: wide, bottom: math.Inf(1)}
	m.block(b)
	return m.y
}

// room begins another page where so much does not fit this one.
func (l *layout) room(h float64) {
	if l.y+h > l.bottom && l.y > l.top {
		if l.p != nil {
			l.p.page()
		}
		l.y = l.top
	}
}

func (l *layout) block(b block) {
	l.y += l.gap
	l.words(b.Head, l.size*1.15, bold, accent)
	l.y += l.size * 0.15
	l.words(b.Lead, l.size, bold, ink)
	for _, p := range b.Paras {
		l.words(p, l.size, plain, ink)
		l.y += l.size * 0.25
	}
	if b.Table != nil && len(b.Table.Rows) > 0 {
		l.table(b.Table)
	}
	if b.chart != nil {
		h := l.w * b.chart.high
		l.room(h)
		if l.p != nil {
			l.p.image(b.chart.png, l.x, l.y, l.w, h)
		}
		l.y += h
	}
	for _, p := range b.Notes {
		l.y += l.size * 0.15
		l.words(p, l.size*0.88, plain, soft)
	}
}

// words sets a paragraph.
func (l *layout) words(s string, size float64, w weight, t tone) {
	for _, line := range wrapped(size, w, s, l.w) {
		l.room(size * leading)
		l.y += size * leading
		l.write(l.x, l.y-size*(leading-1), size, w, t, line)
	}
}

func (l *layout) write(x, y, size float64, w weight, t tone, s string) {
	if l.p != nil && s != "" {
		l.p.text(x, y, size, w, t, s)
	}
}

// rule draws a line across the column, and leaves room for it.
func (l *layout) rule(t tone, thick float64) {
	if l.p != nil {
		l.p.box(l.x, l.y, l.w, thick, t)
	}
	l.y += thick
}

// table sets a Table: figures to the right, as wide as they are; words take the
// rest.
func (l *layout) table(t *table) {
	size := l.size
	cols := t.widths(size)
	for sum(cols[1:]) > l.w*0.66 && !t.words && size > l.size*0.7 { // words need a third of it
		size *= 0.95
		cols = t.widths(size)
	}
	if t.words {
		cols[0] = min(cols[0], l.w*0.42)
		cols[1] = l.w - cols[0]
	} else {
		cols[0] = l.w - sum(cols[1:])
	}
	for i, row := range t.Heads {
		tone, w := soft, plain
		if i == 0 {
			tone, w = ink, bold
		}
		l.row(t, row, cols, size*0.92, w, tone)
	}
	if len(t.Heads) > 0 {
		l.y += size * 0.2
		l.rule(soft, size*0.07)
	}
	for i, row := range t.Rows {
		w, over := plain, faint
		if t.Sums(i) {
			w = bold
			if i == len(t.Rows)-t.sums {
				over = soft
			}
		}
		if i > 0 {
			l.rule(over, size*0.06)
		}
		l.row(t, row, cols, size, w, ink)
		if t.lines {
			l.y += size * 0.5
		}
	}
	if t.lines {
		l.rule(faint, size*0.06)
	}
}

// columnGap is the room between columns, for letters 1 high.
const columnGap = 0.9

// widths are how wide columns are, with the gap before each.
func (t *table) widths(size float64) []float64 {
	var cols []float64
	for n, rows := range [][][]string{t.Heads, t.Rows} {
		for i, row := range rows {
			w := bold
			if n == 1 && i < len(rows)-t.sums || n == 0 && i > 0 {
				w = plain
			}
			for c, cell := range row {
				if c == len(cols) {
					cols = append(cols, 0)
				}
				gap := columnGap
				if c == t.split && c > 0 {
					gap *= 2
				}
				cols[c] = max(cols[c], width(size, w, cell)+size*gap)
			}
		}
	}
	return cols
}

func sum(all []float64) (s float64) {
	for _, x := range all {
		s += x
	}
	return s
}

// row sets one row of a table; its words may take several lines.
func (l *layout) row(t *table, row []string, cols []float64, size float64, w weight, tone tone) {
	lines := make([][]string, len(row))
	most := 1
	for c, cell := range row {
		lines[c] = []string{cell}
		if c == 0 || t.words {
			lines[c] = wrapped(size, w, lines[c][0], cols[c]-size*0.3)
		}
		most = max(most, len(lines[c]))
	}
	high := size*leading*float64(most) + size*0.16
	l.room(high)
	x := l.x
	for c := range row {
		for i, line := range lines[c] {
			at := x
			if c > 0 && !t.words {
				at = x + cols[c] - width(size, w, line)
			}
			l.write(at, l.y+size*(leading*float64(i+1)-0.22), size, w, tone, line)
		}
		x += cols[c]
	}
	l.y += high
}

// code draws a QR code with its quiet zone.
func (l *layout) code(link string, x, y float64) {
	m := modules(link)
	if l.p == nil || len(m) == 0 {
		return
	}
	one := l.qr / float64(len(m))
	if l.pixels {
		one = math.Floor(one)
		x, y = math.Floor(x+l.qr-one*float64(len(m))), math.Floor(y)
	}
	for i, row := range m {
		for from, to := range darkRuns(row) { // a run at once, so that no seams show
			l.p.box(x+float64(from)*one, y+float64(i)*one, float64(to-from)*one, one, ink)
		}
	}
}
