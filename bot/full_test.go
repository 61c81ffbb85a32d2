package bot

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// TestReadingsInFull says each sentence in which a reading is offered: it has to
// be understood exactly, or the button would do something else.
func TestReadingsInFull(t *testing.T) {
	t.Parallel()
	data, err := os.ReadFile("read/language/full.txt")
	if err != nil {
		t.Fatal(err)
	}
	slots := map[string]string{"recipe": "Turkey and heart", "dog": "Juniper", "weight": "19.4 kg", "target": "19 kg", "nutrient": "calcium", "food": "carrots", "time": "07:30", "when": "Friday",
		"amount": "150 g", "supp": "vitamin E", "dose": "200 IU", "every": "3 days", "action": "vet", "value": "vitamin E", "place": "Europe/Oslo", "meals": "3", "activity": "low",
		"stage": "pregnant", "condition": "6/9", "age": "4 years", "name": "Rex", "sex": "neutered male", "breed": "labrador", "health": "healthy", "kcal": "900", "days": "7", "factor": "10 %"}
	special := map[string]string{"later": "2 hours", "supp.stock": "60 capsules", "scale.to": "2 kg", "treat.log": "20 g", "fed.other": "last week", "remind.set": "Monday", "recipe.set.fat": "20 %"}
	aSlot := regexp.MustCompile(`\{([a-z]+)\}`)
	before := newWorld(t)
	before.says("Ines", "dog Juniper 19.6 kg 4 years healthy")
	before.says("Ines", "recipe Turkey and heart\n500 g turkey thigh, no skin\n100 g carrots\n100 g turkey heart")
	before.says("Ines", "Juniper eats Turkey and heart")
	before.says("Ines", "dog Bracken 34.8 kg 8 years healthy")
	before.says("Ines", "Bracken 34.5")
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		intent, sentence, _ := strings.Cut(line, ": ")
		sentence, _, _ = strings.Cut(sentence, " | ")
		sentence = strings.NewReplacer("[", "", "]", "").Replace(sentence)
		said := aSlot.ReplaceAllStringFunc(sentence, func(s string) string {
			name := s[1 : len(s)-1]
			if v := special[intent]; v != "" && (name == "when" || name == "amount") {
				return v
			}
			return slots[name]
		})
		got := text(before.copied(t).says("Ines", said))
		for _, lost := range []string{"didn't understand", "not sure what you mean"} {
			if strings.Contains(got, lost) {
				t.Errorf("%s: %q: %s", intent, said, got)
			}
		}
	}
}
