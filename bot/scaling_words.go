package bot

import (
	"math"
	"strings"

	"bowlwright/bot/read"
)

// describe repeats the dog that a sentence describes.
func (t *turn) describe(s read.Sentence) string {
	weight := bodyWeight(s.Weight, t.unitsOf(s))
	text := msg("eater.weight", "a", article(weight), "weight", weight)
	if s.Stage != "" {
		text += ", " + s.Stage
	}
	switch months := math.Round(s.Years * 12); {
	case months > 0 && months < 24:
		text += ", " + msg("age.months", "n", int(months))
	case s.Years > 0:
		text += ", " + msg("age.years", "n", trim(s.Years, 1))
	}
	if s.Activity != "" {
		text += ", " + msg("activity-short."+string(s.Activity))
	}
	return text
}

// article is what stands before a number that is spoken: "an 8 kg dog".
func article(number string) string {
	whole, _, _ := strings.Cut(number, " ")
	whole, _, _ = strings.Cut(whole, ".")
	if strings.HasPrefix(whole, "8") || whole == "11" || whole == "18" {
		return "an"
	}
	return "a"
}
