package say

import (
	"math"
	"strconv"
	"strings"
	"unicode"

	"github.com/jedib0t/go-pretty/v6/text"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Mass prints an amount of food as a kitchen scale shows it: 1 g below 50 g
// and 5 g from there, kilograms from 10 kg; in ounces to 0.1, pounds from
// 10 lb. Under one gram it prints a tenth of a gram, so that a small amount
// never reads as none.
func Mass(g nutrition.Grams, u planner.Units) string {
	if u.Ounces {
		if oz := g.Ounces(); oz < 160 {
			if oz < 0.1 && oz > 0 {
				return Trim(oz, 2) + " oz"
			}
			return Trim(oz, 1) + " oz"
		}
		return Trim(float64(g/nutrition.GramsPerPound), 1) + " lb"
	}
	switch x := float64(g); {
	case x >= 9997.5:
		return Trim(x/1000, 1) + " kg"
	case x >= 49.5:
		return Trim(math.Round(x/5)*5, 0) + " g"
	case x >= 0.95 || x == 0:
		return Trim(x, 0) + " g"
	default:
		return Trim(x, 1) + " g"
	}
}

// ExactMass prints an amount as a recipe states it: what was typed, to a
// tenth of a gram or a hundredth of an ounce, without the kitchen's rounding.
func ExactMass(g nutrition.Grams, u planner.Units) string {
	if u.Ounces && g.Ounces() >= 0.1 {
		return Trim(g.Ounces(), 2) + " oz"
	}
	if g < 1 {
		return Trim(float64(g), 2) + " g"
	}
	return Trim(float64(g), 1) + " g"
}

// EnoughMass prints an amount that must not fall short as a kitchen scale
// shows it: rounded up, in the steps of mass. What a step up would make more
// than a tenth more is printed to a tenth of a gram, rounded up.
func EnoughMass(g nutrition.Grams, u planner.Units) string {
	up := func(step nutrition.Grams) nutrition.Grams {
		return nutrition.Grams(math.Ceil(float64(g/step)-1e-9)) * step
	}
	if u.Ounces {
		if oz := up(nutrition.GramsPerOunce / 10); oz <= g*11/10 {
			return ExactMass(oz, u)
		}
		return ExactMass(up(nutrition.GramsPerOunce/100), u)
	}
	step := nutrition.Grams(1)
	if up(1) >= 50 {
		step = 5
	}
	if whole := up(step); whole <= g*11/10 {
		return ExactMass(whole, u)
	}
	if g < 1 {
		return ExactMass(up(0.01), u)
	}
	return ExactMass(up(0.1), u)
}

// Kcal prints an energy: to 1 kcal below 100, to 5 above. An estimate is
// never better than that.
func Kcal(k nutrition.Kcal) string {
	if x := float64(k); x >= 100 {
		return Trim(math.Round(x/5)*5, 0)
	}
	return Trim(float64(k), 0)
}

// KcalRange prints an energy with its range where it has one, "at least"
// where something in it is not known.
func KcalRange(v nutrition.Value) string {
	mid := Kcal(nutrition.Kcal(v.Mid))
	switch {
	case v.IsUnknown():
		return Msg("value.unknown")
	case !v.Complete:
		return Msg("value.atleast", "value", Kcal(nutrition.Kcal(v.Low))+" kcal")
	case Kcal(nutrition.Kcal(v.Low)) == Kcal(nutrition.Kcal(v.High)):
		return mid + " kcal"
	}
	return mid + " kcal (" + Kcal(nutrition.Kcal(v.Low)) + "-" + Kcal(nutrition.Kcal(v.High)) + ")"
}

// Percent prints a fraction as a whole percentage, one decimal below 1 %.
func Percent(f float64) string {
	if f > 0 && f < 0.00995 {
		return Trim(f*100, 1) + " %"
	}
	return Trim(f*100, 0) + " %"
}

// Trim prints x with at most so many decimals and no trailing zeros.
func Trim(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// TableRow is one line of a chat table: a label and its figures.
type TableRow struct {
	Label string
	Cells []string
}

// tableText sets rows in columns at most TableWidth wide: labels to the left
// and wrapped on a line of their own where they are too long, figures to the
// right. A row without cells is a heading.
func tableText(rows []TableRow) string {
	var widths []int
	for _, r := range rows {
		for i, c := range r.Cells {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], columns(c))
		}
	}
	figures := 0
	for _, w := range widths {
		figures += w + 1
	}
	room := max(TableWidth-figures, 8)
	longest := 0
	for _, r := range rows {
		longest = max(longest, columns(r.Label))
	}
	room = min(room, longest)
	var b strings.Builder
	for _, r := range rows {
		writeRow(&b, r, widths, room)
	}
	return strings.TrimRight(b.String(), "\n")
}

