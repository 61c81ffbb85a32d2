package card

import (
	"slices"
	"strings"
)

// sheet is what stands on a card or a sheet, however it is drawn.
type sheet struct {
	title  string
	amiss  []string // under it, what has to be seen first
	under  []string // and other lines; the first is set off
	blocks []block
	foot   string
	link   string // drawn as a QR code; empty: none
	linked string // what stands beside it
}

// block is a part of a sheet under a heading.
type block struct {
	head  string
	lead  string   // the first line, set off
	paras []string // before the table
	table *table
	notes []string // under it
	chart *chart
	// half says that on paper it may stand beside another.
	half bool
	// calculator says that on a page the reader's own weight is asked here.
	calculator bool
}

// table has a first column of words and others of figures.
type table struct {
	heads [][]string // rows of headings, each as long as a row
	rows  [][]string
	sums  int // how many of the last rows are sums
	split int // after how many columns there is a gap; 0: none
	// words says that the second column is text, which wraps, rather than
	// figures.
	words bool
	lines bool // each row is ruled off, to write on
}

// chart is a picture in a block.
type chart struct {
	png  []byte
	high float64 // its height over its width
}

func (b block) empty() bool {
	return len(b.paras)+len(b.notes)+len(b.lead) == 0 && (b.table == nil || len(b.table.rows) == 0) && b.chart == nil
}

// add puts blocks on a sheet, but those in which nothing stands.
func (s *sheet) add(blocks ...block) {
	for _, b := range blocks {
		if !b.empty() {
			s.blocks = append(s.blocks, b)
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
	left := lacks(s.title)
	all := func(texts []string) []string {
		out := make([]string, len(texts))
		for i, text := range texts {
			out[i], left = drawable(text), left || lacks(text)
		}
		return out
	}
	s.title, s.foot, s.linked, s.amiss, s.under = drawable(s.title), drawable(s.foot), drawable(s.linked), all(s.amiss), all(s.under)
	s.blocks = slices.Clone(s.blocks)
	for i := range s.blocks {
		b := &s.blocks[i]
		b.head, b.lead, b.paras, b.notes = drawable(b.head), drawable(b.lead), all(b.paras), all(b.notes)
		if b.table == nil {
			continue
		}
		t := *b.table
		b.table = &t
		for _, rows := range []*[][]string{&t.heads, &t.rows} {
			*rows = slices.Clone(*rows)
			for j, row := range *rows {
				(*rows)[j] = all(row)
			}
		}
	}
	if left {
		s.foot = msg("card.letters") + " " + s.foot
	}
	return s
}
