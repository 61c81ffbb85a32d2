package foodline

import (
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// LabText reads what a laboratory measured of something, as a label is read:
// "calcium 0.45 %, phosphorus 0.38 %, as fed, dry matter 31 %, from 2026-02-10",
// or a figure a line. The day is as typed. water, where it is not negative, is how
// much of it there is in 100 g where the text does not say; used tells that the
// figures rest on it.
func LabText(figures string, water float64) (l Label, day string, used bool, problems []span.Problem) {
	var kept []string
	plain := strings.NewReplacer(":", " ", "=", " ", "\t", " ", "|", " ")
	for _, part := range labelParts(span.Clean(figures)) {
		if head, rest, ok := strings.Cut(part, ":"); ok && span.HasLetter(rest) {
			if _, alone := basisAlone(head); alone { // of all figures
				kept, part = append(kept, head), rest
			}
		}
		part = plain.Replace(part)
		switch said, ok := labDate(part); {
		case ok:
			day = said
		case strings.TrimSpace(part) != "":
			kept = append(kept, strings.TrimSpace(part))
		}
	}
	const name = "own: " // of any name, which is not read
	read := func(more ...string) { l, problems = LabelText(name + strings.Join(append(kept, more...), "\n")) }
	read()
	if n := len(problems); n > 0 && problems[n-1].Code == span.NoMoisture && water >= 0 {
		used = true
		read("moisture " + span.Plain(water) + " %")
	}
	return l, day, used, problems
}

// labDate takes the day of a report, of 30 characters at most (our own choice):
// "from 2026-02-10", "dated 10 Feb 2026".
func labDate(s string) (day string, ok bool) {
	words := strings.Fields(strings.Trim(s, " .()"))
	begins := false
	for len(words) > 0 && language.In("lab-day", strings.ToLower(words[0])) {
		words, begins = words[1:], true
	}
	day, cut := span.FirstRunes(strings.Join(words, " "), 30)
	_, err := planner.ParseDate(day)
	dated := begins || len(words) == 3 && len(words[2]) == 4 && strings.HasPrefix(words[2], "20") // "12 Nov 2026"
	return day, !cut && (err == nil || dated && strings.ContainsAny(day, "0123456789") && !strings.ContainsAny(day, "%/"))
}