func writeRow(b *strings.Builder, r TableRow, widths []int, room int) {
	if len(r.Cells) == 0 {
		for _, l := range wrapWords(r.Label, TableWidth) {
			b.WriteString(l + "\n")
		}
		return
	}
	lines := wrapWords(r.Label, room)
	for _, l := range lines[:len(lines)-1] {
		b.WriteString(l + "\n")
	}
	last := lines[len(lines)-1]
	if len(lines) > 1 {
		last = " " + last
	}
	b.WriteString(last + strings.Repeat(" ", max(room-columns(last), 0)))
	for i, c := range r.Cells {
		b.WriteString(" " + strings.Repeat(" ", max(widths[i]-columns(c), 0)) + c)
	}
	b.WriteByte('\n')
}

// columns is how many columns a text takes. That of printable ASCII, which
// most texts are, needs no look at how characters join.
func columns(s string) int {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return text.StringWidth(s)
		}
	}
	return len(s)
}

// wrapWords breaks s at spaces into lines at most width columns wide, one
// column less after the first, whose followers are indented; a longer word
// is cut. It returns at least one line.
func wrapWords(s string, width int) []string {
	var lines []string
	line, used, limit := "", 0, width
	for _, w := range strings.Fields(s) {
		for columns(w) > width-min(len(lines)+used, 1) && width > 1 {
			if line != "" {
				lines = append(lines, line)
				line, used, limit = "", 0, width-1
				continue
			}
			head := text.Trim(w, width-1)
			if head == "" { // nothing of it can be cut off: it stays whole
				break
			}
			lines = append(lines, head)
			limit = width - 1
			w = w[len(head):]
		}
		n := columns(w)
		if used > 0 && used+1+n > limit {
			lines = append(lines, line)
			line, used, limit = "", 0, width-1
		}
		if used > 0 {
			line, used = line+" ", used+1
		}
		line, used = line+w, used+n
	}
	return append(lines, line)
}

// List joins items as running text: "a, b and c".
func List(items []string) string {
	switch len(items) {
	case 0:
		return ""
	case 1:
		return items[0]
	}
	return Msg("list.and", "first", strings.Join(items[:len(items)-1], ", "), "last", items[len(items)-1])
}

// ListOf lists what things are called.
func ListOf[T any](things []T, name func(T) string) string { return List(Each(things, name)) }

// LinesOf puts a line for each thing below one another, leaving out empty ones.
func LinesOf[T any](things []T, line func(T) string) string { return JoinParas(Each(things, line)...) }

// Each is what is said, shown or offered of each of some things.
func Each[T, U any](things []T, of func(T) U) []U {
	all := make([]U, len(things))
	for i, x := range things {
		all[i] = of(x)
	}
	return all
}

// PictureText stands for a picture on a screen that shows none: where it was
// saved, or what it shows.
func PictureText(p Picture, path string) string {
	if path == "" {
		return Msg("picture.alt", "alt", p.Alt)
	}
	return Msg("picture.saved", "path", path)
}

// DocumentText stands for a document on a screen that takes no files: where it
// was saved, or its name and what it is.
func DocumentText(d Document, path string) string {
	if path == "" {
		return Msg("file.alt", "name", d.Name, "alt", d.Alt)
	}
	return Msg("file.saved", "path", path)
}

// Printable takes out of a text what would steer a screen rather than show
// on it: control characters and those that turn the direction of text, in a
// name that somebody typed. Line breaks stay.
func Printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' {
			return r
		}
		if unicode.IsControl(r) || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD"))
}
