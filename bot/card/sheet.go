package card

import (
	"slices"
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// sheet is what stands on a card or a sheet, however it is drawn. The template of
// a page reads its fields.
type sheet struct {
	Title  string
	Amiss  []string // under it, what has to be seen first
	Under  []string // and other lines; the first is set off
	Blocks []block
	Foot   string
	Link   string // drawn as a QR code; empty: none
	Linked string // what stands beside it
}

// block is a part of a sheet under a heading.
type block struct {
	Head  string
	Lead  string   // the first line, set off
	Paras []string // before the table
	Table *table
	Notes []string // under it
	chart *chart
	// half says that on paper it may stand beside another.
	half bool
	// Calculator says that on a page the reader's own weight is asked here.
	Calculator bool
}

// table has a first column of words and others of figures.
type table struct {
	Heads [][]string // rows of headings, each as long as a row
	Rows  [][]string
	sums  int // how many of the last rows are sums
	split int // after how many columns there is a gap; 0: none
	// words says that the second column is text, which wraps, rather than
	// figures.
	words bool
	lines bool // each row is ruled off, to write on
}

// Sums reports that a row is a sum.
func (t *table) Sums(row int) bool { return row >= len(t.Rows)-t.sums }

// chart is a picture in a block.
type chart struct {
	png  []byte
	high float64 // its height over its width
}

func (b block) empty() bool {
	return len(b.Paras)+len(b.Notes)+len(b.Lead) == 0 && (b.Table == nil || len(b.Table.Rows) == 0) && b.chart == nil
}

// add puts blocks on a sheet, but those in which nothing stands.
func (s *sheet) add(blocks ...block) {
	for _, b := range blocks {
		if !b.empty() {
			s.Blocks = append(s.Blocks, b)
		}
	}
}

// paras are the lines of a text, without empty ones.
func paras(texts ...string) (out []string) {
	for _, text := range texts {
		for line := range strings.Lines(text) {
			if line = strings.TrimSpace(line); line != "" {
				out = append(out, line)
			}
		}
	}
	return out
}

// drawable is a sheet whose texts can be drawn as they are. It says so where
// something of them cannot.
func (s sheet) drawable() sheet {
	left := lacks(s.Title)
	all := func(texts []string) []string {
		out := make([]string, len(texts))
		for i, text := range texts {
			out[i], left = drawable(text), left || lacks(text)
		}
		return out
	}
	s.Title, s.Foot, s.Linked, s.Amiss, s.Under = drawable(s.Title), drawable(s.Foot), drawable(s.Linked), all(s.Amiss), all(s.Under)
	s.Blocks = slices.Clone(s.Blocks)
	for i := range s.Blocks {
		b := &s.Blocks[i]
		b.Head, b.Lead, b.Paras, b.Notes = drawable(b.Head), drawable(b.Lead), all(b.Paras), all(b.Notes)
		if b.Table == nil {
			continue
		}
		t := *b.Table
		b.Table = &t
		for _, rows := range []*[][]string{&t.Heads, &t.Rows} {
			*rows = slices.Clone(*rows)
			for j, row := range *rows {
				(*rows)[j] = all(row)
			}
		}
	}
	if left {
		s.Foot = msg("card.letters") + " " + s.Foot
	}
	return s
}

// weight is how heavy letters are.
type weight int

const (
	plain weight = iota
	bold
)

// typeface is a font file with the widths of its letters. It has Latin, Greek
// and Cyrillic ones.
type typeface struct {
	ttf   []byte
	font  *opentype.Font
	wides []float64 // by letter, of one 1 high; below 0 where there is none
}

// lastLetter is the last for which a font is asked: those beyond are pictures and
// scripts that no Liberation font has.
const lastLetter = 0xffff

// typefaces are read once, since all sheets are set in them.
var typefaces = sync.OnceValue(func() [2]*typeface {
	return [2]*typeface{newTypeface(liberationsansregular.TTF), newTypeface(liberationsansbold.TTF)}
})

func newTypeface(ttf []byte) *typeface {
	f, err := opentype.Parse(ttf)
	if err != nil {
		panic("bot/card: the compiled-in font: " + err.Error())
	}
	t := &typeface{ttf: ttf, font: f, wides: make([]float64, lastLetter+1)}
	em := fixed.I(int(f.UnitsPerEm()))
	var buf sfnt.Buffer
	for r := range t.wides {
		t.wides[r] = -1
		if i, err := f.GlyphIndex(&buf, rune(r)); err == nil && i != 0 {
			if a, err := f.GlyphAdvance(&buf, i, em, 0); err == nil {
				t.wides[r] = float64(a) / float64(em)
			}
		}
	}
	return t
}

// wide is how wide a letter 1 high is, below 0 where the font has none.
func (f *typeface) wide(r rune) float64 {
	if r < 0 || r > lastLetter {
		return -1
	}
	return f.wides[r]
}

// width is how wide a text is.
func width(size float64, b weight, s string) (sum float64) {
	f := typefaces()[b]
	for _, r := range s {
		sum += max(f.wide(r), 0)
	}
	return sum * size
}

// drawable is a text without what the font cannot show (a small picture in a
// recipe's name, a script that it lacks) and without what steers the direction
// of text.
func drawable(s string) string {
	f := typefaces()[plain]
	return strings.ReplaceAll(strings.Join(strings.Fields(strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		if unicode.Is(unicode.C, r) || f.wide(r) < 0 {
			return -1
		}
		return r
	}, s)), " "), " %", unbroken+"%")
}

// lacks reports that a text has letters that the font cannot show.
func lacks(s string) bool {
	f := typefaces()[plain]
	return strings.ContainsFunc(s, func(r rune) bool { return unicode.IsGraphic(r) && !unicode.IsSpace(r) && f.wide(r) < 0 })
}

// unbroken is a space at which no line ends.
const unbroken = "\u00a0"

// wrapped breaks a text into lines; a word that is wider than a line is cut.
func wrapped(size float64, b weight, s string, most float64) (lines []string) {
	line := ""
	for word := range strings.SplitSeq(s, " ") {
		for width(size, b, word) > most {
			n := 1
			runes := []rune(word)
			for n < len(runes) && width(size, b, string(runes[:n+1])) <= most {
				n++
			}
			if line != "" {
				lines, line = append(lines, line), ""
			}
			lines, word = append(lines, string(runes[:n])), string(runes[n:])
			if n == len(runes) {
				break
			}
		}
		switch with := strings.TrimSpace(line + " " + word); {
		case word == "":
		case line != "" && width(size, b, with) > most:
			lines, line = append(lines, line), word
		default:
			line = with
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
