package card

import (
	"slices"
	"strings"
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
