package bot

import (
	"testing"

	"bowlwright/bot/say"
)

func TestPressFindsTheButton(t *testing.T) {
	labels := []string{"Fed", "Later", "Fed", "4/9", "10", "1", "Fed/1"}
	for line, want := range map[string]int{
		"#1": 0, " #2 ": 1, "#Later": 1, "#later": 1, "#Fed/2": 2, "#4/9": 3, "#10/1": 4, "#1/1": 5, "#Fed/1": 6,
	} {
		p, ok := say.ReadPress(line)
		if at, problem := p.Among(labels); !ok || problem != "" || at != want {
			t.Errorf("%s presses %d (%q), want %d", line, at, problem, want)
		}
	}
	for line, want := range map[string]string{
		"#8":     "There's no button 8; the last message has 7.",
		"#0":     "There's no button 0; the last message has 7.",
		"#Fed":   `2 buttons read "Fed": #Fed/1 presses the first of them.`,
		"#Fed/3": `There's no button "Fed/3"; the last message has Fed, Later, Fed, 4/9, 10, 1 and Fed/1.`,
		"#Lat":   `There's no button "Lat"; the last message has Fed, Later, Fed, 4/9, 10, 1 and Fed/1.`,
	} {
		p, _ := say.ReadPress(line)
		if _, problem := p.Among(labels); problem != want {
			t.Errorf("%s: %q, want %q", line, problem, want)
		}
	}
	for _, line := range []string{"", "#", "fed", "1", "#1\nmore", "give #1"} {
		if p, ok := say.ReadPress(line); ok {
			t.Errorf("%q presses %+v", line, p)
		}
	}
}
