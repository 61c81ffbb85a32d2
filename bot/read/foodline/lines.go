// Package foodline reads what is written down of food: the lines of a recipe, doses,
// labels, a laboratory's report, notes. It prints a recipe as lines that it reads
// back.
package foodline

import (
	"cmp"
	"regexp"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Line is one line of a recipe, understood: an ingredient or a dose.
type Line struct {
	Number     int // from 1
	Text       string
	Ingredient *planner.Ingredient
	Dose       *planner.Dose
	Measure    *nutrition.Measure // the household measure whose weight was taken; nil for a weighed amount
	Count      float64            // how many of it
	Ignored    []string           // words that made no difference
}

// Recipe is what a paste of recipe lines gives. Every line that is not blank,
// a comment, a heading or the name is a Line or a Problem, or several.
type Recipe struct {
	Name     string
	Days     float64 // how many days' food it says that it is; 0 where it does not
	Method   string  // how it is made, as typed
	Remark   string  // what is said behind its last line, as typed
	Lines    []Line
	Problems []span.Problem
}

// How much of a paste is read, and how long one ingredient may be.
const (
	maxPasteRunes = 10_000
	maxPasteLines = 200
	maxLineRunes  = span.MaxProblemRunes
)

// RecipeText reads a recipe as people write it, a line for each ingredient;
// several on a line are told apart by commas and "and" where each has its own
// amount.
//
// A first line without an amount that ends in a colon, or one that begins with
// "recipe:" or "#", is the name. Other lines that begin with "#" are comments;
// a line that ends in a colon and names no food is a heading. A name or a
// heading may also stand before the ingredients on their line. A line "for 3
// days" says how many days' food it is. "Method:" begins how it is made, up to the
// next ingredient. What is beyond 10,000 characters or
// 200 lines is one Problem, TooLong, with the number of its first line.
func RecipeText(text string, t *nutrition.Table) Recipe {
	first, cut := span.FirstRunes(text, maxPasteRunes)
	if cut { // the line in which the text is cut is not read either
		first = first[:strings.LastIndexAny(first, "\n\r")+1]
	}
	r := &reader{table: t}
	clean := language.Without("line-said", language.Without("recipe-lead", span.Clean(first)))
	if strings.Count(clean, " / ") > 1 && !strings.Contains(clean, "\n") { // a sign for the end of a line
		clean = strings.ReplaceAll(clean, " / ", "\n")
	}
	lines := strings.Split(clean, "\n")
	dashes := countDashes(lines) > 1
	for i := 0; i < len(lines); i++ {
		if method, end := methodAt(lines, i, t); end > i {
			r.Method, i = strings.TrimSpace(r.Method+"\n"+method), end-1
			continue
		}
		line := trimBullet(lines[i], dashes)
		if first, rest, ok := strings.Cut(line, ":"); ok && strings.EqualFold(strings.TrimSpace(first), "ingredients") {
			line = strings.TrimSpace(rest)
		}
		if line == "" {
			continue
		}
		if i >= maxPasteLines || r.full() {
			r.tooLong(line, i+1)
			return r.Recipe
		}
		if !r.line(line, i+1) {
			return r.Recipe
		}
	}
	if unread := text[len(first):]; strings.TrimSpace(unread) != "" {
		rest := strings.TrimLeft(unread, " \t\r\n")
		skipped := strings.Count(unread[:len(unread)-len(rest)], "\n")
		rest, _, _ = strings.Cut(rest, "\n")
		r.tooLong(rest, len(lines)+skipped)
	}
	return r.Recipe
}

// Planner returns the recipe of the lines, in their order, with no id. It
// merges nothing.
func (r Recipe) Planner() planner.Recipe {
	out := planner.Recipe{Name: r.Name, Days: r.Days}
	for _, l := range r.Lines {
		if l.Dose != nil {
			out.Doses = append(out.Doses, *l.Dose)
		} else if l.Ingredient != nil {
			out.Ingredients = append(out.Ingredients, *l.Ingredient)
		}
	}
	return out
}

// reader is a paste on its way.
type reader struct {
	Recipe
	table *nutrition.Table
}

func (r *reader) tooLong(text string, number int) {
	p := span.NewProblem(span.TooLong, text)
	p.Line = number
	r.Problems = append(r.Problems, p)
}

// full reports that no more lines and problems are taken.
func (r *reader) full() bool { return len(r.Lines)+len(r.Problems) >= maxPasteLines }

// line reads one line that is not blank. It returns false where the rest of
// the paste is not read.
func (r *reader) line(line string, number int) bool {
	first := r.Name == "" && len(r.Lines)+len(r.Problems) == 0
	if name, ok := cutTitle(line, first); ok {
		if first && name != "" {
			r.Name = name
		}
		return true
	}
	rest, led := r.led(line)
	if rest == "" && strings.HasSuffix(line, ":") {
		return true
	}
	line = cmp.Or(rest, line)
	if strings.HasSuffix(line, ":") && r.heading(strings.TrimRight(line, ": "), first) {
		return true
	}
	if days := daysOf("only-days", line); days > 0 && r.Days == 0 {
		r.Days = days
		return true
	}
	line, said := r.remark(line)
	if r.Days == 0 {
		r.Days = daysOf("for-days", led+" "+said)
	}
	r.Remark = strings.TrimSpace(r.Remark + " " + said)
	for _, part := range r.parts(r.untitled(line, first)) {
		if r.full() {
			r.tooLong(part, number)
			return false
		}
		if utf8.RuneCountInString(part) > maxLineRunes {
			r.tooLong(part, number)
			continue
		}
		l, p := parseLine(part, r.table, nil)
		if p != nil {
			p.Line = number
			r.Problems = append(r.Problems, *p)
			continue
		}
		l.Number = number
		r.Lines = append(r.Lines, l)
	}
	return true
}

// led parts what leads to a recipe's foods from them: "Now my recipe. One batch is 2 lb beef".
// It has no food, but may say what the recipe is called.
func (r *reader) led(line string) (foods, said string) {
	l := span.WordsOf(line)
	about, tells, named := false, false, r.Name
	for i := 0; i < len(l.Tokens); i++ {
		w, rest := l.Word(i), line[l.Tokens[i].Start:]
		_, end := l.NumberAt(i)
		name := language.Pattern("lead-named").FindStringSubmatchIndex(rest)
		switch {
		case name != nil && about:
			named, tells = cmp.Or(named, rest[name[2]:name[3]]), true
			for end := len(line) - len(rest) + name[3]; i+1 < len(l.Tokens) && l.Tokens[i+1].Start < end; {
				i++
			}
		case end > 0 && language.In("counted-times", l.Word(end)), end > 0 && language.In("lead-things", l.Word(end)):
			i = end - 1
		case end > 0 && about && tells:
			r.Name = named
			return rest, line[:len(line)-len(rest)]
		case language.In("lead-things", w):
			about = true
		case language.In("lead-tells", w):
			about, tells = about || w == "recipe", true
		case !language.In("lead-words", w) && !language.In("counted-times", w):
			return line, ""
		}
	}
	return span.Choose(about && tells, "", line), line
}

// OnlyLeads reports that a text leads to a recipe's foods and names none.
func OnlyLeads(text string) bool {
	foods, _ := new(reader).led(text)
	return foods == ""
}

// remark parts what is said behind a line's last food from it: "1 tbsp fish oil. Only for
// Moose". It has no amount, but may say how many days' food it is.
func (r *reader) remark(line string) (foods, said string) {
	for at, sign := range line {
		if sign != '.' || !strings.HasPrefix(line[at:], ". ") {
			continue
		}
		head, tail := r.parts(line[:at]), line[at+2:]
		last, more := ReadLine(head[len(head)-1]), ReadLine(tail)
		figures := strings.ContainsAny(tail, "0123456789½¼¾") && daysOf("for-days", tail) == 0
		if len(last.Amounts)+len(head) > 1 && r.table.Find(last.Food()).Known() && !figures && !more.onlyQualifier() && !r.table.Find(tail).Known() {
			return line[:at], tail
		}
	}
	return line, ""
}

// daysOf reads for how many days a text says that it is food, by the patterns of a name: a
// line that is nothing but "for 3 days" or "makes a week", or a remark; 0 where it says none.
func daysOf(name, text string) float64 {
	l := span.Lex(language.Find(name, text))
	n, end := l.NumberAt(0)
	if end == 0 || n.Value <= 0 {
		return 0
	}
	if days := n.Value * float64(span.PeriodOf(l.Word(end))); days <= span.MaxEveryDays {
		return days
	}
	return 0
}

// countDashes counts the lines that begin with a dash right before a number:
// one may be a negative amount, several are a list.
func countDashes(lines []string) int {
	n := 0
	for _, s := range lines {
		if s = strings.TrimSpace(s); len(s) > 1 && s[0] == '-' && s[1] != ' ' {
			n++
		}
	}
	return n
}

// trimBullet takes away what lists put before a line: "-", "*", "•", "[x]",
// "1.", "2)". A number that counts something stays: "2 eggs", "1.5 kg". dashes
// says that a dash right before a number is a bullet too.
func trimBullet(s string, dashes bool) string {
	s = strings.TrimSpace(s)
	for s != "" {
		r, size := utf8.DecodeRuneInString(s)
		rest := s[size:]
		switch {
		case strings.ContainsRune("*•·–—‣▪+>~", r) && !(r == '~' && rest != "" && rest[0] != ' '):
		case r == '-' && (dashes || !span.SignAt(s, 0, nil)):
		case r == '[' && len(s) > 2 && s[2] == ']' && strings.IndexByte(" xXvV", s[1]) >= 0:
			rest = s[3:]
		default:
			return trimNumbering(s)
		}
		s = strings.TrimSpace(rest)
	}
	return s
}

// trimNumbering takes "1." or "2)" from the beginning, where a space follows.
func trimNumbering(s string) string {
	return strings.TrimSpace(strings.TrimPrefix(s, numbering.FindString(s)))
}

var numbering = regexp.MustCompile(`^\d{1,3}[.)] `)

// separators part ingredients on one line. What stands after a hard one is
// another food; after a soft one it may be more about the food before.
var (
	hardSeparators = []string{";", "+", "plus"}
	softSeparators = []string{",", "&", "and"}
)

// With completes a line that lacked nothing but which food it means: NoFood,
// UnknownFood, AmbiguousFood. It reports false where the line lacks something
// else.
func With(p span.Problem, f *nutrition.Food) (Line, bool) {
	if f == nil || p.Code == span.RefusedFood || p.Code == span.TooLong {
		return Line{}, false
	}
	line, still := parseLine(p.Text, nil, f)
	line.Number = p.Line
	return line, still == nil
}

// cutTitle takes the name from a line that is marked as one. A comment is a
// name in the first line only.
func cutTitle(line string, first bool) (string, bool) {
	if strings.HasPrefix(line, "#") {
		return span.JoinFields(strings.TrimLeft(line, "# ")), true
	}
	const mark = "recipe:"
	if first && len(line) > len(mark) && strings.EqualFold(line[:len(mark)], mark) {
		return span.JoinFields(line[len(mark):]), true
	}
	return "", false
}

// heading takes a line that ends in a colon: the recipe's name where it is the
// first, or a heading, which may not be the name of a food that lacks its
// amount.
func (r *reader) heading(words string, first bool) bool {
	if language.In("plain-headings", strings.ToLower(words)) {
		return true
	}
	l := ReadLine(words)
	if len(l.Amounts) > 0 || len(l.facts) > 0 || l.Code != "" {
		return false
	}
	if first {
		r.Name = span.JoinFields(words)
		return r.Name != ""
	}
	return !r.table.Find(words).Known()
}

// untitled is a line without the name or the heading before its colon: "Fish
// day: 500 g salmon, 2 eggs". The name of a food is that only where several
// foods come after it: in "beef heart: 500 g, diced" it is the food itself, and
// before what a label says it is the product.
func (r *reader) untitled(line string, first bool) string {
	before, after, ok := strings.Cut(line, ":")
	before = strings.Trim(before, "#* ")
	if !ok || before == "" {
		return line
	}
	plain := language.In("plain-headings", strings.ToLower(before))
	if l := ReadLine(before); !plain && (!first || r.Name != "" || len(l.Amounts)+len(l.facts) > 0 || l.Code != "") {
		return line
	}
	foods := 0
	for _, part := range splitLine(after, r.table) {
		got, p := parseLine(part, r.table, nil)
		if p == nil && got.Ingredient != nil && len(got.Ingredient.Label) == 0 || p != nil && (p.Code == span.AmbiguousFood || p.Code == span.RefusedFood) {
			foods++
		}
	}
	if foods == 0 || r.table.Find(before).Known() && !plain && foods == 1 {
		return line
	}
	if !plain {
		r.Name = span.JoinFields(before)
	}
	return strings.TrimSpace(after)
}
