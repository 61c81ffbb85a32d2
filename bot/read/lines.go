package read

import (
	"strings"
	"unicode"
	"unicode/utf8"

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
	Ignored    []string           // words that made no difference to which food it is
}

// Recipe is what a paste of recipe lines gives. Every line that is not blank,
// a comment or the name is either a Line or a Problem.
type Recipe struct {
	Name     string
	Lines    []Line
	Problems []Problem
}

// How much of a paste is read, and how long a line may be.
const (
	maxPasteRunes = 10_000
	maxPasteLines = 200
	maxLineRunes  = 300
)

// RecipeText reads a recipe as people write it, a line for each ingredient;
// several on a line are told apart by commas where each has its own amount. A
// first line that ends in a colon, or begins with "recipe:", is its name;
// lines that begin with "#" are comments, or the name where it is the first.
func RecipeText(text string, t *nutrition.Table) Recipe {
	var r Recipe
	text = Clean(text)
	runes := 0
	for i, raw := range strings.Split(text, "\n") {
		number := i + 1
		line := trimBullet(raw)
		runes += utf8.RuneCountInString(raw) + 1
		switch {
		case line == "":
			continue
		case runes > maxPasteRunes || number > maxPasteLines || utf8.RuneCountInString(line) > maxLineRunes:
			p := problem(TooLong, line)
			p.Line = number
			r.Problems = append(r.Problems, p)
			continue
		case r.Name == "" && len(r.Lines)+len(r.Problems) == 0 && isName(&r, line):
			continue
		case strings.HasPrefix(line, "#"):
			continue
		}
		for _, part := range splitLine(line) {
			r.read(part, number, t)
		}
	}
	return r
}

// Planner returns the recipe of the lines, in their order, with no id.
func (r Recipe) Planner() planner.Recipe {
	out := planner.Recipe{Name: r.Name}
	for _, l := range r.Lines {
		if l.Dose != nil {
			out.Doses = append(out.Doses, *l.Dose)
		} else {
			out.Ingredients = append(out.Ingredients, *l.Ingredient)
		}
	}
	return out
}

func (r *Recipe) read(text string, number int, t *nutrition.Table) {
	line, p := parseLine(text, func(words string) nutrition.Finding { return t.Find(words) })
	if p != nil {
		p.Line = number
		r.Problems = append(r.Problems, *p)
		return
	}
	line.Number = number
	r.Lines = append(r.Lines, line)
}

// With completes a line that lacked nothing but which food it means. It
// reports false where the line lacks something else.
func (p Problem) With(f *nutrition.Food) (Line, bool) {
	if f == nil {
		return Line{}, false
	}
	line, still := parseLine(p.Text, func(string) nutrition.Finding { return nutrition.Finding{Food: f} })
	line.Number = p.Line
	return line, still == nil
}

// isName takes a first line as the recipe's name where it is marked as one.
func isName(r *Recipe, line string) bool {
	name := ""
	lower := strings.ToLower(line)
	switch {
	case strings.HasPrefix(line, "#"):
		name = strings.TrimLeft(line, "# ")
	case strings.HasPrefix(lower, "recipe:"):
		name = line[len("recipe:"):]
	case strings.HasSuffix(line, ":"):
		name = strings.TrimSuffix(line, ":")
	default:
		return false
	}
	r.Name = strings.Join(strings.Fields(name), " ")
	return r.Name != ""
}

// trimBullet takes away what lists put before a line: "-", "*", "•", "1.",
// "2)". A number that counts something stays: "2 eggs", "1.5 kg".
func trimBullet(s string) string {
	s = strings.TrimSpace(s)
	for {
		r, size := utf8.DecodeRuneInString(s)
		rest := s[size:]
		switch {
		case size > 0 && strings.ContainsRune("*•·–—‣▪+>", r):
		case r == '-' && (rest == "" || !unicode.IsDigit(rune(rest[0])) && !strings.ContainsRune(".½¼¾", rune(rest[0]))):
		default:
			return trimNumbering(s)
		}
		s = strings.TrimSpace(rest)
	}
}

// trimNumbering takes "1." or "2)" from the beginning, where a space follows.
func trimNumbering(s string) string {
	digits := 0
	for digits < len(s) && s[digits] >= '0' && s[digits] <= '9' {
		digits++
	}
	if digits == 0 || digits > 3 || digits+1 >= len(s) || s[digits] != '.' && s[digits] != ')' || s[digits+1] != ' ' {
		return s
	}
	return strings.TrimSpace(s[digits+1:])
}

// maxPieces is how many foods a line is taken apart into; a line of more is
// no list of ingredients.
const maxPieces = 20

// splitLine splits a line at commas, semicolons, "and" and plus signs where
// what stands on either side has an amount and a food of its own; "no skin"
// stays with the food before it.
func splitLine(line string) []string {
	for _, cut := range []string{";", " + ", ",", " and ", " & "} {
		pieces := strings.Split(line, cut)
		if len(pieces) < 2 || len(pieces) > maxPieces {
			continue
		}
		parts, whole := []string{pieces[0]}, isWhole(pieces[0])
		for _, p := range pieces[1:] {
			if whole && isWhole(p) {
				parts = append(parts, p)
				continue
			}
			parts[len(parts)-1] += cut + p
			whole = isWhole(parts[len(parts)-1])
		}
		if len(parts) > 1 {
			var out []string
			for _, p := range parts {
				out = append(out, splitLine(strings.TrimSpace(p))...)
			}
			return out
		}
	}
	return []string{line}
}

// isWhole reports that a part of a line has an amount and words besides.
func isWhole(p string) bool {
	l := lex(p)
	l.takeFacts()
	l.takeCadence()
	l.takeAmounts()
	return len(l.amounts) > 0 && hasLetter(l.rest()) && (l.code == "" || l.code == Zero || l.code == Negative)
}

func hasLetter(s string) bool { return strings.ContainsFunc(s, unicode.IsLetter) }
